"""Pipe, angle, channel, bar and plate: published rows, words of the shop, refusals, built-up sections."""

import csv
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopcalc.errors import InputError
from shopcalc.stock import open_sections
from shopcalc.stock.open_sections import (
    area_angle,
    area_box,
    centroid_angle,
    second_moment_angle,
    second_moment_box,
    second_moment_two_parts,
    stress_in_part,
    torsion_constant_box,
    torsion_modulus_bar,
    two_parts_stress,
)
from shopcalc.stock.sections import rectangular_tubes
from shopcalc.stock.shapes import mass_of_plate, read_stock, stock_sections
from shopcalc.stock.tubes import Tube, read_tube
from shopcalc.units import Q, magnitude

DATA = Path(__file__).with_name("data")
INCH = 0.0254


def rows(name):
    with open(DATA / name, newline="") as file:
        return list(csv.DictReader(file))


def column(table, key):
    return np.array([float(r[key]) for r in table])


def worst(got, want):
    return float(np.max(np.abs(np.asarray(got) / want - 1)))


# --- published rows: sharp corners against rolled shapes with fillets

ANGLES = rows("aisc_angle_rows.csv")


@pytest.mark.parametrize(
    "key, ours, power, rel",
    [
        ("A", "A", 2, 0.03),
        ("x", "x_bar", 1, 0.04),
        ("y", "y_bar", 1, 0.03),
        ("Ix", "Ix", 4, 0.04),
        ("Sx", "Sx", 3, 0.04),
        ("Zx", "Zx", 3, 0.06),
        ("rx", "rx", 1, 0.02),
        ("Iy", "Iy", 4, 0.05),
        ("ry", "ry", 1, 0.02),
        ("rz", "r_min", 1, 0.03),
        ("Cw", "C_w", 6, 0.02),
    ],
)
def test_aisc_angles(key, ours, power, rel):
    made = open_sections.angles(
        *(column(ANGLES, k) * INCH for k in ("H_in", "B_in", "t_in")), mass_per_length=0
    )
    assert len(ANGLES) > 30
    assert worst(getattr(made, ours) / INCH**power, column(ANGLES, key)) < rel


def test_aisc_angle_axes_lean_as_tabulated():
    made = open_sections.angles(
        *(column(ANGLES, k) * INCH for k in ("H_in", "B_in", "t_in")), mass_per_length=0
    )
    assert worst(np.tan(made.tilt), column(ANGLES, "tan_a")) < 0.02
    equal = made.height == made.width
    assert np.allclose(made.tilt[equal], np.pi / 4)
    # trap: the weak principal axis, about 0.2 of the leg, governs buckling, not rx
    assert (made.r_min < 0.72 * made.rx).all() and np.allclose(
        made.r_min[equal] / made.height[equal], 0.2, atol=0.012
    )


CHANNELS = rows("aisc_channel_rows.csv")


@pytest.mark.parametrize(
    "key, ours, power, rel",
    [
        ("A", "A", 2, 0.02),
        ("x", "x_bar", 1, 0.03),
        ("eo", "e_o", 1, 0.03),
        ("Ix", "Ix", 4, 0.02),
        ("Sx", "Sx", 3, 0.02),
        ("Zx", "Zx", 3, 0.03),
        ("rx", "rx", 1, 0.01),
        ("Iy", "Iy", 4, 0.06),
        ("Sy", "Sy", 3, 0.07),
        ("Zy", "Zy", 3, 0.05),
        ("ry", "ry", 1, 0.04),
        ("Cw", "C_w", 6, 0.04),
    ],
)
def test_aisc_channels(key, ours, power, rel):
    sizes = (column(CHANNELS, k) * INCH for k in ("d_in", "bf_in", "tw_in", "tf_in"))
    made = open_sections.channels(*sizes, open_sections.ROLLED_SLOPE, mass_per_length=0)
    assert len(CHANNELS) > 10
    assert worst(getattr(made, ours) / INCH**power, column(CHANNELS, key)) < rel


