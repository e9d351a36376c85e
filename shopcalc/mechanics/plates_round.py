"""The second route for plates, and plates of any outline on triangles: Argyris' element of a general finite-element library.

The grid of `plates` answers for every top, round ones too (a cell that the outline crosses is integrated over what is left of
it); this module shares nothing with it but the material. Mesh and element are made anew for every question, inside one
function: an element kept from another mesh gives wrong numbers without an error.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from shopcalc.mechanics.plates import Rigidity


def round_mesh(reach: Callable[[np.ndarray], np.ndarray], fine: int):
    """Triangles of an outline that is seen whole from its middle: reach(angle) is its distance (m). A new mesh every time."""
    from skfem import MeshTri

    unit = MeshTri.init_circle(fine)
    x, y = unit.p
    far = reach(np.arctan2(y, x))
    return MeshTri(np.stack([x * far, y * far]), unit.t)


def rectangle_mesh(x, y):
    """Triangles on lines x and y (m). A new mesh every time."""
    from skfem import MeshTri

    return MeshTri.init_tensor(np.asarray(x, float), np.asarray(y, float))


def deflections(mesh, rigidity: Rigidity, h: float, *, pressure: float, seats: np.ndarray, base: np.ndarray | None = None,
                at: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Sag (p,), down positive, at places `at` (p, 2), and forces (k,) of seats (k, 2) that hold both ways, under an even pressure.

    mesh  of `round_mesh` or `rectangle_mesh`;  base: (k, k) flexibility under the seats (m/N), none: stiff
    """
    from scipy.sparse import bmat, csr_matrix
    from scipy.sparse.linalg import spsolve
    from skfem import Basis, BilinearForm, ElementTriArgyris, LinearForm
    from skfem.helpers import dd

    basis = Basis(mesh, ElementTriArgyris(), intorder=6)
    D = rigidity.matrix * h**3

    def bent(u):
        return dd(u)[0][0], dd(u)[1][1], 2 * dd(u)[0][1]

    @BilinearForm
    def stiffness(u, v, _):
        a, b = bent(u), bent(v)
        return sum(D[i, j] * a[i] * b[j] for i in range(3) for j in range(3))

    @LinearForm
    def load(v, _):
        return pressure * v

    K, f = stiffness.assemble(basis), load.assemble(basis)
    R = csr_matrix(basis.probes(np.asarray(seats, float).T))
    B = np.zeros((R.shape[0],) * 2) if base is None else np.asarray(base, float)
    size = K.diagonal().mean()  # equations of one size
    answer = spsolve(bmat([[K, R.T * size], [R * size, csr_matrix(-B * size**2)]]).tocsc(), np.concatenate([f, np.zeros(R.shape[0])]))
    return basis.probes(np.asarray(at, float).T) @ answer[:basis.N], answer[basis.N:] * size
