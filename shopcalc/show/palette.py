"""Colours: never the only sign of anything; text or hatching always stands beside them.

Single colours: M. Okabe and K. Ito, Color Universal Design: how to make figures and presentations that
are friendly to colorblind people (2002, revised 2008). Scale: cividis, J. R. Nuñez, C. R. Anderton and
R. S. Renslow, PLOS ONE 13(7), e0199239 (2018), as shipped with matplotlib.
"""

BLACK = "#000000"
ORANGE = "#E69F00"
SKY_BLUE = "#56B4E9"
BLUISH_GREEN = "#009E73"
YELLOW = "#F0E442"
BLUE = "#0072B2"
VERMILION = "#D55E00"
REDDISH_PURPLE = "#CC79A7"

SCALE = "cividis"

PAPER = "#FFFFFF"
PALE = "#EDEDED"
GREY = "#666666"

# verdict -> (fill, hatch). The hatch tells the same in black and white.
VERDICT_LOOKS = {
    "within limit": (SKY_BLUE, ""),
    "reported": (PALE, ""),
    "ask an engineer": (YELLOW, "xx"),
    "outside range": (PALE, "\\\\\\"),
    "over limit": (VERMILION, "///"),
    "refused": (REDDISH_PURPLE, "xxx"),
}
