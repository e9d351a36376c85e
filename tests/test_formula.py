"""One formula, everything the decorator gives it: the door, the range, the worked line, the inverse."""

import math
import re
from typing import Annotated

import numpy as np
import pint
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from shopcalc.errors import InputError, OutsideRange, WorkedLineError
from shopcalc.expression import Symbol
from shopcalc.formula import Formula, Within, coherent_units, formula, frac, log, pi, sin, sqrt
from shopcalc.units import (
    Angle,
    Area,
    Count,
    Declared,
    Expansion,
    Force,
    Frequency,
    Inch,
    Length,
    LoadPerLength,
    Mass,
    Moment,
    Q,
    Quantity,
    Ratio,
    SecondMoment,
    SectionModulus,
    Stiffness,
    Stress,
    ureg,
)

SOURCE = "a test, no source"


@formula(symbol="delta", source=SOURCE)
def sag(w: LoadPerLength, L: Length, E: Stress, I: SecondMoment) -> Length:  # noqa: E741
    """Sag at the middle.

    w  load along the beam
    L  distance between supports
    E  stiffness
    I  second moment
    """
    return 5 * w * L**4 / (384 * E * I)


@formula(symbol="A", source=SOURCE, valid=(Within("t/B", lambda t, B: t / B, 0.0, 1.0, "geometry"),))
def tube_area(*, B: Length, t: Length) -> Area:
    """Area of a square tube; past the middle the hole is turned inside out.

    B  outside width
    t  wall
    """
    return B**2 - (B - 2 * t) ** 2


@formula(symbol="P", source=SOURCE)
def tip_load(*, delta: Length, a: Length, L: Length, E: Stress, I: SecondMoment) -> Force:  # noqa: E741
    """Load at a that sags a cantilever's tip.

    delta  sag at the tip
    a      from the held end to the load
    L      length
    E      stiffness
    I      second moment
    """
    return 6 * E * I * delta / (a**2 * (3 * L - a))


Withdrawal = Annotated[Quantity, Declared("lbf/inch", "a withdrawal load per inch", "Q(300, 'lbf/inch')")]


@formula(symbol="W", source=SOURCE)
def lag_withdrawal(G: Ratio, D: Inch) -> Withdrawal:
    """An empirical form, in the units of its source.

    G  specific gravity
    D  diameter
    """
    return 1800 * G ** frac(3, 2) * D ** frac(3, 4)


@formula(symbol="y", source=SOURCE)
def wave(*, x: Angle, n: Count, share: Ratio, f: Frequency) -> Frequency:
    """Anything with the arguments that are easily mixed up.

    x      an angle
    n      a whole number
    share  a ratio
    f      a frequency
    """
    return n * share * f * sin(x)


@formula(symbol="y", source=SOURCE)
def curve(x: Ratio) -> Ratio:
    """A hill: most at the middle.

    x  from 0 to 1
    """
    return x * (1 - x)


@formula(symbol="y", source=SOURCE)
def pole(x: Ratio) -> Ratio:
    """Runs off at one.

    x  any number
    """
    return 1 / (x - 1)


@formula(symbol="y", source=SOURCE, valid=(Within("x", lambda x: x, 0.25, math.sqrt(0.5), "its table"),))
def square(x: Ratio) -> Ratio:
    """A square with a range.

    x  a number
    """
    return x**2


@formula(symbol="y", source=SOURCE)
def gap(*, a: Length, b: Length) -> SectionModulus:
    """A small difference below the bar.

    a  a size
    b  nearly the same size
    """
    return a**4 / (a - b)


@formula(symbol="y", source=SOURCE)
def root(*, a: Length, b: Length) -> Length:
    """Root of a difference.

    a  a size
    b  another
    """
    return sqrt(a**2 - b**2)


INCH = dict(w=Q(12, "lbf/ft"), L=Q(126, "inch"), E=Q(29000, "ksi"), I=Q(0.486, "inch**4"))
METRIC = {n: Quantity(q.to(u).magnitude, u) for (n, q), u in
          zip(INCH.items(), ("N/mm", "cm", "GPa", "mm**4"), strict=True)}
BY_HAND = 5 * 1.0 * 126**4 / (384 * 29e6 * 0.486)  # inches


# --- the door ------------------------------------------------------------------------------------

