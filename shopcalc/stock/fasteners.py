"""Fasteners that the shop buys: bolts by thread and grade, wood screws and lags, threaded inserts.

A bolt is its thread (coarse) and its grade; an insert, a weld nut and a rivet nut hold what their maker
rates them for,
which the job gives. Rows with their sources stand in data/.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import pint

from shopcalc.errors import InputError
from shopcalc.stock.tables import nearest_words, rows
from shopcalc.units import Quantity, magnitude, read_quantity


@dataclass(frozen=True)
class Thread:
    """A coarse thread. Ds_min, Es_min: least major and pitch diameter of the bolt; En_max, Kn_max: greatest
    pitch and
    minor diameter of the tapped hole (classes 2A and 2B, 6g and 6H)."""

    name: str
    D: pint.Quantity
    pitch: pint.Quantity
    Ds_min: pint.Quantity
    Es_min: pint.Quantity
    En_max: pint.Quantity
    Kn_max: pint.Quantity
    source: str
    provenance: str

    @property
    def metric(self) -> bool:
        return self.name.startswith("M")


@dataclass(frozen=True)
class Grade:
    """A grade of bolt in one range of sizes. kind: "threaded part", "A307", "group 120", "group 150",
    "stainless"."""

    name: str
    low: pint.Quantity
    high: pint.Quantity
    proof: pint.Quantity
    yields: pint.Quantity
    tensile: pint.Quantity
    kind: str
    source: str
    provenance: str
    note: str


@dataclass(frozen=True)
class WoodScrew:
    """A wood screw or lag. D over the thread, D_r at the root, tip: tapered point, F_yb: yield stress in
    bending."""

    name: str
    kind: str
    D: pint.Quantity
    D_r: pint.Quantity
    tip: pint.Quantity
    F_yb: pint.Quantity
    head: pint.Quantity
    source: str
    provenance: str
    note: str


@dataclass(frozen=True)
class Insert:
    """A threaded insert for wood: outside diameter over its thread and length. Common sizes; measure your
    own."""

    name: str
    outside: pint.Quantity
    length: pint.Quantity
    source: str
    provenance: str
    note: str


@lru_cache(maxsize=1)
def _threads() -> dict[str, Thread]:
    found: dict[str, Thread] = {}
    for r in rows("threads.csv"):
        sizes = {
            n: read_quantity(r[n], "inch", f"threads.csv: {r['name']}")
            for n in ("D", "pitch", "Ds_min", "Es_min", "En_max", "Kn_max")
        }
        # one of a thread's two halves is recalled: that is what the thread is
        memory = "memory" in (r["internal_provenance"], r["external_provenance"])
        one = Thread(
            name=r["name"],
            **sizes,
            source=f"{r['internal_source']}; {r['external_source']}",
            provenance="memory" if memory else r["internal_provenance"],
        )
        for word in (r["name"], *r["also"].split("|")):
            found[word.lower()] = one
    return found


@lru_cache(maxsize=1)
def threads() -> tuple[Thread, ...]:
    """Every thread of the list."""
    return tuple({id(t): t for t in _threads().values()}.values())


def thread(name, field: str = "size") -> Thread:
    """A coarse thread by its name ("3/8", "3/8-16", "M10") or by its diameter as a length. Raises
    InputError."""
    if isinstance(name, pint.Quantity) and name.check("[length]"):
        D = float(magnitude(name, "m"))
        for one in threads():
            if abs(float(magnitude(one.D, "m")) - D) < 2e-5:
                return one
    elif isinstance(name, str):
        key = name.lower().replace('"', "").removesuffix(" in").replace(" ", "")
        if key in _threads():
            return _threads()[key]
    raise InputError(
        field=field,
        value=name,
        need="a bolt of the list: " + ", ".join(t.name for t in threads()),
        example="3/8 in",
    )


@lru_cache(maxsize=1)
def _grades() -> dict[str, list[Grade]]:
    found: dict[str, list[Grade]] = {}
    for r in rows("bolt_grades.csv"):
        where = f"bolt_grades.csv: {r['name']}"
        low, high = (read_quantity(r[n], "inch", where) for n in ("from", "to"))
        proof, yields, tensile = (read_quantity(r[n], "psi", where) for n in ("proof", "yield", "tensile"))
        one = Grade(
            r["name"], low, high, proof, yields, tensile, r["kind"], r["source"], r["provenance"], r["note"]
        )
        for word in (r["name"], *r["also"].split("|")):
            if word:
                found.setdefault(word.lower(), []).append(one)
    return found


def grades() -> tuple[str, ...]:
    """Names of the grades of the list."""
    return tuple(dict.fromkeys(g.name for one in _grades().values() for g in one))


def grade(name: str, size: pint.Quantity, field: str = "grade") -> Grade:
    """A grade by its name, in the row of a size. Raises InputError for an unknown grade, or a size it is not
    made in."""
    key = " ".join(str(name).lower().split()) if isinstance(name, str) else ""
    key = key.removesuffix(" bolt").removesuffix(" bolts")
    if key not in _grades():
        raise InputError(
            field=field,
            value=name,
            need="a grade of the list; nearest: " + ", ".join(nearest_words(key, _grades(), 4)),
            example="grade 5",
        )
    D = float(magnitude(size, "m"))
    for one in _grades()[key]:
        if float(magnitude(one.low, "m")) - 1e-5 <= D <= float(magnitude(one.high, "m")) + 1e-5:
            return one
    made = _grades()[key]
    raise InputError(
        field=field,
        value=f"{name} at {D / 0.0254:.4g} in",
        need=f"a size that {name} is made in: {made[0].low:~P} to {made[-1].high:~P}",
        example="grade 5, 3/8 in",
    )


@lru_cache(maxsize=1)
def _screws() -> dict[str, WoodScrew]:
    found = {}
    for r in rows("wood_screws.csv"):
        where = f"wood_screws.csv: {r['name']}"
        sizes = {n: read_quantity(r[n], "inch", where) for n in ("D", "D_r", "tip", "head")}
        found[r["name"].lower()] = WoodScrew(
            name=r["name"],
            kind=r["kind"],
            **sizes,
            F_yb=read_quantity(r["F_yb"], "psi", where),
            source=r["source"],
            provenance=r["provenance"],
            note=r["note"],
        )
    return found


def wood_screws() -> tuple[WoodScrew, ...]:
    return tuple(_screws().values())


def wood_screw(name, field: str = "screw") -> WoodScrew:
    """A wood screw ("#10") or lag ("lag 5/16") by its name. Raises InputError with the list."""
    key = " ".join(name.lower().replace(" in", "").split()) if isinstance(name, str) else ""
    if key in _screws():
        return _screws()[key]
    raise InputError(
        field=field,
        value=name,
        need="a screw of the list: " + ", ".join(s.name for s in wood_screws()),
        example="#10",
    )


@lru_cache(maxsize=1)
def _inserts() -> dict[str, Insert]:
    found = {}
    for r in rows("inserts.csv"):
        where = f"inserts.csv: {r['name']}"
        one = Insert(
            r["name"],
            *(read_quantity(r[n], "inch", where) for n in ("outside", "length")),
            r["source"],
            r["provenance"],
            r["note"],
        )
        for word in (r["name"], *r["also"].split("|")):
            found[word.lower()] = one
    return found


def inserts() -> tuple[Insert, ...]:
    return tuple(dict.fromkeys(_inserts().values()))


def insert(name, field: str = "insert") -> Insert:
    """A threaded insert by its name ("insert 1/4"). Raises InputError with the list."""
    key = " ".join(name.lower().split()) if isinstance(name, str) else ""
    if key in _inserts():
        return _inserts()[key]
    raise InputError(
        field=field,
        value=name,
        need="an insert of the list: " + ", ".join(i.name for i in inserts()),
        example="insert 1/4",
    )


def body_area(D: pint.Quantity) -> pint.Quantity:
    """Area of the body of a bolt, before any thread."""
    return Quantity(3.141592653589793 / 4 * float(magnitude(D, "m")) ** 2, "m**2")
