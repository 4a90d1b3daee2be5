"""The desk's answers to its page: one function for each thing that is asked."""

from __future__ import annotations

import contextlib
import json
import secrets
import socket
import sys
import threading
import time
import traceback
from collections.abc import Callable, Iterator
from functools import cache
from http import HTTPStatus
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any

from werkzeug.wrappers import Request, Response

from staking.desk.drawn_answer import DrawnAnswer, draw_answer, figures_answer, read_answer
from staking.desk.guards import (
    LARGEST_BODY,
    LARGEST_SURVEY,
    PHONE_PAGE_POLICY,
    SECURITY_HEADERS,
    Doorkeeper,
    Refusal,
    body_refusal,
)
from staking.desk.job_on_disk import (
    ChangedMeanwhileError,
    beside_job,
    copy_beside,
    read_on_file,
    save,
)
from staking.desk.open_pages import OpenPages
from staking.desk.question_list import questions
from staking.desk.sheet_pictures import sheet_picture, sheet_titles
from staking.desk.survey_look import survey_look
from staking.desk.traced_outline import outline_answer
from staking.desk.weighing import Weighing
from staking.errors import ProjectError
from staking.frozen import frozen
from staking.job.edit.file_edits import Answer
from staking.units import Unit

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from _typeshed.wsgi import StartResponse, WSGIEnvironment

    from staking.job.build import Job

DRESS = {
    "desk.css": "text/css",
    "icon.svg": "image/svg+xml",
    "asking.js": "text/javascript",
    "fields.js": "text/javascript",
    "outline.js": "text/javascript",
    "buildings.js": "text/javascript",
    "drawing.js": "text/javascript",
    "brought.js": "text/javascript",
    "weighed.js": "text/javascript",
    "papers.js": "text/javascript",
    "plan.js": "text/javascript",
    "figures.js": "text/javascript",
    "desk.js": "text/javascript",
}
"""The files that the page loads, and their kinds."""

MADE_KINDS = {
    ".pdf": "application/pdf",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".dxf": "application/dxf",
    ".csv": "text/csv",
    ".xml": "application/xml",
    ".geojson": "application/geo+json",
    ".gpx": "application/gpx+xml",
    ".json": "application/json",
    ".html": "text/html",
}
"""Kinds of the files that the desk makes, by their endings."""

BODY_SECONDS = 15.0
SURVEY_SECONDS = 300.0
TICKET_SECONDS = 30.0
_PIECE = 1 << 16
_SHEETS = "sheet.pdf"


@frozen
class MadeFiles:
    """Files that were made: the folder's name, the files' names, and what was noticed."""

    folder: str
    names: tuple[str, ...]
    told: tuple[str, ...] = ()


Maker = Callable[[Path, "tuple[str, ...] | None"], MadeFiles]
"""Makes the files of a job that is on file: all of them, or these kinds."""


class _RefusedError(Exception):
    """A request that is not answered."""

    def __init__(self, refusal: Refusal) -> None:
        super().__init__(refusal.sentence)
        self.refusal = refusal


