"""Writes the page for the phone: one file that leads through the day, with plan, rod and tapes."""

from __future__ import annotations

import base64
import hashlib
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from staking.notices import Severity
from staking.output import cautions
from staking.output.blocks import BlockTopic
from staking.output.page.card_data import cards_data
from staking.output.page.plan_names import dots_svg, names_svg, plan_names
from staking.output.page.rod_box import rod_box
from staking.output.page.script_data import embedded, page_data
from staking.output.page.step_data import steps_data
from staking.output.page.unbroken import unbroken
from staking.output.page.wall_data import walls_data
from staking.output.wording import Words, safe
from staking.plan import Show

if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import TextIO

    from jinja2 import Template

    from staking.checked.page_tapes import PageTapes
    from staking.laid_out.layout_value import Layout
    from staking.output.blocks import Block
    from staking.output.drawing.plan_drawing import DrawnPlan
    from staking.output.page.page_plan import PlanPicture
    from staking.project.sheets import Sheets

SCRIPTS = (
    "job_data.js",
    "measure.js",
    "algebra.js",
    "adjust.js",
    "points.js",
    "verdict.js",
    "nails.js",
    "answer.js",
    "diagonals.js",
    "memory.js",
    "elements.js",
    "length_pad.js",
    "plan.js",
    "rod.js",
    "tapes.js",
    "walls.js",
    "cards.js",
    "steps.js",
    "places.js",
    "start.js",
)
"""The page's script, in the order its parts are put together."""

_MOST_CORNERS = 60
"""Of more corners the tables of boards, hubs and tapes stand on the cards alone."""

_CORNERS = ("Boards, with their nails", "Measured square", "Hubs, kept")

_EXAMPLES = {
    Show.FEET_INCHES: "5' 2 3/8\", 5 2 3/8, 5-2-3/8 or 5.2",
    Show.DECIMAL_FEET: "5.20",
    Show.METRES: "1.585 m",
    Show.MILLIMETRES: "1585 mm or 1.585 m",
}


def write_page(sheets: Sheets, stream: TextIO, drawing: DrawnPlan | None = None) -> None:
    """Write the page.

    Parameters
    ----------
    sheets
        What is shown of the job.
    stream
        Where to write, open for text in UTF-8.
    drawing
        The plan drawing where it is made already.

    Notes
    -----
    The file asks nothing of a network: its policy lets only its own style and script run, by
    their hashes. Text from the job file is escaped by the template, and in the embedded document
    nothing can end the element it stands in.
    """
    from staking.checked.page_tapes import page_tapes
    from staking.output.drawing.plan_drawing import draw_plan
    from staking.output.page.page_plan import plan_picture

    layout = sheets.layout
    tapes = page_tapes(layout)
    if drawing is None:
        ordered = sheets.ordered
        drawing = draw_plan(layout, None if ordered is None else ordered.drain.on_plan)
    picture = plan_picture(drawing)
    style, script = _source("page.css"), _script()
    stream.write(
        _template().render(
            job=safe(layout.plan.job),
            mark=layout.mark,
            revised=sheets.revised,
            style=_trusted(style),
            style_hash=_hash_of(style),
            script=_trusted(script),
            script_hash=_hash_of(script),
            data=embedded(_data(sheets, tapes, picture)),
            told=_told(layout),
            picture=picture,
            names=_trusted(names_svg(plan_names(layout), picture.frame)),
            dots=_trusted(dots_svg(layout, picture.frame)),
            picture_first=" ".join(f"{each:.1f}" for each in picture.view),
            picture_all=f"0 0 {picture.width:.1f} {picture.height:.1f}",
            up="Up is north." if layout.placed else "Up is y of the plan.",
            rod=rod_box(layout),
            tapes=tapes.tapes,
            holds=_holds(tapes),
            how=_how(layout, tapes),
            steps=_steps(sheets),
            lists=_lists(sheets),
            parts=_parts(sheets),
            cautions=_where_one_digs(),
            example=_EXAMPLES[layout.options.show],
        )
    )


def _data(sheets: Sheets, tapes: PageTapes, picture: PlanPicture) -> dict[str, Any]:
    layout = sheets.layout
    work = sheets.work
    return page_data(layout, tapes) | {
        "steps": [] if work is None else steps_data(layout, work, picture.frame),
        "cards": cards_data(sheets, tapes.tapes, picture.frame),
        "profiles": walls_data(layout),
        "cautions": _where_one_digs(),
    }


