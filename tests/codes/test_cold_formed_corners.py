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


def test_three_answers_in_words():
    assert welds.corner_words(1.0, 0.0030) == ""
    assert "aluminium-killed" in welds.corner_words(1.0, 0.0046, "mm") and "6" in welds.corner_words(1.0, 0.0046, "mm")
    assert "killed steel or not" in welds.corner_words(1.0, 0.00635) and "off the corners" in welds.corner_words(0.5, 0.002)
