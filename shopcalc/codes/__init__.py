"""Design codes: clauses over arrays. A code's edition is in the name of its package.

Clauses return nominal strength (check.Strength). The factor between nominal and allowable follows the kind of
load and is applied in `check.allowable`, never here.
"""
