"""[top]: the wood, its outline and thickness."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from shopcalc.table.jobfile.fields import Length, Moisture, Table, Thickness, wood_of


class Top(Table):
    wood: Annotated[Any, BeforeValidator(wood_of), Field(examples=["white oak"])]
    shape: Annotated[Literal["rectangle", "round"], Field(examples=["rectangle"])] = "rectangle"
    length: Length
    width: Length
    thickness: Thickness
    moisture: Moisture | None = None
