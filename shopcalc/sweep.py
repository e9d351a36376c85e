"""Many designs at once: every tube of a list over many spans, and the lightest that meets named criteria.

Arrays throughout: designs are rows, one row is one tube over one span. The same formulas and clauses as for one
table; nothing is written here a second time.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pint

from shopcalc.check import OUTSIDE, OVER, REPORTED, WITHIN, Check, load_factor, ratio_text
from shopcalc.codes.aisc360_22 import combined, of_sections
from shopcalc.codes.aisc360_22.of_sections import SHEAR_OVER_STIFFNESS, Demand, Lengths, allowables, grouped
from shopcalc.codes.aisc360_22.scope import cover
from shopcalc.errors import InputError
from shopcalc.mechanics.beams import handbook
from shopcalc.mechanics.columns import euler_load
from shopcalc.mechanics.shear_sag import PLAIN_HOLDS, shear_sag
from shopcalc.mechanics.statics import GRAVITY
from shopcalc.sources import source_of
from shopcalc.stock.sections import SectionArrays
from shopcalc.stock.tubes import LISTED_AS, Tube, stock_tubes, tube_sections
from shopcalc.table.checks import DEFAULT_SAG
from shopcalc.table.job import Job
from shopcalc.table.jobfile.fields import Price
from shopcalc.table.loadpath import LoadedBar
from shopcalc.units import Q, Quantity, magnitude, show_wall

STATES = ("bending", "shear", "sag")
LEG_STATES = ("compression", "compression and bending")
CRITERIA = STATES + LEG_STATES
COMPRESSION, TOGETHER = LEG_STATES

# ends -> what an even load (w) and a load (P) at the worst place of the handbook case give
_MOMENT = {"simple": ("moment_simple_uniform", "moment_simple_point_middle"),
           "cantilever": ("moment_cantilever_uniform", "moment_cantilever_point_tip"),
           "fixed": ("moment_fixed_uniform", "moment_fixed_point_middle")}
_SHEAR = {"simple": "shear_simple_uniform", "cantilever": "shear_cantilever_uniform", "fixed": "shear_fixed_uniform"}
_SAG = {"simple": ("sag_simple_uniform", "sag_simple_point_middle"),
        "cantilever": ("sag_cantilever_uniform", "sag_cantilever_point_tip"),
        "fixed": ("sag_fixed_uniform", "sag_fixed_point_middle")}
ENDS = tuple(_MOMENT)


@dataclass(frozen=True)
class Question:
    """What a bar must do. Own weight is always added to what bends it.

    ends      "simple" (the soft bound), "fixed" (the stiff bound) or "cantilever"
    P         load across it at the middle (at the tip of a cantilever); for shear it may stand anywhere
    w         even load across it per length, besides the own weight
    criteria  which of CRITERIA must hold: named, never assumed. Sway is none of them: it is a question of the whole base
    sag_part  sag allowed as a part of the span (1/360), needed where sag is a criterion
    push      load along it (a leg), needed where compression is a criterion
    K         effective length over length, needed then: 1 between ends that cannot move; a leg of a base that sways has
              over 1, on feet that turn 2 or more (mechanics.columns.sway_factor). Never under 1
    least_wall  a wall under which a bar is not wanted (welding, dents), a choice of its own
    """

    ends: str
    P: pint.Quantity
    w: pint.Quantity = Q(0.0, "N/m")
    criteria: tuple[str, ...] = STATES
    sag_part: float | None = None
    least_wall: pint.Quantity | None = None
    method: str = "ASD"
    push: pint.Quantity = Q(0.0, "N")
    K: float | None = None

    def __post_init__(self):
        if self.ends not in ENDS:
            raise InputError(field="ends", value=self.ends, need="one of " + ", ".join(ENDS), example='ends="simple"')
        stray = [c for c in self.criteria if c not in CRITERIA]
        if stray or not self.criteria:
            sway = "; wobble is judged on the whole base, not bar by bar" if "sway" in stray or "wobble" in stray else ""
            raise InputError(field="criteria", value=", ".join(stray) or None, need="some of " + ", ".join(CRITERIA) + sway,
                             example='criteria=("bending", "shear", "sag")')
        if "sag" in self.criteria and not self.sag_part:
            raise InputError(field="sag_part", value=self.sag_part, need="the sag allowed, as a part of the span",
                             example="sag_part=1/360")
        for name, value, unit in (("P", self.P, "N"), ("w", self.w, "N/m"), ("push", self.push, "N")):
            if not isinstance(value, pint.Quantity) or not value.check(Q(1.0, unit).dimensionality) \
                    or not np.isfinite(magnitude(value, unit)) or magnitude(value, unit) < 0:
                raise InputError(field=name, value=value, need="a load of zero or more with its unit",
                                 example=f"{name}=Q(300, 'lbf')")
        if self.is_leg:
            if magnitude(self.push, "N") == 0:
                raise InputError(field="push", value=self.push, need="the load along the leg", example="push=Q(250, 'lbf')")
            if self.K is None or not 1 <= self.K <= 20:
                raise InputError(field="K", value=self.K, example="K=2.0",
                                 need="an effective-length factor of 1 to 20: 1 between ends that cannot move, 2 or more for a "
                                      "leg of a base that sways on feet that turn")

    @property
    def is_leg(self) -> bool:
        return any(c in self.criteria for c in LEG_STATES)


@dataclass(frozen=True)
class Grid:
    """Answers for tubes (rows) over spans (columns).

    ratios     criterion -> (tubes, spans) demand over limit; nan outside a clause's range or for a metal it does not cover
    worst      (tubes, spans) largest ratio of the criteria; governs: index into the criteria
    in_range   (tubes, spans)
    shear_part (tubes, spans) what shear adds to the sag by bending, as a part of it
    """

    question: Question
    tubes: tuple[Tube, ...]
    spans: pint.Quantity
    ratios: dict[str, np.ndarray]
    worst: np.ndarray
    governs: np.ndarray
    in_range: np.ndarray
    mass_per_length: pint.Quantity
    shear_part: np.ndarray

    def verdict(self, i: int, j: int) -> str:
        if not self.in_range[i, j]:
            return OUTSIDE
        return OVER if self.worst[i, j] > 1 else WITHIN

    @property
    def verdicts(self) -> np.ndarray:
        return np.where(~self.in_range, OUTSIDE, np.where(self.worst > 1, OVER, WITHIN))

    def governing(self, i: int, j: int) -> str:
        return self.question.criteria[int(self.governs[i, j])]

    @property
    def governing_names(self) -> np.ndarray:
        return np.array(self.question.criteria)[self.governs]

    def why_outside(self, i: int, j: int) -> str:
        """Why a tube is outside the range over a span, with ways forward; "" where it is not."""
        if self.in_range[i, j]:
            return ""
        tube = self.tubes[i]
        metal = cover(tube.product)
        if metal.verdict == OUTSIDE:
            return f"{metal.why}: {metal.ways}"
        asked = {"P": -1.0 if self.question.is_leg else 0.0, "M_x": 1.0, "V_x": 1.0}
        span = float(magnitude(self.spans[j], "m"))
        steel = [float(magnitude(v, "Pa")) for v in (tube.steel.Fy, tube.steel.E)]
        return of_sections.outside_words(tube_sections([tube], "design"), *steel, Demand.of(**asked),
                                         _lengths(self.question, span))


def _lengths(question: Question, span) -> Lengths:
    return Lengths.of(span, L_v=span / 2, L_cx=span * (question.K or 1.0), L_cy=span * (question.K or 1.0))


def demands(ends: str, s: SectionArrays, E, span, P, w, G=None):
    """Moment, shear, sag and the part of the sag that shear makes, (n,) each, of rows of sections over spans under P and w
    besides their own weight. Array kernel, SI; the own weight is that of the nominal wall. G: shear modulus, of steel where
    left out."""
    w = w + s.mass_per_length * GRAVITY
    even, point = (handbook(n).si for n in _MOMENT[ends])
    moment = abs(even(w=w, L=span)) + abs(point(P=P, L=span))
    shear = handbook(_SHEAR[ends]).si(w=w, L=span) + P
    even, point = (handbook(n).si for n in _SAG[ends])
    sag = even(w=w, L=span, E=E, I=s.Ix) + point(P=P, L=span, E=E, I=s.Ix)
    free = moment
    if ends == "fixed":  # shear lets a held bar down as one with free ends
        even, point = (handbook(n).si for n in _MOMENT["simple"])
        free = even(w=w, L=span) + point(P=P, L=span)
    by_shear = shear_sag.si(M=free, GA=(SHEAR_OVER_STIFFNESS * E if G is None else G) * s.Av_x)
    return moment, shear, sag + by_shear, by_shear / sag


def ratios(question: Question, s: SectionArrays, F_y, E, span, P, w, push=0.0, G=None) -> dict[str, np.ndarray]:
    """Demand over limit by criterion, (n,) each; nan outside range. Array kernel, SI. A use load: the code's factor."""
    return _ratios(question, s, F_y, E, span, push, *demands(question.ends, s, E, span, P, w, G)[:3])


