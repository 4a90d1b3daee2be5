"""Which files a layout writes, and what writes each."""

from __future__ import annotations

from dataclasses import replace
from functools import cache, cached_property
from typing import TYPE_CHECKING

from staking.errors import InputError, Problem
from staking.notices import notice

if TYPE_CHECKING:
    import datetime as dt
    from pathlib import Path
    from typing import BinaryIO, TextIO

    from staking.commands.write_target import WriteTarget
    from staking.kinds import SheetKind
    from staking.laid_out.layout_value import Layout
    from staking.layout.layout_parts import Check
    from staking.notices import Notice
    from staking.output.drawing.plan_drawing import DrawnPlan
    from staking.output.files import FilesWritten, Writer
    from staking.output.pictures.picture import Picture
    from staking.output.profile.on_paper.walls_in_rows import ProfileRows
    from staking.project.resolve import Resolved
    from staking.project.sheets import Sheets

FILES = {
    "dxf": "plan.dxf",
    "svg": "plan.svg",
    "png": "plan.png",
    "profiles": "profiles.svg",
    "steps": "steps.svg",
    "pdf": "sheet.pdf",
    "html": "page.html",
    "csv": "points.csv",
    "xml": "points.xml",
    "geojson": "points.geojson",
    "gpx": "points.gpx",
    "json": "layout.json",
}
"""Every kind and its file, in the order they are written."""

ON_THE_EARTH = ("geojson", "gpx")
"""Files in latitude and longitude, which a survey without a coordinate system does not give."""

OF_LEVELS = ("profiles", "steps")
"""Files that show levels."""

WHEN_ASKED = ("png",)
"""Files that only ``--only`` writes: they take as long as all others together."""


def kinds_of(done: Layout, only: tuple[str, ...] | None) -> tuple[str, ...]:
    """Choose the files: all that this layout can give, or exactly those asked for.

    Parameters
    ----------
    done
        The layout.
    only
        The kinds asked for; None for all.

    Returns
    -------
    tuple of str
        Keys of `FILES`.

    Raises
    ------
    InputError
        When one is asked for that this job cannot give.
    """
    on_the_earth = done.placed and done.site is not None and done.site.is_on_the_earth
    missing = {
        **dict.fromkeys(
            () if on_the_earth else ON_THE_EARTH,
            (
                "needs the building placed in a coordinate system",
                "add survey:, place: and crs: under site:",
            ),
        ),
        **(
            dict.fromkeys(
                OF_LEVELS, ("needs levels", "add grade: with ground, top_of_wall and frost_depth")
            )
            if done.grade is None
            else {}
        ),
    }
    if only is None:
        return tuple(kind for kind in FILES if kind not in missing and kind not in WHEN_ASKED)
    faults = [
        Problem(message=f"{FILES[kind]} {missing[kind][0]}", remedy=missing[kind][1])
        for kind in only
        if kind in missing
    ]
    if faults:
        raise InputError(*faults)
    return only


def write_files(
    made: LayoutPapers, pairs: tuple[Check, ...], target: WriteTarget, kinds: tuple[str, ...]
) -> FilesWritten:
    """Write the files of a layout.

    Parameters
    ----------
    made
        Its drawings and papers.
    pairs
        The full table of pairs, where it was asked for.
    target
        Where to.
    kinds
        The kinds of files.

    Returns
    -------
    FilesWritten
        What is in place, and which of the sheets asked for the job lacks.
    """
    from staking.output.documents.layout_document import layout_document
    from staking.output.files import write_set

    done = made.resolved.layout
    lacking = _lacking(made, made.asked) if "pdf" in kinds else ()
    found = {**_drawings(made), **_points(done, target.day)}
    writers = {FILES[kind]: found[kind] for kind in kinds if kind != "json"}
    written = write_set(
        target.folder,
        writers,
        layout_document(done, pairs) if "json" in kinds else None,
        force=target.force,
        sources=target.sources,
    )
    return replace(written, notices=(*written.notices, *lacking))


def _lacking(made: LayoutPapers, asked: tuple[SheetKind, ...] | None) -> tuple[Notice, ...]:
    # Which of the sheets asked for there cannot be; none at all of them is a fault.
    if asked is None:
        return ()
    needs = {kind: made.sheets.lacking(kind) for kind in asked}
    missing = {kind: need for kind, need in needs.items() if need is not None}
    if len(missing) == len(asked):
        raise InputError(
            *(
                Problem(message=f"the job has no sheet {kind}: it {need}", remedy="ask for others")
                for kind, need in missing.items()
            )
        )
    return tuple(
        notice("sheet-lacking", "the job has no sheet {sheet}: it {needs}", sheet=kind, needs=need)
        for kind, need in missing.items()
    )


