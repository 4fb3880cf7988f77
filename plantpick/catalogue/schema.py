"""The one registry of the catalogue's columns: what each table holds, in which unit, with which words.

The loader, the checks, the descriptor (data/datapackage.json) and the table of columns in docs/data.md all derive from
COLUMNS. A new column is one entry here, and its cells in the table.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum

from plantpick import vocabulary

DWC = "http://rs.tdwg.org/dwc/terms/"
PLACES = (*vocabulary.STATES, "US")


class Kind(Enum):
    """What a cell holds."""

    TEXT = "text"
    NUMBER = "number"
    WHOLE = "whole number"
    LIST = "list"  # words, separated by semicolons


@dataclass(frozen=True, kw_only=True)
class Column:
    """One column of one table.

    `words` are the only ones allowed (none: anything). `required` cells are never empty. Columns of one `range` rise
    from left to right and are filled together. Without the `needed` ones nobody can place a plant or forecast it,
    whatever else is known of it. The computation has the numbers, the lists and the words that are `computed`.
    """

    table: str
    name: str
    description: str
    kind: Kind = Kind.TEXT
    unit: str = ""
    words: tuple[str, ...] = ()
    required: bool = False
    range: str = ""
    needed: bool = False
    computed: bool = False
    minimum: float | None = None
    maximum: float | None = None
    rdf_type: str = ""

    @property
    def is_number(self) -> bool:
        return self.kind in (Kind.NUMBER, Kind.WHOLE)

    @property
    def meaning(self) -> str:
        """The description with the unit."""
        return f"{self.description} ({self.unit})" if self.unit else self.description


@dataclass(frozen=True, kw_only=True)
class Table:
    """One table: a CSV file of its name. `key` columns stand together once only; `primary`
    says that the descriptor names them as the table's key."""

    name: str
    row: str
    key: tuple[str, ...] = ()
    primary: bool = True
    evidence: bool = False  # only read where somebody asks what a cell rests on
    by_name: bool = False  # only read where names are asked for


TABLES: dict[str, Table] = {
    table.name: table
    for table in (
        Table(name="plants", row="a taxon, native or to refuse", key=("plant_id",)),
        Table(name="names", row="a name of a plant", key=("plant_id", "name", "kind"), primary=False),
        Table(
            name="synonyms_reviewed",
            row="a name that lists or floras accept for another plant",
            key=("name", "plant_id"),
            evidence=True,
        ),
        Table(name="range", row="a plant in a state", key=("plant_id", "state")),
        Table(name="by_name", row="a plant known by name only", key=("plant_id",), by_name=True),
        Table(name="law", row="a listing"),
        Table(name="law_coverage", row="a jurisdiction", key=("jurisdiction",)),
        Table(
            name="protected",
            row="a plant on a list of protected plants",
            key=("plant_id", "jurisdiction", "listed_as"),
        ),
        Table(
            name="planting_rules",
            row="a rule on plants that may be owned",
            key=("jurisdiction", "act", "plants", "citation"),
        ),
        Table(
            name="sold",
            row="a plant on a published list of plants sold",
            key=("plant_id", "list_id"),
            evidence=True,
        ),
        Table(
            name="sale_lists",
            row="a published list of plants sold",
            key=("list_id",),
            evidence=True,
        ),
        Table(
            name="most_used",
            row="one of the sixty natives that owners, agencies and nurseries name most",
            key=("plant_id",),
            evidence=True,
        ),
        Table(
            name="establishment",
            row="a share of planted plants still alive",
            key=(
                "growth_form",
                "plant_id",
                "propagule",
                "guarded",
                "grazers",
                "months",
                "source_id",
                "locator",
            ),
            primary=False,
        ),
        Table(name="costs", row="a published price or rate of work", key=("cost_id",)),
        Table(
            name="evidence",
            row="what a cell rests on",
            key=("plant_id", "trait", "source_id", "locator"),
            primary=False,
            evidence=True,
        ),
        Table(name="sources", row="a source", key=("source_id",), evidence=True),
    )
}


def _number(name: str, description: str, unit: str = "", **more) -> Column:
    return Column(table="plants", name=name, description=description, kind=Kind.NUMBER, unit=unit, **more)


