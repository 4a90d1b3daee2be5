"""Readings that leave a corner free to move: which corner, and what to tape next."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from staking.errors import ComputationError
from staking.network.geometry import Floats
from staking.network.measured import MeasuredRows, inner_constraints
from staking.tolerances import SAME_POINT

LOOSE = 1e-3
"""Not fixed: a motion that changes the taped distances by less than this share of itself.

A tape's error would show a thousand times larger in the stakes.
"""


class NotFixedError(ComputationError):
    """The readings do not fix the shape.

    Parameters
    ----------
    message
        What is missing, in a sentence.
    loose
        The corners that can move against the rest.
    tape_next
        The pairs to tape next, the most telling first; with all of them the shape is fixed.
        Empty where no pair that may be taped helps.
    """

    def __init__(
        self, message: str, loose: tuple[str, ...], tape_next: tuple[tuple[str, str], ...]
    ) -> None:
        super().__init__(message)
        self.loose = loose
        self.tape_next = tape_next


def refuse_loose(
    names: Sequence[str],
    goal: Floats,
    rows: MeasuredRows,
    usable: Sequence[tuple[str, str]] | None,
) -> None:
    """Refuse readings that do not fix the shape.

    Parameters
    ----------
    names, goal
        The corners and where they stand on the plan, m, shape ``(n, 2)``.
    rows
        The readings.
    usable
        The pairs that may be taped next; all by default.

    Raises
    ------
    NotFixedError
        When a motion beyond two shifts and a turn changes the distances by too little.
    """
    count = len(names)
    direction = rows.at(goal)[1]
    free = inner_constraints(goal)
    normal = rows.normal(direction, count) + free @ free.T
    if len(rows.first) >= 2 * count - free.shape[1]:
        try:
            np.linalg.cholesky(normal)
            if np.linalg.norm(np.linalg.inv(normal)) < 1 / LOOSE**2:
                return
        except np.linalg.LinAlgError:
            pass
    values, vectors = np.linalg.eigh(normal)
    motions = vectors[:, values < LOOSE**2]
    if not motions.shape[1]:
        return
    pairs = _tape_next(names, goal, motions, rows, usable)
    sizes = np.linalg.norm(motions.reshape(count, -1), axis=1)
    loose = tuple(
        name for name, size in zip(names, sizes, strict=True) if size > 1e-3 * sizes.max()
    )
    told = " and ".join(f"{one}-{other}" for one, other in pairs)
    remedy = f"tape {told} next" if told else "no pair within reach of the tape would fix it"
    many = len(rows.first)
    said = "1 reading does" if many == 1 else f"{many} readings do"
    raise NotFixedError(
        f"{said} not fix the shape of {count} corners: {remedy}",
        loose,
        pairs,
    )


def _tape_next(
    names: Sequence[str],
    goal: Floats,
    motions: Floats,
    rows: MeasuredRows,
    usable: Sequence[tuple[str, str]] | None,
) -> tuple[tuple[str, str], ...]:
    at = {name: place for place, name in enumerate(names)}
    if usable is None:
        ordered = sorted(names)
        usable = [(a, b) for i, a in enumerate(ordered) for b in ordered[i + 1 :]]
    taped = {
        frozenset(pair) for pair in zip(rows.first.tolist(), rows.second.tolist(), strict=True)
    }
    left = sorted(
        pair
        for pair in (tuple(sorted(pair)) for pair in usable)
        if set(pair) <= at.keys() and frozenset((at[pair[0]], at[pair[1]])) not in taped
    )
    if not left:
        return ()
    first = np.array([at[a] for a, _ in left])
    second = np.array([at[b] for _, b in left])
    step = goal[second] - goal[first]
    direction = step / np.maximum(np.hypot(step[:, 0], step[:, 1]), SAME_POINT)[:, None]
    found: list[tuple[str, str]] = []
    while motions.shape[1]:
        blocks = motions.reshape(len(names), 2, -1)
        change = np.einsum("pi,pik->pk", direction, blocks[second] - blocks[first])
        size = np.linalg.norm(change, axis=1)
        if size.max() <= LOOSE:
            return ()
        best = int(np.flatnonzero(size >= size.max() - 1e-9)[0])
        found.append((left[best][0], left[best][1]))
        # what the new distance holds is taken out of the motions still free
        held = change[best] / size[best]
        basis = np.linalg.svd(held[None, :])[2][1:]
        motions = motions @ basis.T
    return tuple(found)
