"""One column under a spider of arms, on arms that carry the feet or on a plate."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from shopcalc.stock.shapes import Shape, mass_of_plate
from shopcalc.table.assembly import Assembly, Plate
from shopcalc.table.bases.fit import Fit, metres
from shopcalc.table.job import Job
from shopcalc.table.jobfile.base import PedestalBase
from shopcalc.units import Quantity, magnitude

SEATS_ON_ARM = 3
CORNERS = ((-1, -1), (1, -1), (1, 1), (-1, 1))


def pedestal_base(job: Job, base: PedestalBase) -> Assembly:
    a, fit = Assembly(), Fit(job)
    column = job.tube(base.column.stock, "base.column", base.column.lies)
    fit.need((base.foot is None) != (base.foot_plate is None), "base.foot", "both" if base.foot else None,
             "arms (foot) or a plate (foot_plate) for the column to stand on, one of them", 'foot = { stock = "bar", count = 4, reach = "24 in" }')
    arm = job.tube(base.spider.stock, "base.spider", base.spider.lies)
    z_high = metres(base.height) - fit.half_height(arm)
    _arm_fits(fit, "spider", base.spider, column)
    fit.need(metres(base.spider.reach) <= metres(job.model.top.width) / 2, "base.spider.reach", base.spider.reach,
             f"arms under the top ({fit.say(metres(job.model.top.width) / 2)} from its middle)", 'reach = "14 in"')
    if base.foot is not None:
        leg = job.tube(base.foot.stock, "base.foot", base.foot.lies)
        z_low = metres(base.feet.height) + fit.half_height(leg)
        _arm_fits(fit, "foot", base.foot, column)
        room = metres(base.foot.reach) - fit.height(column)
        fit.need(metres(base.feet.from_end) < room, "base.feet.from_end", base.feet.from_end,
                 f"feet outside the column (under {fit.say(room)})", 'from_end = "1-1/2 in"')
        fit.need(z_high - z_low > fit.height(column), "base.height", base.height, "a height with room for a column", 'height = "28 in"')
        a.bar("column", "base", base.column.stock, column, (0, 0, z_low), (0, 0, z_high))
        for bar in _arms(a, fit, base.foot, leg, z_low, "foot", "foot arm to column", column):
            a.foot(f"foot.{bar.name.rpartition('.')[2]}", bar.name, bar.point_at(bar.length - metres(base.feet.from_end)))
    else:
        _on_plate(a, fit, job, base, column, z_high)
    for bar in _arms(a, fit, base.spider, arm, z_high, "arm", "arm to column", column):
        for k in range(SEATS_ON_ARM):
            a.seat(f"seat.{bar.name.rpartition('.')[2]}.{k + 1}", bar.name, bar.point_at(bar.length * (k + 1) / SEATS_ON_ARM))
    return a


def _arm_fits(fit: Fit, name: str, arms, column) -> None:
    fit.need(metres(arms.reach) > fit.height(column), f"base.{name}.reach", arms.reach, "arms longer than the column is wide",
             'reach = "14 in"')


def _arms(a: Assembly, fit: Fit, arms, tube, z: float, word: str, kind: str, column):
    """Arms from the faces of the column outwards, joined to it."""
    square = getattr(column, "shape", "") != "round"
    for i in range(arms.count):
        # Four arms stand square on the four faces of a column; else half a step of turn keeps an arm off the long axis.
        turn = 2 * math.pi * (i + (0.0 if arms.count == 4 and square else 0.5)) / arms.count
        c, s = math.cos(turn), math.sin(turn)
        face = a.members["column"].half_depth(np.array([c, s, 0.0])) if arms.count == 4 else fit.half_height(column)
        name = f"{word}.{i + 1}"
        reach = metres(arms.reach)
        bar = a.bar(name, "base", arms.stock, tube, (face * c, face * s, z), (reach * c, reach * s, z))
        a.join(kind, name, 0, "column")
        yield bar


def _strip_width(column: float, x: float, y: float) -> float:
    """Of the strips from the middle to feet at (+-x, +-y): as wide as the column, less where a long plate brings two of
    them close together, so that they lie over each other no farther out than on a square plate and no steel counts twice."""
    return min(column, math.sqrt(2) * column * math.sin(math.atan2(min(x, y), max(x, y))))


def _on_plate(a: Assembly, fit: Fit, job: Job, base: PedestalBase, column, z_high: float) -> None:
    """A column on a plate that stands on four feet or on its four corners. The plate counts as strips as wide as the
    column from its middle to each foot: in balance, so on the safe side; the rest of it only weighs."""
    given, feet = base.foot_plate, base.feet
    metal = job.tube(given.stock, "base.foot_plate")
    fit.need(isinstance(metal, Shape) and metal.kind == "plate", "base.foot_plate.stock", given.stock, "a plate of the stock",
             'plate = "plate 1/2 in, A36"')
    round_ = given.diameter is not None
    fit.need(round_ != (given.length is not None and given.width is not None) and not (round_ and (given.length or given.width)),
             "base.foot_plate", "diameter, length and width" if round_ else "no size", "length and width, or the diameter of a round plate",
             'length = "26 in", width = "26 in"')
    plate = Plate(metres(given.diameter), metres(given.diameter), True) if round_ else Plate(metres(given.length), metres(given.width))
    t, broad = metres(metal.thickness), max(fit.height(column), fit.width(column))
    fit.need(feet.kind != "leveller" or feet.from_end is not None, "base.feet.from_end", None,
             "from the edge of the plate to the middle of a leveller", 'from_end = "1-1/2 in"')
    edge = metres(feet.from_end)
    fit.need(min(plate.length, plate.width) / 2 - edge > broad, "base.foot_plate", fit.say(min(plate.length, plate.width)),
             f"a plate that reaches well past the column (over {fit.say(2 * (broad + edge))})", 'length = "26 in", width = "26 in"')
    z = metres(feet.height) + t / 2
    fit.need(z_high - z > broad, "base.height", base.height, "a height with room for a column", 'height = "28 in"')
    half = (plate.length / 2 - edge) / math.sqrt(2) if round_ else None
    ends = [(i * half, j * half, z) if round_ else (i * (plate.length / 2 - edge), j * (plate.width / 2 - edge), z) for i, j in CORNERS]
    size = _strip_width(min(fit.height(column), fit.width(column)), abs(ends[0][0]), abs(ends[0][1]))
    strip = replace(metal, kind="flat bar", height=Quantity(t, "m"), width=Quantity(size, "m"))
    of_strips = sum(math.hypot(x, y) for x, y, _ in ends)
    own = float(magnitude(mass_of_plate(metal.steel.density, metal.thickness), "kg/m**2"))
    rest = own * (plate.area / of_strips - size)  # kg per metre of strip: what of the plate is no strip; under nought where they overlap
    for i, end in enumerate(ends, start=1):
        a.bar(f"plate.{i}", "base", given.stock, strip, (0, 0, z), end, clad=rest, plate=plate)
        if i > 1:
            a.seam(f"plate.{i}", "plate.1")
    a.bar("column", "base", base.column.stock, column, (0, 0, z + t / 2), (0, 0, z_high))
    a.join("column to plate", "column", 0, "plate.1", name="column to foot plate")
    for i, end in enumerate(ends, start=1):
        a.foot(f"foot.{i}", f"plate.{i}", end)
