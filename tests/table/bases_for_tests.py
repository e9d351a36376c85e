"""Small invented jobs, one of each base style and shape, for the tests of the frame."""

from __future__ import annotations

HEAD = """format = 1
job = "{name}"
[settings]
units = "inch"
[stock]
post = "square tube 2 in x 3/16 in, A500 C"
bar = "rectangular tube 3 in x 2 in x 3/16 in, A500 C"
{stock}
[top]
wood = "white oak"
length = "{length}"
width = "{width}"
thickness = "1-1/2 in"
"""
WELD = '{{ weld = "fillet all round", leg = "1/8 in", filler = "E70" }}'


def _job(name: str, base: str, joints: str, length="84 in", width="36 in", stock="", feet='kind = "leveller"\nheight = "1 in"') -> str:
    rows = "".join(f"{j} = {WELD.format()}\n" for j in joints.split())
    return HEAD.format(name=name, length=length, width=width, stock=stock) + f"[base]\n{base}\n[base.feet]\n{feet}\n[joints]\n{rows}"


def trestles(name: str, posts: str, joints: str, *, rail: bool, stretchers: int = 1, count: int = 2, apart="56 in") -> str:
    return _job(name, f"""style = "trestles"
height = "28 in"
trestles.count = {count}
trestles.apart = "{apart}"
trestles.foot = {{ stock = "bar", length = "30 in", lies = "flat" }}
trestles.head = {{ stock = "bar", length = "30 in", lies = "flat" }}
trestles.posts = {{ stock = "post", {posts} }}
{'trestles.rail = { stock = "bar" }' if rail else ''}
stretcher = {{ stock = "{'post' if stretchers == 2 or 'count = 1' in posts else 'bar'}", above_floor = "9 in", count = {stretchers} }}""", joints,
                feet='kind = "leveller"\nfrom_end = "1-1/2 in"\nheight = "1 in"')


def legs(name: str, *, stretchers="", splay="", joints="rail_to_leg", stock="", leg="post", feet='kind = "leveller"\nheight = "1 in"',
         height="28 in", along="60 in", across="26 in") -> str:
    return _job(name, f"""style = "four legs"
height = "{height}"
legs = {{ stock = "{leg}", along = "{along}", across = "{across}" {splay} }}
rails = {{ stock = "bar" }}
{stretchers}""", joints, stock=stock, feet=feet)


PORTAL = """style = "points"
height = "30 in"
carried_by = ["left", "right", "front", "back"]
standing_on = ["a", "b", "c", "d"]
[base.points]
a = ["-30 in", "-12 in", "0 in"]
b = ["30 in", "-12 in", "0 in"]
c = ["30 in", "12 in", "0 in"]
d = ["-30 in", "12 in", "0 in"]
A = ["-30 in", "-12 in", "29 in"]
B = ["30 in", "-12 in", "29 in"]
C = ["30 in", "12 in", "29 in"]
D = ["-30 in", "12 in", "29 in"]
[base.bars]
leg1 = { stock = "post", first = "a", second = "A" }
leg2 = { stock = "post", first = "b", second = "B" }
leg3 = { stock = "post", first = "c", second = "C" }
leg4 = { stock = "post", first = "d", second = "D" }
front = { stock = "post", first = "A", second = "B" }
back = { stock = "post", first = "D", second = "C" }
left = { stock = "post", first = "A", second = "D" }
right = { stock = "post", first = "B", second = "C" }
"""


def portal(name="Bench of named points", base: str = PORTAL) -> str:
    return _job(name, base, "bar_to_bar", feet='kind = "plain"\nheight = "0 in"')


OPEN = """flat = "flat bar 3 in x 1/2 in, A36"
channel = "channel C3x4.1, A36"
angle = "angle 2 in x 2 in x 1/4 in, A36"
rod = "round bar 1 in, A36"
pipe = "round tube 2 in x 11 ga, A513"
"""

