"""Tables and lists as the desk's page is told them: text in rows, nothing to work out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from staking.desk.form_words import in_form_words

if TYPE_CHECKING:
    from staking.output.blocks import Block

Told = dict[str, Any]
"""What goes to the page as JSON."""


def block_told(block: Block) -> Told:
    """Give a table or a list for the page.

    Parameters
    ----------
    block
        The table or list.

    Returns
    -------
    dict
        ``title``, and ``lines`` of a list in the form's words, or ``columns``, ``rows`` and
        ``note`` of a table.
    """
    from staking.output.blocks import Listing

    if isinstance(block, Listing):
        return {"title": block.title, "lines": [in_form_words(each) for each in block.lines]}
    return {
        "title": block.title,
        "columns": [{"heading": each.heading, "right": each.right} for each in block.columns],
        "rows": [list(row) for row in block.rows],
        "note": block.note,
    }
