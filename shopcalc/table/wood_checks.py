"""What the wood of the top asks for: movement, slots, restraint, glue-up, pockets, finish. Closed forms only:
nothing is solved here."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

import pint

from shopcalc.check import ASK, REFUSED, REPORTED, Check, compare
from shopcalc.errors import InputError
from shopcalc.joints.fasteners import slot_length as slot_in_the_middle
from shopcalc.sources import PROVENANCE
from shopcalc.stock import fasteners as stock
from shopcalc.table.bases.fit import metres
from shopcalc.table.checks import in_units
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.jobfile.joints import TOP_KEY, TopFixing
from shopcalc.units import Q, Quantity, read_length, show, show_length
from shopcalc.wood import finish as finishing
from shopcalc.wood import flattening, glue_up, inlay, movement
from shopcalc.wood.net_section import share_of_cuts

CLAUSE = "Wood Handbook ch. 13"
SCREW = Q(0.25, "inch")
ONE_LINE = 0.025  # metres: fixings closer together than this across the grain are one line
HAND = "shop practice"
SLANTED = (
    "grain off the length: the top moves square to its grain, along the table too, and its corners go out of square; slots run square "
    "to the grain, the fixed line along it"
)


@dataclass(frozen=True)
class Seasons:
    """Moisture of the top as built and in its driest and dampest season, cut of its boards, and what nobody
    gave."""

    built: float
    driest: float
    dampest: float
    cut: str
    assumed: tuple[str, ...]


def seasons(job: Job, g: Geometry) -> Seasons:
    """From the job, with named defaults. Raises InputError where the driest season is damper than the
    dampest."""
    top, built = job.model.top, g.top.moisture
    driest, dampest = top.driest, top.dampest
    if driest is None:
        driest = movement.DEFAULT_DRIEST if dampest is None else min(movement.DEFAULT_DRIEST, dampest)
    if dampest is None:
        dampest = max(movement.DEFAULT_DAMPEST, driest)
    if driest > dampest:
        raise InputError(
            field="top.driest",
            value=f"{driest:.3%}",
            need=f"a moisture up to top.dampest, {dampest:.3%}",
            example='driest = "6 %"',
        )
    notes = [
        f"moisture of the {word} season {value:.0%}; a humidity logger over a year tells"
        for word, given, value in (("driest", top.driest, driest), ("dampest", top.dampest, dampest))
        if given is None
    ]
    if g.top.moisture_assumed:
        notes.append(f"moisture as built {built:.0%}; measure it")
    if top.cut is None:
        notes.append("boards flat sawn, which moves more; look at the end grain")
    return Seasons(built, driest, dampest, top.cut or "mixed", tuple(notes))


def moves_of(job: Job, g: Geometry) -> movement.Movement | None:
    """Movement of the whole top across its grain (its width, where that runs along it); None for sheet goods."""
    wood, s = g.top.wood, seasons(job, g)
    C = movement.coefficient(wood.C_R, wood.C_T, s.cut)
    S = movement.coefficient(wood.S_R, wood.S_T, s.cut)
    if C is None and S is None:
        return None
    return movement.movement(
        metres_q(g.top.extent_across), built=s.built, driest=s.driest, dampest=s.dampest, C=C, S=S
    )


def metres_q(value: float) -> pint.Quantity:
    return Quantity(value, "m")


def wood_checks(job: Job, g: Geometry) -> Iterator[Check]:
    """Every check of the wood of the top. Raises InputError for a top that cannot be as it is given."""
    moves = moves_of(job, g)
    yield movement_check(job, g, moves)
    if moves is not None:
        yield from hold_checks(job, g, moves)
        yield glue_check(job, g)
    yield from flat_checks(job, g)
    if job.model.top.pockets:
        yield inlay_check(job, g)
    yield finish_check(job, g)


# --- movement and what holds the top -------------------------------------------------------------


def read_of(job: Job, g: Geometry, moves: movement.Movement, *more: str) -> str:
    """Provenance of what a movement rests on, the weakest: row of the wood, seasons nobody gave, equation 13-3, and what is named."""
    found = [g.top.wood.movement_provenance or "second-hand", *more]
    if job.model.top.driest is None or job.model.top.dampest is None:
        found.append("second-hand")
    if moves.formula is movement.width_change_any:
        found.append("memory")
    return max(found, key=PROVENANCE.index)


def _of_wood(job: Job, g: Geometry, moves: movement.Movement) -> dict:
    return {
        "clause": CLAUSE,
        "source": g.top.wood.movement_source or "wood-handbook-gtr-190, ch. 13",
        "provenance": read_of(job, g, moves),
    }


def movement_check(job: Job, g: Geometry, moves: movement.Movement | None) -> Check:
    common = dict(
        id="top/movement",
        name="Top: movement across the grain",
        about="top",
        kind="information",
        verdict=REPORTED,
    )
    if moves is None:
        return Check(
            **common,
            clause=CLAUSE,
            source="wood-handbook-gtr-190, ch. 13",
            provenance="second-hand",
            detail=f"{g.top.wood.name}: sheet goods move little in their plane and no coefficient is listed; "
            "solid edges on them do move",
        )
    s, system = seasons(job, g), job.system
    words = (
        f"as built at {s.built:.1%}: shrinks {show_length(moves.shrink, system, 'up')} by the driest season "
        f"({s.driest:.1%}), swells "
        f"{show_length(moves.swell, system, 'up')} by the dampest ({s.dampest:.1%}); along the grain next to "
        "nothing; row used: "
        f"{g.top.wood.movement_row or g.top.wood.name}"
    )
    return Check(
        **common,
        **_of_wood(job, g, moves),
        demand=in_units(job, moves.range, "length"),
        detail=words,
        worked=lambda: moves.lines(system),
        range=("moisture from 6 to 14 % by coefficients, to 30 % by total shrinkage", "boards free to move"),
        assumed=s.assumed,
        cautions=(*moves.cautions, movement.HYSTERESIS, movement.ARRIVES, *((SLANTED,) if g.top.grain else ())),
    )


def furthest(g: Geometry) -> float:
    """How far from the middle steel lies under the top across its grain, m."""
    bars = [g.members[name] for name in dict.fromkeys(s.member for s in g.seats)]
    reach = max(abs(float(g.top.across_way @ end[:2])) for bar in bars for end in (bar.first, bar.second))
    return min(reach, g.top.extent_across / 2)


def hold_checks(job: Job, g: Geometry, moves: movement.Movement) -> Iterator[Check]:
    """Slots against slots given; every hold over the whole width refused."""
    made, s, half = job.model.joints.get(TOP_KEY), seasons(job, g), furthest(g)
    wood, system = g.top.wood, job.system
    held = [job.model.top.ends] if job.model.top.ends in movement.RESTRAINTS else []
    fixing = made if isinstance(made, TopFixing) else None
    if fixing is not None and not fixing.slotted and 2 * half > ONE_LINE:
        held.insert(0, "rigid")
    for kind in held:
        yield restraint_check(job, g, moves, kind, s)
    if "rigid" in held or 2 * half <= ONE_LINE:
        return
    screw = SCREW if fixing is None else _diameter(fixing)
    spare = f"{show_length(movement.DEFAULT_CLEARANCE, system)} to spare at each end of a slot"
    slot = movement.slots(Quantity([-half, half], "m"), screw, moves)[1]
    common = dict(
        id="top/slots",
        name="Top: slots for its fixings",
        about="top",
        kind="use",
        clause="slot for the travel of a screw",
        source=wood.movement_source or "wood-handbook-gtr-190, ch. 13",
        provenance=read_of(job, g, moves, "common practice"),  # what is spare at the ends
        worked=lambda: (
            movement.slot_length.worked(
                d=screw,
                y=slot.place,
                e_s=moves.shrink_part,
                e_w=moves.swell_part,
                c=movement.DEFAULT_CLEARANCE,
                system=system,
            ),
        ),
        range=("middle line across the grain fixed, all other rows free to slide",),
        cautions=(movement.LOOSE_SCREWS, movement.ACROSS_ONLY, *((SLANTED,) if g.top.grain else ())),
    )
    words = (
        f"{show_length(slot.length, system, 'up')} at {show_length(slot.place, system)} from the fixed "
        "middle line, "
        f"{show_length(slot.outward, system, 'up')} of it outward from the middle of the screw; rows nearer "
        "the middle need less"
    )
    if fixing is None or fixing.slot is None:
        why = (
            "how the top is held is not said (joints.top_to_base)"
            if fixing is None
            else "the length of the slots is not given (slot)"
        )
        yield Check(
            **common,
            verdict=REPORTED,
            demand=in_units(job, slot.length, "length"),
            detail=f"needs {words}; {why}",
            assumed=(*s.assumed, spare, *((f"screws of {show_length(SCREW, system)}",) if fixing is None else ())),
        )
        return
    ratio, verdict = compare(float(slot.length.to("m").magnitude), float(fixing.slot.to("m").magnitude))
    middle = slot_in_the_middle(d=screw, u=slot.place * max(moves.shrink_part, moves.swell_part), c=movement.DEFAULT_CLEARANCE)
    if fixing.slot < middle:
        common["cautions"] += (
            f"set the screws off the middle of their slots, {show_length(slot.outward, system, 'up')} from the outer end: in the middle "
            f"the slot must be {show_length(middle, system, 'up')} long",
        )
    yield Check(
        **common,
        verdict=verdict,
        ratio=ratio,
        demand=in_units(job, slot.length, "length"),
        limit=in_units(job, fixing.slot, "length"),
        detail=f"needs {words}; the job gives {show_length(fixing.slot, system)}",
        assumed=(*s.assumed, spare),
    )


def _diameter(fixing: TopFixing) -> pint.Quantity:
    """Of the screw, or of the bolt that an insert takes."""
    for one in stock.wood_screws():
        if one.name == fixing.fixing:
            return one.D
    size = re.search(r"\d+/\d+", fixing.fixing)
    if size is not None:
        return read_length(f"{size[0]} in")
    return read_length(f"{re.search(r'M([0-9]+)', fixing.fixing)[1]} mm")


def restraint_check(job: Job, g: Geometry, moves: movement.Movement, kind: str, s: Seasons) -> Check:
    wood, unit = g.top.wood, "psi" if job.system == "inch" else "MPa"
    ratio_known = wood.ER_EL if s.cut == "quarter" else wood.ET_EL
    E = None if ratio_known is None else ratio_known * wood.MOE
    C = movement.coefficient(wood.C_R, wood.C_T, s.cut)
    found, guide = movement.restraint(kind, moves, E=E, f_t=wood.f_tp, C=C), wood.guide("across")
    words = found.words
    if found.stress is not None:
        words += f"; elastic stress {show(found.stress, unit, 3)}"
        words += (
            ""
            if found.strength is None
            else f" against the guide value {show(guide, unit, 3)} (mean of clear pieces {show(found.strength, unit, 3)}, tension across the grain)"
        )
    if found.splits_at is not None:
        words += (
            f"; a mean piece splits at a fall of about {100 * found.splits_at:.2g} points of moisture, before "
            "relief by creep, a weak one much sooner"
        )
    sized = found.stress is not None and found.strength is not None
    return Check(
        id="top/restraint" if kind == "rigid" else "top/restraint at its edge",
        name="Top: held so that it cannot move",
        about="top",
        kind="use",
        verdict=REFUSED,
        clause=CLAUSE,
        source=wood.movement_source or "wood-handbook-gtr-190, ch. 13",
        provenance=read_of(job, g, moves, *((wood.f_tp_provenance,) if sized and wood.f_tp_provenance else ())),
        detail=f"{words}. Slot all holes across the grain but the middle line, or let the edge slide",
        demand=found.stress.to(unit) if sized else None,
        limit=guide.to(unit) if sized else None,
        ratio=float((found.stress / guide).to("").magnitude) if sized else None,
        worked=lambda: (
            (movement.held_stress.worked(E, e=moves.shrink_part, system=job.system),)
            if E is not None and moves.shrink_part
            else ()
        ),
        range=("elastic, held at full width from build to the driest season",),
        assumed=s.assumed,
    )


# --- making ---------------------------------------------------------------------------------------


# Which note of `Wood.elastic` concerns which.
MISSING = {"bow": (), "cup": ("no E_", "stiffness across the grain"), "twist": ("no G_L", "shear stiffness")}


def flat_checks(job: Job, g: Geometry) -> Iterator[Check]:
    """Bow, cup and twist as measured against what passes as flat, with what it takes to pull them out."""
    measured, top, system = job.model.top.measured, g.top, job.system
    stiff = top.wood.elastic(seasons(job, g).cut, stiff=True)
    L, W, t = metres_q(top.length), metres_q(top.width), metres_q(top.thickness)
    force, moment = ("lbf", "lbf*ft") if system == "inch" else ("N", "N*m")
    for name, gap, run, across, E in (
        ("bow", measured.bow, L, W, stiff.E_L),
        ("cup", measured.cup, W, L, stiff.E_T),
        ("twist", measured.twist, W, L, stiff.G),
    ):
        if gap is None:
            continue
        if top.grain:
            yield Check(id=f"top/{name}", name=f"Top: {name} as measured", about="top", kind="information", verdict=ASK, clause=HAND,
                        source="beam-theory", provenance="common practice", demand=in_units(job, gap, "length"),
                        detail="what pulls it flat is worked out for grain along the table only")
            continue
        limit = run * flattening.FLAT_ENOUGH
        ratio, verdict = compare(float(gap.to("m").magnitude), float(limit.to("m").magnitude))
        common = dict(
            id=f"top/{name}",
            name=f"Top: {name} as measured",
            about="top",
            kind="information",
            verdict=verdict,
            ratio=ratio,
            demand=in_units(job, gap, "length"),
            limit=in_units(job, limit, "length"),
            clause="1/32 in per foot, a choice",
            provenance="common practice",
            assumed=tuple(f"{n}: forces may be as little as half of these" for n in stiff.notes if any(words in n for words in MISSING[name])),
        )
        if not float(gap.to("m").magnitude):
            yield Check(**common, source="beam-theory", detail="flat")
        elif name == "twist":
            given = {"G": E, "t": t, "c": gap, "L": L, "w": W}
            F = flattening.corner_force(**given)
            yield Check(
                **common,
                source="beam-theory",
                detail=f"{show(F, force, 3)} at each corner, two up and two down, takes it out",
                worked=lambda given=given: (flattening.corner_force.worked(**given, system=system),),
                cautions=(flattening.STEEL_AND_TWIST, flattening.KEEPS_MOVING),
            )
        else:
            I, R = across * t**3 / 12, flattening.radius_of_bow(w=run, c=gap)
            M = flattening.moment_to_flatten(E, I, R)
            stress, unit = flattening.face_stress(E, t=t, R=R), "psi" if system == "inch" else "MPa"
            guide = top.wood.guide("along" if name == "bow" else "across")
            beside = "" if guide is None else f", {flattening.beside_guide(stress, guide)} {show(guide, unit, 3)}"
            splits = guide is not None and stress > guide
            words = (
                f"{show(flattening.force_in_middle(M, run), force, 3)} in the middle of the whole top pulls "
                "it level, "
                f"{show(M, moment, 3)} straightens it; "
                f"{show(stress, unit, 3)} in its faces at first{beside}; "
                "the page of movement and flattening names the steel that holds it"
            )
            yield Check(
                **common,
                source="beam-theory",
                detail=words,
                worked=lambda E=E, I=I, R=R, run=run, gap=gap: (
                    flattening.radius_of_bow.worked(w=run, c=gap, system=system),
                    flattening.moment_to_flatten.worked(E, I, R, system=system),
                ),
                cautions=(flattening.STRESS_STAYS, flattening.KEEPS_MOVING, *((flattening.OVER_GUIDE,) if splits else ())),
            )


def glue_check(job: Job, g: Geometry) -> Check:
    boards, top, system = job.model.top.boards, g.top, job.system
    common = dict(
        id="top/glue-up",
        name="Top: boards, stages and clamps",
        about="top",
        kind="information",
        verdict=REPORTED,
        clause=HAND,
        source="board-foot",
        provenance="common practice",
    )
    thickness = metres_q(top.thickness)
    if top.grain:
        return Check(**common, detail="boards laid at a slant, or across: not planned here; their ends are cut off aslant, buy more")
    if thickness + glue_up.PLANING > Q(glue_up.QUARTERS[-1] / 4, "inch"):
        return Check(
            **common,
            detail=f"{show_length(thickness, system)} is more than one board gives: laminated of layers, "
            "which is not planned here",
        )
    given = {
        k: getattr(boards, k)
        for k in ("rough_width", "planer", "waste", "clamp")
        if getattr(boards, k) is not None
    }
    try:
        plan = glue_up.plan(
            length=metres_q(top.length),
            width=metres_q(top.width),
            thickness=thickness,
            specific_gravity=top.wood.G_12,
            pressure=boards.pressure,
            **given,
        )
    except InputError as error:
        raise InputError(
            field=f"top.boards.{error.field}", value=error.value, need=error.need, example=error.example
        ) from None
    force = "lbf" if system == "inch" else "N"
    usual = {
        "rough_width": f"boards {show_length(glue_up.ROUGH_WIDTH, system)} wide",
        "planer": f"a planer {show_length(glue_up.PLANER, system)} wide",
        "waste": f"{glue_up.WASTE:.0%} of what is bought cut away",
        "clamp": f"clamps of {show(glue_up.CLAMP, force, 3)}",
    }
    assumed = [words for key, words in usual.items() if key not in given]
    return Check(
        **common,
        demand=plan.bought.to("board_foot") if system == "inch" else plan.bought.to("liter"),
        detail=f"{plan.words(system)}; {plan.clamps} clamps of {show(plan.each, force, 3)} each, "
        f"{show(plan.force, force, 3)} through every joint",
        assumed=(
            *assumed,
            "1 in of trim on each side and end, 1/8 in off every edge, 1/4 in off the thickness" if system == "inch"
            else "25.4 mm of trim on each side and end, 3.2 mm off every edge, 6.4 mm off the thickness",
            *(
                ()
                if boards.pressure is not None
                else ("pressure by the hardness of the wood; the glue's data sheet comes first",)
            ),
        ),
        worked=lambda: (
            glue_up.bought_volume.worked(
                T=Q(plan.quarters / 4, "inch"), W=plan.rough, L=plan.length, system=system
            ),
            glue_up.force_each.worked(F=plan.force, n=plan.clamps, system=system),
        ),
        cautions=(glue_up.ROUGH_IS_PAID, glue_up.ALTERNATE, glue_up.HEARTS),
    )


def inlay_check(job: Job, g: Geometry) -> Check:
    """All pockets of a job: resin, pours, weight, and the least strength left. Raises InputError for a pocket
    that does not fit the top."""
    top, resin, system = g.top, job.model.top.resin, job.system
    density = inlay.EPOXY["density"] if resin.density is None else resin.density
    wood_density = top.wood.density(top.moisture)
    poured, added, deepest, parts, words = Q(0.0, "kg"), Q(0.0, "kg"), 0.0, {}, []
    lines = []
    for name, pocket in job.model.top.pockets.items():
        _fits(name, pocket, g)
        L, W, d = pocket.length, pocket.width, pocket.depth
        deepest = max(deepest, float((d / metres_q(top.thickness)).to("").magnitude))
        if pocket.filled == "nothing":
            words.append(f"{name}: left open")
            added -= (L * W * d * wood_density).to("kg")
            continue
        f = inlay.filling(
            L * W,
            d,
            wood_density=wood_density,
            density=density,
            parts=resin.parts or None,
            pour=resin.pour or inlay.DEFAULT_POUR,
            waste=inlay.DEFAULT_WASTE if resin.waste is None else resin.waste,
        )
        poured, added = poured + f.poured, added + f.added
        parts = {k: parts.get(k, Q(0.0, "kg")) + v for k, v in f.parts.items()}
        words.append(
            f"{name}: {show(f.volume, 'gal' if system == 'inch' else 'l', 3)} in {f.pours} "
            f"{'pour' if f.pours == 1 else 'pours'}"
        )
        lines.append((f.volume, density))
    least = least_strength(job, g)
    unit = "lb" if system == "inch" else "kg"
    if len(parts) > 1:
        words.append("to mix: " + ", ".join(f"{k} {show(v, unit, 3)}" for k, v in parts.items()))
    words.append(
        f"adds {show(added, unit, 3)} to the top"
        if added.magnitude >= 0
        else f"takes {show(-added, unit, 3)} off the top"
    )
    words[-1] += ", in its weight as weighed" if top.mass_weighed else ", counted in its mass and weight"
    words.append(f"strength left in the worst section {least:.0%}, all pockets in it, what fills them counted as nothing")
    assumed = [
        w
        for w, given in (
            (f"density of the resin {show(density, 'kg/m**3', 3)}", resin.density),
            (f"deepest pour {show_length(inlay.DEFAULT_POUR, system)}", resin.pour),
            (f"{inlay.DEFAULT_WASTE:.0%} left in the cups", resin.waste),
        )
        if given is None
    ]
    cautions = [inlay.HEAT, inlay.TEMPERATURE]
    if deepest > 0.5:
        cautions.append(
            f"a pocket {deepest:.0%} of the thickness deep: over half is gone there, and sag and splits "
            "start at its edge"
        )
    return Check(
        id="top/inlay",
        name="Top: pockets and resin",
        about="top",
        kind="information",
        verdict=REPORTED,
        clause=HAND,
        source=inlay.EPOXY_SOURCE,
        provenance="retrieved" if resin.density is None else "common practice",
        demand=poured.to(unit),
        detail="; ".join(words),
        assumed=tuple(assumed),
        cautions=tuple(cautions),
        worked=lambda: tuple(inlay.fill_mass.worked(V, rho, system=system) for V, rho in lines),
    )


def least_strength(job: Job, g: Geometry) -> float:
    """Least bending strength left of any straight section over the whole top, along or across, all its pockets in it.
    Raises InputError where pockets in both faces leave too little wood."""
    top, pockets = g.top, list(job.model.top.pockets.values())
    least = 1.0
    for way in (0, 1):  # sections across the table, then along it
        spans = []
        for p in pockets:
            half = [metres(p.length) / 2, metres(p.width) / 2]
            at = [metres(v) for v in p.at]
            spans.append((at[way] - half[way], at[way] + half[way], at[1 - way] - half[1 - way], at[1 - way] + half[1 - way],
                          metres(p.depth), p.face == "upper"))
        size, across = (top.length, top.width)[way], (top.width, top.length)[way]
        lines = sorted({v for s in spans for v in s[:2]})
        for first, last in zip(lines, lines[1:], strict=False):
            inside = [s for s in spans if s[0] < (first + last) / 2 < s[1]]
            if not inside:
                continue
            end = max(abs(first), abs(last))  # a round top is narrowest there
            b = across * (max(1 - (2 * end / size) ** 2, 1e-9) ** 0.5 if top.shape == "round" else 1.0)
            cuts = [(s[2] + b / 2, s[3] + b / 2, s[4], s[5]) for s in inside]
            try:
                least = min(least, share_of_cuts(b, top.thickness, cuts))
            except InputError as error:
                raise InputError(field="top.pockets", value=error.value, need=error.need, example=error.example) from None
    return least


def _fits(name: str, pocket, g: Geometry) -> None:
    field = f"top.pockets.{name}"
    x, y = (metres(v) for v in pocket.at)
    half_x, half_y = metres(pocket.length) / 2, metres(pocket.width) / 2
    corners = [(x + i * half_x, y + j * half_y) for i in (-1, 1) for j in (-1, 1)]
    if not all(bool(g.top.covers(*c)) for c in corners):
        raise InputError(
            field=f"{field}.at",
            value=f"{pocket.at[0]:~}, {pocket.at[1]:~}",
            need="a pocket that lies on the top",
            example='at = ["0 in", "0 in"]',
        )
    if metres(pocket.depth) > 0.9 * g.top.thickness:
        raise InputError(
            field=f"{field}.depth",
            value=show_length(pocket.depth),
            need="a pocket that leaves at least a tenth of the thickness",
            example='depth = "3/8 in"',
        )


def finish_check(job: Job, g: Geometry) -> Check:
    coats, top, system = job.model.top.finish, g.top, job.system
    names = {
        "coats": finishing.DEFAULT_COATS,
        "film": finishing.DEFAULT_FILM,
        "solids": finishing.DEFAULT_SOLIDS,
        "transfer": finishing.DEFAULT_TRANSFER,
    }
    used = {k: v if getattr(coats, k) is None else getattr(coats, k) for k, v in names.items()}
    found = finishing.finish(
        shape=top.shape,
        length=metres_q(top.length),
        width=metres_q(top.width),
        thickness=metres_q(top.thickness),
        **used,
    )
    area, volume = ("ft**2", "gal") if system == "inch" else ("m**2", "l")
    film = show(
        used["film"].to("inch" if system == "inch" else "mm"), "inch" if system == "inch" else "mm", 2
    )
    return Check(
        id="top/finish",
        name="Top: finish to buy",
        about="top",
        kind="information",
        verdict=REPORTED,
        clause=HAND,
        source="coating-spread",
        provenance="retrieved",
        demand=found.volume.to(volume),
        detail=f"{show(found.area, area, 3)}: both faces and all edges, {used['coats']} coats of {film} dry, "
        f"solids {used['solids']:.0%}, "
        f"{used['transfer']:.0%} of it lands on the work",
        worked=lambda: (
            finishing.finish_volume.worked(
                found.area,
                n=used["coats"],
                f=used["film"],
                s=used["solids"],
                e=used["transfer"],
                system=system,
            ),
        ),
        assumed=tuple(words for k, words in (
            ("coats", f"{used['coats']} coats of finish"), ("film", f"{film} of dry film a coat"),
            ("solids", f"{used['solids']:.0%} solids in the finish: its data sheet tells"),
            ("transfer", f"{used['transfer']:.0%} of the finish lands on the work")) if getattr(coats, k) is None),
        cautions=(finishing.BOTH_FACES, finishing.RAGS),
    )
