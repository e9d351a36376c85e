"""Feet under base and plate together: by hand for a plate on four legs, against a grillage of a general-purpose library,
against a load put on the plate itself, and between a top that does not twist and one that twists freely."""

import numpy as np
import pytest
from Pynite import FEModel3D
from table.bases_for_tests import JOBS

from shopcalc.check import ASK, REPORTED
from shopcalc.mechanics.lifting import Feet
from shopcalc.mechanics.plates import Plate, Seated, grid, orthotropic
from shopcalc.mechanics.statics import GRAVITY
from shopcalc.table.foot_forces import feet_in, foot_forces, units
from shopcalc.table.frame import table_frame
from shopcalc.table.frame_cases import Loader
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.loads import load_cases
from shopcalc.table.maps import Setting, lifts_at
from shopcalc.table.top import elastic_of
from shopcalc.table.use_checks import edge_places, lift_checks
from shopcalc.units import magnitude

A, B, THICK = 0.8, 0.5, 0.03  # half the way between the legs along and across, thickness, m
WOOD = {"E_L": 12e9, "E_T": 0.8e9, "G": 0.9e9, "mu_LT": 0.4}
CORNERS = np.array([[-A, -B], [A, -B], [A, B], [-A, B]])


def four_legs(k: float, *, reach: float = 1.0, part: float = 1.0):
    """A plate that reaches past four legs, each a spring of k (N/m) on the floor: its feet's forces under a load of one at places."""
    plate = Plate(grid(2 * A * reach, 2 * B * reach, x=(-A, A), y=(-B, B)), orthotropic(**WOOD), THICK)
    hold, w = Seated(plate, plate.rows(*CORNERS.T)).joined(np.eye(4) / k, np.eye(4), part)
    return hold, lambda places: -plate.at(w, *np.atleast_2d(places).T).T, plate


# --- by hand ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("k", [1e3, 2e4, 1e5, 1e7])
def test_a_square_cut_plate_on_four_legs_by_hand(k):
    """Forces at its corners twist a plate to w = c x y, all over it: they are 4 D66 c with D66 = G h^3/12. A load at (x, y) then
    puts (1 + x/a + y/b + s xy/ab)/4 on a leg, s = k/(k + 4 D66/ab): nought on soft legs (a stiff top), one on hard legs."""
    twist = 4 * WOOD["G"] * THICK**3 / 12 / (A * B)
    share = k / (k + twist)
    hold, unit, _ = four_legs(k)
    for x, y in [(0, 0), (A, B), (0.3, -0.2), (-A, 0.1), (0.55, 0.5)]:
        X, Y = x / A, y / B
        by_hand = [(1 - X - Y + share * X * Y) / 4, (1 + X - Y - share * X * Y) / 4, (1 + X + Y + share * X * Y) / 4,
                   (1 - X + Y - share * X * Y) / 4]
        assert unit((x, y))[0] == pytest.approx(by_hand, abs=1e-7)
    # A leg raised by one takes a quarter of the stiffness of plate and legs in a row: only the twist is forced.
    assert hold == pytest.approx(np.outer([1, -1, 1, -1], [1, -1, 1, -1]) / 4 / (1 / k + 1 / twist), rel=1e-6)


def test_the_load_that_lifts_a_leg_of_that_table_by_hand():
    """One load at the middle of the right end puts half on each right leg and none on the left ones: no load there lifts one. At the
    right back corner the leg opposite has (s - 1)/4 of it, its neighbours (1 - s)/4: it lifts at W/(1 - s)."""
    k = 2e4
    share = k / (k + 4 * WOOD["G"] * THICK**3 / 12 / (A * B))
    hold, unit, _ = four_legs(k)
    load, foot = Feet.of(hold).load_that_lifts(np.full(4, 25.0), unit([(A, 0), (A, B)]))
    assert load[0] > 1e8 and foot[1] == 0 and load[1] == pytest.approx(100 / (1 - share), rel=1e-6)


def test_past_the_legs_the_corner_of_a_plate_loads_them_more_than_strips_would():
    """A plate that twists to xy between its legs goes on past them: on hard legs a load out there lifts the legs beside it."""
    _, unit, _ = four_legs(1e12, reach=1.5)
    out = unit((1.4 * A, 1.4 * B))[0]
    plane = (1 + np.sum([1.4, 1.4]) * np.array([-1, 0, 1, 0])) / 4
    assert out.sum() == pytest.approx(1) and out @ CORNERS == pytest.approx([1.4 * A, 1.4 * B])
    assert ((out - plane) * [1, -1, 1, -1] > 0.25).all()  # strips that carry it to the corner leg: a quarter


# --- second routes -----------------------------------------------------------------------------------


