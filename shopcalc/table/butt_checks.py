"""Bars that meet end to end: a butt weld all round, in one line or along a mitred cut, and the corner that a mitre makes.

The weld counts by its proven penetration alone; the corner by the rule for welded knee joints, for both tubes. The
forces are those where the axes meet, of the branch and of its host.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from shopcalc.check import OUTSIDE, WITHIN, Check, compare, load_factor
from shopcalc.codes.en1993_1_8 import knee
from shopcalc.formula import Worked
from shopcalc.joints import weld_groups, welds, welds_butt
from shopcalc.stock.tubes import Tube
from shopcalc.table.checks import case_words, provenance
from shopcalc.table.frame_solve import Solved
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.jobfile.joints import MITRED, Weld
from shopcalc.table.joint_answers import ask, refused
from shopcalc.table.landings import FLUSH, Forces, Landing, forces_on, landings_of
from shopcalc.table.weld_checks import line_check
from shopcalc.table.weld_laid import OFF_FACE, filler_of, wall_of
from shopcalc.units import Q, Quantity, magnitude, show_length, show_wall

ON_FACE = "a butt joins bars end to end, in one line or at a mitre; on the face of a bar say fillet all round"
CROWD = "more than two bars meet at this corner: the rule for mitred corners is for two"
DRAWN_SQUARE = (
    "the frame is drawn with one bar on the face of the other; a mitre moves the cut by half a bar, the forces are taken where the "
    "axes meet"
)
FROM_OUTSIDE = "welded from outside all round"


@dataclass(frozen=True)
class LaidButt:
    """A butt between two equal tubes, SI: cut (rad off square), its line, what counts of the weld, the walls it joins."""

    at: Landing
    theta: float
    cut: float
    corner: float
    butt: welds_butt.Butt
    group: weld_groups.Group | None
    filler: welds.Filler
    walls: tuple[welds.Wall, ...]

    @classmethod
    def of(cls, weld: Weld, at: Landing) -> LaidButt:
        walls = tuple(wall_of(m) for m in (at.branch, at.host))
        t = min(w.t for w in walls)
        asked = (np.nan if v is None else float(magnitude(v, "m")) for v in (weld.penetration, weld.below_flush))
        penetration, below = asked
        made = welds_butt.butt(penetration, t, ground=weld.ground, below_flush=below)
        theta = angle_between(at)
        cut = float(welds_butt.off_square(theta))
        across, along, _ = at.sizes
        outer = float(at.branch.tube.standard.radii_si(t, t)[0])
        group = welds_butt.outline(across, along, outer, made.throat, cut) if made.proven[0] and made.throat[0] > 0 else None
        filler = filler_of(weld, at)
        return cls(at, theta, cut, outer, made, group, filler, walls)

    @property
    def length(self) -> float:
        """Of the weld at the bench (m): round the outside of the cut."""
        across, along, _ = self.at.sizes
        return 2 * across + 2 * float(welds_butt.length_of_cut.si(h=along, phi=self.cut))

    def least(self, kind: str, method: str) -> welds.Weakest:
        return welds_butt.least(
            float(magnitude(self.filler.FEXX, "Pa")),
            self.butt.throat,
            self.walls,
            kind,
            method,
            omega=self.filler.omega,
            phi=self.filler.phi,
        )

    def throat_needed(self, force: float, kind: str, method: str) -> float:
        return float(
            welds_butt.throat_needed(
                force,
                float(magnitude(self.filler.FEXX, "Pa")),
                self.walls,
                kind,
                method,
                omega=self.filler.omega,
                phi=self.filler.phi,
            )[0]
        )


def angle_between(at: Landing) -> float:
    """Between the two bars as they leave the place where they meet, 180 degrees in one line (rad)."""
    away = at.host.direction if at.place < at.host.length / 2 else -at.host.direction
    return float(np.arccos(np.clip(at.outward @ away, -1.0, 1.0)))


def not_butted(weld: Weld, at: Landing, g: Geometry) -> str:
    """Why a butt is not computed, or ""."""
    branch, host = at.branch, at.host
    if not all(isinstance(m.tube, Tube) and m.tube.shape != "round" for m in (branch, host)):
        return "butt welds are computed between square and rectangular tube only"
    past = min(at.place, host.length - at.place) - at.sizes[1] / 2
    at_end = at.joint.end >= 0 and past <= FLUSH
    if weld.ends == MITRED and (not at_end or at.in_line):
        return "a mitre needs two bars whose ends meet at a corner"
    if weld.ends != MITRED and not (at.in_line and at.joint.end >= 0 and min(at.place, host.length - at.place) < FLUSH):
        return ON_FACE
    if weld.ends == MITRED and at.lean_across > OFF_FACE:
        return f"the bars meet {at.lean_across:.0f} degrees off their faces"
    across, along, face = at.sizes
    depth = 2 * host.half_depth(at.axes[1] if at.in_line else at.axes[2])
    same = branch.tube.steel == host.tube.steel and np.isclose(branch.design.t[0], host.design.t[0])
    if not (same and np.isclose(across, face, rtol=1e-3) and np.isclose(along, depth, rtol=1e-3)):
        return "the two tubes differ in size, wall, steel or lie: a butt is computed between equal ones"
    crowd = [
        o
        for o in g.joints
        if o is not at.joint and {o.host, o.branch} & {host.name, branch.name} and np.linalg.norm(np.subtract(o.place, at.joint.place)) < along
    ]
    if crowd:
        return CROWD
    return ""


def butt_checks(
    job: Job, g: Geometry, kind: str, weld: Weld, joints: Sequence, solved: Sequence[Solved]
) -> Iterator[Check]:
    """Weld, and corner where it is mitred, of one kind of joint: the worst over its joints, cases and states."""
    about, words = f"joint.{kind}", kind[0].upper() + kind[1:]
    known = []
    for at in landings_of(g, joints):
        why = not_butted(weld, at, g)
        if not why:
            made = LaidButt.of(weld, at)
            why = made.butt.why_none()
        if why:
            yield ask(kind, "weld", f"{at.name}: {why}", clause="AISC 360-22 table J2.5", source="aisc-360-22, table J2.5")
        else:
            known.append(made)
    for s in solved:
        if s.answer.strength_refused.any():
            yield refused(job, about, words, "weld", s)
            return
    if not known:
        return
    rows = [(s, i) for s in solved for i in range(len(s.cases))]
    kinds = np.array([s.cases[i].case.kind for s, i in rows])
    factor = np.array([load_factor(k, job.method) for k in kinds])
    welded, cornered = [], []
    for made in known:
        f = Forces.joined([at_the_axes(forces_on(s, made.at), made.at.joint.reach) for s in solved]).times(factor)
        line = welds_butt.line_force(made.group, *f.vectors, made.cut)
        for k in dict.fromkeys(kinds):
            ratio = np.where(kinds == k, line / float(made.least(k, job.method).allowable[0]), -1.0)
            i = int(ratio.argmax())
            welded.append((float(ratio[i]), made, rows[i], float(line[i]), f, i))
        if weld.ends == MITRED:
            other = Forces.joined([host_forces(s, made.at) for s in solved]).times(factor)
            for bar, own in ((made.at.branch, f), (made.at.host, other)):
                found = corner_of(weld, made, bar, own, kinds, job.method)
                i = int(np.where(found.in_range, found.ratio, np.inf).argmax())
                cornered.append((float(found.ratio[i]) if found.in_range[i] else np.inf, made, rows[i], found, i))
    yield _weld(job, about, words, weld, max(welded, key=lambda w: w[0]))
    if cornered:
        yield _corner(job, about, words, weld, max(cornered, key=lambda w: w[0]))


def at_the_axes(f: Forces, reach: float) -> Forces:
    """From where the branch begins on a face back to where the axes meet, by statics: the greater of both bendings."""
    F, M = f.vectors
    M = M + np.cross([0.0, 0.0, reach], F)
    along, across = M[:, 0], -M[:, 1]
    return Forces(
        f.pull,
        f.shear_across,
        f.shear_along,
        np.where(np.abs(across) > np.abs(f.over_across), across, f.over_across),
        np.where(np.abs(along) > np.abs(f.over_along), along, f.over_along),
        f.twist,
    )


def host_forces(s: Solved, at: Landing) -> Forces:
    """Forces of the host where it meets the branch, on the side of its long piece, in its own axes: across, in the
    plane of the corner, along itself."""
    host, place = at.host, at.place
    runs = s.table.runs[host.name]
    ends = [start for _, start in runs[1:]] + [host.length]
    first = place < host.length / 2
    marks = [start for _, start in runs] if first else ends
    i = min(range(len(runs)), key=lambda k: abs(marks[k] - place))
    f = s.answer.end_forces[:, s.answer.frame.member_number[runs[i][0]]] / s.factor
    f = f[:, :6] if first else f[:, 6:]
    local = np.stack([host.direction, np.cross(host.up, host.direction), host.up])
    x, z = at.axes[0], host.direction if first else -host.direction
    turn = np.stack([x, np.cross(z, x), z]) @ local.T
    F, M = -f[:, :3] @ turn.T, -f[:, 3:] @ turn.T
    return Forces(F[:, 2], F[:, 0], F[:, 1], -M[:, 1], M[:, 0], M[:, 2])


def _plate(weld: Weld) -> float:
    return 0.0 if weld.mitre_plate is None else float(magnitude(weld.mitre_plate, "m"))


def corner_of(weld: Weld, made: LaidButt, bar, f: Forces, kinds: np.ndarray, method: str) -> knee.Corner:
    """The corner by one of its tubes under the forces of that tube."""
    across, along, _ = made.at.sizes
    s = bar.design
    in_plane = s.Zx if np.isclose(along, bar.height) else s.Zy
    out_of = s.Zy if np.isclose(along, bar.height) else s.Zx
    return knee.corner(
        f_y=float(magnitude(bar.tube.steel.Fy, "Pa")),
        t_0=float(s.t[0]),
        b_0=across,
        h_0=along,
        A=float(s.A[0]),
        W_ip=float(in_plane[0]),
        W_op=float(out_of[0]),
        C=float(s.C[0]),
        theta=made.theta,
        plate=_plate(weld),
        throat=float(made.butt.throat[0]),
        wall=float(magnitude(bar.tube.wall("nominal"), "m")),
        N=f.pull,
        M_ip=f.over_along,
        M_op=f.over_across,
        T=f.twist,
        V_ip=f.shear_along,
        V_op=f.shear_across,
        kind=kinds,
        method=method,
    )


def _common(weld: Weld, made: LaidButt) -> dict:
    mitred = weld.ends == MITRED
    return dict(
        assumed=(
            "forces of the frame with rigid and with soft joints, the worse counts",
            *((DRAWN_SQUARE,) if mitred and made.at.joint.reach > FLUSH else ()),
            *weld.assumed,
            *made.at.branch.tube.assumed,
            *made.at.host.tube.assumed,
        ),
    )


def _weld(job: Job, about: str, words: str, weld: Weld, worst) -> Check:
    _, made, (s, i), force, f, row = worst
    case = s.cases[i].case
    weakest = made.least(case.kind, job.method)
    needed = made.throat_needed(force, case.kind, job.method)
    thinner = min(w.t for w in made.walls)
    asks = (
        f"it needs a proven penetration of {show_wall(Quantity(needed + float(made.butt.ground[0]), 'm'), job.system)}"
        if needed <= thinner
        else "no penetration will do: a thicker wall, or a plate or gusset over the joint"
    )
    ground = f", {show_wall(Quantity(float(made.butt.ground[0]), 'm'), job.system)} of it ground away" if weld.ground else ""
    return line_check(
        job,
        s.cases[i],
        s.words,
        force,
        weakest,
        id=f"{about}/weld",
        name=f"{words}: weld",
        about=about,
        source="aisc-360-22, tables J2.1 and J2.5, J4",
        provenance=provenance("aisc-360-22"),
        detail=f"{made.at.name}: {weakest.state()} governs; butt {FROM_OUTSIDE}, penetration of "
        f"{show_wall(weld.penetration, job.system)} proven ({weld.proof}){ground}; {asks}",
        range=("elastic sum on the line, " + welds_butt.ANGLE_OF_FORCE,),
        cautions=(
            welds_butt.ONE_SIDED,
            *((welds_butt.GROUND_CAUTION,) if weld.ground else ()),
            welds_butt.HOW_PROVED,
        ),
        worked=lambda: worked(job, made, f, row),
        **_common(weld, made),
    )


def worked(job: Job, made: LaidButt, f: Forces, i: int) -> tuple[Worked, ...]:
    """The line of the weld, its parts at the worst place, the strengths beside it."""
    system = job.system
    lines: list[Worked] = []
    _, along, _ = made.at.sizes
    if made.cut > 1e-9:
        lines.append(
            welds_butt.length_of_cut.worked(h=Quantity(along, "m"), phi=Quantity(made.cut, "rad"), system=system)
        )
    F, M = (v[i : i + 1] for v in f.vectors)
    slants = [welds_butt.on_cut(F, M, side * made.cut) for side in (1, -1)]
    places = [weld_groups.worst_place(made.group, weld_groups.elastic(made.group, *v)) for v in slants]
    place = max(places, key=lambda p: float(p.f[0]))
    x, y, z = (Quantity(float(v), "N/m") for v in place.parts[0])
    lines.append(welds.resultant_line_force.worked(f_z=z, f_x=x, f_y=y, system=system))
    throat = Quantity(float(made.butt.throat[0]), "m")
    lines.append(welds_butt.strength_butt_pulled.worked(made.filler.FEXX, throat, system=system))
    for wall in made.walls:
        t = min(throat, Quantity(wall.t, "m"))
        lines += [
            welds.strength_wall_yield.worked(Quantity(wall.F_y, "Pa"), t, system=system),
            welds.strength_wall_rupture.worked(Quantity(wall.F_u, "Pa"), t, system=system),
        ]
    return tuple(lines)


def _corner(job: Job, about: str, words: str, weld: Weld, worst) -> Check:
    rank, made, (s, i), found, row = worst
    case = s.cases[i].case
    common = dict(
        id=f"{about}/corner",
        name=f"{words}: mitred corner",
        about=about,
        kind=case.kind,
        case=case_words(job, case, f"{s.cases[i].where}; {s.words}"),
        source=f"{knee.SOURCE}, 7.5.2",
        provenance=provenance(knee.SOURCE),
        cautions=(knee.OWN, knee.OPENS, knee.THROAT),
        range=tuple(f"{limit} ({limit.source})" for limit in knee.TESTED),
        **_common(weld, made),
    )
    if not np.isfinite(rank):
        return Check(
            **common,
            verdict=OUTSIDE,
            clause=knee.CLAUSE,
            detail=f"{made.at.name}: outside what the rule covers: {found.why_outside(row)}; ways forward: {knee.WAYS}",
        )
    ratio, verdict = compare(rank, 1.0)
    k = int(found.governing[row])
    keeps = f"the corner keeps {float(found.kappa[row]):.0%} of the tube" + (
        f" with its plate of {show_length(weld.mitre_plate, job.system)}" if weld.mitre_plate is not None else ""
    )
    return Check(
        **common,
        verdict=verdict,
        demand=Q(ratio, ""),
        limit=Q(1.0, ""),
        ratio=ratio,
        clause=knee.CLAUSE,
        detail=f"{made.at.name}: {keeps}; {knee.GOVERNS[k]} asks most"
        + (f"; ways forward: {knee.WAYS}" if verdict != WITHIN else ""),
        worked=lambda: corner_lines(job, weld, made, found, row),
    )


def corner_lines(job: Job, weld: Weld, made: LaidButt, found: knee.Corner, i: int) -> tuple[Worked, ...]:
    """What the corner keeps, the strengths of the tube that it is a part of, and their sum."""
    system, bar = job.system, made.at.branch
    across, along, _ = (Quantity(v, "m") for v in made.at.sizes)
    s, t = bar.design, Quantity(float(bar.design.t[0]), "m")
    lines: list[Worked] = []

    def step(relation, **sizes):
        lines.append(relation.worked(**sizes, system=system))
        return relation(**sizes)

    stiff = bool(knee.stiffened(_plate(weld), float(s.t[0])))
    if not stiff:
        t_k = min(t, across / knee.THICKEST)
        kappa = step(knee.mitre_factor, b_0=across, h_0=along, t_0=t_k)
        if made.theta > knee.SQUARE + 1e-9 and kappa < 1:
            step(knee.mitre_factor_open, phi=Quantity(made.cut, "rad"), kappa_90=kappa)
    upright = np.isclose(made.at.sizes[1], bar.height)
    step(knee.axial_yield, f_y=bar.tube.steel.Fy, A=Quantity(float(s.A[0]), "m**2"))
    for Z in (s.Zx, s.Zy) if upright else (s.Zy, s.Zx):
        step(knee.plastic_moment, f_y=bar.tube.steel.Fy, W=Quantity(float(Z[0]), "m**3"))
    step(knee.torsion_yield, f_y=bar.tube.steel.Fy, C=Quantity(float(s.C[0]), "m**3"))
    for size in (along, across):
        step(knee.shear_yield, f_y=bar.tube.steel.Fy, h=size, t=t)
    n, m_ip, m_op, tau, v_ip, v_op = (Q(float(v), "") for v in found.parts[:, i])
    last = int(found.governing[i])
    if last == 0:
        step(knee.corner_use, n=n, m_ip=m_ip, m_op=m_op, tau=tau, kappa=Q(float(found.kappa[i]), ""))
    elif last == 1:
        step(knee.axial_use, n=n, n_most=Q(1.0 if stiff else knee.MOST_AXIAL, ""))
    else:
        step(knee.shear_use, v_ip=v_ip, v_op=v_op, tau=tau, v_most=Q(knee.MOST_SHEAR, ""))
    return tuple(lines)
