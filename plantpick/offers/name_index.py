"""The catalogue's names arranged for reading offers: by run of letters, by genus and epithet, by cultivar.

A name's key is its words without spaces, hyphens, endings of the plural and rank words, so that "bul rush",
"Bulrushes" and "bul-rush" are one. Every key is also found from itself less any one letter, which is how a
slip is caught.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import cached_property

from plantpick.catalogue.plants import Catalogue
from plantpick.catalogue.taxa import bare_taxon
from plantpick.offers.normalize import RANKS, epithet_stem, key_of, stem, take_apart
from plantpick.offers.one_slip import OneSlip
from plantpick.offers.words import GENERIC, PLAIN
from plantpick.vocabulary import BINDING_LAW

LAW_ONLY = "law:"  # plant_id of a taxon that some list names and the catalogue does not describe
LONGEST = 6  # words in a name
SHORTEST_KEY = 4  # letters; shorter words are too often codes
SHORTEST_NEAR = 6  # letters; a slip in a shorter name cannot be told from another word
PACKED = frozenset(
    stem(w) for w in "bunch bunches bundle plant plants tuber tubers bulb bulbs seed plug stem root".split()
)
_ORDER = {"accepted": 0, "synonym": 1, "common": 2, "cultivar": 3, "trade": 4}
_DIGIT = re.compile(r"\d")
_LETTERS = re.compile(r"[A-Za-z']+")
_BINOMIAL = re.compile(r"^([A-Z][a-z-]+)\s+(?:[x×]\s*)?([a-z][a-z-]+)(?:\s|$)")


@dataclass(frozen=True)
class Entry:
    """What one key stands for: pairs of plant_id and kind, the most binding kind first, and the name as
    written."""

    name: str
    pairs: tuple[tuple[str, str], ...]

    @cached_property
    def plants(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(p for p, _ in self.pairs))

    @cached_property
    def scientific(self) -> bool:
        return any(kind in ("accepted", "synonym") for _, kind in self.pairs)

    @cached_property
    def called(self) -> tuple[str, ...]:
        """The plants that bear the name as a common name rather than as a trader's word."""
        return tuple(dict.fromkeys(p for p, kind in self.pairs if kind != "trade"))


