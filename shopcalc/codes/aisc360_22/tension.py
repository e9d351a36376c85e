"""D: tension members. Yielding of the whole section and rupture where it is weakened carry factors of their
own, so they are two clauses; the lesser *allowable* counts (codes.clause.weakest).
"""

from __future__ import annotations

from shopcalc.codes.clause import clause
from shopcalc.formula import formula
from shopcalc.units import Area, Force, Length, Ratio, Stress

OMEGA_YIELD, PHI_YIELD = 1.67, 0.90      # D2(a)
OMEGA_RUPTURE, PHI_RUPTURE = 2.00, 0.75  # D2(b)


@formula(symbol="P_n", source="aisc-360-22, D2-1")
def tension_yield_force(*, F_y: Stress, A_g: Area) -> Force:
    """Pull at which the whole section yields.

    F_y  yield stress of the steel
    A_g  area
    """
    return F_y * A_g


@formula(symbol="P_n", source="aisc-360-22, D2-2")
def tension_rupture_force(*, F_u: Stress, A_e: Area) -> Force:
    """Pull at which the weakened section breaks.

    F_u  tensile strength of the steel
    A_e  effective net area
    """
    return F_u * A_e


@formula(symbol="A_e", source="aisc-360-22, D3-1")
def effective_net_area(*, A_n: Area, U: Ratio) -> Area:
    """Net area that works where the pull enters through a part of the section only.

    A_n  net area: the area less the holes, each 1/16 in wider than it is (B4.3b)
    U    shear lag factor, table D3.1; 1 where every wall of the tube is joined
    """
    return A_n * U


@formula(symbol="U", source="aisc-360-22, table D3.1 case 2")
def shear_lag(*, x_bar: Length, l: Length) -> Ratio:  # noqa: E741 (the code's letter)
    """Shear lag factor of a member joined by some of its walls.

    x_bar  from the joined face to the centroid of what is joined by it
    l      length of the connection along the pull
    """
    return 1 - x_bar / l


@clause("AISC 360-22 D2(a)", source="aisc-360-22, D2(a)", gives=Force, omega=OMEGA_YIELD, phi=PHI_YIELD,
        states=("tension yielding",))
def tension_yielding(*, F_y: Stress, A_g: Area):
    """Nominal pull by yielding of the whole section.

    F_y  yield stress of the steel
    A_g  area
    """
    return (tension_yield_force.si(F_y=F_y, A_g=A_g),)


@tension_yielding.lines
def _(steps, q, state):
    steps(tension_yield_force, F_y=q.F_y, A_g=q.A_g)


@clause("AISC 360-22 D2(b)", source="aisc-360-22, D2(b)", gives=Force, omega=OMEGA_RUPTURE, phi=PHI_RUPTURE,
        states=("tension rupture",))
def tension_rupture(*, F_u: Stress, A_n: Area, U: Ratio = 1.0):
    """Nominal pull by rupture at holes or at a connection.

    F_u  tensile strength of the steel
    A_n  net area
    U    shear lag factor
    """
    return (tension_rupture_force.si(F_u=F_u, A_e=effective_net_area.si(A_n=A_n, U=U)),)


@tension_rupture.lines
def _(steps, q, state):
    steps(tension_rupture_force, F_u=q.F_u, A_e=steps(effective_net_area, A_n=q.A_n, U=q.U))
