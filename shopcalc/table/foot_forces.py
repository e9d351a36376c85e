"""What the feet of a table carry: how their forces change with a load anywhere on the top, with a push, and as one foot is
raised. From the frame of the base, once for each of its states. The plate of the top lies between two bounds: strips on its
seats that twist freely, and ("stiff") a slab that does not twist at all. SI arrays; forces up on the table.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from shopcalc.mechanics.frames import Support
from shopcalc.mechanics.frames.dense import one_thread
from shopcalc.mechanics.frames.stiffness import system_of
from shopcalc.mechanics.statics import GRAVITY
from shopcalc.table.frame import table_frame
from shopcalc.table.frame_cases import Loader
from shopcalc.table.frame_solve import feet_of
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job

# Top, joints and feet together: stiff and soft bounds of the base.
STATES = (("sliding", "rigid", "gripping"), ("clamped", "rigid", "gripping"), ("dead weight", "soft", "gliding"),
          ("stiff", "rigid", "gripping"))
TOP_WORDS = {"stiff": "top clamped and stiff in twist", "dead weight": "top as dead weight", "sliding": "top on sliding fixings", "clamped": "top clamped"}


@dataclass(frozen=True)
class FootForces:
    """One state of a base with k feet and s seats, all feet held on a level floor.

    S (k, k)     change of the forces as one foot is raised by one
    own (k,)     under the own weight of the table
    seat (s, k)  of a load of one down on each seat
    push (2, k)  of a level push of one at the upper face of the top, along x and along y
    lean (2, k)  of the own weight turned level, along x and along y: times the slope of the floor; top_lean: the top's part
    """

    words: str
    S: np.ndarray
    own: np.ndarray
    seat: np.ndarray
    push: np.ndarray
    lean: np.ndarray
    top_lean: np.ndarray
    load: Loader

    def unit(self, places) -> np.ndarray:
        """(n, k): of a load of one down at each place (n, 2) on the top."""
        return self.load.shared.weights(places) @ self.seat


def foot_forces(job: Job, g: Geometry, state: str = "sliding", joints: str = "rigid", feet: str = "gripping",
                load: Loader | None = None) -> FootForces:
    """The feet of a table in one state (words as in frame.py; "stiff": clamped, and the seats stay in one plane)."""
    load = Loader.of(g) if load is None else load
    t = table_frame(job, g, state="clamped" if state == "stiff" else state, joints=joints, feet=feet_of(job, feet))
    held = [(s.node, " ".join(w for w in s.holds.split() if w != "z")) for s in t.frame.supports]
    frame = replace(t.frame, supports=tuple(Support(n, w) for n, w in held if w))
    number = frame.node_number
    with one_thread():
        system = system_of(frame, t.sizes)
        K = system.assemble(system.tangent(None))[0]
        free = system.plan.free
        feet_ways = np.array([6 * number[n] + 2 for n in t.foot_nodes])
        c = np.searchsorted(free, feet_ways)
        f = np.setdiff1d(np.arange(len(free)), c)
        forces = _forces(t, g, load, number)[:, free]
        X = np.linalg.solve(K[np.ix_(f, f)], np.concatenate([K[np.ix_(f, c)].T, forces[:, f]]).T)
    k, n = len(c), len(g.seats)
    S = K[np.ix_(c, c)] - K[np.ix_(c, f)] @ X[:, :k]
    rows = X[:, k:].T @ K[np.ix_(f, c)] - forces[:, c]
    if state == "stiff":
        S, rows = _in_one_plane(g, S, rows, forces[1:n + 1, f] @ X[:, k:])
    words = f"{TOP_WORDS[state]}, {joints} joints, feet {feet_of(job, feet)}"
    return FootForces(words, (S + S.T) / 2, rows[0], rows[1:n + 1], rows[n + 1:n + 3], rows[n + 3:n + 5] + rows[n + 5:], rows[n + 5:], load)


def _in_one_plane(g: Geometry, S: np.ndarray, rows: np.ndarray, down: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """S and rows where a stiff slab keeps the seats in one plane. down (s, loads): how far the seats go down without it; its
    forces on them are in balance and take out what is no plane. A raised foot moves a seat up by what that seat puts on it."""
    n = len(g.seats)
    places = np.array([s.place[:2] for s in g.seats])
    basis = np.linalg.svd(np.column_stack([np.ones(n), places]))
    off = basis[0][:, (basis[1] > 1e-9 * basis[1][0]).sum():]
    seat = rows[1:n + 1]
    hold = off @ np.linalg.pinv(off.T @ down[:, 1:n + 1] @ off, rcond=1e-12, hermitian=True) @ off.T
    return S + seat.T @ hold @ seat, rows - down.T @ hold @ seat


def _forces(t, g: Geometry, load: Loader, number) -> np.ndarray:
    """Rows of nodal forces, (1 + s + 6, nodes*6): own weight; one down on each seat; pushes; weight of the bars
    turned level; that of the top."""
    seats = np.array([number[n] for n in t.seat_nodes])
    own = load.own()[:, 2]
    # A seat at the end of a bar hangs on the node of the bar it ends on: its arm goes with it.
    arm = np.array([s.place for s in g.seats]) - t.sizes.points[0, seats]

    def row(lumped=None, on_seats=None):
        F = np.zeros((len(number), 6))
        if lumped is not None:
            F[:, :3] += t.lumped[:, None] * GRAVITY * np.asarray(lumped)
        if on_seats is not None:
            np.add.at(F, seats, np.concatenate([on_seats, np.cross(arm, on_seats)], axis=1))
        return F.ravel()

    found = [row(lumped=(0, 0, -1), on_seats=np.outer(own, (0, 0, 1)))]
    for i in range(len(seats)):
        one = np.zeros((len(seats), 3))
        one[i, 2] = -1.0
        found.append(row(on_seats=one))
    for way in np.eye(3)[:2]:
        found.append(row(on_seats=load.push(1.0, way, height=g.top.surface)))
    weight = g.top.mass * GRAVITY
    for way in np.eye(3)[:2]:
        found.append(row(lumped=way))
    for way in np.eye(3)[:2]:
        found.append(row(on_seats=load.push(weight, way, height=float(g.top.middle[2]))))
    return np.array(found)
