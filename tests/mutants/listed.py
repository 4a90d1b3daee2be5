"""Changes that a test must notice, each with the tests nearest to it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One change of the source.

    Attributes
    ----------
    what
        What is wrong after it, in a few words.
    file
        Of the package, from the tree's root.
    old, new
        The text and what takes its place. `old` stands exactly once in the file.
    tests
        Files or single tests to run, from the tree's root.
    """

    what: str
    file: str
    old: str
    new: str
    tests: tuple[str, ...]


LISTED = (
    Change(
        what="a top read down from the string counts upward",
        file="staking/adjust/pour/taped_rows.py",
        old="top = (string or 0.0) - row.down",
        new="top = (string or 0.0) + row.down",
        tests=("tests/commands/test_record.py",),
    ),
    Change(
        what="a turned building's setbacks are worked out for the opposite turn",
        file="staking/checked/setbacks_as_staked.py",
        old="turn=site.placement.turn + off.turn",
        new="turn=site.placement.turn - off.turn",
        tests=("tests/commands/test_check_stakes.py",),
    ),
    Change(
        what="walls turning up to 60 degrees get a jog for a mitre",
        file="staking/tolerances.py",
        old="STRAIGHT_RAD = 0.17453292519943295",
        new="STRAIGHT_RAD = 1.0471975511965976",
        tests=("tests/footing/test_bands.py",),
    ),
    Change(
        what="a wall crossing at less than 30 degrees keeps no step away",
        file="staking/grade/stepping/step_places.py",
        old="if abs(along) > 0.17:",
        new="if abs(along) > 0.5:",
        tests=("tests/grade/test_corner_run.py",),
    ),
    Change(
        what="the end bolt of a short plate stands at a third of it",
        file="staking/order/bolts.py",
        old="max(NEAREST_END, length / 4)",
        new="max(NEAREST_END, length / 3)",
        tests=("tests/order/test_bolts.py",),
    ),
    Change(
        what="readings a fifth off are refused as another unit",
        file="staking/adjust/level_readings.py",
        old="UNIT_SLIP = 0.02",
        new="UNIT_SLIP = 0.20",
        tests=("tests/commands/test_check.py",),
    ),
    Change(
        what="points over half a country are one site",
        file="staking/survey/lat_lon.py",
        old="ONE_SITE = 20_000.0",
        new="ONE_SITE = 5_000_000.0",
        tests=("tests/survey/test_lat_lon.py",),
    ),
    Change(
        what="elevations of 0 are asked about only where the others lie 1,000 ft off",
        file="staking/survey/elevations.py",
        old="FAR_FROM_NOTHING = 3.048",
        new="FAR_FROM_NOTHING = 304.8",
        tests=("tests/survey/test_elevations.py",),
    ),
    Change(
        what="a moved decimal point counts only a mile off",
        file="staking/survey/elevations.py",
        old="SURELY_A_SLIP = 50.0",
        new="SURELY_A_SLIP = 1600.0",
        tests=("tests/survey/test_elevations.py",),
    ),
    Change(
        what="9999 is a mark among ground as high",
        file="staking/survey/elevations.py",
        old="FAR_FROM_MARK = 100.0",
        new="FAR_FROM_MARK = 0.1",
        tests=("tests/survey/test_elevations.py",),
    ),
    Change(
        what="positions in steps of 11 m are laid out by",
        file="staking/survey/degree_doubts.py",
        old="NO_LAYOUT = 0.5",
        new="NO_LAYOUT = 50.0",
        tests=("tests/survey/test_degrees.py",),
    ),
    Change(
        what="75 minutes make a degree and a quarter",
        file="staking/survey/delimited/degrees.py",
        old="if float(part) >= 60.0:",
        new="if float(part) >= 100.0:",
        tests=("tests/survey/test_guess_faults.py",),
    ),
    Change(
        what="the letter before a bracket outranks the direction in it",
        file="staking/survey/delimited/heading.py",
        old="return _direction(text) or _angle(text) or _word(text)",
        new="return _angle(text) or _word(text)",
        tests=("tests/survey/test_headings_with_directions.py",),
    ),
    Change(
        what="-32768 is an elevation",
        file="staking/survey/elevations.py",
        old="-999999.0, -32768.0, -32767.0",
        new="-999999.0, -32767.0",
        tests=("tests/survey/test_no_level_marks.py",),
    ),
    Change(
        what="a fifth of an error must show instead of a tenth",
        file="staking/network/design.py",
        old="LEAST_REDUNDANCY = 0.1",
        new="LEAST_REDUNDANCY = 0.2",
        tests=("tests/network/test_design.py",),
    ),
    Change(
        what="a can of paint reaches 150 feet",
        file="staking/order/supplies.py",
        old="PAINT_REACH = 250 * FOOT",
        new="PAINT_REACH = 150 * FOOT",
        tests=("tests/commands/test_order.py::test_a_can_of_paint_reaches_250_feet",),
    ),
    Change(
        what="frost outside a wall is judged from a metre off its face",
        file="staking/grade/stepping/cells.py",
        old="clip_ring(strand.local(patch.ring), 0.0, 1.0, 0.0)",
        new="clip_ring(strand.local(patch.ring), 0.0, 1.0, 1.0)",
        tests=("tests/grade/test_outside_part.py",),
    ),
    Change(
        what="a position without a height in GeoJSON is a fault",
        file="staking/survey/geojson/features.py",
        old="if at == 2 and value is None:",
        new="if at != 2 and value is None:",
        tests=("tests/survey/test_geojson.py",),
    ),
    Change(
        what="unlabelled numbers that span fifty degrees are a site in degrees",
        file="staking/survey/delimited/column_evidence.py",
        old="WIDEST_SITE = 0.5",
        new="WIDEST_SITE = 50.0",
        tests=("tests/survey/test_lat_lon.py",),
    ),
    Change(
        what="a quarter of a second rounds up",
        file="staking/measure/angles.py",
        old="* 3600.0 + 0.5)",
        new="* 3600.0 + 0.75)",
        tests=("tests/test_measure.py",),
    ),
    Change(
        what="a pad level with a notch's corner stands in or out by the corner",
        file="staking/lines.py",
        old="above = starts[:, 1] > points[:, None, 1]",
        new="above = starts[:, 1] >= points[:, None, 1]",
        tests=("tests/test_lines.py",),
    ),
    Change(
        what="a pad is inside by the walls on its other side",
        file="staking/lines.py",
        old="reach = starts[:, 0] + (points[:, None, 1] - starts[:, 1]) * slope",
        new="reach = starts[:, 0] - (points[:, None, 1] - starts[:, 1]) * slope - 20.0",
        tests=("tests/grade/test_told.py",),
    ),
    Change(
        what="a side of the dig is parted at the mirror image of where levels meet",
        file="staking/order/trench.py",
        old="start[1] + s * uy",
        new="start[1] - s * uy",
        tests=("tests/order/test_dig.py",),
    ),
    Change(
        what="a vertex parts a side of the dig within one level",
        file="staking/order/trench.py",
        old="    return abs(a * middle[0] + b * middle[1] + c) <= ON_LINE",
        new="    return False",
        tests=("tests/order/test_dig.py",),
    ),
    Change(
        what="gaps, edges and spikes where pieces of the dig meet have banks of their own",
        file="staking/order/trench.py",
        old="for grown in (ON_LINE, -ON_LINE):",
        new="for grown in (0.0,):",
        tests=("tests/order/test_dig.py",),
    ),
    Change(
        what="an edge of a billionth of a metre is a side of the dig",
        file="staking/order/trench.py",
        old="if math.dist(ring[i - 1], at) > ON_LINE]",
        new="if math.dist(ring[i - 1], at) > 0.0]",
        tests=("tests/order/test_dig.py",),
    ),
)