def test_inch_call_and_metric_call_are_one_number():
    for given_sizes in (INCH, METRIC, {**INCH, "L": METRIC["L"], "E": METRIC["E"]}):
        assert sag(**given_sizes).to("inch").magnitude == pytest.approx(BY_HAND, rel=1e-14)
    assert sag(*INCH.values()) == sag(**INCH)


def test_no_bare_float_enters_or_leaves_where_there_is_a_dimension():
    for name in INCH:
        for bare in (12, 12.0, np.float64(3), np.array([1.0, 2.0]), "12", None, True, [1, 2], Q(12, "")):
            with pytest.raises(InputError) as caught:
                sag(**{**INCH, name: bare})
            error = caught.value
            assert error.field == f"sag: {name}" and error.example.startswith(f"{name}=") and error.need
    assert isinstance(sag(**INCH), Quantity) and sag(**INCH).check("[length]")
    assert type(curve(0.25)) is float and curve(0.25) == 0.1875 and curve(Q(25, "percent")) == 0.1875


def test_the_refusal_is_a_line_to_copy():
    with pytest.raises(InputError) as caught:
        sag(**{**INCH, "L": 6})
    words = 'sag: L: got "6 (no unit)"; need a length. Example: L=read_length(\'2-1/2 in\')'
    assert str(caught.value) == words
    with pytest.raises(InputError, match=r"a force is lbf, N or kgf"):
        sag(**{**INCH, "w": Q(12, "lb/ft")})


WAVE = dict(x=Q(30, "deg"), n=4, share=0.5, f=Q(6, "Hz"))


@pytest.mark.parametrize(("name", "bad"), [
    ("x", 0.5), ("x", Q(0.5, "")), ("x", Q(50, "percent")), ("share", Q(30, "deg")), ("share", Q(0.5, "rad")),
    ("n", 1.5),
    ("n", Q(1.5, "")), ("n", np.array([1.0, 2.5])), ("n", Q(4, "rad")), ("f", Q(6, "rad/s")), ("f", 6.0),
    ("share", "0.5"),
    ("share", None), ("share", float("nan")), ("share", float("inf")), ("share", True), ("share", 1j),
    ("share", b"1"),
    ("share", [0.5]), ("share", np.array(["a"])), ("share", np.array([None, 1])), ("share", np.array([1j])),
    ("share", np.array([0.5, np.nan])), ("f", Quantity(np.array([1.0, np.inf]), "Hz")),
    ("f", Quantity(float("nan"), "Hz")),
    ("share", 10**400)])
def test_what_is_easily_mixed_up_is_refused(name, bad):
    with pytest.raises(InputError) as caught:
        wave(**{**WAVE, name: bad})
    assert caught.value.field == f"wave: {name}" and caught.value.need


def test_what_means_the_same_is_taken():
    assert wave(**WAVE).to("Hz").magnitude == pytest.approx(6)
    for name, good in (("x", Q(np.pi / 6, "rad")), ("n", 4.0), ("n", np.int64(4)), ("n", Q(4, "")),
                       ("share", Q(50, "percent")),
                       ("share", Quantity(1, "inch") / Quantity(2, "inch")),
                       ("share", Quantity(12.7, "mm") / Quantity(1, "inch")),
                       ("share", np.float32(0.5)), ("share", frac(1, 2)), ("f", Q(6, "1/s")),
                       ("f", Q(360, "1/min"))):
        assert wave(**{**WAVE, name: good}).to("Hz").magnitude == pytest.approx(6, rel=1e-12), name


def test_a_temperature_is_no_difference_of_temperature():
    @formula(symbol="y", source=SOURCE)
    def growth(alpha: Expansion, L: Length) -> Length:
        """Per degree.

        alpha  expansion
        L      length
        """
        return alpha * L

    assert growth(Q(9, "1/delta_degF"), Q(1, "m")).to("m").magnitude == pytest.approx(16.2)
    assert growth(Q(9, "1/kelvin"), Q(1, "m")).to("m").magnitude == pytest.approx(9)
    for bad in (Quantity(1, ureg.Unit("degF") ** -1), Quantity(70, "degF"), Quantity(1, "kelvin")):
        with pytest.raises(InputError):
            growth(bad, Q(1, "m"))


