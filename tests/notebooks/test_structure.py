"""How the notebooks are made: cells that only ask and show, outputs that are the same every time."""

import ast
import copy
import re

import pytest
from notebook_kit import NOTEBOOKS, VIEW, code_cells, outputs, read, source
from store_notebooks import evened

# What a cell may be made of: imports, names given to what is loaded, and calls that show.
ALLOWED = (ast.Module, ast.Import, ast.ImportFrom, ast.alias, ast.Assign, ast.Expr, ast.Call, ast.Attribute,
           ast.Name, ast.Load, ast.Store, ast.Constant, ast.keyword)
MOST_LINES = 5
NUMBER = re.compile(r"(?<![\w.])\d[\d,]*\.\d+(?:e[+-]?\d+)?")
ADDRESS = re.compile(r"\bat 0x[0-9a-f]+|<[\w.]+ object")
# Words for goods and programs: none belongs on a page of the shop.
FOREIGN = re.compile(r"[®™]|\b(spreadsheet|app|apps|plugin|add-on|software|calculator)\b", re.IGNORECASE)


@pytest.fixture(params=NOTEBOOKS, ids=[path.stem for path in NOTEBOOKS])
def notebook(request):
    return read(request.param)


def text_of(data):
    """Everything of an output that is read as text."""
    return "\n".join("".join(value) for kind, value in data.items() if kind.startswith("text/"))


def test_the_four_questions_are_there():
    assert [path.name[:2] for path in NOTEBOOKS][:4] == ["00", "01", "02", "03"]


def test_the_first_leads_to_every_other():
    first = "".join(source(cell) for cell in read(NOTEBOOKS[0])["cells"])
    assert [path.name for path in NOTEBOOKS[1:] if f"({path.name})" not in first] == []


def test_it_opens_with_its_question_and_how_to_run_it(notebook):
    first = notebook.cells[0]
    assert first.cell_type == "markdown"
    heading, *rest = source(first).splitlines()
    assert heading.startswith("# ") and heading.endswith("?")
    assert "*Run > Run All Cells*" in "\n".join(rest)


def test_cells_only_load_and_show(notebook):
    for cell in code_cells(notebook):
        text = source(cell)
        assert text.startswith("# "), f"no plain comment at the head of: {text}"
        assert len(text.splitlines()) <= MOST_LINES, text
        for node in ast.walk(ast.parse(text)):
            assert isinstance(node, ALLOWED), f"{type(node).__name__} in: {text}"
        calls = [node for node in ast.walk(ast.parse(text)) if isinstance(node, ast.Call)]
        assert all(not isinstance(arg, ast.Call) for call in calls for arg in call.args), text


@pytest.mark.parametrize("text", [
    "def f(): pass", "for x in y: pass", "while x: pass", "[a for a in b]", "lambda: 1", "a + 1", "-a",
    "class A: pass", "a < b", "a[0]", "if a: b()", "with a: b()", "f'{a}'"])
def test_the_rule_for_cells_refuses_programming(text):
    assert any(not isinstance(node, ALLOWED) for node in ast.walk(ast.parse(text)))


def test_code_is_folded_away(notebook):
    assert all(cell.metadata.get("jupyter", {}).get("source_hidden") for cell in code_cells(notebook))


def test_the_kernel_is_named_as_every_installation_names_it(notebook):
    assert notebook.metadata.kernelspec.name == "python3"


def test_every_cell_stores_what_it_shows_and_none_failed(notebook):
    for cell in code_cells(notebook):
        assert cell.outputs, f"nothing stored: {source(cell)}"
        assert cell.execution_count, f"never run: {source(cell)}"
        for out in cell.outputs:
            assert out.output_type in ("display_data", "execute_result"), f"{out.output_type}: {source(cell)}"


def test_no_addresses_and_no_unrounded_numbers(notebook):
    for cell, _, data in outputs(notebook):
        text = text_of(data)
        assert not ADDRESS.search(text), source(cell)
        for number in NUMBER.findall(text):
            digits = number.split("e")[0].split(".")[1].lstrip("0")
            assert len(digits) <= 6, f"{number} in the output of: {source(cell)}"


def test_every_output_also_stands_as_plain_text(notebook):
    for cell, _, data in outputs(notebook):
        assert "".join(data.get("text/plain", "")).strip(), source(cell)


def test_every_picture_has_its_numbers_in_words(notebook):
    pictures = [(cell, data) for cell, _, data in outputs(notebook) if "image/png" in data]
    assert pictures
    for cell, data in pictures:
        assert re.search(r"\d", data["text/plain"]) and len(data["text/plain"].split()) > 6, source(cell)
        assert not {"image/svg+xml", "image/jpeg"} & set(data), "only PNG shows before a notebook is trusted"


def test_every_control_is_followed_by_its_still_copy(notebook):
    cells = code_cells(notebook)
    controls = [i for i, cell in enumerate(cells) if any(VIEW in out.get("data", {}) for out in cell.outputs)]
    for i in controls:
        asked = source(cells[i]).splitlines()[-1]
        assert source(cells[i + 1]).splitlines()[-1] == f"{asked}.still()"
        kinds = set().union(*(out.data for out in cells[i + 1].outputs))
        assert {"text/html", "text/plain", "image/png"} <= kinds and VIEW not in kinds
    stills = [cell for cell in cells if ".still(" in source(cell)]
    assert len(stills) == len(controls)


def test_three_notebooks_have_a_control():
    with_controls = [path for path in NOTEBOOKS if any(VIEW in data for _, _, data in outputs(read(path)))]
    assert len(with_controls) >= 3


def test_it_is_stored_as_the_command_stores_it(notebook):
    """No times, no random names: a rerun that gives the same answers changes no byte."""
    assert evened(copy.deepcopy(notebook)) == notebook


def test_shop_words_only(notebook):
    words = "\n".join([*map(source, notebook.cells), *(text_of(data) for _, _, data in outputs(notebook))])
    assert not FOREIGN.search(words), FOREIGN.search(words)


def test_a_tables_row_is_named_and_its_verdict_is_a_word(notebook):
    """Nothing is told by colour or by place alone."""
    for cell, _, data in outputs(notebook):
        for row in re.findall(r'<tr class="v-([a-z-]+)">(.*?)</tr>', data.get("text/html", "")):
            assert row[0].replace("-", " ") in row[1] and '<th scope="row"' in row[1], source(cell)
