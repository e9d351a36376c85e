"""The stretcher by hand, beside the frame: one straight bar between what holds it, its ends free to turn (the soft
bound) or built in (the stiff one). The frame mostly lies between the two; what carries the ends gives as well, so it
may sag a little more than the soft bound.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import pint

from shopcalc.mechanics.beams import Beam, Even, Load, Point
from shopcalc.mechanics.statics import GRAVITY
from shopcalc.table.assembly import Member
from shopcalc.table.geometry import Geometry
from shopcalc.table.loads import LoadCase
from shopcalc.units import Quantity

FREE_ENDS = "ends free to turn, the soft bound"


@dataclass(frozen=True)
class LoadedBar:
    """A stretcher under one load case by hand. about: the name in the record; span: what a sag limit refers to."""

    about: str
    words: str
    member: Member
    case: LoadCase
    beam: Beam
    held: Beam
    span: pint.Quantity


def weight_per_length(member: Member) -> pint.Quantity:
    return Quantity(float(member.design.mass_per_length[0]) * GRAVITY, "N/m")


def beam_of(member: Member, ends: str, L: pint.Quantity, loads: list[Load]) -> Beam:
    section, steel = member.design, member.tube.steel
    return Beam(ends=ends, L=L, E=steel.E, I=Quantity(float(section.Ix[0]), "m**4"), loads=loads,
                GA=steel.G * Quantity(float(section.Av_x[0]), "m**2"))


def loaded_stretchers(g: Geometry, cases: dict[str, LoadCase]) -> Iterator[LoadedBar]:
    """The longest stretcher with a person on its middle, for strength and for sag."""
    bars = [m for n, m in g.members.items() if n.startswith("stretcher")]
    if not bars:
        return
    member = max(bars, key=lambda m: m.length)
    L = Quantity(member.length, "m")
    for id in ("standing-on-stretcher", "standing-on-stretcher-sag"):
        case = cases[id]
        loads: list[Load] = [Even(weight_per_length(member), name="own weight"), Point(case.value, L / 2, name="person")]
        yield LoadedBar("stretcher", "Stretcher", member, case, beam_of(member, "simple", L, loads), beam_of(member, "fixed", L, loads), L)
