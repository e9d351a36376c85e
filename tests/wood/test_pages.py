"""The page of movement and flattening: what it says are the numbers of the rooms below."""

from pathlib import Path

import pytest

from shopcalc.errors import InputError
from shopcalc.show import wood_pages
from shopcalc.units import Q
from shopcalc.wood import flattening, movement

JOBS = Path(__file__).resolve().parents[2] / "notebooks" / "jobs"


@pytest.fixture(scope="module", params=sorted(JOBS.glob("*.toml")), ids=lambda p: p.stem)
def table(request):
    return wood_pages.open_wood(request.param)


def test_answers_and_stills_of_every_job(table):
    for words in (
        table.movement_answer(),
        table.restraint_answer(),
        table.flattening_answer(),
        table.making_answer(),
        table.wood_basis(),
    ):
        assert words.plain.strip()
    assert "Refused" in table.restraint_answer().plain
    for control in (table.movement_control, table.flattening_control):
        still = control.still()
        assert still.picture is not None and still.picture.caption and still.text


def test_a_dry_room_moves_it_more(table):
    control = table.movement_control
    moved = [
        movement.movement(
            Q(table.geometry.top.width, "m"),
            built=0.08,
            driest=float(movement.settles_at(wood_pages.ROOM, h).to("").magnitude),
            dampest=0.12,
            C=0.00365,
            S=0.105,
        ).shrink
        for h in (0.2, 0.4)
    ]
    assert moved[0] > moved[1]
    words = [
        control.still(dry=Q(h, "percent"), damp=Q(60.0, "percent")).text.splitlines()[0] for h in (20.0, 40.0)
    ]
    assert words[0] != words[1]
    assert "total shrinkage" in control.still(dry=Q(20.0, "percent")).text


def test_a_season_out_of_order_is_said_not_drawn(table):
    still = table.movement_control.still(dry=Q(50.0, "percent"), damp=Q(40.0, "percent"))
    assert "No answer" in still.text and still.picture is None


def test_the_steel_that_is_named_does(table):
    first = table.flattening_control.still(bars="8").text.splitlines()[0]
    panel = table._panel(wood_pages.WAYS[0], table._usual["bow"], 8, True)
    found = flattening.which_steel(panel)
    assert found.lightest is not None and found.steel.pieces[found.lightest].words in first


def test_where_no_steel_does_it_says_so(table):
    most = Q(1.0, "inch") if table.system == "inch" else Q(25.0, "mm")
    text = table.flattening_control.still(bow=most, bars="2", place=wood_pages.PLACES[0]).text
    assert "No steel of the list does" in text and "More bars" in text


def test_settings_that_are_not_on_offer_are_refused(table):
    with pytest.raises(InputError):
        table.flattening_control.still(way="wavy")
    with pytest.raises(InputError):
        table.movement_control.still(built=Q(8.0, "inch"))
