"""The control of notebook 05: one joint with another wall, leg, bolts or moment."""

from pathlib import Path

import numpy as np
import pytest

from shopcalc.check import OVER, WITHIN
from shopcalc.errors import InputError
from shopcalc.show.joint_pages import open_joints
from shopcalc.table.joint_try import BOLTED, other_walls, triable, tried
from shopcalc.units import Q, magnitude

JOBS = Path(__file__).parents[2] / "notebooks" / "jobs"


@pytest.fixture(scope="module")
def pages():
    return open_joints(JOBS / "archive_map_table.toml")


def asked(pages, kind="post to foot", **changes):
    joint = triable(pages.job, pages.geometry)[kind]
    given = {
        "host": pages.geometry.members[joint.host].tube,
        "leg": Q(0.125, "in"),
        "moment": Q(250, "lbf*ft"),
        **changes,
    }
    return dict(
        zip(*(lambda t: (t.names, t.ratios))(tried(pages.job, pages.geometry, joint, **given)), strict=True)
    )


def test_the_weld_by_hand(pages):
    """K5: S = H^2/3 + B_e H with B_e half of 2 in; A513 unknown steel, wall 0.9 x 0.120: 0.6 F_y t/1.5."""
    found = asked(pages)
    modulus = 4 / 3 + 1.0 * 2
    assert found["weld"] == pytest.approx(250 * 12 / modulus / (0.4 * 32e3 * 0.108), rel=1e-6)


def test_twice_the_moment_is_twice_the_use(pages):
    one, two = asked(pages), asked(pages, moment=Q(500, "lbf*ft"))
    assert two["weld"] == pytest.approx(2 * one["weld"]) and two["face of the tube"] == pytest.approx(
        2 * one["face of the tube"]
    )


def test_a_thinner_host_folds_sooner(pages):
    joint = triable(pages.job, pages.geometry)["post to foot"]
    walls = other_walls(pages.geometry.members[joint.host].tube)
    assert list(walls)[-1] == "7 ga" and "11 ga" in walls
    assert asked(pages, host=walls["11 ga"])["face of the tube"] > 1.5 * asked(pages)["face of the tube"]
    thick = [float(magnitude(t.wall("nominal"), "m")) for t in walls.values()]
    assert thick == sorted(thick)
    assert all(np.isclose(magnitude(t.height, "in"), 2) for t in walls.values())  # as it lies


def test_bolts_instead_of_the_weld(pages):
    """Four bolts 2 x 2 in + 4 diameters apart: T = M/(2 s); 3/8 in of grade 2."""
    found = asked(pages, made="4 bolts of 3/8 in")
    assert (
        "weld" not in found
        and found["bolts in tension"] < asked(pages, made="2 bolts of 3/8 in")["bolts in tension"]
    )
    assert found["bolts in tension"] == pytest.approx(
        asked(pages, made="2 bolts of 3/8 in")["bolts in tension"] / 2
    )


@pytest.mark.parametrize("changes", [{"made": "glued"}, {"moment": Q(-1, "lbf*ft")}])
def test_bad_questions_are_told(pages, changes):
    with pytest.raises(InputError):
        asked(pages, **changes)


def test_the_control_answers_in_words_and_draws(pages):
    still = pages.bench.still(leg=Q(0.25, "in"), moment=Q(900, "lbf*ft"))
    assert OVER.capitalize() in still.text and "no leg will do" in still.text
    assert "on a face 3 in wide" in still.picture.caption and "works" in still.picture.caption
    assert WITHIN.capitalize() in pages.bench.still().text
    with pytest.raises(InputError):
        pages.bench.still(wall="3 ga")


def test_every_setting_of_every_demo_job_has_an_answer():
    for path in sorted(JOBS.glob("*.toml")):
        bench = open_joints(path).bench
        for joint, walls in bench.walls.items():
            for wall in walls:
                for made in BOLTED[bench.system]:
                    text, data = bench.answer(
                        joint, wall, made, bench.settings["leg"].value, bench.settings["moment"].value
                    )
                    assert text and len(data["tried"].names) >= 2, (path.stem, joint, wall, made)