def _ratios(question: Question, s: SectionArrays, F_y, E, span, push, moment, shear, sag) -> dict[str, np.ndarray]:
    lengths = _lengths(question, span)
    groups = grouped(s, F_y, E, lengths)
    factor = load_factor("use", question.method)
    moment, shear, push = factor * moment, factor * shear, factor * np.asarray(push)

    def limit(what: str):
        return allowables(what, s, F_y, E, lengths, "use", question.method, groups)

    named, found, bending, column = question.criteria, {}, None, None
    if "bending" in named or TOGETHER in named:
        bending = limit("bending")
    if question.is_leg:
        column = limit("compression")
    if "bending" in named:
        found["bending"] = moment / bending
    if "shear" in named:
        found["shear"] = shear / limit("shear")
    if "sag" in named:
        found["sag"] = sag / (question.sag_part * span)
    if COMPRESSION in named:
        found[COMPRESSION] = push / column
    if TOGETHER in named:
        critical = euler_load.si(E=E, I=s.Ix, L_c=span * question.K)
        alpha = combined.ALPHA[question.method]
        stands = alpha * push < critical
        with np.errstate(divide="ignore"):
            grown = np.maximum(combined.moment_amplifier.si(C_m=1.0, alpha=alpha, P_r=push, P_e1=critical), 1.0)
        use = combined.axial_and_bending_si(P_r=push, P_c=column, M_rx=grown * moment, M_cx=bending, M_ry=0.0, M_cy=1.0).ratio
        found[TOGETHER] = np.where(np.isnan(column) | np.isnan(bending), np.nan, np.where(stands, use, np.inf))
    return found


