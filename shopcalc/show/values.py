"""How a number prints: one policy for every table, picture, control and record.

Sizes print in sixteenths or whole millimetres, sag to 0.01 in or 0.1 mm, walls and other thin sizes to
0.001 in or 0.01 mm, masses with three digits, everything else with three or four, in the units of the
job's system.
"""

from __future__ import annotations

import math
import re

import pint

from shopcalc import check as checks
from shopcalc.check import Check
from shopcalc.errors import WorkedLineError
from shopcalc.units import number, show, show_length, show_sag, show_wall, unit_text, ureg

DIGITS = 4
MASS_DIGITS = 3  # the density of wood and the tolerance of a wall leave no fourth
NONE = "-"
LEAST_USED = 1e-9  # a share below it is what a frame leaves of nothing

# One unit per dimension and system. A quantity that already carries a unit of `_KEPT` keeps it: a load
# per area and a stress have one dimension, and so have a stiffness and a load per length.
_UNITS = {
    "N": {"inch": "lbf", "mm": "N"},
    "N*m": {"inch": "lbf*ft", "mm": "N*m"},
    "Pa": {"inch": "psi", "mm": "MPa"},
    "N/m": {"inch": "plf", "mm": "N/m"},
    "N*m**2": {"inch": "lbf*inch**2", "mm": "N*m**2"},
    "kg": {"inch": "lb", "mm": "kg"},
    "kg/m": {"inch": "lb/ft", "mm": "kg/m"},
    "kg/m**2": {"inch": "lb/ft**2", "mm": "kg/m**2"},
    "kg/m**3": {"inch": "lb/ft**3", "mm": "kg/m**3"},
    "N/m**3": {"inch": "pcf", "mm": "kN/m**3"},
    "m**2": {"inch": "inch**2", "mm": "mm**2"},
    "m**3": {"inch": "inch**3", "mm": "mm**3"},
    "m**4": {"inch": "inch**4", "mm": "mm**4"},
    "m/s**2": {"inch": "g_0", "mm": "g_0"},
    "Hz": {"inch": "Hz", "mm": "Hz"},
}
_KEPT = {"inch": ("psf", "lbf/inch", "lbf*inch", "ksi", "deg", "percent", "board_foot", "gallon"),
         "mm": ("kPa", "kN/m**2", "N/mm", "deg", "percent", "liter")}
_ROLES = {"area load": {"inch": "psf", "mm": "kPa"},
          "stiffness": {"inch": "lbf/inch", "mm": "N/mm"}}
_RAISED = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")
# Below this a size is read as a wall is: sixteenths would hide it.
_THIN = {"inch": 0.5, "mm": 10.0}


def printed(quantity: pint.Quantity | float | None, system: str, role: str = "", *, rounding: str = "nearest",
            digits: int = DIGITS) -> str:
    """A value in trade form.

    system    "inch" or "mm"
    role      "size", "sag", "wall", "leg", "area load" or "stiffness" where the dimension alone does not tell
    rounding  of sizes: "nearest", "up" (a size that is required) or "down" (one that is available)
    Raises ValueError for a value that is not finite.
    """
    if quantity is None:
        return NONE
    if not isinstance(quantity, pint.Quantity):
        return number(float(quantity), min(digits, 3))
    if quantity.dimensionality == ureg.Unit("m").dimensionality:
        return _length(quantity, system, role, rounding)
    unit = print_unit(quantity, system, role)
    if unit in ("deg", "Hz") or quantity.dimensionality == ureg.Unit("kg").dimensionality:
        digits = min(digits, MASS_DIGITS)
    if unit == "psi" and abs(quantity.to(ureg.Unit("psi")).magnitude) >= 1000:
        unit = "ksi"
    if unit:
        return show(quantity, unit, digits)
    if quantity.dimensionless:
        return show(quantity, "" if quantity.units == ureg.Unit("") else "deg", min(digits, 3))
    return show(quantity, str(quantity.units), digits)


