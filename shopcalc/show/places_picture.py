"""Seats, knees, wheelchair places and what they meet, on the plan of a table."""

from __future__ import annotations

import numpy as np

from shopcalc.show.canvas import PAGE_WIDTH, SMALL, Picture, new_figure
from shopcalc.show.drawing import box_corners, outline, top_outline
from shopcalc.show.palette import BLACK, GREY, ORANGE, PALE, PAPER, SKY_BLUE, VERMILION
from shopcalc.table.names import in_words
from shopcalc.table.people import Place, corner_clashes, plan_of_places
from shopcalc.units import Q, show_length

SEAT_OUT, CHAIR_OUT = 0.16, 0.32  # metres: labels of seats beyond the edge and whatever stands out there; of wheelchairs beyond those
MARGIN = 0.20  # metres of floor shown round the top


def strip(place: Place, depth: float | None = None) -> np.ndarray:
    """Corners (4, 2) of the room that somebody takes under the top, metres."""
    at, inward = np.array(place.at), np.array(place.inward)
    side = np.array([-inward[1], inward[0]]) * place.width / 2
    end = at + inward * (place.depth if depth is None else depth)
    return np.array([at - side, at + side, end + side, end - side])


def places_picture(geometry, places: list[Place] | None = None, system: str = "inch", ax=None) -> Picture:
    """Plan of a table with its places: knees hatched, what meets a bar crossed and named in the caption.

    geometry  shopcalc.table.geometry.Geometry (metres);  places  of shopcalc.table.people.plan_of_places
    """
    found = plan_of_places(geometry) if places is None else places
    out = _stands_out(geometry) + SEAT_OUT
    half = np.array([geometry.top.length, geometry.top.width]) / 2 + out + CHAIR_OUT + MARGIN
    if ax is None:
        wide = min(PAGE_WIDTH, 5.0 * half[0] / half[1])
        ax = new_figure(wide, wide * half[1] / half[0]).add_axes((0, 0, 1, 1))
    ax.set_axis_off()
    ax.set_aspect("equal")
    ax.fill(*top_outline(geometry.top).T, facecolor=PALE, edgecolor=BLACK, linewidth=1.3, zorder=1)
    for m in geometry.members.values():
        ax.fill(*outline(box_corners(m)[:, :2]).T, facecolor=SKY_BLUE, edgecolor=BLACK, linestyle="--", linewidth=0.6, alpha=0.75, zorder=2)
    ax.plot(*geometry.foot_contacts.T, marker="s", linestyle="", markersize=5, markerfacecolor=ORANGE, markeredgecolor=BLACK, zorder=3)
    for place in found:
        _draw(ax, place, out)
    ax.set_xlim(-half[0], half[0])
    ax.set_ylim(-half[1], half[1])
    return Picture(ax.figure, places_words(found, system), (ax,))


def _stands_out(geometry) -> float:
    """How far bars or feet reach beyond the top in plan, metres; 0 where none does."""
    points = np.concatenate([geometry.foot_contacts, *(box_corners(m)[:, :2] for m in geometry.members.values())])
    top = geometry.top
    if top.shape == "round":
        beyond = np.hypot(*points.T).max() - top.length / 2
    else:
        beyond = (np.abs(points) - np.array([top.length, top.width]) / 2).max()
    return max(float(beyond), 0.0)


def _draw(ax, place: Place, out: float) -> None:
    at, inward = np.array(place.at), np.array(place.inward)
    if place.kind == "seat":
        look = ({"facecolor": VERMILION, "hatch": "xxx", "alpha": 0.5} if place.meets else {"facecolor": "none", "hatch": "////"})
        ax.fill(*strip(place).T, edgecolor=BLACK, linewidth=0.8, zorder=4, **look)
        ring = "square" if place.meets else "circle"
        ax.text(*(at - inward * out), place.words, fontsize=SMALL, ha="center", va="center", zorder=6, weight="bold" if place.meets else "normal",
                bbox={"boxstyle": f"{ring},pad=0.25", "facecolor": PAPER, "edgecolor": BLACK, "linewidth": 0.7})
    else:
        side = np.array([-inward[1], inward[0]]) * place.width / 2
        ax.fill(*strip(place).T, facecolor="none", edgecolor=GREY, linestyle=":", linewidth=1.2, zorder=5)
        line = np.array([at - side, at + side]) - inward * (out + CHAIR_OUT - 0.12)
        ax.plot(*line.T, color=GREY, linewidth=1.5, zorder=5)
        ax.text(*(at - inward * (out + CHAIR_OUT)), place.words, fontsize=SMALL, ha="center", va="center", zorder=6)


def places_words(found: list[Place], system: str = "inch") -> str:
    """What the picture says, in words."""
    seats, chairs = ([p for p in found if p.kind == kind] for kind in ("seat", "wheelchair"))
    said = [f"{len(seats)} seat{'s' * (len(seats) != 1)} (numbers; knees hatched)"]
    if chairs:
        deep = show_length(Q(max(p.depth for p in chairs), "m"), system)
        said.append(f"{len(chairs)} place{'s' * (len(chairs) != 1)} for a wheelchair (W; dotted, {deep} deep, the line outside as wide as each)")
    else:
        said.append("no place for a wheelchair")
    words = ["Places in plan: " + ", ".join(said)]
    bad = [f"seat {p.words} meets {', '.join(p.meets)}" for p in seats if p.meets]
    words.append("crossed: " + "; ".join(bad) if bad else "no seat meets a leg")
    words += [f"seats {a} and {b} want the same corner" for a, b in corner_clashes(found)]
    return in_words("; ".join(words) + "." + (" A wheelchair takes the place of the seats it covers." if chairs else ""))
