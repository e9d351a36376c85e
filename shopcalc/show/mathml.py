"""A worked line as MathML: equations that any browser prints, without a script."""

from __future__ import annotations

import re
from functools import lru_cache
from html import escape

from latex2mathml.converter import convert

from shopcalc.expression import latex_name
from shopcalc.formula import Worked
from shopcalc.show.values import raised

# The converter writes 1{,}200 as three tokens and a word as single letters; a reader wants one number
# and one word.
_COMMA = re.compile(r"<mn>([\d,]+)</mn><mrow><mo>&#x0002C;</mo></mrow><mn>(\d{3}(?:\.\d+)?)</mn>")
_WORD = re.compile(r'(?:<mi mathvariant="normal">[^<]{1,8}</mi>)+')
_LETTER = re.compile(r'<mi mathvariant="normal">([^<]{1,8})</mi>')
_POWER_OF_TEN = re.compile(r"([\d.]+)e([+-]?)0*(\d+)")

# About as many characters as fit across the narrowest page (A4 inside its margins) at text size.
WIDEST = 92
BESIDE = 56  # characters of one line that holds symbols, numbers and result


@lru_cache(maxsize=4096)
def mathml(latex: str) -> str:
    """LaTeX of the kit's worked lines as one <math> element, without a namespace address."""
    markup = convert(_POWER_OF_TEN.sub(_power, latex))
    # display style keeps fractions at full size; the namespace is needless inside a page
    markup = re.sub(r"^<math [^>]*>", '<math display="inline" displaystyle="true">', markup)
    joined = 1
    while joined:
        markup, joined = _COMMA.subn(r"<mn>\1,\2</mn>", markup)
    return _WORD.sub(lambda m: f'<mi mathvariant="normal">{"".join(_LETTER.findall(m[0]))}</mi>', markup)


def _power(match: re.Match) -> str:
    sign = "-" if match[2] == "-" else ""
    return rf"\left({match[1]} \cdot 10^{{{sign}{match[3]}}}\right)"


def where_html(line: Worked) -> str:
    """What the symbols of a worked line are, with their sizes."""
    return "; ".join(f"{mathml(latex_name(symbol))} = {escape(raised(size))} ({escape(meaning)})"
                     for symbol, size, meaning in line.inputs)


def worked_html(line: Worked) -> str:
    """Symbols, numbers and result of one worked line, side by side where a page has room, else one under the other. What is
    too wide even so stands as plain text, which wraps."""
    lead = line.latex_symbolic.split(" = ", 1)[0]
    beside, tail = f"{line.latex_symbolic} = {line.latex_numbers}", f" = {line.result}"
    if printed_width(beside) + len(tail) <= BESIDE:
        return f'<div class="worked">{_row(beside, "", tail)}</div>'
    numbers = f"{lead} = {line.latex_numbers}"
    rows = [_row(line.latex_symbolic, f"{line.symbol} = {line.expression}"),
            _row(numbers, f"{line.symbol} = {line.numbers}", f" = {line.result}")]
    return f'<div class="worked">{"".join(rows)}</div>'


def _row(latex: str, plain: str, tail: str = "") -> str:
    if printed_width(latex) + len(tail) > WIDEST:
        return f'<p class="line plain">{escape(plain + tail)}</p>'
    result = f'<strong class="result">{escape(raised(tail))}</strong>' if tail else ""
    return f'<p class="line">{mathml(latex)}{result}</p>'


def printed_width(latex: str) -> int:
    """Characters across a printed line: of a fraction only the wider part counts."""
    text = re.sub(r"\\(left|right|,|mathrm|cdot)|\{,\}", lambda m: " " if m[0] == r"\cdot" else "", latex)
    pattern = re.compile(r"\\frac\{([^{}]*)\}\{([^{}]*)\}|\\?[a-zA-Z]*\{([^{}]*)\}")
    while True:
        shorter = pattern.sub(lambda m: max(m[1], m[2], key=len) if m[1] is not None else m[3], text, count=1)
        if shorter == text:
            return len(re.sub(r"\\[a-zA-Z]+", "x", text))
        text = shorter
