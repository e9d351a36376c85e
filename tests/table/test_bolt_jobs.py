"""Bolted joints and fixings of the top in a job: what is read, what is answered, what is refused."""

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from shopcalc.check import ASK, OUTSIDE, OVER, REPORTED, WITHIN, envelope
from shopcalc.errors import InputError
from shopcalc.joints import prying
from shopcalc.joints.fasteners import bearing_of_steel, screw_in_wood
from shopcalc.stock.fasteners import wood_screw
from shopcalc.table import bolts_made
from shopcalc.table.bolts_made import Bolted, defaults_of
from shopcalc.table.fixing_checks import fixing_checks
from shopcalc.table.frame_cases import frame_cases
from shopcalc.table.frame_solve import solve_strength
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.joint_checks import weld_checks
from shopcalc.table.landings import forces_on, landings
from shopcalc.table.loads import load_cases
from shopcalc.units import Q, magnitude

JOBS = Path(__file__).parents[2] / "notebooks" / "jobs"
TEXT = (JOBS / "archive_map_table.toml").read_text(encoding="utf-8")
THICK = "rectangular tube 4 in x 2 in x 7 ga, A513"
assert THICK in TEXT
TEXT = re.sub("^top_to_base .*\n", "", TEXT, flags=re.MULTILINE)  # each test says how its top is held
WELDED = 'stretcher_to_rail = { weld = "fillet all round", leg = "1/8 in", filler = "E70" }'
GOOD = (
    'bolts = 4, size = "3/8 in", grade = "grade 5", plate = "1/2 in", apart = "4-1/2 in", across = "2 in",'
    ' edge = "3/4 in", sleeve = true'
)


def job_with(bolts="", top=""):
    assert WELDED in TEXT
    text = TEXT.replace(WELDED, f"stretcher_to_rail = {{ {bolts} }}" if bolts else WELDED)
    return read_job(text.replace("[loads]", f"top_to_base = {{ {top} }}\n\n[loads]", 1) if top else text)


@cache
def solved():
    """The frame of the archive table with its stretcher bolted, under a few cases of use and handling."""
    job = job_with(GOOD)
    g = build(job)
    every = [
        c
        for c in frame_cases(g, load_cases(job.overrides, public_use=False))
        if c.case.kind in ("use", "handling", "proof")
    ]
    few = [next(c for c in every if c.case.kind == k) for k in ("use", "proof")] + [
        c for c in every if c.held.startswith("caught")
    ][:1]
    return g, list(solve_strength(job, g, few)), every


def checks(bolts, rail=THICK):
    job = read_job(job_with(bolts).text.replace(THICK, rail))
    g, frames, _ = solved()
    g = g if rail == THICK else build(job)
    return {
        c.id.removeprefix("joint.stretcher to rail/"): c
        for c in envelope(weld_checks(job, g, frames))
        if c.id.startswith("joint.stretcher to rail/")
    }


def with_(**changes):
    keys = dict(part.split(" = ", 1) for part in GOOD.split(", "))
    keys |= {k: v for k, v in changes.items() if v is not None}
    return ", ".join(f"{k} = {v}" for k, v in keys.items() if changes.get(k, "") is not None)


# --- bolts ---------------------------------------------------------------------------------------


def test_a_sound_bolted_joint_is_answered_in_full():
    found = checks(GOOD)
    assert set(found) == {"bolts", "plate", "plate weld", "face", "holes", "clamp", "edge", "end", "flat", "spacing"}
    assert all(c.verdict == WITHIN for n, c in found.items() if n != "clamp")
    bolts = found["bolts"]
    assert (
        "torque" in bolts.detail and "oiled" in bolts.detail and "threads in the shear plane" in bolts.detail
    )
    assert any("Torque is not clamp" in c for c in bolts.cautions) and any(
        "Powder under a bolt head" in c for c in bolts.cautions
    )
    assert found["clamp"].verdict == REPORTED and bolts.lines() and found["plate"].lines()


