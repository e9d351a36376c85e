"""A formula is written once, as a plain function in plain arithmetic; `@formula` gives it the rest.

    @formula(symbol="M", source="aisc-360-22, F7-1")
    def plastic_moment(Fy: Stress, Z: SectionModulus) -> Moment:
        \"\"\"Moment at which the whole section yields.

        Fy  yield stress of the steel
        Z   plastic section modulus
        \"\"\"
        return Fy*Z

The call takes and returns quantities; `.si` is the bare body; `.worked` the line a reviewer reads, which
checks its own printed numbers; `.inverse` all roots in a range; `.sensitivities` by complex step;
`.sympy` the expression for proofs. Units, not only dimensions, are declared: a body with empirical
coefficients works in the units its source does (Inch, Millimetre).
"""

from __future__ import annotations

import inspect
import math
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import get_type_hints

import numpy as np
import pint

from shopcalc.errors import InputError, OutsideRange, WorkedLineError
from shopcalc.expression import (  # noqa: F401  (bodies take their functions from here)
    Node,
    Symbol,
    acos,
    as_node,
    atan,
    bracket,
    cos,
    evaluate,
    exp,
    frac,
    latex,
    latex_name,
    log,
    pi,
    sin,
    sqrt,
    symbols,
    tan,
    text,
    to_sympy,
)
from shopcalc.units import Declared, Quantity, number, unit_text, ureg

RESULT_DIGITS = 4
MOST_DIGITS = 12


@dataclass(frozen=True)
class Within:
    """Part of a formula's range of validity, as data: low <= of(arguments) <= high.

    label   what is bounded, as it prints ("B/t"); `of` takes the body's arguments by name, in declared units
    source  where the limit stands
    """

    label: str
    of: Callable
    low: float = -math.inf
    high: float = math.inf
    source: str = ""

    def __str__(self) -> str:
        low = "" if self.low == -math.inf else f"{self.low:g} <= "
        high = "" if self.high == math.inf else f" <= {self.high:g}"
        return f"{low}{self.label}{high}"

    def mask(self, sizes: Mapping[str, object]):
        value = self.of(**{n: sizes[n] for n in inspect.signature(self.of).parameters})
        # A hair of rounding at the door must not turn an exact limit into "outside".
        slack = 1e-12 * max(abs(self.low) if self.low > -math.inf else 0,
                            abs(self.high) if self.high < math.inf else 0)
        return (value >= self.low - slack) & (value <= self.high + slack)


@dataclass(frozen=True)
class Worked:
    """A worked line. Its printed inputs give its printed result: that was checked when it was made."""

    symbol: str
    expression: str
    numbers: str
    result: str
    inputs: tuple[tuple[str, str, str], ...]  # symbol, printed size with unit, meaning
    latex_symbolic: str
    latex_numbers: str
    source: str

    def __str__(self) -> str:
        return f"{self.symbol} = {self.expression} = {self.numbers} = {self.result}"

    def as_dict(self) -> dict:
        return {"symbol": self.symbol, "expression": self.expression, "numbers": self.numbers,
                "result": self.result, "source": self.source,
                "inputs": [{"symbol": s, "size": v, "meaning": m} for s, v, m in self.inputs]}


