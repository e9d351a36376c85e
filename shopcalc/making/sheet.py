"""The welding sheet: per kind of joint what is laid, how long it takes, what heat goes in, what it pulls together; and
which tubes are closed and need holes before they are coated.

Sizes come from the one geometry, volts, amps and travel from the job or from the named defaults of the process.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from shopcalc.joints import weld_sheet, welds_butt
from shopcalc.making import powder
from shopcalc.stock.tubes import Tube
from shopcalc.table.assembly import Joint, Member
from shopcalc.table.butt_checks import angle_between
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.jobfile.joints import CAPPED, MITRED, Weld
from shopcalc.table.landings import Landing, landings, landings_of, open_ends
from shopcalc.table.weld_laid import Laid, unknown
from shopcalc.units import Q, Quantity, magnitude, show, show_length, show_wall

CROWN_WORDS = (
    "filler: a tenth is added to the flat triangle of a fillet for its crown; round corners are filled flush first, in a pass of "
    "their own; a butt is filled at the widest gap, with a cap"
)
FUMES = "fumes (zinc; chromium VI on stainless), eyes, shock, fire watch: local law and the makers' data sheets"
HOLE_PLACE = (
    "drill before the closing weld, in a face that does not show, an inch clear of any weld and corner and near an end, never in "
    "the middle of a span; the lower one drains as the piece hangs"
)
NO_CLOSED = "no tube of this base is closed at both ends by its welds; plugs and caps of your own close it: drill it first"


@dataclass(frozen=True)
class SheetRow:
    """One kind of joint: SI numbers, and what they were worked out with. leg: nan for a butt."""

    number: int
    kind: str
    count: int
    leg: float
    length: float
    laying: weld_sheet.Laying
    shrinks: weld_sheet.Shrinkage
    filled: bool = False

    @property
    def passes(self) -> str:
        return f"{self.laying.passes} + fill" if self.filled else str(self.laying.passes)

    def size(self, system: str) -> str:
        return "butt" if np.isnan(self.leg) else f"fillet {show_length(Q(self.leg, 'm'), system)}"


@dataclass(frozen=True)
class Vent:
    """Tubes of one stock that their welds close at both ends, and the least holes for either coating."""

    stock: str
    bars: tuple[str, ...]
    powder: object
    galvanizing: object


@dataclass(frozen=True)
class Sheet:
    """The welding sheet of a job: lines, closed tubes, sums in words, notes."""

    rows: tuple[SheetRow, ...]
    vents: tuple[Vent, ...]
    totals: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]


def welding_sheet(job: Job, g: Geometry) -> Sheet:
    """Every welded kind of joint whose size is known."""
    rows = []
    for number, kind in enumerate(dict.fromkeys(j.kind for j in g.joints), start=1):
        weld = job.joint(kind)
        if not isinstance(weld, Weld):
            continue
        places = [
            (length, fill_of(job, g, weld, at))
            for at in landings_of(g, [j for j in g.joints if j.kind == kind])
            if (length := length_of(job, g, weld, at))
        ]
        if places:
            lengths, fills = zip(*places, strict=True)
            length = Quantity(sum(lengths), "m")
            row = SheetRow(
                number,
                kind,
                len(lengths),
                np.nan if weld.butt else float(magnitude(weld.leg, "m")),
                sum(lengths),
                laid(job, g, kind, weld, length, sum(fills)),
                weld_sheet.shrinkage(length / len(lengths), butt=weld.butt),
                filled=any(fills),
            )
            rows.append(row)
    vents = tuple(_vents(job, g))
    return Sheet(tuple(rows), vents, tuple(_totals(job, rows)), tuple(_notes(job, g, rows, vents)))


def length_of(job: Job, g: Geometry, weld: Weld, at: Landing) -> float:
    """Length of weld at the bench for one joint (m): all of it, also what is not credited; nought where it is not known."""
    if not weld.butt:
        return 0.0 if unknown(at) else Laid.of(job, g, weld, at).laid_length
    if not all(isinstance(m.tube, Tube) for m in (at.branch, at.host)):
        return 0.0
    across, along, _ = at.sizes
    slant = float(welds_butt.length_of_cut.si(h=along, phi=off_square(at) if weld.ends == MITRED else 0.0))
    if at.branch.tube.shape == "round":
        return float(np.pi * np.sqrt((across**2 + slant**2) / 2))  # an ellipse, within 1 % up to 45 degrees
    return 2 * across + 2 * slant


def fill_of(job: Job, g: Geometry, weld: Weld, at: Landing) -> float:
    """Filler that fills the two round corners of one joint flush (kg), before the fillet is laid on them."""
    if weld.butt or not weld.flare_sides or unknown(at) or not isinstance(at.host.tube, Tube):
        return 0.0
    made = Laid.of(job, g, weld, at)
    if not made.flare:
        return 0.0
    wall = float(magnitude(at.host.tube.wall("nominal"), "m"))
    corner = Quantity(float(at.host.tube.standard.radii_si(wall, wall)[0]), "m")
    per_length = weld_sheet.mass_per_length(weld_sheet.flare_area(corner), weld_sheet.DENSITY)
    return float(magnitude(weld_sheet.weld_mass(per_length, Quantity(2 * made.slant, "m")), "kg"))


def off_square(at: Landing) -> float:
    """Angle of the mitred cut off square (rad): half of what the corner lacks to a straight line."""
    return float(welds_butt.off_square(angle_between(at)))


def laid(job: Job, g: Geometry, kind: str, weld: Weld, length, fill: float = 0.0) -> weld_sheet.Laying:
    """What a length of this weld takes. fill: kg laid first in round corners."""
    settings = {"volts": weld.volts, "amps": weld.amps, "travel": weld.travel}
    process = weld.process.split("-")[0]
    if not weld.butt:
        return weld_sheet.laying(length, weld.leg, process, fill=Quantity(fill, "kg") if fill else None, **settings)
    tubes = [g.members[n].tube for j in g.joints if j.kind == kind for n in (j.branch, j.host)]
    wall = min(t.wall("nominal") for t in tubes if isinstance(t, Tube))
    return weld_sheet.laying(length, None, process, wall=wall, **settings)


# --- closed tubes ---------------------------------------------------------------------------------


def closed(job: Job, g: Geometry, m: Member) -> bool:
    """Whether welds close a tube at both ends: by standing on a face, by a cap or a mitre."""
    return isinstance(m.tube, Tube) and {0, 1} <= set(_closed_ends(job, g, m))


def _closed_ends(job: Job, g: Geometry, m: Member) -> Iterator[int]:
    for j in g.joints:
        made = job.joint(j.kind)
        if not isinstance(made, Weld):
            continue
        if j.branch == m.name and j.end >= 0:
            yield j.end
        if j.host == m.name and j.end >= 0 and made.ends in (CAPPED, MITRED):
            yield from _ends_near(g, j)


def _ends_near(g: Geometry, j: Joint) -> Iterator[int]:
    """The ends of the host that lie within a branch's size of it: the corner that is capped or mitred."""
    at = landings(g, j)[0]
    if at.in_line:
        yield 0 if at.place < at.host.length / 2 else 1
        return
    same = 1 if float(at.axes[1] @ at.host.direction) > 0 else -1
    for end in open_ends(g, at):
        if end.gap < at.sizes[1]:
            yield 1 if end.way == same else 0


