"""What the README and the docs say is so: links, commands, keys, and the output they quote.

Run as a program, this module writes the quoted output anew:
``python tests/test_docs.py``.
"""

from __future__ import annotations

import json
import os
import re
import shlex
import shutil
import sys
import tempfile
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

ROOT = Path(__file__).resolve().parent.parent
PAGES = sorted([ROOT / "README.md", ROOT / "DEVELOPERS.md", *(ROOT / "docs").glob("*.md")])
QUOTE = re.compile(
    r"<!-- output of (?P<line>staking [^|\n]*?)(?: \| (?P<part>[^\n]*))? -->\n```text\n"
    r"(?P<body>.*?)```",
    re.DOTALL,
)
"""A quoted output: the line it comes from and, after a bar, how the part quoted begins."""
FILE = re.compile(r"<!-- file (?P<name>[\w.-]+) -->\n```\w+\n(?P<body>.*?)```", re.DOTALL)
"""A file that a page gives in full, to be saved under that name."""


def page_name(page: Path) -> str:
    return page.name


def run(line: str) -> str:
    """Run one ``staking ...`` line and return what the terminal shows."""
    from staking.cli import main

    arguments = shlex.split(line)[1:]
    runner = CliRunner(env={"COLUMNS": "80", "NO_COLOR": "1"})
    result = runner.invoke(main, arguments, prog_name="staking")
    assert result.exit_code in (0, 5), result.output
    return "\n".join(row.rstrip() for row in result.output.splitlines()).strip() + "\n"


def quoted_anew(text: str) -> str:
    """Return a page's text with every quoted output as it is now."""
    outputs: dict[str, str] = {}

    def now(match: re.Match[str]) -> str:
        line, part = match["line"], match["part"]
        if line not in outputs:
            outputs[line] = run(line)
        body = part_of(outputs[line], part) if part else outputs[line]
        return f"{match[0].partition('```text')[0]}```text\n{body.rstrip()}\n```"

    return QUOTE.sub(now, text)


def part_of(output: str, beginning: str) -> str:
    """Return the paragraph of `output` with that title, or else the one that begins so."""
    parts = output.split("\n\n")
    titled = [each for each in parts if each.partition("\n")[0] == beginning]
    (part,) = titled or [each for each in parts if each.startswith(beginning)]
    return part


def furnish(folder: Path) -> None:
    """Put the demos and the files that the pages give into a folder."""
    shutil.copytree(ROOT / "fixtures", folder / "fixtures")
    for page in PAGES:
        for given in FILE.finditer(page.read_text(encoding="utf-8")):
            (folder / given["name"]).write_text(given["body"], encoding="utf-8")


@pytest.fixture
def workplace(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    furnish(tmp_path)
    monkeypatch.chdir(tmp_path)


@pytest.mark.usefixtures("workplace")
@pytest.mark.parametrize("page", PAGES, ids=page_name)
def test_the_output_a_page_quotes_is_what_the_tool_prints(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    assert quoted_anew(text) == text


@pytest.mark.parametrize("page", PAGES, ids=page_name)
def test_every_link_of_a_page_leads_somewhere(page: Path) -> None:
    for target in re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", page.read_text(encoding="utf-8")):
        if "://" not in target:
            assert (page.parent / target).exists(), f"{page.name}: {target}"


def test_the_readme_has_two_commands_each_on_its_own() -> None:
    blocks = re.findall(r"```sh\n(.*?)```", (ROOT / "README.md").read_text("utf-8"), re.DOTALL)
    assert [len(block.splitlines()) for block in blocks] == [1, 1]
    work, test = blocks
    assert work.rstrip().endswith("staking layout fixtures/orchard-workshop/job.yaml")
    assert "-m pytest" in test
    for block in blocks:
        assert "python3 -m venv" in block


def test_the_first_job_has_every_caution_in_full() -> None:
    from staking.output.cautions import LAYOUT_CAUTIONS

    said = " ".join((ROOT / "docs" / "first-job.md").read_text(encoding="utf-8").split())
    assert [each for each in LAYOUT_CAUTIONS if each not in said] == []


def test_the_readme_names_an_example_that_is_there() -> None:
    assert (ROOT / "fixtures" / "orchard-workshop" / "job.yaml").is_file()


def test_every_command_is_shown_in_the_readme_or_the_docs() -> None:
    from staking.cli import main

    said = "".join(page.read_text(encoding="utf-8") for page in PAGES)
    for name in main.list_commands(click.Context(main)):
        assert f"staking {name}" in said, name


def test_every_option_is_described_where_the_files_are() -> None:
    from staking.cli import main

    said = "".join(page.read_text(encoding="utf-8") for page in PAGES)
    context = click.Context(main)
    for name in main.list_commands(context):
        command = main.get_command(context, name)
        assert command is not None
        for parameter in command.params:
            for option in parameter.opts:
                if option.startswith("--") and option != "--help":
                    assert option in said, f"{name} {option}"


def keys_of(schema: object) -> set[str]:
    if isinstance(schema, list):
        return set().union(*map(keys_of, schema)) if schema else set()
    if not isinstance(schema, dict):
        return set()
    named = set(schema.get("properties", {}))
    return named.union(*(keys_of(part) for part in schema.values())) if schema else named


def test_every_key_of_the_job_file_is_in_its_page() -> None:
    schema = json.loads(schema_of_the_job_file().read_text(encoding="utf-8"))
    page = (ROOT / "docs" / "job-file.md").read_text(encoding="utf-8")
    assert sorted(key for key in keys_of(schema) if key not in page) == []


def schema_of_the_job_file() -> Path:
    (path,) = (ROOT / "docs").glob("job*.schema.json")
    return path


def write_anew() -> None:
    """Quote the tool's output anew in every page."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        furnish(folder)
        os.chdir(folder)
        for page in PAGES:
            before = page.read_text(encoding="utf-8")
            after = quoted_anew(before)
            if after != before:
                page.write_text(after, encoding="utf-8")
                sys.stdout.write(f"{page.name}\n")


if __name__ == "__main__":
    write_anew()
