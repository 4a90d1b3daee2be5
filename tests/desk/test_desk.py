"""What the desk tells its page, what it writes and makes, and when it ends."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from staking.cli import main
from staking.desk.left_out import LEFT_OUT
from staking.desk.open_pages import OpenPages
from staking.desk.question_list import BUILDING, TOPICS, questions
from staking.job.keys.schema import job_file_schema
from tests.desk.conftest import SHED, Running, Start

ROOT = Path(__file__).parents[2]


def answers(running: Running, text: str, *given: tuple[list[str | int], object]) -> dict:
    made = [{"place": place, "value": value} for place, value in given]
    return running.post("/answer", {"text": text, "answers": made}).told


def test_an_answer_comes_back_as_text_values_and_faults(running: Running) -> None:
    told = answers(running, SHED, (["building", "wall"], '10"'))
    assert told["text"] == SHED.replace('8"', '10"')
    assert told["values"]["building"]["wall"] == '10"'
    assert (told["faults"], told["refused"]) == ([], [])
    assert running.path.read_text(encoding="utf-8") == SHED


def test_a_fault_stands_under_its_key_in_the_readers_words_without_a_path(running: Running) -> None:
    told = answers(running, SHED, (["building", "wall"], "wide"), (["boards", "at"], "8 foo"))
    places = {tuple(each["place"]): each for each in told["faults"]}
    assert set(places) == {("building", "wall"), ("boards", "at")}
    from staking.errors import InputError
    from staking.job.build import parse_job

    with pytest.raises(InputError) as caught:
        parse_job(told["text"], "job.yaml")
    assert [each["text"] for each in told["faults"]] == [
        f"{each.message}; {each.remedy}" for each in caught.value.problems
    ]
    assert str(running.path.parent) not in json.dumps(told)


def test_a_missing_key_and_a_broken_text_have_their_places(running: Running) -> None:
    told = answers(running, SHED, (["building", "openings", 0, "wall"], "A-B"))
    assert {tuple(each["place"]) for each in told["faults"]} == {
        ("building", "openings", 0, key) for key in ("from", "width", "drop")
    }
    told = answers(running, "job: [x\n")
    assert told["values"] is None
    assert told["faults"][0]["line"] == 1


def test_brackets_that_are_typed_are_read_as_the_file_reads_them(running: Running) -> None:
    place = ["building", "walls", "A-B", "existing"]
    body = {"place": place, "value": "{footing_bottom: 96', top: 103'}", "is_written": True}
    told = running.post("/answer", {"text": SHED, "answers": [body]}).told
    assert told["values"]["building"]["walls"]["A-B"]["existing"] == {
        "footing_bottom": "96'",
        "top": "103'",
    }


def test_the_plan_is_the_drawing_of_the_command_line(running: Running, tmp_path: Path) -> None:
    out = tmp_path / "out"
    status = CliRunner().invoke(
        main, ["layout", str(running.path), "--out", str(out), "--only", "svg,json"]
    )
    assert status.exit_code == 0, status.output
    told = running.post("/draw", {"text": SHED}).told
    mine, theirs = told["picture"].splitlines(), (out / "plan.svg").read_text("utf-8").splitlines()
    assert mine[1:] == theirs[1:]  # the first line holds its name for those who cannot see it
    wall = next(each for each in told["touch"] if each["name"] == "A-B")
    x, y = wall["points"][0]
    assert f"M{x:g} {y:g}" in told["picture"]
    assert [each["kind"] for each in told["told"]] == ["note"]
    figures = running.post("/figures", {"text": SHED}).told
    assert "Tape these" in [each["title"] for each in figures["tapes"]]
    assert (figures["levels"], figures["order"]) == ([], [])


def test_a_drain_is_drawn_as_in_the_drawing_of_the_command_line(
    running: Running, tmp_path: Path
) -> None:
    bare = f"{SHED}order:\n  waste: 5%\n"
    text = f'{bare}  drain: {{size: 4"}}\n'
    running.path.write_text(text, encoding="utf-8")
    out = tmp_path / "out"
    status = CliRunner().invoke(
        main, ["layout", str(running.path), "--out", str(out), "--only", "svg"]
    )
    assert status.exit_code == 0, status.output
    told = running.post("/draw", {"text": text}).told
    mine, theirs = told["picture"].splitlines(), (out / "plan.svg").read_text("utf-8").splitlines()
    assert mine[1:] == theirs[1:]
    # With the drain the picture changes, though nothing else of the plan does.
    assert running.post("/draw", {"text": bare}).told["picture"] != told["picture"]
    assert running.post("/draw", {"text": text}).told["picture"] == told["picture"]


def test_a_file_beside_the_job_that_changed_is_read_anew(running: Running) -> None:
    lot = ROOT / "fixtures" / "hillside-lot"
    for each in lot.iterdir():
        shutil.copy(each, running.path.parent)
    text = (lot / "job.yaml").read_text(encoding="utf-8")
    body = {"place": ["order", "waste"], "value": "6%"}
    text = running.post("/answer", {"text": text, "answers": [body]}).told["text"]
    assert running.post("/draw", {"text": text}).told["faults"] == []
    survey = running.path.parent / "lot.csv"
    survey.write_text("", encoding="utf-8")
    (fault,) = running.post("/draw", {"text": text}).told["faults"]
    assert "the file is empty" in fault["text"]
    survey.write_bytes((lot / "lot.csv").read_bytes())
    assert running.post("/draw", {"text": text}).told["faults"] == []


def test_notices_come_with_the_heaviest_last(running: Running) -> None:
    text = (ROOT / "fixtures/orchard-workshop/job.yaml").read_text(encoding="utf-8")
    told = running.post("/draw", {"text": text}).told
    assert [each["kind"] for each in told["told"]] == ["note", "warning"]
    figures = running.post("/figures", {"text": text}).told
    assert figures["order"][0]["title"]


def test_a_new_file_starts_as_init_writes_it_and_is_written_on_save_alone(start: Start) -> None:
    from staking.job.starter import starter_text

    running = start(None)
    told = running.ask("GET", "/job").told
    assert (told["text"], told["mark"], told["is_new"]) == (starter_text(), "", True)
    assert list(running.path.parent.iterdir()) == []
    saved = running.post("/save", {"text": told["text"], "mark": ""}).told
    assert running.path.read_text(encoding="utf-8") == starter_text()
    assert running.ask("GET", "/job").told["mark"] == saved["mark"]


def test_what_is_not_saved_comes_back_after_a_reload(running: Running) -> None:
    told = answers(running, SHED, (["job"], "Pear shed"))
    found = running.ask("GET", "/job").told
    assert (found["text"], found["draft"]) == (SHED, told["text"])
    running.post("/save", {"text": told["text"], "mark": found["mark"]})
    found = running.ask("GET", "/job").told
    assert (found["text"], found["draft"]) == (told["text"], None)


def test_a_file_changed_meanwhile_is_not_written_over_until_told(running: Running) -> None:
    mark = running.ask("GET", "/job").told["mark"]
    running.path.write_text("job: Theirs\n", encoding="utf-8")
    asked = running.post("/save", {"text": "job: Mine\n", "mark": mark})
    assert asked.status == 409
    assert asked.told["text"] == "job: Theirs\n"
    assert running.path.read_text(encoding="utf-8") == "job: Theirs\n"
    asked = running.post("/save", {"text": "job: Mine\n", "mark": mark, "anyway": True})
    assert asked.status == 200
    assert running.path.read_text(encoding="utf-8") == "job: Mine\n"


def test_a_file_that_appeared_meanwhile_is_not_written_over(start: Start) -> None:
    running = start(None)
    running.path.write_text(SHED, encoding="utf-8")
    assert running.post("/save", {"text": "job: Mine\n", "mark": ""}).status == 409
    assert running.path.read_text(encoding="utf-8") == SHED


def test_papers_are_made_by_the_code_of_the_command_line(running: Running, tmp_path: Path) -> None:
    asked = running.post("/make", {"kinds": None})
    assert asked.status == 200, asked.told
    told = asked.told
    assert told["folder"] == "job-layout"
    out = tmp_path / "out"
    CliRunner().invoke(main, ["layout", str(running.path), "--out", str(out)])
    for name in told["names"]:
        mine = running.ask("GET", f"/made/{name}")
        assert mine.status == 200
        assert mine.body == (out / name).read_bytes(), name
    assert set(told["made"]) == set(told["names"])


def test_the_phone_page_opens_once_by_a_ticket_under_its_own_policy(running: Running) -> None:
    running.post("/make", {"kinds": ["html"]})
    address = running.post("/ticket", {"name": "page.html"}).told["address"]
    given = {"Host": running.desk.keeper.host, "Sec-Fetch-Site": "same-origin"}
    asked = running.ask("GET", address, headers=given)
    assert asked.status == 200
    assert asked.headers["Content-Security-Policy"].startswith("sandbox allow-scripts")
    assert "allow-same-origin" not in asked.headers["Content-Security-Policy"]
    assert running.ask("GET", address, headers=given).status == 403
    assert running.ask("GET", "/phone/guess", headers=given).status == 403
    assert running.post("/ticket", {"name": "../job.yaml"}).status == 404


def test_a_faulty_job_makes_no_files_and_says_why(running: Running) -> None:
    running.path.write_text(SHED.replace('8"', "wide"), encoding="utf-8")
    asked = running.post("/make", {"kinds": None})
    assert asked.status == 422
    assert "wall" in asked.told["error"]
    assert not (running.path.parent / "job-layout").exists()


def test_the_desk_ends_a_minute_after_the_last_goodbye() -> None:
    now = [0.0]
    pages = OpenPages(60.0, lambda: now[0])
    assert not pages.over
    now[0] = 1000.0
    assert not pages.over  # nobody came yet, and nobody left
    pages.hello("a")
    pages.hello("b")
    pages.goodbye("a", unsaved=False)
    now[0] += 100
    assert not pages.over  # b may sleep for hours
    pages.goodbye("b", unsaved=False)
    now[0] += 59
    assert not pages.over
    pages.hello("b")  # a reload
    now[0] += 100
    assert not pages.over
    pages.goodbye("b", unsaved=True)
    now[0] += 10_000
    assert not pages.over  # work that is not on file
    pages.hello("b")
    pages.goodbye("b", unsaved=False)
    now[0] += 61
    assert pages.over


def test_a_desk_that_is_told_nothing_of_pages_counts_them_by_itself(start: Start) -> None:
    # As the command makes it: a reload a moment after the goodbye still finds it.
    running = start(grace=None)
    for path, body in (("/hello", {}), ("/goodbye", {"unsaved": False}), ("/hello", {})):
        assert running.post(path, {"page": "a", **body}).status < 300
    assert not running.desk.pages.over


def test_the_desk_frees_its_port_when_it_ends(start: Start) -> None:
    import socket
    import time

    running = start(grace=0.2)
    running.post("/hello", {"page": "a"})
    running.post("/goodbye", {"page": "a", "unsaved": False})
    end = time.monotonic() + 120
    while time.monotonic() < end:
        with socket.socket() as line:
            if line.connect_ex(("127.0.0.1", running.port)) != 0:
                return
        time.sleep(0.1)
    pytest.fail("the port is still taken")


def test_every_key_of_the_job_file_is_asked_for() -> None:
    schema = job_file_schema()
    asked = {place[0] for topic in TOPICS for place in topic["asked"] if place[0] != BUILDING}
    parts = {place[1] for topic in TOPICS for place in topic["asked"] if place[0] == BUILDING}
    outline = {"corners", "rectangle", "sides"}
    building = set(schema["$defs"]["BuildingKeys"]["properties"])
    assert parts - {"§outline"} | outline == building
    tops = set(schema["properties"]) - building - {"building", "buildings"}
    assert asked == tops
    assert questions()["schema"] == schema


def l_shaped_drawing(path: Path) -> Path:
    """Write a designer's drawing in inches: an L of walls, a circle, and a title."""
    import ezdxf

    doc = ezdxf.new("R2010")
    doc.header["$INSUNITS"] = 1
    space = doc.modelspace()
    ring = [(100, 50), (532, 50), (532, 338), (388, 338), (388, 434), (100, 434)]
    space.add_lwpolyline(ring, close=True, dxfattribs={"layer": "WALL"})
    space.add_line((0, 0), (700, 0), dxfattribs={"layer": "TITLE"})
    doc.saveas(path)
    return path


