"""What the feet of a table carry: how their forces change with a load anywhere on the top, with a push, and as one foot is
raised. Base and top together: the frame of the base, factored once for each way it is made and stands, and on its seats the
plate of the top, which twists and bends as its wood does. "stiff" and "limp" are the same with a top that does not bend at all,
and one that bends as easily as paper: between those two lies the plate. SI arrays; forces up on the table.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from shopcalc.mechanics.frames import Support
from shopcalc.mechanics.frames.dense import one_thread
from shopcalc.mechanics.frames.stiffness import system_of
from shopcalc.mechanics.plates import Plate
from shopcalc.mechanics.statics import GRAVITY
from shopcalc.table.frame import table_frame
from shopcalc.table.frame_cases import Loader
from shopcalc.table.frame_solve import feet_of
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.loads import load_cases
from shopcalc.table.top import Laid, bearing, laid, plan_of

# Top, joints and feet together: plate on stiff and soft bounds of the base, and the top as a load on its seats, no more.
STATES = (("sliding", "rigid", "gripping"), ("clamped", "rigid", "gripping"), ("sliding", "soft", "gliding"), ("clamped", "soft", "gliding"),
          ("dead weight", "soft", "gliding"))
# What the plate lies between, whatever its wood: the same bases under a top that does not bend, and under one that bends as it likes.
BRACKET = (("stiff", "rigid", "gripping"), ("limp", "rigid", "gripping"), ("stiff", "soft", "gliding"), ("limp", "soft", "gliding"))
TOP_WORDS = {"stiff": "top stiff in twist", "limp": "top that twists freely", "dead weight": "top as dead weight", "sliding": "top on sliding fixings",
             "clamped": "top clamped"}
# Stiffness of the plate in a state, as a part of its own. Limp: so little that the base counts as stiff under it.
PART = {"sliding": 1.0, "clamped": 1.0, "stiff": np.inf, "limp": 1e-6}
# What torsion a strip of the top keeps where the plate is there to twist, so that no matrix changes its shape.
LITTLE = 1e-6


@dataclass(frozen=True)
class FootForces:
    """One state of a table with k feet and s seats, all feet held on a level floor.

    S (k, k)     change of the forces as one foot is raised by one
    own (k,)     under the own weight of the table; top (k,): the top's part of it
    push (2, k)  of a level push of one at the upper face of the top, along x and along y
    lean (2, k)  of the own weight turned level, along x and along y: times the slope of the floor; top_lean: the top's part
    seat (s, k)  of a load of one down on each seat of the base
    rises (k, N) how far the plate comes up as each foot is raised by one: a load of one on it presses the foot as much (Betti)
    """

    words: str
    S: np.ndarray
    own: np.ndarray
    top: np.ndarray
    push: np.ndarray
    lean: np.ndarray
    top_lean: np.ndarray
    seat: np.ndarray
    load: Loader
    plate: Plate | None = None
    rises: np.ndarray | None = None

    def unit(self, places) -> np.ndarray:
        """(n, k): of a load of one down at each place (n, 2) on the top."""
        return units([self], places)[0]


def units(feet: Sequence[FootForces], places) -> list[np.ndarray]:
    """`FootForces.unit` of every state of one table at the same places (n, 2), from one look at them."""
    places = np.atleast_2d(np.asarray(places, float))
    plates = [f for f in feet if f.plate is not None]
    if plates:
        found = plates[0].plate.at(np.concatenate([f.rises for f in plates]), *places.T)
        parts = iter(np.split(found, np.cumsum([len(f.S) for f in plates])[:-1]))
    strips = [f for f in feet if f.plate is None]
    weights = strips[0].load.shared.weights(places) if strips else None
    return [weights @ f.seat if f.plate is None else next(parts).T for f in feet]


def foot_forces(job: Job, g: Geometry, state: str = "sliding", joints: str = "rigid", feet: str = "gripping",
                load: Loader | None = None) -> FootForces:
    """The feet of a table in one state (words of the top as in TOP_WORDS, of joints and feet as in frame.py)."""
    return feet_in(job, g, [(state, joints, feet)], load)[0]


def feet_in(job: Job, g: Geometry, states: Sequence[tuple[str, str, str]] = STATES, load: Loader | None = None) -> list[FootForces]:
    """The feet in each state; states of one base share its factor. Asked again for the same job they are not worked again."""
    asked, known = g.kept.get("feet", (None, {}))
    known = known if asked is job else {}
    missing = [s for s in dict.fromkeys(states) if s not in known]
    if missing:
        known = {**known, **dict(zip(missing, _feet_in(job, g, missing, load), strict=True))}
        g.kept["feet"] = job, known
    return [known[s] for s in states]


def _feet_in(job: Job, g: Geometry, states: Sequence[tuple[str, str, str]], load: Loader | None) -> list[FootForces]:
    load = Loader.of(g) if load is None else load
    bases, found = {}, []
    plate = laid(plan_of(job, g, load_cases(job.overrides)["person-sag"])) if any(top != "dead weight" for top, _, _ in states) else None
    for state, joints, feet in states:
        key = (state == "dead weight", joints, feet)
        if key not in bases:
            bases[key] = _base(job, g, load, *key)
        words = f"{TOP_WORDS[state]}, {joints} joints, feet {feet_of(job, feet)}"
        found.append(_strips(g, load, bases[key], words) if state == "dead weight" else _with_plate(job, g, load, bases[key], plate, state, words))
    return found


# --- base ------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Base:
    """A base with its feet held level: S (k, k); feet (loads, k) what each load puts on them; down (3 s, loads) how far it moves
    the seats down, and turns them along x and along y. Loads as `_loads` has them; the first 3 s of them are those of the seats."""

    S: np.ndarray
    feet: np.ndarray
    down: np.ndarray


def _base(job: Job, g: Geometry, load: Loader, loose: bool, joints: str, feet: str) -> _Base:
    """loose: nothing ties the seats. Else the top does in plan, and twists and bends as a plate, not here as strips."""
    t = table_frame(job, g, state="dead weight" if loose else "sliding", joints=joints, feet=feet_of(job, feet))
    held = [(s.node, " ".join(w for w in s.holds.split() if w != "z")) for s in t.frame.supports]
    frame = replace(t.frame, supports=tuple(Support(n, w) for n, w in held if w))
    strips = np.array([m.name.startswith("top.") for m in frame.members])
    sizes = t.sizes.replaced(J=np.where(strips, LITTLE * t.sizes.J, t.sizes.J))
    number = frame.node_number
    with one_thread():
        system = system_of(frame, sizes)
        K = system.assemble(system.tangent(None))[0]
        free = system.plan.free
        feet_ways = np.array([6 * number[n] + 2 for n in t.foot_nodes])
        c = np.searchsorted(free, feet_ways)
        f = np.setdiff1d(np.arange(len(free)), c)
        forces = _loads(t, g, load, number)[:, free]
        X = np.linalg.solve(K[np.ix_(f, f)], np.concatenate([K[np.ix_(f, c)].T, forces[:, f]]).T)
    k = len(c)
    S = K[np.ix_(c, c)] - K[np.ix_(c, f)] @ X[:, :k]
    return _Base(S, X[:, k:].T @ K[np.ix_(f, c)] - forces[:, c], forces[:3 * len(g.seats), f] @ X[:, k:])


def _loads(t, g: Geometry, load: Loader, number) -> np.ndarray:
    """Rows of nodal forces, (3 s + 5, nodes*6): one down on each seat; a moment of one on each, along x, along y; weight of the
    bars, down, then turned level along x and y; a level push of one shared by the seats, along x and y."""
    seats = np.array([number[n] for n in t.seat_nodes])
    # A seat at the end of a bar hangs on the node of the bar it ends on: its arm goes with it.
    arm = np.array([s.place for s in g.seats]) - t.sizes.points[0, seats]
    found = np.zeros((3 * len(seats) + 5, len(number), 6))
    row = iter(found)
    down = np.array([0, 0, -1.0])
    for node, lever in zip(seats, arm, strict=True):
        next(row)[node] = [*down, *np.cross(lever, down)]
    for turn in ((0, 1.0), (-1.0, 0)):  # w rises along x where a node turns by +ry, along y where it turns by -rx
        for node in seats:
            next(row)[node, 3:5] = turn
    for way in (down, *np.eye(3)[:2]):
        next(row)[:, :3] = t.lumped[:, None] * GRAVITY * way
    for way in np.eye(3)[:2]:
        level = load.push(1.0, way)
        np.add.at(next(row), seats, np.concatenate([level, np.cross(arm, level)], axis=1))
    return found.reshape(len(found), -1)


# --- top -------------------------------------------------------------------------------------------


def _strips(g: Geometry, load: Loader, b: _Base, words: str) -> FootForces:
    """The top only loads its seats: strips share a load among them (seats.py)."""
    return _put(g, load, b.S, b.feet, load.own()[:, 2] @ -b.feet[:len(g.seats)], range(len(g.seats)), words)


def _with_plate(job: Job, g: Geometry, load: Loader, b: _Base, k: Laid, state: str, words: str) -> FootForces:
    """Plate and base joined at the seats: what they hand each other there keeps both moving alike."""
    s, under = len(g.seats), bearing(job, g)
    on = [i for i, x in enumerate(g.seats) if x in under]
    over = k.turn if state == "clamped" else k.push
    ways = [i + turn * s for turn in range(3 if state == "clamped" else 1) for i in on]
    lifted = b.feet[ways]  # a raised foot brings a seat up by what a load on that seat puts on it
    hold, w = over.joined(b.down[np.ix_(ways, ways)], lifted, PART[state] * g.top.thickness**3)
    # As heavy as the top is: the area of cells that a rim crosses is only nearly right.
    top = -w @ k.own * (g.top.mass * GRAVITY / (k.plate.rigid[0] @ k.own))
    return _put(g, load, b.S + lifted.T @ hold @ lifted, b.feet - b.down[ways].T @ hold @ lifted, top, on, words, plate=k.plate, rises=-w)


def _put(g: Geometry, load: Loader, S: np.ndarray, feet: np.ndarray, top: np.ndarray, on: Sequence[int], words: str, **plate) -> FootForces:
    """From what each load of `_loads` puts on the feet (loads, k), and the top's weight. on: the seats that carry a couple, as
    they would under a stiff top."""
    s, weight = len(g.seats), g.top.mass * GRAVITY
    places = np.array([x.place for x in g.seats])
    arm = places[on, :2] - places[on, :2].mean(axis=0)
    couple = np.linalg.solve(arm.T @ arm, arm.T) @ feet[list(on)]  # (2, k) of a level force of one, a metre above the seats
    bars, level, base = feet[3 * s:3 * s + 3], feet[3 * s + 3:], float(places[:, 2].mean())
    top_lean = weight * (level + (float(g.top.middle[2]) - base) * couple)
    return FootForces(words, (S + S.T) / 2, bars[0] + top, top, level + (g.top.surface - base) * couple, bars[1:] + top_lean, top_lean, feet[:s], load,
                      **plate)
