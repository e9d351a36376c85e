"""The checks of a job as a table: plain text for a terminal, HTML for a page. Verdicts stand in words.

Both forms are views of the same rows (`check_rows`); neither calculates.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from html import escape

from shopcalc.check import OVER, REPORTED, VERDICTS, WITHIN, Check, severity
from shopcalc.show.values import NONE, pair, printed, raised, ratio_text
from shopcalc.sources import cite
from shopcalc.table.names import in_words
from shopcalc.units import Q, show

WIDTH = 96
USED_NOTE = (
    "Used is demand over limit (for a minimum: what is needed over what is there); over 1.00 is always bad."
)
REPORTED_HEAD = "Reported, no limit to compare with"
_GAP = "  "
_COLUMNS = ("what", "demand", "limit", "used", "verdict")
_NUMERIC = (1, 2, 3)
_REPORTED_COLUMNS = ("what", "reported", "for which load, and what it means")


@dataclass(frozen=True)
class Row:
    """One check as it prints. `used` is demand over limit, or required over available for a minimum."""

    id: str
    about: str
    kind: str
    what: str
    demand: str
    limit: str
    used: str
    verdict: str
    case: str
    detail: str

    @property
    def cells(self) -> tuple[str, ...]:
        return self.what, self.demand, self.limit, self.used, self.verdict

    @property
    def numbers(self) -> str:
        """Demand against limit and used share; what there is not is not said."""
        if self.demand == NONE:
            return ""
        between = ", " if self.demand.startswith("needs ") else " against "
        return (self.demand + ("" if self.limit == NONE else f"{between}{self.limit}")
                + ("" if self.used == NONE else f", used {self.used}"))

    @property
    def under(self) -> str:
        """What stands below the row: kind of load and governing case, and why or what with."""
        return "; ".join(self.lines)

    @property
    def lines(self) -> list[str]:
        """The same in lines: the load that governs, the state it is found in, then one reason each."""
        kind = "" if self.kind == "information" or not self.case else f"{self.kind}: "
        return [*split(kind + self.case), *split(self.detail)]


def check_row(check: Check, system: str) -> Row:
    demand, limit = pair(check, system)
    return Row(
        id=check.id,
        about=check.about,
        kind=check.kind,
        what=short_name(check),
        demand=demand,
        limit=limit,
        used=ratio_text(check.ratio),
        verdict=check.verdict,
        case=in_words(case_text(check)),
        detail=in_words(check.detail),
    )


def said(check: Check, system: str) -> str:
    """One check in a line: name, demand against limit, used share, verdict; what there is not is not said."""
    row = check_row(check, system)
    return f"{full_name(check)}: {', '.join(part for part in (row.numbers, row.verdict) if part)}"


def code_text(job) -> str:
    """Edition and method, as every output names them."""
    return f"{job.code} ({job.method})"


def short_name(check: Check) -> str:
    """The name without who it is about, for a row that stands under that heading."""
    return in_words(check.name.split(": ", 1)[-1])


def split(text: str) -> list[str]:
    """The parts of a text between semicolons; those within brackets divide nothing."""
    parts, depth = [""], 0
    for letter in text:
        depth += (letter == "(") - (letter == ")")
        if letter == ";" and depth == 0:
            parts.append("")
        else:
            parts[-1] += letter
    return [part.strip() for part in parts if part.strip()]


def full_name(check: Check) -> str:
    named = ": " in check.name or check.name.casefold().startswith(check.about.casefold())
    return in_words(check.name if named else f"{check.about}: {check.name}")


def grouped(checks: Iterable[Check]) -> dict[str, list[Check]]:
    """Checks by the member, joint or piece they are about, in order of first appearance. The key is the
    heading in words; where two are alike the name in the job's geometry tells them apart."""
    groups: dict[str, list[Check]] = {}
    for check in checks:
        groups.setdefault(check.about, []).append(check)
    words = {about: _heading(group[0]) for about, group in groups.items()}
    heads = list(words.values())
    return {head if heads.count(head) == 1 else f"{head} ({about})": groups[about] for about, head in words.items()}


def _heading(check: Check) -> str:
    return in_words(check.name.split(": ", 1)[0] if ": " in check.name else check.about)


def split_reported(checks: Iterable[Check]) -> tuple[list[Check], list[Check]]:
    """Checks with a verdict against a limit, and those that are only reported."""
    checks = list(checks)
    return [c for c in checks if c.verdict != REPORTED], [c for c in checks if c.verdict == REPORTED]


