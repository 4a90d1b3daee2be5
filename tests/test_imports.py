"""What stays unloaded: quick answers must not wait for the libraries that they do not use."""

from __future__ import annotations

import ast
import json
import subprocess
import sys
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

import staking

HEAVY = (
    "defusedxml",
    "ezdxf",
    "jinja2",
    "numpy",
    "pydantic",
    "pypdfium2",
    "pyproj",
    "reportlab",
    "rich",
    "ruamel",
    "scipy",
    "shapely",
    "werkzeug",
)

PROBE = """
import json, sys
from staking.cli import main
status = None
try:
    main(sys.argv[1:], prog_name="staking")
except SystemExit as end:
    status = end.code
packages = sorted({name.partition(".")[0] for name in sys.modules})
print(json.dumps({"status": status or 0, "packages": packages}), file=sys.stderr)
"""


def loaded_by(*arguments: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-c", PROBE, *arguments],
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    told = json.loads(done.stderr.splitlines()[-1])
    assert told["status"] == 0, done.stdout + done.stderr
    return set(told["packages"])


@pytest.mark.parametrize(
    "arguments", [("--help",), ("--version",), ("diagonal", "24ft", "32ft"), ("diagonal", "--help")]
)
def test_quick_answers_load_click_and_nothing_heavier(arguments: tuple[str, ...]) -> None:
    packages = loaded_by(*arguments)
    assert "click" in packages
    assert not packages & set(HEAVY)


def test_nothing_but_the_desk_loads_the_desk(tmp_path: Path) -> None:
    probe = PROBE.replace('.partition(".")[0]', "")
    job = tmp_path / "job.yaml"
    for arguments in (("--help",), ("init", str(job)), ("layout", str(job))):
        done = subprocess.run(
            [sys.executable, "-c", probe, *arguments],
            capture_output=True,
            text=True,
            check=True,
            timeout=120,
        )
        told = json.loads(done.stderr.splitlines()[-1])
        assert told["status"] == 0, done.stdout + done.stderr
        loaded = [
            name for name in told["packages"] if name.startswith(("werkzeug", "staking.desk"))
        ]
        assert loaded == [], arguments


def test_help_of_every_command_leaves_the_geometry_and_drawing_libraries_alone() -> None:
    from staking.cli import main

    for name in main.list_commands(None):
        packages = loaded_by(name, "--help")
        assert not packages & {"ezdxf", "pyproj", "reportlab", "scipy", "shapely"}, name


def imports_of(module: str, path: Path, modules: dict[str, Path]) -> set[str]:
    """List the modules of the package that one imports, wherever the import stands in it."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {each.name for each in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module is not None:
            named = {f"{node.module}.{each.name}" for each in node.names}
            found |= named & modules.keys() or {node.module}
    return (found & modules.keys()) - {module}


def test_no_module_imports_itself_by_way_of_others() -> None:
    # Where the package really is: these tests run against an installed one too.
    root = Path(staking.__file__).parents[1]
    modules = {
        ".".join(path.relative_to(root).with_suffix("").parts).removesuffix(".__init__"): path
        for path in (root / "staking").rglob("*.py")
    }
    graph = {name: imports_of(name, path, modules) for name, path in modules.items()}
    assert len(graph["staking.cli"]) > 0
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        pytest.fail(" imports ".join(reversed(error.args[1])))
