"""The calculation record: what stands in it, how it is written, and that it prints."""

import json
import re
from pathlib import Path

import pytest
from browser_kit import FLAGS, chromium
from show.show_synthetic import assessment as synthetic
from show.test_show_tables import read

from shopcalc.assess import assess
from shopcalc.errors import InputError
from shopcalc.show import record
from shopcalc.show.stored import record_dict
from shopcalc.show.tables import full_name

JOB = Path(__file__).parents[2] / "notebooks" / "jobs" / "archive_map_table.toml"
FILES = {"record.html", "record.json", "pictures/table.svg", "pictures/joints.svg", "pictures/places.svg", "pictures/base.svg", "pictures/used.svg"}


@pytest.fixture(scope="module")
def found():
    return assess(JOB)


@pytest.fixture(scope="module")
def page(found):
    return record.record_html(found)


def files_in(folder: Path) -> set[str]:
    return {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()}


# --- the page ------------------------------------------------------------------------------------


def test_the_page_has_no_script_and_asks_for_nothing(page):
    assert "<script" not in page.lower() and "javascript:" not in page.lower()
    assert not re.search(r"\son\w+\s*=", re.sub(r"<pre>.*?</pre>", "", page, flags=re.S))
    assert not re.search(r"https?://", page), "an address that something may fetch"
    sources = re.findall(r'\b(?:src|href|action|data)="([^"]*)"', page)
    assert sources and all(s.startswith("data:image/svg+xml;base64,") for s in sources)
    assert "default-src 'none'" in page and "@import" not in page and "url(" not in page


def test_the_page_is_closed_and_has_what_an_engineer_looks_for(page, found):
    read(page)
    for words in (
        "Calculation record",
        found.job.name,
        "AISC 360-22 (ASD)",
        "Not checked",
        "Assumed",
        "Cautions",
        "Worked steps",
        "Sources",
        "The job as it was read",
        "Review",
        "Signature",
        "licensed engineer",
    ):
        assert words in page
    assert page.count("<math") > 50
    assert "@page" in page


def test_every_check_has_its_step_with_its_result(page, found):
    from html import escape

    from shopcalc.show.mathml import raised

    for check in found.checks:
        assert escape(full_name(check)) in page and f'class="id">{escape(check.id)}<' in page
        for line in check.worked:
            assert escape(raised(line.result)) in page


def test_no_word_suggests_certification(found):
    # the job's own text and the names of mill certificates are not the record's words
    own = (Path(record.__file__).with_name("templates") / "record.html.j2").read_text()
    assert not re.search(r"certif|approved|guarantee|stamped|complies|compliant|safe to", own, re.IGNORECASE)
    assert "accepted or rejected" in own


def test_lists_that_are_not_made_are_named_and_no_empty_file_is_written(page, found):
    assert "parts.csv, cutting.csv and buying.csv" in page
    assert set(record.record_files(found)) == FILES


def test_text_of_the_job_is_escaped():
    page = record.record_html(synthetic())
    assert "Table &lt;one&gt; &amp; only" in page and "<one>" not in page
    read(page)


# --- the data ------------------------------------------------------------------------------------


def test_json_comes_back_as_it_was(found):
    files = record.record_files(found)
    data = json.loads(files["record.json"], parse_constant=lambda word: pytest.fail(f"{word} is no JSON"))
    assert data == record_dict(found)
    for check in found.checks:
        kept = data["checks"][check.id]
        if check.demand is not None:
            assert kept["demand"]["value"] == check.demand.magnitude  # full precision
    assert data["job_text"] == JOB.read_text(encoding="utf-8")


def test_the_same_job_gives_the_same_bytes_without_date_or_path(found):
    one, two = record.record_files(found), record.record_files(assess(JOB))
    assert one == two
    text = one["record.json"].decode()
    assert not re.search(r"\b20\d\d-\d\d-\d\d\b", text)
    assert str(JOB.parent) not in text and str(Path.home()) not in text