def summary(checks: Sequence[Check], not_checked: Sequence = ()) -> list[str]:
    """The answer in sentences: how many hold, what does not and why not, what comes nearest."""
    judged, reported = split_reported(checks)
    if not checks:
        return ["Nothing was checked."]
    bad = sorted((c for c in judged if c.verdict != WITHIN), key=severity, reverse=True)
    within = [c for c in judged if c.verdict == WITHIN]
    lines = [f"{_count(len(judged), 'check')} against a limit: {len(within)} within limit"
             + "".join(f", {sum(c.verdict == v for c in bad)} {v}" for v in reversed(VERDICTS)
                       if any(c.verdict == v for c in bad))
             + f"; {len(reported)} reported without a limit; "
             + f"{_count(len(not_checked), 'question')} not checked."]
    for check in bad:
        used = f", used {ratio_text(check.ratio)}" if check.verdict == OVER else ""
        lines.append(f"{check.verdict}: {full_name(check)}{used}{_case(check)}.")
    near = [c for c in within if c.ratio is not None and c.kind != "information"]
    if near:
        top = max(near, key=severity)
        lines.append(f"Nearest to its limit of those within: {full_name(top)}, used "
                     f"{ratio_text(top.ratio)}{_case(top)}.")
    return lines


def case_text(check: Check) -> str:
    """The governing case, without the words that already name the check."""
    return check.case.removeprefix(check.name.split(": ", 1)[-1]).removeprefix(", ")


def _case(check: Check) -> str:
    return f" ({in_words(case_text(check))})" if case_text(check) else ""


def question_text(question: str, why: str) -> str:
    return f"{question}{'' if question.endswith(('?', '.')) else ':'} {why}"


def _count(n: int, word: str) -> str:
    return f"{n} {word}" if n == 1 else f"{n} {word}s"


# --- plain text ----------------------------------------------------------------------------------


def checks_text(assessment, width: int = WIDTH) -> str:
    """The whole assessment for a terminal, `width` columns wide (at least 80)."""
    width = max(width, 80)
    judged, reported = split_reported(assessment.checks)
    system = assessment.job.system
    parts = [_underlined(assessment.job.name, "="), f"Code: {code_text(assessment.job)}", ""]
    for line in summary(assessment.checks, assessment.not_checked):
        parts += _wrapped(line, width)
    parts += ["", *_wrapped(USED_NOTE, width)]
    groups = {about: [check_row(c, system) for c in group] for about, group in grouped(judged).items()}
    if reported:
        groups[REPORTED_HEAD] = [reported_row(c, system) for c in reported]
    widths = _widths([row for rows in groups.values() for row in rows], width)
    for head, rows in groups.items():
        parts += ["", _underlined(head, "-"), *_rows_text(rows, widths, width)]
    parts += _listed("Not checked", [question_text(q, why) for q, why in assessment.not_checked], width)
    parts += _listed("Assumed, because nobody gave it", resolved_lines(assessment), width)
    parts += _listed("Assumed within single checks", assumed_lines(assessment), width)
    parts += _listed("Cautions", caution_lines(assessment), width)
    return "\n".join(line.rstrip() for line in parts) + "\n"


def reported_row(check: Check, system: str) -> Row:
    """A row that stands under no heading of its own: it says who it is about."""
    return replace(check_row(check, system), what=full_name(check))


RESOLVED_COLUMNS = ("not in the job", "what stands in its place", "known how", "source")


def resolved_rows(assessment) -> list[tuple[str, str, str, str]]:
    """The named defaults that were used: keys of the job, value, how it is known, source. Keys of one value share a row."""
    keys: dict[tuple[str, str, str], list[str]] = {}
    for r in assessment.resolved:
        keys.setdefault((r.value, r.tag, cited(r.source)), []).append(r.field)
    return [(", ".join(dict.fromkeys(fields)), *row) for row, fields in keys.items()]


def resolved_lines(assessment) -> list[str]:
    """The same in sentences."""
    return [f"{fields} = {value} ({tag}{'; ' if source else ''}{source})"
            for fields, value, tag, source in resolved_rows(assessment)]


def assumed_lines(assessment) -> list[str]:
    """What single checks assumed beyond the named defaults of the job, each once, with the checks that rest
    on it."""
    return _flat(assumed_groups(assessment))


def assumed_groups(assessment) -> list[tuple[list[str], list[str]]]:
    """The same, gathered: what rests on it (ids of checks) -> the assumptions, each once."""
    named = {r.value for r in assessment.resolved}
    return _shared((c.id, tuple(a for a in c.assumed if a not in named)) for c in assessment.checks)


