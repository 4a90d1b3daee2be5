"""Text into XML: what a name or description may hold, XML may not."""

from __future__ import annotations

import re

_REFUSED = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""Characters outside XML 1.0's production 2 (W3C, 5th edition, 2008); no escape can write them."""


def content(text: str) -> str:
    """Return text as the content of an element.

    Parameters
    ----------
    text
        Any text; a character that XML cannot hold becomes U+FFFD.

    Returns
    -------
    str
        Escaped, so that it reads back as it was.

    Examples
    --------
    >>> content("over < 1")
    'over &lt; 1'
    """
    plain = _REFUSED.sub("\ufffd", text)
    plain = plain.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return plain.replace("\r", "&#13;")


def attribute(text: str) -> str:
    """Return text as the value of an attribute, with its quotes.

    Parameters
    ----------
    text
        As for `content`.

    Returns
    -------
    str
        Escaped; line ends and tabs too, which a reader would turn into blanks.

    Examples
    --------
    >>> attribute('3/4" rod')
    '"3/4&quot; rod"'
    """
    plain = content(text).replace('"', "&quot;").replace("\n", "&#10;").replace("\t", "&#9;")
    return f'"{plain}"'
