"""Furniture woods and sheet goods: specific gravity, density at a moisture content, stiffness along and across the grain,
strength of clear pieces, shrinkage. A value that no table gives is None; what is taken in its place is said (`Elastic.notes`)."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

import pint

from shopcalc.errors import InputError
from shopcalc.formula import Within, formula
from shopcalc.stock.tables import nearest_words, rows
from shopcalc.units import Density, Length, Q, Ratio, Stress, read_quantity

# Moisture content at which the wall of the wood fibre is full; above it wood no longer swells.
FIBRE_SATURATION = 0.30
WATER = Q(1000, "kg/m**3")


@dataclass(frozen=True)
class Wood:
    """One wood of the list; averages of small clear pieces.

    G_12     specific gravity: ovendry mass over the volume at 12 % moisture
    MOE      stiffness along the grain at 12 %, from bending tests whose sag includes shear: low by about a
             tenth against the true E_L, hence cautious for sag
    MOE_cov  scatter of one piece about the mean (standard deviation over mean)
    ER_EL .. elastic ratios at about 12 %; None where the handbook has none
    MOR, f_c, f_cp, f_v, f_tp   strength of clear pieces at 12 %, means: bending, crushing along, compression across (at the
             proportional limit), shear along, tension across the grain. No allowable comes from them
    S_R, S_T, S_V   shrinkage from green to ovendry, radial, tangential and of the volume, over the green size
    C_R, C_T        coefficients of dimensional change per one per cent of moisture, 6 to 14 %; movement_row: whose row
    k_def    creep of sheet goods over the elastic sag (EN 1995-1-1, service class 1); None for solid wood (see `creep`)
    kind     "solid", or the kind of sheet goods
    """

    name: str
    species: str
    also: tuple[str, ...]
    G_12: float
    MOE: pint.Quantity
    MOE_cov: float
    ER_EL: float | None
    ET_EL: float | None
    GLR_EL: float | None
    GLT_EL: float | None
    mu_LR: float | None
    mu_LT: float | None
    source: str
    provenance: str
    ratios_source: str
    ratios_provenance: str
    note: str = ""
    kind: str = "solid"
    edition: str = ""
    MOR: pint.Quantity | None = None
    f_c: pint.Quantity | None = None
    f_cp: pint.Quantity | None = None
    f_v: pint.Quantity | None = None
    f_tp: pint.Quantity | None = None
    strength_source: str = ""
    strength_provenance: str = ""
    f_tp_provenance: str = ""
    S_R: float | None = None
    S_T: float | None = None
    S_V: float | None = None
    C_R: float | None = None
    C_T: float | None = None
    movement_row: str = ""
    movement_source: str = ""
    movement_provenance: str = ""
    k_def: float | None = None
    sheet_density: pint.Quantity | None = None
    MOE_high: pint.Quantity | None = None

    def density(self, moisture=0.12) -> pint.Quantity:
        """Mass per volume, both at `moisture` (0.07 or Q(7, "percent"); 0 to 30 %); sheet goods: as sold."""
        M = _moisture(moisture)
        if self.sheet_density is not None:
            return self.sheet_density
        G_b = basic_specific_gravity(G_M=self.G_12, M=0.12)
        return density_at_moisture(WATER, G_M=specific_gravity_at_moisture(G_b=G_b, M=M), M=M)

    def elastic(self, cut: str = "flat", *, stiff: bool = False) -> Elastic:
        """Stiffness of a top of this wood, with what no table gives and what stands in its place.

        cut    "flat", "mixed": the tangential ratios, the softer ones; "quarter": the radial ones
        stiff  what stands in place of a missing ratio is the high end: where the wood is bent to a shape, not loaded
        """
        if cut not in CUTS:
            raise InputError(field="cut", value=cut, need="one of " + ", ".join(CUTS), example="flat")
        radial = cut == "quarter"
        across, shear = (self.ER_EL, self.GLR_EL) if radial else (self.ET_EL, self.GLT_EL)
        poisson, notes = (self.mu_LR if radial else self.mu_LT), []
        end = "high" if stiff else "low"
        if across is None:
            across = MOST_ACROSS[radial] if stiff else LEAST_ACROSS
            notes.append(f"the handbook has no stiffness across the grain of {self.name}: {across:g} of that along it taken, the {end} end of furniture "
                         "hardwoods")
        if shear is None:
            shear = MOST_SHEAR[radial] if stiff else LEAST_SHEAR
            notes.append(f"the handbook has no shear stiffness of {self.name}: {shear:g} of the stiffness along the grain taken, the {end} end of "
                         "furniture hardwoods")
        if poisson is None:
            poisson = USUAL_POISSON
            notes.append(f"the handbook has no Poisson's ratio of {self.name}: {poisson:g} taken, the middle of furniture hardwoods")
        return Elastic(self.MOE, across * self.MOE, shear * self.MOE, poisson, tuple(notes))

    def creep(self) -> float:
        """Sag after years over the elastic sag, less one: 1 for solid wood (it about doubles), k_def for sheet goods, which
        creep more: never under that of solid wood."""
        return SOLID_CREEP if self.k_def is None else max(self.k_def, SOLID_CREEP)

    @property
    def strength_across(self) -> pint.Quantity | None:
        """Mean strength in bending across the grain: tension across it for solid wood; sheet goods are as much weaker that
        way as they are softer."""
        return self.f_tp if self.k_def is None else None if self.MOR is None else self.ET_EL * self.MOR

    def guide(self, way: str) -> pint.Quantity | None:
        """What bending stress "along" or "across" the grain is compared with, everywhere in the kit: the value nineteen pieces in
        twenty exceed, over 2.3. No allowable; None where no table gives the wood a strength that way."""
        mean = self.strength_across if way == "across" else self.MOR
        return None if mean is None else mean * (1 - 1.645 * STRENGTH_COV[way]) / REDUCED


CUTS = ("flat", "quarter", "mixed")
# Coefficients of variation of clear wood (Wood Handbook table 5-6): bending strength, tension across. 2.3: ASTM D245, bending.
STRENGTH_COV, REDUCED = {"along": 0.16, "across": 0.25}, 2.3
# Low ends and middle of the ratios of furniture hardwoods in Wood Handbook tables 5-1 and 5-2: beside a missing row.
LEAST_ACROSS, LEAST_SHEAR, USUAL_POISSON = 0.043, 0.062, 0.45
# High ends of the same rows, tangential and radial.
MOST_ACROSS, MOST_SHEAR = (0.086, 0.197), (0.097, 0.147)
# Creep about equals the elastic sag after several years at design stress and environment (Wood Handbook ch. 5).
SOLID_CREEP = 1.0
# Seasoned wood by the NDS and solid wood indoors by EN 1995-1-1: shown beside it.
NDS_CREEP, EN_CREEP = 0.5, 0.6


@dataclass(frozen=True)
class Elastic:
    """Stiffness along and across the grain, of shear between them, and mu_LT: strain across over strain along, pulled along.

    mu_TL comes from reciprocity, never from its table row: a stiffness that is not symmetric is no stiffness.
    """

    E_L: pint.Quantity
    E_T: pint.Quantity
    G: pint.Quantity
    mu_LT: float
    notes: tuple[str, ...] = field(default=())

    @property
    def mu_TL(self) -> float:
        return reciprocal_poisson(mu_LT=self.mu_LT, r=float((self.E_T / self.E_L).to("").magnitude))


def wood(name: str, field: str = "wood") -> Wood:
    """A wood or sheet goods by its name or another name it goes by. Raises InputError with the nearest names."""
    if not isinstance(name, str):
        raise InputError(field=field, value=name, need="the name of a wood in quotes", example="white oak")
    key = " ".join(name.lower().replace("_", " ").split())
    found = _by_name().get(key)
    if found is None:
        near = nearest_words(key[:60], _by_name(), 4)
        raise InputError(
            field=field,
            value=name,
            need="a wood of the list; nearest: " + ", ".join(near),
            example="white oak",
        )
    return found


def woods() -> tuple[Wood, ...]:
    """Every solid wood of the list, in its order."""
    return tuple(w for w in _listed() if w.kind == "solid")


def panels() -> tuple[Wood, ...]:
    """All sheet goods of the list: a grade is read with its edition."""
    return tuple(w for w in _listed() if w.kind != "solid")


def _listed() -> list[Wood]:
    return list({id(w): w for w in _by_name().values()}.values())


@lru_cache(maxsize=1)
def _by_name() -> dict[str, Wood]:
    found = {}
    for one in (*map(_wood, rows("woods.csv")), *map(_panel, rows("panels.csv"))):
        for word in (one.name, *one.also):
            key = word.lower()
            if key in found:
                raise ValueError(f"woods.csv or panels.csv: {word} stands twice")
            found[key] = one
    return found


def _size(r: dict[str, str], key: str, unit: str) -> pint.Quantity | None:
    return read_quantity(r[key], unit, f"{r['name']}: {key}") if r[key] else None


def _part(r: dict[str, str], key: str) -> float:
    return float(read_quantity(r[key], "percent", f"{r['name']}: {key}").to("").magnitude)


# Particleboard and MDF are taken as alike both ways (Poisson 0.3, shear by it): their standards give one stiffness. Veneer
# and strands: half as stiff the other way, soft in shear.
SHEET_POISSON = 0.3
LAID_ACROSS, LAID_SHEAR = 0.5, 0.06


def _panel(r: dict[str, str]) -> Wood:
    laid = r["kind"] in ("plywood", "osb")
    across, shear = (LAID_ACROSS, LAID_SHEAR) if laid else (1.0, 1 / (2 * (1 + SHEET_POISSON)))
    density = read_quantity(r["density"], "kg/m**3", r["name"])
    return Wood(
        name=r["name"], species="", also=tuple(w for w in r["also"].split("|") if w), kind=r["kind"], edition=r["edition"],
        G_12=float((density / WATER).to("").magnitude) / 1.08, MOE=_size(r, "MOE", "psi"), MOE_high=_size(r, "MOE_high", "psi"),
        MOE_cov=PANEL_SCATTER, MOR=_size(r, "MOR", "psi"), ER_EL=across, ET_EL=across, GLR_EL=shear, GLT_EL=shear,
        mu_LR=SHEET_POISSON, mu_LT=SHEET_POISSON, source=r["source"], provenance=r["provenance"], ratios_source="sheet-goods-alike",
        ratios_provenance="common practice", strength_source=r["source"], strength_provenance=r["provenance"],
        k_def=float(r["k_def"]), sheet_density=density, note=r["note"])


# One sheet beside another of its grade, standard deviation over mean.
PANEL_SCATTER = 0.10


def _wood(r: dict[str, str]) -> Wood:
    ratio = {
        k: float(r[k]) if r[k] else None for k in ("ER_EL", "ET_EL", "GLR_EL", "GLT_EL", "mu_LR", "mu_LT")
    }
    return Wood(
        name=r["name"],
        species=r["species"],
        also=tuple(w for w in r["also"].split("|") if w),
        G_12=float(r["G_12"]),
        MOE=read_quantity(r["MOE_12"], "psi", f"woods.csv: {r['name']}"),
        MOE_cov=float(r["MOE_cov"]),
        **ratio,
        source=r["source"],
        provenance=r["provenance"],
        ratios_source=r["ratios_source"],
        ratios_provenance=r["ratios_provenance"],
        note=r["note"],
        **{key: _size(r, f"{key}_12", "psi") for key in ("MOR", "f_c", "f_cp", "f_v", "f_tp")},
        strength_source=r["strength_source"],
        strength_provenance=r["strength_provenance"],
        f_tp_provenance=r["f_tp_provenance"],
        **{key: _part(r, key) for key in ("S_R", "S_T", "S_V")},
        C_R=float(r["C_R"]),
        C_T=float(r["C_T"]),
        movement_row=r["movement_row"],
        movement_source=r["movement_source"],
        movement_provenance=r["movement_provenance"],
    )


def _moisture(moisture) -> float:
    if isinstance(moisture, pint.Quantity):
        if not moisture.dimensionless:
            raise InputError(
                field="moisture", value=moisture, need="a moisture content in per cent", example="7 %"
            )
        moisture = moisture.to("").magnitude
    if isinstance(moisture, bool | str) or not 0 <= float(moisture) <= FIBRE_SATURATION:
        raise InputError(
            field="moisture",
            value=moisture,
            need="a moisture content from 0 to 30 % (0 to 0.30)",
            example="Q(7, 'percent')",
        )
    return float(moisture)


_MOIST = Within("M", lambda M: M, 0.0, FIBRE_SATURATION, "wood-handbook-gtr-190, ch. 4")


@formula(symbol="rho", source="wood-handbook-gtr-190, ch. 4, density", valid=(_MOIST,))
def density_at_moisture(rho_w: Density, *, G_M: Ratio, M: Ratio) -> Density:
    """Mass per volume of wood at a moisture content.

    rho_w  density of water
    G_M    specific gravity on the volume at that moisture content
    M      moisture content, mass of water over ovendry mass
    """
    return rho_w * G_M * (1 + M)


@formula(symbol="G_M", source="wood-handbook-gtr-190, ch. 4, specific gravity and moisture", valid=(_MOIST,))
def specific_gravity_at_moisture(*, G_b: Ratio, M: Ratio) -> Ratio:
    """Specific gravity on the volume at moisture content M: the same dry wood in a smaller volume.

    G_b  basic specific gravity, on the green volume
    M    moisture content
    """
    return G_b / (1 - 0.265 * (1 - M / 0.30) * G_b)


@formula(
    symbol="G_b",
    source="wood-handbook-gtr-190, ch. 4, specific gravity and moisture, solved for G_b",
    valid=(_MOIST,),
)
def basic_specific_gravity(*, G_M: Ratio, M: Ratio) -> Ratio:
    """Basic specific gravity behind one measured at a moisture content.

    G_M  specific gravity on the volume at that moisture content
    M    moisture content
    """
    return G_M / (1 + 0.265 * (1 - M / 0.30) * G_M)


@formula(symbol="mu_TL", source="wood-handbook-gtr-190, ch. 5, elastic constants: reciprocity")
def reciprocal_poisson(*, mu_LT: Ratio, r: Ratio) -> Ratio:
    """The small Poisson ratio that makes the stiffness symmetric; the tabulated one does not.

    mu_LT  strain across over strain along, pulled along the grain
    r      E_T/E_L, stiffness across over along
    """
    return mu_LT * r


@formula(symbol="P", source="wood-handbook-gtr-190, equation 5-3", valid=(Within("M", lambda M: M, 0.04, 0.30),))
def strength_at_moisture(*, P_12: Stress, P_g: Stress, M: Ratio, M_p: Ratio) -> Stress:
    """A property of clear wood at a moisture content between two that were tested.

    P_12  at 12 %
    P_g   green
    M     moisture content
    M_p   moisture content at which drying begins to change it (0.25 for most woods)
    """
    return P_12 * (P_12 / P_g) ** ((0.12 - M) / (M_p - 0.12))


@formula(symbol="w_fin", source="en-1995-1-1, 2.2.3", valid=(Within("psi", lambda psi: psi, 0, 1),))
def final_sag(w: Length, *, psi: Ratio, k_def: Ratio) -> Length:
    """Sag after years: the elastic sag and the creep of that part of the load which stays.

    w      elastic sag
    psi    part of the load that stays (1 for own weight and what lies on it for years)
    k_def  creep over elastic sag: 1 where wood doubles its sag, 0.6 for solid wood indoors by EN 1995-1-1
    """
    return w * (1 + psi * k_def)


def creep_factor(kind: str, source: str = "en") -> float:
    """Creep over elastic sag: "solid" by the Wood Handbook ("handbook"), NDS ("nds") or EN 1995-1-1 ("en"), and sheet
    goods, LVL and glulam by EN 1995-1-1, service class 1."""
    solid = {"handbook": SOLID_CREEP, "nds": NDS_CREEP, "en": EN_CREEP}
    if kind == "solid" and source in solid:
        return solid[source]
    if kind in _KDEF and source == "en":
        return _KDEF[kind]
    raise InputError(field="creep_factor", value=f"{kind}, {source}", need="a kind of " + ", ".join(["solid", *_KDEF]),
                     example='creep_factor("plywood")')


# EN 1995-1-1:2004 table 3.2, service class 1 (recalled).
_KDEF = {"plywood": 0.80, "OSB/2": 2.25, "OSB/3": 1.50, "particleboard P4": 2.25, "MDF": 2.25, "LVL": 0.60, "glulam": 0.60}


@formula(symbol="w", source="wood-handbook-gtr-190, table 5-3, note on shear in the bending test")
def with_shear(w: Length, *, r: Ratio) -> Length:
    """Sag with an allowance for shear, for a stiffness that was freed of shear. The tabulated bending stiffness has it in
    already: there the allowance counts twice.

    w  sag by bending alone
    r  allowance: 1.10 for joists
    """
    return w * r
