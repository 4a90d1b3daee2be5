"""The sheets read back from the PDF and held against the document of the same layout."""

from __future__ import annotations

import math
import re
from collections import Counter
from dataclasses import replace
from io import BytesIO
from itertools import pairwise

import pytest
from pypdf import PdfReader

from staking.job.build import parse_job
from staking.kinds import RodMarks, SheetKind
from staking.measure.lengths import format_length
from staking.output.documents.grade_document import grade_document
from staking.output.documents.layout_document import layout_document
from staking.output.sheet.sheet_pdf import write_sheet
from staking.output.tables.order.order_on_paper import order_on_paper
from staking.output.wording import Words
from staking.plan import Show
from staking.project.layout import load_job
from staking.project.resolve import resolve
from staking.project.sheets import Sheets, prepare_sheets
from staking.units import Unit
from tests.output.card_reading import BoardColumn, read_cards
from tests.output.pdf_reading import Page, holds, read_pages
from tests.output.printed_jobs import DEMOS, ROOT, TITLES, Printed, printed, ratio_of, titled
from tests.output.profile_reading import read_profiles

FIXTURES = ROOT / "fixtures"
MM = 72 / 25.4
"""Points in a millimetre."""


@pytest.fixture(scope="module", params=DEMOS)
def job(request) -> Printed:
    """A demo job with its sheets."""
    return printed(request.param)


@pytest.fixture(scope="module")
def demo(job):
    """The demo's name, layout and sheets."""
    return job.name, job.layout, job.sheets


@pytest.fixture(scope="module")
def written(job) -> bytes:
    """The demo's PDF."""
    return job.written


@pytest.fixture(scope="module")
def pages(job) -> list[Page]:
    """The demo's pages."""
    return job.pages


def pages_of(sheets: Sheets, *kinds: SheetKind) -> list[Page]:
    """Some of a job's sheets, set and read."""
    stream = BytesIO()
    write_sheet(sheets, stream, only=kinds)
    return read_pages(stream.getvalue())


@pytest.fixture(scope="module")
def cards(pages) -> list[Page]:
    """The pages of the cards."""
    return titled(pages, "Cards")


@pytest.fixture(scope="module")
def rows(pages) -> list[list[str]]:
    """Every row of every page."""
    return [row for page in pages for row in page.rows]


def shown(layout, length: float) -> str:
    """A length of the document as the job shows it."""
    options = layout.options
    return format_length(length * Unit(options.unit).metres, options.show, options.nearest)


def offset(layout, string: dict, length: float) -> str:
    """A mark's offset as it is said."""
    if abs(length) * Unit(layout.options.unit).metres < 0.0005:
        return "on it"
    sides = ("out", "in") if string["line"] == "outside face" else ("right", "left")
    return f"{shown(layout, abs(length))} {sides[length < 0]}"


BOXES = ("stakes", "forms", "poured")
"""What is written into at each tape."""
NAILS = (
    "outside face", "inside face", "outer footing edge", "inner footing edge", "dig line",
    "centre", "left face", "right face", "left footing edge", "right footing edge",
)  # fmt: skip


def nail(cell: str) -> str | None:
    """The nail that a cell names, with or without its wall."""
    return next((each for each in NAILS if cell == each or cell.startswith(f"{each} ")), None)


def test_every_board_with_every_nail_is_on_its_card(demo, cards):
    _, layout, _ = demo
    document = layout_document(layout)
    strings = {each["name"]: each for each in document["strings"]}
    columns: dict[str, BoardColumn] = {}
    for card in read_cards(cards):
        columns |= card.boards()
    for board in document["boards"]:
        column = columns[board["name"]]
        assert column.string == board["string"]
        assert column.said("stands").startswith(f"{shown(layout, board['stand_off'])} past ")
        wanted = Counter(
            (mark["mark"], offset(layout, strings[board["string"]], mark["offset"]))
            for mark in board["marks"]
        )
        found: Counter[tuple[str, str]] = Counter()
        for label, cell in column.rows:
            unlike = label.startswith("nail ")
            name, place = cell.rpartition(": ")[::2] if unlike else (label, cell)
            if (mark := nail(name)) is not None:
                found[mark, place] += 1
        assert found == wanted, board["name"]


