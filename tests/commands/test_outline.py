"""``staking outline`` as it is typed: layers, the traced outline, the job file, and refusals."""

from __future__ import annotations

import json
from pathlib import Path

import ezdxf
import jsonschema
import pyogrio
import pytest
import shapely
from click.testing import CliRunner, Result

from staking.cli import main
from staking.job.build import read_job

ROOT = Path(__file__).parents[2]
OPEN_DRAWING = ROOT / "tests" / "data" / "surveys" / "dxf_large_building_outline_with_geodata.dxf"


def run(*words: object) -> Result:
    return CliRunner().invoke(main, ["outline", *map(str, words)])


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    """36' x 24' in inches, an 8" wall, a 20" footing 6" past it, two dimensions; invented."""
    doc = ezdxf.new("R2010", setup=True)
    doc.header["$INSUNITS"] = 1
    space = doc.modelspace()
    for layer, by in (("WALL", 0), ("WALL", -8), ("FTG", 6), ("FTG", -14)):
        ring = [(-by, -by), (432 + by, -by), (432 + by, 288 + by), (-by, 288 + by)]
        space.add_lwpolyline(ring, close=True, dxfattribs={"layer": layer})
    space.add_linear_dim(
        base=(0, -40), p1=(0, 0), p2=(432, 0), text="36'-0\"", dimstyle="EZDXF"
    ).render()
    path = tmp_path / "plan.dxf"
    doc.saveas(path)
    return path


def test_without_a_layer_the_layers_are_listed(plan: Path) -> None:
    result = run(plan)
    assert result.exit_code == 0
    assert result.stderr == ""
    assert [line.split()[0] for line in result.stdout.splitlines()[3:5]] == ["FTG", "WALL"]
    assert "864.00 sq ft  36' 0\"  24' 0\"" in result.stdout
    assert "the drawing is in inches, as its dimensions' texts say" in result.stdout


def test_the_job_file_that_is_written_holds_the_outline_and_runs(
    plan: Path, tmp_path: Path
) -> None:
    job = tmp_path / "job.yaml"
    result = run(plan, "--layer", "wall", "--footing-layer", "ftg", "--to", job)
    assert result.exit_code == 0
    assert result.stderr == ""
    assert f"run: staking layout\n  {job}\n" in result.stdout
    assert result.stdout.endswith(f"File:\n  {job}\n")
    (building,) = read_job(job).plan.buildings
    assert [corner.name for corner in building.corners] == ["A", "B", "C", "D"]
    flat = [number for corner in building.corners for number in corner.point]
    # 36' is 10.9728 m and 24' 7.3152 m.
    assert flat == pytest.approx([0, 0, 10.9728, 0, 10.9728, 7.3152, 0, 7.3152], rel=0, abs=1e-9)
    wall = building.walls[0]
    assert (wall.thickness, wall.footing.width, wall.footing.outside) == pytest.approx(
        (0.2032, 0.508, 0.1524), rel=0, abs=1e-9
    )
    laid_out = CliRunner().invoke(main, ["layout", str(job), "--out", str(tmp_path / "out")])
    assert laid_out.exit_code == 0


def test_a_job_file_that_is_there_is_never_written_over(plan: Path, tmp_path: Path) -> None:
    job = tmp_path / "job.yaml"
    job.write_text("mine", encoding="utf-8")
    result = run(plan, "--layer", "WALL", "--to", job)
    assert (result.exit_code, result.stdout) == (4, "")
    assert "is there already and was left as it is" in result.stderr
    assert job.read_text(encoding="utf-8") == "mine"


def test_the_document_keeps_its_schema(plan: Path) -> None:
    schema = json.loads((ROOT / "docs" / "outline.schema.json").read_text(encoding="utf-8"))
    for words in ((), ("--layer", "WALL", "--footing-layer", "FTG")):
        result = run(plan, *words, "--json")
        assert result.exit_code == 0
        document = json.loads(result.stdout)
        jsonschema.validate(document, schema)
    assert document["unit"] == "in"
    assert [(c["x"], c["y"]) for c in document["corners"]] == [
        pytest.approx(pair, rel=0, abs=1e-5) for pair in ((0, 0), (432, 0), (432, 288), (0, 288))
    ]
    assert document["footing"] == {
        "width": pytest.approx(20, abs=1e-4),
        "outside": pytest.approx(6, abs=1e-4),
    }


def test_the_open_drawings_area_is_that_of_its_raw_lines() -> None:
    # A second program reads the same file: GDAL through pyogrio, and shapely its raw lines.
    _, _, geometries, _ = pyogrio.raw.read(OPEN_DRAWING)
    lines = [part for each in shapely.from_wkb(geometries) for part in shapely.get_parts(each)]
    lines = [each for each in lines if each.geom_type == "LineString"]
    faces = shapely.get_parts(shapely.polygonize([shapely.union_all(lines)]))
    area = shapely.union_all(faces).area
    document = json.loads(run(OPEN_DRAWING, "--layer", "0", "--json").stdout)
    assert document["area"] == pytest.approx(area, rel=1e-6)
    assert len(document["corners"]) == 15


@pytest.mark.parametrize(
    ("words", "status", "said"),
    [
        (["house.dwg"], 3, "a .dwg file is in a format that is not open, and is not read"),
        (["nothing.dxf"], 3, "there is no file; name the drawing's DXF file"),
        (["plan.dxf", "--layer", "S"], 3, "nothing is drawn on a layer S; there are: FTG, WALL"),
        (["plan.dxf", "--footing-layer", "FTG"], 2, "name the walls' layer with --layer first"),
        (["plan.dxf", "--layer", "WALL", "--close", "wide"], 3, "--close: wide is not a length"),
    ],
)
def test_what_cannot_be_done_is_one_sentence(
    plan: Path, monkeypatch: pytest.MonkeyPatch, words: list[str], status: int, said: str
) -> None:
    monkeypatch.chdir(plan.parent)
    result = run(*words)
    assert (result.exit_code, result.stdout) == (status, "")
    assert said in result.stderr


@pytest.mark.parametrize(
    ("name", "begins", "said"),
    [
        ("plan.pdf", b"%PDF-1.7\n",
         "plan.pdf: this is a PDF document, which is not read; ask whoever made it for the points "
         "as text or LandXML, or for the drawing as DXF\n"),
        ("plan.dxf", b"AC1032\0\0\0\0\0",
         "plan.dxf: this is a drawing in its program's own form, which is not read; save it as "
         "DXF\n"),
        ("plan.ifc", b"ISO-10303-21;\n",
         "plan.ifc: this is a building model, which is not read; export its plan as DXF\n"),
    ],
)  # fmt: skip
def test_a_plan_in_another_format_is_told_by_its_content(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, begins: bytes, said: str
) -> None:
    monkeypatch.chdir(tmp_path)
    Path(name).write_bytes(begins)
    result = run(name)
    assert (result.exit_code, result.stdout, result.stderr) == (3, "", said)
