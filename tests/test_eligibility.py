"""One gate of law and nativity: every plant in every state, and what each command makes of its code."""

import json
from dataclasses import replace

import pytest

from plantpick.catalogue.plants import Catalogue
from plantpick.files.catalogue import load
from plantpick.monitoring import volunteers
from plantpick.monitoring.planted_law import law_of_planted
from plantpick.offers import verdict
from plantpick.planting import candidates
from plantpick.ranking import rank, ruled_out
from plantpick.ranking.eligibility import GateCode, eligibility
from plantpick.vocabulary import BINDING_LAW, STATES
from tests.conftest import a_pond

pytestmark = pytest.mark.usefixtures("ranked_once")


# What each code may lead to. A plant is ranked, bought or kept only where nothing stands against it; what is to be
# taken out is never cleared for buying; a native that needs a permit is asked about everywhere.
RANKED = {GateCode.WATCHED, GateCode.GENUS_ONLY, GateCode.UNSURE, GateCode.NEXT_DOOR, GateCode.CLEAR}


@pytest.fixture(scope="module")
def found(plants):
    return {(p, s): eligibility(plants, p, s) for s in STATES for p in plants.plant_ids}


def test_every_plant_in_every_state_has_the_code_that_its_own_rows_give(plants, found):
    """The tables' rows, read apart from the gate."""
    for (plant_id, state), e in found.items():
        record = plants.plant(plant_id)
        bound = {
            r.status
            for r in plants.listings(plant_id)
            if r.place in ("US", state) and r.status in BINDING_LAW
        }
        native = plants.status_in(plant_id, state)
        if bound - {"permit"}:
            assert e.code == GateCode.LISTED, e
        elif bound:
            assert e.code == (
                GateCode.PERMIT if record.origin == "native" and native != "introduced" else GateCode.LISTED
            ), e
        elif any(row.federal_species for row in e.protected):
            assert e.code == GateCode.PROTECTED, e
        elif "never plant" in record.cautions:
            assert e.code in (GateCode.PROTECTED, GateCode.DANGER), e
        elif record.origin == "introduced":
            assert e.code in (GateCode.INVADER, GateCode.INTRODUCED), e
        elif native == "introduced":
            assert e.code == GateCode.INTRODUCED_HERE, e
        elif record.growth_form == "upland":
            assert e.code == GateCode.DRY_GROUND, e
        elif native == "not recorded":
            assert e.code == GateCode.NOT_RECORDED, e
        else:
            open_yet = {GateCode.LITTLE_KNOWN, GateCode.WATCHED, GateCode.GENUS_ONLY, GateCode.UNSURE}
            assert e.code in open_yet | {GateCode.CLEAR}, e
            assert (e.code == GateCode.GENUS_ONLY) <= record.scientific_name.endswith(" spp."), e
        assert e.refused == bool(
            bound or record.origin == "introduced" or native == "introduced" or e.advisory
        )


def test_rank_offer_and_volunteer_word_one_code_alike(found):
    """Over every plant and state: the three questions answered from the gate's code alone."""
    seen = set()
    for e in found.values():
        seen.add(e.code)
        out = ruled_out.barred(e)
        bought, reason, asked = verdict.OFFERED[e.code]
        kept, why = volunteers.FOUND[e.code]
        assert (out is None) == (e.code in RANKED), e
        assert (bought in (verdict.BUY, verdict.CONTAIN)) == (e.code == GateCode.CLEAR), e
        assert (kept == volunteers.KEEP) == (e.code in (GateCode.CLEAR, GateCode.PROTECTED)), e
        if out:  # ruled out for good is left; what a permit or more knowledge would let in is asked about
            open_yet = e.code in (GateCode.PERMIT, GateCode.LITTLE_KNOWN)
            assert bought == (verdict.ASK if open_yet else verdict.LEAVE), e
        if kept == volunteers.TAKE_OUT:
            assert out and bought == verdict.LEAVE, e
            assert e.refused or e.code == GateCode.DANGER, e
        if e.listing:  # the list, its place and its citation stand in all three
            for words in (out[1], reason(e), why(e)):
                assert e.listing.where in words and e.listing.citation in words, (e, words)
        for words in (*(out or ())[1:], reason(e), why(e), *(q(e).text for q in asked)):
            assert words and "--" not in words and "  " not in words, words
    # let in by the owner only; and every plant of the tables is well enough known
    assert seen == set(GateCode) - {GateCode.NEXT_DOOR, GateCode.LITTLE_KNOWN}
    assert set(ruled_out.OUT) == set(GateCode)
    assert set(verdict.OFFERED) == set(volunteers.FOUND) == set(GateCode) - {GateCode.NEXT_DOOR}


