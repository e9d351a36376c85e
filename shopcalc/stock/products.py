"""Product standards of tube: which wall counts, how far the product may stray, how round its corners are.

Three walls, never confused: *nominal* (the word on the invoice; mass), *design* (strength, sag, sway) and
*worst* (the least wall the tolerance lets through).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import pint

from shopcalc.errors import InputError
from shopcalc.formula import formula
from shopcalc.stock.tables import nearest_words, rows
from shopcalc.units import Length, Q, Ratio, read_length

WALLS = ("nominal", "design", "worst")
SHAPES = ("square", "rectangular", "round")

LONGEST_WORDS = 60

# A hair for comparing sizes that came through inches and millimetres.
HAIR = 1e-8


# Bounds of a row that holds for every size.
EVERY = (0.0, np.inf)


@dataclass(frozen=True)
class Tolerance:
    """One row: `value` times what it is `of` ("wall", "outside", "length" or "1" = a length in metres),
    for outside sizes and walls over..to, in metres."""

    what: str
    shape: str
    outside: tuple[float, float]
    wall: tuple[float, float]
    value: float
    of: str
    at_least: float
    at_most: float
    source: str
    provenance: str

    def covers(self, outside, wall):
        return (
            (outside > self.outside[0] + HAIR)
            & (outside <= self.outside[1] + HAIR)
            & (wall > self.wall[0] + HAIR)
            & (wall <= self.wall[1] + HAIR)
        )

    def size(self, outside, wall, length=np.nan):
        base = {"wall": wall, "outside": outside, "length": length, "1": 1.0}[self.of]
        return np.minimum(np.maximum(self.value * base, self.at_least), self.at_most)


@dataclass(frozen=True)
class Product:
    """A product standard.

    design_rule    "factor" (design wall = factor times nominal) or "lesser" (the lesser of factor times
                   nominal and the least wall of the tolerance)
    outside_radius, inside_radius  of a corner, in walls
    convention     "AISC" or "EN": how J and the torsion modulus are tabulated
    default_grade  the cautious grade where the words name none; "" where none is guaranteed
    """

    name: str
    words: tuple[str, ...]
    title: str
    design_rule: str
    design_factor: float
    outside_radius: float
    inside_radius: float
    convention: str
    default_grade: str
    source: str
    provenance: str
    note: str
    tolerances: tuple[Tolerance, ...]

    def rows_of(self, what: str, shape: str) -> list[Tolerance]:
        form = "round" if shape == "round" else "shaped"
        return [t for t in self.tolerances if t.what == what and t.shape in (form, "any")]

    def tolerance_si(self, what: str, shape: str, outside, wall, length=np.nan):
        """Array kernel, SI: the tolerance `what` for arrays of outside size and wall; nan where the
        standard's table (as the kit has it) gives none."""
        outside, wall = np.broadcast_arrays(np.asarray(outside, float), np.asarray(wall, float))
        found = np.full(outside.shape, np.nan)
        for t in self.rows_of(what, shape):
            here = t.covers(outside, wall) & np.isnan(found)
            found = np.where(here, t.size(outside, wall, length), found)
        return found

    def walls_si(self, shape: str, outside, wall, which: str):
        """Array kernel, SI: the named wall. outside is the larger outside size."""
        wall = np.asarray(wall, float)
        if which == "nominal":
            return wall * np.ones_like(np.asarray(outside, float))
        least = wall - self.tolerance_si("wall minus", shape, outside, wall)
        design = wall_by_factor.si(k=self.design_factor, t=wall)
        if self.design_rule == "lesser":
            design = np.minimum(design, least)
        if which == "design":
            return design * np.ones_like(np.asarray(outside, float))
        return np.minimum(least, design)

    def radii_si(self, wall, nominal):
        """Array kernel, SI: outside and inside corner radius of a wall. EN corners grow with the nominal
        wall: 2.0 T and 1.0 T to 6 mm, 2.5 T and 1.5 T above to 10 mm."""
        wall = np.asarray(wall, float)
        more = 0.5 * (np.asarray(nominal, float) > 6e-3 + HAIR) if self.convention == "EN" else 0.0
        return (self.outside_radius + more) * wall, (self.inside_radius + more) * wall