def test_the_outline_of_a_drawing_is_listed_traced_and_written_in_the_jobs_unit(
    running: Running, tmp_path: Path
) -> None:
    l_shaped_drawing(tmp_path / "plan.dxf")
    asked = {"name": "plan.dxf", "layers": [], "close": "", "unit": "in", "units": "ft"}
    told = running.post("/outline", asked).told
    assert told["layers"] == ["WALL", "TITLE"]
    assert (told["corners"], told["drawn"]) == ([], [])
    picture = told["picture"]
    assert picture["window"] == [0, -434, 700, 434]
    assert [each["name"] for each in picture["layers"]] == ["TITLE", "WALL"]
    assert picture["layers"][0]["path"] == "M0 434L700 434"
    told = running.post("/outline", {**asked, "layers": ["WALL"]}).told
    # 432 x 288 and 384 inches, drawn so above.
    assert [(each["x"], each["y"]) for each in told["corners"]] == [
        ("0\"", "0\""), ("36' 0\"", "0\""), ("36' 0\"", "24' 0\""),
        ("24' 0\"", "24' 0\""), ("24' 0\"", "32' 0\""), ("0\"", "32' 0\""),
    ]  # fmt: skip
    # The first corner, where it was drawn; pictures count y downward.
    assert told["drawn"][0] == pytest.approx([100, -50], rel=0, abs=1e-9)
    metric = running.post("/outline", {**asked, "layers": ["WALL"], "units": "m"}).told
    assert metric["corners"][1]["x"] == "10.9728"
    for name in ("../plan.dxf", "/etc/hostname", "none.dxf"):
        assert running.post("/outline", {**asked, "name": name}).status == 422
    assert running.post("/outline", {**asked, "units": "furlong"}).status == 400
    assert running.post("/outline", {**asked, "layers": ["NONE"]}).status == 422