@pytest.mark.parametrize(
    ("plant", "state", "says"),
    [
        # Flora of North America: Cyperus papyrus is introduced in North America, from Africa
        ("Cyperus papyrus", "MS", "not native to the lower 48 states"),
        # whichever the tables have first
        ("brought in", "MS", "introduced in Mississippi, not native there"),
    ],
)
def test_what_is_not_native_is_left_in_the_words_of_the_ranking(plants, found, plant, state, says):
    """The tool recommends natives only: an offer of another is no question, whatever the seller answers."""
    brought = {p for (p, s), e in found.items() if s == state and e.code == GateCode.INTRODUCED_HERE}
    plant_id = min(brought) if plant == "brought in" else plants.find(plant)
    pond = a_pond(state=state)
    (out,) = rank.rank(pond, plants, places=False, only=[plant_id]).ruled_out
    grade = verdict.Judge(pond, plants).grade(plant_id)
    assert grade.verdict == verdict.LEAVE and not grade.questions
    assert out.reason.startswith(says) and grade.reason.startswith(out.reason)
    assert volunteers.judge(pond, plants, plant_id, "north").verdict == volunteers.TAKE_OUT


def test_a_native_known_by_name_only_is_open_everywhere(south):
    """Ranking names no place for it, an offer of it is asked about, one that came by itself is watched: all say why."""
    whole = load(by_name=True)
    plant = whole.find("Carex bromoides")  # USDA PLANTS: native in Mississippi
    assert eligibility(whole, plant, "MS").code == GateCode.LITTLE_KNOWN
    (out,) = rank.rank(south, whole, places=False, only=[plant]).ruled_out
    grade = verdict.Judge(south, whole).grade(plant)
    told = volunteers.judge(south, whole, plant, south.shore[0].name)
    assert (out.code, grade.verdict, told.verdict) == ("unknown", verdict.ASK, volunteers.WATCH)
    assert grade.reason.startswith(out.reason) and "by name only" in out.reason and "by name only" in told.why


def test_a_native_under_permit_is_asked_about_and_not_pulled(plants):
    """Canada waterweed in Louisiana: LAC 76:VII.1101.B.1 lists it as held by permit."""
    pond, plant = a_pond(state="LA"), "elodea-canadensis"
    e = eligibility(plants, plant, "LA")
    assert (e.code, e.listing.status) == (GateCode.PERMIT, "permit")
    (out,) = rank.rank(pond, plants, places=False, only=[plant]).ruled_out
    assert out.code == "law" and "needs a permit in Louisiana" in out.reason and "ask" in out.reason
    grade = verdict.Judge(pond, plants).grade(plant)
    assert grade.verdict == verdict.ASK and "needs a permit in Louisiana" in grade.reason
    told = volunteers.judge(pond, plants, plant, "north")
    assert told.verdict == volunteers.WATCH and "needs a permit in Louisiana" in told.why


def test_what_is_not_native_and_kept_under_permit_is_still_refused(plants):
    """Brazilian waterweed in Louisiana, the same section."""
    pond, plant = a_pond(state="LA"), "egeria-densa"
    assert eligibility(plants, plant, "LA").code == GateCode.LISTED
    assert verdict.Judge(pond, plants).grade(plant).verdict == verdict.LEAVE
    assert volunteers.judge(pond, plants, plant, "north").verdict == volunteers.TAKE_OUT


