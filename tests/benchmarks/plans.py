"""Plans to time: combs of any number of corners, and invented house plans."""

from __future__ import annotations

from staking.plan import Building, Corner, Footing, InteriorLine, Options, Pad, Plan, Wall

FOOT = 0.3048
FOOTING = Footing(width=20 / 12 * FOOT, thickness=10 / 12 * FOOT, outside=0.5 * FOOT)
TOOTH = 40 * FOOT


def corner_name(index: int) -> str:
    return f"C{index:05d}"


def outline(points: list[tuple[float, float]], prefix: str = "") -> Building:
    """Return the building whose outside faces run through `points`, m."""
    names = [prefix + corner_name(index) for index in range(len(points))]
    corners = tuple(Corner(name=name, x=x, y=y) for name, (x, y) in zip(names, points, strict=True))
    walls = tuple(
        Wall(start=start, end=end, thickness=8 / 12 * FOOT, footing=FOOTING)
        for start, end in zip(names, names[1:] + names[:1], strict=True)
    )
    return Building(name=None, corners=corners, walls=walls)


def comb(corners: int) -> Plan:
    """Return a comb: a back of 40' with teeth of 40' by 40', 40' apart; `corners` divides by 4."""
    teeth = corners // 4
    points = [(0.0, 0.0), ((2 * teeth - 1) * TOOTH, 0.0)]
    for tooth in reversed(range(teeth)):
        left, right = 2 * tooth * TOOTH, (2 * tooth + 1) * TOOTH
        points += [(right, 2 * TOOTH), (left, 2 * TOOTH)]
        if tooth:
            points += [(left, TOOTH), (left - TOOTH, TOOTH)]
    return Plan(job=f"comb of {corners} corners", buildings=(outline(points),))


def house(number: int) -> Plan:
    """Return one of a row of L-shaped houses, no two alike, with one bearing line and two piers."""
    length, depth = (28 + number % 17) * FOOT, (22 + number % 11) * FOOT
    wing, out = (10 + number % 7) * FOOT, (6 + number % 5) * FOOT
    points = [
        (0.0, 0.0),
        (length, 0.0),
        (length, depth),
        (wing, depth),
        (wing, depth + out),
        (0.0, depth + out),
    ]
    at = 0.5 * (length + wing)
    line = InteriorLine(
        name="G",
        start=(at, 0.0),
        end=(at, depth),
        start_on="C00000-C00001",
        end_on="C00002-C00003",
        thickness=8 / 12 * FOOT,
        footing=FOOTING,
    )
    piers = tuple(
        Pad(
            name=f"P{index}",
            x=length + 6 * FOOT,
            y=(6 + 8 * index) * FOOT,
            size=(2 * FOOT, 2 * FOOT),
            diameter=None,
            thickness=FOOT,
        )
        for index in (0, 1)
    )
    return Plan(job=f"house {number}", buildings=(outline(points),), interior=(line,), pads=piers)


def options() -> Options:
    """Return the job file's defaults."""
    return Options()
