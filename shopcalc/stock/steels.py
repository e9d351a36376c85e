"""Steels (and 6061-T6) by product standard and grade: strengths, stiffness, mass, expansion."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

import pint

from shopcalc.errors import InputError
from shopcalc.formula import formula
from shopcalc.stock.tables import rows
from shopcalc.units import Area, Density, MassPerLength, Ratio, Stress, read_quantity

FORMS = ("shaped", "round")


@dataclass(frozen=True)
class Steel:
    """One grade in one product form, from one edition.

    form      "shaped" (square, rectangular), "round" or "any"
    Fy, Fu    least yield stress and tensile strength;  Fy_weld, Fu_weld beside a weld, where lower
    E, G, nu  stiffness in tension, in shear, and Poisson's ratio
    assumed   why this row stands in for a steel that is not known, else ""
    """

    product: str
    grade: str
    form: str
    edition: str
    Fy: pint.Quantity
    Fu: pint.Quantity
    E: pint.Quantity
    G: pint.Quantity
    nu: float
    density: pint.Quantity
    alpha: pint.Quantity
    Fy_weld: pint.Quantity
    Fu_weld: pint.Quantity
    source: str
    provenance: str
    constants_source: str
    constants_provenance: str
    note: str = ""
    assumed: str = ""

    @property
    def name(self) -> str:
        if self.product == "unknown":
            return "unknown steel"
        return self.product if self.product.endswith(self.grade) else f"{self.product} {self.grade}"

    @property
    def softens_at_welds(self) -> bool:
        return self.Fy_weld < self.Fy


UNKNOWN_WHY = (
    "steel without a certificate: yield 32 ksi and tensile 45 ksi, the least published for as-welded "
    "round mechanical tube; a mill certificate replaces it"
)


def steel(product: str, grade: str | None = None, form: str = "shaped") -> Steel:
    """The steel of a product and grade, in its product form: steel("A500", "C", "round").

    form  "shaped" or "round": the same grade word can mean two yields
    Raises InputError with the known products or grades. A grade whose table does not cover the form
    (as-welded A513 grades are published for round tube) is refused; see `steel_or_default`.
    """
    if form not in FORMS:
        raise InputError(field="steel: form", value=form, need='"shaped" or "round"', example="shaped")
    table = _by_product(product)
    wanted = grade if grade is not None else next(iter(table))
    if wanted not in table:
        raise InputError(
            field=f"steel: grade of {product}",
            value=wanted,
            need="one of " + ", ".join(table),
            example=f"{product} {next(iter(table))}",
        )
    fits = [s for s in table[wanted] if s.form in (form, "any")]
    if not fits:
        raise InputError(
            field=f"steel: {product} {wanted}",
            value=form,
            need=f"{table[wanted][0].form} tube; the published strengths do not cover {form} tube",
            example=f"{product} {wanted}, {table[wanted][0].form}",
        )
    return fits[0]


def steel_or_default(product: str, grade: str | None, form: str) -> Steel:
    """As `steel`, but where no guaranteed strength exists (mechanical tube without a grade, an as-welded
    grade in a shaped tube, unknown origin) the cautious default with `assumed` saying why."""
    if product in ("unknown", "A513", "A513 type 2"):
        covered = grade is not None and form == "round" and product != "unknown"
        if not covered:
            why = UNKNOWN_WHY
            if grade is not None and product != "unknown":
                why = f"the strengths of {product} {grade} are published for round tube only: {UNKNOWN_WHY}"
            return replace(steel("unknown", "unknown", form), assumed=why)
        return replace(
            steel("A513", grade, form),
            assumed=f"A513 {grade}: a least strength holds only where the order asked for it; "
            "see the certificate",
        )
    return steel(product, grade, form)


def steel_value(what: str, product: str, grade: str | None = None, form: str = "shaped"):
    """One property by name (Fy, Fu, E, G, density, alpha ...), for published cases and tables."""
    if what not in Steel.__dataclass_fields__:
        raise InputError(
            field="steel: property", value=what, need="one of Fy, Fu, E, G, nu, density, alpha", example="Fy"
        )
    return getattr(steel(product, grade, form), what)


def grades(product: str) -> tuple[str, ...]:
    """Grades in the list for a product."""
    return tuple(_by_product(product))


@cache
def _by_product(product: str) -> dict[str, list[Steel]]:
    found: dict[str, list[Steel]] = {}
    for r in rows("steels.csv"):
        if r["product"] == product:
            found.setdefault(r["grade"], []).append(_steel(r))
    if not found:
        known = dict.fromkeys(r["product"] for r in rows("steels.csv"))
        raise InputError(
            field="steel: product", value=product, need="one of " + ", ".join(known), example="A500"
        )
    return found


def _steel(r: dict[str, str]) -> Steel:
    def stress(key):
        return read_quantity(r[key], "ksi", f"steels.csv: {r['product']} {r['grade']} {key}")

    return Steel(
        product=r["product"],
        grade=r["grade"],
        form=r["form"],
        edition=r["edition"],
        Fy=stress("Fy"),
        Fu=stress("Fu"),
        E=stress("E"),
        G=stress("G"),
        nu=float(r["nu"]),
        density=read_quantity(r["density"], "kg/m**3", "steels.csv: density"),
        alpha=read_quantity(r["alpha"], "1/delta_degF", "steels.csv: alpha"),
        Fy_weld=stress("Fy_weld") if r["Fy_weld"] else stress("Fy"),
        Fu_weld=stress("Fu_weld") if r["Fu_weld"] else stress("Fu"),
        source=r["source"],
        provenance=r["provenance"],
        constants_source=r["constants_source"],
        constants_provenance=r["constants_provenance"],
        note=r["note"],
        assumed=UNKNOWN_WHY if r["assumed"] else "",
    )


@formula(symbol="m", source="section-tables-density, 7850 kg/m^3 or 3.4 lb/ft per square inch")
def mass_per_length(A: Area, rho: Density) -> MassPerLength:
    """Mass of a bar per length. The area is that of the nominal wall.

    A    area of the section at its nominal wall
    rho  density of the metal
    """
    return A * rho


@formula(symbol="G", source="elasticity, isotropic shear modulus")
def shear_modulus(E: Stress, nu: Ratio) -> Stress:
    """Stiffness in shear of an isotropic metal.

    E   stiffness in tension
    nu  Poisson's ratio
    """
    return E / (2 * (1 + nu))
