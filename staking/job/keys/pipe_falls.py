"""The fall of a pipe, by the foot, by the metre or as a percentage."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import WithJsonSchema

from staking.errors import MeasureError
from staking.job.keys.fields import own_text
from staking.job.keys.read_by import ReadBy
from staking.measure.lengths import Unit, parse_length

_PER = re.compile(r"(.+?)\s+(?:per|in|/)\s+(?:a\s+|1\s*)?(ft|foot|m|metre|meter)", re.IGNORECASE)
_PERCENT = re.compile(r"([0-9]{1,2}(?:\.[0-9]{1,3})?)\s*%")
_STEEPEST = 0.5


def read_fall(value: Any) -> float:
    """Read a pipe's fall: ``1/4" per ft``, ``20 mm per m`` or ``2%``.

    Returns
    -------
    float
        By the length: 0.02 for 2 %.

    Raises
    ------
    MeasureError
        Where it is no such fall.
    """
    text = own_text(value).strip()
    percent, per = _PERCENT.fullmatch(text), _PER.fullmatch(text)
    if percent is not None:
        fall = float(percent[1]) / 100
    elif per is not None:
        unit = Unit.M if per[2].lower().startswith("m") else Unit.FT
        fall = parse_length(per[1], unit) / unit.metres
    else:
        raise MeasureError(f"{text} is not a fall of a pipe", 'write one such as 1/4" per ft or 2%')
    if not 0.0 < fall <= _STEEPEST:
        raise MeasureError(f"{text} is not a fall of a pipe", 'write one such as 1/4" per ft or 2%')
    return fall


Fall = Annotated[float, ReadBy(read_fall), WithJsonSchema({"type": "string"})]
