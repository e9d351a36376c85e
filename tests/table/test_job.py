"""The job file: what is read, and how everything else is refused: field, value, need, an example that itself works,
in milliseconds, never another exception."""

import copy
import datetime
import json
import time
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopcalc.errors import InputError
from shopcalc.table.geometry import build
from shopcalc.table.job import FORMAT, LARGEST_JOB, load_job, read_job, vary
from shopcalc.table.jobfile.base import STYLES
from shopcalc.table.loads import load_cases, load_keys
from shopcalc.units import magnitude

JOBS = Path(__file__).parent.parent.parent / "notebooks" / "jobs"
ARCHIVE = (JOBS / "archive_map_table.toml").read_text(encoding="utf-8")
DEMOS = {p.stem: p.read_text(encoding="utf-8") for p in sorted(JOBS.glob("*.toml"))}


def as_toml(value) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return json.dumps(value).replace("\x7f", "\\u007f")
    if isinstance(value, list):
        return "[" + ", ".join(map(as_toml, value)) + "]"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{json.dumps(k)} = {as_toml(v)}" for k, v in value.items()) + "}"
    return value.isoformat() if isinstance(value, datetime.date) else repr(value)


def job_text(data: dict) -> str:
    """TOML of a job, one table a block, so that no line grows long."""
    lines, blocks = [], []

    def block(path, table):
        inner = [f"{json.dumps(k)} = {as_toml(v)}" for k, v in table.items() if not isinstance(v, dict) or len(path) > 2]
        if inner or not table:
            blocks.append("\n".join([f"[{'.'.join(map(json.dumps, path))}]", *inner]))
        if len(path) <= 2:
            for k, v in table.items():
                if isinstance(v, dict):
                    block((*path, k), v)

    for key, value in data.items():
        if isinstance(value, dict):
            block((key,), value)
        else:
            lines.append(f"{json.dumps(key)} = {as_toml(value)}")
    return "\n".join([*lines, *blocks])


def changed(data: dict, path, value) -> dict:
    data = copy.deepcopy(data)
    place = data
    for part in path[:-1]:
        place = place[part]
    place[path[-1]] = value
    return data


def dropped(data: dict, path) -> dict:
    data = copy.deepcopy(data)
    place = data
    for part in path[:-1]:
        place = place[part]
    del place[path[-1]]
    return data


def entries(table: dict, path=()):
    """(path, value) of every key at every level."""
    for key, value in table.items():
        yield (*path, key), value
        if isinstance(value, dict):
            yield from entries(value, (*path, key))


def refused(text: str, name: str = "job") -> InputError:
    """The refusal of a job, which must come in milliseconds and say all it has to on plain lines."""
    start = time.process_time()
    with pytest.raises(InputError) as caught:
        build(read_job(text, name))
    assert time.process_time() - start < 0.2
    error = caught.value
    assert error.field and error.need
    for words in (error.field, error.value, error.need, error.example):
        assert words.isprintable() and len(words) < 500
    return error


KEYS = [(name, path) for name, text in DEMOS.items() for path, _ in entries(tomllib.loads(text))]
LEAVES = [(name, path, value) for name, text in DEMOS.items() for path, value in entries(tomllib.loads(text))
          if not isinstance(value, dict)]
SIZES = list({row[1] if row[1][0] != "joints" else row[1][-1]: row for row in LEAVES if isinstance(row[2], str) and row[2][:1].isdigit()}.values())


def ids(rows):
    return [f"{row[0]}: {'.'.join(row[1])}" for row in rows]


# --- what is read -------------------------------------------------------------------------------


@pytest.mark.parametrize("name", DEMOS)
def test_demo_jobs_are_read_and_built(name):
    build(read_job(DEMOS[name], name))
    build(read_job(job_text(tomllib.loads(DEMOS[name])), name))  # the writer of this file says the same


def test_defaults_of_what_a_job_leaves_out():
    text = ARCHIVE.replace('method = "ASD"\n', "").replace('code = "AISC 360-22"\n', "").replace('moisture  = "8 %"\n', "")
    job = read_job(text)
    assert (job.code, job.method, job.system) == ("AISC 360-22", "ASD", "inch")
    assert job.model.top.moisture is None and job.model.settings.public_use is False
    assert build(job).top.moisture_assumed and not build(read_job(ARCHIVE)).top.moisture_assumed


