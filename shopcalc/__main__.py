"""The command line: check, record, rerun, cases.

Exit: 0 nothing that was checked is over; 1 something is over, outside its range, refused or for an engineer
(for rerun and cases: something differs); 2 bad input; 3 our own fault.
"""

from __future__ import annotations

import argparse
import json
import sys
import traceback
from pathlib import Path

from shopcalc.errors import InputError

OK, OVER, BAD_INPUT, OUR_FAULT = 0, 1, 2, 3


def parser() -> argparse.ArgumentParser:
    top = argparse.ArgumentParser(prog="python -m shopcalc", description="Size a welded table base under a wood top.")
    commands = top.add_subparsers(dest="command", required=True)
    check = commands.add_parser("check", help="all checks of a job")
    check.add_argument("job", type=Path, help="a job file (TOML)")
    check.add_argument("--json", action="store_true", help="print the checks as JSON")
    record = commands.add_parser("record", help="write the calculation record of a job")
    record.add_argument("job", type=Path)
    record.add_argument("-o", "--out", type=Path, required=True, metavar="DIR", help="folder for record.html, record.json")
    rerun = commands.add_parser("rerun", help="recompute a record and name each difference")
    rerun.add_argument("record", type=Path, help="record.json")
    cases = commands.add_parser("cases", help="run published cases")
    cases.add_argument("files", nargs="*", type=Path, help="case files (default: all)")
    return top


def main(argv: list[str] | None = None) -> int:
    args = parser().parse_args(argv)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    try:
        return {"check": check, "record": record, "rerun": rerun, "cases": cases}[args.command](args)
    except InputError as error:
        print(f"Cannot use this input.\n  where    {error.field}\n  got      {error.value}\n  need     {error.need}"
              + (f"\n  example  {error.example}" if error.example else ""), file=sys.stderr)
        return BAD_INPUT
    except BrokenPipeError:
        sys.stderr.close()
        return OK
    except Exception:  # the last gate: a fault of the kit is named as one, with all it takes to find it
        traceback.print_exc()
        print("This is a fault of the kit, not of your input. No number above may be used.", file=sys.stderr)
        return OUR_FAULT


def check(args) -> int:
    from shopcalc.assess import assess

    found = assess(args.job)
    if args.json:
        print(json.dumps(found.as_dict(), indent=1, ensure_ascii=False, allow_nan=False))
    else:
        from shopcalc.show.tables import checks_text

        print(checks_text(found))
    return found.exit_code


def record(args) -> int:
    from shopcalc.assess import assess
    from shopcalc.show.record import write_record

    found = assess(args.job)
    for path in write_record(found, args.out):
        print(path)
    return found.exit_code


def ordinary(path: Path, what: str) -> None:
    """A device that never ends is no file to read."""
    if path.exists() and not path.is_file():
        raise InputError(field=what, value=str(path), need="an ordinary file")


def rerun(args) -> int:
    from shopcalc.show.rerun import compare

    ordinary(args.record, "record")
    differences = compare(args.record)
    for difference in differences:
        print(difference)
    print("Every number recomputed the same." if not differences else f"{len(differences)} differences.")
    return OVER if differences else OK


def cases(args) -> int:
    from shopcalc.cases import read_cases, run

    for path in args.files:
        ordinary(path, "cases")
    found = read_cases(args.files or None)
    if not found:
        raise InputError(field="cases", value=", ".join(map(str, args.files)), need="a file with [[case]] tables",
                         example="references/cases/beams.toml")
    missed = ran = 0
    for one in run(found):
        ran += 1
        word = "measured" if one.matched is None else "ok" if one.matched else "MISS"
        missed += one.matched is False
        tail = f"measured / predicted {one.ratio:.3f}" if one.matched is None else f"{max(one.digits, 0):4.1f} digits"
        print(f"{word:8} {one.case}: {one.key}  printed {one.expected}, got {one.got}, {tail}  [{one.provenance}]")
    waiting = {c.id: c.waiting for c in found if c.waiting}
    for case in found:
        if case.waiting:
            print(f"waiting  {case.id}: {', '.join(case.waiting)}: {case.waits_for or 'no reason given'}")
    print(f"{ran} answers of {len(found)} cases: {ran - missed} good, {missed} missed; "
          f"{sum(map(len, waiting.values()))} answers of {len(waiting)} cases waiting")
    return OVER if missed else OK


if __name__ == "__main__":
    sys.exit(main())
