"""What cannot be answered: the message names the bar or node and says what is free; other designs of the
batch go on.
"""

import numpy as np
import pytest
from frames.frames_for_tests import SECTION, bar, placed, portal, portal_points

from shopcalc.errors import InputError
from shopcalc.mechanics.frames import (
    FIXED,
    PINNED,
    Frame,
    FrameRefused,
    Joint,
    LineLoad,
    Member,
    NodeLoad,
    PointLoad,
    Settlement,
    Spring,
    Support,
    solve,
)

H, SPAN = 0.72, 1.4


def refusal(frame, sizes, **more):
    a = solve(frame, sizes, **more)
    assert (
        a.refused.all()
        and a.strength_refused.all()
        and np.isnan(a.displacements).all()
        and np.isnan(a.end_forces).all()
    )
    with pytest.raises(FrameRefused) as caught:
        a.insist()
    assert a.reason[0][:40] in str(caught.value) and caught.value.need == "a frame that stands"
    return a.reason[0]


def made(frame, points, **more):
    return frame.sizes(points=points, load=-10.0, **SECTION, **more)


def portal_of(supports, members=None):
    f, chains = portal()
    g = Frame(f.nodes, members or f.members, supports, loads=f.loads)
    return g, made(g, placed(g, portal_points(chains, H, SPAN)))


# --- mechanisms


@pytest.mark.parametrize(
    "holds, words",
    [
        (("y z rx rz", "y z rx rz"), "move along x"),
        (("x z rx rz", "z rx rz"), "move along y"),
        (("x y rx rz", "x y rx rz"), "move along z"),
    ],
)
def test_a_frame_that_slides_says_which_way(holds, words):
    f, s = portal_of([Support(n, w) for n, w in zip("ad", holds, strict=True)])
    assert words in refusal(f, s)


def test_a_frame_on_two_balls_falls_over_sideways():
    f, s = portal_of([Support("a", PINNED), Support("d", PINNED)])
    text = refusal(f, s)
    assert "free to" in text and ("along y" in text or "about x" in text)


def test_a_post_on_a_ball():
    f = bar("x y z rz", loads=(NodeLoad("b", "x"),))
    text = refusal(f, made(f, [[0, 0, 0], [0, 0, 1.0]]))
    assert "node" in text and ("along x" in text or "along y" in text)


def test_a_rail_with_hinges_in_a_row_is_named():
    f, chains = portal("pinned")
    hinged = tuple(
        Member(
            m.name,
            m.first,
            m.second,
            free_first="ry" if m.name == "bc" else "",
            free_second="ry" if m.name == "bc" else "",
        )
        for m in f.members
    )
    g = Frame(f.nodes, hinged, f.supports, loads=f.loads)
    text = refusal(g, made(g, placed(g, portal_points(chains, H, SPAN))))
    assert "mechanism" in text and "along x" in text and ("node b" in text or "node c" in text)


def test_a_slack_bar_is_named():
    f = bar(FIXED, FIXED, loads=(PointLoad("bar", "z"),), free_first="y z", free_second="z")
    text = refusal(f, made(f, [[0, 0, 0], [1, 0, 0]], at=0.5))
    assert "member bar" in text and "let go" in text
    f = bar(FIXED, FIXED, loads=(PointLoad("bar", "rx", "local"),), free_first="rx", free_second="rx")
    assert "about its own axis" in refusal(f, made(f, [[0, 0, 0], [1, 0, 0]], at=0.5))
    # without the torque it may spin
    f = bar(FIXED, FIXED, loads=(PointLoad("bar", "z"),), free_first="rx", free_second="rx")
    assert not solve(f, made(f, [[0, 0, 0], [1, 0, 0]], at=0.5)).refused[0]


