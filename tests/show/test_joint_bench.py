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


def test_a_pull_and_a_shear_by_hand(pages):
    """4 in of side and 2 x 1 in across work, 6 in: 600 lbf pull and 300 lbf along, at right angles."""
    found = asked(pages, moment=Q(0, "lbf*ft"), pull=Q(600, "lbf"), shear=Q(300, "lbf"))
    assert found["weld"] == pytest.approx(np.hypot(100, 50) / (0.4 * 32e3 * 0.108), rel=1e-6)
    pressed = asked(pages, moment=Q(0, "lbf*ft"), pull=Q(-600, "lbf"))
    assert pressed["weld"] == pytest.approx(100 / (0.4 * 32e3 * 0.108), rel=1e-6)


def test_bolts_by_hand(pages):
    """Four bolts 2 in + 4 diameters apart, 250 lbf ft and 400 lbf: T = 250 x 12/(2 x 3.5) + 100; grade 2 has 0.75 of
    74 ksi on the body over 2. A thick plate does not pry."""
    thick = Q(1, "inch")
    found = asked(pages, made="4 bolts of 3/8 in", pull=Q(400, "lbf"), plate=thick)
    T = 250 * 12 / (2 * 3.5) + 100
    assert "weld" not in found
    assert found["bolts, pull and shear"] == pytest.approx(T / (0.75 * 74e3 * np.pi / 4 * 0.375**2 / 2), rel=1e-6)
    two = asked(pages, made="2 bolts of 3/8 in", plate=thick, pull=Q(400, "lbf"))
    assert two["bolts, pull and shear"] == pytest.approx(2 * found["bolts, pull and shear"])
    slides = asked(pages, made="4 bolts of 3/8 in", plate=thick, shear=Q(800, "lbf"), moment=Q(0, "lbf*ft"))
    F_nv = 0.45 * 74e3  # threads in the shear plane
    assert slides["bolts, pull and shear"] == pytest.approx(200 / (F_nv * np.pi / 4 * 0.375**2 / 2), rel=1e-6)


def test_a_thin_plate_folds_and_pries(pages):
    thin, thick = (asked(pages, made="4 bolts of 3/8 in", plate=Q(t, "inch")) for t in (0.125, 0.5))
    assert thin["end plate"] > 1 > thick["end plate"] and thin["bolts, pull and shear"] > thick["bolts, pull and shear"]
    assert thin["end plate"] == pytest.approx(16 * thick["end plate"], rel=0.01)  # by the square of the thickness


def test_a_tapped_wall_strips_first(pages):
    found = asked(pages, made="4 of 1/4 in, tapped wall")
    assert found["thread"] > found["bolts, pull and shear"] and "wall under the bolts" in found
    assert "thread" not in asked(pages, made="4 bolts of 1/2 in")


@pytest.mark.parametrize(
    "changes",
    [
        {"made": "glued"},
        {"moment": Q(-1, "lbf*ft")},
        {"shear": Q(-1, "lbf")},
        {"pull": Q(1, "in")},
        {"made": "4 bolts of 1/2 in", "plate": Q(0, "in")},
    ],
)
def test_bad_questions_are_told(pages, changes):
    with pytest.raises(InputError):
        asked(pages, **changes)


def test_the_control_answers_in_words_and_draws(pages):
    still = pages.bench.still(leg=Q(0.25, "in"), moment=Q(900, "lbf*ft"), pull=Q(-300, "lbf"))
    assert OVER.capitalize() in still.text and "no leg will do" in still.text
    assert "under 300 lbf of push, 100 lbf along the tube, 900 lbf·ft of moment" in still.text
    assert "on a face 3 in wide" in still.picture.caption and "works" in still.picture.caption
    drawn = {t.get_text() for t in still.picture.figure.axes[0].texts}
    assert {"300 lbf", "100 lbf", "900 lbf·ft"} <= drawn  # beside its arrow
    assert WITHIN.capitalize() in pages.bench.still().text
    bolted = pages.bench.still(made="4 bolts of 3/8 in", plate=Q(0.125, "in"))
    assert "Over limit: end plate decides" in bolted.text and "end plate 1/8 in" in bolted.picture.caption
    assert "friction holds the shear" in bolted.text
    with pytest.raises(InputError):
        pages.bench.still(wall="3 ga")


def test_every_setting_of_every_demo_job_has_an_answer():
    for path in sorted(JOBS.glob("*.toml")):
        bench = open_joints(path).bench
        for joint, walls in bench.walls.items():
            for wall in walls:
                for made in BOLTED[bench.system]:
                    sizes = {n: bench.settings[n].value for n in ("leg", "plate", "pull", "shear", "moment")}
                    text, data = bench.answer(joint, wall, made, **sizes)
                    assert text and len(data["tried"].names) >= 2, (path.stem, joint, wall, made)
