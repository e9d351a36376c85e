"""Square, rectangular and round tube: the reader of the job's stock words, and tubes as section arrays.

    square tube 2-1/2 in x 11 ga, A513
    rectangular tube 3 in x 1-1/2 in x 1/8 in, A500 grade C
    round tube 2 in x 0.083 in
    square tube 40 mm x 2 mm, EN 10219 S355

The first size stands upright (`height`), the second lies flat (`width`); the larger is said first, and a
job lays a tube flat with `turned`. A gauge in these words is a tube gauge.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np
import pint

from shopcalc.errors import InputError
from shopcalc.stock import sections
from shopcalc.stock.gauges import wall_of_gauge
from shopcalc.stock.products import HAIR, SHAPES, WALLS, Product, product, read_product
from shopcalc.stock.sections import SectionArrays
from shopcalc.stock.steels import (
    Steel,
    grades,
    mass_per_length,
    steel,
    steel_or_default,
)
from shopcalc.stock.tables import rows
from shopcalc.units import Q, magnitude, read_gauge, read_length, show_length, show_wall

LONGEST_WORDS = 120
THINNEST, THICKEST = 0.5e-3, 12.7e-3
EXAMPLE = "square tube 2-1/2 in x 11 ga, A513"


@dataclass(frozen=True)
class Tube:
    """One tube. Sizes as the words gave them.

    height, width  outside, upright and flat (a round tube's diameter, twice)
    nominal_wall   the wall of the invoice; `wall_word` is how the shop says it
    product        name of the product standard; grade, or None where the words named none
    listed         the size and wall are in the stock list of that product
    measured_wall  a wall measured on the piece, or None
    said           a pipe's words; its name is not its size
    """

    shape: str
    height: pint.Quantity
    width: pint.Quantity
    nominal_wall: pint.Quantity
    wall_word: str
    product: str
    grade: str | None
    listed: bool
    source: str
    provenance: str
    size_words: tuple[str, ...]
    measured_wall: pint.Quantity | None = None
    said: str = ""

    def __hash__(self) -> int:
        # words only: a quantity is turned into base units for its hash, and tubes are looked up again and again
        return hash((self.shape, self.wall_word, self.product, self.grade, self.size_words, self.said))

    def __str__(self) -> str:
        return self.words

    @property
    def words(self) -> str:
        """The tube in words that read back: those of this module, or a pipe's (`shapes.read_stock`)."""
        if self.said:
            return self.said
        sizes = " x ".join((*self.size_words, self.wall_word))
        maker = (
            ""
            if self.product == "unknown"
            else f", {self.product}" + (f" {self.grade}" if self.grade else "")
        )
        return f"{self.shape} tube {sizes}{maker}"

    @property
    def standard(self) -> Product:
        return product(self.product)

    def wall(self, which: str) -> pint.Quantity:
        """The "nominal" (mass), "design" (strength, sag, sway) or "worst" wall (tolerance). InputError for
        another word: there is no wall without a name."""
        if which not in WALLS:
            raise InputError(
                field="wall", value=which, need='"nominal", "design" or "worst"', example='"design"'
            )
        if which not in self._walls:
            self._walls[which] = self._wall(which)
        return self._walls[which]

    @cached_property
    def _walls(self) -> dict[str, pint.Quantity]:
        return {}

    def _wall(self, which: str) -> pint.Quantity:
        H, _, nominal, measured = self.si
        made = self.standard.walls_si(self.shape, H, nominal, which)
        size = float(_measured(self.standard, which, made, nominal, measured))
        if not np.isfinite(size):
            raise InputError(
                field=f"{self.words}: {which} wall",
                value=self.nominal_wall,
                need="a wall and size with a published tolerance",
                example=EXAMPLE,
            )
        size = Q(size, "m").to(self.nominal_wall.units)
        # Twelve digits: the way through metres leaves a hair.
        return Q(float(f"{size.magnitude:.12g}"), str(size.units))

    @cached_property
    def si(self) -> tuple[float, float, float, float]:
        """Height, width, nominal wall, measured wall (nan where there is none), in metres."""
        measured = np.nan if self.measured_wall is None else _metres(self.measured_wall)
        return _metres(self.height), _metres(self.width), _metres(self.nominal_wall), measured

    @cached_property
    def steel(self) -> Steel:
        """The steel of product and grade, or the cautious default with `assumed` saying why."""
        return steel_or_default(self.product, self.grade or self.standard.default_grade or None, self.form)

    @property
    def form(self) -> str:
        return "round" if self.shape == "round" else "shaped"

    @property
    def assumed(self) -> tuple[str, ...]:
        """What was not known, what stands in for it, and how to find out."""
        notes = []
        if self.product == "unknown":
            notes.append(f"{self.words}: origin unknown; ask for the product standard on the certificate")
        elif self.grade is None and self.standard.default_grade and len(grades(self.product)) > 1:
            notes.append(
                f"{self.words}: grade {self.standard.default_grade}, the lowest of {self.product} in the "
                "list; the certificate names the grade"
            )
        if self.steel.assumed:
            notes.append(self.steel.assumed)
        if self.standard.design_rule == "lesser" and self.measured_wall is None:
            notes.append(
                f"{self.words}: wall {show_wall(self.wall('design'))} for strength and stiffness, under the "
                f"nominal {show_wall(self.nominal_wall)}; measure it with a caliper at a cut end, in the "
                "middle of a flat, away from the weld seam"
            )
        if not self.listed:
            notes.append(f"{self.words}: not in the stock list; ask the supplier")
        return tuple(notes)

    @property
    def cautions(self) -> tuple[str, ...]:
        notes = []
        if self.steel.softens_at_welds:
            notes.append(
                f"{self.words}: beside a weld the yield falls to "
                f"{self.steel.Fy_weld.to('ksi').magnitude:.0f} ksi; joints are not checked: ask an engineer"
            )
        more = (self.steel.alpha / steel("A36").alpha).to("").magnitude - 1
        if more > 0.2:
            notes.append(
                f"{self.words}: grows {100 * more:.0f} % more than carbon steel with heat: slot the fixings of the top"
            )
        if self.said.startswith("pipe"):
            notes.append(
                f"{self.words}: a pipe's name is not its size; it measures "
                f"{magnitude(self.height, 'inch'):.3f} in ({magnitude(self.height, 'mm'):.1f} mm) outside"
            )
        return tuple(notes)

    def with_measured_wall(self, wall: pint.Quantity) -> Tube:
        """The same tube with a wall measured on the piece. It lowers the design and worst wall; only for
        mechanical tube, whose design wall is the kit's caution, may it also raise them, up to the nominal.
        InputError for a wall not within a quarter of the nominal: another tube was measured."""
        ratio = (wall / self.nominal_wall).to("").magnitude
        if not 0.75 <= ratio <= 1.25:
            raise InputError(
                field="measured wall",
                value=wall,
                example=f"{show_wall(self.nominal_wall)}",
                need=f"a wall near the nominal {show_wall(self.nominal_wall)}; is it another tube?",
            )
        return replace(self, measured_wall=wall)

    def turned(self) -> Tube:
        """The same tube laid on its other side: height and width swapped. Its words stay."""
        return replace(self, height=self.width, width=self.height)

    def of_size(self, height: pint.Quantity, width: pint.Quantity) -> Tube:
        """A square or rectangular tube of the same wall and steel with other outside sizes, as a shop bends or
        welds it of sheet."""
        alike = abs(_metres(height) - _metres(width)) < HAIR
        return replace(
            self,
            shape="square" if alike else "rectangular",
            height=height,
            width=width,
            size_words=tuple(size_word(s) for s in ((height,) if alike else (height, width))),
            said="",
        )

    def between(self, other: Tube, share: float) -> Tube:
        """The size at a share of the way from this tube to another of the same wall, along a straight taper."""
        if share <= 0 or share >= 1:
            return other if share >= 1 else self
        unit = str(other.height.units)
        sizes = [
            Q((1 - share) * a + share * b, "m").to(unit)
            for a, b in zip(self.si[:2], other.si[:2], strict=True)
        ]
        return self.of_size(*sizes)


# --- reading -------------------------------------------------------------------------------------

_SHAPE_RE = re.compile(r"(square|rectangular|round)\s+tube\s+(.+)", re.IGNORECASE)
_SIZES = {
    "square": ("side", "wall"),
    "rectangular": ("height", "width", "wall"),
    "round": ("diameter", "wall"),
}


def read_tube(text: object, field: str = "tube") -> Tube:
    """A tube from the job's stock words; see the module.

    field  what an error names (`stock.post`)
    Raises InputError: words it cannot read, a gauge that is not a tube gauge, a size or wall that is not in
    the stock list (it names the nearest), a wall too thick for the size. A plain decimal wall of a listed
    size (`x 0.083 in`, `x 2.10 mm`) is taken as it is and marked `listed=False` where the list lacks it.
    """
    if not isinstance(text, str):
        raise InputError(field=field, value=text, need="a tube in words, in quotes", example=EXAMPLE)
    words = " ".join(text.replace("\u00d7", "x").split())
    if len(text) > LONGEST_WORDS or not words:
        raise InputError(
            field=field, value=text, need=f"a tube in at most {LONGEST_WORDS} characters", example=EXAMPLE
        )
    head, _, maker = words.partition(",")
    match = _SHAPE_RE.fullmatch(head.strip())
    if not match:
        raise InputError(
            field=field,
            value=text,
            example=EXAMPLE,
            need="square, rectangular or round tube, its sizes joined by x, and the product standard",
        )
    shape, parts = match[1].lower(), [p.strip() for p in re.split(r"\s*[xX]\s*", match[2].strip())]
    if shape == "square" and len(parts) == 3 and parts[0] == parts[1]:
        parts = parts[1:]
    wanted = _SIZES[shape]
    if len(parts) != len(wanted):
        raise InputError(
            field=field,
            value=text,
            example=_example_of(shape),
            need=f"{len(wanted)} sizes for a {shape} tube: " + " x ".join(wanted),
        )
    sizes = [
        read_length(p, at(field, n), low=0.25, high=12, example=_example_of(shape))
        for p, n in zip(parts[:-1], wanted[:-1], strict=True)
    ]
    height, width = sizes[0], sizes[-1]
    if shape == "rectangular" and _metres(height) <= _metres(width) + HAIR:
        raise InputError(
            field=field,
            value=text,
            example="rectangular tube 3 in x 1-1/2 in x 11 ga, A513",
            need="the larger side first (where it lies flat, the job says so); equal sides are a square tube",
        )
    found, grade = read_product(maker.strip() or None, at(field, "product"))
    wall, plain = _read_wall(parts[-1], at(field, "wall"))
    _check_wall(field, text, shape, width, wall)
    return _matched(field, text, shape, height, width, wall, parts, plain, found, grade)


def at(field: str, part: str) -> str:
    return f"{field}: {part}" if field else part


def _read_wall(word: str, field: str) -> tuple[pint.Quantity, bool]:
    """The wall, and whether it is a plain decimal (a measured or special wall)."""
    if re.search(r"\bg(a|auge|age)\b", word, re.IGNORECASE):
        return wall_of_gauge(read_gauge(word, field), "tube", field), False
    wall = read_length(
        word, field, low=THINNEST / 0.0254, high=THICKEST / 0.0254, example="11 ga, 1/8 in, 0.083 in, 2 mm"
    )
    return wall, "." in word


def _check_wall(field, text, shape, width, wall):
    room = 2 if shape == "round" else 4
    if _metres(wall) * room >= _metres(width):
        raise InputError(
            field=at(field, "wall"),
            value=text,
            example=_example_of(shape),
            need=f"a wall under 1/{room} of the smaller outside size (is the decimal point right?)",
        )


def _matched(field, text, shape, height, width, wall, parts, plain, found, grade) -> Tube:
    listed_as = LISTED_AS.get(found.name, found.name)
    H, B, t = _metres(height), _metres(width), _metres(wall)
    same_shape = [one for one in _list() if one.shape == shape]
    size = [one for one in same_shape if _close(one.si[0], H) and _close(one.si[1], B)]
    mine = size if found.name == "unknown" else [one for one in size if one.product == listed_as]
    hit = next((one for one in mine if _close(one.si[2], t)), None)
    if hit is None and not (mine and plain):
        pool = same_shape if found.name == "unknown" else [o for o in same_shape if o.product == listed_as]
        if mine:
            need = f"a wall that {found.name} has in this size in the stock list, or a plain decimal wall"
            near = sorted(mine, key=lambda one: abs(one.si[2] - t))[:3]
            near += [one for one in size if one.product != listed_as and _close(one.si[2], t)][:1]
        else:
            need = f"a size that {found.name} has in the stock list"
            near = _nearest_sizes(pool or same_shape, H, B, t)
        raise InputError(
            field=field,
            value=text,
            need=f"{need}; nearest: " + "; ".join(one.words for one in near),
            example=near[0].words,
        )
    made = Tube(
        shape=shape,
        height=height,
        width=width,
        nominal_wall=wall,
        wall_word=parts[-1],
        product=found.name,
        grade=grade,
        listed=hit is not None and found.name != "A1085",
        source=hit.source if hit else "shop-practice, wall as given in the job",
        provenance=hit.provenance if hit else "common practice",
        size_words=tuple(parts[:-1]),
    )
    _check_steel(field, text, made)
    return made


# Products that come in the sizes of another. A1085 is made in large sizes: usable, but not `listed`.
LISTED_AS = {"A500-21": "A500", "A1085": "A500", "A513 type 2": "A513"}


def _nearest_sizes(pool: Sequence[Tube], H: float, B: float, t: float, most: int = 3) -> list[Tube]:
    """The nearest sizes, each with its nearest wall."""
    best: dict[tuple[float, float], Tube] = {}
    for one in sorted(pool, key=lambda o: (abs(o.si[0] - H) + abs(o.si[1] - B), abs(o.si[2] - t))):
        best.setdefault(one.si[:2], one)
        if len(best) == most:
            break
    return list(best.values())


def _check_steel(field: str, text: object, made: Tube) -> None:
    try:
        made.steel  # noqa: B018  (a grade that does not exist in this form is refused here)
    except InputError as error:
        raise InputError(field=field, value=text, need=error.need, example=error.example) from None


def _close(a: float, b: float) -> bool:
    return abs(a - b) < 2e-6


def _metres(q) -> float:
    return float(magnitude(q, "m"))


def size_word(size: pint.Quantity) -> str:
    """An outside size in its own unit: sixteenths of an inch where it is that, else two decimals; mm."""
    if str(size.units) not in ("inch", "in"):
        return f"{magnitude(size, 'mm'):.4g} mm"
    sixteenths = 16 * float(magnitude(size, "inch"))
    whole = abs(sixteenths - round(sixteenths)) < 1e-6
    return show_length(size, "inch") if whole else f"{sixteenths / 16:.2f} in"


def _example_of(shape: str) -> str:
    return {
        "square": EXAMPLE,
        "rectangular": "rectangular tube 3 in x 1-1/2 in x 11 ga, A513",
        "round": "round tube 2 in x 1/8 in, A500",
    }[shape]


# --- the stock list ------------------------------------------------------------------------------


def stock_tubes(product: str | None = None, shape: str | None = None) -> tuple[Tube, ...]:
    """Every tube of the stock list, or those of one product and shape. No grade is set: the job says it."""
    if shape is not None and shape not in SHAPES:
        raise InputError(field="shape", value=shape, need="one of " + ", ".join(SHAPES), example="square")
    found = tuple(t for t in _list() if product in (None, t.product) and shape in (None, t.shape))
    if product is not None and not any(t.product == product for t in _list()):
        raise InputError(
            field="product",
            value=product,
            example="A513",
            need="one of " + ", ".join(dict.fromkeys(t.product for t in _list())),
        )
    return found


# The same few words stand in hundreds of rows: each is read once.
@lru_cache(maxsize=1024)
def _listed_size(word: str) -> pint.Quantity:
    return read_length(word, f"tubes.csv: size {word}")


@lru_cache(maxsize=1024)
def _listed_wall(word: str) -> pint.Quantity:
    return _read_wall(word, f"tubes.csv: wall {word}")[0]


@lru_cache(maxsize=1)
def _list() -> tuple[Tube, ...]:
    made = []
    for r in rows("tubes.csv"):
        height = _listed_size(r["height"])
        width = _listed_size(r["width"]) if r["width"] else height
        wall = _listed_wall(r["wall"])
        words = (r["height"], r["width"]) if r["shape"] == "rectangular" else (r["height"],)
        made.append(
            Tube(
                shape=r["shape"],
                height=height,
                width=width,
                nominal_wall=wall,
                wall_word=r["wall"],
                product=r["product"],
                grade=None,
                listed=True,
                source=r["source"],
                provenance=r["provenance"],
                size_words=words,
            )
        )
    return tuple(made)


# --- many tubes as arrays ------------------------------------------------------------------------


def tube_sections(tubes: Iterable[Tube], wall: str) -> SectionArrays:
    """Sections of tubes in their order, made with the named wall: "design" for strength and stiffness,
    "worst" for the tolerance, "nominal" to compare with a catalogue. Mass is from the nominal wall always.

    Raises InputError for an unnamed wall or no tubes.
    """
    tubes = list(tubes)
    if wall not in WALLS:
        raise InputError(field="wall", value=wall, need='"nominal", "design" or "worst"', example='"design"')
    if not tubes:
        raise InputError(field="tubes", value="none", need="at least one tube", example=EXAMPLE)
    parts, order = [], []
    for kind in ("shaped", "round"):
        index = [i for i, t in enumerate(tubes) if t.form == kind]
        if index:
            parts.append(_part([tubes[i] for i in index], wall, kind))
            order += index
    return sections.joined(parts, np.array(order))


def _part(tubes: list[Tube], which: str, kind: str) -> SectionArrays:
    H, B, nominal, measured = np.array([one.si for one in tubes]).T
    rho = np.array([magnitude(one.steel.density, "kg/m**3") for one in tubes])
    names = np.array([one.product for one in tubes])
    t, ro, ri, ro_n, ri_n = (np.empty(len(tubes)) for _ in range(5))
    en = np.zeros(len(tubes), bool)
    for name in dict.fromkeys(names.tolist()):
        here, standard = names == name, product(name)
        made = standard.walls_si(kind, H[here], nominal[here], which)
        t[here] = _measured(standard, which, made, nominal[here], measured[here])
        ro[here], ri[here] = standard.radii_si(t[here], nominal[here])
        ro_n[here], ri_n[here] = standard.radii_si(nominal[here], nominal[here])
        en[here] = standard.convention == "EN"
    if not np.isfinite(t).all():
        tubes[int(np.argmin(np.isfinite(t)))].wall(which)
    if kind == "round":
        return sections.round_tubes(
            H,
            t,
            mass_per_length=sections.mass_round_tube.si(rho=rho, D=H, t=nominal),
            coat_per_length=sections.coat_round_tube.si(D=H),
        )
    area = sections.area_rectangular_tube.si(H=H, B=B, t=nominal, ro=ro_n, ri=ri_n)
    return sections.rectangular_tubes(
        H,
        B,
        t,
        ro,
        ri,
        mass_per_length=mass_per_length.si(A=area, rho=rho),
        coat_per_length=sections.coat_rectangular_tube.si(H=H, B=B, ro=ro_n),
        en=en,
    )


def _measured(standard: Product, which: str, made, nominal, measured):
    """The named wall where some walls were measured (nan: not). A measurement lowers it; where the design
    wall is the kit's caution about an unknown tolerance it replaces it, never beyond what was bought."""
    if which == "nominal":
        return made
    told = np.minimum(measured, nominal if standard.design_rule == "lesser" else made)
    return np.where(np.isnan(measured), made, told)
