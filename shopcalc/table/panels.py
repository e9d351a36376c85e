"""The sheet of a podium as shear panels: what it adds to the stiffness of the framed box it is screwed, taped or welded to.

A panel of shear stiffness G t between four bars keeps their rectangle square: it moves by V h/(G t b) under a level force V.
Its fixings slip and a thin sheet bows, so only a part of G t is counted; the part is the kit's own cautious choice (common
practice has no number for furniture). In the frame a panel stands as two hinged diagonals that are as stiff.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shopcalc.formula import formula
from shopcalc.stock.tubes import Tube
from shopcalc.table.assembly import Member
from shopcalc.table.bases.fit import metres
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.jobfile.base import PodiumBase
from shopcalc.units import Area, Length, LoadPerLength, Ratio, Stress, magnitude

# Part of G t that is counted, by how the sheet is fixed: common practice, the kit's own choice.
COUNTED = {"welded all round": 0.5, "screwed": 0.2, "taped": 0.05}
FACES = {"front": ("outer.front", "inner.front"), "back": ("outer.back", "inner.back"), "outer": ("outer.front", "outer.back"),
         "inner": ("inner.front", "inner.back")}


@formula(symbol="k", source="beam-theory, shear panel")
def panel_stiffness(*, eta: Ratio, G: Stress, t: Length, b: Length, h: Length) -> LoadPerLength:
    """Level force per movement of the top edge of a panel against its bottom edge.

    eta  part of the shear stiffness that the fixings let work
    G    shear stiffness of the sheet
    t    thickness of the sheet
    b    width of the panel
    h    height of the panel
    """
    return eta * G * t * b / h


@formula(symbol="A", source="beam-theory, shear panel as two diagonals")
def diagonal_area(*, k: LoadPerLength, E: Stress, b: Length, h: Length) -> Area:
    """Section of each of two hinged diagonals that are together as stiff as a panel: of each E A/L cos^2.

    k  level stiffness of the panel
    E  stiffness of the diagonals
    b  width of the panel
    h  height of the panel
    """
    return k * (b**2 + h**2) ** 1.5 / (2 * E * b**2)


@dataclass(frozen=True)
class Diagonal:
    """From the foot of one post to the head of another; section A (m^2)."""

    name: str
    first: Member
    second: Member
    A: float


def has_sheet(job: Job) -> bool:
    base = job.model.base
    return isinstance(base, PodiumBase) and base.podiums.sheet is not None


def sheet_words(job: Job) -> str:
    p = job.model.base.podiums
    return f"its sheet as shear panels ({p.fixing}, {100 * COUNTED[p.fixing]:.0f} % of G t)"


def diagonals(job: Job, g: Geometry, whole: bool = False) -> list[Diagonal]:
    """Two for each clad face of each podium; none where the job has no sheet. whole: all of G t counted, which draws the
    most force into the sheet."""
    if not has_sheet(job):
        return []
    p, found = job.model.base.podiums, []
    for side in ("left", "right"):
        for face, ends in FACES.items():
            one, two = (g.members[f"podium.{side}.post.{e}"] for e in ends)
            steel = one.tube.steel if isinstance(one.tube, Tube) else two.tube.steel
            E, G = float(magnitude(steel.E, "Pa")), float(magnitude(steel.G, "Pa"))
            b = float(np.linalg.norm(np.subtract(two.first, one.first)))
            k = panel_stiffness.si(eta=1.0 if whole else COUNTED[p.fixing], G=G, t=metres(p.sheet), b=b, h=one.length)
            A = float(diagonal_area.si(k=k, E=E, b=b, h=one.length))
            found += [Diagonal(f"sheet.{side}.{face}.{n}", *pair, A) for n, pair in ((1, (one, two)), (2, (two, one)))]
    return found
