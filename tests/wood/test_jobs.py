"""The wood of the top in a job: keys, checks, refusals; every base style and the demo jobs."""

import re
import sys
import time
from pathlib import Path

import pytest

from shopcalc.assess import NOT_CHECKED, assess
from shopcalc.errors import InputError
from shopcalc.table.geometry import build
from shopcalc.table.job import load_job, read_job
from shopcalc.table.wood_checks import wood_checks

HERE = Path(__file__).resolve()
JOBS = HERE.parents[2] / "notebooks" / "jobs"
sys.path.insert(0, str(HERE.parents[1] / "table"))
from bases_for_tests import JOBS as STYLES  # noqa: E402

DEMO = re.sub(
    r"(?m)^top_to_base.*\n", "", (JOBS / "archive_map_table.toml").read_text(encoding="utf-8")
)  # each test holds the top in its own way


def asked(top="", joints="", text=DEMO):
    text = text.replace('moisture  = "8 %"\n', f'moisture  = "8 %"\n{top}\n', 1)
    text = text.replace("[loads]", f"{joints}\n[loads]", 1)
    job = read_job(text)
    return {c.id: c for c in wood_checks(job, build(job))}


SCREWS = 'top_to_base = {{ fixing = "#14", count = 12, length = "1-1/2 in", {} }}'


@pytest.mark.parametrize("style", sorted(STYLES))
def test_every_style_answers(style):
    job = read_job(STYLES[style])
    found = [c.id for c in wood_checks(job, build(job))]
    assert found == ["top/movement", "top/slots", "top/glue-up", "top/finish"]


def test_the_demo_jobs_stay_good_and_say_it_all():
    found = assess(load_job(JOBS / "archive_map_table.toml"))
    for id in ("top/movement", "top/slots", "top/glue-up", "top/finish"):
        assert (
            found.check(id).verdict in ("reported", "within limit")
            and found.check(id).lines()
            and found.check(id).assumed
        )
    assert {r.field for r in found.resolved} >= {"top.driest", "top.dampest"}
    assert not [q for q, _ in NOT_CHECKED if "wood move" in q or "resin" in q]
    assert all(
        c.verdict in ("reported", "within limit")
        for f in JOBS.glob("*.toml")
        for c in wood_checks(load_job(f), build(load_job(f)))
    )


def test_it_is_cheap():
    job = load_job(JOBS / "archive_map_table.toml")
    g = build(job)
    list(wood_checks(job, g))
    times = []
    for _ in range(5):
        start = time.process_time()
        [c.lines() for c in wood_checks(job, g)]
        times.append(time.process_time() - start)
    assert min(times) < 0.05


def test_slots_needed_against_slots_given():
    """White oak, 21 in from the middle, 2 points down and 3 up: 0.242 + 21 x 0.00365 x 5 + 1/8."""
    need = 0.242 + 21 * 0.00365 * 5 + 0.125
    short = asked(joints=SCREWS.format('slotted = true, slot = "5/8 in"'))["top/slots"]
    enough = asked(joints=SCREWS.format('slotted = true, slot = "7/8 in"'))["top/slots"]
    assert short.verdict == "over limit" and enough.verdict == "within limit"
    assert float(short.demand.to("inch").magnitude) == pytest.approx(need, rel=1e-3)
    assert short.ratio == pytest.approx(need / 0.625, rel=1e-3)
    unsaid = asked(joints=SCREWS.format("slotted = true"))["top/slots"]
    assert unsaid.verdict == "reported" and "not given" in unsaid.detail


def test_an_insert_is_slotted_for_its_bolt():
    found = asked(
        joints='top_to_base = { fixing = "insert 5/16", count = 8, tab = "1/4 in", slotted = true, rated_ultimate = "90 lbf" }'
    )
    assert float(found["top/slots"].demand.to("inch").magnitude) == pytest.approx(
        0.3125 + 21 * 0.00365 * 5 + 0.125, rel=1e-3
    )


def test_rigid_over_the_whole_width_is_refused_with_the_stress_that_splits_it():
    found = asked(joints=SCREWS.format("slotted = false"))
    check = found["top/restraint"]
    assert check.verdict == "refused" and "top/slots" not in found and check.lines()
    # 0.072 x 1.78e6 psi x 0.0073: by hand
    assert float(check.demand.to("psi").magnitude) == pytest.approx(0.072 * 1.78e6 * 0.0073, rel=1e-6)
    assert "splits at a fall of" in check.detail and "Slot all holes" in check.detail


@pytest.mark.parametrize("ends", ["glued breadboard", "mitred frame"])
def test_ends_that_hold_the_width_are_refused(ends):
    assert asked(f'ends = "{ends}"')["top/restraint at its edge"].verdict == "refused"
    assert not [i for i in asked('ends = "sliding breadboard"') if "restraint" in i]


