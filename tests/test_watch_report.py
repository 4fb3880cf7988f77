"""The page of the years after planting: what must stand on it, its figures, and that text from files stays text."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from test_report import HOSTILE, Page

from plantpick.cli.app import run
from plantpick.cli.oxygen import command_for
from plantpick.files.log import pond_log
from plantpick.monitoring.calendar import year_ahead
from plantpick.monitoring.log import Event, Log, LogRow
from plantpick.monitoring.watch import watch
from plantpick.show.watch_report import watch_report
from plantpick.show.watch_words import jump_words

TODAY = date(2027, 9, 15)


def page_of(pond, plants, log, today=TODAY) -> tuple[str, object]:
    told = watch(pond, plants, log, today)
    return watch_report(told, year_ahead(told.pond, plants, today, log, told.stands), command_for), told


@pytest.fixture(scope="module")
def demo_log(south, plants):
    return pond_log("demo", south, plants, TODAY)


@pytest.fixture(scope="module")
def demo(south, plants, demo_log):
    return page_of(south, plants, demo_log)


def test_the_page_has_every_part(demo):
    page, told = demo
    read = Page(page)
    for part in (
        "short",
        "all",
        "stands",
        "each",
        "volunteers",
        "light",
        "year",
        "tasks",
        "rot",
        "care",
        "law",
    ):
        assert read.ids.count(part) == 1, part
    text = " ".join(" ".join(read.text).split())
    for s in told.stands:
        words = s.what_to_do[0].upper() + s.what_to_do[1:]
        assert text.count(words) >= 2 and s.verdict in text and f"{s.area_ft2[1]:,.0f} sq ft" in text
    for v in told.volunteers:
        assert v.verdict in text and v.why[1:] in text
    for words in (
        "life jacket",
        "SRAC-361",
        "agency",
        "Mean frosts: March 20 and November 12",
        "submersed plants usually end at",
        "18-36 in",
        "Haul them out",
        'plantpick oxygen POND.toml --water-f DEGREES --plant "nymphaea-odorata" --area-sqft',
        told.law.agency,
    ):
        assert words in text, words


def test_every_stand_has_its_figure_with_words(demo):
    page, told = demo
    read = Page(page)
    figures = [a["id"] for t, a in read.tags if t == "figure"]
    words = [a["aria-label"] for t, a in read.tags if a.get("role") == "img"]
    assert figures == [f"fig-stand-{n}" for n in range(1, len(told.stands) + 1)] and len(words) == len(
        figures
    )
    lily = next(w for s, w in zip(told.stands, words) if s.plant_id == "nymphaea-odorata")
    cap = 0.05 * told.pond.area_ft2
    half = next(s.half_cap for s in told.stands if s.plant_id == "nymphaea-odorata")
    assert half.early < half.middle < half.late and half.middle.year == 2031
    assert f"Half your limit, {cap / 2:,.0f}: {half.middle:%b %Y}" in lily and "2027-08-28: " in lily
    tail = next(w for s, w in zip(told.stands, words) if s.plant_id == "saururus-cernuus")
    assert re.search(r"2027-06-26: \d+, looks wrong", tail) and tail.count("looks wrong") == 1
    captions = re.findall(r"<figcaption>(.*?)</figcaption>", page)
    for s, drawn, caption in zip(told.stands, re.findall(r"<svg.*?</svg>", page, re.S), captions):
        assert "url(#stand-" in drawn and "stroke: #8b9499" in drawn  # the band is hatched, not only tinted
        for word in ("half your limit", "your limit"):  # drawn, or said to be above
            assert (f">{word}: " in drawn) != (f"{word} (" in caption.split("above the figure")[-1]), (
                s.plant_id,
                word,
            )
        assert ("measured, looks wrong" in drawn) == bool(s.odd_days)


def test_ids_are_used_once_and_nothing_points_outside(demo):
    read = Page(demo[0])
    assert len(read.ids) == len(set(read.ids))
    assert not [
        t for t, _ in read.tags if t in ("script", "iframe", "object", "embed", "form", "base", "img")
    ]
    for tag, attrs in read.tags:
        for key in ("src", "href", "xlink:href", "action", "data"):
            value = attrs.get(key, "#")
            assert value.startswith(("#", "data:")) and (value[1:] in read.ids or len(value) < 7), (
                tag,
                value,
            )
        assert not [k for k in attrs if k.startswith("on")]
    assert "default-src 'none'" in demo[0]


def test_text_from_a_file_stays_text(south, plants, demo_log):
    name = HOSTILE
    stretches = tuple(replace(s, name=name) if s.name == "feeder cove" else s for s in south.stretches)
    pond = replace(south, name=name, stretches=stretches, keep_clear=())
    rows = tuple(replace(e, stretch=name) if e.stretch == "feeder cove" else e for e in demo_log.entries)
    page, _ = page_of(pond, plants, Log(rows, (f"taken for granted: {HOSTILE}",)))
    read = Page(page)
    assert not [t for t, _ in read.tags if t in ("script", "img")]
    assert " ".join(read.text).count(HOSTILE) > 3 and "55433" not in page


def test_the_same_log_gives_the_same_page(south, plants, demo_log, demo):
    assert page_of(south, plants, demo_log)[0] == demo[0]


def test_odd_logs_have_pages_too(south, plants):
    """Nothing planted; planted and never measured; full; floating; taken out; only light."""
    day = date(2027, 6, 1)
    at = lambda row, plant, **v: LogRow(row=row, day=day, plant_id=plant, stretch="feeder cove", **v)
    logs = {
        "no stand": Log((LogRow(row=2, day=day, clarity_in=30.0),)),
        "planted only": Log((at(2, "pontederia-cordata", event=Event.PLANTED, groups=1.0),)),
        "full": Log((at(2, "pontederia-cordata", share_percent=100.0),)),
        "floating": Log((at(2, "pontederia-crassipes", area_ft2=40.0),)),
        "gone": Log(
            (
                at(2, "pontederia-cordata", event=Event.PLANTED, groups=1.0),
                replace(at(3, "pontederia-cordata", event=Event.TAKEN_OUT), day=date(2027, 7, 1)),
            )
        ),
    }
    pages = {what: page_of(south, plants, log)[0] for what, log in logs.items()}
    texts = {what: " ".join(" ".join(Page(page).text).split()) for what, page in pages.items()}
    assert "names no plant that is still there" in texts["no stand"] and "<figure" not in pages["no stand"]
    assert "not measured yet" in texts["planted only"] and "<figure" in pages["planted only"]
    assert "strip full" in texts["full"] and "measured, strip full" in pages["full"]
    assert "take it out now" in texts["floating"].lower() and "<figure" in pages["floating"]
    assert "look for shoots" in texts["gone"]


def test_jumping_is_told_only_where_it_comes_before_the_edge(demo):
    for s in demo[1].stands:
        early, middle, late = s.jump_years
        assert early is None or early >= 2025
        assert middle is None or early <= middle and (late is None or middle <= late)
        if s.half_cap.early and early and s.half_cap.early.year <= early:
            assert jump_words(s) == ""
    cattail = next(s for s in demo[1].stands if s.plant_id == "typha-latifolia")
    assert jump_words(cattail)  # its edge alone would need till 2042


def test_the_command_writes_the_page_and_never_over_one(tmp_path, capsys):
    out = tmp_path / "watch.html"
    assert run(["watch", "demo", "demo", "--out", str(out), "--no-charts"]) == 0
    assert "Written" in capsys.readouterr().err
    made = out.read_bytes()
    assert b"The years after planting" in made and not list(tmp_path.glob(".*"))
    assert run(["watch", "demo", "demo", "--out", str(out)]) == 4 and out.read_bytes() == made
    assert run(["watch", "demo", "demo", "--out", str(out), "--force", "-f", "csv"]) == 0
    assert out.read_bytes() == made


def one_stand(pond, plants, *rows):
    return watch(pond, plants, Log(rows), TODAY).stands[0]


def at(day, plant="typha-latifolia", stretch="feeder cove", row=2, **values):
    return LogRow(row=row, day=day, plant_id=plant, stretch=stretch, **values)


def test_the_year_of_half_the_cap_is_that_of_the_forecast(south, plants):
    """A volunteer read once keeps the forecast's rates: the first year whose takeover, jumps counted, is half the cap."""
    from plantpick.catalogue.traits import traits
    from plantpick.ranking import takeover

    stand = one_stand(south, plants, at(date(2027, 6, 26), length_ft=5.0, width_ft=3.0))
    table = traits([plants.plant("typha-latifolia")])
    groups = np.array([[1.0 if s.name == "feeder cove" else 0.0 for s in south.shore]])
    high = [100.0 * p[2] for _, p in takeover.points_by_year(table, south, groups, range(1, 16))]
    half = south.cap_percent / 2.0
    first = next(y for y, share in enumerate(high, 2028) if share >= half)
    assert abs(stand.jump_years[0] - first) <= 1  # one reading shifts the rates a little
    assert stand.jump_years[0] < stand.jump_years[1]


