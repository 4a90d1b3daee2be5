"""Every guard of the desk, and somebody who tries to get past it."""

from __future__ import annotations

import socket
import time

import pytest

from staking.desk import desk_app
from tests.desk.conftest import SHED, Running

STATE = "/job"


def without(running: Running, name: str) -> dict[str, str]:
    return {key: value for key, value in running.own.items() if key != name}


def test_its_own_page_is_answered(running: Running) -> None:
    told = running.ask("GET", STATE).told
    assert told["text"] == SHED
    assert told["name"] == "job.yaml"


@pytest.mark.parametrize(
    "host", ["localhost", "evil.example", "127.0.0.1", "127.0.0.1.evil.example:{port}",
             "local.test:{port}", "[::1]:{port}", "127.0.0.1:1", ""],
)  # fmt: skip
def test_another_host_is_refused_even_with_the_token(running: Running, host: str) -> None:
    # A DNS name that is made to lead to 127.0.0.1 comes with that name as its host.
    given = {**running.own, "Host": host.format(port=running.port)}
    for path in ("/", "/dress/desk.js", STATE, "/made/plan.dxf", "/phone/x"):
        assert running.ask("GET", path, headers=given).status == 403
    assert running.ask("GET", STATE, headers=without(running, "Host")).status in {400, 403}


@pytest.mark.parametrize("token", [None, "", "x", "é", "0" * 43])
def test_no_token_or_a_wrong_one_gets_nothing(running: Running, token: str | None) -> None:
    given = without(running, "X-Staking-Token")
    if token is not None:
        given["X-Staking-Token"] = token.encode().decode("latin-1")
    for path in (STATE, "/questions", "/made/plan.dxf"):
        asked = running.ask("GET", path, headers=given)
        assert asked.status == 401
        assert b"Plum" not in asked.body
    for path in ("/answer", "/draw", "/save", "/make", "/hello", "/goodbye", "/survey", "/ticket"):
        asked = running.ask("POST", path, b"{}", {**given, "Content-Type": "application/json"})
        assert asked.status == 401
    assert running.path.read_text(encoding="utf-8") == SHED


def test_the_token_in_the_address_or_a_cookie_is_no_token(running: Running) -> None:
    token = running.desk.keeper.token
    given = {**without(running, "X-Staking-Token"), "Cookie": f"X-Staking-Token={token}"}
    assert running.ask("GET", f"{STATE}?token={token}", headers=given).status == 401


@pytest.mark.parametrize("site", ["cross-site", "same-site", "other"])
def test_another_site_is_refused(running: Running, site: str) -> None:
    given = {**running.own, "Sec-Fetch-Site": site}
    for path in ("/", "/dress/desk.js", STATE):
        assert running.ask("GET", path, headers=given).status == 403


def test_an_address_typed_in_gets_the_page_and_nothing_of_the_job(running: Running) -> None:
    given = {"Host": running.desk.keeper.host, "Sec-Fetch-Site": "none"}
    page = running.ask("GET", "/", headers=given)
    assert page.status == 200
    assert b"Plum" not in page.body
    assert running.ask("GET", STATE, headers={**running.own, **given}).status == 403


@pytest.mark.parametrize(
    "origin",
    ["null", "http://evil.example", "http://127.0.0.1", "file://", "https://127.0.0.1:{port}",
     "http://127.0.0.1:{port}.x"],
)  # fmt: skip
def test_another_origin_is_refused(running: Running, origin: str) -> None:
    given = origin.format(port=running.port)
    body = {"text": "job: taken\n", "mark": "", "anyway": True}
    assert running.post("/save", body, origin=given).status == 403
    assert running.path.read_text(encoding="utf-8") == SHED


