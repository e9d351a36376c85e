"""The calculation record of a job: one HTML page that prints, one JSON file that can be rerun, and pictures.

Everything is made in memory first. A new folder appears whole or not at all; in a folder that exists each
file is replaced whole, record.json last.
"""

from __future__ import annotations

import math
import os
import secrets
import shutil
from collections.abc import Mapping
from pathlib import Path

import jinja2
from markupsafe import Markup

import shopcalc
from shopcalc.check import Check
from shopcalc.errors import InputError
from shopcalc.show import cards as joint_cards
from shopcalc.show import tables
from shopcalc.show.canvas import Picture
from shopcalc.show.drawing import general_view
from shopcalc.show.frame_pictures import used_lines
from shopcalc.show.mathml import where_html, worked_html
from shopcalc.show.pictures import used_bars
from shopcalc.show.places_picture import places_picture
from shopcalc.show.stored import RECORD_FORMAT, not_checked, record_json, source_rows
from shopcalc.show.values import used_line
from shopcalc.table.frame_checks import families
from shopcalc.table.names import words_of
from shopcalc.table.use_checks import places_of
from shopcalc.units import Q, show_length

LONGEST_CAPTION = 600
TALL = ("joints", "used")  # pictures that may fill a page, two others share one
IN_THE_TABLES = "The same numbers stand in the tables of checks."

# --- pictures ------------------------------------------------------------------------------------


def record_pictures(assessment) -> dict[str, tuple[str, Picture]]:
    """File name without ending -> heading and picture."""
    pictures = {"table": ("The table", general_view(assessment.geometry, assessment.job.system))}
    pictures["joints"] = ("Joint map", joint_cards.joint_map(assessment.geometry, joint_cards.of(assessment), assessment.job.system))
    judged, _ = tables.split_reported(c for c in assessment.checks if c.kind != "information")
    pictures["places"] = ("Places in plan", places_picture(assessment.geometry, places_of(assessment.job, assessment.geometry), assessment.job.system))
    bars = families(assessment.geometry)
    if any(c.about in bars for c in judged):
        pictures["base"] = ("The base, bar by bar", used_lines(assessment.geometry, bars, judged, system=assessment.job.system))
    if judged:
        pictures["used"] = ("How much of each limit is used", used_bars(
            [tables.full_name(c) for c in judged], [c.ratio for c in judged], [c.verdict for c in judged]))
    return pictures


# --- HTML ----------------------------------------------------------------------------------------


def record_html(assessment, pictures: Mapping[str, tuple[str, Picture]] | None = None) -> str:
    """The record as one self-contained page: no script, no request, equations as MathML, pictures inline."""
    pictures = record_pictures(assessment) if pictures is None else pictures
    system = assessment.job.system
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(Path(__file__).with_name("templates")), autoescape=True,
        undefined=jinja2.StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    return environment.get_template("record.html.j2").render(
        job=assessment.job,
        code=tables.code_text(assessment.job),
        kit=shopcalc.__version__,
        data=assessment.data_hash,
        record_format=RECORD_FORMAT,
        summary=tables.summary(assessment.checks, not_checked(assessment)),
        used_note=tables.USED_NOTE,
        pictures=[
            {
                "heading": heading,
                "size": "tall" if name in TALL else "first" if name == "table" else "",
                "src": p.data_uri(),
                "alt": p.caption,
                "caption": p.caption if len(p.caption) < LONGEST_CAPTION else IN_THE_TABLES,
            }
            for name, (heading, p) in pictures.items()
        ],
        checks=Markup(tables.checks_html(assessment)),
        not_checked=[tables.question_text(q, w) for q, w in not_checked(assessment)],
        assumed=Markup(tables.table_html(tables.RESOLVED_COLUMNS, tables.resolved_rows(assessment))) if assessment.resolved else "",
        assumed_single=tables.told_groups(assessment, tables.assumed_groups(assessment)),
        cautions=tables.own_cautions(assessment),
        cautions_single=tables.told_groups(assessment, tables.caution_groups(assessment)),
        steps=[_step(c, system) for c in assessment.checks],
        members=Markup(
            tables.table_html(("bar", "tube", "length on its axis"), _member_rows(assessment), numeric=(2,))
        ),
        pieces=Markup(
            tables.table_html(
                ("piece", "mass", "along", "across", "above the floor"),
                tables.pieces_rows(assessment.pieces, system),
                numeric=(1, 2, 3, 4),
            )
        ),
        joints={name: Markup(html) for name, html in joint_cards.record_parts(assessment).items()},
        sources=Markup(tables.table_html(("source", "read how", "used by"), source_rows(assessment))),
    )


def _step(check: Check, system: str) -> dict:
    row = tables.check_row(check, system)
    # a line that the same check needs twice (both walls alike, both ways alike) is read once
    lines = list({str(w): w for w in check.worked}.values())
    return {"id": check.id, "name": tables.full_name(check), "row": row, "clause": check.clause, "said": _said(row),
            "source": tables.cited(check.source), "provenance": check.provenance,
            "range": tables.range_text(check.range, system),
            "mark": tables.verdict_class(check.verdict), "used": used_line(check, system),
            "lines": [{"markup": Markup(worked_html(w)), "where": Markup(where_html(w)), "source": w.source}
                      for w in lines]}


def _said(row: tables.Row) -> str:
    """Demand, limit and used share after the verdict."""
    return f": {row.numbers}" if row.numbers else ""


def _member_rows(assessment) -> list[tuple[str, str, str]]:
    system = assessment.job.system
    return [(words_of(m.name), m.words,
             show_length(Q(math.dist(m.first, m.second), "m"), system))
            for m in assessment.geometry.members.values()]


# --- writing -------------------------------------------------------------------------------------


def record_files(assessment) -> dict[str, bytes]:
    """Every file of a record by its name in the folder; record.json is the last."""
    pictures = record_pictures(assessment)
    files = {f"pictures/{name}.svg": p.svg().encode() for name, (_, p) in pictures.items()}
    files["record.html"] = record_html(assessment, pictures).encode()
    files["record.json"] = record_json(assessment).encode()
    return files


def write_record(assessment, folder: str | Path) -> list[Path]:
    """Write the record of an assessment and return the files written.

    A folder that does not exist yet appears whole or not at all. In one that exists each file is replaced
    whole and other files are left alone. Raises InputError where the folder cannot be written.
    """
    folder = Path(folder)
    if folder.exists() and not folder.is_dir():
        raise InputError(
            field="record folder",
            value=folder.name,
            need="a folder, or a name that is not taken yet",
            example="records/map-table",
        )
    files = record_files(assessment)
    try:
        _put(files, folder)
    except OSError as error:
        raise InputError(
            field="record folder",
            value=folder.name,
            example="records/map-table",
            need=f"a folder that can be written ({error.strerror or type(error).__name__})",
        ) from error
    return [folder / name for name in files]


def _put(files: Mapping[str, bytes], folder: Path) -> None:
    parent = folder.absolute().parent
    parent.mkdir(parents=True, exist_ok=True)
    part = parent / f".{folder.absolute().name}.{secrets.token_hex(4)}.part"
    try:
        for name, content in files.items():
            place = part / name
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(content)
        if not folder.exists():
            os.rename(part, folder)
            return
        for name in files:
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            os.replace(part / name, folder / name)
    finally:
        shutil.rmtree(part, ignore_errors=True)