@cache
def _template() -> Template:
    from jinja2 import Environment, StrictUndefined

    environment = Environment(
        autoescape=True, undefined=StrictUndefined, keep_trailing_newline=True
    )
    environment.filters["unbroken"] = unbroken
    return environment.from_string(_source("page.html.j2"))


def _source(name: str) -> str:
    return (files("staking.output.page") / name).read_text(encoding="utf-8")


@cache
def _script() -> str:
    # comments and indents stay at home: they are a sixth of it
    lines = (line.strip() for name in SCRIPTS for line in _source(name).splitlines())
    kept = "\n".join(line for line in lines if line and not line.startswith("//"))
    return f'"use strict";\n{{\n{kept}\n}}\n'


def _trusted(text: str) -> Any:
    # our own files, whose hash the policy names: an escaped quote would change it
    from markupsafe import Markup

    return Markup(text)


def _hash_of(text: str) -> str:
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}"


def _where_one_digs() -> list[str]:
    # the first is said wherever something goes into the ground; the two lists have them all
    return [cautions.SERVICES, cautions.TRENCH, cautions.BUCKET, cautions.WIRES]


def _steps(sheets: Sheets) -> list[dict[str, Any]]:
    # the order of work part by part, numbered through as on paper
    from staking.output.tables.work_tables import step_tables

    if sheets.work is None:
        return []
    return [
        {"title": str(table.title), "rows": table.rows}
        for table in step_tables(sheets.layout, sheets.work)
    ]


def _lists(sheets: Sheets) -> list[Block]:
    from staking.output.sheet.ticked.tick_lists import before_the_dig, before_the_pour

    return [before_the_dig(sheets), before_the_pour(sheets)]


def _parts(sheets: Sheets) -> list[dict[str, Any]]:
    from staking.output.tables.layout_tables import layout_blocks

    layout = sheets.layout
    parts: list[tuple[str, str, Sequence[Block]]] = []
    if sheets.staked is not None:
        from staking.output.tables.stakeout_tables import stakeout_blocks

        parts.append(("stakeout", "Stake out", stakeout_blocks(layout, sheets.staked)))
    # the lists to tick hold the cautions, and the cards what stands at each corner
    plain = [block for block in layout_blocks(layout) if block.topic is not BlockTopic.CAUTIONS]
    if len(layout.plan.corner_points) > _MOST_CORNERS:
        plain = [block for block in plain if not _on_cards(block)]
    parts.append(("tables", "Strings, boards and tapes", plain))
    if sheets.work is not None:
        parts.append(("work", "How near the stakes come", _near(sheets)))
    if layout.grade is not None:
        from staking.output.tables.grade_tables import grade_blocks

        # the list of levels does what that table does, for any set-up
        said = {BlockTopic.ROD, BlockTopic.CAUTIONS}
        graded = [block for block in grade_blocks(layout) if block.topic not in said]
        parts.append(("grade", "Footing and dig", graded))
    if sheets.ordered is not None:
        from staking.output.tables.order.order_tables import order_blocks

        parts.append(("order", "Order", order_blocks(layout, sheets.ordered)))
    return [{"key": key, "title": title, "blocks": list(blocks)} for key, title, blocks in parts]


def _on_cards(block: Block) -> bool:
    return block.topic is BlockTopic.CHECKS or block.title.startswith(_CORNERS)


def _near(sheets: Sheets) -> list[Block]:
    from staking.output.blocks import Listing
    from staking.output.tables.work_tables import near_lines, near_table

    if sheets.work is None:
        return []
    lines = near_lines(sheets.layout, sheets.work)
    return [
        near_table(sheets.layout, sheets.work),
        Listing(title="What to tape for that", lines=lines),
    ]


def _told(layout: Layout) -> list[dict[str, Any]]:
    from staking.output.tables.notice_listings import notice_blocks

    found = []
    for severity in (Severity.BROKEN, Severity.WARNING, Severity.NOTE):
        own = [each for each in layout.notices if each.severity is severity]
        for block in notice_blocks(own, Words(layout.options)):
            found.append({"kind": str(severity), "title": block.title, "lines": block.lines})
    return found


def _holds(tapes: PageTapes) -> list[str]:
    return [
        "nothing: move the least"
        if hold is None
        else f"{hold.corner} and the wall {'-'.join(hold.wall)}"
        for hold in tapes.holds
    ]


def _how(layout: Layout, tapes: PageTapes) -> str:
    said = f"Write {_EXAMPLES[layout.options.show]}, or pick it."
    if tapes.rectangles:
        said += " The two diagonals alone are enough where the sides are as planned."
    return said
