"""What would change a pond's advice most."""

from dataclasses import replace

from plantpick.ranking.what_moves import FIRST, NAMED, in_words, what_moves


def test_what_was_not_known_moves_most_and_what_is_named_is_true(plants, south):
    """The plants said to leave and to come do so when the pond is ranked again with the input moved (the drop of the demo)."""
    from plantpick.ranking.rank import rank

    moves = what_moves(south, plants)
    assert 1 <= len(moves) <= NAMED and len({m.what for m in moves}) == len(moves)
    assert [m.changed for m in moves] == sorted((m.changed for m in moves), reverse=True)
    drop = next(m for m in moves if m.what == "how far the water drops")
    moved = replace(south, usual_drop_ft=float(drop.tried.removesuffix(" ft")))
    usual, now = (
        [p.common_name for p in rank(pond, plants, draws=64, places=False).plants[:FIRST]]
        for pond in (south, moved)
    )
    assert set(drop.leave) <= set(usual) - set(now) and set(drop.come) <= set(now) - set(usual)
    assert drop.changed == len(set(usual) - set(now)) > 0
    assert in_words(drop).startswith("How far the water drops: at ")
    assert all(name in in_words(drop) for name in (*drop.leave, *drop.come))