@pytest.mark.parametrize(
    "kind", ["application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "text/plain"]
)
def test_a_form_of_another_page_cannot_save(running: Running, kind: str) -> None:
    given = {"Host": running.desk.keeper.host, "Origin": "http://evil.example",
             "Sec-Fetch-Site": "cross-site", "Content-Type": kind}  # fmt: skip
    body = b'{"text": "job: taken", "mark": "", "anyway": true}'
    assert running.ask("POST", "/save", body, given).status == 403
    # Even its own page is answered in JSON alone, which no form can send.
    assert running.ask("POST", "/save", body, {**running.own, "Content-Type": kind}).status == 415
    assert running.path.read_text(encoding="utf-8") == SHED


def test_no_other_origin_is_ever_let_in(running: Running) -> None:
    given = {**running.own, "Origin": "http://evil.example",
             "Access-Control-Request-Method": "POST"}  # fmt: skip
    for method, headers in (("OPTIONS", given), ("OPTIONS", running.own), ("GET", running.own)):
        asked = running.ask(method, STATE, headers=headers)
        assert not [name for name in asked.headers if name.lower().startswith("access-control")]
        assert "Set-Cookie" not in asked.headers
    assert running.ask("OPTIONS", "/save", headers=given).status == 403


def test_every_answer_carries_the_policy(running: Running) -> None:
    for path in ("/", "/dress/desk.js", STATE, "/nothing"):
        headers = running.ask("GET", path).headers
        policy = headers["Content-Security-Policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert "http" not in policy
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
        assert headers["Cache-Control"] == "no-store"


def test_the_page_holds_no_script_and_no_style_of_its_own(running: Running) -> None:
    page = running.ask("GET", "/").body.decode()
    assert "<script>" not in page
    assert "<style" not in page
    assert " style=" not in page
    assert " onclick=" not in page
    assert "http://" not in page
    assert "https://" not in page


@pytest.mark.parametrize(
    "path",
    ["/../job.yaml", "/dress/../desk_app.py", "/dress/%2e%2e/desk_app.py", "/dress//etc/passwd",
     "/made/../job.yaml", "/made/%2e%2e%2fjob.yaml", "/made/..%5cjob.yaml", "/made/job.yaml",
     "/made/.staking.json", "/made//etc/passwd", "/made/plan.dxf%00", "/phone/../../job.yaml"],
)  # fmt: skip
def test_no_path_leads_out_of_the_folder(running: Running, path: str) -> None:
    (running.path.parent / "job-layout").mkdir()
    (running.path.parent / "job-layout" / ".staking.json").write_text("{}", encoding="utf-8")
    asked = running.ask("GET", path)
    assert asked.status in {403, 404}
    assert b"Plum" not in asked.body


def test_a_link_in_the_folder_is_not_followed(running: Running) -> None:
    folder = running.path.parent / "job-layout"
    folder.mkdir()
    (folder / "plan.dxf").symlink_to(running.path)
    assert running.ask("GET", "/made/plan.dxf").status == 404


@pytest.mark.parametrize(
    "name",
    ["../x.csv", "..", ".", "/etc/x.csv", "a/b.csv", "a%5Cb.csv", ".hidden", "x%00.csv", "",
     "x%0A.csv", "C:x.csv", "x.csv.", "-rf", "nul", "Con.csv", "a%E2%80%AEvsc.exe",
     "%3Cimg src=x%3E.csv".replace(" ", "%20"), "x" * 120 + ".csv"],
)  # fmt: skip
def test_a_survey_is_copied_beside_the_job_or_not_at_all(running: Running, name: str) -> None:
    before = sorted(running.path.parent.parent.rglob("*"))
    asked = running.ask("POST", f"/survey?name={name}", b"1,2,3\n")
    assert asked.status == 422
    assert sorted(running.path.parent.parent.rglob("*")) == before


def test_a_survey_never_replaces_another_file(running: Running) -> None:
    assert running.ask("POST", "/survey?name=lot.csv", b"1,2,3\n").told == {"name": "lot.csv"}
    assert running.ask("POST", "/survey?name=lot.csv", b"1,2,3\n").told == {"name": "lot.csv"}
    for name in ("lot.csv", "job.yaml"):
        before = (running.path.parent / name).read_bytes()
        asked = running.ask("POST", f"/survey?name={name}", b"4,5,6\n")
        assert asked.status == 422
        assert "is there already and was left" in asked.told["error"]
        assert (running.path.parent / name).read_bytes() == before
    assert sorted(each.name for each in running.path.parent.iterdir()) == ["job.yaml", "lot.csv"]


@pytest.mark.parametrize(
    "key", ["site:\n  survey: ../lot.csv\n  units: ft\n", "order:\n  prices: /etc/hostname\n"]
)
def test_a_job_cannot_make_the_desk_read_elsewhere(running: Running, key: str) -> None:
    told = running.post("/draw", {"text": SHED + key}).told
    assert ["does not stand beside the job" in each["text"] for each in told["faults"]] == [True]


def test_three_megabytes_are_too_much(running: Running) -> None:
    asked = running.post("/answer", {"text": "x" * 3_000_000, "answers": []})
    assert asked.status == 413
    assert asked.told["error"] == "this is over 2 MB, which is too much"
    asked = running.ask(
        "POST", "/survey?name=big.csv", None, {**running.own, "Content-Length": "200000001"}
    )
    assert asked.status == 413
    assert not (running.path.parent / "big.csv").exists()


def test_a_body_without_its_length_is_refused(running: Running) -> None:
    for headers in ({}, {"Transfer-Encoding": "chunked"}, {"Content-Length": "-1"},
                    {"Content-Length": "1e3"}):  # fmt: skip
        given = {**running.own, "Content-Type": "application/json", **headers}
        assert running.ask("POST", "/answer", None, given).status in {400, 411}


@pytest.mark.parametrize(
    "body",
    [b"", b"[]", b"{", b"\xff", b'{"text": 1}', b'{"text": "\\ud800"}', b"[" * 100_000,
     b'{"text": "a: 1", "answers": [{"place": []}]}',
     b'{"text": "a: 1", "answers": [{"place": ["a"], "value": 7}]}',
     b'{"text": "a: 1", "answers": [{"place": [-1], "value": "7"}]}',
     b'{"text": "a: 1", "answers": [7]}', b'{"text": "a: 1", "answers": 7}'],
)  # fmt: skip
def test_what_is_no_question_is_no_crash(
    running: Running, body: bytes, capfd: pytest.CaptureFixture[str]
) -> None:
    given = {**running.own, "Content-Type": "application/json"}
    assert running.ask("POST", "/answer", body, given).status == 400
    assert capfd.readouterr().err == ""


def dripping(running: Running, head: bytes, drop: bytes, seconds: float) -> bytes:
    """Send a head, then a drop at a time; give what came back when the other side hung up."""
    with socket.create_connection(("127.0.0.1", running.port), timeout=30) as line:
        line.sendall(head)
        end = time.monotonic() + seconds
        line.settimeout(0.2)
        found = b""
        while time.monotonic() < end:
            try:
                line.sendall(drop)
                piece = line.recv(4096)
                if not piece:
                    return found
                found += piece
            except TimeoutError:
                continue
            except OSError:
                return found
        pytest.fail("the desk still listens to one who only drips")


def test_a_slow_body_is_given_up(running: Running, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(desk_app, "BODY_SECONDS", 1.0)
    lines = [f"{name}: {value}" for name, value in running.own.items()]
    lines += ["Content-Type: application/json", "Content-Length: 1000", "", ""]
    head = "\r\n".join(["POST /answer HTTP/1.1", *lines]).encode()
    assert b" 408 " in dripping(running, head, b" ", 15.0)


def test_a_slow_head_is_given_up(start, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("staking.desk.desk_server.HEADER_SECONDS", 1.0)
    running = start()
    dripping(running, b"GET / HTTP/1.1\r\n", b"X: 1\r\n", 15.0)


def test_nothing_listens_but_on_the_loopback_address(running: Running) -> None:
    taken = running.desk._socket.getsockname()
    assert taken[0] == "127.0.0.1"
    for family, address in ((socket.AF_INET6, "::1"), (socket.AF_INET, "127.0.0.2")):
        with socket.socket(family, socket.SOCK_STREAM) as line:
            line.settimeout(2)
            assert line.connect_ex((address, running.port)) != 0


def test_hostile_names_in_a_job_are_only_text(running: Running) -> None:
    name = "<script>alert(1)</script><img src=x onerror=alert(1)>\"'&"
    text = SHED.replace("Plum shed   # ours", "'" + name.replace("'", "''") + "'")
    told = running.post("/draw", {"text": text}).told
    assert told["faults"] == []
    assert "<script" not in told["picture"]
    assert "<img" not in told["picture"]
    assert "&lt;script&gt;" in told["picture"]
    answered = running.post("/answer", {"text": text, "answers": []})
    assert answered.told["values"]["job"] == name
    assert answered.headers["Content-Type"] == "application/json"
