"""Pockets filled with resin or metal: how much, in how many pours, what it weighs, what the pocket takes from
the top."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import pint

from shopcalc.errors import InputError
from shopcalc.formula import formula
from shopcalc.units import Area, Density, Length, Mass, Q, Quantity, Ratio, Volume, magnitude
from shopcalc.wood.movement import held_stress
from shopcalc.wood.net_section import share_left

# Unfilled epoxy, where the shop has no data sheet.
EPOXY = {
    "density": Q(1300.0, "kg/m**3"),
    "E": Q(4.0, "GPa"),
    "strength": Q(60.0, "MPa"),
    "expansion": Q(60e-6, "1/kelvin"),
}
EPOXY_SOURCE = "resin-properties"
ALONG_GRAIN = Q(4e-6, "1/kelvin")
DEFAULT_POUR = Q(0.5, "inch")  # common practice; the data sheet of the resin comes first
DEFAULT_WASTE = 0.10

HEAT = (
    "a thick pour heats itself: resin and wood let heat out slowly, and too deep a pour smokes, cracks or "
    "burns. Never pour deeper than "
    "the maker's limit; wait as the data sheet says; gloves, mask, and dust is a sensitiser"
)
TEMPERATURE = (
    "resin along the grain is strained by temperature (60 to 100 millionths per degree C against about 4 for "
    "the wood) and across "
    "it by the moisture of the wood: expect cracks or gaps at long rivers, and no strength from the resin"
)


def epoxy(what: str) -> pint.Quantity:
    """A property of unfilled epoxy: "density", "E", "strength" or "expansion"."""
    if what not in EPOXY:
        raise InputError(field="what", value=what, need=", ".join(EPOXY), example="density")
    return EPOXY[what]


@formula(symbol="V", source="geometry, prism")
def pocket_volume(A: Area, d: Length) -> Volume:
    """Volume of a pocket with a level floor.

    A  area of its outline
    d  depth
    """
    return A * d


@formula(symbol="m", source="geometry, volume times density")
def fill_mass(V: Volume, rho: Density) -> Mass:
    """Mass of what fills a volume.

    V    volume
    rho  density
    """
    return V * rho


@formula(symbol="m", source="geometry, volume times density, filling less the wood it replaces")
def added_mass(V: Volume, *, rho: Density, rho_w: Density) -> Mass:
    """What an inlay adds to the mass of the top.

    V      volume of the pocket
    rho    density of the filling
    rho_w  density of the wood that was cut out
    """
    return V * (rho - rho_w)


@formula(symbol="m_i", source="geometry, volume times density, share of a mix by mass")
def part_mass(m: Mass, *, p: Ratio, total: Ratio) -> Mass:
    """Mass of one part of a mix that is given in parts by mass.

    m      mass of the mix
    p      parts of this one
    total  parts of all
    """
    return m * p / total


def temperature_stress(
    dT: float, E: pint.Quantity = EPOXY["E"], expansion: pint.Quantity = EPOXY["expansion"]
) -> pint.Quantity:
    """Stress in resin along the grain over a change of temperature (degrees C, a plain number): an upper
    bound, the wood taken as stiff."""
    return held_stress(E, e=float((expansion - ALONG_GRAIN).to("1/kelvin").magnitude) * dT)


def outline_area(points: pint.Quantity) -> pint.Quantity:
    """Area within an outline of (n, 2) corners in order, either way round. InputError under three corners or
    where it has no area."""
    xy = np.asarray(magnitude(points, "m"), float)
    if xy.ndim != 2 or xy.shape[1] != 2 or len(xy) < 3 or not np.isfinite(xy).all():
        raise InputError(
            field="outline",
            value=f"{xy.shape}",
            need="three or more corners (x, y) in order",
            example='[["0 in", "0 in"], ["4 in", "0 in"], ["0 in", "3 in"]]',
        )
    x, y = (xy - xy[0]).T
    area = abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1))) / 2
    if area < 1e-12:
        raise InputError(field="outline", value="no area", need="corners that enclose an area")
    return Quantity(area, "m**2")


@dataclass(frozen=True)
class Filling:
    """What goes into a pocket. poured: with what is left in the cups; parts: mass of each part of the mix."""

    volume: pint.Quantity
    pours: int
    mass: pint.Quantity
    poured: pint.Quantity
    parts: dict[str, pint.Quantity]
    added: pint.Quantity


def filling(
    area: pint.Quantity,
    depth: pint.Quantity,
    *,
    wood_density: pint.Quantity,
    density: pint.Quantity = EPOXY["density"],
    parts: Mapping[str, float] | None = None,
    pour: pint.Quantity = DEFAULT_POUR,
    waste: float = DEFAULT_WASTE,
) -> Filling:
    """Volume, pours, mass of the mix and of each part, and the weight it adds.

    parts  parts by mass, {"resin": 100, "hardener": 45};  pour  deepest pour;  waste  left in cups, over what
           is in the pocket
    """
    parts = dict(parts or {"mix": 1.0})
    if not parts or any(isinstance(p, bool) or not 0 < p < 1e6 for p in parts.values()):
        raise InputError(
            field="parts",
            value=parts,
            need="parts by mass over zero",
            example="{ resin = 100, hardener = 45 }",
        )
    if not 0 <= waste <= 1:
        raise InputError(field="waste", value=waste, need="a part from 0 to 1", example="0.1")
    if not float(magnitude(pour, "m")) > 0:
        raise InputError(field="pour", value=pour, need="a depth over zero", example='"1/2 in"')
    volume = pocket_volume(area, depth)
    mass = fill_mass(volume, density)
    poured = mass * (1 + waste)
    total = float(sum(parts.values()))
    return Filling(
        volume,
        math.ceil(float((depth / pour).to("").magnitude) - 1e-9),
        mass,
        poured,
        {name: part_mass(poured, p=float(p), total=total) for name, p in parts.items()},
        added_mass(volume, rho=density, rho_w=wood_density),
    )


def strength_left(
    width: pint.Quantity, thickness: pint.Quantity, pocket: pint.Quantity, depth: pint.Quantity
) -> float:
    """Bending strength left across a pocket over that of the strip it lies in; the filling counts as
    nothing."""
    sizes = {
        k: float(magnitude(v, "m"))
        for k, v in {"b": width, "t": thickness, "b_p": pocket, "d": depth}.items()
    }
    if not sizes["d"] <= 0.9 * sizes["t"]:
        raise InputError(
            field="depth",
            value=depth,
            need="a pocket that leaves at least a tenth of the thickness",
            example='"3/8 in"',
        )
    if not sizes["b_p"] <= sizes["b"]:
        raise InputError(
            field="pocket", value=pocket, need="a pocket no wider than the strip", example='"3 in"'
        )
    return float(share_left(**sizes))
