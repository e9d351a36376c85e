#!/usr/bin/env python3
"""Set the kit up and open its notebooks, or run its tests.

    python3 start.py                  set up if needed, open the notebooks in the browser
    python3 start.py --no-browser     the same on a machine without a screen: prints the address to open
    python3 start.py test             set up if needed, run every test and rerun every notebook
    python3 start.py test -k words    only the tests whose names hold these words (the rest goes to pytest)
    python3 start.py --help           this text

On Windows write  py start.py  instead. The first run needs the internet and takes a minute or two.
Everything goes into the folder .venv beside this file; delete that folder to start afresh.
"""

# Standard library only, and nothing newer than Python 3.6 in the way it is written: an old Python must be
# able to read this file far enough to say that it is too old.

import hashlib
import importlib.util
import json
import os
import platform
import signal
import subprocess
import sys
from pathlib import Path
from urllib.parse import quote

ROOT = Path(__file__).resolve().parent
NEED = (3, 11)
TRIED = (3, 14)  # the newest Python the pinned packages were resolved for
PINNED = ("pyproject.toml", "constraints.txt", "setup.py")
DONE, BAD_USE, STOPPED = 0, 2, 130

# No news box, no look for updates: opening the notebooks asks nothing of the internet.
LAB_SETTINGS = {
    "@jupyterlab/apputils-extension:notification": {"fetchNews": "false", "checkForUpdates": False},
}


class SetupError(Exception):
    """Set-up cannot go on; the text says why and what to do."""


# ---- what this machine must have -------------------------------------------------------------------------


def machine_problem(version=None, pointer_max=None, has=None, root=ROOT):
    """Why the kit cannot be set up with this Python, in words for its user; None if it can."""
    version = tuple(version or sys.version_info[:3])
    has = has or (lambda module: importlib.util.find_spec(module) is not None)
    shown = ".".join(str(n) for n in version[:3])
    if version < NEED:
        return (
            f"This is Python {shown}; the kit needs Python {NEED[0]}.{NEED[1]} or newer.\n"
            "If a newer one is installed, name it:  python3.12 start.py  (Windows:  py -3.12 start.py).\n"
            "If not, install one: from python.org, or with the package manager of this machine."
        )
    if (pointer_max or sys.maxsize) <= 2**32:
        return (
            f"This is a 32-bit Python {shown}; the packages the kit needs exist for 64-bit only.\n"
            "Install the 64-bit Python for this machine and run start.py with it."
        )
    if not (has("venv") and has("ensurepip")):
        return (
            f"This Python {shown} came without its venv part, which the kit needs for its own environment.\n"
            "Debian, Ubuntu and relatives:  "
            f"sudo apt install python3-venv  (or python{version[0]}.{version[1]}-venv).\n"
            "Elsewhere: install the full Python from python.org."
        )
    if os.pathsep in str(root):
        return (
            f"The folder's path holds {os.pathsep!r}, which a Python environment cannot live with:\n"
            f"  {root}\nRename the folder (letters, digits, spaces, accents are fine) and run start.py again."
        )
    return None


# ---- the environment -------------------------------------------------------------------------------------


def venv_python(root=ROOT, windows=None):
    """The environment's own Python: Scripts\\python.exe on Windows, bin/python elsewhere."""
    windows = os.name == "nt" if windows is None else windows
    return Path(root) / ".venv" / ("Scripts/python.exe" if windows else "bin/python")


def stamp(root=ROOT, version=None):
    """What the environment depends on, as one hash: pinned files, this Python, place of the folder."""
    hashed = hashlib.sha256()
    for name in PINNED:
        hashed.update(name.encode() + b"\0" + (Path(root) / name).read_bytes() + b"\0")
    where = [sys.implementation.name, *(version or sys.version_info[:3]), platform.machine(), str(root)]
    hashed.update(json.dumps(where).encode())
    return hashed.hexdigest()


def read_stamp(root=ROOT):
    """The stamp of the last finished set-up and what it holds ("kit" or "kit and tests"), or two Nones."""
    try:
        written, holds = (Path(root) / ".venv" / "set-up-finished").read_text(encoding="utf-8").splitlines()
    except (OSError, ValueError):
        return None, None
    return written, holds


