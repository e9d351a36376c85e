"""Laws that every formula of the kit obeys, whichever room it stands in and whether written or derived.

Each formula gets one set of sizes, drawn from ranges that are usual for its units until its range of validity
holds; the draw is the same on every run.
"""

import importlib
import inspect
import math
import pkgutil
import random
import re
from collections.abc import Mapping
from fractions import Fraction
from functools import cache

import numpy as np
import pytest
import sympy

import shopcalc
from shopcalc.errors import InputError
from shopcalc.expression import Const, Func, Node, Op, Pi, Symbol, constants, symbols
from shopcalc.formula import Formula, formulas
from shopcalc.mechanics import beams
from shopcalc.sources import source_of
from shopcalc.units import Quantity, read_any, ureg

for module in pkgutil.walk_packages(shopcalc.__path__, "shopcalc."):
    # test_arrows.py sees to it that no formula hides in these
    if not module.name.startswith("shopcalc.show") and not module.name.endswith("__main__"):
        importlib.import_module(module.name)

WRITTEN = {k: f for k, f in formulas().items() if k.startswith("shopcalc.")}
DERIVED = {f"shopcalc.mechanics.beams:handbook:{name}": beams.handbook(name) for name in beams.HANDBOOK}
FORMULAS = {**WRITTEN, **DERIVED}
every = pytest.mark.parametrize("key", sorted(FORMULAS))

# Usual sizes in SI, from a wall to a table and from a hand's push to a loaded frame.
USUAL = {"m": (2e-3, 3.0), "m**2": (1e-5, 1e-2), "m**3": (1e-7, 1e-4), "m**4": (1e-9, 1e-5),
         "m**6": (1e-13, 1e-9),
         "N": (50, 5e4), "N*m": (20, 2e4), "N/m": (50, 5e4), "N/m**2": (50, 5e4), "Pa": (1e7, 3e11),
         "kg": (1, 500), "m**2/kg": (2, 40),
         "kg/m": (0.5, 20), "kg/m**2": (2, 100), "kg/m**3": (300, 8000), "N/m**3": (3e3, 8e4),
         "rad": (0.05, 1.5),
         "": (0.05, 40.0), "Hz": (1, 50), "s": (0.1, 10), "m/s**2": (0.1, 10), "N*m**2": (1e2, 1e6),
         "1/kelvin": (2e-6, 3e-5), "N*m/rad": (1e3, 1e7), "m/s": (1e-3, 0.05), "N*m/s": (300, 6000), "percent": (4, 30), "inch": (0.1, 3), "mm": (3, 80)}


@cache
def sample(key: str) -> Mapping[str, float]:
    """Sizes in declared units where the formula holds and is no difference of nearly equal numbers."""
    f = FORMULAS[key]
    draw = random.Random(key)
    for _ in range(4000):
        sizes = {}
        for name, declared in f.arguments.items():
            low, high = USUAL[declared.unit]
            size = math.exp(draw.uniform(math.log(low), math.log(high)))
            sizes[name] = float(max(1, round(size))) if declared.whole else float(f"{size:.4g}")
        if not np.all(f.in_range_si(**sizes)):
            continue
        try:
            slopes = f.sensitivities(**given(f, sizes))
        except InputError:
            continue
        if all(math.isfinite(s) and abs(s) < 30 for s in slopes.values()):
            return sizes
    limits = ", ".join(str(limit) for limit in f.valid)
    raise AssertionError(f"{key}: no usual sizes lie within its range of validity: {limits}")


def given(f: Formula, sizes: Mapping[str, float]) -> dict[str, object]:
    return {n: v if f.arguments[n].bare_allowed else Quantity(v, f.arguments[n].pint_unit) for n,
            v in sizes.items()}


# Three sets of units for any dimension, down to the odd ones: what counts is that they differ.
BASES = {"inch": {"[mass]": "lb", "[length]": "inch", "[time]": "s", "[temperature]": "delta_degF"},
         "feet": {"[mass]": "oz", "[length]": "foot", "[time]": "min", "[temperature]": "delta_degF"},
         "metric": {"[mass]": "g", "[length]": "cm", "[time]": "hour", "[temperature]": "kelvin"}}
NAMED = {"inch": {"Pa": "psi", "N": "lbf", "N/m": "pli", "N*m": "lbf*inch"},
         "feet": {"Pa": "ksi", "N": "kip", "N/m": "plf", "N*m": "kip*ft", "": "percent", "rad": "deg"},
         "metric": {"Pa": "MPa", "N": "kN", "N/m": "N/mm", "N*m": "kN*m"}}


