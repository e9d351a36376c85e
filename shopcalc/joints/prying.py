"""Prying: a plate that bends levers its bolts and makes them carry more than the pull.

Thornton's general treatment (1985), behind part 9 of the AISC Manual: the plate is a strip of width p per
bolt, clamped by
the bolt, pulled at the wall of the branch b away, and pressing at its edge a away. Yield stress is taken, so
that a plate that
comes apart stays flat.

alpha is the moment at the bolt line over the greatest it can be: 0 no prying, 1 the plate yields on both
lines.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shopcalc.formula import formula, sqrt
from shopcalc.units import Force, Length, Moment, Ratio, Stress

OMEGA, PHI = 1.67, 0.90  # bending of the plate, AISC 360-22 F1


@formula(symbol="b'", source="thornton-1985")
def lever(*, b: Length, d: Length) -> Length:
    """From the wall that pulls to the near side of the bolt.

    b  from the wall that pulls to the middle of the bolt
    d  diameter of the bolt
    """
    return b - d / 2


@formula(symbol="a'", source="thornton-1985")
def edge_lever(*, a: Length, d: Length) -> Length:
    """From the near side of the bolt to the edge of the plate (a at most 1.25 b).

    a  from the middle of the bolt to the edge, at most 1.25 b
    d  diameter of the bolt
    """
    return a + d / 2


@formula(symbol="delta", source="thornton-1985")
def net_share(*, h: Length, p: Length) -> Ratio:
    """Width of the strip that is left at the bolt line over its whole width.

    h  diameter of the hole
    p  width of plate per bolt
    """
    return 1 - h / p


@formula(symbol="M_p", source="statics, plastic moment F_y t^2/4 per width")
def strip_moment(*, F_y: Stress, p: Length, t: Length) -> Moment:
    """Moment at which the strip of one bolt yields.

    F_y  yield stress of the plate
    p    width of plate per bolt
    t    thickness of the plate
    """
    return F_y * p * t**2 / 4


@formula(symbol="t_c", source="thornton-1985")
def thickness_without_prying(*, B: Force, Omega: Ratio, b: Length, F_y: Stress, p: Length) -> Length:
    """Thickness at which the plate bends so little that a bolt force B is all pull.

    B      force of the bolt
    Omega  safety factor of the plate in bending, 1.67
    b      lever b' from the wall that pulls to the near side of the bolt
    F_y    yield stress of the plate
    p      width of plate per bolt
    """
    return sqrt(4 * Omega * B * b / (F_y * p))


@formula(symbol="Q", source="thornton-1985, equilibrium of the strip beyond the bolt")
def prying_force(*, delta: Ratio, alpha: Ratio, M: Moment, a: Length) -> Force:
    """Prying force of one bolt.

    delta  share of the strip left at the bolt line
    alpha  moment at the bolt line over the greatest it can be
    M      moment of the strip at the wall that pulls
    a      lever a' to the edge of the plate
    """
    return delta * alpha * M / a


@formula(symbol="rho", source="aisc-design-examples-16, K.10 (Manual equation 9-29)")
def lever_ratio(*, b: Length, a: Length) -> Ratio:
    """Lever of the pull over lever of the prying force.

    b  lever b' from the wall that pulls to the near side of the bolt
    a  lever a' from there to the edge of the plate
    """
    return b / a


@formula(symbol="beta", source="aisc-design-examples-16, K.10 (Manual equation 9-35)")
def reserve(*, B: Force, T: Force, rho: Ratio) -> Ratio:
    """What the bolt has left for prying, in the measure of the plate.

    B    allowable tension of the bolt
    T    pull per bolt
    rho  lever ratio
    """
    return (B / T - 1) / rho


@formula(symbol="alpha'", source="aisc-design-examples-16, K.10 (Manual equation 9-36b)")
def most_alpha(*, beta: Ratio, delta: Ratio) -> Ratio:
    """Greatest moment at the bolt line that the bolt can bear prying for, beta under 1 (at most 1).

    beta   what the bolt has left
    delta  share of the strip left at the bolt line
    """
    return beta / (1 - beta) / delta


@formula(symbol="t_min", source="aisc-design-examples-16, K.10 (Manual equation 9-37, yield stress as there)")
def least_thickness(
    *, T: Force, Omega: Ratio, b: Length, F_y: Stress, p: Length, delta: Ratio, alpha: Ratio
) -> Length:
    """Least thickness of plate for a pull per bolt, the bolt prying as far as it can bear.

    T      pull per bolt
    Omega  safety factor of the plate in bending, 1.67
    b      lever b' from the wall that pulls to the near side of the bolt
    F_y    yield stress of the plate
    p      width of plate per bolt
    delta  share of the strip left at the bolt line
    alpha  greatest moment at the bolt line, as a share
    """
    return sqrt(4 * Omega * T * b / (p * F_y * (1 + delta * alpha)))


@formula(symbol="T_p", source="thornton-1985, the strip full at both lines")
def plate_pull(*, M: Moment, Omega: Ratio, delta: Ratio, b: Length) -> Force:
    """Pull per bolt at which the plate yields at the wall and at the bolts.

    M      moment at which the strip of one bolt yields
    Omega  safety factor of the plate in bending, 1.67
    delta  share of the strip left at the bolt line
    b      lever b' from the wall that pulls to the near side of the bolt
    """
    return M / Omega * (1 + delta) / b


@dataclass(frozen=True)
class Prying:
    """Of a pull T per bolt, (n,) each: force of the bolt with prying, prying force, alpha, use of the plate
    in bending (over 1: it
    yields whatever the bolt does), greatest pull that bolt and plate carry together, thickness that needs no
    prying at T."""

    bolt: np.ndarray
    Q: np.ndarray
    alpha: np.ndarray
    plate_use: np.ndarray
    T_max: np.ndarray
    t_free: np.ndarray
    t_min: np.ndarray


def prying(*, T, B, F_y, t, p, a, b, d, hole, omega: float = OMEGA) -> Prying:
    """Array kernel. T: pull per bolt; B: allowable tension of the bolt; F_y, t: plate; p: width of plate per
    bolt; a, b: from the
    middle of the bolt to the edge and to the wall that pulls; d, hole: bolt and hole. omega: 1.67 (allowable
    strength design), 1/0.9
    or 1. Thornton's equilibrium: M - T b' + Q a' = 0, Q a' = delta alpha M, M at most the strip's moment
    over omega."""
    T, B, F_y, t, p, a, b, d, hole = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(v, float)) for v in (T, B, F_y, t, p, a, b, d, hole))
    )
    b1 = np.maximum(lever.si(b=b, d=d), 1e-9)
    a1 = edge_lever.si(a=np.minimum(a, 1.25 * b), d=d)
    delta = np.clip(net_share.si(h=hole, p=p), 1e-6, 1.0)
    M = strip_moment.si(F_y=F_y, p=p, t=t) / omega
    # Least alpha that carries T: T b' = M (1 + delta alpha).
    alpha = np.clip((T * b1 / M - 1) / delta, 0.0, 1.0)
    worked = np.where(alpha > 0, np.minimum(M, T * b1 / (1 + delta * alpha)), T * b1)
    Q = prying_force.si(delta=delta, alpha=alpha, M=worked, a=a1)
    plate = T * b1 / (M * (1 + delta))
    # Greatest pull: bolt full (B = T + Q) and plate full (T b' = M (1 + delta alpha)), alpha between 0 and 1.
    rho = b1 / a1
    best = (B * b1 / M - 1) / (delta * (1 + rho))
    share = np.clip(best, 0.0, 1.0)
    T_max = np.where(best <= 0, B, np.minimum(M * (1 + delta * share) / b1, B))
    pull = np.abs(T)
    with np.errstate(divide="ignore", invalid="ignore"):
        beta = np.where(pull > 0, reserve.si(B=B, T=pull, rho=rho), np.inf)
        bearable = np.where(beta >= 1, 1.0, np.clip(most_alpha.si(beta=beta, delta=delta), 0.0, 1.0))
    strip = dict(Omega=omega, b=b1, F_y=F_y, p=p)
    return Prying(
        T + Q,
        Q,
        alpha,
        plate,
        T_max,
        thickness_without_prying.si(B=pull, **strip),
        least_thickness.si(T=pull, **strip, delta=delta, alpha=bearable),
    )
