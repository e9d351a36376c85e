"""Set-up: the pinned files agree, start.py keeps its word, nothing machine-bound is committed."""

import ast
import importlib.metadata
import importlib.util
import os
import re
import shutil
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest
import yaml
from packaging.requirements import Requirement
from packaging.specifiers import SpecifierSet
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parent.parent
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
PINS = [Requirement(line) for line in (ROOT / "constraints.txt").read_text(encoding="utf-8").splitlines()]


def wanted():
    extras = [line for lines in PROJECT["optional-dependencies"].values() for line in lines]
    return [Requirement(line) for line in PROJECT["dependencies"] + extras]


# ---- the pinned files ------------------------------------------------------------------------------------


def test_every_constraint_is_one_exact_version():
    for pin in PINS:
        assert [s.operator for s in pin.specifier] == ["=="], str(pin)
        assert pin.url is None, str(pin)


@pytest.mark.parametrize("need", wanted(), ids=lambda need: need.name)
def test_every_wanted_package_is_pinned_within_its_range(need):
    versions = [
        next(iter(pin.specifier)).version
        for pin in PINS if canonicalize_name(pin.name) == canonicalize_name(need.name)
    ]
    assert versions, f"{need.name} stands in pyproject.toml but not in constraints.txt"
    assert all(version in need.specifier for version in versions), (need, versions)


@pytest.mark.parametrize("name", ["numpy", "scipy", "pint", "sympy", "pandas", "matplotlib"])
def test_packages_that_make_stored_numbers_are_the_same_for_every_python(name):
    pins = [pin for pin in PINS if pin.name == name]
    assert len(pins) == 1 and pins[0].marker is None, [str(pin) for pin in pins]


def test_what_is_installed_is_what_is_pinned():
    for pin in PINS:
        if pin.marker is None or pin.marker.evaluate():
            assert importlib.metadata.version(pin.name) in pin.specifier, str(pin)


def test_conda_file_only_brings_python_and_pip():
    conda = yaml.safe_load((ROOT / "environment.yml").read_text(encoding="utf-8"))
    assert set(conda) == {"name", "channels", "dependencies"}
    assert conda["name"] == PROJECT["name"]
    assert conda["channels"] == ["conda-forge", "nodefaults"]
    python, pip, through_pip = conda["dependencies"]
    name, _, version = python.partition("=")
    assert name == "python" and version in SpecifierSet(PROJECT["requires-python"])
    assert pip == "pip"
    assert through_pip == {"pip": ["-c constraints.txt", "-e ."]}, "the packages belong into pyproject.toml"


def test_wheel_holds_every_data_file_and_the_published_cases(tmp_path):
    source, built = tmp_path / "source", tmp_path / "built"
    left_out = shutil.ignore_patterns("__pycache__", ".ipynb_checkpoints", "*.egg-info")
    for folder in ("shopcalc", "references"):
        shutil.copytree(ROOT / folder, source / folder, ignore=left_out)
    for name in ("pyproject.toml", "setup.py", "LICENSE"):
        shutil.copy(ROOT / name, source)
    subprocess.run(
        [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--no-build-isolation",
         "--wheel-dir", str(built), str(source)],
        check=True,
    )
    [wheel] = built.glob("*.whl")
    held = set(zipfile.ZipFile(wheel).namelist())
    kept = {p.relative_to(source).as_posix() for p in (source / "shopcalc").rglob("*") if p.is_file()}
    cases = {p.relative_to(source).as_posix() for p in (source / "references").rglob("*.toml")}
    assert "references/sources.toml" in cases
    missing = (kept | {f"shopcalc/{name}" for name in cases}) - held
    assert not missing, f"setup.py leaves these out of the wheel: {sorted(missing)}"


# ---- nothing machine-bound is committed ------------------------------------------------------------------

# Written in pieces, so that this file does not hold what it forbids.
REGISTRY = re.compile("|".join([
    r"https?://[^\s\"']*/simple\b", r"pypi\.org", r"pythonhosted\.org", r"repo\.anaconda", r"npm" r"js\.",
    "--(?:extra-)?index" "-url", "--find" "-links",
]))
# The sign before it must not continue a word, a longer path or a picture's base64 text.
MACHINE = re.compile(r"(?<![\w.<+=/\\-])/(?:tmp|root|work|home)/|(?<![A-Za-z])[A-Z]:[\\/]+Users\b")


