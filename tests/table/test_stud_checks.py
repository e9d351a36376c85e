"""Studs of levellers, by hand."""

from types import SimpleNamespace

import numpy as np
import pytest
from table.bases_for_tests import JOBS

from shopcalc.assess import NOT_CHECKED, assess
from shopcalc.check import OVER, WITHIN
from shopcalc.errors import InputError
from shopcalc.table.geometry import build
from shopcalc.table.job import read_job
from shopcalc.table.loads import load_cases
from shopcalc.table.stud_checks import amplified, root_diameter, stud_checks
from shopcalc.units import Q

FEET = 'kind = "leveller"\nheight = "1 in"'


def with_stud(words: str, height="1 in", text=JOBS["four legs"]) -> str:
    return text.replace(FEET, f'kind = "leveller"\nheight = "{height}"\n{words}')


@pytest.mark.parametrize(("D", "p", "root"), [(10, 1.5, 8.160), (12, 1.75, 9.853), (8, 1.25, 6.466)])
def test_root_of_coarse_metric_threads(D, p, root):
    """Minor diameters d_3 of M10, M12, M8 as the tables of coarse threads give them (mm)."""
    assert root_diameter(D=Q(D, "mm"), p=Q(p, "mm")).to("mm").magnitude == pytest.approx(root, abs=6e-4)


def test_push_on_a_bent_stud():
    """A rod 10 mm thick, 100 mm out: pi^2 0.8 EI/(2 e)^2 = 19.38 kN; a third of that over 1.6 makes the moment half as much again."""
    I = np.pi * 0.010**4 / 64  # noqa: E741
    buckles = np.pi**2 * 0.8 * 200e9 * I / 0.2**2
    assert buckles == pytest.approx(19379, rel=1e-3)
    assert amplified(10.0, buckles / 1.6 / 3, 0.1, I) == pytest.approx(15.0)
    assert amplified(10.0, -500.0, 0.1, I) == 10.0
    assert np.isinf(amplified(10.0, buckles / 1.6, 0.1, I))


@pytest.fixture(scope="module")
def thin_and_thick():
    return [assess(read_job(with_stud(words, height))) for words, height in
            (('stud = "1/4-20"\ntravel = "2 in"', "3 in"), ('stud = "3/4-10"\nstud_grade = "grade 5"', "1 in"))]


def test_a_thin_stud_wound_far_out_is_over_and_a_thick_short_one_holds(thin_and_thick):
    thin, thick = (a.check("feet/stud") for a in thin_and_thick)
    assert thin.verdict == OVER and thin.ratio > 1 and "1/4-20" in thin.detail and "5 in" in thin.detail
    assert thin.assumed == ("stud of grade 2 (base.feet.stud_grade)",)
    assert thick.verdict == WITHIN and not thick.assumed
    for line in thick.lines():
        assert line.as_dict()


@pytest.mark.parametrize(("H", "N"), [(600.0, 2000.0), (20.0, 12000.0), (600.0, 500.0)])
def test_use_of_a_stud_by_hand(H, N):
    """3/8-16 of grade 2 (57 ksi), 2 in out, under one level force and one load: E3, F11, H1-1 over 1.67."""
    job = read_job(with_stud('stud = "3/8-16"\ntravel = "1 in"'))
    g = build(job)
    rows = {"x": 0.6 * H, "y": -0.8 * H, "z": N}
    case = SimpleNamespace(case=load_cases()["shove"], where="pushed", held="standing")
    solved = SimpleNamespace(answer=SimpleNamespace(reaction=lambda n, way: np.array([rows[way] if n == "b" else 0.0])), factor=1.0, words="",
                             table=SimpleNamespace(foot_nodes=("a", "b", "c", "d")), cases=(case,))
    (check,) = stud_checks(job, g, load_cases(), [solved])
    H = min(H, 0.7 * N)  # the floor rubs no harder
    e, F_y, E = 2 * 0.0254, 57 * 6.894757e6, 200e9
    d = (0.375 - 17 / 24 * 3**0.5 / 16) * 0.0254
    A, I = np.pi * d**2 / 4, np.pi * d**4 / 64  # noqa: E741
    F_e = np.pi**2 * E / (2 * e / (d / 4)) ** 2
    assert F_y / F_e < 2.25
    P_c = 0.658 ** (F_y / F_e) * F_y * A / 1.67
    M_c = 1.6 * F_y * I / (d / 2) / 1.67
    M = H * e / (1 - 1.6 * N / (np.pi**2 * 0.8 * E * I / (2 * e) ** 2))
    use = N / P_c + 8 / 9 * M / M_c if N / P_c >= 0.2 else N / (2 * P_c) + M / M_c
    assert check.ratio == pytest.approx(use, rel=1e-6)
    assert g.feet[1] in check.detail


def test_no_stud_named_is_said_and_one_named_is_not():
    import shopcalc.assess as module
    bare, named = read_job(JOBS["four legs"]), read_job(with_stud('stud = "3/8-16"'))
    assert module._not_checked(bare) == NOT_CHECKED and any("studs" in why for _, why in NOT_CHECKED)
    assert not any("studs" in why for _, why in module._not_checked(named))


@pytest.mark.parametrize(("words", "field"), [('stud = "3/7-16"', "stud"), ('stud_grade = "grade 5"', "stud_grade"),
                                              ('stud = "3/8-16"\nstud_grade = "grade 99"', "stud_grade")])
def test_studs_that_do_not_exist_are_refused(words, field):
    with pytest.raises(InputError, match=field):
        build(read_job(with_stud(words)))


def test_plain_feet_have_no_stud():
    with pytest.raises(InputError, match="stud"):
        build(read_job(JOBS["on pads"].replace('kind = "pads"', 'kind = "pads"\nstud = "3/8-16"')))
