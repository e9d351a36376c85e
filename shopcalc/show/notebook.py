"""What a notebook cell calls: an answer of the library in, something to look at out.

Each thing shown carries its words and rounded numbers as plain text, the same each time, so that a stored
notebook can be compared with a fresh one. Nothing here calculates.
"""

from __future__ import annotations

from collections.abc import Sequence

import pint

from shopcalc.check import REPORTED, Check
from shopcalc.expression import latex_name
from shopcalc.formula import Worked
from shopcalc.mechanics.beams import ElasticLine
from shopcalc.show import pictures, tables
from shopcalc.show.answers import map_answer
from shopcalc.show.canvas import Picture
from shopcalc.show.drawing import general_view
from shopcalc.show.mathml import printed_width, raised
from shopcalc.show.stored import source_rows
from shopcalc.show.values import printed, ratio_text, used_line
from shopcalc.stock.tubes import Tube
from shopcalc.sweep import Choices, Grid

# Characters of a worked line that fit across a notebook.
LINE_WIDTH = 80


class Shown:
    """Something to show as HTML or Markdown, with the same content as plain text."""

    def __init__(self, plain: str, *, html: str = "", markdown: str = ""):
        self.plain, self.html, self.markdown = plain.rstrip("\n"), html, markdown

    def __repr__(self) -> str:
        return self.plain

    def _repr_mimebundle_(self, include=None, exclude=None) -> dict[str, str]:
        bundle = {"text/plain": self.plain}
        if self.html:
            bundle["text/html"] = self.html
        if self.markdown:
            bundle["text/markdown"] = self.markdown
        return bundle


def sentences(*lines: str) -> Shown:
    """The answer in a sentence, set apart, and what has to be said with it."""
    first, *rest = (line[:1].upper() + line[1:] for line in lines)
    return Shown("\n".join([first, *rest]),
                 markdown="\n\n".join([f"**{_plain_markdown(first)}**", *map(_plain_markdown, rest)]))


def caption(text: str) -> Shown:
    """Words under a picture: what it shows, with its numbers, for those who do not see it."""
    lines = text.splitlines()
    return Shown(text, html="".join(f'<p class="under">{tables.escape(line)}</p>' for line in lines))


def _bullets(lines: Sequence[str]) -> Shown:
    return Shown("\n".join(f"* {line}" for line in lines), html=tables.list_html(lines))


# Looks of the kit's tables and captions. A notebook that is not trusted goes without: JupyterLab's own then.
_LINE, _SHADE = "var(--jp-border-color1, #999)", "var(--jp-layout-color2, #eee)"
STYLE = f"""<style>
.jp-RenderedHTMLCommon table.checks {{ margin: 0 0 1em 0; border-collapse: collapse; font-size: 13px; }}
.jp-RenderedHTMLCommon table.checks :is(td, th) {{ border: 1px solid {_LINE}; padding: 3px 8px;
  vertical-align: top; text-align: left; font-weight: normal; }}
.jp-RenderedHTMLCommon table.checks thead th {{ background: {_SHADE}; font-weight: bold; }}
.jp-RenderedHTMLCommon table.checks th[scope=rowgroup] {{ font-weight: bold; padding-top: 0.8em; }}
.jp-RenderedHTMLCommon table.checks tbody tr {{ background: transparent; }}
.jp-RenderedHTMLCommon tr[class^=v-] td:nth-child(5) {{ white-space: nowrap; }}
.jp-RenderedHTMLCommon tr:is(.v-over-limit, .v-refused, .v-outside-range, .v-ask-an-engineer)
  td:nth-child(5) {{ font-weight: bold; text-decoration: underline; }}
.jp-RenderedHTMLCommon p.under {{ margin: 0 0 0.6em 0; font-size: 13px; max-width: 800px; }}
</style>"""


def opened(job) -> Shown:
    """Which table this is, by which code; brings the looks of the tables below."""
    text = f"{job.name}. {tables.code_text(job)}."
    return Shown(text, html=f"{STYLE}\n<p>{tables.escape(text)}</p>")


def _plain_markdown(text: str) -> str:
    """Text whose signs Markdown must not read."""
    for sign in "\\*_$<>[]#|`":
        text = text.replace(sign, "\\" + sign)
    return text


# --- an assessment -------------------------------------------------------------------------------


def answer(assessment) -> Shown:
    """The answer in sentences."""
    return sentences(*tables.summary(assessment.checks, assessment.not_checked))


