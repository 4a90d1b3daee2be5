"""A document written out as JSON."""

from __future__ import annotations

import json
from typing import Any


def document_text(document: dict[str, Any]) -> str:
    r"""Write a document out.

    Parameters
    ----------
    document
        The document.

    Returns
    -------
    str
        JSON in plain ASCII, which survives any terminal and any editor, with a final newline.

    Notes
    -----
    A value that is not a number raises ValueError: JSON has none, and a reader would choke on it.

    Examples
    --------
    >>> document_text({"job": "caf\u00e9"})
    '{\n "job": "caf\\u00e9"\n}\n'
    """
    return json.dumps(document, indent=1, allow_nan=False) + "\n"
