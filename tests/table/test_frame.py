"""The table as a frame: equilibrium of every case, hand portals, feet that lift, refusals. Second routes are in the tests."""

from __future__ import annotations

import numpy as np
import pytest
from table.bases_for_tests import JOBS, OPEN_JOBS, PORTAL, legs, portal

from shopcalc.errors import InputError
from shopcalc.mechanics.frames.play import play_bounds
from shopcalc.mechanics.statics import GRAVITY
from shopcalc.table.frame import table_frame, with_cases
from shopcalc.table.frame_cases import FrameCase, Loader, frame_cases
from shopcalc.table.frame_checks import held_at, stiff_hosts
from shopcalc.table.frame_solve import Solved, _with_feet_that_lift, quick_solve, solve_strength
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.landings import forces_on, landings
from shopcalc.table.loads import load_cases
from shopcalc.table.wobble import sways as sways_of

STEEL = 29_000e3 * 6894.757293  # 29 000 ksi in Pa
USUAL = np.array([0.0, 0.0, -GRAVITY])


def table(name_or_text: str):
    job = read_job(JOBS.get(name_or_text, name_or_text))
    return job, build(job)


def one(g, seats, where="in the test", **more) -> FrameCase:
    case = load_cases()["shove"]
    base = {"feet": np.zeros((len(g.feet), 3)), "stretchers": {}, "gravity": np.zeros(3)} | more
    return FrameCase(case, where, seats, **base)


@pytest.mark.parametrize("name", ["trestles", "four legs box", "C-frames", "X posts", "points"])
def test_seat_forces_keep_the_load_and_its_moment(name):
    _, g = table(name)
    load = Loader.of(g)
    seats = np.array([s.place for s in g.seats])
    for place in ([0.1, 0.05], [g.top.length / 2, g.top.width / 2], [-0.4, -0.2]):
        F = load.at(1000.0, place)
        assert F.sum(axis=0) == pytest.approx([0, 0, -1000.0], abs=1e-6)
        assert (seats[:, :2] * F[:, 2:]).sum(axis=0) == pytest.approx(-1000.0 * np.array(place), abs=1e-6)
    turned = load.twist(50.0)
    arm = seats[:, :2] - seats[:, :2].mean(axis=0)
    assert (arm[:, 0] * turned[:, 1] - arm[:, 1] * turned[:, 0]).sum() == pytest.approx(50.0)


@pytest.mark.parametrize("name", ["trestles", "splayed legs", "points"])
def test_reactions_balance_every_case(name):
    job, g = table(name)
    every = list(frame_cases(g, load_cases()))
    t = table_frame(job, g, state="sliding", joints="rigid", feet="gripping")
    nodes = t.sizes.points[0]
    for held in dict.fromkeys(c.held for c in every):
        mine = [c for c in every if c.held == held]
        frame, sizes = with_cases(t, mine, g)
        a = quick_solve(frame, sizes, "first", 1.0)
        assert not a.refused.any()
        loads = np.zeros((len(mine), len(frame.nodes), 3))
        number = frame.node_number
        for k, c in enumerate(mine):
            for m in frame.members:
                i = frame.member_number[m.name]
                ends = [nodes[number[n]] + arm[0, i] for n, arm in ((m.first, sizes.arm_first), (m.second, sizes.arm_second))]
                half = sizes.mass_per_length[0, i] * np.linalg.norm(np.subtract(*ends)) / 2
                for n in (m.first, m.second):
                    loads[k, number[n]] += half * c.gravity
            for names, forces in ((t.seat_nodes, c.seats), (t.foot_nodes, c.feet)):
                for n, f in zip(names, forces, strict=True):
                    loads[k, number[n]] += f
            for n, down in c.stretchers.items():
                loads[k, number[t.middles[n]], 2] -= down
        R = a.reactions[..., :3]
        size = np.abs(loads).sum(axis=(1, 2))[:, None]
        assert (abs((R + loads).sum(axis=1)) < 1e-6 * size).all(), held
        turning = np.cross(nodes, R + loads).sum(axis=1) + a.reactions[..., 3:].sum(axis=1)
        assert (abs(turning) < 1e-6 * size).all(), held


