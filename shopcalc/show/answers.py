"""The three controls of the notebooks, each with the answer behind it: settings in, words and picture out.

Every number comes from a room of the library; here it is only asked for and put into words.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import pint

from shopcalc.check import OUTSIDE, Check, allowable, allowable_line, compare
from shopcalc.codes.aisc360_22 import of_sections
from shopcalc.codes.aisc360_22.of_sections import Lengths
from shopcalc.errors import InputError
from shopcalc.mechanics.beams import Beam, Even, Point
from shopcalc.mechanics.statics import GRAVITY, load_that_tips, righting_ratio
from shopcalc.show.controls import OverhangTipping, StretcherSag, TubeGauge
from shopcalc.show.drawing import top_outline
from shopcalc.show.pictures import EVENTS
from shopcalc.show.values import printed, ratio_text
from shopcalc.stock.tubes import Tube, stock_tubes, tube_sections
from shopcalc.sweep import STATES, Question, tubes_over_spans
from shopcalc.table.checks import (
    DEFAULT_RIGHTING,
    DEFAULT_SAG,
    PUBLIC_RIGHTING,
    case_words,
    tube_cautions,
    wanted_righting,
)
from shopcalc.table.foot_forces import feet_in
from shopcalc.table.geometry import Geometry, build
from shopcalc.table.job import Job
from shopcalc.table.loadpath import FREE_ENDS, LoadedBar
from shopcalc.table.loads import LoadCase
from shopcalc.table.maps import Setting, first_least, lifts_at, place_words
from shopcalc.table.stability import LIGHT_WOOD, Body, Standing, body_of, standing_cases
from shopcalc.table.use_checks import edge_places
from shopcalc.units import Q, Quantity, magnitude, show_wall

# The words of a control -> ends of a beam.
ENDS = {
    "free to turn at both ends": "simple",
    "built in at both ends": "fixed",
    "held at one end only": "cantilever",
}
_SPANS = {"inch": (np.arange(24.0, 121.0, 4.0), "inch"), "mm": (np.arange(600.0, 3001.0, 100.0), "mm")}
_LOADS = {"inch": (np.arange(50.0, 601.0, 50.0), "lbf"), "mm": (np.arange(200.0, 2601.0, 200.0), "N")}
_PUSHES = {"inch": (np.arange(0.0, 101.0, 10.0), "lbf"), "mm": (np.arange(0.0, 401.0, 50.0), "N")}
_PERSON = {"inch": Q(300.0, "lbf"), "mm": Q(1400.0, "N")}


def _row(table, system: str) -> pint.Quantity:
    sizes, unit = table[system]
    return Q(sizes, unit)


def _span_words(part: float) -> str:
    return f"L/{1 / part:.0f}"


# --- which tube ----------------------------------------------------------------------------------


def tube_words(tubes: Sequence[Tube]) -> dict[str, dict[str, dict[str, Tube]]]:
    """Product -> outside size -> wall -> tube, in the shop's words."""
    words: dict[str, dict[str, dict[str, Tube]]] = {}
    for tube in tubes:
        size = f"{tube.shape} {' x '.join(tube.size_words)}"
        words.setdefault(tube.product, {}).setdefault(size, {})[tube.wall_word] = tube
    return words


def tube_gauge(tubes: Sequence[Tube] | None = None, *, ends: str = "simple", sag_part: float = DEFAULT_SAG,
               system: str = "inch", start: Mapping | None = None) -> TubeGauge:
    """The control: choose a tube, a span and a load in the middle; see how much of each limit is used.

    tubes     those on offer (the whole stock list);  ends as in `sweep.Question`
    sag_part  sag allowed as a part of the span, a choice
    """
    words = tube_words(stock_tubes() if tubes is None else tubes)

    def answer(product, size, wall, span, load):
        return tube_answer(
            words[product][size][wall], span, load, ends=ends, sag_part=sag_part, system=system
        )

    chosen = {"span": _PICKED["span"][system], "load": _PERSON[system], **(start or {})}
    return TubeGauge(
        answer,
        stock=words,
        spans=_row(_SPANS, system),
        loads=_row(_LOADS, system),
        system=system,
        start=chosen,
    )


