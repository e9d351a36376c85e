"""Studs of levellers: a rod as thick as the root of its thread, held in the bar, bent by the level force at the foot."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shopcalc.check import OUTSIDE, OVER, WITHIN, Check, load_factor
from shopcalc.codes.aisc360_22 import of_sections
from shopcalc.codes.aisc360_22.of_sections import Demand, Lengths
from shopcalc.formula import formula, frac, sqrt
from shopcalc.stock import fasteners
from shopcalc.stock.open_sections import round_bars
from shopcalc.table.bases.fit import metres
from shopcalc.table.bolts_made import DEFAULT_GRADE, DEFAULT_GRADE_METRIC
from shopcalc.table.checks import case_words, provenance
from shopcalc.table.frame_solve import Solved
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.loads import LoadCase
from shopcalc.units import Force, Length, Moment, Quantity, magnitude, show_length

E_STEEL = 200e9
STIFFNESS = 0.8  # C2.3: as in the frame
BENT = 2.0  # effective length of a rod held at one end (C-A-7.1), which the swivel of the foot lets sway
ABOUT = "rod as thick as the root of its thread, held in the bar, foot taken as a swivel; forces of the frame, level ones up to what the floor rubs"
CAUTION = "what the stud turns into (plug, weld nut, end plate) is not checked; a lock nut against the bar keeps the stud from working loose"


@formula(symbol="d_3", source="asme-b1-1, root of an external thread (the same for metric threads)")
def root_diameter(*, D: Length, p: Length) -> Length:
    """Diameter at the rounded root of an external 60 degree thread.

    D  diameter over the thread
    p  pitch
    """
    return D - frac(17, 24) * sqrt(3) * p


@formula(symbol="M", source="statics")
def stud_moment(*, H: Force, e: Length) -> Moment:
    """Moment where a stud enters the bar.

    H  level force on the foot
    e  from the floor to the bar, wound out
    """
    return H * e


def amplified(moment, push, e, I):  # noqa: E741
    """Moment with the push on the bent stud in it, SI arrays; inf where the push alone buckles it."""
    buckles = np.pi**2 * STIFFNESS * E_STEEL * I / (BENT * e) ** 2
    share = 1.6 * np.maximum(push, 0.0) / buckles
    return np.where(share < 1, moment / np.where(share < 1, 1 - share, 1.0), np.inf)


def stud_checks(job: Job, g: Geometry, cases: dict[str, LoadCase], solved: list[Solved]) -> Iterator[Check]:
    """Worst stud over every foot and every case; nothing where the job names no stud. A foot that is not caught pushes on
    its stud no harder than the floor rubs: the part of the load by which the table is dragged, of what stands on it."""
    foot = job.model.base.feet
    if foot.stud is None:
        return
    thread = fasteners.thread(foot.stud, "base.feet.stud")
    named = foot.stud_grade or (DEFAULT_GRADE_METRIC if thread.metric else DEFAULT_GRADE)
    grade = fasteners.grade(named, thread.D, "base.feet.stud_grade")
    d = root_diameter(D=thread.D, p=thread.pitch)
    section = round_bars(float(magnitude(d, "m")), mass_per_length=0.0)
    e = max(metres(foot.height) + metres(foot.travel), 1e-3)
    F_y = float(magnitude(grade.yields, "Pa"))
    lengths = Lengths.of(e, L_cx=BENT * e, L_cy=BENT * e)
    rub = float(magnitude(cases["drag"].value, ""))
    worst = None
    for s in solved:
        R = np.stack([[s.answer.reaction(n, way) for way in "xyz"] for n in s.table.foot_nodes]) / s.factor  # feet, 3, cases
        R = np.nan_to_num(R, nan=0.0)  # a case in which the table goes over is answered by base/goes over
        H, N = np.hypot(R[:, 0], R[:, 1]), R[:, 2]
        caught = np.array([c.held.startswith("caught:") for c in s.cases])
        H = np.where(caught, H, np.minimum(H, rub * np.maximum(N, 0.0)))
        for kind in dict.fromkeys(c.case.kind for c in s.cases):
            mine = [i for i, c in enumerate(s.cases) if c.case.kind == kind]
            factor = load_factor(kind, job.method)
            h, n = (v[:, mine] for v in (H, N))
            M = amplified(h * e, n, e, section.Ix[0])
            used = of_sections.member_ratios(section, F_y, E_STEEL, Demand.of(P=-factor * n[None], M_x=factor * M[None], V_x=factor * h[None]),
                                             lengths, kind, job.method).ratio[0]
            at = np.unravel_index(int(np.argmax(np.where(np.isnan(used), np.inf, used))), used.shape)
            if worst is None or not used[at] <= worst[0]:
                worst = (float(used[at]), g.feet[at[0]], s, mine[at[1]], float(h[at]), float(n[at]))
    if worst is None:
        return
    ratio, name, s, i, h, n = worst
    force, arm, case = Quantity(h, "N"), Quantity(e, "m"), s.cases[i]
    known = np.isfinite(ratio)
    yield Check(
        id="feet/stud", name="Feet: studs of the levellers", about="feet", kind=case.case.kind,
        verdict=OUTSIDE if np.isnan(ratio) else WITHIN if ratio <= 1 else OVER, case=case_words(job, case.case, f"{case.where}; {s.words}"),
        demand=Quantity(ratio, "") if known else None, limit=Quantity(1.0, "") if known else None, ratio=None if np.isnan(ratio) else ratio,
        clause="E3, F11, H1-1, rod at the root of its thread", source="aisc-360-22", provenance=provenance("aisc-360-22"),
        range=(ABOUT,), cautions=(CAUTION,),
        worked=lambda: (root_diameter.worked(D=thread.D, p=thread.pitch, system=job.system),
                        stud_moment.worked(H=force, e=arm, system=job.system)),
        assumed=() if foot.stud_grade is not None else (f"stud of {named} (base.feet.stud_grade)",),
        detail=f"at {name}: {thread.name} out of its bar by {show_length(arm, job.system)} (height of the foot"
               f"{' and its travel' if foot.travel is not None else ''}), yield {magnitude(grade.yields, 'MPa'):.0f} MPa")
