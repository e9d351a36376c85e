"""Rerun a record: recompute it from its stored job text and name each difference.

Every difference has one of four kinds, looked for in this order:

    input     what was asked is not what was written down: the record was changed after it was written
    data      the data tables of the kit (stock, steels, woods, loads, sources) are not the same
    method    same input and data, another answer: formula, clause, edition or kit changed
    rounding  a number moved in its last digits only (computer or library), by less than 1 in 10^9
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from shopcalc.errors import InputError
from shopcalc.show.stored import COMPARED, RECORD_FORMAT, fingerprint, record_dict

KINDS = ("input", "data", "method", "rounding")
ROUNDING = 1e-9
LARGEST_RECORD = 50_000_000  # bytes
_HEAD = {"code": "method", "kit": "method", "data": "data"}
_TEXTS = (
    "name",
    "about",
    "kind",
    "case",
    "verdict",
    "clause",
    "source",
    "provenance",
    "range",
    "detail",
    "assumed",
    "cautions",
)
_NUMBERS = ("demand", "limit", "ratio")
_EXAMPLE = "record.json as written by: python -m shopcalc record JOB.toml -o DIR"


@dataclass(frozen=True)
class Difference:
    """One difference. where: the part of the record (`stretcher/sag, demand`); was, now: as text."""

    kind: str
    where: str
    was: str
    now: str

    def __str__(self) -> str:
        return f"{self.kind}: {self.where}: was {self.was}, now {self.now}"


def again(job_text: str):
    """The assessment of a job's text by the kit as it is now."""
    from shopcalc.assess import assess
    from shopcalc.table.job import read_job

    return assess(read_job(job_text, "the job text of the record"))


def compare(path: str | Path, recompute: Callable = again) -> list[Difference]:
    """Every difference between a stored record and its job computed again; empty where there is none.

    Raises InputError for a file that is no record, or whose job text can no longer be read.
    """
    was = read_record(path)
    now = json.loads(json.dumps(record_dict(recompute(was["job_text"])), allow_nan=False))
    return list(_differences(was, now))


def read_record(path: str | Path) -> dict:
    """A stored record, its shape checked. Raises InputError."""
    path = Path(path)
    try:
        if path.stat().st_size > LARGEST_RECORD:
            raise InputError(field="record", value=path.name, need="a record under 50 MB", example=_EXAMPLE)
        data = json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise InputError(
            field="record", value=path.name, need="a file that exists", example=_EXAMPLE
        ) from None
    except OSError as error:
        raise InputError(
            field="record",
            value=path.name,
            need=f"a file that can be read ({error.strerror})",
            example=_EXAMPLE,
        ) from None
    except (UnicodeDecodeError, json.JSONDecodeError, RecursionError):
        raise InputError(field="record", value=path.name, need="a JSON file", example=_EXAMPLE) from None
    if not isinstance(data, dict) or data.get("format") != RECORD_FORMAT:
        raise InputError(field="record: format", value=data.get("format") if isinstance(data, dict) else None,
                         need=f"a record of format {RECORD_FORMAT}", example=_EXAMPLE)
    shapes = {
        "job_text": str,
        "checks": dict,
        "assumed": list,
        "not_checked": list,
        "cautions": list,
        "pieces": list,
        "fingerprints": dict,
        "code": str,
        "kit": str,
        "data": str,
    }
    for key, kind in shapes.items():
        if not isinstance(data.get(key), kind):
            raise InputError(field=f"record: {key}", value=data.get(key), need="this part as it was written",
                             example=_EXAMPLE)
    for name, check in data["checks"].items():
        if not isinstance(check, dict):
            raise InputError(field=f"record: checks: {name}", value=check, need="a check as it was written",
                             example=_EXAMPLE)
    return data


def _differences(was: dict, now: dict) -> Iterator[Difference]:
    edited = {part for part in COMPARED if was["fingerprints"].get(part) != fingerprint(was[part])}
    for part in COMPARED:
        if part in edited:
            yield Difference(
                "input",
                f"record.json, {part}",
                f"fingerprint {was['fingerprints'].get(part)} when written",
                f"{fingerprint(was[part])}: changed since",
            )
    for key, kind in _HEAD.items():
        if was[key] != now[key]:
            yield Difference(kind, {"data": "data tables"}.get(key, key), was[key], now[key])

    def cause(part: str) -> str:
        if "job_text" in edited or part in edited:
            return "input"
        return "data" if was["data"] != now["data"] else "method"

    yield from _rows("assumed", _by(was["assumed"], "field", "value"), _by(now["assumed"], "field", "value"),
                     cause("assumed"))
    yield from _checks(was["checks"], now["checks"], cause("checks"))
    yield from _pieces(was["pieces"], now["pieces"], cause("pieces"))
    yield from _rows("not checked", _by(was["not_checked"], "question"), _by(now["not_checked"], "question"),
                     cause("not_checked"))
    yield from _rows(
        "cautions", {str(c): "" for c in was["cautions"]}, {c: "" for c in now["cautions"]}, cause("cautions")
    )


