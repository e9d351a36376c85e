"""One-sided contact: the complementarity routine beside SciPy, feet on an uneven floor, lifting, going
over.
"""

import numpy as np
import pytest
from frames.frames_for_tests import SECTION
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog, minimize, nnls

from shopcalc.errors import InputError
from shopcalc.mechanics.contact import complementary, lemke
from shopcalc.mechanics.frames import Frame, LineLoad, Member, NodeLoad, Spring, Support, solve
from shopcalc.mechanics.frames.feet import stand_on_floor

# --- the routine


@pytest.mark.parametrize("k", [1, 2, 4, 8, 14])
def test_beside_nonnegative_least_squares(k):
    draw = np.random.default_rng(k)
    X = draw.normal(size=(60, k, k + 1))
    A, b = X @ X.swapaxes(1, 2), 1e3 * draw.normal(size=(60, k))
    found = complementary(A, b)
    L = np.linalg.cholesky(A)
    want = np.array([nnls(one.T, np.linalg.solve(one, row))[0] for one, row in zip(L, b, strict=True)])
    assert found.stands.all() and np.allclose(found.r, want, atol=1e-9 * np.abs(want).max())
    assert (found.r >= 0).all() and (found.gap >= 0).all() and (found.r * found.gap == 0).all()
    assert 0.05 < (found.r > 0).mean() < 0.95


@pytest.mark.parametrize("k", [2, 5, 9])
def test_lemke_alone_gives_the_same(k):
    draw = np.random.default_rng(k)
    for _ in range(30):
        X = draw.normal(size=(k, k))
        A = X @ X.T / k
        b = draw.normal(size=k)
        assert np.allclose(lemke(A, -b), complementary(A, b).r[0], atol=1e-8)


def test_beside_a_quadratic_programme():
    draw = np.random.default_rng(2)
    for _ in range(10):
        X = draw.normal(size=(5, 6))
        A, b = X @ X.T, draw.normal(size=5)
        found = complementary(A, b).r[0]
        best = minimize(
            lambda r, A=A, b=b: r @ A @ r / 2 - b @ r,
            np.ones(5),
            jac=lambda r, A=A, b=b: A @ r - b,
            bounds=[(0, None)] * 5,
            method="L-BFGS-B",
            options={"ftol": 1e-15, "gtol": 1e-12},
        )
        assert found @ A @ found / 2 - b @ found <= best.fun + 1e-9 * abs(best.fun)
        assert np.allclose(found, best.x, atol=1e-4)


@settings(max_examples=60)
@given(st.integers(0, 10**6), st.integers(1, 7), st.integers(0, 3))
def test_singular_matrices_are_answered_exactly_where_a_linear_programme_has_an_answer(seed, k, lost):
    """A body that can move as a whole: r exists if and only if A r >= b, r >= 0 can be met."""
    draw = np.random.default_rng(seed)
    X = draw.normal(size=(k, max(k - lost, 1)))
    A, b = X @ X.T, draw.normal(size=k)
    found = complementary(A, b)
    met = linprog(np.zeros(k), A_ub=-A, b_ub=-b, bounds=[(0, None)] * k).status == 0
    room = linprog(
        np.append(np.zeros(k), -1.0),
        A_ub=np.hstack([-A, np.ones((k, 1))]),
        b_ub=-b,
        bounds=[(0, 1e3)] * k + [(-10, 10)],
    ).x[-1]
    if abs(room) > 1e-3:  # neither a hair within nor a hair beyond
        assert found.stands[0] == met
    if found.stands[0]:
        size = max(1.0, np.abs(found.r).max())
        assert (
            (found.r >= 0).all()
            and (found.gap >= -1e-7 * size).all()
            and np.abs(found.r * found.gap).max() <= 1e-7 * size**2
        )
    else:
        assert np.isnan(found.r).all()


def test_stops_on_both_sides_make_an_unsymmetric_matrix():
    # 0 <= s <= 2 under a spring of 3: s = clip(b/3, 0, 2).
    A = np.array([[3.0, 1.0], [-1.0, 0.0]])
    found = complementary(A, np.array([[-1.0, -2.0], [3.0, -2.0], [9.0, -2.0]]))
    assert (
        found.stands.all()
        and found.r[:, 0] == pytest.approx([0, 1, 2])
        and found.r[:, 1] == pytest.approx([0, 0, 3])
    )


def test_scale_does_not_matter_and_ties_end():
    A, b = np.array([[2.0, 1.0], [1.0, 2.0]]), np.array([1.0, 0.3])
    plain = complementary(A, b).r[0]
    d = np.array([1e-6, 1e5])
    assert complementary(A * d[:, None] * d, b * d).r[0] * d == pytest.approx(plain)
    for k in (3, 6):
        assert complementary(np.ones((k, k)), np.ones(k)).r[0].sum() == pytest.approx(1.0)
        assert (complementary(np.eye(k), np.zeros(k)).r == 0).all()


