"""Many designs at once: every tube of a list over many spans, and the lightest that meets named criteria.

Arrays throughout: designs are rows, one row is one tube over one span. The same formulas and clauses as for one
table; nothing is written here a second time.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pint

from shopcalc.check import OUTSIDE, OVER, REPORTED, WITHIN, Check, ratio_text
from shopcalc.codes.aisc360_22.of_sections import Lengths, allowables
from shopcalc.errors import InputError
from shopcalc.mechanics.beams import handbook
from shopcalc.mechanics.statics import GRAVITY
from shopcalc.sources import source_of
from shopcalc.stock.sections import SectionArrays
from shopcalc.stock.tubes import LISTED_AS, Tube, stock_tubes, tube_sections
from shopcalc.table.checks import DEFAULT_SAG
from shopcalc.table.job import Job, Price
from shopcalc.table.loadpath import LoadedBar
from shopcalc.units import Q, Quantity, magnitude, show_wall

STATES = ("bending", "shear", "sag")

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
    """What a bar must do. Own weight is always added.

    ends      "simple" (the soft bound), "fixed" (the stiff bound) or "cantilever"
    P         load at the middle (at the tip of a cantilever); for shear it may stand anywhere
    w         even load per length besides the own weight
    criteria  which of "bending", "shear", "sag" must hold: named, never assumed
    sag_part  sag allowed as a part of the span (1/360), needed where sag is a criterion
    least_wall  a wall under which a bar is not wanted (welding, dents), a choice of its own
    """

    ends: str
    P: pint.Quantity
    w: pint.Quantity = Q(0.0, "N/m")
    criteria: tuple[str, ...] = STATES
    sag_part: float | None = None
    least_wall: pint.Quantity | None = None
    method: str = "ASD"

    def __post_init__(self):
        if self.ends not in ENDS:
            raise InputError(field="ends", value=self.ends, need="one of " + ", ".join(ENDS), example='ends="simple"')
        stray = [c for c in self.criteria if c not in STATES]
        if stray or not self.criteria:
            raise InputError(field="criteria", value=", ".join(stray) or None, need="some of " + ", ".join(STATES),
                             example='criteria=("bending", "shear", "sag")')
        if "sag" in self.criteria and not self.sag_part:
            raise InputError(field="sag_part", value=self.sag_part, need="the sag allowed, as a part of the span",
                             example="sag_part=1/360")
        for name, value, unit in (("P", self.P, "N"), ("w", self.w, "N/m")):
            if not isinstance(value, pint.Quantity) or not value.check(Q(1.0, unit).dimensionality) \
                    or not np.isfinite(magnitude(value, unit)) or magnitude(value, unit) < 0:
                raise InputError(field=name, value=value, need="a load of zero or more with its unit",
                                 example="Q(300, 'lbf')")


@dataclass(frozen=True)
class Grid:
    """Answers for tubes (rows) over spans (columns).

    ratios     state -> (tubes, spans) demand over limit; nan outside a clause's range
    worst      (tubes, spans) largest ratio of the criteria; governs: index into the criteria
    in_range   (tubes, spans)
    """

    question: Question
    tubes: tuple[Tube, ...]
    spans: pint.Quantity
    ratios: dict[str, np.ndarray]
    worst: np.ndarray
    governs: np.ndarray
    in_range: np.ndarray
    mass_per_length: pint.Quantity

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


def demands(ends: str, s: SectionArrays, E, span, P, w):
    """Moment, shear and sag (n,) of rows of sections over spans under P and w besides their own weight.
    Array kernel, SI; the own weight is that of the nominal wall."""
    w = w + s.mass_per_length * GRAVITY
    even, point = (handbook(n).si for n in _MOMENT[ends])
    moment = abs(even(w=w, L=span)) + abs(point(P=P, L=span))
    shear = handbook(_SHEAR[ends]).si(w=w, L=span) + P
    even, point = (handbook(n).si for n in _SAG[ends])
    return moment, shear, even(w=w, L=span, E=E, I=s.Ix) + point(P=P, L=span, E=E, I=s.Ix)


def ratios(question: Question, s: SectionArrays, F_y, E, span, P, w) -> dict[str, np.ndarray]:
    """Demand over limit by state, (n,) each; nan outside range. Array kernel, SI. A use load: the code's factor."""
    moment, shear, sag = demands(question.ends, s, E, span, P, w)
    found = {}
    if "bending" in question.criteria:
        found["bending"] = moment / _allowable("bending", question, s, F_y, E, span)
    if "shear" in question.criteria:
        found["shear"] = shear / _allowable("shear", question, s, F_y, E, span)
    if "sag" in question.criteria:
        found["sag"] = sag / (question.sag_part * span)
    return found


