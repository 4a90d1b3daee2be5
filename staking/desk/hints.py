"""Under each field of the desk: what is asked for, where it is measured or which paper says it."""

from __future__ import annotations

HINTS: dict[str, dict[str, str]] = {
    "": {
        "job": "The name that stands on every sheet, such as the street and number.",
        "units": "What a figure without a unit means; 36' and 2.4 m are understood whatever "
        "stands here. us-ft is the survey foot of many state plane surveys.",
        "show": "How lengths are written on sheets and screen. Elevations are in feet or metres.",
        "nearest": 'Feet and inches are rounded to this; no tape is read finer than 1/16".',
        "paper": "The paper in your printer. Tabloid and A3 hold two pages side by side.",
    },
    "BuildingKeys": {
        "name": "What this building is called on the sheets, where there is more than one.",
        "at": "How far the whole outline is moved along x and y, as in 40', 0.",
        "wall": "How thick the foundation wall is: on the plan's section through the wall.",
        "interior": "Walls and bearing lines inside that have a footing of their own; the "
        "foundation plan dimensions their centre lines.",
        "pads": "Separate footings under posts and piers: the foundation plan gives their centres.",
        "openings": "Doors that the foundation wall is lowered for; the footing runs on under.",
        "sleeves": "Pipes that go through the foundation wall: drain, water, power.",
        "walls": "Walls that are thicker, have another footing or another top, or stand against a "
        "building that is there already.",
    },
    "WallKeys": {
        "wall": "How thick this wall is, where it differs from the others.",
        "top_of_wall": "The elevation of this wall's top, on the same zero as under Levels.",
        "existing": "Yes, or what is known of it, where this side stands against a building that "
        "is there already: no footing is dug along it.",
    },
    "ExistingKeys": {
        "footing_bottom": "The elevation of the bottom of the old footing: uncover it at one place "
        "and read the rod on it.",
        "footing_out": "How far the old footing reaches out toward the new building: measure it in "
        "the same hole.",
        "top": "The elevation of the top of the old foundation wall: read the rod on it.",
    },
    "FootingKeys": {
        "width": "How wide the footing is across: the plan's section or footing schedule says it.",
        "thickness": "How thick the footing is from bottom to top: the same section says it.",
        "outside": "How far the footing reaches past the outside face of the wall. Leave it out "
        "where the wall stands in the middle.",
    },
    "OpeningKeys": {
        "wall": "The wall or line inside that the door is in.",
        "from": "How far the opening starts from the corner that the wall's name begins with, as "
        "the foundation plan dimensions it.",
        "width": "How wide the opening in the foundation wall is.",
        "drop": "How far the top of the foundation wall is lowered there.",
    },
    "InteriorKeys": {
        "name": "A short name, such as G.",
        "from": "Where its centre line starts: a wall and the distance from that wall's first "
        "corner, as in A-B at 14'.",
        "to": "Where its centre line ends, in the same way, as in C-D at 10'.",
        "wall": "How thick the wall inside is.",
    },
    "PadKeys": {
        "name": "A short name, such as P1; the pads of a row Q are called Q1, Q2 and so on.",
        "at": "The x and y of its centre, from the same corner as the building's, as in 42', 10'.",
        "from": "The x and y of the first pad's centre, for a row of pads.",
        "to": "The x and y of the last pad's centre in the row.",
        "count": "How many pads stand in the row, the first and the last counted.",
        "size": 'Width and depth of a square pad, as in 24", 24".',
        "diameter": "The diameter of a round pad, in place of its size.",
        "thickness": "How thick the pad is.",
        "along": "The wall that a square pad stands parallel to, where the building is turned.",
    },
    "SleeveKeys": {
        "wall": "The wall or line inside that the pipe goes through.",
        "at": "How far its middle is from the corner that the wall's name begins with.",
        "invert": "The elevation of the bottom inside the pipe: the sewer's plan says it.",
        "size": "The diameter of the hole that is left for the pipe.",
    },
    "SlabKeys": {
        "top": "The elevation of the top of the slab, on the same zero as under Levels.",
        "thickness": "How thick the slab is: the plan's section says it.",
        "base": "How thick the layer of stone under the slab is.",
    },
    "BoardKeys": {
        "stand_off": "How far past the last corner a batter board stands: far enough for the "
        "machine and the spoil.",
        "clearance": "How far every board stays from the edge of the dig.",
        "inside_boards": "Yes where a board may stand inside the building, as on a tight lot.",
        "at": "The elevation at which strings are pulled, where it shall be a certain one.",
        "max_height": "A board that would stand higher over the ground is told, and gets a second, "
        "lower string.",
    },
    "DigKeys": {
        "overdig": "How much wider than the footing the trench is dug on each side, as for forms.",
        "bucket": "The width of the bucket: no trench is dug narrower.",
        "bank": "How far the side of the trench leans out for each 1 of depth; 0 is a straight "
        "side, and what is safe is a competent person's choice.",
        "depth": "How deep the trench is from the ground to the underside of stone and footing, "
        "for a site that is flat. On a slope answer Levels instead.",
        "base": "How thick the layer of stone under the footing is.",
        "cast": "Earth where concrete is poured against the side of the trench, forms where boards "
        "are set.",
    },
    "TapeKeys": {
        "length": "How long the tape is; no longer tape is asked for.",
        "error": 'What a single reading is off by as a rule: 1/8" for a steel tape pulled by two.',
        "class": "The class printed on the tape, I, II or III, in place of its error.",
        "temperature": "How warm it is while you measure, as in 85 F: steel grows.",
        "tension": "How hard the tape is pulled, as in 20 lbf.",
    },
    "StandardKeys": {
        "temperature": "The temperature printed on the tape, at which it is right.",
        "tension": "The pull printed on the tape, at which it is right.",
    },
    "ToleranceKeys": {
        "side": "How much a side may be out before the check says so.",
        "diagonal_per_100ft": "How much a diagonal of 100 ft may be out; shorter ones less.",
        "stake": "How much a stake may be off its place.",
    },
    "SiteKeys": {
        "survey": "The surveyor's file of points, in the same folder as the job. A lot known from "
        "its deed alone needs none.",
        "units": "The unit of the survey's coordinates; the survey's cover sheet says it. A figure "
        "without a unit under this heading counts in it too.",
        "place": "How the building's place on the lot is known.",
        "boundary": "The corners of the lot as the survey names them, in order round it, or the "
        "courses of its deed.",
        "setbacks": "How far the building must stay from each property line: ask the building "
        "department. A line is named by its two corners, as in 1-2; other is every other line.",
        "overhang": "How far the eaves reach past the outside face of the wall; setbacks often "
        "count to them.",
        "buried": "Gas, water, power, drains: the surveyed points that each runs through. The "
        "locating service marks them before anyone digs.",
        "stay_clear": "A tree, a tank or a standing building that no string and no tape may cross.",
        "columns": "What the columns of the survey's file hold, in order, where the file does not "
        "say it; - passes one over.",
        "crs": "The survey's coordinate system, as in EPSG:5646; its cover sheet names it. Leave "
        "it out where the survey has its own.",
        "bearings": "The bearing that the plat prints along a line, to be held against the survey.",
        "keep": "A well, a septic field or an easement, and the distance that the health or "
        "planning office wants kept from it.",
        "height": "How high the lot lies above the sea, roughly, from any map. Only a survey with "
        "an assumed zero needs it.",
        "distances": "Ground where the surveyor has scaled the coordinates to distances on the "
        "ground already; the cover sheet then gives a combined factor.",
        "combined_factor": "That factor, as the survey's cover sheet gives it, such as 0.99962.",
        "scaled_about": "North and east of the point about which the survey was scaled; its cover "
        "sheet names it.",
        "prefix": "What stands before our stakes' names on an instrument, such as W-, where the "
        "survey uses the same names.",
        "numbers": "The first number, such as 5001, for an instrument that takes numbers only.",
        "no_elevation": "The figure that the survey's file writes where nobody measured a height, "
        "such as -9999; none where every figure is a height.",
    },
    "BuriedKeys": {
        "name": "What it is, such as gas line.",
        "through": "The names of the surveyed points that it runs through, in order.",
        "hand_dig": "How far on each side of it only hands may dig: the locating service or the "
        "law of the state gives it.",
    },
    "KeepKeys": {
        "name": "What it is, such as well.",
        "through": "The names of the surveyed points at it or along it. Name the first again at "
        "the end for a piece of ground.",
        "least": "The distance to keep, from the health or planning office.",
        "from": "What the distance counts from.",
    },
    "StayClearKeys": {
        "name": "What it is, such as oak.",
        "corners": "Its corners on the building's x and y, as in [[40', 0], [46', 0], [46', 6']].",
        "through": "The names of surveyed points at its corners, in place of x and y.",
    },
    "ByBearingKeys": {
        "corner": "The corner of the building whose coordinates the site plan gives.",
        "wall": "The wall whose bearing the site plan gives.",
        "north": "That corner's northing, from the site plan.",
        "east": "That corner's easting, from the site plan.",
        "bearing": "The bearing of the wall, from the site plan, as in N 14 30 00 E.",
    },
    "AlongKeys": {
        "wall": "The wall that runs the same way as the line.",
        "along": "Two surveyed points; the wall runs as from the first to the second.",
        "from_first": "How far past the first point the wall starts, measured along the line.",
        "offset": "How far beside the line the wall stands, as in right 20', facing the second "
        "point.",
    },
    "FitKeys": {
        "fit": "Each corner of the building with the name of the surveyed stake it stands at.",
    },
    "ByTapeKeys": {
        "tape": "For two corners, the distance of each from two surveyed points, taped level.",
        "side": "On which side of the line between the two points the building stands, seen from "
        "the first point facing the second.",
    },
    "DeedKeys": {
        "pins": "The pins that were found: the deed's corner, and the surveyed point there.",
        "names": "The corners' names in the deed's order, where 1, 2, 3 are names of other points.",
        "basis": "What the deed says that its bearings count from, word for word.",
    },
    "GradeKeys": {
        "ground": "How high the ground is now: from the survey, or read with a level and a rod at "
        "every corner.",
        "finished": "How high the ground will be against the wall when all is done.",
        "top_of_wall": "The elevation of the top of the foundation wall, or how much it stands "
        'over the ground, as in highest ground + 8".',
        "frost_depth": "How deep under finished grade the bottom of the footing must be: the "
        "building department says it. 0 where the ground does not freeze.",
        "course": "The height of one block with its joint: footings step by whole courses.",
        "steps": "Where a wall must step, measured from its first corner, as in 12' 8\"; leave it "
        "out and the cheapest steps are found.",
        "beyond": "Nearest where ground past the last reading counts as high as that reading.",
        "strip": "How much topsoil is taken off first; no footing stands on it.",
        "rod": "How your rod is marked: feet and inches, or feet and tenths.",
        "rod_length": "How long your rod is; a longer reading is told.",
        "instrument": "The elevation of the level's line of sight, for rod readings: benchmark "
        "plus the reading on it.",
        "walls": "Walls whose top is higher or lower than the others, with the elevation of it.",
        "in_ground": "How deep the footing must stand in ground that nobody has dug up.",
        "least_courses": "The fewest courses of block that a wall may have anywhere.",
        "max_step": "How many courses a single step may rise.",
        "min_run": "How far apart two steps must be at least.",
        "corner_run": "How far a step must stay from a corner or from a wall that joins.",
        "overlap": "How far the lower footing runs on under the upper one at a step.",
        "module": "The length that steps are placed by: half a block.",
        "step_cost": "How much wall one more step is worth to you: a greater area gives fewer "
        "steps.",
        "most_steps": "How many steps the whole building may have, where you want fewer.",
        "rules": "A published rule for steps that the permit asks for.",
        "level": "Walls that must stay level, without a step.",
        "stake_tops": "The elevations of the tops of stakes, read with the rod: the tape's reading "
        "along a slope is then given.",
        "veneer": "Yes where brick or stone stands before the wall.",
        "neighbour_line": "No trench may go deeper than a line that falls so many degrees from the "
        "edge of a neighbour's footing.",
    },
    "BenchmarkKeys": {
        "point": "The survey's name of the point that stays, such as BM1.",
        "name": "What it is, where no survey names it, such as nail in oak.",
        "elevation": "Its elevation: the survey's, or 100' where you set your own zero.",
    },
    "RodKeys": {
        "rod": "What the rod reads at each corner, all from one place of the level.",
        "instrument": "The elevation of the line of sight: benchmark plus the reading on it.",
    },
    "LevelBookKeys": {
        "level_book": "The file with your level book, in the same folder as the job.",
    },
    "SurfaceKeys": {"surface": "The name of the ground's surface in the survey's file."},
    "CloudKeys": {
        "cloud": "The file of laser points or heights, in the same folder as the job.",
        "units": "The unit of its northings and eastings, where the file does not say it.",
        "heights": "The unit of its heights, where the file does not say it.",
        "crs": "Its coordinate system, as in EPSG:6345, where the file does not say it.",
    },
    "InsideKeys": {
        "grade": "The elevation of the ground inside the walls when all is done.",
        "heated": "Yes where the inside is heated all winter.",
    },
    "TopKeys": {"top_of_wall": "The elevation of this wall's top."},
    "OrderKeys": {
        "waste": "How much more concrete and grout is ordered than the drawing needs.",
        "truck": "How much concrete one truck carries: ask the plant.",
        "discharge_limit": "How long after batching a truck must be empty, as in 90 min: ask the "
        "plant.",
        "minutes_per_load": "How many minutes your crew takes to empty a truck.",
        "wall_height": "How high walls of concrete are, where Levels are not answered.",
        "haul": "How much earth one dump truck carries.",
        "pier": "The diameter of the round pier that stands on each pad.",
        "bolts": "The farthest that two anchor bolts may be apart, or no for none.",
        "mortar": "The mortar that the block is laid in.",
        "mortar_waste": "How much more mortar is ordered than is laid.",
        "swell": "How much more room earth takes once it is dug.",
        "stone": "How thick the stone under the footings is, to be ordered.",
        "prices": "A file with your prices, in the same folder as the job.",
    },
    "SteelKeys": {
        "bars": "How many bars lie along each footing: the plan's section says it.",
        "size": "The number of the bar, such as 4, or its diameter, such as 12 mm.",
        "cover": "How much concrete is under, beside and at the end of each bar.",
        "lap": "How far two bars lie side by side where they meet, or the permit's rule for it.",
        "stock": "How long the bars are that the yard sells.",
        "dowels": "The farthest that two bars up into the wall may be apart, or no for none.",
        "dowel_length": "How long a bar up into the wall is, its hook counted.",
        "dowel_size": "The number of the bars up into the wall.",
        "pad_bars": "How many bars lie each way in a pad.",
    },
    "BlockKeys": {
        "length": "The length of a block with its joint.",
        "height": "The height of a block with its joint.",
        "courses": "How many courses the walls have, where Levels are not answered.",
        "grout": "Which cells are filled: those with a bar, all, or none.",
    },
    "MortarKeys": {
        "kind": "What a bag holds: the bag says it.",
        "type": "The type of the mortar, such as S: the plan's notes say it.",
        "block_per_bag": "How many block one bag lays: the maker says it.",
    },
    "DrainKeys": {
        "size": "The diameter of the pipe as it is sold, or no where stone alone drains.",
        "fall": 'How steep the pipe falls at the most, as in 1/8" per ft or 1%.',
        "beside": "How far the near edge of the drain's trench stays from the footing.",
    },
    "OutletKeys": {
        "at": "The x and y of the place the drain is led to, on the building's own x and y.",
        "level": "The elevation there: read the rod at the ditch, the pipe or the sump.",
    },
    "FillKeys": {
        "kind": "What is bought to fill under the slab.",
        "loose": "How much more it measures on the truck than compacted.",
        "spoil": "How deep earth from the dig may be laid first, where the inspector accepts it.",
    },
    "FormsKeys": {
        "stock": "How long the boards are that the yard sells.",
        "board": "The boards' name, such as 2x10, or how high they really are.",
    },
    "WeighKeys": {
        "top_of_wall": "The heights of the top of wall that are compared.",
    },
    "TopRangeKeys": {
        "from": "The lowest top of wall that is tried.",
        "to": "The highest top of wall that is tried.",
        "by": "How far apart the heights are; half a course where it is left out.",
    },
    "MoveKeys": {
        "north": "How far the building may go north or south of where it is placed.",
        "east": "How far the building may go east or west of where it is placed.",
        "turn": "How many degrees it may turn either way about the placed corner.",
        "step": "How far apart the places are that are tried.",
        "turn_step": "How many degrees apart the turns are that are tried.",
    },
    "LimitKeys": {
        "lowest": "The lowest that the top of the wall may be, as for a flood level.",
        "highest": "The highest that the top of the wall may be, as the planning office says.",
        "gutter": "The elevation of the street's gutter or drain inlet that water runs to.",
        "gutter_run": "How far the building stands from it.",
        "doors": "Doors with steps up to them from the ground outside.",
    },
    "SewerKeys": {
        "invert": "The elevation of the bottom inside the sewer at the joint: the town says it.",
        "run": "How long the pipe is from there to the wall.",
        "fall": 'How steep the pipe must fall, as in 1/4" per ft or 2%.',
        "below": "How far under the top of the wall the pipe must leave the house.",
    },
    "DoorKeys": {
        "wall": "The wall that the door is in.",
        "risers": "How many steps lead up to it.",
        "riser": "How high one step may be.",
    },
}
"""By model and key of the job file, whole sentences; a key without one has its schema's words."""
