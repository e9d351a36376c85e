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
from shopcalc.table.frame import TableFrame, holds_of, sizes_of, table_frame, with_cases
from shopcalc.table.frame_cases import NOTIONAL, STANDING, FrameCase
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job

ASD_FACTOR = 1.6
LIFTS = 1e-6  # N: a foot that pulls by more than this has left the floor
STIFFNESS_REDUCED = 0.8
# Ways of being held in which a foot may leave the floor.
ON_FEET = (STANDING, "air", "caught", "gliding")
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
    """Answers of one state for cases with the same feet off the floor (lifted), one design a case. factor: what the forces
    have to be divided by. A way of being held in which a case is refused stands alone."""

    table: TableFrame
    cases: tuple[FrameCase, ...]
    answer: Answer
    factor: float
    lifted: frozenset[int] = frozenset()

    @property
    def end_forces(self) -> np.ndarray:
        """(cases, members, 12), times the factor."""
        return self.answer.end_forces

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
    """The first of cases that are one another's mirror image, as far as the base is its own."""
    if not found:
        return []
    along, across = mirrored(g)
    places, forces = np.array([s.place for s in g.seats]), np.stack([c.seats for c in found])
    keys: list[list[tuple]] = [[] for _ in found]
    for fx in (1, -1) if along else (1,):
        for fy in (1, -1) if across else (1,):
            flip = np.array([fx, fy, 1.0])
            rows = np.concatenate([np.broadcast_to(places * flip, forces.shape), forces * flip], axis=2).round(5) + 0.0
            order = np.lexsort(np.moveaxis(rows, 2, 0))
            seats = np.take_along_axis(rows, order[..., None], axis=1)
            for c, key, seat in zip(found, keys, seats, strict=True):
                key.append((seat.tobytes(), ((c.gravity * flip).round(6) + 0.0).tobytes(), _held(g, c.held, fx, fy)))
    seen: dict[tuple, FrameCase] = {}
    for c, key in zip(found, keys, strict=True):
        seen.setdefault((c.case.id, *min(key), *c.stretchers.values()), c)
    return list(seen.values())


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
        mine = tuple(c for c in found if c.case.kind != "handling" or state in CARRIED)
        yield from _with_feet_that_lift(table, mine, g, ASD_FACTOR, STIFFNESS_REDUCED, 1.0, least)


def solve_service(job: Job, g: Geometry, every: Sequence[FrameCase], ids: tuple[str, ...],
                  states=STRENGTH_STATES, sheet: bool = False) -> Iterator[Solved]:
    """Service loads and full stiffness, for sag and sway. sheet: as `table_frame` takes it."""
    found = tuple(_one_of_each(g, [c for c in every if c.case.id in ids]))
    for state, joints, feet in states:
        table = table_frame(job, g, state=state, joints=joints, feet=feet_of(job, feet), sheet=sheet)
        yield from _with_feet_that_lift(table, found, g, 1.0, 1.0, ASD_FACTOR)


@dataclass(frozen=True)
class _Asked:
    """A case to be solved with some feet off the floor; eased: how often a caught foot's pull was made less."""

    case: FrameCase
    lifted: frozenset[int] = frozenset()
    eased: int = 0

    @property
    def way(self) -> tuple[str, frozenset[int]]:
        """How it is held."""
        return self.case.held, self.lifted


@dataclass
class Least:
    """The least critical factor of the answers given so far: of the others it is only made sure that theirs is no less."""

    so_far: float | None = None

    def ask(self, table: TableFrame, sizes, holds: np.ndarray, strength_factor: float) -> tuple[str | float, dict[int, float]]:
        """What `solve` shall find of a batch, and the factors that are known by then, by row: at first all factors below that
        of the case that presses most, which is asked alone."""
        if self.so_far is not None:
            return self.so_far, {}
        most = int(sizes.load.sum(axis=1).argmin())
        one = quick_solve(table.frame, sizes[[most]], "first", strength_factor, "value", holds[[most]])
        pulls = any(one.reaction(n, "z")[0] < -LIFTS for n in table.foot_nodes)
        least = float(one.critical[0])
        return ("value", {}) if pulls or not np.isfinite(least) else (least * (1 - 1e-9), {most: least})

    def given(self, answer: Answer) -> None:
        known = answer.critical[np.isfinite(answer.critical)]
        if len(known):
            self.so_far = min(float(known.min()), self.so_far or np.inf)


