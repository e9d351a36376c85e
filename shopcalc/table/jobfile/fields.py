"""Kinds of value that a job file holds: each reads one text, or says what is wrong with it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated, Any, Literal

import pint
from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from shopcalc.errors import InputError
from shopcalc.stock.shapes import Shape, read_stock
from shopcalc.stock.tubes import Tube
from shopcalc.stock.woods import Wood, wood
from shopcalc.units import magnitude, read_quantity, tidy

LONGEST_WORDS = 120


def size(unit: str, low: float, high: float, example: str):
    """A field that reads a quantity of a unit's dimension between two bounds in that unit."""
    def read(text):
        return read_quantity(text, unit, "", low=low, high=high, example=example)

    return Annotated[Any, BeforeValidator(read), Field(examples=[example])]


Length = size("inch", 0.01, 600, "36 in")
Offset = size("inch", 0, 600, "1-1/2 in")
Thickness = size("inch", 0.25, 6, "1-3/4 in")
Height = size("inch", 4, 60, "28-1/4 in")
Signed = size("inch", -600, 600, "-12 in")
Leg = size("inch", 0.03, 1, "1/8 in")
Spread = size("psf", 0, 500, "20 psf")
PointLoad = size("lbf", 0, 5000, "300 lbf")


def _percent(low: float, high: float, example: str):
    def read(text):
        value = read_quantity(text, "percent", "", low=low, high=high, example=example)
        return float(value.to("").magnitude)

    return Annotated[float, BeforeValidator(read), Field(examples=[example])]


Moisture = _percent(1, 30, "8 %")


def share_of(low: float, high: float, example: str):
    """A field that reads a share in per cent; the bounds are per cents too."""
    return _percent(low, high, example)

_SPAN_RATIO_RE = re.compile(r"L\s*/\s*(\d{2,4})")


def _span_ratio(text) -> float:
    plain = tidy(text, "", "a part of the span", "L/360")
    match = _SPAN_RATIO_RE.fullmatch(plain)
    if not match or not 50 <= int(match[1]) <= 2000:
        raise InputError(field="", value=text, need="a part of the span between L/50 and L/2000", example="L/360")
    return 1 / int(match[1])


SpanRatio = Annotated[float, BeforeValidator(_span_ratio), Field(examples=["L/360"])]


def _words(text) -> str:
    """One line of words in any language."""
    if not isinstance(text, str) or not text.strip() or not text.isprintable() or len(text) > LONGEST_WORDS:
        raise InputError(field="", value=text, need=f"one line of words in quotes, up to {LONGEST_WORDS} characters",
                         example="as the shop would say it")
    return text.strip()


_NAME_RE = re.compile(r"[\w][\w .+-]{0,39}")


def _name(text) -> str:
    """The job's own name of a thing: it becomes part of what a check is called."""
    if not isinstance(text, str) or not _NAME_RE.fullmatch(text):
        raise InputError(field="", value=text, need="a name of letters, digits, spaces, dots and dashes, up to 40", example="post")
    return text


Words = Annotated[str, BeforeValidator(_words), Field(examples=["a line of words"])]


def wood_of(text) -> Wood:
    return wood(tidy(text, "", "a wood of the list", "white oak"), "")


def stock_of(text) -> Tube | Shape:
    return read_stock(text, "")


class Table(BaseModel):
    """A table of the job file: unknown keys are refused, values cannot be changed."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)


Lies = Annotated[Literal["upright", "flat"], Field(examples=["flat"])]
StockName = Annotated[str, Field(strict=True, examples=["rail"])]
NewName = Annotated[str, BeforeValidator(_name), Field(examples=["rail"])]


def one_of(*allowed: int):
    """A whole number of a short list."""
    def read(value):
        if type(value) is not int or value not in allowed:
            raise InputError(field="", value=value, need="one of " + ", ".join(map(str, allowed)), example=str(allowed[-1]))
        return value

    return Annotated[int, BeforeValidator(read), Field(examples=[str(allowed[-1])])]


_PRICE_RE = re.compile(r"(\d{1,6}(?:\.\d{1,4})?)\s*([A-Z]{3})\s*/\s*(lb|kg|ft|m)")


@dataclass(frozen=True)
class Price:
    """A price per mass or per length, in the job's own currency word."""

    amount: float
    currency: str
    per: str

    def of(self, mass: pint.Quantity, length: pint.Quantity) -> str:
        """What a bar of that mass and length costs, as it prints."""
        count = magnitude(mass if self.per in ("lb", "kg") else length, {"ft": "foot"}.get(self.per, self.per))
        return f"{self.amount * float(count):,.2f} {self.currency}"


def price_of(text) -> Price:
    match = _PRICE_RE.fullmatch(tidy(text, "", "a price with its currency and unit", "1.20 USD/lb"))
    if not match or float(match[1]) <= 0:
        raise InputError(field="", value=text, need="a price over zero per lb, kg, ft or m with a currency of three letters",
                         example="1.20 USD/lb")
    return Price(float(match[1]), match[2], match[3])
