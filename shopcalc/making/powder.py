"""Powder on the steel: how far a pound goes, how thick it builds, when its cure begins.

A powder's own data sheet comes first; the values here are those of one sheet and one chart, and say so.
"""

from __future__ import annotations

import csv
from functools import lru_cache
from math import pi
from pathlib import Path
from typing import Annotated

import pint

from shopcalc.errors import InputError
from shopcalc.formula import Within, formula
from shopcalc.table.assembly import Member
from shopcalc.table.geometry import Geometry
from shopcalc.units import Area, Declared, Density, Length, Mass, Q, Ratio, magnitude, read_any, show

AreaPerMass = Annotated[pint.Quantity, Declared("m**2/kg", "an area per mass", "Q(60, 'ft**2/lb')")]

WATER = Q(62.37, "lb/ft**3")  # at room temperature

_SHARES = (
    Within("e", lambda e: e, 0.05, 1),
    Within("SG", lambda SG: SG, 1.0, 2.5),
)


@formula(symbol="c", source="powder-coverage-chart, area of a film of given volume", valid=_SHARES)
def coverage(*, e: Ratio, SG: Ratio, rho: Density, f: Length) -> AreaPerMass:
    """Area that a mass of powder covers.

    e    part of what is sprayed that sticks
    SG   specific gravity of the powder
    rho  density of water
    f    film
    """
    return e / (SG * rho * f)


@formula(symbol="m", source="geometry, area over area per mass")
def powder_mass(A: Area, c: AreaPerMass) -> Mass:
    """Powder to spray on an area.

    A  area
    c  area that a mass covers
    """
    return A / c


@lru_cache(maxsize=1)
def _table() -> dict[str, str]:
    with open(Path(__file__).with_name("data") / "powder.csv", newline="", encoding="utf-8") as file:
        return {r["what"]: r["value"] for r in csv.DictReader(file)}


def powder_value(what: str):
    """One value of the list: "cure time", "cure temperature", "film least", "film most", "specific gravity" or
    "transfer"."""
    if what not in _table():
        raise InputError(field="powder", value=what, need="one of " + ", ".join(_table()), example="cure time")
    return read_any(_table()[what], f"powder.csv: {what}")


def to_spray(area: pint.Quantity) -> pint.Quantity:
    """Powder for an area at the thick end of the film, with what does not stick."""
    per_mass = coverage(
        e=powder_value("transfer"), SG=powder_value("specific gravity"), rho=WATER, f=powder_value("film most")
    )
    return powder_mass(area, per_mass).to("kg")


def base_area(g: Geometry) -> pint.Quantity:
    """Outside of every bar of the base, ends left out: round ones by their girth, the rest by their outside sizes."""
    bars = g.members.values()
    girths = ((pi if _is_round(m) else 2.0) * (m.width if _is_round(m) else m.width + m.height) for m in bars)
    return Q(sum(girth * m.length for girth, m in zip(girths, bars, strict=True)), "m**2")


def _is_round(m: Member) -> bool:
    return getattr(m.tube, "shape", "") == "round"


def spray_words(g: Geometry, system: str) -> str:
    """How much powder the base takes, in words."""
    area, mass = base_area(g), to_spray(base_area(g))
    big, heavy = ("ft**2", "lb") if system == "inch" else ("m**2", "kg")
    return (
        f"powder: {show(mass, heavy, 2)} to spray on {show(area, big, 2)} of steel, {film_words(system)} thick, where "
        f"{powder_value('transfer'):.0%} of it sticks and it weighs {powder_value('specific gravity'):g} times water (one "
        "chart's example: the pail says its own)"
    )


def film_words(system: str) -> str:
    """How much a face grows, in mil or millimetres."""
    unit = "mil" if system == "inch" else "um"
    low, high = (magnitude(powder_value(f"film {end}"), "um") for end in ("least", "most"))
    if unit == "mil":
        return f"{low / 25.4:.0f} to {high / 25.4:.0f} mil"
    return f"{low:.0f} to {high:.0f} µm"


def cure_words(system: str) -> str:
    """When the cure begins and how long it takes."""
    kelvin = magnitude(powder_value("cure temperature"), "K")
    hot = f"{(kelvin - 273.15) * 1.8 + 32:.0f} °F" if system == "inch" else f"{kelvin - 273.15:.0f} °C"
    minutes = show(powder_value("cure time"), "min", 2)
    return (
        f"the clock of the cure starts when the metal is hot, not the oven ({minutes} at {hot} on one maker's "
        "sheet): thick plate warms last, thin tube first"
    )
