"""[base]: the styles, and a base of named points and bars."""

from __future__ import annotations

import re
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from shopcalc.errors import InputError
from shopcalc.stock.fasteners import thread, wood_screws
from shopcalc.table.jobfile.fields import Height, Length, Lies, NewName, Offset, Signed, StockName, Table, one_of, size
from shopcalc.table.jobfile.joints import known_grade
from shopcalc.units import read_quantity, tidy


class Rail(Table):
    """A bar between others, of one of the job's stock names. A rectangular tube stands upright or lies flat."""

    stock: StockName
    lies: Lies = "upright"


class Part(Rail):
    """A bar with a length of its own."""

    length: Length


def _foot_sizes(text) -> tuple:
    parts = [p.strip() for p in re.split(r"\s*[xX]\s*", tidy(text, "", "the outside size at the foot", "1-1/2 in"))]
    if len(parts) > 2:
        raise InputError(field="", value=text, need="one outside size at the foot, or two of a rectangular tube", example="2 in x 1-1/2 in")
    return tuple(read_quantity(p, "inch", "", low=0.25, high=12, example="1-1/2 in") for p in parts)


class Taper(Table):
    """A leg made narrower towards its foot, of bent or welded sheet or of a tube slit and closed: its stock is the size at
    the head, `to` the outside size at the foot; one wall. A square leg tapers both ways; of a rectangular one the larger side
    alone, unless two sizes are named. straight: how much of it at the head stays as large (none where left out)."""

    to: Annotated[tuple, BeforeValidator(_foot_sizes), Field(examples=["1-1/2 in"])]
    straight: Offset | None = None


class Posts(Table):
    """Posts of a trestle: middles apart at the foot bar, and at the head bar where they lean (A shape)."""

    stock: StockName
    count: one_of(1, 2) = 2
    apart: Length | None = None
    apart_top: Offset | None = None
    taper: Annotated[Taper | None, Field(examples=['{ to = "1-1/2 in" }'])] = None
    crossed: Annotated[bool, Field(strict=True, examples=["true"])] = False


class Trestles(Table):
    """Alike welded frames across the table: foot bar, posts, rail between the posts, head bar."""

    count: one_of(2, 3) = 2
    apart: Length
    foot: Part
    posts: Posts
    head: Part
    rail: Rail | None = None


class Stretcher(Rail):
    above_floor: Length
    count: one_of(1, 2) = 1


def _sheet_screw(text) -> str:
    known = [s.name for s in wood_screws() if s.kind == "wood screw"]
    if text not in known:
        raise InputError(field="", value=text, need="a number of a screw, the same for wood and sheet: " + ", ".join(known), example="#10")
    return text


def _stud(text) -> str:
    thread(text, "stud")
    return text


class Feet(Table):
    """height, travel: from the floor to the bar as drawn, and how much further a leveller winds out. stud: its thread, of the
    steel stud_grade (grade 2, or class 4.6 for metric threads, where left out)."""

    kind: Annotated[Literal["leveller", "plain", "pads", "casters"], Field(examples=["leveller"])]
    height: Offset
    from_end: Offset | None = None
    travel: Offset | None = None
    pad: size("inch", 0.1, 12, "1-1/2 in") | None = None
    stud: Annotated[str, BeforeValidator(_stud), Field(examples=["3/8-16"])] | None = None
    stud_grade: Annotated[str, BeforeValidator(known_grade), Field(examples=["grade 5"])] | None = None


class Legs(Table):
    """Four legs: middles apart along and across at the top, and how far each foot stands out (splay)."""

    stock: StockName
    along: Length
    across: Length
    splay_along: Offset | None = None
    splay_across: Offset | None = None
    taper: Annotated[Taper | None, Field(examples=['{ to = "1-1/2 in" }'])] = None


class LegStretchers(Rail):
    """Low bars between the legs. middle: stock of the middle bar of an H, where it is another; narrower than the side
    bars it can be welded all round."""

    shape: Annotated[Literal["H", "box"], Field(examples=["H"])]
    above_floor: Length
    middle: StockName | None = None


class Arms(Rail):
    """Arms round a column, each reaching out from its axis."""

    count: one_of(3, 4, 5, 6, 8) = 4
    reach: Length


class FootPlate(Table):
    """A steel plate that a column stands on, in place of foot arms: length along the table and width across, or the
    diameter of a round one."""

    stock: StockName
    length: Length | None = None
    width: Length | None = None
    diameter: Length | None = None


class CFrame(Table):
    """A C seen from the end: foot bar, one post at the back, head bar that reaches forward from it."""

    count: one_of(2, 3) = 2
    apart: Length
    foot: Part
    post: Rail
    head: Part
    post_from_back: Offset


class SheetScrews(Table):
    """Self-tapping screws that hold the sheet of a podium, all round each side. every: from screw to screw."""

    size: Annotated[str, BeforeValidator(_sheet_screw), Field(examples=["#10"])]
    every: size("inch", 0.5, 48, "4 in")


class Podium(Table):
    """A framed box: length along the table, width across, of one bar; clad with sheet on its four sides. screws: of a sheet
    that is screwed; rated: what tape or glue may carry along an edge, as its maker says."""

    count: one_of(2) = 2
    apart: Length
    length: Length
    width: Length
    frame: Rail
    sheet: size("inch", 0.015, 0.25, "0.0598 in") | None = None
    fixing: Annotated[Literal["welded all round", "screwed", "taped"], Field(examples=["screwed"])] = "screwed"
    screws: Annotated[SheetScrews | None, Field(examples=['{ size = "#10", every = "4 in" }'])] = None
    rated: size("lbf/inch", 0.1, 5000, "20 lbf/inch") | None = None


class TrestleBase(Table):
    style: Literal["trestles"]
    height: Height
    trestles: Trestles
    stretcher: Stretcher
    feet: Feet


class LegBase(Table):
    style: Literal["four legs"]
    height: Height
    legs: Legs
    rails: Rail
    stretchers: LegStretchers | None = None
    feet: Feet


class PedestalBase(Table):
    style: Literal["pedestal"]
    height: Height
    column: Rail
    spider: Arms
    foot: Arms | None = None
    foot_plate: Annotated[FootPlate | None, Field(examples=['{ stock = "plate", length = "26 in", width = "26 in" }'])] = None
    feet: Feet


class CFrameBase(Table):
    style: Literal["C-frames"]
    height: Height
    frames: CFrame
    stretcher: Stretcher
    feet: Feet


class PodiumBase(Table):
    style: Literal["podiums"]
    height: Height
    podiums: Podium
    stretcher: Stretcher
    feet: Feet


class NamedBar(Rail):
    first: StockName
    second: StockName
    piece: NewName = "base"


class NamedBase(Table):
    """A base that no style describes: named points (x, y, z), bars between them, feet and bars that carry the top."""

    style: Literal["points"]
    height: Height
    points: dict[NewName, tuple[Signed, Signed, Signed]]
    bars: dict[NewName, NamedBar]
    standing_on: tuple[StockName, ...]
    carried_by: tuple[StockName, ...]
    feet: Feet


Base = Annotated[TrestleBase | LegBase | PedestalBase | CFrameBase | PodiumBase | NamedBase,
                 Field(discriminator="style")]
BASES = (TrestleBase, LegBase, PedestalBase, CFrameBase, PodiumBase, NamedBase)
STYLES = ("trestles", "four legs", "pedestal", "C-frames", "podiums", "points")
