"""One fact, all outputs: whatever two of them say is the same."""

from __future__ import annotations

import pytest

from tests.agree import (
    facts_boards,
    facts_going_out,
    facts_levels,
    facts_mark,
    facts_order,
    facts_rods,
    facts_stakes,
    facts_tapes,
)
from tests.agree.facts import FACTS, Fact, Reader
from tests.agree.papers import Papers

MODULES = (
    facts_boards,
    facts_going_out,
    facts_levels,
    facts_mark,
    facts_order,
    facts_rods,
    facts_stakes,
    facts_tapes,
)
"""Where the facts stand: importing them fills the list."""

TOLD = [(fact, output, reader) for fact in FACTS for output, reader in fact.outputs.items()]


@pytest.mark.parametrize(
    ("fact", "output", "reader"), TOLD, ids=[f"{fact.name}: {output}" for fact, output, _ in TOLD]
)
def test_an_output_says_what_the_document_says(
    papers: Papers, fact: Fact, output: str, reader: Reader
) -> None:
    if not fact.applies(papers):
        assert "hillside" not in str(papers.job), "the hillside demo has all there is"
        return
    truth = fact.truth(papers)
    assert truth, f"the document says nothing of {fact.name}"
    assert reader(papers) == truth, output
