"""The top on its base: every base style, seat forces, three states, base and top both bending, what a job changes."""

from dataclasses import replace

import numpy as np
import pytest
from table.bases_for_tests import JOBS

from shopcalc.check import VERDICTS
from shopcalc.errors import InputError
from shopcalc.mechanics.frames import NodeLoad, solve
from shopcalc.mechanics.frames.flexibility import flexibility
from shopcalc.mechanics.statics import GRAVITY
from shopcalc.mechanics.strips import strip_sag, strip_stress
from shopcalc.table.frame import STATES, table_frame
from shopcalc.table.frame_solve import feet_of
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.loads import load_cases
from shopcalc.table.top import Top, base_flexibility, overhanging
from shopcalc.table.top_checks import top_checks
from shopcalc.units import Q, magnitude


def opened(name: str, **changes):
    text = JOBS[name]
    for old, new in changes.get("put", ()):
        assert old in text
        text = text.replace(old, new, 1)
    job = read_job(text + changes.get("more", ""))
    return job, build(job), load_cases()


def top_of(name: str, **more) -> Top:
    job, g, cases = opened(name, **more)
    return Top.of(job, g, cases["person-sag"])


def checks_of(name: str, **more):
    return {c.id: c for c in top_checks(*opened(name, **more))}


@pytest.mark.parametrize("name", list(JOBS))
def test_every_base_style_gets_its_answers(name):
    found = checks_of(name)
    assert {"top/sag", "top/own weight sag", "top/long-term sag", "top/stress along", "top/stress across", "top/seats"} <= set(found)
    for c in found.values():
        assert c.verdict in VERDICTS and c.about == "top" and c.detail and c.assumed
        assert c.demand is None or float(c.demand.magnitude) >= 0


@pytest.mark.parametrize("name", ["trestles", "four legs box", "points"])
@pytest.mark.parametrize("state", STATES)
def test_seats_carry_the_load_and_its_moment(name, state):
    top = top_of(name)
    person = top.people[0][0]
    found = top.answer(state, top.mix({"own": top.own}, {"own": top.own, person: 1000.0}))
    weight = top.g.top.mass * GRAVITY
    for row, P in ((0, 0.0), (1, 1000.0)):
        if found.stands[row]:
            assert found.forces[row].sum() == pytest.approx(weight + P, rel=1e-6)
    if state != "clamped" and found.stands[1]:  # clamped seats also hand over moments
        x = np.array(top.kept_seats)[:, 0] @ found.forces[1]
        assert x == pytest.approx(1000 * top.kept.places[person][0], abs=0.5 * top.kept.plate.along.h.max())
    if state == "dead weight" and found.stands.all():
        assert (found.forces >= 0).all()


def test_clamped_bends_least_and_a_loose_top_most():
    top = top_of("trestles")
    mix = top.mix({"own": top.own, "on the whole top": 1000.0})
    sags = [float(top.answer(s, mix).sag[0, top.spanning].max()) for s in STATES]
    assert sags[0] >= sags[1] - 1e-12 and sags[1] > sags[2] > 0


def test_the_base_under_it_is_symmetric_positive_and_its_first_part_statics():
    job, g, _ = opened("trestles")
    B = base_flexibility(job, g)
    k = len(g.seats)
    assert B.shape == (3 * k, 3 * k) and pytest.approx(B, abs=1e-12) == B.T and np.linalg.eigvalsh(B).min() > -1e-9 * B.max()
    soft, stiff = top_of("trestles"), Top.of(job, g, load_cases()["person-sag"], base=None)
    mix = soft.mix({"own": soft.own})
    # on a stiff base the seats do not move at all; on the real one they move by what it gives under their forces
    at = soft.kept.plate.rows(*np.array(soft.kept_seats).T)
    assert np.abs(stiff.answer("sliding", mix).w @ at.T).max() < 1e-9
    found = soft.answer("sliding", mix)
    assert (found.w @ at.T)[0] == pytest.approx(found.forces[0] @ B[:k, :k], rel=1e-6)