def test_the_forecast_of_a_volunteer_begins_at_what_was_seen(south, plants):
    stand = one_stand(south, plants, at(date(2027, 6, 26), area_ft2=40.0))
    start = 40.0 / south.area_ft2 * 100.0
    assert stand.figure.forecast[0][0] == date(2027, 6, 26)
    assert [curve[0] for curve in stand.figure.forecast[1:]] == pytest.approx([start] * 3, rel=0.02)


def test_sizes_by_hand(south, plants):
    """Three patches of 8 ft hold 3 x pi x 16 sq ft; a quarter of the strip, a quarter of its length times width."""
    from plantpick.catalogue.traits import traits
    from plantpick.monitoring.strip import stand_area_ft2, strip_of
    from plantpick.ranking import takeover

    table = traits([plants.plant("pontederia-cordata")])
    strip = strip_of(table, 0, south, takeover.strips(table, south), "feeder cove", 2.0)
    day = date(2027, 6, 26)
    three = stand_area_ft2(at(day, length_ft=8.0, width_ft=8.0, patches=3.0), strip)
    assert three == pytest.approx(3 * 3.14159 * 16.0, rel=1e-4)
    planted = stand_area_ft2(at(day, length_ft=8.0, width_ft=8.0), strip)
    assert planted == pytest.approx(2 * 3.14159 * 16.0, rel=1e-4)  # as many as were planted
    share = stand_area_ft2(at(day, share_percent=25.0), strip)
    assert share == pytest.approx(0.25 * strip.width_ft * 240.0)


def test_what_is_trimmed_is_what_lies_outside(demo):
    """The square feet are those of the ring: what the stand holds, less what it holds that many feet further in."""
    lily = next(s for s in demo[1].stands if s.action == "trim")
    radius = (lily.area_ft2[1] / 3.14159) ** 0.5  # of a free disc; the shore cuts some of it away
    ring = 3.14159 * (radius**2 - (radius - lily.trim_ft) ** 2)
    assert lily.trim_ft2 == pytest.approx(ring, rel=0.12)
    assert lily.area_ft2[1] - lily.trim_ft2 > 0.2 * lily.area_ft2[1]
