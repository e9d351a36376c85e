"""Where people are put on the top, and which loads its stress and sag have seen: by sweeping a load along the edge."""

import numpy as np
import pytest
from table.test_top import checks_of, opened

from shopcalc.table.top import DISC, Top
from shopcalc.table.top_checks import rows_of, top_checks
from shopcalc.units import Q, magnitude

LBF, INCH = 4.4482216152605, 0.0254


def swept(top: Top, loads):
    """Largest sag between supports (m) and stresses along and across (Pa) of loads (m, N) on sliding fixings, own weight in."""
    k, n = top.kept, len(top.kept.push.seats)
    base = top.base[:n, :n]
    rest = k.push.rest(loads + top.own * k.loads[0], base, one_sided=False, scale=top.scale)
    down = rest.forces @ base
    place = np.column_stack([np.ones(n), np.array(top.kept_seats)])
    plane = (down @ np.linalg.pinv(place).T) @ np.column_stack([np.ones(len(k.nodes)), k.nodes]).T
    sag = (rest.w[:, k.at] - plane)[:, top.spanning].max()
    h = k.plate.thickness_at(*k.plate.readings) * top.g.top.thickness
    stress = 6 * k.plate.read_moments(rest.w)[..., :2] * top.scale / h[:, None] ** 2
    return float(sag), np.abs(stress).max(axis=(0, 1))


@pytest.mark.parametrize("name", ["trestles", "three trestles", "podiums", "four legs"])
def test_no_place_on_the_long_side_is_much_worse_than_the_places_tried(name):
    job, g, cases = opened(name)
    top = Top.of(job, g, cases["person-sag"])
    found = {c.id: c for c in top_checks(job, g, cases, top.base)}
    b = g.top.width / 2 - 4 * INCH
    loads = np.stack([300 * LBF * top.kept.plate.patch(x, b, radius=min(DISC, 4 * INCH)) for x in np.linspace(0, g.top.length / 2 - 4 * INCH, 9)])
    sag, (along, across) = swept(top, loads)
    assert sag <= 1.1 * float(found["top/sag"].demand.to("m").magnitude)
    assert along <= 1.05 * float(found["top/stress along"].demand.to("Pa").magnitude)
    assert across <= 1.15 * float(found["top/stress across"].demand.to("Pa").magnitude)


def test_two_people_and_what_lies_there_for_years_count_in_the_stress():
    job, g, cases = opened("trestles")
    top = Top.of(job, g, cases["person-sag"])
    heavy = {**cases, "sustained": cases["sustained"].__class__(**{**vars(cases["sustained"]), "value": Q(300, "psf")})}
    usual = {c.id: c for c in top_checks(job, g, cases, top.base)}["top/stress along"]
    years = {c.id: c for c in top_checks(job, g, heavy, top.base)}["top/stress along"]
    assert float(years.demand.magnitude) > 1.2 * float(usual.demand.magnitude) and "for years" in years.case
    two = {**cases, "two-persons-strength": cases["two-persons-strength"].__class__(
        **{**vars(cases["two-persons-strength"]), "value": Q(600, "lbf")})}
    pair = {c.id: c for c in top_checks(job, g, two, top.base)}["top/stress along"]
    assert "two side by side" in pair.case
    row = next(r for r in rows_of(top, two) if r.where.startswith("two side"))
    load = top.mix(row.load)[0] @ top.kept.loads @ top.kept.plate.rigid[0]
    assert load == pytest.approx(g.top.mass * 9.80665 + 1200 * LBF, rel=1e-9)


def test_people_stand_between_the_seats_of_three_trestles():
    """84 in on trestles at -28, 0, 28 in: the middle of the long side is over a trestle; the worst is near 14 in."""
    found = checks_of("three trestles")["top/sag"]
    assert "between its seats" in found.case
    assert float(magnitude(found.demand, "inch")) > 0.02


def test_a_spread_load_is_spread_and_a_person_is_one():
    """Every row weighs what its case says: a pressure over a part of the top, a person, or two of them."""
    job, g, cases = opened("three trestles")
    top = Top.of(job, g, cases["person-sag"], None)
    down = top.kept.plate.rigid[0]
    own = g.top.mass * 9.80665
    for row in rows_of(top, cases):
        if row.case is None:
            continue
        extra = float(top.mix(row.load)[0] @ top.kept.loads @ down) - own
        if "spread" in row.case.id or row.case.id == "sustained":
            share = extra / (float(magnitude(row.case.value, "Pa")) * g.top.area)
            assert 0.05 < share <= 1 + 1e-9, row
        else:
            assert extra == pytest.approx(float(magnitude(row.case.value, "N")) * (2 if "two" in row.case.id else 1), rel=1e-9), row


def test_the_hardest_seat_is_that_of_all_loads():
    """300 lbf 38 in from the middle of trestles at 28 in: by levers the near trestle, with half of the top, carries
    300 x 66/56 + W/2 on five seats; one of them carries the mean of that at least."""
    job, g, cases = opened("trestles")
    found = {c.id: c for c in top_checks(job, g, cases)}["top/seats"]
    least = (300 * 66 / 56 + g.top.mass * 9.80665 / LBF / 2) / 5
    assert float(magnitude(found.demand, "lbf")) > least > 80
    assert "person" in found.case or "people" in found.case
    assert "pulled by" in found.detail and found.cautions


def test_load_between_the_sides_of_the_base_alone_sags_the_most():
    """Legs 26 in apart under a top 48 in wide: what lies on the edges past them lifts the middle, so the middle alone loaded
    sags more; a beam on two supports with overhangs a says by 5 L^2/(5 L^2 - 24 a^2)."""
    from table.bases_for_tests import legs

    from shopcalc.table.geometry import build
    from shopcalc.table.job import read_job

    job = read_job(legs("Wide", along="60 in", across="26 in").replace('width = "36 in"', 'width = "48 in"'))
    g, cases = build(job), {c.id: c for c in opened("trestles")[2].values()}
    top = Top.of(job, g, cases["person-sag"], None)
    names = [r.where for r in rows_of(top, cases) if r.case is not None and r.case.id == "everyday-spread"]
    assert {"on all between the sides of the base", "on the front edge", "on the back edge", "on both long edges"} <= set(names)
    middle = int((top.kept.nodes**2).sum(axis=1).argmin())
    whole, between = top.answer("sliding", top.mix({"on the whole top": 1.0}, {"on all between the sides of the base": 1.0})).sag[:, middle]
    assert between > 1.05 * whole


def test_a_base_without_a_number_gives_no_verdict():
    """A flexibility that is not a number must not pass for a stiff base."""
    job, g, cases = opened("trestles")
    base = np.full((30, 30), np.nan)
    found = list(top_checks(job, g, cases, base))
    assert [(c.id, c.verdict) for c in found] == [("top/sag", "ask an engineer")]


def test_a_base_that_does_not_stand_is_no_stiff_base(monkeypatch):
    from shopcalc.table import top as room

    monkeypatch.setattr(room, "base_flexibility", lambda job, g, joints="soft": None)
    job, g, cases = opened("trestles")
    assert [(c.id, c.verdict) for c in top_checks(job, g, cases)] == [("top/sag", "ask an engineer")]
    assert len(list(top_checks(job, g, cases, None))) > 5  # asked for a stiff one
