"""What a frame is: nodes, bars, what holds them, which bar carries which load; and the sizes of many such
frames.

One topology, plain Python data, serves a batch; every size stands in `Sizes`, SI floats, first axis = design.

Local axes of a bar: x from its first to its second point. z is the way its height runs: upright where the bar
lies level, along global x where it stands (steeper than 30 degrees), as nearly as the bar's own line allows;
y = z cross x. So Iy (bending about y) carries upright load on a level bar and goes with Avz; Iz goes with
Avy. `height_along` names another global axis for the height; `roll` turns y and z about x, right-handed.

Ways to move: x, y, z (metres) and rx, ry, rz (radians), global at nodes, local at the ends of a bar.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields, replace
from functools import cached_property

import numpy as np

from shopcalc.errors import InputError

WAYS = ("x", "y", "z", "rx", "ry", "rz")
ENDS = ("first", "second")
PINNED = "x y z"
FIXED = "x y z rx ry rz"
# A bar counts as standing where it is steeper than this sine (30 degrees), as in the table's geometry.
STEEP = 0.5


def ways_of(words: str, field: str) -> tuple[int, ...]:
    """Numbers of the ways named in `words`, such as "x y rz"."""
    found = []
    for word in words.split():
        if word not in WAYS:
            raise InputError(
                field=field, value=word, need="words out of " + " ".join(WAYS), example='"x y z"'
            )
        found.append(WAYS.index(word))
    return tuple(dict.fromkeys(found))


@dataclass(frozen=True)
class Member:
    """A straight bar of one section between two nodes. free_first, free_second: local ways in which that end
    is released, such as "ry rz" for a hinge.
    """

    name: str
    first: str
    second: str
    free_first: str = ""
    free_second: str = ""
    height_along: str = "auto"


@dataclass(frozen=True)
class Joint:
    """A springy joint between the end of a bar and its node, in one local way. Stiffness (N m/rad, or N/m)
    and free play (rad, or m, each way from the middle) stand in Sizes; stiffness inf is rigid, 0 is
    released.
    """

    member: str
    end: str
    way: str


@dataclass(frozen=True)
class Support:
    """A node held in some global ways: PINNED, FIXED, or words such as "z" for a glide."""

    node: str
    holds: str = PINNED


@dataclass(frozen=True)
class Spring:
    """A node held by a spring in one global way; its stiffness stands in Sizes.spring."""

    node: str
    way: str


@dataclass(frozen=True)
class Settlement:
    """A support that moves by Sizes.settles in one global way (positive along the axis; a sinking foot: z,
    negative).
    """

    node: str
    way: str


@dataclass(frozen=True)
class NodeLoad:
    """A force (x, y, z) or moment (rx, ry, rz) at a node, along or about a global axis."""

    node: str
    way: str
    name: str = ""


@dataclass(frozen=True)
class PointLoad:
    """A force or moment on a bar, Sizes.at metres from where the bar begins. axes: "global" or "local"."""

    member: str
    way: str
    axes: str = "global"
    name: str = ""


@dataclass(frozen=True)
class LineLoad:
    """A load per length of bar from Sizes.at to Sizes.to, Sizes.load at its start and Sizes.load_to at its
    end (a straight line between). Left out: from end to end of the bar, and even. axes: "global" or
    "local".
    """

    member: str
    way: str
    axes: str = "global"
    name: str = ""


Load = NodeLoad | PointLoad | LineLoad


@dataclass(frozen=True)
class Sizes:
    """Sizes of n frames of one topology; made and checked by `Frame.sizes`. SI floats, first axis = design.

    points                       (n, nodes, 3)
    A, Iy, Iz, J, Avy, Avz, E, G, roll, mass_per_length   (n, members)
    arm_first, arm_second        (n, members, 3) rigid arm from the node to the end of the bar, global axes
    joint_stiffness, joint_play  (n, joints);  spring (n, springs);  settles (n, settlements)
    node_mass                    (n, masses);  node_inertia (n, masses, 3) about the global axes
    load, load_to, at, to        (n, loads), see the loads; nan for load_to, at, to: what is left out
    gravity                      (n, 3) acceleration that makes weight of the masses, such as (0, 0, -9.81)
    """

    points: np.ndarray
    A: np.ndarray
    Iy: np.ndarray
    Iz: np.ndarray
    J: np.ndarray
    Avy: np.ndarray
    Avz: np.ndarray
    E: np.ndarray
    G: np.ndarray
    roll: np.ndarray
    mass_per_length: np.ndarray
    arm_first: np.ndarray
    arm_second: np.ndarray
    joint_stiffness: np.ndarray
    joint_play: np.ndarray
    spring: np.ndarray
    settles: np.ndarray
    node_mass: np.ndarray
    node_inertia: np.ndarray
    load: np.ndarray
    load_to: np.ndarray
    at: np.ndarray
    to: np.ndarray
    gravity: np.ndarray

    def __len__(self) -> int:
        return len(self.points)

    def __getitem__(self, which) -> Sizes:
        """The designs `which` (index array, slice, mask or one number), still as a batch."""
        take = np.atleast_1d(np.arange(len(self))[which])
        return Sizes(**{f.name: getattr(self, f.name)[take] for f in fields(self)})

    def replaced(self, **changes) -> Sizes:
        """A copy with other arrays; each is broadcast to the shape it replaces."""
        now = {f.name: getattr(self, f.name) for f in fields(self)}
        for name, value in changes.items():
            now[name] = np.broadcast_to(np.asarray(value, float), now[name].shape)
        return Sizes(**now)


@dataclass(frozen=True)
class Frame:
    """The topology. masses: nodes that carry a lumped mass. Everything by name; checked when made.

    Raises InputError for a name that is unknown or used twice, a bar from a node to itself, a part that
    nothing holds, no support at all, a node without a bar, a load or joint that does not fit.
    """

    nodes: tuple[str, ...]
    members: tuple[Member, ...]
    supports: tuple[Support, ...] = ()
    springs: tuple[Spring, ...] = ()
    joints: tuple[Joint, ...] = ()
    settlements: tuple[Settlement, ...] = ()
    masses: tuple[str, ...] = ()
    loads: tuple[Load, ...] = ()

    def __post_init__(self):
        for f in fields(self):
            object.__setattr__(self, f.name, tuple(getattr(self, f.name)))
        _check(self)

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def _hash(self) -> int:
        """Worked out once: plans are looked up by their frame at every solution."""
        return hash(tuple(getattr(self, f.name) for f in fields(self)))

    # --- numbers of things -------------------------------------------------------------------

    @cached_property
    def node_number(self) -> dict[str, int]:
        return {name: i for i, name in enumerate(self.nodes)}

    @cached_property
    def member_number(self) -> dict[str, int]:
        return {m.name: i for i, m in enumerate(self.members)}

    @cached_property
    def ends(self) -> np.ndarray:
        """(members, 2) node numbers."""
        number = self.node_number
        return np.array([[number[m.first], number[m.second]] for m in self.members])

    @cached_property
    def held(self) -> np.ndarray:
        """(nodes*6,) True where a support holds that way."""
        return self.held_by(self.supports)

    def held_by(self, supports: Iterable[Support]) -> np.ndarray:
        """(nodes*6,) True where one of these supports would hold that way."""
        mask = np.zeros(6 * len(self.nodes), bool)
        for support in supports:
            for way in ways_of(support.holds, f"Support({support.node})"):
                mask[6 * self.node_number[support.node] + way] = True
        return mask

    def held_in(self, ways: np.ndarray) -> Frame:
        """The same frame, held in these ways (nodes*6,) instead."""
        rows = zip(self.nodes, ways.reshape(-1, 6), strict=True)
        words = [(node, " ".join(w for w, on in zip(WAYS, row, strict=True) if on)) for node, row in rows]
        return replace(self, supports=tuple(Support(node, holds) for node, holds in words if holds))

    @cached_property
    def released(self) -> tuple[tuple[int, int], ...]:
        """(member, local way 0..11) of every released end."""
        found = []
        for i, m in enumerate(self.members):
            for shift, words in ((0, m.free_first), (6, m.free_second)):
                found += [(i, shift + way) for way in ways_of(words, f"Member({m.name}): free")]
        return tuple(found)

    @cached_property
    def spinning(self) -> tuple[int, ...]:
        """Bars released about their own axis at both ends."""
        let_go = set(self.released)
        return tuple(m for m in range(len(self.members)) if {(m, 3), (m, 9)} <= let_go)

    @cached_property
    def joint_places(self) -> tuple[tuple[int, int], ...]:
        """(member, local way 0..11) of every springy joint."""
        return tuple(
            (self.member_number[j.member], 6 * ENDS.index(j.end) + WAYS.index(j.way)) for j in self.joints
        )

    @cached_property
    def loose_nodes(self) -> tuple[int, ...]:
        """Nodes round which every bar is hinged: turning them moves nothing."""
        let_go = {}
        for member, way in self.released:
            if way % 6 >= 3:
                let_go.setdefault((member, way // 6), set()).add(way)
        hinged = {place for place, ways in let_go.items() if len(ways) == 3}
        stiff = {int(self.ends[m, e]) for m in range(len(self.members)) for e in range(2) if (m, e) not in hinged}
        sprung = {self.node_number[s.node] for s in self.springs if s.way.startswith("r")}
        return tuple(n for n in range(len(self.nodes)) if n not in stiff and n not in sprung)

    @cached_property
    def parts(self) -> tuple[tuple[int, ...], ...]:
        """Members that hang together, part by part."""
        leader = list(range(len(self.nodes)))

        def top(i):
            while leader[i] != i:
                i = leader[i]
            return i

        for a, b in self.ends:
            leader[top(a)] = top(b)
        groups: dict[int, list[int]] = {}
        for m, (a, _) in enumerate(self.ends):
            groups.setdefault(top(a), []).append(m)
        return tuple(tuple(g) for g in groups.values())

    # --- sizes -------------------------------------------------------------------------------

    def sizes(
        self,
        *,
        points,
        A,
        Iy,
        Iz,
        J,
        E,
        G,
        Avy=np.inf,
        Avz=np.inf,
        roll=0.0,
        mass_per_length=0.0,  # noqa: E741
        arm_first=0.0,
        arm_second=0.0,
        joint_stiffness=None,
        joint_play=0.0,
        spring=None,
        settles=0.0,
        node_mass=0.0,
        node_inertia=0.0,
        load=0.0,
        load_to=np.nan,
        at=np.nan,
        to=np.nan,
        gravity=(0.0, 0.0, 0.0),
    ) -> Sizes:
        """Sizes of a batch. A number serves all; (members,) serves every design; (n, members) is the full
        array. Likewise nodes, joints, springs, loads. Arms: lengths along the bar as above, or (n, members,
        3) vectors.

        Avy, Avz  shear areas for stiffness; inf leaves shear deformation out
        Raises InputError naming the array, the design and the member of a size that is not finite or not
        positive, a load off its bar, an array that does not fit.
        """
        counts = {
            "points": len(self.nodes),
            "joint": len(self.joints),
            "spring": len(self.springs),
            "settles": len(self.settlements),
            "mass": len(self.masses),
            "load": len(self.loads),
            "member": len(self.members),
        }
        if self.joints and joint_stiffness is None:
            raise InputError(
                field="joint_stiffness",
                value=None,
                need="a stiffness for every joint",
                example="joint_stiffness=np.inf for a rigid joint with play",
            )
        if self.springs and spring is None:
            raise InputError(field="spring", value=None, need="a stiffness for every support spring")
        per_member = {
            "A": A,
            "Iy": Iy,
            "Iz": Iz,
            "J": J,
            "Avy": Avy,
            "Avz": Avz,
            "E": E,
            "G": G,
            "roll": roll,
            "mass_per_length": mass_per_length,
        }
        raw = {
            "points": _wide("points", points, (counts["points"], 3)),
            "gravity": _wide("gravity", gravity, (3,)),
            "node_mass": _wide("node_mass", node_mass, (counts["mass"],)),
            "node_inertia": _wide("node_inertia", node_inertia, (counts["mass"], 3)),
            "joint_stiffness": _wide(
                "joint_stiffness", 0.0 if joint_stiffness is None else joint_stiffness, (counts["joint"],)
            ),
            "joint_play": _wide("joint_play", joint_play, (counts["joint"],)),
            "spring": _wide("spring", 0.0 if spring is None else spring, (counts["spring"],)),
            "settles": _wide("settles", settles, (counts["settles"],)),
            **{k: _wide(k, v, (counts["member"],)) for k, v in per_member.items()},
            **{
                k: _wide(k, v, (counts["load"],))
                for k, v in {"load": load, "load_to": load_to, "at": at, "to": to}.items()
            },
        }
        for name, arm in (("arm_first", arm_first), ("arm_second", arm_second)):
            raw[name] = _wide(name, arm, (counts["member"], 3) if np.ndim(arm) == 3 else (counts["member"],))
        n = max(len(v) for v in raw.values())
        for name, value in raw.items():
            if len(value) not in (1, n):
                raise InputError(
                    field=name, value=f"{len(value)} designs", need=f"one design or {n}, as the other arrays"
                )
        full = {k: np.array(np.broadcast_to(v, (n, *v.shape[1:]))) for k, v in raw.items()}
        _check_numbers(self, full)
        _place_loads(self, full)
        return Sizes(**full)


def _wide(name: str, value, tail: tuple[int, ...]) -> np.ndarray:
    """value as (1 or n, *tail)."""
    try:
        array = np.asarray(value, dtype=float)
    except (TypeError, ValueError):
        raise InputError(field=name, value=value, need="numbers in SI units") from None
    if array.ndim <= len(tail):
        shape = (1, *tail)
    elif array.ndim == len(tail) + 1:
        shape = (len(array), *tail)
    else:
        raise InputError(
            field=name, value=f"shape {array.shape}", need=f"shape (designs, {', '.join(map(str, tail))})"
        )
    try:
        return np.broadcast_to(array, shape)
    except ValueError:
        raise InputError(
            field=name, value=f"shape {array.shape}", need=f"shape (designs, {', '.join(map(str, tail))})"
        ) from None


def _check(frame: Frame) -> None:
    if not frame.members:
        raise InputError(field="Frame: members", value=None, need="at least one bar")
    for kind, names in (("nodes", frame.nodes), ("members", [m.name for m in frame.members])):
        if len(set(names)) < len(names):
            twice = [x for x in names if list(names).count(x) > 1]
            raise InputError(field=f"Frame: {kind}", value=twice[0], need="a name of its own for each")
    for m in frame.members:
        for node in (m.first, m.second):
            _known(node, frame.node_number, f"Member({m.name})", "node")
        if m.first == m.second:
            raise InputError(
                field=f"Member({m.name})",
                value=m.first,
                need="two different nodes; a bar from a node to itself has no length",
            )
        if m.height_along not in ("auto", "x", "y", "z"):
            raise InputError(
                field=f"Member({m.name}): height_along", value=m.height_along, need="auto, x, y or z"
            )
    for thing in (*frame.supports, *frame.springs, *frame.settlements):
        _known(thing.node, frame.node_number, type(thing).__name__, "node")
    for node in frame.masses:
        _known(node, frame.nodes, "Frame: masses", "node")
    for thing in (*frame.springs, *frame.settlements, *frame.joints, *frame.loads):
        if thing.way not in WAYS:
            raise InputError(
                field=f"{type(thing).__name__}: way", value=thing.way, need="one of " + " ".join(WAYS)
            )
    _ = frame.held, frame.released
    for s in frame.settlements:
        if not frame.held[6 * frame.node_number[s.node] + WAYS.index(s.way)]:
            raise InputError(field=f"Settlement({s.node})", value=s.way, need="a way that a support holds")
    for s in frame.springs:
        if frame.held[6 * frame.node_number[s.node] + WAYS.index(s.way)]:
            raise InputError(
                field=f"Spring({s.node})", value=s.way, need="a way that no support holds already"
            )
    names = frame.member_number
    for joint in frame.joints:
        _known(joint.member, names, "Joint", "member")
        if joint.end not in ENDS:
            raise InputError(field=f"Joint({joint.member}): end", value=joint.end, need="first or second")
    places, let_go = list(frame.joint_places), set(frame.released)
    for place in places:
        if place in let_go or places.count(place) > 1:
            raise InputError(
                field=f"Joint({frame.members[place[0]].name})",
                value=WAYS[place[1] % 6],
                need="one release or one joint for each way of an end, not two",
            )
    for load in frame.loads:
        if isinstance(load, NodeLoad):
            _known(load.node, frame.node_number, "NodeLoad", "node")
            continue
        _known(load.member, names, type(load).__name__, "member")
        if load.axes not in ("global", "local"):
            raise InputError(
                field=f"{type(load).__name__}({load.member}): axes", value=load.axes, need="global or local"
            )
        if isinstance(load, LineLoad) and load.way.startswith("r"):
            raise InputError(field=f"LineLoad({load.member}): way", value=load.way, need="x, y or z")
    _check_holding(frame)


def _check_holding(frame: Frame) -> None:
    used = set(frame.ends.ravel().tolist())
    bare = [n for i, n in enumerate(frame.nodes) if i not in used]
    if bare:
        raise InputError(field=f"node {bare[0]}", value="no bar", need="a bar at every node")
    held = {int(i) // 6 for i in np.nonzero(frame.held)[0]} | {
        frame.node_number[s.node] for s in frame.springs
    }
    if not held:
        raise InputError(
            field="Frame: supports",
            value=None,
            need="a support: nothing holds the frame",
            example='Support("foot.left.front", PINNED)',
        )
    for part in frame.parts:
        if not any(int(n) in held for m in part for n in frame.ends[m]):
            names = ", ".join(frame.members[m].name for m in part[:6])
            raise InputError(
                field=f"member {frame.members[part[0]].name}",
                value="floats",
                need=f"a support or a bar to the rest of the frame: nothing holds {names}, free in every way",
            )


def _known(name: str, names: Iterable[str], field: str, kind: str) -> None:
    if name not in names:
        raise InputError(
            field=field,
            value=name,
            need=f"the name of a {kind} of the frame",
            example=", ".join(list(names)[:4]),
        )


_POSITIVE = ("A", "Iy", "Iz", "J", "E", "G", "Avy", "Avz")
_NOT_NEGATIVE = ("mass_per_length", "joint_stiffness", "joint_play", "spring", "node_mass", "node_inertia")
_MAY_BE_INF = ("Avy", "Avz", "joint_stiffness")
_MAY_BE_NAN = ("load_to", "at", "to")


def _check_numbers(frame: Frame, full: dict[str, np.ndarray]) -> None:
    names = {
        "points": frame.nodes,
        "node_mass": frame.masses,
        "node_inertia": frame.masses,
        "joint_stiffness": [f"{j.member} {j.end} {j.way}" for j in frame.joints],
        "joint_play": [f"{j.member} {j.end} {j.way}" for j in frame.joints],
        "spring": [f"{s.node} {s.way}" for s in frame.springs],
        "settles": [f"{s.node} {s.way}" for s in frame.settlements],
        "gravity": ("x", "y", "z"),
    }
    loads = [
        load.name or f"{load.way} on {getattr(load, 'node', None) or load.member}" for load in frame.loads
    ]
    names |= {k: loads for k in ("load", "load_to", "at", "to")}
    bars = [m.name for m in frame.members]
    for key, array in full.items():
        bad = np.isnan(array) if key not in _MAY_BE_NAN else np.isinf(array)
        if key not in _MAY_BE_INF and key not in _MAY_BE_NAN:
            bad = bad | np.isinf(array)
        need = "a finite number"
        if key in _POSITIVE:
            bad, need = bad | ~(array > 0), "a positive size"
        elif key in _NOT_NEGATIVE:
            bad, need = bad | (array < 0), "zero or more"
        if bad.any():
            where = np.argwhere(bad)[0]
            who = list(names.get(key, bars))[where[1]]
            raise InputError(
                field=f"{key} of {who}, design {where[0]}", value=float(array[tuple(where)]), need=need
            )


def _place_loads(frame: Frame, full: dict[str, np.ndarray]) -> None:
    """Arms as vectors; loads on their bars, with the ends of the bar where none is given."""
    points, ends = full["points"], frame.ends
    along = points[:, ends[:, 1]] - points[:, ends[:, 0]]
    length = np.linalg.norm(along, axis=2)
    unit = along / np.where(length > 0, length, 1.0)[..., None]
    for name, sign in (("arm_first", 1.0), ("arm_second", -1.0)):
        if full[name].ndim == 2:
            full[name] = sign * full[name][..., None] * unit
    clear = np.linalg.norm(along + full["arm_second"] - full["arm_first"], axis=2)
    for i, load in enumerate(frame.loads):
        if isinstance(load, NodeLoad):
            continue
        L = clear[:, frame.member_number[load.member]]
        at, to = full["at"][:, i], full["to"][:, i]
        word = load.name or type(load).__name__
        if isinstance(load, PointLoad):
            if np.isnan(at).any():
                raise InputError(
                    field=f"at: {word} on {load.member}", value=None, need="the place of the load on the bar"
                )
            to[:] = at
        else:
            at[:] = np.where(np.isnan(at), 0.0, at)
            to[:] = np.where(np.isnan(to), L, to)
            full["load_to"][:, i] = np.where(
                np.isnan(full["load_to"][:, i]), full["load"][:, i], full["load_to"][:, i]
            )
        hair = 1e-9 * L
        off = (at < -hair) | (to > L + hair) | (to < at)
        if isinstance(load, LineLoad):
            off |= (to <= at) & (L > 0)
        if off.any():
            d = int(np.nonzero(off)[0][0])
            came = f"{at[d]:.6g} to {to[d]:.6g} m" if isinstance(load, LineLoad) else f"{at[d]:.6g} m"
            raise InputError(
                field=f"at: {word} on {load.member}, design {d}",
                value=came,
                need=f"a place on the bar, from 0 to {L[d]:.6g} m from where it begins",
            )
        at[:], to[:] = np.clip(at, 0, L), np.clip(to, 0, L)
