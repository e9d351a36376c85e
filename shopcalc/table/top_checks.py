"""What the top does under what lies on it and who sits on it: sag, overhang, long-term sag, stress, seats. Reported with the
three states of the top side by side; the worst of them is the answer.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from shopcalc.check import ASK, OUTSIDE, REPORTED, Check, compare
from shopcalc.errors import InputError
from shopcalc.mechanics.strips import strip_sag
from shopcalc.sources import PROVENANCE, cite
from shopcalc.table.checks import DEFAULT_OVERHANG, DEFAULT_SAG, case_words, in_units, provenance
from shopcalc.table.frame import STATES
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.loads import LoadCase
from shopcalc.table.top import TWO, Answered, Top, bearing, elastic_of
from shopcalc.table.wood_checks import seasons
from shopcalc.units import Quantity, magnitude, show, show_length, show_sag

PLATE = ("top as a thin plate on its seats, base and top both bending, base with soft joints (0.4 of the calculated stiffness of tube "
         "faces, no play) on a hard floor, seats made level")
MEAN = "mean stiffness of clear wood, in which the shear of the bending test is counted already: none is added"
CREEP = ("creep by the Wood Handbook (sag about doubles in years); NDS would say 1.5 times, EN 1995-1-1 1.6 times, single pieces 1 to 3 times; "
         "half of it stays when the load goes; damp seasons and warmth (a radiator, a sunny window) raise it, green wood creeps 4 to 6 times")
PANEL_CREEP = ("creep of sheet goods by EN 1995-1-1, service class 1 (k_def {k:g}), never counted under that of solid wood (sag about doubles); "
               "ask the maker of the panel")
EYE = "the eye sees about 1/32 in per foot (L/384); L/144 under 40 or 50 psf is a least for shelves, without creep"
NO_ALLOWABLE = ("mean strength of small clear pieces is no allowable: knots, slope of grain, long loads and scatter come off; the guide is the "
                "value nineteen pieces in twenty exceed, over 2.3")
JOINT_LINE = ("the pieces also press each other sideways, slide along their line and are lifted apart: dowels or tongues keep them level, and what the "
              "connectors hold of that is not worked out; bending the other way may be held by less")
THIN = "sag over half the thickness: beyond small deflections; the plate also stretches and the number comes out high"
GREEN = 0.19  # wetter wood is not seasoned
TESTED = 0.12  # moisture at which stiffness and strength were tested
SOURCE = "thin-plates, top on its seats"


def _weaker(of_the_wood: str) -> str:
    """The less well read of the plate theory and the row of the wood: an answer is no better than either."""
    return max(provenance(SOURCE), of_the_wood, key=PROVENANCE.index)


STATE_WORDS = {"dead weight": "only lying there", "sliding": "on sliding fixings", "clamped": "clamped to the base"}


@dataclass(frozen=True)
class Row:
    """One load on the top: the case and place it stands for, and its unit loads."""

    case: LoadCase | None
    where: str
    load: dict
    what: str  # "own", "sag", "over", "long", "use"
    person: int = -1


def _words(job: Job, row: Row) -> str:
    return "own weight" if row.case is None else case_words(job, row.case, row.where)


def rows_of(top: Top, cases: dict[str, LoadCase]) -> list[Row]:
    """Everything the top is asked."""
    names, own = top.kept.names, {"own": top.own}

    def size(case, unit):
        return float(magnitude(case.value, unit))

    patterns = [n for n in names if n.startswith("on ")]
    every, severe, long = cases["everyday-spread"], cases["severe-spread"], cases["sustained"]
    found = [Row(None, "", own, "own"), Row(long, "", {"own": top.own + size(long, "Pa")}, "long")]
    for name in patterns:
        found.append(Row(every, name, {**own, name: size(every, "Pa")}, "sag"))
        found.append(Row(severe, name, {**own, name: size(severe, "Pa")}, "use"))
    for i, overhangs in top.people:
        sag, strength = cases["person-sag"], cases["person-strength"]
        found.append(Row(sag, names[i], {**own, i: size(sag, "N")}, "over" if overhangs else "sag", i))
        found.append(Row(strength, names[i], {**own, i: size(strength, "N")}, "use", i))
    two = cases["two-persons-strength"]
    for i, name in enumerate(names):
        if name.startswith(TWO):
            found.append(Row(two, name, {**own, i: size(two, "N")}, "use"))
    return found


def top_checks(job: Job, g: Geometry, cases: dict[str, LoadCase], base: np.ndarray | None | str = "frame") -> Iterator[Check]:
    """Every check of the top as a plate."""
    try:
        top = Top.of(job, g, cases["person-sag"], base)
    except InputError as error:
        yield Check(id="top/sag", name="Top: sag", about="top", kind="sag", verdict=ASK, clause="plate on its seats", source=SOURCE,
                    provenance="memory", detail=str(error))
        return
    rows = rows_of(top, cases)
    mix = top.mix(*(r.load for r in rows))
    # a base that does not stand is no stiff base
    sound = not isinstance(base, str) if top.base is None else bool(np.isfinite(top.base).all())
    states = {s: top.answer(s, mix) for s in STATES} if sound else {}
    if not sound or not all(np.isfinite(f.w[f.stands]).all() for f in states.values()) or not states["sliding"].stands.all():
        yield Check(id="top/sag", name="Top: sag", about="top", kind="sag", verdict=ASK, clause="plate on its seats", source=SOURCE,
                    provenance="memory", detail="the base or the top gives no number here: what they do together is not worked out")
        return
    yield from Report(job, g, top, rows, states).checks()


@dataclass(frozen=True)
class Report:
    job: Job
    g: Geometry
    top: Top
    rows: list[Row]
    states: dict[str, Answered]

    def checks(self) -> Iterator[Check]:
        fraction = self.job.model.limits.sag or DEFAULT_SAG
        limit = self.top.span * fraction
        whose = "the job's choice" if self.job.model.limits.sag else "named default, common practice"
        clause = f"L/{1 / fraction:.0f} of {self._size(self.top.span)}, {whose}; no code sets one"
        assumed = () if self.job.model.limits.sag else (f"sag limit L/{1 / fraction:.0f}",)
        eye = (EYE,) if fraction > 1 / 384 else ()
        creep = 1 + self.g.top.wood.creep()
        yield self._sag("top/sag", "Top: sag", ("sag",), 1.0, limit, clause, assumed, eye)
        yield self._sag("top/own weight sag", "Top: sag under its own weight, in years", ("own",), creep, limit, clause, assumed, eye)
        yield self._sag("top/long-term sag", "Top: sag under what lies on it for years", ("long",), creep, limit, clause, assumed, eye)
        yield from self._overhang(creep)
        yield from self._stresses()
        if self.job.model.top.halves is not None:
            yield self._joint_line()
        yield self._seats()

    # --- parts

    @cached_property
    def wettest(self) -> float:
        """Moisture of the top as built or in its dampest season, whichever is more."""
        return max(self.g.top.moisture, seasons(self.job, self.g).dampest)

    def _wet(self, id: str, name: str, clause: str, case: str, cautions=()) -> Check:
        """No number for wood that is, or comes to stand, wet: stiffness and strength are those of seasoned wood."""
        return Check(id=id, name=name, verdict=OUTSIDE, clause=clause, case=case, cautions=cautions, **self._common,
                     detail=f"moisture {self.wettest:.0%}: not seasoned, softer than the tables and creep is 4 to 6 times the first sag; dry the wood "
                            "first, and keep the room dry")

    def _size(self, metres: float) -> str:
        return show_length(Quantity(metres, "m"), self.job.system)

    def _fall(self, metres: float) -> str:
        return show_sag(Quantity(metres, "m"), self.job.system)

    @property
    def _common(self) -> dict:
        wood, e = self.g.top.wood, elastic_of(self.job, self.g)
        ratios = f"{cite(wood.ratios_source)} ({wood.ratios_provenance})" if wood.ratios_source else ""
        notes = (PLATE, MEAN, f"stiffness of {wood.name} along the grain: {cite(wood.source)} ({wood.provenance})",
                 *((f"its ratio across to along: {ratios}",) if wood.ratios_source else ()), *e.notes)
        if wood.k_def is None:
            notes += ("grain straight along the table; a job says otherwise by top.grain" if not self.g.top.grain else
                      f"grain straight, {show(self.job.model.top.grain, 'deg', 3)} off the length",)
        if TESTED < self.wettest <= GREEN:
            notes += (f"stiffness and strength at {TESTED:.0%} moisture; at the {self.wettest:.0%} this top reaches wood is softer and weaker, a few "
                      "per cent for every point, more across the grain",)
        if not self.g.top.mass_weighed:
            notes += (f"mass of the top from the mean density of {wood.name}, +/- 10 %; weigh it",)
        if self.top.base is None:
            notes += ("base taken as stiff: its frame gives no answer",)
        lost = [s.name for s in self.g.seats if self.g.top.covers(*s.place[:2])]
        lost = [n for n in lost if n not in {s.name for s in bearing(self.job, self.g)}]
        if lost:
            notes += (f"no bearing where an open pocket lies over a bar: {len(lost)} seats left out",)
        if self.g.top.undercut is not None:
            notes += ("undercut edges: thinner towards the edge, the middle of the thickness taken as even",)
        if self.job.model.top.pockets:
            notes += ("what fills a pocket adds weight, not stiffness; the middle of the thickness taken as even",)
        if self.job.model.top.halves is not None:
            notes += ("the two pieces meet without a step and fold at their line by the stiffness the job gives its connectors, spread along it; "
                      "load a sample to know it",)
        return {"about": "top", "kind": "sag", "source": SOURCE, "provenance": _weaker(wood.provenance), "assumed": notes}

    def _band(self, value: float) -> str:
        cov = self.g.top.wood.MOE_cov
        low, high = self._fall(value / (1 + cov)), self._fall(value / (1 - cov))
        return f"{low if low == high else f'{low} to {high}'} within one standard deviation of single boards ({cov:.0%} scatter)"

    def _most(self, what: tuple[str, ...]) -> tuple[float, str, int, int]:
        """Largest sag between the supports: how much, state, row, node."""
        on = np.nonzero(self.top.spanning)[0]
        mine = [i for i, r in enumerate(self.rows) if r.what in what]
        best = (-np.inf, "", -1, -1)
        for state, found in self.states.items():
            part = np.where(found.stands[mine, None], found.sag[np.ix_(mine, on)], -np.inf)
            i, j = np.unravel_index(part.argmax(), part.shape)
            if part[i, j] > best[0]:
                best = (float(part[i, j]), state, mine[int(i)], int(on[j]))
        return best

    def _each(self, row: int, node: int, times: float) -> str:
        parts = []
        for state, found in self.states.items():
            fall = f"{self._fall(times * float(found.sag[row, node]))}" if found.stands[row] else "tips off"
            parts.append((STATE_WORDS[state], fall))
        if len({fall for _, fall in parts}) == 1:
            return "the same in all three states"
        return ", ".join(f"{words} {fall}" for words, fall in parts)

    def _place(self, node: int) -> str:
        x, y = self.top.kept.nodes[node]
        ways = ((x, "right of", "left of"), (y, "back from", "forward of"))
        off = [f"{self._size(abs(v))} {more if v > 0 else less}" for v, more, less in ways if abs(v) > 1e-6]
        return f"{' and '.join(off)} the middle" if off else "in the middle"

    def _signed(self, fall: float) -> str:
        """A place that rises says so; one that hardly moves has no direction."""
        words = self._fall(abs(fall))
        return words if fall > 0 or words == self._fall(1e-9) else f"{words} up"

    def _corners(self, found: Answered, row: int, times: float) -> str:
        """Middle, long edge, short end and corner: the middle is not the worst place of a top on pads."""
        a, b = self.top.kept.nodes.max(axis=0)
        names = {"middle": (0, 0), "long edge": (0, b), "end": (a, 0)} | ({} if self.g.top.shape == "round" else {"corner": (a, b)})
        at = {n: int(((self.top.kept.nodes - p) ** 2).sum(axis=1).argmin()) for n, p in names.items()}
        said = {n: self._signed(times * float(found.sag[row, i])) for n, i in at.items()}
        words = list(dict.fromkeys(said.values()))
        return f"{', '.join(said)}: {words[0]}" if len(words) == 1 else ", ".join(f"{n} {fall}" for n, fall in said.items())

    def _sag(self, id: str, name: str, what, times: float, limit: float, clause: str, assumed, cautions) -> Check:
        fall, state, row, node = self._most(what)
        fall = max(times * fall, 0.0)
        ratio, verdict = compare(fall, limit)
        common = self._common
        long = times > 1
        wood = self.g.top.wood
        if long:
            cautions += (CREEP if wood.k_def is None else PANEL_CREEP.format(k=wood.k_def),)
        if wood.k_def is not None:
            cautions += (f"sheet goods ({wood.edition}): far softer than oak; another edition of the standard is another number",)
        if fall > self.g.top.thickness / 2:
            cautions += (THIN,)
        if self.wettest > GREEN:
            return self._wet(id, name, clause, _words(self.job, self.rows[row]), cautions)
        first = f"{self._fall(fall / times)} at first, {self._fall(fall)} after years, " if long else ""
        return Check(
            id=id, name=name, verdict=verdict, case=f"{_words(self.job, self.rows[row])}; {STATE_WORDS[state]}",
            demand=in_units(self.job, Quantity(fall, "m"), "length"), limit=in_units(self.job, Quantity(limit, "m"), "length"), ratio=ratio,
            clause=clause, range=("thin plate, small sag", "seats stay in contact as worked out"), cautions=cautions,
            worked=self._strip(row, times) if not long else (),
            detail=f"{first}most {self._place(node)}; by its fixings: {self._each(row, node, times)}; {self._corners(self.states[state], row, times)}; {self._band(fall)}"
                   + self._strip_words(row, times),
            **{**common, "assumed": (*common["assumed"], *assumed)})

    def _lines(self) -> tuple[float, float] | None:
        """Span and overhang of a top that lies on two lines across, equally far from the middle; else None."""
        xs = np.array(self.top.kept_seats)[:, 0]
        two = np.unique(np.round(xs, 6))
        if len(two) != 2 or abs(two.sum()) > 1e-6 or self.g.top.shape == "round" or not self.rows:
            return None
        L = float(two[1] - two[0])
        a = (self.g.top.length - L) / 2
        return (L, a) if a / L <= 0.4 and self.g.top.thickness / L <= 0.1 else None

    def _strip_given(self, row: int) -> dict | None:
        lines, load = self._lines(), self.rows[row].load
        if lines is None or self.rows[row].person >= 0 or self.g.top.grain:
            return None
        q = load.get("own", 0.0) * self.g.top.mass / self.g.top.slab + load.get("on the whole top", 0.0)
        L, a = (Quantity(v, "m") for v in lines)
        return {"q": Quantity(q, "Pa"), "L": L, "a": a, "E": self.g.top.wood.MOE, "h": Quantity(self.g.top.thickness, "m")}

    def _spread_row(self) -> int:
        return next(i for i, r in enumerate(self.rows) if r.what == "sag" and r.where == "on the whole top")

    def _strip(self, row: int, times: float):
        given = self._strip_given(self._spread_row())
        return () if given is None else (lambda: (strip_sag.worked(**given, system=self.job.system),))

    def _strip_words(self, row: int, times: float) -> str:
        given = self._strip_given(row if times > 1 else self._spread_row())
        if given is None:
            return ""
        by_hand = times * float(magnitude(strip_sag(**given), "m"))
        return f"; by hand, as a strip on two lines with the load on the whole top, {self._fall(by_hand)}"

    def _overhang(self, creep: float) -> Iterator[Check]:
        limit = self.job.model.limits.overhang
        mine = limit is not None
        limit = float(magnitude(limit if mine else DEFAULT_OVERHANG, "m"))
        clause = f"{self._fall(limit)} at the overhang, {'the job' + chr(39) + 's choice' if mine else 'named default, common practice'}; no code sets one"
        assumed = () if mine else (f"overhang limit {self._fall(limit)}",)
        common = self._common
        common["assumed"] = (*common["assumed"], *assumed)
        over = ~self.top.spanning
        people = [i for i, r in enumerate(self.rows) if r.what == "over"]
        if people:
            worst, each, tips = (-1.0, "", -1), {}, []
            for state, found in self.states.items():
                for i in people:
                    row = self.rows[i]
                    if not found.stands[i]:
                        tips.append(state)
                        continue
                    fall = float((found.w[i] - found.w[0]) @ self.top.kept.spots[row.person])
                    each[state] = max(each.get(state, 0.0), fall)
                    if fall > worst[0]:
                        worst = (fall, state, i)
            cautions = ("a top that only lies there tips off under this person: fix it to the base",) if tips else ()
            if worst[2] >= 0:
                fall, state, i = worst
                ratio, verdict = compare(fall, limit)
                if fall > self.g.top.thickness / 2:
                    cautions += (THIN,)
                yield self._wet("top/overhang", "Top: droop of the overhang under a person", clause, _words(self.job, self.rows[i]), cautions) \
                    if self.wettest > GREEN else Check(
                    id="top/overhang", name="Top: droop of the overhang under a person", verdict=verdict,
                    case=f"{_words(self.job, self.rows[i])}; {STATE_WORDS[state]}", demand=in_units(self.job, Quantity(fall, "m"), "length"),
                    limit=in_units(self.job, Quantity(limit, "m"), "length"), ratio=ratio, clause=clause, cautions=cautions,
                    detail="how far that place goes down under the person, the give of the base in it; by its fixings: "
                           + ", ".join(f"{STATE_WORDS[s]} {self._fall(v)}" for s, v in each.items()) + f"; {self._band(fall)}",
                    range=("thin plate, small sag",), **common)
        if over.any():
            row = next(i for i, r in enumerate(self.rows) if r.what == "long")
            best = max(((float(f.sag[row, over].max()), s, int(np.nonzero(over)[0][f.sag[row, over].argmax()]))
                        for s, f in self.states.items() if f.stands[row]), default=None)
            if self.wettest > GREEN:
                yield self._wet("top/overhang in years", "Top: droop of the overhang in years", clause, _words(self.job, self.rows[row]))
            elif best is not None:
                fall, state, node = max(best[0], 0.0) * creep, best[1], best[2]
                ratio, verdict = compare(fall, limit)
                yield Check(
                    id="top/overhang in years", name="Top: droop of the overhang in years", verdict=verdict,
                    case=f"{_words(self.job, self.rows[row])}; {STATE_WORDS[state]}", demand=in_units(self.job, Quantity(fall, "m"), "length"),
                    limit=in_units(self.job, Quantity(limit, "m"), "length"), ratio=ratio, clause=clause,
                    detail=f"{self._fall(fall / creep)} at first, most {self._place(node)}; by its fixings: {self._each(row, node, creep)}; "
                           f"{self._corners(self.states[state], row, creep)}",
                    cautions=(CREEP if self.g.top.wood.k_def is None else PANEL_CREEP.format(k=self.g.top.wood.k_def),), **common)

    def _stresses(self) -> Iterator[Check]:
        wood = self.g.top.wood
        mine = list(range(len(self.rows)))  # what lies there for years, or a spread that the job raised, may be the hardest
        worst = {0: (-1.0, "", -1), 1: (-1.0, "", -1)}
        for state, found in self.states.items():
            size = np.abs(self.top.stresses(found, mine))
            size[~found.stands[mine]] = 0.0
            for way in (0, 1):
                most = size[:, :, way].max(axis=1)
                i = int(most.argmax())
                if most[i] > worst[way][0]:
                    worst[way] = (float(most[i]), state, mine[i])
        unit = "psi" if self.job.system == "inch" else "MPa"
        for way, word, strength in ((0, "along", wood.MOR), (1, "across", wood.strength_across)):
            stress, state, i = worst[way]
            value = Quantity(stress, "Pa").to(unit)
            what = "bending strength" if way == 0 or wood.k_def is not None else "tension strength across the grain"
            if self.wettest > GREEN:
                verdict, guide = ASK, f"moisture {self.wettest:.0%}: not seasoned, weaker than the tables: nothing to compare with"
            elif strength is None:
                verdict, guide = REPORTED, f"no table gives {wood.name} a {what}: nothing to compare with"
            else:
                least = float(magnitude(wood.guide(word), "Pa"))
                verdict = REPORTED if stress <= least else ASK
                pieces = "of clear pieces" if wood.k_def is None else "of the panel"
                guide = (f"mean {what} {pieces} {show(strength.to(unit), unit)}, guide {show(Quantity(least, 'Pa').to(unit), unit)}: "
                         f"{'under' if stress <= least else 'over'} it")
            common = self._common
            yield Check(
                id=f"top/stress {word}", name=f"Top: bending stress {word} the grain", verdict=verdict, demand=value, clause="no allowable is set",
                case=f"{_words(self.job, self.rows[i])}; {STATE_WORDS[state]}", detail=guide, cautions=(NO_ALLOWABLE,),
                range=("thin plate; peaks right over a seat or under a point are rounded off by the grid",),
                **{**common, "kind": "use", "provenance": _weaker(
                    (wood.strength_provenance if way == 0 else wood.f_tp_provenance or wood.strength_provenance) or wood.provenance)})

    def _joint_line(self) -> Check:
        """The hardest moment of any load on one connector of the joint line, its place taken as the worst of the line."""
        halves, most = self.job.model.top.halves, (-1.0, "", -1, None)
        pitch = (self.g.top.length if halves.joint == "along" else self.g.top.width) / halves.connectors
        for state, found in self.states.items():
            places, moment = self.top.folds(found)
            size = np.where(found.stands[:, None], np.abs(moment), 0.0) * pitch
            i, j = np.unravel_index(size.argmax(), size.shape)
            if size[i, j] > most[0]:
                most = (float(size[i, j]), state, int(i), places[j])
        one, state, i, place = most
        unit = "lbf*ft" if self.job.system == "inch" else "N*m"
        value = Quantity(one, "N*m").to(unit)
        shared = dict(id="top/joint line", name="Top: moment on a connector of its joint line", demand=value, clause="plate on its seats",
                      case=f"{_words(self.job, self.rows[i])}; {STATE_WORDS[state]}", cautions=(JOINT_LINE,),
                      range=("connectors evenly along the line; each takes the worst of the line over its share of it",),
                      **{**self._common, "kind": "use"})
        where = f"worst {self._size(float(place[0]))} along and {self._size(float(place[1]))} across from the middle"
        count = "1 connector" if halves.connectors == 1 else f"{halves.connectors} connectors"
        if self.wettest > GREEN or halves.rated is None:
            why = "the job gives no rating (top.halves.rated)" if halves.rated is None else "a rating holds in dry wood"
            return Check(verdict=ASK, detail=f"{count}; {where}; {why}: ask the maker what moment one holds, in this wood "
                                             "and thickness, bent up and bent down", **shared)
        ratio, verdict = compare(one, float(magnitude(halves.rated, "N*m")))
        return Check(verdict=verdict, ratio=ratio, limit=halves.rated.to(unit), detail=f"{count}; {where}; the rating is the "
                     "job's", **shared)

    def _seats(self) -> Check:
        """The hardest push on a seat of every load in every state, and the hardest pull where the top is held down."""
        push, pull = (-1.0, "", -1), (0.0, "", -1)
        for state, found in self.states.items():
            forces = np.where(found.stands[:, None], found.forces, 0.0)
            i, j = np.unravel_index(forces.argmax(), forces.shape)
            push = max(push, (float(forces[i, j]), state, int(i)))
            i, j = np.unravel_index(forces.argmin(), forces.shape)
            pull = min(pull, (float(forces[i, j]), state, int(i)))
        unit = "lbf" if self.job.system == "inch" else "N"
        most, state, row = push
        even = float(self.top.mix(self.rows[row].load)[0] @ self.top.kept.loads @ self.top.kept.plate.rigid[0]) / self.states[state].forces.shape[1]
        spread = next(i for i, r in enumerate(self.rows) if r.what == "sag" and r.where == "on the whole top")
        loose = self.states["dead weight"]
        off = int((loose.gaps[spread] > 0).sum()) if loose.stands[spread] else loose.forces.shape[1]
        lifted = "every seat bears" if not off else f"the top lifts off {off} of them where nothing holds it down"
        held = "" if pull[0] > -1.0 else (f"; held down, the hardest seat is pulled by {show(Quantity(-pull[0], 'N').to(unit), unit, 3)} "
                                          f"({_words(self.job, self.rows[pull[2]])}; {STATE_WORDS[pull[1]]})")
        return Check(
            id="top/seats", name="Top: force on its hardest seat", verdict=REPORTED, demand=Quantity(most, "N").to(unit), clause="plate on its seats",
            case=f"{_words(self.job, self.rows[row])}; {STATE_WORDS[state]}",
            detail=f"{self.states[state].forces.shape[1]} seats; shared evenly each would carry {show(Quantity(even, 'N').to(unit), unit)}{held}; "
                   f"under {_words(self.job, self.rows[spread])} {lifted}",
            range=("a seat is a point, held without give of its screw: a soft fixing is pulled less",),
            cautions=("screws on a seat that the top would lift off are pulled",) if off or held else (), **{**self._common, "kind": "information"})