def test_every_check_is_on_a_card_with_room_to_write(demo, cards):
    _, layout, _ = demo
    words = Words(layout.options)
    tapes: dict[tuple[str, str], tuple[str, str]] = {}
    for card in read_cards(cards):
        for what, *figures in card.tapes():
            assert (card.name, what) not in tapes
            tapes[card.name, what] = (figures[0], figures[1])
        if card.tapes():
            assert all(any(word.text == each for word in card.words) for each in BOXES)
    for check, exact in zip(layout_document(layout)["checks"], layout.checks, strict=True):
        # Tolerances are rounded down: one turned into the job's unit and back may fall short.
        wanted = (shown(layout, check["distance"]), words.allowed(exact.allowed))
        if check["legs"] is not None:
            one, other = (shown(layout, leg) for leg in check["legs"])
            kind = "3-4-5" if check["kind"] == "right angle" else check["kind"]
            legs = f"{kind}: {one} to {check['from']}, {other} to {check['to']}"
            assert tapes.pop((check["at"], legs)) == wanted
            continue
        ends = (check["from"], check["to"]), (check["to"], check["from"])
        (key,) = [key for a, b in ends if (key := (a, f"{check['kind']} to {b}")) in tapes]
        assert tapes.pop(key) == wanted, check
    assert not tapes


def test_every_corner_of_the_document_is_on_the_sheet(demo, rows):
    name, layout, _ = demo
    whole = [
        holds(rows, [corner["name"], shown(layout, corner["x"]), shown(layout, corner["y"])])
        for corner in layout_document(layout)["corners"]
    ]
    # The orchard's sheet of dimensions has no room for the table, which is worth no page alone.
    assert not any(whole) if name == "orchard-workshop" else all(whole)


def test_every_run_and_step_of_the_levels_is_on_the_sheet(demo, pages):
    _, layout, _ = demo
    if layout.grade is None:
        assert not any("dig level" in page.text for page in pages)
        return
    profiles = read_profiles(titled(pages, "Profiles"))
    dug = [word.text for word in titled(pages, "Dig")[0].words]
    count = 0
    for wall in grade_document(layout)["walls"]:
        profile = profiles[wall["wall"]]
        tops, digs = (
            [shown(layout, run[key]) for run in wall["runs"]]
            for key in ("top_of_footing", "dig_level")
        )
        assert profile.values("top of footing") == tops
        assert profile.values("dig level") == digs
        assert profile.values("courses") == [str(run["courses"]) for run in wall["runs"]]
        # On the dig's plan every run has its level too.
        assert set(digs) <= set(dug), wall["wall"]
        for step in wall["steps"]:
            count += 1
            for key, word in (("at", "face"), ("dig_to", "dig to")):
                place = shown(layout, step[key])
                assert f"{word} {place}" in profile.stations or place in (profile.values(word)), (
                    wall["wall"],
                    step,
                )
    assert count == len(layout.grade.stepped.steps) > 0


def test_every_rod_reading_is_on_the_sheet(demo, pages):
    _, layout, _ = demo
    if layout.grade is None:
        return
    text = "\n".join(page.text for page in pages)
    for rod in grade_document(layout)["rods"]:
        add = rod["add_to_benchmark"]
        if add is not None:
            sign = "less " if add < 0 else ""
            assert f"{sign}{shown(layout, abs(add))}" in text


def card_on(cards: list[Page], title: str) -> Page:
    """The one page that holds a card."""
    found = [page for page in cards if title in [word.text for word in page.words]]
    assert len(found) == 1, title
    return found[0]


def titles_of(layout) -> list[str]:
    """What has a card, from the plan itself: corners by the turn of their walls."""
    titles = []
    for building in layout.plan.buildings:
        points = [corner.point for corner in building.corners]
        turns = []
        for at, (x, y) in enumerate(points):
            (x0, y0), (x1, y1) = points[at - 1], points[(at + 1) % len(points)]
            turns.append((x - x0) * (y1 - y) - (y - y0) * (x1 - x))
        whole = sum(a[0] * b[1] - a[1] * b[0] for a, b in pairwise((*points, points[0])))
        for corner, turn in zip(building.corners, turns, strict=True):
            inside = turn * whole < 0
            titles.append(f"{'Inside corner' if inside else 'Corner'} {corner.name}")
    titles += [f"Interior line {line.name}" for line in layout.plan.interior]
    return titles