def test_the_worst_bolt_by_plain_sums():
    """Pull over four bolts, bending along the rail over two rows, across over two columns; the largest of
    all cases over the code's
    9,940/2 lbf, prying added by the strip's equilibrium."""
    g, frames, _ = solved()
    worst = 0.0
    for s in frames:
        for j in (j for j in g.joints if j.kind == "stretcher to rail"):
            f = forces_on(s, landings(g, j)[0])
            kinds = np.array([c.case.kind for c in s.cases])
            T = (
                np.maximum(f.pull / 4, 0)
                + abs(f.over_along) / (2 * 4.5 * 0.0254)
                + abs(f.over_across) / (2 * 2 * 0.0254)
            )
            B = np.where(kinds == "proof", 1.0, 0.5) * 90e3 * 0.110447 * 4.4482216
            ratio = T / B
            worst = max(worst, float(ratio.max()))
    found = checks(with_(plate='"1 in"'))["bolts"]  # so thick that nothing pries
    assert "prying" not in found.detail
    assert found.ratio == pytest.approx(worst, rel=1e-3)


def test_a_thin_plate_pries_and_then_folds():
    thick, thin = checks(GOOD), checks(with_(plate='"3/16 in"'))
    assert thin["plate"].verdict == OVER and thin["plate"].ratio > 3 * thick["plate"].ratio
    assert thin["bolts"].ratio > thick["bolts"].ratio and "by prying" in thin["bolts"].detail
    # demand and limit of the plate are what its worked lines say
    assert thin["plate"].ratio == pytest.approx(float(thin["plate"].demand / thin["plate"].limit), rel=1e-9)
    assert prying.OMEGA == 1.67


def test_a_tapped_wall_strips_and_caps_the_torque():
    found = checks(with_(into='"tapped wall"', sleeve="false"))
    thread = found["thread"]
    assert "threads in the wall" in thread.detail and thread.ratio > found["bolts"].ratio
    assert "threads of the tapped wall strip" in found["bolts"].detail  # what limits the torque
    assert len(thread.lines()) == 2


def test_nuts_that_are_rated_by_their_maker():
    assert checks(with_(into='"rivet nut"', sleeve="false"))["thread"].verdict == ASK
    rated = checks(with_(into='"weld nut"', rated_allowable='"900 lbf"', sleeve="false"))["thread"]
    assert float(magnitude(rated.limit, "lbf")) == pytest.approx(900)
    ultimate = checks(with_(into='"weld nut"', rated_ultimate='"900 lbf"', sleeve="false"))["thread"]
    assert ultimate.ratio == pytest.approx(2 * rated.ratio)


def test_a_wall_outside_the_tested_range_says_so():
    """A513 4 x 2 x 11 ga counts 0.108 in: 4/0.108 is over 35, so yield lines give no number."""
    thin = checks(with_(sleeve="false"), rail=THICK.replace("7 ga", "11 ga"))
    assert thin["wall"].verdict == OUTSIDE and "sleeve" in thin["wall"].detail
    assert thin["face"].verdict == OUTSIDE and "no torque is given" in thin["bolts"].detail
    thick = checks(with_(sleeve="false"))
    assert thick["wall"].ratio > 0 and "pressed together" in thick["bolts"].detail  # what limits the torque


def test_bolts_that_slip_are_told_in_words():
    found = checks(with_(into='"weld nut"', rated_allowable='"40 lbf"', sleeve="false"))["clamp"]
    assert (
        found.verdict == REPORTED and "slides up to 1/8 in" in found.detail and "felt as play" in found.detail
    )


def test_oversized_holes_are_warned_of():
    wide, plain = checks(with_(hole='"1/8 in"'))["bolts"], checks(GOOD)["bolts"]
    assert any("slip-critical" in c for c in wide.cautions) and not any(
        "slip-critical" in c for c in plain.cautions
    )


def test_slip_is_asked_under_loads_of_service():
    """LRFD multiplies by 1.6 what strength is compared with; slip it does not."""
    g, frames, _ = solved()
    asd = job_with(GOOD)
    lrfd = read_job(asd.text.replace('method = "ASD"', 'method = "LRFD"'))
    one, two = ({c.id: c for c in envelope(weld_checks(job, g, frames))} for job in (asd, lrfd))
    name = "joint.stretcher to rail/"
    assert two[name + "clamp"].ratio == pytest.approx(one[name + "clamp"].ratio)
    assert two[name + "holes"].ratio == pytest.approx(one[name + "holes"].ratio * 1.6 / (2.00 * 0.75))