def test_a_quantity_of_another_registry_is_refused_with_the_cure():
    other = pint.UnitRegistry()
    sag(**{**INCH, "L": Q(3, "m")})  # so that the metre of our own is remembered already
    assert sag(**{**INCH, "L": pint.Quantity(3, "m")}) == sag(**{**INCH, "L": Q(3, "m")})
    for unit in ("m", "inch"):
        with pytest.raises(InputError, match=r"made by shopcalc\.units"):
            sag(**{**INCH, "L": other.Quantity(3, unit)})


def test_arguments_that_are_missing_stray_or_unnamed_are_named():
    for call, field in ((lambda: sag(**{n: q for n, q in INCH.items() if n != "E"}), "sag: E"),
                        (lambda: sag(**INCH, A=Q(1, "m")), "sag: A"),
                        (lambda: sag(INCH["w"], **INCH), "sag: w"),
                        (lambda: tube_area(Q(2, "inch"), Q(0.1, "inch")), "tube_area"),
                        (lambda: sag(*INCH.values(), Q(1, "m")), "sag")):
        with pytest.raises(InputError) as caught:
            call()
        assert caught.value.field == field and re.match(r"(sag|tube_area)\(", caught.value.example)


# --- arrays --------------------------------------------------------------------------------------

def test_arrays_broadcast_and_equal_the_single_calls():
    spans, walls = np.array([60, 90, 126]), np.array([[0.2], [0.4]])
    rows = sag(**{**INCH, "L": Quantity(spans, "inch"), "I": Quantity(walls, "inch**4")})
    assert rows.magnitude.shape == (2, 3)
    for i in range(2):
        for j in range(3):
            one = sag(**{**INCH, "L": Q(int(spans[j]), "inch"), "I": Q(float(walls[i, 0]), "inch**4")})
            assert rows[i, j].to("m").magnitude == pytest.approx(one.to("m").magnitude, rel=1e-14)


def test_integer_arrays_do_not_overflow():
    lengths = Quantity(np.array([120_000, 120_000], dtype=np.int32), "m")
    assert sag(**{**INCH, "L": lengths}).to("m").magnitude[0] == pytest.approx(
        sag(**{**INCH, "L": Q(120_000, "m")}).to("m").magnitude)


def test_rows_out_of_range_or_without_an_answer_hold_nan():
    rows = square(np.array([0.2, 0.25, 0.5, 0.75]))
    np.testing.assert_array_equal(np.isnan(rows), [True, False, False, True])
    np.testing.assert_array_equal(square.in_range(np.array([0.2, 0.25, 0.5, 0.75])),
                                  [False, True, True, False])
    assert np.isnan(pole(np.array([1.0, 2.0]))).tolist() == [True, False]
    rows = root(a=Quantity(np.array([1.0, 3.0]), "m"), b=Q(2, "m")).magnitude
    assert np.isnan(rows[0]) and rows[1] == pytest.approx(math.sqrt(5))
    assert np.isnan(lag_withdrawal(-0.5, Quantity(np.array([0.3, 0.4]), "inch")).magnitude).all()
    share_of_nothing = sag(**{**INCH, "w": Quantity(np.array([1.0, 2.0]), "lbf/ft"), "I": Q(0, "m**4")})
    assert np.isnan(share_of_nothing.magnitude).all()


def test_arrays_of_two_lengths_are_refused():
    with pytest.raises(InputError, match="one length"):
        gap(a=Quantity(np.ones(3), "m"), b=Quantity(np.ones(4), "m"))


def test_the_callers_array_is_left_alone():
    spans = np.array([60.0, 90.0])
    sag(**{**INCH, "L": Quantity(spans, "inch")})
    assert spans.tolist() == [60.0, 90.0]


# --- range and finite answers --------------------------------------------------------------------

def test_out_of_range_names_the_limit_and_its_source():
    with pytest.raises(OutsideRange) as caught:
        tube_area(B=Q(2, "inch"), t=Q(3, "inch"))
    error = caught.value
    assert error.field == "tube_area: t/B" and error.value == "1.5"
    assert error.need == "0 <= t/B <= 1 (geometry)"
    assert not tube_area.in_range(B=Q(2, "inch"), t=Q(3, "inch")) and isinstance(error, InputError)


