"""A desk that listens, asked by hand: no browser, and nothing but the standard library."""

from __future__ import annotations

import http.client
import json
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from staking.commands.desk import make_files
from staking.commands.layout_files import FILES
from staking.desk.desk_server import Desk
from staking.desk.open_pages import OpenPages

SHED = """\
job: Plum shed   # ours
units: ft
building:
  rectangle: 36' x 24'
  wall: 8"
  footing: {width: 20", thickness: 10"}
"""


@dataclass
class Asked:
    """What came back."""

    status: int
    headers: dict[str, str]
    body: bytes

    @property
    def told(self) -> Any:
        return json.loads(self.body)


@dataclass
class Running:
    """A desk that listens, and how it is asked."""

    desk: Desk
    path: Path

    @property
    def port(self) -> int:
        return self.desk.keeper.port

    @property
    def own(self) -> dict[str, str]:
        """The headers that its own page sends."""
        return {
            "Host": self.desk.keeper.host,
            "Origin": self.desk.keeper.origin,
            "Sec-Fetch-Site": "same-origin",
            "X-Staking-Token": self.desk.keeper.token,
        }

    def ask(
        self,
        method: str,
        path: str,
        body: bytes | None = None,
        headers: dict[str, str] | None = None,
    ) -> Asked:
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        line.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
        for name, value in (self.own if headers is None else headers).items():
            line.putheader(name, value)
        if body is not None:
            line.putheader("Content-Length", str(len(body)))
        line.endheaders()
        if body is not None:
            line.send(body)
        answer = line.getresponse()
        found = Asked(answer.status, dict(answer.getheaders()), answer.read())
        line.close()
        return found

    def post(self, path: str, body: Any, **changed: str | None) -> Asked:
        headers = {**self.own, "Content-Type": "application/json"}
        for name, value in changed.items():
            key = name.replace("_", "-")
            headers = {k: v for k, v in headers.items() if k.lower() != key}
            if value is not None:
                headers[key] = value
        return self.ask("POST", path, json.dumps(body).encode(), headers)


Start = Callable[..., Running]


@pytest.fixture
def start(tmp_path: Path) -> Iterator[Start]:
    started: list[tuple[Desk, threading.Thread]] = []

    def go(text: str | None = SHED, name: str = "job.yaml", grace: float | None = 60.0) -> Running:
        path = tmp_path / name
        if text is not None:
            path.write_bytes(text.encode())
        pages = None if grace is None else OpenPages(grace)
        desk = Desk(path, make_files, FILES.values(), pages=pages)
        thread = threading.Thread(target=desk.serve, daemon=True)
        thread.start()
        started.append((desk, thread))
        return Running(desk, path)

    yield go
    for desk, thread in started:
        desk.stop()
        thread.join(20)
        assert not thread.is_alive()


@pytest.fixture
def running(start: Start) -> Running:
    return start()
