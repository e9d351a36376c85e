"""The weld of a branch to its own end plate, at a bolted joint: the joint that is forgotten beside its bolts.

The plate counts as a face as wide as it is, so a thin one lets only the ends of the runs across it work. The two runs
across it always count; those along it only where the plate stands past the branch by the leg.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from shopcalc.check import Check
from shopcalc.codes.aisc360_22 import hollow_joints as hj
from shopcalc.joints import weld_groups, welds
from shopcalc.table.bolts_made import PLATE_STEEL, PLATE_TENSILE, PLATE_YIELD, Bolted
from shopcalc.table.checks import provenance
from shopcalc.table.job import Job
from shopcalc.table.jobfile.joints import Bolts
from shopcalc.table.landings import Forces, Landing, forces_on
from shopcalc.table.weld_checks import line_check, worked
from shopcalc.table.weld_laid import CORNERS_OFF, Laid, wall_of
from shopcalc.units import Quantity, magnitude, show_length, show_wall

PLAIN = "A36"
FILLER = {"carbon": "E70", "stainless": "E309L"}  # a stainless branch on a plate of plain steel
NARROW = "the plate is no wider than the branch: its two sides have no ledge to fillet, only the runs above and below count"
FLAT_PLATE = "a plate pulls out of flat when it is welded: clamp it, weld both sides in turn, face it off before it is bolted"


def on_plate(bolts: Bolts, made: Bolted, at: Landing) -> Laid:
    """The fillet all round a branch on its end plate, of the leg that the job gives or the least of table J2.4."""
    branch = wall_of(at.branch)
    plate = welds.Wall("end plate", made.plate, float(magnitude(PLATE_YIELD, "Pa")), float(magnitude(PLATE_TENSILE, "Pa")))
    walls, thinner = (branch, plate), min(branch.t, plate.t)
    least = float(welds.round_up_si(welds.least_leg_si(thinner), "mm" if made.thread.metric else "inch"))
    leg = least if bolts.leg is None else float(magnitude(bolts.leg, "m"))
    across, along, _ = at.sizes
    width = made.plate_width(across + 2 * leg)
    sides = width >= across + 2 * leg - 1e-9
    run = {"B": width, "t": plate.t, "F_y": plate.F_y, "F_yb": branch.F_y, "t_b": branch.t, "B_b": across}
    works = float(hj.effective_lengths(**run, H_b=along, theta=np.pi / 2).B_e)
    fillet = welds.fillet(leg, thinner)
    metal = welds.METAL_OF.get(at.branch.tube.product, "carbon")
    return Laid(
        at,
        across,
        along,
        along,
        works,
        () if sides else (CORNERS_OFF,),
        False,
        weld_groups.branch_outline(across, along, works, sides=(-1, 1) if sides else ()),
        leg,
        fillet,
        fillet.throat,
        1.0,
        welds.filler(FILLER[metal], at.branch.tube.product, PLAIN),
        walls,
        run,
    )


def plate_weld_checks(
    job: Job,
    about: str,
    words: str,
    how: Bolts,
    known: Sequence[tuple[Landing, Bolted]],
    held: Sequence,
    rows: Sequence,
    kinds: np.ndarray,
    factor: np.ndarray,
) -> Iterator[Check]:
    """One check: the worst over the joints of a kind and the rows (state, case)."""
    worst = None
    for at, made in known:
        laid = on_plate(how, made, at)
        f = Forces.joined([forces_on(s, at) for s in held]).times(factor)
        line = laid.line(f)
        for kind in dict.fromkeys(kinds):
            ratio = np.where(kinds == kind, line / laid.allowable(kind, job.method), -1.0)
            i = int(ratio.argmax())
            if worst is None or ratio[i] > worst[0]:
                worst = float(ratio[i]), laid, i, float(line[i]), f
    if worst is not None:
        yield _answer(job, about, words, how, rows, worst)


def _answer(job: Job, about: str, words: str, how: Bolts, rows: Sequence, worst) -> Check:
    _, laid, i, force, f = worst
    s, row = rows[i]
    case = s.cases[row].case
    weakest = laid.weakest(case.kind, job.method)
    _, lay, limits = laid.needed(force, case.kind, job.method, job.system)
    leg = show_length(Quantity(laid.laid, "m"), job.system)
    needs = (
        f"it needs a leg of {show_length(Quantity(lay, 'm'), job.system, 'up')} ({limits})"
        if limits in (weld_groups.LIMIT_TABLE, weld_groups.LIMIT_WELD)
        else limits
    )
    narrow = CORNERS_OFF in laid.off
    return line_check(
        job,
        s.cases[row],
        s.words,
        force,
        weakest,
        id=f"{about}/plate weld",
        name=f"{words}: weld of the end plate",
        about=about,
        source="aisc-360-22, J2.4, J4 and K5",
        provenance=provenance("aisc-360-22"),
        detail=f"{laid.at.name}: {weakest.state()} governs; fillet {leg} {'above and below' if narrow else 'all round'}, credited "
        f"{show_wall(Quantity(float(laid.fillet.credited[0]), 'm'), job.system)}; {needs}",
        range=("elastic sum on lines, no bonus for direction; the plate as a face as wide as it is",),
        assumed=(
            PLATE_STEEL,
            f"filler {laid.filler.name}",
            *((f"fillet {leg} on the end plate, the least of table J2.4 (joints: leg not said)",) if how.leg is None else ()),
            *laid.at.branch.tube.assumed,
        ),
        cautions=(FLAT_PLATE, *((NARROW,) if narrow else ())),
        worked=lambda: worked(job, laid, f, i),
    )
