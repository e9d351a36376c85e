"""The table before it is whole: each loose piece standing, each stage of assembly, the top on its edge, the top tilted up,
the whole table tilted up on its end. Rigid bodies on a level floor, wood 10 % light. SI.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shopcalc.errors import InputError
from shopcalc.mechanics.statics import GRAVITY, inside_by, lean_that_tips, outline
from shopcalc.table.geometry import Geometry, Piece, TopBody
from shopcalc.table.job import Job
from shopcalc.table.stability import LIGHT_WOOD


@dataclass(frozen=True)
class State:
    """Some pieces that stand together. pieces; mass (kg); centre (3,) m; feet: how many touch the floor

    stands  on three feet or more, with its centre of gravity between them;  lean: how far it may lean before it goes (rad)
    push    level push at its highest point that tips it (N), worst direction
    """

    words: str
    pieces: tuple[str, ...]
    mass: float
    centre: np.ndarray
    feet: int
    stands: bool
    lean: float
    push: float
    height: float


def state_of(g: Geometry, names: tuple[str, ...], words: str) -> State:
    """These pieces as they stand in the table, by themselves."""
    chosen = [p for p in g.pieces if p.name in names]
    masses = np.array([p.mass * (LIGHT_WOOD if p.name == "top" and not g.top.mass_weighed else 1.0) for p in chosen])
    centre = (masses[:, None] * np.array([p.centre for p in chosen])).sum(axis=0) / masses.sum()
    bars = [m for m in g.members.values() if m.piece in names]
    feet = np.array([f.floor[:2] for f in g.contacts if g.members[f.member].piece in names]).reshape(-1, 2)
    high = max([g.top.surface] if "top" in names else [max(m.first[2], m.second[2]) for m in bars])
    shape = _outline(feet)
    if shape is None:
        return State(words, names, float(masses.sum()), centre, len(feet), False, 0.0, 0.0, high)
    room = float(inside_by(shape, centre[:2])[0].min())
    lean, _ = lean_that_tips(shape, centre[:2], float(centre[2]))
    push = max(room, 0.0) * float(masses.sum()) * GRAVITY / high
    return State(words, names, float(masses.sum()), centre, len(feet), room > 0, lean, push, high)


def _outline(feet: np.ndarray):
    """None where the feet do not span an area: such a piece falls over."""
    if len(feet) < 3 or np.linalg.matrix_rank(feet - feet.mean(axis=0), tol=1e-6) < 2:
        return None
    return outline(feet)


def loose_pieces(g: Geometry) -> list[State]:
    """Each piece that has feet of its own, alone (a lone trestle, a podium); none where the base is one piece."""
    standing = [p.name for p in g.pieces if any(g.members[f.member].piece == p.name for f in g.contacts)]
    return [state_of(g, (name,), f"{name} alone") for name in standing]


def sequence_of(job: Job, g: Geometry) -> tuple[tuple[str, ...], ...]:
    """Pieces in the order they are put together; the default: the base from left to right as it joins, then the top."""
    given = job.model.assembly.sequence
    names = [p.name for p in g.pieces]
    if given is None:
        base = [n for n in names if n != "top"]
        return (*((n,) for n in sorted(base, key=lambda n: _along(g, n))), ("top",))
    steps = tuple(tuple(part.strip() for part in text.split("+")) for text in given)
    for step in steps:
        for name in step:
            if name not in names:
                raise InputError(field="assembly.sequence", value=name, need="pieces of this table: " + ", ".join(names),
                                 example=f'sequence = ["{names[-1]}", "top"]')
    said = [n for step in steps for n in step]
    lacking = [n for n in names if said.count(n) != 1]
    if lacking:
        raise InputError(field="assembly.sequence", value=lacking[0], need="every piece once: " + ", ".join(names),
                         example=f'"{lacking[0]}"')
    return steps


def _along(g: Geometry, name: str) -> float:
    piece: Piece = next(p for p in g.pieces if p.name == name)
    return round(piece.centre[0], 6)


def stages(job: Job, g: Geometry) -> list[State]:
    """The table after each step of its sequence."""
    found, there = [], ()
    for i, step in enumerate(sequence_of(job, g), 1):
        there = (*there, *step)
        found.append(state_of(g, there, f"stage {i}, with {' and '.join(step)}"))
    return found


def top_on_edge(g: Geometry) -> tuple[float, float]:
    """How far (rad) the top may lean when it stands on its long edge, and the push (N) at its upper edge that tips it."""
    _, off, z = g.top.middle
    room = min(z - g.top.underside, g.top.surface - z)  # from the centre of gravity to the nearer face
    lean = float(np.arctan2(room, g.top.width / 2 + abs(off)))
    return lean, (1.0 if g.top.mass_weighed else LIGHT_WOOD) * g.top.mass * GRAVITY * room / g.top.width


def tilting_up(g: Geometry) -> tuple[float, float]:
    """Force (N) at one long edge that starts a flat top up onto the other, and at one end that starts the whole table: half
    of the top (more where a heavy inlay lies near that edge), and the whole by its lever about the far feet. Heavy: wood
    10 % over the mean."""
    heavy = (1.0 if g.top.mass_weighed else 2 - LIGHT_WOOD) * g.top.mass
    whole = heavy + g.mass - g.top.mass
    feet = g.foot_contacts[:, 0]
    centre = sum(p.mass * p.centre[0] for p in g.pieces) / g.mass
    ends = [whole * GRAVITY * abs(centre - f) / abs(hand - f) for f, hand in ((feet.min(), g.top.length / 2), (feet.max(), -g.top.length / 2))]
    return heavy * GRAVITY * (0.5 + abs(g.top.middle[1]) / g.top.width), max(ends)


@dataclass(frozen=True)
class LooseTop:
    """A slab that only lies on its base: the load (N) at the worst place of its edge that tips it off its seats, and the
    level push (N) that slides it at the least friction."""

    tips: float
    place: np.ndarray
    slides: float


def rim_of(top: TopBody) -> np.ndarray:
    """(n, 2) places of the edge of the top: corners and middles of the sides, or round it."""
    a, b = top.length / 2, top.width / 2
    if top.shape == "round":
        turn = np.linspace(0, 2 * np.pi, 181)[:-1]
        return np.stack([a * np.cos(turn), b * np.sin(turn)], axis=1)
    return np.array([[sx * a, sy * b] for sx in (-1, 0, 1) for sy in (-1, 0, 1) if sx or sy])


def loose_top(g: Geometry, friction: float) -> LooseTop:
    from shopcalc.mechanics.statics import load_that_tips

    shape, edge = outline(np.array([s.place[:2] for s in g.seats])), rim_of(g.top)
    weight = g.top.mass * GRAVITY * (1.0 if g.top.mass_weighed else LIGHT_WOOD)
    loads, _ = load_that_tips(shape, weight, g.top.middle[:2], edge)
    i = int(loads.argmin())
    return LooseTop(float(loads[i]), edge[i], friction * weight)