def test_a_deed_is_shown_before_it_is_used(running: Running) -> None:
    deed = "thence N 90 E 120'; thence S 0 E 95'; thence N 90 W 120'; thence N 0 E 95'"
    running.ask("POST", "/survey?name=deed.txt", deed.encode())
    told = running.post("/look", {"name": "deed.txt", "units": "ft"}).told
    assert (told["deed"], told["map"], told["faults"]) == (deed, [], [])
    assert [[round(each / 0.3048, 6) for each in corner] for corner in told["ring"]] == [
        [0, 0], [120, 0], [120, -95], [0, -95],
    ]  # fmt: skip
    running.ask("POST", "/survey?name=open.txt", deed.replace("95'", "45'", 1).encode())
    told = running.post("/look", {"name": "open.txt", "units": "ft"}).told
    assert "50" in told["faults"][0]


def test_a_survey_is_shown_before_it_is_used(running: Running, tmp_path: Path) -> None:
    lot = (ROOT / "fixtures/hillside-lot/lot.csv").read_bytes()
    assert running.ask("POST", "/survey?name=lot.csv", lot).told == {"name": "lot.csv"}
    told = running.post("/look", {"name": "lot.csv", "unit": "us-ft", "units": "ft"}).told
    assert told["map"][-1].startswith("N is up")
    done = CliRunner().invoke(main, ["survey", str(tmp_path / "lot.csv"), "--unit", "us-ft"])
    assert "\n".join(told["map"]) in done.stdout
    by_name = {each["name"]: each for each in told["points"]}
    assert len(told["points"]) == 148
    assert by_name["1"]["use"] == "corner of the lot"
    assert by_name["BM1"]["use"] == "control"
    assert all(each["title"] in done.output for each in told["blocks"])
    assert str(tmp_path) not in json.dumps(told)
    (tmp_path / "words.csv").write_text("no survey at all\n", encoding="utf-8")
    for name in ("words.csv", "none.csv", "../lot.csv"):
        assert running.post("/look", {"name": name, "units": "ft"}).status == 422
    assert running.post("/look", {"name": "lot.csv", "unit": "ell"}).status == 400


