"""Files brought to the desk in a real browser: drawings traced, surveys and deeds looked at."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import expect

from tests.browser.at_the_desk import AtTheDesk, Sit
from tests.browser.conftest import PHONE

ROOT = Path(__file__).parents[2]
DROP = """([name, text]) => {
  const brought = new DataTransfer();
  brought.items.add(new File([text], name));
  for (const kind of ["dragover", "drop"]) {
    const given = { dataTransfer: brought, bubbles: true, cancelable: true };
    document.querySelector("#questions").dispatchEvent(new DragEvent(kind, given));
  }
}"""
DEED = (
    "Beginning at a pin; thence N 88 30 15 E 120'; thence S 1 29 45 E 95'; "
    "thence S 88 30 15 W 120'; thence N 1 29 45 W 95' to the point of beginning"
)


def drop(seat: AtTheDesk, name: str, text: str) -> None:
    seat.page.evaluate(DROP, [name, text])


def designers_drawing(folder: Path) -> Path:
    """Draw an L of walls in inches, a door swing, and a title."""
    import ezdxf

    doc = ezdxf.new("R2010")
    doc.header["$INSUNITS"] = 1
    space = doc.modelspace()
    ring = [(100, 50), (532, 50), (532, 338), (388, 338), (388, 434), (100, 434)]
    space.add_lwpolyline(ring, close=True, dxfattribs={"layer": "WALL"})
    space.add_arc((300, 200), 36, 0, 90, dxfattribs={"layer": "DOOR"})
    space.add_line((0, 0), (700, 0), dxfattribs={"layer": "TITLE"})
    path = folder / "designer.dxf"
    doc.saveas(path)
    return path


def test_the_outline_comes_from_a_designers_drawing(sit: Sit, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    drawing = designers_drawing(tmp_path / "elsewhere")
    seat = sit()
    seat.topic("The building")
    seat.tap("From a drawing")
    seat.page.get_by_label("The designer's drawing, a DXF file").set_input_files(drawing)
    expect(seat.page.locator("#drawn .layer")).to_have_count(3)
    assert seat.page.locator("#drawn .traced").count() == 0
    # A finger on a wall of the drawing: the left one, which is drawn first.
    shape = seat.page.locator('#drawn .layer[data-layer="WALL"] .line').bounding_box()
    assert shape is not None
    seat.page.mouse.click(shape["x"], shape["y"] + shape["height"] / 2)
    expect(seat.page.locator("#traced-state")).to_contain_text("Traced")
    button = seat.page.get_by_role("button", name="WALL", exact=True)
    assert button.get_attribute("aria-pressed") == "true"
    # The outline lies on the walls as they are drawn: 432 by 384 of the drawing's inches.
    box = "(e) => { const b = e.getBBox(); return [b.x, b.y, b.width, b.height]; }"
    traced = seat.page.locator("#drawn .traced polygon").evaluate(box)
    walls = seat.page.locator('#drawn .layer[data-layer="WALL"] .line').evaluate(box)
    assert traced == walls
    assert traced[2:] == [432, 384]
    assert seat.page.locator("#drawn .traced text").all_text_contents() == list("ABCDEF")
    seat.tap("Take this outline")
    assert seat.page.get_by_label("Corner D", exact=True).input_value() == "24' 0\", 24' 0\""
    assert seat.page.locator('.touch polygon[data-name="E-F"]').count() == 1


def test_a_dropped_drawing_is_asked_about_and_may_be_left(sit: Sit, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    text = designers_drawing(tmp_path / "elsewhere").read_text(encoding="utf-8")
    seat = sit()
    drop(seat, "plan.dxf", text)
    expect(seat.page.locator("#brought-said")).to_contain_text("What is drawn in it?")
    seat.tap("The building's outline")
    expect(seat.page.locator("#drawn .layer")).to_have_count(3)
    seat.tap("Leave it as it was")
    assert seat.page.locator("#drawn").count() == 0
    assert seat.page.locator("#state").inner_text() == "Not on file yet."
    assert (seat.path.parent / "plan.dxf").read_text(encoding="utf-8") == text


def test_a_dropped_survey_is_shown_on_a_map_before_it_is_used(sit: Sit) -> None:
    seat = sit(size=PHONE)
    drop(seat, "lot.csv", (ROOT / "fixtures/hillside-lot/lot.csv").read_text(encoding="utf-8"))
    expect(seat.page.locator("#looked .drawn")).to_contain_text("North is up")
    assert seat.page.locator("#questions h2").inner_text() == "The lot"
    assert seat.page.get_by_label("Survey", exact=True).input_value() == ""
    seat.tap("Leave it beside the job")
    assert seat.page.locator("#looked").count() == 0
    assert seat.page.get_by_label("Survey", exact=True).input_value() == ""


def test_a_dropped_deed_is_drawn_before_it_is_the_boundary(sit: Sit) -> None:
    seat = sit()
    drop(seat, "deed.txt", DEED)
    shape = seat.page.locator("#looked polygon")
    expect(shape).to_have_count(1)
    # 120' by 95', turned by a degree and a half.
    width, height = shape.evaluate("(e) => [e.getBBox().width, e.getBBox().height]")
    assert abs(width - 122.44 * 0.3048) < 0.02
    assert abs(height - 98.10 * 0.3048) < 0.02
    seat.tap("Use this deed")
    seat.tap("Save")
    expect(seat.page.locator("#state")).to_have_text("Saved.")
    assert "  boundary:\n    deed: |\n" in seat.text()
    assert "N 88 30 15 E 120'" in seat.text()


def test_what_is_dropped_never_replaces_a_file_and_is_only_text(sit: Sit) -> None:
    seat = sit()
    (seat.path.parent / "lot.csv").write_text("mine", encoding="utf-8")
    drop(seat, "lot.csv", "1,2,3\n")
    expect(seat.page.locator("#brought-said")).to_contain_text("is there already and was left")
    assert (seat.path.parent / "lot.csv").read_text(encoding="utf-8") == "mine"
    seat.tap("Leave it")
    drop(seat, "<img src=x onerror=alert(1)>.csv", "1,2,3\n")
    expect(seat.page.locator("#brought-said")).to_contain_text("cannot be copied under its name")
    assert seat.page.locator("#brought img").count() == 0
    assert [each.name for each in seat.path.parent.iterdir()] == ["lot.csv"]
    seat.said = [each for each in seat.said if "422" not in each]


def test_a_second_building_stands_beside_the_first(sit: Sit) -> None:
    seat = sit((ROOT / "fixtures/orchard-workshop/job.yaml").read_text(encoding="utf-8"))
    said = [line for line in seat.text().splitlines() if "#" in line]
    seat.topic("The building")
    seat.tap("Add a building beside it")
    assert seat.page.evaluate("document.activeElement.value") == "building_2"
    seat.fill("Name", "shed")
    seat.fill("Shifted on the grid by", "62', 4'")
    assert seat.page.locator("#mend li").count() == 0
    # Six corners and G are taken; the new ones are called after them.
    assert seat.page.locator('.touch polygon[data-name="H-I"]').count() == 1
    seat.topic("Walls and footings")
    seat.fill("Building", "shed")
    seat.fill("Wall thickness", '10"')
    seat.tap("Save")
    expect(seat.page.locator("#state")).to_have_text("Saved.")
    text = seat.text()
    assert "buildings:\n  - corners:" in text
    assert "  - {name: shed, at: [62', 4']," in text
    assert 'wall: 10", footing: {width: 20", thickness: 10"}}' in text
    assert all(line.split("#", 1)[1] in text for line in said)
    seat.topic("The building")
    seat.tap("Take out shed")
    assert seat.page.locator('.touch polygon[data-name="H-I"]').count() == 0