def _use(name: str, description: str) -> Column:
    return Column(
        table="plants",
        name=name,
        description=description,
        kind=Kind.WHOLE,
        unit="0 to 3",
        minimum=0,
        maximum=3,
    )


def _count(table: str, name: str, description: str) -> Column:
    return Column(table=table, name=name, description=description, kind=Kind.WHOLE, required=True)


def _words(name: str, description: str, words: tuple[str, ...], **more) -> Column:
    return Column(table="plants", name=name, description=description, words=words, **more)


def _list(name: str, description: str, words: tuple[str, ...]) -> Column:
    return Column(table="plants", name=name, description=description, kind=Kind.LIST, words=words)


def _plant_id(
    table: str, description: str = "Slug of the accepted name", required: bool = True, **more
) -> Column:
    return Column(
        table=table,
        name="plant_id",
        description=description,
        required=required,
        rdf_type=f"{DWC}taxonID",
        **more,
    )


def _alive(name: str, which: str) -> Column:
    return Column(
        table="establishment",
        name=name,
        description=f"Share still alive, {which}",
        kind=Kind.NUMBER,
        unit="per cent of those set",
        required=True,
        range="alive",
        minimum=0,
        maximum=100,
    )


def _source_id(table: str, required: bool = True) -> Column:
    return Column(table=table, name="source_id", description="Row in sources", required=required)


def _remark(table: str) -> Column:
    return Column(table=table, name="remark", description="Plain words")