def tubes_over_spans(question: Question, tubes: Iterable[Tube], spans: pint.Quantity) -> Grid:
    """Every tube over every span. spans: a quantity with an array, rising. Raises InputError for no tubes or spans
    that are not positive lengths."""
    tubes = tuple(tubes)
    span = np.atleast_1d(np.asarray(magnitude(spans, "m"), float))
    if not tubes or not (np.isfinite(span).all() and (span > 0).all()):
        raise InputError(field="tubes_over_spans", value=f"{len(tubes)} tubes, {spans}",
                         need="at least one tube and positive spans", example="Q(np.array([60, 72]), 'in')")
    sections = tube_sections(tubes, "design")
    rows = np.repeat(np.arange(len(tubes)), span.size)
    F_y, E, G = (np.array([float(magnitude(getattr(t.steel, n), "Pa")) for t in tubes])[rows] for n in ("Fy", "E", "G"))
    along, across = np.tile(span, len(tubes)), sections[rows]
    moment, shear, sag, part = demands(question.ends, across, E, along, float(magnitude(question.P, "N")),
                                       float(magnitude(question.w, "N/m")), G)
    found = _ratios(question, across, F_y, E, along, float(magnitude(question.push, "N")), moment, shear, sag)
    covered = np.array([cover(t.product).verdict != OUTSIDE for t in tubes])[rows]
    shape = (len(tubes), span.size)
    found = {n: np.where(covered, r, np.nan).reshape(shape) for n, r in found.items()}
    stack = np.stack([found[c] for c in question.criteria])
    in_range = ~np.isnan(stack).any(axis=0)
    worst = np.where(in_range, np.where(np.isnan(stack), -np.inf, stack).max(axis=0), np.nan)
    governs = np.where(np.isnan(stack), -np.inf, stack).argmax(axis=0)
    return Grid(question, tubes, Quantity(span, "m"), found, worst, governs, in_range,
                Quantity(sections.mass_per_length, "kg/m"), part.reshape(shape))


@dataclass(frozen=True)
class Choice:
    """One tube as an answer to "which tube?": its verdict, the worst ratio and the reason in words."""

    tube: Tube
    verdict: str
    ratio: float | None
    governs: str
    reason: str
    mass: pint.Quantity
    price: str = ""


@dataclass(frozen=True)
class Choices:
    """Every tube of the list, lightest first. `lightest` is the lightest that meets the named criteria, or None;
    `below` the next lighter one, which does not."""

    question: Question
    span: pint.Quantity
    rows: tuple[Choice, ...]

    @property
    def lightest(self) -> Choice | None:
        return next((r for r in self.rows if r.verdict == WITHIN), None)

    @property
    def below(self) -> Choice | None:
        first = self.lightest
        if first is None:
            return None
        i = self.rows.index(first)
        return self.rows[i - 1] if i else None

    @property
    def criteria_words(self) -> str:
        return ", ".join(self.question.criteria)


