"""The faces that branches are welded to: does the tube wall fold, tear or yield before the weld does?

Square and rectangular branches on square and rectangular tube and round ones on round tube, by AISC 360-22
chapters J and K; round ones on a flat face by EN 1993-1-8 on those strengths. EN 1993-1-8 stands beside it
for the governing case. Axial force and both moments of the frame together; stress along the tube, open ends and
branches on the opposite face
are taken from the table.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from shopcalc.check import OUTSIDE, WITHIN, Check, compare, load_factor, ratio_text
from shopcalc.codes.aisc360_22 import hollow_joints as hj
from shopcalc.codes.aisc360_22.hollow_joints_round import round_strength
from shopcalc.codes.aisc360_22.hollow_joints_round_on_flat import round_on_flat_strength
from shopcalc.codes.aisc360_22.joint_use import JointUse
from shopcalc.codes.en1993_1_8 import chord_face as euro
from shopcalc.codes.en1993_1_8 import chord_face_round as euro_round
from shopcalc.stock.tubes import Tube
from shopcalc.table.checks import case_words, provenance
from shopcalc.table.frame_solve import Solved
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.jobfile.joints import CAPPED, Weld
from shopcalc.table.landings import Forces, Landing, crowded, forces_on, neighbours, to_open_end
from shopcalc.table.weld_laid import rounds
from shopcalc.units import Q, magnitude

WELDED_END = (
    "ends of tubes that are welded to another bar count as closed, all others as open: a cap welded all round"
    " makes a face stronger"
)
MANY = (
    "branches on two neighbouring faces at one place: the code has no rule for both at once, each is checked"
    " by itself"
)
TOUCH = (
    "branches at right angles on one round tube at one place, each wider than seven tenths of it, run into each"
    " other: one is coped over the other, and the seam between them is not checked"
)
EURO_LOADS = 1.5  # EN 1990: factor of loads of use, on all of it


def face_checks(
    job: Job, g: Geometry, kind: str, places: Sequence[Landing], solved: Sequence[Solved]
) -> Iterator[Check]:
    """One check for a kind of welded joint: the worst face over its landings, cases and states. Those that
    the caller knows it cannot work out (square on round, leaning far) must not be in `places`."""
    held = [s for s in solved if not s.answer.strength_refused.any()]
    if not held or not places:
        return
    rows = [(s, i) for s in held for i in range(len(s.cases))]
    kinds = np.array([s.cases[i].case.kind for s, i in rows])
    worst: _Worst | None = None
    for pair, rule in RULES.items():
        mine = [at for at in places if rounds(at) == pair]
        if mine:
            one = _worst(job, g, rule, mine, held, rows, kinds, is_capped(job, kind))
            worst = one if worst is None or one.rank > worst.rank else worst
    if worst is not None:
        yield _answer(job, f"joint.{kind}", kind[0].upper() + kind[1:], g, worst)


def _worst(job: Job, g: Geometry, rule: Rule, places, held, rows, kinds, capped: bool) -> _Worst:
    factor = np.array([load_factor(k, job.method) for k in kinds])
    parts = []
    for at in places:
        f = [forces_on(s, at) for s in held]
        each = [np.concatenate([getattr(one, n) for one in f]) for n in ("pull", "over_along", "over_across")]
        parts.append(factor * np.stack([*each, np.concatenate(chord_use(held, at, job.method))]))
    sizes = [rule.sizes(g, at, capped) for at in places]
    # designs: places first, then rows
    P, M_ip, M_op, U = np.concatenate(parts, axis=1)
    many = {n: np.repeat([z[n] for z in sizes], len(rows)) for n in sizes[0]}
    found = rule.strength(
        **many, P=P, M_ip=M_ip, M_op=M_op, U=U, kind=np.tile(kinds, len(places)), method=job.method
    )
    rank = np.where(found.in_range, found.ratio, np.inf)
    i = int(rank.argmax())
    j, row = divmod(i, len(rows))
    forces = (float(P[i]), float(M_ip[i]), float(M_op[i]), float(U[i]))
    return _Worst(float(rank[i]), places[j], *rows[row], found, i, sizes[j], forces, rule)


@dataclass(frozen=True)
class Rule:
    """How one shape of branch on one shape of host is worked out. sizes(g, landing, capped): arguments of
    `strength`; euro(sizes, P, M_ip, M_op, U): use by EN 1993-1-8, nan outside its range."""

    sizes: Callable[[Geometry, Landing, bool], dict]
    strength: Callable[..., JointUse]
    euro: Callable[..., float]
    source: str  # the weaker of those behind it


@dataclass(frozen=True)
class _Worst:
    """The worst design: its rank (inf outside the range), where it is, and what was found for it (row i of
    `found`)."""

    rank: float
    at: Landing
    s: Solved
    case: int
    found: JointUse
    i: int
    sizes: dict
    forces: tuple[float, float, float, float]
    rule: Rule


def is_capped(job: Job, kind: str) -> bool:
    """Whether the job says that the open ends beside this kind of joint are closed by caps."""
    made = job.joint(kind)
    return isinstance(made, Weld) and made.ends == CAPPED


def sizes_of(g: Geometry, at: Landing, capped: bool = False) -> dict:
    """Sizes of one joint for `hollow_joints.face_strength`, SI: tube and branch with their design walls, the
    distance to an open end,
    and whether an equal branch stands on the opposite face."""
    branch, host = at.branch, at.host
    across, along, face = at.sizes
    deep = host.height + host.width - face
    s, b = host.design, branch.design
    upright = abs(along - branch.height) <= abs(along - branch.width)
    if np.isclose(branch.height, branch.width):
        upright = True
    steel, own = host.tube.steel, branch.tube.steel
    t, flat = float(s.t[0]), (float(s.flat_h[0]) if np.isclose(deep, host.height) else float(s.flat_b[0]))
    return {
        "F_y": _pa(steel.Fy),
        "F_u": _pa(steel.Fu),
        "E": _pa(steel.E),
        "t": t,
        "B": face,
        "H": deep,
        "h": flat,
        "k": float(host.tube.standard.radii_si(t, t)[0]),
        "F_yb": _pa(own.Fy),
        "F_ub": _pa(own.Fu),
        "t_b": float(b.t[0]),
        "B_b": across,
        "H_b": along,
        "Z_ip": float((b.Zx if upright else b.Zy)[0]),
        "Z_op": float((b.Zy if upright else b.Zx)[0]),
        "l_end": host.length if capped else to_open_end(g, at),
        "theta": at.theta,
        "cross": opposite(g, at),
    }


def round_sizes_of(g: Geometry, at: Landing, capped: bool = False) -> dict:
    """Sizes of a round branch on a round host for `hollow_joints_round.round_strength`, SI."""
    steel, own = at.host.tube.steel, at.branch.tube.steel
    return {
        "F_y": _pa(steel.Fy),
        "F_u": _pa(steel.Fu),
        "E": _pa(steel.E),
        "t": float(at.host.design.t[0]),
        "D": at.host.width,
        "F_yb": _pa(own.Fy),
        "t_b": float(at.branch.design.t[0]),
        "D_b": at.branch.width,
        "l_end": at.host.length if capped else to_open_end(g, at),
        "theta": at.theta,
        "cross": opposite(g, at),
    }


def round_on_flat_sizes_of(g: Geometry, at: Landing, capped: bool = False) -> dict:
    """Sizes of a round branch on a flat face for `hollow_joints_round_on_flat.round_on_flat_strength`, SI."""
    square = sizes_of(g, at, capped)
    kept = {n: v for n, v in square.items() if n not in ("B_b", "H_b", "Z_ip", "Z_op")}
    return {**kept, "D_b": square["B_b"], "Z_b": square["Z_ip"]}


def _pa(stress) -> float:
    return float(magnitude(stress, "Pa"))


def opposite(g: Geometry, at: Landing) -> bool:
    """Whether a branch of about the same size stands on the opposite face at the same place."""
    if at.half:
        return True
    across, along, _ = at.sizes
    return any(
        float(o.outward @ at.outward) < -0.9 and np.isclose(o.sizes[0], across, rtol=0.05)
        for o in neighbours(g, at, along / 2)
    )


def _beside_cautions(g: Geometry, at: Landing) -> Iterator[str]:
    if crowded(g, at):
        yield MANY
        if rounds(at) == (True, True) and at.branch.width > at.host.width / np.sqrt(2):
            yield TOUCH


def chord_use(solved: Sequence[Solved], at: Landing, method: str) -> list[np.ndarray]:
    """How far the host is stressed along its length at the joint in every case of every state (K1-6), the
    greater of both sides; all of
    it counts as pressing the face, which is safe."""
    host, place = at.host, at.place
    section, F_c = host.design, _pa(host.tube.steel.Fy) * (0.6 if method == "ASD" else 1.0)
    per = np.array([1 / section.A[0], 1 / section.Sx[0], 1 / section.Sy[0]]) / F_c
    runs = solved[0].table.runs[host.name]  # the same in every state
    starts = [p for _, p in runs]
    beside = [
        (name, end)
        for (name, _), one, two in zip(runs, starts, [*starts[1:], host.length], strict=True)
        for near, end in ((one, 0), (two, 6))
        if abs(near - place) < 1e-3
    ]
    found = []
    for s in solved:
        numbers = [s.answer.frame.member_number[name] for name, _ in beside]
        f = np.stack(
            [s.answer.end_forces[:, m, end : end + 6] for m, (_, end) in zip(numbers, beside, strict=True)]
        )
        found.append((np.abs(f[..., [0, 4, 5]]) @ per).max(axis=0) / s.factor)
    return found


def _answer(job: Job, about: str, words: str, g: Geometry, w: _Worst) -> Check:
    at, found, i = w.at, w.found, w.i
    branch, host, case = at.branch, at.host, w.s.cases[w.case].case
    common = dict(
        id=f"{about}/face",
        name=f"{words}: face of the tube",
        about=about,
        kind=case.kind,
        case=case_words(job, case, f"{w.s.cases[w.case].where}; {w.s.words}"),
        source=found.source,
        provenance=provenance(w.rule.source),
        assumed=(
            "forces of the frame with rigid and with soft joints, the worse counts",
            WELDED_END,
            *branch.tube.assumed,
            *host.tube.assumed,
        ),
        cautions=(*found.cautions, *_beside_cautions(g, at)),
        range=tuple(f"{limit} ({limit.source})" for limit in found.tested),
    )
    if not np.isfinite(w.rank):
        return Check(
            **common,
            verdict=OUTSIDE,
            clause=found.tables,
            detail=(
                f"{at.name}: outside what was tested: {found.why_outside(i) or 'no strength for these sizes'};"
                f" ways forward: {found.ways}"
            ),
        )
    ratio, verdict = compare(w.rank, 1.0)
    share = ("axial force", "bending along the tube", "bending across the tube")[int(found.governing[i])]
    service = load_factor(case.kind, job.method)  # what LRFD has put on already comes off again
    P, M_ip, M_op, U = w.forces
    beside = w.rule.euro(w.sizes, P / service, M_ip / service, M_op / service, U)
    first = "" if verdict != WITHIN else "first to give: "
    detail = f"{at.name}: {first}{found.meant[found.state(i)]}; {share} asks most"
    if verdict != WITHIN:
        detail += f"; ways forward: {found.ways}"
    if np.isfinite(beside):
        detail += f"; EN 1993-1-8 under {EURO_LOADS:g} times the load: {ratio_text(beside)}"
    return Check(
        **common,
        verdict=verdict,
        demand=Q(ratio, ""),
        limit=Q(1.0, ""),
        ratio=ratio,
        clause=found.clause(i),
        detail=detail,
        worked=lambda: found.lines(i, job.system),
    )


def _euro(z: dict, P: float, M_ip: float, M_op: float, U: float) -> float:
    """Use by EN 1993-1-8 of the governing case; nan outside its range."""
    made = euro.resistance(
        f_y0=z["F_y"],
        E=z["E"],
        t_0=z["t"],
        b_0=z["B"],
        h_0=z["H"],
        f_y1=z["F_yb"],
        t_1=z["t_b"],
        b_1=z["B_b"],
        h_1=z["H_b"],
        W_ip=z["Z_ip"],
        W_op=z["Z_op"],
        theta=z["theta"],
        n=min(0.6 * U * EURO_LOADS, 1.0),
        pressing=P < 0,
        cross=z["cross"],
    )
    return float(made.use(EURO_LOADS * P, EURO_LOADS * M_ip, EURO_LOADS * M_op)[0])


def _euro_round(z: dict, P: float, M_ip: float, M_op: float, U: float) -> float:
    made = euro_round.resistance(
        f_y0=z["F_y"],
        t_0=z["t"],
        d_0=z["D"],
        t_1=z["t_b"],
        d_1=z["D_b"],
        theta=z["theta"],
        n_p=min(0.6 * U * EURO_LOADS, 1.0),
        cross=z["cross"],
    )
    return float(made.use(EURO_LOADS * P, EURO_LOADS * M_ip, EURO_LOADS * M_op)[0])


def _euro_round_on_flat(z: dict, P: float, M_ip: float, M_op: float, U: float) -> float:
    made = euro_round.resistance_on_flat(
        f_y0=z["F_y"],
        E=z["E"],
        t_0=z["t"],
        b_0=z["B"],
        h_0=z["H"],
        f_y1=z["F_yb"],
        t_1=z["t_b"],
        d_1=z["D_b"],
        W_1=z["Z_b"],
        theta=z["theta"],
        n=min(0.6 * U * EURO_LOADS, 1.0),
        pressing=P < 0,
        cross=z["cross"],
    )
    return float(made.use(EURO_LOADS * P, EURO_LOADS * M_ip, EURO_LOADS * M_op)[0])


def for_the_engineer(g: Geometry, at: Landing, solved: Sequence[Solved]) -> str:
    """Of a square branch on a round host, which gets no verdict: the wall by EN 1993-1-8 table 7.4, in words; "" where
    there is no figure."""
    held = [s for s in solved if not s.answer.strength_refused.any()]
    if rounds(at) != (False, True) or not isinstance(at.branch.tube, Tube) or not held or at.lean > LEANS_LITTLE:
        return ""
    f, across, along = Forces.joined([forces_on(s, at) for s in held]), *at.sizes[:2]
    upright, b, steel = abs(along - at.branch.height) <= abs(along - at.branch.width), at.branch.design, at.host.tube.steel
    used = euro_round.square_on_round_use(
        f_y0=_pa(steel.Fy),
        t_0=float(at.host.design.t[0]),
        d_0=at.host.width,
        b_1=across,
        h_1=along,
        t_1=float(b.t[0]),
        A_1=float(b.A[0]),
        W_ip=float((b.Sx if upright else b.Sy)[0]),
        W_op=float((b.Sy if upright else b.Sx)[0]),
        N=EURO_LOADS * f.pull,
        M_ip=EURO_LOADS * f.over_along,
        M_op=EURO_LOADS * f.over_across,
        n_p=np.minimum(0.6 * EURO_LOADS * np.concatenate(chord_use(held, at, "ASD")), 1.0),
        cross=opposite(g, at),
    )
    if not np.isfinite(used).all():
        return ""
    return (
        f"; for the engineer: EN 1993-1-8 table 7.4, recalled, under {EURO_LOADS:g} times the load uses the round wall"
        f" {ratio_text(float(used.max()))}"
    )


LEANS_LITTLE = 10.0  # degrees; table 7.4 is for branches that stand square

# (branch is round, host is round)
RULES = {
    (False, False): Rule(sizes_of, hj.face_strength, _euro, "aisc-360-22"),
    (True, True): Rule(round_sizes_of, round_strength, _euro_round, "aisc-360-22"),
    (True, False): Rule(
        round_on_flat_sizes_of, round_on_flat_strength, _euro_round_on_flat, "en-1993-1-8"
    ),
}
