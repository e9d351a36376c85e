"""C-frames, podiums, and a base given by named points."""

from __future__ import annotations

import numpy as np

from shopcalc.errors import InputError
from shopcalc.stock.fasteners import wood_screw
from shopcalc.table.assembly import HAIR, Assembly
from shopcalc.table.bases.fit import Fit, metres
from shopcalc.table.bases.legs import _between
from shopcalc.table.job import Job
from shopcalc.table.jobfile.base import CFrameBase, NamedBase, PodiumBase
from shopcalc.units import magnitude

SEATS_ON_BAR = 5
NEAR = 0.0254  # metres: bars of unlike heights may carry one top on packers


def c_frame_base(job: Job, base: CFrameBase) -> Assembly:
    """Frames open to the front: foot bar, one post near the back, head bar reaching forward from it."""
    a, fit, f = Assembly(), Fit(job), base.frames
    foot, head = (job.tube(p.stock, f"base.frames.{n}", p.lies) for n, p in (("foot", f.foot), ("head", f.head)))
    post = job.tube(f.post.stock, "base.frames.post", f.post.lies)
    stretcher = job.tube(base.stretcher.stock, "base.stretcher", base.stretcher.lies)
    z_foot = metres(base.feet.height) + fit.half_height(foot)
    z_head = metres(base.height) - fit.half_height(head)
    half, top = metres(f.apart) / 2, job.model.top
    gap = 2 * fit.height(post) * (f.count - 1)
    fit.need(metres(f.apart) > gap, "base.frames.apart", f.apart, f"frames that do not touch (over {fit.say(gap)})", 'apart = "60 in"')
    fit.need(metres(f.foot.length) / 2 - metres(base.feet.from_end) > 0.02, "base.feet.from_end", base.feet.from_end,
             "feet within the half length of the foot bar", 'from_end = "1-1/2 in"')
    fit.need(metres(f.head.length) >= 3 * fit.width(post), "base.frames.head.length", f.head.length,
             f"a head bar that reaches forward of the post (over {fit.say(3 * fit.width(post))})", 'length = "24 in"')
    fit.need(metres(f.apart) < metres(top.length), "base.frames.apart", f.apart, "frames within the length of the top", 'apart = "60 in"')
    fit.need(metres(f.head.length) <= metres(top.width), "base.frames.head.length", f.head.length,
             "a head bar within the width of the top", 'length = "24 in"')
    fit.need(fit.half_width(post) <= metres(f.post_from_back) < metres(f.foot.length) / 2, "base.frames.post_from_back", f.post_from_back,
             "a post in the back half of the foot bar", 'post_from_back = "3 in"')
    fit.face("base.frames.post.stock", fit.height(post), min(fit.width(foot), fit.width(head)))
    z = metres(base.stretcher.above_floor)
    fit.need(z_foot + fit.half_height(foot) < z < z_head - fit.half_height(head), "base.stretcher.above_floor", base.stretcher.above_floor,
             "a place between foot bar and head bar", 'above_floor = "8 in"')
    y_back = metres(f.foot.length) / 2
    y_post = y_back - metres(f.post_from_back)
    names = ["left", "right"] if f.count == 2 else ["left", "middle", "right"]
    places = [-half, half] if f.count == 2 else [-half, 0.0, half]
    for side, x in zip(names, places, strict=True):
        piece = f"frame.{side}"
        a.bar(f"{piece}.foot", piece, f.foot.stock, foot, (x, -y_back, z_foot), (x, y_back, z_foot))
        back = y_post + fit.half_width(post)
        a.bar(f"{piece}.head", piece, f.head.stock, head, (x, back - metres(f.head.length), z_head), (x, back, z_head))
        a.bar(f"{piece}.post", piece, f.post.stock, post, (x, y_post, z_foot + fit.half_height(foot)),
              (x, y_post, z_head - fit.half_height(head)))
        a.join("post to foot", f"{piece}.post", 0, f"{piece}.foot")
        a.join("post to head", f"{piece}.post", 1, f"{piece}.head")
        for place, sign in (("front", -1), ("back", 1)):
            a.foot(f"foot.{side}.{place}", f"{piece}.foot", (x, sign * (y_back - metres(base.feet.from_end)), 0.0))
        bar = a.members[f"{piece}.head"]
        for i in range(SEATS_ON_BAR):
            a.seat(f"seat.{side}.{i + 1}", bar.name, bar.point_at(bar.length * i / (SEATS_ON_BAR - 1)))
    for one, two in zip(names, names[1:], strict=False):
        _between(a, fit, "stretcher" if f.count == 2 else f"stretcher.{one}", "stretcher", base.stretcher.stock, stretcher,
                 a.members[f"frame.{one}.post"], a.members[f"frame.{two}.post"], z, "stretcher to post")
    return a


