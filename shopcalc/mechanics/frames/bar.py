"""One bar in bending, exactly: Timoshenko's beam that also carries an axial force N (tension positive).

In a plane, v is the deflection and theta the turn of the section. With T the force across the undeformed axis
and V = T - N v' the force across the bent one

    T' = -q,   M' = -V,   M = EI theta',   V = GA (v' - theta)

(Engesser's form: a pinned column buckles at P_E/(1 + P_E/GA)). With beta = 1/(1 + N/GA) and kappa = beta N/EI
the solution is

    theta = theta0 phi0 + M0/EI phi1 - beta/EI (T0 phi2 - sum Q phi2(x - a) ...)

in the functions phi_n(x) = sum_j kappa^j x^(n+2j)/(n+2j)!, which are the powers x^n/n! of plain beam theory
when N = 0 and sines or hyperbolic sines otherwise. A load is a term q<x - a>^(k)/k! as in `beams`: point,
even and growing load and couple need no other formula. Nothing is approximated: one bar needs no subdivision,
whatever N.

A batch's kernels: SI arrays of any one shape.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

# Tension beyond N L^2/EI = 200 (twenty times the buckling load) stiffens a bar no further here: past it the
# exponentials lose digits, and leaving stiffness out is on the safe side.
MOST_TENSION = 200.0
_SERIES_TO = 30.0


def phi(kappa: np.ndarray | None, x: np.ndarray) -> tuple[np.ndarray, ...]:
    """phi_0 ... phi_5 at x >= 0; kappa None: powers. kappa and x of shapes that broadcast."""
    x2 = x * x
    half, sixth = x2 / 2, x2 * x / 6
    if kappa is None:
        return np.ones_like(x), x, half, sixth, half * half / 6, half * sixth / 10
    z = kappa * x2
    bound = float(np.max(np.abs(z), initial=0.0))
    low = np.clip(z, -_SERIES_TO, _SERIES_TO) if bound > _SERIES_TO else z
    s4, s5 = np.full_like(z, 1 / 24), np.full_like(z, 1 / 120)
    t4, t5 = s4.copy(), s5.copy()
    j, size = 0, 1 / 24
    bound = min(bound, _SERIES_TO)
    while size > 1e-18 and bound > 0:
        j += 1
        t4 *= low / ((2 * j + 3) * (2 * j + 4))
        t5 *= low / ((2 * j + 4) * (2 * j + 5))
        s4 += t4
        s5 += t5
        size *= bound / ((2 * j + 3) * (2 * j + 4))
    f4, f5 = x2 * x2 * s4, x2 * x2 * x * s5
    f2, f3 = half + kappa * f4, sixth + kappa * f5
    f0, f1 = 1 + kappa * f2, x + kappa * f3
    out = (f0, f1, f2, f3, f4, f5)
    far = np.abs(z) > _SERIES_TO
    return _closed(out, kappa, x, far) if far.any() else out


def _closed(out, kappa, x, far):
    kappa, x = np.broadcast_to(kappa, far.shape)[far], np.broadcast_to(x, far.shape)[far]
    k = np.sqrt(np.abs(kappa))
    pull = kappa > 0
    grow = np.where(pull, k * x, 0.0)
    c = np.where(pull, np.cosh(grow), np.cos(k * x))
    s = np.where(pull, np.sinh(grow), np.sin(k * x)) / k
    f2, f3 = (c - 1) / kappa, (s - x) / kappa
    exact = (c, s, f2, f3, (f2 - x**2 / 2) / kappa, (f3 - x**3 / 6) / kappa)
    out = tuple(np.array(np.broadcast_to(o, far.shape)) for o in out)
    for whole, part in zip(out, exact, strict=True):
        whole[far] = part
    return out


@dataclass(frozen=True)
class Bending:
    """A bar's stiffness across its axis in both planes, arrays (n, members, 2).

    F1 = a (v1 - v2) + b (t1 + t2),  m1 = b (v1 - v2) + c t1 + d t2
    F2 = -F1,                        m2 = b (v1 - v2) + d t1 + c t2
    """

    a: np.ndarray
    b: np.ndarray
    c: np.ndarray
    d: np.ndarray
    beta: np.ndarray | None
    kappa: np.ndarray | None
    f: tuple[np.ndarray, ...]
    det: np.ndarray


def bending(EI: np.ndarray, GA: np.ndarray, L: np.ndarray, N: np.ndarray | None) -> Bending:
    """Stiffness of bars with rigidities EI, GA (n, members, 2), length L and axial force N (n, members)."""
    x = L[..., None]
    g = EI / GA
    if N is None:
        det = x**2 * (x**2 / 12 + g)
        r = EI / det
        return Bending(
            r * x, r * x**2 / 2, r * x * (x**2 / 3 + g), r * x * (x**2 / 6 - g), None, None, phi(None, x), det
        )
    pull = np.minimum(N[..., None], MOST_TENSION * EI / x**2)
    beta = 1 / (1 + pull / GA)
    kappa = beta * pull / EI
    f = phi(kappa, x)
    det = beta * (x * f[3] - 2 * f[4]) + g * x * f[1]
    r = EI / det
    return Bending(
        r * f[1] / beta,
        r * f[2],
        r * (beta * (x * f[2] - f[3]) + g * x * f[0]),
        r * (beta * f[3] - g * x),
        beta,
        kappa,
        f,
        det,
    )


def squash(EI: np.ndarray, GA: np.ndarray, L: np.ndarray) -> np.ndarray:
    """Compression at which a bar buckles although both ends are held fast, (n, members): 4 pi^2 EI/L^2
    softened by shear; the lower of the two planes. No frame stands beyond it, whatever its joints.
    """
    P = 4 * np.pi**2 * EI / L[..., None] ** 2
    return (P / (1 + P / GA)).min(axis=2)


# --- loads along a bar ---------------------------------------------------------------------------


@dataclass(frozen=True)
class Terms:
    """Load terms of all bars, k of them: which member (k,), order (k,) (0 point, 1 even, 2 growing, -1
    couple), where each begins (n, k), and its size in local axes (n, k, 3): force or force per length along
    x, y, z, or moment about them.
    """

    member: np.ndarray
    order: np.ndarray
    start: np.ndarray
    size: np.ndarray

    def take(self, which) -> Terms:
        return Terms(self.member, self.order, self.start[which], self.size[which])

    def of(self, member: int) -> Terms:
        mine = self.member == member
        return Terms(self.member[mine], self.order[mine], self.start[:, mine], self.size[:, mine])


def across(size: np.ndarray, couple: bool) -> np.ndarray:
    """Forces (along y, z) or couples (about z, and about -y) of the two planes."""
    return np.stack([size[..., 2], -size[..., 1]], axis=-1) if couple else size[..., 1:]


@dataclass(frozen=True)
class Gone:
    """What the loads before x do to a bar started at rest: deflection, turn, moment and force across, each
    (..., 2); stretch times EA (..., ), twist times GJ, axial force and torque lost.
    """

    v: np.ndarray
    theta: np.ndarray
    M: np.ndarray
    T: np.ndarray
    stretch: np.ndarray
    twist: np.ndarray
    N: np.ndarray
    torque: np.ndarray


def gone(order: int, size: np.ndarray, d: np.ndarray, EI, GA, beta, kappa, past=None) -> Gone:
    """One order of terms at a distance d past their start. size (..., 3), EI, GA, beta, kappa (..., 2), the
    last two None without axial force; past (...): which terms have begun, where that is not d >= 0.
    """
    past = d >= 0 if past is None else past
    d = np.where(past, np.maximum(d, 0.0), 0.0)
    D, begun = d[..., None], past[..., None]
    f = phi(kappa, D if kappa is None else np.broadcast_to(D, np.broadcast_shapes(D.shape, kappa.shape)))
    b = 1.0 if beta is None else beta
    Q, zero = across(size, order < 0), np.zeros_like(d)
    if order < 0:
        Q = Q * begun
        return Gone(
            -b * Q / EI * f[2],
            -Q / EI * f[1],
            -Q * f[0],
            np.zeros_like(Q),
            zero,
            -size[..., 0] * d,
            zero,
            -size[..., 0] * past,
        )
    power = D if order == 0 else D**2 / 2 if order == 1 else D**3 / 6
    lost = begun * 1.0 if order == 0 else D if order == 1 else D**2 / 2
    return Gone(
        b * b * Q / EI * f[3 + order] - b * Q / GA * power,
        b * Q / EI * f[2 + order],
        b * Q * f[1 + order],
        -Q * lost,
        -size[..., 0] * power[..., 0],
        zero,
        -size[..., 0] * lost[..., 0],
        zero,
    )


def fixed_ends(terms: Terms, bend: Bending, EI, GA, L) -> np.ndarray:
    """Forces on the held ends of every bar under its loads, (n, members, 12), local axes. EA and GJ
    cancel.
    """
    n, m = L.shape
    total = np.zeros((n, m, 12))
    for order in np.unique(terms.order):
        mine = np.nonzero(terms.order == order)[0]
        who = terms.member[mine]

        def pick(array, who=who):
            return None if array is None else array[:, who]

        lost = gone(
            int(order),
            terms.size[:, mine],
            L[:, who] - terms.start[:, mine],
            EI[:, who],
            GA[:, who],
            pick(bend.beta),
            pick(bend.kappa),
        )
        T0, M0 = start_values(-lost.theta, -lost.v, bend, EI, who)
        beta = 1.0 if bend.beta is None else bend.beta[:, who]
        ML = M0 * bend.f[0][:, who] - beta * T0 * bend.f[1][:, who] + lost.M
        each = np.zeros((n, len(mine), 12))
        each[..., 1:3], each[..., 7:9] = -T0, T0 + lost.T
        each[..., 5], each[..., 4] = -M0[..., 0], M0[..., 1]
        each[..., 11], each[..., 10] = ML[..., 0], -ML[..., 1]
        start_N, start_torque = -lost.stretch / L[:, who], -lost.twist / L[:, who]
        each[..., 0], each[..., 6] = -start_N, start_N + lost.N
        each[..., 3], each[..., 9] = -start_torque, start_torque + lost.torque
        for column, member in enumerate(who):
            total[:, member] += each[:, column]
    return total


def start_values(b1, b2, bend: Bending, EI, who=slice(None)):
    """T0 and M0 that turn the far end by b1 and move it by b2 from where the start alone would bring it."""
    f, det = bend.f, bend.det[:, who]
    beta = 1.0 if bend.beta is None else bend.beta[:, who]
    f1, f2 = f[1][:, who], f[2][:, who]
    # from d: EI (beta phi3 - g L)/det
    slip = bend.d[:, who] * det / EI[:, who]
    M0 = EI[:, who] * (f2 * b2 - slip * b1) / det
    T0 = EI[:, who] * (f1 * b2 / beta - f2 * b1) / det
    return T0, M0


@dataclass(frozen=True)
class Line:
    """A bar's whole state along its length follows from these at its start: (n, members, 2) v, theta, M, T;
    and (n, members) u, twist, N, torque. far: v at its end; pull: the axial force its bending was worked with
    (None: linear).
    """

    v: np.ndarray
    theta: np.ndarray
    M: np.ndarray
    T: np.ndarray
    u: np.ndarray
    twist: np.ndarray
    N: np.ndarray
    torque: np.ndarray
    far: np.ndarray
    pull: np.ndarray | None
