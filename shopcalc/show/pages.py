"""The pages of one table, as the notebooks turn them: each question is a call, and each call shows something.

    from shopcalc.show.pages import open_table
    table = open_table("jobs/archive_map_table.toml")
    table.at_a_glance()

Every number comes from the rooms below; every pictured number also stands in text.
"""

from __future__ import annotations

from functools import cached_property
from pathlib import Path

import numpy as np
from IPython.display import display

from shopcalc.assess import Assessment, assess
from shopcalc.check import Check
from shopcalc.show import answers, notebook
from shopcalc.show.controls import OverhangTipping, StretcherSag, TubeGauge
from shopcalc.show.notebook import Shown
from shopcalc.show.tables import list_html
from shopcalc.show.values import printed
from shopcalc.sources import cite, source_of
from shopcalc.stock.tubes import stock_tubes
from shopcalc.sweep import (
    Choices,
    Grid,
    Question,
    bar_question,
    same_product,
    tubes_over_spans,
    which_tube,
)
from shopcalc.table.job import load_job
from shopcalc.table.loadpath import LoadedBar, beam_of, loaded_bars
from shopcalc.units import Q, Quantity

# Tubes of the size table: squares and the bars that stretchers are made of, every wall of the rack.
SIZES = {"inch": (("1-1/2 in",), ("2 in",), ("2-1/2 in",), ("2 in", "1 in"), ("3 in", "1-1/2 in"), ("3 in", "2 in")),
         "mm": (("40 mm",), ("50 mm",), ("60 mm",), ("50 mm", "30 mm"), ("60 mm", "40 mm"), ("80 mm", "40 mm"))}
SPANS = {"inch": Q(np.array([36, 48, 60, 72, 84, 96, 108, 120.0]), "inch"),
         "mm": Q(np.array([900, 1200, 1500, 1800, 2100, 2400, 2700, 3000.0]), "mm")}


def open_table(path: str | Path) -> TablePages:
    """The table of a job file, assessed. Raises InputError for a job that cannot be used."""
    return TablePages(assess(load_job(path)))


def _show(*parts) -> None:
    for part in parts:
        display(part)


def sentences(*lines: str) -> Shown:
    """The answer in a sentence, set apart, and what has to be said with it."""
    first, *rest = lines
    plain = notebook._plain_markdown
    return Shown("\n".join(lines), markdown="\n\n".join([f"**{plain(first)}**", *map(plain, rest)]))