def podium_base(job: Job, base: PodiumBase) -> Assembly:
    """Two framed boxes joined by a stretcher or two. Half of the sheet of a side hangs on each of its two posts; how it stiffens
    the box is a matter of the frame (shear panels)."""
    a, fit, p = Assembly(), Fit(job), base.podiums
    tube = job.tube(p.frame.stock, "base.podiums.frame", p.frame.lies)
    stretcher = job.tube(base.stretcher.stock, "base.stretcher", base.stretcher.lies)
    size = fit.height(tube)
    low, high = metres(base.feet.height) + size / 2, metres(base.height) - size / 2
    half, top = metres(p.apart) / 2, job.model.top
    fit.need(metres(p.apart) + metres(p.length) <= metres(top.length), "base.podiums.apart", p.apart, "podiums under the top", 'apart = "60 in"')
    fit.need(metres(p.width) <= metres(top.width), "base.podiums.width", p.width, "podiums under the top", 'width = "24 in"')
    fit.no_ends(base.feet)
    for field, side, example in (("length", p.length, "16 in"), ("width", p.width, "24 in")):
        fit.need(metres(side) >= 3 * size, f"base.podiums.{field}", side, f"a box with room between its posts (over {fit.say(3 * size)})",
                 f'{field} = "{example}"')
    room = metres(p.length) + size
    fit.need(metres(p.apart) > room, "base.podiums.apart", p.apart, f"podiums that stand apart (over {fit.say(room)})", 'apart = "60 in"')
    z = metres(base.stretcher.above_floor)
    fit.need(low + size < z < high - size, "base.stretcher.above_floor", base.stretcher.above_floor,
             "a place between the lower and the upper bars of the boxes", 'above_floor = "8 in"')
    fit.need(p.screws is None or (p.sheet is not None and p.fixing == "screwed"), "base.podiums.screws", "screws",
             "none where no sheet is screwed on", 'sheet = "0.0598 in", fixing = "screwed"')
    fit.need(p.rated is None or (p.sheet is not None and p.fixing == "taped"), "base.podiums.rated", "a rating", "none where no sheet is taped on",
             'sheet = "0.0598 in", fixing = "taped"')
    if p.screws is not None:
        fit.need(metres(p.screws.every) >= 3 * metres(wood_screw(p.screws.size).D), "base.podiums.screws.every", p.screws.every,
                 "screws three diameters apart or more", 'screws = { size = "#10", every = "4 in" }')
    dx, dy = (metres(p.length) - size) / 2, (metres(p.width) - size) / 2
    clad = 0.0  # per metre of post: nominal thickness, the whole outside of the box, of the steel of its bars
    if p.sheet is not None:
        sheet = metres(p.sheet) * float(magnitude(tube.steel.density, "kg/m**3"))
        clad = sheet * (metres(p.length) + metres(p.width)) / 2 * (high - low + size) / (high - low)
    for side, x in (("left", -half), ("right", half)):
        piece = f"podium.{side}"
        corner = {"outer.front": (-1, -1), "outer.back": (-1, 1), "inner.front": (1, -1), "inner.back": (1, 1)}
        flip = 1 if side == "left" else -1
        for name, (sx, sy) in corner.items():
            a.bar(f"{piece}.post.{name}", piece, p.frame.stock, tube, (x + flip * sx * dx, sy * dy, low - size / 2 + size / 2),
                  (x + flip * sx * dx, sy * dy, high), clad)
        for level, height in (("bottom", low), ("top", high)):
            for bar, (one, two) in {"front": ("outer.front", "inner.front"), "back": ("outer.back", "inner.back"),
                                    "outer": ("outer.front", "outer.back"), "inner": ("inner.front", "inner.back")}.items():
                _between(a, fit, f"{piece}.{level}.{bar}", piece, p.frame.stock, tube, a.members[f"{piece}.post.{one}"],
                         a.members[f"{piece}.post.{two}"], height, "bar to post")
        for bar in ("outer", "inner"):
            m = a.members[f"{piece}.top.{bar}"]
            for i in range(3):
                a.seat(f"seat.{side}.{bar}.{i + 1}", m.name, m.point_at(m.length * i / 2))
        for name in corner:
            post = a.members[f"{piece}.post.{name}"]
            a.foot(f"foot.{side}.{name}", post.name, post.first)
    rows = [("stretcher", "inner")] if base.stretcher.count == 1 else [("stretcher.front", "inner.front"), ("stretcher.back", "inner.back")]
    for side in ("left", "right"):
        if base.stretcher.count == 1:  # a bar across the inner posts for the one stretcher
            _between(a, fit, f"podium.{side}.middle.inner", f"podium.{side}", p.frame.stock, tube,
                     a.members[f"podium.{side}.post.inner.front"], a.members[f"podium.{side}.post.inner.back"], z, "bar to post")
    for name, host in rows:
        hosts = [a.members[f"podium.{s}.middle.inner" if host == "inner" else f"podium.{s}.post.{host}"] for s in ("left", "right")]
        _between(a, fit, name, "stretcher", base.stretcher.stock, stretcher, *hosts, z,
                 "stretcher to bar" if host == "inner" else "stretcher to post")
    return a