def write_stamp(root=ROOT, tests=False):
    """Mark the set-up as finished. Always the last step: without the mark the environment is not used."""
    mark = Path(root) / ".venv" / "set-up-finished"
    fresh = mark.with_suffix(".new")
    fresh.write_text(stamp(root) + "\n" + ("kit and tests" if tests else "kit") + "\n", encoding="utf-8")
    os.replace(str(fresh), str(mark))


def needs_setup(root=ROOT, tests=False):
    """Why set-up has to run, in words; None if the environment can be used as it stands."""
    root = Path(root)
    if not (root / ".venv").exists():
        return "first set-up"
    written, holds = read_stamp(root)
    if written is None:
        return "the last set-up did not finish"
    if written != stamp(root):
        return "the pinned packages, the Python or the place of this folder changed"
    if not venv_python(root).exists():
        return "the Python behind the environment is gone"
    if tests and holds != "kit and tests":
        return "the test tools are not there yet"
    return None


def child_environment():
    """The caller's environment without what would lead the kit's own Python astray."""
    env = dict(os.environ)
    for name in ("PYTHONHOME", "PYTHONPATH", "PIP_TARGET", "PIP_PREFIX", "MPLBACKEND", "JUPYTER_PATH"):
        env.pop(name, None)
    env.update(PYTHONNOUSERSITE="1", PIP_USER="0", PIP_DISABLE_PIP_VERSION_CHECK="1", PIP_NO_INPUT="1")
    return env


def set_up(root=ROOT, tests=False, call=None):
    """Bring .venv into order if it is not. `call(command)` runs one command and returns its exit code."""
    root = Path(root)
    call = call or (lambda command: subprocess.call(command, cwd=str(root), env=child_environment()))
    reason = needs_setup(root, tests)
    if reason is None:
        return
    folder, mark = root / ".venv", root / ".venv" / "set-up-finished"
    if folder.exists() and not (folder / "pyvenv.cfg").exists() and any(folder.iterdir()):
        raise SetupError(f"{folder} exists but is no Python environment. Move it away and run this again.")
    print(f"Setting up ({reason}). This takes a minute or two and needs the internet ...", flush=True)

    only_tests = tests and reason == "the test tools are not there yet"
    kept = mark.read_bytes() if only_tests else None
    if mark.exists():
        mark.unlink()
    if not only_tests:
        if Path(sys.prefix).resolve() == folder.resolve():
            raise SetupError(
                "This Python is the kit's own environment, which has to be made anew.\n"
                "Leave it first (type  deactivate  or open a new window), then run start.py again."
            )
        if call([sys.executable, "-m", "venv", "--clear", str(folder)]):
            raise SetupError(
                f"The environment could not be made in {folder}; what Python said stands above.\n"
                "If a file is in use, close JupyterLab and every window open in this folder; try again."
            )
    wanted = ".[test]" if tests else "."
    install = [
        # --no-compile halves the wait: Python compiles what is used, when it is first used
        str(venv_python(root)), "-m", "pip", "install", "--quiet", "--no-compile",
        "-c", "constraints.txt", "-e", wanted,
    ]
    if call(install):
        if kept is not None:  # pip fails before it touches what was there: the kit itself still works
            mark.write_bytes(kept)
        newer = "" if sys.version_info[:2] <= TRIED else (
            f"\nThis Python is newer than the pinned packages; try Python {TRIED[0]}.{TRIED[1]} or older."
        )
        raise SetupError(
            "The packages could not be installed; what pip said stands above.\n"
            "Most often the internet was out of reach or the disk was full. Put that right and run the same "
            "command again." + newer
        )
    write_settings(root)
    write_stamp(root, tests)
    print("Set-up finished.", flush=True)


def write_settings(root=ROOT):
    """JupyterLab's settings for this environment only; the user's own stay untouched."""
    place = Path(root) / ".venv" / "etc" / "jupyter" / "labconfig"
    place.mkdir(parents=True, exist_ok=True)
    text = json.dumps(LAB_SETTINGS, indent=1)
    (place / "default_setting_overrides.json").write_text(text, encoding="utf-8")


# ---- the two commands ------------------------------------------------------------------------------------


