"""The data files row by row: typed a second time from their sources, or held to a relation of their own."""

import csv
from pathlib import Path

import numpy as np
import pytest

from shopcalc.stock.gauges import gauge_table
from shopcalc.stock.products import EVERY, product, products
from shopcalc.stock.shapes import read_stock
from shopcalc.stock.steels import steel
from shopcalc.stock.tables import rows
from shopcalc.stock.tubes import stock_tubes
from shopcalc.stock.woods import wood, woods
from shopcalc.units import magnitude, read_length

DATA = Path(__file__).with_name("data")


def inch(q):
    return round(magnitude(q, "inch"), 6)


# --- gauges


def test_tube_gauges_are_birmingham():
    table = {
        7: 0.180,
        8: 0.165,
        9: 0.148,
        10: 0.134,
        11: 0.120,
        12: 0.109,
        13: 0.095,
        14: 0.083,
        15: 0.072,
        16: 0.065,
        17: 0.058,
        18: 0.049,
        19: 0.042,
        20: 0.035,
    }
    assert {g: inch(t) for g, t in gauge_table("tube").items()} == table


def test_carbon_sheet_is_the_legal_weight_over_a_true_density():
    # 15 U.S.C. 206 gives ounces per square foot at 40 lb per inch; the mills roll at 41.82.
    law, sheet = gauge_table("stainless sheet"), gauge_table("carbon sheet")
    assert set(law) == set(sheet) == set(range(7, 21))
    for g in law:
        assert abs(inch(law[g]) * 40 / 41.82 - inch(sheet[g])) < 0.00006
    ounces = {
        7: 120,
        8: 110,
        9: 100,
        10: 90,
        11: 80,
        12: 70,
        13: 60,
        14: 50,
        15: 45,
        16: 40,
        17: 36,
        18: 32,
        19: 28,
        20: 24,
    }
    assert {g: inch(t) for g, t in law.items()} == {g: round(oz / 640, 6) for g, oz in ounces.items()}


def test_galvanized_sheet():
    table = {
        8: 0.1681,
        9: 0.1532,
        10: 0.1382,
        11: 0.1233,
        12: 0.1084,
        13: 0.0934,
        14: 0.0785,
        15: 0.0710,
        16: 0.0635,
        17: 0.0575,
        18: 0.0516,
        19: 0.0456,
        20: 0.0396,
    }
    assert {g: inch(t) for g, t in gauge_table("galvanized sheet").items()} == table


# --- tolerances

# Wall, then plus and minus in thousandths for outside sizes up to 1, 1.313, 3-3/4 and 4-1/2 in (A513 type 1).
HOT_ROLLED = {
    0.065: ((5, 9), (4, 10), (3, 11), (2, 12)),
    0.072: ((5, 9), (4, 10), (3, 11), (2, 12)),
    0.083: ((6, 10), (5, 11), (4, 12), (3, 13)),
    0.095: ((6, 10), (5, 11), (4, 12), (3, 13)),
    0.109: ((6, 10), (5, 11), (4, 12), (3, 13)),
}
# The same for outside sizes up to 7/8, 1-7/8 and 3-3/4 in (A513 type 2).
COLD_ROLLED = {
    0.035: ((2, 5), (1, 5), (1, 5)),
    0.042: ((2, 6), (1, 6), (1, 6)),
    0.049: ((3, 6), (2, 6), (2, 6)),
    0.065: ((5, 7), (4, 7), (4, 7)),
    0.072: ((6, 7), (5, 7), (4, 7)),
}


@pytest.mark.parametrize(
    "name, table, ends",
    [
        ("A513", HOT_ROLLED, (0.5, 1, 1.313, 3.75, 4.5)),
        ("A513 type 2", COLD_ROLLED, (0.375, 0.875, 1.875, 3.75)),
    ],
)
def test_round_mechanical_tube(name, table, ends):
    for t, pairs in table.items():
        for (plus, minus), low, high in zip(pairs, ends[:-1], ends[1:], strict=True):
            for D in (low + 0.001, (low + high) / 2, high):
                got = [
                    float(product(name).tolerance_si(w, "round", D * 0.0254, t * 0.0254)) / 25.4e-6
                    for w in ("wall plus", "wall minus")
                ]
                assert got == pytest.approx([plus, minus]), (t, D)


