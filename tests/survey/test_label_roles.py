"""What the layers of labels in a drawing are taken to say, from the labels alone."""

from __future__ import annotations

import pytest

from staking.survey.dxf.drawn_texts import DrawnText
from staking.survey.dxf.label_roles import LabelRole, roles_of

NUMBERS = ("1", "2", "3")
TREES = ("oak", "elm", "ash")


def roles(**layers: tuple[str, ...]) -> tuple[dict[str, LabelRole], tuple[str, ...]]:
    """Tell the roles of layers, each of whose words stands at a point of its own."""
    at: dict[tuple[float, float], list[DrawnText]] = {}
    for layer, words in layers.items():
        for i, word in enumerate(words):
            text = DrawnText(
                layer=layer.replace("_", "-"),
                lines=(word,),
                places=((float(i), 0.0),),
                middle=(float(i), 0.0),
                along=(1.0, 0.0),
                length=1.0,
                height=1.0,
                letter=1.0,
            )
            at.setdefault((float(i), 0.0), []).append(text)
    return roles_of(at)


def test_one_layer_of_names_is_theirs_and_no_other_could_be():
    assert roles(A=NUMBERS) == ({"A": LabelRole.NAME}, ())


def test_words_that_all_differ_are_names_where_no_others_are():
    assert roles(A=TREES) == ({"A": LabelRole.NAME}, ())


def test_words_that_come_again_are_descriptions():
    assert roles(A=("IP", "IP", "nail")) == ({"A": LabelRole.DESCRIPTION}, ())


@pytest.mark.parametrize(
    ("count", "again", "role"),
    [(10, 2, LabelRole.NAME), (10, 3, LabelRole.DESCRIPTION), (20, 3, LabelRole.NAME)],
)
def test_nine_of_ten_words_have_to_differ(count: int, again: int, role: LabelRole):
    # Of 10 words with two alike 9 differ; of 20 with three alike 18 do.
    words = ("hub",) * again + tuple("abcdefghijklmnopqrstuvwxyz"[: count - again])
    assert roles(A=words)[0] == {"A": role}


def test_numbers_that_come_again_are_names_all_the_same():
    assert roles(A=("P1", "P1", "P2", "P2"))[0] == {"A": LabelRole.NAME}


def test_beside_numbers_words_are_descriptions_though_all_differ():
    wanted = {"A": LabelRole.DESCRIPTION, "B": LabelRole.NAME}
    assert roles(A=TREES, B=NUMBERS) == (wanted, ())


def test_of_two_layers_of_numbers_that_called_by_points_holds_the_names():
    wanted = {"PT-NO": LabelRole.NAME, "TAGS": LabelRole.DESCRIPTION}
    assert roles(TAGS=("K7", "K8", "K9"), PT_NO=NUMBERS) == (wanted, ())


def test_of_two_layers_of_numbers_that_nothing_tells_apart_neither_holds_the_names():
    found, rivals = roles(ONE=NUMBERS, TWO=("K7", "K8", "K9"))
    assert set(found.values()) == {LabelRole.DESCRIPTION}
    assert rivals == ("ONE", "TWO")


def test_elevations_among_the_words_are_told_by_their_form():
    wanted = {"A": LabelRole.LEVEL, "B": LabelRole.NAME_AND_LEVEL}
    assert roles(A=("99.10", "99.45", "100.00"), B=("1", "2", "98.20")) == (wanted, ())
