"""Draws docs/pictures anew from the tool's own plan.dxf; run on request, never by the tests.

``python tests/render_pictures.py`` lays out each demo job, then draws what is on the paper of
its DXF with ezdxf's drawing add-on.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ezdxf.layouts import Paperspace

ROOT = Path(__file__).resolve().parent.parent
JOBS = ("orchard-workshop", "boat-shed", "hillside-lot")
DOTS_PER_INCH = 130
MM_PER_INCH = 25.4


def draw_plan(job: Path, picture: Path) -> None:
    """Lay out a job and draw its plan, as it lies on paper, to a PNG file."""
    import matplotlib as mpl

    mpl.use("Agg")
    from ezdxf.addons.drawing import RenderContext
    from ezdxf.addons.drawing.config import BackgroundPolicy, ColorPolicy, Configuration
    from ezdxf.addons.drawing.frontend import UniversalFrontend
    from ezdxf.addons.drawing.matplotlib import MatplotlibBackend
    from ezdxf.addons.drawing.pipeline import RenderPipeline2d
    from ezdxf.filemanagement import readfile
    from matplotlib import pyplot

    class PaperPipeline(RenderPipeline2d):
        """Shows linetypes through the window at the window's scale, as $PSLTSCALE 0 asks."""

        def get_vp_ltype_scale(self) -> float:
            return self.current_vp_scale

    with tempfile.TemporaryDirectory() as folder:
        command = "from staking.cli import main; main()"
        arguments = ["layout", str(job), "--out", folder, "--only", "dxf"]
        done = subprocess.run(
            [sys.executable, "-c", command, *arguments],
            check=False,
            cwd=ROOT,
            capture_output=True,
            text=True,
        )
        if done.returncode:
            raise SystemExit(done.stderr)
        document = readfile(Path(folder) / "plan.dxf")
    paper = next(each for each in document.layouts if each.name != "Model")
    figure = pyplot.figure()
    axes = figure.add_axes((0, 0, 1, 1))
    settings = Configuration(
        background_policy=BackgroundPolicy.WHITE,
        color_policy=ColorPolicy.COLOR,
        min_dash_length=0.001,
    )
    pipeline = PaperPipeline(MatplotlibBackend(axes))
    frontend = UniversalFrontend(RenderContext(document), pipeline, config=settings)
    frontend.draw_layout(paper, finalize=True)
    figure.set_size_inches(*paper_inches(paper))
    picture.parent.mkdir(parents=True, exist_ok=True)
    figure.savefig(picture, dpi=DOTS_PER_INCH, facecolor="white")
    pyplot.close(figure)


def paper_inches(paper: Paperspace) -> tuple[float, float]:
    """Return the width and height of the sheet."""
    scale = 1 / MM_PER_INCH
    width, height = paper.dxf.paper_width * scale, paper.dxf.paper_height * scale
    return (height, width) if paper.dxf.plot_rotation in {1, 3} else (width, height)


def main() -> None:
    """Draw the picture of every demo job."""
    for name in JOBS:
        draw_plan(ROOT / "fixtures" / name / "job.yaml", ROOT / "docs" / "pictures" / f"{name}.png")


if __name__ == "__main__":
    main()
