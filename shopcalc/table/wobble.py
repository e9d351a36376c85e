"""How a table sways under the push that shows its wobble: from rigid to soft joints, what moves it most, and how the
base looks while it does. The answers are those of the checks; this keeps the frames they came from."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from shopcalc.errors import InputError
from shopcalc.mechanics.beams import Beam, Point
from shopcalc.table.frame import table_frame, with_cases
from shopcalc.table.frame_cases import FrameCase, frame_cases
from shopcalc.table.frame_checks import demand_of, families, plate_movement, play_of, sway_of
from shopcalc.table.frame_solve import (
    ASD_FACTOR,
    SWAY_STATES,
    Solved,
    answer_of,
    quick_solve,
    solve_service,
)
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.loads import LoadCase
from shopcalc.units import Quantity

WOBBLE = "push-for-wobble"
WAYS = {"along": "along the table", "across": "across the table", "twist": "in twist"}
STIFFER = 1.1
FACES = "tube faces at the joints"


@dataclass(frozen=True)
class Sway:
    """One way of swaying. least, most: the states with the smallest and the largest sway of the top's edge, in most with the
    full play of bolts."""

    way: str
    least: Quantity
    most: Quantity
    least_state: Solved
    most_state: Solved

    @property
    def case(self) -> FrameCase:
        return self.most_state.cases[0]


@dataclass(frozen=True)
class Shape:
    """A base before and after its load, metres. bars: name -> (points (k, 3), where they move to (k, 3)); top: the
    same for the outline (k, 3) of the underside; push (2,): level force of the load on the table, N."""

    bars: dict[str, tuple[np.ndarray, np.ndarray]]
    top: tuple[np.ndarray, np.ndarray]
    push: np.ndarray

    @property
    def largest(self) -> float:
        return max(float(np.linalg.norm(to - at, axis=1).max()) for at, to in (*self.bars.values(), self.top))


def sways(job: Job, g: Geometry, cases: dict[str, LoadCase]) -> dict[str, Sway]:
    """Word of the way ("along", "across", "twist") -> its sway. A way that the frame refuses is left out: the checks
    say why."""
    every = list(frame_cases(g, {WOBBLE: cases[WOBBLE]}))
    corners = np.array([[sx * g.top.length / 2, sy * g.top.width / 2] for sx in (1, -1) for sy in (1, -1)])
    found: dict[str, list[tuple[float, Solved]]] = {}
    refused = set()
    for s in solve_service(job, g, every, (WOBBLE,), SWAY_STATES):
        for k, case in enumerate(s.cases):
            if s.answer.refused[k]:
                refused.add(case.where)
                continue
            one = replace(s, cases=(case,), answer=answer_of(s.answer, [k]))
            found.setdefault(case.where, []).append((sway_of(s, g, k, corners), one))
    out = {}
    for way, where in WAYS.items():
        if where in found and where not in refused:
            least, most = (pick(found[where], key=lambda row: row[0]) for pick in (min, max))
            slips = max(play_of(one, 0) for _, one in found[where])
            out[way] = Sway(way, Quantity(least[0], "m"), Quantity(most[0] + slips, "m"), least[1], most[1])
    return out


def moves_it_most(job: Job, g: Geometry, sway: Sway) -> dict[str, float]:
    """By what part the soft sway shrinks when one thing alone is made a tenth stiffer, largest first: each family of
    bars, and the springs of the tube faces."""
    t = table_frame(job, g, state=sway.most_state.table.state, joints=sway.most_state.table.joints, feet=sway.most_state.table.feet)
    things = [*families(g), FACES]
    frame, sizes = with_cases(t, (sway.case,) * (len(things) + 1), g, lifted=sway.most_state.lifted)
    E, G, springs = sizes.E.copy(), sizes.G.copy(), sizes.joint_stiffness.copy()
    for row, bars in enumerate(families(g).values(), start=1):
        for bar in bars:
            numbers = [frame.member_number[name] for name, _ in t.runs[bar.name]]
            E[row, numbers] *= STIFFER
            G[row, numbers] *= STIFFER
    springs[-1] *= STIFFER
    answer = quick_solve(frame, sizes.replaced(E=E, G=G, joint_stiffness=springs), "second", ASD_FACTOR)
    corners = np.array([[sx * g.top.length / 2, sy * g.top.width / 2] for sx in (1, -1) for sy in (1, -1)])
    solved = replace(sway.most_state, table=t, cases=(sway.case,) * len(answer), answer=answer)
    size = np.array([sway_of(solved, g, k, corners) for k in range(len(answer))])
    less = {thing: float(1 - s / size[0]) for thing, s in zip(things, size[1:], strict=True)}
    return dict(sorted(less.items(), key=lambda row: -row[1]))


def shape_of(solved: Solved, g: Geometry, row: int = 0, stations: int = 9) -> Shape:
    """The base and the top's outline as one solved case moves them."""
    if solved.factor != 1.0:
        raise InputError(field="shape_of: solved", value=f"loads times {solved.factor:g}", need="a case under service loads",
                         example="sways(job, geometry, cases)['along'].most_state")
    bars = {}
    for name in g.members:
        at, to = [], []
        for run, _ in solved.table.runs[name]:
            bar = solved.answer.member(run)
            x = np.linspace(0, bar.L[row], stations)
            m = solved.answer.frame.members[solved.answer.frame.member_number[run]]
            number = solved.answer.frame.node_number[m.first]
            begin = solved.answer.sizes.points[row, number] + solved.answer.sizes.arm_first[row, solved.answer.frame.member_number[run]]
            points = begin + x[:, None] * bar.R[row][0]
            at.append(points)
            to.append(points + bar.shape(x)[row])
        bars[name] = (np.concatenate(at), np.concatenate(to))
    half = np.array([g.top.length, g.top.width]) / 2
    turn = np.linspace(0, 2 * np.pi, 61) if g.top.shape == "round" else np.array([-3, -1, 1, 3, 5]) * np.pi / 4
    edge = np.stack([np.cos(turn), np.sin(turn)], axis=1) * half * (1 if g.top.shape == "round" else np.sqrt(2))
    dx, dy, angle = plate_movement(solved, g, row)
    top = np.column_stack([edge, np.full(len(edge), g.top.underside)])
    moved = top + np.column_stack([dx - angle * edge[:, 1], dy + angle * edge[:, 0], np.zeros(len(edge))])
    return Shape(bars, (top, moved), solved.cases[row].seats[:, :2].sum(axis=0))


