"""Load cases: the named defaults of the shop, each with its kind and tag, and what a job puts in their place."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

import pint

from shopcalc.units import read_quantity

# Load key -> unit of its value.
_UNITS = {"everyday_spread": "psf", "severe_spread": "psf", "sustained_spread": "psf", "drag_friction": "", "lift_factor": "",
          "floor_gap": "inch"}


@dataclass(frozen=True)
class LoadCase:
    """One case of one kind.

    value      size of the load;  inset: from the edge of the top to its middle (None where it has no place)
    kind       see check.KINDS;  acts_with: what stands beside it
    tag        provenance of the value;  reason: why a job changed it, else ""
    """

    id: str
    key: str
    words: str
    value: pint.Quantity
    kind: str
    nature: str
    acts_with: str
    tag: str
    source: str = ""
    inset: pint.Quantity | None = None
    inset_close: pint.Quantity | None = None
    spacing: pint.Quantity | None = None
    push: pint.Quantity | None = None
    righting: float | None = None
    reason: str = ""
    public: bool = False


def load_unit(key: str) -> str:
    return _UNITS.get(key, "lbf")


def load_example(key: str) -> str:
    """A value of a load that would be read: its default."""
    return next(r["value"] for r in _rows() if r["key"] == key)


@lru_cache(maxsize=1)
def _rows() -> tuple[dict, ...]:
    with open(Path(__file__).with_name("data") / "loads.toml", "rb") as file:
        return tuple(tomllib.load(file)["load"])


def load_keys() -> tuple[str, ...]:
    return tuple(dict.fromkeys(r["key"] for r in _rows()))


def load_cases(overrides: Mapping[str, tuple[pint.Quantity, str]] | None = None, *,
               public_use: bool = False) -> dict[str, LoadCase]:
    """Every case by its id. overrides: key -> (value, reason), as the job gives them."""
    overrides = overrides or {}
    cases = {}
    for case in _plain(public_use):
        if case.key in overrides:
            value, reason = overrides[case.key]
            case = replace(case, value=value, reason=reason, tag="the job's choice", source="", public=False)
        cases[case.id] = case
    return cases


@lru_cache(maxsize=2)
def _plain(public_use: bool) -> tuple[LoadCase, ...]:
    """The table as it stands, read once."""
    return tuple(_case(row, public_use) for row in _rows())


def _case(row: Mapping, public_use: bool) -> LoadCase:
    raised = public_use and "public" in row
    where = f"loads.toml: {row['id']}"
    sizes = {name: read_quantity(row[name], "lbf" if name == "push" else "inch", where)
             for name in ("inset", "inset_close", "spacing", "push") if name in row}
    return LoadCase(
        id=row["id"], key=row["key"], words=row["words"],
        value=read_quantity(row["public"] if raised else row["value"], load_unit(row["key"]), where),
        kind=row["kind"], nature=row["nature"], acts_with=row["acts_with"],
        tag="retrieved" if raised else row["tag"],
        source=row.get("public_source", "") if raised else row.get("source", ""),
        righting=row.get("righting"), public=raised, **sizes)
