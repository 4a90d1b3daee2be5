"""One building of a job file made the first of a list, so that another can stand beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from staking.job.edit.node_spans import end_of, entry_at, line_end, line_start

if TYPE_CHECKING:
    from staking.job.edit.node_spans import Value
    from staking.job.tree.source import Place

ONE, SEVERAL = "building", "buildings"


def is_for_list(top: Value, place: Place) -> bool:
    """Say whether an answer is for a list of buildings where the file has a single one."""
    return place[0] == SEVERAL and isinstance(top, dict) and ONE in top and SEVERAL not in top


def with_list(text: str, root: Any) -> str | None:
    """Write the building of a file as the first of a list.

    Parameters
    ----------
    text
        The whole file.
    root
        Its nodes.

    Returns
    -------
    str or None
        The whole file; every line of the building is kept, two columns further in. None where
        nothing of a building stands there.
    """
    found = entry_at(root, (ONE,))
    if found is None or not getattr(found[1], "value", None) or isinstance(found[1].value, str):
        return None
    key, node = found
    start, end = int(node.start_mark.index), end_of(text, found)
    if node.flow_style:
        inside = f"[{text[start:end]}]"
    else:
        stop = line_end(text, end)
        begin = line_start(text, start)
        first, *rest = text[begin:stop].split("\n")
        indent = first[: start - begin]
        lines = [f"{indent}- {first[start - begin :]}"]
        lines += [f"  {line}" if line.strip() else line for line in rest]
        start, end, inside = begin, stop, "\n".join(lines)
    head = text[key.end_mark.index : start]
    return text[: key.start_mark.index] + SEVERAL + head + inside + text[end:]