JOBS = {
    "trestles": trestles("Two posts and a rail", 'count = 2, apart = "16 in"',
                         "post_to_head post_to_foot rail_to_post stretcher_to_rail", rail=True),
    "one post": trestles("T shapes", "count = 1", "post_to_head post_to_foot stretcher_to_post", rail=False),
    "A posts": trestles("A shapes", 'count = 2, apart = "20 in", apart_top = "8 in"',
                        "post_to_head post_to_foot stretcher_to_post", rail=False, stretchers=2),
    "X posts": trestles("X shapes", 'count = 2, apart = "20 in", apart_top = "20 in", crossed = true',
                        "post_to_head post_to_foot post_to_post stretcher_to_post", rail=False, stretchers=2),
    "three trestles": trestles("Three trestles", 'count = 2, apart = "16 in"',
                               "post_to_head post_to_foot rail_to_post stretcher_to_rail", rail=True, count=3),
    "two stretchers": trestles("Two stretchers", 'count = 2, apart = "16 in"',
                               "post_to_head post_to_foot stretcher_to_post", rail=False, stretchers=2),
    "four legs": legs("Four legs"),
    "four legs H": legs("Four legs, H", joints="rail_to_leg stretcher_to_leg stretcher_to_stretcher",
                        stretchers='stretchers = { stock = "post", shape = "H", above_floor = "7 in" }'),
    "four legs box": legs("Four legs, box", joints="rail_to_leg stretcher_to_leg",
                          stretchers='stretchers = { stock = "post", shape = "box", above_floor = "7 in" }'),
    "splayed legs": legs("Splayed legs", splay=', splay_along = "2 in", splay_across = "2 in"'),
    "on casters": legs("On casters", feet='kind = "casters"\nheight = "4 in"'),
    "on pads": legs("On pads", feet='kind = "pads"\nheight = "1/4 in"'),
    "pipe legs": legs("Pipe legs", leg="pipe", stock='pipe = "round tube 2-1/2 in x 3/16 in, A500 C"'),
    "pedestal": _job("Round pedestal", """style = "pedestal"
height = "28 in"
column = { stock = "column" }
spider = { stock = "bar", lies = "flat", count = 4, reach = "16 in" }
foot = { stock = "bar", lies = "flat", count = 4, reach = "21 in" }""", "arm_to_column foot_arm_to_column", length="42 in", width="42 in",
                     stock='column = "square tube 4 in x 1/4 in, A500 C"', feet='kind = "leveller"\nfrom_end = "1-1/2 in"\nheight = "1 in"'),
    "pedestal on a plate": _job("Pedestal on a plate", """style = "pedestal"
height = "28 in"
column = { stock = "column" }
spider = { stock = "bar", lies = "flat", count = 4, reach = "16 in" }
foot_plate = { stock = "plate", length = "26 in", width = "26 in" }""", "arm_to_column column_to_plate", length="42 in", width="42 in",
                                stock='column = "square tube 4 in x 1/4 in, A500 C"\nplate = "plate 3/4 in, A36"',
                                feet='kind = "leveller"\nfrom_end = "1-1/2 in"\nheight = "1 in"'),
    "C-frames": _job("C-frames", """style = "C-frames"
height = "28 in"
frames = { apart = "56 in", foot = { stock = "bar", length = "30 in", lies = "flat" }, post = { stock = "post" }, head = { stock = "bar", length = "28 in", lies = "flat" }, post_from_back = "4 in" }
stretcher = { stock = "post", above_floor = "9 in" }""", "post_to_head post_to_foot stretcher_to_post",
                     feet='kind = "leveller"\nfrom_end = "1-1/2 in"\nheight = "1 in"'),
    "podiums": _job("Two podiums", """style = "podiums"
height = "28 in"
podiums = { apart = "56 in", length = "16 in", width = "28 in", frame = { stock = "post" }, sheet = "0.0598 in" }
stretcher = { stock = "post", above_floor = "9 in", count = 2 }""", "bar_to_post stretcher_to_post"),
    "podiums, one stretcher": _job("Two podiums, one stretcher", """style = "podiums"
height = "28 in"
podiums = { apart = "56 in", length = "16 in", width = "28 in", frame = { stock = "post" } }
stretcher = { stock = "post", above_floor = "9 in" }""", "bar_to_post stretcher_to_bar"),
    "points": portal(),
    "points of open shapes": portal("Open shapes", PORTAL.replace('front = { stock = "post"', 'front = { stock = "channel"')
                                    .replace('back = { stock = "post"', 'back = { stock = "angle"')
                                    .replace('left = { stock = "post"', 'left = { stock = "flat"')
                                    .replace('leg1 = { stock = "post"', 'leg1 = { stock = "rod"')).replace("\n[top]", "\n" + OPEN + "[top]"),
}


