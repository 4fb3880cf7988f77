"""The words about an offer that the terminal, the page and the records share."""

from __future__ import annotations

import re
from collections.abc import Sequence

from plantpick.catalogue.law import Coverage
from plantpick.offers.check import Offer, OfferLine
from plantpick.offers.counter import SellerQuestion
from plantpick.offers.order_terms import LeastSpend
from plantpick.offers.purchase import DOLLARS
from plantpick.offers.seller_claims import SellerClaim
from plantpick.offers.verdict import ASK, BUY, CONTAIN, LEAVE, NO_PLANT, NOT_NEEDED, ReasonCode
from plantpick.ranking.answer_codes import Reason
from plantpick.ranking.chances import chance_figures
from plantpick.ranking.ruled_out import REASONS
from plantpick.show.terminal import capfirst
from plantpick.vocabulary import STATES

NAMED_LINES = 12  # lines that a question names one by one
LONGEST_NAME = 60  # letters of the seller's own words
LONGEST_CALLED = 24  # letters of a seller's name beside the scientific one
LONGEST_LINE = 160  # letters of a line that are shown beside its reason
NO_PLANTS = "We found no plant on any line. Put one plant on a line, with its scientific name."
_NAME_ENDS = re.compile(r"\s{2,}|\t|[$£€|]|[,;:]?\s+\(?\d|\s+-\s+\d|,\s*(?=\S*\d)")
_NUMBER_IN_FRONT = re.compile(r"^\W{0,2}\d{1,4}[.)](?:\s+|(?=[A-Za-z]))")  # the seller's own: "7. Cattails"
_CODE_IN_FRONT = re.compile(
    r"^(?=[^\s,]*[A-Z])[A-Z0-9-]{3,8}(?:,\s*|\t\s*|\s{2,})(?=[A-Za-z][a-z]{3})"
)  # "SCHTA, Softstem bulrush"
MOST_CULTIVARS = 3  # named behind a plant
MOST_SPECIES = 4  # named beside "which species?"
ARRIVAL = "Rinse it, then keep it two weeks in a tub off the pond."
CAUTIONS = (
    "Law changes: these lists have dates, and your state agency has the last word.",
    "A picture or a label is not proof of a plant: have doubtful stock identified before it goes in.",
    "Never move plants, water or mud from one water to another.",
)


def place(line: OfferLine) -> str:
    """Where the line stands: a sheet's cell or its number."""
    return line.where.partition(":")[2] or str(line.line)


def sellers_words(line: OfferLine) -> str:
    """What the line calls its plant: its text up to the size, the first figure, price or gap."""
    text = _CODE_IN_FRONT.sub("", _NUMBER_IN_FRONT.sub("", line.text.strip()))
    named = text.partition(line.size)[0].strip() if line.size else ""
    text = named if len(named) > 2 else text
    first = _NAME_ENDS.split(text, maxsplit=1)[0].strip(" ,;:-")
    name = " ".join((first if len(first) > 2 else text).split())
    return name if len(name) <= LONGEST_NAME else f"{name[:LONGEST_NAME].rsplit(' ', 1)[0]} ..."


def names(line: OfferLine) -> tuple[str, str]:
    """Common and scientific name of a plant that we know; the seller's own words and nothing where we don't; what a seller
    says of all plants has no name."""
    if not line.names_a_plant and line.verdict != NO_PLANT:
        return "the whole list", ""
    if not line.sure:
        return sellers_words(line), ""
    scientific = line.candidates[0]
    common = capfirst(line.common_name)
    return (common, scientific) if common and common != scientific else (scientific, "")


def plant_name(line: OfferLine, both: bool = False) -> str:
    """What the line sells, in a narrow column: of a known plant's two names the one that stands on the line; or `both`."""
    common, scientific = names(line)
    called = _called(line, scientific) if scientific and common.lower() not in line.text.lower() else ""
    if called:
        return f"{called}, {scientific}"
    if both or not scientific:
        return ", ".join(filter(None, (common, scientific)))
    return common if common.lower() in line.text.lower() else scientific


def _called(line: OfferLine, scientific: str) -> str:
    """The seller's common name for a plant that we call otherwise ("duck potato"); empty where the line has none."""
    said = re.split(
        rf"{re.escape(scientific.split()[0])}|[,(;:]", sellers_words(line), maxsplit=1, flags=re.I
    )[0]
    said = said.strip(" -.")
    return said if 2 < len(said) <= LONGEST_CALLED and not re.search(r"\d", said) else ""


