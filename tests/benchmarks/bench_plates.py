"""How long a plate takes, by hand: python tests/benchmarks/bench_plates.py"""

import time
from pathlib import Path

import numpy as np

from shopcalc.mechanics.plates import Plate, Seated, grid, orthotropic, oval
from shopcalc.table.frame import STATES
from shopcalc.table.geometry import build
from shopcalc.table.job import load_job
from shopcalc.table.loads import load_cases
from shopcalc.table.top import Top, base_flexibility, kept
from shopcalc.table.top_checks import rows_of, top_checks

OAK = orthotropic(E_L=12.27e9, E_T=12.27e9 * 0.072, G=12.27e9 * 0.062, mu_LT=0.428)


def clock(what, again=20):
    times = []
    for _ in range(again):
        start = time.perf_counter()
        what()
        times.append(time.perf_counter() - start)
    return f"{1e3 * np.median(times):6.2f} ms"


def main():
    seats = np.array([[x, y] for x in (-1.0, 1.0) for y in np.linspace(-0.5, 0.5, 7)])
    base = np.eye(14) * 2e-7

    def build(**more):
        plate = Plate(grid(3.2, 1.2), OAK, 0.044, **more)
        return Seated(plate, plate.rows(*(seats * 0.6).T))

    ready = build()
    loads = np.concatenate([ready.plate.spread(1000.0), ready.plate.patch(1.4, 0.5, 0.15)[None] * 1300])
    solved = ready.plate.solve(loads)
    print("set up (grid, factor, 14 seats)        ", clock(build))
    print("the same, round by cut cells           ", clock(lambda: build(outline=oval(3.2, 1.2))))
    print("two loads with one-sided contact       ", clock(lambda: ready.rest(loads, base, one_sided=True)))
    print("another thickness, base or wall        ", clock(lambda: ready.rest(loads, base, one_sided=True, solved=solved, scale=1.2)))

    demo()


def demo():
    """The top of the demo table: what a change costs."""
    job = load_job(Path(__file__).resolve().parents[2] / "notebooks" / "jobs" / "archive_map_table.toml")
    g, cases = build(job), load_cases(job.overrides)
    base = base_flexibility(job, g)
    top = Top.of(job, g, cases["person-sag"], base)
    mix = top.mix(*(r.load for r in rows_of(top, cases)))

    def plan():
        kept.cache_clear()
        Top.of(job, g, cases["person-sag"], base)

    def states(again):
        for s in STATES:
            Top.of(job, g, cases["person-sag"], again).answer(s, mix)

    print("demo: another plan (grid, factor, unit loads)", clock(plan, 5))
    print(f"demo: another thickness or load, {len(mix)} loads, three states", clock(lambda: states(base)))
    print("demo: another wall (base anew)               ", clock(lambda: states(base_flexibility(job, g))))
    print("demo: every check of the top in words        ", clock(lambda: list(top_checks(job, g, cases, base)), 5))


if __name__ == "__main__":
    main()
