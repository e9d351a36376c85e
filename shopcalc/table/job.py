"""The job file: one TOML that says what the table is, read into a frozen model or refused with the field."""

from __future__ import annotations

import difflib
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, Literal, get_args, get_origin

import pint
from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError

from shopcalc.errors import InputError, readable
from shopcalc.stock.shapes import Shape, read_stock
from shopcalc.stock.tubes import Tube
from shopcalc.stock.woods import Wood, wood
from shopcalc.table.loads import load_example, load_keys, load_unit
from shopcalc.units import magnitude, read_quantity, tidy

FORMAT = 1
CODE = "AISC 360-22"
LARGEST_JOB = 200_000  # characters
LONGEST_LINE = 500  # texts in quotes left out: a key of thousands of dots takes a reader minutes
LONGEST_WORDS = 120


def size(unit: str, low: float, high: float, example: str):
    """A field that reads a quantity of a unit's dimension between two bounds in that unit."""
    def read(text):
        return read_quantity(text, unit, "", low=low, high=high, example=example)

    return Annotated[Any, BeforeValidator(read), Field(examples=[example])]


Length = size("inch", 0.01, 600, "36 in")
Offset = size("inch", 0, 600, "1-1/2 in")
Thickness = size("inch", 0.25, 6, "1-3/4 in")
Height = size("inch", 4, 60, "28-1/4 in")
Signed = size("inch", -600, 600, "-12 in")
Leg = size("inch", 0.03, 1, "1/8 in")
Spread = size("psf", 0, 500, "20 psf")
PointLoad = size("lbf", 0, 5000, "300 lbf")


def _percent(low: float, high: float, example: str):
    def read(text):
        value = read_quantity(text, "percent", "", low=low, high=high, example=example)
        return float(value.to("").magnitude)

    return Annotated[float, BeforeValidator(read), Field(examples=[example])]


Moisture = _percent(1, 30, "8 %")

_SPAN_RATIO_RE = re.compile(r"L\s*/\s*(\d{2,4})")


def _span_ratio(text) -> float:
    plain = tidy(text, "", "a part of the span", "L/360")
    match = _SPAN_RATIO_RE.fullmatch(plain)
    if not match or not 50 <= int(match[1]) <= 2000:
        raise InputError(field="", value=text, need="a part of the span between L/50 and L/2000", example="L/360")
    return 1 / int(match[1])


SpanRatio = Annotated[float, BeforeValidator(_span_ratio), Field(examples=["L/360"])]


def _words(text) -> str:
    """One line of words in any language."""
    if not isinstance(text, str) or not text.strip() or not text.isprintable() or len(text) > LONGEST_WORDS:
        raise InputError(field="", value=text, need=f"one line of words in quotes, up to {LONGEST_WORDS} characters",
                         example="as the shop would say it")
    return text.strip()


_NAME_RE = re.compile(r"[\w][\w .+-]{0,39}")


def _name(text) -> str:
    """The job's own name of a thing: it becomes part of what a check is called."""
    if not isinstance(text, str) or not _NAME_RE.fullmatch(text):
        raise InputError(field="", value=text, need="a name of letters, digits, spaces, dots and dashes, up to 40", example="post")
    return text


Words = Annotated[str, BeforeValidator(_words), Field(examples=["a line of words"])]


def _wood(text) -> Wood:
    return wood(tidy(text, "", "a wood of the list", "white oak"), "")


def _stock(text) -> Tube | Shape:
    return read_stock(text, "")


class Table(BaseModel):
    """A table of the job file: unknown keys are refused, values cannot be changed."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)


class Settings(Table):
    code: Annotated[Literal["AISC 360-22"], Field(examples=[CODE])] = CODE
    method: Annotated[Literal["ASD", "LRFD"], Field(examples=["ASD"])] = "ASD"
    units: Annotated[Literal["inch", "mm"], Field(examples=["inch"])] = "inch"
    public_use: Annotated[bool, Field(strict=True, examples=["true"])] = False


class Top(Table):
    wood: Annotated[Any, BeforeValidator(_wood), Field(examples=["white oak"])]
    shape: Annotated[Literal["rectangle", "round"], Field(examples=["rectangle"])] = "rectangle"
    length: Length
    width: Length
    thickness: Thickness
    moisture: Moisture | None = None


Lies = Annotated[Literal["upright", "flat"], Field(examples=["flat"])]
StockName = Annotated[str, Field(strict=True, examples=["rail"])]
NewName = Annotated[str, BeforeValidator(_name), Field(examples=["rail"])]


def one_of(*allowed: int):
    """A whole number of a short list."""
    def read(value):
        if type(value) is not int or value not in allowed:
            raise InputError(field="", value=value, need="one of " + ", ".join(map(str, allowed)), example=str(allowed[-1]))
        return value

    return Annotated[int, BeforeValidator(read), Field(examples=[str(allowed[-1])])]


class Rail(Table):
    """A bar between others, of one of the job's stock names. A rectangular tube stands upright or lies flat."""

    stock: StockName
    lies: Lies = "upright"


