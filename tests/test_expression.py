"""Recorded expressions: every mode of a body, exact constants, printing, collecting."""

import cmath
import copy
import math
import re
from fractions import Fraction

import numpy as np
import pytest
import sympy
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from shopcalc.expression import (
    Const,
    Exact,
    Func,
    Node,
    Op,
    Pi,
    Symbol,
    acos,
    as_node,
    atan,
    bracket,
    collect,
    constant_text,
    constants,
    cos,
    evaluate,
    exp,
    frac,
    latex,
    latex_name,
    log,
    pi,
    polynomial,
    record,
    sin,
    sqrt,
    symbols,
    tan,
    text,
    to_sympy,
)

FUNCTIONS = {"sqrt": (sqrt, math.sqrt), "sin": (sin, math.sin), "cos": (cos, math.cos),
             "tan": (tan, math.tan), "exp": (exp, math.exp), "log": (log, math.log),
             "acos": (acos, math.acos), "atan": (atan, math.atan)}
X = sympy.Symbol("x", positive=True)

# --- pi, sqrt, frac and the rest in every mode ---------------------------------------------------


@pytest.mark.parametrize("name", FUNCTIONS)
def test_a_function_takes_every_kind_of_number(name):
    ours, real = FUNCTIONS[name]
    x = 0.37
    assert ours(x) == real(x)
    assert ours(np.float64(x)) == pytest.approx(real(x), rel=1e-15)
    np.testing.assert_allclose(ours(np.array([x, 0.5])), [real(x), real(0.5)], rtol=1e-15)
    step = 1e-30
    slope = (real(x + 1e-6) - real(x - 1e-6)) / 2e-6
    assert ours(complex(x, step)).imag / step == pytest.approx(slope, rel=1e-8)
    node = ours(Symbol("x", x))
    assert isinstance(node, Func) and node.value == real(x) and evaluate(node, {"x": x}) == real(x)
    assert float(to_sympy(node).subs(X, sympy.Float(x, 30))) == pytest.approx(real(x), rel=1e-14)
    assert float(ours(X).subs(X, sympy.Float(x, 30))) == pytest.approx(real(x), rel=1e-14)


def body(x):
    """Every function and constant that a body may use, once."""
    return (pi * x**frac(3, 4) / sqrt(2) - (2 - pi / 4) * x + frac(1, 3) * sqrt(3 * pi) + 2**frac(1, 2)
            - (-pi) * x**pi / 7 + x * pi + (1 + pi) ** 2 / pi + 0.875)


def body_by_hand(x):
    p = math.pi
    return (p * x**0.75 / math.sqrt(2) - (2 - p / 4) * x + math.sqrt(3 * p) / 3 + math.sqrt(2)
            + p * x**p / 7 + x * p + (1 + p) ** 2 / p + 0.875)


def test_a_body_is_the_same_number_in_every_mode():
    wanted = body_by_hand(1.7)
    assert body(1.7) == pytest.approx(wanted, rel=1e-15)
    assert body(complex(1.7, 0)) == pytest.approx(wanted, rel=1e-15)
    np.testing.assert_allclose(body(np.array([1.7, 2.0])), [wanted, body_by_hand(2.0)], rtol=1e-15)
    tree = body(Symbol("x", 1.7))
    assert tree.value == pytest.approx(wanted, rel=1e-15)
    assert evaluate(tree, {"x": 1.7}) == pytest.approx(wanted, rel=1e-15)
    for expression in (to_sympy(body(Symbol("x"))), body(X)):
        assert float(expression.subs(X, sympy.Rational(17, 10))) == pytest.approx(wanted, rel=1e-15)


def test_the_tree_holds_pi_and_fractions_exactly():
    tree = to_sympy(body(Symbol("x")))
    assert not tree.atoms(sympy.Float)
    p, root, part = sympy.pi, sympy.sqrt, sympy.Rational
    by_hand = (p * X ** part(3, 4) / root(2) - (2 - p / 4) * X + root(3 * p) / 3 + root(2) + p * X**p / 7
               + X * p + (1 + p) ** 2 / p + part(7, 8))
    assert sympy.simplify(tree - by_hand) == 0


