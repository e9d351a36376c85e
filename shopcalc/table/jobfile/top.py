"""[top]: the wood, its outline and thickness; how it is cut, glued, inlaid and finished."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from shopcalc.table.jobfile.fields import Length, Moisture, NewName, Signed, Table, Thickness, share_of, size, wood_of


class Insert(Table):
    """A part of the top that lifts out: its mass (counted in that of the top) and where its middle lies."""

    mass: size("lb", 0.05, 2000, "12 lb")
    at: tuple[Signed, Signed] = Field(examples=['["10 in", "0 in"]'])


class Boards(Table):
    """How the top is glued up: width of the boards as bought, widest pass of the planer, what is cut away for defects, what one clamp
    gives, what the glue asks for."""

    rough_width: size("inch", 1.5, 40, "6-1/2 in") | None = None
    planer: size("inch", 1.5, 80, "20 in") | None = None
    waste: share_of(0, 80, "15 %") | None = None
    clamp: size("lbf", 50, 20000, "1000 lbf") | None = None
    pressure: size("psi", 10, 250, "200 psi") | None = None


class Pocket(Table):
    """A rectangular pocket in a face of the top: length along the grain, width across it, depth, where its middle lies."""

    length: Length
    width: Length
    depth: size("inch", 0.01, 5, "3/8 in")
    at: tuple[Signed, Signed] = Field(examples=['["10 in", "0 in"]'])
    face: Annotated[Literal["upper", "under"], Field(examples=["upper"])] = "upper"
    filled: Annotated[Literal["resin", "nothing"], Field(examples=["resin"])] = "resin"


class Resin(Table):
    """What fills pockets: density, parts of the mix by mass, the deepest pour its maker allows, what stays in the cups."""

    density: size("kg/m**3", 500, 3000, "1.1 g/cm^3") | None = None
    parts: dict[NewName, Annotated[float, Field(gt=0, lt=1e5, strict=True)]] = Field(default_factory=dict, max_length=6,
                                                                                     examples=["{ resin = 100.0, hardener = 45.0 }"])
    pour: size("inch", 0.02, 6, "1/2 in") | None = None
    waste: share_of(0, 100, "10 %") | None = None


class Coats(Table):
    """Finish of the top: coats, dry film of one, solids by volume, part that lands on the work."""

    coats: Annotated[int, Field(strict=True, ge=1, le=20, examples=["3"])] | None = None
    film: size("inch", 0.0001, 0.02, "0.0015 in") | None = None
    solids: share_of(1, 100, "35 %") | None = None
    transfer: share_of(5, 100, "65 %") | None = None


class Measured(Table):
    """How flat the top is: gap under a straightedge along the grain (bow) and across it (cup), one corner off the other three (twist)."""

    bow: size("inch", 0, 6, "1/4 in") | None = None
    cup: size("inch", 0, 6, "1/4 in") | None = None
    twist: size("inch", 0, 6, "1/4 in") | None = None


class Halves(Table):
    """A top of two pieces: the line where they meet, and what keeps it from folding there.

    joint       "along": the line runs along the grain (y = at), "across": across it (x = at)
    connectors  how many lie in the line, and the bending stiffness of each, as loaded in the shop
    rated       allowable moment of each, by its maker in this wood and thickness; left out, the moment is told and nothing compared
    """

    joint: Annotated[Literal["along", "across"], Field(examples=["across"])]
    at: Signed
    connectors: Annotated[int, Field(strict=True, ge=1, le=60, examples=["6"])]
    each: size("N*m/rad", 1, 1e7, "50 lbf*ft/deg")
    rated: size("N*m", 0.1, 1e5, "40 lbf*ft") | None = None


class Undercut(Table):
    """A bevel underneath: how far in from the edge it begins, what thickness is left at the edge, and which edges have it."""

    width: size("inch", 0.1, 40, "6 in")
    edge: size("inch", 0.2, 6, "3/4 in")
    sides: Annotated[Literal["all", "long sides", "ends"], Field(examples=["all"])] = "all"


class Top(Table):
    """driest, dampest  moisture of the wood in the driest and the dampest season where it stands;  cut  of the boards
    ends   what is fixed round the edge;  grain  its slant from the length, anticlockwise seen from above (90 deg: crosswise)"""

    wood: Annotated[Any, BeforeValidator(wood_of), Field(examples=["white oak"])]
    shape: Annotated[Literal["rectangle", "round"], Field(examples=["rectangle"])] = "rectangle"
    length: Length
    width: Length
    thickness: Thickness
    moisture: Moisture | None = None
    driest: Moisture | None = None
    dampest: Moisture | None = None
    cut: Annotated[Literal["flat", "quarter", "mixed"], Field(examples=["flat"])] | None = None
    ends: Annotated[Literal["free", "sliding breadboard", "glued breadboard", "mitred frame"], Field(examples=["free"])] = "free"
    boards: Boards = Boards()
    pockets: dict[NewName, Pocket] = Field(default_factory=dict, max_length=12,
                                           examples=['{ river = { length = "60 in", width = "3 in", depth = "3/8 in", at = ["0 in", "0 in"] } }'])
    resin: Resin = Resin()
    finish: Coats = Coats()
    measured: Measured = Measured()
    halves: Halves | None = None
    undercut: Undercut | None = None
    grain: size("deg", -90, 90, "30 deg") | None = None
    inserts: dict[NewName, Insert] = Field(default_factory=dict, max_length=6, examples=['{ hatch = { mass = "12 lb", at = ["10 in", "0 in"] } }'])
