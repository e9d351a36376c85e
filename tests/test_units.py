"""The reader of sizes, the unit file, and how sizes print."""

import pickle
import re
import time
from fractions import Fraction

import pint
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from shopcalc.errors import InputError
from shopcalc.units import (
    UNIT_WORDS,
    Q,
    Quantity,
    number,
    read_any,
    read_gauge,
    read_length,
    read_quantity,
    read_unit,
    same_kind,
    show,
    show_length,
    show_sag,
    show_wall,
    unit_text,
    ureg,
)

# --- what is read --------------------------------------------------------------------------------

READ = {
    "7'-6 1/2\"": 90.5, "7 ft 6 in": 90, "2-1/2 in": 2.5, '2 1/2"': 2.5, "2½ in": 2.5, "7'-6½\"": 90.5,
    "7′-6½″": 90.5,
    "½ in": 0.5, "7 ft ½ in": 84.5, "2 ½ in": 2.5, "2-½ in": 2.5, "3⁄4 in": 0.75, "5/16\"": 0.3125,
    "-½ in": -0.5,
    "7'": 84, "7 feet 6 inches": 90, "7ft6in": 90, "7 ft. 6 in.": 90, "6''": 6, "7'6''": 90,
    "1'-6-1/2\"": 18.5,
    "7'-6.5\"": 90.5, "0'-6\"": 6, "3 ft 0 in": 36, "1 1/2 ft": 18, "1.5 ft": 18, ".5 in": 0.5,
    "2.50 in": 2.5,
    "+2 in": 2, "-2-1/2 in": -2.5, "-7'-6\"": -90, "5/4 in": 1.25, "2 in.": 2, "1 yd": 36, "2in": 2,
    "2 1/2in": 2.5,
    "\u22122 in": -2, "2\u20131/2 in": 2.5, "2\u00a0in": 2, " 2 in\n": 2,
}
MILLIMETRES = {"1.5 mm": 1.5, "2 400 mm": 2400, "2\u2009400 mm": 2400, "1 000 000 mm": 1e6,
    "2400.5 mm": 2400.5,
               "2.4 m": 2400, "240 cm": 2400, "1e3 mm": 1000, "1.5E-1 mm": 0.15, "3/4 mm": 0.75}


@pytest.mark.parametrize("text", READ)
def test_a_length_as_the_shop_writes_it(text):
    assert read_length(text).to("inch").magnitude == pytest.approx(READ[text], rel=1e-15)


@pytest.mark.parametrize("text", MILLIMETRES)
def test_a_length_in_metric(text):
    assert read_length(text).to("mm").magnitude == pytest.approx(MILLIMETRES[text], rel=1e-15)


def shop_words(sixteenths: int, style: str) -> str:
    """A size written the way the style does, by the test's own hand."""
    whole, part = divmod(sixteenths, 16)
    top, bottom = part, 16
    while part and top % 2 == 0:
        top, bottom = top // 2, bottom // 2
    feet, inches = divmod(whole, 12)
    part_words = f"{top}/{bottom}"
    if style.startswith("feet"):
        mark, dash, inch = ("'", "-", '"') if style == "feet marks" else (" ft", " ", " in")
        return f"{feet}{mark}{dash}{inches}" + (f" {part_words}" if part else "") + inch
    joint = {"dash": "-", "space": " "}[style]
    return (f"{whole}{joint}{part_words}" if part else f"{whole}") + (" in" if style == "dash" else '"')


STYLES = ("dash", "space", "feet marks", "feet words")


@given(st.integers(0, 40_000), st.sampled_from(STYLES))
def test_every_sixteenth_is_read_exactly(n, style):
    assert read_length(shop_words(n, style)).to("inch").magnitude == n / 16


@given(st.integers(-40_000, 40_000), st.booleans(), st.sampled_from(["nearest", "up", "down"]))
def test_every_sixteenth_prints_and_reads_back_exactly(n, feet, rounding):
    assert read_length(show_length(Q(n / 16, "inch"), rounding=rounding,
        feet=feet)).to("inch").magnitude == n / 16


@given(st.integers(-40_000, 40_000), st.booleans())
def test_a_sixteenth_that_went_through_metric_comes_back(n, feet):
    metric = Quantity(Q(n / 16, "inch").to("m").magnitude, "m")
    assert read_length(show_length(metric, rounding="up", feet=feet)).to("inch").magnitude == n / 16


