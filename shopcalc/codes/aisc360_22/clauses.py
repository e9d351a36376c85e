"""What of AISC 360-22 was read, and where it stands in the kit: one row per clause.

provenance  retrieved: read in the standard's own text (a machine-read copy; a sign that it garbled was settled
            by the clause that uses the number or by a worked example of the same body, named in `note`);
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
    "B4.1a": Row("retrieved", "table B4.1a", "limits",
                 "cases of the narrow walls; case 9 is E/F_y without a root, as E7.2 and example E.11 print it"),
    "B4.1b": Row("retrieved", "table B4.1b", "limits",
                 "case 20 is E/F_y without a root, as example F.9B prints it"),
    "F1": Row("retrieved", "F1-1", "bending_tube"),
    "F7": Row("retrieved", "F7-1 to F7-13", "bending_tube",
              "numbers of F7-10 to F7-13 from design examples F.7B and H.5C"),
    "F8": Row("retrieved", "F8-1 to F8-4", "bending_tube"),
    "G2": Row("retrieved", "G2-1 to G2-11", "shear"),
    "G4": Row("retrieved", "G4-1", "shear"),
    "G5": Row("retrieved", "G5-1, G5-2a, G5-2b", "shear"),
}