class Formula:
    """See the module. Made by `@formula`, or by `Formula.from_tree` for a derived expression."""

    def __init__(self, *, name: str, body: Callable, arguments: Mapping[str, Declared], returns: Declared,
                 glossary: Mapping[str, str], meaning: str, symbol: str, source: str,
                 valid: Iterable[Within] = (), positional: tuple[str, ...] = (), tree: Node | None = None):
        self.name = self.__name__ = name
        self.arguments, self.returns = dict(arguments), returns
        self.glossary, self.meaning = dict(glossary), meaning
        self.symbol, self.source, self.valid = symbol, source, tuple(valid)
        self.si = body
        self._positional, self._tree = positional, tree
        self._factors: dict[tuple[str, pint.Unit], float] = {}
        self._printed: dict[str, dict[str, str]] = {}

    @classmethod
    def from_tree(cls, tree: Node, **words) -> Formula:
        names = tuple(words["arguments"])

        def body(**sizes):
            return evaluate(tree, sizes)

        missing = set(symbols(tree)) - set(names)
        if missing:
            raise TypeError(f"{words['name']}: no unit declared for {sorted(missing)}")
        return cls(body=body, tree=tree, **words)

    def __repr__(self) -> str:
        return f"<formula {self.name}: {self.symbol} = {text(self.tree)}>"

    # --- the door

    def __call__(self, *args, **kwargs):
        """Quantities in, a quantity out. Arrays broadcast; outside the range a scalar raises
        OutsideRange and an array holds nan there (`in_range` gives the mask)."""
        sizes = self._sizes(args, kwargs)
        result = self.si(**sizes)
        if self.valid:
            inside = self._mask(sizes)
            if np.ndim(result) == 0 and not np.all(inside):
                raise self._outside(sizes)
            if np.ndim(result):
                result = np.where(inside, result, np.nan)
        if np.ndim(result) == 0:
            result = float(result)
            if not math.isfinite(result):
                raise OutsideRange(field=self.name, value=self._came(sizes),
                                   need="sizes for which the formula has a finite answer")
        return result if self.returns.bare_allowed else Quantity(result, self.returns.pint_unit)

    def _sizes(self, args, kwargs) -> dict[str, object]:
        if len(args) > len(self._positional):
            raise InputError(field=self.name, value=f"{len(args)} unnamed arguments",
                             need="look-alike arguments by name", example=self._example())
        given = dict(zip(self._positional, args, strict=False))
        for name, value in kwargs.items():
            if name not in self.arguments or name in given:
                raise InputError(field=f"{self.name}: {name}", value=value,
                                 need="arguments " + ", ".join(self.arguments), example=self._example())
            given[name] = value
        if len(given) != len(self.arguments):
            missing = [n for n in self.arguments if n not in given]
            raise InputError(field=f"{self.name}: {missing[0]}", value=None,
                             need=self.arguments[missing[0]].word, example=self._example())
        return {name: self._bare(name, given[name]) for name in self.arguments}

    def _bare(self, name: str, value):
        if isinstance(value, pint.Quantity):
            unit = value.units
            factor = self._factors.get((name, unit))
            if factor is None:
                factor = self._factors[name, unit] = self._factor(name, value)
            size = value.magnitude
        elif self.arguments[name].bare_allowed and not isinstance(value, str | bool | bytes):
            size, factor = value, 1.0
        else:
            raise self._refuse(name, value)
        if isinstance(size, np.ndarray) and size.ndim:
            size = size * factor if factor != 1.0 else size.astype(float, copy=False)
            if not np.isfinite(size).all():
                raise self._refuse(name, value, "finite numbers")
            return size
        try:
            size = float(size) * factor
        except (TypeError, ValueError):
            raise self._refuse(name, value) from None
        if not math.isfinite(size):
            raise self._refuse(name, value, "a finite number")
        return size

    def _factor(self, name: str, value: pint.Quantity) -> float:
        declared = self.arguments[name]
        target = declared.pint_unit
        if value.dimensionality != target.dimensionality or not value._is_multiplicative:
            raise self._refuse(name, value)
        return float(Quantity(1.0, value.units).to(target).magnitude)

    def _refuse(self, name: str, value, need: str = "") -> InputError:
        declared = self.arguments[name]
        came = value if isinstance(value, pint.Quantity | str) else f"{value} (no unit)"
        return InputError(field=f"{self.name}: {name}", value=came, need=need or declared.word,
                          example=f"{name}={declared.example}")

    def _example(self) -> str:
        return f"{self.name}(" + ", ".join(f"{n}={d.example}" for n, d in self.arguments.items()) + ")"

    # --- range

    def _mask(self, sizes):
        inside = True
        for limit in self.valid:
            inside = inside & limit.mask(sizes)
        return inside

    def in_range(self, *args, **kwargs):
        """True (or a mask) where every limit of the range of validity holds."""
        return self._mask(self._sizes(args, kwargs))

    def in_range_si(self, **sizes):
        return self._mask(sizes)

    def _outside(self, sizes) -> OutsideRange:
        broken = next(limit for limit in self.valid if not np.all(limit.mask(sizes)))
        value = broken.of(**{n: sizes[n] for n in inspect.signature(broken.of).parameters})
        where = f" ({broken.source})" if broken.source else ""
        return OutsideRange(field=f"{self.name}: {broken.label}", value=f"{float(value):.4g}",
                            need=f"{broken}{where}")

    def _came(self, sizes) -> str:
        return ", ".join(f"{n} = {v:.4g} {self.arguments[n].unit}".strip() for n, v in sizes.items())

    # --- the recorded body

    @property
    def tree(self) -> Node:
        if self._tree is None:
            self._tree = as_node(self.si(**{n: Symbol(n) for n in self.arguments}))
        return self._tree

    @property
    def sympy(self):
        """SymPy expression of the body; symbols are positive. Imports SymPy."""
        return to_sympy(self.tree)

    @property
    def latex(self) -> str:
        return f"{latex_name(self.symbol)} = {latex(self.tree)}"

    # --- the worked line

    def worked(self, *args, system: str = "inch", digits: int = RESULT_DIGITS, out: str | None = None,
               **kwargs) -> Worked:
        """Symbols, numbers, result, in one coherent set of units of the system ("inch" or "mm").

        The printed inputs carry as many digits as it takes to reproduce the printed result; where none
        up to 12 does, WorkedLineError. out: a unit in which the result is printed once more.
        """
        sizes = self._sizes(args, kwargs)
        if self.valid and not np.all(self._mask(sizes)):
            raise self._outside(sizes)
        units = self._print_units(system)
        printed_unit, sizes_out = units[""], {}
        for name, size in sizes.items():
            if np.ndim(size):
                raise InputError(field=f"{self.name}: {name}", value="several values", need="one value for a worked line")
            sizes_out[name] = size * _convert(self.arguments[name].unit, units[name])
        exact = float(self.si(**sizes)) * _convert(self.returns.unit, printed_unit)
        wanted = number(exact, digits)
        for depth in range(min(digits, 4), MOST_DIGITS + 1):
            shown = {n: number(v, depth) for n, v in sizes_out.items()}
            again = evaluate(self.tree, {n: float(s.replace(",", "")) for n, s in shown.items()})
            if math.isfinite(again) and number(float(again), digits) == wanted:
                break
        else:
            raise WorkedLineError(f"{self.name}: the printed numbers do not give {wanted} {printed_unit}")
        result = f"{wanted} {unit_text(printed_unit)}".strip()
        if out and out != printed_unit:
            other = number(float(self.si(**sizes)) * _convert(self.returns.unit, out), digits)
            result += f" = {other} {unit_text(out)}"
        return Worked(
            symbol=self.symbol, expression=text(self.tree), numbers=text(self.tree, shown.__getitem__),
            result=result,
            inputs=tuple((n, f"{shown[n]} {unit_text(units[n])}".strip(), self.glossary[n])
                         for n in self.arguments if n in symbols(self.tree)),
            latex_symbolic=f"{latex_name(self.symbol)} = {latex(self.tree)}",
            latex_numbers=latex(self.tree, lambda n: shown[n].replace(",", "{,}")),
            source=self.source)

    def _print_units(self, system: str) -> dict[str, str]:
        if system not in self._printed:
            declared = {**{n: d.unit for n, d in self.arguments.items()}, "": self.returns.unit}
            self._printed[system] = coherent_units(declared, system)
        return self._printed[system]

    # --- inverse and sensitivity

    def inverse(self, name: str, target, *, between: tuple, samples: int = 4000, **known) -> list:
        """Every size of argument `name` between two sizes at which the formula gives `target`.

        between  (low, high), quantities; only sizes within the range of validity count
        Returns a list of quantities in rising order, empty where there is none. SciPy's brentq refines
        each bracket; a touching root (a maximum equal to the target) is found to 1e-9 of the target.
        """
        from scipy.optimize import brentq, minimize_scalar

        if name not in self.arguments:
            raise InputError(field=f"{self.name}: {name}", value=None, need="arguments " + ", ".join(self.arguments))
        low, high = (self._bare(name, b) for b in between)
        if not low < high:
            raise InputError(field=f"{self.name}: between", value=between, need="a lower and a higher size")
        others = {n: self._bare(n, v) for n, v in known.items()}
        missing = [n for n in self.arguments if n != name and n not in others]
        if missing:
            raise InputError(field=f"{self.name}: {missing[0]}", value=None, need=self.arguments[missing[0]].word)
        wanted = Formula._bare(_result_door(self), "target", target)

        def miss(x):
            return self.si(**others, **{name: x}) - wanted

        grid = np.unique(np.concatenate([
            np.linspace(low, high, samples),
            np.geomspace(low, high, samples) if low > 0 else [low]]))
        with np.errstate(all="ignore"):
            f = np.asarray(miss(grid), dtype=float) * np.ones_like(grid)
        inside = np.ones(len(grid), bool)
        if self.valid:
            inside = np.asarray(self._mask({**others, name: grid})) & inside
        usable = np.isfinite(f) & inside
        roots = [x for x, fx, ok in zip(grid, f, usable, strict=True) if ok and fx == 0]
        for i in np.nonzero(usable[:-1] & usable[1:] & (f[:-1] * f[1:] < 0))[0]:
            root = brentq(miss, grid[i], grid[i + 1], xtol=1e-15 * max(abs(high), 1e-300), rtol=1e-14)
            # A sign change across a pole is no root.
            if abs(miss(root)) <= 1e-6 * max(abs(wanted), abs(f[i]), abs(f[i + 1])):
                roots.append(root)
        middle = usable[:-2] & usable[1:-1] & usable[2:]
        size = np.abs(f)
        dips = middle & (size[1:-1] <= size[:-2]) & (size[1:-1] <= size[2:]) & (f[:-2] * f[2:] > 0)
        for i in np.nonzero(dips & (f[1:-1] * f[:-2] > 0) & (f[1:-1] * f[2:] > 0))[0]:
            best = minimize_scalar(lambda x: abs(miss(x)), bounds=(grid[i], grid[i + 2]), method="bounded",
                                   options={"xatol": 1e-14 * abs(high)})
            if best.fun <= 1e-9 * max(abs(wanted), 1e-300):
                roots.append(float(best.x))
        merged: list[float] = []
        for root in sorted(roots):
            if not merged or root - merged[-1] > 1e-9 * (high - low):
                merged.append(float(root))
        unit = self.arguments[name]
        return [r if unit.bare_allowed else Quantity(r, unit.pint_unit) for r in merged]

    def sensitivities(self, *args, **kwargs) -> dict[str, float]:
        """Per cent change of the result per per cent change of each argument, by complex step.

        2.0 for the span of a moment under an even load: one per cent more span, two per cent more moment.
        """
        sizes = self._sizes(args, kwargs)
        base = float(self.si(**sizes))
        step = 1e-30
        result = {}
        for name, size in sizes.items():
            if size == 0 or base == 0:
                result[name] = math.nan
                continue
            moved = {**sizes, name: complex(size, size * step)}
            result[name] = complex(self.si(**moved)).imag / step / base
        return result


