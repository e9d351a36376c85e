"""Welding near cold-formed corners, EN 1993-1-8 table 4.2: plain and aluminium-killed steel."""

import pytest

from shopcalc.codes.en1993_1_8 import welds
from shopcalc.units import magnitude


@pytest.mark.parametrize(("r", "plain", "killed"), [(1.0, 4, 6), (1.5, 8, 10), (2.0, 12, 12), (3.0, 24, 24)])
def test_the_rows_typed_again(r, plain, killed):
    assert magnitude(welds.weldable_wall(r), "mm") == pytest.approx(plain)
    assert magnitude(welds.weldable_wall(r, killed=True), "mm") == pytest.approx(killed)


def test_killed_steel_never_takes_less():
    for r in (0.9, 1.0, 1.2, 1.7, 2.5, 4.0):
        assert welds.weldable_wall_si(r, True)[0] >= welds.weldable_wall_si(r)[0]


def test_four_answers_in_words():
    assert welds.corner_words(1.0, 0.0030) == ""
    killed = welds.corner_words(1.0, 0.0046, "mm")
    assert "aluminium-killed steel and its certificate (then to 6.00 mm)" in killed
    quality = welds.corner_words(1.0, 0.00635, "mm")
    assert "J2H" in quality and "0.012 % S" in quality and "to 12.50 mm" in quality
    assert "J2H" in welds.corner_words(0.5, 0.002)  # no row for so tight a corner, the note covers it
    assert "killed steel or not" in welds.corner_words(1.0, 0.013) and "off the corners" in welds.corner_words(1.0, 0.013)
