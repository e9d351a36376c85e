"""What a base is made of, whatever its style: straight bars, what is joined to what, feet, and seats of the top.

A base style (shopcalc/table/bases) lays these out from the job; frame, drawing, parts and pieces read them.
Points are (x, y, z) in metres: origin at the plan centre of the top, on the floor; z up.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from shopcalc.errors import InputError
from shopcalc.stock.sections import SectionArrays
from shopcalc.stock.shapes import Shape, section_of
from shopcalc.stock.tubes import Tube, size_word
from shopcalc.units import Quantity, magnitude

Point = tuple[float, float, float]
CORNERS = ("tapered legs are closed along their corners or down a face: those long welds are not checked. Weld them through the "
           "wall from end to end, in short runs on opposite corners so that the leg stays straight; ground flush they must still hold")
HAIR = 1e-6  # metres: two places closer than this are one


def _fixed(array: np.ndarray) -> np.ndarray:
    """An array that is shared and may not be written into."""
    array.flags.writeable = False
    return array


PLATE_STRIPS = (
    "the foot plate bends as strips no wider than the column, from its middle to each foot; the rest of the plate only weighs, which "
    "is cautious"
)


@dataclass(frozen=True)
class Plate:
    """A level plate under a column: length along the table, width across it (m); both the diameter of a round one."""

    length: float
    width: float
    round: bool = False

    @property
    def area(self) -> float:
        return self.length * self.width * (np.pi / 4 if self.round else 1.0)


@dataclass(frozen=True)
class Member:
    """A straight bar on its axis from `first` to `second`. height stands along `up` (z for a bar that lies level,
    x for an upright one); stock is the job's name for what it is made of; clad: sheet that hangs on it, kg per metre.

    tapers_to   the tube that a tapered bar is at `first` (its foot), or None: `tube` is then its size at its head, in
                between the sizes run straight. `height`, `width` and `design` are those of `tube`, the larger end.
    straight    of a tapered bar: how much of it at `second` stays as large as `tube` (m)
    plate       the plate that this is a strip of, or None
    """

    name: str
    piece: str
    stock: str
    tube: Tube | Shape
    first: Point
    second: Point
    clad: float = 0.0
    tapers_to: Tube | None = None
    straight: float = 0.0
    plate: Plate | None = None

    @cached_property
    def length(self) -> float:
        return float(np.linalg.norm(self.axis))

    @cached_property
    def axis(self) -> np.ndarray:
        return np.subtract(self.second, self.first)

    @cached_property
    def direction(self) -> np.ndarray:
        return _fixed(self.axis / self.length)

    @property
    def upright(self) -> bool:
        """Nearer to upright than to level."""
        return abs(self.axis[2]) > 0.7072 * self.length

    @cached_property
    def up(self) -> np.ndarray:
        """The direction across the axis along which the height of the section stands."""
        reference = np.array([1.0, 0.0, 0.0]) if self.upright else np.array([0.0, 0.0, 1.0])
        across = reference - self.direction * float(reference @ self.direction)
        return _fixed(across / np.linalg.norm(across))

    @cached_property
    def height(self) -> float:
        return float(self.design.height[0])

    @cached_property
    def width(self) -> float:
        return float(self.design.width[0])

    @cached_property
    def design(self) -> SectionArrays:
        """The section with its design wall (mass is always from the nominal one)."""
        return section_of(self.tube, "design")

    @property
    def words(self) -> str:
        """What it is made of, as the shop says it."""
        if self.tapers_to is None:
            return self.tube.words
        plain = f"{self.tube.words}, tapered to {' x '.join(self.tapers_to.size_words)} at the foot"
        if not self.straight:
            return plain
        return f"{plain} from {size_word(Quantity(self.straight, 'm').to(str(self.tapers_to.height.units)))} under its head"

    @property
    def mass(self) -> float:
        """Of the bar alone, from the nominal wall: of a tapered one at its mean size, since the wall does not change."""
        heavy = float(self.design.mass_per_length[0])
        if self.tapers_to is None:
            return heavy * self.length
        return (heavy + float(self.section_at(0.0).mass_per_length[0])) / 2 * self.kink + heavy * self.straight

    @property
    def carried_mass(self) -> float:
        """Of the bar and the sheet on it."""
        return self.mass + self.clad * self.length

    @property
    def middle(self) -> np.ndarray:
        return (np.asarray(self.first) + np.asarray(self.second)) / 2

    @property
    def centre(self) -> np.ndarray:
        """Centre of gravity: of a tapered bar nearer to its heavier end, as that of a trapezium and what is straight."""
        if self.tapers_to is None:
            return self.middle
        light, heavy = (float(s.mass_per_length[0]) for s in (self.section_at(0.0), self.design))
        moment = self.kink**2 * (light + 2 * heavy) / 6 + heavy * self.straight * (self.length - self.straight / 2)
        return np.asarray(self.first) + self.direction * moment / self.mass

    # --- a tapered bar

    @property
    def face_lean(self) -> float:
        """Degrees by which its faces lean from its axis at most; nought where it does not taper."""
        if self.tapers_to is None:
            return 0.0
        (H, B, _, _), (h, b, _, _) = self.tube.si, self.tapers_to.si
        return float(np.degrees(np.arctan2(max(H - h, B - b) / 2, self.kink)))

    @property
    def kink(self) -> float:
        """Distance from `first` at which a tapered bar is as large as its head."""
        return self.length - self.straight

    @property
    def assumed(self) -> tuple[str, ...]:
        """What is taken for granted about what it is made of."""
        if self.plate is not None:
            return (*self.tube.assumed, PLATE_STRIPS)
        if self.tapers_to is None:
            return self.tube.assumed
        return (*self.tube.assumed, f"{self.stock}: tapered legs are as thick, as strong and as round at their corners as this stock "
                "says: ask for the certificate of the sheet they are made of")

    @property
    def cautions(self) -> tuple[str, ...]:
        if self.tapers_to is None:
            return ()
        # Round corners take as much off at every size: here from the mean one.
        (H, B, t, _), (h, b, _, _) = self.tube.si, self.tapers_to.si
        mean = H + B - (H + B - h - b) / 2 * self.kink / self.length
        sharp = 2 * t * (mean - 2 * t) * float(magnitude(self.tube.steel.density, "kg/m**3")) * self.length
        return CORNERS, f"legs of plates with sharp corners weigh {100 * (sharp / self.mass - 1):.0f} % more than is counted, which is with round ones"

    def at(self, place: float) -> Member:
        """The bar as it is at a distance from `first`, as if it were so all along."""
        if self.tapers_to is None:
            return self
        key = round(min(max(place, 0.0), self.length), 7)
        if key not in self._at:
            self._at[key] = replace(self, tube=self.tapers_to.between(self.tube, key / self.kink), tapers_to=None)
        return self._at[key]

    def made_of(self, tube: Tube) -> Member:
        """The same bar of another tube, tapered to the same size at its foot."""
        foot = self.tapers_to
        return replace(self, tube=tube, tapers_to=None if foot is None else tube.of_size(foot.height, foot.width))

    @cached_property
    def _at(self) -> dict[float, Member]:
        return {}

    def section_at(self, place: float) -> SectionArrays:
        """The section, with its design wall, at a distance from `first`."""
        return self.at(place).design

    def half_depth(self, direction: np.ndarray) -> float:
        """From the axis to the face of the bar, seen along `direction`."""
        side = np.cross(self.direction, self.up)
        high, wide = abs(float(direction @ self.up)), abs(float(direction @ side))
        if (self.tube.shape if isinstance(self.tube, Tube) else self.tube.kind) in ("round", "round bar"):
            return float(np.hypot(high, wide)) * self.width / 2
        return high * self.height / 2 + wide * self.width / 2

    def place_of(self, point) -> float:
        """Distance along the axis from `first` of the foot of the perpendicular from a point."""
        return float(np.subtract(point, self.first) @ self.direction)

    def point_at(self, distance: float) -> Point:
        return tuple(float(v) for v in np.asarray(self.first) + self.direction * distance)


@dataclass(frozen=True)
class Joint:
    """An end of a bar (the branch) on another (the host).

    kind    the job's word for joints of this sort: "post to head"
    end     0 or 1: which end of the branch; -1 where it runs through and crosses the host
    place   on the axis of the host;  reach: from there along the branch to where the branch begins (m), rigid
    """

    name: str
    kind: str
    branch: str
    end: int
    host: str
    place: Point
    reach: float


@dataclass(frozen=True)
class Foot:
    """A contact with the floor under a place on the axis of a bar."""

    name: str
    member: str
    place: Point
    floor: Point


@dataclass(frozen=True)
class Seat:
    """A place where the top rests on a bar."""

    name: str
    member: str
    place: Point


@dataclass
class Assembly:
    """Collects a base. `bar`, `join`, `foot` and `seat` are what a style calls. seams: where strips are one plate."""

    members: dict[str, Member] = field(default_factory=dict)
    joints: list[Joint] = field(default_factory=list)
    feet: list[Foot] = field(default_factory=list)
    seats: list[Seat] = field(default_factory=list)
    seams: list[Joint] = field(default_factory=list)

    def bar(self, name: str, piece: str, stock: str, tube: Tube | Shape, first: Point, second: Point,
            clad: float = 0.0, tapers_to: Tube | None = None, straight: float = 0.0, plate: Plate | None = None) -> Member:
        if name in self.members:
            raise InputError(field=name, value="named twice", need="a name of its own for every bar")
        if np.linalg.norm(np.subtract(second, first)) < 10 * HAIR:
            raise InputError(field=name, value="no length", need="two ends that are apart")
        self.members[name] = Member(name, piece, stock, tube, tuple(map(float, first)), tuple(map(float, second)), clad, tapers_to,
                                    straight if tapers_to is not None else 0.0, plate)
        return self.members[name]

    def join(self, kind: str, branch: str, end: int, host: str, name: str = "") -> Joint:
        """Join an end of a bar to the nearest place on the axis of another, along the branch."""
        b, h = self.members[branch], self.members[host]
        tip = np.asarray(b.second if end else b.first)
        place = np.asarray(h.point_at(min(max(h.place_of(tip), 0.0), h.length)))
        joint = Joint(name or f"{branch} to {host}", kind, branch, end, host, tuple(map(float, place)),
                      float(np.linalg.norm(place - tip)))
        self.joints.append(joint)
        return joint

    def seam(self, one: str, other: str) -> None:
        """Where a strip of a plate begins on another: one piece of steel, no joint to make."""
        self.joints, kept = [], self.joints
        self.seams.append(self.join("one plate", one, 0, other))
        self.joints = kept

    def cross(self, kind: str, one: str, other: str) -> Joint:
        """Join two bars where their axes cross (an X): one runs through, the other is fixed to it."""
        a, b = self.members[one], self.members[other]
        # The place on each axis nearest to the other.
        n = np.cross(a.direction, b.direction)
        gap = np.subtract(b.first, a.first)
        along = float(np.linalg.det([gap, b.direction, n]) / (n @ n))
        if not 0 < along < a.length:
            raise InputError(field=one, value=f"does not meet {other}", need="bars that cross between their ends")
        place = a.point_at(along)
        joint = Joint(f"{one} to {other}", kind, one, -1, other, place, 0.0)
        self.joints.append(joint)
        return joint

    def foot(self, name: str, member: str, place: Point) -> Foot:
        """A foot under a place of a bar: straight down to the floor."""
        m = self.members[member]
        on = m.point_at(m.place_of(place)) if not m.upright else place
        made = Foot(name, member, on, (on[0], on[1], 0.0))
        self.feet.append(made)
        return made

    def seat(self, name: str, member: str, place: Point) -> Seat:
        m = self.members[member]
        made = Seat(name, member, m.point_at(min(max(m.place_of(place), 0.0), m.length)))
        self.seats.append(made)
        return made