def test_one_bolt_holds_no_twist_and_two_lean_on_their_plate():
    one = checks(with_(bolts="1"))
    assert one["bolts"].verdict == OVER and "cannot hold" in one["bolts"].detail
    two = checks(with_(bolts="2"))
    assert np.isfinite(two["bolts"].ratio) and two["bolts"].ratio > checks(GOOD)["bolts"].ratio


def test_what_cannot_be_reached_or_is_not_given_goes_to_a_person():
    assert "no wrench reaches" in checks(with_(apart='"2 in"', across='"1 in"'))["bolts"].detail
    assert checks(with_(plate=None))["bolts"].verdict == ASK


def made(bolts, l_end=10.0):
    job = job_with(bolts)
    g = build(job)
    j = next(j for j in g.joints if j.kind == "stretcher to rail")
    return Bolted.of(job, job.joint(j.kind), landings(g, j)[0], l_end)


def test_a_bolt_at_a_corner_stands_off_both_walls_of_the_branch():
    """Stretcher 3 in across and 2 in along the rail: 0.225 in past one wall, 1.25 in past the other."""
    assert made(with_(across='"3.45 in"')).b / 0.0254 == pytest.approx((0.225**2 + 1.25**2) ** 0.5)
    assert made(with_(across='"2 in"')).b / 0.0254 == pytest.approx(1.25)


def test_a_plate_wider_than_the_face_presses_at_the_side_of_the_tube():
    """Two bolts in the middle of a 4 in face: no lever over 2 in."""
    wide, even = (checks(with_(bolts="2", edge=f'"{e} in"'))["bolts"] for e in (4, 2))
    assert wide.ratio >= even.ratio * (1 - 1e-9)


def test_the_wall_near_an_open_end_holds_half():
    far, near = made(with_(sleeve="false")), made(with_(sleeve="false"), l_end=2 * 0.0254)
    assert near.l_end == pytest.approx((2 - (2.25 + 0.75 - 1)) * 0.0254, abs=1e-9)
    assert near.wall_limit("use", "ASD")[0] == pytest.approx(far.wall_limit("use", "ASD")[0] / 2)


def test_holes_must_stand_on_the_flat_of_the_face():
    """7 ga tube, corners of two walls: 3 in and a hole are more than is flat of 3.3 in."""
    assert checks(GOOD)["flat"].verdict == WITHIN
    assert checks(with_(across='"3 in"'))["flat"].verdict == OVER


def test_the_plate_of_one_bolt_goes_to_a_person():
    assert checks(with_(bolts="1"))["plate"].verdict == ASK


def test_defaults_are_printed_as_assumed():
    found = checks(with_(grade=None, across=None, edge=None))
    words = " ".join(found["bolts"].assumed)
    assert "grade 2" in words and "half of it" in words and "the least" in words


def test_defaults_of_a_bolted_joint_stand_in_the_list_of_what_was_put_in():
    found = dict(defaults_of(job_with('bolts = 2, size = "3/8 in", plate = "3/8 in"')))
    assert found == {
        "joints.stretcher_to_rail.grade": "grade 2",
        "joints.stretcher_to_rail.hole": "1/16 in over the bolt",
        "joints.stretcher_to_rail.edge": "9/16 in",
    }
    assert dict(defaults_of(job_with('bolts = 2, size = "10 mm"')))["joints.stretcher_to_rail.grade"] == "4.6"
    assert dict(defaults_of(job_with())) == {}


def test_edges_and_spacing_of_the_code():
    found = checks(with_(edge='"0.4 in"', across='"0.75 in"', size='"1/2 in"'))
    assert (
        found["edge"].verdict == OVER and "J3.4" in found["edge"].clause
    )  # table J3.4: 3/4 in for a 1/2 in bolt
    assert found["spacing"].verdict == OVER


@pytest.mark.parametrize(
    ("bolts", "named"),
    [
        (with_(grade='"grade 55"'), "grade"),
        (with_(size='"0.4 in"'), "size"),
        (with_(into='"glue"'), "into"),
        (with_(bolts="5"), "bolts"),
        (with_(plat='"1/2 in"'), "plate"),
        (with_(rated_allowable='"9 in"'), "rated_allowable"),
        (with_(hole='"2 in"'), "hole"),
    ],
)
def test_bad_bolts_are_refused_by_name(bolts, named):
    with pytest.raises(InputError) as caught:
        checks(bolts)
    assert named in caught.value.field + caught.value.need


