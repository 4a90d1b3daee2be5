"""The steps of the days before: the white line, the call, the lot's pins, two benchmarks."""

from __future__ import annotations

from staking.frozen import frozen
from staking.kinds import WorkKind, WorkPart
from staking.layout.steps.work import WorkStep
from staking.layout.steps.work_steps import says
from staking.units import FOOT

WHITE_MARGIN, WHITE_MARGIN_METRIC = 2 * FOOT, 0.6
"""How far outside the dig the white line is painted, m (common practice, no source)."""

NOT_OURS = "red, yellow, orange, blue, purple and green"
"""The utilities' own colours by the uniform colour code of the American Public Works Association,
in which white is a proposed dig and pink a temporary mark of a survey."""


@frozen
class BeforeTheDay:
    """What the steps of the days before say of the job.

    Parameters
    ----------
    margin
        How far outside the dig the white line is painted, m.
    pins
        The corners of the lot, where the job names them.
    from_paper
        Whether the lot comes from a deed alone.
    buried
        The lines that the job knows of.
    benchmark
        The benchmark's name, where the job has one.
    """

    margin: float
    pins: tuple[str, ...] = ()
    from_paper: bool = False
    buried: tuple[str, ...] = ()
    benchmark: str | None = None


def early_steps(before: BeforeTheDay) -> tuple[WorkStep, ...]:
    """Say what is done days before the first stake.

    Parameters
    ----------
    before
        What is known of the job.

    Returns
    -------
    tuple of WorkStep
        In order; each is a rule, as none of them sets a stake.
    """
    return (
        _early(
            "paint the outline of the dig in white, {margin} outside where the machine digs: white "
            f"is the colour of a proposed dig. {NOT_OURS.capitalize()} belong to the utilities; "
            "what else is marked is marked in pink",
            margin=float(before.margin),
        ),
        _early(
            "call the utility locating service, 811 in the United States, as many working days "
            "before the dig as it asks, and write down the ticket's number, the first day to dig "
            "and the day it runs out"
        ),
        _buried(before.buried),
        _pins(before),
        _benchmarks(before.benchmark),
    )


def _buried(buried: tuple[str, ...]) -> WorkStep:
    text = (
        "wait until every utility has answered, and look at each mark; nobody marks private lines, "
        "so ask the owner where those to a well, a tank, a shed or a lamp run"
    )
    if not buried:
        return _early(text)
    return _early(text + ". Among the marks must be {lines}", lines=", ".join(buried))


def _pins(before: BeforeTheDay) -> WorkStep:
    pins = ", ".join(before.pins)
    if before.from_paper:
        return _early(
            "find the lot's pins {pins}: this lot comes from its deed alone and nobody has looked "
            "where they stand. Nothing is staked from a pin that is not found; a licensed surveyor "
            "sets those that are missing",
            pins=pins,
        )
    if pins:
        return _early(
            "uncover the lot's pins {pins} and flag them; a licensed surveyor sets those that are "
            "missing",
            pins=pins,
        )
    return _early(
        "find the lot's pins and measure from them where the building may stand; a licensed "
        "surveyor sets those that are missing"
    )


def _benchmarks(benchmark: str | None) -> WorkStep:
    why = (
        "off the dig, where no machine drives; read the rod on both and write down the difference. "
        "As long as it stays the same neither has moved"
    )
    if benchmark is None:
        return _early("mark two benchmarks " + why)
    return _early("mark a second benchmark beside {benchmark}, both " + why, benchmark=benchmark)


def _early(text: str, **values: str | float) -> WorkStep:
    return WorkStep(
        part=WorkPart.EARLY,
        kind=WorkKind.RULE,
        names=(),
        tapes=(),
        says=says("early", text, values),
    )
