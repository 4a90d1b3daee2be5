"""The picture in docs is drawn from the imports, and its page names what is there."""

from __future__ import annotations

import re
from pathlib import Path

from tests.draw_architecture import PACKAGE, PICTURE, ROOT, drawn

PAGE = ROOT / "docs" / "architecture.md"


def test_the_picture_is_that_of_the_imports() -> None:
    assert PICTURE.read_text(encoding="utf-8") == drawn(), "run python tests/draw_architecture.py"


def test_every_module_and_function_that_the_page_names_is_there() -> None:
    text = PAGE.read_text(encoding="utf-8")
    named = re.findall(r"`((?:\w+/)*\w+\.py)(?::(\w+))?`", text)
    assert len(named) > 15
    for path, what in named:
        module = PACKAGE / path
        assert module.is_file(), path
        if what:
            source = module.read_text(encoding="utf-8")
            assert re.search(rf"^(?:def|class) {what}\b", source, re.MULTILINE), f"{path}: {what}"


def test_the_page_is_one_page() -> None:
    assert len(PAGE.read_text(encoding="utf-8").splitlines()) <= 90
    assert Path("pictures/architecture.svg").name in PAGE.read_text(encoding="utf-8")