def test_every_corner_and_interior_line_has_its_card(demo, cards):
    _, layout, _ = demo
    places = [cards.index(card_on(cards, title)) for title in titles_of(layout)]
    assert places == sorted(places)


def test_every_pad_is_on_a_card_of_pads(demo, cards):
    _, layout, _ = demo
    held = [page for page in cards if any(re.match("Pads? ", w.text) for w in page.words)]
    for pad in layout.plan.pads:
        assert any(row[0] == pad.name for page in held for row in page.rows), pad.name


def test_every_board_has_a_card(demo, cards):
    _, layout, _ = demo
    words = [word.text for page in cards for word in page.words]
    for board in layout.boards:
        assert any(re.match(rf"board {board.name}(,|$)", word) for word in words), board.name


def test_every_tape_stands_on_one_card(demo, cards):
    _, layout, _ = demo
    cells = [cell for page in cards for row in page.rows for cell in row]
    kinds = ("side to ", "diagonal to ", "tie to ", "point to ", "3-4-5: ", "angle: ")
    assert sum(cell.startswith(kinds) for cell in cells) == len(layout.checks)
    lengths = Counter(cells)
    for check in layout_document(layout)["checks"]:
        assert lengths[shown(layout, check["distance"])]


def test_cards_give_the_levels_at_the_corner(demo, cards):
    _, layout, _ = demo
    if layout.grade is None:
        return
    document = grade_document(layout)
    rods = {
        (rod["what"], round(rod["level"], 4)): rod["add_to_benchmark"] for rod in document["rods"]
    }
    titles = {title.rpartition(" ")[2]: title for title in titles_of(layout)}
    for wall in document["walls"]:
        if "-" not in wall["wall"]:
            continue
        for corner, run in zip(
            wall["wall"].split("-"), (wall["runs"][0], wall["runs"][-1]), strict=True
        ):
            page = card_on(cards, titles[corner])
            top = rods["top of footing", round(run["top_of_footing"], 4)]
            dig = rods["dig level", round(run["dig_level"], 4)]
            assert holds(page.rows, ["footing top", shown(layout, top)])
            assert holds(page.rows, ["dig", shown(layout, dig)])


def test_cards_give_the_first_step_each_way(demo, cards):
    _, layout, _ = demo
    if layout.grade is None:
        return
    lengths = {wall["name"]: wall["length"] for wall in layout_document(layout)["walls"]}
    titles = {title.rpartition(" ")[2]: title for title in titles_of(layout)}
    for wall in grade_document(layout)["walls"]:
        if wall["wall"] not in lengths or not wall["steps"]:
            continue
        start, end = wall["wall"].split("-")
        first, last, far = wall["steps"][0], wall["steps"][-1], lengths[wall["wall"]]
        for corner, other, step, place, dug, down in (
            (start, end, first, first["at"], first["dig_to"], first["down"]),
            (end, start, last, far - last["at"], far - last["dig_to"], not last["down"]),
        ):
            goes = f"{'down' if down else 'up'} {shown(layout, abs(step['rise']))}"
            cells = [f"toward {other}", goes, shown(layout, place), shown(layout, dug)]
            assert holds(card_on(cards, titles[corner]).rows, cells), (corner, other)


def test_what_is_taped_or_read_is_large_enough_on_cards_and_on_the_dig(demo, pages):
    _, layout, _ = demo
    figure = re.compile(r"\d+' \d|\d+ \d+/\d+\"|\d\"( out| in| right| left)?$|\d{3,} mm")
    sheets = ["Cards"] if layout.grade is None else ["Cards", "Dig"]
    for page in (page for sheet in sheets for page in titled(pages, sheet)):
        for word in page.words:
            if 12 * MM < word.y < page.height - 15 * MM:
                assert word.size >= 8.0, word
    for page in titled(pages, "Cards"):
        for row in page.rows:
            for word in page.words:
                if word.text in row and figure.match(word.text):
                    assert word.size >= 10.99, word


def test_half_pages_hold_no_area_bearing_or_residual(cards):
    for page in cards:
        for unwanted in ("sq ft", " m2", "m²", "°", "residual", "bearing", "northing"):
            assert unwanted not in page.text


