"""The page of two questions: how much will the wood move, and how is a bowed or cupped top pulled flat?

from shopcalc.show.wood_pages import open_wood table = open_wood("jobs/archive_map_table.toml")
table.movement_picture()
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from pathlib import Path

import numpy as np
import pint
from IPython.display import display

from shopcalc.check import OVER, WITHIN, Check, compare, envelope, ratio_text
from shopcalc.codes import nds
from shopcalc.errors import InputError
from shopcalc.show import notebook
from shopcalc.show.canvas import FONT, PAGE_WIDTH, SMALL, Picture, new_figure, plain_axes
from shopcalc.show.controls import Choice, Control, Slide, _axes
from shopcalc.show.notebook import Shown, caption, sentences
from shopcalc.show.pages import TablePages, basis
from shopcalc.show.palette import BLACK, BLUE, PAPER, VERMILION
from shopcalc.show.pictures import UsedBars
from shopcalc.show.values import printed
from shopcalc.stock.woods import Wood, wood, woods
from shopcalc.table.job import load_job
from shopcalc.table.wood_checks import furthest, moves_of, restraint_check, seasons, wood_checks
from shopcalc.units import Q, Quantity, magnitude, number, show, unit_text
from shopcalc.wood import flattening, glue_up, movement

ROOM = Q(70, "degF")
_DRY, _WET, _BUILT = np.arange(15.0, 51.0, 5.0), np.arange(40.0, 86.0, 5.0), np.arange(5.0, 15.0, 1.0)
_BOWS = {
    "inch": (np.array([1, 2, 3, 4, 6, 8, 12, 16]) / 16, "inch"),
    "mm": (np.array([2, 4, 6, 8, 10, 15, 20, 25.0]), "mm"),
}
_BARS = ["2", "3", "4", "6", "8"]
WAYS = ("cup, across the grain", "bow, along the grain")
PLACES = ("let into the underside", "screwed under the top")
SCREW, THREAD = Q(0.242, "inch"), Q(1.0, "inch")  # a #14 screw with an inch of thread in the wood
OVER_POINT = Q(0.125, "inch")  # wood left over the point of a screw
MOST_NAMED = 6


def open_wood(path: str | Path) -> WoodPages:
    """The table of a job file. Raises InputError for a job that cannot be used."""
    return WoodPages(load_job(path))


class WidthCurve:
    """Change of width over moisture, from build; the driest and the dampest season marked. Shrinking is
    negative."""

    def __init__(self, ax, system: str):
        self.ax, self.system = ax, system
        plain_axes(ax)
        ax.axhline(0, color=BLACK, linewidth=1)
        ax.set_xlabel("moisture of the wood, per cent", fontsize=FONT)
        ax.set_ylabel(
            f"width as built plus, {unit_text('inch' if system == 'inch' else 'mm')}", fontsize=FONT
        )
        for axis in (ax.xaxis, ax.yaxis):
            axis.set_major_formatter(lambda value, _: number(value, 4))
        (self._line,) = ax.plot([], [], color=BLUE, linewidth=2)
        (self._marks,) = ax.plot(
            [], [], linestyle="none", marker="o", markersize=6, color=VERMILION, zorder=5
        )
        self._texts = [
            ax.text(
                0, 0, "", fontsize=SMALL, zorder=6, bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.6}
            )
            for _ in range(3)
        ]

    def draw(self, moisture, change: pint.Quantity, names) -> str:
        """moisture (3,) per cent, driest, as built, dampest; change (3,); names (3,). Returns the caption."""
        unit = "inch" if self.system == "inch" else "mm"
        y = np.asarray(magnitude(change, unit), float)
        x = np.asarray(moisture, float)
        order = np.argsort(x, kind="stable")
        self._line.set_data(x[order], y[order])
        self._marks.set_data(x, y)
        reach = max(np.ptp(y), 0.1 if unit == "inch" else 2.0)
        step = 10.0 ** np.ceil(np.log10(reach)) / np.array([10, 5, 2])
        self.ax.set_xlim(*_outward(x.min() - 3, x.max() + 3, 2.0))
        self.ax.set_ylim(*_outward(y.min() - 0.25 * reach, y.max() + 0.25 * reach, step[(step < reach / 3).sum()]))
        said = []
        for text, at, dy, name in zip(self._texts, x, change, names, strict=True):
            words = f"{name} {number(float(at), 2)} %" + (
                ""
                if dy.magnitude == 0
                else f": {'+' if dy.magnitude > 0 else '-'}{printed(abs(dy), self.system, 'size', rounding='up')}"
            )
            text.set_text(words)
            text.set_position((at, float(magnitude(dy, unit))))
            said.append(words)
        # the line rises: the lowest name stands below and right of its point, the highest above and left of its own,
        # the one between them on the side of the farther one
        lowest, middle, highest = order
        above = {lowest: False, middle: x[highest] - x[middle] >= x[middle] - x[lowest], highest: True}
        for i, text in enumerate(self._texts):
            text.set_y(text.get_position()[1] + (0.08 if above[i] else -0.08) * reach)
            text.set_ha("right" if above[i] else "left")
            text.set_va("bottom" if above[i] else "top")
        return "Width of the top over the moisture of its wood; " + "; ".join(said) + "."

    def moving(self) -> list:
        return [self._line, self._marks, *self._texts]

    def frame(self):
        return self.ax.get_xlim(), self.ax.get_ylim()


def _outward(low: float, high: float, step: float) -> tuple[float, float]:
    """Limits of an axis, out to whole steps: a control seldom has to paint it again."""
    return float(np.floor(low / step) * step), float(np.ceil(high / step) * step)


class WoodMovement(Control):
    """How much will it move? Settings wood, cut (words), built (per cent), dry, damp (relative humidity)."""

    name = "wood-movement"

    def __init__(self, answer, *, start: Mapping, system: str):
        super().__init__(
            answer,
            [
                Choice("wood", "Wood", [w.name for w in woods()], start["wood"]),
                Choice("cut", "Boards", ["flat", "quarter", "mixed"], start["cut"]),
                Slide("built", "Moisture as built", Q(_BUILT, "percent"), system, "", start["built"]),
                Slide("dry", "Humidity, driest season", Q(_DRY, "percent"), system, "", Q(30.0, "percent")),
                Slide("damp", "Humidity, dampest season", Q(_WET, "percent"), system, "", Q(60.0, "percent")),
            ],
            system,
        )

    def _new_drawing(self):
        return WidthCurve(_axes(6.6, 2.3, 0.12, 0.22, top=0.97), self.system)


class FlatteningSteel(Control):
    """Which steel pulls it flat? Settings way, bars, place (words), bow (length)."""

    name = "flattening-steel"

    def __init__(self, answer, *, start: Mapping, system: str):
        sizes, unit = _BOWS[system]
        super().__init__(
            answer,
            [
                Choice("way", "Not flat", list(WAYS), start["way"]),
                Slide("bow", "Gap under a straightedge", Q(sizes, unit), system, "size", start["bow"]),
                Choice("bars", "Bars", _BARS, start["bars"]),
                Choice("place", "Steel", list(PLACES), start["place"]),
            ],
            system,
        )

    def _new_drawing(self):
        return UsedBars(_axes(6.6, 2.6, 0.40, 0.24, top=0.97))


class WoodPages(TablePages):
    """The pages of one table, and those of the wood of its top. Nothing of the frame is solved."""

    @cached_property
    def wood_checks(self) -> dict[str, Check]:
        return {c.id: c for c in envelope(wood_checks(self.job, self.geometry))}

    def check(self, id: str) -> Check:
        return self.wood_checks.get(id) or super().check(id)

    # --- movement

    def movement_picture(self) -> None:
        """Width of the top over the moisture of its wood."""
        s, moves = seasons(self.job, self.geometry), moves_of(self.job, self.geometry)
        drawing = WidthCurve(new_figure(PAGE_WIDTH, 2.6).add_axes((0.1, 0.2, 0.88, 0.76)), self.system)
        words = drawing.draw(*_points(moves, s.built, s.driest, s.dampest))
        _show(Picture(drawing.ax.figure, words), caption(words))

    def movement_answer(self) -> Shown:
        """How far the top shrinks and swells, and the slots that its fixings need."""
        moves, slots = self.check("top/movement"), self.wood_checks.get("top/slots")
        lines = [f"The top, {moves.detail}."]
        lines += [f"Fixings: {slots.detail}."] if slots is not None else []
        lines += [
            f"{c.name}: {c.verdict}. {c.detail}." for c in self.wood_checks.values() if c.verdict == "refused"
        ]
        return sentences(*lines)

    def restraint_answer(self) -> Shown:
        """What rigid hold-downs over the whole width would do."""
        g = self.geometry
        check = restraint_check(self.job, g, moves_of(self.job, g), "rigid", seasons(self.job, g))
        return sentences(f"{check.verdict.capitalize()}: {check.detail}.")

    def movement_working(self) -> None:
        """Both ways, and the slot of the farthest row."""
        ids = ("top/movement", "top/slots", "top/restraint")
        _show(*(notebook.worked(self.check(i), self.system) for i in ids if i in self.wood_checks))

    @cached_property
    def movement_control(self) -> WoodMovement:
        top, s = self.geometry.top, seasons(self.job, self.geometry)
        return WoodMovement(
            self._movement,
            system=self.system,
            start={"wood": top.wood.name, "cut": s.cut, "built": Q(100 * s.built, "percent")},
        )

    def _movement(self, wood: str, cut: str, built, dry, damp) -> tuple[str, dict]:
        return movement_words(
            wood,
            cut,
            built,
            dry,
            damp,
            width=Quantity(self.geometry.top.width, "m"),
            half=Quantity(furthest(self.geometry), "m"),
            system=self.system,
        )

    # --- flattening

    def _panel(self, way: str, bow: pint.Quantity, bars: int, under: bool) -> flattening.Panel:
        top, s = self.geometry.top, seasons(self.job, self.geometry)
        across = way == WAYS[0]
        length, width = Quantity(top.length, "m"), Quantity(top.width, "m")
        if top.grain:
            raise InputError(field="top.grain", value=show(self.job.model.top.grain, "deg", 3), example='grain = "0 deg"',
                             need="grain along the table: what pulls a top flat is worked out for that alone")
        stiff = top.wood.elastic(s.cut, stiff=True)
        return flattening.Panel(
            run=width if across else length,
            bow=bow,
            thickness=Quantity(top.thickness, "m"),
            breadth=length if across else width,
            E=stiff.E_T if across else stiff.E_L,
            density=top.wood.density(s.built),
            across=across,
            bars=bars,
            screw=SCREW,
            under=under,
        )

    @property
    def _usual(self) -> dict:
        return {
            "way": WAYS[0],
            "bow": Q(0.25, "inch") if self.system == "inch" else Q(6.0, "mm"),
            "bars": "4",
            "place": PLACES[1],
        }

    @cached_property
    def flattening_control(self) -> FlatteningSteel:
        return FlatteningSteel(self._flattening, system=self.system, start=self._usual)

    def _flattening(self, way: str, bow, bars: str, place: str) -> tuple[str, dict]:
        return flattening_words(
            self._panel(way, bow, int(bars), place == PLACES[1]), self.geometry.top.wood, system=self.system
        )

    def flattening_picture(self) -> None:
        """A cup of a quarter of an inch (6 mm) in this top, four bars: what comes back with the steel next to
        the answer."""
        _, data = self._flattening(**self._usual)
        drawing = UsedBars(new_figure(PAGE_WIDTH, 2.8).add_axes((0.36, 0.22, 0.62, 0.75)))
        words = drawing.draw(**data)
        words = words.replace(
            "Used share of each limit (1.00 is all of it)",
            "What comes back over what passes as flat, 1/32 in per foot",
        )
        _show(Picture(drawing.ax.figure, words), caption(words))

    def flattening_answer(self) -> Shown:
        return sentences(*self._flattening(**self._usual)[0].splitlines())

    def flattening_working(self) -> None:
        """Radius, moment, force and what comes back, worked for that cup with the steel that is named."""
        panel = self._panel(WAYS[0], self._usual["bow"], int(self._usual["bars"]), True)
        lines = [
            flattening.radius_of_bow.worked(w=panel.run, c=panel.bow, system=self.system),
            flattening.moment_to_flatten.worked(panel.E, panel.I, panel.radius, system=self.system),
            flattening.force_in_middle.worked(panel.moment, panel.run, system=self.system),
            flattening.face_stress.worked(panel.E, t=panel.thickness, R=panel.radius, system=self.system),
        ]
        found = flattening.which_steel(panel)
        i = _named(found)[0]
        EI_w = panel.E * panel.I
        EI_ef = EI_w + flattening.E_STEEL * Quantity(float(found.steel.I[i]), "m**4")
        lines.append(
            flattening.bow_that_returns.worked(panel.bow, EI_w=EI_w, EI_ef=EI_ef, system=self.system)
        )
        _show(
            caption(
                f"One strip of {panel.bars}; steel: {found.steel.pieces[i].words}. Its screws run in slots, "
                "so that steel and wood only add."
            ),
            notebook.worked(tuple(lines), self.system),
        )

    def wood_basis(self) -> Shown:
        return basis(
            [c for c in self.wood_checks.values() if c.id in ("top/movement", "top/slots", "top/restraint")], self.system
        )

    def flattening_cautions(self) -> Shown:
        return sentences(
            *(
                f"{c[0].upper()}{c[1:]}."
                for c in (
                    flattening.STRESS_STAYS,
                    flattening.KEEPS_MOVING,
                    flattening.STEEL_AND_TWIST,
                    flattening.ON_EDGE,
                )
            )
        )

    # --- glue-up and finish

    def _to_buy(self, c: Check) -> str:
        return f"{show(c.demand, 'gal' if self.system == 'inch' else 'l', 3)}; " if c.id == "top/finish" else ""

    def making_answer(self) -> Shown:
        """Boards, clamps, pockets and finish of the top."""
        ids = ("top/glue-up", "top/inlay", "top/finish")
        lines = [
            f"{c.name}: {self._to_buy(c)}{c.detail}." for i in ids if (c := self.wood_checks.get(i)) is not None
        ]
        boards = self.wood_checks.get("top/glue-up")
        if boards is not None and boards.demand is not None:
            n = int(boards.detail.split()[0])
            turn = glue_up.turn_of_joints(e=Q(0.1, "deg"), n=n)
            cup = glue_up.cup_of_turn(turn, w=Quantity(self.geometry.top.width, "m"))
            lines.append(
                f"An edge a tenth of a degree off square on all {n} boards cups it by "
                f"{printed(cup, self.system, 'sag')}: {glue_up.ALTERNATE}."
            )
        return sentences(*lines)


def _points(moves: movement.Movement, built: float, driest: float, dampest: float):
    change = Quantity(
        [-float(moves.shrink.to("m").magnitude), 0.0, float(moves.swell.to("m").magnitude)], "m"
    )
    return [100 * driest, 100 * built, 100 * dampest], change, ("driest", "as built", "dampest")


def movement_words(name: str, cut: str, built, dry, damp, *, width, half, system: str) -> tuple[str, dict]:
    """Words and curve of a top of a wood between two humidities at room temperature."""
    one: Wood = wood(name)
    at = {
        "driest": movement.settles_at(ROOM, float(dry.to("").magnitude)),
        "dampest": movement.settles_at(ROOM, float(damp.to("").magnitude)),
    }
    low, high = (float(m.to("").magnitude) for m in at.values())
    start = float(built.to("").magnitude)
    moves = movement.movement(
        width,
        built=start,
        driest=low,
        dampest=high,
        C=movement.coefficient(one.C_R, one.C_T, cut),
        S=movement.coefficient(one.S_R, one.S_T, cut),
    )
    slot = movement.slots(Quantity([-1.0, 1.0], "m") * float(half.to("m").magnitude), Q(0.25, "inch"), moves)[
        1
    ]
    text = (
        f"Shrinks {printed(moves.shrink, system, 'size', rounding='up')}, swells "
        f"{printed(moves.swell, system, 'size', rounding='up')} over "
        f"{printed(width, system, 'size')}.\n"
        f"Moisture {show(at['driest'], 'percent', 2)} in the driest season, "
        f"{show(at['dampest'], 'percent', 2)} in the dampest, at 70 °F (21 °C). "
        f"Row: {one.movement_row or one.name}.\n"
        f"Slots for a 1/4 in (6 mm) screw {printed(half, system, 'size')} from the fixed middle line: "
        f"{printed(slot.length, system, 'size', rounding='up')}."
    )
    if (
        not movement.COEFFICIENTS_HOLD[0]
        <= min(low, start)
        <= max(high, start)
        <= movement.COEFFICIENTS_HOLD[1]
    ):
        text += "\nOutside 6 to 14 %: from total shrinkage."
    moisture, change, names = _points(moves, start, low, high)
    return text, {"moisture": moisture, "change": change, "names": names}


def _named(found: flattening.Springback) -> list[int]:
    """The answer first, then the next lighter pieces that fit; where none does, the ones that come
    nearest."""
    fits = np.nonzero(found.fits)[0]
    i = found.lightest
    if i is None:
        return [int(n) for n in fits[found.returns[fits].argsort(kind="stable")][:MOST_NAMED]]
    lighter = [int(n) for n in fits if found.steel.mass[n] < found.steel.mass[i]]
    return [i, *sorted(lighter, key=lambda n: found.returns[n])[: MOST_NAMED - 1]]


def _screws_hold(panel: flattening.Panel, one: Wood, pull: pint.Quantity, system: str) -> tuple[str, str]:
    """Verdict and words for the hardest pulled screw against its withdrawal in this wood."""
    W = nds.wood_screw_withdrawal(G=one.G_12, D=SCREW)
    thread = min(THREAD, panel.thickness - OVER_POINT)  # a thin top has no room for more
    holds = (W * thread).to("lbf")
    ratio, verdict = compare(float(pull.to("lbf").magnitude), float(holds.magnitude))
    closer = (
        " Two or three side by side at the ends and next to them, longer thread, or through bolts; "
        "closer together does not help."
    )
    return verdict, (
        f"{verdict}, used {ratio_text(ratio)} of {printed(holds, system, digits=3)} "
        f"(#14, {printed(thread, system, 'size')} of thread, NDS withdrawal; no shorter or longer duration counted)."
        + (closer if verdict == OVER else "")
    )


def flattening_words(panel: flattening.Panel, one: Wood, *, system: str) -> tuple[str, dict]:
    """Words and used shares: the lightest steel that brings a panel flat enough, and what comes nearest below
    it."""
    found = flattening.which_steel(panel)
    named = _named(found)
    wanted = panel.wanted
    i = found.lightest
    limit = (
        f"{printed(wanted, system, 'sag')} over {printed(panel.run, system, 'size')} (1/32 in per foot, "
        "a choice)"
    )
    moment, force = panel.moment, flattening.force_in_middle(panel.moment, panel.run)
    if i is None:
        best = Quantity(float(found.returns[named[0]]), "m") if named else panel.bow
        lines = [
            f"No steel of the list does: the best leaves {printed(best, system, 'sag')}, and {limit} passes "
            "as flat.",
            "More bars, deeper steel under the top, or wood that is planed or laid anew.",
        ]
    else:
        back = Quantity(float(found.returns[i]), "m")
        lines = [
            f"{panel.bars} x {found.steel.pieces[i].words}: {printed(back, system, 'sag')} comes back, and "
            f"{limit} passes as flat.",
            "The steel hangs under the top: nothing is cut."
            if panel.under
            else f"Strength of the wood left across a groove: {found.strength_left[i]:.0%}. A groove across "
            "the grain is cut longer than its bar.",
        ]
    pull = panel.pull()
    shown = (
        f"To pull it flat: {printed(force, system, digits=3)} in the middle of each strip, "
        f"{printed(moment, system, digits=3)}; "
        f"{panel.screws} screws in each bar, the worst pulled by {printed(pull, system, digits=3)}: "
    )
    if one.k_def is not None:  # the code has no values for screws in sheet goods
        lines.append(f"{shown}ask the maker of the panel what a screw holds in it.")
    else:
        verdict, words = _screws_hold(panel, one, pull, system)
        lines.append(shown + words)
        if verdict == OVER and i is not None:
            lines[0] = f"{lines[0][:-1]}; but the screws that pull it flat are over limit."
    stress = flattening.face_stress(panel.E, t=panel.thickness, R=panel.radius)
    guide = one.guide("across" if panel.across else "along")
    lines.append(
        f"Stress in the faces at first {printed(stress, system, digits=3)}"
        + ("" if guide is None else f", {flattening.beside_guide(stress, guide)} {printed(guide, system, digits=3)} of the check of the top")
        + f"; taken off again, from {number(1.0, 2)} at once to "
        f"{number(1 / (1 + flattening.RELAXATION[1]), 2)} of the bow after years comes back."
    )
    ratios = [float(found.returns[n]) / float(magnitude(wanted, "m")) for n in named]
    words = [found.steel.pieces[n].words.removesuffix(", A36") for n in named]
    return "\n".join(lines), {
        "names": words,
        "ratios": ratios,
        "verdicts": [WITHIN if r <= 1 else OVER for r in ratios],
    }


def _show(*parts) -> None:
    for part in parts:
        display(part)
