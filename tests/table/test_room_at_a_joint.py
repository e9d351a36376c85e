"""Is there room where a branch lands: other branches on the same face, the bar that the host ends on, the end of the host."""

from functools import cache

import numpy as np
import pytest
from table.bases_for_tests import JOBS, ROUND_JOBS, WELD, portal

from shopcalc.check import ASK, OVER, WITHIN, envelope
from shopcalc.making.cards import cards
from shopcalc.table.frame_cases import frame_cases
from shopcalc.table.frame_solve import solve_strength
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.joint_checks import weld_checks
from shopcalc.table.joint_try import triable, tried
from shopcalc.table.landings import landings_of, no_room, short_by
from shopcalc.table.loads import load_cases
from shopcalc.table.weld_laid import CORNERS_OFF, TAKEN_OFF, Laid, unknown
from shopcalc.units import Q, magnitude

IN = 0.0254


def with_bars(points: str, bars: str, stock: str = "") -> str:
    """The portal with more points and bars; bars go before the last one."""
    text = portal().replace("[base.bars]", points + "\n[base.bars]").replace("right = {", bars + "\nright = {")
    return text.replace("\n[top]", "\n" + stock + "[top]", 1)


def answered(text):
    """Checks of all joints under the first case of use."""
    job = read_job(text)
    g = build(job)
    cases = [c for c in frame_cases(g, load_cases(job.overrides)) if c.case.kind == "use"][:1]
    return job, g, {c.id: c for c in envelope(weld_checks(job, g, list(solve_strength(job, g, cases))))}


def of(text, name):
    g = build(read_job(text))
    return g, next(at for at in landings_of(g, g.joints) if at.name == name)


# --- welds ---------------------------------------------------------------------------------------

BRACES = with_bars('E = ["0 in", "-12 in", "29 in"]\nF = ["-30 in", "-12 in", "4 in"]\nG = ["30 in", "-12 in", "4 in"]',
                   'k1 = { stock = "post", first = "F", second = "E" }\nk2 = { stock = "post", first = "G", second = "E" }')


def test_two_braces_to_one_point_of_a_rail_run_into_each_other():
    """Both stand on the same face at the same place: neither can be welded all round."""
    g, at = of(BRACES, "k1 to front")
    assert "k2" in no_room(g, at, IN / 8)
    g, other = of(BRACES, "front to leg1")  # left stands on another face of the leg
    assert no_room(g, other, IN / 8) == ""


@pytest.mark.parametrize(("apart", "fits"), [("2 in", False), ("2.1 in", False), ("2.2 in", True)])
def test_a_fillet_needs_its_leg_between_two_branches(apart, fits):
    """Posts of 2 in; a fillet of 1/8 in: 1/8 in between their sides at least."""
    text = with_bars(f'E = ["0 in", "-12 in", "29 in"]\nF = ["{apart}", "-12 in", "29 in"]\ne = ["0 in", "-12 in", "10 in"]\nf = ["{apart}", "-12 in", "10 in"]',
                     'k1 = { stock = "post", first = "e", second = "E" }\nk2 = { stock = "post", first = "f", second = "F" }')
    g, at = of(text, "k1 to front")
    assert (no_room(g, at, IN / 8) == "") is fits


@pytest.mark.parametrize(("x", "fits"), [("-28.5 in", False), ("-27.95 in", False), ("-27.8 in", True)])
def test_a_branch_against_the_bar_that_its_host_ends_on(x, fits):
    """The leg is 2 in and stands at x = -30 in, the branch is 2 in: 2 in between their axes and 1/8 in for the fillet."""
    text = with_bars(f'E = ["{x}", "-12 in", "29 in"]\ne = ["{x}", "-12 in", "10 in"]', 'k1 = { stock = "post", first = "e", second = "E" }')
    g, at = of(text, "k1 to front")
    found = no_room(g, at, IN / 8)
    assert (found == "") is fits and (fits or "leg1" in found)


def test_joints_without_room_go_to_an_engineer():
    _, _, found = answered(BRACES)
    assert found["joint.bar to bar/weld"].verdict == ASK


@pytest.mark.parametrize("name", sorted(JOBS))
def test_the_bases_of_the_kit_have_room(name):
    g = build(read_job(JOBS[name]))
    assert [no_room(g, at, IN / 8) for at in landings_of(g, g.joints) if no_room(g, at, IN / 8)] == []


