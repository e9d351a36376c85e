"""Lifting by hand: the revised NIOSH lifting equation (94-110, sections 1.2 and 1.3) and how the load of a team is reckoned.

One person, two hands, a smooth lift, standing, no carrying: what is outside of that has no recommended limit here. Multipliers
follow the formulas, not the printed tables (table 1 is 0.01 high at 22 and 23 in). Inches throughout, as in the manual.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import pint

from shopcalc.check import REPORTED, Check
from shopcalc.errors import InputError
from shopcalc.formula import Within, formula
from shopcalc.sources import source_of
from shopcalc.table.checks import piece_words
from shopcalc.table.geometry import Geometry, Piece
from shopcalc.table.job import Job
from shopcalc.units import (
    Count,
    Length,
    Mass,
    Q,
    Quantity,
    Ratio,
    magnitude,
    show,
    show_length,
)

SOURCE = "niosh-94-110"
LOAD_CONSTANT = Q(51, "lb")  # equation, section 1.3
FURTHEST, HIGHEST, LONGEST, MOST_TURN = 25.0, 70.0, 70.0, 135.0  # tables 1, 2, 3 (in), 4 (deg): past them a multiplier is nought
NEAREST, SHORTEST = 10.0, 10.0  # nearer, shorter: as good as it gets
LOW = 30.0  # in: hands under this count as low in tables 5 and 7
CARRY_HEIGHT = 30.0  # in: knuckle height, at which VM is 1
HALF_BODY, HALF_BODY_LOW = 8.0, 10.0  # H = 8 + W/2, 10 + W/2 where the hands are under 10 in (section 1.3.1, recalled)
# Table 5: lifts a minute; then up to 1 h low, high, up to 2 h low, high, up to 8 h low, high. Rows 0.2, 3, 9 and 13 as the
# cases have them, the others recalled.
FREQUENCY = np.array([
    (0.2, 1.00, 1.00, 0.95, 0.95, 0.85, 0.85), (0.5, 0.97, 0.97, 0.92, 0.92, 0.81, 0.81), (1, 0.94, 0.94, 0.88, 0.88, 0.75, 0.75),
    (2, 0.91, 0.91, 0.84, 0.84, 0.65, 0.65), (3, 0.88, 0.88, 0.79, 0.79, 0.55, 0.55), (4, 0.84, 0.84, 0.72, 0.72, 0.45, 0.45),
    (5, 0.80, 0.80, 0.60, 0.60, 0.35, 0.35), (6, 0.75, 0.75, 0.50, 0.50, 0.27, 0.27), (7, 0.70, 0.70, 0.42, 0.42, 0.22, 0.22),
    (8, 0.60, 0.60, 0.35, 0.35, 0.18, 0.18), (9, 0.52, 0.52, 0.30, 0.30, 0.00, 0.15), (10, 0.45, 0.45, 0.26, 0.26, 0.00, 0.13),
    (11, 0.41, 0.41, 0.00, 0.23, 0.00, 0.00), (12, 0.37, 0.37, 0.00, 0.21, 0.00, 0.00), (13, 0.00, 0.34, 0.00, 0.00, 0.00, 0.00),
    (14, 0.00, 0.31, 0.00, 0.00, 0.00, 0.00), (15, 0.00, 0.28, 0.00, 0.00, 0.00, 0.00)])
DURATIONS = ("up to 1 h", "up to 2 h", "up to 8 h")
COUPLING = {"good": (1.0, 1.0), "fair": (0.95, 1.0), "poor": (0.90, 0.90)}  # table 7: low, high
TEAM = {1: 1.0, 2: 2 / 3, 3: 1 / 2}  # share of the sum that a team lifts: HSE L23, para 120
TEAM_WORDS = "two people lift 2/3, three 1/2 of what each could alone together (HSE L23)"


@formula(symbol="RWL", source=f"{SOURCE}, 1.3")
def recommended_weight(LC: Mass, *, HM: Ratio, VM: Ratio, DM: Ratio, AM: Ratio, FM: Ratio, CM: Ratio) -> Mass:
    """Recommended weight limit of one person.

    LC  load constant, 51 lb
    HM  hands out from the ankles
    VM  hands above the floor
    DM  way up or down
    AM  twist
    FM  how often
    CM  grip
    """
    return LC*HM*VM*DM*AM*FM*CM


@formula(symbol="HM", source=f"{SOURCE}, 1.3.1", valid=[Within("H/H_0", lambda H, H_0: H/H_0, 1.0, FURTHEST / NEAREST, f"{SOURCE}, table 1")])
def reach_multiplier(*, H_0: Length, H: Length) -> Ratio:
    """How much less is lifted with the hands out from the body.

    H_0  10 in
    H    hands out from the middle between the ankles
    """
    return H_0/H


@formula(symbol="DM", source=f"{SOURCE}, 1.3.3", valid=[Within("D/D_0", lambda D, D_0: D/D_0, 1.0, LONGEST / SHORTEST, f"{SOURCE}, table 3")])
def way_multiplier(*, D_0: Length, D: Length) -> Ratio:
    """How much less is lifted over a longer way: 0.82 + 1.8 in/D.

    D_0  10 in
    D    way of the hands up or down
    """
    return 0.82 + 0.18*D_0/D


@formula(symbol="F", source=f"{SOURCE}, 1.3.5.5")
def lifts_a_minute(*, r: Ratio, w: Ratio) -> Ratio:
    """Lifts a minute, averaged over a quarter of an hour in which not all the time is lifted.

    r  lifts a minute while lifting
    w  minutes of lifting in 15
    """
    return r*w/15


@formula(symbol="m_{team}", source="hse-l23, para 120")
def team_load(m: Mass, *, n: Count, k: Ratio) -> Mass:
    """Load of a team of alike lifters.

    m  what one of them lifts alone
    n  lifters
    k  share of their sum
    """
    return k*n*m


def _pure(value) -> float:
    return float(magnitude(value, "")) if isinstance(value, pint.Quantity) else float(value)


def a_minute(rate: pint.Quantity) -> float:
    """Lifts a minute, as a bare number, of a rate per time."""
    return float(magnitude(rate, "1/min"))


def averaged(rate: pint.Quantity, work: pint.Quantity) -> pint.Quantity:
    """Rate to look up in table 5 where lifting takes only part of every quarter of an hour."""
    return lifts_a_minute(r=a_minute(rate), w=float(magnitude(work, "min"))) * Q(1, "1/min")


def _inches(value, name: str) -> float:
    size = float(magnitude(value, "inch"))
    if not (math.isfinite(size) and size >= 0):
        raise InputError(field=f"lifting equation: {name}", value=value, need="a length, not negative", example="Q(23, 'inch')")
    return size


def horizontal(H: pint.Quantity) -> float:
    """HM: 1 up to 10 in, nought past 25 in (table 1)."""
    h = _inches(H, "H")
    return 0.0 if h > FURTHEST else 1.0 if h <= NEAREST else float(reach_multiplier.si(H_0=NEAREST, H=h))


def vertical(V: pint.Quantity) -> float:
    """VM = 1 - 0.0075 |V - 30 in|, nought past 70 in (table 2)."""
    v = _inches(V, "V")
    return 0.0 if v > HIGHEST else 1 - 0.0075 * abs(v - 30)


def travel(D: pint.Quantity) -> float:
    """DM: 1 up to 10 in, nought past 70 in (table 3)."""
    d = _inches(D, "D")
    return 0.0 if d > LONGEST else 1.0 if d <= SHORTEST else float(way_multiplier.si(D_0=SHORTEST, D=d))


def asymmetry(A: pint.Quantity) -> float:
    """AM = 1 - 0.0032 A in degrees, nought past 135 (table 4)."""
    a = float(magnitude(A, "deg"))
    if not 0 <= a <= 180:
        raise InputError(field="lifting equation: A", value=A, need="an angle from 0 to 180 degrees", example="Q(30, 'deg')")
    return 0.0 if a > MOST_TURN else 1 - 0.0032 * a


def frequency(F: float, V: pint.Quantity, duration: str = "up to 1 h") -> float:
    """FM of table 5: straight between rows, the row of 0.2 below it, nought past 15 lifts a minute."""
    if duration not in DURATIONS:
        raise InputError(field="lifting equation: duration", value=duration, need=f"one of {', '.join(DURATIONS)}", example="up to 1 h")
    rate = _pure(F)
    if not (math.isfinite(rate) and rate >= 0):
        raise InputError(field="lifting equation: F", value=F, need="lifts a minute, not negative", example="3")
    column = FREQUENCY[:, 1 + 2 * DURATIONS.index(duration) + (_inches(V, "V") >= LOW)]
    return float(np.interp(rate, FREQUENCY[:, 0], column, right=0.0))


def coupling(grip: str, V: pint.Quantity) -> float:
    """CM of table 7. grip: good, fair or poor."""
    if grip not in COUPLING:
        raise InputError(field="lifting equation: grip", value=grip, need="good, fair or poor", example="poor")
    return COUPLING[grip][int(_inches(V, "V") >= LOW)]


def weight_limit(*, H: pint.Quantity, V: pint.Quantity, D: pint.Quantity, A: pint.Quantity | None = None, F: float = 0.2, duration: str = "up to 1 h",
                 grip: str = "poor", FM: float | None = None) -> pint.Quantity:
    """Recommended weight limit (mass) at one end of a lift; nought where a multiplier is. FM: given, in place of F and duration."""
    return recommended_weight(LOAD_CONSTANT, **_multipliers(H, V, D, A, F, duration, grip, FM))


def _multipliers(H, V, D, A, F, duration, grip, FM) -> dict[str, float]:
    return {"HM": horizontal(H), "VM": vertical(V), "DM": travel(D), "AM": 1.0 if A is None else asymmetry(A),
            "FM": frequency(F, V, duration) if FM is None else _pure(FM), "CM": coupling(grip, V)}


def team_capacity(one: pint.Quantity, n: int) -> pint.Quantity:
    """What a team of alike lifters lifts, by HSE L23. Refused over three: it has no figure for them."""
    n = int(_pure(n))
    if n not in TEAM:
        raise InputError(field="team_capacity: n", value=n, need="one, two or three people", example="2")
    return team_load(one, n=n, k=TEAM[n])


def by_military_rule(one: pint.Quantity, n: int) -> pint.Quantity:
    """The same by MIL-STD-1472 (recalled): twice for two, three quarters more for each further one. Told for comparison only."""
    n = int(_pure(n))
    if n < 1:
        raise InputError(field="by_military_rule: n", value=n, need="one person or more", example="3")
    return one * (n if n < 3 else 2 + 0.75 * (n - 2))


def people_for(mass: pint.Quantity, one: pint.Quantity) -> int | None:
    """Fewest people of a team whose rule reaches the mass; None where three do not."""
    return next((n for n in TEAM if mass <= team_capacity(one, n) * (1 + 1e-12)), None)


# --- pieces of a table -----------------------------------------------------------------------------


def sizes_of(g: Geometry, piece: Piece) -> np.ndarray:
    """Length, width, height (m) of the box round a piece as it stands in the table."""
    if piece.name == "top":
        return np.array([g.top.length, g.top.width, g.top.thickness])
    points = []
    for m in g.members.values():
        if m.piece == piece.name:
            half = np.abs(m.up) * m.height / 2 + np.abs(np.cross(m.direction, m.up)) * m.width / 2
            points += [np.array(e) + s * half for e in (m.first, m.second) for s in (-1, 1)]
    return np.ptp(np.array(points), axis=0)


def lifting_checks(job: Job, g: Geometry) -> Iterator[Check]:
    """Every piece as it is lifted by hand: mass, recommended limit where one exists, people by the lower team rule. Reported."""
    unit = "lb" if job.system == "inch" else "kg"
    for piece in g.pieces:
        yield _lifted(job, g, piece, unit)


def _lifted(job: Job, g: Geometry, piece: Piece, unit: str) -> Check:
    box = sizes_of(g, piece)
    weighed = piece.name != "top" or g.top.mass_weighed
    mass = Quantity(piece.mass * (1.0 if weighed else 1.1), "kg").to(unit)
    wide = min(box[0], box[1]) / 0.0254
    up = max(CARRY_HEIGHT, g.top.underside / 0.0254) if piece.name == "top" else CARRY_HEIGHT
    ends = [(HALF_BODY_LOW + wide / 2, 0.0), (HALF_BODY + wide / 2, up)]
    given = [{"H": Q(max(H, NEAREST), "inch"), "V": Q(V, "inch"), "D": Q(up, "inch")} for H, V in ends]
    furthest = max(H for H, _ in ends)
    shared = {"id": f"piece/{piece.name} lifting", "name": f"{piece_words(piece.name)}: lifted by hand", "about": piece.name, "kind": "information", "verdict": REPORTED,
              "demand": mass, "clause": "one person, two hands, smooth lift; sections 1.2, 1.3", "source": SOURCE, "provenance": source_of(SOURCE).provenance,
              "range": ("no carrying, no stairs, once in a while, dry floor", "teams: " + TEAM_WORDS),
              "assumed": (f"lifted from the floor to {show_length(Q(up, 'inch'), job.system)}, held across its narrow way, poor grip, no twist",
                          *(() if weighed else ("mass 10 % up, from the mean density: weigh it",)))}
    team = ("the equation is for one person: sharing the mass among lifters is an extension, and an off-centre piece shares unequally",
            "team rules differ: MIL-STD-1472 (recalled) gives a team of three 2.75 shares, HSE L23 1.5; the lower counts here")
    said = show(mass, unit, 3) + ("" if weighed else " (mean density and 10 % more)")
    if max(H for H, _ in ends) > FURTHEST:
        people = people_for(mass, LOAD_CONSTANT)
        at_least = f"at least {people} even at 51 lb each, the most it ever gives" if people and people > 1 else \
            "one pair of hands cannot hold it level" if people else \
            "more than three, for whom the team rule ends"
        return Check(detail=f"{said}: no recommended limit: too wide to hold (hands {show_length(Q(furthest, 'inch'), job.system)} out, "
                            f"{show_length(Q(FURTHEST, 'inch'), job.system)} is the most); people: {at_least}",
                     cautions=("carry it on edge, on a dolly or trolley, or with a hoist; never alone", *team), **shared)
    limits = [weight_limit(**row) for row in given]
    i = int(np.argmin([float(magnitude(r, "lb")) for r in limits]))
    limit = limits[i].to(unit)
    people = people_for(mass, limit)
    who = {1: "one person", 2: "two people", 3: "three people"}.get(people, f"more than a team of three ({show(team_capacity(limit, 3), unit, 3)}): dolly, trolley or hoist, or make it lighter")
    worked = recommended_weight.worked(LOAD_CONSTANT, **_multipliers(*(given[i][k] for k in "HVD"), None, 0.2, "up to 1 h", "poor", None), system=job.system)
    return Check(detail=f"{said}; recommended for one person {show(limit, unit, 3)} (worse at the {'floor' if i == 0 else 'upper end'}): {who}",
                 worked=(worked,), cautions=() if people == 1 else team, **shared)
