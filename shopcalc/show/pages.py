"""The pages of one table, as the notebooks turn them: each question is a call, and each call shows something.

    from shopcalc.show.pages import open_table
    table = open_table("jobs/archive_map_table.toml")
    table.drawing()

Every number comes from the rooms below; every pictured number also stands in text.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from pathlib import Path

import numpy as np
import pint
from IPython.display import display

from shopcalc.assess import Assessment, assess
from shopcalc.check import Check, envelope, ratio_text, severity
from shopcalc.errors import InputError
from shopcalc.show import answers, notebook
from shopcalc.show.canvas import Picture
from shopcalc.show.controls import OverhangTipping, StretcherSag, TubeGauge
from shopcalc.show.notebook import Shown, caption, sentences
from shopcalc.show.places_picture import places_picture
from shopcalc.show.tables import list_html, range_text
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
from shopcalc.table.checks import standing_checks
from shopcalc.table.frame_cases import frame_cases
from shopcalc.table.frame_checks import SAG_IDS, sag_checks
from shopcalc.table.frame_solve import solve_service
from shopcalc.table.geometry import build
from shopcalc.table.job import Job, load_job
from shopcalc.table.loadpath import LoadedBar, loaded_stretchers
from shopcalc.table.loads import load_cases
from shopcalc.table.names import in_words
from shopcalc.table.stability import body_of
from shopcalc.table.use_checks import places_of, use_checks
from shopcalc.units import Q, Quantity

# Tubes of the size table: squares and the bars that stretchers are made of, every wall of the rack.
SIZES = {
    "inch": (("1-1/2 in",), ("2 in",), ("2-1/2 in",),
             ("2 in", "1 in"), ("3 in", "1-1/2 in"), ("3 in", "2 in")),
    "mm": (("40 mm",), ("50 mm",), ("60 mm",),
           ("50 mm", "30 mm"), ("60 mm", "40 mm"), ("80 mm", "40 mm")),
}
SPANS = {"inch": Q(np.array([36, 48, 60, 72, 84, 96, 108, 120.0]), "inch"),
         "mm": Q(np.array([900, 1200, 1500, 1800, 2100, 2400, 2700, 3000.0]), "mm")}


def open_table(path: str | Path) -> TablePages:
    """The table of a job file. Raises InputError for a job that cannot be used."""
    return TablePages(load_job(path))


def _show(*parts) -> None:
    for part in parts:
        display(part)


def _captioned(picture: Picture, words: str = "") -> None:
    """A picture, and under it in words what it shows."""
    _show(picture, caption(words or picture.caption.splitlines()[0]))


class TablePages:
    """One table and the pages of it. The whole frame is worked out only where a page asks for it."""

    def __init__(self, job: Job):
        self.job, self.system = job, job.system
        self.geometry = build(job)
        self.cases = load_cases(job.overrides, public_use=job.model.settings.public_use)

    @cached_property
    def assessment(self) -> Assessment:
        return assess(self.job)

    @cached_property
    def standing(self) -> tuple[Check, ...]:
        """The stability cases of the whole table: they need no frame."""
        return tuple(envelope(standing_checks(self.job, self.geometry, body_of(self.geometry), self.cases)))

    def check(self, id: str) -> Check:
        """One check by its id, worked out alone where that can be. KeyError where there is none."""
        if id == "stretcher/sag":
            return self._frame_sag
        return next((c for c in self.standing if c.id == id), None) or self.assessment.check(id)

    def _say(self, quantity, role: str = "") -> str:
        return printed(quantity, self.system, role)

    # --- at a glance

    def opened(self) -> Shown:
        """Which table this is."""
        return notebook.opened(self.job)

    def drawing(self) -> None:
        """The table drawn: plan, front and end."""
        _captioned(notebook.table(self.assessment))

    def answer(self) -> Shown:
        """How many checks hold, what does not, what comes nearest."""
        return notebook.answer(self.assessment)

    def checks(self) -> Shown:
        """Every check, by the member, joint or piece it is about."""
        return notebook.checks(self.assessment)

    def not_checked(self) -> Shown:
        return notebook.not_checked(self.assessment)

    def assumed(self) -> Shown:
        return notebook.assumed(self.assessment)

    def sources(self) -> Shown:
        return notebook.sources(self.assessment)

    def cautions(self) -> Shown:
        return notebook.cautions(self.assessment)

    def working(self, id: str) -> Shown:
        """The worked step of a check."""
        return notebook.worked(self.check(id), self.system)

    def basis(self, *ids: str) -> Shown:
        """What checks stand on: sources and how they were read, range, what was assumed, cautions."""
        return basis([self.check(id) for id in ids], self.system)

    # --- which tube

    @cached_property
    def _stretcher(self) -> LoadedBar:
        bar = next(loaded_stretchers(self.geometry, self.cases), None)
        if bar is None:
            raise InputError(field="base.stretcher", value=None,
                             need="a table with a stretcher: this page asks about it",
                             example='open_table("jobs/archive_map_table.toml")')
        return bar

    @cached_property
    def _question(self) -> Question:
        return bar_question(self.job, self._stretcher)

    @cached_property
    def _choices(self) -> Choices:
        return which_tube(self._question, self._stretcher.span, same_product(self._stretcher),
                          self.job.model.prices.tube)

    @cached_property
    def _grid(self) -> Grid:
        sizes = SIZES[self.system]
        tubes = [t for t in same_product(self._stretcher) if t.size_words in sizes and t.shape != "round"]
        tubes.sort(key=lambda t: (sizes.index(t.size_words), -t.si[2]))
        return tubes_over_spans(self._question, tubes, SPANS[self.system])

    def tube_picture(self) -> None:
        """Tubes against spans: what is used, hatched where it is over."""
        _captioned(notebook.region(self._grid, system=self.system),
                   f"Used share of the limit that governs, under {self._say(self._question.P)} in the "
                   "middle and the own weight of the tube. Hatched: over a limit. The table further down "
                   "says which.")

    def tube_answer(self) -> Shown:
        """The lightest tube that meets the named criteria, why the next one down does not, the job's own."""
        words = notebook.choice_words(self._choices, system=self.system).plain.splitlines()
        own = self._stretcher.member.tube
        row = next((r for r in self._choices.rows if r.tube.si == own.si), None)
        if row is not None:
            used = "" if row.ratio is None else f", used {ratio_text(row.ratio)}"
            words.insert(-1, f"The tube of the job, {notebook.short_words(own)} ({self._say(row.mass)}): "
                             f"{row.reason}{used}.")
        return sentences(*words)

    def tube_question(self) -> Shown:
        """What is asked of the stretcher, in words."""
        q, bar = self._question, self._stretcher
        return caption(
            f"Asked: {self._say(bar.span, 'size')} between the supports, ends free to turn (the soft bound), "
            f"{self._say(q.P)} in the middle ({bar.case.words}) and the own weight. Criteria: "
            f"{', '.join(q.criteria)}; sag limit L/{1 / q.sag_part:.0f}.\n"
            f"Steel: {bar.member.tube.product}, yield "
            f"{printed(bar.member.tube.steel.Fy, self.system, digits=3)}. Strength and sag from the wall "
            "that is counted, mass from the wall that is bought.")

    def tube_list(self) -> Shown:
        """The tubes next to the answer, lightest first, each with its reason."""
        return notebook.choice_list(self._choices, system=self.system)

    def tube_table(self) -> Shown:
        """Used share and what governs, every tube of the picture over every span."""
        return notebook.size_table(self._grid, system=self.system)

    @cached_property
    def _by_hand(self) -> tuple[Check, ...]:
        return answers.hand_checks(self._stretcher, self._question, self.system)

    def tube_working(self) -> None:
        """Bending and sag of the job's own tube, worked as the table takes them."""
        _show(*(notebook.worked(check, self.system) for check in self._by_hand))

    def tube_basis(self) -> Shown:
        """What these numbers stand on."""
        return basis(self._by_hand, self.system)

    @cached_property
    def tube_control(self) -> TubeGauge:
        bar, q = self._stretcher, self._question
        tube, stock = bar.member.tube, stock_tubes()
        words = answers.tube_words(stock)
        own = {"product": tube.product, "size": f"{tube.shape} {' x '.join(tube.size_words)}",
               "wall": tube.wall_word}
        listed = own["wall"] in words.get(own["product"], {}).get(own["size"], {})
        return answers.tube_gauge(stock, ends=q.ends, sag_part=q.sag_part, system=self.system,
                                  start={"span": bar.span, "load": q.P, **(own if listed else {})})

    # --- stretcher sag

    @cached_property
    def _frame_sag(self) -> Check:
        every = list(frame_cases(self.geometry, self.cases))
        solved = list(solve_service(self.job, self.geometry, every, SAG_IDS))
        found = {c.id: c for c in sag_checks(self.job, self.geometry, solved, self.cases)}
        return found[f"{self._stretcher.about}/sag"]

    def sag_picture(self) -> None:
        """Sag and moment along the stretcher, ends free to turn."""
        bar = self._stretcher
        _captioned(notebook.beam(bar.beam, supports=Quantity(np.array([0.0, bar.member.length]), "m"),
                                 limit=bar.span * self._question.sag_part, system=self.system,
                                 title="By hand, ends free to turn"))

    def sag_answer(self) -> Shown:
        """How far the stretcher sags: in the frame, and by hand as one straight bar."""
        bar, frame = self._stretcher, self._frame_sag
        soft, stiff = (line.largest("sag", "down")[0] for line in (bar.beam, bar.held))
        lines = [f"In the frame the stretcher sags {self._say(frame.demand, 'sag')} under "
                 f"{self._say(bar.case.value)} in its middle: {frame.verdict}, used "
                 f"{ratio_text(frame.ratio)} of the {self._say(frame.limit, 'sag')} allowed "
                 f"(L/{1 / self._question.sag_part:.0f}, a choice).",
                 f"By hand, as one straight bar: {self._say(stiff, 'sag')} with its ends built in, "
                 f"{self._say(soft, 'sag')} with its ends free to turn."]
        if frame.demand > soft:
            lines.append("The frame gives more than the bar by hand: what carries the stretcher stands a "
                         "little beyond the ends of the bar, and leans with it.")
        return sentences(*lines)

    def sag_working(self) -> None:
        """Both bounds, load by load."""
        middle = self._stretcher.span / 2
        bounds = (("Ends free to turn", self._stretcher.beam), ("Ends built in", self._stretcher.held))
        for words, line in bounds:
            _show(sentences(words), notebook.worked(line.worked("sag", middle, self.system), self.system))

    @cached_property
    def sag_control(self) -> StretcherSag:
        bar = self._stretcher
        own, tubes = bar.member.tube, list(self._grid.tubes)
        if own.words not in [t.words for t in tubes]:
            tubes.insert(0, own)
        return answers.stretcher_sag(tubes, sag_part=self._question.sag_part, system=self.system,
                                     start={"tube": own.words, "span": bar.span, "load": bar.case.value})

    # --- overhang and tipping

    @cached_property
    def _tipping(self) -> tuple[pint.Quantity, str]:
        load = self.cases["person-stability"].value
        return load, answers.map_answer(self.job, self.geometry, load)[0]

    def tipping_picture(self) -> None:
        """Over the plan of the top: the load that, put there, turns the table over."""
        _captioned(notebook.goes_over(self, self._tipping[0]))

    def lifting_picture(self) -> None:
        """Over the plan of the top: the load that, put there, lifts the first foot."""
        _captioned(notebook.goes_over(self, self._tipping[0], "a foot lifts"))

    def places_picture(self) -> None:
        """Seats, knees and wheelchairs over the plan, with the bars that they meet."""
        _captioned(places_picture(self.geometry, places_of(self.job, self.geometry), self.job.system))

    def states_table(self) -> Shown:
        """Pieces, stages, floor and people: every check of the table in use."""
        return notebook.check_table(self.in_use, self.system)

    @cached_property
    def in_use(self) -> tuple[Check, ...]:
        return tuple(use_checks(self.job, self.geometry, self.cases))

    def tipping_answer(self) -> Shown:
        """Where the table goes over first, its worst stability case, and how far the top may reach."""
        worst = max(self.standing, key=severity)
        has = "" if worst.limit is None else f", has {self._say(worst.limit)}"
        first, second, *_ = self._tipping[1].splitlines()
        verdict, over = first.split(": ", 1)
        lines = [f"The table {over}", f"{verdict}: {second.replace(': ', ', ', 1)}",
                 f"Worst of the stability cases: {worst.case}. Righting over overturning needs "
                 f"{self._say(worst.demand)}{has}: {worst.verdict}, used {ratio_text(worst.ratio)}."]
        reach = answers.furthest_reach(self.job, self.cases)
        if reach is not None:
            lines.append(f"The top reaches {self._say(reach.now, 'size')} beyond the feet at the ends. "
                         + reach.words(self.system))
        lifts = next(c for c in self.in_use if c.id == "feet/lift")
        return sentences(*lines, f"{lifts.detail[:1].upper()}{lifts.detail[1:]}: the table rocks before it goes over.")

    def tipping_table(self) -> Shown:
        """Every stability case of the whole table."""
        return notebook.check_table(self.standing, self.system)

    @cached_property
    def tipping_control(self) -> OverhangTipping:
        return answers.overhang_tipping(self.job, start={"load": self._tipping[0]})


def basis(checks: Sequence[Check], system: str) -> Shown:
    """What checks stand on, each line once."""
    found: dict[str, None] = {}
    for check in checks:
        found[f"Source: {cite(check.source)} ({source_of(check.source).provenance})."] = None
    for check in checks:
        found.update(dict.fromkeys(f"Holds for: {range_text((text,), system).rstrip('.')}." for text in check.range))
    for word, field in (("Assumed", "assumed"), ("Caution", "cautions")):
        for check in checks:
            found.update(dict.fromkeys(f"{word}: {in_words(text).rstrip('.')}." for text in getattr(check, field)))
    return Shown("\n".join(f"* {line}" for line in found), html=list_html(found))
