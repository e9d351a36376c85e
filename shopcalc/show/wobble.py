"""The page of the question: does the base wobble?

    from shopcalc.show.wobble import open_wobble
    table = open_wobble("jobs/archive_map_table.toml")
    table.wobble_picture()
"""

from __future__ import annotations

from functools import cached_property
from pathlib import Path

from IPython.display import display

from shopcalc.check import Check
from shopcalc.show import frame_pictures, notebook, tables
from shopcalc.show.notebook import Shown, caption, sentences
from shopcalc.show.pages import TablePages, basis
from shopcalc.show.values import printed, used_line
from shopcalc.table import wobble
from shopcalc.table.frame_cases import frame_cases
from shopcalc.table.frame_checks import families, frequency_check, sway_checks
from shopcalc.table.job import load_job
from shopcalc.table.names import words_of
from shopcalc.table.wobble import Sway
from shopcalc.units import Quantity, show

NO_LIMIT = "Reported: no published limit for wobble was found."
# Things that move a sway by less than this part are not named.
LITTLE = 0.005


def open_wobble(path: str | Path) -> WobblePages:
    """The table of a job file. Raises InputError for a job that cannot be used."""
    return WobblePages(load_job(path))


class WobblePages(TablePages):
    """The pages of one table, and those of its wobble. Only the push that shows the wobble is solved."""

    @cached_property
    def sways(self) -> dict[str, Sway]:
        return wobble.sways(self.job, self.geometry, self.cases)

    @cached_property
    def wobble_checks(self) -> tuple[Check, ...]:
        every = list(frame_cases(self.geometry, {wobble.WOBBLE: self.cases[wobble.WOBBLE]}))
        return (*sway_checks(self.job, self.geometry, every), frequency_check(self.job, self.geometry))

    @property
    def _push(self) -> Quantity:
        return self.cases[wobble.WOBBLE].value

    @property
    def _load(self) -> str:
        return printed(self._push, self.system, digits=3)

    @property
    def _worst(self) -> Sway:
        return max(self.sways.values(), key=lambda s: s.most)

    def _moved(self, size: Quantity) -> str:
        return printed(size, self.system, "wall")

    def _fine(self, size: Quantity) -> str:
        return show(size, "inch" if self.system == "inch" else "mm", 3)

    def base_picture(self) -> None:
        """The base as lines, with the names that the checks use."""
        _shown(frame_pictures.base_lines(self.geometry, families(self.geometry), system=self.system))

    def wobble_picture(self, way: str = "") -> None:
        """The base under the push, drawn too large by a stated number: the way it sways most, or the way asked for."""
        sway = self.sways[way] if way else self._worst
        words = f"{self._load} at the top, {sway.case.where} ({sway.most_state.words})"
        _shown(frame_pictures.deflected(self.geometry, wobble.shape_of(sway.most_state, self.geometry), words=words, system=self.system))

    def moments_picture(self) -> None:
        """The moments in the bars under that push."""
        sway = self._worst
        _shown(frame_pictures.moment_lines(self.geometry, wobble.moments_of(sway.most_state, self.geometry), system=self.system,
                                           words=f"{self._load} {sway.case.where} and own weight"))

    def wobble_answer(self) -> Shown:
        """How far the edge of the top moves under the push, rigid to soft joints, and how fast it rocks."""
        moves = ", ".join(f"{self._moved(s.least)} to {self._moved(s.most)} {s.case.where}" for s in self.sways.values())
        *checks, rings = self.wobble_checks
        lines = [f"Pushed with {self._load} at the top, its edge moves {moves}.",
                 "The small number is with rigid joints, the large one with soft ones: trust the large one until a push test says more."]
        for c in checks:
            if c.limit is not None:
                lines.append(f"{tables.full_name(c)}: {c.verdict}, {c.clause}; {used_line(c, self.system)}.")
            elif c.demand is None:
                lines.append(f"{tables.full_name(c)}: {c.verdict}, {c.detail}.")
        if all(c.limit is None for c in checks):
            lines.append(f"{NO_LIMIT} The job has no house limit: the push-test sheet below makes one.")
        return sentences(*lines, f"Left to swing, {rings.detail}." if rings.demand is not None else f"{rings.name}: {rings.detail}.")

    def moves_it_most(self) -> Shown:
        """What a tenth more stiffness of one thing alone takes off the soft sway."""
        lines = []
        for s in self.sways.values():
            less = wobble.moves_it_most(self.job, self.geometry, s)
            named = [f"{words_of(what)} {printed(part * 100, self.system, digits=2)} %" for what, part in less.items() if part > LITTLE]
            lines.append(f"{s.case.where.capitalize()}: " + (", ".join(named) or "nothing by itself") + ".")
        plain = "\n".join(f"* {line}" for line in lines)
        return Shown(plain, html=tables.list_html(lines))

    def wobble_working(self) -> None:
        """By hand: the uprights alone, their ends held against turning."""
        for way in ("across", "along"):
            hand = wobble.posts_by_hand(self.job, self.geometry, self._push, way)
            if hand is None or way not in self.sways:
                continue
            count, half = hand
            tip = half.largest("sag", "down")[0]
            s = self.sways[way]
            _display(
                caption(f"{s.case.where.capitalize()}: {count} uprights share the push. With ends that cannot turn each bends like two "
                        "cantilevers of half its length, tip to tip. One of them:"),
                notebook.worked(half.worked("sag", half.end, self.system), self.system),
                caption(f"Two of them, the uprights alone: {self._fine(2 * tip)}. The frame, in which what holds their ends gives as well: "
                        f"{self._fine(s.least)} with rigid joints, {self._fine(s.most)} with soft ones."))

    def wobble_basis(self) -> Shown:
        return basis(self.wobble_checks, self.system)

    def push_test(self) -> Shown:
        """The push-test sheet of this table, to print."""
        return push_test_sheet(self.job, self._push)


