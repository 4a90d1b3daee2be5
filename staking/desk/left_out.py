"""What stands where an answer is left out: as docs/job-file.md has it, and in the form's words."""

from __future__ import annotations

LEFT_OUT: dict[str, dict[str, str]] = {
    "HeadKeys": {
        "job": "must be given",
        "units": "ft",
        "show": "feet-inches",
        "nearest": '1/16"',
        "paper": "letter",
    },
    "BuildingKeys": {
        "name": "none",
        "at": "[0, 0]",
        "wall": "must be given, here or for each wall",
        "footing": "width and thickness must be given, here or for each wall; outside is "
        "(width - wall) / 2",
        "walls": "nothing",
        "openings": "none",
        "interior": "none",
        "pads": "none",
        "sleeves": "none",
        "slab": "none; thickness must be given in it, base is 0, top may be left out",
    },
    "WallKeys": {
        "wall": "the building's",
        "footing": "the building's, key by key",
        "existing": "no",
        "top_of_wall": "the job's",
    },
    "OpeningKeys": {
        "wall": "must be given",
        "from": "must be given",
        "width": "must be given",
        "drop": "must be given",
    },
    "InteriorKeys": {
        "name": "must be given",
        "from": "must be given",
        "to": "must be given",
        "wall": "the building's",
        "footing": "the building's, key by key",
    },
    "PadKeys": {
        "name": "must be given",
        "at": "this, or a row",
        "size": "this, or diameter",
        "thickness": "must be given",
        "along": "the grid's x",
    },
    "SleeveKeys": {
        "wall": "must be given",
        "at": "must be given",
        "invert": "none",
        "size": "must be given",
    },
    "BoardKeys": {
        "stand_off": "4'",
        "clearance": "4'",
        "inside_boards": "no",
        "at": "none",
        "max_height": "5'",
    },
    "DigKeys": {
        "overdig": "0",
        "bucket": "0",
        "bank": "0",
        "depth": "0",
        "base": "0",
        "cast": "earth",
    },
    "TapeKeys": {
        "length": "100'",
        "error": '1/8"',
        "class": "none",
        "temperature": "none",
        "tension": "none",
        "standard": "none",
    },
    "ToleranceKeys": {
        "preset": "small building",
        "side": "the preset's",
        "diagonal_per_100ft": "the preset's",
        "stake": "the preset's",
    },
    "SiteKeys": {
        "survey": "none: the building keeps its own grid",
        "units": "of the survey what the file says, and where it says nothing the job's "
        "units, which is said; of a bare number the job's units",
        "columns": "what the file says",
        "crs": "what the file says",
        "boundary": "none",
        "setbacks": "none",
        "bearings": "none",
        "overhang": "0",
        "stay_clear": "none",
        "buried": "none",
        "keep": "none",
        "height": "the mean of the survey's elevations",
        "distances": "grid",
        "combined_factor": "none",
        "scaled_about": "none",
        "prefix": "nothing",
        "numbers": "names",
        "no_elevation": "what the file's format says",
    },
    "DeedKeys": {
        "deed": "must be given",
        "pins": "none",
        "names": "1, 2, 3 and so on",
        "basis": 'what a pasted text says, else "not stated"',
    },
    "GradeKeys": {
        "ground": "survey",
        "finished": "existing",
        "beyond": "left unknown",
        "strip": '6"',
        "benchmark": "none; nothing can then be added to a reading on it",
        "rod": "inches",
        "rod_length": "13'",
        "instrument": "none",
        "top_of_wall": "must be given",
        "walls": "none",
        "course": '8"',
        "frost_depth": "must be given: the local building department's figure",
        "in_ground": '12"',
        "least_courses": "2",
        "max_step": "1",
        "min_run": '32"',
        "corner_run": "the crossing footing's inner edge and the overlap",
        "overlap": "the rule's, or the greater of 6\" and the thickness",
        "module": '8"',
        "step_cost": "6 sq ft",
        "most_steps": "as many as come out cheapest",
        "rules": "none",
        "steps": "free",
        "level": "none",
        "stake_tops": "none",
        "inside": "as outside",
        "veneer": "no",
        "neighbour_line": "30",
    },
    "OrderKeys": {
        "waste": "5%",
        "truck": "9 cu yd",
        "discharge_limit": "none: it is asked for",
        "minutes_per_load": "30",
        "steel": "none ordered",
        "block": "none ordered: with grade the walls are cast",
        "wall_height": "none cast",
        "pier": "none",
        "bolts": "6'",
        "mortar": "masonry cement, type S",
        "mortar_waste": "10%",
        "swell": "25%",
        "haul": "10 cu yd",
        "stone": "dig: base",
        "drain": "none",
        "fill": "sand",
        "forms": "the lowest board that the footing takes, of 12'",
        "prices": "none",
    },
    "FillKeys": {
        "kind": "sand",
        "loose": "17% for sand, 21% for gravel",
        "spoil": "none",
    },
    "FormsKeys": {
        "stock": "12'",
        "board": "the lowest that the footing takes",
    },
    "SteelKeys": {
        "bars": "2",
        "size": "4",
        "cover": '3"',
        "lap": "IRC grade 60",
        "stock": "20'",
        "dowels": "none",
        "dowel_length": "a hook, the footing above its cover and a lap",
        "dowel_size": "size",
        "pad_bars": "0",
    },
    "BlockKeys": {
        "length": '16"',
        "height": '8"',
        "courses": "none: the block is then not counted",
        "grout": "dowels",
    },
    "DrainKeys": {
        "size": '4"',
        "fall": '1/8" per ft',
        "outlet": "none: where the drain is led is then said to be open",
        "beside": "0",
    },
    "WeighKeys": {
        "top_of_wall": 'half a course apart, from 6" over the highest finished grade '
        '(4" behind veneer, IRC R404.1.6), and over grade that lets water run off (R401.3), over '
        "six courses",
        "move": "not at all; 2' and 3 degrees apart",
        "limits": "nothing",
    },
}
"""By model and key; a default of the United States is shown as it is written there."""