def _vents(job: Job, g: Geometry) -> Iterator[Vent]:
    stocks: dict[str, list[Member]] = {}
    for m in g.members.values():
        if closed(job, g, m):
            stocks.setdefault(m.stock, []).append(m)
    for stock, bars in stocks.items():
        yield Vent(stock, tuple(m.name for m in bars), *(hole(bars[0], finish) for finish in ("powder", "galvanizing")))


def hole(m: Member, finish: str):
    """Least vent and drain hole of a closed tube."""
    return weld_sheet.vent_hole(Q(m.width, "m"), Q(m.height, "m"), finish)


def hole_words(job: Job, m: Member) -> str:
    """The holes of one closed tube, in words."""
    powder, zinc = (show_hole(hole(m, finish), job.system) for finish in ("powder", "galvanizing"))
    return f"closed at both ends: a hole of {powder} for powder; for galvanizing one of {zinc} at each end; {HOLE_PLACE}"


def show_hole(size, system: str) -> str:
    """A least diameter: up to the next sixteenth or millimetre."""
    return show_length(size, system, "up")


# --- words ----------------------------------------------------------------------------------------


def heat_words(job: Job, made: weld_sheet.Laying) -> str:
    """Heat input by both conventions, with its settings, in words."""
    per, speed = ("kJ/in", "in/min") if job.system == "inch" else ("kJ/mm", "mm/min")
    words = (
        f"{show(made.arc_energy, per, 2)} as US codes say it (arc energy), {show(made.heat_input, per, 2)} by EN 1011-1; "
        f"at {show(made.volts, 'V', 3)}, {show(made.amps, 'A', 3)}, {show(made.travel, speed, 2)} of travel"
    )
    return words + (f" ({assumed_words(job, made)})" if made.assumed else "")


