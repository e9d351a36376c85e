"""A made-up assessment with every kind of row in it: for testing how things print, not what they are."""

from dataclasses import dataclass, field
from types import SimpleNamespace

import numpy as np

from shopcalc.check import ASK, OUTSIDE, OVER, REFUSED, REPORTED, WITHIN, Check
from shopcalc.formula import Formula
from shopcalc.units import Declared, Q


def plain_formula(name, body, symbol, arguments, returns, glossary):
    """A formula outside the registry of the kit's own formulas."""
    return Formula(name=name, body=body, symbol=symbol, meaning=name, source="shop-practice",
                   arguments={n: Declared(u, "a size", "") for n, u in arguments.items()},
                   returns=Declared(returns, "a size", ""), glossary=glossary)


SAG = plain_formula("sag", lambda w, L, E, I: 5 * w * L**4 / (384 * E * I), "delta_max",
                    {"w": "N/m", "L": "m", "E": "Pa", "I": "m**4"}, "m",
                    {"w": "load along the beam", "L": "distance between supports",
                     "E": "stiffness of the material", "I": "second moment of area"})
STRESS = plain_formula("stress", lambda M, S: M / S, "f_b", {"M": "N*m", "S": "m**3"}, "Pa",
                       {"M": "moment", "S": "section modulus"})

INPUTS = {"w": Q(25.0, "plf"), "L": Q(78.0, "inch"), "E": Q(29000.0, "ksi"), "I": Q(0.73, "inch**4")}


@dataclass(frozen=True)
class Resolved:
    field: str
    value: str
    tag: str
    source: str


@dataclass(frozen=True)
class Piece:
    name: str
    mass: float  # kg
    centre: tuple  # m


@dataclass(frozen=True)
class Member:
    name: str
    first: tuple
    second: tuple
    height: float
    width: float
    tube: object = field(default_factory=lambda: SimpleNamespace(words="tube"))

    @property
    def up(self):
        """z for a level bar, x for an upright one; as the table room has it, for bars along the axes."""
        along = np.subtract(self.second, self.first)
        along = along / np.linalg.norm(along)
        across = np.array([1.0, 0, 0] if abs(along[2]) > 0.7072 else [0, 0, 1.0])
        across = across - along * (across @ along)
        return across / np.linalg.norm(across)

    @property
    def words(self):
        return self.tube.words

    straight = 0.0
    plate = None

    def at(self, share):
        """Itself: it does not taper."""
        return self

    @property
    def axis(self):
        return np.subtract(self.second, self.first)

    @property
    def length(self):
        return float(np.linalg.norm(self.axis))

    @property
    def direction(self):
        return self.axis / self.length

    @property
    def upright(self):
        return bool(abs(self.direction[2]) > 0.7072)


JOB_TEXT = """format = 1
[settings]
name = "Table <one> & only"   # a comment with "quotes"
print = "inch"
"""

INCH = 0.0254


def geometry():
    """Two trestles under a 10 ft x 4 ft top, by hand."""
    top = SimpleNamespace(
        shape="rectangle", length=120 * INCH, width=48 * INCH, thickness=1.75 * INCH, underside=28.25 * INCH
    )
    members, points = {}, {}

    def member(name, first, second, height, width):
        members[name] = Member(name, tuple(c * INCH for c in first), tuple(c * INCH for c in second),
                               height * INCH, width * INCH)

    for side, x in (("left", -36.0), ("right", 36.0)):
        member(f"trestle.{side}.head", (x, -18, 27.25), (x, 18, 27.25), 2, 3)
        member(f"trestle.{side}.foot", (x, -20, 1.5), (x, 20, 1.5), 2, 3)
        for end, y in (("front", -12.0), ("back", 12.0)):
            member(f"trestle.{side}.post.{end}", (x, y, 2.5), (x, y, 26.25), 2, 3)
        for end, y in (("front", -18.5), ("back", 18.5)):
            points[f"foot.{side}.{end}"] = (x * INCH, y * INCH, 0.0)
    member("stretcher", (-36, 0, 8), (36, 0, 8), 3, 1.5)
    contacts = [SimpleNamespace(name=n, place=(p[0], p[1], 1.5 * INCH), floor=p) for n, p in points.items()]
    return SimpleNamespace(points=points, members=members, top=top, feet=list(points), contacts=contacts, seats=(), joints=(),
                           foot_contacts=np.array([p[:2] for p in points.values()]))


