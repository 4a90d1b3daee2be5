"""Everything the tool puts out for one job, read back as text and figures.

A fact is compared in the words that stand on paper: what an output prints is read back here, and
what the JSON documents say is put into the job's own way of writing lengths.
"""

from __future__ import annotations

import csv
import html
import io
import json
import re
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from click.testing import CliRunner, Result

from staking.cli import main
from staking.job.build import read_job
from staking.measure.lengths import Unit, format_length
from staking.output.wording import Words
from staking.plan import Options
from tests.output.card_reading import PaperCard, read_cards
from tests.output.pdf_reading import Page, read_pages

Rows = list[list[str]]


@dataclass(frozen=True)
class Papers:
    """The outputs of one job; each command runs once, when it is first asked for.

    `job` is the job file in a folder of its own, beside its surveys; files are written to
    `folder`.
    """

    job: Path
    folder: Path

    def run(self, *words: object, typed: str = "") -> Result:
        """Run a command in this process; its status must not be that of bad input."""
        done = CliRunner().invoke(main, [str(word) for word in words], input=typed)
        assert done.exit_code in {0, 5}, (words, done.exit_code, done.stderr, done.exception)
        return done

    @cached_property
    def options(self) -> Options:
        """How the job writes its lengths."""
        return read_job(self.job).options

    def shown(self, length: float) -> str:
        """Write a length of a document, in the job's unit, as the job writes lengths."""
        metres = length * Unit(self.options.unit).metres
        return format_length(metres, self.options.show, self.options.nearest)

    def allowed(self, length: float) -> str:
        """Write what a tape may be out by, which is rounded down; a hair makes up for the unit."""
        metres = length * Unit(self.options.unit).metres
        return Words(self.options).allowed(metres + 1e-9)

    @cached_property
    def laid(self) -> Result:
        """The run of ``staking layout`` that wrote the files."""
        return self.run("layout", self.job, "--out", self.folder)

    def file(self, name: str) -> str:
        """The text of a file that ``staking layout`` wrote."""
        assert self.laid.exit_code in {0, 5}
        return (self.folder / name).read_text(encoding="utf-8")

    @cached_property
    def layout(self) -> dict[str, Any]:
        """layout.json."""
        return json.loads(self.file("layout.json"))

    @cached_property
    def grade(self) -> dict[str, Any] | None:
        """The document of ``staking grade``; None for a job without levels."""
        if not self.has_levels:
            return None
        return json.loads(self.run("grade", self.job, "--json").stdout)

    @cached_property
    def has_levels(self) -> bool:
        """Whether the job has a grade section."""
        return read_job(self.job).grade is not None

    @cached_property
    def work(self) -> dict[str, Any]:
        """The document of ``staking plan``."""
        return json.loads(self.run("plan", self.job, "--json").stdout)

    @cached_property
    def points(self) -> list[dict[str, str]]:
        """points.csv, row by row."""
        assert self.laid
        with (self.folder / "points.csv").open(encoding="utf-8", newline="") as stream:
            return list(csv.DictReader(stream))

    @cached_property
    def tape_book(self) -> list[dict[str, str]]:
        """The empty tape book; comments are left out."""
        return _table(self.tape_book_text)

    @cached_property
    def tape_book_text(self) -> str:
        """The empty tape book as it is written."""
        return self.run("tape-book", self.job).stdout

    @cached_property
    def poured_book(self) -> list[dict[str, str]]:
        """The empty book of the poured footing; comments are left out."""
        return _table(self.poured_book_text)

    @cached_property
    def poured_book_text(self) -> str:
        """The empty book of the poured footing as it is written."""
        return self.run("record", self.job, "--blank").stdout

    @cached_property
    def checked_stakes(self) -> dict[str, Any]:
        """What ``staking check`` makes of stakes and nails that stand just as points.csv says."""
        assert self.laid
        points = self.folder / "points.csv"
        done = self.run("check", self.job, "--stakes", points, "--json")
        return json.loads(done.stdout)

    @cached_property
    def checked_tapes(self) -> dict[str, Any]:
        """What ``staking check`` makes of the tapes of the tape book, read as on the plan."""
        typed = "".join(f"{r['from']}-{r['to']} {r['plan distance']}\n" for r in self.tape_book)
        return json.loads(self.run("check", self.job, "-", "--json", typed=typed).stdout)

    @cached_property
    def sheet(self) -> list[Page]:
        """The pages of sheet.pdf."""
        assert self.laid
        return read_pages((self.folder / "sheet.pdf").read_bytes())

    @cached_property
    def sheet_rows(self) -> Rows:
        """Every row of words on the sheet, from left to right."""
        return [row for page in self.sheet for row in page.rows]

    @cached_property
    def cards(self) -> list[PaperCard]:
        """The cards of the sheets."""
        return list(read_cards(self.sheet))

    @cached_property
    def page(self) -> str:
        """The phone page without pictures, scripts and style."""
        text = self.file("page.html")
        return re.sub(r"<(svg|script|style)\b.*?</\1>", "", text, flags=re.DOTALL)

    @cached_property
    def page_data(self) -> dict[str, Any]:
        """What the page's own script works with."""
        found = re.search(r'id="job-data">(.*?)</script>', self.file("page.html"), re.DOTALL)
        assert found is not None
        data = json.loads(found[1])
        keys = ("kind", "from", "to", "planned", "shown")
        data["tapes"] = [dict(zip(keys, row, strict=True)) for row in data["tapes"]]
        return data

    def page_table(self, title: str, first: str = "") -> Rows:
        """The rows of the page's table of that title whose first heading is `first`, if given."""
        for each in re.findall(r"<table\b.*?</table>", self.page, re.DOTALL):
            caption = re.search(r"<caption[^>]*>(.*?)</caption>", each, re.DOTALL)
            heads = re.findall(r"<th\b[^>]*>(.*?)</th>", each, re.DOTALL)
            if caption is None or html.unescape(_plain(caption[1])) != title:
                continue
            if not first or first in heads[:1]:
                body = each.partition("<tbody>")[2]
                cells = re.compile(r"<td\b[^>]*>(.*?)</td>", re.DOTALL)
                return [
                    [html.unescape(_plain(cell)) for cell in cells.findall(row)]
                    for row in re.findall(r"<tr>(.*?)</tr>", body, re.DOTALL)
                ]
        raise AssertionError(f"the page has no table {title!r}")

    def terminal_table(self, command: str, title: str, *, heads: bool = False) -> Rows:
        """The rows of a table that a command prints, cells told apart by the rule under the head.

        A cell that runs on in the next line is put together again. With `heads` the first row
        holds the headings.
        """
        printed = self.laid.stdout if command == "layout" else self._printed[command]
        lines = printed.splitlines()
        start = next(i for i, line in enumerate(lines) if line.startswith(title))
        rule = next(i for i in range(start, len(lines)) if re.fullmatch(r"[- ]*-[- ]*", lines[i]))
        spans = [(m.start(), m.end()) for m in re.finditer(r"-+", lines[rule])]
        rows: Rows = [[lines[rule - 1][low:high].strip() for low, high in spans]] if heads else []
        for line in lines[rule + 1 :]:
            if not line.strip() or not _in_spans(line, spans):
                break
            rows.append([line[low:high].strip() for low, high in spans])
        return rows

    @cached_property
    def _printed(self) -> _Printed:
        return _Printed(self)