def _result_door(f: Formula) -> Formula:
    """A stand-in whose one argument is the result, so that a target passes the same door."""
    return Formula(name=f.name, body=f.si, arguments={"target": f.returns}, returns=f.returns,
                   glossary={"target": "wanted result"}, meaning="", symbol=f.symbol, source=f.source)


# --- coherent print units ------------------------------------------------------------------------

_BASE = {"inch": ("lbf", "inch"), "mm": ("N", "mm")}
_NAMED = {"lbf/inch**2": "psi", "N/mm**2": "MPa"}


@lru_cache(maxsize=1024)
def _convert(unit: str, other: str) -> float:
    return float(Quantity(1.0, ureg.Unit(unit)).to(ureg.Unit(other)).magnitude)


def coherent_units(declared: Mapping[str, str], system: str) -> dict[str, str]:
    """See `_coherent_units`, which is remembered per set of units."""
    return dict(zip(declared, _coherent_units(tuple(declared.values()), system), strict=True))


@lru_cache(maxsize=1024)
def _coherent_units(units: tuple[str, ...], system: str) -> tuple[str, ...]:
    return tuple(_coherent({str(i): u for i, u in enumerate(units)}, system).values())


def _coherent(declared: Mapping[str, str], system: str) -> dict[str, str]:
    """One coherent set for a line: pound-force and inch, or newton and millimetre; pound and inch where
    only mass and length meet; SI where mass meets force or time. Empirical units stay as declared."""
    if system not in _BASE:
        raise InputError(field="system", value=system, need='"inch" or "mm"', example='system="inch"')
    dims = {n: ureg.Unit(u).dimensionality for n, u in declared.items()}
    empirical = any(abs(_to_base(u) - 1) > 1e-12 for u in declared.values())
    if empirical:
        return dict(declared)
    powers = {n: tuple(d.get(k, 0) for k in ("[mass]", "[length]", "[time]")) for n, d in dims.items()}
    forces = any(m and t == -2 * m for m, _, t in powers.values())
    masses = any(m and t == 0 for m, _, t in powers.values())
    others = any(t != -2 * m and t for m, _, t in powers.values())
    heat = any(d.get("[temperature]", 0) for d in dims.values())
    if heat or others or (forces and masses):
        return dict(declared)
    force, length = _BASE[system]
    mass, mass_length = {"inch": ("lb", "inch"), "mm": ("kg", "m")}[system]
    result = {}
    for n, (m, ell, _) in powers.items():
        parts = [(mass, m), (mass_length, ell)] if masses else [(force, m), (length, ell - m)]
        result[n] = _unit_name(parts) or declared[n]
    return result