@dataclass
class NameBook:
    """Look-ups for reading names; made once from the catalogue by `name_book`."""

    scientific: dict[str, str]  # plant_id: accepted name
    common: dict[str, str]  # plant_id: common name
    introduced: frozenset[str]
    refused: frozenset[str]  # introduced, or bound by a list somewhere
    bound: dict[str, int]  # plant_id: in how many places a list binds it
    submersed: frozenset[str]
    keys: dict[str, Entry] = field(default_factory=dict)
    genera: dict[str, tuple[str, ...]] = field(default_factory=dict)
    epithets: dict[str, dict[str, tuple[str, ...]]] = field(default_factory=dict)
    cultivars: dict[str, tuple[str, ...]] = field(default_factory=dict)
    genus_cultivars: dict[str, dict[str, tuple[str, ...]]] = field(default_factory=dict)
    groups: dict[str, tuple[str, ...]] = field(
        default_factory=dict
    )  # "rush", "sedge": words of the trade too
    numbered: dict[str, tuple[str, ...]] = field(
        default_factory=dict
    )  # "ky31fescue": names with a number in them
    short_names: dict[str, tuple[str, ...]] = field(
        default_factory=dict
    )  # too short to be looked for anywhere

    def make_ready(self) -> None:
        """Make every look-up that is otherwise made when first asked for."""
        for name in (
            "known_epithets",
            "epithet_stems",
            "by_initial",
            "below",
            "forms_below",
            "genera_with",
            "long_keys",
            "long_genera",
            "wandering_genera",
            "nearest_names",
            "words_of",
            "heads",
            "name_words",
            "own_keys",
            "epithets_of",
            "listed_keys",
        ):
            getattr(self, name)

    def genus_of(self, plant_id: str) -> str:
        """Genus of the accepted name, lower case."""
        return self.scientific[plant_id].split()[0].lower()

    def synonym_among(self, names: list[str], plant_id: str) -> str:
        """The first of some scientific names that is a synonym of a plant, if none is its accepted name."""
        keys = [key_of(name) for name in names]
        if key_of(self.scientific[plant_id]) in keys:
            return ""
        found = (self.keys[key] for key in keys if key in self.keys)
        return next((entry.name for entry in found if (plant_id, "synonym") in entry.pairs), "")

    @cached_property
    def words_of(self) -> dict[str, frozenset[str]]:
        """The words (stems) of all names that a plant bears."""
        out: dict[str, set[str]] = {}
        for entry in self.keys.values():
            words = set(map(stem, _LETTERS.findall(entry.name)))
            for plant_id in entry.plants:
                out.setdefault(plant_id, set()).update(words)
        return {p: frozenset(words) for p, words in out.items()}

    @cached_property
    def name_words(self) -> frozenset[str]:
        """The words (stems) of all common and trade names."""
        return frozenset(
            stem(w)
            for e in self.keys.values()
            if not e.scientific and any(kind in ("common", "trade") for _, kind in e.pairs)
            for w in _LETTERS.findall(e.name)
        )

    @cached_property
    def own_keys(self) -> dict[str, frozenset[str]]:
        """The keys of all names that a plant bears."""
        out: dict[str, set[str]] = {}
        for key, entry in self.keys.items():
            for plant_id in entry.plants:
                out.setdefault(plant_id, set()).add(key)
        return {p: frozenset(keys) for p, keys in out.items()}

    @cached_property
    def epithets_of(self) -> dict[str, tuple[str, ...]]:
        """The epithets of a plant's scientific names, old ones too."""
        out: dict[str, tuple[str, ...]] = {}
        for table in self.epithets.values():
            for epithet, plants in table.items():
                for plant_id in plants:
                    out[plant_id] = _merge(out.get(plant_id, ()), (epithet,))
        return out

    @cached_property
    def listed_keys(self) -> OneSlip:
        """The keys of plants to refuse."""
        return OneSlip(
            k
            for k, e in self.keys.items()
            if len(k) >= SHORTEST_NEAR and any(p in self.refused for p in e.plants)
        )

    def near_to_listed(self, run: str) -> list[str]:
        """The keys of plants to refuse that a run of letters is, or is one slip away from."""
        return [run] if run in self.listed_keys.words else self.listed_keys.near(run)

    @cached_property
    def heads(self) -> dict[str, tuple[str, ...]]:
        """The last word of common names of two words and more, to the plants that bear such a name."""
        out: dict[str, tuple[str, ...]] = {}
        for plant_id, name in self.common.items():
            words = name.replace("-", " ").split()
            if len(words) > 1 and name != self.scientific[plant_id]:
                out[stem(words[-1])] = _merge(out.get(stem(words[-1]), ()), (plant_id,))
        return {
            word: plants
            for word, plants in out.items()
            if len(plants) > 1
            and len(word) >= 4
            and word != "pink"  # a color first, though "fire pink" is one
        }

    @cached_property
    def known_epithets(self) -> frozenset[str]:
        """Every epithet that stands in the catalogue, whatever its genus: such a word is no slip of the
        pen."""
        return frozenset(e for table in self.epithets.values() for e in table)

    @cached_property
    def below(self) -> dict[str, tuple[str, ...]]:
        """Key of a species to the plants that are subspecies, varieties or hybrids named under it."""
        out: dict[str, tuple[str, ...]] = {}
        for plant_id, name in self.scientific.items():
            parts = name.split()
            if len(parts) > 2 and parts[1].islower() and parts[1] not in RANKS:
                key = key_of(f"{parts[0]} {parts[1]}")
                out[key] = (*out.get(key, ()), plant_id)
        return out

    @cached_property
    def forms_below(self) -> dict[str, dict[str, tuple[str, ...]]]:
        """Genus and epithet, in small letters, to the third epithets (without endings) of the plants named under them."""
        out: dict[str, dict[str, tuple[str, ...]]] = {}
        for entry in self.keys.values():
            parts = [w for w in entry.name.split() if w.lower().strip(".") not in RANKS]
            if not entry.scientific or len(parts) < 3 or not (parts[1].islower() and parts[2].islower()):
                continue
            table = out.setdefault(f"{parts[0].lower()} {parts[1]}", {})
            form = epithet_stem(parts[2])
            table[form] = _merge(table.get(form, ()), entry.plants)
        return out

    @cached_property
    def genera_with(self) -> dict[str, tuple[str, ...]]:
        """Epithet to the genera that have it."""
        out: dict[str, tuple[str, ...]] = {}
        for genus, table in self.epithets.items():
            for epithet in table:
                out[epithet] = (*out.get(epithet, ()), genus)
        return out

    def binomial(self, genus: str, epithet: str) -> tuple[str, ...]:
        """The plants that a genus and epithet of the catalogue stand for."""
        entry = self.keys.get(stem(genus) + stem(epithet))
        return entry.plants if entry else self.epithets[genus][epithet]

    @cached_property
    def epithet_stems(self) -> dict[str, dict[str, tuple[str, ...]]]:
        """Genus to epithets without their gender ending to plants."""
        out: dict[str, dict[str, tuple[str, ...]]] = {}
        for genus, table in self.epithets.items():
            stems = out.setdefault(genus, {})
            for epithet, plants in table.items():
                stems[epithet_stem(epithet)] = _merge(stems.get(epithet_stem(epithet), ()), plants)
        return out

    @cached_property
    def by_initial(self) -> dict[tuple[str, str], tuple[tuple[str, str], ...]]:
        """(first letter of the genus, epithet without ending) to (genus, plant_id)."""
        out: dict[tuple[str, str], tuple[tuple[str, str], ...]] = {}
        for genus, table in self.epithet_stems.items():
            for epithet, plants in table.items():
                key = (genus[0], epithet)
                out[key] = _merge(out.get(key, ()), tuple((genus, p) for p in plants))
        return out

    @cached_property
    def long_keys(self) -> OneSlip:
        """The keys long enough to be known in spite of a slip, and those that a letter too many makes so long."""
        return OneSlip(k for k in self.keys if len(k) >= SHORTEST_NEAR - 1)

    @cached_property
    def long_genera(self) -> OneSlip:
        """The same for genera."""
        return OneSlip(g for g in self.genera if len(g) >= 4)

    def near_keys(self, key: str) -> list[str]:
        """The keys one slip away: a letter wrong, lost, added, or two swapped."""
        near = self.long_keys.near(key)
        return [k for k in near if len(k) >= SHORTEST_NEAR or len(k) < len(key)]

    def near_genera(self, genus: str) -> list[str]:
        """The genera one slip away."""
        return [g for g in self.long_genera.near(genus) if len(g) >= 5 or len(g) < len(genus)]

    @cached_property
    def wandering_genera(self) -> frozenset[str]:
        """Genera whose name shops also use for listed plants of at least two other genera."""
        out = set()
        for genus in self.genera:
            entry = self.keys.get(stem(genus))
            others = {self.genus_of(p) for p in entry.plants if p in self.bound} - {genus} if entry else set()
            if len(others) > 1:
                out.add(genus)
        return frozenset(out)

    @cached_property
    def nearest_names(self) -> tuple[list[str], list[str]]:
        """Keys and the names as written, for the three nearest names of something unknown."""
        picked = [
            (k, e.name)
            for k, e in self.keys.items()
            if any(kind in ("accepted", "common", "law") for _, kind in e.pairs)
        ]
        return [k for k, _ in picked], [name for _, name in picked]


