"""Where numbers come from: every entry whole, every reference found."""

import ast
import re
import tomllib
from pathlib import Path

import pytest

import shopcalc
from shopcalc import sources as module
from shopcalc.sources import PROVENANCE, cite, references_folder, source_of, sources

PACKAGE = Path(shopcalc.__file__).parent


def test_every_entry_has_a_title_and_a_provenance():
    assert len(sources()) > 20
    for key, source in sources().items():
        assert source.id == key and re.fullmatch(r"[a-z0-9][a-z0-9-]*", key)
        assert source.title and source.provenance in PROVENANCE
        assert not source.address or source.address.startswith(("https://", "http://"))
        if source.provenance == "memory":
            assert not source.address, f"{key}: an address that was read is no memory"


def test_entries_are_sorted_so_that_none_is_written_twice():
    with open(references_folder() / "sources.toml", "rb") as file:
        keys = list(tomllib.load(file))
    assert keys == sorted(keys)


def test_common_practice_has_no_source_and_says_so():
    for source in sources().values():
        if source.provenance == "common practice":
            assert source.note or "practice" in source.title.lower(), source.id


def test_a_reference_is_an_entry_and_a_place():
    whole = source_of("aisc-360-22, F7-1")
    assert whole.id == "aisc-360-22" and source_of("aisc-360-22") is whole
    assert cite("aisc-360-22, table 3-23, case 1; note 2").endswith("table 3-23, case 1; note 2")
    assert cite("aisc-360-22, F7-1").startswith(whole.title) and cite("aisc-360-22, F7-1").endswith("F7-1")
    assert source_of("aisc-360-22; a remark without a place") is whole
    assert cite("aisc-360-22; a remark") == f"{whole.title}, {whole.edition}, a remark"
    assert cite("aisc-360-22") == f"{whole.title}, {whole.edition}"


def test_a_missing_entry_is_named():
    with pytest.raises(KeyError, match=r"no entry \[nobody-1\] \(wanted by 'nobody-1, p. 3'\)"):
        source_of("nobody-1, p. 3")


@pytest.mark.parametrize("row", ['provenance = "memory"', 'title = "A"', 'title = "A"\nprovenance = "heard"',
                                 'title = ""\nprovenance = "memory"',
                                 'title = "A"\nprovenance = "memory"\nauthor = "B"',
                                 'title = "A"\nprovenance = "memory"\nid = "B"'])
def test_an_entry_that_is_not_whole_is_refused(tmp_path, monkeypatch, row):
    (tmp_path / "sources.toml").write_text(f"[one]\n{row}\n", encoding="utf-8")
    monkeypatch.setattr(module, "references_folder", lambda: tmp_path)
    sources.cache_clear()
    try:
        with pytest.raises(ValueError, match=r"\[one\]"):
            sources()
    finally:
        monkeypatch.undo()
        sources.cache_clear()
    assert source_of("aisc-360-22")


def test_a_stray_word_in_an_entry_is_named(tmp_path, monkeypatch):
    (tmp_path / "sources.toml").write_text('[one]\ntitle = "A"\nprovenance = "memory"\nauthor = "B"\n',
                                           encoding="utf-8")
    monkeypatch.setattr(module, "references_folder", lambda: tmp_path)
    with pytest.raises(ValueError, match="and no author"):
        sources.__wrapped__()


def test_references_are_found_beside_the_package_or_inside_it(tmp_path, monkeypatch):
    assert (references_folder() / "sources.toml").is_file()
    assert references_folder() == PACKAGE.parent / "references"
    monkeypatch.setattr(module, "__file__", str(tmp_path / "lib" / "shopcalc" / "sources.py"))
    assert references_folder() == tmp_path / "lib" / "shopcalc" / "references"


def references_in_code():
    """Every text given as source=... anywhere in the package."""
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.keyword) and node.arg == "source" and isinstance(node.value,
                                                                                     ast.Constant):
                if isinstance(node.value.value, str) and node.value.value:
                    yield f"{path.relative_to(PACKAGE)}:{node.value.lineno}", node.value.value


def test_every_reference_in_the_code_has_its_entry():
    found = list(references_in_code())
    assert len(found) > 50
    missing = []
    for where, text in found:
        try:
            source_of(text)
        except KeyError:
            missing.append((where, text))
    assert not missing
