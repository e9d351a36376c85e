"""[joints]: how each kind of joint is made."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, model_validator

from shopcalc.errors import InputError
from shopcalc.stock.fasteners import grades, inserts, wood_screws
from shopcalc.table.jobfile.fields import Leg, Length, Table, one_of, size
from shopcalc.units import tidy


class Weld(Table):
    """A fillet all round the end of a branch.

    ground, throat_left  the weld is dressed: the throat that is left, measured or kept by a gauge
    flare_sides          a branch as wide as its host: its two sides lie on the round corners, filled flush, a fillet on top
    process              how it is welded
    """

    weld: Annotated[Literal["fillet all round"], Field(examples=["fillet all round"])]
    leg: Leg
    filler: Annotated[Literal["E60", "E70", "E308L", "E309L"], Field(examples=["E70"])] = "E70"
    process: Annotated[Literal["GMAW", "GTAW", "SMAW", "FCAW-G", "FCAW-S"], Field(examples=["GMAW"])] = "GMAW"
    ground: Annotated[bool, Field(strict=True, examples=["true"])] = False
    throat_left: Leg | None = None
    flare_sides: Annotated[bool, Field(strict=True, examples=["true"])] = False

    @model_validator(mode="after")
    def _whole(self):
        if self.ground and self.throat_left is None:
            raise InputError(field="throat_left", value=None, need="the throat that is left of a ground weld, measured",
                             example='ground = true, throat_left = "0.07 in"')
        if self.throat_left is not None and not self.ground:
            raise InputError(field="throat_left", value=self.throat_left, need="ground = true beside it", example="ground = true")
        if self.flare_sides and self.process == "GTAW":
            raise InputError(field="process", value="GTAW", example='process = "GMAW"',
                             need="a process of table J2.2 for flare welds: GMAW, FCAW-G, FCAW-S or SMAW")
        return self


def known_grade(text) -> str:
    plain = tidy(text, "", "a grade of bolt", "grade 5")
    known = {g.lower(): g for g in grades()}
    if plain.lower() not in known:
        raise InputError(field="", value=text, need="a grade of the list: " + ", ".join(known.values()), example="grade 5")
    return known[plain.lower()]


def _fixing(text) -> str:
    """A wood screw, lag or insert of the list, by its own name."""
    plain = tidy(text, "", "a screw, lag or insert of the list", "#10")
    known = {f.name.lower(): f.name for f in (*wood_screws(), *inserts())}
    key = plain.lower() if plain.lower() in known else f"threaded {plain.lower()}"
    if key not in known:
        raise InputError(field="", value=text, need="a fixing of the list: " + ", ".join(known.values()), example="#10")
    return known[key]


Rated = size("lbf", 1, 20000, "900 lbf")


class Bolts(Table):
    """A bolted joint of a branch with an end plate on a face.

    apart, across  between the outermost bolts, along the host and across its face;  hole  how much wider the
                   holes are than the bolts
    edge           from the middle of a bolt to the edge of the plate;  plate  thickness of the end plate
    into           what the bolts turn into; a weld nut or rivet nut needs its rated pull. sleeve: a spacer
                   tube inside the host
    """

    bolts: one_of(1, 2, 3, 4, 6, 8)
    size: size("inch", 0.1, 1.5, "3/8 in")
    grade: Annotated[str, BeforeValidator(known_grade), Field(examples=["grade 5"])] | None = None
    apart: Length | None = None
    across: Length | None = None
    edge: Length | None = None
    hole: size("inch", 0, 0.25, "1/16 in") | None = None
    plate: size("inch", 0.05, 1.5, "3/8 in") | None = None
    into: Annotated[Literal["nut", "tapped wall", "weld nut", "rivet nut"], Field(examples=["nut"])] = "nut"
    rated_allowable: Rated | None = None
    rated_ultimate: Rated | None = None
    sleeve: Annotated[bool, Field(strict=True, examples=["true"])] = False
    comes_apart: Annotated[bool, Field(strict=True, examples=["true"])] = True


class TopFixing(Table):
    """How the top is held on the base: so many screws, lags or bolts in inserts, through steel of a
    thickness.

    length  of the screw under its head;  slotted  through slots across the grain;  slot  their length
    fixed   how many of them stand on the middle line in round holes and hold across the grain
    rated   pull of an insert in this wood, as its maker gives it: allowable or ultimate
    """

    fixing: Annotated[str, BeforeValidator(_fixing), Field(examples=["#10"])]
    count: Annotated[int, Field(strict=True, ge=2, le=200, examples=["12"])]
    length: size("inch", 0.25, 6, "1-1/2 in") | None = None
    tab: size("inch", 0.03, 0.75, "1/8 in") | None = None
    slotted: Annotated[bool, Field(strict=True, examples=["true"])] = False
    slot: size("inch", 0.05, 6, "5/8 in") | None = None
    fixed: Annotated[int, Field(strict=True, ge=1, le=200, examples=["2"])] | None = None
    rated_allowable: Rated | None = None
    rated_ultimate: Rated | None = None

    @model_validator(mode="after")
    def _whole(self):
        if self.fixed is not None and self.fixed > self.count:
            raise InputError(field="fixed", value=self.fixed, need=f"no more than there are, {self.count}", example="fixed = 2")
        return self


TOP_KEY = "top_to_base"  # the one key of [joints] that is no joint of two bars


def made_as(value) -> type[Table]:
    """Which kind of table says how a joint is made: the one whose keys it has most of, so that a slip of the pen is
    told by name."""
    kinds = (Weld, Bolts, TopFixing)
    given = set(value) if isinstance(value, dict) else set()
    for kind, word in ((Bolts, "bolts"), (TopFixing, "fixing"), (Weld, "weld")):
        if word in given:
            return kind
    return max(kinds, key=lambda kind: len(given & set(kind.model_fields)))


def _joint(value):
    return made_as(value).model_validate(value)


JointChoice = Annotated[Any, BeforeValidator(_joint), Field(examples=['{ weld = "fillet all round", leg = "1/8 in" }'])]
