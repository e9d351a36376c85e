"""A slot that is long enough only for a screw that does not stand in its middle says so."""

from table.bases_for_tests import JOBS

from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.wood_checks import hold_checks, moves_of


def slots(built: str, slot: str):
    text = JOBS["trestles"].replace('thickness = "1-1/2 in"', f'thickness = "1-1/2 in"\nmoisture = "{built}"\ndriest = "6 %"\ndampest = "11 %"')
    job = read_job(text + f'top_to_base = {{ fixing = "lag 1/4", count = 10, length = "1-1/2 in", slotted = true, slot = "{slot}" }}\n')
    g = build(job)
    return next(c for c in hold_checks(job, g, moves_of(job, g)) if c.id == "top/slots")


def test_wood_built_dry_swells_one_way():
    """Built at 6 % it only swells: 15 in x 0.00365 x 5 = 0.274 in. Screw and room 0.375 in: 0.649 in with the screw at the inner
    end, 0.375 + 2 x 0.274 = 0.922 in in the middle."""
    tight, wide = slots("6 %", "11/16 in"), slots("6 %", "15/16 in")
    assert tight.verdict == wide.verdict == "within limit"
    said = [c for c in tight.cautions if "off the middle" in c]
    assert said and "15/16 in" in said[0]
    assert not any("off the middle" in c for c in wide.cautions)


def test_what_the_handbook_does_not_give_is_said_where_it_is_used():
    """Every wood that lacks a ratio: its cup or its twist says that the force is on the high side."""
    from shopcalc.stock.woods import woods
    from shopcalc.table.wood_checks import flat_checks

    lacking = {w.name: {n for n, gone in (("cup", w.ET_EL is None), ("twist", w.GLT_EL is None)) if gone} for w in woods()}
    assert any("cup" in v for v in lacking.values()) and any("twist" in v for v in lacking.values())
    for name, gone in lacking.items():
        text = JOBS["trestles"].replace('wood = "white oak"', f'wood = "{name}"')
        job = read_job(text + '\n[top.measured]\ncup = "1/4 in"\ntwist = "1/4 in"\nbow = "1/4 in"\n')
        said = {c.id[4:] for c in flat_checks(job, build(job)) if any("as little as half" in a for a in c.assumed)}
        assert said == gone, name


def test_no_answer_is_better_read_than_what_it_rests_on():
    """Table 13-5 was read; the seasons nobody gave were read second-hand, equation 13-3 is recalled, the room at the ends of a
    slot is common practice."""
    from shopcalc.table.wood_checks import movement_check

    def read(*lines):
        text = JOBS["trestles"].replace('thickness = "1-1/2 in"', "\n".join(('thickness = "1-1/2 in"', *lines)))
        job = read_job(text)
        g = build(job)
        moves = moves_of(job, g)
        return movement_check(job, g, moves).provenance, next(c for c in hold_checks(job, g, moves)).provenance

    assert read('driest = "6 %"', 'dampest = "11 %"') == ("retrieved", "common practice")
    assert read() == ("second-hand", "common practice")
    assert read('driest = "4 %"', 'dampest = "11 %"') == ("memory", "common practice")
