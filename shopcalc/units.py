"""Units: one registry, the reader of shop sizes and quantities, and how sizes print back.

User text never reaches pint's parser: `read_quantity` and `read_length` take a number (decimal, exact
fraction, feet and inches) and a unit expression from a closed list, and refuse the rest with an
`InputError` that names the field.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
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
    """The unit in which a formula's body works. `word` says what it is in an error; `whole`: no fractions."""

    unit: str
    word: str
    example: str
    whole: bool = False

    @property
    def pint_unit(self) -> pint.Unit:
        return _code_unit(self.unit)

    @property
    def bare_allowed(self) -> bool:
        """Only pure numbers may come and go without a unit; an angle may not."""
        return self.unit == ""


def same_kind(unit: pint.Unit, other: pint.Unit) -> bool:
    """True where one converts to the other without a change of meaning. Stricter than pint: an angle is no
    pure number, and rad/s is no Hz; a unit of another registry is never of the same kind."""
    # Before anything is looked up: pint cannot even compare units of two registries.
    return isinstance(unit, ureg.Unit) and isinstance(other, ureg.Unit) and _base(unit) == _base(other)


@lru_cache(maxsize=1024)
def _base(unit: pint.Unit) -> pint.Unit:
    return ureg.get_base_units(unit)[1]


def _declare(unit: str, word: str, example: str, whole: bool = False):
    return Annotated[pint.Quantity, Declared(unit, word, example, whole)]


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
LoadPerLengthPerLength = _declare("N/m**2", "a load per length that grows along the beam",
                                  "Q(2, 'lbf/ft/ft')")
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
Count = _declare("", "a whole number", "4", whole=True)


# --- reading -------------------------------------------------------------------------------------

LONGEST_TEXT = 60
# Largest and smallest size of a number, and most powers of one unit: past these it is no shop's number, and
# conversions could overflow.
_LARGEST, _SMALLEST, _MOST_POWERS = Fraction(10) ** 40, Fraction(1, 10**40), 12

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
    "l": "liter", "ml": "milliliter", "gal": "gallon", "board_foot": "board_foot", "bdft": "board_foot",
    "dimensionless": "",
}
# A temperature on a scale with its own zero: it stands alone, never multiplied or divided.
_SCALES = ("degC", "degF")
_WORD_BY_LOWER = {word.lower(): word for word in reversed(UNIT_WORDS)}
_POUNDS = {"lbs", "pound", "pounds", "#"}

_SIGNS = str.maketrans({
    "′": "'", "’": "'", "‘": "'", "″": '"', "”": '"', "“": '"', "−": "-", "–": "-", "⁄": "/",
    "\u00a0": " ", "\u2009": " ", "\u202f": " ", "·": "*", "⋅": "*", "²": "^2", "³": "^3", "⁴": "^4",
    "°": "deg", "Δ": "delta_", "µ": "u", "μ": "u",
    # the space after a fraction keeps a figure that follows out of its lower number
    "½": "1/2 ", "¼": "1/4 ", "¾": "3/4 ", "⅛": "1/8 ", "⅜": "3/8 ", "⅝": "5/8 ", "⅞": "7/8 ",
    "⅓": "1/3 ", "⅔": "2/3 ",
})
_WHOLE_THEN_VULGAR_RE = re.compile(r"(?<=\d)(?=[½¼¾⅛⅜⅝⅞⅓⅔])")

_DECIMAL = r"(?:\d{1,3}(?: \d{3})+|\d+)(?:\.\d+)?|\.\d+"
_MIXED = r"(\d+)(?: +|-)(\d+)/(\d+)"
_FRACTION = r"(\d+)/(\d+)"
_NUMBER_RE = re.compile(
    rf"([+-])? *(?:{_MIXED}(?![\d.])|{_FRACTION}(?![\d.])|({_DECIMAL})(?:[eE]([+-]?\d{{1,3}}))?(?![\d.]))")
_TERM_RE = re.compile(r"(g_0|[A-Za-z_%]+|#)\.?(?:\^([+-]?\d))?")
_FEET_INCHES_RE = re.compile(
    r"""([+-])?\ *(?P<feet>\d+)\ *(?:'|ft\.?|feet|foot)\ *-?\ *
        (?P<inches>\d+(?:(?:\ +|-)\d+/\d+|\.\d+|/\d+)?)\ *(?P<mark>"|inches|inch|in\.?)?""", re.VERBOSE)


