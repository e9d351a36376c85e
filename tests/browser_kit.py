"""What a browser test needs: find Chromium, start a JupyterLab of its own, open a page, run a notebook.

Nothing here reads or writes the user's own Jupyter settings, and nothing may ask another machine: requests
that try are collected, so that a test can insist on none.
"""

import contextlib
import dataclasses
import json
import os
import secrets
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from pathlib import Path
from urllib.parse import quote, urlsplit

import pytest

ROOT = Path(__file__).resolve().parent.parent
NAMES = (
    "chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome",
    "microsoft-edge", "msedge",
)
FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]
SETTINGS = {
    "@jupyterlab/apputils-extension:notification": {"fetchNews": "false", "checkForUpdates": False},
    # every cell stands in the page, also those off the screen
    "@jupyterlab/notebook-extension:tracker": {"windowingMode": "none"},
}
LOCAL = {"127.0.0.1", "localhost"}


# ---- the browser -----------------------------------------------------------------------------------------


def usual_places():
    """Where installers put a Chromium-type browser that is not on the PATH."""
    if sys.platform == "darwin":
        apps = ("Chromium", "Google Chrome", "Microsoft Edge")
        for base in (Path("/Applications"), Path.home() / "Applications"):
            yield from (base / f"{app}.app/Contents/MacOS/{app}" for app in apps)
    elif os.name == "nt":
        parts = ("Chromium/Application/chrome.exe", "Google/Chrome/Application/chrome.exe",
                 "Microsoft/Edge/Application/msedge.exe")
        for variable in ("PROGRAMFILES", "PROGRAMFILES(X86)", "LOCALAPPDATA"):
            if os.environ.get(variable):
                yield from (Path(os.environ[variable]) / part for part in parts)


def find_chromium():
    """Path of a Chromium-type browser, or None. SHOPCALC_CHROMIUM names one outright and must exist."""
    named = os.environ.get("SHOPCALC_CHROMIUM")
    if named:
        found = shutil.which(named)
        if not found:
            raise FileNotFoundError(
                f"SHOPCALC_CHROMIUM is {named!r}, no program here; give the full path of a Chromium, "
                "or unset it to search the usual places"
            )
        return found
    for name in NAMES:
        found = shutil.which(name)
        if found:
            return found
    return next((str(place) for place in usual_places() if place.is_file()), None)


def chromium():
    """Path of the browser. Without one the test fails in CI and is named as not run elsewhere."""
    found = find_chromium()
    if found:
        return found
    reason = (
        "no Chromium or Chrome found, so nothing was tried in a real browser; "
        "install one or set SHOPCALC_CHROMIUM"
    )
    if os.environ.get("CI") == "true":
        pytest.fail(reason)
    pytest.skip(reason)


# ---- the server ------------------------------------------------------------------------------------------


@dataclasses.dataclass(frozen=True)
class Lab:
    """A running JupyterLab: its address, its token, the folder it serves."""

    url: str
    token: str
    folder: Path

    def address(self, notebook):
        """Where to open a notebook of the served folder, e.g. `02_sag.ipynb`, alone in the window."""
        return f"{self.url}/lab/tree/{quote(notebook)}?token={self.token}&reset"


def copy_notebooks(destination):
    """A copy of notebooks/ with its job files: what JupyterLab opens it also saves."""
    ignored = shutil.ignore_patterns(".ipynb_checkpoints", "__pycache__")
    return Path(shutil.copytree(ROOT / "notebooks", Path(destination) / "notebooks", ignore=ignored))


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


@contextlib.contextmanager
def lab_server(folder, *, wait=60):
    """JupyterLab on `folder`, at 127.0.0.1 only, with its own token and settings; ends with the block."""
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as own:
        own = Path(own)
        env = {key: value for key, value in os.environ.items() if key not in ("JUPYTER_PATH", "MPLBACKEND")}
        for variable in ("JUPYTER_CONFIG_DIR", "JUPYTER_DATA_DIR", "JUPYTER_RUNTIME_DIR",
                         "JUPYTERLAB_SETTINGS_DIR", "JUPYTERLAB_WORKSPACES_DIR", "IPYTHONDIR"):
            env[variable] = str(own / variable.lower())
            Path(env[variable]).mkdir()
        overrides = Path(env["JUPYTER_CONFIG_DIR"]) / "labconfig"
        overrides.mkdir()
        (overrides / "default_setting_overrides.json").write_text(json.dumps(SETTINGS), encoding="utf-8")

        port, token, log = free_port(), secrets.token_hex(16), own / "server.log"
        lab = Lab(f"http://127.0.0.1:{port}", token, Path(folder))
        command = [
            sys.executable, "-m", "jupyterlab", "--no-browser", "--ServerApp.ip=127.0.0.1",
            f"--ServerApp.port={port}", "--ServerApp.port_retries=0", f"--IdentityProvider.token={token}",
            f"--ServerApp.root_dir={folder}", "--LabApp.expose_app_in_browser=True",
            "--LabApp.extension_manager=readonly",
        ]
        if hasattr(os, "geteuid") and os.geteuid() == 0:
            command.append("--allow-root")
        with log.open("wb") as out:
            server = subprocess.Popen(command, env=env, stdin=subprocess.DEVNULL, stdout=out, stderr=out)
            try:
                _wait_until_up(lab, server, log, wait)
                yield lab
            finally:
                server.terminate()
                try:
                    server.wait(15)
                except subprocess.TimeoutExpired:
                    server.kill()
                    server.wait()


