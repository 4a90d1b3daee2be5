"""YAML text to a tree of branches, lists and scalars that know where they stand.

The file is composed to nodes, never constructed, so that each scalar keeps its own text: ``001``
stays a name and ``no`` stays text until a field asks for a flag. Aliases and tags are refused
because a job file is read by people; deep nesting because no job has it.
"""

from __future__ import annotations

import stat
import unicodedata
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from typing import Any

from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.job.tree.job_limits import MOST_BYTES, MOST_NODES

DEEPEST = 20
"""Nesting beyond this is refused."""

STARTER_HINT = "`staking init` writes a file to start from"

Place = tuple[str | int, ...]
"""Where something stands in the file: keys and list positions from the top."""

PASTED = ("site", "boundary", "deed")
"""The one place that takes a text of several lines: a deed, pasted as it is."""

_BIDI = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u200e\u200f")


@frozen(kw_only=False)
class Scalar:
    """One value as it was typed, its line counted from 1, and whether it stood in quotes."""

    text: str
    line: int
    quoted: bool = False

    @property
    def is_empty(self) -> bool:
        """True where nothing was typed."""
        return not self.quoted and self.text.strip() in {"", "~", "null"}


class Branch(dict[str, Any]):
    """A mapping that knows its place in the file, its line and each key's line."""

    def __init__(self, place: Place, line: int) -> None:
        super().__init__()
        self.place = place
        self.line = line
        self.lines: dict[str, int] = {}
        self.renamed: dict[str, str] = {}

    def line_at(self, key: str) -> int:
        """Give the line of a key, by either of its names."""
        return self.lines[key]

    def rename(self, old: str, new: str) -> None:
        """Read the key `old` as `new` from now on; its line is still found by either."""
        self[new] = self.pop(old)
        self.lines[new] = self.lines[old]
        self.renamed[old] = new


class Items(list[Any]):
    """A list that knows its place in the file, its line and each item's line."""

    def __init__(self, place: Place, line: int) -> None:
        super().__init__()
        self.place = place
        self.line = line
        self.lines: list[int] = []

    def line_at(self, position: int) -> int:
        """Give the line of an item."""
        return self.lines[position]


def line_of(root: Branch, place: Place) -> int:
    """Find the line on which something stands.

    Parameters
    ----------
    root
        The whole file.
    place
        Keys and positions from the top; where the last ones are not in the file, the line of the
        nearest thing round them is given.

    Returns
    -------
    int
        The line, counted from 1.
    """
    node: Any = root
    line = root.line
    for step in place:
        below = child(node, step)
        if below is None:
            break
        line = node.line_at(step)
        node = below
    return line


def child(node: Any, step: str | int) -> Any:
    """Give what stands under a key or at a position, or None; a key is found by either name."""
    if isinstance(node, Branch) and isinstance(step, str):
        return node.get(node.renamed.get(step, step))
    if isinstance(node, Items) and isinstance(step, int) and step < len(node):
        return node[step]
    return None


def scalar_at(root: Branch, place: Place) -> Scalar | None:
    """Give the single value at a place, or None where none stands."""
    node: Any = root
    for step in place:
        node = child(node, step)
    return node if isinstance(node, Scalar) else None


def read_text(path: Path) -> str:
    """Read the job file's text.

    Parameters
    ----------
    path
        The file, as the user named it.

    Returns
    -------
    str
        The text without a byte order mark.

    Raises
    ------
    InputError
        Where the file is missing, empty, no regular file, too large, not UTF-8, or holds a NUL.
    """

    def problem(message: str, remedy: str = "", line: int | None = None) -> Problem:
        return Problem(path=str(path), message=message, remedy=remedy, line=line)

    data = b""
    try:
        # A pipe or a device is never opened: it may have no end, or never begin.
        mode = path.stat().st_mode
        is_file = stat.S_ISREG(mode) or stat.S_ISDIR(mode)
        if is_file:
            with path.open("rb") as stream:
                data = stream.read(MOST_BYTES + 1)
    except FileNotFoundError as error:
        raise InputError(problem("there is no such file", STARTER_HINT)) from error
    except IsADirectoryError as error:
        raise InputError(problem("this is a folder", "name the job file in it")) from error
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise InputError(problem(f"the file cannot be read ({reason})")) from error
    if not is_file:
        raise InputError(
            problem("this is a pipe or a device, and no file", "name a file on the disk")
        )
    if len(data) > MOST_BYTES:
        raise InputError(
            problem(
                f"the file is over {MOST_BYTES // 1_000_000} MB",
                "look whether this is the right file",
            )
        )
    if b"\0" in data:
        line = data[: data.index(b"\0")].count(b"\n") + 1
        raise InputError(
            problem("there is a NUL byte in the file", "save it as plain UTF-8 text", line)
        )
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise InputError(
            problem("this is not UTF-8 text", "save the file as UTF-8", line)
        ) from error
    if not text.strip():
        raise InputError(problem("the file is empty", STARTER_HINT))
    return text


