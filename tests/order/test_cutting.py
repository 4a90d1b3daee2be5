"""Bars cut from the fewest: against brute force, bounds, and what cannot be cut."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from staking.errors import ComputationError
from staking.order.cutting import cut_list, fewest_bins
from staking.order.patterns import dive, relax

STOCK = 6.096


def fewest_by_trying(lengths: list[int], room: int) -> int:
    """The fewest bins, by putting every piece into every bin there is."""
    best = len(lengths)

    def place(at: int, bins: list[int]) -> None:
        nonlocal best
        if len(bins) >= best and at < len(lengths):
            return
        if at == len(lengths):
            best = min(best, len(bins))
            return
        for i, left in enumerate(bins):
            if lengths[at] <= left:
                bins[i] -= lengths[at]
                place(at + 1, bins)
                bins[i] += lengths[at]
        bins.append(room - lengths[at])
        place(at + 1, bins)
        bins.pop()

    place(0, [])
    return best


@settings(deadline=None)
@given(st.lists(st.integers(1, 24), min_size=1, max_size=8))
def test_lists_of_up_to_eight_pieces_are_cut_as_well_as_can_be(lengths) -> None:
    bins, fewest = fewest_bins(Counter(lengths), 24)
    assert len(bins) == fewest == fewest_by_trying(lengths, 24)


@settings(deadline=None, max_examples=50)
@given(st.lists(st.tuples(st.floats(0.05, STOCK), st.integers(1, 6)), min_size=1, max_size=10))
def test_every_piece_is_cut_and_no_bar_is_longer_than_it_is(pieces) -> None:
    found = cut_list(4, STOCK, pieces)
    assert sum(stick.count for stick in found.sticks) == found.bars >= found.fewest
    for stick in found.sticks:
        assert sum(stick.pieces) <= STOCK + 1e-9
    cut = sorted(p for stick in found.sticks for p in stick.pieces for _ in range(stick.count))
    asked = sorted(length for length, count in pieces for _ in range(count))
    # Pieces are cut to the next hundredth of a millimetre up.
    assert len(cut) == len(asked)
    assert all(-1e-9 <= a - b < 1.1e-5 for a, b in zip(cut, asked, strict=True))


def test_a_list_first_fit_cuts_badly() -> None:
    # First fit lays 7 + 7 + 6 and needs four bars; 7 + 6 + 4 + 3 fills each of three.
    lengths = [7] * 3 + [6] * 3 + [4] * 3 + [3] * 3
    bins, fewest = fewest_bins(Counter(lengths), 20)
    assert len(bins) == fewest == 3


def test_a_whole_bar_is_a_bar() -> None:
    found = cut_list(4, STOCK, [(STOCK, 3), (STOCK / 2, 2)])
    assert (found.bars, found.proved) == (4, True)


def test_a_long_list_tells_how_far_it_is_from_the_bound() -> None:
    lengths = [(0.9 + 0.0137 * ((i * i) % 83), 1) for i in range(90)]
    found = cut_list(4, STOCK, lengths)
    assert 0 <= found.bars - found.fewest <= 1


def test_a_piece_longer_than_the_stock_is_refused() -> None:
    with pytest.raises(ComputationError, match="longer than the bars as bought"):
        cut_list(4, 6.0, [(6.001, 1)])


def test_forty_unlike_lengths_are_settled_by_the_relaxation() -> None:
    # First fit decreasing takes one bar more than the bound for lists like these.
    settled = 0
    for turn in range(6):
        lengths = [(1.3 + ((i * 37 + turn * 11) % 97) * 0.0091, 1) for i in range(40)]
        found = cut_list(4, STOCK, lengths)
        assert found.bars - found.fewest <= 1
        settled += found.proved
    assert settled >= 5


@settings(deadline=None)
@given(st.lists(st.integers(2, 23), min_size=3, max_size=9))
def test_the_relaxation_never_bounds_too_high(lengths) -> None:
    counts = Counter(lengths)
    assert relax(counts, 24).bound <= fewest_by_trying(lengths, 24)
    assert Counter(piece for bar in dive(counts, 24) for piece in bar) == counts
