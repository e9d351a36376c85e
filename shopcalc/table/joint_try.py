"""One joint by itself, with another wall, leg, bolts or moment: the questions of the bench before a job is
changed.

A branch on the face of a tube under a bending moment along the tube alone; weld, face and bolts by the same
rules as the checks of a job.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pint

from shopcalc.check import ASK, OUTSIDE, compare, load_factor
from shopcalc.codes.aisc360_22 import hollow_joints as hj
from shopcalc.errors import InputError
from shopcalc.joints import weld_groups
from shopcalc.stock.tubes import Tube, stock_tubes
from shopcalc.table.assembly import Joint
from shopcalc.table.bolt_checks import Made as MadeBolts
from shopcalc.table.face_checks import is_capped, sizes_of
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.jobfile.joints import Bolts, Weld
from shopcalc.table.landings import landings, to_open_end
from shopcalc.table.weld_laid import Laid, not_laid, rounds, unknown
from shopcalc.units import Quantity, magnitude, show_length

# What a welded end may be made as instead, in the shop's words -> keys of [joints]; plates of 1/2 in, a
# sleeve in the tube.
BOLTED = {
    "inch": {
        "welded": None,
        "2 bolts of 3/8 in": (2, "3/8 in"),
        "4 bolts of 3/8 in": (4, "3/8 in"),
        "4 bolts of 1/2 in": (4, "1/2 in"),
    },
    "mm": {
        "welded": None,
        "2 bolts of M10": (2, "10 mm"),
        "4 bolts of M10": (4, "10 mm"),
        "4 bolts of M12": (4, "12 mm"),
    },
}


@dataclass(frozen=True)
class Tried:
    """What came out: names, used shares (None where there is none), verdicts, sentences, and what to draw
    (metres)."""

    names: tuple[str, ...]
    ratios: tuple[float | None, ...]
    verdicts: tuple[str, ...]
    words: tuple[str, ...]
    face: float
    across: float
    along: float
    works: float
    bolts: np.ndarray | None


def triable(job: Job, g: Geometry) -> dict[str, Joint]:
    """Kind -> its first joint, for the kinds of square and rectangular tube that can be worked out."""
    found: dict[str, Joint] = {}
    for j in g.joints:
        at = landings(g, j)[0]
        if j.end >= 0 and not unknown(at) and not any(rounds(at)):
            found.setdefault(j.kind, j)
    return found


def other_walls(tube: Tube) -> dict[str, Tube]:
    """Walls of the stock list in the same outside size, product and lie: word -> tube, thinnest first. The
    tube itself is
    among them."""
    found = {}
    for other in (*stock_tubes(), tube):
        if (other.product, other.shape, sorted(other.size_words)) == (
            tube.product,
            tube.shape,
            sorted(tube.size_words),
        ):
            same = (
                other
                if np.isclose(magnitude(other.height, "m"), magnitude(tube.height, "m"))
                else other.turned()
            )
            found[other.wall_word] = same
    return dict(sorted(found.items(), key=lambda row: float(magnitude(row[1].wall("nominal"), "m"))))


def tried(
    job: Job,
    g: Geometry,
    joint: Joint,
    *,
    host: Tube,
    leg: pint.Quantity,
    moment: pint.Quantity,
    made: str = "welded",
) -> Tried:
    """A joint with another wall of its host, another leg, or bolts, under a moment along the tube. made: a
    word of BOLTED."""
    if made not in BOLTED[job.system]:
        raise InputError(
            field="tried: made", value=made, need="one of " + ", ".join(BOLTED[job.system]), example="welded"
        )
    members = {**g.members, joint.host: replace(g.members[joint.host], tube=host)}
    g = replace(g, members=members)
    at = landings(g, joint)[0]
    M = float(magnitude(moment, "N*m")) * load_factor("use", job.method)
    if not M >= 0:
        raise InputError(
            field="tried: moment",
            value=f"{moment:~P}",
            need="a moment of nought or more",
            example="250 lbf*ft",
        )
    names, ratios, verdicts, words = [], [], [], []

    def answer(name, ratio, verdict, sentence):
        names.append(name), ratios.append(ratio), verdicts.append(verdict), words.append(sentence)

    now = job.joint(joint.kind)
    known = (
        now
        if isinstance(now, Weld) and not now.butt
        else Weld.model_validate({"weld": "fillet all round", "leg": "1/8 in"})
    )
    weld = Laid.of(
        job, g, known.model_copy(update={"leg": leg, "ground": False, "throat_left": None}), at
    )
    sizes = sizes_of(g, at, is_capped(job, joint.kind))
    use = hj.face_strength(
        **{n: np.array([v]) for n, v in sizes.items()}, M_ip=M, kind="use", method=job.method
    )
    places = None
    if BOLTED[job.system][made] is None and not_laid(weld):
        answer("weld", None, ASK, f"weld: {not_laid(weld)}")
    elif BOLTED[job.system][made] is None:
        line = float(weld_groups.line_force(weld.group, (0, 0, 0), (M, 0, 0))[0])
        weakest = weld.weakest("use", job.method)
        ratio, verdict = compare(line, float(weakest.allowable[0]))
        _, lay, limits = weld.needed(line, "use", job.method, job.system)
        what = (
            f"lay {show_length(Quantity(lay, 'm'), job.system, 'up')}, limited by {limits}"
            if limits in (weld_groups.LIMIT_TABLE, weld_groups.LIMIT_WELD)
            else limits
        )
        answer("weld", ratio, verdict, f"weld: {weakest.state()} governs; {what}; {weld.sides}")
        if bool(weld.fillet.too_small[0]):
            answer(
                "least leg",
                float(weld.fillet.least[0]) / weld.laid,
                compare(float(weld.fillet.least[0]), weld.laid)[1],
                "least leg for this wall "
                f"{show_length(Quantity(float(weld.fillet.least[0]), 'm'), job.system)}",
            )
    else:
        count, size = BOLTED[job.system][made]
        bolts = MadeBolts.of(
            job,
            Bolts.model_validate({"bolts": count, "size": size, "plate": "1/2 in", "sleeve": True}),
            at,
            to_open_end(g, at),
        )
        places = bolts.places
        y = places[:, 1] - places[:, 1].mean()
        pull = M * np.abs(y).max() / (y**2).sum()
        ratio, verdict = compare(pull, bolts.bolt_limits("use", job.method)[0])
        answer(
            "bolts in tension",
            ratio,
            verdict,
            f"bolts: {bolts.grade.name}, pulled by the moment alone, without prying; plate, thread and "
            "wall are worked out where the job says bolts",
        )
    if bool(use.in_range[0]):
        ratio, verdict = compare(float(use.ratio[0]), 1.0)
        answer("face of the tube", ratio, verdict, f"face: {hj.MEANT[use.state(0)]}")
    else:
        answer(
            "face of the tube",
            None,
            OUTSIDE if use.why_outside(0) else ASK,
            f"face: outside what was tested: {use.why_outside(0)}",
        )
    return Tried(
        tuple(names),
        tuple(ratios),
        tuple(verdicts),
        tuple(words),
        sizes["B"],
        weld.run["B_b"],
        weld.along,
        weld.works,
        places,
    )
