"""Wall or sheet thickness behind a gauge number. A gauge means nothing without its product form."""

from __future__ import annotations

from functools import cache

import pint

from shopcalc.errors import InputError
from shopcalc.formula import formula
from shopcalc.stock.tables import rows
from shopcalc.units import GAUGE_FORMS, GaugeWord, Length, Ratio, magnitude, read_gauge, read_length


@cache
def gauge_table(form: str) -> dict[int, pint.Quantity]:
    """Gauge number -> thickness for one product form: tube (Birmingham), carbon sheet (Manufacturers'
    Standard), stainless sheet (decimals of 15 U.S.C. 206), galvanized sheet (carbon sheet plus zinc).

    Raises InputError for another form.
    """
    if form not in GAUGE_FORMS:
        raise InputError(
            field="gauge: product form", value=form, need="one of " + ", ".join(GAUGE_FORMS), example="tube"
        )
    return {
        int(r["gauge"]): read_length(r["thickness"], f"gauges.csv: {form}")
        for r in rows("gauges.csv")
        if r["form"] == form
    }


def gauge_source(form: str) -> tuple[str, str]:
    """Source and provenance of one form's table."""
    row = next(r for r in rows("gauges.csv") if r["form"] == form)
    return row["source"], row["provenance"]


def wall_of_gauge(gauge: str | GaugeWord, form: str | None = None, field: str = "gauge") -> pint.Quantity:
    """Thickness of `16 ga tube`, or of `16 ga` with form="tube" where the product is known otherwise.

    Raises InputError where the product form is missing (the message gives the value of every form), where
    text and `form` disagree, or where the table has no such gauge.
    """
    word = gauge if isinstance(gauge, GaugeWord) else read_gauge(gauge, field)
    named = word.form or form
    shown = f"{word.number} ga"
    if named is None:
        values = [
            f"{f} {_inches(gauge_table(f)[word.number])}"
            for f in GAUGE_FORMS
            if word.number in gauge_table(f)
        ]
        raise InputError(
            field=field,
            value=shown,
            example=f"{shown} tube",
            need="the product form with the gauge"
            + (f" ({shown} is: " + ", ".join(values) + ")" if values else ""),
        )
    if word.form and form and word.form != form:
        raise InputError(
            field=field,
            value=f"{shown} {word.form}",
            need=f"a gauge of {form}, not of {word.form}",
            example=f"{shown} {form}",
        )
    table = gauge_table(named)
    if word.number not in table:
        near = min(table, key=lambda g: abs(g - word.number))
        raise InputError(
            field=field,
            value=f"{shown} {named}",
            example=f"{near} ga {named}",
            need=f"a gauge from {min(table)} to {max(table)} for {named}, or the wall itself in decimals",
        )
    return table[word.number]


def _inches(thickness: pint.Quantity) -> str:
    return f"{magnitude(thickness, 'inch'):.4f}".rstrip("0").ljust(5, "0") + " in"


def gauge_of_wall(wall: pint.Quantity, form: str = "tube") -> str | None:
    """The gauge word of a wall that is in the table to 0.0005 in, or None."""
    size = magnitude(wall, "inch")
    for number, thickness in gauge_table(form).items():
        if abs(magnitude(thickness, "inch") - size) <= 0.0005:
            return f"{number} ga"
    return None


@formula(symbol="n", source="bwg-table, against the sheet gauge of the same number")
def wall_ratio(*, t: Length, t_0: Length) -> Ratio:
    """How many times one wall is another: tube against sheet of the same gauge number.

    t    the wall in hand
    t_0  the wall it is compared with
    """
    return t / t_0
