"""The lot's tables and what the lists say of it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from staking.laid_out.first_things import first_things
from staking.output.blocks import Table
from staking.output.sheet.ticked.tick_lists import before_the_dig
from staking.output.tables.site_tables import site_blocks
from staking.output.wording import Words
from staking.plan import Pad
from staking.project.layout import lay_out_job, load_job
from staking.project.sheets import Sheets
from staking.site.site_results import HandDig

JOB = Path(__file__).parents[2] / "fixtures" / "hillside-lot" / "job.yaml"


def test_a_pad_beside_a_buried_line_is_dug_by_hand_as_a_whole() -> None:
    done = lay_out_job(load_job(JOB))
    assert done.site is not None
    pad = Pad(name="P1", x=-3.0, y=2.0, thickness=0.25, size=(0.6, 0.6), diameter=None)
    found = (
        HandDig(name="gas line", wall="A-F", start=3.048, end=6.096),
        HandDig(name="gas line", wall="P1", start=-0.15, end=0.6),
    )
    done = replace(
        done, plan=replace(done.plan, pads=(pad,)), site=replace(done.site, hand_dig=found)
    )
    blocks = site_blocks(done, Words(done.options))
    (table,) = [each for each in blocks if each.title.startswith("Dig these by hand")]
    assert isinstance(table, Table)
    assert table.rows == (
        ("gas line", "A-F", "10' 0\"", "20' 0\""),
        ("gas line", "P1", "all of it", ""),
    )
    said = before_the_dig(Sheets(layout=done, first=first_things(done))).lines
    assert "Dig by hand for gas line along A-F, from 10' 0\" to 20' 0\" from A." in said
    assert "Dig all of P1 by hand for gas line." in said
