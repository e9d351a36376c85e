"""What the frame says of a table: every member by the code, sag, sway and twist, foot forces, the critical factor.

Alike members are one family (`trestle.head` for both trestles' head bars): the worst of them, in the worst case and
state, is the answer. Welded tube faces give: sway is printed as a range from rigid to soft joints.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from shopcalc.check import OUTSIDE, REFUSED, REPORTED, Check, compare, load_factor
from shopcalc.codes.aisc360_22 import of_sections
from shopcalc.codes.aisc360_22.of_sections import Demand, Lengths
from shopcalc.codes.aisc360_22.scope import cover
from shopcalc.mechanics.frames.play import play_bounds
from shopcalc.mechanics.frames.vibration import frequencies
from shopcalc.stock.sections import SectionArrays
from shopcalc.stock.sections import joined as section_joined
from shopcalc.stock.tubes import Tube
from shopcalc.table.assembly import Member
from shopcalc.table.checks import (
    DEFAULT_SAG,
    case_words,
    in_units,
    provenance,
    tube_cautions,
)
from shopcalc.table.frame import TableFrame, table_frame
from shopcalc.table.frame_cases import STANDING, FrameCase
from shopcalc.table.frame_floor import on_hollows
from shopcalc.table.frame_solve import (
    EASED,
    LIFTS,
    SWAY_STATES,
    Solved,
    solve_service,
    strength_cases,
)
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.loadpath import LoadedBar, loaded_stretchers
from shopcalc.table.loads import LoadCase
from shopcalc.table.panels import has_sheet, sheet_words
from shopcalc.units import Q, Quantity, magnitude, number, show_length, show_sag

SHEET = "how much a sheet on a podium stiffens it rests on its fixings (see podium.sheet/fixings): no strength counts on it"
# Answers that differ by less are the same: which of them is named must not hang on the last digits.
ALIKE = 1e-9
NO_SAG = 1e-12  # part of a span: what rounding leaves of a sag that is none
SIDES = ("left", "right", "front", "back", "middle", "outer", "inner")
STRIP = "for the forces in the base the top is taken as strips on its seats, in three states"
RIGID = "welded joints taken as rigid, and as soft (0.4 of the calculated stiffness of the tube face): the worse counts"
TAPERED_RANGE = "a tapered leg: both ends of each of its pieces with the forces of the piece; buckling as if it were of its foot's size all along: " \
                "L_c = L times the root of I there over I of the foot"
FACTORED = ("LRFD: every load of use and handling times 1.6",)


def family(name: str) -> str:
    """The name without the side it stands on: trestle.left.head and trestle.right.head are one family."""
    kept = [w for w in name.split(".") if w not in SIDES and not w.isdigit()]
    return ".".join(kept) or name


def families(g: Geometry) -> dict[str, list[Member]]:
    found: dict[str, list[Member]] = {}
    for m in g.members.values():
        found.setdefault(family(m.name), []).append(m)
    return found


def family_words(name: str) -> str:
    *where, what = name.split(".")
    words = {"foot": "Foot bar", "head": "Head bar", "post": "Post", "rail": "Rail", "leg": "Leg", "arm": "Arm", "column": "Column", "plate": "Foot plate",
             "stretcher": "Stretcher", "top": "Upper bar", "bottom": "Lower bar"}.get(what, what.capitalize())
    return words + (f" of a {where[0]}" if where else "")


def first_of_largest(sizes: np.ndarray, alike: float = ALIKE, nothing: float = 0.0) -> int:
    """Where the largest stands: the first of those that differ from it by rounding, or by nothing; not a number comes first."""
    most = sizes.max()
    return int((sizes.ravel() >= most - alike * abs(most) - nothing).argmax() if np.isfinite(most) else sizes.argmax())


# --- members by the code -------------------------------------------------------------------------


@dataclass(frozen=True)
class Use:
    """The worst of one family: which member, case and state, the section and the demand there and the clause."""

    member: Member
    words: str
    case: LoadCase
    ratio: float
    demand: Demand
    row: int
    equation: str
    section: SectionArrays
    lengths: Lengths

    def arguments(self) -> tuple:
        """What of_sections asks about it: section, steel, demand, lengths."""
        steel, one = self.member.tube.steel, {k: v[self.row] for k, v in vars(self.demand).items()}
        return self.section, float(magnitude(steel.Fy, "Pa")), float(magnitude(steel.E, "Pa")), Demand(**one), self.lengths


@dataclass(frozen=True)
class State:
    """All cases of one state, however they are held: what is asked of the bars in it. As `Solved` has them."""

    table: TableFrame
    cases: tuple[FrameCase, ...]
    end_forces: np.ndarray
    factor: float
    words: str

    @classmethod
    def each(cls, solved: list[Solved]) -> list[State]:
        found: dict[int, list[Solved]] = {}
        for s in solved:
            found.setdefault(id(s.table), []).append(s)
        return [cls(some[0].table, tuple(c for s in some for c in s.cases), np.concatenate([s.end_forces for s in some]), some[0].factor,
                    some[0].words) for some in found.values()]


def demand_of(solved: Solved | State, bar: Member) -> tuple[Demand, tuple[int, ...]]:
    """Largest forces on each run of a bar in every case, cases first then runs, flattened; own weight within a run
    is added to the moment of its ends. All are taken to meet at one place, which is safe."""
    numbers = [solved.table.frame.member_number[name] for name, _ in solved.table.runs[bar.name]]
    f = solved.end_forces[:, numbers] / solved.factor  # (cases, runs, 12)
    pull = np.stack([-f[..., 0], f[..., 6]])
    P = np.where(abs(pull.min(axis=0)) > abs(pull.max(axis=0)), pull.min(axis=0), pull.max(axis=0))
    length = np.array([b - a for (_, a), b in zip(solved.table.runs[bar.name],
                                                  [*[a for _, a in solved.table.runs[bar.name][1:]], bar.length], strict=True)])
    gravity = np.array([np.linalg.norm(c.gravity) for c in solved.cases])[:, None]
    own = float(bar.design.mass_per_length[0]) * gravity * length**2 / 8

    def most(i):
        return np.maximum(abs(f[..., i]), abs(f[..., i + 6]))

    M_x, M_y, V_x, V_y = most(4) + own, most(5), most(2), most(1)
    if bar.tapers_to is not None:
        more_x, more_y = _shear_of_taper(bar, [a for _, a in solved.table.runs[bar.name]])
        V_x, V_y = V_x + more_x * M_x, V_y + more_y * M_y
    return Demand(P=P.ravel(), M_x=M_x.ravel(), M_y=M_y.ravel(), V_x=V_x.ravel(), V_y=V_y.ravel(), T=most(3).ravel()), P.shape


def _shear_of_taper(bar: Member, starts: list[float]) -> tuple[np.ndarray, np.ndarray]:
    """By how much a moment adds to the shear of the webs where the faces that carry it lean: their pull and push, M over
    the depth, have a part across the bar. (runs,) for bending over the height and over the width, at the smaller end of
    each run; always added, though as often it is taken off."""
    there = [bar.at(p) for p in starts]
    foot, lean = bar.at(0.0), np.array([p < bar.kink - 1e-4 for p in starts]) / bar.kink
    return (lean * np.array([(bar.height - foot.height) / m.height for m in there]),
            lean * np.array([(bar.width - foot.width) / m.width for m in there]))


def sections_of(bar: Member, starts: list[float]) -> tuple[SectionArrays, Lengths]:
    """What a bar is checked as: one section; a tapered one as both ends of every run, one after the other. Each of those is
    as long for buckling as gives it the elastic buckling load of the whole leg at the size of its foot: I over that length
    squared is the same all along, and no piece gains by being short (aisc-lrfd-1999-f3 takes the smaller end, too)."""
    if bar.tapers_to is None:
        return bar.design, Lengths.of(bar.length)
    places = np.repeat([*starts, bar.length], 2)[1:-1]
    every = section_joined([bar.section_at(p) for p in places], np.arange(len(places)))
    foot = bar.section_at(0.0)
    L_cx, L_cy = (bar.length * np.sqrt(every_I / foot_I) for every_I, foot_I in ((every.Ix, foot.Ix), (every.Iy, foot.Iy)))
    return every, Lengths.of(bar.length, L_cx=L_cx, L_cy=L_cy)


def member_checks(job: Job, g: Geometry, solved: list[Solved]) -> Iterator[Check]:
    """Strength of every family in its worst case: all forces together, and shear."""
    for name, bars in families(g).items():
        for s in solved:
            refused = s.answer.strength_refused
            if refused.any():
                i = int(np.nonzero(refused)[0][0])
                yield from (_refused(job, name, state, s, i) for state in ("strength", "shear"))
        stand = State.each([s for s in solved if not s.answer.strength_refused.any()])
        bar = bars[0]
        if cover(bar.tube.product).verdict == OUTSIDE:
            yield _outside(job, name, bar)
            continue
        for state, use in zip(("strength", "shear"), _worst(job, stand, bars), strict=True):
            if use is not None:
                yield _use_check(job, name, state, use)


def _worse(ratio: float, than: float) -> bool:
    """Not a number is no answer: it is worse than any ratio, and stays. The first of what is alike stays."""
    return not np.isnan(than) and not ratio <= than * (1 + ALIKE)


def _worst(job: Job, solved: list[State], bars: list[Member]) -> tuple[Use | None, Use | None]:
    """The worst use of one family, all its bars in all cases and states: together and shear."""
    best: list[Use | None] = [None, None]
    alike: dict[tuple, list[Member]] = {}
    for bar in bars:
        steps = () if bar.tapers_to is None or not solved else (id(bar.tapers_to), *(round(a, 9) for _, a in solved[0].table.runs[bar.name]))
        alike.setdefault((id(bar.design), bar.length, *steps), []).append(bar)
    for some in alike.values():
        rows = [(s, bar, *demand_of(s, bar)) for s in solved for bar in some]
        if not rows:
            continue
        steel, runs = some[0].tube.steel, [a for _, a in solved[0].table.runs[some[0].name]]
        sections, lengths = sections_of(some[0], runs)
        F_y, E = float(magnitude(steel.Fy, "Pa")), float(magnitude(steel.E, "Pa"))
        # Rows are sections: one for all runs of a straight bar, each end of each run of a tapered one. Columns are cases.
        ends, own = (2, len(runs)) if some[0].tapers_to is not None else (1, 1)
        every = {k: np.repeat(np.concatenate([vars(d)[k] for _, _, d, _ in rows]).reshape(-1, own).T, ends, axis=0)
                 for k in vars(rows[0][2])}
        counts = [len(d.P) // own for _, _, d, _ in rows]
        owner = np.repeat(np.arange(len(rows)), counts)
        first = np.concatenate([[0], np.cumsum(counts)])
        kinds = np.concatenate([np.repeat([c.case.kind for c in s.cases], shape[1] // own) for s, _, _, shape in rows])
        for kind in dict.fromkeys(kinds.tolist()):
            mine = np.nonzero(kinds == kind)[0]
            factor = load_factor(kind, job.method)
            part = Demand(**{k: factor * v[:, mine] for k, v in every.items()})
            strengths = of_sections.member_strengths(sections, F_y, E, lengths, kind, job.method)
            used = of_sections.use_of(sections, part, strengths)
            for i, ratios in enumerate((used.together, used.shear)):
                at, top = map(int, np.unravel_index(first_of_largest(ratios), ratios.shape))
                if best[i] is None or _worse(float(ratios[at, top]), best[i].ratio):
                    s, bar, _, shape = rows[owner[mine[top]]]
                    case = s.cases[(mine[top] - first[owner[mine[top]]]) // (shape[1] // own)]
                    best[i] = Use(bar, f"{case.where}; {s.words}", case.case, float(ratios[at, top]),
                                  Demand(**{k: v[at] for k, v in vars(part).items()}), top, used.equation_together(at, top),
                                  *((sections, lengths) if len(sections) == 1 else (sections[at], lengths.rows(len(sections), [at]))))
    return best[0], best[1]


def _use_check(job: Job, name: str, state: str, use: Use) -> Check:
    clause = f"AISC 360-22 {use.equation}, C2 second order" if state == "strength" else "AISC 360-22 G and H3"
    common = dict(id=f"{name}/{state}", name=f"{family_words(name)}: {state}", about=name, kind=use.case.kind,
                  case=case_words(job, use.case, use.words), clause=clause, source="aisc-360-22, C2, E, F, G, H",
                  provenance=provenance("aisc-360-22"), assumed=(STRIP, RIGID, *use.member.assumed),
                  cautions=(*tube_cautions(use.member.tube), *of_sections.cautions_of(use.section, use.lengths), *use.member.cautions))
    if not np.isfinite(use.ratio):
        return Check(verdict=OUTSIDE, detail=f"{of_sections.outside_words(*use.arguments())}; or ask an engineer", **common)
    ratio, verdict = compare(use.ratio, 1.0)
    d, i = use.demand, use.row
    parts = [f"{word} {number(float(Quantity(abs(float(v[i])), unit).to(shown).magnitude), 3)} {shown_word}"
             for word, v, unit, shown, shown_word in (
                 ("compression" if d.P[i] < 0 else "tension", d.P, "N", *_force(job)), ("moment", d.M_x, "N*m", *_moment(job)),
                 ("sideways moment", d.M_y, "N*m", *_moment(job)), ("shear", np.maximum(d.V_x, d.V_y), "N", *_force(job)),
                 ("torque", d.T, "N*m", *_moment(job))) if abs(v[i]) > 0.5]
    return Check(verdict=verdict, demand=Q(ratio, ""), limit=Q(1.0, ""), ratio=ratio,
                 detail=f"{use.member.name}{_where(job, use)}: " + ", ".join(parts),
                 range=("second order under 1.6 times the load, stiffness 0.8, notional forces 0.002; K = 1",
                        *(FACTORED if job.method == "LRFD" else ()), *(() if use.member.tapers_to is None else (TAPERED_RANGE,))),
                 worked=(lambda: of_sections.member_lines(*use.arguments(), use.case.kind, job.method, job.system)) if state == "strength" else (), **common)


def _where(job: Job, use: Use) -> str:
    """The size that counts, where a bar tapers."""
    if use.member.tapers_to is None:
        return ""
    sizes = dict.fromkeys(show_length(Quantity(float(v[0]), "m"), job.system) for v in (use.section.height, use.section.width))
    return f" where it is {' x '.join(sizes)}"


def _force(job: Job) -> tuple[str, str]:
    return ("lbf", "lbf") if job.system == "inch" else ("N", "N")


def _moment(job: Job) -> tuple[str, str]:
    return ("lbf*ft", "lbf·ft") if job.system == "inch" else ("N*m", "N·m")


def _refused(job: Job, name: str, state: str, s: Solved, i: int) -> Check:
    case = s.cases[i]
    return Check(id=f"{name}/{state}", name=f"{family_words(name)}: {state}", about=name, kind=case.case.kind, verdict=REFUSED,
                 case=case_words(job, case.case, case.where), clause="AISC 360-22 C2", source="aisc-360-22, C2",
                 provenance=provenance("aisc-360-22"), detail=f"{s.words}: {s.answer.reason[i]}")


def _outside(job: Job, name: str, bar: Member) -> Check:
    metal = cover(bar.tube.product)
    return Check(id=f"{name}/strength", name=f"{family_words(name)}: strength", about=name, kind="use", verdict=OUTSIDE,
                 clause="AISC 360-22", source="aisc-360-22, A3", provenance=provenance("aisc-360-22"),
                 detail=f"{metal.why}: {metal.ways}")


def critical_check(job: Job, solved: list[Solved]) -> Check:
    """How much more of its load the base could carry before it sways away: the least critical factor, reported."""
    def factors(s: Solved) -> np.ndarray:
        """Not a number: refused, or made sure of being no less than the least."""
        known = np.isfinite(s.answer.critical)
        return np.where(known, s.answer.critical, np.where(s.answer.refused, -1.0, np.inf))

    worst = solved[first_of_largest(np.array([-factors(s).min() for s in solved]))]
    i = first_of_largest(-factors(worst))
    case = worst.cases[i]
    factor = float(worst.answer.critical[i]) * worst.factor * worst.answer.strength_factor if np.isfinite(worst.answer.critical[i]) else 0.0
    low = factor < worst.factor
    return Check(id="base/critical factor", name="Base: critical factor", about="base", kind="information", case=case_words(job, case.case, case.where),
                 verdict=REFUSED if low else REPORTED, demand=None if low else Q(factor, ""), clause="AISC 360-22 C2; elastic buckling of the frame",
                 source="aisc-360-22, C2", provenance=provenance("aisc-360-22"), range=("elastic, stiffness 0.8, bars straight",),
                 detail=f"{worst.words}" + ("; past or near its critical load: no number for its members" if low else "; under 1.6 no number is given"))


# --- sag -----------------------------------------------------------------------------------------


SAG_IDS = ("everyday-spread", "person-sag", "standing-on-stretcher-sag")


def sag_checks(job: Job, g: Geometry, solved: list[Solved], cases: dict[str, LoadCase]) -> Iterator[Check]:
    """Sag of every level bar in the worst case and state: between what holds it, and of an end that stands out."""
    fraction = job.model.limits.sag or DEFAULT_SAG
    own = job.model.limits.sag is not None
    by_hand = {b.about: b for b in loaded_stretchers(g, cases) if b.case.kind == "sag"}
    for name, bars in families(g).items():
        worst: Sag | None = None
        refused: tuple[Solved, int] | None = None
        for s in solved:
            if s.answer.refused.any():
                refused = s, int(np.nonzero(s.answer.refused)[0][0])
                continue
            for bar in bars:
                if not bar.upright:
                    for sag in _sags_of(s, g, bar):
                        if worst is None or _worse(sag.fall / sag.span, worst.fall / worst.span + NO_SAG):
                            worst = sag
        if refused is not None:
            s, i = refused
            yield Check(id=f"{name}/sag", name=f"{family_words(name)}: sag", about=name, kind="sag", verdict=REFUSED,
                        case=case_words(job, s.cases[i].case, s.cases[i].where), clause="no code sets one", source="beam-theory, frame",
                        provenance=provenance("beam-theory"), detail=f"{s.words}: {s.answer.reason[i]}")
            continue
        if worst is None:
            continue
        limit = worst.span * fraction
        ratio, verdict = compare(worst.fall, limit)
        s, bar = worst.solved, worst.bar
        case = s.cases[worst.row]
        how = "fall of the end that stands out, against twice its reach" if worst.free else "from the line between what holds it"
        hand = None if worst.free else by_hand.get(name)
        yield Check(
            id=f"{name}/sag", name=f"{family_words(name)}: sag", about=name, kind="sag", verdict=verdict,
            case=case_words(job, case.case, f"{case.where}; {s.words}"), demand=in_units(job, Quantity(worst.fall, "m"), "length"),
            limit=in_units(job, Quantity(limit, "m"), "length"), ratio=ratio,
            clause=f"L/{1 / fraction:.0f} of {show_length(Quantity(worst.span, 'm'), job.system)}, "
                   + ("the job's choice" if own else "named default, common practice") + "; no code sets one",
            source="beam-theory, frame", provenance=provenance("beam-theory"), detail=f"{bar.name}, {how}" + _hand_words(job, hand, bar),
            worked=_hand_lines(job, hand, bar), range=("service loads, full stiffness, second order",),
            assumed=(STRIP, *bar.tube.assumed, *(() if own else (f"sag limit L/{1 / fraction:.0f}",))))


def _hand_words(job: Job, hand: LoadedBar | None, bar: Member) -> str:
    if hand is None or hand.member.length != bar.length:
        return ""
    soft, stiff = (show_sag(line.largest("sag", "down")[0], job.system) for line in (hand.beam, hand.held))
    return f"; by hand {stiff} with its ends built in, {soft} with its ends free to turn"


def _hand_lines(job: Job, hand: LoadedBar | None, bar: Member):
    if hand is None or hand.member.length != bar.length:
        return ()
    return lambda: hand.beam.worked("sag", hand.span / 2, job.system)


@dataclass(frozen=True)
class Sag:
    """The fall of a bar in its worst case, and the span it is compared with (m). free: of an end that stands out."""

    fall: float
    span: float
    free: bool
    bar: Member
    solved: Solved
    row: int


def held_at(g: Geometry, bar: Member) -> list[float]:
    """Where others hold a level bar: its own ends on a host, posts and other uprights that end on it, feet."""
    found = [bar.length if j.end == 1 else 0.0 for j in g.joints if j.branch == bar.name and j.end >= 0]
    found += [bar.place_of(j.place) for j in g.joints if j.host == bar.name and g.members[j.branch].upright]
    found += [bar.place_of(f.place) for f in g.contacts if f.member == bar.name]
    return sorted({round(min(max(p, 0.0), bar.length), 6) for p in found})


def _sags_of(s: Solved, g: Geometry, bar: Member) -> Iterator[Sag]:
    """Largest fall of the bar's nodes below the line between its outermost holds, and fall of each end that stands out
    below the hold nearest to it: the span of that is twice its reach, as a cantilever is half of a beam."""
    frame, runs = s.answer.frame, s.table.runs[bar.name]
    ends = [frame.members[frame.member_number[name]] for name, _ in runs]
    numbers = [frame.node_number[n] for n in (ends[0].first, *(m.second for m in ends))]
    x = np.array([*[p for _, p in runs], bar.length])
    z = -s.answer.displacements[:, numbers, 2]
    held = held_at(g, bar) or [0.0, bar.length]

    def at(place):
        k = int(abs(x - place).argmin())
        return k, z[:, k]

    (first, z_first), (last, z_last) = at(held[0]), at(held[-1])
    if last > first:
        span = x[last] - x[first]
        line = z_first[:, None] + (z_last - z_first)[:, None] * (x[first:last + 1] - x[first]) / span
        fall = abs(z[:, first:last + 1] - line).max(axis=1)
        row = first_of_largest(fall, nothing=NO_SAG * span)
        yield Sag(float(fall[row]), float(span), False, bar, s, row)
    for end, hold in ((0, first), (len(x) - 1, last)):
        reach = float(abs(x[end] - x[hold]))
        if reach > bar.height:
            fall = abs(z[:, end] - z[:, hold])
            row = first_of_largest(fall)
            yield Sag(float(fall[row]), 2 * reach, True, bar, s, row)


# --- sway, twist and feet -------------------------------------------------------------------------


def sway_checks(job: Job, g: Geometry, every: list[FrameCase]) -> Iterator[Check]:
    """Sway under the stated push, along, across and in twist: from rigid to soft joints; compared only with a dated house
    limit of the shop."""
    limit = job.model.limits.house_sway
    dated = job.model.limits.house_sway_dated
    corners = np.array([[sx * g.top.length / 2, sy * g.top.width / 2] for sx in (1, -1) for sy in (1, -1)])
    found: dict[str, list[tuple[Solved, int]]] = {}
    for s in solve_service(job, g, every, ("push-for-wobble",), SWAY_STATES):
        for k, case in enumerate(s.cases):
            found.setdefault(case.where, []).append((s, k))
    clad = _clad_sways(job, g, every, corners)
    for where, rows in found.items():
        case = rows[0][0].cases[rows[0][1]]
        refused = next((s.answer.reason[k] for s, k in rows if s.answer.refused[k]), None)
        sizes = [(sway_of(s, g, k, corners), s.words + (", a foot lifted" if s.lifted else "")) for s, k in rows if not s.answer.refused[k]]
        word = {"along the table": "along", "across the table": "across", "in twist": "twist"}[where]
        play = _play_words(job)
        common = dict(id=f"base/sway {word}", name=f"Base: sway {word}", about="base", kind="information",
                      case=case_words(job, case.case, case.where), source="beam-theory, frame", provenance=provenance("beam-theory"),
                      range=("service load, second order, feet held by friction",), assumed=(STRIP, play),
                      cautions=("stiffness of joints comes out too high in calculations: trust the soft end of the range",
                                *((SHEET,) if where in clad else ()), *stiff_hosts(g)))
        if refused:
            yield Check(verdict=REFUSED, detail=refused, clause="no published limit for wobble", **common)
            continue
        least, most = min(sizes), max(sizes)
        slips = max((play_of(s, k) for s, k in rows), default=0.0)
        most = most[0] + slips, most[1]
        detail = (f"{show_sag(Quantity(least[0], 'm'), job.system)} with rigid joints to {show_sag(Quantity(most[0], 'm'), job.system)} with soft ones "
                  f"({most[1]}), at the edge of the top")
        if slips:
            detail += f", of that {show_sag(Quantity(slips, 'm'), job.system)} by bolts that slip in their holes until their clamp holds them"
        if where in clad:
            detail += f"; with {sheet_words(job)} {show_sag(Quantity(min(clad[where]), 'm'), job.system)} to " \
                      f"{show_sag(Quantity(max(clad[where]), 'm'), job.system)}: the bare frame counts"
        demand = in_units(job, Quantity(most[0], "m"), "length")
        if limit is None:
            yield Check(verdict=REPORTED, demand=demand, detail=detail, clause="no published limit for wobble; no house limit in the job", **common)
            continue
        ratio, verdict = compare(most[0], float(magnitude(limit, "m")))
        yield Check(verdict=verdict, demand=demand, limit=in_units(job, limit, "length"), ratio=ratio, detail=detail,
                    clause=f"house limit of the shop, {dated or 'not dated'}", **common)


def stiff_hosts(g: Geometry) -> tuple[str, ...]:
    """A caution where bars stand on what no spring is worked out for."""
    pairs = [(g.members[j.branch].tube, g.members[j.host]) for j in g.joints if j.end >= 0]
    stiff = dict.fromkeys(
        host.stock
        for tube, host in pairs
        if not isinstance(host.tube, Tube)
        or (host.tube.shape == "round" and not (isinstance(tube, Tube) and tube.shape == "round"))
    )
    return (f"the walls of round tube under square branches, and open shapes ({', '.join(stiff)}) are taken as stiff even where joints are soft: they give "
            "more than that, trust no sway here",) if stiff else ()


def play_of(s: Solved, k: int) -> float:
    """By how much more a seat can move the way of the push of case k when every bolted joint takes up its full play the
    worst way (m): a bound, whatever the history; 0 where nothing is bolted or joints are taken as rigid."""
    if not s.table.sizes.joint_play.any():
        return 0.0
    frame = s.answer.frame.held_in(s.answer.system.holds[k]) if s.lifted else s.answer.frame
    bounds = play_bounds(frame, s.answer.sizes[[k]])
    number = s.answer.frame.node_number
    more = (bounds.displacements[1] - bounds.tight.displacements)[0, [number[n] for n in s.table.seat_nodes], :2]
    way = {"along the table": 0, "across the table": 1}.get(s.cases[k].where)
    return float((np.linalg.norm(more, axis=1) if way is None else more[:, way]).max())


def _clad_sways(job: Job, g: Geometry, every: list[FrameCase], corners) -> dict[str, list[float]]:
    """Sways with the sheet of podiums as shear panels; empty where there is none."""
    found: dict[str, list[float]] = {}
    if has_sheet(job):
        for s in solve_service(job, g, every, ("push-for-wobble",), SWAY_STATES, sheet=True):
            for k, case in enumerate(s.cases):
                if not s.answer.refused[k]:
                    found.setdefault(case.where, []).append(sway_of(s, g, k, corners))
    return found


MODES = ("rocks along its length", "rocks across", "twists in plan", "bounces")


def frequency_check(job: Job, g: Geometry) -> Check:
    """The lowest ways the table rings, rigid to soft joints: reported, in words."""
    found = []
    for joints in ("soft", "rigid"):
        table = table_frame(job, g, state="sliding", joints=joints, feet="gripping")
        modes = frequencies(table.frame, table.sizes, count=3)
        found.append([(float(modes.frequency[0, k]), _mode_words(g, table, modes.shape[0, k])) for k in range(3)
                      if np.isfinite(modes.frequency[0, k])])
    common = dict(id="base/frequency", name="Base: lowest frequencies", about="base", kind="information", source="beam-theory, frame",
                  provenance=provenance("beam-theory"), clause="no published limit for a table",
                  range=("top alone on it, feet held by friction, small movements",), assumed=(STRIP,),
                  cautions=("measured first frequencies of real tables were not found: trust the soft end",))
    if not all(found):
        return Check(verdict=REFUSED, detail="a part of the frame is free to move", **common)
    soft, rigid = found
    words = "; ".join(f"{w} at {f:.1f} Hz" for f, w in soft)
    return Check(verdict=REPORTED, demand=Q(soft[0][0], "Hz"), detail=f"with soft joints it {words}; with rigid joints it {rigid[0][1]} at "
                 f"{rigid[0][0]:.1f} Hz", **common)


def _mode_words(g: Geometry, table: TableFrame, shape: np.ndarray) -> str:
    """Which way the top moves most in a mode."""
    number = table.frame.node_number
    seats = np.array([p.place[:2] for p in g.seats])
    u = shape[[number[n] for n in table.seat_nodes]]
    dx, dy, turn = _plane(seats, u[:, :2])
    reach = float(np.hypot(g.top.length, g.top.width) / 2)
    return MODES[int(np.argmax([abs(dx), abs(dy), abs(turn) * reach, abs(u[:, 2]).mean()]))]


def _plane(seats: np.ndarray, u: np.ndarray) -> np.ndarray:
    """Level movement of a stiff plate fitted to its seats: along x, along y, turn."""
    rows = np.zeros((2 * len(seats), 3))
    rows[0::2, 0] = rows[1::2, 1] = 1.0
    rows[0::2, 2], rows[1::2, 2] = -seats[:, 1], seats[:, 0]
    return np.linalg.lstsq(rows, u.ravel(), rcond=None)[0]


def _play_words(job: Job) -> str:
    from shopcalc.table.job import Bolts

    bolted = [k for k, j in job.model.joints.items() if isinstance(j, Bolts)]
    return "bolted joints rock in their holes besides until the clamp holds them: " + ", ".join(bolted) if bolted else \
        "welds run all round and do not crack"


def plate_movement(s: Solved, g: Geometry, k: int) -> np.ndarray:
    """Level movement of the top in case k as a stiff plate fitted to its seats: along x, along y (m), turn (rad)."""
    seats = np.array([p.place[:2] for p in g.seats])
    return _plane(seats, np.stack([s.answer.displacement(n, w)[k] for n in s.table.seat_nodes for w in "xy"]).reshape(-1, 2))


def sway_of(s: Solved, g: Geometry, k: int, corners: np.ndarray) -> float:
    """Largest level movement of a corner of the top in case k, m."""
    dx, dy, turn = plate_movement(s, g, k)
    moved = np.stack([dx - turn * corners[:, 1], dy + turn * corners[:, 0]], axis=1)
    return float(np.linalg.norm(moved, axis=1).max())


FEET_CAUTIONS = {
    "casters": ("casters roll: the feet are taken as free to slide, the table moves before it leans; lock them, and check the rating of each "
                "against the largest foot load",),
    "leveller": ("studs of levellers are checked only where the job names them (base.feet.stud): else take their rating against the largest foot load, wind them out no more than needed",),
}


def over_check(job: Job, g: Geometry, every: list[FrameCase], solved: list[Solved]) -> Iterator[Check]:
    """Cases in which too few feet are left to hold the table, or the one that is caught lifts: its bars are not asked.
    With a foot over a hollow the table only rocks onto that foot: then the standing cases hold."""
    asked = {(c.case.id, c.where): c for c in strength_cases(g, every) if not c.held.startswith("air:")}
    for s in solved:
        for c in s.cases:
            asked.pop((c.case.id, c.where.removesuffix(EASED)), None)
    if asked:
        words = "; ".join(dict.fromkeys(f"{c.case.words}, {c.where}" for c in asked.values()))
        yield Check(id="base/goes over", name="Base: cases in which it goes over", about="base", kind="information", verdict=REPORTED,
                    demand=Q(len(asked), ""), clause="statics", source="statics", provenance=provenance("statics"),
                    detail=f"no bar is checked in these: the feet that stay down do not hold the table, or the caught one lifts: {words}",
                    cautions=("a load of the strength cases turns the table over or lifts the foot that holds it: see base/goes over",))


def foot_checks(job: Job, g: Geometry, solved: list[Solved]) -> Iterator[Check]:
    """The largest and the least load on a foot while the table stands, and the largest on an uneven floor with one foot
    over a hollow: reported, and what lifts."""
    most, least, uneven = None, None, None
    for s in solved:
        R = np.stack([s.answer.reaction(n, "z") for n in s.table.foot_nodes], axis=1) / s.factor
        air = [i for i, c in enumerate(s.cases) if c.held.startswith("air:")]
        if air:
            under = np.nan_to_num(R[air], nan=-1.0)
            i = first_of_largest(under.max(axis=1))
            if uneven is None or _worse(under[i].max(), uneven[0]):
                uneven = (float(under[i].max()), g.feet[first_of_largest(under[i])], s.cases[air[i]], s)
        R[:, sorted(s.lifted)] = 0.0
        for i, c in enumerate(s.cases):
            if c.held != STANDING or np.isnan(R[i]).any():
                continue
            if most is None or _worse(R[i].max(), most[0]):
                most = (float(R[i].max()), g.feet[first_of_largest(R[i])], c, s)
            if least is None or R[i].min() < least[0] - LIFTS:
                least = (float(R[i].min()), g.feet[first_of_largest(-R[i])], c, s)
    for word, found in (("most", most), ("least", least), ("most uneven", uneven)):
        if found is None:
            continue
        force, foot, c, s = found
        lifts = word == "least" and bool(s.lifted)
        if word == "most uneven":
            yield Check(id="feet/most load on an uneven floor", name="Feet: most load on an uneven floor", about="feet", kind="information",
                        verdict=REPORTED, demand=in_units(job, Quantity(force, "N"), "force"),
                        case=case_words(job, c.case, f"{c.where}; {s.words}"), clause="frame, one foot over a hollow", source="statics",
                        provenance=provenance("statics"), detail=f"at {foot}: with one foot in the air the others carry its part")
            continue
        yield Check(id=f"feet/{word} load", name=f"Feet: {word} load", about="feet", kind="information", verdict=REPORTED,
                    demand=in_units(job, Quantity(force, "N"), "force"), case=case_words(job, c.case, f"{c.where}; {s.words}"),
                    clause="frame, floor even", source="statics", provenance=provenance("statics"),
                    detail=f"at {foot}" + ("; it lifts: the table rocks in this case" if lifts else ""),
                    cautions=("on an uneven floor three feet may carry nearly all", *FEET_CAUTIONS.get(job.model.base.feet.kind, ())))


def floor_checks(job: Job, g: Geometry, cases: dict[str, LoadCase]) -> Iterator[Check]:
    """Whether the table rocks on an uneven floor: what its frame follows and what stays open, from soft to stiff."""
    case = cases.get("foot-in-the-air")
    if case is None or len(g.feet) < 4:
        return
    soft, stiff = (on_hollows(job, g, case, state) for state in ("soft", "stiff"))
    common = dict(about="feet", kind="information", source="beam-theory, frame", provenance=provenance("beam-theory"), assumed=(STRIP,),
                  clause="no published limit for a table; frame on feet that only press")
    if any(np.isnan(v).any() for state in (soft, stiff) for v in vars(state).values()):
        yield Check(id="feet/follows the floor", name="Feet: hollow of the floor that they follow", verdict=REPORTED, case=case_words(job, case, ""),
                    detail="not worked out: with a hollow under one foot the table does not stand on the others", **common)
        return

    def size(metres) -> str:
        return show_sag(Quantity(float(metres), "m"), job.system)

    least, most = float(stiff.follows.min()), float(soft.follows.min())
    least, most = min(least, most), max(least, most)
    foot = g.feet[first_of_largest(-stiff.follows, 1e-6)]
    feet = job.model.base.feet
    open_at = stiff if stiff.hangs.max() >= soft.hangs.max() else soft
    hangs, at = float(open_at.hangs.max()), g.feet[first_of_largest(open_at.hangs.max(axis=1), 1e-6)]
    yield Check(id="feet/follows the floor", name="Feet: hollow of the floor that they follow", verdict=REPORTED,
                demand=in_units(job, Quantity(least, "m"), "length"),
                detail=f"under its own weight base and top give enough to close a hollow of {size(least)} under {foot} ({size(most)} with soft joints "
                       "and a loose top); over a deeper one the table rocks",
                range=("own weight alone, linear",), **common)
    if hangs <= 0:
        words = "no foot hangs: base and top follow it"
    elif feet.travel is not None:
        enough = float(magnitude(feet.travel, "m")) >= hangs
        words = f"with the hollow under {at} the table rocks by that; a leveller's travel of {show_length(feet.travel, job.system)} " + \
            ("takes it up" if enough else "does not take it up: shim the floor")
    else:
        words = f"with the hollow under {at} the table rocks by that: shim it" + \
            ("; the job does not say how far its levellers travel (base.feet.travel)" if feet.kind == "leveller" else "")
    force = float(max(soft.forces.max(), stiff.forces.max()))
    yield Check(id="feet/gap over a hollow", name="Feet: gap over a hollow of the floor", verdict=REPORTED, case=case_words(job, case, "its own weight"),
                demand=in_units(job, Quantity(hangs, "m"), "length"),
                detail=f"{words}; the most loaded foot then carries {number(float(Quantity(force, 'N').to(_force(job)[0]).magnitude), 3)} {_force(job)[1]} "
                       "of the table's own weight",
                range=("own weight alone, linear",), cautions=UNEVEN_CAUTIONS, **common)


UNEVEN_CAUTIONS = ("a person who leans on the corner over the hollow closes the gap: that is the rocking",
                   "studs wound out are longer levers: wind them out no more than needed")


def frame_checks(job: Job, g: Geometry, cases: dict[str, LoadCase], every: list[FrameCase], solved: list[Solved]) -> Iterator[Check]:
    """Everything the frame answers of members, feet, sag and sway. every: all frame cases; solved: those for strength."""
    yield critical_check(job, solved)
    yield from member_checks(job, g, solved)
    yield from over_check(job, g, every, solved)
    yield from foot_checks(job, g, solved)
    yield from floor_checks(job, g, cases)
    yield from sag_checks(job, g, list(solve_service(job, g, every, SAG_IDS)), cases)
    yield from sway_checks(job, g, every)
    yield frequency_check(job, g)
