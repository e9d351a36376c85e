"""The job file: one TOML that says what the table is, read into a frozen model or refused with the field."""

from __future__ import annotations

import difflib
import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any, get_args, get_origin

import pint
from pydantic import BaseModel, ValidationError

from shopcalc.errors import InputError, readable
from shopcalc.stock.shapes import Shape
from shopcalc.stock.tubes import Tube
from shopcalc.table.jobfile.base import BASES, STYLES, TrestleBase
from shopcalc.table.jobfile.fields import LONGEST_WORDS
from shopcalc.table.jobfile.joints import Bolts, JointChoice, Weld, made_as
from shopcalc.table.jobfile.model import Model
from shopcalc.table.loads import load_example, load_keys, load_unit
from shopcalc.units import read_quantity

FORMAT = 1
LARGEST_JOB = 200_000  # characters
LONGEST_LINE = 500  # texts in quotes left out: a key of thousands of dots takes a reader minutes

# Named in the format, not used yet: a job may not carry them until a room reads them.
NOT_READ_YET = ("delivery",)


class Job:
    """A job: the model, its text, and its tubes by stock name (measured walls applied)."""

    def __init__(self, model: Model, text: str):
        self.model, self.text = model, text
        self.name = model.job
        self.code, self.method, self.system = model.settings.code, model.settings.method, model.settings.units
        self.tubes: dict[str, Tube | Shape] = dict(model.stock)
        for name, wall in model.evidence.walls.items():
            if name not in self.tubes:
                raise _unknown_name(f"evidence.walls.{name}", name, self.tubes)
            if not isinstance(self.tubes[name], Tube):
                raise InputError(field=f"evidence.walls.{name}", value=name, need="a stock name that is a tube")
            self.tubes[name] = _measured(self.tubes[name], wall, f"evidence.walls.{name}")
        self.overrides: dict[str, tuple[pint.Quantity, str]] = {}
        for key, choice in model.loads.items():
            if key not in load_keys():
                raise _unknown_name(f"loads.{key}", key, load_keys())
            unit = load_unit(key)
            example = load_example(key)
            try:
                value = read_quantity(choice.value, unit, "", low=0, high=5000, example=example)
            except InputError as error:
                raise InputError(field=f"loads.{key}.value", value=choice.value, need=error.need,
                                 example=f"value = {_quoted(example)}") from None
            self.overrides[key] = (value, choice.reason)

    def tube(self, name: str, field: str, lies: str = "upright") -> Tube | Shape:
        """The tube or bar of a stock name as it lies in the table."""
        if name not in self.tubes:
            raise _unknown_name(f"{field}.stock", name, self.tubes, "stock = ")
        found = self.tubes[name]
        return found.turned() if lies == "flat" else found

    def joint(self, kind: str) -> Weld | Bolts:
        """How the job makes a kind of joint ("post to head"). Missing joints are refused, not guessed."""
        key = kind.replace(" ", "_")
        if key not in self.model.joints:
            raise InputError(field=f"joints.{key}", value=None, need="how this joint is made: the kit does not guess it",
                             example=f'{key} = {{ weld = "fillet all round", leg = "1/8 in" }}')
        return self.model.joints[key]


def _measured(tube: Tube, wall: pint.Quantity, field: str) -> Tube:
    try:
        return tube.with_measured_wall(wall)
    except InputError as error:
        raise InputError(field=field, value=f"{wall:~P}", need=error.need, example=error.example) from None


def _unknown_name(field: str, value: str, known, key: str = "") -> InputError:
    near = difflib.get_close_matches(value[:LONGEST_WORDS], list(known), n=1, cutoff=0.5)
    hint = f" (did you mean {near[0]}?)" if near else ""
    example = near[0] if near else next(iter(known), "")
    return InputError(field=_shown(field), value=value, need="one of " + ", ".join(known) + hint,
                      example=f"{key}{_quoted(example)}" if key else example)


def load_job(path: str | Path) -> Job:
    """A job from a file. Raises InputError that names the field, the value and a good example."""
    path = Path(path)
    try:
        if not path.exists():
            raise InputError(field="job file", value=str(path), need="a file that exists",
                             example="notebooks/jobs/archive_map_table.toml")
        if not path.is_file():  # a folder, or a device that never ends
            raise InputError(field="job file", value=str(path), need="an ordinary file")
        if path.stat().st_size > LARGEST_JOB:
            raise InputError(field=path.name, value=f"{path.stat().st_size} bytes",
                             need=f"a job file under {LARGEST_JOB} bytes")
        text = path.read_bytes().decode("utf-8")
    except UnicodeDecodeError:
        raise InputError(field="job file", value=path.name, need="plain UTF-8 text") from None
    except OSError as error:
        raise InputError(field="job file", value=str(path), need=f"a file that can be read ({error.strerror})") from None
    return read_job(text, path.name)


