"""The profiles of a job as pictures, and as one SVG picture, wall under wall."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.errors import ComputationError
from staking.output.pictures.picture import model_pictures
from staking.output.pictures.svg_and_png import svg_text
from staking.output.profile.profile_drawing import profile_views
from staking.output.sheet.page_sizes import columns

if TYPE_CHECKING:
    from typing import TextIO

    from staking.laid_out.layout_value import Layout
    from staking.output.pictures.picture import Picture

_MARGIN = 10.0
"""Air round each profile, mm."""
_AIR = 5.0
"""Under a profile on the sheet, mm."""
_KEY = 33.0
"""What a profile's key and scale bar take, which the sheet shows once, mm."""


def profile_pictures(layout: Layout) -> dict[str, Picture]:
    """Draw every wall in profile, at the largest scale at which two go on a page of the sheets.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    dict
        The picture of each wall and interior line under its name, layers in their colours, all
        to one scale; empty without levels. Where no scale lets two of them go on a page, each
        fits one by itself.
    """
    if layout.grade is None or not layout.grade.walls:
        return {}
    column = columns(layout.options.paper)[0]
    half, whole = column.height / 2 + _KEY, column.height - _AIR
    views = profile_views(layout, (column.width, half))
    if any(view.height_mm > half or view.width_mm > column.width for view in views):
        views = profile_views(layout, (column.width, whole))
    per_mm = (views[0].high[0] - views[0].low[0]) / views[0].width_mm
    windows = [(view.low, view.high) for view in views]
    pictures = model_pictures(views[0].document, per_mm, windows)
    return {view.wall: picture for view, picture in zip(views, pictures, strict=True)}


def write_profiles(layout: Layout, stream: TextIO, drawn: dict[str, Picture] | None = None) -> None:
    """Write the profile of every wall as one SVG picture, true to scale in millimetres.

    Parameters
    ----------
    layout
        A layout with levels.
    stream
        Where to write, open for text in UTF-8.
    drawn
        What `profile_pictures` gives, where it is drawn already.

    Raises
    ------
    ComputationError
        Where there are no levels.
    """
    pictures = profile_pictures(layout) if drawn is None else drawn
    if not pictures:
        raise ComputationError("there are no walls with levels to draw; give a grade section")
    parts, down, across = [], _MARGIN, 0.0
    for wall, picture in pictures.items():
        head, rest = svg_text(picture, f"Profile of {wall}").split("\n", 1)
        # within the whole a millimetre is the unit itself
        head = head.removeprefix("<svg ").replace('mm" height=', '" height=')
        head = head.replace('mm" role=', '" role=')
        parts.append(f'<svg x="{_MARGIN:g}" y="{down:.3f}" {head}\n{rest}')
        down += picture.height + _MARGIN
        across = max(across, picture.width)
    wide = across + 2 * _MARGIN
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide:.3f} {down:.3f}" '
        f'width="{wide:.3f}mm" height="{down:.3f}mm">\n'
        '<rect width="100%" height="100%" fill="#ffffff"/>\n'
    )
    stream.write(head + "".join(parts) + "</svg>\n")
