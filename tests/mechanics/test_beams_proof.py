"""Proof, in symbols, that the beam engine solves the beam equation.

Every kind of support under every kind of load is cut into regions whose lengths are positive symbols, so that in
each region the answer is a plain polynomial. There the equation, the jumps, the end conditions and the balance of
forces are proved, with and without shear deformation. Then every handbook formula is set beside the closed form
typed here, with its sign.

Signs: x to the right, loads and sag positive down, reactions positive up, sagging moment positive, shear positive where the
part to the left pushes up, a couple positive where it raises the moment to its right.
"""

import itertools
from dataclasses import replace

import pytest
import sympy as sp

from shopcalc.mechanics import beams as b

x, (EI, phi) = sp.Symbol("x", real=True), sp.symbols("EI phi", positive=True)  # phi = EI/GA
P, C, w, w1, r = sp.symbols("P C w w_1 r", positive=True)
L, s, e, left, right = sp.symbols("L s e c_left c_right", positive=True)  # a load begins at s and ends at e

# Fractions of polynomials, exact and quick to compare: what is equal is one and the same element.
FIELD = sp.QQ.frac_field(x, EI, phi, P, C, w, w1, r, L, s, e, left, right)


def exact(expression):
    return FIELD.from_sympy(sp.sympify(expression))


def opened(expression, sample):
    """The expression with its brackets opened or shut. Which are open follows from the order of the cuts alone, so one
    sample that keeps the order tells it for all sizes."""
    found = {}
    for node in expression.atoms(sp.SingularityFunction):
        size, power = node.args[0].subs(sample), node.args[2]
        found[node] = node.args[0] ** power if size > 0 else sp.Integer(int(size == 0 and power == 0))
    return expression.xreplace(found)


# --- beams cut into regions -----------------------------------------------------------------------


class Case:
    """A beam from `begin` to `end` on supports at 0 and L, its load, and what statics knows of the load alone."""

    def __init__(self, ends, load, *, overhangs=False, where="the span", shear=False):
        self.ends, self.phi = ends, phi if shear else b.NO_SHEAR
        zero = sp.Integer(0)
        self.begin = -left if overhangs or where == "the left overhang" else zero
        self.end = L + right if overhangs or where == "the right overhang" else L
        one, two, self.sample = {
            "the span": (s, e, {L: 4, s: 1, e: 3}),
            "the left overhang": (-e, -s, {L: 4, s: 1, e: 2}),
            "the right overhang": (L + s, L + e, {L: 4, s: 1, e: 2})}[where]
        self.sample |= {left: 3, right: 3}
        self.cuts = sorted({self.begin, zero, one, two, L, self.end}, key=lambda c: c.subs(self.sample))
        self.regions = list(itertools.pairwise(self.cuts))
        self.jumps, self.w = {}, lambda span: 0
        if load == "point":
            self.terms, self.force, self.moment0 = b.point_terms(P, one), P, P * one
            self.jumps = {one: (P, 0)}
        elif load == "couple":
            # Clockwise: about the left it acts like a force further right.
            self.terms, self.force, self.moment0 = b.couple_terms(C, one), 0, C
            self.jumps = {one: (0, C)}
        elif load == "even":
            self.terms, self.force = b.even_terms(w, one, two), w * (two - one)
            self.moment0 = self.force * (one + two) / 2
            self.w = lambda span: w if one in span and two in span else 0
        elif load == "even all over":
            self.terms, self.force = b.even_terms(w, self.begin, self.end), w * (self.end - self.begin)
            self.moment0 = self.force * (self.begin + self.end) / 2
            self.w = lambda span: w
        else:
            # From w_1, by r per length: a rectangle and a triangle with its middle at two thirds.
            size = two - one
            self.terms = b.growing_terms(w1, w1 + r * size, one, two)
            self.force = w1 * size + r * size**2 / 2
            self.moment0 = w1 * size * (one + two) / 2 + r * size**2 / 2 * (one + sp.Rational(2, 3) * size)
            self.w = lambda span: w1 + r * (x - one) if one in span and two in span else 0
        self.line = self.short(b.solve(ends, self.terms, L, self.phi))

    def within(self, region, what):
        """Sag, turn of the section, moment or shear in a region, as a fraction of polynomials."""
        middle = (region[0] + region[1]).subs(self.sample) / 2
        return exact(opened(b.value_of(self.line, what, x, EI), {**self.sample, x: middle}))

    def open(self, expression):
        return exact(opened(sp.sympify(expression), self.sample))

    def short(self, line):
        """The same elastic line, its sizes in shortest form: it is read many times."""
        sizes = {n: self.open(getattr(line, n)).as_expr()
                 for n in ("turn", "lift", "left_reaction", "right_reaction", "left_moment")}
        terms = tuple(b.Term(self.open(t.size).as_expr(), t.start, t.order) for t in line.terms)
        return replace(line, terms=terms, **sizes)


