"""A clause of a code: several limit states, the least of which is the nominal strength.

    @clause("F8", source="aisc-360-22, F8", gives=Moment, omega=1.67, phi=0.90,
            states=("yielding", "local buckling"), valid=[...])
    def bending_round_tube(*, F_y: Stress, ...):
        \"\"\"...glossary...\"\"\"
        return yielding, buckling          # arrays, one per state; None where no design has that state

`.si` takes SI numbers or arrays by keyword (first axis = design) and returns a `Strength` for all designs.
The call takes quantities and returns the nominal strength of them; `.worked` gives the lines of the governing
branch for one design. The relations themselves are formulas (formula.py), written once.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterable, Sequence
from typing import get_type_hints

import numpy as np
import pint

from shopcalc.check import Strength, allowable
from shopcalc.errors import InputError, OutsideRange
from shopcalc.formula import Formula, Within, Worked, glossary_of
from shopcalc.units import Declared, Quantity


class Steps:
    """Collects worked lines: `steps(formula, F_y=..., Z=...)` adds the line and returns the value."""

    def __init__(self, system: str):
        self.system = system
        self.lines: list[Worked] = []

    def __call__(self, relation: Formula, **sizes):
        self.lines.append(relation.worked(system=self.system, **sizes))
        return relation(**sizes)


class Clause:
    """See the module. Made by `@clause`."""

    def __init__(self, *, kernel: Callable, clause: str, source: str, gives: Declared, omega: float,
                 phi: float,
                 states: tuple[str, ...], valid: Iterable[Within], ways: str):
        self.name = self.__name__ = kernel.__name__
        self.__doc__, self.__module__, self.__wrapped__ = kernel.__doc__, kernel.__module__, kernel
        self.kernel, self.clause, self.source = kernel, clause, source
        self.gives, self.omega, self.phi = gives, omega, phi
        self.states, self.valid, self.ways = states, tuple(valid), ways
        hints = get_type_hints(kernel, include_extras=True)
        self.arguments: dict[str, Declared] = {}
        self.defaults: dict[str, float] = {}
        for name, parameter in inspect.signature(kernel).parameters.items():
            units = [m for m in getattr(hints.get(name), "__metadata__", ()) if isinstance(m, Declared)]
            if not units or parameter.kind is not parameter.KEYWORD_ONLY:
                raise TypeError(f"{self.name}: {name} must be keyword-only and declare its unit")
            self.arguments[name] = units[0]
            if parameter.default is not parameter.empty:
                self.defaults[name] = parameter.default
        meaning, self.glossary = glossary_of(kernel.__doc__ or "")
        if list(self.glossary) != list(self.arguments):
            raise TypeError(f"{self.name}: glossary {list(self.glossary)} is not {list(self.arguments)}")
        self._lines: Callable | None = None

    def __repr__(self) -> str:
        return f"<clause {self.clause}: {self.name}>"

    # --- many designs

    def si(self, **sizes) -> Strength:
        """SI numbers or arrays by keyword, broadcast; first axis = design. Nominal is nan out of range."""
        sizes = self._complete(sizes)
        arrays = {n: np.atleast_1d(np.asarray(v, float)) for n, v in sizes.items()}
        # A branch that a design does not take may divide by zero or overflow there; it is not used.
        with np.errstate(divide="ignore", over="ignore", invalid="ignore"):
            candidates = self.kernel(**arrays)
        shape = np.broadcast_shapes(*(v.shape for v in arrays.values()))
        nominal, governing = _least(candidates, shape)
        inside = np.isfinite(nominal) & (nominal > 0)  # sizes below zero must not pass for strength
        for limit in self.valid:
            inside &= limit.mask(arrays)
        nominal[~inside] = np.nan
        return Strength(nominal=nominal, states=self.states, governing=governing, in_range=inside,
                        omega=self.omega, phi=self.phi, clause=self.clause, why_outside=self.why_outside)

    def _complete(self, sizes: dict) -> dict:
        stray = [n for n in sizes if n not in self.arguments]
        lacking = [n for n in self.arguments if n not in sizes and n not in self.defaults]
        if stray or lacking:
            raise InputError(field=f"{self.name}: {(stray or lacking)[0]}", value=None,
                             need="arguments " + ", ".join(self.arguments), example=self._example())
        return {**self.defaults, **sizes}

    @property
    def range(self) -> tuple[str, ...]:
        """The range of validity in words, as a Check carries it."""
        return tuple(f"{limit} ({limit.source})" if limit.source else str(limit) for limit in self.valid)

    @property
    def why_outside(self) -> str:
        return "; ".join((*self.range, self.ways)) if self.valid else ""

    # --- one design, or quantities

    def __call__(self, **quantities):
        """Nominal strength, quantities in and out. One design out of range raises OutsideRange; an array
        holds nan there."""
        sizes = self._sizes(quantities)
        strength = self.si(**sizes)
        if any(np.ndim(v) for v in sizes.values()):
            return self._quantity(strength.nominal)
        if not strength.in_range[0]:
            raise self._outside(sizes)
        return self._quantity(float(strength.nominal[0]))

    def governing(self, **quantities) -> str:
        """The governing limit state of one design, in words."""
        sizes = self._sizes(quantities)
        strength = self.si(**sizes)
        if not strength.in_range[0]:
            raise self._outside(sizes)
        return strength.state()

    def worked(self, *, system: str = "inch", **quantities) -> tuple[Worked, ...]:
        """The worked lines of the governing branch of one design; the last gives the nominal strength."""
        if self._lines is None:
            raise TypeError(f"{self.name} has no worked lines")
        given = {**{n: self._default(n) for n in self.defaults}, **quantities}
        state = self.governing(**quantities)
        steps = Steps(system)
        self._lines(steps, _Given(given), state)
        return tuple(steps.lines)

    def lines(self, function: Callable) -> Callable:
        """Decorator: the function that writes the worked lines, called with (steps, quantities, state)."""
        self._lines = function
        return function

    def _default(self, name: str):
        unit = self.arguments[name]
        return self.defaults[name] if unit.bare_allowed else Quantity(self.defaults[name], unit.pint_unit)

    def _sizes(self, quantities: dict) -> dict:
        sizes = {}
        for name, value in self._complete(quantities).items():
            if name not in quantities:
                sizes[name] = value
                continue
            declared = self.arguments[name]
            if isinstance(value, pint.Quantity):
                if value.dimensionality != declared.pint_unit.dimensionality:
                    raise self._refuse(name, value)
                size = value.to(declared.pint_unit).magnitude
            elif declared.bare_allowed and not isinstance(value, str | bytes):
                size = value
            else:
                raise self._refuse(name, value)
            size = np.asarray(size, float) if np.ndim(size) else float(size)
            if not np.all(np.isfinite(size)):
                raise self._refuse(name, value, "finite numbers")
            sizes[name] = size
        return sizes

    def _refuse(self, name: str, value, need: str = "") -> InputError:
        declared = self.arguments[name]
        came = value if isinstance(value, pint.Quantity | str) else f"{value} (no unit)"
        return InputError(field=f"{self.name}: {name}", value=came, need=need or declared.word,
                          example=f"{name}={declared.example}")

    def _example(self) -> str:
        asked = {n: d for n, d in self.arguments.items() if n not in self.defaults}
        return f"{self.name}(" + ", ".join(f"{n}={d.example}" for n, d in asked.items()) + ")"

    def _outside(self, sizes: dict) -> OutsideRange:
        for limit in self.valid:
            if not np.all(limit.mask(sizes)):
                value = limit.of(**{n: sizes[n] for n in inspect.signature(limit.of).parameters})
                where = f" ({limit.source})" if limit.source else ""
                return OutsideRange(field=f"{self.name}: {limit.label}", value=f"{float(value):.4g}",
                                    need=f"{limit}{where}; {self.ways}")
        return OutsideRange(field=self.name, value="no finite strength", need="sizes above zero")

    def _quantity(self, size):
        return size if self.gives.bare_allowed else Quantity(size, self.gives.pint_unit)


class _Given:
    """The quantities of one design by name: given.F_y."""

    def __init__(self, quantities: dict):
        self.__dict__.update(quantities)


def _least(candidates, shape) -> tuple[np.ndarray, np.ndarray]:
    """Least of the states and its index; the first state wins a tie."""
    nominal = np.broadcast_to(candidates[0], shape).copy()
    governing = np.zeros(shape, np.int8)
    for i, candidate in enumerate(candidates[1:], start=1):
        if candidate is None:
            continue
        less = candidate < nominal
        np.copyto(nominal, candidate, where=less)
        governing[less] = i
    return nominal, governing


def clause(number: str, *, source: str, gives, omega: float, phi: float, states: Sequence[str],
           valid: Iterable[Within] = (), ways: str = ""):
    """Make a kernel a Clause.

    number   as it prints: "AISC 360-22 F7";  source  "source-id, place"
    gives    declared unit of the nominal strength (Moment, Force ...)
    states   names of the limit states, in the order in which the kernel returns them
    valid    range of validity as data;  ways  what to do outside it, in words
    """
    declared = next(m for m in gives.__metadata__ if isinstance(m, Declared))

    def make(kernel: Callable) -> Clause:
        return Clause(kernel=kernel, clause=number, source=source, gives=declared, omega=omega, phi=phi,
                      states=tuple(states), valid=valid, ways=ways)

    return make


def weakest(strengths: Sequence[Strength], kind: str, method: str = "ASD") -> tuple[np.ndarray, np.ndarray]:
    """Least allowable of several clauses that carry factors of their own, and the index of the one that gives
    it; nan where any of them does not cover the design. Array kernel."""
    each = np.stack(np.broadcast_arrays(*(allowable(s, kind, method) for s in strengths)))
    outside = np.isnan(each).any(axis=0)
    index = np.where(np.isnan(each), np.inf, each).argmin(axis=0)
    least = np.where(outside, np.nan, np.take_along_axis(each, index[None], axis=0)[0])
    return least, index

