"""Bolted joints under the forces of the frame: bolt, plate, thread or nut, wall, holes, distances, and
whether the clamp holds.

A branch with an end plate on the face of a tube. Forces of each bolt by the elastic sum; a moment that the
pattern cannot hold by
itself turns the plate about its edge. The plate bends and pries; the bolt pulls the wall, the thread strips
or the nut's rated
pull ends. What the clamp holds by friction is reported: bolts bear in their holes after that.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from shopcalc.check import OUTSIDE, OVER, REPORTED, WITHIN, Check, allowable, compare, load_factor
from shopcalc.codes.aisc360_22 import bolts as code
from shopcalc.codes.aisc360_22 import hollow_joints, point_load
from shopcalc.formula import Worked
from shopcalc.joints import bolts, prying, threads
from shopcalc.table.assembly import Joint
from shopcalc.table.bolts_made import PLATE_TENSILE, PLATE_YIELD, Bolted, end_words, least_gap, not_bolted, to_the_end, torque_words
from shopcalc.table.checks import case_words, in_units, provenance
from shopcalc.table.frame_solve import Solved
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.jobfile.joints import Bolts
from shopcalc.table.joint_answers import ask, refused
from shopcalc.table.landings import Forces, Landing, forces_on, landings_of, no_room, to_open_end
from shopcalc.table.plate_weld import plate_weld_checks
from shopcalc.units import Q, Quantity, magnitude, show, show_length

# Friction of powder-coated or unknown faces: under class A of bare mill scale (0.30), cautious.
FRICTION = 0.20


@dataclass(frozen=True)
class _Worst:
    """The worst of one question over joints, cases and states."""

    ratio: float
    at: Landing
    made: Bolted
    s: Solved
    i: int
    values: dict[str, float]


def bolt_checks(
    job: Job,
    g: Geometry,
    kind: str,
    how: Bolts,
    joints: list[Joint],
    solved: list[Solved],
) -> Iterator[Check]:
    """Checks of one kind of bolted joint."""
    about, words = f"joint.{kind}", kind[0].upper() + kind[1:]
    known = []
    for at in landings_of(g, joints):
        why = not_bolted(at) or no_room(g, at)
        if why:
            yield _ask(kind, "bolts", f"{at.name}: {why}; have this joint sized")
            continue
        known.append((at, Bolted.of(job, how, at, to_open_end(g, at))))
    if not known:
        return
    made = next((m for _, m in known if m.b < 0), known[0][1])
    if made.plate is None:
        yield _ask(
            kind,
            "bolts",
            'thickness of the end plate is not given: write plate = "3/8 in" into the joint',
            made,
        )
        return
    if made.b < 0 and how.bolts > 1:
        yield _ask(
            kind,
            "bolts",
            "the bolts stand under the branch, where no wrench reaches: set apart (along the tube) or "
            "across (over its face) wider than the branch",
            made,
        )
        return
    if made.b < 0:
        yield _ask(
            kind,
            "plate",
            "one bolt in the middle bends the plate between the walls of the branch: that is not worked out; "
            "set two bolts or more outside it",
            made,
        )
    if made.into in ("weld nut", "rivet nut") and made.rated is None:
        yield _ask(
            kind,
            "thread",
            f"a {made.into} holds what its maker rates it for in this wall: give rated_allowable or "
            "rated_ultimate",
            made,
        )
    worst: dict[str, _Worst] = {}
    held = [
        s for s in solved if not s.answer.strength_refused.any()
    ]  # of the others the members are refused already
    if not held:
        yield refused(job, about, words, "bolts", solved[0])
        return
    rows = [(s, i) for s in held for i in range(len(s.cases))]
    kinds = np.array([s.cases[i].case.kind for s, i in rows])
    factor = np.array([load_factor(k, job.method) for k in kinds])
    for at, made in known:
        together = Forces.joined([forces_on(s, at) for s in held]).times(factor)
        for question, ratio, values in bolt_questions(job, made, together, kinds):
            i = int(np.argmax(ratio))
            if question not in worst or ratio[i] > worst[question].ratio:
                worst[question] = _Worst(
                    float(ratio[i]), at, made, *rows[i], {n: float(v[i]) for n, v in values.items()}
                )
    for question in _ORDER:
        if question in worst and (question != "clamp" or np.isfinite(worst[question].values["shear"])):
            yield _answer(job, about, words, question, worst[question])
    yield from plate_weld_checks(job, about, words, how, known, held, rows, kinds, factor)
    yield from _distances(job, about, words, known)


_ORDER = ("bolts", "plate", "thread", "wall", "face", "holes", "clamp")


def bolt_questions(job: Job, made: Bolted, f: Forces, kinds: np.ndarray):
    """(question, ratio per case, what stands behind it per case)."""
    n = len(made.places)
    # A plate wider than the face presses at the side of the tube, not at its own edge.
    edge_x, edge_y = min(made.across / 2 + made.edge, made.face / 2), made.along / 2 * (n > 1) + made.edge
    T = bolts.with_edges(made.places, edge_x, edge_y, P=f.pull, M_x=f.over_along, M_y=f.over_across)
    shear = bolts.elastic(made.places, V_x=f.shear_across, V_y=f.shear_along, T=f.twist).shear.max(axis=1)
    limits = {k: made.bolt_limits(k, job.method) for k in dict.fromkeys(kinds)}
    B, V = (np.array([limits[k][i] for k in kinds]) for i in (0, 1))
    omega = np.array(
        [{"proof": 1.0}.get(k, prying.OMEGA if job.method == "ASD" else 1 / prying.PHI) for k in kinds]
    )
    pried = prying.prying(
        T=T,
        B=B,
        F_y=float(magnitude(PLATE_YIELD, "Pa")),
        t=made.plate,
        p=made.p,
        a=made.edge,
        b=max(made.b, made.d),
        d=made.d,
        hole=made.hole,
        omega=omega,
    )
    tension = np.where(np.isfinite(T), pried.bolt, np.inf)
    yield (
        "bolts",
        code.combined_use(tension / B, shear / V),
        {
            "T": T,
            "tension": tension,
            "Q": pried.Q,
            "shear": shear,
            "B": B,
            "V": V,
            "level": np.hypot(f.shear_across, f.shear_along),
            "way": np.arctan2(f.shear_along, f.shear_across),
            "twist": f.twist,
        },
    )
    if made.b > 0:
        with np.errstate(divide="ignore", invalid="ignore"):
            plate = np.where(pried.plate_use > 0, T / pried.plate_use, np.inf)
        yield "plate", pried.plate_use, {"T": T, "t_min": pried.t_min, "t_free": pried.t_free, "plate": plate}
    strip = {k: made.thread_limit(k, job.method)[0] for k in dict.fromkeys(kinds)}
    S = np.array([strip[k] for k in kinds])
    if np.isfinite(S).all():
        yield "thread", tension / S, {"tension": tension, "S": S}
    wall = {k: made.wall_limit(k, job.method) for k in dict.fromkeys(kinds)}
    W = np.array([wall[k][0] for k in kinds])
    if not (made.into == "nut" and made.sleeve):
        ratio = np.where(np.isnan(W), np.inf, tension / np.where(np.isnan(W), 1.0, W))
        yield "wall", ratio, {"tension": tension, "W": np.nan_to_num(W), "outside": np.isnan(W).astype(float)}
    t, _, F_u = made.wall
    between = least_gap(made) - made.hole  # from hole to hole; the host's are far from its ends
    l_c = min(made.edge - made.hole / 2, between)
    plate = code.bolt_bearing.si(
        d=made.d, t=made.plate, F_u=float(magnitude(PLATE_TENSILE, "Pa")), l_c=max(l_c, 1e-6)
    )
    host = code.bolt_bearing.si(d=made.d, t=t, F_u=F_u, l_c=max(between, 1e-6))
    H = np.array([min(float(allowable(s, k, job.method)[0]) for s in (plate, host)) for k in kinds])
    yield from _pressed(job, made, f, kinds)
    yield "holes", shear / H, {"shear": shear, "H": H}
    use = kinds == "use"
    if use.any():
        low = 0.0 if made.tight is None else made.tight.low
        service = load_factor("use", job.method)  # slip is felt under loads of service
        shear, T = shear / service, T / service
        left = np.maximum(low - T, 0.0) * FRICTION
        with np.errstate(divide="ignore", invalid="ignore"):
            ratio = np.where(use, np.where(left > 0, shear / left, np.where(shear > 0, np.inf, 0.0)), -1.0)
        yield "clamp", ratio, {"shear": shear, "left": left, "T": T, "low": np.full(len(T), low)}


def _pressed(job: Job, made: Bolted, f, kinds: np.ndarray):
    """The face under the plate where it presses: the plate taken as a branch of its own outline, shares
    added."""
    t, F_y, _ = made.wall
    wide, long = (
        min(made.across + 2 * made.edge, made.face),
        made.along * (len(made.places) > 1) + 2 * made.edge,
    )
    steel = dict(F_y=F_y, t=t, B=made.face, H=made.deep)
    in_plane, out_of_plane = hollow_joints.moments_si(
        **steel, F_yb=F_y, t_b=made.plate, B_b=wide, H_b=long, Z_ip=1.0, Z_op=1.0, l_end=made.l_end
    )
    push = point_load.strengths_si(
        **steel,
        E=float(magnitude(made.host.tube.steel.E, "Pa")),
        h=made.deep,
        B_b=wide,
        l_b=long,
        k=1.5 * t,
        l_end=made.l_end,
    )
    limits = {}
    for k in dict.fromkeys(kinds):  # the last of each bending group is the branch itself
        limits[k] = [
            float(np.min([allowable(s, k, job.method)[0] for s in group]))
            for group in (push, in_plane[:-1], out_of_plane[:-1])
        ]
    P_c, M_ip, M_op = (np.array([limits[k][i] for k in kinds]) for i in range(3))
    ratio = np.maximum(-f.pull, 0) / P_c + np.abs(f.over_along) / M_ip + np.abs(f.over_across) / M_op
    yield "face", np.where(np.isnan(ratio), np.inf, ratio), {"u": np.nan_to_num(ratio)}


_NAMES = {
    "bolts": "bolts in tension and shear",
    "plate": "end plate in bending",
    "thread": "thread or nut",
    "wall": "wall under the bolts",
    "face": "face under the pressing plate",
    "holes": "bearing and tear-out at the holes",
    "clamp": "clamp against slip",
}
_CLAUSES = {
    "bolts": ("AISC 360-22 J3.7, J3.8", "aisc-360-22, J3-1 and J3-3"),
    "plate": ("AISC 360-22 F11, Thornton prying", "thornton-1985"),
    "thread": ("AISC 360-22 J4.2(b) with NASA RP-1228 and FED-STD-H28", "nasa-rp-1228"),
    "wall": ("AISC 360-22 J3.13, J10.10", "aisc-360-10, table K2.2 (yield lines)"),
    "face": ("AISC 360-22 J10, K4.3", "aisc-360-22, K4.3 and J10.10"),
    "holes": ("AISC 360-22 J3.11", "aisc-360-22, J3-6"),
    "clamp": ("friction of the clamp", "torque-practice"),
}


MORE_BOLTS = "more bolts, wider apart, or a better grade"
STOPS_SLIP = "a dowel pin or a fitted bolt stops it, or more clamp: a through bolt with a nut and a sleeve"
_FIRST = {  # what gives, and what to do about it
    "thread": ("", "a through bolt with a nut and a sleeve, a nut rated for more, or a thicker wall"),
    "wall": (
        "the face of the tube folds round the bolts",
        "a sleeve with through bolts, a backing plate inside or outside, or a thicker tube",
    ),
    "face": ("the tube folds where the plate presses on it", "a wider plate, or a thicker tube"),
    "holes": ("the bolt tears out of its hole, in plate or wall", "more edge, a thicker plate, or a thicker tube"),
}


def first_to_give(made: Bolted, question: str, ratio: float, first: str = "") -> str:
    """What gives first; where it gives under this load, what to do."""
    known, ways = _FIRST[question]
    first = first or known or made.thread_limit("use", "ASD")[1]
    return f"first to give: {first}" if ratio <= 1 else f"too weak: {first}; ways forward: {ways}"


def _answer(job: Job, about: str, words: str, question: str, w: _Worst) -> Check:
    made, v, case = w.made, w.values, w.s.cases[w.i].case
    clause, source = _CLAUSES[question]
    tight = made.tight
    common = dict(
        id=f"{about}/{question}",
        name=f"{words}: {_NAMES[question]}",
        about=about,
        kind=case.kind if question != "clamp" else "information",
        case=case_words(job, case, f"{w.s.cases[w.i].where}; {w.s.words}"),
        clause=clause,
        source=source,
        provenance=provenance(source.split(",")[0]),
        assumed=(
            "forces of the frame with rigid and with soft joints, the worse counts",
            *made.assumed,
            *made.host.tube.assumed,
        ),
        cautions=made.cautions if question in ("bolts", "clamp") else (),
        range=("elastic sum over the bolts; each bolt with its own share of the plate",),
    )

    def force(value):
        return in_units(job, Quantity(float(value), "N"), "force")

    if not np.isfinite(w.ratio):
        if question in ("wall", "face"):
            return Check(**common, verdict=OUTSIDE, detail=f"{w.at.name}: {_outside_wall(made)}")
        if question != "clamp":
            return Check(
                **common,
                verdict=OVER,
                detail=(
                    f"{w.at.name}: this pattern cannot hold the moment or twist of the joint; "
                    "set more bolts, wider apart"
                ),
            )
    bolt = f"{len(made.places)} x {made.thread.name} {made.grade.name}"
    if question == "bolts":
        t, sh = v["tension"] / v["B"], v["shear"] / v["V"]
        part = "tension" if t >= sh else "shear"
        if (t + sh) / 1.3 > max(t, sh):
            demand, limit = Q(t + sh, ""), Q(1.3, "")
        else:
            demand, limit = (
                (force(v["tension"]), force(v["B"]))
                if part == "tension"
                else (force(v["shear"]), force(v["V"]))
            )
        ratio, verdict = compare(w.ratio, 1.0)
        pry = f", {show(force(v['Q']), _force_unit(job), 3)} of it by prying" if v["Q"] > 0 else ""
        more = "" if ratio <= 1 else f"; too much for it: {MORE_BOLTS}"
        detail = (
            f"{w.at.name}: {bolt}, threads in the shear plane; worst bolt"
            f" {show(force(v['tension']), _force_unit(job), 3)} tension{pry},"
            f" {show(force(v['shear']), _force_unit(job), 3)} shear{more}{_centre_words(made, v)};"
            f" {torque_words(job, tight)}"
        )
        return Check(
            **common,
            verdict=verdict,
            demand=demand,
            limit=limit,
            ratio=ratio,
            detail=detail,
            worked=lambda: _bolt_lines(made, part, job),
        )
    if question == "plate":
        ratio, verdict = compare(v["T"], v["plate"])
        least, free = (show_length(Quantity(v[n], "m"), job.system, "up") for n in ("t_min", "t_free"))
        return Check(
            **common,
            verdict=verdict,
            demand=force(v["T"]),
            limit=force(v["plate"]),
            ratio=ratio,
            worked=lambda: _plate_lines(made, job, case.kind),
            detail=(
                f"{w.at.name}: the {show_length(Quantity(made.plate, 'm'), job.system)} plate bends between branch"
                f" and bolts; with these bolts {least} is enough, from {free} on it does not pry on them"
            ),
        )
    if question == "thread":
        ratio, verdict = compare(v["tension"], v["S"])
        few = made.into == "tapped wall" and bool(made.stripping.too_few[0])
        words_ = made.thread_limit("use", job.method)[1]
        n = (
            f"; {float(made.stripping.engaged[0]):.1f} threads in the wall"
            if made.into == "tapped wall"
            else ""
        )
        return Check(
            **common,
            verdict=OVER if few else verdict,
            demand=force(v["tension"]),
            limit=force(v["S"]),
            ratio=ratio,
            detail=f"{w.at.name}: "
            + first_to_give(made, "thread", np.inf if few else ratio, f"{words_}{n}")
            + ("; less than one full thread is no thread" if few else ""),
            worked=lambda: _strip_lines(made, job) if made.into == "tapped wall" else (),
        )
    if question == "wall":
        ratio, verdict = compare(v["tension"], v["W"])
        return Check(
            **common,
            verdict=verdict,
            demand=force(v["tension"]),
            limit=force(v["W"]),
            ratio=ratio,
            detail=f"{w.at.name}: {first_to_give(made, 'wall', ratio)}",
        )
    if question == "face":
        ratio, verdict = compare(w.ratio, 1.0)
        return Check(
            **common,
            verdict=verdict,
            demand=Q(ratio, ""),
            limit=Q(1.0, ""),
            ratio=ratio,
            detail=f"{w.at.name}: {first_to_give(made, 'face', ratio)}",
        )
    if question == "holes":
        ratio, verdict = compare(v["shear"], v["H"])
        return Check(
            **common,
            verdict=verdict,
            demand=force(v["shear"]),
            limit=force(v["H"]),
            ratio=ratio,
            detail=f"{w.at.name}: {first_to_give(made, 'holes', ratio)}",
        )
    slides = w.ratio > 1
    slip = Quantity(made.hole - made.d, "m")
    detail = (
        f"{w.at.name}: the clamp {'does not hold' if slides else 'holds'} the shear of use by friction "
        f"({FRICTION:g} on coated faces, least clamp {show(force(v['low']), _force_unit(job), 3)} a bolt)"
    )
    if slides:
        detail += (
            f"; the joint slides up to {show_length(2 * slip, job.system, 'up')} until the bolts bear, and is"
            f" felt as play: {STOPS_SLIP}"
        )
    if v["T"] > v["low"]:
        detail += "; the pull opens the joint"
    return Check(
        **common,
        verdict=REPORTED,
        demand=force(v["shear"]),
        limit=force(v["left"]),
        ratio=w.ratio,
        detail=detail + "; " + torque_words(job, tight),
    )


def _centre_words(made: Bolted, v: dict[str, float]) -> str:
    """What the instantaneous centre would allow beyond the elastic sum, where it is more: reported only."""
    if len(made.places) < 2 or v["level"] <= 1e-9 or abs(v["twist"]) <= 1e-9:
        return ""
    C = bolts.instantaneous_centre(made.places, v["way"], abs(v["twist"]) / v["level"])
    gain = C * v["shear"] / v["level"]
    return f" (about the instantaneous centre {gain:.2f} times as much would go)" if gain > 1.005 else ""


def _force_unit(job: Job) -> str:
    return "lbf" if job.system == "inch" else "N"


def _outside_wall(made: Bolted) -> str:
    t = made.wall[0]
    return (
        f"the wall is too thin or too strong for the yield lines the code covers (B/t = {made.face / t:.0f},"
        " up to 35): a sleeve with through bolts, a backing plate, a thicker tube"
    )


def _bolt_lines(made: Bolted, part: str, job: Job) -> tuple[Worked, ...]:
    F_nt, F_nv = made.stresses
    d = Quantity(made.d, "m")
    if part == "tension":
        return code.bolt_tension.worked(F_nt=Quantity(F_nt, "Pa"), d=d, system=job.system)
    return code.bolt_shear.worked(F_nv=Quantity(F_nv, "Pa"), d=d, system=job.system)


def _plate_lines(made: Bolted, job: Job, kind: str) -> tuple[Worked, ...]:
    system = job.system
    lever = {"b": Quantity(max(made.b, made.d), "m"), "d": Quantity(made.d, "m")}
    strip = {"F_y": PLATE_YIELD, "p": Quantity(made.p, "m"), "t": Quantity(made.plate, "m")}
    share = {"h": Quantity(made.hole, "m"), "p": Quantity(made.p, "m")}
    omega = 1.0 if kind == "proof" else prying.OMEGA if job.method == "ASD" else 1 / prying.PHI
    pull = prying.plate_pull.worked(
        M=prying.strip_moment(**strip),
        Omega=omega,
        delta=prying.net_share(**share),
        b=prying.lever(**lever),
        system=system,
    )
    return (
        prying.lever.worked(**lever, system=system),
        prying.net_share.worked(**share, system=system),
        prying.strip_moment.worked(**strip, system=system),
        pull,
    )


def _strip_lines(made: Bolted, job: Job) -> tuple[Worked, ...]:
    t, _, F_u = made.wall
    pitch = made.thread.D - 0.649519 * made.thread.pitch
    area = threads.shear_area_internal(
        P=made.thread.pitch, L_e=Quantity(t, "m"), Ds_min=made.thread.Ds_min, En_max=made.thread.En_max
    )
    return (
        threads.strip_by_area.worked(F_u=Quantity(F_u, "Pa"), AS=area, system=job.system),
        threads.strip_by_third.worked(
            F_u=Quantity(F_u, "Pa"), d_m=pitch, L_e=Quantity(t, "m"), system=job.system
        ),
    )


def _distances(job: Job, about: str, words: str, known: Sequence[tuple[Landing, Bolted]]) -> Iterator[Check]:
    """Edge distances and spacing against the least of the code, the worst of all joints of the kind."""
    at, made = known[0]  # bolts, plate and its edge are alike in all of them
    standard = code.standard_hole(made.d, made.thread.metric)
    common = dict(about=about, kind="information", provenance=provenance("aisc-360-22"), assumed=made.assumed)
    table = "AISC 360-22 table J3.4" if standard.in_table else "1.5 bolts to an edge, shop practice"

    def length(value):
        return in_units(job, Quantity(value, "m"), "length")

    ratio, verdict = compare(standard.edge, made.edge)
    yield Check(
        id=f"{about}/edge",
        name=f"{words}: bolts to the edge of the plate",
        verdict=verdict,
        demand=length(standard.edge),
        limit=length(made.edge),
        ratio=ratio,
        clause=table,
        source="aisc-360-22, table J3.4",
        detail="least distance from the middle of a bolt to the edge of the plate",
        **common,
    )
    at, made = min(known, key=lambda one: to_the_end(*one))
    left = to_the_end(at, made)
    ratio, verdict = compare(standard.edge, left) if left > 0 else (np.inf, OVER)
    yield Check(
        id=f"{about}/end",
        name=f"{words}: bolts to the end of the tube",
        verdict=verdict,
        demand=length(standard.edge),
        limit=length(max(left, 0.0)),
        ratio=ratio,
        clause=table,
        source="aisc-360-22, table J3.4",
        detail=f"{at.name}: {end_words(job, left)}"
        + ("" if verdict == WITHIN else "; ways forward: let the tube run on past the bolts, move the joint from its end, or weld it"),
        **common,
    )

    def flat_of(one: tuple[Landing, Bolted]) -> float:
        host = one[1]
        return host.face - 2 * float(host.host.tube.standard.radii_si(host.wall[0], host.wall[0])[0])

    def of_flat(one: tuple[Landing, Bolted]) -> float:
        return (one[1].across + one[1].hole) / flat_of(one) if flat_of(one) > 0 else np.inf

    narrowest = max(known, key=of_flat)
    flat, holes = flat_of(narrowest), narrowest[1].across + narrowest[1].hole
    ratio, verdict = compare(holes, flat) if flat > 0 else (np.inf, OVER)
    yield Check(
        id=f"{about}/flat",
        name=f"{words}: holes on the flat of the face",
        verdict=verdict,
        demand=length(holes),
        limit=length(max(flat, 0.0)),
        ratio=ratio,
        clause="geometry",
        source="geometry",
        detail="from side to side of the holes against the flat between the round corners of the tube",
        **common,
    )
    made = min((m for _, m in known), key=least_gap)
    if len(made.places) > 1:
        least = least_gap(made)
        need = float(code.least_spacing.si(made.d))
        ratio, verdict = compare(need, least)
        yield Check(
            id=f"{about}/spacing",
            name=f"{words}: bolts apart",
            verdict=verdict,
            demand=length(need),
            limit=length(least),
            ratio=ratio,
            clause="AISC 360-22 J3.4",
            source="aisc-360-22, J3.4",
            detail="least distance between two bolts, 2-2/3 diameters",
            **common,
        )


def _ask(kind: str, what: str, why: str, made: Bolted | None = None) -> Check:
    more = {"assumed": made.assumed, "cautions": made.cautions} if made else {}
    return ask(kind, what, why, clause="AISC 360-22 J3", source="aisc-360-22, J3.7", **more)
