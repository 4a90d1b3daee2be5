"""What the job file's lengths, counts and shares commonly are: one table of ranges.

No job of the kind this program serves leaves them, so that a number beyond one was most likely
meant in another unit (common practice, no source). Lengths are in metres and hold whatever unit
the job is written in; zero, where a key takes it, stands for nothing and is in every range.
"""

from __future__ import annotations

from staking.frozen import frozen
from staking.units import FOOT, INCH


@frozen
class Range:
    """What one or several keys commonly are.

    Parameters
    ----------
    keys
        Section and key, such as ``footing.width``; the section is its model's name without
        ``Keys``, in small letters.
    title
        The same in words, for the documentation.
    least, most
        The ends of the range: m for a length, else in the figure's own unit.
    shown
        Of a figure without a unit of length: what one is called, such as ``%`` or nothing, and
        how many of it one is (100 % are 1). None for a length.
    """

    keys: tuple[str, ...]
    title: str
    least: float
    most: float
    shown: tuple[str, float] | None = None

    @property
    def is_length(self) -> bool:
        """Whether it is a length, which a bare number gives in the job's unit."""
        return self.shown is None

    def holds(self, value: float) -> bool:
        """Say whether a value lies in the range, or is nothing."""
        slack = 1e-6 if self.is_length else 1e-9
        return value == 0.0 or self.least - slack <= value <= self.most + slack

    def is_absurd(self, value: float) -> bool:
        """Say whether a figure lies ten times outside the range."""
        return value > 10 * self.most or (0.0 < value < self.least / 10)


def _length(title: str, least: float, most: float, *keys: str) -> Range:
    return Range(keys=keys, title=title, least=least, most=most)


def _figure(
    title: str, least: float, most: float, *keys: str, unit: str = "", scale: float = 1.0
) -> Range:
    return Range(keys=keys, title=title, least=least, most=most, shown=(unit, scale))


