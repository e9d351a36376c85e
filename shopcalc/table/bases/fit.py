"""Do the parts of a base fit each other? The refusals that every style shares, and sizes of stock in metres."""

from __future__ import annotations

import pint

from shopcalc.errors import InputError
from shopcalc.stock.shapes import section_of
from shopcalc.stock.tubes import Tube
from shopcalc.table.job import Job
from shopcalc.units import Quantity, magnitude, show_length, show_wall

HAIR = 1e-6
# A tapered leg: its foot at least this part of its head (the pieces of the frame are fine enough down to there), and no
# steeper than about 15 degrees from face to face, the range of the published work on tapered members (aisc-lrfd-1999-f3,
# note: recalled).
NARROWEST, STEEPEST = 0.4, 0.25


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

    def tapered(self, tube, taper, field: str, reach: float) -> dict:
        """What a leg tapers to, and how much of it stays straight, for `Assembly.bar`; nothing where it is straight. tube: at
        the head; reach: from end to end (m)."""
        if taper is None:
            return {}
        straight = metres(taper.straight)
        self.need(straight <= reach / 2, f"{field}.straight", taper.straight, f"no more than half of the leg ({self.say(reach / 2)})",
                  'taper = { to = "1-1/2 in", straight = "4 in" }')
        example = 'taper = { to = "1-1/2 in" }'
        square = isinstance(tube, Tube) and tube.shape == "square"
        self.need(square or isinstance(tube, Tube) and tube.shape == "rectangular", field, tube.words,
                  "square or rectangular tube at the head of a leg that tapers", 'stock = "leg", of square tube 2 in x 11 ga, A513')
        said = " x ".join(show_length(s, self.system) for s in taper.to)
        self.need(not square or len(taper.to) == 1, f"{field}.to", said, "one size: a square leg tapers both ways alike", example)
        foot = tube.of_size(taper.to[0], taper.to[-1] if square or len(taper.to) == 2 else tube.width)
        head = " x ".join(tube.size_words)
        for small, large in zip(foot.si[:2], tube.si[:2], strict=True):
            self.need(small <= large + HAIR, f"{field}.to", said, f"no more than at the head, which is {head}: legs taper towards the foot", example)
            self.need(small >= NARROWEST * large - HAIR, f"{field}.to", said,
                      f"at least {NARROWEST:.1f} of the size at the head, which is {head}: frame and checks hold no further", example)
            self.need(large - small <= STEEPEST * (reach - straight), f"{field}.to", said,
                      "a slender taper, the size changing by no more than a quarter of the length", example)
        self.need(foot.si[:2] != tube.si[:2] and sum(tube.si[:2]) - sum(foot.si[:2]) > HAIR, f"{field}.to", said,
                  f"less than at the head, which is {head}; a straight leg has no taper", example)
        self.need(min(foot.si[:2]) > 4 * foot.si[2], f"{field}.to", said,
                  f"more than four walls of {show_wall(tube.nominal_wall, self.system)}", example)
        return {"tapers_to": foot, "straight": straight}

    def face(self, field: str, branch: float, onto: float) -> None:
        """A branch is joined to a face: it may not be wider than the face."""
        self.need(branch <= onto + 1e-6, field, self.say(branch),
                  f"a bar no wider than the {show_length(Quantity(onto, 'm'), self.system, 'down')} face it is joined to",
                  'stock = "post", of square tube 2 in x 11 ga, A513')
