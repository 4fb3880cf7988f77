"""The sentences under a ranking: what holds a plant here, what to mind, what we assumed, what can hurt someone."""

from __future__ import annotations

from collections.abc import Container, Iterable

from plantpick.catalogue.plants import Plant
from plantpick.pond.growing_season import REFERENCE_SEASON_DAYS
from plantpick.pond.keep_clear import OFF_DAM_FT, diffuser_advice, exits_of, loose_plant_warning
from plantpick.pond.model import Pond
from plantpick.ranking import containment
from plantpick.ranking.answer_codes import ASK_FIRST, ask_first
from plantpick.ranking.containment import EdgeStop
from plantpick.ranking.eligibility import Eligibility, GateCode
from plantpick.ranking.site_factors import DAM_TALLEST_IN, UNDER_OR_ON_WATER, Home, wall_words
from plantpick.vocabulary import GROUP_SIZES, HERB_GROUP

STEEP_SLOPE = 2.5  # ft out for 1 ft down; from here on hard to climb: judgement
CAUTION_WORDS = {
    "poisonous": "poisonous to people and stock if eaten",
    "livestock": "poisonous to livestock: fence it off or choose another",
    "skin": "sap or hairs irritate the skin: wear gloves",
    "cuts": "leaf edges cut: wear gloves and long sleeves",
    "thorns": "thorny: keep it off the paths",
    "mats": "can mat and tangle swimmers, lines and intakes",
    "wild harvest": "rare in the wild: buy only nursery-grown plants",
    "lookalike": "easily taken for a forbidden or poisonous plant: have it identified",
    "never loose": "never set it loose: hold it from the first day, there is no getting it out again",
    "never plant": "not for planting",
    "woody": f"keep it {OFF_DAM_FT:g} ft off the dam",
}
HOME_WORDS = {
    Home.HOT_END: "at the hot end of its range here",
    Home.NEEDS_SALT: "a salt-marsh plant: it fades in fresh water",
}
JUMP_WORDS = {
    "seed": "sows itself",
    "fragments": "roots from broken pieces",
    "turions": "makes winter buds that drift",
    "tubers": "makes tubers that birds and floods carry",
    "offsets": "sends out young plants on runners that break loose",
    "spores": "spreads by spores",
}


# The same for a list, a few words each. "woody" and what drifts stand once among the cautions for the pond.
CAUTIONS_IN_SHORT = {
    "poisonous": "poisonous if eaten",
    "livestock": "poisons livestock: fence it off",
    "skin": "irritates skin: wear gloves",
    "cuts": "leaves cut: wear gloves",
    "thorns": "thorny",
    "mats": "can tangle swimmers",
    "wild harvest": "rare: buy it nursery-grown",
    "lookalike": "has a look-alike",
    "never loose": "never set it loose",
    "never plant": "not for planting",
}


def plant_notes(
    found: Eligibility,
    plant: Plant,
    pond: Pond,
    *,
    stops: EdgeStop,
    depth_in: float,
    measures: tuple[str, ...],
    chore: str,
    home: Home,
) -> tuple[str, ...]:
    """What the owner should know of one ranked plant on this pond, most useful first; `stops` says what stops its edge."""
    notes = [stops.words]
    if measures:
        notes.append(_measure_note(measures, chore))
    elif _lily(plant):
        notes.insert(0, LILY_NOTE)
    low_pool = depth_in - pond.usual_drop_in
    if pond.usual_drop_in > 0 and depth_in > 0:
        stands = (
            f"stands in {low_pool:.0f} in"
            if low_pool > 0
            else (f"stands {-low_pool:.0f} in above the water" if low_pool < 0 else "stands at the waterline")
        )
        back = (
            ": it dies back, returns with the water and shelters no fish till then"
            if low_pool <= 0 and plant.growth_form in UNDER_OR_ON_WATER
            else ""
        )
        notes.append(f"set in {depth_in:.0f} in at full pool, it {stands} when the pond is down{back}")
    loose = loose_warning(plant, pond)
    if plant.jumps:
        ways = " and ".join(JUMP_WORDS[w] for w in plant.jump_by)
        drifts = {"fragments", "turions", "offsets"} & set(plant.jump_by)
        way_out = "" if loose else ", and upwind and upstream of any riser or spillway"
        keep = f"; keep it off the inflow{way_out}" if drifts else ""
        notes.append(f"{ways}{keep}" if ways else "starts new colonies away from the parent")
    if loose:
        notes.append(loose)
    notes += _eaten(plant, pond)
    notes += _standing(found)
    if home:
        notes.append(HOME_WORDS[home])
    dam = any(s.dam for s in pond.stretches)
    notes += [CAUTION_WORDS[word] for word in plant.cautions if dam or word != "woody"]
    if plant.remark:
        notes.append(plant.remark.rstrip("."))
    return tuple(map(_sentence, notes))