def test_listed_channels_weigh_what_their_names_say():
    for r in CHANNELS:
        # C3x3.5 has 1.09 in^2 in its own table: 3.7 lb/ft under that name
        one = stock_sections([read_stock(f"channel {r['name']}, A36")], "design")
        assert (
            abs(one.mass_per_length[0] / Q(float(r["weight_lb_ft"]), "lb/ft").to("kg/m").magnitude - 1)
            < 0.045
        )


def test_pipe_is_not_tube():
    pipe, tube = read_stock("pipe 1-1/2 standard, A53 B"), read_tube("round tube 1-1/2 in x 11 ga, A513")
    assert magnitude(pipe.height, "inch") == pytest.approx(1.900) and magnitude(tube.height, "inch") == 1.5
    made = stock_sections([pipe], "design")
    for got, want in (
        (made.A[0] / INCH**2, 0.749),
        (made.Ix[0] / INCH**4, 0.293),
        (made.Sx[0] / INCH**3, 0.309),
        (made.rx[0] / INCH, 0.626),
    ):
        assert abs(got / want - 1) < 0.008
    assert abs(made.mass_per_length[0] / Q(2.72, "lb/ft").to("kg/m").magnitude - 1) < 0.008
    assert magnitude(pipe.steel.Fy, "ksi") == pytest.approx(35)


# --- words


@pytest.mark.parametrize(
    "text, kind, listed",
    [
        ("angle 2 in x 2 in x 1/8 in, A36", "angle", True),
        ("angle 2 in x 3 in x 1/4 in, A36", "angle", True),
        ("channel C3x4.1, A36", "channel", True),
        ("channel 2 x 1 x 3/16, A36", "channel", True),
        ("flat bar 2 in x 1/4 in, A36", "flat bar", True),
        ("flat bar 1/4 in x 2 in, A36", "flat bar", True),
        ("flat bar 2 in x 0.27 in, A36", "flat bar", False),
        ("square bar 1/2 in, A36", "square bar", True),
        ("round bar 5/8 in, A36", "round bar", True),
        ("plate 3/8 in, A36", "plate", True),
        ("sheet 16 ga stainless sheet, 304 stainless", "sheet", True),
        ("sheet 11 ga carbon sheet, A36", "sheet", True),
    ],
)
def test_words(text, kind, listed):
    piece = read_stock(text)
    assert (piece.kind, piece.listed) == (kind, listed)
    again = read_stock(piece.words)
    assert again.words == piece.words and again.thickness == piece.thickness


def test_tube_and_pipe_come_through_the_same_reader():
    for text in ("square tube 2 in x 11 ga, A513", "pipe 3/4 sch 40", "pipe 2 in extra strong, A53"):
        piece = read_stock(text)
        assert isinstance(piece, Tube) and read_stock(piece.words).si[:3] == piece.si[:3]


def test_sizes_as_they_stand():
    upright, flat = read_stock("flat bar 2 in x 1/4 in, A36"), read_stock("flat bar 1/4 in x 2 in, A36")
    made = stock_sections([upright, flat], "design")
    assert made.Ix[0] == pytest.approx(64 * made.Ix[1]) and made.Ix[0] == pytest.approx(made.Iy[1])
    assert upright.turned().height == flat.height
    tall = stock_sections(
        [read_stock("angle 3 in x 2 in x 1/4 in, A36"), read_stock("angle 2 in x 3 in x 1/4 in, A36")],
        "design",
    )
    assert tall.Ix[0] == pytest.approx(tall.Iy[1]) and tall.Ix[0] > tall.Ix[1]


def test_mixed_pieces_keep_their_order():
    texts = [
        "flat bar 2 in x 1/4 in, A36",
        "square tube 2 in x 11 ga, A513",
        "angle 2 in x 2 in x 1/8 in, A36",
        "round bar 1/2 in, A36",
        "pipe 1 standard",
        "channel C3x4.1, A36",
        "round tube 2 in x 1/8 in, A500",
    ]
    pieces = [read_stock(t) for t in texts]
    many = stock_sections(pieces, "design")
    assert list(many.kind) == [
        "flat bar",
        "rectangular tube",
        "angle",
        "round bar",
        "round tube",
        "channel",
        "round tube",
    ]
    for i, piece in enumerate(pieces):
        one = stock_sections([piece], "design")
        for name in ("A", "Ix", "J", "mass_per_length", "r_min", "e_o"):
            assert getattr(one, name)[0] == getattr(many, name)[i]
    with pytest.raises(ValueError, match="not the same when it is turned"):
        many.turned()


