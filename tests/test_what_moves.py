"""What would change a pond's lists most."""

from dataclasses import replace

from plantpick.ranking.by_place import by_place
from plantpick.ranking.rank import rank
from plantpick.ranking.what_moves import LOOKED_AT, NAMED, _moved, in_short, in_words, what_moves


def test_what_was_not_known_moves_most_and_what_is_named_is_true(plants, south):
    """The plants said to leave and to come do so when the lists are made again with the input moved (a pond without pH)."""
    untested = replace(south, ph=None)
    ranking = rank(untested, plants, draws=64, places=False)
    moves = what_moves(ranking, plants)
    assert 1 <= len(moves) <= NAMED and len({m.what for m in moves}) == len(moves)
    assert [m.changed for m in moves] == sorted((m.changed for m in moves), reverse=True)
    worst = moves[0]
    near = [p.plant_id for listed in by_place(ranking.plants) for p in listed.best(LOOKED_AT)]

    def shown(pond):
        again = rank(pond, plants, draws=64, places=False, only=near)
        return [p.common_name for listed in by_place(again.plants) for p in listed.best()]

    assert worst.of == len(shown(untested))
    if worst.what == "the pH of the water":
        moved = replace(untested, ph=float(worst.tried))
        assert set(worst.leave) <= set(shown(untested)) - set(shown(moved))
        assert set(worst.come) <= set(shown(moved)) - set(shown(untested))
        assert worst.changed == len(set(shown(untested)) - set(shown(moved))) > 0
    said = in_words(worst)
    assert said.startswith(worst.what[0].upper()) and all(n in said for n in (*worst.leave, *worst.come))
    assert in_short(moves).startswith("Measure first: ") and all(m.what in in_short(moves) for m in moves)


def test_only_the_longest_stretches_are_tried(south):
    """A shore in thirty stretches is not ranked thirty times more; made up."""
    one = south.stretches[0]
    many = replace(
        south,
        stretches=tuple(replace(one, name=f"s{n}", length_ft=50.0 + n) for n in range(30)),
    )
    slopes = [what for what, _, _ in _moved(many) if what.startswith("the slope")]
    assert slopes == [f"the slope of the s{n}" for n in (26, 27, 28, 29)]
