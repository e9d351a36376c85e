"""Bars on two to six supports against a stiffness solution written here, to nine digits; loads that walk; where plain
bending stops holding.

The second route is the displacement method with exact bar elements that know shear (stiffness (4 + phi), (2 - phi)),
assembled and solved by SciPy; nothing of the engine's brackets is in it.
"""

import numpy as np
import pytest
from scipy.linalg import solve as solved

from shopcalc.errors import InputError
from shopcalc.formula import formulas
from shopcalc.mechanics import shear_sag
from shopcalc.mechanics.beams import Beam, Couple, Even, Point
from shopcalc.mechanics.continuous import ContinuousBeam, Support, moving_load, skew_sag
from shopcalc.stock.tubes import read_tube, tube_sections
from shopcalc.units import Q, Quantity, magnitude


def m(x):
    return Quantity(float(x), "m")


def by_stiffness(begin, end, supports, EI, GA, points, evens, couples, more=()):
    """Places, sag (down), turn of the section, sagging moment and shear to the right of each place, support forces (up).

    supports  (place, settles, spring or None, holds);  points (P, at);  evens (w, start, end);  couples (C, at)
    """
    x = np.unique(np.round([begin, end, *(s[0] for s in supports), *(a for _, a in points), *(a for _, a in couples),
                            *(v for e in evens for v in e[1:]), *more], 12))
    n = 2 * len(x)
    K, F, held = np.zeros((n, n)), np.zeros(n), {}
    elements = []
    for i, h in enumerate(np.diff(x)):
        phi = 0.0 if GA is None else 12 * EI / (GA * h**2)
        k = EI / (h**3 * (1 + phi)) * np.array([
            [12, 6 * h, -12, 6 * h], [6 * h, (4 + phi) * h * h, -6 * h, (2 - phi) * h * h],
            [-12, -6 * h, 12, -6 * h], [6 * h, (2 - phi) * h * h, -6 * h, (4 + phi) * h * h]])
        w = sum(w for w, s, e in evens if s < (x[i] + x[i + 1]) / 2 < e)
        f = w * np.array([h / 2, h * h / 12, h / 2, -h * h / 12])
        at = slice(2 * i, 2 * i + 4)
        K[at, at] += k
        F[at] += f
        elements.append((at, k, f))

    def node(place):
        return int(np.argmin(abs(x - place)))

    for P, a in points:
        F[2 * node(a)] += P
    for C, a in couples:
        F[2 * node(a) + 1] += C
    for place, settles, spring, holds in supports:
        if spring is None:
            held[2 * node(place)] = settles
        else:
            K[2 * node(place), 2 * node(place)] += spring
            F[2 * node(place)] += spring * settles
        if holds:
            held[2 * node(place) + 1] = 0.0
    free = [i for i in range(n) if i not in held]
    u = np.zeros(n)
    u[list(held)] = list(held.values())
    u[free] = solved(K[np.ix_(free, free)], F[free] - K[np.ix_(free, list(held))] @ u[list(held)], assume_a="sym")
    moment, shear = np.zeros(len(x)), np.zeros(len(x))
    for i, (at, k, f) in enumerate(elements):
        ends = k @ u[at] - f
        moment[i], shear[i] = ends[1], -ends[0]
        if i == len(elements) - 1:
            moment[-1], shear[-1] = -ends[3], ends[2]
    reaction = [(K @ u - F)[2 * node(s[0])] * -1 if s[2] is None else s[2] * (u[2 * node(s[0])] - s[1]) for s in supports]
    return x, u[::2], u[1::2], moment, shear, np.array(reaction)


