"""Answers put into a job file's text at the places where its values stand.

Nothing is written anew but the value that changes: comments, order, indents, brackets and line
ends of the file stay. Each change is read back before it is given out, so that what the text says
afterwards is what was asked and nothing else.
"""

from __future__ import annotations

import copy
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.job.edit.building_list import ONE, SEVERAL, is_for_list, with_list
from staking.job.edit.kept_comments import comments_between, own_line
from staking.job.edit.node_spans import (
    colon_of,
    end_of,
    entry_at,
    is_empty,
    line_end,
    line_start,
    nodes_of,
    start_of,
    value_of,
)
from staking.job.edit.written_values import after_colon, in_line, key_text
from staking.job.tree.source import field_words

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from staking.job.edit.node_spans import Value
    from staking.job.tree.source import Place


@frozen
class Answer:
    """One answer to go into the file.

    Parameters
    ----------
    place
        Keys and positions from the top.
    value
        What is to stand there; None takes the key or item out, and what it alone kept with it.
    instead_of
        A key beside it that this one takes the place of, on its line; None for none.
    """

    place: Place
    value: Value
    instead_of: str | None = None


def answered(
    text: str, answers: Sequence[Answer], path: str, order: Callable[[Place], Sequence[str]]
) -> str:
    """Put answers into a text.

    Parameters
    ----------
    text
        The whole file.
    answers
        In the order in which they are put in.
    path
        What faults call the file.
    order
        The keys that a mapping may hold, in the order in which new ones are put in, by its place;
        empty where names stand there.

    Returns
    -------
    str
        The whole file with them.

    Raises
    ------
    InputError
        Where the text cannot be read, or an answer cannot be written into it.
    """
    root = nodes_of(text, path) if answers else None
    for answer in answers:
        if not answer.place:
            raise InputError(Problem(path=path, message="an answer without a key"))
        if is_for_list(value_of(root), answer.place) and answer.value is not None:
            text = _listed(text, root, path)
            root = nodes_of(text, path)
        wanted = _with_answer(value_of(root), answer)
        text = _Edited(text, root, path, order).put(answer)
        root = nodes_of(text, path)
        if _settled(value_of(root)) != _settled(wanted):
            raise InputError(_cannot(answer.place, path))
    return text


def _listed(text: str, root: Any, path: str) -> str:
    """Make the one building of a file the first of a list."""
    top = value_of(root)
    assert isinstance(top, dict)
    made = with_list(text, root)
    wanted = {
        (SEVERAL if key == ONE else key): [value] if key == ONE else value
        for key, value in top.items()
    }
    if made is None or _settled(value_of(nodes_of(made, path))) != _settled(wanted):
        raise InputError(_cannot((ONE,), path))
    return made


def _settled(value: Value) -> Value:
    """Give values as they are compared: what stands on several lines without their indents."""
    if isinstance(value, dict):
        return {key: _settled(each) for key, each in value.items()}
    if isinstance(value, list):
        return [_settled(each) for each in value]
    return " ".join(value.split()) if isinstance(value, str) and "\n" in value else value


def _cannot(place: Place, path: str) -> Problem:
    return Problem(
        path=path,
        field=field_words(place),
        message="this cannot be put into the file as it is written there",
        remedy="write it in the file's text",
    )


def _with_answer(top: Value, answer: Answer) -> Value:
    """Say what the file's values are to be."""
    made: Any = copy.deepcopy(top)
    if answer.value is None:
        rest: Value = _taken_out(made, answer.place)
        return rest
    node: Any = made
    steps = list(answer.place)
    for step, below in pairwise(steps):
        inner = _child(node, step)
        if not isinstance(inner, dict | list):
            inner = [] if isinstance(below, int) else {}
            _set(node, step, inner)
        node = inner
    if answer.instead_of is not None and isinstance(node, dict):
        last = answer.place[-1]
        kept = {
            (last if key == answer.instead_of else key): value
            for key, value in node.items()
            if key != last or key == answer.instead_of
        }
        node.clear()
        node.update(kept)
    _set(node, steps[-1], copy.deepcopy(answer.value))
    whole: Value = made
    return whole


def _child(node: Any, step: str | int) -> Any:
    if isinstance(node, dict):
        return node.get(step)
    return node[step] if isinstance(step, int) and step < len(node) else None


def _set(node: Any, step: str | int, value: Value) -> None:
    if isinstance(node, list) and step == len(node):
        node.append(value)
    elif isinstance(node, list) is isinstance(step, int):
        node[step] = value
    else:
        raise InputError(Problem(message="a list stands where keys are due, or keys for a list"))


