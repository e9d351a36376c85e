"""Plan and elevations of a table, drawn from its one geometry, with sizes as the shop writes them."""

from __future__ import annotations

import numpy as np
from matplotlib.markers import CARETUP

from shopcalc.show.canvas import FONT, PAGE_WIDTH, SMALL, Picture, new_figure
from shopcalc.show.palette import BLACK, GREY, ORANGE, PALE, PAPER, SKY_BLUE
from shopcalc.table.names import kind_of
from shopcalc.units import Q, show_length

MARGIN, GAP = 50.0, 74.0  # points of paper
LETTER = 4.7  # points of paper that a small letter takes, with room
CORNERS = ((-1, -1), (1, -1), (1, 1), (-1, 1))
# view -> (across, up, towards the eye): axis and sign
_VIEWS = {"plan": (0, 1, (2, 1)), "front": (0, 2, (1, -1)), "end": (1, 2, (0, 1))}


def box_corners(member) -> np.ndarray:
    """The corners of a bar, metres: (8, 3), or twelve where it tapers from a straight head. Its height along `member.up`, its
    width square to it."""
    first, second = np.asarray(member.first, float), np.asarray(member.second, float)
    if member.plate is not None:
        return plate_corners(member.plate, first, member.height)
    side = np.cross(second - first, member.up) / np.linalg.norm(second - first)
    ends = [(first, member.at(0.0)), (second, member), *([(member.point_at(member.kink), member)] if member.straight else [])]
    sizes = [(end, np.asarray(member.up) * m.height / 2, side * m.width / 2) for end, m in ends]
    return np.array([end + a * h + b * w for end, h, w in sizes for a in (-1, 1) for b in (-1, 1)])


def plate_corners(plate, middle: np.ndarray, thickness: float) -> np.ndarray:
    """Upper and lower outline (2 k, 3) of a plate under a column, metres: drawn whole, not by its strips."""
    rim = np.array(CORNERS) / 2 * [plate.length, plate.width]
    if plate.round:
        turn = np.linspace(0, 2 * np.pi, 49)[:-1]
        rim = np.stack([np.cos(turn), np.sin(turn)], axis=1) * plate.length / 2
    return np.array([[middle[0] + x, middle[1] + y, middle[2] + s * thickness / 2] for s in (-1, 1) for x, y in rim])


def top_outline(top) -> np.ndarray:
    """Outline (k, 2) of the top in plan, metres."""
    half = np.array([top.length, top.width]) / 2
    if top.shape == "round":
        turn = np.linspace(0, 2 * np.pi, 121)[:-1]
        return np.stack([np.cos(turn), np.sin(turn)], axis=1) * half
    return np.array(CORNERS) * half


def outline(corners: np.ndarray) -> np.ndarray:
    """Outline (k, 2), counter-clockwise, of the shadow of some points in the plane."""
    points = sorted(set(map(tuple, np.round(corners, 9))))

    def half(row):
        chain: list = []
        for p in row:
            while len(chain) > 1 and _turn(chain[-2], chain[-1], p) <= 0:
                chain.pop()
            chain.append(p)
        return chain[:-1]

    return np.array(half(points) + half(points[::-1]))


def _turn(a, b, c) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