@given(st.integers(-1_000_000, 1_000_000), st.sampled_from(["nearest", "up", "down"]))
def test_every_millimetre_prints_and_reads_back_exactly(n, rounding):
    assert read_length(show_length(Q(n, "mm"), "mm", rounding)).to("mm").magnitude == n


@given(st.decimals(0, 10**6, places=6, allow_nan=False))
def test_a_decimal_is_read_to_the_last_bit(value):
    assert read_length(f"{value} in").magnitude == float(value)


# A second reader: numbers are the tokens; a last token with a bar is added, whole groups are put together.
_TOKEN = re.compile(r"\d+/\d+|\d+(?:\.\d+)?|\.\d+")


def second_reading(text: str) -> Fraction:
    text = text.strip().replace("''", '"')
    sign = -1 if text.startswith("-") else 1
    feet, mark, inches = (None, None, text)
    split = re.match(r"(.*?)(?:'|ft)(.*\d.*)$", text)
    if split:
        feet, mark, inches = split[1], "'", split[2]
    tokens = _TOKEN.findall(inches)
    whole = [t for t in tokens if "/" not in t]
    size = (Fraction("".join(whole)) if whole else Fraction(0)) + sum(Fraction(t) for t in tokens if "/" in t)
    if mark:
        return sign * (12 * Fraction(_TOKEN.findall(feet)[0]) + size)
    factor = 12 if re.search(r"'|ft", text) else 1
    return sign * factor * size


@given(st.text("0123456789 -/'\".inft", max_size=14))
@example("7'-6 1/2\"")
@example("2 -1/2in")
@example("7.5'-6in")
@example("12 400in")
def test_what_is_read_is_what_a_second_reader_makes_of_it(text):
    try:
        size = read_length(text).to("inch").magnitude
    except InputError:
        return
    assert size == pytest.approx(float(second_reading(text)), rel=1e-14)


@given(st.integers(0, 200), st.integers(0, 11), st.integers(1, 15), st.integers(0, 3), st.sampled_from(" -"))
def test_lengths_with_extra_spaces_read_alike(feet, inches, part, spaces, joint):
    gap = " " * spaces
    plain = read_length(f"{feet}'-{inches} {part}/16\"").magnitude
    assert read_length(f"{gap}{feet}{gap}'{gap}{joint}{gap}{inches}-{part}/16{gap}\"{gap}").magnitude == plain


# --- what is refused -----------------------------------------------------------------------------

HOSTILE = [
    "9**9**9 in", "9**9**9**9 in", "1" * 10_000, "a" * 10_000, "(" * 10_000 + "1" + ")" * 10_000, "2\x00in",
    "\x1b[2J2 in",
    "2\tin", "\u202e2 in", "\ufeff2 in", "\ud800 in", "١ in", "nan in", "inf in", "-inf in", "NaN",
    "1e400 in", "-1e400 in",
    "1e-400 in", "1e99999999 in", "9" * 55 + " in", "__import__('os')", "in", "", " ", "2", "2 1/2", "2 400",
    "1,5 in",
    "2,400 mm", "1.500,5 mm", "2..5 in", "5. in", "1/0 in", "1/2/3 in", "2 5/4 in", "2.5 1/2 in",
    "2 1/2 1/2 in", "1 2 in",
    "12 3456 mm", "2 -1/2 in", "2 - 1/2 in", "2--1/2 in", "--2 in", "+-2 in", "1/-2 in", "1/25.4 in",
    "2 1/2.5 in",
    "½2 in", "7.5'-6\"", "7'-12\"", "7'6", "7'-6", "5 ft 3", "2 ft 6 mm", "1 m 20 cm", "1e3.5 mm",
    "12e2e3 in", "0x10 in",
    "1_000 mm", "2 m m", "2 m*", "2 m/", "2 in in", "2 in^2", "2 in**2", "2 m^0", "2 m^-1", "2 m-in", "2 IN",
    "2 MM", "2 pt",
    "2 mil", "2 in#", "11 ga", "16 ga tube", "5 lbf", "2 link", "3 1/min", "2 GPa^9*GPa^9/Pa^9/Pa^9*m", "²",
    "2 in; 3 in",
    "2in\n3in", "20 deg", "70 degF",
]
NOT_TEXT = [None, 5, 2.5, True, float("nan"), 10**5000, -(10**5000), b"2 in", ["2 in"], {"a": 1},
    Quantity(2, "inch"), 1j]


