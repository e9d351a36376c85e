"""Bench cards, joint by joint: what the welder needs and nothing else (the welding sheet stands in sheet.py).

Alike joints share a card and are numbered on it: 2.1, 2.2 ... Sizes come from the one geometry, strength from
the checks.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from shopcalc.check import WITHIN, Check, ratio_text, worst
from shopcalc.joints import weld_sheet, welds_butt, welds_shapes
from shopcalc.making import powder, sheet
from shopcalc.stock.tubes import Tube
from shopcalc.table.assembly import Joint, Member
from shopcalc.table.bolts_made import Bolted, not_bolted, torque_words
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.jobfile.joints import MITRED, Bolts, Weld
from shopcalc.table.landings import Landing, landings, no_room, open_ends, short_by, to_open_end
from shopcalc.table.names import in_words, words_of
from shopcalc.table.plate_weld import on_plate
from shopcalc.table.weld_checks import CUT_IN_TWO, corner_words, start_words
from shopcalc.table.weld_laid import CORNERS_OFF, TWO_SIDES, Laid, not_laid, unknown
from shopcalc.units import Q, Quantity, magnitude, show, show_length, show_wall

# Common practice; AWS D1.1 lets a fillet bridge as much without a longer leg (recalled).
GAP_INCH, GAP_MM = Q(1 / 16, "in"), Q(1.5, "mm")
BOXES = ("wall measured", "ground: yes / no", "diagonals", "welder", "date")
TACKS = (
    "four tacks, one in the middle of each flat: two opposite ones first, then square up and measure, then "
    "the other two; weld "
    "opposite sides in turn"
)
TACKS_TWO = "tack the middle of both welded flats, square up and measure, then weld them in turn"
TACKS_ROUND = (
    "four tacks, at both crowns and both sides: two opposite ones first, then square up and measure, then the other two; weld "
    "opposite quarters in turn"
)
NO_GRINDING = (
    "do not grind the inside of this corner: a fillet dressed flush has lost its throat. Faces away from "
    "the weld may be "
    "dressed"
)
POWDER = (
    "powder builds {film} a face: keep it off threads, bolted faces and seats; tighten bolts again after a season"
)
FLUSH_KINK = 1e-4  # metres: nearer to where a leg begins to taper than this it is still straight
FLUSH = (
    "no deeper than the faces of the tube: what goes below them is lost twice, from the weld and from the wall. Measure the wall "
    "that is left"
)


@dataclass(frozen=True)
class Symbol:
    """The weld in words and as a symbol: AWS A2.4 (leg) and ISO 2553 (leg z, and throat a)."""

    words: str
    aws: str
    iso: str


@dataclass(frozen=True)
class Card:
    """One card. places: (number, name, point in metres) of its joints; rows: (what, words) from the top
    down."""

    number: int
    kind: str
    places: tuple[tuple[str, str, tuple[float, float, float]], ...]
    rows: tuple[tuple[str, str], ...]
    symbol: Symbol | None
    boxes: tuple[str, ...] = BOXES


def cards(job: Job, g: Geometry, checks: Iterable[Check]) -> tuple[Card, ...]:
    """A card for each kind of joint of a job. checks: those of its assessment."""
    by_about: dict[str, list[Check]] = {}
    for check in checks:
        by_about.setdefault(check.about, []).append(check)
    found = []
    for number, kind in enumerate(dict.fromkeys(j.kind for j in g.joints), start=1):
        joints = [j for j in g.joints if j.kind == kind]
        places = tuple((f"{number}.{i}", j.name, j.place) for i, j in enumerate(joints, start=1))
        made = job.joint(kind)
        mine = by_about.get(f"joint.{kind}", [])
        found.append(
            Card(number, kind, places, tuple(_rows(job, g, number, joints, made, mine)), _symbol(job, made, _two_sided(job, g, made, joints)))
        )
    return tuple(found)


def _rows(
    job: Job, g: Geometry, number: int, joints: Sequence[Joint], made: Weld | Bolts, checks: Sequence[Check]
):
    for branch, host, few in _pairs(g, joints):
        whose = (
            ""
            if len(few) == len(joints)
            else " of " + ", ".join(f"{number}.{joints.index(j) + 1}" for j in few)
        )
        yield "branch" + whose, _tube_words(job, branch)
        yield "on" + whose, _tube_words(job, host)
        yield "cut" + whose, _cut(job, g, branch, few[0])
        yield "where" + whose, _where(job, g, few[0])
        if isinstance(made, Weld):
            yield from _weld_rows(job, g, made, few[0], whose)
        else:
            yield from _bolt_rows(job, g, made, few[0], whose)
        yield "square" + whose, _diagonal(job, g, few[0])
    if isinstance(made, Weld):
        yield (
            "fit-up gap",
            f"at most {show_length(GAP_INCH, 'inch') if job.system == 'inch' else show(GAP_MM, 'mm')}; a "
            "wider gap adds to "
            "the leg, and thin wall burns through: recut it",
        )
        shut = [g.members[j.branch] for j in joints if sheet.closed(job, g, g.members[j.branch])]
        yield "vent and drain", sheet.hole_words(job, shut[0]) if shut else weld_sheet.VENT
    else:
        yield "powder", POWDER.format(film=powder.film_words(job.system))
    masses = [g.members[j.branch].mass for j in joints]
    yield (
        "weight of a branch",
        " to ".join(
            dict.fromkeys(
                show(Quantity(m, "kg"), "lb" if job.system == "inch" else "kg", 2)
                for m in (min(masses), max(masses))
            )
        )
        + "; over 50 lb lift it with two" * (max(masses) > 22.7),
    )
    if checks:
        if all(c.verdict == WITHIN for c in checks):
            shares = [f"{c.name.split(': ', 1)[-1]} {ratio_text(c.ratio)}" for c in checks if c.ratio is not None]
            yield "checked", "within limit" + (f", used: {', '.join(shares)}" if shares else "")
            return
        governing = worst(checks)
        used = "" if governing.ratio is None else f", used {ratio_text(governing.ratio)}"
        yield (
            "checked",
            f"{governing.name.split(': ', 1)[-1]}: {governing.verdict}{used}"
            + (f" ({in_words(governing.case)})" if governing.case else ""),
        )


def _pairs(g: Geometry, joints: Sequence[Joint]):
    """Joints of a kind by the tubes that meet, how they lean and where they stand: (a branch, its host, the joints)."""
    groups: dict[tuple, list[Joint]] = {}
    for j in joints:
        b, h, at = g.members[j.branch], g.members[j.host], landings(g, j)[0]
        place = sorted((at.place, h.length - at.place))
        sizes = (b.length, h.length, *place, *at.sizes, np.radians(at.lean), *sorted(e.gap for e in open_ends(g, at)))
        same = (b.stock, h.stock, j.end < 0, no_room(g, at) == "", *(round(float(v), 4) for v in sizes))
        groups.setdefault(same, []).append(j)
    for few in groups.values():
        yield g.members[few[0].branch], g.members[few[0].host], few


def _tube_words(job: Job, m: Member) -> str:
    if not isinstance(m.tube, Tube):
        return f"{m.stock}: {m.tube.words}"
    return (
        f"{m.stock}: {m.words}; wall {show_wall(m.tube.wall('nominal'), job.system)} bought, "
        f"{show_wall(m.tube.wall('design'), job.system)} counted"
    )


def _leans(g: Geometry, m: Member) -> list[tuple[float, float]]:
    """Lean from square (degrees) at either end that is joined, and the depth of the bar that the cut runs
    across."""
    found = []
    for j in g.joints:
        if j.branch == m.name and j.end >= 0:
            at = landings(g, j)[0]
            if not at.in_line:
                found.append((abs(_lean_on(g, j, at)), 2 * at.branch.half_depth(at.branch_axes[1])))
    return found


def _lean_on(g: Geometry, j: Joint, at: Landing) -> float:
    """Lean of a branch from square to the face it stands on (degrees), over 0 towards the second end of the host: faces
    of a host that tapers lean themselves."""
    host = g.members[j.host]
    along = math.degrees(math.asin(max(-1.0, min(1.0, float(at.outward @ host.direction)))))
    return along + _face_leans(host, at.place, at.axes[2])


def _face_leans(bar: Member, place: float, way: np.ndarray) -> float:
    """By how much the face of a bar on the side `way` leans away from its axis towards its second end (degrees)."""
    if bar.tapers_to is None or (bar.straight and place > bar.kink - FLUSH_KINK):
        return 0.0
    return math.degrees(math.atan((bar.half_depth(way) - bar.at(0.0).half_depth(way)) / bar.kink))


def _cut(job: Job, g: Geometry, m: Member, j: Joint) -> str:
    length = m.length
    leans = _leans(g, m)
    long_point = length + sum(depth / 2 * math.tan(math.radians(lean)) for lean, depth in leans)
    size = show_length(Quantity(length, "m"), job.system, feet=False)
    if all(lean < 0.5 for lean, _ in leans):
        copes = _copes(g, m)
        if copes:
            whole = show_length(Quantity(length + sum(copes), "m"), job.system, "up", feet=False)
            which = "both ends" if len(copes) > 1 else "end"
            return (
                f"{size} from crown to crown; cut {whole} long and cope {which} to the round tube, "
                f"{show_length(Quantity(max(copes), 'm'), job.system, 'up')} deep at the sides"
            )
        ends = "both ends square" if len(leans) > 1 else "end square"
        return f"{size} long, {ends}"
    angles = " and ".join(f"{lean:.1f} degrees" for lean, _ in leans if lean >= 0.5)
    return (
        f"{size} on its axis, {show_length(Quantity(long_point, 'm'), job.system)} from long point to "
        f"long point; cut {angles} off square" + (", then coped to the round tube" if _copes(g, m) else "")
    )


def _copes(g: Geometry, m: Member) -> list[float]:
    """How far the sides of a bar reach past the crown of each round tube it ends on (m)."""
    found = []
    for j in g.joints:
        if j.branch == m.name and j.end >= 0:
            at = landings(g, j)[0]
            if isinstance(at.host.tube, Tube) and at.host.tube.shape == "round" and not at.in_line:
                R, r = at.host.width / 2, min(at.sizes[0], at.host.width) / 2
                found.append(R - math.sqrt(R * R - r * r))
    return found


def _where(job: Job, g: Geometry, j: Joint) -> str:
    host = g.members[j.host]
    place = min(host.place_of(j.place), host.length - host.place_of(j.place))
    long = f"{words_of(host.name)} ({show_length(Quantity(host.length, 'm'), job.system)} long)"
    words = (
        f"middle of the branch in the middle of the {long}"
        if host.length / 2 - place < 0.0005
        else f"middle of the branch {show_length(Quantity(place, 'm'), job.system)} from the nearer end of the {long}"
    )
    at = landings(g, j)[0]
    if j.end >= 0 and not unknown(at):
        beyond = to_open_end(g, at)
        words += (
            "; both ends of that tube are closed by other bars"
            if beyond >= host.length
            else f"; {show_length(Quantity(beyond, 'm'), job.system)} of tube beyond it to the nearest open end"
        )
        if short := short_by(g, at):
            words += f"; drawn to the middle of the branch only: cut that tube {show_length(Quantity(short, 'm'), job.system, 'up')} longer there"
    return words


def _weld_rows(job: Job, g: Geometry, weld: Weld, j: Joint, whose: str):
    at = landings(g, j)[0]
    if weld.butt:
        yield from _butt_rows(job, g, weld, at, whose)
        return
    why = unknown(at) or no_room(g, at, float(magnitude(weld.leg, "m")))
    made = None if why else Laid.of(job, g, weld, at)
    why = why or not_laid(made)
    if why:
        yield "weld" + whose, f"ask an engineer: {why}"
        return
    leg = show_length(weld.leg, job.system)
    yield (
        "weld to lay" + whose,
        f"fillet {leg}, {made.sides}, {show_length(Quantity(made.laid_length, 'm'), job.system)} long, "
        f"{int(weld_sheet.passes(made.laid))} pass, {weld.filler} by {weld.process}",
    )
    if at.half:
        yield "both halves" + whose, CUT_IN_TWO.format(branch=j.branch, host=j.host)
    yield (
        "weld credited" + whose,
        f"leg {show_wall(Quantity(float(made.fillet.credited[0]), 'm'), job.system)}, "
        f"{show_length(Quantity(float(made.group.length[0]), 'm'), job.system)} of it works",
    )
    yield "start and stop", f"{start_words(made).removeprefix('start and stop ')}; run over the start, fill the crater"
    if CORNERS_OFF in made.off:
        yield "ends of a run", _ends_words(job, made)
    yield (
        "grinding",
        f"dress no deeper than a throat of {show_wall(weld.throat_left, job.system)}: gauge it"
        if weld.ground
        else NO_GRINDING,
    )
    yield "tacks", TACKS_ROUND if made.saddle is not None else TACKS_TWO if CORNERS_OFF in made.off else TACKS
    if made.flare:
        yield "corners", "fill the round corners flush first, then lay the fillet on top"
    heavy = dict.fromkeys(filter(None, (corner_words(job, m) for m in (at.branch, at.host))))
    if heavy:
        yield "heavy corners" + whose, "; ".join(heavy)
    yield from _heat_rows(job, g, weld, at, whose)


def _ends_words(job: Job, made: Laid) -> str:
    """Two runs that end on the flats: what their starts and stops cost."""
    run, throat = float(made.across), float(made.throat[0])
    if bool(welds_shapes.too_short(run, throat)):
        return f"{show_length(Quantity(run, 'm'), job.system, 'down')} of flat: {welds_shapes.SHORT_RUN}"
    sound = Quantity(float(welds_shapes.length_less_ends.si(l=run, n=2, a=throat)), "m")
    return (
        f"start and stop are not full size: of {show_length(Quantity(run, 'm'), job.system, 'down')} of flat "
        f"{show_length(sound, job.system, 'down')} counts by EN 1993-1-8 (AISC 360-22 takes nothing off): run past both ends "
        "of the flat"
    )


def _butt_rows(job: Job, g: Geometry, weld: Weld, at: Landing, whose: str):
    long = sheet.length_of(job, g, weld, at)
    if not long:
        yield "weld" + whose, "ask an engineer: only tube to tube is butted here"
        return
    cut = math.degrees(sheet.off_square(at)) if weld.ends == MITRED else 0.0
    how = f"along a cut {cut:.1f} degrees off square" if cut else "square"
    yield (
        "weld to lay" + whose,
        f"butt, {how}, all round from outside, {show_length(Quantity(long, 'm'), job.system)} long, {weld.filler} by {weld.process}",
    )
    wall = min(m.tube.wall("design") for m in (at.branch, at.host))
    made = welds_butt.butt(
        *(float(magnitude(v, "m")) if v is not None else math.nan for v in (weld.penetration, wall)),
        ground=weld.ground,
        below_flush=math.nan if weld.below_flush is None else float(magnitude(weld.below_flush, "m")),
    )
    yield (
        "weld credited" + whose,
        made.why_none() or f"throat {show_wall(Quantity(float(made.throat[0]), 'm'), job.system)}, proven: {weld.proof}",
    )
    if weld.mitre_plate is not None:
        yield "plate" + whose, f"{show_length(weld.mitre_plate, job.system)} between the two halves, both welded to it all round"
    yield "grinding", FLUSH if weld.ground else "leave the crown, or say ground and prove what is left"
    yield "start and stop", "in the middle of a flat, never on a corner; run over the start, fill the crater"
    yield "tacks", TACKS
    yield from _heat_rows(job, g, weld, at, whose)


def _heat_rows(job: Job, g: Geometry, weld: Weld, at: Landing, whose: str):
    """What one joint takes and does: filler, time, heat, shrinkage."""
    length = Quantity(sheet.length_of(job, g, weld, at), "m")
    made = sheet.laid(job, g, at.joint.kind, weld, length, sheet.fill_of(job, g, weld, at))
    yield (
        "takes" + whose,
        f"{show(made.deposited, 'lb' if job.system == 'inch' else 'g', 2)} of filler laid, {show(made.arc_time, 'min', 2)} at the arc",
    )
    yield "heat input" + whose, sheet.heat_words(job, made)
    yield "shrinkage" + whose, sheet.shrink_words(job, weld_sheet.shrinkage(length, butt=weld.butt))


def _bolt_rows(job: Job, g: Geometry, bolts: Bolts, j: Joint, whose: str):
    at = landings(g, j)[0]
    why = not_bolted(at) or no_room(g, at)
    if why:
        yield "bolts" + whose, f"ask an engineer: {why}"
        return
    made = Bolted.of(job, bolts, at, to_open_end(g, at))
    yield (
        "bolts to buy" + whose,
        f"{bolts.bolts} of {made.thread.name}, {made.grade.name}, into a {bolts.into}",
    )
    if made.plate is not None:
        weld = on_plate(bolts, made, at)
        yield (
            "weld of the end plate" + whose,
            f"fillet {show_length(Quantity(weld.laid, 'm'), job.system)} {'above and below' if weld.off else 'all round'} the branch, "
            f"{weld.filler.name}; face the plate off before it is bolted",
        )
    yield "torque" + whose, torque_words(job, made.tight)
    low = made.places.min(axis=0) - made.edge
    table = "; ".join(
        f"{show_length(Quantity(float(x), 'm'), job.system)} across, "
        f"{show_length(Quantity(float(y), 'm'), job.system)} along"
        for x, y in made.places - low
    )
    yield (
        "holes" + whose,
        f"{show_wall(Quantity(made.hole, 'm'), job.system)} wide; from one corner of the plate: {table}",
    )


def _diagonal(job: Job, g: Geometry, j: Joint) -> str:
    """What to measure: 12 along one, 16 along the other, 20 across (or by the angle where they lean or taper)."""
    a, b, unit = (12, 16, "in") if job.system == "inch" else (300, 400, "mm")
    at, branch = landings(g, j)[0], g.members[j.branch]
    if at.in_line:
        lean, own = 90.0 - at.theta * 180 / math.pi, 0.0
    else:
        lean = abs(_lean_on(g, j, at))
        own = _face_leans(branch, branch.length * max(j.end, 0), at.branch_axes[1]) * (1 if j.end == 0 else -1)
    cosines = [math.sin(math.radians(own + s * lean)) for s in (1, -1)]
    near, far = (math.sqrt(a * a + b * b - 2 * a * b * c) for c in cosines)
    both = [show_length(Q(v, unit), job.system) for v in (near, far)]
    words = (
        f"{show_length(Q(a, unit), job.system)} along one and {show_length(Q(b, unit), job.system)} "
        "along the other: "
    )
    return words + (
        f"{both[0]} across"
        if both[0] == both[1]
        else f"{both[0]} across the sharp side, {both[1]} across the open side"
    )


def _two_sided(job: Job, g: Geometry, made: Weld | Bolts, joints: Sequence[Joint]) -> bool:
    """Whether every joint of a kind has its fillet on two opposite sides of the branch only: no circle in the symbol then."""
    if not isinstance(made, Weld) or made.butt:
        return False
    places = [landings(g, j)[0] for j in joints]
    sides = [Laid.of(job, g, made, at) for at in places if not (unknown(at) or no_room(g, at, float(magnitude(made.leg, "m"))))]
    return bool(sides) and len(sides) == len(places) and all(not not_laid(one) and one.sides.startswith(TWO_SIDES) for one in sides)


def _symbol(job: Job, made: Weld | Bolts, two_sided: bool = False) -> Symbol | None:
    if not isinstance(made, Weld):
        return None
    if made.butt:
        return _butt_symbol(job, made)
    leg = show_length(made.leg, job.system)
    mm = float(magnitude(made.leg, "mm"))
    plain = leg.removesuffix(" in").removesuffix(" mm")
    if made.flare_sides:
        return Symbol(
            f"fillet {leg} all round; the two sides on the round corners filled flush first, the fillet on "
            "top",
            f"circle at the bend (all round), fillet triangle under the line, {plain} left of it; "
            "flare-bevel under it on the two sides",
            f"circle at the bend, fillet triangle, z{mm:.3g} (a{mm / math.sqrt(2):.2g}); flare-bevel on the "
            "two sides",
        )
    if two_sided:
        return Symbol(
            f"fillet {leg} on two sides, at the arrow and opposite it",
            f"no circle; fillet triangles under and over the line (both sides), {plain} left of each",
            f"no circle; fillet triangles on both sides of the solid line, no dashed one, z{mm:.3g} left of each (a{mm / math.sqrt(2):.2g})",
        )
    return Symbol(
        f"fillet {leg} all round, on the side of the arrow",
        f"circle at the bend (all round), fillet triangle under the line, {plain} left of it",
        f"circle at the bend (all round), fillet triangle on the solid line, z{mm:.3g} left of it "
        f"(a{mm / math.sqrt(2):.2g})",
    )


def _butt_symbol(job: Job, made: Weld) -> Symbol:
    """A square butt: US practice puts the depth of the weld in brackets, ISO writes s before it. Flush: a straight line."""
    depth, mm = ("not proven", "not proven")
    if made.penetration is not None:
        depth, mm = show_wall(made.penetration, job.system), f"s{float(magnitude(made.penetration, 'mm')):.2g}"
    flush = ", a straight line over it (flush), G for grinding" if made.ground else ""
    return Symbol(
        f"square butt all round from outside, penetration {depth}" + (", ground flush" if made.ground else ""),
        f"circle at the bend (all round), two upright lines (square groove) under the line, ({depth}) left of them{flush}",
        f"circle at the bend (all round), two upright lines (square butt) on the solid line, {mm} left of them"
        + (", a straight line over them (flush)" if made.ground else ""),
    )
