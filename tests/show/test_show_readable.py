"""What a reader must never meet in a record or a picture: found by machine, on whole jobs of both systems."""

import re
from functools import lru_cache
from html import unescape
from pathlib import Path

import pytest
from show.test_show_pictures import assert_readable
from table.bases_for_tests import JOBS as BASES
from table.bases_for_tests import OPEN_JOBS

from shopcalc.assess import assess
from shopcalc.making.cards import cards
from shopcalc.show import drawing, record, tables
from shopcalc.show.cards import joint_map
from shopcalc.show.wood_pages import WidthCurve
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.names import in_words
from shopcalc.units import Q

JOBS = Path(__file__).parents[2] / "notebooks" / "jobs"
NAMES = ("archive_map_table", "seed_sorting_bench")
MOST_WORDS, MOST_IN_LINE, MOST_DIGITS = 125, 40, 5
SI = re.compile(r"\d (?:mm|cm|m|MPa|kPa|Pa|N|kN|kg|N·m|N/mm)\b")
US = re.compile(r"\d (?:in|ft|psi|ksi|psf|lbf|lb|lbf·ft|lbf·in|lbf/in|plf)\b")
NUMBER = re.compile(r"(?<![\w.,/-])\d[\d,]*(?:\.\d+)?(?:e[-+]?\d+)?(?!\w)")


@lru_cache
def page(name: str) -> str:
    return record.record_html(assess(JOBS / f"{name}.toml"), {})


def part(name: str, heading: str) -> str:
    """One chapter of a record, as HTML."""
    return page(name).split(f"<h2>{heading}</h2>", 1)[1].split("</section>", 1)[0]


def cells(markup: str) -> list[str]:
    found = re.findall(r"<(td|th|li|caption|p)\b[^>]*>(.*?)</\1>", markup.replace("<br>", "\n"), re.S)
    return [unescape(re.sub(r"<[^>]+>", "", text)) for _, text in found]


def words(name: str) -> str:
    """All that a record says in its own words: without the job, formulas and ids of checks."""
    text = page(name).split("</style>", 1)[1]
    text = re.sub(r"<pre>.*?</pre>|<math.*?</math>|<span class=\"id\">.*?</span>", " ", text, flags=re.S)
    return unescape(re.sub(r"<[^>]+>", "\n", text))


@pytest.mark.parametrize("name", NAMES)
def test_no_value_that_is_none(name):
    assert not re.findall(r"\b(?:nan|inf|None|NaN|null)\b", words(name))


@pytest.mark.parametrize("name", NAMES)
def test_bars_and_feet_are_said_in_words(name):
    for line in words(name).splitlines():
        assert in_words(line) == line


@pytest.mark.parametrize("name", NAMES)
def test_answers_stand_in_the_units_of_the_job(name):
    """A size that a standard states in the other system stands beside the same in the job's."""
    other, own = (SI, US) if name == NAMES[0] else (US, SI)
    for cell in cells(part(name, "Checks")):
        assert not other.search(cell) or own.search(cell), cell
    for line in re.findall(r'<p class="source">(Holds for: .*?)</p>', page(name), re.S):
        assert not other.search(line), line


@pytest.mark.parametrize("name", NAMES)
def test_no_answer_has_more_digits_than_a_shop_can_use(name):
    for cell in cells(part(name, "Checks")) + cells(part(name, "Bench cards")) + cells(part(name, "Welding sheet")):
        for number in NUMBER.findall(cell):
            assert "e" not in number, cell
            assert len(number.replace(",", "").replace(".", "").strip("0")) <= MOST_DIGITS, cell


@pytest.mark.parametrize("name", NAMES)
def test_no_cell_is_a_wall_of_text(name):
    for cell in cells(part(name, "Checks")):
        assert len(cell.split()) <= MOST_WORDS, cell
        assert max(len(line.split()) for line in cell.splitlines() or [""]) <= MOST_IN_LINE, cell


