"""Every answer is a `Check`: a demand beside a limit, with what it takes to believe it.

Code clauses return nominal strength. The factor between nominal and allowable follows the kind of load
and is applied here, in `allowable`, and nowhere else.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pint

from shopcalc.expression import Symbol
from shopcalc.formula import Formula, Worked
from shopcalc.sources import PROVENANCE
from shopcalc.units import Force, LoadPerLength, Moment, Quantity, Ratio, unit_text

WITHIN, OVER, OUTSIDE = "within limit", "over limit", "outside range"
REFUSED, REPORTED, ASK = "refused", "reported", "ask an engineer"
# From the mildest to the worst; where states or bounds stand side by side the worst is the verdict.
VERDICTS = (WITHIN, REPORTED, ASK, OUTSIDE, OVER, REFUSED)

# Kind of load (what the check is for) -> how nominal strength becomes allowable.
#   use, handling  loads of service and of moving: the code's safety factor
#   proof          a furniture test that asks for no collapse: nominal strength
#   stability      righting against overturning: no material factor at all
#   sag            movement under service loads: compared as it is
KINDS = ("use", "handling", "proof", "stability", "sag", "information")


@dataclass(frozen=True)
class Strength:
    """What a clause returns, one entry per design.

    nominal    (n,) nominal strength, SI
    governing  (n,) index into `states`
    in_range   (n,) False where the clause does not cover the design; nominal is nan there
    """

    nominal: np.ndarray
    states: tuple[str, ...]
    governing: np.ndarray
    in_range: np.ndarray
    omega: float
    phi: float
    clause: str
    why_outside: str = ""

    def state(self, design: int = 0) -> str:
        return self.states[int(self.governing[design])]


# LRFD compares factored loads. 1.2 times what is dead and 1.6 times what is live (IBC 2018, 1605.2, equation 16-2); own
# weight is a small part of what a table carries, and counts with the factor of a live load.
LRFD_LOADS = 1.6


def load_factor(kind: str, method: str = "ASD") -> float:
    """What a load of service is multiplied by before its effect is compared with `allowable`."""
    return LRFD_LOADS if method == "LRFD" and kind in ("use", "handling") else 1.0


def allowable(strength: Strength, kind: str, method: str = "ASD") -> np.ndarray:
    """Nominal strength over Omega (ASD) or times phi (LRFD) for use and handling loads; nominal for proof."""
    if method not in ("ASD", "LRFD"):
        raise ValueError(f"unknown method {method!r}")
    if kind in ("use", "handling"):
        return strength.nominal / strength.omega if method == "ASD" else strength.nominal * strength.phi
    if kind == "proof":
        return strength.nominal
    raise ValueError(f"a strength is not compared with a {kind} load")


_LETTER = {"N*m": ("M", Moment), "N": ("P", Force), "N/m": ("r", LoadPerLength)}


def allowable_line(strength: Strength, unit: str, kind: str, method: str, system: str,
                   design: int = 0) -> Worked:
    """The worked line from nominal to allowable strength; unit: "N*m", "N" or "N/m"."""
    letter, declared = _LETTER[unit]
    declared = declared.__metadata__[0]
    nominal, factor = f"{letter}_n", "phi" if method == "LRFD" else "Omega"
    size = strength.phi if method == "LRFD" else strength.omega
    if kind == "proof":
        factor, size = "Omega", 1.0
    tree = Symbol(nominal) * Symbol(factor) if factor == "phi" else Symbol(nominal) / Symbol(factor)
    words = {"Omega": "safety factor", "phi": "resistance factor"}[factor]
    line = Formula.from_tree(tree, name="allowable", returns=declared, meaning="allowable strength",
                             arguments={nominal: declared, factor: Ratio.__metadata__[0]},
                             glossary={nominal: "nominal strength", factor: words},
                             symbol=f"{letter}_a", source="aisc-360-22, B3")
    sizes = {nominal: Quantity(float(strength.nominal[design]), unit), factor: float(size)}
    return line.worked(**sizes, system=system)


class LinesOnDemand(Sequence):
    """Worked lines that are made when somebody looks at them, and then kept: most checks are never opened."""

    def __init__(self, make: Callable[[], tuple[Worked, ...]]):
        self._make, self._made = make, None

    def _lines(self) -> tuple[Worked, ...]:
        if self._made is None:
            self._made = tuple(self._make())
            self._make = None  # it holds the solved frames
        return self._made

    def __len__(self) -> int:
        return len(self._lines())

    def __getitem__(self, which):
        return self._lines()[which]

    def __eq__(self, other) -> bool:
        return self._lines() == (other._lines() if isinstance(other, LinesOnDemand) else other)

    def __hash__(self) -> int:
        return hash(self._lines())

    def __repr__(self) -> str:
        return repr(self._lines())


@dataclass(frozen=True)
class Check:
    """One question and its answer. Values are unrounded; printing rounds.

    id        stable: who / limit state in words (`stretcher/bending`)
    kind      one of KINDS;  case: the governing load case
    demand    what is asked; limit: what is there (both positive); for a minimum see `ratio`
    ratio     over 1 is always bad: demand / limit, or required / available for a minimum
    range     conditions under which the number holds;  assumed: what nobody gave
    worked    worked lines, or a function that makes them; `envelope` puts lines in its place that are made when read
    """

    id: str
    name: str
    about: str
    kind: str
    verdict: str
    case: str = ""
    demand: pint.Quantity | None = None
    limit: pint.Quantity | None = None
    ratio: float | None = None
    clause: str = ""
    source: str = ""
    provenance: str = ""
    range: tuple[str, ...] = ()
    worked: Sequence[Worked] | Callable[[], tuple[Worked, ...]] = ()
    assumed: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    detail: str = ""

    def __post_init__(self):
        if self.kind not in KINDS or self.verdict not in VERDICTS:
            raise ValueError(f"{self.id}: unknown kind {self.kind!r} or verdict {self.verdict!r}")
        if self.provenance and self.provenance not in PROVENANCE:
            raise ValueError(f"{self.id}: unknown provenance {self.provenance!r}")
        for name in ("demand", "limit"):
            value = getattr(self, name)
            if value is not None and not math.isfinite(float(value.magnitude)):
                raise ValueError(f"{self.id}: {name} is not finite")
        if self.ratio is not None and math.isnan(self.ratio):
            raise ValueError(f"{self.id}: ratio is not a number")

    def lines(self) -> tuple[Worked, ...]:
        """The worked lines."""
        return self.worked() if callable(self.worked) else tuple(self.worked)

    def as_dict(self) -> dict:
        """As `check --json` gives it; absent quantities are None, and so is a ratio to no limit at all."""
        known = self.ratio is not None and math.isfinite(self.ratio)
        return {
            "id": self.id, "name": self.name, "about": self.about, "kind": self.kind, "case": self.case,
            "demand": quantity_dict(self.demand), "limit": quantity_dict(self.limit),
            "ratio": float(self.ratio) if known else None, "verdict": self.verdict,
            "clause": self.clause, "source": self.source, "provenance": self.provenance,
            "range": list(self.range), "detail": self.detail,
            "worked": [w.as_dict() for w in self.lines()], "assumed": list(self.assumed),
            "cautions": list(self.cautions),
        }


def quantity_dict(quantity: pint.Quantity | None) -> dict | None:
    if quantity is None:
        return None
    return {"value": float(quantity.magnitude), "unit": unit_text(f"{quantity.units:~}")}


def compare(demand: float, limit: float) -> tuple[float, str]:
    """Ratio and verdict of a demand against a limit; for a minimum: what is required against what is there.

    A demand counts by its size. Where a limit is nought or less nothing is left for any demand: ratio inf.
    """
    if math.isnan(demand) or math.isnan(limit):
        raise ValueError(f"{demand} against {limit}: not a number has no verdict")
    demand = abs(float(demand))
    ratio = demand / limit if limit > 0 else math.inf if demand > 0 or limit < 0 else 0.0
    if abs(ratio - 1) < 1e-12:  # the last bit of a conversion is no verdict
        ratio = 1.0
    return ratio, OVER if ratio > 1 else WITHIN


def ratio_text(ratio: float) -> str:
    """A ratio to two decimals, rounded up: nothing over 1 ever prints as 1.00."""
    if math.isinf(ratio):
        return "no limit left"
    hundredths = math.ceil(ratio * 100 - 1e-9)
    if ratio > 1:
        hundredths = max(hundredths, 101)
    return f"{hundredths / 100:,.2f}"


def severity(check: Check) -> tuple[int, float]:
    return VERDICTS.index(check.verdict), -1.0 if check.ratio is None else check.ratio


def worst(checks: Iterable[Check]) -> Check:
    return max(checks, key=severity)


def envelope(checks: Iterable[Check]) -> list[Check]:
    """One check per id: the worst over the load cases, in the order of first appearance. Its worked lines are made when
    they are read."""
    by_id: dict[str, list[Check]] = {}
    for check in checks:
        by_id.setdefault(check.id, []).append(check)
    result = []
    for group in by_id.values():
        chosen = worst(group)
        assumed = tuple(dict.fromkeys(a for c in group for a in c.assumed))
        cautions = tuple(dict.fromkeys(a for c in group for a in c.cautions))
        worked = LinesOnDemand(chosen.worked) if callable(chosen.worked) else chosen.worked
        result.append(replace(chosen, assumed=assumed, cautions=cautions, worked=worked))
    return result


def exit_code(checks: Iterable[Check]) -> int:
    """0 where nothing that was checked is over; 1 otherwise."""
    return 0 if all(c.verdict in (WITHIN, REPORTED) for c in checks) else 1
