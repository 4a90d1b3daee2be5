"""The profiles of a job as pictures, and as one SVG picture, wall under wall."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.errors import ComputationError
from staking.output.pictures.svg_and_png import svg_text
from staking.output.profile.on_paper.walls_in_rows import profile_rows
from staking.output.sheet.page_sizes import columns

if TYPE_CHECKING:
    from typing import TextIO

    from staking.laid_out.layout_value import Layout
    from staking.output.profile.on_paper.walls_in_rows import ProfileRows

_MARGIN = 10.0
"""Air round each profile, mm."""


def profile_pictures(layout: Layout) -> ProfileRows | None:
    """Draw every wall in profile, each at its own scale, in rows for a page of the sheets.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    ProfileRows or None
        Black on white; None without levels.
    """
    if layout.grade is None or not layout.grade.walls:
        return None
    column = columns(layout.options.paper)[0]
    return profile_rows(layout, layout.grade, column.width, column.height)


def write_profiles(layout: Layout, stream: TextIO, drawn: ProfileRows | None = None) -> None:
    """Write the key and the profile of every wall as one SVG picture, in millimetres on paper.

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
    profiles = profile_pictures(layout) if drawn is None else drawn
    if profiles is None:
        raise ComputationError("there are no walls with levels to draw; give a grade section")
    parts, down, across = [], _MARGIN, 0.0
    for label, picture in (("Key of the profiles", profiles.key), *(
        (f"Profile of {wall}", picture) for row in profiles.rows for wall, picture in row
    )):  # fmt: skip
        head, rest = svg_text(picture, label).split("\n", 1)
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
