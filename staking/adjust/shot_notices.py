"""The notices about surveyed stakes and tapes that do not fit each other."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from staking.notices import Length, Notice, notice

if TYPE_CHECKING:
    from staking.adjust.suspects import Suspect


def shot_notices(
    labels: Sequence[str],
    tapes: int,
    suspects: Sequence[Suspect],
    left_out: frozenset[int],
    redundancy: int,
) -> tuple[Notice, ...]:
    """Tell of shots and tapes that do not fit, and that nothing checks the shots.

    Parameters
    ----------
    labels
        What each reading is called, tapes first.
    tapes
        How many of them are tapes.
    suspects, left_out
        What was named, and the places of the readings that are left out.
    redundancy
        Of all readings.

    Returns
    -------
    tuple of Notice
        The notices for whoever reads the answer.
    """
    told = [_suspect_notice(labels, tapes, suspect, left_out) for suspect in suspects]
    if redundancy == 0:
        told.append(
            notice(
                "shots-not-checked",
                "every stake was shot once and nothing checks the shots: a wrong one looks like a "
                "stake that is off; tape a diagonal as well, or shoot the stakes again",
            )
        )
    return tuple(told)


def _suspect_notice(
    labels: Sequence[str], tapes: int, suspect: Suspect, left_out: frozenset[int]
) -> Notice:
    said = [labels[place] for place in suspect.members]
    if not suspect.alone:
        return notice(
            "cannot-tell-apart",
            "one of {readings} does not fit, and the readings cannot say which; take them again",
            readings=", ".join(said),
        )
    after = "what follows leaves it out; " if suspect.members[0] in left_out else ""
    if suspect.members[0] >= tapes:
        return notice(
            "shot-does-not-fit",
            "{shot} is off by about {size}; " + after + "shoot it again",
            shot=said[0],
            size=Length(suspect.size),
        )
    way = "long" if suspect.size > 0 else "short"
    return notice(
        "reading-does-not-fit",
        "{pair} reads about {size} " + way + "; " + after + "read it again",
        pair=said[0],
        size=Length(abs(suspect.size)),
    )