@pytest.mark.parametrize("text", [*HOSTILE, *NOT_TEXT],
    ids=lambda t: ascii(t)[:30] if isinstance(t, str) else type(t).__name__)
def test_bad_lengths_are_refused_with_field_value_need_and_example(text):
    with pytest.raises(InputError) as caught:
        read_length(text, "top.thickness")
    error = caught.value
    assert error.field == "top.thickness" and error.value and error.need and error.example
    assert len(str(error)) < 400 and str(error).isprintable()
    for good in error.example.split(", "):
        read_length(good)


def test_refusing_all_of_them_hangs_nowhere():
    begin = time.perf_counter()
    for text in HOSTILE * 3:
        for reader in (lambda t: read_length(t), lambda t: read_any(t, "f"), lambda t: read_gauge(t),
                       lambda t: read_quantity(t, "lbf/ft", "f"), lambda t: read_unit(t, "f")):
            try:
                reader(text)
            except InputError:
                pass
    assert time.perf_counter() - begin < 10  # a guard against a hang, no measure of speed


ALPHABET = st.text("0123456789 -+/*^.,eE'\"½²°%()_#inftmlbskgdeCFPaN", max_size=30)


@given(st.one_of(st.text(max_size=80), ALPHABET), st.sampled_from(
    ["inch", "lbf", "psf", "percent", "deg", "", "kg/m**3", "degF", "delta_degF", "kelvin", "1/delta_degF",
        "Hz", "lbf*ft"]))
@example("5 degF/m", "inch")
@example("5 degC*degF", "kelvin")
@example("10 degF", "delta_degF")
@example("10 delta_degC", "degF")
@example("1 GPa^9*GPa^9*GPa^9*GPa^9/Pa^9/Pa^9/Pa^9/Pa^9*N", "lbf")
def test_any_text_gives_a_finite_quantity_or_an_input_error(text, unit):
    try:
        value = read_quantity(text, unit, "field")
    except InputError as error:
        assert error.field == "field" and error.need and error.value
        read_quantity(error.example, unit, "example")
    else:
        assert abs(value.to(unit).magnitude) < 1e150


@given(st.one_of(st.text(max_size=80), ALPHABET))
def test_the_other_readers_raise_nothing_else(text):
    for reader in (read_any, read_unit, read_gauge):
        try:
            reader(text, "field")
        except InputError as error:
            for good in error.example.split(", "):
                reader(good, "example")


@pytest.mark.parametrize(("text", "unit", "words"), [
    ("1,5 in", "inch", "point is the decimal sign"),
    ("2,400 mm", "inch", "thousands take no comma"),
    ("5 lb", "lbf", "a force is lbf"),
    ("50 lb/ft^2", "psf", "a force is lbf"),
    ("5 lbf", "lb", "a mass is lb or kg"),
    ("5 lbs", "lbf", "lb for a mass, lbf for a force"),
    ("5 IN", "inch", "did you mean in?"),
    ("5 MM", "inch", "did you mean mm?"),
    ("5 kips", "lbf", "did you mean kip?"),
    ("nan in", "inch", "finite"),
    ("9**9 in", "inch", "not a sum"),
    ("2 -1/2 in", "inch", "one dash or a space"),
    ("7'-6", "inch", "with their mark"),
    ("16 ga", "inch", "product form"),
    ("2 in^2", "inch", "in^2 is an area"),
    ("2", "inch", "a bare number has none"),
    ("8", "percent", "a bare number has none"),
    ("45", "deg", "a bare number has none"),
    ("45 %", "deg", "a percentage"),
    ("0.5 rad", "", "an angle"),
    ("5 rad/s", "Hz", "frequency"),
    ("10 degF", "delta_degF", "difference of temperature"),
    ("10 delta_degF", "degF", "difference of temperature"),
    ("5 lbf/ft-s", "lbf/ft", "joined by * or /"),
])
def test_the_refusal_says_what_to_change(text, unit, words):
    with pytest.raises(InputError) as caught:
        read_quantity(text, unit, "loads.push")
    assert words in caught.value.need


@pytest.mark.parametrize(("low", "high"), [(0.25, 6), (None, 2), (20, None), (100, 200), (0.01, 0.02),
    (None, None)])
