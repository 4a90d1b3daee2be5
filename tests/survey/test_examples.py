"""Every example in the page on survey files is read as the page says."""

import re
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner

from staking.cli import main

PAGE = Path(__file__).resolve().parents[2] / "docs" / "survey-files.md"
EXAMPLE = re.compile(
    r"<!-- file (?P<name>\S+)(?P<options> --[a-z][^|\n]*?)?(?: \| exit (?P<status>\d))? -->\n"
    r"```\w+\n"
    r"(?P<body>.*?)```",
    re.DOTALL,
)
EXAMPLES = {match["name"]: match for match in EXAMPLE.finditer(PAGE.read_text(encoding="utf-8"))}


@pytest.mark.parametrize("name", sorted(EXAMPLES))
def test_the_example_is_read(name, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    match = EXAMPLES[name]
    Path(name).write_text(match["body"], encoding="utf-8")
    result = CliRunner().invoke(main, ["survey", name, *shlex.split(match["options"] or "")])
    assert result.exit_code == int(match["status"] or 0), result.output


def test_there_is_an_example_of_each_format():
    assert {Path(name).suffix for name in EXAMPLES} >= {
        ".csv", ".txt", ".xml", ".geojson", ".gpx", ".kml", ".dxf",
    }  # fmt: skip
    assert {"angles.csv", "levels.csv", "tapes.csv"} <= set(EXAMPLES)