@pytest.mark.parametrize("make", [
    lambda: pi * X - sympy.pi * X, lambda: X * pi - sympy.pi * X, lambda: X - pi + sympy.pi - X,
    lambda: pi / X - sympy.pi / X, lambda: X / pi - X / sympy.pi, lambda: X**pi - X**sympy.pi,
    lambda: pi**X - sympy.pi**X,
    lambda: X**frac(3, 4) - X**sympy.Rational(3, 4), lambda: sqrt(2) * X - sympy.sqrt(2) * X,
    lambda: (-pi) * X + sympy.pi * X, lambda: sqrt(pi / 4) * X - sympy.sqrt(sympy.pi) / 2 * X])
def test_direct_sympy_keeps_pi_and_fractions_exact(make):
    assert sympy.simplify(make()) == 0


def test_an_exact_number_is_a_float_to_everyone_else():
    assert isinstance(pi, float) and pi == math.pi and f"{pi:.3f}" == "3.142" and hash(pi) == hash(math.pi)
    assert float(frac(1, 3)) == 1 / 3 and sqrt(2) == math.sqrt(2) and isinstance(sqrt(2), Exact)
    assert isinstance(2 * pi - pi / 4, Exact) and (2 * pi - pi / 4) == 2 * math.pi - math.pi / 4
    assert -pi == -math.pi and isinstance(-pi, Exact) and +pi is pi
    np.testing.assert_array_equal(np.ones(2) * pi, [math.pi, math.pi])
    np.testing.assert_array_equal(pi * np.array([1, 2]), [math.pi, 2 * math.pi])
    assert pi * (1 + 1j) == math.pi * (1 + 1j) and (1 + 1j) * pi == math.pi * (1 + 1j)
    assert pi * np.float64(2) == 2 * math.pi and type(pi * 2.0) is float
    assert math.sin(pi) == math.sin(math.pi)
    for op in (lambda a, b: a + b, lambda a, b: a - b, lambda a, b: a * b, lambda a, b: a / b, lambda a,
               b: a**b):
        assert op(pi, 3) == op(math.pi, 3) and op(3, pi) == op(3, math.pi)
        assert op(pi, frac(1, 3)) == op(math.pi, 1 / 3)
        assert op(pi, 3).node.value == op(math.pi, 3) and op(3, pi).node.value == op(3, math.pi)


def test_a_recorded_body_keeps_its_figures_beside_pi():
    def buckling(E, b):
        return 0.458 * pi**2 * E / b**2 + pi * 0.25 * b

    assert text(record(buckling, ("E", "b"))) == "0.458·π^2·E/b^2 + π·0.25·b"
    assert buckling(2.0, 3.0) == pytest.approx(0.458 * math.pi**2 * 2 / 9 + math.pi * 0.75, rel=1e-15)
    assert type(buckling(2.0, 3.0)) is float and type(0.458 * pi) is float
    with pytest.raises(ZeroDivisionError):
        record(lambda x: x * (pi / 0), ("x",))
    assert type(0.458 * pi) is float


@pytest.mark.parametrize("other", [2, 2.0, np.float64(2), Fraction(2), frac(4, 2)])
def test_a_node_takes_any_real_number_on_either_side(other):
    x = Symbol("x", 3.0)
    for tree, wanted in ((x + other, 5), (other + x, 5), (x - other, 1), (other - x, -1), (x * other, 6),
                         (other * x, 6),
                         (x / other, 1.5), (other / x, 2 / 3), (x**other, 9), (other**x, 8)):
        assert isinstance(tree, Node) and tree.value == pytest.approx(wanted)


@pytest.mark.parametrize("other", ["2", None, [2], np.array([1.0, 2.0]), 2j])
def test_a_node_refuses_what_is_no_real_number(other):
    with pytest.raises(TypeError):
        Symbol("x") * other
    with pytest.raises(TypeError):
        as_node(other)


