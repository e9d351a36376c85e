"""A check: its verdict, its envelope over load cases, its factor by the kind of load, its JSON."""

import itertools
import json
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopcalc.check import (
    ASK,
    KINDS,
    OUTSIDE,
    OVER,
    REFUSED,
    REPORTED,
    VERDICTS,
    WITHIN,
    Check,
    Strength,
    allowable,
    allowable_line,
    compare,
    envelope,
    exit_code,
    quantity_dict,
    ratio_text,
    severity,
    worst,
)
from shopcalc.units import Q, Quantity, read_any

TEXT = dict(name="Stretcher: bending", about="stretcher", kind="use")


def check(id="stretcher/bending", **words):  # noqa: A002
    return Check(**{**TEXT, "id": id, "verdict": WITHIN, **words})


# --- verdicts ------------------------------------------------------------------------------------

def test_verdicts_are_six_words_and_kinds_six():
    assert VERDICTS == ("within limit", "reported", "ask an engineer", "outside range", "over limit",
                        "refused")
    assert KINDS == ("use", "handling", "proof", "stability", "sag", "information")


@pytest.mark.parametrize(("demand", "limit", "ratio", "verdict"), [
    (50, 100, 0.5, WITHIN), (100, 100, 1.0, WITHIN), (101, 100, 1.01, OVER),
    (100 * (1 + 1e-9), 100, 1 + 1e-9, OVER),
    (0, 100, 0.0, WITHIN), (0, 0, 0.0, WITHIN), (1e-9, 0, math.inf, OVER), (-50, 100, 0.5, WITHIN),
    (-150, 100, 1.5, OVER),
    (1, -5, math.inf, OVER), (-1, -5, math.inf, OVER), (0, -5, math.inf, OVER), (math.inf, 5, math.inf, OVER),
    (5, math.inf, 0.0, WITHIN), (1.5, 2.0, 0.75, WITHIN), (1.5, 1.2, 1.25, OVER)])
def test_over_one_is_always_bad(demand, limit, ratio, verdict):
    assert compare(demand, limit) == (pytest.approx(ratio, rel=1e-15), verdict)


@pytest.mark.parametrize(("demand", "limit"),
                         [(math.nan, 1), (1, math.nan), (math.nan, math.nan), (np.float64("nan"), 2.0)])
def test_what_is_not_a_number_gets_no_verdict(demand, limit):
    with pytest.raises(ValueError, match="not a number"):
        compare(demand, limit)


@given(st.floats(1e-6, 1e6), st.sampled_from(["inch", "ft", "mm", "cm"]))
def test_a_demand_at_its_limit_is_within_in_every_unit(size, unit):
    demand = Quantity(size, "m")
    again = Quantity(demand.to(unit).magnitude, unit).to("m").magnitude
    assert compare(again, size) == (1.0, WITHIN) == compare(size, again)


@given(st.floats(-1e9, 1e9), st.floats(-1e9, 1e9))
def test_within_is_never_said_of_a_demand_past_its_limit(demand, limit):
    ratio, verdict = compare(demand, limit)
    assert ratio >= 0 and (verdict == OVER) == (ratio > 1)
    if abs(demand) > limit * (1 + 1e-9) and limit > 0 or limit < 0:
        assert verdict == OVER


@pytest.mark.parametrize(("ratio", "words"), [
    (0.0, "0.00"), (0.5, "0.50"), (0.501, "0.51"), (1 + 2e-12, "1.01"), (0.9901, "1.00"), (1.0, "1.00"),
    (1.0000001, "1.01"),
    (1.25, "1.25"), (math.inf, "no limit left")])
def test_a_ratio_prints_rounded_up(ratio, words):
    assert ratio_text(ratio) == words


# --- the worst of many ---------------------------------------------------------------------------

def test_the_order_of_severity():
    ranked = [check(verdict=v) for v in VERDICTS]
    for mild, bad in itertools.combinations(ranked, 2):
        assert severity(mild) < severity(bad) and worst([mild, bad]) is bad is worst([bad, mild])
    low, high = check(ratio=0.4), check(ratio=0.8)
    assert worst([high, low]) is high and worst([check(), low]) is low
    assert worst([check(ratio=0.99), check(verdict=OUTSIDE)]).verdict == OUTSIDE
    assert worst([check(verdict=OVER, ratio=1.1), check(verdict=OVER, ratio=math.inf)]).ratio == math.inf


def test_the_envelope_keeps_the_worst_case_and_what_was_assumed_in_any():
    made = []

    def lines(case):
        return lambda: made.append(case) or ()

    a = check(case="dead", ratio=0.4, assumed=("wall",), cautions=("thin",), worked=lines("dead"))
    b = check(case="people", ratio=0.9, assumed=("steel", "wall"), worked=lines("people"))
    c = check(id="foot/tips", ratio=0.2)
    d = check(case="push", verdict=REPORTED, worked=lines("push"))
    found = envelope([a, c, b])
    assert [x.id for x in found] == ["stretcher/bending", "foot/tips"]
    assert found[0].case == "people" and found[0].assumed == ("wall",
                                                              "steel") and found[0].cautions == ("thin",)
    assert made == []  # worked lines are made when they are read, for the kept check alone, and once
    assert found[0].worked == () and found[0].lines() == () and len(found[0].worked) == 0 and made == ["people"]
    assert envelope([b, d])[0].case == "push"
    assert envelope([]) == []