_PICKED = {"span": {"inch": Q(72.0, "inch"), "mm": Q(1800.0, "mm")}}


def tube_answer(tube: Tube, span: pint.Quantity, load: pint.Quantity, *, ends: str, sag_part: float,
                system: str) -> tuple[str, dict]:
    """Words and bars for one tube over one span under a load in the middle and its own weight."""
    grid = tubes_over_spans(
        Question(ends=ends, P=load, sag_part=sag_part), [tube], Q([span.magnitude], str(span.units))
    )
    names = {"bending": "bending", "shear": "shear", "sag": f"sag, {_span_words(sag_part)}"}
    ratios = [float(grid.ratios[s][0, 0]) for s in STATES]
    known = [None if np.isnan(r) else r for r in ratios]
    verdicts = [OUTSIDE if r is None else compare(r, 1.0)[1] for r in known]
    verdict = grid.verdict(0, 0)
    if verdict == OUTSIDE:
        head = (f"{verdict.capitalize()}: the wall is too thin for the clause. Take a heavier wall, or ask "
                "an engineer.")
    else:
        used = ratio_text(float(grid.worst[0, 0]))
        head = f"{verdict.capitalize()}: {grid.governing(0, 0)} governs, used {used} of its limit."
    lines = [
        head,
        "; ".join(
            f"{names[s]} {v if r is None else ratio_text(r)}"
            for s, r, v in zip(STATES, known, verdicts, strict=True)
        )
        + ".",
        f"{tube.words}: wall {show_wall(tube.wall('nominal'), system)} bought, "
        f"{show_wall(tube.wall('design'), system)} "
        f"counted; yield {printed(tube.steel.Fy, system, digits=3)}"
        + (" assumed." if tube.steel.assumed else "."),
        "Strength and sag of one straight bar only: it says nothing about wobble.",
    ]
    return "\n".join(lines), {"names": [names[s] for s in STATES], "ratios": known, "verdicts": verdicts}


# --- how far does it sag -------------------------------------------------------------------------


def stretcher_sag(tubes: Sequence[Tube], *, sag_part: float = DEFAULT_SAG, system: str = "inch",
                  start: Mapping | None = None) -> StretcherSag:
    """The control: choose a tube, its ends, a span and a load; see the sagged shape beside the limit."""
    by_words = {t.words: t for t in tubes}

    def answer(tube, ends, span, load):
        return sag_answer(by_words[tube], ENDS[ends], span, load, sag_part=sag_part, system=system)

    chosen = {"span": _PICKED["span"][system], "load": _PERSON[system], **(start or {})}
    return StretcherSag(answer, tubes=list(by_words), ends=list(ENDS), spans=_row(_SPANS, system),
                        loads=_row(_LOADS, system), system=system, start=chosen)


def loaded_bar(tube: Tube, ends: str, span: pint.Quantity, load: pint.Quantity) -> Beam:
    """A bar under its own weight and a load in the middle (at the tip where it is held at one end only)."""
    section, steel = tube_sections([tube], "design"), tube.steel
    own = Quantity(float(tube_sections([tube], "nominal").mass_per_length[0]) * GRAVITY, "N/m")
    place = span if ends == "cantilever" else span / 2
    return Beam(ends=ends, L=span, E=steel.E, I=Quantity(float(section.Ix[0]), "m**4"),
                GA=steel.G * Quantity(float(section.Av_x[0]), "m**2"),
                loads=[Even(own, name="own weight"), Point(load, place, name="load")])


