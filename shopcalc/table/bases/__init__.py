"""Base styles: each lays out bars, joints, feet and seats from the job."""

from __future__ import annotations

from shopcalc.table.assembly import Assembly
from shopcalc.table.bases.trestles import trestle_base
from shopcalc.table.job import Job

_LAYOUTS = {"trestles": trestle_base}


def lay_out(job: Job, base) -> Assembly:
    """The base of a job, laid out by its style."""
    return _LAYOUTS[base.style](job, base)
