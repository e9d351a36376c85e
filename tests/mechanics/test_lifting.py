"""When a foot lifts: beside bounded least squares and a quadratic programme of SciPy, the two limits, and the square table
of the handbooks. Forces up on the table, loads down."""

import numpy as np
import pytest
from scipy.optimize import linprog, lsq_linear

from shopcalc.mechanics.lifting import Feet

SQUARE = np.array([[-1.0, -1], [1, -1], [1, 1], [-1, 1]]) / 2
IDLE = np.array([1.0, -1, 1, -1]) / 2  # four forces at the corners that balance by themselves


def balanced(feet, point):
    """Forces of one down at a point that balance it, the least of them all."""
    return np.linalg.lstsq(np.vstack([feet.T, np.ones(len(feet))]), [*point, 1.0], rcond=None)[0]


def table(seed):
    rng = np.random.default_rng(seed)
    n = int(rng.integers(4, 8))
    turn = np.linspace(0, 2 * np.pi, n, endpoint=False) + rng.uniform(-0.2, 0.2, n)
    feet = np.stack([np.cos(turn), 0.6 * np.sin(turn)], axis=1)
    idle = np.linalg.svd(np.vstack([feet.T, np.ones(n)]))[2][3:]
    stiff = rng.uniform(1e5, 1e6, len(idle))
    own = 900 * balanced(feet, rng.uniform(-0.05, 0.05, 2)) + idle.T @ rng.uniform(-20, 20, len(idle))
    points = rng.uniform(-1.5, 1.5, (12, 2)) * [1, 0.6]
    unit = np.array([balanced(feet, p) + idle.T @ rng.uniform(-0.1, 0.1, len(idle)) for p in points])
    return rng, feet, idle, stiff, own, unit


def pressed(feet, idle, stiff, held, floor):
    """Second way, in forces instead of gaps: of all forces that only press and balance the load, those of least energy
    (bounded least squares, the balance as heavy rows)."""
    # forces = held + idle' t; energy of t in springs 1/stiff, with the floor's heights as an offset; balance holds of itself
    rows, right = [idle / np.sqrt(stiff)[:, None]], [idle @ held / np.sqrt(stiff) + np.sqrt(stiff) * (idle @ floor)]
    balance = np.vstack([feet.T, np.ones(len(feet))])
    found = lsq_linear(np.vstack([*rows, 1e3 * balance]), np.concatenate([*right, 1e3 * balance @ held]), bounds=(0, np.inf), method="bvls",
                       tol=1e-14, max_iter=500)
    return found.x


@pytest.mark.parametrize("seed", range(20))
def test_feet_on_an_uneven_floor_are_those_of_least_energy(seed):
    rng, feet, idle, stiff, own, _ = table(seed)
    floor = np.zeros(len(own))
    floor[rng.integers(len(own))] = -1.5e-3
    found = Feet.of(idle.T @ np.diag(stiff) @ idle, floor=floor).stand(own)
    want = pressed(feet, idle, stiff, own, floor)
    assert found.holds and (found.gap >= 0).all() and not (found.force * found.gap).any()
    assert found.force == pytest.approx(want, abs=2e-3 * own.sum())
    assert found.force.sum() == pytest.approx(own.sum(), rel=1e-9) and found.force @ feet == pytest.approx(own @ feet, abs=1e-6 * own.sum())


@pytest.mark.parametrize("seed", range(10))
def test_the_load_that_lifts_is_where_the_next_bit_of_load_lets_a_foot_go(seed):
    """On an even and on an uneven floor: just below, every foot that stood stands; just above, one of them hangs."""
    _, _, idle, stiff, own, unit = table(100 + seed)
    for hollow in (0.0, -1e-3):
        floor = np.zeros(len(own))
        floor[1] = hollow
        bed = Feet.of(idle.T @ np.diag(stiff) @ idle, floor=floor)
        stood = bed.stand(own).gap == 0
        loads, foot = bed.load_that_lifts(own, unit)
        tried = 0
        for load, j, u in zip(loads, foot, unit, strict=True):
            if 1e-3 < load < 1e5:
                tried += 1
                below, above = bed.stand(own + 0.999 * load * u), bed.stand(own + 1.001 * load * u)
                assert below.holds and (below.gap[stood] == 0).all()
                assert not above.holds or above.gap[j] > 0
        assert tried