def test_a_moment_on_a_node_hinged_all_round():
    hinge = {"free_first": "rx ry rz", "free_second": "rx ry rz"}
    f = Frame(
        ("a", "b", "c"),
        (Member("ac", "a", "c", **hinge), Member("bc", "b", "c", **hinge)),
        (Support("a", PINNED), Support("b", PINNED), Support("c", "y")),
        loads=(NodeLoad("c", "z"), NodeLoad("c", "ry")),
    )
    points = [[0, 0, 0], [2, 0, 0], [1, 0, 1]]
    s = f.sizes(points=points, load=[[-5.0, 0.0], [-5.0, 1.0]], **SECTION)
    a = solve(f, s)
    assert a.refused.tolist() == [False, True] and "node c is free to turn under the moment" in a.reason[1]


def test_a_spring_of_nothing_lets_one_design_go_and_the_others_stand():
    f, chains = portal("pinned")
    g = Frame(
        f.nodes,
        f.members,
        [Support("a", "y z rx rz"), Support("d", "y z rx rz")],
        springs=(Spring("a", "x"),),
        loads=f.loads,
    )
    s = g.sizes(
        points=placed(g, portal_points(chains, H, SPAN)), load=-10.0, spring=[[1e4], [0.0], [5e5]], **SECTION
    )
    a = solve(g, s)
    assert a.refused.tolist() == [False, True, False]
    assert a.reason[0] == "" and "move along x" in a.reason[1]
    assert np.isfinite(a.displacements[[0, 2]]).all() and a.reaction("a", "x")[0] == pytest.approx(10.0)
    # the two that stand are what they are alone
    alone = solve(g, s[2])
    assert np.allclose(alone.displacements[0], a.displacements[2], rtol=1e-9)
    with pytest.raises(FrameRefused, match="design 1"):
        a.insist()


# --- no length


def test_a_bar_without_length_is_named():
    f, chains = portal("pinned")
    points = placed(f, portal_points(chains, H, SPAN))
    flat = points.copy()
    flat[f.node_number["c"]] = flat[f.node_number["b"]]
    a = solve(f, f.sizes(points=np.array([points, flat]), load=-10.0, **SECTION))
    assert a.refused.tolist() == [False, True] and "member bc has no length between b and c" in a.reason[1]


def test_arms_that_eat_their_bar():
    f = bar(FIXED, loads=(NodeLoad("b", "z"),))
    text = refusal(f, made(f, [[0, 0, 0], [0.2, 0, 0]], arm_first=0.15, arm_second=0.1))
    assert "member bar has no length" in text and "arms" in text


# --- made wrongly


def parts(**changes):
    given = {"nodes": ("a", "b"), "members": (Member("bar", "a", "b"),), "supports": (Support("a", FIXED),)}
    return given | changes


@pytest.mark.parametrize(
    "changes, field, words",
    [
        ({"supports": ()}, "supports", "nothing holds the frame"),
        (
            {"nodes": ("a", "b", "c", "d"), "members": (Member("bar", "a", "b"), Member("stray", "c", "d"))},
            "member stray",
            "nothing holds stray, free in every way",
        ),
        ({"nodes": ("a", "b", "c")}, "node c", "a bar at every node"),
        ({"nodes": ("a", "a")}, "nodes", "name of its own"),
        ({"members": (Member("bar", "a", "b"), Member("bar", "b", "a"))}, "members", "name of its own"),
        ({"members": (Member("bar", "a", "x"),)}, "Member(bar)", "name of a node"),
        ({"members": (Member("bar", "a", "a"),)}, "Member(bar)", "no length"),
        ({"members": ()}, "members", "at least one bar"),
        ({"members": (Member("bar", "a", "b", free_first="roll"),)}, "Member(bar)", "words out of"),
        ({"members": (Member("bar", "a", "b", height_along="up"),)}, "height_along", "auto, x, y or z"),
        ({"supports": (Support("x", FIXED),)}, "Support", "name of a node"),
        ({"supports": (Support("a", "x y q"),)}, "Support(a)", "words out of"),
        ({"springs": (Spring("a", "x"),)}, "Spring(a)", "no support holds already"),
        ({"settlements": (Settlement("b", "z"),)}, "Settlement(b)", "a support holds"),
        ({"joints": (Joint("nobody", "first", "ry"),)}, "Joint", "name of a member"),
        ({"joints": (Joint("bar", "middle", "ry"),)}, "Joint(bar)", "first or second"),
        ({"joints": (Joint("bar", "first", "ry"), Joint("bar", "first", "ry"))}, "Joint(bar)", "not two"),
        ({"loads": (NodeLoad("x", "z"),)}, "NodeLoad", "name of a node"),
        ({"loads": (NodeLoad("b", "down"),)}, "way", "one of x y z"),
        ({"loads": (LineLoad("bar", "rx"),)}, "LineLoad(bar)", "x, y or z"),
        ({"loads": (PointLoad("bar", "z", "tilted"),)}, "axes", "global or local"),
        ({"masses": ("x",)}, "masses", "name of a node"),
    ],
)
def test_a_frame_made_wrongly_is_refused_by_name(changes, field, words):
    with pytest.raises(InputError) as caught:
        Frame(**parts(**changes))
    assert field in caught.value.field and words in caught.value.need


