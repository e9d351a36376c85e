"""What happens along one bar: exact diagrams, largest values where they really stand, the deflected shape.

SI arrays, first axis = design, second = station. x runs from where the bar begins (behind its arm) to where
it ends.

    N            tension positive
    My, Mz       sagging positive: tension on the side away from +z, from +y
    Vz, Vy       dMy/dx, dMz/dx: positive where the part towards the first end pushes towards +z, +y. In
                 second order it is the force across the bent axis; end forces stay across the straight one
    T            positive where the part towards the second end turns right-handed about x
    u, v, w      movement along local x, y, z;  twist about x
    bow_y, bow_z v and w less the straight line between the ends of the bar
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from shopcalc.errors import InputError
from shopcalc.mechanics.frames.bar import MOST_TENSION, Terms, gone, phi

SENSES = ("either", "most", "least")
# Stations in each stretch between loads from which a largest value is hunted; and turns of the hunt.
_STATIONS, _TURNS = 9, 30


@dataclass(frozen=True)
class Diagram:
    """Forces and movements at stations x, all (n, stations). See the module for signs."""

    x: np.ndarray
    N: np.ndarray
    Vy: np.ndarray
    Vz: np.ndarray
    T: np.ndarray
    My: np.ndarray
    Mz: np.ndarray
    u: np.ndarray
    v: np.ndarray
    w: np.ndarray
    twist: np.ndarray
    slope_y: np.ndarray
    slope_z: np.ndarray
    bow_y: np.ndarray
    bow_z: np.ndarray


# What each quantity's slope along the bar is called; None: it has its largest values at loads and ends only.
_SLOPE = {
    "N": None,
    "Vy": None,
    "Vz": None,
    "T": None,
    "My": "Vz",
    "Mz": "Vy",
    "v": "slope_y",
    "w": "slope_z",
    "bow_y": "slope_y",
    "bow_z": "slope_z",
    "u": None,
    "twist": None,
}
QUANTITIES = tuple(_SLOPE)


@dataclass(frozen=True)
class Along:
    """One bar of an Answer. L (n,) its length between arms."""

    name: str
    L: np.ndarray
    R: np.ndarray
    EA: np.ndarray
    GJ: np.ndarray
    EI: np.ndarray
    GA: np.ndarray
    terms: Terms
    start: dict[str, np.ndarray]
    end: np.ndarray
    pull: np.ndarray | None

    @classmethod
    def of(cls, answer, name: str) -> Along:
        frame, s, line = answer.frame, answer.system, answer.line
        if name not in frame.member_number:
            raise InputError(
                field="member", value=name, need="a member of the frame", example=frame.members[0].name
            )
        m = frame.member_number[name]
        start = {k: getattr(line, k)[:, m] for k in ("v", "theta", "M", "T", "u", "twist", "N", "torque")}
        return cls(
            name,
            s.L[:, m],
            s.R[:, m],
            s.EA[:, m],
            s.GJ[:, m],
            s.EI[:, m],
            s.GA[:, m],
            s.terms.of(m),
            start,
            line.far[:, m],
            None if line.pull is None else line.pull[:, m],
        )

    @cached_property
    def _stiff(self):
        """beta and kappa, (n, 1, 2), or None twice."""
        if self.pull is None:
            return None, None
        pull = np.minimum(self.pull[:, None], MOST_TENSION * self.EI / self.L[:, None] ** 2)
        beta = 1 / (1 + pull / self.GA)
        return beta[:, None], (beta * pull / self.EI)[:, None]

    def at(self, x, past: np.ndarray | None = None) -> Diagram:
        """Everything at stations x: one, (stations,) or (n, stations), metres; just behind loads that stand
        there.

        past (n, stations, terms): which load terms have begun, where that is not to be read from x.
        """
        x = np.asarray(x, float)
        x = np.broadcast_to(np.atleast_1d(x), (len(self.L), x.shape[-1] if x.ndim else 1))
        if past is None and (np.any(x < -1e-9 * self.L[:, None]) or np.any(x > (1 + 1e-9) * self.L[:, None])):
            raise InputError(field=f"member {self.name}: x", value=x, need="a place on the bar")
        x = np.clip(x, 0.0, self.L[:, None])
        EI, GA = self.EI[:, None], self.GA[:, None]
        beta, kappa = self._stiff
        b = 1.0 if beta is None else beta
        k = 0.0 if kappa is None else kappa
        s = {name: value[:, None] for name, value in self.start.items()}
        X = x[..., None]
        f = phi(kappa, X if kappa is None else np.broadcast_to(X, (*x.shape, 2)))
        v = (
            s["v"]
            + b * (s["theta"] * f[1] + s["M"] / EI * f[2] - b * s["T"] / EI * f[3])
            + b * s["T"] / GA * X
        )
        theta = s["theta"] * f[0] + s["M"] / EI * f[1] - b * s["T"] / EI * f[2]
        M = EI * k * s["theta"] * f[1] + s["M"] * f[0] - b * s["T"] * f[1]
        T = s["T"] + 0 * X
        stretch, twist = s["N"] * x, s["torque"] * x
        N, torque = s["N"] + 0 * x, s["torque"] + 0 * x
        for i in range(len(self.terms.member)):
            lost = gone(
                int(self.terms.order[i]),
                self.terms.size[:, i, None],
                x - self.terms.start[:, i, None],
                EI,
                GA,
                beta,
                kappa,
                None if past is None else past[..., i],
            )
            v, theta, M, T = v + lost.v, theta + lost.theta, M + lost.M, T + lost.T
            stretch, twist, N, torque = (
                stretch + lost.stretch,
                twist + lost.twist,
                N + lost.N,
                torque + lost.torque,
            )
        rise = b * (theta + T / GA)
        V = -T if self.pull is None else self.pull[:, None, None] * rise - T
        chord = (self.end - self.start["v"])[:, None] / self.L[:, None, None]
        bow = v - s["v"] - chord * X
        return Diagram(
            x,
            N,
            V[..., 0],
            V[..., 1],
            torque,
            M[..., 1],
            M[..., 0],
            s["u"] + stretch / self.EA[:, None],
            v[..., 0],
            v[..., 1],
            s["twist"] + twist / self.GJ[:, None],
            (rise - chord)[..., 0],
            (rise - chord)[..., 1],
            bow[..., 0],
            bow[..., 1],
        )

    def shape(self, x) -> np.ndarray:
        """Movement of the axis at stations x in global axes, (n, stations, 3)."""
        d = self.at(x)
        return np.stack([d.u, d.v, d.w], axis=-1) @ self.R

    # --- stations between loads ----------------------------------------------------------------

    @cached_property
    def breaks(self) -> np.ndarray:
        """(n, b) both ends of the bar and every place where a load begins or ends, in order."""
        edges = [np.zeros(len(self.L)), *np.clip(self.terms.start.T, 0, self.L), self.L]
        return np.sort(np.stack(edges, axis=1), axis=1)

    def _begun(self, stretch: np.ndarray) -> np.ndarray:
        """Which terms have begun on the given stretch between two breaks, (n, stations, terms)."""
        low = np.take_along_axis(self.breaks, stretch, axis=1)
        return self.terms.start[:, None] <= low[..., None] + 1e-12 * self.L[:, None, None]

    @cached_property
    def _places(self) -> tuple[np.ndarray, np.ndarray]:
        parts = self.breaks.shape[1] - 1
        share = np.linspace(0, 1, _STATIONS)
        low, high = self.breaks[:, :-1, None], self.breaks[:, 1:, None]
        x = (low + (high - low) * share).reshape(len(self.L), -1)
        return x, np.broadcast_to(np.repeat(np.arange(parts), _STATIONS), x.shape)

    @cached_property
    def everywhere(self) -> Diagram:
        """At stations on every stretch between loads, both sides of every load among them: for checks that
        need all forces at one place.
        """
        x, stretch = self._places
        return self.at(x, self._begun(stretch))

    def largest(self, what: str, sense: str = "either") -> tuple[np.ndarray, np.ndarray]:
        """The largest value of one quantity and where it stands, (n,) each.

        what   N, Vy, Vz, T, My, Mz, u, v, w, twist, bow_y or bow_z
        sense  "either": largest in size, with its sign; "most": most positive; "least": most negative
        Moments and deflections are refined to where their slope vanishes; forces are taken at loads, ends and
        stations.
        """
        if what not in _SLOPE:
            raise InputError(field="largest: what", value=what, need="one of " + ", ".join(QUANTITIES))
        if sense not in SENSES:
            raise InputError(field="largest: sense", value=sense, need="one of " + ", ".join(SENSES))

        def score(value):
            return np.abs(value) if sense == "either" else value if sense == "most" else -value

        x, stretch = self._places
        values = getattr(self.everywhere, what)
        slope = _SLOPE[what]
        if slope is not None:
            place, found = self._level(what, slope)
            x, values = np.concatenate([x, place], axis=1), np.concatenate([values, found], axis=1)
        best = np.argmax(np.nan_to_num(score(values), nan=-np.inf), axis=1)[:, None]
        return np.take_along_axis(values, best, axis=1)[:, 0], np.take_along_axis(x, best, axis=1)[:, 0]

    def _level(self, what: str, slope: str):
        """Every place between two stations where the slope vanishes, and the value there, by the rule of
        false position (halved at the end that stays).
        """
        x, stretch = self._places
        rate = getattr(self.everywhere, slope)
        go = (rate[:, :-1] * rate[:, 1:] < 0) & (stretch[:, :-1] == stretch[:, 1:])
        some = np.nonzero(go.any(axis=0))[0]
        go = go[:, some]
        a, b, ra, rb = x[:, some], x[:, some + 1], rate[:, some], rate[:, some + 1]
        at, past = a.copy(), self._begun(stretch[:, some])
        for _ in range(_TURNS):
            if not go.any():
                break
            with np.errstate(divide="ignore", invalid="ignore"):
                new = np.where(go, (a * rb - b * ra) / (rb - ra), at)
            r = getattr(self.at(new, past), slope)
            stays = r * ra > 0
            a, ra, b, rb = (
                np.where(go & stays, new, a),
                np.where(go & stays, r, np.where(go, ra / 2, ra)),
                np.where(go & ~stays, new, b),
                np.where(go & ~stays, r, np.where(go, rb / 2, rb)),
            )
            go = go & (np.abs(new - at) > 1e-13 * self.L[:, None]) & (r != 0)
            at = new
        return at, getattr(self.at(at, past), what)
