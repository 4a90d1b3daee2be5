"""Draws docs/pictures anew from the tool's own files; run on request, never by the tests.

``python tests/render_pictures.py`` lays out each demo job, and steps the one on a slope, then
draws what is on the paper of the DXF with ezdxf's drawing add-on, a page of the sheets with
poppler's pdftoppm, and the page for the phone as a browser shows it (``CHROMIUM`` names it).
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts import Paperspace

ROOT = Path(__file__).resolve().parent.parent
JOBS = ("orchard-workshop", "boat-shed", "hillside-lot")
PROFILES = {"hillside-lot": "1 A-B"}
"""Jobs with a grade section, and the sheet of the profile that is shown."""
CARDS = "Cards"
"""The sheet whose first page is shown: the first two corners."""
SHOWN = {"hillside-lot": ("Dig", "hillside-lot-dig.png")}
"""The sheet that the README shows, and its picture."""
SHEET_DOTS_PER_INCH = 90
PHONE = (360, 640)
DOTS_PER_INCH = 130
MM_PER_INCH = 25.4


def drawing_of(job: Path, arguments: tuple[str, ...], name: str) -> Drawing:
    """Run the tool on a job and read back one of the drawings it writes."""
    from ezdxf.filemanagement import readfile

    with tempfile.TemporaryDirectory() as folder:
        run(job, arguments, Path(folder))
        return readfile(Path(folder) / name)


def run(job: Path, arguments: tuple[str, ...], folder: Path) -> None:
    """Run the tool on a job."""
    command = "from staking.cli import main; main()"
    done = subprocess.run(
        [sys.executable, "-c", command, *arguments, str(job), "--out", str(folder)],
        check=False,
        cwd=ROOT,
        capture_output=True,
        text=True,
    )
    if done.returncode:
        raise SystemExit(done.stderr)


def draw_sheet(sheet: Path, picture: Path, title: str = CARDS) -> None:
    """Draw the first page of one of the sheets to a PNG file, in greys."""
    from pypdf import PdfReader

    words = ["pdftoppm", "-png", "-gray", "-singlefile", "-r", str(SHEET_DOTS_PER_INCH)]
    reader = PdfReader(sheet)
    begins = {each["/Title"]: reader.get_destination_page_number(each) for each in reader.outline}
    page = str(begins[title] + 1)
    pages = ["-f", page, "-l", page]
    subprocess.run([*words, *pages, str(sheet), str(picture.with_suffix(""))], check=True)


def photograph(page: Path, picture: Path) -> None:
    """Take pictures of the page's plan and, with levels, of its first card, on a phone."""
    from playwright.sync_api import sync_playwright

    browser = os.environ.get("CHROMIUM", "/usr/bin/chromium")
    with sync_playwright() as play:
        opened = play.chromium.launch(executable_path=browser, args=["--no-sandbox"])
        phone = opened.new_page(
            viewport={"width": PHONE[0], "height": PHONE[1]}, device_scale_factor=1.5
        )
        phone.goto(page.as_uri())
        shown = [("plan", "")]
        if phone.locator("#reading").count():
            # a card says most where there are levels
            shown.append(("card/0", "-card"))
            phone.locator("#reading-type").click()
            phone.locator("#pad-text").fill("5 2 3/8")
            phone.locator("#pad-take").click()
        for place, end in shown:
            phone.evaluate("(place) => { location.hash = `place-${place}`; }", place)
            phone.wait_for_timeout(300)
            phone.evaluate("scrollTo(0, document.getElementById('main').offsetTop - 60)")
            phone.screenshot(path=picture.with_stem(f"{picture.stem}{end}"))
        opened.close()


def draw_paper(document: Drawing, paper: Paperspace, picture: Path) -> None:
    """Draw a sheet, as it lies on paper, to a PNG file."""
    import matplotlib as mpl

    mpl.use("Agg")
    from ezdxf.addons.drawing import RenderContext
    from ezdxf.addons.drawing.config import BackgroundPolicy, ColorPolicy, Configuration
    from ezdxf.addons.drawing.frontend import UniversalFrontend
    from ezdxf.addons.drawing.matplotlib import MatplotlibBackend
    from ezdxf.addons.drawing.pipeline import RenderPipeline2d
    from matplotlib import pyplot

    class PaperPipeline(RenderPipeline2d):
        """Shows linetypes through the window at the window's scale, as $PSLTSCALE 0 asks."""

        def get_vp_ltype_scale(self) -> float:
            return self.current_vp_scale

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


def draw_carried(name: str, pictures: Path) -> None:
    """Draw what is carried to the site of a demo job: a page of the sheets, the phone's page."""
    with tempfile.TemporaryDirectory() as folder:
        run(ROOT / "fixtures" / name / "job.yaml", ("layout", "--only", "pdf,html"), Path(folder))
        draw_sheet(Path(folder) / "sheet.pdf", pictures / f"{name}-corners.png")
        photograph(Path(folder) / "page.html", pictures / f"{name}-page.png")
        if name in SHOWN:
            title, picture = SHOWN[name]
            draw_sheet(Path(folder) / "sheet.pdf", pictures / picture, title)


def main() -> None:
    """Draw every demo's plan, two corners and phone page, and a profile of the one on a slope."""
    pictures = ROOT / "docs" / "pictures"
    for name in JOBS:
        document = drawing_of(
            ROOT / "fixtures" / name / "job.yaml", ("layout", "--only", "dxf"), "plan.dxf"
        )
        sheet = next(each.name for each in document.layouts if each.name != "Model")
        draw_paper(document, document.paperspace(sheet), pictures / f"{name}.png")
        draw_carried(name, pictures)
    for name, sheet in PROFILES.items():
        document = drawing_of(ROOT / "fixtures" / name / "job.yaml", ("grade",), "grade.dxf")
        draw_paper(document, document.paperspace(sheet), pictures / f"{name}-profile.png")


if __name__ == "__main__":
    main()
