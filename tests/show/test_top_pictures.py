"""The map of sag and the page of the top: numbers of the picture are those of the plate; the control answers as the checks do."""

from pathlib import Path

import numpy as np
import pytest

from shopcalc.show.top_pages import STATES, map_of, open_top
from shopcalc.show.top_pictures import levels_for, three_states
from shopcalc.units import Q, magnitude

JOBS = Path(__file__).resolve().parents[2] / "notebooks" / "jobs"


@pytest.fixture(scope="module")
def page():
    return open_top(JOBS / "archive_map_table.toml")


@pytest.mark.parametrize("most, system", [(Q(0.07, "inch"), "inch"), (Q(3.0, "mm"), "mm"), (Q(0.0001, "inch"), "inch")])
def test_levels_are_even_and_reach_over_the_most(most, system):
    levels = levels_for(most, system)
    assert np.diff(levels) == pytest.approx(np.diff(levels)[0]) and levels[0] < 0 < levels[-1]
    assert levels[-1] >= float(magnitude(most, "inch" if system == "inch" else "mm"))


@pytest.mark.parametrize("job", ["archive_map_table", "lighthouse_round_table", "seed_sorting_bench"])
def test_the_map_is_the_plate(job):
    page = open_top(JOBS / f"{job}.toml")
    found = page.top.answer("sliding", page._everyday(page.top))
    data = map_of(page.top, found, 0)
    plate = page.top.kept.plate
    X, Y = np.meshgrid(plate.along.lines, plate.across.lines)
    there = plate.covers(X, Y)
    assert np.sort(magnitude(data["sag"], "m")[there]) == pytest.approx(np.sort(found.sag[0]), abs=1e-9)
    picture = three_states([(s, data) for s in STATES], system=page.system, half=page._half(page.geometry))
    assert len(picture.png()) > 10_000 and picture.caption.count("dead weight") == 1
    picture.figure.draw_without_rendering()
    boxes = [t.get_window_extent() for t in picture.figure.axes[0].texts if t.get_text()]
    assert not any(a.overlaps(b) for i, a in enumerate(boxes) for b in boxes[:i])
    words = [t.get_text() for t in picture.figure.axes[0].texts if t.get_text()]
    assert words and all(w.endswith("in" if page.system == "inch" else "mm") for w in words)


def test_control_and_checks_say_the_same(page):
    still = page.top_control.still()
    assert "1-3/4 in" in repr(still) and "24 in" in repr(still)
    checked = page.check("top/overhang")
    assert f"takes it down {page._say(checked.demand, 'sag')}" in repr(still)
    thin = page.top_control.still(thickness=Q(1.0, "inch"))
    assert "Over limit" in repr(thin) or "over limit" in repr(thin).lower()
    assert "Top: sag:" in repr(page.top_table()) and "Within limit: sag" in repr(page.top_answer())
