"""A real browser, offline, with every message it prints and every request it makes noted.

`CHROMIUM` names the browser (``/usr/bin/chromium`` by default), `AXE` the accessibility rules,
``axe.min.js`` of the npm package axe-core.
"""

from __future__ import annotations

import io
import os
import shutil
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

from staking.commands.desk import make_files
from staking.commands.layout_files import FILES
from staking.desk.desk_server import Desk
from staking.job.build import Job
from staking.measure.lengths import parse_length
from staking.output.page.phone_page import write_page
from staking.project.layout import load_job
from staking.project.resolve import resolve
from staking.project.sheets import prepare_sheets
from tests.browser.accessibility import Accessibility
from tests.browser.at_the_desk import AtTheDesk, Sit

PHONE, DESKTOP = (360, 640), (1280, 900)
WIDEST_TOUCHED = 800
PATIENCE = 120_000
"""How long is waited for what must come, ms: a busy machine is slow, and slow is no fault."""
expect.set_options(timeout=PATIENCE)
ALONE = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)

ROOT = Path(__file__).parents[2]
SHED = """\
job: Plum shed
units: ft
building:
  rectangle: 36' x 24'
  wall: 8"
  footing: {width: 20", thickness: 10"}
"""


@dataclass
class Opened:
    """A page that is open, with its job and file, and what the browser said meanwhile."""

    page: Page
    job: Job
    path: Path
    job_path: Path
    said: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)

    def answer(self) -> list[str]:
        return self.page.locator("#answer p").all_inner_texts()

    def kind(self) -> str:
        return self.page.locator("#answer").get_attribute("class") or ""

    def go(self, place: str) -> None:
        """Go to a place of the page, as a tap on the bar or on a card does."""
        self.page.evaluate(
            """(place) => new Promise((shown) => {
              const before = location.hash;
              location.hash = `place-${place}`;
              if (location.hash === before) shown();
              else window.addEventListener("hashchange", () => shown(), {once: true});
            })""",
            place,
        )

    def views(self) -> Iterator[str]:
        """Show every place in turn with all parts open, then some cards."""
        bar = self.page.locator("#bar a").all()
        places = [str(link.get_attribute("href")).removeprefix("#place-") for link in bar]
        cards = len(self.page.evaluate("stakingPage.job.cards"))
        for place in (*places, *(f"card/{at}" for at in sorted({0, cards // 2, cards - 1}))):
            self.go(place)
            self.open_all()
            yield place

    def type_rod(self, text: str) -> None:
        """Type in the head what the rod reads."""
        self.page.locator("#reading-type").click()
        self.page.locator("#pad-text").fill(text)
        self.page.locator("#pad-take").click()

    def read(self, **tapes: str) -> None:
        self.go("tapes")
        for pair, text in tapes.items():
            self.page.locator("#tapes").get_by_label(f"{pair.replace('_', ' - ')},").fill(text)

    def open_all(self) -> None:
        self.page.evaluate(
            "document.querySelectorAll('details').forEach((e) => { e.open = true; })"
        )

    def set_readings(self, readings: dict[str, str]) -> None:
        """Put these readings in the boxes and nothing in the others, as typing does."""
        self.page.evaluate(
            """(readings) => {
              const boxes = [...document.querySelectorAll("[data-tape]")];
              for (const box of boxes) {
                const tape = stakingPage.job.tapes[Number(box.dataset.tape)];
                box.value = readings[`${tape.from}-${tape.to}`] ?? "";
              }
              boxes[0].dispatchEvent(new Event("input", {bubbles: true}));
            }""",
            readings,
        )

    def moves(self) -> dict[tuple[str, str], float]:
        """Read the moves off the answer: by corner and way, m."""
        found = {}
        for line in self.answer():
            if not line.startswith("Move "):
                continue
            names, both, rest = line.removeprefix("Move ").rstrip(".").partition(" both ")
            if both:
                text, _, way = rest.partition(" toward ")
                length = parse_length(text)
                for name in names.split(" and "):
                    key = (
                        name,
                        way
                        if name != way
                        else f"away from {names.replace(way, '').replace(' and ', '')}",
                    )
                    found[key] = length
                continue
            corner, _, steps = names.partition(" ")
            for step in steps.split(" and "):
                text, _, way = step.replace(" away from ", " toward away from ").partition(
                    " toward "
                )
                found[corner, way] = parse_length(text)
        return found


Open = Callable[..., Opened]


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    path = os.environ.get("CHROMIUM", "/usr/bin/chromium")
    with sync_playwright() as play:
        found = play.chromium.launch(executable_path=path, args=list(ALONE))
        yield found
        found.close()


@pytest.fixture(scope="session")
def made_pages() -> dict[str, str]:
    """Pages written already, by their job's text."""
    return {}


@pytest.fixture
def open_page(browser: Browser, tmp_path: Path, made_pages: dict[str, str]) -> Iterator[Open]:
    contexts: list[BrowserContext] = []
    pages: list[Opened] = []

    def opened(
        text: str = SHED,
        size: tuple[int, int] = PHONE,
        scheme: str = "light",
        again: Opened | None = None,
    ) -> Opened:
        if again is None:
            number = len(contexts)
            job_path = tmp_path / f"job-{number}.yaml"
            job_path.write_text(text, encoding="utf-8")
            contexts.append(
                browser.new_context(
                    viewport={"width": size[0], "height": size[1]},
                    has_touch=size[0] <= WIDEST_TOUCHED,
                    color_scheme=scheme,
                    offline=True,
                    accept_downloads=True,
                )
            )
            context, path = contexts[-1], tmp_path / f"page-{number}.html"
        else:
            # the same phone, the same folder; the job may have changed
            context, job_path, path = again.page.context, again.job_path, again.path
            job_path.write_text(text, encoding="utf-8")
        job = load_job(job_path)
        # the same text gives the same page, but for a lot's survey beside the job
        if text not in made_pages:
            written = io.StringIO()
            write_page(prepare_sheets(resolve(job)), written)
            made_pages[text] = written.getvalue()
        path.write_text(made_pages[text], encoding="utf-8", newline="")
        made = Opened(page=context.new_page(), job=job, path=path, job_path=job_path)
        made.page.set_default_timeout(PATIENCE)
        made.page.on("console", lambda message: made.said.append(message.text))
        made.page.on("pageerror", lambda error: made.said.append(str(error)))
        made.page.on("request", lambda request: made.asked.append(request.url))
        made.page.goto(path.as_uri())
        pages.append(made)
        return made

    yield opened
    for each in pages:
        assert each.said == []
        assert {url.partition(":")[0] for url in each.asked} <= {"file", "data", "blob"}
    for context in contexts:
        context.close()


@pytest.fixture(params=[PHONE, DESKTOP], ids=["phone", "desktop"])
def size(request: pytest.FixtureRequest) -> tuple[int, int]:
    return request.param


@pytest.fixture(scope="session")
def axe() -> Accessibility:
    return Accessibility(Path(os.environ["AXE"]).read_text(encoding="utf-8"))


@pytest.fixture
def sit(browser: Browser, tmp_path: Path) -> Iterator[Sit]:
    seats: list[tuple[AtTheDesk, threading.Thread]] = []

    def sit_down(
        text: str | None = None,
        size: tuple[int, int] = DESKTOP,
        files: tuple[Path, ...] = (),
        scheme: str = "light",
    ) -> AtTheDesk:
        path = tmp_path / "job.yaml"
        if text is not None:
            path.write_text(text, encoding="utf-8")
        for each in files:
            shutil.copy(each, tmp_path)
        desk = Desk(path, make_files, FILES.values())
        thread = threading.Thread(target=desk.serve, daemon=True)
        thread.start()
        context = browser.new_context(
            viewport={"width": size[0], "height": size[1]}, color_scheme=scheme
        )
        page = context.new_page()
        page.set_default_timeout(PATIENCE)
        seat = AtTheDesk(page, desk, path)
        page.on("console", lambda message: seat.said.append(message.text))
        page.on("pageerror", lambda error: seat.said.append(str(error)))
        page.on("request", lambda request: seat.asked.append(request.url))
        page.goto(desk.address)
        page.wait_for_selector("#plan[data-drawn]", timeout=PATIENCE)
        seat.wait()
        seats.append((seat, thread))
        return seat

    yield sit_down
    for seat, thread in seats:
        seat.page.context.close()
        seat.desk.stop()
        thread.join(20)
        assert seat.said == []
        own = (seat.desk.keeper.origin, f"blob:{seat.desk.keeper.origin}")
        assert [url for url in seat.asked if not url.startswith(own)] == []
