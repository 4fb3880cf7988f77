"""Words one slip apart, found by their halves: held against every pair by the distance itself."""

from __future__ import annotations

import random

from hypothesis import given
from hypothesis import strategies as st
from rapidfuzz.distance import OSA

from plantpick.offers.one_slip import OneSlip

WORDS = st.text(alphabet="abc", max_size=7)


@given(st.lists(WORDS, max_size=30), WORDS)
def test_all_that_are_one_slip_away_are_found_and_no_other(words, word):
    index = OneSlip(words)
    assert index.near(word) == sorted(w for w in set(words) if OSA.distance(w, word) <= 1)


def test_slips_of_real_names():
    """Each kind of slip at every place of a name, the two middle letters turned round too."""
    rng = random.Random(3)
    for name in ("pontederiacordata", "juncuseffusus", "typha"):
        index = OneSlip([name, "saururuscernuus"])
        for i in range(len(name)):
            for slip in (
                name[:i] + name[i + 1 :],
                name[:i] + rng.choice("xyz") + name[i:],
                name[:i] + "q" + name[i + 1 :],
                name[:i] + name[i + 1 : i + 2] + name[i : i + 1] + name[i + 2 :],
            ):
                assert index.near(slip) == [name], slip