@pytest.mark.parametrize("name", list(JOBS))
def test_flexibility_is_what_the_frame_does_under_each_force_alone(name):
    job, g, _ = opened(name)
    table = table_frame(job, g, state="dead weight", joints="rigid", feet=feet_of(job, "gripping"))
    places = [(n, way) for n in dict.fromkeys(table.seat_nodes) for way in ("z", "ry")][:5]
    found, stands = flexibility(table.frame, table.sizes, places)
    assert stands.all()
    frame = replace(table.frame, loads=tuple(NodeLoad(*p) for p in places))
    one = np.eye(len(places))
    none = np.full_like(one, np.nan)
    sizes = replace(table.sizes[np.zeros(len(places), int)], load=one, load_to=none, at=np.zeros_like(one), to=none)
    answer = solve(frame, sizes, order="first")
    moves = np.stack([answer.displacement(*p) for p in places], axis=1)
    assert found[0] == pytest.approx(moves, rel=1e-6, abs=1e-9 * np.abs(moves).max())


def test_soft_joints_are_the_safe_side_for_sag():
    job, g, cases = opened("four legs box")
    sags = [Top.of(job, g, cases["person-sag"], base_flexibility(job, g, joints)) for joints in ("soft", "rigid")]
    soft, rigid = (float(t.answer("sliding", t.mix({"own": t.own})).sag[0, t.spanning].max()) for t in sags)
    assert soft >= rigid > 0
    assert any("soft joints" in a for a in checks_of("four legs box")["top/sag"].assumed)


def test_slopes_of_the_base_have_the_sense_of_the_plate():
    # a force on a seat near the end of a head bar bends the bar: w rises towards that end
    job, g, _ = opened("trestles")
    B, k = base_flexibility(job, g), len(g.seats)
    place = np.array([s.place for s in g.seats])
    side = np.nonzero(place[:, 0] < 0)[0]
    back, second = side[place[side, 1].argsort()[::-1][:2]]
    gap = place[back, 1] - place[second, 1]
    down = B[:k, back]
    slope_y = (down[back] - down[second]) / gap
    assert slope_y > 0 and B[2 * k + back, back] == pytest.approx(slope_y, rel=0.6) and B[2 * k + back, back] > 0


def test_thickness_scales_and_a_pocket_weakens():
    thin = checks_of("trestles", put=[('thickness = "1-1/2 in"', 'thickness = "1-1/4 in"')])
    usual = checks_of("trestles")
    assert float(thin["top/sag"].demand.magnitude) > 1.4 * float(usual["top/sag"].demand.magnitude)
    deep = checks_of("trestles", put=[('thickness = "1-1/2 in"', 'thickness = "1-1/2 in"\npockets.river = { length = "50 in", width = "8 in", '
                                      'depth = "1 in", at = ["0 in", "0 in"] }')])
    assert float(deep["top/own weight sag"].demand.magnitude) > 1.05 * float(usual["top/own weight sag"].demand.magnitude)
    assert any("pocket" in a for a in deep["top/sag"].assumed)


def test_a_top_of_two_pieces_folds_at_its_line():
    def with_line(words):
        return checks_of("trestles", put=[('thickness = "1-1/2 in"', f'thickness = "1-1/2 in"\nhalves = {{ {words} }}')])

    usual = float(checks_of("trestles")["top/own weight sag"].demand.magnitude)
    slack = with_line('joint = "across", at = "0 in", connectors = 4, each = "20 lbf*ft/deg"')
    tight = with_line('joint = "across", at = "0 in", connectors = 4, each = "5e6 N*m/rad"')
    assert float(slack["top/own weight sag"].demand.magnitude) > 2 * usual
    assert float(tight["top/own weight sag"].demand.magnitude) == pytest.approx(usual, rel=0.01)
    assert any("two pieces" in a for a in slack["top/sag"].assumed)
    # thickness leaves the connectors as they are: a thicker top leans on them more
    thick = checks_of("trestles", put=[('thickness = "1-1/2 in"', 'thickness = "3 in"\nhalves = { joint = "across", at = "0 in", connectors = 4, '
                                       'each = "20 lbf*ft/deg" }')])
    assert float(thick["top/own weight sag"].demand.magnitude) > 1.5 * float(slack["top/own weight sag"].demand.magnitude)
    with pytest.raises(InputError, match="line within the top"):
        top_of("trestles", put=[('thickness = "1-1/2 in"', 'thickness = "1-1/2 in"\nhalves = { joint = "along", at = "30 in", connectors = 4, '
                                'each = "20 lbf*ft/deg" }')])