def test_bounds_are_allowed_values_and_the_example_lies_between_them(low, high):
    for bad in [b for b in ((low or 0) - 1e-6, (high or 0) + 1e-6) if (low is not None and b < low)
                or (high is not None and b > high)]:
        for reader in (read_length, lambda t, f, low, high: read_quantity(t, "inch", f, low=low, high=high)):
            with pytest.raises(InputError) as caught:
                reader(f"{bad:.9f} in", "wall", low=low, high=high)
            for good in caught.value.example.split(", "):
                reader(good, "wall", low=low, high=high)
    for good in (low, high):
        if good is not None:
            assert read_length(f"{good} in", "wall", low=low, high=high).magnitude == good


# --- other quantities ----------------------------------------------------------------------------

@pytest.mark.parametrize(("text", "unit", "size"), [
    ("50 psf", "lbf/ft^2", 50), ("300 lbf", "kip", 0.3), ("9 kN/m", "N/mm", 9),
    ("1.2e6 N/mm^2", "MPa", 1.2e6),
    ("5 kip*in", "lbf*inch", 5000), ("5 kip-in.", "lbf*inch", 5000), ("24 in.^4", "inch**4", 24),
    ("3 1/min", "1/hour", 180),
    ("1/min", "1/hour", 60), ("0.2/min", "1/hour", 12), ("45°", "deg", 45), ("8 %", "percent", 8),
    ("0.08", "", 0.08),
    ("0.5 dimensionless", "", 0.5), ("70 °F", "degF", 70), ("2 N·mm", "N*mm", 2),
    ("7 850 kg/m³", "kg/m**3", 7850),
    ("1/8 in/ft", "", 1 / 96), ("2 lbf/ft*in", "lbf", 1 / 6), ("-3 lbf", "lbf", -3),
    ("6.5e-6 1/delta_degF", "1/delta_degF", 6.5e-6),
])
def test_a_quantity_with_its_unit(text, unit, size):
    assert read_quantity(text, unit.replace("^", "**"), "field").to(unit).magnitude == pytest.approx(size,
        rel=1e-14)


def test_read_any_gives_a_float_only_where_there_is_no_unit():
    assert read_any("0.93", "f") == 0.93 and type(read_any("0.93", "f")) is float
    assert type(read_any("3 dimensionless", "f")) is float
    assert read_any("12.5 kip", "f") == Q(12.5, "kip")
    assert read_any("7'-6\"", "f") == Q(90, "inch")


@pytest.mark.parametrize(("text", "gauge", "form"), [
    ("11 ga", 11, None), ("11ga tube", 11, "tube"), ("16 gauge carbon sheet", 16, "carbon sheet"),
    ("14 GA. Stainless  Sheet", 14, "stainless sheet"), ("7 gage galvanized sheet", 7, "galvanized sheet")])
def test_a_gauge_keeps_its_product_form_apart(text, gauge, form):
    word = read_gauge(text)
    assert (word.number, word.form) == (gauge, form)


@pytest.mark.parametrize("text", ["11", "11 ga pipe", "ga", "111 ga", "11 in", "-3 ga", "1.5 ga",
    "11 ga tube tube"])
def test_a_gauge_that_is_none_is_refused_with_the_forms(text):
    with pytest.raises(InputError, match="carbon sheet"):
        read_gauge(text, "stock.post")


# --- the unit file -------------------------------------------------------------------------------

# Exact: international yard and pound agreement of 1959, g_n of the 3rd CGPM; the rest follows.
LBF = 0.45359237 * 9.80665


@pytest.mark.parametrize(("size", "unit", "si", "si_unit"), [
    (1, "inch", 0.0254, "m"), (1, "foot", 0.3048, "m"), (1, "yard", 0.9144, "m"),
    (1, "lb", 0.45359237, "kg"), (1, "lbf", LBF, "N"),
    (1, "g_0", 9.80665, "m/s**2"), (1, "kgf", 9.80665, "N"), (16, "oz", 0.45359237, "kg"),
    (1, "kip", 1000 * LBF, "N"),
    (1, "psf", LBF / 0.3048**2, "Pa"), (1, "plf", LBF / 0.3048, "N/m"), (1, "pli", LBF / 0.0254, "N/m"),
    (1, "pcf", LBF / 0.3048**3, "N/m**3"), (1, "board_foot", 0.3048**2 * 0.0254, "m**3"),
    (1, "gallon", 231 * 0.0254**3, "m**3"),
    (1, "liter", 1e-3, "m**3"), (1, "bar", 1e5, "Pa"), (180, "deg", 3.141592653589793, "rad"),
    (1, "percent", 0.01, ""),
    (1, "min", 60, "s"), (1, "hour", 3600, "s"), (9, "delta_degF", 5, "kelvin"),
])
def test_factors_of_the_unit_file(size, unit, si, si_unit):
    assert Q(size, unit).to(si_unit).magnitude == pytest.approx(si, rel=1e-14)


