"""The pages of notebook 05: joints of one table, each drawn, moved and written on its bench card.

from shopcalc.show.joint_pages import open_joints
table = open_joints("jobs/archive_map_table.toml")
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from pathlib import Path

import numpy as np
import pint
from IPython.display import display
from matplotlib.patches import Rectangle

from shopcalc.check import OVER, severity, worst
from shopcalc.making.sheet import welding_sheet
from shopcalc.show import cards as joint_cards
from shopcalc.show import notebook
from shopcalc.show.canvas import FONT, SMALL, new_figure
from shopcalc.show.controls import SCREEN_DPI, Choice, Control, Slide
from shopcalc.show.notebook import Shown, caption, sentences
from shopcalc.show.pages import TablePages
from shopcalc.show.palette import BLACK, BLUE, GREY, ORANGE, PALE, SKY_BLUE, VERMILION
from shopcalc.show.tables import full_name
from shopcalc.show.values import printed, ratio_text
from shopcalc.table.job import load_job
from shopcalc.table.joint_try import BOLTED, Tried, other_walls, triable, tried
from shopcalc.units import Q, show_length, show_wall

_LEGS = {"inch": Q(np.array([1, 2, 3, 4, 5, 6]) / 16, "inch"), "mm": Q(np.arange(2.0, 9.0), "mm")}
_MOMENTS = {"inch": Q(np.arange(0.0, 1001.0, 50.0), "lbf*ft"), "mm": Q(np.arange(0.0, 1401.0, 100.0), "N*m")}
_START = {"inch": (Q(0.125, "inch"), Q(250.0, "lbf*ft")), "mm": (Q(4.0, "mm"), Q(300.0, "N*m"))}


def open_joints(path: str | Path) -> JointPages:
    """The joints of a job file. Raises InputError for a job that cannot be used."""
    return JointPages(load_job(path))


class FacePicture:
    """The face that a branch stands on, to scale: weld that works, weld that sits on soft wall, bolts, and
    what is used."""

    def __init__(self, ax, system: str):
        self.ax, self.system = ax, system
        self._count = 0

    def draw(self, *, tried: Tried, title: str = "") -> str:
        ax, t = self.ax, tried
        self._count += 1
        ax.clear()
        ax.set_axis_off()
        ax.set_aspect("equal")
        wide, long = t.face, max(2.2 * t.along, 2 * t.face)
        ax.add_patch(
            Rectangle((-long / 2, -wide / 2), long, wide, facecolor=PALE, edgecolor=BLACK, linewidth=0.9)
        )
        b, d = t.across, t.along
        ax.add_patch(Rectangle((-d / 2, -b / 2), d, b, facecolor=SKY_BLUE, edgecolor=BLACK, linewidth=0.8))
        if t.bolts is None:
            for s in (-1, 1):
                ax.plot(
                    [-d / 2, d / 2], [s * b / 2] * 2, color=VERMILION, linewidth=3.2, solid_capstyle="butt"
                )
                ax.plot([s * d / 2] * 2, [-b / 2, b / 2], color=GREY, linewidth=1.4, linestyle=":")
                for side in (-1, 1):
                    ax.plot(
                        [s * d / 2] * 2,
                        [side * b / 2, side * (b / 2 - min(t.works, b) / 2)],
                        color=VERMILION,
                        linewidth=3.2,
                        solid_capstyle="butt",
                    )
        else:
            ax.plot(
                t.bolts[:, 1],
                t.bolts[:, 0],
                linestyle="",
                marker="o",
                markersize=9,
                color=ORANGE,
                markeredgecolor=BLACK,
            )
        edge = long / 2 + 0.08 * long
        for i, (name, ratio, verdict) in enumerate(zip(t.names, t.ratios, t.verdicts, strict=True)):
            used = "" if ratio is None else f" {ratio_text(ratio)}"
            ax.text(
                edge,
                wide / 2 - (i + 0.5) * wide / 4,
                f"{name}{used}: {verdict}",
                fontsize=FONT,
                va="center",
                weight="bold" if verdict == OVER else "normal",
                color=BLACK,
            )
        ax.text(
            edge,
            -wide / 2,
            "thick: weld that works; dotted: on soft wall" if t.bolts is None else "round: bolts",
            fontsize=SMALL,
            va="bottom",
            color=BLUE,
        )
        ax.set_xlim(-long / 2 - 0.05 * long, edge + 1.7 * long)
        ax.set_ylim(-0.62 * wide, 0.62 * wide)

        def size(v):
            return show_length(Q(v, "m"), self.system)

        works = (
            f"{size(t.works)} of each run across the face works"
            if t.bolts is None
            else f"{len(t.bolts)} bolts"
        )
        return (
            f"Branch {size(t.along)} along and {size(t.across)} across, on a face {size(t.face)} wide; "
            f"{works}. "
            + "; ".join(
                f"{n}{'' if r is None else ' ' + ratio_text(r)} {v}"
                for n, r, v in zip(t.names, t.ratios, t.verdicts, strict=True)
            )
            + "."
        )

    def moving(self) -> list:
        return []

    def frame(self):
        return self._count


class JointBench(Control):
    """What does a joint take? Settings joint, wall, made (words), leg, moment (quantities)."""

    name = "joint-bench"

    def __init__(
        self,
        answer,
        *,
        walls: Mapping[str, list[str]],
        made: list[str],
        legs: pint.Quantity,
        moments: pint.Quantity,
        system: str = "inch",
        start: Mapping | None = None,
    ):
        start, self.walls = dict(start or {}), walls
        joint = start.get("joint") or next(iter(walls))
        super().__init__(
            answer,
            [
                Choice("joint", "Joint", list(walls), joint),
                Choice("wall", "Wall it stands on", walls[joint], start.get("wall")),
                Choice("made", "Made", made, start.get("made")),
                Slide("leg", "Leg of the weld", legs, system, "size", start.get("leg")),
                Slide("moment", "Moment along the tube", moments, system, "", start.get("moment")),
            ],
            system,
        )

    def _new_drawing(self):
        figure = new_figure(6.6, 2.0)
        figure.set_dpi(SCREEN_DPI)
        return FacePicture(figure.add_axes((0.01, 0.02, 0.98, 0.96)), self.system)

    def _changed(self, change) -> None:
        """A joint offers the walls of the tube it stands on."""
        if self._asleep:
            return
        self._asleep = True
        try:
            if change["owner"] is self.settings["joint"].widget:
                self.settings["wall"].offer(self.walls[self.settings["joint"].value])
        finally:
            self._asleep = False
        self.refresh()

    def _settled(self, chosen: dict) -> dict:
        joint = self.settings["joint"].settled(chosen["joint"])
        self.settings["wall"].settled(chosen["wall"], self.walls[joint])
        return {**chosen, **{n: self.settings[n].settled(chosen[n]) for n in ("made", "leg", "moment")}}


class JointPages(TablePages):
    """One table and the pages of its joints."""

    @cached_property
    def _cards(self):
        return joint_cards.of(self.assessment)

    @property
    def _about_joints(self) -> list:
        return [c for c in self.assessment.checks if c.about.startswith("joint.")]

    def joint_map(self) -> None:
        """Every joint, numbered."""
        picture = joint_cards.joint_map(self.geometry, self._cards, self.system)
        display(picture, caption(picture.caption))

    def joint_answer(self) -> Shown:
        """Whether the joints hold, and which comes nearest."""
        found = self._about_joints
        judged = [c for c in found if c.ratio is not None and c.kind != "information"]
        near = worst([c for c in found if c.kind != "information"] or found)
        over = [c for c in found if severity(c)[0] > 1]
        head = (
            f"{len(over)} of {len(found)} answers about joints do not hold."
            if over
            else f"All {len(found)} answers about the joints hold."
        )
        return sentences(
            head,
            f"Nearest to its limit, or worst: {full_name(near)}, {near.verdict}"
            + ("." if near.ratio is None else f", used {ratio_text(near.ratio)}."),
            near.detail,
            f"Worked out: {len(judged)} shares of a limit, weld, face, bolts and plate.",
        )

    def joint_checks(self) -> Shown:
        """Every check of every joint."""
        return notebook.check_table(self._about_joints, self.system)

    def weld_working(self, kind: str) -> Shown:
        """The weld of one kind of joint, line by line."""
        return notebook.worked(self.check(f"joint.{kind}/weld"), self.system)

    def bench_cards(self) -> Shown:
        """A card for each kind of joint."""
        return Shown(joint_cards.cards_text(self._cards), html=joint_cards.cards_html(self._cards))

    def welding_sheet(self) -> Shown:
        """Length, passes, filler, time and heat, what it shrinks and where tubes are vented."""
        sheet = welding_sheet(self.job, self.geometry)
        return Shown(joint_cards.sheet_text(sheet, self.system), html=joint_cards.sheet_html(sheet, self.system))

    @cached_property
    def bench(self) -> JointBench:
        """The control: another wall, leg, bolts or moment."""
        joints = triable(self.job, self.geometry)
        tubes = {k: other_walls(self.geometry.members[j.host].tube) for k, j in joints.items()}

        def answer(joint, wall, made, leg, moment):
            host = tubes[joint][wall]
            found = tried(
                self.job, self.geometry, joints[joint], host=host, leg=leg, moment=moment, made=made
            )
            pairs = list(zip(found.names, found.ratios, found.verdicts, strict=True))
            name, ratio, verdict = max(pairs, key=lambda p: (p[1] is None, p[1] or 0.0))
            used = "" if ratio is None else f", used {ratio_text(ratio)}"
            head = f"{verdict.capitalize()}: {name} decides{used} under {printed(moment, self.system)}."
            wall_words = f"{joint.capitalize()}, on {host.words}, {show_wall(host.wall('design'), self.system)} counted."
            return "\n".join([head, *(w[:1].upper() + w[1:] + "." for w in found.words), wall_words]), {
                "tried": found
            }

        leg, moment = _START[self.system]
        first = next(iter(joints))
        return JointBench(
            answer,
            walls={k: list(v) for k, v in tubes.items()},
            made=list(BOLTED[self.system]),
            legs=_LEGS[self.system],
            moments=_MOMENTS[self.system],
            system=self.system,
            start={
                "joint": first,
                "wall": self.geometry.members[joints[first].host].tube.wall_word,
                "leg": leg,
                "moment": moment,
            },
        )