def test_quarter_sawn_is_stiffer_across():
    flat = checks_of("four legs box")
    quarter = checks_of("four legs box", put=[('wood = "white oak"', 'wood = "white oak"\ncut = "quarter"')])
    assert float(quarter["top/sag"].demand.magnitude) < 0.9 * float(flat["top/sag"].demand.magnitude)


def test_overhang_counts_only_past_the_last_support():
    assert list(overhanging([0.0, 0.2, 0.05, 0.1], [0.5, 0.2, 0.9, 0.25])) == [False, True, False, True]


def test_plate_and_strip_by_hand_agree_where_the_seats_are_two_stiff_lines():
    # the strip has no Poisson's ratio and even lines: within the free edge's extra fifth
    top = top_of("trestles")
    job, g, cases = opened("trestles")
    stiff = Top.of(job, g, cases["person-sag"], base=None)
    xs = np.array(top.kept_seats)[:, 0]
    L = 2 * xs.max()
    given = {"q": Q(1000.0, "Pa"), "L": Q(L, "m"), "a": Q((g.top.length - L) / 2, "m"), "E": g.top.wood.MOE, "h": Q(g.top.thickness, "m")}
    by_hand = float(magnitude(strip_sag(**given), "m"))
    found = stiff.answer("sliding", stiff.mix({"on the whole top": 1000.0}))
    middle = int((stiff.kept.nodes**2).sum(axis=1).argmin())
    assert found.sag[0, middle] == pytest.approx(by_hand, rel=0.2)
    del given["E"]
    stress = stiff.stresses(found)[0, :, 0].max()
    assert stress == pytest.approx(float(magnitude(strip_stress(**given), "Pa")), rel=0.25)


@pytest.mark.parametrize("L, a", [(1.2, 0.0), (1.5, 0.3), (2.0, 0.7)])
def test_strip_formulas_by_integration(L, a):
    q, E, h = 900.0, 11e9, 0.04
    x = np.linspace(0, L / 2, 200001)
    M = q * L * x / 2 * (1 + 2 * a / L) - q * (x + a) ** 2 / 2
    EI = E * h**3 / 12
    closed = np.trapezoid(M * x, x) / EI  # twice half of it, by a unit force in the middle (x/2)
    assert magnitude(strip_sag(q=Q(q, "Pa"), L=Q(L, "m"), a=Q(a, "m"), E=Q(E, "Pa"), h=Q(h, "m")), "m") == pytest.approx(closed, rel=1e-6)
    stress = magnitude(strip_stress(q=Q(q, "Pa"), L=Q(L, "m"), a=Q(a, "m"), h=Q(h, "m")), "Pa")
    assert stress == pytest.approx(6 * M[-1] / h**2, rel=1e-9)


def test_seats_in_one_line_go_to_an_engineer():
    job, g, cases = opened("trestles")
    line = tuple(replace(s, place=(0.0, s.place[1], s.place[2])) for s in g.seats)
    found = list(top_checks(job, replace(g, seats=line), cases, base=None))
    assert [c.verdict for c in found] == ["ask an engineer"] and "one line" in found[0].detail
    with pytest.raises(InputError, match="dead weight"):
        top_of("trestles").answer("glued", np.zeros((1, 1)))
