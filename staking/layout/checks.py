"""What to tape so that a layout is known to be right, and what each tape may be out by."""

from __future__ import annotations

import numpy as np

from staking.frozen import frozen
from staking.kinds import CheckKind
from staking.layout.allowed import allowed_difference
from staking.layout.braces import MANY, brace_pairs
from staking.layout.layout_parts import Accuracy, Check
from staking.layout.sight import Flags, Floats, is_in_sight
from staking.layout.swings import corner_checks, point_checks
from staking.lines import signed_area
from staking.network.design import Choice, choose_distances, loose_points
from staking.network.geometry import PairDistances, all_distances, distances_between, radii95
from staking.network.rectangles import largest_rectangle
from staking.notices import Length, Notice, Severity, notice
from staking.plan import Options, Plan
from staking.tolerances import ON_LINE, SAME_POINT


@frozen
class CheckSet:
    """What to tape, and how well the stakes are then known.

    Parameters
    ----------
    checks
        Sides in the outlines' order; diagonals, then ties, as they were picked; right angles and
        angles by corner; pads and the ends of interior lines.
    accuracy
        The 95 % radius to expect at each corner.
    notices
        The notices for whoever reads the answer.
    """

    checks: tuple[Check, ...]
    accuracy: tuple[Accuracy, ...]
    notices: tuple[Notice, ...]


@frozen
class _SortedCorners:
    """All corners sorted by name, and what lies between each two of them."""

    names: tuple[str, ...]
    index: dict[str, int]
    points: Floats
    building: tuple[int, ...]
    distances: PairDistances
    sides: dict[int, None]
    usable: Flags
    rows: dict[tuple[int, int], int] | None

    def row(self, one: str, other: str) -> int:
        i, j = sorted((self.index[one], self.index[other]))
        if self.rows is not None:
            return self.rows[i, j]
        # the whole table runs (0, 1), (0, 2) … (1, 2) …
        return i * len(self.names) - i * (i + 1) // 2 + j - i - 1

    def kind(self, row: int) -> CheckKind:
        if row in self.sides:
            return CheckKind.SIDE
        first, second = self.distances.first[row], self.distances.second[row]
        same = self.building[first] == self.building[second]
        return CheckKind.DIAGONAL if same else CheckKind.TIE


def choose_checks(plan: Plan, options: Options) -> CheckSet:
    """Choose what to tape.

    Parameters
    ----------
    plan
        The plan.
    options
        The tape and the tolerances; the unit sets the steps of the 3-4-5.

    Returns
    -------
    CheckSet
        The checks, the accuracy to expect and the notices. The set of checks is the same however
        the plan is turned, shifted, mirrored or walked round.

    Raises
    ------
    ComputationError
        When the tape has no error, or the tolerances are of an unknown preset.

    Notes
    -----
    Every side; every pair of a three- or four-corner outline; else the diagonals of a rectangle of
    at least half the outline's area; then one distance after another by `choose_distances`. A side
    longer than the tape is listed and said, but not counted on. Plans of more than `MANY` corners
    are braced by rule (`brace_pairs`), which is said, and no accuracy is given for them.

    Examples
    --------
    >>> choose_checks(Plan(job="empty", buildings=()), Options()).checks
    ()
    """
    many = sum(len(building.corners) for building in plan.buildings) > MANY
    corners = _corners(plan, options, braced=many)
    choice = None
    told: tuple[Notice, ...]
    if many:
        taken = tuple(np.flatnonzero(corners.usable).tolist())
        told = (_braced_notice(len(corners.names)),)
    else:
        choice = choose_distances(corners.distances, _taken_first(plan, corners), corners.usable)
        taken, told = choice.taken, _choice_notices(corners, choice)
    at_corners, corner_notices = corner_checks(plan, options)
    at_points, point_notices = point_checks(plan, options)
    return CheckSet(
        checks=(*_network_checks(corners, taken, options), *at_corners, *at_points),
        accuracy=_accuracy(plan, corners, choice),
        notices=(*_long_sides(corners, options), *told, *corner_notices, *point_notices),
    )


def all_pairs(plan: Plan, options: Options) -> tuple[Check, ...]:
    """List the distance between every two corners.

    Parameters
    ----------
    plan, options
        As for `choose_checks`.

    Returns
    -------
    tuple of Check
        By name; `in_network` is False where the tape cannot be stretched: too long, or through a
        standing building or a shape to stay clear of.
    """
    corners = _corners(plan, options)
    return tuple(
        _check(corners, row, options, counted=bool(corners.usable[row]))
        for row in range(len(corners.distances.length))
    )


