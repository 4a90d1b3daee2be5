"""The rules of stepped footings written anew as a mixed-integer programme, for HiGHS to solve."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import lil_matrix

from staking.grade.stepped_footing import CellBounds
from staking.grade.stepping.step_places import WallRun
from staking.grade.stepping.step_rules import GradeRules
from staking.grade.stepping.wall_network import Network

Row = tuple[dict[int, float], float, float]


@dataclass(frozen=True)
class Programme:
    """Courses of every cell, then a yes or no for every place a step may stand."""

    cost: np.ndarray
    bounds: Bounds
    constraint: LinearConstraint
    cells: int

    def least(self, most_steps: int | None = None) -> float | None:
        """The least objective, m2, with so many steps at most; None where there is none."""
        constraints = [self.constraint]
        if most_steps is not None:
            is_step = np.arange(len(self.cost)) >= self.cells
            constraints.append(LinearConstraint(is_step.astype(float), 0.0, float(most_steps)))
        answer = milp(
            self.cost,
            integrality=np.ones(len(self.cost)),
            bounds=self.bounds,
            constraints=constraints,
            options={"mip_rel_gap": 0.0},
        )
        if most_steps is not None and not answer.success:
            return None
        assert answer.success
        return float(self.cost @ np.rint(answer.x))


def programme(
    network: Network, bounds: tuple[CellBounds, ...], rules: GradeRules, runs: tuple[WallRun, ...]
) -> Programme:
    """Write the rules down; `runs` gives the distances from corners and junctions."""
    start = np.concatenate(([0], np.cumsum([len(bound.required) for bound in bounds])))
    cells = int(start[-1])
    most = max(max(bound.required) for bound in bounds)
    least = np.concatenate([bound.required for bound in bounds]).astype(float)
    rows: list[Row] = []
    cost = [float(length) * rules.course for bound in bounds for length in np.diff(bound.edges)]
    at_node: dict[int, list[int]] = {}
    for w, bound in enumerate(bounds):
        edges = np.array(bound.edges)
        nodes = network.strands[w].nodes
        name, length = network.strands[w].name, float(edges[-1])
        places = [place for _, place in nodes]
        origin = bond_origin(name, length)
        rows += _steps(int(start[w]), edges, places, runs[w], rules, cost, origin)
        for node, place in nodes:
            for i in range(len(edges) - 1):
                if abs(edges[i] - place) < 1e-6 or abs(edges[i + 1] - place) < 1e-6:
                    at_node.setdefault(node, []).append(int(start[w]) + i)
    for joined in at_node.values():
        rows += [({joined[0]: 1.0, other: -1.0}, 0.0, 0.0) for other in joined[1:]]
    matrix = lil_matrix((len(rows), len(cost)))
    for r, (row, _, _) in enumerate(rows):
        for c, value in row.items():
            matrix[r, c] = value
    more = len(cost) - cells
    return Programme(
        cells=cells,
        cost=np.array(cost),
        bounds=Bounds(
            np.concatenate((least, np.zeros(more))),
            np.concatenate((np.full(cells, float(most)), np.ones(more))),
        ),
        constraint=LinearConstraint(
            matrix.tocsr(), [row[1] for row in rows], [row[2] for row in rows]
        ),
    )


def bond_origin(name: str, length: float) -> float:
    """Where the bond of a wall starts: at its corner that comes first by name, m along it."""
    first, _, last = name.partition("-")
    return length if last and last < first else 0.0


def _steps(
    first: int,
    edges: np.ndarray,
    nodes: list[float],
    run: WallRun,
    rules: GradeRules,
    cost: list[float],
    origin: float,
) -> list[Row]:
    """Rows of one wall: where, how far and how far apart it may step; adds its steps' costs."""
    rows: list[Row] = []
    steps: list[tuple[float, int]] = []
    for i in range(1, len(edges) - 1):
        left, right, station = first + i - 1, first + i, float(edges[i])
        along = (station - origin) / rules.module
        bond = abs(along - round(along)) < 1e-6
        # Only the nearest node on either side keeps a step away.
        around = [
            (abs(station - place), reach)
            for place, reach in zip(nodes, run.clear, strict=True)
            if not any(
                min(station, place) + 1e-6 < other < max(station, place) - 1e-6 for other in nodes
            )
        ]
        if not bond or any(away < 1e-6 or away < reach - 1e-6 for away, reach in around):
            rows.append(({left: 1.0, right: -1.0}, 0.0, 0.0))
            continue
        for sign in (1.0, -1.0):
            row = {left: sign, right: -sign, len(cost): -float(rules.max_step)}
            rows.append((row, -np.inf, 0.0))
        steps.append((station, len(cost)))
        cost.append(rules.step_cost)
    for (s, i), (t, j) in itertools.combinations(steps, 2):
        if t - s < rules.min_run - 1e-6:
            rows.append(({i: 1.0, j: 1.0}, 0.0, 1.0))
    return rows
