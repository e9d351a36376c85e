"""Finish on the top: area of every face and edge, coats, and how much to buy. Both faces get the same."""

from __future__ import annotations

import math
from dataclasses import dataclass

import pint

from shopcalc.errors import InputError
from shopcalc.formula import Within, formula, pi
from shopcalc.units import Area, Count, Length, Q, Ratio, Volume

DEFAULT_COATS, DEFAULT_FILM, DEFAULT_SOLIDS, DEFAULT_TRANSFER = 3, Q(0.0015, "inch"), 0.35, 0.65
# Brush and rag lose little; spraying wastes 35 to 75 % of what is sprayed.
SPRAY = (0.25, 0.65)

BOTH_FACES = (
    "same coats on both faces and all edges: a top that is finished, or dries, on one face alone cups"
)
RAGS = "oily rags heat themselves and burn: into a lidded metal can with water, at once"

_SHARES = (Within("s", lambda s: s, 0.01, 1), Within("e", lambda e: e, 0.01, 1))


@formula(symbol="A", source="geometry, faces and edges of a rectangle")
def area_of_rectangle(*, L: Length, W: Length, t: Length) -> Area:
    """Both faces and four edges of a rectangular top.

    L  length
    W  width
    t  thickness
    """
    return 2 * L * W + 2 * (L + W) * t


@formula(symbol="A", source="geometry, faces and edge of a disc")
def area_of_round(*, D: Length, t: Length) -> Area:
    """Both faces and the edge of a round top.

    D  diameter
    t  thickness
    """
    return pi * D**2 / 2 + pi * D * t


@formula(symbol="A", source="coating-spread, solids over film", valid=_SHARES)
def covered_area(V: Volume, *, s: Ratio, e: Ratio, f: Length) -> Area:
    """Area that an amount of finish covers at a dry film (1604 square feet a gallon at one thousandth, all
    solids, nothing lost).

    V  volume out of the can
    s  solids by volume
    e  transfer: the part that lands on the work
    f  dry film
    """
    return V * s * e / f


@formula(symbol="V", source="coating-spread, solids over film, solved for the volume", valid=_SHARES)
def finish_volume(A: Area, n: Count, *, f: Length, s: Ratio, e: Ratio) -> Volume:
    """Finish to buy for an area.

    A  area
    n  coats
    f  dry film of one coat
    s  solids by volume
    e  transfer: the part that lands on the work
    """
    return n * A * f / (s * e)


@dataclass(frozen=True)
class Finish:
    area: pint.Quantity
    coats: int
    volume: pint.Quantity


def finish(
    *,
    shape: str,
    length: pint.Quantity,
    width: pint.Quantity,
    thickness: pint.Quantity,
    coats: int = DEFAULT_COATS,
    film: pint.Quantity = DEFAULT_FILM,
    solids: float = DEFAULT_SOLIDS,
    transfer: float = DEFAULT_TRANSFER,
) -> Finish:
    """Area and finish of a whole top, both faces and all edges; shape "rectangle" or "round"."""
    if shape not in ("rectangle", "round"):
        raise InputError(field="shape", value=shape, need='"rectangle" or "round"', example="rectangle")
    if isinstance(coats, bool) or coats != math.floor(coats) or not 1 <= coats <= 20:
        raise InputError(field="coats", value=coats, need="1 to 20 coats", example="3")
    area = (
        area_of_round(D=length, t=thickness)
        if shape == "round"
        else area_of_rectangle(L=length, W=width, t=thickness)
    )
    return Finish(area, coats, finish_volume(area, coats, f=film, s=solids, e=transfer))