class Part(Rail):
    """A bar with a length of its own."""

    length: Length


class Posts(Table):
    """Posts of a trestle: middles apart at the foot bar, and at the head bar where they lean (A shape)."""

    stock: StockName
    count: one_of(1, 2) = 2
    apart: Length | None = None
    apart_top: Offset | None = None
    crossed: Annotated[bool, Field(strict=True, examples=["true"])] = False


class Trestles(Table):
    """Alike welded frames across the table: foot bar, posts, rail between the posts, head bar."""

    count: one_of(2, 3) = 2
    apart: Length
    foot: Part
    posts: Posts
    head: Part
    rail: Rail | None = None


class Stretcher(Rail):
    above_floor: Length
    count: one_of(1, 2) = 1


class Feet(Table):
    kind: Annotated[Literal["leveller", "plain", "pads", "casters"], Field(examples=["leveller"])]
    height: Offset
    from_end: Offset | None = None
    travel: Offset | None = None


class Legs(Table):
    """Four legs: middles apart along and across at the top, and how far each foot stands out (splay)."""

    stock: StockName
    along: Length
    across: Length
    splay_along: Offset | None = None
    splay_across: Offset | None = None


class LegStretchers(Rail):
    shape: Annotated[Literal["H", "box"], Field(examples=["H"])]
    above_floor: Length


class Arms(Rail):
    """Arms round a column, each reaching out from its axis."""

    count: one_of(3, 4, 5, 6, 8) = 4
    reach: Length


class CFrame(Table):
    """A C seen from the end: foot bar, one post at the back, head bar that reaches forward from it."""

    count: one_of(2, 3) = 2
    apart: Length
    foot: Part
    post: Rail
    head: Part
    post_from_back: Offset


class Podium(Table):
    """A framed box: length along the table, width across, of one bar; clad with sheet on its four sides."""

    count: one_of(2) = 2
    apart: Length
    length: Length
    width: Length
    frame: Rail
    sheet: size("inch", 0.015, 0.25, "0.0598 in") | None = None
    fixing: Annotated[Literal["welded all round", "screwed", "taped"], Field(examples=["screwed"])] = "screwed"


class TrestleBase(Table):
    style: Literal["trestles"]
    height: Height
    trestles: Trestles
    stretcher: Stretcher
    feet: Feet


class LegBase(Table):
    style: Literal["four legs"]
    height: Height
    legs: Legs
    rails: Rail
    stretchers: LegStretchers | None = None
    feet: Feet


class PedestalBase(Table):
    style: Literal["pedestal"]
    height: Height
    column: Rail
    spider: Arms
    foot: Arms
    feet: Feet


class CFrameBase(Table):
    style: Literal["C-frames"]
    height: Height
    frames: CFrame
    stretcher: Stretcher
    feet: Feet


class PodiumBase(Table):
    style: Literal["podiums"]
    height: Height
    podiums: Podium
    stretcher: Stretcher
    feet: Feet


class NamedBar(Rail):
    first: StockName
    second: StockName
    piece: NewName = "base"


class NamedBase(Table):
    """A base that no style describes: named points (x, y, z), bars between them, feet and bars that carry the top."""

    style: Literal["points"]
    height: Height
    points: dict[NewName, tuple[Signed, Signed, Signed]]
    bars: dict[NewName, NamedBar]
    standing_on: tuple[StockName, ...]
    carried_by: tuple[StockName, ...]
    feet: Feet


