"""Pictures of the top: how far it sags over its plan, in one state or in three side by side."""

from __future__ import annotations

from collections.abc import Sequence

import matplotlib
import numpy as np
import pint
from matplotlib.colors import BoundaryNorm
from matplotlib.patches import Polygon

from shopcalc.show.canvas import FONT, PAGE_WIDTH, SMALL, Picture, new_figure, plain_axes
from shopcalc.show.palette import BLACK, PAPER, SCALE, VERMILION
from shopcalc.show.values import printed
from shopcalc.units import magnitude, number, unit_text

_UNIT = {"inch": "inch", "mm": "mm"}
_WORD = (0.19, 0.16)  # what a word takes up, as part of half the length and half the width
_STEPS = {"inch": (0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5), "mm": (0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0)}


def levels_for(most: pint.Quantity, system: str) -> np.ndarray:
    """Even steps of sag, from lifted to a little over `most`."""
    size = float(magnitude(most, _UNIT[system]))
    step = next((s for s in _STEPS[system] if s * 5 >= size), _STEPS[system][-1])
    return step * np.arange(-2, 6)


class SagMap:
    """Over the plan of the top: how far it goes down. Bands of colour with lines between them, each line with its sag; seats are
    squares, the place of most sag an X."""

    def __init__(self, ax, *, levels: Sequence[float], system: str = "inch", half: tuple[float, float], bar: bool = True):
        """levels  rising sags in inches or mm;  half  (half length, half width) that the axes show, in the same unit"""
        self.ax, self.system, self.half, self.levels = ax, system, half, np.asarray(levels, float)
        self.unit = unit_text(_UNIT[system])
        plain_axes(ax)
        ax.set_aspect("equal")
        ax.locator_params(nbins=7)
        ax.set_xlim(-1.04 * half[0], 1.04 * half[0])
        ax.set_ylim(-1.08 * half[1], 1.08 * half[1])
        self._bands = self._lines = None
        # two words for each line: one on either side of the middle
        self._words = [ax.text(0, 0, "", ha="center", va="center", fontsize=SMALL, zorder=5,
                               bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.8, "alpha": 0.85}) for _ in range(2 * len(self.levels))]
        self._outline = ax.add_patch(Polygon([(0, 0)], fill=False, edgecolor=BLACK, linewidth=1.4, zorder=4))
        (self._seats,) = ax.plot([], [], linestyle="none", marker="s", markersize=5, markerfacecolor=PAPER, markeredgecolor=BLACK, zorder=6)
        (self._most,) = ax.plot([], [], linestyle="none", marker="X", markersize=10, markerfacecolor=VERMILION, markeredgecolor=BLACK, zorder=7)
        ax.set_xlabel(f"along the top, {self.unit}", fontsize=FONT)
        ax.set_ylabel(f"across, {self.unit}", fontsize=FONT)
        if bar:
            scale = matplotlib.cm.ScalarMappable(norm=BoundaryNorm(self.levels, 256, extend="both"), cmap=SCALE)
            made = ax.figure.colorbar(scale, cax=ax.inset_axes((1.02, 0, 0.025, 1)), ticks=self.levels, spacing="uniform", extend="both")
            made.set_label(f"sag, {self.unit} (below 0: up)", fontsize=SMALL)
            made.ax.set_yticks(self.levels, [self._plain(v) for v in self.levels])
            made.ax.tick_params(labelsize=SMALL)

    def _plain(self, value: float) -> str:
        return number(round(value, 6), 2) if value else "0"

    def draw(self, x: pint.Quantity, y: pint.Quantity, sag: pint.Quantity, *, seats: pint.Quantity, most: tuple, outline: pint.Quantity,
             title: str = "") -> str:
        """x (c,), y (r,) places; sag (r, c) down positive (what lies beyond the outline is cut off); seats (k, 2); most (x, y, sag); outline (k, 2).
        Returns the caption."""
        unit = _UNIT[self.system]
        xs, ys, w = (np.asarray(magnitude(v, unit), float) for v in (x, y, sag))
        for old in (self._bands, self._lines):
            if old is not None:
                old.remove()
        around = np.asarray(magnitude(outline, unit), float)
        self._outline.set_xy(around)
        # Bands with a norm of their own: on a shared one all bands before them, and the bar, are worked out again.
        norm = BoundaryNorm(self.levels, 256, extend="both")
        self._bands = self.ax.contourf(xs, ys, w, levels=self.levels, norm=norm, cmap=SCALE, extend="both", zorder=1)
        self._lines = self.ax.contour(xs, ys, w, levels=self.levels, colors=BLACK, linewidths=0.7, zorder=2)
        spots = self._spots(around)
        for word, (px, py, level) in zip(self._words, spots + [(0.0, 0.0, None)] * (len(self._words) - len(spots)), strict=True):
            word.set_text("" if level is None else f"{self._plain(level)} {self.unit}")
            word.set_position((px, py))
        for part in (self._bands, self._lines):
            part.set_clip_path(self._outline)
        self._seats.set_data(*np.asarray(magnitude(seats, unit), float).T)
        mx, my, size = most
        self._most.set_data([float(magnitude(mx, unit))], [float(magnitude(my, unit))])
        self.ax.set_title(title, fontsize=FONT, loc="left")
        return f"Sag of the top, most {printed(size, self.system, 'sag')} (marked X); seats are squares; the lines carry their sag."

    def _spots(self, around: np.ndarray) -> list[tuple[float, float, float]]:
        """Where the words of the lines stand: each line on either side of the middle, next to one another at other heights; within
        the top, and none over another."""
        spots, tall = [], abs(around[:, 1]).max()
        far = max(abs(around[:, 0]).max() - _WORD[0] * self.half[0] / 2, 0.0)
        for i, (level, path) in enumerate(zip(self.levels, self._lines.get_paths(), strict=True)):
            for side in (-1, 1):
                there = path.vertices[path.vertices[:, 0] * side > 0]
                if len(there):
                    px, py = there[np.abs(there[:, 1] - (0.5, 0.0, -0.5)[i % 3] * tall).argmin()]
                    px = float(np.clip(px, -far, far))
                    if all(abs(px - a) > _WORD[0] * self.half[0] or abs(py - b) > _WORD[1] * self.half[1] for a, b, _ in spots):
                        spots.append((px, float(py), float(level)))
        return spots

    def moving(self) -> list:
        return [p for p in (self._bands, self._lines, *self._words, self._outline, self._seats, self._most, self.ax.title) if p is not None]

    def frame(self):
        return self.ax.get_xlim(), self.ax.get_ylim()


def three_states(maps: Sequence[tuple[str, dict]], *, system: str, half: tuple[float, float]) -> Picture:
    """One map under another on one scale: [(words of the state, what SagMap.draw takes)]."""
    most = max((data["most"][2] for _, data in maps), key=lambda q: float(magnitude(q, "m")))
    levels = levels_for(most, system)
    tall = 5.2 * half[1] / half[0] + 0.62
    figure = new_figure(PAGE_WIDTH, tall * len(maps))
    for i, (words, data) in enumerate(maps):
        low = 1 - (i + 1) / len(maps)
        ax = figure.add_axes((0.09, low + 0.46 / tall / len(maps), 0.76, (tall - 0.72) / tall / len(maps)))
        picture = SagMap(ax, levels=levels, system=system, half=half)
        picture.draw(**data, title=f"{words}: {printed(data['most'][2], system, 'sag')}")
    text = "; ".join(f"{words} {printed(data['most'][2], system, 'sag')}" for words, data in maps)
    return Picture(figure, f"Sag of the top in its three states, most {text}; seats are squares, X marks the most.")