@pytest.mark.parametrize("unit", ["inch", "mm", "ft", "m", "cm"])
def test_an_exact_limit_in_any_unit_is_inside(unit):
    wall = Quantity(Q(2, "inch").to(unit).magnitude, unit)
    assert tube_area(B=Q(2, "inch"), t=wall).to("inch**2").magnitude == pytest.approx(0, abs=1e-12)


def test_a_wide_range_gives_no_slack_at_its_zero_end():
    limit = Within("L", lambda L: L, 0.0, 1e12)
    assert not limit.mask({"L": -1e-9}) and limit.mask({"L": 0.0}) and not limit.mask({"L": 1.001e12})
    assert str(limit) == "0 <= L <= 1e+12" and str(Within("x", lambda x: x, high=2)) == "x <= 2"


def test_a_limit_that_cannot_be_worked_out_is_not_met():
    limit = Within("a/L", lambda a, L: a / L, 0, 1)
    assert not limit.mask({"a": 1.0, "L": 0.0}) and not limit.mask({"a": 0.0, "L": math.nan})


@pytest.mark.parametrize("call", [
    lambda: pole(1.0), lambda: root(a=Q(1, "m"), b=Q(2, "m")), lambda: lag_withdrawal(-0.5, Q(0.3, "inch")),
    lambda: sag(**{**INCH, "I": Q(0, "inch**4")}), lambda: sag(**{**INCH, "L": Q(1e80, "m")}),
    lambda: tube_area(B=Q(0, "m"), t=Q(0, "m"))])
def test_no_finite_answer_is_an_input_error_and_no_number(call):
    with pytest.raises(OutsideRange) as caught:
        call()
    assert caught.value.need and caught.value.value


# --- refused at definition -----------------------------------------------------------------------

def broken(doc="y.\n\n    a  a size\n    b  a size\n    ", source=SOURCE, valid=(), star=True, hints=True):
    def two(*, a: Length, b: Length) -> Length:
        return a + b

    def two_positional(a: Length, b: Length) -> Length:
        return a + b

    def bare(*, a: float, b: Length) -> Length:
        return a + b

    body = two if star and hints else bare if star else two_positional
    body.__doc__ = doc
    return lambda: formula(symbol="y", source=source, valid=valid)(body)


@pytest.mark.parametrize(("make", "words"), [
    (broken(star=False), "keyword-only"), (broken(hints=False), "declares no unit"),
    (broken(source=""), "no source"),
    (broken(doc="y.\n\n    a  a size\n    "), "glossary"),
    (broken(doc="y.\n\n    b  x\n    a  x\n    "), "glossary"),
    (broken(doc=""), "glossary"), (broken(valid=(Within("q", lambda q: q, 0, 1),)), "its range looks at q")])
def test_a_formula_that_is_not_whole_is_refused_when_it_is_written(make, words):
    with pytest.raises(TypeError, match=words):
        make()


def test_a_body_with_a_branch_leaves_no_tree():
    @formula(symbol="y", source=SOURCE)
    def branching(x: Ratio) -> Ratio:
        """y.

        x  a number
        """
        return x if x > 0 else -x

    with pytest.raises(TypeError, match="may not branch"):
        _ = branching.tree


def test_a_derived_formula_is_a_formula():
    tree = 5 * Symbol("w") * Symbol("L") ** 4 / (384 * Symbol("E") * Symbol("I"))
    derived = Formula.from_tree(tree, name="derived", arguments=sag.arguments, returns=sag.returns,
                                glossary=sag.glossary,
                                meaning="sag", symbol="delta", source=SOURCE)
    assert derived(**INCH) == sag(**INCH) and str(derived.worked(**INCH)) == str(sag.worked(**INCH))
    assert repr(derived) == "<formula derived: delta = 5·w·L^4/(384·E·I)>"
    with pytest.raises(TypeError, match="no unit declared"):
        Formula.from_tree(tree, name="d", arguments={"w": sag.arguments["w"]}, returns=sag.returns,
                          glossary={}, meaning="",
                          symbol="y", source=SOURCE)


# --- the worked line -----------------------------------------------------------------------------

def of_words(words: str) -> float:
    python = words.replace(",", "").replace("·", "*").replace("^", "**").replace("√", "sqrt").replace("π",
                                                                                                      "pi")
    return eval(python, {"sqrt": math.sqrt, "ln": math.log, "sin": math.sin, "pi": math.pi})


