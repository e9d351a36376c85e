"""Bench cards and the welding sheet: sizes from the geometry, words for the bench, every base style."""

import math
import re
from pathlib import Path

import pytest
from table.bases_for_tests import JOBS

from shopcalc.check import OVER, Check
from shopcalc.making.cards import NO_GRINDING, cards
from shopcalc.making.sheet import welding_sheet
from shopcalc.show import cards as shown
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.units import magnitude

ARCHIVE = (Path(__file__).parents[2] / "notebooks" / "jobs" / "archive_map_table.toml").read_text(
    encoding="utf-8"
)
BOLTED = re.sub(
    r"stretcher_to_rail = \{.*\}",
    'stretcher_to_rail = { bolts = 4, size = "3/8 in", grade = "grade 5", plate = "1/2 in", '
    'apart = "4-1/2 in", across = "2 in", edge = "3/4 in", sleeve = true }',
    ARCHIVE,
)


def of(text, checks=()):
    job = read_job(text)
    g = build(job)
    return job, g, cards(job, g, checks)


def rows(card):
    return dict(card.rows)


def test_every_joint_is_numbered_once():
    _, g, made = of(ARCHIVE)
    numbers = [n for card in made for n, *_ in card.places]
    assert len(numbers) == len(set(numbers)) == len(g.joints)
    assert [card.number for card in made] == [1, 2, 3, 4]
    assert {name for card in made for _, name, _ in card.places} == {j.name for j in g.joints}


def test_a_welded_card_says_what_to_do():
    _, _, made = of(ARCHIVE)
    head = rows(next(c for c in made if c.kind == "post to head"))
    assert (
        head["weld to lay"] == "fillet 1/8 in, all round, 8 in long, 1 pass, E70 by GMAW"
    )  # 4 x 2 in by hand
    assert head["weld credited"].startswith("leg 0.108 in")  # 0.9 of the 0.120 wall
    assert "both ends square" in head["cut"] and head["grinding"] == NO_GRINDING
    assert "20 in across" in head["square"]  # 12, 16, 20
    assert {"vent and drain", "tacks", "fit-up gap", "weight of a branch", "where"} <= set(head)
    rail = rows(next(c for c in made if c.kind == "rail to post"))
    assert "fill the round corners flush first" in rail["corners"]


def test_length_and_place_come_from_the_geometry():
    """Post between foot and head: 28-1/4 less the 1 in leveller and two bars of 2 in; 22 in apart on a 40 in
    foot."""
    _, _, made = of(ARCHIVE)
    foot = rows(next(c for c in made if c.kind == "post to foot"))
    assert foot["cut"].startswith("23-1/4 in long")
    assert (
        "9 in from the nearer end" in foot["where"] and "8 in of tube beyond it" in foot["where"]
    )  # 20 - 11; less 1 in


def test_a_leaning_branch_is_cut_at_an_angle():
    _, g, made = of(JOBS["A posts"])
    card = rows(next(c for c in made if c.kind == "post to foot"))
    cut = next(v for k, v in card.items() if k.startswith("cut"))
    branch = next(m for n, m in g.members.items() if "post" in n)
    lean = math.degrees(math.acos(abs(branch.direction[2])))
    assert f"cut {lean:.1f} degrees" in cut and "long point" in cut
    square = next(v for k, v in card.items() if k.startswith("square"))
    near = math.sqrt(12**2 + 16**2 - 2 * 12 * 16 * math.sin(math.radians(lean)))
    assert "sharp side" in square and abs(float(square.split(": ")[1].split("-")[0].split(" ")[0]) - near) < 1


def test_a_bolted_card_has_holes_from_one_corner():
    _, _, made = of(BOLTED)
    card = rows(next(c for c in made if c.kind == "stretcher to rail"))
    assert card["bolts to buy"].startswith("4 of 3/8")
    # Plate corner to bolt 3/4 in; 2 in across and 4-1/2 in along further.
    for spot in ("3/4 in across, 3/4 in along", "2-3/4 in across, 5-1/4 in along"):
        assert spot in card["holes"]
    assert "on dry threads" in card["torque"] and "lbf·ft" in card["torque"]
    assert next(c for c in made if c.kind == "stretcher to rail").symbol is None and "powder" in card


