"""What our stakes are called in files and on instruments, and that no surveyed point is called so.

On paper a corner is A. In a points file or on an instrument it stands beside the survey's own
points, where a second A would send somebody to the wrong place.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace

from staking.errors import InputError, Problem
from staking.layout.named_points import NamedPoint
from staking.site.site_request import PlaceByFit, SiteAsked

LISTED = 6
"""How many names an error lists before it says how many more there are."""


def names_in_files(points: Sequence[NamedPoint], asked: SiteAsked | None) -> tuple[str, ...]:
    """Give the names of a layout's points in files and on instruments.

    Parameters
    ----------
    points
        The points under the plan's own names.
    asked
        The site section with its `prefix` and `numbers`; None without a lot.

    Returns
    -------
    tuple of str
        In the order of the points: the prefix and the plan's own name, or the prefix and a number
        counted from `numbers`.

    Examples
    --------
    >>> from staking.kinds import PointKind
    >>> from staking.layout.named_points import NamedPoint
    >>> corner = NamedPoint(
    ...     name="A", x=0.0, y=0.0, description="corner", kind=PointKind.CORNER, of="A"
    ... )
    >>> names_in_files([corner, corner], SiteAsked(prefix="W-"))
    ('W-A', 'W-A')
    >>> names_in_files([corner, corner], SiteAsked(numbers=5001))
    ('5001', '5002')
    """
    if asked is None:
        return tuple(each.name for each in points)
    if asked.numbers is None:
        return tuple(f"{asked.prefix}{each.name}" for each in points)
    return tuple(f"{asked.prefix}{asked.numbers + i}" for i in range(len(points)))


def points_in_files(
    points: Sequence[NamedPoint], asked: SiteAsked | None
) -> tuple[NamedPoint, ...]:
    """Rename a layout's points as they are called in files and on instruments.

    Parameters
    ----------
    points, asked
        As for `names_in_files`.

    Returns
    -------
    tuple of NamedPoint
        In the same order. A point with a number for a name is described by the plan's name first.
    """
    numbered = asked is not None and asked.numbers is not None
    return tuple(
        replace(
            each,
            name=name,
            description=f"{each.name}, {each.description}" if numbered else each.description,
        )
        for each, name in zip(points, names_in_files(points, asked), strict=True)
    )


def points_by_any_name(
    points: Sequence[NamedPoint], asked: SiteAsked | None, surveyed: Iterable[Collection[str]] = ()
) -> dict[str, NamedPoint]:
    """List what a surveyed stake may be called: its name in files, and the plan's own.

    Parameters
    ----------
    points, asked
        As for `names_in_files`.
    surveyed
        The names in each file of the lot's own survey.

    Returns
    -------
    dict
        The points under the plan's names, by either name. Where stakes have a prefix or numbers,
        a name that the lot's survey has too means the surveyed point and no stake.
    """
    known = dict(zip(names_in_files(points, asked), points, strict=True))
    renamed = asked is not None and (bool(asked.prefix) or asked.numbers is not None)
    taken = {name for file in surveyed for name in file} if renamed else set()
    for each in points:
        if each.name not in taken:
            known.setdefault(each.name, each)
    return known


def refuse_taken_names(
    points: Sequence[NamedPoint], asked: SiteAsked, surveyed: Iterable[Collection[str]]
) -> None:
    """Refuse stakes that are named as points of the survey.

    Parameters
    ----------
    points
        The layout's points under the plan's own names.
    asked
        The site section: its prefix and numbers, and the corners that its fit ties to points.
    surveyed
        The names in each survey file.

    Raises
    ------
    InputError
        When a name means a stake and a surveyed point, unless `place: fit` says that the corner
        is that point.
    """
    tied = set(asked.place.pairs) if isinstance(asked.place, PlaceByFit) else set()
    names = names_in_files(points, asked)
    ours = {name: each.name for each, name in zip(points, names, strict=True)}
    found: dict[str, None] = {}
    for file in surveyed:
        found |= dict.fromkeys(
            name for name in ours.keys() & set(file) if (ours[name], name) not in tied
        )
    if not found:
        return
    taken = [name for name in names if name in found]
    more = f" and {len(taken) - LISTED} more" if len(taken) > LISTED else ""
    listed = f"{', '.join(taken[:LISTED])}{more}"
    said = "is a stake" if len(taken) == 1 else "are stakes"
    point = "a point" if len(taken) == 1 else "points"
    remedy = "add prefix: W- under site, which is put before our stakes' names in files and on "
    remedy += "instruments, or rename them on the plan or in the survey"
    if asked.prefix or asked.numbers is not None:
        remedy = "choose another prefix: or another first number: under site"
    raise InputError(
        Problem(
            field="site",
            message=f"{listed} {said} of the layout and {point} of the survey as well, and on an "
            "instrument the two cannot be told apart",
            remedy=remedy,
        )
    )
