"""Words on paper made comparable: stray characters, glued words, spellings, and the words that are not
names."""

from __future__ import annotations

import html
import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache

_QUOTES = str.maketrans(
    {
        "’": "'",
        "‘": "'",
        "`": "'",
        "´": "'",
        "ʼ": "'",
        "′": "'",
        "‛": "'",
        "“": '"',
        "”": '"',
        "″": '"',
        "„": '"',
        "«": '"',
        "»": '"',
        "–": " - ",
        "—": " - ",
        "―": " - ",
        "−": "-",
        "‐": "-",
        "‑": "-",
        "×": " x ",
        "✕": " x ",
        "®": " ",
        "™": " ",
        "©": " ",
        "•": " | ",
        "·": " | ",
        "*": " ",
        "_": " ",
        "\u00ad": None,
        "\u200b": None,
        "\u200c": None,
        "\u200d": None,
        "\ufeff": None,
        "\u2060": None,
        "ø": "o",
        "ł": "l",
        "ß": "ss",
        "…": " | ",
        # letters of other alphabets that look like ours
        "а": "a",
        "е": "e",
        "о": "o",
        "р": "p",
        "с": "c",
        "у": "y",
        "х": "x",
        "і": "i",
        "ѕ": "s",
        "А": "A",
        "В": "B",
        "Е": "E",
        "К": "K",
        "М": "M",
        "Н": "H",
        "О": "O",
        "Р": "P",
        "С": "C",
        "Т": "T",
        "Х": "X",
        "І": "I",
        "ο": "o",
        "α": "a",
        "ν": "v",
    }
)
_MOJIBAKE = re.compile("[ÂÃâ][\u0080-\u00bf€‚ƒ„…†‡ˆ‰Š‹ŒŽ‘’“”•–—˜™š›œžŸ]")
_GLUED = re.compile(r"(?<=[a-z])(?=[A-Z][a-z])|(?<=[A-Za-z])(?=\d)|(?<=\d)(?=[A-Za-z])")
_ADDRESS = re.compile(r"\S+@\S+\.\w+|https?://\S+|www\.\S+")
_TOKEN = re.compile(r"[A-Za-z]+(?:'[A-Za-z]+)*'?|\d+|--+|\s-|-\s|[\t\n]|\s{3,}|[^\sA-Za-z\d]")
_CULTIVAR = re.compile(
    r"(?<![A-Za-z0-9])'([A-Z0-9][^'\"]{1,38}?(?:'s [^'\"]{1,30}?|s' [^'\"]{1,30}?)?)'(?![A-Za-z])"
    r"|(?<![\d\w½])\"([A-Z][A-Za-z .&-]{2,38})\"|\bcv\.?\s+([A-Z][a-z]+(?: [A-Z][a-z]+)?)"
)
_BREAKS = set(',;:|/()[]{}"\t\n<>=+!?&')
RANKS = frozenset("var ssp subsp spp sp f fo forma cv x cf aff hort auct syn".split())