def test_portal_sways_as_by_hand():
    """Two portals on pinned feet under a level push: each gives H h^3/(12 E I) (2 + 1/k), k = I_b h/(I_c L), plus a
    little for shear; the top as dead weight, joints as rigid as the axes that meet."""
    job, g = table("points")
    t = table_frame(job, g, state="dead weight", joints="rigid", feet="gripping")
    H = 400.0
    push = np.zeros((len(g.seats), 3))
    corners = [i for i, s in enumerate(g.seats) if abs(abs(s.place[0]) - 30 * 0.0254) < 1e-6 and abs(abs(s.place[1]) - 12 * 0.0254) < 1e-6]
    assert len(corners) == 4
    push[corners, 0] = H / 4
    frame, sizes = with_cases(t, [one(g, push)], g)
    a = quick_solve(frame, sizes.replaced(Avy=sizes.Avy * 1e6, Avz=sizes.Avz * 1e6, A=sizes.A * 1e6), "first", 1.0)
    seen = a.displacement(t.seat_nodes[corners[0]], "x")[0]
    h, L = 29 * 0.0254, 60 * 0.0254
    I = float(g.members["leg1"].design.Ix[0])
    k = h / L  # one section throughout
    E = float(job.tubes["post"].steel.E.to("Pa").magnitude)
    assert pytest.approx(STEEL, rel=1e-4) == E
    hand = (H / 2) * h**3 / (12 * E * I) * (2 + 1 / k)
    assert seen == pytest.approx(hand, rel=1e-3)
    # Half the push is carried by each leg of a portal; its moment at the rail is H/2 * h/2 a leg.
    for leg in ("leg1", "leg2", "leg3", "leg4"):
        i = frame.member_number[t.runs[leg][-1][0]]
        assert abs(a.end_forces[0, i, 6:][3:]).max() == pytest.approx(H / 4 * h, rel=1e-3)


def test_feet_do_not_pull_and_the_rest_balances():
    job, g = table("four legs")
    load = Loader.of(g)
    t = table_frame(job, g, state="sliding", joints="rigid", feet="gripping")
    corner = load.own() + load.at(700.0, (g.top.length / 2 - 0.02, g.top.width / 2 - 0.02))
    case = one(g, corner, gravity=USUAL)
    found = list(_with_feet_that_lift(t, (case,), g, 1.0, 1.0, 1.0))
    for s in found:
        R = np.stack([s.answer.reaction(n, "z") for n in t.foot_nodes], axis=1)
        assert (R > -1e-6).all()
        steel = sum(m.mass for m in g.members.values()) * GRAVITY
        assert R.sum() == pytest.approx(steel - corner[:, 2].sum(), rel=1e-4)
    assert found


def test_a_caught_foot_that_would_lift_is_dragged_as_hard_as_it_holds():
    """The foot the table turns about when it is dragged lifts at some pull; what is solved is 0.95 of that, by the straight
    line: the foot then still carries a twentieth of what it carries at rest. Bent shape aside."""
    job, g = table("pedestal")
    case = next(c for c in frame_cases(g, load_cases()) if c.held == "caught:0" and "back along" in c.where)
    t = table_frame(job, g, state="sliding", joints="rigid", feet="gripping")
    (eased,) = _with_feet_that_lift(t, (case,), g, 1.6, 0.8, 1.0)
    assert eased.cases[0].where == case.where + ", as hard as that foot holds"
    assert eased.cases[0].seats[:, 2] == pytest.approx(case.seats[:, 2]), "its own weight is all there"
    level = abs(eased.cases[0].seats[:, 0].sum()) / abs(case.seats[:, 0].sum())
    assert 0.2 < level < 1
    still = quick_solve(*with_cases(t, [one(g, case.seats * [0, 0, 1], gravity=case.gravity, held="caught:0")], g), "first", 1.0)
    rest = still.reaction(t.foot_nodes[0], "z")[0]
    assert eased.answer.reaction(t.foot_nodes[0], "z")[0] / 1.6 == pytest.approx(0.05 * rest, rel=0.1)


