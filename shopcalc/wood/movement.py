"""How much the wood moves: moisture from the air, width change both ways, slots, and what must not hold it.

Moisture contents are mass of water over ovendry mass: 0.08 or Q(8, "percent"). Growth is positive, shrinkage
negative. Across the grain "flat" boards move by the tangential coefficient, "quarter" boards by the radial
one; "mixed" counts as flat, which is the larger.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np
import pint

from shopcalc.errors import InputError
from shopcalc.formula import Formula, Within, formula, frac
from shopcalc.units import Declared, Length, Q, Quantity, Ratio, Stress, magnitude

Percent = Annotated[pint.Quantity, Declared("percent", "a moisture content in per cent", "Q(8, 'percent')")]

FIBRE_SATURATION = 0.30
# Table 13-5 holds between these; beyond them total shrinkage (equation 13-3) is used.
COEFFICIENTS_HOLD = (0.06, 0.14)
# Dry south-west to damp coasts; most of the country lies at 8 %. Used where a job does not say how its room
# is.
DEFAULT_DRIEST, DEFAULT_DAMPEST = 0.06, 0.11
SEASONS_SOURCE = "wood-handbook-gtr-190, ch. 13, recommended average moisture content of interiors"
CUTS = ("flat", "quarter", "mixed")

HYSTERESIS = (
    "wood that dries stands 1 to 4 points of moisture above wood that wets at the same humidity: tenths of a "
    "per cent only "
    "show a trend; humidity governs, temperature hardly matters"
)
ARRIVES = (
    "moisture on arrival is not moisture in the shop: an unheated hold adds about 1.5 points, an open deck "
    "up to 7, a wrapped "
    "package at most 0.2 a month; measure again at site before a top is declared flat or fitted"
)
REAL_BOARDS = (
    "real boards lie between flat and quarter sawn: the width estimate comes out high, the "
    "thickness estimate low"
)
LOOSE_SCREWS = (
    "screws snug, not tight, with a washer that slides: an over-tightened screw or a glued batten "
    "turns a slot into a restraint"
)
ACROSS_ONLY = (
    "slots run across the grain only: along the grain wood moves by a tenth to a fifth of one per "
    "cent from green to ovendry"
)


# --- moisture from the air -----------------------------------------------------------------------

_AIR = (
    Within("T in degrees F", lambda T: T, 30, 270, "wood-handbook-gtr-190, table 4-2"),
    Within("h", lambda h: h, 0, 0.98, "wood-handbook-gtr-190, table 4-2"),
)


@formula(symbol="T", source="temperature-scales, degrees Fahrenheit and Celsius")
def fahrenheit(T_C: Ratio) -> Ratio:
    """Temperature in degrees Fahrenheit, as a plain number.

    T_C  temperature in degrees Celsius, as a plain number
    """
    return frac(9, 5) * T_C + 32


@formula(symbol="EMC", source="wood-handbook-gtr-190, equation 4-5", valid=_AIR)
def moisture_in_air(*, T: Ratio, h: Ratio) -> Percent:
    """Moisture content that wood settles at in still air (Hailwood and Horrobin, two hydrates).

    T  temperature in degrees Fahrenheit, as a plain number
    h  relative humidity, 0 to 0.98
    """
    W = 330 + 0.452 * T + 0.00415 * T**2
    K = 0.791 + 0.000463 * T - 0.000000844 * T**2
    K1 = 6.34 + 0.000775 * T - 0.0000935 * T**2
    K2 = 1.09 + 0.0284 * T - 0.0000904 * T**2
    return (
        1800
        / W
        * (
            K * h / (1 - K * h)
            + (K1 * K * h + 2 * K1 * K2 * K**2 * h**2) / (1 + K1 * K * h + K1 * K2 * K**2 * h**2)
        )
    )


def settles_at(temperature: pint.Quantity, humidity) -> pint.Quantity:
    """Moisture content (per cent) of wood in air of a temperature, Q(70, "degF") or Q(21, "degC"), and a
    relative humidity."""
    if not isinstance(temperature, pint.Quantity) or not temperature.check("[temperature]"):
        raise InputError(
            field="settles_at: temperature",
            value=temperature,
            need="a temperature on its scale",
            example="Q(70, 'degF')",
        )
    if "degF" in f"{temperature.units:~}" or "°F" in f"{temperature.units:~}":
        T = float(temperature.magnitude)
    else:
        T = fahrenheit(T_C=float(temperature.to("degC").magnitude))
    return moisture_in_air(T=T, h=humidity)


# --- width change --------------------------------------------------------------------------------


def _in_table(word: str, of) -> Within:
    return Within(word, of, *COEFFICIENTS_HOLD, "wood-handbook-gtr-190, table 13-5")


@formula(
    symbol="dD",
    source="wood-handbook-gtr-190, equation 13-2",
    valid=(_in_table("M_I", lambda M_I: M_I), _in_table("M_F", lambda M_F: M_F)),
)
def width_change(D: Length, *, C: Ratio, M_I: Ratio, M_F: Ratio) -> Length:
    """Change of a size across the grain between two moistures from 6 to 14 %.

    D    size at the first moisture
    C    dimensional change coefficient per one per cent of moisture, tangential or radial
    M_I  moisture at first
    M_F  moisture in the end
    """
    return 100 * C * D * (M_F - M_I)


def _in_wood(word: str, of) -> Within:
    return Within(word, of, 0, FIBRE_SATURATION, "wood-handbook-gtr-190, ch. 13: no change above 30 %")


@formula(
    symbol="dD",
    source="wood-handbook-gtr-190, equation 13-3",
    valid=(
        _in_wood("M_I", lambda M_I: M_I),
        _in_wood("M_F", lambda M_F: M_F),
        Within("S", lambda S: S, 0.001, 0.2),
    ),
)
def width_change_any(D: Length, *, S: Ratio, M_I: Ratio, M_F: Ratio) -> Length:
    """Change of a size across the grain between any two moistures up to 30 %, from total shrinkage.

    D    size at the first moisture
    S    shrinkage from green to ovendry, tangential or radial
    M_I  moisture at first
    M_F  moisture in the end
    """
    return D * (M_F - M_I) / (0.3 / S - 0.3 + M_I)


@formula(
    symbol="dD",
    source="trade-shrinkage, total shrinkage over thirty points",
    valid=(
        _in_wood("M_I", lambda M_I: M_I),
        _in_wood("M_F", lambda M_F: M_F),
        Within("S", lambda S: S, 0.0005, 0.2),
    ),
)
def width_change_rough(D: Length, *, S: Ratio, M_I: Ratio, M_F: Ratio) -> Length:
    """The rule of the trade: an even share of total shrinkage for every point of moisture. Also for the
    length of a board.

    D    size
    S    shrinkage from green to ovendry in that direction
    M_I  moisture at first
    M_F  moisture in the end
    """
    return D * S * (M_F - M_I) / 0.3


LENGTHWISE = 0.002  # upper end of 0.1 to 0.2 % (traps of the trade; AWC): green to ovendry, along the grain


@dataclass(frozen=True)
class Movement:
    """How a size across the grain moves between build and its driest and dampest season.

    shrink, swell  both positive, in the unit of `size`; per_size: the same over the size
    line           the formula that was used, with its arguments: shrink first, then swell
    """

    size: pint.Quantity
    built: float
    driest: float
    dampest: float
    shrink: pint.Quantity
    swell: pint.Quantity
    formula: Formula
    arguments: tuple[dict, dict]
    cautions: tuple[str, ...]

    @property
    def shrink_part(self) -> float:
        return float((self.shrink / self.size).to("").magnitude)

    @property
    def swell_part(self) -> float:
        return float((self.swell / self.size).to("").magnitude)

    @property
    def range(self) -> pint.Quantity:
        return self.shrink + self.swell

    def lines(self, system: str = "inch"):
        """Worked lines of what is not nought."""
        return tuple(self.formula.worked(**a, system=system) for a in self.arguments if a["M_I"] != a["M_F"])


def movement(size: pint.Quantity, *, built, driest, dampest, C: float | None, S: float | None) -> Movement:
    """Shrinkage and swelling of a size across the grain, from the build moisture to the driest and dampest.

    C  coefficient of table 13-5 (per one per cent), S  total shrinkage: the first is used while every
       moisture lies from 6 to 14 %, else
    the second. Raises InputError where the needed one is not known, or the moistures are not in order.
    """
    built, driest, dampest = (
        _moisture(n, v) for n, v in (("built", built), ("driest", driest), ("dampest", dampest))
    )
    if not driest <= dampest:
        raise InputError(
            field="driest",
            value=f"{driest:.3g}",
            need=f"a moisture up to the dampest, {dampest:.3g}",
            example="6 %",
        )
    inside = all(
        COEFFICIENTS_HOLD[0] - 1e-12 <= m <= COEFFICIENTS_HOLD[1] + 1e-12 for m in (built, driest, dampest)
    )
    cautions = [REAL_BOARDS]
    if inside and C is not None:
        made, given = width_change, {"C": float(C)}
    elif S is not None:
        made, given = width_change_any, {"S": float(S)}
        if not inside:
            cautions.append(
                "a moisture outside 6 to 14 %: total shrinkage (equation 13-3) in place of the coefficients"
            )
    else:
        raise InputError(
            field="S" if not inside else "C",
            value=None,
            need="total shrinkage of the wood: its coefficients hold from 6 to 14 % only"
            if not inside
            else "a coefficient of dimensional change, or total shrinkage, of the wood",
            example="S=0.105",
        )
    ways = tuple({"D": size, **given, "M_I": built, "M_F": m} for m in (driest, dampest))
    shrink, swell = (made(**w) for w in ways)
    zero = 0 * size
    return Movement(
        size,
        built,
        driest,
        dampest,
        max(-shrink, zero).to(size.units),
        max(swell, zero).to(size.units),
        made,
        ways,
        tuple(cautions),
    )


def coefficient(C_R: float | None, C_T: float | None, cut: str = "mixed") -> float | None:
    """The radial coefficient for quarter-sawn boards, the tangential one for all others."""
    if cut not in CUTS:
        raise InputError(field="cut", value=cut, need=", ".join(CUTS), example="flat")
    return C_R if cut == "quarter" else C_T


def _moisture(name: str, value) -> float:
    if isinstance(value, pint.Quantity) and value.dimensionless:
        value = value.to("").magnitude
    if isinstance(value, bool | str | pint.Quantity) or not 0 <= float(value) <= FIBRE_SATURATION:
        raise InputError(
            field=name, value=value, need="a moisture content from 0 to 30 %", example="Q(8, 'percent')"
        )
    return float(value)


# --- on the way ----------------------------------------------------------------------------------

# How it travels -> points of moisture that dry wood takes up; the last one per month.
GAINS = {"ship's hold": 0.015, "open deck": 0.07, "wrapped, per month": 0.002}
TRANSIT_SOURCE = "wood-handbook-gtr-190, ch. 13, moisture control during transit and storage"
FURNITURE_STOCK = (0.06, 0.08)


def gain_on_the_way(way: str, months: float = 1.0) -> pint.Quantity:
    """Moisture that dry wood takes up on the way, at most (per cent). ways: "ship's hold", "open deck",
    "wrapped, per month"."""
    if way not in GAINS:
        raise InputError(field="way", value=way, need=", ".join(GAINS), example="ship's hold")
    if not 0 <= months <= 60:
        raise InputError(field="months", value=months, need="0 to 60 months", example="2")
    return Quantity(100 * GAINS[way] * (months if way.startswith("wrapped") else 1.0), "percent")


def on_arrival(built, way: str, months: float = 1.0) -> float:
    """Moisture on arrival, at most; never over fibre saturation."""
    return min(
        _moisture("built", built) + float(gain_on_the_way(way, months).to("").magnitude), FIBRE_SATURATION
    )


def furniture_moisture(which: str) -> pint.Quantity:
    """Moisture at which lumber for furniture is ordered, "low" or "high" (per cent)."""
    if which not in ("low", "high"):
        raise InputError(field="which", value=which, need='"low" or "high"', example="low")
    return Quantity(100 * FURNITURE_STOCK[which == "high"], "percent")


# --- slots ---------------------------------------------------------------------------------------


@formula(symbol="s", source="geometry, slot for a screw that travels")
def slot_length(*, d: Length, y: Length, e_s: Ratio, e_w: Ratio, c: Length) -> Length:
    """Length of the slot in the steel for a screw that goes with the wood.

    d    diameter of the screw
    y    distance of the screw from the fixed line, across the grain
    e_s  shrinkage from build to driest, over the size
    e_w  swelling from build to dampest, over the size
    c    room to spare at each end
    """
    return d + y * (e_s + e_w) + 2 * c


@formula(symbol="o", source="geometry, slot for a screw that travels")
def slot_outward(*, d: Length, y: Length, e_w: Ratio, c: Length) -> Length:
    """From the middle of the screw, as built, to the end of its slot on the side away from the fixed line.

    d    diameter of the screw
    y    distance of the screw from the fixed line, across the grain
    e_w  swelling from build to dampest, over the size
    c    room to spare at each end
    """
    return d / 2 + y * e_w + c


DEFAULT_CLEARANCE = Q(1 / 16, "inch")  # each end; common practice


@dataclass(frozen=True)
class Slot:
    """One row of screws: where it stands from the fixed line (positive), the slot it needs, and how much of
    it lies outward."""

    place: pint.Quantity
    length: pint.Quantity
    outward: pint.Quantity


def slots(
    places: pint.Quantity,
    screw: pint.Quantity,
    moves: Movement,
    *,
    fixed: pint.Quantity | None = None,
    clearance: pint.Quantity = DEFAULT_CLEARANCE,
) -> tuple[Slot, ...]:
    """A slot for every row of screws across the grain; the row on the fixed line needs a hole only.

    places  (n,) places of the rows across the grain; fixed: the place that stays (the middle of the rows if
            left out)
    """
    rows = np.atleast_1d(np.asarray(magnitude(places, "m"), float))
    stays = float((rows.min() + rows.max()) / 2) if fixed is None else float(magnitude(fixed, "m"))
    found = []
    for y in rows:
        away = Quantity(abs(float(y) - stays), "m")
        given = {"d": screw, "y": away, "c": clearance}
        found.append(
            Slot(
                away,
                slot_length(**given, e_s=moves.shrink_part, e_w=moves.swell_part),
                slot_outward(**given, e_w=moves.swell_part),
            )
        )
    return tuple(found)


@formula(symbol="s", source="geometry, groove for a bar let in across the grain")
def groove_length(*, L: Length, e_s: Ratio, c: Length) -> Length:
    """Length of the groove for a bar or batten let in across the grain: the wood shrinks past the ends of the
    bar.

    L    length of the bar
    e_s  shrinkage from build to driest, over the size
    c    room to spare at each end
    """
    return L / (1 - e_s) + 2 * c


# --- what must not hold it -----------------------------------------------------------------------


@formula(symbol="sigma", source="statics, strain that is prevented")
def held_stress(E: Stress, *, e: Ratio) -> Stress:
    """Stress across the grain of wood that is held at its size while it wants to change: elastic, before any
    relief by creep.

    E  stiffness across the grain
    e  change that is prevented, over the size
    """
    return E * e


@formula(symbol="dM", source="statics, strain that is prevented")
def drop_that_splits(*, f_t: Stress, E: Stress, C: Ratio) -> Ratio:
    """Fall of moisture at which wood held at its full width splits, by the elastic stress.

    f_t  tension strength across the grain
    E    stiffness across the grain
    C    dimensional change coefficient per one per cent of moisture
    """
    return f_t / (100 * C * E)


# What holds a top across its whole width -> why.
RESTRAINTS = {
    "rigid": "hold-downs that cannot slide, over the width of the top",
    "glued batten": "a batten or bar glued or tightly screwed across the grain",
    "glued breadboard": "breadboard ends glued over their length: long grain against the end grain of the top",
    "mitred frame": "a frame mitred and glued round a solid panel",
    "welded frame": "a steel frame that the edge of the top is fitted tight into",
}


@dataclass(frozen=True)
class Restraint:
    """Why a top must not be held so. stress and strength None where the wood has no published value;
    splits_at: fall in moisture."""

    kind: str
    words: str
    stress: pint.Quantity | None
    strength: pint.Quantity | None
    splits_at: float | None


def restraint(
    kind: str, moves: Movement, *, E: pint.Quantity | None, f_t: pint.Quantity | None, C: float | None
) -> Restraint:
    """A hold over the whole width, always refused: what it would stress the wood to, and at what fall in
    moisture it splits."""
    if kind not in RESTRAINTS:
        raise InputError(field="kind", value=kind, need=", ".join(RESTRAINTS), example="rigid")
    stress = None if E is None else held_stress(E, e=moves.shrink_part)
    splits = None if None in (E, f_t, C) else drop_that_splits(f_t=f_t, E=E, C=C)
    words = (
        f"{RESTRAINTS[kind]}: the top cannot shrink by {moves.shrink_part:.2%} of its width and splits, "
        f"nor swell by {moves.swell_part:.2%} and bows, or it breaks what holds it"
    )
    return Restraint(kind, words, stress, f_t, splits)


def battens(
    width: pint.Quantity,
    moves: Movement,
    screws: int,
    screw: pint.Quantity,
    *,
    clearance: pint.Quantity = DEFAULT_CLEARANCE,
) -> tuple[Slot, ...]:
    """Slots of a batten or breadboard end across the grain: `screws` (or pegs) at even distance, the middle
    one fixed."""
    if isinstance(screws, bool) or not isinstance(screws, int) or not 1 <= screws <= 40:
        raise InputError(field="screws", value=screws, need="a whole number from 1 to 40", example="5")
    half = float(magnitude(width, "m")) / 2
    rows: Sequence[float] = np.linspace(-half, half, screws) if screws > 1 else [0.0]
    return slots(Quantity(np.asarray(rows), "m"), screw, moves, fixed=Q(0.0, "m"), clearance=clearance)