def _to_base(unit: str) -> float:
    return float(Quantity(1.0, ureg.Unit(unit)).to_base_units().magnitude) / _base_kg(unit)


def _base_kg(unit: str) -> float:
    # The unit file counts mass in grams; SI counts it in kilograms.
    return 1000.0 ** float(ureg.Unit(unit).dimensionality.get("[mass]", 0))


def _unit_name(parts: list[tuple[str, float]]) -> str:
    top = [f"{u}**{p:g}" if p != 1 else u for u, p in parts if p > 0]
    bottom = [f"{u}**{-p:g}" if p != -1 else u for u, p in parts if p < 0]
    name = "*".join(top) or ("1" if bottom else "")
    for b in bottom:
        name += f"/{b}"
    return _NAMED.get(name, name)


# --- the decorator -------------------------------------------------------------------------------

_GLOSS_RE = re.compile(r"^\s*([A-Za-z_]\w*)\s{2,}(\S.*)$")


def glossary_of(doc: str) -> tuple[str, dict[str, str]]:
    """First sentence and `name  meaning` rows of a docstring."""
    lines = inspect.cleandoc(doc).splitlines()
    rows = {}
    for line in lines[1:]:
        match = _GLOSS_RE.match(line)
        if match:
            rows[match[1]] = match[2].strip()
    return lines[0].strip(), rows


