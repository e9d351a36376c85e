"""How the top is held on the base: screws, lags or inserts under what people do to the table.

People lift a table by its top, so the fixings carry the base; pushes and drags at the top pass through them
level. Each fixing takes
an equal share. Through slots only the two fixed ones in the middle hold level across the grain.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from shopcalc.check import ASK, OVER, REPORTED, WITHIN, Check, compare
from shopcalc.codes import nds
from shopcalc.formula import formula
from shopcalc.joints import fasteners
from shopcalc.mechanics.statics import GRAVITY, inside_by, outline
from shopcalc.stock import fasteners as stock
from shopcalc.table.checks import case_words, in_units, newtons, provenance
from shopcalc.table.frame_cases import FrameCase
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.jobfile.joints import TOP_KEY, TopFixing
from shopcalc.table.maps import place_words
from shopcalc.table.stability import LIGHT_WOOD
from shopcalc.table.states import loose_top, rim_of
from shopcalc.units import Count, Force, Length, Q, Ratio, Stress, magnitude, show, show_length

TAB, TAB_YIELD, TAB_TENSILE = Q(0.12, "inch"), Q(36, "ksi"), Q(58, "ksi")  # 11 ga tab of plain steel
OMEGA_TAB = 1.67  # bending, AISC 360-22 F1
HOLD_ACROSS = 2  # fixings that are not slotted, in the middle of the top, where the job does not say
CLAUSE = f"{nds.EDITION} chapter 12"
EQUAL = "each fixing takes an equal share; seats that press need none"
RIGID = (
    "a solid top that is screwed down through round holes splits or bows when it moves: slot all holes across"
    " the grain but those in the middle"
)


@formula(symbol="P_1", source="statics, equal shares")
def share(*, P: Force, n: Count) -> Force:
    """Share of one fixing in a force.

    P  force on all fixings
    n  fixings that carry it
    """
    return P / n


def fixing_checks(job: Job, g: Geometry, every: Iterable[FrameCase]) -> Iterator[Check]:
    """Pull and level load of the fixings of the top, where the job says how it is held; nothing where it
    does not."""
    made = job.model.joints.get(TOP_KEY)
    if not isinstance(made, TopFixing):
        return
    cases = list(every)
    lifted = [c for c in cases if c.held.startswith("lift:")]
    level = [
        (float(np.linalg.norm(c.seats[:, :2].sum(axis=0))), c)
        for c in cases
        if c.case.kind in ("use", "handling")
    ]
    common = dict(
        about="top", provenance=provenance("nds-2018"), source="nds-2018, 12.2 and 12.3", clause=CLAUSE
    )
    held, assumed = _held(job, g, made)
    cautions = (*fasteners.CAUTIONS, *nds.CAUTIONS[:1], *(() if made.slotted else (RIGID,)), *held.cautions)
    yield from _penetration(job, g, made, common)
    under = [name for name in pockets_at_bars(job, g) if job.model.top.pockets[name].face == "under"]
    if under:
        cautions = (*cautions, f"the pocket {under[0]} is cut where a bar lies under the top: no wood is there to hold a fixing, set none in it")
    if held.refused:
        short = "least the code counts" in held.refused
        yield Check(
            id="top/fixing",
            name="Top: fixing to the base",
            kind="use",
            verdict=OVER if short else ASK,
            detail=f"{made.fixing}: {held.refused}",
            assumed=assumed,
            cautions=cautions,
            **common,
        )
        return
    pulled = []
    if lifted:
        case = lifted[0].case
        base = sum(p.mass for p in g.pieces if p.name != "top") * GRAVITY * float(case.value.to("").magnitude)
        one = float(share.si(P=base, n=made.count))
        ratio, verdict = compare(one, held.pull)
        pulled.append(
            Check(
                id="top/fixing pull",
                name="Top: pull of its fixings",
                kind=case.kind,
                case=case_words(job, case, "by the top"),
                verdict=verdict,
                demand=in_units(job, newtons(one), "force"),
                limit=in_units(job, newtons(held.pull), "force"),
                ratio=ratio,
                detail=(
                    f"{made.count} x {made.fixing}: the base hangs from the top when people take hold of it;"
                    f" {_pull_words(made, held)}"
                ),
                range=(EQUAL,),
                worked=lambda: (share.worked(P=newtons(base), n=made.count, system=job.system),),
                assumed=assumed,
                cautions=cautions,
                **common,
            )
        )
    people = _most_people(cases)
    if people is not None:
        pulled.append(_under_people(job, g, made, held, *people, dict(assumed=assumed, cautions=cautions, **common)))
    yield from pulled
    yield from _tab(job, made, pulled)
    if not level:
        return
    fixed = HOLD_ACROSS if made.fixed is None else made.fixed
    across_count = min(fixed, made.count) if made.slotted else made.count
    if made.slotted and made.fixed is None:
        assumed = (*assumed, f"{fixed} of the fixings on the middle line in round holes (fixed); the others in slots")
    rated = np.isfinite(held.across)

    def asked(row) -> tuple[float, bool, int, float]:
        """Share of one fixing over what it holds, whether the force runs along the grain, how many share it,
        the force. A push that is nearly along is still held across by the few: the harder way counts."""
        case = row[1]
        force = case.seats[:, :2].sum(axis=0)
        ways = (abs(float(force @ g.top.grain_way)), made.count, held.along, True), (
            abs(float(force @ g.top.across_way)),
            across_count,
            held.across,
            False,
        )
        if not made.slotted:  # all fixings take the whole force, whichever way it runs
            ways = tuple((row[0] * (V > 1e-6 * row[0]), n, limit, along) for V, n, limit, along in ways)
        return max((V / n / (limit if rated else 1.0), along, n, V) for V, n, limit, along in ways)

    worst = max(level, key=lambda row: asked(row)[0])
    _, along, count, V = asked(worst)
    worst = worst[1]
    limit = held.along if along else held.across
    one = float(share.si(P=V, n=count))
    way = f"{count} of {made.count} x {made.fixing} hold {'along' if along else 'across'} the grain"
    if not rated:
        yield Check(
            id="top/fixing sideways",
            name="Top: its fixings pushed sideways",
            kind=worst.case.kind,
            case=case_words(job, worst.case, worst.where),
            verdict=REPORTED,
            demand=in_units(job, newtons(one), "force"),
            detail=(
                f"{way}; what an insert holds sideways no code gives: ask its maker for this much, write"
                " sideways_allowable or sideways_ultimate"
            ),
            range=(EQUAL,),
            worked=lambda: (share.worked(P=newtons(V), n=count, system=job.system),),
            assumed=assumed,
            cautions=cautions,
            **common,
        )
        return
    ratio, verdict = compare(one, limit)
    yield Check(
        id="top/fixing sideways",
        name="Top: its fixings pushed sideways",
        kind=worst.case.kind,
        case=case_words(job, worst.case, worst.where),
        verdict=verdict,
        demand=in_units(job, newtons(one), "force"),
        limit=in_units(job, newtons(limit), "force"),
        ratio=ratio,
        detail=f"{way}; {nds.MEANT.get(held.mode, 'as the maker of the insert rates it')}",
        range=(EQUAL,),
        worked=lambda: (share.worked(P=newtons(V), n=count, system=job.system),),
        assumed=assumed,
        cautions=cautions,
        **common,
    )


@formula(symbol="P_1", source="statics, moments about the edge of the seats; pull by distance from it")
def pull_past_seats(*, W: Force, P: Force, P_t: Force, n: Count, k: Ratio) -> Force:
    """Pull of the hardest fixing where people past the seats would tip the top off its base.

    W    weight of the top, light
    P    people at its edge
    P_t  load there that would tip a top that only lies on its base
    n    fixings that hold it down, spread like the seats
    k    pull of the furthest of them over the mean
    """
    return k * W * (P / P_t - 1) / n


@dataclass(frozen=True)
class Tipping:
    """How a loose top tips about one edge of its seats under a load at one place: the load (N), the place (m), and how much
    harder than the mean the furthest seat from that edge would be pulled."""

    tips: float
    place: np.ndarray
    k: float


def hardest_tipping(g: Geometry, W: float, P: float) -> Tipping | None:
    """The edge and the place of the rim at which a load P pulls a fixing hardest; None where it tips the top nowhere."""
    shape = outline(np.array([s.place[:2] for s in g.seats]))
    room, rim = inside_by(shape, g.top.middle[:2])[0], rim_of(g.top)
    arms = np.maximum(inside_by(shape, np.array([s.place[:2] for s in g.seats])), 0.0)  # (seats, edges)
    k = len(arms) * room * arms.max(axis=0) / (arms**2).sum(axis=0)
    beyond = np.maximum(-inside_by(shape, rim), 0.0)  # (places, edges)
    pull = (P * beyond - W * room) / room * k
    i, j = np.unravel_index(pull.argmax(), pull.shape)
    return None if pull[i, j] <= 0 else Tipping(float(W * room[j] / beyond[i, j]), rim[i], float(k[j]))


def _most_people(cases: Iterable[FrameCase]) -> tuple[FrameCase, float] | None:
    """The case that puts most people on an edge, and how much they weigh together (N)."""
    found = [
        (c, float(magnitude(c.case.value, "N")) * (2 if c.case.spacing is not None else 1))
        for c in cases
        if c.case.id in ("person-strength", "two-persons-strength")
    ]
    return max(found, key=lambda row: row[1], default=None)


def _under_people(
    job: Job, g: Geometry, made: TopFixing, held: fasteners.Held, case: FrameCase, P: float, common: dict
) -> Check:
    """People on the overhang pull the fixings behind them."""
    loose = loose_top(g, 0.0)
    W = g.top.mass * GRAVITY * (1.0 if g.top.mass_weighed else LIGHT_WOOD)
    hardest = hardest_tipping(g, W, P) if loose.tips else None
    one = 0.0 if hardest is None else float(pull_past_seats.si(W=W, P=P, P_t=hardest.tips, n=made.count, k=hardest.k))
    if not loose.tips:
        return Check(
            id="top/fixing under people",
            name="Top: pull of its fixings under people on its edge",
            kind="use",
            verdict=ASK,
            detail="the top does not lie on its seats by itself: what its fixings carry is not worked out",
            **common,
        )
    ratio, verdict = compare(one, held.pull)
    words = (
        f"at {place_words(g, *hardest.place)}, where a loose top would tip off its base"
        if hardest is not None
        else "their weight does not tip the top off its base: nothing is pulled to keep it there; a top that bends still pries at its fixings: see the force on its hardest seat"
    )
    return Check(
        id="top/fixing under people",
        name="Top: pull of its fixings under people on its edge",
        kind="use",
        case=case_words(job, case.case, "together at the worst place of the edge"),
        verdict=verdict,
        demand=in_units(job, newtons(one), "force"),
        limit=in_units(job, newtons(held.pull), "force"),
        ratio=ratio,
        detail=f"{made.count} x {made.fixing}: {words}; {_pull_words(made, held)}",
        range=("rigid top on one-sided seats; fixings spread like the seats, pulled by their distance from the edge it tips about",),
        worked=lambda: (
            (
                pull_past_seats.worked(
                    W=newtons(W), P=newtons(P), P_t=newtons(hardest.tips), n=made.count, k=hardest.k, system=job.system
                ),
            )
            if hardest is not None
            else ()
        ),
        **common,
    )


@formula(symbol="T_t", source="statics, a strip that spreads at 45 degrees; plastic moment of AISC 360-22 F11")
def tab_pull(*, F_y: Stress, t: Length, Omega: Ratio) -> Force:
    """Pull of one fixing at which a tab bends, however far off the bar it stands: the strip is twice as wide.

    F_y    yield stress of the tab
    t      thickness of the tab
    Omega  safety factor of bending, 1.67
    """
    return F_y * t**2 / (2 * Omega)


def _tab(job: Job, made: TopFixing, pulled: Iterable[Check]) -> Iterator[Check]:
    """The steel under the heads, bent by the hardest pull of one fixing."""
    worst = max((c for c in pulled if c.demand is not None), key=lambda c: c.demand, default=None)
    if worst is None:
        return
    tab = TAB if made.tab is None else made.tab
    sizes = {"F_y": TAB_YIELD, "t": tab, "Omega": OMEGA_TAB}
    limit = tab_pull(**sizes)
    ratio, verdict = compare(float(magnitude(worst.demand, "N")), float(magnitude(limit, "N")))
    thick = show_length(tab, job.system)
    words = f"steel of {thick} under the heads bends between the bar it is welded to and the screw"
    yield Check(
        id="top/fixing tab",
        name="Top: steel under its fixings",
        about="top",
        kind=worst.kind,
        case=worst.case,
        verdict=verdict,
        demand=worst.demand,
        limit=in_units(job, limit, "force"),
        ratio=ratio,
        clause="AISC 360-22 F11",
        source="aisc-360-22, F11",
        provenance=provenance("aisc-360-22"),
        detail=words if verdict == WITHIN else f"{words}: too thin; a thicker tab, a rib under it, or more of them",
        range=(
            "a tab at least twice as wide as its screw stands off the bar, welded along that edge; a narrower one"
            " holds less",
        ),
        assumed=(
            f"tabs of plain steel, yield {show(TAB_YIELD, 'ksi' if job.system == 'inch' else 'MPa', 3)}",
            *((f"steel of {show_length(TAB, job.system)} under the heads",) if made.tab is None else ()),
        ),
        worked=lambda: (tab_pull.worked(**sizes, system=job.system),),
    )


def _pull_words(made: TopFixing, held: fasteners.Held) -> str:
    return (
        held.mode if made.fixing in {i.name for i in stock.inserts()} else "the thread pulls out of the wood"
    )


def _rated(allowable, ultimate) -> fasteners.Rated | None:
    """What a maker says: the allowable load where there is one."""
    if allowable is not None:
        return fasteners.Rated(allowable, "allowable")
    return None if ultimate is None else fasteners.Rated(ultimate, "ultimate")


def _held(job: Job, g: Geometry, made: TopFixing) -> tuple[fasteners.Held, tuple[str, ...]]:
    """What one fixing holds, and what had to be assumed."""
    if made.fixing in {i.name for i in stock.inserts()}:
        return fasteners.bolt_in_insert(
            rated=_rated(made.rated_allowable, made.rated_ultimate),
            sideways=_rated(made.sideways_allowable, made.sideways_ultimate),
        ), ()
    screw = stock.wood_screw(made.fixing)
    assumed = ["specific gravity of the wood from its species, on the volume at 12 %"]
    tab = TAB if made.tab is None else made.tab
    if made.tab is None:
        assumed.append(f"steel of {show_length(TAB, job.system)} under the heads")
    if made.length is None:
        return fasteners.Held(
            np.nan, np.nan, np.nan, "", 'the length of the screws is not given: write length = "1-1/2 in"'
        ), tuple(assumed)
    if g.top.wood.k_def is not None:
        return fasteners.Held(
            np.nan,
            np.nan,
            np.nan,
            "",
            f"the code has no values for screws in {g.top.wood.name}: sheet goods hold what their maker tested",
        ), tuple(assumed)
    found = fasteners.screw_in_wood(
        screw,
        G=g.top.wood.G_12,
        length=made.length,
        plate=tab,
        F_e_plate=fasteners.bearing_of_steel(TAB_TENSILE),
    )
    return found, tuple(assumed)


def pockets_at_bars(job: Job, g: Geometry) -> list[str]:
    """Names of the pockets that lie over (or under the top, at) a bar on which the top is seated."""
    found = []
    for (name, _), lump in zip(job.model.top.pockets.items(), g.top.lumps, strict=True):
        for bar in (g.members[m] for m in dict.fromkeys(s.member for s in g.seats)):
            way = bar.direction[:2]
            reach = np.abs([way[1], way[0]]) * bar.width / 2  # half of the bar, across it
            places = np.array(bar.first)[:2] + np.outer(np.linspace(0, bar.length, 101), way)
            near = (places[:, 0] > lump.x0 - reach[0]) & (places[:, 0] < lump.x1 + reach[0]) & \
                (places[:, 1] > lump.y0 - reach[1]) & (places[:, 1] < lump.y1 + reach[1])
            if near.any():
                found.append(name)
                break
    return found


def _penetration(job: Job, g: Geometry, made: TopFixing, common: dict) -> Iterator[Check]:
    """The point of a screw, or the end of an insert, must stay under the upper face, and under a pocket there."""
    insert = next((i for i in stock.inserts() if i.name == made.fixing), None)
    if insert is not None:
        into, what = float(magnitude(insert.length, "m")), "end of the insert"
    elif made.length is not None:
        tab = TAB if made.tab is None else made.tab
        into, what = float(magnitude(made.length, "m")) - float(magnitude(tab, "m")), "point of the screw"
    else:
        return
    over = {n: job.model.top.pockets[n] for n in pockets_at_bars(job, g) if job.model.top.pockets[n].face == "upper"}
    cut = max((float(magnitude(p.depth, "m")) for p in over.values()), default=0.0)
    spare = float(magnitude(Q(0.125, "inch"), "m"))
    limit = g.top.thickness - cut - spare
    ratio, verdict = compare(into, limit)
    less = f" less its pocket ({', '.join(over)}) over a bar" if over else ""
    yield Check(
        id="top/fixing length",
        name="Top: screws stay under its face",
        kind="information",
        verdict=verdict,
        ratio=ratio,
        demand=in_units(job, Q(into, "m"), "length"),
        limit=in_units(job, Q(limit, "m"), "length"),
        detail=(
            f"{what} in a top of {show_length(Q(g.top.thickness, 'm'), job.system)}{less}, "
            f"{show_length(Q(spare, 'm'), job.system)} left over it"
        ),
        **{**common, "clause": "geometry", "source": "geometry", "provenance": provenance("geometry")},
    )
