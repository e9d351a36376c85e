"""[joints]: how each kind of joint is made."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from shopcalc.table.jobfile.fields import Leg, Length, Table, one_of, size


class Weld(Table):
    weld: Annotated[Literal["fillet all round"], Field(examples=["fillet all round"])]
    leg: Leg
    filler: Annotated[Literal["E60", "E70"], Field(examples=["E70"])] = "E70"


class Bolts(Table):
    """A bolted joint of a branch on a face. hole: how much wider the holes are than the bolts."""

    bolts: one_of(1, 2, 3, 4, 6, 8)
    size: size("inch", 0.1, 1.5, "3/8 in")
    apart: Length | None = None
    hole: size("inch", 0, 0.25, "1/16 in") | None = None
    plate: size("inch", 0.05, 1.5, "3/8 in") | None = None
    comes_apart: Annotated[bool, Field(strict=True, examples=["true"])] = True


def _joint(value):
    if isinstance(value, dict) and "bolts" in value:
        return Bolts.model_validate(value)
    return Weld.model_validate(value)


JointChoice = Annotated[Any, BeforeValidator(_joint), Field(examples=['{ weld = "fillet all round", leg = "1/8 in" }'])]
