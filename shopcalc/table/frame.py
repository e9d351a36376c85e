"""From the table's geometry to its frame: nodes on the axes of the bars, one element per straight run, rigid arms
from the axis of a bar to where another begins on its face, springs where a face gives, stubs down to the feet, and the
top in one of its three states.

    state   "dead weight": the top only loads its seats; "sliding": it ties the seats in plan, without bending;
            "clamped": it bends with the base between seats on different bars
    joints  "rigid", or "soft": 0.4 of the calculated springs of tube faces, and the full play of bolts
    feet    "gripping": held in plan by friction; "gliding": free to slide, one foot keeps the table in place
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from shopcalc.joints.face import SOFT, face_springs, round_springs
from shopcalc.mechanics.frames import Frame, Member, NodeLoad, Sizes, Support
from shopcalc.mechanics.frames import Joint as Spring
from shopcalc.mechanics.frames.tapered import as_flexible
from shopcalc.stock.tubes import Tube
from shopcalc.table import seats as seats_of
from shopcalc.table.assembly import HAIR, Joint
from shopcalc.table.assembly import Member as Bar
from shopcalc.table.frame_cases import STANDING, FrameCase, stretchers, supports_of
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.jobfile.joints import Bolts
from shopcalc.table.panels import Diagonal, diagonals
from shopcalc.units import magnitude

STATES = ("dead weight", "sliding", "clamped")
JOINTS = ("rigid", "soft")
FEET = ("gripping", "gliding")
# Bolt holes are this much wider than the bolts where the job does not say (AISC 360-22 table J3.3, standard holes).
HOLE = 1 / 16 * 0.0254
NU_STEEL = 0.3
IN_LINE = 0.995  # cosine between two bars over which neither has a face that the other stands on
# Places on a bar closer than this are one node (m): no bar is that short, and the names of nodes count tenths of a millimetre.
SAME = 1.5e-4
# A tapered bar is laid as straight pieces, so many along it at least: within 1.5 % of the closed form in sag and sway where
# the foot is half of the head, 2.5 % at 0.4 of it (tests/table/test_tapered_legs.py).
TAPER_PIECES = 8
# Where the handbook has no elastic ratio for a wood: the lower end of furniture hardwoods (Wood Handbook ch. 5).
ACROSS, SHEAR = 0.05, 1 / 16


@dataclass(frozen=True)
class TableFrame:
    """The frame of a table in one state, with unit sizes: loads are forces at seats, at the top and along bars.

    runs    bar name -> its elements from first to second end, each with where it begins on the bar (m)
    seat_nodes, foot_nodes   in the order of the geometry's seats and feet;  middles: of the stretchers
    lumped   (nodes,) mass of the bars at the nodes, half of each run at either end
    """

    frame: Frame
    sizes: Sizes
    runs: dict[str, tuple[tuple[str, float], ...]]
    seat_nodes: tuple[str, ...]
    foot_nodes: tuple[str, ...]
    middles: dict[str, str]
    lumped: np.ndarray
    state: str
    joints: str
    feet: str
    notes: tuple[str, ...] = ()


@dataclass
class _Build:
    g: Geometry
    job: Job
    stations: dict[str, list[float]]
    nodes: dict[str, tuple] = field(default_factory=dict)
    members: list[Member] = field(default_factory=list)
    arms: list[tuple] = field(default_factory=list)
    props: list[dict] = field(default_factory=list)
    springs: list[tuple[Spring, float, float]] = field(default_factory=list)
    runs: dict[str, list] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)


def table_frame(job: Job, g: Geometry, *, state: str, joints: str, feet: str, sheet: bool | str = False) -> TableFrame:
    """The frame in one state; asked again for the same job it is not built again. sheet: with the sheet of podiums as
    shear panels, which no strength counts on; "whole": with all of its stiffness, for the forces in the sheet itself."""
    key = (state, joints, feet, sheet)
    asked, found = g.kept.get(key, (None, None))
    if asked is not job:
        found = _table_frame(job, g, state, joints, feet, sheet)
        g.kept[key] = job, found
    return found


def _table_frame(job: Job, g: Geometry, state: str, joints: str, feet: str, sheet: bool | str) -> TableFrame:
    b, foot_nodes, seat_nodes = _base(job, g)
    b = replace(b, nodes=dict(b.nodes), springs=b.springs if joints == "soft" else [],
                **{n: list(getattr(b, n)) for n in ("members", "arms", "props")})
    if state != "dead weight":
        _top_ties(b, seat_nodes, clamped=state == "clamped")
    for d in diagonals(job, g, whole=sheet == "whole") if sheet else ():
        _brace(b, d)
    supports = _supports(g, foot_nodes, feet)
    middles = {n: _node(b, n, g.members[n].length / 2) for n in stretchers(g)}
    loads = tuple(NodeLoad(n, way, f"{way} on {n}") for n in b.nodes for way in "xyz")
    frame = Frame(nodes=tuple(b.nodes), members=tuple(b.members), supports=supports, joints=tuple(s for s, _, _ in b.springs),
                  loads=loads, masses=tuple(dict.fromkeys(seat_nodes)))
    sizes = frame.sizes(
        points=np.array(list(b.nodes.values())), **{k: np.array([p[k] for p in b.props]) for k in b.props[0]},
        arm_first=np.array([[a for a, _ in b.arms]]), arm_second=np.array([[a for _, a in b.arms]]),
        joint_stiffness=np.array([k for _, k, _ in b.springs]) if b.springs else None,
        joint_play=np.array([p for _, _, p in b.springs]) if b.springs else 0.0, node_mass=_top_mass(g, seat_nodes))
    return TableFrame(frame, sizes, {n: tuple(r) for n, r in b.runs.items()}, seat_nodes, foot_nodes, middles, _lumped(b), state,
                      joints, feet, tuple(dict.fromkeys(b.notes)))


def _base(job: Job, g: Geometry) -> tuple[_Build, tuple[str, ...], tuple[str, ...]]:
    """Bars and feet with the springs of soft joints, the same in every state of the top; nodes of feet and seats. Laid once."""
    asked, *found = g.kept.get("base", (None,))
    if asked is not job:
        b = _Build(g, job, _stations(g))
        for bar in g.members.values():
            _lay(b, bar, b.stations[bar.name])
        found = [b, tuple(_stub(b, f) for f in g.contacts), tuple(_node(b, s.member, g.members[s.member].place_of(s.place)) for s in g.seats)]
        g.kept["base"] = job, *found
    return tuple(found)


def with_cases(t: TableFrame, cases: Sequence[FrameCase], g: Geometry, *, factor: float = 1.0,
               stiffness: float = 1.0, lifted: frozenset[int] = frozenset()) -> tuple[Frame, Sizes]:
    """The frame under load cases that are all held alike: one design for each case.

    factor multiplies every load (1.6 for the strength of ASD combinations), stiffness every modulus (0.8 by C2.3)
    lifted  feet that have left the floor and hold nothing
    """
    supports = supports_in(t, g, cases[0].held, lifted)
    frame = t.frame if supports is t.frame.supports else replace(t.frame, supports=supports)
    return frame, sizes_of(t, cases, factor=factor, stiffness=stiffness)


def sizes_of(t: TableFrame, cases: Sequence[FrameCase], *, factor: float = 1.0, stiffness: float = 1.0) -> Sizes:
    """One design for each case; factor and stiffness as in `with_cases`."""
    rows = factor * np.stack([_forces(t, c).ravel() for c in cases])
    many = t.sizes[np.zeros(len(cases), int)]
    return many.replaced(load=rows, load_to=rows, E=many.E * stiffness, G=many.G * stiffness)


def holds_of(t: TableFrame, g: Geometry, each: Sequence[tuple[str, frozenset[int]]]) -> np.ndarray:
    """(n, nodes*6) the ways held in designs that are not all held alike, by how each is held and the feet lifted."""
    ways = {one: t.frame.held_by(supports_in(t, g, *one)) for one in dict.fromkeys(each)}
    return np.stack([ways[one] for one in each])


def supports_in(t: TableFrame, g: Geometry, held: str, lifted: frozenset[int] = frozenset()) -> tuple[Support, ...]:
    """What holds the frame in a case that is held so, with some feet off the floor."""
    supports = t.frame.supports
    if held != STANDING:
        names = {"foot": t.foot_nodes, "seat": t.seat_nodes}
        ways: dict[str, str] = {}
        for kind, i, words in supports_of(held, g):
            ways[names[kind][i]] = " ".join(dict.fromkeys((ways.get(names[kind][i], "") + " " + words).split()))
        supports = tuple(Support(n, w) for n, w in ways.items())
    if lifted:
        gone = {t.foot_nodes[i] for i in lifted}
        supports = _still_held(t, [s for s in supports if s.node not in gone], supports, gone)
    return supports


def _still_held(t: TableFrame, left: list[Support], before: tuple[Support, ...], gone: set[str]) -> tuple[Support, ...]:
    """What the lifted feet held in plan is held by the feet that are left, as far from the others that hold it as can be:
    so the table neither slides away nor turns in plan."""
    words = {s.node: set(s.holds.split()) for s in left}
    place = {n: t.sizes.points[0, t.frame.node_number[n]] for n in words}
    for s in before:
        if s.node in gone:
            for way, other in (("x", 1), ("y", 0)):
                free = [n for n, w in words.items() if "z" in w and way not in w]
                if way in s.holds.split() and free:
                    held = [place[n][other] for n, w in words.items() if way in w]
                    words[max(free, key=lambda n: min([abs(place[n][other] - h) for h in held], default=0.0))].add(way)
    return tuple(Support(n, " ".join(sorted(w))) for n, w in words.items())


def _forces(t: TableFrame, c: FrameCase) -> np.ndarray:
    """(nodes, 3): own weight of the bars, the top on its seats, what acts on feet and stretchers."""
    number = t.frame.node_number
    found = np.outer(t.lumped, c.gravity)
    for names, forces in ((t.seat_nodes, c.seats), (t.foot_nodes, c.feet)):
        np.add.at(found, [number[n] for n in names], forces)
    for name, down in c.stretchers.items():
        found[number[t.middles[name]], 2] -= down
    return found


def _top_mass(g: Geometry, seat_nodes: tuple[str, ...]) -> np.ndarray:
    """Mass of the top at its seats (kg), for frequencies; its weight is among the loads."""
    cells = seats_of.cells_of(g.top, seats_of.sharing(g))
    share = np.maximum(cells.spread(g.top.mass / g.top.area), 0.0)
    found = dict.fromkeys(seat_nodes, 0.0)
    for node, mass in zip(seat_nodes, share, strict=True):
        found[node] += float(mass)
    return np.array(list(found.values()))


def _lumped(b: _Build) -> np.ndarray:
    number = {n: i for i, n in enumerate(b.nodes)}
    found = np.zeros(len(number))
    for m, p, (one, two) in zip(b.members, b.props, b.arms, strict=True):
        length = np.linalg.norm(np.add(b.nodes[m.second], two) - np.add(b.nodes[m.first], one))
        for n in (m.first, m.second):
            found[number[n]] += p["mass_per_length"] * length / 2
    return found


# --- bars ----------------------------------------------------------------------------------------


def _stations(g: Geometry) -> dict[str, list[float]]:
    """Where each bar has a node on its axis: its ends, joints it carries, seats, feet, the middle of a stretcher."""
    found = {n: [0.0, m.length] for n, m in g.members.items()}
    for j in (*g.joints, *g.seams):
        found[j.host].append(g.members[j.host].place_of(j.place))
        if j.end < 0:
            found[j.branch].append(g.members[j.branch].place_of(j.place))
    for thing in (*g.seats, *g.contacts):
        found[thing.member].append(g.members[thing.member].place_of(thing.place))
    for name, m in g.members.items():
        if m.straight:
            found[name].append(m.kink)
    for name in stretchers(g):  # a person may stand there
        found[name].append(g.members[name].length / 2)
    clean = {}
    for name, places in found.items():
        length = g.members[name].length
        kept: list[float] = []
        for p in sorted(min(max(p, 0.0), length) for p in places):
            if not kept or p - kept[-1] > SAME:
                kept.append(p)
        kept[-1] = length
        clean[name] = kept if g.members[name].tapers_to is None else _stepped(kept, g.members[name].kink)
    return clean


def _stepped(places: list[float], kink: float) -> list[float]:
    """Places on a tapered bar so near to each other that straight pieces stand for it: up to the kink no piece longer than
    a part in TAPER_PIECES of the way there, those between two places alike."""
    most = kink / TAPER_PIECES
    found = [places[0]]
    for one, two in zip(places, places[1:], strict=False):
        count = int(np.ceil((two - one) / most - 1e-9)) if one < kink - SAME else 1
        found += [one + (two - one) * (k + 1) / count for k in range(count)]
    return found


def _joint_at(g: Geometry, bar: Bar, place: float) -> Joint | None:
    """The joint by which an end of a bar (or its crossing) stands on another."""
    for j in (*g.joints, *g.seams):
        if j.branch == bar.name and j.end >= 0 and abs(place - (bar.length if j.end else 0.0)) < 20 * HAIR:
            return j
        if j.branch == bar.name and j.end < 0 and abs(place - bar.place_of(j.place)) < 20 * HAIR:
            return j
    return None


def _node(b: _Build, bar_name: str, place: float) -> str:
    """The node of a place on a bar: that of the host where the bar ends on another."""
    bar = b.g.members[bar_name]
    joint = _joint_at(b.g, bar, place)
    if joint is not None:
        host = b.g.members[joint.host]
        return _node(b, joint.host, host.place_of(joint.place))
    place = min(b.stations[bar_name], key=lambda p: abs(p - place))
    name = f"{bar_name}@{place * 1e3:.1f}"
    if name not in b.nodes:
        b.nodes[name] = bar.point_at(place)
    return name


def _lay(b: _Build, bar: Bar, places: list[float]) -> None:
    runs = []
    for k, (one, two) in enumerate(zip(places, places[1:], strict=False)):
        name = bar.name if len(places) == 2 else f"{bar.name}#{k + 1}"
        first, second = _node(b, bar.name, one), _node(b, bar.name, two)
        b.members.append(Member(name, first, second, height_along="x" if bar.upright else "z" if abs(bar.direction[2]) > 0.3 else "auto"))
        b.arms.append((np.subtract(bar.point_at(one), b.nodes[first]), np.subtract(bar.point_at(two), b.nodes[second])))
        b.props.append(_props(bar) if bar.tapers_to is None else _tapered_props(bar, one, two))
        runs.append((name, one))
        for place, end in ((one, "first"), (two, "second")):
            joint = _joint_at(b.g, bar, place)
            if joint is not None and joint.end >= 0 and joint not in b.g.seams:
                _spring(b, joint, bar, name, end)
    b.runs[bar.name] = runs


def _brace(b: _Build, d: Diagonal) -> None:
    """A hinged diagonal from the foot of one post to the head of the other, as thick as a rod of its section."""
    ends = _node(b, d.first.name, 0.0), _node(b, d.second.name, d.second.length)
    b.members.append(Member(d.name, *ends, free_first="ry rz", free_second="ry rz"))
    places = d.first.first, d.second.second
    b.arms.append(tuple(np.subtract(place, b.nodes[n]) for place, n in zip(places, ends, strict=True)))
    I = d.A**2 / (4 * np.pi)  # noqa: E741
    b.props.append({**_props(d.first), "A": d.A, "Iy": I, "Iz": I, "J": 2 * I, "Avy": 0.9 * d.A, "Avz": 0.9 * d.A, "mass_per_length": 0.0})


def _tapered_props(bar: Bar, one: float, two: float) -> dict[str, float]:
    """Of a short piece of a tapered bar: as flexible as the piece is, as heavy as at its middle (the wall does not change)."""
    first, middle, last = (_props(bar.at(p)) for p in (one, (one + two) / 2, two))
    return {k: v if k in ("E", "G", "mass_per_length") else as_flexible(first[k], v, last[k]) for k, v in middle.items()}


def _props(bar: Bar) -> dict[str, float]:
    s, steel = bar.design, bar.tube.steel
    return {"A": float(s.A[0]), "Iy": float(s.Ix[0]), "Iz": float(s.Iy[0]), "J": float(s.J[0]), "Avz": float(s.Av_x[0]),
            "Avy": float(s.Av_y[0]), "E": float(magnitude(steel.E, "Pa")), "G": float(magnitude(steel.G, "Pa")),
            "mass_per_length": float(s.mass_per_length[0]) + bar.clad}


def _spring(b: _Build, joint: Joint, bar: Bar, run: str, end: str) -> None:
    """Springs of a branch on a tube face, and play of its bolts."""
    made = b.job.joint(joint.kind)
    play = 0.0
    if isinstance(made, Bolts):
        hole = HOLE if made.hole is None else float(magnitude(made.hole, "m"))
        lever = b.g.branch(joint).height if made.apart is None else float(magnitude(made.apart, "m"))
        play = hole / lever
    host = b.g.host(joint)
    line, across = joint_stiffness(b.g.branch(joint), host)
    for way, along in (("ry", bar_turn(bar, host, "ry")), ("rz", bar_turn(bar, host, "rz"))):
        stiffness = SOFT * (line if along else across)
        if np.isfinite(stiffness) or play:
            b.springs.append((Spring(run, end, way), stiffness, play))


def joint_stiffness(branch: Bar, host: Bar) -> tuple[float, float]:
    """Calculated springs (N m/rad) of a branch on the face of its host: for moments in the plane of the two bars, and out
    of it. inf where the host is no tube, the branch stands on its side walls, or the two lie in one line, and for a square
    branch on a round host, which nothing published covers. A round branch on a flat face counts as the square that is
    pi/4 of it wide, which gives more."""
    if not isinstance(host.tube, Tube) or not isinstance(branch.tube, Tube):
        return np.inf, np.inf
    if abs(float(branch.direction @ host.direction)) > IN_LINE:
        return np.inf, np.inf
    steel, round_branch = host.tube.steel, branch.tube.shape == "round"
    if host.tube.shape == "round":
        if not round_branch:
            return np.inf, np.inf
        found = round_springs(E=float(magnitude(steel.E, "Pa")), t=float(host.design.t[0]), D=host.width, D_b=branch.width,
                              theta=float(np.arccos(abs(float(branch.direction @ host.direction)))))
        return float(found[0]), float(found[1])
    across, along, face = branch_on_face(branch, host)
    if round_branch:
        across, along = np.pi / 4 * across, np.pi / 4 * along
    found = face_springs(E=float(magnitude(steel.E, "Pa")), nu=NU_STEEL, t=float(host.design.t[0]), face=face, across=across, along=along)
    return float(found[0]), float(found[1])


def branch_on_face(branch: Bar, host: Bar) -> tuple[float, float, float]:
    """Size of a branch across and along the face it stands on, and the width of that face (m)."""
    across_way = _cross(host.direction, branch.direction)
    across_way = across_way / np.linalg.norm(across_way)
    side = _cross(branch.direction, branch.up)
    up_across = abs(float(branch.up @ across_way)) > abs(float(side @ across_way))
    across, along = (branch.height, branch.width) if up_across else (branch.width, branch.height)
    host_up_across = abs(float(host.up @ across_way)) > 0.7
    return across, along, host.height if host_up_across else host.width


def _cross(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """a x b of two single directions: np.cross, made for rows of them, takes ten times as long."""
    (ax, ay, az), (bx, by, bz) = a.tolist(), b.tolist()
    return np.array([ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx])


def bar_turn(branch: Bar, host: Bar, way: str) -> bool:
    """True where turning the branch about its local axis `way` bends it in the plane of the two bars."""
    across_way = _cross(host.direction, branch.direction)
    side = _cross(branch.direction, branch.up)  # local y, up to sign; local z is `up`
    axis = side if way == "ry" else branch.up
    return abs(float(axis @ across_way)) > 0.7 * np.linalg.norm(across_way)


# --- feet and top ----------------------------------------------------------------------------------


def _stub(b: _Build, foot) -> str:
    """From the axis of the bar down to the floor: as stiff as the bar it is under."""
    bar = b.g.members[foot.member]
    node = _node(b, foot.member, bar.place_of(foot.place))
    if abs(b.nodes[node][2] - foot.floor[2]) < 20 * HAIR:
        return node
    b.nodes[foot.name] = foot.floor
    b.members.append(Member(f"{foot.name}.stub", node, foot.name))
    arm = np.subtract(foot.place, b.nodes[node])
    b.arms.append((arm, np.zeros(3)))
    b.props.append({**_props(bar.at(bar.place_of(foot.place))), "mass_per_length": 0.0})
    b.notes.append("levellers and glides taken as stiff stubs under the bar they stand in")
    return foot.name


def _supports(g: Geometry, nodes: tuple[str, ...], feet: str) -> tuple[Support, ...]:
    if feet == "gripping":
        return tuple(Support(n, "x y z") for n in nodes)
    places = g.foot_contacts
    anchor = 0
    # The anchor keeps the table in place; a second foot, furthest along x, keeps it from turning in plan.
    other = int(np.abs(places[:, 0] - places[anchor, 0]).argmax())
    return tuple(Support(n, "x y z" if i == anchor else "y z" if i == other else "z") for i, n in enumerate(nodes))


def _top_ties(b: _Build, seat_nodes: tuple[str, ...], *, clamped: bool) -> None:
    """The top between seats on different bars, as strips: stiff in plan; hinged against bending unless clamped."""
    shared = seats_of.sharing(b.g)
    top, wood = b.g.top, b.g.top.wood
    pairs = set()
    for tri in shared.triangles:
        for i, j in ((0, 1), (1, 2), (0, 2)):
            one, two = sorted((int(tri[i]), int(tri[j])))
            if b.g.seats[one].member != b.g.seats[two].member and seat_nodes[one] != seat_nodes[two]:
                # A diagonal lies one way only: its mirror images stand beside it, so a like base has a like top.
                pairs |= {tuple(sorted((int(order[one]), int(order[two])))) for _, order in shared.mirrors}
    if not pairs:
        return
    along = {p for p in pairs if abs(shared.seats[p[1]][0] - shared.seats[p[0]][0]) >= abs(shared.seats[p[1]][1] - shared.seats[p[0]][1])}
    width = top.width / max(len(along), 1)
    E_L = float(magnitude(wood.MOE, "Pa"))
    hinge = "" if clamped else "ry"
    for one, two in sorted(pairs):
        way = shared.seats[two] - shared.seats[one]
        share = float(way @ top.grain_way) / np.hypot(*way)
        # Along the grain full stiffness, across it the ratio of the species (or the low end of hardwoods).
        E = E_L * max(share**2, wood.ET_EL or ACROSS)
        t = top.thickness
        b.members.append(Member(f"top.{one + 1}-{two + 1}", seat_nodes[one], seat_nodes[two], free_first=hinge, free_second=hinge,
                                height_along="z"))
        half = np.array([0.0, 0.0, top.underside + t / 2])
        ends = [np.array([0.0, 0.0, half[2] - b.nodes[n][2]]) for n in (seat_nodes[one], seat_nodes[two])]
        b.arms.append(tuple(ends) if clamped else (np.zeros(3), np.zeros(3)))
        b.props.append({"A": width * t, "Iy": width * t**3 / 12, "Iz": t * width**3 / 12, "J": width * t**3 / 3, "Avz": 5 / 6 * width * t,
                        "Avy": 5 / 6 * width * t, "E": E, "G": E_L * (wood.GLR_EL or SHEAR), "mass_per_length": 0.0})
