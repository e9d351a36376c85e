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

from shopcalc.errors import InputError, OutsideRange, WorkedLineError, readable
from shopcalc.expression import (  # noqa: F401  (bodies take their functions from here)
    DEGREES,
    Node,
    acos,
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
    record,
    sin,
    sqrt,
    symbols,
    tan,
    text,
    to_sympy,
)
from shopcalc.units import Declared, Quantity, check_system, kind_hint, number, same_kind, unit_text, ureg

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

    def __post_init__(self):
        # Read once: the names that the limit looks at. object.__setattr__ because the dataclass is frozen.
        object.__setattr__(self, "names", tuple(inspect.signature(self.of).parameters))

    def value(self, sizes: Mapping[str, object]):
        """What is bounded; not a number where it cannot be worked out (then no limit holds)."""
        try:
            return self.of(**{n: sizes[n] for n in self.names})
        except ArithmeticError:
            return math.nan

    def mask(self, sizes: Mapping[str, object]):
        value = self.value(sizes)
        # A hair of rounding at the door must not turn an exact limit into "outside"; none around zero.
        low, high = (limit if math.isinf(limit) else limit + side * 1e-12 * abs(limit)
                     for limit, side in ((self.low, -1), (self.high, 1)))
        return (value >= low) & (value <= high)


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
        if any(isinstance(size, np.ndarray) for size in sizes.values()):
            result = self._rows(sizes)
        else:
            result = self._one(sizes)
        return result if self.returns.bare_allowed else Quantity(result, self.returns.pint_unit)

    def _one(self, sizes: Mapping[str, float]) -> float:
        """The body's number, in declared units; OutsideRange where there is none."""
        if self.valid and not self._mask(sizes):
            raise self._outside(sizes)
        result = _number_of(self.si, sizes)
        if result is None:
            raise OutsideRange(field=self.name, value=self._came(sizes),
                               need="sizes for which the formula has a finite answer")
        return result

    def _rows(self, sizes: Mapping[str, object]) -> np.ndarray:
        """The body over arrays; nan in every row that is out of range or without a finite answer."""
        shape = np.broadcast_shapes(*(np.shape(size) for size in sizes.values()))
        try:
            with np.errstate(all="ignore"):
                inside = self._mask(sizes)
                result = np.asarray(self.si(**sizes))
        except (ArithmeticError, ValueError):  # what all rows share already rules an answer out
            return np.full(shape, np.nan)
        usable = np.isfinite(result) & inside & np.isreal(result)
        if not usable.all():
            result = np.where(usable, result, np.nan)
        return result if result.shape == shape else np.broadcast_to(result, shape).copy()

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
        sizes = {name: self._bare(name, given[name]) for name in self.arguments}
        shapes = {size.shape for size in sizes.values() if isinstance(size, np.ndarray)}
        if len(shapes) > 1:
            try:
                np.broadcast_shapes(*shapes)
            except ValueError:
                came = "arrays of shapes " + ", ".join(map(str, sorted(shapes)))
                raise InputError(field=self.name, value=came, need="arrays of one length") from None
        return sizes

    def _single(self, args, kwargs, what: str) -> dict[str, float]:
        sizes = self._sizes(args, kwargs)
        several = [name for name, size in sizes.items() if np.ndim(size)]
        if several:
            raise InputError(field=f"{self.name}: {several[0]}", value="several values",
                             need=f"one value for {what}",
                             example=f"{several[0]}={self.arguments[several[0]].example}")
        return sizes

    def _bare(self, name: str, value):
        declared = self.arguments[name]
        if isinstance(value, pint.Quantity):
            unit = value.units
            if not isinstance(unit, ureg.Unit):  # before anything is looked up: pint cannot even compare them
                raise self._refuse(name, value, f"{declared.word}, made by shopcalc.units")
            factor = self._factors.get((name, unit))
            if factor is None:
                factor = self._factors[name, unit] = self._factor(name, value)
            size = value.magnitude
        elif declared.bare_allowed and not isinstance(value, str | bytes | bool | np.bool_):
            size, factor = value, 1.0
        else:
            raise self._refuse(name, value)
        try:
            if isinstance(size, np.ndarray) and size.ndim:
                size = size * factor if factor != 1.0 else size
                size = size.astype(float, casting="same_kind", copy=False)
                finite, whole = np.isfinite(size).all(), not declared.whole or (size == np.round(size)).all()
            else:
                size = float(size) * factor
                finite = math.isfinite(size)
                whole = not declared.whole or size == round(size)
        except (TypeError, ValueError, OverflowError):
            raise self._refuse(name, value) from None
        if not finite:
            raise self._refuse(name, value, "finite numbers" if np.ndim(size) else "a finite number")
        if not whole:
            raise self._refuse(name, value)
        return size

    def _factor(self, name: str, value: pint.Quantity) -> float:
        target = self.arguments[name].pint_unit
        if not same_kind(value.units, target):
            hint = kind_hint(value.units, target)
            raise self._refuse(name, value, f"{self.arguments[name].word} ({hint})" if hint else "")
        try:
            zero, one = (float(Quantity(size, value.units).to(target).magnitude) for size in (0.0, 1.0))
        except pint.DimensionalityError:  # 1/degF: a scale with its own zero cannot be divided by
            raise self._refuse(name, value) from None
        if zero:  # a temperature on such a scale is no difference of temperature
            raise self._refuse(name, value)
        return one

    def _refuse(self, name: str, value, need: str = "") -> InputError:
        declared = self.arguments[name]
        said = declared.bare_allowed or value is None or isinstance(value, pint.Quantity | str)
        came = value if said else f"{readable(value)} (no unit)"
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
        return self.in_range_si(**self._sizes(args, kwargs))

    def in_range_si(self, **sizes):
        with np.errstate(all="ignore"):
            return self._mask(sizes)

    def _outside(self, sizes) -> OutsideRange:
        broken = next(limit for limit in self.valid if not limit.mask(sizes))
        where = f" ({broken.source})" if broken.source else ""
        return OutsideRange(field=f"{self.name}: {broken.label}", value=float(f"{broken.value(sizes):.4g}"),
                            need=f"{broken}{where}")

    def _came(self, sizes) -> str:
        return ", ".join(f"{n} = {v:.4g} {unit_text(self.arguments[n].unit)}".strip()
                         for n, v in sizes.items())

    # --- the recorded body

    @property
    def tree(self) -> Node:
        if self._tree is None:
            self._tree = record(self.si, self.arguments)
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
        sizes = self._single(args, kwargs, "a worked line")
        exact = self._one(sizes)
        units = self._print_units(system)
        outputs = [units[""]] + ([out] if out and out != units[""] else [])
        if not same_kind(ureg.Unit(outputs[-1]), self.returns.pint_unit):
            raise InputError(field=f"{self.name}: out", value=out, need=f"a unit of {self.returns.word}",
                             example=f'out="{units[""]}"')
        wanted = [number(exact * _convert(self.returns.unit, unit), digits) for unit in outputs]
        printed = {n: size * _convert(self.arguments[n].unit, units[n]) for n, size in sizes.items()}
        # an angle is read in degrees; slopes that add up to a slope stay what they are
        turned = {n for n in printed if units[n] == "rad"} if units[""] != "rad" else set()
        for depth in range(min(digits, 4), MOST_DIGITS + 1):
            shown = {n: number(math.degrees(v) if n in turned else v, depth) for n, v in printed.items()}
            read_again = {n: float(v.replace(",", "")) * (math.pi / 180 if n in turned else 1) for n, v in shown.items()}
            again = _number_of(lambda **read: evaluate(self.tree, read), read_again)
            if again is not None and wanted == [number(again * _convert(units[""], unit), digits)
                                                for unit in outputs]:
                break
        else:
            raise WorkedLineError(f"{self.name}: the printed numbers do not give {wanted[0]} {outputs[0]}")
        result = " = ".join(f"{size} {unit_text(unit)}".strip()
                            for size, unit in zip(wanted, outputs, strict=True))
        shown |= {n: f"{shown[n]}°" for n in turned}
        return Worked(
            symbol=self.symbol, expression=text(self.tree), numbers=text(self.tree, shown.__getitem__),
            result=result,
            inputs=tuple((n, shown[n] if n in turned else f"{shown[n]} {unit_text(units[n])}".strip(), self.glossary[n])
                         for n in self.arguments if n in symbols(self.tree)),
            latex_symbolic=f"{latex_name(self.symbol)} = {latex(self.tree)}",
            latex_numbers=latex(self.tree, lambda n: shown[n].replace(",", "{,}").replace("°", DEGREES)),
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

        others = self._others(name, known)
        bounds = [self._bare(name, b) for b in between] if isinstance(between, tuple | list) else []
        if len(bounds) != 2 or np.ndim(bounds[0]) or np.ndim(bounds[1]) or not bounds[0] < bounds[1]:
            raise InputError(field=f"{self.name}: between", value=between, need="a lower and a higher size")
        low, high = bounds
        wanted = _result_door(self)._bare("target", target)

        def miss(x):
            with np.errstate(all="ignore"):
                return np.asarray(self.si(**others, **{name: np.asarray(x)[()]}), dtype=float) - wanted

        def usable(x):
            with np.errstate(all="ignore"):
                return np.isfinite(miss(x)) & np.asarray(self._mask({**others, name: np.asarray(x)[()]}))

        grid = np.linspace(low, high, samples)
        if low > 0:
            grid = np.union1d(grid, np.geomspace(low, high, samples)[1:-1])
        grid = np.union1d(grid, _edges(usable, grid))
        inside = usable(grid)
        f = np.where(inside, miss(grid), np.nan)
        sign, near = np.sign(f), 1e-12 * abs(wanted)

        def refined(left: float, right: float) -> list[float]:
            root = brentq(miss, left, right, xtol=1e-15 * max(abs(left), abs(right)), rtol=1e-14)
            ends = max(abs(wanted), abs(float(miss(left))), abs(float(miss(right))))
            # A sign change across a pole is no root.
            return [root] if abs(miss(root)) <= 1e-6 * ends else []

        roots = list(grid[f == 0])
        pairs = inside[:-1] & inside[1:]
        for i in np.nonzero(sign[:-1] * sign[1:] < 0)[0]:
            roots += refined(grid[i], grid[i + 1])
        # Where the range ends a root may miss its sign change by the last bit.
        first = np.r_[True, ~inside[:-1]][:-1] & pairs
        last = np.r_[~inside[1:], True][1:] & pairs
        step = 1e-9 * np.abs(np.diff(f))
        roots += list(grid[:-1][first & (np.abs(f[:-1]) <= np.maximum(near, step))])
        roots += list(grid[1:][last & (np.abs(f[1:]) <= np.maximum(near, step))])
        # A maximum or minimum at the target: no sign change, or two within a step.
        size = np.abs(f)
        dips = ((sign[:-2] * sign[1:-1] > 0) & (sign[1:-1] * sign[2:] > 0)
                & (size[1:-1] < size[:-2]) & (size[1:-1] <= size[2:]))
        for i in np.nonzero(dips)[0]:
            left, right, side = grid[i], grid[i + 2], math.copysign(1, f[i])
            best = minimize_scalar(lambda x, side=side: side * float(miss(x)), bounds=(left, right),
                                   method="bounded", options={"xatol": 1e-12 * (right - left)})
            if best.fun < 0:
                roots += refined(left, best.x) + refined(best.x, right)
            elif best.fun <= max(1e-9 * abs(wanted), 1e-9 * size[i]):
                roots.append(best.x)
        merged: list[float] = []
        for root in sorted(float(r) for r in roots):
            if not merged or root - merged[-1] > max(1e-9 * abs(root), 1e-13 * (high - low)):
                merged.append(root)
        unit = self.arguments[name]
        return [r if unit.bare_allowed else Quantity(r, unit.pint_unit) for r in merged]

    def _others(self, name: str, known: Mapping[str, object]) -> dict[str, float]:
        for stray in [name, *known]:
            if stray not in self.arguments or stray == name and name in known:
                raise InputError(field=f"{self.name}: {stray}", value=known.get(stray),
                                 need="every argument but the wanted one, of " + ", ".join(self.arguments))
        if name not in symbols(self.tree):
            raise InputError(field=f"{self.name}: {name}", value="no part in the result",
                             need="an argument on which the result depends")
        missing = [n for n in self.arguments if n != name and n not in known]
        if missing:
            declared = self.arguments[missing[0]]
            raise InputError(field=f"{self.name}: {missing[0]}", value=None, need=declared.word,
                             example=f"{missing[0]}={declared.example}")
        others = {n: self._bare(n, v) for n, v in known.items()}
        several = [n for n, v in others.items() if np.ndim(v)]
        if several:
            raise InputError(field=f"{self.name}: {several[0]}", value="several values", need="one value")
        # numpy's own numbers: they give inf or nan where Python's raise
        return {n: np.float64(v) for n, v in others.items()}

    def sensitivities(self, *args, **kwargs) -> dict[str, float]:
        """Per cent change of the result per per cent change of each argument, by complex step.

        2.0 for the span of a moment under an even load: one per cent more span, two per cent more moment.
        """
        sizes = self._single(args, kwargs, "its sensitivities")
        base = self._one(sizes)
        step = 1e-30
        result = {}
        for name, size in sizes.items():
            if size == 0 or base == 0:
                result[name] = math.nan
                continue
            moved = {**sizes, name: complex(size, size * step)}
            result[name] = complex(self.si(**moved)).imag / step / base
        return result


def _number_of(body: Callable, sizes: Mapping[str, float]) -> float | None:
    """The body's finite real number, or None where arithmetic has none."""
    try:
        result = body(**sizes)
    except (ArithmeticError, ValueError):  # division by nothing, overflow, root of a negative number
        return None
    if isinstance(result, complex) or not math.isfinite(result):
        return None
    return float(result)


def _edges(usable: Callable, grid: np.ndarray) -> np.ndarray:
    """Where the usable part of the grid begins and ends, to the last bit, on its usable side."""
    on = usable(grid)
    change = np.nonzero(on[:-1] != on[1:])[0]
    good = np.where(on[change], grid[change], grid[change + 1])
    bad = np.where(on[change], grid[change + 1], grid[change])
    for _ in range(60):
        middle = (good + bad) / 2
        fits = usable(middle) if len(middle) else np.zeros(0, bool)
        good, bad = np.where(fits, middle, good), np.where(fits, bad, middle)
    return good


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
    check_system(system)
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
    lines = inspect.cleandoc(doc).splitlines() or [""]
    rows = {}
    for line in lines[1:]:
        match = _GLOSS_RE.match(line)
        if match:
            rows[match[1]] = match[2].strip()
    return lines[0].strip(), rows


def formula(*, symbol: str, source: str, valid: Iterable[Within] = ()):
    """Make a plain function a Formula. Refused at definition: an argument without a declared unit or a
    glossary row, a row without an argument, look-alike arguments that are not keyword-only."""

    valid = tuple(valid)

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
        stray = sorted({n for limit in valid for n in limit.names} - set(parameters))
        if stray:
            raise TypeError(f"{name}: its range looks at {', '.join(stray)}, no argument")
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
