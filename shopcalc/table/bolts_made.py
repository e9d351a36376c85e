"""A bolted joint as it is made: bolt, end plate, pattern, what it pulls on, how hard it may be tightened."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from shopcalc.check import allowable
from shopcalc.codes.aisc360_22 import bolts as code
from shopcalc.codes.aisc360_22 import point_load
from shopcalc.joints import bolts, threads
from shopcalc.stock import fasteners
from shopcalc.stock.tubes import Tube
from shopcalc.table.assembly import Member
from shopcalc.table.frame import HOLE
from shopcalc.table.job import Job
from shopcalc.table.jobfile.joints import Bolts
from shopcalc.table.landings import Landing
from shopcalc.table.weld_laid import BOLTED_ROUND, rounds, unknown
from shopcalc.units import Q, Quantity, magnitude, show, show_length

HEAD = 1.5  # width of a head or nut over the bolt
LEAN = 10.0  # degrees
PLATE_YIELD, PLATE_TENSILE = Q(36, "ksi"), Q(58, "ksi")
PLATE_STEEL = "end plate of plain structural steel, yield 36 ksi: ask the yard for A36 or better"
DEFAULT_GRADE, DEFAULT_GRADE_METRIC = "grade 2", "4.6"
SQUEEZE = (
    "tightening a bolt through a tube without a sleeve presses its walls together: set a sleeve and go by the"
    " torque given"
)
OVERSIZE = (
    "holes over the standard size are for slip-critical joints only (AISC 360-22 J3.3): drill standard holes,"
    " or let an engineer design for slip"
)
LOOSE = "bolts of a joint that comes apart lose clamp: tighten again after a day and after every move"


@dataclass(frozen=True)
class Bolted:
    """A bolted joint as it is made, SI: bolt, plate, pattern, the wall it pulls on."""

    thread: fasteners.Thread
    grade: fasteners.Grade
    places: np.ndarray
    d: float
    hole: float
    plate: float | None
    edge: float
    p: float
    b: float
    across: float
    along: float
    face: float
    deep: float
    l_end: float
    host: Member
    into: str
    rated: float | None
    sleeve: bool
    assumed: tuple[str, ...]
    cautions: tuple[str, ...]

    @classmethod
    def of(cls, job: Job, made: Bolts, at: Landing, l_end: float = 10.0) -> Bolted:
        host = at.host
        thread = fasteners.thread(made.size, "size")
        d = float(magnitude(thread.D, "m"))
        assumed, cautions = [PLATE_STEEL], []
        grade = fasteners.grade(
            made.grade or (DEFAULT_GRADE_METRIC if thread.metric else DEFAULT_GRADE), thread.D
        )
        if made.grade is None:
            assumed.append(
                f"bolts of {grade.name}: read the marks on the head and write the grade into the job"
            )
        if grade.kind == "threaded part":
            cautions.append(code.NOT_OF_THE_CODE)
        elif grade.kind == "stainless":
            cautions.append(code.STAINLESS)
        wide, long, face = at.sizes
        along = long + 4 * d if made.apart is None else float(magnitude(made.apart, "m"))
        across = face / 2 if made.across is None else float(magnitude(made.across, "m"))
        if made.apart is None and made.bolts > 1:
            assumed.append(
                f"bolts {show_length(Quantity(along, 'm'), job.system)} apart along the tube (two bolts clear"
                " of the branch)"
            )
        if made.across is None and made.bolts > 2:
            assumed.append(
                f"bolts {show_length(Quantity(across, 'm'), job.system)} apart across the face (half of it)"
            )
        standard = code.standard_hole(d, thread.metric)
        if not standard.in_table:
            cautions.append(code.SMALL)
        edge = standard.edge if made.edge is None else float(magnitude(made.edge, "m"))
        if made.edge is None:
            assumed.append(
                f"{show_length(Quantity(edge, 'm'), job.system, 'up')} from the bolts to the edge of the"
                " plate, the least"
            )
        hole = d + (HOLE if made.hole is None else float(magnitude(made.hole, "m")))
        if hole > standard.hole + 1e-5:
            cautions.append(OVERSIZE)
        places = bolts.pattern(made.bolts, across if made.bolts > 2 else 0.0, along)
        rows = np.unique(np.round(places[:, 1], 9))
        # Width of plate that one bolt bends: its share, no more than the yield lines of one bolt reach.
        per_row = max(np.sum(np.isclose(places[:, 1], y)) for y in rows)
        spread = (across if per_row > 1 else 0.0) + 2 * edge
        b_along = (along - long) / 2 if made.bolts > 1 else -1.0
        b_across = (across - wide) / 2 if made.bolts > 2 else -1.0
        # The bolt at a corner stands off the corner of the branch, past both its walls.
        b = float(np.hypot(max(b_along, 0.0), max(b_across, 0.0)))
        b = b if b > d / 2 else -1.0
        past = max(along * (made.bolts > 1) / 2 + edge - long / 2, 0.0)  # the plate past the branch
        p = min(spread / per_row, 2 * max(b, d) + d) if b > 0 else spread / per_row
        rated = None
        if made.rated_allowable is not None:
            rated = float(magnitude(made.rated_allowable, "N"))
        elif made.rated_ultimate is not None:
            rated = float(magnitude(made.rated_ultimate, "N")) / threads.OMEGA_STRIP
        if made.into == "nut" and not made.sleeve:
            cautions.append(SQUEEZE)
        if made.comes_apart:
            cautions.append(LOOSE)
        return cls(
            thread,
            grade,
            places,
            d,
            hole,
            None if made.plate is None else float(magnitude(made.plate, "m")),
            edge,
            p,
            b,
            across if made.bolts > 2 else 0.0,
            along,
            face,
            host.height + host.width - face,
            max(l_end - past, 0.0),
            host,
            made.into,
            rated,
            made.sleeve,
            tuple(assumed),
            (*cautions, *threads.CAUTIONS),
        )

    def plate_width(self, wanted: float) -> float:
        """Of the end plate (m): to its edges past the bolts, or as wide as is wanted where the face has room."""
        return max(self.across + 2 * self.edge, min(wanted, self.face))

    @cached_property
    def stresses(self) -> tuple[float, float]:
        return code.nominal_stresses(self.grade.kind, float(magnitude(self.grade.tensile, "Pa")))

    @cached_property
    def wall(self) -> tuple[float, float, float]:
        """Design wall, yield and tensile strength of the host."""
        steel = self.host.tube.steel
        return (
            float(magnitude(self.host.tube.wall("design"), "m")),
            float(magnitude(steel.Fy, "Pa")),
            float(magnitude(steel.Fu, "Pa")),
        )

    def bolt_limits(self, kind: str, method: str) -> tuple[float, float]:
        """Allowable tension and shear of one bolt."""
        F_nt, F_nv = self.stresses
        return (
            float(allowable(code.bolt_tension.si(F_nt=F_nt, d=self.d), kind, method)[0]),
            float(allowable(code.bolt_shear.si(F_nv=F_nv, d=self.d), kind, method)[0]),
        )

    @cached_property
    def stripping(self) -> threads.Stripping:
        t, _, F_u = self.wall
        return threads.stripping(self.thread, t, F_u, float(magnitude(self.grade.tensile, "Pa")))

    def thread_limit(self, kind: str, method: str) -> tuple[float, str]:
        """Allowable pull of what the bolt turns into, and what ends it; inf with a nut, nan where the job
        does not say."""
        if self.into == "nut":
            return np.inf, "a nut of the bolt's own grade is stronger than the bolt"
        if self.into == "tapped wall":
            factor = {"proof": 1.0}.get(
                kind, 1 / threads.OMEGA_STRIP if method == "ASD" else threads.PHI_STRIP
            )
            return float(self.stripping.least[0]) * factor, "threads of the tapped wall strip"
        return (np.nan if self.rated is None else self.rated), f"the {self.into} as its maker rates it"

    def wall_limit(self, kind: str, method: str) -> tuple[float, bool]:
        """Allowable pull of one bolt on the wall of the tube by yield lines round its head or nut (J3.13),
        and whether the code covers
        the face; a row of bolts near each other pulls one patch."""
        t, F_y, _ = self.wall
        per_row = max(int(np.sum(np.isclose(self.places[:, 1], y))) for y in self.places[:, 1])
        patch = HEAD * self.d
        wide = (self.across + patch) if per_row > 1 else patch
        # One row by itself; and all rows as one patch, since rows near each other share their yield lines.
        reach = float(np.ptp(self.places[:, 1]))
        s = point_load.face_bending.si(
            F_y=F_y,
            t=t,
            B=self.face,
            B_b=min(wide, point_load.NARROW * self.face),
            l_b=np.array([patch, reach + patch]),
            l_end=self.l_end,
        )
        row, together = (float(v) for v in np.broadcast_to(allowable(s, kind, method), 2))
        return min(row / per_row, together / len(self.places)), bool(np.all(s.in_range))

    @cached_property
    def tight(self) -> threads.Tightening | None:
        """Torque, held down by what the thread, the nut or an unsleeved tube bears; None where that is not
        known."""
        caps = [self.thread_limit("use", "ASD")]
        if self.into == "nut" and not self.sleeve:
            one = replace(self, places=np.zeros((1, 2)), across=0.0)
            caps.append(
                (
                    one.wall_limit("use", "ASD")[0],
                    "without a sleeve the walls of the tube are pressed together",
                )
            )
        if any(np.isnan(cap) for cap, _ in caps):
            return None
        cap, words = min(caps)
        return threads.tightening(thread=self.thread, proof=self.grade.proof, cap=cap, cap_words=words)


def defaults_of(job: Job) -> Iterator[tuple[str, str]]:
    """What the job left out of its bolted joints and the kit put in: (field, value). What follows from the
    tubes stands in the
    checks."""
    for key, made in job.model.joints.items():
        if not isinstance(made, Bolts):
            continue
        metric = fasteners.thread(made.size).metric
        if made.grade is None:
            yield f"joints.{key}.grade", DEFAULT_GRADE_METRIC if metric else DEFAULT_GRADE
        if made.hole is None:
            yield f"joints.{key}.hole", show_length(Quantity(HOLE, "m"), job.system) + " over the bolt"
        if made.edge is None:
            edge = code.standard_hole(float(magnitude(made.size, "m")), metric).edge
            yield f"joints.{key}.edge", show_length(Quantity(edge, "m"), job.system, "up")


def not_bolted(at: Landing) -> str:
    """Why a bolted joint is not computed, or ""."""
    if at.half:
        return "bars that cross: a bolt through both, or a halved joint, is not computed"
    if not isinstance(at.host.tube, Tube):
        return "bolts into a bar, angle or channel are not computed"
    if any(rounds(at)):
        return BOLTED_ROUND
    return unknown(at) or ("the branch leans: forces square to the plate are not worked out" if at.lean > LEAN else "")


def least_gap(made: Bolted) -> float:
    """Least distance between the middles of two bolts (m); inf for one."""
    gaps = np.hypot(*(made.places[:, None] - made.places[None]).transpose(2, 0, 1))
    return float(gaps[gaps > 1e-9].min(initial=np.inf))


def to_the_end(at: Landing, made: Bolted) -> float:
    """From the outermost bolt along the host to the nearer end of it (m); under nought where it stands past the end. Where
    the host is drawn to the middle of the branch only, it counts as flush with its side."""
    beyond = min(at.place, at.host.length - at.place) - at.slant / 2
    return max(beyond, 0.0) + at.slant / 2 - float(np.abs(made.places[:, 1]).max())


def end_words(job: Job, left: float) -> str:
    """Where the outermost bolt stands, by `to_the_end`."""
    return f"the outermost bolt stands {show_length(Quantity(abs(left), 'm'), job.system)} {'from' if left > 0 else 'past'} the end of the tube"


def torque_words(job: Job, tight: threads.Tightening | None) -> str:
    """The torque to use and the clamp it gives, in the job's units."""
    if tight is None:
        return (
            "no torque is given: what holds the clamp is not known (set a sleeve, or give what the nut is"
            " rated for)"
        )
    moment, force = ("lbf*ft", "lbf") if job.system == "inch" else ("N*m", "N")

    def size(value, unit, to):
        return show(Quantity(value, unit), to, 2 if unit == "N*m" else 3)

    return (
        f"torque {size(tight.dry, 'N*m', moment)} on dry threads, {size(tight.oiled, 'N*m', moment)} oiled,"
        f" for a clamp of {size(tight.low, 'N', force)} to {size(tight.high, 'N', force)}"
        f" ({tight.limited_by})"
    )
