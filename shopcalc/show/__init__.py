"""Pictures, tables, worked steps, record and controls. Nothing heavy loads before it is asked for.

    from shopcalc import show
    show.checks(assessment)      show.table(assessment)      show.worked(check)      show.tube_gauge()
"""

from importlib import import_module

_HOME = {
    "answer": "notebook",
    "table": "notebook",
    "used": "notebook",
    "checks": "notebook",
    "not_checked": "notebook",
    "assumed": "notebook",
    "cautions": "notebook",
    "worked": "notebook",
    "sources": "notebook",
    "size_table": "notebook",
    "region": "notebook",
    "choices": "notebook",
    "beam": "notebook",
    "goes_over": "notebook",
    "tube_gauge": "answers",
    "stretcher_sag": "answers",
    "overhang_tipping": "answers",
    "write_record": "record",
    "compare": "rerun",
    "checks_text": "tables",
}

__all__ = sorted(_HOME)


def __getattr__(name: str):
    if name not in _HOME:
        raise AttributeError(f"shopcalc.show has no {name!r}; it has {', '.join(__all__)}")
    return getattr(import_module(f"shopcalc.show.{_HOME[name]}"), name)


def __dir__() -> list[str]:
    return __all__