def first_number(words: str) -> float:
    return float(re.match(r"-?[\d,.]+(?:e[+-]?\d+)?", words)[0].replace(",", ""))


def holds(line, digits: int = 4) -> bool:
    """The printed numbers give the printed result, to its last digit."""
    again, printed = of_words(line.numbers), first_number(line.result)
    return abs(again - printed) <= 0.5000001 * 10 ** (math.floor(math.log10(abs(again))) + 1 - digits)


def test_the_line_a_reviewer_reads():
    line = sag.worked(**INCH)
    assert str(line) == ("delta = 5·w·L^4/(384·E·I) = 5·1·126^4/(384·29,000,000·0.486) = 0.2329 in")
    assert line.inputs[0] == ("w", "1 lbf/in", "load along the beam") and line.source == SOURCE
    assert line.latex_symbolic == r"\delta = \frac{5\,w\,L^{4}}{384\,E\,I}"
    assert r"29{,}000{,}000" in line.latex_numbers and line.as_dict()["result"] == "0.2329 in"
    metric = sag.worked(**INCH, system="mm")
    assert metric.result == "5.915 mm" and "N/mm" in metric.inputs[0][1] and holds(metric)
    assert BY_HAND == pytest.approx(0.2329, abs=5e-5)


def test_another_unit_of_the_result_is_printed_beside_it_and_agrees():
    line = sag.worked(**INCH, out="ft")
    assert line.result == "0.2329 in = 0.0194 ft"
    assert of_words(line.numbers) / 12 == pytest.approx(BY_HAND / 12, abs=5e-6) == pytest.approx(0.0194,
                                                                                                 abs=5e-6)
    for bad in ("lbf", "rad"):
        with pytest.raises(InputError):
            sag.worked(**INCH, out=bad)


SIZE = st.floats(1e-3, 1e3)


@given(SIZE, SIZE, SIZE, SIZE, st.sampled_from(["inch", "mm"]), st.integers(2, 6))
@example(1.0, 1.0, 1.0, 1.0, "inch", 4)
def test_printed_numbers_give_the_printed_result(w, L, E, I, system, digits):  # noqa: E741
    line = sag.worked(Q(w, "lbf/inch"), Q(L, "inch"), Q(E, "psi"), Q(I, "inch**4"), system=system,
                      digits=digits)
    assert holds(line, digits)


@given(SIZE, SIZE)
def test_a_small_difference_gets_the_digits_it_takes_or_no_line(a, b):
    if a == b:
        return
    try:
        line = gap.worked(a=Q(a, "inch"), b=Q(b, "inch"))
    except WorkedLineError:
        assert abs(a - b) < 1e-6 * max(a, b)
    else:
        assert holds(line)


def test_no_line_where_twelve_digits_do_not_give_the_result():
    with pytest.raises(WorkedLineError, match="do not give"):
        gap.worked(a=Q(1, "inch"), b=Quantity(1 - 3e-15, "inch"))
    assert holds(gap.worked(a=Q(1, "inch"), b=Q(0.999999, "inch")))  # equal at the first digits tried
    assert holds(root.worked(a=Q(1.00001, "inch"), b=Q(1, "inch")))


@pytest.mark.parametrize("system", ["inch", "mm"])
def test_an_empirical_form_prints_in_the_units_of_its_source(system):
    """The trap: 1800·0.68^1.5·8^0.75, as typed, is 4,801 on a calculator."""
    line = lag_withdrawal.worked(0.68, Q(8, "mm"), system=system)
    assert line.numbers == "1800·0.68^1.5·0.315^0.75" and holds(line)
    assert first_number(line.result) == pytest.approx(1800 * 0.68**1.5 * (8 / 25.4) ** 0.75, abs=0.05)
    assert 1800 * 0.68**1.5 * 8**0.75 == pytest.approx(4801, abs=1)


@pytest.mark.parametrize(("load", "result"),
                         [(1250.5, "1,251 lbf"), (1251.5, "1,252 lbf"), (-1250.5, "-1,251 lbf")])
def test_a_half_is_rounded_as_on_paper_and_never_stops_the_line(load, result):
    @formula(symbol="P", source=SOURCE)
    def total(*, w: LoadPerLength, L: Length) -> Force:
        """Load on a length.

        w  load
        L  length
        """
        return w * L

    for L in (1, 2, 7, 12, 100):
        line = total.worked(w=Quantity(load / L, "lbf/inch"), L=Q(L, "inch"))
        assert line.result == result


