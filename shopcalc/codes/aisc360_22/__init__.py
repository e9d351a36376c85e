"""AISC 360-22, Specification for Structural Steel Buildings: the clauses that a furniture-sized member needs.

Clauses are array kernels (SI floats, first axis = design) behind `.si`; the call takes quantities. They
return nominal strength (check.Strength). What was read and where stands in `clauses.CLAUSES`.
"""
