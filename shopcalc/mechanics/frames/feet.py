"""A frame that only stands on the floor: feet that press or lift, on a floor that need not be flat.

All feet are held down first; how the forces under them change as one is lifted gives a small stiffness S, and
contact settles the rest:

    force = S (gap + floor) + force with all feet down >= 0,   gap >= 0,   one of the two zero at every foot

Linear (first order). SI arrays, first axis = design, second = foot.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from shopcalc.errors import InputError
from shopcalc.mechanics.contact import complementary
from shopcalc.mechanics.frames.dense import Factors, one_thread
from shopcalc.mechanics.frames.model import WAYS, Frame, Settlement, Sizes, Support
from shopcalc.mechanics.frames.solver import Answer, factored, solve
from shopcalc.mechanics.frames.stiffness import System, system_of

_ROUNDS = 12


@dataclass(frozen=True)
class Standing:
    """force (n, feet) from the floor, up; gap (n, feet) under a foot that lifts; stands (n,) False where the
    frame goes over, slides with a foot off the floor, or is refused (answer.reason), with nan for its
    numbers.

    answer  the frame as it then stands, linear: everything an Answer gives; a foot off the floor holds
            nothing
    """

    force: np.ndarray
    gap: np.ndarray
    stands: np.ndarray
    answer: Answer


def stand_on_floor(
    frame: Frame, sizes: Sizes, feet: tuple[str, ...], floor=0.0, grip: bool = True
) -> Standing:
    """Stand a frame on its feet.

    feet   nodes whose support holds z and, it may be, more
    floor  (n, feet) height of the floor under each foot from where the frame was drawn; a leveller screwed
           out counts the same
    grip   a foot that lifts lets go of all it holds. False: only of z, for supports that are there to place a
           frame which nothing pushes
    """
    feet = tuple(feet)
    for foot in feet:
        if foot not in frame.node_number or not frame.held[6 * frame.node_number[foot] + 2]:
            raise InputError(field="feet", value=foot, need="a node with a support that holds z")
    if frame.settlements:
        raise InputError(
            field="stand_on_floor: settlements",
            value=len(frame.settlements),
            need="the floor's heights instead",
        )
    n, k = len(sizes), len(feet)
    floor = np.broadcast_to(np.asarray(floor, float), (n, k))
    # Designs with the same feet off the floor share one topology.
    lifted = np.zeros((n, k), bool)
    pieces: list[tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]] = []
    left = np.arange(n)
    force, gap, stands = np.full((n, k), np.nan), np.full((n, k), np.nan), np.zeros(n, bool)
    for _ in range(_ROUNDS):
        still = []
        for pattern in np.unique(lifted[left], axis=0):
            mine = left[(lifted[left] == pattern).all(axis=1)]
            with one_thread():
                found = _press(_let_go(frame, feet, pattern), sizes[mine], feet, floor[mine])
            off = found[1] > 0
            settled = ~found[2] | (off == pattern).all(axis=1) | (not grip)
            force[mine], gap[mine], stands[mine] = found
            lifted[mine[~settled]] = off[~settled]
            still.append(mine[~settled])
        left = np.sort(np.concatenate(still))
        if not len(left):
            break
    stands[left] = False
    force[~stands], gap[~stands] = np.nan, np.nan
    for pattern in np.unique(lifted, axis=0):
        mine = np.nonzero((lifted == pattern).all(axis=1))[0]
        pieces.append(
            (
                mine,
                *_stood(_let_go(frame, feet, pattern), sizes[mine], feet, (gap + floor)[mine], stands[mine]),
            )
        )
    answer = _together(frame, sizes, pieces)
    return Standing(force, gap, stands & ~answer.refused, answer)


def _let_go(frame: Frame, feet, pattern) -> Frame:
    """The frame whose feet off the floor hold only z (which contact settles)."""
    off = {foot for foot, lifts in zip(feet, pattern, strict=True) if lifts}
    if not off:
        return frame
    kept = [s for s in frame.supports if s.node not in off]
    return replace(frame, supports=(*kept, *(Support(foot, "z") for foot in sorted(off))))


def _press(frame: Frame, sizes: Sizes, feet, floor):
    """Forces, gaps, and whether there is an answer, with all feet's z settled by contact."""
    n, k = floor.shape
    s = system_of(frame, sizes)
    t = s.tangent(None)
    factors, sound = factored(s, t)
    sound &= ~s.no_length.any(axis=1)
    if t.jointed is not None:
        sound &= t.jointed.ok.all(axis=1)
    ways = [6 * frame.node_number[foot] + WAYS.index("z") for foot in feet]

    def pressed(system: System, tangent, factors: Factors) -> np.ndarray:
        motion = system.settled.copy()
        motion[:, s.plan.free] = factors.back_solve(system.load_vector(tangent)[:, s.plan.free])
        f, _ = system.bar_forces(motion, tangent)
        return (system.on_nodes(f, None, motion) - system.nodal)[:, ways]

    down = pressed(s, t, factors)
    # How the forces change as one foot is lifted: no load counts in that, so one design speaks for all that are one frame.
    few = np.arange(n if factors.which is None else 1)
    one = s.take(few)
    bare, terms = one.tangent(None, loads=False), one.terms
    none = replace(terms, member=terms.member[:0], order=terms.order[:0], start=terms.start[:, :0], size=terms.size[:, :0])
    S = np.zeros((len(few), k, k))
    for j, way in enumerate(ways):
        lift = np.zeros_like(one.settled)
        lift[:, way] = 1.0
        S[:, :, j] = pressed(replace(one, settled=lift, nodal=np.zeros_like(one.nodal), terms=none), bare, factors[few])
    S = np.array(np.broadcast_to(S, (n, k, k)))
    S[~sound], down[~sound] = np.eye(k), 0.0
    S = (S + S.swapaxes(1, 2)) / 2
    lean = np.einsum("nij,nj->ni", S, floor)
    found = complementary(S, -(down + lean))
    force = np.maximum(down + lean + np.einsum("nij,nj->ni", S, found.r), 0.0)
    return np.where(found.r > 0, 0.0, force), found.r, found.stands & sound