def table(assessment) -> Picture:
    """Plan and elevations of the table, with sizes."""
    return general_view(assessment.geometry, assessment.job.system)


def used(assessment, about: str | None = None) -> Picture:
    """Used share of every limit, or of the limits of one member, joint or piece."""
    judged = [c for c in _about(assessment, about) if c.verdict != REPORTED]
    return pictures.used_bars([tables.full_name(c) for c in judged], [c.ratio for c in judged],
                              [c.verdict for c in judged])


def checks(assessment, about: str | None = None) -> Shown:
    """All checks as a table, or those of one member, joint or piece."""
    return check_table(_about(assessment, about), assessment.job.system)


def check_table(chosen: Sequence[Check], system: str) -> Shown:
    """Some checks as one table."""
    plain = "\n".join(tables.said(c, system) for c in chosen)
    return Shown(plain, html=tables.sections_html(chosen, system))


def _about(assessment, about: str | None) -> list[Check]:
    chosen = [c for c in assessment.checks if about in (None, c.about)]
    if not chosen:
        known = dict.fromkeys(c.about for c in assessment.checks)
        raise KeyError(f"no check is about {about!r}; there are {', '.join(known)}")
    return chosen


def not_checked(assessment) -> Shown:
    """What the shop asks and the kit does not answer, and why not."""
    rows = assessment.not_checked
    return Shown("\n".join(f"* {tables.question_text(q, w)}" for q, w in rows),
                 html=tables.table_html(("the shop asks", "why there is no answer yet"), rows))


def assumed(assessment) -> Shown:
    """Every default that stands in for something nobody gave."""
    single = tables.assumed_lines(assessment)
    lines = [*tables.resolved_lines(assessment), *single]
    return Shown("\n".join(f"* {line}" for line in lines),
                 html=tables.table_html(tables.RESOLVED_COLUMNS, tables.resolved_rows(assessment))
                 + (f"<p>Within single checks:</p>\n{tables.list_html(single)}" if single else ""))


def cautions(assessment) -> Shown:
    return _bullets(tables.caution_lines(assessment))


def sources(assessment) -> Shown:
    """Every source used, how it was read, and by what."""
    rows = source_rows(assessment)
    return Shown("\n".join(f"{s} ({how}): {by}" for s, how, by in rows),
                 html=tables.table_html(("source", "read how", "used by"), rows))


# --- worked steps --------------------------------------------------------------------------------


def worked(check: Check | Sequence[Worked], system: str = "inch") -> Shown:
    """The worked step of a check, or some worked lines: symbols, numbers, result, meaning of the symbols."""
    lines = check.worked if isinstance(check, Check) else tuple(check)
    plain = [str(line) for line in lines]
    blocks = [_worked_markdown(line) for line in lines]
    if isinstance(check, Check):
        last = used_line(check, system)
        plain += [last] if last else []
        name, clause = _plain_markdown(tables.full_name(check)), _plain_markdown(check.clause)
        head = f"**{name}**: {check.verdict}. {clause}"
        blocks = [head, *blocks, *([_plain_markdown(last)] if last else [])]
    return Shown("\n".join(plain), markdown="\n\n".join(blocks))


def _worked_markdown(line: Worked) -> str:
    lead, formula = line.latex_symbolic.split(" = ", 1)
    result = raised(line.result).replace("%", r"\%")
    numbers = f"{line.latex_numbers} = \\textbf{{{result}}}"
    # symbols, numbers and result stand on one line where they fit
    wide = printed_width(f"{lead} = {formula} = {line.latex_numbers} = {result}") > LINE_WIDTH
    steps = [f"{lead} = {formula}", f"{lead} = {numbers}"] if wide else [f"{lead} = {formula} = {numbers}"]
    where = "; ".join(f"${latex_name(symbol)}$ = {_plain_markdown(raised(size))} ({_plain_markdown(meaning)})"
                      for symbol, size, meaning in line.inputs)
    return "\n\n".join([*(f"$\\displaystyle {step}$" for step in steps),
                        f"{where}. Source: {_plain_markdown(line.source)}."])


# --- tubes over spans ----------------------------------------------------------------------------


def short_words(tube: Tube) -> str:
    """A tube in the fewest words that tell it from others of its product: `3 x 2 in, 11 ga`."""
    size = " x ".join(w.removesuffix(" in").removesuffix(" mm") for w in tube.size_words)
    unit = "mm" if tube.size_words[-1].endswith("mm") else "in"
    shape = {"square": " square", "round": " round"}.get(tube.shape, "")
    return f"{size} {unit}{shape}, {tube.wall_word}"


