"""Threads that are at home are ticked among the shop's own, and the ticks make a home list."""

import csv
import html
import re
from io import StringIO
from urllib.parse import unquote

import html5lib
import pytest

from kitsolver.page.catalogue_to_read import CatalogueToRead, HomeToRead
from kitsolver.page.threads_at_home import list_with, threads_to_tick

ASKED = "?currency=EUR&cap=25"
SHOP = """sku,name,category,price,quality,colours
T1,"Cotton, Red",thread,1.00,50,#c01020
T2,"Cotton, Dark Blue",thread,1.00,50,#102050
T3,"Cotton, Light Blue",thread,1.00,50,#90b0e0
P1,Pack,thread,3.00,50,#c01020;#102050
B,Bag,bag,2.00,50,
"""


def shown(client, address):
    answer = client.get(html.unescape(address))
    assert answer.status_code == 200
    html5lib.HTMLParser(strict=True).parse(answer.text)
    return answer.text


@pytest.mark.slow
def test_ticked_threads_are_taken_from_home_and_stay_ticked(client):
    page = shown(client, f"/{ASKED}")
    ticking = re.search(r'href="(/at-home[^"]+)"', page)[1]
    names = re.findall(r'name="sku" value="([^"]+)"', shown(client, ticking))
    assert len(names) > 100
    bought = re.findall(r'<li data-sku="(TH-[^"]+)"', page)[:2]
    was = html.unescape(ticking).partition("?")[2]
    answer = client.post("/at-home", data={"was": was, "sku": bought})
    assert answer.url.path == "/"
    assert answer.text.count(" m from home") == len(bought)
    # What is at home by the list is not to be owned beside it, which is refused.
    query = html.escape(answer.url.query.decode())
    views = [answer.text, *(shown(client, f"/why?{query}&amp;sku={sku}") for sku in bought)]
    views += [shown(client, f"/shelves?{query}&amp;words={sku}") for sku in bought]
    # No kit holds it then.
    poor = re.sub(r"(?<=cap=)[^&]*", "0.01", query)
    assert poor != query
    views += [shown(client, f"/why?{poor}&amp;sku={sku}") for sku in bought]
    owning = [unquote(link) for view in views for link in re.findall(r'href="(/\?[^"]+)"', view)]
    assert any("choose.keep=" in link and bought[0] in link for link in owning)
    assert not [link for link in owning for sku in bought if f'choose.own=["{sku}"' in link]
    again = shown(client, re.search(r'href="(/at-home[^"]+)"', answer.text)[1])
    assert sorted(re.findall(r'value="([^"]+)" checked', again)) == sorted(bought)


def source(tmp_path, home=None):
    shop = tmp_path / "shop.csv"
    shop.write_text(SHOP)
    if home is None:
        return CatalogueToRead("digest", "shop.csv", shop, "EUR")
    there = tmp_path / "home.csv"
    there.write_text(home)
    listed = HomeToRead("home.csv", there)
    return CatalogueToRead(f"digest {len(home)}", "shop.csv", shop, "EUR", home=listed)


def test_single_threads_stand_by_colour_from_dark_to_light(tmp_path):
    found = threads_to_tick(source(tmp_path), "")
    told = [(family, [one.sku for one in threads]) for family, threads in found.families]
    assert told == [("reds", ["T1"]), ("blues", ["T2", "T3"])]
    assert threads_to_tick(source(tmp_path), "light").number == 1


def test_what_was_not_shown_stays_on_the_list_as_it_is(tmp_path):
    home = "sku,left_m,stock\nT1,2.5,\nT3,1.0,\nB,,4\n"
    text = list_with(source(tmp_path, home), "blue", ["T2", "T1", "GONE"])
    rows = {row["sku"]: row for row in csv.DictReader(StringIO(text))}
    # T3 was shown and is not ticked any more; T1 and the bag were not shown.
    assert sorted(rows) == ["B", "T1", "T2"]
    assert rows["T1"]["left_m"] == "2.5"
    assert rows["B"]["stock"] == "4"
