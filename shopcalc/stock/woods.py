"""Furniture woods: specific gravity, density at a moisture content, stiffness along and across the grain."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import pint

from shopcalc.errors import InputError
from shopcalc.formula import Within, formula
from shopcalc.stock.tables import nearest_words, rows
from shopcalc.units import Density, Q, Ratio, read_quantity

# Moisture content at which the wall of the wood fibre is full; above it wood no longer swells.
FIBRE_SATURATION = 0.30
WATER = Q(1000, "kg/m**3")


@dataclass(frozen=True)
class Wood:
    """One wood of the list; averages of small clear pieces.

    G_12     specific gravity: ovendry mass over the volume at 12 % moisture
    MOE      stiffness along the grain at 12 %, from bending tests whose sag includes shear: low by about a
             tenth against the true E_L, hence cautious for sag
    MOE_cov  scatter of one piece about the mean (standard deviation over mean)
    ER_EL .. elastic ratios at about 12 %; None where the handbook has none
    """

    name: str
    species: str
    also: tuple[str, ...]
    G_12: float
    MOE: pint.Quantity
    MOE_cov: float
    ER_EL: float | None
    ET_EL: float | None
    GLR_EL: float | None
    GLT_EL: float | None
    mu_LR: float | None
    mu_LT: float | None
    source: str
    provenance: str
    ratios_source: str
    ratios_provenance: str
    note: str = ""

    def density(self, moisture=0.12) -> pint.Quantity:
        """Mass per volume, both at `moisture` (0.07 or Q(7, "percent"); 0 to 30 %)."""
        M = _moisture(moisture)
        G_b = basic_specific_gravity(G_M=self.G_12, M=0.12)
        return density_at_moisture(WATER, G_M=specific_gravity_at_moisture(G_b=G_b, M=M), M=M)


def wood(name: str, field: str = "wood") -> Wood:
    """A wood by its name or another name it goes by. Raises InputError with the nearest names."""
    if not isinstance(name, str):
        raise InputError(field=field, value=name, need="the name of a wood in quotes", example="white oak")
    key = " ".join(name.lower().replace("_", " ").split())
    found = _by_name().get(key)
    if found is None:
        near = nearest_words(key[:60], _by_name(), 4)
        raise InputError(
            field=field,
            value=name,
            need="a wood of the list; nearest: " + ", ".join(near),
            example="white oak",
        )
    return found


def woods() -> tuple[Wood, ...]:
    """Every wood of the list, in its order."""
    return tuple(dict.fromkeys(_by_name().values()))


@lru_cache(maxsize=1)
def _by_name() -> dict[str, Wood]:
    found = {}
    for r in rows("woods.csv"):
        one = _wood(r)
        for word in (one.name, *one.also):
            if word in found:
                raise ValueError(f"woods.csv: {word} stands twice")
            found[word] = one
    return found


def _wood(r: dict[str, str]) -> Wood:
    ratio = {
        k: float(r[k]) if r[k] else None for k in ("ER_EL", "ET_EL", "GLR_EL", "GLT_EL", "mu_LR", "mu_LT")
    }
    return Wood(
        name=r["name"],
        species=r["species"],
        also=tuple(w for w in r["also"].split("|") if w),
        G_12=float(r["G_12"]),
        MOE=read_quantity(r["MOE_12"], "psi", f"woods.csv: {r['name']}"),
        MOE_cov=float(r["MOE_cov"]),
        **ratio,
        source=r["source"],
        provenance=r["provenance"],
        ratios_source=r["ratios_source"],
        ratios_provenance=r["ratios_provenance"],
        note=r["note"],
    )


def _moisture(moisture) -> float:
    if isinstance(moisture, pint.Quantity):
        if not moisture.dimensionless:
            raise InputError(
                field="moisture", value=moisture, need="a moisture content in per cent", example="7 %"
            )
        moisture = moisture.to("").magnitude
    if isinstance(moisture, bool | str) or not 0 <= float(moisture) <= FIBRE_SATURATION:
        raise InputError(
            field="moisture",
            value=moisture,
            need="a moisture content from 0 to 30 % (0 to 0.30)",
            example="Q(7, 'percent')",
        )
    return float(moisture)


_MOIST = Within("M", lambda M: M, 0.0, FIBRE_SATURATION, "wood-handbook-gtr-190, ch. 4")


@formula(symbol="rho", source="wood-handbook-gtr-190, ch. 4, density", valid=(_MOIST,))
def density_at_moisture(rho_w: Density, *, G_M: Ratio, M: Ratio) -> Density:
    """Mass per volume of wood at a moisture content.

    rho_w  density of water
    G_M    specific gravity on the volume at that moisture content
    M      moisture content, mass of water over ovendry mass
    """
    return rho_w * G_M * (1 + M)


@formula(symbol="G_M", source="wood-handbook-gtr-190, ch. 4, specific gravity and moisture", valid=(_MOIST,))
def specific_gravity_at_moisture(*, G_b: Ratio, M: Ratio) -> Ratio:
    """Specific gravity on the volume at moisture content M: the same dry wood in a smaller volume.

    G_b  basic specific gravity, on the green volume
    M    moisture content
    """
    return G_b / (1 - 0.265 * (1 - M / 0.30) * G_b)


@formula(
    symbol="G_b",
    source="wood-handbook-gtr-190, ch. 4, specific gravity and moisture, solved for G_b",
    valid=(_MOIST,),
)
def basic_specific_gravity(*, G_M: Ratio, M: Ratio) -> Ratio:
    """Basic specific gravity behind one measured at a moisture content.

    G_M  specific gravity on the volume at that moisture content
    M    moisture content
    """
    return G_M / (1 + 0.265 * (1 - M / 0.30) * G_M)
