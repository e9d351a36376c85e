"""Sizes for the tests of the clauses: one tube or a random batch, made by the stock room's kernels."""

import numpy as np

from shopcalc.stock.open_sections import boxes as plate_boxes
from shopcalc.stock.sections import rectangular_tubes, round_tubes
from shopcalc.units import Q

INCH, KSI, KIP = 0.0254, 6894757.293168361, 4448.2216152605

E_STEEL = 29000 * KSI


def boxes(height, width, t):
    """Square and rectangular tubes, inches in, corner radii 2t and t."""
    height, width, t = (np.atleast_1d(np.asarray(v, float)) * INCH for v in (height, width, t))
    return rectangular_tubes(height, width, t, 2 * t, t, mass_per_length=1.0, coat_per_length=1.0)


def rings(diameter, t):
    diameter, t = (np.atleast_1d(np.asarray(v, float)) * INCH for v in (diameter, t))
    return round_tubes(diameter, t, mass_per_length=1.0, coat_per_length=1.0)


def bending_arguments(s, *, F_y, L_b=0.0, C_b=1.0):
    """Arguments of F7 about the x axis from section arrays."""
    return {"F_y": F_y, "E": E_STEEL, "Z": s.Zx, "S": s.Sx, "I": s.Ix, "A_g": s.A, "J": s.J, "r_y": s.ry,
            "H": s.height, "B": s.width, "t": s.t, "b": s.flat_b, "h": s.flat_h, "L_b": L_b, "C_b": C_b}


def random_boxes(n, seed=1):
    rng = np.random.default_rng(seed)
    height, width = rng.uniform(1, 10, n), rng.uniform(1, 10, n)
    return boxes(height, width, rng.uniform(0.03, 0.25, n) * np.minimum(1, np.minimum(height, width) / 2))


_UNITS = {
    **dict.fromkeys(("F_y", "F_u", "F_yb", "F_yp", "F_nt", "F_nv", "E", "G"), "Pa"), **dict.fromkeys(("Z", "Z_b", "S", "S_c", "C"), "m**3"),
    **dict.fromkeys(("I", "J", "I_x", "I_y"), "m**4"), **dict.fromkeys(("A", "A_g", "A_n"), "m**2"), "C_w": "m**6",
    **dict.fromkeys(("C_b", "Q_f", "U", "s_w", "cross", "toe_compressed", "held"), ""), "theta": "rad"}


def as_quantities(arguments, design=0):
    """SI arguments of one design as quantities, for the door of a clause."""
    result = {}
    for name, value in arguments.items():
        size = float(np.broadcast_to(value, np.shape(value))[design]) if np.ndim(value) else float(value)
        unit = _UNITS.get(name, "m")
        result[name] = Q(size, unit) if unit else size
    return result


def _plates(rng, n):
    """Random flat bars, metres: height, thickness."""
    return rng.uniform(0.2, 6, n) * INCH, rng.uniform(0.125, 1.0, n) * INCH