def test_contact_refuses_what_does_not_fit():
    for A, b in (
        (np.eye(2), np.ones(3)),
        (np.eye(2), [np.nan, 1]),
        (np.full((2, 2), np.inf), [1, 1]),
        (np.ones((3, 2, 2)), np.ones((2, 2))),
    ):
        with pytest.raises(InputError):
            complementary(A, b)


# --- a table on its feet

LONG, WIDE, TALL = 1.5, 0.8, 0.7
PLAN = np.array([[0, 0], [LONG, 0], [LONG, WIDE], [0, WIDE]])
FEET = tuple(f"foot{i}" for i in range(4))


def table(holds=("x y z", "y z", "z", "z")):
    nodes = [*FEET, *(f"head{i}" for i in range(4))]
    bars = [Member(f"leg{i}", f"foot{i}", f"head{i}") for i in range(4)] + [
        Member(f"rail{i}", f"head{i}", f"head{(i + 1) % 4}") for i in range(4)
    ]
    loads = [NodeLoad(f"head{i}", "z") for i in range(4)] + [NodeLoad("head0", "x")]
    f = Frame(nodes, bars, [Support(n, h) for n, h in zip(FEET, holds, strict=True)], loads=loads)
    return f, np.vstack([np.column_stack([PLAN, np.zeros(4)]), np.column_stack([PLAN, np.full(4, TALL)])])


def sized(f, points, loads, **more):
    return f.sizes(
        points=points,
        load=np.atleast_2d(
            np.hstack([loads, np.zeros((len(np.atleast_2d(loads)), 5 - np.shape(loads)[-1]))])
        ),
        **{**SECTION, **more},
    )


def test_a_flat_floor_gives_what_a_linear_frame_gives():
    f, points = table()
    s = sized(f, points, [[-100.0, -150.0, -200.0, -120.0]])
    found, plain = stand_on_floor(f, s, FEET), solve(f, s, order="first")
    assert found.stands[0] and (found.gap == 0).all()
    assert found.force[0] == pytest.approx(plain.reactions[0, :4, 2]) and np.allclose(
        found.answer.displacements, plain.displacements
    )


def test_a_stiff_table_on_an_uneven_floor_stands_on_three_feet_or_two():
    f, points = table()
    s = sized(f, points, [[-100.0] * 4])
    floor = np.array([[0, 0, 0, -0.2]])  # a hole
    found = stand_on_floor(f, s, FEET, floor)
    # equal loads: the diagonal through the two neighbours of the hole carries all
    assert found.force[0] == pytest.approx([200, 0, 200, 0], abs=1e-6) and found.stands[0]
    off = stand_on_floor(f, sized(f, points, [[-100.0, -140.0, -100.0, -100.0]]), FEET, floor)
    assert (
        off.gap[0, 3] > 0.1
        and off.force[0].sum() == pytest.approx(440)
        and off.force[0, 1] == pytest.approx(40, rel=1e-6)
    )
    # the load towards the hole: the table rocks onto that foot, the one across lifts
    over = stand_on_floor(f, sized(f, points, [[-100.0, -100.0, -100.0, -140.0]]), FEET, floor, grip=False)
    assert over.gap[0, 1] > 0.1 and over.force[0, 1] == 0 and over.force[0, 3] == pytest.approx(40, rel=1e-6)


def test_small_unevenness_is_taken_up_by_the_frame():
    """Second route: springs under the feet, one-sided by hand, stiffer and stiffer."""
    f, points = table()
    loads, dip = [[-100.0, -130.0, -110.0, -90.0]], 5e-4
    s = sized(f, points, loads)
    found = stand_on_floor(f, s, FEET, np.array([[0, 0, 0, -dip]]))
    assert (found.gap == 0).all() and found.force[0].min() > 0
    plain = solve(f, s, order="first").reactions[0, :4, 2]
    assert found.force[0, 3] < plain[3] and found.force[0, 1] < plain[1] and found.force[0, 0] > plain[0]
    # a dip twice as deep shifts twice as much, as long as no foot lifts
    twice = stand_on_floor(f, s, FEET, np.array([[0, 0, 0, -dip / 2]]))
    assert found.force[0] - plain == pytest.approx(2 * (twice.force[0] - plain), rel=1e-6)
    k = 1e9
    sprung = Frame(
        f.nodes,
        f.members,
        (Support("foot0", "x y"), Support("foot1", "y")),
        springs=tuple(Spring(n, "z") for n in FEET),
        loads=(*f.loads, NodeLoad("foot3", "z")),
    )
    # a spring that begins dip lower pulls its foot down by k dip
    t = sprung.sizes(points=points, load=[[*loads[0], 0.0, -k * dip]], spring=k, **SECTION)
    a = solve(sprung, t, order="first", critical="guard")
    force = a.reactions[0, :4, 2] - np.array([0, 0, 0, k * dip])
    assert found.force[0] == pytest.approx(force, abs=0.05)


