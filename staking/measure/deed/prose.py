"""What stands in a course beside its figures: what needs none, and what is not passed over."""

from __future__ import annotations

import re

from staking.errors import MeasureError
from staking.measure.deed.distances import NUMBER

_WATER = (
    r"(?:creek|river|stream|branch|brook|bayou|lake|pond|shore|shoreline|bank|thread|slough|"
    r"ditch|canal|bay|ocean|sea|marsh|high water|low water|water line|waterline|water's edge)"
)
_NAMED = (
    r"(?! (?:\w+ )?(?:road|rd|street|st|drive|dr|lane|ln|avenue|ave|court|ct|way|boulevard|blvd|"
    r"place|circle|trail|highway|estates?|subdivision|addition|park|plat|acres|heights|ranch)\b)"
)
_NOT_COMPUTED = (
    (
        r"\b(?:more or less|m/l|m\.l\.|approximately|about|plus or minus)\b|±|\+/-",
        "a distance that is only about right",
        "have the corner found, or write the distance that the plat gives",
    ),
    (
        rf"\b(?:along|following|follows|with|up|down|by)(?: [a-z'.]+){{0,5}}? {_WATER}\b{_NAMED}|"
        r"\bmeander",
        "a line that follows water",
        "have it surveyed, and give the surveyed points as the boundary",
    ),
    (
        r"\b(?:less and except|less & except|save and except|save & except|excepting|"
        r"except|less the following|exclusive of)\b",
        "land taken out of the lot",
        "give the courses round what is left",
    ),
    (
        r"\bdegree of curv\w*",
        "a curve by its degree",
        "give its radius",
    ),
)

_LABEL = (
    r"(?:lots?|blocks?|blk|tracts?|parcels?|sections?|secs?|townships?|twp|ranges?|volumes?|vol|"
    r"books?|bk|pages?|pgs?|pp|plats?|instruments?|inst|documents?|doc|files?|film|nos?|numbers?|"
    r"units?|phases?|filings?|maps?|cases?|slides?|cabinets?|drawers?|highways?|hwy|routes?|"
    r"county road|state road|us|sh|fm|cr|ls|pls|rls|rpls|license|cap|stamped|marked|entry|"
    r"reception|corners?|cors?|points?|records?|item|serial|district|survey|abstract)"
)
_NO_LENGTH = (
    r"(?![0-9]|\.[0-9]| ?-?(?:feet|foot|ft|'|\"|in\b|inch|met|m\b|rod|rd|pole|perch|chain|ch|"
    r"link|lk|yard|vara))"
)
_MARK = (
    r"(?:iron|steel|rebar|re-bar|pipe|pin|rod|bar|bolt|cap|capped|stake|axle|diameter|dia|stone|"
    r"pvc|concrete|monument|nail|spike|brass|aluminum|disk|disc|plug|post|tree|oak|pine|elm|maple|"
    r"ash|hickory|cedar|fence|tack|hub|rerod|reinforcing)"
)
_WIDE = (
    r"(?:wide|width|in width|right[ -]of[ -]way|r/w|row|r\.o\.w|(?:\w+ )?(?:street|road|alley|"
    r"easement|strip|lane|avenue))"
)
_MONTH = r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\.?"
_EXPLAINED = re.compile(
    "|".join((
        rf"(?<![a-z])(?:{_LABEL}\.?|#) ?(?:no\.?|number|#)? ?#?[0-9]+(?:[a-z]|[-/:][0-9]+)*"
        rf"{_NO_LENGTH}(?:(?: ?, ?| ?& ?| ?and ?)[0-9]+{_NO_LENGTH})*",
        r"(?<![a-z])[tr]\.? ?[0-9]+ ?[nsew]\b",
        r"(?<![0-9])[nsew]{0,2} ?(?:1/2|1/4|1/16|3/4)(?![0-9])(?! ?(?:\"|in))",
        r"(?<![0-9])(?:[0-9]{1,4}[ -])?[0-9]{1,4}(?:/[0-9]{1,4}|\.[0-9]{1,4})? ?-?"
        r"(?:\"|inch(?:es)?|in\.?)"
        rf"(?:[ -]+[a-z.-]+){{0,4}}?[ -]+\(?{_MARK}\b",
        rf"#[0-9]{{1,4}} (?:\w+ )?{_MARK}",
        rf"(?<![0-9.,]){NUMBER} ?-?(?:feet|foot|ft\.?|')[ -]?(?:\(\w+\) ?)?{_WIDE}\b",
        rf"{_MONTH} [0-9]{{1,2}}(?:,? [0-9]{{4}})?",
        r"(?<![0-9])[0-9]{1,4}(?:st|nd|rd|th)\b",
        r"^[ (]*[0-9]{1,2}[.)](?= )",
    ))
)
"""Numbers of a description that are not part of a course: what they count stands beside them."""


def blank_explained(body: str) -> str:
    """Take out numbers that are not part of a course: of lots and pages, sizes of pins, dates.

    Parameters
    ----------
    body
        The course in plain small letters.

    Returns
    -------
    str
        The same with such pieces blanked, nothing else moved.
    """
    return _EXPLAINED.sub(lambda match: " " * len(match[0]), body)


def refuse_uncomputed(body: str) -> None:
    """Refuse words that say what is not computed here.

    Parameters
    ----------
    body
        The text in plain small letters.

    Raises
    ------
    MeasureError
        For a distance more or less, a line along water, land taken out, a degree of curve.
    """
    for pattern, what, remedy in _NOT_COMPUTED:
        match = re.search(pattern, body)
        if match is not None:
            raise MeasureError(f'"{_few(match[0])}" is {what}, which is not computed', remedy)


def refuse_rest(rest: str) -> None:
    """Refuse numbers that nothing explains.

    Parameters
    ----------
    rest
        What is left of a course when its figures and all that is explained are blanked.

    Raises
    ------
    MeasureError
        With the number and the words round it.
    """
    match = re.search(r"[0-9][0-9.,'\"°/-]*", rest)
    if match is None:
        return
    start = max(0, rest.rfind(" ", 0, max(0, match.start() - 24)))
    near = " ".join(rest[start : match.end() + 16].split())
    raise MeasureError(
        f'"{near}" is not understood',
        "leave such words out, or write the courses as a list, each its bearing and distance",
    )


def _few(text: str) -> str:
    return text if len(text) <= 40 else f"{text[:39]}…"