@pytest.mark.parametrize("name", NAMES)
def test_a_long_reason_of_many_rows_is_written_once(name):
    lines = [line for cell in cells(part(name, "Checks")) for line in cell.splitlines()[1:]]
    many = {line for line in lines if lines.count(line) >= tables.Notes.LEAST and len(line.split()) >= tables.Notes.WORDS}
    assert not many
    called = {letter for line in lines if line.startswith("see ") for letter in re.findall(r"\b[a-z]{1,2}\b", line[4:])}
    told = set(re.findall(r'<th scope="row"[^>]*>([a-z]{1,2})</th>', part(name, "Checks")))
    assert called <= told


def test_the_same_caution_of_many_checks_stands_once_in_a_record():
    lines = cells(part(NAMES[0], "Cautions"))
    assert len(lines) > 20 and len(set(lines)) == len(lines)


@pytest.mark.parametrize("name", NAMES)
def test_one_is_singular_and_no_table_is_empty(name):
    assert not re.findall(r"(?<![\w.,/-])1 (?:checks|seats|feet|joints|boards|bars|places|screws|clamps|panels|questions|coats)\b", words(name))
    assert not re.search(r"<tbody>\s*</tbody>", page(name))


def test_a_reason_that_three_rows_share_gets_a_letter_and_a_short_one_does_not():
    shared, short = "one two three four five six seven eight nine ten", "soft joints"
    rows = [tables.Row("a/b", "a", "use", "b", "1", "2", "0.50", "within limit", f"load {n}; {short}", shared) for n in range(3)]
    notes = tables.Notes(rows)
    assert notes.letters == {shared: "a"} and notes.cell(rows[1]) == f"use: load 1\n{short}\nsee a"
    assert shared in notes.html() and tables.Notes(rows[:2]).html() == ""


def test_a_part_in_brackets_is_not_torn():
    assert tables.split("a (b; c); d") == ["a (b; c)", "d"] and tables.split("") == []


def test_a_range_is_told_in_the_units_of_the_job_and_its_source_once():
    limits = ("B/t <= 35 (aisc-360-22, K3)", "F_y in MPa <= 360 (aisc-360-22, K3)", "30 <= theta in degrees <= 90 (aisc-360-22, K1)")
    assert tables.range_text(limits, "mm") == \
        "B/t ≤ 35; F_y ≤ 360 MPa (aisc-360-22, K3); 30 ≤ theta ≤ 90 degrees (aisc-360-22, K1)"
    assert "F_y ≤ 52.2 ksi" in tables.range_text(limits, "inch") and "MPa" not in tables.range_text(limits, "inch")


# --- pictures --------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", sorted({**BASES, **OPEN_JOBS}))
def test_drawing_and_joint_map_of_every_base_are_readable(name):
    job = read_job({**BASES, **OPEN_JOBS}[name])
    g = build(job)
    made = cards(job, g, [])
    for picture in (drawing.general_view(g, job.system), joint_map(g, made, job.system)):
        assert_readable(picture.figure)


@pytest.mark.parametrize("name", [p.stem for p in sorted(JOBS.glob("*.toml"))])
def test_drawing_and_joint_map_of_the_jobs_are_readable(name):
    job = read_job((JOBS / f"{name}.toml").read_text(encoding="utf-8"))
    g = build(job)
    for picture in (drawing.general_view(g, job.system), joint_map(g, cards(job, g, []), job.system)):
        assert_readable(picture.figure)
        assert "-" not in re.findall(r"reaches (\S+)", picture.caption)


@pytest.mark.parametrize("moisture, change", [
    ((6, 8, 11), (-0.35, 0, 0.53)), ((6, 6.3, 11), (-0.05, 0, 0.8)), ((6, 10.7, 11), (-0.8, 0, 0.05)), ((6, 12, 11), (-0.8, 0, -0.2)),
    ((7, 5, 11), (0.4, 0, 0.9)),
])
def test_names_of_seasons_stand_off_their_line_and_one_another(moisture, change):
    from shopcalc.show.canvas import new_figure

    curve = WidthCurve(new_figure(6.6, 2.3).add_axes((0.12, 0.22, 0.86, 0.75)), "inch")
    curve.draw(moisture, Q(list(change), "inch"), ("driest", "as built", "dampest"))
    figure = curve.ax.figure
    assert_readable(figure)
    line = curve._line.get_path().transformed(curve.ax.transData)
    assert not any(line.intersects_bbox(t.get_window_extent(), filled=False) for t in curve._texts)
