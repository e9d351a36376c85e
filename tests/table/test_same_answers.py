"""Of answers that only rounding tells apart the first is named; several ways at once are those ways one by one."""

import numpy as np
import pytest

from shopcalc.mechanics.lifting import Feet
from shopcalc.table.frame_checks import ALIKE, NO_SAG, first_of_largest
from shopcalc.table.frame_solve import _joined


def test_the_first_of_what_rounding_tells_apart():
    for sizes in ([1.0, 2.0, 2.0 + 1e-12], [1.0, 2.0, 2.0 - 1e-12], [1.0, 2.0, 2.0]):
        assert first_of_largest(np.array(sizes)) == 1
    assert first_of_largest(np.array([1.0, 2.0, 2.0 * (1 + 3 * ALIKE)])) == 2
    assert first_of_largest(-np.array([3.0, 1.0 + 1e-13, 1.0])) == 1


def test_not_a_number_comes_first():
    assert first_of_largest(np.array([1.0, 5.0, np.nan])) == 2
    assert first_of_largest(np.array([1.0, np.inf, np.nan])) == 2


def test_a_sag_of_nothing_names_the_first():
    assert first_of_largest(np.array([3e-19, 8e-18, 2e-17]), nothing=NO_SAG) == 0
    assert first_of_largest(np.array([3e-19, 1e-6]), nothing=NO_SAG) == 1


def test_ways_of_being_held_are_joined_but_for_one_in_which_a_case_is_refused():
    up, none = frozenset({1}), frozenset()
    refused = np.array([False, False, False, True, False])
    groups = [[0, 1], [2, 3], [4]]
    assert _joined(groups, [none, none, none], refused) == [[0, 1, 4], [2, 3]]
    assert _joined(groups, [none, none, up], ~refused & False) == [[0, 1, 2, 3], [4]]


@pytest.mark.parametrize("hollow", (0.0, -0.002))
@pytest.mark.parametrize("pads", (np.inf, 4e5))
def test_several_ways_at_once_are_those_ways_one_by_one(hollow, pads):
    draw = np.random.default_rng(4)
    places = np.array([[1.0, 0.5], [1.0, -0.5], [-1.0, -0.5], [-1.0, 0.5]])
    # a base that twists: what one raised foot takes from its neighbours it gives to the one across
    S = 3e4 * np.outer([1, -1, 1, -1], [1, -1, 1, -1]).astype(float)
    bed = Feet.of(S, floor=np.array([hollow, 0, 0, 0]), pads=pads)
    downs = 250.0 + draw.uniform(-40, 40, (9, 1)) * places[:, 0] + draw.uniform(-40, 40, (9, 1)) * places[:, 1]
    at = draw.uniform(-1.6, 1.6, (30, 2))
    units = 0.25 + (at @ (places / [4.0, 1.0]).T) + draw.uniform(-0.05, 0.05, (9, 1, 4))
    each = np.array([bed.load_that_lifts(down, unit)[0] for down, unit in zip(downs, units, strict=True)])
    assert np.isfinite(each).any() and len(np.unique(each.argmin(axis=0))) > 2
    assert bed.least_that_lifts(downs, units) == pytest.approx(each.min(axis=0), rel=1e-12)
