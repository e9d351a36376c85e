"""Plots of computed results. Each takes results and an optional `ax`, draws, and never calculates them.

Every plot is a small class that keeps its artists, so that a control can show new results on the same
figure, and a function of the same name in small letters that draws once and returns a `Picture`.
Lengths, forces and moments come as quantities and print in the units of `system` ("inch" or "mm").
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

import matplotlib
import numpy as np
import pint
from matplotlib.collections import PolyCollection
from matplotlib.colors import BoundaryNorm
from matplotlib.patches import Patch, Polygon, Rectangle

from shopcalc.check import OVER, WITHIN
from shopcalc.show.canvas import FONT, PAGE_WIDTH, SMALL, Picture, new_figure, plain_axes
from shopcalc.show.palette import BLACK, BLUE, GREY, PALE, PAPER, SCALE, VERDICT_LOOKS, VERMILION
from shopcalc.show.values import print_unit, printed, ratio_text
from shopcalc.units import magnitude, number, unit_text

matplotlib.rcParams["hatch.linewidth"] = 0.6

_LENGTH = {"inch": "inch", "mm": "mm"}
LEVELS = {"inch": (0, 50, 100, 200, 300, 500, 1000, 2000), "mm": (0, 250, 500, 1000, 1500, 2500, 5000, 10000)}
NAME_WIDTH = 36  # characters of a name on one line beside its bar


def _figure_of(ax, width: float, height: float, rows: int = 1):
    if ax is not None:
        return ax
    figure = new_figure(width, height)
    return figure.subplots(rows) if rows > 1 else figure.subplots()


def _fit(figure) -> None:
    """Make room for every label once, then leave the places alone: laying out again is slow."""
    figure.set_layout_engine("constrained")
    figure.draw_without_rendering()
    figure.set_layout_engine("none")


# --- how much of each limit is used --------------------------------------------------------------


class UsedBars:
    """A bar per check: used share of its limit, with its number and verdict in words in a column of their own.

    `moving` and `frame`, here and below: the artists that a change moves, and what the rest depends on.
    """

    REACHES = (1.15, 1.6, 2.5)  # how far the bars may reach; one longer than the last is cut and says so
    BARS = 0.74  # of the width of the axes, the rest is the column of words
    CUT = ", bar cut"

    def __init__(self, ax):
        self.ax = ax
        self._names: list[str] = []
        self._places: tuple[float, ...] = ()
        self._bars: list[Rectangle] = []
        self._texts: list = []
        self._labels: list = []

    def draw(self, names: Sequence[str], ratios: Sequence[float | None], verdicts: Sequence[str], *,
             title: str = "") -> str:
        """Names, used ratios (None where none exists) and verdicts, in one order. Returns the caption."""
        if list(names) != self._names:
            self._lay_out(list(names))
        most = max((float(r) for r in ratios if r is not None and np.isfinite(r)), default=0.0)
        reach = next((r for r in self.REACHES if most <= r), self.REACHES[-1])
        self.ax.set_xlim(0, reach / self.BARS)
        shown = []
        for bar, text, name, ratio, verdict in zip(
            self._bars, self._texts, names, ratios, verdicts, strict=True
        ):
            fill, hatch = VERDICT_LOOKS[verdict]
            size = 0.0 if ratio is None else min(float(ratio), reach)
            bar.set_width(size)
            bar.set_facecolor(fill)
            bar.set_hatch(hatch)
            words = verdict if ratio is None else f"{ratio_text(ratio)} {verdict}"
            text.set_text(words + (self.CUT if ratio is not None and ratio > reach else ""))
            text.set_x(reach * 1.015)
            shown.append(f"{name} {words}")
        self.ax.set_title(title, fontsize=FONT, loc="left")
        return "Used share of each limit (1.00 is all of it): " + "; ".join(shown) + "."

    def moving(self) -> list:
        return [*self._bars, *self._texts, *self._labels]

    def frame(self):
        return self._places, self.ax.get_xlim()

    def _lay_out(self, names: list[str]) -> None:
        """The names, each as tall as its lines; the axes are painted again only where that moves a bar."""
        self._names = names
        labels = ["\n".join(textwrap.wrap(n, NAME_WIDTH)) for n in names]
        tall = np.array([max(1.0, 0.72 * (1 + label.count("\n"))) for label in labels])
        place = tuple((np.cumsum(tall) - tall / 2).tolist())
        if place != self._places:
            self._places = place
            self._rows(tall)
        for text, label in zip(self._labels, labels, strict=True):
            text.set_text(label)

    def _rows(self, tall: np.ndarray) -> None:
        ax, place = self.ax, self._places
        ax.clear()
        plain_axes(ax)
        self._bars = list(ax.barh(place, np.zeros(len(place)), height=0.66, edgecolor=BLACK, linewidth=0.7))
        self._texts = [ax.text(0, at, "", va="center", fontsize=SMALL) for at in place]
        ax.axvline(1.0, color=BLACK, linewidth=1.2, linestyle="--", zorder=0.5)
        ax.set_yticks(place, [""] * len(place))
        # a name stands where the label of its tick would
        beside, _, _ = ax.get_yaxis_text1_transform(ax.yaxis.majorTicks[0].get_pad() + ax.yaxis.majorTicks[0].get_tick_padding())
        self._labels = [ax.text(0, at, "", va="center", ha="right", fontsize=SMALL, transform=beside) for at in place]
        ax.set_ylim(tall.sum() + 0.1, -0.1)
        ax.set_xticks([0, 0.25, 0.5, 0.75, 1.0], ["0", "0.25", "0.50", "0.75", "1.00\nlimit"])
        ax.set_xlabel("used share of the limit", fontsize=FONT)


def used_bars(names, ratios, verdicts, *, title: str = "", ax=None) -> Picture:
    """Bars of used shares. names, ratios (None where there is none), verdicts: one entry per check."""
    tall = sum(max(1.0, 0.72 * len(textwrap.wrap(n, NAME_WIDTH))) for n in names)
    ax = _figure_of(ax, PAGE_WIDTH, 0.8 + 0.25 * tall)
    caption = UsedBars(ax).draw(names, ratios, verdicts, title=title)
    _fit(ax.figure)
    return Picture(ax.figure, caption, (ax,))


# --- a beam: sag and moment ----------------------------------------------------------------------


class Curve:
    """A quantity along a beam, its largest value marked; supports drawn as triangles on the axis.

    reach  length that the axis always shows; the upright scale then moves in steps, so that a control seldom
           has to paint its axes again
    """

    # steps of the upright scale within a power of ten
    STEPS = (1.0, 1.5, 2.0, 3.0, 5.0, 7.0, 10.0)

    def __init__(self, ax, *, word: str, role: str = "", downward: bool = False, system: str = "inch",
                 reach: pint.Quantity | None = None):
        self.ax, self.word, self.role, self.system, self.downward = ax, word, role, system, downward
        self.reach = None if reach is None else float(magnitude(reach, _LENGTH[system]))
        plain_axes(ax)
        ax.locator_params(axis="x", nbins=6)
        ax.locator_params(axis="y", nbins=3)
        for axis in (ax.xaxis, ax.yaxis):
            axis.set_major_formatter(lambda value, _: number(value, 4))
        (self._line,) = ax.plot([], [], color=BLUE, linewidth=2)
        (self._marks,) = ax.plot([], [], linestyle="none", marker="^", markersize=8, color=BLACK,
                                 clip_on=False, zorder=4)
        (self._peak,) = ax.plot([], [], linestyle="none", marker="o", markersize=5, color=VERMILION, zorder=5)
        self._limit = ax.axhline(np.nan, color=VERMILION, linestyle="--", linewidth=1.2)
        self._limit_text = ax.annotate("", (0, 0), xytext=(0, 0), textcoords="offset points", fontsize=SMALL,
                                       ha="right", xycoords=ax.get_yaxis_transform(), zorder=6,
                                       bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.5})
        self._text = ax.text(0, 0, "", fontsize=FONT, ha="center",
                             bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.8}, zorder=6)
        ax.axhline(0, color=BLACK, linewidth=1)

    def draw(self, stations: pint.Quantity, values: pint.Quantity, *, supports: pint.Quantity | None = None,
             limit: pint.Quantity | None = None, title: str = "") -> str:
        """stations (n,) and values (n,), positive down for sag, sagging positive for moment; supports (k,)
        positions; limit, one value on the side of the largest. Returns the caption."""
        along = _LENGTH[self.system]
        unit = print_unit(values, self.system, self.role)
        x, y = np.asarray(magnitude(stations, along), float), np.asarray(magnitude(values, unit), float)
        peak = int(np.argmax(np.abs(y)))
        bound = None if limit is None else abs(float(magnitude(limit, unit))) * (-1 if y[peak] < 0 else 1)
        self._line.set_data(x, y)
        self._peak.set_data([x[peak]], [y[peak]])
        if supports is not None:
            at = np.atleast_1d(magnitude(supports, along))
            self._marks.set_data(at, np.zeros_like(at))
        self._scale(x, y, bound)
        said = printed(values[peak], self.system, self.role)
        where = printed(stations[peak], self.system, "size")
        self._text.set_text(f"{said} at {where}")
        self._place(x, y, peak)
        words = f"{self.word}: largest {said} at {where}"
        if bound is not None:
            words += f", limit {printed(limit, self.system, self.role)}"
            self._limit.set_ydata([bound, bound])
            self._limit_text.set_text(f"limit {printed(limit, self.system, self.role)}")
            # on the far side of the line, away from the curve's own number
            beyond = (bound > 0) != self.downward
            left = np.mean(self.ax.get_xlim()) < x[peak] - 0.1 * x[-1]
            self._limit_text.xy = (0.01 if left else 0.995, bound)
            self._limit_text.set_ha("left" if left else "right")
            self._limit_text.set_position((0, 3 if beyond else -3))
            self._limit_text.set_va("bottom" if beyond else "top")
        else:
            self._limit.set_ydata([np.nan, np.nan])
            self._limit_text.set_text("")
        self.ax.set_xlabel(f"along the beam, {unit_text(along)}", fontsize=FONT)
        self.ax.set_ylabel(f"{self.word}, {unit_text(unit)}", fontsize=FONT)
        self.ax.set_title(title, fontsize=FONT, loc="left")
        return words + "."

    def moving(self) -> list:
        return [self._line, self._marks, self._peak, self._limit, self._limit_text, self._text]

    def frame(self):
        return self.ax.get_xlim(), self.ax.get_ylim(), self.ax.get_xlabel(), self.ax.get_ylabel()

    def _scale(self, x, y, bound) -> None:
        low, high = min(0.0, float(y.min())), max(0.0, float(y.max()))
        if bound is not None:
            low, high = min(low, bound), max(high, bound)
        reach = (high - low) or 1.0
        first, last = x[0], x[-1]
        if self.reach is not None:
            power = 10.0 ** np.floor(np.log10(reach))
            step = next(s for s in self.STEPS if reach / power <= s * (1 + 1e-9)) * power
            low, high = low * step / reach, high * step / reach
            reach, last = step, max(last, self.reach)
        # room for the label beyond the curve, and for the triangles beyond the axis
        low, high = low - 0.30 * reach, high + 0.30 * reach
        self.ax.set_ylim(*((high, low) if self.downward else (low, high)))
        side = 0.02 * (last - first)
        self.ax.set_xlim(first - side, last + side)

    def _place(self, x, y, peak) -> None:
        """The number stands between curve and axis; of a peak at an end or of a small curve, beyond it."""
        left, right = self.ax.get_xlim()
        share = (x[peak] - left) / (right - left)
        low, high = sorted(self.ax.get_ylim())
        # across the width of the letters a pointed curve falls away: they stand below the lower of its sides
        near = np.abs(x - x[peak]) <= 0.13 * (right - left)
        clear = float(np.abs(y[near]).min())
        roomy = x[-1] - x[0] > 0.45 * (right - left) and clear > 0.25 * (high - low)
        inner = 0.05 < (x[peak] - x[0]) / (x[-1] - x[0]) < 0.95 and 0.18 < share < 0.82
        sign = (np.sign(y[peak]) or 1) * (-1 if roomy and inner else 1)
        base = y[peak] if sign * y[peak] > 0 else np.copysign(clear, y[peak])
        self._text.set_position((x[peak], base + sign * (0.06 if base == y[peak] else 0.03) * (high - low)))
        self._text.set_ha("center" if 0.18 < share < 0.82 else "left" if share < 0.5 else "right")
        self._text.set_va("bottom" if (sign > 0) != self.downward else "top")


def beam_diagrams(stations, sag, moment, *, supports=None, limit=None, system: str = "inch", title: str = "",
                  ax=None) -> Picture:
    """Sag (positive down) and bending moment (sagging positive) of a beam, one above the other.

    stations, sag, moment  quantities of shape (n,);  supports (k,);  limit: allowed sag
    ax  a pair of axes
    """
    pair_ = _figure_of(ax, PAGE_WIDTH, 4.4, rows=2)
    top, bottom = pair_
    first = Curve(top, word="sag", role="sag", downward=True, system=system)
    second = Curve(bottom, word="moment", system=system)
    caption = first.draw(stations, sag, supports=supports, limit=limit, title=title)
    caption = _sentence(caption) + " " + _sentence(second.draw(stations, moment, supports=supports))
    top.set_xlabel("")
    _fit(top.figure)
    return Picture(top.figure, caption, (top, bottom))


def sag_line(
    stations, sag, *, supports=None, limit=None, system: str = "inch", title: str = "", ax=None
) -> Picture:
    """The sagged shape of a beam alone."""
    ax = _figure_of(ax, PAGE_WIDTH, 2.6)
    caption = Curve(ax, word="sag", role="sag", downward=True, system=system).draw(
        stations, sag, supports=supports, limit=limit, title=title)
    _fit(ax.figure)
    return Picture(ax.figure, _sentence(caption), (ax,))


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]


# --- which tube carries which span ---------------------------------------------------------------


def feasible_region(tubes: Sequence[str], spans: pint.Quantity, ratios, verdicts=None, governs=None, *,
                    system: str = "inch", title: str = "", ax=None) -> Picture:
    """Tubes against spans: the largest used ratio in each cell, hatched where it is over.

    tubes   (r,) names;  spans (c,) lengths;  ratios (r, c);  verdicts (r, c) words, else from the ratio
    governs (r, c) words of what governs, named in the caption for the last span that holds
    """
    ratios = np.asarray(ratios, float)
    if verdicts is None:
        verdicts = np.where(ratios > 1, OVER, WITHIN)
    verdicts = np.asarray(verdicts)
    labels = [printed(s, system, "size") for s in spans]
    r, c = ratios.shape
    ax = _figure_of(ax, PAGE_WIDTH, 0.95 + 0.27 * r)
    plain_axes(ax)
    for i in range(r):
        for j in range(c):
            verdict = str(verdicts[i, j])
            fill, hatch = VERDICT_LOOKS[verdict]
            looks = {"facecolor": fill if verdict == WITHIN else PAPER, "hatch": hatch, "linewidth": 0.6,
                     "edgecolor": PAPER if verdict == WITHIN else GREY}
            cell = ax.add_patch(Rectangle((j - 0.5, i - 0.5), 1, 1, **looks))
            words = ratio_text(ratios[i, j]) if verdict in (WITHIN, OVER) else verdict.split()[0]
            text = ax.text(j, i, words, ha="center", va="center", fontsize=SMALL,
                           bbox={"facecolor": looks["facecolor"], "edgecolor": "none", "pad": 1.0})
            # what stands inside the axes needs no room beside them
            cell.set_in_layout(False)
            text.set_in_layout(False)
    ax.set_xlim(-0.5, c - 0.5)
    ax.set_ylim(r - 0.5, -0.5)
    ax.set_xticks(range(c), labels, fontsize=SMALL)
    ax.set_yticks(range(r), tubes, fontsize=SMALL)
    ax.set_xlabel("distance between supports", fontsize=FONT)
    ax.set_title(title, fontsize=FONT, loc="left")
    seen = [v for v in VERDICT_LOOKS if v in set(verdicts.ravel())]
    handles = [Patch(facecolor=VERDICT_LOOKS[v][0] if v == WITHIN else PAPER, hatch=VERDICT_LOOKS[v][1],
                     edgecolor=GREY, label=v) for v in seen]
    ax.legend(
        handles=handles,
        loc="lower right",
        bbox_to_anchor=(1.0, 1.0),
        ncols=len(handles),
        fontsize=SMALL,
        frameon=False,
        borderaxespad=0.2,
    )
    _fit(ax.figure)
    return Picture(ax.figure, _region_caption(tubes, labels, ratios, verdicts, governs), (ax,))


def _region_caption(tubes, labels, ratios, verdicts, governs) -> str:
    parts = []
    for i, tube in enumerate(tubes):
        good = [j for j in range(len(labels)) if verdicts[i, j] == WITHIN]
        if not good:
            parts.append(f"{tube}: none of these spans ({verdicts[i, 0]})")
            continue
        j = good[-1]
        why = f", {governs[i][j]} governs" if governs is not None else ""
        parts.append(f"{tube}: up to {labels[j]}, used {ratio_text(ratios[i, j])}{why}")
    return "Longest span within limit of each tube. " + "; ".join(parts) + "."


# --- the load at which the table goes over -------------------------------------------------------


# What a load on the top does: how the caption begins, what it does, what it does not.
EVENTS = {"goes over": ("Goes over", "tips it", "tips it nowhere"), "a foot lifts": ("A foot lifts", "lifts a foot", "lifts no foot")}


class TippingMap:
    """Over the plan of the top: the load at which the table goes over if it is put there.

    Bands of colour, the number at a few places, hatching where the stated load would do it, dots where
    no load on the top can.
    """

    def __init__(
        self,
        ax,
        *,
        levels: Sequence[float] | None = None,
        system: str = "inch",
        across: Sequence[float] | None = None,
        numbers: tuple[int, int] = (5, 3),
    ):
        """levels  rising band edges in lbf or N;  across  (half length, half width) that the axes show"""
        self.ax, self.system, self.across, self.numbers = ax, system, across, numbers
        self.unit = "lbf" if system == "inch" else "N"
        self.levels = np.asarray(LEVELS[system] if levels is None else levels, float)
        plain_axes(ax)
        ax.set_aspect("equal")
        ax.locator_params(nbins=7)
        self._norm = BoundaryNorm(self.levels, 256, extend="max")
        self._mesh, self._grid = None, ()
        self._outline = ax.add_patch(Polygon([(0, 0)], fill=False, edgecolor=BLACK, linewidth=1.4, zorder=4))
        (self._feet,) = ax.plot([], [], linestyle="none", marker="s", markersize=7, markerfacecolor=PAPER,
                                markeredgecolor=BLACK, markeredgewidth=1.4, zorder=6)
        (self._weak,) = ax.plot(
            [],
            [],
            linestyle="none",
            marker="X",
            markersize=11,
            markerfacecolor=VERMILION,
            markeredgecolor=BLACK,
            zorder=7,
        )
        # a veil under the lines keeps them readable on the dark end of the scale as well
        self._over = PolyCollection(
            [], facecolor=(1, 1, 1, 0.4), edgecolor=BLACK, hatch="////", linewidth=0, zorder=2
        )
        self._never = PolyCollection([], facecolor=PALE, edgecolor=GREY, hatch="..", linewidth=0, zorder=2)
        for part in (self._over, self._never):
            ax.add_collection(part, autolim=False)
        self._texts = [ax.text(0, 0, "", ha="center", va="center", fontsize=SMALL, zorder=5,
                               bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.8, "alpha": 0.85})
                       for _ in range(numbers[0] * numbers[1])]
        along = unit_text(_LENGTH[system])
        ax.set_xlabel(f"along the top, {along}", fontsize=FONT)
        ax.set_ylabel(f"across, {along}", fontsize=FONT)
        self._bar()

    def _bar(self) -> None:
        scale = matplotlib.cm.ScalarMappable(norm=self._norm, cmap=SCALE)
        bar = self.ax.figure.colorbar(scale, cax=self.ax.inset_axes((1.02, 0, 0.025, 1)), ticks=self.levels,
                                      spacing="uniform", extend="max")
        bar.set_label(f"load that does it, {self.unit}", fontsize=SMALL)
        bar.ax.set_yticks(self.levels, [number(v, 3) for v in self.levels])
        bar.ax.tick_params(labelsize=SMALL)

    def draw(self, x: pint.Quantity, y: pint.Quantity, load: pint.Quantity, *, feet: Sequence[tuple],
             weakest: tuple, needed: pint.Quantity | None = None, outline: pint.Quantity | None = None,
             title: str = "", event: str = "goes over") -> str:
        """x (c,), y (r,) places; load (r, c), inf where no load there tips it; feet [(name, x, y)];
        weakest (x, y, load, words); needed: the load that it has to bear; outline (k, 2) of the top where it
        is no rectangle: what lies beyond is cut off; event: what the load does. Returns the caption."""
        along = _LENGTH[self.system]
        xs, ys = np.asarray(magnitude(x, along), float), np.asarray(magnitude(y, along), float)
        size = np.asarray(magnitude(load, self.unit), float)
        edges_x, edges_y = _edges(xs), _edges(ys)
        shown = np.ma.masked_invalid(size)
        self._colour(edges_x, edges_y, shown)
        limit = None if needed is None else float(magnitude(needed, self.unit))
        self._never.set_verts(_cells(edges_x, edges_y, np.isinf(size)))
        self._over.set_verts([] if limit is None else _cells(edges_x, edges_y, size < limit))
        around = ([(xs[0], ys[0]), (xs[-1], ys[0]), (xs[-1], ys[-1]), (xs[0], ys[-1])] if outline is None
                  else np.asarray(magnitude(outline, along), float))
        self._outline.set_xy(around)
        for part in (self._mesh, self._never, self._over):
            part.set_clip_path(self._outline)
        places = [(float(magnitude(fx, along)), float(magnitude(fy, along))) for _, fx, fy in feet]
        self._feet.set_data([p[0] for p in places], [p[1] for p in places])
        wx, wy, wload, words = weakest
        at = float(magnitude(wx, along)), float(magnitude(wy, along))
        self._weak.set_data([at[0]], [at[1]])
        self._write(xs, ys, size, at, places)
        half = self.across or (abs(xs).max(), abs(ys).max())
        self.ax.set_xlim(-1.04 * half[0], 1.04 * half[0])
        self.ax.set_ylim(-1.08 * half[1], 1.08 * half[1])
        self.ax.set_title(title, fontsize=FONT, loc="left")
        said = f"{printed(wload, self.system)} at {words}"
        first, does, never = EVENTS[event]
        caption = f"{first} first under {said} (marked X); feet are squares"
        if np.isinf(size).any():
            caption += f"; dotted: no load there {does}"
        if limit is not None:
            tips = float(magnitude(wload, self.unit)) < limit
            caption += (f"; hatched: {printed(needed, self.system)} {does}" if tips
                        else f"; {printed(needed, self.system)} {never}")
        return caption + "."

    def _colour(self, edges_x: np.ndarray, edges_y: np.ndarray, shown: np.ndarray) -> None:
        """The bands of colour: on the same grid only their numbers change."""
        grid = (*edges_x, *edges_y)
        if self._mesh is not None and grid == self._grid:
            self._mesh.set_array(shown)
            return
        if self._mesh is not None:
            self._mesh.remove()
        self._grid = grid
        self._mesh = self.ax.pcolormesh(edges_x, edges_y, shown, norm=self._norm, cmap=SCALE, zorder=1, rasterized=True)

    def moving(self) -> list:
        return [self._mesh, self._never, self._over, self._outline, self._feet, self._weak, *self._texts]

    def frame(self):
        return self.ax.get_xlim(), self.ax.get_ylim()

    def _write(self, xs, ys, size, weakest, feet) -> None:
        """Numbers at evenly spread places, none on the weakest point (the caption has it) or on a foot."""
        nx, ny = self.numbers
        columns = np.linspace(0, len(xs) - 1, nx).round().astype(int)
        rows = np.linspace(0, len(ys) - 1, ny).round().astype(int)
        wide, tall = xs[-1] - xs[0], ys[-1] - ys[0]
        on_top = self._outline.get_path()
        clear = [(*weakest, 0.07, 0.12), *((fx, fy, 0.06, 0.10) for fx, fy in feet)]
        for text, (i, j) in zip(self._texts, ((i, j) for i in rows for j in columns), strict=True):
            # moved in from the edge to stand on the map: the number is that of the place it stands on
            px = min(max(xs[j], xs[0] + 0.06 * wide), xs[-1] - 0.06 * wide)
            py = min(max(ys[i], ys[0] + 0.09 * tall), ys[-1] - 0.09 * tall)
            near = any(abs(px - x) < w * wide and abs(py - y) < h * tall for x, y, w, h in clear)
            value = size[np.abs(ys - py).argmin(), np.abs(xs - px).argmin()]
            text.set_text("" if near or not on_top.contains_point((px, py)) else self._words(value))
            text.set_position((px, py))

    def _words(self, value: float) -> str:
        if not np.isfinite(value):
            return "never"
        top = self.levels[-1]
        return f"over {number(top, 3)}" if value > top else number(value, 3)


def _edges(centres: np.ndarray) -> np.ndarray:
    middle = (centres[1:] + centres[:-1]) / 2
    return np.concatenate([centres[:1], middle, centres[-1:]])


def _cells(edges_x, edges_y, mask) -> list:
    """Corners of the cells of a mask: runs along a row joined into one, and rows with the same run too."""
    done, open_ = [], {}
    for i, row in enumerate([*mask, np.zeros(mask.shape[1], bool)]):
        change = np.flatnonzero(np.diff(np.concatenate([[0], row.astype(int), [0]])))
        runs = set(zip(change[::2].tolist(), change[1::2].tolist(), strict=True))
        for run in [r for r in open_ if r not in runs]:
            x0, x1, y0, y1 = edges_x[run[0]], edges_x[run[1]], edges_y[open_.pop(run)], edges_y[i]
            done.append([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
        for run in runs:
            open_.setdefault(run, i)
    return done


def tipping_map(
    x,
    y,
    load,
    *,
    feet,
    weakest,
    needed=None,
    outline=None,
    levels=None,
    system: str = "inch",
    title: str = "",
    ax=None,
    event: str = "goes over",
) -> Picture:
    """The load at which the table goes over (or a foot lifts, by `event`), over the plan of the top.

    x (c,), y (r,) lengths;  load (r, c) forces, inf where no load there tips it
    outline (k, 2) of the top where it is no rectangle
    feet [(name, x, y)];  weakest (x, y, load, words for the place);  needed: the load it has to bear
    """
    shape = float(np.ptp(y.magnitude) / np.ptp(x.to(y.units).magnitude))
    if ax is None:
        # places by hand: fitting does not know how wide the scale beside equal axes gets
        wide = min(5.5, 3.6 / shape)
        tall = wide * shape * 1.08 / 1.04
        across, high = wide + 1.6, tall + 0.85
        ax = new_figure(across, high).add_axes((0.65 / across, 0.5 / high, wide / across, tall / high))
    picture = TippingMap(ax, levels=levels, system=system)
    caption = picture.draw(x, y, load, feet=feet, weakest=weakest, needed=needed, outline=outline,
                           title=title, event=event)
    return Picture(ax.figure, caption, (ax,))