# What can stand after a number and is no unit: more of a number, or a sum. "1/min" is a unit.
_NO_UNIT_RE = re.compile(
    r"(?!1/ *[A-Za-z])(?:[\d.,*^]|[eE][+-]?\d|[+-] *[\d.+-]|/ *[\d+-]|(?:'|ft|feet|foot) *-? *\d)")


def tidy(text: object, field: str, need: str, example: str) -> str:
    """One line of plain ASCII from user text, or InputError: the first gate of every reader."""
    if not isinstance(text, str):
        raise InputError(field=field, value=text, need=f"{need}, as text in quotes", example=example)
    if len(text) > LONGEST_TEXT:
        raise InputError(field=field, value=text, need=f"{need} of at most {LONGEST_TEXT} characters",
                         example=example)
    plain = _WHOLE_THEN_VULGAR_RE.sub(" ", text).translate(_SIGNS).strip(" \t\r\n").replace("''", '"')
    if not plain:
        raise InputError(field=field, value=text, need=need, example=example)
    if not plain.isascii() or not plain.isprintable():
        raise InputError(field=field, value=text, need=f"{need} in plain characters", example=example)
    return plain


@dataclass(frozen=True)
class _Reading:
    """What every refusal of one text has in common."""

    field: str
    text: object
    need: str
    example: str

    def refuse(self, hint: str = "", need: str = "") -> InputError:
        need = need or self.need
        return InputError(field=self.field, value=self.text, need=f"{need} ({hint})" if hint else need,
                          example=self.example)


def _number(match: re.Match, at: _Reading) -> Fraction:
    sign, whole, num, den, fnum, fden, decimal, exponent = match.groups()
    if decimal is None:
        bottom = int(den or fden)
        if bottom == 0:
            raise at.refuse(need="a fraction whose lower number is not zero")
        value = Fraction(int(num or fnum), bottom)
        if den is not None and value >= 1:
            raise at.refuse(need="a fraction under one after the whole number")
        value += int(whole or 0)
    else:
        value = Fraction(decimal.replace(" ", "")) * Fraction(10) ** int(exponent or 0)
    if value and not _SMALLEST <= value <= _LARGEST:
        raise at.refuse(need="a number of ordinary size")
    return -value if sign == "-" else value


def _split(plain: str, at: _Reading) -> tuple[Fraction, pint.Unit | None]:
    """Number and unit of a tidied text; unit None where there is none."""
    both = _FEET_INCHES_RE.fullmatch(plain)
    if both:
        if not both["mark"]:
            raise at.refuse(_number_hint(plain))
        inches = _number(_NUMBER_RE.fullmatch(both["inches"]), at)
        if inches >= 12:
            raise at.refuse(need="fewer than 12 inches after the feet")
        total = int(both["feet"]) * 12 + inches
        if total > _LARGEST:
            raise at.refuse(need="a number of ordinary size")
        return (-total if both[1] == "-" else total), _code_unit("inch")
    match = _NUMBER_RE.match(plain)
    if not match:
        raise at.refuse(_number_hint(plain))
    rest = plain[match.end():].strip()
    if _NO_UNIT_RE.match(rest):
        raise at.refuse(_number_hint(plain))
    number = _number(match, at)
    if not rest:
        return number, None
    if re.match(r"(?:ga|gauge|gage)\b", rest):
        raise at.refuse("a gauge is read only where a wall is asked for, with its product form")
    return number, _unit({'"': "in", "'": "ft"}.get(rest, rest), at)


def _number_hint(plain: str) -> str:
    if re.search(r"\d *, *\d", plain):
        return "a point is the decimal sign, and thousands take no comma: 1.5 or 2400"
    if re.match(r"[+-]? *(nan|inf)", plain, re.IGNORECASE):
        return "a finite number"
    if re.search(r"\d *[*^]", plain):
        return "a plain number, not a sum to work out"
    if re.search(r"\d *(?:'|ft|feet|foot)\.? *-? *\d", plain):
        return "whole feet, then the inches with their mark: 7'-6\" or 7 ft 6 in"
    if re.search(r"\d *-[ -]*\d+/", plain):
        return "one dash or a space before the fraction: 2-1/2 or 2 1/2"
    return "one number: decimal, whole, or a fraction as in 2-1/2"