class DeskApp:
    """The desk over one job file.

    Parameters
    ----------
    path
        The job file; it need not be there yet.
    keeper
        Looks at each request.
    maker
        Makes the files of a job.
    names
        The files that it may make.
    pages
        Counts open pages.
    """

    def __init__(
        self, path: Path, keeper: Doorkeeper, maker: Maker, names: Iterable[str], pages: OpenPages
    ) -> None:
        self.path = path
        self.keeper = keeper
        self.maker = maker
        self.names = frozenset(names)
        self.pages = pages
        self.draft: str | None = None
        self.weighing = Weighing(path)
        self._work = threading.Lock()
        self._read: tuple[str, Job | None] = ("", None)
        self._drawn: DrawnAnswer | None = None
        self._tickets: dict[str, tuple[str, float]] = {}
        self._answers: dict[tuple[str, str], Callable[[Request], Response]] = {
            ("GET", "/questions"): self._questions,
            ("GET", "/job"): self._job,
            ("POST", "/hello"): self._hello,
            ("POST", "/goodbye"): self._goodbye,
            ("POST", "/answer"): self._answer,
            ("POST", "/draw"): self._draw,
            ("POST", "/figures"): self._figures,
            ("POST", "/save"): self._save,
            ("POST", "/make"): self._make,
            ("POST", "/survey"): self._survey,
            ("POST", "/look"): self._look,
            ("POST", "/outline"): self._outline,
            ("GET", "/sheets"): self._sheets,
            ("POST", "/weigh"): self._weigh,
            ("GET", "/weighing"): lambda _: _told(self.weighing.told),
            ("POST", "/take"): self._take,
            ("POST", "/ticket"): self._ticket,
        }

    def __call__(self, environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        """Answer one request."""
        request = Request(environ)
        try:
            response = self._answered(request)
        except _RefusedError as error:
            _drain(request)
            response = _told({"error": error.refusal.sentence}, error.refusal.status)
        except ProjectError as error:
            response = _told({"error": str(error)}, HTTPStatus.UNPROCESSABLE_ENTITY)
        except Exception:
            traceback.print_exc(file=sys.stderr)
            response = _told(
                {"error": "the desk could not answer; what went wrong stands in its terminal"},
                HTTPStatus.INTERNAL_SERVER_ERROR,
            )
        for name, value in SECURITY_HEADERS.items():
            response.headers.setdefault(name, value)
        return response(environ, start_response)

    def _answered(self, request: Request) -> Response:
        asked = (request.method, request.path)
        page = asked == ("GET", "/") or request.path.startswith("/dress/")
        ticket = request.path.startswith("/phone/")
        refusal = self.keeper.refusal(request.headers, page=page, ticket=ticket)
        if refusal is not None:
            raise _RefusedError(refusal)
        if asked == ("GET", "/"):
            return Response(_page(), mimetype="text/html")
        if request.method == "GET" and page:
            return _dress(request.path.removeprefix("/dress/"))
        if request.method == "GET" and ticket:
            return self._phone_page(request.path.removeprefix("/phone/"))
        if request.method == "GET" and request.path.startswith("/made/"):
            return self._made(request.path.removeprefix("/made/"))
        if request.method == "GET" and request.path.startswith("/sheet/"):
            return self._sheet(request.path.removeprefix("/sheet/"))
        answer = self._answers.get(asked)
        if answer is None:
            raise _RefusedError(
                Refusal(status=HTTPStatus.NOT_FOUND, sentence="there is nothing of that name")
            )
        return answer(request)

    def _questions(self, _: Request) -> Response:
        return _told(questions())

    def _job(self, _: Request) -> Response:
        from staking.job.starter import starter_text

        found = read_on_file(self.path)
        fresh = found.text or starter_text()
        return _told({
            "name": self.path.name,
            "is_new": not found.text,
            "text": fresh,
            "mark": found.mark,
            "draft": self.draft if self.draft not in {None, fresh} else None,
            "files": sorted(
                each.name
                for each in self.path.absolute().parent.iterdir()
                if each.is_file() and not each.name.startswith(".") and each.name != self.path.name
            )[:200],
            "made": self._there(),
            "folder": self._folder.name,
        })

    def _there(self) -> list[str]:
        return [name for name in sorted(self.names) if (self._folder / name).is_file()]

    @property
    def _folder(self) -> Path:
        return self.path.with_name(f"{self.path.stem}-layout")

    def _hello(self, request: Request) -> Response:
        self.pages.hello(_text(_body(request), "page"))
        return _told({})

    def _goodbye(self, request: Request) -> Response:
        body = _body(request)
        self.pages.goodbye(_text(body, "page"), unsaved=bool(body.get("unsaved")))
        return _told({})

    def _answer(self, request: Request) -> Response:
        body = _body(request)
        text = _text(body, "text")
        given = body.get("answers", [])
        if not isinstance(given, list):
            raise _malformed()
        return self._put(text, [_answer_of(each) for each in given])

    def _put(self, text: str, answers: Sequence[Answer]) -> Response:
        told, job = read_answer(text, answers, self.path)
        self.draft = told["text"]
        self._read = (told["text"], job)
        return _told(told)

    def _draw(self, request: Request) -> Response:
        text = _text(_body(request), "text")
        with self._work:
            return _told(self._draw_text(text)[0])

    def _figures(self, request: Request) -> Response:
        text = _text(_body(request), "text")
        with self._work:
            drawn = self._drawn
            if drawn is None or drawn.text != text:
                drawn = self._draw_text(text)[1]
            if drawn is None:
                return _told({"faults": [], "tapes": [], "levels": [], "order": []})
            return _told(figures_answer(drawn.resolved, self.path))

    def _draw_text(self, text: str) -> tuple[dict[str, Any], DrawnAnswer | None]:
        read, job = self._read
        told, drawn = draw_answer(text, self.path, job if read == text else None, self._drawn)
        # What is at fault is mended by the next answer, mostly: the last good one stays for it.
        self._drawn = drawn or self._drawn
        return told, drawn

    def _save(self, request: Request) -> Response:
        body = _body(request)
        text, mark = _text(body, "text"), _text(body, "mark")
        try:
            found = save(self.path, text, mark, anyway=bool(body.get("anyway")))
        except ChangedMeanwhileError as error:
            there = {"text": error.found.text, "mark": error.found.mark}
            return _told({"error": str(error), **there}, HTTPStatus.CONFLICT)
        self.draft = None
        return _told({"text": found.text, "mark": found.mark})

    def _make(self, request: Request) -> Response:
        kinds = _body(request).get("kinds")
        asked = None if kinds is None else tuple(str(each) for each in kinds)
        with self._work:
            made = self.maker(self.path, asked)
        return _told({
            "folder": made.folder,
            "names": list(made.names),
            "told": list(made.told),
            "made": self._there(),
        })

    def _survey(self, request: Request) -> Response:
        name = request.args.get("name", "")
        pieces = _pieces(request, LARGEST_SURVEY, SURVEY_SECONDS)
        return _told({"name": copy_beside(self.path, name, pieces).name})

    def _look(self, request: Request) -> Response:
        body = _body(request)
        try:
            units = [Unit(body[key]).value if body.get(key) else None for key in ("unit", "units")]
        except ValueError as error:
            raise _malformed() from error
        survey = beside_job(self.path, _text(body, "name"))
        with self._work:
            return _told(survey_look(survey, *units))

    def _outline(self, request: Request) -> Response:
        body = _body(request)
        layers = body.get("layers", [])
        if not isinstance(layers, list) or not all(isinstance(each, str) for each in layers):
            raise _malformed()
        try:
            given = Unit(body["unit"]) if body.get("unit") else None
            units = (given, Unit(_text(body, "units")))
        except ValueError as error:
            raise _malformed() from error
        drawing = beside_job(self.path, _text(body, "name"))
        with self._work:
            return _told(outline_answer(drawing, layers, _text(body, "close"), units))

    def _weigh(self, request: Request) -> Response:
        self.weighing.start(_text(_body(request), "text"))
        return _told({})

    def _take(self, request: Request) -> Response:
        body = _body(request)
        text, row = _text(body, "text"), body.get("row")
        if type(row) is not int:
            raise _malformed()
        return self._put(text, self.weighing.row_answers(text, row))

    def _sheets(self, _: Request) -> Response:
        path = self._folder / _SHEETS
        if not path.is_file() or path.is_symlink():
            return _told({"titles": [], "old": False})
        old = self.path.is_file() and self.path.stat().st_mtime_ns > path.stat().st_mtime_ns
        return _told({"titles": sheet_titles(path), "old": old})

    def _sheet(self, number: str) -> Response:
        path = self._made_path(_SHEETS)
        page = int(number) if number.isascii() and number.isdigit() and len(number) < 5 else 0
        found = sheet_picture(path, page)
        if found is None:
            raise _RefusedError(
                Refusal(status=HTTPStatus.NOT_FOUND, sentence="there is no such sheet")
            )
        return Response(found, mimetype="image/png")

    def _ticket(self, request: Request) -> Response:
        name = _text(_body(request), "name")
        self._made_path(name)
        ticket = secrets.token_urlsafe(24)
        self._tickets[ticket] = (name, time.monotonic() + TICKET_SECONDS)
        return _told({"address": f"/phone/{ticket}"})

    def _phone_page(self, ticket: str) -> Response:
        name, until = self._tickets.pop(ticket, ("", 0.0))
        if not name or time.monotonic() > until:
            raise _RefusedError(
                Refusal(status=HTTPStatus.FORBIDDEN, sentence="open the page from the desk anew")
            )
        response = self._made(name)
        response.headers["Content-Security-Policy"] = PHONE_PAGE_POLICY
        return response

    def _made_path(self, name: str) -> Path:
        path = self._folder / name
        if name not in self.names or not path.is_file() or path.is_symlink():
            raise _RefusedError(
                Refusal(status=HTTPStatus.NOT_FOUND, sentence="there is no such file of the desk's")
            )
        return path

    def _made(self, name: str) -> Response:
        path = self._made_path(name)
        return Response(path.read_bytes(), mimetype=MADE_KINDS[path.suffix])


def _told(what: dict[str, Any], status: HTTPStatus = HTTPStatus.OK) -> Response:
    text = json.dumps(what, ensure_ascii=False, separators=(",", ":"))
    return Response(text, status=status, mimetype="application/json")


@cache
def _page() -> str:
    from jinja2 import Environment, StrictUndefined

    environment = Environment(autoescape=True, undefined=StrictUndefined)
    template = environment.from_string(_source("templates", "desk.html.j2"))
    scripts = [name for name in DRESS if name.endswith(".js")]
    return template.render(scripts=scripts)


def _source(folder: str, name: str) -> str:
    return (files("staking.desk") / folder / name).read_text(encoding="utf-8")


def _dress(name: str) -> Response:
    if name not in DRESS:
        raise _RefusedError(
            Refusal(status=HTTPStatus.NOT_FOUND, sentence="there is nothing of that name")
        )
    return Response(_source("static", name), mimetype=DRESS[name])


def _pieces(request: Request, most: int, seconds: float) -> Iterator[bytes]:
    """Read a body piece by piece, within its length and its time."""
    headers = request.headers
    refusal = body_refusal(headers.get("Content-Length"), headers.get("Transfer-Encoding"), most)
    if refusal is not None:
        raise _RefusedError(refusal)
    left, end = int(headers["Content-Length"]), time.monotonic() + seconds
    stream = request.environ["wsgi.input"]
    while left:
        try:
            piece = stream.read1(min(left, _PIECE))
        except TimeoutError:
            piece = b""
        if not piece or time.monotonic() > end:
            raise _RefusedError(
                Refusal(status=HTTPStatus.REQUEST_TIMEOUT, sentence="this came too slowly")
            )
        left -= len(piece)
        yield piece
    request.environ["staking.read"] = True


def _drain(request: Request) -> None:
    # A refused body is taken off the line, within reason, or the sender never reads why; then
    # no more of it is heard.
    try:
        _take_rest(request)
    finally:
        with contextlib.suppress(OSError):
            request.environ["werkzeug.socket"].shutdown(socket.SHUT_RD)


def _take_rest(request: Request) -> None:
    if request.environ.get("staking.read"):
        return
    length = request.headers.get("Content-Length", "")
    left = min(int(length) if length.isascii() and length.isdigit() else 0, 4 * LARGEST_BODY)
    end = time.monotonic() + 2.0
    try:
        while left > 0 and time.monotonic() < end:
            piece = request.environ["wsgi.input"].read1(min(left, _PIECE))
            if not piece:
                return
            left -= len(piece)
    except OSError:
        return


def _body(request: Request) -> dict[str, Any]:
    if request.mimetype != "application/json":
        raise _RefusedError(
            Refusal(status=HTTPStatus.UNSUPPORTED_MEDIA_TYPE, sentence="the desk is asked in JSON")
        )
    data = b"".join(_pieces(request, LARGEST_BODY, BODY_SECONDS))
    try:
        found = json.loads(data)
    except (ValueError, RecursionError):
        found = None
    if not isinstance(found, dict):
        raise _malformed()
    return found


def _malformed() -> _RefusedError:
    return _RefusedError(
        Refusal(status=HTTPStatus.BAD_REQUEST, sentence="the desk does not understand this")
    )


def _text(body: dict[str, Any], key: str) -> str:
    found = body.get(key)
    if not isinstance(found, str):
        raise _malformed()
    try:
        found.encode("utf-8")
    except UnicodeEncodeError as error:
        raise _malformed() from error
    return found


def _answer_of(given: Any) -> Answer:
    if not isinstance(given, dict) or not isinstance(given.get("place"), list):
        raise _malformed()
    place = given["place"]
    instead = given.get("instead_of")
    if not place or not all(
        isinstance(step, str) or (type(step) is int and step >= 0) for step in place
    ):
        raise _malformed()
    if instead is not None and not isinstance(instead, str):
        raise _malformed()
    value = given.get("value")
    if given.get("is_written") and isinstance(value, str):
        value = _written(value)
    if not _is_value(value):
        raise _malformed()
    return Answer(place=tuple(place), value=value, instead_of=instead)


def _written(text: str) -> Any:
    """Read what was typed as the file would hold it: brackets and all; else as plain text."""
    from staking.errors import InputError
    from staking.job.edit.node_spans import nodes_of, value_of

    try:
        found = value_of(nodes_of(f"a: {text}\n", ""))
    except InputError:
        return text
    assert isinstance(found, dict)
    return found["a"] if len(found) == 1 else text


def _is_value(value: Any, depth: int = 12) -> bool:
    if value is None or isinstance(value, str):
        return True
    if depth == 0:
        return False
    if isinstance(value, list):
        return all(_is_value(each, depth - 1) for each in value)
    return isinstance(value, dict) and all(_is_value(each, depth - 1) for each in value.values())