@pytest.mark.parametrize("branch", [bool, lambda x: x > 1, lambda x: x <= 1, lambda x: x == 1,
                                    lambda x: x != 1,
                                    lambda x: max(x, 0), lambda x: 1 if x else 0, abs, lambda x: x in [1, 2]])
def test_a_body_cannot_branch(branch):
    with pytest.raises(TypeError):
        branch(Symbol("x", 2.0))


def test_nodes_stay_usable_as_keys():
    x = Symbol("x")
    assert x == x and {x: 1}[x] == 1


# --- random trees: printed text and LaTeX say what the tree computes -----------------------------

SIZES = {"a": 1.3, "b": 2.7, "c": 0.6}
LEAVES = st.one_of(
    st.sampled_from(list(SIZES)).map(lambda n: Symbol(n, SIZES[n])), st.integers(-9, 12).map(as_node),
    st.just(pi.node),
    st.sampled_from([0.5, 0.93, 1.12, 0.0174533, -0.25, 1e-5, 1e-9, 12.5]).map(as_node),
    st.sampled_from([(3, 4), (1, 3), (-2, 3), (5, 384)]).map(lambda f: frac(*f).node))


def grow(children):
    pair = st.tuples(children, children)
    return st.one_of(
        pair.map(lambda p: p[0] + p[1]), pair.map(lambda p: p[0] - p[1]), pair.map(lambda p: p[0] * p[1]),
        pair.filter(lambda p: p[1].value != 0).map(lambda p: p[0] / p[1]),
        st.tuples(children, st.sampled_from([2, 3, -1, -2, frac(1, 2), frac(3, 4)])).filter(
            lambda p: p[0].value > 0).map(lambda p: p[0] ** p[1]),
        children.filter(lambda t: 0 < t.value < 4).flatmap(lambda t: children.filter(
            lambda u: abs(u.value) < 4).map(lambda u: t**u)),
        children.map(lambda t: -t), children.filter(lambda t: t.value > 0).map(sqrt),
        children.filter(lambda t: t.value > 0).map(log))


def sized(tree: Node) -> bool:
    return isinstance(tree.value, float) and math.isfinite(tree.value) and 1e-6 < abs(tree.value) < 1e6


def settled(tree: Node) -> bool:
    """No near-cancellation anywhere, so that two orders of work agree closely."""
    if isinstance(tree, Op):
        whole = settled(tree.left) and settled(tree.right) and math.isfinite(tree.value)
        if tree.op in "+-":
            return whole and abs(tree.value) > 1e-3 * max(abs(tree.left.value), abs(tree.right.value))
        return whole
    return settled(tree.inner) if isinstance(tree, Func) else True


TREES = st.recursive(LEAVES, lambda c: grow(c.filter(sized)),
                     max_leaves=10).filter(lambda t: sized(t) and settled(t))


def python_of_text(words: str) -> str:
    return words.replace("·", "*").replace("^", "**").replace("√", "sqrt").replace("π", "pi")


KNOWN = {"sqrt": cmath.sqrt, "ln": cmath.log, "log": cmath.log, "pi": math.pi}


def number_of_text(words: str, sizes=SIZES):
    """Python's own parser knows the order of operations."""
    return eval(python_of_text(words), KNOWN, dict(sizes))


def python_of_latex(words: str) -> str:
    """LaTeX to Python by matching braces, written apart from the printer."""
    def group(i):
        depth, j = 0, i
        while True:
            depth += {"{": 1, "}": -1}.get(words[j], 0)
            j += 1
            if depth == 0:
                return python_of_latex(words[i + 1:j - 1]), j

    out, i = [], 0
    while i < len(words):
        if words.startswith(r"\frac", i):
            top, i = group(i + 5)
            bottom, i = group(i)
            out.append(f"(({top})/({bottom}))")
        elif words.startswith(r"\sqrt", i):
            inner, i = group(i + 5)
            out.append(f"sqrt({inner})")
        elif words.startswith("^{", i):
            inner, i = group(i + 1)
            out.append(f"**({inner})")
        else:
            for mark, python in ((r"\left(", "("), (r"\right)", ")"), (r"\,", "*"), (r"\cdot", "*"), (r"\pi",
                                                                                                      "pi"),
                                 (r"\ln", "log"), (r"\exp", "exp"), (r"\sin", "sin")):
                if words.startswith(mark, i):
                    out.append(python)
                    i += len(mark)
                    break
            else:
                assert words[i] != "\\", words[i:]
                out.append(words[i])
                i += 1
    return "".join(out)


