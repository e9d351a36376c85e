"""Run the notebooks and store what they show: `python tests/store_notebooks.py [NOTEBOOK ...]`.

What differs between two runs of the same answers (random names of widgets, times, the version of Python) is
left out or made even, so that a stored notebook changes only where an answer does.
"""

import json
import os
import sys
from pathlib import Path

import nbformat
from nbclient import NotebookClient

FOLDER = Path(__file__).resolve().parent.parent / "notebooks"
WIDGETS = "application/vnd.jupyter.widget-state+json"
METADATA = {
    "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}


def run(notebook, folder=FOLDER):
    """Run every cell in a fresh kernel. An error in a cell is raised."""
    NotebookClient(notebook, timeout=600, kernel_name="python3", record_timing=False,
                   resources={"metadata": {"path": str(folder)}}).execute()


def evened(notebook):
    """The notebook as it is stored: names in order, nothing that a rerun would change."""
    widgets = notebook.metadata.get("widgets")
    notebook.metadata = nbformat.from_dict(dict(METADATA))
    if widgets:
        notebook.metadata.widgets = widgets
    for n, cell in enumerate(notebook.cells):
        cell.id = f"cell-{n:02d}"
        cell.metadata.pop("execution", None)
    text = json.dumps(notebook)
    for n, name in enumerate(_in_order(widgets)):
        text = text.replace(name, f"{n:032x}")
    notebook = nbformat.from_dict(json.loads(text))
    if widgets:
        state = notebook.metadata.widgets[WIDGETS]["state"]
        notebook.metadata.widgets[WIDGETS]["state"] = nbformat.from_dict({k: state[k] for k in sorted(state)})
    return notebook


def _in_order(widgets):
    """Names of the widgets in the order in which they were made: the kernel stores them so."""
    return list(widgets[WIDGETS]["state"]) if widgets else []


def main(names):
    os.environ["PYTHONHASHSEED"] = "0"  # for the kernels: no order that changes from run to run
    for path in [Path(n).resolve() for n in names] or sorted(FOLDER.glob("*.ipynb")):
        notebook = nbformat.read(path, as_version=4)
        run(notebook, path.parent)
        before, after = path.read_text(encoding="utf-8"), nbformat.writes(evened(notebook)) + "\n"
        path.write_text(after, encoding="utf-8", newline="\n")
        print(f"{path.name}: {'as it was' if after == before else 'changed'}")


if __name__ == "__main__":
    main(sys.argv[1:])