def print_unit(quantity: pint.Quantity, system: str, role: str = "") -> str:
    """The unit a quantity prints in, for table heads and axes; "" where none is named."""
    if role in _ROLES:
        return _ROLES[role][system]
    for kept in _KEPT[system]:
        if quantity.units == ureg.Unit(kept):
            return kept
    if quantity.dimensionality == ureg.Unit("m").dimensionality:
        return "inch" if system == "inch" else "mm"
    for name, units in _UNITS.items():
        if quantity.dimensionality == ureg.Unit(name).dimensionality:
            return units[system]
    return ""


def _length(length: pint.Quantity, system: str, role: str, rounding: str) -> str:
    if role == "sag":
        return show_sag(length, system)
    size = abs(float(length.to(ureg.Unit("inch" if system == "inch" else "mm")).magnitude))
    if role == "leg" and _whole_step(size, system):
        return show_length(length, system)
    if role in ("wall", "leg") or (role == "" and 0 < size < _THIN[system]):
        return show_wall(length, system)
    return show_length(length, system, rounding)


def _whole_step(size: float, system: str) -> bool:
    """Whether a size stands on the shop's rule: a whole sixteenth of an inch, or a whole millimetre."""
    steps = size * 16 if system == "inch" else size
    return abs(steps - round(steps)) < 1e-6


def _role(check: Check) -> str:
    """How the demand and limit of a check are read."""
    return "sag" if check.kind == "sag" else "leg" if check.id.endswith("/least leg") else ""


def pair(check: Check, system: str) -> tuple[str, str]:
    """Demand and limit of a check. Two values that differ never print alike: digits are added until
    they do (a sag of 0.251 in against a limit of 0.250 in)."""
    if check.kind == "stability" and check.demand is not None and check.ratio is not None:
        has = "no load tips it" if check.limit is None else f"has {printed(check.limit, system)}"
        return f"needs {printed(check.demand, system)}", has
    if is_share(check):
        return checks.ratio_text(check.ratio), "1.00"
    role = _role(check)
    demand = printed(check.demand, system, role, rounding="up")
    limit = printed(check.limit, system, role, rounding="down")
    if demand != limit or check.demand is None or check.limit is None:
        return demand, limit
    if check.demand.dimensionality != check.limit.dimensionality or check.ratio in (None, 1.0):
        return demand, limit
    unit = print_unit(check.demand, system, role) or str(check.demand.units)
    for digits in range(DIGITS, 9):
        demand, limit = show(check.demand, unit, digits), show(check.limit, unit, digits)
        if demand != limit:
            break
    return demand, limit


def is_share(check: Check) -> bool:
    """Whether the demand is itself a share of all there is, so that the limit is 1."""
    return (check.demand is not None and check.limit is not None and check.ratio is not None and check.demand.dimensionless
            and check.limit.dimensionless and float(check.limit.to("").magnitude) == 1.0
            and math.isclose(float(check.demand.to("").magnitude), check.ratio))


def raised(text: str) -> str:
    """Powers of units as small figures: in^4 -> in⁴."""
    return re.sub(r"(?<=[a-z])\^(-?\d)(?!\d)", lambda m: m[1].translate(_RAISED), text)


def ratio_text(ratio: float | None) -> str:
    """A ratio as check.ratio_text prints it; a dash where there is none."""
    return NONE if ratio is None else checks.ratio_text(ratio)


def used_line(check: Check, system: str) -> str:
    """The last step of a check: demand over limit, with the digits it takes to give the printed quotient.
    "" where there is no such step."""
    demand, limit, ratio = check.demand, check.limit, check.ratio
    if demand is None or limit is None or ratio is None or not LEAST_USED <= ratio < math.inf or is_share(check):
        return ""  # a share of all there is needs no dividing by 1
    role = _role(check)
    unit = print_unit(demand, system, role) or ("" if demand.dimensionless else str(demand.units))
    top, bottom = (float(q.to(ureg.Unit(unit)).magnitude) for q in (demand, limit))
    wanted = number(ratio, DIGITS)
    for digits in range(DIGITS, 13):
        a, b = number(top, digits), number(bottom, digits)
        if number(float(a.replace(",", "")) / float(b.replace(",", "")), DIGITS) == wanted:
            word = unit_text(unit)
            return f"used = {a} {word} / {b} {word} = {wanted}" if word else f"used = {a} / {b} = {wanted}"
    raise WorkedLineError(f"{check.id}: demand over limit does not give {wanted}")
