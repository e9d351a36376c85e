"""How a weld is laid between two bars: its line, what of it counts, its throat, the walls it joins.

What works of a branch on a tube face is the weld of AISC 360-22 K5 as a line: the runs along the tube, and of each run
across the face only the ends. Not counted: runs on round corners that are not filled, the run at an open end of the
host where nothing stands past it, the run in a sharp corner whose root is not reached. The leg credited never exceeds
the wall.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from shopcalc.codes.aisc360_22 import hollow_joints as hj
from shopcalc.joints import weld_groups, welds, welds_shapes
from shopcalc.stock.tubes import Tube
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.jobfile.joints import CAPPED, Weld
from shopcalc.table.landings import FLUSH, Forces, Landing, open_ends
from shopcalc.units import magnitude

SQUARE = welds_shapes.AS_SQUARE[1] - 90  # degrees a branch may lean and still count as square
STEEPEST = 90 - welds_shapes.SHARPEST
OFF_FACE = 10.0  # degrees off the normal of a face, across the host

CORNERS_OFF, END_OFF, SHARP_OFF = "corners", "end", "sharp"  # runs that are not counted, and why
WHY_OFF = {
    CORNERS_OFF: "the two on the round corners are not counted",
    END_OFF: "the one flush with the open end of the bar is not counted",
    SHARP_OFF: "the one in the sharp corner is not counted: its root is not reached",
}

# (branch is round, host is round)
NOT_FLAT = {
    (True, True): "a round branch on a round tube: its weld runs up and down a saddle and is not computed yet",
    (True, False): "a round branch on a flat face: the code's rules for faces are for square and rectangular "
    "branches",
    (False, True): "a square or rectangular branch on a round tube: the code has no rule for it",
}


def unknown(at: Landing) -> str:
    """Why a joint of two bars is not computed, however it is made, or ""."""
    if not all(isinstance(m.tube, Tube) for m in (at.branch, at.host)):
        return "only tube on tube is computed, not bar, angle or channel"
    rounds = tuple(m.tube.shape == "round" for m in (at.branch, at.host))
    if any(rounds):
        return NOT_FLAT[rounds]
    if at.branch.name == at.host.name or at.in_line:
        return "bars in one line"
    if at.lean_across > OFF_FACE:
        return f"the branch meets its host {at.lean_across:.0f} degrees off the face, on a corner"
    if at.lean > STEEPEST:
        return (
            f"the branch leans {at.lean:.0f} degrees from square: no fillet is counted in a corner sharper than "
            f"{welds_shapes.SHARPEST:g} degrees"
        )
    return ""


@dataclass(frozen=True)
class Laid:
    """A weld between two walls, SI. across, along, slant: size of the branch on the face, square to it and as cut;
    works: what counts of each run across; off: runs not counted; group: what counts, in the axes of the face; throat: the
    least round the joint; per_square: that throat over the one of a square fillet of the same leg."""

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

    @classmethod
    def of(cls, job: Job, g: Geometry, weld: Weld, at: Landing) -> Laid:
        branch, host = at.branch, at.host
        leg = float(magnitude(weld.leg, "m"))
        across, along, face = at.sizes
        walls = tuple(_wall(m) for m in (branch, host))
        t_b, t = (w.t for w in walls)
        corner = float(host.tube.standard.radii_si(t, t)[0])
        run = {"B": face, "t": t, "F_y": walls[1].F_y, "F_yb": walls[0].F_y, "t_b": t_b, "B_b": across}
        works = float(hj.effective_lengths(**run, H_b=along, theta=at.theta).B_e)
        fits = bool(welds.fits_all_round(across, leg, face, corner))
        flare = not fits and weld.flare_sides
        # what runs over the corners is not counted
        wide = across if fits or flare else min(across, face - 2 * corner)
        works = min(works, wide)
        fillet = welds.fillet(leg, min(t_b, t))
        credited = float(fillet.credited[0])
        blunt, sharp = (welds_shapes.skewed(credited, 90 + s * at.lean, weld.process).throat[0] for s in (1, -1))
        square = float(fillet.throat[0])
        least = min(square, float(blunt))
        rooted = bool(sharp >= least)  # nan where the process has no row for so sharp a corner: not counted
        ends = () if weld.ends == CAPPED else open_ends(g, at)
        flush = {e.way for e in ends if e.gap < leg - FLUSH}
        off = (
            *((CORNERS_OFF,) if not (fits or flare) else ()),
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
            sides=fits or flare,
            across=tuple(way for way in (-1, 1) if way not in flush and (way < 0 or rooted)),
        )
        filler = welds.filler(weld.filler, branch.tube.product, host.tube.product)
        return cls(
            at, wide, along, at.slant, works, off, flare, group, leg, fillet, throat, least / square, filler, walls, run
        )

    @property
    def thinner(self) -> float:
        return min(w.t for w in self.walls)

    @cached_property
    def carries(self) -> bool:
        """Whether what counts can carry moments about every axis: not one straight run alone."""
        turn = weld_groups.elastic(self.group, np.zeros((3, 3)), np.eye(3))
        return bool(np.broadcast_to(turn.carried, 3).all())

    def vectors(self, f: Forces) -> tuple[np.ndarray, np.ndarray]:
        """Force and moment of every case, (n, 3) each, in the axes of the face."""
        turn = self.at.axes @ self.at.branch_axes.T
        return tuple(v @ turn.T for v in f.vectors)

    def line(self, f: Forces) -> np.ndarray:
        """Greatest force per length (n,) N/m under every case: elastic, no bonus for direction. Never the instantaneous
        centre: the branch is the end of a tube."""
        return weld_groups.line_force(self.group, *self.vectors(f))

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
        laid = "two sides" if CORNERS_OFF in self.off else "all round, two sides on flare" if self.flare else "all round"
        why = [WHY_OFF[o] for o in self.off if o != CORNERS_OFF]
        return laid + "".join(f"; of its sides {w}" for w in why)

    @property
    def laid_length(self) -> float:
        """Length of weld at the bench (m): all of it, also what is not credited."""
        across, flush = self.run["B_b"], END_OFF in self.off
        two = 2 * self.across if CORNERS_OFF in self.off else 2 * across + 2 * self.slant
        return two - (self.across if CORNERS_OFF in self.off else across) * flush


def _wall(m) -> welds.Wall:
    steel = m.tube.steel
    return welds.Wall(
        f"wall of the {m.stock}",
        float(magnitude(m.tube.wall("design"), "m")),
        float(magnitude(steel.Fy, "Pa")),
        float(magnitude(steel.Fu, "Pa")),
    )


def not_laid(laid: Laid) -> str:
    """Why a weld is not computed although the joint is known, or ""."""
    if laid.carries:
        return ""
    ways = [
        *(("fill its round corners flush and say flare_sides = true",) if CORNERS_OFF in laid.off else ()),
        *(('close the end with a cap that stands past the branch and say ends = "capped"',) if END_OFF in laid.off else ()),
    ]
    return f"one straight run of weld is left, which holds no moment ({laid.sides}): " + ", or ".join(ways)