@pytest.mark.parametrize("ending", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_a_file_from_any_editor_is_read(tmp_path, ending, mark):
    path = tmp_path / "job of the shop é.toml"
    path.write_bytes((mark + ARCHIVE.replace("\n", ending)).encode())
    assert load_job(path).name == read_job(ARCHIVE).name


@pytest.mark.parametrize("name", ["Kartentisch für das Archiv", "Стол", "海図台", "a 7'-6 1/2\" table"])
def test_a_job_is_called_as_the_shop_calls_it(name):
    assert read_job(job_text(changed(tomllib.loads(ARCHIVE), ("job",), name))).name == name


@pytest.mark.parametrize("size", ["78 in", "6 ft 6 in", "6'-6\"", "1981.2 mm", "1 981.2 mm", "78\"", "6.5 ft", "156/2 in"])
def test_one_length_in_every_hand(size):
    job = read_job(job_text(changed(tomllib.loads(ARCHIVE), ("base", "trestles", "apart"), size)))
    assert magnitude(job.model.base.trestles.apart, "inch") == pytest.approx(78, rel=1e-12)


def test_a_load_of_the_job_takes_the_place_of_the_default_and_keeps_its_reason():
    job = read_job(ARCHIVE)
    cases = load_cases(job.overrides)
    mine = cases["everyday-spread"]
    assert mine.reason.startswith("map drawers") and mine.tag == "the job's choice" and mine.source == ""
    assert cases["severe-spread"].tag == "retrieved" and cases["severe-spread"].reason == ""


def test_public_use_raises_the_shove_unless_the_job_says_otherwise():
    # trade notes: 100 lbf, 250 lbf in public use (ADA 903.6 as read)
    assert magnitude(load_cases()["shove"].value, "lbf") == pytest.approx(100)
    raised = load_cases(public_use=True)["shove"]
    assert magnitude(raised.value, "lbf") == pytest.approx(250) and raised.tag == "retrieved" and raised.source.startswith("ada-2010")
    own = (raised.value * 0.5, "agreed")
    assert magnitude(load_cases({"shove": own}, public_use=True)["shove"].value, "lbf") == pytest.approx(125)


def test_a_varied_job_keeps_its_text():
    job = read_job(ARCHIVE)
    other = vary(job, {"base.trestles.apart": "72 in"})
    assert other.text == job.text and magnitude(other.model.base.trestles.apart, "inch") == pytest.approx(72)
    with pytest.raises(InputError, match="base.trestles.apart"):
        vary(job, {"base.trestles.apart": "72"})


# --- values -------------------------------------------------------------------------------------

NO_SIZE = {
    "a bare number": 5, "a bare number as text": "5", "below nothing": "-5 in", "below nothing, bare": -5, "nothing": "", "blanks": "   ",
    "absurd": "1e9 in", "not a number": "nan in", "not a number, plain": float("nan"), "endless": "inf in",
    "endless, plain": float("inf"), "past the largest": "1e400 in", "a sum": "9**9**9 in", "ten thousand characters": "9" * 10_000,
    "a hundred thousand": "x" * 100_000, "control characters": "5 in\x07", "an escape": "\x1b[31m5 in", "a null": "5\x00 in",
    "a furlong": "5 furlongs", "a mass": "5 lb", "a stress": "5 ksi", "over nothing": "1/0 in", "two units": "5 in in", "a word": "five in",
    "a comma": "5,5 in", "two numbers": "5 5 in", "code": "__import__('os')", "far figures": "\u0663 in", "true": True, "a list": ["5 in"],
    "no list": [], "a table": {"size": "5 in"}, "a date": datetime.date(2026, 1, 2), "hundreds of digits": 10**400,
}


@pytest.mark.parametrize("name, path, good", SIZES, ids=ids(SIZES))
def test_what_is_no_size_is_refused_with_its_field(name, path, good):
    data, field = tomllib.loads(DEMOS[name]), ".".join(path)
    shown = set()
    for words, bad in NO_SIZE.items():
        error = refused(job_text(changed(data, path, bad)))
        assert error.field == field, words
        # The example is a line that can stand in the file, and then it is read.
        line = tomllib.loads(error.example)
        assert list(line) == [path[-1]], words
        if error.example not in shown:
            read_job(job_text(changed(data, path, line[path[-1]])))
            shown.add(error.example)


def test_no_length_of_nothing_is_taken():
    for path in (("base", "trestles", "apart"), ("base", "trestles", "head", "length"), ("top", "thickness"), ("base", "height")):
        for bad in ("0 in", "1e-9 in"):
            assert refused(job_text(changed(tomllib.loads(ARCHIVE), path, bad))).field == ".".join(path)


def test_pounds_of_mass_where_a_force_belongs_are_pointed_out():
    error = refused(ARCHIVE.replace('value = "20 psf"', 'value = "20 lb/ft^2"'))
    assert error.field == "loads.everyday_spread.value" and "lbf" in error.need + error.example or "psf" in error.example
    text = ARCHIVE.replace("[limits]", 'person = { value = "300 lb", reason = "agreed" }\n[limits]')
    error = refused(text)
    assert error.field == "loads.person.value" and "lbf" in error.need
    assert tomllib.loads(error.example) == {"value": "300 lbf"}


@pytest.mark.parametrize("bad", ["-20 psf", "-0.001 psf", "6000 psf", "20 lbf", "20", "20 psi/ft", "1e400 psf", "nan psf"])
def test_a_load_is_of_its_own_unit_and_not_below_nothing(bad):
    error = refused(ARCHIVE.replace('value = "20 psf"', f'value = "{bad}"'))
    assert error.field == "loads.everyday_spread.value" and tomllib.loads(error.example) == {"value": "20 psf"}


def test_a_load_without_a_reason_is_refused():
    assert refused(ARCHIVE.replace(', reason = "map drawers and bound atlases, agreed with the archive"', "")).field == "loads.everyday_spread.reason"


CHOICES = {("settings", "method"): "ASD LRFD", ("settings", "units"): "inch mm", ("settings", "code"): "AISC 360-22",
           ("base", "feet", "kind"): "leveller plain pads casters", ("base", "trestles", "head", "lies"): "upright flat",
           ("joints", "post_to_head", "filler"): "E60 E70", ("joints", "post_to_head", "weld"): "fillet all round"}


@pytest.mark.parametrize("path", CHOICES, ids=".".join)
@pytest.mark.parametrize("bad", ["", "ASB", "e70", 5, True, [], {}, "x" * 10_000, "\x1b[31m"])
def test_a_word_that_is_no_choice_is_refused_with_the_choices(path, bad):
    data = tomllib.loads(ARCHIVE)
    error = refused(job_text(changed(data, path, bad)))
    assert error.field == ".".join(path)
    assert CHOICES[path].split()[0] in error.need
    line = tomllib.loads(error.example)
    read_job(job_text(changed(data, path, line[path[-1]])))


@pytest.mark.parametrize("bad", [0, 4, -1, 2.0, "2", True, [2], {}])
def test_a_count_is_a_whole_number_of_the_list(bad):
    error = refused(job_text(changed(tomllib.loads(ARCHIVE), ("base", "trestles", "posts", "count"), bad)))
    assert error.field == "base.trestles.posts.count" and "1, 2" in error.need and tomllib.loads(error.example) == {"count": 2}


@pytest.mark.parametrize("bad", ["1.5", 0, 0.99, 5.1, -1.5, float("nan"), float("inf"), True, [], "L/360"])
def test_a_righting_ratio_is_a_plain_number_from_one_to_five(bad):
    error = refused(job_text(changed(tomllib.loads(ARCHIVE), ("limits", "righting"), bad)))
    assert error.field == "limits.righting" and tomllib.loads(error.example) == {"righting": 1.5}


@pytest.mark.parametrize("bad", ["360", "L/0", "L/10", "L/9999", "1/360", "L/360/2", "L/-360", 360, 0.01, "L/36O", True])
def test_a_sag_limit_is_a_part_of_the_span(bad):
    error = refused(job_text(changed(tomllib.loads(ARCHIVE), ("limits", "sag"), bad)))
    assert error.field == "limits.sag" and tomllib.loads(error.example) == {"sag": "L/360"}


@pytest.mark.parametrize("bad", ["true", 1, 0, "yes", None])
def test_public_use_is_true_or_false(bad):
    data = tomllib.loads(ARCHIVE)
    data["settings"]["public_use"] = [] if bad is None else bad
    error = refused(job_text(data))
    assert error.field == "settings.public_use" and tomllib.loads(error.example) == {"public_use": True}


@pytest.mark.parametrize("bad, hint", [("wite oak", "white oak"), ("oak", "white oak"), ("", ""), (5, ""), ("MDF", ""), ("x" * 10_000, "")])
def test_an_unknown_wood_is_refused(bad, hint):
    error = refused(job_text(changed(tomllib.loads(ARCHIVE), ("top", "wood"), bad)))
    assert error.field == "top.wood" and hint in error.need + error.example
    read_job(job_text(changed(tomllib.loads(ARCHIVE), ("top", "wood"), tomllib.loads(error.example)["wood"])))


BAD_STOCK = {
    "a gauge of sheet": "square tube 2 in x 16 ga carbon sheet, A513", "a gauge alone": "16 ga", "a wall over half the tube": "square tube 2 in x 1-1/4 in, A513",
    "no wall": "square tube 2 in, A513", "unknown steel": "square tube 2 in x 11 ga, A999", "no shape": "2 in x 11 ga, A513",
    "an odd gauge": "square tube 2 in x 99 ga, A513", "bare sizes": "square tube 2 x 0.12, A513", "nothing": "", "a list": ["square tube"],
    "a number": 2, "a table": {"tube": "2 in"}, "long": "square tube " * 2000, "control characters": "square tube 2 in\x00 x 11 ga, A513",
    "endless": "square tube inf in x 11 ga, A513",
}


@pytest.mark.parametrize("bad", BAD_STOCK.values(), ids=BAD_STOCK)
def test_stock_that_cannot_be_bought_is_refused(bad):
    error = refused(job_text(changed(tomllib.loads(ARCHIVE), ("stock", "post"), bad)))
    assert error.field.startswith("stock.post")


@pytest.mark.parametrize("name", ["", " post", "x" * 60, "a\nb", "a\x1b[0m", "a/b", 'a"b', "[x]"])
def test_a_name_of_the_jobs_own_is_a_plain_one(name):
    data = tomllib.loads(ARCHIVE)
    data["stock"][name] = "square tube 2 in x 11 ga, A513"
    error = refused(job_text(data))
    assert error.field.startswith("stock.") and "name" in error.need


@pytest.mark.parametrize("path", [("base", "trestles", "posts"), ("base", "trestles", "head"), ("base", "stretcher"), ("base", "trestles", "rail")],
                         ids=".".join)
def test_an_unknown_stock_name_is_refused_with_the_nearest(path):
    data = tomllib.loads(ARCHIVE)
    good = data["base"]["trestles"]["posts"]["stock"] if path[-1] == "posts" else "rail"
    error = refused(job_text(changed(data, (*path, "stock"), good + "s")))
    assert error.field == ".".join((*path, "stock")) and f"did you mean {good}" in error.need
    assert tomllib.loads(error.example) == {"stock": good}


@pytest.mark.parametrize("bad", ["trestle", "legs", "", 5, True, [], {}, "x" * 10_000, "a\x1b[31m", None])
def test_an_unknown_base_style_is_refused_with_the_styles(bad):
    data = tomllib.loads(ARCHIVE)
    data = dropped(data, ("base", "style")) if bad is None else changed(data, ("base", "style"), bad)
    error = refused(job_text(data))
    assert error.field == "base.style" and all(s in error.need for s in STYLES)
    assert tomllib.loads(error.example)["style"] in STYLES


# --- keys ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("name, path", KEYS, ids=ids(KEYS))
def test_a_misspelt_key_is_refused_with_the_right_one(name, path):
    key = path[-1]
    if path[0] == "stock" and len(path) == 2 or key == "format":
        return  # names of the job's own; the format comes first
    slip = key[:-1] + key[-1] * 2
    data = tomllib.loads(DEMOS[name])
    value = data
    for part in path:
        value = value[part]
    error = refused(job_text(changed(dropped(data, path), (*path[:-1], slip), value)))
    # A joint or load is missed by its own name, or found to be one too many.
    assert error.field in (".".join((*path[:-1], slip)), ".".join(path)), error
    if error.field.endswith(slip):
        assert f"did you mean {key}" in error.need and key in error.example, error


OPTIONAL = {("settings",), ("top", "moisture"), ("top", "shape"), ("loads",),
            ("limits",), ("floor",), ("evidence",), ("prices",), ("base", "feet", "from_end"), ("base", "trestles", "posts", "count")}


@pytest.mark.parametrize("name, path", KEYS, ids=ids(KEYS))
def test_a_missing_key_is_asked_for_or_has_a_named_default(name, path):
    data = dropped(tomllib.loads(DEMOS[name]), path)
    last = path[-1]
    optional = path in OPTIONAL or path[0] in ("settings", "loads", "limits", "floor", "evidence", "prices") and len(path) == 2 \
        or last in ("lies", "filler", "count", "travel", "splay_along", "splay_across", "stretchers", "sheet", "fixing", "from_end") \
        or path[:2] == ("evidence", "walls") or last in ("process", "flare_sides", "ends", "middle", "tab", "slotted", "slot", "rated_ultimate", "fixed") \
        or path in (("joints", "top_to_base"), ("joints", "top_to_base", "length"))
    optional = optional and path not in (("joints", "top_to_base", "fixing"), ("joints", "top_to_base", "count"))
    if optional:
        read_job(job_text(data))
        return
    error = refused(job_text(data))
    if path[0] == "stock" and len(path) == 2:  # the bar that was to be made of it asks for it
        assert error.field.endswith(".stock")
    elif last == "rail":
        assert error.field == "base.trestles.rail"
    else:
        assert error.field == ".".join(path)
        assert error.value == "nothing"


@pytest.mark.parametrize("key", ["delivery"])
def test_tables_that_nothing_reads_yet_are_not_pretended_to(key):
    error = refused(ARCHIVE + f"\n[{key}]\nx = 1\n")
    assert error.field == key and "yet" in error.need


def test_an_unknown_load_key_is_refused_with_the_nearest():
    error = refused(ARCHIVE.replace("everyday_spread", "everyday_spred"))
    assert error.field == "loads.everyday_spred" and "everyday_spread" in error.need
    assert error.example in load_keys()


def test_measured_walls_are_of_a_named_tube_and_near_its_nominal_wall():
    good = ARCHIVE + '\n[evidence]\nwalls = { post = "0.118 in" }\n'
    assert magnitude(read_job(good).tubes["post"].wall("design"), "inch") == pytest.approx(0.118)
    assert refused(good.replace("post = \"0.118", "psot = \"0.118")).field == "evidence.walls.psot"
    assert refused(good.replace("0.118 in", "0.35 in")).field == "evidence.walls.post"
    assert refused(good.replace('"0.118 in"', "0.118")).field == "evidence.walls.post"


# --- the file itself ----------------------------------------------------------------------------

FILES = {
    "empty": b"", "blanks": b"  \n\n", "binary": bytes(range(256)), "zeros": b"\0" * 1000, "latin": 'job = "é"'.encode("latin-1"),
    "utf-16": ARCHIVE.encode("utf-16"), "half a table": b"format = 1\n[", "no value": b"format = 1\njob =\n", "one long word": b"x" * 10_000,
    "huge": b"#" * (LARGEST_JOB + 1), "another language": b'{"format": 1}', "format left out": ARCHIVE.replace("format = 1", "").encode(),
    "format of tomorrow": ARCHIVE.replace("format = 1", "format = 2").encode(), "format as text": ARCHIVE.replace("format = 1", 'format = "1"').encode(),
    "format true": ARCHIVE.replace("format = 1", "format = true").encode(), "format 1.0": ARCHIVE.replace("format = 1", "format = 1.0").encode(),
    "the same key twice": (ARCHIVE + "\n[top]\n").encode(), "a key twice": ARCHIVE.replace('width     = "48 in"', 'width = "48 in"\nwidth = "40 in"').encode(),
    "a lone return": ARCHIVE.replace("\n", "\r").encode(), "no such day": ARCHIVE.replace('"78 in"', "2026-13-45").encode(),
    "endless digits": b"format = 1\njob = " + b"1" * 480 + b"\nx = " + b"\n".join([b"1" * 400] * 20),
}


@pytest.mark.parametrize("content", FILES.values(), ids=FILES)
def test_a_file_that_is_no_job_is_refused(tmp_path, content):
    path = tmp_path / "job.toml"
    path.write_bytes(content)
    start = time.process_time()
    with pytest.raises(InputError) as caught:
        load_job(path)
    assert time.process_time() - start < 0.2
    assert str(caught.value).isprintable()


@pytest.mark.parametrize("place", ["none.toml", ".", "job.toml/inside", "x" * 5000, "a\0b"])
def test_a_path_that_is_no_file_is_refused(tmp_path, place):
    (tmp_path / "job.toml").write_text("format = 1")
    with pytest.raises(InputError, match="job file"):
        load_job(tmp_path / place)


def test_a_device_that_never_ends_is_not_read():
    device = Path("/dev/zero")
    if device.exists():  # not everywhere
        with pytest.raises(InputError, match="ordinary file"):
            load_job(device)


def test_a_slip_of_the_pen_is_shown_on_its_line():
    error = refused(ARCHIVE.replace('apart = "78 in"', 'apart = "78 in'), "table.toml")
    assert error.field == "table.toml" and 'apart = "78 in' in error.value and "line 29" in error.need


DEEP = {
    "dots": "format = 1\ntop" + ".a" * 80_000 + " = 1", "header": "format = 1\n[" + "a." * 80_000 + "a]", "quoted": "format = 1\n" + '"a".' * 40_000 + "a = 1",
    "lists": "format = 1\nx = " + "[" * 80_000, "lists on lines": "format = 1\nx = " + "[\n" * 80_000, "tables": "format = 1\nx = " + "{a = " * 30_000,
    "many deep keys": "format = 1\n" + "\n".join(f"top{'.a' * 200}.k{i} = 1" for i in range(300)),
    "a long number": "format = " + "1" * 5000, "numbers on lines": "format = 1\nx = [" + "1" * 480 + ",\n" + "2" * 480 + "]",
    "many keys": "format = 1\n" + "\n".join(f"k{i} = 1" for i in range(10_000)), "a long key": "format = 1\n" + "k" * 100_000 + " = 1",
    "lists within reason": "format = 1\njob = " + "[" * 100 + "]" * 100, "tables within reason": "format = 1\ntop = " + "{a = " * 90 + "1" + "}" * 90,
}


@pytest.mark.parametrize("text", DEEP.values(), ids=DEEP)
def test_what_is_nested_without_end_is_refused_at_once(text):
    start = time.process_time()
    with pytest.raises(InputError) as caught:
        read_job(text)
    assert time.process_time() - start < 1.0
    assert len(str(caught.value)) < 1000 and str(caught.value).isprintable()


# --- anything at all -----------------------------------------------------------------------------

ANY = st.recursive(
    st.one_of(st.booleans(), st.integers(), st.floats(allow_nan=True), st.text(max_size=30), st.dates(),
              st.sampled_from(["78 in", "-1 in", "12 ft", "1/8 in", "L/360", "rail", "white oak", "E70", "20 psf", "3 mm", "1e3 m", "8 %"])),
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=8), inner, max_size=3)), max_leaves=6)


@given(st.sampled_from(KEYS), ANY)
def test_any_value_at_any_key_is_read_or_refused(row, value):
    name, path = row
    data = changed(tomllib.loads(DEMOS[name]), path, value)
    try:
        read = tomllib.loads(job_text(data))
    except tomllib.TOMLDecodeError:
        return  # not a file anybody could write
    if any(isinstance(v, float) and v != v for _, v in entries(read)):
        read = data
    try:
        build(read_job(job_text(data)))
    except InputError as error:
        assert error.field and error.need and str(error).isprintable()


@given(st.text(max_size=400))
def test_any_text_is_refused(text):
    with pytest.raises(InputError):
        read_job(text)


@given(st.sampled_from(sorted(DEMOS)), st.integers(0, 3000), st.integers(0, 60), st.text(max_size=12))
def test_a_spoilt_file_is_read_or_refused(name, start, length, put):
    text = DEMOS[name]
    try:
        build(read_job(text[:start] + put + text[start + length:]))
    except InputError as error:
        assert str(error).isprintable()


def test_format_is_the_first_word():
    assert FORMAT == 1 and ARCHIVE.splitlines()[2].startswith("format = 1")