@given(st.lists(st.tuples(st.sampled_from("abc"), st.sampled_from(VERDICTS), st.none() | st.floats(0, 9)),
                max_size=12))
def test_no_envelope_is_milder_than_any_of_its_cases(rows):
    checks = [check(id=i, verdict=v, ratio=r) for i, v, r in rows]
    found = {c.id: c for c in envelope(checks)}
    assert set(found) == {i for i, _, _ in rows}
    assert all(severity(found[c.id]) >= severity(c) for c in checks)
    assert exit_code(found.values()) == exit_code(checks)


@pytest.mark.parametrize(("verdict", "code"),
                         [(WITHIN, 0), (REPORTED, 0), (ASK, 1), (OUTSIDE, 1), (OVER, 1), (REFUSED, 1)])
def test_exit_code(verdict, code):
    assert exit_code([check(), check(verdict=verdict), check()]) == code


# --- nominal to allowable ------------------------------------------------------------------------

STRENGTH = Strength(nominal=np.array([100.0, np.nan]), states=("yielding", "wall buckling"),
                    governing=np.array([1, 0]),
                    in_range=np.array([True, False]), omega=1.67, phi=0.9, clause="F7")


@pytest.mark.parametrize(("kind", "method", "size"), [
    ("use", "ASD", 100 / 1.67), ("handling", "ASD", 100 / 1.67), ("use", "LRFD", 90.0),
    ("handling", "LRFD", 90.0),
    ("proof", "ASD", 100.0), ("proof", "LRFD", 100.0)])
def test_the_factor_follows_the_kind_of_load(kind, method, size):
    found = allowable(STRENGTH, kind, method)
    assert found[0] == pytest.approx(size, rel=1e-15) and np.isnan(found[1])
    line = allowable_line(STRENGTH, "N*m", kind, method, "mm")
    assert float(line.result.split()[0].replace(",", "")) == pytest.approx(1000 * size, rel=5e-4)
    assert STRENGTH.state() == "wall buckling"


@pytest.mark.parametrize("kind", ["stability", "sag", "information", "wind"])
def test_a_strength_is_not_compared_with_other_kinds(kind):
    with pytest.raises(ValueError, match=kind):
        allowable(STRENGTH, kind)


def test_an_unknown_method_is_no_lrfd():
    with pytest.raises(ValueError, match="method"):
        allowable(STRENGTH, "use", "asd")


# --- what a check may hold, and its JSON ---------------------------------------------------------

@pytest.mark.parametrize("words", [
    {"verdict": "ok"}, {"kind": "wind"}, {"provenance": "heard"}, {"ratio": math.nan}, {"demand": Q(math.inf,
                                                                                                    "N")},
    {"limit": Q(math.nan, "m")}])
def test_a_check_that_says_nothing_is_refused(words):
    with pytest.raises(ValueError):
        check(**words)


KEYS = ["id", "name", "about", "kind", "case", "demand", "limit", "ratio", "verdict", "clause", "source",
        "provenance", "range",
        "detail", "worked", "assumed", "cautions"]


def test_json_of_an_empty_check_has_every_key_and_nulls():
    row = check(verdict=REPORTED).as_dict()
    assert list(row) == KEYS
    assert row["demand"] is row["limit"] is row["ratio"] is None
    assert row["worked"] == row["range"] == row["assumed"] == row["cautions"] == []
    assert json.loads(json.dumps(row, allow_nan=False)) == row


def test_json_of_a_full_check_is_strict_and_reads_back():
    line = allowable_line(STRENGTH, "N*m", "use", "ASD", "inch")
    full = check(verdict=OVER, demand=Quantity(np.float64(812.5), "lbf*ft"), limit=Q(700, "lbf*ft"),
                 ratio=np.float32(1.5),
                 worked=lambda: (line,), range=("b/t <= 35",), assumed=("wall",), provenance="memory")
    row = json.loads(json.dumps(full.as_dict(), allow_nan=False))
    assert row["demand"] == {"value": 812.5, "unit": "ft·lbf"} and row["ratio"] == 1.5
    assert read_any(f"{row['demand']['value']} {row['demand']['unit']}", "demand") == full.demand
    assert row["worked"][0]["result"] == line.result and row["worked"][0]["inputs"][0]["symbol"] == "M_n"
    nothing_left = check(verdict=OVER, ratio=math.inf).as_dict()
    assert nothing_left["ratio"] is None and json.dumps(nothing_left, allow_nan=False)


@pytest.mark.parametrize("unit", ["inch", "mm", "lbf", "lbf*inch", "kN*m", "psi", "MPa", "lbf/ft", "deg",
                                  "percent", "inch**4", "lb/ft"])
def test_a_quantity_in_json_reads_back(unit):
    row = quantity_dict(Q(2.5, unit))
    assert read_any(f"{row['value']} {row['unit']}", "f") == Q(2.5, unit)
    assert quantity_dict(None) is None
