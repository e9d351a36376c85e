"""Expressions: what a formula's body does, recorded in the author's own order.

A body of plain arithmetic runs on floats, arrays and on `Node`s alike. Run on nodes it leaves a tree that
prints itself (text, LaTeX), evaluates, turns into SymPy, or collects into one fraction. SymPy is loaded
only by `to_sympy`.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

import numpy as np


class Node:
    """A recorded number. `value` is its size where every symbol in it was given one, else None."""

    __slots__ = ()
    __array_ufunc__ = None  # numpy hands the operation over instead of making an array of nodes
    value: float | None

    def __add__(self, other):
        return Op.of("+", self, other)

    def __radd__(self, other):
        return Op.of("+", other, self)

    def __sub__(self, other):
        return Op.of("-", self, other)

    def __rsub__(self, other):
        return Op.of("-", other, self)

    def __mul__(self, other):
        return Op.of("*", self, other)

    def __rmul__(self, other):
        return Op.of("*", other, self)

    def __truediv__(self, other):
        return Op.of("/", self, other)

    def __rtruediv__(self, other):
        return Op.of("/", other, self)

    def __pow__(self, other):
        return Op.of("**", self, other)

    def __rpow__(self, other):
        return Op.of("**", other, self)

    def __neg__(self):
        return Op.of("-", Const(Fraction(0)), self)

    def __bool__(self):
        raise TypeError("a formula's body may not branch; limits and branches live a layer up")

    def __eq__(self, other):
        return True if other is self else self.__bool__()

    __lt__ = __le__ = __gt__ = __ge__ = lambda self, other: self.__bool__()
    __hash__ = object.__hash__


@dataclass(frozen=True, slots=True, eq=False)
class Symbol(Node):
    name: str
    value: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Const(Node):
    """An exact number, printed as the author wrote it."""

    exact: Fraction

    @property
    def value(self) -> float:
        return float(self.exact)


@dataclass(frozen=True, slots=True, eq=False)
class Pi(Node):
    value: float = math.pi


@dataclass(frozen=True, slots=True, eq=False)
class Op(Node):
    op: str
    left: Node
    right: Node
    value: float | None

    @staticmethod
    def of(op: str, left, right) -> Op:
        left, right = as_node(left), as_node(right)
        known = left.value is not None and right.value is not None
        return Op(op, left, right, _apply(op, left.value, right.value) if known else None)


@dataclass(frozen=True, slots=True, eq=False)
class Func(Node):
    name: str
    inner: Node
    value: float | None


class Exact(float):
    """A float that remembers what it is (pi, 3/4), so that a tree and SymPy get it exactly."""

    __slots__ = ("node",)
    _op_priority = 100.0  # SymPy hands the operation over instead of taking the float

    def __new__(cls, size: float, node: Node):
        self = super().__new__(cls, size)
        self.node = node
        return self


# While a body is being recorded every float in it is a figure of its author's (its arguments are nodes), so
# 0.458*pi**2 stays as written; at any other time a float may be a size, and the product is a plain float.
_recording = False


def record(body: Callable, names: Iterable[str]) -> Node:
    """The tree that a body leaves when its arguments are symbols."""
    global _recording
    before, _recording = _recording, True
    try:
        return as_node(body(**{n: Symbol(n) for n in names}))
    finally:
        _recording = before


def _exact_op(op: str, name: str, swapped: bool):
    plain = getattr(float, name)

    def method(self, other):
        pair = (other, self) if swapped else (self, other)
        if isinstance(other, Node):
            return Op.of(op, *pair)
        if type(other) in (Exact, int) or (_recording and type(other) is float):
            return Exact(plain(self, other), Op.of(op, *pair))
        if _is_sympy(other):
            return _apply(op, *(to_sympy(x.node) if x is self else x for x in pair))
        return plain(self, other)

    return method


for _op, _name in (("+", "add"), ("-", "sub"), ("*", "mul"), ("/", "truediv"), ("**", "pow")):
    setattr(Exact, f"__{_name}__", _exact_op(_op, f"__{_name}__", False))
    setattr(Exact, f"__r{_name}__", _exact_op(_op, f"__r{_name}__", True))

Exact.__neg__ = lambda self: Exact(-float(self), -self.node)
Exact.__pos__ = lambda self: self

pi = Exact(math.pi, Pi())


def _is_sympy(x) -> bool:
    return hasattr(x, "free_symbols")


def frac(top: int, bottom: int) -> Exact:
    """An exact fraction for an exponent or a coefficient: x**frac(3, 4)."""
    return Exact(top / bottom, Const(Fraction(top, bottom)))


def as_node(x) -> Node:
    if isinstance(x, Node):
        return x
    if isinstance(x, Exact):
        return x.node
    if isinstance(x, int | Fraction):
        return Const(Fraction(x))
    if isinstance(x, float):
        return Const(Fraction(repr(float(x))))
    raise TypeError(f"a formula's body met {type(x).__name__}; only numbers belong there")


def _apply(op: str, a, b):
    if op == "+":
        return a + b
    if op == "-":
        return a - b
    if op == "*":
        return a * b
    if op == "/":
        return a / b
    return a**b


# name -> (real, complex, numpy): functions a body may call besides arithmetic
_FUNCTIONS: dict[str, tuple[Callable, Callable, Callable]] = {
    "sqrt": (math.sqrt, cmath.sqrt, np.sqrt),
    "sin": (math.sin, cmath.sin, np.sin),
    "cos": (math.cos, cmath.cos, np.cos),
    "tan": (math.tan, cmath.tan, np.tan),
    "exp": (math.exp, cmath.exp, np.exp),
    "log": (math.log, cmath.log, np.log),
    "acos": (math.acos, cmath.acos, np.arccos),
    "atan": (math.atan, cmath.atan, np.arctan),
}


def _call(name: str, x):
    real, cplx, array = _FUNCTIONS[name]
    if type(x) is float:
        return real(x)
    if isinstance(x, np.ndarray | np.generic):
        return array(x)
    if _is_sympy(x):
        import sympy

        return getattr(sympy, name)(x)
    return cplx(x) if isinstance(x, complex) else real(x)


def _function(name: str):
    def function(x):
        if isinstance(x, Node):
            return Func(name, x, None if x.value is None else _call(name, x.value))
        if isinstance(x, Exact) or type(x) is int:
            size = _call(name, float(x))
            return Exact(size, Func(name, as_node(x), size))
        return _call(name, x)

    function.__name__ = name
    function.__doc__ = f"{name} of a float, an array, a complex number or a recorded expression."
    return function


sqrt, sin, cos, tan = (_function(n) for n in ("sqrt", "sin", "cos", "tan"))
exp, log, acos, atan = (_function(n) for n in ("exp", "log", "acos", "atan"))


def bracket(x, n: int):
    """Macaulay's bracket <x>^n: x**n where x is positive (n >= 1), 0 elsewhere; <x>^0 is 1 from x = 0 on,
    and a negative power is 0. A recorded x must carry a value; the tree then holds the branch that applies.
    A complex x (a sensitivity's step) is judged by its real part."""
    if n < 0:
        return 0 * x
    if isinstance(x, Node):
        if x.value is None:
            raise TypeError("a bracket can be recorded only where the sizes are known")
        on = x.value >= 0 if n == 0 else x.value > 0
        return x**n if on and n else Const(Fraction(int(on)))
    if _is_sympy(x):  # in proofs
        import sympy

        return sympy.SingularityFunction(x, 0, n)
    if n == 0:
        return (np.real(x) >= 0) * 1.0
    return (np.where(np.real(x) > 0, x, 0.0)[()] if np.iscomplexobj(x) else np.maximum(x, 0.0)) ** n


# --- reading a tree ------------------------------------------------------------------------------


def evaluate(node: Node, sizes: Mapping[str, object]):
    """The tree's number for floats, complex numbers or arrays in `sizes`."""
    if isinstance(node, Symbol):
        return sizes[node.name]
    if isinstance(node, Const | Pi):
        return node.value
    if isinstance(node, Func):
        return _call(node.name, evaluate(node.inner, sizes))
    return _apply(node.op, evaluate(node.left, sizes), evaluate(node.right, sizes))


def symbols(node: Node) -> list[str]:
    """Names in the order of their first appearance."""
    if isinstance(node, Symbol):
        return [node.name]
    if isinstance(node, Func):
        return symbols(node.inner)
    if isinstance(node, Op):
        return list(dict.fromkeys(symbols(node.left) + symbols(node.right)))
    return []


def constants(node: Node) -> list[Fraction]:
    if isinstance(node, Const):
        return [node.exact]
    if isinstance(node, Func):
        return constants(node.inner)
    return constants(node.left) + constants(node.right) if isinstance(node, Op) else []


def to_sympy(node: Node):
    """The tree as a SymPy expression; every symbol is positive."""
    import sympy

    if isinstance(node, Symbol):
        return sympy.Symbol(node.name, positive=True)
    if isinstance(node, Const):
        return sympy.Rational(node.exact.numerator, node.exact.denominator)
    if isinstance(node, Pi):
        return sympy.pi
    if isinstance(node, Func):
        return getattr(sympy, node.name)(to_sympy(node.inner))
    return _apply(node.op, to_sympy(node.left), to_sympy(node.right))


# --- printing ------------------------------------------------------------------------------------

_RANK = {"+": 1, "-": 1, "*": 2, "/": 2, "**": 3}
_GREEK = {"alpha", "beta", "gamma", "delta", "epsilon", "zeta", "eta", "theta", "kappa", "lambda", "mu", "nu",
          "xi", "rho", "sigma", "tau", "phi", "chi", "psi", "omega", "Gamma", "Delta", "Theta", "Lambda",
          "Sigma", "Phi", "Psi", "Omega"}
_LOOSE = 0.5  # a leading minus: in brackets wherever it does not come first


def constant_text(value: Fraction) -> str:
    """A whole number, a decimal where it is exact and no longer than the fraction, else the fraction."""
    if value.denominator == 1:
        return str(value.numerator)
    fraction, decimal = f"{value.numerator}/{value.denominator}", repr(float(value))
    if "e" in decimal:
        decimal = f"{float(value):.20f}".rstrip("0")
    short = len(decimal) <= max(8, len(fraction))
    return decimal if short and Fraction(decimal) == value else fraction


def _is_negation(node: Op) -> bool:
    return node.op == "-" and isinstance(node.left, Const) and node.left.exact == 0


# log is the natural one; on a calculator "log" is another.
_FUNCTION_TEXT = {"sqrt": "√", "log": "ln", "acos": "arccos", "atan": "arctan"}


def text(node: Node, leaf: Callable[[str], str] = lambda name: name) -> str:
    """The tree on one line: 5·w·L^4/(384·E·I). `leaf` prints a symbol (its name or its number)."""
    return _text(node, leaf)[0]


def _text(node: Node, leaf) -> tuple[str, int]:
    if isinstance(node, Symbol | Const):
        shown = leaf(node.name) if isinstance(node, Symbol) else constant_text(node.exact)
        return shown, (_LOOSE if shown.startswith("-") else 2 if "/" in shown else 4)
    if isinstance(node, Pi):
        return "π", 4
    if isinstance(node, Func):
        return f"{_FUNCTION_TEXT.get(node.name, node.name)}({_text(node.inner, leaf)[0]})", 4
    left, lrank = _text(node.left, leaf)
    right, rrank = _text(node.right, leaf)
    rank = _RANK[node.op]
    if _is_negation(node):
        return f"-{right if rrank > 1 else f'({right})'}", _LOOSE
    if (lrank < rank and not (rank == 1 and lrank == _LOOSE)) or (node.op == "**" and lrank < 4):
        left = f"({left})"
    if (rrank < rank or (node.op in "-/" and rrank == rank) or (node.op == "**" and rrank < 4)
            or right.startswith("-")):
        right = f"({right})"
    sign = {"+": " + ", "-": " - ", "*": "·", "/": "/", "**": "^"}[node.op]
    return f"{left}{sign}{right}", rank


def latex_name(name: str) -> str:
    head, _, tail = name.partition("_")
    if head in _GREEK:
        head = "\\" + head
    elif len(head) > 1:
        head = rf"\mathrm{{{head}}}"
    return head + (rf"_{{\mathrm{{{tail.replace('_', ',')}}}}}" if tail else "")


def latex(node: Node, leaf: Callable[[str], str] = latex_name) -> str:
    """The tree as LaTeX, fractions as the author wrote them; numbers get a dot between factors."""
    return _latex(node, leaf, r"\," if leaf is latex_name else r" \cdot ")[0]


DEGREES = r"^\circ"


def _latex(node: Node, leaf, times: str) -> tuple[str, int]:
    if isinstance(node, Symbol):
        shown = leaf(node.name)
        size, ten, power = shown.partition("e") if leaf is not latex_name else (shown, "", "")
        if ten:
            degrees = power.endswith(DEGREES)
            shown = rf"{size} \cdot 10^{{{int(power.removesuffix(DEGREES))}}}"
            shown = rf"\left({shown}\right){DEGREES}" if degrees else shown
        return shown, (_LOOSE if shown.startswith("-") else 2 if ten else 4)
    if isinstance(node, Const):
        shown = constant_text(node.exact)
        if "/" in shown:
            top, bottom = shown.removeprefix("-").split("/")
            sign = "-" if shown.startswith("-") else ""
            return rf"{sign}\frac{{{top}}}{{{bottom}}}", (_LOOSE if sign else 3)
        return shown, (_LOOSE if shown.startswith("-") else 4)
    if isinstance(node, Pi):
        return r"\pi", 4
    if isinstance(node, Func):
        inner = _latex(node.inner, leaf, times)[0]
        if node.name == "sqrt":
            return rf"\sqrt{{{inner}}}", 4
        return rf"\{_FUNCTION_TEXT.get(node.name, node.name)}\left({inner}\right)", 4
    left, lrank = _latex(node.left, leaf, times)
    right, rrank = _latex(node.right, leaf, times)
    if node.op == "/":
        return rf"\frac{{{left}}}{{{right}}}", 3
    rank = _RANK[node.op]
    if _is_negation(node):
        return "-" + (right if rrank > 1 else rf"\left({right}\right)"), _LOOSE
    if (lrank < rank and not (rank == 1 and lrank == _LOOSE)) or (node.op == "**" and lrank < 4):
        left = rf"\left({left}\right)"
    if node.op == "**":
        return f"{left}^{{{right}}}", 3
    if rrank < rank or (node.op == "-" and rrank == rank) or right.startswith("-"):
        right = rf"\left({right}\right)"
    if node.op == "*" and right.startswith((*"0123456789", r"\frac")):
        times = r" \cdot "  # two figures side by side would read as one
    sign = {"+": " + ", "-": " - ", "*": times}[node.op]
    return f"{left}{sign}{right}", rank


# --- collecting into one fraction ----------------------------------------------------------------

Monomial = tuple[tuple[str, int], ...]
Polynomial = dict[Monomial, Fraction]


def polynomial(node: Node) -> Polynomial:
    """The tree as a sum of monomials with whole (also negative) powers.

    Raises TypeError where it is none: functions, pi, a division by a sum that does not go up.
    """
    if isinstance(node, Symbol):
        return {((node.name, 1),): Fraction(1)}
    if isinstance(node, Const):
        return {(): node.exact} if node.exact else {}
    if not isinstance(node, Op):
        raise TypeError("only sums, products and whole powers collect into one fraction")
    left = polynomial(node.left)
    if node.op == "**":
        if not (isinstance(node.right, Const) and node.right.exact.denominator == 1):
            raise TypeError("only whole powers collect into one fraction")
        n = node.right.exact.numerator
        base = left if n >= 0 else _inverted(left)
        result: Polynomial = {(): Fraction(1)}
        for _ in range(abs(n)):
            result = _product(result, base)
        return result
    right = polynomial(node.right)
    if node.op == "*":
        return _product(left, right)
    if node.op == "/":
        return _product(left, _inverted(right)) if len(right) == 1 else _divided(left, right)
    sign = 1 if node.op == "+" else -1
    total = dict(left)
    for key, value in right.items():
        total[key] = total.get(key, Fraction(0)) + sign * value
    return {k: v for k, v in total.items() if v}


def _product(a: Polynomial, b: Polynomial) -> Polynomial:
    total: Polynomial = {}
    for ka, va in a.items():
        for kb, vb in b.items():
            powers = dict(ka)
            for name, n in kb:
                powers[name] = powers.get(name, 0) + n
            key = tuple(sorted((s, n) for s, n in powers.items() if n))
            total[key] = total.get(key, Fraction(0)) + va * vb
    return {k: v for k, v in total.items() if v}


def _divided(a: Polynomial, b: Polynomial) -> Polynomial:
    """a over the sum b where it goes up: (w L^4 + 12 w L^2 f) over (L^3 + 12 L f) is w L."""
    names = sorted({s for p in (a, b) for key in p for s, _ in key})

    def first(p: Polynomial):
        return max(p, key=lambda key: [dict(key).get(s, 0) for s in names])

    if not b:
        raise TypeError("division by zero does not collect into one fraction")
    lead, rest, result = first(b), dict(a), {}
    inverse = _inverted({lead: b[lead]})
    # each step takes the leading term away; where the division goes up there are no more steps than terms
    for _ in range(4 * (len(a) + len(b))):
        if not rest:
            return result
        part = _product({first(rest): rest[first(rest)]}, inverse)
        for key, value in part.items():
            result[key] = result.get(key, Fraction(0)) + value
        for key, value in _product(part, b).items():
            rest[key] = rest.get(key, Fraction(0)) - value
        rest = {k: v for k, v in rest.items() if v}
    raise TypeError("division by a sum does not collect into one fraction")


def _inverted(p: Polynomial) -> Polynomial:
    if len(p) != 1:
        raise TypeError("division by a sum does not collect into one fraction")
    ((key, value),) = p.items()
    return {tuple((s, -n) for s, n in key): 1 / value}


def collect(node: Node, order: tuple[str, ...] = ()) -> Node:
    """The same number as one fraction with what is common taken out: 5·w·L^4/(384·E·I).

    order  names in the order in which factors print; others follow by name
    """
    p = polynomial(node)
    if not p:
        return Const(Fraction(0))

    def rank(name: str):
        return (order.index(name) if name in order else len(order), name)

    names = sorted({s for key in p for s, _ in key}, key=rank)
    common = {s: min(dict(key).get(s, 0) for key in p) for s in names}
    top_c = math.gcd(*(v.numerator for v in p.values()))
    bottom_c = math.lcm(*(v.denominator for v in p.values()))
    lead = sorted(p, key=lambda key: [-dict(key).get(s, 0) for s in names])
    if p[lead[0]] < 0 and all(v < 0 for v in p.values()):
        top_c = -top_c
    scale = Fraction(top_c, bottom_c)

    def factor(name: str, n: int) -> Node:
        return Symbol(name) if n == 1 else Symbol(name) ** n

    def chain(number: int, factors: list[Node]) -> Node:
        if number != 1 or not factors:
            factors = [Const(Fraction(number)), *factors]
        result = factors[0]
        for f in factors[1:]:
            result = result * f
        return result

    inner: Node | None = None
    if len(p) > 1:
        for key in sorted(lead, key=lambda k: p[k] / scale < 0):
            weight = p[key] / scale
            term = chain(abs(weight.numerator), [
                factor(s, dict(key).get(s, 0) - common[s])
                for s in names if dict(key).get(s, 0) != common[s]])
            if inner is None:
                inner = term if weight > 0 else -term
            else:
                inner = inner + term if weight > 0 else inner - term
    above = [factor(s, common[s]) for s in names if common[s] > 0]
    below = [factor(s, -common[s]) for s in names if common[s] < 0]
    negative, number_top = top_c < 0, abs(scale.numerator)
    if inner is not None:
        above.append(inner)
    result = chain(number_top, above)
    if below or scale.denominator != 1:
        result = result / chain(scale.denominator, below)
    return -result if negative else result