def test_a_branch_wider_than_its_host_has_no_sides_to_fill():
    """3 in on a face 2 in wide: its two sides hang in the air whatever the job says of corners."""
    text = with_bars('E = ["-30 in", "0 in", "29 in"]\ne = ["-30 in", "0 in", "10 in"]', 'k1 = { stock = "bar", first = "e", second = "E" }')
    text = text.replace(WELD.format(), WELD.format().replace(" }", ", flare_sides = true }"))
    job = read_job(text)
    g, at = of(text, "k1 to left")
    assert at.sizes[0] == pytest.approx(3 * IN)
    made = Laid.of(job, g, job.joint("bar to bar"), at)
    assert not made.flare and CORNERS_OFF in made.off and made.across < 2 * IN


@pytest.mark.parametrize(("post", "taken"), [("2 in", True), ("2-1/2 in", False)])
def test_two_bars_as_wide_as_their_host_leave_no_corner_to_weld(post, taken):
    """Rails 2 in wide on two faces of a leg: on one of 2 in their sides meet at its inner corner, on one of 2-1/2 in there is
    1/4 in of corner beside each, room for a fillet of 1/8 in. What is left on the first: the outer side and the lower run."""
    text = JOBS["four legs"].replace("square tube 2 in x 3/16 in", f"square tube {post} x 3/16 in")
    job = read_job(text.replace(WELD.format(), WELD.format().replace(" }", ", flare_sides = true }")))
    g, at = of(text, "rail.front to leg.left.front")
    made = Laid.of(job, g, job.joint("rail to leg"), at)
    assert (TAKEN_OFF in made.off) is taken and made.carries
    x = made.group.lines[0, ..., 0]
    uprights = x[:, 0][x[:, 0] == x[:, 1]]
    assert len(uprights) == (1 if taken else 2)
    if taken:  # the table's inside lies at +y of this rail
        inside = float(at.axes[0] @ [0, 1, 0])
        assert uprights[0] * inside == pytest.approx(-IN)
        assert float(made.group.length[0]) == pytest.approx(3 * IN + made.works)


@pytest.mark.parametrize(("name", "kind", "degrees"), [("A posts", "stretcher to post", 14.6), ("X posts", "stretcher to post", 41.0),
                                                       ("splayed legs", "rail to leg", 4.2), ("X posts", "post to foot", 0.0)])
def test_a_branch_that_stands_turned_on_the_face(name, kind, degrees):
    """Level stretchers on posts that lean 6 in (and 20 in) on 23 in are turned by that angle about their own axis: a square of
    2 in turned by 41 degrees is 2 (cos + sin) = 2.8 in wide, on a face of 2 in. Legs splayed 2 in on 27 in: 4.2 degrees."""
    g = build(read_job(JOBS[name]))
    at = next(at for at in landings_of(g, g.joints) if at.joint.kind == kind)
    assert at.turned == pytest.approx(degrees, abs=0.1)
    assert ("turned" in unknown(at)) is (degrees > 10)


def test_the_least_leg_is_that_of_every_joint_of_a_kind():
    """Table J2.4: 1/8 in up to 1/4 in of wall, 3/16 in over it. Only one joint has 3/8 in on both sides, and it is hardly
    loaded."""
    text = with_bars('E = ["0 in", "-12 in", "20 in"]\ne = ["0 in", "12 in", "20 in"]\nH = ["0 in", "0 in", "20 in"]\nh = ["14 in", "0 in", "20 in"]'
                     '\nP = ["-30 in", "-12 in", "20 in"]\nQ = ["30 in", "-12 in", "20 in"]\nR = ["-30 in", "12 in", "20 in"]\nS = ["30 in", "12 in", "20 in"]',
                     'pq = { stock = "post", first = "P", second = "Q" }\nrs = { stock = "post", first = "R", second = "S" }\n'
                     'ee = { stock = "heavy", first = "E", second = "e" }\nhh = { stock = "heavy", first = "h", second = "H" }',
                     'heavy = "square tube 4 in x 0.375 in, A500 C"\n')
    _, _, found = answered(text)
    least = found["joint.bar to bar/least leg"]
    assert least.verdict == OVER and float(magnitude(least.demand, "inch")) == pytest.approx(3 / 16) and "hh" in least.detail


# --- bolts ---------------------------------------------------------------------------------------

PLATED = '{ bolts = 2, size = "3/8 in", grade = "grade 5", plate = "3/8 in", sleeve = true }'


@cache
def bolted(name, kind, made=PLATED):
    key = kind.replace(" ", "_")
    text = JOBS[name].replace(f"{key} = {WELD.format()}", f"{key} = {made}")
    assert made in text
    job, g, found = answered(text)
    return {i.removeprefix(f"joint.{kind}/"): c for i, c in found.items() if i.startswith(f"joint.{kind}/")}