COLUMNS: tuple[Column, ...] = (
    _plant_id("plants"),
    Column(
        table="plants",
        name="scientific_name",
        description="Accepted name",
        required=True,
        rdf_type=f"{DWC}scientificName",
    ),
    Column(
        table="plants",
        name="common_name",
        description="Name that an American owner would know",
        required=True,
        rdf_type=f"{DWC}vernacularName",
    ),
    Column(
        table="plants",
        name="family",
        description="Plant family",
        required=True,
        rdf_type=f"{DWC}family",
    ),
    _words("growth_form", "How the plant grows", vocabulary.GROWTH_FORMS, required=True, computed=True),
    _words("life_span", "How long one plant lives", vocabulary.LIFE_SPANS),
    _words(
        "origin",
        "Native or introduced in the lower 48 states",
        vocabulary.ORIGINS,
        required=True,
        computed=True,
        rdf_type=f"{DWC}establishmentMeans",
    ),
    _number("height_min_in", "Ordinary least height (stem length under water)", "inches", range="height"),
    _number("height_max_in", "Ordinary greatest height (stem length under water)", "inches", range="height"),
    _number(
        "depth_min_in",
        "Shallowest standing water over the crown at full pool; negative is above the waterline",
        "inches",
        range="depth",
        needed=True,
    ),
    _number("depth_best_min_in", "Shallow end of the best depths", "inches", range="depth", needed=True),
    _number("depth_best_max_in", "Deep end of the best depths", "inches", range="depth", needed=True),
    _number(
        "depth_max_in",
        "Deepest standing water in which it lives for years",
        "inches",
        range="depth",
        needed=True,
    ),
    _number(
        "advance_depth_low_in",
        "Deepest water that its edge can creep into, 10 % point",
        "inches",
        range="advance depth",
        needed=True,
    ),
    _number(
        "advance_depth_in",
        "Deepest water that its edge can creep into, 50 % point",
        "inches",
        range="advance depth",
        needed=True,
    ),
    _number(
        "advance_depth_high_in",
        "Deepest water that its edge can creep into, 90 % point",
        "inches",
        range="advance depth",
        needed=True,
    ),
    _number("zone_min", "Coldest hardiness zone (whole number)", range="zone", needed=True),
    _number("zone_max", "Hottest hardiness zone (whole number)", range="zone", needed=True),
    _words("sun", "Sun in which it grows well", vocabulary.PLANT_SUN, computed=True),
    _number("ph_min", "Lowest pH", range="pH"),
    _number("ph_max", "Highest pH", range="pH"),
    _words(
        "ph_basis",
        "What the pH is of; a range of which one end is a soil figure counts as of soil",
        vocabulary.PH_OF,
        computed=True,
    ),
    _number(
        "salinity_min_ppt",
        "Salinity below which a salt-marsh plant fades; empty for the others",
        "parts per thousand",
    ),
    _number("salinity_max_ppt", "Salinity it stands for long", "parts per thousand"),
    _words("clarity", "Clarity of the waters where a submersed plant is met", vocabulary.CLARITY),
    _number(
        "light_depth_low",
        "Where light ends a submersed plant, 10 % point",
        "times the usual depth for the Secchi reading",
        range="light depth",
    ),
    _number(
        "light_depth",
        "Where light ends a submersed plant, 50 % point",
        "times the usual depth for the Secchi reading",
        range="light depth",
    ),
    _number(
        "light_depth_high",
        "Where light ends a submersed plant, 90 % point",
        "times the usual depth for the Secchi reading",
        range="light depth",
    ),
    _words("drawdown", "How long it stands being left dry", vocabulary.STANDS, computed=True),
    _words(
        "flooding",
        "How long it stands water deeper than its depth_max",
        vocabulary.STANDS,
        computed=True,
    ),
    _number(
        "spread_low_ft_yr",
        "Advance of a stand's edge in a season of 220 frost-free days, 10 % point",
        "feet a year",
        range="spread",
    ),
    _number(
        "spread_ft_yr",
        "Advance of a stand's edge in a season of 220 frost-free days, 50 % point",
        "feet a year",
        range="spread",
    ),
    _number(
        "spread_high_ft_yr",
        "Advance of a stand's edge in a season of 220 frost-free days, 90 % point",
        "feet a year",
        range="spread",
    ),
    _number(
        "doubling_low_days",
        "Doubling time of a free-floating plant, fast: 10 % point",
        "days",
        range="doubling",
    ),
    _number("doubling_days", "Doubling time of a free-floating plant, 50 % point", "days", range="doubling"),
    _number(
        "doubling_high_days",
        "Doubling time of a free-floating plant, slow: 90 % point",
        "days",
        range="doubling",
    ),
    _words(
        "jump",
        "How readily it starts established colonies away from the parent",
        vocabulary.JUMPS,
        needed=True,
        computed=True,
    ),
    _list("jump_by", "What it jumps by", vocabulary.JUMP_BY),
    _list("contained_by", "Measures that hold it", vocabulary.MEASURES),
    _number("spacing_in", "Usual spacing on centers", "inches", needed=True),
    _use("fish_cover", "Cover for small fish"),
    _use("bank_hold", "Roots that hold a bank"),
    _use("waterfowl", "Worth to waterfowl"),
    _use("pollinator", "Worth to pollinators"),
    _use("show", "Looks"),
    _list("eaten_by", "Animals that set back a planting", vocabulary.GRAZERS),
    _list("cautions", "What can hurt someone or be mistaken", vocabulary.CAUTIONS),
    _words(
        "availability",
        "How easily a native is bought, by the lists of plants sold that were read; "
        "not seen is unknown, not unobtainable; no source: USDA knew no seller either; empty: nobody looked",
        vocabulary.AVAILABILITY,
        computed=True,
    ),
    _list("forms_sold", "Forms in which those lists have it", vocabulary.FORMS_SOLD),
    _number("price_low_usd", "Lowest price seen for one plant", "US dollars", range="price", minimum=0),
    _number("price_high_usd", "Highest price seen for one plant", "US dollars", range="price", minimum=0),
    _words("price_form", "The form that the price is for", vocabulary.FORMS_SOLD),
    Column(
        table="plants", name="price_year", description="Year or years of the lists with the price, or undated"
    ),
    *(
        _words(
            f"wetland_status_{region}",
            f"Rating in the National Wetland Plant List region {region}",
            vocabulary.WETLAND_RATINGS,
        )
        for region in vocabulary.WETLAND_REGIONS
    ),
    _remark("plants"),
    _plant_id("names"),
    Column(table="names", name="name", description="A name as written or spoken", required=True),
    Column(
        table="names",
        name="kind",
        description="Kind of name; one name may belong to several plants",
        words=vocabulary.NAME_KINDS,
        required=True,
    ),
    Column(table="synonyms_reviewed", name="name", description="A name as written or spoken", required=True),
    _plant_id("synonyms_reviewed"),
    Column(
        table="synonyms_reviewed",
        name="accepted_as",
        description="What floras or lists accept under this name",
        required=True,
    ),
    Column(
        table="synonyms_reviewed",
        name="decision",
        description="Same plant: keep it; refused alike: another plant, but no native is cleared by it; several plants: "
        "each that bears it has it; another species: no plain synonym here",
        words=vocabulary.SYNONYM_DECISIONS,
        required=True,
    ),
    Column(table="synonyms_reviewed", name="reason", description="Why, in plain words", required=True),
    _source_id("synonyms_reviewed"),
    _plant_id("range"),
    Column(
        table="range",
        name="state",
        description="Two-letter state or DC",
        words=tuple(vocabulary.STATES),
        required=True,
        rdf_type=f"{DWC}stateProvince",
    ),
    Column(
        table="range",
        name="status",
        description="Status in that place",
        words=vocabulary.RANGE_STATUS,
        required=True,
    ),
    _source_id("range"),
    _remark("range"),
    _plant_id("by_name"),
    Column(
        table="by_name",
        name="scientific_name",
        description="Accepted name",
        required=True,
        rdf_type=f"{DWC}scientificName",
    ),
    Column(
        table="by_name",
        name="common_name",
        description="Its first common name; the scientific one where a described plant bears that",
        required=True,
        rdf_type=f"{DWC}vernacularName",
    ),
    Column(
        table="by_name", name="family", description="Plant family", required=True, rdf_type=f"{DWC}family"
    ),
    Column(
        table="by_name",
        name="growth_form",
        description="How the plant grows",
        words=vocabulary.GROWTH_FORMS,
        required=True,
    ),
    Column(
        table="by_name",
        name="origin",
        description="Native or introduced in the lower 48 states",
        words=vocabulary.ORIGINS,
        required=True,
        rdf_type=f"{DWC}establishmentMeans",
    ),
    *(
        Column(
            table="by_name",
            name=f"{status}_states",
            description=f"States where it is {status}",
            kind=Kind.LIST,
            words=tuple(vocabulary.STATES),
        )
        for status in vocabulary.RANGE_STATUS
    ),
    Column(table="by_name", name="common_names", description="Other common names, with semicolons"),
    Column(table="by_name", name="synonyms", description="Old scientific names, with semicolons"),
    Column(
        table="by_name",
        name="protected",
        description='Lists of protected plants that have it, with semicolons: place and class ("OH endangered"), and "as" an old name',
    ),
    Column(
        table="law",
        name="taxon",
        description="Species, subspecies or 'Genus spp.'",
        required=True,
        rdf_type=f"{DWC}scientificName",
    ),
    Column(table="law", name="except", description="Taxa that a genus listing leaves out"),
    Column(table="law", name="jurisdiction", description="US or a state", words=PLACES, required=True),
    Column(
        table="law",
        name="status",
        description="Status in that place",
        words=vocabulary.LAW_STATUS,
        required=True,
    ),
    Column(table="law", name="citation", description="How to cite it", required=True),
    Column(table="law", name="as_of", description="The list's own date; empty if undated"),
    _source_id("law"),
    _remark("law"),
    Column(
        table="law_coverage",
        name="jurisdiction",
        description="US or a state",
        words=PLACES,
        required=True,
    ),
    Column(table="law_coverage", name="list_name", description="The state's list"),
    Column(table="law_coverage", name="agency", description="Whom to ask", required=True),
    Column(
        table="law_coverage",
        name="read",
        description="How much of the list was read; copy: whole, but only as others copy it",
        words=vocabulary.COVERAGE_READ,
        required=True,
    ),
    Column(table="law_coverage", name="as_of", description="The list's own date; empty if undated"),
    Column(
        table="law_coverage",
        name="seen",
        description="Day on which our copy of the list was read; empty if none was",
    ),
    _source_id("law_coverage", required=False),
    _remark("law_coverage"),
    _plant_id("protected"),
    Column(
        table="protected",
        name="jurisdiction",
        description="US or a state",
        words=PLACES,
        required=True,
    ),
    Column(
        table="protected",
        name="status",
        description="Class of the list",
        words=vocabulary.PROTECTED_STATUS,
        required=True,
    ),
    Column(
        table="protected",
        name="listed_as",
        description="The name on the list: the species, an old name of it, or a subspecies or variety",
        required=True,
        rdf_type=f"{DWC}scientificName",
    ),
    Column(table="protected", name="citation", description="How to cite it", required=True),
    Column(table="protected", name="as_of", description="The list's own date", required=True),
    _source_id("protected"),
    _remark("protected"),
    Column(
        table="planting_rules",
        name="jurisdiction",
        description="US or a state",
        words=PLACES,
        required=True,
    ),
    Column(
        table="planting_rules",
        name="act",
        description="What the rule is about",
        words=vocabulary.RULED_ACTS,
        required=True,
    ),
    Column(
        table="planting_rules",
        name="plants",
        description="Which plants it is about",
        words=vocabulary.RULED_PLANTS,
        required=True,
    ),
    Column(
        table="planting_rules",
        name="rule",
        description="What you may not do, or need a permit for",
        required=True,
    ),
    Column(table="planting_rules", name="exceptions", description="What is free of it"),
    Column(table="planting_rules", name="citation", description="How to cite it", required=True),
    Column(table="planting_rules", name="as_of", description="The rule's own date; empty if undated"),
    _source_id("planting_rules"),
    _remark("planting_rules"),
    _plant_id("sold"),
    Column(table="sold", name="list_id", description="Row in sale_lists", required=True),
    _plant_id("most_used"),
    _count(
        "most_used",
        "owners",
        "1 if owners ask about it, or advisers bring it up, by name (from memory); otherwise 0",
    ),
    _count("most_used", "documents", "How many of the documents cited here spoke of it, on 27 November 2026"),
    _count("most_used", "lists", "How many of the lists of plants sold have it (sold)"),
    Column(table="sale_lists", name="list_id", description="Kind of seller, state and year", required=True),
    Column(table="sale_lists", name="kind", description="Kind of seller, never a name", required=True),
    Column(
        table="sale_lists",
        name="state",
        description="Two-letter state; empty if not known",
        words=tuple(vocabulary.STATES),
    ),
    Column(table="sale_lists", name="region", description="Part of the country"),
    Column(table="sale_lists", name="as_of", description="The list's own date; empty if undated"),
    Column(table="sale_lists", name="address", description="Where the list was published", required=True),
    Column(
        table="sale_lists",
        name="seen",
        description="How much of it was seen",
        words=vocabulary.LIST_SEEN,
        required=True,
    ),
    _remark("sale_lists"),
    Column(
        table="establishment",
        name="growth_form",
        description="How the plant grows",
        words=vocabulary.GROWTH_FORMS,
        required=True,
    ),
    _plant_id(
        "establishment", "Slug of the accepted name; empty for every plant of the form", required=False
    ),
    Column(
        table="establishment",
        name="propagule",
        description="What is set: "
        + "; ".join(f"{word}, {meaning}" for word, meaning in vocabulary.PROPAGULES.items()),
        words=tuple(vocabulary.PROPAGULES),
        required=True,
    ),
    Column(
        table="establishment",
        name="guarded",
        description="Guarded: no animal that eats it gets at it, or none is there. Open: the grazers do",
        words=vocabulary.GUARDED,
        required=True,
    ),
    Column(
        table="establishment",
        name="grazers",
        description="The animals that get at an open planting",
        kind=Kind.LIST,
        words=vocabulary.GRAZERS,
    ),
    Column(
        table="establishment",
        name="months",
        description="Time since planting; a growing season is 8 of a tree's and 6 of a water plant's",
        kind=Kind.NUMBER,
        unit="months",
        required=True,
        minimum=0.1,
        maximum=120,
    ),
    _alive("alive_low_percent", "low (one planting in ten does worse)"),
    _alive("alive_percent", "typical (half of the plantings do better)"),
    _alive("alive_high_percent", "high (one planting in ten does better)"),
    Column(
        table="establishment",
        name="counted",
        description="What it is a share of; a plot holds several plants and counts while one lives",
        words=vocabulary.COUNTED,
        required=True,
    ),
    Column(
        table="establishment",
        name="used_for",
        description="Curve: the forecast goes through it. Comparison: kept beside the forecast",
        words=vocabulary.SURVIVAL_USES,
        required=True,
    ),
    _source_id("establishment"),
    Column(table="establishment", name="locator", description="Where in the source, and what the trial was"),
    Column(
        table="establishment",
        name="basis",
        description="What the value rests on",
        words=vocabulary.BASES,
        required=True,
    ),
    _plant_id("evidence"),
    Column(table="evidence", name="trait", description="Column of plants", required=True),
    _source_id("evidence"),
    Column(table="evidence", name="locator", description="Page, table or section"),
    Column(
        table="evidence",
        name="basis",
        description="What the value rests on",
        words=vocabulary.BASES,
        required=True,
    ),
    Column(table="costs", name="cost_id", description="Slug of the item and its source", required=True),
    Column(
        table="costs",
        name="item",
        description="What it is about: "
        + "; ".join(f"{word}, {meaning}" for word, meaning in vocabulary.COST_ITEMS.items()),
        words=tuple(vocabulary.COST_ITEMS),
        required=True,
    ),
    Column(
        table="costs",
        name="low",
        description="Lowest figure, in the row's unit",
        kind=Kind.NUMBER,
        range="figure",
        required=True,
        minimum=0,
    ),
    Column(
        table="costs",
        name="high",
        description="Highest figure, in the row's unit",
        kind=Kind.NUMBER,
        range="figure",
        required=True,
        minimum=0,
    ),
    Column(
        table="costs",
        name="unit",
        description="Unit of the figures",
        words=vocabulary.COST_UNITS,
        required=True,
    ),
    Column(table="costs", name="year", description="Year or years of the figures, or undated", required=True),
    Column(table="costs", name="place", description="Where they hold", required=True),
    Column(table="costs", name="conditions", description="What was bought or done, and how", required=True),
    _source_id("costs"),
    Column(table="costs", name="locator", description="Where in the source", required=True),
    _source_id("sources"),
    Column(table="sources", name="title", description="Title", required=True),
    Column(table="sources", name="producer", description="Author or agency", required=True),
    Column(table="sources", name="year", description="Year of publication"),
    Column(table="sources", name="citation", description="How to cite it", required=True),
    Column(table="sources", name="url", description="Address"),
    Column(table="sources", name="licence", description="Terms of use"),
    Column(table="sources", name="accessed", description="Date seen"),
)