def test_seasons_of_the_job_are_used():
    found = asked('driest = "4 %"\ndampest = "16 %"\ncut = "quarter"')["top/movement"]
    assert any("13-3" in c for c in found.cautions) and not found.assumed
    # radial shrinkage of white oak 5.6 %, equation 13-3 by hand
    swing = 48 * 0.12 / (0.3 / 0.056 - 0.3 + 0.08)
    assert float(found.demand.to("inch").magnitude) == pytest.approx(swing, rel=1e-6)
    with pytest.raises(InputError, match="driest"):
        asked('driest = "12 %"\ndampest = "9 %"')
    assert "dampest" in " ".join(asked('driest = "13 %"')["top/movement"].assumed)


RIVER = (
    'pockets = {{ river = {{ length = "60 in", width = "3 in", depth = "{}", at = ["0 in", "{}"], {} }} }}\n'
)


def test_a_river_of_resin():
    found = asked(
        RIVER.format("5/8 in", "4 in", 'face = "upper"')
        + 'resin = { parts = { resin = 100.0, hardener = 50.0 }, density = "1.1 g/cm^3" }'
    )
    check = found["top/inlay"]
    kg = 60 * 3 * 0.625 * 16.387064e-6 * 1100
    assert float(check.demand.to("kg").magnitude) == pytest.approx(kg * 1.1, rel=1e-6)
    assert "2 pours" in check.detail and "hardener" in check.detail and "strength left" in check.detail
    assert any("smokes" in c for c in check.cautions)
    deep = asked(RIVER.format("1-1/4 in", "4 in", 'filled = "nothing"'))["top/inlay"]
    assert any("over half" in c for c in deep.cautions) and "takes" in deep.detail


@pytest.mark.parametrize(("depth", "y", "field"), [("5/8 in", "23 in", "at"), ("1.7 in", "0 in", "depth")])
def test_a_pocket_that_does_not_fit_is_refused(depth, y, field):
    with pytest.raises(InputError) as caught:
        asked(RIVER.format(depth, y, 'face = "under"'))
    assert caught.value.field == f"top.pockets.river.{field}" and caught.value.example


def test_bow_cup_and_twist_as_measured():
    found = asked('measured = { bow = "1/4 in", cup = "1/4 in", twist = "3/8 in" }')
    assert [found[f"top/{n}"].verdict for n in ("bow", "cup", "twist")] == [
        "within limit",
        "over limit",
        "over limit",
    ]
    assert found["top/cup"].ratio == pytest.approx(0.25 / (48 / 384)) and found[
        "top/twist"
    ].ratio == pytest.approx(0.375 / (48 / 384))
    I = 126 * 1.75**3 / 12
    M = 0.072 * 1.78e6 * I / (48**2 / 2 + 0.125) / 12
    assert f"{M:,.0f}"[:3] in found["top/cup"].detail.replace("lbf", " ")
    assert all(found[f"top/{n}"].lines() and found[f"top/{n}"].cautions for n in ("bow", "cup", "twist"))
    assert asked('measured = { cup = "0 in" }')["top/cup"].detail == "flat" and "top/cup" not in asked()
    assert found["top/twist"].assumed  # white oak has no shear stiffness in the handbook: said


def test_boards_and_finish_of_the_job_are_used():
    found = asked(
        'boards = { rough_width = "8 in", planer = "16 in", waste = "20 %", clamp = "1500 lbf", pressure = "200 psi" }\n'
        'finish = { coats = 2, film = "0.002 in", solids = "40 %", transfer = "90 %" }'
    )
    assert "7 boards" in found["top/glue-up"].detail and "2, 2, 2, 1" in found["top/glue-up"].detail
    area = 2 * (126 * 48 + 126 * 1.75 + 48 * 1.75)
    assert float(found["top/finish"].demand.to("inch**3").magnitude) == pytest.approx(
        2 * area * 0.002 / (0.4 * 0.9), rel=1e-6
    )
    assert not found["top/finish"].assumed
    with pytest.raises(InputError) as caught:
        asked('boards = { rough_width = "30 in" }')
    assert caught.value.field == "top.boards.planer"


def test_thick_tops_and_sheet_goods_say_what_they_are():
    thick = asked(text=DEMO.replace('thickness = "1-3/4 in"', 'thickness = "4-1/2 in"'))
    assert "laminated" in thick["top/glue-up"].detail
    sheet = asked(text=DEMO.replace('"white oak"', '"plywood"'))
    assert list(sheet) == ["top/movement", "top/finish"] and "sheet goods" in sheet["top/movement"].detail


@pytest.mark.parametrize(
    "line",
    [
        'driest = "40 %"',
        "driest = 6",
        'cut = "rift"',
        'ends = "glue"',
        'pockets = { a = { length = "2 in" } }',
        "resin = { parts = { a = -1.0 } }",
        "finish = { coats = 0 }",
        'finish = { solids = "0.2 %" }',
        'boards = { pressure = "400 psi" }',
        "pocket = {}",
    ],
)
def test_words_that_cannot_be_are_named(line):
    with pytest.raises(InputError) as caught:
        asked(line)
    assert caught.value.field.startswith("top.") and caught.value.need