def test_soft_joints_sway_more_than_rigid():
    job, g = table("trestles")
    found = {}
    for joints in ("rigid", "soft"):
        t = table_frame(job, g, state="sliding", joints=joints, feet="gripping")
        load = Loader.of(g)
        cases = tuple(one(g, load.own() + load.push(222.0, way), gravity=USUAL) for way in (np.array([1.0, 0, 0]), np.array([0, 1.0, 0])))
        frame, sizes = with_cases(t, cases, g)
        a = quick_solve(frame, sizes, "second", 1.0)
        found[joints] = [abs(a.displacement(t.seat_nodes[0], w)[k]) for k, w in enumerate("xy")]
    assert found["soft"][0] > found["rigid"][0] > 0 and found["soft"][1] > found["rigid"][1] > 0


def test_play_of_bolts_is_in_the_soft_end_of_the_sway():
    """Four legs on hinges, rails bolted to them in holes 1/16 in wide with the bolts 2 in apart: every knee turns by 1/32
    each way, so the top can be moved by that angle times the height of the rails, whatever the steel does. Until then the
    sway is that of the welded table."""
    from shopcalc.table.frame_checks import sway_checks

    def sways(text):
        job, g = table(text)
        cases = load_cases()
        every = list(frame_cases(g, {"push-for-wobble": cases["push-for-wobble"]}))
        return job, g, {c.id: c for c in sway_checks(job, g, every)}

    weld = 'rail_to_leg = { weld = "fillet all round", leg = "1/8 in", filler = "E70" }'
    bolts = 'rail_to_leg = { bolts = 4, size = "3/8 in", apart = "2 in", hole = "1/16 in", plate = "3/8 in" }'
    assert weld in JOBS["four legs"]
    _, g, tight = sways(JOBS["four legs"])
    job, h, loose = sways(JOBS["four legs"].replace(weld, bolts))
    by_hand = g.members["rail.front"].first[2] / 32
    t = table_frame(job, h, state="sliding", joints="soft", feet="gripping")
    frame, sizes = with_cases(t, [one(h, np.zeros((len(h.seats), 3)))], h)
    bounds = play_bounds(frame, sizes)
    middle = [frame.node_number[n] for n, s in zip(t.seat_nodes, h.seats, strict=True) if abs(s.place[1]) < 1e-6]
    assert bounds.displacements[1][0, middle, 0] == pytest.approx([by_hand] * len(middle), rel=0.03)
    # The knees across the table twist it besides, which moves its sides; most where the top does not tie them.
    more = (loose["base/sway along"].demand - tight["base/sway along"].demand).to("m").magnitude
    assert by_hand < more < 2.5 * by_hand
    shown = sways_of(job, h, load_cases())["along"].most.to("m").magnitude
    assert shown == pytest.approx(loose["base/sway along"].demand.to("m").magnitude, rel=1e-9), "the wobble page says the same"
    assert "slip in their holes" in loose["base/sway along"].detail and "slip" not in tight["base/sway along"].detail


def test_mirrored_load_gives_mirrored_answer():
    job, g = table("four legs box")
    t = table_frame(job, g, state="sliding", joints="rigid", feet="gripping")
    load = Loader.of(g)
    cases = [one(g, load.at(900.0, (s * 0.6, 0.2))) for s in (1, -1)]
    frame, sizes = with_cases(t, cases, g)
    a = quick_solve(frame, sizes, "second", 1.0)
    pair = {"foot.left.front": "foot.right.front", "foot.left.back": "foot.right.back"}
    for one_, other in pair.items():
        left, right = t.foot_nodes[g.feet.index(one_)], t.foot_nodes[g.feet.index(other)]
        for way, sign in (("x", -1), ("y", 1), ("z", 1)):
            assert a.reaction(left, way)[0] == pytest.approx(sign * a.reaction(right, way)[1], rel=1e-6, abs=1e-6)