def checks(system="inch"):
    worked = (SAG.worked(**INPUTS, system=system),
              STRESS.worked(M=Q(22230.0, "lbf*inch"), S=Q(1.62, "inch**3"), system=system))
    return [
        Check(
            "stretcher/bending",
            "bending",
            "stretcher",
            "use",
            WITHIN,
            "standing on a low stretcher",
            Q(661.3, "N*m"),
            Q(1712.4, "N*m"),
            661.3 / 1712.4,
            "AISC 360-22 F7",
            "aisc-360-22, F7-1",
            "retrieved",
            ("B/t <= 1.12 √(E/Fy)",),
            worked[1:],
            ("Fy 32 ksi",),
            ("Tube of unknown origin: ask for a certificate.",),
        ),
        Check(
            "stretcher/sag",
            "sag at the middle",
            "stretcher",
            "sag",
            OVER,
            "everyday spread",
            Q(0.2513, "inch"),
            Q(0.2508, "inch"),
            0.2513 / 0.2508,
            "",
            "shop-practice, sag limits",
            "common practice",
            (),
            worked[:1],
            (),
            (),
            "Deeper tube, shorter span, or a second stretcher.",
        ),
        Check(
            "stretcher/wall buckling",
            "wall buckling",
            "stretcher",
            "use",
            OUTSIDE,
            "shove",
            clause="AISC 360-22 B4.1",
            source="aisc-360-22, B4.1",
            provenance="retrieved",
            detail="The wall is too slender for the clause. Ways forward: a heavier wall, or an engineer "
            "with AISI S100.",
        ),
        Check(
            "trestle.left.post/combined",
            "bending with compression and a long name that has to wrap somewhere",
            "trestle.left.post.front",
            "handling",
            REFUSED,
            "lift one end, turn over, stand on end on a slope",
            detail="Past the critical load no answer exists.",
        ),
        Check(
            "table/goes over",
            "goes over, righting over overturning",
            "table",
            "stability",
            WITHIN,
            "person on edge or corner",
            Q(1.5, ""),
            Q(2.31, ""),
            1.5 / 2.31,
            "",
            "shop-practice, righting",
            "common practice",
            cautions=("Keep people off a lone trestle.",),
        ),
        Check(
            "table/anchor",
            "anchoring in a seismic region",
            "table",
            "information",
            ASK,
            detail="The local code decides whether it must be anchored.",
        ),
        Check(
            "table/mass",
            "mass of the whole table",
            "table",
            "information",
            REPORTED,
            "own weight",
            Q(182.4, "kg"),
        ),
        Check(
            "top/sag at the end",
            "droop of the overhang",
            "top",
            "information",
            REPORTED,
            "own weight",
            Q(0.6, "mm"),
        ),
    ]


def assessment(system="inch", **changes):
    fields = dict(
        job=SimpleNamespace(
            model=SimpleNamespace(people=SimpleNamespace(seats=None, ends=None, spacing=None), base=SimpleNamespace(feet=SimpleNamespace(travel=None))),
            name="Table <one> & only", code="AISC 360-22", method="ASD", text=JOB_TEXT, system=system
        ),
        checks=checks(system),
        not_checked=[
            ("Does the base wobble?", "the frame solver is not there yet"),
            ("How much will the wood move?", "not there yet"),
        ],
        resolved=[
            Resolved("loads.everyday", "20 psf", "common practice", ""),
            Resolved("stock.post", "Fy 32 ksi, Fu 45 ksi", "memory", "aisc-360-22, B4.2"),
        ],
        cautions=("Vent every closed tube before the closing weld.", "Nobody stands under a lifted top."),
        geometry=geometry(),
        pieces=[
            Piece("top", 131.0, (0.0, 0.0, 29.125 * INCH)),
            Piece("trestle.left", 21.4, (-36 * INCH, 0.0, 13.5 * INCH)),
        ],
        data_hash="sha256:0123abcd",
        format=1,
    )
    return SimpleNamespace(**{**fields, **changes})
