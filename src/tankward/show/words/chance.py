"""Chances in words: EFSA's scale of 2018 where its bounds agree, neighbouring steps joined."""

from __future__ import annotations

STEPS: tuple[tuple[float, str, str], ...] = (
    (0.05, "extremely unlikely", "extremely unlikely"),
    (0.33, "unlikely", "unlikely"),
    (0.66, "about as likely as not", "about even"),
    (0.95, "likely", "likely"),
    (1.01, "extremely likely", "extremely likely"),
)
ALMOST_CERTAIN = 0.99


def step(chance: float) -> int:
    """The number of the step that a chance lies on."""
    return next(i for i, (top, _, _) in enumerate(STEPS) if chance < top)


def chance_words(low: float, high: float, likely: float | None = None) -> str:
    """The words of the steps that a range touches: "about even, perhaps likely"."""
    if low > ALMOST_CERTAIN:
        return "almost certain"
    first, last = step(low), step(min(high, 1.0))
    if first == last:
        return STEPS[first][1]
    if last - first == 1:
        here = step(low if likely is None else likely)
        other = last if here == first else first
        return f"{STEPS[here][2]}, perhaps {STEPS[other][2]}"
    return f"anything from {STEPS[first][2]} to {STEPS[last][2]}"


def of_ten(value: float) -> str:
    """A chance as so many of ten such tanks."""
    tenths = round(10 * value)
    return (
        f"{tenths} of 10 such tanks"
        if 0 < tenths < 10
        else "fewer than 1 of 20 such tanks"
        if tenths == 0
        else "nearly all such tanks"
    )
