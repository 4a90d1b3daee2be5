"""Names and heights on the plan drawing's points, as attributes a drawing program can list.

The words beside a point are placed for the eye and may stand anywhere; what reads the drawing back
takes a point's name, height and meaning from the block reference that stands on it.
"""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

from staking.output.drawing import layers
from staking.output.points.stake_points import fixed
from staking.output.points.survey_csv import DECIMALS

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from ezdxf.document import Drawing
    from ezdxf.layouts.base import BaseLayout

    from staking.layout.named_points import NamedPoint
    from staking.output.drawing.pen import Pen
    from staking.plan import Point
    from staking.points import KnownPoint
    from staking.units import Unit

BLOCK = "SURVEY_POINT"
"""The block whose references carry a point's name, elevation and description as attributes."""
TAGS = ("POINT", "ELEVATION", "DESCRIPTION")

_CODES = re.compile(r"\\(?=[UuMm]\+)|\^")
_BREAKS = re.compile("[\0-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff]+")


def attribute_text(text: str) -> str:
    r"""Write text so that it reads back as it is.

    Parameters
    ----------
    text
        A name or a description.

    Returns
    -------
    str
        A backslash code or a caret, which would be read as another character, as its ``\U+`` code;
        a line break, which would end the value, as a space.
    """
    return _CODES.sub(lambda found: f"\\U+{ord(found[0]):04X}", _BREAKS.sub(" ", text))


def define_block(doc: Drawing, height: float, *, shown: bool) -> None:
    """Define the block of named points.

    Parameters
    ----------
    doc
        The drawing.
    height
        Of the attributes' text, drawing units.
    shown
        Whether the attributes are seen; a plan has its own words beside the points.
    """
    block = doc.blocks.new(BLOCK)
    for at, tag in enumerate(TAGS):
        block.add_attdef(
            tag,
            (height, height * (0.5 - 1.4 * at)),
            dxfattribs={"height": height, "prompt": tag, "flags": 0 if shown else 1},
        )


def add_reference(
    space: BaseLayout,
    place: tuple[float, float, float],
    layer: str,
    texts: tuple[str, str, str],
) -> None:
    """Put a reference with a point's name, elevation and description on its place.

    Parameters
    ----------
    space
        The model space.
    place
        Drawing units.
    layer
        The point's layer.
    texts
        Name, elevation (empty for none) and description, as they are.
    """
    reference = space.add_blockref(BLOCK, place, dxfattribs={"layer": layer})
    reference.add_auto_attribs({
        tag: attribute_text(text) for tag, text in zip(TAGS, texts, strict=True)
    })


def name_stakes(pen: Pen, stakes: Iterable[tuple[NamedPoint, float]], unit: Unit) -> None:
    """Name the corners, pads, ends of interior lines and hubs, as the points file names them.

    Parameters
    ----------
    pen
        Draws the plan.
    stakes
        Points and their elevations, m, as
        `staking.output.points.stake_points.stakes_with_levels` gives them; one without an
        elevation has an empty attribute.
    unit
        The drawing's.
    """
    for point, level in stakes:
        _name(pen, (point.x, point.y), (point.name, point.description), level, unit)


def name_surveyed(
    pen: Pen, points: Sequence[KnownPoint], spots: Sequence[Point], unit: Unit
) -> None:
    """Name the surveyed points; one without an elevation has an empty attribute.

    Parameters
    ----------
    pen
        Draws the plan.
    points, spots
        The points and their places on the building grid, m.
    unit
        The drawing's.
    """
    for point, spot in zip(points, spots, strict=True):
        _name(pen, spot, (point.name, point.description), point.elevation, unit)


def _name(pen: Pen, spot: Point, words: tuple[str, str], level: float, unit: Unit) -> None:
    height = 0.0 if math.isnan(level) else level / unit.metres
    written = "" if math.isnan(level) else fixed(height, DECIMALS[unit])
    texts = (words[0], written, words[1])
    pen.name(spot, height, layers.CONTROL, texts)
