"""Plane frames and vibrating bars of the textbooks, with units, answered by the frame engine: for published
cases, and for setting a hand formula beside a frame.

The plane is x (to the right) and z (up); a turn is positive anticlockwise as the books draw it. Moments along
a bar are sagging positive with the bar read from its first to its second node (the side of tension is on its
right hand). Axial stretch is left out unless EA is given: the bars are then made 1e7 times stiffer along than
across.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pint

from shopcalc.errors import InputError
from shopcalc.mechanics.frames.model import FIXED, Frame, LineLoad, Member, NodeLoad, PointLoad, Support
from shopcalc.mechanics.frames.solver import Answer, solve
from shopcalc.mechanics.frames.vibration import frequencies
from shopcalc.units import Quantity, magnitude

# How many times stiffer along than across a bar is made whose stretch is left out.
NO_STRETCH = 1e7
_IN_PLANE = "y rx rz"
_FEET = {"fixed": "x z ry", "pinned": "x z", "glide": "z"}
_PARTS = 4  # bars of a vibrating bar, so that five modes come out within 0.1 %


def plane_frame(
    *,
    nodes: str,
    x: Sequence,
    z: Sequence,
    bars: str,
    EI,
    supports: str,
    loads: str,
    sizes: Sequence,
    what: str,
    EA=None,
    order: str = "first",
) -> pint.Quantity:
    """One number of one plane frame.

    nodes, x, z  "a b c d" and their places
    bars         "ab bc cd", each named by its two one-letter nodes;  EI  one or a list;  EA  one for all
    supports     "a pinned, d fixed", pinned, fixed, glide (z alone) or ways such as "b x"
    loads        "b x, bc even, cd point": a force at a node along x or z; an even load on a bar along +z; a
                 force along +z on a bar. `sizes` are their sizes in order, for "point" followed by the place
                 from the first node.
    what         "moves b x", "turn b", "reaction a x", "reaction a ry"; "moment ab" at the bar's first end,
                 "moment ab end", "largest_moment bc" (sagging) and "largest_moment_at bc"
    Raises InputError for words that do not read, or a frame that does not stand.
    """
    names = nodes.split()
    words = bars.split()
    if any(len(w) != 2 or w[0] not in names or w[1] not in names for w in words):
        raise InputError(
            field="plane_frame: bars", value=bars, need="bars named by their two nodes", example='"ab bc cd"'
        )
    stiff = [_si(q, "N*m**2") for q in (EI if isinstance(EI, list | tuple) else [EI] * len(words))]
    points = np.stack([[_si(q, "m") for q in x], np.zeros(len(names)), [_si(q, "m") for q in z]], axis=1)
    shortest = min(
        float(np.linalg.norm(points[names.index(w[1])] - points[names.index(w[0])])) for w in words
    )
    along = NO_STRETCH * max(stiff) / shortest**2 if EA is None else _si(EA, "N")
    held = {}
    for word in supports.split(","):
        node, *ways = word.split()
        held[node] = _FEET.get(ways[0], " ".join(ways))
    made, values, places, rest = [], [], [], list(sizes)
    for word in loads.split(","):
        who, kind = word.split()
        if who in names:
            made.append(NodeLoad(who, kind))
            values.append(_si(rest.pop(0), "N")), places.append(np.nan)
        elif kind == "even":
            made.append(LineLoad(who, "z"))
            values.append(_si(rest.pop(0), "N/m")), places.append(np.nan)
        elif kind == "point":
            made.append(PointLoad(who, "z"))
            values.append(_si(rest.pop(0), "N")), places.append(_si(rest.pop(0), "m"))
        else:
            raise InputError(
                field="plane_frame: loads",
                value=word,
                need="node and way, or bar and even or point",
                example='"bc even"',
            )
    if rest:
        raise InputError(
            field="plane_frame: sizes",
            value=f"{len(rest)} left over",
            need="one size for each load, two for a point",
        )
    frame = Frame(
        tuple(names),
        tuple(Member(w, w[0], w[1]) for w in words),
        tuple(Support(n, f"{_IN_PLANE} {held.get(n, '')}".strip()) for n in names),
        loads=tuple(made),
    )
    E = np.array(stiff)
    made_sizes = frame.sizes(
        points=points, A=along / E, Iy=1.0, Iz=1.0, J=1.0, E=E, G=E, load=values, at=places
    )
    return _number(solve(frame, made_sizes, order=order).insist(), what)


def _number(answer: Answer, what: str) -> pint.Quantity:
    kind, who, *more = what.split()
    if kind == "moves":
        return Quantity(float(answer.displacement(who, more[0])[0]), "m")
    if kind == "turn":  # anticlockwise with x to the right and z up is about -y
        return Quantity(-float(answer.displacement(who, "ry")[0]), "rad")
    if kind == "reaction":
        sign, unit = (-1, "N*m") if more[0] == "ry" else (1, "N")
        return Quantity(sign * float(answer.reaction(who, more[0])[0]), unit)
    bar = answer.member(who)
    # The bar's own z points away from the side that its sagging moment stretches.
    x, z = bar.R[0, 0], bar.R[0, 2]
    sign = float(np.sign(x[0] * z[2] - x[2] * z[0]))
    if kind == "moment":
        place = bar.L if more else 0 * bar.L
        return Quantity(sign * float(bar.at(place[:, None]).My[0, 0]), "N*m")
    value, place = bar.largest("My", "most" if sign > 0 else "least")
    if kind == "largest_moment":
        return Quantity(sign * float(value[0]), "N*m")
    if kind == "largest_moment_at":
        return Quantity(float(place[0]), "m")
    raise InputError(
        field="plane_frame: what",
        value=what,
        need="moves, turn, reaction, moment, largest_moment, largest_moment_at",
    )


_PORTAL = {
    "sway": "moves c x",
    "left_knee_turn": "turn b",
    "right_knee_turn": "turn c",
    "left_base_moment": "moment ab",
    "left_knee_moment": "moment bc",
    "right_knee_moment": "moment bc end",
    "right_base_moment": "moment dc",
    "left_thrust": "reaction a x",
    "right_thrust": "reaction d x",
    "left_reaction": "reaction a z",
    "right_reaction": "reaction d z",
}


def portal(
    *,
    what: str,
    height,
    span,
    E,
    I_leg,
    I_rail,
    A=None,
    feet: str = "fixed",
    lateral_load=None,
    uniform_load=None,
    load=None,
    load_from_left=None,
    order: str = "first",
) -> pint.Quantity:
    """One number of a rectangular portal: two legs, a rail, feet fixed, pinned or on glides (the left one
    then pinned).

    what   sway (of the right knee, to the right), left_ or right_knee_turn, left_ or right_ base_moment or
           knee_moment (sagging on the inside, at the knee of the rail), left_ or right_thrust (to the right,
           on the frame), left_ or right_reaction (up), middle_moment
    lateral_load  at the left knee, to the right;  uniform_load, load  down, on the rail, the latter
                  load_from_left
    A      area of every bar; left out: bars do not stretch
    order  "first" or "second" (bars must then be able to stretch: give A)
    """
    words, sizes = [], []
    if lateral_load is not None:
        words.append("b x"), sizes.append(lateral_load)
    if uniform_load is not None:
        words.append("bc even"), sizes.append(-uniform_load)
    if load is not None:
        (
            words.append("bc point"),
            sizes.extend([-load, span / 2 if load_from_left is None else load_from_left]),
        )
    if not words:
        raise InputError(field="portal: load", value=None, need="a load", example="lateral_load=Q(50, 'lbf')")
    zero = Quantity(0.0, "m")
    frame = {
        "nodes": "a b c d",
        "x": [zero, zero, span, span],
        "z": [zero, height, height, zero],
        "bars": "ab bc dc",
        "EI": [E * I_leg, E * I_rail, E * I_leg],
        "EA": None if A is None else E * A,
        "supports": f"a {'pinned' if feet == 'glide' else feet}, d {feet}",
        "loads": ", ".join(words),
        "sizes": sizes,
        "order": order,
    }
    if feet not in _FEET:
        raise InputError(field="portal: feet", value=feet, need="one of " + ", ".join(_FEET))
    if what == "middle_moment":
        return _middle(frame)
    if what not in _PORTAL:
        raise InputError(
            field="portal: what", value=what, need="one of " + ", ".join([*_PORTAL, "middle_moment"])
        )
    # The inside of the left leg, read upwards, is on its right hand; of the right leg on its left.
    sign = -1 if what == "right_base_moment" else 1
    return sign * plane_frame(what=_PORTAL[what], **frame)


def _middle(frame: dict) -> pint.Quantity:
    """Sagging moment at the middle of the rail: a node put there says it."""
    span, height = frame["x"][2], frame["z"][1]
    if "point" in frame["loads"]:
        raise InputError(field="portal: what", value="middle_moment", need="lateral and uniform loads only")
    parts = {
        **frame,
        "nodes": "a b m c d",
        "bars": "ab bm mc dc",
        "EI": [frame["EI"][0], frame["EI"][1], *frame["EI"][1:]],
        "x": [*frame["x"][:2], span / 2, *frame["x"][2:]],
        "z": [*frame["z"][:2], height, *frame["z"][2:]],
    }
    parts["loads"] = parts["loads"].replace("bc even", "bm even, mc even")
    if "even" in parts["loads"]:
        parts["sizes"] = [*parts["sizes"], parts["sizes"][-1]]
    return plane_frame(what="moment mc", **parts)


def guided_column_stiffness(*, E, I, height) -> pint.Quantity:  # noqa: E741
    """Sideways stiffness of a column held at its foot whose head moves without turning (12 EI/h^3)."""
    frame = Frame(
        ("foot", "head"),
        (Member("column", "foot", "head"),),
        (Support("foot", FIXED), Support("head", "y z rx ry rz")),
        loads=(NodeLoad("head", "x"),),
    )
    one = frame.sizes(
        points=[[0, 0, 0], [0, 0, _si(height, "m")]],
        A=1.0,
        Iy=_si(I, "m**4"),
        Iz=1.0,
        J=1.0,
        E=_si(E, "Pa"),
        G=1.0,
        load=1.0,
    )
    return Quantity(1.0 / float(solve(frame, one, order="first").displacement("head", "x")[0]), "N/m")


_BARS = {
    "cantilever": (FIXED, ""),
    "simple": ("x y z rx rz", "y z rx rz"),
    "fixed": (FIXED, FIXED),
    "fixed_hinged": (FIXED, "y z rx rz"),
}


def _bar_frequency(ends: str, EI: float, m: float, L: float, number: int) -> float:
    """Frequency in Hz of a slender bar's bending in one plane; number 1 is the lowest."""
    if ends not in _BARS:
        raise InputError(field="bar_frequency: ends", value=ends, need="one of " + ", ".join(_BARS))
    names = tuple(f"p{i}" for i in range(_PARTS + 1))
    first, last = _BARS[ends]
    holds = [first, *([""] * (_PARTS - 1)), last]
    frame = Frame(
        names,
        tuple(Member(f"bar{i}", *names[i : i + 2]) for i in range(_PARTS)),
        tuple(Support(n, f"{h} {_IN_PLANE}".strip()) for n, h in zip(names, holds, strict=True)),
    )
    points = np.stack([np.linspace(0, L, _PARTS + 1), np.zeros(_PARTS + 1), np.zeros(_PARTS + 1)], axis=1)
    # A large area leaves rotary inertia and stretch out; the other plane is made too stiff to come in.
    sizes = frame.sizes(
        points=points, A=1e8 * EI / L**2, Iy=EI, Iz=1e8 * EI, J=1e8 * EI, E=1.0, G=1.0, mass_per_length=m
    )
    return float(frequencies(frame, sizes, count=number).frequency[0, number - 1])


