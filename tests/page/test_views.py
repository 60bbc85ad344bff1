"""The views as they come from the server: valid, escaped, and with the figures of the record."""

import csv
import io
import json
import re
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import html5lib
import pytest
from test_looks import VIEWS

from kitsolver import brief_of, pick, read_catalogue, record_of
from kitsolver.page.demo import demo
from kitsolver.page.worker_pool import TookTooLong
from kitsolver.shop.money import to_text

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "catalogues"
SHOP = DEMO / "tormellick-whelk.csv"
ASKED = "?currency=EUR&cap=30.00"
SMALL = "sku,name,category,price,quality\nA,a bag,bag,1.00,50\nB,a <b>bag</b> & more,bag,2.00,60\n"


@pytest.fixture(scope="module")
def shop():
    return read_catalogue(SHOP, currency="EUR")


def hand_in(client, text, was="", name="shop.csv"):
    files = {"file": (name, text.encode(), "text/csv")}
    return client.post("/catalogue", files=files, data={"was": was}, follow_redirects=False)


@pytest.mark.parametrize("view", [view for view, path in VIEWS.items() if "{" not in path])
def test_every_view_is_html_without_a_flaw(client, view):
    text = client.get(VIEWS[view]).text
    html5lib.HTMLParser(strict=True).parse(text)
    assert "http" not in text.replace("http://www.w3.org", "")


def test_ids_are_there_once(client):
    for path in (f"/{ASKED}", f"/{ASKED}&heads=12&cap=216"):
        ids = re.findall(r'\bid="([^"]+)"', client.get(path).text)
        assert len(ids) == len(set(ids)) > 30


@pytest.mark.slow
@pytest.mark.parametrize(
    "cap",
    [
        *(1000, 1333, 1666, 1999, 2332, 2665, 2998),
        *(3331, 3664, 3997, 4330, 4663, 4996),
    ],
)
def test_at_any_cap_the_ladder_s_kit_is_the_picked_one(client, shop, cap):
    """A kit looked up on a known ladder is what a pick proves, to the last figure."""
    whole = f"/?currency=EUR&cap=40.00&to=80.00&title=at-{cap}"
    client.get(whole.replace("/?", "/ladder?"))
    text = client.get(whole.replace("40.00", to_text(cap, "EUR"))).text
    assert 'id="cap"' in text
    record = record_of(pick(shop, brief_of({"currency": "EUR", "cap": to_text(cap, "EUR")})))
    shown = re.findall(r'id="line-([^"]+)"', text)
    assert sorted(shown) == sorted(line["sku"] for line in record["lines"])
    assert f"<strong>{record['payable']} EUR</strong> <span>of {record['cap']}" in text
    assert f"quality {record['quality']:.2f} of 100" in text
    if record["next_rung"]:
        assert f"For {record['next_rung']['missing']} EUR more" in text


@pytest.mark.slow
def test_what_is_taken_along_is_what_the_commands_write(client, shop):
    query = ASKED + "&needs.chart.max_price=4"
    brief = brief_of({"currency": "EUR", "cap": "30.00", "needs": {"chart": {"max_price": "4"}}})
    record = record_of(pick(shop, brief))
    assert json.loads(client.get(f"/kit.json{query}").text) == record
    rows = list(csv.DictReader(io.StringIO(client.get(f"/kit.csv{query}").text)))
    assert [row["sku"] for row in rows] == [line["sku"] for line in record["lines"]]
    assert brief_of(tomllib.loads(client.get(f"/brief.toml{query}").text)) == brief
    assert json.loads(client.get(f"/ladder.json{query}").text)["schema"] == "kitsolver/ladder/1"
    sheet = client.get(f"/sheet{query}").text
    assert all(line["sku"] in sheet for line in record["lines"])
    assert "trade_cost" not in sheet
    attached = client.get(f"/kit.json{query}").headers["content-disposition"]
    assert attached == 'attachment; filename="kit.json"'


def test_trade_costs_are_on_no_view(client):
    # 0.83 and 1.37 are no other number of these pages.
    text = (
        "sku,name,category,price,quality,trade_cost\n"
        "A,a bag,bag,1.00,50,0.83\nB,a sack,bag,2.00,60,1.37\nC,a tin,case,1.00,40,0.83\n"
    )
    answer = hand_in(client, text, 'currency=EUR&cap=5.00&holds=["bag"]')
    assert answer.status_code == 303
    query = "?" + answer.headers["location"].partition("?")[2]
    more = {"shelves": "&words=bag", "why": "&sku=A", "others": "&sku=B"}
    for view in ("", "shelves", "why", "others", "ladder", "sheet", "catalogue"):
        shown = client.get(f"/{view}{query}{more.get(view, '')}")
        assert shown.status_code == 200, view
        for secret in ("trade_cost", "trade cost", "0.83", "1.37"):
            assert secret not in shown.text, view


def test_a_catalogue_that_is_handed_in_is_asked_with_the_same_brief(client):
    was = "currency=EUR&cap=30.00&title=mine"
    answer = hand_in(client, SHOP.read_text(encoding="utf-8") + "\n", was)
    assert answer.status_code == 303
    assert "title=mine" in answer.headers["location"]
    text = client.get(answer.headers["location"]).text
    assert "shop.csv" in text
    assert "This is proven" in text


def test_a_file_that_is_no_catalogue_is_refused_with_its_reason(client):
    for text in ("", "no, catalogue\n1,2\n", "\x00\x01"):
        answer = hand_in(client, text)
        assert answer.status_code == 422, text
        assert "Go on with" not in answer.text


