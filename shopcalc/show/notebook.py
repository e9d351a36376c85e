"""What a notebook cell calls: one table, its questions, each shown as picture, answer, worked step, sources.

    from shopcalc.show.notebook import open_table
    table = open_table("jobs/archive_map_table.toml")
    table.at_a_glance()

Nothing is calculated here that the rooms below do not calculate; every pictured number also stands in the text.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property
from html import escape
from pathlib import Path

import numpy as np
from IPython.display import HTML, display

from shopcalc.assess import Assessment, assess
from shopcalc.check import OUTSIDE, OVER, WITHIN, Check, ratio_text
from shopcalc.mechanics.beams import Even, Point
from shopcalc.show import tables
from shopcalc.show.canvas import Picture
from shopcalc.show.controls import OverhangTipping, StretcherSag, TubeGauge
from shopcalc.show.drawing import general_view
from shopcalc.show.mathml import worked_html
from shopcalc.show.pictures import beam_diagrams, feasible_region, tipping_map
from shopcalc.show.values import printed
from shopcalc.sources import cite, source_of
from shopcalc.stock.tubes import Tube, stock_tubes
from shopcalc.sweep import Choices, Grid, Question, tubes_over_spans, which_tube
from shopcalc.table.checks import DEFAULT_SAG, UNITS
from shopcalc.table.geometry import Geometry, build
from shopcalc.table.job import load_job, vary
from shopcalc.table.loadpath import LoadedBar, beam_of, loaded_bars, weight_per_length
from shopcalc.table.stability import (
    body_of,
    edge_words,
    goes_over_map,
    standing_cases,
    weakest_place,
)
from shopcalc.units import Q, Quantity, number, show, show_length, show_sag, show_wall

# Tubes of the size table: the squares and the bars that stretchers are made of, all walls of the rack.
TABLE_SIZES = (("1-1/2 in",), ("2 in",), ("2-1/2 in",), ("2 in", "1 in"), ("3 in", "1-1/2 in"), ("3 in", "2 in"))
TABLE_SIZES_MM = (("40 mm",), ("50 mm",), ("60 mm",), ("50 mm", "30 mm"), ("60 mm", "40 mm"), ("80 mm", "40 mm"))
HOW_HELD = {"free to turn (soft bound)": "simple", "held (stiff bound)": "fixed"}
LEVELS = {"inch": (0, 100, 200, 300, 500, 800, 1200, 2000), "mm": (0, 400, 800, 1300, 2000, 3500, 5000, 9000)}
# Steps of the span control, and the step it starts at.
STEPS = {"inch": Q(np.arange(36, 121, 4.0), "inch"), "mm": Q(np.arange(900, 3001, 100.0), "mm")}
START = {"inch": 10, "mm": 9}
SPANS = {"inch": Q(np.array([36, 48, 60, 72, 84, 96, 108, 120.0]), "inch"),
         "mm": Q(np.array([900, 1200, 1500, 1800, 2100, 2400, 2700, 3000.0]), "mm")}


def open_table(path: str | Path) -> TablePage:
    """The table of a job file, ready to be asked. Raises InputError for a job that cannot be used."""
    return TablePage(assess(load_job(path)))


def _show(*parts) -> None:
    for part in parts:
        display(HTML(part) if isinstance(part, str) else part)


def answer(text: str) -> str:
    """The answer in a sentence, set apart."""
    return f'<p style="font-size:1.15em;margin:0.4em 0"><b>{escape(text)}</b></p>'


def small(text: str) -> str:
    return f'<p style="margin:0.3em 0">{escape(text)}</p>'


class TablePage:
    """One assessed table and the pages of it."""

    def __init__(self, assessment: Assessment):
        self.assessment = assessment
        self.job, self.geometry = assessment.job, assessment.geometry
        self.system = self.job.system

    # --- 00: at a glance

    def at_a_glance(self) -> None:
        """The table drawn, what was checked in a sentence, and every check."""
        found = self.assessment
        _show(general_view(self.geometry, self.system),
              answer(" ".join(tables.summary(found.checks, found.not_checked))), tables.checks_html(found))

    def not_checked(self) -> None:
        """What the kit does not answer for this table."""
        _show(tables.list_html(tables.question_text(q, w) for q, w in self.assessment.not_checked))

    def cautions(self) -> None:
        _show(tables.list_html(self.assessment.cautions))

    def assumed(self) -> None:
        """Every value that nobody gave, and what stands in its place."""
        rows = [[r.field, r.value, r.tag, r.source] for r in self.assessment.resolved]
        _show(tables.table_html(["left out of the job", "what stands in its place", "tag", "source"], rows))

    # --- one check with its working

    def working(self, id: str) -> None:
        """The worked lines of a check, its sources, range and cautions."""
        check = self.assessment.check(id)
        _show(small(f"{check.name}: {check.case}." if check.case else f"{check.name}."),
              "".join(worked_html(line) for line in check.lines()), sources_html(check))

    # --- 01: which tube

    @cached_property
    def _stretcher(self) -> LoadedBar:
        return next(b for b in loaded_bars(self.geometry, self.assessment.cases) if b.about == "stretcher")

    @cached_property
    def _question(self) -> Question:
        return Question("simple", self._stretcher.case.value, sag_part=self.job.model.limits.sag or DEFAULT_SAG,
                        method=self.job.method)

    @cached_property
    def _stock(self) -> tuple[Tube, ...]:
        """The stock list in the job's product, with its grade."""
        return stock_tubes(self._stretcher.member.tube.product)

    @cached_property
    def _choices(self) -> Choices:
        return which_tube(self._question, self._stretcher.span, self._stock)

    @cached_property
    def _grid(self) -> Grid:
        sizes = TABLE_SIZES if self.system == "inch" else TABLE_SIZES_MM
        tubes = [t for t in self._stock if t.size_words in sizes and t.shape != "round"]
        tubes.sort(key=lambda t: (sizes.index(t.size_words), -t.si[2]))
        return tubes_over_spans(self._question, tubes, SPANS[self.system])

    def tube_question(self) -> None:
        """What is asked of the stretcher, in words."""
        q, bar = self._question, self._stretcher
        _show(small(
            f"A stretcher {show_length(bar.span, self.system)} between its supports, its ends free to turn (the soft bound), "
            f"carries {show(q.P, UNITS[self.system]['force'])} in the middle ({bar.case.words}) and its own weight. Criteria: "
            f"{', '.join(q.criteria)}; sag limit L/{1 / q.sag_part:.0f}. Steel: {bar.member.tube.product}, yield "
            f"{printed(bar.member.tube.steel.Fy, self.system)}, counted wall as designed, mass from the nominal wall."))

    def tube_answer(self) -> None:
        """The lightest tube that meets the named criteria, why the next one down does not, and the table's own tube."""
        choices = self._choices
        best, below = choices.lightest, choices.below
        own = next((r for r in choices.rows if r.tube.si == self._stretcher.member.tube.si), None)
        if best is None:
            _show(answer(f"No tube of the list meets {choices.criteria_words} over this span: shorten it or ask an engineer."))
            return
        lines = [f"Lightest that meets {choices.criteria_words}: {best.tube.words} ({self._mass(best)}, used "
                 f"{ratio_text(best.ratio)}, {best.governs} governs)."]
        if below is not None:
            lines.append(f"The next one down, {below.tube.words} ({self._mass(below)}), is {below.reason}.")
        if own is not None:
            lines.append(f"The tube of the job, {own.tube.words} ({self._mass(own)}): {own.reason}, used {ratio_text(own.ratio)}.")
        lines.append("Wobble is not among the criteria: a tube named here says nothing about it.")
        _show(answer(lines[0]), *map(small, lines[1:]))

    def tube_picture(self) -> None:
        """Tubes against spans: what is used, hatched where it is over."""
        grid = self._grid
        picture = feasible_region([short_words(t) for t in grid.tubes], grid.spans, grid.worst, grid.verdicts,
                                  grid.governing_names, system=self.system)
        _show(picture)

    def tube_table(self) -> None:
        """The size table: used share and what governs, for every tube and span of the picture."""
        grid = self._grid
        rows = []
        for i, tube in enumerate(grid.tubes):
            cells = [short_words(tube)]
            for j in range(grid.worst.shape[1]):
                cells.append(OUTSIDE if grid.verdict(i, j) == OUTSIDE else
                             f"{ratio_text(float(grid.worst[i, j]))} {grid.governing(i, j)}"
                             + ("" if grid.verdict(i, j) == WITHIN else " OVER"))
            rows.append(cells)
        head = ["tube", *(show_length(s, self.system) for s in grid.spans)]
        _show(tables.table_html(head, rows))

    def tube_list(self, most: int = 12) -> None:
        """Tubes round the answer, lightest first, each with its reason."""
        rows = self._choices.rows
        best = self._choices.lightest
        middle = rows.index(best) if best in rows else 0
        part: Sequence = rows[max(0, middle - most // 2): middle + most // 2]
        _show(tables.table_html(["tube", "mass", "used", "verdict", "why"],
                                [[r.tube.words, self._mass(r), "-" if r.ratio is None else ratio_text(r.ratio), r.verdict, r.reason]
                                 for r in part]))

    def _mass(self, row) -> str:
        return show(row.mass, UNITS[self.system]["mass"], 3)

    @cached_property
    def tube_control(self) -> TubeGauge:
        """Choose product, size, wall, span and load; see what is used and what governs."""
        bar, inch = self._stretcher, self.system == "inch"
        stock: dict[str, dict[str, list[str]]] = {}
        words: dict[tuple[str, str, str], Tube] = {}
        for tube in stock_tubes():
            size = " x ".join(tube.size_words) + f" {tube.shape}"
            stock.setdefault(tube.product, {}).setdefault(size, []).append(tube.wall_word)
            words[tube.product, size, tube.wall_word] = tube

        def ask(product, size, wall, span, load):
            tube = words[product, size, wall]
            grid = tubes_over_spans(replace(self._question, P=load), [tube], span)
            ratios = [float(grid.ratios[c][0, 0]) for c in grid.question.criteria]
            verdicts = [OUTSIDE if np.isnan(r) else OVER if r > 1 else WITHIN for r in ratios]
            verdict = grid.verdict(0, 0)
            lines = [f"{tube.words} over {show_length(span, self.system)}: {verdict}"
                     + (f", used {ratio_text(float(grid.worst[0, 0]))}, {grid.governing(0, 0)} governs."
                        if verdict != OUTSIDE else ": the wall is too thin for the clause.")]
            lines.append(f"Mass {show(grid.mass_per_length[0] * span, UNITS[self.system]['mass'], 3)}; wall counted "
                         f"{show_wall(tube.wall('design'), self.system)}. Ends free to turn; wobble is not asked here.")
            return "\n".join(lines), {"names": list(grid.question.criteria),
                                      "ratios": [None if np.isnan(r) else r for r in ratios], "verdicts": verdicts}

        tube = bar.member.tube
        return TubeGauge(ask, stock=stock, spans=STEPS[self.system], system=self.system,
                         loads=Q(np.arange(50, 601, 50.0), "lbf") if inch else Q(np.arange(250, 3001, 250.0), "N"),
                         start={"product": tube.product, "size": " x ".join(tube.size_words) + f" {tube.shape}",
                                "wall": tube.wall_word, "span": STEPS[self.system][START[self.system]], "load": self._start_load})

    @property
    def _start_load(self):
        return self._question.P if self.system == "inch" else Q(1250.0, "N")

    # --- 02: stretcher sag

    def sag_answer(self) -> None:
        """How far the stretcher sags, between its soft and its stiff bound."""
        soft, stiff = self._bounds()
        limit = self._stretcher.span * (self.job.model.limits.sag or DEFAULT_SAG)
        word = "within" if soft <= limit else "over"
        _show(answer(
            f"Under {show(self._stretcher.case.value, UNITS[self.system]['force'])} in the middle the stretcher sags between "
            f"{show_sag(stiff, self.system)} (ends held) and {show_sag(soft, self.system)} (ends free to turn); the soft bound is "
            f"{word} the limit of {show_sag(limit, self.system)}."))

    def _bounds(self):
        bar = self._stretcher
        soft, _ = bar.beam.largest("sag", "down")
        return soft, self._held().largest("sag", "down")[0]

    def _held(self):
        bar = self._stretcher
        return beam_of(bar.member, "fixed", bar.span, bar.beam.loads)

    def sag_picture(self) -> None:
        bar = self._stretcher
        stations = bar.beam.stations()
        limit = bar.span * (self.job.model.limits.sag or DEFAULT_SAG)
        _show(beam_diagrams(stations, bar.beam.sag(stations), bar.beam.moment(stations), limit=limit, system=self.system,
                            supports=Quantity(np.array([0.0, bar.member.length]), "m"), title="Stretcher, ends free to turn"))

    def sag_working(self) -> None:
        """Both bounds worked, load by load."""
        bar = self._stretcher
        middle = bar.span / 2
        _show(small("Ends free to turn:"), *("".join(worked_html(w) for w in bar.beam.worked("sag", middle, self.system)),),
              small("Ends held (both ends built in, the stiff bound):"),
              "".join(worked_html(w) for w in self._held().worked("sag", middle, self.system)),
              sources_html(self.assessment.check("stretcher/sag")))

    @cached_property
    def sag_control(self) -> StretcherSag:
        """Choose tube, ends, span and load; see the sagged shape beside the limit."""
        bar, inch = self._stretcher, self.system == "inch"
        tubes = {short_words(t): t for t in self._grid.tubes}
        part = self._question.sag_part
        own = short_words(bar.member.tube)

        def ask(tube, ends, span, load):
            member = replace(bar.member, tube=tubes[tube])
            beam = beam_of(member, HOW_HELD[ends], span,
                           [Even(weight_per_length(member), name="own weight"), Point(load, span / 2, name="load")])
            stations = beam.stations(61)
            sag, at = beam.largest("sag", "down")
            limit = span * part
            word = "within" if sag <= limit else "over"
            return (f"Sag {show_sag(sag, self.system)} at {show_length(at, self.system)}: {word} the limit of "
                    f"{show_sag(limit, self.system)} (L/{1 / part:.0f}).\n{tube}, ends {ends}; own weight counted.",
                    {"stations": stations, "values": beam.sag(stations), "limit": limit,
                     "supports": Quantity(np.array([0.0, 1.0]), "") * span})

        return StretcherSag(ask, tubes=list(tubes), ends=list(HOW_HELD), spans=STEPS[self.system], system=self.system,
                            loads=Q(np.arange(50, 601, 50.0), "lbf") if inch else Q(np.arange(250, 3001, 250.0), "N"),
                            start={"tube": own if own in tubes else None, "span": STEPS[self.system][START[self.system]],
                                   "load": self._start_load})

    # --- 03: overhang and tipping

    def tipping_answer(self) -> None:
        """Where and at what load the table goes over, and the worst stability case."""
        body = body_of(self.geometry)
        x, y, load = goes_over_map(self.geometry, body)
        wx, wy, least = weakest_place(x, y, load)
        worst = min(standing_cases(self.geometry, body, self.assessment.cases, self._slope), key=lambda s: s.ratio)
        unit = UNITS[self.system]["force"]
        over = self.geometry.overhang
        _show(answer(f"On a level floor the table goes over first under {show(Quantity(least, 'N'), unit)} at "
                     f"{self._place(wx, wy)}; the top reaches {show_length(Quantity(over, 'm'), self.system)} beyond the trestles."),
              small(f"Worst stability case: {worst.case.words}, {worst.where}: righting over overturning {number(worst.ratio, 3)}, "
                    f"about {edge_words(body, worst.edge)}."),
              small("A foot lifts earlier than the table goes over: that is not computed yet. A load that goes on slowly is not a person "
                    "who drops onto the edge."))

    @property
    def _slope(self) -> float:
        slope = self.job.model.floor.slope
        return 0.0 if slope is None else float(slope.to("").magnitude)

    def _place(self, x: float, y: float) -> str:
        top = self.geometry.top
        corner = abs(abs(x) - top.length / 2) < 1e-9 and abs(abs(y) - top.width / 2) < 1e-9
        if corner:
            return "a corner"
        return "an end" if abs(abs(x) - top.length / 2) < 1e-9 else "a long side"

    def tipping_picture(self) -> None:
        _show(self._tipping_picture(self.geometry))

    def _tipping_picture(self, geometry) -> Picture:
        return tipping_map(**self._map_data(geometry, self.assessment.cases["person-stability"].value), system=self.system,
                           levels=LEVELS[self.system])

    def _map_data(self, geometry: Geometry, needed) -> dict:
        body = body_of(geometry)
        x, y, load = goes_over_map(geometry, body)
        wx, wy, least = weakest_place(x, y, load)
        feet = [(name, Quantity(geometry.points[name][0], "m"), Quantity(geometry.points[name][1], "m")) for name in geometry.feet]
        weakest = (Quantity(wx, "m"), Quantity(wy, "m"), Quantity(least, "N"), self._place(wx, wy))
        return {"x": Quantity(x, "m"), "y": Quantity(y, "m"), "load": Quantity(load, "N"), "feet": feet, "weakest": weakest,
                "needed": needed}

    @cached_property
    def tipping_control(self) -> OverhangTipping:
        """Choose how far the top reaches beyond the trestles, how far the feet stand in, and a load."""
        inch = self.system == "inch"
        unit = "inch" if inch else "mm"
        top, base = self.job.model.top, self.job.model.base
        overhangs = Q(np.arange(6, 43, 3.0), "inch") if inch else Q(np.arange(150, 1051, 75.0), "mm")
        insets = Q(np.arange(1.5, 10.1, 0.5), "inch") if inch else Q(np.arange(40, 261, 20.0), "mm")
        loads = Q(np.arange(50, 601, 50.0), "lbf") if inch else Q(np.arange(250, 3001, 250.0), "N")

        def ask(overhang, inset, load):
            job = vary(self.job, {
                "base.trestles.apart": _plain(top.length - 2 * overhang, unit),
                "base.trestles.foot.length": _plain(top.width - 2 * inset + 2 * base.feet.from_end, unit)})
            data = self._map_data(build(job), load)
            wx, wy, least, where = data["weakest"]
            word = "does not tip" if least > load else "tips"
            return (f"Goes over first under {show(least, UNITS[self.system]['force'])} at {where}: "
                    f"{show(load, UNITS[self.system]['force'])} {word} it.\nLevel floor, no push, rigid table; a foot lifts earlier.", data)

        return OverhangTipping(ask, overhangs=overhangs, insets=insets, loads=loads, system=self.system,
                               largest=(top.length / 2, top.width / 2), levels=LEVELS[self.system],
                               start={"overhang": overhangs[6], "inset": insets[8], "load": self._start_load})

    def tipping_table(self) -> None:
        """Every stability case of the whole table."""
        checks = [c for c in self.assessment.checks if c.kind == "stability"]
        _show(tables.rows_html([tables.check_row(c, self.system) for c in checks]))


def _plain(length, unit: str) -> str:
    """A length as text that the job reader takes."""
    return f"{float(length.to(unit).magnitude):.6f} {'in' if unit == 'inch' else 'mm'}"


def short_words(tube: Tube) -> str:
    """A tube without its product: 2 in x 11 ga square."""
    return " x ".join((*tube.size_words, tube.wall_word)) + ("" if tube.shape == "rectangular" else f" {tube.shape}")


def sources_html(check: Check) -> str:
    """Source with provenance, range, what was assumed, cautions of one check."""
    source = source_of(check.source)
    lines = [f"Source: {cite(check.source)} ({source.provenance}). {check.clause}."]
    lines += [f"Holds for: {r}." for r in check.range]
    lines += [f"Assumed: {a}." for a in check.assumed]
    lines += [f"Caution: {c}." for c in check.cautions]
    return tables.list_html(lines)
