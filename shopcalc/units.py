"""Units: one registry, the reader of shop sizes and quantities, and how sizes print back.

User text never reaches pint's parser: `read_quantity` and `read_length` take a number (decimal, exact
fraction, feet and inches) and a unit expression from a closed list, and refuse the rest with an
`InputError` that names the field.
"""

from __future__ import annotations

import difflib
import math
import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from typing import Annotated

import numpy as np
import pint

from shopcalc.errors import InputError

ureg = pint.UnitRegistry(str(Path(__file__).with_name("units.txt")))
pint.set_application_registry(ureg)
Quantity = ureg.Quantity


def Q(magnitude, unit: str) -> pint.Quantity:
    """A quantity of the kit's registry, for code (never for user text): Q(2.5, "in")."""
    return Quantity(magnitude, _code_unit(unit))


@lru_cache(maxsize=512)
def _code_unit(unit: str) -> pint.Unit:
    return ureg.Unit(unit)


# --- declared units of formula arguments ---------------------------------------------------------


@dataclass(frozen=True)
class Declared:
    """The unit in which a formula's body works. `word` says what it is in an error."""

    unit: str
    word: str
    example: str

    @property
    def pint_unit(self) -> pint.Unit:
        return _code_unit(self.unit)

    @property
    def bare_allowed(self) -> bool:
        """Only pure numbers may come and go without a unit; an angle may not."""
        return self.unit == ""


def _declare(unit: str, word: str, example: str):
    return Annotated[pint.Quantity, Declared(unit, word, example)]


Length = _declare("m", "a length", "read_length('2-1/2 in')")
Inch = _declare("inch", "a length, worked in inches", "Q(2.5, 'in')")
Millimetre = _declare("mm", "a length, worked in millimetres", "Q(40, 'mm')")
Area = _declare("m**2", "an area", "Q(0.84, 'in**2')")
Volume = _declare("m**3", "a volume", "Q(1.5, 'ft**3')")
SectionModulus = _declare("m**3", "a section modulus", "Q(0.486, 'in**3')")
SecondMoment = _declare("m**4", "a second moment of area", "Q(0.486, 'in**4')")
Force = _declare("N", "a force", "Q(300, 'lbf')")
Moment = _declare("N*m", "a moment", "Q(250, 'lbf*ft')")
LoadPerLength = _declare("N/m", "a load per length", "Q(12, 'lbf/ft')")
LoadPerLengthPerLength = _declare("N/m**2", "a load per length that grows along the beam", "Q(2, 'lbf/ft/ft')")
Stress = _declare("Pa", "a stress", "Q(50, 'ksi')")
Pressure = _declare("Pa", "a load per area", "Q(50, 'psf')")
Rigidity = _declare("N*m**2", "a bending rigidity EI", "Q(1.4e7, 'lbf*in**2')")
Stiffness = _declare("N/m", "a stiffness", "Q(500, 'lbf/in')")
Mass = _declare("kg", "a mass", "Q(180, 'lb')")
MassPerLength = _declare("kg/m", "a mass per length", "Q(3.05, 'lb/ft')")
MassPerArea = _declare("kg/m**2", "a mass per area", "Q(5.0, 'lb/ft**2')")
Density = _declare("kg/m**3", "a density", "Q(490, 'lb/ft**3')")
SpecificWeight = _declare("N/m**3", "a weight per volume", "Q(490, 'pcf')")
Acceleration = _declare("m/s**2", "an acceleration", "Q(1, 'g_0')")
Frequency = _declare("Hz", "a frequency", "Q(6, 'Hz')")
Expansion = _declare("1/kelvin", "an expansion per degree", "Q(6.5e-6, '1/delta_degF')")
Angle = _declare("rad", "an angle", "Q(90, 'deg')")
Ratio = _declare("", "a pure number", "0.93")
Count = _declare("", "a whole number", "4")


# --- reading -------------------------------------------------------------------------------------

LONGEST_TEXT = 60

