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
from matplotlib.lines import Line2D
from matplotlib.patches import Circle, FancyArrowPatch, Polygon, Rectangle

from shopcalc.check import OVER, REPORTED, VERDICTS, severity, worst
from shopcalc.errors import InputError
from shopcalc.making.sheet import welding_sheet
from shopcalc.show import cards as joint_cards
from shopcalc.show import notebook
from shopcalc.show.canvas import FONT, SMALL, new_figure
from shopcalc.show.controls import SCREEN_DPI, Choice, Control, Slide, Still
from shopcalc.show.notebook import Shown, caption, sentences
from shopcalc.show.pages import TablePages
from shopcalc.show.palette import BLACK, BLUE, GREY, ORANGE, PALE, SKY_BLUE, VERMILION
from shopcalc.show.tables import full_name
from shopcalc.show.values import printed, ratio_text
from shopcalc.table.job import load_job
from shopcalc.table.joint_try import BOLTED, Tried, other_walls, triable, tried
from shopcalc.table.names import in_words
from shopcalc.units import Q, show_length, show_wall

_LEGS = {"inch": Q(np.array([1, 2, 3, 4, 5, 6]) / 16, "inch"), "mm": Q(np.arange(2.0, 9.0), "mm")}
_MOMENTS = {"inch": Q(np.arange(0.0, 1001.0, 50.0), "lbf*ft"), "mm": Q(np.arange(0.0, 1401.0, 100.0), "N*m")}
_PLATES = {
    "inch": Q(np.array([3, 4, 5, 6, 8, 10, 12]) / 16, "inch"),
    "mm": Q(np.array([5.0, 6, 8, 10, 12, 15, 20]), "mm"),
}
_PULLS = {"inch": Q(np.arange(-1000.0, 1001.0, 100.0), "lbf"), "mm": Q(np.arange(-4500.0, 4501.0, 500.0), "N")}
_SHEARS = {"inch": Q(np.arange(0.0, 1001.0, 50.0), "lbf"), "mm": Q(np.arange(0.0, 4501.0, 250.0), "N")}
_SIZES = ("leg", "plate", "pull", "shear", "moment")
_START = {
    "inch": dict(zip(_SIZES, (Q(0.125, "inch"), Q(0.5, "inch"), Q(0.0, "lbf"), Q(100.0, "lbf"), Q(250.0, "lbf*ft")))),
    "mm": dict(zip(_SIZES, (Q(4.0, "mm"), Q(12.0, "mm"), Q(0.0, "N"), Q(500.0, "N"), Q(300.0, "N*m")))),
}


def open_joints(path: str | Path) -> JointPages:
    """The joints of a job file. Raises InputError for a job that cannot be used."""
    return JointPages(load_job(path))