def converted(f: Formula, sizes: Mapping[str, float], system: str) -> dict[str, object]:
    asked = {}
    for name, value in given(f, sizes).items():
        declared = f.arguments[name]
        if declared.bare_allowed and (declared.whole or declared.unit not in NAMED[system]):
            asked[name] = value
            continue
        value = Quantity(value, declared.pint_unit)
        unit = ureg.Unit(NAMED[system].get(declared.unit, ""))
        if declared.unit not in NAMED[system]:
            for base, power in value.dimensionality.items():
                unit = unit * ureg.Unit(BASES[system][base]) ** power
            if "rad" in declared.unit:
                unit = unit * ureg.Unit("deg") ** (-1 if "/rad" in declared.unit else 1)
        asked[name] = value.to(unit)
    return asked


def size_of(f: Formula, answer) -> float:
    """The answer in the declared unit; it must carry a unit exactly where it has one."""
    if f.returns.bare_allowed:
        assert type(answer) is float
        return answer
    assert isinstance(answer, Quantity)
    return float(answer.to(f.returns.pint_unit).magnitude)


def test_there_are_formulas_and_all_can_be_asked():
    assert len(WRITTEN) > 150 and len(DERIVED) > 20
    unusual = sorted({d.unit for f in FORMULAS.values() for d in f.arguments.values()} - set(USUAL))
    assert not unusual, f"no usual sizes for arguments in {unusual}: add a row to USUAL"


@every
def test_every_set_of_units_gives_one_number(key):
    f, sizes = FORMULAS[key], sample(key)
    bare = float(f.si(**sizes))
    assert math.isfinite(bare) and bare != 0
    assert size_of(f, f(**given(f, sizes))) == pytest.approx(bare, rel=1e-14)
    for system in BASES:
        assert size_of(f, f(**converted(f, sizes, system))) == pytest.approx(bare, rel=1e-11), system


@every
def test_an_array_call_is_the_single_calls(key):
    f, sizes = FORMULAS[key], sample(key)
    rows = f(**{n: np.array([v, v]) if f.arguments[n].bare_allowed else Quantity(np.array([v, v]),
                                                                                 f.arguments[n].pint_unit)
                for n, v in sizes.items()})
    rows = rows if f.returns.bare_allowed else rows.to(f.returns.pint_unit).magnitude
    assert rows == pytest.approx(np.full(2, float(f.si(**sizes))), rel=1e-14)


@every
def test_no_bare_number_passes_for_a_size(key):
    f, sizes = FORMULAS[key], sample(key)
    asked = given(f, sizes)
    for name, declared in f.arguments.items():
        bad = [Quantity(sizes[name], ureg.Unit("V"))] + ([] if declared.bare_allowed else [sizes[name]])
        for value in bad:
            with pytest.raises(InputError) as caught:
                f(**{**asked, name: value})
            assert caught.value.field == f"{f.name}: {name}" and caught.value.example


def number_in(words: str) -> float:
    python = words.replace(",", "").replace("·", "*").replace("^", "**").replace("√", "sqrt").replace("π",
                                                                                                      "pi")
    python = re.sub(r"(-?[\d.]+(?:e[+-]?\d+)?)°", r"(\1*pi/180)", python)
    known = {"sqrt": math.sqrt, "ln": math.log, "exp": math.exp, "sin": math.sin, "cos": math.cos,
             "tan": math.tan,
             "arccos": math.acos, "arctan": math.atan, "pi": math.pi}
    return float(eval(python, known))


def quantity_in(words: str):
    return read_any(words.replace(",", ""), "a printed size")


@every
@pytest.mark.parametrize("system", ["inch", "mm"])
def test_the_printed_numbers_give_the_printed_result(key, system):
    f, sizes = FORMULAS[key], sample(key)
    line = f.worked(**given(f, sizes), system=system)
    printed = quantity_in(line.result)
    size = float(getattr(printed, "magnitude", printed))
    half_a_digit = 0.5 * 10 ** (math.floor(math.log10(abs(size))) - 3)
    assert abs(number_in(line.numbers) - size) <= half_a_digit * (1 + 1e-6), str(line)
    # ... and the printed result is the answer, in the unit that stands behind it
    answer = f(**given(f, sizes))
    true = answer if f.returns.bare_allowed else float(answer.to(printed.units).magnitude)
    assert abs(true - size) <= half_a_digit * (1 + 1e-6)
    assert {name for name, _, _ in line.inputs} == set(symbols(f.tree))
    for name, words, meaning in line.inputs:
        read = quantity_in(words)
        back = float(read.to(f.arguments[name].pint_unit).magnitude) if hasattr(read, "to") else read
        assert back == pytest.approx(sizes[name], rel=6e-4) and meaning == f.glossary[name]
    for words in (line.latex_symbolic, line.latex_numbers):
        assert words.count("{") == words.count("}") and words.count(r"\left") == words.count(r"\right")
    assert not re.search(r"nan|inf\b|None|\de-?\d", line.latex_numbers)


@every
def test_sensitivities_are_central_differences(key):
    f, sizes = FORMULAS[key], sample(key)
    base = float(f.si(**sizes))
    for name, slope in f.sensitivities(**given(f, sizes)).items():
        def rise(h, name=name):
            up, down = (float(f.si(**{**sizes, name: sizes[name] * (1 + side * h)})) for side in (1, -1))
            return (up - down) / (2 * h) / base

        # two widths, the leading error removed
        assert slope == pytest.approx((4 * rise(5e-4) - rise(1e-3)) / 3, rel=1e-6, abs=1e-8), name


