"""Where pads and the ends of interior lines stand, by tapes from the adjusted corners."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from staking.adjust.blunders import first_of_most, likely_slip, misfit_limit
from staking.adjust.check_limits import reading_covariance
from staking.adjust.suspects import Suspect
from staking.adjust.targets import Target
from staking.frozen import frozen
from staking.network.fitted import Adjusted, FittedNetwork, Measurement
from staking.network.geometry import Floats
from staking.network.unfixed import NotFixedError

FLAT_SINE = math.sin(math.radians(1.0))
"""Tapes that meet at less than a degree do not fix a point across them (common practice, no
source)."""

CHECKED = 1e-6
"""A redundancy number below this is nil."""

_STEPS = 50
_CONVERGED = 1e-12


@frozen(eq=False)
class Located:
    """Corners and points as they stand, in one frame.

    Parameters
    ----------
    names
        The corners, then the points.
    corners
        How many of them are corners.
    coordinates
        ``(n, 2)``, m.
    covariance
        ``(2n, 2n)``, m2, by the tape's error alone.
    reading_covariance
        The same with the step that is read.
    """

    names: tuple[str, ...]
    corners: int
    coordinates: Floats
    covariance: Floats
    reading_covariance: Floats

    @property
    def points(self) -> tuple[str, ...]:
        """Names of the points that are not corners."""
        return self.names[self.corners :]


@frozen
class PointShot:
    """A point as it was surveyed, in the frame of the adjusted corners, m."""

    name: str
    x: float
    y: float
    error: float


@frozen(eq=False)
class PointsFound:
    """The points fixed from the corners.

    Parameters
    ----------
    located
        Corners and points.
    adjusted
        The tapes to points, in the order given.
    suspects
        What does not fit; members are places in `adjusted`.
    left_out
        Places of tapes that are named alone and left out.
    redundancy
        Tapes beyond what the points need.
    """

    located: Located
    adjusted: tuple[Adjusted, ...]
    suspects: tuple[Suspect, ...]
    left_out: frozenset[int]
    redundancy: int


def find_points(
    solution: FittedNetwork,
    targets: Sequence[Target],
    tapes: Sequence[Measurement],
    shots: Sequence[PointShot],
    step: float,
    next_from: Mapping[str, Sequence[str]],
) -> PointsFound:
    """Fix points by tapes from the adjusted corners, one point at a time.

    Parameters
    ----------
    solution
        The adjusted corners.
    targets
        The points of the plan.
    tapes
        Distances from a corner to a point, in that order.
    shots
        Points that were surveyed.
    step
        The step that lengths are read in, m.
    next_from
        By point: the corners the layout tapes it from.

    Returns
    -------
    PointsFound
        The points that were taped or shot.

    Raises
    ------
    NotFixedError
        When a point is taped and its tapes do not fix it.

    Notes
    -----
    A tape to a point does not bear on the corners. A point on a wall with tapes from the wall's own
    corners alone stands on the string between them, and the tapes say how far along. Elsewhere the
    point is adjusted by least squares, and where it is surveyed too, the shot counts as two more
    observations. The corners' covariance is carried over to the point (law of propagation).
    """
    fixes: list[_Fix] = []
    adjusted: dict[int, Adjusted] = {}
    suspects: list[Suspect] = []
    left_out: set[int] = set()
    redundancy = 0
    for target in targets:
        own = [place for place, each in enumerate(tapes) if each.to_name == target.name]
        shot = next((each for each in shots if each.name == target.name), None)
        if not own and shot is None:
            continue
        station = _PointFix(solution, target, shot, next_from.get(target.name, ()))
        fix, found, left = _sifted(station, own, tapes, adjusted)
        fixes.append(fix)
        suspects += found
        left_out |= left
        redundancy += max(len(own) - len(left) - (0 if shot else fix.unknowns), 0)
    return PointsFound(
        located=_located(solution, fixes, step),
        adjusted=tuple(adjusted[place] for place in range(len(tapes))),
        suspects=tuple(suspects),
        left_out=frozenset(left_out),
        redundancy=redundancy,
    )


@frozen(eq=False)
class _Fix:
    """A fixed point: its place, how it follows corners and tapes, and what its shot adds."""

    name: str
    place: Floats
    from_corners: Mapping[int, Floats]
    from_tapes: Floats
    errors: Floats
    own: Floats
    unknowns: int
    lengths: Floats
    rows: Floats


class _PointFix:
    """One point and what it is fixed by."""

    def __init__(
        self,
        solution: FittedNetwork,
        target: Target,
        shot: PointShot | None,
        next_from: Sequence[str],
    ) -> None:
        self.solution, self.target, self.shot = solution, target, shot
        self.next_from = next_from
        self.at = {name: place for place, name in enumerate(solution.names)}

    def fix(self, tapes: Sequence[Measurement]) -> _Fix:
        names = {each.from_name for each in tapes}
        on = self.target.on
        if self.shot is None and on is not None and names <= set(on) and names:
            if set(on) <= self.at.keys():
                return self._along(tapes, on)
            raise self._loose(tapes, [name for name in on if name not in self.at])
        return self._swung(tapes)

    def _loose(self, tapes: Sequence[Measurement], more: Sequence[str]) -> NotFixedError:
        taped = {each.from_name for each in tapes}
        pair = next(((c, self.target.name) for c in more if c not in taped), None)
        many = "1 reading does" if len(tapes) == 1 else f"{len(tapes)} readings do"
        remedy = f"tape {pair[0]}-{pair[1]} next" if pair else "tape it from another corner"
        return NotFixedError(
            f"{many} not fix {self.target.name}: {remedy}",
            (self.target.name,),
            () if pair is None else (pair,),
        )

    def _along(self, tapes: Sequence[Measurement], on: tuple[str, str]) -> _Fix:
        i, j = self.at[on[0]], self.at[on[1]]
        a, b = self.solution.coordinates[i], self.solution.coordinates[j]
        length = float(np.hypot(*(b - a)))
        e = (b - a) / length
        n = np.array([-e[1], e[0]])
        errors = np.array([each.standard_error for each in tapes])
        weights = errors**-2 / (errors**-2).sum()
        far = np.array([each.from_name == on[1] for each in tapes])
        read = np.array([each.distance for each in tapes])
        t = float(weights @ np.where(far, length - read, read))
        back = float(weights @ far)
        along, across, share = np.outer(e, e), np.outer(n, n), t / length
        lengths = np.where(far, length - t, t)
        signs = np.where(far, -1.0, 1.0)
        return _Fix(
            name=self.target.name,
            place=a + t * e,
            from_corners={
                i: (1 - back) * along + (1 - share) * across,
                j: back * along + share * across,
            },
            from_tapes=np.outer(e, weights * signs),
            errors=errors,
            own=np.zeros((2, 2)),
            unknowns=1,
            lengths=lengths,
            rows=signs[:, None] * e[None, :],
        )

    def _swung(self, tapes: Sequence[Measurement]) -> _Fix:
        index = [self.at[each.from_name] for each in tapes]
        corners = self.solution.coordinates[index].reshape(-1, 2)
        read = np.array([each.distance for each in tapes])
        errors = np.array([each.standard_error for each in tapes])
        shot = self.shot
        tie = 0.0 if shot is None else shot.error**-2
        seen = np.zeros(2) if shot is None else np.array([shot.x, shot.y])
        place = np.array(self.target.point) if shot is None else seen.copy()
        if shot is None:
            ways = np.array(self.target.point) - corners
            ways = ways / np.maximum(np.hypot(ways[:, 0], ways[:, 1]), CHECKED)[:, None]
            sines = np.abs(np.outer(ways[:, 0], ways[:, 1]) - np.outer(ways[:, 1], ways[:, 0]))
            if not len(ways) or sines.max() < FLAT_SINE:
                raise self._loose(tapes, self.next_from)
        for _ in range(_STEPS):
            away = place - corners
            length = np.hypot(away[:, 0], away[:, 1])
            rows = away / np.maximum(length, CHECKED)[:, None]
            weighted = rows / (errors**2)[:, None]
            normal = rows.T @ weighted + tie * np.eye(2)
            shift = np.linalg.solve(normal, weighted.T @ (read - length) + tie * (seen - place))
            # a step no longer than the shortest tape: the point stays on its side of a corner
            size = float(np.hypot(*shift))
            most = float(length.min()) / 2 if len(length) else size
            place = place + shift * min(1.0, most / size if size > 0 else 1.0)
            if size < _CONVERGED:
                break
        away = place - corners
        length = np.hypot(away[:, 0], away[:, 1])
        rows = away / np.maximum(length, CHECKED)[:, None]
        cofactor = np.linalg.inv(rows.T @ (rows / (errors**2)[:, None]) + tie * np.eye(2))
        gains = cofactor @ (rows / (errors**2)[:, None]).T
        moved: dict[int, Floats] = {}
        for k, corner in enumerate(index):
            moved[corner] = moved.get(corner, np.zeros((2, 2))) + np.outer(gains[:, k], rows[k])
        return _Fix(
            name=self.target.name,
            place=place,
            from_corners=moved,
            from_tapes=gains,
            errors=errors,
            own=tie * cofactor @ self._frame() @ cofactor * tie if shot else np.zeros((2, 2)),
            unknowns=2,
            lengths=length,
            rows=rows,
        )

    def _frame(self) -> Floats:
        # a shot's covariance in the frame of the corners' best fit: its own, and the frame's
        assert self.shot is not None
        points = self.solution.coordinates
        away = points - points.mean(axis=0)
        arm = np.array([self.shot.x, self.shot.y]) - points.mean(axis=0)
        turn = np.array([-arm[1], arm[0]])
        spread = max(float((away**2).sum()), CHECKED)
        frame = np.eye(2) / len(points) + np.outer(turn, turn) / spread
        return np.asarray(self.shot.error**2 * (np.eye(2) + frame))

    def residual_spread(self, fix: _Fix, index: Sequence[int]) -> Floats:
        """Give the covariance of the residuals, the corners' own included, shape ``(m, m)``."""
        count = 2 * len(self.solution.names)
        reads = np.zeros((len(index), count))
        for k, corner in enumerate(index):
            reads[k, 2 * corner : 2 * corner + 2] -= fix.rows[k]
        for corner, change in fix.from_corners.items():
            reads[:, 2 * corner : 2 * corner + 2] += fix.rows @ change
        by_tapes = fix.rows @ fix.from_tapes - np.eye(len(index))
        return np.asarray(
            reads @ self.solution.covariance @ reads.T
            + by_tapes @ np.diag(fix.errors**2) @ by_tapes.T
        )