class TablePages:
    """One assessed table and the pages of it."""

    def __init__(self, assessment: Assessment):
        self.assessment = assessment
        self.job, self.geometry, self.system = assessment.job, assessment.geometry, assessment.job.system

    # --- at a glance

    def at_a_glance(self) -> None:
        """The table drawn, the answer in sentences, every check."""
        a = self.assessment
        _show(notebook.table(a), notebook.answer(a), notebook.checks(a))

    def not_checked(self) -> Shown:
        return notebook.not_checked(self.assessment)

    def assumed(self) -> Shown:
        return notebook.assumed(self.assessment)

    def cautions(self) -> Shown:
        return notebook.cautions(self.assessment)

    def working(self, id: str) -> None:
        """The worked step of a check, then its source, range, assumptions and cautions."""
        check = self.assessment.check(id)
        _show(notebook.worked(check, self.system), basis(check))

    # --- which tube

    @cached_property
    def _stretcher(self) -> LoadedBar:
        return next(b for b in loaded_bars(self.geometry, self.assessment.cases) if b.about == "stretcher")

    @cached_property
    def _question(self) -> Question:
        return bar_question(self.job, self._stretcher)

    @cached_property
    def _choices(self) -> Choices:
        return which_tube(self._question, self._stretcher.span, same_product(self._stretcher), self.job.model.prices.tube)

    @cached_property
    def _grid(self) -> Grid:
        sizes = SIZES[self.system]
        tubes = [t for t in same_product(self._stretcher) if t.size_words in sizes and t.shape != "round"]
        tubes.sort(key=lambda t: (sizes.index(t.size_words), -t.si[2]))
        return tubes_over_spans(self._question, tubes, SPANS[self.system])

    def tube_question(self) -> Shown:
        """What is asked of the stretcher, in words."""
        q, bar = self._question, self._stretcher
        return sentences(
            f"A stretcher {printed(bar.span, self.system, 'size')} between its supports carries {printed(q.P, self.system)} in the "
            f"middle and its own weight.",
            f"{bar.case.words[0].upper()}{bar.case.words[1:]}. Ends free to turn, the soft bound. Criteria: {', '.join(q.criteria)}; sag limit "
            f"L/{1 / q.sag_part:.0f}. Steel: {bar.member.tube.product}, yield {printed(bar.member.tube.steel.Fy, self.system, digits=3)}; "
            f"strength and sag from the wall that counts, mass from the wall that is bought.")

    def tube_picture(self):
        return notebook.region(self._grid, system=self.system)

    def tube_answer(self) -> Shown:
        """The lightest tube that meets the named criteria, why the next one down does not, and the list round it."""
        return notebook.choices(self._choices, system=self.system)

    def tube_table(self) -> Shown:
        return notebook.size_table(self._grid, system=self.system)

    @cached_property
    def tube_control(self) -> TubeGauge:
        tube, q = self._stretcher.member.tube, self._question
        return answers.tube_gauge(stock_tubes(), ends=q.ends, sag_part=q.sag_part, system=self.system, start={
            "product": tube.product, "size": f"{tube.shape} {' x '.join(tube.size_words)}", "wall": tube.wall_word})

    # --- stretcher sag

    @cached_property
    def _held(self):
        bar = self._stretcher
        return beam_of(bar.member, "fixed", bar.span, bar.beam.loads)

    def sag_picture(self):
        bar = self._stretcher
        return notebook.beam(bar.beam, supports=Quantity(np.array([0.0, bar.member.length]), "m"),
                             limit=bar.span * self._question.sag_part, system=self.system, title="Ends free to turn")

    def sag_answer(self) -> Shown:
        """How far the stretcher sags, between its soft and its stiff bound."""
        bar = self._stretcher
        soft, stiff = (line.largest("sag", "down")[0] for line in (bar.beam, self._held))
        limit = bar.span * self._question.sag_part
        soft_words, stiff_words, limit_words = (printed(s, self.system, "sag") for s in (soft, stiff, limit))
        return sentences(
            f"Under {printed(bar.case.value, self.system)} in the middle the stretcher sags between {stiff_words} (ends built in) and "
            f"{soft_words} (ends free to turn).",
            f"The soft bound is {'within' if soft <= limit else 'over'} the {limit_words} allowed (L/{1 / self._question.sag_part:.0f}, "
            f"a choice). The welded frame lies between the bounds.")

    def sag_working(self) -> None:
        """Both bounds, load by load."""
        middle = self._stretcher.span / 2
        _show(sentences("Ends free to turn"), notebook.worked(self._stretcher.beam.worked("sag", middle, self.system), self.system),
              sentences("Ends built in"), notebook.worked(self._held.worked("sag", middle, self.system), self.system),
              basis(self.assessment.check("stretcher/sag")))

    @cached_property
    def sag_control(self) -> StretcherSag:
        own = self._stretcher.member.tube
        tubes = list(self._grid.tubes)
        return answers.stretcher_sag(tubes, sag_part=self._question.sag_part, system=self.system,
                                     start={"tube": own.words} if own.words in [t.words for t in tubes] else None)

    # --- overhang and tipping

    def tipping_picture(self):
        return notebook.goes_over(self.assessment, self.assessment.cases["person-stability"].value)

    def tipping_answer(self) -> Shown:
        """The worst stability case of the whole table."""
        found = [c for c in self.assessment.checks if c.kind == "stability"]
        worst = max(found, key=lambda c: c.ratio)
        return sentences(
            f"Nearest to going over: {worst.case}: righting over overturning {printed(worst.limit, self.system)}, "
            f"{printed(worst.demand, self.system)} asked.",
            f"The table {worst.detail}. The top reaches {printed(Quantity(self.geometry.overhang, 'm'), self.system, 'size')} beyond the "
            "trestles. A foot lifts before the table goes over: that is not computed yet.")

    def tipping_table(self) -> Shown:
        return notebook.checks(self.assessment, "whole table")

    @cached_property
    def tipping_control(self) -> OverhangTipping:
        return answers.overhang_tipping(self.job)


def basis(check: Check) -> Shown:
    """What an answer stands on: source with how it was read, range, what was assumed, cautions."""
    lines = [f"Source: {cite(check.source)} ({source_of(check.source).provenance})"]
    lines += [f"Holds for: {r}" for r in check.range] + [f"Assumed: {a}" for a in check.assumed]
    lines += [f"Caution: {c}" for c in check.cautions]
    return Shown("\n".join(f"* {line}" for line in lines), html=list_html(lines))
