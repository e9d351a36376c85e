"""Solving the frame of a table: every load case in the states that can be the worst, held as it is held.

Strength: second order under 1.6 times the load, results divided by 1.6, stiffness 0.8 and level notional forces of 0.002
of the weight (AISC 360-22 C2.1, C2.2b, C2.3; allowable strength design), so members take K = 1. Sag, sway and
frequency: service loads, full stiffness.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from shopcalc.mechanics.frames import Answer, solve
from shopcalc.mechanics.statics import GRAVITY
from shopcalc.table.frame import TableFrame, table_frame, with_cases
from shopcalc.table.frame_cases import NOTIONAL, STANDING, FrameCase
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job

ASD_FACTOR = 1.6
LIFTS = 1e-6  # N: a foot that pulls by more than this has left the floor
STIFFNESS_REDUCED = 0.8
# A caught foot is dragged to this part of the pull that lifts it; tried so often (other feet may lift on the way).
NEARLY, MOST_EASED = 0.95, 3
EASED = ", as hard as that foot holds"

# Top, joints and feet together, as they are looked at: soft joints hand their moment on to others, and sway more under
# load, so neither bound is the safe one. A top that only lies there cannot be carried or turned.
STRENGTH_STATES = (("sliding", "rigid", "gripping"), ("dead weight", "rigid", "gliding"), ("clamped", "rigid", "gripping"),
                   ("sliding", "soft", "gripping"), ("dead weight", "soft", "gliding"))
CARRIED = ("sliding", "clamped")
SWAY_STATES = (("sliding", "rigid", "gripping"), ("sliding", "soft", "gripping"), ("dead weight", "soft", "gripping"))


@dataclass(frozen=True)
class Solved:
    """Answers of one state for cases held alike, one design a case. factor: what the forces have to be divided by;
    lifted: feet that have left the floor."""

    table: TableFrame
    cases: tuple[FrameCase, ...]
    answer: Answer
    factor: float
    lifted: frozenset[int] = frozenset()

    @property
    def words(self) -> str:
        t = self.table
        top = {"dead weight": "top as dead weight", "sliding": "top on sliding fixings", "clamped": "top clamped to the base"}[t.state]
        return f"{top}, {t.joints} joints, feet {t.feet}"


def mirrored(g: Geometry) -> tuple[bool, bool]:
    """Whether the base is its own mirror image along and across the table."""
    def places(flip):
        rows = [(m.stock, *sorted([_round(m.first, flip), _round(m.second, flip)])) for m in g.members.values()]
        rows += [("foot", _round(f.floor, flip)) for f in g.contacts] + [("seat", _round(s.place, flip)) for s in g.seats]
        return sorted(map(str, rows))

    plain = places((1, 1))
    return places((-1, 1)) == plain, places((1, -1)) == plain


def _round(point, flip) -> tuple:
    return (round(point[0] * flip[0], 6) + 0.0, round(point[1] * flip[1], 6) + 0.0, round(point[2], 6))


def feet_of(job: Job, feet: str) -> str:
    """Casters roll: what would grip does not."""
    return "gliding" if job.model.base.feet.kind == "casters" else feet


def strength_cases(g: Geometry, every: Sequence[FrameCase]) -> list[FrameCase]:
    """The cases whose forces are compared with strength, one of each mirror pair, notional forces added."""
    found = [c for c in every if c.case.kind in ("use", "handling", "proof")]
    weight = g.mass * GRAVITY
    return [_leaning(c, weight) for c in _one_of_each(g, found)]


def _one_of_each(g: Geometry, found: list[FrameCase]) -> list[FrameCase]:
    along, across = mirrored(g)
    seen, kept = set(), []
    seats = np.array([s.place for s in g.seats])
    for c in found:
        keys = []
        for fx in ((1, -1) if along else (1,)):
            for fy in ((1, -1) if across else (1,)):
                flip = np.array([fx, fy, 1.0])
                rows = np.round(np.concatenate([seats * flip, c.seats * flip], axis=1), 5) + 0.0
                keys.append((c.case.id, tuple(sorted(map(tuple, rows))), tuple(np.round(c.gravity * flip, 6) + 0.0), _held(g, c.held, fx, fy),
                             tuple(c.stretchers.values())))
        key = min(map(str, keys))
        if key not in seen:
            seen.add(key)
            kept.append(c)
    return kept


def _held(g: Geometry, held: str, fx: int, fy: int) -> str:
    how, _, what = held.partition(":")
    if how == "caught":
        x, y = g.foot_contacts[int(what)]
        return f"{how}:{x * fx:.5f},{y * fy:.5f}"
    swap = {"left": "right", "right": "left"} if fx < 0 else {}
    swap |= {"front": "back", "back": "front"} if fy < 0 else {}
    return f"{how}:{swap.get(what, what)}"


def _leaning(c: FrameCase, weight: float) -> FrameCase:
    """With the level notional forces, along the push if there is one, else along both axes at once."""
    level = c.seats[:, :2].sum(axis=0)
    way = level / np.linalg.norm(level) if np.linalg.norm(level) > 1.0 else np.array([1.0, 1.0]) / np.sqrt(2)
    if c.held.partition(":")[0] in ("end", "over"):
        return c
    load = weight - c.seats[:, 2].sum() + sum(c.stretchers.values())
    extra = np.zeros_like(c.seats)
    extra[:, :2] = NOTIONAL * load * way / len(c.seats)
    return replace(c, seats=c.seats + extra)


def solve_strength(job: Job, g: Geometry, every: Sequence[FrameCase]) -> Iterator[Solved]:
    """every: all cases of `frame_cases`. The critical factor is given where it is the least so far."""
    found = strength_cases(g, every)
    least = Least()
    for state, joints, feet in STRENGTH_STATES:
        table = table_frame(job, g, state=state, joints=joints, feet=feet_of(job, feet))
        for held in dict.fromkeys(c.held for c in found):
            mine = tuple(c for c in found if c.held == held and (c.case.kind != "handling" or state in CARRIED))
            if mine:
                yield from _with_feet_that_lift(table, mine, g, ASD_FACTOR, STIFFNESS_REDUCED, 1.0, least)


def solve_service(job: Job, g: Geometry, every: Sequence[FrameCase], ids: tuple[str, ...],
                  states=STRENGTH_STATES, sheet: bool = False) -> Iterator[Solved]:
    """Service loads and full stiffness, for sag and sway. sheet: as `table_frame` takes it."""
    found = tuple(_one_of_each(g, [c for c in every if c.case.id in ids]))
    for state, joints, feet in states:
        table = table_frame(job, g, state=state, joints=joints, feet=feet_of(job, feet), sheet=sheet)
        yield from _with_feet_that_lift(table, found, g, 1.0, 1.0, ASD_FACTOR)


@dataclass
class Least:
    """The least critical factor of the answers given so far: of the others it is only made sure that theirs is no less."""

    so_far: float | None = None

    def ask(self, table: TableFrame, frame, sizes, strength_factor: float) -> str | float:
        """What `solve` shall find of a batch: at first all factors below that of the case that presses most."""
        if self.so_far is not None:
            return self.so_far
        most = int(sizes.load.sum(axis=1).argmin())
        one = quick_solve(frame, sizes[most], "first", strength_factor, "value")
        pulls = any(one.reaction(n, "z")[0] < -LIFTS for n in table.foot_nodes)
        return "value" if pulls or not np.isfinite(one.critical[0]) else float(one.critical[0]) * (1 + 1e-9)

    def given(self, answer: Answer) -> None:
        known = answer.critical[np.isfinite(answer.critical)]
        if len(known):
            self.so_far = min(float(known.min()), self.so_far or np.inf)


def _with_feet_that_lift(table: TableFrame, cases: tuple[FrameCase, ...], g: Geometry, factor: float, stiffness: float,
                         strength_factor: float, least: Least | None = None) -> Iterator[Solved]:
    """Feet do not pull: a case in which one would is solved again without it, until none does. A case in which fewer
    than three are left goes over; that is the question of stability, and no member force is given for it. A caught foot
    that would lift is dragged as hard as it holds."""
    waiting: list[tuple[tuple[FrameCase, ...], frozenset[int], int]] = [(cases, frozenset(), 0)]
    while waiting:
        group, lifted, eased = waiting.pop()
        frame, sizes = with_cases(table, group, g, factor=factor, stiffness=stiffness, lifted=lifted)
        asked = "guard" if least is None else least.ask(table, frame, sizes, strength_factor)
        answer = quick_solve(frame, sizes, "second", strength_factor, asked)
        if group[0].held.partition(":")[0] not in (STANDING, "air", "caught", "gliding"):
            if least is not None:
                least.given(answer)
            yield Solved(table, group, answer, factor, lifted)
            continue
        lifts = np.stack([answer.reaction(n, "z") for n in table.foot_nodes], axis=1) < -LIFTS
        again: dict[frozenset[int], list[int]] = {}
        for i, row in enumerate(lifts):
            again.setdefault(lifted | frozenset(np.nonzero(row)[0].tolist()), []).append(i)
        for feet, rows in again.items():
            part = tuple(group[i] for i in rows)
            if feet == lifted:
                few = answer_of(answer, rows)
                if least is not None:
                    least.given(few)
                yield Solved(table, part, few, factor, lifted)
            elif _stands(g, group[0].held, feet):
                waiting.append((part, feet, eased))
            elif group[0].held.startswith("caught") and eased < MOST_EASED:
                easier = _eased(table, part, answer_of(answer, rows), g, lifted)
                if easier:
                    waiting.append((easier, lifted, eased + 1))


def _eased(table: TableFrame, cases: tuple[FrameCase, ...], answer: Answer, g: Geometry, lifted: frozenset[int]) -> tuple[FrameCase, ...]:
    """Cases with a caught foot that lifts, pulled only so hard that it nearly does: by the straight line from its load
    without the pull. Cases in which it would not even stay down by itself are left out."""
    still = tuple(replace(c, seats=c.seats * [0.0, 0.0, 1.0]) for c in cases)
    frame, sizes = with_cases(table, still, g, factor=ASD_FACTOR, stiffness=STIFFNESS_REDUCED, lifted=lifted)
    foot = table.foot_nodes[int(cases[0].held.partition(":")[2])]
    down = quick_solve(frame, sizes, "first", 1.0).reaction(foot, "z")
    left = answer.reaction(foot, "z")
    with np.errstate(divide="ignore", invalid="ignore"):
        part = NEARLY * down / (down - left)
    return tuple(replace(c, seats=c.seats * [p, p, 1.0], where=c.where.removesuffix(EASED) + EASED)
                 for c, p, load in zip(cases, part, down, strict=True) if load > LIFTS and 0 < p < 1)


def _stands(g: Geometry, held: str, lifted: frozenset[int]) -> bool:
    """Whether the feet that are left still hold a body: three that are not in one line."""
    how, _, what = held.partition(":")
    left = [i for i in range(len(g.feet)) if i not in lifted and not (how == "air" and i == int(what))]
    if len(left) < 3 or (how in ("caught", "gliding") and (0 if how == "gliding" else int(what)) in lifted):
        return False
    arm = g.foot_contacts[left] - g.foot_contacts[left].mean(axis=0)
    return bool(np.linalg.matrix_rank(arm, tol=1e-6) == 2)


def answer_of(answer: Answer, rows: list[int]) -> Answer:
    """The answers of some designs of a batch."""
    pick = np.asarray(rows)
    changed = {n: getattr(answer, n)[pick] for n in ("displacements", "end_forces", "reactions", "critical", "refused", "strength_refused")}
    line = replace(answer.line, **{n: v[pick] for n, v in vars(answer.line).items() if v is not None})
    return replace(answer, sizes=answer.sizes[pick], reason=tuple(answer.reason[i] for i in rows), system=answer.system.take(pick), line=line,
                   **changed)


def quick_solve(frame, sizes, order: str, strength_factor: float, critical: str | float = "guard") -> Answer:
    """`solve`, with no more of the critical factor than is asked."""
    return solve(frame, sizes, order=order, strength_factor=strength_factor, critical=critical)
