"""Cut or fill at every corner stake and hub."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from staking.grade.graded import StakeLevel
from staking.grade.setting_out.board_heights import GroundAt
from staking.grade.stepped_footing import SteppedFooting
from staking.grade.stepping.cells import Ground
from staking.grade.stepping.wall_network import Network
from staking.grade.terrain.ground_readings import GroundReadings
from staking.grade.terrain.surveyed_ground import SurveyedGround
from staking.kinds import StakeKind
from staking.layout.layout_parts import Board, Hub
from staking.notices import Notice, notice
from staking.plan import Point


def dig_at_nodes(network: Network, stepped: SteppedFooting, base: float = 0.0) -> dict[str, float]:
    """Give the dig level at every corner and junction.

    Parameters
    ----------
    network, stepped
        Walls and their levels, in one order.
    base
        Stone under the footing, m.

    Returns
    -------
    dict
        Elevation, m, by the node's name; where footings of different thickness meet, the lowest.
    """
    found: dict[str, float] = {}
    for strand, profile in zip(network.strands, stepped.walls, strict=True):
        for number, station in strand.nodes:
            name = network.nodes[number]
            for level in profile.levels:
                if level.start <= station <= level.end:
                    found[name] = min(found.get(name, math.inf), level.bottom - base)
    return found


def stake_levels(
    corners: Mapping[str, Point],
    hubs: Sequence[Hub],
    dig: Mapping[str, float],
    ground_at: GroundAt,
) -> tuple[StakeLevel, ...]:
    """Give the ground at every corner stake and hub, and the cut or fill from it to the dig.

    Parameters
    ----------
    corners
        Places of the corner stakes, m.
    hubs
        The offset stakes.
    dig
        Dig level at each corner, m; corners without one, and their hubs, are left out.
    ground_at
        The existing ground, not-a-number where it is not known.

    Returns
    -------
    tuple of StakeLevel
        Corners in the order given, each followed by its hubs.
    """
    stakes: list[tuple[StakeKind, str, str, Point]] = []
    for name, place in corners.items():
        if name not in dig:
            continue
        stakes.append((StakeKind.CORNER, name, name, place))
        stakes += [
            (StakeKind.HUB, f"{hub.corner} on {hub.wall}", name, (hub.x, hub.y))
            for hub in hubs
            if hub.corner == name
        ]
    if not stakes:
        return ()
    ground = ground_at(np.array([place for *_, place in stakes])).tolist()
    return tuple(
        StakeLevel(
            kind=kind,
            name=name,
            x=place[0],
            y=place[1],
            ground=None if math.isnan(here) else here,
            dig=dig[corner],
            cut=None if math.isnan(here) else here - dig[corner],
        )
        for (kind, name, corner, place), here in zip(stakes, ground, strict=True)
    )


def beyond_notices(ground: Ground, boards: Sequence[Board], hubs: Sequence[Hub]) -> list[Notice]:
    """Name the boards and hubs under which the ground was not measured.

    Parameters
    ----------
    ground
        The existing ground.
    boards, hubs
        As they stand.

    Returns
    -------
    list of Notice
        One ``ground-beyond-stakes`` warning, or none.
    """
    named = [(f"board {board.name}", (board.x, board.y)) for board in boards]
    named += [(f"the hub of {hub.corner} on {hub.wall}", (hub.x, hub.y)) for hub in hubs]
    if not named or not isinstance(ground, SurveyedGround | GroundReadings):
        return []
    beyond = ground.is_beyond(np.array([place for _, place in named]))
    names = [name for (name, _), is_out in zip(named, beyond, strict=True) if is_out]
    if not names:
        return []
    return [
        notice(
            "ground-beyond-stakes",
            "{names} {stand} on ground that nobody measured; as you asked, it is taken to be as "
            "high as the nearest: check {there} with the rod before cutting stakes",
            names="all boards and hubs" if len(names) == len(named) else ", ".join(names),
            stand="stand" if len(names) > 1 else "stands",
            there="them" if len(names) > 1 else "it",
        )
    ]
