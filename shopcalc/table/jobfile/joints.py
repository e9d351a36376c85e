"""[joints]: how each kind of joint is made."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, field_validator, model_validator
from pydantic_core import PydanticCustomError

from shopcalc.errors import InputError
from shopcalc.joints.welds_butt import HOW_PROVED
from shopcalc.stock.fasteners import grades, inserts, wood_screws
from shopcalc.table.jobfile.fields import Leg, Length, Table, Words, one_of, size
from shopcalc.units import tidy

FILLET, BUTT = "fillet all round", "butt all round"
OPEN, CAPPED, MITRED = "open", "capped", "mitred"
_A_BUTT = '{ weld = "butt all round", penetration = "0.06 in", proof = "three pieces sawn and etched, 12 May" }'


class Weld(Table):
    """A weld all round the end of a branch: a fillet on a face, or a butt (square, or along a mitred cut).

    leg                  of a fillet
    penetration, proof   of a butt: the least depth that sectioned test pieces showed, and how; left out, nothing of
                         it counts
    ground               dressed. Of a fillet throat_left says what throat is left, measured or kept by a gauge; of a
                         butt below_flush says how deep it was ground under the faces
    ends                 how the bars' ends are finished where two meet at a corner: open (left out), capped, mitred
    mitre_plate          thickness of a plate between the two halves of a mitred corner
    flare_sides          a branch as wide as its host: its two sides lie on the round corners, filled flush, a fillet on top
    process, volts, amps, travel   how it is welded, for the welding sheet
    """

    weld: Annotated[Literal["fillet all round", "butt all round"], Field(examples=[FILLET])]
    leg: Annotated[Leg | None, Field(validate_default=True, examples=["1/8 in"])] = None
    penetration: size("inch", 0.01, 1, "0.06 in") | None = None
    proof: Words | None = None
    filler: Annotated[Literal["E60", "E70", "E308L", "E309L"], Field(examples=["E70"])] = "E70"
    process: Annotated[Literal["GMAW", "GTAW", "SMAW", "FCAW-G", "FCAW-S"], Field(examples=["GMAW"])] = "GMAW"
    ground: Annotated[bool, Field(strict=True, examples=["true"])] = False
    throat_left: Leg | None = None
    below_flush: size("inch", 0, 0.25, "0.005 in") | None = None
    flare_sides: Annotated[bool, Field(strict=True, examples=["true"])] = False
    ends: Annotated[Literal["open", "capped", "mitred"], Field(examples=[MITRED])] = OPEN
    mitre_plate: size("inch", 0.1, 1, "1/2 in") | None = None
    volts: size("V", 5, 60, "18 V") | None = None
    amps: size("A", 10, 600, "120 A") | None = None
    travel: size("inch/minute", 0.5, 100, "12 in/min") | None = None

    @property
    def butt(self) -> bool:
        return self.weld == BUTT

    @property
    def assumed(self) -> tuple[str, ...]:
        """What was left out and a named default stands for, in words."""
        left = {"filler": f"filler {self.filler}", "process": f"process {self.process}"}
        if self.ends == OPEN and not self.butt:
            left["ends"] = "ends left open where two bars meet at a corner"
        if self.butt and self.ground:
            left["below_flush"] = "ground 1/32 in below flush, the most that AWS D1.1 lets flush grinding take"
        return tuple(f"{words} (not said)" for key, words in left.items() if key not in self.model_fields_set)

    @field_validator("leg")
    @classmethod
    def _leg_of_a_fillet(cls, leg, info):
        if leg is None and info.data.get("weld") == FILLET:
            raise PydanticCustomError("missing", "the leg of the fillet as it is laid")
        return leg

    @model_validator(mode="after")
    def _whole(self):
        self._as_butt() if self.butt else self._as_fillet()
        if self.mitre_plate is not None and self.ends != MITRED:
            raise InputError(field="mitre_plate", value=self.mitre_plate, need='ends = "mitred" beside it: the plate stands '
                             "between two mitred ends", example=_A_BUTT.replace(" }", ', ends = "mitred", mitre_plate = "1/2 in" }'))
        return self

    def _as_fillet(self) -> None:
        for key in ("penetration", "proof", "below_flush"):
            if getattr(self, key) is not None:
                raise InputError(field=key, value=getattr(self, key), need=f'weld = "{BUTT}" beside it: a fillet has a leg',
                                 example=_A_BUTT)
        if self.ends == MITRED:
            raise InputError(field="ends", value=MITRED, need=f'weld = "{BUTT}": a mitred corner has no face to lay a fillet on, '
                             "its weld is a butt along the cut", example=_A_BUTT.replace(" }", ', ends = "mitred" }'))
        if self.ground and self.throat_left is None:
            raise InputError(field="throat_left", value=None, need="the throat that is left of a ground weld, measured",
                             example='{ weld = "fillet all round", leg = "1/8 in", ground = true, throat_left = "0.07 in" }')
        if self.throat_left is not None and not self.ground:
            raise InputError(field="throat_left", value=self.throat_left, need="ground = true beside it",
                             example='{ weld = "fillet all round", leg = "1/8 in", ground = true, throat_left = "0.07 in" }')
        if self.flare_sides and self.process == "GTAW":
            raise InputError(field="process", value="GTAW", example='{ weld = "fillet all round", leg = "1/8 in", process = "GMAW", '
                             "flare_sides = true }", need="a process of table J2.2 for flare welds: GMAW, FCAW-G, FCAW-S or SMAW")

    def _as_butt(self) -> None:
        for key, why in (("leg", "a butt has no leg: what counts of it is its proven penetration"),
                         ("throat_left", "the throat of a butt is its proven penetration; below_flush says how deep it is ground")):
            if getattr(self, key) is not None:
                raise InputError(field=key, value=getattr(self, key), need=why, example=_A_BUTT)
        if self.flare_sides:
            raise InputError(field="flare_sides", value=True, need=f'weld = "{FILLET}": the sides of a branch on a face are filled, '
                             "a butt has none", example='{ weld = "fillet all round", leg = "1/8 in", flare_sides = true }')
        if self.ends == CAPPED:
            raise InputError(field="ends", value=CAPPED, need='"open" (two bars in one line) or "mitred" (a corner): a butt joins '
                             "end to end, with no end left to cap", example=_A_BUTT.replace(" }", ', ends = "mitred" }'))
        if self.penetration is not None and self.proof is None:
            raise InputError(field="proof", value=None, need=HOW_PROVED, example=_A_BUTT)
        if self.proof is not None and self.penetration is None:
            raise InputError(field="penetration", value=None, need="the least penetration that the test pieces showed", example=_A_BUTT)
        if self.below_flush is not None and not self.ground:
            raise InputError(field="below_flush", value=self.below_flush, need="ground = true beside it",
                             example=_A_BUTT.replace(" }", ', ground = true, below_flush = "0.005 in" }'))


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
    leg            of the fillet all round the branch on its end plate
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
    leg: Leg | None = None
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
    rated   pull of an insert in this wood, as its maker gives it: allowable or ultimate;  sideways  the same
            for a level load
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
    sideways_allowable: Rated | None = None
    sideways_ultimate: Rated | None = None

    @model_validator(mode="after")
    def _whole(self):
        if self.fixed is not None and self.fixed > self.count:
            raise InputError(field="fixed", value=self.fixed, need=f"no more than there are, {self.count}", example="fixed = 2")
        for key in ("sideways_allowable", "sideways_ultimate"):
            if getattr(self, key) is not None and self.fixing not in {i.name for i in inserts()}:
                raise InputError(field=key, value=getattr(self, key), need=f"an insert: for {self.fixing} the code gives it",
                                 example='fixing = "insert 5/16", sideways_allowable = "120 lbf"')
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