GRID = [(ends, load, {}) for ends in b.ENDS for load in ("point", "couple", "even", "even all over", "growing")]
GRID += [("simple", load, {"overhangs": True}) for load in ("point", "couple", "even", "even all over", "growing")]
GRID += [("simple", load, {"where": where}) for where in ("the left overhang", "the right overhang")
         for load in ("point", "couple", "even", "growing")]
WORDS = [f"{ends}, {load}, {more.get('where', 'overhangs' if more else 'the span')}" for ends, load, more in GRID]


@pytest.fixture(scope="module", params=[(*g, s) for g in GRID for s in (False, True)],
                ids=[f"{name}{', with shear' if s else ''}" for name in WORDS for s in (False, True)])
def case(request):
    ends, load, more, shear = request.param
    made = Case(ends, load, shear=shear, **more)
    made.fields = [{what: made.within(region, what) for what in ("sag", "slope", "moment", "shear")}
                   for region in made.regions]
    return made


def test_the_beam_equation_holds_in_every_region(case):
    rise = exact(x)
    bend, slide = exact(EI), exact(case.phi)
    for region, f in zip(case.regions, case.fields, strict=True):
        load = exact(case.w(region))
        if case.phi == 0:
            assert bend * f["sag"].diff(rise).diff(rise).diff(rise).diff(rise) == load, "EI v'''' = w"
            assert f["sag"].diff(rise) == f["slope"]
        # Timoshenko: the axis slopes by the turn of the section and by V/GA; phi = EI/GA.
        assert bend * (f["sag"].diff(rise) - f["slope"]) == slide * f["shear"]
        assert bend * f["slope"].diff(rise) == -f["moment"]
        assert f["moment"].diff(rise) == f["shear"]
        assert f["shear"].diff(rise) == -load


def at(field, place):
    assert field.denom.degree(exact(x).numer) == 0
    return FIELD.field.new(field.numer.compose(exact(x).numer, exact(place).numer), field.denom)


def test_nothing_breaks_at_a_cut_and_forces_jump_by_their_size(case):
    line = case.line
    jumps = {sp.Integer(0): (-line.left_reaction, 0)}
    if case.ends != "cantilever":
        jumps[L] = (-line.right_reaction, 0)
    for cut, (force, couple) in case.jumps.items():
        before = jumps.get(cut, (0, 0))
        jumps[cut] = (before[0] + force, before[1] + couple)
    for (_, cut), f, g in zip(case.regions, case.fields, case.fields[1:], strict=False):
        force, couple = jumps.get(cut, (0, 0))
        for what, jump in (("sag", 0), ("slope", 0), ("moment", couple), ("shear", -force)):
            assert at(g[what], cut) - at(f[what], cut) == case.open(jump), (what, cut)


def test_the_ends_are_held_as_they_should_be(case):
    def held(place, what):
        for (one, _), f in zip(case.regions, case.fields, strict=True):
            if one == place:
                return at(f[what], place) == 0
        return at(case.fields[-1][what], place) == 0

    origin, tip = sp.Integer(0), L
    if case.ends == "simple":
        assert held(origin, "sag") and held(tip, "sag")
        # Free or hinged ends carry no moment but a couple put there; an end that overhangs carries no shear either.
        first, last = case.fields[0], case.fields[-1]
        force, couple = case.jumps.get(case.begin, (0, 0))
        assert at(first["moment"], case.begin) == exact(couple)
        assert at(last["moment"], case.end) == 0
        if case.begin != origin:
            assert at(first["shear"], case.begin) == exact(-force)
        if case.end != tip:
            assert at(last["shear"], case.end) == 0
        return
    assert held(origin, "sag") and held(origin, "slope")
    free = {"cantilever": ("moment", "shear"), "propped": ("sag", "moment"), "fixed": ("sag", "slope")}[case.ends]
    assert all(held(tip, what) for what in free)


def test_loads_reactions_and_end_moments_balance(case):
    """Up equals down; and the moments of everything about the left support cancel."""
    line = case.line
    rest = sp.Integer(0) if case.ends == "cantilever" else line.right_reaction
    assert case.open(line.left_reaction + rest - case.force) == 0
    held_left = sp.Integer(0) if case.ends == "simple" else line.left_moment
    held_right = at(case.fields[-1]["moment"], L) if case.ends == "fixed" else 0
    # A sagging end moment turns the left end clockwise and the right end anticlockwise.
    assert case.open(case.moment0 + held_left - rest * L) == held_right
    if case.ends == "cantilever":
        assert case.open(line.right_reaction) == 0, "nothing holds the tip"