class _Sheet:
    """One pair of axes in metres on which views stand side by side to one scale."""

    def __init__(self, ax, system: str, scale: float):
        self.ax, self.system = ax, system
        self.point = scale / 72  # metres of table per point of paper
        self.middle = 0.0  # of the view being drawn, across the sheet

    def text(self, metres: float) -> str:
        return show_length(Q(metres, "m"), self.system, feet=metres > 1.5)

    def shape(self, corners, at, **looks) -> None:
        self.ax.fill(*(outline(corners) + at).T, **{"edgecolor": BLACK, "linewidth": 0.8, **looks})

    def across(self, x0, x1, y, reach_from, words: str = "", *, chained: bool = False) -> None:
        """A dimension along x at height y; thin lines reach to it from `reach_from`. Words too long for it
        stand beside its outer end, or under it where others are chained to both its ends."""
        for x in (x0, x1):
            self.ax.plot([x, x], [reach_from, y], color=GREY, linewidth=0.5)
        self.ax.annotate("", (x0, y), (x1, y), arrowprops=_ARROW)
        words = self._words(abs(x1 - x0), words)
        if (len(words) * LETTER + 8) * self.point < abs(x1 - x0):
            self.ax.text((x0 + x1) / 2, y, words, ha="center", va="center", **_LETTERS)
        elif chained:
            self.ax.text((x0 + x1) / 2, y - 3 * self.point, words, ha="center", va="top", **_LETTERS)
        elif x0 + x1 < 2 * self.middle:
            self.ax.text(min(x0, x1) - 3 * self.point, y, words, ha="right", va="center", fontsize=SMALL)
        else:
            self.ax.text(max(x0, x1) + 3 * self.point, y, words, ha="left", va="center", fontsize=SMALL)

    def upward(self, y0, y1, x, reach_from, words: str = "") -> None:
        for y in (y0, y1):
            self.ax.plot([reach_from, x], [y, y], color=GREY, linewidth=0.5)
        self.ax.annotate("", (x, y0), (x, y1), arrowprops=_ARROW)
        self.ax.text(
            x,
            (y0 + y1) / 2,
            self._words(abs(y1 - y0), words),
            ha="center",
            va="center",
            rotation=90,
            **_LETTERS,
        )

    def _words(self, metres: float, words: str) -> str:
        return f"{self.text(metres)} {words}".strip()

    def title(self, x, y, words) -> None:
        self.ax.text(x, y, words, fontsize=FONT, weight="bold", ha="left", va="bottom")


_ARROW = {
    "arrowstyle": "<->",
    "color": BLACK,
    "linewidth": 0.7,
    "shrinkA": 0,
    "shrinkB": 0,
    "mutation_scale": 7,
}
_LETTERS = {"fontsize": SMALL, "bbox": {"facecolor": PAPER, "edgecolor": "none", "pad": 0.8}}


def general_view(geometry, system: str = "inch", ax=None) -> Picture:
    """Plan, front and end of a table to one scale, with the sizes that a shop sets out from.

    geometry  shopcalc.table.geometry.Geometry (metres);  system "inch" or "mm"
    """
    top = geometry.top
    (length, width), height = 2 * reach_of(geometry), top.underside + top.thickness
    # margins and gaps hold letters, so they are measured on the paper
    scale = (length + width) / (PAGE_WIDTH - (2 * MARGIN + GAP) / 72)
    margin, gap = MARGIN / 72 * scale, GAP / 72 * scale
    sheet_wide, sheet_tall = 2 * margin + gap + length + width, 2 * margin + gap + width + height
    if ax is None:
        ax = new_figure(PAGE_WIDTH, sheet_tall / scale).add_axes((0, 0, 1, 1))
    ax.set_axis_off()
    ax.set_aspect("equal")
    sheet = _Sheet(ax, system, scale)
    front_at = np.array([margin + length / 2, margin])
    plan_at = np.array([front_at[0], margin + height + gap + width / 2])
    end_at = np.array([margin + length + gap + width / 2, margin])
    _plan(sheet, geometry, plan_at)
    _front(sheet, geometry, front_at)
    _end(sheet, geometry, end_at)
    _legend(sheet, end_at[0] - width / 2, plan_at[1] + width / 2)
    ax.set_xlim(0, sheet_wide)
    ax.set_ylim(0, sheet_tall)
    return Picture(ax.figure, caption_of(geometry, system), (ax,))


def reach_of(geometry) -> np.ndarray:
    """How far (2,) top, bars and feet reach from the middle of the top, along and across, metres."""
    out = [np.abs(box_corners(m)[:, :2]).max(axis=0) for m in geometry.members.values()]
    return np.max([(geometry.top.length / 2, geometry.top.width / 2), np.abs(geometry.foot_contacts).max(axis=0), *out], axis=0)


