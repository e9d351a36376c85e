"""Worked lines as MathML."""

import importlib
import pkgutil
import xml.etree.ElementTree as ET

from show.show_synthetic import INPUTS, SAG

import shopcalc
from shopcalc.formula import formulas
from shopcalc.show.mathml import WIDEST, mathml, printed_width, raised, where_html, worked_html


def parsed(markup: str) -> ET.Element:
    return ET.fromstring(markup)  # raises where a tag is not closed


def texts(markup: str, tag: str) -> list[str]:
    return [e.text for e in parsed(markup).iter(tag)]


def test_a_number_with_commas_is_one_number():
    markup = mathml(r"\frac{5 \cdot 1{,}200.5}{384 \cdot 29{,}000{,}000}")
    assert texts(markup, "mn") == ["5", "1,200.5", "384", "29,000,000"]


def test_a_word_in_a_subscript_is_one_word():
    markup = mathml(r"\delta_{\mathrm{max}}")
    assert texts(markup, "mi") == ["δ", "max"]
    assert parsed(markup).find(".//msub") is not None


def test_fractions_powers_and_roots_are_marked_up_as_such():
    root = parsed(mathml(r"\delta = \frac{5\,w\,L^{4}}{384\,E\,I} + \sqrt{x}"))
    assert [len(list(f)) for f in root.iter("mfrac")] == [2]
    assert [m.text for m in root.find(".//msup").iter("mn")] == ["4"]
    assert root.find(".//msqrt") is not None


def test_a_power_of_ten_is_written_out():
    markup = mathml("2.5e-06")
    assert texts(markup, "mn") == ["2.5", "10", "6"]
    assert "e" not in texts(markup, "mi")


def test_no_address_in_the_markup():
    assert "http" not in mathml("x + 1")


def test_every_formula_of_the_kit_can_be_marked_up():
    for module in pkgutil.walk_packages(shopcalc.__path__, "shopcalc."):
        if not module.name.startswith(("shopcalc.show", "shopcalc.__main__")):
            importlib.import_module(module.name)
    found = {name: f for name, f in formulas().items() if name.startswith("shopcalc.")}  # not those of other tests
    assert len(found) > 400
    for name, formula in found.items():
        root = parsed(mathml(formula.latex))
        assert root.tag == "math", name
        assert not any("\\" in (e.text or "") for e in root.iter()), f"{name}: a command was not understood"


def test_the_wider_part_of_a_fraction_counts():
    assert printed_width(r"\frac{123456}{12}") == 6
    assert printed_width(r"\frac{12}{123456}") == 6


def test_a_line_too_wide_for_a_page_stands_as_text_that_wraps():
    line = SAG.worked(**INPUTS)
    assert worked_html(line).count("<math") == 1  # symbols, numbers and result side by side
    longer = line.__class__(**{**line.__dict__, "latex_numbers": " + ".join(["123"] * 10)})
    assert worked_html(longer).count("<math") == 2  # under one another
    wide = line.__class__(**{**line.__dict__, "latex_numbers": " + ".join(["123456"] * WIDEST)})
    markup = worked_html(wide)
    assert markup.count("<math") == 1 and 'class="line plain"' in markup


def test_symbols_numbers_and_result_stand_in_the_line():
    line = SAG.worked(**INPUTS)
    markup = worked_html(line)
    assert raised(line.result) in markup
    for _, size, meaning in line.inputs:
        assert raised(size) in where_html(line) and meaning in where_html(line)


def test_units_get_small_powers():
    assert raised("0.73 in^4") == "0.73 in⁴"
    assert raised("12 m^-1") == "12 m⁻¹"
