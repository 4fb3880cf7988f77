"""The closed vocabularies: every word that a file, a table or an answer may use, and what it stands for.

Depths are inches of standing water at full pool; negative is above the waterline.
"""

from __future__ import annotations

# The bank rises as it goes on under water. Its dry part begins where roots no longer find the pond's water and ends where
# a pond's slope gives way to the field: both judgement.
BANDS: dict[str, tuple[float, float]] = {
    "dry bank": (-120.0, -36.0),
    "bank": (-36.0, -6.0),
    "edge": (-6.0, 0.0),
    "0-6 in": (0.0, 6.0),
    "6-18 in": (6.0, 18.0),
    "18-36 in": (18.0, 36.0),
    "3-6 ft": (36.0, 72.0),
    "over 6 ft": (72.0, 240.0),
}

# Largest share of the surface that one species may hold after ten untended years, in per cent. Judgement,
# except that 30 is the upper end of published cover for fishing ponds (Virginia DWR; Oklahoma State NREM-9211).
TOLERANCES: dict[str, float] = {"none": 1.0, "little": 5.0, "some": 15.0, "free": 30.0}

# Chance of passing that limit that an owner accepts, and what may be asked for instead, in per cent. Judgement.
RISK_PERCENT = 10.0
MIX_PERCENT = (
    100.0 / 3.0
)  # no plant more than a third of all that are set: what a bad year for one kind may take (judgement)
RISKS_PERCENT = (1.0, 50.0)

GROWTH_FORMS = (
    "emergent",
    "sedge",
    "rush",
    "grass",
    "floating-leaved",
    "submersed",
    "free-floating",
    "bank forb",
    "fern",
    "vine",
    "shrub",
    "tree",
    "upland",
)
WOODY = ("shrub", "tree")
# Plants set together as one group that soon stands as one colony: judgement. All but shrubs and trees go by HERB_GROUP.
HERB_GROUP = 7
GROUP_SIZES: dict[str, int] = {"shrub": 3, "tree": 1}


def group_size(growth_form: str) -> int:
    """Plants of one growth form that are set together as one group."""
    return GROUP_SIZES.get(growth_form, HERB_GROUP)


PURPOSES: dict[str, str] = {
    "fish cover": "fish_cover",
    "bank hold": "bank_hold",
    "waterfowl": "waterfowl",
    "pollinator": "pollinator",
    "show": "show",
}
JOBS: dict[str, tuple[str, ...]] = {
    "shoreline": ("emergent", "sedge", "rush", "grass", "bank forb", "fern", "vine"),
    "fish cover": ("submersed", "floating-leaved", "free-floating", "emergent", "sedge", "rush", "grass"),
    "shade": WOODY,
    "all": GROWTH_FORMS,
}
LIFE_SPANS = ("annual", "biennial", "perennial")
ORIGINS = ("native", "introduced")
SUN_LEVELS = ("full", "part", "shade")
PLANT_SUN = ("full", "full to part", "full to shade", "part", "part to shade", "shade")
CLARITY = ("clear", "fair", "turbid")
PH_OF = ("water", "soil")  # what a range of pH was measured in
STANDS = ("none", "weeks", "season")
JUMPS = ("none", "low", "high")
JUMP_BY = ("seed", "fragments", "turions", "tubers", "offsets", "spores")
MEASURES = ("tub", "barrier", "trim", "deadhead", "sterile form", "nothing")
GRAZERS = (
    "grass carp",
    "common carp",
    "muskrat",
    "nutria",
    "beaver",
    "deer",
    "geese",
    "turtles",
    "crayfish",
    "livestock",
)
CAUTIONS = (
    "poisonous",
    "livestock",
    "skin",
    "cuts",
    "thorns",
    "mats",
    "wild harvest",
    "lookalike",
    "woody",
    "never loose",
    "never plant",
)
# How easily a native is bought, by the lists of plants sold that were read (catalogue/availability.py has the rule).
AVAILABILITY = ("common", "seldom", "rare", "not seen", "no source")
COST_ITEMS = {  # what a published figure is about
    "herb": "a plant in a plug, a small pot or bare root",
    "shrub": "a shrub in a gallon pot or bare root",
    "tree": "a tree in a pot of two to five gallons",
    "sleeve": "a sleeve round one stem",
    "fence": "a fence against cattle, posts and labor in it",
    "set herbs": "setting plugs and small pots",
    "set woody": "setting shrubs and trees with their root balls",
}
COST_UNITS = ("US dollars each", "US dollars/foot", "plants/hour")
FORMS_SOLD = ("bare root", "plug", "pot", "seed", "tuber", "cutting")
LIST_SEEN = ("whole", "part", "excerpt")
SOILS = ("clay", "packed clay", "loam", "sand", "muck", "rock")
# What is set, and against which animals it is kept.
PROPAGULES: dict[str, str] = {
    "rooted": "grown in a plug, a pot or a mat, or moved with its roots",
    "bare root": "a rhizome, tuber or crown without soil",
    "cutting": "a stem, stake or post without roots",
    "sod": "a piece of turf with its soil",
}
GUARDED = ("guarded", "open")
# A per cent alive is a share of plants or of plots; plots hold several plants, so more of them live.
COUNTED = ("plants", "plots")
SURVIVAL_USES = ("curve", "comparison")
NAME_KINDS = ("accepted", "synonym", "common", "trade", "cultivar")
SYNONYM_DECISIONS = ("same plant", "refused alike", "several plants", "another species")
RANGE_STATUS = ("native", "introduced", "unsure")
LAW_STATUS = ("prohibited", "noxious", "regulated", "permit", "watch")
BINDING_LAW = ("prohibited", "noxious", "regulated", "permit")
# Measured: worked out from a measurement that a source gives, by the rule that the locator states.
BASES = ("published", "measured", "practice", "judgement", "memory")
COVERAGE_READ = ("whole", "copy", "part", "none")  # copy: whole, but only as others copy it
# Classes of plants that a state or the federal government protects, as their lists call them. Ours: "conserved
# wildflower" (Minnesota's statute), "class not shown" (listed, the class lost in the copy), "thought gone" (extirpated).
PROTECTED_STATUS = (
    "endangered",
    "threatened",
    "rare",
    "special concern",
    "exploitably vulnerable",
    "commercially exploited",
    "salvage restricted",
    "conserved wildflower",
    "class not shown",
    "thought gone",
)
# Rules on what is done with plants that may be owned: which act, and which plants.
RULED_ACTS = ("collecting", "moving", "planting", "selling")
RULED_PLANTS = ("any water plant", "native water plants", "protected plants", "listed plants")
WETLAND_REGIONS = ("AGCP", "AW", "EMP", "GP", "MW", "NCNE", "WMVC")
WETLAND_RATINGS = ("OBL", "FACW", "FAC", "FACU", "UPL")

