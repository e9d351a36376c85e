"""When a foot lifts: loads on a body that stands on springy feet, a springy base, or both, on a floor that need not be flat.

    force = S (gap + floor) + down + P unit >= 0,   gap >= 0,   one of the two zero at every foot

S is how the forces on the feet change as one of them is raised, all held; `down` the forces with all held, `unit` what a
load of one adds. All feet that stand are followed as P grows: a foot may land (it was over a hollow), and the first that
leaves the floor ends it. Linear; SI arrays; forces positive up on the body. Internal.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from shopcalc.mechanics.contact import complementary

# Part of the largest force below which a foot carries nothing.
NOTHING = 1e-9
# One over a load (1/N) below which it lifts nothing: what rounding leaves.
NEVER = 1e-12


@dataclass(frozen=True)
class Stands:
    """How it stands without the load: force and gap (k,); holds is False where no forces under its feet hold it."""

    force: np.ndarray
    gap: np.ndarray
    holds: bool


@dataclass(frozen=True)
class Feet:
    """S (k, k) N/m, floor (k,) height under each foot (m; a hollow is negative), pads (k,) stiffness of what is under each
    foot (N/m; inf: hard)."""

    S: np.ndarray
    floor: np.ndarray
    pads: np.ndarray

    @classmethod
    def of(cls, S: np.ndarray, *, floor=0.0, pads=np.inf) -> Feet:
        k = len(S)
        return cls((S + S.T) / 2, np.broadcast_to(np.asarray(floor, float), k), np.broadcast_to(np.asarray(pads, float), k))

    @cached_property
    def _soft(self) -> tuple[np.ndarray, np.ndarray]:
        """Stiffness with the pads in series, and what turns held forces into those on pads."""
        if np.isinf(self.pads).all():
            return self.S, np.eye(len(self.S))
        A = np.linalg.inv(np.eye(len(self.S)) + self.S / self.pads)
        soft = A @ self.S
        return (soft + soft.T) / 2, A

    def stand(self, down) -> Stands:
        """Without a load on it. down (k,): forces with all feet held level."""
        S, A = self._soft
        held = A @ np.asarray(down, float) + S @ self.floor
        if (held >= 0).all():
            return Stands(held, np.zeros(len(S)), True)
        found = complementary(S, -held)
        if not found.stands[0]:
            return Stands(np.full(len(S), np.nan), np.full(len(S), np.nan), False)
        return Stands(np.where(found.r[0] > 0, 0.0, np.maximum(held + S @ found.r[0], 0.0)), found.r[0], True)

    def least_that_lifts(self, downs: np.ndarray, units: np.ndarray) -> np.ndarray:
        """`load_that_lifts` in the worst of several ways, (n,): downs (w, k); units (w, n, k) or (1, n, k). All ways in which
        every foot stands are worked at once."""
        S, A = self._soft
        units = np.broadcast_to(units, (len(downs), *units.shape[1:]))
        held = downs @ A.T + S @ self.floor
        stands = (held >= 0).all(axis=1)
        least = np.full(units.shape[1], np.inf)
        if stands.any():
            f0, most = held[stands], np.abs(held[stands]).max(axis=1, keepdims=True)
            f1 = units[stands] @ A.T if np.isfinite(self.pads).any() else units[stands]
            lifts = (-f1 / np.maximum(f0, NOTHING * most)[:, None]).max(axis=2)  # one over the load that lifts the first
            with np.errstate(divide="ignore"):
                at = np.where(lifts > NEVER, 1 / np.maximum(lifts, NEVER), np.inf)
            least = np.where(at < NOTHING * most, 0.0, at).min(axis=0)
        for down, unit in zip(downs[~stands], units[~stands], strict=True):
            least = np.minimum(least, self.load_that_lifts(down, unit)[0])
        return least

    def load_that_lifts(self, down, unit) -> tuple[np.ndarray, np.ndarray]:
        """Load at each of n places at which the first foot that stands leaves the floor, and which foot: (n,), (n,).

        unit (n, k): what a load of one at each place adds to the forces with all feet held
        inf (and foot -1) where no load there lifts one; 0 where it does not stand even without a load
        """
        S, A = self._soft
        unit = np.atleast_2d(unit)
        if np.isfinite(self.pads).any():
            unit = unit @ A.T
        held = A @ np.asarray(down, float) + S @ self.floor
        load, foot = np.full(len(unit), np.inf), np.full(len(unit), -1)
        start = self.stand(down)
        if not start.holds:
            return np.zeros(len(unit)), foot
        waiting: list[tuple[np.ndarray | slice, np.ndarray]] = [(slice(None), start.gap <= 0)]
        while waiting:
            rows, on = waiting.pop()
            f0, f1, g0, g1 = _path(S, held, unit[rows], on)
            soon = -f1[:, on] / np.maximum(f0[on], NOTHING * np.abs(held).max())  # one over the load that lifts each
            first = soon.argmax(axis=1)
            lifts = np.take_along_axis(soon, first[:, None], axis=1)[:, 0]
            lands = (-g1[:, ~on] / g0[~on]).max(axis=1) if not on.all() else np.zeros(len(lifts))
            done = (lands <= 0) | (lifts >= lands)
            with np.errstate(divide="ignore"):
                at = np.where(lifts > NEVER, 1 / np.maximum(lifts, NEVER), np.inf)
            if done.all():
                load[rows], foot[rows] = at, np.where(np.isinf(at), -1, np.flatnonzero(on)[first])
                continue
            number = np.arange(len(unit))[rows]
            load[number[done]] = at[done]
            foot[number[done]] = np.where(np.isinf(at), -1, np.flatnonzero(on)[first])[done]
            which = np.flatnonzero(~on)[(-g1[:, ~on] / g0[~on]).argmax(axis=1)]
            for landed in np.unique(which[~done]):
                waiting.append((number[~done & (which == landed)], on | (np.arange(len(on)) == landed)))
        return np.where(load < NOTHING * np.abs(held).max(), 0.0, load), foot


def _path(S, held, unit, on):
    """Forces of all feet, and gaps, as f0 + P f1 and g0 + P g1, with the feet `on` the floor: f0 (k,), f1 (n, k) and so on."""
    g0, g1 = np.zeros(len(held)), np.zeros_like(unit)
    off = ~on
    if not off.any():
        return held, unit, g0, g1
    part = S[np.ix_(off, off)]
    g0[off] = -np.linalg.solve(part, held[off])
    g1[:, off] = -np.linalg.solve(part, unit[:, off].T).T
    return held + S @ g0, unit + g1 @ S, g0, g1