def caption_of(geometry, system: str) -> str:
    """The sizes of the drawing in words."""
    def say(metres):
        return show_length(Q(metres, "m"), system)

    top, xs, ys = geometry.top, *_feet(geometry)
    tubes: dict[str, list[str]] = {}
    for m in geometry.members.values():
        tubes.setdefault(m.words, []).append(kind_of(m.name))
    bars = "; ".join(f"{', '.join(dict.fromkeys(kinds))}: {words}" for words, kinds in tubes.items())
    size = (
        f"{say(top.length)} across, round,"
        if top.shape == "round"
        else f"{say(top.length)} x {say(top.width)} x"
    )
    return (
        f"Top {size} {say(top.thickness)}{' thick' if top.shape == 'round' else ''}, "
        f"underside {say(top.underside)} above "
        f"the floor; feet {say(xs[-1] - xs[0])} apart along and {say(ys[-1] - ys[0])} across; "
        f"{_beyond(top.length / 2 - xs[-1], top.width / 2 - ys[-1], say)}."
        + f" Bars: {bars}."
    )


def _beyond(ends: float, sides: float, say) -> str:
    """How the top stands over the feet; they may also stand outside it."""
    if ends >= 0 and sides >= 0:
        return f"top reaches {say(ends)} beyond the feet at the ends and {say(sides)} at the sides"
    if ends < 0 and sides < 0:
        return f"feet stand {say(-ends)} outside the top at the ends and {say(-sides)} at the sides"
    words = [f"top reaches {say(out)} beyond the feet {where}" if out >= 0 else f"feet stand {say(-out)} outside the top {where}"
             for out, where in ((ends, "at the ends"), (sides, "at the sides"))]
    return ", ".join(words)


def _feet(geometry) -> tuple[list[float], list[float]]:
    """Rising x and y of the foot contacts."""
    spots = geometry.foot_contacts
    return sorted({round(float(x), 9) for x in spots[:, 0]}), sorted(
        {round(float(y), 9) for y in spots[:, 1]}
    )


def _members(geometry, across: int, up: int, depth: tuple[int, int]) -> list:
    """Members from the farthest to the nearest, with their outlines' corners in a view."""
    axis, sign = depth
    order = sorted(geometry.members.values(),
                   key=lambda m: sign * (m.first[axis] + m.second[axis]) / 2)
    return [(m, box_corners(m)[:, [across, up]]) for m in order]


def _plan(sheet: _Sheet, g, at) -> None:
    top, (xs, ys) = g.top, _feet(g)
    sheet.middle = at[0]
    half = np.array([top.length, top.width]) / 2
    sheet.shape(top_outline(top), at, facecolor=PALE, linewidth=1.3, zorder=1)
    for _, shadow in _members(g, *_VIEWS["plan"]):
        sheet.shape(shadow, at, facecolor=SKY_BLUE, alpha=0.75, linestyle="--", linewidth=0.6, zorder=2)
    for spot in g.foot_contacts:
        sheet.ax.plot(
            *(spot + at), marker="s", markersize=6, markerfacecolor=ORANGE, markeredgecolor=BLACK, zorder=4
        )
    p = sheet.point
    out = reach_of(g)
    low, left, right = at[1] - out[1], at[0] - out[0], at[0] + out[0]
    sheet.title(left, at[1] + out[1] + 5 * p, "Plan (base seen through the top)")
    first, second = low - 14 * p, low - 29 * p
    # an overhang stands beside the feet, feet outside the top beside the top
    for end, side in ((xs[0], -half[0]), (xs[-1], half[0])):
        sheet.across(at[0] + min(end, side), at[0] + max(end, side), first if abs(end) <= half[0] else second, low)
    sheet.across(at[0] + xs[0], at[0] + xs[-1], first, low, "feet", chained=True)
    sheet.across(at[0] - half[0], at[0] + half[0], second, low, "top")
    sheet.upward(at[1] + ys[0], at[1] + ys[-1], right + 14 * p, right, "feet")
    sheet.upward(at[1] - half[1], at[1] + half[1], right + 30 * p, right, "top")