def test_negative_and_tiny_numbers_in_a_line():
    line = gap.worked(a=Q(-2, "mm"), b=Q(1, "mm"), system="mm")
    assert line.numbers == "(-2)^4/(-2 - 1)" and line.result == "-5.333 mm^3"
    tiny = sag.worked(w=Q(1e-9, "N/mm"), L=Q(1, "mm"), E=Q(1e12, "MPa"), I=Q(1, "mm**4"), system="mm")
    assert "1e-9" in tiny.numbers and r"1 \cdot 10^{-9}" in tiny.latex_numbers and holds(tiny)


def test_a_natural_logarithm_is_not_printed_as_log():
    @formula(symbol="y", source=SOURCE)
    def curve_of_logs(x: Ratio) -> Ratio:
        """y.

        x  a number
        """
        return pi * log(x)

    line = curve_of_logs.worked(10.0)
    assert line.numbers == "π·ln(10)" and line.result == "7.234"


def test_a_worked_line_refuses_rows_strange_systems_and_what_is_out_of_range():
    with pytest.raises(InputError, match="one value for a worked line"):
        sag.worked(**{**INCH, "L": Quantity(np.array([1.0, 2.0]), "m")})
    with pytest.raises(InputError, match='"inch" or "mm"'):
        sag.worked(**INCH, system="metric")
    with pytest.raises(OutsideRange):
        tube_area.worked(B=Q(2, "inch"), t=Q(3, "inch"))
    with pytest.raises(InputError, match="several values"):
        tube_area.worked(B=Q(2, "inch"), t=Quantity(np.array([3.0, 4.0]), "inch"))
    with pytest.raises(OutsideRange):
        sag.worked(**{**INCH, "I": Q(0, "m**4")})


def units_of(system, *hints):
    declared = {str(i): h.__metadata__[0].unit for i, h in enumerate(hints)}
    return tuple(coherent_units(declared, system).values())


@pytest.mark.parametrize(("hints", "inch", "metric"), [
    ((Moment, SectionModulus, Stress), ("lbf*inch", "inch**3", "psi"), ("N*mm", "mm**3", "MPa")),
    ((LoadPerLength, Length, Ratio), ("lbf/inch", "inch", ""), ("N/mm", "mm", "")),
    ((Mass, Length, Area), ("lb", "inch", "inch**2"), ("kg", "m", "m**2")),
    ((Mass, Force, Length), ("kg", "N", "m"), ("kg", "N", "m")),
    ((Stiffness, Angle, Moment), ("lbf/inch", "rad", "lbf*inch"), ("N/mm", "rad", "N*mm")),
    ((Frequency, Length), ("Hz", "m"), ("Hz", "m")),
    ((Inch, Stress), ("inch", "Pa"), ("inch", "Pa")),
])
def test_one_coherent_set_of_units_for_a_line(hints, inch, metric):
    assert units_of("inch", *hints) == inch and units_of("mm", *hints) == metric


# --- inverse -------------------------------------------------------------------------------------

def sizes(roots, unit="inch"):
    return [r.to(unit).magnitude if isinstance(r, pint.Quantity) else r for r in roots]


def test_a_square_tube_has_two_walls_of_one_area():
    """The trap of the symbolic root: 0.0853 in and 1.915 in both give the area."""
    target = Q(0.6533, "inch**2")
    walls = tube_area.inverse("t", target, between=(Q(0.001, "inch"), Q(2, "inch")), B=Q(2, "inch"))
    exact = [1 - math.sqrt(1 - 0.6533 / 4), 1 + math.sqrt(1 - 0.6533 / 4)]  # 4 t (B - t) = A
    assert sizes(walls) == pytest.approx(exact, rel=1e-12)
    assert [round(w, 4) for w in sizes(walls)] == [0.0853, 1.9147]
    for wall in walls:
        assert tube_area(B=Q(2, "inch"), t=wall).to("inch**2").magnitude == pytest.approx(0.6533, rel=1e-12)


