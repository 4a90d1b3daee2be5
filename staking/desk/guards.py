"""Who may ask the desk: only its own page, in a browser on this computer.

The desk listens on the loopback address, but any page open in the same browser can send requests
there. Each request is therefore looked at before anything is done for it.
"""

from __future__ import annotations

import hmac
import secrets
from http import HTTPStatus
from typing import TYPE_CHECKING

from staking.frozen import frozen

if TYPE_CHECKING:
    from werkzeug.datastructures import Headers

LOOPBACK = "127.0.0.1"
TOKEN_HEADER = "X-Staking-Token"
LARGEST_BODY = 2_000_000
"""Bytes of a request; a job file holds a million at most."""
LARGEST_SURVEY = 200_000_000
"""Bytes of a survey that is copied beside the job."""

_OWN_PAGE = "same-origin"
_TYPED_IN = "none"
"""What a browser says of an address that was typed in, or opened by another program."""


@frozen
class Refusal:
    """Why a request is not answered."""

    status: HTTPStatus
    sentence: str


@frozen
class Doorkeeper:
    """Looks at each request.

    Parameters
    ----------
    port
        The port on which the desk listens.
    token
        What its own page sends in a header; it was handed over in the fragment of the page's
        address, which no browser sends to anyone.
    """

    port: int
    token: str

    @property
    def host(self) -> str:
        """The only host under which the desk answers: a name that leads here is another."""
        return f"{LOOPBACK}:{self.port}"

    @property
    def origin(self) -> str:
        """The origin of the desk's own page."""
        return f"http://{self.host}"

    def refusal(self, headers: Headers, *, page: bool, ticket: bool = False) -> Refusal | None:
        """Say why a request is not answered.

        Parameters
        ----------
        headers
            The request's.
        page
            Whether it asks for the page itself or a part of its dress, which hold nothing of the
            job and need no token.
        ticket
            Whether a ticket in its address stands for the token.

        Returns
        -------
        Refusal or None
            None where it may be answered.
        """
        if headers.get("Host", "") != self.host:
            return _forbidden("the desk answers only under its own address")
        origin = headers.get("Origin")
        if origin is not None and origin != self.origin:
            return _forbidden("another page may not ask the desk")
        site = headers.get("Sec-Fetch-Site")
        allowed = {_OWN_PAGE, _TYPED_IN} if page else {_OWN_PAGE}
        if site is not None and site not in allowed:
            return _forbidden("another site may not ask the desk")
        if page or ticket:
            return None
        given = headers.get(TOKEN_HEADER, "")
        if not hmac.compare_digest(given.encode(), self.token.encode()):
            return Refusal(
                status=HTTPStatus.UNAUTHORIZED,
                sentence="this page is not the one that the desk opened; open the address that "
                "`staking desk` printed",
            )
        return None


def _forbidden(sentence: str) -> Refusal:
    return Refusal(status=HTTPStatus.FORBIDDEN, sentence=sentence)


def new_token() -> str:
    """Make a token that nobody can guess."""
    return secrets.token_urlsafe(32)


def body_refusal(length: str | None, encoding: str | None, most: int) -> Refusal | None:
    """Say why a request's body is not read.

    Parameters
    ----------
    length
        Its ``Content-Length``.
    encoding
        Its ``Transfer-Encoding``.
    most
        The most bytes that are taken.

    Returns
    -------
    Refusal or None
        None where it is read.
    """
    if encoding is not None or length is None or not (length.isascii() and length.isdigit()):
        return Refusal(status=HTTPStatus.LENGTH_REQUIRED, sentence="a request says how long it is")
    if int(length) > most:
        return Refusal(
            status=HTTPStatus.REQUEST_ENTITY_TOO_LARGE,
            sentence=f"this is over {most // 1_000_000} MB, which is too much",
        )
    return None


SECURITY_HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; "
        "connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    ),
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "no-store",
}
"""Sent with every answer: only the desk's own files run or are shown, and nothing is kept."""

PHONE_PAGE_POLICY = (
    "sandbox allow-scripts allow-modals; default-src 'none'; script-src 'unsafe-inline'; "
    "style-src 'unsafe-inline'; img-src data: blob:; frame-ancestors 'none'"
)
"""The policy of the page for the phone: its one script runs, apart from the desk's origin.

The file's own policy, by the hashes of its script and style, holds on top of this one.
"""