# --- handbook formulas ----------------------------------------------------------------------------

# Closed forms as the handbooks print them, typed here; in brackets the place. Steel Construction Manual, table
# 3-23 ("SCM") and Roark, table 8.1 (both recalled, hence the proof above); signs: sag down, moment sagging.
CLOSED = {
    "sag_simple_uniform": ("5*w*L**4/(384*E*I)", "SCM case 1"),
    "moment_simple_uniform": ("w*L**2/8", "SCM case 1"),
    "shear_simple_uniform": ("w*L/2", "SCM case 1"),
    "slope_simple_uniform": ("w*L**3/(24*E*I)", "Roark 8.1-2e"),
    "sag_simple_point_middle": ("P*L**3/(48*E*I)", "SCM case 7"),
    "moment_simple_point_middle": ("P*L/4", "SCM case 7"),
    "sag_simple_point": ("P*a**2*(L-a)**2/(3*E*I*L)", "SCM case 8, under the load"),
    "moment_simple_point": ("P*a*(L-a)/L", "SCM case 8"),
    "sag_cantilever_uniform": ("w*L**4/(8*E*I)", "SCM case 19"),
    "moment_cantilever_uniform": ("-w*L**2/2", "SCM case 19"),
    "shear_cantilever_uniform": ("w*L", "SCM case 19"),
    "sag_cantilever_point_tip": ("P*L**3/(3*E*I)", "SCM case 22"),
    "moment_cantilever_point_tip": ("-P*L", "SCM case 22"),
    "slope_cantilever_point_tip": ("P*L**2/(2*E*I)", "Roark 8.1-1a"),
    "sag_cantilever_point": ("P*a**2*(3*L-a)/(6*E*I)", "SCM case 21, a from the held end"),
    "sag_cantilever_couple_tip": ("C*L**2/(2*E*I)", "Roark 8.1-3a"),
    "sag_propped_uniform_middle": ("w*L**4/(192*E*I)", "SCM case 12: w x^2 (L-x)(3L-2x)/48EI at the middle"),
    "moment_propped_uniform": ("-w*L**2/8", "SCM case 12"),
    "moment_propped_point_middle": ("-3*P*L/16", "SCM case 13"),
    "sag_fixed_uniform": ("w*L**4/(384*E*I)", "SCM case 15"),
    "moment_fixed_uniform": ("-w*L**2/12", "SCM case 15"),
    "shear_fixed_uniform": ("w*L/2", "SCM case 15"),
    "sag_fixed_point_middle": ("P*L**3/(192*E*I)", "SCM case 16"),
    "moment_fixed_point_middle": ("-P*L/8", "SCM case 16"),
    "sag_overhang_point_tip": ("P*c_right**2*(L+c_right)/(3*E*I)", "SCM case 26"),
    "moment_overhang_point_tip": ("-P*c_right", "SCM case 26"),
    "sag_overhang_uniform_tip": ("w*c_right**3*(4*L+3*c_right)/(24*E*I)", "SCM case 25"),
    "sag_overhang_uniform_span": ("-w*L**3*c_right/(24*E*I)", "SCM case 27: the tip goes up"),
}
NAMES = {n: sp.Symbol(n, positive=True) for n in ("w", "P", "C", "L", "a", "c_right", "E", "I")}


def test_every_handbook_formula_is_proved_here():
    assert sorted(CLOSED) == sorted(b.HANDBOOK)


@pytest.mark.parametrize("name", b.HANDBOOK)
def test_handbook_formula_is_the_textbook_closed_form(name):
    typed = sp.sympify(CLOSED[name][0], locals=NAMES)
    assert sp.simplify(b.handbook(name).sympy - typed) == 0, CLOSED[name]


@pytest.mark.parametrize("name", b.HANDBOOK)
def test_handbook_words_name_the_loads_and_the_place(name):
    made, row = b.handbook(name), b.HANDBOOK[name]
    assert made.meaning == row.words
    assert all(made.glossary[n] for n in made.arguments)
    load = {"even": "w", "even span": "w", "even overhang": "w", "couple tip": "C"}.get(row.load, "P")
    assert load in made.arguments


# --- where the largest answer stands --------------------------------------------------------------
# Positions of maxima are the handbooks'; the values at them follow by hand.

L_ = sp.Symbol("L", positive=True)


