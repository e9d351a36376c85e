"""A glued-up top from rough boards: how many, in which stages, board feet to buy, clamps, and the errors that
add up.

Common practice where nothing else is said: trim of an inch on each side and at each end, an eighth of an inch
off every edge for ripping and jointing, a quarter of an inch off the thickness for planing both faces.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import pint

from shopcalc.errors import InputError
from shopcalc.formula import formula
from shopcalc.units import (
    Angle,
    Area,
    Count,
    Force,
    Length,
    Pressure,
    Q,
    Quantity,
    Ratio,
    Volume,
    magnitude,
    show_length,
)

# Rough thickness as it is sold, in quarters of an inch.
QUARTERS = (4, 5, 6, 8, 10, 12, 16)
TRIM, EDGE, PLANING = Q(1.0, "inch"), Q(1 / 8, "inch"), Q(1 / 4, "inch")
PLANER, ROUGH_WIDTH, WASTE = Q(20.0, "inch"), Q(6.5, "inch"), 0.15
CLAMP, CLAMP_APART = Q(1000.0, "lbf"), Q(12.0, "inch")
# Middle of what glue makers ask for, by how hard the wood is (specific gravity from 0.5 up counts as hard).
SOFT, HARD, MOST_PRESSURE = Q(125.0, "psi"), Q(212.5, "psi"), Q(250.0, "psi")

ALTERNATE = "turn every second board over at the fence: the error of its edge cancels its neighbour's"
HEARTS = (
    "flat-sawn boards cup away from the heart as they dry, and the more the wetter they were glued: hearts "
    "all one way make one sweep, "
    "alternated a ripple; rest the boards in the shop before they are jointed"
)
ROUGH_IS_PAID = (
    "board feet are charged on the rough thickness and width; snipe, knots and splits come off what is bought"
)


@formula(symbol="BF", source="board-foot, thickness times width times length")
def bought_volume(*, T: Length, W: Length, L: Length) -> Volume:
    """Volume of a rough board as it is charged; 144 cubic inches are one board foot.

    T  rough thickness
    W  rough width
    L  length
    """
    return T * W * L


@formula(symbol="A", source="geometry, rectangle")
def joint_area(*, t: Length, L: Length) -> Area:
    """Area of one edge joint.

    t  thickness
    L  length of the joint
    """
    return t * L


@formula(symbol="F", source="clamping-pressure, pressure times area")
def clamp_force(p: Pressure, A: Area) -> Force:
    """Force of all clamps together on one joint line: the same force goes through every joint of the panel.

    p  pressure that the glue asks for
    A  area of one joint
    """
    return p * A


@formula(symbol="F_1", source="statics, force shared evenly")
def force_each(F: Force, n: Count) -> Force:
    """Force of one clamp; pounds-force, not psi.

    F  force of all clamps
    n  how many
    """
    return F / n


@formula(symbol="theta", source="geometry, bevelled edges that do not alternate")
def turn_of_joints(*, e: Angle, n: Count) -> Angle:
    """Turn of a panel from one side to the other, where every edge is off square the same way.

    e  error of each edge from square
    n  boards
    """
    return 2 * e * (n - 1)


@formula(symbol="c", source="geometry, turns at even places taken as an arc")
def cup_of_turn(theta: Angle, *, w: Length) -> Length:
    """Cup in the middle of a panel that turns evenly over its width.

    theta  turn from one side to the other
    w      width of the panel
    """
    return theta * w / 8


@formula(symbol="c", source="ring-geometry, ring and ray of a flat-sawn board")
def ring_cup(*, w: Length, r: Length, C_T: Ratio, C_R: Ratio, dM: Ratio) -> Length:
    """Cup of a flat-sawn board that dries, hollow away from the heart; of a whole panel if all hearts look
    one way.

    w    width of the board (or panel)
    r    distance of the board from the heart of the tree, along the ray
    C_T  tangential coefficient per one per cent of moisture
    C_R  radial coefficient
    dM   fall of moisture
    """
    return 100 * (C_T - C_R) * dM * w**2 / (4 * r)


@formula(symbol="o", source="geometry, out of square")
def out_of_square(e: Angle, L: Length) -> Length:
    """How far the far end of a cut is off, for an angle that is off.

    e  error of the angle
    L  length of the cut
    """
    return e * L


def stacked_errors(angles: pint.Quantity, cuts: pint.Quantity) -> tuple[pint.Quantity, pint.Quantity]:
    """Errors of several stages at the far end of the panel: all the same way (worst), and by the root of
    squares (likely).

    angles  (n,) error of the angle of each stage;  cuts  (n,) length of the cut it is made over
    """
    off = np.abs(np.atleast_1d(magnitude(out_of_square(angles, cuts), "m")))
    return Quantity(float(off.sum()), "m"), Quantity(float(np.sqrt((off**2).sum())), "m")


def pressure_for(specific_gravity: float) -> pint.Quantity:
    """Clamping pressure for an edge joint, where the glue's own data sheet is not at hand."""
    return HARD if specific_gravity >= 0.5 else SOFT