def test_unknown_tube_takes_the_widest_minus_of_any_mechanical_tube():
    t = np.array([0.035, 0.042, 0.049, 0.065, 0.072, 0.083, 0.095, 0.109, 0.120, 0.180, 0.25]) * 0.0254
    for D in (1, 1.25, 2, 3.75, 4):
        widest = np.nanmax(
            [
                product(n).tolerance_si("wall minus", s, D * 0.0254, t)
                for n in ("A513", "A513 type 2")
                for s in ("square", "round")
            ],
            axis=0,
        )
        for shape in ("square", "round"):
            assert (
                product("unknown").tolerance_si("wall minus", shape, D * 0.0254, t) >= widest - 1e-9
            ).all()


def test_percentages():
    share = {
        ("A500", "any"): (0.10, 0.10),
        ("A500-21", "any"): (0.10, 0.10),
        ("A513", "shaped"): (0.10, 0.10),
        ("A513 type 2", "shaped"): (0.10, 0.10),
        ("A554", "any"): (0.10, 0.10),
        ("B221", "any"): (0.10, 0.10),
        ("A1085", "any"): (0.05, 0.10),
        ("A53", "any"): (0.125, 0.125),
    }
    for (name, form), (minus, plus) in share.items():
        for what, value in (("wall minus", minus), ("wall plus", plus)):
            found = [r for r in product(name).tolerances if r.what == what and r.shape == form]
            assert [(r.value, r.of, r.outside, r.wall) for r in found] == [(value, "wall", EVERY, EVERY)], (
                name
            )


@pytest.mark.parametrize("name", ["A500", "A500-21"])
def test_a500_steps(name):
    def all_of(what):
        return [
            (round(r.outside[0] / 0.0254, 4), round(r.outside[1] / 0.0254, 4), round(r.value / 0.0254, 6))
            for r in product(name).rows_of(what, "square")
        ]

    assert all_of("outside") == [(0, 2.5, 0.020), (2.5, 3.5, 0.025), (3.5, 5.5, 0.030)]
    assert all_of("twist in 3 ft") == [(0, 1.5, 0.050), (1.5, 2.5, 0.062), (2.5, 4, 0.075), (4, 6, 0.087)]
    (bow,) = product(name).rows_of("straightness", "square")
    assert (bow.value * 60, bow.of) == (0.125, "length")  # 1/8 in for every 5 ft
    round_rows = [(r.value, r.of) for r in product(name).rows_of("outside", "round")]
    assert round_rows == [(0.005, "outside"), (0.0075, "outside")]


def test_en_10305_walls():
    p = product("EN 10305")
    t = np.array([1.0, 1.49, 1.5, 2.0, 3.0, 4.0]) / 1000
    want = np.array([0.15, 0.15, 0.15, 0.20, 0.30, 0.35]) / 1000
    for what in ("wall minus", "wall plus"):
        assert p.tolerance_si(what, "square", 0.04, t) == pytest.approx(want)


def _middles(ends):
    """A size inside every step."""
    return np.convolve([0, *ends, (ends[-1] if ends else 0.1) * 1.1], [0.5, 0.5], "valid")


def test_steps_of_one_tolerance_neither_overlap_nor_leave_a_gap():
    for p in products().values():
        for what in dict.fromkeys(r.what for r in p.tolerances):
            for shape in ("square", "round"):
                table = p.rows_of(what, shape)
                sides = sorted({e for r in table for e in r.outside if 0 < e < np.inf})
                walls = sorted({e for r in table for e in r.wall if 0 < e < np.inf})
                middles_D, middles_t = _middles(sides), _middles(walls)
                for D in middles_D[middles_D < 4.5 * 0.0254]:
                    covered = [sum(bool(r.covers(D, t)) for r in table) for t in middles_t]
                    assert max(covered, default=0) <= 1, (p.name, what, shape, D)
                    inside = [i for i, n in enumerate(covered) if n]
                    assert not inside or inside == list(range(inside[0], inside[-1] + 1)), (p.name, what, D)