def _stood(frame: Frame, sizes: Sizes, feet, height, stands):
    """The answer with every foot where it came to stand."""
    moved = replace(frame, settlements=tuple(Settlement(foot, "z") for foot in feet))
    sizes = Sizes(
        **{
            **{name: getattr(sizes, name) for name in Sizes.__dataclass_fields__},
            "settles": np.where(stands[:, None], height, 0.0),
        }
    )
    return solve(moved, sizes, order="first", critical="guard"), stands


def _together(frame: Frame, sizes: Sizes, pieces) -> Answer:
    """One Answer from the answers of groups of designs."""
    n = len(sizes)
    first = pieces[0][1]
    if len(pieces) == 1:
        parts = first
    else:
        arrays = {}
        for name in ("displacements", "end_forces", "reactions", "critical", "refused", "strength_refused"):
            whole = np.empty((n, *getattr(first, name).shape[1:]), getattr(first, name).dtype)
            for mine, answer, _ in pieces:
                whole[mine] = getattr(answer, name)
            arrays[name] = whole
        reason = [""] * n
        line = {}
        for name in ("v", "theta", "M", "T", "u", "twist", "N", "torque", "far"):
            whole = np.empty((n, *getattr(first.line, name).shape[1:]))
            for mine, answer, _ in pieces:
                whole[mine] = getattr(answer.line, name)
            line[name] = whole
        for mine, answer, _ in pieces:
            for i, text in zip(mine, answer.reason, strict=True):
                reason[i] = text
        parts = replace(first, **arrays, reason=tuple(reason), line=replace(first.line, **line))
    parts = replace(parts, frame=frame, sizes=sizes, system=system_of(frame, sizes))
    over = np.zeros(n, bool)
    for mine, _, stands in pieces:
        over[mine] = ~stands & ~parts.refused[mine]
    words = "goes over, or slides: no forces under its feet, all pressing, hold it"
    blank = {
        name: np.where(
            over.reshape(-1, *([1] * (getattr(parts, name).ndim - 1))), np.nan, getattr(parts, name)
        )
        for name in ("displacements", "end_forces", "reactions")
    }
    return replace(
        parts,
        **blank,
        refused=parts.refused | over,
        strength_refused=parts.strength_refused | over,
        reason=tuple(words if over[i] else parts.reason[i] for i in range(n)),
    )