def committed():
    if not (ROOT / ".git").exists():
        return [p for p in ROOT.rglob("*") if p.is_file() and ".venv" not in p.relative_to(ROOT).parts]
    listed = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, check=True, capture_output=True).stdout
    return [path for name in listed.decode().split("\0") if name and (path := ROOT / name).is_file()]


@pytest.mark.parametrize("pattern", [REGISTRY, MACHINE], ids=["registry address", "machine path"])
def test_committed_files_hold_no(pattern):
    found = []
    for path in committed():
        if path.suffix in (".png", ".pdf"):
            continue
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
            if match := pattern.search(line):
                found.append(f"{path.relative_to(ROOT)}:{number}: {match.group()}")
    assert not found, "\n".join(found)


def test_the_search_for_addresses_and_paths_finds_planted_ones():
    for planted in ("--index" "-url x", "https://pypi" ".org/y", "http://h/p/" "simple", "--find" "-links d"):
        assert REGISTRY.search(planted), planted
    for planted in ("'/" "tmp/x'", "see /" "home/ann/y", "C:" + "\\Users\\ann"):
        assert MACHINE.search(planted), planted
    for harmless in ("</root>", "iVBORw0KGgo/tmp/AAA", "bin/work/", "references/home/x"):
        assert not MACHINE.search(harmless), harmless


def test_packaging_files_hold_no_address_at_all():
    for name in ("constraints.txt", "pyproject.toml", "environment.yml", "setup.py"):
        assert not re.search(r"https?://|file:", (ROOT / name).read_text(encoding="utf-8")), name


# ---- start.py --------------------------------------------------------------------------------------------


@pytest.fixture
def kit(tmp_path):
    """A copy of what set-up reads, in a folder with a space and an accent, and start.py loaded from there."""
    folder = tmp_path / "mesa ñ 1"
    (folder / "notebooks").mkdir(parents=True)
    for name in ("start.py", "pyproject.toml", "constraints.txt", "setup.py"):
        shutil.copy(ROOT / name, folder)
    (folder / "notebooks" / "00_start.ipynb").write_text("{}", encoding="utf-8")
    (folder / "notebooks" / "01_tube.ipynb").write_text("{}", encoding="utf-8")
    return load(folder)