def number_of_latex(words: str, sizes=SIZES):
    return eval(python_of_latex(words), KNOWN, dict(sizes))


@settings(max_examples=40)
@given(TREES)
@example(-(as_node(2) ** Symbol("a", 1.3)))
@example(frac(3, 4).node * Symbol("a", 1.3) ** 2 / (frac(3, 4).node * Symbol("b", 2.7)))
def test_text_and_latex_say_what_the_tree_computes(tree):
    close = pytest.approx(tree.value, rel=1e-9)
    assert evaluate(tree, SIZES) == close
    words = text(tree)
    assert number_of_text(words) == close
    assert number_of_latex(latex(tree)) == close
    numbers = {n: repr(v) for n, v in SIZES.items()}
    assert number_of_text(text(tree, numbers.__getitem__)) == close
    assert number_of_latex(latex(tree, numbers.__getitem__)) == close


@settings(max_examples=40)
@given(st.recursive(LEAVES, lambda c: grow(c.filter(sized)),
                    max_leaves=6).filter(lambda t: sized(t) and settled(t)))
def test_the_sympy_expression_computes_the_same(tree):
    value = to_sympy(tree).subs({sympy.Symbol(n, positive=True): sympy.Rational(str(v)) for n,
                                 v in SIZES.items()})
    assert float(value) == pytest.approx(tree.value, rel=1e-9)
    assert not value.atoms(sympy.Float)


NEGATIVE = {"a": "-1.3", "b": "1.37e-7", "c": "-2e+13"}


@settings(max_examples=40)
@given(TREES)
def test_negative_and_tiny_numbers_keep_their_brackets(tree):
    sizes = {n: float(v) for n, v in NEGATIVE.items()}
    try:
        wanted = evaluate(tree, sizes)
        assume(isinstance(wanted, float) and 1e-280 < abs(wanted) < 1e280)
    except (ValueError, ZeroDivisionError, OverflowError):
        assume(False)
    words, formula = text(tree, NEGATIVE.__getitem__), latex(tree, NEGATIVE.__getitem__)
    assert number_of_text(words) == pytest.approx(wanted, rel=1e-6)
    assert number_of_latex(formula) == pytest.approx(wanted, rel=1e-6)
    assert not re.search(r"\de[+-]?\d", formula)


a, b, c = (Symbol(n) for n in "abc")


@pytest.mark.parametrize(("tree", "words", "formula"), [
    (5 * a * b**4 / (384 * c * Symbol("I")), "5·a·b^4/(384·c·I)", r"\frac{5\,a\,b^{4}}{384\,c\,I}"),
    (a - (b - c), "a - (b - c)", r"a - \left(b - c\right)"), (a - b - c, "a - b - c", "a - b - c"),
    (a / (b / c), "a/(b/c)", r"\frac{a}{\frac{b}{c}}"), (a / b / c, "a/b/c", r"\frac{\frac{a}{b}}{c}"),
    (a * (b + c), "a·(b + c)", r"a\,\left(b + c\right)"), ((a**b) ** c, "(a^b)^c", r"\left(a^{b}\right)^{c}"),
    (a ** (b**c), "a^(b^c)", r"a^{b^{c}}"), ((-a) ** 2, "(-a)^2", r"\left(-a\right)^{2}"), (-(a**2), "-a^2",
                                                                                            "-a^{2}"),
    (-a + b, "-a + b", "-a + b"), (b + -a, "b + (-a)", r"b + \left(-a\right)"), (-(-a), "-(-a)",
                                                                                 r"-\left(-a\right)"),
    (as_node(-2) ** a, "(-2)^a", r"\left(-2\right)^{a}"), (a ** frac(3, 4), "a^0.75", "a^{0.75}"),
    (a ** frac(1, 3), "a^(1/3)", r"a^{\frac{1}{3}}"), (a ** -1, "a^(-1)", "a^{-1}"), (2 * (a * 3), "2·a·3",
                                                                                      r"2\,a \cdot 3"),
    (2 * (3 * a), "2·3·a", r"2 \cdot 3\,a"), (2 * (a / b), "2·a/b", r"2 \cdot \frac{a}{b}"),
    (sqrt(a * b), "√(a·b)", r"\sqrt{a\,b}"), (log(a), "ln(a)", r"\ln\left(a\right)"),
    (acos(a), "arccos(a)", r"\arccos\left(a\right)"), (pi * a, "π·a", r"\pi\,a")])
