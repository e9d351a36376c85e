"""Base styles: each lays out bars, joints, feet and seats from the job."""

from __future__ import annotations

from shopcalc.table.assembly import Assembly
from shopcalc.table.bases.legs import leg_base
from shopcalc.table.bases.others import (
    c_frame_base,
    named_base,
    podium_base,
)
from shopcalc.table.bases.pedestal import pedestal_base
from shopcalc.table.bases.trestles import trestle_base
from shopcalc.table.job import Job

_LAYOUTS = {"trestles": trestle_base, "four legs": leg_base, "pedestal": pedestal_base, "C-frames": c_frame_base,
            "podiums": podium_base, "points": named_base}


def lay_out(job: Job, base) -> Assembly:
    """The base of a job, laid out by its style."""
    return _LAYOUTS[base.style](job, base)