def moments_of(solved: Solved, g: Geometry, row: int = 0) -> dict[str, Quantity]:
    """Bar -> the larger of its largest moments about its two axes, in one solved case."""
    found = {}
    for name, bar in g.members.items():
        demand, shape = demand_of(solved, bar)
        both = np.maximum(demand.M_x, demand.M_y).reshape(shape)[row]
        found[name] = Quantity(float(both.max()), "N*m")
    return found


def posts_by_hand(job: Job, g: Geometry, push: Quantity, way: str) -> tuple[int, Beam] | None:
    """The uprights alone, sharing the push, ends held against turning. Each then bends like two cantilevers of half its
    length, tip to tip; returned are the number of uprights and one such cantilever, whose tip moves half the sway. None
    where the uprights are not plumb and alike, or taper, or no level bar that is joined to them runs that way."""
    posts = [m for m in g.members.values() if m.upright]
    alike = {(m.stock, round(m.length, 6)) for m in posts}
    if way not in ("along", "across"):
        return None
    axis = np.array([1.0, 0.0, 0.0]) if way == "along" else np.array([0.0, 1.0, 0.0])
    pairs = [(g.members[j.branch], g.members[j.host]) for j in g.joints]
    held = any(one.upright and not other.upright and abs(float(other.direction @ axis)) > 0.99
               for a, b in pairs for one, other in ((a, b), (b, a)))
    if len(posts) < 2 or len(alike) != 1 or not held or posts[0].tapers_to is not None or any(abs(m.direction[2]) < 0.9999 for m in posts):
        return None
    post = posts[0]
    inertia = post.design.Ix if abs(float(post.up @ axis)) > 0.7 else post.design.Iy
    half = Quantity(post.length / 2, "m")
    return len(posts), Beam(ends="cantilever", L=half, E=post.tube.steel.E, I=Quantity(float(inertia[0]), "m**4"),
                            loads=[Point(push / len(posts), half, name="share of the push")])
