"""Whether the whole table stands: hand sums for the archive table, the worst place against a fine search, pushes, slopes,
public use, bases that are not alike on all sides; and the load table that it reads."""

import json
import math
import tomllib
from pathlib import Path

import numpy as np
import pytest
from table.bases_for_tests import JOBS

from shopcalc.check import KINDS
from shopcalc.mechanics.statics import load_that_tips, righting_ratio
from shopcalc.sources import PROVENANCE, source_of
from shopcalc.table.checks import CASTERS, standing_checks
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.loads import load_cases, load_keys
from shopcalc.table.stability import body_of, goes_over_map, weakest_place
from shopcalc.table.use_checks import loose_top_checks
from shopcalc.units import magnitude

FOLDER = Path(__file__).parent.parent.parent
ARCHIVE = (FOLDER / "notebooks" / "jobs" / "archive_map_table.toml").read_text(encoding="utf-8")
LEVEL = ARCHIVE.replace('[floor]\nslope = "1/8 in/ft"', "")
IN, LBF = 0.0254, 4.4482216152605


def standing(text: str) -> dict:
    job = read_job(text)
    g = build(job)
    cases = load_cases(job.overrides, public_use=job.model.settings.public_use)
    return {c.id.split("/")[1]: c for c in standing_checks(job, g, body_of(g), cases)}


@pytest.fixture(scope="module")
def level():
    return standing(LEVEL)


@pytest.fixture(scope="module")
def weight():
    """Of the archive table, wood 10 % light: lbf."""
    return body_of(build(read_job(LEVEL))).weight / LBF


# --- by hand --------------------------------------------------------------------------------------
# Top 126 x 48 in, its face 30 in above the floor. Feet at x = 39, y = 18.5 in: the weight acts 39 in inside the end
# feet and 18.5 in inside the side feet.


def test_person_on_a_corner_by_hand(level, weight):
    # 300 lbf 7 in in from the end: 63 - 7 - 39 = 17 in beyond the feet
    assert magnitude(level["person-stability"].limit, "") == pytest.approx(weight * 39 / (300 * 17), rel=1e-9)
    said = float(level["person-stability"].detail.split("goes over at ")[1].split()[0])
    assert said == pytest.approx(weight * 39 / 17, rel=6e-4)


def test_two_people_by_hand(level, weight):
    # One at the end 4 in in: 20 in beyond; two 24 in apart on a side: the second stands 59 - 24 = 35, inside 39.
    one, two = weight * 39 / (200 * 20), weight * 18.5 / (400 * (24 - 4 - 18.5))
    assert magnitude(level["two-persons-stability"].limit, "") == pytest.approx(min(one, two), rel=1e-9)


def test_published_load_asks_for_a_ratio_of_one(level, weight):
    check = level["published-stability"]
    assert magnitude(check.demand, "") == 1.0 and check.provenance == "second-hand"
    assert magnitude(check.limit, "") == pytest.approx(weight * 39 / (125.7 * 17), rel=1e-9)


def test_lean_and_push_by_hand(level, weight):
    # 200 lbf 2 in in: 22 in beyond the end feet; 50 lbf outward at 30 in, together (trap 6)
    end = weight * 39 / (200 * 22 + 50 * 30)
    side = weight * 18.5 / (200 * 3.5 + 50 * 30)
    assert magnitude(level["lean-and-push"].limit, "") == pytest.approx(min(end, side), rel=1e-9)


def test_a_slope_leans_table_and_load(weight):
    sloped = standing(ARCHIVE)["person-stability"]
    g = build(read_job(ARCHIVE))
    height = body_of(g).centre[2] / IN
    ratio = weight * 39 / (300 * (17 + 30 / 96) + weight * height / 96)
    assert magnitude(sloped.limit, "") == pytest.approx(ratio, rel=1e-9)
    assert magnitude(sloped.limit, "") < magnitude(standing(LEVEL)["person-stability"].limit, "")


def test_worked_line_prints_the_limit(level):
    for check in level.values():
        line = check.lines()[-1]
        assert float(line.result) == pytest.approx(magnitude(check.limit, ""), rel=6e-4)


# --- the worst place ------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["archive", "pedestal", "C-frames", "podiums", "one post", "splayed legs", "points of open shapes"])
def test_no_place_on_the_top_is_worse_than_the_one_named(name):
    """A fine grid over the top at the case's inset, all edges and directions."""
    text = LEVEL if name == "archive" else JOBS[name]
    job = read_job(text)
    g, found, cases = build(job), standing(text), load_cases(job.overrides)
    body = body_of(g)
    for case_id in ("person-stability", "published-stability", "lean-and-push"):
        case = cases[case_id]
        inset = magnitude(case.inset, "m")
        x, y = (np.linspace(-s / 2 + inset, s / 2 - inset, 41) for s in (g.top.length, g.top.width))
        push = 0.0 if case.push is None else magnitude(case.push, "N")
        load = np.array([magnitude(case.value, "N")])
        worst = min(righting_ratio(body.shape, body.weight, body.centre[:2], load, np.array([[a, b]]), push=push,
                                   push_height=g.top.surface)[0] for a in x for b in y)
        limit = math.inf if found[case_id].limit is None else magnitude(found[case_id].limit, "")
        assert limit == pytest.approx(worst, rel=1e-9)