def _sifted(
    station: _PointFix,
    own: Sequence[int],
    tapes: Sequence[Measurement],
    adjusted: dict[int, Adjusted],
) -> tuple[_Fix, list[Suspect], set[int]]:
    kept, suspects = list(own), list[Suspect]()
    left: set[int] = set()
    while True:
        fix = station.fix([tapes[place] for place in kept])
        spare = len(kept) - (0 if station.shot else fix.unknowns)
        index = [station.at[tapes[place].from_name] for place in kept]
        spread = station.residual_spread(fix, index) if kept else np.zeros((0, 0))
        residual = fix.lengths - np.array([tapes[place].distance for place in kept])
        number = _numbers(fix)
        tests = _tests(residual, spread, number)
        for k, place in enumerate(kept):
            adjusted[place] = Adjusted(
                measurement=tapes[place],
                adjusted=float(fix.lengths[k]),
                residual=float(residual[k]),
                standardised=float(tests[k]),
                redundancy=float(number[k]) if spare > 0 else 0.0,
            )
        worst = first_of_most(np.abs(tests)) if spare > 0 else -1
        if worst < 0 or abs(tests[worst]) <= misfit_limit(len(tapes)):
            break
        suspects.append(_suspect(tapes[kept[worst]], kept, worst, residual, number, spread, tests))
        if spare < 2:
            break
        left.add(kept[worst])
        suspects[-1] = _alone(suspects[-1])
        kept = kept[:worst] + kept[worst + 1 :]
    for place in left:
        each = tapes[place]
        corner = station.solution.coordinates[station.at[each.from_name]]
        length = float(np.hypot(*(fix.place - corner)))
        old = adjusted[place]
        adjusted[place] = Adjusted(
            measurement=each,
            adjusted=length,
            residual=length - each.distance,
            standardised=old.standardised,
            redundancy=old.redundancy,
        )
    return fix, suspects, left


