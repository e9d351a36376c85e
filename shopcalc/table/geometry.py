"""One geometry from the job: named points, members and bodies. Everything else reads it, nothing re-enters a size.

Axes: origin at the plan centre of the top, on the floor; x along the length, y across, z up. Metres. Names as
seen from -y: left, right, front (towards -y), back.
"""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from shopcalc.errors import InputError
from shopcalc.stock.woods import Wood
from shopcalc.table.assembly import Assembly, Foot, Joint, Member, Point, Seat
from shopcalc.table.bases import lay_out
from shopcalc.table.bases.fit import Fit, metres
from shopcalc.table.job import Job
from shopcalc.table.jobfile.joints import TOP_KEY, Bolts, TopFixing, Weld
from shopcalc.units import magnitude
from shopcalc.wood import inlay


@dataclass(frozen=True)
class Lump:
    """What a pocket adds to the mass of the slab (kg; an open pocket takes off), its rectangle x0, x1, y0, y1 and the height
    of its middle (m)."""

    mass: float
    x0: float
    x1: float
    y0: float
    y1: float
    z: float

    @property
    def middle(self) -> np.ndarray:
        return np.array([(self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2, self.z])

    @property
    def area(self) -> float:
        return (self.x1 - self.x0) * (self.y1 - self.y0)


@dataclass(frozen=True)
class TopBody:
    """The top as a slab, rectangular or round, grain along x. `underside` is its height above the floor; `mass` is all of it,
    what its pockets add or take (`lumps`) in it."""

    shape: str
    length: float
    width: float
    thickness: float
    underside: float
    wood: Wood
    moisture: float
    moisture_assumed: bool
    mass: float
    mass_weighed: bool
    lumps: tuple[Lump, ...] = ()

    @property
    def slab(self) -> float:
        """Mass of the slab as if it had no pockets, kg."""
        return self.mass - sum(l.mass for l in self.lumps)

    @property
    def middle(self) -> np.ndarray:
        """Centre of gravity: off the middle where a heavy inlay is."""
        plain = np.array([0.0, 0.0, self.underside + self.thickness / 2])
        return plain + sum((l.mass * (l.middle - plain) for l in self.lumps), np.zeros(3)) / self.mass

    @property
    def area(self) -> float:
        return np.pi * self.length * self.width / 4 if self.shape == "round" else self.length * self.width

    @property
    def surface(self) -> float:
        """Height of the upper face above the floor."""
        return self.underside + self.thickness

    def covers(self, x, y, inset: float = 0.0) -> np.ndarray:
        """Where places (x, y) lie on the top, at least `inset` from its edge."""
        a, b = self.length / 2 - inset + 1e-9, self.width / 2 - inset + 1e-9
        if self.shape == "round":
            return (np.asarray(x) / a) ** 2 + (np.asarray(y) / b) ** 2 <= 1
        return (np.abs(x) <= a) & (np.abs(y) <= b)


@dataclass(frozen=True)
class Piece:
    """A knocked-down piece as it is carried: mass (kg) and centre of gravity (m) where it stands in the table."""

    name: str
    mass: float
    centre: tuple[float, float, float]


@dataclass(frozen=True)
class Geometry:
    """The table: named points, bars, how they are joined, feet, seats, the top, and what it comes apart into."""

    points: dict[str, Point]
    members: dict[str, Member]
    joints: tuple[Joint, ...]
    contacts: tuple[Foot, ...]
    seats: tuple[Seat, ...]
    top: TopBody
    pieces: tuple[Piece, ...]

    @cached_property
    def kept(self) -> dict:
        """What was worked out of this geometry and is asked again: see frame.table_frame."""
        return {}

    def branch(self, joint: Joint) -> Member:
        """The branch of a joint with its size there: a tapered bar is not as large at its foot as at its head."""
        bar = self.members[joint.branch]
        return bar if bar.tapers_to is None else bar.at(bar.place_of(joint.place) if joint.end < 0 else bar.length * joint.end)

    def host(self, joint: Joint) -> Member:
        """The host of a joint with its size there."""
        bar = self.members[joint.host]
        return bar if bar.tapers_to is None else bar.at(bar.place_of(joint.place))

    @property
    def feet(self) -> tuple[str, ...]:
        return tuple(f.name for f in self.contacts)

    @property
    def foot_contacts(self) -> np.ndarray:
        """(n, 2) plan places of the contacts on the floor."""
        return np.array([f.floor[:2] for f in self.contacts])

    @property
    def mass(self) -> float:
        return sum(p.mass for p in self.pieces)

    @property
    def overhang(self) -> float:
        """From the outermost seat along the table to the end of the top."""
        return self.top.length / 2 - max(abs(s.place[0]) for s in self.seats)


DEFAULT_MOISTURE = 0.08


def build(job: Job) -> Geometry:
    """The geometry of a job. Raises InputError where parts do not fit each other, or a joint is not described."""
    base, top = job.model.base, job.model.top
    fit = Fit(job)
    fit.need(metres(top.thickness) < metres(top.width) / 4, "top.thickness", top.thickness,
             "a thickness under a quarter of the width", 'thickness = "1-3/4 in"')
    fit.need(metres(top.width) <= metres(top.length), "top.width", top.width,
             "a width up to the length (length runs along the grain)", 'width = "48 in"')
    if top.shape == "round":
        fit.need(abs(metres(top.length) - metres(top.width)) < 1e-6, "top.width", top.width,
                 "a width equal to the length: both are the diameter", 'width = "54 in"')
    fit.need(metres(base.feet.height) < metres(base.height) / 4, "base.feet.height", base.feet.height,
             "feet under a quarter of the height of the base", 'height = "1 in"')
    feet = base.feet
    fit.need(feet.stud is None or feet.kind == "leveller", "base.feet.stud", feet.stud, "levellers: other feet have no stud", 'kind = "leveller"')
    fit.need(feet.stud_grade is None or feet.stud is not None, "base.feet.stud_grade", feet.stud_grade, "the stud that is of this grade",
             'stud = "3/8-16"')
    assembly = lay_out(job, base)
    _joints_described(job, assembly)
    points: dict[str, Point] = {f.name: f.floor for f in assembly.feet}
    for m in assembly.members.values():
        points[f"{m.name}.first"], points[f"{m.name}.second"] = m.first, m.second
    points |= {s.name: s.place for s in assembly.seats}
    body = _top(job, top, metres(base.height))
    return Geometry(points, assembly.members, tuple(assembly.joints), tuple(assembly.feet), tuple(assembly.seats), body,
                    _pieces(assembly.members, body, job.model.evidence.weighed_pieces))


def _joints_described(job: Job, assembly: Assembly) -> None:
    kinds = list(dict.fromkeys(j.kind for j in assembly.joints))
    for kind in kinds:
        if isinstance(job.joint(kind), TopFixing):
            raise InputError(field=f"joints.{kind.replace(' ', '_')}", value="a fixing of wood", need="a weld or bolts",
                             example='{ weld = "fillet all round", leg = "1/8 in" }')
    keys = [k.replace(" ", "_") for k in kinds]
    stray = [k for k in job.model.joints if k not in keys and k != TOP_KEY]
    if isinstance(job.model.joints.get(TOP_KEY), Weld | Bolts):
        raise InputError(field=f"joints.{TOP_KEY}", value="a weld or bolts between bars", need="how the top is held on the base",
                         example=f'{TOP_KEY} = {{ fixing = "#10", count = 12, length = "1-1/2 in", tab = "1/8 in" }}')
    if stray:
        near = difflib.get_close_matches(stray[0], [*keys, TOP_KEY], n=1, cutoff=0.5)
        hint = f" (did you mean {near[0]}?)" if near else ""
        raise InputError(field=f"joints.{stray[0]}", value=stray[0], example=near[0] if near else keys[0],
                         need=f"a joint this base has{hint}: " + ", ".join([*keys, TOP_KEY]))


def _top(job: Job, top, height: float) -> TopBody:
    moisture = DEFAULT_MOISTURE if top.moisture is None else top.moisture
    length, width, thickness = metres(top.length), metres(top.width), metres(top.thickness)
    volume = (np.pi / 4 if top.shape == "round" else 1.0) * length * width * thickness
    weighed = job.model.evidence.weighed_top
    lumps = _lumps(job, height, thickness, moisture)
    density = float(magnitude(top.wood.density(moisture), "kg/m**3"))
    mass = float(magnitude(weighed, "kg")) if weighed is not None else density * volume + sum(l.mass for l in lumps)
    body = TopBody(top.shape, length, width, thickness, height, top.wood, moisture, top.moisture is None, mass, weighed is not None, lumps)
    if not body.slab > 0 or not mass > 0:
        raise InputError(field="top.pockets", value=f"{sum(l.mass for l in lumps):.0f} kg in a top of {mass:.0f} kg",
                         need="pockets whose filling is lighter than the top, and that leave wood between them", example='depth = "3/8 in"')
    return body


def _lumps(job: Job, underside: float, thickness: float, moisture: float) -> tuple[Lump, ...]:
    """What every pocket adds: its filling less the wood that was cut out; nothing but the wood where it is left open."""
    top, found = job.model.top, []
    wood = top.wood.density(moisture)
    resin = inlay.EPOXY["density"] if top.resin.density is None else top.resin.density
    for p in top.pockets.values():
        x, y, a, b, d = (metres(v) for v in (*p.at, p.length, p.width, p.depth))
        volume = inlay.pocket_volume(p.length * p.width, p.depth)
        added = inlay.added_mass(volume, rho=0 * resin if p.filled == "nothing" else resin, rho_w=wood)
        z = underside + (thickness - d / 2 if p.face == "upper" else d / 2)
        found.append(Lump(float(magnitude(added, "kg")), x - a / 2, x + a / 2, y - b / 2, y + b / 2, z))
    return tuple(found)


def _pieces(members: dict[str, Member], top: TopBody, weighed: dict) -> tuple[Piece, ...]:
    """The top, and each group of members that stays welded together; a piece that was weighed has that mass."""
    pieces = [Piece("top", top.mass, tuple(float(v) for v in top.middle))]
    for name in dict.fromkeys(m.piece for m in members.values()):
        bars = [m for m in members.values() if m.piece == name]
        masses = np.array([b.carried_mass for b in bars])
        centre = (masses[:, None] * np.array([b.centre for b in bars])).sum(axis=0) / masses.sum()
        mass = float(magnitude(weighed[name], "kg")) if name in weighed else float(masses.sum())
        pieces.append(Piece(name, mass, tuple(float(v) for v in centre)))
    stray = [n for n in weighed if n not in {p.name for p in pieces[1:]}]
    if stray:
        raise InputError(field=f"evidence.weighed_pieces.{stray[0]}", value=stray[0], example=pieces[-1].name,
                         need="a piece that this base comes apart into (the top has weighed_top): " + ", ".join(p.name for p in pieces[1:]))
    return tuple(pieces)
