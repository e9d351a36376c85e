"""Bench cards, the joint map and the welding sheet as a page shows them. Nothing is calculated here."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

import numpy as np

from shopcalc.making.cards import Card, Sheet, cards, welding_sheet
from shopcalc.show.canvas import FONT, PAGE_WIDTH, SMALL, Picture, new_figure
from shopcalc.show.drawing import box_corners, outline, top_outline
from shopcalc.show.palette import BLACK, GREY, ORANGE, PALE, PAPER, SKY_BLUE
from shopcalc.show.tables import list_html, table_html
from shopcalc.units import Q, show, show_length

VIEWS = (("Plan", 0, 1), ("Front", 0, 2), ("End, from the right", 1, 2))
NEAR = 0.02  # metres on the paper's plane: numbers closer than this share one label


def of(assessment) -> tuple[Card, ...]:
    """The cards of an assessment."""
    return cards(assessment.job, assessment.geometry, assessment.checks)


# --- the map --------------------------------------------------------------------------------------


def joint_map(geometry, made: Sequence[Card], system: str = "inch") -> Picture:
    """Plan and both elevations with every joint numbered as on its card."""
    top = geometry.top
    length, width = _reach(geometry)
    side = 0.17 * (length + width)  # room for numbers on both sides of a view
    gap = max(0.30 * max(top.underside, 0.3), 0.09 * (length + width))
    wide = length + width + 3 * side
    tall = width + top.underside + top.thickness + 3 * gap
    ax = new_figure(PAGE_WIDTH, PAGE_WIDTH * tall / wide).add_axes((0, 0, 1, 1))
    ax.set_axis_off()
    ax.set_aspect("equal")
    places = {
        "Plan": (side + length / 2, 2 * gap + top.underside + width / 2),
        "Front": (side + length / 2, gap / 2),
        "End, from the right": (2 * side + length + width / 2, gap / 2),
    }
    for title, across, up in VIEWS:
        at = np.array(places[title])
        _view(ax, geometry, title, across, up, at, made, gap)
    ax.set_xlim(0, wide)
    ax.set_ylim(0, tall)
    return Picture(ax.figure, map_words(made, system), (ax,))


def _reach(g) -> tuple[float, float]:
    """How long and wide top and base are together, about the middle of the top."""
    corners = np.concatenate([box_corners(m) for m in g.members.values()])
    out = 2 * np.abs(corners).max(axis=0)
    return max(g.top.length, float(out[0])), max(g.top.width, float(out[1]))


def _view(ax, g, title, across, up, at, made, gap) -> None:
    top = g.top
    if up == 1:
        ax.fill(*(top_outline(top) + at).T, facecolor=PALE, edgecolor=GREY, linewidth=0.8)
        high = at[1] + _reach(g)[1] / 2
    else:
        half = (top.length if across == 0 else top.width) / 2
        slab = np.array([(-half, 0), (half, 0), (half, top.thickness), (-half, top.thickness)]) + (
            0,
            top.underside,
        )
        ax.fill(*(slab + at).T, facecolor=PALE, edgecolor=GREY, linewidth=0.8)
        high = at[1] + top.underside + top.thickness
    for m in g.members.values():
        ax.fill(
            *(outline(box_corners(m)[:, [across, up]]) + at).T,
            facecolor=SKY_BLUE,
            alpha=0.5,
            edgecolor=BLACK,
            linewidth=0.6,
        )
    left = at[0] - (top.length if across == 0 else top.width) / 2
    ax.text(left, high + 0.08 * gap, title, fontsize=FONT, weight="bold", ha="left", va="bottom")
    labels: list[tuple[np.ndarray, list[str]]] = []
    for card in made:
        for number, _, place in card.places:
            spot = np.array([place[across], place[up]])
            near = next((names for where, names in labels if np.linalg.norm(where - spot) < NEAR), None)
            if near is None:
                labels.append((spot, [number]))
            else:
                near.append(number)
    middle = np.mean([spot for spot, _ in labels], axis=0) if labels else np.zeros(2)
    for spot, names in labels:
        ax.plot(*(spot + at), marker="o", markersize=4, color=ORANGE, markeredgecolor=BLACK, zorder=5)
        side = 1 if spot[0] >= middle[0] else -1
        alone = abs(spot[0] - middle[0]) < NEAR and len(labels) > 2  # between others: its number stands above it
        ax.annotate(
            _listed(names),
            spot + at,
            xytext=(0, 12) if alone else (10 * side, 0),
            textcoords="offset points",
            fontsize=SMALL - 1.5,
            ha="center" if alone else "left" if side > 0 else "right",
            va="bottom" if alone else "center",
            zorder=6,
            linespacing=0.9,
            bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.4, "alpha": 0.85},
            arrowprops={"arrowstyle": "-", "color": BLACK, "linewidth": 0.5},
        )


def _listed(names: Sequence[str]) -> str:
    """Two numbers on a line."""
    return "\n".join(", ".join(names[i : i + 2]) for i in range(0, len(names), 2))


def map_words(made: Sequence[Card], system: str = "inch") -> str:
    """The joints of the map in words: kind, numbers, weld."""
    parts = []
    for card in made:
        numbers = (
            card.places[0][0] if len(card.places) == 1 else f"{card.places[0][0]} to {card.places[-1][0]}"
        )
        parts.append(f"{numbers} {card.kind}" + (f": {card.symbol.words}" if card.symbol else ": bolted"))
    return "Joints. " + "; ".join(parts) + "."


# --- cards and sheet as HTML ----------------------------------------------------------------------


def cards_html(made: Sequence[Card]) -> str:
    """Every card: what to do from the top down, its symbol, boxes to fill in."""
    return "".join(_card_html(card) for card in made)


def _card_html(card: Card) -> str:
    head = f"<h3>{card.number}. {escape(card.kind.capitalize())}</h3>"
    joints = "; ".join(f"{number} {escape(name)}" for number, name, _ in card.places)
    rows = [*card.rows, *symbol_rows(card)]
    boxes = table_html(
        ("joint", *card.boxes), [(number, *("" for _ in card.boxes)) for number, _, _ in card.places]
    )
    return (
        f'<div class="step">{head}<p '
        f'class="source">{joints}</p>{table_html(("what", "how"), rows)}{boxes}</div>'
    )


def symbol_rows(card: Card) -> list[tuple[str, str]]:
    """The weld by symbol, in words that can be drawn from."""
    if card.symbol is None:
        return []
    return [("symbol, AWS A2.4", card.symbol.aws), ("symbol, ISO 2553", card.symbol.iso)]


def cards_text(made: Sequence[Card]) -> str:
    """The cards as plain text."""
    lines: list[str] = []
    for card in made:
        lines += [f"{card.number}. {card.kind}: " + "; ".join(f"{n} {name}" for n, name, _ in card.places)]
        lines += [f"  {what}: {words}" for what, words in (*card.rows, *symbol_rows(card))]
    return "\n".join(lines)


def sheet_rows(sheet: Sheet, system: str) -> list[list[str]]:
    mass, small = ("lb", "ft") if system == "inch" else ("kg", "m")
    return [
        [
            f"{r.number}. {r.kind}",
            str(r.count),
            show_length(Q(r.leg, "m"), system),
            show(Q(r.length, "m"), small, 3),
            str(r.laying.passes),
            show(r.laying.deposited, mass, 2),
            show(r.laying.arc_time, "min", 2),
            r.laying.process,
        ]
        for r in sheet.rows
    ]


SHEET_HEAD = ("joint", "joints", "leg", "weld", "passes", "filler laid", "at the arc", "process")


def sheet_html(sheet: Sheet, system: str) -> str:
    totals = "; ".join(f"{what} {words}" for what, words in sheet.totals)
    return (
        (
            table_html(SHEET_HEAD, sheet_rows(sheet, system), numeric=(1, 2, 3, 4, 5, 6))
            + f"<p>In all: {escape(totals)}.</p>"
            + list_html(sheet.notes)
        )
        if sheet.rows
        else "<p>No weld of this table was worked out.</p>"
    )


def record_parts(assessment) -> dict[str, str]:
    """What the record shows of the joints: map, cards and sheet, as HTML."""
    job, g = assessment.job, assessment.geometry
    return {"cards": cards_html(of(assessment)), "sheet": sheet_html(welding_sheet(job, g), job.system)}
