"""EN 1993-1-8:2005, joints: a second method beside AISC 360-22, never mixed with it.

Resistances are those of the standard with its partial factors inside; loads are the factored ones of EN 1990.
"""
