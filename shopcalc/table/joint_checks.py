"""Welded joints under the forces of the frame: the worst of each kind over every joint, case and state.

The elastic sum on the weld line gives the verdict, without a bonus for direction; the leg credited never exceeds the wall.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from shopcalc.check import ASK, OVER, REFUSED, WITHIN, Check, compare, load_factor
from shopcalc.formula import Worked
from shopcalc.joints import welds
from shopcalc.stock.tubes import Tube
from shopcalc.table.assembly import Joint, Member
from shopcalc.table.bolt_checks import bolt_checks
from shopcalc.table.checks import case_words, in_units, provenance
from shopcalc.table.face_checks import face_checks, height_lies_across
from shopcalc.table.frame import branch_on_face
from shopcalc.table.frame_solve import Solved
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.jobfile.joints import Weld
from shopcalc.table.loads import LoadCase
from shopcalc.units import Quantity, magnitude, show_length, show_wall

FACE = "across a thin face not all of the weld works: the verdict counts all of it"
TWO_SIDES = ("branch about as wide as the bar it meets: two sides have no flat to fillet and only the other two are credited")

LEANS = ("branch that leans: the fillet on its open side has a thinner throat, counted all round; the length of the slant cut is not "
         "counted. Fit and gap are a matter for the welder")


@dataclass(frozen=True)
class Forces:
    """Forces on the weld line of one joint in every case, (n,) each: pull, shear and bending across and along the face,
    twist. N, N m."""

    pull: np.ndarray
    shear_across: np.ndarray
    shear_along: np.ndarray
    over_across: np.ndarray
    over_along: np.ndarray
    twist: np.ndarray

    def times(self, factor: np.ndarray) -> Forces:
        return Forces(**{name: factor * force for name, force in vars(self).items()})


def forces_on(s: Solved, joint: Joint, g: Geometry, height_across: bool | None = None) -> Forces:
    """From the end of the branch in its own axes to the face it stands on. height_across: where it is known already."""
    run = s.table.runs[joint.branch][-1 if joint.end else 0][0]
    f = s.answer.end_forces[:, s.answer.frame.member_number[run]] / s.factor
    f = f[:, 6:] if joint.end else f[:, :6]
    height_across = height_lies_across(joint, g) if height_across is None else height_across
    y, z = (f[:, 1], f[:, 4]), (f[:, 2], f[:, 5])  # shear along the width, bending over the height; and the other way
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
            yield from bolt_checks(job, g, kind, made, joints, solved, forces_on, _unknown)


def _ask(kind: str, what: str, why: str) -> Check:
    return Check(id=f"joint.{kind}/{what}", name=f"{kind[0].upper()}{kind[1:]}: {what}", about=f"joint.{kind}", kind="use", verdict=ASK,
                 clause="AISC 360-22 J", source="aisc-360-22, J2.4", provenance=provenance("aisc-360-22"), detail=why)


SQUARE, STEEPEST = 10.0, 30.0  # degrees a branch may lean and still count as square; and may lean at all


def lean_of(branch: Member, host: Member) -> tuple[float, float]:
    """Degrees by which a branch leans from square: along its host; and across, from the normal of the nearest face."""
    along = abs(float(branch.direction @ host.direction))
    level = branch.direction - host.direction * float(branch.direction @ host.direction)
    level = level / np.linalg.norm(level)
    face = max(abs(float(level @ host.up)), abs(float(level @ np.cross(host.direction, host.up))))
    return float(np.degrees(np.arcsin(min(along, 1.0)))), float(np.degrees(np.arccos(min(face, 1.0))))


def thinner_throat(lean: float) -> float:
    """How much the force on the throat grows on the open side of a leaning branch: a fillet of the same leg in an
    angle of 90 + lean has a throat of leg * cos((90 + lean)/2)."""
    return 1.0 if lean <= SQUARE else float(np.cos(np.pi / 4) / np.cos(np.radians(90 + lean) / 2))


def _unknown(branch: Member, host: Member, joint: Joint) -> str:
    """Why a welded joint is not computed, or ""."""
    if not all(isinstance(m.tube, Tube) and m.tube.shape != "round" for m in (branch, host)):
        return "only square and rectangular tube on square and rectangular tube is computed"
    if joint.end < 0:
        return "bars that cross: one is cut and fitted to the other, or both are halved"
    if branch.name == host.name or np.linalg.norm(np.cross(branch.direction, host.direction)) < 0.1:
        return "bars in one line"
    along, across = lean_of(branch, host)
    if across > SQUARE:
        return f"the branch meets its host {across:.0f} degrees off the face, on a corner"
    if along > STEEPEST:
        return f"the branch leans {along:.0f} degrees from square: under 60 degrees the root of the weld is not reached"
    return ""


def _kind_checks(job: Job, g: Geometry, kind: str, weld: Weld, joints: list[Joint], solved: list[Solved]) -> Iterator[Check]:
    about, words = f"joint.{kind}", kind[0].upper() + kind[1:]
    known = []
    for j in joints:
        branch, host = g.members[j.branch], g.members[j.host]
        why = _unknown(branch, host, j)
        if why:
            yield _ask(kind, "weld", f"{j.name}: {why}; have this joint sized")
        else:
            known.append((j, _Made.of(job, weld, branch, host)))
    yield from face_checks(job, g, kind, [j for j, _ in known], solved, forces_on)
    worst: tuple[float, Joint, Solved, int, Forces, _Made] | None = None
    for s in solved:
        if s.answer.strength_refused.any():
            i = int(np.nonzero(s.answer.strength_refused)[0][0])
            yield Check(id=f"{about}/weld", name=f"{words}: weld", about=about, kind=s.cases[i].case.kind, verdict=REFUSED,
                        case=case_words(job, s.cases[i].case, s.cases[i].where), clause="AISC 360-22 C2", source="aisc-360-22, C2",
                        provenance=provenance("aisc-360-22"), detail=f"{s.words}: {s.answer.reason[i]}")
            return
        kinds = np.array([c.case.kind for c in s.cases])
        for j, made in known:
            f = forces_on(s, j, g).times(np.array([load_factor(k, job.method) for k in kinds]))
            line = made.thinner_throat * welds.line_force(
                made.across, made.along, P=f.pull, V_x=f.shear_across, V_y=f.shear_along, M_x=f.over_along, M_y=f.over_across,
                T=f.twist, two_sides=made.two_sides, flat=made.flat).f
            for k in dict.fromkeys(kinds):
                ratio = np.where(kinds == k, line / made.allowable(k, job.method), -1.0)
                i = int(ratio.argmax())
                if worst is None or ratio[i] > worst[0]:
                    worst = (float(ratio[i]), j, s, i, f, made)
    if worst is not None:
        yield from _weld_check(job, about, words, weld, worst, g)


@dataclass(frozen=True)
class _Made:
    """A weld as it is laid between two walls."""

    across: float
    along: float
    flat: float
    two_sides: bool
    fillet: welds.Fillet
    filler: welds.Filler
    walls: tuple[welds.Wall, ...]
    thinner: float
    thinner_throat: float

    @classmethod
    def of(cls, job: Job, weld: Weld, branch: Member, host: Member) -> _Made:
        laid = float(magnitude(weld.leg, "m"))
        across, along, face = branch_on_face(branch, host)
        thick = [float(magnitude(m.tube.wall("design"), "m")) for m in (branch, host)]
        corner = float(host.tube.standard.radii_si(thick[1], thick[1])[0])
        walls = tuple(welds.Wall(f"wall of the {m.stock}", t, *(float(magnitude(v, "Pa")) for v in (m.tube.steel.Fy, m.tube.steel.Fu)))
                      for m, t in zip((branch, host), thick, strict=True))
        return cls(across, along, face - 2 * corner, not bool(welds.fits_all_round(across, laid, face, corner)),
                   welds.fillet(laid, min(thick)), welds.filler(weld.filler, branch.tube.product), walls, min(thick),
                   thinner_throat(lean_of(branch, host)[0]))

    def weakest(self, kind: str, method: str) -> welds.Weakest:
        return welds.weakest(welds.strengths(float(magnitude(self.filler.FEXX, "Pa")), self.fillet.throat, self.walls), kind, method)

    def allowable(self, kind: str, method: str) -> float:
        return float(self.weakest(kind, method).allowable[0])


def _weld_check(job: Job, about: str, words: str, weld: Weld, worst, g: Geometry) -> Iterator[Check]:
    ratio, joint, s, i, f, made = worst
    branch, host = g.members[joint.branch], g.members[joint.host]
    case: LoadCase = s.cases[i].case
    weakest = made.weakest(case.kind, job.method)
    limit = float(weakest.allowable[0])
    ratio, verdict = compare(ratio * limit, limit)
    laid = float(magnitude(weld.leg, "m"))
    credited = Quantity(float(made.fillet.credited[0]), "m")
    lay = float(welds.leg_to_lay_si(ratio * float(made.fillet.throat[0]), made.thinner, job.system))
    assumed = ("forces of the frame with rigid and with soft joints, the worse counts; top as strips on its seats", *branch.tube.assumed, *host.tube.assumed)
    cautions = (FACE, *((welds.CLASH,) if bool(made.fillet.clash[0]) else ()), *((TWO_SIDES,) if made.two_sides else ()),
                *((LEANS,) if made.thinner_throat > 1 else ()))
    common = dict(about=about, assumed=assumed, cautions=cautions, provenance=provenance("aisc-360-22"))
    yield Check(
        id=f"{about}/weld", name=f"{words}: weld", kind=case.kind, case=case_words(job, case, f"{s.cases[i].where}; {s.words}"),
        demand=in_units(job, Quantity(ratio * limit, "N/m"), "line"), limit=in_units(job, Quantity(limit, "N/m"), "line"), ratio=ratio,
        verdict=verdict, clause=weakest.clause(), source="aisc-360-22, J2.4 and J4",
        detail=f"{joint.name}: {weakest.state()} governs; leg laid {show_length(Quantity(laid, 'm'), job.system)}, credited "
               f"{show_wall(credited, job.system)}; force per length of weld, {'two sides' if made.two_sides else 'all round'}",
        range=("elastic sum on lines, no bonus for direction (k_ds = 1.0)",
               *(("LRFD: every load of use and handling times 1.6",) if job.method == "LRFD" else ())), worked=lambda: _lines(job, made, f, i), **common)
    least = float(made.fillet.least[0])
    yield Check(
        id=f"{about}/least leg", name=f"{words}: least leg", kind="information", demand=in_units(job, Quantity(least, "m"), "length"),
        limit=in_units(job, Quantity(laid, "m"), "length"), ratio=least / laid, verdict=OVER if bool(made.fillet.too_small[0]) else WITHIN,
        clause="AISC 360-22 table J2.4", source="aisc-360-22, table J2.4",
        detail=f"least leg to lay for the thinner wall; the strength needs {show_length(Quantity(lay, 'm'), job.system, 'up')}", **common)


def _lines(job: Job, made: _Made, f: Forces, i: int) -> tuple[Worked, ...]:
    def size(v, unit):
        return Quantity(abs(float(v[i])), unit)

    walls = [(Quantity(w.t, "m"), Quantity(w.F_y, "Pa"), Quantity(w.F_u, "Pa")) for w in made.walls]
    return (*welds.worked_line_force(b=Quantity(made.across, "m"), d=Quantity(made.along, "m"), P=size(f.pull, "N"), V_x=size(f.shear_across, "N"),
                                     V_y=size(f.shear_along, "N"), M_x=size(f.over_along, "N*m"), M_y=size(f.over_across, "N*m"),
                                     T=size(f.twist, "N*m"), two_sides=made.two_sides, flat=Quantity(made.flat, "m"), system=job.system),
            *welds.worked_lines(leg=Quantity(float(made.fillet.credited[0]), "m"), FEXX=made.filler.FEXX, walls=walls, system=job.system))
