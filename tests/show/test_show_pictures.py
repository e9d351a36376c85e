"""Pictures: they show the numbers they were given, without overlap, and are the same every time."""

import itertools
import subprocess
import sys

import numpy as np
import pytest
from matplotlib.text import Text
from show.show_synthetic import INCH, Member, assessment, checks, geometry

from shopcalc.check import OUTSIDE, OVER, WITHIN
from shopcalc.show import drawing, palette, pictures
from shopcalc.show.tables import full_name
from shopcalc.units import Q


def texts(figure):
    """Texts that are really drawn: tick labels outside the view are not."""
    drawn, plain = [], Text.draw

    def noting(self, renderer, *args, **kwargs):
        if self.get_visible() and self.get_text().strip():
            drawn.append(self)
        return plain(self, renderer, *args, **kwargs)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Text, "draw", noting)
        figure.canvas.draw()
    return list(dict.fromkeys(drawn))


def boxes(figure):
    found = texts(figure)
    renderer = figure.canvas.get_renderer()
    # an annotation's box would take in its leader; of a dimension arrow there is no text anyway
    return [(t.get_text(), Text.get_window_extent(t, renderer)) for t in found]


def assert_readable(figure):
    """No two texts on top of each other, none cut by the edge of the picture."""
    found = boxes(figure)
    assert found
    for (a, box), (b, other) in itertools.combinations(found, 2):
        lap_x = min(box.x1, other.x1) - max(box.x0, other.x0)
        lap_y = min(box.y1, other.y1) - max(box.y0, other.y0)
        assert not (lap_x > 1 and lap_y > 1.5), f"{a!r} lies on {b!r}"
    edge = figure.bbox
    for text, box in found:
        assert box.x0 >= -1 and box.y0 >= -1 and box.x1 <= edge.x1 + 1 and box.y1 <= edge.y1 + 1, (
            f"{text!r} is cut"
        )


def beam(system="inch", **changes):
    x = np.linspace(0, 78, 101)
    given = dict(
        stations=Q(x, "inch"),
        sag=Q(0.23 * np.sin(np.pi * x / 78), "inch"),
        moment=Q(20000 * (x / 78) * (1 - x / 78), "lbf*inch"),
        supports=Q(np.array([0.0, 78.0]), "inch"),
        limit=Q(0.217, "inch"),
        system=system,
    )
    return pictures.beam_diagrams(**{**given, **changes})


def tipping(needed=Q(300, "lbf"), system="inch"):
    x, y = np.linspace(-60, 60, 61), np.linspace(-24, 24, 25)
    reach = np.maximum(np.abs(x) - 36, 0)
    load = np.tile(np.where(reach > 0, 5400 / np.where(reach > 0, reach, 1), np.inf), (25, 1))
    feet = [("f", Q(sx * 36, "inch"), Q(sy * 18, "inch")) for sx in (-1, 1) for sy in (-1, 1)]
    return x, y, load, pictures.tipping_map(
        Q(x, "inch"), Q(y, "inch"), Q(load, "lbf"), feet=feet, needed=needed, system=system,
        weakest=(Q(60, "inch"), Q(0, "inch"), Q(225, "lbf"), "the right end"))


def region():
    spans = Q(np.arange(36.0, 121.0, 12.0), "inch")
    ratios = np.array([[(s / 40) ** 2 / (1 + k) for s in np.arange(36, 121, 12)] for k in range(5)])
    verdicts = np.where(ratios > 1, OVER, WITHIN).astype(object)
    verdicts[4] = OUTSIDE
    return ratios, pictures.feasible_region(
        [f"{k + 1} x 2 in, 11 ga" for k in range(5)], spans, ratios, verdicts, np.full(ratios.shape, "sag")
    )


def bars():
    judged = [c for c in checks() if c.verdict != "reported"]
    return judged, pictures.used_bars([full_name(c) for c in judged], [c.ratio for c in judged],
                                      [c.verdict for c in judged])


ALL = {
    "beam": beam,
    "beam mm": lambda: beam("mm"),
    "tipping": lambda: tipping()[3],
    "tipping mm": lambda: tipping(system="mm")[3],
    "region": lambda: region()[1],
    "bars": lambda: bars()[1],
    "view": lambda: drawing.general_view(geometry()),
    "view mm": lambda: drawing.general_view(geometry(), "mm"),
}


