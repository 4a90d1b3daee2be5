"""Writes the page for the phone: one file with plan, tables, rod box and tape boxes."""

from __future__ import annotations

import base64
import hashlib
from functools import cache
from html import escape
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from staking.notices import Severity
from staking.output.blocks import BlockTopic
from staking.output.page.rod_box import rod_box
from staking.output.page.script_data import content_hash, embedded, page_data
from staking.output.wording import Words, safe
from staking.plan import Show

if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import TextIO

    from ezdxf.document import Drawing
    from jinja2 import Template

    from staking.checked.page_tapes import PageTapes
    from staking.laid_out.layout_value import Layout
    from staking.output.blocks import Block
    from staking.project.sheets import Sheets

SCRIPTS = (
    "measure.js",
    "algebra.js",
    "adjust.js",
    "points.js",
    "verdict.js",
    "nails.js",
    "answer.js",
    "diagonals.js",
    "memory.js",
    "plan.js",
    "rod.js",
    "tapes.js",
    "start.js",
)
"""The page's script, in the order its parts are put together."""

_EXAMPLES = {
    Show.FEET_INCHES: "5' 2 3/8\", 5-2-3/8 or 5.2",
    Show.DECIMAL_FEET: "5.20",
    Show.METRES: "1.585 m",
    Show.MILLIMETRES: "1585 mm or 1.585 m",
}


def write_page(sheets: Sheets, stream: TextIO, drawing: Drawing | None = None) -> None:
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
    from staking.output.drawing.plan_drawing import plan_document
    from staking.output.page.page_plan import plan_picture

    layout = sheets.layout
    tapes = page_tapes(layout)
    picture = plan_picture(plan_document(layout) if drawing is None else drawing)
    parts = _parts(sheets)
    data = page_data(layout, tapes)
    blocks = [block for part in parts for block in part["blocks"]]
    data["hash"] = content_hash(data, blocks)
    style, script = _source("page.css"), _script()
    stream.write(
        _template().render(
            job=safe(layout.plan.job),
            hash=data["hash"],
            mark=layout.mark,
            revised=sheets.revised,
            style=_trusted(style),
            style_hash=_hash_of(style),
            script=_trusted(script),
            script_hash=_hash_of(script),
            data=embedded(data),
            told=_told(layout),
            picture=picture,
            picture_first=" ".join(f"{each:.1f}" for each in picture.view),
            picture_all=f"0 0 {picture.width:.1f} {picture.height:.1f}",
            up="Up is north." if layout.placed else "Up is y of the plan.",
            rod=rod_box(layout),
            tapes=data["tapes"],
            stages=data["stages"],
            holds=_holds(tapes),
            how=_how(layout, tapes),
            parts=parts,
            example=_EXAMPLES[layout.options.show],
            caution="Call the utility locating service before you dig, and wait for the marks.",
        )
    )


@cache
def _template() -> Template:
    from jinja2 import Environment, StrictUndefined

    environment = Environment(
        autoescape=True, undefined=StrictUndefined, keep_trailing_newline=True
    )
    environment.filters["inside"] = _inside
    return environment.from_string(_source("page.html.j2"))


def _inside(text: object) -> Any:
    # between tags quotes are only quotes: feet and inches take a fifth of the room so
    return _trusted(escape(str(text), quote=False))


def _source(name: str) -> str:
    return (files("staking.output.page") / name).read_text(encoding="utf-8")


@cache
def _script() -> str:
    return f'"use strict";\n{{\n{"".join(map(_source, SCRIPTS))}}}\n'


def _trusted(text: str) -> Any:
    # our own files, whose hash the policy names: an escaped quote would change it
    from markupsafe import Markup

    return Markup(text)


def _hash_of(text: str) -> str:
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}"


def _parts(sheets: Sheets) -> list[dict[str, Any]]:
    from staking.output.sheet.tick_lists import before_the_dig, before_the_pour
    from staking.output.tables.layout_tables import layout_blocks

    layout = sheets.layout
    parts: list[tuple[str, str, Sequence[Block]]] = []
    if sheets.work is not None:
        from staking.output.tables.work_tables import work_blocks

        parts.append(("work", "Work", work_blocks(layout, sheets.work)))
    if layout.grade is not None:
        from staking.output.tables.grade_tables import grade_blocks

        # the rod box does what that table does, for any set-up
        said = {BlockTopic.ROD, BlockTopic.CAUTIONS}
        graded = [block for block in grade_blocks(layout) if block.topic not in said]
        parts.append(("grade", "Grade", graded))
    if sheets.staked is not None:
        from staking.output.tables.stakeout_tables import stakeout_blocks

        parts.append(("stakeout", "Stake out", stakeout_blocks(layout, sheets.staked)))
    # the lists to tick hold the cautions
    plain = [block for block in layout_blocks(layout) if block.topic is not BlockTopic.CAUTIONS]
    parts.append(("tables", "Tables", plain))
    if sheets.ordered is not None:
        from staking.output.tables.order.order_tables import order_blocks

        parts.append(("order", "Order", order_blocks(layout, sheets.ordered)))
    parts.append(("lists", "Lists", (before_the_dig(sheets), before_the_pour(sheets))))
    return [{"key": key, "title": title, "blocks": list(blocks)} for key, title, blocks in parts]


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
        "nothing: every stake moves as little as can be"
        if hold is None
        else f"{hold.corner} and the wall {'-'.join(hold.wall)}"
        for hold in tapes.holds
    ]


def _how(layout: Layout, tapes: PageTapes) -> str:
    said = f"Write {_EXAMPLES[layout.options.show]}."
    if tapes.rectangles:
        said += " The two diagonals alone are enough where the sides are as planned."
    return said
