from __future__ import annotations

import itertools

import numpy as np
import pytest

from staking.grade.stepping.stretch import (
    NANO,
    NEVER,
    SCALE,
    CellStretch,
    most_steps,
    solve_stretches,
    trace,
)


def every_way(
    stretch: CellStretch, size: int, step: int, max_step: int, min_run: float
) -> dict[tuple[int, int, int], tuple[int, list[tuple[int, ...]]]]:
    """Every profile that keeps the rules: cheapest cost and ways, by both ends and steps."""
    lengths = [round(float(x) * NANO) * SCALE for x in np.diff(stretch.edges)]
    best: dict[tuple[int, int, int], tuple[int, list[tuple[int, ...]]]] = {}
    for way in itertools.product(range(size), repeat=len(lengths)):
        if any(n < low for n, low in zip(way, stretch.least.tolist(), strict=True)):
            continue
        at = [i + 1 for i in range(len(way) - 1) if way[i] != way[i + 1]]
        if any(not stretch.may[i] or abs(way[i] - way[i - 1]) > max_step for i in at):
            continue
        if any(must and i not in at for i, must in enumerate(stretch.must.tolist())):
            continue
        stations = [float(stretch.edges[i]) for i in at]
        if any(b - a < min_run - 1e-6 for a, b in itertools.pairwise(stations)):
            continue
        cost = sum(x * n for x, n in zip(lengths, way, strict=True)) + step * len(at)
        key = (way[0], way[-1], len(at))
        if key not in best or cost < best[key][0]:
            best[key] = (cost, [way])
        elif cost == best[key][0]:
            best[key][1].append(way)
    return best


@pytest.mark.parametrize("seed", range(40))
def test_a_stretch_is_the_cheapest_of_every_way(seed: int) -> None:
    rng = np.random.default_rng(seed)
    cells, size = int(rng.integers(1, 7)), 4
    edges = np.concatenate(([0.0], np.cumsum(rng.integers(1, 4, cells) * 0.1)))
    may = rng.random(cells + 1) < 0.8
    may[[0, -1]] = False
    stretch = CellStretch(
        strand=0,
        start=0,
        end=1,
        edges=edges,
        least=rng.integers(0, 3, cells),
        may=may,
        must=may & (rng.random(cells + 1) < 0.15),
    )
    step, max_step = int(rng.integers(0, 4)) * 10**8 * SCALE + 1, int(rng.integers(1, 3))
    min_run = float(rng.integers(0, 5)) * 0.1
    ways = every_way(stretch, size, step, max_step, min_run)
    levels = np.arange(size, dtype=np.int64)
    (table,) = solve_stretches([stretch], levels, (step, max_step), min_run)
    (counted,) = solve_stretches([stretch], levels, (step, max_step), min_run, 3)
    for start, end in itertools.product(range(size), repeat=2):
        mine = {k[2]: v for k, v in ways.items() if k[:2] == (start, end)}
        least = min((cost for cost, _ in mine.values()), default=NEVER)
        assert table.to_go[0, start, end, 0] == least
        for count in range(3):
            fitting = [v[0] for k, v in mine.items() if k == count or (count == 2 and k > 2)]
            kept_apart = counted.to_go[0, start, end].tolist() + [NEVER] * 3
            assert kept_apart[count] == min(fitting, default=NEVER)
        if mine:
            ties = [way for cost, found in mine.values() if cost == least for way in found]
            assert tuple(trace(stretch, table, (start, end), (step, max_step))) == max(ties)


@pytest.mark.parametrize("seed", range(40))
def test_a_stretch_has_no_more_steps_than_its_places_and_the_run_between_them_allow(
    seed: int,
) -> None:
    # Against every choice among the places, 2 to the power of at most 8.
    rng = np.random.default_rng(seed)
    cells = int(rng.integers(1, 10))
    edges = np.concatenate(([0.0], np.cumsum(rng.integers(1, 4, cells) * 0.1)))
    may = rng.random(cells + 1) < 0.7
    may[[0, -1]] = False
    stretch = CellStretch(
        strand=0,
        start=0,
        end=1,
        edges=edges,
        least=np.zeros(cells, dtype=np.int64),
        may=may,
        must=np.zeros(cells + 1, dtype=bool),
    )
    run = float(rng.integers(0, 6)) * 0.1
    places = edges[may].tolist()
    most = max(
        len(chosen)
        for count in range(len(places) + 1)
        for chosen in itertools.combinations(places, count)
        if all(b - a >= run - 1e-6 for a, b in itertools.pairwise(chosen))
    )
    assert most_steps(stretch, run) == most