def arguments_of(name: str, n: int, seed: int = 3) -> dict[str, np.ndarray]:
    """Arguments of a clause for n random designs of furniture size, SI. Open shapes by thin-walled
    arithmetic: the clauses take any numbers, the stock room has the true ones."""
    rng = np.random.default_rng(seed)
    steel = {"F_y": rng.uniform(30, 60, n) * KSI, "E": np.full(n, E_STEEL)}
    box, ring = random_boxes(n, seed), rings(rng.uniform(1, 6, n), rng.uniform(0.01, 0.2, n))
    d, t = _plates(rng, n)
    bar = {"A_g": d * t, "r_x": d / 12**0.5, "r_y": t / 12**0.5}
    L_x, L_y = rng.uniform(0.2, 4, n), rng.uniform(0.2, 4, n)

    # channel: web d x t_w, two flanges b_f x t_f
    b_f, t_f, t_w = 0.35 * d, rng.uniform(0.05, 0.4, n) * INCH, rng.uniform(0.02, 0.2, n) * INCH
    h_o, area = d - t_f, d * t_w + 2 * b_f * t_f
    I_x = t_w * d**3 / 12 + 2 * b_f * t_f * (h_o / 2)**2
    x_bar = b_f**2 * t_f / area
    I_y = 2 * (t_f * b_f**3 / 12 + b_f * t_f * (b_f / 2 - x_bar)**2) + d * t_w * x_bar**2
    J = (d * t_w**3 + 2 * b_f * t_f**3) / 3
    C_w = t_f * b_f**3 * h_o**2 / 12 * (3 * b_f * t_f + 2 * h_o * t_w) / (6 * b_f * t_f + h_o * t_w)
    channel = {"b_f": b_f, "t_f": t_f, "h": np.maximum(d - 4 * t_f, 0.2 * d), "t_w": t_w}
    twist = {"I_y": I_y, "J": J, "C_w": C_w, "r_y": np.sqrt(I_y / area)}
    S_x = 2 * I_x / d

    # equal-leg angle, leg b, thickness ta
    b, ta = rng.uniform(1, 4, n) * INCH, rng.uniform(0.06, 0.4, n) * INCH
    A_a, S_a = 2 * b * ta, b**2 * ta * 0.25
    angle = {"b": b, "t": ta}

    # a patch on a box
    B_b, l_b = rng.uniform(0.1, 1.0, n) * box.width, rng.uniform(0.2, 3, n) * INCH
    end = {"l_b": l_b, "l_end": rng.uniform(0, 6, n) * INCH}
    face = {"F_y": steel["F_y"], "t": box.t, "B": box.width, "B_b": B_b, **end}
    Q_f = rng.uniform(0.4, 1.0, n)

    # a tube branch on a box
    across = {"F_y": steel["F_y"], "t": box.t, "B": box.width, "B_b": B_b, "l_end": end["l_end"]}
    H_b, t_b = rng.uniform(0.5, 2, n) * B_b, rng.uniform(0.03, 0.1, n) * B_b
    joint, limb = {**across, "H_b": H_b}, {"F_yb": np.full(n, 46 * KSI), "t_b": t_b}
    pipes = {"F_y": steel["F_y"], "t": ring.t, "D": ring.height, "D_b": rng.uniform(0.2, 1, n) * ring.height,
             "theta": rng.uniform(0.6, 1.57, n), "l_end": rng.uniform(0.2, 3, n) * ring.height}
    cap = {"F_y": steel["F_y"], "t": box.t, "B": box.width, "A": box.A, "t_p": d / 10, "l_b": t}
    Z_b = 1.1 * t_b * (B_b * H_b + 0.5 * np.maximum(B_b, H_b) ** 2)

    # built-up box of plates, flush at the corners (a few stand out)
    h_b, s_b = rng.uniform(1, 12, n) * INCH, rng.uniform(1, 12, n) * INCH
    f_b, w_b = rng.uniform(0.04, 0.4, n) * INCH, rng.uniform(0.04, 0.4, n) * INCH
    apart = np.where(np.arange(n) % 12 == 0, 0.8 * s_b, s_b)
    built = plate_boxes(s_b + w_b, f_b, h_b, w_b, apart, mass_per_length=1.0)
    plates = {"b": built.flat_b, "t_f": f_b, "h": built.flat_h, "t_w": w_b}

    flag = rng.integers(0, 2, n).astype(float)
    table = {
        "bending_rectangular_tube": lambda: bending_arguments(box, F_y=steel["F_y"],
                                                              L_b=rng.uniform(0, 40, n),
                                                              C_b=rng.uniform(1, 2, n)) | {"E": steel["E"]},
        "bending_round_tube": lambda: {**steel, "Z": ring.Zx, "S": ring.Sx, "D": ring.height, "t": ring.t},
        "shear_rectangular_tube": lambda: {**steel, "h": box.flat_h, "t": box.t / 4},
        "shear_round_tube": lambda: {**steel, "A_g": ring.A, "D": ring.height, "t": ring.t / 8,
                                     "L_v": rng.uniform(0.2, 6, n)},
        "shear_rectangular_bar": lambda: {**steel, "d": d, "t": t / 20},
        "shear_channel": lambda: {**steel, "d": d, "h": channel["h"], "t_w": t_w / 3},
        "shear_channel_weak": lambda: {**steel, "b_f": b_f, "t_f": t_f / 5},
        "shear_angle": lambda: {**steel, "b": b, "t": ta / 3},
        "shear_rod": lambda: {"F_y": steel["F_y"], "A_g": d * d},
        "tension_yielding": lambda: {"F_y": steel["F_y"], "A_g": box.A},
        "tension_rupture": lambda: {"F_u": steel["F_y"] * 1.3, "A_n": 0.9 * box.A,
                                    "U": rng.uniform(0.6, 1, n)},
        "compression_rectangular_tube": lambda: {**steel, "A_g": box.A, "r_x": box.rx, "r_y": box.ry,
                                                 "L_cx": L_x,
                                                 "L_cy": L_y, "t": box.t, "b": box.flat_b, "h": box.flat_h},
        "compression_round_tube": lambda: {**steel, "A_g": ring.A, "r": ring.rx, "L_c": L_x, "D": ring.height,
                                           "t": ring.t},
        "compression_bar": lambda: {**steel, **bar, "L_cx": L_x, "L_cy": L_y},
        "compression_channel": lambda: {
            **steel, "G": np.full(n, 11200 * KSI), "A_g": area, "r_x": np.sqrt(I_x / area), "I_x": I_x,
            **twist,
            "x_o": x_bar + 3 * b_f**2 * t_f / (6 * b_f * t_f + h_o * t_w), "L_cx": L_x, "L_cy": L_y / 4,
            "L_cz": L_x,
            **channel},
        "compression_angle": lambda: {**steel, "A_g": A_a, "r_a": 0.31 * b, "L": rng.uniform(0.1, 2, n),
                                      **angle},
        "compression_angle_centred": lambda: {**steel, "A_g": 1.8 * b * ta, "r_z": 0.2 * b, "L_c": rng.uniform(0.1, 2, n),
                                              "b_1": b, "b_2": 0.8 * b, "t": ta},
        "compression_box": lambda: {**steel, "A_g": built.A, "r_x": built.rx, "r_y": built.ry, "L_cx": L_x, "L_cy": L_y,
                                    "B": built.width, **plates},
        "bending_box": lambda: {**steel, "Z": built.Zx, "S": built.Sx, "I": built.Ix, "A_g": built.A, "J": built.J,
                                "r_y": built.ry, "H": built.height, "B": built.width, **plates,
                                "L_b": rng.uniform(0, 40, n), "C_b": rng.uniform(1, 2, n)},
        "torsion_box": lambda: {**steel, "C": built.C, **plates},
        "torsion_open_shape": lambda: {"F_y": steel["F_y"], "C": 0.02 * d**2 * t},
        "bending_channel": lambda: {**steel, "Z": 1.18 * S_x, "S": S_x, **twist, "h_o": h_o, **channel,
                                    "L_b": L_x, "C_b": rng.uniform(1, 2, n)},
        "bending_channel_weak": lambda: {**steel, "Z": 1.8 * I_y / (b_f - x_bar) * rng.uniform(0.8, 1.0, n),
                                         "S": I_y / (b_f - x_bar), "b_f": b_f, "t_f": t_f / 3},
        "bending_angle_leg_axis": lambda: {**steel, "S": S_a, **angle, "L_b": L_x,
                                           "C_b": rng.uniform(1, 1.5, n),
                                           "toe_compressed": flag,
                                           "held": rng.integers(0, 2, n).astype(float)},
        "bending_angle_major": lambda: {**steel, "S": 1.7 * S_a, "A_g": A_a, "r_z": 0.2 * b, **angle,
                                        "L_b": L_x,
                                        "beta_w": rng.uniform(-0.5, 0.5, n) * b, "C_b": rng.uniform(1, 2, n)},
        "bending_angle_minor": lambda: {**steel, "S": 0.8 * S_a, "S_c": 0.9 * S_a, **angle,
                                        "toe_compressed": flag},
        "bending_rectangular_bar": lambda: {**steel, "Z": d**2 * t / 4, "S": d**2 * t / 6, "d": d, "t": t,
                                            "L_b": L_x, "C_b": rng.uniform(1, 1.3, n)},
        "bending_rod": lambda: {"F_y": steel["F_y"], "Z": d**3 / 6, "S": np.pi * d**3 / 32},
        "torsion_rectangular_tube": lambda: {**steel, "C": box.C, "h": np.maximum(box.flat_h, box.flat_b),
                                             "t": box.t / 3},
        "torsion_round_tube": lambda: {**steel, "C": ring.C, "D": ring.height, "t": ring.t / 8, "L": L_x},
        "torsion_solid_bar": lambda: {"F_y": steel["F_y"], "C": 0.2 * d**3},
        "face_bending": lambda: {**face, "Q_f": Q_f},
        "face_punching": lambda: face,
        "side_wall_yielding": lambda: {"F_y": steel["F_y"], "t": box.t, "H": box.height, "k": 1.5 * box.t,
                                       **end},
        "side_wall_crippling": lambda: {**steel, "t": box.t, "H": box.height, **end, "Q_f": Q_f},
        "branch_yielding": lambda: {**joint, **limb},
        "face_bending_in_plane": lambda: {**joint, "Q_f": Q_f},
        "face_punching_in_plane": lambda: joint,
        "side_wall_yielding_in_plane": lambda: {**joint, "s_w": np.where(flag > 0, 1.0, 0.8)},
        "branch_yielding_in_plane": lambda: {**joint, **limb, "Z_b": Z_b},
        "face_bending_out_of_plane": lambda: {**joint, "Q_f": Q_f},
        "face_punching_out_of_plane": lambda: joint,
        "side_wall_yielding_out_of_plane": lambda: {**joint, "s_w": np.where(flag > 0, 1.0, 0.8)},
        "tube_distortion": lambda: {**joint, "H": box.height},
        "branch_yielding_out_of_plane": lambda: {**across, **limb, "Z_b": Z_b},
        "plate_yielding": lambda: {"F_y": steel["F_y"], "t": box.t, "B": box.width, "F_yp": limb["F_yb"], "t_p": d / 4,
                                   "B_p": B_b},
        "cap_plate_yielding": lambda: cap,
        "cap_plate_crippling": lambda: {**cap, "E": steel["E"]},
        "round_wall": lambda: {**pipes, "Q_f": Q_f, "cross": flag},
        "round_punching": lambda: pipes,
        "round_wall_in_plane": lambda: {**pipes, "Q_f": Q_f},
        "round_wall_out_of_plane": lambda: {**pipes, "Q_f": Q_f},
        "round_punching_in_plane": lambda: pipes,
        "round_punching_out_of_plane": lambda: pipes,
        "bolt_tension": lambda: {"F_nt": steel["F_y"] * 2, "d": d / 8},
        "bolt_shear": lambda: {"F_nv": steel["F_y"], "d": d / 8},
        "bolt_bearing": lambda: {"d": d / 8, "t": t, "F_u": steel["F_y"] * 1.3, "l_c": rng.uniform(0.2, 4, n) * d / 8},
        "side_wall_buckling": lambda: {**steel, "t": box.t, "H": box.height, "h": box.flat_h,
                                       "l_end": end["l_end"], "Q_f": Q_f},
    }
    return table[name]()