def test_half_pages_give_both_neighbours_and_their_tapes(demo, cards):
    _, layout, _ = demo
    document = layout_document(layout)
    words = [word.text for page in cards for word in page.words]
    for wall in document["walls"]:
        # The sketch names each neighbour, with its distance where that finds room.
        assert any(word.startswith(f"to {wall['to']}") for word in words)
        assert any(word.startswith(f"to {wall['from']}") for word in words)


def test_every_page_carries_the_job_the_revision_and_its_number(demo, pages):
    _, layout, _ = demo
    for at, page in enumerate(pages, start=1):
        words = " ".join(word.text for word in page.words)
        assert layout.plan.job in words
        assert f"page {at} of {len(pages)}" in words
        assert "revised 2031-04-05" in words


def test_lengths_on_the_lot_are_true_to_its_scale(demo, pages):
    name, layout, _ = demo
    if name != "hillside-lot":
        return
    page = titled(pages, "Lot")[0]
    words = [word.text for word in page.words]
    (scale,) = (each for each in words if each.startswith("scale ") and ";" not in each)
    ratio = ratio_of(scale)
    runs = [
        math.dist(start, end) / MM * ratio / 1000
        for line in page.lines
        for start, end in pairwise(line)
    ]
    metres = Unit(layout.options.unit).metres
    for wall in layout_document(layout)["walls"]:
        nearest = min(abs(run - wall["length"] * metres) for run in runs)
        # Half a millimetre on paper.
        assert nearest < 0.0005 * ratio, wall["name"]


def test_each_drawing_states_its_scale_and_shows_a_bar_of_it(demo, pages):
    name, _, _ = demo
    sign = "m" if name == "boat-shed" else "'"
    for title in ("Lot", "Dimensions", "Boards and tapes"):
        if title == "Lot" and name != "hillside-lot":
            continue
        page = titled(pages, title)[0]
        words = [word.text for word in page.words]
        (scale,) = (each for each in words if each.startswith("scale ") and ";" not in each)
        bar = [word for word in page.words if re.fullmatch(r"[0-9]+( m|')", word.text)]
        bar = sorted((word for word in bar if word.y < 35 * MM), key=lambda word: word.x)
        assert bar[0].text in {"0 m", "0'"}
        far = float(bar[-1].text.rstrip(" m'")) * (1.0 if sign == "m" else 0.3048)
        middles = [word.x + word.box.width / 2 for word in (bar[0], bar[-1])]
        drawn = (middles[1] - middles[0]) / MM
        assert drawn == pytest.approx(far * 1000 / ratio_of(scale), rel=0, abs=0.5), title


def test_only_a_placed_job_has_the_sheet_of_its_lot_with_north(demo, pages):
    name, _, _ = demo
    lots = [page for page in pages if "grid" in [word.text for word in page.words]]
    assert len(lots) == (name == "hillside-lot")
    for page in lots:
        assert "Lot" in [word.text for word in page.words]


def test_the_lot_gives_the_tapes_to_the_first_two_stakes(demo, pages):
    name, _, sheets = demo
    if name != "hillside-lot":
        return
    page = titled(pages, "Lot")[0]
    words = [word.text for word in page.words]
    ties = {tie.name: tie for tie in sheets.staked.ties}
    for stake in (sheets.work.base.first, sheets.work.base.second):
        tie = ties[stake]
        for point, distance in (
            (tie.first, tie.first_distance),
            (tie.second, tie.second_distance),
        ):
            # On the drawing along the tape, and in the table beside it.
            assert words.count(format_length(distance, Show.FEET_INCHES, 0.0254 / 16)) >= 2
            assert point in words


def test_every_sheet_has_its_bookmark_and_its_page_on_the_first(demo, written, pages):
    reader = PdfReader(BytesIO(written))
    marks = {each.title: reader.get_destination_page_number(each) + 1 for each in reader.outline}
    assert list(marks) == [title for title in TITLES if title in marks]
    assert {"Start here", "Dimensions", "Boards and tapes", "Cards"} <= set(marks)
    for title, at in marks.items():
        assert any(
            row[place : place + 2] == [title, f"page {at}"]
            for row in pages[0].rows
            for place in range(len(row) - 1)
        ), title
        # Sheets that share a page are named one after the other.
        heads = [word.text for word in pages[at - 1].words]
        assert (
            title in heads
            or any(head.startswith(f"{title}, ") for head in heads)
            or any(head.endswith(f", {title.lower()}") for head in heads)
        )