def test_the_governing_check_stands_on_the_card():
    over = Check(
        id="joint.post to head/face",
        name="Post to head: face of the tube",
        about="joint.post to head",
        kind="use",
        verdict=OVER,
        case="everyday",
        ratio=1.234,
    )
    _, _, made = of(ARCHIVE, [over])
    assert rows(made[1])["checked"] == "face of the tube: over limit, used 1.24 (everyday)"


def test_symbols_name_leg_and_throat_apart():
    _, _, made = of(ARCHIVE)
    symbol = made[0].symbol
    assert "1/8" in symbol.aws and "all round" in symbol.aws
    assert "z3.17" in symbol.iso and "a2.2" in symbol.iso  # 1/8 in is 3.175 mm, its throat 2.245


def test_the_sheet_adds_up_by_hand():
    job, g, _ = of(ARCHIVE)
    sheet = welding_sheet(job, g)
    inches = 4 * 8 + 4 * 8 + 4 * 12 + 2 * 10  # posts 2x2 at both ends, rails 4x2, stretcher 3x2
    assert sum(r.length for r in sheet.rows) / 0.0254 == pytest.approx(inches)
    # the rails are as wide as the posts: both their 4 in sides are filled first, corners of 2 walls of 0.120 in
    fill = (1 - math.pi / 4) * 0.240**2 * 4 * 8
    pounds = (0.5 * 0.125**2 * inches * 1.1 + fill) * 0.283
    assert sum(magnitude(r.laying.deposited, "lb") for r in sheet.rows) == pytest.approx(pounds)
    words = dict(sheet.totals)
    assert (
        words["filler laid"].startswith(f"{pounds:.2g}") and "common practice" in words["time at the bench"]
    )
    assert any("allowance" in n for n in sheet.notes) and any("heat input" in n for n in sheet.notes)


@pytest.mark.parametrize("name", sorted(JOBS))
def test_every_base_style_has_its_cards_and_sheet(name):
    job, g, made = of(JOBS[name])
    assert sum(len(c.places) for c in made) == len(g.joints)
    welding_sheet(job, g)
    html = shown.cards_html(made)
    assert html.count("<h3>") == len(made) and "nan" not in shown.cards_text(made)


def test_the_map_names_every_kind_and_number():
    job, g, made = of(ARCHIVE)
    picture = shown.joint_map(g, made, job.system)
    assert all(c.kind in picture.caption for c in made) and "4.1 to 4.2" in picture.caption
    drawn = " ".join(t.get_text() for t in picture.axes[0].texts).replace("\n", ", ")
    assert all(n in drawn for c in made for n, *_ in c.places)


def test_card_and_sheet_as_html():
    job, g, made = of(ARCHIVE)
    html = shown.cards_html(made)
    assert (
        "AWS A2.4" in html and "ISO 2553" in html and "wall measured" in html and "ground: yes / no" in html
    )
    sheet = shown.sheet_html(welding_sheet(job, g), job.system)
    assert "In all:" in sheet and "GMAW" in sheet


def test_a_weld_on_two_sides_has_no_circle_in_its_symbol():
    """Low stretchers 40 mm wide on 50 mm legs: no flat is left beside them, so the card, symbol and map say two sides."""
    _, _, made = of((Path(__file__).parents[2] / "notebooks" / "jobs" / "seed_sorting_bench.toml").read_text(encoding="utf-8"))
    card = next(c for c in made if c.kind == "stretcher to leg")
    assert "two sides" in rows(card)["weld to lay"]
    assert "two sides" in card.symbol.words and all(words.startswith("no circle") for words in (card.symbol.aws, card.symbol.iso))
    whole = next(c for c in made if c.kind == "stretcher to stretcher")
    assert "all round" in rows(whole)["weld to lay"] and whole.symbol.aws.startswith("circle")
