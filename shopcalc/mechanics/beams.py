"""Straight beams of one section, in closed form.

A beam is a list of terms of EI v'''' written with Macaulay's brackets: a load of order k and size q that
begins at s adds q<x - s>^(k-n)/(k-n)! to the n-th derivative of EI v. Supports add terms of the same kind,
whose sizes follow in closed form from the end conditions. Sag, slope, moment and shear are one expression
with n = 0, 1, 2, 3; any sum of loads is the longer list. EI v'''' = w and the end conditions are proved
with SymPy in the tests.

Signs: x from the left support (or the fixed end), loads and sag positive down, reactions positive up, sagging moment
positive, shear positive where the part to the left pushes up. Slope is the turn of the section. Shear deformation
(Timoshenko) is added where a shear stiffness GA is given: the sag then grows by the moment of the forces over GA.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import pint

from shopcalc import units as u
from shopcalc.errors import InputError
from shopcalc.expression import Node, Symbol, as_node, bracket, collect, symbols
from shopcalc.formula import Formula, Worked
from shopcalc.units import Declared, Q, Quantity

SOURCE = "beam-theory, singularity functions"
ENDS = ("simple", "cantilever", "propped", "fixed")

# Order of a load's term in EI v: couple 2, point 3, even load 4, growing load 5.
COUPLE, POINT, EVEN, GROWING = 2, 3, 4, 5


@dataclass(frozen=True)
class Term:
    size: object
    start: object
    order: int


def point_terms(P, at) -> list[Term]:
    return [Term(P, at, POINT)]


def even_terms(w, start, end) -> list[Term]:
    return [Term(w, start, EVEN), Term(-w, end, EVEN)]


def growing_terms(w_start, w_end, start, end) -> list[Term]:
    """Load that changes in a straight line from w_start at start to w_end at end."""
    rate = (w_end - w_start) / (end - start)
    return [Term(w_start, start, EVEN), Term(rate, start, GROWING),
            Term(-w_end, end, EVEN), Term(-rate, end, GROWING)]


def couple_terms(C, at) -> list[Term]:
    """A couple that raises the sagging moment to its right (clockwise)."""
    return [Term(-C, at, COUPLE)]


def _added(parts: list):
    total = parts[0]
    for part in parts[1:]:
        total = total + part
    return total


def derivative(terms: Iterable[Term], x, n: int):
    """n-th derivative of EI v of the terms alone."""
    parts = [t.size * bracket(x - t.start, t.order - n) / math.factorial(t.order - n)
             for t in terms if t.order >= n]
    return _added(parts) if parts else 0 * x


def _moment_about(terms, x):
    """Sum of load times its arm to x, loads on either side: the brackets opened."""
    return _added([t.size * (x - t.start) ** (t.order - 2) / math.factorial(t.order - 2) for t in terms])


def _total(terms, x):
    parts = [t.size * (x - t.start) ** (t.order - 3) / math.factorial(t.order - 3)
             for t in terms if t.order >= 3]
    return _added(parts) if parts else 0 * x


@dataclass(frozen=True)
class Line:
    """The elastic line: EI v = terms + turn*x + lift. Reactions positive up, end moments sagging positive."""

    terms: tuple[Term, ...]
    turn: object
    lift: object
    left_reaction: object
    right_reaction: object
    left_moment: object
    phi: object = 0

    def ei(self, x, n: int):
        """n-th derivative of EI v from bending alone."""
        value = derivative(self.terms, x, n)
        if n == 0:
            return value + self.turn * x + self.lift
        return value + self.turn if n == 1 else value

    def axis(self, x, n: int):
        """n-th derivative of EI v of the axis: bending and shear."""
        return self.ei(x, n) if self.phi is NO_SHEAR else self.ei(x, n) - self.phi * slid(self.terms, x, n)


NO_SHEAR = 0


def slid(terms: Iterable[Term], x, n: int = 0):
    """n-th derivative of the moment of the forces (couples do not slide a beam), by which shear lets it down."""
    return derivative([t for t in terms if t.order >= POINT], x, n + 2)


def solve(ends: str, terms: list[Term], L, phi=NO_SHEAR) -> Line:
    """Elastic line for the end conditions. `simple` covers loads on overhangs: supports at 0 and L, loads
    and stations anywhere. `cantilever`, `propped` and `fixed` are held at 0; the far support is at L.

    phi  EI/GA, 0 for plain bending
    """
    zero = 0 * L
    if ends == "simple":
        Ra = _moment_about(terms, L) / L
        Rb = _total(terms, L) - Ra
        lift = phi * slid(terms, zero) - derivative(terms, zero, 0)
        turn = Ra * L**2 / 6 - (derivative(terms, L, 0) + lift - phi * (slid(terms, L) - Ra * L)) / L
        held = [Term(-Ra, zero, POINT), Term(-Rb, L, POINT)]
        return Line((*terms, *held), turn, lift, Ra, Rb, zero, phi)
    T0, T1, T2, T3 = (derivative(terms, L, n) for n in range(4))
    slide = phi * slid(terms, L)
    if ends == "cantilever":
        R0 = _total(terms, L)
        M0 = T2 - R0 * L
        rest = zero * R0
    elif ends == "propped":
        R0 = (T2 * L**2 / 2 - T0 + slide) / (L**3 / 3 + phi * L)
        M0 = T2 - R0 * L
        rest = T3 - R0
    elif ends == "fixed":
        R0 = (T1 * L / 2 - T0 + slide) / (L**3 / 12 + phi * L)
        M0 = T1 / L - R0 * L / 2
        rest = T3 - R0
    else:
        raise InputError(field="ends", value=ends, need="one of " + ", ".join(ENDS), example='ends="simple"')
    return Line((*terms, Term(-R0, zero, POINT), Term(-M0, zero, COUPLE)), zero, zero, R0, rest, M0, phi)


_POWER = {"sag": 0, "slope": 1, "moment": 2, "shear": 3}
_SENSES = {"either": 0, "down": 1, "sagging": 1, "up": -1, "hogging": -1}


def value_of(line: Line, what: str, x, EI):
    """Sag, slope, moment or shear at x (SI, or recorded)."""
    n = _POWER[what]
    if n == 0:
        return line.axis(x, 0) / EI
    return line.ei(x, n) / EI if n == 1 else -line.ei(x, n)


# --- loads and beams with units ------------------------------------------------------------------


@dataclass(frozen=True)
class Point:
    """A load P at one place."""

    P: pint.Quantity
    at: pint.Quantity
    name: str = "load"


@dataclass(frozen=True)
class Even:
    """An even load w per length from start to end; whole length (overhangs too) where they are left out."""

    w: pint.Quantity
    start: pint.Quantity | None = None
    end: pint.Quantity | None = None
    name: str = "even load"


@dataclass(frozen=True)
class Growing:
    """A load per length that changes in a straight line from w_start to w_end."""

    w_start: pint.Quantity
    w_end: pint.Quantity
    start: pint.Quantity | None = None
    end: pint.Quantity | None = None
    name: str = "growing load"


@dataclass(frozen=True)
class Couple:
    """A couple C at one place, positive where it raises the sagging moment to its right."""

    C: pint.Quantity
    at: pint.Quantity
    name: str = "couple"


Load = Point | Even | Growing | Couple

_KINDS: dict[str, Declared] = {
    "w": u.LoadPerLength.__metadata__[0], "P": u.Force.__metadata__[0], "C": u.Moment.__metadata__[0],
    "L": u.Length.__metadata__[0], "E": u.Stress.__metadata__[0], "I": u.SecondMoment.__metadata__[0],
    "sag": u.Length.__metadata__[0], "slope": u.Angle.__metadata__[0], "moment": u.Moment.__metadata__[0],
    "shear": u.Force.__metadata__[0], "GA": u.Force.__metadata__[0],
}
_SYMBOL = {"sag": "delta", "slope": "theta", "moment": "M", "shear": "V"}
_ORDER = ("w", "w_1", "w_2", "P", "C", "a", "s", "e", "x", "L", "c_left", "c_right", "E", "I", "GA")
_MEANING = {"w": "load per length", "w_1": "load per length where it begins", "w_2": "load per length where it ends",
            "P": "load", "C": "couple", "a": "from the left support to the load", "s": "from the left support to where the load begins",
            "e": "from the left support to where the load ends", "x": "from the left support to the place asked for",
            "L": "distance between supports; length of a cantilever", "c_left": "overhang on the left",
            "c_right": "overhang on the right", "E": "stiffness of the material", "I": "second moment of area",
            "GA": "shear stiffness: shear modulus times shear area"}


class ElasticLine:
    """Answers of a solved beam, with units: sag, slope, moment, shear and their largest values.

    A subclass sets _line (arrays, designs down), _EI (designs), _span (reference length for a hair),
    _begin, _end (designs) and _marks (places where a curve has a corner).
    """

    _line: Line
    _EI: np.ndarray
    _span: np.ndarray
    _begin: np.ndarray
    _end: np.ndarray
    _marks: list

    def _at(self, what: str, x) -> np.ndarray:
        return value_of(self._line, what, x, _column(self._EI))

    def value(self, what: str, x) -> pint.Quantity:
        """Sag, slope, moment or shear at station(s) x. x: a quantity, one station or a row of stations."""
        if what not in _POWER:
            raise InputError(field="Beam.value: what", value=what, need="one of " + ", ".join(_POWER))
        stations = _size("x", x, "m")
        hair = 1e-9 * float(np.max(self._span))
        if np.any(stations < np.min(self._begin) - hair) or np.any(stations > np.max(self._end) + hair):
            raise InputError(field="Beam.value: x", value=x, need="a place on the beam")
        return Quantity(_squeeze(self._at(what, np.atleast_1d(stations))), _KINDS[what].pint_unit)

    def sag(self, x) -> pint.Quantity:
        return self.value("sag", x)

    def slope(self, x) -> pint.Quantity:
        return self.value("slope", x)

    def moment(self, x) -> pint.Quantity:
        return self.value("moment", x)

    def shear(self, x) -> pint.Quantity:
        """Just to the right of x, where a point load or a support makes it jump."""
        return self.value("shear", x)

    def stations(self, count: int = 121) -> pint.Quantity:
        """Stations over the whole beam, load and support points among them (one design)."""
        return Quantity(self._stations(count)[0], "m")

    def _stations(self, count: int) -> np.ndarray:
        begin, end = _column(self._begin), _column(self._end)
        grid = begin + (end - begin) * np.linspace(0, 1, count)
        marks = [_column(m) + 0 * begin for m in self._marks]
        n = max(len(grid), *(len(m) for m in marks))
        columns = [np.broadcast_to(c, (n, c.shape[1])) for c in [grid, *marks]]
        return np.sort(np.clip(np.concatenate(columns, axis=1), begin, end), axis=1)

    def largest(self, what: str, sense: str = "either") -> tuple[pint.Quantity, pint.Quantity]:
        """The largest sag, slope, moment or shear and where it stands.

        sense  "either" (largest in size, signed), "down"/"sagging" (most positive), "up"/"hogging" (most negative)
        The place is refined on the exact curve; at a load, couple or support, where the curve has a corner or a
        jump, both sides are looked at.
        """
        if what not in _POWER:
            raise InputError(field="Beam.largest: what", value=what, need="one of " + ", ".join(_POWER))
        if sense not in _SENSES:
            raise InputError(field="Beam.largest: sense", value=sense, need="one of " + ", ".join(_SENSES),
                             example='"either"')
        sign = _SENSES[sense]

        def score(v):
            return np.abs(v) if sign == 0 else sign * v

        n = _POWER[what]
        curve = self._line.axis if n == 0 else self._line.ei

        def nearer(spot, left, right):  # one step of Newton on the next derivative, held inside the interval
            rate, bend = curve(spot, n + 1), curve(spot, n + 2)
            with np.errstate(divide="ignore", invalid="ignore"):
                step = np.where(bend != 0, rate / bend, 0.0)
            return np.clip(spot - step, left, right)

        x = self._stations(121)
        hair = 1e-12 * _column(self._span)
        left, right = x[:, :-1], x[:, 1:]
        # Every station, the left side of every jump (a load for the shear, a couple for the moment), and the top of
        # the curve between stations as one step finds it; then the best of them refined.
        spots = [x, nearer((left + right) / 2, left, right)]
        if n >= 2:
            spots.append(np.maximum(x - hair, x[:, :1]))
        spots = np.concatenate(spots, axis=1)
        values = self._at(what, spots)
        best = np.argmax(score(values), axis=1)[:, None]
        at, value = (np.take_along_axis(v, best, axis=1) for v in (spots, values))
        low = np.max(np.where(x < at - hair, x, x[:, :1]), axis=1, keepdims=True)
        high = np.min(np.where(x > at + hair, x, x[:, -1:]), axis=1, keepdims=True)
        spot = at
        for _ in range(6):
            spot = nearer(spot, low, high)
            found = self._at(what, spot)
            better = score(found) > score(value)
            value, at = np.where(better, found, value), np.where(better, spot, at)
        unit = _KINDS[what].pint_unit
        return Quantity(_squeeze(value), unit), Quantity(_squeeze(at), "m")


class Beam(ElasticLine):
    """A beam, its supports and loads, with units. Sizes may be arrays of one length (designs).

    ends  "simple" (overhangs allowed), "cantilever" (held at the left), "propped" (held at the left, resting at the
          right), "fixed"
    L     distance between the supports, or length of the cantilever
    GA    shear stiffness (shear modulus times shear area), or None for plain bending
    Answers are in SI-based quantities; positive directions: see the module.
    Raises InputError for a size that is missing, not a quantity, not finite, not positive, or a load off the beam.
    """

    def __init__(self, *, ends: str, L, E, I, loads: Iterable[Load],  # noqa: E741
                 overhang_left=None, overhang_right=None, GA=None):
        if ends not in ENDS:
            raise InputError(field="Beam: ends", value=ends, need="one of " + ", ".join(ENDS), example='ends="simple"')
        self.ends = ends
        self._L = _size("L", L, "m", positive=True)
        self._E = _size("E", E, "Pa", positive=True)
        self._I = _size("I", I, "m**4", positive=True)
        if ends != "simple" and not (overhang_left is None and overhang_right is None):
            raise InputError(field="Beam: overhang", value=ends, need='ends "simple" for an overhanging beam')
        zero = Q(0, "m")
        self._left = _size("overhang_left", zero if overhang_left is None else overhang_left, "m")
        self._right = _size("overhang_right", zero if overhang_right is None else overhang_right, "m")
        if np.any(self._left < 0) or np.any(self._right < 0):
            raise InputError(field="Beam: overhang", value="negative", need="an overhang of zero or more")
        self.loads = tuple(loads)
        if not self.loads:
            raise InputError(field="Beam: loads", value=None, need="at least one load",
                             example="Even(Q(12, 'lbf/ft'))")
        begin, end = -self._left, self._L + self._right
        self._terms: list[Term] = []
        for load in self.loads:
            self._terms += _load_terms(load, begin, end)
        self._EI, self._span = self._E * self._I, self._L
        self._GA = None if GA is None else _size("GA", GA, "N", positive=True)
        _one_length("Beam", self._L, self._EI, self._left, self._right, self._GA, *_sizes_of(self._terms))
        phi = NO_SHEAR if GA is None else _column(self._EI / self._GA)
        self._line = solve(ends, [_wide(t) for t in self._terms], _column(self._L), phi)
        self._begin, self._end = begin + 0 * self._L, end
        self._marks = [0.0, self._L, *[t.start for t in self._terms]]
        self.begin, self.end = Quantity(begin, "m"), Quantity(end, "m")

    # answers ---------------------------------------------------------------------------------

    @property
    def left_reaction(self) -> pint.Quantity:
        return Quantity(_squeeze(self._line.left_reaction + 0 * _column(self._L)), "N")

    @property
    def right_reaction(self) -> pint.Quantity:
        return Quantity(_squeeze(self._line.right_reaction + 0 * _column(self._L)), "N")

    @property
    def left_moment(self) -> pint.Quantity:
        return Quantity(_squeeze(self._line.left_moment + 0 * _column(self._L)), "N*m")

    @property
    def right_moment(self) -> pint.Quantity:
        return Quantity(_squeeze(self._at("moment", _column(self._L))), "N*m")

    # worked lines ------------------------------------------------------------------------------

    def worked(self, what: str, at, system: str = "inch", out: str | None = None) -> tuple[Worked, ...]:
        """One line per load, in closed form for the case at hand, and their sum where there are several."""
        if np.size(self._L) != 1:
            raise InputError(field="Beam.worked", value="several designs", need="one design")
        place = float(np.squeeze(_size("at", at, "m")))
        lines, parts = [], []
        for load in self.loads:
            made, sizes = self._derived(load, what, place)
            if made is None:
                continue
            lines.append(made.worked(**sizes, system=system, out=out))
            parts.append(made(**sizes))
        if len(parts) > 1:
            names = [f"{_SYMBOL[what]}_{i + 1}" for i in range(len(parts))]
            total = Formula.from_tree(
                _added([Symbol(n) for n in names]), name=f"{what}_total", arguments={n: _KINDS[what] for n in names},
                returns=_KINDS[what], glossary={n: f"from {load.name}" for n, load in zip(names, self.loads, strict=False)},
                meaning="sum", symbol=_SYMBOL[what], source=SOURCE)
            lines.append(total.worked(**dict(zip(names, parts, strict=True)), system=system, out=out))
        return tuple(lines)

    def _derived(self, load: Load, what: str, place: float) -> tuple[Formula | None, dict]:
        L, left, right = (float(np.squeeze(v)) for v in (self._L, self._left, self._right))
        sizes = {"L": Quantity(L, "m"), "c_left": Quantity(left, "m"), "c_right": Quantity(right, "m"),
                 "E": Quantity(float(np.squeeze(self._E)), "Pa"), "I": Quantity(float(np.squeeze(self._I)), "m**4")}
        node = {"L": Symbol("L", L), "c_left": Symbol("c_left", left), "c_right": Symbol("c_right", right),
                "E": Symbol("E", 1.0), "I": Symbol("I", 1.0)}

        def spot(name: str, quantity) -> Node:
            value = float(_size(name, quantity, "m"))
            sizes[name] = Quantity(value, "m")
            return _named_place(value, node["L"], node["c_left"], node["c_right"], name)

        def load_node(name: str, quantity, unit: str) -> Node:
            sizes[name] = quantity
            return Symbol(name, float(_size(name, quantity, unit)))

        begin, end = self.begin, self.end
        if isinstance(load, Point):
            terms = point_terms(load_node("P", load.P, "N"), spot("a", load.at))
        elif isinstance(load, Couple):
            terms = couple_terms(load_node("C", load.C, "N*m"), spot("a", load.at))
        else:
            s = spot("s", begin if load.start is None else load.start)
            e = spot("e", end if load.end is None else load.end)
            if isinstance(load, Even):
                terms = even_terms(load_node("w", load.w, "N/m"), s, e)
            else:
                terms = growing_terms(load_node("w_1", load.w_start, "N/m"), load_node("w_2", load.w_end, "N/m"), s, e)
        x = spot("x", Quantity(place, "m"))
        EI, phi = node["E"] * node["I"], NO_SHEAR
        if self._GA is not None:
            sizes["GA"] = Quantity(float(np.squeeze(self._GA)), "N")
            phi = EI / Symbol("GA", 1.0)
        tree = as_node(value_of(solve(self.ends, terms, node["L"], phi), what, x, EI))
        made = _formula_of(tree, f"{what}_{self.ends}", what)
        if made is None:
            return None, {}
        return made, {n: sizes[n] for n in made.arguments}


def _named_place(value: float, L: Symbol, left: Symbol, right: Symbol, name: str) -> Node:
    """A place in the words of the beam where it has one: 0, L/2, L, an end of an overhang; else its own symbol."""
    hair = 1e-9 * L.value
    for candidate in (as_node(0), L / 2, L, L + right, 0 - left):
        if abs(candidate.value - value) < hair:
            return candidate
    return Symbol(name, value)


def _formula_of(tree: Node, name: str, what: str) -> Formula | None:
    """A formula from a recorded answer, collected into one fraction where it is one; None where it is zero."""
    try:
        tree = collect(tree, _ORDER)
    except TypeError:
        pass
    names = sorted(symbols(tree), key=lambda n: _ORDER.index(n) if n in _ORDER else len(_ORDER))
    if not names:
        return None
    declared = {n: _KINDS["w" if n.startswith("w") else n if n in ("P", "C", "E", "I", "GA") else "L"] for n in names}
    return Formula.from_tree(tree, name=name, arguments=declared, returns=_KINDS[what],
                             glossary={n: _MEANING[n] for n in names}, meaning=f"{what} of a beam",
                             symbol=_SYMBOL[what], source=SOURCE)


def _size(name: str, value, unit: str, positive: bool = False) -> np.ndarray:
    declared = Declared(unit, f"a quantity like 1 {unit}", f"Q(1, '{unit}')")
    if not isinstance(value, pint.Quantity) or value.dimensionality != declared.pint_unit.dimensionality:
        came = value if isinstance(value, pint.Quantity | str) else f"{value} (no unit)"
        raise InputError(field=f"Beam: {name}", value=came, need=declared.word, example=f"{name}={declared.example}")
    size = np.asarray(value.to(declared.pint_unit).magnitude, dtype=float)
    if not np.isfinite(size).all() or (positive and not (size > 0).all()):
        raise InputError(field=f"Beam: {name}", value=value, need="a positive size" if positive else "a finite size")
    return size


def _sizes_of(terms: Iterable[Term]) -> list:
    return [v for t in terms for v in (t.size, t.start)]


def _one_length(field: str, *sizes) -> int:
    """How many designs there are. Sizes are single or arrays of that one length; InputError otherwise."""
    counts = {np.shape(v) for v in sizes if v is not None and np.ndim(v)}
    if len(counts) > 1 or any(len(c) != 1 for c in counts):
        raise InputError(field=field, value="arrays of shapes " + ", ".join(map(str, sorted(counts))),
                         need="single sizes, or arrays of one length, one entry for each design")
    return counts.pop()[0] if counts else 1


def _column(value) -> np.ndarray:
    """Designs down, stations across."""
    return np.atleast_1d(np.asarray(value, dtype=float))[:, None] if np.ndim(value) < 2 else value


def _wide(term: Term) -> Term:
    return Term(_column(term.size), _column(term.start), term.order)


def _squeeze(value: np.ndarray):
    value = np.squeeze(np.asarray(value))
    return float(value) if value.ndim == 0 else value


def _load_terms(load: Load, begin, end) -> list[Term]:
    hair = 1e-9 * np.max(np.abs(end - begin))

    def place(name, quantity, otherwise=None):
        size = otherwise if quantity is None else _size(f"{load.name} {name}", quantity, "m")
        if np.any(size < begin - hair) or np.any(size > end + hair):
            raise InputError(field=f"Beam: {load.name} {name}", value=quantity, need="a place on the beam")
        return size

    if isinstance(load, Point):
        return point_terms(_size("P", load.P, "N"), place("at", load.at))
    if isinstance(load, Couple):
        return couple_terms(_size("C", load.C, "N*m"), place("at", load.at))
    start, stop = place("start", load.start, begin), place("end", load.end, end)
    if np.any(stop <= start):
        raise InputError(field=f"Beam: {load.name}", value=load.end, need="an end to the right of the start")
    if isinstance(load, Even):
        return even_terms(_size("w", load.w, "N/m"), start, stop)
    return growing_terms(_size("w_start", load.w_start, "N/m"), _size("w_end", load.w_end, "N/m"), start, stop)


# --- handbook formulas, derived ------------------------------------------------------------------


@dataclass(frozen=True)
class Handbook:
    """A named handbook case: which beam, which answer, where. Its formula is derived by `handbook`."""

    ends: str
    load: str
    what: str
    at: str
    words: str


HANDBOOK = {
    "sag_simple_uniform": Handbook("simple", "even", "sag", "middle", "sag at the middle, even load, two supports"),
    "moment_simple_uniform": Handbook("simple", "even", "moment", "middle", "moment at the middle, even load, two supports"),
    "shear_simple_uniform": Handbook("simple", "even", "shear", "left", "shear at a support, even load, two supports"),
    "slope_simple_uniform": Handbook("simple", "even", "slope", "left", "slope at a support, even load, two supports"),
    "sag_simple_point_middle": Handbook("simple", "point middle", "sag", "middle", "sag under a load at the middle"),
    "moment_simple_point_middle": Handbook("simple", "point middle", "moment", "middle", "moment under a load at the middle"),
    "sag_simple_point": Handbook("simple", "point", "sag", "load", "sag under a load anywhere (not the largest unless at the middle)"),
    "moment_simple_point": Handbook("simple", "point", "moment", "load", "moment under a load anywhere, two supports"),
    "sag_cantilever_uniform": Handbook("cantilever", "even", "sag", "right", "sag at the tip, even load"),
    "moment_cantilever_uniform": Handbook("cantilever", "even", "moment", "left", "moment at the held end, even load"),
    "sag_cantilever_point_tip": Handbook("cantilever", "point tip", "sag", "right", "sag at the tip, load at the tip"),
    "moment_cantilever_point_tip": Handbook("cantilever", "point tip", "moment", "left", "moment at the held end, load at the tip"),
    "sag_cantilever_point": Handbook("cantilever", "point", "sag", "right", "sag at the tip, load anywhere"),
    "slope_cantilever_point_tip": Handbook("cantilever", "point tip", "slope", "right", "slope at the tip, load at the tip"),
    "sag_cantilever_couple_tip": Handbook("cantilever", "couple tip", "sag", "right", "sag at the tip, couple at the tip"),
    "shear_cantilever_uniform": Handbook("cantilever", "even", "shear", "left", "shear at the held end, even load"),
    "shear_fixed_uniform": Handbook("fixed", "even", "shear", "left", "shear at a held end, even load"),
    "sag_propped_uniform_middle": Handbook("propped", "even", "sag", "middle", "sag at the middle, even load, one end held"),
    "moment_propped_uniform": Handbook("propped", "even", "moment", "left", "moment at the held end, even load"),
    "moment_propped_point_middle": Handbook("propped", "point middle", "moment", "left", "moment at the held end, load at the middle"),
    "sag_fixed_uniform": Handbook("fixed", "even", "sag", "middle", "sag at the middle, even load, both ends held"),
    "moment_fixed_uniform": Handbook("fixed", "even", "moment", "left", "moment at a held end, even load"),
    "sag_fixed_point_middle": Handbook("fixed", "point middle", "sag", "middle", "sag at the middle, load at the middle, both ends held"),
    "moment_fixed_point_middle": Handbook("fixed", "point middle", "moment", "left", "moment at a held end, load at the middle"),
    "sag_overhang_point_tip": Handbook("overhang", "point tip", "sag", "right", "sag at the tip of one overhang, load at the tip"),
    "moment_overhang_point_tip": Handbook("overhang", "point tip", "moment", "right support", "moment over the support, load at the tip"),
    "sag_overhang_uniform_tip": Handbook("overhang", "even overhang", "sag", "right", "sag at the tip, even load on the overhang alone"),
    "sag_overhang_uniform_span": Handbook("overhang", "even span", "sag", "right", "sag at the tip, even load on the span alone (negative: up)"),
}


@lru_cache(maxsize=None)
def handbook(name: str) -> Formula:
    """The named handbook formula, derived from the beam engine and collected into one fraction."""
    case = HANDBOOK[name]
    L, c, a = Symbol("L", 1.0), Symbol("c_right", 0.25), Symbol("a", 0.4)
    w, P, C = Symbol("w", 1.0), Symbol("P", 1.0), Symbol("C", 1.0)
    zero = as_node(0)
    far = L + c if case.ends == "overhang" else L
    places = {"left": zero, "middle": L / 2, "right": far, "right support": L, "load": a}
    terms = {
        "even": lambda: even_terms(w, zero, far), "point middle": lambda: point_terms(P, L / 2),
        "point": lambda: point_terms(P, a), "point tip": lambda: point_terms(P, far),
        "couple tip": lambda: couple_terms(C, far), "even span": lambda: even_terms(w, zero, L),
        "even overhang": lambda: even_terms(w, L, far),
    }[case.load]()
    ends = "simple" if case.ends == "overhang" else case.ends
    tree = value_of(solve(ends, terms, L), case.what, places[case.at], Symbol("E", 1.0) * Symbol("I", 1.0))
    made = _formula_of(tree, name, case.what)
    made.meaning = case.words
    return made


def answer(*, what: str, ends: str, L, E=None, I=None, EI=None, at=None, overhang_left=None,  # noqa: E741
           overhang_right=None, points=(), evens=(), growings=(), couples=()):
    """One number of one beam, for published cases.

    what     sag, slope, moment, shear (at `at`); largest_sag, largest_moment, lowest_moment (and `..._at`: where);
             left_reaction, right_reaction, left_moment, right_moment
    points   P, place, P, place ...;  evens: w, start, end, ...;  growings: w_start, w_end, start, end, ...;
    couples  C, place, ...
    EI       stiffness as one quantity where the source gives it so
    """
    if EI is not None:
        E, I = Q(1, "Pa"), Quantity(float(EI.to("N*m**2").magnitude), "m**4")  # noqa: E741
    if E is None:  # forces alone do not depend on it
        E, I = Q(1, "Pa"), Q(1, "m**4")  # noqa: E741
    loads: list[Load] = [Point(p, a) for p, a in _grouped(points, 2)]
    loads += [Even(*row) for row in _grouped(evens, 3)]
    loads += [Growing(*row) for row in _grouped(growings, 4)]
    loads += [Couple(*row) for row in _grouped(couples, 2)]
    beam = Beam(ends=ends, L=L, E=E, I=I, loads=loads, overhang_left=overhang_left, overhang_right=overhang_right)
    if what in _POWER:
        return beam.value(what, at)
    if what in ("left_reaction", "right_reaction", "left_moment", "right_moment"):
        return getattr(beam, what)
    largest = {"largest_sag": ("sag", "down"), "largest_lift": ("sag", "up"), "largest_moment": ("moment", "sagging"),
               "lowest_moment": ("moment", "hogging"), "largest_slope": ("slope", "either")}
    name, where = (what[:-3], 1) if what.endswith("_at") else (what, 0)
    if name not in largest:
        raise InputError(field="answer: what", value=what, need="one of " + ", ".join([*_POWER, *largest]))
    return beam.largest(*largest[name])[where]


def _grouped(row, n: int):
    row = list(row)
    if len(row) % n:
        raise InputError(field="answer: loads", value=f"{len(row)} sizes", need=f"groups of {n}")
    return [tuple(row[i:i + n]) for i in range(0, len(row), n)]