# --- the top -------------------------------------------------------------------------------------

TOP = 'fixing = "#10", count = 12, length = "1-1/2 in", tab = "1/8 in", slotted = true'


def top_checks(top):
    job = job_with(top=top)
    g, _, every = solved()
    return {c.id: c for c in fixing_checks(job, g, every)}


def test_screws_of_the_top_carry_the_base_and_the_pushes():
    found = top_checks(TOP)
    assert set(found) == {
        "top/fixing pull",
        "top/fixing under people",
        "top/fixing sideways",
        "top/fixing length",
        "top/fixing tab",
    }
    g, _, _ = solved()
    base = sum(p.mass for p in g.pieces if p.name != "top") * 9.80665 * 1.5 / 12
    assert float(magnitude(found["top/fixing pull"].demand, "N")) == pytest.approx(base)
    G = g.top.wood.G_12
    assert float(magnitude(found["top/fixing pull"].limit, "lbf")) == pytest.approx(
        2850 * G**2 * 0.19 * (1.5 - 0.125 - 0.38), rel=1e-6
    )
    assert not any("round holes" in c for c in found["top/fixing pull"].cautions)


def test_the_steel_under_the_heads_bends_by_hand():
    """36 ksi x (1/8 in)^2 / (2 x 1.67) = 168 lbf, whatever the reach; by the square of the thickness."""
    thick, thin = (top_checks(TOP.replace('tab = "1/8 in"', f'tab = "{t} in"'))["top/fixing tab"] for t in ("1/8", "1/16"))
    assert float(magnitude(thick.limit, "lbf")) == pytest.approx(36e3 / 64 / (2 * 1.67))
    assert thin.ratio == pytest.approx(4 * thick.ratio) and thick.demand == top_checks(TOP)["top/fixing pull"].demand
    assert any("twice as wide" in r for r in thick.range) and thick.verdict == WITHIN and thick.lines()
    heavy = top_checks(TOP.replace("count = 12", "count = 2").replace('tab = "1/8 in"', 'tab = "0.03 in"'))["top/fixing tab"]
    assert heavy.verdict == OVER and "a thicker tab" in heavy.detail


def test_a_rigid_hold_down_is_warned_of_and_a_long_screw_comes_through():
    found = top_checks(TOP.replace("slotted = true", "slotted = false").replace("1-1/2 in", "2-1/2 in"))
    assert any("round holes" in c for c in found["top/fixing pull"].cautions)
    assert found["top/fixing length"].verdict == OVER


def test_slots_leave_two_fixings_to_hold_across_the_grain():
    g, _, every = solved()
    across = [
        c
        for c in every
        if abs(c.seats[:, 1].sum()) > abs(c.seats[:, 0].sum()) and c.case.kind in ("use", "handling")
    ][:1]
    job = job_with(top=TOP)
    slotted = next(c for c in fixing_checks(job, g, across) if "sideways" in c.id)
    fixed = next(
        c for c in fixing_checks(job_with(top=TOP.replace("true", "false")), g, across) if "sideways" in c.id
    )
    assert slotted.ratio == pytest.approx(6 * fixed.ratio) and "across the grain" in slotted.detail


def test_the_few_that_hold_across_count_beside_a_push_along_of_the_same_size():
    g, _, every = solved()
    level = [c for c in every if c.case.kind in ("use", "handling")]
    V = {way: max(abs(float(c.seats[:, way].sum())) for c in level) for way in (0, 1)}
    found = top_checks(TOP)["top/fixing sideways"]
    held = screw_in_wood(
        wood_screw("#10"),
        G=g.top.wood.G_12,
        length=Q(1.5, "inch"),
        plate=Q(0.125, "inch"),
        F_e_plate=bearing_of_steel(Q(58, "ksi")),
    )
    assert V[1] > 0
    assert found.ratio == pytest.approx(max(V[0] / 12 / held.along, V[1] / 2 / held.across))


