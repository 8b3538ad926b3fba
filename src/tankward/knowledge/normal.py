"""The quantile of the normal distribution on whole arrays."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

# Coefficients of algorithm AS 241 (PPND16), highest power first.
CENTRE = (
    np.array([
        2509.0809287301226727, 33430.575583588128105, 67265.770927008700853,
        45921.953931549871457, 13731.693765509461125, 1971.5909503065514427,
        133.14166789178437745, 3.3871328727963666080,
    ]),
    np.array([
        5226.4952788528545610, 28729.085735721942674, 39307.895800092710610,
        21213.794301586595867, 5394.1960214247511077, 687.18700749205790830,
        42.313330701600911252, 1.0,
    ]),
)  # fmt: skip
TAIL = (
    np.array([
        7.74545014278341407640e-4, 2.27238449892691845833e-2, 2.41780725177450611770e-1,
        1.27045825245236838258, 3.64784832476320460504, 5.76949722146069140550,
        4.63033784615654529590, 1.42343711074968357734,
    ]),
    np.array([
        1.05075007164441684324e-9, 5.47593808499534494600e-4, 1.51986665636164571966e-2,
        1.48103976427480074590e-1, 6.89767334985100004550e-1, 1.67638483018380384940,
        2.05319162663775882187, 1.0,
    ]),
)  # fmt: skip
FAR = (
    np.array([
        2.01033439929228813265e-7, 2.71155556874348757815e-5, 1.24266094738807843860e-3,
        2.65321895265761230930e-2, 2.96560571828504891230e-1, 1.78482653991729133580,
        5.46378491116411436990, 6.65790464350110377720,
    ]),
    np.array([
        2.04426310338993978564e-15, 1.42151175831644588870e-7, 1.84631831751005468180e-5,
        7.86869131145613259100e-4, 1.48753612908506148525e-2, 1.36929880922735805310e-1,
        5.99832206555887937690e-1, 1.0,
    ]),
)  # fmt: skip

SMALLEST = 1e-12  # a draw of exactly 0 or 1 has no quantile; nearer to the end than this nothing is drawn
KEPT = 512  # whole columns of draws, asked for again at every instant of a run


def normal_quantile(u: Array) -> Array:
    """The value of a standard normal variable below which a share u lies.

    Parameters
    ----------
    u : number or array
        Share, 0 to 1; nearer than 1e-12 to an end it counts as 1e-12 from it. [-]

    Returns
    -------
    array
        Quantile, within -7.04 to 7.04. [-]

    Notes
    -----
    Algorithm AS 241, routine PPND16: rational functions in three ranges, relative error about 1e-16.

    Source: Wichura MJ (1988), Applied Statistics 37:477-484, doi:10.2307/2347330, coefficients as carried
    in the standard library's `statistics` module (published-read); checked against it in tests/knowledge.
    """
    asked = np.asarray(u, dtype=np.float64)
    return _of_column(asked.tobytes()) if asked.ndim == 1 else _quantile(asked)


@lru_cache(maxsize=KEPT)
def _of_column(kept: bytes) -> Array:
    found = _quantile(np.frombuffer(kept, dtype=np.float64))
    found.flags.writeable = False
    return found


def _quantile(u: Array) -> Array:
    share = np.clip(u, SMALLEST, 1 - SMALLEST)
    centred = share - 0.5
    tail = np.sqrt(-np.log(np.minimum(share, 1 - share)))
    side = np.sign(centred)
    outer = np.where(tail <= 5, side * _ratio(TAIL, tail - 1.6), side * _ratio(FAR, tail - 5.0))
    inner = centred * _ratio(CENTRE, 0.180625 - centred * centred)
    return np.where(np.abs(centred) <= 0.425, inner, outer)


def _ratio(pair: tuple[Array, Array], x: Array) -> Array:
    return np.asarray(np.polyval(pair[0], x) / np.polyval(pair[1], x))
