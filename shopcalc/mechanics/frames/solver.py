"""Solving a batch of frames: what stands, how near it is to buckling, and what it does under its loads.

Order of work for every design: mechanism? then linear forces, then the critical factor, then (order "second")
equilibrium of the bent frame with axial forces iterated. Past the critical load a linear solution does not
fail, it returns small and wrong numbers; so below a factor of 1 nothing is given (nan), and below
`strength_factor` the design is marked: its member forces are not to be used for strength.

The critical factor multiplies all loads at once. It is exact for bars of constant axial force (bar.py): no
bar needs subdivision. (One cubic element for each bar would overstate a pinned column by 22 % and would not
see a fixed-ended one buckle at all.) It is found by subspace iteration on secant stiffness and then
certified: the stiffness at (1 - CERTAIN) times the factor is positive definite and every bar is short of its
own buckling load between held ends, so by the count of Wittrick and Williams nothing lower was missed. What
fails the certificate (a bar that buckles between its own hinges) is worked with its joints left open, and
if need be found by halving.

Not in it: buckling by twisting of open sections, lateral-torsional buckling, imperfections, yield (the codes'
matter), shortening of a bar by its bow, large rotations. The axial force that bends a bar is the most
compressive along it. Of a rigid arm only the part along its bar counts in the second order.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shopcalc.errors import InputError
from shopcalc.mechanics.frames.bar import Line
from shopcalc.mechanics.frames.dense import NOTHING_LEFT, Factors, back_solve, factor, largest, one_thread, orthonormal
from shopcalc.mechanics.frames.model import WAYS, Frame, Sizes
from shopcalc.mechanics.frames.opened import Opened
from shopcalc.mechanics.frames.stiffness import System, Tangent, system_of

# Least critical factor at which forces serve for member strength; the caller's code may ask for another.
STRENGTH_FACTOR = 1.6
# The critical factor is never given higher than this part above the true one (mostly good to 1e-5).
CERTAIN = 1e-4
MOST_ROUNDS = 40
# Axial forces stand when a turn changes them by less than this part of the largest.
# A very stiff bar (a rigid link) gives its force with fewer digits: later the second measure will do.
SETTLED, SETTLED_ROUGHLY, _TURNS_FIRST = 1e-7, 1e-5, 6
# Force left unbalanced at the nodes, as a part of the largest on a bar; what is left at most when it shrinks no further,
# by rounding; times that at first from which it only grows; how often it is put on again before a design gets a factor of
# its own.
BALANCED, ROUNDED, LOST, MOST_SHARED = 1e-12, 1e-9, 10.0, 40
# Designs of one frame that do not stand all at once are asked in so many parts.
PARTED = 4
# Designs worked on at once: stiffness matrices of a chunk stay near the processor.
CHUNK = 250

_STANDS, _MECHANISM, _NO_LENGTH, _BUCKLED, _RESTLESS, _LOOSE_LOAD = range(6)


class FrameRefused(InputError):
    """No answer exists for a design: a mechanism, past its critical load."""


@dataclass(frozen=True)
class Answer:
    """What n designs do. SI arrays, first axis = design; nan where refused.

    displacements  (n, nodes, 6) global, metres and radians
    end_forces     (n, members, 12) forces and moments on the two ends of each bar, local axes (x, y, z, rx,
                   ry, rz of the first end, then of the second); behind joints and arms
    axial          (n, members) at the middle between its two ends' values, tension positive
    reactions      (n, nodes, 6) forces of supports and springs on the frame, global; z positive up
    critical       (n,) factor on all loads at which the frame buckles; inf where nothing is compressed; nan
                   where it was only made sure of being no less than what `solve` was asked, and for a mechanism
    refused        (n,) nothing is given; reason says why
    strength_refused  (n,) too near buckling for member strength (or refused)
    reason         n texts, "" where there is nothing to say
    """

    frame: Frame
    sizes: Sizes
    order: str
    displacements: np.ndarray
    end_forces: np.ndarray
    reactions: np.ndarray
    critical: np.ndarray
    refused: np.ndarray
    strength_refused: np.ndarray
    reason: tuple[str, ...]
    strength_factor: float
    system: System
    line: Line

    def __len__(self) -> int:
        return len(self.critical)

    @property
    def axial(self) -> np.ndarray:
        return (self.end_forces[..., 6] - self.end_forces[..., 0]) / 2

    def displacement(self, node: str, way: str) -> np.ndarray:
        """(n,) movement of one node one way."""
        return self.displacements[:, self._node(node), WAYS.index(way)]

    def reaction(self, node: str, way: str) -> np.ndarray:
        return self.reactions[:, self._node(node), WAYS.index(way)]

    def _node(self, name: str) -> int:
        if name not in self.frame.node_number:
            raise InputError(
                field="node", value=name, need="a node of the frame", example=self.frame.nodes[0]
            )
        return self.frame.node_number[name]

    def member(self, name: str):
        """What happens along one bar: `results.Along`."""
        from shopcalc.mechanics.frames.results import Along

        return Along.of(self, name)

    def insist(self, strength: bool = False) -> Answer:
        """This answer, or FrameRefused for the first design that has none (or, with `strength`, none for
        strength).
        """
        bad = self.strength_refused if strength else self.refused
        if bad.any():
            d = int(np.nonzero(bad)[0][0])
            raise FrameRefused(
                field="frame" if len(self) == 1 else f"frame, design {d}",
                value=self.reason[d],
                need="a frame that stands"
                if self.refused[d]
                else f"a critical factor of {self.strength_factor:g} or more for member strength",
            )
        return self


def solve(
    frame: Frame,
    sizes: Sizes,
    *,
    order: str = "second",
    strength_factor: float = STRENGTH_FACTOR,
    critical: str | float = "value",
    misfit: np.ndarray | None = None,
    holds: np.ndarray | None = None,
) -> Answer:
    """Solve all designs of a batch.

    order     "first": linear; "second": equilibrium of the bent frame, with the amplified moments along every
              bar
    critical  "value": the critical factor of every design; "guard": only where it is below strength_factor
              (quicker); a number: only where it is below that, or below strength_factor
    misfit   (n, joints): turn (or gap) built into each joint, positive where the bar's end is ahead of its
             node
    holds    (n, nodes*6) bool: the ways in which each design is held, where they differ in that; left out: as the
             frame's supports say
    A design without an answer is masked with a reason, never an exception; `Answer.insist` raises for one
    design.
    """
    if order not in ("first", "second"):
        raise InputError(field="solve: order", value=order, need="first or second")
    if critical not in ("value", "guard") and not (isinstance(critical, float) and critical > 0):
        raise InputError(field="solve: critical", value=critical, need="value, guard or a factor over zero")
    guard = {"value": None, "guard": strength_factor}.get(critical, critical)
    guard = None if guard is None else max(guard, strength_factor)
    with one_thread():
        return _solved(system_of(frame, sizes, holds), sizes, order, strength_factor, guard, misfit)


def _solved(system: System, sizes: Sizes, order: str, strength_factor: float, guard, misfit) -> Answer:
    frame = system.frame
    n, m, ways = len(sizes), len(frame.members), 6 * len(frame.nodes)
    out = _Out(
        motion=np.full((n, ways), np.nan),
        forces=np.full((n, m, 12), np.nan),
        ends=np.full((n, m, 12), np.nan),
        reactions=np.full((n, ways), np.nan),
        critical=np.full(n, np.nan),
        pull=np.full((n, m), np.nan),
        state=np.zeros(n, int),
    )
    modes = _start_of(system) if n > _SAMPLES and guard is None else None
    for first in range(0, n, CHUNK):
        rows = np.arange(first, min(first + CHUNK, n))
        part = system.take(rows) if n > CHUNK else system
        _solve_chunk(
            part,
            rows,
            out,
            order,
            modes,
            guard,
            None if misfit is None else np.broadcast_to(misfit, (n, len(frame.joints)))[rows],
        )
    second = order == "second"
    refused = out.state != _STANDS
    line = system.line(out.forces, out.ends, Tangent(out.pull if second else None, None, None, None))
    answer = Answer(
        frame=frame,
        sizes=sizes,
        order=order,
        displacements=out.motion.reshape(n, -1, 6),
        end_forces=out.forces,
        reactions=out.reactions.reshape(n, -1, 6),
        critical=out.critical,
        refused=refused,
        strength_refused=refused | (out.critical < strength_factor),
        reason=_reasons(system, out, strength_factor),
        strength_factor=strength_factor,
        system=system,
        line=line,
    )
    return answer


@dataclass
class _Out:
    motion: np.ndarray
    forces: np.ndarray
    ends: np.ndarray
    reactions: np.ndarray
    critical: np.ndarray
    pull: np.ndarray
    state: np.ndarray


def _solve_chunk(s: System, rows: np.ndarray, out: _Out, order: str, modes, guard, misfit) -> None:
    t = s.tangent(None)
    K = None if guard else s.assemble(t)
    factors, sound = factored(s, t, K)
    state = np.where(sound, _STANDS, _MECHANISM)
    if t.jointed is not None:
        state = np.where(t.jointed.ok.all(axis=1), state, _MECHANISM)
    state = np.where(loaded_where_loose(s), _LOOSE_LOAD, state)
    state = np.where(s.no_length.any(axis=1), _NO_LENGTH, state)
    stand = np.nonzero(state == _STANDS)[0]
    if len(stand) < len(s):
        if not len(stand):
            out.state[rows] = state
            return
        s, K, factors = s.take(stand), None if guard else K[stand], factors[stand]
        misfit = None if misfit is None else misfit[stand]
        t = s.tangent(None)
    motion, f, d = _answer(s, t, factors, misfit)
    pull = s.tightest(f)
    if guard is None:
        critical = critical_factor(s, pull, K, factors.full, modes)
    else:
        critical = _guarded(s, pull, guard, factors)
    out.critical[rows[stand]] = critical
    fine = ~(critical <= 1)
    state[stand[~fine]] = _BUCKLED
    if order == "second":
        keep = np.nonzero(fine)[0]
        if len(keep):
            part = s if fine.all() else s.take(keep)
            motion, f, d, pull, rest = _second_order(
                part, pull[keep], None if misfit is None else misfit[keep], factors[keep], motion[keep]
            )
            state[stand[keep[~rest]]] = _RESTLESS
            s, stand = part, stand[keep]
            t = Tangent(pull, None, None, None)
            good = rest
        else:
            good = np.zeros(0, bool)
            stand = stand[:0]
    else:
        good = fine
    out.state[rows] = state
    if good.any():
        balance = s.on_nodes(f, t.pull, motion) - s.nodal
        place = rows[stand[good]]
        out.motion[place], out.forces[place], out.ends[place] = motion[good], f[good], d[good]
        out.reactions[place] = (balance * reacting(s))[good]
        out.pull[place] = pull[good]


def factored(s: System, t: Tangent, K: np.ndarray | None = None) -> tuple[Factors, np.ndarray]:
    """Factors of the stiffness without axial force, and which designs are no mechanism, (n,). K: that stiffness, where it
    is at hand. One frame under many loads is factored once for each way in which it is held.
    """
    if K is None and s.alike:
        first, which = s.held_alike
        one = s.take(first)
        each = one.assemble(one.tangent(None, loads=False), lower=True)
        sound = factor(each)
        return Factors(each, which), sound[which]
    each = s.assemble(t, lower=True) if K is None else K.copy()
    return Factors(each), factor(each)


def reacting(s: System) -> np.ndarray:
    """(n, nodes*6) ways in which supports and springs push back."""
    mask = s.holds.copy()
    for spring in s.frame.springs:
        mask[:, 6 * s.frame.node_number[spring.node] + WAYS.index(spring.way)] = True
    return mask


def loaded_where_loose(s: System) -> np.ndarray:
    """Designs with a moment on a node that every bar leaves free to turn."""
    shut = np.setdiff1d(np.arange(s.nodal.shape[1]), s.plan.free)
    return ((s.nodal[:, shut] != 0) & ~s.holds[:, shut]).any(axis=1)


def _answer(s: System, t: Tangent, factors: Factors, misfit):
    """Motions of all nodes and forces on the bars for one tangent."""
    motion = s.settled.copy()
    motion[:, s.plan.free] += factors.back_solve(s.on_unknowns(s.load_vector(t, misfit)))
    f, d = s.bar_forces(motion, t, misfit)
    return motion, f, d


def _second_order(s: System, pull: np.ndarray, misfit, factors: Factors, motion: np.ndarray):
    """Equilibrium of the bent frames: motions, forces on the bars, motions of their ends, the axial forces they are
    worked with, and which designs have come to rest. factors, motion: of the frames without axial force.
    """
    if factors.which is None:
        return _by_own_factors(s, pull, misfit)
    found = _by_shared_factors(s, pull, misfit, factors, motion)
    left = np.nonzero(~found[-1])[0]
    if len(left):
        again = _by_own_factors(s.take(left), pull[left], None if misfit is None else misfit[left])
        for array, value in zip(found, again, strict=True):
            array[left] = value
    return found


def _by_shared_factors(s: System, pull: np.ndarray, misfit, factors: Factors, motion: np.ndarray):
    """What the bent bars leave unbalanced at the nodes is put on the frame again, by the factor that all designs held
    alike have in common, until nothing is left. A turn by itself leaves about 1/critical factor of it; what two turns
    running leave of one shape is taken out at once (Anderson's mixing, depth one).
    """
    rest = _Rest(s, pull)
    part, lost, left, before, first = s, misfit, np.arange(len(s)), np.full(len(s), np.inf), None
    last = None
    with np.errstate(over="ignore", invalid="ignore"):  # a design that is lost
        for _ in range(MOST_SHARED):
            ends = part.ends_of(motion, lost)
            pull = part.pull_by_stretch(ends, pull)
            t = part.tangent(pull)
            f, d = part.forces_of(ends, t)
            off = part.unbalanced(f, pull, motion)
            new = part.tightest(f)
            open_ = np.abs(off).max(axis=1, initial=0.0) / np.abs(f).max(axis=(1, 2))
            near = settled(new, pull, SETTLED) & ((open_ <= BALANCED) | (open_ <= ROUNDED) & (open_ > before / 2))
            if t.jointed is not None:
                near &= t.jointed.ok.all(axis=1)
            rest.keep(left, near, (motion, f, d), pull)
            first = open_ if first is None else first
            go = ~near & (open_ <= LOST * first)
            if not go.any():
                break
            step = factors.back_solve(off)
            move = step if last is None else step - _in_common(step, off, *last)
            motion, pull, before, last = motion.copy(), new, open_, (move, step, off)
            motion[:, s.plan.free] += move
            if not go.all():
                part, factors, left, pull, motion = part.take(go), factors[go], left[go], pull[go], motion[go]
                before, first = before[go], first[go]
                lost, last = None if lost is None else lost[go], tuple(v[go] for v in last)
    return rest.found


def _in_common(step: np.ndarray, off: np.ndarray, move: np.ndarray, before: np.ndarray, off_before: np.ndarray) -> np.ndarray:
    """What to take off a step (n, F), made for the forces `off`, so that it and the last one (before, for off_before, of which
    `move` was made) leave least unbalanced together, by the work of the forces on the steps.
    """
    more, forces = step - before, off - off_before
    work = np.einsum("nf,nf->n", more, forces)
    share = np.where(work > 0, np.einsum("nf,nf->n", step, forces) / np.where(work > 0, work, 1.0), 0.0)
    return share[:, None] * (move + more)


def _by_own_factors(s: System, pull: np.ndarray, misfit):
    """Axial forces iterated until they stand; the stiffness and the loads of each bar are exact for them."""
    rest = _Rest(s, pull)
    part, lost, left = s, misfit, np.arange(len(s))
    for turn in range(MOST_ROUNDS):
        t = part.tangent(pull)
        factors = part.assemble(t, lower=True)
        fits = factor(factors, least=0.0)
        if t.jointed is not None:
            fits &= t.jointed.ok.all(axis=1)
        found = _answer(part, t, Factors(factors), lost)
        new = part.tightest(found[1])
        near = settled(new, pull, SETTLED if turn < _TURNS_FIRST else SETTLED_ROUGHLY) & fits
        rest.keep(left, near, found, pull)
        go = fits & ~near & np.isfinite(new).all(axis=1)
        if not go.any():
            break
        pull = new
        if not go.all():
            part, left, pull = part.take(np.nonzero(go)[0]), left[go], new[go]
            lost = None if lost is None else lost[go]
    return rest.found


def settled(new: np.ndarray, old: np.ndarray, part: float) -> np.ndarray:
    """(n,) whether no axial force (n, members) changes by more than a part of the largest."""
    return (np.abs(new - old) <= part * np.abs(new).max(axis=1, keepdims=True)).all(axis=1)


class _Rest:
    """Designs that have come to rest: motions, forces on the bars, motions of their ends, axial forces; and which."""

    def __init__(self, s: System, pull: np.ndarray):
        bars = (*pull.shape, 12)
        arrays = (np.full(shape, np.nan) for shape in (s.nodal.shape, bars, bars))
        self.found = (*arrays, pull.copy(), np.zeros(len(s), bool))

    def keep(self, rows: np.ndarray, near: np.ndarray, found, pull: np.ndarray) -> None:
        """Of the designs `rows` those that are near enough."""
        for array, value in zip(self.found, (*found, pull), strict=False):
            array[rows[near]] = value[near]
        self.found[-1][rows[near]] = True


# --- critical factor -----------------------------------------------------------------------------


def critical_factor(
    s: System, pull: np.ndarray, K: np.ndarray, factors: np.ndarray, modes=None
) -> np.ndarray:
    """Factor on the axial forces pull (n, members) at which each frame buckles, (n,); inf where none is
    compressed.

    K (n, F, F) is the stiffness without axial force, factors its Cholesky factors; modes (p, F) a guess of
    shapes that all designs start from (left out: each design's own).
    """
    pole = _pole(s, pull)
    out = np.full(len(s), np.inf)
    todo = np.nonzero(np.isfinite(pole))[0]
    if not len(todo):
        return out
    if len(todo) < len(s):
        s, pull, K, factors, pole = s.take(todo), pull[todo], K[todo], factors[todo], pole[todo]
    if s.plan.size == 0:
        out[todo] = pole
        return out
    guess = _subspace(
        lambda on: s.assemble(s.tangent(pull * on[:, None], loads=False)), K, factors, pole, modes
    )
    low = np.where(np.isfinite(guess), guess * (1 - CERTAIN), 0.0)
    bad = np.nonzero(~(definite(s, pull, low, pole) & np.isfinite(guess)))[0]
    if len(bad):
        guess[bad] = _with_open_joints(s.take(bad), pull[bad], pole[bad])
    out[todo] = guess
    return out


def _with_open_joints(s: System, pull, pole) -> np.ndarray:
    """The factor of designs in which a bar buckles between its own hinges, or that were hard for another
    reason.
    """
    opened = Opened(s)

    def stiffness(on):
        return opened.stiffness(pull * on[:, None])

    def stands(on):
        return factor(stiffness(on), least=0.0) & (on < pole)

    K = opened.stiffness(None)
    factors = K.copy()
    if not factor(factors, least=0.0).all():
        guess = np.full(len(s), np.nan)
    else:
        guess = _subspace(stiffness, K, factors, pole, None)
    fine = np.isfinite(guess)
    fine[fine] = stands(np.where(fine, guess * (1 - CERTAIN), 0.0))[fine]
    if fine.all():
        return guess
    low, high = np.zeros(len(s)), pole.copy()
    for _ in range(60):
        middle = (low + high) / 2
        under = stands(middle)
        low, high = np.where(under, middle, low), np.where(under, high, middle)
        if (high - low <= 1e-8 * high).all():
            break
    return np.where(fine, guess, low)


def _guarded(s: System, pull, least: float, factors: Factors) -> np.ndarray:
    """nan where the critical factor is no less than `least`; else the factor."""
    out = np.full(len(s), np.nan)
    bad = np.nonzero(~_stands_under(s, pull, least, factors.which))[0]
    if len(bad):
        part = s.take(bad)
        K = part.assemble(part.tangent(None, loads=False))
        out[bad] = critical_factor(part, pull[bad], K, factors[bad].full)
    return out


def _stands_under(s: System, pull: np.ndarray, least: float, which: np.ndarray | None) -> np.ndarray:
    """Designs that stand under `least` times their axial forces, (n,). Designs of one frame are asked together: it stands
    under each if it stands with every bar pressed as hard as in any of them. Where it does not, they are parted.
    """
    waiting = _one_frame(s, which)
    if len(waiting) == len(s):
        return definite(s, pull, np.full(len(s), least), _pole(s, pull))
    stands = np.zeros(len(s), bool)
    while waiting:
        one, tight = s.take(np.array([rows[0] for rows in waiting])), np.stack([pull[rows].min(axis=0) for rows in waiting])
        found = definite(one, tight, np.full(len(one), least), _pole(one, tight))
        stands[np.concatenate([rows for rows, fine in zip(waiting, found, strict=True) if fine] or [np.zeros(0, int)])] = True
        failed = [rows for rows, fine in zip(waiting, found, strict=True) if not fine and len(rows) > 1]
        waiting = [part for rows in failed for part in np.array_split(rows, min(len(rows), PARTED))]
    return stands


def _one_frame(s: System, which: np.ndarray | None) -> list[np.ndarray]:
    """Rows of designs that may speak for one another. More pull never makes a bar less stiff, unless an arm runs back along
    its bar: then each speaks for itself.
    """
    along = s.arms[..., 0] * np.array([1.0, -1.0])
    if which is None or (along < -1e-9 * s.L[..., None]).any():
        return list(np.arange(len(s))[:, None])
    return [np.nonzero(which == k)[0] for k in np.unique(which)]


def definite(s: System, pull: np.ndarray, factor_on: np.ndarray, pole: np.ndarray) -> np.ndarray:
    """True where the frame under factor_on (n,) times its axial forces is below its first critical load."""
    t = s.tangent(pull * factor_on[:, None], loads=False)
    ok = factor(s.assemble(t, lower=True), least=0.0) & (factor_on < pole)
    return ok if t.jointed is None else ok & t.jointed.ok.all(axis=1)


def _pole(s: System, pull) -> np.ndarray:
    """Factor at which the first bar buckles between held ends, (n,)."""
    pushed = pull < -1e-9 * np.abs(pull).max(axis=1)[:, None]
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(pushed, s.squash / np.where(pushed, -pull, 1.0), np.inf).min(axis=1)


# First secant at this part of the bars' own buckling load; where sway governs the answer is about this size.
_FIRST = 0.05
_MODES = 4
_SAMPLES = 6
_STEPS = 10
_MOST_SECANTS, _SMALL_STEP = 8, 1e-3


def _subspace(stiffness, K, factors, pole, modes) -> np.ndarray:
    """Lowest factor by inverse iteration on a few modes, on the secant (K - K at a factor)/factor of the
    stiffness, which is exact at that factor; nan where it does not settle. modes: where to start
    from.
    """
    at = (_FIRST if modes is None else modes.part) * pole
    G = (K - stiffness(at)) / at[:, None, None]
    if modes is None:
        Z = _own_modes(G, factors, _MODES)
    else:
        Z = np.broadcast_to(modes.shapes, (len(K), *modes.shapes.shape))
    GZ = Z @ G
    for _ in range(1 if modes is None else 2):
        mu, Z, GZ = _ritz(factors, G, GZ)
    with np.errstate(divide="ignore", invalid="ignore"):
        root = np.where(mu > 0, 1 / mu, np.inf)
    guess, settled = np.full(len(K), np.nan), np.zeros(len(K), bool)
    for _ in range(_MOST_SECANTS):
        before, from_before = at, root
        at = np.minimum(root, 0.97 * pole)
        G = (K - stiffness(at)) / at[:, None, None]
        mu, Z, GZ = _ritz(factors, G, Z @ G) if modes is not None else _refined(factors, G, Z @ G)
        with np.errstate(divide="ignore", invalid="ignore"):
            root = np.where(mu > 0, 1 / mu, np.inf)
            slope = (root - from_before) / (at - before)
            better = at + (root - at) / (1 - slope)
            step = np.where(mu > 0, np.abs(root - at) * mu, np.inf)
        # What is left after the extrapolation is about a hundredth of the step; few designs get all digits.
        good = np.isfinite(better) & (np.abs(slope) < 0.5) & (better < pole) & (step < _SMALL_STEP)
        exact = (step < 1e-10) & (root < pole)
        guess = np.where(exact, root, np.where(good, better, guess))
        settled = exact | (good & (step < (1e-7 if modes is None else _SMALL_STEP)))
        if settled.all():
            break
    return guess


def _own_modes(G, factors, count: int) -> np.ndarray:
    """The modes of largest mu, (n, count, F), nearly."""
    n, F = G.shape[:2]
    start = np.random.default_rng(1).standard_normal((n, min(2, F), F))
    steps = min(_STEPS, -(-F // 2))
    _, modes, _ = largest(lambda V: V @ G, lambda W: back_solve(factors, W), start, steps)
    return modes[:, :count]


@dataclass(frozen=True)
class _Start:
    """A few shapes (p, F) that span how some designs of a batch, spread over it, buckle; and at what part of
    the bars' own buckling load they do."""

    shapes: np.ndarray
    part: float


def _start_of(system: System) -> _Start | None:
    """None: nothing is compressed."""
    s = system.take(np.linspace(0, len(system) - 1, _SAMPLES).astype(int))
    t = s.tangent(None)
    K = s.assemble(t)
    factors = K.copy()
    good = factor(factors) & ~s.no_length.any(axis=1)
    if s.plan.size == 0 or not good.any():
        return None
    s, K, factors = s.take(good), K[good], factors[good]
    pull = s.tightest(_answer(s, s.tangent(None), Factors(factors), None)[1])
    pole = _pole(s, pull)
    some = np.isfinite(pole)
    if not some.any():
        return None
    s, K, factors, pull, pole = s.take(some), K[some], factors[some], pull[some], pole[some]
    at = _FIRST * pole
    G = (K - s.assemble(s.tangent(pull * at[:, None], loads=False))) / at[:, None, None]
    own = _own_modes(G, factors, 2)
    shapes = np.concatenate(own).T
    mu = np.einsum("npf,npf->np", own @ G, own).max(axis=1) / np.einsum("npf,npf->np", own @ K, own).max(
        axis=1
    )
    part = np.median(1 / np.maximum(mu * pole, 1e-9))
    scale = np.sqrt(np.einsum("nii->i", K))
    left, size, _ = np.linalg.svd(shapes * scale[:, None], full_matrices=False)
    return _Start(
        (left[:, size > 1e-6 * size[0]][:, :_MODES] / scale[:, None]).T, float(np.clip(part, 1e-3, 0.5))
    )


def _refined(factors, G, GZ):
    """As `_ritz`, by a few blocks of Lanczos vectors."""
    steps = max(1, min(3, G.shape[1] // GZ.shape[1]))
    mu, Z, GY = largest(lambda V: V @ G, lambda W: back_solve(factors, W), GZ, steps)
    count = GZ.shape[1]
    return mu[:, 0], Z[:, :count], GY[:, :count]


def _ritz(factors, G, GZ):
    """One step of inverse iteration with Rayleigh and Ritz: largest mu of G y = mu K y, new modes, G times
    them.
    """
    Y, _ = orthonormal(back_solve(factors, GZ), GZ)
    GY = Y @ G
    C = Y @ GY.swapaxes(1, 2)
    mu, y = np.linalg.eigh((C + C.swapaxes(1, 2)) / 2)
    turn = y.swapaxes(1, 2)
    return mu[:, -1], turn @ Y, turn @ GY


# --- reasons -------------------------------------------------------------------------------------


def _reasons(system: System, out: _Out, strength_factor: float) -> tuple[str, ...]:
    texts = []
    for d in range(len(system)):
        state, factor_on = out.state[d], out.critical[d]
        if state == _STANDS:
            near = factor_on < strength_factor
            texts.append(
                f"buckles at {factor_on:.5g} times its loads; member strength needs {strength_factor:g}"
                if near
                else ""
            )
        elif state == _BUCKLED:
            texts.append(f"past its critical load: it buckles at {factor_on:.5g} times the loads given")
        elif state == _RESTLESS:
            texts.append("second-order axial forces do not settle: too near its critical load")
        elif state == _NO_LENGTH:
            m = system.frame.members[int(np.nonzero(system.no_length[d])[0][0])]
            texts.append(
                f"member {m.name} has no length between {m.first} and {m.second}, or its arms leave none"
            )
        elif state == _LOOSE_LOAD:
            texts.append(_loose_words(system, d))
        else:
            texts.append(mechanism_words(system.take(np.array([d]))))
    return tuple(texts)


def _loose_words(system: System, d: int) -> str:
    shut = np.setdiff1d(np.nonzero(~system.frame.held)[0], system.plan.free)
    way = shut[np.nonzero(system.nodal[d, shut])[0][0]]
    node = system.frame.nodes[way // 6]
    return f"node {node} is free to turn under the moment on it: every bar there is hinged"


_MOVES = ("move along x", "move along y", "move along z", "turn about x", "turn about y", "turn about z")


def mechanism_words(s: System) -> str:
    """What is free in one design that is a mechanism (a batch of one)."""
    t = s.tangent(None)
    if t.jointed is not None and not t.jointed.ok.all():
        g = int(np.nonzero(~t.jointed.ok[0])[0][0])
        member = s.frame.members[int(s.plan.hinged[g])]
        spins = int(s.plan.hinged[g]) in s.frame.spinning
        return (
            f"a mechanism: member {member.name} is let go at both ends and is free to "
            f"{'turn about its own axis under the torque on it' if spins else 'move between its joints'}"
        )
    K = s.assemble(t)[0]
    size = np.sqrt(np.maximum(np.diag(K), 1e-300))
    values, vectors = np.linalg.eigh(K / size[:, None] / size)
    null = vectors[:, values < max(1e3 * NOTHING_LEFT, 10 * values[0])] / size[:, None]
    # Turns count by how far they carry the frame's own reach.
    reach = max(float(s.L.max()), 1e-9)
    weight = np.where(s.plan.free % 6 < 3, 1.0, reach)
    null, _ = np.linalg.qr(null * weight[:, None])
    share = np.round(np.linalg.norm(null, axis=1), 6)
    # A node that moves says more than one that turns.
    moves = np.where(s.plan.free % 6 < 3, share, 0.0)
    main = int(np.argmax(moves if moves.max(initial=0.0) > 1e-3 else share))
    way = s.plan.free[main]
    words = f"a mechanism: node {s.frame.nodes[way // 6]} is free to {_MOVES[way % 6]}"
    along = null @ null[main]
    others = [
        s.frame.nodes[i]
        for i in dict.fromkeys(int(w) // 6 for w in s.plan.free[np.abs(along) > 0.05 * abs(along[main])])
        if i != way // 6
    ]
    return words + (f", and with it {', '.join(others[:5])}" if others else "")