# --- plan ----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Plan:
    """How a top is glued up. net: width of a jointed board; stages: boards in each panel that still goes
    through the planer.

    clamps  on the last, longest joint;  force  of all clamps together;  each: of one
    """

    boards: int
    net: pint.Quantity
    rough: pint.Quantity
    quarters: int
    length: pint.Quantity
    glued_width: pint.Quantity
    stages: tuple[int, ...]
    bought: pint.Quantity
    force: pint.Quantity
    clamps: int
    each: pint.Quantity

    @property
    def board_feet(self) -> float:
        return float(self.bought.to("board_foot").magnitude)

    def words(self, system: str = "inch") -> str:
        size = show_length(self.rough, system, "up")
        stage = (
            "in one go"
            if len(self.stages) == 1
            else f"in {len(self.stages)} panels of {', '.join(map(str, self.stages))} boards that "
            "pass the planer, then joined"
        )
        return (
            f"{self.boards} boards {size} wide, rough {self.quarters}/4, "
            f"{show_length(self.length, system, 'up')} long, {stage}; "
            f"{self.board_feet:.0f} board feet to buy"
        )


def quarters_for(thickness: pint.Quantity, planing: pint.Quantity = PLANING) -> int:
    """Rough thickness to buy, in quarters of an inch. Raises InputError beyond the thickest."""
    need = float(magnitude(thickness + planing, "inch"))
    for q in QUARTERS:
        if q / 4 >= need - 1e-9:
            return q
    raise InputError(
        field="thickness",
        value=show_length(thickness),
        example='thickness = "1-3/4 in"',
        need=f"a thickness up to {QUARTERS[-1] / 4 - float(magnitude(planing, 'inch')):g} in from one board; "
        "thicker is laminated",
    )


def plan(
    *,
    length: pint.Quantity,
    width: pint.Quantity,
    thickness: pint.Quantity,
    specific_gravity: float,
    rough_width: pint.Quantity = ROUGH_WIDTH,
    planer: pint.Quantity = PLANER,
    trim: pint.Quantity = TRIM,
    edge: pint.Quantity = EDGE,
    planing: pint.Quantity = PLANING,
    waste: float = WASTE,
    clamp: pint.Quantity = CLAMP,
    pressure: pint.Quantity | None = None,
) -> Plan:
    """Boards, stages, board feet and clamps of a top of a finished size.

    rough_width  of the boards as bought;  planer  its widest pass;  waste  part of what is bought that is cut
                 away for defects
    clamp        what one clamp gives
    """
    if not 0 <= waste < 1:
        raise InputError(field="waste", value=waste, need="a part from 0 to 1", example="0.15")
    net = rough_width - 2 * edge
    if not float(magnitude(net, "inch")) > 1:
        raise InputError(
            field="rough_width",
            value=show_length(rough_width),
            need="boards that leave over an inch when jointed",
            example="6 in",
        )
    glued = width + 2 * trim
    boards = math.ceil(float((glued / net).to("").magnitude) - 1e-9)
    per = int(float((planer / net).to("").magnitude) + 1e-9)
    if per < 1:
        raise InputError(
            field="planer",
            value=show_length(planer),
            need="a planer at least as wide as one jointed board",
            example="20 in",
        )
    panels = math.ceil(boards / per)
    stages = tuple(boards // panels + (i < boards % panels) for i in range(panels))
    quarters = quarters_for(thickness, planing)
    long = length + 2 * trim
    bought = boards * bought_volume(T=Q(quarters / 4, "inch"), W=rough_width, L=long) / (1 - waste)
    pressure = pressure_for(specific_gravity) if pressure is None else pressure
    if pressure > MOST_PRESSURE:
        raise InputError(
            field="pressure",
            value=pressure,
            need="at most 250 psi: more starves the joint of glue",
            example="Q(200, 'psi')",
        )
    # glued before the last planing: the joint is as thick as the rough board, cautiously
    force = clamp_force(pressure, joint_area(t=Q(quarters / 4, "inch"), L=long))
    clamps = max(
        2,
        math.ceil(float((force / clamp).to("").magnitude) - 1e-9),
        math.ceil(float((long / CLAMP_APART).to("").magnitude) - 1e-9),
    )
    return Plan(
        boards,
        net,
        rough_width,
        quarters,
        long,
        glued,
        stages,
        bought,
        force,
        clamps,
        force_each(force, clamps),
    )