def _wait_until_up(lab, server, log, wait):
    direct = urllib.request.build_opener(urllib.request.ProxyHandler({}))
    asked = urllib.request.Request(f"{lab.url}/api/status", headers={"Authorization": f"token {lab.token}"})
    end = time.monotonic() + wait
    while server.poll() is None and time.monotonic() < end:
        try:
            with direct.open(asked, timeout=5):
                return
        except (urllib.error.URLError, OSError):
            time.sleep(0.1)
    ended = "ended by itself" if server.poll() is not None else f"gave no answer in {wait} s"
    raise RuntimeError(f"JupyterLab {ended}:\n" + log.read_text(encoding="utf-8", errors="replace")[-3000:])


# ---- the page --------------------------------------------------------------------------------------------


@dataclasses.dataclass
class Watched:
    """A page, and what it complained of or asked of other machines while it was open."""

    page: object
    console_errors: list
    outside: list


@contextlib.contextmanager
def open_page(address, *, width=1400, height=1000):
    """Open an address in a headless Chromium; yields a `Watched` with the Playwright page in `.page`."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium(), args=FLAGS)
        try:
            page = browser.new_page(viewport={"width": width, "height": height})
            seen = Watched(page, [], [])
            page.on("console", lambda said: said.type == "error" and seen.console_errors.append(said.text))
            page.on("pageerror", lambda error: seen.console_errors.append(str(error)))
            page.on("request", lambda asked: _is_outside(asked.url) and seen.outside.append(asked.url))
            page.on("websocket", lambda opened: _is_outside(opened.url) and seen.outside.append(opened.url))
            page.goto(address)
            yield seen
        finally:
            browser.close()


def _is_outside(url):
    parts = urlsplit(url)
    return parts.scheme in ("http", "https", "ws", "wss") and parts.hostname not in LOCAL


# What the notebook on the screen has done so far, read from JupyterLab itself.
STATE = """() => {
    const panel = window.jupyterapp?.shell.currentWidget;
    const kernel = panel?.sessionContext?.session?.kernel;
    if (!panel?.content?.model || !kernel) return null;
    const cells = panel.content.model.sharedModel.toJSON().cells.filter(
        cell => cell.cell_type === 'code' && [].concat(cell.source).join('').trim());
    const errors = cells.flatMap(cell => cell.outputs).filter(out => out.output_type === 'error');
    return {
        kernel: kernel.status,
        code: cells.length,
        ran: cells.filter(cell => cell.execution_count !== null).length,
        errors: errors.map(error => error.ename + ': ' + error.evalue),
    };
}"""


def _wait_for(page, good, what, wait):
    end = time.monotonic() + wait
    while time.monotonic() < end:
        state = page.evaluate(STATE)
        if state and state["errors"]:
            raise AssertionError("a cell failed in the browser: " + "; ".join(state["errors"]))
        if state and good(state):
            return state
        page.wait_for_timeout(100)
    raise AssertionError(f"{what} took more than {wait} s; the notebook stood at {page.evaluate(STATE)}")


def _menu(page, *labels):
    """Click through the menu bar as a user does."""
    bar, *items = labels
    page.locator(".lm-MenuBar-itemLabel", has_text=bar).first.click()
    for label in items:
        page.locator(".lm-Menu-itemLabel").get_by_text(label, exact=True).first.click()


def wait_for_kernel(page, *, wait=60):
    """Wait until the opened notebook has an idle kernel."""
    return _wait_for(page, lambda state: state["kernel"] == "idle", "starting the kernel", wait)


def run_all(page, *, wait=120):
    """Clear the stored outputs, then Run > Run All Cells; returns when every code cell ran without error."""
    wait_for_kernel(page)
    for _ in range(3):  # on a busy machine a menu may close again under the pointer
        _menu(page, "Edit", "Clear Outputs of All Cells")
        page.wait_for_timeout(500)
        state = page.evaluate(STATE)
        if state and state["ran"] == 0:
            break
    _wait_for(page, lambda state: state["ran"] == 0, "clearing the stored outputs", 30)
    _menu(page, "Run", "Run All Cells")
    done = lambda state: state["ran"] == state["code"] and state["kernel"] == "idle"  # noqa: E731
    return _wait_for(page, done, "running all cells", wait)
