"""Rerun: a record computed again, each difference named by its kind."""

import dataclasses
import functools
import json
from pathlib import Path

import pytest

from shopcalc.assess import assess
from shopcalc.check import REPORTED
from shopcalc.errors import InputError
from shopcalc.show import rerun
from shopcalc.show.rerun import KINDS
from shopcalc.show.stored import record_json

again = functools.lru_cache(rerun.again)  # one job text, one assessment: it takes seconds


def compare(path, recompute=again):
    return rerun.compare(path, recompute)


JOB = Path(__file__).parents[2] / "notebooks" / "jobs" / "archive_map_table.toml"


@pytest.fixture(scope="module")
def text():
    return record_json(assess(JOB))


@pytest.fixture
def stored(text, tmp_path):
    """A stored record, after a change of its data (in place)."""
    def write(change=lambda data: None):
        data = json.loads(text)
        change(data)
        path = tmp_path / "record.json"
        path.write_text(json.dumps(data), encoding="utf-8")
        return path

    return write


def other(checks=None, **fields):
    """The kit as it may be later: the assessment of the same text with some parts changed."""
    def recompute(job_text):
        now = again(job_text)
        if checks:
            fields["checks"] = tuple(checks(c) for c in now.checks)
        return dataclasses.replace(now, **{k: v for k, v in fields.items() if v is not None})

    return recompute


def test_the_same_kit_gives_the_same_record(stored):
    assert compare(stored()) == []


def test_a_changed_input_is_named_with_every_number_it_moves(stored):
    def thicker(data):
        assert 'thickness = "1-3/4 in"' in data["job_text"]
        data["job_text"] = data["job_text"].replace('thickness = "1-3/4 in"', 'thickness = "2 in"')

    found = compare(stored(thicker))
    assert {d.kind for d in found} == {"input"}
    assert found[0].where == "record.json, job_text"
    assert any(d.where == "top/mass, demand" for d in found)
    assert all(d.was != d.now for d in found)


def test_a_number_changed_by_hand_is_named_as_input(stored):
    def slip(data):
        data["checks"]["stretcher/sag"]["demand"]["value"] *= 0.9

    found = compare(stored(slip))
    assert {(d.kind, d.where) for d in found} == {
        ("input", "record.json, checks"),
        ("input", "stretcher/sag, demand"),
    }


def nudged(name, factor):
    def change(check):
        if check.id != name:
            return check
        return dataclasses.replace(check, demand=check.demand * factor, ratio=check.ratio * factor)

    return change


def test_changed_data_is_named_and_blamed_for_what_moved(stored):
    found = compare(stored(), other(nudged("stretcher/strength", 1.01), data_hash="other"))
    assert [(d.kind, d.where) for d in found] == [
        ("data", "data tables"), ("data", "stretcher/strength, demand"), ("data", "stretcher/strength, ratio")]


def test_another_answer_from_the_same_input_and_data_is_a_method(stored):
    found = compare(stored(), other(nudged("stretcher/strength", 1.01)))
    was = json.loads(stored().read_text("utf-8"))["checks"]["stretcher/strength"]["demand"]["value"]
    assert [(d.kind, d.where) for d in found] == [
        ("method", "stretcher/strength, demand"), ("method", "stretcher/strength, ratio")]
    assert f"stretcher/strength, demand: was {was:.4f}"[:-1] in str(found[0])


def test_the_last_digits_are_rounding(stored):
    found = compare(stored(), other(nudged("stretcher/strength", 1 + 1e-13)))
    assert found and {d.kind for d in found} == {"rounding"}


def test_one_in_a_million_is_not_rounding(stored):
    found = compare(stored(), other(nudged("stretcher/strength", 1 + 1e-6)))
    assert {d.kind for d in found} == {"method"}


def test_another_clause_source_or_verdict_is_named(stored):
    def change(check):
        if check.id != "stretcher/shear":
            return check
        return dataclasses.replace(check, clause="another clause", verdict=REPORTED)

    found = compare(stored(), other(change))
    assert {(d.kind, d.where, d.now) for d in found} == {
        ("method", "stretcher/shear, clause", "another clause"),
        ("method", "stretcher/shear, verdict", REPORTED),
    }


def test_another_formula_is_named_by_its_line(stored):
    def change(check):
        if check.id != "stretcher/sag":
            return check
        first = dataclasses.replace(check.worked[0], expression="w·L^4/E/I")
        return dataclasses.replace(check, worked=(first, *check.worked[1:]))

    (found,) = compare(stored(), other(change))
    assert (
        found.kind == "method" and found.where == "stretcher/sag, worked line 1" and "w·L^4/E/I" in found.now
    )


def test_a_check_that_came_or_went_is_named(stored):
    def renamed(check):
        return dataclasses.replace(check, id="stretcher/bow") if check.id == "stretcher/sag" else check

    found = compare(stored(), other(renamed))
    assert {(d.where, d.was, d.now) for d in found} == {
        ("stretcher/sag", "checked", "not checked"), ("stretcher/bow", "not checked", "checked")}


def test_another_default_is_named(stored):
    now = assess(JOB)
    first = dataclasses.replace(now.resolved[0], value="77 psf")
    found = compare(stored(), other(resolved=(first, *now.resolved[1:])))
    assert len(found) == 2 and all(d.where.startswith(f"assumed, {first.field}") for d in found)


def test_another_kit_or_edition_is_named(stored):
    def older(data):
        data["kit"], data["code"] = "0.0.9", "AISC 360-16 (ASD)"

    assert [(d.kind, d.where) for d in compare(stored(older))] == [("method", "code"), ("method", "kit")]


def test_only_the_four_kinds(stored):
    assert KINDS == ("input", "data", "method", "rounding")


@pytest.mark.parametrize(
    "content",
    [
        "",
        "no json",
        "[]",
        "7",
        "{}",
        '{"format": 99}',
        '{"format": 1}',
        "[" * 100_000,
        "\x00\x01",
        '{"format": 1, "checks": []}',
    ],
)
def test_what_is_no_record_is_refused(content, tmp_path):
    path = tmp_path / "record.json"
    path.write_text(content, encoding="utf-8")
    with pytest.raises(InputError) as error:
        compare(path)
    assert error.value.field.startswith("record") and error.value.example


def test_a_missing_file_or_a_folder_is_refused(tmp_path):
    for path in (tmp_path / "none.json", tmp_path):
        with pytest.raises(InputError):
            compare(path)


def test_a_record_without_one_of_its_parts_is_refused(stored):
    for part in ("job_text", "checks", "fingerprints", "assumed"):
        with pytest.raises(InputError, match=part):
            compare(stored(lambda data, part=part: data.pop(part)))


def test_checks_of_another_shape_are_refused_or_named(stored):
    with pytest.raises(InputError):
        compare(stored(lambda data: data["checks"].update({"stretcher/sag": 7})))

    def odd(data):
        data["checks"]["stretcher/sag"]["demand"] = "much"
        data["checks"]["stretcher/sag"]["worked"] = "none"
        data["pieces"] = [1, "two"]

    found = {d.where: d.was for d in compare(stored(odd))}
    assert found["stretcher/sag, demand"] == "much" and "stretcher/sag, worked lines" in found


def test_a_job_text_that_can_no_longer_be_read_is_bad_input(stored):
    with pytest.raises(InputError):
        compare(stored(lambda data: data.update(job_text="format = 1\nnonsense")))