# --- steels and products


def test_constants_of_every_family():
    us, en = ("29000", "0.3", "11200", "490", "6.5e-6"), ("210", "0.3", "81", "7850", "12e-6")
    for r in rows("steels.csv"):
        got = tuple(r[k].split()[0] for k in ("E", "nu", "G", "density", "alpha"))
        if r["product"].startswith("EN"):
            assert got == en and r["E"].endswith("GPa") and r["density"].endswith("kg/m^3")
        elif r["product"] == "A554":
            assert got == ("28000", "0.3", "10770", "8000", "9.6e-6")
        elif r["product"] == "B221":
            assert got == ("10000", "0.33", "3800", "0.098", "13.1e-6")
        else:
            assert got == us and r["E"].endswith("ksi") and r["density"].endswith("lb/ft^3")


@pytest.mark.parametrize(
    "name, grade, form, unit, Fy, Fu",
    [
        ("A500-21", "C", "shaped", "ksi", 50, 62),
        ("A1085", "A", "shaped", "ksi", 50, 65),
        ("A513", "1008", "round", "ksi", 30, 42),
        ("A513", "1015", "round", "ksi", 35, 48),
        ("EN 10219", "S235", "shaped", "MPa", 235, 360),
        ("EN 10219", "S275", "shaped", "MPa", 275, 410),
        ("EN 10219", "S355", "shaped", "MPa", 355, 470),
        ("EN 10305", "E190", "shaped", "MPa", 190, 270),
        ("EN 10305", "E220", "shaped", "MPa", 220, 310),
        ("B221", "6061-T6", "shaped", "ksi", 35, 38),
        ("unknown", "unknown", "shaped", "ksi", 32, 45),
    ],
)
def test_strengths_typed_again(name, grade, form, unit, Fy, Fu):
    found = steel(name, grade, form)
    assert (round(magnitude(found.Fy, unit), 6), round(magnitude(found.Fu, unit), 6)) == (Fy, Fu)


def test_welded_aluminium():
    found = steel("B221")
    assert (round(magnitude(found.Fy_weld, "ksi"), 6), round(magnitude(found.Fu_weld, "ksi"), 6)) == (11, 24)


def test_every_product():
    table = {
        "A500": ("factor", 0.93, 2, 1, "AISC", "B"),
        "A500-21": ("factor", 0.93, 2, 1, "AISC", "C"),
        "A1085": ("factor", 1.0, 2, 1, "AISC", "A"),
        "A513": ("lesser", 0.9, 2, 1, "AISC", ""),
        "A513 type 2": ("lesser", 0.9, 2, 1, "AISC", ""),
        "A53": ("factor", 0.93, 0, 0, "AISC", "B"),
        "A554": ("lesser", 0.9, 2, 1, "AISC", "304"),
        "B221": ("lesser", 0.9, 0, 0, "AISC", "6061-T6"),
        "EN 10219": ("factor", 1.0, 2, 1, "EN", "S235"),
        "EN 10305": ("factor", 1.0, 2, 1, "EN", "E190"),
        "unknown": ("lesser", 0.9, 2, 1, "AISC", "unknown"),
    }
    assert {
        n: (p.design_rule, p.design_factor, p.outside_radius, p.inside_radius, p.convention, p.default_grade)
        for n, p in products().items()
    } == table


# --- woods