def short_notes(
    found: Eligibility, plant: Plant, pond: Pond, *, measures: tuple[str, ...], chore: str, home: Home
) -> tuple[str, ...]:
    """What to know of a plant in a list, only where there is something: what has to hold it, what stands against it, every
    warning, who eats it. What is the same for many plants stands once under the lists."""
    notes = []
    if measures:
        earthwork = f"{containment.in_words(measures)}, " if containment.STEEPENED in measures else ""
        notes.append(f"hold it: {earthwork}{chore}")
    elif _lily(plant):
        notes.append("use tubs all the same")
    notes += _standing_in_short(found)
    if home:
        notes.append(HOME_WORDS[home])
    said = {"lookalike"} if found.code is GateCode.GENUS_ONLY else set()  # what "ask first" says already
    notes += [
        words for word, words in CAUTIONS_IN_SHORT.items() if word in plant.cautions and word not in said
    ]
    hungry = eaten_here(plant, pond)
    return (*notes, f"eaten by {' and '.join(hungry)}") if hungry else tuple(notes)


def loose_warning(plant: Plant, pond: Pond) -> str:
    """What to do about pieces that break off and drift; empty where the plant or the pond gives no cause."""
    return loose_plant_warning(pond.keep_clear, plant.growth_form, plant.jump_by, dammed=pond.dammed)


# common practice, no source: loose lilies are liked for their looks and take ponds over
LILY_NOTE = f"set it in {containment.MEASURE_WORDS['tub']} all the same: loose lilies take ponds over"


def _lily(plant: Plant) -> bool:
    return plant.growth_form == "floating-leaved" and "tub" in plant.contained_by


def _measure_note(measures: tuple[str, ...], chore: str) -> str:
    if {"tub", "trim"} <= set(measures):  # the chore says what to pull
        measures = tuple(m for m in measures if m != "trim")
    return f"only with {containment.in_words(measures)}: {chore}"


def _eaten(plant: Plant, pond: Pond) -> list[str]:
    """Which animals of this pond eat it."""
    hungry = eaten_here(plant, pond)
    return [f"{' and '.join(hungry)} eat it: cage or fence it for the first two seasons"] if hungry else []


def eaten_here(plant: Plant, pond: Pond) -> tuple[str, ...]:
    """The animals of this pond that eat it."""
    return tuple(g for g in plant.eaten_by if g in pond.residents)


def _standing_in_short(found: Eligibility) -> list[str]:
    """The same facts as `_standing`, in a few words each."""
    notes = []
    if found.protected:
        notes.append("protected: nursery-grown with papers only")
    if known := ASK_FIRST.get(found.code):
        notes.append(f"ask first: {known.short(found)}")
    if found.native == "not recorded":
        notes.append("native next door only")
    if others := found.elsewhere:
        named = ", ".join(others[:4]) + (" and more" if len(others) > 4 else "")
        notes.append(f"restricted in {named}")
    return notes


def _standing(found: Eligibility) -> list[str]:
    """What to know of protection, of whether it is native here, and of the lists that name it."""
    notes = [found.protection] if found.protection else []
    if asked := ask_first(found):
        notes.append(asked)
    if found.native == "not recorded":
        notes.append(f"native next door, not recorded in {found.state_name}")
    others = found.elsewhere
    if others:
        notes.append(
            f"listed by law in {', '.join(others[:6])}{' and others' if len(others) > 6 else ''}: "
            "ask your agency first, and never move it to another water"
        )
    return notes


def _sentence(note: str) -> str:
    return note[0].upper() + note[1:]


