"""Checks that need no frame: stock, standing, mass; and the words and units that all checks share.

Each function yields `Check`s for every load case that applies; `assess` takes the worst per id.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import pint

from shopcalc.check import (
    OVER,
    REPORTED,
    WITHIN,
    Check,
)
from shopcalc.codes.aisc360_22.scope import THIN, THIN_WALL, cover
from shopcalc.formula import Worked
from shopcalc.mechanics.statics import tipping_ratio, tipping_ratio_moments
from shopcalc.sources import PROVENANCE, source_of
from shopcalc.stock.shapes import Shape
from shopcalc.stock.tubes import Tube
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.loads import LoadCase
from shopcalc.table.names import words_of
from shopcalc.table.panels import has_sheet
from shopcalc.table.stability import Body, Standing, arms, bodies, edge_words, standing_cases
from shopcalc.units import Q, Quantity, show, show_length, show_wall

UNITS = {
    "inch": {"moment": "lbf*ft", "force": "lbf", "length": "inch", "line": "lbf/inch", "mass": "lb", "spread": "psf"},
    "mm": {"moment": "N*m", "force": "N", "length": "mm", "line": "N/mm", "mass": "kg", "spread": "kPa"},
}
DEFAULT_SAG, DEFAULT_OVERHANG, DEFAULT_RIGHTING = 1 / 360, Q(0.25, "inch"), 1.5
PUBLIC_RIGHTING = 2.0
CASTERS = "the wheels of swivel casters may stand nearer the middle than their stems: measure with the wheels turned inward, and brake them"


def metres(value: float) -> pint.Quantity:
    return Quantity(value, "m")


def newtons(value: float) -> pint.Quantity:
    return Quantity(value, "N")


def in_units(job: Job, quantity: pint.Quantity, what: str) -> pint.Quantity:
    return quantity.to(UNITS[job.system][what])


def size_words(job: Job, value: pint.Quantity) -> str:
    """The size of a load as it prints."""
    for unit, what in (("Pa", "spread"), ("N", "force")):
        if value.check(Q(1, unit).dimensionality):
            return show(value, UNITS[job.system][what])
    return show_length(value, job.system) if value.check("[length]") else show(value, "")


# What a bare number of a load is.
_BARE = {"drag_friction": "friction {}", "lift_factor": "{} times its weight"}


def case_words(job: Job, case: LoadCase, where: str) -> str:
    """The load, its size and where it stands."""
    size = _BARE.get(case.key, "{}").format(size_words(job, case.value))
    return f"{case.words}, {size}" + (f", {where}" if where else "")


def provenance(reference: str) -> str:
    return source_of(reference).provenance


# --- stock ----------------------------------------------------------------------------------------


def tube_cautions(tube: Tube | Shape) -> tuple[str, ...]:
    metal = cover(tube.product)
    return (*getattr(tube, "cautions", ()), *((THIN_WALL,) if isinstance(tube, Tube) and tube.wall("nominal") < THIN else ()),
            *((f"{tube.product}: {metal.why}",) if metal.verdict != WITHIN else ()))


def wall_checks(job: Job, g: Geometry) -> Iterator[Check]:
    """The three walls of each stock name, reported: what is paid for, what is counted, what may arrive."""
    for name in dict.fromkeys(m.stock for m in g.members.values()):
        tube = job.tubes[name]
        if not isinstance(tube, Tube):
            continue
        nominal, design, worst = (show_wall(tube.wall(w), job.system) for w in ("nominal", "design", "worst"))
        yield Check(
            id=f"stock.{name}/wall", name=f"Stock {name}: wall", about=f"stock.{name}", kind="information",
            verdict=REPORTED, demand=in_units(job, tube.wall("design"), "length"), clause="AISC 360-22 B4.2",
            source="aisc-360-22, B4.2", provenance=provenance("aisc-360-22"),
            detail=f"{tube.words}: nominal {nominal} for mass, {design} counted for strength, {worst} may arrive; "
                   f"yield {show(tube.steel.Fy, 'ksi' if job.system == 'inch' else 'MPa', 3)}",
            assumed=tube.assumed, cautions=tube_cautions(tube))


# --- standing ------------------------------------------------------------------------------------


def standing_checks(job: Job, g: Geometry, body: Body, cases: dict[str, LoadCase]) -> Iterator[Check]:
    """Each stability case of the whole table: righting over overturning moment, against what is asked. body: as drawn; it
    is tried besides with its levellers wound out and its inserts out."""
    slope = floor_slope(job)
    for one in (body, *(b for b in bodies(job, g) if b.words)):
        for found in standing_cases(g, one, cases, slope):
            yield standing_check(job, g, one, found, slope)


def floor_slope(job: Job) -> float:
    slope = job.model.floor.slope
    return 0.0 if slope is None else float(slope.to("").magnitude)


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
        f"goes over at {size_words(job, newtons(found.tips_at))} there" if found.tips_at else "goes over without any load"
    notes = [f"righting ratio {wanted:g}"] if assumed else []
    if not g.top.mass_weighed:
        notes.append("wood of the top 10 % lighter than the mean of its species; weigh it")
    return Check(
        id=f"whole table/{case.id}", name=f"Whole table: {case.words}", about="whole table", kind="stability",
        case=case_words(job, case, found.where) + (f", pushed outward with {size_words(job, case.push)}" if case.push is not None else "")
        + (f"; {body.words}" if body.words else ""),
        demand=Q(wanted, ""), limit=None if tips else Q(found.ratio, ""), ratio=ratio, verdict=OVER if ratio > 1 else WITHIN,
        clause=f"righting over overturning at least {wanted:g}: {whose}", source=case.source or "statics",
        provenance=case.tag if case.tag in PROVENANCE else "common practice",
        detail=goes if tips else f"turns about {edge_words(body, found.edge)}; {goes}",
        range=("rigid table, fixed top, hard floor, sliding prevented", f"floor slope {slope * 100:.2g} %"),
        worked=standing_lines(job, g, body, found, slope), assumed=tuple(notes),
        cautions=("a foot may lift long before the table goes over: see the load that lifts a foot", *((CASTERS,) if job.model.base.feet.kind == "casters" else ())))


def standing_lines(job: Job, g: Geometry, body: Body, found: Standing, slope: float) -> tuple[Worked, ...]:
    """The moment line about the governing edge, where every load stands beyond it."""
    if math.isinf(found.ratio):
        return ()
    outs = [arms(body, found.edge, p) for p in found.points]
    if slope or any(i <= 0 or o <= 0 for i, o in outs) or len({round(o, 9) for _, o in outs}) > 1:
        return (tipping_ratio_moments.worked(M_r=Quantity(found.righting, "N*m"), M_o=Quantity(found.overturning, "N*m"),
                                             system=job.system),)
    inward, out = outs[0]
    return (tipping_ratio.worked(W=newtons(body.weight), P=newtons(float(found.loads.sum())), H=newtons(found.push),
                                 g=metres(inward), o=metres(out), h=metres(g.top.surface + body.raised), system=job.system),)


# --- mass ----------------------------------------------------------------------------------------


def mass_checks(job: Job, g: Geometry) -> Iterator[Check]:
    """Mass of the whole and of every piece as carried, with the height of its centre: reported."""
    total = sum(p.mass for p in g.pieces)
    unit = UNITS[job.system]["mass"]
    centre = sum(p.mass * p.centre[2] for p in g.pieces) / total
    assumed = wood_assumed(g)
    sheet = ("sheet of the podiums counted on all four sides, nominal thickness, steel of the bars",) if has_sheet(job) else ()
    rows = [("whole table", "Whole table", total, centre)]
    rows += [(p.name, piece_words(p.name), p.mass, p.centre[2]) for p in g.pieces]
    for about, words, mass, height in rows:
        yield Check(
            id=f"{about}/mass", name=f"{words}: mass", about=about, kind="information", verdict=REPORTED,
            demand=Quantity(mass, "kg").to(unit), clause="geometry and density", source="section-tables-density",
            provenance=provenance("section-tables-density"),
            detail=f"centre of gravity {show_length(metres(height), job.system)} above the floor as it stands; "
                   f"welds, coat and fasteners not counted",
            assumed=(assumed if about in ("whole table", "top") else ()) + (sheet if about == "whole table" or about.startswith("podium.") else ()))


def wood_assumed(g: Geometry) -> tuple[str, ...]:
    notes = []
    if g.top.moisture_assumed:
        notes.append(f"moisture of the top {g.top.moisture:.0%}; measure it")
    if not g.top.mass_weighed:
        notes.append(f"mass of the top from the mean density of {g.top.wood.name}, +/- 10 %; weigh it")
    return tuple(notes)


def piece_words(name: str) -> str:
    words = words_of(name)
    return words[:1].upper() + words[1:]
