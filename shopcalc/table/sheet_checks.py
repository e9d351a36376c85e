"""The sheet of podiums: the shear it is drawn into, when it wrinkles, and what its fixings carry of it.

No strength of the table counts on the sheet (the bare frame is checked). Here it is taken as stiff as it can be, in joints as
soft as they can be, in every state of top and feet, so that it draws the most: its fixings must hold that, or they work loose.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from shopcalc.check import (
    ASK,
    OUTSIDE,
    REPORTED,
    Check,
    allowable,
    allowable_line,
    compare,
    load_factor,
)
from shopcalc.codes.aisc360_22.scope import cover
from shopcalc.formula import formula
from shopcalc.joints import sheet_screws, welds_sheet_steel
from shopcalc.mechanics.plate_buckling import (
    shear_buckling_factor,
    shear_buckling_stress,
)
from shopcalc.stock.fasteners import wood_screw
from shopcalc.stock.steels import steel
from shopcalc.stock.tubes import Tube
from shopcalc.table.assembly import Member
from shopcalc.table.bases.fit import metres
from shopcalc.table.checks import case_words, provenance
from shopcalc.table.frame import holds_of, sizes_of, table_frame
from shopcalc.table.frame_cases import FrameCase
from shopcalc.table.frame_checks import ALIKE
from shopcalc.table.frame_solve import (
    CARRIED,
    Solved,
    feet_of,
    quick_solve,
    strength_cases,
)
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.panels import diagonals, has_sheet
from shopcalc.units import (
    Force,
    Length,
    LoadPerLength,
    Q,
    Quantity,
    magnitude,
    number,
    show_length,
)

ABOUT = "podium.sheet"
POST = "podium.left.post.outer.front"  # bars of podiums are all of one stock
# Top and feet as they are asked, the worst counts: a top that only lies there leaves each podium to itself, and feet that
# slide leave what a stretcher turns to the sheet.
STATES = (("sliding", "gripping"), ("sliding", "gliding"), ("dead weight", "gripping"), ("dead weight", "gliding"), ("clamped", "gripping"))
RANGE = ("service loads, first order; the worst of tied, loose and clamped tops and of feet that grip or slide, the sheet as stiff as it can be, "
         "joints soft, lifting feet held down",
         "the flow taken as even over a panel, forces along its edges alone")
ASSUMED = "sheet of the podiums: tensile strength {}, of steel of unknown make or of the bars, the lower (the job does not name it)"
NOT_COUNTED = "no strength of the table counts on the sheet: if its fixings let go the bare frame still stands"
WRINKLES = "a sheet is never quite flat: dents and heat of welding make it wrinkle earlier"


@formula(symbol="q", source="statics, shear panel")
def shear_flow(*, V: Force, b: Length) -> LoadPerLength:
    """Force per length along every edge of a panel.

    V  level force that the panel carries
    b  its width
    """
    return V / b


@formula(symbol="P", source="statics")
def force_of_a_screw(*, q: LoadPerLength, s: Length) -> Force:
    """Force on one screw in a row along an edge.

    q  force per length along the edge
    s  from screw to screw
    """
    return q * s


@dataclass(frozen=True)
class _Worst:
    """Worst panel of the kinds of load asked: name, its level force (N), width, height (m), case."""

    panel: str
    force: float
    width: float
    height: float
    solved: Solved
    row: int

    @property
    def kind(self) -> str:
        return self.solved.cases[self.row].case.kind

    @property
    def flow(self) -> float:
        return self.force / self.width


def sheet_checks(job: Job, g: Geometry, every: list[FrameCase]) -> Iterator[Check]:
    """Shear in the sheet of podiums and its fixings; nothing where there is none."""
    if not has_sheet(job):
        return
    worst = _worst_by_kind(job, g, every)
    if worst:
        most = max(worst.values(), key=lambda w: w.flow)
        yield _wrinkling(job, g, most)
        yield _fixings(job, g, worst)


def _worst_by_kind(job: Job, g: Geometry, every: list[FrameCase]) -> dict[str, _Worst]:
    asked = strength_cases(g, every)
    rows = diagonals(job, g, whole=True)
    found: dict[str, _Worst] = {}
    for state, feet in dict.fromkeys((state, feet_of(job, feet)) for state, feet in STATES):
        table = table_frame(job, g, state=state, joints="soft", feet=feet, sheet="whole")
        mine = tuple(c for c in asked if c.case.kind != "handling" or state in CARRIED)
        holds = holds_of(table, g, [(c.held, frozenset()) for c in mine])
        s = Solved(table, mine, quick_solve(table.frame, sizes_of(table, mine), "first", 1.0, holds=holds), 1.0)
        number_of = s.answer.frame.member_number
        for one, two in zip(rows[::2], rows[1::2], strict=True):
            pull = [s.answer.end_forces[:, number_of[d.name], 6] for d in (one, two)]
            b, h = _level(one.first, two.first), one.first.length
            # Of both diagonals alike is a squeeze, which is no shear.
            force = np.nan_to_num(abs(pull[0] - pull[1]) * b / np.hypot(b, h), nan=0.0)
            for i, c in enumerate(mine):
                before = found.get(c.case.kind)
                if before is None or force[i] / b > before.flow * (1 + ALIKE):
                    found[c.case.kind] = _Worst(one.name.rpartition(".")[0], float(force[i]), b, h, s, i)
    return found


def _level(one: Member, two: Member) -> float:
    return float(np.linalg.norm(np.subtract(two.first, one.first)))


def _words(panel: str) -> str:
    _, side, face = panel.split(".")
    return f"{face} sheet of the {side} podium"


def _flow(job: Job, flow: float) -> str:
    unit, word = ("lbf/inch", "lbf/in") if job.system == "inch" else ("N/mm", "N/mm")
    return f"{number(float(Quantity(flow, 'N/m').to(unit).magnitude), 3)} {word}"


def _common(job: Job, w: _Worst, what: str, words: str) -> dict:
    case = w.solved.cases[w.row]
    return {"id": f"{ABOUT}/{what}", "name": f"Sheet of a podium: {words}", "about": ABOUT, "kind": case.case.kind,
            "case": case_words(job, case.case, f"{case.where}; {w.solved.words}"), "range": RANGE}


def _shown(job: Job, flow: float):
    return Quantity(flow, "N/m").to("lbf/inch" if job.system == "inch" else "N/mm")


def _wrinkling(job: Job, g: Geometry, w: _Worst) -> Check:
    """The flow beside that at which a flat sheet with hinged edges wrinkles: reported."""
    E = g.members[POST].tube.steel.E
    a, b, t = Quantity(max(w.width, w.height), "m"), Quantity(min(w.width, w.height), "m"), Quantity(metres(job.model.base.podiums.sheet), "m")
    k_s = shear_buckling_factor(a=a, b=b)
    tau = shear_buckling_stress(k_s=k_s, E=E, nu=Q(0.3, ""), t=t, b=b)
    holds = float(magnitude(tau, "Pa")) * float(magnitude(t, "m"))
    stays = w.flow <= holds
    lines = (shear_flow.worked(V=Quantity(w.force, "N"), b=Quantity(w.width, "m"), system=job.system),
             shear_buckling_factor.worked(a=a, b=b, system=job.system),
             shear_buckling_stress.worked(k_s=k_s, E=E, nu=Q(0.3, ""), t=t, b=b, system=job.system))
    return Check(
        **_common(job, w, "shear", "shear"), verdict=REPORTED, demand=_shown(job, w.flow), ratio=None, worked=lines,
        clause="no strength counts on it; elastic shear buckling of a hinged plate", source="theory-elastic-stability",
        provenance=provenance("theory-elastic-stability"), cautions=(NOT_COUNTED, WRINKLES),
        detail=f"{_words(w.panel)}: at most {_flow(job, w.flow)} along its edges; flat and hinged at its edges it wrinkles at {_flow(job, holds)}"
               + (": it stays flat" if stays else ": it wrinkles then, which is seen and heard; thicker sheet, or a rib across the middle"))


def _fixings(job: Job, g: Geometry, worst: dict[str, _Worst]) -> Check:
    """What holds the sheet, against the flow along its edges: by a published rule or a rating, else reported."""
    p = job.model.base.podiums
    made = min(steel("unknown", "unknown", "shaped").Fu, g.members[POST].tube.steel.Fu)
    F_u, t = float(magnitude(made, "Pa")), metres(p.sheet)
    most = max(worst.values(), key=lambda w: w.flow)
    assumed = (ASSUMED.format(f"{magnitude(made, 'ksi'):.0f} ksi" if job.system == "inch" else f"{magnitude(made, 'MPa'):.0f} MPa"),)
    edges = f"along every edge of the {_words(most.panel)}"
    named = p.fixing == "welded all round" or p.screws is not None
    metal = cover(g.members[POST].tube.product)
    if named and metal.verdict == OUTSIDE:
        return Check(**_common(job, most, "fixings", "fixings"), verdict=ASK, demand=_shown(job, most.flow), clause="AISI S100 is for carbon steel",
                     source="aisi-s100", provenance=provenance("aisi-s100"), cautions=(NOT_COUNTED,),
                     detail=f"{edges}: {_flow(job, most.flow)} at most; {metal.why}: {metal.ways}")
    if p.fixing == "screwed" and p.screws is not None:
        return _screws(job, g, worst, F_u, t, assumed)
    if p.fixing == "welded all round":
        def use(w):
            return float(welds_sheet_steel.least(F_u, t, w.height, w.kind, job.method)[0][0])
        w, ratio, limit = _of(job, worst, use)
        return _compared(job, w, ratio, limit, "AISI S100 J2.5, sheet beside a weld that runs all round", "aisi-s100", assumed,
                         f"{edges}: welds all round, the sheet tears beside them",
                         ("short runs of weld carry only their share of the edge: scale by what is welded", "thin sheet draws and buckles with the heat: back-step",
                          "sheet over 0.10 in asks for a throat of its own strength besides, which is not checked"))
    if p.fixing == "taped" and p.rated is not None:
        rated = float(magnitude(p.rated, "N/m"))
        w, ratio, limit = _of(job, worst, lambda w: rated)
        return _compared(job, w, ratio, limit, "rating of its maker, as the job says (base.podiums.rated)", "statics", (),
                         f"{edges}: tape or glue as rated", ("tape creeps under a load that stays and lets go with heat, dust or oil: its maker says for how long",))
    ask = {"screwed": f"a screw every {show_length(Quantity(0.1016, 'm'), job.system)} would carry "
                      f"{_force(job, most.flow * 0.1016)}; name them (base.podiums.screws) to have them checked",
           "taped": "name what its maker rates the tape for (base.podiums.rated) to have it checked"}[p.fixing]
    return Check(**_common(job, most, "fixings", "fixings"), verdict=REPORTED, demand=_shown(job, most.flow), clause="statics, shear panel",
                 source="statics", provenance=provenance("statics"), cautions=(NOT_COUNTED,), detail=f"{edges}: {_flow(job, most.flow)} at most; {ask}",
                 worked=(shear_flow.worked(V=Quantity(most.force, "N"), b=Quantity(most.width, "m"), system=job.system),))


def _force(job: Job, newtons: float) -> str:
    unit = "lbf" if job.system == "inch" else "N"
    return f"{number(float(Quantity(newtons, 'N').to(unit).magnitude), 3)} {unit}"


def _of(job: Job, worst: dict[str, _Worst], allowed) -> tuple[_Worst, float, float]:
    """Of every kind of load the worst of flow over what is allowed for it, both per length."""
    rows = [(load_factor(w.kind, job.method) * w.flow / allowed(w), i, w) for i, w in enumerate(worst.values())]
    ratio, _, w = max(rows, key=lambda row: (np.isnan(row[0]), row[0], -row[1]))
    return w, ratio, allowed(w)


def _compared(job: Job, w: _Worst, ratio: float, limit: float, clause: str, source: str, assumed, detail: str, cautions, worked=()) -> Check:
    if not np.isfinite(ratio):
        return Check(**_common(job, w, "fixings", "fixings"), verdict=OUTSIDE, clause=clause, source=source, provenance=provenance(source),
                     assumed=assumed, cautions=(*cautions, NOT_COUNTED),
                     detail=f"{detail}: the rule holds for sheet up to 3/16 in and screws up to 1/4 in; ask an engineer")
    ratio, verdict = compare(ratio, 1.0)
    return Check(**_common(job, w, "fixings", "fixings"), verdict=verdict, demand=_shown(job, load_factor(w.kind, job.method) * w.flow),
                 limit=_shown(job, limit), ratio=ratio, clause=clause, source=source, provenance=provenance(source), assumed=assumed,
                 detail=f"{detail}; {_flow(job, w.flow)} at most", cautions=(*cautions, NOT_COUNTED), worked=worked)


def _screws(job: Job, g: Geometry, worst: dict[str, _Worst], F_u: float, t: float, assumed) -> Check:
    p = job.model.base.podiums
    bar = g.members[POST]
    steel_of, thick = bar.tube.steel, float(bar.design.t[0])
    d, apart = wood_screw(p.screws.size).D, metres(p.screws.every)
    P_ss = Q(sheet_screws.BREAKS[p.screws.size], "lbf")
    sizes = {"t_1": t, "t_2": thick, "d": float(magnitude(d, "m")), "F_u1": F_u, "F_u2": float(magnitude(steel_of.Fu, "Pa")),
             "P_ss": float(magnitude(P_ss, "N"))}
    strength = sheet_screws.screw_in_shear(**sizes)
    w, ratio, limit = _of(job, worst, lambda w: float(allowable(strength, w.kind, job.method)[0]) / apart)
    flow, s = Quantity(w.flow, "N/m"), Quantity(apart, "m")

    def lines():
        made = [shear_flow.worked(V=Quantity(w.force, "N"), b=Quantity(w.width, "m"), system=job.system),
                force_of_a_screw.worked(q=flow, s=s, system=job.system)]
        if thick / t < 2.5:
            made.append(sheet_screws.screw_tilts.worked(t_2=Quantity(thick, "m"), d=d, F_u2=steel_of.Fu, system=job.system))
        made += [sheet_screws.screw_bears.worked(t=Quantity(a, "m"), d=d, F_u=Quantity(f, "Pa"), system=job.system)
                 for a, f in ((t, F_u), (thick, sizes["F_u2"]))]
        made.append(sheet_screws.screw_breaks.worked(P_ss=P_ss, system=job.system))
        return (*made, allowable_line(strength, "N", w.kind, job.method, job.system))

    return _compared(job, w, ratio, limit, f"{strength.clause}: {strength.state()}", sheet_screws.SOURCE,
                     (*assumed, f"{p.screws.size} screws shear off at {_force(job, sizes['P_ss'])}, an average of makers"),
                     f"along every edge of the {_words(w.panel)}: {p.screws.size} screws every {show_length(s, job.system)}, each {_force(job, w.flow * apart)}",
                     (sheet_screws.SCREW_ITSELF, "screws at least three diameters from one another and from an edge; into the flat of a tube, not its corner",
                      *(() if isinstance(bar.tube, Tube) else ("the bar is no tube: its screwed leg is taken at its own thickness",))), lines)
