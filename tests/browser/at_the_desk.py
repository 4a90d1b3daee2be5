"""Somebody in front of an open desk in a real browser."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Locator, Page

from staking.desk.desk_server import Desk


class AtTheDesk:
    """Somebody in front of an open desk, who counts what they type and tap."""

    def __init__(self, page: Page, desk: Desk, path: Path) -> None:
        self.page = page
        self.desk = desk
        self.path = path
        self.entries = 0
        self.said: list[str] = []
        self.asked: list[str] = []

    def wait(self) -> None:
        self.page.wait_for_selector("body[data-busy='false']")

    def box(self, *legends: str) -> Locator:
        found: Locator = self.page.locator("#questions")
        for legend in legends:
            found = found.get_by_role("group", name=legend, exact=True)
        return found

    def fill(self, label: str, text: str, *legends: str) -> None:
        self.entries += 1
        field = self.box(*legends).get_by_label(label, exact=True).first
        if field.evaluate("(e) => e.tagName") == "SELECT":
            field.select_option(label=text)
        else:
            field.fill(text)
        self.wait()

    def tap(self, name: str, *legends: str) -> None:
        self.entries += 1
        inside = self.box(*legends) if legends else self.page
        inside.get_by_role("button", name=name, exact=True).first.click()
        self.wait()

    def topic(self, name: str) -> None:
        self.entries += 1
        self.page.locator("#topics").get_by_role("button", name=name).click()

    def tap_plan(self, kind: str, name: str) -> None:
        self.entries += 1
        shape = self.page.locator(f'.touch polygon[data-kind="{kind}"][data-name="{name}"]')
        shape.dispatch_event("click")

    def text(self) -> str:
        return self.path.read_text(encoding="utf-8")


Sit = Callable[..., AtTheDesk]
