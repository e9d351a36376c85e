"""Dotted names of bars, feet and pieces as a person says them: `trestle.left.post.front` is the front post of the
left trestle. Names of checks and keys of the job file stay as they are."""

from __future__ import annotations

import re

FRAMES = ("trestle", "frame", "podium")  # what stands by itself and has bars of its own
BARS = {"foot": "foot bar", "head": "head bar", "top": "upper bar", "bottom": "lower bar", "middle": "middle bar"}
# "outer front left post": in this order, whatever the order in the name
SIDES = ("outer", "inner", "front", "back", "left", "right", "middle")
_ONE = (
    r"(?<![\w./])(?:(?:trestle|frame|podium)\.(?:left|right|middle|foot|head|post|rail)|(?:leg|foot|plate|rail|stretcher|arm)"
    r"\.(?:left|right|front|back|middle|outer|inner|\d+|[a-z]\b))(?:\.[a-z]+|\.\d+)*(?![\w/]|\.\w)")
_NAME = re.compile(_ONE, re.IGNORECASE)
_JOINT = re.compile(f"({_ONE}) to ({_ONE})", re.IGNORECASE)


def words_of(name: str) -> str:
    """A name in words: `foot.left.front` the "front left foot", `trestle.head` (all of them) "head bar of a trestle"."""
    first, *rest = name.split(".")
    if not rest:
        return first
    if first not in FRAMES:
        return _sided(first, rest)
    own = [rest[0]] if rest[0] in SIDES else []
    bar = rest[len(own):]
    frame = _sided(first, own)
    if not bar:
        return frame
    return f"{_sided(BARS.get(bar[0], bar[0]), bar[1:])} of {'the' if own else 'a'} {frame}"


def kind_of(name: str) -> str:
    """The kind of bar in a name, in one word or two: `trestle.left.post.front` is a post."""
    first, *rest = name.split(".")
    if first not in FRAMES:
        return first
    bar = rest[1:] if rest and rest[0] in SIDES else rest
    return BARS[bar[0]] if bar and bar[0] in ("top", "bottom", "middle") else bar[0] if bar else first


def _sided(thing: str, parts: list[str]) -> str:
    sides = [side for side in SIDES if side in parts]
    return " ".join([*sides, thing, *(p for p in parts if p not in SIDES)])


def in_words(text: str) -> str:
    """A text with every name of a bar, foot or piece said in words."""
    return _NAME.sub(lambda found: _like(found.group(), words_of(found.group().lower())), _JOINT.sub(_joint, text))


def _joint(found: re.Match) -> str:
    """Branch and host within one trestle name it once."""
    branch, host = (words_of(name.lower()) for name in found.groups())
    (_, _, where), (_, _, there) = branch.partition(" of "), host.partition(" of ")
    words = f"{branch.removesuffix(' of ' + where)} to {host}" if where and where == there else f"{branch} to {host}"
    return _like(found.group(), words)


def _like(name: str, words: str) -> str:
    return words[:1].upper() + words[1:] if name[0].isupper() else words