def named_base(job: Job, base: NamedBase) -> Assembly:
    """Points and bars as the job names them. Where a bar ends on another's axis or end, the two are joined."""
    a, fit = Assembly(), Fit(job)
    fit.no_ends(base.feet)
    points = {n: tuple(metres(v) for v in p) for n, p in base.points.items()}
    for name, bar in base.bars.items():
        for field in ("first", "second"):
            if getattr(bar, field) not in points:
                raise InputError(field=f"base.bars.{name}.{field}", value=getattr(bar, field), need="a point of base.points: " + ", ".join(points))
        a.bar(name, bar.piece, bar.stock, job.tube(bar.stock, f"base.bars.{name}", bar.lies), points[bar.first], points[bar.second])
    joined: set[tuple[str, str]] = set()
    for name, bar in base.bars.items():
        for end, point in ((0, bar.first), (1, bar.second)):
            host = _host(a, base, name, points[point], joined)
            if host is not None:
                a.join("bar to bar", name, end, host)
                joined.add((name, host))
    for point in base.standing_on:
        if point not in points:
            raise InputError(field="base.standing_on", value=point, need="points of base.points: " + ", ".join(points))
        touching = [n for n, b in base.bars.items() if point in (b.first, b.second)]
        if not touching:
            raise InputError(field="base.standing_on", value=point, need="a point where a bar ends")
        over, height = points[point][2] - metres(base.feet.height), a.members[touching[0]].height
        fit.need(-HAIR <= over <= height, f"base.points.{point}", fit.say(points[point][2]),
                 f"a point that its foot of {fit.say(metres(base.feet.height))} reaches (up to {fit.say(height)} above it)",
                 f'{point} = ["30 in", "-12 in", "0 in"]')
        a.foot(f"foot.{point}", touching[0], points[point])
    for name in base.carried_by:
        if name not in a.members:
            raise InputError(field="base.carried_by", value=name, need="bars of base.bars: " + ", ".join(a.members))
        m = a.members[name]
        fit.need(abs(m.direction[2]) < 0.02, "base.carried_by", name, "bars that lie level", 'carried_by = ["front", "back"]')
        face = m.first[2] + m.half_depth(np.array([0.0, 0.0, 1.0]))
        fit.need(abs(face - metres(base.height)) < NEAR, "base.height", base.height,
                 f"the height of the bars that carry the top: {name} reaches {fit.say(face)}", f'height = "{fit.say(face)}"')
        for i in range(SEATS_ON_BAR):
            place = m.point_at(m.length * i / (SEATS_ON_BAR - 1))
            # One seat where two bars under the top meet.
            if all(np.linalg.norm(np.subtract(place, s.place)) > 100 * HAIR for s in a.seats):
                a.seat(f"seat.{name}.{i + 1}", name, place)
    if len(base.standing_on) < 3 or not base.carried_by:
        raise InputError(field="base.standing_on", value=f"{len(base.standing_on)} feet", need="three feet or more, and a bar that carries the top")
    return a


def _host(a: Assembly, base: NamedBase, name: str, point, joined) -> str | None:
    """The bar that an end stands on: one that passes through the point, else an earlier bar that ends there."""
    names = list(base.bars)
    for other in names:
        if other == name:
            continue
        m = a.members[other]
        along = m.place_of(point)
        off = float(np.linalg.norm(np.subtract(point, m.point_at(min(max(along, 0.0), m.length)))))
        if off > HAIR * 100:
            continue
        inside = HAIR < along < m.length - HAIR
        if inside or (names.index(other) < names.index(name) and (other, name) not in joined):
            return other
    return None