def test_the_job_says_how_many_are_fixed_on_the_middle_line():
    g, _, every = solved()
    across = [c for c in every if c.held.startswith("turn") or "long side" in c.where] or every
    two, four = (
        {c.id: c for c in fixing_checks(job_with(top=top), g, across)}["top/fixing sideways"]
        for top in (TOP, TOP + ", fixed = 4")
    )
    assert two.detail.startswith("2 of 12") and two.ratio == pytest.approx(2 * four.ratio)
    assert any("middle line" in a for a in two.assumed) and not any("middle line" in a for a in four.assumed)
    with pytest.raises(InputError, match="no more than there are, 12"):
        job_with(top=TOP + ", fixed = 13")


def test_an_insert_pushed_sideways_is_told_of_though_nobody_rates_it():
    found = top_checks('fixing = "insert 1/4", count = 8, slotted = true, rated_allowable = "500 lbf"')
    sideways = found["top/fixing sideways"]
    assert sideways.verdict == REPORTED and "ask its maker" in sideways.detail and sideways.demand.magnitude > 0


def test_screws_in_sheet_goods_go_to_their_maker():
    job = read_job(job_with(top=TOP).text.replace('"white oak"', '"MDF 130"'))
    _, _, every = solved()
    found = {c.id: c for c in fixing_checks(job, build(job), every)}
    assert set(found) == {"top/fixing", "top/fixing length"} and found["top/fixing"].verdict == ASK


def test_people_on_the_overhang_pull_the_fixings_behind_them():
    """Heads 60 in apart under 126 in: 400 lbf stand 33 in past them against the top over 30 in; the far ones, 60 in
    off, hold by half of the fixings."""
    job = read_job(job_with(top=TOP).text.replace('apart = "78 in"', 'apart = "60 in"'))
    g = build(job)
    cases = list(frame_cases(g, load_cases({}, public_use=False)))
    found = {c.id: c for c in fixing_checks(job, g, cases)}["top/fixing under people"]
    W, P = 0.9 * g.top.mass * 9.80665, 400 * 4.4482216152605
    by_hand = (P * 33 - W * 30) / 60 / 6
    assert by_hand > 0 and float(magnitude(found.demand, "N")) == pytest.approx(by_hand)
    archive = top_checks(TOP)["top/fixing under people"]  # 24 in past heads 78 in apart: the top stays down
    assert archive.ratio == 0 and "nothing is pulled" in archive.detail


def test_inserts_need_their_rating():
    insert = 'fixing = "insert 1/4", count = 8, slotted = true'
    assert top_checks(insert)["top/fixing"].verdict == ASK
    rated, tested = (
        top_checks(f'{insert}, {key} = "500 lbf"')["top/fixing pull"]
        for key in ("rated_allowable", "rated_ultimate")
    )
    assert tested.ratio == pytest.approx(5 * rated.ratio)


def test_nothing_is_said_where_the_job_says_nothing():
    g, _, every = solved()
    assert list(fixing_checks(job_with(), g, every)) == []


@pytest.mark.parametrize(
    "top",
    ['weld = "fillet all round", leg = "1/8 in"', 'fixing = "#11", count = 4', 'fixing = "#10", count = 1'],
)
def test_bad_fixings_are_refused(top):
    with pytest.raises(InputError):
        build(job_with(top=top))


def test_a_joint_of_bars_is_not_screwed_like_wood():
    with pytest.raises(InputError, match="a weld or bolts"):
        build(job_with('fixing = "#10", count = 4'))


def test_shares_do_not_depend_on_the_order_of_the_cases():
    g, frames, _ = solved()
    turned = [replace(s) for s in reversed(frames)]
    job = job_with(GOOD)
    one, other = ({c.id: c.ratio for c in envelope(weld_checks(job, g, f))} for f in (frames, turned))
    assert one == pytest.approx(other)


def test_rows_of_bolts_near_each_other_share_one_yield_pattern():
    """Pure pull: two rows hold together no more than one patch that covers both, by J10.10 and K2.1 typed out."""
    four = made(with_(sleeve="false"))
    t, F_y, _ = four.wall
    patch, reach = bolts_made.HEAD * four.d, float(np.ptp(four.places[:, 1]))
    eta, beta = (reach + patch) / four.face, min((four.across + patch) / four.face, 0.85)
    together = F_y * t**2 * (2 * eta / (1 - beta) + 4 / (1 - beta) ** 0.5) / 1.67
    assert 4 * four.wall_limit("use", "ASD")[0] <= together * (1 + 1e-9)
