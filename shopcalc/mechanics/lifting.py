"""When a foot lifts: loads on a body that stands on springy feet, a springy base, or both, on a floor that need not be flat.

    force = S (gap + floor) + down + P unit >= 0,   gap >= 0,   one of the two zero at every foot

S is how the forces on the feet change as one of them is raised, all held; `down` the forces with all held, `unit` what a
load of one adds. All feet that stand are followed as P grows: a foot may land (it was over a hollow), and the first that
leaves the floor ends it. Linear; SI arrays; forces positive up on the body. Internal.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shopcalc.mechanics.contact import complementary

# Part of the largest force below which a foot carries nothing.
NOTHING = 1e-9


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

    def _soft(self) -> tuple[np.ndarray, np.ndarray]:
        """Stiffness with the pads in series, and what turns held forces into those on pads."""
        A = np.linalg.inv(np.eye(len(self.S)) + self.S / self.pads)
        soft = A @ self.S
        return (soft + soft.T) / 2, A

    def stand(self, down) -> Stands:
        """Without a load on it. down (k,): forces with all feet held level."""
        S, A = self._soft()
        held = A @ np.asarray(down, float) + S @ self.floor
        found = complementary(S, -held)
        if not found.stands[0]:
            return Stands(np.full(len(S), np.nan), np.full(len(S), np.nan), False)
        return Stands(np.maximum(held + S @ found.r[0], 0.0), found.r[0], True)

    def load_that_lifts(self, down, unit) -> tuple[np.ndarray, np.ndarray]:
        """Load at each of n places at which the first foot that stands leaves the floor, and which foot: (n,), (n,).

        unit (n, k): what a load of one at each place adds to the forces with all feet held
        inf (and foot -1) where no load there lifts one; 0 where it does not stand even without a load
        """
        S, A = self._soft()
        unit = np.atleast_2d(unit) @ A.T
        held = A @ np.asarray(down, float) + S @ self.floor
        load, foot = np.full(len(unit), np.inf), np.full(len(unit), -1)
        start = self.stand(down)
        if not start.holds:
            return np.zeros(len(unit)), foot
        waiting = [(np.arange(len(unit)), start.gap <= 0, 0.0 * unit[:, 0])]
        while waiting:
            rows, on, since = waiting.pop()
            f0, f1, g0, g1 = _path(S, held, unit[rows], on)
            lifts = _reaches_zero(f0, f1, since, np.abs(held).max(), on)
            lands = _reaches_zero(g0, g1, since, max(np.abs(self.floor).max(), 1e-12), ~on)
            first_lift, first_land = lifts.min(axis=1), lands.min(axis=1)
            done = first_lift <= first_land
            load[rows[done]], foot[rows[done]] = first_lift[done], np.where(np.isinf(first_lift), -1, lifts.argmin(axis=1))[done]
            for landed in np.unique(lands.argmin(axis=1)[~done]):
                mine = ~done & (lands.argmin(axis=1) == landed)
                waiting.append((rows[mine], on | (np.arange(len(on)) == landed), first_land[mine]))
        return load, foot


def _path(S, held, unit, on):
    """Forces of all feet, and gaps, as f0 + P f1 and g0 + P g1, with the feet `on` the floor: f0 (k,), f1 (n, k) and so on."""
    g0, g1 = np.zeros(len(held)), np.zeros_like(unit)
    off = ~on
    if off.any():
        part = S[np.ix_(off, off)]
        g0[off] = -np.linalg.solve(part, held[off])
        g1[:, off] = -np.linalg.solve(part, unit[:, off].T).T
    return held + S @ g0, unit + g1 @ S, g0, g1


def _reaches_zero(start, slope, since, scale, which) -> np.ndarray:
    """P at which start + P slope comes down to nought, after `since`, for the columns `which`; inf elsewhere."""
    small = NOTHING * scale
    falls = (slope < -1e-12) & which
    at = np.where(falls, np.maximum(start, 0.0) / np.where(falls, -slope, 1.0), np.inf)
    at = np.where(falls & (start <= small), 0.0, at)
    return np.where(np.isfinite(at), np.maximum(at, since[:, None]), np.inf)