def test_of_a_large_survey_no_more_shots_are_drawn_than_a_small_map_shows(
    running: Running,
) -> None:
    # 2,000 shots on a plane, 50 to a row: every other one of them is enough for at most 1,500.
    lines = ["point,northing,easting,elevation,description"]
    lines += [
        f"{1001 + i},{5000 + 2 * (i // 50)},{3000 + 2 * (i % 50)},{100 + i % 50 / 10:.1f},GS"
        for i in range(2000)
    ]
    running.ask("POST", "/survey?name=field.csv", "\n".join(lines).encode())
    told = running.post("/look", {"name": "field.csv", "unit": "ft", "units": "ft"}).told
    drawn = [each["at"] for each in told["points"]]
    assert len(drawn) == 1000
    rows = {round(north, 1) for _, north in drawn}
    assert len(rows) == 40  # all over the field


HEADINGS = {
    "The top": "HeadKeys", "`building`": "BuildingKeys", "`walls`": "WallKeys",
    "`openings`": "OpeningKeys", "`interior`": "InteriorKeys", "`pads`": "PadKeys",
    "`sleeves`": "SleeveKeys", "`boards`": "BoardKeys", "`dig`": "DigKeys", "`tape`": "TapeKeys",
    "`tolerances`": "ToleranceKeys", "`site`": "SiteKeys", "A lot from its deed": "DeedKeys",
    "`grade`": "GradeKeys", "`order`": "OrderKeys", "`weigh`": "WeighKeys",
}  # fmt: skip


