"""Two or three trestles across the table, joined by one or two stretchers.

Posts may be one (a T), two upright, two that lean together (an A) or two that cross (an X).
"""

from __future__ import annotations

from shopcalc.errors import InputError
from shopcalc.table.assembly import Assembly
from shopcalc.table.bases.fit import Fit, metres
from shopcalc.table.job import Job
from shopcalc.table.jobfile.base import TrestleBase

SEATS_ACROSS = 5


def side_names(count: int) -> list[str]:
    return ["left", "right"] if count == 2 else ["left", "middle", "right"]


def trestle_base(job: Job, base: TrestleBase) -> Assembly:
    t, a = base.trestles, Assembly()
    fit = Fit(job)
    foot, head = (job.tube(p.stock, f"base.trestles.{n}", p.lies) for n, p in (("foot", t.foot), ("head", t.head)))
    post = job.tube(t.posts.stock, "base.trestles.posts")
    rail = None if t.rail is None else job.tube(t.rail.stock, "base.trestles.rail", t.rail.lies)
    stretcher = job.tube(base.stretcher.stock, "base.stretcher", base.stretcher.lies)
    z_foot = metres(base.feet.height) + fit.half_height(foot)
    z_head = metres(base.height) - fit.half_height(head)
    z_rail = metres(base.stretcher.above_floor)
    reach = z_head - fit.half_height(head) - z_foot - fit.half_height(foot)
    fit.need(t.posts.taper is None or not t.posts.crossed, "base.trestles.posts.taper", "a taper", "none where posts cross", "crossed = true")
    taper = fit.tapered(post, t.posts.taper, "base.trestles.posts.taper", reach) if reach > 0 else {}
    _check(fit, job, base, foot, head, post, rail, stretcher, z_foot, z_head, z_rail, taper)

    half = metres(t.apart) / 2
    low = 0.0 if t.posts.count == 1 else metres(t.posts.apart) / 2
    high = low if t.posts.apart_top is None else metres(t.posts.apart_top) / 2
    if t.posts.crossed:
        high = -high
    names = side_names(t.count)
    for side, x in zip(names, (-half, half) if t.count == 2 else (-half, 0.0, half), strict=True):
        piece = f"trestle.{side}"
        y_foot, y_head = metres(t.foot.length) / 2, metres(t.head.length) / 2
        a.bar(f"{piece}.foot", piece, t.foot.stock, foot, (x, -y_foot, z_foot), (x, y_foot, z_foot))
        a.bar(f"{piece}.head", piece, t.head.stock, head, (x, -y_head, z_head), (x, y_head, z_head))
        places = [("middle", 0.0)] if t.posts.count == 1 else [("front", -1.0), ("back", 1.0)]
        for place, sign in places:
            name = f"{piece}.post" + ("" if t.posts.count == 1 else f".{place}")
            a.bar(name, piece, t.posts.stock, post, (x, sign * low, z_foot + fit.half_height(foot)),
                  (x, sign * high, z_head - fit.half_height(head)), **taper)
            a.join("post to foot", name, 0, f"{piece}.foot")
            a.join("post to head", name, 1, f"{piece}.head")
        if t.posts.crossed:
            a.cross("post to post", f"{piece}.post.front", f"{piece}.post.back")
        if rail is not None:
            _rail(a, t, piece, rail, x, z_rail)
        for place, sign in (("front", -1), ("back", 1)):
            y = sign * (y_foot - metres(base.feet.from_end, 0.0))
            a.foot(f"foot.{side}.{place}", f"{piece}.foot", (x, y, 0.0))
        for i in range(SEATS_ACROSS):
            y = y_head * (2 * i / (SEATS_ACROSS - 1) - 1)
            a.seat(f"seat.{side}.{i + 1}", f"{piece}.head", (x, y, z_head))
    _stretchers(a, fit, base, names, rail, stretcher, z_rail)
    return a


def _rail(a: Assembly, t, piece: str, rail, x: float, z: float) -> None:
    front, back = a.members[f"{piece}.post.front"], a.members[f"{piece}.post.back"]
    ends = []
    for bar, sign in ((front, 1), (back, -1)):
        along = (z - bar.first[2]) / bar.direction[2]
        ends.append((x, bar.point_at(along)[1] + sign * bar.at(along).width / 2, z))
    a.bar(f"{piece}.rail", piece, t.rail.stock, rail, *ends)
    a.join("rail to post", f"{piece}.rail", 0, front.name)
    a.join("rail to post", f"{piece}.rail", 1, back.name)


def _stretchers(a: Assembly, fit: Fit, base: TrestleBase, sides: list[str], rail, stretcher, z: float) -> None:
    """From trestle to trestle: one on the rails or on single posts, two from post to post."""
    t = base.trestles
    post = a.members[f"trestle.{sides[0]}.post" + ("" if t.posts.count == 1 else ".front")]
    post = post.at((z - post.first[2]) / post.direction[2])
    for one, two in zip(sides, sides[1:], strict=False):
        x1, x2 = (a.members[f"trestle.{s}.foot"].first[0] for s in (one, two))
        tail = "" if len(sides) == 2 else f".{one}"
        if base.stretcher.count == 2:
            rows = [(f"stretcher{tail}.{p}", f"post.{p}") for p in ("front", "back")]
            kind, face = "stretcher to post", post.height / 2
        elif t.posts.count == 1:
            rows, kind, face = [(f"stretcher{tail}", "post")], "stretcher to post", post.height / 2
        else:
            rows, kind, face = [(f"stretcher{tail}", "rail")], "stretcher to rail", fit.half_width(rail)
        for name, host in rows:
            bars = [a.members[f"trestle.{s}.{host}"] for s in (one, two)]
            y = 0.0 if host == "rail" else bars[0].point_at((z - bars[0].first[2]) / bars[0].direction[2])[1]
            a.bar(name, "stretcher" if not tail else f"stretcher{tail}", base.stretcher.stock, stretcher,
                  (x1 + face, y, z), (x2 - face, y, z))
            a.join(kind, name, 0, bars[0].name)
            a.join(kind, name, 1, bars[1].name)