@pytest.mark.parametrize(("unit", "si", "si_unit"), [
    # NIST SP 811 (2008), appendix B.8, seven digits printed
    ("psi", 6.894757e3, "Pa"), ("ksi", 6.894757e6, "Pa"), ("psf", 4.788026e1, "Pa"),
    ("lbf/ft", 1.459390e1, "N/m"),
    ("lbf/inch", 1.751268e2, "N/m"), ("kip", 4.448222e3, "N"), ("lbf*ft", 1.355818, "N*m"),
    ("gallon", 3.785412e-3, "m**3"),
    ("board_foot", 2.359737e-3, "m**3"), ("inch**4", 4.162314e-7, "m**4"),
    ("lb/ft**3", 1.601846e1, "kg/m**3"),
])
def test_factors_as_printed(unit, si, si_unit):
    assert Q(1, unit).to(si_unit).magnitude == pytest.approx(si, rel=3.5e-7)


def test_temperatures_have_their_own_zero():
    assert Quantity(32, "degF").to("degC").magnitude == pytest.approx(0, abs=1e-12)
    assert Quantity(212, "degF").to("kelvin").magnitude == pytest.approx(373.15, rel=1e-12)


def test_the_file_agrees_with_pints_own_on_every_unit_of_one_name():
    full = pint.UnitRegistry()
    other = {"psf": "lbf/ft**2", "plf": "lbf/ft", "pli": "lbf/inch", "pcf": "lbf/ft**3",
        "board_foot": "144 * inch**3"}
    # current and tension: the kit counts them in watts, so their base units differ
    for unit in set(UNIT_WORDS.values()) - {"", "degF", "degC", "delta_degF", "delta_degC", "V", "A"}:
        ours = Quantity(1.0, unit).to_base_units()
        theirs = full.parse_expression(other.get(unit, unit)).to_base_units()
        grams = 1000.0 ** float(ours.dimensionality.get("[mass]", 0))
        assert ours.magnitude / grams == pytest.approx(theirs.magnitude, rel=1e-12), unit


@pytest.mark.parametrize("word", ["pt", "mil", "link", "pica", "ga", "slug", "tex", "c", "rpm"])
def test_units_a_shop_would_misread_are_not_there(word):
    with pytest.raises(pint.UndefinedUnitError):
        ureg.Unit(word)


def test_one_registry_for_everyone():
    assert pint.get_application_registry().get() is ureg
    assert pickle.loads(pickle.dumps(Q(3, "psf"))) + Q(1, "psf") == Q(4, "psf")


def test_same_kind_is_stricter_than_the_dimension():
    unit = ureg.Unit
    assert same_kind(unit("psi"), unit("Pa")) and same_kind(unit("lbf*ft"),
        unit("N*m")) and same_kind(unit("%"), unit(""))
    assert not same_kind(unit("deg"), unit("")) and not same_kind(unit("rad/s"), unit("Hz"))
    assert not same_kind(unit("lb"), unit("lbf")) and not same_kind(pint.UnitRegistry().Unit("m"), unit("m"))


# --- printing ------------------------------------------------------------------------------------

@given(st.floats(-1000, 1000), st.sampled_from(["inch", "mm"]))
def test_up_never_prints_less_and_down_never_more(size, system):
    length = Quantity(size, "inch")
    step = 1 / 16 if system == "inch" else 1 / 25.4
    printed = {r: read_length(show_length(length, system, r)).to("inch").magnitude for r in ("nearest", "up",
        "down")}
    hair = 1e-6 * step
    assert size - hair <= printed["up"] < size + step
    assert size - step < printed["down"] <= size + hair
    assert abs(printed["nearest"] - size) <= step / 2 + hair


@pytest.mark.parametrize(("size", "feet", "words"), [
    (0, False, "0 in"), (0.5, False, "1/2 in"), (2.5, False, "2-1/2 in"), (90.5, True, "7'-6 1/2\""),
    (84, True, "7'-0\""),
    (11.9375, True, "11-15/16 in"), (12, True, "1'-0\""), (-90.5, True, "-7'-6 1/2\""),
    (2.04, False, "2-1/16 in"),
    (2.03125, False, "2-1/16 in"), (2.03124, False, "2 in")])
