"""The jobs on which all outputs are held together: the demos, and a lot with a shed in the way."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.agree.lots import NOTCH, write_lot
from tests.agree.papers import Papers

FIXTURES = Path(__file__).parents[2] / "fixtures"
DEMOS = ("orchard-workshop", "boat-shed", "hillside-lot")


@pytest.fixture(scope="session", params=[*DEMOS, "shed-in-the-notch"])
def papers(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Papers:
    """All outputs of one job."""
    folder = tmp_path_factory.mktemp(request.param)
    if request.param in DEMOS:
        shutil.copytree(FIXTURES / request.param, folder / "job")
        job = folder / "job" / "job.yaml"
    else:
        job = write_lot(folder / "job", NOTCH)
    return Papers(job=job, folder=folder / "out")
