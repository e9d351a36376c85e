"""Laws that every formula of the stock room obeys: one value by every way of asking for it."""

import math
from importlib import import_module

import numpy as np
import pytest

from shopcalc.formula import formulas
from shopcalc.sources import source_of
from shopcalc.units import Q, magnitude

MODULES = ("gauges", "open_sections", "products", "sections", "shapes", "steels", "woods")
for _name in MODULES:
    import_module(f"shopcalc.stock.{_name}")
FORMULAS = {k: f for k, f in formulas().items() if k.startswith("shopcalc.stock.")}

# Sizes of one ordinary piece, SI: a 3 x 1-1/2 tube, a small channel, a box, wood on steel.
BY_NAME = {
    "H": 0.0762, "B": 0.0381, "t": 0.0030, "ro": 0.0060, "ri": 0.0030, "D": 0.0508, "t_0": 0.0027,
    "minus": 0.0003, "plus": 0.0002, "k": 0.15, "b": 0.050, "h": 0.040, "d": 0.100, "b_f": 0.040,
    "t_w": 0.005, "t_f": 0.0075, "s": 0.033, "I_x": 3e-7, "I_y": 1e-7, "I_xy": -8e-8, "I": 2e-7, "A": 5e-4,
    "c": 0.02, "rho": 7850.0, "E": 200e9, "E_0": 12e9, "nu": 0.3, "n": 16.0, "b_1": 0.9, "h_1": 0.044,
    "b_2": 0.8, "h_2": 0.006, "M": 900.0, "rho_w": 1000.0, "G_M": 0.68, "h_m": 0.066, "G_b": 0.61,
    "P_12": 100e6, "P_g": 60e6, "M_p": 0.25, "mu_LT": 0.43, "r": 0.07, "w": 0.002, "psi": 0.3, "k_def": 0.6,
}  # fmt: skip
# The same letter, another thing: moisture in the formulas of wood.
OTHERS = {"M": {"": 0.08}}
INCHES = {
    "m": "inch", "m**2": "inch**2", "m**3": "inch**3", "m**4": "inch**4", "Pa": "psi", "N*m": "lbf*inch",
    "kg/m**3": "lb/foot**3", "kg/m": "lb/foot", "kg/m**2": "lb/foot**2", "": "",
}  # fmt: skip


def sizes_of(f):
    return {n: OTHERS.get(n, {}).get(d.unit, BY_NAME.get(n)) for n, d in f.arguments.items()}


def given(f, sizes, system):
    made = {}
    for name, size in sizes.items():
        unit = f.arguments[name].unit
        quantity = Q(size, unit) if unit else size
        made[name] = quantity.to(INCHES[unit]) if unit and system == "inch" else quantity
    return made


def test_there_are_formulas_to_test():
    assert len(FORMULAS) > 55


@pytest.mark.parametrize("key", sorted(FORMULAS))
def test_formula_laws(key):
    f = FORMULAS[key]
    sizes = sizes_of(f)
    assert None not in sizes.values(), f"no size for {[n for n, v in sizes.items() if v is None]}"
    value = float(f.si(**sizes))
    assert math.isfinite(value) and value != 0
    for system in ("mm", "inch"):
        asked = given(f, sizes, system)
        door = f(**asked)
        size = float(magnitude(door, f.returns.unit)) if f.returns.unit else float(door)
        assert size == pytest.approx(value, rel=1e-12)
        line = f.worked(system=system, **asked)
        assert line.symbol == f.symbol and line.result
    many = f.si(**{n: np.array([v, v]) for n, v in sizes.items()})
    assert np.broadcast_to(many, 2) == pytest.approx(np.array([value, value]), rel=1e-12)
    symbolic = f.sympy
    left = symbolic.subs({s: sizes[s.name] for s in symbolic.free_symbols})
    assert float(left) == pytest.approx(value, rel=1e-9)
    for name, slope in f.sensitivities(**given(f, sizes, "mm")).items():
        step = 1e-6
        up, down = (float(f.si(**{**sizes, name: sizes[name] * (1 + s * step)})) for s in (1, -1))
        assert slope == pytest.approx((up - down) / (2 * step) / value, rel=1e-4, abs=1e-6), name


@pytest.mark.parametrize("key", sorted(FORMULAS))
def test_formula_source_is_known(key):
    assert source_of(FORMULAS[key].source).title


def test_the_worked_line_of_a_tube_reads_like_its_annex():
    line = FORMULAS["shopcalc.stock.sections:area_rectangular_tube"].worked(
        H=Q(2, "in"), B=Q(2, "in"), t=Q(0.116, "in"), ro=Q(0.232, "in"), ri=Q(0.116, "in"))  # fmt: skip
    assert line.expression == "H·B - (H - 2·t)·(B - 2·t) - (4 - π)·(ro^2 - ri^2)"
    # HSS2x2x1/8 of the section tables: 0.840 in^2
    assert line.result.startswith("0.8395") and line.result.endswith("in^2")


def test_a_wall_that_gives_a_second_moment_is_found_both_times():
    f = FORMULAS["shopcalc.stock.sections:second_moment_rectangular_tube"]
    zero = Q(0, "in")
    roots = f.inverse(
        "t",
        Q(0.4, "in**4"),
        between=(Q(0.01, "in"), Q(2, "in")),
        H=Q(2, "in"),
        B=Q(2, "in"),
        ro=zero,
        ri=zero,
    )
    walls = [magnitude(r, "inch") for r in roots]
    # (16 - (2 - 2t)^4)/12 = 0.4: thin wall, and a "wall" past the middle that only a solver would find
    exact = (2 - (16 - 4.8) ** 0.25) / 2
    assert walls == pytest.approx([exact, 2 - exact], rel=1e-9)
