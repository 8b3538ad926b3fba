"""exp and ln for loops over lanes: a call into the mathematical library would break such a loop into single
numbers, a polynomial does not. Good to the last digit or two; the same bits on every machine.
"""

from __future__ import annotations

from typing import Any

from llvmlite import ir  # type: ignore[import-untyped]
from numba import njit, types
from numba.extending import intrinsic

from .compile import PLAIN

LOG2E = 1.4426950408889634
LN2_HIGH = 0.6931471803691238  # its last bits are nought, so times a whole number it is exact
LN2_LOW = 1.9082149292705877e-10
ROUND = 6755399441055744.0  # 1.5 · 2^52: adding it leaves the nearest whole number in the last bits
LOWEST, HIGHEST = -708.0, 709.0
MANTISSA = 0x000FFFFFFFFFFFFF
ONE = 0x3FF0000000000000
SQRT2 = 1.4142135623730951


def _bitcast(to: Any, sort: Any) -> Any:
    def codegen(_context: Any, builder: Any, _signature: Any, args: Any) -> Any:
        return builder.bitcast(args[0], sort)

    return codegen, to


def _as_bits(_typing: Any, value: Any) -> Any:
    """The bits of a number, as a whole number."""
    codegen, to = _bitcast(types.int64, ir.IntType(64))
    return to(types.float64), codegen


def _of_bits(_typing: Any, bits: Any) -> Any:
    """The number with these bits."""
    codegen, to = _bitcast(types.float64, ir.DoubleType())
    return to(types.int64), codegen


as_bits: Any = intrinsic(_as_bits)
of_bits: Any = intrinsic(_of_bits)


@njit(**PLAIN)
def exponential(x: Any) -> Any:
    """e^x; beyond what a number can hold, its edge."""
    x = min(max(x, LOWEST), HIGHEST)
    shifted = x * LOG2E + ROUND
    n = shifted - ROUND
    r = (x - n * LN2_HIGH) - n * LN2_LOW
    p = 1.0 + r * (1.0 + r * (1 / 2 + r * (1 / 6 + r * (1 / 24 + r * (1 / 120 + r * (1 / 720 + r * (
        1 / 5040 + r * (1 / 40320 + r * (1 / 362880 + r * (1 / 3628800 + r * (1 / 39916800 + r * (
            1 / 479001600 + r / 6227020800))))))))))))  # fmt: skip
    return p * of_bits(((as_bits(shifted) - as_bits(ROUND)) << 52) + ONE)


@njit(**PLAIN)
def logarithm(x: Any) -> Any:
    """ln x, for x above 0."""
    bits = as_bits(x)
    n = (bits >> 52) - 1023
    m = of_bits((bits & MANTISSA) | ONE)
    big = m > SQRT2
    m = m * 0.5 if big else m
    e = float(n) + (1.0 if big else 0.0)
    s = (m - 1.0) / (m + 1.0)
    q = s * s
    series = q * (1 / 3 + q * (1 / 5 + q * (1 / 7 + q * (1 / 9 + q * (1 / 11 + q * (1 / 13 + q * (
        1 / 15 + q * (1 / 17 + q * (1 / 19 + q / 21)))))))))  # fmt: skip
    return e * LN2_HIGH + (2.0 * s + (2.0 * s * series + e * LN2_LOW))
