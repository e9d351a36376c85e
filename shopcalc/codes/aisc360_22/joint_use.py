"""How far the wall of a tube is used by a branch welded on it: one answer for square, round and mixed joints.

A joint takes a force and two moments. Each has its limit states, each state a clause with factors of its
own; the least allowable of each counts, and the three shares are added as the code says.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

import numpy as np

from shopcalc.check import Strength, allowable
from shopcalc.codes.clause import Clause
from shopcalc.formula import Formula, Within, Worked
from shopcalc.units import Quantity


@dataclass(frozen=True)
class JointUse:
    """How far joints are used, first axis = design. A subclass names the states, their clauses and the
    tested range.

    ratio     sum of the three shares; nan outside the tested range
    P_c, M_cip, M_cop   allowables
    shares    (3, n) of the ratio: axial force, bending along the tube, bending across it
    states    (3, n) index of what governs each share, into `groups`
    in_range  (n,);  broken  (len(tested), n) True where that limit is not met
    clauses   names of the clauses, as `groups`
    sizes     the arrays it was worked out from, by name, with P, M_ip, M_op
    """

    ratio: np.ndarray
    P_c: np.ndarray
    M_cip: np.ndarray
    M_cop: np.ndarray
    shares: np.ndarray
    states: np.ndarray
    in_range: np.ndarray
    broken: np.ndarray
    clauses: tuple[tuple[str, ...], ...]
    sizes: dict[str, np.ndarray]

    tested: ClassVar[tuple[Within, ...]] = ()
    groups: ClassVar[tuple[tuple[str, ...], ...]] = ()
    behind: ClassVar[tuple[tuple[Clause, ...], ...]] = ()
    meant: ClassVar[dict[str, str]] = {}
    powers: ClassVar[tuple[int, int, int]] = (1, 1, 1)
    together: ClassVar[Formula]
    ways: ClassVar[str] = ""
    cautions: ClassVar[tuple[str, ...]] = ()
    source: ClassVar[str] = ""
    tables: ClassVar[str] = ""  # where the tested range stands, as it prints

    @classmethod
    def of(
        cls, strengths: Sequence[Sequence[Strength]], sizes: dict[str, np.ndarray], kind, method: str
    ) -> JointUse:
        """From the strengths of every state (as `groups`); kind: of load, one or one for each design."""
        broken = np.stack([~np.asarray(limit.mask(sizes)) for limit in cls.tested])
        kinds = (
            [(kind, None)] if isinstance(kind, str) else [(k, np.asarray(kind) == k) for k in np.unique(kind)]
        )
        limits, states = [], []
        for group in strengths:
            each = np.stack([_allowed(s, kinds, method) for s in group])
            outside = np.isnan(each).any(axis=0)
            index = np.where(np.isnan(each), np.inf, each).argmin(axis=0)
            limits.append(np.where(outside, np.nan, np.take_along_axis(each, index[None], axis=0)[0]))
            states.append(index)
        asked = np.abs(np.stack([sizes["P"], sizes["M_ip"], sizes["M_op"]]))
        with np.errstate(invalid="ignore", divide="ignore"):
            shares = np.where(asked == 0, 0.0, asked / np.stack(limits))
        shares = shares ** np.array(cls.powers)[:, None]
        inside = ~broken.any(axis=0) & ~np.isnan(np.stack(limits)).any(axis=0)
        shares = np.where(inside, shares, np.nan)
        return cls(
            ratio=shares.sum(axis=0),
            P_c=limits[0],
            M_cip=limits[1],
            M_cop=limits[2],
            shares=shares,
            states=np.stack(states),
            in_range=inside,
            broken=broken,
            clauses=tuple(tuple(s.clause for s in group) for group in strengths),
            sizes=sizes,
        )

    @property
    def governing(self) -> np.ndarray:
        """Which force governs: 0 axial, 1 in plane, 2 out of plane."""
        return np.nan_to_num(self.shares).argmax(axis=0)

    def state(self, i: int = 0) -> str:
        """The limit state of the largest share of one design."""
        g = int(self.governing[i])
        return self.groups[g][int(self.states[g][i])]

    def clause(self, i: int = 0) -> str:
        g = int(self.governing[i])
        return self.clauses[g][int(self.states[g][i])]

    def why_outside(self, i: int = 0) -> str:
        """The limits of the range that one design breaks, in words; empty inside."""
        return "; ".join(str(limit) for limit, out in zip(self.tested, self.broken, strict=True) if out[i])

    def lines(self, i: int = 0, system: str = "inch") -> tuple[Worked, ...]:
        """Worked lines of what governs the largest share of one design, then the sum of its shares."""
        g = int(self.governing[i])
        clause = self.behind[g][int(self.states[g][i])]
        given = {}
        for name, declared in clause.arguments.items():
            size = float(self._size(name, g)[i])
            given[name] = size if declared.bare_allowed else Quantity(size, declared.pint_unit)
        asked = {n: abs(self.sizes[s][i]) for n, s in (("P_r", "P"), ("M_ip", "M_ip"), ("M_op", "M_op"))}
        limits = {"P_c": self.P_c[i], "M_cip": self.M_cip[i], "M_cop": self.M_cop[i]}
        both = {
            n: Quantity(float(v), "N" if n in ("P_r", "P_c") else "N*m")
            for n, v in {**asked, **limits}.items()
        }
        found = clause.worked(system=system, **given)
        return (*found, *self._more(found, g, system, i), self.together.worked(**both, system=system))

    def _size(self, name: str, g: int) -> np.ndarray:
        """A size that the clause behind share g asks for."""
        return self.sizes[name]

    def _more(self, found: tuple[Worked, ...], g: int, system: str, i: int) -> tuple[Worked, ...]:
        """What is worked out between the clause and the sum."""
        return ()


def unlimited(strength: Strength, where) -> Strength:
    """The same without a limit in the designs that do not have that state."""
    nominal = np.where(where, np.inf, strength.nominal)
    return replace(strength, nominal=nominal, in_range=~np.isnan(nominal))


def scaled(strength: Strength, factor) -> Strength:
    """The same with its nominal strength times a factor."""
    return replace(strength, nominal=strength.nominal * factor)


def _allowed(strength: Strength, kinds: list[tuple[str, np.ndarray | None]], method: str) -> np.ndarray:
    """`allowable` for each kind of load where it acts; None: everywhere."""
    if kinds[0][1] is None:
        return allowable(strength, kinds[0][0], method)
    found = np.empty(strength.nominal.shape)
    for kind, where in kinds:
        found[where] = allowable(strength, kind, method)[where]
    return found
