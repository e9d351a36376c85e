"""Butt welds, ends of bars and the welder's settings in a job: what may stand together, and what is refused."""

from pathlib import Path

import pytest

from shopcalc.assess import assess
from shopcalc.check import ASK
from shopcalc.errors import InputError
from shopcalc.table.job import read_job
from shopcalc.units import magnitude

ARCHIVE = (Path(__file__).parents[2] / "notebooks" / "jobs" / "archive_map_table.toml").read_text(encoding="utf-8")
LINE = next(row for row in ARCHIVE.splitlines() if row.startswith("post_to_head"))
PROVED = 'penetration = "0.06 in", proof = "three pieces sawn and etched"'


def made_as(words):
    return read_job(ARCHIVE.replace(LINE, f"post_to_head = {{ {words} }}")).joint("post to head")


def test_a_butt_has_a_proven_penetration_and_no_leg():
    weld = made_as(f'weld = "butt all round", {PROVED}, ground = true, below_flush = "0.004 in", ends = "mitred", mitre_plate = "1/2 in"')
    assert weld.butt and weld.leg is None and weld.ends == "mitred" and weld.proof == "three pieces sawn and etched"
    assert magnitude(weld.penetration, "in") == pytest.approx(0.06) and magnitude(weld.below_flush, "in") == pytest.approx(0.004)
    assert made_as('weld = "butt all round"').penetration is None  # legal: nothing of it will count


def test_a_fillet_is_as_before_and_its_ends_are_open():
    weld = made_as('weld = "fillet all round", leg = "1/8 in", volts = "18 V", amps = "120 A", travel = "300 mm/min"')
    assert not weld.butt and weld.ends == "open" and magnitude(weld.travel, "mm/s") == pytest.approx(5)
    assert any("ends left open" in words for words in weld.assumed)
    assert made_as('weld = "fillet all round", leg = "1/8 in", ends = "capped"').ends == "capped"


def test_what_was_left_out_is_told():
    assert made_as(f'weld = "butt all round", {PROVED}, ground = true, filler = "E70", process = "GTAW"').assumed == (
        "ground 1/32 in below flush, the most that AWS D1.1 lets flush grinding take (not said)",)


@pytest.mark.parametrize(("words", "field", "need"), [
    ('weld = "fillet all round"', "leg", "does not guess"),
    ('weld = "fillet all round", leg = "1/8 in", penetration = "0.06 in"', "penetration", "a fillet has a leg"),
    ('weld = "fillet all round", leg = "1/8 in", ends = "mitred"', "ends", "butt along the cut"),
    ('weld = "fillet all round", leg = "1/8 in", mitre_plate = "1/2 in"', "mitre_plate", "mitred"),
    (f'weld = "butt all round", {PROVED}, leg = "1/8 in"', "leg", "proven penetration"),
    (f'weld = "butt all round", {PROVED}, ground = true, throat_left = "0.05 in"', "throat_left", "below_flush"),
    (f'weld = "butt all round", {PROVED}, flare_sides = true', "flare_sides", "fillet"),
    (f'weld = "butt all round", {PROVED}, ends = "capped"', "ends", "no end left to cap"),
    (f'weld = "butt all round", {PROVED}, below_flush = "0.004 in"', "below_flush", "ground = true"),
    ('weld = "butt all round", penetration = "0.06 in"', "proof", "sawn across, polished and etched"),
    ('weld = "butt all round", proof = "sawn and etched"', "penetration", "test pieces"),
    ('weld = "butt all round", penetration = "0.06"', "penetration", "unit"),
    ('weld = "but all round", leg = "1/8 in"', "weld", "fillet all round"),
    ('weld = "fillet all round", leg = "1/8 in", ends = "closed"', "ends", "capped"),
    ('weld = "fillet all round", leg = "1/8 in", amps = "120 V"', "amps", "unit"),
])
def test_what_may_not_stand_together_is_told_with_a_good_example(words, field, need):
    with pytest.raises(InputError) as told:
        made_as(words)
    assert told.value.field.startswith("joints.post_to_head") and told.value.field.endswith(field) and need in told.value.need
    example = told.value.example
    assert example
    if example.startswith("post_to_head = {"):  # the example itself is good
        made_as(example.removeprefix("post_to_head = {").removesuffix("}"))


def test_a_job_with_a_butt_on_a_face_asks_an_engineer_and_gives_no_number():
    found = assess(read_job(ARCHIVE.replace(LINE, f'post_to_head = {{ weld = "butt all round", {PROVED} }}')))
    check = found.check("joint.post to head/weld")
    assert check.verdict == ASK and check.ratio is None and check.limit is None and "butt" in check.detail
    assert found.exit_code == 1