# --- writing -------------------------------------------------------------------------------------


def test_a_record_is_written_whole(found, tmp_path):
    written = record.write_record(found, tmp_path / "deep" / "record")
    assert files_in(tmp_path / "deep" / "record") == FILES == {
        p.relative_to(tmp_path / "deep" / "record").as_posix() for p in written}
    assert [p.name for p in (tmp_path / "deep").iterdir()] == ["record"]


def test_a_crash_while_writing_leaves_nothing(found, tmp_path, monkeypatch):
    plain, count = Path.write_bytes, []

    def failing(self, content):
        count.append(self)
        if len(count) == 3:
            raise OSError(28, "No space left on device")
        return plain(self, content)

    monkeypatch.setattr(Path, "write_bytes", failing)
    with pytest.raises(InputError, match="No space left"):
        record.write_record(found, tmp_path / "record")
    assert list(tmp_path.iterdir()) == []


def test_a_fault_while_drawing_leaves_nothing(found, tmp_path, monkeypatch):
    def broken(*args):
        raise ZeroDivisionError

    monkeypatch.setattr(record, "record_pictures", broken)
    with pytest.raises(ZeroDivisionError):
        record.write_record(found, tmp_path / "record")
    assert list(tmp_path.iterdir()) == []


def test_writing_again_replaces_the_record_and_nothing_else(found, tmp_path):
    folder = tmp_path / "record"
    record.write_record(synthetic(), folder)
    (folder / "notes.txt").write_text("measured walls")
    record.write_record(found, folder)
    assert files_in(folder) == FILES | {"notes.txt"}
    assert json.loads((folder / "record.json").read_text())["job"] == found.job.name
    assert [p.name for p in tmp_path.iterdir()] == ["record"]


def test_a_file_in_the_way_is_refused(found, tmp_path):
    (tmp_path / "record").write_text("a file")
    with pytest.raises(InputError) as error:
        record.write_record(found, tmp_path / "record")
    assert error.value.field == "record folder" and error.value.example
    assert (tmp_path / "record").read_text() == "a file"


# --- in a browser --------------------------------------------------------------------------------

WIDE = """() => [...document.querySelectorAll('math, table, img, p, pre, td, li')]
  .filter(e => e.getBoundingClientRect().right > document.documentElement.clientWidth + 1)
  .map(e => e.tagName + ' ' + e.textContent.slice(0, 80))"""


def test_it_prints_on_letter_and_a4_with_nothing_cut_and_nothing_asked(found, tmp_path):
    sync = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    path = chromium()
    record.write_record(found, tmp_path / "record")
    with sync.sync_playwright() as play:
        browser = play.chromium.launch(executable_path=path, args=FLAGS)
        view = browser.new_page()
        asked, said = [], []
        view.on("request", lambda r: asked.append(r.url))
        view.on("console", lambda m: said.append(m.text))
        view.goto((tmp_path / "record" / "record.html").as_uri())
        view.emulate_media(media="print")
        for paper, width in (("Letter", 215.9 - 28), ("A4", 210 - 28)):
            view.set_viewport_size({"width": int(width / 25.4 * 96), "height": 1000})
            assert view.evaluate(WIDE) == [], paper
            printed = view.pdf(format=paper)
            assert printed.startswith(b"%PDF") and len(printed) > 20_000
        # a fraction is drawn as one: its numerator stands above its denominator
        above = view.evaluate("""() => { const f = document.querySelector('math mfrac');
            const [n, d] = [...f.children].map(e => e.getBoundingClientRect());
            return n.bottom <= d.top + 1 }""")
        assert above
        loaded = view.evaluate("() => [...document.images].every(i => i.complete && i.naturalWidth > 100)")
        assert loaded
        browser.close()
    assert [u for u in asked if not u.startswith(("file:", "data:"))] == []
    assert said == []
