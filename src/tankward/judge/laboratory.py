"""What only a laboratory or a veterinarian can tell: told apart, by what it would tell."""

from __future__ import annotations

import msgspec

from .evidence import Evidence, fair
from .network import KnownTest, Network
from .next_look import NextLook, on_few_draws, rated
from .observing import test_column

BY_OTHERS = ("lab", "vet", "microscope or vet")
WORTH_SENDING = 0.02  # bit: a test that would tell less is not named [our own choice]
DAYS = 3.0 * 24.0 * 60.0  # a laboratory takes days; only the order by gain counts


class Sent(msgspec.Struct, frozen=True, kw_only=True):
    """A test that others do, and what goes with it."""

    look: NextLook
    cause: str
    by: str  # lab, vet
    sample: str  # gills, gut, ...; "" where the facts name none
    sensitivity: tuple[float, float]
    specificity: tuple[float, float]


def sent_away(evidence: Evidence, net: Network, *, most: int = 3) -> tuple[Sent, ...]:
    """Tests of a laboratory or a veterinarian, the most telling first.

    Parameters
    ----------
    evidence : Evidence
        What is known.
    net : Network
        The causes.
    most : int
        How many to return.
    """
    if not evidence.seen:
        return ()
    done = {(t.cause, t.test) for t in evidence.tests}
    after = on_few_draws(fair(evidence), net)
    found = [
        Sent(
            look=rated(_look(cause.id, test), test_column(net, cause.id, test.name, ""), after, net),
            cause=cause.id,
            by="vet" if "vet" in test.cost else "lab",
            sample=test.sample,
            sensitivity=test.sensitivity,
            specificity=test.specificity,
        )
        for cause in net.causes
        for test in cause.tests
        if test.cost in BY_OTHERS and (cause.id, test.name) not in done
    ]
    worth = [s for s in found if s.look.gain >= WORTH_SENDING]
    return tuple(sorted(worth, key=lambda s: (-s.look.gain, s.look.id))[:most])


def _look(cause: str, test: KnownTest) -> NextLook:
    return NextLook(
        id=f"{cause}:{test.name}", what=test.name, how="", minutes=DAYS, harm="none", gain=0.0,
        gain_per_minute=0.0,
    )  # fmt: skip
