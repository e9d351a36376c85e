"""What the wood of a top is, and how wet it comes to stand: no number where the tables do not hold."""

import pytest
from table.test_top import checks_of

from shopcalc.stock.woods import wood

SAGS = ("top/sag", "top/own weight sag", "top/long-term sag", "top/overhang", "top/overhang in years")


def put(*lines):
    return [('thickness = "1-1/2 in"', 'thickness = "1-1/2 in"\n' + "\n".join(lines))]


@pytest.mark.parametrize("line", ['moisture = "25 %"\ndampest = "25 %"', 'dampest = "22 %"'])
def test_wet_wood_or_a_wet_room_gets_no_number(line):
    """Stiffness and strength of the tables are those at 12 %; NDS counts wood over 19 % as wet."""
    found = checks_of("trestles", put=put(line))
    for id in SAGS:
        assert found[id].verdict == "outside range" and found[id].demand is None and found[id].ratio is None, id
        assert "not seasoned" in found[id].detail
    for way in ("along", "across"):
        assert found[f"top/stress {way}"].verdict == "ask an engineer"


def test_damp_wood_is_said():
    assert any("softer and weaker" in a for a in checks_of("trestles", put=put('dampest = "16 %"'))["top/sag"].assumed)
    assert not any("softer and weaker" in a for a in checks_of("trestles")["top/sag"].assumed)


def test_veneer_and_strands_are_weaker_the_other_way():
    """Half as stiff across is at most about half as strong: half of 4,890 psi for plywood, all of it for MDF alike both ways."""
    ply, mdf, oak = wood("plywood"), wood("MDF 130"), wood("white oak")
    assert float(ply.strength_across.to("psi").magnitude) == pytest.approx(4890 / 2)
    assert float((mdf.strength_across / mdf.MOR).to("").magnitude) == pytest.approx(1)
    assert oak.strength_across == oak.f_tp
    text = checks_of("trestles", put=[('wood = "white oak"', 'wood = "plywood"')])["top/stress across"].detail
    assert "2,445" in text and f"{2445 * (1 - 1.645 * 0.25) / 2.3:.1f}" in text and "of the panel" in text


def test_plywood_creeps_at_least_like_solid_wood():
    """EN 1995-1-1 gives plywood 0.8 beside 0.6 for solid wood: it cannot creep less than the 1 that is counted for solid wood."""
    assert wood("plywood").creep() >= wood("white oak").creep() == 1.0
    assert wood("particleboard").creep() == 2.25


def test_the_middle_of_a_strip_is_told_only_where_it_is_the_worst():
    """Moments q (L^2 - 4 a^2)/8 in the middle, q a^2/2 over the lines: equal at a/L = 1/sqrt(8), 0.354."""
    from shopcalc.errors import InputError
    from shopcalc.mechanics.strips import strip_stress
    from shopcalc.units import Q

    given = {"q": Q(1000, "Pa"), "L": Q(1, "m"), "h": Q(40, "mm")}
    for a in (0.0, 0.2, 0.34):
        assert strip_stress(**given, a=Q(a, "m")).to("Pa").magnitude >= 6 * 1000 * a**2 / 2 / 0.04**2
    with pytest.raises(InputError):
        strip_stress(**given, a=Q(0.37, "m"))


def test_the_way_of_the_grain_is_said():
    assert any("grain straight along the table" in a for a in checks_of("trestles")["top/sag"].assumed)
    assert any("30" in a and "off the length" in a for a in checks_of("trestles", put=put('grain = "30 deg"'))["top/sag"].assumed)
