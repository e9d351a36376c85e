"""All checks of a job: the one question that the command line, the record and the notebooks ask."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from shopcalc.check import Check, envelope, exit_code
from shopcalc.moving.handling import lifting_checks
from shopcalc.sources import references_folder
from shopcalc.sweep import choice_check
from shopcalc.table.bolts_made import defaults_of
from shopcalc.table.checks import (
    DEFAULT_OVERHANG,
    DEFAULT_RIGHTING,
    DEFAULT_SAG,
    PUBLIC_RIGHTING,
    mass_checks,
    size_words,
    standing_checks,
    wall_checks,
)
from shopcalc.table.fixing_checks import fixing_checks
from shopcalc.table.frame_cases import frame_cases
from shopcalc.table.frame_checks import frame_checks
from shopcalc.table.frame_solve import solve_strength
from shopcalc.table.geometry import DEFAULT_MOISTURE, Geometry, Piece, build
from shopcalc.table.job import FORMAT, Job, load_job
from shopcalc.table.joint_checks import weld_checks
from shopcalc.table.loadpath import loaded_stretchers
from shopcalc.table.loads import LoadCase, load_cases
from shopcalc.table.sheet_checks import sheet_checks
from shopcalc.table.stability import body_of
from shopcalc.table.stud_checks import stud_checks
from shopcalc.table.top_checks import top_checks
from shopcalc.table.use_checks import use_checks
from shopcalc.table.wood_checks import seasons, wood_checks
from shopcalc.units import number, show_sag, unit_text
from shopcalc.wood.movement import SEASONS_SOURCE

# What the shop asks (the whole job) and the kit does not answer yet: in every output.
STUDS = "; the studs of levellers are checked only where the job names them (base.feet.stud)"
NOT_CHECKED = (
    ("Does it rock on an uneven floor?", "worked out under the table's own weight and with a foot in the air" + STUDS),
    ("How do I pull a bowed or cupped top flat?", "forces where the job says what was measured (top.measured); which steel holds it flat: notebook 07"),
    ("Do joints of bar, angle, channel, and of square on round tube hold?", "tube on tube and tube on the broad face of a flat bar are checked; "
     "these say ask an engineer, and so do branches turned off the face they stand on"),
    ("Do the long welds of tapered legs hold?", "the corners of a leg made of sheet are cautioned, not sized"),
    ("Does the joint line of a two-piece top hold?", "the moment on each connector is compared where the job rates them (top.halves.rated), else told "
     "for their maker; what holds the pieces level, side by side and from sliding is not worked out: ask the maker for push and pull too"),
    ("What does the sheet of a podium add?", "its weight counts everywhere; no strength counts on it; its fixings are checked where the job names them "
     "(base.podiums.screws, rated) or they are welds of carbon steel, else what they carry is reported"),
    ("How does it knock down at the top: inserts, screws?", "checked only where the job says how the top is held (joints.top_to_base)"),
    ("What do I cut and buy?", "parts, cutting and buying lists are not made yet"),
    ("Can we carry it in?", "each piece as it is lifted by hand is reported; doors, corners, stairs and lift cars are not checked"),
)

CAUTIONS = (
    "These are the shop's own calculations, not an engineer's: what is over a limit, outside a range or not checked goes to a "
    "licensed engineer, and the local code comes before anything here.",
    "Weld fumes (zinc, stainless), eyes, shock and fire: local law and the makers' data sheets.",
    "A lone trestle falls over; strap a top that stands on edge; nobody under a lifted load.",
    "Vent closed tubes before the closing weld, galvanizing or the oven.",
)


@dataclass(frozen=True)
class Resolved:
    """A value that the job left out and a named default took its place."""

    field: str
    value: str
    tag: str
    source: str


@dataclass(frozen=True)
class Assessment:
    """Every answer about one job. checks: the worst load case per id, in the order of the table."""

    job: Job
    geometry: Geometry
    cases: dict[str, LoadCase]
    checks: tuple[Check, ...]
    resolved: tuple[Resolved, ...]
    not_checked: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    data_hash: str
    format: int = FORMAT

    @property
    def pieces(self) -> tuple[Piece, ...]:
        return self.geometry.pieces

    @property
    def exit_code(self) -> int:
        return exit_code(self.checks)

    def check(self, id: str) -> Check:
        """One check by its id. KeyError where there is none."""
        for check in self.checks:
            if check.id == id:
                return check
        raise KeyError(id)

    def as_dict(self) -> dict:
        """As `check --json` prints it."""
        return {"format": self.format, "job": self.job.name, "code": f"{self.job.code} {self.job.method}",
                "checks": [c.as_dict() for c in self.checks],
                "not_checked": [{"question": q, "why": w} for q, w in self.not_checked],
                "assumed": [vars(r) for r in self.resolved], "cautions": list(self.cautions)}


def assess(job: Job | str | Path) -> Assessment:
    """All checks of a job (or of a job file). Raises InputError for a job that cannot be built."""
    if not isinstance(job, Job):
        job = load_job(job)
    geometry = build(job)
    cases = load_cases(job.overrides, public_use=job.model.settings.public_use)
    found: list[Check] = []
    every = list(frame_cases(geometry, cases))
    solved = list(solve_strength(job, geometry, every))
    found += frame_checks(job, geometry, cases, every, solved)
    found += [choice_check(job, bar) for bar in loaded_stretchers(geometry, cases) if bar.case.kind == "use"]
    found += weld_checks(job, geometry, solved)
    found += fixing_checks(job, geometry, every)
    found += sheet_checks(job, geometry, every)
    found += stud_checks(job, geometry, cases, solved)
    found += standing_checks(job, geometry, body_of(geometry), cases)
    found += use_checks(job, geometry, cases)
    found += wall_checks(job, geometry)
    found += mass_checks(job, geometry)
    found += lifting_checks(job, geometry)
    found += wood_checks(job, geometry)
    found += top_checks(job, geometry, cases)
    return Assessment(job, geometry, cases, tuple(envelope(found)), tuple(_resolved(job, cases, geometry)), _not_checked(job),
                      CAUTIONS, data_hash())


def _not_checked(job: Job) -> tuple[tuple[str, str], ...]:
    """NOT_CHECKED, without the studs where the job names them."""
    if job.model.base.feet.stud is None:
        return NOT_CHECKED
    return tuple((question, why.replace(STUDS, "")) for question, why in NOT_CHECKED)


def _resolved(job: Job, cases: dict[str, LoadCase], geometry: Geometry):
    """Every named default that stands in for something the job left out."""
    system = job.system
    seen = set()
    for case in cases.values():
        if case.key not in job.overrides and case.key not in seen:
            seen.add(case.key)
            yield Resolved(f"loads.{case.key}", size_words(job, case.value), case.tag, case.source)
    limits = job.model.limits
    if limits.sag is None:
        yield Resolved("limits.sag", f"L/{1 / DEFAULT_SAG:.0f}", "common practice", "")
    if limits.overhang is None:
        yield Resolved("limits.overhang", show_sag(DEFAULT_OVERHANG, system), "common practice", "")
    if limits.righting is None:
        value = PUBLIC_RIGHTING if job.model.settings.public_use else DEFAULT_RIGHTING
        yield Resolved("limits.righting", number(value), "common practice", "")
    if job.model.top.moisture is None:
        yield Resolved("top.moisture", f"{DEFAULT_MOISTURE:.0%}", "second-hand", "wood-handbook-gtr-190, ch. 13")
    season = seasons(job, geometry)
    for name, given in (("driest", job.model.top.driest), ("dampest", job.model.top.dampest)):
        if given is None:
            yield Resolved(f"top.{name}", f"{getattr(season, name):.0%}", "second-hand", SEASONS_SOURCE)
    if job.model.floor.slope is None:
        yield Resolved("floor.slope", f"0 {unit_text('')}".strip() + " (level floor)", "common practice", "")
    for field, value in defaults_of(job):
        yield Resolved(field, value, "common practice", "")
    for name in dict.fromkeys(m.stock for m in geometry.members.values()):
        for note in job.tubes[name].assumed:
            yield Resolved(f"stock.{name}", note, job.tubes[name].steel.provenance, job.tubes[name].steel.source)


@lru_cache(maxsize=1)
def data_hash() -> str:
    """A fingerprint of every data file that a number may come from, so that a rerun can tell changed data."""
    digest = hashlib.sha256()
    package = Path(__file__).parent
    files = [*package.glob("*/data/*"), references_folder() / "sources.toml"]
    for path in sorted(files, key=lambda p: p.name):
        digest.update(path.name.encode())
        digest.update(path.read_bytes().replace(b"\r\n", b"\n"))
    return digest.hexdigest()[:16]
