"""The questions that describe a pond: what is asked, why, and which keys it fills. How it is read is in answers.py.

`told` is the pond file so far as nested dicts, `entry` the stretch or place that is being filled in. What nobody knows is
listed under `not_known` in its section; beside it stands an assumed value, or nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from plantpick import vocabulary
from plantpick.interview import answers, plain_words
from plantpick.interview.answers import DONT_KNOW
from plantpick.pond.keep_clear import kind_of_place


@dataclass(frozen=True)
class Question:
    """One question. `word` names it in an answers file; `keys` are what it fills in its section of the pond file.

    `read` takes the answer, the pond so far and the entry of a list that is being filled, and returns keys and
    values, or raises ValueError. `usual` gives the answer that Enter stands for (empty: none). `assume` gives what is
    taken when nobody knows; without it the keys are left out. `needed` questions have no "don't know".
    """

    word: str
    label: str
    section: str
    keys: tuple[str, ...]
    ask: str
    why: str
    read: Callable[[str, dict, dict], dict]
    usual: Callable[[dict, dict], str] = lambda told, entry: ""
    assume: Callable[[dict, dict], dict] | None = None
    needed: bool = False
    find_out: str = ""
    comments: tuple[str, ...] = ()
    applies: Callable[[dict, dict], bool] = lambda told, entry: True
    no_means_unknown: tuple[str, ...] = ()  # answers that say here that nobody knows
    ends_list: bool = False  # the first question of a list's entry: "no more" ends the list

    @property
    def part(self) -> str:
        """The question's place in the order: stretches and places to keep clear count as one each."""
        return self.section if self.section in LISTS else self.word


_NO = ("no", "nope", "nah", "n")  # to "how deep is it?": no figure
_NEVER = (
    *_NO,
    "none",
    "never",
    "not",
    "no never",
    "never been",
    "never was",
    "no it wasnt",
    "no it hasnt",
    "nothing",
)
LISTS = {"shore": "stretch", "keep_clear": "place"}
FILE_NAME = "the file's name"  # stands for it as the usual answer


def _always(text: str) -> Callable[[dict, dict], str]:
    return lambda told, entry: text


def _one(key: str, read: Callable[[str], object]) -> Callable[[str, dict, dict], dict]:
    return lambda text, told, entry: {key: read(text)}


