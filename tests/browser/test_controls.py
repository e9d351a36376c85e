"""The notebooks as a user has them: in a real browser, run, and their controls moved by the keyboard."""

import statistics

import pytest
from browser_kit import chromium, copy_notebooks, lab_server, open_page, run_all

# notebook, its control, the settings moved by a key, and those chosen from a list
CONTROLS = [
    ("01-which-tube-gauge.ipynb", "tube-gauge", ("span", "load"), ("wall", "product", "size")),
    ("02-stretcher-sag.ipynb", "stretcher-sag", ("span", "load"), ("ends", "tube")),
    ("03-overhang-and-tipping.ipynb", "overhang-tipping", ("overhang", "inset", "load", "mass", "push"), ("event",)),
    ("05-welds-and-joints.ipynb", "joint-bench", ("moment", "leg", "pull", "shear"), ("joint", "made")),
    ("06-top-sag-and-droop.ipynb", "top-sag", ("thickness", "overhang"), ()),
    ("07-movement-and-flattening.ipynb", "wood-movement", ("built", "dry", "damp"), ("cut", "wood")),
    ("07-movement-and-flattening.ipynb", "flattening-steel", ("bow",), ("bars", "place", "way")),
]
# The map shows at what load the table goes over; the load that is asked about changes it only where it tips. Two
# joints of the same bars look alike.
SAME_PICTURE = {("overhang-tipping", "load"), ("joint-bench", "joint")}
PRESSES = 7

# A hash of the bytes of the picture as the browser got them, not of their address.
PICTURE = """async control => {
    const bytes = await (await fetch(document.querySelector(`.${control}-picture`).src)).arrayBuffer();
    const hash = await crypto.subtle.digest('SHA-256', bytes);
    return [...new Uint8Array(hash)].map(n => n.toString(16)).join('') + ' ' + bytes.byteLength;
}"""
# Notes when a key goes down and when words and picture next stand changed in the page.
WATCH = """control => {
    const words = document.querySelector(`.${control}-answer`);
    const picture = document.querySelector(`.${control}-picture`);
    const watch = window.watch = {before: [words.textContent, picture.src], times: []};
    let pressed = null;
    document.addEventListener('keydown', () => { pressed = performance.now(); }, true);
    const look = () => {
        if (pressed !== null && words.textContent !== watch.before[0] && picture.src !== watch.before[1]) {
            watch.times.push(performance.now() - pressed);
            watch.before = [words.textContent, picture.src];
            pressed = null;
        }
        requestAnimationFrame(look);
    };
    look();
}"""


@pytest.fixture(scope="module")
def lab(tmp_path_factory):
    chromium()
    pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    folder = copy_notebooks(tmp_path_factory.mktemp("browser"))
    with lab_server(folder) as running:
        yield running


def change(page, control, keys, *, picture):
    """Press keys; the words of the answer must change, and the bytes of the picture."""
    before, bytes_before = words(page, control), page.evaluate(PICTURE, control)
    for key in keys:
        page.keyboard.press(key)
    wait_for_change(page, control, before)
    assert "No answer" not in words(page, control)
    if picture:
        page.wait_for_function(f"async ([control, before]) => await ({PICTURE})(control) !== before",
                               arg=[control, bytes_before], timeout=20_000)


def words(page, control):
    return page.locator(f".{control}-answer").inner_text()


def wait_for_change(page, control, before):
    page.wait_for_function(
        "([control, before]) => document.querySelector(`.${control}-answer`).innerText !== before",
        arg=[control, before], timeout=20_000)


@pytest.mark.parametrize("name,control,keys,lists", CONTROLS, ids=[c[1] for c in CONTROLS])
def test_controls(lab, name, control, keys, lists):
    with open_page(lab.address(name)) as seen:
        page = seen.page
        run_all(page)
        page.locator(f".{control}-picture").wait_for()

        for setting in keys:
            handle = page.locator(f".{control}-{setting} .noUi-handle")
            handle.focus()
            assert page.evaluate("document.activeElement.getAttribute('role')") == "slider"
            change(page, control, ["ArrowRight"], picture=(control, setting) not in SAME_PICTURE)

        for setting in lists:
            box = page.locator(f".{control}-{setting} select")
            box.focus()
            chosen, later = box.input_value(), box.evaluate("box => box.selectedIndex > 0")
            # JupyterLab keeps the arrow keys for its cells until the list is open
            change(page, control, ["Space", "ArrowUp" if later else "ArrowDown", "Enter"], picture=(control, setting) not in SAME_PICTURE)
            assert box.input_value() != chosen

        measure(page, control, keys[0])
        assert seen.console_errors == []
        assert seen.outside == [], "asked another machine"


def at_end(handle, which):
    return float(handle.get_attribute("aria-valuenow")) == float(handle.get_attribute(f"aria-{which}"))


def measure(page, control, setting):
    """Report how long a key press takes to words and picture. Not judged here: a busy machine is no fault."""
    handle = page.locator(f".{control}-{setting} .noUi-handle")
    handle.focus()
    before = words(page, control)
    if not at_end(handle, "valuemin"):
        page.keyboard.press("Home")
        wait_for_change(page, control, before)
    page.evaluate(WATCH, control)
    for n in range(PRESSES):
        if at_end(handle, "valuemax"):
            break
        before = words(page, control)
        page.keyboard.press("ArrowRight")
        wait_for_change(page, control, before)
        page.wait_for_function("n => window.watch.times.length > n", arg=n, timeout=20_000)
    times = page.evaluate("window.watch.times")
    print(f"{control}: key press to changed words and picture {statistics.median(times):.0f} ms "
          f"({min(times):.0f} to {max(times):.0f})")


def test_the_start_page_runs(lab):
    with open_page(lab.address("00-start-here.ipynb")) as seen:
        run_all(seen.page)
        seen.page.get_by_text("checks against a limit").first.wait_for()
        assert seen.page.locator("table.checks").count() >= 3
        assert seen.console_errors == [] and seen.outside == []
