"""Which room may import which, and what `import shopcalc` leaves alone."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import shopcalc

PACKAGE = Path(shopcalc.__file__).parent
# From the ground up, as in DEVELOPERS.md: a module imports only from its own room and from rooms before it.
ROOMS = ("errors", "units", "expression", "formula", "sources", "check", "stock", "mechanics", "codes",
         "joints", "wood",
         "table", "making", "moving", "sweep", "assess", "cases", "show", "__main__")
# A library -> the only rooms that may import it. Whatever stands in no row may be imported anywhere.
ONLY_IN = {name: ("show",) for name in ("matplotlib", "pandas", "ipywidgets", "IPython", "jinja2",
                                        "latex2mathml")}
LATE = {"sympy", "scipy", "skfem"}  # only inside a function
NEVER = {"Pynite", "anastruct", "sectionproperties", "hypothesis", "pytest"}
MODULES = sorted(PACKAGE.rglob("*.py"))


def room(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imports(path: Path):
    """(dotted name, line, inside a function) of everything a module imports."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    kinds = ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda
    functions = [node for node in ast.walk(tree) if isinstance(node, kinds)]
    late = {id(inner) for function in functions for inner in ast.walk(function)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield alias.name, node.lineno, id(node) in late
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path.name}:{node.lineno}: imports are written from shopcalc on"
            for alias in node.names if node.module == "shopcalc" else [None]:
                yield f"shopcalc.{alias.name}" if alias else node.module, node.lineno, id(node) in late


def broken(path: Path) -> list[str]:
    mine, wrong = room(path), []
    if mine == "__init__":
        return [f"{line}: {name}" for name, line, late in imports(path)
                if name.startswith("shopcalc") and not late]
    if mine not in ROOMS:
        return [f"{mine} is no room of DEVELOPERS.md"]
    for name, line, late in imports(path):
        top, *rest = name.split(".")
        if top == "shopcalc":
            theirs = rest[0] if rest else "__init__"
            if theirs in ("__init__", "__version__"):
                continue
            if theirs not in ROOMS or ROOMS.index(theirs) > ROOMS.index(mine):
                wrong.append(f"{line}: {mine} imports {theirs}, which stands above it")
        elif mine not in ONLY_IN.get(top, (mine,)):
            wrong.append(f"{line}: only {ONLY_IN[top][0]}/ imports {top}")
        elif top in LATE and not late:
            wrong.append(f"{line}: {top} is imported inside the function that needs it")
        elif top in NEVER:
            wrong.append(f"{line}: {top} is no part of the kit")
    return wrong


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_imports_run_one_way(path):
    assert broken(path) == []


@pytest.mark.parametrize(("where", "line"), [
    ("units.py", "from shopcalc.formula import formula"), ("stock/x.py", "import shopcalc.mechanics.beams"),
    ("mechanics/x.py", "from shopcalc import stock\nfrom shopcalc import codes"),
    ("table/x.py", "import matplotlib.pyplot as plt"),
    ("sweep.py", "import pandas"), ("check.py", "from jinja2 import Template"),
    ("formula.py", "import sympy"),
    ("show/x.py", "from scipy.optimize import brentq"), ("cellar/x.py", "import math"),
    ("codes/x.py", "import pytest"),
    ("assess.py", "from shopcalc.show.tables import table"), ("__init__.py", "from shopcalc.units import Q")])
def test_a_wrong_arrow_is_found(tmp_path, monkeypatch, where, line):
    monkeypatch.setitem(globals(), "PACKAGE", tmp_path)
    path = tmp_path / where
    path.parent.mkdir(exist_ok=True)
    path.write_text(line, encoding="utf-8")
    assert broken(path)
    path.write_text("def later():\n    import sympy\n    from shopcalc.errors import InputError\n",
                    encoding="utf-8")
    assert where == "cellar/x.py" or where == "__init__.py" or not broken(path)


def test_no_formula_is_defined_where_things_are_only_shown():
    for path in sorted((PACKAGE / "show").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef):
                marks = {ast.unparse(d.func if isinstance(d, ast.Call) else d) for d in node.decorator_list}
                assert not marks & {"formula", "clause"}, f"{path.name}: {node.name}"


def loaded_by(statement: str) -> set[str]:
    code = f"import sys\n{statement}\nprint(*sys.modules)"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return set(run.stdout.split())


# pint looks whether SciPy is there (its empty shell, some milliseconds); its parts must not load.
HEAVY = {"sympy", "pandas", "matplotlib", "IPython", "ipywidgets", "jinja2", "latex2mathml", "pytest",
         "scipy.optimize", "scipy.linalg", "scipy.sparse", "scipy.spatial", "scipy.stats", "scipy.special"}


def test_the_package_itself_loads_nothing():
    assert not loaded_by("import shopcalc") & {*HEAVY, "numpy", "pint", "scipy"}


@pytest.mark.parametrize("statement", [
    "import shopcalc.formula, shopcalc.check, shopcalc.sources, shopcalc.cases",
    "import shopcalc.mechanics.beams, shopcalc.stock.tubes, shopcalc.joints.welds",
    "import shopcalc.assess, shopcalc.sweep", "import shopcalc.__main__"])
def test_heavy_libraries_wait_until_they_are_needed(statement):
    loaded = loaded_by(statement)
    assert "shopcalc" in loaded
    assert loaded & HEAVY == set()


def test_a_heavy_library_would_be_seen():
    assert "scipy.optimize" in loaded_by("import scipy.optimize") & HEAVY
