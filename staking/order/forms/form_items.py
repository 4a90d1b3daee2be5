"""Forms as items with their arithmetic, and what is to be known of them."""

from __future__ import annotations

import math

from staking.kinds import OrderGroup
from staking.notices import Length, Notice, Severity, notice
from staking.order.forms.formwork import (
    ENOUGH,
    KICKER,
    ROOM,
    STAKE_THICKNESS,
    BoardStock,
    Forms,
    RoundForm,
)
from staking.order.forms.lumber import BOARD_THICKNESS, lowest_board
from staking.order.order_results import Item, working
from staking.order.ordered_by import Measured
from staking.tolerances import ON_LINE


def form_items(forms: Forms | None) -> tuple[Item, ...]:
    """Set out what the forms take.

    Parameters
    ----------
    forms
        The forms; None where the footings are cast against earth.

    Returns
    -------
    tuple of Item
        Boards by what they are called, stakes, lumber for kickers and spreaders, and round forms.
    """
    if forms is None:
        return ()
    rounds = tuple(_round_item(each) for each in forms.rounds)
    if not forms.runs:
        return rounds
    items = [_board_item(forms, each) for each in forms.boards]
    along = forms.stakes - forms.kickers
    items.append(
        Item(
            group=OrderGroup.FORMS,
            what="stakes for forms",
            quantity=float(forms.stakes),
            measured=Measured.COUNT,
            counted="stakes",
            arithmetic=working(
                "{along} along the boards + {kickers} behind kickers = {n}",
                along=along,
                kickers=forms.kickers,
                n=forms.stakes,
            ),
            price="stake",
        )
    )
    items.append(
        Item(
            group=OrderGroup.FORMS,
            what="kickers and spreaders, 2x4",
            quantity=forms.brace_length,
            measured=Measured.LENGTH,
            arithmetic=working(
                "{kickers} kickers x {each} + {spreaders} spreaders x {across} on average = "
                "{length}",
                kickers=forms.kickers,
                each=Length(KICKER),
                spreaders=forms.spreaders,
                across=Length(round(forms.spread / max(forms.spreaders, 1), 9)),
                length=Length(forms.brace_length),
            ),
            price="form brace",
        )
    )
    return (*items, *rounds)


def _round_item(each: RoundForm) -> Item:
    return Item(
        group=OrderGroup.FORMS,
        what="form tube for round pads, across inside",
        quantity=each.tube,
        measured=Measured.LENGTH,
        arithmetic=working(
            "{count} x {height} high = {tube}",
            count=each.count,
            height=Length(each.height),
            tube=Length(each.tube),
        ),
        sizes=(("across", Length(each.across)),),
        price="form tube",
    )


def _board_item(forms: Forms, each: BoardStock) -> Item:
    runs = [run for run in forms.runs if run.board == each.board]
    pieces = sum(run.count * run.rows for run in runs)
    name = f"form board {each.board}" if each.board else "form board"
    return Item(
        group=OrderGroup.FORMS,
        what=name,
        quantity=float(each.boards),
        measured=Measured.COUNT,
        counted="boards",
        arithmetic=working(
            "{n} pieces, {length} in all, each cut whole, the longest first",
            n=pieces,
            length=Length(each.length),
        ),
        sizes=(("stock", Length(each.stock)),),
        price="form board",
    )


def form_notices(forms: Forms | None, *, asked: bool) -> tuple[Notice, ...]:
    """Say what is to be known of the forms.

    Parameters
    ----------
    forms
        The forms; None where the footings are cast against earth.
    asked
        Whether the job asks for forms.

    Returns
    -------
    tuple of Notice
        ``forms-unused``; ``form-boards`` where boards stand over one another; ``form-room`` where
        the dig leaves too little; ``round-forms`` for each size of round pad.
    """
    if forms is None:
        if not asked:
            return ()
        return (
            notice(
                "forms-unused",
                "forms: under order: is not used, since the footing is cast against earth; write "
                "cast: forms under dig, or take it out",
            ),
        )
    told = [*_stacked(forms)]
    if forms.runs and forms.room < ENOUGH - ON_LINE:
        told.append(_room_notice(forms))
    told += [
        notice(
            "round-forms",
            "a round pad {across} across and {height} thick may stand in a ring of bent board "
            "instead of a form tube, {around} around inside",
            Severity.NOTE,
            across=Length(each.across),
            height=Length(each.height),
            around=Length(each.around),
        )
        for each in forms.rounds
    ]
    return tuple(told)


def _stacked(forms: Forms) -> list[Notice]:
    told = []
    real = {each.board: each.height for each in forms.boards}
    sides = {(run.board, run.height, run.rows): run for run in forms.runs if run.rows > 1}
    for (board, height, rows), _ in sorted(sides.items()):
        better, high = lowest_board(height)
        one = math.ceil((height - ON_LINE) / high) < rows
        told.append(
            notice(
                "form-boards",
                ("a form board {board}" if board else "a form board")
                + " is really {real} high, and {height} of concrete stands "
                "behind it: {rows} are taken over one another"
                + ("; a {better} is {high} high and takes fewer" if one else ""),
                Severity.WARNING if one else Severity.NOTE,
                board=board,
                real=Length(real[board]),
                height=Length(height),
                rows=rows,
                better=better,
                high=Length(high),
            )
        )
    return told


def _room_notice(forms: Forms) -> Notice:
    least = BOARD_THICKNESS + STAKE_THICKNESS
    none = forms.room < least - ON_LINE
    return notice(
        "form-room",
        "the dig leaves {room} beyond the footing's edges, and forms take {needed} for board, "
        "stake, kicker and room to work (common practice)"
        + (
            ": not even a board and its stake, {least}, have room; write overdig: {needed} under "
            "dig"
            if none
            else "; write overdig: {needed} under dig, or brace from the bank"
        ),
        Severity.WARNING if none else Severity.NOTE,
        room=Length(forms.room),
        needed=Length(ROOM),
        least=Length(least),
    )