# Words of the trade that name no plant by themselves. A line of nothing else is no offer of a plant.
_PLAIN = """
a about above acre across add after all allow also always am among an and any are as ask assorted assortment
at available availability average away back balance bare based be because bed been before below best better
between big both bottom box branched bring bulk bundle bundled but buy by call can cannot cant carry case
catalog catalogue cell cells certificate change charge cheap check choose city class clearance click clump
cm code cold collection color colors colour colours come coming common comes company complete condition cont
contact container containers containerized coolers cost count county crown crowns cu cube cubes current
customer customers cut cutting cuttings daily date day days deal deep delivered delivery depth deposit
description discount discounts division divisions do does dormant dozen due each ea early easy email end
enough established estimate etc every everything excellent except expected extra fall farm fast fax feet fee
few field final find first flat flats float floats florida flower flowering flowers fob for free fresh
freshly freight friday from ft full gal gallon gallons garden gardens get good great grow growing grown
grower growers grows guarantee guaranteed half hand handling hardy has have healthy height her herbaceous
here high holiday hot hour hours ht how if immediate in inc inch inches included includes including info
information install instock invoice is it item items its january february march april june july august
september october november december just keep kind know large largest last late latin lb lbs leaf liner
liners list listed listing lists live load loc local location long lot lots low mail mailed make many
marginal marginals mature max may mid min minimum mix mixed mixes mixture monday month months more most much
multi must name names native natives need net new next nice no none noon not note notes notice now nursery
nurseries number obl facw fac facu upl of off offer offered offers on one ones only or order ordered orders
original other our out over oxygenator oxygenators oz pack package packaged packed packing packs page pallet
part partial parts payment peat pending per perennial perennials phone pick picked pickup piece pieces pint
plan plant plantable planted planter planting plants please plug plugs plus po point pond ponds pool pools
pot potted pots pound pounds pre preorder premium price priced prices pricing product products propagated pt
purchase qt qty quality quantities quantity quart quarts question questions quote rate ready receive ref
regular remaining requested required reserve reserved retail returns rhizome rhizomes root rooted roots row
sale sales same sat saturday sci scientific season seasonal second section see seed seeds seedling seedlings
sell sells selling set shade ship shipped shipper shipping ships shop short side size sized sizes sku small
smaller soil sold some sorry special species specify spread spring sprig sprigs standard start starter
starting starts state states status stem stems stock store strand strands strong sub substitute
substitutions such summer sun supply limited surplus swamp tall tax temp temporarily tax taxes term terms
than thank thanks that the their them there these they third this through thru thursday till time times to
total total tray trays tub tubs tube tuber tubers tubes tubelings tuesday turion turions two type under unit
units until up update updated upon us usa usda use used uses variety varieties very via visit volume wait
waitlist want warm was water waters way we website wed wednesday week weeks weekly wetland wetlands what
when where which while wholesale wide will winter with without word work year years yes yet you your zone
zones aquatic aquatics bog bogs edge shoreline shore stream lake emergent emergents submerged submersed
floating floater floaters oxygenating surface moist wet dry band banded rubber bunch bunches bags bag bale
cash credit card visa mastercard paypal venmo check checks subject prior confirm confirmation quotation attn
dear hi hello hey regards sincerely best cheers yours truly signed sir madam llc ltd co corp street road
avenue suite hwy highway rd ave st blvd drive lane www com net org http https tel cell fax mobile open
closed hours genus family cultivar cultivars hybrid hybrids botanical synonym synonyms formerly known aka
old nomenclature true sterile named deciduous evergreen annual annuals biennial spikes blooms bloom blooming
bloomer foliage fragrant spreader spreading invasive noninvasive mother root rootball ball burlap bnb bb br
gl rc dp cell deepot dp plugtray landscape quartz trade one half weeds weed heavy light approx approximately
around min max avg pkg pkt pc pcs doz pr hundred thousand thousands hundreds pls wt weight net gross grasses
sedges rushes ferns shrubs trees vines wildflowers forbs herbs bulbs moss mosses groundcover groundcovers
bare selection sampler package kit restoration mitigation grade stocked backordered backorder hold holding
left until gone while supplies subtotal business submerse last mail local pick up only pickup deliveries
pallets truck trucks liftgate minimums handling fuel surcharge insurance
"""
_PLACES = """
alabama arkansas arizona california colorado connecticut delaware florida georgia iowa idaho illinois
indiana kansas kentucky louisiana massachusetts maryland maine michigan minnesota missouri mississippi
montana carolina dakota nebraska hampshire jersey mexico nevada york ohio oklahoma oregon pennsylvania rhode
tennessee texas utah virginia vermont washington wisconsin wyoming chicago north south east west hawaii
alaska canada puerto rico
"""
_HARDWARE = """
pump pumps liner underlayment filter filters filtration skimmer hose tubing netting fountain fountains
aerator aerators aeration diffuser diffusers compressor fertilizer fertiliser tablets tablet tabs pellets
algaecide herbicide dye lamp uv clarifier heater thermometer thermostat scissors tongs gloves gravel rocks
stakes stake anchors tape valve fitting fittings adapter bracket basket baskets book books guidebook decoy
sculpture statue spigot waders shovel spade trowel dibble auger fence fencing mesh tarp erosion blanket
blankets coir logs log geotextile straw mulch compost medium media topsoil bench food feeder treatment
bacteria dechlorinator conditioner label labels tag tags gift certificate cages cage weights ring rings raft
rafts island islands
"""
_ANIMALS = """
fish koi goldfish goldfishes bluegill bream sunfish redear bass minnow minnows shiner shiners gambusia
mosquitofish guppy guppies platy catfish perch crappie carp snail snails trapdoor ramshorn tadpole tadpoles
frog frogs turtle turtles crayfish shrimp clam clams mussel mussels pleco shubunkin shubunkins comet comets
orfe fingerling fingerlings fathead daphnia scuds newt newts salamander
"""


@lru_cache(maxsize=200_000)
def stem(word: str) -> str:
    """A word for comparison: lower case, no apostrophe, singular, the spellings that lists mix made one."""
    w = word.lower().replace("'", "")
    if len(w) > 4:
        if w in _SPELLINGS:
            return _SPELLINGS[w]
        if w.endswith("lly") and w[:-3] in ("li", "waterli", "pondli"):
            return w[:-3] + "ly"
        if w.endswith("ies"):
            return stem(w[:-3] + "y")
        if w.endswith(("sses", "shes", "ches", "xes", "ises", "uses")):
            return w[:-2]
        if w.endswith("leaved") or w.endswith("leafed"):
            return w[:-6] + "leaf"
        if w.endswith("leaves"):
            return w[:-6] + "leaf"
        if w.endswith("flowered"):
            return w[:-2]
        if w.endswith("stemmed"):
            return w[:-3]
    return w[:-1] if len(w) > 3 and w[-1] == "s" and w[-2] not in "sui" else w


