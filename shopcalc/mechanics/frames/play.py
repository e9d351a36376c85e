"""Free play of joints, such as bolts in clearance holes.

A joint with play p turns freely up to p either way from its middle; only then does it bear, with its
stiffness. Whatever state a joint is in, taken up one way, the other way, or floating, the frame is the frame
with tight joints in which this joint was made wrong by some angle between -p and +p. Two answers follow, both
linear:

    play_bounds    no answer of the frame can leave  tight answer -/+ sum of |effect of one radian| p.
                   Rigorous, and needs no history: how the play was taken up before does not matter.
    play_taken_up  the state reached when the load comes on with every joint in its middle and no friction: a
                   joint that carries moment is taken up the way the moment drives it, one that carries none
                   floats.

SI arrays, first axis = design.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from shopcalc.errors import InputError
from shopcalc.mechanics.contact import complementary
from shopcalc.mechanics.frames.dense import back_solve, factor
from shopcalc.mechanics.frames.model import Frame, Sizes
from shopcalc.mechanics.frames.solver import Answer, reacting, solve
from shopcalc.mechanics.frames.stiffness import System, system_of


@dataclass(frozen=True)
class Bounds:
    """Least and most that displacements (n, nodes, 6), end forces (n, members, 12) and reactions (n, nodes,
    6) can be; tight is the answer without play. nan where that is refused.
    """

    tight: Answer
    displacements: tuple[np.ndarray, np.ndarray]
    end_forces: tuple[np.ndarray, np.ndarray]
    reactions: tuple[np.ndarray, np.ndarray]


def play_bounds(frame: Frame, sizes: Sizes) -> Bounds:
    """Bounds on every answer for all ways in which the play of Sizes.joint_play can be taken up."""
    tight = solve(frame, sizes, order="first")
    reach = {"displacements": 0.0, "end_forces": 0.0, "reactions": 0.0}
    for j, effect in _effects(frame, sizes):
        size = sizes.joint_play[:, j, None, None]
        reach = {name: total + np.abs(effect[name]) * size for name, total in reach.items()}
    pairs = {name: (getattr(tight, name) - more, getattr(tight, name) + more) for name, more in reach.items()}
    return Bounds(tight, **pairs)


@dataclass(frozen=True)
class TakenUp:
    """misfit (n, joints): where each joint came to rest within its play; state (n, joints) -1, 0 (floating),
    +1; answer: the linear Answer with it. Give misfit to `solve` for second order.
    """

    misfit: np.ndarray
    state: np.ndarray
    answer: Answer


def play_taken_up(frame: Frame, sizes: Sizes) -> TakenUp:
    """The state with the load put on from the middle of every joint's play."""
    if not frame.joints:
        raise InputError(
            field="play_taken_up: joints",
            value=None,
            need="a joint with play",
            example='Joint("rail", "first", "ry")',
        )
    n, m = len(sizes), len(frame.joints)
    tight = solve(frame, sizes, order="first")
    places = frame.joint_places
    f0 = np.stack([tight.end_forces[:, member, way] for member, way in places], axis=1)
    G = np.zeros((n, m, m))
    for j, effect in _effects(frame, sizes, every=True):
        G[:, :, j] = np.stack([effect["end_forces"][:, member, way] for member, way in places], axis=1)
    play = sizes.joint_play
    moves = play > 0
    good = ~tight.refused
    # The joint gives way against the force on the bar's end. Here s = misfit + play >= 0, stopped at 2 play.
    A, b = np.zeros((n, 2 * m, 2 * m)), np.zeros((n, 2 * m))
    unit = np.sqrt(np.maximum(np.einsum("nii->ni", G), 1e-300))
    scaled = G / (unit[:, :, None] * unit[:, None, :])
    A[:, :m, :m], A[:, :m, m:], A[:, m:, :m] = scaled, np.eye(m), -np.eye(m)
    A[:, np.arange(m, 2 * m), np.arange(m, 2 * m)] = 0.0
    b[:, :m] = -(f0 - np.einsum("nij,nj->ni", G, play)) / unit
    b[:, m:] = -2 * play * unit
    b[~good] = 0.0
    found = complementary(A, b)
    misfit = np.where(moves, np.clip(found.r[:, :m] / unit - play, -play, play), 0.0)
    hair = 1e-9 * play
    state = np.where(moves & (misfit >= play - hair), 1, np.where(moves & (misfit <= -play + hair), -1, 0))
    return TakenUp(misfit, state, solve(frame, sizes, order="first", misfit=misfit))


def _effects(frame: Frame, sizes: Sizes, every: bool = False):
    """What one radian built into each joint does to the unloaded frame, joint by joint."""
    s = system_of(frame, sizes)
    s = replace(s, nodal=np.zeros_like(s.nodal), settled=np.zeros_like(s.settled), terms=_no_terms(s))
    t = s.tangent(None, loads=False)
    factors = s.assemble(t)
    factor(factors)
    n = len(sizes)
    for j in range(len(frame.joints)):
        if not every and not sizes.joint_play[:, j].any():
            continue
        misfit = np.zeros((n, len(frame.joints)))
        misfit[:, j] = 1.0
        motion = np.zeros_like(s.nodal)
        motion[:, s.plan.free] = back_solve(factors, s.load_vector(t, misfit)[:, s.plan.free])
        f, _ = s.bar_forces(motion, t, misfit)
        held = s.on_nodes(f, None, motion) * reacting(s)
        yield (
            j,
            {"displacements": motion.reshape(n, -1, 6), "end_forces": f, "reactions": held.reshape(n, -1, 6)},
        )


def _no_terms(s: System):
    t = s.terms
    return replace(t, member=t.member[:0], order=t.order[:0], start=t.start[:, :0], size=t.size[:, :0])
