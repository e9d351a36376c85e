"""Laws that every formula and every clause of the codes room obeys, and the table of what was read."""

import math
import pkgutil
from importlib import import_module

import numpy as np
import pytest

import shopcalc.codes.aisc360_22 as code
from shopcalc.codes.aisc360_22.clauses import CLAUSES
from shopcalc.codes.clause import Clause
from shopcalc.formula import formulas
from shopcalc.sources import PROVENANCE, source_of
from shopcalc.units import Q

MODULES = [import_module(f"{code.__name__}.{m.name}") for m in pkgutil.iter_modules(code.__path__)]
FORMULAS = {k: f for k, f in formulas().items() if k.startswith(code.__name__)}
CLAUSE_OBJECTS = {c.name: c for m in MODULES for c in vars(m).values() if isinstance(c, Clause)}

# A size that makes sense for an argument, by name and else by unit (declared units).
BY_NAME = {
    "F_y": 317e6, "E": 200e9, "G": 77e9, "F_u": 400e6, "F_cr": 150e6, "F_e": 250e6, "F_n": 200e6,
    "F_el": 180e6,
    "lambda_w": 40.0, "lambda_p": 27.0, "lambda_r": 60.0, "k_v": 5.0, "C_b": 1.1, "C_v": 0.9, "H_f": 0.7,
    "beta": 0.4, "eta": 0.6, "U": 0.5, "Q_f": 0.9, "c": 0.9, "c_1": 0.2, "M_cr": 9e3,
    "L_p": 1.0, "L_b": 2.0, "L_r": 20.0, "b": 0.05, "b_e": 0.03, "t": 0.003, "l_b": 0.05, "B_b": 0.03,
    "B_ep": 0.02, "B_e": 0.02, "D_b": 0.03, "gamma": 14.0, "theta": 1.2, "n_s": 1.0, "t_b": 0.003, "t_p": 0.005, "H_b": 0.04, "x_bar": 0.01, "l": 0.08, "x_o": 0.02, "beta_w": 0.01, "A_n": 4e-4, "A_e": 4e-4,
    "r_o2": 3e-3, "C_w": 2e-10}
BY_UNIT = {"m": 0.06, "m**2": 5e-4, "m**3": 2e-5, "m**4": 6e-7, "N": 2e4, "N*m": 4e3, "Pa": 3e8, "": 0.7}


def sizes_of(f):
    return {n: BY_NAME.get(n, BY_UNIT.get(d.unit, 1.0)) for n, d in f.arguments.items()}


@pytest.mark.parametrize("key", sorted(FORMULAS))
def test_formula_laws(key):
    f = FORMULAS[key]
    sizes = sizes_of(f)
    value = float(f.si(**sizes))
    assert math.isfinite(value) and value != 0
    given = {n: Q(v, f.arguments[n].unit) if f.arguments[n].unit else v for n, v in sizes.items()}
    inches = {n: v.to(_inch(f.arguments[n].unit)) if hasattr(v, "units") else v for n, v in given.items()}
    door = f(**given)
    size = float(getattr(door, "magnitude", door))
    assert size == pytest.approx(value, rel=1e-12)
    again = f(**inches)
    assert float(getattr(again, "magnitude", again)) == pytest.approx(value, rel=1e-12)
    for system in ("inch", "mm"):
        assert f.worked(system=system, **given).symbol == f.symbol
    symbolic = f.sympy.subs({s: sizes[s.name] for s in f.sympy.free_symbols})
    assert float(symbolic) == pytest.approx(value, rel=1e-9)
    for name, slope in f.sensitivities(**given).items():
        h = 1e-6
        up, down = (float(f.si(**{**sizes, name: sizes[name] * (1 + s * h)})) for s in (1, -1))
        assert slope == pytest.approx((up - down) / (2 * h) / value, rel=1e-4, abs=1e-6), name


def _inch(unit: str) -> str:
    for metric, inch in (("N*m", "lbf*inch"), ("Pa", "psi"), ("m**", "inch**")):
        if unit.startswith(metric):
            return unit.replace(metric, inch)
    return {"m": "inch", "N": "lbf"}.get(unit, unit)


@pytest.mark.parametrize("key", sorted(FORMULAS))
def test_formula_source_is_known(key):
    assert source_of(FORMULAS[key].source)


@pytest.mark.parametrize("name", sorted(CLAUSE_OBJECTS))
def test_clause_is_in_the_table_of_what_was_read(name):
    c = CLAUSE_OBJECTS[name]
    assert c.clause.startswith("AISC 360-22 ")
    number = c.clause.removeprefix("AISC 360-22 ").split(" ")[0]
    row = next(CLAUSES[k] for k in sorted(CLAUSES, key=len, reverse=True) if number.startswith(k))
    assert row.provenance in PROVENANCE and row.provenance == source_of(c.source).provenance
    assert c.__module__.rsplit(".", 1)[1] in row.module.split(", ")
    assert c.omega * c.phi == pytest.approx(1.5, rel=0.01)  # B3: Omega = 1.5/phi throughout the code


def test_every_row_of_the_table_names_a_module_that_exists():
    names = {m.__name__.rsplit(".", 1)[1] for m in MODULES}
    assert {m for row in CLAUSES.values() for m in row.module.split(", ")} <= names


def test_no_clause_applies_a_factor_itself():
    """Omega and phi are carried beside the nominal strength; no kernel names them."""
    for c in CLAUSE_OBJECTS.values():
        assert not ({"omega", "phi"} & set(c.arguments))
        names = [n.lower() for n in c.kernel.__code__.co_names]
        assert not [n for n in names if n.startswith(("omega", "phi", "allowable"))]


def test_missing_and_stray_arguments_are_named():
    from shopcalc.errors import InputError

    for c in CLAUSE_OBJECTS.values():
        with pytest.raises(InputError, match=next(n for n in c.arguments if n not in c.defaults)):
            c.si()
        with pytest.raises(InputError, match="nonsense"):
            c.si(**{n: np.ones(2) for n in c.arguments}, nonsense=1.0)