def read_unit(text: str, field: str, whole: object = None, *, example: str = "lbf/ft^2") -> pint.Unit:
    """The unit of an expression such as `lbf/ft^2`, `kip*in`, `lbf-in`, `1/min`. Closed list of words.

    whole  the text that an error shows, where the unit is only a part of it
    """
    need = "a unit the kit knows"
    plain = tidy(text, field, need, example)
    return _unit(plain, _Reading(field, text if whole is None else whole, need, example))


def _unit(plain: str, at: _Reading) -> pint.Unit:
    try:
        return _unit_of(plain)
    except _NoUnit as fault:
        raise at.refuse(str(fault)) from None


class _NoUnit(ValueError):
    """Why a text is no unit of the closed list."""


@lru_cache(maxsize=512)
def _unit_of(plain: str) -> pint.Unit:
    rest, sign, unit, powers, slashed = plain, 1, _code_unit(""), 0, False
    if rest.startswith("1/"):
        rest = rest[1:]
    if rest.startswith("/"):
        rest, sign, slashed = rest[1:], -1, True
    while True:
        rest = rest.lstrip(" ")
        match = _TERM_RE.match(rest)
        if not match:
            raise _NoUnit("units are words joined by * or /, as in lbf/ft^2")
        word, power = match[1], int(match[2] or 1)
        if word not in UNIT_WORDS:
            raise _NoUnit(_word_hint(word))
        powers += abs(power)
        if power == 0 or powers > _MOST_POWERS:
            raise _NoUnit("a simpler unit")
        if word in _SCALES and (match[2] or match.end() != len(plain)):
            raise _NoUnit(f"a temperature stands alone; a difference of temperature is delta_{word}")
        unit = unit * _code_unit(UNIT_WORDS[word]) ** (sign * power)
        rest = rest[match.end():].lstrip(" ")
        if not rest:
            return unit
        if rest[0] not in "*/-" or (rest[0] == "-" and slashed):
            raise _NoUnit("units are joined by * or /, as in lbf*ft or kN/m^2")
        sign, slashed = (-1, True) if rest[0] == "/" else (1, slashed)
        rest = rest[1:]


def _word_hint(word: str) -> str:
    import difflib  # only a mistake needs it

    if word.lower() in _POUNDS:
        return "pounds are lb for a mass, lbf for a force"
    near = difflib.get_close_matches(word.lower(), _WORD_BY_LOWER, n=1, cutoff=0.6)
    hint = f"; did you mean {_WORD_BY_LOWER[near[0]]}?" if near else ""
    return f'"{word}" is no unit the kit knows{hint}'


def read_quantity(text: object, unit: str, field: str, *, low: float | None = None, high: float | None = None,
                  example: str | None = None) -> pint.Quantity:
    """A number with a unit, from user text.

    unit   a unit of the wanted dimension ("in", "psf"); low and high are bounds in it, both allowed values
    field  what the error names
    Only where `unit` is "" does a number come without one. Raises InputError: no text, bare number, unknown
    unit, other dimension (an angle is no pure number), not finite, outside low..high.
    """
    wanted = _code_unit(unit)
    word = _dimension_word(wanted)
    need = word if unit == "" else f"{word} with its unit"
    at = _Reading(field, text, need, _example(unit, low, high) if example is None else example)
    # A number of at most 10^40 in a unit of at most 12 powers: whatever is read is finite in any unit.
    number, came = _split(tidy(text, field, need, at.example), at)
    if came is None:
        if unit != "":
            raise at.refuse("a bare number has none")
        came = wanted
    if not same_kind(came, wanted):
        raise at.refuse(kind_hint(came, wanted))
    if _on_scale(came) is not _on_scale(wanted) and _code_unit("kelvin") not in (came, wanted):
        raise at.refuse("a difference of temperature is delta_degF or delta_degC, a temperature degF or degC")
    return _bounded(Quantity(float(number), came), wanted, low, high, at)


def _example(unit: str, low: float | None, high: float | None) -> str:
    """A line that would have been read: 10 of the unit, or a number between the bounds."""
    size = 10.0
    if low is not None and size < low:
        size = low if high is None else (low + high) / 2
    elif high is not None and size > high:
        size = high if low is None else (low + high) / 2
    words = re.sub(r"[A-Za-z_]\w*", lambda m: m[0] if m[0] in UNIT_WORDS else f"{_code_unit(m[0]):~}", unit)
    return f"{size:g} {words.replace('**', '^').replace(' ', '')}".strip()