class FacePicture:
    """One joint to scale: from the side (branch, wall, weld or plate and bolts, what acts), under it the face that
    the branch stands on (weld that counts, weld that does not, bolts); beside it what is used."""

    def __init__(self, ax, system: str):
        self.ax, self.system = ax, system
        ax.set_axis_off()
        ax.set_aspect("equal")
        self._artists: list = []

    def draw(self, *, tried: Tried, title: str = "") -> str:
        ax, t = self.ax, tried
        for artist in self._artists:
            artist.remove()
        self._artists = []
        plate_long = 0.0 if t.bolts is None else 2 * float(np.abs(t.bolts[:, 1]).max() + t.edge)
        long = 1.25 * max(1.8 * t.along, 1.4 * t.face, plate_long)
        stub = 0.9 * max(t.along, 0.7 * t.face)
        floor = -t.deep - 0.75 * t.face  # the middle of the face, drawn under the side view
        wide = 0.5 * long + 0.05 * t.face
        ax.set_xlim(-wide, wide)
        ax.set_ylim(floor - 0.56 * t.face, stub + 0.55 * t.face)
        ax.apply_aspect()
        self._side(t, long, stub)
        self._face(t, long, floor)
        self._acting(t, stub)
        for i, (name, ratio, verdict) in enumerate(zip(t.names, t.ratios, t.verdicts, strict=True)):
            words = f"{name}{'' if ratio is None else ' ' + ratio_text(ratio)}: {verdict}"
            self._beside(words, 0.92 - 0.105 * i, fontsize=FONT, weight="bold" if verdict == OVER else "normal")
        for i, words in enumerate(_KEYS if t.bolts is None else _BOLT_KEYS):
            self._beside(words, 0.10 - 0.06 * i, fontsize=SMALL, color=BLUE)
        return self._caption(t)

    def _put(self, artist) -> None:
        self._artists.append(self.ax.add_artist(artist))  # the limits are set: nothing to measure

    def _box(self, x: float, y: float, wide: float, tall: float, colour: str, edge: str = BLACK) -> None:
        self._put(Rectangle((x, y), wide, tall, facecolor=colour, edgecolor=edge, linewidth=0.7))

    def _beside(self, words: str, y: float, **looks) -> None:
        self._artists.append(
            self.ax.text(_BESIDE, y, words, transform=self.ax.figure.transFigure, va="center", **looks)
        )

    def _near(self, words: str, x: float, y: float, ha: str = "left") -> None:
        self._artists.append(self.ax.text(x, y, words, fontsize=SMALL, ha=ha, va="center"))

    def _side(self, t: Tried, long: float, stub: float) -> None:
        """Along the tube from the side: its two walls, the branch on it, weld or plate."""
        self._box(-long / 2, -t.deep, long, t.deep, PALE)
        for low in (-t.t, -t.deep):
            self._box(-long / 2, low, long, t.t, GREY)
        for s in (-1, 1):
            self._box(min(s * t.along / 2, s * (t.along / 2 - t.t_b)), t.plate, t.t_b, stub - t.plate, SKY_BLUE)
            if t.bolts is None:
                foot, leg = s * t.along / 2, t.leg
                corners = [(foot, 0), (foot + s * leg, 0), (foot, leg)]
                self._put(Polygon(corners, facecolor=VERMILION, edgecolor=BLACK, linewidth=0.5))
        self._put(Line2D([-t.along / 2, t.along / 2], [stub, stub], color=BLACK, linewidth=0.6, linestyle=":"))
        if t.bolts is None:
            return
        reach = float(np.abs(t.bolts[:, 1]).max() + t.edge)
        self._box(-reach, 0, 2 * reach, t.plate, PALE)
        low = -t.deep if t.through else -t.t
        for y in np.unique(np.round(t.bolts[:, 1], 6)):
            self._box(y - t.d / 2, low, t.d, t.plate - low, ORANGE)
            for head in (t.plate, *((low - 0.7 * t.d,) if t.through else ())):
                self._box(y - 0.8 * t.d, head, 1.6 * t.d, 0.7 * t.d, ORANGE)

    def _face(self, t: Tried, long: float, y: float) -> None:
        """The face seen along the branch."""
        b, d = t.across, t.along
        self._box(-long / 2, y - t.face / 2, long, t.face, PALE)
        if t.bolts is not None:
            across, reach = (float(np.abs(t.bolts[:, i]).max() + t.edge) for i in (0, 1))
            self._box(-reach, y - across, 2 * reach, 2 * across, PALE, GREY)
        if t.ring is not None:
            self._ring(t, y)
            return
        self._box(-d / 2, y - b / 2, d, b, SKY_BLUE)
        if t.bolts is not None:
            for x, along in t.bolts:
                self._put(Circle((along, y + x), t.d / 2, facecolor=ORANGE, edgecolor=BLACK, linewidth=0.6))
            return

        def thick(x, y):
            self._put(Line2D(x, y, color=VERMILION, linewidth=3.2, solid_capstyle="butt"))

        def soft(x, y):
            self._put(Line2D(x, y, color=GREY, linewidth=1.6, linestyle=":"))

        for s in (-1, 1):
            (soft if t.bare_sides else thick)([-d / 2, d / 2], [y + s * b / 2] * 2)
            soft([s * d / 2] * 2, [y - b / 2, y + b / 2])
            for side in (-1, 1) if s not in t.bare_ends else ():
                thick([s * d / 2] * 2, [y + side * b / 2, y + side * (b / 2 - min(t.works, b) / 2)])

    def _ring(self, t: Tried, y: float) -> None:
        """A round branch seen along itself: the weld round it, thick where it counts."""
        places = t.ring[:, :2] + (0, y)
        self._put(Polygon(places, facecolor=SKY_BLUE, edgecolor="none"))
        for one, two, counts in zip(places, np.roll(places, -1, axis=0), t.ring[:, 2] > 0, strict=True):
            looks = {"color": VERMILION, "linewidth": 3.2} if counts else {"color": GREY, "linewidth": 1.6, "linestyle": ":"}
            self._put(Line2D(*zip(one, two, strict=True), solid_capstyle="butt", **looks))

    def _acting(self, t: Tried, stub: float) -> None:
        """What acts on the branch, as arrows with their size; none for what is nought."""
        pull, shear, moment = t.load
        size = 0.42 * t.face

        def arrow(start, end, **looks):
            plain = {"arrowstyle": "-|>", "mutation_scale": 9, "color": BLACK, "linewidth": 1.3, "shrinkA": 0, "shrinkB": 0}
            self._put(FancyArrowPatch(start, end, **plain, **looks))

        if pull:
            low, high = (0, stub + 0.1 * size), (0, stub + 1.1 * size)
            arrow(*((low, high) if pull > 0 else (high, low)))
            self._near(printed(Q(abs(pull), "N"), self.system), 0.15 * size, stub + 0.8 * size)
        if shear:
            at, left = stub * 0.7, -t.along / 2
            arrow((left - 1.1 * size, at), (left - 0.1 * size, at))
            self._near(printed(Q(shear, "N"), self.system), left - 0.15 * size, at + 0.3 * size, "right")
        if moment:
            right = t.along / 2 + 0.15 * size
            arrow((right, stub), (right + 0.5 * size, 0.35 * stub), connectionstyle="arc3,rad=-0.5")
            self._near(printed(Q(moment, "N*m"), self.system), right + 0.15 * size, stub + 0.3 * size)

    def _caption(self, t: Tried) -> str:
        def size(v):
            return show_length(Q(v, "m"), self.system)

        branch = f"Branch {size(t.along)} along and {size(t.across)} across, on a face {size(t.face)} wide"
        if t.bolts is None:
            how = f"leg {size(t.leg)}; {size(t.works)} of each run across the face works"
        else:
            where = "through the tube" if t.through else "tapped into its wall"
            how = f"{len(t.bolts)} bolts {where}, end plate {size(t.plate)}"
        if t.ring is not None:
            where = f"a round tube of {size(t.face)}" if t.round_host else f"a flat face {size(t.face)} wide"
            branch = f"Round branch of {size(t.across)} on {where}"
            laid = f"leg {size(t.leg)}; {t.ring[:, 2].mean():.0%} of the way round the weld counts"
            how = laid if t.leg else "bolted, not worked out"
        used = "; ".join(
            f"{n}{'' if r is None else ' ' + ratio_text(r)} {v}"
            for n, r, v in zip(t.names, t.ratios, t.verdicts, strict=True)
        )
        return f"{branch}, wall {show_wall(Q(t.t, 'm'), self.system)}; {how}. {used}."

    def moving(self) -> list:
        return self._artists

    def frame(self):
        return 0  # nothing stands still: the paper is white


