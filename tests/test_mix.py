"""A mix worth planting: no plant rules it, it can be bought, and each plant has two that could stand in for it; and the owner's own
word on plants. The ponds are the demo's; wishes and lists are made up."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from command_line import command
from conftest import a_pond
from test_planting import small_problem

from plantpick.errors import ExitStatus, PlantpickError
from plantpick.offers.check import Line
from plantpick.offers.named_plants import plants_called, plants_listed
from plantpick.planting import candidates, runners_up
from plantpick.planting import plan as planting
from plantpick.planting.choice import SOLD, UNSEEN, Choice, fitting, with_a_source
from plantpick.planting.greedy import greedy
from plantpick.planting.milp import IntegerProgram
from plantpick.planting.model import Wishes
from plantpick.planting.problem import Status
from plantpick.planting.tally import counts, misses
from plantpick.pond.model import Growing
from plantpick.ranking import rank
from plantpick.ranking.site_factors import BAND_NAMES, BAND_OF_DEPTH, DEPTHS
from plantpick.ranking.takeover import MANY_GROUPS

pytestmark = pytest.mark.usefixtures("fixed_work", "ranked_once")
EASY, SECONDS = Wishes(cover=0.4), 0.7


@pytest.fixture(scope="module")
def made(demo_plan):
    return demo_plan


@pytest.fixture(scope="module")
def ranked(south, plants):
    return rank.rank(south, plants, places=False)


def _mixed(mix: float, cover: float = 0.5):
    """Three plants that cover a tenth each with a group of seven; the first is cheapest, the last costs most."""
    made = small_problem(
        own=[0.1] * 3,
        pessimistic=[0.1] * 3,
        ground=[0.01] * 3,
        cost=[1, 2, 3],
        plants=[7] * 3,
        most=20,
        cover=cover,
    )
    return replace(made, limits=replace(made.limits, mix=mix))


def test_the_cheapest_mix_by_hand():
    """Half covered needs -ln(0.5) / -ln(0.9) = 6.58, so seven groups. All of the cheapest cost 7. With no plant more than half
    of all that are set, three of the first and four of the second are refused: at most three of seven are one plant's, so
    3 x $1 + 3 x $2 + 1 x $3 = $12; or eight groups, 4 x $1 + 4 x $2 = $12."""
    free = IntegerProgram(_mixed(1.0)).solve(time_limit=30)
    assert free.groups.tolist() == [7, 0, 0]
    half = IntegerProgram(_mixed(0.5)).solve(time_limit=30)
    assert half.status is Status.PROVED and half.groups @ [1, 2, 3] == 12
    third = IntegerProgram(_mixed(1 / 3)).solve(time_limit=30)
    assert third.groups.tolist() == [3, 3, 3], (
        "only as many of each keep a third, and six groups do not cover half"
    )


@pytest.mark.parametrize("mix", [0.34, 0.4, 0.5, 0.75])
def test_greed_keeps_the_mix_as_well(mix):
    problem = _mixed(mix, cover=0.6)
    groups = greedy(problem)
    number = counts(problem, groups)
    assert number.max() <= mix * number.sum() + 1e-9
    assert not any(v.any() for v in misses(problem, groups).values())


def test_a_mix_that_cannot_be_had_is_missed_by_the_plants_over_it():
    """Two plants alone, of which none may be more than a third: of 14 plants seven are one's, and a third of 14 is 4 2/3."""
    problem = _mixed(1 / 3)
    missed = misses(problem, np.array([1, 1, 0]))["mix"]
    assert missed == pytest.approx(7 - 14 / 3)


def test_no_plant_is_more_than_a_third_of_all(made):
    assert made.met and made.wishes.mix == pytest.approx(100 / 3)
    assert max(c.plants for c in made.chosen) <= made.plants / 3 + 1e-9
    assert next(w for w in made.outcome if w.key == "mix").met


@pytest.mark.slow
def test_the_owner_chooses_the_mix(south, plants, made):
    """In the pond file or for one plan; half of all for one plant asks for no more plants than a third."""
    looser = planting.plan(replace(south, mix_percent=50.0), plants, EASY, time_limit=SECONDS)
    assert looser.wishes.mix == 50.0 and max(c.plants for c in looser.chosen) <= looser.plants / 2
    assert looser.cost <= made.cost + 1e-6
    assert Wishes(mix=60.0).for_pond(replace(south, mix_percent=50.0)).mix == 60.0


def test_a_mix_out_of_range_is_told(capsys):
    done = command("plan", "demo", "--mix", "0")
    assert done.returncode == ExitStatus.BAD_INPUT and "--mix: found 0" in done.stderr


