"""Fill under a slab is ordered, and said; so is the wall that holds it outward."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from staking.cli import main

# Ground 99' - x/20 from A along 36'; the underside of the slab's stone at 100'. By hand: floor
# 34' 8" x 22' 8" = 785.7778 sq ft; mean depth 1' + 18'/20 = 1.9'; 1,492.98 cu ft, 55.2955 cu yd;
# with 6" of topsoil off half a foot more, 69.8469. Deeper than 2' from x = 20' to the wall at
# 35' 4": 15 1/3 x 22 2/3 = 347.556 sq ft.
JOB = """job: Barn on a slope
building: {rectangle: 36' x 24', wall: 8", footing: {width: 20", thickness: 10"},
  slab: {top: 100' 8", thickness: 4", base: 4"}}
grade:
  ground: {A: 99', B: 97.2', C: 97.2', D: 99'}
  strip: STRIP
  top_of_wall: 101'
  frost_depth: 24"
"""


def said(folder: Path, command: str, strip: str, job: str = JOB) -> dict:
    path = folder / "job.yaml"
    path.write_text(job.replace("STRIP", strip), encoding="utf-8")
    ran = CliRunner().invoke(main, [command, str(path), "--json"])
    assert ran.exit_code in (0, 5), ran.stderr
    return json.loads(ran.stdout)


@pytest.mark.parametrize(
    ("strip", "yards", "mean"), [("0", 55.2955, "1' 10 13/16\""), ('6"', 69.8469, "2' 4 13/16\"")]
)
def test_fill_under_a_slab_is_said(tmp_path: Path, strip: str, yards: float, mean: str) -> None:
    order = said(tmp_path, "order", strip)
    items = {each["what"]: each for each in order["items"]}
    item, sand = items["fill under the slab, compacted"], items["sand under the slab, loose"]
    assert item["quantity"] == pytest.approx(yards, abs=5e-5)
    assert item["price"] is None
    # T17: bought 17 % looser.
    assert sand["quantity"] == pytest.approx({55.2955: 64.6957, 69.8469: 81.7209}[yards], abs=5e-5)
    assert (sand["price"], sand["order"] % 0.25) == ("fill", 0.0)
    (told,) = [each for each in order["warnings"] if "the ground is filled" in each]
    assert f"and {mean} on average over 785.78 sq ft, with sand" in told
    assert "only laid where the building department approves it (IRC R506.2.1," in told
    said_of = order["fill"]["under_slab"]
    assert said_of["compacted"] == item["quantity"]
    assert said_of["bought"] == sand["quantity"]
    if strip == "0":
        # 34' 8" less 8" along the floor: 100' - 97' 2 13/16" at the far wall, x = 35' 4".
        assert "up to 2' 9 3/16\" deep" in told
        assert "over 347.56 sq ft of it is deeper than 24 in" in told


def test_shallow_fill_is_said_without_a_word_on_approval(tmp_path: Path) -> None:
    job = JOB.replace("slab: {top: 100' 8\"", "slab: {top: 99' 6\"").replace("97.2'", "99'")
    (told,) = [
        each for each in said(tmp_path, "order", '6"', job)["warnings"] if "is filled" in each
    ]
    # 98' 10" less 98' 6" of ground without its topsoil.
    assert 'up to 4" deep' in told
    assert "R506.2.1" not in told


def test_nothing_is_said_where_the_ground_reaches_the_slab(tmp_path: Path) -> None:
    job = JOB.replace("slab: {top: 100' 8\"", "slab: {top: 97'")
    order = said(tmp_path, "order", "0", job)
    assert not any("fill under the slab" in each["what"] for each in order["items"])
    assert not any("the ground is filled" in each for each in order["warnings"])
    # 98' 8" less the slab of 8" with its stone: the ground stands up to 2' 8" too high.
    (told,) = [each for each in order["warnings"] if "over the underside of the slab's" in each]
    assert "it is cut away there, which the dig counts" in told


def test_a_wall_that_holds_fill_outward_is_warned_of(tmp_path: Path) -> None:
    # The slab's underside at 102' 4", the grade outside C-D down to 97' 2 3/8": 5' 1 5/8" and more.
    job = JOB.replace("top: 100' 8\"", "top: 102' 8\"").replace(
        "top_of_wall: 101'", "top_of_wall: 103'"
    )
    told = said(tmp_path, "grade", "0", job)["warnings"]
    (held,) = [each for each in told if each.startswith("B-C holds fill outward")]
    assert "the fill under the slab stands 5' 1 5/8\" above the grade outside" in held
    assert "over 4 ft (1.22 m) without permanent support at top or bottom" in held
    assert "(IRC R404.1.1)" in held
    # A foot lower than 2' over the outside nothing is said.
    low = JOB.replace("top: 100' 8\"", "top: 99'")
    assert not any(
        "holds fill outward" in each for each in said(tmp_path, "grade", "0", low)["warnings"]
    )