def notebooks(root=ROOT):
    """The kit's notebooks in their order."""
    return sorted((Path(root) / "notebooks").glob("*.ipynb"))


def lab_command(root=ROOT, browser=True):
    """The command that opens JupyterLab on the notebooks, for this machine only."""
    found = notebooks(root)
    command = [
        # not "jupyter lab": that goes through a script which breaks when the folder moves
        str(venv_python(root)), "-m", "jupyterlab",
        "--ServerApp.ip=127.0.0.1",
        "--ServerApp.root_dir=" + str(Path(root) / "notebooks"),
        "--ServerApp.answer_yes=True",  # Ctrl-C ends at once instead of asking back
        "--LabApp.extension_manager=readonly",
        "--log-level=WARN",  # leaves the address, drops the chatter
    ]
    if found:
        command.append("--LabApp.default_url=/lab/tree/" + quote(found[0].name))
    if not browser:
        command.append("--no-browser")
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        command.append("--allow-root")
    return command


def test_command(root=ROOT, words=()):
    """The one pytest run: all tests and a strict rerun of every notebook, or only what `words` ask for."""
    command = [str(venv_python(root)), "-m", "pytest"]
    if words:
        return command + list(words)
    command += ["tests", "-n", "logical", "--dist", "loadfile"]  # as many at once as the machine has cores
    if notebooks(root):
        command += [
            "notebooks", "--nbval", "--nbval-current-env", "-p", "no:cacheprovider",
            "--nbval-sanitize-with", "tests/nbval_sanitize.cfg",
        ]
    return command


def run(command, root=ROOT):
    """Run a command to its end; a stop of this script stops the command too."""
    child = subprocess.Popen(command, cwd=str(root), env=child_environment())
    if hasattr(signal, "SIGTERM"):
        signal.signal(signal.SIGTERM, lambda *_: sys.exit(128 + signal.SIGTERM))
    try:
        while True:
            try:
                return child.wait()
            except KeyboardInterrupt:
                continue  # the child got the same Ctrl-C; wait for it to end in good order
    finally:
        if child.poll() is None:
            child.terminate()
            child.wait()


def open_notebooks(root=ROOT, browser=True):
    """Set up, trust the kit's own notebooks so that their stored pictures show, open JupyterLab."""
    set_up(root)
    found = notebooks(root)
    if not found:
        raise SetupError(f"No notebooks in {Path(root) / 'notebooks'}: is this the whole folder of the kit?")
    trust = [str(venv_python(root)), "-m", "nbformat.sign", "--log-level=WARN"] + [str(p) for p in found]
    quiet = subprocess.run(
        trust, cwd=str(root), env=child_environment(), stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
    )
    if quiet.returncode:
        print("The notebooks could not be marked as trusted: stored pictures show after Run > Run All Cells.")
        print(quiet.stdout.decode(errors="replace"))
    if browser:
        print("Opening the notebooks in the browser. Leave this window open; Ctrl-C here ends the kit.")
    else:
        print("Open the address below (127.0.0.1) in a browser on this machine; Ctrl-C here ends the kit.")
    sys.stdout.flush()
    return run(lab_command(root, browser), root)


def run_tests(root=ROOT, words=()):
    """Set up with the test tools and run the tests; pytest's exit code."""
    set_up(root, tests=True)
    return run(test_command(root, words), root)


def main(words):
    """Read the command line and do it; the exit code."""
    if any(word in ("-h", "--help") for word in words[:1]):
        print(__doc__.strip())
        return DONE
    tests = words[:1] == ["test"]
    if not tests and words not in ([], ["--no-browser"]):
        print("start.py does not know: " + " ".join(words) + "\n\n" + __doc__.strip(), file=sys.stderr)
        return BAD_USE
    problem = machine_problem()
    if problem:
        print(problem, file=sys.stderr)
        return BAD_USE
    try:
        if tests:
            return run_tests(words=words[1:])
        return open_notebooks(browser="--no-browser" not in words)
    except SetupError as err:
        print("\n" + str(err), file=sys.stderr)
        return BAD_USE
    except KeyboardInterrupt:
        print("\nStopped. Run the same command again to go on.", file=sys.stderr)
        return STOPPED


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