def _by(rows: list, *keys: str) -> dict[str, str]:
    """Rows by their key fields; the rest of each row as text."""
    out = {}
    for row in rows:
        if isinstance(row, dict):
            out[" = ".join(str(row.get(k)) for k in keys)] = _text(
                {k: v for k, v in row.items() if k not in keys}
            )
        else:
            out[str(row)] = ""
    return out


def _rows(where: str, was: dict[str, str], now: dict[str, str], kind: str) -> Iterator[Difference]:
    for key in dict.fromkeys([*was, *now]):
        if key not in now:
            yield Difference(kind, f"{where}, {key}", "there", "gone")
        elif key not in was:
            yield Difference(kind, f"{where}, {key}", "not there", "there")
        elif was[key] != now[key]:
            yield Difference(kind, f"{where}, {key}", was[key], now[key])


def _checks(was: dict, now: dict, kind: str) -> Iterator[Difference]:
    for name in dict.fromkeys([*was, *now]):
        if name not in now:
            yield Difference(kind, name, "checked", "not checked")
        elif name not in was:
            yield Difference(kind, name, "not checked", "checked")
        else:
            yield from _check(name, was[name], now[name], kind)


def _check(name: str, was: dict, now: dict, kind: str) -> Iterator[Difference]:
    moved = False
    for key in _NUMBERS:
        for difference in _number(f"{name}, {key}", was.get(key), now[key], kind):
            moved = moved or difference.kind != "rounding"
            yield difference
    for key in _TEXTS:
        if was.get(key) != now[key]:
            yield Difference(kind, f"{name}, {key}", _text(was.get(key)), _text(now[key]))
    yield from _worked(name, was.get("worked"), now["worked"], kind, moved)


def _worked(name: str, was, now: list, kind: str, moved: bool) -> Iterator[Difference]:
    """Worked lines: another expression is named as such; other printed numbers only where the answer that
    they lead to has not been named already."""
    if was == now:
        return
    if not isinstance(was, list) or len(was) != len(now) or not all(isinstance(w, dict) for w in was):
        yield Difference(kind, f"{name}, worked lines", _count(was), _count(now))
        return
    for i, (a, b) in enumerate(zip(was, now, strict=True), start=1):
        where = f"{name}, worked line {i}"
        if (a.get("symbol"), a.get("expression"), a.get("source")) != (
            b["symbol"],
            b["expression"],
            b["source"],
        ):
            yield Difference(kind, where, f"{a.get('symbol')} = {a.get('expression')} [{a.get('source')}]",
                             f"{b['symbol']} = {b['expression']} [{b['source']}]")
        elif a != b and not moved:
            yield Difference(
                kind, where, f"{a.get('numbers')} = {a.get('result')}", f"{b['numbers']} = {b['result']}"
            )


def _count(lines) -> str:
    return f"{len(lines)} lines" if isinstance(lines, list) else _text(lines)


def _pieces(was: list, now: list, kind: str) -> Iterator[Difference]:
    before, after = ({str(p.get("name")): p for p in rows if isinstance(p, dict)} for rows in (was, now))
    for name in dict.fromkeys([*before, *after]):
        if name not in after or name not in before:
            yield Difference(kind, f"piece {name}", "there" if name in before else "not there",
                             "there" if name in after else "gone")
            continue
        yield from _number(f"piece {name}, mass", before[name].get("mass"), after[name]["mass"], kind)
        yield from _number(f"piece {name}, centre", before[name].get("centre"), after[name]["centre"], kind)


def _number(where: str, was, now, kind: str) -> Iterator[Difference]:
    """A quantity, a plain ratio, or a list of numbers; within 1 in 10^9 it is rounding."""
    if was == now:
        return
    yield Difference("rounding" if _close(was, now) else kind, where, _text(was), _text(now))


def _close(was, now) -> bool:
    if isinstance(was, dict) and isinstance(now, dict):
        return was.get("unit") == now.get("unit") and _close(was.get("value"), now.get("value"))
    if isinstance(was, list) and isinstance(now, list):
        # coordinates are close beside the largest of them: one may be zero but for rounding
        size = max((abs(v) for v in now if _is_number(v)), default=0.0)
        return len(was) == len(now) and all(_is_number(a) and _is_number(b) and abs(a - b) <= ROUNDING * size
                                            for a, b in zip(was, now, strict=True))
    return _is_number(was) and _is_number(now) and math.isclose(was, now, rel_tol=ROUNDING, abs_tol=0.0)


def _is_number(value) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _text(value) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, dict) and set(value) == {"value", "unit"}:
        return f"{_text(value['value'])} {value['unit']}".strip()
    if isinstance(value, list | tuple):
        return "; ".join(_text(v) for v in value) or "nothing"
    if isinstance(value, dict):
        return ", ".join(f"{k} {_text(v)}" for k, v in value.items())
    return repr(value) if isinstance(value, float) else str(value)