LEFT_OUT_OF_PARTS: dict[str, dict[str, str]] = {
    "FootingKeys": {
        "width": "must be given, here or for each wall",
        "thickness": "must be given, here or for each wall",
        "outside": "(width - wall) / 2",
    },
    "SlabKeys": {"top": "none", "thickness": "must be given", "base": "0"},
}
"""Of parts that docs/job-file.md describes in one line with the key that holds them."""

_SAID: dict[str, dict[str, str]] = {
    "HeadKeys": {"units": "feet", "show": "feet and inches"},
    "BuildingKeys": {
        "at": "the plan stays where it is",
        "footing": "width and thickness must be given, here or for each wall; it is centred "
        "under its wall",
        "slab": "none; one needs its thickness at least",
    },
    "FootingKeys": {"outside": "centred under the wall"},
    "SlabKeys": {"top": "not known: fill and cut under it are not counted", "base": "no stone"},
    "WallKeys": {"footing": "as the building's"},
    "InteriorKeys": {"footing": "as the building's"},
    "PadKeys": {
        "at": "must be given, for one pad or the two ends of a row",
        "size": "must be given, or a diameter",
        "along": "along the plan's x",
    },
    "DigKeys": {
        "overdig": "none",
        "bucket": "as narrow as the footing",
        "bank": "upright sides",
        "depth": "not known",
        "base": "no stone",
        "cast": "against earth",
    },
    "ToleranceKeys": {
        "side": "what the kind of building allows",
        "diagonal_per_100ft": "what the kind of building allows",
        "stake": "what the kind of building allows",
    },
    "SiteKeys": {
        "units": "what the survey says; where it says nothing, the job's own, which is then said",
        "overhang": "none",
        "distances": "on the survey's grid",
        "prefix": "nothing",
        "numbers": "stakes go by their names",
    },
    "GradeKeys": {
        "ground": "the survey's",
        "finished": "the ground as it is",
        "beyond": "not known",
        "rod": "in inches",
        "max_step": "one course",
        "least_courses": "two courses",
        "overlap": "what the rule asks, or the greater of 6\" and the footing's thickness",
        "corner_run": "to the crossing footing's inner edge, and the overlap more",
        "steps": "where they come out cheapest",
        "inside": "as high as outside",
        "neighbour_line": "30 degrees",
    },
    "OrderKeys": {
        "block": "none ordered; with levels the walls are counted as cast",
        "stone": "as deep as the stone under the dig",
        "discharge_limit": "not known: the producer says it",
        "minutes_per_load": "30 minutes",
        "forms": "the lowest board that suits the footing, 12' long",
    },
    "FormsKeys": {"board": "the lowest that suits the footing"},
    "SteelKeys": {
        "bars": "two",
        "size": "No. 4",
        "lap": "what the IRC gives for bars of grade 60",
        "dowel_size": "as the bars in the footing",
        "dowel_length": "a hook, the footing above its cover, and a lap",
        "pad_bars": "none",
    },
    "BlockKeys": {"grout": "the cells with a bar in them"},
    "DrainKeys": {
        "outlet": "not known; that is then said",
        "beside": "at the footing's edge",
    },
    "WeighKeys": {
        "move": "it stays where it is; a place is tried each 2 feet, a turn each 3 degrees"
    },
}
"""By model and key, where the job file's page speaks in keys and figures of the file."""


def said_left_out() -> dict[str, dict[str, str]]:
    """Say what stands where an answer is left out, in the words of the form.

    Returns
    -------
    dict
        By model and key.
    """
    known = LEFT_OUT | LEFT_OUT_OF_PARTS
    return {model: keys | _SAID.get(model, {}) for model, keys in known.items()}