def parse_tree(text: str, path: str) -> tuple[Branch, tuple[Problem, ...]]:
    """Turn the file's text into a tree.

    Parameters
    ----------
    text
        The whole file.
    path
        The file as the user named it, for the faults.

    Returns
    -------
    tree : Branch
        The top of the file.
    problems : tuple of Problem
        Keys given twice and text with control characters: the rest can still be looked at.

    Raises
    ------
    InputError
        Where the text is not a YAML mapping, or holds aliases or tags, or is nested too deeply.
    """
    node, problems = compose(text, path)
    if problems:
        raise InputError(*problems)
    if node is None:
        raise InputError(
            Problem(path=path, message="there are only comments in the file", remedy=STARTER_HINT)
        )
    tree = _grow(node, (), path, problems)
    if not isinstance(tree, Branch):
        raise InputError(
            Problem(
                path=path,
                line=node.start_mark.line + 1,
                message="the file does not start with a key",
                remedy="write `job: ` and the job's name first",
            )
        )
    return tree, tuple(problems)


def _plain_composer(path: str, problems: list[Problem]) -> Any:
    """Give the class that composes plain values; what it meets beside goes to `problems`."""
    # Made here because the library it stands on is loaded only when a job is read.
    from ruamel.yaml.composer import Composer
    from ruamel.yaml.events import AliasEvent, ScalarEvent
    from ruamel.yaml.nodes import ScalarNode

    def fault(mark: Any, message: str, remedy: str) -> Problem:
        return Problem(path=path, line=mark.line + 1, message=message, remedy=remedy)

    class PlainComposer(Composer):
        """A composer that takes nothing but plain values, and no deep nesting."""

        levels = 0
        nodes = 0
        parser: Any = None

        def __init__(self, loader: Any) -> None:
            super().__init__(loader=loader)
            # Looked up once: the library looks it up anew for every node and every event.
            self.parser = loader.parser

        def compose_node(self, parent: Any, index: Any) -> Any:
            event = self.parser.peek_event()
            mark = event.start_mark
            self.nodes += 1
            if self.nodes > MOST_NODES:
                more = f"more than {MOST_NODES:,} keys and values stand in the file"
                problems.append(fault(mark, more, "look whether this is the right file"))
                raise InputError(problems[-1])
            if isinstance(event, AliasEvent):
                self.parser.get_event()
                problems.append(
                    fault(mark, f"*{event.anchor} is an alias", "write the value out here")
                )
                return ScalarNode("tag:yaml.org,2002:str", "", mark, mark)
            if getattr(event, "anchor", None):
                problems.append(fault(mark, f"&{event.anchor} is an anchor", "take it out"))
            if getattr(event, "tag", None):
                short = str(event.tag).replace("tag:yaml.org,2002:", "!!")
                problems.append(fault(mark, f"{short} is a tag", "take it out"))
            event.anchor = None
            if self.levels >= DEEPEST and not isinstance(event, ScalarEvent):
                problems.append(
                    fault(mark, f"nested deeper than {DEEPEST} levels", "close a bracket")
                )
                raise InputError(*problems)
            self.levels += 1
            try:
                return super().compose_node(parent, index)
            finally:
                self.levels -= 1

    return PlainComposer


def compose(text: str, path: str) -> tuple[Any, list[Problem]]:
    """Compose a text to nodes, and list its aliases and tags.

    Parameters
    ----------
    text
        The whole file.
    path
        What faults call it.

    Returns
    -------
    node : Node or None
        The top node, each with its marks in the text; None of a text without any.
    problems : list of Problem
        What no job file may hold.

    Raises
    ------
    InputError
        Where it is not a YAML, or nested too deeply.
    """
    node, problems = _composed(text, path)
    return node, list(problems)