def _open(name: str, *swaps: tuple[str, str]) -> str:
    text = JOBS[name].replace("\n[top]", "\n" + "".join(row + "\n" for row in OPEN.splitlines() if not row.startswith("pipe"))
                              + 'thick = "flat bar 2 in x 1/2 in, A36"\n[top]', 1)
    for old, new in swaps:
        assert old in text, old
        text = text.replace(old, new)
    return text


# Every style with the open shapes and bars that it can take.
OPEN_JOBS = {
    "rails of channel": _open("four legs", ('rails = { stock = "bar" }', 'rails = { stock = "channel" }')),
    "legs of angle, rails of flat bar": _open("four legs", ('legs = { stock = "post"', 'legs = { stock = "angle"'),
                                              ('rails = { stock = "bar" }', 'rails = { stock = "thick" }')),
    "stretchers of rod": _open("four legs H", ('stretchers = { stock = "post"', 'stretchers = { stock = "rod"')),
    "trestle foot of flat bar": _open("trestles", ('trestles.foot = { stock = "bar"', 'trestles.foot = { stock = "flat"')),
    "spider of flat bar": _open("pedestal", ('spider = { stock = "bar", lies = "flat"', 'spider = { stock = "flat"')),
    "C foot of flat bar": _open("C-frames", ('foot = { stock = "bar"', 'foot = { stock = "flat"')),
    "podiums of angle": _open("podiums", ('frame = { stock = "post" }', 'frame = { stock = "angle" }')),
}


ROUND = """pipe = "round tube 2-1/2 in x 3/16 in, A500 C"
small = "round tube 1.900 in x 0.145 in, A500 C"
column4 = "round tube 4 in x 0.237 in, A500 C"
"""


def _round(name: str, *swaps: tuple[str, str]) -> str:
    text = JOBS[name].replace("\n[top]", "\n" + ROUND + "[top]", 1)
    for old, new in swaps:
        assert old in text, old
        text = text.replace(old, new)
    return text


# Round branches on round tube (legs, a column), on flat faces (posts on flat bars), and square ones on round.
ROUND_JOBS = {
    "round legs and rails": _round("four legs", ('legs = { stock = "post"', 'legs = { stock = "pipe"'),
                                   ('rails = { stock = "bar" }', 'rails = { stock = "small" }')),
    "splayed round legs": _round("splayed legs", ('legs = { stock = "post"', 'legs = { stock = "pipe"'),
                                 ('rails = { stock = "bar" }', 'rails = { stock = "small" }')),
    "round posts on flat bars": _round("trestles", ('trestles.posts = { stock = "post"', 'trestles.posts = { stock = "small"'),
                                       ('trestles.rail = { stock = "bar" }', 'trestles.rail = { stock = "small" }'),
                                       ('stretcher = { stock = "bar"', 'stretcher = { stock = "small"')),
    "round column, round arms": _round("pedestal", ('column = { stock = "column" }', 'column = { stock = "column4" }'),
                                       ('spider = { stock = "bar", lies = "flat"', 'spider = { stock = "pipe"'),
                                       ('foot = { stock = "bar", lies = "flat"', 'foot = { stock = "pipe"')),
    "round column, square arms": _round("pedestal", ('column = { stock = "column" }', 'column = { stock = "column4" }')),
}