GOOD = {"points": [[0, 0, 0], [1, 0, 0]], **SECTION}


@pytest.mark.parametrize(
    "change, field",
    [
        ({"A": 0.0}, "A of bar, design 0"),
        ({"Iy": -1.0}, "Iy of bar"),
        ({"E": np.nan}, "E of bar"),
        ({"J": np.inf}, "J of bar"),
        ({"points": [[0, 0, 0], [np.nan, 0, 0]]}, "points of b"),
        ({"points": [[0, 0, 0]] * 3}, "points"),
        ({"A": [[1e-4], [2e-4], [0.0]]}, "A of bar, design 2"),
        ({"A": np.ones((2, 1)), "E": np.ones((3, 1))}, "A"),
        ({"at": 1.5}, "at: person on bar, design 0"),
        ({"at": -0.1}, "at: person"),
        ({"at": np.nan}, "at: person"),
        ({"load": np.nan}, "load of person"),
        ({"A": "thick"}, "A"),
        ({"mass_per_length": -1.0}, "mass_per_length"),
        ({"A": np.ones((2, 2, 1))}, "A"),
    ],
)
def test_sizes_that_cannot_be_used_are_named(change, field):
    f = Frame(**parts(loads=(PointLoad("bar", "z", name="person"),)))
    given = {**GOOD, "load": -1.0, "at": 0.5}
    f.sizes(**given)
    with pytest.raises(InputError) as caught:
        f.sizes(**(given | change))
    assert caught.value.field.startswith(field)


def test_line_loads_off_the_bar_and_missing_stiffnesses():
    f = Frame(**parts(loads=(LineLoad("bar", "z"),)))
    for at, to in ((0.5, 0.4), (0.2, 1.2), (0.3, 0.3)):
        with pytest.raises(InputError, match="a place on the bar"):
            f.sizes(**GOOD, load=1.0, at=at, to=to)
    with pytest.raises(InputError, match="stiffness for every joint"):
        Frame(**parts(joints=(Joint("bar", "first", "ry"),))).sizes(**GOOD)
    with pytest.raises(InputError, match="every support spring"):
        Frame(**parts(springs=(Spring("b", "x"),))).sizes(**GOOD)


def test_a_place_off_the_bar_and_words_of_results():
    f = bar(FIXED, loads=(NodeLoad("b", "z"),))
    b = solve(f, made(f, [[0, 0, 0], [1, 0, 0]])).member("bar")
    for bad in (lambda: b.at(1.2), lambda: b.largest("stress"), lambda: b.largest("My", "most of all")):
        with pytest.raises(InputError):
            bad()


def test_a_refused_design_gives_nan_along_its_bars_too():
    f, s = portal_of([Support("a", "y z rx rz"), Support("d", "y z rx rz")])
    b = solve(f, s).member("bc")
    assert (
        np.isnan(b.at(0.5).My).all() and np.isnan(b.largest("My")[0]).all() and np.isnan(b.shape(0.5)).all()
    )