@lru_cache(maxsize=4)
def _composed(text: str, path: str) -> tuple[Any, tuple[Problem, ...]]:
    # Kept by the text: an answer at the desk is put into a text whose nodes are known from the
    # answer before, and the job is read from what was composed to look at the answer.
    from ruamel.yaml import YAML
    from ruamel.yaml.error import MarkedYAMLError, YAMLError

    problems: list[Problem] = []
    reader = YAML(typ="safe", pure=True)
    reader.Composer = _plain_composer(path, problems)
    try:
        return reader.compose(text), tuple(problems)
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        problems.append(_syntax_problem(error, mark, path))
    except YAMLError as error:
        line = text.count("\n", 0, getattr(error, "position", 0)) + 1
        problems.append(
            Problem(
                path=path,
                line=line,
                message="there is a character here that text cannot hold",
                remedy="type the line anew",
            )
        )
    raise InputError(*problems)


def _syntax_problem(error: Any, mark: Any, path: str) -> Problem:
    """Say in plain words what the YAML reader stumbled over."""
    said = " ".join(str(error.problem or error.context or "cannot be read").split())
    remedy = "look at the indents, colons, brackets and quotes of this line and the one before"
    if "\\t" in said:
        said, remedy = "there is a tab in the indent", "indent with spaces"
    elif "another document" in said:
        said, remedy = "a second document starts here", "keep one job in a file; take out `---`"
    elif "end of stream" in said and "quoted" in str(error.context):
        said, remedy = "a quote is opened and not closed", "close it, or leave quotes out"
        mark = error.context_mark or mark
    elif "stream end" in said or "flow" in str(error.context):
        said, remedy = "a bracket is opened and not closed", "close it, and part items with commas"
        mark = error.context_mark or mark
    elif "mapping values" in said:
        said, remedy = "there is a colon too many", "write one `key: value` on a line"
    return Problem(
        path=path, line=mark.line + 1 if mark is not None else None, message=said, remedy=remedy
    )


def _grow(node: Any, place: Place, path: str, problems: list[Problem]) -> Any:
    """Turn one node into a branch, a list or a scalar, noting repeated keys."""
    from ruamel.yaml.nodes import MappingNode, SequenceNode

    line: int = node.start_mark.line + 1
    if isinstance(node, MappingNode):
        branch = Branch(place, line)
        for key_node, value in node.value:
            key_line = key_node.start_mark.line + 1
            key = key_node.value
            if not isinstance(key, str):
                problems.append(
                    Problem(path=path, line=key_line, message="a key must be a word or a name")
                )
                continue
            if key in branch:
                problems.append(
                    Problem(
                        path=path,
                        line=key_line,
                        field=field_words((*place, key)),
                        message=f"given twice: on line {branch.lines[key]} and here",
                        remedy="keep one of them",
                    )
                )
                continue
            problems.extend(_bad_characters(key, key_line, path))
            branch.lines[key] = key_line
            branch[key] = _grow(value, (*place, key), path, problems)
        return branch
    if isinstance(node, SequenceNode):
        items = Items(place, line)
        for number, value in enumerate(node.value):
            items.lines.append(value.start_mark.line + 1)
            items.append(_grow(value, (*place, number), path, problems))
        return items
    text = node.value
    if place == PASTED:
        text = text.replace("\n", " ").replace("\t", " ")
    problems.extend(_bad_characters(text, line, path))
    return Scalar(node.value, line, quoted=node.style is not None and node.style != "")


def _bad_characters(text: str, line: int, path: str) -> Iterator[Problem]:
    """Find what no name or value may hold, because it would garble a drawing or a terminal."""
    for character in text:
        if unicodedata.category(character) in {"Cc", "Cs", "Zl", "Zp"} or character in _BIDI:
            yield Problem(
                path=path,
                line=line,
                message=f"there is a control character (U+{ord(character):04X}) in the text",
                remedy="take it out",
            )
            return


def field_words(place: Place, root: Branch | None = None) -> str | None:
    """Name a field in words.

    Parameters
    ----------
    place
        Keys and positions from the top.
    root
        The whole file, from which list items take their names.

    Returns
    -------
    str or None
        Such as ``walls C-D footing width``; list items go by name, else by number from 1. The
        leading ``building`` goes without saying, unless nothing else follows. None for the top.
    """
    words: list[str] = []
    node: Any = root
    for step in place:
        node = child(node, step)
        if isinstance(step, str):
            words.append(step)
            continue
        name = node.get("name") if isinstance(node, Branch) else None
        words.append(name.text if isinstance(name, Scalar) else str(step + 1))
    if len(words) > 1 and words[0] == "building":
        words = words[1:]
    return " ".join(words) or None
