"""Groups of bolts: forces of each bolt, and what fails first.

Forces of a group by the elastic vector: a force and moments in the plane of the holes give shear, a pull and
moments out of it give
tension, turning about the middle of the group. That gives the verdict. The instantaneous centre, which
counts that bolts
yield before they break, stands beside it for shear in plane.

The plate meets a tube's face: coordinates x across the face, y along the tube.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shopcalc.errors import InputError
from shopcalc.formula import formula
from shopcalc.units import Angle, Force, Length, Moment, Ratio

CAUTIONS = (
    (
        "Bolts in clearance holes slip into bearing before they carry shear: that play stands in the frame"
        " with soft joints."
    ),
)


def pattern(count: int, across: float, along: float) -> np.ndarray:
    """Places of the bolts of a joint (m), (count, 2) about their middle: 1 in the middle; 2 one above the
    other along the tube;
    3 a triangle; 4 the corners; 6 and 8 two rows along the tube. across, along: between the outermost
    holes."""
    x, y = across / 2, along / 2
    if count == 1:
        return np.zeros((1, 2))
    if count == 2:
        return np.array([[0.0, -y], [0.0, y]])
    if count == 3:
        return np.array([[-x, -y], [x, -y], [0.0, y]]) - [0.0, -y / 3]
    if count in (4, 6, 8):
        rows = np.linspace(-y, y, count // 2)
        return np.array([[side, row] for side in (-x, x) for row in rows])
    raise InputError(field="bolts", value=count, need="1, 2, 3, 4, 6 or 8", example="4")


@formula(symbol="v", source="weld-as-line, the same sum over bolts: direct share")
def direct_share(*, V: Force, n: Ratio) -> Force:
    """Share of one bolt in a force.

    V  force on the group
    n  bolts
    """
    return V / n


@dataclass(frozen=True)
class BoltForces:
    """Per bolt, (cases, bolts): shear, and tension (0 where the bolt is pressed)."""

    shear: np.ndarray
    tension: np.ndarray


def elastic(places, *, P=0.0, V_x=0.0, V_y=0.0, M_x=0.0, M_y=0.0, T=0.0) -> BoltForces:
    """Array kernel: forces of each bolt of a group by the elastic vector, cases first. P pulls the plate
    off, V_x and V_y lie in
    it, M_x turns about the x axis (bolts above and below), M_y about the y axis, T in the plane. A moment
    that no bolt of the
    pattern can hold (one bolt, or all in one line) gives inf."""
    places = np.asarray(places, float) - np.mean(np.asarray(places, float), axis=0)
    x, y = places.T
    n = len(places)
    P, V_x, V_y, M_x, M_y, T = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(v, float)) for v in (P, V_x, V_y, M_x, M_y, T))
    )

    def turned(moment, arm, square):
        asked = np.abs(moment) > 1e-9
        with np.errstate(divide="ignore", invalid="ignore"):
            return np.where(asked[:, None], moment[:, None] * arm / square if square > 1e-12 else np.inf, 0.0)

    polar = float((x**2 + y**2).sum())
    s_x = V_x[:, None] / n - turned(T, y, polar)
    s_y = V_y[:, None] / n + turned(T, x, polar)
    pull = P[:, None] / n + turned(M_x, y, float((y**2).sum())) - turned(M_y, x, float((x**2).sum()))
    with np.errstate(invalid="ignore"):
        shear = np.hypot(s_x, s_y)
    alone = (np.abs(M_x) > 1e-9) & ((y**2).sum() <= 1e-12) | (np.abs(M_y) > 1e-9) & ((x**2).sum() <= 1e-12)
    shear = np.where(np.isnan(shear), np.inf, shear)
    return BoltForces(
        shear, np.where(alone[:, None], np.inf, np.maximum(np.nan_to_num(pull, nan=np.inf), 0.0))
    )


# --- bending on one line of bolts: the plate's own edge ------------------------------------------


@formula(symbol="T", source="statics, moment over its lever")
def tension_on_edge(*, M: Moment, z: Length, n: Ratio) -> Force:
    """Tension of each bolt of a line where the plate turns about its edge.

    M  moment
    z  from the line of bolts to the edge that presses
    n  bolts of the line
    """
    return M / (z * n)


def with_edges(places, edge_x: float, edge_y: float, *, P=0.0, M_x=0.0, M_y=0.0) -> np.ndarray:
    """Array kernel: greatest tension of a bolt, (cases,), where a moment turns the plate about its pressing
    edge, edge_x or edge_y from
    the middle of the group (m). Used for a moment whose bolts stand in one line; the elastic sum else."""
    places = np.asarray(places, float) - np.mean(np.asarray(places, float), axis=0)
    P, M_x, M_y = np.broadcast_arrays(*(np.atleast_1d(np.asarray(v, float)) for v in (P, M_x, M_y)))
    n = len(places)
    total = np.maximum(P / n, 0.0)
    for moment, arm, edge in ((M_x, places[:, 1], edge_y), (M_y, places[:, 0], edge_x)):
        square = float((arm**2).sum())
        if square > 1e-12:
            total = total + np.abs(moment) * np.abs(arm).max() / square
        elif edge > 1e-9:
            total = total + np.abs(tension_on_edge.si(M=moment, z=edge, n=n))
        else:
            total = np.where(np.abs(moment) > 1e-9, np.inf, total)
    return total


# --- instantaneous centre ------------------------------------------------------------------------

# Load-deformation of one bolt: R = R_ult (1 - exp(-10 D))^0.55, D up to 0.34 in (AISC Manual part 7, memory).
_MOST, _RATE, _POWER = 0.34, 10.0, 0.55


def _bolt_share(deformation):
    return (1 - np.exp(-_RATE * deformation)) ** _POWER


def instantaneous_centre(places, direction: float, e: float) -> float:
    """Coefficient C: how many times the shear strength of one bolt a group carries under a force that passes
    e (m) from its middle, in
    `direction` (radians from x). Distances in metres; the published load-deformation curve of a 3/4 in
    bolt."""
    places = np.asarray(places, float) - np.mean(np.asarray(places, float), axis=0)
    n = len(places)
    if abs(e) < 1e-9 or n == 1:
        return float(n) if abs(e) < 1e-9 else 0.0
    way = np.array([np.cos(direction), np.sin(direction)])
    side = np.array([-way[1], way[0]])  # the centre lies on the other side of the middle from the force

    def forces(r: float):
        arm = places + side * r
        distance = np.hypot(*arm.T)
        R = _bolt_share(_MOST * distance / distance.max())
        unit = np.c_[-arm[:, 1], arm[:, 0]] / np.maximum(distance, 1e-12)[:, None]
        return R, unit, float((R * distance).sum())

    def gap(r: float) -> float:
        R, unit, moment = forces(r)
        along = float((R[:, None] * unit @ way).sum())
        return abs(along) - moment / (e + r)

    low, high = 1e-9, 1e-3
    while gap(high) < 0 and high < 1e4:
        high *= 2
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if gap(middle) < 0 else (low, middle)
    return forces(high)[2] / (e + high)


# --- play ----------------------------------------------------------------------------------------


@formula(symbol="phi", source="geometry, small angle")
def play_angle(*, c: Length, s: Length) -> Angle:
    """Angle by which a joint turns before its bolts bear, either way from the middle.

    c  clearance: hole less bolt
    s  distance between the bolts that stop it
    """
    return c / s


def slip_of(hole: float, d: float) -> float:
    """How far a bolted joint slides from one stop to the other (m): hole less bolt, in both parts."""
    return 2 * (hole - d)