_SPELLINGS = {
    "grey": "gray",
    "greys": "gray",
    "woolly": "wooly",
    "woollygrass": "woolgrass",
    "colour": "color",
    "saint": "st",
    "fibre": "fiber",
}
PLAIN = frozenset(stem(w) for block in (_PLAIN, _PLACES) for w in block.split())
HARDWARE = frozenset(stem(w) for w in _HARDWARE.split())
ANIMALS = frozenset(stem(w) for w in _ANIMALS.split())
CARRIED = frozenset(
    stem(w)
    for w in "basket baskets stake label labels tag tags mulch medium media food ring cage tape light".split()
)
FUNCTION_WORDS = frozenset(
    "a an and are as at be but by can do for from has have if in is it not of on or our than that the they "
    "this to us was we will with you your when which who must may any all".split()
)
# What opens a line of an e-mail's head, and what firms call themselves.
LETTER_HEAD = re.compile(
    r"\W*(?:from|to|subject|date|sent|cc|bcc|re|fw|fwd|reply-to|tel|phone|e-?mail|web|website|"
    r"fax|attn|address|customer|client|bill to|ship to|sold to|name|order|invoice|quote)"
    r"\s*(?:no\.?|#)?\s*:",
    re.I,
)
FIRMS = frozenset(
    stem(w) for w in "nursery nurseries farm farms inc llc ltd greenhouse greenhouses corp".split()
)
# Names of whole groups of plants: they settle nothing where anything else on the line does.
GENERIC = frozenset(
    stem(w)
    for w in "grass rush sedge fern reed cane lily weed willow moss iris aster mint dock cress bamboo "
    "oak ash maple elm birch alder pine arum flag mallow palm rose violet cabbage celery spinach lettuce "
    "chestnut hyacinth daisy plum lotus "
    "sunflower grape clover buttercup pea bean cherry dogwood elder holly ironweed".split()
)


@dataclass(slots=True)
class Token:
    """A word of the line: as written, its stem, where it stands, and the number of its segment."""

    text: str
    stem: str
    start: int
    segment: int
    quoted: bool = False


@dataclass(slots=True)
class Clean:
    """A line taken apart: the cleaned text, its words, what stands in cultivar quotes, and the digits left
    out."""

    text: str
    tokens: list[Token]
    quoted: list[str]


def clean_text(text: str) -> str:
    """The line with its characters put right: quotes, dashes, broken encodings, accents, glued words."""
    if not text.isascii():
        if _MOJIBAKE.search(text):
            try:
                text = text.encode("cp1252").decode("utf-8")
            except UnicodeError:
                pass
        text = unicodedata.normalize("NFKC", text.translate(_QUOTES)).translate(_QUOTES)
        text = "".join(c for c in unicodedata.normalize("NFD", text) if not unicodedata.combining(c))
    elif "*" in text or "_" in text or "`" in text:
        text = text.translate(_QUOTES)
    if "&" in text and ";" in text:
        text = html.unescape(text)
    if "@" in text or "://" in text or "www." in text:
        text = _ADDRESS.sub(" ", text)
    return _GLUED.sub(" ", text)


def take_apart(text: str) -> Clean:
    """Clean a line and split it into words; numbers and signs only part the words into segments."""
    text = clean_text(text)
    quoted, spans = [], []
    if "'" in text or '"' in text or "cv" in text:
        for match in _CULTIVAR.finditer(text):
            quoted.append(next(g for g in match.groups() if g))
            spans.append(match.span())
    tokens: list[Token] = []
    segment = 0
    for match in _TOKEN.finditer(text):
        piece = match.group()
        first = piece[0]
        if first.isalpha():
            start = match.start()
            inside = any(a <= start < b for a, b in spans) if spans else False
            if tokens and tokens[-1].quoted != inside:
                segment += 1
            tokens.append(Token(piece, stem(piece), start, segment, inside))
        elif (
            first.isspace()
            and first not in "\t\n"
            and len(piece) > 2
            and match.end() < len(text)
            and text[match.end()].islower()
        ):
            continue  # wide spacing inside a name: "Saururus   cernuus"
        elif first in _BREAKS or first.isspace() or first.isdigit() or (first in "-" and len(piece) > 1):
            segment += 1
    return Clean(text, tokens, quoted)


def key_of(name: str) -> str:
    """A name as one run of letters: stems without spaces, hyphens, rank words and hybrid signs."""
    return "".join(t.stem for t in take_apart(name).tokens if t.stem not in RANKS)


_ENDING = re.compile(r"(?:iae|ii|ae|us|um|is|es|a|e|i|s|on|os)$")


@lru_cache(maxsize=100_000)
def epithet_stem(epithet: str) -> str:
    """An epithet without the ending that changes with the genus's gender (luteum and lutea are one)."""
    bare = _ENDING.sub("", epithet.lower())
    return bare if len(bare) >= 3 else epithet.lower()
