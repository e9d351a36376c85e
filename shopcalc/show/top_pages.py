"""The page of the question: does the top sag, and does its overhang droop?

    from shopcalc.show.top_pages import open_top
    table = open_top("jobs/archive_map_table.toml")
    table.states_picture()
"""

from __future__ import annotations

from functools import cached_property
from pathlib import Path

import numpy as np
import pint
from IPython.display import display

from shopcalc.check import Check, compare, envelope, ratio_text
from shopcalc.errors import InputError
from shopcalc.show import notebook
from shopcalc.show.answers import moved, overhang_steps
from shopcalc.show.controls import Control, Slide, _axes
from shopcalc.show.drawing import top_outline
from shopcalc.show.notebook import Shown, caption, sentences
from shopcalc.show.pages import TablePages, basis
from shopcalc.show.top_pictures import SagMap, levels_for, three_states
from shopcalc.show.values import printed
from shopcalc.table.checks import DEFAULT_OVERHANG, DEFAULT_SAG
from shopcalc.table.frame import STATES
from shopcalc.table.job import Job, load_job
from shopcalc.table.top import Answered, Top, base_flexibility
from shopcalc.table.top_checks import STATE_WORDS, top_checks
from shopcalc.units import Q, Quantity, magnitude

WHOLE = "on the whole top"
_THICK = {"inch": (np.arange(0.75, 3.01, 0.25), "inch"), "mm": (np.arange(20.0, 76.0, 4.0), "mm")}


def open_top(path: str | Path) -> TopPages:
    """The table of a job file. Raises InputError for a job that cannot be used."""
    return TopPages(load_job(path))


def map_of(top: Top, found: Answered, row: int) -> dict:
    """What a SagMap draws of one answer."""
    plate = top.kept.plate
    x, y = plate.along.lines, plate.across.lines
    # Every line of the grid, beyond a round rim as well (the outline cuts it off), from the same plane.
    flat = np.column_stack([np.ones(len(top.kept.nodes)), top.kept.nodes])
    plane = np.linalg.lstsq(flat, found.moved[row] - found.sag[row], rcond=None)[0]
    sag = found.w[row][plate.along.value[:, None] * plate.across.count + plate.across.value]
    sag = sag - (plane[0] + plane[1] * x[:, None] + plane[2] * y)
    on = np.where(top.spanning, found.sag[row], -np.inf)
    i = int(on.argmax())
    px, py = top.kept.nodes[i]
    return {"x": Quantity(x, "m"), "y": Quantity(y, "m"), "sag": Quantity(sag.T, "m"), "seats": Quantity(np.array(top.kept_seats), "m"),
            "most": (Quantity(px, "m"), Quantity(py, "m"), Quantity(float(on[i]), "m")),
            "outline": Quantity(top_outline(top.g.top), "m")}


class TopSag(Control):
    """How far does the top sag? Settings thickness, overhang (quantities).

    answer(thickness, overhang) -> (text, what SagMap.draw takes)
    """

    name = "top-sag"

    def __init__(self, answer, *, thicknesses: pint.Quantity, overhangs: pint.Quantity, half, levels, start: dict, system: str):
        self.half, self.levels = half, levels
        super().__init__(answer, [
            Slide("thickness", "Thickness of the top", thicknesses, system, "size", start["thickness"]),
            Slide("overhang", "Overhang at the ends", overhangs, system, "size", start["overhang"])], system)

    def _new_drawing(self):
        tall = 5.0 * self.half[1] / self.half[0] + 0.85
        ax = _axes(6.6, tall, 0.09, 0.58 / tall, right=0.84, top=1 - 0.22 / tall)
        return SagMap(ax, levels=self.levels, system=self.system, half=self.half)


