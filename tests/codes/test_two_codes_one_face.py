"""Folding of a tube face by AISC and by EN 1993-1-8 where the theory is one: square branch at right angles, no stress along
the tube. The factor of F_y t^2 is typed from each table."""

import numpy as np
import pytest

from shopcalc.codes.aisc360_22 import hollow_joints as hj
from shopcalc.codes.aisc360_22 import point_load as pl
from shopcalc.codes.en1993_1_8 import chord_face as en

F_Y, T = 300e6, 0.003


@pytest.mark.parametrize(
    ("beta", "factor"),
    [(0.25, 5.2855), (0.4, 6.4973), (0.5, 7.6569), (0.6, 9.3246), (0.8, 16.9443)],
)
def test_one_factor_by_two_tables(beta, factor):
    """AISC 2 eta/(1 - beta) + 4/sqrt(1 - beta) with eta = beta; EN table 7.10 (2 beta + 4 sqrt(1 - beta))/(1 - beta)."""
    assert 2 * beta / (1 - beta) + 4 / np.sqrt(1 - beta) == pytest.approx(factor, abs=5e-5)
    assert (2 * beta + 4 * np.sqrt(1 - beta)) / (1 - beta) == pytest.approx(factor, abs=5e-5)
    aisc = pl.face_bending_strength.si(F_y=F_Y, t=T, eta=beta, beta=beta, Q_f=1.0)
    euro = en.chord_face.si(k_n=1.0, f_y0=F_Y, t_0=T, eta=beta, beta=beta, theta=np.pi / 2)
    assert aisc / (F_Y * T**2) == pytest.approx(factor, rel=1e-5)
    assert euro == pytest.approx(aisc, rel=1e-12)


def test_the_answers_for_a_joint_differ_by_their_factors_alone():
    """2 x 2 on 3 x 3, both 1/8 in (0.116): allowable by AISC is 1/1.67 of the resistance of EN, gamma_M5 = 1."""
    inch = 0.0254
    sizes = {"F_y": F_Y, "t": 0.116 * inch, "B": 3 * inch, "H": 3 * inch}
    found = hj.face_strength(
        **sizes, F_u=400e6, E=200e9, h=2.65 * inch, k=0.17 * inch, F_yb=F_Y, F_ub=400e6, t_b=0.116 * inch,
        B_b=2 * inch, H_b=2 * inch, Z_ip=0.58 * inch**3, Z_op=0.58 * inch**3, l_end=20 * inch, P=1000.0,
    )  # fmt: skip
    beta = 2 / 3
    euro = en.chord_face.si(k_n=1.0, f_y0=F_Y, t_0=0.116 * inch, eta=beta, beta=beta, theta=np.pi / 2)
    assert found.state() == "face bending" and found.P_c[0] == pytest.approx(euro / 1.67, rel=1e-9)