_BESIDE = 0.48  # of the width of the figure
_KEYS = ("above from the side, below along the branch", "thick: weld that counts; dotted: not counted")
_BOLT_KEYS = ("above from the side, below along the branch", "round: bolts")


class JointBench(Control):
    """What does a joint take? Settings joint, wall, made (words), leg, plate, pull, shear, moment (quantities)."""

    name = "joint-bench"

    def __init__(
        self,
        answer,
        *,
        walls: Mapping[str, list[str]],
        made: list[str],
        legs: pint.Quantity,
        plates: pint.Quantity,
        pulls: pint.Quantity,
        shears: pint.Quantity,
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
                Slide("plate", "End plate, if bolted", plates, system, "size", start.get("plate")),
                Slide("pull", "Pull on the branch", pulls, system, "", start.get("pull")),
                Slide("shear", "Push along the tube", shears, system, "", start.get("shear")),
                Slide("moment", "Moment along the tube", moments, system, "", start.get("moment")),
            ],
            system,
        )

    def _new_drawing(self):
        figure = new_figure(6.6, 3.0)
        figure.set_dpi(SCREEN_DPI)
        return FacePicture(figure.add_axes((0.01, 0.01, 0.44, 0.98)), self.system)

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
        return {**chosen, **{n: self.settings[n].settled(chosen[n]) for n in ("made", *_SIZES)}}


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
            in_words(near.detail),
            f"{len(judged)} of them are compared with a limit: welds, faces of tubes, bolts and plates.",
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

    def bolted_copy(self) -> Still:
        """The bench standing still: four bolts and the thinnest plate of its slider."""
        return self.bench.still(made=list(BOLTED[self.system])[2], plate=_PLATES[self.system][0])

    @cached_property
    def bench(self) -> JointBench:
        """The control: another wall, leg, bolts or moment."""
        joints = triable(self.job, self.geometry)
        tubes = {k: other_walls(self.geometry.members[j.host].tube) for k, j in joints.items()}

        def answer(joint, wall, made, **sizes):
            host = tubes[joint][wall]
            found = tried(self.job, self.geometry, joints[joint], host=host, made=made, **sizes)
            pairs = list(zip(found.names, found.ratios, found.verdicts, strict=True))
            judged = [p for p in pairs if p[2] != REPORTED] or pairs
            name, ratio, verdict = max(judged, key=lambda p: (VERDICTS.index(p[2]), p[1] or 0.0))
            used = "" if ratio is None else f", used {ratio_text(ratio)}"
            head = f"{verdict.capitalize()}: {name} decides{used}, under {_acting(sizes, self.system)}."
            counted = show_wall(host.wall("design"), self.system)
            wall_words = f"{joint.capitalize()}, on {host.words}, {counted} counted."
            return "\n".join([head, *(w[:1].upper() + w[1:] + "." for w in found.words), wall_words]), {
                "tried": found
            }

        if not joints:
            raise InputError(
                field="joints", value="none that is worked out", example='leg = "square tube 2 in x 11 ga, A513"',
                need="a joint of tube on tube: square, rectangular, round on round, or round on a flat face",
            )
        first = next(iter(joints))
        return JointBench(
            answer,
            walls={k: list(v) for k, v in tubes.items()},
            made=list(BOLTED[self.system]),
            legs=_LEGS[self.system],
            plates=_PLATES[self.system],
            pulls=_PULLS[self.system],
            shears=_SHEARS[self.system],
            moments=_MOMENTS[self.system],
            system=self.system,
            start={
                "joint": first,
                "wall": self.geometry.members[joints[first].host].tube.wall_word,
                **_START[self.system],
            },
        )


def _acting(sizes: Mapping, system: str) -> str:
    """The loads that are not nought, in words."""
    pull = sizes["pull"]
    parts = [
        f"{printed(abs(pull), system)} of {'pull' if pull.magnitude > 0 else 'push'}" if pull.magnitude else "",
        f"{printed(sizes['shear'], system)} along the tube" if sizes["shear"].magnitude else "",
        f"{printed(sizes['moment'], system)} of moment" if sizes["moment"].magnitude else "",
    ]
    return ", ".join(p for p in parts if p) or "no load"
