"""What the sheets say that no table of the layout says: worked out once, for every sheet."""

from __future__ import annotations

from staking.frozen import frozen
from staking.laid_out.footing_sections import FootingSection, footing_sections
from staking.laid_out.layout_value import Layout
from staking.laid_out.lot_figures import LotFigures, lot_figures
from staking.laid_out.lying_plan import LyingPlan, lying_plan
from staking.laid_out.staked_out import StakeOut
from staking.layout.dimension_strings import (
    DimensionString,
    PadPlace,
    dimension_strings,
    pad_places,
)
from staking.layout.nail_patterns import BoardsAlike, boards_alike
from staking.order.order_request import OrderAsked


@frozen
class SheetValues:
    """The values that the drawings of the sheets are made from.

    Parameters
    ----------
    dimensions
        The strings of dimensions.
    pads
        Where the pads' centres are.
    sections
        How the walls and their footings are built.
    lot
        What is worked out for the lot; None where the building is not placed.
    boards
        What the boards have in common; None where there are none.
    lying
        A long plan as it lies along the sheet; None for one that is not long.
    """

    dimensions: tuple[DimensionString, ...]
    pads: tuple[PadPlace, ...]
    sections: tuple[FootingSection, ...]
    lot: LotFigures | None
    boards: BoardsAlike | None
    lying: LyingPlan | None


def sheet_values(
    layout: Layout,
    asked: OrderAsked | None,
    staked: StakeOut | None,
    first: tuple[str, str] | None,
) -> SheetValues:
    """Work out what the sheets' drawings show.

    Parameters
    ----------
    layout
        The layout.
    asked
        What the job asks of its order; None without an order section.
    staked
        Two tapes to each stake; None where the building is not placed or too few points are
        known.
    first
        The two corners that are staked first; None where there is no outline to set out.

    Returns
    -------
    SheetValues
        Complete.
    """
    dimensions = dimension_strings(layout.plan)
    return SheetValues(
        dimensions=dimensions,
        pads=pad_places(layout.plan),
        sections=footing_sections(layout, asked),
        lot=lot_figures(layout, staked, first),
        boards=boards_alike(layout.boards, layout.strings),
        lying=lying_plan(layout, dimensions),
    )
