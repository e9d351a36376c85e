"""Pipe, angle, channel, bar and plate in the job's stock words; `read_stock` reads these and tube.

    pipe 1-1/2 standard, A53 B            angle 2 in x 2 in x 1/8 in, A36
    channel C3x4.1, A36                   channel 2 x 1 x 3/16, A36
    flat bar 2 in x 1/4 in, A36           square bar 1/2 in, A36
    round bar 5/8 in, A36                 plate 3/8 in, A36
    sheet 16 ga stainless sheet, A554 304

A pipe's name is not its size: 1-1/2 pipe measures 1.900 in outside. A flat bar stands as it is said (first
size upright); an angle's first leg is upright; a channel's web is upright.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np
import pint

from shopcalc.errors import InputError
from shopcalc.formula import formula
from shopcalc.stock import open_sections, sections
from shopcalc.stock.gauges import wall_of_gauge
from shopcalc.stock.products import WALLS
from shopcalc.stock.sections import SectionArrays
from shopcalc.stock.steels import Steel, grades, steel
from shopcalc.stock.tables import nearest_words, rows
from shopcalc.stock.tubes import LONGEST_WORDS, Tube, at, read_tube, tube_sections
from shopcalc.units import Density, Length, MassPerArea, magnitude, read_gauge, read_length

KINDS = ("tube", "pipe", "angle", "channel", "flat bar", "square bar", "round bar", "plate", "sheet")
EXAMPLE = "flat bar 2 in x 1/4 in, A36"


@dataclass(frozen=True)
class Shape:
    """An angle, channel or bar, or the thickness of a plate or sheet.

    kind    "angle", "channel", "flat bar", "square bar", "round bar", "plate" or "sheet"
    height, width, thickness  upright, flat, and of the metal; a plate has only its thickness (others None)
    flange_thickness, slope   of a channel
    listed  the size is in the stock list
    """

    kind: str
    height: pint.Quantity | None
    width: pint.Quantity | None
    thickness: pint.Quantity
    words: str
    product: str
    grade: str
    listed: bool
    source: str
    provenance: str
    assumed: tuple[str, ...] = ()
    flange_thickness: pint.Quantity | None = None
    slope: float = 0.0

    def __str__(self) -> str:
        return self.words

    @cached_property
    def steel(self) -> Steel:
        return steel(self.product, self.grade)

    def section(self) -> SectionArrays:
        """Its properties as a batch of one. InputError for a plate or sheet."""
        return stock_sections([self], "design")

    def turned(self) -> Shape:
        """A bar laid on its other side. InputError for an angle or channel: describe it as it lies."""
        if self.kind not in ("flat bar", "square bar", "round bar"):
            raise InputError(
                field=self.words, value=self.kind, need="a bar or a tube to turn", example=EXAMPLE
            )
        return replace(self, height=self.width, width=self.height)


# --- reading -------------------------------------------------------------------------------------


def read_stock(text: object, field: str = "stock") -> Tube | Shape:
    """Any piece of stock from the job's words; see the module and `tubes`.

    Raises InputError for words it cannot read or sizes that are not in the stock list (it names the nearest).
    """
    if not isinstance(text, str):
        raise InputError(
            field=field, value=text, need="a piece of stock in words, in quotes", example=EXAMPLE
        )
    words = " ".join(text.replace("\u00d7", "x").split())
    if len(text) > LONGEST_WORDS or not words:
        raise InputError(
            field=field, value=text, need=f"stock in at most {LONGEST_WORDS} characters", example=EXAMPLE
        )
    head, _, maker = words.partition(",")
    first = head.lower()
    if re.match(r"(square|rectangular|round) tube\b", first):
        return read_tube(text, field)
    for kind, reader in _READERS.items():
        if re.match(rf"{kind}\b", first):
            return reader(field, text, head[len(kind) :].strip(), maker.strip())
    raise InputError(
        field=field, value=text, need="stock the kit knows: " + ", ".join(KINDS), example=EXAMPLE
    )


def _pipe(field: str, text: str, rest: str, maker: str) -> Tube:
    match = re.fullmatch(r"(\d+(?:-\d+/\d+)?|\d+/\d+)(?: in)? (.+)", rest)
    weight = {
        "std": "standard",
        "xs": "extra strong",
        "sch 40": "standard",
        "schedule 40": "standard",
        "sch 80": "extra strong",
        "schedule 80": "extra strong",
    }
    table = {(r["size"], r["weight"]): r for r in rows("pipes.csv")}
    key = (match[1], weight.get(match[2].lower(), match[2].lower())) if match else ("", "")
    row = table.get(key)
    if row is None:
        sizes = ", ".join(dict.fromkeys(r["size"] for r in table.values()))
        raise InputError(
            field=field,
            value=text,
            need=f"a pipe of the list: {sizes}; standard or extra strong",
            example="pipe 1-1/2 standard, A53 B",
        )
    product, grade = _maker(field, text, maker or "A53", ("A53",))
    outside = read_length(row["outside"], "pipes.csv")
    return Tube(
        shape="round",
        height=outside,
        width=outside,
        nominal_wall=read_length(row["wall"], "pipes.csv"),
        wall_word=row["wall"],
        product=product,
        grade=grade,
        listed=True,
        source=row["source"],
        provenance=row["provenance"],
        size_words=(row["outside"],),
        said=f"pipe {key[0]} {key[1]}, {product}" + (f" {grade}" if grade else ""),
    )


def _angle(field: str, text: str, rest: str, maker: str) -> Shape:
    H, B, t = _lengths(field, text, rest, 3, "angle 2 in x 2 in x 1/8 in, A36")
    found = [(r, (r["long_leg"], r["short_leg"]), r["thickness"]) for r in rows("angles.csv")]
    row, note = _listed(field, text, found, sorted((H, B), reverse=True), t, "angle")
    return _shape("angle", field, text, rest, maker, row, note, height=H, width=B, thickness=t)


def _channel(field: str, text: str, rest: str, maker: str) -> Shape:
    name = re.sub(r"\s*x\s*", "x", rest.lower().replace(" in", ""))
    table = {r["name"].lower().replace(" ", ""): r for r in rows("channels.csv")}
    row = table.get(name)
    if row is None:
        known = {k: r["name"] for k, r in table.items()}
        raise InputError(
            field=field,
            value=text,
            example="channel C3x4.1, A36",
            need="a channel of the list; nearest: "
            + ", ".join(known[k] for k in nearest_words(name[:40], known, 4)),
        )
    d, b, w, f = (read_length(row[k], "channels.csv") for k in ("depth", "flange", "web", "flange_thickness"))
    top, _, bottom = row["slope"].partition("/")
    return _shape(
        "channel",
        field,
        text,
        row["name"],
        maker,
        row,
        (),
        height=d,
        width=b,
        thickness=w,
        flange_thickness=f,
        slope=float(top) / float(bottom or 1),
    )


def _flat_bar(field: str, text: str, rest: str, maker: str) -> Shape:
    H, B = _lengths(field, text, rest, 2, EXAMPLE)
    found = [(r, (r["width"],), r["thickness"]) for r in rows("bars.csv") if r["kind"] == "flat bar"]
    row, note = _listed(field, text, found, [max(H, B)], min(H, B), "flat bar")
    return _shape("flat bar", field, text, rest, maker, row, note, height=H, width=B, thickness=min(H, B))


def _one_size(kind: str):
    key = {"square bar": "width", "round bar": "width", "plate": "thickness"}[kind]

    def read(field: str, text: str, rest: str, maker: str) -> Shape:
        (size,) = _lengths(field, text, rest, 1, f"{kind} 1/2 in, A36")
        found = [(r, (), r[key]) for r in rows("bars.csv") if r["kind"] == kind]
        row, note = _listed(field, text, found, [], size, kind)
        side = None if kind == "plate" else size
        return _shape(kind, field, text, rest, maker, row, note, height=side, width=side, thickness=size)

    return read


def _sheet(field: str, text: str, rest: str, maker: str) -> Shape:
    if re.search(r"\bg(a|auge|age)\b", rest, re.IGNORECASE):
        word = read_gauge(rest, at(field, "thickness"))
        if word.form not in ("carbon sheet", "stainless sheet", "galvanized sheet"):
            raise InputError(
                field=field,
                value=text,
                example=f"sheet {word.number} ga carbon sheet, A36",
                need="a gauge with its form: carbon sheet, stainless sheet or galvanized sheet",
            )
        t, form = wall_of_gauge(word, field=at(field, "thickness")), word.form
    else:
        t, form = (
            read_length(rest, at(field, "thickness"), low=0.01, high=0.25, example="sheet 0.060 in, A36"),
            "carbon sheet",
        )
    default = "A554 304" if form == "stainless sheet" else "A36"
    row = {"source": "shop-practice, sheet as given in the job", "provenance": "common practice"}
    return _shape(
        "sheet",
        field,
        text,
        rest,
        maker or default,
        row,
        (),
        height=None,
        width=None,
        thickness=t,
        guessed=not maker,
    )


_READERS = {
    "pipe": _pipe,
    "angle": _angle,
    "channel": _channel,
    "flat bar": _flat_bar,
    "square bar": _one_size("square bar"),
    "round bar": _one_size("round bar"),
    "plate": _one_size("plate"),
    "sheet": _sheet,
}


def _lengths(field, text, rest, count, example) -> list[pint.Quantity]:
    parts = [p for p in re.split(r"\s*[xX]\s*", rest) if p]
    if len(parts) != count:
        raise InputError(
            field=field,
            value=text,
            example=example,
            need=f"{count} size" + ("s joined by x" if count > 1 else "") + ", each with its unit",
        )
    return [read_length(p, at(field, "size"), low=0.05, high=48, example=example) for p in parts]


def _listed(field, text, found, sides, thickness, kind):
    """The row of a size, or (no row, a note) where its thickness is a plain decimal; InputError with the
    nearest rows otherwise. found: (row, side words, thickness word)."""

    def metres(q):
        return float(q.to("m").magnitude)

    want = [metres(s) for s in sides]
    sized = [(r, [metres(_known(w)) for w in ws], metres(_known(t)), ws, t) for r, ws, t in found]
    exact = [one for one in sized if np.allclose(one[1], want, atol=2e-6)]
    for one in exact:
        if abs(one[2] - metres(thickness)) < 2e-6:
            return one[0], ()
    if exact and "." in text.partition(",")[0].rpartition("x")[2]:
        row = {"source": "shop-practice, thickness as given in the job", "provenance": "common practice"}
        return row, ("thickness not in the stock list; ask the supplier",)
    near = sorted(
        sized,
        key=lambda one: (
            sum(abs(a - b) for a, b in zip(one[1], want, strict=True)),
            abs(one[2] - metres(thickness)),
        ),
    )[:3]
    names = [f"{kind} " + " x ".join((*one[3], one[4])) for one in near]
    raise InputError(
        field=field,
        value=text,
        need=f"{kind} of the stock list; nearest: " + "; ".join(names),
        example=f"{names[0]}, A36",
    )


@lru_cache(maxsize=1024)
def _known(word: str) -> pint.Quantity:
    return read_length(word, "stock list")


def _shape(kind, field, text, rest, maker, row, note, *, guessed=None, **sizes) -> Shape:
    product, grade = _maker(field, text, maker or "A36", ("A36", "A554", "B221", "EN 10219"))
    notes = list(note)
    if guessed if guessed is not None else not maker:
        notes.append(f"{steel(product, grade).name}, the usual one; the certificate names the grade")
    words = f"{kind} {rest}, {steel(product, grade).name}"
    return Shape(
        kind=kind,
        words=words,
        product=product,
        grade=grade,
        source=row["source"],
        provenance=row["provenance"],
        listed=not note,
        assumed=tuple(f"{words}: {n}" for n in notes),
        **sizes,
    )


_ALSO = {"ASTM A36": "A36", "304": "A554 304", "304 stainless": "A554 304", "6061-T6": "B221 6061-T6"}


def _maker(field: str, text: str, maker: str, allowed: tuple[str, ...]) -> tuple[str, str]:
    said = " ".join(_ALSO.get(maker, maker).split())
    for product in allowed:
        if said == product or said.startswith(product + " "):
            listed = grades(product)
            grade = said[len(product) :].removeprefix(" grade").strip() or listed[0]
            if grade in listed:
                return product, grade
    raise InputError(
        field=at(field, "product"),
        value=text,
        example=f"{allowed[0]}",
        need="a product standard for this shape: "
        + ", ".join(steel(p, g).name for p in allowed for g in grades(p)),
    )


# --- many pieces as arrays -----------------------------------------------------------------------


@lru_cache(maxsize=1024)
def section_of(piece: Tube | Shape, wall: str) -> SectionArrays:
    """The section of one piece as a batch of one, remembered: a table asks for the same few again."""
    return stock_sections([piece], wall)


def stock_sections(pieces: Iterable[Tube | Shape], wall: str) -> SectionArrays:
    """Sections of tubes and shapes in their order. The named wall concerns tube and pipe only; angles,
    channels and bars are rolled to their nominal size. InputError for a plate or sheet."""
    pieces = list(pieces)
    if wall not in WALLS:
        raise InputError(field="wall", value=wall, need='"nominal", "design" or "worst"', example='"design"')
    if not pieces:
        raise InputError(field="pieces", value="none", need="at least one piece of stock", example=EXAMPLE)
    flat = [p for p in pieces if isinstance(p, Shape) and p.kind in ("plate", "sheet")]
    if flat:
        raise InputError(
            field="stock",
            value=flat[0].words,
            need="a bar, angle, channel or tube: a plate has no section until it is cut",
            example=EXAMPLE,
        )
    parts, order = [], []
    for kind in ("tube", *_KERNELS):
        index = [i for i, p in enumerate(pieces) if (p.kind if isinstance(p, Shape) else "tube") == kind]
        if index:
            group = [pieces[i] for i in index]
            parts.append(tube_sections(group, wall) if kind == "tube" else _KERNELS[kind](group))
            order += index
    return sections.joined(parts, np.array(order))


def _si(group, *names):
    return [np.array([float(magnitude(getattr(p, n), "m")) for p in group]) for n in names]


def _density(group):
    return np.array([float(magnitude(p.steel.density, "kg/m**3")) for p in group])


def _angles(group):
    H, B, t = _si(group, "height", "width", "thickness")
    return open_sections.angles(
        H, B, t, mass_per_length=_density(group) * open_sections.area_angle.si(H=H, B=B, t=t)
    )


def _channels(group):
    d, b, w, f = _si(group, "height", "width", "thickness", "flange_thickness")
    mass = _density(group) * open_sections.area_channel.si(d=d, b_f=b, t_w=w, t_f=f)
    return open_sections.channels(d, b, w, f, np.array([p.slope for p in group]), mass_per_length=mass)


def _bars(group):
    H, B = _si(group, "height", "width")
    return open_sections.bars(H, B, mass_per_length=open_sections.mass_bar.si(rho=_density(group), b=B, h=H))


def _rounds(group):
    (D,) = _si(group, "height")
    return open_sections.round_bars(D, mass_per_length=_density(group) * open_sections.area_round_bar.si(D=D))


_KERNELS = {
    "angle": _angles,
    "channel": _channels,
    "flat bar": _bars,
    "square bar": _bars,
    "round bar": _rounds,
}


@formula(symbol="m", source="section-tables-density, mass from the nominal thickness")
def mass_of_plate(rho: Density, t: Length) -> MassPerArea:
    """Mass per area of a plate or sheet.

    rho  density of the metal
    t    thickness
    """
    return rho * t
