"""A reading that nothing explains is told in plain words, first, and never used in silence."""

from tankward.model.cautions import Caution
from tankward.show.words.forecast import MIND, caution_says
from tests.model.tanks import FACTS


def test_it_is_to_be_read_again_with_a_fresh_kit():
    odd = Caution(kind="reading-unexplained", about="ammonia_n", low=3.0, high=10.0, unit="mg/L")
    assert caution_says(odd, FACTS) == (
        "total ammonia as you read it is explained by nothing here: read it again with a fresh kit"
    )
    assert odd.kind in MIND
