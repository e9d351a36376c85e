"""Dense kernels for a batch of small symmetric systems: factors, solutions, largest eigenvalues. First axis =
design.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

# A row that keeps less than this of its stiffness is held by rounding alone.
NOTHING_LEFT = 1e-12


@lru_cache(maxsize=1)
def _threads():
    # SciPy brings a library of its own; only what is loaded by now will be held to one thread.
    import scipy.linalg.lapack  # noqa: F401
    from threadpoolctl import ThreadpoolController

    return ThreadpoolController()


def one_thread():
    """A `with` block on one thread of the linear-algebra library: matrices this small lose time on more."""
    return _threads().limit(limits=1, user_api="blas")


def factor(K: np.ndarray, least: float = NOTHING_LEFT) -> np.ndarray:
    """Cholesky factors in place of the lower triangles of K (n, F, F); which designs are positive definite,
    (n,).

    least: part of its own stiffness that every row must keep when the rows before it are free to move.
    """
    from scipy.linalg.lapack import dpotrf

    n, F = K.shape[:2]
    if F == 0:
        return np.ones(n, bool)
    i = np.arange(F)
    before = K[:, i, i].copy()
    ok = np.fromiter((dpotrf(k.T, lower=0, clean=0, overwrite_a=1)[1] == 0 for k in K), bool, n)
    with np.errstate(divide="ignore", invalid="ignore"):
        left = K[:, i, i] ** 2 / before
    return ok & (left > least).all(axis=1)


def back_solve(factors: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Solutions for right sides b (n, F) or (n, p, F), with factors from `factor`."""
    from scipy.linalg.lapack import dpotrs

    x = np.array(b, order="C")
    if x.shape[-1] == 0:
        return x
    for L, row in zip(factors, x, strict=True):
        dpotrs(L.T, row.T, lower=0, overwrite_b=1)
    return x


@dataclass(frozen=True)
class Factors:
    """Factors of a batch's matrices: each (p, F, F) lower triangles, and which (n,) of them is whose (None: p = n, every
    design has its own)."""

    each: np.ndarray
    which: np.ndarray | None = None

    def __getitem__(self, rows: np.ndarray) -> Factors:
        return Factors(self.each[rows]) if self.which is None else Factors(self.each, self.which[rows])

    @property
    def full(self) -> np.ndarray:
        """(n, F, F)"""
        return self.each if self.which is None else self.each[self.which]

    def back_solve(self, b: np.ndarray) -> np.ndarray:
        """Solutions for right sides b (n, F); designs of one matrix are solved together."""
        if self.which is None:
            return back_solve(self.each, b)
        from scipy.linalg.lapack import dpotrs

        x = np.array(b)
        for k in np.unique(self.which) if x.shape[1] else ():
            mine = self.which == k
            x[mine] = dpotrs(self.each[k].T, x[mine].T, lower=0)[0].T
        return x


def negative(D: np.ndarray) -> np.ndarray:
    """How many eigenvalues of symmetric D (n, F, F) are negative, (n,), by the signs of its pivots."""
    from scipy.linalg.lapack import dsytrf

    count = np.zeros(len(D), int)
    for i, matrix in enumerate(D):
        if matrix.size:
            pivots, swaps, _ = dsytrf(matrix.T, lower=1)
            alone = swaps > 0
            # a pivot of two rows has one eigenvalue of either sign
            count[i] = int((np.diag(pivots)[alone] < 0).sum() + (~alone).sum() // 2)
    return count


def squares(Y: np.ndarray, KY: np.ndarray) -> np.ndarray:
    """y K y of every row, (n, p)."""
    return np.einsum("npf,npf->np", Y, KY)


def orthonormal(Y: np.ndarray, KY: np.ndarray, least=0.0):
    """Rows of Y (n, p, F) made orthonormal in K, and K times them. A row that hangs on the others, or whose y
    K y is no more than `least`, becomes nothing."""
    S = Y @ KY.swapaxes(1, 2)
    size = np.einsum("npp->np", S)
    there = size > least
    unit = np.where(there, 1 / np.sqrt(np.where(there, size, 1.0)), 0.0)
    S = S * unit[:, :, None] * unit[:, None, :]
    s, V = np.linalg.eigh((S + S.swapaxes(1, 2)) / 2)
    W = V * np.where(s > 1e-10, 1 / np.sqrt(np.maximum(s, 1e-10)), 0.0)[:, None, :]
    turn = (unit[..., None] * W).swapaxes(1, 2)
    return turn @ Y, turn @ KY


def largest(
    times: Callable[[np.ndarray], np.ndarray],
    back: Callable[[np.ndarray], np.ndarray],
    start: np.ndarray,
    steps: int,
):
    """Largest mu of G y = mu K y by `steps` blocks of Lanczos vectors, all kept orthonormal in K.

    times  V -> G V;  back  W -> K^-1 W;  start (n, p, F) right sides to begin with, on vectors (n, p, F)
    Returns mu (n, steps*p) from the largest down, the vectors y, and G y.
    """
    W = start
    Y = back(W)
    basis, images, made = [], [], []
    for _ in range(steps):
        # What the basis so far leaves of a vector by rounding alone is no new direction.
        least = 1e-24 * squares(Y, W)
        for V, KV in zip(basis, images, strict=True):
            share = Y @ KV.swapaxes(1, 2)
            Y, W = Y - share @ V, W - share @ KV
        Y, W = orthonormal(Y, W, least)
        for V, KV in zip(basis, images, strict=True):  # once more, for the digits
            share = Y @ KV.swapaxes(1, 2)
            Y, W = Y - share @ V, W - share @ KV
        G = times(Y)
        basis.append(Y), images.append(W), made.append(G)
        W = G
        Y = back(W)
    V, GV = np.concatenate(basis, axis=1), np.concatenate(made, axis=1)
    C = V @ GV.swapaxes(1, 2)
    mu, y = np.linalg.eigh((C + C.swapaxes(1, 2)) / 2)
    turn = y[:, :, ::-1].swapaxes(1, 2)
    return mu[:, ::-1], turn @ V, turn @ GV