def test_how_a_tree_prints(tree, words, formula):
    assert text(tree) == words
    assert latex(tree) == formula


@pytest.mark.parametrize(("value", "words"), [
    (Fraction(3), "3"), (Fraction(1, 2), "0.5"), (Fraction(1, 3), "1/3"), (Fraction(93, 100), "0.93"),
    (Fraction(5, 384), "5/384"),
    (Fraction("0.0174533"), "0.0174533"), (Fraction("0.00000065"), "0.00000065"), (Fraction(-1, 4), "-0.25"),
    (Fraction(-1, 3), "-1/3")])
def test_a_constant_prints_as_written(value, words):
    assert constant_text(value) == words and Fraction(words) == value


@pytest.mark.parametrize(("name", "formula"), [
    ("delta", r"\delta"), ("sigma_b", r"\sigma_{\mathrm{b}}"), ("Omega", r"\Omega"), ("alpha_1",
                                                                                      r"\alpha_{\mathrm{1}}"),
                                                                                      ("L", "L"),
    ("Fy", r"\mathrm{Fy}"), ("c_left_end", r"c_{\mathrm{left,end}}"), ("lambda_", r"\lambda")])
def test_a_name_in_latex(name, formula):
    assert latex_name(name) == formula


def test_symbols_and_constants_in_the_order_of_the_author():
    tree = 5 * b * a**4 / (384 * c * sqrt(a))
    assert symbols(tree) == ["b", "a", "c"] and constants(tree) == [5, 4, 384]


# --- collecting ----------------------------------------------------------------------------------

MONOMIALS = st.tuples(st.fractions(-20, 20, max_denominator=24).filter(bool),
                      st.dictionaries(st.sampled_from("abc"), st.integers(-3, 4), max_size=3))


def tree_of(rows) -> Node:
    total = as_node(0)
    for weight, powers in rows:
        term = as_node(weight.numerator)
        for name, n in powers.items():
            term = term * Symbol(name) ** n if n >= 0 else term / Symbol(name) ** -n
        total = total + term / weight.denominator
    return total


@settings(max_examples=40)
@given(st.lists(MONOMIALS, max_size=5))
def test_collecting_changes_no_number(rows):
    tree = tree_of(rows)
    collected = collect(tree)
    by_hand = sum((float(w) * math.prod(SIZES[n] ** p for n, p in powers.items()) for w, powers in rows), 0.0)
    scale = sum((abs(float(w)) * math.prod(SIZES[n] ** p for n, p in powers.items()) for w, powers in rows),
                1e-300)
    assert evaluate(collected, SIZES) == pytest.approx(by_hand, abs=1e-12 * scale)
    exact = sympy.expand(to_sympy(tree) - to_sympy(collected))
    assert exact == 0
    assert polynomial(collected) == polynomial(tree)
    assert text(collect(collected)) == text(collected)


@settings(max_examples=40)
@given(st.lists(MONOMIALS, max_size=4), st.lists(MONOMIALS, max_size=3), MONOMIALS, st.integers(0, 3))
def test_products_powers_and_quotients_collect(first, second, divisor, n):
    tree = (tree_of(first) - tree_of(second)) ** n * tree_of(second) / tree_of([divisor])
    assert sympy.expand(to_sympy(tree) - to_sympy(collect(tree))) == 0