def caution_lines(assessment) -> list[str]:
    """Cautions of the job, then those of single checks, each once."""
    return [*own_cautions(assessment), *_flat(caution_groups(assessment))]


def own_cautions(assessment) -> list[str]:
    """Cautions of the whole job."""
    return list(dict.fromkeys(in_words(line) for line in assessment.cautions))


def caution_groups(assessment) -> list[tuple[list[str], list[str]]]:
    """Cautions of single checks, gathered: the checks (ids) -> what to mind at all of them, each once."""
    own = set(assessment.cautions)
    return _shared((c.id, tuple(x for x in c.cautions if x not in own)) for c in assessment.checks)


def _shared(items: Iterable[tuple[str, Sequence[str]]]) -> list[tuple[list[str], list[str]]]:
    where: dict[str, list[str]] = {}
    for id_, texts in items:
        for text in dict.fromkeys(texts):
            where.setdefault(text, []).append(id_)
    groups: dict[tuple[str, ...], list[str]] = {}
    for text, ids in where.items():
        groups.setdefault(tuple(ids), []).append(in_words(text))
    return [(list(ids), texts) for ids, texts in groups.items()]


def _flat(groups: Iterable[tuple[list[str], list[str]]]) -> list[str]:
    return [f"{text} [{shortened(ids)}]" for ids, texts in groups for text in texts]


def told_groups(assessment, groups: Iterable[tuple[list[str], list[str]]]) -> list[tuple[str, list[str]]]:
    """Groups of cautions or assumptions with the names of their checks in words."""
    names = {c.id: full_name(c) for c in assessment.checks}
    return [(shortened(dict.fromkeys(names[i] for i in ids), "; "), texts) for ids, texts in groups]


def shortened(ids: Iterable[str], between: str = ", ") -> str:
    """The first names of a list, and how many more."""
    ids = list(ids)
    return between.join(ids) if len(ids) <= 3 else f"{ids[0]}{between}{ids[1]} and {len(ids) - 2} more"


def _underlined(text: str, mark: str) -> str:
    return f"{text}\n{mark * len(text)}"


def _wrapped(text: str, width: int, first: str = "", rest: str = "") -> list[str]:
    return textwrap.wrap(text, width, initial_indent=first, subsequent_indent=rest,
                         break_long_words=True, break_on_hyphens=False) or [first.rstrip()]


def _listed(head: str, lines: Sequence[str], width: int) -> list[str]:
    if not lines:
        return []
    parts = ["", _underlined(head, "-")]
    for line in lines:
        parts += _wrapped(line, width, "* ", "  ")
    return parts


def _rows_text(rows: Sequence[Row], widths: Sequence[int], width: int) -> list[str]:
    lines = _cells_text(_COLUMNS, widths)
    for row in rows:
        lines += _cells_text(row.cells, widths)
        if row.under:
            lines += _wrapped(row.under, width, "    ", "    ")
    return lines


def _widths(rows: Sequence[Row], width: int) -> list[int]:
    """Numbers and verdicts stand on one line; the name takes what is left, and wraps."""
    wanted = [max([len(head), *(len(r.cells[i]) for r in rows)]) for i, head in enumerate(_COLUMNS)]
    left = width - len(_GAP) * (len(_COLUMNS) - 1) - sum(wanted[1:])
    return [min(wanted[0], max(left, 16)), *wanted[1:]]


def _cells_text(cells: Sequence[str], widths: Sequence[int]) -> list[str]:
    wrapped = [
        textwrap.wrap(c, w, break_on_hyphens=False) or [""] for c, w in zip(cells, widths, strict=True)
    ]
    lines = []
    for i in range(max(map(len, wrapped))):
        part = [(w[i] if i < len(w) else "") for w in wrapped]
        # numbers line up on the right, words on the left
        lines.append(_GAP.join(p.rjust(n) if 1 <= c <= 3 else p.ljust(n)
                               for c, (p, n) in enumerate(zip(part, widths, strict=True))).rstrip())
    return lines


# --- HTML ----------------------------------------------------------------------------------------


def table_html(head: Sequence[str], rows: Iterable[Sequence[str]], *, numeric: Sequence[int] = (),
               caption: str = "", marks: Iterable[str] | None = None) -> str:
    """A plain table; all text is escaped. `numeric` columns stand right; `marks` gives a class per row."""
    out = ['<table class="checks">']
    if caption:
        out.append(f"<caption>{escape(caption)}</caption>")
    out.append(_head_html(head, numeric) + "\n<tbody>")
    marks = list(marks) if marks is not None else None
    for n, row in enumerate(rows):
        out.append(_row_html(row, numeric, marks[n] if marks is not None else ""))
    out.append("</tbody></table>")
    return "\n".join(out)