# Word in the text -> unit of the registry. Nothing else is read.
UNIT_WORDS = {
    "m": "m", "mm": "mm", "cm": "cm", "km": "km", "um": "um",
    "in": "inch", "inch": "inch", "inches": "inch", "ft": "foot", "foot": "foot", "feet": "foot",
    "yd": "yard", "s": "s", "min": "min", "h": "hour", "Hz": "Hz",
    "g": "gram", "kg": "kg", "lb": "lb", "oz": "oz",
    "N": "N", "kN": "kN", "MN": "MN", "lbf": "lbf", "kip": "kip", "kgf": "kgf", "g_0": "g_0",
    "Pa": "Pa", "kPa": "kPa", "MPa": "MPa", "GPa": "GPa", "psi": "psi", "ksi": "ksi", "bar": "bar",
    "psf": "psf", "plf": "plf", "pli": "pli", "pcf": "pcf",
    "rad": "rad", "deg": "deg", "degree": "deg", "degrees": "deg", "%": "percent", "percent": "percent",
    "J": "J", "kJ": "kJ", "W": "W", "V": "V", "A": "A",
    "degC": "degC", "degF": "degF", "K": "K",
    "delta_degC": "delta_degC", "delta_degF": "delta_degF",
    "l": "liter", "ml": "milliliter", "gal": "gallon", "board_foot": "board_foot",
}

_SIGNS = str.maketrans({
    "′": "'", "’": "'", "‘": "'", "″": '"', "”": '"', "“": '"', "−": "-", "–": "-",
    "\u00a0": " ", "\u2009": " ", "\u202f": " ", "·": "*", "⋅": "*", "²": "^2", "³": "^3", "⁴": "^4",
})
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
           "⅓": "1/3", "⅔": "2/3"}
_VULGAR_RE = re.compile(r"(\d?)\s*([" + "".join(_VULGAR) + "])")

_DECIMAL = r"(?:\d{1,3}(?: \d{3})+|\d+)(?:\.\d+)?|\.\d+"
_MIXED = r"(\d+)[ -]+(\d+)/(\d+)"
_FRACTION = r"(\d+)/(\d+)"
_NUMBER_RE = re.compile(
    rf"\s*([+-])?\s*(?:{_MIXED}|{_FRACTION}(?![\d.])|({_DECIMAL})(?:[eE]([+-]?\d{{1,3}}))?)")
_TERM_RE = re.compile(r"(g_0|[A-Za-z_%]+)(?:\^([+-]?\d))?")
_FEET_INCHES_RE = re.compile(
    r"""([+-])?(?P<feet>\d+(?:\.\d+)?)\s*(?:'|ft\b|feet\b|foot\b)\s*-?\s*
        (?P<inches>\d+(?:\.\d+)?(?:[ -]+\d+/\d+)?|\d+/\d+)\s*(?:"|in\b|inch\b|inches\b)""", re.VERBOSE)


def tidy(text: object, field: str, need: str, example: str) -> str:
    """One line of plain ASCII from user text, or InputError: the first gate of every reader."""
    if isinstance(text, bool) or not isinstance(text, str):
        if isinstance(text, int | float):
            raise InputError(field=field, value=text, need=f"{need} with its unit, in quotes", example=example)
        raise InputError(field=field, value=text, need=f"{need} as text in quotes", example=example)
    if len(text) > LONGEST_TEXT:
        raise InputError(field=field, value=text, need=f"{need} of at most {LONGEST_TEXT} characters",
                         example=example)
    plain = _VULGAR_RE.sub(lambda m: (m[1] + " " if m[1] else "") + _VULGAR[m[2]] + " ", text)
    plain = plain.translate(_SIGNS).strip()
    if not plain:
        raise InputError(field=field, value=text, need=need, example=example)
    if not plain.isascii() or not plain.isprintable():
        raise InputError(field=field, value=text, need=f"{need} in plain characters", example=example)
    return plain


def _fraction(match: re.Match, field: str, text: str) -> Fraction | None:
    sign, whole, num, den, fnum, fden, decimal, exponent = match.groups()
    if den is not None or fden is not None:
        bottom = int(den or fden)
        if bottom == 0:
            raise InputError(field=field, value=text, need="a fraction whose lower number is not zero",
                             example="2-1/2 in")
        value = Fraction(int(num or fnum), bottom)
        if den is not None and value >= 1:
            raise InputError(field=field, value=text, need="a fraction under one after the whole number",
                             example="2-1/2 in")
        value += int(whole or 0)
    elif decimal is not None:
        value = Fraction(decimal.replace(" ", ""))
        if exponent and abs(int(exponent)) > 40:
            raise InputError(field=field, value=text, need="a number of ordinary size", example="1.2e6 N/mm^2")
        value *= Fraction(10) ** int(exponent or 0)
    else:
        return None
    return -value if sign == "-" else value