def _shown(picture) -> None:
    _display(picture, caption(picture.caption))


def _display(*parts) -> None:
    for part in parts:
        display(part)


# --- push-test sheet -----------------------------------------------------------------------------

BLANK = "______"
STEPS = (
    "Stand the table on its floor, top fixed, nothing on it, every foot touching: no strip of paper slides under a foot.",
    "Hook the luggage scale to the edge of the top and pull level. Along: at the middle of one end. Across: at the middle of a long side.",
    "Set the dial indicator on the opposite edge, in the line of the pull, its stand on the floor and not on the table.",
    ("In twist: pull across at one end of a long side; read a dial at both ends of that side. Half the difference is the reading (one that "
    "moves the other way counts negative)."),
    "Watch a foot: a table that slides was not measured. Chock the feet against sliding, not against tilting.",
    "Pull slowly to half the load and let go, three times, so that everything settles. Set the dial to nought.",
    "Pull to {push}, hold, read. Let go and read again: what does not come back is play or slip. Three times each way.",
    "Stop if a foot lifts. Nobody sits, leans or stands on the table meanwhile.",
)
READINGS = ("date", "table", "way", "pull on the scale", "dial, loaded 1 / 2 / 3", "dial, let go 1 / 2 / 3", "how it felt")


def push_test_sheet(job, push: Quantity) -> Shown:
    """How the shop measures the sway of its own tables and makes a dated house limit of it: a table to print.

    push  the push that the kit calculates with;  job  for its name, units and its house limit
    """
    system = job.system
    limits = job.model.limits
    load = printed(push, system, digits=3)
    steps = [step.format(push=load) for step in STEPS]
    rows = [(BLANK, BLANK, way, load, f"{BLANK} / {BLANK} / {BLANK}", f"{BLANK} / {BLANK} / {BLANK}", BLANK)
            for way in ("along", "across", "in twist")]
    now = "none in this job" if limits.house_sway is None else (
        f"{printed(limits.house_sway, system, 'wall')}, {limits.house_sway_dated or 'not dated'}")
    example = '"0.10 in"' if system == "inch" else '"2.5 mm"'
    typed = ["[limits]", f"house_sway = {example}          # the largest loaded reading the shop still calls steady",
             'house_sway_dated = "the date, tables and readings of this sheet"']
    after = ("The house limit: measure several tables, write down how each felt, and choose the largest reading the shop still calls steady "
             "(the example below is no recommendation). Add the two lines to [limits] of the job: the kit then compares the soft end of its range with it. The reading includes what the "
             "floor gives.")
    plain = "\n".join([f"Push-test sheet: {job.name}", *(f"{n}. {s}" for n, s in enumerate(steps, 1)),
                       " | ".join(READINGS), *(" | ".join(r) for r in rows), f"House limit now: {now}", after, *typed])
    html = (f"<h3>Push-test sheet: {tables.escape(job.name)}</h3>\n<ol>" + "".join(f"<li>{tables.escape(s)}</li>" for s in steps)
            + "</ol>\n" + tables.table_html(READINGS, rows) + f"\n<p>House limit now: {tables.escape(now)}. New house limit: {BLANK} Date: {BLANK} "
            f"Name: {BLANK}</p>\n<p>{tables.escape(after)}</p>\n<pre>" + tables.escape("\n".join(typed)) + "</pre>")
    return Shown(plain, html=html)