_DIMENSION_WORDS = {
    "m": "a length", "m**2": "an area", "m**3": "a volume", "m**4": "a second moment of area", "N": "a force",
    "Pa": "a stress or a load per area", "N*m": "a moment", "N/m": "a load per length", "kg": "a mass",
    "kg/m": "a mass per length", "kg/m**3": "a density", "s": "a time", "rad": "an angle",
    "": "a pure number", "m/s**2": "an acceleration", "Hz": "a frequency", "kelvin": "a temperature",
}


@lru_cache(maxsize=512)
def _dimension_word(unit: pint.Unit) -> str:
    if unit == _code_unit("percent"):
        return "a percentage"
    known = (word for name, word in _DIMENSION_WORDS.items() if same_kind(_code_unit(name), unit))
    return next(known, f"a quantity in {unit_text(f'{unit:~}')}")


@lru_cache(maxsize=512)
def _on_scale(unit: pint.Unit) -> bool:
    return unit in (_code_unit("degC"), _code_unit("degF"))


def kind_hint(came: pint.Unit, wanted: pint.Unit) -> str:
    g = _code_unit("m/s**2")
    if same_kind(came * g, wanted):
        return "lb and kg are mass; a force is lbf, N or kgf"
    if same_kind(wanted * g, came):
        return "lbf and N are force; a mass is lb or kg"
    word = _dimension_word(came)
    return "" if word.startswith("a quantity") else f"{unit_text(f'{came:~}') or 'a bare number'} is {word}"


def _bounded(value: pint.Quantity, wanted: pint.Unit, low, high, at: _Reading) -> pint.Quantity:
    if low is None and high is None:
        return value
    size = value.magnitude if value.units == wanted else value.to(wanted).magnitude
    if (low is not None and size < low) or (high is not None and size > high):
        span = (f"between {low:g} and {high:g}" if low is not None and high is not None
                else f"at least {low:g}" if low is not None else f"at most {high:g}")
        raise at.refuse(need=f"a value {span} {unit_text(f'{wanted:~}')}".rstrip())
    return value


def read_any(text: object, field: str) -> pint.Quantity | float:
    """A number with whatever unit of the closed list it carries; a plain number comes back as a float."""
    at = _Reading(field, text, "a number, with its unit if it has one", "12.5 kip, 0.93")
    number, unit = _split(tidy(text, field, at.need, at.example), at)
    return float(number) if unit is None or unit == _code_unit("") else Quantity(float(number), unit)


_LENGTH_EXAMPLES = {"2-1/2 in": 2.5, "7'-6 1/2\"": 90.5, "40 mm": 40 / 25.4}


def read_length(text: object, field: str = "length", *, low: float | None = None, high: float | None = None,
                example: str | None = None) -> pint.Quantity:
    """A length as a shop writes it: 7'-6 1/2", 7 ft 6 in, 2-1/2 in, 2 1/2", 1.5 mm, 2 400 mm.

    low and high are bounds in inches. Fractions are exact. Raises InputError.
    """
    if example is None:
        fitting = [word for word, size in _LENGTH_EXAMPLES.items()
                   if (low is None or size >= low) and (high is None or size <= high)]
        example = ", ".join(fitting) or _example("in", low, high)
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
    form = (" ".join(match[2].lower().split()) or None) if match else None
    if not match or (form and form not in GAUGE_FORMS):
        raise InputError(field=field, value=text, example=example,
                         need="a gauge and its product form (" + ", ".join(GAUGE_FORMS) + ")")
    return GaugeWord(int(match[1]), form)


# --- printing ------------------------------------------------------------------------------------

SYSTEMS = ("inch", "mm")
_ROUND = {"nearest": lambda value: math.floor(value + 0.5), "up": math.ceil, "down": math.floor}
# What one unit in the last place may hide when a size is rounded up or down: a hair, not a step.
_HAIR = 1e-9


def check_system(system: str) -> str:
    if system not in SYSTEMS:
        raise InputError(field="system", value=system, need='"inch" or "mm"', example='system="inch"')
    return system


