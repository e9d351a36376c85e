"""The three controls in a real browser: a key press changes the number and the picture at once."""

from pathlib import Path
from statistics import median

import nbformat
import pytest
from browser_kit import chromium, lab_server, open_page, run_all

JOB = Path(__file__).parents[2] / "notebooks" / "jobs" / "archive_map_table.toml"
CELLS = [
    "from shopcalc import show\nfrom shopcalc.stock.tubes import stock_tubes\nfrom shopcalc.table.job import read_job",
    "show.tube_gauge(stock_tubes('A513'))",
    "show.stretcher_sag(stock_tubes('A513', 'square'))",
    f"show.overhang_tipping(read_job({JOB.read_text(encoding='utf-8')!r}))",
]
# Press a key, then wait for the next frame in which both the words and the picture are others.
PRESS = """async ([control, setting]) => {
    const handle = document.querySelector(`.${control}-${setting} .noUi-handle`);
    const words = document.querySelector(`.${control}-answer`), picture = document.querySelector(`.${control}-picture`);
    const before = [words.textContent, picture.src], begin = performance.now();
    handle.focus();
    handle.dispatchEvent(new KeyboardEvent('keydown', {key: 'ArrowRight', bubbles: true}));
    while (performance.now() - begin < 5000) {
        await new Promise(requestAnimationFrame);
        if (words.textContent !== before[0] && picture.src !== before[1]) break;
    }
    return [performance.now() - begin, words.textContent !== before[0], picture.src !== before[1]];
}"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    chromium()
    place = tmp_path_factory.mktemp("lab")
    book = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(source) for source in CELLS])
    book.metadata.kernelspec = {"name": "python3", "display_name": "Python 3", "language": "python"}
    nbformat.write(book, place / "controls.ipynb")
    return place


def test_a_key_press_changes_number_and_picture(folder):
    pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    with lab_server(folder) as lab, open_page(lab.address("controls.ipynb")) as seen:
        run_all(seen.page)
        seen.page.locator(".overhang-tipping-picture").wait_for()
        for control, setting in (("tube-gauge", "span"), ("stretcher-sag", "span"), ("overhang-tipping", "overhang")):
            taken = []
            for _ in range(7):
                took, words, picture = seen.page.evaluate(PRESS, [control, setting])
                assert words and picture, f"{control}: a key changed nothing"
                taken.append(took)
            print(f"{control}: {median(taken):.0f} ms ({min(taken):.0f} to {max(taken):.0f})")
            # the aim is 100 ms on a quiet machine; reported, since no test hangs on the clock
        assert seen.console_errors == [] and seen.outside == []
