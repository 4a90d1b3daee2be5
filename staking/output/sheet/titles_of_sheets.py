"""What the sheets of the set are called, over their pages and in the list of them."""

from __future__ import annotations

from staking.kinds import SheetKind

TITLES = {
    SheetKind.START: "Start here",
    SheetKind.LOT: "Lot",
    SheetKind.DIMENSIONS: "Dimensions",
    SheetKind.BOARDS: "Boards and tapes",
    SheetKind.DIG: "Dig",
    SheetKind.CARDS: "Cards",
    SheetKind.PROFILES: "Profiles",
    SheetKind.BEFORE: "Before you dig, before you pour",
    SheetKind.WORK: "Order of work",
    SheetKind.ORDER: "Order",
}
"""The title of every sheet, in order."""