def curve(ends, terms, what="sag"):
    """The answer on 0 < x < first later cut, for a load all over the span."""
    line = b.solve(ends, terms, L_)
    xi = sp.Symbol("x", positive=True)
    found = b.value_of(line, what, xi, EI)
    return sp.expand(found.subs({n: 0 for n in found.atoms(sp.SingularityFunction)})), xi


def test_propped_even_load_sags_most_at_0_5785_of_the_span_from_the_held_end():
    # SCM case 12: 0.4215 L from the resting end, w L^4 / (185 EI)
    sag, xi = curve("propped", b.even_terms(w, sp.Integer(0), L_))
    spots = [r for r in sp.roots(sp.diff(sag, xi).subs({L_: 1}), xi) if r.is_real and 0 < r < 1]
    assert [round(float(r), 4) for r in spots] == [round((15 - 33**0.5) / 16, 4)] == [0.5785]
    assert float(1 / sag.subs({L_: 1, w: 1, EI: 1}).subs(xi, spots[0])) == pytest.approx(185, rel=2e-3)


def test_propped_even_load_has_its_largest_sagging_moment_at_5_8_of_the_span():
    moment, xi = curve("propped", b.even_terms(w, sp.Integer(0), L_), "moment")
    assert sp.solve(sp.diff(moment, xi), xi) == [5 * L_ / 8]  # 3/8 from the resting end, SCM case 12
    assert sp.expand(moment.subs(xi, 5 * L_ / 8) - 9 * w * L_**2 / 128) == 0


def test_simple_beam_under_a_growing_load():
    # SCM case 2: W L/ (9 sqrt 3) at 0.5774 L, sag 0.01304 W L^3/EI at 0.5193 L; W = w L / 2
    terms = b.growing_terms(sp.Integer(0), w, sp.Integer(0), L_)
    moment, xi = curve("simple", terms, "moment")
    spot = L_ / sp.sqrt(3)
    assert sp.expand(sp.diff(moment, xi).subs(xi, spot)) == 0
    assert sp.expand(moment.subs(xi, spot) - w * L_**2 / (9 * sp.sqrt(3))) == 0
    sag, xi = curve("simple", terms)
    root = sp.nsolve(sp.diff(sag.subs({L_: 1, w: 1, EI: 1}), xi), xi, 0.52)
    assert float(root) == pytest.approx(0.5193, abs=5e-5)
    assert float(sag.subs({L_: 1, w: 1, EI: 1}).subs(xi, root)) == pytest.approx(0.01304 / 2, rel=5e-4)


def test_off_centre_load_sags_most_between_the_middle_and_the_load():
    # SCM case 8, a > b: at sqrt(a (a + 2b)/3) from the far end of a; never under the load, never at the middle.
    l_a, l_b = sp.symbols("l_a l_b", positive=True)
    line = b.solve("simple", b.point_terms(P, l_a), l_a + l_b)
    xi = sp.Symbol("x", positive=True)
    found = b.value_of(line, "sag", xi, EI)
    before = found.subs({n: 0 for n in found.atoms(sp.SingularityFunction)})
    spot = sp.sqrt(l_a * (l_a + 2 * l_b) / 3)
    assert sp.simplify(sp.diff(before, xi).subs(xi, spot)) == 0
    at = {l_a: sp.Rational(3, 4), l_b: sp.Rational(1, 4)}
    assert 0.5 < float(spot.subs(at)) < 0.75


def test_overhanging_beam_with_its_span_loaded_alone_lifts_its_tip_by_the_slope_at_the_support():
    # Nothing bends the overhang: it stays straight, at the slope w L^3 / 24 EI of the support.
    up = b.handbook("sag_overhang_uniform_span").sympy
    slope = b.handbook("slope_simple_uniform").sympy
    assert sp.simplify(up + slope * NAMES["c_right"]) == 0


def test_supports_at_0_207_of_the_whole_length_even_out_the_moments():
    # c = 0.207 of the whole: hogging over the supports equals sagging at the middle (2 c^2 = a^2/4 ...).
    line = b.solve("simple", b.even_terms(w, -left, L_ + left), L_)
    middle = b.value_of(line, "moment", L_ / 2, EI)
    middle = middle.subs({n: n.args[0] ** n.args[2] if n.args[0].subs({L_: 1, left: sp.Rational(1, 4)}) > 0 else 0
                          for n in middle.atoms(sp.SingularityFunction)})
    balance = sp.solve(sp.expand(middle - w * left**2 / 2).subs(L_, 1 - 2 * left), left)
    assert [round(float(r), 3) for r in balance if 0 < r < 0.5] == [0.207]