def test_only_the_sheets_asked_for_are_printed():
    sheets = prepare_sheets(resolve(load_job(FIXTURES / "orchard-workshop" / "job.yaml")))
    stream = BytesIO()
    write_sheet(sheets, stream, only=[SheetKind.DIMENSIONS, SheetKind.LOT, SheetKind.WORK])
    outline = [each.title for each in PdfReader(BytesIO(stream.getvalue())).outline]
    assert outline == ["Dimensions", "Order of work"]


def comb(teeth: int) -> str:
    """A job whose front is a row of bays, four corners each."""
    corners = [(0, 0), (16 * teeth, 0)]
    for tooth in reversed(range(teeth)):
        left = 16 * tooth
        corners += [(left + 16, 30), (left + 8, 30), (left + 8, 20), (left, 20)]
    listed = "".join(f"    C{at + 1}: [{x}', {y}']\n" for at, (x, y) in enumerate(corners))
    return (
        f'job: Comb\nbuilding:\n  corners:\n{listed}  wall: 8"\n'
        '  footing: {width: 20", thickness: 10"}\n'
    )


def test_a_table_of_corners_longer_than_a_page_goes_on_on_the_next():
    sheets = prepare_sheets(resolve(parse_job(comb(15), "job.yaml")))
    pages = pages_of(sheets, SheetKind.DIMENSIONS)
    cells = {cell for page in pages for row in page.rows for cell in row}
    assert {f"C{at}" for at in range(1, 63)} <= cells


@pytest.mark.parametrize("size", ["20\", thickness: 10'", "60', thickness: 60'"])
def test_a_section_of_any_footing_finds_a_scale_and_a_page(size):
    text = (
        f"job: Deep\nbuilding:\n  rectangle: 36' x 24'\n  wall: 8\"\n  footing: {{width: {size}}}\n"
    )
    pages = pages_of(prepare_sheets(resolve(parse_job(text, "job.yaml"))), SheetKind.DIMENSIONS)
    assert any("Section through wall and footing" in row for page in pages for row in page.rows)


def test_no_drawing_of_the_plan_has_small_type(demo, pages):
    for title in ("Start here", "Lot", "Dimensions", "Boards and tapes"):
        if title == "Lot" and demo[0] != "hillside-lot":
            continue
        page = titled(pages, title)[0]
        for word in page.words:
            assert word.size >= 8.0, word
            # Lengths beside a dimension line, a diagonal or a tape are read on site.
            if re.fullmatch(r"\d+' (\d+ )?(\d+/\d+ ?)?\d*\"?", word.text):
                assert word.size >= 11.0, word


def test_the_same_job_gives_the_same_bytes(demo, written):
    again = BytesIO()
    write_sheet(demo[2], again)
    assert again.getvalue() == written


def test_a_rod_in_tenths_is_read_in_decimals_on_the_half_page():
    job = load_job(FIXTURES / "hillside-lot" / "job.yaml")
    resolved = resolve(replace(job, grade=replace(job.grade, rod=RodMarks.TENTHS)))
    page = pages_of(prepare_sheets(resolved), SheetKind.CARDS)[0]
    cells = [after for row in page.rows for cell, after in pairwise(row) if cell == "footing top"]
    assert len(cells) == 2
    assert all(re.fullmatch(r"\d+\.\d\d ft", cell) for cell in cells)


def test_a_rod_in_inches_is_read_in_inches_where_lengths_are_in_tenths():
    job = load_job(FIXTURES / "hillside-lot" / "job.yaml")
    options = replace(job.options, show=Show.DECIMAL_FEET)
    sheets = prepare_sheets(resolve(replace(job, options=options)))
    pages = pages_of(sheets, SheetKind.CARDS, SheetKind.PROFILES, SheetKind.BEFORE)
    cards = [row[1:] for row in titled(pages, "Cards")[0].rows if row[0] == "footing top"]
    # BM1 stands at 100.96 ft. At A the top of footing, 96.00 ft, lies 59 1/2 inches under it.
    assert cards[0] == ["4' 11 1/2\""]
    wall = read_profiles(pages)["A-B"]
    added = wall.values("top of footing", "add to benchmark")
    assert added == ["4' 11 1/2\"", "5' 7 1/2\"", "6' 3 1/2\""]
    assert any("top of wall 103.33 ft, less 2' 4 1/2\"" in page.text for page in pages)
    (pour,) = (row for page in pages for row in page.rows if "benchmark reading plus" in row[-1])
    assert "plus 2' 3 1/2\", 2' 11 1/2\"" in pour[-1]