def load(folder):
    spec = importlib.util.spec_from_file_location("start_copy", folder / "start.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    assert module.ROOT == folder.resolve()
    return module


class Calls:
    """Stands in for the commands of set-up: notes each, makes the files venv would make, fails on request."""

    def __init__(self, kit, failing=None):
        self.kit, self.failing, self.commands, self.marked = kit, failing, [], []

    def __call__(self, command):
        self.commands.append(command)
        self.marked.append(self.kit.read_stamp()[0] is not None)
        if self.failing in command:
            return 1
        if command[1:3] == ["-m", "venv"]:
            python = self.kit.venv_python()
            python.parent.mkdir(parents=True, exist_ok=True)
            python.write_text("")
            (self.kit.ROOT / ".venv" / "pyvenv.cfg").write_text("")
        return 0


def test_first_set_up_builds_installs_pinned_and_marks_last(kit):
    assert kit.needs_setup(kit.ROOT) == "first set-up"
    calls = Calls(kit)
    kit.set_up(kit.ROOT, tests=False, call=calls)
    made, installed = calls.commands
    assert made == [sys.executable, "-m", "venv", "--clear", str(kit.ROOT / ".venv")]
    assert installed[0] == str(kit.venv_python())
    assert installed[1:4] == ["-m", "pip", "install"]
    assert installed[-4:] == ["-c", "constraints.txt", "-e", "."]
    assert calls.marked == [False, False]
    assert kit.needs_setup(kit.ROOT) is None
    again = Calls(kit)
    kit.set_up(kit.ROOT, call=again)
    assert again.commands == []


def test_test_tools_are_added_without_building_anew(kit):
    kit.set_up(kit.ROOT, call=Calls(kit))
    assert kit.needs_setup(kit.ROOT, tests=True) == "the test tools are not there yet"
    calls = Calls(kit)
    kit.set_up(kit.ROOT, tests=True, call=calls)
    assert [command[-1] for command in calls.commands] == [".[test]"]
    assert kit.needs_setup(kit.ROOT, tests=True) is None
    assert kit.needs_setup(kit.ROOT) is None


def test_a_failed_install_is_never_used(kit):
    with pytest.raises(kit.SetupError, match="internet"):
        kit.set_up(kit.ROOT, call=Calls(kit, failing="pip"))
    assert kit.needs_setup(kit.ROOT) == "the last set-up did not finish"
    calls = Calls(kit)
    kit.set_up(kit.ROOT, call=calls)
    assert "--clear" in calls.commands[0]


def test_a_failed_venv_installs_nothing(kit):
    calls = Calls(kit, failing="venv")
    with pytest.raises(kit.SetupError, match="could not be made"):
        kit.set_up(kit.ROOT, call=calls)
    assert len(calls.commands) == 1


def test_test_tools_out_of_reach_leave_the_kit_usable(kit):
    kit.set_up(kit.ROOT, call=Calls(kit))
    with pytest.raises(kit.SetupError):
        kit.set_up(kit.ROOT, tests=True, call=Calls(kit, failing="pip"))
    assert kit.needs_setup(kit.ROOT) is None
    assert kit.needs_setup(kit.ROOT, tests=True) == "the test tools are not there yet"


def test_an_interrupted_set_up_is_not_finished(kit):
    kit.set_up(kit.ROOT, call=Calls(kit))

    def interrupted(command):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        kit.set_up(kit.ROOT, tests=True, call=interrupted)
    assert kit.needs_setup(kit.ROOT) == "the last set-up did not finish"


def test_a_moved_folder_is_set_up_anew(kit):
    kit.set_up(kit.ROOT, call=Calls(kit))
    moved = kit.ROOT.with_name("mesa é 2")
    kit.ROOT.rename(moved)
    reason = load(moved).needs_setup(moved)
    assert reason == "the pinned packages, the Python or the place of this folder changed"


@pytest.mark.parametrize("name", ["constraints.txt", "pyproject.toml", "setup.py"])
def test_a_changed_pin_is_set_up_anew(kit, name):
    kit.set_up(kit.ROOT, call=Calls(kit))
    with (kit.ROOT / name).open("a", encoding="utf-8") as file:
        file.write("# one more\n")
    assert "changed" in kit.needs_setup(kit.ROOT)


def test_another_python_is_set_up_anew(kit):
    assert kit.stamp(kit.ROOT) != kit.stamp(kit.ROOT, version=(3, 99, 0))


def test_a_python_that_went_away_is_set_up_anew(kit):
    kit.set_up(kit.ROOT, call=Calls(kit))
    kit.venv_python().unlink()
    assert kit.needs_setup(kit.ROOT) == "the Python behind the environment is gone"


def test_a_folder_that_is_no_environment_is_left_alone(kit):
    precious = kit.ROOT / ".venv" / "notes.txt"
    precious.parent.mkdir()
    precious.write_text("keep")
    calls = Calls(kit)
    with pytest.raises(kit.SetupError, match="is no Python environment"):
        kit.set_up(kit.ROOT, call=calls)
    assert calls.commands == [] and precious.read_text() == "keep"


def test_the_environment_does_not_tear_itself_down(kit, monkeypatch):
    kit.set_up(kit.ROOT, call=Calls(kit, failing=None))
    (kit.ROOT / "constraints.txt").write_text("")
    monkeypatch.setattr(kit.sys, "prefix", str(kit.ROOT / ".venv"))
    calls = Calls(kit)
    with pytest.raises(kit.SetupError, match="deactivate"):
        kit.set_up(kit.ROOT, call=calls)
    assert calls.commands == []


def test_paths_of_windows_and_the_others(kit):
    assert kit.venv_python("x", windows=True).as_posix() == "x/.venv/Scripts/python.exe"
    assert kit.venv_python("x", windows=False).as_posix() == "x/.venv/bin/python"


def test_lab_listens_on_this_machine_only_and_starts_on_the_first_notebook(kit):
    command = kit.lab_command(kit.ROOT, browser=False)
    assert command[1:3] == ["-m", "jupyterlab"]
    assert "--ServerApp.ip=127.0.0.1" in command
    assert f"--ServerApp.root_dir={kit.ROOT / 'notebooks'}" in command
    assert "--LabApp.default_url=/lab/tree/00_start.ipynb" in command
    assert "--no-browser" in command
    assert "--no-browser" not in kit.lab_command(kit.ROOT)


def test_test_command_reruns_notebooks_only_when_everything_is_asked_for(kit):
    whole = kit.test_command(kit.ROOT)
    assert {"tests", "notebooks", "--nbval", "--nbval-current-env"} <= set(whole)
    assert kit.test_command(kit.ROOT, ["-k", "two words"])[1:] == ["-m", "pytest", "-k", "two words"]


def test_child_is_not_led_astray_by_the_callers_settings(kit, monkeypatch):
    monkeypatch.setenv("PYTHONPATH", "elsewhere")
    monkeypatch.setenv("MPLBACKEND", "Agg")
    monkeypatch.setenv("PIP_USER", "1")
    env = kit.child_environment()
    assert "PYTHONPATH" not in env and "MPLBACKEND" not in env and env["PIP_USER"] == "0"


def test_start_is_readable_for_python_3_6():
    ast.parse((ROOT / "start.py").read_text(encoding="ascii"), feature_version=(3, 6))


def start(folder, *words, before=""):
    """Run the copy as a user would, with `before` executed first in the same Python."""
    code = f"import sys; sys.argv = ['start.py', *{list(words)!r}]; {before}\n" \
        "import runpy; runpy.run_path('start.py', run_name='__main__')"
    return subprocess.run(
        [sys.executable, "-c", code], cwd=folder, stdin=subprocess.DEVNULL, capture_output=True, text=True,
        timeout=60, env={**os.environ, "PYTHONIOENCODING": "utf-8"}, encoding="utf-8",
    )


@pytest.mark.parametrize("before, said", [
    ("sys.version_info = (3, 9, 18, 'final', 0)", "needs Python 3.11 or newer"),
    ("sys.maxsize = 2**31 - 1", "64-bit"),
    ("sys.modules['ensurepip'] = None", "python3-venv"),
    ("sys.modules['venv'] = None", "python3-venv"),
], ids=["old Python", "32-bit", "no ensurepip", "no venv"])
@pytest.mark.parametrize("words", [[], ["test"], ["--no-browser"]], ids=["open", "test", "no browser"])
def test_a_machine_that_cannot_hold_the_kit_is_told_why(kit, before, said, words):
    ended = start(kit.ROOT, *words, before=before)
    assert ended.returncode == 2
    assert said in ended.stderr and "Traceback" not in ended.stderr
    assert not (kit.ROOT / ".venv").exists()


def test_a_path_that_no_environment_can_live_in_is_told(kit):
    assert "Rename" in kit.machine_problem(root=os.pathsep.join(["a", "b"]))
    assert kit.machine_problem() is None


def test_help_and_unknown_words(kit):
    helped = start(kit.ROOT, "--help")
    assert helped.returncode == 0 and "start.py test" in helped.stdout
    unknown = start(kit.ROOT, "tets")
    assert unknown.returncode == 2
    assert "does not know: tets" in unknown.stderr and "start.py test" in unknown.stderr
    assert not (kit.ROOT / ".venv").exists()


def test_exit_code_is_that_of_the_command_run(kit):
    assert kit.run([sys.executable, "-c", "raise SystemExit(7)"], kit.ROOT) == 7


def test_ci_script_is_sound_and_ends_in_the_test_command():
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert script.startswith("#!/usr/bin/env bash\n") and "set -euo pipefail" in script
    assert script.splitlines()[-1] == "exec python3 start.py test"
