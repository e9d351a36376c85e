"""How a weld is laid between two bars: its line, what of it counts, its throat, the walls it joins.

What works of a branch on a tube face is the weld of AISC 360-22 K5 as a line: the runs along the tube, and of each run
across the face only the ends. Not counted: runs on round corners that are not filled, the run at an open end of the
host where nothing stands past it, the run in a sharp corner whose root is not reached. The leg credited never exceeds
the wall.

A round branch is welded along a saddle (on a round host) or an ellipse (on a flat face): joints/saddle.py.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from shopcalc.codes.aisc360_22 import hollow_joints as hj
from shopcalc.errors import InputError
from shopcalc.formula import cos, formula, sin
from shopcalc.joints import saddle, weld_groups, welds, welds_shapes
from shopcalc.stock.tubes import Tube
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.jobfile.joints import CAPPED, Weld
from shopcalc.table.landings import FLUSH, Forces, Landing, neighbours, open_ends, taken_sides
from shopcalc.units import Angle, LoadPerLength, Ratio, magnitude

SQUARE = welds_shapes.AS_SQUARE[1] - 90  # degrees a branch may lean and still count as square
STEEPEST = 90 - welds_shapes.SHARPEST
NARROW = 0.5  # of the width of a flat bar: a narrower branch dishes it
OFF_FACE = 10.0  # degrees off the normal of a face, across the host

CORNERS_OFF, TAKEN_OFF, END_OFF, SHARP_OFF = "corners", "taken", "end", "sharp"  # runs that are not counted, and why
TWO_SIDES = "two sides"  # of a branch as wide as its bar: no flat beside it
WHY_OFF = {
    CORNERS_OFF: "the two sides beside the bar",
    TAKEN_OFF: "a side at a corner of the host that the next bar takes as well",
    END_OFF: "the side flush with the open end of the bar",
    SHARP_OFF: "the side in the sharp corner, whose root is not reached",
}
FALLS_OFF, EDGE_OFF, MIDDLE_OFF, SHARED_OFF = "falls", "edge", "middle", "shared"  # of a round branch, likewise
WHY_OFF_ROUND = {
    FALLS_OFF: "the part on either side where the round tube falls away (a branch up to 0.86 as wide as the tube has its "
    "fillet all round)",
    SHARED_OFF: "the part where a neighbour is welded to the same round tube",
    EDGE_OFF: "the part on either side over the round corners",
    MIDDLE_OFF: "the part near the middle of the flat, on soft wall",
    END_OFF: "the part at the open end of the bar",
    SHARP_OFF: "the part in the sharp corner, whose root is not reached",
}

NOT_TUBE = "only tube on tube and tube on the broad face of a flat bar are computed, no other bar, angle or channel"
SQUARE_ON_ROUND = (
    "a square or rectangular branch on a round tube: AISC 360-22 has no rule for it. Ways forward: a round branch, or a "
    "saddle plate rolled to the tube"
)
BOLTED_ROUND = "bolts on a round branch or a round tube: no rule for the plate of one or the wall of the other"
BESIDE = 0.05  # of the diameter of a round host that the axis of a branch may pass beside its own


def solid(at: Landing) -> bool:
    """Whether the host is a flat bar and the branch stands on its broad face: a face as wide as the bar, which does not
    fold; that the bar bends is a matter of the bar."""
    bar = at.host.tube
    if isinstance(bar, Tube) or bar.kind != "flat bar":
        return False
    return at.in_line or 2 * at.host.half_depth(at.axes[2]) <= min(at.host.height, at.host.width) * (1 + 1e-6)


def rounds(at: Landing) -> tuple[bool, bool]:
    """Whether the branch, and whether the host, is a round tube."""
    return tuple(isinstance(m.tube, Tube) and m.tube.shape == "round" for m in (at.branch, at.host))


def unknown(at: Landing) -> str:
    """Why a joint of two bars is not computed, however it is made, or ""."""
    if not isinstance(at.branch.tube, Tube) or not (isinstance(at.host.tube, Tube) or solid(at)):
        return NOT_TUBE
    branch_round, host_round = rounds(at)
    if host_round and not branch_round:
        return SQUARE_ON_ROUND
    if at.branch.name == at.host.name or at.in_line:
        return 'bars in one line: a fillet has no face there; say weld = "butt all round" with its proven penetration'
    if host_round:
        if at.branch.width > at.host.width * (1 + 1e-6):
            return "the branch is wider than the round tube it is set on: let the wider one run through"
        if beside_axis(at) > BESIDE * at.host.width:
            return "the branch passes beside the axis of the round tube it is set on: only axes that meet are computed"
    elif at.lean_across > OFF_FACE:
        return f"the branch meets its host {at.lean_across:.0f} degrees off the face, on a corner"
    if solid(at) and at.host.plate is None and at.sizes[0] < NARROW * at.sizes[2]:
        return "the branch is less than half as wide as the flat bar, which then bends across its width: not computed"
    if not branch_round and at.turned > OFF_FACE:
        return (
            f"the branch stands turned by {at.turned:.0f} degrees on the face: its corners hang over the sides and no rule counts "
            "such a weld; turn the bar so that its sides run with those of its host"
        )
    if at.lean > STEEPEST:
        return (
            f"the branch leans {at.lean:.0f} degrees from square: no fillet is counted in a corner sharper than "
            f"{welds_shapes.SHARPEST:g} degrees"
        )
    return ""


def beside_axis(at: Landing) -> float:
    """How far the axis of the branch passes beside that of its host (m)."""
    return abs(float((np.asarray(at.branch.first) - np.asarray(at.host.first)) @ at.axes[0]))


def free_of(g: Geometry, at: Landing) -> tuple[float, float]:
    """Between which places across a round host (m, in the axes of the landing) a branch has it to itself: on either side up
    to halfway round to its nearest neighbour at the same place."""
    low, high = -np.inf, np.inf
    for o in neighbours(g, at, at.sizes[1]):
        x, z = float(o.outward @ at.axes[0]), float(o.outward @ at.axes[2])
        if abs(x) > 0.1:  # not the one opposite
            reach = at.host.width / 2 * float(np.sin(np.arctan2(abs(x), z) / 2))
            low, high = (max(low, -reach), high) if x < 0 else (low, min(high, reach))
    return low, high


@formula(symbol="f_v", source="geometry, the outline of a branch turned on its face")
def turned_line_force(*, f: LoadPerLength, turn: Angle, r: Ratio) -> LoadPerLength:
    """Force per length of weld where the sides of the branch stand turned on the face: its corners lie farther out than
    those of the outline that stands square along it, and no farther than this.

    f     force per length on the square outline
    turn  angle by which the branch is turned about its own axis
    r     longer side of the branch over its shorter one
    """
    return f * (cos(turn) + r * sin(turn))


@dataclass(frozen=True)
class Laid:
    """A weld between two walls, SI. across, along, slant: size of the branch on the face, square to it and as cut;
    works: what counts of each run across; off: runs not counted; group: what counts, in the axes of the face; throat: the
    least round the joint; per_square: that throat over the one of a square fillet of the same leg. saddle, process: of a
    round branch, whose throat is that of a square fillet and whose line of force counts the angle at each place."""

    at: Landing
    across: float
    along: float
    slant: float
    works: float
    off: tuple[str, ...]
    flare: bool
    group: weld_groups.Group
    laid: float
    fillet: welds.Fillet
    throat: np.ndarray
    per_square: float
    filler: welds.Filler
    walls: tuple[welds.Wall, ...]
    run: dict
    saddle: saddle.Saddle | None = None
    process: str = ""

    @classmethod
    def of(cls, job: Job, g: Geometry, weld: Weld, at: Landing) -> Laid:
        branch, host = at.branch, at.host
        if rounds(at)[0]:
            return cls._round(g, weld, at)
        leg = float(magnitude(weld.leg, "m"))
        across, along, face = at.sizes
        walls = tuple(wall_of(m) for m in (branch, host))
        t_b, t = (w.t for w in walls)
        corner = corner_of(host, t)
        run = {"B": face, "t": t, "F_y": walls[1].F_y, "F_yb": walls[0].F_y, "t_b": t_b, "B_b": across}
        works = float(hj.effective_lengths(**run, H_b=along, theta=at.theta).B_e)
        fits = bool(welds.fits_all_round(across, leg, face, corner))
        flare = not fits and weld.flare_sides and corner > 0 and across <= face * (1 + 1e-6)
        taken = taken_sides(g, at, leg) if flare else frozenset()
        sides = tuple(s for s in (-1, 1) if s not in taken) if fits or flare else ()
        # what runs over the corners is not counted
        wide = across if sides else min(across, face - 2 * corner)
        works = min(works, wide)
        run_of = np.inf if sides else wide  # J2.2b(c): two runs that end on the flats may be short
        fillet = welds.fillet(leg, min(t_b, t), length=run_of)
        credited = float(fillet.credited[0])
        lean = at.lean + at.taper  # the faces of tapered bars lean besides: as if always the wrong way
        blunt, sharp = (welds_shapes.skewed(credited, 90 + s * lean, weld.process).throat[0] for s in (1, -1))
        square = float(fillet.throat[0])
        least = min(square, float(blunt))
        rooted = bool(sharp >= least)  # nan where the process has no row for so sharp a corner: not counted
        ends = () if weld.ends == CAPPED else open_ends(g, at)
        flush = {e.way for e in ends if e.gap < leg - FLUSH}
        off = (
            *((CORNERS_OFF,) if not (fits or flare) else ()),
            *((TAKEN_OFF,) if taken else ()),
            *((END_OFF,) if flush else ()),
            *((SHARP_OFF,) if not rooted and 1 not in flush else ()),
        )
        throat = fillet.throat * (least / square)
        if weld.ground:
            throat = np.minimum(throat, float(magnitude(weld.throat_left, "m")))
        if flare:
            throat = np.minimum(throat, welds_shapes.flare_throat(corner, weld.process, reinforcing=fillet.credited))
        group = weld_groups.branch_outline(
            wide,
            at.slant,
            works,
            sides=sides,
            across=tuple(way for way in (-1, 1) if way not in flush and (way < 0 or rooted)),
        )
        filler = filler_of(weld, at)
        return cls(
            at, wide, along, at.slant, works, off, flare, group, leg, fillet, throat, least / square, filler, walls, run
        )

    @classmethod
    def _round(cls, g: Geometry, weld: Weld, at: Landing) -> Laid:
        """A round branch on a round host or on a flat face."""
        leg, d = float(magnitude(weld.leg, "m")), at.branch.width
        walls = tuple(wall_of(m) for m in (at.branch, at.host))
        face, slant = at.sizes[2], d / np.sin(at.theta)
        fillet = welds.fillet(leg, min(w.t for w in walls))
        credited = float(fillet.credited[0])
        run = {"B": face, "t": walls[1].t, "F_y": walls[1].F_y, "F_yb": walls[0].F_y, "t_b": walls[0].t, "B_b": d}
        past = () if weld.ends == CAPPED else (e for e in open_ends(g, at) if e.gap < leg - FLUSH)
        # a branch that stands out past the end is taken as flush with it, as square ones are
        ends = tuple((e.way, e.way * (slant / 2 + max(e.gap, 0.0) - leg)) for e in past)
        if rounds(at)[1]:
            works = d
            low, high = free_of(g, at)
            line = saddle.on_round(d, face, at.theta, ends, (low + leg, high - leg))
            aside = FALLS_OFF if line.widest[0] > welds_shapes.WIDEST else ""
            shared = d / 2 > min(high, -low) - leg
        else:
            shared, works = False, float(hj.effective_lengths(**run, H_b=d, theta=at.theta).B_e)
            flat = face - 2 * corner_of(at.host, walls[1].t) - 2 * leg
            line = saddle.on_flat(d, at.theta, works, flat, ends)
            aside = EDGE_OFF if d > flat else ""
        made = line.filled(credited, weld.process)
        off = (
            *((aside,) if aside else ()),
            *((SHARED_OFF,) if shared else ()),
            *((MIDDLE_OFF,) if works < d * (1 - 1e-9) else ()),
            *((END_OFF,) if ends else ()),
            *((SHARP_OFF,) if (made.counts != line.counts).any() else ()),
        )
        throat = np.minimum(fillet.throat, float(magnitude(weld.throat_left, "m"))) if weld.ground else fillet.throat
        filler = filler_of(weld, at)
        group = made.group if made.carries[0] else made.outline
        return cls(
            at, d, d, slant, works, off, False, group, leg, fillet, throat, 1.0, filler, walls, run, made, weld.process
        )

    @property
    def thinner(self) -> float:
        return min(w.t for w in self.walls)

    @cached_property
    def carries(self) -> bool:
        """Whether what counts can carry moments about every axis: not one straight run alone."""
        if self.saddle is not None and not self.saddle.carries[0]:
            return False
        turn = weld_groups.elastic(self.group, np.zeros((3, 3)), np.eye(3))
        return bool(np.broadcast_to(turn.carried, 3).all())

    def vectors(self, f: Forces) -> tuple[np.ndarray, np.ndarray]:
        """Force and moment of every case, (n, 3) each, in the axes of the face."""
        turn = self.at.axes @ self.at.branch_axes.T
        return tuple(v @ turn.T for v in f.vectors)

    def line(self, f: Forces) -> np.ndarray:
        """Greatest force per length (n,) N/m under every case: elastic, no bonus for direction. Never the instantaneous
        centre: the branch is the end of a tube. Of a round branch on the throat of a square fillet (`saddle.Worst`)."""
        if self.saddle is not None:
            return self.saddle.line_force(*self.vectors(f), float(self.fillet.credited[0]), self.process)
        line = weld_groups.line_force(self.group, *self.vectors(f))
        return turned_line_force.si(f=line, turn=np.radians(self.at.turned), r=self.longer)

    @property
    def longer(self) -> float:
        """Longer side of the outline over its shorter one."""
        sides = self.across, self.slant
        return max(sides) / min(sides)

    def weakest(self, kind: str, method: str, throat=None) -> welds.Weakest:
        return welds.weakest(self._strengths(self.throat if throat is None else throat), kind, method)

    def _strengths(self, throat):
        return welds.strengths(
            float(magnitude(self.filler.FEXX, "Pa")),
            throat,
            self.walls,
            omega=self.filler.omega,
            phi=self.filler.phi,
        )

    def allowable(self, kind: str, method: str) -> float:
        key = (kind, method)
        if key not in self._allowables:
            self._allowables[key] = float(self.weakest(kind, method).allowable[0])
        return self._allowables[key]

    @cached_property
    def _allowables(self) -> dict[tuple[str, str], float]:
        return {}

    def needed(self, force: float, kind: str, method: str, system: str) -> tuple[float, float, str]:
        """Throat needed, leg to lay (m) for a force per length, and what limits it, in words."""
        per_throat = float(welds.weakest(self._strengths(1.0)[:1], kind, method).allowable[0])
        throat = force / per_throat
        as_square = throat / self.per_square  # a branch that leans needs a longer leg for the same throat
        leg = float(welds.leg_to_lay_si(as_square, self.thinner, system))
        by_walls = float(welds.weakest(self._strengths(1.0)[1:], kind, method).allowable[0])
        if force > by_walls * (1 + 1e-9):
            return throat, leg, weld_groups.LIMIT_WALL
        if as_square > float(welds.throat_equal_legs.si(w=self.thinner)) * (1 + 1e-9):
            return throat, leg, weld_groups.LIMIT_SIZE
        least = float(self.fillet.least[0])
        wanted = float(welds.leg_for_throat.si(t_e=as_square))
        return throat, leg, weld_groups.LIMIT_TABLE if wanted < least * (1 - 1e-9) else weld_groups.LIMIT_WELD

    @property
    def sides(self) -> str:
        """Where the weld is, in words for the bench."""
        round_ = self.saddle is not None
        two = CORNERS_OFF in self.off and not round_
        laid = TWO_SIDES if two else "all round, two sides on flare" if self.flare else "all round"
        why = [(WHY_OFF_ROUND if round_ else WHY_OFF)[o] for o in self.off if o != CORNERS_OFF]
        return laid + (f", not counted: {', '.join(why)}" if why else "")

    @property
    def laid_length(self) -> float:
        """Length of weld at the bench (m): all of it, also what is not credited."""
        if self.saddle is not None:
            return float(self.saddle.outline.length[0])
        across, flush = self.run["B_b"], END_OFF in self.off
        two = 2 * self.across if CORNERS_OFF in self.off else 2 * across + 2 * self.slant
        return two - (self.across if CORNERS_OFF in self.off else across) * flush


def corner_of(host, t: float) -> float:
    """Outside radius of the corners of a bar of this wall (m); a flat bar has none."""
    return float(host.tube.standard.radii_si(t, t)[0]) if isinstance(host.tube, Tube) else 0.0


def wall_of(m) -> welds.Wall:
    steel, tube = m.tube.steel, isinstance(m.tube, Tube)
    return welds.Wall(
        f"wall of the {m.stock}" if tube else f"steel of the {m.stock}",
        float(magnitude(m.tube.wall("design") if tube else m.tube.thickness, "m")),
        float(magnitude(steel.Fy, "Pa")),
        float(magnitude(steel.Fu, "Pa")),
    )


def filler_of(weld: Weld, at: Landing) -> welds.Filler:
    """The filler of a weld, for the metals it joins. InputError that names the joint where it must not join them."""
    try:
        return welds.filler(weld.filler, at.branch.tube.product, at.host.tube.product)
    except InputError as error:
        key = at.joint.kind.replace(" ", "_")
        raise InputError(field=f"joints.{key}.filler", value=error.value, need=error.need, example=error.example) from None


def not_laid(laid: Laid) -> str:
    """Why a weld is not computed although the joint is known, or ""."""
    if laid.carries:
        return ""
    if laid.saddle is not None:
        return f"no part of the weld carries ({laid.sides}): a branch of another diameter, or a wider face"
    ways = [
        *(("fill its round corners flush and say flare_sides = true",) if CORNERS_OFF in laid.off and not solid(laid.at) else ()),
        *(("bars narrower than their host, so that each has a corner of its own",) if TAKEN_OFF in laid.off else ()),
        *(("a flat bar wider than the branch",) if CORNERS_OFF in laid.off and solid(laid.at) else ()),
        *(('close the end with a cap that stands past the branch and say ends = "capped"',) if END_OFF in laid.off else ()),
    ]
    return f"one straight run of weld is left, which holds no moment ({laid.sides}): " + ", or ".join(ways)