def _steps(value: float, rounding: str) -> int:
    """Whole steps in `value`: half goes up for "nearest"; a hair's breadth never costs a whole step."""
    if rounding not in _ROUND:
        raise InputError(field="rounding", value=rounding, need="one of " + ", ".join(_ROUND),
                         example='rounding="up"')
    nearest = math.floor(value + 0.5)
    if abs(value - nearest) < _HAIR * max(1.0, abs(value)):
        return nearest
    return _ROUND[rounding](value)


def show_length(length: pint.Quantity, system: str = "inch", rounding: str = "nearest", *,
                feet: bool = False) -> str:
    """A size as the shop reads it: sixteenths of an inch (2-1/2 in, or 7'-6 1/2\") or whole millimetres.

    rounding  "nearest", "up" (a size that is required) or "down" (a size that is available)
    """
    if check_system(system) == "mm":
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
    value = float(magnitude(quantity, unit))
    if not math.isfinite(value):
        raise ValueError(f"a size that is not finite cannot be printed: {value}")
    return value


def show_wall(wall: pint.Quantity, system: str = "inch") -> str:
    """A wall to 0.001 in or 0.01 mm."""
    if check_system(system) == "mm":
        return f"{_finite(wall, 'mm'):.2f} mm"
    return f"{_finite(wall, 'inch'):.3f} in"


def show_sag(sag: pint.Quantity, system: str = "inch") -> str:
    """A sag to 0.01 in or 0.1 mm; a sag that is not zero never prints as zero."""
    step, places, unit = (0.1, 1, "mm") if check_system(system) == "mm" else (0.01, 2, "in")
    value = _finite(sag, unit) + 0.0  # no "-0.00"
    if value != 0 and abs(value) < step / 2:
        return f"under {step:.{places}f} {unit}"
    return f"{value:.{places}f} {unit}"


def number(value: float, digits: int = 4) -> str:
    """`digits` significant digits (at most 14), halves away from zero as on paper, thousands with commas,
    no exponent for shop-sized numbers."""
    if not math.isfinite(value):
        raise ValueError(f"a number that is not finite cannot be printed: {value}")
    if value == 0:
        return "0"
    # Fifteen digits first: the noise of a conversion must not push a half to the wrong side.
    exact = Decimal(f"{float(value):.14e}")
    rounded = exact.quantize(Decimal(1).scaleb(exact.adjusted() + 1 - digits), rounding=ROUND_HALF_UP)
    if -5 <= rounded.adjusted() <= 11:
        text, tail = f"{rounded:,f}", ""
    else:
        text, tail = f"{rounded:.{digits - 1}e}".split("e")
        tail = "e" + tail
    return (text.rstrip("0").rstrip(".") if "." in text else text) + tail


_PRINTED = {"inch": "in", "foot": "ft", "deg": "°", "delta_degF": "°F", "delta_degC": "°C", "percent": "%",
            "kelvin": "K", "board_foot": "bdft", "gallon": "gal", "liter": "l"}


def unit_text(unit: str) -> str:
    """A unit as it prints, in the order written: unit_text("lbf*inch") -> lbf·in."""
    text = re.sub(r"[A-Za-z_]+", lambda m: _PRINTED.get(m[0], m[0]), unit.replace(" ", ""))
    return text.replace("**", "^").replace("*", "·")


def show(quantity, unit: str, digits: int = 4) -> str:
    """A quantity in the named unit with `digits` significant digits: show(q, "lbf*ft") -> "1,250 lbf·ft"."""
    return f"{number(float(magnitude(quantity, unit)), digits)} {unit_text(unit)}".strip()


def magnitude(quantity: pint.Quantity, unit: str) -> float | np.ndarray:
    """The bare number in the named unit, for solvers and pictures."""
    value = quantity.magnitude
    if type(value) is float or type(value) is np.ndarray and value.dtype == float:
        factor = _factor(quantity.units, unit)
        if factor is not None:
            return value * factor
    return quantity.to(_code_unit(unit)).magnitude


@lru_cache(maxsize=2048)
def _factor(units: pint.Unit, unit: str) -> float | None:
    """What a number in `units` is multiplied by to be one in `unit`: pint looks for it anew every time. None for a scale
    whose nought lies elsewhere (a temperature)."""
    nought, one = (ureg.Quantity(v, units).to(_code_unit(unit)).magnitude for v in (0.0, 1.0))
    return one if nought == 0 else None