def _head_html(head: Sequence[str], numeric: Sequence[int]) -> str:
    cells = "".join(f'<th scope="col"{_RIGHT if i in numeric else _LEFT}>{escape(h)}</th>' for i, h in enumerate(head))
    return f"<thead><tr>{cells}</tr></thead>"


def _row_html(row: Sequence[str], numeric: Sequence[int], mark: str = "") -> str:
    """One row; its first cell names it, a line break in a cell stays one."""
    texts = [escape(raised(c)).replace("\n", "<br>") for c in row]
    cells = "".join(f'<th scope="row"{_LEFT}>{c}</th>' if i == 0 else f"<td{_side(i, numeric)}>{c}</td>"
                    for i, c in enumerate(texts))
    return f'<tr class="{escape(mark)}">{cells}</tr>' if mark else f"<tr>{cells}</tr>"


_LEFT, _RIGHT = ' style="text-align:left"', ' style="text-align:right"'


def _side(i: int, numeric: Sequence[int]) -> str:
    return ' style="text-align:right;white-space:nowrap"' if i in numeric else _LEFT


def verdict_class(verdict: str) -> str:
    return "v-" + verdict.replace(" ", "-")


class Notes:
    """Reasons that stand in several rows, each written out once under the tables and called by its letter."""

    LEAST, WORDS = 3, 10  # rows that share a reason, and words that make it worth a letter

    def __init__(self, rows: Iterable[Row]):
        count: dict[str, int] = {}
        for row in rows:
            for line in dict.fromkeys(row.lines[1:]):
                count[line] = count.get(line, 0) + 1
        shared = [line for line, n in count.items() if n >= self.LEAST and len(line.split()) >= self.WORDS]
        self.letters = {line: _letter(n) for n, line in enumerate(shared)}

    def cell(self, row: Row) -> str:
        """What stands beside a row: its own lines, then the letters of what it shares."""
        lines = row.lines
        own = [line for n, line in enumerate(lines) if n == 0 or line not in self.letters]
        called = [self.letters[line] for line in lines[1:] if line in self.letters]
        return "\n".join([*own, *(["see " + ", ".join(called)] if called else [])])

    def html(self) -> str:
        """The reasons in full, by letter."""
        return table_html(("see", "what it says"), [(letter, line) for line, letter in self.letters.items()]) if self.letters else ""