def bar_frequency(*, ends: str, E, I, L, mass_per_length, number: int = 1) -> pint.Quantity:  # noqa: E741
    """Natural frequency of a slender bar: ends "cantilever", "simple", "fixed" or "fixed_hinged"; number 1 is
    the lowest.
    """
    return Quantity(
        _bar_frequency(ends, _si(E * I, "N*m**2"), _si(mass_per_length, "kg/m"), _si(L, "m"), int(number)),
        "Hz",
    )


def frequency_coefficient(*, ends: str, gravity) -> float:
    """omega/sqrt(EI/(w L^4)) of the lowest mode with w in weight per length, in feet and seconds (as
    handbooks table it).
    """
    return 2 * np.pi * _bar_frequency(ends, 1.0, 1.0, 1.0, 1) * float(np.sqrt(_si(gravity, "ft/s**2")))


def storey_frequency(*, number: int, masses: Sequence, stiffness: Sequence) -> pint.Quantity:
    """Circular frequency of masses one above another, each held to the one below by a storey's sideways
    stiffness.
    """
    m, k = [_si(q, "kg") for q in masses], [_si(q, "N/m") for q in stiffness]
    names = tuple(f"floor{i}" for i in range(len(m) + 1))
    frame = Frame(
        names,
        tuple(Member(f"storey{i}", *names[i : i + 2]) for i in range(len(m))),
        (Support(names[0], FIXED), *(Support(n, "y z rx ry rz") for n in names[1:])),
        masses=names[1:],
    )
    points = [[0.0, 0.0, float(i)] for i in range(len(names))]
    sizes = frame.sizes(points=points, A=1.0, Iy=np.array(k) / 12, Iz=1.0, J=1.0, E=1.0, G=1.0, node_mass=m)
    return Quantity(
        2 * np.pi * float(frequencies(frame, sizes, count=int(number)).frequency[0, int(number) - 1]), "rad/s"
    )


def _si(quantity, unit: str) -> float:
    if not isinstance(quantity, pint.Quantity) or not quantity.is_compatible_with(unit):
        raise InputError(
            field="frame: a size", value=quantity, need=f"a quantity like 1 {unit}", example=f"Q(1, '{unit}')"
        )
    return float(np.squeeze(magnitude(quantity, unit)))
