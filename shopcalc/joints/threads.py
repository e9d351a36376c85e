"""Threads: stress area, what strips in a tapped wall, preload and torque.

A tapped tube wall holds few threads, so they strip long before a bolt of any grade is at its clamp load. Two
readings of
the strip load stand beside each other: the full shear area of FED-STD-H28 and the third of NASA RP-1228. The
lower one
is the verdict.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pint

from shopcalc.errors import InputError
from shopcalc.formula import formula, pi
from shopcalc.stock.fasteners import Thread
from shopcalc.units import Area, Force, Length, Moment, Quantity, Ratio, Stress, magnitude

# Nut factor of dry and of lightly oiled steel threads, and what a hand wrench scatters about it.
K_DRY, K_OILED, WRENCH = 0.20, 0.15, 0.25
CLAMP_SHARE = 0.75  # of the proof load, for a bolt that is taken out and put back
FULL_THREADS = 1.0  # fewer than this in a wall is no thread at all

CAUTIONS = (
    "Torque is not clamp: K runs from 0.15 (oiled) to 0.20 (dry) and a hand wrench scatters +/- 25 %, so the "
    "clamp of one torque differs by a factor of up to 2.2.",
    "Powder under a bolt head creeps and cracks: mask the bearing faces and the threads, or set a washer on "
    "bare steel and tighten again after a day.",
)


def pitch_of(n) -> pint.Quantity:
    """Pitch of a thread of n to the inch (a number, or a quantity such as 20/inch)."""
    count = float(n.to("1/inch").magnitude) if isinstance(n, pint.Quantity) else float(n)
    if not count > 0:
        raise InputError(field="threads per inch", value=n, need="a number over zero", example="20")
    return Quantity(1 / count, "inch")


@formula(symbol="A_t", source="unified-stress-area")
def stress_area_inch(*, D: Length, P: Length) -> Area:
    """Tensile stress area of a unified thread.

    D  diameter over the thread
    P  pitch
    """
    return 0.7854 * (D - 0.9743 * P) ** 2


@formula(symbol="A_t", source="iso-stress-area")
def stress_area_metric(*, D: Length, P: Length) -> Area:
    """Tensile stress area of a metric thread.

    D  diameter over the thread
    P  pitch
    """
    return 0.7854 * (D - 0.9382 * P) ** 2


def stress_area(thread: Thread) -> pint.Quantity:
    """Tensile stress area of a thread of the list."""
    return (stress_area_metric if thread.metric else stress_area_inch)(D=thread.D, P=thread.pitch)


# --- stripping -----------------------------------------------------------------------------------


@formula(symbol="AS_n", source="fed-std-h28")
def shear_area_internal(*, P: Length, L_e: Length, Ds_min: Length, En_max: Length) -> Area:
    """Area on which the threads of the tapped hole shear.

    P       pitch
    L_e     length of engagement
    Ds_min  least diameter over the thread of the bolt
    En_max  greatest pitch diameter of the hole
    """
    return pi * L_e * Ds_min * (0.5 + 0.57735 * (Ds_min - En_max) / P)


@formula(symbol="AS_s", source="fed-std-h28")
def shear_area_external(*, P: Length, L_e: Length, Kn_max: Length, Es_min: Length) -> Area:
    """Area on which the threads of the bolt shear.

    P       pitch
    L_e     length of engagement
    Kn_max  greatest minor diameter of the hole
    Es_min  least pitch diameter of the bolt
    """
    return pi * L_e * Kn_max * (0.5 + 0.57735 * (Es_min - Kn_max) / P)


@formula(symbol="P_n", source="fed-std-h28; shear strength 0.6 F_u as in AISC 360-22 J4.2(b)")
def strip_by_area(*, F_u: Stress, AS: Area) -> Force:
    """Load that strips threads by their full shear area.

    F_u  tensile strength of what strips
    AS   area on which the threads shear
    """
    return 0.6 * F_u * AS


@formula(symbol="P_n", source="nasa-rp-1228; shear strength 0.6 F_u as in AISC 360-22 J4.2(b)")
def strip_by_third(*, F_u: Stress, d_m: Length, L_e: Length) -> Force:
    """Load that strips a tapped hole, a third of the cylinder at the pitch line counted.

    F_u  tensile strength of the tapped part
    d_m  pitch diameter
    L_e  length of engagement
    """
    return pi * d_m * 0.6 * F_u * L_e / 3


@formula(symbol="n_t", source="geometry")
def threads_engaged(*, L_e: Length, P: Length) -> Ratio:
    """How many threads a length of engagement holds.

    L_e  length of engagement
    P    pitch
    """
    return L_e / P


OMEGA_STRIP, PHI_STRIP = 2.00, 0.75  # shear rupture, AISC 360-22 J4.2(b)


@dataclass(frozen=True)
class Stripping:
    """Strip loads of a bolt in a tapped wall, nominal (N), (n,): by the area of the hole's threads, by the
    area of the
    bolt's, by the third; `least` and what it is."""

    by_hole: np.ndarray
    by_bolt: np.ndarray
    by_third: np.ndarray
    engaged: np.ndarray

    @property
    def least(self) -> np.ndarray:
        return np.minimum(np.minimum(self.by_hole, self.by_bolt), self.by_third)

    @property
    def too_few(self) -> np.ndarray:
        return self.engaged < FULL_THREADS