@pytest.mark.parametrize("text, found", [("mix_percent = 25", 25.0), ("", 100 / 3)])
def test_the_pond_file_has_the_mix(tmp_path, text, found):
    from plantpick.files import pond_file
    from plantpick.files.data_folder import data_folder

    south = (data_folder() / "demo" / "south.toml").read_text()
    (tmp_path / "p.toml").write_text(south.replace("[goals]", f"[goals]\n{text}"))
    assert pond_file.read_pond(str(tmp_path / "p.toml")).mix_percent == pytest.approx(found)


def test_something_grows_under_water_where_fish_cover_is_wanted(made, plants):
    assert any(plants.plant(c.ranked.plant_id).growth_form == "submersed" for c in made.chosen)


def test_all_of_it_can_be_bought(made):
    """Nothing grown only to order; what no list has only beside a stand-in that is sold."""
    for c in made.chosen:
        assert c.ranked.availability != "rare"
        assert c.ranked.availability in SOLD or any(r.sold for r in c.runners_up), c.ranked.common_name


def test_rare_plants_and_those_without_a_stand_in_are_left_out(ranked):
    fit = fitting(ranked)
    kept = {r.plant_id for r in with_a_source(fit)}
    assert {r.availability for r in fit if r.plant_id in kept} <= {*SOLD, *UNSEEN}
    rare = [r for r in fit if r.availability == "rare"]
    alone = [replace(r, availability="not seen") for r in fit]
    assert rare and not kept & {r.plant_id for r in rare}
    assert with_a_source(alone) == [], "where nothing is sold nothing can stand in"
    asked = rare[0].plant_id
    assert asked in {r.plant_id for r in with_a_source(fit, Choice(wanted=(asked,)))}


