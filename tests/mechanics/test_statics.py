"""When a body on feet goes over: beside equilibrium of the feet (linear programmes), hulls of another library,
published figures and hand sums. Loads down, reactions up."""

import numpy as np
import pytest
from scipy.optimize import linprog
from scipy.spatial import ConvexHull

from shopcalc.errors import InputError
from shopcalc.mechanics import statics as s
from shopcalc.units import Q, magnitude


def table(seed):
    """Feet scattered over the floor, a weight inside them, points over and beyond."""
    rng = np.random.default_rng(seed)
    feet = rng.uniform(-1, 1, (int(rng.integers(3, 9)), 2)) * [1.2, 0.5]
    hull = ConvexHull(feet)
    share = rng.dirichlet(np.ones(len(feet)))
    return rng, feet, hull, rng.uniform(500, 3000), share @ feet


def largest_load(feet, weight, centre, point, *, moment=(0.0, 0.0), lean=(0.0, 0.0)):
    """The largest load at a point that feet which only push can balance; None where there is none at all.

    moment  of a push about y and x as (H_x h, H_y h);  lean: how far out the weight and the load stand, plan
    """
    n = len(feet)
    at = np.asarray(point) + lean[1]
    # sum R = W + P;  sum R x = W x_c + P x_p + H_x h;  the same for y
    system = np.zeros((3, n + 1))
    system[0, :n], system[0, n] = 1, -1
    system[1:, :n], system[1:, n] = feet.T, -at
    known = [weight, *(weight * (np.asarray(centre) + lean[0]) + moment)]
    found = linprog([0] * n + [-1], A_eq=system, b_eq=known, bounds=[(0, None)] * (n + 1), method="highs")
    if found.status == 3:
        return np.inf
    return -found.fun if found.status == 0 else None


@pytest.mark.parametrize("seed", range(20))
def test_goes_over_where_feet_that_only_push_cannot_balance_it(seed):
    rng, feet, hull, weight, centre = table(seed)
    points = rng.uniform(-1.6, 1.6, (500, 2))
    loads, edge = s.load_that_tips(s.outline(feet), weight, centre, points)
    # Second way: the common centre of weight and load leaves the hull (of another library) where the ray to the load does.
    A, b = hull.equations[:, :2], hull.equations[:, 2]
    room, gain = -(A @ centre + b), (points - centre) @ A.T
    with np.errstate(divide="ignore"):
        part = np.where(gain > 0, room / np.where(gain > 0, gain, 1), np.inf).min(axis=1)  # of the way to the point
    want = np.where(part >= 1, np.inf, weight * part / np.where(part < 1, 1 - part, 1))
    assert np.allclose(loads, want, rtol=1e-9)
    assert np.isinf(loads).any() and np.isfinite(loads).any()
    for i in range(25):  # Third way: the feet themselves.
        balanced = largest_load(feet, weight, centre, points[i])
        assert loads[i] == pytest.approx(balanced, rel=1e-7)
        if np.isfinite(loads[i]):
            a, c = s.outline(feet).edges[edge[i]]
            both = (weight * centre + loads[i] * points[i]) / (weight + loads[i])
            (dx, dy), (ex, ey) = c - a, both - a
            assert abs(dx * ey - dy * ex) < 1e-9, "the common centre stands on the edge named"


