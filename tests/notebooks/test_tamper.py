"""A changed digit in what a notebook stores is found by the strict rerun."""

import re
import shutil

import pytest
from notebook_kit import FOLDER, rewrite, strict_rerun

NAME = "01-which-tube-gauge.ipynb"


@pytest.fixture
def copy(tmp_path):
    """A copy of the notebook with the job it reads, in another folder."""
    shutil.copy(FOLDER / NAME, tmp_path / NAME)
    shutil.copytree(FOLDER / "jobs", tmp_path / "jobs")
    return tmp_path


def change_a_digit(kind):
    """A change of one digit of one stored output of a kind, the first that has a decimal fraction."""
    changed = []

    def change(data):
        for cell in data["cells"]:
            for out in cell.get("outputs", []):
                stored = out.get("data", {}).get(kind)
                lines = [stored] if isinstance(stored, str) else stored or []
                for i, line in enumerate(lines):
                    found = re.search(r"\d\.\d", line)
                    if found and not changed:
                        at = found.end() - 1
                        digit = str((int(line[at]) + 1) % 10)
                        lines[i] = line[:at] + digit + line[at + 1:]
                        out["data"][kind] = lines
                        changed.append((line, lines[i]))
    return change, changed


def test_an_untouched_copy_passes_in_another_folder(copy):
    found = strict_rerun(copy, NAME)
    assert found.returncode == 0, found.stdout + found.stderr


@pytest.mark.parametrize("kind", ["text/html", "text/plain", "text/markdown"])
def test_one_changed_digit_fails(copy, kind):
    change, changed = change_a_digit(kind)
    rewrite(copy / NAME, change)
    ((before, after),) = changed
    assert sum(a != b for a, b in zip(before, after, strict=True)) == 1
    found = strict_rerun(copy, NAME)
    assert found.returncode == 1, found.stdout + found.stderr
    assert re.search(r"\b1 failed\b", found.stdout), found.stdout