@pytest.mark.parametrize("name", ALL)
def test_labels_do_not_overlap_and_are_not_cut(name):
    assert_readable(ALL[name]().figure)


def test_the_overlap_check_can_fail():
    figure = beam().figure
    t = texts(figure)[0]
    figure.text(
        *figure.transFigure.inverted().transform(t.get_window_extent().min),
        t.get_text(),
        fontsize=t.get_fontsize(),
    )
    with pytest.raises(AssertionError, match="lies on"):
        assert_readable(figure)


@pytest.mark.parametrize("name", ALL)
def test_the_same_picture_is_the_same_file(name):
    one, two = ALL[name](), ALL[name]()
    assert one.svg() == two.svg()
    assert one.png() == two.png()
    assert one.caption == two.caption


def test_svg_carries_no_date():
    assert "<dc:date>" not in beam().svg()


def test_plots_need_no_pyplot_and_show_loads_nothing_before_it_is_asked():
    code = ("import sys; import shopcalc.show, shopcalc.show.tables, shopcalc.show.rerun; "
            "assert 'matplotlib' not in sys.modules and 'ipywidgets' not in sys.modules; "
            "from shopcalc.show import pictures, drawing; assert 'matplotlib.pyplot' not in sys.modules")
    subprocess.run([sys.executable, "-c", code], check=True, timeout=60)


# --- each shows its numbers ----------------------------------------------------------------------


def test_a_beam_shows_the_arrays_it_was_given():
    picture = beam()
    sag, moment = (ax.lines[0] for ax in picture.axes)
    x = np.linspace(0, 78, 101)
    assert np.allclose(sag.get_xdata(), x) and np.allclose(sag.get_ydata(), 0.23 * np.sin(np.pi * x / 78))
    assert moment.get_ydata().max() == pytest.approx(5000)  # in the lbf·in it came in
    assert picture.axes[1].get_ylabel() == "moment, lbf·in"
    assert picture.axes[0].yaxis_inverted() and not picture.axes[1].yaxis_inverted()
    assert "largest 0.23 in at 39 in, limit 0.22 in" in picture.caption


def test_a_beam_in_millimetres():
    picture = beam("mm")
    assert picture.axes[0].lines[0].get_ydata().max() == pytest.approx(0.23 * 25.4)
    assert picture.axes[1].get_xlabel() == "along the beam, mm"
    assert "5.8 mm at 991 mm" in picture.caption


def test_a_peak_at_an_end_is_still_marked():
    x = np.linspace(0, 40, 41)
    picture = beam(
        stations=Q(x, "inch"),
        sag=Q((x / 40) ** 2, "inch"),
        moment=Q(-100 * (1 - x / 40), "lbf*ft"),
        supports=Q(np.array([0.0]), "inch"),
        limit=None,
    )
    assert_readable(picture.figure)
    assert "1.00 in at 40 in" in picture.caption and "-100 lbf·ft at 0 in" in picture.caption


def test_cells_that_are_over_are_hatched_and_only_those_within_are_filled():
    ratios, picture = region()
    ax = picture.axes[0]
    cells = {(round(p.get_x() + 0.5), round(p.get_y() + 0.5)): p for p in ax.patches}
    for (j, i), cell in cells.items():
        outside = i == 4
        assert bool(cell.get_hatch()) == (outside or ratios[i, j] > 1)
    words = {t.get_text() for t in ax.texts}
    assert "0.81" in words and "outside" in words
    assert "5 x 2 in, 11 ga: none of these spans (outside range)" in picture.caption


def test_bars_are_as_long_as_the_used_share():
    judged, picture = bars()
    lengths = [p.get_width() for p in picture.axes[0].patches]
    assert lengths == [0.0 if c.ratio is None else pytest.approx(c.ratio) for c in judged]
    over = [p for p, c in zip(picture.axes[0].patches, judged, strict=True) if c.verdict == OVER]
    assert over and all(p.get_hatch() for p in over)
    for c in judged:
        assert c.verdict in picture.caption