def test_elastic_ratios_typed_again():
    table = {  # ER, ET, GLR, GLT over EL; mu LR, LT (Wood Handbook tables 5-1 and 5-2)
        "white oak": (0.163, 0.072, 0.086, None, 0.369, 0.428),
        "red oak": (0.154, 0.082, 0.089, 0.081, 0.350, 0.448),
        "hard maple": (0.132, 0.065, 0.111, 0.063, 0.424, 0.476),
        "soft maple": (0.140, 0.067, 0.133, 0.074, 0.434, 0.509),
        "black walnut": (0.106, 0.056, 0.085, 0.062, 0.495, 0.632),
        "black cherry": (0.197, 0.086, 0.147, 0.097, 0.392, 0.428),
        "white ash": (0.125, 0.080, 0.109, 0.077, 0.371, 0.440),
        "yellow birch": (0.078, 0.050, 0.074, 0.068, 0.426, 0.451),
        "yellow-poplar": (0.092, 0.043, 0.075, 0.069, 0.318, 0.392),
    }
    for w in woods():
        got = (w.ER_EL, w.ET_EL, w.GLR_EL, w.GLT_EL, w.mu_LR, w.mu_LT)
        assert got == table.get(w.name, (None,) * 6), w.name
        assert w.MOE_cov == 0.22
        assert (w.ratios_source == "") == (w.name not in table)


@pytest.mark.parametrize(
    "name, G, MOE", [("red oak", 0.63, 1.82), ("hickory", 0.72, 2.16), ("elm", 0.50, 1.34)]
)
def test_other_woods(name, G, MOE):
    assert (wood(name).G_12, round(magnitude(wood(name).MOE, "psi") / 1e6, 6)) == (G, MOE)


# --- sizes


def test_listed_a500_sizes_are_those_of_the_shapes_database():
    with open(DATA / "aisc_hollow_rows.csv", newline="") as file:
        database = {
            (r["kind"] == "round", float(r["H_in"]), float(r["B_in"]), round(float(r["t_nominal_in"]), 3))
            for r in csv.DictReader(file)
            if r["kind"] != "pipe" and float(r["t_nominal_in"]) <= 0.25
        }

    def key(t):
        return (t.shape == "round", inch(t.height), inch(t.width), round(inch(t.nominal_wall) + 1e-9, 3))

    listed = {key(t) for t in stock_tubes("A500") if t.provenance == "retrieved"}
    assert listed <= database and database <= listed


def test_sizes_without_a_catalogue_say_so_and_are_ordinary():
    for t in stock_tubes():
        if t.product == "A513":
            assert t.provenance == "common practice" and t.wall_word.endswith("ga")
            assert inch(t.height) * 4 % 1 == 0 and inch(t.width) * 4 % 1 == 0
        if t.product.startswith("EN"):
            assert t.wall_word.endswith("mm") and 25 <= round(magnitude(t.height, "mm"), 3) <= 100


def test_pipe_sizes():
    table = {
        "1/2": (0.840, 0.109, 0.147),
        "3/4": (1.050, 0.113, 0.154),
        "1": (1.315, 0.133, 0.179),
        "1-1/4": (1.660, 0.140, 0.191),
        "1-1/2": (1.900, 0.145, 0.200),
        "2": (2.375, 0.154, 0.218),
        "2-1/2": (2.875, 0.203, 0.276),
        "3": (3.500, 0.216, 0.300),
        "3-1/2": (4.000, 0.226, 0.318),
        "4": (4.500, 0.237, 0.337),
    }
    for name, (outside, standard, strong) in table.items():
        for weight, t in (("standard", standard), ("extra strong", strong)):
            pipe = read_stock(f"pipe {name} {weight}")
            assert (inch(pipe.height), inch(pipe.nominal_wall)) == (outside, t)
    assert len(rows("pipes.csv")) == 2 * len(table)


def test_channel_and_angle_sizes_are_those_of_the_shapes_database():
    with open(DATA / "aisc_channel_rows.csv", newline="") as file:
        for r in csv.DictReader(file):
            one = read_stock(f"channel {r['name']}, A36")
            got = [inch(q) for q in (one.height, one.width, one.thickness, one.flange_thickness)]
            assert got == [float(r[k]) for k in ("d_in", "bf_in", "tw_in", "tf_in")]
            assert one.slope == pytest.approx(1 / 6)
    listed = {
        tuple(inch(read_length(r[k])) for k in ("long_leg", "short_leg", "thickness"))
        for r in rows("angles.csv")
    }
    with open(DATA / "aisc_angle_rows.csv", newline="") as file:
        for r in csv.DictReader(file):
            t = round(float(r["t_in"]) * 16) / 16
            assert (float(r["H_in"]), float(r["B_in"]), t) in listed, r["name"]