def test_a_rare_protected_plant_is_left_where_it_grows(plants):
    """Texas wild rice: endangered since 1978 (43 FR 17910). Nobody is told to pull it."""
    pond, plant = a_pond(state="TX"), "zizania-texana"
    assert {eligibility(plants, plant, state).code for state in STATES} == {GateCode.PROTECTED}
    told = volunteers.judge(pond, plants, plant, "north")
    assert told.verdict == volunteers.KEEP and "protected" in told.why
    assert verdict.Judge(pond, plants).grade(plant).verdict == verdict.LEAVE


def test_a_dangerous_plant_is_called_so_before_its_origin(plants):
    """Poison hemlock burns nobody, giant hogweed does: the gloves come first."""
    pond = a_pond(state="MS")
    for plant in ("heracleum-mantegazzianum", "cicuta-maculata"):
        if not plants.listed(plant, "MS"):
            told = volunteers.judge(pond, plants, plant, "north")
            assert told.verdict == volunteers.TAKE_OUT and "gloves" in told.why
            assert eligibility(plants, plant, "MS").code == GateCode.DANGER


def _with_law(plants: Catalogue, **row) -> Catalogue:
    tables = dict(plants.tables)
    tables["law"] = {c: [*cells, row.get(c, "")] for c, cells in plants.tables["law"].items()}
    return Catalogue(tables)


@pytest.mark.parametrize("status", [*BINDING_LAW, "watch"])
def test_every_kind_of_list_end_to_end(plants, status):
    """A listing made up for a plant that is bought, ranked and kept without it."""
    pond, plant = a_pond(purposes=("fish cover", "bank hold")), "juncus-effusus"
    free = verdict.Judge(pond, plants).grade(plant).verdict
    assert free in (verdict.BUY, verdict.CONTAIN)
    listed = _with_law(
        plants, taxon="Juncus effusus", jurisdiction="MS", status=status, citation="made up", as_of="2026"
    )
    ranked = rank.rank(pond, listed, places=False, only=[plant])
    grade = verdict.Judge(pond, listed).grade(plant)
    told = volunteers.judge(pond, listed, plant, "north")
    if status == "watch":
        assert [p.eligible for p in ranked.plants] == [GateCode.WATCHED]
        assert (grade.verdict, told.verdict) == (verdict.ASK, volunteers.WATCH)
    elif status == "permit":
        assert [r.code for r in ranked.ruled_out] == ["law"]
        assert (grade.verdict, told.verdict) == (verdict.ASK, volunteers.WATCH)
    else:
        assert [r.code for r in ranked.ruled_out] == ["law"]
        assert (grade.verdict, told.verdict) == (verdict.LEAVE, volunteers.TAKE_OUT)
    assert grade.refused
    own = law_of_planted(listed, plant, "MS").code
    codes = (
        own,
        told.code,
        *(p.eligible for p in ranked.plants),
        *([grade.code] if status != "watch" else []),
    )
    assert all(isinstance(code, GateCode) for code in codes), codes
    assert json.loads(json.dumps(codes)) == [own.value] * len(codes), "in JSON the word alone"


@pytest.mark.parametrize("state", ["MS", "TX", "LA", "WA"])
def test_answers_agree_with_the_gate_from_end_to_end(plants, found, state):
    """Every plant of the catalogue on one pond: nothing is bought, ranked or kept that the gate bars."""
    pond = replace(a_pond(), state=state)
    judge = verdict.Judge(pond, plants)
    ranked = {p.plant_id for p in rank.rank(pond, plants, places=False).plants}
    for plant_id in plants.plant_ids[:: 1 if state == "LA" else 3]:
        e, grade = found[plant_id, state], judge.grade(plant_id)
        if grade.verdict in (verdict.BUY, verdict.CONTAIN):
            assert e.code == GateCode.CLEAR, (e, grade)
        if plant_id in ranked:
            assert e.code in RANKED, e
        assert grade.refused == e.refused, (e, grade)
        if e.code not in RANKED:
            assert grade.verdict == verdict.OFFERED[e.code][0], (e, grade)
            assert volunteers.judge(pond, plants, plant_id, "north").verdict == volunteers.FOUND[e.code][0], e