RANGES: tuple[Range, ...] = (
    _length("step that lengths are shown to", INCH / 64, 1 * INCH, "head.nearest"),
    _length("wall thickness", 3.5 * INCH, 24 * INCH, "part.wall", "wall.wall", "interior.wall"),
    _length("footing width", 6 * INCH, 6 * FOOT, "footing.width"),
    _length("footing thickness", 4 * INCH, 5 * FOOT, "footing.thickness"),
    _length("projection past the wall", 0.0, 4 * FOOT, "footing.outside", "existing.footing_out"),
    _length("side of a rectangle", 4 * FOOT, 300 * FOOT, "building.rectangle"),
    _length("one of the sides", 1 * INCH, 300 * FOOT, "building.sides"),
    _length("where an opening starts", 0.0, 300 * FOOT, "opening.from"),
    _length("opening width", 12 * INCH, 24 * FOOT, "opening.width"),
    _length("opening drop", 1 * INCH, 3 * FOOT, "opening.drop"),
    _length("pad across", 6 * INCH, 6 * FOOT, "pad.size", "pad.diameter"),
    _length("pad thickness", 4 * INCH, 5 * FOOT, "pad.thickness"),
    _figure("pads in a row", 2, 100, "pad.count"),
    _length("where a sleeve stands", 0.0, 300 * FOOT, "sleeve.at"),
    _length("pipe through a wall", 0.75 * INCH, 24 * INCH, "sleeve.size"),
    _length("slab thickness", 2.5 * INCH, 16 * INCH, "slab.thickness"),
    _length(
        "stone under slab or footing", 2 * INCH, 24 * INCH, "slab.base", "dig.base", "order.stone"
    ),
    _length("stand-off of boards", 1 * FOOT, 20 * FOOT, "board.stand_off"),
    _length("clearance of boards", 6 * INCH, 20 * FOOT, "board.clearance"),
    _length("height of boards", 1 * FOOT, 12 * FOOT, "board.max_height"),
    _length("over-dig", 0.0, 5 * FOOT, "dig.overdig"),
    _length("bucket", 6 * INCH, 6 * FOOT, "dig.bucket"),
    _length("depth of dig", 2 * INCH, 15 * FOOT, "dig.depth"),
    _figure("run of a bank for each 1 of depth", 0.1, 3, "dig.bank"),
    _length("tape", 10 * FOOT, 330 * FOOT, "tape.length"),
    _length("error of a tape reading", INCH / 128, 0.5 * INCH, "tape.error"),
    _figure("temperature", -30, 50, "tape.temperature", "standard.temperature", unit=" C"),
    _figure("pull on the tape", 10, 300, "tape.tension", "standard.tension", unit=" N"),
    _length("tolerance", INCH / 64, 2 * INCH, "tolerance.side", "tolerance.stake"),
    _length(
        "tolerance of a diagonal in 100 ft", INCH / 32, 6 * INCH, "tolerance.diagonal_per_100ft"
    ),
    _length("overhang", 1 * INCH, 6 * FOOT, "site.overhang"),
    _length("how far apart tops of wall are compared", INCH / 4, 8 * FOOT, "toprange.by"),
    _length("how far the building may move", 1 * INCH, 1000 * FOOT, "move.north", "move.east"),
    _length("how far apart places are tried", 1 * INCH, 100 * FOOT, "move.step"),
    _length("run to a gutter or sewer", 1 * FOOT, 2000 * FOOT, "limit.gutter_run", "sewer.run"),
    _length("pipe under the top of wall", 6 * INCH, 30 * FOOT, "sewer.below"),
    _length("riser of a stair", 4 * INCH, 12 * INCH, "door.riser"),
    _length("setback", 6 * INCH, 500 * FOOT, "site.setbacks"),
    _length("hand-dig width", 6 * INCH, 10 * FOOT, "buried.hand_dig"),
    _length("distance kept off", 1 * FOOT, 1000 * FOOT, "keep.least"),
    _length("distance from a surveyed point", 1 * INCH, 1000 * FOOT, "bytape.tape"),
    _length("distance along a surveyed line", -2000 * FOOT, 2000 * FOOT, "along.from_first"),
    _length("distance off a surveyed line", -2000 * FOOT, 2000 * FOOT, "along.offset"),
    _length(
        "elevation",
        -1500 * FOOT,
        20000 * FOOT,
        "board.at",
        "existing.footing_bottom",
        "existing.top",
        "benchmark.elevation",
        "grade.finished",
        "grade.ground",
        "grade.instrument",
        "grade.stake_tops",
        "grade.top_of_wall",
        "inside.grade",
        "rod.instrument",
        "site.height",
        "toprange.from",
        "toprange.to",
        "limit.lowest",
        "limit.highest",
        "limit.gutter",
        "outlet.level",
        "sewer.invert",
        "slab.top",
        "sleeve.invert",
        "top.top_of_wall",
        "wall.top_of_wall",
    ),
    _length("top of wall over the ground", 1 * INCH, 6 * FOOT, "grade.top_of_wall above"),
    _length("finished grade over or under the ground", -5 * FOOT, 5 * FOOT, "grade.finished above"),
    _length("topsoil", 1 * INCH, 3 * FOOT, "grade.strip"),
    _length("one course", 1.5 * INCH, 16 * INCH, "grade.course"),
    _length("frost depth", 8 * INCH, 8 * FOOT, "grade.frost_depth"),
    _length("depth in undisturbed ground", 2 * INCH, 5 * FOOT, "grade.in_ground"),
    _length("least run between steps", 4 * INCH, 12 * FOOT, "grade.min_run", "grade.corner_run"),
    _length("overlap at a step", 2 * INCH, 6 * FOOT, "grade.overlap"),
    _length("cell of the block", 2 * INCH, 24 * INCH, "grade.module"),
    _length("rod reading", 0.0, 30 * FOOT, "rod.rod"),
    _length("rod", 6 * FOOT, 30 * FOOT, "grade.rod_length"),
    _figure("fewest courses", 1, 25, "grade.least_courses"),
    _figure("courses in one step", 1, 4, "grade.max_step"),
    _length("height of cast walls", 6 * INCH, 14 * FOOT, "order.wall_height"),
    _length("diameter of piers", 6 * INCH, 4 * FOOT, "order.pier"),
    _length("distance between anchor bolts", 1 * FOOT, 10 * FOOT, "order.bolts"),
    _figure("waste of concrete", 0, 0.25, "order.waste", unit="%", scale=100),
    _figure("waste of mortar", 0, 0.4, "order.mortar_waste", unit="%", scale=100),
    _figure("swell of dug earth", 0.05, 0.5, "order.swell", unit="%", scale=100),
    _figure("fill loose over compacted", 0.05, 0.45, "fill.loose", unit="%", scale=100),
    _length("earth under a slab", 1 * INCH, 24 * INCH, "fill.spoil"),
    _length("boards of forms as bought", 4 * FOOT, 24 * FOOT, "forms.stock"),
    _length("height of form boards", 2 * INCH, 24 * INCH, "forms.board"),
    _figure("time until a load is out", 20, 240, "order.discharge_limit", unit=" min"),
    _figure("time to empty a truck", 5, 180, "order.minutes_per_load", unit=" min"),
    _figure("bars", 1, 12, "steel.bars", "steel.pad_bars"),
    _length("cover of bars", 0.5 * INCH, 6 * INCH, "steel.cover"),
    _length("lap of bars", 6 * INCH, 10 * FOOT, "steel.lap"),
    _length("bars as bought", 6 * FOOT, 60 * FOOT, "steel.stock"),
    _length("distance between dowels", 4 * INCH, 10 * FOOT, "steel.dowels"),
    _length("dowel", 6 * INCH, 12 * FOOT, "steel.dowel_length"),
    _length("length of block", 6 * INCH, 32 * INCH, "block.length"),
    _length("height of block", 1.5 * INCH, 16 * INCH, "block.height"),
    _figure("courses of block", 1, 25, "block.courses"),
    _figure("block laid with one bag", 5, 60, "mortar.block_per_bag"),
    _length("drain pipe", 2 * INCH, 12 * INCH, "drain.size"),
    _length("drain's trench beside the footing", 1 * INCH, 6 * FOOT, "drain.beside"),
)
"""Every range there is, in the order of the file."""

BY_KEY = {key: each for each in RANGES for key in each.keys}
"""The range of each key that has one."""
