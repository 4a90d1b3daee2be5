"""Tapes by pair: what each reads on the plan, and what it may be out."""

from __future__ import annotations

from tests.agree.facts import FACTS, Fact, Said
from tests.agree.papers import Papers, Rows, run_on

NETWORK = {"side", "diagonal", "tie"}
TITLE = "Tape these"


def in_document(papers: Papers) -> Said:
    return {
        f"{check['kind']} {check['from']} - {check['to']}": " ".join((
            papers.shown(check["distance"]),
            papers.allowed(check["allowed"]),
        ))
        for check in papers.layout["checks"]
        if check["at"] is None
    }


def angles_in_document(papers: Papers) -> Said:
    """The tapes across two legs."""
    return {
        f"{check['kind']} at {check['at']}: {papers.shown(check['legs'][0])} toward "
        f"{check['from']}, {papers.shown(check['legs'][1])} toward {check['to']}": " ".join((
            papers.shown(check["distance"]),
            papers.allowed(check["allowed"]),
        ))
        for check in papers.layout["checks"]
        if check["legs"] is not None
    }


def angles_on_terminal(papers: Papers) -> Said:
    rows = run_on(papers.terminal_table("layout", TITLE), 0)
    return {f"{row[0]} {row[1]}": f"{row[2]} {row[3]}" for row in rows if row[1].startswith("at ")}


def angles_on_sheet(papers: Papers) -> Said:
    """The cards' tapes across two legs: each on the card of its corner."""
    kinds = {"3-4-5": "right angle", "angle": "angle"}
    return {
        f"{kinds[kind]} at {card.name}: {legs.replace(' to ', ' toward ')}": f"{level} {allowed}"
        for card in papers.cards
        for what, level, allowed in card.tapes()
        for kind, _, legs in [what.partition(": ")]
        if kind in kinds
    }


def _of_rows(rows: Rows) -> Said:
    return {
        f"{row[0]} {row[1]}": f"{row[2]} {row[3]}" for row in rows if not row[1].startswith("at ")
    }


def on_terminal(papers: Papers) -> Said:
    return _of_rows(run_on(papers.terminal_table("layout", TITLE), 0))


def on_sheet(papers: Papers) -> Said:
    """The tapes of the cards: each on the card of one of its two ends, and on no other."""
    written = {
        (check["kind"], frozenset((check["from"], check["to"]))): (
            f"{check['kind']} {check['from']} - {check['to']}"
        )
        for check in papers.layout["checks"]
        if check["at"] is None
    }
    found: Said = {}
    for card in papers.cards:
        for what, level, allowed in card.tapes():
            kind, _, other = what.partition(" to ")
            if ":" not in what:
                key = written[kind, frozenset((card.name, other))]
                assert key not in found
                found[key] = f"{level} {allowed}"
    return found


def pairs_in_document(papers: Papers) -> Said:
    """Corner to corner, and to pads and ends of interior lines, whichever end is hooked."""
    return {
        _pair(check["from"], check["to"]): papers.shown(check["distance"])
        for check in papers.layout["checks"]
        if check["at"] is None
    }


def _pair(one: str, other: str) -> str:
    return "-".join(sorted((one, other)))


def in_tape_book(papers: Papers) -> Said:
    return {_pair(row["from"], row["to"]): row["plan distance"] for row in papers.tape_book}


def on_page(papers: Papers) -> Said:
    """What the page asks to be taped; a side longer than the tape is never read."""
    unread = {
        pair: distance
        for pair, distance in pairs_in_document(papers).items()
        if papers.options.tape.length < _metres(papers, pair)
    }
    asked = {_pair(each["from"], each["to"]): each["shown"] for each in papers.page_data["tapes"]}
    return unread | asked


def _metres(papers: Papers, pair: str) -> float:
    from staking.measure.lengths import Unit

    return next(
        check["distance"] * Unit(papers.options.unit).metres
        for check in papers.layout["checks"]
        if _pair(check["from"], check["to"]) == pair and check["at"] is None
    )


def checked(papers: Papers) -> Said:
    """The readings that ``staking check`` takes from the filled-in book, as the plan has them."""
    return {
        _pair(each["from"], each["to"]): papers.shown(each["measured"])
        for each in papers.checked_tapes["measurements"]
    }


def after_check(papers: Papers) -> Said:
    """What the tapes read after its advice: on the plan nothing is to move."""
    return {
        _pair(each["from"], each["to"]): papers.shown(each["distance"])
        for each in papers.checked_stakes["after"]
    }


FACTS += [
    Fact(
        name="tape",
        truth=in_document,
        outputs={"terminal": on_terminal, "sheet": on_sheet},
    ),
    Fact(
        name="tape across legs",
        truth=angles_in_document,
        outputs={"terminal": angles_on_terminal, "sheet": angles_on_sheet},
        applies=lambda papers: any(check["legs"] for check in papers.layout["checks"]),
    ),
    Fact(
        name="pair of corners",
        truth=pairs_in_document,
        outputs={
            "tape book": in_tape_book,
            "page": on_page,
            "check": checked,
            "after check": after_check,
        },
    ),
]