UNDER = {
    "Under `steel`:": "SteelKeys",
    "Under `block`:": "BlockKeys",
    "Under `drain`:": "DrainKeys",
    "Under `fill`:": "FillKeys",
    "Under `forms`:": "FormsKeys",
}


def documented_defaults() -> dict[str, dict[str, str]]:
    """Read the last column of the tables of docs/job-file.md."""
    found: dict[str, dict[str, str]] = {}
    model = None
    for line in (ROOT / "docs/job-file.md").read_text(encoding="utf-8").splitlines():
        heading = re.fullmatch(r"#+ (.*)", line)
        if heading:
            model = HEADINGS.get(heading[1])
        model = UNDER.get(line, model)
        cells = [cell.strip() for cell in line.strip().strip("|").split(" | ")]
        if model is None or not line.startswith("| `") or len(cells) != 3:
            continue
        keys = re.findall(r"`(\w+)`", cells[0])
        parts = [cells[2]] * len(keys)
        for between in (", ", "; "):
            if len(keys) > 1 and cells[2].count(between) == len(keys) - 1:
                parts = cells[2].split(between)
        for key, part in zip(keys, parts, strict=True):
            found.setdefault(model, {})[key] = part.replace("`", "").strip()
    return found


def test_defaults_are_shown_in_the_words_of_the_job_files_page() -> None:
    documented = documented_defaults()
    assert sum(map(len, LEFT_OUT.values())) > 110
    for model, keys in LEFT_OUT.items():
        for key, said in keys.items():
            assert documented[model][key] == said, (model, key)


def test_the_command_refuses_what_it_cannot_open(tmp_path: Path) -> None:
    run = CliRunner()
    done = run.invoke(main, ["desk", str(tmp_path), "--no-browser"])
    assert (done.exit_code, done.stdout) == (4, "")
    assert "is a folder; name a file in it" in done.stderr
    done = run.invoke(main, ["desk", str(tmp_path / "none" / "job.yaml"), "--no-browser"])
    assert (done.exit_code, done.stdout) == (4, "")
    assert "there is no folder" in done.stderr
    (tmp_path / "x.yaml").write_bytes(b"\xff\xfe")
    done = run.invoke(main, ["desk", str(tmp_path / "x.yaml"), "--no-browser"])
    assert (done.exit_code, done.stdout) == (3, "")
    assert "this is not UTF-8 text" in done.stderr


def test_a_port_that_is_taken_is_told(running: Running, tmp_path: Path) -> None:
    given = ["desk", str(tmp_path / "job.yaml"), "--no-browser", "--port", str(running.port)]
    done = CliRunner().invoke(main, given)
    assert (done.exit_code, done.stdout) == (4, "")
    assert f"the desk cannot listen on port {running.port}" in done.stderr
    assert "give another --port" in done.stderr