def test_inch_and_mm_are_one_table():
    text = JOBS["four legs box"]
    other = text.replace('"84 in"', '"2133.6 mm"').replace('"36 in"', '"914.4 mm"').replace('"28 in"', '"711.2 mm"') \
        .replace('"60 in"', '"1524 mm"').replace('"26 in"', '"660.4 mm"').replace('"7 in"', '"177.8 mm"').replace('units = "inch"', 'units = "mm"')
    assert other != text
    found = []
    for words in (text, other):
        job, g = table(words)
        t = table_frame(job, g, state="clamped", joints="rigid", feet="gripping")
        load = Loader.of(g)
        frame, sizes = with_cases(t, [one(g, load.at(900.0, (0.5, 0.2)), gravity=USUAL)], g)
        found.append(quick_solve(frame, sizes, "second", 1.0).end_forces)
    assert np.allclose(found[0], found[1], rtol=1e-7, atol=1e-6)


def test_end_forces_reach_the_weld_the_right_way_round():
    """A branch along x with its height upright on an upright host: a load down its free end bends it along the host and
    shears it along the host; sideways across."""
    job, g = table("four legs box")
    t = table_frame(job, g, state="dead weight", joints="rigid", feet="gripping")
    front = next(j for j in g.joints if j.branch == "stretcher.front" and j.end == 0)
    frame, sizes = with_cases(t, [one(g, np.zeros((len(g.seats), 3)), stretchers={n: 1000.0 if n == "stretcher.front" else 0.0 for n in t.middles})], g)
    s = Solved(t, (one(g, np.zeros((len(g.seats), 3))),), quick_solve(frame, sizes, "first", 1.0), 1.0)
    f = forces_on(s, landings(g, front)[0])
    assert abs(f.shear_along[0]) == pytest.approx(500.0, rel=1e-6)
    assert abs(f.shear_across[0]) < 1.0
    # Between ends free to turn (0) and built in (P L/8).
    L = g.members["stretcher.front"].length
    assert 0 < abs(f.over_along[0]) < 1000.0 * L / 8
    assert abs(f.over_across[0]) < 0.05 * abs(f.over_along[0])


def test_forces_on_a_weld_by_global_vectors_in_all_four_orientations():
    """By another route: the end force turned to global axes by the frame's own matrix, and measured along the host, across
    it and along the branch. Seen: height across the face or along it, either end of the branch, square and leaning."""
    seen = set()
    for name in ("four legs H", "trestles", "two stretchers", "C-frames", "pedestal", "A posts", "X posts"):
        job, g = table(name)
        t = table_frame(job, g, state="clamped", joints="rigid", feet="gripping")
        load = np.array([[300.0 + 70 * i, -120.0 + 35 * i, -900.0 - 50 * i] for i in range(len(g.seats))])
        case = one(g, load)
        frame, sizes = with_cases(t, [case], g)
        answer = quick_solve(frame, sizes, "first", 1.0)
        solved = Solved(t, (case,), answer, 1.0)
        for j in (j for j in g.joints if j.end >= 0):
            branch, host = g.members[j.branch], g.members[j.host]
            m = frame.member_number[t.runs[j.branch][-1 if j.end else 0][0]]
            f = answer.end_forces[0, m, 6:] if j.end else answer.end_forces[0, m, :6]
            R = answer.system.R[0, m]
            F, M = f[:3] @ R, f[3:] @ R  # on the end of the branch, by its host
            away = -branch.direction if j.end else branch.direction  # from the host into the branch
            across = np.cross(host.direction, branch.direction)
            across = across / np.linalg.norm(across)
            (at,) = landings(g, j)
            got = forces_on(solved, at)
            tight = 1e-9 * (np.linalg.norm(F) + np.linalg.norm(M))
            assert got.pull[0] == pytest.approx(-F @ away, abs=tight)
            along = np.cross(away, across)  # square to the branch, in the plane of the two bars
            for force, by_vector in ((got.shear_along, F @ along), (got.shear_across, F @ across), (got.over_along, M @ across),
                                     (got.over_across, M @ along), (got.twist, M @ away)):
                assert abs(force[0]) == pytest.approx(abs(by_vector), abs=tight), (name, j.name)
            for x, y in zip(got.vectors, (F, M), strict=True):  # with signs, back in global axes
                assert x[0] @ at.branch_axes == pytest.approx(-y, abs=tight)
            seen.add((abs(float(branch.up @ across)) > 0.7, j.end, at.lean > 1))
    assert len(seen) == 6


