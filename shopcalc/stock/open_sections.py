"""Section properties of bars, angles and channels, and of what a shop builds up: boxes, wood with steel.

Angles and channels have sharp corners: no root fillet, no toe rounding; rolled channels have tapered flanges
(slope 1 in 6). Against the section tables that is within 3 per cent in A, I and S, 5 about the weak axis of a
channel, and up to a sixth low in J (the fillet adds to the table's).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shopcalc.formula import formula, frac, pi
from shopcalc.stock.sections import (  # noqa: F401  (least_second_moment is part of angles)
    SectionArrays,
    assemble,
    least_second_moment,
    section_modulus,
    section_modulus_of_depth,
)
from shopcalc.units import (
    Area,
    Density,
    Length,
    MassPerLength,
    Moment,
    Ratio,
    SecondMoment,
    SectionModulus,
    Stress,
)

# --- flat, square and round bar, plate -----------------------------------------------------------


@formula(symbol="A", source="geometry, rectangle")
def area_bar(*, b: Length, h: Length) -> Area:
    """Area of a flat or square bar, or of a strip of plate.

    b  size along the axis
    h  size across the axis
    """
    return b * h


@formula(symbol="I", source="geometry, rectangle")
def second_moment_bar(*, b: Length, h: Length) -> SecondMoment:
    """Second moment of a rectangle about its middle.

    b  size along the axis
    h  size across the axis
    """
    return b * h**3 / 12


@formula(symbol="Z", source="geometry, rectangle")
def plastic_modulus_bar(*, b: Length, h: Length) -> SectionModulus:
    """Plastic section modulus of a rectangle.

    b  size along the axis
    h  size across the axis
    """
    return b * h**2 / 4


@formula(symbol="J", source="roark-8, table 10.1, rectangle")
def torsion_constant_bar(*, b: Length, t: Length) -> SecondMoment:
    """Torsion constant of a rectangle.

    b  the longer side
    t  the shorter side
    """
    return b * t**3 * (frac(1, 3) - 0.21 * t / b * (1 - t**4 / (12 * b**4)))


@formula(symbol="C", source="roark-8, table 10.1, rectangle")
def torsion_modulus_bar(*, b: Length, t: Length) -> SectionModulus:
    """Torsion modulus of a rectangle: torque over the greatest shear stress (middle of the longer side).

    b  the longer side
    t  the shorter side
    """
    r = t / b
    return b * t**2 / (3 * (1 + 0.6095 * r + 0.8865 * r**2 - 1.8023 * r**3 + 0.91 * r**4))


@formula(symbol="A", source="geometry, circle")
def area_round_bar(D: Length) -> Area:
    """Area of a round bar.

    D  diameter
    """
    return pi * D**2 / 4


@formula(symbol="I", source="geometry, circle")
def second_moment_round_bar(D: Length) -> SecondMoment:
    """Second moment of a round bar about a diameter; its torsion constant is twice as much.

    D  diameter
    """
    return pi * D**4 / 64


@formula(symbol="Z", source="geometry, circle")
def plastic_modulus_round_bar(D: Length) -> SectionModulus:
    """Plastic section modulus of a round bar.

    D  diameter
    """
    return D**3 / 6


@formula(symbol="m", source="section-tables-density, mass from the nominal size")
def mass_bar(rho: Density, *, b: Length, h: Length) -> MassPerLength:
    """Mass per length of a flat or square bar.

    rho  density of the metal
    b    width
    h    height
    """
    return rho * b * h


# --- angle ---------------------------------------------------------------------------------------


@formula(symbol="A", source="geometry, two rectangles")
def area_angle(*, H: Length, B: Length, t: Length) -> Area:
    """Area of an angle.

    H  upright leg
    B  flat leg
    t  thickness of both legs
    """
    return t * (H + B - t)


@formula(symbol="y_bar", source="geometry, two rectangles")
def centroid_angle(*, H: Length, B: Length, t: Length) -> Length:
    """From the outside of the flat leg up to the centroid (for the other way give the legs swapped).

    H  upright leg
    B  flat leg
    t  thickness of both legs
    """
    return (H**2 + B * t - t**2) / (2 * (H + B - t))


@formula(symbol="I", source="geometry, two rectangles")
def second_moment_angle(*, H: Length, B: Length, t: Length) -> SecondMoment:
    """Second moment of an angle about the axis through its centroid along the flat leg.

    H  upright leg
    B  flat leg
    t  thickness of both legs
    """
    return (t * H**3 + (B - t) * t**3) / 3 - t * (H**2 + B * t - t**2) ** 2 / (4 * (H + B - t))


@formula(symbol="I_xy", source="geometry, two rectangles")
def product_of_inertia_angle(*, H: Length, B: Length, t: Length) -> SecondMoment:
    """Product of inertia about the centroid, legs up and to the right of the heel; never positive.

    H  upright leg
    B  flat leg
    t  thickness of both legs
    """
    return t**2 * (H**2 + B**2 - t**2) / 4 - t * (H**2 + B * t - t**2) * (B**2 + H * t - t**2) / (
        4 * (H + B - t)
    )


@formula(symbol="J", source="thin-wall-torsion, open section")
def torsion_constant_angle(*, H: Length, B: Length, t: Length) -> SecondMoment:
    """Torsion constant of an angle: thin strips, less what their free ends lose.

    H  upright leg
    B  flat leg
    t  thickness of both legs
    """
    return (H + B - 1.63 * t) * t**3 / 3


# --- channel, web upright on the left; flanges of mean thickness t_f, slope k on their inner face ----

# The slope of the inner face of a rolled channel's flange; a bent channel has none.
ROLLED_SLOPE = 1 / 6


def _first_moment_of_channel(d, b_f, t_w, t_f, k):
    """About the back of the web."""
    c = b_f - t_w
    return d * t_w**2 / 2 + t_f * (b_f + t_w) * c - k * c**3 / 6


@formula(symbol="A", source="geometry, web and two trapezoids")
def area_channel(*, d: Length, b_f: Length, t_w: Length, t_f: Length) -> Area:
    """Area of a channel.

    d    depth
    b_f  width of a flange, from the back of the web
    t_w  web
    t_f  mean thickness of a flange beside the web
    """
    return d * t_w + 2 * (b_f - t_w) * t_f


@formula(symbol="I_x", source="geometry, web and two trapezoids")
def second_moment_channel(k: Ratio, *, d: Length, b_f: Length, t_w: Length, t_f: Length) -> SecondMoment:
    """Second moment about the strong axis of a channel.

    k    slope of the inner face of a flange (1/6 rolled, 0 bent)
    d    depth
    b_f  width of a flange, from the back of the web
    t_w  web
    t_f  mean thickness of a flange beside the web
    """
    c, u = b_f - t_w, d / 2 - t_f
    return t_w * d**3 / 12 + 2 * c / 3 * (d**3 / 8 - u**3 - u * (k * c / 2) ** 2)


@formula(symbol="x_bar", source="geometry, web and two trapezoids")
def centroid_channel(k: Ratio, *, d: Length, b_f: Length, t_w: Length, t_f: Length) -> Length:
    """From the back of the web to the centroid.

    k    slope of the inner face of a flange (1/6 rolled, 0 bent)
    d    depth
    b_f  width of a flange, from the back of the web
    t_w  web
    t_f  mean thickness of a flange beside the web
    """
    return _first_moment_of_channel(d, b_f, t_w, t_f, k) / (d * t_w + 2 * (b_f - t_w) * t_f)


@formula(symbol="I_y", source="geometry, web and two trapezoids")
def weak_second_moment_channel(k: Ratio, *, d: Length, b_f: Length, t_w: Length, t_f: Length) -> SecondMoment:
    """Second moment about the weak axis of a channel, through its centroid.

    k    slope of the inner face of a flange (1/6 rolled, 0 bent)
    d    depth
    b_f  width of a flange, from the back of the web
    t_w  web
    t_f  mean thickness of a flange beside the web
    """
    c, m = b_f - t_w, (b_f + t_w) / 2
    at_back = d * t_w**3 / 3 + 2 * t_f * (m**2 * c + c**3 / 12) - m * k * c**3 / 3
    return at_back - _first_moment_of_channel(d, b_f, t_w, t_f, k) ** 2 / (d * t_w + 2 * c * t_f)


@formula(symbol="Z_x", source="geometry, web and two trapezoids")
def plastic_modulus_channel(k: Ratio, *, d: Length, b_f: Length, t_w: Length, t_f: Length) -> SectionModulus:
    """Plastic section modulus about the strong axis of a channel.

    k    slope of the inner face of a flange (1/6 rolled, 0 bent)
    d    depth
    b_f  width of a flange, from the back of the web
    t_w  web
    t_f  mean thickness of a flange beside the web
    """
    c = b_f - t_w
    return t_w * d**2 / 4 + d * t_f * c - c * (t_f**2 + (k * c) ** 2 / 12)


@formula(symbol="e_o", source="thin-wall-torsion, shear centre of a channel")
def shear_centre_channel(*, d: Length, b_f: Length, t_w: Length, t_f: Length) -> Length:
    """From the back of the web outward to the shear centre: a load on the web twists the channel by this arm.

    d    depth
    b_f  width of a flange, from the back of the web
    t_w  web
    t_f  mean thickness of a flange
    """
    b = b_f - t_w / 2
    return 3 * b**2 * t_f / ((d - t_f) * t_w + 6 * b * t_f) - t_w / 2


@formula(symbol="J", source="thin-wall-torsion, open section")
def torsion_constant_channel(*, d: Length, b_f: Length, t_w: Length, t_f: Length) -> SecondMoment:
    """Torsion constant of a channel: thin strips, less what their free ends lose.

    d    depth
    b_f  width of a flange, from the back of the web
    t_w  web
    t_f  mean thickness of a flange
    """
    return (2 * (b_f - 0.63 * t_f) * t_f**3 + (d - 2 * t_f) * t_w**3) / 3


# --- built-up box --------------------------------------------------------------------------------


@formula(symbol="A", source="geometry, four rectangles")
def area_box(*, B: Length, t_f: Length, h: Length, t_w: Length) -> Area:
    """Area of a box of two flat plates on two upright ones.

    B    width of the top and bottom plates
    t_f  their thickness
    h    height of the upright plates between them
    t_w  their thickness
    """
    return 2 * B * t_f + 2 * h * t_w


@formula(symbol="I_x", source="geometry, four rectangles")
def second_moment_box(*, B: Length, t_f: Length, h: Length, t_w: Length) -> SecondMoment:
    """Second moment of a built-up box about its level axis.

    B    width of the top and bottom plates
    t_f  their thickness
    h    height of the upright plates between them
    t_w  their thickness
    """
    return B * (h + 2 * t_f) ** 3 / 12 - (B - 2 * t_w) * h**3 / 12


@formula(symbol="I_y", source="geometry, four rectangles")
def weak_second_moment_box(*, B: Length, t_f: Length, h: Length, t_w: Length, s: Length) -> SecondMoment:
    """Second moment of a built-up box about its upright axis.

    B    width of the top and bottom plates
    t_f  their thickness
    h    height of the upright plates between them
    t_w  their thickness
    s    distance between the middles of the upright plates
    """
    return t_f * B**3 / 6 + h * t_w**3 / 6 + h * t_w * s**2 / 2


@formula(symbol="J", source="thin-wall-torsion, closed section (Bredt)")
def torsion_constant_box(*, t_f: Length, h: Length, t_w: Length, s: Length) -> SecondMoment:
    """Torsion constant of a built-up box, welded along every edge, on the middle lines of its plates.

    t_f  thickness of the top and bottom plates
    h    height of the upright plates between them
    t_w  their thickness
    s    distance between the middles of the upright plates
    """
    return 2 * (s * (h + t_f)) ** 2 / (s / t_f + (h + t_f) / t_w)


@formula(symbol="A_s", source="thin-wall-shear, closed box by shear-flow energy")
def shear_area_box(*, h_m: Length, s: Length, t_f: Length, t_w: Length) -> Area:
    """Area that carries upright shear in the stiffness of a built-up box (sideways: give them swapped).

    h_m  distance between the middles of the top and bottom plates
    s    distance between the middles of the upright plates
    t_f  thickness of the top and bottom plates
    t_w  thickness of the upright plates
    """
    corner = t_f * s * h_m / 4 + t_w * h_m**2 / 8
    webs = 4 / t_w * (corner**2 * h_m / 2 - corner * t_w * h_m**3 / 24 + t_w**2 * h_m**5 / 640)
    return (t_w * h_m**3 / 6 + t_f * s * h_m**2 / 2) ** 2 / (t_f * h_m**2 * s**3 / 24 + webs)


# --- transformed section: two rectangles of different stiffness, one upon the other ---------------


@formula(symbol="n", source="elasticity, modular ratio")
def stiffness_ratio(*, E: Stress, E_0: Stress) -> Ratio:
    """How many times stiffer a part is than the material of the transformed section.

    E    stiffness of the part
    E_0  stiffness of the material it is turned into
    """
    return E / E_0


@formula(symbol="b_t", source="elasticity, transformed section")
def transformed_width(n: Ratio, b: Length) -> Length:
    """Width that a part takes in the transformed section.

    n  stiffness ratio
    b  true width
    """
    return n * b


@formula(symbol="y_bar", source="elasticity, transformed section")
def centroid_two_parts(*, b_1: Length, h_1: Length, b_2: Length, h_2: Length) -> Length:
    """From the top of two rectangles, the first on the second, down to their centroid (the neutral axis).

    b_1  transformed width of the upper part
    h_1  depth of the upper part
    b_2  transformed width of the lower part
    h_2  depth of the lower part
    """
    return (b_1 * h_1**2 / 2 + b_2 * h_2 * (h_1 + h_2 / 2)) / (b_1 * h_1 + b_2 * h_2)


@formula(symbol="I", source="elasticity, transformed section")
def second_moment_two_parts(*, b_1: Length, h_1: Length, b_2: Length, h_2: Length) -> SecondMoment:
    """Second moment of two rectangles, the first on the second without slip, about their centroid.

    b_1  transformed width of the upper part
    h_1  depth of the upper part
    b_2  transformed width of the lower part
    h_2  depth of the lower part
    """
    return (
        b_1 * h_1**3 / 12
        + b_2 * h_2**3 / 12
        + b_1 * h_1 * b_2 * h_2 / (b_1 * h_1 + b_2 * h_2) * ((h_1 + h_2) / 2) ** 2
    )


@formula(symbol="sigma", source="elasticity, transformed section")
def stress_in_part(n: Ratio, M: Moment, c: Length, I: SecondMoment) -> Stress:
    """Bending stress in a part of a transformed section.

    n  stiffness ratio of the part
    M  bending moment
    c  distance of the fibre from the neutral axis
    I  second moment of the transformed section
    """
    return n * M * c / I


def two_parts_stress(*, b_1, h_1, E_1, b_2, h_2, E_2, M, part: str):
    """Greatest bending stress in the "upper" or "lower" of two rectangles bonded without slip.

    b, h, E  true width, depth and stiffness of the upper (1) and lower (2) part; M the moment. Quantities.
    Only for a slip-free joint: a screwed top is two beams that share the load.
    """
    if part not in ("upper", "lower"):
        raise ValueError('part is "upper" or "lower"')
    n_2 = stiffness_ratio(E=E_2, E_0=E_1)
    sizes = {"b_1": b_1, "h_1": h_1, "b_2": transformed_width(n_2, b_2), "h_2": h_2}
    middle = centroid_two_parts(**sizes)
    n, c = (1.0, middle) if part == "upper" else (n_2, h_1 + h_2 - middle)
    return stress_in_part(n, M, c, second_moment_two_parts(**sizes))


# --- array kernels, SI ---------------------------------------------------------------------------


def bars(height, width, *, mass_per_length) -> SectionArrays:
    """Flat and square bars, strips of plate: `height` upright, `width` flat."""
    h, b = np.broadcast_arrays(np.atleast_1d(np.asarray(height, float)), np.asarray(width, float))
    long, short = np.maximum(h, b), np.minimum(h, b)
    A, Ix, Iy = area_bar.si(b=b, h=h), second_moment_bar.si(b=b, h=h), second_moment_bar.si(b=h, h=b)
    return assemble(
        "flat bar",
        height=h,
        width=b,
        t=short,
        A=A,
        Ix=Ix,
        Iy=Iy,
        Sx=section_modulus_of_depth.si(I=Ix, H=h),
        Sy=section_modulus_of_depth.si(I=Iy, H=b),
        Zx=plastic_modulus_bar.si(b=b, h=h),
        Zy=plastic_modulus_bar.si(b=h, h=b),
        Av_x=5 * A / 6,
        Av_y=5 * A / 6,
        J=torsion_constant_bar.si(b=long, t=short),
        C=torsion_modulus_bar.si(b=long, t=short),
        mass_per_length=mass_per_length,
        coat_per_length=2 * (h + b),
    )


def round_bars(diameter, *, mass_per_length) -> SectionArrays:
    """Round bars."""
    D = np.atleast_1d(np.asarray(diameter, float))
    A, I, Z = area_round_bar.si(D=D), second_moment_round_bar.si(D=D), plastic_modulus_round_bar.si(D=D)
    S = section_modulus_of_depth.si(I=I, H=D)
    return assemble(
        "round bar",
        height=D,
        width=D,
        t=D,
        A=A,
        Ix=I,
        Iy=I,
        Sx=S,
        Sy=S,
        Zx=Z,
        Zy=Z,
        Av_x=6 * A / 7,
        Av_y=6 * A / 7,
        J=2 * I,
        C=2 * S,
        mass_per_length=mass_per_length,
        coat_per_length=np.pi * D,
    )


def angles(height, width, t, *, mass_per_length) -> SectionArrays:
    """Angles, heel at the lower left, legs up (`height`) and to the right (`width`).

    Ixy is negative and `tilt` positive: the strong principal axis leans from the x axis towards the heel's
    bisector. J is that of a thin open section, its shear centre at the heel.
    """
    H, B, t = np.broadcast_arrays(*(np.atleast_1d(np.asarray(v, float)) for v in (height, width, t)))
    up, side = {"H": H, "B": B, "t": t}, {"H": B, "B": H, "t": t}
    Ix, Iy = second_moment_angle.si(**up), second_moment_angle.si(**side)
    x, y, J = centroid_angle.si(**side), centroid_angle.si(**up), torsion_constant_angle.si(**up)
    return assemble(
        "angle",
        height=H,
        width=B,
        t=t,
        flat_h=H,
        flat_b=B,
        A=area_angle.si(**up),
        Ix=Ix,
        Iy=Iy,
        Sx=section_modulus.si(I=Ix, c=H - y),
        Sy=section_modulus.si(I=Iy, c=B - x),
        Zx=_plastic_of_leg(H, B, t),
        Zy=_plastic_of_leg(B, H, t),
        Ixy=product_of_inertia_angle.si(**up),
        x_bar=x,
        y_bar=y,
        C_w=t**3 / 36 * ((H - t / 2) ** 3 + (B - t / 2) ** 3),
        Av_x=5 * (H - t / 2) * t / 6,
        Av_y=5 * (B - t / 2) * t / 6,
        J=J,
        C=J / t,
        mass_per_length=mass_per_length,
        coat_per_length=2 * (H + B),
    )


def _plastic_of_leg(H, B, t):
    """About the axis that halves the area, along the leg B at the bottom with the leg H above it."""
    half = t * (H + B - t) / 2
    low = half / B
    in_leg = low <= t
    y = np.where(in_leg, low, H - half / t)
    below = np.where(in_leg, B * y**2 / 2, B * t * (y - t / 2) + t * (y - t) ** 2 / 2)
    above = np.where(in_leg, B * (t - y) ** 2 / 2 + t * (H - t) * ((H + t) / 2 - y), t * (H - y) ** 2 / 2)
    return below + above


@dataclass(frozen=True)
class PrincipalAxes:
    """Of angles, (n,) SI. w the strong principal axis (turned by `tilt` from x), z the weak one.

    S_w, S_z   elastic section moduli to the outermost corner; S_z_toe to the toes
    beta_w     how unlike the two legs are (AISC 360-22 F10.2): 0 for equal legs, here without its sign, which
               depends on the leg that is pressed
    """

    S_w: np.ndarray
    S_z: np.ndarray
    S_z_toe: np.ndarray
    beta_w: np.ndarray


_GAUSS = ((0.5 - 0.5 / 3**0.5), (0.5 + 0.5 / 3**0.5))  # exact to the third power


def principal_axes_of_angles(s: SectionArrays) -> PrincipalAxes:
    """Array kernel: what bending about the principal axes of angles needs."""
    H, B, t, cos, sin = s.height, s.width, s.t, np.cos(s.tilt), np.sin(s.tilt)

    def turned(x, y):
        """A place in principal coordinates: along w, along z."""
        x, y = x - s.x_bar, y - s.y_bar
        return x * cos + y * sin, y * cos - x * sin

    zero = 0 * t
    toes = [turned(*p) for p in ((B, zero), (B, t), (zero, H), (t, H))]
    corners = [*toes, turned(zero, zero)]
    I_w = s.Ix + s.Iy - s.I_min
    third = zero
    for left, right, top in ((zero, t, H), (t, B, t)):
        for gx in _GAUSS:
            for gy in _GAUSS:
                w, z = turned(left + gx * (right - left), gy * top)
                third = third + z * (w**2 + z**2) * (right - left) * top / 4
    z_o = turned(t / 2, t / 2)[1]  # the shear centre, where the middle lines of the legs meet
    return PrincipalAxes(
        S_w=I_w / np.max([abs(z) for _, z in corners], axis=0),
        S_z=s.I_min / np.max([abs(w) for w, _ in corners], axis=0),
        S_z_toe=s.I_min / np.max([w for w, _ in toes], axis=0),
        beta_w=abs(third / I_w - 2 * z_o),
    )


def channels(depth, flange, web, flange_thickness, slope=0.0, *, mass_per_length) -> SectionArrays:
    """Channels with the web upright on the left. slope: of the inner flange faces, 1/6 rolled, 0 bent."""
    d, b, w, f, k = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(v, float)) for v in (depth, flange, web, flange_thickness, slope))
    )
    plain = {"d": d, "b_f": b, "t_w": w, "t_f": f}
    size = {"k": k, **plain}
    A, x, J = area_channel.si(**plain), centroid_channel.si(**size), torsion_constant_channel.si(**plain)
    Ix, Iy = second_moment_channel.si(**size), weak_second_moment_channel.si(**size)
    thin = b - w / 2
    web_part = (d - f) * w
    C_w = f * thin**3 * (d - f) ** 2 / 12 * (3 * thin * f + 2 * web_part) / (6 * thin * f + web_part)
    return assemble(
        "channel",
        height=d,
        width=b,
        t=w,
        t_f=f,
        t_w=w,
        flat_h=d - 2 * f,
        flat_b=b,
        A=A,
        Ix=Ix,
        Iy=Iy,
        Sx=section_modulus_of_depth.si(I=Ix, H=d),
        Sy=section_modulus.si(I=Iy, c=b - x),
        Zx=plastic_modulus_channel.si(**size),
        Zy=_weak_plastic_of_channel(d, b, w, f, k, A),
        x_bar=x,
        e_o=shear_centre_channel.si(**plain),
        C_w=C_w,
        Av_x=5 * (d - f) * w / 6,
        Av_y=_sideways_shear_of_channel(d, b, w, f, x, Iy),
        J=J,
        C=J / np.maximum(w, f),
        mass_per_length=mass_per_length,
        coat_per_length=2 * d + 4 * b - 2 * w,
    )


def _sideways_shear_of_channel(d, b, w, f, x, Iy):
    """By shear-flow energy on the middle lines, flanges of even thickness."""
    line, toe = b - w / 2, b - x
    corner = f * line * (toe - line / 2)
    flanges = 2 * f * (toe**2 * line**3 / 3 - toe * line**4 / 4 + line**5 / 20)
    return Iy**2 / (flanges + corner**2 * (d - f) / (3 * w))


def _weak_plastic_of_channel(d, b, w, f, k, A):
    """Z is the difference of the first moments of the halves of the area, left and right."""
    c, m = b - w, (b + w) / 2
    whole = _first_moment_of_channel(d, b, w, f, k)
    in_web = d * (A / (2 * d)) ** 2 / 2
    # From the middle of the overhang to the axis, where that lies in the flanges.
    rest = f * c - k * c**2 / 4 - A / 2
    x = rest / (f + np.sqrt(np.maximum(f**2 - k * rest, 0.0)))
    right = 2 * (m * f * (c / 2 - x) + (f - m * k) * (c**2 / 4 - x**2) / 2 - k * (c**3 / 8 - x**3) / 3)
    return np.where(A / 2 <= d * w, whole - 2 * in_web, 2 * right - whole)


def boxes(
    width, flange_thickness, web_height, web_thickness, apart=None, *, mass_per_length
) -> SectionArrays:
    """Built-up boxes: plates `width` x `flange_thickness` over and under two upright plates.

    apart  distance between the middles of the upright plates; without it they stand flush with the edges
    """
    B, f, h, w = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(v, float)) for v in (width, flange_thickness, web_height, web_thickness))
    )
    s = B - w if apart is None else np.broadcast_to(np.asarray(apart, float), B.shape)
    H, size = h + 2 * f, {"B": B, "t_f": f, "h": h, "t_w": w}
    Ix, Iy = second_moment_box.si(**size), weak_second_moment_box.si(**size, s=s)
    return assemble(
        "box",
        height=H,
        width=B,
        t=np.minimum(f, w),
        t_f=f,
        t_w=w,
        flat_h=h,
        flat_b=s - w,
        A=area_box.si(**size),
        Ix=Ix,
        Iy=Iy,
        Sx=section_modulus_of_depth.si(I=Ix, H=H),
        Sy=section_modulus_of_depth.si(I=Iy, H=B),
        Zx=B * f * (h + f) + w * h**2 / 2,
        Zy=f * B**2 / 2 + h * w * s,
        Av_x=shear_area_box.si(h_m=h + f, s=s, t_f=f, t_w=w),
        Av_y=shear_area_box.si(h_m=s, s=h + f, t_f=w, t_w=f),
        J=torsion_constant_box.si(t_f=f, h=h, t_w=w, s=s),
        C=2 * s * (h + f) * np.minimum(f, w),
        mass_per_length=mass_per_length,
        coat_per_length=2 * (H + B),
    )


@dataclass(frozen=True)
class Layers:
    """Many sections built of parallel rectangles without slip, SI floats: arrays [design, part].

    E, b, h  stiffness, width and depth of each part;  y  the height of its middle above a common line
    """

    E: np.ndarray
    b: np.ndarray
    h: np.ndarray
    y: np.ndarray

    @property
    def EA(self) -> np.ndarray:
        return (self.E * self.b * self.h).sum(-1)

    @property
    def neutral_axis(self) -> np.ndarray:
        """Height of the neutral axis above the common line."""
        return (self.E * self.b * self.h * self.y).sum(-1) / self.EA

    @property
    def EI(self) -> np.ndarray:
        arm = self.y - self.neutral_axis[..., None]
        return (self.E * (second_moment_bar.si(b=self.b, h=self.h) + self.b * self.h * arm**2)).sum(-1)

    def stress(self, moment, height) -> np.ndarray:
        """Stress [design, part] of a sagging moment [design] at `height` [design, part]; tension positive."""
        moment = np.asarray(moment, float)
        return -self.E * (moment / self.EI)[..., None] * (height - self.neutral_axis[..., None])
