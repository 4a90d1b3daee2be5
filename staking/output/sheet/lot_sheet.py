"""Sheet 2, Lot: the building between the lines of its lot, and the tapes from known points."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from staking.output.pictures.pdf_backend import POINTS_PER_MM
from staking.output.sheet.sheet_tables import flow
from staking.output.tables.stakeout_tables import stakeout_blocks

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.platypus import Flowable

    from staking.laid_out.staked_out import StakeOut
    from staking.output.sheet.printed_job import PrintedJob


def lot_sheet(job: PrintedJob) -> Iterator[Flowable]:
    """Fill the sheet of the lot.

    Yields
    ------
    Flowable
        In order; nothing where the building is not placed.
    """
    sheets = job.sheets
    if sheets.staked is not None:
        blocks = stakeout_blocks(sheets.layout, _without_nails(sheets.staked))
        yield from flow(blocks, job.column.width * POINTS_PER_MM)


def _without_nails(staked: StakeOut) -> StakeOut:
    # Nails are measured on their boards; what is staked is corners, hubs, pads and lines' ends.
    nails = {each.name for each in staked.points if each.kind.is_on_board}
    return replace(
        staked,
        ties=tuple(each for each in staked.ties if each.name not in nails),
        shots=tuple(each for each in staked.shots if each.name not in nails),
        deltas=tuple(each for each in staked.deltas if each.name not in nails),
    )