def _check(fit: Fit, job: Job, base: TrestleBase, foot, head, post, rail, stretcher, z_foot, z_head, z_rail, taper) -> None:
    t, top = base.trestles, job.model.top
    p = t.posts
    if p.count == 2 and p.apart is None:
        raise InputError(field="base.trestles.posts.apart", value=None, need="the distance between the two posts",
                         example='apart = "22 in"')
    if p.count == 1 and (p.apart is not None or p.apart_top is not None or p.crossed):
        raise InputError(field="base.trestles.posts.apart", value="a distance", need="none for a single post",
                         example='posts = { stock = "post", count = 1 }')
    if p.count == 2 and base.stretcher.count == 1 and t.rail is None:
        raise InputError(field="base.trestles.rail", value=None, example='rail = { stock = "rail" }',
                         need="a rail between the posts for the one stretcher to stand on, or two stretchers")
    if p.count == 1 and (t.rail is not None or base.stretcher.count == 2):
        raise InputError(field="base.trestles.rail", value="a rail or two stretchers", need="neither with a single post")
    if p.crossed and t.rail is not None:
        raise InputError(field="base.trestles.rail", value="a rail", need="none where posts cross: take two stretchers")
    wide = 0.0 if p.apart is None else max(metres(p.apart), metres(p.apart_top, 0.0))
    fit.need(metres(t.apart) + fit.height(post) < metres(top.length), "base.trestles.apart", t.apart,
             f"trestles within the {fit.say(metres(top.length))} of the top", 'apart = "78 in"')
    gap = 2 * fit.height(post) * (t.count - 1)
    fit.need(metres(t.apart) > gap, "base.trestles.apart", t.apart, "trestles that do not touch", 'apart = "78 in"')
    fit.need(metres(t.head.length) <= metres(top.width), "base.trestles.head.length", t.head.length,
             f"a head bar up to the {fit.say(metres(top.width))} width of the top", 'length = "42 in"')
    for name, part in (("foot", t.foot), ("head", t.head)):
        reach = wide + fit.width(post)
        fit.need(metres(part.length) >= reach - 1e-9, f"base.trestles.{name}.length", part.length,
                 f"a bar that reaches over the posts ({fit.say(reach)})", 'length = "40 in"')
    if p.count == 2 and not p.crossed:
        fit.need(metres(p.apart) > 2 * fit.width(post), "base.trestles.posts.apart", p.apart,
                 "posts with room for a rail between them", 'apart = "22 in"')
        fit.need(p.apart_top is None or metres(p.apart_top) >= fit.width(post) - 1e-9, "base.trestles.posts.apart_top", p.apart_top,
                 f"posts beside each other at the head ({fit.say(fit.width(post))} or more)", 'apart_top = "6 in"')
    if p.crossed:
        for field, size in (("apart", p.apart), ("apart_top", p.apart if p.apart_top is None else p.apart_top)):
            fit.need(metres(size) >= 2 * fit.width(post), f"base.trestles.posts.{field}", size,
                     f"crossed posts that part at their ends ({fit.say(2 * fit.width(post))} or more)", f'{field} = "20 in"')
    fit.need(metres(t.foot.length) / 2 - metres(base.feet.from_end, 0.0) > 0.02, "base.feet.from_end", base.feet.from_end,
             "feet within the half length of the foot bar", 'from_end = "1-1/2 in"')
    between = rail if rail is not None else stretcher
    low = z_foot + fit.half_height(foot) + fit.half_height(between)
    high = z_head - fit.half_height(head) - fit.half_height(between)
    fit.need(low < high, "base.height", base.height, "a height with room for posts and a stretcher", 'height = "28-1/4 in"')
    fit.need(low <= z_rail <= high, "base.stretcher.above_floor", base.stretcher.above_floor,
             f"a place between foot bar and head bar ({fit.say(low)} to {fit.say(high)})", 'above_floor = "7 in"')
    fit.face("base.trestles.posts.stock", fit.height(post), fit.width(head))
    fit.face("base.trestles.posts.stock", fit.height(taper.get("tapers_to", post)), fit.width(foot))
    if taper:  # the faces that stretcher and rail meet, where their lower edges are
        low = z_foot + fit.half_height(foot)
        edge = z_rail - fit.half_height(between) - low
        post = taper["tapers_to"].between(post, edge / (z_head - fit.half_height(head) - low - taper["straight"]))
    if rail is not None:
        fit.face("base.trestles.rail.stock", fit.width(rail), fit.height(post))
        fit.face("base.stretcher.stock", fit.height(stretcher), fit.height(rail))
    else:
        fit.face("base.stretcher.stock", fit.width(stretcher), fit.width(post))