def read_unit(text: str, field: str, whole: object = None) -> pint.Unit:
    """The unit of an expression such as `lbf/ft^2`, `kip*in`, `lbf-in`, `1/min`. Closed list of words.

    whole  the text that an error shows, where the unit is only a part of it
    """
    came = text if whole is None else whole
    rest = text.strip()
    if rest.startswith("1/"):
        rest = rest[1:]
    unit, sign = ureg.Unit(""), 1
    if rest.startswith("/"):
        rest, sign = rest[1:], -1
    while True:
        match = _TERM_RE.match(rest.lstrip())
        if not match:
            raise InputError(field=field, value=came, need="a unit the kit knows", example="lbf/ft^2")
        word, power = match[1], int(match[2] or 1)
        if word not in UNIT_WORDS:
            raise InputError(field=field, value=came, need=_unit_need(word), example="30 in, 50 psf, 300 lbf")
        unit = unit * _code_unit(UNIT_WORDS[word]) ** (sign * power)
        rest = rest.lstrip()[match.end():].lstrip()
        if not rest:
            return unit
        if rest[0] not in "*/-":
            raise InputError(field=field, value=came, need="units joined by * or /", example="lbf*ft, kN/m^2")
        sign, rest = (-1 if rest[0] == "/" else 1), rest[1:]


def _unit_need(word: str) -> str:
    if word == "ga":
        return "a gauge only where a wall is asked for, with its product form"
    near = difflib.get_close_matches(word, UNIT_WORDS, n=1, cutoff=0.5)
    hint = f" (did you mean {near[0]}?)" if near else ""
    return f'a unit the kit knows; "{word}" is none{hint}'


def read_quantity(text: object, unit: str, field: str, *, low: float | None = None, high: float | None = None,
                  example: str | None = None) -> pint.Quantity:
    """A number with a unit, from user text.

    unit   a unit of the wanted dimension ("in", "psf"); low and high are bounds in it, both allowed values
    field  what the error names
    Raises InputError: no text, bare number, unknown unit, other dimension, not finite, outside low..high.
    """
    wanted = _code_unit(unit)
    good = example or f"10 {unit}"
    need = f"{_dimension_word(wanted)} with its unit"
    plain = tidy(text, field, need, good)
    if wanted.dimensionality == _METRE.dimensionality:
        value = _length(plain, field, text, good)
    else:
        match = _NUMBER_RE.match(plain)
        number = _fraction(match, field, text) if match else None
        if number is None:
            raise InputError(field=field, value=text, need=need, example=good)
        rest = plain[match.end():].strip()
        if not rest:
            if wanted.dimensionless and "rad" not in str(wanted):
                return _bounded(Quantity(float(number), _code_unit("")), wanted, field, text, low, high, good)
            raise InputError(field=field, value=text, need=f"{need}; a bare number has none", example=good)
        value = Quantity(float(number), read_unit(rest, field, text))
    if value.dimensionality != wanted.dimensionality:
        raise InputError(field=field, value=text, need=need + _mass_hint(value, wanted), example=good)
    return _bounded(value, wanted, field, text, low, high, good)


_METRE = _code_unit("m")
_DIMENSION_WORDS = {
    "m": "a length", "m**2": "an area", "m**3": "a volume", "m**4": "a second moment of area", "N": "a force",
    "Pa": "a stress or a load per area", "N*m": "a moment", "N/m": "a load per length", "kg": "a mass",
    "kg/m": "a mass per length", "kg/m**3": "a density", "s": "a time", "rad": "a pure number or an angle",
    "m/s**2": "an acceleration", "Hz": "a frequency", "kelvin": "a temperature",
}


def _dimension_word(unit: pint.Unit) -> str:
    for name, word in _DIMENSION_WORDS.items():
        if _code_unit(name).dimensionality == unit.dimensionality:
            return word
    return f"a quantity like 1 {unit:~}"


