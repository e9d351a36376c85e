"""B4.1: how thin a wall may be before it buckles (tables B4.1a and B4.1b), and the sizes that are compared.

Widths of tube walls are flats: outside less three design walls where the corner radius is not known
(B4.1b(d), `stock.sections.flat_width`); of round tube the outside diameter. The wall is the design wall
(B4.2). The coefficients stand once, in the rows below.
"""

from __future__ import annotations

from shopcalc.formula import Formula, formula, sqrt
from shopcalc.units import Length, Ratio, Stress


@formula(symbol="lambda", source="aisc-360-22, table B4.1")
def slenderness(*, b: Length, t: Length) -> Ratio:
    """Width of a wall over its thickness.

    b  width of the wall: flat of a tube side, outside diameter of round tube, full leg or flange
    t  design thickness
    """
    return b / t


def _root(name: str, k: float, symbol: str, place: str, meaning: str) -> Formula:
    """A limit k sqrt(E/F_y)."""

    def limit(*, E: Stress, F_y: Stress) -> Ratio:
        return k * sqrt(E / F_y)

    return _made(limit, name, symbol, place, meaning)


def _ratio(name: str, k: float, symbol: str, place: str, meaning: str) -> Formula:
    """A limit k E/F_y."""

    def limit(*, E: Stress, F_y: Stress) -> Ratio:
        return k * E / F_y

    return _made(limit, name, symbol, place, meaning)


def _made(limit, name: str, symbol: str, place: str, meaning: str) -> Formula:
    limit.__name__ = name
    limit.__doc__ = f"{meaning}\n\nE    stiffness of the steel\nF_y  yield stress of the steel\n"
    return formula(symbol=symbol, source=f"aisc-360-22, {place}")(limit)


# Axial compression, table B4.1a: over this the wall is slender and E7 reduces it.
tube_wall_slender_compression = _root(
    "tube_wall_slender_compression", 1.40, "lambda_r", "table B4.1a case 6",
    "Flat wall of a rectangular tube under axial compression: slender beyond this.")
box_plate_slender_compression = _root(
    "box_plate_slender_compression", 1.40, "lambda_r", "table B4.1a case 7",
    "Plate of a built-up box between its welds under axial compression: slender beyond this.")
round_slender_compression = _ratio(
    "round_slender_compression", 0.11, "lambda_r", "table B4.1a case 9",
    "Wall of a round tube under axial compression: slender beyond this.")
angle_slender_compression = _root(
    "angle_slender_compression", 0.45, "lambda_r", "table B4.1a case 3",
    "Leg of a single angle under axial compression: slender beyond this.")
channel_flange_slender_compression = _root(
    "channel_flange_slender_compression", 0.56, "lambda_r", "table B4.1a case 1",
    "Flange of a channel under axial compression: slender beyond this.")
channel_web_slender_compression = _root(
    "channel_web_slender_compression", 1.49, "lambda_r", "table B4.1a case 5",
    "Web of a channel under axial compression: slender beyond this.")

# Bending, table B4.1b: compact up to lambda_p, slender beyond lambda_r.
tube_flange_compact = _root(
    "tube_flange_compact", 1.12, "lambda_p", "table B4.1b case 17",
    "Compression flange of a rectangular tube in bending: compact up to this.")
tube_flange_slender = _root(
    "tube_flange_slender", 1.40, "lambda_r", "table B4.1b case 17",
    "Compression flange of a rectangular tube in bending: slender beyond this.")
box_flange_slender = _root(
    "box_flange_slender", 1.49, "lambda_r", "table B4.1b case 21",
    "Compression flange of a built-up box in bending: slender beyond this.")
tube_web_compact = _root(
    "tube_web_compact", 2.42, "lambda_p", "table B4.1b case 19",
    "Web of a rectangular tube in bending: compact up to this.")
tube_web_slender = _root(
    "tube_web_slender", 5.70, "lambda_r", "table B4.1b case 19",
    "Web of a rectangular tube in bending: slender beyond this.")
round_compact = _ratio(
    "round_compact", 0.07, "lambda_p", "table B4.1b case 20",
    "Wall of a round tube in bending: compact up to this.")
round_slender = _ratio(
    "round_slender", 0.31, "lambda_r", "table B4.1b case 20",
    "Wall of a round tube in bending: slender beyond this.")
angle_leg_compact = _root(
    "angle_leg_compact", 0.54, "lambda_p", "table B4.1b case 12",
    "Leg of a single angle in bending: compact up to this.")
angle_leg_slender = _root(
    "angle_leg_slender", 0.91, "lambda_r", "table B4.1b case 12",
    "Leg of a single angle in bending: slender beyond this.")
channel_flange_compact = _root(
    "channel_flange_compact", 0.38, "lambda_p", "table B4.1b cases 10 and 13",
    "Flange of a channel in bending about either axis: compact up to this.")
channel_flange_slender = _root(
    "channel_flange_slender", 1.0, "lambda_r", "table B4.1b cases 10 and 13",
    "Flange of a channel in bending about either axis: slender beyond this.")
channel_web_compact = _root(
    "channel_web_compact", 3.76, "lambda_p", "table B4.1b case 15",
    "Web of a channel in bending: compact up to this.")