def test_the_map_hatches_exactly_where_the_load_tips_the_table():
    x, y, load, picture = tipping()
    (over,) = [c for c in picture.axes[0].collections if c.get_hatch() == "////"]
    for px, py, value in ((59, 0, 5400 / 23), (50, 10, 5400 / 14), (-58, -20, 5400 / 22), (0, 0, np.inf)):
        hatched = any(p.contains_point((px, py)) for p in over.get_paths())
        assert hatched == (value < 300), (px, py)
    assert "225 lbf at the right end" in picture.caption and "hatched: 300 lbf tips it" in picture.caption


def test_numbers_on_the_map_are_those_of_the_place_they_stand_on():
    x, y, load, picture = tipping()
    shown = [t for t in picture.axes[0].texts if t.get_text()]
    assert len(shown) > 5
    for t in shown:
        px, py = t.get_position()
        value = load[np.abs(y - py).argmin(), np.abs(x - px).argmin()]
        words = "never" if np.isinf(value) else f"over {2000:,}" if value > 2000 else f"{value:.3g}"
        assert t.get_text() == words


def test_a_load_that_tips_it_nowhere_is_said():
    assert "100 lbf tips it nowhere" in tipping(needed=Q(100, "lbf"))[3].caption


# --- the drawing ---------------------------------------------------------------------------------


def test_a_level_bar_has_its_height_upright_and_its_width_flat():
    corners = drawing.box_corners(Member("a", (0, 0, 1), (2, 0, 1), height=0.3, width=0.1))
    assert np.allclose(np.ptp(corners, axis=0), (2, 0.1, 0.3))
    corners = drawing.box_corners(Member("a", (0, -1, 1), (0, 1, 1), height=0.3, width=0.1))
    assert np.allclose(np.ptp(corners, axis=0), (0.1, 2, 0.3))


def test_an_upright_bar_has_its_height_along_the_table():
    corners = drawing.box_corners(Member("a", (0, 0, 0), (0, 0, 2), height=0.3, width=0.1))
    assert np.allclose(np.ptp(corners, axis=0), (0.3, 0.1, 2))


def test_the_shadow_of_a_splayed_leg_has_the_area_that_a_second_library_finds():
    from scipy.spatial import ConvexHull

    corners = drawing.box_corners(Member("a", (0, 0, 0), (0.2, 0.1, 0.7), height=0.06, width=0.04))[:, [0, 2]]
    shape = drawing.outline(corners)
    x, y = shape.T
    area = 0.5 * np.sum(x * np.roll(y, -1) - y * np.roll(x, -1))
    assert area == pytest.approx(
        ConvexHull(corners).volume, rel=1e-6
    )  # in a plane scipy's volume is the area


def test_the_sizes_of_the_table_stand_on_the_drawing():
    picture = drawing.general_view(geometry())
    words = {t.get_text() for t in texts(picture.figure)}
    # by hand from the geometry: 120 in top, feet at +/-36 and +/-18.5 in, underside 28-1/4 in, 1-3/4 in thick
    for size in (
        "24 in",
        "6'-0\" feet",
        "10'-0\" top",
        "37 in feet",
        "48 in top",
        "28-1/4 in",
        "30 in",
        "1-3/4 in",
    ):
        assert size in words, size
    assert "feet 72 in apart along and 37 in across" in picture.caption
    assert "24 in beyond the feet at the ends and 5-1/2 in at the sides" in picture.caption


def test_views_stand_to_one_scale():
    picture = drawing.general_view(geometry())
    assert picture.axes[0].get_aspect() == 1.0
    spans = sorted({round(float(np.ptp(p.get_xy()[:, 0])), 4) for p in picture.axes[0].patches})
    assert spans[-1] == pytest.approx(120 * INCH, abs=1e-3)


# --- colour is never alone -----------------------------------------------------------------------


def test_every_verdict_has_its_own_looks_in_black_and_white():
    hatches = [
        hatch for verdict, (_, hatch) in palette.VERDICT_LOOKS.items() if verdict not in (WITHIN, "reported")
    ]
    assert all(hatches) and len(set(hatches)) == len(hatches)


def test_an_assessment_picture_names_every_judged_check():
    a = assessment()
    assert all(full_name(c) in bars()[1].caption for c in a.checks if c.verdict != "reported")