def _letter(n: int) -> str:
    return (chr(ord("a") + n // 26 - 1) if n >= 26 else "") + chr(ord("a") + n % 26)


_CASE_HEAD = "what governs, and why"


def checks_html(assessment) -> str:
    """All checks as HTML tables, grouped as in `checks_text`, without lists of assumptions and cautions."""
    return grouped_html(assessment.checks, assessment.job.system)


def grouped_html(checks: Iterable[Check], system: str) -> str:
    """A table for each member, joint or piece, then one of what is only reported; reasons that many rows share at the end."""
    sections, reported = _sections(checks, system)
    notes = Notes([row for rows in (*sections.values(), reported) for row in rows])
    parts = [table_html((*_COLUMNS, _CASE_HEAD), [(*r.cells, notes.cell(r)) for r in rows], numeric=_NUMERIC,
                        caption=about, marks=[verdict_class(r.verdict) for r in rows])
             for about, rows in sections.items()]
    if reported:
        parts.append(table_html(_REPORTED_COLUMNS, [(r.what, r.demand, notes.cell(r)) for r in reported], numeric=(1,),
                                caption=REPORTED_HEAD))
    return "\n".join([*parts, notes.html()])


def sections_html(checks: Iterable[Check], system: str) -> str:
    """The same as one table whose columns line up, a heading row over the checks of each member or joint."""
    sections, reported = _sections(checks, system)
    if reported:
        sections[REPORTED_HEAD] = reported
    notes = Notes([row for rows in sections.values() for row in rows])
    head = (*_COLUMNS, _CASE_HEAD)
    out = ['<table class="checks">', _head_html(head, _NUMERIC)]
    for about, rows in sections.items():
        out.append(f'<tbody><tr><th scope="rowgroup" colspan="{len(head)}"{_LEFT}>{escape(about)}</th></tr>')
        out += [_row_html((*r.cells, notes.cell(r)), _NUMERIC, verdict_class(r.verdict)) for r in rows]
        out.append("</tbody>")
    return "\n".join([*out, "</table>", notes.html()])


def _sections(checks: Iterable[Check], system: str) -> tuple[dict[str, list[Row]], list[Row]]:
    judged, reported = split_reported(checks)
    return ({about: [check_row(c, system) for c in group] for about, group in grouped(judged).items()},
            [reported_row(c, system) for c in reported])


def list_html(lines: Iterable[str]) -> str:
    items = "\n".join(f"<li>{escape(line)}</li>" for line in lines)
    return f"<ul>\n{items}\n</ul>" if items else ""


_SOURCED = re.compile(r"^(?P<limit>.*\S) \((?P<source>[a-z0-9-]+, [^()]*)\)$")
_STRESS = re.compile(r"(?P<name>\S+) in MPa(?P<rest> *[<>]=? *)(?P<size>[\d.]+)")
_ANGLE = re.compile(r"(?P<name>\S+) in degrees(?P<rest>.*)")


def range_text(limits: Sequence[str], system: str) -> str:
    """What an answer holds for: limits in the units of the job, those of one source together and the source once."""
    told: list[str] = []
    last = ""
    for limit in limits:
        found = _SOURCED.match(limit)
        words, source = (found["limit"], found["source"]) if found else (limit, "")
        if last and source != last:
            told[-1] += f" ({last})"
        told.append(_limit_words(words, system))
        last = source
    if last:
        told[-1] += f" ({last})"
    return "; ".join(told)


def _limit_words(words: str, system: str) -> str:
    def stress(found: re.Match) -> str:
        size = f"{found['size']} MPa" if system == "mm" else show(Q(float(found["size"]), "MPa"), "ksi", 3)
        return f"{found['name']}{found['rest']}{size}"

    words = _ANGLE.sub(r"\g<name>\g<rest> degrees", _STRESS.sub(stress, words))
    return words.replace("<=", "≤").replace(">=", "≥").replace("sqrt(", "√(")


def cited(reference: str) -> str:
    """Title, edition and place of a source; "" for none."""
    return raised(cite(reference)) if reference else ""


# --- tables of tubes -----------------------------------------------------------------------------


def grid_rows(
    rows: Sequence[str], columns: Sequence[str], ratios, verdicts=None, governs=None, between: str = " "
) -> list[list[str]]:
    """A table of ratios (rows x columns) as text: the ratio, what governs it and, where it is not within, the
    verdict. `between` the ratio and the words stands a space, or a line break."""
    out = []
    for i, name in enumerate(rows):
        line = [name]
        for j in range(len(columns)):
            verdict = str(verdicts[i][j]) if verdicts is not None else (OVER if ratios[i][j] > 1 else WITHIN)
            if verdict in (WITHIN, OVER):
                parts = [ratio_text(float(ratios[i][j])), "" if governs is None else str(governs[i][j]),
                         "over" if verdict == OVER else ""]
            else:
                parts = [verdict]
            ratio, words = parts[0], " ".join(part for part in parts[1:] if part)
            line.append(f"{ratio}{between}{words}" if words else ratio)
        out.append(line)
    return out


def size_table_html(rows: Sequence[str], columns: Sequence[str], ratios, verdicts=None, governs=None, *,
                    corner: str = "tube", caption: str = "") -> str:
    """Used ratio of each tube at each span, as HTML. Shapes: ratios, verdicts, governs (rows, columns)."""
    return table_html((corner, *columns), grid_rows(rows, columns, ratios, verdicts, governs, "\n"),
                      numeric=tuple(range(1, len(columns) + 1)), caption=caption)


def size_table_text(rows: Sequence[str], columns: Sequence[str], ratios, verdicts=None, governs=None, *,
                    corner: str = "tube") -> str:
    """The same for a terminal."""
    table = [[corner, *columns], *grid_rows(rows, columns, ratios, verdicts, governs)]
    widths = [max(len(line[i]) for line in table) for i in range(len(columns) + 1)]
    return "\n".join(_GAP.join(c.ljust(w) if i == 0 else c.rjust(w)
                               for i, (c, w) in enumerate(zip(line, widths, strict=True))).rstrip()
                     for line in table) + "\n"


def pieces_rows(pieces, system: str) -> list[list[str]]:
    """Name, mass and centre of gravity (from the plan centre of the top, on the floor) of each piece."""
    return [[in_words(p.name), printed(Q(p.mass, "kg"), system, digits=3),
             *(printed(Q(c, "m"), system, "size") for c in p.centre)] for p in pieces]
