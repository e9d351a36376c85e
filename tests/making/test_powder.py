"""Powder: how far a pound goes by plain volumes, the thick end of the film, when the clock of the cure starts."""

from pathlib import Path

import pytest

from shopcalc.errors import InputError
from shopcalc.making import powder
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.units import Q, magnitude


def test_a_film_of_powder_weighs_its_volume():
    """10 m2 of 80 micrometres at 1.6 of water (999 kg/m3) is 1.28 kg; half of it sticks."""
    assert magnitude(powder.to_spray(Q(10, "m**2")), "kg") == pytest.approx(2 * 10 * 80e-6 * 1.6 * 999, rel=1e-3)


def test_the_words_of_film_and_cure():
    assert powder.film_words("inch") == "2 to 3 mil" and powder.film_words("mm") == "50 to 80 µm"
    assert "10 min at 392 °F" in powder.cure_words("inch") and "10 min at 200 °C" in powder.cure_words("mm")
    assert "when the metal is hot, not the oven" in powder.cure_words("mm")


def test_the_base_of_the_demo_table_by_hand():
    """4 posts 2 x 2 of 23-1/4, 2 feet and heads 3 x 2 of 40 and 42, 2 rails 4 x 2 of 20, a stretcher 3 x 2 of 76 in."""
    text = (Path(__file__).parents[2] / "notebooks" / "jobs" / "archive_map_table.toml").read_text(encoding="utf-8")
    g = build(read_job(text))
    inches = 4 * 8 * 23.25 + 2 * 10 * (40 + 42) + 2 * 12 * 20 + 10 * 76
    assert magnitude(powder.base_area(g), "in**2") == pytest.approx(inches)
    pounds = 2 * inches / 144 * (80 / 25.4 / 12000) * 1.6 * 62.37
    words = powder.spray_words(g, "inch")
    assert f"powder: {pounds:.2g} lb to spray on {inches / 144:.2g}" in words and "50% of it sticks" in words


def test_bad_questions_are_told():
    with pytest.raises(InputError, match="cure time"):
        powder.powder_value("colour")
    with pytest.raises(InputError):
        powder.coverage(e=0.5, SG=1.6, rho=Q(62.4, "lb/ft**3"), f=Q(2, "lb"))
