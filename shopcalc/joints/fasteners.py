"""Fastening a top to a base: wood screws, lags and bolts in inserts, pulled, pushed sideways, or both.

What a maker or a test calls a strength is ultimate; what the code gives is allowable. `Rated` says which,
and only its
`allowable` is ever compared with a load.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pint

from shopcalc.codes import nds
from shopcalc.errors import InputError
from shopcalc.formula import formula
from shopcalc.stock.fasteners import WoodScrew
from shopcalc.units import Force, Length, LoadPerLength, Quantity, Stress, magnitude

# Test values of screws over the code's allowable ones, about; recalled.
ULTIMATE_OVER_ALLOWABLE = 5.0
SLOT_SPARE = 2.0  # mm each way beyond the movement, common practice

CAUTIONS = (
    "A solid top moves across its grain: only the fastening in its middle may be fixed, the others in slots.",
    "Drill pilot holes and wax the screws; steel screws first, then brass. A stripped hole holds nothing.",
)
INSERT_UNRATED = (
    "threaded inserts hold what their maker rates them for in this wood: give the allowable pull, or the "
    "ultimate one, which is divided by 5"
)


@dataclass(frozen=True)
class Rated:
    """A load a maker or a test gives: basis "allowable" or "ultimate"."""

    value: pint.Quantity
    basis: str

    def __post_init__(self):
        if self.basis not in ("allowable", "ultimate"):
            raise InputError(
                field="rated: basis", value=self.basis, need='"allowable" or "ultimate"', example="ultimate"
            )
        if (
            not isinstance(self.value, pint.Quantity)
            or not self.value.check(Quantity(1, "N").dimensionality)
            or self.value.magnitude <= 0
        ):
            raise InputError(
                field="rated: value", value=self.value, need="a force over zero", example="Q(300, 'lbf')"
            )

    @property
    def allowable(self) -> pint.Quantity:
        return self.value if self.basis == "allowable" else self.value / ULTIMATE_OVER_ALLOWABLE


@formula(symbol="W", source="nds-2018, 12.2.1 and 12.2.2")
def pull_of_thread(*, W: LoadPerLength, L: Length) -> Force:
    """Allowable pull of a screw from its value per length of thread.

    W  allowable pull per length of thread
    L  length of thread in the wood, tip left out
    """
    return W * L


@formula(symbol="s", source="geometry; shop-practice for what is spare")
def slot_length(*, d: Length, u: Length, c: Length) -> Length:
    """Length of a slot across the grain for a screw that stands in its middle.

    d  diameter of the screw
    u  greatest movement of the wood at the screw, to either side
    c  spare at each end
    """
    return d + 2 * u + 2 * c


@dataclass(frozen=True)
class Held:
    """What one fastening holds (N): pull and lateral along and across the grain (nan where none), what
    governs, and why not."""

    pull: float
    along: float
    across: float
    mode: str
    refused: str = ""
    cautions: tuple[str, ...] = ()


def thread_of(screw: WoodScrew, length: float) -> float:
    """Array-free kernel (in): length of thread of a screw, its point in it, by NDS appendix L, recalled: two
    thirds of a wood screw; of a lag half its length and 1/2 in, but all save 1/4 in of a short one. Screws
    threaded to the head hold more."""
    if screw.kind == "wood screw":
        return 2 * length / 3
    return min(length / 2 + 0.5, length - 0.25)


def screw_in_wood(
    screw: WoodScrew,
    *,
    G: float,
    length: pint.Quantity,
    plate: pint.Quantity,
    F_e_plate: pint.Quantity,
    end_grain: bool = False,
) -> Held:
    """A wood screw or lag through a steel plate or tab into wood of specific gravity G. length: under the
    head; plate: thickness of the
    steel; F_e_plate: its bearing strength (`bearing_of_steel`)."""
    D, D_r, tip = (float(magnitude(v, "inch")) for v in (screw.D, screw.D_r, screw.tip))
    whole = float(magnitude(length, "inch"))
    into = whole - float(magnitude(plate, "inch"))
    need = nds.LEAST_PENETRATION[screw.kind] * D
    counted = into - (tip if screw.kind == "lag" else 0.0)  # 12.1.4.6: the point of a lag left out
    if counted < need:
        return Held(
            np.nan,
            np.nan,
            np.nan,
            "",
            f"only {max(counted, 0):.2f} in of the screw stands in the wood; {need:.2f} in is the "
            "least the code counts",
        )
    if end_grain and screw.kind == "wood screw":
        return Held(np.nan, np.nan, np.nan, "", "wood screws are not to be pulled from end grain")
    per_inch = nds.lag_withdrawal if screw.kind == "lag" else nds.wood_screw_withdrawal
    thread = thread_of(screw, whole)
    held = min(thread, into) - tip if screw.kind == "lag" else min(thread, into - tip)
    pull = float(per_inch.si(G=G, D=D)) * held * (nds.END_GRAIN if end_grain else 1.0)
    sizes = dict(
        D=D,
        D_r=D_r,
        F_yb=float(magnitude(screw.F_yb, "psi")),
        l_m=into - tip,
        l_s=float(magnitude(plate, "inch")),
        F_es=float(magnitude(F_e_plate, "psi")),
    )
    found = [
        nds.lateral_si(**sizes, F_em=nds.bearing_si(G, D, theta), theta=theta) for theta in (0.0, np.pi / 2)
    ]
    lbf = float(Quantity(1, "lbf").to("N").magnitude)
    factor = nds.LATERAL_END_GRAIN if end_grain else 1.0
    return Held(
        pull * lbf, float(found[0].Z[0]) * lbf * factor, float(found[1].Z[0]) * lbf * factor, found[1].mode()
    )


def bolt_in_insert(*, rated: Rated | None, sideways: Rated | None = None) -> Held:
    """A machine screw in a threaded insert: pull, and level load, as the maker rates them. Nothing is guessed: without a
    rating there is no number. No code covers an insert pushed sideways: it is shorter than any dowel of the NDS."""
    if rated is None:
        return Held(np.nan, np.nan, np.nan, "", INSERT_UNRATED)
    level = np.nan if sideways is None else float(sideways.allowable.to("N").magnitude)
    return Held(float(rated.allowable.to("N").magnitude), level, level, f"{rated.basis} pull of the maker")


def use_of_screw(pull: float, lateral: float, held: Held, across_grain: bool) -> float:
    """Use of one screw under a pull and a lateral load (N) at once: the two shares added, which is cautious
    beside the
    resultant of NDS 12.4-1; inf where it holds nothing of what is asked."""
    Z = held.across if across_grain else held.along
    share = 0.0
    for load, limit in ((max(pull, 0.0), held.pull), (abs(lateral), Z)):
        if load > 0:
            share += load / limit if np.isfinite(limit) and limit > 0 else np.inf
    return float(share)


@formula(symbol="F_es", source="nds-2018, 12.3.2: 61,850 psi at F_u 45 ksi in table 12K")
def bearing_of_steel(F_u: Stress) -> Stress:
    """Bearing strength of a thin steel plate beside wood, at normal duration.

    F_u  tensile strength of the plate
    """
    return 1.375 * F_u
