"""The ground floor beside what it replaces, in one run: import, call, worked line, a million rows, reader.

Run: python tests/benchmarks/bench_ground_floor.py   (prints times and ratios with goals; asserts nothing)
Trust the ratios: both sides of each run on the same machine, turn by turn, and the best turn counts.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time

import numpy as np

from shopcalc.formula import formula
from shopcalc.units import Length, LoadPerLength, Q, Quantity, SecondMoment, Stress, read_length

ROWS = 1_000_000


@formula(symbol="delta", source="benchmark")
def sag(w: LoadPerLength, L: Length, E: Stress, I: SecondMoment) -> Length:  # noqa: E741
    """Sag at the middle.

    w  load
    L  span
    E  stiffness
    I  second moment
    """
    return 5 * w * L**4 / (384 * E * I)


def by_hand(w, L, E, I):  # noqa: E741
    return 5 * w * L**4 / (384 * E * I)


def best(*runs, turns: int = 15, repeat: int = 1) -> list[float]:
    """Best seconds of each, taken in turns so that a busy machine is busy for all."""
    took = [[] for _ in runs]
    for _ in range(turns):
        for run, into in zip(runs, took, strict=True):
            start = time.perf_counter()
            for _ in range(repeat):
                run()
            into.append((time.perf_counter() - start) / repeat)
    return [min(t) for t in took]


def imports() -> None:
    def cpu(statement: str) -> float:
        before = os.times()
        subprocess.run([sys.executable, "-c", statement], check=True)
        after = os.times()
        return sum(after[2:4]) - sum(before[2:4])  # of the children

    statements = ("pass", "import numpy, pint", "import shopcalc", "import shopcalc.formula, shopcalc.check")
    rounds = [[cpu(s) for s in statements] for _ in range(9)]  # processor time: a busy machine does not count
    bare, libraries, package, floor = (min(column) for column in zip(*rounds, strict=True))
    print(f"import shopcalc              {package - bare:7.3f} s over bare Python (goal 0.3)")
    print(f"import of the ground floor   {floor - bare:7.3f} s; numpy and pint alone {libraries - bare:.3f} s; "
          f"ratio {(floor - bare) / (libraries - bare):.2f}")


def calls() -> None:
    mixed = dict(w=Q(12, "lbf/ft"), L=Q(3.2, "m"), E=Q(29000, "ksi"), I=Q(0.486, "inch**4"))
    bare = dict(w=175.0, L=3.2, E=2e11, I=2e-7)
    pint_way = [v.to(u) for v, u in zip(mixed.values(), ("N/m", "m", "Pa", "m**4"), strict=True)]
    call, body, quantities, line, slopes = best(
        lambda: sag(**mixed), lambda: sag.si(**bare), lambda: by_hand(*pint_way).to("m"),
        lambda: sag.worked(**mixed), lambda: sag.sensitivities(**mixed), repeat=300)
    print(f"call, mixed units            {call * 1e6:7.1f} us (goal 50); quantities in plain pint "
          f"{quantities * 1e6:.1f} us; bare body {body * 1e6:.2f} us")
    print(f"worked line, self-checked    {line * 1e6:7.1f} us; sensitivities {slopes * 1e6:.1f} us")


def rows() -> None:
    draw = np.random.default_rng(1)
    ranges = ((50, 500), (1, 4), (1e11, 2e11), (1e-8, 1e-6))
    w, L, E, I = (draw.uniform(low, high, ROWS) for low, high in ranges)  # noqa: E741
    given = dict(w=Quantity(w, "lbf/ft"), L=Quantity(L, "ft"), E=Quantity(E, "psi"), I=Quantity(I, "inch**4"))
    si = dict(w=Quantity(w, "N/m"), L=Quantity(L, "m"), E=Quantity(E, "Pa"), I=Quantity(I, "m**4"))
    hand, bare, door, converting = best(lambda: by_hand(w, L, E, I), lambda: sag.si(w=w, L=L, E=E, I=I),
                                        lambda: sag(**si), lambda: sag(**given), turns=9)
    print(f"a million rows: by hand {hand * 1e3:.1f} ms; bare body x{bare / hand:.2f} (goal 1.2); "
          f"through the door x{door / hand:.2f}, with conversion x{converting / hand:.2f} (goal 3)")


def reader() -> None:
    texts = ["7'-6 1/2\"", "2-1/2 in", "1.5 mm", "2 400 mm"]
    (took,) = best(lambda: [read_length(t) for t in texts], repeat=200)
    print(f"a length read                {took / len(texts) * 1e6:7.1f} us")


if __name__ == "__main__":
    imports()
    calls()
    rows()
    reader()
