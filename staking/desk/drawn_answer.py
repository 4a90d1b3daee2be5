"""What the desk's page is told of a job: its values and faults, its plan, tapes and figures."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from staking.desk.form_words import in_form_words
from staking.desk.told_blocks import Told, block_told
from staking.errors import InputError, Problem, ProjectError
from staking.frozen import frozen

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path

    from staking.job.build import Job
    from staking.job.edit.file_edits import Answer
    from staking.laid_out.layout_value import Layout
    from staking.order.drain.arms_on_plan import DrainOnPlan
    from staking.output.blocks import Block
    from staking.project.resolve import Resolved

_ROOM, _ROOM_IN_FEET = 8, 26
"""Whole metres or feet to a building put beside another: boards and strings of both have room."""


def faults_told(error: ProjectError, name: str) -> list[Told]:
    """List faults for the page: where in the file each is, and its sentence without a path.

    Parameters
    ----------
    error
        What was raised.
    name
        How the job file was named to the reader.

    Returns
    -------
    list of dict
        ``place`` (empty where it is nowhere in the file), ``line`` and ``text``.
    """
    if not isinstance(error, InputError):
        return [{"place": [], "line": None, "text": str(error)}]
    return [_fault(each, name) for each in error.problems]


def _fault(problem: Problem, name: str) -> Told:
    text = problem.sentence
    if problem.place is None and problem.field:
        text = f"{problem.field}: {text}"
    if problem.path is not None and problem.path != name:
        # Of a survey only its name is shown: where this computer keeps it is its own affair.
        text = f"{problem.path.replace(chr(92), '/').rsplit('/', maxsplit=1)[-1]}: {text}"
    of_job = problem.path == name
    return {
        "place": list(problem.place or ()) if of_job else [],
        "line": problem.line if of_job else None,
        "text": text,
    }


def read_answer(text: str, answers: Sequence[Answer], path: Path) -> tuple[Told, Job | None]:
    """Put answers into a text, and say what it then holds and what is wrong with it.

    Parameters
    ----------
    text
        The text as the page has it.
    answers
        What was answered since.
    path
        The job file.

    Returns
    -------
    told : dict
        ``text``, ``values`` (None where the text cannot be read), ``faults``, and ``refused``:
        answers that could not be put in.
    job : Job or None
        What was read; None where something is at fault.
    """
    from staking.job.edit.file_edits import answered
    from staking.job.edit.key_order import keys_in_order
    from staking.job.edit.node_spans import nodes_of, value_of
    from staking.project.desk import job_of_text

    name = str(path)
    refused: list[Told] = []
    for answer in answers:
        try:
            text = answered(text, [answer], name, keys_in_order)
        except InputError as error:
            for told in faults_told(error, name):
                refused.append({**told, "place": list(answer.place)})
    faults: list[Told] = []
    values, job = None, None
    try:
        values = value_of(nodes_of(text, name))
        job = job_of_text(text, path)
    except ProjectError as error:
        faults = faults_told(error, name)
    return {"text": text, "values": values, "faults": faults, "refused": refused}, job


@frozen(eq=False)
class DrawnAnswer:
    """A text as it was drawn: what was laid out, its drain, and what the page was told of it."""

    text: str
    resolved: Resolved
    drain: DrainOnPlan | None
    told: Told


def draw_answer(
    text: str, path: Path, job: Job | None = None, before: DrawnAnswer | None = None
) -> tuple[Told, DrawnAnswer | None]:
    """Lay a text out, and say what the page shows beside its questions.

    Parameters
    ----------
    text
        The text as the page has it.
    path
        The job file.
    job
        What was read from the text, where it was just read.
    before
        What was drawn before: what the text does not change of it is taken from there.

    Returns
    -------
    told : dict
        ``faults``, and where there are none ``picture`` (SVG), ``size``, ``window`` (where in it
        the plan is), ``touch``, ``told``, ``names``, ``corners``, and ``beside``: the x at which
        another building would stand clear of all that is there.
    drawn : DrawnAnswer or None
        What was laid out, for `figures_answer` and the next text; None where something is at
        fault.
    """
    from staking.project.desk import job_of_text
    from staking.project.resolve import resolve

    try:
        job = job_of_text(text, path) if job is None else job
        resolved = resolve(job, before=None if before is None else before.resolved)
    except ProjectError as error:
        return {"faults": faults_told(error, str(path))}, None
    drain = _drain(resolved)
    is_same = before is not None and resolved.layout is before.resolved.layout
    if before is not None and is_same and drain == before.drain:
        told = before.told
    else:
        told = _told_of(resolved, drain)
    return told, DrawnAnswer(text=text, resolved=resolved, drain=drain, told=told)


def _drain(resolved: Resolved) -> DrainOnPlan | None:
    from staking.project.order import drain_of_job

    try:
        return drain_of_job(resolved)
    except ProjectError:
        # What is at fault in the order is told with its figures; the plan stands without a drain.
        return None


def _told_of(resolved: Resolved, drain: DrainOnPlan | None) -> Told:
    return {
        "faults": [],
        **_picture(resolved.layout, drain),
        "told": _notices(resolved.layout),
        "names": _names(resolved),
        "corners": _corners(resolved),
        "beside": _beside(resolved),
    }


def figures_answer(resolved: Resolved, path: Path) -> Told:
    """Say what comes of a job beside its plan.

    Parameters
    ----------
    resolved
        What `draw_answer` laid out.
    path
        The job file.

    Returns
    -------
    dict
        ``faults``, and ``tapes``, ``levels`` and ``order``, each a list of tables and lists.
    """
    from staking.output.tables.layout_tables import layout_blocks
    from staking.project.desk import order_of_resolved

    layout = resolved.layout
    levels: Iterable[Block] = ()
    if layout.grade is not None:
        from staking.output.tables.grade_tables import grade_blocks

        levels = grade_blocks(layout)
    order: Iterable[Block] = ()
    faults: list[Told] = []
    try:
        ordered = order_of_resolved(resolved)
    except ProjectError as error:
        faults, ordered = faults_told(error, str(path)), None
    if ordered is not None:
        from staking.output.tables.order.order_tables import order_blocks

        order = order_blocks(layout, ordered)
    return {
        "faults": faults,
        "tapes": [block_told(each) for each in layout_blocks(layout)],
        "levels": [block_told(each) for each in levels],
        "order": [block_told(each) for each in order],
    }


def _picture(layout: Layout, drain: DrainOnPlan | None = None) -> Told:
    from staking.output.drawing.drawing_sheet import MARGIN, view_size
    from staking.output.drawing.plan_drawing import draw_plan
    from staking.output.drawing.touch_places import touch_places
    from staking.output.pictures.picture import paper_picture
    from staking.output.pictures.svg_and_png import svg_text

    plan = draw_plan(layout, drain)
    picture = paper_picture(plan)
    return {
        "picture": svg_text(picture, f"Plan of {layout.plan.job}"),
        "size": [picture.width, picture.height],
        "window": [MARGIN, MARGIN, *view_size(layout.options.paper)],
        "touch": [
            {
                "kind": str(each.kind),
                "name": each.name,
                "building": each.building,
                "points": [[round(x, 2), round(y, 2)] for x, y in each.points],
            }
            for each in touch_places(plan)
        ],
    }


def _notices(layout: Layout) -> list[Told]:
    """Set out the notices, the heaviest last."""
    from staking.notices import Severity
    from staking.output.tables.notice_listings import notice_blocks
    from staking.output.wording import Words

    words = Words(layout.options)
    found = []
    for severity in (Severity.NOTE, Severity.WARNING, Severity.BROKEN):
        own = [each for each in layout.notices if each.severity is severity]
        for block in notice_blocks(own, words):
            lines = [in_form_words(each) for each in block.lines]
            found.append({"kind": str(severity), "title": block.title, "lines": lines})
    return found


def _names(resolved: Resolved) -> Told:
    plan = resolved.plan
    return {
        "corners": [corner.name for each in plan.buildings for corner in each.corners],
        "walls": [wall.name for each in plan.buildings for wall in each.walls],
        "lines": [line.name for line in plan.interior],
        "pads": [pad.name for pad in plan.pads],
    }


def _beside(resolved: Resolved) -> str:
    from staking.job.starter import exact_length
    from staking.units import Unit

    far = max(each.x for building in resolved.plan.buildings for each in building.corners)
    unit = Unit(resolved.options.unit)
    step, room = (1.0, _ROOM) if unit in {Unit.M, Unit.MM} else (Unit.FT.metres, _ROOM_IN_FEET)
    return exact_length((math.ceil(far / step) + room) * step, unit)


def _corners(resolved: Resolved) -> list[list[Told]]:
    """Give each building's corners as the file would write them."""
    from staking.job.starter import exact_length
    from staking.units import Unit

    unit = Unit(resolved.options.unit)
    return [
        [
            {"name": each.name, "x": exact_length(each.x, unit), "y": exact_length(each.y, unit)}
            for each in building.corners
        ]
        for building in resolved.plan.buildings
    ]