def _front(sheet: _Sheet, g, at) -> None:
    _elevation(sheet, g, at, "front", g.top.length / 2, "Front")
    p = sheet.point
    left = at[0] - reach_of(g)[0]
    sheet.upward(at[1], at[1] + g.top.underside, left - 12 * p, left)
    sheet.upward(at[1], at[1] + g.top.underside + g.top.thickness, left - 27 * p, left)


def _end(sheet: _Sheet, g, at) -> None:
    _elevation(sheet, g, at, "end", g.top.width / 2, "End, from the right")
    p, (_, ys) = sheet.point, _feet(g)
    right = at[0] + reach_of(g)[1]
    sheet.across(at[0] + ys[0], at[0] + ys[-1], at[1] - 14 * p, at[1], "feet")
    sheet.upward(at[1] + g.top.underside, at[1] + g.top.underside + g.top.thickness, right + 24 * p, right)


def _elevation(sheet: _Sheet, g, at, view: str, half: float, title: str) -> None:
    across, up, depth = _VIEWS[view]
    top, p = g.top, sheet.point
    sheet.middle = at[0]
    for _, shadow in _members(g, across, up, depth):
        sheet.shape(shadow, at, facecolor=SKY_BLUE, zorder=2)
    lowest = min(float(box_corners(m)[:, 2].min()) for m in g.members.values())
    for place in g.foot_contacts:
        spot = at + (place[across], 0.0)
        # the foot itself: from the floor to the lowest bar
        sheet.ax.plot([spot[0]] * 2, [at[1], at[1] + lowest], color=BLACK, linewidth=2.2, zorder=1)
        sheet.ax.plot(*spot, marker=CARETUP, markersize=8, color=ORANGE, markeredgecolor=BLACK, zorder=4)
    _label(sheet, g, at, view)
    slab = np.array([(-half, top.underside), (half, top.underside), (half, top.underside + top.thickness),
                     (-half, top.underside + top.thickness)])
    sheet.shape(slab, at, facecolor=PALE, linewidth=1.0, zorder=3)
    floor = reach_of(g)[across] + 6 * p
    sheet.ax.plot([at[0] - floor, at[0] + floor], [at[1]] * 2, color=BLACK, linewidth=1.4, zorder=1)
    sheet.title(at[0] - half, at[1] + top.underside + top.thickness + 5 * p, title)


def _legend(sheet: _Sheet, left: float, high: float) -> None:
    sheet.ax.text(
        left,
        high,
        "square, triangle: foot\npale: top\ndashed: under the top",
        fontsize=SMALL,
        va="top",
        ha="left",
        linespacing=1.5,
    )


def _label(sheet: _Sheet, g, at, view: str) -> None:
    """The kind of each long level bar of a view, once, beside it."""
    across, up, depth = _VIEWS[view]
    seen, taken = set(), []
    for m, shadow in reversed(_members(g, across, up, depth)):
        (x0, y0), (x1, y1) = shadow.min(axis=0), shadow.max(axis=0)
        kind = kind_of(m.name)
        if kind in seen or kind in ("head", "foot", "arm", "plate") or x1 - x0 < 2 * (y1 - y0):
            continue
        seen.add(kind)
        spot = np.array([(x0 + x1) / 2, y0])
        if any(np.abs(spot - other).max() < 16 * sheet.point for other in taken):
            continue  # a bar right behind one that is named already
        taken.append(spot)
        # under a bar that stands right below the top there is room, above it there is none
        high = g.top.underside - y1 < 16 * sheet.point
        sheet.ax.text(
            (x0 + x1) / 2 + at[0],
            (y0 - 4 * sheet.point if high else y1 + 4 * sheet.point) + at[1],
            kind,
            fontsize=SMALL,
            ha="center",
            va="top" if high else "bottom",
        )