def pond_assumptions(pond: Pond) -> tuple[str, ...]:
    """What we assumed about the pond and the planting."""
    said = [
        f"A group is {HERB_GROUP} plants at their spacing ({GROUP_SIZES['shrub']} of a shrub, {GROUP_SIZES['tree']} of a "
        "tree). Takeover is for one group on each stretch that suits the plant"
        f"{'' if not pond.groups_wanted else f', {pond.groups_wanted} groups in all'}.",
        "Takeover counts all the ground a plant would hold, bank and water, as a share of the pond's surface, if you cut "
        "nothing for ten years.",
        f"Spread rates are for {REFERENCE_SEASON_DAYS:.0f} frost-free days. Your pond has "
        f"{pond.growing_season.frost_free_days:.0f}, so we multiply them by {pond.growing_season.rate_factor:.2f}.",
    ]
    if pond.growing_season.estimated:
        said.append("You gave no frost dates: we estimated the season from the hardiness zone.")
    if walls := wall_words(pond):
        said.append(walls)
    rest = [s for s in pond.shore if not s.described]
    if rest:
        said.append(
            f"Your stretches do not go all the way round the pond. We assumed {rest[0].length_ft:,.0f} ft more shore at "
            f"{rest[0].slope:.1f}:1: plants can creep along it, and we plant nothing there."
        )
    if pond.clarity_in is None:
        low, usual, high = pond.clarity_range_in
        said.append(
            f"You gave no Secchi reading. We assumed {usual:g} in for where plants live, and {low:g} to {high:g} in for "
            "how far they can creep. Take a reading: it narrows the forecast."
        )
    if not pond.drop_known:
        said.append(
            f"You gave no usual drop. We assumed a steady level, and up to {pond.unsure_drop_in:g} in of drop for how far "
            "plants can creep."
        )
    not_given = [
        word for word, value in (("pH", pond.water_ph), ("salinity", pond.salinity_ppt)) if value is None
    ]
    if not_given:
        said.append(
            f"You gave no {' and no '.join(not_given)}: we left {'it' if len(not_given) == 1 else 'them'} out of the score."
        )
    if pond.ph is None and pond.water_ph is not None:
        said.append(
            f"You gave an alkalinity of {pond.alkalinity_mg_l:g} mg/L and no pH. Water at rest with the air then reads pH "
            f"{pond.water_ph:g}, and we judged by that. A pond reads lower at dawn and higher on a sunny afternoon."
        )
    if pond.salinity_ppt is None:
        said.append("We rule out plants that need some salt, as in fresh water, until you give a salinity.")
    if not any(s.soil for s in pond.stretches):
        said.append(
            "You named no soil: we left it out of how many plants live. Packed clay, sand and muck lose more."
        )
    return (*said, *pond.notes)


def assumed_in_short(pond: Pond) -> str:
    """What nobody gave and what we took instead, in one sentence for the head of a list; empty where all of it was given."""
    water = [
        word for word, value in (("pH", pond.water_ph), ("salinity", pond.salinity_ppt)) if value is None
    ]
    facts = (
        ("purposes" in pond.not_given, f"purposes ({' and '.join(pond.purposes)})"),
        ("tolerance" in pond.not_given, f"limit ({pond.cap_percent:g} %)"),
        (pond.growing_season.estimated, "frost dates (by your zone)"),
        (pond.clarity_in is None, "Secchi reading (the usual)"),
        (not pond.drop_known, "summer drop (none)"),
        (bool(water), f"{' and '.join(water)} (not judged; fresh water)"),
        ("residents" in pond.not_given, "animals (none; grass carp would eat most water plants)"),
    )
    open_ = [words for is_open, words in facts if is_open]
    return f"Not given, so we assumed: {', '.join(open_)}." if open_ else ""


