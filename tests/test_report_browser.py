"""The report in a real browser: headless Chromium from the system's packages, driven by Selenium.

Without a browser these tests say that they were skipped; where CI is set to true that is a failure.
"""

from __future__ import annotations

import base64
import json
import os
import re
import shutil
import unicodedata
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from plantpick.files.log import pond_log
from plantpick.files.offers import demo_offer, read_offer
from plantpick.monitoring.calendar import year_ahead
from plantpick.monitoring.log import Log
from plantpick.monitoring.watch import watch
from plantpick.offers.check import Line, check_offer
from plantpick.planting import plan
from plantpick.planting.model import Wishes
from plantpick.pond.model import KeepClear
from plantpick.show.offer import OfferOptions
from plantpick.show.offer_page import offer_page
from plantpick.show.plan_report import plan_report
from plantpick.show.watch_report import watch_report

ALL = ("demo", "surveyed", "hostile", "watch", "watch-hostile", "offer", "offer-why", "offer-hostile")
WATCHED = date(2027, 9, 15)
QUICK = ((390, "demo"), (390, "offer"), (1280, "offer"), (390, "watch"))
HOSTILE = (
    '<img src="http://example.invalid/x.png" onerror="document.title=\'taken\'"><script>document.title="taken"</script>'
    + "W" * 60
)
BROWSERS, DRIVERS = (
    ("chromium", "chromium-browser", "google-chrome"),
    ("chromedriver", "chromium.chromedriver"),
)


@pytest.fixture(scope="module")
def browser():
    found, driver = (next(filter(None, map(shutil.which, names)), None) for names in (BROWSERS, DRIVERS))
    missing = (
        ""
        if found and driver
        else "no Chromium with its driver on this machine (apt-get install chromium chromium-driver)"
    )
    if not missing:
        try:
            from selenium import webdriver
        except ImportError:
            missing = "selenium is not installed (pip install plantpick[test])"
    if missing:
        if os.environ.get("CI", "").lower() == "true":
            pytest.fail(f"the report was not opened in a browser: {missing}")
        pytest.skip(f"the report was not opened in a browser: {missing}")
    options = webdriver.ChromeOptions()
    options.binary_location = found
    for word in ("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"):
        options.add_argument(word)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    chrome = webdriver.Chrome(options=options, service=webdriver.ChromeService(driver))
    chrome.set_script_timeout(600)  # a busy machine takes its time over a long page
    yield chrome
    chrome.quit()


class Pages(dict):
    """Page by name, a file: each is made when a test first asks for it, so that a quick run makes few."""

    def __init__(self, folder, makers):
        super().__init__()
        self.folder, self.makers = folder, makers

    def __missing__(self, name):
        file = self.folder / f"{name}.html"
        file.write_text(self.makers[name](), encoding="utf-8")
        self[name] = file
        return file


@pytest.fixture(scope="module")
def pages(south, plants, demo_page, tmp_path_factory):
    """The demo pond's page, the surveyed one's with a view from above, and one with a hostile name; the demo log's
    page, and the same with a hostile stretch; the demo offer's, with and without reasons, and one of hostile lines."""
    from plantpick.files import pond_file

    stretches = (replace(south.stretches[0], name=HOSTILE), *south.stretches[1:])
    hostile = replace(
        south, name=HOSTILE, stretches=stretches, keep_clear=(KeepClear(HOSTILE, HOSTILE, 20.0),)
    )

    def report(pond):
        made = plan.plan(pond, plants, Wishes(cover=0.3), time_limit=60.0, within=5.0)  # ends by itself
        return plan_report(made, plants, date(2027, 1, 15))

    def watched(pond, names):
        log = pond_log("demo", south, plants, WATCHED)
        rows = tuple(replace(e, stretch=names.get(e.stretch, e.stretch)) for e in log.entries)
        entries = Log(rows, tuple(names.values())) if names else log
        told = watch(pond, plants, entries, WATCHED)
        months = year_ahead(told.pond, plants, WATCHED, entries, told.stands)
        return watch_report(told, months)

    def offered(pond, lines, why):
        page = check_offer(lines, pond, plants)
        return offer_page(page, WATCHED, OfferOptions(why=why, every_line=why))

    evil = [
        Line(10**7 + i, f"{text} {HOSTILE}", where=f"sheet:{HOSTILE[:20]}{i}")
        for i, text in enumerate(
            (
                "Pontederia cordata $2",
                "Vallisneria americana",
                "Pistia stratiotes",
                "Iris",
                HOSTILE,
                "Zorpwort $3",
            )
        )
    ]
    makers = {
        "demo": lambda: demo_page,
        "surveyed": lambda: report(pond_file.read_pond("demo-surveyed")),
        "hostile": lambda: report(hostile),
        "watch": lambda: watched(south, {}),
        "watch-hostile": lambda: watched(hostile, {south.stretches[0].name: HOSTILE}),
        "offer": lambda: offered(south, read_offer(demo_offer()), False),
        "offer-why": lambda: offered(south, read_offer(demo_offer()), True),
        "offer-hostile": lambda: offered(hostile, evil, True),
    }
    assert tuple(makers) == ALL
    return Pages(tmp_path_factory.mktemp("pages"), makers)


