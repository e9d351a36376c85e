"""The stored notebooks as the tests read them, and one strict rerun of a notebook."""

import json
import os
import subprocess
import sys
from pathlib import Path

import nbformat

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / "notebooks"
NOTEBOOKS = sorted(FOLDER.glob("*.ipynb"))
VIEW = "application/vnd.jupyter.widget-view+json"


def read(path):
    return nbformat.read(path, as_version=4)


def code_cells(notebook):
    return [cell for cell in notebook.cells if cell.cell_type == "code"]


def outputs(notebook):
    """(cell, output, its data) of everything the notebook shows."""
    return [(cell, out, out.get("data", {})) for cell in code_cells(notebook) for out in cell.outputs]


def source(cell):
    return "".join(cell.source)


def rewrite(path, change):
    """Change a notebook file as data, and write it back."""
    data = json.loads(path.read_text(encoding="utf-8"))
    change(data)
    path.write_text(json.dumps(data, indent=1, ensure_ascii=False), encoding="utf-8")


def strict_rerun(folder, *names):
    """Strict comparison of notebooks in a folder with a fresh run, in a process of its own."""
    command = [sys.executable, "-m", "pytest", *names, "--nbval", "--nbval-current-env", "-q", "-rf", "-p",
               "no:cacheprovider", "--nbval-sanitize-with", str(ROOT / "tests" / "nbval_sanitize.cfg"),
               "--rootdir", str(folder), "-c", os.devnull]
    return subprocess.run(command, cwd=folder, capture_output=True, text=True, timeout=600, check=False)