def region(grid: Grid, *, system: str = "inch", title: str = "") -> Picture:
    """Tubes against spans: hatched where a tube is over, with the used share in every cell."""
    return pictures.feasible_region(
        [short_words(t) for t in grid.tubes],
        grid.spans,
        grid.worst,
        grid.verdicts,
        grid.governing_names,
        system=system,
        title=title,
    )


def size_table(grid: Grid, *, system: str = "inch") -> Shown:
    """The same as a table, with what governs."""
    names = [short_words(t) for t in grid.tubes]
    spans = [printed(s, system, "size") for s in grid.spans]
    plain = tables.size_table_text(names, spans, grid.worst, grid.verdicts, grid.governing_names)
    return Shown(
        plain, html=tables.size_table_html(names, spans, grid.worst, grid.verdicts, grid.governing_names)
    )


def choices(found: Choices, *, system: str = "inch", most: int = 12) -> Shown:
    """Which tube: the lightest that meets the criteria, why the next one down fails, the list near it."""
    words, near = choice_words(found, system=system), choice_list(found, system=system, most=most)
    head = "".join(f"<p>{tables.escape(line)}</p>" for line in words.plain.splitlines())
    return Shown(f"{words.plain}\n{near.plain}", html=head + near.html)


def choice_list(found: Choices, *, system: str = "inch", most: int = 12) -> Shown:
    """The tubes next to the answer, lightest first, each with the reason why it does or does not do."""
    rows = list(found.rows)
    first = rows.index(found.lightest) if found.lightest else len(rows) - 1
    begin = max(0, first - most // 2)
    near = rows[begin:begin + most]
    cells = [(short_words(r.tube), printed(r.mass, system), ratio_text(r.ratio), r.governs, r.verdict,
              r.reason, r.price) for r in near]
    columns: tuple[str, ...] = ("tube", "mass", "used", "governs", "verdict", "why", "price")
    if not any(r.price for r in near):
        columns, cells = columns[:-1], [c[:-1] for c in cells]
    return Shown("\n".join("; ".join(c) for c in cells),
                 html=tables.table_html(columns, cells, numeric=(1, 2),
                                        marks=[tables.verdict_class(r.verdict) for r in near]))


def choice_words(found: Choices, *, system: str = "inch") -> Shown:
    """The lightest tube that meets the named criteria, and why the next one down does not."""
    return sentences(*_choice_words(found, system))


def _choice_words(found: Choices, system: str) -> list[str]:
    span, asked = printed(found.span, system, "size"), found.criteria_words
    if found.lightest is None:
        return [f"No tube of the list meets {asked} over {span}."]
    best = found.lightest
    lines = [
        f"Lightest that meets {asked} over {span}: {best.tube.words}, "
        f"{printed(best.mass, system)}, "
        f"used {ratio_text(best.ratio)}, {best.governs} governs."
    ]
    below = found.below
    lines.append(
        "No lighter tube is on the list."
        if below is None
        else f"The next one down, {short_words(below.tube)} ({printed(below.mass, system)}): "
        f"{below.reason}."
    )
    lines.append("Meeting them says nothing about wobble: sway is not among the criteria.")
    return lines


# --- one beam, one map ---------------------------------------------------------------------------


def beam(line: ElasticLine, *, supports: pint.Quantity | None = None, limit: pint.Quantity | None = None,
         system: str = "inch", title: str = "") -> Picture:
    """Sag and moment along a solved beam."""
    stations = line.stations(121)
    return pictures.beam_diagrams(
        stations,
        line.sag(stations),
        line.moment(stations),
        supports=supports,
        limit=limit,
        system=system,
        title=title,
    )


def goes_over(assessment, load: pint.Quantity, event: str = "goes over") -> Picture:
    """The load at which the table goes over (or a foot lifts), over the plan of its top; hatched where `load` does it.

    assessment  anything with a job and its geometry
    """
    text, data = map_answer(assessment.job, assessment.geometry, load, event=event)
    picture = pictures.tipping_map(
        data["x"],
        data["y"],
        data["load"],
        feet=data["feet"],
        weakest=data["weakest"],
        needed=load,
        outline=data["outline"],
        system=assessment.job.system,
        event=event,
    )
    return Picture(picture.figure, f"{picture.caption}\n{text}", picture.axes)