def _allowable(state: str, question: Question, s: SectionArrays, F_y, E, span) -> np.ndarray:
    return allowables(state, s, F_y, E, Lengths.of(span, L_v=span / 2), "use", question.method)


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
    F_y, E = (np.array([float(magnitude(getattr(t.steel, n), "Pa")) for t in tubes])[rows] for n in ("Fy", "E"))
    found = ratios(question, sections[rows], F_y, E, np.tile(span, len(tubes)), float(magnitude(question.P, "N")),
                   float(magnitude(question.w, "N/m")))
    shape = (len(tubes), span.size)
    found = {n: r.reshape(shape) for n, r in found.items()}
    stack = np.stack([found[c] for c in question.criteria])
    in_range = np.isfinite(stack).all(axis=0)
    worst = np.where(in_range, np.where(np.isnan(stack), -np.inf, stack).max(axis=0), np.nan)
    governs = np.where(np.isnan(stack), -np.inf, stack).argmax(axis=0)
    return Grid(question, tubes, Quantity(span, "m"), found, worst, governs, in_range,
                Quantity(sections.mass_per_length, "kg/m"))


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
    """Every tube for one span, lightest first, each with what governs it. Sway is not among the criteria: a tube
    that meets them says nothing about wobble. price: what tube costs, if the job says so."""
    grid = tubes_over_spans(question, tubes, span)
    rows = [_choice(grid, i) for i in range(len(grid.tubes))]
    if price is not None:
        rows = [replace(r, price=price.of(r.mass, span)) for r in rows]
    return Choices(question, span, tuple(sorted(rows, key=lambda r: (r.mass.magnitude, r.ratio or 0))))


def _choice(grid: Grid, i: int) -> Choice:
    tube, question = grid.tubes[i], grid.question
    mass = grid.mass_per_length[i] * grid.spans[0]
    state, verdict = grid.governing(i, 0), grid.verdict(i, 0)
    thin = question.least_wall is not None and tube.wall("nominal") < question.least_wall
    if verdict == OUTSIDE:
        return Choice(tube, verdict, None, state, "a wall too thin for the clause; take a thicker wall or a smaller tube", mass)
    ratio = float(grid.worst[i, 0])
    if verdict == WITHIN and thin:
        return Choice(tube, OVER, ratio, "wall", f"wall under the {show_wall(question.least_wall)} asked for", mass)
    over = [s for s in question.criteria if grid.ratios[s][i, 0] > 1]
    reason = ("meets " + ", ".join(question.criteria) if not over else
              "over in " + ", ".join(f"{s} ({ratio_text(float(grid.ratios[s][i, 0]))})" for s in over))
    return Choice(tube, verdict, ratio, state, reason, mass)


# --- the stretcher of a job ----------------------------------------------------------------------


def bar_question(job: Job, bar: LoadedBar) -> Question:
    """What a job asks of a bar loaded at its middle: strength, and the sag the job allows."""
    return Question("simple", bar.case.value, sag_part=job.model.limits.sag or DEFAULT_SAG, method=job.method)


def same_product(bar: LoadedBar) -> tuple[Tube, ...]:
    """The stock list in the product, and with the grade, that the bar is made of."""
    tube = bar.member.tube
    listed = stock_tubes(LISTED_AS.get(tube.product, tube.product) if tube.product != "unknown" else None)
    return tuple(replace(t, product=tube.product, grade=tube.grade) for t in listed)


def choice_check(job: Job, bar: LoadedBar) -> Check:
    """The lightest tube that meets the named criteria, beside the job's own: reported, never a pass."""
    question = bar_question(job, bar)
    choices = which_tube(question, bar.span, same_product(bar), job.model.prices.tube)
    best, below = choices.lightest, choices.below
    unit = "lb" if job.system == "inch" else "kg"
    if best is None:
        words = f"no {bar.member.tube.product} tube of the list meets {choices.criteria_words}: shorten the span or ask an engineer"
    else:
        words = (f"lightest {bar.member.tube.product} tube that meets {choices.criteria_words} (sag limit L/"
                 f"{1 / question.sag_part:.0f}): {best.tube.words}, used {ratio_text(best.ratio)}, {best.governs} governs"
                 + (f", {best.price}" if best.price else "")
                 + (f"; the next one down, {below.tube.words}, is {below.reason}" if below else "")
                 + "; wobble is not among the criteria")
    return Check(id=f"{bar.about}/lightest tube", name=f"{bar.words}: lightest tube", about=bar.about, kind="information",
                 verdict=REPORTED, demand=None if best is None else best.mass.to(unit), detail=words,
                 clause="strength by AISC 360-22 F7, F8, G4, G5; sag by the job's choice", source="aisc-360-22, F and G",
                 provenance=source_of("aisc-360-22").provenance, range=("ends free to turn, load in the middle, own weight added",),
                 assumed=("ends free to turn",))
