"""What laying the weld takes: passes, filler, time at the arc, heat, what it will shrink, vents for closed tube.

Times and shares of filler are common practice of a small shop and say so; shrinkage is an allowance, not a result.
Volts, amps and travel that a job leaves out take named defaults of the process: volts and amps of a published
condition for thin plate, travel from the filler laid and the deposition rate, so that time, filler and heat agree.
Formulas take and return quantities.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated

import numpy as np
import pint

from shopcalc.errors import InputError
from shopcalc.formula import formula, pi
from shopcalc.joints.welds import DATA, INCH
from shopcalc.units import (
    Area,
    Count,
    Declared,
    Density,
    Length,
    Mass,
    MassPerLength,
    Q,
    Quantity,
    Ratio,
    magnitude,
    read_any,
    read_quantity,
)

HeatPerLength = Annotated[pint.Quantity, Declared("N", "a heat per length", "Q(0.8, 'kJ/mm')")]
Power = Annotated[pint.Quantity, Declared("N*m/s", "a power", "Q(3000, 'W')")]
Time = Annotated[pint.Quantity, Declared("s", "a time", "Q(90, 's')")]
Speed = Annotated[pint.Quantity, Declared("m/s", "a speed of travel", "Q(5, 'mm/s')")]

DENSITY = Q(0.283, "lb/in**3")
ONE_PASS = 5 / 16 * INCH  # a leg to 5/16 in is laid in one pass; each further pass adds about 3/16 in
HEAT_WORDS = (
    "heat input, both conventions side by side: US codes take the arc energy, volts times amps over travel speed, all of it; "
    "EN 1011-1 multiplies it by the efficiency of the arc (GTAW 0.6, GMAW, FCAW and SMAW 0.8): say which one a procedure means"
)
HEAT_BY_HAND = (
    "the heat stands for the bead as asked: a fatter bead or a slower hand takes more. Time the welder over a measured length "
    "and read both meters, then write volts, amps and travel to the joint"
)
SHRINKS = (
    "an allowance, not a result: welds shrink about 0.8 mm (1/32 in) across each fillet and as much in 3 m (10 ft) along; the "
    "source itself calls accurate prediction almost impossible. Tack, clamp, weld in turns, measure the diagonals"
)
VENT = (
    "vent every closed tube before the closing weld: a hole of at least 1/4 in (7 mm) for powder; for galvanizing "
    "at both ends, a quarter "
    "of the diagonal of the section and at least 10 mm: trapped air or water bursts walls"
)
COATED = (
    "powder cures by the temperature of the metal: heavy plate on thin tube cures unevenly; mask threads "
    "and faces that are "
    "bolted together"
)
PREHEAT = "thin tube: no preheat by the usual tables; clean to bright metal, no zinc where the arc goes"


@formula(symbol="A_w", source="weld-geometry, triangle of an equal-leg fillet without reinforcement")
def fillet_area(w: Length) -> Area:
    """Cross-section of a flat fillet with equal legs.

    w  leg
    """
    return w**2 / 2


@formula(symbol="A_w", source="weld-geometry, between a flat and a quarter circle, filled flush")
def flare_area(R: Length) -> Area:
    """Cross-section of the fill between a flat and the round corner of a tube.

    R  outside radius of the corner
    """
    return R**2 * (1 - pi / 4)


@formula(symbol="m", source="geometry, volume times density")
def mass_per_length(A_w: Area, rho: Density) -> MassPerLength:
    """Mass of weld per length.

    A_w  cross-section of the weld
    rho  density of the metal
    """
    return A_w * rho


@formula(symbol="m_w", source="geometry, volume times density")
def weld_mass(m: MassPerLength, L: Length) -> Mass:
    """Mass of a weld.

    m  mass per length
    L  length of the weld
    """
    return m * L


@formula(symbol="Q", source="twi-heat-input, definition of arc energy")
def arc_energy(P: Power, v: Speed) -> HeatPerLength:
    """Arc energy per length: what US codes call heat input.

    P  volts times amps
    v  speed of travel
    """
    return P / v


@formula(symbol="Q_net", source="twi-heat-input, EN 1011-1")
def heat_input(eta: Ratio, Q: HeatPerLength) -> HeatPerLength:
    """Heat input per length as EN 1011-1 says it: what of the arc energy reaches the work.

    eta  efficiency of the arc
    Q    arc energy per length
    """
    return eta * Q


@formula(symbol="v", source="geometry, way over time")
def travel_speed(*, L: Length, n: Count, t: Time) -> Speed:
    """Speed of travel: every pass over the length, in the time at the arc.

    L  length of the weld
    n  passes
    t  time at the arc
    """
    return L * n / t


@formula(symbol="A_w", source="shop-practice, gap filled through the wall and a cap like a fillet of the wall")
def butt_area(*, t: Length, g: Length) -> Area:
    """Cross-section of a square butt in tube.

    t  wall
    g  gap between the ends
    """
    return g * t + t**2 / 2


@formula(symbol="d", source="galvanizing-vents, size of vent holes")
def galvanizing_vent(D: Length) -> Length:
    """Hole for galvanizing at either end of a closed tube (never under 10 mm).

    D  diagonal of the section, or diameter
    """
    return 0.25 * D


@lru_cache(maxsize=1)
def _table() -> dict[tuple[str, str], dict[str, str]]:
    with open(DATA / "welding.csv", newline="", encoding="utf-8") as file:
        return {(r["what"], r["process"]): r for r in csv.DictReader(file)}


def _value(what: str, process: str):
    rows = [p for w, p in _table() if w == what]
    if process not in rows:
        raise InputError(field=what, value=process, need="one of " + ", ".join(rows), example=rows[0])
    return read_any(_table()[what, process]["value"], "welding.csv")


def where_from(made: Laying) -> str:
    """Where the volts and amps that nobody said come from, in words."""
    told = []
    for what in ("volts", "amps"):
        if what in made.assumed:
            row = _table()[what, made.process]
            told.append(f"{what} as for {row['source'].split(', ', 1)[1]} ({row['provenance']})")
    return "".join(f"; {words}" for words in told)


def arc_efficiency(process: str) -> float:
    """Efficiency of the arc by EN 1011-1, relative to submerged arc."""
    return float(_value("arc efficiency", process))


def shrinkage_allowance(way: str) -> pint.Quantity:
    """Allowance: "transverse fillet", "transverse butt", "longitudinal fillet per 3 m" or "longitudinal butt per 3 m"."""
    return _value("shrinkage", way)


@dataclass(frozen=True)
class Shrinkage:
    """Allowances, not results: across one joint, and along a weld of a length."""

    across: pint.Quantity
    along: pint.Quantity


def shrinkage(length: pint.Quantity, *, butt: bool = False) -> Shrinkage:
    """What a joint pulls together across its weld, and what a weld of this length shortens along it."""
    kind = "butt" if butt else "fillet"
    per_length = shrinkage_allowance(f"longitudinal {kind} per 3 m") / Q(3, "m")
    return Shrinkage(shrinkage_allowance(f"transverse {kind}"), (per_length * length).to("mm"))


@lru_cache(maxsize=1)
def _currents() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    with open(DATA / "gtaw_currents.csv", newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    return tuple(
        np.array([float(magnitude(read_quantity(r[c], u, "gtaw_currents.csv"), u)) for r in rows])
        for c, u in (("wall", "mm"), ("least", "A"), ("most", "A"))
    )


@dataclass(frozen=True)
class Current:
    least: pint.Quantity
    most: pint.Quantity


def gtaw_current(t: pint.Quantity) -> Current:
    """Typical range of current for a GTAW fillet in carbon steel, DCEN, between the rows by straight lines.
    Outside
    1.6 to 6 mm: InputError. A start, not a limit; stainless runs a little lower."""
    walls, low, high = _currents()
    mm = float(magnitude(t, "mm"))
    if not walls[0] * (1 - 1e-9) <= mm <= walls[-1] * (1 + 1e-9):
        raise InputError(
            field="gtaw_current: t", value=f"{t:~P}", need="a wall of 1.6 to 6 mm", example="Q(3, 'mm')"
        )
    return Current(Q(float(np.interp(mm, walls, low)), "A"), Q(float(np.interp(mm, walls, high)), "A"))


def passes(leg) -> np.ndarray:
    """Passes for a leg (m): one to 5/16 in, then one more for every 3/16 in. Common practice. (n,)"""
    over = np.asarray(leg, float) - ONE_PASS
    return np.where(over <= 1e-9, 1, 1 + np.ceil(np.maximum(over, 0) / (3 / 16 * INCH) - 1e-9)).astype(int)


@dataclass(frozen=True)
class Laying:
    """Laying welds of one size and process: quantities. arc_energy: heat input as US codes say it; heat_input: as EN
    1011-1 says it. assumed: which of volts, amps and travel were not said."""

    length: pint.Quantity
    passes: int
    deposited: pint.Quantity
    bought: pint.Quantity
    arc_time: pint.Quantity
    work_time: pint.Quantity
    operating_factor: float
    process: str
    volts: pint.Quantity
    amps: pint.Quantity
    travel: pint.Quantity
    arc_energy: pint.Quantity
    heat_input: pint.Quantity
    assumed: tuple[str, ...]

    @property
    def power(self) -> pint.Quantity:
        return (self.volts * self.amps).to("W")

    @property
    def deposition_rate(self) -> pint.Quantity:
        return (self.deposited / self.arc_time).to("lb/h")


def laying(
    length: pint.Quantity,
    leg: pint.Quantity | None,
    process: str = "GMAW",
    *,
    wall: pint.Quantity | None = None,
    operating_factor: float | None = None,
    volts: pint.Quantity | None = None,
    amps: pint.Quantity | None = None,
    travel: pint.Quantity | None = None,
    fill: pint.Quantity | None = None,
) -> Laying:
    """Filler, time and heat for a length of fillet of one leg, or (leg None) of a square butt in a wall.

    fill                 mass laid first to fill round corners, with its own time at the arc
    operating_factor     time at the arc over time at the bench; left out: common practice of a small shop
    volts, amps, travel  as the welder sets and moves; left out: named defaults of the process, travel from the
                         deposition rate. Where travel is said the time follows from it
    A tenth is added to the flat triangle of a fillet for the crown. A butt is filled at the widest gap.
    """
    if operating_factor is not None and not 0.02 <= operating_factor <= 1:
        raise InputError(
            field="operating_factor", value=operating_factor, need="a share from 0.02 to 1", example="0.25"
        )
    if (leg is None) == (wall is None):
        raise InputError(field="laying: leg", value=leg, need="the leg of a fillet, or None and the wall of a butt",
                         example="laying(Q(1, 'm'), None, wall=Q(3, 'mm'))")
    factor = (
        float(_value("operating factor", process)) if operating_factor is None else float(operating_factor)
    )
    n = int(passes(float(magnitude(wall if leg is None else leg, "m"))))
    area = butt_area(t=wall, g=WIDEST_GAP) if leg is None else fillet_area(leg) * CROWN
    m = weld_mass(mass_per_length(area, DENSITY), length).to("lb")
    arc = (m / _value("deposition rate", process)).to("min") if travel is None else (length * n / travel).to("min")
    given = {"volts": volts, "amps": amps, "travel": travel}
    volts, amps = (_value(what, process) if given[what] is None else given[what] for what in ("volts", "amps"))
    travel = travel_speed(L=length, n=n, t=arc) if travel is None else travel
    energy = arc_energy((volts * amps).to("W"), travel)
    if fill is not None:
        m, arc = (m + fill).to("lb"), (arc + fill / _value("deposition rate", process)).to("min")
    return Laying(
        length=length,
        passes=n,
        deposited=m,
        bought=m / float(_value("deposited of bought", process)),
        arc_time=arc,
        work_time=arc / factor,
        operating_factor=factor,
        process=process,
        volts=volts,
        amps=amps,
        travel=travel,
        arc_energy=energy,
        heat_input=heat_input(arc_efficiency(process), energy),
        assumed=tuple(what for what, size in given.items() if size is None),
    )


WIDEST_GAP = Q(1 / 16, "in")  # common practice, as the cards ask
CROWN = 1.10  # common practice


def vent_hole(width: pint.Quantity, height: pint.Quantity, finish: str) -> pint.Quantity:
    """Least diameter of the vent and drain hole of a closed tube: "powder", or "galvanizing" (at both ends)."""
    if finish == "powder":
        return Q(0.25, "in")
    if finish != "galvanizing":
        raise InputError(
            field="vent_hole: finish", value=finish, need='"powder" or "galvanizing"', example='"powder"'
        )
    w, h = (float(magnitude(v, "m")) for v in (width, height))
    return max(galvanizing_vent(Quantity(float(np.hypot(w, h)), "m")).to("mm"), Q(10.0, "mm"))
