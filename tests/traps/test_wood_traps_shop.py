"""Traps of wood in the shop (1-7, 12-16, 21-26): each fires a check, a refusal or a caution."""

import re
from pathlib import Path

import pytest

from shopcalc.errors import InputError, OutsideRange
from shopcalc.stock.shapes import read_stock
from shopcalc.stock.woods import final_sag, wood
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.wood_checks import wood_checks
from shopcalc.units import Q
from shopcalc.wood import finish, flattening, glue_up, inlay, movement

DEMO = (Path(__file__).resolve().parents[2] / "notebooks" / "jobs" / "archive_map_table.toml").read_text(
    encoding="utf-8"
)
DEMO = re.sub(r"(?m)^top_to_base.*\n", "", DEMO)  # each test holds the top in its own way
RIVER = 'pockets = { river = { length = "60 in", width = "3 in", depth = "1 in", at = ["0 in", "4 in"] } }'


def checks(top="", held="", species="white oak"):
    text = DEMO.replace('moisture  = "8 %"\n', f'moisture  = "8 %"\n{top}\n', 1).replace(
        "[loads]", f"{held}\n[loads]", 1
    )
    job = read_job(text.replace('"white oak"', f'"{species}"'))
    return {c.id: c for c in wood_checks(job, build(job))}


def said(check, *words):
    text = " ".join((check.detail, *check.cautions, *check.assumed)).lower()
    assert all(w in text for w in words), f"{words} not in: {text}"


def held(slotted: str, slot=""):
    return f'top_to_base = {{ fixing = "#14", count = 12, length = "1-1/2 in", slotted = {slotted}{slot} }}'


def to(q, unit):
    return float(q.to(unit).magnitude)


def test_1_a_top_held_over_its_whole_width_is_refused_not_warned():
    check = checks('driest = "4 %"', held("false"), species="yellow-poplar")["top/restraint"]
    assert check.verdict == "refused" and check.ratio > 1
    said(check, "splits at a fall of about 2.8 points", "before relief by creep")


def test_2_movement_goes_both_ways_from_build():
    check = checks()["top/movement"]
    said(check, "shrinks 3/8 in", "swells 9/16 in", "driest season", "dampest season")
    assert (
        checks('driest = "6 %"\ndampest = "11 %"')["top/movement"].demand == check.demand
    )  # the defaults, as printed


def test_3_moisture_on_arrival_is_not_that_of_the_shop():
    said(checks()["top/movement"], "on arrival", "open deck", "measure again at site")
    assert movement.on_arrival(0.07, "ship's hold") == pytest.approx(0.085)


def test_4_moisture_of_air_is_more_or_less():
    said(checks()["top/movement"], "1 to 4 points", "trend", "temperature hardly matters")
    low, high = (to(movement.settles_at(Q(T, "degF"), 0.5), "percent") for T in (50, 90))
    damp = to(movement.settles_at(Q(70, "degF"), 0.6), "percent")
    assert abs(low - high) < damp - to(movement.settles_at(Q(70, "degF"), 0.5), "percent")


def test_5_slots_that_are_too_short_are_over():
    check = checks(held=held("true", ', slot = "1/2 in"'))["top/slots"]
    assert check.verdict == "over limit"
    said(check, "fixed middle line", "snug", "across the grain only")


def cup(**change):
    given = dict(
        run=Q(36, "inch"),
        bow=Q(0.25, "inch"),
        thickness=Q(1.75, "inch"),
        breadth=Q(96, "inch"),
        E=Q(128000, "psi"),
        density=Q(760, "kg/m**3"),
        across=True,
        bars=4,
    )
    return flattening.Panel(**{**given, **change})


def test_6_a_channel_let_in_needs_room_cuts_the_top_and_ties_nothing():
    bar = Q(36, "inch")
    assert movement.groove_length(L=bar, e_s=0.01, c=Q(0, "inch")) > bar
    found = flattening.springback(cup(), [read_stock("channel 1-1/2 x 3/4 x 1/8, A36")])
    assert found.gamma[0] == 0 and found.strength_left[0] == pytest.approx((1 - 0.75 / 1.75) ** 2)
    deep = flattening.springback(cup(), [read_stock("channel C3x4.1, A36")])
    assert not deep.fits[0] and "less than half the thickness" in deep.why_not(0)


def test_7_full_composite_action_is_never_taken_for_screws():
    steel = [read_stock("channel 1-1/2 x 1/2 x 1/8, A36")]
    along = flattening.springback(
        cup(E=Q(1.78e6, "psi"), across=False, run=Q(96, "inch"), breadth=Q(36, "inch")), steel
    )
    assert 0 < along.gamma[0] < 0.9
    # across the grain steel is some 230 times as stiff as wood
    assert to(flattening.E_STEEL, "psi") / 128000 == pytest.approx(227, abs=5)


