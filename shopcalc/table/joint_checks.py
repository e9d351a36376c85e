"""Every joint of a job under the forces of the frame: the worst of each kind over every joint, case and
state.

Weld (weld_checks.py) and face of the tube (face_checks.py); bars end to end (butt_checks.py); or bolts, plate and
thread (bolt_checks.py).
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shopcalc.check import Check, load_factor
from shopcalc.table.assembly import Joint
from shopcalc.table.bolt_checks import bolt_checks
from shopcalc.table.butt_checks import butt_checks
from shopcalc.table.face_checks import face_checks, for_the_engineer
from shopcalc.table.frame_solve import Solved
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.jobfile.joints import Weld
from shopcalc.table.joint_answers import ask, refused
from shopcalc.table.landings import Forces, forces_on, landings_of, no_room, short_by
from shopcalc.table.weld_checks import Worst, weld_answers
from shopcalc.table.weld_laid import Laid, not_laid, solid, unknown
from shopcalc.units import magnitude


def weld_checks(job: Job, g: Geometry, solved: list[Solved]) -> Iterator[Check]:
    for kind in dict.fromkeys(j.kind for j in g.joints):
        made = job.joint(kind)
        joints = [j for j in g.joints if j.kind == kind]
        if isinstance(made, Weld) and made.butt:
            yield from butt_checks(job, g, kind, made, joints, solved)
        elif isinstance(made, Weld):
            yield from _kind_checks(job, g, kind, made, joints, solved)
        else:
            yield from bolt_checks(job, g, kind, made, joints, solved)


def _kind_checks(
    job: Job, g: Geometry, kind: str, weld: Weld, joints: list[Joint], solved: list[Solved]
) -> Iterator[Check]:
    about, words = f"joint.{kind}", kind[0].upper() + kind[1:]
    known, laid = [], []
    for at in landings_of(g, joints):
        why = unknown(at) or no_room(g, at, float(magnitude(weld.leg, "m")))
        if not why:
            if not solid(at):  # a flat bar has no wall to fold: the bar itself is checked as a member
                known.append(at)
            made = Laid.of(job, g, weld, at)
            why = not_laid(made)
            if not why:
                laid.append(made)
        if why:
            figure = for_the_engineer(g, at, solved)
            yield ask(kind, "weld", f"{at.name}: {why}; have this joint sized{figure}")
    yield from face_checks(job, g, kind, known, solved)
    for s in solved:
        if s.answer.strength_refused.any():
            yield refused(job, about, words, "weld", s)
            return
    rows = [(s, i) for s in solved for i in range(len(s.cases))]
    kinds = np.array([s.cases[i].case.kind for s, i in rows])
    factor = np.array([load_factor(k, job.method) for k in kinds])
    worst: Worst | None = None
    for made in laid:
        f = Forces.joined([forces_on(s, made.at) for s in solved]).times(factor)
        line = made.line(f)
        for k in dict.fromkeys(kinds):
            ratio = np.where(kinds == k, line / made.allowable(k, job.method), -1.0)
            i = int(ratio.argmax())
            if worst is None or ratio[i] > worst.ratio:
                worst = Worst(float(ratio[i]), *rows[i], i, f, made)
    if worst is not None:
        yield from weld_answers(job, about, words, weld, worst, laid, {m.at.host.name: by for m in laid if (by := short_by(g, m.at))})
