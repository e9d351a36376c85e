"""Where numbers come from: one entry per source in references/sources.toml, read once."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

PROVENANCE = ("retrieved", "second-hand", "memory", "common practice")


@dataclass(frozen=True)
class Source:
    """A standard, handbook, table or rule that a number was taken from.

    provenance  how it came here: read in its own text (retrieved), on a page that repeats it
                (second-hand), recalled and not read (memory), or common practice without a source
    """

    id: str
    title: str
    provenance: str
    edition: str = ""
    note: str = ""
    address: str = ""


def references_folder() -> Path:
    """The folder of sources and published cases: beside the package, or packed into the wheel."""
    here = Path(__file__).parent
    beside = here.parent / "references"
    return beside if (beside / "sources.toml").is_file() else here / "references"


@lru_cache(maxsize=1)
def sources() -> dict[str, Source]:
    with open(references_folder() / "sources.toml", "rb") as file:
        rows = tomllib.load(file)
    return {key: _source(key, row) for key, row in rows.items()}


def _source(key: str, row: dict) -> Source:
    stray = sorted(set(row) - (set(Source.__dataclass_fields__) - {"id"}))
    if stray or not row.get("title") or row.get("provenance") not in PROVENANCE:
        no = f", and no {', '.join(stray)}" if stray else ""
        raise ValueError(f"references/sources.toml: [{key}] needs a title and one provenance of "
                         f"{', '.join(PROVENANCE)}{no}")
    return Source(id=key, **row)


def source_of(reference: str) -> Source:
    """The entry behind a reference `source-id, place` (table 3-23, case 1). KeyError names a missing one."""
    key, _ = _parted(reference)
    try:
        return sources()[key]
    except KeyError:
        raise KeyError(f"references/sources.toml has no entry [{key}] (wanted by {reference!r})") from None


def cite(reference: str) -> str:
    """Title, edition and place as they print: `Steel Construction Manual, 15th ed., table 3-23, case 1`."""
    source, (_, place) = source_of(reference), _parted(reference)
    return ", ".join(part for part in (source.title, source.edition, place) if part)


def _parted(reference: str) -> tuple[str, str]:
    """Key and place: what stands before and after the first comma or semicolon."""
    key, _, place = re.sub(r"\s*[,;]\s*", "\n", reference.strip(), count=1).partition("\n")
    return key, place