@pytest.mark.parametrize("turn", [False, True])
def test_a_load_put_on_the_plate_itself_says_the_same(turn):
    """Raising a foot (as the map is made) against a load at each place (as the top is solved): six seats on a base that bends."""
    draw = np.random.default_rng(4)
    plate = Plate(grid(2.4, 1.0, y=(0.1,), hinges=[("y", 0.1, 4e3)]), orthotropic(**WOOD, grain=0.2), 0.04)
    places = np.column_stack([draw.uniform(-1, 1, 6), draw.uniform(-0.4, 0.4, 6)])
    rows = np.concatenate([plate.rows(*places.T, a, b) for a, b in ((0, 0), (1, 0), (0, 1))][:3 if turn else 1])
    n = len(rows)
    half = draw.normal(size=(n, n)) * 2e-3
    base = half @ half.T + 1e-6 * np.eye(n)
    over = Seated(plate, rows)
    feet = np.linalg.inv(base)[:, :6]  # what holds the base up below its first six seats
    at = np.column_stack([draw.uniform(-1.2, 1.2, 9), draw.uniform(-0.5, 0.5, 9)])
    _, w = over.joined(base, np.eye(n)[:, :6], 1.7)
    rest = over.rest(plate.rows(*at.T), base, one_sided=False, scale=1.7)
    assert feet.shape == (n, 6)
    assert -plate.at(w, *at.T).T == pytest.approx(rest.forces[:, :6], abs=1e-8)
    assert plate.at(w, *at.T) == pytest.approx(w @ plate.rows(*at.T).T, abs=1e-12)


def library(job, g, cells=(10, 6)) -> tuple[FEModel3D, dict]:
    """The base of a job bar by bar, its top as a grillage (no Poisson's ratio) that stands on its seats by hinged struts."""
    t, wood, model = table_frame(job, g, state="dead weight", joints="rigid", feet="gripping"), elastic_of(job, g), FEModel3D()
    E, G = (float(magnitude(v, "Pa")) for v in (wood.E_L, wood.G))
    model.add_material("steel", float(t.sizes.E[0, 0]), float(t.sizes.G[0, 0]), 0.3, 0.0)
    model.add_material("along", E, G, 0.3, 0.0)
    model.add_material("across", float(magnitude(wood.E_T, "Pa")), G, 0.3, 0.0)
    for name, place in zip(t.frame.nodes, t.sizes.points[0], strict=True):
        model.add_node(name, *place)
    for i, b in enumerate(t.frame.members):
        model.add_section(b.name, *(float(getattr(t.sizes, k)[0, i]) for k in ("A", "Iy", "Iz", "J")))
        model.add_member(b.name, b.first, b.second, "steel", b.name)
    for n in t.foot_nodes:
        model.def_support(n, True, True, True)
    lines = [np.unique(np.round(np.concatenate([np.linspace(-half, half, n + 1), [s.place[i] for s in g.seats]]), 6))
             for i, (half, n) in enumerate(zip((g.top.length / 2, g.top.width / 2), cells, strict=True))]
    names, high = {}, g.top.underside + 0.2
    for x in lines[0]:
        for y in lines[1]:
            names[x, y] = f"t{x:.6f},{y:.6f}"
            model.add_node(names[x, y], x, y, high)
            model.def_support(names[x, y], True, True, False, False, False, True)  # in plan nothing is asked of it
    h = g.top.thickness
    widths = [np.diff(np.concatenate([v[:1], (v[1:] + v[:-1]) / 2, v[-1:]])) for v in lines]
    for way, (mine, other) in enumerate((lines, lines[::-1])):
        for wide, q in zip(widths[1 - way], other, strict=True):
            kind = f"{way} {wide:.6f}"
            if kind not in model.sections:
                model.add_section(kind, wide * h, wide * h**3 / 12, wide * h**3 / 12, wide * h**3 / 6)
            for one, two in zip(mine, mine[1:], strict=False):
                ends = [names[(p, q) if way == 0 else (q, p)] for p in (one, two)]
                model.add_member("-".join(ends), *ends, "along" if way == 0 else "across", kind)
    model.add_section("strut", 0.01, 1e-6, 1e-6, 1e-6)
    for s, node in zip(g.seats, t.seat_nodes, strict=True):
        up = names[tuple(np.round(s.place[:2], 6))]
        model.add_member(f"under {up}", node, up, "steel", "strut")
        model.def_releases(f"under {up}", Ryi=True, Rzi=True, Ryj=True, Rzj=True)
    return model, {"feet": t.foot_nodes, "names": names}


