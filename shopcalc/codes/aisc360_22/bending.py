"""F1 and what the clauses of chapter F share.

Bending is about one principal axis, with the supports held against twisting (F1(b)).
"""

from __future__ import annotations

from shopcalc.formula import formula
from shopcalc.units import Length, Moment, Ratio, SectionModulus, Stress

OMEGA_B, PHI_B = 1.67, 0.90  # F1(a)



@formula(symbol="M_p", source="aisc-360-22, F2-1, F7-1 and F8-1")
def plastic_moment(*, F_y: Stress, Z: SectionModulus) -> Moment:
    """Plastic moment: the whole section yields.

    F_y  yield stress of the steel
    Z    plastic section modulus about the axis of bending
    """
    return F_y * Z


@formula(symbol="M_y", source="aisc-360-22, F2.1 to F11.1; definition of the yield moment")
def yield_moment(*, F_y: Stress, S: SectionModulus) -> Moment:
    """Yield moment: the outermost fibre yields.

    F_y  yield stress of the steel
    S    elastic section modulus about the axis of bending
    """
    return F_y * S


@formula(symbol="C_b", source="aisc-360-22, F1-1")
def moment_gradient_factor(*, M_max: Moment, M_A: Moment, M_B: Moment, M_C: Moment) -> Ratio:
    """How much an uneven moment helps against lateral-torsional buckling between braces: 1 for an even
    moment, and 1 for a cantilever whose end is free. All moments positive.

    M_max  largest moment between the braces
    M_A    moment at a quarter of the length between braces
    M_B    moment at its middle
    M_C    moment at three quarters
    """
    return 12.5 * M_max / (2.5 * M_max + 3 * M_A + 4 * M_B + 3 * M_C)


@formula(symbol="M_n", source="aisc-360-22, F2-2 and F7-10")
def moment_inelastic_ltb(*, C_b: Ratio, M_p: Moment, F_y: Stress, S: SectionModulus, L_b: Length, L_p: Length,
                         L_r: Length) -> Moment:
    """Moment at which a part-yielded beam buckles sideways and twists.

    C_b  factor for an uneven moment
    M_p  plastic moment
    F_y  yield stress of the steel
    S    elastic section modulus about the strong axis
    L_b  length between points braced sideways or against twist
    L_p  length up to which this buckling does not occur
    L_r  length beyond which it is elastic
    """
    return C_b * (M_p - (M_p - 0.7 * F_y * S) * (L_b - L_p) / (L_r - L_p))


@formula(symbol="M_n", source="aisc-360-22, F2-3, F6-3, F8-3, F10-7 and F11-4")
def moment_at_critical_stress(*, F_cr: Stress, S: SectionModulus) -> Moment:
    """Moment at which the outermost fibre reaches the critical stress.

    F_cr  critical stress
    S     elastic section modulus
    """
    return F_cr * S


@formula(symbol="M_p", source="aisc-360-22, F6-1 and F11-2")
def moment_cap_1_6(*, F_y: Stress, S: SectionModulus) -> Moment:
    """Most moment credited to a channel about its weak axis, or to a rod.

    F_y  yield stress of the steel
    S    elastic section modulus about the axis of bending
    """
    return 1.6 * F_y * S


def yield_line(steps, q, plastic, cap, cap_formula):
    """The line of the plastic moment or of its cap, whichever is less."""
    if plastic <= cap:
        return steps(plastic_moment, F_y=q.F_y, Z=q.Z)
    return steps(cap_formula, F_y=q.F_y, S=q.S)