_SIGNS = re.compile(r"[;/?_,.()]|^ | $")


def _merge(old: tuple, new: tuple) -> tuple:
    return tuple(dict.fromkeys((*old, *new)))


def _spellings(name: str) -> list[str]:
    """The names that one cell holds: parted at ; and /, without loose brackets, "Oak, Willow" turned
    round."""
    if not _SIGNS.search(name):
        return [name] if len(name) > 2 else []
    out = []
    for part in re.split(r"[;/]", name):
        part = part.strip(" ?_,.()").replace("(", " ").replace(")", " ")
        if len(part) > 2:
            out.append(part)
            if part.count(",") == 1:
                last, first = part.split(",")
                out.append(f"{first.strip()} {last.strip()}")
    return out


def name_book(catalogue: Catalogue) -> NameBook:
    """Arrange the names of a catalogue. Taxa that only a list of the law names are entered under
    `law:...`."""
    plants, names, law = (catalogue.tables[t] for t in ("plants", "names", "law"))
    scientific = dict(zip(plants["plant_id"], plants["scientific_name"]))
    common = dict(zip(plants["plant_id"], plants["common_name"]))
    rows = [*zip(names["plant_id"], names["name"], names["kind"])]
    rows += [(p, n, "accepted") for p, n in scientific.items()]
    rows += [(p, n, "common") for p, n in common.items()]
    places: dict[str, set[str]] = {
        p: {found.place for found in catalogue.listings(p) if found.binds} for p in catalogue.plant_ids
    }
    for taxon, exceptions, place, status in zip(
        law["taxon"], law["except"], law["jurisdiction"], law["status"]
    ):
        wanted = bare_taxon(taxon)
        if wanted.endswith(" spp") or not catalogue.taxa.covered(taxon, exceptions):
            plant_id = LAW_ONLY + wanted
            if plant_id not in scientific:
                scientific[plant_id], common[plant_id] = taxon, taxon
                rows.append((plant_id, taxon, "accepted"))
            if status in BINDING_LAW:
                places.setdefault(plant_id, set()).add(place)
    introduced = frozenset(p for p, o in zip(plants["plant_id"], plants["origin"]) if o == "introduced")
    bound = {p: len(found) for p, found in places.items() if found}
    submersed = {
        p for p, f in zip(plants["plant_id"], plants["growth_form"]) if f in ("submersed", "free-floating")
    }
    book = NameBook(scientific, common, introduced, introduced | set(bound), bound, frozenset(submersed))
    _fill(book, rows)
    return book


