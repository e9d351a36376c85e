"""[limits], [floor], [evidence], [prices], [loads]: what is asked of the table, where it stands, what is known of it."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from shopcalc.table.jobfile.fields import SpanRatio, Table, Words, price_of, size


class Limits(Table):
    """Each is the job's choice; what is left out takes the named default and is printed as assumed."""

    sag: SpanRatio | None = None
    overhang: size("inch", 0.01, 3, "1/4 in") | None = None
    righting: Annotated[float | None, Field(ge=1, le=5, strict=True, examples=["1.5"])] = None
    house_sway: size("inch", 0.001, 5, "1/4 in") | None = None
    house_sway_dated: Words | None = None


class Floor(Table):
    slope: size("", 0, 0.1, "1/8 in/ft") | None = None


class Evidence(Table):
    """What was measured or certified, by stock name."""

    walls: dict[str, size("inch", 0.02, 0.5, "0.118 in")] = Field(default_factory=dict, examples=['{ post = "0.118 in" }'])
    weighed_top: size("lb", 1, 5000, "310 lb") | None = None


class Prices(Table):
    tube: Annotated[Any, BeforeValidator(price_of), Field(examples=["1.20 USD/lb"])] = None


class LoadChoice(Table):
    value: Annotated[Any, Field(examples=["20 psf"])]
    reason: Words