@pytest.mark.parametrize(
    "text, need",
    [
        ("pipe 1-1/2", "a pipe of the list"),
        ("pipe 7 standard", "1-1/4, 1-1/2, 2"),
        ("angle 2 in x 2 in x 1/16 in, A36", "angle 2 in x 2 in x 1/8 in"),
        ("angle 2 in x 1/8 in", "3 sizes"),
        ("channel C3x9, A36", "C3x6"),
        ("flat bar 2 in x 5/32 in, A36", "flat bar 2 in x 3/16 in"),
        ("flat bar 2 in", "2 sizes"),
        ("sheet 16 ga", "a gauge with its form"),
        ("sheet 16 ga tube", "carbon sheet"),
        ("plate 3/8", "bare number"),
        ("plate 3/8 in, A572", "A36"),
        ("beam W8x10", "stock the kit knows"),
        ("", "at most"),
        (None, "in quotes"),
        ("plate " + "3" * 500, "characters"),
        ("plate -3/8 in, A36", "between"),
        ("flat bar 2 in x 1/4 in, A36 grade 50", "A36"),
    ],
)
def test_refusals(text, need):
    with pytest.raises(InputError) as error:
        read_stock(text, "stock.pad")
    assert error.value.field.startswith("stock.pad") and need in error.value.need and error.value.example


def test_a_plate_has_no_section_until_it_is_cut():
    with pytest.raises(InputError, match="until it is cut"):
        read_stock("plate 3/8 in, A36").section()
    with pytest.raises(InputError, match="a bar or a tube to turn"):
        read_stock("angle 2 in x 2 in x 1/8 in, A36").turned()
    # 3/8 plate: 15.3 lb per square foot in any steel handbook
    plate = read_stock("plate 3/8 in, A36")
    assert abs(magnitude(mass_of_plate(plate.steel.density, plate.thickness), "lb/ft**2") / 15.3 - 1) < 0.002


@given(
    st.sampled_from(["pipe", "angle", "channel", "flat bar", "plate", "sheet", "round bar"]),
    st.text("0123456789./- xinmga\"',AC36stb", max_size=40),
)
def test_no_words_make_anything_but_stock_or_an_input_error(kind, rest):
    try:
        assert str(read_stock(f"{kind} {rest}"))
    except InputError:
        pass


# --- formulas with an answer from outside


def test_table_angle_as_two_sharp_rectangles():
    size = {"H": Q(2, "in"), "B": Q(2, "in"), "t": Q(0.125, "in")}
    assert abs(magnitude(area_angle(**size), "in**2") / 0.491 - 1) < 0.03
    assert abs(magnitude(centroid_angle(**size), "in") / 0.534 - 1) < 0.03
    assert abs(magnitude(second_moment_angle(**size), "in**4") / 0.189 - 1) < 0.03


def test_torsion_of_a_bar_by_its_series():
    # Timoshenko's series for the rectangle, ratios 1, 2, 3, 10
    for ratio, k1, k2 in ((1, 0.1406, 0.208), (2, 0.229, 0.246), (3, 0.263, 0.267), (10, 0.312, 0.312)):
        t = Q(10, "mm")
        J = open_sections.torsion_constant_bar(b=ratio * t, t=t)
        C = torsion_modulus_bar(b=ratio * t, t=t)
        assert abs(magnitude(J / (ratio * t**4), "") / k1 - 1) < 0.005
        assert abs(magnitude(C / (ratio * t**3), "") / k2 - 1) < 0.005