def random_bar(seed):
    """Two to six supports with every kind of ending, settlement, spring, overhang and load; with shear in every other."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(2, 7))
    places = np.round(np.cumsum(rng.uniform(0.4, 2.0, count)), 2)
    begin = places[0] - (round(rng.uniform(0.1, 0.6), 2) if rng.random() < 0.5 else 0.0)
    end = places[-1] + (round(rng.uniform(0.1, 0.6), 2) if rng.random() < 0.5 else 0.0)
    EI = rng.uniform(5e3, 5e5)
    GA = rng.uniform(2e6, 5e7) if seed % 2 else None
    supports = []
    for i, a in enumerate(places):
        spring = float(rng.uniform(1e5, 1e8)) if rng.random() < 0.3 else None
        settles = float(rng.uniform(-2e-3, 2e-3)) if rng.random() < 0.3 else 0.0
        edge = (i == 0 and begin == a) or (i == count - 1 and end == a)
        supports.append((a, settles, spring, bool(edge and rng.random() < 0.3)))
    span = end - begin

    def anywhere():
        return round(begin + rng.random() * span, 2)  # no element under 10 mm: the second route loses digits there

    points = [(float(rng.uniform(-2e3, 2e3)), anywhere()) for _ in range(rng.integers(0, 4))]
    couples = [(float(rng.uniform(-5e2, 5e2)), anywhere()) for _ in range(rng.integers(0, 2))]
    evens = [(float(rng.uniform(50, 2e3)), begin, end)]
    if rng.random() < 0.5:
        a, b = sorted((anywhere(), anywhere()))
        evens += [(float(rng.uniform(-500, 2e3)), a, b)] if b - a > 0.05 else []
    return begin, end, supports, EI, GA, points, evens, couples


def engine(begin, end, supports, EI, GA, points, evens, couples):
    loads = [*(Point(Q(P, "N"), m(a)) for P, a in points), *(Couple(Q(C, "N*m"), m(a)) for C, a in couples),
             *(Even(Q(w, "N/m"), m(a), m(b)) for w, a, b in evens)]
    return ContinuousBeam(
        begin=m(begin), end=m(end), E=Q(200, "GPa"), I=Quantity(EI / 200e9, "m**4"), loads=loads,
        GA=None if GA is None else Q(GA, "N"),
        supports=[Support(m(a), m(s), None if k is None else Q(k, "N/m"), h) for a, s, k, h in supports])


@pytest.mark.parametrize("seed", range(200))
def test_random_bar_agrees_with_the_displacement_method(seed):
    sizes = random_bar(seed)
    rng = np.random.default_rng(1000 + seed)
    more = np.round(rng.uniform(sizes[0], sizes[1], 5), 2)
    x, sag, turn, moment, shear, reactions = by_stiffness(*sizes, more=more)
    bar = engine(*sizes)
    inside = x[:-1] + 1e-13  # just to the right of a jump
    for got, want, unit in ((bar.sag, sag[:-1], "m"), (bar.slope, turn[:-1], "rad"), (bar.moment, moment[:-1], "N*m"),
                            (bar.shear, shear[:-1], "N")):
        values = np.atleast_1d(got(Quantity(inside, "m")).to(unit).magnitude)
        assert np.abs(values - want).max() <= 1e-9 * np.abs(want).max()
    forces = np.atleast_1d(bar.reactions.to("N").magnitude)
    assert np.abs(forces - reactions).max() <= 1e-9 * np.abs(reactions).max()
    # And it stands: no force is left over.
    total = sum(P for P, _ in sizes[5]) + sum(w * (b - a) for w, a, b in sizes[6])
    assert forces.sum() == pytest.approx(total, abs=1e-8 * np.abs(forces).max())


def test_the_random_bars_reach_every_corner():
    bars = [random_bar(seed) for seed in range(200)]
    assert {len(b[2]) for b in bars} == {2, 3, 4, 5, 6}
    assert any(s[2] is not None for b in bars for s in b[2]) and any(s[3] for b in bars for s in b[2])
    assert any(b[0] < b[2][0][0] and b[1] > b[2][-1][0] for b in bars)  # both overhangs
    assert any(s[1] for b in bars for s in b[2]) and any(b[7] for b in bars)


# --- a person walks along the rail ---------------------------------------------------------------


def test_walking_load_on_three_spans_is_no_less_than_any_place_tried_one_by_one():
    supports = [(0.0, 0.0, None, False), (0.9, 0.0, 3e6, False), (1.9, 0.0, None, False), (2.6, 0.0, None, True)]
    EI, P, w = 4e4, 1335.0, 60.0
    shown = [Support(m(a), m(s), None if k is None else Q(k, "N/m"), h) for a, s, k, h in supports]
    grid = np.round(np.linspace(-0.2, 2.6, 141), 6)
    best = {"moment sagging": -np.inf, "moment hogging": np.inf, "sag down": -np.inf, "shear either": 0.0}
    for at in grid:
        _, sag, _, moment, shear, _ = by_stiffness(-0.2, 2.6, supports, EI, None, [(P, at)], [(w, -0.2, 2.6)], [], more=grid)
        best["moment sagging"] = max(best["moment sagging"], moment.max())
        best["moment hogging"] = min(best["moment hogging"], moment.min())
        best["sag down"] = max(best["sag down"], sag.max())
        best["shear either"] = max(best["shear either"], abs(shear).max())
    for name, brute in best.items():
        what, sense = name.split()
        found = moving_load(P=Q(P, "N"), start=m(-0.2), end=m(2.6), what=what, sense=sense, loads=[Even(Q(w, "N/m"))],
                            left=m(-0.2), right=m(2.6), supports=shown, E=Q(200, "GPa"), I=Quantity(EI / 200e9, "m**4"))
        size = float(found.largest.to({"moment": "N*m", "sag": "m", "shear": "N"}[what]).magnitude)
        assert abs(size) >= abs(brute) * (1 - 1e-9), name
        # the grid of the brute search is 20 mm; shear falls in a straight line from a support
        assert abs(size) == pytest.approx(abs(brute), rel=0.02 if what == "shear" else 3e-3), name
        if what == "moment":
            moments = by_stiffness(-0.2, 2.6, supports, EI, None, [(P, magnitude(found.load_at, "m"))], [(w, -0.2, 2.6)], [],
                                   more=[magnitude(found.found_at, "m")])
            assert moments[3][np.argmin(abs(moments[0] - magnitude(found.found_at, "m")))] == pytest.approx(size, rel=1e-6)


def test_a_walk_that_goes_nowhere_or_has_no_sense_is_refused():
    plain = {"P": Q(300, "lbf"), "ends": "simple", "L": Q(60, "in"), "E": Q(29000, "ksi"), "I": Q(1, "in**4")}
    with pytest.raises(InputError, match="walk"):
        moving_load(start=Q(30, "in"), end=Q(30, "in"), **plain)
    with pytest.raises(InputError, match="sense"):
        moving_load(start=Q(0, "in"), end=Q(30, "in"), sense="sideways", **plain)


# --- a load that leans ---------------------------------------------------------------------------


def test_a_leaning_load_is_two_loads_each_on_its_own_stiffness():
    bar = {"P": Q(500, "lbf"), "at": Q(40, "in"), "ends": "simple", "L": Q(72, "in"), "E": Q(29000, "ksi"), "station": Q(36, "in")}
    found = skew_sag(tilt=Q(30, "deg"), I_strong=Q(2.0, "in**4"), I_weak=Q(0.5, "in**4"), **bar)
    for name, share, I in (("vertical", np.cos(np.pi / 6), 2.0), ("horizontal", 0.5, 0.5)):  # noqa: E741
        a, x, L = 40.0, 36.0, 72.0
        b = L - a
        sag = 500 * share * b * x * (L**2 - b**2 - x**2) / (6 * L * 29e6 * I)  # handbook: left of the load
        assert magnitude(found[name], "inch") == pytest.approx(sag, rel=1e-9)
    assert magnitude(found["resultant"], "inch") == pytest.approx(
        np.hypot(magnitude(found["vertical"], "inch"), magnitude(found["horizontal"], "inch")))


# --- where plain bending stops holding -----------------------------------------------------------

TUBE = {"E": Q(29000, "ksi"), "I": Q(0.486, "in**4")}  # 2 x 2 x 1/8 in: published second moment
TWO_WEBS = Q(11200 * 2 * (2 - 3 * 0.116) * 0.116, "kip")  # G times the flats of two webs, as the source counts shear area


@pytest.mark.parametrize(("case", "L_over_d", "share"), [
    (("simple", "even"), 5, 0.32), (("simple", "even"), 10, 0.08), (("simple", "even"), 20, 0.02),
    (("cantilever", "point"), 5, 0.10), (("cantilever", "point"), 10, 0.025), (("cantilever", "point"), 20, 0.006)])
def test_share_of_shear_in_the_sag_of_a_2x2_tube(case, L_over_d, share):
    """The figures of the trap, by the formula and by the beam with and without shear."""
    L = Q(2.0 * L_over_d, "in")
    k = shear_sag.BENDING_SHARE[case]
    by_formula = shear_sag.shear_share(k=k, GA=TWO_WEBS, L=L, **TUBE)
    assert by_formula == pytest.approx(share, rel=0.04)
    loads = [Even(Q(5, "lbf/in"))] if case[1] == "even" else [Point(Q(200, "lbf"), L)]
    at = L / 2 if case[0] == "simple" else L
    plain, soft = (Beam(ends=case[0], L=L, loads=loads, GA=GA, **TUBE).sag(at) for GA in (None, TWO_WEBS))
    assert (soft / plain).to("").magnitude - 1 == pytest.approx(by_formula, rel=1e-9)


@pytest.mark.parametrize("case", shear_sag.BENDING_SHARE)
def test_factors_of_the_share_are_those_of_the_beam(case):
    ends, load = case
    L, GA = Q(30, "in"), Q(500, "kip")
    at = L if ends == "cantilever" else L / 2
    loads = [Even(Q(5, "lbf/in"))] if load == "even" else [Point(Q(200, "lbf"), at)]
    plain, soft = (Beam(ends=ends, L=L, loads=loads, GA=g, **TUBE) for g in (None, GA))
    added = soft.sag(at) - plain.sag(at)
    free = Beam(ends="simple" if ends == "fixed" else ends, L=L, loads=loads, **TUBE)
    moment = abs(free.moment(Q(0, "in") if ends == "cantilever" else at))
    assert (added / shear_sag.shear_sag(M=moment, GA=GA)).to("").magnitude == pytest.approx(1.0, rel=1e-9)
    share = shear_sag.shear_share(k=shear_sag.BENDING_SHARE[case], GA=GA, L=L, **TUBE)
    assert (added / plain.sag(at)).to("").magnitude == pytest.approx(share, rel=1e-9)


def test_plain_bending_of_a_2x2_tube_holds_from_about_twelve_depths():
    """Shear area by shear flow (all four walls help a little), as the kit counts it."""
    s = tube_sections([read_tube("square tube 2 in x 1/8 in, A500 C")], "design")
    GA = Quantity(float(s.Av_x[0]), "m**2") * Q(11200, "ksi")
    L = shear_sag.span_where_plain_bending_holds(k=9.6, E=Q(29000, "ksi"), I=Quantity(float(s.Ix[0]), "m**4"), GA=GA,
                                                 r_s=shear_sag.PLAIN_HOLDS)
    assert 10 < magnitude(L, "inch") / 2 < 14
    assert shear_sag.shear_share(k=9.6, E=Q(29000, "ksi"), I=Quantity(float(s.Ix[0]), "m**4"), GA=GA, L=L) == pytest.approx(0.05)


def test_every_formula_of_the_room_is_met_here():
    names = {k.rsplit(":", 1)[-1].rsplit(".", 1)[-1] for k in formulas() if "shear_sag" in k}
    assert {"shear_sag", "shear_share", "span_where_plain_bending_holds"} <= names
