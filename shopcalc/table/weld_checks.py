"""The weld of one kind of joint: is it enough, what limits it, in words for the bench.

How it is laid and what of it counts says weld_laid.py. The elastic sum on that line gives the verdict.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from shopcalc.check import OVER, WITHIN, Check, compare, load_factor, ratio_text
from shopcalc.codes.aisc360_22 import hollow_joints as hj
from shopcalc.codes.en1993_1_8 import welds as euro
from shopcalc.formula import Worked, formula
from shopcalc.joints import saddle, weld_groups, welds, welds_shapes, welds_sheet_steel
from shopcalc.joints.welds import LinePolar
from shopcalc.stock.tubes import Tube
from shopcalc.table.assembly import Member
from shopcalc.table.checks import case_words, in_units, provenance
from shopcalc.table.frame_cases import FrameCase
from shopcalc.table.job import Job
from shopcalc.table.jobfile.joints import CAPPED, Weld
from shopcalc.table.landings import Forces
from shopcalc.table.weld_laid import CORNERS_OFF, END_OFF, TAKEN_OFF, Laid, solid, turned_line_force
from shopcalc.units import Force, Length, Moment, Quantity, magnitude, show_length, show_wall

TWO_SIDES = (
    "branch about as wide as the bar it meets: two sides have no flat to fillet and only the other two are "
    "credited. Where the "
    "round corners are filled flush and a fillet is laid on them, say flare_sides = true"
)
NO_LEDGE = "branch as wide as the flat bar: its two sides have no ledge to fillet and only the other two are credited; take a wider bar"
SOLID = (
    "a flat bar counts as a face as wide as it is (of each run across it only the ends work); where the branch bends it across "
    "its width is not looked at: keep the branch nearly as wide as the bar"
)
FLARE = (
    "the sides of the branch lie on the round corners of the bar: fill them flush first, then lay the "
    "fillet on top; on a corner "
    "radius under 3/8 in only that fillet counts (AISC 360-22 table J2.2, note a)"
)
TAKEN = (
    "two bars as wide as their host meet at one corner of it: a fillet there ties one to the other and does not reach the host; lay it, "
    "but it is not counted"
)
LEANS = (
    "branch that leans: the fillet on its open side has a thinner throat, counted all round. Fit and gap are a matter "
    "for the welder"
)
SHARP = (
    "sharp corner: the arc does not reach the root (AWS D1.1). It is welded to close it and counts nothing, or less its loss; "
    "a test piece cut and etched shows what is there"
)
TURNED = (
    "branch that stands turned on the face by a few degrees: its weld is counted with its corners as far out as they lie, which is cautious"
)
AT_THE_END = (
    "a bar is welded to the very end of another here: the side past the end has no face to fillet and is not counted. "
    'Counted all round only with ends = "capped": a cap welded all round that stands past the branch by the leg'
)
DRAWN_SHORT = "drawn to the middle of the bar that is welded to it; the weld is counted as if it ran on flush with its far side"
CAPPED_END = (
    'ends = "capped": the cap must be welded all round and stand past the branch by at least the leg of the weld; a cap '
    "ground flush with the branch takes no fillet"
)
CUT_IN_TWO = "bars that cross: the {branch} is cut in two and welded to both sides of the {host}, in line"
GROUND = (
    "ground weld: only the throat that is left counts, and it must be measured. Never grind the inside of a "
    "corner below the "
    "throat given"
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
ROUND_START = "start and stop halfway between the crown and the side of the tube, never on either"
QUALIFY = (
    "fillet round a branch wider than a third of its round host: the angle changes all the way round; AWS D1.1 asks for a"
    " procedure proved on test pieces there (recalled). Cope it close: gaps add to the leg"
)
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


@formula(symbol="M_c", source="weld-as-line, statics")
def moment_about_centroid(*, M: Moment, F: Force, e: Length) -> Moment:
    """Moment about the centroid of a weld that does not go all round.

    M  moment where the branch meets the face
    F  force there, square to e
    e  from the centroid to the axis of the branch
    """
    return M + F * e


@dataclass(frozen=True)
class Worst:
    """The weld of a kind that is used most: ratio, state s and case i of it, row of `forces` that acts there."""

    ratio: float
    s: object
    i: int
    row: int
    forces: Forces
    made: Laid


def line_check(job: Job, at: FrameCase, state: str, force: float, weakest: welds.Weakest, **more) -> Check:
    """A force per length of weld (N/m) against the weakest of what holds it, in a case and a state of the table."""
    limit = float(weakest.allowable[0])
    ratio, verdict = compare(force, limit)
    return Check(
        kind=at.case.kind,
        case=case_words(job, at.case, f"{at.where}; {state}"),
        demand=in_units(job, Quantity(force, "N/m"), "line"),
        limit=in_units(job, Quantity(limit, "N/m"), "line"),
        ratio=ratio,
        verdict=verdict,
        clause=weakest.clause(),
        **more,
    )


def weld_answers(job: Job, about: str, words: str, weld: Weld, w: Worst, laid: Sequence[Laid], short: dict[str, float]) -> Iterator[Check]:
    """The checks of the weld of one kind of joint: its strength at the worst place, its least leg at the heaviest of all
    that are `laid`; what is assumed and what to look out for at any of them. short: hosts that end before the far side of
    what is welded to them, and by how much (m)."""
    made = w.made
    case = w.s.cases[w.i].case
    weakest = made.weakest(case.kind, job.method)
    force = w.ratio * float(weakest.allowable[0])
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
        assumed=_of_all(_assumed(weld, m.at.branch, m.at.host) for m in (made, *laid)),
        cautions=(*_of_all(_cautions(job, weld, m) for m in (made, *laid)), *_drawn_short(job, short)),
        provenance=provenance("aisc-360-22"),
    )
    yield line_check(
        job,
        w.s.cases[w.i],
        w.s.words,
        force,
        weakest,
        id=f"{about}/weld",
        name=f"{words}: weld",
        source="aisc-360-22, J2.4 and J4; sti-round-welds" if _on_round(made) else "aisc-360-22, J2.4, J4 and K5",
        detail=f"{made.at.name}: {weakest.state()} governs; leg laid {laid_words}, credited "
        f"{show_wall(credited, job.system)}{ground}; {what}; "
        f"{made.sides}; {_works(made, job)}; {start_words(made)}{_beside(job, made, force, case)}",
        range=(
            "elastic sum on lines, no bonus for direction (k_ds = 1.0), no instantaneous centre at the end "
            "of a tube",
            *(("LRFD: every load of use and handling times 1.6",) if job.method == "LRFD" else ()),
        ),
        worked=lambda: worked(job, made, w.forces, w.row),
        **common,
    )
    heaviest = max(laid, key=lambda m: float(m.fillet.least[0]))
    least, thinner = float(heaviest.fillet.least[0]), min(m.thinner for m in laid)
    yield Check(
        id=f"{about}/least leg",
        name=f"{words}: least leg",
        kind="information",
        demand=in_units(job, Quantity(least, "m"), "length"),
        limit=in_units(job, Quantity(made.laid, "m"), "length"),
        ratio=least / made.laid,
        verdict=OVER if bool(heaviest.fillet.too_small[0]) else WITHIN,
        clause="AISC 360-22 table J2.4",
        source="aisc-360-22, table J2.4",
        detail=f"{heaviest.at.name}: least leg to lay for the thinner wall; {what}"
        + (
            f"; the leg laid, {laid_words}, is larger than the wall of "
            f"{show_wall(Quantity(thinner, 'm'), job.system)}: only "
            "the wall counts"
            if made.laid > thinner * (1 + 1e-9)
            else ""
        ),
        **common,
    )


def _drawn_short(job: Job, short: dict[str, float]) -> Iterator[str]:
    """Hosts to be cut longer than they are drawn, those of one length together."""
    lengths = {name: show_length(Quantity(by, "m"), job.system, "up") for name, by in short.items()}
    for length in dict.fromkeys(lengths.values()):
        names = ", ".join(name for name, one in lengths.items() if one == length)
        yield f"{names}: {DRAWN_SHORT}: cut it {length} longer at that end"


def _of_all(parts: Iterable[tuple[str, ...]]) -> tuple[str, ...]:
    """Each sentence once."""
    return tuple(dict.fromkeys(words for part in parts for words in part))


def _on_round(made: Laid) -> bool:
    return made.saddle is not None and made.saddle.round_host


def start_words(made: Laid) -> str:
    """Where to start and stop, in words for the bench."""
    return IN_FLAT if made.saddle is None else ROUND_START


def _works(made: Laid, job: Job) -> str:
    length = Quantity(float(made.group.length[0]), "m")
    words = f"{show_length(length, job.system)} of weld counts"
    if _on_round(made):
        uneven = f", the force on it taken {made.saddle.uneven:g} times since it is uneven round a round tube (AWS D1.1)"
        return f"{words}{uneven}; {made.saddle.words()[0]}"
    if made.saddle is not None:
        return words
    if made.works < made.across * (1 - 1e-9):
        words += (
            f" (across the face {show_length(Quantity(made.works, 'm'), job.system)} of each run: the "
            "rest sits on soft wall)"
        )
    return words


def _beside(job: Job, made: Laid, force: float, case) -> str:
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
        words + f"{',' if words else ';'} by EN 1993-1-8 (simplified, under {EURO_LOADS:g} times the load) "
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


def _cautions(job: Job, weld: Weld, made: Laid) -> tuple[str, ...]:
    branch, host = made.at.branch, made.at.host
    weaker = min(branch.tube.steel.Fu, host.tube.steel.Fu)
    found = {
        welds.CLASH: bool(made.fillet.clash[0]),
        BURNS: made.laid > made.thinner * (1 + 1e-9),
        TWO_SIDES: CORNERS_OFF in made.off and not solid(made.at),
        NO_LEDGE: CORNERS_OFF in made.off and solid(made.at),
        SOLID: solid(made.at),
        FLARE: made.flare,
        TAKEN: TAKEN_OFF in made.off,
        LEANS: made.per_square < 1 - 1e-9,
        SHARP: made.at.lean > 90 - welds_shapes.ROOT_LOST,
        TURNED: made.saddle is None and made.at.turned > 2,
        AT_THE_END: END_OFF in made.off,
        CAPPED_END: weld.ends == CAPPED,
        CUT_IN_TWO.format(branch=made.at.branch.name, host=made.at.host.name): bool(made.at.half),
        GROUND: weld.ground,
        STAINLESS: made.filler.name in ("E308L", "E309L"),
        welds.OVERMATCHED: welds.overmatched(made.filler.FEXX, weaker),
        ONE_SIDED: bool(made.off),
        QUALIFY: _on_round(made) and branch.width > host.width / 3,
    }
    rounds = () if made.saddle is None else made.saddle.words()[1:]
    corners = dict.fromkeys(filter(None, (corner_words(job, m) for m in (branch, host))))
    return (*(words for words, holds in found.items() if holds), *corners, *rounds)


def corner_words(job: Job, m: Member) -> str:
    """What EN 1993-1-8 asks of the steel of a cold-formed tube that is welded near its corners, or ""."""
    if not isinstance(m.tube, Tube) or m.tube.shape == "round":
        return ""
    t = float(magnitude(m.tube.wall("nominal"), "m"))
    inside = float(m.tube.standard.radii_si(t, t)[1])
    words = euro.corner_words(inside / t, t, job.system)
    return f"{m.stock}: {words}" if words else ""


def _without_rest(parts: np.ndarray) -> np.ndarray:
    """Parts of a vector; what is left where the frame cancelled one (a millionth of the largest) is nought."""
    return np.where(np.abs(parts) < 1e-6 * np.abs(parts).max(), 0.0, parts)


def worked(job: Job, made: Laid, f: Forces, i: int) -> tuple[Worked, ...]:
    """The vector sum at the worst corner, line by line, then the strengths beside it."""
    system = job.system
    force, moment = (_without_rest(v[i]) for v in made.vectors(f))
    if made.saddle is None:
        place = weld_groups.worst_place(made.group, weld_groups.elastic(made.group, force[None], moment[None]))
    else:
        place = made.saddle.worst(force, moment, float(made.fillet.credited[0]), made.process)
    lines: list[Worked] = []
    if made.works < made.across * (1 - 1e-9):
        z = made.run
        lines.append(
            hj.effective_width.worked(
                B=_m(z["B"]),
                t=_m(z["t"]),
                F_y=Quantity(z["F_y"], "Pa"),
                F_yb=Quantity(z["F_yb"], "Pa"),
                t_b=_m(z["t_b"]),
                B_b=_m(z["B_b"]),
                system=system,
            )
        )
    L, over, lever, J = _line_sizes(made, place.place[0], lines, system, bool(np.abs(moment[2]) > 0))
    for F in force[[2, 0, 1]]:
        if F:
            lines.append(welds.even_line_force.worked(_n(abs(F)), L, system=system))
    centre = made.group.centroid[0]
    about = moment + np.cross(-centre, force)
    (F_x, F_y, F_z), (c_x, c_y, c_z) = force, centre
    for k, arms in enumerate((((F_z, -c_y), (F_y, c_z)), ((F_z, c_x), (F_x, -c_z)), ((F_x, c_y), (F_y, -c_x)))):
        M = moment[k]
        for F, e in arms:
            if abs(F * e) > 1e-9 * (abs(about[k]) + 1e-12):
                lines.append(moment_about_centroid.worked(M=_nm(M), F=_n(F), e=_m(e), system=system))
                M += F * e
    for M, S in zip(about[:2], over, strict=True):
        if M and S is not None:
            lines.append(welds.bending_line_force.worked(_nm(abs(M)), S, system=system))
    if about[2]:
        lines += [welds.twist_line_force.worked(_nm(abs(about[2])), _m(c), J, system=system) for c in lever if c]
    x, y, z = (Quantity(float(v), "N/m") for v in _without_rest(place.parts[0]))
    lines.append(welds.resultant_line_force.worked(f_z=z, f_x=x, f_y=y, system=system))
    if made.saddle is not None:
        lines += _on_saddle(made, welds.resultant_line_force(f_z=z, f_x=x, f_y=y), float(place.psi[0]), system)
    elif made.at.turned > 0.01:
        lines.append(
            turned_line_force.worked(
                f=welds.resultant_line_force(f_z=z, f_x=x, f_y=y),
                turn=Quantity(made.at.turned, "deg"),
                r=Quantity(made.longer, ""),
                system=system,
            )
        )
    throat = _m(float(made.throat[0]))
    if np.isclose(float(made.throat[0]), float(made.fillet.throat[0])):
        w = _m(float(made.fillet.credited[0]))
        lines.append(welds.throat_equal_legs.worked(w=w, system=system))
        throat = welds.throat_equal_legs(w=w)
    elif np.isclose(float(made.throat[0]), float(made.fillet.throat[0]) * made.per_square):
        sizes = dict(b=_m(float(made.fillet.credited[0])), psi=Quantity(90 + made.at.lean + made.at.taper, "deg"))
        lines.append(welds.throat_skewed.worked(**sizes, system=system))
        throat = welds.throat_skewed(**sizes)
    lines.append(welds.strength_weld_metal.worked(made.filler.FEXX, throat, system=system))
    for wall in made.walls:
        t = _m(wall.t)
        lines += [
            welds.strength_wall_yield.worked(Quantity(wall.F_y, "Pa"), t, system=system),
            welds.strength_wall_rupture.worked(Quantity(wall.F_u, "Pa"), t, system=system),
        ]
    return tuple(lines)


def _on_saddle(made: Laid, r: Quantity, psi: float, system: str) -> Iterator[Worked]:
    """From the elastic sum to what the throat of a square fillet is sized for."""
    if psi > welds_shapes.AS_SQUARE[1]:
        sizes = dict(r=r, psi=Quantity(psi, "deg"))
        yield saddle.on_square_throat.worked(**sizes, system=system)
        r = saddle.on_square_throat(**sizes)
    if made.saddle.uneven != 1:
        yield saddle.uneven_line_force.worked(r=r, k=made.saddle.uneven, system=system)


def _line_sizes(made: Laid, place: np.ndarray, lines: list[Worked], system: str, twisted: bool):
    """Length of the line, its two section moduli and levers at the worst place, its polar second moment: worked by K5
    where the weld goes all round, else those of the line that is left."""
    if not made.off and made.saddle is None:

        def step(relation, **sizes):
            lines.append(relation.worked(**sizes, system=system))
            return relation(**sizes)

        d, b, B_e = _m(made.along), _m(made.across), _m(made.works)
        theta = Quantity(round(float(np.degrees(made.at.theta)), 9), "deg")
        L = step(hj.weld_length, H_b=d, theta=theta, B_e=B_e)
        S_ip = step(hj.weld_modulus_in_plane, H_b=d, theta=theta, B_e=B_e)
        S_op = step(hj.weld_modulus_out_of_plane, H_b=d, theta=theta, B_b=b, B_e=B_e)
        J = step(effective_polar, S_ip=S_ip, H_b=_m(made.slant), S_op=S_op, B_b=b) if twisted else None
        return L, (S_ip, S_op), (made.slant / 2, made.across / 2), J
    I, arm = made.group.inertia[0], np.abs(place - made.group.centroid[0])  # noqa: E741
    over = tuple(Quantity(float(I[k, k] / c), "m**2") if c > 1e-9 else None for k, c in ((0, arm[1]), (1, arm[0])))
    J = Quantity(float(I[2, 2]), "m**3")
    return _m(float(made.group.length[0])), over, (float(arm[1]), float(arm[0])), J


def _m(value) -> Quantity:
    return Quantity(float(value), "m")


def _n(value) -> Quantity:
    return Quantity(float(value), "N")


def _nm(value) -> Quantity:
    return Quantity(float(value), "N*m")