def test_a_bench_of_bars_beside_a_grillage_of_the_library():
    """Corners, ends, sides and places within: sliding fixings, thin bars under a thick top, so that both count."""
    text = JOBS["points"].replace('thickness = "1-1/2 in"', 'thickness = "6 in"')
    job = read_job(text.replace("square tube 2 in x 3/16 in, A500 C", "square tube 1 in x 16 ga, A513"))
    g = build(job)
    model, at = library(job, g)
    asked = [min(at["names"], key=lambda p: abs(p[0] - x) + abs(p[1] - y)) for x, y in ((1.067, 0.457), (1.067, 0), (0, 0.457), (0.4, 0.15))]
    for i, place in enumerate(asked):
        model.add_node_load(at["names"][place], "FZ", -1.0, case=f"c{i}")
        model.add_load_combo(f"c{i}", {f"c{i}": 1.0})
    model.analyze_linear()
    theirs = np.array([[model.nodes[n].RxnFZ[f"c{i}"] for n in at["feet"]] for i in range(len(asked))])
    mine, *bounds = (f.unit(asked) for f in feet_in(job, g, [(top, "rigid", "gripping") for top in ("sliding", "stiff", "limp")]))
    assert theirs.sum(axis=1) == pytest.approx(np.ones(4)) and mine == pytest.approx(theirs, abs=2e-3)
    assert all(np.abs(mine - bound)[0].min() > 0.03 for bound in bounds)  # and neither bound would do


# --- between its bounds --------------------------------------------------------------------------------

BASES = ("rigid", "gripping"), ("soft", "gliding")
FOUR_FEET = ("trestles", "one post", "A posts", "two stretchers", "four legs H", "splayed legs", "C-frames", "points")


@pytest.fixture(scope="module")
def tables():
    found = {}
    for name in (*FOUR_FEET, "three trestles", "podiums", "pedestal"):
        job = read_job(JOBS[name])
        g = build(job)
        states = [(top, *base) for base in BASES for top in ("limp", "sliding", "stiff", "clamped")]
        found[name] = job, g, dict(zip(states, feet_in(job, g, states), strict=True))
    return found


def test_stiffer_tops_hold_a_raised_foot_down_harder(tables):
    """In energy: no top < its plate on sliding fixings < no bending at all; clamped it holds more than sliding."""
    for name, (_, g, found) in tables.items():
        for base in BASES:
            limp, sliding, stiff, clamped = (found[(top, *base)].S for top in ("limp", "sliding", "stiff", "clamped"))
            size = np.abs(stiff).max()
            for less, more in ((limp, sliding), (sliding, stiff), (sliding, clamped)):
                assert np.linalg.eigvalsh(more - less).min() > -1e-6 * size, (name, base)
            plane = np.column_stack([np.ones(len(stiff)), g.foot_contacts])
            assert np.abs(clamped @ plane).max() < 1e-6 * size + 1e-3, name


def test_a_load_over_a_seat_is_one_on_the_bar_under_it_and_the_top_weighs_what_its_places_do(tables):
    """What the bars hand to the feet, and what the plate does, by two ways: at the seats both must say the same."""
    for name, (_, g, found) in tables.items():
        x, y = ((np.arange(n) + 0.5) / n * size - size / 2 for n, size in ((60, g.top.length), (40, g.top.width)))
        places = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
        seats = np.array([s.place[:2] for s in g.seats])
        for state, f in found.items():
            on = g.top.covers(*seats.T)
            assert f.unit(seats[on]) == pytest.approx(f.seat[on], abs=1e-5), (name, state)
            weight = g.top.mass * GRAVITY
            assert f.top == pytest.approx(weight * f.unit(places).mean(axis=0), abs=1e-3 * weight), (name, state)


@pytest.mark.parametrize("seed", range(12))
def test_four_seats_over_four_feet_lie_between_a_stiff_and_a_limp_plate(seed):
    """One thing is left open there, and a stiffer plate moves it one way: by no load may a foot come up that stays down under both."""
    draw = np.random.default_rng(seed)
    at = CORNERS * draw.uniform(0.5, 1.2, 2) + draw.normal(size=(4, 2)) * 0.03
    plate = Plate(grid(2.4, 1.4), orthotropic(**WOOD), THICK)
    half = draw.normal(size=(4, 4))
    base = half @ half.T * 2e-6 + 1e-7 * np.eye(4)
    over, places = Seated(plate, plate.rows(*at.T)), np.column_stack([draw.uniform(-1.2, 1.2, 40), draw.uniform(-0.7, 0.7, 40)])
    units = [-plate.at(over.joined(base, np.eye(4), part)[1], *places.T).T for part in (1e-7, 0.3, 1.0, 4.0, np.inf)]
    for one, two in zip(units[1:-1], units[2:], strict=True):
        assert ((two - one) * (units[-1] - units[0]) >= -1e-6).all()
    own, bed = np.full(4, 25.0), np.zeros((4, 4))
    limp, plain, stiff = (Feet.of(bed).load_that_lifts(own, units[i])[0] for i in (0, 2, -1))
    assert (plain >= np.minimum(limp, stiff) * (1 - 1e-5)).all() and (np.abs(1 / limp - 1 / stiff) > 1e-4).any()