def _fill(book: NameBook, rows: list[tuple[str, str, str]]) -> None:
    pairs: dict[str, dict[tuple[str, str], None]] = {}
    written: dict[str, str] = {}
    accepted: dict[str, list[str]] = {}
    ever: dict[str, list[str]] = {}
    weak: list[tuple[str, str, str]] = []

    def enter(name: str, plant_id: str, kind: str) -> None:
        key = key_of(name)
        if key in PLAIN and kind in ("common", "trade"):
            book.groups[key] = _merge(book.groups.get(key, ()), (plant_id,))
        if _DIGIT.search(name):
            run = squeezed(name)
            book.numbered[run] = _merge(book.numbered.get(run, ()), (plant_id,))
        if 2 < len(key) < SHORTEST_KEY and kind in ("common", "trade"):
            book.short_names[key] = _merge(book.short_names.get(key, ()), (plant_id,))
        if len(key) >= SHORTEST_KEY and not (key in PLAIN and kind != "accepted"):
            pairs.setdefault(key, {})[plant_id, kind] = None
            written.setdefault(key, name)

    for plant_id, cell, kind in rows:
        law_genus = plant_id.startswith(LAW_ONLY) and plant_id.endswith(" spp")
        if kind in ("accepted", "synonym"):
            match = _BINOMIAL.match(cell.replace("×", "x "))
            words = cell.split()
            genus = words[0].lower()
            if match and match.group(2) not in RANKS and match.group(2) not in ("species", "hybrids"):
                bare = re.sub(r"[(,].*", "", cell) if "(" in cell or "," in cell else cell
                enter(bare, plant_id, kind)
                if len(key_of(bare)) > len(key_of(f"{genus} {match.group(2)}")):
                    weak.append((f"{words[0]} {match.group(2)}", plant_id, kind))
                else:
                    table = book.epithets.setdefault(genus, {})
                    table[match.group(2)] = _merge(table.get(match.group(2), ()), (plant_id,))
            if not law_genus or genus not in ever:
                (accepted if kind == "accepted" else ever).setdefault(genus, []).append(plant_id)
            continue
        for name in _spellings(cell):
            if kind == "cultivar" or "'" in name and re.search(r"'[A-Z][^']*'", name):
                _enter_cultivar(book, name, plant_id, enter)
            else:
                enter(name, plant_id, kind)
    _share_with_natives(book, rows, enter)
    binomials = {k: {p for p, _ in found} for k, found in pairs.items()}
    for (
        name,
        plant_id,
        kind,
    ) in weak:  # a subspecies is also met under its species' name, where that leaves doubt
        own = binomials.get(key_of(name), set())
        if kind == "synonym":
            if not own and plant_id in book.refused:
                enter(name, plant_id, "trade")  # not its name, but near enough to ask
            continue
        if not own or len({p in book.introduced for p in (*own, plant_id)}) > 1:
            enter(name, plant_id, kind)
            genus, epithet = name.split()
            table = book.epithets.setdefault(genus.lower(), {})
            table[epithet] = _merge(table.get(epithet, ()), (plant_id,))
    for genus in {*accepted, *ever}:
        described = [p for p in accepted.get(genus, []) if not p.startswith(LAW_ONLY)]
        chosen = [*described, *ever.get(genus, [])] or accepted.get(genus, [])
        book.genera[genus] = tuple(dict.fromkeys(chosen))
    for key in [k for k in pairs if _only_packed(k, written[k], pairs)]:
        del pairs[key]
    for key, found in pairs.items():
        if len(found) == 1:
            book.keys[key] = Entry(written[key], tuple(found))
            continue
        main = {p for p, _ in found if key_of(book.common[p]) == key}
        ordered = sorted(found, key=lambda pair: (_ORDER[pair[1]], pair[0] not in main, pair[0]))
        book.keys[key] = Entry(written[key], tuple(_own_name_first(ordered, book)))


