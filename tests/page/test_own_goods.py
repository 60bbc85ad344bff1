"""Goods as the shop's own program wrote them: handed in, matched, corrected, and picked from."""

import html
import re
from pathlib import Path

import html5lib
import pytest

from kitsolver import BadInput
from kitsolver.page.catalogue_to_read import CatalogueToRead
from kitsolver.page.goods_match import corrected, grouped, match_of
from kitsolver.shop.catalogue_findings import NotANumber
from kitsolver.shop.toml_text import parse_toml

EXPORTS = Path(__file__).parents[1] / "exports" / "files"
OWN = "sku,name,category,price,quality\nA,a bag,bag,1.00,50\nB,a sack,bag,2.00,60\n"


def begun(client, content, name, **more):
    said = {"sum": "30,00", "currency": "EUR", "way": "bundles", "number": "40", "goods": "own"}
    files = {"file": (name, content)}
    answer = client.post("/begin", data=said | more, files=files, follow_redirects=False)
    assert answer.status_code == 303, answer.text
    return answer.headers["location"]


def form_of(text):
    """Return what a browser would send of the match, as it stands."""
    sent = {
        name: html.unescape(value)
        for name, value in re.findall(
            r'<input type="hidden" name="(h\d+|was)" value="([^"]*)"', text
        )
    }
    for name, options in re.findall(r'<select name="(m\d+)".*?>(.*?)</select>', text, re.DOTALL):
        chosen = re.search(r'<option value="([^"]*)" selected', options)
        sent[name] = html.unescape(chosen[1])
    sent["map"] = html.unescape(
        re.search(r'<textarea name="map"[^>]*>(.*?)</textarea>', text, re.DOTALL)[1]
    )
    return sent


@pytest.mark.parametrize(
    "name",
    [
        "till.csv",
        *(pytest.param(n, marks=pytest.mark.slow) for n in ("handmade.xlsx", "till-3.csv")),
    ],
)
def test_a_till_s_export_becomes_forty_bundles(client, name):
    place = begun(client, (EXPORTS / name).read_bytes(), name)
    match = client.get(place).text
    html5lib.HTMLParser(strict=True).parse(match)
    answer = client.post("/goods", data=form_of(match), follow_redirects=False)
    assert answer.status_code == 303
    shown = client.get(answer.headers["location"]).text
    html5lib.HTMLParser(strict=True).parse(shown)
    if "Go on with" in shown:
        on = html.unescape(re.search(r'<a class="button" href="([^"]+)"', shown)[1])
        shown = client.get(on).text
    assert "This is proven" in shown
    assert 'name="copies" value="40"' in shown


def test_each_column_is_shown_with_cells_and_can_be_chosen_otherwise(client):
    place = begun(client, (EXPORTS / "till.csv").read_bytes(), "till.csv")
    match = client.get(place).text
    assert "4100" in match
    assert "Haubentaucher" in match
    sent = form_of(match)
    header = next(name for name, value in sent.items() if value == "Bewertung")
    sent["m" + header[1:]] = "stock"
    twice = client.post("/goods", data=sent, follow_redirects=False)
    assert twice.status_code == 422
    assert "More than one column is said to be stock." in twice.text
    # What was chosen is still there.
    assert form_of(twice.text)["m" + header[1:]] == "stock"


def test_a_map_is_corrected_column_by_column():
    text = (
        '[columns]\nsku = "No"\nprice = "VK"\n[join]\ncolours = ["F1", "F2"]\n'
        '[defaults]\nquality = "50"\n'
    )
    chosen = [
        ("No", "sku"),
        ("VK", ""),
        ("EK", "price"),
        ("F1", "join:colours"),
        ("F2", "join:colours"),
    ]
    data = parse_toml(corrected(text, chosen))
    assert data == {
        "columns": {"sku": "No", "price": "EK"},
        "join": {"colours": ["F1", "F2"]},
        "defaults": {"quality": "50"},
    }
    # Of a joined column a single part may be left.
    assert parse_toml(corrected(text, chosen[:4]))["columns"]["colours"] == "F1"
    with pytest.raises(BadInput) as caught:
        corrected(text, [("a", "price"), ("b", "price")])
    assert [finding.column for finding in caught.value.findings] == ["a", "b"]


def test_a_header_below_other_rows_is_found():
    file = EXPORTS / "till.csv"
    match = match_of(CatalogueToRead("digest", file.name, file))
    assert parse_toml(match.map_text)["file"]["header_row"] == 4
    assert {one.header: one.target for one in match.headers}["VK brutto"] == "price"
    assert all(len(one.samples) <= 3 for one in match.headers)


def test_findings_are_grouped_with_their_rows_and_values():
    found = [
        NotANumber(file="f", row=n, column="price", value=f"{n % 5}x", detail="d") for n in range(9)
    ]
    (group,) = grouped(found)
    assert (group.number, len(group.rows), len(group.values)) == (9, 8, 3)


def test_going_on_with_the_sound_rows_keeps_saying_so(client):
    bad = OWN + "".join(f"Z{n},z,bag,O.80,50\n" for n in range(5))
    answer = client.post(
        "/catalogue",
        files={"file": ("mine.csv", bad.encode())},
        data={"was": 'currency=EUR&cap=3&holds=["bag"]'},
        follow_redirects=False,
    )
    assert answer.status_code == 422
    assert "2 of 7 rows can be used" in answer.text
    assert re.search(r'data-label="how many">5</td>', answer.text)
    on = html.unescape(re.search(r'<a class="button" href="([^"]+)"', answer.text)[1])
    shown = client.get(on).text
    assert "2 sound rows; those with findings are left out" in shown
    assert re.search(r"This is proven among the 2 [a-z ]+ of 7", shown)


def test_goods_in_our_own_columns_go_straight_to_the_kit(client):
    answer = client.post(
        "/catalogue",
        files={"file": ("mine.csv", OWN.encode())},
        data={"was": 'currency=EUR&cap=3&holds=["bag"]'},
        follow_redirects=False,
    )
    assert answer.headers["location"].startswith("/?catalogue=")