def test_what_a_catalogue_says_is_never_markup(client):
    place = hand_in(client, SMALL, 'currency=EUR&cap=3&holds=["bag"]').headers["location"]
    text = client.get(place).text
    assert "a &lt;b&gt;bag&lt;/b&gt; &amp; more" in text
    assert "<b>" not in text
    hostile = client.get("/?currency=EUR&cap=30&title=%22%3E%3Cscript%3Ealert(1)%3C/script%3E").text
    assert "<script>" not in hostile
    assert "&lt;script&gt;" in hostile


def test_an_address_without_its_catalogue_says_so(client):
    answer = client.get("/?catalogue=0123456789abcdef&currency=EUR&cap=30")
    assert answer.status_code == 404
    assert "hand the file in again" in answer.text


def test_a_brief_that_cannot_be_used_still_offers_every_way_in(client):
    text = client.get("/?currency=EUR&cap=30.00&needs.fabric.max_price=abc").text
    shown = text.partition('<nav class="ways"')[2].partition("</nav>")[0]
    for way in ("one person", "a class", "bundles to sell", "several kits from one stock"):
        assert f">{way}</a>" in shown


def test_bad_parameters_are_findings_and_no_fault(client):
    for path in (
        "/?currency=EUR&cap=30&needs.chart.weigth=3",
        "/?cap=30",
        "/?currency=EUR&cap=30&choose.keep=[%22NONE%22]",
        "/?%00=1",
        "/?=&==",
        f"/why{ASKED}&sku=NONE",
        f"/sheet{ASKED}&copies=0",
        f"/sheet{ASKED}&reader=nobody",
        "/change?was=currency%3DEUR&cap=1",
        "/kit.json?cap=1",
    ):
        answer = client.get(path)
        assert answer.status_code == 422, path
        html5lib.HTMLParser(strict=True).parse(answer.text)


def test_a_brief_as_text_that_is_no_toml_is_a_finding_with_its_line(client):
    answer = client.post("/brief", data={"text": "cap = 1\ncap = = 2"})
    assert answer.status_code == 422
    assert "row 2" in answer.text


@pytest.mark.parametrize(
    ("to", "end"),
    [
        ("30.00", "30.00"),
        ("45.50", "45.50"),
        # Below the cap, or beyond a hundred times as much, it is twice the cap.
        ("29.99", "60.00"),
        ("3000.01", "60.00"),
        ("999999999", "60.00"),
        ("", "60.00"),
    ],
)
def test_the_ladder_s_end_in_an_address_is_bounded(client, to, end):
    asked = 'currency=EUR&cap=30.00&holds=["bag"]'
    query = "?" + hand_in(client, SMALL, asked).headers["location"].partition("?")[2]
    shown = client.get(f"/ladder{query}&to={to}")
    assert shown.status_code == 200
    assert f'max="{end}"' in shown.text


def test_a_ladder_s_end_that_is_no_sum_is_a_finding(client):
    assert client.get(f"/ladder{ASKED}&to=x").status_code == 422


def test_the_demo_travels_inside_the_package(tmp_path):
    assert all(path.exists() for path in demo())
    build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(tmp_path)]
    subprocess.run(build, cwd=ROOT, check=True, capture_output=True)
    (wheel,) = tmp_path.glob("*.whl")
    with zipfile.ZipFile(wheel) as packed:
        names = set(packed.namelist())
        for path in demo():
            assert packed.read(f"kitsolver/catalogues/{path.name}") == path.read_bytes()
    for name in ("templates/kit.html", "static/page.css", "static/page.js"):
        assert f"kitsolver/page/{name}" in names


def test_what_was_stopped_is_told_as_unfinished_and_can_be_gone_on_with(client, monkeypatch):
    async def stopped(*_, **__):
        raise TookTooLong

    monkeypatch.setattr("kitsolver.page.worker_pool.WorkerPool.do", stopped)
    answer = client.get("/?currency=EUR&cap=31.77")
    assert answer.status_code == 504
    assert "stopped before it was finished" in answer.text
    assert 'href="/?currency=EUR&amp;cap=31.77">Go on looking' in answer.text
    html5lib.HTMLParser(strict=True).parse(answer.text)


def test_goods_that_are_not_at_hand_are_handed_in_where_they_are_missed(client):
    asked = f"currency=EUR&cap=9&catalogue={64 * '0'}"
    answer = client.get(f"/?{asked}")
    assert answer.status_code == 404
    was = re.search(r'name="was" value="([^"]*)"', answer.text)[1].replace("&amp;", "&")
    assert was == asked
    again = hand_in(client, SMALL, was).headers["location"]
    # What was asked stays, and is asked of the goods that are there now.
    assert "cap=9" in again
    assert 64 * "0" not in again
    assert client.get(again).status_code != 404


def test_where_there_is_no_page_the_page_says_so_in_its_own_words(client):
    answer = client.get("/nowhere")
    assert answer.status_code == 404
    assert "There is no such page" in answer.text
    assert "Not Found" not in answer.text


def test_what_the_stock_says_stands_right_below_the_number_of_copies(client):
    text = client.get(f"/{ASKED}&copies=40").text
    assert text.index('id="ask"') < text.index('id="supply"') < text.index('class="bench"')
    assert "The stock does not make 40 of these" in text
    assert "runs out first" in client.get(f"/{ASKED}&copies=2").text
