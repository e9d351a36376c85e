"""One joint by itself, with another wall, leg, bolts, plate or load: the questions of the bench before a job is
changed.

A branch on the face of a tube under a pull, and a shear and a bending moment along the tube; weld, face, bolts and
plate by the same rules as the checks of a job.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import pint

from shopcalc.check import ASK, OUTSIDE, OVER, REPORTED, compare, load_factor
from shopcalc.codes.aisc360_22.bolts import standard_hole
from shopcalc.errors import InputError
from shopcalc.joints import weld_groups
from shopcalc.stock.tubes import Tube, stock_tubes
from shopcalc.table.assembly import Joint
from shopcalc.table.bolt_checks import MORE_BOLTS, STOPS_SLIP, bolt_questions, first_to_give
from shopcalc.table.bolts_made import Bolted, end_words, not_bolted, to_the_end
from shopcalc.table.face_checks import RULES, Rule, is_capped
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.jobfile.joints import Bolts, Weld
from shopcalc.table.landings import Forces, Landing, landings, no_room, to_open_end
from shopcalc.table.plate_weld import on_plate
from shopcalc.table.weld_laid import CORNERS_OFF, TAKEN_OFF, Laid, not_laid, rounds, unknown
from shopcalc.units import Q, Quantity, magnitude, show, show_length, show_wall

# What a welded end may be made as instead, in the shop's words -> count, size, what the bolts turn into.
BOLTED = {
    "inch": {
        "welded": None,
        "2 bolts of 3/8 in": (2, "3/8 in", "nut"),
        "4 bolts of 3/8 in": (4, "3/8 in", "nut"),
        "4 bolts of 1/2 in": (4, "1/2 in", "nut"),
        "4 of 1/4 in, tapped wall": (4, "1/4 in", "tapped wall"),
    },
    "mm": {
        "welded": None,
        "2 bolts of M10": (2, "10 mm", "nut"),
        "4 bolts of M10": (4, "10 mm", "nut"),
        "4 bolts of M12": (4, "12 mm", "nut"),
        "4 of M6, tapped wall": (4, "6 mm", "tapped wall"),
    },
}
PLATE = Q(0.5, "inch")


@dataclass(frozen=True)
class Tried:
    """What came out: names, used shares (None where there is none), verdicts, sentences, and what to draw (metres).

    face, deep      width of the face and depth of the tube under it;  t  its wall
    across, along   size of the branch across and along the tube;  t_b  its wall
    works           weld that counts of each run across
    bare_sides      whether the runs along the tube do not count;  bare_ends  which runs across do not: -1, 1
    leg             leg laid, 0 where it is bolted;  bolts  (n, 2) places across and along, None where it is welded
    plate, d, edge  end plate, bolt and its distance to the edge;  through  whether the bolts run through the tube
    load            pull, shear, moment: N, N, N m
    ring            of a round branch: (n, 3) places along and across, and 1 where the weld from there to the next counts
    round_host      whether the tube is round
    """

    names: tuple[str, ...]
    ratios: tuple[float | None, ...]
    verdicts: tuple[str, ...]
    words: tuple[str, ...]
    face: float
    deep: float
    t: float
    across: float
    along: float
    t_b: float
    works: float
    bare_sides: bool
    bare_ends: tuple[int, ...]
    leg: float
    bolts: np.ndarray | None = None
    plate: float = 0.0
    d: float = 0.0
    edge: float = 0.0
    through: bool = True
    load: tuple[float, float, float] = (0.0, 0.0, 0.0)
    ring: np.ndarray | None = None
    round_host: bool = False


def triable(job: Job, g: Geometry) -> dict[str, Joint]:
    """Kind -> its first joint, for the kinds that can be worked out."""
    found: dict[str, Joint] = {}
    for j in g.joints:
        at = landings(g, j)[0]
        if j.end >= 0 and isinstance(at.host.tube, Tube) and not unknown(at) and not no_room(g, at):
            found.setdefault(j.kind, j)
    return found


def other_walls(tube: Tube) -> dict[str, Tube]:
    """Walls of the stock list in the same outside size, product and lie: word -> tube, thinnest first. The
    tube itself is among them."""
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
    pull: pint.Quantity | None = None,
    shear: pint.Quantity | None = None,
    made: str = "welded",
    plate: pint.Quantity = PLATE,
) -> Tried:
    """A joint with another wall of its host, another leg, or bolts and a plate, under loads of use: a pull (a
    push is negative), and a shear and a moment along the tube. made: a word of BOLTED."""
    if made not in BOLTED[job.system]:
        raise InputError(
            field="tried: made", value=made, need="one of " + ", ".join(BOLTED[job.system]), example="welded"
        )
    load = tuple(
        _load(name, value, unit, example)
        for name, value, unit, example in (
            ("pull", pull, "N", "200 lbf"),
            ("shear", shear, "N", "200 lbf"),
            ("moment", moment, "N*m", "250 lbf*ft"),
        )
    )
    for name, value in zip(("shear", "moment"), load[1:], strict=True):
        if value < 0:
            raise InputError(field=f"tried: {name}", value=value, need="nought or more", example="250 lbf*ft")
    members = {**g.members, joint.host: g.members[joint.host].made_of(host)}
    g = replace(g, members=members)
    at = landings(g, joint)[0]
    P, V, M = (np.array([v * load_factor("use", job.method)]) for v in load)
    zero = np.zeros(1)
    f = Forces(pull=P, shear_across=zero, shear_along=V, over_across=zero, over_along=M, twist=zero)
    weld = _weld(job, g, joint, at, leg)
    rule = RULES[rounds(at)]
    sizes = rule.sizes(g, at, is_capped(job, joint.kind))
    drawn = {
        "face": at.sizes[2],
        "deep": at.host.height + at.host.width - at.sizes[2],
        "t": sizes["t"],
        "across": weld.run["B_b"],
        "along": weld.along,
        "t_b": sizes["t_b"],
        "works": weld.works,
        "bare_sides": bool({CORNERS_OFF, TAKEN_OFF} & set(weld.off)),
        "bare_ends": _bare_ends(weld),
        "load": load,
        "ring": _ring(weld),
        "round_host": rounds(at)[1],
    }
    if BOLTED[job.system][made] is None:
        lines = [*_weld_lines(job, weld, f), _face_line(job, rule, sizes, P, M)]
        drawn |= {"leg": weld.laid}
    else:
        count, size, into = BOLTED[job.system][made]
        if not _load("plate", plate, "m", "1/2 in") > 0:
            raise InputError(field="tried: plate", value=f"{plate:~P}", need="a thickness", example="1/2 in")
        keys = {"bolts": count, "size": size, "into": into, "sleeve": into == "nut"}
        how = Bolts.model_validate(keys).model_copy(update={"plate": plate})
        why = not_bolted(at)
        lines, drawn = [("bolts", None, ASK, f"bolts: {why}")], drawn | {"leg": 0.0}
        if not why:
            bolts = Bolted.of(job, how, at, to_open_end(g, at))
            laid = on_plate(how.model_copy(update={"leg": leg}), bolts, at)
            lines = [*_bolt_lines(job, bolts, f), *_plate_weld_lines(job, laid, f), *_end_line(job, at, bolts)]
            drawn |= {"bolts": bolts.places, "plate": bolts.plate, "d": bolts.d, "edge": bolts.edge}
            drawn |= {"through": into == "nut"}
    names, ratios, verdicts, words = (tuple(column) for column in zip(*lines, strict=True))
    return Tried(names, ratios, verdicts, words, **drawn)


def _bare_ends(weld: Laid) -> tuple[int, ...]:
    """Which runs across the face do not count: -1 the one at -y, 1 the one at +y."""
    if weld.saddle is not None:
        return ()
    lines = weld.group.lines[0]
    across = lines[np.ptp(lines[..., 0], axis=-1) > 0]
    return tuple(s for s in (-1, 1) if not np.any(s * across[..., 1] > 0))


def _ring(weld: Laid) -> np.ndarray | None:
    if weld.saddle is None:
        return None
    return np.column_stack([weld.saddle.points[0][:, [1, 0]], weld.saddle.counts[0]])


def _load(name: str, value: pint.Quantity | None, unit: str, example: str) -> float:
    if value is None:
        return 0.0
    if not value.check(Quantity(1, unit).dimensionality) or not np.isfinite(magnitude(value, unit)):
        raise InputError(field=f"tried: {name}", value=f"{value:~P}", need=f"a {name}", example=example)
    return float(magnitude(value, unit))


def _weld(job: Job, g: Geometry, joint: Joint, at: Landing, leg: pint.Quantity) -> Laid:
    now = job.joint(joint.kind)
    known = (
        now
        if isinstance(now, Weld) and not now.butt
        else Weld.model_validate({"weld": "fillet all round", "leg": "1/8 in"})
    )
    return Laid.of(job, g, known.model_copy(update={"leg": leg, "ground": False, "throat_left": None}), at)


Line = tuple[str, float | None, str, str]  # name, used, verdict, sentence


def _weld_lines(job: Job, weld: Laid, f: Forces) -> Iterator[Line]:
    if not_laid(weld):
        yield "weld", None, ASK, f"weld: {not_laid(weld)}"
        return
    line = float(weld.line(f)[0])
    weakest = weld.weakest("use", job.method)
    ratio, verdict = compare(line, float(weakest.allowable[0]))
    _, lay, limits = weld.needed(line, "use", job.method, job.system)
    what = (
        f"lay {show_length(Quantity(lay, 'm'), job.system, 'up')}, limited by {limits}"
        if limits in (weld_groups.LIMIT_TABLE, weld_groups.LIMIT_WELD)
        else limits
    )
    laid, credited = (
        show_length(Quantity(weld.laid, "m"), job.system),
        show_wall(Quantity(float(weld.fillet.credited[0]), "m"), job.system),
    )
    yield (
        "weld",
        ratio,
        verdict,
        f"weld: leg {laid} laid, {credited} credited; {weakest.state()} governs; {what}; {weld.sides}",
    )
    if bool(weld.fillet.too_small[0]):
        least = float(weld.fillet.least[0])
        yield (
            "least leg",
            least / weld.laid,
            compare(least, weld.laid)[1],
            f"least leg for this wall {show_length(Quantity(least, 'm'), job.system)}",
        )


def _face_line(job: Job, rule: Rule, sizes: dict, P: np.ndarray, M: np.ndarray) -> Line:
    use = rule.strength(
        **{n: np.array([v]) for n, v in sizes.items()}, P=P, M_ip=M, kind="use", method=job.method
    )
    if not bool(use.in_range[0]):
        why = use.why_outside(0)
        return "face of the tube", None, OUTSIDE if why else ASK, f"face: outside what was tested: {why}"
    ratio, verdict = compare(float(use.ratio[0]), 1.0)
    first = use.meant[use.state(0)]
    words = f"first to give: {first}" if ratio <= 1 else f"too weak: {first}; ways forward: {use.ways}"
    return "face of the tube", ratio, verdict, f"face: {words}"


_ASKED = {
    "bolts": "bolts, pull and shear",
    "plate": "end plate",
    "thread": "thread",
    "wall": "wall under the bolts",
    "face": "face under the plate",
    "holes": "edges of the holes",
    "clamp": "clamp",
}


def _bolt_lines(job: Job, made: Bolted, f: Forces) -> Iterator[Line]:
    for question, used, values in bolt_questions(job, made, f, np.array(["use"])):
        v, ratio = {n: float(x[0]) for n, x in values.items()}, float(used[0])
        name = _ASKED[question]
        if question == "clamp":
            yield name, ratio if np.isfinite(ratio) else None, REPORTED, _clamp_words(job, made, v, ratio)
        elif np.isfinite(ratio):
            yield name, *compare(ratio, 1.0), _bolt_words(job, made, question, v, ratio)
        elif question in ("wall", "face"):
            yield name, None, OUTSIDE, f"{name}: the wall is outside what was tested: set a sleeve, or a thicker tube"
        else:
            yield name, None, OVER, f"{name}: this pattern cannot hold the load: more bolts, wider apart"


def _plate_weld_lines(job: Job, laid: Laid, f: Forces) -> Iterator[Line]:
    for name, ratio, verdict, sentence in _weld_lines(job, laid, f):
        yield f"{name} of the end plate", ratio, verdict, f"end plate, {sentence}"


def _end_line(job: Job, at: Landing, made: Bolted) -> Iterator[Line]:
    """Only where a bolt stands too near the end of the tube, or past it."""
    least, left = standard_hole(made.d, made.thread.metric).edge, to_the_end(at, made)
    if left < least * (1 - 1e-9):
        yield "end of the tube", least / left if left > 0 else None, OVER, f"end of the tube: {end_words(job, left)}"


def _force(job: Job, newtons: float) -> str:
    return show(Quantity(newtons, "N"), "lbf" if job.system == "inch" else "N", 3)


def _bolt_words(job: Job, made: Bolted, question: str, v: dict[str, float], ratio: float) -> str:
    if question == "bolts":
        pried = f", {_force(job, v['Q'])} of it by prying" if v["Q"] > 0 else ""
        more = "" if ratio <= 1 else f"; too much for it: {MORE_BOLTS}"
        return (
            f"bolts: the worst of {len(made.places)} x {made.thread.name} {made.grade.name} takes "
            f"{_force(job, v['tension'])} pull{pried} and {_force(job, v['shear'])} shear{more}"
        )
    if question == "plate":
        least, free = (show_length(Quantity(v[n], "m"), job.system, "up") for n in ("t_min", "t_free"))
        return f"end plate: {least} holds, from {free} on it does not pry on the bolts"
    return f"{_ASKED[question]}: {first_to_give(made, question, ratio)}"


def _clamp_words(job: Job, made: Bolted, v: dict[str, float], ratio: float) -> str:
    if ratio <= 1:
        return "clamp: friction holds the shear, nothing slides"
    slip = show_length(Quantity(2 * (made.hole - made.d), "m"), job.system, "up")
    opens = "; the pull opens the joint" if v["T"] > v["low"] else ""
    return (
        f"clamp: friction does not hold; the joint slides up to {slip}, then the bolts bear: felt as play{opens}; "
        f"{STOPS_SLIP}"
    )
