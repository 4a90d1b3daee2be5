"""Stakes by their coordinates, alone or with taped distances: the shape, and what does not fit."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from staking.adjust.blunders import ALIKE, Sifted, left_out_reading, likely_slip
from staking.adjust.misfit_notices import pair_of
from staking.adjust.shot_notices import shot_notices
from staking.adjust.suspects import Suspect
from staking.errors import ComputationError
from staking.frozen import frozen
from staking.lines import cross
from staking.network.fitted import Adjusted, FittedNetwork, Measurement
from staking.network.geometry import Floats
from staking.network.measured import MeasuredRows, inner_constraints
from staking.network.solve import best_fit
from staking.tolerances import ON_LINE

CHANCE = 0.001
"""A reading that good ones come to once in a thousand does not fit: 3.29 standard errors."""

CHECKED = 1e-6
"""A redundancy below this is nil: nothing would show a mistake of that reading."""

_STEPS = 50
_CONVERGED = 1e-12


@frozen
class StakeShot:
    """A stake's place as it was surveyed, x and y on the building grid, m.

    `error` is the standard error of each of them, m. A stake may be shot more than once.
    """

    name: str
    x: float
    y: float
    error: float


@frozen
class Displacement:
    """How the building as a whole stands off its planned place.

    Parameters
    ----------
    x, y
        The shift of the middle of its corners, m, on the building grid.
    turn
        rad, anticlockwise.
    """

    x: float
    y: float
    turn: float


@frozen(eq=False)
class StakedShape:
    """Stakes adjusted.

    Parameters
    ----------
    sifted
        The shape, in the plan's frame by best fit. Its places count the tapes first and then the
        shots, so that a suspect may be either.
    places
        ``(n, 2)``, where the stakes are on the grid the shots were given in, m.
    errors
        ``(n,)``, the standard error of each place in its worst direction, m.
    displacement
        From the plan to there.
    """

    sifted: Sifted
    places: Floats
    errors: Floats
    displacement: Displacement


def adjust_stakes(
    names: Sequence[str],
    plan: Floats,
    shots: Sequence[StakeShot],
    measurements: Sequence[Measurement] = (),
) -> StakedShape:
    """Adjust surveyed stakes and taped distances together and name what does not fit.

    Parameters
    ----------
    names
        The corners; each was shot, or taped from two others at least.
    plan
        Where they stand on the plan, m, shape ``(n, 2)``.
    shots
        The stakes as surveyed, near the plan.
    measurements
        The distances taped beside it.

    Returns
    -------
    StakedShape
        The shape without the readings that were named alone.

    Raises
    ------
    ComputationError
        When nothing fixes a corner, or no shape fits the readings.

    Notes
    -----
    Every shot is two observed coordinates, every tape a distance, each over its standard error.
    A reading is tested by ``T = v' P (P Qvv P)^- P v``, chi-squared with as many degrees of
    freedom as it is checked in: the square of the standardised residual for a tape, both
    coordinates together for a shot, so that turning the grid changes nothing (P. J. G. Teunissen,
    Testing Theory, chapter 4; from memory). The covariance is taken to inner constraints by
    ``S Q S'`` with ``S = I - G G'`` (W. Baarda, S-transformations and criterion matrices; from
    memory): the place of the whole is not part of the shape.
    """
    net = _TapesAndShots(names, plan, shots, measurements)
    kept = list(range(len(measurements) + len(shots)))
    result = first = net.solve(kept)
    suspects: list[Suspect] = []
    while len(suspects) < first.redundancy:
        found = net.worst(result)
        if found is None:
            break
        suspects.append(found)
        if not found.alone:
            break
        rest = [place for place in kept if place != found.members[0]]
        try:
            result = net.solve(rest)
        except ComputationError:
            break
        kept = rest
    left_out = frozenset(range(len(measurements) + len(shots))) - set(kept)
    sifted = Sifted(
        solution=net.solution(result),
        first=net.solution(first),
        adjusted=net.adjusted(result, suspects),
        suspects=tuple(suspects),
        left_out=left_out,
        redundancy=first.redundancy,
        notices=shot_notices(net.labels(), len(measurements), suspects, left_out, first.redundancy),
    )
    blocks = result.covariance.reshape(len(names), 2, len(names), 2)
    own = blocks[np.arange(len(names)), :, np.arange(len(names)), :]
    return StakedShape(
        sifted=sifted,
        places=result.points,
        errors=np.sqrt(np.linalg.eigvalsh(own)[:, -1]),
        displacement=displacement(plan, result.points),
    )


def displacement(plan: Floats, here: Floats) -> Displacement:
    """Give the shift and the turn that bring the plan as near as can be to where it stands.

    Parameters
    ----------
    plan, here
        x and y, m, shape ``(n, 2)``.

    Returns
    -------
    Displacement
        From the plan to there; the turn is nothing where all points are one place.
    """
    p, q = plan - plan.mean(axis=0), here - here.mean(axis=0)
    cosine = float((p * q).sum())
    sine = float(cross(p, q).sum())
    shift = here.mean(axis=0) - plan.mean(axis=0)
    turn = math.atan2(sine, cosine) if math.hypot(sine, cosine) > 0 else 0.0
    return Displacement(x=float(shift[0]), y=float(shift[1]), turn=turn)


@frozen(eq=False)
class _Result:
    """One adjustment: points, their cofactors, and residuals with theirs by kept reading."""

    kept: tuple[int, ...]
    points: Floats
    covariance: Floats
    residual: Mapping[int, Floats]
    spread: Mapping[int, Floats]
    redundancy: int
    total: float


class _TapesAndShots:
    """Tapes, then shots, as rows of one system."""

    def __init__(
        self,
        names: Sequence[str],
        plan: Floats,
        shots: Sequence[StakeShot],
        measurements: Sequence[Measurement],
    ) -> None:
        self.names, self.plan = tuple(names), plan
        self.shots, self.measurements = tuple(shots), tuple(measurements)
        self.at = {name: place for place, name in enumerate(names)}
        start = {shot.name: (shot.x, shot.y) for shot in reversed(self.shots)}
        seen = [name for name in names if name in start]
        there = np.array([start[name] for name in seen], dtype=float).reshape(-1, 2)
        own = plan[[self.at[name] for name in seen]]
        moved = displacement(own, there)
        c, s = math.cos(moved.turn), math.sin(moved.turn)
        # what was not shot starts where the plan has it beside those that were
        whole = (plan - own.mean(axis=0)) @ np.array([[c, s], [-s, c]]) + there.mean(axis=0)
        self.start = np.array([start.get(n, whole[i].tolist()) for n, i in self.at.items()])

    def labels(self) -> list[str]:
        return [self.label(i) for i in range(len(self.measurements) + len(self.shots))]

    def label(self, place: int) -> str:
        many = len(self.measurements)
        if place < many:
            return pair_of(self.measurements[place])
        return f"the shot of {self.shots[place - many].name}"

    def solve(self, kept: Sequence[int]) -> _Result:
        many, count = len(self.measurements), len(self.names)
        tapes = [place for place in kept if place < many]
        shots = [place for place in kept if place >= many]
        rows = MeasuredRows(self.names, [self.measurements[place] for place in tapes])
        taken = [self.shots[place - many] for place in shots]
        index = np.array([self.at[shot.name] for shot in taken], dtype=np.intp)
        seen = np.array([(shot.x, shot.y) for shot in taken], dtype=float).reshape(-1, 2)
        error = np.concatenate((rows.error, np.repeat([shot.error for shot in taken], 2)))
        points = self.start.copy()
        for _ in range(_STEPS):
            length, direction = rows.at(points)
            design = np.zeros((len(error), 2 * count))
            design[: len(tapes)] = rows.design(direction, count)
            at = len(tapes) + np.arange(2 * len(taken))
            design[at, np.column_stack((2 * index, 2 * index + 1)).ravel()] = 1.0
            misfit = np.concatenate((rows.distance - length, (seen - points[index]).ravel()))
            weighted = design / error[:, None]
            normal = weighted.T @ weighted
            self._refuse_loose(normal)
            step = np.linalg.solve(normal, weighted.T @ (misfit / error)).reshape(-1, 2)
            points = points + step
            if np.abs(step).max() < _CONVERGED or not np.isfinite(step).all():
                break
        if not np.isfinite(points).all() or np.abs(step).max() > ON_LINE:
            raise ComputationError(
                "no shape near the shots fits the tapes: look for swapped names or a wrong unit"
            )
        length = rows.at(points)[0]
        residual = np.concatenate((length - rows.distance, (points[index] - seen).ravel()))
        cofactor = np.linalg.inv(normal)
        spread = np.diag(error**2) - design @ cofactor @ design.T
        parts = {place: np.array([i]) for i, place in enumerate(tapes)}
        for i, place in enumerate(shots):
            parts[place] = len(tapes) + 2 * i + np.arange(2)
        return _Result(
            kept=tuple(kept),
            points=points,
            covariance=cofactor,
            residual={place: residual[part] for place, part in parts.items()},
            spread={place: spread[np.ix_(part, part)] for place, part in parts.items()},
            redundancy=len(error) - 2 * count,
            total=float(((residual / error) ** 2).sum()),
        )

    def _refuse_loose(self, normal: Floats) -> None:
        values, vectors = np.linalg.eigh(normal)
        if values[0] > 1e-9 * values[-1]:
            return
        free = np.hypot(*vectors[:, 0].reshape(-1, 2).T)
        name = self.names[int(np.argmax(free))]
        raise ComputationError(
            f"nothing fixes {name}: shoot it, or tape it from two other corners at least"
        )

    def error(self, place: int) -> float:
        many = len(self.measurements)
        if place < many:
            return self.measurements[place].standard_error
        return self.shots[place - many].error

    def test(self, result: _Result, place: int) -> tuple[float, float, Floats]:
        """Give T, the logarithm of its chance, and the mistake that explains it."""
        error = self.error(place)
        values, vectors = np.linalg.eigh(result.spread[place] / error**2)
        used = values > CHECKED
        if not used.any():
            return 0.0, 0.0, np.zeros(len(values))
        parts = vectors.T @ result.residual[place]
        size = float((parts[used] ** 2 / values[used]).sum()) / error**2
        if used.sum() == 2:
            chance = -size / 2
        else:
            root = math.sqrt(size / 2)
            # erfc runs out near 26: its first term is enough there
            chance = (
                math.log(math.erfc(root))
                if root < 20
                else -root * root - math.log(root * math.sqrt(math.pi))
            )
        return size, chance, -vectors[:, used] @ (parts[used] / values[used])

    def worst(self, result: _Result) -> Suspect | None:
        if result.redundancy <= 0:
            return None
        tests = {place: self.test(result, place) for place in result.kept}
        place = min(tests, key=lambda each: (tests[each][1], each))
        size, chance, mistake = tests[place]
        if chance >= math.log(CHANCE):
            return None
        alike = [p for p in tests if p != place and tests[p][0] >= ALIKE**2 * size]
        redundancy = float(np.trace(result.spread[place])) / self.error(place) ** 2
        redundancy /= len(mistake)
        off = float(mistake[0]) if len(mistake) == 1 else float(np.hypot(*mistake))
        error = self.error(place) / math.sqrt(redundancy)
        return Suspect(
            members=(place, *alike),
            size=off,
            size_error=error,
            standardised=math.copysign(math.sqrt(size), -off),
            redundancy=redundancy,
            slip=likely_slip(off, error) if len(mistake) == 1 else "",
        )

    def solution(self, result: _Result) -> FittedNetwork:
        free = inner_constraints(result.points)
        clear = np.eye(len(free)) - free @ free.T
        fitted = best_fit(result.points, self.plan)
        moved = displacement(result.points, fitted)
        c, s = math.cos(moved.turn), math.sin(moved.turn)
        turn = np.kron(np.eye(len(self.names)), np.array([[c, -s], [s, c]]))
        inner = turn @ clear @ result.covariance @ clear.T @ turn.T
        kept = [place for place in result.kept if place < len(self.measurements)]
        freedom = result.redundancy
        return FittedNetwork(
            names=self.names,
            coordinates=fitted,
            covariance=inner,
            adjusted=tuple(self._adjusted(result, place) for place in kept),
            redundancy=freedom,
            variance_factor=result.total / freedom if freedom > 0 else None,
            correlation=np.eye(len(kept)),
        )

    def _adjusted(self, result: _Result, place: int) -> Adjusted:
        reading = self.measurements[place]
        residual = float(result.residual[place][0])
        number = float(result.spread[place][0, 0]) / reading.standard_error**2
        checked = number > CHECKED
        return Adjusted(
            measurement=reading,
            adjusted=reading.distance + residual,
            residual=residual,
            standardised=residual / reading.standard_error / math.sqrt(number) if checked else 0.0,
            redundancy=min(number, 1.0) if checked else 0.0,
        )

    def adjusted(self, result: _Result, suspects: Sequence[Suspect]) -> tuple[Adjusted, ...]:
        named = {suspect.members[0]: suspect for suspect in suspects}
        found = []
        for place, each in enumerate(self.measurements):
            if place in result.residual:
                found.append(self._adjusted(result, place))
                continue
            step = result.points[self.at[each.to_name]] - result.points[self.at[each.from_name]]
            found.append(left_out_reading(each, step, named[place]))
        return tuple(found)
