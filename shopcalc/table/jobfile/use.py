"""[limits], [floor], [evidence], [prices], [loads]: what is asked of the table, where it stands, what is known of it."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from shopcalc.errors import InputError
from shopcalc.table.jobfile.fields import NewName, SpanRatio, Table, Words, price_of, size

FLOOR_KINDS = ("asphalt tile", "reinforced vinyl", "solid vinyl", "concrete", "stone or tile", "wood", "carpet", "access floor")
FLOOR_USES = ("office", "assembly", "dining", "upper corridor")
FloorKind = Annotated[Literal[FLOOR_KINDS], Field(examples=["solid vinyl"])]
FloorUse = Annotated[Literal[FLOOR_USES], Field(examples=["office"])]


def count(low: int, high: int):
    """A whole number from low to high."""
    def read(value):
        if type(value) is not int or not low <= value <= high:
            raise InputError(field="", value=value, need=f"a whole number from {low} to {high}", example=str(min(high, max(low, 4))))
        return value

    return Annotated[int, BeforeValidator(read), Field(examples=[str(min(high, max(low, 4)))])]


class Limits(Table):
    """Each is the job's choice; what is left out takes the named default and is printed as assumed."""

    sag: SpanRatio | None = None
    overhang: size("inch", 0.01, 3, "1/4 in") | None = None
    righting: Annotated[float | None, Field(ge=1, le=5, strict=True, examples=["1.5"])] = None
    house_sway: size("inch", 0.001, 5, "1/4 in") | None = None
    house_sway_dated: Words | None = None


class Floor(Table):
    """Where it stands. kind: a floor of the list, with the pressure it bears; bearing and live: what the maker of the floor
    and the building give; use: of the room, for the load its floor is built for."""

    slope: size("", 0, 0.1, "1/8 in/ft") | None = None
    kind: FloorKind | None = None
    bearing: size("psi", 1, 20000, "250 psi") | None = None
    use: FloorUse | None = None
    live: size("psf", 5, 2000, "50 psf") | None = None
    earthquakes: Annotated[bool, Field(strict=True, examples=["true"])] = False


class People(Table):
    """Who uses it. seats: on each long side, ends: at each end; accessible: places for a wheelchair."""

    seats: count(0, 40) | None = None
    ends: count(0, 6) | None = None
    accessible: count(0, 20) | None = None
    spacing: size("inch", 18, 60, "28 in") | None = None
    chair: size("inch", 10, 36, "17 in") | None = None


class Assembly(Table):
    """How it goes together on site: pieces in order, several at once in one text with +; how what does not stand by
    itself is held; whether the top is fixed to what carries it."""

    sequence: Annotated[tuple[Words, ...], Field(min_length=1, max_length=30, examples=['["trestle.left", "stretcher", "trestle.right", "top"]'])] | None = None
    held_by: Words | None = None
    top: Annotated[Literal["fixed", "loose"], Field(examples=["fixed"])] = "fixed"


class Evidence(Table):
    """What was measured or certified, by stock name; pieces that were weighed; whether the table stands already, and what
    is asked of it then."""

    stands_already: Annotated[bool, Field(strict=True, examples=["true"])] = False
    asks: tuple[Annotated[Literal["load", "mend", "move", "anchor"], Field(examples=["load"])], ...] = Field(
        default=(), max_length=4, examples=['["load", "move"]'])
    weighed_pieces: dict[NewName, size("lb", 0.1, 5000, "62 lb")] = Field(default_factory=dict, examples=['{ stretcher = "24 lb" }'])
    walls: dict[str, size("inch", 0.02, 0.5, "0.118 in")] = Field(default_factory=dict, examples=['{ post = "0.118 in" }'])
    weighed_top: size("lb", 1, 5000, "310 lb") | None = None


class Prices(Table):
    tube: Annotated[Any, BeforeValidator(price_of), Field(examples=["1.20 USD/lb"])] = None


class LoadChoice(Table):
    value: Annotated[Any, Field(examples=["20 psf"])]
    reason: Words