QUESTIONS: tuple[Question, ...] = (
    Question(
        "name",
        "name",
        "",
        ("name",),
        "What do you call the pond?",
        "It heads every answer, so that two ponds are not mixed up.",
        answers.name,
        usual=_always(FILE_NAME),
        needed=True,
    ),
    Question(
        "state",
        "state",
        "",
        ("state",),
        "Which state is it in? The ZIP code will do too.",
        "Which plants are native, and which may not be owned, goes by state.",
        _one("state", answers.state),
        needed=True,
        find_out="One of the lower 48 states or DC, as in MS or Mississippi. If a ZIP code straddles the line, name the state.",
    ),
    Question(
        "winter",
        "coldest winter night",
        "",
        ("coldest_night_f", "hardiness_zone"),
        "How cold is the coldest night of a usual winter, in degrees F? Or the hardiness zone, as in 8a.",
        "It tells which plants live through the winter.",
        answers.winter,
        usual=_always(DONT_KNOW),
        assume=lambda told, entry: {"hardiness_zone": answers.USUAL_ZONE.get(told.get("state"), "7a")},
        find_out="The U.S. Department of Agriculture's hardiness map gives the zone by ZIP code.",
        comments=("coldest night of a usual winter, degrees F", "USDA hardiness zone"),
        no_means_unknown=_NO,
    ),
    Question(
        "frosts",
        "frosts",
        "",
        ("last_frost", "first_frost", "frost_free"),
        "When are the last frost of spring and the first of autumn? As in: March 28 to November 5; or late March to "
        "early November; or never.",
        "The longer the season, the further a plant spreads in a year; planting days hang on it too.",
        answers.frosts,
        usual=_always(DONT_KNOW),
        comments=("month-day, in spring", "month-day, in autumn", "it never freezes"),
        find_out="The county extension office has the days for your ZIP code; the average ones will do.",
    ),
    Question(
        "area",
        "water surface",
        "water",
        ("area_acres",),
        "How large is the water when the pond is full? In acres, or the longest way by the widest: 400 x 250 ft.",
        "What a plant would take is reckoned as a share of it.",
        answers.area,
        needed=True,
        comments=("acres of water at full pool",),
        find_out="Pace the longest way and the widest (a pace is 2.5 ft) and write, say, 160 x 100 paces; or measure it "
        "on an online map.",
    ),
    Question(
        "deepest",
        "greatest depth",
        "water",
        ("max_depth_ft",),
        "How deep is the deepest place, in feet, when it is full?",
        "Deep water is what stops a creeping plant. (Sounding from a boat: life jacket on, and not alone.)",
        answers.deepest,
        usual=_always(DONT_KNOW),
        assume=lambda told, entry: {"max_depth_ft": answers.UNKNOWN_DEPTH_FT},
        comments=("feet, greatest depth at full pool",),
        no_means_unknown=_NO,
        find_out="Lower a weight on a marked line near the drain or the middle of the dam, where most ponds are deepest.",
    ),
    Question(
        "clarity",
        "how clear",
        "water",
        ("clarity_in",),
        "How clear is it in midsummer? How many inches down does a white plate on a string go out of sight?",
        "Plants under water grow only as deep as light reaches.",
        answers.clarity,
        usual=_always(DONT_KNOW),
        find_out="Lower a white plate at noon from the shady side; note where it goes and where it comes back.",
        comments=("inches, Secchi reading in midsummer",),
    ),
    Question(
        "drop",
        "drop in a dry summer",
        "water",
        ("usual_drop_ft",),
        "How far does the water fall in a dry summer? As in 2 ft or 18 in; 0 if it stays.",
        "A plant must stand full pool and low pool both.",
        answers.drop,
        usual=_always(DONT_KNOW),
        comments=("feet it falls in a dry summer",),
        find_out="Look for the bare band below the full waterline late in summer, and measure straight up and down.",
    ),
    Question(
        "ph",
        "pH",
        "water",
        ("ph",),
        "What is the water's pH, if it was ever tested?",
        "A few plants want acid or limy water.",
        answers.ph,
        usual=_always(DONT_KNOW),
        find_out="A pool or garden test strip is near enough.",
        no_means_unknown=_NEVER,
    ),
    Question(
        "salt",
        "salt",
        "water",
        ("salinity_ppt",),
        "Is the water salty? Answer fresh, or how many parts per thousand.",
        "Near a coast or in dry country salt rules many plants out.",
        answers.salt,
        usual=_always(DONT_KNOW),
        comments=("parts per thousand",),
        find_out="Ponds away from a coast are fresh, as a rule. A test strip for a salt pool tells it.",
    ),
    Question(
        "stretch",
        "stretch",
        "shore",
        ("name",),
        "Walk round the shore in your mind, and name its stretches one by one: one slope and one sun each.",
        "Each stretch gets its own plants. What you leave out is still counted as ground to creep along.",
        answers.stretch,
        needed=True,
        ends_list=True,
        usual=lambda told, entry: "no more" if told.get("shore") else "all round",
    ),
    Question(
        "length",
        "length",
        "shore",
        ("length_ft",),
        "How long is it? In feet or paces, or as a share of the whole shore: 30 %.",
        "How many plants it takes, and how much ground they can run along.",
        answers.length,
        usual=answers.usual_length,
        assume=answers.unknown_length,
        comments=("feet along the water's edge",),
        no_means_unknown=_NO,
        find_out="Pace it along the water: an adult's step is about 2.5 ft. Half, a third and the rest are answers too.",
    ),
    Question(
        "ten-feet-out",
        "slope",
        "shore",
        ("slope",),
        "How deep is it ten feet out from the water's edge? In feet or inches; or the slope, as in 3:1.",
        "On a steep bank deep water stops a plant; on a flat one nothing does. (Use a pole from the bank; do not wade alone.)",
        answers.ten_feet_out,
        usual=_always(DONT_KNOW),
        assume=lambda told, entry: {"slope": answers.UNKNOWN_SLOPE},
        comments=("feet out for one foot down",),
        no_means_unknown=_NO,
        find_out="Tie a line to a pole ten feet long, hold it out from the bank and let it down. A dug bank is often 3:1.",
    ),
    Question(
        "sun",
        "sun",
        "shore",
        ("sun",),
        "How much sun does it get in summer: full, part or shade?",
        "Full is six hours and up, shade under three (common practice).",
        answers.sun,
        usual=_always("full"),
        assume=lambda told, entry: {"sun": "full"},
        comments=("full, part or shade",),
        find_out="The hours of sun are an answer too, as in 5 hours.",
    ),
    Question(
        "dam",
        "dam",
        "shore",
        ("dam",),
        "Is it a dam?",
        "No trees or shrubs on a dam or within 25 ft of it: their roots can open it (state rules differ).",
        _one("dam", plain_words.yes_no),
        usual=lambda told, entry: "yes" if "dam" in entry.get("name", "").lower().split() else "no",
        assume=lambda told, entry: {"dam": True},
    ),
    Question(
        "keep-clear",
        "keep clear",
        "keep_clear",
        ("what",),
        "What has to stay clear of plants? Drain pipe, spillway, dock, swimming or casting place, inflow, diffuser, "
        "livestock ramp: one at a time, or none.",
        "A clogged drain or spillway can cost you the dam.",
        answers.place,
        usual=_always("no more"),
        ends_list=True,
    ),
    Question(
        "where",
        "where",
        "keep_clear",
        ("stretch", "length_ft"),
        "On which stretch? Or: in the water.",
        "Nothing is planted there.",
        answers.where,
        usual=lambda told, entry: (
            (told.get("shore") or [{}])[0].get("name", "") if len(told.get("shore", [])) == 1 else ""
        ),
    ),
    Question(
        "feet",
        "feet",
        "keep_clear",
        ("length_ft",),
        "How many feet of shore does it need?",
        "They are taken off what can be planted.",
        answers.feet_of_shore,
        usual=_always(f"{answers.UNKNOWN_CLEAR_FT:g} ft"),
        assume=lambda told, entry: {"length_ft": answers.UNKNOWN_CLEAR_FT},
        comments=("feet of shore to leave clear",),
    ),
    Question(
        "diffuser-depth",
        "depth",
        "keep_clear",
        ("depth_ft",),
        "How deep does the diffuser lie, in feet?",
        "In shallow water it stirs up mud and lifts little.",
        answers.diffuser_depth,
        usual=_always(DONT_KNOW),
        applies=lambda told, entry: kind_of_place(str(entry.get("what", ""))) == "diffuser",
        comments=("feet of water over it",),
        no_means_unknown=_NO,
    ),
    Question(
        "purposes",
        "purposes",
        "goals",
        ("purposes",),
        "What are the plants for? "
        + ", ".join(f"{i} {p}" for i, p in enumerate(vocabulary.PURPOSES, 1))
        + ".",
        "Plants that do none of it are not shown.",
        answers.purposes,
        usual=_always("fish cover, bank hold"),
        find_out="Give the numbers or the words, one or several.",
    ),
    Question(
        "spreading",
        "spreading",
        "goals",
        ("tolerance",),
        "How much of the water may one kind of plant take in ten years if nobody cuts it? "
        + ", ".join(f"{w} {p:g} %" for w, p in vocabulary.TOLERANCES.items())
        + "; or a number.",
        "Plants that would take more need holding back, or are left out.",
        answers.tolerance,
        usual=_always("little"),
        comments=("most that one kind may hold after ten untended years",),
    ),
    Question(
        "residents",
        "residents",
        "residents",
        tuple(g.replace(" ", "_") for g in vocabulary.GRAZERS),
        "Which of these live in it or come to it? " + ", ".join(vocabulary.GRAZERS) + "; or none.",
        "They eat young plants or dig them up; grass carp eat most plants under water.",
        answers.residents,
        usual=_always(DONT_KNOW),
    ),
)
BY_WORD = {q.word: q for q in QUESTIONS}
PARTS = tuple(dict.fromkeys(q.part for q in QUESTIONS))
