"""Every joint of a job under the forces of the frame: the worst of each kind over every joint, case and
state.

Weld (weld_checks.py) and face of the tube (face_checks.py), or bolts, plate and thread (bolt_checks.py).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from shopcalc.check import ASK, Check, load_factor
from shopcalc.table.assembly import Joint
from shopcalc.table.bolt_checks import bolt_checks
from shopcalc.table.checks import provenance
from shopcalc.table.face_checks import face_checks, height_lies_across, refused
from shopcalc.table.frame_solve import Solved
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.jobfile.joints import Weld
from shopcalc.table.weld_checks import Made, Worst, lean_of, thinner_throat, unknown, weld_answers

__all__ = ["Forces", "forces_on", "lean_of", "thinner_throat", "weld_checks"]


@dataclass(frozen=True)
class Forces:
    """Forces on the weld line of one joint in every case, (n,) each: pull, shear and bending across and along
    the face,
    twist. N, N m."""

    pull: np.ndarray
    shear_across: np.ndarray
    shear_along: np.ndarray
    over_across: np.ndarray
    over_along: np.ndarray
    twist: np.ndarray

    def times(self, factor: np.ndarray) -> Forces:
        return Forces(**{name: factor * force for name, force in vars(self).items()})

    @classmethod
    def joined(cls, parts: list[Forces]) -> Forces:
        """One after the other."""
        return cls(**{name: np.concatenate([getattr(p, name) for p in parts]) for name in vars(parts[0])})


def forces_on(s: Solved, joint: Joint, g: Geometry, height_across: bool | None = None) -> Forces:
    """From the end of the branch in its own axes to the face it stands on. height_across: where it is known
    already."""
    run = s.table.runs[joint.branch][-1 if joint.end else 0][0]
    f = s.answer.end_forces[:, s.answer.frame.member_number[run]] / s.factor
    f = f[:, 6:] if joint.end else f[:, :6]
    height_across = height_lies_across(joint, g) if height_across is None else height_across
    y, z = (
        (f[:, 1], f[:, 4]),
        (f[:, 2], f[:, 5]),
    )  # shear along the width, bending over the height; and the other way
    pull = f[:, 0] if joint.end else -f[:, 0]
    if height_across:  # the height lies across the face: bending over it is about the width
        return Forces(pull, z[0], y[0], y[1], z[1], f[:, 3])
    return Forces(pull, y[0], z[0], z[1], y[1], f[:, 3])


def weld_checks(job: Job, g: Geometry, solved: list[Solved]) -> Iterator[Check]:
    for kind in dict.fromkeys(j.kind for j in g.joints):
        made = job.joint(kind)
        joints = [j for j in g.joints if j.kind == kind]
        if isinstance(made, Weld):
            yield from _kind_checks(job, g, kind, made, joints, solved)
        else:
            yield from bolt_checks(job, g, kind, made, joints, solved, forces_on, unknown)


def _ask(kind: str, what: str, why: str) -> Check:
    return Check(
        id=f"joint.{kind}/{what}",
        name=f"{kind[0].upper()}{kind[1:]}: {what}",
        about=f"joint.{kind}",
        kind="use",
        verdict=ASK,
        clause="AISC 360-22 J",
        source="aisc-360-22, J2.4",
        provenance=provenance("aisc-360-22"),
        detail=why,
    )


def _kind_checks(
    job: Job, g: Geometry, kind: str, weld: Weld, joints: list[Joint], solved: list[Solved]
) -> Iterator[Check]:
    about, words = f"joint.{kind}", kind[0].upper() + kind[1:]
    known = []
    for j in joints:
        branch, host = g.members[j.branch], g.members[j.host]
        why = unknown(branch, host, j)
        if why:
            yield _ask(kind, "weld", f"{j.name}: {why}; have this joint sized")
        else:
            known.append((j, Made.of(job, weld, branch, host)))
    yield from face_checks(job, g, kind, [j for j, _ in known], solved, forces_on)
    for s in solved:
        if s.answer.strength_refused.any():
            yield refused(job, about, words, "weld", s)
            return
    rows = [(s, i) for s in solved for i in range(len(s.cases))]
    kinds = np.array([s.cases[i].case.kind for s, i in rows])
    factor = np.array([load_factor(k, job.method) for k in kinds])
    worst: Worst | None = None
    for j, made in known:
        across = height_lies_across(j, g)
        f = Forces.joined([forces_on(s, j, g, across) for s in solved]).times(factor)
        line = made.line(f)
        for k in dict.fromkeys(kinds):
            ratio = np.where(kinds == k, line / made.allowable(k, job.method), -1.0)
            i = int(ratio.argmax())
            if worst is None or ratio[i] > worst.ratio:
                worst = Worst(float(ratio[i]), j, *rows[i], i, f, made)
    if worst is not None:
        yield from weld_answers(job, about, words, weld, worst, g)