def test_a_size_in_sixteenths(size, feet, words):
    assert show_length(Q(size, "inch"), feet=feet) == words


def test_an_unknown_system_or_rounding_is_refused():
    for call in (lambda: show_length(Q(1, "m"), "metric"), lambda: show_length(Q(1, "m"), "inch", "upwards"),
                 lambda: show_wall(Q(1, "mm"), "in"), lambda: show_sag(Q(1, "mm"), "metric")):
        with pytest.raises(InputError):
            call()


@pytest.mark.parametrize(("sag", "system", "words"), [
    (0.1234, "inch", "0.12 in"), (0.004, "inch", "under 0.01 in"), (-0.0001, "inch", "under 0.01 in"),
    (0, "inch", "0.00 in"),
    (-0.0, "inch", "0.00 in"), (1, "mm", "25.4 mm"), (0.001, "mm", "under 0.1 mm"),
    (-0.5, "inch", "-0.50 in")])
def test_a_sag_prints_to_a_hundredth_and_never_as_zero(sag, system, words):
    assert show_sag(Quantity(sag, "inch"), system) == words


def test_a_wall_prints_to_a_thousandth():
    assert show_wall(Q(0.12, "inch")) == "0.120 in" and show_wall(Q(0.0598, "inch"), "mm") == "1.52 mm"


@pytest.mark.parametrize(("value", "digits", "words"), [
    (1250.5, 4, "1,251"), (1251.5, 4, "1,252"), (1250.4999999999998, 4, "1,251"), (0.125, 2, "0.13"),
    (2.675, 3, "2.68"),
    (0.99996, 4, "1"), (9999.6, 4, "10,000"), (123456, 4, "123,500"), (2.5, 4, "2.5"), (0, 4, "0"),
    (-0.0, 4, "0"),
    (-1234.5, 4, "-1,235"), (1.37e-10, 4, "1.37e-10"), (0.000012345, 3, "0.0000123"),
    (29e6, 4, "29,000,000"), (4e13, 4, "4e+13"),
    (9.9999e11, 3, "1e+12")])
def test_a_number_prints_as_on_paper(value, digits, words):
    assert number(value, digits) == words


@given(st.floats(allow_nan=False, allow_infinity=False, min_value=-1e200, max_value=1e200),
    st.integers(1, 12))
def test_a_printed_number_is_within_half_of_its_last_digit(value, digits):
    back = float(number(value, digits).replace(",", ""))
    assert abs(back - value) <= 0.5 * abs(value) * 10 ** (1 - digits) * (1 + 1e-9) + 1e-300
    assert number(back, digits) == number(value, digits)


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf")])
def test_what_is_not_finite_never_prints(value):
    for call in (lambda: number(value), lambda: show_length(Quantity(value, "m")),
        lambda: show_sag(Quantity(value, "m")),
                 lambda: show(Quantity(value, "N"), "lbf")):
        with pytest.raises(ValueError, match="not finite"):
            call()


def test_a_unit_prints_in_the_order_written():
    assert unit_text("lbf*inch") == "lbf·in" and unit_text("kg/m**3") == "kg/m^3"
    assert unit_text("1/kelvin") == "1/K"
    assert show(Q(1250, "lbf*ft"), "lbf*ft") == "1,250 lbf·ft" and show(Q(45, "deg"), "deg") == "45 °"


def test_every_printed_unit_is_read_back():
    for word, unit in UNIT_WORDS.items():
        if unit:
            assert read_unit(unit_text(f"{ureg.Unit(unit):~}"), "f") == ureg.Unit(unit), word
    for unit in ("lbf*ft", "kN/m", "inch**4", "lbf/ft**2", "1/delta_degF"):
        assert read_unit(unit_text(f"{ureg.Unit(unit):~}"), "f") == ureg.Unit(unit)


# --- the error itself ----------------------------------------------------------------------------

def test_an_input_error_carries_its_four_parts():
    error = InputError(field="top.length", value="6\x07", need="a length", example="6 ft")
    assert error.as_dict() == {"field": "top.length", "value": '"6\\x07"', "need": "a length",
        "example": "6 ft"}
    assert str(error) == 'top.length: got "6\\x07"; need a length. Example: 6 ft'
    assert "nothing" in str(InputError(field="f", need="x")) and isinstance(error, ValueError)
    assert len(InputError(field="f", value="x" * 10_000, need="y").value) < 100
    assert "digits" in InputError(field="f", value=10**5000, need="y").value
