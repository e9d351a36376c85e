"""Pictures of the base as a frame: its bars as lines in one slanted view, how a load moves them, what each has used.

Each takes computed results and draws them; nothing here solves anything. What a line's thickness or hatching
says also stands as a number beside it.

    across the sheet  x cos(a) + y sin(a);   up the sheet  z cos(e) + (y cos(a) - x sin(a)) sin(e)
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
import pint
from matplotlib.transforms import Bbox

from shopcalc.check import OVER, REPORTED
from shopcalc.show.canvas import PAGE_WIDTH, SMALL, Picture, new_figure
from shopcalc.show.palette import BLACK, BLUE, GREY, ORANGE, PAPER, VERMILION
from shopcalc.show.values import printed, ratio_text
from shopcalc.table.names import words_of
from shopcalc.units import Q, number, show_length

TURN, RAISE = math.radians(28), math.radians(22)
DRAWN = 0.06  # of the size of the table: how large the largest movement is drawn
STEPS = (1, 2, 5, 10)
THIN, THICK = 1.0, 6.0  # points of paper of a line that uses nothing, and all of its limit
# Places of a label along its bar, and how far beside it (points of paper), nearest first.
PLACES, BESIDE = (0.5, 0.35, 0.65, 0.2, 0.8), (9, 16, 26, 38, 54)


def flat(points) -> np.ndarray:
    """(k, 3) points of the table on the sheet, (k, 2)."""
    p = np.atleast_2d(np.asarray(points, float))
    back = p[:, 1] * math.cos(TURN) - p[:, 0] * math.sin(TURN)
    return np.column_stack([p[:, 0] * math.cos(TURN) + p[:, 1] * math.sin(TURN),
                            p[:, 2] * math.cos(RAISE) + back * math.sin(RAISE)])


class _View:
    """One slanted view; labels are put where they cover neither each other nor more lines than they must."""

    def __init__(self, geometry, system: str, ax=None, around: Sequence = ()):
        self.g, self.system = geometry, system
        top = geometry.top
        half = np.array([top.length, top.width]) / 2
        box = [(sx * half[0], sy * half[1], z) for sx in (-1, 1) for sy in (-1, 1) for z in (0, top.underside)]
        seen = flat([*box, *around])
        low, high = seen.min(axis=0), seen.max(axis=0)
        room = 0.16 * (high[0] - low[0])
        wide, tall = high[0] - low[0] + 2 * room, high[1] - low[1] + 2 * room
        if ax is None:
            across = min(PAGE_WIDTH, 5.2 * wide / tall)
            ax = new_figure(across, across * tall / wide).add_axes((0, 0, 1, 1))
        self.ax = ax
        ax.set_axis_off()
        ax.set_aspect("equal")
        ax.set_xlim(low[0] - room, high[0] + room)
        ax.set_ylim(low[1] - room, high[1] + room)
        self.lines: list[np.ndarray] = []
        self.taken: list[Bbox] = []
        self.waiting: list[tuple] = []

    def line(self, points, *, keep=True, **looks) -> None:
        on = flat(points)
        self.ax.plot(*on.T, **{"color": BLACK, "linewidth": 1.2, "solid_capstyle": "round", **looks})
        if keep:
            self.lines += [on[i:i + 2] for i in range(len(on) - 1)]

    def outline(self, points, **looks) -> None:
        on = flat(points)
        self.ax.fill(*on.T, **{"facecolor": "none", "edgecolor": GREY, "linewidth": 0.7, "zorder": 0.5, **looks})
        self.lines += [on[[i - 1, i]] for i in range(len(on))]

    def joints(self) -> None:
        """From where a bar begins on the face of another to the axis of that one."""
        for j in self.g.joints:
            if j.end >= 0 and j.reach > 0:
                m = self.g.members[j.branch]
                self.line([m.second if j.end else m.first, j.place], linewidth=1.0, color=GREY, zorder=1)

    def foot_line(self, words: str) -> None:
        """Words in the lower left corner."""
        text = self.ax.text(0.02, 0.02, words, transform=self.ax.transAxes, fontsize=SMALL, va="bottom")
        self.ax.figure.canvas.draw()
        self.taken.append(text.get_window_extent(self.ax.figure.canvas.get_renderer()))

    def feet_and_seats(self) -> None:
        g = self.g
        self.joints()
        for f in g.contacts:
            self.line([f.place, f.floor], linewidth=0.8, color=GREY, zorder=1)
        for places, mark, fill in (([f.floor for f in g.contacts], "^", ORANGE), ([s.place for s in g.seats], "o", PAPER)):
            if not places:
                continue
            on = flat(places)
            self.ax.plot(*on.T, linestyle="none", marker=mark, markersize=5.5, markerfacecolor=fill, markeredgecolor=BLACK,
                         markeredgewidth=0.8, zorder=4)
            for p in on:
                self.lines.append(np.array([p, p]))

    def label(self, words: str, bars: Sequence[tuple]) -> None:
        """Words beside one of some bars, each (first, second)."""
        self.waiting.append((words, [flat(b) for b in bars]))

    def size(self, first, second, words: str = "") -> None:
        """A dimension between two places of the floor or of an edge."""
        a, b = flat([first, second])
        self.ax.annotate("", a, b, arrowprops={"arrowstyle": "<->", "color": GREY, "linewidth": 0.8, "shrinkA": 0, "shrinkB": 0,
                                               "mutation_scale": 7})
        self.lines.append(np.array([a, b]))
        text = show_length(Q(float(np.linalg.norm(np.subtract(second, first))), "m"), self.system)
        # beside an upright dimension there is little room across
        upright = abs(b[0] - a[0]) < 0.1 * abs(b[1] - a[1])
        self.waiting.insert(0, ((f"{text}\n{words}" if upright else f"{text} {words}").strip(), [np.array([a, b])]))

    def place(self) -> None:
        """Put the labels."""
        figure, scale = self.ax.figure, self.ax.figure.dpi / 72
        figure.canvas.draw()
        renderer, to_paper = figure.canvas.get_renderer(), self.ax.transData
        frame = self.ax.get_window_extent(renderer)
        segments = np.array([to_paper.transform(s) for s in self.lines])
        for words, bars in self.waiting:
            # the pale edge keeps letters readable where no place is free of lines
            text = self.ax.text(0, 0, words, fontsize=SMALL, ha="center", va="center", linespacing=1.1, zorder=6,
                                bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.6, "alpha": 0.85})
            # the drawn letters stand on whole pixels: a little room keeps them apart
            size = text.get_window_extent(renderer)
            half = np.array([size.width, size.height]) / 2 + 1.5 * scale
            best = None
            for a, b in (to_paper.transform(bar) for bar in bars):
                along = (b - a) / max(float(np.linalg.norm(b - a)), 1e-9)
                beside = np.array([-along[1], along[0]])
                reach = abs(beside) @ half
                for share in PLACES:
                    for far in BESIDE:
                        for side in (1, -1):
                            spot = a + (b - a) * share
                            centre = spot + side * beside * (reach + (far - 5) * scale)
                            box = Bbox([centre - half, centre + half])
                            cost = far + 12 * abs(share - 0.5) + 45 * _crossed(segments, box) + 1e4 * self._hidden(box, frame)
                            if best is None or cost < best[0] - 1e-9:
                                best = (cost, centre, spot, far, box)
            _, centre, spot, far, box = best
            text.set_position(self.ax.transData.inverted().transform(centre))
            self.taken.append(box)
            if far > BESIDE[0]:
                edge = np.clip(spot, box.min, box.max)
                self.ax.plot(*self.ax.transData.inverted().transform([edge, spot]).T, color=GREY, linewidth=0.5, zorder=5)

    def _hidden(self, box: Bbox, frame: Bbox) -> float:
        cut = not (frame.x0 <= box.x0 and box.x1 <= frame.x1 and frame.y0 <= box.y0 and box.y1 <= frame.y1)
        return cut + sum(box.overlaps(other) for other in self.taken)

    def done(self, caption: str) -> Picture:
        self.place()
        return Picture(self.ax.figure, caption, (self.ax,))


def _crossed(segments: np.ndarray, box: Bbox) -> int:
    """How many lines run through a box."""
    t = np.linspace(0, 1, 41)[None, :, None]
    p = segments[:, :1] * (1 - t) + segments[:, 1:] * t
    inside = (p > [box.x0, box.y0]).all(axis=2) & (p < [box.x1, box.y1]).all(axis=2)
    return int(inside.any(axis=1).sum())


def _ends(members) -> list[tuple]:
    return [(m.first, m.second) for m in members]


def _top_outline(g, above: float = 0.0) -> np.ndarray:
    from shopcalc.show.drawing import top_outline

    edge = top_outline(g.top)
    return np.column_stack([edge, np.full(len(edge), g.top.underside + above)])


def _short(family: str) -> str:
    """The kind of bar alone, where the drawing shows what it belongs to."""
    return words_of(family).partition(" of ")[0]


def _lengths(members, system: str) -> str:
    sizes = sorted({show_length(Q(m.length, "m"), system): m.length for m in members}.items(), key=lambda row: row[1])
    return sizes[0][0] if len(sizes) == 1 else f"{sizes[0][0]} to {sizes[-1][0]}"


# --- the base in lines ---------------------------------------------------------------------------


def base_lines(geometry, families: Mapping[str, Sequence], *, system: str = "inch", ax=None) -> Picture:
    """The base as lines on the axes of its bars, with the names the checks use and the sizes between feet.

    families  name -> its bars (shopcalc.table.frame_checks.families)
    """
    g = geometry
    xs, ys = (np.array([f.floor[i] for f in g.contacts]) for i in (0, 1))
    out = 0.10 * max(np.ptp(xs), np.ptp(ys))
    front, right = ys.min() - out, xs.max() + out
    view = _View(g, system, ax, [(xs.min(), front, 0), (xs.max(), front, 0), (right, ys.max(), 0)])
    view.outline(_top_outline(g), linestyle=(0, (4, 3)))
    for m in g.members.values():
        view.line([m.first, m.second], linewidth=2.0, color=BLUE, zorder=2)
    view.feet_and_seats()
    view.size((xs.min(), front, 0), (xs.max(), front, 0), "between feet")
    view.size((right, ys.min(), 0), (right, ys.max(), 0), "between feet")
    corner = (-g.top.length / 2, -g.top.width / 2 if g.top.shape != "round" else 0.0)
    view.size((*corner, 0), (*corner, g.top.underside), "under the top")
    told = []
    for name, bars in families.items():
        view.label(f"{_short(name)}\n{_lengths(bars, system)}", _ends(bars))
        told.append(f"{len(bars)} x {words_of(name)} {_lengths(bars, system)}, {bars[0].words}")
    return view.done(f"The base as lines on the axes of its bars: {'; '.join(told)}. Triangles: {len(g.contacts)} feet; rings: "
                     f"{len(g.seats)} seats of the top; dashed: underside of the top, {show_length(Q(g.top.underside, 'm'), system)} "
                     "above the floor. Lengths run on the axes: cut lengths are shorter.")


# --- moved by a load -----------------------------------------------------------------------------


def scale_of(largest: float, size: float) -> float:
    """How many times too large a movement is drawn: 1, 2 or 5 times a power of ten, so that it is seen."""
    if not largest > 0:
        return 1.0
    wanted = DRAWN * size / largest
    power = 10.0 ** math.floor(math.log10(wanted))
    return max(step * power for step in STEPS if step * power <= wanted * (1 + 1e-9))


def deflected(geometry, shape, *, words: str, system: str = "inch", ax=None) -> Picture:
    """The base as a load moves it, drawn over where it stood.

    shape  shopcalc.table.wobble.Shape;  words: the load and the state, as the caption says them
    """
    g = geometry
    times = scale_of(shape.largest, max(g.top.length, g.top.width))
    bars = {name: (at, at + times * (to - at)) for name, (at, to) in shape.bars.items()}
    top_at, top_to = shape.top
    moved_top = top_at + times * (top_to - top_at)
    push = np.array([*shape.push, 0.0])
    force = float(np.linalg.norm(push))
    pushed = force > 1.0
    arrow = []
    if pushed:
        way = push / force
        reach = abs(way[0]) * g.top.length / 2 + abs(way[1]) * g.top.width / 2
        tip = np.array([0.0, 0.0, g.top.underside]) - way * reach * 1.02
        arrow = [tip - way * 0.14 * max(g.top.length, g.top.width), tip]
    view = _View(g, system, ax, [*moved_top, *arrow])
    view.outline(top_at, linestyle=(0, (4, 3)))
    view.outline(moved_top, edgecolor=BLUE, linewidth=1.0, zorder=0.6)
    for at, to in bars.values():
        view.line(at, linewidth=0.9, color=GREY, linestyle=(0, (4, 3)), zorder=1)
        view.line(to, linewidth=2.0, color=BLUE, zorder=2)
    on = flat([f.floor for f in g.contacts])
    view.ax.plot(*on.T, linestyle="none", marker="^", markersize=5.5, markerfacecolor=ORANGE, markeredgecolor=BLACK,
                 markeredgewidth=0.8, zorder=4)
    if pushed:
        a, b = flat(arrow)
        view.ax.annotate("", b, a, arrowprops={"arrowstyle": "-|>", "color": BLACK, "linewidth": 1.6, "shrinkA": 0, "shrinkB": 0,
                                               "mutation_scale": 12}, zorder=5)
        view.label(printed(Q(force, "N"), system, digits=3), [tuple(arrow)])
        view.lines.append(np.array([a, b]))
    k = int(np.argmax(np.linalg.norm(top_to - top_at, axis=1)))
    view.foot_line(f"drawn {number(times, 3)} times too large")
    most = printed(Q(float(np.linalg.norm(top_to[k] - top_at[k])), "m"), system, "wall")
    return view.done(f"{words}. The edge of the top moves {most}; drawn {number(times, 3)} times too large. Own weights are among "
                     "the loads. Dashed: where it stands unloaded.")


# --- used shares and moments -----------------------------------------------------------------------


def used_lines(geometry, families: Mapping[str, Sequence], checks, *, system: str = "inch", ax=None) -> Picture:
    """Every family of bars with the used share of its worst check beside it; the thicker, the more is used.

    checks  those whose `about` names a family; what is only reported is left out
    """
    view = _View(geometry, system, ax)
    view.outline(_top_outline(geometry), linestyle=(0, (4, 3)))
    told = []
    for name, bars in families.items():
        mine = [c for c in checks if c.about == name and c.verdict != REPORTED and c.kind != "information"]
        judged = [c for c in mine if c.ratio is not None]
        without = [c for c in mine if c.ratio is None]
        worst = without[0] if without else max(judged, key=lambda c: c.ratio, default=None)
        if worst is None:
            words, thick, over = "not checked", THIN, False
        elif worst.ratio is None:
            words, thick, over = worst.verdict, THICK, True
        else:
            words = f"{ratio_text(worst.ratio)} {worst.id.rpartition('/')[2]}"
            thick = THIN + (THICK - THIN) * min(float(worst.ratio), 1.0)
            over = worst.verdict == OVER
            words += f", {worst.verdict}" if over else ""
        for m in bars:
            view.line([m.first, m.second], linewidth=thick, color=VERMILION if over else BLUE, zorder=2)
            if over:  # a broken line on top tells it without colour
                view.line([m.first, m.second], keep=False, linewidth=thick * 0.6, color=PAPER, linestyle=(0, (1, 1.5)), zorder=3,
                          solid_capstyle="butt")
        view.label(f"{_short(name)}\n{words}", _ends(bars))
        told.append(f"{words_of(name)} {words}")
    view.feet_and_seats()
    return view.done("Used share of the limit that comes nearest, of the worst bar of each kind (1.00 is all of it): " + "; ".join(told)
                     + ". The thicker the line, the more is used; what is over its limit is dotted white.")


def moment_lines(geometry, moments: Mapping[str, pint.Quantity], *, words: str, system: str = "inch", ax=None) -> Picture:
    """The largest bending moment of every bar in one case: thickness by moment, number beside it.

    moments  bar -> the larger of its moments about its two axes;  words: the case, as the caption says it
    """
    view = _View(geometry, system, ax)
    view.outline(_top_outline(geometry), linestyle=(0, (4, 3)))
    most = max(float(abs(q.to("N*m").magnitude)) for q in moments.values())
    told = []
    for name, m in geometry.members.items():
        size = float(abs(moments[name].to("N*m").magnitude))
        view.line([m.first, m.second], linewidth=THIN + (THICK - THIN) * (size / most if most else 0.0), color=BLUE, zorder=2)
        said = printed(moments[name], system, digits=3)
        view.label(said, [(m.first, m.second)])
        told.append(f"{words_of(name)} {said}")
    view.feet_and_seats()
    return view.done(f"Largest bending moment of each bar, {words}: " + "; ".join(told) + ". The thicker the line, the larger.")