def which_tube(question: Question, span: pint.Quantity, tubes: Sequence[Tube], price: Price | None = None) -> Choices:
    """Every tube for one span (one height of a leg), lightest first, each with what governs it. Sway is not among the
    criteria: a tube that meets them says nothing about wobble. price: what tube costs, if the job says so."""
    grid = tubes_over_spans(question, tubes, span)
    rows = [_choice(grid, i) for i in range(len(grid.tubes))]
    if price is not None:
        rows = [replace(r, price=price.of(r.mass, span)) for r in rows]
    return Choices(question, span, tuple(sorted(rows, key=lambda r: (r.mass.magnitude, r.ratio or 0))))


def _choice(grid: Grid, i: int) -> Choice:
    tube, question = grid.tubes[i], grid.question
    mass = grid.mass_per_length[i] * grid.spans[0]
    state, verdict = grid.governing(i, 0), grid.verdict(i, 0)
    if verdict == OUTSIDE:
        return Choice(tube, verdict, None, state, grid.why_outside(i, 0), mass)
    ratio = float(grid.worst[i, 0])
    over = [s for s in question.criteria if grid.ratios[s][i, 0] > 1]
    said = ["over in " + ", ".join(f"{s} ({ratio_text(float(grid.ratios[s][i, 0]))})" for s in over)] if over else []
    if question.least_wall is not None and tube.wall("nominal") < question.least_wall:
        said.append(f"wall under the {show_wall(question.least_wall)} asked for")
        state = state if over else "wall"
    reason = "; ".join(said) or "meets " + ", ".join(question.criteria)
    if "sag" in question.criteria and grid.shear_part[i, 0] > PLAIN_HOLDS:
        reason += f" (short for its depth: shear adds {grid.shear_part[i, 0]:.0%} to the sag, counted)"
    return Choice(tube, OVER if said else WITHIN, ratio, state, reason, mass)


# --- the stretcher of a job ----------------------------------------------------------------------


def bar_question(job: Job, bar: LoadedBar) -> Question:
    """What a job asks of a bar loaded at its middle: strength, and the sag the job allows."""
    return Question("simple", bar.case.value, sag_part=job.model.limits.sag or DEFAULT_SAG, method=job.method)


def same_product(bar: LoadedBar) -> tuple[Tube, ...]:
    """The stock list in the product, and with the grade, that the bar is made of; A500 tube beside a bar or open shape."""
    tube = bar.member.tube
    if not isinstance(tube, Tube):
        return stock_tubes("A500")
    listed = stock_tubes(LISTED_AS.get(tube.product, tube.product) if tube.product != "unknown" else None)
    return tuple(replace(t, product=tube.product, grade=tube.grade) for t in listed)


def choice_check(job: Job, bar: LoadedBar) -> Check:
    """The lightest tube that meets the named criteria, beside the job's own: reported, never a pass."""
    question = bar_question(job, bar)
    choices = which_tube(question, bar.span, same_product(bar), job.model.prices.tube)
    best, below = choices.lightest, choices.below
    product = choices.rows[0].tube.product
    unit = "lb" if job.system == "inch" else "kg"
    if all(r.verdict == OUTSIDE for r in choices.rows):
        words = f"no {product} tube of the list is covered: {choices.rows[0].reason}"
    elif best is None:
        words = f"no {product} tube of the list meets {choices.criteria_words}: shorten the span or ask an engineer"
    else:
        words = (f"lightest {product} tube that meets {choices.criteria_words} (sag limit L/"
                 f"{1 / question.sag_part:.0f}): {best.tube.words}, used {ratio_text(best.ratio)}, {best.governs} governs"
                 + (f", {best.price}" if best.price else "")
                 + (f"; the next one down, {below.tube.words}, is {below.reason}" if below else "")
                 + "; wobble is not among the criteria")
    return Check(id=f"{bar.about}/lightest tube", name=f"{bar.words}: lightest tube", about=bar.about, kind="information",
                 verdict=REPORTED, demand=None if best is None else best.mass.to(unit), detail=words,
                 clause="strength by AISC 360-22 F7, F8, G4, G5; sag by the job's choice", source="aisc-360-22, F and G",
                 provenance=source_of("aisc-360-22").provenance,
                 range=("ends free to turn, load in the middle, own weight added, sag with shear",),
                 assumed=("ends free to turn",))
