"""What a notebook cell calls: words with the same rounded numbers every time."""

from pathlib import Path

import numpy as np
import pytest
from show.test_show_tables import read

from shopcalc import show
from shopcalc.assess import assess
from shopcalc.show.notebook import short_words
from shopcalc.stock.tubes import read_tube, stock_tubes
from shopcalc.sweep import Question, tubes_over_spans, which_tube
from shopcalc.units import Q

JOB = Path(__file__).parents[2] / "notebooks" / "jobs" / "archive_map_table.toml"
QUESTION = Question(ends="simple", P=Q(300, "lbf"), sag_part=1 / 360)


@pytest.fixture(scope="module")
def found():
    return assess(JOB)


@pytest.fixture(scope="module")
def grid():
    return tubes_over_spans(
        QUESTION, stock_tubes("A513", "square")[:9], Q(np.array([36.0, 72.0, 108.0]), "inch")
    )


def test_every_view_gives_words_without_an_address_and_the_same_twice(found, grid):
    views = [
        lambda: show.answer(found),
        lambda: show.checks(found),
        lambda: show.not_checked(found),
        lambda: show.assumed(found),
        lambda: show.cautions(found),
        lambda: show.sources(found),
        lambda: show.worked(found.check("stretcher/sag")),
        lambda: show.size_table(grid),
        lambda: show.choices(which_tube(QUESTION, Q(72, "inch"), stock_tubes("A513"))),
        lambda: show.table(found),
        lambda: show.used(found, "stretcher"),
        lambda: show.region(grid),
        lambda: show.goes_over(found, Q(300, "lbf")),
    ]
    for view in views:
        bundle = view()._repr_mimebundle_()
        assert bundle == view()._repr_mimebundle_()
        assert bundle["text/plain"].strip() and "0x" not in bundle["text/plain"]
        assert len(bundle) == 2
        if "text/html" in bundle:
            read(bundle["text/html"])


def test_checks_of_one_member_only(found):
    plain = show.checks(found, "stretcher").plain
    assert "Stretcher: sag" in plain and "trestle" not in plain
    with pytest.raises(KeyError, match="there are .*stretcher"):
        show.checks(found, "drawer")


def test_a_worked_step_holds_every_line(found):
    check = found.check("stretcher/sag")
    bundle = show.worked(check)._repr_mimebundle_()
    for line in check.worked:
        assert line.latex_symbolic in bundle["text/markdown"] and str(line) in bundle["text/plain"]
    assert bundle["text/plain"].splitlines()[-1].startswith("used = ")
    assert show.worked(check.worked)._repr_mimebundle_()["text/plain"] == "\n".join(map(str, check.worked))


def test_the_choice_says_why_the_next_one_down_fails(found):
    choices = which_tube(QUESTION, Q(72, "inch"), stock_tubes("A513"))
    plain = show.choices(choices).plain
    assert choices.lightest.tube.words in plain.splitlines()[0]
    assert choices.below.reason in plain.splitlines()[1] and "next one down" in plain
    assert "nothing about wobble" in plain
    none = which_tube(QUESTION, Q(72, "inch"), [read_tube("square tube 1 in x 16 ga, A513")])
    assert show.choices(none).plain.startswith("No tube of the list meets bending, shear, sag over 72 in")


def test_a_tube_in_few_words():
    assert short_words(read_tube("rectangular tube 3 in x 2 in x 11 ga, A513")) == "3 x 2 in, 11 ga"
    assert short_words(read_tube("square tube 2-1/2 in x 11 ga, A513")) == "2-1/2 in square, 11 ga"


def test_a_beam_is_shown_with_sag_and_moment():
    from shopcalc.show.answers import loaded_bar

    bar = loaded_bar(
        read_tube("rectangular tube 3 in x 2 in x 11 ga, A513"), "simple", Q(72, "inch"), Q(300, "lbf")
    )
    caption = show.beam(bar, supports=Q(np.array([0.0, 72.0]), "inch")).caption
    moment, _ = bar.largest("moment")
    assert f"{moment.to('lbf*ft').magnitude:.1f} lbf·ft at 36 in" in caption


def test_an_unknown_view_is_named_with_those_there_are():
    with pytest.raises(AttributeError, match="it has answer"):
        show.nothing  # noqa: B018
