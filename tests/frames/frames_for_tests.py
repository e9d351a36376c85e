"""Small frames that several tests use. SI throughout."""

import numpy as np

from shopcalc.mechanics.frames import FIXED, Frame, Member, NodeLoad, Support

E, G = 200e9, 77e9
A, IY, IZ, J = 6e-4, 3e-7, 1.5e-7, 2.5e-7
SECTION = {"A": A, "Iy": IY, "Iz": IZ, "J": J, "E": E, "G": G}
IN_PLANE = "y rx rz"
FEET = {"fixed": FIXED, "pinned": "x y z rx rz"}


def bar(first="", second="", loads=(), joints=(), **more):
    """One level bar from a to b along x; first and second: ways in which its ends are held."""
    return Frame(
        ("a", "b"),
        (Member("bar", "a", "b", **more),),
        tuple(Support(n, w) for n, w in (("a", first), ("b", second)) if w),
        joints=joints,
        loads=loads,
    )


def column(first=FIXED, second="", loads=None, joints=(), parts=1, **more):
    """One upright bar of `parts` equal pieces from foot to head, bending in x-z alone unless held
    otherwise.
    """
    names = ("foot", *(f"p{i}" for i in range(1, parts)), "head")
    supports = [Support("foot", first)]
    if second:
        supports.append(Support("head", second))
    supports += [Support(n, IN_PLANE) for n in names[1:-1]]
    members = tuple(
        Member(f"c{i}" if parts > 1 else "column", *names[i : i + 2], **more) for i in range(parts)
    )
    loads = (NodeLoad("head", "z"), NodeLoad("head", "x")) if loads is None else loads
    return Frame(names, members, supports, joints=joints, loads=loads)


def up(frame, length):
    """Places of the nodes of `column`."""
    n = len(frame.nodes)
    return np.stack([np.zeros(n), np.zeros(n), np.linspace(0, length, n)], axis=1)


PUSHED = (NodeLoad("b", "x"), NodeLoad("b", "z"), NodeLoad("c", "z"))


def portal(feet="pinned", parts=1, loads=PUSHED):
    """Two legs a-b and d-c and a rail b-c in the plane x-z."""

    def run(first, second):
        return [first, *(f"{first}{second}{i}" for i in range(1, parts)), second]

    chains = [run("a", "b"), run("b", "c"), run("d", "c")]
    nodes = tuple(dict.fromkeys(n for chain in chains for n in chain))
    members = [
        Member(f"{first}{second}" if parts == 1 else f"{first}-{second}", first, second)
        for chain in chains
        for first, second in zip(chain, chain[1:], strict=False)
    ]
    supports = [Support(n, FEET[feet] if n in "ad" else IN_PLANE) for n in nodes]
    return Frame(nodes, members, supports, loads=loads), chains


def portal_points(chains, height, span):
    corner = {"a": (0, 0, 0), "b": (0, 0, height), "c": (span, 0, height), "d": (span, 0, 0)}
    places = {}
    for chain in chains:
        first, last = np.array(corner[chain[0]], float), np.array(corner[chain[-1]], float)
        for name, share in zip(chain, np.linspace(0, 1, len(chain)), strict=True):
            places.setdefault(name, first + share * (last - first))
    return places


def placed(frame, places):
    return np.array([places[n] for n in frame.nodes])