def test_runners_up_grow_in_the_same_places_and_keep_the_limit(made, plants, south):
    held = {g.plant_id for g in made.groups}
    some = 0
    for c in made.chosen:
        assert len(c.runners_up) <= 2
        mine = [g for g in made.groups if g.plant_id == c.ranked.plant_id]
        for r in c.runners_up:
            some += 1
            assert r.ranked.plant_id not in held and r.plants == r.groups * (r.plants // r.groups)
            good = {(stretch, band) for stretch, band, _ in r.ranked.good_places}
            bands = [BAND_NAMES[BAND_OF_DEPTH[int(np.abs(DEPTHS - g.depth_in).argmin())]] for g in mine]
            inside = sum(g.number for g, band in zip(mine, bands) if (g.stretch, band) in good)
            assert 0.5 <= r.part <= inside / c.groups + 1e-9
            assert set(r.places) <= {(g.stretch, g.depth_in) for g in mine}, (
                "set at the depths of the chosen one"
            )
            assert r.plants <= 2 * c.plants or r.groups <= c.groups
            assert r.measures == r.ranked.contained_by, "held as the ranking holds it"
            assert (
                r.groups <= max(r.ranked.groups_max, r.ranked.contained_groups)
                or r.ranked.groups_max >= MANY_GROUPS
            )
            assert 0.5 <= r.cover <= 1.0
    assert some >= len(made.chosen), "most plants have one at least"


def test_one_stand_in_for_several_keeps_its_own_limit(made):
    """You may lack several plants at once: all groups of one stand-in together are no more than the ranking's room for it."""
    together: dict[str, int] = {}
    rooms: dict[str, int] = {}
    for r in (r for c in made.chosen for r in c.runners_up):
        plant_id = r.ranked.plant_id
        together[plant_id] = together.get(plant_id, 0) + r.groups
        rooms[plant_id] = r.ranked.contained_groups if r.measures else r.ranked.groups_max
    for plant_id, groups in together.items():
        assert groups <= rooms[plant_id] or rooms[plant_id] >= MANY_GROUPS, plant_id


def test_what_is_promised_to_one_place_is_gone_for_the_next(made, south, plants):
    """All the groups of a stand-in promised elsewhere leave none; all the edge that you may cut leaves none that needs cutting."""
    ranked = rank.rank(south, plants, places=False)
    stock = candidates.select_candidates(south, plants, ranked)
    problem = candidates.build_problem(stock, EASY.for_pond(south))
    p = problem.places
    row = {r.plant_id: i for i, r in enumerate(stock.ranked)}
    chosen = next(c for c in made.chosen if c.runners_up and c.ranked.plant_id in row)
    k = next(k for k in np.flatnonzero(p.plant == row[chosen.ranked.plant_id]).tolist())
    seat = runners_up.Seat(
        stock=stock,
        problem=problem,
        reserve=stock,
        wider=problem,
        chosen=int(p.plant[k]),
        settings=(runners_up.Setting(stretch=int(p.stretch[k]), depth_in=float(p.depth_in[k]), groups=1),),
    )
    first, *_ = seat.runners_up({chosen.ranked.plant_id})
    plant_id = first.ranked.plant_id
    full = np.zeros(len(south.shore))
    full[seat.settings[0].stretch] = stock.most[row[plant_id]]
    assert seat.runner_up(plant_id, runners_up.Promised()) == first
    assert seat.runner_up(plant_id, runners_up.Promised(groups={plant_id: full})) is None
    trimmed = [r for r in seat.runners_up({chosen.ranked.plant_id}) if r.measures == ("trim",)]
    for r in trimmed:
        assert seat.runner_up(r.ranked.plant_id, runners_up.Promised(trim_ft2=-1e6)) is None


def test_a_stand_in_says_what_holds_it_and_how_deep_it_goes(made):
    """Made up: 14 of a plant that must stand in tubs, at 12 and 30 in; then one that stays put, above the waterline."""
    from plantpick.show import plan_words

    first = made.chosen[0]
    other = next(r for c in made.chosen for r in c.runners_up)
    loose = replace(other, plants=14, part=1.0, cover=1.0, places=(("dam", -6.0),), measures=())
    tubs = replace(loose, places=(("dam", 30.0), ("cove", 12.0)), measures=("tub",))
    said = plan_words.instead(replace(first, runners_up=(tubs, loose)))
    assert "12 to 30 in deep" in said and "held by pots or tubs without holes" in said
    assert "6 in above the waterline)" in said


@pytest.mark.slow
def test_without_with_and_only(south, plants, made):
    """One plant left out, one asked for that the plan does not have; then a short list of what can be had."""
    out = max(made.chosen, key=lambda c: c.plants).ranked.plant_id
    other = next(r for c in made.chosen for r in c.runners_up if r.sold).ranked.plant_id
    again = planting.plan(
        south, plants, EASY, time_limit=SECONDS, choice=Choice(wanted=(other,), without=(out,))
    )
    names = {c.ranked.plant_id for c in again.chosen}
    assert out not in names and other in names
    assert out not in {r.ranked.plant_id for c in again.chosen for r in c.runners_up}
    listed = tuple(sorted({c.ranked.plant_id for c in made.chosen}))
    mine = planting.plan(south, plants, EASY, time_limit=SECONDS, choice=Choice(only=listed))
    assert {c.ranked.plant_id for c in mine.chosen} <= set(listed)
    assert all(set() == {r.ranked.plant_id for r in c.runners_up} - set(listed) for c in mine.chosen)


@pytest.mark.parametrize(
    "choice, name, why",
    [
        (Choice(wanted=("typha-latifolia",), without=("typha-latifolia",)), "broadleaf cattail", "both"),
        (
            Choice(wanted=("pontederia-cordata",), only=("juncus-effusus",)),
            "pickerelweed",
            "not on your list",
        ),
        (Choice(wanted=("water hyacinth",)), "water hyacinth", "cannot be planted here"),
        (Choice(wanted=("lemna-minor",)), "duckweed", ""),
    ],
)
def test_a_plant_wanted_that_cannot_be_had_says_why(ranked, plants, choice, name, why):
    choice = replace(choice, wanted=tuple(plants.find(p) for p in choice.wanted))
    with pytest.raises(PlantpickError) as caught:
        fitting(ranked, choice)
    (problem,) = caught.value.problems
    assert caught.value.code == "not-to-be-planted"
    assert name in problem.where and why in problem.what and problem.remedy


def test_names_are_looked_up_with_the_nearest_ones(plants):
    assert plants_called(["pickerelweed", "Pontederia cordata"], plants, "--with") == ("pontederia-cordata",)
    cattails = plants_called(["cattail"], plants, "--without", every=True)
    assert len(cattails) > 2 and set(cattails) == set(plants_called(["Typha"], plants, "", every=True)) & set(
        cattails
    )
    assert all(plant_id.startswith("typha") for plant_id in cattails)
    with pytest.raises(PlantpickError):
        plants_called(["cattail"], plants, "--with")
    with pytest.raises(PlantpickError) as caught:
        plants_called(["pickrelweed", "no such thing at all"], plants, "--with")
    first, second = caught.value.problems
    assert first.where == "--with" and "pickerelweed" in first.remedy and second.where == "--with"


def test_a_list_of_what_can_be_had(plants):
    lines = [
        Line(1, "Pickerelweed"),
        Line(2, ""),
        Line(3, "Juncus effusus - soft rush, 4 in pots $3.50"),
        Line(4, "----"),
    ]
    assert plants_listed(lines, plants, "mine.txt") == ("juncus-effusus", "pontederia-cordata")
    with pytest.raises(PlantpickError) as caught:
        plants_listed(
            [Line(1, "pickerelweed"), Line(2, "Blue wonder bulb"), Line(5, "aunt Mabel's favorite")],
            plants,
            "mine.txt",
        )
    assert [p.where for p in caught.value.problems] == ["mine.txt, line 2", "mine.txt, line 5"]
    assert all(p.remedy for p in caught.value.problems)
    with pytest.raises(PlantpickError, match="names no plant"):
        plants_listed([Line(1, "...")], plants, "mine.txt")


def test_what_stands_behind_a_hash_is_no_plant_and_a_slip_is_no_name(plants):
    lines = [Line(1, "# what Bob has"), Line(2, "soft rush   # two trays"), Line(3, "Pickerelweed")]
    assert plants_listed(lines, plants, "mine.txt") == ("juncus-effusus", "pontederia-cordata")
    with pytest.raises(PlantpickError) as caught:
        plants_listed([Line(1, "soft rsh")], plants, "mine.txt")
    (problem,) = caught.value.problems
    assert problem.where == "mine.txt, line 1" and "soft rush" in f"{problem.what} {problem.remedy}"


def test_a_list_of_none_but_forbidden_plants_says_that_they_are(south, plants, ranked):
    """Hydrilla is a Federal noxious weed (7 CFR 360.200)."""
    only = tuple(plants.find(name) for name in ("hydrilla", "water hyacinth", "alligatorweed"))
    with pytest.raises(PlantpickError) as caught:
        candidates.select_candidates(south, plants, ranked, choice=Choice(only=only))
    first, *each = caught.value.problems
    assert "none of the plants that you can get" in first.what and len(each) == 3
    assert all("cannot be planted here" in problem.what for problem in each)
    assert "noxious" in next(p.what for p in each if p.where == "hydrilla")


def test_a_plant_that_stands_there_already_says_so_when_it_is_wanted(plants):
    """A thirtieth of the pond under broadleaf cattail: more of it passes the limit, and the owner reads where it stands."""
    cattail = plants.find("broadleaf cattail")
    pond = a_pond(
        growing=(Growing(plant_id=cattail, name="cattail", stretch="south", area_ft2=3000.0),),
    )
    with pytest.raises(PlantpickError) as caught:
        fitting(rank.rank(pond, plants, places=False), Choice(wanted=(cattail,)))
    (problem,) = caught.value.problems
    assert "stands on the south already (3,000 sq ft)" in problem.what
    assert "the plan counts the stand" in problem.remedy


def test_unknown_names_and_refused_plants_are_told_together():
    done = command(
        "plan",
        "demo",
        "--with",
        "zzyzx",
        "--with",
        "alligatorweed",
        "--with",
        "parrot feather",
        "--without",
        "qqq",
    )
    said = " ".join(done.stderr.split())
    assert done.returncode == ExitStatus.BAD_INPUT
    for words in ("zzyzx", "--with: alligatorweed", "--with: parrot feather", "--without"):
        assert words in said, words


@pytest.mark.parametrize(
    "words, said",
    [
        (("--with", "pikerelweed"), "--with: "),
        (("--without", "xyzzy"), '--without: no plant is called "xyzzy"'),
        (("--only", "no-such-file.txt"), "no-such-file.txt"),
        (("--with", "water hyacinth"), "cannot be planted here"),
    ],
)
def test_the_command_tells_a_wrong_name_or_file(words, said):
    done = command("plan", "demo", *words)
    assert done.returncode == ExitStatus.BAD_INPUT and said in done.stderr and not done.stdout


def test_a_list_in_which_nothing_fits(tmp_path):
    (tmp_path / "mine.txt").write_text("saguaro\nwater hyacinth\n")
    done = command("plan", "demo", "--only", str(tmp_path / "mine.txt"))
    assert done.returncode == ExitStatus.BAD_INPUT and "mine.txt, line 1" in done.stderr
    (tmp_path / "mine.txt").write_text("water hyacinth\n")
    done = command("plan", "demo", "--only", str(tmp_path / "mine.txt"))
    assert done.returncode == ExitStatus.BAD_INPUT and "none of the plants that you can get" in done.stderr


def test_stopping_keeps_the_best_so_far(south, plants):
    """Stopped at once: what greed and a few swaps found is there, and it keeps every limit."""
    asked = []

    def stop() -> bool:
        asked.append(1)
        return True

    short = planting.plan(south, plants, EASY, time_limit=60.0, stop=stop)
    assert asked and short.plants > 0 and short.met
    assert max(c.chance_over_cap for c in short.chosen) <= 0.1


def test_where_the_mix_cannot_be_had_the_plan_says_so(south, plants):
    """Two plants alone: one of them is half of all at the least."""
    two = Choice(only=("juncus-effusus", "pontederia-cordata"))
    plan = planting.plan(south, plants, Wishes(cover=0.0, species=2), time_limit=SECONDS, choice=two)
    wish = next(w for w in plan.outcome if w.key == "mix")
    assert not plan.met and not wish.met and wish.got >= 50.0 and wish.asked == pytest.approx(100 / 3)
    assert any("largest share of all plants set" in said and "33.3 % asked" in said for said in plan.advice)