Base = Annotated[TrestleBase | LegBase | PedestalBase | CFrameBase | PodiumBase | NamedBase,
                 Field(discriminator="style")]
BASES = (TrestleBase, LegBase, PedestalBase, CFrameBase, PodiumBase, NamedBase)
STYLES = ("trestles", "four legs", "pedestal", "C-frames", "podiums", "points")


class Weld(Table):
    weld: Annotated[Literal["fillet all round"], Field(examples=["fillet all round"])]
    leg: Leg
    filler: Annotated[Literal["E60", "E70"], Field(examples=["E70"])] = "E70"


class Bolts(Table):
    """A bolted joint of a branch on a face. hole: how much wider the holes are than the bolts."""

    bolts: one_of(1, 2, 3, 4, 6, 8)
    size: size("inch", 0.1, 1.5, "3/8 in")
    apart: Length | None = None
    hole: size("inch", 0, 0.25, "1/16 in") | None = None
    plate: size("inch", 0.05, 1.5, "3/8 in") | None = None
    comes_apart: Annotated[bool, Field(strict=True, examples=["true"])] = True


def _joint(value):
    if isinstance(value, dict) and "bolts" in value:
        return Bolts.model_validate(value)
    return Weld.model_validate(value)


JointChoice = Annotated[Any, BeforeValidator(_joint), Field(examples=['{ weld = "fillet all round", leg = "1/8 in" }'])]


class Limits(Table):
    """Each is the job's choice; what is left out takes the named default and is printed as assumed."""

    sag: SpanRatio | None = None
    overhang: size("inch", 0.01, 3, "1/4 in") | None = None
    righting: Annotated[float | None, Field(ge=1, le=5, strict=True, examples=["1.5"])] = None
    house_sway: size("inch", 0.001, 5, "1/4 in") | None = None
    house_sway_dated: Words | None = None


class Floor(Table):
    slope: size("", 0, 0.1, "1/8 in/ft") | None = None


class Evidence(Table):
    """What was measured or certified, by stock name."""

    walls: dict[str, size("inch", 0.02, 0.5, "0.118 in")] = Field(default_factory=dict, examples=['{ post = "0.118 in" }'])
    weighed_top: size("lb", 1, 5000, "310 lb") | None = None


_PRICE_RE = re.compile(r"(\d{1,6}(?:\.\d{1,4})?)\s*([A-Z]{3})\s*/\s*(lb|kg|ft|m)")


@dataclass(frozen=True)
class Price:
    """A price per mass or per length, in the job's own currency word."""

    amount: float
    currency: str
    per: str

    def of(self, mass: pint.Quantity, length: pint.Quantity) -> str:
        """What a bar of that mass and length costs, as it prints."""
        count = magnitude(mass if self.per in ("lb", "kg") else length, {"ft": "foot"}.get(self.per, self.per))
        return f"{self.amount * float(count):,.2f} {self.currency}"


def _price(text) -> Price:
    match = _PRICE_RE.fullmatch(tidy(text, "", "a price with its currency and unit", "1.20 USD/lb"))
    if not match or float(match[1]) <= 0:
        raise InputError(field="", value=text, need="a price over zero per lb, kg, ft or m with a currency of three letters",
                         example="1.20 USD/lb")
    return Price(float(match[1]), match[2], match[3])


class Prices(Table):
    tube: Annotated[Any, BeforeValidator(_price), Field(examples=["1.20 USD/lb"])] = None


class LoadChoice(Table):
    value: Annotated[Any, Field(examples=["20 psf"])]
    reason: Words


class Model(Table):
    """The whole file, before stock names are looked up."""

    format: Annotated[Literal[1], Field(examples=["1"])]
    job: Words
    settings: Settings = Settings()
    stock: dict[NewName, Annotated[Any, BeforeValidator(_stock)]] = Field(
        examples=['{ post = "square tube 2-1/2 in x 11 ga, A513" }'], min_length=1)
    top: Top
    base: Base
    joints: dict[str, JointChoice]
    loads: dict[str, LoadChoice] = Field(default_factory=dict)
    limits: Limits = Limits()
    floor: Floor = Floor()
    evidence: Evidence = Evidence()
    prices: Prices = Prices()


# Named in the format, not used yet: a job may not carry them until a room reads them.
NOT_READ_YET = ("people", "assembly", "delivery")


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
