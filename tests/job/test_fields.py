"""Single values of the job file."""

import pytest

from staking.errors import MeasureError
from staking.job.keys import fields
from staking.job.tree.source import Items, Scalar
from staking.measure.lengths import Unit


def typed(text, quoted=False):
    return Scalar(text, 7, quoted)


def test_a_quoted_length_with_its_unit_is_fine():
    assert fields.length_of(typed("36'", quoted=True), Unit.FT) == pytest.approx(10.9728)


@pytest.mark.parametrize("text", ["36", "-36", "36.5", ".5", "36."])
def test_a_quoted_bare_number_is_refused(text):
    with pytest.raises(MeasureError, match="is a number in quotes; write"):
        fields.length_of(typed(text, quoted=True), Unit.FT)


@pytest.mark.parametrize("text", ["", "~", "null", "  "])
def test_nothing_is_no_value(text):
    with pytest.raises(MeasureError, match="nothing is given"):
        fields.read_text(typed(text))


@pytest.mark.parametrize(
    ("text", "flag"), [("yes", True), ("No", False), ("TRUE", True), ("false", False)]
)
def test_flags_are_yes_and_no(text, flag):
    assert fields.read_flag(typed(text)) is flag


@pytest.mark.parametrize("text", ["1", "1.5", "-3", "1001", "three", "1e3", "9" * 30])
def test_a_row_has_2_to_1000_pads(text):
    with pytest.raises(MeasureError, match="write a whole number from 2 to 1000"):
        fields.read_count(typed(text))


def test_a_word_is_read_in_capitals_or_not():
    assert fields.one_of(typed("Small  Building"), "small building") == "small building"
    assert fields.one_of(typed("a4"), "letter", "A4") == "A4"


@pytest.mark.parametrize("text", ["nan", "inf", "1:1", "-1", "1000000", '6"'])
def test_a_bank_is_a_plain_number(text):
    with pytest.raises(MeasureError, match="is not a run per unit of depth"):
        fields.read_ratio(typed(text))


def test_an_empty_list_is_no_point():
    with pytest.raises(MeasureError, match="nothing where a point is due"):
        fields.read_point(Items((), 1), None)


@pytest.mark.parametrize("text", ["P 1", "P-1", "a.b", "é!", "'"])
def test_names_have_letters_digits_and_underscores_only(text):
    with pytest.raises(MeasureError, match="is not a name; a name has letters"):
        fields.check_name(text)
