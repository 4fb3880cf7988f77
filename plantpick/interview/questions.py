"""The questions that describe a pond: what each asks, why, and which keys it fills. answers.py reads the answers.

`told` is the pond file so far as nested dicts, `entry` the stretch or place at hand. A section lists what nobody knows
under `not_known`, with an assumed value beside it or nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from plantpick import vocabulary
from plantpick.interview import answers, plain_words
from plantpick.interview.answers import DONT_KNOW
from plantpick.pond.keep_clear import OFF_DAM_FT, kind_of_place


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
    instead: tuple[str, ...] = ()  # keys that take the place of another: nobody is asked for both
    ends_list: bool = False  # the first question of a list's entry: "no more" ends the list
    late: bool = (
        False  # where things are: asked once all else is answered, in a list of each entry that is there
    )

    @property
    def part(self) -> str:
        """The question's place in the order: stretches, places to keep clear, and where things are count as one each."""
        if self.late:
            return "places"
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
LISTS = {"shore": "stretch", "keep_clear": "place", "growing": "plant"}
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
        "It heads every answer, so that you do not mix up two ponds.",
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
        "Your state decides which plants are native and which you may not own.",
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
        assume=lambda told, entry: {"hardiness_zone": answers.USUAL_ZONE.get(told.get("state", ""), "7a")},
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
        "A longer season lets a plant spread farther in a year. It also sets your planting days.",
        answers.frosts,
        instead=("frost_free",),
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
        "We figure each plant's share of the water from it.",
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
        "How deep is the deepest spot when the pond is full, in feet?",
        "Deep water stops a creeping plant. (Sounding from a boat: life jacket on, and not alone.)",
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
        "How clear is it in midsummer? Lower a white plate on a string: how many inches down does it go out of sight?",
        "Underwater plants grow only as deep as light reaches.",
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
        "How far does the water drop in a dry summer? As in 2 ft or 18 in; 0 if it stays full.",
        "A plant has to live at full pool and at low pool.",
        answers.drop,
        usual=_always(DONT_KNOW),
        comments=("feet it falls in a dry summer",),
        find_out="Look for the bare band below the full waterline late in summer, and measure straight up and down.",
    ),
    Question(
        "ph",
        "pH",
        "water",
        ("ph", "alkalinity_mg_l"),
        "What is the water's pH, if you ever tested it? Its alkalinity does too, as in alkalinity 60 mg/L.",
        "A few plants need acid or limy water.",
        answers.ph,
        usual=_always(DONT_KNOW),
        find_out="A pool or garden test strip is close enough.",
        instead=("alkalinity_mg_l",),
        no_means_unknown=_NEVER,
    ),
    Question(
        "salt",
        "salt",
        "water",
        ("salinity_ppt",),
        "Is the water salty? Answer fresh, or how many parts per thousand.",
        "Near a coast or in dry country, salt rules out many plants.",
        answers.salt,
        usual=_always(DONT_KNOW),
        comments=("parts per thousand",),
        find_out="Ponds away from a coast are usually fresh. A test strip for a salt pool shows it.",
    ),
    Question(
        "stretch",
        "stretch",
        "shore",
        ("name",),
        "Walk around the shore in your mind. Name its stretches one by one, each with one slope and one kind of sun.",
        "Each stretch gets its own plants. We still count what you leave out as ground that plants can creep along.",
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
        "It sets how many plants you need and how much ground they can run along.",
        answers.length,
        usual=answers.usual_length,
        assume=answers.unknown_length,
        comments=("feet along the water's edge",),
        no_means_unknown=_NO,
        find_out="Pace it along the water: an adult's step is about 2.5 ft. You may also say: half, a third, the rest.",
    ),
    Question(
        "ten-feet-out",
        "slope",
        "shore",
        ("slope",),
        "How deep is it ten feet out from the water's edge? In feet or inches; or the slope, as in 3:1.",
        "On a steep bank, deep water stops a plant. On a flat one, nothing does. (Use a pole from the bank; do not wade alone.)",
        answers.ten_feet_out,
        usual=_always(DONT_KNOW),
        assume=lambda told, entry: {"slope": answers.UNKNOWN_SLOPE},
        comments=("feet out for one foot down",),
        no_means_unknown=_NO,
        find_out="Tie a line to a ten-foot pole, hold it out from the bank and let the line down. A dug bank is often 3:1.",
    ),
    Question(
        "sun",
        "sun",
        "shore",
        ("sun",),
        "How much sun does it get in summer: full, part or shade?",
        "Full is six hours or more; shade is under three (common practice).",
        answers.sun,
        usual=_always("full"),
        assume=lambda told, entry: {"sun": "full"},
        comments=("full, part or shade",),
        find_out="You may give the hours of sun instead, as in 5 hours.",
    ),
    Question(
        "dam",
        "dam",
        "shore",
        ("dam",),
        "Is it a dam?",
        f"Keep trees and shrubs off a dam and {OFF_DAM_FT:g} ft away from it: their roots can open it (state rules differ).",
        _one("dam", plain_words.yes_no),
        usual=lambda told, entry: "yes" if "dam" in entry.get("name", "").lower().split() else "no",
        assume=lambda told, entry: {"dam": True},
    ),
    Question(
        "soil",
        "soil",
        "shore",
        ("soil",),
        "What is the ground like where the plants would root: " + ", ".join(vocabulary.SOILS) + "?",
        "Roots do not enter packed clay, and plants float out of loose muck: fewer of them live.",
        answers.soil,
        usual=_always(DONT_KNOW),
        comments=("what the plants root in",),
        find_out="Push a stick in at the water's edge. Hard to push and it comes out smooth and sticky: packed clay. It sinks by "
        "itself: muck. It grates: sand or rock.",
    ),
    Question(
        "keep-clear",
        "keep clear",
        "keep_clear",
        ("what",),
        "What do you need to keep clear of plants? Drain pipe, spillway, dock, swimming or casting place, inflow, diffuser, "
        "livestock ramp: name one at a time, or none.",
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
        "Which stretch is it on? Or say: in the water.",
        "We plant nothing there.",
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
        "We leave those feet out of what you plant.",
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
        "How deep is the diffuser, in feet?",
        "In shallow water it stirs up mud and lifts little water.",
        answers.diffuser_depth,
        usual=_always(DONT_KNOW),
        applies=lambda told, entry: kind_of_place(str(entry.get("what", ""))) == "diffuser",
        comments=("feet of water over it",),
        no_means_unknown=_NO,
    ),
    Question(
        "growing",
        "grows there",
        "growing",
        ("plant",),
        "What grows in the water or along the shore already, that covers more than a few feet? Name one plant at a time, or none.",
        "It counts as cover, and it takes room under your limits. What is not allowed here has to come out first.",
        answers.grown_plant,
        usual=_always("no more"),
        ends_list=True,
        find_out="Your extension office names a plant from a photo with leaves and flowers.",
    ),
    Question(
        "grows-on",
        "stretch",
        "growing",
        ("stretch",),
        "Which stretch is it on?",
        "We count it there.",
        answers.grown_where,
        usual=lambda told, entry: (
            (told.get("shore") or [{}])[0].get("name", "") if len(told.get("shore", [])) == 1 else ""
        ),
    ),
    Question(
        "grows-size",
        "size",
        "growing",
        ("length_ft", "width_ft", "area_ft2", "plants"),
        "How large is the stand? Feet along the shore by feet wide, as in 60 x 8 ft; or square feet; or how many plants.",
        "Bank and water count together. Pace it: a step is about 2.5 ft.",
        answers.grown_size,
        needed=True,
        comments=("feet along the shore", "feet wide", "square feet, bank and water", "plants"),
        find_out="A guess to within half is better than nothing.",
    ),
    Question(
        "purposes",
        "purposes",
        "goals",
        ("purposes",),
        "What are the plants for? "
        + ", ".join(f"{i} {p}" for i, p in enumerate(vocabulary.PURPOSES, 1))
        + ".",
        "We show only plants that do at least one of these.",
        answers.purposes,
        usual=_always("fish cover, bank hold"),
        find_out="Give the numbers or the words, one or several.",
    ),
    Question(
        "spreading",
        "spreading",
        "goals",
        ("tolerance",),
        "How much of the surface may one kind of plant take in ten years if nobody cuts it? "
        + ", ".join(f"{w} {p:g} %" for w, p in vocabulary.TOLERANCES.items())
        + "; or a number.",
        "Plants that would take more have to be held back, or we leave them out.",
        answers.tolerance,
        usual=_always("little"),
        comments=("most that one kind may hold after ten untended years",),
    ),
    Question(
        "cover",
        "cover wanted",
        "goals",
        ("cover_target_percent",),
        "How much cover for fish do you want in all, brush and plants together? As a share of the surface, as in 20 %.",
        "Bluegill do best with plants on 15 to 30 % of the surface (FWS/OBS-82/10.8). Without a figure a plan goes for what your limits allow.",
        answers.cover_wanted,
        usual=_always(DONT_KNOW),
        applies=lambda told, entry: "fish cover" in entry.get("purposes", ()),
        comments=("per cent of the surface, brush among it",),
        find_out="Ask the fisheries biologist of your state agency.",
        no_means_unknown=_NO,
    ),
    Question(
        "brush",
        "brush there",
        "goals",
        ("brush_percent",),
        "How much brush, sunken trees or other structure lies in the water already? As a share of the surface, as in 4 %; or as in 6 piles; or "
        "none.",
        "It is cover at once, and comes off what the plants have to give.",
        answers.brush,
        usual=_always("none"),
        applies=lambda told, entry: "fish cover" in entry.get("purposes", ()),
        comments=("per cent of the surface",),
    ),
    Question(
        "residents",
        "residents",
        "residents",
        tuple(g.replace(" ", "_") for g in vocabulary.GRAZERS),
        "Which of these live in the pond or visit it? " + ", ".join(vocabulary.GRAZERS) + "; or none.",
        "They eat young plants or dig them up. Grass carp eat most underwater plants.",
        answers.residents,
        usual=_always(DONT_KNOW),
    ),
    Question(
        "outline",
        "outline",
        "",
        ("outline",),
        "Last, for a map of the planting, if you like: do you have the pond's outline as a file, GeoJSON or KML? Name it, or say no.",
        "Then you see every group on a map. Without it you measure along each stretch with a tape.",
        answers.outline_file,
        usual=_always(DONT_KNOW),
        find_out="Many online maps let you draw the waterline and save it as KML or GeoJSON. Keep that file in the same folder as this one.",
        no_means_unknown=(*_NO, "none"),
        late=True,
    ),
    Question(
        "along",
        "along the outline",
        "shore",
        ("from_ft", "to_ft"),
        "From where to where does it run along the outline? In feet from the outline's first point, the way you walk with the water on "
        "your left, as in 184 to 704.",
        "It puts the stretch on the map. You may leave it open for all stretches.",
        answers.along_outline,
        usual=_always(DONT_KNOW),
        applies=lambda told, entry: bool(told.get("outline") or told.get("outline_ft")),
        comments=("feet along the outline",),
        find_out="Where one stretch ends the next begins.",
        late=True,
    ),
    Question(
        "tape",
        "on the tape",
        "keep_clear",
        ("from_ft", "to_ft"),
        "From where to where is it on its stretch? In feet on a tape from the stretch's left end as you face the water, as in 150 to "
        "190.",
        "The planting sheet then leaves the right feet free. You may leave it open.",
        answers.on_tape,
        usual=_always(DONT_KNOW),
        applies=lambda told, entry: bool(entry.get("stretch")) and "at_ft" not in entry,
        comments=("feet on the tape, from the stretch's left end as you face the water",),
        find_out="Stand at the left end, facing the water, and pace along the shore to it: a step is about 2.5 ft.",
        late=True,
    ),
)
BY_WORD = {q.word: q for q in QUESTIONS}
PARTS = tuple(dict.fromkeys(q.part for q in QUESTIONS))
