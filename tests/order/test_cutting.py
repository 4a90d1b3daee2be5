"""Bars cut from the fewest: against brute force, bounds, and what cannot be cut."""

from __future__ import annotations

import random
from collections import Counter
from itertools import pairwise, product
from operator import mul

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from staking.errors import ComputationError
from staking.order.bars.cutting import cut_list, fewest_bins
from staking.order.bars.fillings import Effort, dearest
from staking.order.bars.patterns import dive, relax

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
    # Pieces are cut to the nearest 1/320 mm.
    assert len(cut) == len(asked)
    assert all(abs(a - b) < 0.001 / 640 + 1e-9 for a, b in zip(cut, asked, strict=True))


def test_a_list_first_fit_cuts_badly() -> None:
    # First fit lays 7 + 7 + 6 and needs four bars; 7 + 6 + 4 + 3 fills each of three.
    lengths = [7] * 3 + [6] * 3 + [4] * 3 + [3] * 3
    bins, fewest = fewest_bins(Counter(lengths), 20)
    assert len(bins) == fewest == 3


def test_a_whole_bar_is_a_bar() -> None:
    found = cut_list(4, STOCK, [(STOCK, 3), (STOCK / 2, 2)])
    assert (found.bars, found.proved) == (4, True)


@pytest.mark.parametrize("foot", [0.3048, 1200 / 3937])
def test_a_piece_as_long_as_the_bar_is_a_bar_in_either_foot(foot) -> None:
    found = cut_list(4, 20 * foot, [(20 * foot, 3)])
    assert (found.bars, found.proved) == (3, True)


@pytest.mark.parametrize(
    "sixteenths",
    # Of 3,840 in a bar of 20 feet.
    [(1921, 1919), (961, 961, 961, 957), (1283, 1283, 1274), (3839, 1)],
)
def test_pieces_of_odd_sixteenths_that_make_up_a_bar_are_cut_from_it(sixteenths) -> None:
    assert sum(sixteenths) == 3840
    found = cut_list(4, 20 * 0.3048, [(n * 0.0254 / 16, 1) for n in sixteenths])
    assert (found.bars, found.proved) == (1, True)


def test_a_long_list_tells_how_far_it_is_from_the_bound() -> None:
    lengths = [(0.9 + 0.0137 * ((i * i) % 83), 1) for i in range(90)]
    found = cut_list(4, STOCK, lengths)
    assert 0 <= found.bars - found.fewest <= 1


def test_a_piece_longer_than_the_stock_is_refused() -> None:
    with pytest.raises(ComputationError, match="longer than the bars as bought"):
        cut_list(4, 6.0, [(6.001, 1)])


@pytest.mark.parametrize("seed", range(12))
def test_sixty_unlike_lengths_are_settled(seed) -> None:
    # First fit takes a bar more than the bound of about every fifth list like these.
    draw = random.Random(seed)
    room = 609_600
    lengths = [draw.randint(room // 30, room // draw.choice([1, 2, 3])) for _ in range(60)]
    bins, fewest = fewest_bins(Counter(lengths), room)
    assert len(bins) == fewest
    assert Counter(piece for each in bins for piece in each) == Counter(lengths)
    assert max(map(sum, bins)) <= room


@pytest.mark.parametrize("seed", range(3))
def test_pieces_of_whole_bars_go_back_into_as_many_bars(seed) -> None:
    # Known another way: nine bars sawn into four pieces each, nothing left over.
    draw = random.Random(100 + seed)
    lengths: list[int] = []
    for _ in range(9):
        marks = sorted(draw.sample(range(5_000, 605_000), 3))
        lengths += [b - a for a, b in pairwise([0, *marks, 609_600])]
    bins, fewest = fewest_bins(Counter(lengths), 609_600)
    assert len(bins) == fewest == 9


@settings(deadline=None, max_examples=60)
@given(
    st.lists(st.tuples(st.integers(1, 20), st.integers(1, 3), st.floats(0, 1)), max_size=5),
    st.integers(20, 40),
)
def test_the_dearest_filling_is_the_best_of_all(pieces, room) -> None:
    sizes = [size for size, _, _ in pieces]
    numbers = [number for _, number, _ in pieces]
    prices = [price for _, _, price in pieces]
    best = 0.0
    for taken in product(*(range(number + 1) for number in numbers)):
        if sum(map(mul, taken, sizes)) <= room:
            best = max(best, sum(map(mul, taken, prices)))
    found = dearest(prices, sizes, numbers, room, Effort(10**6))
    assert found.worth == pytest.approx(best, rel=0, abs=1e-7)
    assert found.limit >= found.worth
    assert sum(map(mul, found.numbers, sizes)) <= room


def test_prices_never_make_a_bar_dearer_than_a_bar() -> None:
    counts = Counter({40: 3, 33: 2, 25: 5, 14: 4})
    relaxed = relax(counts, 100, Effort(10**6), to_the_end=True)
    sizes, numbers = zip(*sorted(counts.items()), strict=True)
    for taken in product(*(range(number + 1) for number in numbers)):
        if sum(map(mul, taken, sizes)) <= 100:
            worth = sum(n * relaxed.prices[size] for n, size in zip(taken, sizes, strict=True))
            assert worth <= 1 + 1e-9


def test_effort_that_is_spent_leaves_a_bound_that_holds() -> None:
    counts = Counter(range(40, 100))
    assert relax(counts, 100, Effort(1)).bound <= relax(counts, 100, Effort(10**6)).bound
    assert dive(counts, 100, Effort(1)) is None


@settings(deadline=None)
@given(st.lists(st.integers(2, 23), min_size=3, max_size=9))
def test_the_relaxation_never_bounds_too_high(lengths) -> None:
    counts = Counter(lengths)
    assert relax(counts, 24, Effort(10**6)).bound <= fewest_by_trying(lengths, 24)
    assert Counter(piece for bar in dive(counts, 24, Effort(10**6)) for piece in bar) == counts