def test_sag_looks_from_the_post_to_an_end_that_stands_out():
    _, g = table("C-frames")
    head = g.members["frame.left.head"]
    (held,) = held_at(g, head)
    assert held == pytest.approx(head.length - 0.0254, abs=1e-6)  # half of the 2 in post from the back end


def test_three_feet_stand_on_any_floor_and_are_lifted_by_one_end():
    """No foot hangs over a hollow; lifted onto one foot the table is held across by who lifts it."""
    job, g = table(JOBS["pedestal"].replace("count = 4", "count = 3"))
    every = list(frame_cases(g, load_cases()))
    assert not any(c.held.startswith("air") for c in every) and any(c.held.startswith("lift") for c in every)
    for s in solve_strength(job, g, [c for c in every if c.case.kind == "handling"]):
        assert not s.answer.strength_refused.any()


@pytest.mark.parametrize("name", OPEN_JOBS)
def test_every_style_takes_open_shapes_and_bars(name):
    """Laid out, solved under its own weight and a push, and in balance; where no wall spring is known, it is said."""
    job, g = table(OPEN_JOBS[name])
    t = table_frame(job, g, state="clamped", joints="soft", feet="gripping")
    load = Loader.of(g)
    case = one(g, load.own() + load.push(100.0, np.array([1.0, 0.0, 0.0])), gravity=USUAL)
    answer = quick_solve(*with_cases(t, [case], g), "second", 1.0)
    assert not answer.refused.any(), answer.reason
    up = sum(answer.reaction(n, "z")[0] for n in t.foot_nodes)
    steel = sum(m.carried_mass for m in g.members.values())
    assert up == pytest.approx((g.top.mass + steel) * GRAVITY, rel=1e-6)
    hosts = {type(g.members[j.host].tube).__name__ for j in g.joints}
    assert bool(stiff_hosts(g)) == (hosts != {"Tube"})


def test_a_loose_bar_is_refused_and_named():
    loose = PORTAL.replace('d = ["-30 in", "12 in", "0 in"]', 'd = ["-30 in", "12 in", "0 in"]\np = ["0 in", "0 in", "10 in"]\nq = ["9 in", "0 in", "10 in"]') \
        + 'adrift = { stock = "post", first = "p", second = "q" }\n'
    job, g = table(portal("Loose bar", loose))
    with pytest.raises(InputError, match="adrift"):
        table_frame(job, g, state="dead weight", joints="rigid", feet="gripping")


def test_a_bar_without_length_is_refused_and_named():
    with pytest.raises(InputError, match="leg1"):
        table(portal("No length", PORTAL.replace('first = "a", second = "A"', 'first = "a", second = "a"')))


@pytest.mark.parametrize("text", [legs("Legs beyond the top", along="90 in"), legs("Legs that touch", across="3 in")])
def test_bases_that_do_not_fit_are_refused(text):
    with pytest.raises(InputError, match="base.legs"):
        table(text)
