"""One ground reading against the others: a rod misread by whole feet stands off their plane."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from staking.frozen import frozen
from staking.notices import Length, Notice, notice
from staking.plan import Point
from staking.units import FOOT, INCH

Floats = npt.NDArray[np.float64]

SHARE = 0.25
"""A slip is one reading without which the others lie this much nearer to a plane, by the root of
their mean squared misfit (common practice, no source)."""

LEAST_SLIP = 10 * INCH
"""A smaller slip, m, is not told from uneven ground where few readings are left over (common
practice, no source)."""

LEAST_SHOWN = 2 * FOOT
"""What the worst reading stands off the plane of few others, m, before it is shown though it is no
whole number of feet (common practice, no source)."""

_OTHERS = 3
"""Readings that must remain: they make a plane."""

_LEFT_OVER = 2
"""Readings beyond those that make the plane, from which a foot is shown."""

_LEFT_OVER_FOR_SMALL = 3
"""As many are needed to tell a slip under `LEAST_SLIP` from uneven ground."""

_HELD = 0.4
"""And how much of it must show in the misfit to the plane of all readings, as a part: a reading
that stands out beyond the others is held by them so little that a small hump looks like a slip."""


@frozen
class GroundReading:
    """One reading of the ground.

    Parameters
    ----------
    on
        The corner, wall, line or pad it was read at.
    station
        From the wall's first corner as named, m; None at a corner or pad.
    place
        On the building grid, m.
    given
        As the job gives it, m: an elevation, or a rod reading.
    level
        The ground's elevation by it, m.
    """

    on: str
    station: float | None
    place: Point
    given: float
    level: float


@frozen(kw_only=False)
class _Off:
    """How far a reading stands over the plane of the others, m, and their misfit without it.

    `held` says whether the others hold it well enough for what it is off by.
    """

    reading: GroundReading
    over: float
    misfit: float
    held: bool


def odd_reading_notices(
    readings: Sequence[GroundReading], *, metric: bool, rod: bool
) -> tuple[Notice, ...]:
    """Say which reading is probably misread.

    Parameters
    ----------
    readings
        All readings of the ground as it is.
    metric
        Whether the rod is marked in metres: a slip is then whole decimetres, within 20 mm, else
        whole feet, within 2 inches.
    rod
        Whether what was given are rod readings.

    Returns
    -------
    tuple of Notice
        ``reading-slip`` where one reading explains it, or several would each; else
        ``reading-worst`` where one stands far off; or none.

    Notes
    -----
    A reading is suspected where leaving it out cuts the root mean square of the misfit to the
    plane to a quarter and at least 3 others remain. It is a slip where it then stands within 2
    inches of whole feet (20 mm of decimetres) off the plane of the others. Four readings leave
    nothing over once one is out, so that each of the four may be the one, and all are named.
    """
    if len(readings) <= _OTHERS:
        return ()
    places = np.array([each.place for each in readings])
    levels = np.array([each.level for each in readings])
    every = _plane(places, levels)
    if every is None or every[1] < INCH / 16:
        return ()
    suspects = []
    misfits = levels - np.column_stack((np.ones(len(places)), places)) @ every[0]
    for i, reading in enumerate(readings):
        rest = np.arange(len(readings)) != i
        found = _plane(places[rest], levels[rest])
        if found is not None and found[1] <= SHARE * every[1]:
            over = float(levels[i] - np.array([1.0, *places[i]]) @ found[0])
            held = abs(over) >= LEAST_SLIP or abs(misfits[i]) >= _HELD * abs(over)
            suspects.append(_Off(reading, over, found[1], held))
    if not suspects:
        return ()
    left_over = len(readings) - 1 - _OTHERS
    step, near = (0.1, 0.02) if metric else (FOOT, 2 * INCH)
    least = step - near if left_over >= _LEFT_OVER_FOR_SMALL else LEAST_SLIP
    slips = [
        each
        for each in suspects
        if each.held
        and abs(each.over) >= least - 1e-9
        and abs(each.over - round(each.over / step) * step) <= near + 1e-9
    ]
    if slips:
        return (_slip(slips, step, rod=rod),)
    shown = FOOT if left_over >= _LEFT_OVER else LEAST_SHOWN
    worst = min(suspects, key=lambda each: each.misfit)
    if min(abs(each.over) for each in suspects) <= shown:
        return ()
    return (_worst(worst, suspects, rod=rod),)


def _plane(places: Floats, levels: Floats) -> tuple[Floats, float] | None:
    """Fit a plane: height, slope along x and along y, and the root mean square of the misfit, m.

    Returns
    -------
    tuple or None
        None where the places stand in one line.
    """
    middle = places.mean(axis=0)
    design = np.column_stack((np.ones(len(places)), places - middle))
    plane, _, rank, _ = np.linalg.lstsq(design, levels, rcond=1e-6)
    if rank < _OTHERS:
        return None
    misfit = levels - design @ plane
    height = plane[0] - plane[1:] @ middle
    return np.array([height, *plane[1:]]), float(np.sqrt(np.mean(misfit**2)))


def _slip(slips: Sequence[_Off], step: float, *, rod: bool) -> Notice:
    best = min(slips, key=lambda each: each.misfit)
    amount = round(best.over / step) * step
    if len(slips) > 1:
        return notice(
            "reading-slip",
            "the ground read at {names} does not lie on one plane, and any one of these readings "
            "misread by {slip} would explain it: read them again",
            names=_names(slips),
            slip=Length(abs(amount)),
        )
    # Ground that comes out too high was read too low on the rod.
    meant = best.reading.given + (amount if rod else -amount)
    return notice(
        "reading-slip",
        f"the ground read at {_at(best.reading)} stands {{off}} {{way}} the plane of all others: "
        f"{{given}} was probably misread by {{slip}}, and {{meant}} may be meant; read it again",
        on=best.reading.on,
        station=Length(best.reading.station or 0.0),
        off=Length(abs(best.over)),
        way="over" if best.over > 0 else "under",
        given=Length(best.reading.given),
        slip=Length(abs(amount)),
        meant=Length(meant),
    )


def _worst(worst: _Off, suspects: Sequence[_Off], *, rod: bool) -> Notice:
    if len(suspects) > 1:
        return notice(
            "reading-worst",
            "the ground read at {names} does not lie on one plane, and any of these readings would "
            "have to be {off} or more off to explain it; where the ground is not so uneven, read "
            "them again",
            names=_names(suspects),
            off=Length(min(abs(each.over) for each in suspects)),
        )
    what = "the rod reading" if rod else "the elevation"
    return notice(
        "reading-worst",
        f"the ground read at {_at(worst.reading)} stands {{off}} {{way}} the plane of all others: "
        f"where the ground is not so uneven there, check {what} {{given}}",
        on=worst.reading.on,
        station=Length(worst.reading.station or 0.0),
        off=Length(abs(worst.over)),
        way="over" if worst.over > 0 else "under",
        given=Length(worst.reading.given),
    )


def _names(offs: Sequence[_Off]) -> str:
    return ", ".join(dict.fromkeys(each.reading.on for each in offs))


def _at(reading: GroundReading) -> str:
    return "{on}" if reading.station is None else "{on} at {station}"
