"""The checks as tables: in a terminal and as HTML."""

from html.parser import HTMLParser

import pytest
from show.show_synthetic import assessment

from shopcalc.check import VERDICTS, WITHIN, Check
from shopcalc.show import tables
from shopcalc.show.values import pair
from shopcalc.units import Q

VOID = {"meta", "img", "br", "link"}


class Strict(HTMLParser):
    """Fails where a tag is closed that is not open, and keeps the text of cells."""

    def __init__(self):
        super().__init__()
        self.open, self.cells, self.tags = [], [], set()

    def handle_starttag(self, tag, attrs):
        self.tags.add(tag)
        if tag not in VOID:
            self.open.append(tag)
        if tag in ("td", "th"):
            self.cells.append("")

    def handle_endtag(self, tag):
        assert self.open and self.open.pop() == tag, f"</{tag}> closes nothing"

    def handle_data(self, data):
        if self.open and self.open[-1] in ("td", "th"):
            self.cells[-1] += data


def read(markup: str) -> Strict:
    parser = Strict()
    parser.feed(markup)
    parser.close()
    assert parser.open == []
    return parser


@pytest.mark.parametrize("system", ["inch", "mm"])
@pytest.mark.parametrize("width", [80, 96, 100])
def test_no_line_is_wider_than_asked(width, system):
    assert max(map(len, tables.checks_text(assessment(system), width).splitlines())) <= width


def test_every_check_stands_with_its_numbers_and_verdict_in_words():
    a = assessment()
    text = tables.checks_text(a)
    for check in a.checks:
        demand, limit = pair(check, "inch")
        for line in text.splitlines():
            if demand in line and limit in line and line.endswith(check.verdict):
                break
        else:
            raise AssertionError(f"{check.id}: no row has {demand}, {limit} and {check.verdict}")
    assert {c.verdict for c in a.checks} == set(VERDICTS), "the example lost a verdict"


def test_what_is_not_within_its_limit_is_said_first_and_says_why():
    text = tables.checks_text(assessment())
    head = text[:text.index("-----")]
    for words in ("refused: front post of the left trestle", "over limit: stretcher", "outside range: stretcher",
                  "ask an engineer: table"):
        assert words in head
    assert "2 within limit, 1 refused, 1 over limit, 1 outside range, 1 ask an engineer" in " ".join(
        head.split()
    )
    assert "Ways forward: a heavier wall" in text


def test_lists_stand_at_the_end():
    a = assessment()
    flat = " ".join(tables.checks_text(a).split())
    for question, why in a.not_checked:
        assert question in flat and why in flat
    for r in a.resolved:
        assert f"{r.field} = {r.value} ({r.tag}" in flat
    for caution in a.cautions:
        assert caution in flat
    assert "Tube of unknown origin: ask for a certificate. [stretcher/bending]" in flat


def test_a_caution_of_many_checks_is_said_once():
    a = assessment()
    text = tables.caution_lines(a)
    assert len(text) == len(set(text)) == 4


def test_nothing_checked_is_said():
    assert tables.summary([]) == ["Nothing was checked."]


def test_html_is_closed_escaped_and_holds_every_number():
    a = assessment()
    a.checks[0] = Check(
        "a/b", "bending <i>", "a & b", "use", WITHIN, "case <1>", Q(1, "lbf"), Q(2, "lbf"), 0.5
    )
    markup = tables.checks_html(a)
    found = read(markup)
    assert found.tags <= {"table", "caption", "thead", "tbody", "tr", "th", "td", "br"}
    assert "bending <i>" in found.cells and "<i>" not in markup
    for check in a.checks:
        for value in pair(check, "inch"):
            assert value in found.cells
        assert check.verdict in found.cells
    assert "0x" not in markup and " id=" not in markup


def test_a_table_of_tubes_says_over_in_words():
    rows = tables.grid_rows(["a", "b"], ["1", "2"], [[0.5, 1.004], [0.2, 0.3]],
                            [["within limit", "over limit"], ["within limit", "outside range"]],
                            [["sag", "sag"], ["bending", "sag"]])
    assert rows == [["a", "0.50 sag", "1.01 sag over"], ["b", "0.20 bending", "outside range"]]
    read(tables.size_table_html(["a<", "b"], ["1", "2"], [[0.5, 1.004], [0.2, 0.3]]))
    lines = tables.size_table_text(["a", "b"], ["1", "2"], [[0.5, 1.004], [0.2, 0.3]]).splitlines()
    assert len({len(line) for line in lines}) == 1


def test_pieces_print_mass_and_centre():
    rows = tables.pieces_rows(assessment().pieces, "inch")
    assert rows[0] == ["top", "289 lb", "0 in", "0 in", "29-1/8 in"]  # 131 kg at 0.45359237 kg a pound
    assert rows[1][2] == "-36 in"
