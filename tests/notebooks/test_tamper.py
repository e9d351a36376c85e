"""A changed digit in what a notebook stores is found by the strict rerun, and nothing else is."""

import re
import shutil

import pytest
from notebook_kit import FOLDER, rewrite, strict_rerun

NAME = "01-which-tube-gauge.ipynb"
KINDS = ("text/html", "text/plain", "text/markdown")


@pytest.fixture
def folder(tmp_path):
    """A copy of the notebook with the job it reads, in another folder."""
    shutil.copy(FOLDER / NAME, tmp_path / NAME)
    shutil.copytree(FOLDER / "jobs", tmp_path / "jobs")
    return tmp_path


def change_one_digit(out, kind):
    """One digit of a stored text one further: 0.39 becomes 0.49. Returns the text before and after, or None."""
    stored = out.get("data", {}).get(kind)
    lines = [stored] if isinstance(stored, str) else stored or []
    for i, line in enumerate(lines):
        found = re.search(r"\d\.\d", line)
        if found:
            at = found.end() - 1
            lines[i] = line[:at] + str((int(line[at]) + 1) % 10) + line[at + 1:]
            out["data"][kind] = lines
            return line, lines[i]
    return None


def tamper(data):
    """In one cell for each kind of text, one digit. Returns kind -> (number of the code cell, before, after)."""
    done = {}
    cells = [cell for cell in data["cells"] if cell["cell_type"] == "code"]
    for kind in KINDS:
        for n, cell in enumerate(cells):
            changed = None
            if n not in [at for at, *_ in done.values()]:
                changed = next((c for out in cell["outputs"] if (c := change_one_digit(out, kind))), None)
            if changed:
                done[kind] = (n, *changed)
                break
    return done


def failed_cells(found):
    return sorted(int(n) for n in re.findall(r"FAILED \S+::Cell (\d+)", found.stdout))


def test_an_untouched_copy_passes_in_another_folder(folder):
    found = strict_rerun(folder, NAME)
    assert found.returncode == 0, found.stdout + found.stderr
    assert re.search(r"\d+ passed", found.stdout)


def test_one_changed_digit_fails_whatever_the_kind_of_text(folder):
    done = {}
    rewrite(folder / NAME, lambda data: done.update(tamper(data)))
    assert set(done) == set(KINDS), "no digit to change"
    for _, before, after in done.values():
        assert sum(a != b for a, b in zip(before, after, strict=True)) == 1
    found = strict_rerun(folder, NAME)
    assert found.returncode == 1, found.stdout + found.stderr
    assert failed_cells(found) == sorted(n for n, *_ in done.values()), found.stdout
