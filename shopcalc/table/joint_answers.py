"""Joints without a number, in one manner: those an engineer must size, those for which the frame has no answer."""

from __future__ import annotations

import numpy as np

from shopcalc.check import ASK, REFUSED, Check
from shopcalc.table.checks import case_words, provenance
from shopcalc.table.frame_solve import Solved
from shopcalc.table.job import Job


def ask(
    kind: str,
    what: str,
    why: str,
    *,
    clause: str = "AISC 360-22 J2",
    source: str = "aisc-360-22, J2.4",
    assumed: tuple[str, ...] = (),
    cautions: tuple[str, ...] = (),
) -> Check:
    """A kind of joint that is not worked out, and why."""
    return Check(
        id=f"joint.{kind}/{what}",
        name=f"{kind[0].upper()}{kind[1:]}: {what}",
        about=f"joint.{kind}",
        kind="use",
        verdict=ASK,
        clause=clause,
        source=source,
        provenance=provenance(source.split(",")[0]),
        detail=why,
        assumed=assumed,
        cautions=cautions,
    )


def refused(job: Job, about: str, words: str, what: str, s: Solved) -> Check:
    """A joint without an answer: the frame has none in the first such case of a state."""
    i = int(np.nonzero(s.answer.strength_refused)[0][0])
    return Check(
        id=f"{about}/{what}",
        name=f"{words}: {what}",
        about=about,
        kind=s.cases[i].case.kind,
        verdict=REFUSED,
        case=case_words(job, s.cases[i].case, s.cases[i].where),
        clause="AISC 360-22 C2",
        source="aisc-360-22, C2",
        provenance=provenance("aisc-360-22"),
        detail=f"{s.words}: {s.answer.reason[i]}",
    )
