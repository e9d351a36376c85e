"""A round branch drawn at the bench of notebook 05: its ring, its words."""

import pytest
from table.bases_for_tests import ROUND_JOBS

from shopcalc.errors import InputError
from shopcalc.show.joint_pages import open_joints


def test_a_round_branch_is_drawn_with_its_ring(tmp_path):
    path = tmp_path / "round.toml"
    path.write_text(ROUND_JOBS["round posts on flat bars"], encoding="utf-8")
    bench = open_joints(path).bench
    still = bench.still(joint="post to foot")
    assert "Round branch of 1-7/8 in on a flat face 3 in wide" in still.picture.caption
    assert "of the way round the weld counts" in still.picture.caption and "run across" not in still.picture.caption
    ax = still.picture.figure.axes[0]
    drawn = [line for line in ax.lines if line.get_linewidth() == 3.2]
    dotted = [line for line in ax.lines if line.get_linestyle() == ":" and line.get_linewidth() == 1.6]
    assert 40 < len(drawn) < 144 and len(drawn) + len(dotted) == 144
    text = {t.get_text() for t in ax.texts}
    assert "thick: weld that counts; dotted: not counted" in text
    on_round = bench.still(joint="rail to post").picture.caption
    assert "on a round tube of 1-7/8 in" in on_round


def test_a_job_without_a_joint_that_is_worked_out_is_told(tmp_path):
    path = tmp_path / "square_on_round.toml"
    path.write_text(ROUND_JOBS["round column, square arms"], encoding="utf-8")
    with pytest.raises(InputError, match="tube on tube"):
        open_joints(path).bench  # noqa: B018
