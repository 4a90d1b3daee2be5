"""Hubs: offset stakes on the wall lines run on, kept when the corner stakes are dug out."""

from __future__ import annotations

from staking.footing.bands_and_outlines import Band
from staking.kinds import StringKind
from staking.layout.keep_clear import InTheWay
from staking.layout.layout_parts import Board, Hub, String
from staking.layout.obstacles import Stretch
from staking.lines import direction
from staking.notices import Notice, Severity, notice
from staking.plan import Options, Plan, Point, Wall
from staking.tolerances import ON_LINE, SAME_POINT

HUB_PAST_BOARD = 2 * 0.3048
"""How far past the board a hub stands, m (common practice, no source)."""


def place_hubs(
    plan: Plan,
    options: Options,
    strings: tuple[String, ...],
    boards: tuple[Board, ...],
    dig_bands: tuple[Band, ...],
) -> tuple[tuple[Hub, ...], tuple[Notice, ...]]:
    """Place two hubs for each corner, one on each of its walls' lines run on past the corner.

    A hub stands 2 ft beyond the board on its line. Corners that share a string share the stake
    at its end; it is listed under each.

    Parameters
    ----------
    plan
        The building.
    options
        How the job is set out; hubs follow the boards, which follow its rules.
    strings, boards
        What was laid out on the plan.
    dig_bands
        What is dug.

    Returns
    -------
    tuple of Hub
        Ordered by corner, then by wall.
    tuple of Notice
        Which hubs have no place, and why.
    """
    ground = InTheWay.of(plan, dig_bands)
    by_wall = {
        wall: string
        for string in strings
        if string.kind is StringKind.WALL
        for wall in string.walls
    }
    by_name = {board.name: board for board in boards}
    hubs: list[Hub] = []
    boardless: list[str] = []
    blocked: list[str] = []
    # Many corners may share one string's end, which is looked at once.
    looked: dict[tuple[str, bool], Point | None] = {}
    for corner, point, wall, far in _corner_walls(plan):
        string = by_wall.get(wall.name)
        if string is None:
            continue
        way = direction(string.start, string.end)
        outward = (point[0] - far[0]) * way[0] + (point[1] - far[1]) * way[1] > 0
        board = string.boards[1 if outward else 0]
        if board is None:
            boardless.append(f"{corner} on {wall.sorted_name}")
            continue
        key = (string.name, outward)
        if key not in looked:
            away = way if outward else (-way[0], -way[1])
            looked[key] = _beyond(ground, by_name[board], away)
        place = looked[key]
        if place is None:
            blocked.append(f"{corner} on {wall.sorted_name}")
        else:
            hubs.append(Hub(corner=corner, wall=wall.name, x=place[0], y=place[1]))
    return tuple(hubs), _told(boardless, blocked)


def _corner_walls(plan: Plan) -> list[tuple[str, Point, Wall, Point]]:
    # Give each corner with each wall of ours at it: name, place, wall, the wall's other end.
    found: list[tuple[str, Point, Wall, Point]] = []
    for building in plan.buildings:
        corners = building.corners
        for i, wall in enumerate(building.walls):
            if wall.existing is None:
                first, last = corners[i], corners[(i + 1) % len(corners)]
                found.append((first.name, first.point, wall, last.point))
                found.append((last.name, last.point, wall, first.point))
    return sorted(found, key=lambda item: (item[0], item[2].sorted_name))


def _beyond(ground: InTheWay, tied: Board, away: Point) -> Point | None:
    # The hub's place, or None where it, or the line from the board to it, is in something's way.
    board = (tied.x, tied.y)
    sight = ground.look_along(board, away, (-SAME_POINT, SAME_POINT))
    stretches: list[Stretch] = [stretch for _, stretch in sight.kept_off]
    stretches += [stretch for one in sight.inside for stretch in one]
    # A board on the inside, where that is allowed, has its hub inside too.
    entered = [low for low, high in stretches if high > SAME_POINT and low > -SAME_POINT]
    entered += [place for place in sight.met if place > SAME_POINT]
    dug = ground.dig.blocked(board, away, (-2 * ON_LINE, 2 * ON_LINE), 0.0, sight.dig)
    if any(low <= HUB_PAST_BOARD + ON_LINE for low in entered):
        return None
    if any(low < HUB_PAST_BOARD < high for low, high in dug):
        return None
    return (board[0] + HUB_PAST_BOARD * away[0], board[1] + HUB_PAST_BOARD * away[1])


def _told(boardless: list[str], blocked: list[str]) -> tuple[Notice, ...]:
    notices: list[Notice] = []
    if boardless:
        notices.append(
            notice(
                "hub-without-board",
                "no hub for {places}: there is no board to set it beyond",
                severity=Severity.NOTE,
                places=", ".join(boardless),
            )
        )
    if blocked:
        notices.append(
            notice(
                "hub-blocked",
                "no hub for {places}: the line beyond the board is not clear",
                places=", ".join(blocked),
            )
        )
    return tuple(notices)
