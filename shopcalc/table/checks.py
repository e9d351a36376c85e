"""The checks of a table: bars against the code, sag, welds, standing, mass.

Each function yields `Check`s for every load case that applies; `assess` takes the worst per id.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import pint

from shopcalc.check import (
    OUTSIDE,
    OVER,
    REPORTED,
    WITHIN,
    Check,
    allowable,
    allowable_line,
    compare,
)
from shopcalc.codes.aisc360_22 import of_tubes
from shopcalc.codes.aisc360_22.scope import THIN, THIN_WALL, cover
from shopcalc.formula import Worked
from shopcalc.joints import welds
from shopcalc.mechanics.statics import tipping_ratio, tipping_ratio_moments, weight_of
from shopcalc.sources import PROVENANCE, source_of
from shopcalc.stock.tubes import Tube
from shopcalc.table.geometry import Geometry, Member
from shopcalc.table.job import Job, Weld
from shopcalc.table.loadpath import LoadedBar, metres, newtons
from shopcalc.table.loads import LoadCase
from shopcalc.table.stability import Body, Standing, arms, edge_words, standing_cases
from shopcalc.units import Q, Quantity, magnitude, show, show_length, show_wall

UNITS = {
    "inch": {"moment": "lbf*ft", "force": "lbf", "length": "inch", "line": "lbf/inch", "mass": "lb", "spread": "psf"},
    "mm": {"moment": "N*m", "force": "N", "length": "mm", "line": "N/mm", "mass": "kg", "spread": "kPa"},
}
DEFAULT_SAG, DEFAULT_OVERHANG, DEFAULT_RIGHTING = 1 / 360, Q(0.25, "inch"), 1.5
PUBLIC_RIGHTING = 2.0


def in_units(job: Job, quantity: pint.Quantity, what: str) -> pint.Quantity:
    return quantity.to(UNITS[job.system][what])


def size_words(job: Job, value: pint.Quantity) -> str:
    """The size of a load as it prints."""
    for unit, what in (("Pa", "spread"), ("N", "force")):
        if value.check(Q(1, unit).dimensionality):
            return show(value, UNITS[job.system][what])
    return show_length(value, job.system) if value.check("[length]") else show(value, "")


def case_words(job: Job, case: LoadCase, where: str) -> str:
    return f"{case.words}, {size_words(job, case.value)}" + (f", {where}" if where else "")


# --- bars ----------------------------------------------------------------------------------------


def bar_checks(job: Job, bar: LoadedBar) -> Iterator[Check]:
    """Bending and shear of one loaded bar under a use load, or its sag under a sag load."""
    if bar.case.kind == "sag":
        yield sag_check(job, bar)
        return
    moment, at = bar.beam.largest("moment")
    shear, _ = bar.beam.largest("shear")
    length = float(magnitude(bar.span, "m"))
    yield bar_check(job, bar, "bending", abs(moment), "moment", length, lambda: bar.beam.worked("moment", at, job.system))
    yield bar_check(job, bar, "shear", abs(shear), "force", length / 2, tuple)


def bar_check(job: Job, bar: LoadedBar, state: str, demand, what: str, length: float,
              demand_lines: Callable[[], tuple[Worked, ...]]) -> Check:
    steel, section = bar.member.tube.steel, bar.member.design
    F_y, E = (float(magnitude(v, "Pa")) for v in (steel.Fy, steel.E))
    strength, clause = of_tubes.strength_of(state, section, F_y, E, length)
    common = dict(
        id=f"{bar.about}/{state}", name=f"{bar.words}: {state}", about=bar.about, kind=bar.case.kind,
        case=case_words(job, bar.case, bar.where), demand=in_units(job, demand, what), clause=clause.clause,
        source=clause.source, provenance=provenance(clause.source), range=clause.range,
        assumed=(*bar.assumed, *bar.member.tube.assumed), cautions=tube_cautions(bar.member.tube))
    metal = cover(bar.member.tube.product)
    if metal.verdict == OUTSIDE:
        return Check(verdict=OUTSIDE, detail=f"{metal.why}: {metal.ways}", worked=demand_lines, **common)
    if not strength.in_range[0]:
        return Check(verdict=OUTSIDE, detail=f"{strength.why_outside}; or ask an engineer", worked=demand_lines, **common)
    unit = "N*m" if what == "moment" else "N"
    limit = float(allowable(strength, bar.case.kind, job.method)[0])
    ratio, verdict = compare(float(magnitude(demand, unit)), limit)
    return Check(verdict=verdict, limit=in_units(job, Quantity(limit, unit), what), ratio=ratio,
                 detail=f"{strength.state()} governs; {factor_words(job, strength)}",
                 worked=lambda: (*demand_lines(), *of_tubes.lines(state, section, F_y, E, length, job.system),
                                 allowable_line(strength, unit, bar.case.kind, job.method, job.system)), **common)


def factor_words(job: Job, strength) -> str:
    return (f"nominal strength over {strength.omega:g} (Omega, ASD)" if job.method == "ASD"
            else f"nominal strength times {strength.phi:g} (phi, LRFD)")


def provenance(reference: str) -> str:
    return source_of(reference).provenance


def tube_cautions(tube: Tube) -> tuple[str, ...]:
    metal = cover(tube.product)
    return (*tube.cautions, *((THIN_WALL,) if tube.wall("nominal") < THIN else ()),
            *((f"{tube.product}: {metal.why}",) if metal.verdict != WITHIN else ()))


def sag_check(job: Job, bar: LoadedBar) -> Check:
    """Sag of a bar between what holds it, with its ends free to turn: the soft bound."""
    sag, at = bar.beam.largest("sag", "down")
    fraction = job.model.limits.sag or DEFAULT_SAG
    limit = bar.span * fraction
    ratio, verdict = compare(float(magnitude(sag, "m")), float(magnitude(limit, "m")))
    own = job.model.limits.sag is not None
    return Check(
        id=f"{bar.about}/sag", name=f"{bar.words}: sag", about=bar.about, kind="sag", verdict=verdict,
        case=case_words(job, bar.case, bar.where), demand=in_units(job, sag, "length"),
        limit=in_units(job, limit, "length"), ratio=ratio,
        clause=f"L/{1 / fraction:.0f} of {show_length(bar.span, job.system)}, "
               + ("the job's choice" if own else "named default, common practice") + "; no code sets one",
        source="beam-theory", provenance=provenance("beam-theory"),
        detail="ends free to turn: the soft bound; welded ends hold it stiffer",
        range=("a straight bar of one section, bending and shear, sag small beside its depth",), worked=lambda: bar.beam.worked("sag", at, job.system),
        assumed=(*bar.assumed, *bar.member.tube.assumed, *(() if own else (f"sag limit L/{1 / fraction:.0f}",))))


def wall_checks(job: Job, g: Geometry) -> Iterator[Check]:
    """The three walls of each stock name, reported: what is paid for, what is counted, what may arrive."""
    for name in dict.fromkeys(m.stock for m in g.members.values()):
        tube = job.tubes[name]
        nominal, design, worst = (show_wall(tube.wall(w), job.system) for w in ("nominal", "design", "worst"))
        yield Check(
            id=f"stock.{name}/wall", name=f"Stock {name}: wall", about=f"stock.{name}", kind="information",
            verdict=REPORTED, demand=in_units(job, tube.wall("design"), "length"), clause="AISC 360-22 B4.2",
            source="aisc-360-22, B4.2", provenance=provenance("aisc-360-22"),
            detail=f"{tube.words}: nominal {nominal} for mass, {design} counted for strength, {worst} may arrive; "
                   f"yield {show(tube.steel.Fy, 'ksi' if job.system == 'inch' else 'MPa', 3)}",
            assumed=tube.assumed, cautions=tube_cautions(tube))


# --- welds ---------------------------------------------------------------------------------------

BOUND = ("hand bound: one trestle takes the whole shove, its posts share it evenly, and a post bends like a "
         "cantilever from the joint looked at")
BOUND_STRETCHER = ("hand bound: ends held as if built in (PL/8), the person in the middle; the frame will say what the "
                   "joint really gets")


def weld_checks(job: Job, g: Geometry, cases: dict[str, LoadCase]) -> Iterator[Check]:
    """Every welded joint by a hand bound, the worse of bending over either side of the tube."""
    shove, standing = cases["shove"], cases["standing-on-stretcher"]
    post, rail = g.members["trestle.left.post.front"], g.members["trestle.left.rail"]
    head, foot, stretcher = (g.members[n] for n in ("trestle.left.head", "trestle.left.foot", "stretcher"))
    share = shove.value / job.model.base.trestles.posts.count
    weight = weight_of(g.mass / len(g.feet))
    for name, weld, onto in (("post to head", job.joint("post to head"), head), ("post to foot", job.joint("post to foot"), foot)):
        yield from weld_check(job, WeldedJoint(
            name, weld, post, onto, across=post.height, along=post.width, face=onto.width, bends=("across", "along"),
            moment=share * metres(post.length), shear=share, pull=weight, case=shove, assumed=BOUND))
    end = standing.value / 2 + weight_of(stretcher.mass / 2)
    yield from weld_check(job, WeldedJoint(
        "stretcher to rail", job.joint("stretcher to rail"), stretcher, rail, across=stretcher.height, along=stretcher.width,
        face=rail.height, bends=("across",), moment=standing.value * metres(stretcher.length) / 8, shear=end,
        pull=newtons(0.0), case=standing, assumed=BOUND_STRETCHER))
    yield from weld_check(job, WeldedJoint(
        "rail to post", job.joint("rail to post"), rail, post, across=rail.width, along=rail.height, face=post.height,
        bends=("along",), moment=end * metres(rail.length) / 8, shear=end, pull=newtons(0.0), case=standing,
        assumed=BOUND_STRETCHER))


@dataclass(frozen=True)
class WeldedJoint:
    """A tube welded by its end to the face of another, with the force a hand bound puts on it.

    across, along  size of the branch across the face it meets and along it;  face: width of that face (m)
    bends          which of the two the moment bends over: "across", "along", or either in turn
    """

    name: str
    weld: Weld
    branch: Member
    onto: Member
    across: float
    along: float
    face: float
    bends: tuple[str, ...]
    moment: pint.Quantity
    shear: pint.Quantity
    pull: pint.Quantity
    case: LoadCase
    assumed: str


def weld_check(job: Job, joint: WeldedJoint) -> Iterator[Check]:
    branch, onto, case = joint.branch, joint.onto, joint.case
    about = f"joint.{joint.name}"
    words = joint.name[0].upper() + joint.name[1:]
    laid = float(magnitude(joint.weld.leg, "m"))
    walls = [float(magnitude(m.tube.wall("design"), "m")) for m in (branch, onto)]
    fillet = welds.fillet(laid, min(walls))
    corner = float(onto.tube.standard.radii_si(walls[1], walls[1])[0])
    flat = joint.face - 2 * corner
    two_sides = not bool(welds.fits_all_round(joint.across, laid, joint.face, corner))
    filler = welds.filler(joint.weld.filler, branch.tube.product)
    parts = [welds.Wall(f"wall of the {m.stock}", t, *(float(magnitude(v, "Pa")) for v in (m.tube.steel.Fy, m.tube.steel.Fu)))
             for m, t in zip((branch, onto), walls, strict=True)]
    found = welds.strengths(float(magnitude(filler.FEXX, "Pa")), fillet.throat, parts)
    weakest = welds.weakest(found, case.kind, job.method)
    M, V, P = (float(magnitude(v, u)) for v, u in ((joint.moment, "N*m"), (joint.shear, "N"), (joint.pull, "N")))
    forces = {}
    for over in joint.bends:
        sideways = {"V_x": V, "M_y": M} if over == "across" else {"V_y": V, "M_x": M}
        found_force = welds.line_force(joint.across, joint.along, P=P, two_sides=two_sides, flat=flat, **sideways)
        forces[over] = float(found_force.f[0])
    over = max(forces, key=forces.get)
    force = forces[over]
    common = dict(about=about, assumed=(joint.assumed, *branch.tube.assumed, *onto.tube.assumed),
                  cautions=weld_cautions(fillet, two_sides))
    limit = float(weakest.allowable[0])
    ratio, verdict = compare(force, limit)
    need = force / limit * float(fillet.throat[0])
    lay = float(welds.leg_to_lay_si(need, min(walls), job.system))
    yield Check(
        id=f"{about}/weld", name=f"{words}: weld", kind=case.kind, case=case_words(job, case, ""),
        demand=in_units(job, Quantity(force, "N/m"), "line"), limit=in_units(job, Quantity(limit, "N/m"), "line"),
        ratio=ratio, verdict=verdict, clause=weakest.clause(), source="aisc-360-22, J2.4 and J4",
        provenance=provenance("aisc-360-22"),
        detail=f"{weakest.state()} governs; leg laid {show_length(metres(laid), job.system)}, credited "
               f"{show_wall(metres(float(fillet.credited[0])), job.system)}; force per length of weld, "
               f"{'two sides' if two_sides else 'all round'}",
        range=("elastic sum on lines, no bonus for direction (k_ds = 1.0)",),
        worked=(*welds.worked_lines(leg=metres(float(fillet.credited[0])), FEXX=filler.FEXX,
                                    walls=[(metres(p.t), Quantity(p.F_y, "Pa"), Quantity(p.F_u, "Pa")) for p in parts],
                                    system=job.system),
                *weld_force_lines(job, joint, over, two_sides, flat)), **common)
    small = bool(fillet.too_small[0])
    least = float(fillet.least[0])
    yield Check(
        id=f"{about}/least leg", name=f"{words}: least leg", kind="information", demand=in_units(job, metres(least), "length"),
        limit=in_units(job, metres(laid), "length"), ratio=least / laid, verdict=OVER if small else WITHIN,
        clause="AISC 360-22 table J2.4", source="aisc-360-22, table J2.4", provenance=provenance("aisc-360-22"),
        detail=f"least leg to lay for the thinner wall; the strength needs {show_length(metres(lay), job.system, 'up')}",
        **common)


def weld_force_lines(job: Job, joint: WeldedJoint, over: str, two_sides: bool, flat: float) -> tuple[Worked, ...]:
    none, no_force = Quantity(0.0, "N*m"), newtons(0.0)
    across = over == "across"
    return welds.worked_line_force(
        b=metres(joint.across), d=metres(joint.along), P=joint.pull, V_x=joint.shear if across else no_force,
        V_y=no_force if across else joint.shear, M_x=none if across else joint.moment,
        M_y=joint.moment if across else none, T=none, two_sides=two_sides, flat=metres(flat), system=job.system)


def weld_cautions(fillet, two_sides: bool) -> tuple[str, ...]:
    notes = ["the face of the tube that is welded to may yield before the weld does: not checked yet"]
    if bool(fillet.clash[0]):
        notes.append(welds.CLASH)
    if two_sides:
        notes.append("branch about as wide as the bar it meets: two sides have no flat to fillet and only the other two "
                     "are credited")
    return tuple(notes)


# --- standing ------------------------------------------------------------------------------------


def standing_checks(job: Job, g: Geometry, body: Body, cases: dict[str, LoadCase]) -> Iterator[Check]:
    """Each stability case of the whole table: righting over overturning moment, against what is asked."""
    slope = job.model.floor.slope
    slope = 0.0 if slope is None else float(slope.to("").magnitude)
    for found in standing_cases(g, body, cases, slope):
        yield standing_check(job, g, body, found, slope)


def wanted_righting(job: Job, case: LoadCase) -> tuple[float, str, bool]:
    """Righting ratio asked for, whose word it is, and whether nobody gave it."""
    if case.righting is not None:
        return case.righting, "as published with the load", False
    if job.model.limits.righting is not None:
        return job.model.limits.righting, "the job's choice", False
    if job.model.settings.public_use:
        return PUBLIC_RIGHTING, "named default for public use, common practice", True
    return DEFAULT_RIGHTING, "named default, common practice", True


def standing_check(job: Job, g: Geometry, body: Body, found: Standing, slope: float) -> Check:
    case = found.case
    wanted, whose, assumed = wanted_righting(job, case)
    tips = math.isinf(found.ratio)
    ratio = 0.0 if tips else wanted / found.ratio if found.ratio else math.inf
    goes = "no load there tips it" if math.isinf(found.tips_at) else \
        f"goes over at {size_words(job, newtons(found.tips_at))} there"
    notes = [f"righting ratio {wanted:g}"] if assumed else []
    if not g.top.mass_weighed:
        notes.append("wood of the top 10 % lighter than the mean of its species; weigh it")
    return Check(
        id=f"whole table/{case.id}", name=f"Whole table: {case.words}", about="whole table", kind="stability",
        case=case_words(job, case, found.where) + (f", pushed outward with {size_words(job, case.push)}" if case.push is not None else ""),
        demand=Q(wanted, ""), limit=None if tips else Q(found.ratio, ""), ratio=ratio, verdict=OVER if ratio > 1 else WITHIN,
        clause=f"righting over overturning at least {wanted:g}: {whose}", source=case.source or "statics",
        provenance=case.tag if case.tag in PROVENANCE else "common practice",
        detail=f"turns about {edge_words(body, found.edge)}; {goes}",
        range=("rigid table, fixed top, hard floor, sliding prevented", f"floor slope {slope * 100:.2g} %"),
        worked=standing_lines(job, g, body, found, slope), assumed=tuple(notes),
        cautions=("a foot lifts before the table goes over: not checked yet",))


def standing_lines(job: Job, g: Geometry, body: Body, found: Standing, slope: float) -> tuple[Worked, ...]:
    """The moment line about the governing edge, where every load stands beyond it."""
    outs = [arms(body, found.edge, p) for p in found.points]
    if slope or any(o <= 0 for _, o in outs) or len({round(o, 9) for _, o in outs}) > 1:
        return (tipping_ratio_moments.worked(M_r=Quantity(found.righting, "N*m"), M_o=Quantity(found.overturning, "N*m"),
                                             system=job.system),)
    inward, out = outs[0]
    return (tipping_ratio.worked(W=newtons(body.weight), P=newtons(float(found.loads.sum())), H=newtons(found.push),
                                 g=metres(inward), o=metres(out), h=metres(g.top.surface), system=job.system),)


# --- mass ----------------------------------------------------------------------------------------


def mass_checks(job: Job, g: Geometry) -> Iterator[Check]:
    """Mass of the whole and of every piece as carried, with the height of its centre: reported."""
    total = sum(p.mass for p in g.pieces)
    unit = UNITS[job.system]["mass"]
    centre = sum(p.mass * p.centre[2] for p in g.pieces) / total
    assumed = wood_assumed(g)
    rows = [("whole table", "Whole table", total, centre)]
    rows += [(p.name, piece_words(p.name), p.mass, p.centre[2]) for p in g.pieces]
    for about, words, mass, height in rows:
        yield Check(
            id=f"{about}/mass", name=f"{words}: mass", about=about, kind="information", verdict=REPORTED,
            demand=Quantity(mass, "kg").to(unit), clause="geometry and density", source="section-tables-density",
            provenance=provenance("section-tables-density"),
            detail=f"centre of gravity {show_length(metres(height), job.system)} above the floor as it stands; "
                   f"welds, coat and fasteners not counted",
            assumed=assumed if about in ("whole table", "top") else (),
            cautions=("two people or more, or a hoist: the lifting check is not there yet",) if mass > 23 else ())


def wood_assumed(g: Geometry) -> tuple[str, ...]:
    notes = []
    if g.top.moisture_assumed:
        notes.append(f"moisture of the top {g.top.moisture:.0%}; measure it")
    if not g.top.mass_weighed:
        notes.append(f"mass of the top from the mean density of {g.top.wood.name}, +/- 10 %; weigh it")
    return tuple(notes)


def piece_words(name: str) -> str:
    return {"top": "Top", "stretcher": "Stretcher"}.get(name, name.replace("trestle.", "Trestle, "))