def one_side_in(sign: int) -> str:
    """The bench of named points with the two feet of one side moved in: -1 its front, 1 its back."""
    text = JOBS["points"]
    for foot, x in zip("ab" if sign < 0 else "dc", (-30, 30), strict=True):
        old = f'{foot} = ["{x} in", "{12 * sign} in", "0 in"]'
        assert old in text
        text = text.replace(old, f'{foot} = ["{x} in", "{5 * sign} in", "0 in"]')
    return text


def test_a_base_that_is_not_alike_front_and_back_is_tried_on_all_sides():
    front, back = (standing(one_side_in(sign))["lean-and-push"] for sign in (-1, 1))
    assert "front" in front.detail and "back" in back.detail
    assert magnitude(front.limit, "") == pytest.approx(magnitude(back.limit, ""), rel=1e-9), "mirrored tables answer alike"
    assert magnitude(front.limit, "") < 0.5 * magnitude(standing(JOBS["points"])["lean-and-push"].limit, "")


def test_round_tops_are_searched_round_the_rim():
    lighthouse = (FOLDER / "notebooks" / "jobs" / "lighthouse_round_table.toml").read_text(encoding="utf-8")
    job = read_job(lighthouse)
    g = build(job)
    body = body_of(g)
    # Four feet on a circle: the worst lies between them, at r cos 45; a person 2 in in from the rim, 50 lbf outward.
    feet = np.hypot(*g.foot_contacts[0])
    edge, at = feet * math.cos(math.pi / 4), g.top.length / 2 - 2 * IN
    ratio = body.weight * edge / (200 * LBF * (at - edge) + 50 * LBF * g.top.surface)
    assert magnitude(standing(lighthouse)["lean-and-push"].limit, "") == pytest.approx(ratio, rel=1e-6)


def test_map_and_weakest_place_agree_with_the_corner(weight):
    job = read_job(LEVEL)
    g = build(job)
    body = body_of(g)
    x, y, load = goes_over_map(g, body)
    wx, wy, least = weakest_place(x, y, load)
    assert least / LBF == pytest.approx(weight * 39 / 24, rel=1e-9) and abs(wx) == pytest.approx(63 * IN)
    corner, _ = load_that_tips(body.shape, body.weight, body.centre[:2], np.array([[63 * IN, 24 * IN]]))
    assert least == pytest.approx(float(corner[0]))
    # Over the feet nothing tips it, and the map is its own mirror image.
    assert np.isinf(load[np.ix_(np.abs(y) < 15 * IN, np.abs(x) < 30 * IN)]).all()
    assert np.allclose(load, load[::-1]) and np.allclose(load, load[:, ::-1])
    sloped = goes_over_map(g, body, slope=1 / 96)[2]
    assert (sloped <= load).all() and sloped.min() < least


# --- what is asked --------------------------------------------------------------------------------


def test_whose_ratio_is_asked_for(level):
    assert level["person-stability"].demand.magnitude == 1.5 and "the job's choice" in level["person-stability"].clause
    default = standing(LEVEL.replace("righting = 1.5\n", ""))["person-stability"]
    assert default.demand.magnitude == 1.5 and "named default" in default.clause and any("righting" in a for a in default.assumed)
    public = standing(LEVEL.replace("righting = 1.5\n", "").replace('units = "inch"', 'units = "inch"\npublic_use = true'))
    assert public["person-stability"].demand.magnitude == 2.0 and public["published-stability"].demand.magnitude == 1.0


@pytest.mark.parametrize("righting, verdict", [(1.0, "within limit"), (3.0, "over limit")])
def test_verdict_turns_where_the_ratio_asked_passes_what_is_there(righting, verdict):
    check = standing(LEVEL.replace("righting = 1.5", f"righting = {righting}"))["lean-and-push"]
    assert check.verdict == verdict
    assert check.ratio == pytest.approx(righting / magnitude(check.limit, ""))


def test_narrow_feet_are_over_limit():
    check = standing(LEVEL.replace('apart = "78 in"', 'apart = "40 in"'))["person-stability"]
    assert check.verdict == "over limit" and check.ratio > 1


def test_feet_inset_in_the_bar_lower_the_ratio(level):
    inset = standing(LEVEL.replace('from_end = "1-1/2 in"', 'from_end = "6 in"'))
    assert magnitude(inset["lean-and-push"].limit, "") < magnitude(level["lean-and-push"].limit, "")


