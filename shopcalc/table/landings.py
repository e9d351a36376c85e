"""Where a branch comes to the bar that holds it: the axes of the face, the angle, what it pushes and pulls there.

A bar that ends on another lands once; one that runs through another is cut in two there and lands twice, on
opposite faces.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from shopcalc.table.assembly import HAIR, Joint, Member
from shopcalc.table.frame import IN_LINE, branch_on_face
from shopcalc.table.frame_solve import Solved
from shopcalc.table.geometry import Geometry

FLUSH = 2e-4  # metres: nearer to the end of a bar than this is flush with it
SHORT = 2e-3  # metres: a host may end so far before the far side of a branch, as where a leg is splayed
SAME_FACE = 0.9  # cosine between the normals of two landings over which they stand on one face
NO_FILLET = "no fillet goes all round there; move them apart by its leg at least, or let one stand on the other"


@dataclass(frozen=True)
class Landing:
    """One branch on one host. outward: from the host into the branch, unit; half: 0 where the branch ends here, else
    which half of a bar that runs through, -1 before the host and 1 beyond it; taper: degrees by which the faces of tapered
    bars lean from their axes, at most."""

    joint: Joint
    branch: Member
    host: Member
    outward: np.ndarray
    half: int = 0
    taper: float = 0.0

    @property
    def name(self) -> str:
        return self.joint.name if not self.half else f"{self.joint.name}, {'first' if self.half < 0 else 'second'} half"

    @cached_property
    def in_line(self) -> bool:
        return abs(float(self.branch.direction @ self.host.direction)) > IN_LINE

    @cached_property
    def theta(self) -> float:
        """Angle between the branch and its host, up to a right angle; radians."""
        return float(np.arccos(min(abs(float(self.outward @ self.host.direction)), 1.0)))

    @property
    def lean(self) -> float:
        """Degrees from square, along the host."""
        return 90.0 - float(np.degrees(self.theta))

    @cached_property
    def lean_across(self) -> float:
        """Degrees from the normal of the nearest face, across the host."""
        host = self.host
        level = self.outward - host.direction * float(self.outward @ host.direction)
        level = level / np.linalg.norm(level)
        face = max(abs(float(level @ host.up)), abs(float(level @ np.cross(host.direction, host.up))))
        return float(np.degrees(np.arccos(min(face, 1.0))))

    @cached_property
    def turned(self) -> float:
        """Degrees that the sides of a branch stand turned on the face, about its own axis."""
        side = np.cross(self.branch.direction, self.branch.up)
        off = min(abs(float(way @ self.axes[0])) for way in (self.branch.up, side))
        return float(np.degrees(np.arcsin(min(off, 1.0))))

    @cached_property
    def axes(self) -> np.ndarray:
        """(3, 3) rows across, along, out of the face: right-handed. Along is the way the branch leans, so that
        its sharp side is the one at +y; bars in one line: the flats of the branch."""
        if self.in_line:
            up = self.branch.up
            return np.stack([np.cross(up, self.outward), up, self.outward])
        if self.host.plate is not None:  # a column on a plate: by its own flats, whichever way the strip runs
            return np.stack([self.branch.up, np.cross(self.outward, self.branch.up), self.outward])
        d = self.host.direction
        y = d if float(self.outward @ d) >= -HAIR else -d
        z = self.outward - y * float(self.outward @ y)
        z = z / np.linalg.norm(z)
        return np.stack([np.cross(y, z), y, z])

    @cached_property
    def branch_axes(self) -> np.ndarray:
        """(3, 3) rows across, along, out along the branch: those of the face turned about the first by the lean."""
        x = self.axes[0]
        return np.stack([x, np.cross(self.outward, x), self.outward])

    @cached_property
    def sizes(self) -> tuple[float, float, float]:
        """Size of the branch across and along the face it stands on, and the width of that face (m)."""
        if self.in_line:
            return self.branch.width, self.branch.height, self.host.width
        if self.host.plate is not None:
            return self.branch.height, self.branch.width, min(self.host.plate.length, self.host.plate.width)
        return branch_on_face(self.branch, self.host)

    @property
    def slant(self) -> float:
        """Length of the cut along the face (m)."""
        return self.sizes[1] / np.sin(self.theta) if not self.in_line else self.sizes[1]

    @property
    def place(self) -> float:
        """Of the joint along the host from its first end (m)."""
        return self.host.place_of(self.joint.place)


def landings(g: Geometry, joint: Joint) -> tuple[Landing, ...]:
    branch, host = g.branch(joint), g.host(joint)
    taper = sum(g.members[name].face_lean for name in (joint.branch, joint.host))
    if joint.end >= 0:
        return (Landing(joint, branch, host, -branch.direction if joint.end else branch.direction, taper=taper),)
    return tuple(Landing(joint, branch, host, half * branch.direction, half, taper) for half in (-1, 1))


def landings_of(g: Geometry, joints) -> tuple[Landing, ...]:
    return tuple(one for j in joints for one in landings(g, j))


@dataclass(frozen=True)
class Forces:
    """What the branch does to the joint in every case, (n,) each, in its own axes: pull (tension positive), shear and
    bending across and along the face, twist. over_along turns about the axis across the face, over_across about the
    one along it, the other way round. N, N m."""

    pull: np.ndarray
    shear_across: np.ndarray
    shear_along: np.ndarray
    over_across: np.ndarray
    over_along: np.ndarray
    twist: np.ndarray

    def times(self, factor: np.ndarray) -> Forces:
        return Forces(**{name: factor * force for name, force in vars(self).items()})

    @classmethod
    def joined(cls, parts: list[Forces]) -> Forces:
        """One after the other."""
        return cls(**{name: np.concatenate([getattr(p, name) for p in parts]) for name in vars(parts[0])})

    @property
    def vectors(self) -> tuple[np.ndarray, np.ndarray]:
        """Force and moment (n, 3) each, in the axes of the branch."""
        return (
            np.stack([self.shear_across, self.shear_along, self.pull], axis=-1),
            np.stack([self.over_along, -self.over_across, self.twist], axis=-1),
        )


def forces_on(s: Solved, at: Landing) -> Forces:
    """The forces of the frame where the branch begins, on the face of its host: service loads."""
    run, first = _run_at(s, at)
    f = s.answer.end_forces[:, s.answer.frame.member_number[run]] / s.factor
    f = f[:, :6] if first else f[:, 6:]
    bar = at.branch
    local = np.stack([bar.direction, np.cross(bar.up, bar.direction), bar.up])
    turn = at.branch_axes @ local.T
    F, M = -f[:, :3] @ turn.T, -f[:, 3:] @ turn.T  # what the joint does to the branch, turned round
    if at.half:  # from the axis of the host out to its face, by statics
        arm = np.array([0.0, 0.0, at.host.half_depth(at.axes[2]) / np.sin(at.theta)])
        M = M - np.cross(arm, F)
    return Forces(F[:, 2], F[:, 0], F[:, 1], -M[:, 1], M[:, 0], M[:, 2])


def _run_at(s: Solved, at: Landing) -> tuple[str, bool]:
    """The piece of the branch in the frame next to the joint, and whether it begins there."""
    runs = s.table.runs[at.joint.branch]
    if not at.half:
        return (runs[-1][0], False) if at.joint.end else (runs[0][0], True)
    place = at.branch.place_of(at.joint.place)
    beyond = min(range(len(runs)), key=lambda i: abs(runs[i][1] - place))
    return (runs[beyond][0], True) if at.half > 0 else (runs[beyond - 1][0], False)


@dataclass(frozen=True)
class OpenEnd:
    """An open end of the host seen from a landing. way: 1 where it lies at +y of the landing's axes, else -1; gap: from
    the side of the branch to it (m), under nought where the branch stands out past it."""

    way: int
    gap: float


def open_ends(g: Geometry, at: Landing) -> tuple[OpenEnd, ...]:
    """The ends of the host that no other bar closes by being welded to it."""
    host, place = at.host, at.place
    if host.plate is not None:
        gap = (min(host.plate.length, host.plate.width) - max(at.sizes[:2])) / 2
        return tuple(OpenEnd(way, gap) for way in (-1, 1))
    closed = {o.end for o in g.joints if o.branch == host.name and o.end >= 0}
    same = 1 if float(at.axes[1] @ host.direction) > 0 else -1
    ends = ((0, -same, place), (1, same, host.length - place))
    return tuple(OpenEnd(way, gap - at.slant / 2) for end, way, gap in ends if end not in closed)


def short_by(g: Geometry, at: Landing) -> float:
    """How far a host that is drawn to the middle of a branch, or little past it, ends before the far side of the branch (m);
    nought where it does not."""
    short = -min((e.gap for e in open_ends(g, at)), default=0.0)
    return short if short > SHORT else 0.0


def to_open_end(g: Geometry, at: Landing) -> float:
    """From the branch to the nearest open end of its host (m); the whole length where other bars close both."""
    return max(min((e.gap for e in open_ends(g, at)), default=at.host.length), 0.0)


def crowded(g: Geometry, at: Landing) -> bool:
    """Whether another branch stands on a neighbouring face at the same place."""
    return any(abs(float(o.outward @ at.outward)) < 0.7 for o in neighbours(g, at, at.sizes[1]))


def no_room(g: Geometry, at: Landing, leg: float = 0.0) -> str:
    """Why a branch has no room for a fillet of this leg (m) all round, or "": another branch on the same face, or the bar
    that the host itself ends on."""
    if at.in_line:
        return ""
    for o in neighbours(g, at, np.inf):
        same_face = float(o.axes[2] @ at.axes[2]) > SAME_FACE
        if same_face and abs(o.place - at.place) - (o.slant + at.slant) / 2 < leg - FLUSH:
            return f"it stands too near the {o.branch.name} on the same face of the {at.host.name}: {NO_FILLET}"
    for o in g.joints:
        if o.branch == at.host.name and o.end >= 0:
            lo = landings(g, o)[0]
            past = 0.0 if lo.in_line else max(lo.host.half_depth(lo.axes[2]) - o.reach, 0.0) / np.sin(lo.theta)
            end = at.host.length - at.place if o.end else at.place
            if not lo.in_line and end - past - at.slant / 2 < leg - FLUSH:
                return f"it stands too near the {o.host}, which the {at.host.name} ends on: {NO_FILLET}"
    return ""


def taken_sides(g: Geometry, at: Landing, leg: float) -> frozenset[int]:
    """Sides of a square branch (1 where x is over nought, else -1) at a corner of the host that a branch on the next face
    takes as well: both so wide that no fillet of this leg (m) has room between them on the host."""
    taken = set()
    for o in neighbours(g, at, np.inf):
        x = float(o.axes[2] @ at.axes[0])
        beside = abs(o.place - at.place) < (o.slant + at.slant) / 2 + leg
        full = all((one.sizes[2] - one.sizes[0]) / 2 < leg - FLUSH for one in (at, o))
        if abs(x) > SAME_FACE and beside and full:
            taken.add(1 if x > 0 else -1)
    return frozenset(taken)


def neighbours(g: Geometry, at: Landing, near: float) -> Iterator[Landing]:
    """Other landings on the same host, no farther away than `near` (m)."""
    for o in g.joints:
        if o is not at.joint and o.host == at.host.name and np.linalg.norm(np.subtract(o.place, at.joint.place)) < near:
            yield from (one for one in landings(g, o) if not one.in_line)