def test_a_job_by_any_name_stays_text():
    job = load_job(FIXTURES / "orchard-workshop" / "job.yaml")
    named = replace(job, plan=replace(job.plan, job="<b>x</b> & (y) \\z 倉"))
    pages = pages_of(prepare_sheets(resolve(named)), SheetKind.START, SheetKind.DIMENSIONS)
    assert all("<b>x</b> & (y) \\z ?" in page.text for page in pages)


@pytest.mark.parametrize(
    ("paper", "plan", "tables"),
    [
        ("letter", (279.4, 215.9), (215.9, 279.4)),
        ("tabloid", (431.8, 279.4), (431.8, 279.4)),
        ("A4", (297, 210), (210, 297)),
        ("A3", (420, 297), (420, 297)),
    ],
)
def test_each_paper_keeps_its_size_and_halves_for_the_clipboard(paper, plan, tables):
    job = load_job(FIXTURES / "orchard-workshop" / "job.yaml")
    resolved = resolve(replace(job, options=replace(job.options, paper=paper)))
    kinds = (SheetKind.START, SheetKind.DIMENSIONS, SheetKind.BOARDS, SheetKind.CARDS)
    pages = pages_of(prepare_sheets(resolved), *kinds)
    drawn = [*titled(pages, "Dimensions"), *titled(pages, "Boards and tapes")]
    for page in pages:
        size = plan if page in drawn else tables
        assert (page.width / MM, page.height / MM) == pytest.approx(size, rel=0, abs=0.01)
    cards = titled(pages, "Cards")
    corners = [
        sum(word.text.startswith(("Corner ", "Inside corner ")) for word in page.words)
        for page in cards
    ]
    assert corners[0] == (4 if paper in {"tabloid", "A3"} else 2)
    assert sum(corners) == 6
    assert all("revised ____________" in page.text for page in pages)


def test_the_dig_has_both_halves_of_a_large_sheet():
    job = load_job(FIXTURES / "hillside-lot" / "job.yaml")
    resolved = resolve(replace(job, options=replace(job.options, paper="A3")))
    (page,) = pages_of(prepare_sheets(resolved), SheetKind.DIG)
    plan = [word for word in page.words if word.text.startswith("Spoil this side")]
    steps = [word for word in page.words if word.text.startswith("The footing seen")]
    assert [each.x < page.width / 2 for each in (*plan, *steps)] == [True, False]
    # Half of A4 upright has room for 3/32" = 1'-0" beside the picture, all of it for 1/8".
    assert '1/8" = 1\'-0"' in page.text


@pytest.mark.parametrize("name", ["orchard-workshop", "hillside-lot"])
def test_an_order_is_on_one_sheet_row_by_row(name):
    resolved = resolve(load_job(FIXTURES / name / "job.yaml"))
    sheets = prepare_sheets(resolved)
    stream = BytesIO()
    write_sheet(sheets, stream, only=(SheetKind.ORDER,))
    pages = read_pages(stream.getvalue())
    assert len(pages) == 1
    order = order_on_paper(resolved.layout, sheets.ordered)
    assert order.narrow[0].title == "To order first: trucks, bars, block"
    titles = [row[0] for row in pages[0].rows]
    assert titles.index(order.narrow[0].title) == 1
    for table in (*order.narrow, order.rest):
        for row in table.rows:
            # What is wide is set in two lines; the figures stand in the first.
            short = [cell.strip() for cell in row[:3] if cell and len(cell) < 20]
            short = [cell.replace("\N{NO-BREAK SPACE}", " ") for cell in short]
            rows = pages[0].rows
            assert any(all(cell in "|".join(found) for cell in short) for found in rows), row


