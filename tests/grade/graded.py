"""A job's levels put together by hand from the core, for the tests of what is drawn of them."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np

from staking.grade.graded import Graded, GradedWall, GroundLine
from staking.grade.stepping.built_steps import as_built
from staking.grade.stepping.cheapest import GradeRequest, step_footings
from staking.grade.stepping.wall_network import Strand, build_network
from staking.grade.trench_depth import deep_stretches, trench_depths
from staking.kinds import RodMarks
from staking.plan import Options

FOOT = 0.3048


def ground_line(request: GradeRequest, strand: Strand, spacing: float = 2 * FOOT) -> GroundLine:
    """The ground along a wall's outside face, read at even spaces."""
    stations = np.linspace(0.0, strand.length, max(2, round(strand.length / spacing) + 1))
    spots = np.array([strand.place(station, 0.0) for station in stations.tolist()])
    site: Any = request.site
    existing = site.existing.at(spots)
    finished = existing + site.fill if site.finished is None else site.finished.at(spots)
    undisturbed = np.minimum(finished, existing - request.rules.strip)
    return GroundLine(
        stations=stations, existing=existing, finished=finished, undisturbed=undisturbed
    )


def graded(
    request: GradeRequest,
    *,
    base: float = 0.0,
    string: float | None = None,
    benchmark: tuple[str, float] | None = None,
) -> Graded:
    """The levels of a request, without rods, stakes, boards and alternatives."""
    stepped = step_footings(request, count_next=False)
    network = build_network(request.plan)
    walls: list[GradedWall] = []
    for profile, strand in zip(stepped.walls, network.strands, strict=True):
        built = as_built(profile, strand, request.rules, base)
        walls.append(
            GradedWall(
                profile=profile,
                strand=strand,
                built=built,
                ground=ground_line(request, strand),
                deep=deep_stretches(profile, strand, request.site, base, built),
                depths=trench_depths(profile, strand, request.site, base, built),
            )
        )
    return Graded(
        request=request,
        stepped=stepped,
        walls=tuple(walls),
        pads=stepped.pads,
        string=string,
        benchmark=benchmark[0] if benchmark else None,
        benchmark_level=benchmark[1] if benchmark else None,
        instrument=None,
        rod=RodMarks.INCHES,
        rod_length=13 * FOOT,
        levels=(),
        digs=(),
        stakes=(),
        boards=(),
        gains=(),
        larger_steps=None,
        undercuts=(),
        greatest_depth=0.0,
    )


def laid_out(
    request: GradeRequest,
    options: Options | None = None,
    *,
    base: float = 0.0,
    string: float | None = None,
    benchmark: tuple[str, float] | None = None,
) -> Any:
    """What a profile needs of a layout: plan, options and levels."""
    options = options or Options()
    return SimpleNamespace(
        plan=request.plan,
        options=replace(options, dig=replace(options.dig, base=base)),
        grade=graded(request, base=base, string=string, benchmark=benchmark),
    )