def _with_feet_that_lift(table: TableFrame, cases: tuple[FrameCase, ...], g: Geometry, factor: float, stiffness: float,
                         strength_factor: float, least: Least | None = None) -> Iterator[Solved]:
    """All cases of a state in one batch, however they are held. Feet do not pull: cases in which one would are solved again
    without it, until none does. A case in which fewer than three are left goes over; that is the question of stability, and
    no member force is given for it. A caught foot that would lift is dragged as hard as it holds."""
    waiting = [_Asked(c) for c in cases]
    while waiting:
        batch = [a.case for a in waiting]
        sizes, holds = sizes_of(table, batch, factor=factor, stiffness=stiffness), holds_of(table, g, [a.way for a in waiting])
        asked, known = ("guard", {}) if least is None else least.ask(table, sizes, holds, strength_factor)
        answer = quick_solve(table.frame, sizes, "second", strength_factor, asked, holds)
        answer.critical[list(known)] = list(known.values())
        lifts = np.stack([answer.reaction(n, "z") for n in table.foot_nodes], axis=1) < -LIFTS
        done, again = [], []
        for (held, lifted), rows in _alike([a.way for a in waiting]).items():
            feet = [lifted | frozenset(np.nonzero(lifts[i])[0].tolist() if held.partition(":")[0] in ON_FEET else ()) for i in rows]
            for up, some in _alike(feet).items():
                mine = [rows[k] for k in some]
                if up == lifted:
                    done.append(mine)
                elif _stands(g, held, up):
                    again += [replace(waiting[i], lifted=up) for i in mine]
                elif held.startswith("caught"):
                    again += _eased(table, [waiting[i] for i in mine], answer_of(answer, mine), g)
        for mine in _joined(done, [waiting[mine[0]].lifted for mine in done], answer.strength_refused):
            few = answer_of(answer, mine)
            if least is not None:
                least.given(few)
            yield Solved(table, tuple(batch[i] for i in mine), few, factor, waiting[mine[0]].lifted)
        waiting = again


def _joined(groups: list[list[int]], lifted: list[frozenset[int]], refused: np.ndarray) -> list[list[int]]:
    """Rows of groups (cases held alike) with the same feet off the floor, one after the other; a group in which a case is
    refused stays alone."""
    keys = [(up, k if refused[mine].any() else -1) for k, (mine, up) in enumerate(zip(groups, lifted, strict=True))]
    return [[i for k in some for i in groups[k]] for some in _alike(keys).values()]


def _alike(things: Sequence) -> dict:
    """Thing -> where it stands in the list."""
    found: dict = {}
    for i, thing in enumerate(things):
        found.setdefault(thing, []).append(i)
    return found


def _eased(table: TableFrame, asked: list[_Asked], answer: Answer, g: Geometry) -> list[_Asked]:
    """Cases with a caught foot that lifts, all held alike, pulled only so hard that it nearly does: by the straight line
    from its load without the pull. Cases in which it would not even stay down by itself are left out."""
    held, lifted = asked[0].way
    tried = [a for a in asked if a.eased < MOST_EASED]
    if not tried:
        return []
    still = [replace(a.case, seats=a.case.seats * [0.0, 0.0, 1.0]) for a in tried]
    frame, sizes = with_cases(table, still, g, factor=ASD_FACTOR, stiffness=STIFFNESS_REDUCED, lifted=lifted)
    foot = table.foot_nodes[int(held.partition(":")[2])]
    down = quick_solve(frame, sizes, "first", 1.0).reaction(foot, "z")
    left = answer.reaction(foot, "z")[[a.eased < MOST_EASED for a in asked]]
    with np.errstate(divide="ignore", invalid="ignore"):
        part = NEARLY * down / (down - left)
    return [replace(a, eased=a.eased + 1, case=replace(a.case, seats=a.case.seats * [p, p, 1.0], where=a.case.where.removesuffix(EASED) + EASED))
            for a, p, load in zip(tried, part, down, strict=True) if load > LIFTS and 0 < p < 1]


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


def quick_solve(frame, sizes, order: str, strength_factor: float, critical: str | float = "guard", holds: np.ndarray | None = None) -> Answer:
    """`solve`, with no more of the critical factor than is asked."""
    return solve(frame, sizes, order=order, strength_factor=strength_factor, critical=critical, holds=holds)
