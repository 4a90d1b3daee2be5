"""Sizes of United States practice that a metric job takes because it does not say its own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.job.tree.source import Branch
from staking.measure.lengths import Unit
from staking.notices import Length, Notice, NoticeKind, Severity, notice

if TYPE_CHECKING:
    from collections.abc import Mapping

    from staking.order.order_request import OrderAsked

_CALLED = {
    "course": "height of a course",
    "module": "half a block's length",
    "min_run": "shortest run between steps",
    "bolts": "distance between bolts",
    "lap": "lap of the bars",
    "cover": "concrete over the bars",
    "stock": "length of a bar as bought",
    "length": "length of a block",
    "height": "height of a block",
}
"""What the keys of the job file stand for."""


def us_sizes(root: Branch, unit: Unit, asked: OrderAsked | None) -> tuple[Notice, ...]:
    """Say which sizes of block, laps and spacings a metric job leaves to their defaults.

    Parameters
    ----------
    root
        The whole file.
    unit
        What a bare number is in.
    asked
        The order as read, whose lap is the one that its bars take.

    Returns
    -------
    tuple of Notice
        ``us-sizes``, one for each section; a warning where courses or cells are concerned, since
        all levels and steps hang on them. Nothing in a job in feet or inches.
    """
    if unit not in {Unit.M, Unit.MM}:
        return ()
    told = []
    grade = root.get("grade")
    if isinstance(grade, Branch):
        told.append(_told("grade", grade, _of_grade(), {"course", "module"}))
    order = root.get("order")
    if isinstance(order, Branch):
        steel, block = order.get("steel"), order.get("block")
        sizes = _of_order(asked)
        told.append(_told("order", order, {"bolts": sizes["bolts"]}, set()))
        if isinstance(steel, Branch):
            own = {key: sizes[key] for key in ("lap", "cover", "stock")}
            told.append(_told("order: steel", steel, own, set()))
        if isinstance(block, Branch):
            own = {"length": sizes["length"], "height": sizes["height"]}
            told.append(_told("order: block", block, own, set(own)))
    return tuple(each for each in told if each is not None)


def _of_grade() -> dict[str, float]:
    from staking.grade.stepping.step_rules import GradeRules

    rules = GradeRules(frost_depth=0.0)
    return {"course": rules.course, "module": rules.module, "min_run": rules.min_run}


def _of_order(asked: OrderAsked | None) -> dict[str, float]:
    from staking.order.order_request import BlockAsked, OrderAsked, SteelAsked

    steel = SteelAsked() if asked is None or asked.steel is None else asked.steel
    block = BlockAsked()
    return {
        "bolts": OrderAsked().bolt_spacing or 0.0,
        "lap": steel.lap,
        "cover": steel.cover,
        "stock": steel.stock,
        "length": block.length,
        "height": block.height,
    }


def _told(
    section: str, branch: Branch, sizes: Mapping[str, float], grave: set[str]
) -> Notice | None:
    missing = {key: value for key, value in sizes.items() if key not in branch}
    if not missing:
        return None
    taken = ", ".join(f"{_CALLED[key]} ({key}:) {{{key}}}" for key in missing)
    return notice(
        NoticeKind.US_SIZES,
        f"United States sizes are taken for what the job leaves out under {section}: {taken}; "
        "write your own there where they differ",
        Severity.WARNING if grave & missing.keys() else Severity.NOTE,
        **{key: Length(value) for key, value in missing.items()},
    )