def cultivars(lines: Sequence[OfferLine], name: str = "") -> str:
    """The garden forms that the lines name, each once, behind the name of a plant that we know; not those in `name`."""
    named = {
        line.cultivar.casefold(): line.cultivar for line in reversed(lines) if line.sure and line.cultivar
    }
    shown = [f"'{form}'" for key, form in reversed(named.items()) if key not in name.casefold()]
    more = f" and {len(shown) - MOST_CULTIVARS} more" if len(shown) > MOST_CULTIVARS else ""
    return f" {', '.join(shown[:MOST_CULTIVARS])}{more}" if shown else ""


def loose(line: OfferLine) -> str:
    """The chance that a plant to contain passes the limit if it stands loose, behind its name."""
    if line.verdict != CONTAIN or line.chance_over_cap is None:
        return ""
    return f" (loose: {chance_figures(line.chance_over_cap)})"


def only_fair(line: OfferLine) -> str:
    """That the best place for a plant to buy is only fair here, behind its name."""
    ranked = line.ranked
    return " (only fair here)" if ranked and ranked.only_fair and line.verdict in (BUY, CONTAIN) else ""


NOT_NEEDED_NOTE = "These are in no sum. Want one all the same? Name what it is good for in your pond file's purposes, and check again."


def not_needed(offer: Offer) -> str:
    """What the plants that are not needed have in common."""
    return f"{capfirst(REASONS[Reason.USE])} ({', '.join(offer.pond.purposes)})."


def good_for(line: OfferLine) -> str:
    """What a plant that is not needed is good for, and what you would have to ask first."""
    ask = f"; ask first: {line.plant_questions[0].short}" if line.plant_questions else ""
    return f"{', '.join(line.good_for) or 'none of the purposes'}{ask}"


def in_short(line: OfferLine) -> str:
    """The question that would settle an "ask first", in a few words; the reason for any other verdict in at most eight."""
    if line.verdict != ASK or not line.plant_questions:
        return line.short
    asked = line.plant_questions[0].short
    if line.refused:
        return f"{asked} Refused: {_species(line.refused)}"
    if line.code not in (ReasonCode.NAME, ReasonCode.MAYBE_REFUSED) or len(line.candidates) < 2:
        return asked
    return f"{asked}{'' if asked.endswith('?') else ':'} {_species(line.candidates)}"


def _species(candidates: Sequence[str]) -> str:
    """The first species that a name may stand for, a genus in full once."""
    shown: list[str] = []
    genus = ""
    for name in candidates[:MOST_SPECIES]:
        first, _, rest = name.partition(" ")
        shown.append(f"{first[0]}. {rest}" if first == genus and rest else name)
        genus = first
    more = len(candidates) - len(shown)
    return f"{', '.join(shown)}{f' or {more} more' if more else ''}"


def stock(line: OfferLine) -> str:
    """Form and size of what is sold."""
    size, form = line.size, str(line.form)
    return size if form and form in size.lower() else f"{size} {form}".strip()


def plan_on(groups: int, group: int, short: bool = False) -> str:
    """How many this pond takes; empty where that was not forecast."""
    if not groups:
        return ""
    if group == 1:
        return str(groups) if short else f"plan on {groups}"
    if short:
        return f"{groups} x {group}"
    return f"plan on {groups} group{'s' if groups > 1 else ''} of {group}"


def money(value: float | None, currency: str = DOLLARS) -> str:
    """An amount as it stands in a column, dollars without their sign; empty where there is none."""
    if value is None:
        return ""
    sign = "" if currency == DOLLARS else currency if len(currency) == 1 else f"{currency} "
    return f"{sign}{value:,.2f}" if value >= 0.1 else f"{sign}{value:.3f}"


def each(line: OfferLine) -> str:
    """The price of one plant, or that there are none, or that you have to ask."""
    if line.sold_out:
        return "sold out"
    return "ask" if line.price_question else money(line.price_each, line.currency)


