"""A million tube x span x load rows through every closed-form beam and member check, beside hand-written numpy.

Three runs: a bar by the sweep (bending, shear, sag); the same bar as a leg too (compression, compression with bending);
the same tubes as members under everything at once (H1, H3.2) as a frame asks for them.

Run: python tests/benchmarks/bench_sweep.py   (prints seconds and the ratio; asserts nothing)
"""

from __future__ import annotations

import time

import numpy as np

from shopcalc.codes.aisc360_22.of_sections import Demand, Lengths, member_ratios
from shopcalc.mechanics.statics import GRAVITY
from shopcalc.stock.tubes import stock_tubes, tube_sections
from shopcalc.sweep import CRITERIA, Question, ratios
from shopcalc.units import Q

ROWS = 1_000_000


def rows():
    tubes = [t for t in stock_tubes() if t.shape != "round"]
    sections = tube_sections(tubes, "design")[np.arange(ROWS) % len(tubes)]
    F_y = np.array([float(t.steel.Fy.to("Pa").magnitude) for t in tubes])[np.arange(ROWS) % len(tubes)]
    span = np.linspace(0.6, 3.2, ROWS)
    load = np.linspace(200.0, 3000.0, ROWS)[::-1].copy()
    return sections, F_y, np.full(ROWS, 199.9e9), span, load


def strengths_by_hand(s, F_y, E, L, K, wanted):
    """Allowable strengths of compact, noncompact and slender rectangular tube, typed out for this benchmark alone."""
    root = np.sqrt(E / F_y)
    b, h = s.flat_b / s.t, s.flat_h / s.t

    def bent(Z, S, I, H, B, b, h, flat):  # noqa: E741
        M_p, M_y = F_y * Z, F_y * S
        flange = np.where(b > 1.12 * root, M_p - (M_p - M_y) * (b - 1.12 * root) / ((1.40 - 1.12) * root), M_p)
        b_e = np.minimum(1.92 * s.t * root * (1 - 0.38 / b * root), flat)
        lost = flat - b_e
        I_e = I - 2 * (lost * s.t**3 / 12 + lost * s.t * ((H - s.t) / 2) ** 2)
        flange = np.where(b > 1.40 * root, F_y * I_e / (H / 2), flange)
        web = np.where(h > 2.42 * root, M_p - (M_p - M_y) * (h - 2.42 * root) / ((5.70 - 2.42) * root), M_p)
        M_n = np.minimum(np.minimum(M_p, flange), web)
        r_y = np.minimum(s.rx, s.ry)
        L_p = 0.13 * E * r_y * np.sqrt(s.J * s.A) / M_p
        L_r = 2 * E * r_y * np.sqrt(s.J * s.A) / (0.7 * M_y)
        side = np.where(L > L_r, 2 * E * np.sqrt(s.J * s.A) / (L / r_y), M_p - (M_p - 0.7 * M_y) * (L - L_p) / (L_r - L_p))
        return np.where((H > B) & (L > L_p), np.minimum(M_n, side), M_n)

    def sheared(h, flat):
        limit = 1.10 * np.sqrt(5 * E / F_y)
        C = np.where(h > limit, limit / h, 1.0)
        C = np.where(h > 1.37 * np.sqrt(5 * E / F_y), 1.51 * 5 * E / (h**2 * F_y), C)
        return 0.6 * F_y * 2 * flat * s.t * C

    def column():
        lam = np.maximum(K * L / s.rx, K * L / s.ry)
        F_e = np.pi**2 * E / lam**2
        F_n = np.where(F_y > 2.25 * F_e, 0.877 * F_e, 0.658 ** (F_y / F_e) * F_y)
        A_e = s.A
        for ratio, flat in ((b, s.flat_b), (h, s.flat_h)):
            F_el = (1.38 * 1.40 * root / ratio) ** 2 * F_y
            part = np.sqrt(F_el / F_n)
            w_e = np.where(ratio > 1.40 * root * np.sqrt(F_y / F_n), flat * (1 - 0.20 * part) * part, flat)
            A_e = A_e - 2 * (flat - w_e) * s.t
        return F_n * A_e

    def twisted():
        wall = np.maximum(b, h)
        return s.C * np.where(wall > 3.07 * root, 0.458 * np.pi**2 * E / wall**2,
                              np.where(wall > 2.45 * root, 0.6 * F_y * 2.45 * root / wall, 0.6 * F_y))

    every = {"M_x": lambda: bent(s.Zx, s.Sx, s.Ix, s.height, s.width, b, h, s.flat_b),
             "M_y": lambda: bent(s.Zy, s.Sy, s.Iy, s.width, s.height, h, b, s.flat_h),
             "V_x": lambda: sheared(h, s.flat_h), "V_y": lambda: sheared(b, s.flat_b), "P": column, "P_t": lambda: F_y * s.A,
             "T": twisted}
    return {name: every[name]() / 1.67 for name in wanted}