def cautions_in_short(pond: Pond, words: Container[str], *, drifts: bool, eaten: bool) -> tuple[str, ...]:
    """The cautions for the end of a list, a few words each; the long ones are in `pond_cautions`.

    `words` are the cautions of the plants in it, `drifts` and `eaten` whether one is marked so: what the marks mean comes first.
    """
    said = []
    if drifts:
        exits = " and ".join(exits_of(pond.keep_clear, pond.dammed))
        said.append(f"Drifts: breaks loose and clogs the {exits}: keep it off the water upstream and upwind.")
    if "lookalike" in words:
        said.append(
            "Look-alike: a forbidden or poisonous plant looks like it (its page says which): have it identified."
        )
    if eaten:
        said.append("Eaten: cage it for two seasons.")
    said.append("Never move wild plants, water or mud to another water.")
    said.append("Deep water: life jacket, never alone" + (", in the warm season." if pond.zone < 8 else "."))
    if any(s.slope < STEEP_SLOPE for s in pond.stretches):
        said.append("Steep edge: leave a way out.")
    if walls := wall_words(pond):
        said.append(walls)
    said.append("Wiring: ground-fault protection, licensed electrician.")
    if advice := diffuser_advice(pond.keep_clear, pond.max_depth_ft):
        said.append(advice)
    if any(s.dam for s in pond.stretches):
        said.append(
            f"Dam: low grass, soft stems under {DAM_TALLEST_IN / 12:g} ft, nothing woody within {OFF_DAM_FT:g} ft (state rules differ)."
        )
    if "poisonous" in words or "livestock" in words:
        said.append("Keep stock and children off poisonous plants.")
    said.append("Weed killers: by the label, by a licensed applicator where asked.")
    return tuple(said)


POISON_WORDS = {"poisonous": "Poisonous to people and stock if eaten", "livestock": "Poisonous to livestock"}
KEEP_OFF = {
    "poisonous": "Keep children and stock off, and don't set where they play or graze",
    "livestock": "Fence stock out, or leave it out",
}


def poison_lines(plants: Iterable[Plant]) -> tuple[str, ...]:
    """Each kind of poison among these plants in one line: to whom, which plants, and what to do."""
    plants = tuple(plants)
    named = {
        word: ", ".join(p.common_name for p in plants if word in p.cautions and _worst(p) == word)
        for word in POISON_WORDS
    }
    return tuple(
        f"{POISON_WORDS[word]}: {names}. {KEEP_OFF[word]}." for word, names in named.items() if names
    )


def lookalike_lines(plants: Iterable[Plant]) -> tuple[str, ...]:
    """The plants among these that a forbidden or poisonous one is easily taken for, in one line with what to do; none where
    there are none."""
    names = ", ".join(p.common_name for p in plants if "lookalike" in p.cautions)
    if not names:
        return ()
    return (
        f"Easily taken for a forbidden or poisonous plant: {names}. Have what comes identified before it goes in.",
    )


def _worst(plant: Plant) -> str:
    """What is poisonous to people is so to stock, and stands in one line."""
    return next((word for word in POISON_WORDS if word in plant.cautions), "")


def pond_cautions(pond: Pond, plants: Iterable[Plant], *, named: bool = False) -> tuple[str, ...]:
    """The cautions that apply to planting this pond with these plants. Poisonous ones are `named` where they are few."""
    plants = tuple(plants)
    agency = "your state agency has the last word"
    said = [
        "Law changes: this list has a date, and " + agency + ".",
        "Never move wild plants, water or mud from one water to another.",
        "Deep water: wear a life jacket, and do not plant from a boat alone.",
    ]
    if any(s.slope < STEEP_SLOPE for s in pond.stretches):
        said.append("Steep edges: leave a way to climb out, and do not wade them alone.")
    if pond.zone < 8:
        said.append("Cold water takes strength within minutes: plant in the warm season, in company.")
    said.append("Aerator and pump wiring near water: ground-fault protection, and a licensed electrician.")
    if advice := diffuser_advice(pond.keep_clear, pond.max_depth_ft):
        said.append(advice)
    if any(s.dam for s in pond.stretches):
        said.append(
            "Dam: only low grass on it, and at its waterline soft-stemmed plants that stand "
            f"{DAM_TALLEST_IN / 12:g} ft or less over the water, so that seeps and burrows show; no woody plant on it or within "
            f"{OFF_DAM_FT:g} ft (state dam rules differ), and nothing "
            "across the spillway or round the riser."
        )
    if named:
        said = [*poison_lines(plants), *said]
    elif any(_worst(plant) for plant in plants):
        said.append("Some of these plants are poisonous to stock or people: see their notes.")
    said.append("Weed killers only by the label, with a licensed applicator where your state asks for one.")
    return tuple(said)