def _corners(plan: Plan, options: Options, *, braced: bool = False) -> _SortedCorners:
    listed = sorted(
        (corner.name, corner.point, index)
        for index, building in enumerate(plan.buildings)
        for corner in building.corners
    )
    names = tuple(name for name, _, _ in listed)
    points = np.array([point for _, point, _ in listed], dtype=float).reshape(-1, 2)
    # at site coordinates of millions of metres the last digits would be lost
    centred = points - points.mean(axis=0) if len(points) else points
    rows = None
    if braced:
        first, second = brace_pairs(plan, names, centred)
        distances = distances_between(centred, first, second, options.tape)
        pairs = zip(first.tolist(), second.tolist(), strict=True)
        rows = {pair: row for row, pair in enumerate(pairs)}
    else:
        distances = all_distances(centred, options.tape)
    taped = (distances.length <= options.tape.length + ON_LINE) & (distances.length > SAME_POINT)
    near = np.flatnonzero(taped)
    usable = np.zeros(len(taped), dtype=bool)
    usable[near] = is_in_sight(plan, points[distances.first[near]], points[distances.second[near]])
    corners = _SortedCorners(
        names=names,
        index={name: place for place, name in enumerate(names)},
        points=centred,
        building=tuple(index for _, _, index in listed),
        distances=distances,
        sides={},
        usable=usable,
        rows=rows,
    )
    for building in plan.buildings:
        for wall in building.walls:
            row = corners.row(wall.start, wall.end)
            corners.sides[row] = None
            # a side is taped along itself: nothing can stand in its way
            usable[row] = taped[row]
    return corners


def _taken_first(plan: Plan, corners: _SortedCorners) -> tuple[int, ...]:
    rows = {row: None for row in corners.sides if corners.usable[row]}
    for index, building in enumerate(plan.buildings):
        members = np.array(corners.building) == index
        within = np.flatnonzero(
            corners.usable & members[corners.distances.first] & members[corners.distances.second]
        )
        if len(building.corners) <= 4:
            rows |= dict.fromkeys(within.tolist())
            continue
        area = abs(signed_area(building.ring))
        diagonals = largest_rectangle(corners.points, corners.distances, within, area)
        if diagonals is not None:
            rows |= dict.fromkeys(diagonals)
    return tuple(rows)


def _check(corners: _SortedCorners, row: int, options: Options, *, counted: bool) -> Check:
    kind, distance = corners.kind(row), float(corners.distances.length[row])
    return Check(
        kind=kind,
        at=None,
        from_name=corners.names[corners.distances.first[row]],
        to_name=corners.names[corners.distances.second[row]],
        distance=distance,
        allowed=allowed_difference(options.tolerances, kind, distance, options.step),
        in_network=counted,
    )


def _network_checks(
    corners: _SortedCorners, taken: tuple[int, ...], options: Options
) -> tuple[Check, ...]:
    counted = set(taken)
    sides = [_check(corners, row, options, counted=row in counted) for row in corners.sides]
    others = [
        _check(corners, row, options, counted=True) for row in taken if row not in corners.sides
    ]
    return (
        *sides,
        *(check for check in others if check.kind is CheckKind.DIAGONAL),
        *(check for check in others if check.kind is CheckKind.TIE),
    )


def _accuracy(plan: Plan, corners: _SortedCorners, choice: Choice | None) -> tuple[Accuracy, ...]:
    radii = (
        dict(zip(corners.names, radii95(corners.distances, choice.cofactor).tolist(), strict=True))
        if choice is not None and choice.rigid
        else {}
    )
    return tuple(
        Accuracy(corner=corner.name, radius95=radii.get(corner.name))
        for building in plan.buildings
        for corner in building.corners
    )


def _pair(corners: _SortedCorners, row: int) -> str:
    first, second = corners.distances.first[row], corners.distances.second[row]
    return f"{corners.names[first]}-{corners.names[second]}"


def _long_sides(corners: _SortedCorners, options: Options) -> tuple[Notice, ...]:
    return tuple(
        notice(
            "side-longer-than-tape",
            "the side {side} is {length} long and the tape only {tape}: it is listed, but the "
            "accuracy does not count on it; take it with a longer tape",
            side=_pair(corners, row),
            length=Length(float(corners.distances.length[row])),
            tape=Length(options.tape.length),
        )
        for row in sorted(corners.sides)
        if corners.distances.length[row] > options.tape.length + ON_LINE
    )


def _braced_notice(count: int) -> Notice:
    return notice(
        "braced-by-rule",
        "the plan has {count} corners: beyond {many} each is taped to the second and third corner "
        "on, not chosen for how well the tapes check one another, and no accuracy is given; have "
        "the main corners set by instrument",
        count=str(count),
        many=str(MANY),
    )


def _choice_notices(corners: _SortedCorners, choice: Choice) -> tuple[Notice, ...]:
    notices = []
    if not choice.rigid:
        free = loose_points(corners.distances, choice.motions)
        notices.append(
            notice(
                "shape-not-fixed",
                "what can be taped does not fix the shape: {corners} can move against the rest, "
                "so no accuracy is given; use a longer tape or have them set by instrument",
                corners=", ".join(corners.names[point] for point in free),
            )
        )
    if choice.poorly_checked:
        notices.append(
            notice(
                "poorly-checked",
                "{distances}: the other tapes would hardly show a wrong reading; read twice",
                Severity.NOTE,
                distances=", ".join(sorted(_pair(corners, row) for row in choice.poorly_checked)),
            )
        )
    return tuple(notices)