def test_a_cantilever_has_one_root_between_its_ends():
    """The trap of the symbolic root: a = -0.412 m came first, 0.508 m is meant, 2.18 m lies past the tip."""
    first, wanted = -0.412, 0.508
    past = -first * wanted / (first + wanted)
    L = (first + wanted + past) / 3
    E, I, delta = Q(200, "GPa"), Q(2e5, "mm**4"), Q(3, "mm")  # noqa: E741
    load = Quantity(6 * 200e9 * 2e-7 * 3e-3 / (wanted**2 * (3 * L - wanted)), "N")
    places = tip_load.inverse("a", load, between=(Q(1, "mm"), Quantity(L, "m")), delta=delta,
                              L=Quantity(L, "m"), E=E, I=I)
    assert sizes(places, "m") == pytest.approx([wanted], rel=1e-12)
    everywhere = tip_load.inverse("a", load, between=(Q(-1, "m"), Q(3, "m")), delta=delta, L=Quantity(L, "m"),
                                  E=E, I=I)
    assert sizes(everywhere, "m") == pytest.approx(sorted([first, wanted, past]), rel=1e-9)


@pytest.mark.parametrize(("f", "target", "between", "roots"), [
    (curve, 0.1875, (0.0, 1.0), [0.25, 0.75]),
    (curve, 0.1875, (0.25, 0.75), [0.25, 0.75]),       # both at the bounds
    (curve, 0.0, (0.0, 1.0), [0.0, 1.0]),               # target nought, at the bounds
    (curve, 0.25, (0.0, 1.0), [0.5]),                   # touching
    (curve, 0.25, (-10.0, 37.0), [0.5]),
    (curve, 0.25 - 1e-9, (0.0, 1.0), [0.5 - math.sqrt(1e-9), 0.5 + math.sqrt(1e-9)]),  # both within one step
    (curve, 0.2500001, (0.0, 1.0), []),                 # just above the hill
    (curve, 0.3, (0.0, 1.0), []),
    (pole, 0.5, (0.0, 5.0), [3.0]),                     # and not the pole at 1
    (pole, 0.0, (0.0, 5.0), []),
    (pole, -1.0, (0.0, 1.0), [0.0]),
    (pole, 1e6, (0.0, 2.0), [1.000001]),
    (square, 0.25**2, (0.0, 1.0), [0.25]),              # where the range begins
    (square, 0.5, (0.0, 1.0), [math.sqrt(0.5)]),        # where it ends, by the last bit
    (square, 0.49999, (0.0, 1.0), [math.sqrt(0.49999)]),  # between the last grid point and the end
    (square, 0.81, (0.0, 1.0), []),                     # a root out of range does not count
    (square, 0.36, (-1.0, 1.0), [0.6])])
def test_every_root_in_the_range_and_nothing_else(f, target, between, roots):
    close = 2e-5 if target == 0.25 else 1e-9  # a touching root is only as sharp as the square root of a digit
    assert sizes(f.inverse("x", target, between=between)) == pytest.approx(roots, rel=close, abs=1e-12)


@given(st.lists(st.integers(1, 99), min_size=1, max_size=3, unique=True))
def test_all_roots_of_a_cubic_with_known_roots(places):
    places = sorted(p / 100 for p in places)
    r = (places * 3)[:3] if len(places) == 1 else [*places, places[-1]][:3]

    @formula(symbol="y", source=SOURCE)
    def cubic(x: Ratio) -> Ratio:
        """y.

        x  a number
        """
        return (x - r[0]) * (x - r[1]) * (x - r[2]) + 1

    found = sizes(cubic.inverse("x", 1.0, between=(0.0, 1.0)))
    assert found == pytest.approx(places, abs=2e-5)


@given(st.floats(0.05, 3), st.floats(1, 10))
def test_the_inverse_takes_a_call_back(wall_share, width):
    B = Quantity(width, "inch")
    wall = Quantity(width * wall_share / 6.5, "inch")
    found = tube_area.inverse("t", tube_area(B=B, t=wall), between=(Q(0, "inch"), B), B=B)
    assert min(abs(s - wall.magnitude) for s in sizes(found)) < 1e-9 * width


