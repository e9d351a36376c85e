"""The weld of one kind of joint: how it is laid, what works of it, what limits it, in words for the bench.

What works of a branch on a tube face is the weld of AISC 360-22 K5 as a line: both sides along the tube, and
of each run across the face only the ends. The elastic sum on that line gives the verdict, without an increase
for direction; the leg credited never exceeds the wall. The instantaneous centre is never used here: the
branch is the end of a tube.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from shopcalc.check import OVER, WITHIN, Check, compare, load_factor, ratio_text
from shopcalc.codes.aisc360_22 import hollow_joints as hj
from shopcalc.codes.en1993_1_8 import welds as euro
from shopcalc.formula import Worked, formula
from shopcalc.joints import weld_groups, welds, welds_shapes, welds_sheet_steel
from shopcalc.joints.welds import LinePolar
from shopcalc.stock.tubes import Tube
from shopcalc.table.assembly import Joint, Member
from shopcalc.table.checks import case_words, in_units, provenance
from shopcalc.table.face_checks import to_open_end
from shopcalc.table.frame import branch_on_face
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.jobfile.joints import Weld
from shopcalc.units import Length, Quantity, magnitude, show_length, show_wall

TWO_SIDES = (
    "branch about as wide as the bar it meets: two sides have no flat to fillet and only the other two are "
    "credited. Where the "
    "round corners are filled flush and a fillet is laid on them, say flare_sides = true"
)
FLARE = (
    "the sides of the branch lie on the round corners of the bar: fill them flush first, then lay the "
    "fillet on top; on a corner "
    "radius under 3/8 in only that fillet counts (AISC 360-22 table J2.2, note a)"
)
LEANS = (
    "branch that leans: the fillet on its open side has a thinner throat, counted all round; the length of "
    "the slant cut is not "
    "counted. Fit and gap are a matter for the welder"
)
AT_THE_END = (
    "a bar is welded to the very end of another here: the side past the end has no face to fillet. The weld is counted all "
    "round only where the end is closed with a cap or runs past; a mitre ground flush credits nothing at its root"
)
GROUND = (
    "ground weld: only the throat that is left counts, and it must be measured. Never grind the inside of a "
    "corner below the "
    "throat given"
)
CORNERS = (
    "the wall is heavier than EN 1993-1-8 (table 4.2) lets be welded within five walls of so tight a "
    "cold-formed corner without "
    "proof of the steel: ask the supplier for killed steel"
)
BURNS = "the leg laid is larger than the wall: only the wall counts, and the heat goes into thin tube"
STAINLESS = (
    "stainless weld: strength and factors are those of AISC 370 as recalled, and bare wire has no "
    "guaranteed strength: the "
    "qualified procedure gives it. Stainless moves about half as much again as carbon steel when welded"
)
ONE_SIDED = (
    "a fillet from one side only opens at its root when the branch is bent towards it: weld all "
    "round, or on both sides"
)
IN_FLAT = "start and stop in the middle of a flat, never on a corner"
EURO_LOADS = 1.5


@formula(symbol="J_w", source="weld-as-line, sum of the second moments about both axes")
def effective_polar(
    *, S_ip: welds.LineModulus, H_b: Length, S_op: welds.LineModulus, B_b: Length
) -> LinePolar:
    """Polar second moment of what works of the weld round a branch.

    S_ip  section modulus of the line, bending along the tube
    H_b   size of the branch along the tube
    S_op  section modulus of the line, bending across it
    B_b   size of the branch across the tube
    """
    return S_ip * H_b / 2 + S_op * B_b / 2


def lean_of(branch: Member, host: Member) -> tuple[float, float]:
    """Degrees by which a branch leans from square: along its host; and across, from the normal of the nearest
    face."""
    along = abs(float(branch.direction @ host.direction))
    level = branch.direction - host.direction * float(branch.direction @ host.direction)
    level = level / np.linalg.norm(level)
    face = max(abs(float(level @ host.up)), abs(float(level @ np.cross(host.direction, host.up))))
    return float(np.degrees(np.arcsin(min(along, 1.0)))), float(np.degrees(np.arccos(min(face, 1.0))))


SQUARE, STEEPEST = 10.0, 30.0  # degrees a branch may lean and still count as square; and may lean at all


def thinner_throat(lean: float) -> float:
    """How much the force on the throat grows on the open side of a leaning branch, whose faces meet at 90 +
    lean."""
    if lean <= SQUARE:
        return 1.0
    open_side = welds_shapes.skewed(1.0, 90 + lean, "GMAW").throat[0]
    return float(welds.throat_equal_legs.si(w=1.0) / open_side)


# (branch is round, host is round)
NOT_FLAT = {
    (True, True): "a round branch on a round tube: its weld runs up and down a saddle and is not computed yet",
    (True, False): "a round branch on a flat face: the code's rules for faces are for square and rectangular "
    "branches",
    (False, True): "a square or rectangular branch on a round tube: the code has no rule for it",
}


def unknown(branch: Member, host: Member, joint: Joint) -> str:
    """Why a welded joint is not computed, or ""."""
    if not all(isinstance(m.tube, Tube) for m in (branch, host)):
        return "only tube on tube is computed, not bar, angle or channel"
    rounds = tuple(m.tube.shape == "round" for m in (branch, host))
    if any(rounds):
        return NOT_FLAT[rounds]
    if joint.end < 0:
        return "bars that cross: one is cut and fitted to the other, or both are halved"
    if branch.name == host.name or np.linalg.norm(np.cross(branch.direction, host.direction)) < 0.1:
        return "bars in one line"
    along, across = lean_of(branch, host)
    if across > SQUARE:
        return f"the branch meets its host {across:.0f} degrees off the face, on a corner"
    if along > STEEPEST:
        return (
            f"the branch leans {along:.0f} degrees from square: under 60 degrees the root of the weld is "
            "not reached"
        )
    return ""


@dataclass(frozen=True)
class Made:
    """A weld as it is laid between two walls, SI. across, along: its line; works: what counts of each run
    across."""

    across: float
    along: float
    works: float
    fits: bool
    flare: bool
    group: weld_groups.Group
    laid: float
    fillet: welds.Fillet
    throat: np.ndarray
    filler: welds.Filler
    walls: tuple[welds.Wall, ...]
    thinner: float
    thinner_throat: float
    run: dict

    @classmethod
    def of(cls, job: Job, weld: Weld, branch: Member, host: Member) -> Made:
        laid = float(magnitude(weld.leg, "m"))
        across, along, face = branch_on_face(branch, host)
        t_b, t = (float(magnitude(m.tube.wall("design"), "m")) for m in (branch, host))
        corner = float(host.tube.standard.radii_si(t, t)[0])
        steels = [
            [float(magnitude(v, "Pa")) for v in (m.tube.steel.Fy, m.tube.steel.Fu)] for m in (branch, host)
        ]
        walls = tuple(
            welds.Wall(f"wall of the {m.stock}", w, *s)
            for m, w, s in zip((branch, host), (t_b, t), steels, strict=True)
        )
        run = {"B": face, "t": t, "F_y": steels[1][0], "F_yb": steels[0][0], "t_b": t_b, "B_b": across}
        lean = lean_of(branch, host)[0]
        works = float(hj.effective_lengths(**run, H_b=along, theta=np.pi / 2 - np.radians(lean)).B_e)
        fits = bool(welds.fits_all_round(across, laid, face, corner))
        flare = not fits and weld.flare_sides
        wide = (
            across if fits or flare else min(across, face - 2 * corner)
        )  # what runs over the corners is not counted
        works = min(works, wide)
        fillet = welds.fillet(laid, min(t_b, t))
        throat = fillet.throat
        if weld.ground:
            throat = np.minimum(throat, float(magnitude(weld.throat_left, "m")))
        if flare:
            topped = welds_shapes.flare_throat(corner, weld.process, reinforcing=fillet.credited)
            throat = np.minimum(throat, topped)
        filler = welds.filler(weld.filler, branch.tube.product, host.tube.product)
        return cls(
            wide,
            along,
            works,
            fits,
            flare,
            weld_groups.branch_outline(wide, along, works, sides=fits or flare),
            laid,
            fillet,
            throat,
            filler,
            walls,
            min(t_b, t),
            thinner_throat(lean),
            run,
        )

    def line(self, f) -> np.ndarray:
        """Greatest force per length under every case of `f` (joint_checks.Forces), on the throat of a square
        fillet."""
        F = np.stack([f.shear_across, f.shear_along, f.pull], axis=-1)
        # bending along the tube is about x, across it about -y (right-handed)
        M = np.stack([f.over_along, -f.over_across, f.twist], axis=-1)
        return self.thinner_throat * weld_groups.line_force(self.group, F, M)

    def weakest(self, kind: str, method: str, throat=None) -> welds.Weakest:
        return welds.weakest(self._strengths(self.throat if throat is None else throat), kind, method)

    def _strengths(self, throat):
        return welds.strengths(
            float(magnitude(self.filler.FEXX, "Pa")),
            throat,
            self.walls,
            omega=self.filler.omega,
            phi=self.filler.phi,
        )

    def allowable(self, kind: str, method: str) -> float:
        key = (kind, method)
        if key not in self._allowables:
            self._allowables[key] = float(self.weakest(kind, method).allowable[0])
        return self._allowables[key]

    @cached_property
    def _allowables(self) -> dict[tuple[str, str], float]:
        return {}

    def needed(self, force: float, kind: str, method: str, system: str) -> tuple[float, float, str]:
        """Throat needed, leg to lay (m) for a force per length, and what limits it, in words."""
        per_throat = float(welds.weakest(self._strengths(1.0)[:1], kind, method).allowable[0])
        throat = force / per_throat
        leg = float(welds.leg_to_lay_si(throat, self.thinner, system))
        by_walls = float(welds.weakest(self._strengths(1.0)[1:], kind, method).allowable[0])
        if force > by_walls * (1 + 1e-9):
            return throat, leg, weld_groups.LIMIT_WALL
        if throat > float(welds.throat_equal_legs.si(w=self.thinner)) * (1 + 1e-9):
            return throat, leg, weld_groups.LIMIT_SIZE
        least = float(self.fillet.least[0])
        wanted = float(welds.leg_for_throat.si(t_e=throat))
        return throat, leg, weld_groups.LIMIT_TABLE if wanted < least * (1 - 1e-9) else weld_groups.LIMIT_WELD

    @property
    def sides(self) -> str:
        return (
            "two sides"
            if not (self.fits or self.flare)
            else "all round, two sides on flare"
            if self.flare
            else "all round"
        )


@dataclass(frozen=True)
class Worst:
    """The joint of a kind that is used most: ratio, joint, state s and case i of it, row of `forces` that
    acts there."""

    ratio: float
    joint: Joint
    s: object
    i: int
    row: int
    forces: object
    made: Made


def weld_answers(job: Job, about: str, words: str, weld: Weld, w: Worst, g: Geometry) -> Iterator[Check]:
    """The checks of the weld of one kind of joint at its worst place."""
    joint, made = w.joint, w.made
    branch, host = g.members[joint.branch], g.members[joint.host]
    case = w.s.cases[w.i].case
    weakest = made.weakest(case.kind, job.method)
    limit = float(weakest.allowable[0])
    ratio, verdict = compare(w.ratio * limit, limit)
    force = ratio * limit
    throat, lay, limits = made.needed(force, case.kind, job.method, job.system)
    credited = Quantity(float(made.fillet.credited[0]), "m")
    laid_words = show_length(Quantity(made.laid, "m"), job.system)
    what = (
        f"the weld needs a leg of {show_length(Quantity(lay, 'm'), job.system, 'up')} ({limits})"
        if limits in (weld_groups.LIMIT_TABLE, weld_groups.LIMIT_WELD)
        else limits
    )
    ground = (
        f", ground to a throat of {show_wall(Quantity(float(made.throat[0]), 'm'), job.system)}"
        if weld.ground
        else ""
    )
    common = dict(
        about=about,
        assumed=_assumed(weld, branch, host),
        cautions=_cautions(weld, made, branch, host, _at_the_end(g, joint.kind)),
        provenance=provenance("aisc-360-22"),
    )
    yield Check(
        id=f"{about}/weld",
        name=f"{words}: weld",
        kind=case.kind,
        case=case_words(job, case, f"{w.s.cases[w.i].where}; {w.s.words}"),
        demand=in_units(job, Quantity(force, "N/m"), "line"),
        limit=in_units(job, Quantity(limit, "N/m"), "line"),
        ratio=ratio,
        verdict=verdict,
        clause=weakest.clause(),
        source="aisc-360-22, J2.4, J4 and K5",
        detail=f"{joint.name}: {weakest.state()} governs; leg laid {laid_words}, credited "
        f"{show_wall(credited, job.system)}{ground}; {what}; "
        f"{made.sides}, {_works(made, job)}; {IN_FLAT}{_beside(job, made, force, case)}",
        range=(
            "elastic sum on lines, no bonus for direction (k_ds = 1.0), no instantaneous centre at the end "
            "of a tube",
            *(("LRFD: every load of use and handling times 1.6",) if job.method == "LRFD" else ()),
        ),
        worked=lambda: worked(job, made, w.forces, w.row),
        **common,
    )
    least = float(made.fillet.least[0])
    over = made.laid > made.thinner * (1 + 1e-9)
    yield Check(
        id=f"{about}/least leg",
        name=f"{words}: least leg",
        kind="information",
        demand=in_units(job, Quantity(least, "m"), "length"),
        limit=in_units(job, Quantity(made.laid, "m"), "length"),
        ratio=least / made.laid,
        verdict=OVER if bool(made.fillet.too_small[0]) else WITHIN,
        clause="AISC 360-22 table J2.4",
        source="aisc-360-22, table J2.4",
        detail=f"least leg to lay for the thinner wall; {what}"
        + (
            f"; the leg laid, {laid_words}, is larger than the wall of "
            f"{show_wall(Quantity(made.thinner, 'm'), job.system)}: only "
            "the wall counts"
            if over
            else ""
        ),
        **common,
    )


def _works(made: Made, job: Job) -> str:
    length = Quantity(float(made.group.length[0]), "m")
    words = f"{show_length(length, job.system)} of weld counts"
    if made.works < made.across * (1 - 1e-9):
        words += (
            f" (across the face {show_length(Quantity(made.works, 'm'), job.system)} of each run: the "
            "rest sits on soft wall)"
        )
    return words


def _beside(job: Job, made: Made, force: float, case) -> str:
    """Two other rules beside the verdict: sheet steel under 3/16 in, and EN 1993-1-8 by the simplified
    method."""
    words = ""
    if case.kind == "stability":
        return words
    wall = min(made.walls, key=lambda x: x.t)
    FEXX = float(magnitude(made.filler.FEXX, "Pa"))
    sheet, _ = welds_sheet_steel.least(
        wall.F_u, wall.t, made.along, case.kind, job.method, FEXX=FEXX, throat=made.throat
    )
    if np.isfinite(sheet[0]):
        words += f"; by the rules of sheet steel (recalled) used {ratio_text(force / float(sheet[0]))}"
    f_u, f_y = min((x.F_u, x.F_y) for x in made.walls)
    strength = euro.strength_simplified.si(
        f_vw=euro.shear_strength.si(f_u=f_u, beta_w=euro.correlation_factor(f_y)[0], gamma_M2=euro.GAMMA_M2),
        a=float(made.throat[0]),
    )
    service = force / load_factor(case.kind, job.method)
    return (
        words + f"; EN 1993-1-8, simplified, under {EURO_LOADS:g} times the load: "
        f"{ratio_text(EURO_LOADS * service / float(strength))}"
    )


def _assumed(weld: Weld, branch: Member, host: Member) -> tuple[str, ...]:
    given = weld.model_fields_set
    return (
        "forces of the frame with rigid and with soft joints, the worse counts; top as strips on its seats",
        *(("filler E70 (not said)",) if "filler" not in given else ()),
        *((f"process {weld.process} (not said)",) if "process" not in given and weld.flare_sides else ()),
        *branch.tube.assumed,
        *host.tube.assumed,
    )


def _at_the_end(g: Geometry, kind: str) -> bool:
    """Whether a branch of this kind of joint stands flush with, or past, an open end of its host."""
    alike = (j for j in g.joints if j.kind == kind and j.end >= 0)
    return any(
        to_open_end(g, j, branch_on_face(g.members[j.branch], g.members[j.host])[1]) <= 0 for j in alike
    )


def _cautions(weld: Weld, made: Made, branch: Member, host: Member, at_the_end: bool) -> tuple[str, ...]:
    weaker = min(branch.tube.steel.Fu, host.tube.steel.Fu)
    tight = False
    for m, wall in zip((branch, host), made.walls, strict=True):
        outer = float(m.tube.standard.radii_si(wall.t, wall.t)[0])
        tight |= bool(wall.t > euro.weldable_wall_si((outer - wall.t) / wall.t)[0] * (1 + 1e-9))
    found = {
        welds.CLASH: bool(made.fillet.clash[0]),
        BURNS: made.laid > made.thinner * (1 + 1e-9),
        TWO_SIDES: not made.fits and not made.flare,
        FLARE: made.flare,
        LEANS: made.thinner_throat > 1,
        AT_THE_END: at_the_end,
        GROUND: weld.ground,
        CORNERS: tight,
        STAINLESS: made.filler.name in ("E308L", "E309L"),
        welds.OVERMATCHED: welds.overmatched(made.filler.FEXX, weaker),
        ONE_SIDED: not made.fits and not made.flare,
    }
    return tuple(words for words, holds in found.items() if holds)


def worked(job: Job, made: Made, f, i: int) -> tuple[Worked, ...]:
    """The vector sum at the worst corner, line by line, then the strengths beside it."""
    system = job.system
    at = {n: abs(float(v[i])) for n, v in vars(f).items()}
    lines: list[Worked] = []

    def step(relation, **sizes):
        lines.append(relation.worked(**sizes, system=system))
        return relation(**sizes)

    m, n, nm = (lambda v, u=u: Quantity(v, u) for u in ("m", "N", "N*m"))
    b, d = m(made.across), m(made.along)
    if made.works < made.across * (1 - 1e-9):
        z = made.run
        lines.append(
            hj.effective_width.worked(
                B=m(z["B"]),
                t=m(z["t"]),
                F_y=Quantity(z["F_y"], "Pa"),
                F_yb=Quantity(z["F_yb"], "Pa"),
                t_b=m(z["t_b"]),
                B_b=m(z["B_b"]),
                system=system,
            )
        )
    B_e, square = m(made.works), Quantity(np.pi / 2, "rad")
    if made.fits or made.flare:
        L = step(hj.weld_length, H_b=d, theta=square, B_e=B_e)
        S_ip = step(hj.weld_modulus_in_plane, H_b=d, theta=square, B_e=B_e)
        S_op = step(hj.weld_modulus_out_of_plane, H_b=d, theta=square, B_b=b, B_e=B_e)
        J = step(effective_polar, S_ip=S_ip, H_b=d, S_op=S_op, B_b=b) if at["twist"] else None
    else:
        I = made.group.inertia[0]
        L, J = Quantity(float(made.group.length[0]), "m"), Quantity(float(I[2, 2]), "m**3")
        S_ip, S_op = (
            Quantity(float(I[0, 0]) / (made.along / 2), "m**2"),
            Quantity(float(I[1, 1]) / (made.across / 2), "m**2"),
        )
    for name in ("pull", "shear_across", "shear_along"):
        if at[name]:
            lines.append(welds.even_line_force.worked(n(at[name]), L, system=system))
    for name, S in (("over_along", S_ip), ("over_across", S_op)):
        if at[name]:
            lines.append(welds.bending_line_force.worked(nm(at[name]), S, system=system))
    if at["twist"]:
        lines += [welds.twist_line_force.worked(nm(at["twist"]), c / 2, J, system=system) for c in (d, b)]
    F = np.array([[f.shear_across[i], f.shear_along[i], f.pull[i]]])
    M = np.array([[f.over_along[i], -f.over_across[i], f.twist[i]]])
    x, y, z = (
        Quantity(float(v), "N/m")
        for v in weld_groups.worst_place(made.group, weld_groups.elastic(made.group, F, M)).parts[0]
    )
    lines.append(welds.resultant_line_force.worked(f_z=z, f_x=x, f_y=y, system=system))
    throat = Quantity(float(made.throat[0]), "m")
    if np.isclose(float(made.throat[0]), float(made.fillet.throat[0])):
        throat = step(welds.throat_equal_legs, w=Quantity(float(made.fillet.credited[0]), "m"))
    lines.append(welds.strength_weld_metal.worked(made.filler.FEXX, throat, system=system))
    for wall in made.walls:
        t = Quantity(wall.t, "m")
        lines += [
            welds.strength_wall_yield.worked(Quantity(wall.F_y, "Pa"), t, system=system),
            welds.strength_wall_rupture.worked(Quantity(wall.F_u, "Pa"), t, system=system),
        ]
    return tuple(lines)