def sag_answer(tube: Tube, ends: str, span: pint.Quantity, load: pint.Quantity, *, sag_part: float,
               system: str) -> tuple[str, dict]:
    """Words and the sagged shape of one bar under its own weight and one load."""
    beam = loaded_bar(tube, ends, span, load)
    sag, at = beam.largest("sag", "down")
    moment, _ = beam.largest("moment")
    limit = span * sag_part
    ratio, verdict = compare(float(magnitude(sag, "m")), float(magnitude(limit, "m")))
    place = "at the free end" if ends == "cantilever" else f"at {printed(at, system, 'size')} from the left"
    text = (f"{verdict.capitalize()}: sag {printed(sag, system, 'sag')} {place}, used {ratio_text(ratio)} "
            f"of the {printed(limit, system, 'sag')} allowed ({_span_words(sag_part)}, a choice).\n"
            f"Largest moment {printed(abs(moment), system)}. {tube.words}.\n"
            "Load and own weight of one straight bar; what holds its ends is not in it.")
    stations = beam.stations(61)
    supports = {"cantilever": [0.0]}.get(ends, [0.0, float(magnitude(span, "m"))])
    return text, {"stations": stations, "values": beam.sag(stations), "supports": Q(np.array(supports), "m"),
                  "limit": limit}


# --- one straight bar by hand, worked ------------------------------------------------------------


def hand_checks(bar: LoadedBar, question: Question, system: str) -> tuple[Check, Check]:
    """Bending and sag of a bar as the size table takes it: one straight bar, ends free to turn, bending and
    shear. Each with its worked lines."""
    tube, section, length = bar.member.tube, bar.member.design, float(magnitude(bar.span, "m"))
    F_y, E = (float(magnitude(v, "Pa")) for v in (tube.steel.Fy, tube.steel.E))
    line, lengths = bar.beam, Lengths.of(length)
    moment, _ = line.largest("moment")
    sag, _ = line.largest("sag", "down")
    strength, clause, _ = of_sections.governing("bending", section, F_y, E, lengths)
    shared = {"about": bar.about, "case": bar.case.words, "assumed": (FREE_ENDS, *tube.assumed)}
    bending = {"id": f"{bar.about}/bending by hand", "name": f"{bar.words} by hand: bending", "kind": "use",
               "demand": moment, "clause": clause.clause, "source": clause.source, "range": clause.range,
               "cautions": tube_cautions(tube), **shared}
    steps = line.worked("moment", bar.span / 2, system)
    if strength.in_range[0]:
        limit = float(allowable(strength, "use", question.method)[0])
        ratio, verdict = compare(float(magnitude(moment, "N*m")), limit)
        steps += (*of_sections.lines("bending", section, F_y, E, lengths, system),
                  allowable_line(strength, "N*m", "use", question.method, system))
        first = Check(verdict=verdict, limit=Q(limit, "N*m"), ratio=ratio, worked=steps, **bending)
    else:
        first = Check(verdict=OUTSIDE, detail=strength.why_outside, worked=steps, **bending)
    allowed = bar.span * question.sag_part
    ratio, verdict = compare(float(magnitude(sag, "m")), float(magnitude(allowed, "m")))
    over = printed(bar.span, system, "size")
    second = Check(id=f"{bar.about}/sag by hand", name=f"{bar.words} by hand: sag", kind="sag", demand=sag,
                   limit=allowed, ratio=ratio, verdict=verdict, source="beam-theory",
                   worked=line.worked("sag", bar.span / 2, system),
                   clause=f"{_span_words(question.sag_part)} of {over}, a choice; no code sets one",
                   range=("a straight bar of one section, sag small beside its depth",), **shared)
    return first, second


# --- does it go over -----------------------------------------------------------------------------