def opened(browser, file, width: int):
    browser.execute_cdp_cmd(
        "Emulation.setDeviceMetricsOverride",
        {"width": width, "height": 800, "deviceScaleFactor": 1, "mobile": width < 500},
    )
    browser.get_log("performance"), browser.get_log("browser")
    browser.get(file.as_uri())


@pytest.mark.slow
@pytest.mark.parametrize("name", ALL)
def test_nothing_is_asked_for_outside_and_the_console_is_quiet(browser, pages, name):
    opened(browser, pages[name], 1280)
    asked = [json.loads(row["message"])["message"] for row in browser.get_log("performance")]
    urls = [m["params"]["request"]["url"] for m in asked if m["method"] == "Network.requestWillBeSent"]
    assert urls and all(
        u.startswith(("file:", "data:")) and (u.startswith("data:") or u == pages[name].as_uri())
        for u in urls
    ), urls
    assert browser.get_log("browser") == []


@pytest.mark.parametrize(
    "width, name",
    [
        pytest.param(w, n, marks=() if (w, n) in QUICK else pytest.mark.slow)
        for n in ALL
        for w in (320, 390, 768, 1280)
    ],
)
def test_nothing_runs_off_the_side(browser, pages, name, width):
    opened(browser, pages[name], width)
    wide = browser.execute_script("return document.documentElement.scrollWidth")
    assert wide <= width
    beyond = browser.execute_script(
        "return [...document.querySelectorAll('main *, header *')].filter(e => !e.closest('svg') || e.tagName == 'svg')"
        ".filter(e => e.getBoundingClientRect().width && e.getBoundingClientRect().right > arguments[0] + 1)"
        ".filter(e => !e.closest('thead')).map(e => e.outerHTML.slice(0, 80))",
        width,
    )
    assert beyond == []


@pytest.mark.slow
@pytest.mark.parametrize("width", (390, 1280))
@pytest.mark.parametrize(
    "page, figures",
    [
        (
            "surveyed",
            {
                "fig-plan-view",
                "fig-tape-1",
                "fig-section-1",
                "fig-above-1",
                "fig-cover-forecast",
                "fig-takeover",
                "fig-calendar",
                "fig-depth-area",
            },
        ),
        ("watch", {f"fig-stand-{n}" for n in range(1, 7)}),
    ],
)
def test_figures_have_size_and_legible_print(browser, pages, width, page, figures):
    opened(browser, pages[page], width)
    sizes = browser.execute_script(
        "return [...document.querySelectorAll('figure')].map(f => {let s = f.querySelector('svg'), b = s.getBoundingClientRect();"
        "return [f.id, b.width, b.height, Math.min(...[...s.querySelectorAll('text')].map(t => parseFloat(getComputedStyle(t).fontSize)"
        " * b.width / s.viewBox.baseVal.width))]})"
    )
    assert {s[0] for s in sizes} >= figures
    for name, wide, high, least in sizes:
        assert wide > 250 and high > 90, name
        assert least > 6.5, f"{name}: print of {least:.1f} pixels"


@pytest.mark.slow
def test_nothing_in_a_figure_is_cut_off(browser, pages):
    """Words inside the drawings stay inside their frame."""
    for name in ("demo", "surveyed", "watch"):
        opened(browser, pages[name], 1280)
        outside = browser.execute_script(
            "return [...document.querySelectorAll('figure svg')].flatMap(s => {let b = s.getBoundingClientRect();"
            "return [...s.querySelectorAll('text')].filter(t => {let r = t.getBoundingClientRect();"
            "return r.left < b.left - 2 || r.right > b.right + 2 || r.top < b.top - 2 || r.bottom > b.bottom + 2})"
            ".map(t => s.closest('figure').id + ': ' + t.textContent)})"
        )
        assert outside == []


@pytest.mark.slow
@pytest.mark.parametrize(
    "page, title",
    [
        ("hostile", "Planting plan: "),
        ("watch-hostile", "The years after planting: "),
        ("offer-hostile", "Offer for "),
    ],
)
def test_a_hostile_name_stays_text(browser, pages, page, title):
    opened(browser, pages[page], 1280)
    assert browser.title.startswith(f"{title}<img") and browser.title != "taken"
    assert browser.execute_script("return document.querySelectorAll('script, img').length") == 0
    assert HOSTILE in browser.execute_script("return document.querySelector('h1').textContent")
    assert HOSTILE in browser.execute_script("return document.querySelector('main').textContent")


