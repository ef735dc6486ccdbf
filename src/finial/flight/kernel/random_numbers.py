# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""Random numbers that depend on the seed, the flight, the purpose and a count, and on nothing else.

Ten rounds of the counter-based generator Philox4x64 (Salmon, Moraes, Dror and Shaw, "Parallel
random numbers: as easy as 1, 2, 3", SC 2011). The constants are from memory of that paper; a
test holds the words against NumPy's own generator of that name.
"""

import math

import numpy as np

from finial.flight.kernel.compiled import inner

_MULTIPLIER_0 = np.uint64(0xD2E7470EE14C6C93)
_MULTIPLIER_1 = np.uint64(0xCA5A826395121157)
_WEYL_0 = np.uint64(0x9E3779B97F4A7C15)
_WEYL_1 = np.uint64(0xBB67AE8584CAA73B)
_LOW = np.uint64(0xFFFFFFFF)
_HALF = np.uint64(32)
_SPARE_BITS = np.uint64(12)
_ZERO = np.uint64(0)
_TO_UNIT = 2.0**-52


@inner
def high_word(a, b):
    """Upper 64 bits of the product of two 64-bit words.

    Parameters
    ----------
    a, b : int
        Words.

    Returns
    -------
    high : int
        A word.

    References
    ----------
    .. [1] Long multiplication in base 2^32.
    """
    a_low, a_high = a & _LOW, a >> _HALF
    b_low, b_high = b & _LOW, b >> _HALF
    middle = a_high * b_low + ((a_low * b_low) >> _HALF)
    carried = (middle & _LOW) + a_low * b_high
    return a_high * b_high + (middle >> _HALF) + (carried >> _HALF)


@inner
def four_words(seed, flight, stream, count):
    """Four random words of 64 bits.

    Parameters
    ----------
    seed, flight, stream, count : int
        What the words depend on.

    Returns
    -------
    words : tuple of int
        Four words.

    References
    ----------
    .. [1] Salmon, Moraes, Dror and Shaw, Parallel random numbers: as easy as 1, 2, 3, SC 2011: Philox4x64
       with ten rounds; constants from memory, held against NumPy's by a test.
    """
    key_0, key_1 = np.uint64(seed), np.uint64(flight)
    c0, c1, c2, c3 = np.uint64(count), _ZERO, np.uint64(stream), _ZERO
    for _ in range(10):
        high_0, low_0 = high_word(_MULTIPLIER_0, c0), _MULTIPLIER_0 * c0
        high_1, low_1 = high_word(_MULTIPLIER_1, c2), _MULTIPLIER_1 * c2
        c0, c1, c2, c3 = high_1 ^ c1 ^ key_0, low_1, high_0 ^ c3 ^ key_1, low_0
        key_0 += _WEYL_0
        key_1 += _WEYL_1
    return c0, c1, c2, c3


@inner
def unit_share(word):
    """Make a number strictly between 0 and 1 of a word.

    Parameters
    ----------
    word : int
        64 bits, of which the upper 52 count.

    Returns
    -------
    share : float
        Middle of one of 2^52 equal spaces [-].

    References
    ----------
    .. [1] Definition.
    """
    return (float(word >> _SPARE_BITS) + 0.5) * _TO_UNIT


@inner
def normal_quantile(share):
    """Find the standard normal number below which this share of all lies.

    Parameters
    ----------
    share : float
        Strictly between 0 and 1 [-].

    Returns
    -------
    quantile : float
        In standard deviations [-].

    References
    ----------
    .. [1] M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions, 26.2.23 (error below 4.5e-4) to
       begin with; then two steps of Halley's method.
    """
    tail = min(share, 1.0 - share)
    t = math.sqrt(-2.0 * math.log(tail))
    top = 2.515517 + t * (0.802853 + t * 0.010328)
    bottom = 1.0 + t * (1.432788 + t * (0.189269 + t * 0.001308))
    z = t - top / bottom
    for _ in range(2):
        # The tail's own error over its slope; both are small far out, their ratio is not.
        error = 0.5 * math.erfc(z / math.sqrt(2.0)) - tail
        step = error * math.sqrt(2.0 * math.pi) * math.exp(0.5 * z * z)
        z += step / (1.0 - 0.5 * z * step)
    return z if share > 0.5 else -z