def test_a_leveller_screwed_out_lifts_its_neighbours():
    f, points = table()
    s = sized(f, points, [[-100.0] * 4])
    turns = np.array([[0, 0, 0, h] for h in (0.0, 1e-4, 3e-4, 0.05)])
    many = s[np.zeros(4, int)]
    found = stand_on_floor(f, many, FEET, turns)
    assert (np.diff(found.force[:3, 3]) > 0).all() and (np.diff(found.force[:3, 0]) < 0).all()
    assert np.allclose(found.force.sum(1), 400) and found.force[3] == pytest.approx(
        [0, 200, 0, 200], abs=1e-6
    )


def test_a_load_beyond_the_feet_lifts_and_then_turns_the_table_over():
    f, points = table()
    many = sized(f, points, [[-100.0] * 4] * 4)
    load = many.load.copy()
    # a level push at the top against the weight 400 N: over the right feet when push TALL > 400 LONG/2
    limit = 400 * (LONG / 2) / TALL
    load[:, 4] = [0, 0.9 * limit, 0.999 * limit, 1.001 * limit]
    found = stand_on_floor(f, many.replaced(load=load), FEET, grip=False)
    assert found.stands.tolist() == [True, True, True, False]
    # right feet carry more; the moments about them balance
    right = found.force[:3, [1, 2]].sum(1)
    assert (
        right == pytest.approx(200 + load[:3, 4] * TALL / LONG, rel=1e-6) and np.isnan(found.force[3]).all()
    )
    assert (
        "goes over" in found.answer.reason[3]
        and found.answer.refused[3]
        and np.isnan(found.answer.displacements[3]).all()
    )


def test_a_foot_in_the_air_holds_nothing_sideways():
    f, points = table(("x y z",) * 4)
    s = sized(f, points, [[-10.0, -300.0, -300.0, -300.0, 30.0]])
    found = stand_on_floor(f, s, FEET, np.array([[-0.05, 0, 0, 0]]))
    assert found.stands[0] and found.gap[0, 0] > 0 and found.force[0, 0] == 0
    assert np.abs(found.answer.reactions[0, 0]).max() < 1e-9
    assert found.answer.reactions[0, :4, 0].sum() == pytest.approx(-30) and found.answer.reactions[
        0, :4, 2
    ].sum() == pytest.approx(910)
    loose = stand_on_floor(f, s, FEET, np.array([[-0.05, 0, 0, 0]]), grip=False)
    assert loose.stands[0] and abs(loose.answer.reactions[0, 0, 0]) > 1e-3


@settings(max_examples=15)
@given(st.integers(0, 10**6))
def test_every_standing_table_obeys_the_law_of_contact(seed):
    draw = np.random.default_rng(seed)
    f, points = table(("x y z",) * 4)
    n = 8
    loads = np.hstack([-draw.uniform(0, 300, (n, 4)), draw.uniform(-60, 60, (n, 1))])
    floor = draw.uniform(-1, 1, (n, 4)) * draw.choice([1e-5, 5e-4, 5e-3], (n, 1))
    s = sized(f, points, loads)
    found = stand_on_floor(f, s, FEET, floor)
    up = found.stands
    assert up.any()
    assert (
        (found.force[up] >= 0).all()
        and (found.gap[up] >= 0).all()
        and (found.force[up] * found.gap[up] == 0).all()
    )
    a = found.answer
    assert np.allclose(a.reactions[up][:, :4, 2], found.force[up], atol=1e-6)
    assert np.allclose(a.displacements[up][:, :4, 2], floor[up] + found.gap[up], atol=1e-9)
    assert np.allclose(found.force[up].sum(1), -loads[up, :4].sum(1)) and np.allclose(
        a.reactions[up][:, :4, 0].sum(1), -loads[up, 4], atol=1e-6
    )
    lifted = (found.gap > 0) & up[:, None]
    assert np.abs(a.reactions[:, :4][lifted]).max(initial=0.0) < 1e-6
    # diagrams go with it, whichever feet are down
    rail = a.member("rail0").at([0.0, 0.4])
    assert np.allclose(rail.My[up][:, 0], a.end_forces[up, f.member_number["rail0"], 4], atol=1e-6)


def test_feet_that_are_not_feet():
    f, points = table()
    s = sized(f, points, [[-100.0] * 4])
    with pytest.raises(InputError, match="holds z"):
        stand_on_floor(f, s, ("head0",))
    slides = Frame(
        f.nodes, f.members, [Support(n, "z") for n in FEET], loads=(*f.loads[:4], LineLoad("rail0", "x"))
    )
    found = stand_on_floor(slides, slides.sizes(points=points, load=-1.0, **SECTION), FEET)
    assert not found.stands[0] and "free to move along" in found.answer.reason[0]