def _numbers(fix: _Fix) -> Floats:
    kept = np.eye(len(fix.errors)) - fix.rows @ fix.from_tapes
    return np.clip(np.diag(kept), 0.0, 1.0)


def _tests(residual: Floats, spread: Floats, number: Floats) -> Floats:
    error = np.sqrt(np.maximum(np.diag(spread), 0.0))
    checked = (number > CHECKED) & (error > CHECKED)
    return np.where(checked, residual / np.where(checked, error, 1.0), 0.0)


def _suspect(
    tape: Measurement,
    kept: Sequence[int],
    worst: int,
    residual: Floats,
    number: Floats,
    spread: Floats,
    tests: Floats,
) -> Suspect:
    size = -float(residual[worst] / number[worst])
    error = float(math.sqrt(spread[worst, worst]) / number[worst])
    others = [place for k, place in enumerate(kept) if k != worst and number[k] > CHECKED]
    return Suspect(
        members=(kept[worst], *others),
        size=size,
        size_error=error,
        standardised=float(tests[worst]),
        redundancy=float(number[worst]),
        slip=likely_slip(size, error),
    )


def _alone(suspect: Suspect) -> Suspect:
    return Suspect(
        members=suspect.members[:1],
        size=suspect.size,
        size_error=suspect.size_error,
        standardised=suspect.standardised,
        redundancy=suspect.redundancy,
        slip=suspect.slip,
    )


def _located(solution: FittedNetwork, fixes: Sequence[_Fix], step: float) -> Located:
    names = (*solution.names, *(fix.name for fix in fixes))
    corners, count = 2 * len(solution.names), 2 * len(names)
    change = np.zeros((count, corners))
    change[:corners] = np.eye(corners)
    own, stepped = np.zeros((count, count)), np.zeros((count, count))
    for k, fix in enumerate(fixes):
        at = slice(corners + 2 * k, corners + 2 * k + 2)
        for corner, matrix in fix.from_corners.items():
            change[at, 2 * corner : 2 * corner + 2] = matrix
        for errors, into in ((fix.errors**2, own), (fix.errors**2 + step**2 / 12, stepped)):
            into[at, at] = fix.from_tapes @ np.diag(errors) @ fix.from_tapes.T + fix.own
    places = [fix.place for fix in fixes]
    coordinates = np.vstack((solution.coordinates, *places)) if places else solution.coordinates
    read = reading_covariance(solution, step)
    return Located(
        names=names,
        corners=len(solution.names),
        coordinates=np.asarray(coordinates),
        covariance=np.asarray(change @ solution.covariance @ change.T + own),
        reading_covariance=np.asarray(change @ read @ change.T + stepped),
    )