@pytest.mark.parametrize("seed", range(10))
def test_no_foot_that_may_still_press_lifts_later_than_the_table_goes_over(seed):
    """The forces of the feet are one way to balance the load: a linear programme finds the largest load that any way does."""
    _, feet, idle, stiff, own, unit = table(200 + seed)
    loads, _ = Feet.of(idle.T @ np.diag(stiff) @ idle).load_that_lifts(own, unit)
    balance = np.vstack([feet.T, np.ones(len(feet))])
    for load, u in zip(loads, unit, strict=True):
        most = linprog([0.0] * len(feet) + [-1.0], A_eq=np.hstack([balance, -(balance @ u)[:, None]]), b_eq=balance @ own,
                       bounds=[(0, None)] * (len(feet) + 1), method="highs")
        over = np.inf if most.status == 3 else -most.fun
        assert load <= over * (1 + 1e-9)


def test_a_twist_free_base_on_a_hard_floor_lifts_only_where_it_goes_over():
    """Two hinged halves: each side carries by its own lever (product of ratios), so no foot lifts within the feet (trap 10)."""
    def halves(x, y):
        return np.array([(0.5 + sx * x) * (0.5 + sy * y) for sx, sy in ((-1, -1), (1, -1), (1, 1), (-1, 1))])

    bed = Feet.of(np.zeros((4, 4)), floor=[-0.01, 0, 0, 0])
    inside = np.array([halves(x, y) for x in (-0.45, 0, 0.45) for y in (-0.45, 0.3)])
    assert np.isinf(bed.load_that_lifts(1000 * halves(0, 0), inside)[0]).all()
    beyond, _ = bed.load_that_lifts(1000 * halves(0, 0), [halves(0.8, 0.0)])
    assert beyond[0] == pytest.approx(1000 * 0.5 / 0.3)  # as a seesaw over two feet


def test_a_stiff_table_on_soft_feet_shares_as_a_plane():
    """Pads alike under a stiff square: R = P/4 (1 + 4 e_x x/a^2 + ...). Weightless, the far foot is free at e = a sqrt(2)/4
    on the diagonal (Timoshenko, recalled; trap 10)."""
    plane = np.array([balanced(SQUARE, p) for p in np.eye(2)])  # least forces are those of equal springs
    assert plane[0] @ SQUARE == pytest.approx([1.0, 0.0])
    bed = Feet.of(1e12 * np.outer(IDLE, IDLE), pads=2e4)
    for e, lifts in ((0.999, False), (1.001, True)):
        at = np.full(2, e * np.sqrt(2) / 4 / np.sqrt(2))
        crooked = balanced(SQUARE, at) + 0.3 * IDLE  # however it was shared on hard supports, the pads even it out
        load, foot = bed.load_that_lifts(1e-9 * balanced(SQUARE, (0, 0)), [crooked])
        assert np.isfinite(load[0]) == lifts and (not lifts or foot[0] == 0)


def test_a_stiff_table_over_a_hollow_rocks_at_a_touch():
    bed = Feet.of(1e9 * np.outer(IDLE, IDLE), floor=[-3e-3, 0, 0, 0])
    stands = bed.stand(1000 * balanced(SQUARE, (0, 0)))
    assert stands.force == pytest.approx([0, 500, 0, 500], abs=1e-3)  # the diagonal pair carries all (trap 9)
    load, _ = bed.load_that_lifts(1000 * balanced(SQUARE, (0, 0)), [balanced(SQUARE, (-0.4, -0.4))])
    assert load[0] < 0.01  # of 1000
