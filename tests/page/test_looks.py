"""Every view for people who see, hear, hold or print it in different ways, in a real browser."""

from urllib.parse import quote

import pypdfium2
import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import ImageOps

ASKED = "?currency=EUR&cap=30.00&title=A+look"
LONG = "W" * 60
VIEWS = {
    "kit": f"/{ASKED}",
    "class": f"/{ASKED}&heads=12&cap=216&needs.thread.shared_by=2",
    "no kit": "/?currency=EUR&cap=5.00",
    "nothing asked": "/?catalogue={digest}",
    "bad value": "/?currency=EUR&cap=much",
    "bad blank": f"/change?was={quote(ASKED[1:])}&way=one&cap=1,234&needs.chart.max_price=x",
    "begin": "/begin",
    "several": f"/several{ASKED}&k1.name=Spring&k2.name=Gift&k2.cap=20",
    "at home": f"/at-home{ASKED}",
    "too many": f"/sheet{ASKED}&reader=shop&copies=40",
    "begun": "/begin?start=class&goods=own",
    "bundles": f"/{ASKED}&copies=40&held={quote('currency=EUR&cap=20')}",
    "own colours": f"/{ASKED}&shades.mode=free&shades.wish=%5B%22%237fc4c8%22%5D",
    "match": f"/goods{ASKED}",
    "long words": f"/?currency=EUR&cap=30&title={LONG}",
    "ladder": f"/ladder{ASKED}",
    "others": f"/others{ASKED}&sku=CH-HERMIT",
    "why": f"/why{ASKED}&sku=SC-GULLWING",
    "shelves": f"/shelves{ASKED}&words=thread",
    "catalogue": f"/catalogue{ASKED}",
    "nowhere": "/nowhere",
    "sheet": f"/sheet{ASKED}",
    "card": f"/sheet{ASKED}&reader=card",
    "many threads": f"/sheet{ASKED}&choose.keep=%5B%22CH-NETMENDER%22%5D&cap=200",
    "picking list": f"/sheet{ASKED}&reader=shop&copies=2",
    "class plan": f"/sheet{ASKED}&heads=12&cap=216&reader=class",
}


# By default the views that hold most; the others, dark colours and Letter paper are slow tests.
QUICK = ("kit", "sheet")
over_views = pytest.mark.parametrize(
    "view",
    [pytest.param(view, marks=[] if view in QUICK else pytest.mark.slow) for view in VIEWS],
)


@pytest.fixture(scope="module")
def visit(browser, served):
    """Give what opens a view in a window of some size and colours."""
    contexts = []

    def opened(view, **how):
        contexts.append(browser.new_context(**how))
        page = contexts[-1].new_page()
        path = VIEWS[view]
        if "{digest}" in path:
            answer = contexts[-1].request.post(
                f"{served}api/catalogues", data="sku,name,category,price,quality\nA,a,bag,1.00,50\n"
            )
            path = path.format(digest=answer.json()["catalogue"])
        page.goto(served.rstrip("/") + path)
        if page.locator("#ladder").count():
            page.wait_for_selector("#ladder:not([data-later])", timeout=120_000)
        return page

    yield opened
    for context in contexts:
        context.close()


@pytest.mark.slow
@pytest.mark.parametrize("scheme", ["light", "dark"])
@over_views
def test_axe_finds_no_violation(visit, view, scheme):
    """axe-core's rules, those for WCAG 2.2 AA and its best practices."""
    page = visit(view, color_scheme=scheme, bypass_csp=True)
    _no_violation(page)


def _no_violation(page):
    page.evaluate("document.querySelectorAll('details').forEach((one) => (one.open = true))")
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()


# The views in which phones show something else than wide screens do.
@pytest.mark.slow
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("view", ["begin", "bad blank", "several", "at home", "match"])
def test_axe_finds_no_violation_on_a_phone(visit, view, scheme):
    phone = {"width": 360, "height": 740}
    _no_violation(visit(view, color_scheme=scheme, bypass_csp=True, viewport=phone))


@over_views
def test_nothing_runs_off_a_phone_s_width(visit, view):
    page = visit(view, viewport={"width": 360, "height": 740})
    page.evaluate("document.querySelectorAll('details').forEach((one) => (one.open = true))")
    assert page.evaluate("document.documentElement.scrollWidth") <= 360


# How many pages each takes. The card is a sheet that is folded once, the class plan has its cards.
PAGES = {"sheet": 1, "card": 2, "picking list": 1, "class plan": 3}


@pytest.mark.parametrize("paper", ["A4", pytest.param("Letter", marks=pytest.mark.slow)])
@pytest.mark.parametrize(
    "view", ["sheet", *(pytest.param(v, marks=pytest.mark.slow) for v in PAGES if v != "sheet")]
)
def test_on_paper_nothing_is_cut_off_and_no_page_is_nearly_empty(visit, view, paper):
    page = visit(view)
    words = page.evaluate(
        "[...document.querySelectorAll('td, th, p, h1, h2')]"
        ".filter((one) => one.offsetParent && !one.querySelector('.unseen'))"
        ".map((one) => one.innerText)"
    )
    whole = view == "card"
    printed = page.pdf(format=paper, print_background=True, landscape=whole)
    document = pypdfium2.PdfDocument(printed)
    assert len(document) == PAGES[view]
    text = "".join(leaf.get_textpage().get_text_range() for leaf in document)
    text = "".join(text.split()).replace("\ufffe", "").replace("\x02", "")
    shown = [word for word in words if word.strip()]
    assert len(shown) > 8
    for word in shown:
        assert "".join(word.split()) in text, word
    for number, leaf in enumerate(document):
        picture = leaf.render(scale=1).to_pil().convert("L")
        width, height = picture.size
        # The margins are blank: what ran over would be there, or cut off beyond.
        for edge in ((0, 0, 14, height), (width - 14, 0, width, height)):
            darkest = picture.crop(edge).getextrema()[0]
            assert darkest > 200, f"page {number + 1}"
        # What is printed reaches well down the page.
        box = ImageOps.invert(picture).getbbox()
        assert box[3] > (0.3 if view == "picking list" else 0.6) * height, f"page {number + 1}"


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_kit_of_many_threads_is_still_one_page(visit, paper):
    page = visit("many threads")
    document = pypdfium2.PdfDocument(page.pdf(format=paper, print_background=True))
    assert len(document) == 1


def test_in_grey_the_shades_are_told_apart_by_their_words(visit):
    page = visit("sheet")
    names = page.locator("svg.strips text").all_text_contents()
    assert sum("stitches" in name for name in names) > 3
