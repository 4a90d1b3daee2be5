"""Where steps may stand: on the bond, clear of corners and junctions, or where they are fixed."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from staking.errors import ComputationError
from staking.frozen import frozen
from staking.grade.stepped_footing import CellBounds, WallSteps
from staking.grade.stepping.step_rules import GradeRules, overlap
from staking.grade.stepping.stretch import CellStretch
from staking.grade.stepping.wall_network import Network, Strand
from staking.kinds import FootingKind
from staking.tolerances import ON_LINE


@frozen
class WallRun:
    """Where one wall may step.

    Parameters
    ----------
    module
        Steps stand on its multiples from where the wall's bond starts, m.
    clear
        How far from each of the wall's nodes, in their order, the nearest step stands, m.
    fixed
        The stations, m, at each of which the wall must step, and nowhere else; None where steps
        may stand anywhere.
    """

    wall: str
    module: float
    clear: tuple[float, ...]
    fixed: tuple[float, ...] | None = None


def wall_runs(
    network: Network, rules: GradeRules, walls: Sequence[WallSteps] = ()
) -> tuple[WallRun, ...]:
    """Find where each wall may step.

    Parameters
    ----------
    network
        The walls.
    rules
        `corner_run`, or None for the crossing footing's inner edge plus the overlap, rounded up
        to the module.
    walls
        Fixed steps and level walls.

    Returns
    -------
    tuple of WallRun
        In the network's order.
    """
    fixed: dict[str, tuple[float, ...] | None] = {}
    for told in walls:
        strand = network.strand(told.wall)
        fixed[strand.name] = told.stations(strand.name, strand.length)
    runs = []
    for strand in network.strands:
        clear = []
        for node, _ in strand.nodes:
            run = rules.corner_run
            if run is None:
                run = _corner_run(network, strand, node, rules)
            clear.append(run)
        runs.append(
            WallRun(
                wall=strand.name,
                module=rules.module,
                clear=tuple(clear),
                fixed=fixed.get(strand.name),
            )
        )
    return tuple(runs)


def _corner_run(network: Network, strand: Strand, node: int, rules: GradeRules) -> float:
    rise = rules.max_step * rules.course
    reach = 0.0
    for other in network.strands:
        if other is strand or all(number != node for number, _ in other.nodes):
            continue
        inner = other.footing.inside
        if other.kind is FootingKind.INTERIOR:
            inner = other.footing.width / 2
        along = (
            (other.end[0] - other.start[0]) * strand.out[0]
            + (other.end[1] - other.start[1]) * strand.out[1]
        ) / other.length
        # Walls in one line do not cross; a shallow angle's run is taken at a right angle.
        if abs(along) > 0.17:
            reach = max(reach, inner / abs(along))
    run = reach + overlap(rules.rule, rise, strand.footing.thickness)
    return math.ceil(run / rules.module - ON_LINE) * rules.module


def check_fixed(network: Network, rules: GradeRules, runs: Sequence[WallRun]) -> None:
    """Refuse fixed steps that break the rules by where they stand.

    Parameters
    ----------
    network, rules, runs
        Walls, rules and the fixed stations.

    Raises
    ------
    ComputationError
        Where a fixed step is off the wall, too near a corner or junction, or two are too near
        each other; it names the wall, the place by its order, and the rule.
    """
    for strand, run in zip(network.strands, runs, strict=True):
        before = -math.inf
        for number, station in enumerate(sorted(run.fixed or ()), start=1):
            who = f"{strand.name}: fixed step {number}"
            if rules.max_step == 0:
                raise ComputationError(f"{who} is forbidden by max_step 0; make it 1")
            if not 0 < station < strand.length:
                raise ComputationError(f"{who} is not on the wall; give its station")
            for (node, place), clear in zip(strand.nodes, run.clear, strict=True):
                if abs(station - place) < clear - ON_LINE:
                    raise ComputationError(
                        f"{who} is nearer to {network.nodes[node]} than corner_run; "
                        "move the step or make corner_run smaller"
                    )
            if station - before < rules.run - ON_LINE:
                raise ComputationError(
                    f"{who} is nearer to the one before than min_run; "
                    "move the step or make min_run smaller"
                )
            before = station


def stretches(
    network: Network,
    bounds: Sequence[CellBounds],
    shifts: Sequence[int],
    runs: Sequence[WallRun],
) -> list[CellStretch]:
    """Cut the walls at their corners and junctions.

    Parameters
    ----------
    network, bounds
        Walls and their cells.
    shifts
        What is added to the number of a wall's courses to number its levels.
    runs
        Where steps may stand.

    Returns
    -------
    list of CellStretch
        Walls in order, each from its first corner.
    """
    found = []
    for i, (strand, bound, run) in enumerate(zip(network.strands, bounds, runs, strict=True)):
        edges, least = np.array(bound.edges), np.array(bound.required, dtype=np.int64)
        stations = [station for _, station in strand.nodes]
        cuts = [int(np.abs(edges - station).argmin()) for station in stations]
        if run.fixed is None:
            off = strand.off_bond(edges, run.module)
            may, must = off <= ON_LINE, np.zeros(len(edges), dtype=bool)
        else:
            must = np.zeros(len(edges), dtype=bool)
            for station in run.fixed:
                must[np.abs(edges - station).argmin()] = True
            may = must.copy()
        for k in range(len(cuts) - 1):
            low, high = cuts[k], cuts[k + 1]
            part = edges[low : high + 1]
            clear = part >= stations[k] + run.clear[k] - ON_LINE
            clear &= part <= stations[k + 1] - run.clear[k + 1] + ON_LINE
            clear[0] = clear[-1] = False
            found.append(
                CellStretch(
                    strand=i,
                    start=strand.nodes[k][0],
                    end=strand.nodes[k + 1][0],
                    edges=part,
                    least=least[low:high] + shifts[i],
                    may=may[low : high + 1] & clear,
                    must=must[low : high + 1] & clear,
                )
            )
    return found