def stripping(thread: Thread, wall, F_u, bolt_F_u) -> Stripping:
    """Array kernel: a bolt tapped into a wall (m) of tensile strength F_u, the bolt of bolt_F_u (Pa)."""
    P, Ds, Es, En, Kn = (
        float(magnitude(v, "m"))
        for v in (thread.pitch, thread.Ds_min, thread.Es_min, thread.En_max, thread.Kn_max)
    )
    wall, F_u = np.atleast_1d(np.asarray(wall, float)), np.asarray(F_u, float)
    hole = strip_by_area.si(F_u=F_u, AS=shear_area_internal.si(P=P, L_e=wall, Ds_min=Ds, En_max=En))
    bolt = strip_by_area.si(
        F_u=np.asarray(bolt_F_u, float), AS=shear_area_external.si(P=P, L_e=wall, Kn_max=Kn, Es_min=Es)
    )
    basic = float(magnitude(thread.D, "m")) - 0.649519 * P  # basic pitch diameter
    return Stripping(
        *np.broadcast_arrays(
            hole, bolt, strip_by_third.si(F_u=F_u, d_m=basic, L_e=wall), threads_engaged.si(L_e=wall, P=P)
        )
    )


# --- preload and torque --------------------------------------------------------------------------


@formula(symbol="F_i", source="torque-practice")
def preload(*, c: Ratio, S_p: Stress, A_t: Area) -> Force:
    """Clamp force aimed at.

    c    part of the proof load: 0.75 where the bolt is used again
    S_p  proof stress of the bolt
    A_t  tensile stress area
    """
    return c * S_p * A_t


@formula(symbol="F", source="iso-898-1, load is stress times area")
def load_of_stress(*, S: Stress, A_t: Area) -> Force:
    """Proof or ultimate load of a bolt.

    S    proof stress or tensile strength
    A_t  tensile stress area
    """
    return S * A_t


@formula(symbol="T", source="torque-practice")
def torque(*, K: Ratio, d: Length, F_i: Force) -> Moment:
    """Torque for a clamp force.

    K    nut factor: 0.20 dry, 0.15 oiled
    d    diameter of the bolt
    F_i  clamp force
    """
    return K * d * F_i


@formula(symbol="F_i", source="torque-practice")
def clamp_of_torque(*, T: Moment, K: Ratio, d: Length) -> Force:
    """Clamp force that a torque gives.

    T  torque
    K  nut factor
    d  diameter of the bolt
    """
    return T / (K * d)


@dataclass(frozen=True)
class Tightening:
    """How tight to set a bolt: torque with dry and with oiled threads (N m), the clamp aimed at, the least
    and greatest clamp of
    a hand wrench, the clamp if oiled threads get the dry torque (N), and what sets it."""

    dry: float
    oiled: float
    aimed: float
    low: float
    high: float
    if_oiled: float
    limited_by: str


def tightening(
    *, thread: Thread, proof: pint.Quantity, cap: float = np.inf, cap_words: str = ""
) -> Tightening:
    """Torque for a bolt that is used again: 75 % of its proof load, or less where the threads, the nut or
    the wood bear less
    (cap, N; what a hard pull of the wrench may reach)."""
    A_t = float(magnitude(stress_area(thread), "m**2"))
    d = float(magnitude(thread.D, "m"))
    aimed, words = (
        float(preload.si(c=CLAMP_SHARE, S_p=float(magnitude(proof, "Pa")), A_t=A_t)),
        "75 % of the proof load of the bolt",
    )
    if cap / (1 + WRENCH) < aimed:
        aimed, words = cap / (1 + WRENCH), cap_words
    dry, oiled = (float(torque.si(K=K, d=d, F_i=aimed)) for K in (K_DRY, K_OILED))
    return Tightening(
        dry,
        oiled,
        aimed,
        aimed * (1 - WRENCH),
        aimed * (1 + WRENCH),
        aimed * K_DRY / K_OILED * (1 + WRENCH),
        words,
    )