def test_textbook_wood_and_steel():
    # Beer, Johnston, DeWolf, sample problem 4.3 (transformed widths): 2.19e-3 m^4, 4.57 and 43.8 MPa
    size = {"b_1": Q(0.470, "m"), "h_1": Q(0.300, "m"), "b_2": Q(3.2, "m"), "h_2": Q(20, "mm")}
    I = second_moment_two_parts(**size)
    assert abs(magnitude(I, "m**4") / 2.19e-3 - 1) < 0.005
    wood = stress_in_part(1, M=Q(50, "kN*m"), c=Q(200, "mm"), I=I)
    steel = stress_in_part(16, M=Q(50, "kN*m"), c=Q(120, "mm"), I=I)
    assert abs(magnitude(wood, "MPa") / 4.57 - 1) < 0.005 and abs(magnitude(steel, "MPa") / 43.8 - 1) < 0.005


def test_textbook_strap_under_a_beam():
    # Hibbeler, example 6.17: 7.8 and 1.71 MPa
    size = {
        "b_1": Q(150, "mm"),
        "h_1": Q(150, "mm"),
        "E_1": Q(12, "GPa"),
        "b_2": Q(150, "mm"),
        "h_2": Q(20, "mm"),
        "E_2": Q(200, "GPa"),
        "M": Q(2, "kN*m"),
    }
    assert abs(magnitude(two_parts_stress(part="lower", **size), "MPa") / 7.8 - 1) < 0.005
    assert abs(magnitude(two_parts_stress(part="upper", **size), "MPa") / 1.71 - 1) < 0.005
    layers = open_sections.Layers(
        E=np.array([[12e9, 200e9]]),
        b=np.array([[0.15, 0.15]]),
        h=np.array([[0.15, 0.02]]),
        y=np.array([[0.095, 0.01]]),
    )
    stress = layers.stress(np.array([2000.0]), np.array([[0.17, 0.0]]))[0]
    assert stress[0] < 0 < stress[1]  # a sagging moment presses the top and pulls the bottom
    assert abs(-stress[0] / 1.71e6 - 1) < 0.005 and abs(stress[1] / 7.8e6 - 1) < 0.005


def test_a_box_of_plates_is_a_tube_with_sharp_corners():
    B, H, t = 3 * INCH, 4 * INCH, 0.25 * INCH
    box = open_sections.boxes(B, t, H - 2 * t, t, mass_per_length=0)
    tube = rectangular_tubes(H, B, t, 0, 0, mass_per_length=0, coat_per_length=0)
    for name in ("A", "Ix", "Iy", "Sx", "Zx", "Zy", "rx", "J", "C", "Av_x", "Av_y"):
        assert getattr(box, name)[0] == pytest.approx(getattr(tube, name)[0], rel=1e-12), name
    quantities = {"B": Q(3, "in"), "t_f": Q(0.25, "in"), "h": Q(3.5, "in"), "t_w": Q(0.25, "in")}
    assert magnitude(area_box(**quantities), "m**2") == pytest.approx(box.A[0])
    assert magnitude(second_moment_box(**quantities), "m**4") == pytest.approx(box.Ix[0])
    J = torsion_constant_box(t_f=Q(0.25, "in"), h=Q(3.5, "in"), t_w=Q(0.25, "in"), s=Q(2.75, "in"))
    assert magnitude(J, "m**4") == pytest.approx(box.J[0])


def test_round_and_square_bars_by_hand():
    made = open_sections.round_bars(2.0, mass_per_length=0)
    assert made.J[0] == pytest.approx(np.pi * 2**4 / 32) and made.C[0] == pytest.approx(np.pi * 2**3 / 16)
    assert made.Zx[0] == pytest.approx(8 / 6) and made.coat_per_length[0] == pytest.approx(2 * np.pi)
    flat = open_sections.bars(4.0, 1.0, mass_per_length=0)
    assert (flat.Sx[0], flat.Sy[0]) == pytest.approx((16 / 6, 4 / 6)) and flat.coat_per_length[0] == 10
    assert (flat.Zx[0], flat.Zy[0]) == (4.0, 1.0) and flat.t[0] == 1.0
    angle = open_sections.angles(3.0, 2.0, 0.25, mass_per_length=0)
    assert angle.coat_per_length[0] == 10 and angle.C[0] == pytest.approx(angle.J[0] / 0.25)
    channel = open_sections.channels(4.0, 1.5, 0.25, 0.25, mass_per_length=0)
    assert channel.coat_per_length[0] == 8 + 6 - 0.5 and channel.flat_h[0] == 3.5
