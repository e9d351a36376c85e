"""The welding sheet of a job and what the cards take from it: heat, shrinkage, closed tubes, butts."""

import math
from pathlib import Path

import numpy as np
import pytest
from table.bases_for_tests import JOBS, PORTAL, portal
from table.bases_for_tests import WELD as WELD_OF_BASES

from shopcalc.joints.welds_butt import NOT_PROVED
from shopcalc.making import sheet as s
from shopcalc.making.cards import FLUSH, cards
from shopcalc.show import cards as shown
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.landings import landings
from shopcalc.units import magnitude

ARCHIVE = (Path(__file__).parents[2] / "notebooks" / "jobs" / "archive_map_table.toml").read_text(encoding="utf-8")
LINE = next(row for row in ARCHIVE.splitlines() if row.startswith("post_to_head"))
WELD = 'bar_to_bar = { weld = "fillet all round", leg = "1/8 in", filler = "E70" }'
PROVED = 'weld = "butt all round", penetration = "0.174 in", proof = "three pieces sawn and etched"'


def of(text):
    job = read_job(text)
    g = build(job)
    return job, g, s.welding_sheet(job, g)


def corners(words):
    """A bench of named points whose bars all meet at corners, joined so."""
    text = portal()
    assert text.count(WELD) == 1
    return of(text.replace(WELD, f"bar_to_bar = {{ {words} }}"))


def test_every_row_has_length_time_filler_heat_and_shrinkage():
    _, _, sheet = of(ARCHIVE)
    for r in sheet.rows:
        made = r.laying
        # the energy of the arc on the fillet, over its length: the same as volts times amps over travel
        fillet = 0.5 * 0.125**2 * 1.1 * 0.283 / 3 * 3600 / 0.0254  # seconds a metre at 3 lb/h
        over_all = 120 * 18 * fillet
        assert magnitude(made.arc_time, "s") >= fillet * r.length * (1 - 1e-9) and (r.passes == "1 + fill") is (r.kind == "rail to post")
        assert magnitude(made.arc_energy, "J/m") == pytest.approx(over_all)
        assert magnitude(made.heat_input, "J/m") == pytest.approx(0.8 * over_all)
        assert magnitude(made.work_time, "min") == pytest.approx(magnitude(made.arc_time, "min") / 0.25)
        assert magnitude(r.shrinks.across, "mm") == pytest.approx(0.8)
        assert magnitude(r.shrinks.along, "mm") == pytest.approx(0.8 * r.length / r.count / 3)


def test_the_sheet_names_both_conventions_and_what_was_assumed():
    job, _, sheet = of(ARCHIVE)
    words = shown.sheet_text(sheet, job.system)
    for needed in ("arc energy (heat input of US codes)", "heat input of EN 1011-1", "6.3 kJ/in", "5 kJ/in", "volts, amps and travel assumed",
                   "operating factor, the share of it at the arc: 25%", "as for plate of 2.3 to 3.2 mm (retrieved)", "front post of the left trestle", "shrinks across", "vent and drain holes", "0.03 in", "under 0.01 in"):
        assert needed in words, needed
    html = shown.sheet_html(sheet, job.system)
    assert html.count("<table") == 3 and "nan" not in html


def test_settings_of_the_job_are_used_and_no_longer_assumed():
    line = LINE.replace(" }", ', volts = "20 V", amps = "100 A", travel = "10 in/min" }')
    job, _, sheet = of(ARCHIVE.replace(LINE, line))
    row = next(r for r in sheet.rows if r.kind == "post to head")
    assert row.laying.assumed == () and magnitude(row.laying.arc_energy, "kJ/in") == pytest.approx(12)
    assert magnitude(row.laying.arc_time, "min") == pytest.approx(row.length / 0.254)
    assert "assumed" not in s.heat_words(job, row.laying)


def test_closed_tubes_are_those_welded_at_both_ends():
    job, g, sheet = of(ARCHIVE)
    found = {v.stock: v for v in sheet.vents}
    assert set(found) == {"post", "rail", "bar"} and len(found["post"].bars) == 4
    assert found["bar"].bars == ("stretcher",)  # of the same stock as the heads, whose ends are open
    # a quarter of the diagonal of 2 x 2 in
    assert magnitude(found["post"].galvanizing, "in") == pytest.approx(math.hypot(2, 2) / 4)
    assert magnitude(found["post"].powder, "in") == pytest.approx(0.25)
    bolted = ARCHIVE.replace(
        next(row for row in ARCHIVE.splitlines() if row.startswith("stretcher_to_rail")),
        'stretcher_to_rail = { bolts = 4, size = "3/8 in", plate = "1/2 in", apart = "4-1/2 in", across = "2 in", edge = "3/4 in" }',
    )
    assert "bar" not in {v.stock for v in of(bolted)[2].vents}