def changes_since(done: Layout, folder: Path) -> tuple[Notice, ...]:
    """Say what changed since the last layout in a folder, before its files are written over.

    Parameters
    ----------
    done
        The layout.
    folder
        Where its files go.

    Returns
    -------
    tuple of Notice
        Nothing where no layout stands there.
    """
    from staking.laid_out.layout_changes import layout_changes
    from staking.output.documents.earlier_layout import earlier_memory, memory_of

    earlier = earlier_memory(folder)
    return () if earlier is None else layout_changes(earlier, memory_of(done))


class LayoutPapers:
    """The drawings and papers of a layout: each made once, and only where it is needed.

    Parameters
    ----------
    resolved
        The resolved job.
    day
        The date that they carry; None for none.
    asked
        The sheets asked for; None for all.
    changes
        What changed since the last layout in the folder they go to.
    """

    def __init__(
        self,
        resolved: Resolved,
        day: dt.date | None,
        asked: tuple[SheetKind, ...] | None,
        changes: tuple[Notice, ...] = (),
    ) -> None:
        self.changes = changes
        self.resolved = resolved
        self.day = day
        self.asked = asked

    @cached_property
    def drawing(self) -> DrawnPlan:
        """The plan as it is drawn."""
        from staking.output.drawing.plan_drawing import draw_plan

        ordered = self.sheets.ordered
        drain = None if ordered is None else ordered.drain.on_plan
        return draw_plan(self.resolved.layout, drain)

    @cached_property
    def plan(self) -> Picture:
        """The plan as a picture on paper."""
        from staking.output.pictures.picture import paper_picture

        return paper_picture(self.drawing)

    @cached_property
    def walls(self) -> ProfileRows | None:
        """The profile of every wall, in rows; None without levels."""
        from staking.output.profile.profile_pictures import profile_pictures

        return profile_pictures(self.resolved.layout)

    @cached_property
    def sheets(self) -> Sheets:
        """What the papers and the page say."""
        from staking.project.sheets import prepare_sheets

        return prepare_sheets(self.resolved, self.day, self.changes)

    def dxf(self, stream: TextIO) -> None:
        """Write the drawing."""
        from staking.output.drawing.plan_drawing import document_of
        from staking.output.drawing.write_drawing import write_drawing
        from staking.project.layout_marks import dated

        mark = dated(self.resolved.layout, self.day)
        write_drawing(document_of(self.drawing, mark), stream, self.day)

    def svg(self, stream: TextIO) -> None:
        """Write the plan as SVG."""
        from staking.output.pictures.svg_and_png import svg_text

        stream.write(svg_text(self.plan))

    def png(self, stream: BinaryIO) -> None:
        """Write the plan as PNG."""
        from staking.output.pictures.svg_and_png import write_png

        write_png(self.plan, stream)

    def profiles(self, stream: TextIO) -> None:
        """Write the profiles as one SVG."""
        from staking.output.profile.profile_pictures import write_profiles

        write_profiles(self.resolved.layout, stream, self.walls)

    def steps(self, stream: TextIO) -> None:
        """Write the stepped footing as SVG."""
        from staking.output.pictures.steps_picture import write_steps

        write_steps(self.resolved.layout, stream)

    def pdf(self, stream: BinaryIO) -> None:
        """Write the sheets."""
        from staking.output.sheet.sheet_pdf import write_sheet

        write_sheet(self.sheets, stream, self.walls, self.asked)

    def html(self, stream: TextIO) -> None:
        """Write the page."""
        from staking.output.page.phone_page import write_page

        write_page(self.sheets, stream, self.drawing)


def _drawings(made: LayoutPapers) -> dict[str, Writer]:
    from staking.output.files import Binary

    return {
        "dxf": made.dxf,
        "svg": made.svg,
        "png": Binary(made.png),
        "profiles": made.profiles,
        "steps": made.steps,
        "pdf": Binary(made.pdf),
        "html": made.html,
    }


def _points(done: Layout, day: dt.date | None) -> dict[str, Writer]:
    @cache
    def marked() -> str:
        from staking.project.layout_marks import dated

        return dated(done, day)

    def csv(stream: TextIO) -> None:
        from staking.output.points.stake_points import write_points_csv

        write_points_csv(done, stream, marked())

    def xml(stream: TextIO) -> None:
        from staking.output.points.layout_rings import boundary_ring, building_rings
        from staking.output.points.stake_points import survey_of
        from staking.output.points.write_landxml import LayoutInLandXml, write_landxml

        points = survey_of(done)
        around = LayoutInLandXml(
            job=points.name,
            mark=marked(),
            boundary=boundary_ring(done),
            rings=building_rings(done),
        )
        write_landxml(points, stream, day, around)

    def geojson(stream: TextIO) -> None:
        from staking.output.points.stake_points import survey_on_the_earth
        from staking.output.points.write_geojson import write_geojson

        write_geojson(survey_on_the_earth(done), stream, marked())

    def gpx(stream: TextIO) -> None:
        from staking.output.points.stake_points import survey_on_the_earth
        from staking.output.points.write_gpx import write_gpx

        write_gpx(survey_on_the_earth(done), stream, marked())

    return {"csv": csv, "xml": xml, "geojson": geojson, "gpx": gpx}
