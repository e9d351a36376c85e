"""Published cases: worked examples and table rows as data, run against the kit's own functions.

A case in references/cases/*.toml says what the source gives and what it prints. How the kit answers it
stands beside it:

    [case.check.max_deflection]
    function = "shopcalc.mechanics.beams:largest_sag"
    map = { L = "span", w = "uniform_load", E = "E", I = { function = "...", map = { ... } } }

`map` takes each argument from the case's `given` (by its key), from a literal `{ size = "3 m" }`,
`{ number = 2 }` or `{ text = "simple" }`, from another function, or from another check or a
`[case.steps.NAME]` of the same case: `{ step = "NAME" }`. A method is named with its class and takes the
object as `self` (`ContinuousBeam.moment`). Of what comes back `pick` takes a field or the entry of a number,
`method = "ASD"` (or "LRFD") the allowable instead of the nominal strength of a clause, `times` a multiple,
`over` the ratio to another argument; `sum = [...]` adds several answers or arguments. What has no check yet
says in `waits_for` what it waits for.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import reduce
from importlib import import_module
from pathlib import Path

import numpy as np
import pint

from shopcalc.check import Strength, allowable
from shopcalc.errors import InputError
from shopcalc.sources import PROVENANCE, references_folder
from shopcalc.units import read_any

# A relative error below this is "all digits": nothing more can be told apart in double precision.
ALL_DIGITS = 15.0


@dataclass(frozen=True)
class Outcome:
    """One expected key of one case. `matched` is None for a measured case, which decides nothing."""

    case: str
    key: str
    source: str
    provenance: str
    expected: str
    got: str
    ratio: float
    digits: float
    rel_tol: float
    matched: bool | None


@dataclass(frozen=True)
class Case:
    file: str
    data: dict

    @property
    def id(self) -> str:
        return self.data["id"]

    @property
    def measured(self) -> bool:
        return self.data.get("kind") == "measured"

    @property
    def checks(self) -> dict[str, dict]:
        return self.data.get("check", {})

    @property
    def waiting(self) -> list[str]:
        """Expected keys that no function answers yet."""
        return [k for k in self.data["expect"] if k not in self.checks]

    @property
    def waits_for(self) -> str:
        """What has to be built before they are answered, or why they will not be."""
        return self.data.get("waits_for", "")


_NEEDED = ("id", "topic", "source", "provenance", "expect")


def case_files() -> list[Path]:
    return sorted((references_folder() / "cases").glob("*.toml"))


def read_cases(paths: Iterable[Path] | None = None) -> list[Case]:
    """All cases of the files (default: all of references/cases). Raises InputError on a broken file."""
    cases: list[Case] = []
    seen: dict[str, str] = {}
    for path in case_files() if paths is None else paths:
        try:
            with open(path, "rb") as file:
                rows = tomllib.load(file).get("case", [])
        except FileNotFoundError:
            raise InputError(field="cases", value=str(path), need="a file that exists",
                             example="references/cases/beams.toml") from None
        except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
            raise InputError(field=str(path), value=str(error),
                             need="a TOML file of [[case]] tables") from None
        for row in rows:
            lacking = [k for k in _NEEDED if k not in row]
            if lacking:
                raise InputError(field=f"{path.name}: {row.get('id', 'a case')}", value=None,
                                 need=f"the key {lacking[0]}")
            if row["provenance"] not in PROVENANCE:
                raise InputError(field=f"{row['id']}.provenance", value=row["provenance"],
                                 need="one of " + ", ".join(PROVENANCE))
            if row["id"] in seen:
                raise InputError(field=f"{path.name}: id", value=row["id"],
                                 need=f"an id of its own; {seen[row['id']]} has it already")
            stray = [k for k in row.get("check", {}) if k not in row["expect"]]
            if stray:
                raise InputError(field=f"{row['id']}.check", value=stray[0], need="a key of expect")
            seen[row["id"]] = path.name
            cases.append(Case(path.name, row))
    return cases


def run(cases: Iterable[Case]) -> Iterator[Outcome]:
    for case in cases:
        for key in case.checks:
            yield run_one(case, key)


def run_one(case: Case, key: str) -> Outcome:
    expected = _read(case.data["expect"][key], f"{case.id}.expect.{key}")
    got = _answer(case, case.checks[key], f"{case.id}.check.{key}")
    if isinstance(expected, pint.Quantity):
        if not isinstance(got, pint.Quantity):
            raise InputError(field=f"{case.id}.check.{key}", value=got,
                             need="a quantity like the expected one")
        size, target = float(got.to(expected.units).magnitude), float(expected.magnitude)
    else:
        size = float(got.to("").magnitude if isinstance(got, pint.Quantity) else got)
        target = float(expected)
    tolerance = float(case.data.get("rel_tol", 1e-3))
    error = abs(size - target) / abs(target) if target else abs(size)
    digits = ALL_DIGITS if error == 0 else min(ALL_DIGITS, -math.log10(error))
    unit = f" {expected.units:~}" if isinstance(expected, pint.Quantity) else ""
    # Printed digits end at half a unit; double rounding of 0.5 ulp must not decide.
    matched = None if case.measured else error <= tolerance * (1 + 1e-9)
    return Outcome(case.id, key, case.data["source"], case.data["provenance"], case.data["expect"][key],
                   f"{size:.6g}{unit}", target / size if size else math.inf, digits, tolerance, matched)


def _answer(case: Case, spec: dict, field: str):
    function = None
    if "sum" in spec:
        parts = [_argument(case, part, field) for part in spec["sum"]]
        result = parts[0]
        for part in parts[1:]:
            result = result + part
    elif "step" in spec:
        result = _step(case, spec["step"], field)
    else:
        function = _function(spec["function"], field)
        words = spec.get("map", {})
        result = function(**{name: _argument(case, word, f"{field}.{name}") for name, word in words.items()})
    for part in spec.get("pick", "").split("."):
        if part.isdigit():
            result = result[int(part)]
        elif part:
            result = result[part] if isinstance(result, dict) else getattr(result, part)
    if "method" in spec:
        result = _factored(function, result, spec["method"])
    if "times" in spec:
        result = result * spec["times"]
    return result / _argument(case, spec["over"], field) if "over" in spec else result


def _factored(clause, nominal: pint.Quantity, method: str) -> pint.Quantity:
    """Allowable strength (ASD) or design strength (LRFD) of a clause under loads of use."""
    one = Strength(nominal=np.atleast_1d(nominal.magnitude), states=clause.states, governing=np.zeros(1, int),
                   in_range=np.ones(1, bool), omega=clause.omega, phi=clause.phi, clause=clause.clause)
    return float(allowable(one, "use", method)[0]) * nominal.units


def _read(text: object, field: str):
    """A quantity or number of a case; a number may say that it has no unit."""
    return read_any(text.removesuffix(" dimensionless") if isinstance(text, str) else text, field)


def _argument(case: Case, word, field: str):
    if isinstance(word, str):
        if word not in case.data.get("given", {}):
            raise InputError(field=field, value=word,
                             need="a key of the case's given, or a table {size = ...}")
        return _read(case.data["given"][word], f"{case.id}.given.{word}")
    if isinstance(word, list):
        return [_argument(case, part, field) for part in word]
    if "function" in word or "sum" in word or "step" in word:
        return _answer(case, word, field)
    if "size" in word:
        return _read(word["size"], field)
    if "given" in word:
        value = _argument(case, word["given"], field)
        return value * word.get("times", 1)
    if "text" in word:
        return word["text"]
    if "given_text" in word:
        return case.data["given"][word["given_text"]]
    return word["number"]


def _step(case: Case, name: str, field: str):
    steps = {**case.checks, **case.data.get("steps", {})}
    mark = f" <- {name}"
    if name not in steps or mark in field:
        raise InputError(field=field, value=name, example="[case.steps.I]",
                         need="a check or step of the case that does not lead back to itself")
    return _answer(case, steps[name], field + mark)


def _function(dotted: str, field: str):
    module, _, name = dotted.partition(":")
    parts = name.split(".")
    if not module.startswith("shopcalc.") or not all(p.isidentifier() and p[0] != "_" for p in parts):
        raise InputError(field=field, value=dotted, need="a function of the kit",
                         example="shopcalc.mechanics.beams:largest_sag")
    try:
        return reduce(getattr, parts, import_module(module))
    except (ImportError, AttributeError):
        raise InputError(field=field, value=dotted, need="a function that exists") from None