def _taken_out(top: Any, place: Place) -> Any:
    holder: Any = top
    for step in place[:-1]:
        holder = _child(holder, step)
        if not isinstance(holder, dict | list):
            return top
    if isinstance(holder, list):
        if isinstance(place[-1], int) and place[-1] < len(holder):
            del holder[place[-1]]
    else:
        holder.pop(place[-1], None)
    if not holder and len(place) > 1:
        return _taken_out(top, place[:-1])
    return top


class _Edited:
    """One text with its nodes, ready for one answer."""

    def __init__(
        self, text: str, root: Any, path: str, order: Callable[[Place], Sequence[str]]
    ) -> None:
        self.text = text
        self.root = root
        self.path = path
        self.order = order
        self.newline = "\r\n" if "\r\n" in text else "\n"

    def put(self, answer: Answer) -> str:
        if answer.value is None:
            return self._take_out(answer.place)
        if answer.instead_of is not None:
            old = (*answer.place[:-1], answer.instead_of)
            if entry_at(self.root, old) is not None:
                return self._exchange(old, answer)
        there = entry_at(self.root, answer.place)
        if there is None or is_empty(there[1]):
            return self._add(answer.place, answer.value)
        return self._change(answer.place, there, answer.value)

    def _spliced(self, start: int, end: int, piece: str) -> str:
        # Comments of what goes stand above the line where it stood, each on a line of its own.
        kept = comments_between(self.root, self.text, start, end)
        if not kept:
            return self.text[:start] + piece + self.text[end:]
        above = own_line(self.root, self.text, start)
        indent = self.text[above : len(self.text) - len(self.text[above:].lstrip(" "))]
        newline = self._newline_at(above)
        lines = "".join(f"{indent}{each}{newline}" for each in kept)
        return self.text[:above] + lines + self.text[above:start] + piece + self.text[end:]

    def _newline_at(self, at: int) -> str:
        """Give the line end of the line that a place is on, or of the file where it has none."""
        found = self.text.find("\n", at)
        if found < 0:
            return self.newline
        return "\r\n" if self.text[:found].endswith("\r") else "\n"

    def _is_flow(self, place: Place) -> bool:
        """Say whether what stands at a place stands within brackets."""
        for depth in range(len(place)):
            entry = entry_at(self.root, place[:depth])
            if entry is not None and getattr(entry[1], "flow_style", False):
                return True
        return False

    def _change(self, place: Place, there: tuple[Any, Any], value: Value) -> str:
        """Change a value part by part where it stays of its kind, else whole."""
        old = value_of(there[1])
        if old == value:
            return self.text
        parts = _parts_changed(place, old, value)
        if parts is not None:
            return answered(self.text, parts, self.path, self.order)
        key, node = there
        flow = self._is_flow(place)
        start, end = int(node.start_mark.index), end_of(self.text, there)
        if key is None:
            return self._spliced(start, end, in_line(value, flow=flow))
        colon = colon_of(self.text, key)
        if isinstance(value, str) and "\n" in value and not flow:
            piece = after_colon(place, value, int(key.start_mark.column), self.newline)
        elif isinstance(old, str) and getattr(node, "style", None) not in {"|", ">"}:
            return self._spliced(start, end, in_line(value, flow=flow))
        else:
            piece = f" {in_line(value, flow=flow)}"
        return self._spliced(colon, end, piece)

    def _exchange(self, old: Place, answer: Answer) -> str:
        """Put a key and its value in the place of another."""
        found = entry_at(self.root, old)
        assert found is not None
        flow = self._is_flow(old)
        name = key_text(str(answer.place[-1]), flow=flow)
        piece = f"{name}: {in_line(answer.value, flow=flow)}"
        return self._spliced(start_of(found), end_of(self.text, found), piece)

    def _add(self, place: Place, value: Value) -> str:
        """Add a key or an item, with whatever mappings or lists round it are missing."""
        depth = len(place) - 1
        while True:
            entry = entry_at(self.root, place[:depth])
            if entry is not None and not is_empty(entry[1]):
                break
            depth -= 1
        for step in reversed(place[depth + 1 :]):
            value = [value] if isinstance(step, int) else {step: value}
        assert entry is not None
        node, new = entry[1], place[: depth + 1]
        if not hasattr(node, "flow_style"):
            raise InputError(_cannot(place, self.path))
        if self._is_flow((*new, "")) or (node.flow_style and not node.value):
            return self._add_in_brackets(node, new, value)
        if isinstance(new[-1], int):
            return self._add_item(node, value)
        return self._add_key(node, new, value)

    def _add_in_brackets(self, node: Any, place: Place, value: Value) -> str:
        written = in_line(value, flow=True)
        step = place[-1]
        if isinstance(step, str):
            there = entry_at(self.root, place)
            if there is not None:
                at = end_of(self.text, there)
                colon = "" if self.text[at - 1] == ":" else ":"
                return self._spliced(at, at, f"{colon} {written}")
            written = f"{key_text(step, flow=True)}: {written}"
        if not node.value:
            inside = int(node.start_mark.index) + 1
            return self._spliced(inside, int(node.end_mark.index) - 1, written)
        entry = self._before(node, place)
        if entry is None:
            first = start_of(_entries(node)[0])
            return self._spliced(first, first, f"{written}, ")
        at = end_of(self.text, entry)
        return self._spliced(at, at, f", {written}")

    def _add_item(self, node: Any, value: Value) -> str:
        last = (None, node.value[-1])
        before = self.text[: start_of(last)].rstrip()
        if not before.endswith("-"):
            raise InputError(Problem(path=self.path, message="this list has no dashes"))
        dash = len(before) - 1
        indent = " " * (dash - line_start(self.text, dash))
        at = line_end(self.text, end_of(self.text, last))
        return self._spliced(at, at, f"{self.newline}{indent}- {in_line(value, flow=False)}")

    def _add_key(self, node: Any, place: Place, value: Value) -> str:
        there = entry_at(self.root, place)
        column = int(node.value[0][0].start_mark.column)
        rest = after_colon(place, value, column, self.newline)
        if there is not None:
            colon = colon_of(self.text, there[0])
            return self._spliced(colon, colon, rest)
        line = f"{key_text(str(place[-1]), flow=False)}:{rest}"
        entry = self._before(node, place)
        if entry is None:
            first = start_of(_entries(node)[0])
            return self._spliced(first, first, f"{line}{self.newline}{' ' * column}")
        at = line_end(self.text, end_of(self.text, entry))
        return self._spliced(at, at, f"{self.newline}{' ' * column}{line}")

    def _before(self, node: Any, place: Place) -> tuple[Any, Any] | None:
        """Find the entry after which a new one goes; None where it goes first."""
        entries = _entries(node)
        order = list(self.order(place[:-1]))
        if place[-1] not in order:
            return entries[-1]
        earlier = set(order[: order.index(str(place[-1]))])
        near = [entry for entry in entries if entry[0] is not None and entry[0].value in earlier]
        if near:
            return near[-1]
        known = set(order)
        return None if any(entry[0].value in known for entry in entries) else entries[-1]

    def _take_out(self, place: Place) -> str:
        entry = entry_at(self.root, place)
        if entry is None:
            return self.text
        while len(place) > 1:
            outer = entry_at(self.root, place[:-1])
            assert outer is not None
            if len(outer[1].value) > 1:
                break
            place, entry = place[:-1], outer
        holder = entry_at(self.root, place[:-1])
        assert holder is not None
        entries = _entries(holder[1])
        number = next(n for n, each in enumerate(entries) if each[1] is entry[1])
        end = end_of(self.text, entry)
        if self._is_flow(place):
            if number:
                return self._spliced(end_of(self.text, entries[number - 1]), end, "")
            after = start_of(entries[1]) if len(entries) > 1 else end
            return self._spliced(start_of(entry), after, "")
        return self._take_out_lines(entries, number, end)

    def _take_out_lines(self, entries: list[tuple[Any, Any]], number: int, end: int) -> str:
        start = start_of(entries[number])
        if entries[number][0] is None:
            start = len(self.text[:start].rstrip()) - 1
        begin = line_start(self.text, start)
        if self.text[begin:start].strip() and number + 1 < len(entries):
            # The first key of a list's item stands beside its dash, which stays.
            return self._spliced(start, start_of(entries[number + 1]), "")
        after = self.text.find("\n", end)
        return self._spliced(begin, len(self.text) if after < 0 else after + 1, "")


def _entries(node: Any) -> list[tuple[Any, Any]]:
    from ruamel.yaml.nodes import MappingNode

    if isinstance(node, MappingNode):
        return list(node.value)
    return [(None, each) for each in node.value]


def _parts_changed(place: Place, old: Value, new: Value) -> list[Answer] | None:
    """List what differs between two lists or two mappings; None where they are not of a kind."""
    if isinstance(old, list) and isinstance(new, list) and old and new:
        both = min(len(old), len(new))
        found = [
            Answer(place=(*place, number), value=new[number])
            for number in range(both)
            if old[number] != new[number]
        ]
        found += [
            Answer(place=(*place, number), value=new[number]) for number in range(both, len(new))
        ]
        found += [
            Answer(place=(*place, number), value=None)
            for number in range(len(old) - 1, both - 1, -1)
        ]
        return found
    if isinstance(old, dict) and isinstance(new, dict) and old and new and old.keys() & new.keys():
        found = [
            Answer(place=(*place, key), value=value)
            for key, value in new.items()
            if old.get(key) != value
        ]
        found += [Answer(place=(*place, key), value=None) for key in old if key not in new]
        return found
    return None
