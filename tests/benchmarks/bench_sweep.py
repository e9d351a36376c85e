"""A million tube x span x load rows through every closed-form beam and member check, beside hand-written numpy.

Run: python tests/benchmarks/bench_sweep.py   (prints seconds and the ratio; asserts nothing)
"""

from __future__ import annotations

import time

import numpy as np

from shopcalc.mechanics.statics import GRAVITY
from shopcalc.stock.tubes import stock_tubes, tube_sections
from shopcalc.sweep import Question, ratios
from shopcalc.units import Q

ROWS = 1_000_000


def rows():
    tubes = [t for t in stock_tubes() if t.shape != "round"]
    sections = tube_sections(tubes, "design")[np.arange(ROWS) % len(tubes)]
    F_y = np.array([float(t.steel.Fy.to("Pa").magnitude) for t in tubes])[np.arange(ROWS) % len(tubes)]
    span = np.linspace(0.6, 3.2, ROWS)
    load = np.linspace(200.0, 3000.0, ROWS)[::-1].copy()
    return sections, F_y, np.full(ROWS, 199.9e9), span, load


def by_hand(s, F_y, E, L, P):
    """The same three ratios for compact and slender rectangular tube, typed out for this benchmark alone."""
    w = s.mass_per_length * GRAVITY
    M, V = w * L**2 / 8 + P * L / 4, w * L / 2 + P
    sag = 5 * w * L**4 / (384 * E * s.Ix) + P * L**3 / (48 * E * s.Ix)
    root = np.sqrt(E / F_y)
    b, h = s.flat_b / s.t, s.flat_h / s.t
    M_p, M_y = F_y * s.Zx, F_y * s.Sx
    flange = np.where(b > 1.12 * root, M_p - (M_p - M_y) * (b - 1.12 * root) / ((1.40 - 1.12) * root), M_p)
    b_e = np.minimum(1.92 * s.t * root * (1 - 0.38 / b * root), s.flat_b)
    lost = (s.flat_b - b_e)
    I_e = s.Ix - 2 * (lost * s.t**3 / 12 + lost * s.t * ((s.height - s.t) / 2) ** 2)
    flange = np.where(b > 1.40 * root, F_y * I_e / (s.height / 2), flange)
    web = np.where(h > 2.42 * root, M_p - (M_p - M_y) * (h - 2.42 * root) / ((5.70 - 2.42) * root), M_p)
    M_n = np.minimum(np.minimum(M_p, flange), web)
    r_y = np.minimum(s.rx, s.ry)
    L_p = 0.13 * E * r_y * np.sqrt(s.J * s.A) / M_p
    L_r = 2 * E * r_y * np.sqrt(s.J * s.A) / (0.7 * M_y)
    side = np.where(L > L_r, 2 * E * np.sqrt(s.J * s.A) / (L / r_y),
                    M_p - (M_p - 0.7 * M_y) * (L - L_p) / (L_r - L_p))
    M_n = np.where((s.height > s.width) & (L > L_p), np.minimum(M_n, side), M_n)
    limit = 1.10 * np.sqrt(5 * E / F_y)
    C = np.where(h > limit, limit / h, 1.0)
    C = np.where(h > 1.37 * np.sqrt(5 * E / F_y), 1.51 * 5 * E / (h**2 * F_y), C)
    V_n = 0.6 * F_y * 2 * s.flat_h * s.t * C
    return {"bending": M / (M_n / 1.67), "shear": V / (V_n / 1.67), "sag": sag / (L / 360)}


def timed(call):
    best = np.inf
    for _ in range(3):
        start = time.perf_counter()
        result = call()
        best = min(best, time.perf_counter() - start)
    return best, result


def main() -> None:
    s, F_y, E, L, P = rows()
    question = Question("simple", Q(0.0, "N"), sag_part=1 / 360)
    kit, ours = timed(lambda: ratios(question, s, F_y, E, L, P, 0.0))
    hand, theirs = timed(lambda: by_hand(s, F_y, E, L, P))
    apart = max(float(np.nanmax(np.abs(ours[n] / theirs[n] - 1))) for n in ours)
    print(f"{ROWS:,} rows: kit {kit:.2f} s, by hand {hand:.2f} s, ratio {kit / hand:.2f}; largest relative difference {apart:.1e}")


if __name__ == "__main__":
    main()