@every
def test_the_sympy_expression_is_the_body(key):
    f, sizes = FORMULAS[key], sample(key)
    expression = f.sympy
    assert not expression.atoms(sympy.Float)
    assert all(s.is_positive for s in expression.free_symbols)
    value = expression.evalf(30, subs={s: sympy.Float(sizes[s.name], 30) for s in expression.free_symbols})
    assert float(value) == pytest.approx(float(f.si(**sizes)), rel=1e-11)


@every
def test_constants_are_as_the_source_prints_them(key):
    """A fraction that Python has worked out (5/384 as 0.01302...) is no constant of any source."""
    for value in constants(FORMULAS[key].tree):
        short = repr(float(value))
        decimal = Fraction(short) == value and len(short.split("e")[0].replace(".", "").strip("0-")) <= 8
        assert value.denominator == 1 or value.denominator <= 1000 or decimal, value


# --- dimensions ----------------------------------------------------------------------------------

Dimension = dict[str, Fraction]  # no entry: no part


def declared_dimension(unit) -> Dimension:
    """Of a declared unit; an angle counts as none inside a body."""
    return {k: Fraction(v).limit_denominator(64) for k, v in ureg.Unit(unit).dimensionality.items() if v}


def is_coherent(unit: str) -> bool:
    base = Quantity(1.0, ureg.Unit(unit)).to_base_units()
    grams = 1000.0 ** float(base.dimensionality.get("[mass]", 0))
    return math.isclose(float(base.magnitude), grams, rel_tol=1e-12)


def dimension(node: Node, of: Mapping[str, Dimension]) -> Dimension | None:
    """Dimension of a tree by the rules of school; None for nought, which has any."""
    if isinstance(node, Symbol):
        return of[node.name]
    if isinstance(node, Const):
        return {} if node.exact else None
    if isinstance(node, Pi):
        return {}
    if isinstance(node, Func):
        inner = dimension(node.inner, of) or {}
        if node.name == "sqrt":
            return {k: v / 2 for k, v in inner.items()}
        assert not inner, f"{node.name} of something with a dimension"
        return {}
    assert isinstance(node, Op)
    left, right = dimension(node.left, of), dimension(node.right, of)
    if node.op in "+-":
        assert left is None or right is None or left == right, f"{left} {node.op} {right}"
        return right if left is None else left
    left, right = left or {}, right or {}
    if node.op == "**":
        assert not right, "an exponent with a dimension"
        if not left:
            return {}
        assert isinstance(node.right, Const), "a power that is no plain number, of something with a dimension"
        return {k: v * node.right.exact for k, v in left.items()}
    side = 1 if node.op == "*" else -1
    total = {k: left.get(k, Fraction(0)) + side * right.get(k, Fraction(0)) for k in {*left, *right}}
    return {k: v for k, v in total.items() if v}


def test_the_rules_of_dimension_find_a_fault():
    w, L = Symbol("w"), Symbol("L")
    of = {"w": declared_dimension("N/m"), "L": declared_dimension("m")}
    assert dimension(w * L**2 / 8, of) == declared_dimension("N*m")
    assert dimension(-(w * L), of) == declared_dimension("N")
    for wrong in (w + L, 1 + L, L**w, 2**L):
        with pytest.raises(AssertionError):
            dimension(wrong, of)


@every
def test_the_declared_dimension_is_the_computed_one(key):
    f = FORMULAS[key]
    if not all(is_coherent(d.unit) for d in [*f.arguments.values(), f.returns]):
        assert all(d.unit for d in f.arguments.values()) or f.returns.unit  # empirical: units, no dimensions
        return
    of = {n: declared_dimension(d.unit) for n, d in f.arguments.items()}
    assert (dimension(f.tree, of) or {}) == declared_dimension(f.returns.unit)


# --- words ---------------------------------------------------------------------------------------

@every
def test_glossary_is_signature_and_nothing_is_left_blank(key):
    f = FORMULAS[key]
    assert list(f.glossary) == list(f.arguments)
    assert all(len(words.split()) > 0 and words[-1] not in ";," for words in f.glossary.values())
    assert f.meaning and f.symbol and f.source
    if key in WRITTEN:
        assert list(inspect.signature(f.__wrapped__).parameters) == list(f.arguments)
    idle = set(f.arguments) - set(symbols(f.tree))
    assert not idle, f"{idle} play no part in {f!r}"


def test_every_source_has_its_entry():
    missing = {}
    for key, f in FORMULAS.items():
        try:
            source_of(f.source)
        except KeyError:
            missing.setdefault(f.source.split(",")[0], []).append(key)
    assert not missing, f"references/sources.toml lacks {sorted(missing)}: {missing}"
