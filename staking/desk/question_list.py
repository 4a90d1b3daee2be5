"""The desk's questions: every key of the job file, in the order in which a builder thinks.

They are made from the job file's own schema, so that a key that the reader learns is asked here
too; this module says only under which heading each section is asked, and in what words.
"""

from __future__ import annotations

from typing import Any

from staking.desk.hints import HINTS
from staking.desk.left_out import said_left_out

BUILDING = "§building"
"""Stands for the place of the building that is chosen."""

TOPICS: tuple[dict[str, Any], ...] = (
    {
        "key": "job",
        "title": "The job",
        "asked": [["job"], ["units"], ["show"], ["nearest"], ["paper"]],
    },
    {
        "key": "building",
        "title": "The building",
        "hint": "At the outside face of the foundation wall.",
        "asked": [[BUILDING, "§outline"], [BUILDING, "name"], [BUILDING, "at"]],
    },
    {
        "key": "walls",
        "title": "Walls and footings",
        "asked": [[BUILDING, "wall"], [BUILDING, "footing"], [BUILDING, "walls"]],
    },
    {
        "key": "inside",
        "title": "Inside",
        "hint": "Walls and bearing lines inside, by their centre lines, and the floor slab.",
        "asked": [[BUILDING, "interior"], [BUILDING, "slab"]],
    },
    {
        "key": "pads",
        "title": "Pads",
        "hint": "Footings of posts, by their centres on the plan's x and y.",
        "asked": [[BUILDING, "pads"]],
    },
    {
        "key": "openings",
        "title": "Openings and pipes",
        "asked": [[BUILDING, "openings"], [BUILDING, "sleeves"]],
    },
    {
        "key": "setting-out",
        "title": "Boards, dig and tape",
        "asked": [["boards"], ["dig"], ["tape"], ["tolerances"]],
    },
    {
        "key": "lot",
        "title": "The lot",
        "hint": "The survey or deed, where the building stands, what it keeps clear of.",
        "asked": [["site"]],
    },
    {
        "key": "levels",
        "title": "Levels",
        "hint": "For a slope: the ground, the top of the wall, and how deep. What must be given is "
        "asked for once the first answer is there. The frost depth is the local building "
        "department's figure.",
        "asked": [["grade"]],
    },
    {
        "key": "order",
        "title": "The order",
        "hint": "What to buy. Answer any of these, and the list is worked out under the plan.",
        "asked": [["order"]],
    },
    {
        "key": "weigh",
        "title": "Heights and places compared",
        "hint": "How high to set the wall, and where on the lot the building costs least.",
        "asked": [["weigh"]],
    },
)
"""The headings in order, each with the places that it asks for."""

WORDS = {
    "job": "Name of the job", "units": "A bare number is in", "show": "Lengths are shown in",
    "nearest": "Shown to the nearest", "paper": "Paper", "at": "At", "wall": "Wall",
    "wall:thickness": "Wall thickness", "BuildingKeys.at": "Shifted on the grid by",
    "BoardKeys.at": "Level of the strings", "BoardKeys.max_height": "No board higher than",
    "DigKeys.base": "Stone under the footing", "SlabKeys.base": "Stone under the slab",
    "footing": "Footing", "walls": "Walls that differ",
    "interior": "Walls and lines inside", "pads": "Pads", "openings": "Door openings",
    "sleeves": "Pipes through walls", "slab": "Floor slab", "boards": "Batter boards",
    "dig": "The dig", "tape": "The tape", "tolerances": "Tolerances", "site": "The lot",
    "grade": "Levels", "order": "The order", "outside": "Past the outside face",
    "crs": "Coordinate system", "diagonal_per_100ft": "Diagonal in 100 ft",
    "name": "Name", "keep": "Keep away from", "prices": "Price list", "buried": "Buried lines",
    "stay_clear": "Stay clear of", "level": "Walls that may not step", "steps": "Steps fixed",
    "OutletKeys.level": "Elevation", "InsideKeys.grade": "Ground inside",
    "TapeKeys.error": "Off by, as a rule", "DigKeys.overdig": "Wider than the footing by",
    "DigKeys.bank": "Side leans out by", "DigKeys.cast": "Concrete is cast against",
    "GradeKeys.beyond": "Ground past the readings", "GradeKeys.strip": "Topsoil",
    "GradeKeys.in_ground": "In undisturbed ground by", "GradeKeys.max_step": "Courses in a step",
    "GradeKeys.min_run": "Steps apart by", "GradeKeys.corner_run": "Step off a corner by",
    "GradeKeys.module": "Half a block's length", "GradeKeys.step_cost": "A step is worth",
    "GradeKeys.neighbour_line": "Line from a neighbour's footing",
    "FillKeys.loose": "Looser on the truck by", "FillKeys.spoil": "Earth laid first",
    "DrainKeys.beside": "Off the footing by", "SewerKeys.below": "Under the top of wall by",
    "SiteKeys.prefix": "Before our stakes' names", "SiteKeys.numbers": "Stakes numbered from",
    "TopRangeKeys.by": "Apart by",
}  # fmt: skip
"""Labels of keys whose own name says too little."""

_BEARING = r"\b[NS] \d+(?: \d+){0,2} [EW]\b"
"""A bearing as the form's hints write one."""


def questions() -> dict[str, Any]:
    """Give everything that the page makes its questions from.

    Returns
    -------
    dict
        ``topics``, ``schema`` (the job file's), ``words``, ``hints`` and ``left_out`` by model and
        key, and ``unbroken``: what is never torn over two lines, as the page for the phone has it.
    """
    from staking.job.edit.key_order import keys_in_order, schema
    from staking.output.page.unbroken import UNBROKEN

    whole = schema()
    order = {
        name: list(body["properties"])
        for name, body in whole["$defs"].items()
        if "properties" in body
    }
    return {
        "topics": list(TOPICS),
        "schema": whole,
        "order": {**order, "": list(keys_in_order(()))},
        "words": WORDS,
        "hints": HINTS,
        "unbroken": f"{_BEARING}|{UNBROKEN}",
        "left_out": said_left_out(),
    }