# U.S. Fish and Wildlife Service words for a suitability index.
FAIR = 0.2  # below it a place is poor: nothing is planned there, and an offer of the plant is one to leave
FIT_WORDS: tuple[tuple[float, str], ...] = ((0.8, "excellent"), (0.5, "good"), (FAIR, "fair"), (0.0, "poor"))


def fit_word(index: float) -> str:
    """The word for an index from 0 to 1 (excellent 0.8 and up, good 0.5, fair 0.2, poor below)."""
    return next(word for floor, word in FIT_WORDS if index >= floor - 1e-12)


STATES: dict[str, tuple[str, str]] = {  # code: name, neighbors
    "AL": ("Alabama", "FL GA MS TN"),
    "AR": ("Arkansas", "LA MO MS OK TN TX"),
    "AZ": ("Arizona", "CA CO NM NV UT"),
    "CA": ("California", "AZ NV OR"),
    "CO": ("Colorado", "AZ KS NE NM OK UT WY"),
    "CT": ("Connecticut", "MA NY RI"),
    "DC": ("District of Columbia", "MD VA"),
    "DE": ("Delaware", "MD NJ PA"),
    "FL": ("Florida", "AL GA"),
    "GA": ("Georgia", "AL FL NC SC TN"),
    "IA": ("Iowa", "IL MN MO NE SD WI"),
    "ID": ("Idaho", "MT NV OR UT WA WY"),
    "IL": ("Illinois", "IA IN KY MO WI"),
    "IN": ("Indiana", "IL KY MI OH"),
    "KS": ("Kansas", "CO MO NE OK"),
    "KY": ("Kentucky", "IL IN MO OH TN VA WV"),
    "LA": ("Louisiana", "AR MS TX"),
    "MA": ("Massachusetts", "CT NH NY RI VT"),
    "MD": ("Maryland", "DC DE PA VA WV"),
    "ME": ("Maine", "NH"),
    "MI": ("Michigan", "IN OH WI"),
    "MN": ("Minnesota", "IA ND SD WI"),
    "MO": ("Missouri", "AR IA IL KS KY NE OK TN"),
    "MS": ("Mississippi", "AL AR LA TN"),
    "MT": ("Montana", "ID ND SD WY"),
    "NC": ("North Carolina", "GA SC TN VA"),
    "ND": ("North Dakota", "MN MT SD"),
    "NE": ("Nebraska", "CO IA KS MO SD WY"),
    "NH": ("New Hampshire", "MA ME VT"),
    "NJ": ("New Jersey", "DE NY PA"),
    "NM": ("New Mexico", "AZ CO OK TX UT"),
    "NV": ("Nevada", "AZ CA ID OR UT"),
    "NY": ("New York", "CT MA NJ PA VT"),
    "OH": ("Ohio", "IN KY MI PA WV"),
    "OK": ("Oklahoma", "AR CO KS MO NM TX"),
    "OR": ("Oregon", "CA ID NV WA"),
    "PA": ("Pennsylvania", "DE MD NJ NY OH WV"),
    "RI": ("Rhode Island", "CT MA"),
    "SC": ("South Carolina", "GA NC"),
    "SD": ("South Dakota", "IA MN MT ND NE WY"),
    "TN": ("Tennessee", "AL AR GA KY MO MS NC VA"),
    "TX": ("Texas", "AR LA NM OK"),
    "UT": ("Utah", "AZ CO ID NM NV WY"),
    "VA": ("Virginia", "DC KY MD NC TN WV"),
    "VT": ("Vermont", "MA NH NY"),
    "WA": ("Washington", "ID OR"),
    "WI": ("Wisconsin", "IA IL MI MN"),
    "WV": ("West Virginia", "KY MD OH PA VA"),
    "WY": ("Wyoming", "CO ID MT NE SD UT"),
}


def neighbors(state: str) -> tuple[str, ...]:
    """The states that share a border with `state` (two-letter code)."""
    return tuple(STATES[state][1].split())


ZONES = tuple(f"{n}{half}" for n in range(1, 14) for half in "ab")


def zone_number(zone: str) -> float:
    """A hardiness half zone as a number: 8a is 8.0, 8b is 8.5."""
    return int(zone[:-1]) + (0.5 if zone[-1] == "b" else 0.0)


def zone_for_temperature(coldest_night_f: float) -> str:
    """The half zone for a mean yearly extreme minimum in degrees F: 5 F a half zone, 1a from -60 F (USDA 2023)."""
    k = int((coldest_night_f + 60.0) // 5.0)
    return ZONES[min(max(k, 0), len(ZONES) - 1)]