def split_list(cell: str) -> tuple[str, ...]:
    """The words of a cell that holds several, separated by semicolons."""
    return tuple(word for word in cell.split(";") if word)


def columns(table: str) -> tuple[Column, ...]:
    """The columns of a table, in their order."""
    return tuple(column for column in COLUMNS if column.table == table)


def names(table: str) -> tuple[str, ...]:
    """The names of a table's columns, in their order."""
    return tuple(column.name for column in columns(table))


def _named(chosen: Iterable[Column]) -> tuple[str, ...]:
    return tuple(column.name for column in chosen)


def ranges(table: str) -> dict[str, tuple[str, ...]]:
    """The columns of each of a table's ranges, from low to high."""
    those = columns(table)
    return {
        group: _named(c for c in those if c.range == group)
        for group in dict.fromkeys(c.range for c in those if c.range)
    }


PLANT_COLUMNS = columns("plants")
NUMBERS = _named(c for c in PLANT_COLUMNS if c.is_number)
USES = _named(c for c in PLANT_COLUMNS if c.kind is Kind.WHOLE)
LISTS = _named(c for c in PLANT_COLUMNS if c.kind is Kind.LIST)
TRAIT_WORDS = _named(c for c in PLANT_COLUMNS if c.computed)
NEEDED = _named(c for c in PLANT_COLUMNS if c.needed)
RANGES = ranges("plants")
# columns whose every filled cell has its row of evidence
TRAITS = _named(
    c for c in PLANT_COLUMNS if c.name not in ("plant_id", "scientific_name", "common_name", "remark")
)
SOURCED = tuple(  # tables that name sources
    t for t in TABLES if t != "sources" and any(c.name == "source_id" for c in columns(t))
)
NAMING_PLANTS = tuple(
    t for t in TABLES if t not in ("plants", "by_name") and any(c.name == "plant_id" for c in columns(t))
)
