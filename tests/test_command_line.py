"""The command line as an outside script calls it: exit codes, shapes of what it prints, no traceback on bad input."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
JOB = ROOT / "notebooks" / "jobs" / "archive_map_table.toml"
TEXT = JOB.read_text(encoding="utf-8")


def run(*words, cwd=ROOT):
    return subprocess.run([sys.executable, "-m", "shopcalc", *map(str, words)], capture_output=True, text=True,
                          encoding="utf-8", timeout=120, cwd=cwd)


@pytest.fixture(scope="module")
def as_json():
    done = run("check", JOB, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_json_has_the_agreed_shape(as_json):
    assert {"format", "job", "code", "checks", "not_checked"} <= set(as_json)
    wanted = {"id", "name", "about", "kind", "case", "demand", "limit", "ratio", "verdict", "clause", "source", "provenance", "range",
              "worked", "assumed", "cautions"}
    for check in as_json["checks"]:
        assert wanted <= set(check), check["id"]
        for key in ("demand", "limit"):
            assert check[key] is None or set(check[key]) == {"value", "unit"}
    ids = [c["id"] for c in as_json["checks"]]
    assert len(ids) == len(set(ids))


def test_a_table_for_the_fabricator():
    done = run("check", JOB)
    assert done.returncode == 0
    for words in ("within limit", "Not checked", "Assumed", "lbf", "licensed engineer"):
        assert words in done.stdout
    assert max(len(line) for line in done.stdout.splitlines()) <= 100


@pytest.mark.parametrize("change", [
    ('apart = "78 in"', "apart = 78"), ('apart = "78 in"', 'apart = "78"'), ('apart = "78 in"', 'apart = "-78 in"'),
    ('apart = "78 in"', 'apart = "78 lbf"'), ('apart = "78 in"', 'apart = "9**9**9 in"'), ('apart = "78 in"', 'apart = "1e400 in"'),
    ('apart = "78 in"', 'apart = "nan in"'), ('apart = "78 in"', 'aprat = "78 in"'), ('wood      = "white oak"', 'wood = "wite oak"'),
    ("2 in x 11 ga, A513", "2 in x 16 ga carbon sheet, A513"), ("format = 1", "format = 2"), ("[joints]", "[joint]"),
    ('rail_to_post      =', 'rail_to_posts =')])
def test_bad_input_ends_with_two_and_teaches(tmp_path, change):
    old, new = change
    assert old in TEXT
    path = tmp_path / "job.toml"
    path.write_text(TEXT.replace(old, new, 1), encoding="utf-8")
    done = run("check", path)
    assert done.returncode == 2
    assert done.stdout == ""
    for word in ("where", "got", "need"):
        assert word in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("content", [b"", b"\x00\x01\xff\xfe", b"format = 1\n[", b"x" * 10_000, b"a" * 300_000])
def test_a_file_that_is_no_job(tmp_path, content):
    path = tmp_path / "job.toml"
    path.write_bytes(content)
    done = run("check", path)
    assert done.returncode == 2 and "Traceback" not in done.stderr and done.stdout == ""


def test_a_missing_file_and_a_folder(tmp_path):
    for path in (tmp_path / "none.toml", tmp_path):
        done = run("check", path)
        assert done.returncode == 2 and "Traceback" not in done.stderr


def test_a_weak_table_ends_with_one(tmp_path):
    """Feet close together: the table goes over under the people named in the load table."""
    path = tmp_path / "job.toml"
    path.write_text(TEXT.replace('apart = "78 in"', 'apart = "30 in"'), encoding="utf-8")
    done = run("check", path)
    assert done.returncode == 1
    assert "over limit" in done.stdout


def test_record_and_rerun(tmp_path):
    done = run("record", JOB, "-o", tmp_path / "record")
    assert done.returncode == 0, done.stderr
    html = (tmp_path / "record" / "record.html").read_text(encoding="utf-8")
    assert "<script" not in html and "http://" not in html.replace("http://www.w3.org", "") and "<math" in html
    again = run("rerun", tmp_path / "record" / "record.json")
    assert again.returncode == 0 and "same" in again.stdout
    data = json.loads((tmp_path / "record" / "record.json").read_text(encoding="utf-8"))
    first = next(id for id, c in data["checks"].items() if c["ratio"])
    data["checks"][first]["ratio"] *= 1.01
    (tmp_path / "record" / "record.json").write_text(json.dumps(data), encoding="utf-8")
    changed = run("rerun", tmp_path / "record" / "record.json")
    assert changed.returncode == 1 and f"{first}, ratio" in changed.stdout


def test_a_bad_job_leaves_no_record(tmp_path):
    path = tmp_path / "job.toml"
    path.write_text(TEXT.replace('apart = "78 in"', 'apart = "300 in"'), encoding="utf-8")
    done = run("record", path, "-o", tmp_path / "record")
    assert done.returncode == 2 and not (tmp_path / "record").exists()


def test_cases_pass_and_a_tampered_one_fails(tmp_path):
    good = run("cases", ROOT / "references" / "cases" / "gauges.toml")
    assert good.returncode == 0 and "digits" in good.stdout
    text = (ROOT / "references" / "cases" / "gauges.toml").read_text(encoding="utf-8")
    assert 'ga_16 = "0.0625 in"' in text
    path = tmp_path / "gauges.toml"
    path.write_text(text.replace('ga_16 = "0.0625 in"', 'ga_16 = "0.0629 in"'), encoding="utf-8")
    assert run("cases", path).returncode == 1


@pytest.mark.parametrize("words", [(), ("frob",), ("check",), ("check", "one", "two"), ("record", "job.toml"), ("check", "--jsn", "job.toml")])
def test_a_command_that_is_none_ends_with_two_and_shows_the_commands(words):
    done = run(*words)
    assert done.returncode == 2 and done.stdout == "" and "usage" in done.stderr and "Traceback" not in done.stderr


@pytest.mark.parametrize("content", [b"", b"{", b"{}", b"[1, 2]", b"\xff\xfe\x00", b"null", b'{"format": 99}'])
def test_a_record_that_is_none_ends_with_two(tmp_path, content):
    path = tmp_path / "record.json"
    path.write_bytes(content)
    done = run("rerun", path)
    assert done.returncode == 2 and done.stdout == "" and "Traceback" not in done.stderr and "need" in done.stderr


@pytest.mark.parametrize("content", [b"", b"# nothing\n", b"[[case]]\n", b"{", b"\xff\xfe\x00", b'[[case]]\nid = "a"\n'])
def test_case_files_that_hold_no_case_end_with_two_and_never_say_good(tmp_path, content):
    path = tmp_path / "cases.toml"
    path.write_bytes(content)
    done = run("cases", path)
    assert done.returncode == 2 and "good" not in done.stdout and "Traceback" not in done.stderr


@pytest.mark.parametrize("command", ["check", "rerun", "cases"])
def test_a_device_that_never_ends_is_refused(command):
    if not Path("/dev/zero").exists():
        return  # not everywhere
    done = run(command, "/dev/zero")
    assert done.returncode == 2 and done.stdout == "" and "ordinary file" in done.stderr


def test_a_reader_that_leaves_early_sees_no_traceback():
    """As with `| head -1`: the pipe is closed while the cases are still printed."""
    done = subprocess.Popen([sys.executable, "-m", "shopcalc", "cases", str(ROOT / "references" / "cases" / "beams.toml")],
                            stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=ROOT)
    assert done.stdout.readline()
    done.stdout.close()
    told = done.stderr.read()
    assert done.wait(timeout=60) == 0 and b"Traceback" not in told and b"Error" not in told


def test_words_on_a_bad_job_are_plain_whatever_stands_in_it(tmp_path):
    """Control characters of a job never reach the terminal."""
    path = tmp_path / "job.toml"
    path.write_text(TEXT.replace('style  = "trestles"', 'style = "\\u001b[2Jtrestles"'), encoding="utf-8")
    done = run("check", path)
    assert done.returncode == 2 and "\x1b" not in done.stderr and "base.style" in done.stderr and "did you mean trestles" in done.stderr