def h1_by_hand(P, P_c, m):
    p = P / P_c
    return np.where(p >= 0.2, p + 8 / 9 * m, p / 2 + m)


def by_hand(s, F_y, E, L, P, push=None):
    """The ratios of the sweep; with a push those of a leg too."""
    w = s.mass_per_length * GRAVITY
    M, V = w * L**2 / 8 + P * L / 4, w * L / 2 + P
    sag = 5 * w * L**4 / (384 * E * s.Ix) + P * L**3 / (48 * E * s.Ix) + M / (11200 / 29000 * E * s.Av_x)
    n = strengths_by_hand(s, F_y, E, L, K, ("M_x", "V_x") if push is None else ("M_x", "V_x", "P"))
    found = {"bending": M / n["M_x"], "shear": V / n["V_x"], "sag": sag / (L / 360)}
    if push is None:
        return found
    P_e = np.pi**2 * E * s.Ix / (K * L) ** 2
    grown = np.where(1.6 * push < P_e, np.maximum(1 / (1 - 1.6 * push / P_e), 1), np.inf)
    return {**found, "compression": push / n["P"],
            "compression and bending": h1_by_hand(push, n["P"], grown * M / n["M_x"])}


def members_by_hand(s, F_y, E, L, d):
    n = strengths_by_hand(s, F_y, E, L, 1.0, ("M_x", "M_y", "V_x", "V_y", "P", "P_t", "T"))
    P, M_x, M_y, V_x, V_y, T = (abs(v) for v in (d.P, d.M_x, d.M_y, d.V_x, d.V_y, d.T))
    P_c = np.where(d.P < 0, n["P"], n["P_t"])
    m = M_x / n["M_x"] + M_y / n["M_y"]
    v, q = np.maximum(V_x / n["V_x"], V_y / n["V_y"]), T / n["T"]
    together = np.where(q > 0.2, P / P_c + m + (v + q) ** 2, h1_by_hand(P, P_c, m))
    return {"everything": np.maximum(together, np.maximum(v, q))}


K = 2.0


def timed(call):
    best = np.inf
    for _ in range(3):
        start = time.perf_counter()
        result = call()
        best = min(best, time.perf_counter() - start)
    return best, result


def told(name, kit, hand):
    seconds, ours = timed(kit)
    plain, theirs = timed(hand)
    apart = max(float(np.max(np.abs((ours[n] / theirs[n] - 1)[np.isfinite(theirs[n]) & np.isfinite(ours[n])]))) for n in ours)
    print(f"{name}: {ROWS:,} rows, kit {seconds:.2f} s, by hand {plain:.2f} s, ratio {seconds / plain:.2f}; "
          f"largest relative difference {apart:.1e}")


def main() -> None:
    s, F_y, E, L, P = rows()
    bar = Question("simple", Q(0.0, "N"), sag_part=1 / 360)
    leg = Question("simple", Q(0.0, "N"), criteria=CRITERIA, sag_part=1 / 360, push=Q(1.0, "N"), K=K)
    told("bar: bending, shear, sag", lambda: ratios(bar, s, F_y, E, L, P, 0.0), lambda: by_hand(s, F_y, E, L, P))
    told("leg: those, compression, both", lambda: ratios(leg, s, F_y, E, L, P, 0.0, 2 * P),
         lambda: by_hand(s, F_y, E, L, P, 2 * P))
    d = Demand(P=np.where(np.arange(ROWS) % 2, -3 * P, P), M_x=P * L / 6, M_y=P * L / 30, V_x=P, V_y=P / 4, T=P * L / 40)
    told("member: everything at once", lambda: {"everything": member_ratios(s, F_y, E, d, Lengths.of(L)).ratio},
         lambda: members_by_hand(s, F_y, E, L, d))


if __name__ == "__main__":
    main()