def assumed_words(job: Job, made: weld_sheet.Laying) -> str:
    """Which settings nobody said, in words."""
    words = " and ".join(", ".join(made.assumed).rsplit(", ", 1)) + " assumed"
    if "travel" in made.assumed:
        words += f", travel by {show(made.deposition_rate, 'lb/h' if job.system == 'inch' else 'kg/h', 2)} of filler laid"
    return words


def shrink_words(job: Job, shrinks: weld_sheet.Shrinkage) -> str:
    return f"allow {show_small(shrinks.across, job.system)} across the joint, {show_small(shrinks.along, job.system)} along its weld: an allowance, not a result"


def show_small(size, system: str) -> str:
    """A small distance: hundredths of an inch, or tenths of a millimetre; less is under that."""
    unit, least, digits = ("in", 0.01, 2) if system == "inch" else ("mm", 0.1, 1)
    value = float(magnitude(size, unit))
    return f"under {least:g} {unit}" if value < least else f"{value:.{digits}f} {unit}"


def _totals(job: Job, rows: Sequence[SheetRow]):
    if not rows:
        return
    mass, small = ("lb", "ft") if job.system == "inch" else ("kg", "m")
    yield "weld", show(Quantity(sum(r.length for r in rows), "m"), small, 2)
    yield "filler laid", show(sum(r.laying.deposited for r in rows), mass, 2)
    yield "filler to buy", show(sum(r.laying.bought for r in rows), mass, 2)
    yield "time at the arc", show(sum(r.laying.arc_time for r in rows), "min", 2)
    factors = sorted({r.laying.operating_factor for r in rows})
    yield (
        "time at the bench",
        show(sum(r.laying.work_time for r in rows), "min", 2)
        + f" (operating factor, the share of it at the arc: {', '.join(f'{f:.0%}' for f in factors)}, common practice of a small "
        "shop)",
    )


def _notes(job: Job, g: Geometry, rows: Sequence[SheetRow], vents: Sequence[Vent]):
    yield CROWN_WORDS
    yield from dict.fromkeys(
        f"{r.laying.process}: {assumed_words(job, r.laying)}" + weld_sheet.where_from(r.laying) for r in rows if r.laying.assumed
    )
    yield weld_sheet.HEAT_WORDS
    yield weld_sheet.HEAT_BY_HAND
    yield weld_sheet.SHRINKS
    if any(r.laying.process == "GTAW" for r in rows):
        walls = {m.tube.wall("nominal").to("mm") for m in g.members.values() if isinstance(m.tube, Tube)}
        for wall in sorted(w for w in walls if 1.6 <= w.magnitude <= 6):
            current = weld_sheet.gtaw_current(wall)
            yield (
                f"GTAW on {show_wall(wall, job.system)}: start between {current.least.magnitude:.0f} and "
                f"{current.most.magnitude:.0f} A"
            )
    yield weld_sheet.VENT
    yield HOLE_PLACE if vents else NO_CLOSED
    yield weld_sheet.COATED
    yield powder.cure_words(job.system)
    yield powder.spray_words(g, job.system)
    yield weld_sheet.PREHEAT
    yield FUMES