def overhang_tipping(job: Job, *, start: Mapping | None = None) -> OverhangTipping:
    """The control: move the trestles under the job's top and its feet in from the side; see the load at which
    the table goes over."""
    if job.model.base.style != "trestles":
        raise InputError(field="base.style", value=job.model.base.style, example='style = "trestles"',
                         need="a base of trestles: only those are moved under the top here")
    system = job.system
    g = build(job)
    overhang, inset, overhangs = overhang_steps(job)
    top = float(magnitude(Q(g.top.width, "m"), str(inset.units)))
    insets = _through(inset, 0.0, 0.3 * top, system)

    @lru_cache(maxsize=4)
    def table(overhang, inset, mass):
        """A load, a push or the other map asks about the same table: it is not built again."""
        return moved_table(job, overhang, inset, mass)

    def answer(overhang, inset, load, mass, push, event):
        return map_answer(*table(overhang, inset, mass), load, push=push, event=event)

    unit, step = ("lb", 25.0) if system == "inch" else ("kg", 10.0)
    mass = Q(g.top.mass, "kg").to(unit)
    masses = Q(np.arange(max(step, 0.4 * float(mass.magnitude) // step * step), 2 * float(mass.magnitude) + 1, step), unit)
    chosen = {"overhang": overhang, "inset": inset, "load": _PERSON[system], "mass": mass, "push": _row(_PUSHES, system)[0], **(start or {})}
    return OverhangTipping(
        answer,
        masses=masses,
        pushes=_row(_PUSHES, system),
        events=tuple(EVENTS),
        overhangs=overhangs,
        insets=insets,
        loads=_row(_LOADS, system),
        largest=(Q(g.top.length / 2, "m"), Q(g.top.width / 2, "m")),
        system=system,
        start=chosen,
    )


def overhang_steps(job: Job) -> tuple[pint.Quantity, pint.Quantity, pint.Quantity]:
    """Of the job's own table: how far the top reaches beyond the feet at the ends and at the sides; and the
    steps of the first that are tried."""
    g = build(job)
    unit = "inch" if job.system == "inch" else "mm"
    reach, length = g.foot_contacts.max(axis=0), float(magnitude(Q(g.top.length, "m"), unit))
    overhang, inset = (Q(float(magnitude(Q(size / 2 - r, "m"), unit)), unit)
                       for size, r in zip((g.top.length, g.top.width), reach, strict=True))
    return overhang, inset, _through(overhang, 0.05 * length, 0.42 * length, job.system)


def _through(value: pint.Quantity, low: float, high: float, system: str) -> pint.Quantity:
    """Even steps through a value, so that a control starts with the real table."""
    step, start = (1.0 if system == "inch" else 25.0), float(value.magnitude)
    first = start - np.floor((start - low) / step) * step
    return Q(np.arange(first, high + step / 2, step), str(value.units))


def moved(job: Job, overhang: pint.Quantity, inset: pint.Quantity) -> Geometry:
    """The job's table with its trestles and feet moved. Raises InputError where the parts no longer fit."""
    return build(moved_job(job, overhang, inset))


def moved_job(job: Job, overhang: pint.Quantity, inset: pint.Quantity, mass: pint.Quantity | None = None) -> Job:
    """The job with its trestles and feet moved, and a top of another mass."""
    top, base = job.model.top, job.model.base
    trestles = base.trestles
    apart = (top.length - 2 * overhang) / (trestles.count - 1)
    from_end = Q(0.0, "m") if base.feet.from_end is None else base.feet.from_end
    foot = trestles.foot.model_copy(update={"length": top.width - 2 * inset + 2 * from_end})
    base = base.model_copy(update={"trestles": trestles.model_copy(update={"apart": apart, "foot": foot})})
    evidence = job.model.evidence
    if mass is not None:  # as light as the wood may be, unless the job has weighed it
        counted = mass if evidence.weighed_top is not None else mass * LIGHT_WOOD
        evidence = evidence.model_copy(update={"weighed_top": counted})
    return Job(job.model.model_copy(update={"base": base, "evidence": evidence}), job.text)


def tipping_answer(
    job: Job, overhang: pint.Quantity, inset: pint.Quantity, load: pint.Quantity, *, mass: pint.Quantity | None = None,
    push: pint.Quantity | None = None, event: str = "goes over",
) -> tuple[str, dict]:
    """Words and the map of the load at which the moved table goes over or lifts a foot, the whole table on a hard floor."""
    return map_answer(*moved_table(job, overhang, inset, mass), load, push=push, event=event)


def moved_table(job: Job, overhang: pint.Quantity, inset: pint.Quantity, mass: pint.Quantity | None = None) -> tuple[Job, Geometry]:
    """`moved_job` and its table. Raises InputError for an overhang of half the top or more, and where parts no longer fit."""
    if not 0 < float(magnitude(overhang / job.model.top.length, "")) < 0.5:
        raise InputError(field="overhang", value=printed(overhang, job.system, "size"),
                         need="an overhang under half the length of the top")
    changed = moved_job(job, overhang, inset, mass)
    return changed, build(changed)


def map_answer(job: Job, g: Geometry, load: pint.Quantity, *, push: pint.Quantity | None = None, event: str = "goes over") -> tuple[str, dict]:
    """Words and the map of the load at which a table of the job goes over, or lifts a foot."""
    out = 0.0 if push is None else float(magnitude(push, "N"))
    body, system = body_of(g), job.system
    slope = job.model.floor.slope
    slope = 0.0 if slope is None else float(magnitude(slope, ""))
    x, y, tips = tipping_grid(g, body, slope, push=out)
    wx, wy, least = weakest_on_edge(g, body, slope, push=out)
    found, *_ = righting_ratio(
        body.shape,
        body.weight,
        body.centre[:2],
        np.array([float(magnitude(load, "N"))]),
        np.array([[wx, wy]]),
        slope=slope, push=out, push_height=g.top.surface,
        centre_height=float(body.centre[2]), load_height=g.top.surface,
    )
    asked = job.model.limits.righting or (
        PUBLIC_RIGHTING if job.model.settings.public_use else DEFAULT_RIGHTING
    )
    ratio, verdict = compare(asked, found)
    where = _place_words(g, wx, wy)
    feet, setting, edge = feet_in(job, g), Setting(push=out, slope=slope), edge_places(g)
    lifts, _ = lifts_at(job, g, feet, edge, setting)
    i = first_least(lifts)
    lift, lifts_where = float(lifts[i]), place_words(g, *edge[i])
    text = (
        f"{verdict.capitalize()}: goes over under {printed(Q(least, 'N'), system)} at {where}.\n"
        f"{printed(load, system)} there: righting over overturning {printed(found, system)}, needs "
        f"{printed(asked, system)}, used {ratio_text(ratio)}.\n"
        + ("No load on the top lifts a foot.\n" if np.isinf(lift) else f"A foot lifts under {printed(Q(lift, 'N'), system)} at {lifts_where}: the table "
           "rocks before it goes over.\n")
        + f"The map shows the load at which {'the table goes over' if event == 'goes over' else event}.\n"
        + "Whole table, hard even floor, wood 10 % light unless it was weighed. Goes over: rigid. A foot lifts: base and top bend, the worst of their states."
    )
    weakest = (Q(wx, "m"), Q(wy, "m"), Q(least, "N"), where)
    if event == "a foot lifts":
        grid = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
        tips = lifts_at(job, g, feet, grid, setting)[0].reshape(len(y), len(x))
        weakest = (Q(float(edge[i, 0]), "m"), Q(float(edge[i, 1]), "m"), Q(lift, "N"), lifts_where)
    data = {
        "x": Q(x, "m"),
        "y": Q(y, "m"),
        "load": Q(tips, "N"),
        "needed": load,
        "outline": Q(top_outline(g.top), "m"),
        "feet": [
            (name, Q(fx, "m"), Q(fy, "m")) for name, (fx, fy) in zip(g.feet, g.foot_contacts, strict=True)
        ],
        "weakest": weakest,
        "event": event,
    }
    return text, data


def tipping_grid(
    g: Geometry, body: Body, slope: float, nx: int = 41, *, push: float = 0.0
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Load (N) at which the table goes over, on a grid round the whole top: x (nx,), y (ny,), load (ny, nx).
    What lies beyond a round rim is cut off by the picture."""
    ny = max(21, round(nx * g.top.width / g.top.length))
    x = np.linspace(-g.top.length / 2, g.top.length / 2, nx)
    y = np.linspace(-g.top.width / 2, g.top.width / 2, ny)
    grid = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    load, _ = load_that_tips(body.shape, body.weight, body.centre[:2], grid, slope=slope, push=push, push_height=g.top.surface,
                             centre_height=float(body.centre[2]), load_height=g.top.surface)
    return x, y, load.reshape(ny, nx)


def weakest_on_edge(g: Geometry, body: Body, slope: float, *, push: float = 0.0) -> tuple[float, float, float]:
    """Place (m) and size (N) of the least load that tips the table, at the very edge of the top. It stands at
    a corner, or on a round rim straight out from an edge of the feet: a grid would miss that."""
    points = body.shape.normals * g.top.length / 2 if g.top.shape == "round" else top_outline(g.top)
    loads, _ = load_that_tips(body.shape, body.weight, body.centre[:2], points, slope=slope, push=push, push_height=g.top.surface,
                              centre_height=float(body.centre[2]), load_height=g.top.surface)
    i = int(loads.argmin())
    return float(points[i, 0]), float(points[i, 1]), float(loads[i])


@dataclass(frozen=True)
class Reach:
    """How far the top may reach beyond the feet at its ends before a stability case is over its limit.

    now, good  lengths: in the job, and the largest step tried that holds (None: not even the smallest)
    beyond     the first step that does not hold, and the case that is over there; None: every step holds
    """

    now: pint.Quantity
    good: pint.Quantity | None
    beyond: pint.Quantity | None
    case: str

    def words(self, system: str) -> str:
        tail = ""
        if self.beyond is not None:
            tail = f"; at {printed(self.beyond, system, 'size')} this is over: {self.case}"
        if self.good is None:
            return f"No reach that was tried keeps every stability case within its limit{tail}."
        good = printed(self.good, system, "size")
        return f"Moving only the trestles, every stability case holds up to {good}{tail}."


def furthest_reach(job: Job, cases: Mapping[str, LoadCase]) -> Reach | None:
    """How far the top may reach at its ends by going over alone, in steps of 1 in or 25 mm; None for a base
    that has no trestles to move. Further out the table only goes over sooner, so the steps are halved, not
    tried one by one."""
    if job.model.base.style != "trestles":
        return None
    now, inset, steps = overhang_steps(job)
    low, high, over = -1, len(steps), None
    while high - low > 1:
        middle = (low + high) // 2
        found = worst_standing(job, moved(job, steps[middle], inset), cases)
        low, high, over = (middle, high, over) if found[0] <= 1 else (low, middle, found[1])
    return Reach(now, None if low < 0 else steps[low], None if high == len(steps) else steps[high],
                 "" if over is None else case_words(job, over.case, over.where))


def worst_standing(job: Job, g: Geometry, cases: Mapping[str, LoadCase]) -> tuple[float, Standing]:
    """The stability case that uses most of its limit: required over available righting ratio, the case."""
    body = body_of(g)
    slope = 0.0 if job.model.floor.slope is None else float(magnitude(job.model.floor.slope, ""))
    found = [(compare(wanted_righting(job, s.case)[0], s.ratio)[0], s)
             for s in standing_cases(g, body, cases, slope)]
    return max(found, key=lambda pair: pair[0])


def _place_words(g: Geometry, x: float, y: float) -> str:
    if g.top.shape == "round":
        return "the rim"
    at_end, at_side = abs(x) > 0.45 * g.top.length, abs(y) > 0.45 * g.top.width
    if at_end and at_side:
        return "a corner of the top"
    return "the edge of an end" if at_end else "the edge of a long side" if at_side else "that place"
