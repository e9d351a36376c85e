"""Make the README's picture of the start notebook again: `python tests/store_picture.py`. Needs a Chromium."""

import tempfile

from browser_kit import ROOT, copy_notebooks, lab_server, open_page, run_all
from PIL import Image

NAME, PICTURE = "00-start-here.ipynb", ROOT / "notebooks" / "pictures" / "start.png"
WIDE, TALL = 1460, 1900  # of the window: the page beside JupyterLab's folder list is then about 1,100 wide
HEIGHT = 1330  # from the heading of the page to the questions


def main():
    PICTURE.parent.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, lab_server(copy_notebooks(folder)) as lab:
        with open_page(lab.address(NAME), width=WIDE, height=TALL) as seen:
            page = seen.page
            run_all(page)
            page.keyboard.press("Escape")
            page.mouse.move(WIDE - 5, TALL - 5)
            page.evaluate("document.activeElement.blur()")
            page.evaluate("document.querySelector('.jp-WindowedPanel-outer').scrollTo(0, 0)")
            page.wait_for_timeout(1500)
            box = page.locator(".jp-NotebookPanel .jp-WindowedPanel-outer").bounding_box()
            page.screenshot(path=PICTURE, clip={**box, "height": HEIGHT})
    Image.open(PICTURE).convert("RGB").save(PICTURE, optimize=True)
    print(f"{PICTURE.relative_to(ROOT)}: {Image.open(PICTURE).size}, {PICTURE.stat().st_size // 1000} kB")


if __name__ == "__main__":
    main()
