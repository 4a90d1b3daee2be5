from pathlib import Path

from staking.project.layout import load_job
from staking.project.resolve import resolve
from staking.project.sheets import prepare_sheets

FIXTURES = Path(__file__).resolve().parent.parent / "fixtures"


def test_only_a_placed_job_is_staked_out_from_known_points():
    for name, is_placed in (("orchard-workshop", False), ("hillside-lot", True)):
        job = load_job(FIXTURES / name / "job.yaml")
        sheets = prepare_sheets(resolve(job))
        assert (sheets.staked is not None) == is_placed
        assert sheets.work is not None
        assert sheets.revised is None
