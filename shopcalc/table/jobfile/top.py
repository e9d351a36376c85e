"""[top]: the wood, its outline and thickness."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from shopcalc.table.jobfile.fields import Length, Moisture, NewName, Signed, Table, Thickness, size, wood_of


class Insert(Table):
    """A part of the top that lifts out: its mass (counted in that of the top) and where its middle lies."""

    mass: size("lb", 0.05, 2000, "12 lb")
    at: tuple[Signed, Signed] = Field(examples=['["10 in", "0 in"]'])


class Top(Table):
    wood: Annotated[Any, BeforeValidator(wood_of), Field(examples=["white oak"])]
    shape: Annotated[Literal["rectangle", "round"], Field(examples=["rectangle"])] = "rectangle"
    length: Length
    width: Length
    thickness: Thickness
    moisture: Moisture | None = None
    inserts: dict[NewName, Insert] = Field(default_factory=dict, max_length=6, examples=['{ hatch = { mass = "12 lb", at = ["10 in", "0 in"] } }'])