def test_a_bolt_over_the_top_of_a_leg_holds_nothing():
    """Rails flush with the heads of the legs: two bolts clear of the rail are 3 in + 4 x 3/8 in apart, so the upper one
    stands 3/4 in over the leg."""
    end = bolted("four legs", "rail to leg")["end"]
    assert end.verdict == OVER and "3/4 in past" in end.detail


def test_the_bench_says_so_too():
    job = read_job(JOBS["four legs"])
    g = build(job)
    host = g.host(triable(job, g)["rail to leg"]).tube
    sizes = {"host": host, "leg": Q(0.125, "inch"), "moment": Q(50, "lbf*ft"), "made": "2 bolts of 3/8 in"}
    found = tried(job, g, triable(job, g)["rail to leg"], **sizes)
    i = found.names.index("end of the tube")
    assert found.verdicts[i] == OVER and "3/4 in past" in found.words[i]


def test_bolts_need_steel_to_the_end_of_the_tube():
    """One and a half bolts of 3/8 in (table J3.4 begins at 1/2 in). Stretchers of 2 in, 7 in over the floor on legs that begin at 1 in: the
    lower bolt is 6 - 1 - 3/4 in off the foot."""
    end = bolted("four legs H", "stretcher to leg")["end"]
    assert end.verdict == WITHIN
    assert float(magnitude(end.demand, "inch")) == pytest.approx(9 / 16) and float(magnitude(end.limit, "inch")) == pytest.approx(4.25, abs=0.01)


# --- hosts that are drawn short ----------------------------------------------------------------------


@pytest.mark.parametrize(("name", "kind", "inches"), [("podiums", "bar to post", 1), ("pedestal", "foot arm to column", 1),
                                                      ("four legs", "rail to leg", 0), ("splayed legs", "rail to leg", 0)])
def test_a_host_that_is_drawn_to_the_middle_of_a_branch_is_cut_longer(name, kind, inches):
    """Posts of a podium and a column end at the axis of bars 2 in high: 1 in short of their far side. Legs reach the top."""
    g = build(read_job(JOBS[name]))
    (short,) = {round(short_by(g, at) / IN, 6) for at in landings_of(g, [j for j in g.joints if j.kind == kind])}
    assert short == pytest.approx(inches)


def test_four_arms_on_a_round_column_begin_on_it():
    """They stand between the axes of the table: the wall is half a diameter away whichever way one looks."""
    g = build(read_job(ROUND_JOBS["round column, round arms"]))
    arms = [at for at in landings_of(g, g.joints) if at.host.name == "column"]
    assert len(arms) == 8
    for at in arms:
        assert float(np.hypot(*(at.branch.second if at.joint.end else at.branch.first)[:2])) == pytest.approx(2 * IN)


def test_check_and_card_say_how_much_longer():
    capped = WELD.format().replace(" }", ', flare_sides = true, ends = "capped" }')
    job, g, found = answered(JOBS["podiums"].replace(f"bar_to_post = {WELD.format()}", f"bar_to_post = {capped}"))
    where = [w for card in cards(job, g, ()) if card.kind == "bar to post" for what, w in card.rows if what.startswith("where")]
    assert where and all("1 in longer" in w for w in where)
    assert any("podium.left.post.outer.front" in c and "cut it 1 in longer" in c for c in found["joint.bar to post/weld"].cautions)


# --- cards ---------------------------------------------------------------------------------------


def test_joints_that_are_laid_in_another_way_have_rows_of_their_own():
    """The two ends of one bar: k1 stands at the open head of one upright and halfway up another."""
    text = with_bars('E = ["30 in", "-12 in", "15 in"]\nT = ["0 in", "-12 in", "15 in"]\nt = ["0 in", "-12 in", "0 in"]',
                     'mid = { stock = "post", first = "t", second = "T" }\nk1 = { stock = "post", first = "T", second = "E" }')
    text = text.replace(WELD.format(), WELD.format().replace(" }", ", flare_sides = true }"))
    job = read_job(text)
    card = cards(job, build(job), ())[0]
    numbers = {name: number for number, name, _ in card.places}

    def laid(name):
        (words,) = (w for what, w in card.rows if what.startswith("weld to lay of ") and numbers[name] in what[15:].split(", "))
        return words

    assert "open end" in laid("k1 to mid") and "open end" not in laid("k1 to leg2")
