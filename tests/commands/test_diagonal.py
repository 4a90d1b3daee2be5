"""`staking diagonal` and the command group: statuses, and what goes to which stream."""

import subprocess
import sys

import pytest
from click.testing import CliRunner

from staking.cli import COMMANDS, main


def run(*arguments):
    return CliRunner().invoke(main, list(arguments), prog_name="staking")


def test_a_rectangle_in_feet_gets_its_diagonal_triangles_and_racking():
    # 24, 32, 40 is 8 times 3-4-5; sliding a 24' side by 1/4" opens the diagonals by
    # 4 x 24 x 12 x 1/4 / (2 x 40 x 12) = 0.30", a 32' side by 0.40".
    result = run("diagonal", "24ft", "32ft")
    assert (result.exit_code, result.stderr) == (0, "")
    assert (
        result.stdout
        == """\
24' 0" by 32' 0"

Diagonal  40' 0"

3-4-5 triangles that fit, the largest first
  along 24' 0"  along 32' 0"  across
        24' 0"        32' 0"  40' 0"
        21' 0"        28' 0"  35' 0"
        18' 0"        24' 0"  30' 0"
        15' 0"        20' 0"  25' 0"
        12' 0"        16' 0"  20' 0"
         9' 0"        12' 0"  15' 0"
  and 2 smaller: 3, 4 and 5 times a whole number down to 1

For each 1/4" out of square the diagonals differ by
  5/16"  when a side of 24' 0" has slid along its own line
  13/32"  when a side of 32' 0" has slid along its own line

Diagonals not alike: slide one side along its own line, away from where the
longer diagonal meets it, until both read 40' 0".
"""
    )


def test_a_metric_rectangle_is_answered_in_metres():
    result = run("diagonal", "6m", "8 m")
    assert result.exit_code == 0
    assert "Diagonal  10.000 m" in result.stdout
    assert "6.000 m        8.000 m  10.000 m" in result.stdout
    assert "For each 5 mm out of square" in result.stdout


def test_millimetres_are_answered_in_millimetres():
    assert "Diagonal  10000 mm" in run("diagonal", "6000mm", "8m").stdout


def test_feet_with_metres_are_answered_in_feet():
    assert "Diagonal  40' 0\"" in run("diagonal", "24ft", "9.7536m").stdout


def test_a_bare_number_needs_its_unit():
    refused = run("diagonal", "24", "32")
    assert (refused.exit_code, refused.stdout) == (3, "")
    assert refused.stderr == "24 has no unit; write 24ft, 24in or 24m\n"
    assert "Diagonal  40' 0\"" in run("diagonal", "--unit", "ft", "24", "32").stdout
    assert "Diagonal  40.000 m" in run("diagonal", "--unit", "m", "24", "32").stdout


def test_a_small_rectangle_gets_triangles_in_whole_inches():
    # 3-4-5 times 1 ft needs 3' by 4'; times 8": 2' 0", 2' 8", 3' 4".
    assert "2' 0\"        2' 8\"   3' 4\"" in run("diagonal", "2ft", "3ft").stdout


def test_a_rectangle_too_small_for_a_triangle_says_so():
    assert "No 3-4-5 triangle fits" in run("diagonal", "1in", "1in").stdout


@pytest.mark.parametrize(
    ("joined", "forms"), [("24 32", "24ft 32ft"), ("24' 32'", "24ft 32ft"), ("24-6 32-6", None)]
)
def test_lengths_the_shell_has_joined_are_explained(joined, forms):
    result = run("diagonal", joined)
    assert (result.exit_code, result.stdout) == (3, "")
    assert f"{joined} is two lengths, and one is meant" in result.stderr
    assert f"so type {forms or joined} there" in result.stderr


@pytest.mark.parametrize("lengths", [(), ("24ft",), ("24", "ft", "32", "ft")])
def test_anything_but_two_lengths_is_wrong_usage(lengths):
    result = run("diagonal", *lengths)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "give two lengths, each in one word, as in 24ft 32ft" in result.stderr


def test_no_length_and_a_nonsense_length_are_bad_input():
    zero = run("diagonal", "0ft", "32ft")
    assert (zero.exit_code, zero.stdout) == (3, "")
    assert zero.stderr == "0ft is not a side of a rectangle; write a length above zero\n"
    inches = run("diagonal", "24'13\"", "32ft")
    assert (inches.exit_code, inches.stderr) == (3, "24'13\" has 13 inches; write 25' 1\"\n")


def test_the_help_lists_every_command():
    for flag in ("-h", "--help"):
        result = run(flag)
        assert result.exit_code == 0
        for name in ("diagonal", "init", "layout"):
            assert f"\n  {name} " in result.stdout


def test_the_version_is_told():
    assert run("--version").stdout == "staking 0.1.0\n"


def test_a_misspelt_command_names_the_nearest():
    result = run("diagnal")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "no command 'diagnal'; did you mean diagonal?" in result.stderr


def test_an_unknown_command_lists_what_there_is():
    assert f"there are {', '.join(COMMANDS)}" in run("zzz").stderr


@pytest.mark.parametrize("arguments", [["--help"], ["diagonal", "24ft", "32ft"]])
def test_quick_answers_load_click_and_nothing_heavier(arguments):
    script = (
        "import sys\n"
        "from staking.cli import COMMANDS, main\n"
        f"main({arguments!r}, standalone_mode=False)\n"
        "heavy = {'numpy', 'shapely', 'ezdxf', 'pydantic', 'ruamel', 'rich', 'staking.plan'}\n"
        "print(sorted(heavy & set(sys.modules)), file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert done.stderr == "[]\n"
