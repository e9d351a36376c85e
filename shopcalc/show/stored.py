"""A record as data: what a rerun reads back. Loads neither matplotlib nor a template."""

from __future__ import annotations

import hashlib
import json
import math

import shopcalc
from shopcalc.show import tables
from shopcalc.sources import source_of

RECORD_FORMAT = 1
LISTS_LATER = ("Files parts.csv, cutting.csv and buying.csv",
               "this version makes no parts, cutting and buying lists; no such file is written")
# Parts of record.json that a rerun compares, each with its own fingerprint.
COMPARED = ("job_text", "checks", "assumed", "not_checked", "cautions", "pieces")


def record_dict(assessment) -> dict:
    """The record as data: what was asked, what it rests on and every check at full precision by its id.
    No date and no path stands in it, so that the same job gives the same bytes."""
    data = {
        "format": RECORD_FORMAT, "job_format": assessment.format, "kit": shopcalc.__version__,
        "code": tables.code_text(assessment.job), "data": assessment.data_hash,
        "job": assessment.job.name, "job_text": assessment.job.text,
        "assumed": [{"field": r.field, "value": r.value, "tag": r.tag, "source": r.source}
                    for r in assessment.resolved],
        "checks": {c.id: finite(c.as_dict()) for c in assessment.checks},
        "not_checked": [{"question": q, "why": why} for q, why in not_checked(assessment)],
        "cautions": list(assessment.cautions),
        "pieces": [{"name": p.name, "mass": {"value": p.mass, "unit": "kg"},
                    "centre": {"value": list(p.centre), "unit": "m"}} for p in assessment.pieces],
    }
    data["fingerprints"] = {part: fingerprint(data[part]) for part in COMPARED}
    return data


def fingerprint(part) -> str:
    """Tells a later reader whether a part was changed after it was written. It protects against slips, not
    against intent."""
    text = json.dumps(part, sort_keys=True, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def finite(value):
    """The same data with what JSON cannot hold (an infinite ratio) as None."""
    if isinstance(value, float) and not math.isfinite(value):
        return None
    if isinstance(value, dict):
        return {k: finite(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [finite(v) for v in value]
    return value


def record_json(assessment) -> str:
    return json.dumps(record_dict(assessment), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def not_checked(assessment) -> list[tuple[str, str]]:
    return [*assessment.not_checked, LISTS_LATER]


def source_rows(assessment) -> list[tuple[str, str, str]]:
    """Every source cited by a check, a worked line or a default, how it was read, and what uses it."""
    users: dict[str, list[str]] = {}
    for check in assessment.checks:
        for reference in (check.source, *(w.source for w in check.worked)):
            if reference:
                users.setdefault(source_of(reference).id, []).append(tables.full_name(check))
    for r in assessment.resolved:
        if r.source:
            users.setdefault(source_of(r.source).id, []).append(r.field)
    rows = []
    for key in sorted(users):
        source = source_of(key)
        words = ". ".join(
            part.rstrip(".")
            for part in (
                ", ".join(p for p in (source.title, source.edition) if p),
                source.note[:1].upper() + source.note[1:],
                _plain_address(source.address),
            )
            if part
        )
        rows.append((f"{words}. [{key}]", source.provenance, tables.shortened(dict.fromkeys(users[key]), "; ")))
    return rows


def _plain_address(address: str) -> str:
    return address.split("://", 1)[-1]
