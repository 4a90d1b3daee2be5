"""The outline of each building, in whichever of the three ways it is given."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator
from itertools import count

from staking.errors import MeasureError
from staking.frozen import frozen
from staking.job.building.closed_shapes import first_clash, has_no_area, repeated
from staking.job.keys.fields import check_name, length_of
from staking.job.keys.models import BuildingKeys
from staking.job.keys.plausible_check import judge
from staking.job.tree.faults import Faults
from staking.job.tree.job_limits import LONGEST_SIDE, MOST_CORNERS
from staking.job.tree.source import Branch, Place, Scalar
from staking.measure.lengths import parse_bearing
from staking.plan import Corner, Point
from staking.tolerances import SAME_POINT

WAYS = ("corners", "rectangle", "sides")

_HEADINGS = {
    "east": 0.0, "northeast": math.pi / 4, "north": math.pi / 2, "northwest": 3 * math.pi / 4,
    "west": math.pi, "southwest": 5 * math.pi / 4, "south": 3 * math.pi / 2,
    "southeast": 7 * math.pi / 4,
}  # fmt: skip
_STEPS = {"east": (1.0, 0.0), "north": (0.0, 1.0), "west": (-1.0, 0.0), "south": (0.0, -1.0)}
_QUADRANT = re.compile(r"(?P<bearing>[NS]\s*[0-9].*?[EW])\s+(?P<length>\S.*)", re.I | re.DOTALL)
_WORD = re.compile(r"(?P<bearing>\S+)\s+(?P<length>\S.*)", re.DOTALL)
_EXAMPLE = "write a direction and a length, such as east 36' or N 14 30 E 36'"


@frozen
class BuildingOutline:
    """One building's corners, and where its outline stands in the file."""

    name: str | None
    corners: tuple[Corner, ...]
    place: Place

    @property
    def points(self) -> list[Point]:
        """The corners' places on the grid, m."""
        return [corner.point for corner in self.corners]

    def wall_length(self, index: int) -> float:
        """Give the length of a wall along its outside face, m."""
        following = self.corners[(index + 1) % len(self.corners)]
        return math.dist(self.corners[index].point, following.point)

    def wall_name(self, index: int) -> str:
        """Give a wall's name in the outline's own order."""
        following = self.corners[(index + 1) % len(self.corners)]
        return f"{self.corners[index].name}-{following.name}"


def letter_names() -> Iterator[str]:
    """Give A to Z, then AA, AB and so on."""
    for number in count(1):
        name = ""
        while number:
            number, letter = divmod(number - 1, 26)
            name = chr(ord("A") + letter) + name
        yield name


def automatic_names(taken: Iterable[str]) -> Iterator[str]:
    """Give corner names in order, without those that the job gives itself."""
    reserved = set(taken)
    return (name for name in letter_names() if name not in reserved)


def read_outline(
    keys: BuildingKeys, branch: Branch, names: Iterator[str], faults: Faults
) -> BuildingOutline | None:
    """Find a building's corners.

    Parameters
    ----------
    keys
        What is sound of the building's keys.
    branch
        The building as it stands in the file.
    names
        Where corners without a name get theirs.
    faults
        Where faults are noted.

    Returns
    -------
    Outline or None
        None where the outline is not sound; why is noted.
    """
    given = [way for way in WAYS if way in branch]
    if len(given) > 1:
        # A key that was not known and was read as the nearest one is no second outline.
        as_written = [way for way in given if way not in branch.renamed.values()]
        given = as_written or given
    if not given:
        if not any(faults.touched((*branch.place, way)) for way in WAYS):
            faults.add(branch.place, "no outline is given", "add corners, rectangle or sides")
        return None
    if len(given) > 1:
        faults.add((*branch.place, given[1]), f"{given[0]} is given as well", "keep one of the two")
        return None
    way = given[0]
    place = (*branch.place, way)
    if way == "corners":
        pairs = list((keys.corners or {}).items())
    elif way == "rectangle":
        pairs = _named(_rectangle(keys.rectangle, place, faults), names)
    else:
        pairs = _named(_sides(keys.sides, place, faults), names)
    if faults.touched(place):
        return None
    shift = keys.at or (0.0, 0.0)
    outline = BuildingOutline(
        name=keys.name,
        corners=tuple(
            Corner(name=name, x=point[0] + shift[0], y=point[1] + shift[1]) for name, point in pairs
        ),
        place=place,
    )
    for corner in outline.corners:
        try:
            check_name(corner.name)
        except MeasureError as error:
            faults.add_error((*place, corner.name), error)
    if faults.touched(place) or not check_shape(outline, faults):
        return None
    return None if _too_long(outline, faults) else outline


def _too_long(outline: BuildingOutline, faults: Faults) -> bool:
    """Note a side that no building has."""
    for index in range(len(outline.corners)):
        length = outline.wall_length(index)
        if length > LONGEST_SIDE:
            faults.add(
                outline.place,
                f"the side {outline.wall_name(index)} is {faults.length(length)} long; no side may "
                f"be over {faults.length(LONGEST_SIDE)}",
                "check the numbers and their unit",
            )
            return True
    return False


