"""Both maps of a whole top, 100 x 50 points, every state: `python tests/benchmarks/bench_maps.py`. Goal: under 200 ms."""

import time
from pathlib import Path

from shopcalc.table.geometry import build
from shopcalc.table.job import load_job
from shopcalc.table.loads import load_cases
from shopcalc.table.maps import maps, setting_of

JOBS = Path(__file__).resolve().parent.parent.parent / "notebooks" / "jobs"
TURNS = 5


def main() -> None:
    for path in sorted(JOBS.glob("*.toml")):
        job = load_job(path)
        g, setting = build(job), setting_of(job, load_cases(job.overrides))
        maps(job, g, setting)
        times, work = [], time.process_time()
        for _ in range(TURNS):
            start = time.perf_counter()
            maps(job, g, setting)
            times.append((time.perf_counter() - start) * 1e3)
        print(f"{path.stem}: both maps, even and uneven floor, {min(times):.0f} ms (median "
              f"{sorted(times)[TURNS // 2]:.0f}; of the processors {(time.process_time() - work) / TURNS * 1e3:.0f})")


if __name__ == "__main__":
    main()