def test_what_cannot_be_inverted_is_refused():
    between = (Q(1, "mm"), Q(1, "m"))
    rest = {n: q for n, q in INCH.items() if n != "L"}

    @formula(symbol="y", source=SOURCE)
    def idle(*, a: Length, b: Length) -> Length:
        """y.

        a  a size
        b  plays no part
        """
        return 2 * a

    for call, field in ((lambda: sag.inverse("x", Q(1, "mm"), between=between, **INCH), "sag: x"),
                        (lambda: sag.inverse("L", 1.0, between=between, **rest), "sag: target"),
                        (lambda: sag.inverse("L", Q(1, "mm"), between=(0, 1), **rest), "sag: L"),
                        (lambda: sag.inverse("L", Q(1, "mm"), between=between[::-1], **rest), "sag: between"),
                        (lambda: sag.inverse("L", Q(1, "mm"), between=Q(1, "m"), **rest), "sag: between"),
                        (lambda: sag.inverse("L", Q(1, "mm"), between=between[:1], **rest), "sag: between"),
                        (lambda: sag.inverse("L", Q(1, "mm"), between=between, **INCH), "sag: L"),
                        (lambda: sag.inverse("L", Q(1, "mm"), between=between, **rest, z=1), "sag: z"),
                        (lambda: sag.inverse("L", Q(1, "mm"), between=between, w=INCH["w"]), "sag: E"),
                        (lambda: sag.inverse("L", Q(1, "mm"), between=between,
                                             **{**rest, "I": Quantity(np.ones(2), "m**4")}), "sag: I"),
                        (lambda: idle.inverse("b", Q(1, "mm"), between=between, a=Q(1, "mm")), "idle: b")):
        with pytest.raises(InputError) as caught:
            call()
        assert caught.value.field == field


def test_an_inverse_with_nothing_below_the_bar_finds_nothing():
    rest = {n: q for n, q in INCH.items() if n != "L"}
    assert sag.inverse("L", Q(1, "mm"), between=(Q(1, "mm"), Q(1, "m")), **{**rest, "I": Q(0, "m**4")}) == []


# --- sensitivities -------------------------------------------------------------------------------

def test_per_cent_per_per_cent():
    assert sag.sensitivities(**INCH) == pytest.approx({"w": 1, "L": 4, "E": -1, "I": -1}, rel=1e-14)
    lag = lag_withdrawal.sensitivities(0.68, Q(8, "mm"))
    assert lag == pytest.approx({"G": 1.5, "D": 0.75}, rel=1e-14)
    # d ln A/d ln B and d ln t of 4 t (B - t) at t/B = 1/4, by hand
    assert tube_area.sensitivities(B=Q(2, "inch"),
                                   t=Q(0.5, "inch")) == pytest.approx({"B": 4 / 3, "t": 2 / 3}, rel=1e-14)
    # x/tan x at 30 degrees
    assert wave.sensitivities(**WAVE)["x"] == pytest.approx(math.pi / 6 * math.sqrt(3), rel=1e-14)


def test_a_sensitivity_is_no_number_where_there_is_none():
    at_nought = sag.sensitivities(**{**INCH, "w": Q(0, "N/m")})
    assert all(math.isnan(v) for v in at_nought.values())
    with pytest.raises(OutsideRange):
        tube_area.sensitivities(B=Q(2, "inch"), t=Q(3, "inch"))
    with pytest.raises(InputError, match="one value"):
        sag.sensitivities(**{**INCH, "L": Quantity(np.array([1.0, 2.0]), "m")})


def test_angles_are_read_in_degrees_however_small_and_slopes_stay_what_they_are():
    @formula(symbol="l", source="geometry")
    def arc(*, R: Length, theta: Angle) -> Length:
        """Length of an arc.

        R      radius
        theta  angle
        """
        return R * theta

    @formula(symbol="theta", source="statics")
    def both(*, a: Angle, b: Angle) -> Angle:
        """Sum of two slopes.

        a  one
        b  the other
        """
        return a + b

    line = arc.worked(R=Q(10, "in"), theta=Q(30, "deg"))
    assert line.numbers == "10·30°" and line.result == "5.236 in" and dict(r[:2] for r in line.inputs)["theta"] == "30°"
    assert r"30^\circ" in line.latex_numbers
    small = arc.worked(R=Q(10, "in"), theta=Q(1e-7, "deg"))
    assert "1e-7°" in small.numbers and r"\left(1 \cdot 10^{-7}\right)^\circ" in small.latex_numbers
    assert "°" not in both.worked(a=Q(1e-3, "rad"), b=Q(2e-3, "rad")).numbers
