"""The few distribution functions that intervals need: beta, F and chi-square. Pure arithmetic, no tables.

Continued fraction and series are the classical ones (Abramowitz and Stegun 26.5.8, 6.5.29, 6.5.31); the tests
hold them to a general statistics library.
"""

from __future__ import annotations

import math
from collections.abc import Callable

_LEAST = 1e-300
_CLOSE = 1e-15
_MOST_TERMS = 2000


def beta_below(x: float, a: float, b: float) -> float:
    """The regularized incomplete beta function: the share of a beta(a, b) distribution below ``x``."""
    if x <= 0:
        return 0.0
    if x >= 1:
        return 1.0
    if x > (a + 1) / (a + b + 2):
        return 1.0 - beta_below(1 - x, b, a)
    front = math.exp(a * math.log(x) + b * math.log1p(-x) - log_beta(a, b)) / a
    return front * _continued(lambda m: _beta_term(m, x, a, b))


def log_beta(a: float, b: float) -> float:
    """The logarithm of the beta function."""
    return math.lgamma(a) + math.lgamma(b) - math.lgamma(a + b)


def f_quantile(share: float, upper: float, lower: float) -> float:
    """The value below which ``share`` of an F distribution with these degrees of freedom lies, 0 < share < 1."""
    x = _where(lambda at: beta_below(at, upper / 2, lower / 2), share)
    return lower * x / (upper * (1 - x))


def chi_square_above(value: float, degrees: int) -> float:
    """The share of a chi-square distribution above ``value``: how often chance alone gives as much."""
    a, x = degrees / 2, value / 2
    if x <= 0:
        return 1.0
    front = math.exp(a * math.log(x) - x - math.lgamma(a))
    if x < a + 1:
        return max(0.0, 1.0 - front * _series(a, x))
    return front / (x + 1 - a) * _continued(lambda n: _gamma_term(n, x, a))


def _series(a: float, x: float) -> float:
    term = total = 1 / a
    for n in range(1, _MOST_TERMS):
        term *= x / (a + n)
        total += term
        if term < total * _CLOSE:
            break
    return total


def _beta_term(m: int, x: float, a: float, b: float) -> float:
    half, odd = divmod(m, 2)
    if odd:
        return -(a + half) * (a + b + half) * x / ((a + 2 * half) * (a + 2 * half + 1))
    return half * (b - half) * x / ((a + 2 * half - 1) * (a + 2 * half))


def _gamma_term(n: int, x: float, a: float) -> float:
    """The n-th partial numerator, divided by the two denominators beside it, so that all of them are 1."""
    return -n * (n - a) / ((x + 2 * n - 1 - a) * (x + 2 * n + 1 - a))


def _continued(term: Callable[[int], float]) -> float:
    """1 / (1 + t1 / (1 + t2 / ...)) by the method of Lentz."""
    value, upper, lower = 1.0, 1.0, 0.0
    for n in range(1, _MOST_TERMS):
        part = term(n)
        lower = 1.0 / (1.0 + part * lower or _LEAST)
        upper = 1.0 + part / upper or _LEAST
        value *= upper * lower
        if abs(upper * lower - 1) < _CLOSE:
            break
    return 1.0 / value


def _where(rising: Callable[[float], float], share: float) -> float:
    """Where a rising function of 0 to 1 reaches ``share``, by halving."""
    low, high = 0.0, 1.0
    for _ in range(200):
        middle = (low + high) / 2
        if not low < middle < high:
            break
        low, high = (middle, high) if rising(middle) < share else (low, middle)
    return (low + high) / 2
