"""Section properties.

Formulas of one tube (quantities at the door, `.si` inside) and array kernels over many. Axes as the code's
tables: x-x is horizontal, bending about it carries upright load; `H` is upright, `B` flat, so Ix is the
strong axis of a tube that stands on edge. EN tables call the strong axis y-y and some list B x H: check
Ix against Iy. Corners are true quarter rounds: outside radius ro, inside ri.

Torsion has two conventions: AISC tables J = 4 Am^2 t/p and C; EN tables I_t (with t^3 p/3 added) and C_t.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from shopcalc.formula import formula, frac, pi, sqrt
from shopcalc.units import (
    Area,
    Density,
    Length,
    MassPerLength,
    SecondMoment,
    SectionModulus,
)

# --- the corner: a square of side r less its quarter circle --------------------------------------


# Exact numbers, worked out once: area, inset of the centroid, second moment about it, of the missing corner.
_AREA = 1 - pi / 4
_INSET = (10 - 3 * pi) / (12 - 3 * pi)
_OWN = frac(1, 3) - pi / 16 - 1 / (36 - 9 * pi)
_FOUR_LESS_PI = 4 - pi


def _rounded_second_moment(H, B, r):
    a = H / 2 - _INSET * r
    return B * H**3 / 12 - 4 * (_OWN * r**4 + _AREA * r**2 * a**2)


def _rounded_plastic_modulus(H, B, r):
    return B * H**2 / 4 - 4 * _AREA * r**2 * (H / 2 - _INSET * r)


def _middle_line(H, B, t, ro, ri):
    """Length of the middle line of the wall and the area inside it."""
    rc = (ro + ri) / 2
    return (2 * (H - t + B - t) - 2 * _FOUR_LESS_PI * rc, (H - t) * (B - t) - _FOUR_LESS_PI * rc**2)


# --- square and rectangular tube -----------------------------------------------------------------


@formula(symbol="A", source="en-10219-2, annex A; geometry of a rounded rectangle")
def area_rectangular_tube(*, H: Length, B: Length, t: Length, ro: Length, ri: Length) -> Area:
    """Area of the wall of a square or rectangular tube.

    H   outside height, upright
    B   outside width, flat
    t   wall
    ro  outside radius of a corner
    ri  inside radius of a corner
    """
    return H * B - (H - 2 * t) * (B - 2 * t) - _FOUR_LESS_PI * (ro**2 - ri**2)


@formula(symbol="I", source="en-10219-2, annex A; geometry of a rounded rectangle")
def second_moment_rectangular_tube(
    *, H: Length, B: Length, t: Length, ro: Length, ri: Length
) -> SecondMoment:
    """Second moment about the axis across the height (for the other axis give the sizes swapped).

    H   outside height, across the axis
    B   outside width, along the axis
    t   wall
    ro  outside radius of a corner
    ri  inside radius of a corner
    """
    return _rounded_second_moment(H, B, ro) - _rounded_second_moment(H - 2 * t, B - 2 * t, ri)


@formula(symbol="Z", source="en-10219-2, annex A; geometry of a rounded rectangle")
def plastic_modulus_rectangular_tube(
    *, H: Length, B: Length, t: Length, ro: Length, ri: Length
) -> SectionModulus:
    """Plastic section modulus about the axis across the height.

    H   outside height, across the axis
    B   outside width, along the axis
    t   wall
    ro  outside radius of a corner
    ri  inside radius of a corner
    """
    return _rounded_plastic_modulus(H, B, ro) - _rounded_plastic_modulus(H - 2 * t, B - 2 * t, ri)


@formula(symbol="J", source="aisc-manual-15, part 17 and table 1-11; thin closed section (Bredt)")
def torsion_constant_rectangular_tube_aisc(
    *, H: Length, B: Length, t: Length, ro: Length, ri: Length
) -> SecondMoment:
    """Torsion constant as AISC tables it, 4 Am^2 t/p on the middle line, without the t^3 term.

    H   outside height
    B   outside width
    t   wall
    ro  outside radius of a corner
    ri  inside radius of a corner
    """
    p, Am = _middle_line(H, B, t, ro, ri)
    return 4 * Am**2 * t / p


@formula(symbol="C", source="aisc-360-22, H3.1 user note; thin closed section (Bredt)")
def torsion_modulus_rectangular_tube_aisc(
    *, H: Length, B: Length, t: Length, ro: Length, ri: Length
) -> SectionModulus:
    """Torsion modulus as AISC tables it: torque over shear stress, 2 t Am. With radii 2 t and t this is
    2 (B - t)(H - t) t - 4.5 (4 - pi) t^3.

    H   outside height
    B   outside width
    t   wall
    ro  outside radius of a corner
    ri  inside radius of a corner
    """
    p, Am = _middle_line(H, B, t, ro, ri)
    return 2 * t * Am


@formula(symbol="I_t", source="en-10219-2, annex A")
def torsion_constant_rectangular_tube_en(
    *, H: Length, B: Length, t: Length, ro: Length, ri: Length
) -> SecondMoment:
    """Torsion constant as EN tables it: t^3 p/3 more than AISC's.

    H   outside height
    B   outside width
    t   wall
    ro  outside radius of a corner
    ri  inside radius of a corner
    """
    p, Am = _middle_line(H, B, t, ro, ri)
    return t**3 * p / 3 + 4 * Am**2 * t / p


@formula(symbol="C_t", source="en-10219-2, annex A")
def torsion_modulus_rectangular_tube_en(
    *, H: Length, B: Length, t: Length, ro: Length, ri: Length
) -> SectionModulus:
    """Torsion modulus as EN tables it, I_t/(t + K/t) with K = 2 Am t/p: about a tenth under AISC's.

    H   outside height
    B   outside width
    t   wall
    ro  outside radius of a corner
    ri  inside radius of a corner
    """
    p, Am = _middle_line(H, B, t, ro, ri)
    return (t**3 * p / 3 + 4 * Am**2 * t / p) / (t + 2 * Am / p)


@formula(symbol="A_s", source="thin-wall-shear, closed box by shear-flow energy")
def shear_area_rectangular_tube(*, H: Length, B: Length, t: Length) -> Area:
    """Area that carries shear along the height in the stiffness of a thin box (all four walls, by energy).

    H  outside height, along the shear
    B  outside width
    t  wall
    """
    h, b = H - t, B - t
    return 10 * t * h**2 * (h + 3 * b) ** 2 / (3 * (5 * b**3 + 15 * b**2 * h + 10 * b * h**2 + 2 * h**3))


@formula(symbol="b", source="aisc-360-22, B4.1b(d)")
def flat_width(*, B: Length, t: Length) -> Length:
    """Flat of a side for wall slenderness where the corner radius is not known.

    B  outside size of the side
    t  wall
    """
    return B - 3 * t


@formula(symbol="u", source="geometry, perimeter of a rounded rectangle")
def coat_rectangular_tube(*, H: Length, B: Length, ro: Length) -> Length:
    """Outside surface to coat per length of tube.

    H   outside height
    B   outside width
    ro  outside radius of a corner
    """
    return 2 * (H + B) - 2 * _FOUR_LESS_PI * ro


@formula(symbol="m", source="section-tables-density, mass from the nominal wall with radii 2 t and t")
def mass_rectangular_tube(rho: Density, *, H: Length, B: Length, t: Length) -> MassPerLength:
    """Mass per length of a square or rectangular tube from its nominal wall, corners 2 t outside, t inside.

    rho  density of the metal
    H    outside height
    B    outside width
    t    nominal wall
    """
    return rho * (2 * t * (H + B - 2 * t) - 3 * _FOUR_LESS_PI * t**2)


# --- round tube and pipe -------------------------------------------------------------------------


@formula(symbol="A", source="geometry, ring")
def area_round_tube(*, D: Length, t: Length) -> Area:
    """Area of the wall of a round tube or pipe.

    D  outside diameter (1-1/2 pipe measures 1.900 in)
    t  wall
    """
    return pi * t * (D - t)


@formula(symbol="I", source="geometry, ring")
def second_moment_round_tube(*, D: Length, t: Length) -> SecondMoment:
    """Second moment of a round tube about a diameter.

    D  outside diameter
    t  wall
    """
    return pi * (D**4 - (D - 2 * t) ** 4) / 64


@formula(symbol="Z", source="geometry, ring")
def plastic_modulus_round_tube(*, D: Length, t: Length) -> SectionModulus:
    """Plastic section modulus of a round tube.

    D  outside diameter
    t  wall
    """
    return (D**3 - (D - 2 * t) ** 3) / 6


@formula(symbol="J", source="geometry, ring; exact torsion of a round tube")
def torsion_constant_round_tube(*, D: Length, t: Length) -> SecondMoment:
    """Torsion constant of a round tube, twice its second moment, in both conventions.

    D  outside diameter
    t  wall
    """
    return pi * (D**4 - (D - 2 * t) ** 4) / 32


@formula(symbol="C", source="aisc-manual-15, table 1-13; geometry, ring")
def torsion_modulus_round_tube(*, D: Length, t: Length) -> SectionModulus:
    """Torsion modulus of a round tube: torque over the shear stress at the outside.

    D  outside diameter
    t  wall
    """
    return pi * (D**4 - (D - 2 * t) ** 4) / (16 * D)


@formula(symbol="A_s", source="thin-wall-shear, ring by shear-flow energy")
def shear_area_round_tube(*, D: Length, t: Length) -> Area:
    """Area that carries shear in the stiffness of a thin round tube: half of it.

    D  outside diameter
    t  wall
    """
    return pi * t * (D - t) / 2


@formula(symbol="u", source="geometry, perimeter of a circle")
def coat_round_tube(D: Length) -> Length:
    """Outside surface to coat per length of round tube.

    D  outside diameter
    """
    return pi * D


@formula(symbol="m", source="section-tables-density, mass from the nominal wall")
def mass_round_tube(rho: Density, *, D: Length, t: Length) -> MassPerLength:
    """Mass per length of a round tube or pipe from its nominal wall.

    rho  density of the metal
    D    outside diameter
    t    nominal wall
    """
    return rho * pi * t * (D - t)


# --- any section ---------------------------------------------------------------------------------


@formula(symbol="S", source="geometry, definition of the section modulus")
def section_modulus(I: SecondMoment, c: Length) -> SectionModulus:
    """Elastic section modulus.

    I  second moment of area
    c  from the centroid to the outermost fibre
    """
    return I / c


@formula(symbol="S", source="geometry, definition of the section modulus")
def section_modulus_of_depth(I: SecondMoment, H: Length) -> SectionModulus:
    """Elastic section modulus of a section that is alike above and below its middle.

    I  second moment of area
    H  outside height across the axis
    """
    return 2 * I / H


@formula(symbol="r", source="geometry, definition of the radius of gyration")
def radius_of_gyration(I: SecondMoment, A: Area) -> Length:
    """Radius of gyration.

    I  second moment of area
    A  area
    """
    return sqrt(I / A)


@formula(symbol="I_z", source="geometry, principal axes")
def least_second_moment(I_xy: SecondMoment, *, I_x: SecondMoment, I_y: SecondMoment) -> SecondMoment:
    """Second moment about the weak principal axis, which governs the buckling of an angle.

    I_xy  product of inertia
    I_x   second moment about x
    I_y   second moment about y
    """
    return (I_x + I_y) / 2 - sqrt(((I_x - I_y) / 2) ** 2 + I_xy**2)


# --- many at once --------------------------------------------------------------------------------

RECTANGULAR = "rectangular tube"
ROUND = "round tube"


@dataclass(frozen=True)
class SectionArrays:
    """Properties of many sections, SI floats, first axis = design. Made by the kernels below.

    kind            "rectangular tube" (square too), "round tube" (pipe too), "angle", "channel", "flat bar"
                    (square bar too), "round bar", "box"
    height, width   outside, upright and flat; t the wall or thickness that these properties were made with;
                    t_f of the flat sides (flanges), t_w of the upright ones (webs) where they differ, else t
    flat_h, flat_b  flats of the upright and flat sides, H - 3t and B - 3t of a tube; nan where there are none
    A, I, S, Z, r   x: bending that carries upright load; y: sideways load; S to the outermost fibre
    Ixy, I_min, r_min, tilt  product of inertia, weak principal axis, and how far the strong principal axis
                    is turned from x (radians, anticlockwise; 0 where x and y are themselves principal)
    x_bar, y_bar    centroid from the left and from the bottom; e_o shear centre to the left of the back of a
                    channel's web, 0 for other kinds; C_w warping constant
    Av_x, Av_y      shear area for stiffness that goes with bending about x (load upright) and about y
    J, C            torsion constant and modulus in the convention of the product's section tables
    mass_per_length, coat_per_length  always from the nominal wall; outside surface
    """

    kind: np.ndarray
    height: np.ndarray
    width: np.ndarray
    t: np.ndarray
    t_f: np.ndarray
    t_w: np.ndarray
    flat_h: np.ndarray
    flat_b: np.ndarray
    A: np.ndarray
    Ix: np.ndarray
    Iy: np.ndarray
    Sx: np.ndarray
    Sy: np.ndarray
    Zx: np.ndarray
    Zy: np.ndarray
    rx: np.ndarray
    ry: np.ndarray
    Ixy: np.ndarray
    I_min: np.ndarray
    r_min: np.ndarray
    tilt: np.ndarray
    x_bar: np.ndarray
    y_bar: np.ndarray
    e_o: np.ndarray
    C_w: np.ndarray
    Av_x: np.ndarray
    Av_y: np.ndarray
    J: np.ndarray
    C: np.ndarray
    mass_per_length: np.ndarray
    coat_per_length: np.ndarray

    def __len__(self) -> int:
        return len(self.A)

    def __getitem__(self, which) -> SectionArrays:
        """The designs `which` (an index array, a slice, a mask or one number), still as arrays."""
        take = np.atleast_1d(np.arange(len(self))[which])
        return SectionArrays(**{f.name: getattr(self, f.name)[take] for f in fields(self)})

    def turned(self) -> SectionArrays:
        """The same sections laid on their side: what was upright lies flat. Only for sections with two axes
        of symmetry: ValueError for an angle or a channel."""
        if np.any(np.isin(self.kind, ("angle", "channel"))):
            raise ValueError(
                "an angle or a channel is not the same when it is turned; describe it as it lies"
            )
        return self.swapped()

    def swapped(self) -> SectionArrays:
        """As `turned` where the shapes are known to have two axes of symmetry: no look at a million kinds."""
        swap = {
            "height": "width",
            "flat_h": "flat_b",
            "t_w": "t_f",
            "Ix": "Iy",
            "Sx": "Sy",
            "Zx": "Zy",
            "rx": "ry",
            "Av_x": "Av_y",
            "x_bar": "y_bar",
        }
        swap |= {b: a for a, b in swap.items()}
        return SectionArrays(**{f.name: getattr(self, swap.get(f.name, f.name)) for f in fields(self)})


def assemble(kind: str, **given) -> SectionArrays:
    """Array kernel: a batch from its properties, filling in what two axes of symmetry or A and I settle:
    radii of gyration, principal axes, centroid in the middle, no flats, no warping."""
    given = {k: np.atleast_1d(np.asarray(v, float)) for k, v in given.items()}
    shape = np.broadcast_shapes(*(v.shape for v in given.values()))
    p = {k: np.broadcast_to(v, shape).copy() for k, v in given.items()}
    zero = np.zeros(shape)
    p.setdefault("Ixy", zero)
    p["I_min"] = least_second_moment.si(I_x=p["Ix"], I_y=p["Iy"], I_xy=p["Ixy"])
    p["tilt"] = np.where(p["Ixy"] == 0, 0.0, np.arctan2(-2 * p["Ixy"], p["Ix"] - p["Iy"]) / 2)
    for name, I in (("rx", "Ix"), ("ry", "Iy"), ("r_min", "I_min")):
        p[name] = radius_of_gyration.si(I=p[I], A=p["A"])
    p.setdefault("x_bar", p["width"] / 2)
    p.setdefault("y_bar", p["height"] / 2)
    for name in ("e_o", "C_w"):
        p.setdefault(name, zero)
    for name in ("t_f", "t_w"):
        p.setdefault(name, p["t"])
    for name in ("flat_h", "flat_b"):
        p.setdefault(name, np.full(shape, np.nan))
    return SectionArrays(kind=np.full(shape, kind), **p)


def rectangular_tubes(
    height, width, t, ro, ri, *, mass_per_length, coat_per_length, en=False
) -> SectionArrays:
    """Array kernel, SI: square and rectangular tubes. `en` (bool or mask) picks the EN torsion convention."""
    height, width, t, ro, ri, mass, coat, en = np.broadcast_arrays(
        *(
            np.atleast_1d(np.asarray(v, float))
            for v in (height, width, t, ro, ri, mass_per_length, coat_per_length)
        ),
        np.atleast_1d(en),
    )
    up = {"H": height, "B": width, "t": t, "ro": ro, "ri": ri}
    side = {"H": width, "B": height, "t": t, "ro": ro, "ri": ri}
    Ix, Iy = second_moment_rectangular_tube.si(**up), second_moment_rectangular_tube.si(**side)
    J = np.where(
        en, torsion_constant_rectangular_tube_en.si(**up), torsion_constant_rectangular_tube_aisc.si(**up)
    )
    C = np.where(
        en, torsion_modulus_rectangular_tube_en.si(**up), torsion_modulus_rectangular_tube_aisc.si(**up)
    )
    return assemble(
        RECTANGULAR,
        height=height,
        width=width,
        t=t,
        flat_h=flat_width.si(B=height, t=t),
        flat_b=flat_width.si(B=width, t=t),
        A=area_rectangular_tube.si(**up),
        Ix=Ix,
        Iy=Iy,
        Sx=section_modulus_of_depth.si(I=Ix, H=height),
        Sy=section_modulus_of_depth.si(I=Iy, H=width),
        Zx=plastic_modulus_rectangular_tube.si(**up),
        Zy=plastic_modulus_rectangular_tube.si(**side),
        Av_x=shear_area_rectangular_tube.si(H=height, B=width, t=t),
        Av_y=shear_area_rectangular_tube.si(H=width, B=height, t=t),
        J=J,
        C=C,
        mass_per_length=mass,
        coat_per_length=coat,
    )


def round_tubes(diameter, t, *, mass_per_length, coat_per_length) -> SectionArrays:
    """Array kernel, SI: round tubes and pipes."""
    D, t, mass, coat = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(v, float)) for v in (diameter, t, mass_per_length, coat_per_length))
    )
    one = {"D": D, "t": t}
    I = second_moment_round_tube.si(**one)
    S, Z, Av = (
        section_modulus_of_depth.si(I=I, H=D),
        plastic_modulus_round_tube.si(**one),
        shear_area_round_tube.si(**one),
    )
    return assemble(
        ROUND,
        height=D,
        width=D,
        t=t,
        A=area_round_tube.si(**one),
        Ix=I,
        Iy=I,
        Sx=S,
        Sy=S,
        Zx=Z,
        Zy=Z,
        Av_x=Av,
        Av_y=Av,
        J=torsion_constant_round_tube.si(**one),
        C=torsion_modulus_round_tube.si(**one),
        mass_per_length=mass,
        coat_per_length=coat,
    )


def joined(parts: list[SectionArrays], order: np.ndarray) -> SectionArrays:
    """Parts put into one batch; `order[i]` is the design that row i of the joined parts belongs to."""
    back = np.argsort(order)
    return SectionArrays(
        **{f.name: np.concatenate([getattr(p, f.name) for p in parts])[back] for f in fields(SectionArrays)}
    )
