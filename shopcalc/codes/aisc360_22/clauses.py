"""What of AISC 360-22 was read, and where it stands in the kit: one row per clause.

provenance  retrieved: read in the standard's own text (a machine-read copy; a sign that it garbled was
            settled by the clause that uses the number or by a worked example of the same body, see `note`);
            second-hand, memory: as in sources.py
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Row:
    """One clause: provenance, where it stands in the standard, the module that computes it, a remark."""

    provenance: str
    place: str
    module: str
    note: str = ""


CLAUSES: dict[str, Row] = {
    "A1": Row("retrieved", "chapter A, scope and user note", "scope",
              "cold-formed hollow sections stay here; other cold-formed members go to AISI S100"),
    "A3": Row("retrieved", "A3.1 and table A3.1", "scope"),
    "App8": Row("retrieved", "appendix 8, A-8-3 and A-8-5", "combined"),
    "B4.1a": Row("retrieved", "table B4.1a", "limits",
                 "case 9 is E/F_y without a root, as E7.2 and example E.11 print it"),
    "B4.1b": Row("retrieved", "table B4.1b", "limits",
                 "case 20 is E/F_y without a root, as example F.9B prints it"),
    "D2": Row("retrieved", "D2-1 and D2-2", "tension"),
    "D3": Row("retrieved", "D3-1 and table D3.1", "tension"),
    "E3": Row("retrieved", "E3-1 to E3-4", "compression, compression_open"),
    "E4": Row("retrieved", "E4-1 to E4-9", "compression_open"),
    "E5": Row("retrieved", "E5(a)", "compression_open"),
    "E7": Row("retrieved", "E7-1 to E7-7 and table E7.1", "compression"),
    "F1": Row("retrieved", "F1-1", "bending"),
    "F2": Row("retrieved", "F2-1 to F2-8b", "bending_channel"),
    "F6": Row("retrieved", "F6-1 to F6-4", "bending_channel"),
    "F7": Row("retrieved", "F7-1 to F7-13", "bending_tube",
              "numbers of F7-10 to F7-13 from design examples F.7B and H.5C"),
    "F8": Row("retrieved", "F8-1 to F8-4", "bending_tube"),
    "F10": Row("retrieved", "F10-1 to F10-8", "bending_angle"),
    "F11": Row("retrieved", "F11-1 to F11-5", "bending_bar"),
    "G2": Row("retrieved", "G2-1 to G2-11", "shear"),
    "G3": Row("retrieved", "G3-1", "shear"),
    "G4": Row("retrieved", "G4-1", "shear"),
    "G5": Row("retrieved", "G5-1, G5-2a, G5-2b", "shear"),
    "G6": Row("retrieved", "G6-1", "shear"),
    "H1": Row("retrieved", "H1-1a and H1-1b", "combined"),
    "H2": Row("retrieved", "H2-1", "combined"),
    "H3": Row("retrieved", "H3-1 to H3-9", "torsion, combined, shear"),
    "J10": Row("memory", "J10.10 in bending: the two yield-line moments", "hollow_joints",
               "table K3.2 of the 2010 edition as recalled; proved by the work of every yield line"),
    "J3": Row("retrieved", "J3.4 to J3.11, tables J3.2 to J3.4", "bolts",
              "equation numbers of J3.11 as in the 2016 edition's order; the copy has none"),
    "J4.1": Row("retrieved", "J4.1(a) with K1.2a", "hollow_joints, hollow_joints_plates"),
    "J4.2": Row("retrieved", "J4-3", "point_load, hollow_joints"),
    "J4.5": Row("retrieved", "J4.5 with K1.2a", "hollow_joints",
                "what of the plastic modulus does not work: as table K3.2 of the 2010 edition takes it off"),
    "J10.2": Row("retrieved", "J10-2 and J10-3", "point_load"),
    "J10.3": Row("retrieved", "J10-4, J10-5a, J10-5b", "point_load"),
    "J10.5": Row("retrieved", "J10-8", "point_load"),
    "J10.10": Row("second-hand", "J10.10 read: it names the limit states", "point_load",
                  "the yield-line formula is Manual part 9 and table K2.2 of the 2010 edition, as quoted"),
    "K1": Row("retrieved", "K1.2a, K1.3, K1.4", "point_load, hollow_joints"),
    "K2": Row("second-hand", "K2.3 read: it sends to chapter J", "hollow_joints_plates",
              "cap plates by K1-14 and K1-15 of the 2010 edition"),
    "K3": Row("retrieved", "K3-1 to K3-3 and table K3.1A", "hollow_joints_round"),
    "K4": Row("retrieved", "K4-1 to K4-8, tables K4.1A and K4.2A", "hollow_joints, hollow_joints_round",
              "the reduced yield F_y* is 0.8 F_y for cross joints, as the 2010 edition says"),
    "K5": Row("retrieved", "K5-5 to K5-7", "hollow_joints"),
}