@lru_cache(maxsize=1)
def products() -> dict[str, Product]:
    """Every product standard of the list, by its name."""
    return {r["product"]: _product(r) for r in rows("products.csv")}


def product(name: str) -> Product:
    """A product by its name in the list. Raises InputError with the names."""
    found = products().get(name)
    if found is None:
        raise InputError(field="product", value=name, need="one of " + ", ".join(products()), example="A500")
    return found


def read_product(text: str | None, field: str = "product") -> tuple[Product, str | None]:
    """Product and grade from words such as `A500 grade C`, `A513 1020`, `EN 10219 S355J2H`, `304 stainless`.

    No words mean a tube of unknown origin. The grade is None where none was named.
    Raises InputError for an unknown product or grade.
    """
    from shopcalc.stock.steels import grades

    if text is None or not text.strip():
        return product("unknown"), None
    if len(text) > LONGEST_WORDS:
        raise InputError(
            field=field, value=text, need="a product standard of the list", example="A500 grade C"
        )
    said = " ".join(text.replace(".", " ").replace(",", " ").split())
    best: tuple[Product, str] | None = None
    for p in products().values():
        for word in p.words:
            head = said[: len(word)]
            if head.lower() == word.lower() and (len(said) == len(word) or said[len(word)] == " "):
                if best is None or len(word) > len(best[1]):
                    best = (p, word)
    if best is None:
        known = {w.lower(): w for p in products().values() for w in p.words}
        near = [known[w] for w in nearest_words(said, known, 4)]
        raise InputError(
            field=field,
            value=text,
            need="a product standard of the list; nearest: " + ", ".join(near),
            example="A500 grade C, A513, EN 10219 S235",
        )
    found, word = best
    rest = [w for w in said[len(word) :].split() if w.lower() not in ("grade", "gr")]
    if not rest:
        return found, None
    listed = grades(found.name if found.name != "A513 type 2" else "A513")
    wanted = rest[0].upper()
    for grade in listed:
        # S355J2H names the impact class and the hollow section besides the strength.
        if wanted == grade or (grade.startswith("S") and wanted.startswith(grade)):
            if len(rest) == 1:
                return found, grade
    raise InputError(
        field=field,
        value=text,
        need=f"a grade of {found.name}: " + ", ".join(listed),
        example=f"{found.name} {listed[0]}",
    )


def wall(
    which: str,
    t: pint.Quantity,
    product_name: str,
    shape: str = "square",
    outside: pint.Quantity | None = None,
) -> pint.Quantity:
    """The nominal, design or worst wall of a nominal wall: wall("design", Q(0.125, "in"), "A500").

    outside  the larger outside size, where the tolerance depends on it (round mechanical tube)
    Raises InputError for another word, product or shape, or where the kit has no tolerance.
    """
    if which not in WALLS:
        raise InputError(field="wall", value=which, need='"nominal", "design" or "worst"', example="design")
    if shape not in SHAPES:
        raise InputError(field="shape", value=shape, need="one of " + ", ".join(SHAPES), example="square")
    p = product(product_name)
    if outside is None and any(r.outside != EVERY for r in p.rows_of("wall minus", shape)):
        raise InputError(
            field="wall: outside",
            value=None,
            need=f"the outside size that the wall of {shape} {product_name} tube depends on",
            example="outside=Q(2, 'in')",
        )
    big = 1.0 if outside is None else outside.to("m").magnitude
    made = float(p.walls_si(shape, big, t.to("m").magnitude, which))
    if not np.isfinite(made):
        raise InputError(
            field=f"wall: {product_name}",
            value=t,
            need="a wall and size with a published tolerance",
            example="0.120 in in a 2 in tube",
        )
    return Q(made, "m").to(t.units)


