"""Powder: how far a pound goes by plain volumes, the thick end of the film, when the clock of the cure starts."""

import pytest

from shopcalc.errors import InputError
from shopcalc.making import powder
from shopcalc.units import Q, magnitude


def test_a_film_of_powder_weighs_its_volume():
    """10 m2 of 80 micrometres at 1.6 of water (999 kg/m3) is 1.28 kg; half of it sticks."""
    assert magnitude(powder.to_spray(Q(10, "m**2")), "kg") == pytest.approx(2 * 10 * 80e-6 * 1.6 * 999, rel=1e-3)


def test_the_words_of_film_and_cure():
    assert powder.film_words("inch") == "2 to 3 mil" and powder.film_words("mm") == "50 to 80 µm"
    assert "10 min at 392 °F" in powder.cure_words("inch") and "10 min at 200 °C" in powder.cure_words("mm")
    assert "when the metal is hot, not the oven" in powder.cure_words("mm")


def test_bad_questions_are_told():
    with pytest.raises(InputError, match="cure time"):
        powder.powder_value("colour")
    with pytest.raises(InputError):
        powder.coverage(e=0.5, SG=1.6, rho=Q(62.4, "lb/ft**3"), f=Q(2, "lb"))