_IN_QUOTES_RE = re.compile(r'"[^"\\]*(?:\\.[^"\\]*)*"|\'[^\']*\'')


def read_job(text: str, name: str = "job") -> Job:
    """A job from TOML text."""
    if len(text) > LARGEST_JOB:
        raise InputError(field=name, value=f"{len(text)} characters", need=f"a job under {LARGEST_JOB} characters")
    text = text.removeprefix("\ufeff").replace("\r\n", "\n")
    for number, line in enumerate(text.split("\n"), 1):
        if len(line) > LONGEST_LINE and not line.lstrip().startswith("#") and len(_IN_QUOTES_RE.sub("", line)) > LONGEST_LINE:
            raise InputError(field=f"{name}: line {number}", value=line, example='length = "10 ft 6 in"',
                             need=f"a key and its value in at most {LONGEST_LINE} characters")
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError(field=name, value=_broken_line(text, str(error)), need=f"valid TOML ({_shown(str(error))})",
                         example='length = "10 ft 6 in"') from None
    except ValueError:  # Python reads no whole number of more than 4300 digits
        raise InputError(field=name, value="a whole number of thousands of digits", need="numbers of ordinary size") from None
    except RecursionError:
        raise InputError(field=name, value="tables nested too deep", need="an ordinary job file") from None
    came = data.get("format")
    if type(came) is not int or came != FORMAT:
        raise InputError(field="format", value=came, need=f"format = {FORMAT} as the first line",
                         example=f"format = {FORMAT}")
    return _job_of(data, text)


def _job_of(data: dict, text: str) -> Job:
    for key in NOT_READ_YET:
        if key in data:
            raise InputError(field=key, value="a table", example="leave it out",
                             need="no such table yet: nothing reads it, and the kit does not pretend to")
    try:
        model = Model.model_validate(data)
    except ValidationError as error:
        raise _first(error, data) from None
    return Job(model, text)


def vary(job: Job, changes: Mapping[str, object]) -> Job:
    """The job with other values: {"base.trestles.apart": "72 in"}. For controls and what-if questions: the text
    stays that of the job, so a varied job is never recorded."""
    data = tomllib.loads(job.text)
    for path, value in changes.items():
        *tables, key = path.split(".")
        place = data
        for name in tables:
            place = place.setdefault(name, {})
        place[key] = value
    return _job_of(data, job.text)


def _broken_line(text: str, message: str) -> str:
    match = re.search(r"line (\d+)", message)
    lines = text.splitlines()
    return lines[int(match[1]) - 1] if match and int(match[1]) <= len(lines) else "the text"


def _shown(text: str) -> str:
    """Words of the job as they may stand in a message: printable, and no longer than a line."""
    plain = "".join(c if c.isprintable() else f"\\x{ord(c):02x}" for c in text[:200])
    return plain if len(text) <= 200 else plain + "..."


