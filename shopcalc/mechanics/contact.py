"""One-sided contact: feet that can lift, seats that can open, stops that bear one way.

    A r - b >= 0,   r >= 0,   and in every contact one of the two is zero

r may be the forces of seats (A their flexibility, b how far they would dig into each other without them), or
the gaps under feet (A the stiffness that resists lifting them, -b the forces with all feet down). A must be
positive semidefinite, as every flexibility and stiffness is; where it is singular a body can move as a whole,
and no answer means that it does: it goes over. SI arrays, first axis = design; a matrix may serve all
designs.

First all contacts that are wrong change over together (block pivoting), for all designs at once; a design
that this does not settle goes to Lemke's method with a lexicographic rule, which ends, and tells a design
that has no answer.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shopcalc.errors import InputError

# Relative to the largest force or gap of the design.
HAIR = 1e-10
_TURNS = 30


@dataclass(frozen=True)
class Contact:
    """r (n, k) and gap = A r - b (n, k), both >= 0; nan where there is no answer (`stands` (n,) False)."""

    r: np.ndarray
    gap: np.ndarray
    stands: np.ndarray


def complementary(A: np.ndarray, b: np.ndarray) -> Contact:
    """Solve A r - b >= 0, r >= 0, r (A r - b) = 0 for every design.

    A (n, k, k) or (k, k), positive semidefinite (symmetric or not); b (n, k) or (k,)
    Raises InputError for sizes that are not finite or do not fit.
    """
    b = np.atleast_2d(np.asarray(b, float))
    A = np.asarray(A, float)
    n, k = b.shape
    if A.shape[-2:] != (k, k) or A.ndim not in (2, 3) or (A.ndim == 3 and len(A) not in (1, n)):
        raise InputError(
            field="complementary: A", value=f"shape {A.shape}", need=f"shape ({n}, {k}, {k}) to go with b"
        )
    if not (np.isfinite(A).all() and np.isfinite(b).all()):
        raise InputError(field="complementary", value="a number that is not finite", need="finite numbers")
    A = np.broadcast_to(A, (n, k, k))
    # One scale for every contact: the unknowns come out in size of one another.
    d = np.sqrt(np.maximum(np.einsum("nkk->nk", A), 0.0))
    d = np.where(
        d > 1e-150,
        d,
        np.where(
            d.max(axis=1, initial=0.0, keepdims=True) > 0, d.max(axis=1, initial=0.0, keepdims=True), 1.0
        ),
    )
    scaled, c = A / (d[:, :, None] * d[:, None, :]), b / d
    size = np.abs(c).max(axis=1, initial=0.0)
    c = c / np.where(size > 0, size, 1.0)[:, None]
    r, done = _blocks(scaled, c)
    stands = done.copy()
    for i in np.nonzero(~done)[0]:
        found = lemke(scaled[i], -c[i])
        stands[i] = found is not None
        r[i] = np.nan if found is None else found
    r = r * size[:, None] / d
    gap = np.einsum("nij,nj->ni", A, r) - b
    floor = HAIR * np.abs(b).max(axis=1, initial=0.0, keepdims=True)
    return Contact(r, np.where((r > 0) | (np.abs(gap) <= floor), 0.0, gap), stands)


def _blocks(A: np.ndarray, b: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Block pivoting on scaled numbers: r (n, k) and which designs it settled."""
    n, k = b.shape
    r, done = np.zeros((n, k)), np.zeros(n, bool)
    left = np.arange(n)
    active = b > 0
    for _ in range(_TURNS):
        part, on = A[left], active[left]
        M = np.where(on[:, :, None] & on[:, None, :], part, np.eye(k))
        sound = np.linalg.cond(M) < 1e9
        left, part, on, M = left[sound], part[sound], on[sound], M[sound]
        if not len(left):
            break
        x = np.linalg.solve(M, np.where(on, b[left], 0.0)[..., None])[..., 0]
        gap = np.einsum("nij,nj->ni", part, x) - b[left]
        big = np.maximum(np.abs(x).max(axis=1, keepdims=True), 1.0)
        wrong = np.where(on, x < -HAIR * big, gap < -HAIR)
        good = ~wrong.any(axis=1)
        r[left[good]], done[left[good]] = np.where(on, np.maximum(x, 0.0), 0.0)[good], True
        active[left] = on ^ wrong
        left = left[~good]
        if not len(left):
            break
    return r, done


def lemke(M: np.ndarray, q: np.ndarray) -> np.ndarray | None:
    """z >= 0 with M z + q >= 0 and z (M z + q) = 0, one design, by Lemke's method; None where a ray says
    there is none.

    M (k, k) positive semidefinite, of the size of one; q (k,).
    """
    k = len(q)
    if (q >= -HAIR).all():
        return np.zeros(k)
    # Columns: w 0..k-1, z k..2k-1, the artificial 2k, the right side.
    table = np.hstack([np.eye(k), -M, -np.ones((k, 1)), q[:, None]])
    basis = np.arange(k)
    row = min(range(k), key=lambda i: (q[i], i))
    entering = 2 * k
    for _ in range(200 * (k + 1)):
        leaving = basis[row]
        table[row] /= table[row, entering]
        others = np.arange(k) != row
        table[others] -= np.outer(table[others, entering], table[row])
        basis[row] = entering
        if leaving == 2 * k:
            z = np.zeros(2 * k + 1)
            z[basis] = table[:, -1]
            return np.maximum(z[k : 2 * k], 0.0)
        entering = leaving + k if leaving < k else leaving - k
        column = table[:, entering]
        may = np.nonzero(column > 1e-8)[0]
        if not len(may):
            return None
        # Lexicographic ratio, so that ties cannot go round in a circle; the artificial leaves first.
        ratios = table[may][:, [-1, *range(k)]] / column[may, None]
        least = ratios[:, 0].min()
        tied = [i for i, ratio in zip(may, ratios[:, 0], strict=True) if ratio <= least + 1e-13]
        zero = [i for i in tied if basis[i] == 2 * k]
        if zero:
            row = int(zero[0])
        else:
            row = int(min(tied, key=lambda i: tuple(np.round(table[i, [-1, *range(k)]] / column[i], 13))))
    raise ArithmeticError("Lemke's method did not end")