@pytest.mark.parametrize(
    "width, name",
    [
        pytest.param(w, n, marks=() if (w, n) in QUICK else pytest.mark.slow)
        for n in ("demo", "surveyed", "hostile", "watch", "offer", "offer-why")
        for w in (390, 1280)
    ],
)
def test_axe_finds_nothing(browser, pages, name, width):
    """axe-core's rules (WCAG 2 A and AA, and its best practices: names, contrast, order of headings, landmarks) find no fault."""
    import axe_core_python

    opened(browser, pages[name], width)
    browser.execute_cdp_cmd("Page.setBypassCSP", {"enabled": True})
    browser.execute_script((Path(axe_core_python.__file__).parent / "axe.min.js").read_text(encoding="utf-8"))
    found = browser.execute_async_script(
        "const done = arguments[0]; axe.run(document, {resultTypes: ['violations']}).then(r => done([r.passes.length, r.violations.map(v => "
        "v.id + ': ' + v.nodes.map(n => n.html.slice(0, 100)).join(' | '))]), e => done([0, [String(e)]]))"
    )
    assert found[0] > 20 and found[1] == []


@pytest.mark.parametrize("name", ("demo", "watch"))
def test_the_keyboard_reaches_every_link_and_summary_in_order(browser, pages, name):
    """Tab goes through all that can be used, from top to bottom, and each is seen to have the focus."""
    from selenium.webdriver.common.by import By
    from selenium.webdriver.common.keys import Keys

    opened(browser, pages[name], 1280)
    count = browser.execute_script("return document.querySelectorAll('a[href], summary').length")
    body, places = browser.find_element(By.TAG_NAME, "body"), []
    for _ in range(count):
        body.send_keys(Keys.TAB)
        places.append(
            browser.execute_script(
                "const e = document.activeElement, all = [...document.querySelectorAll('a[href], summary')];"
                "return [all.indexOf(e), getComputedStyle(e).outlineStyle]"
            )
        )
    assert [place for place, _ in places] == list(range(count))
    assert all(outline != "none" for _, outline in places)


def _pdf(browser) -> bytes:
    told = browser.execute_cdp_cmd("Page.printToPDF", {"preferCSSPageSize": True, "printBackground": False})
    return base64.b64decode(told["data"])


@pytest.mark.slow
@pytest.mark.parametrize("page, table", [("surveyed", ".walk"), ("watch", "#tasks")])
def test_it_prints_on_letter_paper_with_every_figure_and_row_whole(browser, pages, tmp_path, page, table):
    """Each figure and each row of a table is laid out on one page: its top and bottom fall between the same two page edges.

    Chromium's own way of dividing pages is read from the PDF: words of a caption and of the figure beneath stand on one page.
    """
    from pypdf import PdfReader

    opened(browser, pages[page], 1280)
    captions = browser.execute_script(
        "return [...document.querySelectorAll('figure')].filter(f => !f.closest('.screen'))"
        ".map(f => [f.querySelector('figcaption').textContent,"
        "[...f.querySelectorAll('svg text')].map(t => t.textContent).filter(t => t.length > 4)])"
    )
    file = tmp_path / "plan.pdf"
    file.write_bytes(_pdf(browser))
    read = PdfReader(file)
    assert {(round(float(p.mediabox.width)), round(float(p.mediabox.height))) for p in read.pages} == {
        (612, 792)
    }
    # fonts may print "fi" as one letter
    sheets = [re.sub(r"\s+", " ", unicodedata.normalize("NFKC", p.extract_text())) for p in read.pages]
    assert all(len(s) > 80 for s in sheets), "an empty page"
    for caption, words in captions:
        here = [s for s in sheets if re.sub(r"\s+", " ", caption)[:40] in s]
        assert len(here) == 1, caption
        for word in words:
            assert re.sub(r"\s+", " ", unicodedata.normalize("NFKC", word)) in here[0], (caption, word)
    assert browser.execute_script(
        "let r = []; for (const s of document.styleSheets) for (const c of s.cssRules) if (c.media && c.media.mediaText == 'print')"
        " for (const k of c.cssRules) if (/break-inside/.test(k.cssText)) r.push(k.selectorText); return r.join()"
    ).count("tr")
    rows = browser.execute_script(
        "return [...document.querySelectorAll(arguments[0] + ' tbody tr')].map(r => [...r.cells].map(c => c.textContent.trim()))",
        table,
    )
    assert rows
    for row in rows:
        place = re.sub(r"\s+", " ", row[2])[:20]
        assert any(place.split(",")[0] in s for s in sheets)