def _share_with_natives(book: NameBook, rows: list[tuple[str, str, str]], enter) -> None:
    """A name that an introduced form bears is also its native form's, where that is called the same with a word
    before it: "common reed" and "American common reed"."""
    of_species: dict[str, list[str]] = {}
    for plant_id, name in book.scientific.items():
        of_species.setdefault(" ".join(name.split()[:2]), []).append(plant_id)
    shared = {p for kin in of_species.values() if len({q in book.introduced for q in kin}) > 1 for p in kin}
    called: dict[str, list[str]] = {p: [] for p in shared}
    for plant_id, name, kind in rows:
        if kind == "common" and plant_id in shared:
            called[plant_id].append(key_of(name))
    for plant_id, name, kind in rows:
        if kind != "common" or plant_id not in shared or plant_id not in book.introduced:
            continue
        for kin in of_species[" ".join(book.scientific[plant_id].split()[:2])]:
            if kin not in book.introduced and any(key.endswith(key_of(name)) for key in called[kin]):
                enter(name, kin, kind)


def _only_packed(key: str, name: str, pairs: dict) -> bool:
    """Whether a name is another one with a word for its packing ("elodea bunch"), and would narrow what that
    means."""
    words = name.replace("-", " ").split()
    if not words or PACKED.isdisjoint((stem(words[0]), stem(words[-1]))):
        return False
    while words and stem(words[-1]) in PACKED:  # "hollow-stem vegetable" is a name of its own
        words.pop()
    while words and stem(words[0]) in PACKED:
        words.pop(0)
    bare = "".join(stem(w) for w in words)
    return (
        bare != key and bare in pairs and not any(kind in ("accepted", "synonym") for _, kind in pairs[key])
    )


def _own_name_first(pairs: list[tuple[str, str]], book: NameBook) -> list[tuple[str, str]]:
    """An accepted name means its plant. Only where that is introduced may an old list have meant a native by
    it; under a native's, shops may sell a plant from abroad."""
    own = [p for p, kind in pairs if kind == "accepted"]
    if not own:
        return pairs
    doubtful = any(p in book.introduced for p in own)
    native = not doubtful and not any(p.startswith(LAW_ONLY) for p in own)
    return [
        (p, k)
        for p, k in pairs
        if p in own
        or doubtful
        and p not in book.introduced
        or native
        and k == "trade"
        and p in book.introduced
    ]


def squeezed(text: str) -> str:
    """The letters and digits of a text, small."""
    return re.sub(r"[^a-z0-9]", "", text.lower())


def _enter_cultivar(book: NameBook, name: str, plant_id: str, enter) -> None:
    """A cultivar under its full name, and under its own words for its genus."""
    genus = book.genus_of(plant_id)
    quoted = re.search(r"'(.+)'", name)
    own = quoted.group(1) if quoted else name
    words = own.split()
    if not quoted and words[0].lower() in (genus, "x"):
        own = " ".join(words[1:])
    key = key_of(own)
    if any(c.isdigit() for c in own):
        book.numbered[squeezed(own)] = _merge(book.numbered.get(squeezed(own), ()), (plant_id,))
    if len(key) < 3 or key in GENERIC:
        return
    book.cultivars[key] = _merge(book.cultivars.get(key, ()), (plant_id,))
    table = book.genus_cultivars.setdefault(genus, {})
    table[key] = _merge(table.get(key, ()), (plant_id,))
    if quoted and quoted.start() > 2:
        before = name[: quoted.start()].split()
        if before and before[0].lower() in book.epithets.get(genus, {}) or len(before) <= 2:
            enter(f"{' '.join(before)} {own}", plant_id, "cultivar")


def words_of(name: str) -> list[str]:
    """The stems of a name's words, rank words left out."""
    return [t.stem for t in take_apart(name).tokens if t.stem not in RANKS]
