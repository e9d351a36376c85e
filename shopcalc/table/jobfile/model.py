"""The whole job file."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from shopcalc.table.jobfile.base import Base
from shopcalc.table.jobfile.fields import NewName, Table, Words, stock_of
from shopcalc.table.jobfile.joints import JointChoice
from shopcalc.table.jobfile.top import Top
from shopcalc.table.jobfile.use import Assembly, Evidence, Floor, Limits, LoadChoice, People, Prices

CODE = "AISC 360-22"


class Settings(Table):
    code: Annotated[Literal["AISC 360-22"], Field(examples=[CODE])] = CODE
    method: Annotated[Literal["ASD", "LRFD"], Field(examples=["ASD"])] = "ASD"
    units: Annotated[Literal["inch", "mm"], Field(examples=["inch"])] = "inch"
    public_use: Annotated[bool, Field(strict=True, examples=["true"])] = False


class Model(Table):
    """The whole file, before stock names are looked up."""

    format: Annotated[Literal[1], Field(examples=["1"])]
    job: Words
    settings: Settings = Settings()
    stock: dict[NewName, Annotated[Any, BeforeValidator(stock_of)]] = Field(
        examples=['{ post = "square tube 2-1/2 in x 11 ga, A513" }'], min_length=1)
    top: Top
    base: Base
    joints: dict[str, JointChoice]
    loads: dict[str, LoadChoice] = Field(default_factory=dict)
    limits: Limits = Limits()
    floor: Floor = Floor()
    people: People = People()
    assembly: Assembly = Assembly()
    evidence: Evidence = Evidence()
    prices: Prices = Prices()