def test_a_weighed_top_is_not_taken_light(level):
    mean = build(read_job(LEVEL)).top.mass / 0.45359237
    weighed = standing(LEVEL + f'\n[evidence]\nweighed_top = "{mean:.6f} lb"\n')["person-stability"]
    assert magnitude(weighed.limit, "") > 1.05 * magnitude(level["person-stability"].limit, "")
    assert not any("lighter" in a for a in weighed.assumed) and any("lighter" in a for a in level["person-stability"].assumed)


def test_a_table_that_does_not_stand_by_itself_is_over_without_limit():
    """Feet all to the right of the middle: the centre of gravity stands beyond them."""
    text = JOBS["points"].replace('standing_on = ["a", "b", "c", "d"]', 'standing_on = ["e", "b", "c"]')
    text = text.replace('a = ["-30', 'e = ["5 in", "-12 in", "0 in"]\na = ["-30')
    text = text.replace("leg2 =", 'leg5 = { stock = "post", first = "e", second = "A" }\nleg2 =')
    for check in standing(text).values():
        assert check.verdict == "over limit" and math.isinf(check.ratio) and "without any load" in check.detail
        assert magnitude(check.limit, "") == 0 and all("-" not in line.result for line in check.lines())
        json.dumps(check.as_dict(), allow_nan=False)


def test_casters_are_cautioned():
    assert CASTERS in standing(JOBS["on casters"])["lean-and-push"].cautions
    assert CASTERS not in standing(JOBS["on pads"])["lean-and-push"].cautions


# --- the load table -------------------------------------------------------------------------------

ROWS = tomllib.loads((FOLDER / "shopcalc" / "table" / "data" / "loads.toml").read_text(encoding="utf-8"))["load"]

# The shop's own defaults, as the trade notes give them: key, kind -> size, inset, push.
ASKED = {
    ("everyday_spread", "sag"): ("20 psf", None, None), ("severe_spread", "use"): ("50 psf", None, None),
    ("sustained_spread", "sag"): ("10 psf", None, None), ("person", "use"): ("300 lbf", "7 in", None),
    ("person", "sag"): ("300 lbf", "7 in", None), ("person", "stability"): ("300 lbf", "7 in", None),
    ("proof", "proof"): ("300 lbf", "7 in", None), ("two_persons", "use"): ("200 lbf", "4 in", None),
    ("two_persons", "stability"): ("200 lbf", "4 in", None), ("published_stability", "stability"): ("125.7 lbf", "7 in", None),
    ("lean", "stability"): ("200 lbf", "2 in", "50 lbf"), ("lean", "use"): ("200 lbf", "2 in", "50 lbf"),
    ("shove", "use"): ("100 lbf", None, None), ("wobble_push", "information"): ("50 lbf", None, None),
    ("standing", "use"): ("300 lbf", None, None),
}


def test_load_table_is_that_of_the_trade():
    found = {(r["key"], r["kind"]): (r["value"], r.get("inset"), r.get("push")) for r in ROWS}
    for key, sizes in ASKED.items():
        assert found[key] == sizes, key


def test_every_load_row_has_one_kind_a_nature_and_a_tag_that_resolves():
    assert len({r["id"] for r in ROWS}) == len(ROWS)
    for row in ROWS:
        assert row["kind"] in KINDS and row["nature"] in ("live", "sustained", "handling", "dead")
        assert row["tag"] in PROVENANCE
        if row["tag"] == "common practice":
            assert "source" not in row, "common practice has no source and says so"
        else:
            assert source_of(row["source"])
        if "public_source" in row:
            assert source_of(row["public_source"])
    light = [r for r in ROWS if r["kind"] == "stability"]
    assert light and all("light" in r["acts_with"] for r in light)
    assert all("heavy" in r["acts_with"] for r in ROWS if r["nature"] == "handling")


def test_an_override_reaches_every_row_of_its_key():
    for key in load_keys():
        value = next(c.value for c in load_cases().values() if c.key == key) * 0.5
        changed = [c for c in load_cases({key: (value, "agreed")}).values() if c.reason]
        assert {c.key for c in changed} == {key} and len(changed) == sum(r["key"] == key for r in ROWS)
        assert all(c.value == value and c.tag == "the job's choice" for c in changed)


def test_a_loose_top_in_public_use_is_asked_for_twice():
    """Named default: 1.5, and 2 in public use."""
    ratios = []
    for public in ("false", "true"):
        text = JOBS["trestles"].replace('units = "inch"', f'units = "inch"\npublic_use = {public}')
        job = read_job(text + '\n[assembly]\ntop = "loose"\n')
        cases = load_cases(job.overrides, public_use=job.model.settings.public_use)
        ratios.append(next(loose_top_checks(job, build(job), cases)).ratio)
    assert ratios[1] / ratios[0] == pytest.approx(2 / 1.5)
