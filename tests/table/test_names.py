"""Names of bars, feet and pieces in words."""

import pytest
from table.bases_for_tests import JOBS, OPEN_JOBS

from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.names import in_words, kind_of, words_of


@pytest.mark.parametrize("name, words", [
    ("trestle.left.post.front", "front post of the left trestle"), ("trestle.left.foot", "foot bar of the left trestle"),
    ("trestle.head", "head bar of a trestle"), ("trestle.left", "left trestle"), ("foot.left.front", "front left foot"),
    ("leg.right.back", "back right leg"), ("stretcher", "stretcher"), ("stretcher.middle", "middle stretcher"), ("arm.2", "arm 2"),
    ("podium.left.middle.inner", "inner middle bar of the left podium"), ("podium.right.top.back", "back upper bar of the right podium"),
])
def test_a_name_is_said_as_a_person_says_it(name, words):
    assert words_of(name) == words
    assert in_words(f"at {name}: x; {name}, and {name}.") == f"at {words}: x; {words}, and {words}."


@pytest.mark.parametrize("text", [
    "trestle.left/mass", "piece/trestle.left lifting", "the job says it (base.feet.stud)", "base.trestles.foot", "stock.foot = 3 in",
    "joints.top_to_base", "loads.drag_friction", "a foot. arm in arm", "0.3 in. foot", "references at www.foot.left.org",
])
def test_ids_of_checks_keys_of_the_job_and_sentences_stay(text):
    assert in_words(text) == text


def test_branch_and_host_of_one_trestle_name_it_once():
    assert in_words("trestle.left.post.front to trestle.left.foot: weld") == "front post to foot bar of the left trestle: weld"
    assert in_words("stretcher to trestle.left.rail") == "stretcher to rail of the left trestle"
    assert in_words("Trestle.left alone") == "Left trestle alone"


@pytest.mark.parametrize("name", sorted({**JOBS, **OPEN_JOBS}))
def test_no_two_things_of_a_base_share_words_and_none_keeps_its_dots(name):
    g = build(read_job({**JOBS, **OPEN_JOBS}[name]))
    for names in (list(g.members), [f.name for f in g.contacts], [p.name for p in g.pieces]):
        said = [words_of(n) for n in names]
        assert len(set(said)) == len(said)
        assert not any("." in in_words(n) for n in names)
    assert all(kind_of(n) not in ("left", "right", "front", "back", "trestle", "podium", "frame") or "." not in n for n in g.members)