class _Printed:
    """The standard output of commands, each run once."""

    def __init__(self, papers: Papers) -> None:
        self.papers = papers
        self.found: dict[str, str] = {}

    def __getitem__(self, command: str) -> str:
        if command not in self.found:
            self.found[command] = self.papers.run(command, self.papers.job).stdout
        return self.found[command]


def _table(text: str) -> list[dict[str, str]]:
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    return list(csv.DictReader(io.StringIO("\n".join(lines) + "\n")))


def _plain(text: str) -> str:
    return re.sub(r"<[^>]+>", "", text)


def _in_spans(line: str, spans: list[tuple[int, int]]) -> bool:
    # a sentence under the table runs over the gaps between its columns
    gaps = zip([high for _, high in spans], [low for low, _ in spans[1:]], strict=False)
    return all(not line[low:high].strip() for low, high in gaps)


def run_on(rows: Rows, fresh: int) -> Rows:
    """Put rows together again whose cells ran on: a row is new where column `fresh` says so.

    A row that has nothing in column `fresh` continues the row before it, cell by cell.
    """
    found: Rows = []
    for row in rows:
        if row[fresh] or not found:
            found.append(list(row))
            continue
        found[-1] = [f"{old} {new}".strip() for old, new in zip(found[-1], row, strict=True)]
    return found
