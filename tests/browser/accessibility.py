"""What axe-core's rules find in what a page shows, and whether its parts refer to one another."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from playwright.sync_api import Page

SHOWN_ONLY = (Path(__file__).parent / "shown_only.js").read_text(encoding="utf-8")
EVERY_SCHEME = os.environ.get("EVERY_SCHEME") == "1"
"""Whether each width is looked at by day and by night, which takes twice as long."""


def widths_and_schemes(narrow: Any, wide: Any) -> list[tuple[Any, str]]:
    """The narrow page by day and the wide one by night; with `EVERY_SCHEME=1` both by both."""
    if EVERY_SCHEME:
        return [(width, scheme) for width in (narrow, wide) for scheme in ("light", "dark")]
    return [(narrow, "light"), (wide, "dark")]


class Accessibility:
    """The rules, to be put into a page that is open."""

    def __init__(self, rules: str) -> None:
        self._rules = rules

    def put_into(self, page: Page) -> None:
        """Put the rules into a page: from outside, so that no policy of the page is asked."""
        page.evaluate(self._rules)
        page.evaluate(f"{SHOWN_ONLY}\nObject.assign(window, {{shownByRules, tornReferences}});")

    def faults(self, page: Page, *tags: str) -> list[str]:
        """What breaks the rules in what is shown now; with `tags`, by the rules of these alone."""
        options: dict[str, Any] = {"resultTypes": ["violations"]}
        if tags:
            options["runOnly"] = list(tags)
        found = page.evaluate(
            "async (options) => (await shownByRules(options)).violations", options
        )
        return [
            f"{each['id']} ({each['impact']}): {[node['html'][:200] for node in each['nodes'][:3]]}"
            for each in found
        ] + page.evaluate("tornReferences()")
