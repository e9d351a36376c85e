"""Do the parts of a base fit each other? The refusals that every style shares, and sizes of stock in metres."""

from __future__ import annotations

import pint

from shopcalc.errors import InputError
from shopcalc.stock.shapes import section_of
from shopcalc.table.job import Job
from shopcalc.units import Quantity, magnitude, show_length


def metres(length: pint.Quantity | None, otherwise: float = 0.0) -> float:
    return otherwise if length is None else float(magnitude(length, "m"))


class Fit:
    """Refusals in the job's units."""

    def __init__(self, job: Job):
        self.system = job.system

    def height(self, stock) -> float:
        return float(section_of(stock, "design").height[0])

    def width(self, stock) -> float:
        return float(section_of(stock, "design").width[0])

    def half_height(self, stock) -> float:
        return self.height(stock) / 2

    def half_width(self, stock) -> float:
        return self.width(stock) / 2

    def say(self, size: float) -> str:
        return show_length(Quantity(size, "m"), self.system)

    def need(self, ok: bool, field: str, value, words: str, example: str) -> None:
        if not ok:
            shown = show_length(value, self.system) if isinstance(value, pint.Quantity) else value
            raise InputError(field=field, value=shown, need=words, example=example)

    def no_ends(self, feet) -> None:
        """Feet under legs have no bar to stand in from the end of."""
        self.need(feet.from_end is None, "base.feet.from_end", feet.from_end, "no such key: the feet of this base stand under its legs",
                  'kind = "leveller"')

    def face(self, field: str, branch: float, onto: float) -> None:
        """A branch is joined to a face: it may not be wider than the face."""
        self.need(branch <= onto + 1e-6, field, self.say(branch),
                  f"a bar no wider than the {self.say(onto)} face it is joined to",
                  'stock = "post", of square tube 2 in x 11 ga, A513')