class TopPages(TablePages):
    """The pages of one table, and those of its top as a plate."""

    @cached_property
    def _bases(self) -> dict[float, np.ndarray | None]:
        return {}

    @cached_property
    def top(self) -> Top:
        return Top.of(self.job, self.geometry, self.cases["person-sag"])

    @cached_property
    def top_checks(self) -> tuple[Check, ...]:
        return tuple(envelope(top_checks(self.job, self.geometry, self.cases, self.top.base)))

    def check(self, id: str) -> Check:
        found = next((c for c in self.top_checks if c.id == id), None)
        return super().check(id) if found is None else found

    def _everyday(self, top: Top) -> np.ndarray:
        return top.mix({"own": top.own, WHOLE: float(magnitude(self.cases["everyday-spread"].value, "Pa"))})

    def _half(self, g) -> tuple[float, float]:
        unit = "inch" if self.system == "inch" else "mm"
        return tuple(float(magnitude(Q(v / 2, "m"), unit)) for v in (g.top.length, g.top.width))

    def states_picture(self) -> None:
        """The top under its own weight and the everyday spread, in its three states."""
        mix = self._everyday(self.top)
        maps = [(STATE_WORDS[s], map_of(self.top, self.top.answer(s, mix), 0)) for s in STATES]
        picture = three_states(maps, system=self.system, half=self._half(self.geometry))
        display(picture)
        display(caption(f"{picture.caption} Under its own weight and {self._say(self.cases['everyday-spread'].value)} on the whole top."))

    def top_answer(self) -> Shown:
        """Sag, long-term sag and droop of the overhang beside their limits."""
        lines = []
        for c in self.top_checks:
            if c.limit is not None and c.demand is not None:
                lines.append(f"{c.verdict.capitalize()}: {c.name[5:]} {self._say(c.demand, 'sag')}, allowed {self._say(c.limit, 'sag')}, used "
                             f"{ratio_text(c.ratio)}; {c.case}.")
        return sentences(*lines, "The worst of three states counts: only lying there, on sliding fixings, clamped to the base.")

    def top_table(self) -> Shown:
        """Every check of the top."""
        return notebook.check_table(self.top_checks, self.system)

    @cached_property
    def top_control(self) -> TopSag:
        if self.job.model.base.style != "trestles":
            raise InputError(field="base.style", value=self.job.model.base.style, example='style = "trestles"',
                             need="a base of trestles: only those are moved under the top here")
        overhang, inset, overhangs = overhang_steps(self.job)
        sizes, unit = _THICK[self.system]
        limit = Q(self.top.span, "m") * (self.job.model.limits.sag or DEFAULT_SAG)

        def answer(thickness, overhang):
            return self._changed(thickness, overhang, inset)

        return TopSag(answer, thicknesses=Q(sizes, unit), overhangs=overhangs, half=self._half(self.geometry), levels=levels_for(limit / 2.5, self.system),
                      start={"thickness": self.job.model.top.thickness.to(unit), "overhang": overhang}, system=self.system)

    def _changed(self, thickness: pint.Quantity, overhang: pint.Quantity, inset: pint.Quantity) -> tuple[str, dict]:
        model = self.job.model
        job = Job(model.model_copy(update={"top": model.top.model_copy(update={"thickness": thickness})}), self.job.text)
        g = moved(job, overhang, inset)
        key = float(magnitude(overhang, "m"))
        if key not in self._bases:  # what the base gives does not depend on the top
            self._bases[key] = base_flexibility(job, g)
        top = Top.of(job, g, self.cases["person-sag"], self._bases[key])
        mix = np.concatenate([self._everyday(top), *(top.mix({"own": top.own, i: float(magnitude(self.cases["person-sag"].value, "N"))})
                                                     for i, over in top.people if over)])
        found = top.answer("sliding", mix)
        data = map_of(top, found, 0)
        part = self.job.model.limits.sag or DEFAULT_SAG
        limit = Q(top.span, "m") * part
        ratio, verdict = compare(max(float(magnitude(data["most"][2], "m")), 0.0), float(magnitude(limit, "m")))
        own = top.answer("sliding", top.mix({"own": top.own}))
        falls = [float((found.w[r] - own.w[0]) @ top.kept.spots[i])
                 for r, i in enumerate((i for i, over in top.people if over), start=1)]
        lines = [f"the top sags {self._say(data['most'][2], 'sag')} between its supports, allowed {self._say(limit, 'sag')} "
                 f"(L/{1 / part:.0f}, a choice), used {ratio_text(ratio)}"]
        if falls:
            room = self.job.model.limits.overhang or DEFAULT_OVERHANG
            used, second = compare(max(falls), float(magnitude(room, "m")))
            lines.append(f"a person of {self._say(self.cases['person-sag'].value)} on the overhang takes it down {self._say(Q(max(falls), 'm'), 'sag')}, "
                         f"allowed {self._say(room, 'sag')} (a choice), used {ratio_text(used)}")
            verdict = second if used > ratio else verdict
        first, *others = lines
        text = (f"{verdict.capitalize()}: {first}" + "".join(f"; {o}" for o in others) + ".\n"
                f"Own weight and {self._say(self.cases['everyday-spread'].value)} on the whole top, on sliding fixings; the base bends with it.\n"
                "Without creep: under what stays for years it sags about twice as far. A person between the supports is in the table of checks.")
        return text, data

    def top_basis(self, *ids: str) -> Shown:
        return basis([self.check(id) for id in ids], self.system)
