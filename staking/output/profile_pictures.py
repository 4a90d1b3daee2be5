"""The profiles of a job as one SVG picture, wall under wall."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.output.picture import model_pictures
from staking.output.pictures import svg_text
from staking.output.profile import profile_views

if TYPE_CHECKING:
    from typing import TextIO

    from staking.project import Layout

_MARGIN = 10.0
"""Air round each profile, mm."""


def write_profiles(layout: Layout, stream: TextIO) -> None:
    """Write the profile of every wall as one SVG picture, true to scale in millimetres.

    Parameters
    ----------
    layout
        A layout with levels.
    stream
        Where to write, open for text in UTF-8.

    Notes
    -----
    `staking.errors.ComputationError` comes through where there are no levels.
    """
    views = profile_views(layout)
    per_mm = (views[0].high[0] - views[0].low[0]) / views[0].width_mm
    windows = [(view.low, view.high) for view in views]
    pictures = model_pictures(views[0].document, per_mm, windows)
    parts, down, across = [], _MARGIN, 0.0
    for view, picture in zip(views, pictures, strict=True):
        head, rest = svg_text(picture, f"Profile of {view.wall}").split("\n", 1)
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