def too_many_corners(homes: list[BuildingKeys], faults: Faults) -> bool:
    """Note a job with more corners than any has, before anything is made of them."""
    count = sum(len(keys.corners or {}) + len(keys.sides or []) for keys in homes)
    if count > MOST_CORNERS:
        faults.add(
            (*homes[0].place, "corners" if homes[0].corners else "sides"),
            f"there are {count} corners in all; a job has {MOST_CORNERS} at most",
            "leave out corners that lie on a straight line, or split the job",
        )
    return count > MOST_CORNERS


def _named(points: list[Point], names: Iterator[str]) -> list[tuple[str, Point]]:
    return [(next(names), point) for point in points]


def check_shape(outline: BuildingOutline, faults: Faults, side: str = "wall") -> bool:
    """Note what keeps an outline from being a shape; its sides are called `side`.

    Returns
    -------
    bool
        Whether it is one.
    """
    place, corners = outline.place, outline.corners
    if len(corners) < 3:
        count_text = {0: "no corners make", 1: "1 corner makes", 2: "2 corners make"}[len(corners)]
        faults.add(place, f"{count_text} no outline", "give at least three corners")
        return False
    points = outline.points
    pair = repeated(points)
    if pair is not None:
        first, second = (corners[index].name for index in pair)
        faults.add(
            (*place, second) if place[-1] == "corners" else place,
            f"corner {second} repeats corner {first}",
            "take one out, or move it over 0.5 mm away",
        )
        return False
    if has_no_area(points):
        faults.add(place, "the outline has no area", "check the corners against the plan")
        return False
    clash = first_clash(points)
    if clash is None:
        return True
    first, second = (outline.wall_name(index) for index in clash)
    folds = (clash[1] - clash[0]) % len(points) in {1, len(points) - 1}
    said = "folds back along" if folds else "crosses or touches"
    faults.add(
        place,
        f"{side} {second} {said} {side} {first}",
        "give the corners in order round the building",
    )
    return False


def _rectangle(text: str | None, place: Place, faults: Faults) -> list[Point]:
    """Read ``36' x 24'`` as corners anticlockwise from 0, 0."""
    halves = re.split(r"\s*[xX×]\s*", text.strip()) if text else []
    if len(halves) != 2:
        if text:
            faults.add(place, f"{text} is not a rectangle", "write two lengths, such as 36' x 24'")
        return []
    lengths: list[float] = []
    for half in halves:
        try:
            lengths.append(_over_zero(half, faults, place))
        except MeasureError as error:
            faults.add_error(place, error)
    if len(lengths) < 2:
        return []
    width, depth = lengths
    return [(0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth)]


def _over_zero(text: str, faults: Faults, place: Place, key: str = "building.rectangle") -> float:
    length = length_of(Scalar(text, 0), faults.unit)
    if length <= 0.0:
        raise MeasureError(f"{text} is not over zero", "write a length over zero")
    judge(key, place, length, faults, faults.unit, text.strip())
    return length


def _sides(texts: list[str] | None, place: Place, faults: Faults) -> list[Point]:
    """Walk round the sides from 0, 0, and see that they close."""
    steps: list[Point] = []
    for number, text in enumerate(texts or []):
        try:
            steps.append(_side(text, faults, (*place, number)))
        except MeasureError as error:
            faults.add_error((*place, number), error)
    if faults.touched(place) or len(steps) < 3:
        if texts is not None and not faults.touched(place):
            faults.add(place, f"{len(steps)} sides make no outline", "give at least three sides")
        return []
    points = [(0.0, 0.0)]
    for step in steps:
        points.append((points[-1][0] + step[0], points[-1][1] + step[1]))
    gap = points.pop()
    if math.hypot(*gap) > SAME_POINT:
        faults.add(
            place,
            f"the sides do not close: the last ends {_how_far(gap, faults)} of the first corner",
            "check the sides against the plan",
        )
        return []
    return points


def _side(text: str, faults: Faults, place: Place) -> Point:
    """Read one side, such as ``east 36'`` or ``N 14 30 E 36'``, as a step on the grid, m."""
    match = _QUADRANT.fullmatch(text.strip()) or _WORD.fullmatch(text.strip())
    if match is None:
        raise MeasureError(f"{text} is not a side", _EXAMPLE)
    word = match["bearing"].casefold()
    if word not in _HEADINGS and not any(letter.isdigit() for letter in word):
        raise MeasureError(f"{match['bearing']} is not a direction", _EXAMPLE)
    length = _over_zero(match["length"], faults, place, "building.sides")
    if word in _STEPS:
        east, north = _STEPS[word]
        return (east * length, north * length)
    heading = _HEADINGS.get(word)
    if heading is None:
        heading = math.pi / 2 - parse_bearing(match["bearing"])
    return (length * math.cos(heading), length * math.sin(heading))


def _how_far(gap: Point, faults: Faults) -> str:
    """Say a gap by how far it is east or west, and north or south."""
    parts = []
    for amount, plus, minus in ((gap[0], "east", "west"), (gap[1], "north", "south")):
        if abs(amount) > SAME_POINT / 2:
            parts.append(f"{faults.length(abs(amount))} {plus if amount > 0 else minus}")
    return " and ".join(parts)
