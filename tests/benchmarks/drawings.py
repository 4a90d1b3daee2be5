"""Plans, sheets and the page beside the library's drawing of the plan's file."""

from __future__ import annotations

import os
import sys
from io import BytesIO, StringIO
from pathlib import Path

# As the command does, before NumPy is loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path.insert(0, str(Path(__file__).resolve().parent))
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from plans import comb, options
from timing import interleaved_seconds, say

ROOT = Path(__file__).resolve().parents[2]


def time_plans() -> None:
    """Draw the hillside lot's plan and take its picture; beside the library drawing the file."""
    from staking.output.drawing.plan_drawing import document_of, draw_plan
    from staking.output.pictures.picture import paper_picture
    from staking.output.pictures.svg_and_png import svg_text
    from staking.project.layout import lay_out_job, load_job
    from tests.output.library_picture import library_picture

    layout = lay_out_job(load_job(ROOT / "fixtures" / "hillside-lot" / "job.yaml"))
    plan = draw_plan(layout)
    picture, file, library = interleaved_seconds(
        (
            lambda: svg_text(paper_picture(plan)),
            lambda: document_of(plan),
            lambda: library_picture(document_of(plan)),
        ),
        rounds=5,
    )
    say("plan.svg of a drawn plan / the library's drawing of its file", picture / library, 0.1)
    say("the same / making the file alone", picture / file, 0.25)


def time_papers(corners: int = 200) -> None:
    """All sheets and the page of a building of many corners; beside the library's drawing."""
    from staking.job.build import Job
    from staking.output.drawing.plan_drawing import document_of, draw_plan
    from staking.output.page.phone_page import write_page
    from staking.output.sheet.sheet_pdf import write_sheet
    from staking.project.resolve import resolve
    from staking.project.sheets import prepare_sheets
    from tests.output.library_picture import library_picture

    resolved = resolve(Job(plan=comb(corners), options=options(), notices=()))
    plan = draw_plan(resolved.layout)

    def papers() -> None:
        sheets = prepare_sheets(resolved)
        write_sheet(sheets, BytesIO())
        write_page(sheets, StringIO(), plan)

    made, drawn, library = interleaved_seconds(
        (
            papers,
            lambda: draw_plan(resolved.layout),
            lambda: library_picture(document_of(plan)),
        ),
        rounds=2,
    )
    say(f"all papers of {corners} corners / the library's drawing of the plan", made / library, 8)
    say("drawing the plan, words placed / the same", drawn / library, 2)


def main() -> None:
    """Time the picture and the papers."""
    time_plans()
    time_papers()


if __name__ == "__main__":
    main()