def _first(error: ValidationError, data: dict) -> InputError:
    """The first complaint, told as field, value, need and example. Unknown keys come first: a misspelt key
    is also a missing one."""
    complaints = error.errors(include_url=False)
    chosen = next((c for c in complaints if c["type"] == "extra_forbidden"), complaints[0])
    path = [str(p) for i, p in enumerate(chosen["loc"]) if not (i == 1 and chosen["loc"][0] == "base" and p in STYLES)]
    if chosen["type"] in ("union_tag_invalid", "union_tag_not_found"):
        return _unknown_style(data["base"])
    named = path[-1] == "[key]"  # the name of a thing is at fault, not what stands under it
    path = path[:-1] if named else path
    field = _shown(".".join(path))
    inner = chosen.get("ctx", {}).get("error")
    if isinstance(inner, InputError):
        sub = inner.field.lstrip(": ")
        value = path[-1] if named else _raw(data, path)
        key = "" if named or path[-1].isdigit() else f"{path[-1]} = "
        return InputError(field=f"{field}: {sub}" if sub else field, value=value, need=inner.need,
                          example=_shown(f"{key}{_quoted(inner.example)}") if inner.example else "")
    base = data.get("base")
    names, example = _model_at(path, base)
    if path[0] == "joints" and len(path) == 3:  # which keys there are follows from what the joint is
        kind = made_as(data["joints"][path[1]]).model_fields
        names, example = list(kind), (kind[path[2]].examples or [""])[0] if path[2] in kind else ""
    if chosen["type"] == "extra_forbidden":
        near = difflib.get_close_matches(path[-1][:LONGEST_WORDS], names, n=1, cutoff=0.5)
        hint = f" (did you mean {near[0]}?)" if near else ""
        return InputError(field=field, value=path[-1], need=f"a key this table has{hint}: " + ", ".join(names),
                          example=near[0] if near else (names[0] if names else ""))
    example = (_quoted(example) if path[-1].isdigit() else f"{path[-1]} = {_quoted(example)}") if example else ""
    if chosen["type"] == "missing":
        return InputError(field=field, value=None, need="this key: the kit does not guess it",
                          example=_shown(example or f"[{field}]"))
    return InputError(field=field, value=_raw(data, path), need=_need(chosen), example=_shown(example))


def _need(complaint: dict) -> str:
    """What a complaint of the model asks for, in plain words."""
    plain = {"model_type": "a table", "model_attributes_type": "a table", "dict_type": "a table", "string_type": "text in quotes",
             "bool_type": "true or false", "float_type": "a plain number", "tuple_type": "a list in square brackets",
             "too_short": "at least one entry", "missing_argument": "a list of that many sizes"}
    words = plain.get(complaint["type"], complaint["msg"].removeprefix("Input should be "))
    return _shown(words[:1].lower() + words[1:])


def _unknown_style(base: dict) -> InputError:
    style = base.get("style") if isinstance(base, dict) else None
    near = difflib.get_close_matches(style[:LONGEST_WORDS], STYLES, n=1, cutoff=0.5) if isinstance(style, str) else []
    hint = f" (did you mean {near[0]}?)" if near else ""
    return InputError(field="base.style", value=style, need="one of " + ", ".join(STYLES) + hint,
                      example=f'style = "{near[0] if near else STYLES[0]}"')


def _quoted(example: str) -> str:
    if re.fullmatch(r"\d+(\.\d+)?|true|false|\{.*\}|\[.*\]", example):
        return example
    return f"'{example}'" if '"' in example else f'"{example}"'


def _raw(data, path: list[str]):
    for part in path:
        if isinstance(data, list) and part.isdigit() and int(part) < len(data):
            data = data[int(part)]
            continue
        if not isinstance(data, dict) or part not in data:
            return "something of another form" if data is None else readable(data)
        data = data[part]
    return data


def _model_at(path: list[str], base) -> tuple[list[str], str]:
    """Keys of the table that the last part of a path belongs to, and an example for that part."""
    kind: Any = Model
    for part in path[:-1]:
        kind = _under(kind, part, base)
    if get_origin(kind) is dict:
        return [], _ENTRIES.get(path[0] if path[0] != "base" else path[1], "")
    if kind is None:
        return [], ""
    own = kind.model_fields.get(path[-1])
    return list(kind.model_fields), (own.examples or [""])[0] if own is not None else ""


def _under(kind, key: str, base):
    """What stands under a key of a table: a table, a table of things that the job names, or None."""
    if get_origin(kind) is dict:
        inner = get_args(kind)[1]
        inner = Weld if inner == JointChoice else inner
    elif kind is Model and key == "base":
        style = base.get("style") if isinstance(base, dict) else None
        inner = next((k for k in BASES if style == get_args(k.model_fields["style"].annotation)[0]), TrestleBase)
    else:
        field = kind.model_fields.get(key) if kind is not None else None
        inner = field.annotation if field is not None else None
    known = [k for k in (inner, *get_args(inner)) if get_origin(k) is dict or isinstance(k, type) and issubclass(k, BaseModel)]
    return known[0] if known else None


# Examples of what stands under a name of the job's own.
_ENTRIES = {"stock": "square tube 2 in x 11 ga, A513", "joints": '{ weld = "fillet all round", leg = "1/8 in" }',
            "loads": '{ value = "20 psf", reason = "agreed with the client" }', "walls": "0.118 in",
            "points": '["30 in", "-12 in", "0 in"]', "bars": '{ stock = "rail", first = "A", second = "B" }'}