def test_caps_close_what_open_ends_leave_open():
    """Two podiums are boxes of twelve bars: where four of them run out at the corners, caps close those too."""
    text, weld = JOBS["podiums"], WELD_OF_BASES.format()
    capped = text.replace(weld, weld.replace(" }", ', ends = "capped" }'))
    plain, shut = ((g, {b for v in sheet.vents for b in v.bars}) for _, g, sheet in (of(text), of(capped)))
    assert plain[1] < shut[1] == set(shut[0].members)


def test_a_mitred_corner_is_measured_along_its_cut():
    job, g, sheet = corners(PROVED + ', ends = "mitred"')
    row = sheet.rows[0]
    # 2 x 2 in tube, 45 degrees: two sides of 2 in and two of 2 sqrt 2
    assert row.length / row.count / 0.0254 == pytest.approx(4 + 4 * math.sqrt(2)) and row.size("inch") == "butt"
    area = 0.0625 * 3 / 16 + (3 / 16) ** 2 / 2
    assert magnitude(row.laying.deposited, "lb") == pytest.approx(area * row.length / 0.0254 * 0.283)
    card = dict(cards(job, g, ())[0].rows)
    lay = next(v for k, v in card.items() if k.startswith("weld to lay"))
    credited = next(v for k, v in card.items() if k.startswith("weld credited"))
    assert "45.0 degrees off square" in lay and "proven: three pieces sawn and etched" in credited and "0.174 in" in credited


def test_an_open_corner_is_cut_less():
    """Bars at 120 degrees: half of the 60 that lack to a straight line."""
    text = portal(base=PORTAL.replace('A = ["-30 in", "-12 in", "29 in"]', 'A = ["-18 in", "-12 in", "29 in"]'))
    g = build(read_job(text))
    found = [math.degrees(s.off_square(landings(g, j)[0])) for j in g.joints if "leg1" in (j.branch, j.host) and "front" in (j.branch, j.host)]
    away = math.degrees(math.atan2(12, 29))  # of the leg from upright
    assert found and found[0] == pytest.approx((180 - 90 - away) / 2, abs=0.01)


def test_a_butt_without_proof_says_on_its_card_how_to_prove_it():
    job, g, _ = corners('weld = "butt all round", ends = "mitred", mitre_plate = "1/2 in", ground = true')
    card = cards(job, g, ())[0]
    rows = dict(card.rows)
    assert any(v == NOT_PROVED for v in rows.values()) and FLUSH in rows.values()
    assert any("1/2 in between the two halves" in v for v in rows.values())
    assert "not proven" in card.symbol.aws and "flush" in card.symbol.iso


def test_symbol_of_a_proven_butt():
    job, g, _ = corners(PROVED)
    symbol = cards(job, g, ())[0].symbol
    assert "(0.174 in)" in symbol.aws and "s4.4" in symbol.iso  # 0.174 in is 4.42 mm


def test_a_welded_card_has_heat_shrinkage_and_holes():
    job, g, _ = of(ARCHIVE)
    card = dict(next(c for c in cards(job, g, ()) if c.kind == "post to head").rows)
    assert "6.3 kJ/in as US codes say it" in card["heat input"] and "by EN 1011-1" in card["heat input"]
    assert "0.03 in across the joint" in card["shrinkage"] and "allowance" in card["shrinkage"]
    assert "closed at both ends" in card["vent and drain"] and "3/4 in at each end" in card["vent and drain"]
    assert "at the arc" in card["takes"]


@pytest.mark.parametrize("name", sorted(JOBS))
def test_every_base_style_has_a_card_for_butts(name):
    """Wherever the job says butt, on faces and on open shapes too: words, never a crash."""
    text, weld = JOBS[name], WELD_OF_BASES.format()
    job, g, sheet = of(text.replace(weld, '{ weld = "butt all round" }'))
    made = cards(job, g, ())
    assert sum(len(c.places) for c in made) == len(g.joints) and "nan" not in shown.cards_text(made)
    assert "nan" not in shown.sheet_text(sheet, job.system)


def test_a_mitred_round_tube_is_an_ellipse_by_integration():
    text = portal().replace('post = "square tube 2 in x 3/16 in, A500 C"', 'post = "round tube 2 in x 3/16 in, A500 C"')
    job, g, sheet = of(text.replace(WELD, 'bar_to_bar = { weld = "butt all round", ends = "mitred" }'))
    turn = (np.arange(100_000) + 0.5) / 100_000 * 2 * math.pi
    perimeter = np.sqrt((np.sin(turn)) ** 2 + 2 * np.cos(turn) ** 2).mean() * 2 * math.pi  # half axes of 1 in and sqrt 2 in
    assert sheet.rows[0].length / sheet.rows[0].count / 0.0254 == pytest.approx(perimeter, rel=0.01)


@pytest.mark.parametrize("name", sorted(JOBS))
def test_every_base_style_has_its_sheet(name):
    job, g, sheet = of(JOBS[name])
    words = shown.sheet_text(sheet, job.system)
    assert "nan" not in words.replace("nanc", "") and all(r.length > 0 for r in sheet.rows)
    assert all(m in g.members for v in sheet.vents for m in v.bars)