def least(line: OfferLine) -> str:
    """The least number of plants that the seller sells, one whole tray or pack too; empty for one."""
    lot = line.count or 1
    whole = lot if line.buy > line.need and line.buy % lot == 0 else 1
    number = max(line.least_order, whole)
    return f"{number:,}" if number > 1 else ""


def counts(offer: Offer, unread: int = 0) -> str:
    """How many lines got each verdict, the worst first. `unread` lines sell a plant that we could not name."""
    told = [f"{v} {offer.counts.get(v, 0):,}" for v in (LEAVE, ASK, CONTAIN, BUY)]
    if offer.counts.get(NOT_NEEDED):
        told.append(f"{NOT_NEEDED} {offer.counts[NOT_NEEDED]:,}")
    if unread:
        read = offer.counts.get(ASK, 0) > unread
        told[1] += f" ({unread:,} of them we could not read)" if read else " (we could read none of them)"
    return capfirst(", ".join(told))


def claims(lines: Sequence[OfferLine]) -> list[str]:
    """What sellers say of plants that are not simply to buy, each claim once, and why it changes nothing."""
    said: dict[SellerClaim, list[str]] = {}
    for line in lines:
        for claim in line.claims:
            said.setdefault(claim, []).append(place(line))
    return [f"{claim.answer} ({_lines(places)})" for claim, places in said.items()]


def totals(offer: Offer, need: int | None) -> list[str]:
    """What all that may be bought comes to, and the least that the seller sends."""
    told = []
    if offer.priced:
        sums = [f"${offer.total:,.2f}"] if offer.total or not offer.other_totals else []
        sums += [money(value, sign) for sign, value in offer.other_totals]
        of = f", {need:,} of each" if need else ""
        once = ", each plant once at its cheapest" if offer.again else ""
        told.append(f"All {offer.priced:,} that have a price{once}: {' and '.join(sums)}{of}.")
    if offer.unpriced:
        told.append(f"{offer.unpriced:,} to buy without a price that we can count on: ask.")
    over = [line for line in offer.lines if 0 < line.groups * line.group < line.buy and not line.sold_out]
    if over:
        where = _lines([place(line) for line in over])
        told.append(f"More than this pond takes ({where}): set only what to plan on, and keep the rest out.")
    if offer.least_spend:
        told.append(_least_spend(offer, offer.least_spend))
    return told


def cautions(offer: Offer) -> tuple[str, ...]:
    """The poisonous plants among those to buy, by name, and the usual cautions."""
    return (*offer.dangers, *CAUTIONS)


def _least_spend(offer: Offer, smallest: LeastSpend) -> str:
    """The smallest order that the seller takes, and what all that may be bought is short of it."""
    amount = (
        f"${money(smallest.amount)}"
        if smallest.currency == DOLLARS
        else money(smallest.amount, smallest.currency)
    )
    short = smallest.amount - offer.total
    told = f"The seller takes no order under {amount}"
    if smallest.currency == DOLLARS and offer.priced and short > 0:
        return f"{told}: you are ${short:,.2f} short."
    return f"{told}."


def beside(lines: Sequence[OfferLine]) -> str:
    """What stands behind a plant's name: that it is sold out, and the other lines that offer the same."""
    others = [place(line) for line in lines[1:]]
    gone = ", sold out" if all(line.sold_out for line in lines) else ""
    return f"{gone} (also {_listed(others)})" if others else gone


def question(asked: SellerQuestion) -> str:
    """A question with the lines that it is about."""
    if not asked.lines:
        return asked.text
    return f"{asked.text} ({_lines([place(line) for line in asked.lines])})"


def _lines(places: list[str]) -> str:
    return f"line{'s' if len(places) > 1 else ''} {_listed(places)}"


def _listed(places: list[str]) -> str:
    more = f" and {len(places) - NAMED_LINES} more" if len(places) > NAMED_LINES else ""
    return f"{', '.join(places[:NAMED_LINES])}{more}"


def law_in_short(law: Coverage, state: str) -> str:
    """How far the state's list was read and from when, in a line."""
    name = STATES[state][0]
    if law.read == "none":
        return f"Law: no list of {name} could be read. Ask your state agency."
    how = {"copy": " (a copy)", "part": ", read in part"}.get(law.read, "")
    when = f"of {law.as_of}" if law.as_of else f"seen {law.seen}"
    return f"Law: {name}'s list {when}{how}. Ask your agency."