def tolerance(
    what: str,
    product_name: str,
    *,
    outside: pint.Quantity | None = None,
    t: pint.Quantity | None = None,
    length: pint.Quantity | None = None,
    shape: str = "square",
) -> pint.Quantity:
    """How far a product may stray: what = "wall minus", "wall plus", "outside", "corner greatest",
    "corner least", "straightness" (over `length`), "twist in 3 ft".

    Give the sizes that the tolerance depends on. Raises InputError where the kit has no row.
    """
    p = product(product_name)
    table = p.rows_of(what, shape)
    sizes = {"outside": outside, "t": t, "length": length}
    for name, depends in (
        ("outside", any(r.of == "outside" or r.outside != EVERY for r in table)),
        ("t", any(r.of == "wall" or r.wall != EVERY for r in table)),
        ("length", any(r.of == "length" for r in table)),
    ):
        if depends and sizes[name] is None:
            raise InputError(
                field=f"tolerance: {name}",
                value=None,
                need=f"the size that {what} depends on",
                example=f"{name}=Q(2, 'in')",
            )
    # Where nothing depends on a size, any stands for it.
    big, thin, long = (1.0 if q is None else float(q.to("m").magnitude) for q in sizes.values())
    row = next((r for r in table if r.covers(big, thin)), None)
    if row is None:
        known = dict.fromkeys(r.what for r in p.tolerances)
        raise InputError(
            field=f"tolerance: {product_name}",
            value=what,
            need="one of " + ", ".join(known) + ", within the sizes of its table",
            example="wall minus",
        )
    return Q(float(row.size(big, thin, long)), "m")


def limit_wall(
    end: str,
    t: pint.Quantity,
    product_name: str,
    shape: str = "square",
    outside: pint.Quantity | None = None,
) -> pint.Quantity:
    """The "least" or "greatest" wall that the tolerance of a product lets through."""
    if end not in ("least", "greatest"):
        raise InputError(field="limit_wall", value=end, need='"least" or "greatest"', example="least")
    what = "wall minus" if end == "least" else "wall plus"
    change = tolerance(what, product_name, outside=outside, t=t, shape=shape)
    return wall_less_minus(t=t, minus=change) if end == "least" else wall_with_plus(t=t, plus=change)


def _product(r: dict[str, str]) -> Product:
    tolerances = tuple(_tolerance(t) for t in rows("tolerances.csv") if t["product"] == r["product"])
    return Product(
        name=r["product"],
        words=tuple(r["words"].split("|")),
        title=r["title"],
        design_rule=r["design_rule"],
        design_factor=float(r["design_factor"]),
        outside_radius=float(r["outside_radius"]),
        inside_radius=float(r["inside_radius"]),
        convention=r["convention"],
        default_grade=r["default_grade"],
        source=r["source"],
        provenance=r["provenance"],
        note=r["note"],
        tolerances=tolerances,
    )


@lru_cache(maxsize=1024)
def _bound(word: str, key: str) -> float:
    """In metres; the same few words stand in many rows."""
    return float(read_length(word, f"tolerances.csv: {key}").to("m").magnitude)


def _tolerance(r: dict[str, str]) -> Tolerance:
    def bound(key, empty):
        return _bound(r[key], key) if r[key] else empty

    value = bound("value", 0.0) if r["of"] == "1" and r["value"][-1].isalpha() else float(r["value"])
    return Tolerance(
        what=r["what"],
        shape=r["shape"],
        outside=(bound("outside_over", EVERY[0]), bound("outside_to", EVERY[1])),
        wall=(bound("wall_over", EVERY[0]), bound("wall_to", EVERY[1])),
        value=value,
        of=r["of"],
        at_least=bound("at_least", 0.0),
        at_most=bound("at_most", np.inf),
        source=r["source"],
        provenance=r["provenance"],
    )


@formula(symbol="t_des", source="aisc-360-22, B4.2")
def wall_by_factor(k: Ratio, t: Length) -> Length:
    """Design wall as a fixed part of the nominal wall: 0.93 for A500, 1 for A1085 and EN tube.

    k  part of the nominal wall that counts
    t  nominal wall
    """
    return k * t


@formula(symbol="t_min", source="mill-wall-range, p. 15")
def wall_less_minus(*, t: Length, minus: Length) -> Length:
    """Least wall of the tolerance.

    t      nominal wall
    minus  how far under the nominal the product may be
    """
    return t - minus


@formula(symbol="t_max", source="mill-wall-range, p. 15")
def wall_with_plus(*, t: Length, plus: Length) -> Length:
    """Greatest wall of the tolerance.

    t     nominal wall
    plus  how far over the nominal the product may be
    """
    return t + plus