def _mass_hint(value: pint.Quantity, wanted: pint.Unit) -> str:
    if value.dimensionality * _code_unit("m/s**2").dimensionality == wanted.dimensionality:
        return " (lb and kg are mass; a force is lbf, N or kgf)"
    if wanted.dimensionality * _code_unit("m/s**2").dimensionality == value.dimensionality:
        return " (lbf and N are force; a mass is lb or kg)"
    return ""


def _bounded(value, wanted, field, text, low, high, example):
    size = value.to(wanted).magnitude
    if not math.isfinite(size):
        raise InputError(field=field, value=text, need="a finite number", example=example)
    if (low is not None and size < low) or (high is not None and size > high):
        span = (f"between {low:g} and {high:g}" if low is not None and high is not None
                else f"at least {low:g}" if low is not None else f"at most {high:g}")
        raise InputError(field=field, value=text, need=f"a value {span} {wanted:~}".rstrip(), example=example)
    return value


def _length(plain: str, field: str, text: object, example: str) -> pint.Quantity:
    both = _FEET_INCHES_RE.fullmatch(plain)
    if both:
        inner = _NUMBER_RE.fullmatch(both["inches"])
        inches = _fraction(inner, field, text)
        if inches >= 12:
            raise InputError(field=field, value=text, need="fewer than 12 inches after the feet",
                             example="7'-6 1/2\"")
        total = Fraction(both["feet"]) * 12 + inches
        return Quantity(float(-total if both[1] == "-" else total), _code_unit("inch"))
    match = _NUMBER_RE.match(plain)
    number = _fraction(match, field, text) if match else None
    if number is None:
        raise InputError(field=field, value=text, need="a length with its unit", example=example)
    rest = plain[match.end():].strip()
    if not rest:
        raise InputError(field=field, value=text, need="a length with its unit; a bare number has none",
                         example=example)
    if rest == '"':
        rest = "in"
    elif rest == "'":
        rest = "ft"
    elif re.fullmatch(r"ga|gauge|gage", rest):
        raise InputError(field=field, value=text, need="a size; a gauge stands only for a wall, with its product form",
                         example="11 ga tube")
    return Quantity(float(number), read_unit(rest, field, text))


def read_any(text: object, field: str) -> pint.Quantity | float:
    """A number with whatever unit of the closed list it carries; a plain number comes back as a float."""
    plain = tidy(text, field, "a number, with its unit if it has one", "12.5 kip, 0.93")
    match = _NUMBER_RE.match(plain)
    value = _fraction(match, field, text) if match else None
    if value is None or not math.isfinite(float(value)):
        raise InputError(field=field, value=text, need="a number, with its unit if it has one",
                         example="12.5 kip, 0.93")
    rest = plain[match.end():].strip()
    return Quantity(float(value), read_unit(rest, field, text)) if rest else float(value)


def read_length(text: object, field: str = "length", *, low: float | None = None, high: float | None = None,
                example: str = "2-1/2 in, 7'-6 1/2\", 40 mm") -> pint.Quantity:
    """A length as a shop writes it: 7'-6 1/2", 7 ft 6 in, 2-1/2 in, 2 1/2", 1.5 mm, 2 400 mm.

    low and high are bounds in inches. Fractions are exact. Raises InputError.
    """
    return read_quantity(text, "inch", field, low=low, high=high, example=example)


@dataclass(frozen=True)
class GaugeWord:
    """A gauge number as read, with the product form if the text named it (never guessed)."""

    number: int
    form: str | None


GAUGE_FORMS = ("tube", "carbon sheet", "stainless sheet", "galvanized sheet")
_GAUGE_RE = re.compile(r"(\d{1,2})\s*(?:ga|gauge|gage)\b\.?\s*([a-z ]*)", re.IGNORECASE)


def read_gauge(text: object, field: str = "gauge") -> GaugeWord:
    """`11 ga`, `16 ga tube`, `14 gauge stainless sheet`. The wall itself: shopcalc.stock.gauges."""
    example = "11 ga tube"
    plain = tidy(text, field, "a gauge with its product form", example)
    match = _GAUGE_RE.fullmatch(plain)
    form = (match[2].strip().lower() or None) if match else None
    if not match or (form and form not in GAUGE_FORMS):
        raise InputError(field=field, value=text, example=example,
                         need="a gauge and its product form (" + ", ".join(GAUGE_FORMS) + ")")
    return GaugeWord(int(match[1]), form)


