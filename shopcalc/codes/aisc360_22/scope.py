"""A1 and A3: which metals this code covers, and what to say of a wall that is thin.

AISC 360-22 is for carbon steel of the standards listed in table A3.1. Stainless and aluminium have codes of
their own and are refused here. Tube of an unlisted standard, or of none, is computed as a yardstick only and
says so.
"""

from __future__ import annotations

from dataclasses import dataclass

import pint

from shopcalc.check import ASK, OUTSIDE, WITHIN
from shopcalc.errors import OutsideRange
from shopcalc.units import Q, read_length


@dataclass(frozen=True)
class Cover:
    """What the code says of a metal.

    verdict  "within limit" where it is listed, "ask an engineer" where it may be used on an engineer's word
             only, "outside range" where the code does not speak of it
    why      in words; ways: what to do instead;  source, provenance: where that stands
    """

    verdict: str
    why: str
    ways: str = ""
    source: str = "aisc-360-22, A3.1"
    provenance: str = "retrieved"


_LISTED = "listed in table A3.1"
_UNLISTED = ("not listed in table A3.1: AISC 360-22 takes it only where an engineer finds it suitable "
             "(A3.1b); the figures are a yardstick")
_UNKNOWN = ("steel without a certificate: AISC 360-22 allows it only where its failure would not weaken the "
            "whole (A3.1c); the figures rest on the cautious default")
_MEASURE = "a mill certificate of a listed standard, or tests by a laboratory (A3.1)"
_EN = "EN 1993-1-1 is written for it; or " + _MEASURE

# Product standard, as stock/data/products.csv and steels.csv name it -> what the code says.
METALS: dict[str, Cover] = {
    "A36": Cover(WITHIN, _LISTED), "A53": Cover(WITHIN, _LISTED + ", grade B"),
    "A500": Cover(WITHIN, _LISTED + ", grades B, C and D"), "A500-21": Cover(WITHIN, _LISTED),
    "A501": Cover(WITHIN, _LISTED), "A572": Cover(WITHIN, _LISTED), "A992": Cover(WITHIN, _LISTED),
    "A1011": Cover(WITHIN, _LISTED + " as sheet"), "A1065": Cover(WITHIN, _LISTED),
    "A1085": Cover(WITHIN, _LISTED),
    "A513": Cover(ASK, _UNLISTED + "; no strength is guaranteed unless ordered", _MEASURE),
    "A513 type 2": Cover(ASK, _UNLISTED + "; no strength is guaranteed unless ordered", _MEASURE),
    "EN 10219": Cover(ASK, _UNLISTED, _EN), "EN 10305": Cover(ASK, _UNLISTED, _EN),
    "unknown": Cover(ASK, _UNKNOWN, _MEASURE),
    "A554": Cover(OUTSIDE, "stainless steel: its stress-strain curve is round, its buckling and welds differ",
                  "AISC 370, Structural Stainless Steel Buildings; an engineer", "aisc-370, scope", "memory"),
    "B221": Cover(OUTSIDE, "aluminium: a third of the stiffness; half of the strength or more goes at a weld",
                  "Aluminum Design Manual; an engineer", "aluminum-design-manual, scope", "memory"),
}


def cover(product: str) -> Cover:
    """What AISC 360-22 says of the metal of a product standard ("A500", "unknown", "A554"); a standard that
    is not in the table is treated as unlisted."""
    return METALS.get(product, Cover(ASK, _UNLISTED, _MEASURE))


def refuse_other_metals(product: str) -> None:
    """Raises OutsideRange for stainless and aluminium, naming the code that covers them."""
    found = cover(product)
    if found.verdict == OUTSIDE:
        raise OutsideRange(field="AISC 360-22: metal", value=product,
                           need=f"carbon steel ({found.why}); {found.ways}",
                           example="A500 C")


THIN = Q(0.125, "inch")
THIN_WALL = ("Wall under 1/8 in (3.2 mm): hollow sections of a listed steel stay under AISC 360-22 (A1 user note), "
             "but its joint rules stop at B/t = 35, and other cold-formed members go to AISI S100 (not read "
             "here): take the figures as a yardstick and mind dents, welding and tapped threads.")
YARDSTICK = "Furniture is outside the stated purpose of AISC 360-22 (A1: buildings and the like)."


def cautions(product: str, nominal_wall: pint.Quantity | str) -> tuple[str, ...]:
    """Cautions that go with a member of a product and nominal wall."""
    wall = read_length(nominal_wall, "wall") if isinstance(nominal_wall, str) else nominal_wall
    found = cover(product)
    said = () if found.verdict == WITHIN else (f"{found.why}. Way forward: {found.ways}.",)
    return (YARDSTICK, *said, *((THIN_WALL,) if wall < THIN * (1 - 1e-9) else ()))