@settings(max_examples=40)
@given(st.lists(MONOMIALS, max_size=3), st.lists(MONOMIALS, min_size=2, max_size=3))
def test_a_division_by_a_sum_collects_where_it_goes_up(first, second):
    divisor = tree_of(second)
    if sympy.expand(to_sympy(divisor)) == 0:
        return
    tree = tree_of(first) * divisor / divisor
    assert sympy.expand(to_sympy(tree_of(first)) - to_sympy(collect(tree))) == 0


def test_one_fraction_with_the_common_part_taken_out():
    w, L, E, I, x = (Symbol(n) for n in ("w", "L", "E", "I", "x"))  # noqa: E741
    order = ("w", "a", "x", "L", "E", "I")
    assert text(collect(w * L / 2 * L**3 / 6 / (E * I) * frac(5, 32), order)) == "5·w·L^4/(384·E·I)"
    assert text(collect(w * x**2 / 2 - w * L * x / 2, order)) == "w·x·(x - L)/2"
    assert text(collect(-(w * L**2) / 8, order)) == "-w·L^2/8"
    assert text(collect(w * L - L * w)) == "0" and text(collect(as_node(3) / 6)) == "1/2"
    assert text(collect(-w - L, order)) == "-(w + L)"
    assert text(collect(L * w**2 / (E * w**3))) == "L/(E·w)"
    assert text(collect(w / 2 + L / 3, order)) == "(3·w + 2·L)/6"


@settings(max_examples=40)
@given(st.lists(MONOMIALS, min_size=1, max_size=3), st.lists(MONOMIALS, min_size=2, max_size=3))
def test_a_division_that_goes_up_collects(quotient, divisor):
    by = tree_of(divisor)
    assume(polynomial(by))
    tree = tree_of(quotient) * by / by
    assert polynomial(tree) == polynomial(tree_of(quotient))


@pytest.mark.parametrize("tree", [sqrt(a), pi * a, a / (a + b), (a**2 + b) / (a + b), a / (b - b), (a + b) ** -1,
                                  a**b, a ** frac(1, 2), 2**a])
def test_what_is_no_sum_of_powers_does_not_collect(tree):
    with pytest.raises(TypeError, match="collect"):
        collect(tree)


# --- Macaulay's bracket --------------------------------------------------------------------------

@pytest.mark.parametrize(("x", "n", "value"), [(2.0, 3, 8.0), (-2.0, 3, 0.0), (0.0, 1, 0.0), (0.0, 0, 1.0),
                                               (-1e-9, 0, 0.0),
                                               (5.0, 0, 1.0), (5.0, -1, 0.0), (-5.0, -2, 0.0), (3.0, 1, 3.0)])
def test_a_bracket_in_every_mode(x, n, value):
    assert bracket(x, n) == value
    np.testing.assert_array_equal(bracket(np.array([x, x]), n), [value, value])
    node = as_node(bracket(Symbol("x", x), n))
    assert node.value == value and evaluate(node, {"x": x}) == value
    symbol = sympy.Symbol("x", real=True)
    if x and n >= 0:
        symbolic = sympy.sympify(bracket(symbol, n)).rewrite(sympy.Piecewise)
        assert float(symbolic.subs(symbol, x)) == value
    step = complex(x, 1e-30)
    for moved in (bracket(step, n), bracket(np.array([step]), n)[0]):
        assert np.real(moved) == value
        if n >= 1:
            assert np.imag(moved) / 1e-30 == pytest.approx(n * max(x, 0.0) ** (n - 1) if x > 0 else 0.0)


def test_a_bracket_without_a_size_is_refused():
    with pytest.raises(TypeError, match="sizes are known"):
        bracket(Symbol("x"), 2)


def test_plain_pieces():
    assert Pi().value == math.pi and Const(Fraction(1, 4)).value == 0.25
    assert text(copy.deepcopy(a * b)) == "a·b"
