"""Checks of the table in use: where it goes over and where a foot lifts, how it stands in pieces, what the floor sees, who
can sit at it, and what is asked of one that stands already. None needs more than a few hundredths of a second.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from shopcalc.check import ASK, OVER, REPORTED, WITHIN, Check, compare
from shopcalc.errors import InputError
from shopcalc.mechanics.statics import GRAVITY, inside_by, most_on_a_foot, tip_or_slide
from shopcalc.stock.tubes import Tube
from shopcalc.table import people as room
from shopcalc.table.checks import (
    floor_slope,
    in_units,
    metres,
    newtons,
    provenance,
    size_words,
    wanted_righting,
)
from shopcalc.table.floor import (
    BEARS,
    BUILT_FOR,
    LEVELLER_TRAVEL,
    SMALL_PAD,
    pressure_under,
    spread_over,
    travel_needed,
)
from shopcalc.table.foot_forces import BRACKET, STATES, feet_in, units
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.loads import LoadCase
from shopcalc.table.maps import (
    Setting,
    first_least,
    lifts_at,
    over_at,
    place_words,
    setting_of,
)
from shopcalc.table.stability import (
    bodies,
    body_of,
    edge_words,
    goes_over_at,
    loose_body,
    standing_cases,
)
from shopcalc.table.states import (
    loose_pieces,
    loose_top,
    stages,
    tilting_up,
    top_on_edge,
)
from shopcalc.units import Q, Quantity, magnitude, number, show, show_length

FRICTION = (0.3, 0.7)  # between feet and floor, low and high (trade notes, common practice)
LEANS_LITTLE = math.radians(10)  # tilt limit of the caster test (ANSI/BIFMA X5.5, second-hand), as a yardstick
ALONE = "a lone piece or a stage that does not stand: two people hold it, or props, until it is joined"
PLATE = "the top bends and twists as a plate of mean stiffness on its seats, which hold it both ways; as dead weight it only loads them"
EDGE_POINTS = 12
TOUCH = 1.0  # newtons: what lifts a foot at less than this rocks at a touch

# Methods of published tests: id, words in inches and in millimetres, how far in from the edge the load acts (m), a level force with it (N), how the
# geometry was read. Force levels only where read.
METHODS = (
    ("ISO 7172", ("ISO 7172:1988 method (load at the middle of a side, 50 mm, 2 in, from its edge, sliding stopped at the feet)",
      "ISO 7172:1988 method (load at the middle of a side, 50 mm from its edge, sliding stopped at the feet)"), 0.050, 0.0,
     "iso-7172, cl. 4, 5", "retrieved"),
    ("ANSI-BIFMA X5.5 vertical", ("ANSI/BIFMA X5.5 method (12 in disc, its middle 7 in from the edge)",
      "ANSI/BIFMA X5.5 method (305 mm disc, its middle 178 mm from the edge)"), 0.178, 0.0, "bifma-x5-5-stability, vertical",
     "second-hand"),
    ("ANSI-BIFMA X5.5 casters", ("ANSI/BIFMA X5.5 method for casters (8 in disc, its middle 4 in from the edge, 10 lbf outward)",
      "ANSI/BIFMA X5.5 method for casters (203 mm disc, its middle 102 mm from the edge, 44.5 N outward)"), 0.102, 44.5,
     "bifma-x5-5-stability, with casters", "second-hand"),
)


AT_SIDE = {"front": "at the front", "back": "at the back", "left": "at the left end", "right": "at the right end"}


def use_checks(job: Job, g: Geometry, cases: dict[str, LoadCase]) -> Iterator[Check]:
    """Every check of this module."""
    yield from over_checks(job, g)
    yield from lift_checks(job, g, cases)
    yield from method_checks(job, g)
    yield from state_checks(job, g)
    yield from loose_top_checks(job, g, cases)
    yield from floor_checks(job, g, cases)
    yield from people_checks(job, g)
    yield from existing_checks(job, g)


def _force(job: Job, value: float) -> str:
    return size_words(job, newtons(value)) if math.isfinite(value) else "no load"


def _check(id: str, name: str, about: str, source: str = "statics", **given) -> Check:
    given.setdefault("kind", "information")
    given.setdefault("verdict", REPORTED)
    given.setdefault("provenance", provenance(source.split(",")[0]))
    return Check(id=id, name=name, about=about, source=source, **given)


def edge_places(g: Geometry, inset: float = 0.0) -> np.ndarray:
    """Places round the edge of the top, corners among them; straight out from every edge of the feet on a round one."""
    a, b = g.top.length / 2 - inset, g.top.width / 2 - inset
    if g.top.shape == "round":
        turn = 2 * np.pi * np.arange(2 * EDGE_POINTS) / (2 * EDGE_POINTS)
        return np.concatenate([np.stack([np.cos(turn), np.sin(turn)], axis=1), body_of(g).shape.normals]) * [a, b]
    x, y = np.linspace(-a, a, EDGE_POINTS + 1), np.linspace(-b, b, EDGE_POINTS + 1)
    return np.concatenate([np.stack([x, np.full_like(x, s * b)], axis=1) for s in (-1, 1)]
                          + [np.stack([np.full_like(y, s * a), y], axis=1) for s in (-1, 1)])


def middles_of_sides(g: Geometry, inset: float) -> np.ndarray:
    """Where ISO 7172, clause 5, puts the load on a rectangular top: at the middle of each side. Corners are in the other checks."""
    a, b = g.top.length / 2 - inset, g.top.width / 2 - inset
    return np.array([(0, -b), (0, b), (-a, 0), (a, 0.0)])


# --- goes over, lifts ------------------------------------------------------------------------------


def over_checks(job: Job, g: Geometry) -> Iterator[Check]:
    """The least load anywhere on the top that turns the table over, and what a level push does."""
    slope = floor_slope(job)
    places = edge_places(g)
    loads, state = over_at(g, bodies(job, g), places, Setting(slope=slope))
    i = int(loads.argmin())
    where = place_words(g, *places[i]) + (f", {state[i]}" if state[i] else "")
    never = math.isinf(loads[i])
    yield _check("whole table/goes over", "Whole table: least load that turns it over", "whole table", kind="stability",
                 verdict=REPORTED if loads[i] > 0 else OVER,
                 demand=None if never else in_units(job, newtons(float(loads[i])), "force"), clause="moments about the edges of the feet",
                 detail="no load on the top turns it over" if never else "goes over by itself" if not loads[i] else f"goes over under {_force(job, loads[i])} at {where}",
                 range=("rigid table, fixed top, hard floor, sliding prevented", f"floor slope {slope * 100:.2g} %"),
                 cautions=("a weight that comes down with a jerk counts more: nobody jumps or climbs on it",))
    worst = min(bodies(job, g), key=lambda b: tip_or_slide(b.shape, b.weight, b.centre[:2], height=g.top.surface + b.raised, friction=FRICTION,
                                                           slope=slope, centre_height=float(b.centre[2])).tips)
    both = tip_or_slide(worst.shape, worst.weight, worst.centre[:2], height=g.top.surface + worst.raised, friction=FRICTION, slope=slope,
                        centre_height=float(worst.centre[2]))
    yield _check("whole table/tips or slides", "Whole table: a level push at its top", "whole table", kind="stability",
                 demand=in_units(job, newtons(both.tips), "force"), clause="moments; friction",
                 detail=f"{both.words}: tips over {edge_words(worst, both.edge)} at {_force(job, both.tips)} with sliding prevented, slides at "
                        f"{_force(job, both.slides[0])} (friction {FRICTION[0]:g}) to {_force(job, both.slides[1])} ({FRICTION[1]:g})",
                 assumed=(f"friction of the feet between {FRICTION[0]:g} and {FRICTION[1]:g}: pull it with a luggage scale",),
                 cautions=("sliding is no rescue: a foot that meets a joint or a sill tips the table",))


def lift_checks(job: Job, g: Geometry, cases: dict[str, LoadCase]) -> Iterator[Check]:
    """The least load on the edge of the top that lifts a foot, floor even and with a foot over a hollow; beside it what a top
    that does not twist, and one that twists freely, would make of it."""
    setting, places = setting_of(job, cases), edge_places(g)
    shared = {"kind": "stability", "clause": "frame and plate, feet that only press",
              "range": ("linear frame, stiff and soft bounds", PLATE, f"floor slope {setting.slope * 100:.2g} %")}
    try:
        feet = feet_in(job, g, STATES + BRACKET)
    except InputError as error:  # no plate without three seats that bear it
        yield _check("feet/lift", "Feet: least load that lifts one", "feet", verdict=ASK, detail=str(error), **shared)
        return
    rows = list(zip(STATES + BRACKET, feet, units(feet, places), strict=True))
    plates = [(f, unit) for _, f, unit in rows[:len(STATES)]]
    bounds = {top: [(f, unit) for s, f, unit in rows[len(STATES):] if s[0] == top] for top in ("stiff", "limp")}

    def lifts(some, uneven: bool):
        return lifts_at(job, g, [f for f, _ in some], places, setting, uneven=uneven, each=[unit for _, unit in some])

    for id, uneven, words in (("feet/lift", False, "floor even"), ("feet/lift on an uneven floor", True, "one foot over a hollow")):
        if uneven and not setting.hollow:
            continue
        loads, state = lifts(plates, uneven)
        i = first_least(loads)
        least = {top: _lift_words(job, float(lifts(both, uneven)[0].min())) for top, both in bounds.items()}
        beside = state[i] + ("" if set(least.values()) == {_lift_words(job, float(loads[i]))} else
                             f" (simpler tops beside it: {least['stiff']} were it stiff in twist, {least['limp']} as strips that twist freely)")
        name = f"Feet: least load that lifts one, {words}"
        if math.isinf(loads[i]):
            yield _check(id, name, "feet", detail="no load on the top lifts a foot", **shared)
            continue
        where = place_words(g, *places[i])
        hollow = f" over a hollow of {show_length(metres(setting.hollow), job.system)}" if uneven else ""
        touch = loads[i] < TOUCH
        cautions = ("set the levellers until every foot carries: a paper strip under none of them slides",) if uneven and touch else ()
        if not fixed_top(job):
            cautions += ("the top lies loose: where it comes off a seat a foot may lift sooner",)
        yield _check(id, name, "feet", demand=in_units(job, newtons(0.0 if touch else float(loads[i])), "force"),
                     detail=(f"rocks at a touch{hollow}: {beside}" if touch else f"a foot lifts under {_force(job, loads[i])} at {where}{hollow}; {beside}"),
                     cautions=cautions, **shared)


def _lift_words(job: Job, load: float) -> str:
    return "at a touch" if load < TOUCH else _force(job, load)


# --- methods of published tests --------------------------------------------------------------------


def method_checks(job: Job, g: Geometry) -> Iterator[Check]:
    """At what load the table goes over where the published tests put it. No word of passing: the force levels of most were
    not read, and tests are made on the table itself."""
    low = g.top.surface <= 0.6 or g.top.area <= 0.25
    for id, both_words, inset, push, source, read in METHODS:
        words = both_words[job.system == "mm"]
        if "casters" in id and job.model.base.feet.kind != "casters":
            continue
        places = middles_of_sides(g, inset) if id == "ISO 7172" and g.top.shape != "round" else edge_places(g, inset)
        rows = np.array([goes_over_at(g, b, places, push=push) for b in bodies(job, g)])
        i = np.unravel_index(rows.argmin(), rows.shape)
        load = float(rows[i])
        yield _check(f"whole table/{id}", f"Whole table: by the {id.replace('ANSI-BIFMA', 'ANSI/BIFMA')} method", "whole table", source, kind="stability", provenance=read,
                     demand=None if math.isinf(load) else in_units(job, newtons(load), "force"),
                     clause=words, detail=("no load goes over" if math.isinf(load) else f"goes over at {_force(job, load)}") + f" by the {words}, at "
                     f"{place_words(g, *places[i[1]])}",
                     range=("level floor, rigid table: all that is opposite lifts at once",),
                     cautions=("worked, not tested, and no pass by any standard: editions differ",
                               *(("low or small top (600 mm, 0.25 m2): EN 12521 has other loads for it",) if low else ())))


# --- pieces, stages --------------------------------------------------------------------------------


def state_checks(job: Job, g: Geometry) -> Iterator[Check]:
    """Each loose piece, each stage, the top on its edge and tilted up."""
    held = job.model.assembly.held_by
    assumed = () if held else ("what does not stand by itself is held or propped by two people",)
    rows = [(f"piece/{s.pieces[0]} standing", s) for s in loose_pieces(g)]
    rows += [(f"stage/{i} standing", s) for i, s in enumerate(stages(job, g), 1)]
    whole = rows[-1][0]
    for id, s in rows:
        angle = math.degrees(s.lean)
        little = s.stands and s.lean < LEANS_LITTLE
        said = (f"stands on {s.feet} feet; goes over when it leans {angle:.1f} degrees, or under a push of {_force(job, s.push)} at its highest point"
                if s.stands else f"falls over by itself ({s.feet} feet on the floor): " + (held or "hold or prop it"))
        yield _check(id, f"{s.words[:1].upper()}{s.words[1:]}", s.words, kind="stability", demand=Q(angle, "deg"), clause="moments about the edges of the feet",
                     verdict=OVER if id == whole and not s.stands else REPORTED, detail=said, assumed=() if s.stands else assumed,
                     cautions=() if s.stands and not little else (ALONE,) if not s.stands else
                     (f"{s.words}: stands, but goes over at a lean under 10 degrees: hold it",))
    lean, push = top_on_edge(g)
    yield _check("top/on edge", "Top on its long edge", "top", kind="stability", demand=Q(math.degrees(lean), "deg"), clause="moments about an edge",
                 detail=f"falls when it leans {math.degrees(lean):.1f} degrees, or under {_force(job, push)} at its upper edge",
                 cautions=("a top on its edge: strap it to something that stands, or hold it at both ends",))
    flat, end = tilting_up(g)
    yield _check("top/tilting up", "Top and table tilted up", "top", kind="handling", demand=in_units(job, newtons(flat), "force"), clause="moments about an edge",
                 detail=f"{_force(job, flat)} at one edge starts the flat top up; {_force(job, end)} at one end starts the whole table",
                 cautions=("two or more people, hands clear of the edge that stays down; past its balance it falls by itself",))


def fixed_top(job: Job) -> bool:
    return job.model.assembly.top == "fixed"


def loose_top_checks(job: Job, g: Geometry, cases: dict[str, LoadCase]) -> Iterator[Check]:
    """The slab by itself on its seats: a top that only lies there is compared with the person on its edge."""
    found = loose_top(g, FRICTION[0])
    where = place_words(g, *found.place)
    said = (f"lying loose it tips off its base under {_force(job, found.tips)} at {where}" if math.isfinite(found.tips) else
            "no load on its edge tips it off its base") + f", and slides under a push of {_force(job, found.slides)} (friction {FRICTION[0]:g})"
    shared = {"kind": "stability", "clause": "moments about the outline of the seats", "range": ("rigid slab on one-sided seats",)}
    if fixed_top(job):
        said += "; fixed, as here, it does not: it is only as good as its fixings"
        yield _check("top/loose on its base", "Top lying loose on its base", "top", detail=said,
                     demand=in_units(job, newtons(found.tips), "force") if math.isfinite(found.tips) else None,
                     assumed=() if "top_to_base" in job.model.joints else ("the top is fixed to its base (assembly.top)",),
                     cautions=("until its fixings are in, nobody leans on the top",), **shared)
        return
    case = cases["person-stability"]
    wanted, _, _ = wanted_righting(job, case)
    ratio, verdict = compare(wanted * float(magnitude(case.value, "N")), found.tips)
    yield _check("top/loose on its base", "Top lying loose on its base", "top", verdict=verdict, ratio=ratio,
                 demand=in_units(job, case.value * wanted, "force"), limit=in_units(job, newtons(found.tips), "force") if math.isfinite(found.tips) else None,
                 detail=said, case=case.words, cautions=("a loose top is two bodies: fix it with slots that let it move",), **shared)

    two = cases["two-persons-stability"]
    wanted, whose, assumed = wanted_righting(job, two)
    worst = next(standing_cases(g, loose_body(g), {two.id: two}, floor_slope(job)))
    over = worst.ratio < math.inf
    ratio, verdict = compare(wanted, worst.ratio) if over else (0.0, WITHIN)
    yield _check("top/loose under two people", "Top lying loose under two people", "top", verdict=verdict, ratio=ratio, demand=Q(wanted, ""),
                 limit=Q(worst.ratio, "") if over else None, case=f"{two.words}, {size_words(job, two.value)} each, {worst.where}",
                 detail="their weight does not tip it off its base" if not over else
                 f"righting over overturning {number(worst.ratio, 3)}, needs {number(wanted, 3)} ({whose}); one load there tips it off its base at "
                 f"{_force(job, worst.tips_at)}",
                 assumed=(f"righting ratio {number(wanted, 3)}",) if assumed else (), **shared)


# --- floor -----------------------------------------------------------------------------------------


def floor_checks(job: Job, g: Geometry, cases: dict[str, LoadCase]) -> Iterator[Check]:
    """Pressure under the worst of three feet, load over the footprint, travel of the levellers."""
    floor, foot = job.model.floor, job.model.base.feet
    spread = float(magnitude(cases["everyday-spread"].value, "Pa")) * g.top.area
    heavy = g.mass * GRAVITY + (0.0 if g.top.mass_weighed else 0.1 * g.top.mass * GRAVITY)
    centre = sum(p.mass * np.array(p.centre[:2]) for p in g.pieces) / g.mass
    total = heavy + spread
    place = (heavy * centre) / total
    if (inside_by(body_of(g).shape, place)[0] >= 0).all():
        yield _pressure_check(job, g, total, place)
    load = spread_over(newtons(total), l=metres(g.top.length), b=metres(g.top.width * (math.pi / 4 if g.top.shape == "round" else 1.0)))
    built = floor.live if floor.live is not None else BUILT_FOR.get(floor.use)
    unit = "psf" if job.system == "inch" else "kPa"
    ratio, verdict = (None, REPORTED) if built is None else compare(float(magnitude(load, "Pa")), float(magnitude(built, "Pa")))
    yield _check("floor/load over the footprint", "Floor: load over the plan of the table", "floor", "ibc-2018, table 1607.1", demand=load.to(unit),
                 limit=None if built is None else built.to(unit), ratio=ratio, verdict=verdict, case="own weight and everyday spread",
                 clause="live load the floor is built for" + ("" if built is None else ": the job's" if floor.live is not None else f": {floor.use}"),
                 detail=f"{_force(job, total)} over {show_length(metres(g.top.length), job.system)} by {show_length(metres(g.top.width), job.system)}",
                 cautions=("people who stand round it are not in it; the way in (corridors, stairs, lifts) carries it too", *(
                     ("over what the floor is built for: ask the building's engineer",) if verdict == OVER else ())))
    gap = float(magnitude(cases["foot-in-the-air"].value, "m"))
    slope = floor_slope(job)
    need = travel_needed(gap, slope, g.foot_contacts)
    said = f"to stand level on a hollow of {show_length(metres(gap), job.system)} and a slope of {slope * 100:.2g} % over the feet"
    ratio, verdict = (None, REPORTED) if foot.travel is None else compare(need, float(magnitude(foot.travel, "m")))
    if foot.kind in ("leveller", "casters") or foot.travel is not None:
        long = foot.travel is not None and foot.travel >= LEVELLER_TRAVEL
        yield _check("floor/leveller travel", "Floor: travel of the levellers", "floor", "floor-flatness", demand=in_units(job, metres(need), "length"),
                     limit=None if foot.travel is None else in_units(job, foot.travel, "length"), ratio=ratio, verdict=verdict,
                     clause="geometry of the floor", detail=said, provenance=provenance("floor-flatness"),
                     assumed=() if foot.travel is not None else ("travel of the levellers not given (base.feet.travel)",),
                     cautions=(("40 mm and more of travel is height adjustment, not a leveller (GB/T 10357.1)",) if long else ()))
    else:
        yield _check("floor/leveller travel", "Floor: no levellers", "floor", "floor-flatness", demand=in_units(job, metres(need), "length"),
                     clause="geometry of the floor", detail=said + ": shims, the feet do not adjust", provenance=provenance("floor-flatness"))


def _pressure_check(job: Job, g: Geometry, total: float, place: np.ndarray) -> Check:
    """The most that any three feet put on one, on its pad. total (N) at place: own weight and what lies on the table."""
    floor, foot = job.model.floor, job.model.base.feet
    pad = SMALL_PAD if foot.pad is None else foot.pad
    most, _ = most_on_a_foot(g.foot_contacts, total, place)
    pressure = pressure_under(newtons(most), pad).to("psi" if job.system == "inch" else "MPa")
    bears = floor.bearing if floor.bearing is not None else BEARS.get(floor.kind)
    ratio, verdict = (None, REPORTED) if bears is None else compare(float(magnitude(pressure, "Pa")), float(magnitude(bears, "Pa")))
    whose = "given by the job" if floor.bearing is not None else f"{floor.kind}, an unsigned reference" if bears is not None else \
        "no figure for this floor: ask its maker; 40 to 250 psi are read for resilient floors"
    worked = pressure_under.worked(F=newtons(most), d=pad, system=job.system)
    return _check("floor/pressure under a foot", "Floor: pressure under a foot", "floor", "resilient-bearing" if bears is not None else "statics",
                 demand=pressure, limit=None if bears is None else bears.to(pressure.units), ratio=ratio, verdict=verdict, worked=(worked,),
                 case="own weight and everyday spread, standing on any three feet", clause=f"pressure the floor bears: {whose}",
                 detail=f"{_force(job, most)} on one pad of {show_length(pad, job.system)}: the most that three feet can put on one",
                 assumed=() if foot.pad is not None else (f"pads {show_length(pad, job.system)} across (base.feet.pad)",),
                 range=("stiff table, load spread evenly",), cautions=("a cup under each foot spreads it on soft or heated floors",) if verdict == OVER else ())


# --- people ----------------------------------------------------------------------------------------


def people_checks(job: Job, g: Geometry) -> Iterator[Check]:
    """Seats without a leg between knees, places for a wheelchair, room over thighs, shins, height. Compared only where the
    job asks ([people]); otherwise reported."""
    asks = job.model.people
    spacing = room.SPACING if asks.spacing is None else float(magnitude(asks.spacing, "m"))
    travel = job.model.base.feet.travel
    heights = (0.0, 0.0 if travel is None else float(magnitude(travel, "m")))
    assumed = () if asks.spacing is not None else (f"{show_length(metres(spacing), job.system)} a seat (people.spacing)",)
    found = room.all_sides(g)
    if g.top.shape == "round":
        bad = [place for place in room.round_even(g, asks.seats) if place.meets] if asks.seats else []
        words = tuple(f"spread evenly, seat {p.words} meets {', '.join(p.meets)}" for p in bad[:6])
        rows = [("seats", asks.seats, len(room.round_seats(g, spacing)), "round the rim", words)]
    else:
        most = {s: len(room.places(u, room.blocks_knees(u), spacing, room.KNEES)) for s, u in found.items()}
        rows = [("seats", asks.seats, min(most["front"], most["back"]), "on each long side", conflict_words(found, asks.seats, ("front", "back"))),
                ("seats at the ends", asks.ends, min(most["left"], most["right"]), "at each end", conflict_words(found, asks.ends, ("left", "right")))]
    if g.top.shape != "round" and asks.seats and asks.ends:
        both = room.corner_clashes(room.plan_of_places(g, seats=asks.seats, ends=asks.ends))
        rows[1] = (*rows[1][:4], rows[1][4] + tuple(f"seats {a} and {b} of the plan want the same corner" for a, b in both))
    for id, wanted, has, where, cautions in rows:
        ratio, verdict = (None, REPORTED) if not wanted else compare(wanted, has)
        yield _check(f"people/{id}", f"People: {id}", "people", "maker-seat-planning", demand=Q(wanted or has, ""), limit=Q(has, "") if wanted else None,
                     ratio=ratio, verdict=verdict, clause=f"{show_length(metres(spacing), job.system)} a seat, knees clear of legs",
                     detail=f"{has} {where} with no leg between the knees", assumed=assumed, cautions=cautions)
    yield from _clearances(job, g, found, heights)


def places_of(job: Job, g: Geometry) -> list[room.Place]:
    """Places in plan as the job asks for them, over the travel of its levellers."""
    asks, travel = job.model.people, job.model.base.feet.travel
    return room.plan_of_places(g, seats=asks.seats, ends=asks.ends, spacing=room.SPACING if asks.spacing is None else float(magnitude(asks.spacing, "m")),
                               heights=(0.0, 0.0 if travel is None else float(magnitude(travel, "m"))))


def conflict_words(found, count: int | None, sides: tuple[str, ...]) -> tuple[str, ...]:
    if not count:
        return ()
    words = []
    for side in sides:
        _, bad = room.even_seats(found[side], count)
        words += [f"spread evenly, seat {k} from the left on the {side} meets {name}" for k, name in bad]
    return tuple(words[:6])


def _clearances(job: Job, g: Geometry, under: dict[str, room.Under], heights: tuple[float, float]) -> Iterator[Check]:
    asks, system = job.model.people, job.system
    sides = room.SIDES
    if g.top.shape == "round":
        places = {"round the rim": len(room.round_wheelchairs(g, heights))}
    else:
        places = {s: min(len(room.places(u, room.blocks_wheelchair(u), room.WHEELCHAIR, room.WHEELCHAIR)) for u in (room.raised(under[s], h) for h in heights))
                  for s in sides}
    total = sum(places.values())
    ratio, verdict = compare(asks.accessible, total) if asks.accessible else (None, REPORTED)
    yield _check("people/wheelchair places", "People: places for a wheelchair", "people", "ada-2010, 306, 902", ratio=ratio, verdict=verdict,
                 demand=Q(asks.accessible or total, ""), limit=Q(total, "") if asks.accessible else None,
                 clause="30 in wide; toes 17 in deep to 9 in, knees 11 in at 9 in to 8 in at 27 in; at both ends of the levellers' travel",
                 detail=", ".join(f"{n or 'none'} {AT_SIDE.get(s, s)}" for s, n in places.items()) if total or len(places) == 1 else "none on any side",
                 range=("in from the tangent of a round rim, every half degree tried",) if g.top.shape == "round" else (),
                 cautions=("a clear floor of 30 by 48 in (760 by 1,220 mm) at each, and a way to it, belong to the room",))
    low, high = (g.top.surface + h for h in heights)
    inside = room.HEIGHTS[0] - 1e-6 <= low and high <= room.HEIGHTS[1] + 1e-6
    yield _check("people/height", "People: height of the top", "people", "ada-2010, 902.3", demand=in_units(job, metres(high), "length"),
                 limit=in_units(job, metres(room.HEIGHTS[1]), "length") if asks.accessible else None,
                 verdict=REPORTED if not asks.accessible else WITHIN if inside else OVER,
                 ratio=None if not asks.accessible else max(high / room.HEIGHTS[1], room.HEIGHTS[0] / low),
                 clause="28 to 34 in where a wheelchair place is asked for, over the whole travel",
                 detail=(f"{show_length(metres(low), system)} to {show_length(metres(high), system)} over the travel of the levellers" if high - low > 1e-6
                         else "floor to the face of the top, levellers as drawn") + ("" if inside else "; a wheelchair place asks for "
                         + " to ".join(show_length(metres(h), system) for h in room.HEIGHTS)))
    clear, what = min((room.clear_height(g, under[s]) for s in sides), key=lambda row: row[0])
    seat = metres(room.POPLITEAL) if asks.chair is None else asks.chair
    need = float(magnitude(room.thigh_height(p=seat, c=metres(room.THIGH)), "m"))
    asked = bool(asks.seats or asks.ends)
    ratio, verdict = (None, REPORTED) if not asked else compare(need, clear)
    yield _check("people/thighs", "People: room over the thighs", "people", "ansur-ii", demand=in_units(job, metres(need), "length"), ratio=ratio, verdict=verdict,
                 limit=in_units(job, metres(clear), "length") if asked else None, clause="seat and thigh (95 of 100 men), without shoes",
                 worked=(room.thigh_height.worked(p=seat, c=metres(room.THIGH), system=system),),
                 detail=f"{show_length(metres(need), system, 'up')} needed over seat and thigh; {show_length(metres(clear), system, 'down')} there under {what}",
                 assumed=() if asks.chair is not None else (f"seat {show_length(seat, system)} high (people.chair)",))
    near = [(d, name, s) for s in sides for d, name in [room.shins(under[s]) or (math.inf, "")] if d < room.SHIN_DEPTH]
    if near:
        d, name, s = min(near)
        yield _check("people/shins", "People: low bars at the shins", "people", "statics", provenance="common practice",
                     demand=in_units(job, metres(d), "length"), clause="a low bar nearer the edge than 10 in is kicked (common practice)",
                     detail=f"{name} runs {show_length(metres(d), system)} in from the {s}", cautions=("shins and heels meet a low bar near the edge",))


# --- existing tables -------------------------------------------------------------------------------


def existing_checks(job: Job, g: Geometry) -> Iterator[Check]:
    """What is asked of a table that stands already; and anchoring, which is an engineer's."""
    e, asks = job.model.evidence, set(job.model.evidence.asks)
    tubes = [n for n in dict.fromkeys(m.stock for m in g.members.values()) if isinstance(job.tubes[n], Tube)]
    blind = [n for n in tubes if n not in e.walls]
    heavy = [p.name for p in g.pieces if p.name not in e.weighed_pieces and not (p.name == "top" and e.weighed_top is not None)]
    if "load" in asks or e.stands_already:
        words = [f"wall not measured: {', '.join(blind)}"] if blind else []
        words += [f"not weighed: {', '.join(heavy)}"] if heavy else []
        yield _check("existing table/load", "Existing table: is it safe to load?", "existing table", verdict=ASK if blind and "load" in asks else REPORTED,
                     demand=Q(len(blind), ""), clause="evidence of what stands there",
                     detail="the checks of this job hold for walls and welds as described; " + ("; ".join(words) if words else "walls measured, pieces weighed"),
                     cautions=("look at every weld, foot and insert first: cracks, rust and loose screws are not in these numbers",))
    if "mend" in asks:
        yield _check("existing table/mend", "Existing table: may it be mended?", "existing table", verdict=ASK, demand=Q(1, ""), clause="what was welded there is not known",
                     detail="steel, filler and root of the old welds are unknown: find why it broke before it is welded again",
                     cautions=("coats, fillings and closed tubes: fumes, fire and burst; vent before heat",))
    if "move" in asks:
        words = [f"{p.name} {show(Quantity(p.mass, 'kg'), 'lb' if job.system == 'inch' else 'kg')}" + (" (not weighed)" if p.name in heavy else "")
                 for p in g.pieces]
        yield _check("existing table/move", "Existing table: may it be moved?", "existing table", demand=Q(len(g.pieces), ""), clause="mass of pieces; stages",
                     detail="take it apart in the reverse of its stages: " + "; ".join(words), cautions=("lift, do not drag; see stage/... for what falls over",))
    if "anchor" in asks or job.model.floor.earthquakes:
        lean = stages(job, g)[-1].lean
        yield _check("existing table/anchor", "Must it be anchored?", "existing table", verdict=ASK, demand=Q(math.degrees(lean), "deg"), clause="local code",
                     detail=f"goes over when it leans {number(math.degrees(lean), 3)} degrees; earthquakes and codes for fixed furniture are not worked here")