@pytest.mark.parametrize("name", FOUR_FEET)
def test_on_four_feet_each_carries_between_what_a_stiff_and_a_limp_top_put_on_it(tables, name):
    """Many seats leave more open than one thing: two parts in a hundred of the way between."""
    _, g, found = tables[name]
    places = edge_places(g)
    for base in BASES:
        one, two, three = units([found[(top, *base)] for top in ("limp", "sliding", "stiff")], places)
        hair = 0.02 * np.abs(one - three).max()
        assert ((two <= np.maximum(one, three) + hair) & (two >= np.minimum(one, three) - hair)).all() and hair > 1e-4


def test_no_foot_lifts_before_it_would_under_the_worse_bound(tables):
    for name, (job, g, found) in tables.items():
        places = edge_places(g)
        for base in BASES:
            least = {top: lifts_at(job, g, [found[(top, *base)]], places, Setting())[0].min() for top in ("limp", "sliding", "stiff", "clamped")}
            assert min(least["sliding"], least["clamped"]) >= min(least["limp"], least["stiff"]) * (1 - 1e-6), (name, base)


def test_a_thicker_top_goes_over_to_the_stiff_one(tables):
    _, g, found = tables["one post"]
    places = edge_places(g)
    away = [np.abs(found[(top, "rigid", "gripping")].unit(places) - found[("stiff", "rigid", "gripping")].unit(places)).max()
            for top in ("limp", "sliding")]
    thick = read_job(JOBS["one post"].replace('thickness = "1-1/2 in"', 'thickness = "4 in"'))
    h = build(thick)
    plate, stiff = feet_in(thick, h, [("sliding", "rigid", "gripping"), ("stiff", "rigid", "gripping")])
    assert away[0] > away[1] > 4 * np.abs(plate.unit(places) - stiff.unit(places)).max() > 0


def test_with_more_than_four_feet_a_top_that_bends_may_lift_one_sooner(tables):
    """Why the plate is asked and not its bounds: a load between podiums bends the top down there and up elsewhere."""
    job, g, found = tables["podiums"]
    least = {top: lifts_at(job, g, [found[(top, "soft", "gliding")]], edge_places(g), Setting())[0].min() for top in ("sliding", "stiff")}
    assert least["sliding"] < 0.8 * least["stiff"]


# --- what stays, what is said ----------------------------------------------------------------------------


def test_dead_weight_only_loads_its_seats():
    job = read_job(JOBS["trestles"])
    g = build(job)
    f, load = foot_forces(job, g, "dead weight", "soft", "gliding"), Loader.of(g)
    at = [(1.0, 0.4), (0.1, -0.2)]
    assert f.plate is None and f.unit(at) == pytest.approx(load.shared.weights(at) @ f.seat)
    assert f.top.sum() == pytest.approx(g.top.mass * GRAVITY)


def test_the_check_names_the_worst_state_and_what_bounds_it():
    job = read_job(JOBS["trestles"])
    g = build(job)
    even, uneven = lift_checks(job, g, load_cases())
    feet = feet_in(job, g)
    loads, state = lifts_at(job, g, feet, edge_places(g), Setting())
    assert even.verdict == REPORTED and magnitude(even.demand, "N") == pytest.approx(loads.min())
    assert even.detail.count("stiff in twist") == even.detail.count("twist freely") == 1 and state[int(loads.argmin())] in even.detail
    assert any("plate" in r for r in even.range) and "touch" in uneven.detail


def test_a_top_that_lies_loose_is_cautioned_and_one_without_three_seats_asks():
    job = read_job(JOBS["trestles"] + '\n[assembly]\ntop = "loose"\n')
    assert any("loose" in c for check in lift_checks(job, build(job), load_cases()) for c in check.cautions)
    text = JOBS["trestles"].replace("[base]\n", '[top.pockets.tray]\nface = "under"\nfilled = "nothing"\nat = ["0 in", "0 in"]\nlength = "70 in"\n'
                                    'width = "33 in"\ndepth = "1/4 in"\n[base]\n', 1)
    job = read_job(text)
    check, = lift_checks(job, build(job), load_cases())
    assert check.verdict == ASK and "seats" in check.detail