@pytest.mark.parametrize("seed", range(6))
def test_with_a_push_and_a_slope_the_worst_direction_is_found(seed):
    """Trap 6: all at once. The push turns and the floor slopes in every direction; the least load of all is the answer."""
    rng, feet, _, weight, centre = table(seed)
    H, h, slope, z, top = 12.0, 0.75, 0.01, 0.6, 0.8
    turns = np.linspace(0, 2 * np.pi, 361)[:-1]
    # The normals of the outline are among the directions that count: a fan alone would miss them by a little.
    fan = [*np.stack([np.cos(turns), np.sin(turns)], axis=1)[::15], *s.outline(feet).normals]
    for point in rng.uniform(-1.4, 1.4, (4, 2)):
        load, _ = s.load_that_tips(s.outline(feet), weight, centre, point[None], push=H, push_height=h, slope=slope,
                                   centre_height=z, load_height=top)
        every = [largest_load(feet, weight, centre, point, moment=H * h * way, lean=(slope * z * way, slope * top * way))
                 for way in fan]
        least = min(0.0 if v is None else v for v in every)
        assert load[0] == pytest.approx(least, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("seed", range(20))
def test_righting_ratio_is_one_at_the_load_that_tips(seed):
    rng, feet, _, weight, centre = table(seed)
    shape, lean = s.outline(feet), dict(push=8.0, push_height=0.7, slope=0.008, centre_height=0.5, load_height=0.75)
    for point in rng.uniform(-1.6, 1.6, (40, 2)):
        load, _ = s.load_that_tips(shape, weight, centre, point[None], **lean)
        if np.isfinite(load[0]) and load[0] > 1e-9:
            ratio, _, righting, overturning = s.righting_ratio(shape, weight, centre, load, point[None], **lean)
            assert ratio == pytest.approx(1, rel=1e-9) and ratio == pytest.approx(righting / overturning)
            more, *_ = s.righting_ratio(shape, weight, centre, 1.01 * load, point[None], **lean)
            less, *_ = s.righting_ratio(shape, weight, centre, 0.99 * load, point[None], **lean)
            assert more < 1 < less


SQUARE = np.array([[-0.5, -0.3], [0.5, -0.3], [0.5, 0.3], [-0.5, 0.3]])


def test_ratio_of_two_loads_by_hand():
    # W 400 N in the middle; 100 N 0.2 m beyond the right feet, 60 N 0.1 m inside them, not counted on:
    # righting 400 x 0.5 = 200, overturning 100 x 0.2 = 20 N m
    ratio, edge, righting, overturning = s.righting_ratio(
        s.outline(SQUARE), 400, np.zeros(2), np.array([100.0, 60.0]), np.array([[0.7, 0.0], [0.4, 0.0]]))
    assert (righting, overturning) == pytest.approx((200, 20)) and ratio == pytest.approx(10)
    assert s.outline(SQUARE).normals[edge] == pytest.approx([1, 0])


def test_a_centre_of_gravity_beyond_an_edge_overturns_and_no_load_on_the_far_side_is_counted_on():
    # W 400 N stands 0.1 m beyond the right feet; 100 N on the far side would hold it, until it steps off.
    ratio, _, righting, overturning = s.righting_ratio(
        s.outline(SQUARE), 400, np.array([0.6, 0.0]), np.array([100.0]), np.array([[-0.4, 0.0]]))
    assert (righting, overturning) == pytest.approx((0, 40)) and ratio == 0
    load, _ = s.load_that_tips(s.outline(SQUARE), 400, np.array([0.6, 0.0]), np.array([[0.9, 0.0], [0.0, 0.0]]))
    assert list(load) == [0, 0]


def test_who_leans_inside_the_feet_does_not_hold_the_table_against_the_push():
    # 400 N with feet 0.5 m out, pushed with 60 N at 0.75 m; 300 N stands 0.1 m inside the feet.
    ratio, *_ = s.righting_ratio(s.outline(SQUARE), 400, np.zeros(2), np.array([300.0]), np.array([[0.4, 0.2]]), push=60, push_height=0.75)
    assert ratio == pytest.approx(400 * 0.3 / (60 * 0.75))


def test_a_load_right_over_a_foot_tips_nothing():
    # the last digits of a metre must not make a lever of it
    points = SQUARE + np.array([[1e-16, 0], [3e-17, 1e-16], [0, 0], [-1e-16, 2e-17]])
    assert np.isinf(s.load_that_tips(s.outline(SQUARE), 400, np.zeros(2), points)[0]).all()
    assert np.isinf(s.righting_ratio(s.outline(SQUARE), 400, np.zeros(2), np.array([300.0]), points[1:2])[0])


def test_a_slope_leans_the_load_out_with_the_table():
    # 1 in 50: weight at 0.6 m leans 12 mm, load at 0.8 m leans 16 mm. (0.5 - 0.012) 400 / (0.2 + 0.016)
    load, _ = s.load_that_tips(s.outline(SQUARE), 400, np.zeros(2), np.array([[0.7, 0.0]]), slope=0.02, centre_height=0.6,
                               load_height=0.8)
    assert load[0] == pytest.approx(400 * (0.5 - 0.012) / (0.2 + 0.016))
    # A load just inside the feet tips nothing on a level floor; on the slope it stands outside.
    inside = np.array([[0.49, 0.0]])
    assert np.isinf(s.load_that_tips(s.outline(SQUARE), 400, np.zeros(2), inside)[0][0])
    assert np.isfinite(s.load_that_tips(s.outline(SQUARE), 400, np.zeros(2), inside, slope=0.02, load_height=0.8)[0][0])


# --- outlines ------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(20))
def test_outline_is_the_hull_of_another_library(seed):
    _, feet, hull, *_ = table(seed)
    shape = s.outline(feet)
    assert len(shape.edges) == len(hull.simplices)
    for normal in shape.normals:
        assert np.abs(hull.equations[:, :2] - normal).max(axis=1).min() < 1e-9
    assert np.linalg.norm(shape.edges[:, 1] - shape.edges[:, 0], axis=1).sum() == pytest.approx(hull.area)


@pytest.mark.parametrize("feet", [[[0, 0], [1, 1], [2, 2]], [[0, 0], [1, 0]], [[0, 0]], [], [[0, 0], [0, 0], [0, 0]],
                                  [[0, 0], [1, 2], [0, 0], [1, 2]], [[0, 0], [1, 1], [2, 2 + 1e-12], [3, 3]],
                                  [[0, 0], [1, 0], [0, np.nan]], [[0, 0], [1, 0], [0, np.inf]]])
def test_feet_that_do_not_stand_by_themselves_are_refused(feet):
    with pytest.raises(InputError, match="contacts"):
        s.outline(np.array(feet, float).reshape(-1, 2))


def test_twice_the_same_foot_and_feet_on_an_edge_or_inside_change_nothing():
    plain = s.outline(SQUARE)
    more = s.outline(np.concatenate([SQUARE, SQUARE[:2], [[0, 0.3], [0.5, 0.1], [0.1, 0.05], [0, 0]]]))
    assert np.allclose(plain.normals, more.normals) and len(plain.edges) == len(more.edges) == 4
    points = np.array([[0.7, 0.4], [0.0, 0.5], [-0.9, -0.1]])
    assert np.allclose(s.load_that_tips(plain, 400, np.zeros(2), points)[0], s.load_that_tips(more, 400, np.zeros(2), points)[0])


def test_turning_moving_and_mirroring_the_table_changes_no_load():
    _, feet, _, weight, centre = table(4)
    points = np.random.default_rng(1).uniform(-1.5, 1.5, (50, 2))
    want = s.load_that_tips(s.outline(feet), weight, centre, points)[0]
    c, d = np.cos(0.7), np.sin(0.7)
    for turn in (np.array([[c, -d], [d, c]]), np.diag([-1.0, 1.0]), np.array([[0.0, 1.0], [1.0, 0.0]])):
        got = s.load_that_tips(s.outline(feet @ turn.T + 3), weight, turn @ centre + 3, points @ turn.T + 3)[0]
        assert np.allclose(got, want, rtol=1e-9)


def test_a_lever_between_parallel_edges_scales_with_weight_and_not_with_size():
    load = s.load_that_tips(s.outline(SQUARE), 400, np.zeros(2), np.array([[0.7, 0]]))[0][0]
    assert s.load_that_tips(s.outline(SQUARE), 800, np.zeros(2), np.array([[0.7, 0]]))[0][0] == pytest.approx(2 * load)
    assert s.load_that_tips(s.outline(3 * SQUARE), 400, np.zeros(2), np.array([[2.1, 0]]))[0][0] == pytest.approx(load)


# --- published and by hand -----------------------------------------------------------------------


def test_person_on_the_edge_of_a_table_published():
    """Giancoli, fig. 9-54, on a solution page (second-hand): 24.0 kg table, 66.0 kg person, legs 0.60 m from the middle and 0.50 m
    from the edge: 0.28 m from the edge."""
    feet = np.array([[-0.6, -0.3], [0.6, -0.3], [0.6, 0.3], [-0.6, 0.3]])
    edge = np.linspace(0.0, 0.5, 5001)
    loads, _ = s.load_that_tips(s.outline(feet), 24 * 9.80665, np.zeros(2), np.stack([1.1 - edge, 0 * edge], axis=1))
    nearest = edge[loads >= 66 * 9.80665].min()
    assert nearest == pytest.approx(0.28, abs=0.005)


def test_round_table_on_four_legs_published():
    """80 N top, four legs on the rim: 193 N midway between two legs (statement retrieved, answer W cos/(1 - cos) at 45 degrees);
    trap 2: along a leg no load tips it at all, along the chord it is r cos 45, not r."""
    assert magnitude(s.tipping_load_round(weight=Q(80, "N"), legs=4), "N") == pytest.approx(193.1, abs=0.1)
    feet = np.array([[1, 0], [0, 1], [-1, 0], [0, -1]], float)
    rim, between = np.array([[1.0, 0.0]]), np.sqrt([[0.5, 0.5]])
    assert np.isinf(s.load_that_tips(s.outline(feet), 80, np.zeros(2), rim)[0][0])
    r = np.cos(np.pi / 4)
    assert s.load_that_tips(s.outline(feet), 80, np.zeros(2), between)[0][0] == pytest.approx(80 * r / (1 - r))


@pytest.mark.parametrize("legs", [3, 4, 5, 6])
def test_round_tables_follow_the_chord_between_two_legs(legs):
    c = np.cos(np.pi / legs)
    assert magnitude(s.tipping_load_round(weight=Q(80, "N"), legs=legs), "N") == pytest.approx(80 * c / (1 - c), rel=1e-6)


def test_the_wrong_answer_of_the_picnic_table_is_not_given():
    """A solution page says 0.40 m from the edge where its own sum measures from the leg: 0.15 m from the edge is right.

    The same slip, with round figures: feet 0.55 m in from the edge, the load may stand 0.40 m beyond the feet, so that
    0.15 m from the edge are left."""
    W, reach, overhang = 200.0, 0.5, 0.55
    P = W * reach / 0.40
    feet = np.array([[-reach, -0.3], [reach, -0.3], [reach, 0.3], [-reach, 0.3]])
    edge = reach + overhang
    load = [s.load_that_tips(s.outline(feet), W, np.zeros(2), np.array([[edge - d, 0.0]]))[0][0] for d in (0.40, 0.15)]
    assert load[0] > 2 * P, "0.40 m from the edge is far from tipping"
    assert load[1] == pytest.approx(P)


def test_feet_count_not_the_faces_of_the_legs():
    """Trap 1: levellers 1.5 in inside the ends of the foot bar shorten the base by as much."""
    inch = 0.0254
    ends, levellers = (np.array([[-39, -y], [39, -y], [39, y], [-39, y]]) * inch for y in (20.0, 18.5))
    at = np.array([[0.0, 24 * inch]])
    by_ends, by_feet = (s.load_that_tips(s.outline(f), 1700, np.zeros(2), at)[0][0] for f in (ends, levellers))
    assert by_feet == pytest.approx(1700 * 18.5 / 5.5) and by_ends == pytest.approx(1700 * 20 / 4) and by_feet < by_ends


def test_slide_or_tip_published():
    """Mississippi State, horizontal surface, example 1 (givens and conclusion retrieved): 250 lbf block 32 in wide, push
    60 lbf at 60 in, mu 0.3: it stays at rest. Trap 7: the rating takes sliding as prevented, friction is reported beside it."""
    assert magnitude(s.push_that_slides(Q(250, "lbf"), 0.3), "lbf") == pytest.approx(75)
    assert magnitude(s.push_height_that_tips(W=Q(250, "lbf"), P=Q(60, "lbf"), g=Q(16, "in")), "in") == pytest.approx(66.7, abs=0.05)
    assert magnitude(s.push_that_tips(Q(250, "lbf"), g=Q(16, "in"), h=Q(60, "in")), "lbf") == pytest.approx(250 * 16 / 60)
    block = np.array([[-16, -16], [16, -16], [16, 16], [-16, 16]]) * 0.0254
    ratio, *_ = s.righting_ratio(s.outline(block), 250, np.zeros(2), np.array([0.0]), np.zeros((1, 2)), push=60, push_height=60 * 0.0254)
    assert ratio == pytest.approx(66.667 / 60, rel=1e-4)


def test_the_formulas_of_one_edge_agree_with_the_search():
    one = dict(W=Q(400, "N"), P=Q(150, "N"), H=Q(30, "N"), g=Q(0.5, "m"), o=Q(0.2, "m"), h=Q(0.75, "m"))
    ratio, _, righting, overturning = s.righting_ratio(s.outline(SQUARE), 400, np.zeros(2), np.array([150.0]), np.array([[0.7, 0]]),
                                                       push=30, push_height=0.75)
    assert float(s.tipping_ratio(**one)) == pytest.approx(ratio)
    assert float(s.tipping_ratio_moments(M_r=Q(righting, "N*m"), M_o=Q(overturning, "N*m"))) == pytest.approx(ratio)
    assert magnitude(s.tipping_load(Q(400, "N"), g=Q(0.5, "m"), o=Q(0.2, "m")), "N") == pytest.approx(1000)


def test_centre_of_gravity_and_weight():
    # OpenStax, centre of gravity of a car: 52 % on the front axle of a 2.5 m wheelbase: 1.3 m from the rear axle
    mass, centre = s.centre_of_gravity(np.array([0.52, 0.48]), np.array([[2.5, 0, 0], [0, 0, 0]]))
    assert mass == pytest.approx(1) and centre == pytest.approx([1.3, 0, 0])
    assert magnitude(s.weight_of(57), "lbf") == pytest.approx(125.7, abs=0.05)  # 57 kg, published stability load
    # 50 kg person 1.5 m from an end of a 6 m scaffold of 70 kg: 711 and 466 N (OpenStax, g = 9.8)
    near = 9.8 * (50 * 4.5 / 6 + 35)
    far = magnitude(s.reaction_by_lever(Q(50 * 9.8, "N"), a=Q(1.5, "m"), L=Q(6, "m")), "N") + 35 * 9.8
    assert (near, far) == pytest.approx((711, 466), abs=1)