def formula(*, symbol: str, source: str, valid: Iterable[Within] = ()):
    """Make a plain function a Formula. Refused at definition: an argument without a declared unit or a
    glossary row, a row without an argument, look-alike arguments that are not keyword-only."""

    def make(function: Callable) -> Formula:
        name = function.__name__
        hints = get_type_hints(function, include_extras=True)
        declared = {}
        for key, hint in hints.items():
            units = [m for m in getattr(hint, "__metadata__", ()) if isinstance(m, Declared)]
            if not units:
                raise TypeError(f"{name}: {key} declares no unit")
            declared[key] = units[0]
        parameters = inspect.signature(function).parameters
        lacking = [p for p in parameters if p not in declared] + ([] if "return" in declared else ["return"])
        if lacking:
            raise TypeError(f"{name}: {', '.join(lacking)} declares no unit")
        meaning, rows = glossary_of(function.__doc__ or "")
        if list(rows) != list(parameters):
            raise TypeError(f"{name}: glossary {list(rows)} is not the signature {list(parameters)}")
        if not source:
            raise TypeError(f"{name}: no source")
        positional = tuple(p.name for p in parameters.values() if p.kind is not p.KEYWORD_ONLY)
        dims = [str(declared[p].pint_unit.dimensionality) for p in positional]
        if len(set(dims)) != len(dims):
            raise TypeError(f"{name}: arguments of one dimension must be keyword-only")
        made = Formula(name=name, body=function, arguments={p: declared[p] for p in parameters},
                       returns=declared["return"], glossary=rows, meaning=meaning, symbol=symbol,
                       source=source, valid=valid, positional=positional)
        made.__doc__ = function.__doc__
        made.__module__ = function.__module__
        made.__wrapped__ = function
        _REGISTRY[f"{function.__module__}:{name}"] = made
        return made

    return make


_REGISTRY: dict[str, Formula] = {}


def formulas() -> dict[str, Formula]:
    """Every formula defined by the modules imported so far, by `module:name`."""
    return dict(_REGISTRY)
