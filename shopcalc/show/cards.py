"""Bench cards, the joint map and the welding sheet as a page shows them. Nothing is calculated here."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

import numpy as np

from shopcalc.making.cards import Card, cards
from shopcalc.making.sheet import Sheet, show_hole, show_small, welding_sheet
from shopcalc.show.canvas import FONT, PAGE_WIDTH, SMALL, Picture, new_figure
from shopcalc.show.drawing import box_corners, outline, reach_of, top_outline
from shopcalc.show.palette import BLACK, GREY, ORANGE, PALE, SKY_BLUE
from shopcalc.show.tables import list_html, table_html
from shopcalc.table.names import in_words, words_of
from shopcalc.units import Q, show

VIEWS = (("Plan", 0, 1), ("Front", 0, 2), ("End, from the right", 1, 2))
NEAR = 0.02  # metres on the paper's plane: joints closer than this share one label
COLUMN, GAP, TALLEST = 66.0, 34.0, 6.4  # points of paper beside a view and between views; inches of paper of all views


def of(assessment) -> tuple[Card, ...]:
    """The cards of an assessment."""
    return cards(assessment.job, assessment.geometry, assessment.checks)


# --- the map --------------------------------------------------------------------------------------


def joint_map(geometry, made: Sequence[Card], system: str = "inch") -> Picture:
    """Plan and both elevations to one scale, one under the other, every joint numbered as on its card."""
    top, reach = geometry.top, reach_of(geometry)
    height = top.underside + top.thickness
    # numbers stand in columns beside a view, measured on the paper
    scale = max(2 * reach[0] / (PAGE_WIDTH - 2 * COLUMN / 72), (2 * reach[1] + 2 * height) / TALLEST)  # metres per inch of paper
    gap = GAP / 72 * scale
    tall = 2 * reach[1] + 2 * height + 3 * gap
    ax = new_figure(PAGE_WIDTH, tall / scale).add_axes((0, 0, 1, 1))
    ax.set_axis_off()
    ax.set_aspect("equal")
    wide = PAGE_WIDTH * scale
    floor = 0.35 * gap
    places = {"End, from the right": floor, "Front": floor + height + gap, "Plan": floor + 2 * (height + gap) + reach[1]}
    for title, across, up in VIEWS:
        _view(ax, geometry, title, across, up, np.array([wide / 2, places[title]]), made, scale / 72)
    ax.set_xlim(0, wide)
    ax.set_ylim(0, tall)
    return Picture(ax.figure, map_words(made, system), (ax,))


def _view(ax, g, title, across, up, at, made, point) -> None:
    """One view about `at`; point: metres of table per point of paper."""
    top, out = g.top, reach_of(g)[across]
    if up == 1:
        ax.fill(*(top_outline(top) + at).T, facecolor=PALE, edgecolor=GREY, linewidth=0.8)
        high = at[1] + reach_of(g)[1]
    else:
        half = (top.length if across == 0 else top.width) / 2
        slab = np.array([(-half, 0), (half, 0), (half, top.thickness), (-half, top.thickness)]) + (0, top.underside)
        ax.fill(*(slab + at).T, facecolor=PALE, edgecolor=GREY, linewidth=0.8)
        high = at[1] + top.underside + top.thickness
    for m in g.members.values():
        ax.fill(*(outline(box_corners(m)[:, [across, up]]) + at).T, facecolor=SKY_BLUE, alpha=0.5, edgecolor=BLACK, linewidth=0.6)
    ax.text(at[0] - out, high + 6 * point, title, fontsize=FONT, weight="bold", ha="left", va="bottom")
    spots = _spots(made, across, up)
    middle = np.mean([spot for spot, _ in spots], axis=0)[0] if spots else 0.0
    for side in (-1, 1):
        mine = [(spot, names) for spot, names in spots if (spot[0] >= middle - NEAR) == (side > 0)]
        _column(ax, [(spot + at, names) for spot, names in mine], at[0] + side * (out + 12 * point), side, point)


def _spots(made: Sequence[Card], across: int, up: int) -> list[tuple[np.ndarray, str]]:
    """Places of a view that hold joints, and the words of their numbers, a line for each card."""
    found: list[tuple[np.ndarray, dict[str, list[int]]]] = []
    for card in made:
        for number, _, place in card.places:
            spot = np.array([place[across], place[up]])
            at = next((cards for where, cards in found if np.linalg.norm(where - spot) < NEAR), None)
            if at is None:
                found.append((spot, at := {}))
            first, _, last = number.rpartition(".")
            at.setdefault(first, []).append(int(last))
    return [(spot, "\n".join(_numbers(card, found) for card, found in at.items())) for spot, at in found]


def _numbers(card: str, found: Sequence[int]) -> str:
    """Numbers of one card, those in a row from first to last, two to a line: "1.1 to 1.3, 1.6"."""
    runs: list[list[int]] = []
    for n in sorted(found):
        if runs and n == runs[-1][-1] + 1:
            runs[-1].append(n)
        else:
            runs.append([n])
    parts = [part for run in runs
             for part in ([f"{card}.{n}" for n in run] if len(run) < 3 else [f"{card}.{run[0]} to {card}.{run[-1]}"])]
    return "\n".join(", ".join(parts[i : i + 2]) for i in range(0, len(parts), 2))


def _column(ax, spots: Sequence[tuple[np.ndarray, str]], x: float, side: int, point: float) -> None:
    """Numbers one under the other beside a view, each with a line to its joint."""
    line = 8.5 * point
    order = sorted(spots, key=lambda one: (-one[0][1], -side * one[0][0]))
    tall = [line * (1 + words.count("\n")) + 3 * point for _, words in order]
    heights: list[float] = []
    for (spot, _), size in zip(order, tall, strict=True):
        below = heights[-1] - tall[len(heights) - 1] / 2 - size / 2 if heights else np.inf
        heights.append(min(spot[1], below))
    lost = order[-1][0][1] - heights[-1] if heights else 0.0
    if lost > line / 2:  # a column that grew downward only is moved up by half of what its last number lost
        heights = [h + lost / 2 for h in heights]
    for (spot, words), height in zip(order, heights, strict=True):
        ax.plot([x, x - side * 6 * point, spot[0]], [height, height, spot[1]], color=BLACK, linewidth=0.5, zorder=4)
        ax.plot(*spot, marker="o", markersize=4.5, color=ORANGE, markeredgecolor=BLACK, zorder=5)
        ax.text(x + side * 2 * point, height, words, fontsize=SMALL - 1, ha="left" if side > 0 else "right", va="center", zorder=6)


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
    joints = "; ".join(f"{number} {escape(in_words(name))}" for number, name, _ in card.places)
    rows = [*card.rows, *symbol_rows(card)]
    boxes = table_html(
        ("joint", *card.boxes), [(number, *("" for _ in card.boxes)) for number, _, _ in card.places]
    )
    return (
        f'<div class="step card">{head}<p '
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
        lines += [f"{card.number}. {card.kind}: " + "; ".join(f"{n} {in_words(name)}" for n, name, _ in card.places)]
        lines += [f"  {what}: {words}" for what, words in (*card.rows, *symbol_rows(card))]
    return "\n".join(lines)


def sheet_tables(sheet: Sheet, system: str) -> list[tuple[str, tuple[str, ...], list[list[str]], tuple[int, ...]]]:
    """The tables of the welding sheet: title, head, rows, columns of numbers."""
    mass, small, per, speed = ("lb", "ft", "kJ/in", "in/min") if system == "inch" else ("kg", "m", "kJ/mm", "mm/min")
    laid = [
        [
            f"{r.number}. {r.kind}",
            str(r.count),
            r.size(system),
            show(Q(r.length, "m"), small, 3),
            r.passes,
            show(r.laying.deposited, mass, 2),
            show(r.laying.arc_time, "min", 2),
            show(r.laying.work_time, "min", 2),
        ]
        for r in sheet.rows
    ]
    heat = [
        [
            f"{r.number}. {r.kind}",
            f"{r.laying.process}, {show(r.laying.volts, 'V', 3)}, {show(r.laying.amps, 'A', 3)}, {show(r.laying.travel, speed, 2)}",
            show(r.laying.arc_energy, per, 2),
            show(r.laying.heat_input, per, 2),
            show_small(r.shrinks.across, system),
            show_small(r.shrinks.along, system),
        ]
        for r in sheet.rows
    ]
    vents = [
        [v.stock, ", ".join(words_of(b) for b in v.bars), show_hole(v.powder, system), show_hole(v.galvanizing, system)]
        for v in sheet.vents
    ]
    found = [("What is laid", LAID_HEAD, laid, tuple(range(1, 8))), ("Heat and shrinkage", HEAT_HEAD, heat, tuple(range(2, 6)))]
    return found + ([("Closed tubes: vent and drain holes", VENT_HEAD, vents, (2, 3))] if vents else [])


LAID_HEAD = ("joint", "joints", "size", "weld", "passes", "filler laid", "at the arc", "at the bench")
HEAT_HEAD = (
    "joint", "process, volts, amps, travel", "arc energy (heat input of US codes)", "heat input of EN 1011-1",
    "shrinks across, each", "along, each",
)
VENT_HEAD = ("stock", "bars", "powder, one hole", "galvanizing, at each end")


def sheet_html(sheet: Sheet, system: str) -> str:
    if not sheet.rows:
        return "<p>No weld of this table was worked out.</p>"
    totals = "; ".join(f"{what} {words}" for what, words in sheet.totals)
    tables = [
        f"<h3>{escape(title)}</h3>" + table_html(head, rows, numeric=numeric)
        for title, head, rows, numeric in sheet_tables(sheet, system)
    ]
    tables.insert(1, f"<p>In all: {escape(totals)}.</p>")
    return "".join(tables) + list_html(sheet.notes)


def sheet_text(sheet: Sheet, system: str) -> str:
    """The welding sheet as plain text."""
    lines: list[str] = []
    for title, head, rows, _ in sheet_tables(sheet, system):
        lines += [f"{title}:", *(", ".join(row) for row in (head, *rows))]
    lines += [f"{what}: {words}" for what, words in sheet.totals] + [f"* {note}" for note in sheet.notes]
    return "\n".join(lines)


def record_parts(assessment) -> dict[str, str]:
    """What the record shows of the joints: map, cards and sheet, as HTML."""
    job, g = assessment.job, assessment.geometry
    return {"cards": cards_html(of(assessment)), "sheet": sheet_html(welding_sheet(job, g), job.system)}