def test_12_creep_belongs_to_what_stays():
    sag = Q(0.1, "inch")
    assert to(final_sag(sag, psi=1.0, k_def=wood("white oak").creep()), "inch") == pytest.approx(0.2)
    assert to(final_sag(sag, psi=0.0, k_def=1.0), "inch") == pytest.approx(0.1)
    with pytest.raises(OutsideRange):
        final_sag(sag, psi=1.5, k_def=1.0)


def test_13_a_panel_pulled_flat_springs_back_by_a_band():
    early, late = flattening.relaxation_band(Q(0.25, "inch"))
    assert to(early, "inch") == pytest.approx(0.25) and to(late, "inch") == pytest.approx(0.125)
    assert "springs back" in flattening.STRESS_STAYS


def test_14_one_face_finished_cups_the_top():
    R = flattening.radius_of_two_layers(Q(1.5, "inch"), e=0.003)
    assert to(flattening.bow_of_radius(w=Q(36, "inch"), R=R), "inch") == pytest.approx(0.486, rel=1e-3)
    said(checks()["top/finish"], "both faces", "one face alone cups")


def test_15_boards_cup_away_from_the_heart():
    said(checks()["top/glue-up"], "away from the heart")
    one = glue_up.ring_cup(w=Q(6, "inch"), r=Q(6, "inch"), C_T=0.00365, C_R=0.0018, dM=0.02)
    sweep = glue_up.ring_cup(w=Q(48, "inch"), r=Q(6, "inch"), C_T=0.00365, C_R=0.0018, dM=0.02)
    assert to(sweep / one, "") == pytest.approx(64)  # hearts all one way


@pytest.mark.parametrize("ends", ["glued breadboard", "mitred frame"])
def test_16_breadboards_and_mitred_frames_are_restraints(ends):
    check = checks(f'ends = "{ends}"')["top/restraint at its edge"]
    assert check.verdict == "refused"


def test_21_thick_tops_are_bought_rough_and_paid_rough():
    assert glue_up.quarters_for(Q(1.5, "inch")) == 8
    check = checks()["top/glue-up"]
    said(check, "rough 8/4", "charged on the rough", "snipe", "board feet to buy")
    finished = 126 * 48 * 1.75 / 144
    assert to(check.demand, "board_foot") > 1.3 * finished


def test_22_fence_error_adds_unless_faces_alternate():
    cup = glue_up.cup_of_turn(glue_up.turn_of_joints(e=Q(0.25, "deg"), n=6), w=Q(36, "inch"))
    assert to(cup, "inch") == pytest.approx(0.196, rel=5e-3)
    said(checks()["top/glue-up"], "every second board")


def test_23_clamps_follow_pressure_and_area():
    force = glue_up.clamp_force(Q(150, "psi"), glue_up.joint_area(t=Q(1, "inch"), L=Q(25, "inch")))
    assert to(force, "lbf") == pytest.approx(3750)
    said(
        checks('boards = { pressure = "200 psi", clamp = "800 lbf" }')["top/glue-up"],
        "64 clamps of 800 lbf",
        "51,200 lbf",
    )
    with pytest.raises(InputError, match="250"):
        checks('boards = { pressure = "400 psi" }')


def test_24_resin_heats_moves_and_weighs():
    check = checks(RIVER)["top/inlay"]
    said(check, "2 pours", "never pour deeper", "60 to 100 millionths", "adds", "strength left")
    assert to(inlay.temperature_stress(20.0), "psi") > 500


def test_25_density_is_at_its_moisture():
    oak = wood("white oak")
    at = to(oak.density(0.12), "lb/ft**3")
    assert at == pytest.approx(62.4 * 0.68 * 1.12, rel=2e-3)
    assert at / (62.4 * 0.68) > 1.05  # with the water left out it is off by more than a twentieth
    with pytest.raises(InputError, match="30 %"):
        oak.density(12)


def test_26_finish_counts_solids_loss_coats_and_every_face():
    check = checks('finish = { coats = 3, film = "0.0015 in", solids = "35 %", transfer = "35 %" }')[
        "top/finish"
    ]
    area = 2 * (126 * 48 + (126 + 48) * 1.75) / 144
    assert to(check.demand, "gal") == pytest.approx(3 * area * 1.5 / (1604 * 0.35 * 0.35), rel=1e-3)
    said(check, "both faces and all edges", "3 coats", "35% of it lands")
    assert finish.SPRAY == (0.25, 0.65)
