"""The weld line of a round branch: a saddle on a round host, an ellipse on a flat face.

Axes of the face: x across the host, y along it, z out of it along its outward normal; origin where the axis
of the branch meets the crown of a round host, or the flat. The branch leans towards +y and makes the angle
theta with the host. Angles round the branch start at +x (the side of the host) and turn towards +y (the
sharp side).

Where branch and host meet at the angle psi, measured outside the branch, a fillet of leg b has the throat
b cos(psi/2): on the sides of a wide branch the round host falls away, psi grows, and over 150 degrees there
is no fillet left. AISC 360-22 K5 has no row for round branches. AWS D1.1 counts 1/1.5 of the length of a
round branch on a round host; on a flat face what counts of a ring is what lies as far out as K5 lets work
of a square branch as wide.

Array kernels (internal, SI), first axis = design.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from shopcalc.errors import InputError
from shopcalc.formula import cos, formula, pi
from shopcalc.joints import weld_groups, welds, welds_shapes
from shopcalc.units import Angle, LoadPerLength, Ratio

STEPS = 144  # straight runs round the branch: its length comes out within 0.03 %
UNEVEN = 1.5  # AWS D1.1, 9.6.1.3(4): round branch on a round host
UNEVEN_SOURCE = "sti-round-welds, AWS D1.1 9.6.1.3(4)"
_HAIR = 1e-9


@formula(symbol="r_w", source=UNEVEN_SOURCE)
def uneven_line_force(*, r: LoadPerLength, k: Ratio) -> LoadPerLength:
    """Force per length that the weld of a round branch is sized for: part of its length carries more than
    its share.

    r  force per length of the elastic sum
    k  length of the weld over what of it counts
    """
    return k * r


@formula(symbol="r_psi", source="skewed-fillets, throat by geometry")
def on_square_throat(*, r: LoadPerLength, psi: Angle) -> LoadPerLength:
    """Force per length where branch and tube meet at an angle, on the throat of a square fillet of the same
    leg.

    r    force per length there
    psi  angle between branch and tube
    """
    return r * cos(pi / 4) / cos(psi / 2)


@dataclass(frozen=True)
class Worst:
    """The place of a saddle that is used most, (m,): force per length on the throat of a square fillet of
    the same leg (N/m), angle between branch and tube (degrees), parts of the elastic sum (m, 3) N/m, the
    place (m, 3)."""

    f: np.ndarray
    psi: np.ndarray
    parts: np.ndarray
    place: np.ndarray


@dataclass(frozen=True)
class Saddle:
    """The weld line round n branches.

    points  (n, STEPS, 3) metres;  psi  (n, STEPS) degrees between branch and host there, outside the branch
    counts  (n, STEPS) True for the runs (from a point to the next) that carry
    uneven  force per length is taken this many times
    round_host  False on a flat face
    """

    points: np.ndarray
    psi: np.ndarray
    counts: np.ndarray
    uneven: float
    round_host: bool

    @cached_property
    def outline(self) -> weld_groups.Group:
        """All of the line, as it is laid."""
        return weld_groups.polyline(self.points, closed=True)

    @property
    def carries(self) -> np.ndarray:
        """(n,) whether anything of it does."""
        return self.counts.any(axis=1)

    @cached_property
    def group(self) -> weld_groups.Group:
        """What of it carries. InputError where nothing does."""
        runs = np.stack([self.points, np.roll(self.points, -1, axis=1)], axis=2)
        runs = np.where(self.counts[..., None, None], runs, runs[..., :1, :])
        whole = bool(self.counts.all())
        n = len(runs)
        return weld_groups.Group(
            runs,
            np.zeros((n, 0, 3, 3)),
            np.zeros((n, 0, 2)),
            ends=0 if whole else int(2 * np.maximum(_arcs(self.counts).max(), 1)),
            words="all round",
        )

    @property
    def sharpest(self) -> np.ndarray:
        """(n,) least psi in degrees."""
        return self.psi.min(axis=1)

    @property
    def widest(self) -> np.ndarray:
        """(n,) largest psi in degrees."""
        return self.psi.max(axis=1)

    @property
    def share(self) -> np.ndarray:
        """(n,) length that carries over the length laid."""
        return self.group.length / self.outline.length

    def throats(self, leg: float, process: str) -> np.ndarray:
        """(n, STEPS) throat of a fillet of this leg (m) at the points; nan where there is none."""
        return welds_shapes.skewed(leg, self.psi.ravel(), process).throat.reshape(self.psi.shape)

    def filled(self, leg: float, process: str) -> Saddle:
        """The same where a fillet of this leg (m) by this process has a throat: places that have none (a
        sharp side whose root is not reached) do not carry."""
        least = leg * np.cos(np.radians(welds_shapes.WIDEST / 2))
        fine = np.nan_to_num(self.throats(leg, process)) >= least * (1 - _HAIR)
        return replace(self, counts=self.counts & _both_ends(fine))

    def line_force(self, F, M, leg: float, process: str) -> np.ndarray:
        """(m,) greatest force per length: `worst(...).f`."""
        return self.worst(F, M, leg, process).f

    def worst(self, F, M, leg: float, process: str) -> Worst:
        """Where the throat of the weld is used most under force and moment about the origin, (m, 3) N, N m:
        the elastic sum on what carries, times what the throat has lost at each place, times `uneven`. A
        sharp angle, whose throat is larger, counts as square."""
        field = weld_groups.elastic(self.group, F, M)
        square = float(welds.throat_equal_legs.si(w=leg))
        with np.errstate(divide="ignore"):
            lost = np.maximum(square / np.nan_to_num(self.throats(leg, process)), 1.0)
        carries = self.counts | np.roll(self.counts, 1, axis=1)
        parts = field.at(self.points)
        sums = np.where(carries, np.linalg.norm(parts, axis=-1) * np.where(carries, lost, 1.0), -1.0)
        i = sums.argmax(axis=-1)
        row = np.arange(len(sums))
        psi = np.broadcast_to(self.psi, sums.shape)[row, i]
        place = np.broadcast_to(self.points, (*sums.shape, 3))[row, i]
        f = self.uneven * np.where(field.carried, sums[row, i], np.inf)
        return Worst(f, psi, parts[row, i], place)

    def words(self, i: int = 0) -> tuple[str, ...]:
        """What the welder and the reader must know of the angles of one branch."""
        found = [
            f"branch and tube meet at {self.sharpest[i]:.0f} to {self.widest[i]:.0f} degrees round the weld"
        ]
        if self.widest[i] > welds_shapes.WIDEST:
            found.append(
                "on the sides the tube falls away over 150 degrees: no fillet stands there and none is counted; fill it"
                " flush as a groove, with the gap closed by a close cope"
            )
        if self.sharpest[i] < welds_shapes.SHARPEST:
            found.append("on the sharp side under 30 degrees: no weld is reached there, ask an engineer")
        elif self.sharpest[i] < welds_shapes.ROOT_LOST:
            found.append(
                "on the sharp side under 60 degrees: the root is not reached, a part of the throat is lost"
            )
        return tuple(found)


def _arcs(counts: np.ndarray) -> np.ndarray:
    """How many separate stretches carry, (n,)."""
    return (counts & ~np.roll(counts, 1, axis=1)).sum(axis=1)


def _sizes(field: str, d, theta, *more) -> list[np.ndarray]:
    found = np.broadcast_arrays(*(np.atleast_1d(np.asarray(v, float)) for v in (d, theta, *more)))
    if not all(np.isfinite(v).all() and (v > 0).all() for v in found):
        raise InputError(
            field=field,
            value="a size of nought, or none",
            need="sizes over nought, in metres",
            example="on_round(0.04, 0.06)",
        )
    if (found[1] > np.pi / 2 + 1e-9).any():
        raise InputError(
            field=f"{field}: theta",
            value=f"{np.degrees(found[1].max()):g} degrees",
            need="the sharp angle between branch and host, at most 90 degrees",
            example="on_round(0.04, 0.06)",
        )
    return [v[:, None] for v in found]


def _turns(d, theta):
    """Cosine and sine round the branch, (1, STEPS), and the outward normal of the branch there (n, STEPS,
    3)."""
    a = 2 * np.pi * np.arange(STEPS) / STEPS
    C, S = np.cos(a)[None], np.sin(a)[None]
    normal = np.stack(np.broadcast_arrays(C, S * np.sin(theta), -S * np.cos(theta)), axis=-1)
    return C, S, normal


def _psi(branch: np.ndarray, host: np.ndarray) -> np.ndarray:
    # rounded, so that an angle on a limit (30, 45, 60, 150 degrees) falls on its own side of it
    return np.round(np.degrees(np.arccos(np.clip(-(branch * host).sum(axis=-1), -1.0, 1.0))), 9)


def on_round(d, D, theta=np.pi / 2, ends=(), free=(-np.inf, np.inf)) -> Saddle:
    """A branch of outside diameter d on a round host of outside diameter D, no wider than it; axes in one
    plane. theta: angle between the axes, radians, up to 90 degrees. ends: (way, y) of places on the host
    past which nothing carries, way 1 where they lie towards +y, else -1. free: between these places across
    the host (x) no neighbour is welded beside the branch. (n,)"""
    d, theta, D = _sizes("on_round", d, theta, D)
    if (d > D * (1 + 1e-9)).any():
        raise InputError(
            field="on_round: d",
            value=f"{d.max():g} m on {D.min():g} m",
            need="a branch no wider than its host",
            example="on_round(0.04, 0.06)",
        )
    r, R = d / 2, D / 2
    C, S, branch = _turns(d, theta)
    z = -R + np.sqrt(np.maximum(R**2 - (r * C) ** 2, 0.0))
    along = (z + r * S * np.cos(theta)) / np.sin(theta)  # way along the axis of the branch
    points = np.stack(np.broadcast_arrays(r * C, r * S * np.sin(theta) + along * np.cos(theta), z), axis=-1)
    host = np.stack(np.broadcast_arrays(r * C / R, 0.0 * z, (z + R) / R), axis=-1)
    psi = _psi(branch, host)
    own = (points[..., 0] >= free[0] - _HAIR) & (points[..., 0] <= free[1] + _HAIR)
    return Saddle(points, psi, _both_ends(_filleted(psi) & own & _short_of(points, ends)), UNEVEN, True)


def on_flat(d, theta=np.pi / 2, works=None, flat=np.inf, ends=()) -> Saddle:
    """A branch of outside diameter d on a flat face. works: of a square branch as wide this much of a side
    across the face carries (K5), half at either corner; all of it where None. flat: so much of the width of
    the face takes a fillet; ends: as in `on_round`. (n,)"""
    d, theta, works = _sizes("on_flat", d, theta, d if works is None else works)
    r = d / 2
    C, S, branch = _turns(d, theta)
    points = np.stack(np.broadcast_arrays(r * C, r * S / np.sin(theta), 0.0 * d), axis=-1)
    psi = _psi(branch, np.array([0.0, 0.0, 1.0]))
    x = np.abs(points[..., 0])
    far = (x >= (d - np.minimum(works, d)) / 2 - _HAIR) & (x <= np.asarray(flat, float) / 2 + _HAIR)
    return Saddle(points, psi, _both_ends(_filleted(psi) & far & _short_of(points, ends)), 1.0, False)


def _filleted(psi: np.ndarray) -> np.ndarray:
    """Places where a fillet stands: within 30 to 150 degrees."""
    return (psi >= welds_shapes.SHARPEST) & (psi <= welds_shapes.WIDEST)


def _short_of(points: np.ndarray, ends) -> np.ndarray:
    fine = np.ones(points.shape[:2], bool)
    for way, y in ends:
        fine &= way * points[..., 1] <= way * y + _HAIR
    return fine


def _both_ends(fine: np.ndarray) -> np.ndarray:
    """Runs of which both ends are fine."""
    return fine & np.roll(fine, -1, axis=1)
