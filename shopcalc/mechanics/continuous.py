"""Beams on any number of supports: several spans, overhangs, supports that settle or give, ends held against turning.

The same singularity terms as `beams`; the support forces follow from one small linear system per design: no load
left over, no moment left over, and at every support the beam lies where the support lets it.

    settles  how far a rigid support lies below the straight line (positive down)
    spring   stiffness of a support that gives; its settlement counts besides
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import pint

from shopcalc.errors import InputError
from shopcalc.formula import formula, sqrt
from shopcalc.mechanics.beams import (
    COUPLE,
    NO_SHEAR,
    POINT,
    Beam,
    ElasticLine,
    Line,
    Load,
    Point,
    Term,
    _column,
    _load_terms,
    _one_length,
    _size,
    _sizes_of,
    _squeeze,
    _wide,
    derivative,
    slid,
)
from shopcalc.units import Length, Quantity

MOST_SUPPORTS = 12


@dataclass(frozen=True)
class Support:
    """A support at one place. holds: also held against turning (only the first and the last may be)."""

    at: pint.Quantity
    settles: pint.Quantity | None = None
    spring: pint.Quantity | None = None
    holds: bool = False


class ContinuousBeam(ElasticLine):
    """A beam of one section from `begin` to `end` on its supports. Sizes may be arrays of one length (designs).

    begin, end  the two ends of the bar; supports: from left to right, anywhere between them
    GA          shear stiffness, or None for plain bending
    reactions   (supports,) or (designs, supports), positive up; negative where a support has to hold the bar down
    Raises InputError: fewer supports than it takes to stand, two at one place, off the bar.
    """

    def __init__(self, *, begin, end, supports: Iterable[Support], E, I, loads: Iterable[Load], GA=None):  # noqa: E741
        self.supports, self.loads = tuple(supports), tuple(loads)
        self._begin, self._end = _size("begin", begin, "m"), _size("end", end, "m")
        self._span = self._end - self._begin
        if not (self._span > 0).all():
            raise InputError(field="ContinuousBeam: end", value=end, need="an end to the right of the beginning")
        if not self.loads and all(s.settles is None for s in self.supports):
            raise InputError(field="ContinuousBeam: loads", value=None, need="a load, or a support that settles")
        self._EI = _size("E", E, "Pa", positive=True) * _size("I", I, "m**4", positive=True)
        self._places = [_size("support at", s.at, "m") for s in self.supports]
        self._check_supports()
        terms = [t for load in self.loads for t in _load_terms(load, self._begin, self._end)]
        self._designs = _one_length("ContinuousBeam", self._EI, self._begin, self._end, *self._places, *_sizes_of(terms))
        terms = [_wide(t) for t in terms]
        phi = NO_SHEAR if GA is None else _column(self._EI / _size("GA", GA, "N", positive=True))
        self._line, self._forces = self._solve(terms, phi)
        self._marks = [*self._places, *[t.start for t in terms]]
        self.begin, self.end = Quantity(self._begin, "m"), Quantity(self._end, "m")

    def _check_supports(self) -> None:
        held = sum(s.holds for s in self.supports)
        if len(self.supports) + held < 2:
            raise InputError(field="ContinuousBeam: supports", value=f"{len(self.supports)} supports",
                             need="two supports, or one that also holds the bar against turning",
                             example="Support(Q(0, 'in')), Support(Q(72, 'in'))")
        if len(self.supports) > MOST_SUPPORTS:
            raise InputError(field="ContinuousBeam: supports", value=len(self.supports), need=f"at most {MOST_SUPPORTS}")
        if any(s.holds for s in self.supports[1:-1]):
            raise InputError(field="ContinuousBeam: supports", value="a middle support that holds",
                             need="only end supports that hold against turning")
        hair = 1e-9 * np.max(self._span)
        edges = [self._begin - hair, *self._places, self._end + hair]
        if any((b - a <= (hair if 0 < i < len(edges) - 2 else 0)).any() if np.ndim(b - a) else
               b - a <= (hair if 0 < i < len(edges) - 2 else 0) for i, (a, b) in enumerate(zip(edges, edges[1:], strict=False))):
            raise InputError(field="ContinuousBeam: supports", value="their places",
                             need="supports from left to right, each at a place of its own on the bar")

    def _solve(self, terms: list[Term], phi) -> tuple[Line, np.ndarray]:
        """Unknowns: support forces, holding moments, turn, lift. Rows: deflection at each support, no turn where
        held, vertical balance, balance of moments about the left end. Scaled by the length and EI."""
        n = self._designs
        begin, end, EI = (_column(np.broadcast_to(v, (n,))) for v in (self._begin, self._end, self._EI))
        places = [_column(np.broadcast_to(p, (n,))) for p in self._places]
        held = [i for i, s in enumerate(self.supports) if s.holds]
        m, h = len(places), len(held)
        size = m + h + 2
        L = (end - begin)[:, 0]
        A, b = np.zeros((n, size, size)), np.zeros((n, size))
        unit = [Term(1.0, p, POINT) for p in places] + [Term(1.0, places[i], COUPLE) for i in held]
        # Force unknowns act up: their terms are subtracted; scaled so that all entries are of one size.
        scale = np.concatenate([np.repeat((EI / L[:, None]**3), m, 1), np.repeat(EI / L[:, None]**2, h, 1),
                                EI / L[:, None], EI], axis=1)

        def fall(parts, x):
            down = derivative(parts, x, 0)
            return down if phi is NO_SHEAR else down - phi * slid(parts, x)

        row = 0
        for i, x in enumerate(places):
            for j, part in enumerate(unit):
                A[:, row, j] = -fall([part], x)[:, 0]
            A[:, row, m + h], A[:, row, m + h + 1] = (x - begin)[:, 0], 1.0
            spring = self.supports[i].spring
            if spring is not None:
                A[:, row, i] -= EI[:, 0] / _size("spring", spring, "N/m", positive=True)
            drop = self.supports[i].settles
            drop = 0.0 if drop is None else _size("settles", drop, "m")
            b[:, row] = EI[:, 0] * drop - (fall(terms, x)[:, 0] if terms else 0.0)
            row += 1
        for i in held:
            for j, part in enumerate(unit):
                A[:, row, j] = -derivative([part], places[i] - 1e-300, 1)[:, 0]
            A[:, row, m + h] = 1.0
            b[:, row] = -(derivative(terms, places[i], 1)[:, 0] if terms else 0.0)
            row += 1
        for power in (3, 2):  # no shear and no moment beyond the right end
            far = end + (end - begin)
            for j, part in enumerate(unit):
                A[:, row, j] = derivative([part], far if power == 3 else end, power)[:, 0]
            b[:, row] = derivative(terms, far if power == 3 else end, power)[:, 0] if terms else 0.0
            row += 1
        weight = np.concatenate([np.ones(m), np.repeat(1.0, h), [1.0, 1.0]])
        rows = np.concatenate([np.repeat(1 / EI, m, 1), np.repeat(L[:, None] / EI, h, 1), L[:, None]**3 / EI, L[:, None]**2 / EI], axis=1)
        solution = np.linalg.solve(A * rows[:, :, None] * scale[:, None, :], (b * rows)[:, :, None])[:, :, 0] * scale * weight
        forces, moments = solution[:, :m], solution[:, m:m + h]
        turn, lift = solution[:, m + h, None], solution[:, m + h + 1, None]
        added = [Term(-forces[:, i, None], places[i], POINT) for i in range(m)]
        added += [Term(-moments[:, k, None], places[i], COUPLE) for k, i in enumerate(held)]
        line = Line((*terms, *added), turn, lift - turn * begin, forces[:, :1], forces[:, -1:], moments[:, :1] if h else 0 * turn, phi)
        return line, forces

    @property
    def reactions(self) -> pint.Quantity:
        """Support forces, positive up, in the order of the supports."""
        return Quantity(_squeeze(self._forces), "N")


@dataclass(frozen=True)
class Moving:
    """The worst of one load that moves along a beam: the largest answer, where the load then stands, and where
    the answer is found."""

    largest: pint.Quantity
    load_at: pint.Quantity
    found_at: pint.Quantity


def moving_load(*, P: pint.Quantity, start: pint.Quantity, end: pint.Quantity, what: str = "moment",
                sense: str = "either", places: int = 201, loads: Iterable[Load] = (), **beam) -> Moving:
    """The largest sag, moment or shear while a load P walks from start to end along a bar.

    loads  what else lies on it all the while;  beam: arguments of `ContinuousBeam` where `supports` is among them, but its
    begin is called `left` and its end `right`; else arguments of `Beam`
    The places of the load are a row of designs; the worst is refined twice between its neighbours.
    """
    first, last = (float(np.squeeze(_size(n, v, "m"))) for n, v in (("start", start), ("end", end)))
    if not first < last:
        raise InputError(field="moving_load: end", value=end, need="an end of the walk beyond its start",
                         example='start=Q(0, "in"), end=Q(72, "in")')
    if sense not in _SENSES:
        raise InputError(field="moving_load: sense", value=sense, need="one of " + ", ".join(_SENSES), example="either")
    made = Beam
    if "supports" in beam:
        made, beam = ContinuousBeam, {{"left": "begin", "right": "end"}.get(k, k): v for k, v in beam.items()}
    low, high, best = first, last, None
    for _ in range(3):
        at = np.linspace(low, high, places)
        found = made(loads=[Point(P, Quantity(at, "m")), *loads], **beam).largest(what, sense)
        value = np.atleast_1d(found[0].magnitude)
        i = int(np.argmax(_SENSES[sense](value)))
        if best is None or _SENSES[sense](value[i]) > _SENSES[sense](best.largest.magnitude):
            best = Moving(Quantity(float(value[i]), found[0].units), Quantity(float(at[i]), "m"),
                          Quantity(float(np.atleast_1d(found[1].magnitude)[i]), "m"))
        low, high = at[max(i - 1, 0)], at[min(i + 1, places - 1)]
    return best


_SENSES = {"either": np.abs, "down": np.asarray, "sagging": np.asarray, "up": np.negative, "hogging": np.negative}


@formula(symbol="delta", source="beam-theory, unsymmetric bending")
def resultant_sag(*, delta_x: Length, delta_y: Length) -> Length:
    """Movement of a bar loaded about both of its principal axes.

    delta_x  movement along one principal axis
    delta_y  movement along the other
    """
    return sqrt(delta_x**2 + delta_y**2)


def skew_sag(*, tilt: pint.Quantity, I_strong: pint.Quantity, I_weak: pint.Quantity, P: pint.Quantity, at: pint.Quantity,
             ends: str, L: pint.Quantity, E: pint.Quantity, station: pint.Quantity) -> dict[str, pint.Quantity]:
    """A load P that leans by `tilt` from the strong direction: movement at a station along it (`vertical`), across
    it (`horizontal`) and together (`resultant`)."""
    angle = float(np.squeeze(_size("tilt", tilt, "rad")))
    parts = {}
    for name, share, I in (("vertical", np.cos(angle), I_strong), ("horizontal", np.sin(angle), I_weak)):  # noqa: E741
        parts[name] = Beam(ends=ends, L=L, E=E, I=I, loads=[Point(P * share, at)]).sag(station)
    parts["resultant"] = resultant_sag(delta_x=parts["vertical"], delta_y=parts["horizontal"])
    return parts