# --- printing ------------------------------------------------------------------------------------

_ROUND = {"nearest": round, "up": math.ceil, "down": math.floor}
# What one unit in the last place may hide when a size is rounded up or down: a hair, not a step.
_HAIR = 1e-9


def _steps(value: float, rounding: str) -> int:
    """Whole steps in `value`: half goes up for "nearest"; a hair's breadth never costs a whole step."""
    if rounding == "nearest":
        return math.floor(value + 0.5)
    nearest = math.floor(value + 0.5)
    if abs(value - nearest) < _HAIR * max(1.0, abs(value)):
        return nearest
    return _ROUND[rounding](value)


def show_length(length: pint.Quantity, system: str = "inch", rounding: str = "nearest", *,
                feet: bool = False) -> str:
    """A size as the shop reads it: sixteenths of an inch (2-1/2 in, or 7'-6 1/2\") or whole millimetres.

    rounding  "nearest", "up" (a size that is required) or "down" (a size that is available)
    """
    if system == "mm":
        return f"{_steps(_finite(length, 'mm'), rounding):d} mm"
    sixteenths = _steps(_finite(length, "inch") * 16, rounding)
    sign, sixteenths = ("-" if sixteenths < 0 else ""), abs(sixteenths)
    whole, part = divmod(sixteenths, 16)
    fraction = Fraction(part, 16)
    if feet and whole >= 12:
        tail = f"{whole % 12}" + (f" {fraction}" if part else "")
        return f"{sign}{whole // 12}'-{tail}\""
    body = f"{whole}-{fraction}" if whole and part else f"{fraction}" if part else f"{whole}"
    return f"{sign}{body} in"


def _finite(quantity: pint.Quantity, unit: str) -> float:
    value = float(quantity.to(_code_unit(unit)).magnitude)
    if not math.isfinite(value):
        raise ValueError(f"a size that is not finite cannot be printed: {value}")
    return value


def show_wall(wall: pint.Quantity, system: str = "inch") -> str:
    """A wall to 0.001 in or 0.01 mm."""
    return f"{_finite(wall, 'mm'):.2f} mm" if system == "mm" else f"{_finite(wall, 'inch'):.3f} in"


def show_sag(sag: pint.Quantity, system: str = "inch") -> str:
    """A sag to 0.01 in or 0.1 mm; a sag that is not zero never prints as zero."""
    value, step, unit = ((_finite(sag, "mm"), 0.1, "mm") if system == "mm" else (_finite(sag, "inch"), 0.01, "in"))
    places = 1 if system == "mm" else 2
    if value != 0 and abs(value) < step / 2:
        return f"under {step:.{places}f} {unit}"
    return f"{value:.{places}f} {unit}"


def number(value: float, digits: int = 4) -> str:
    """`digits` significant digits, thousands with commas, no exponent for shop-sized numbers."""
    if not math.isfinite(value):
        raise ValueError(f"a number that is not finite cannot be printed: {value}")
    if value == 0:
        return "0"
    size = math.floor(math.log10(abs(value)))
    if not -5 <= size <= 11:
        return f"{value:.{digits - 1}e}"
    rounded = round(value, digits - 1 - size)
    places = max(0, digits - 1 - math.floor(math.log10(abs(rounded))) if rounded else 0)
    text = f"{rounded:,.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


_PRINTED = {"inch": "in", "foot": "ft", "deg": "°", "delta_degF": "°F", "delta_degC": "°C", "percent": "%"}


def unit_text(unit: str) -> str:
    """A unit as it prints, in the order written: unit_text("lbf*inch") -> lbf·in."""
    text = re.sub(r"[A-Za-z_]+", lambda m: _PRINTED.get(m[0], m[0]), unit.replace(" ", ""))
    return text.replace("**", "^").replace("*", "·")


def show(quantity, unit: str, digits: int = 4) -> str:
    """A quantity in the named unit with `digits` significant digits: show(q, "lbf*ft") -> "1,250 lbf·ft"."""
    return f"{number(float(quantity.to(_code_unit(unit)).magnitude), digits)} {unit_text(unit)}".strip()


def magnitude(quantity: pint.Quantity, unit: str) -> float | np.ndarray:
    """The bare number in the named unit, for solvers and pictures."""
    return quantity.to(_code_unit(unit)).magnitude