def test_the_lists_carry_this_jobs_numbers_and_every_caution():
    from staking.output.cautions import LAYOUT_CAUTIONS
    from staking.output.sheet.ticked.tick_lists import before_the_dig, before_the_pour

    job = load_job(FIXTURES / "orchard-workshop" / "job.yaml")
    sheets = prepare_sheets(resolve(job))
    dig, pour = before_the_dig(sheets).lines, before_the_pour(sheets).lines
    assert "14 boards braced, level and nailed; the nearest stands 4' 0\" clear of the dig." in dig
    assert "The trench is 4' 0\" deep." in dig
    assert 'Footing 2\' 0" wide and 10" thick under C-D.' in pour
    assert "Pad P1: 2' 0\" x 2' 0\", 1' 0\" thick." in pour
    assert '4" sleeve through B-C at 10\' 0" from B, invert at 98\' 6".' in pour
    assert 'A-B is dropped 8" from 4\' 0" to 13\' 0" from A; the footing runs on.' in pour
    steel = "Two bars No. 4 along every footing, tied and held up on chairs or blocks, "
    assert f'{steel}3" of concrete under and beside them; laps 2\' 6".' in pour
    # Colours as callbeforeyoudig.org prints the uniform colour code.
    answers = next(line for line in dig if "as each answered" in line)
    for who in ("electric (red)", "gas, oil or steam (yellow)", "telephone and cable (orange)",
                "water (blue)", "reclaimed water (purple)", "sewer and drain (green)"):  # fmt: skip
        assert f"{who} ____" in answers
    assert any("Ticket number ____" in line and "runs out on ____" in line for line in dig)
    assert any("outline of the dig is painted in white, 2' 0\" outside" in line for line in dig)
    # NEC 250.52(A)(3): 20 feet of bare bar of half an inch, two inches of concrete round it.
    assert any("at least 20' of bare steel bar, 1/2\" or thicker" in line for line in pour)
    assert any("R109.1.1" in line for line in pour)
    assert set(LAYOUT_CAUTIONS) <= {*dig, *pour}


def test_the_pour_says_what_is_ordered_and_the_stone_under_it():
    from staking.output.sheet.ticked.tick_lists import before_the_pour

    job = load_job(FIXTURES / "orchard-workshop" / "job.yaml")
    stone = replace(job.options.dig, base=6 * 0.0254)
    job = replace(job, options=replace(job.options, dig=stone))
    lines = before_the_pour(prepare_sheets(resolve(job))).lines
    assert 'Stone 6" thick lies tamped under every footing.' in lines
    ordered = "Concrete for the footings: 8.75 cu yd ordered (8.51 cu yd with waste), in one load"
    assert f"{ordered}, each to be out within 90 minutes." in lines


@pytest.mark.parametrize("name", DEMOS)
def test_each_list_takes_a_page_at_most_with_a_box_for_every_line(name):
    from staking.output.sheet.ticked.tick_lists import before_the_dig, before_the_pour

    sheets = prepare_sheets(resolve(load_job(FIXTURES / name / "job.yaml")))
    stream = BytesIO()
    write_sheet(sheets, stream, only=(SheetKind.BEFORE,))
    pages = read_pages(stream.getvalue())
    assert len(pages) <= 2
    lines = {
        len(before_the_dig(sheets, short=short).lines)
        + len(before_the_pour(sheets, short=short).lines)
        for short in (False, True)
    }
    assert sum(_boxes(page) for page in PdfReader(BytesIO(stream.getvalue())).pages) in lines
    words = [word for page in pages for word in page.words]
    assert min(word.size for word in words if 16 * MM < word.y < 250 * MM) >= 8.49


def _boxes(page) -> int:
    """Squares drawn on a page."""
    found = 0

    def seen(operator, operands, *_):
        nonlocal found
        if operator == b"re" and abs(float(operands[2]) - float(operands[3])) < 1e-3:
            found += 1

    page.extract_text(visitor_operand_before=seen)
    return found


def test_nails_alike_on_both_sides_of_a_centre_line_stand_in_one_row():
    # The orchard workshop's interior line: a wall of 8" on a footing of 16", 4" and 8" either side.
    words = [word.text for page in printed("orchard-workshop").pages for word in page.words]
    rows = {a: b for a, b in pairwise(words) if b.endswith("each side")}
    assert rows == {"footing edge": '8" each side', "face": '4" each side'}