@pytest.mark.slow
@pytest.mark.parametrize("page", ["demo", "surveyed"])
def test_each_planting_sheet_prints_on_pages_of_its_own(browser, pages, tmp_path, page):
    """A sheet begins a page and nothing else stands on it; its rows are all there, in walking order, its figures on the first page."""
    from pypdf import PdfReader

    opened(browser, pages[page], 1280)
    told = browser.execute_script(
        "return [...document.querySelectorAll('.sheet')].map(s => [s.querySelector('h2').textContent,"
        "[...s.querySelectorAll('.walk tbody tr')].map(r => [...r.cells].map(c => c.textContent.trim()))])"
    )
    after = browser.execute_script(
        "return [...document.querySelectorAll('.sheet')].pop().nextElementSibling.querySelector('h2').textContent"
    )
    file = tmp_path / "plan.pdf"
    file.write_bytes(_pdf(browser))
    read = PdfReader(file)
    texts = [re.sub(r"\s+", " ", unicodedata.normalize("NFKC", p.extract_text())) for p in read.pages]
    starts = [next(n for n, t in enumerate(texts) if t.strip().startswith(title)) for title, _ in told]
    assert len(told) == 4 and starts == sorted(set(starts))
    besides = len(texts) - (next(n for n, t in enumerate(texts) if n > starts[-1] and after in t) - starts[0])
    assert besides <= (5 if page == "demo" else 6), "pages besides the sheets"
    ends = [
        *starts[1:],
        next(n for n, t in enumerate(texts) if n > starts[-1] and t.strip().startswith(after)),
    ]
    for (title, rows), begin, end in zip(told, starts, ends):
        assert rows and end - begin <= 2, title
        text = " ".join(texts[begin:end])
        at = 0
        for row in rows:
            words = " ".join(row[:3])  # name, tape and feet out stand side by side
            assert words in text[at:], (title, row)
            at = text.index(words, at)


@pytest.mark.slow
def test_nothing_printed_is_wider_than_the_paper(browser, pages):
    """Letter paper less its margins is 7.3 in, 700 px: what is wider, Chromium makes the whole print smaller for."""
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    try:
        for page in ("demo", "surveyed"):
            opened(browser, pages[page], 700)
            wide = browser.execute_script(
                "return [...document.querySelectorAll('table, p, ul, h2')].filter(e => e.getBoundingClientRect().right > 701)"
                ".map(e => [e.tagName, e.id, e.textContent.slice(0, 60)])"
            )
            assert wide == [], page
    finally:
        browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})


@pytest.mark.parametrize("page", ["offer", "offer-why"])
def test_an_offer_prints_on_letter_paper_with_every_plant_and_question(browser, pages, tmp_path, page):
    """Each row stands whole on one sheet: its line number, plant and last cell are found there together."""
    from pypdf import PdfReader

    opened(browser, pages[page], 1280)
    rows = browser.execute_script(
        "return [...document.querySelectorAll('.offer tbody tr:not(.reason)')].map(r => [...r.cells].map(c => c.textContent.trim()))"
    )
    asked = browser.execute_script(
        "return [...document.querySelectorAll('.ask li')].map(l => l.textContent.trim())"
    )
    file = tmp_path / "offer.pdf"
    file.write_bytes(_pdf(browser))
    read = PdfReader(file)
    assert {(round(float(p.mediabox.width)), round(float(p.mediabox.height))) for p in read.pages} == {
        (612, 792)
    }
    sheets = [re.sub(r"\s+", " ", unicodedata.normalize("NFKC", p.extract_text())) for p in read.pages]
    assert len(sheets) <= (2 if page == "offer" else 4) and all(len(s) > 80 for s in sheets)
    assert len(rows) == 19 and len(asked) > 5
    for row in rows:
        words = [re.sub(r"\s+", " ", cell) for cell in (row[0], row[1], row[-1]) if cell]
        assert any(all(word in s for word in words) for s in sheets), row
    for question in asked:
        assert any(re.sub(r"\s+", " ", question) in s for s in sheets), question


def test_at_a_phones_width_a_plant_to_buy_says_each_figure_with_its_word(browser, pages):
    """The heads of the columns are hidden there; a figure without its word could be any of them."""
    opened(browser, pages["offer"], 390)
    bare = browser.execute_script(
        "return [...document.querySelectorAll('.buy tbody td.n')].slice(0).filter(c => c.cellIndex && c.textContent.trim())"
        ".filter(c => getComputedStyle(c, '::before').content.length < 4).map(c => c.outerHTML)"
    )
    assert bare == []
    heights = browser.execute_script(
        "return [...document.querySelectorAll('.offer tbody tr')].map(r => r.getBoundingClientRect().height)"
    )
    assert max(heights) < 170, "a plant takes a few lines of a phone, not a screen"