def test_a_plant_that_nobody_knows_enough_of_is_asked_about_and_watched(plants):
    """The spacing of a known plant taken away."""
    tables = {**plants.tables, "plants": {**plants.tables["plants"]}}
    row = plants.tables["plants"]["plant_id"].index("juncus-effusus")
    cells = list(plants.tables["plants"]["spacing_in"])
    cells[row] = ""
    tables["plants"]["spacing_in"] = cells
    blank, pond = Catalogue(tables), a_pond()
    assert eligibility(blank, "juncus-effusus", "MS").code == GateCode.LITTLE_KNOWN
    (out,) = rank.rank(pond, blank, places=False, only=["juncus-effusus"]).ruled_out
    assert out.code == "unknown"
    assert verdict.Judge(pond, blank).grade("juncus-effusus").verdict == verdict.ASK
    assert volunteers.judge(pond, blank, "juncus-effusus", "north").verdict == volunteers.WATCH


def test_a_plan_is_made_of_what_an_offer_check_would_clear(plants, south):
    """Unsure natives are ranked with a word to ask first; money is not planned on them."""
    ranked = rank.rank(south, plants, places=False)
    assert any(r.eligible == GateCode.UNSURE and r.score >= 50 for r in ranked.plants)
    judge = verdict.Judge(south, plants)
    chosen = candidates.select_candidates(south, plants, ranked).ranked
    assert len(chosen) > 10
    for r in chosen:
        assert judge.grade(r.plant_id).verdict in (verdict.BUY, verdict.CONTAIN), r.plant_id


def test_next_door_is_let_in_only_when_the_owner_asks(plants):
    near = next(
        (p, s)
        for s in STATES
        for p in plants.plant_ids
        if eligibility(plants, p, s).code == GateCode.NOT_RECORDED
        and eligibility(plants, p, s, next_door=True).code == GateCode.NEXT_DOOR
    )
    assert eligibility(plants, *near).near
    assert ruled_out.barred(eligibility(plants, *near)) and not ruled_out.barred(
        eligibility(plants, *near, next_door=True)
    )


def test_the_page_of_a_plant_prints_what_the_gate_found(plants):
    """Canada waterweed in Louisiana (LAC 76:VII.1101.B.1), and a made-up advisory list in Mississippi."""
    from io import StringIO

    from rich.console import Console

    from plantpick.files.catalogue import load
    from plantpick.ranking.explain import explain
    from plantpick.show.explanation import explanation_record
    from plantpick.show.plant import show_plant

    full = load(evidence=True)
    listed = _with_law(
        full, taxon="Juncus effusus", jurisdiction="MS", status="watch", citation="made up", as_of="2026"
    )
    for catalogue, state, plant_id in ((full, "LA", "elodea-canadensis"), (listed, "MS", "juncus-effusus")):
        told = explain(a_pond(state=state), catalogue, plant_id)
        found = eligibility(catalogue, plant_id, state)
        assert told.found == found
        page = StringIO()
        show_plant(Console(file=page, width=400), catalogue, plant_id, found)
        said = page.getvalue()
        assert f"{found.state_name}: {found.law_dated or 'on no binding list'}" in said
        assert ("advisory list: ask the agency" in said) == found.advisory
        record = explanation_record(told)
        assert (record["eligible"], record["listed"]) == (found.code, found.law_dated or None)


def test_a_plant_is_graded_alike_alone_and_among_others(plants, south):
    """An offer ranks only the plants that it names, some at a time: what it says of one does not hang on the others."""
    some = plants.plant_ids[::37]
    together = verdict.Judge(south, plants)
    together.prepare(some)
    for plant_id in some:
        alone = verdict.Judge(south, plants)
        assert alone.grade(plant_id) == together.grade(plant_id)
