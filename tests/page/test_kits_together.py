"""Copies against stock, a kit held beside another, several kits, and what only the shop sees."""

import html
import re

import html5lib
import pytest

ASKED = "?currency=EUR&cap=9&holds=%5B%22bag%22%2C%22card%22%5D&extras.spend=none"
SHOP = (
    "sku,name,category,price,quality,stock,shelf,trade_cost\n"
    "A,a fine bag,bag,4.00,90,3,B2,1.11\nB,a plain bag,bag,2.00,60,,A10,1.11\n"
    "C,a gilt card,card,3.00,80,50,A2,1.11\nD,a kraft card,card,1.00,40,,A2,1.11\n"
)


@pytest.fixture(scope="module")
def query(client):
    files = {"file": ("shop.csv", SHOP.encode())}
    sent = {"was": ASKED[1:]}
    answer = client.post("/catalogue", files=files, data=sent, follow_redirects=False)
    return "?" + answer.headers["location"].partition("?")[2]


def test_too_many_copies_are_told_with_what_to_order_and_never_printed(client, query):
    shown = client.get(f"/{query}&copies=40").text
    assert "Today&#39;s stock makes 3 of these; a fine bag runs out first." in shown
    lacking = re.findall(r'<th scope="row">a fine bag</th>(.*?)</tr>', shown)[0]
    assert re.findall("[0-9]+", re.sub("<[^>]*>", " ", lacking)) == ["40", "3", "37"]
    sheet = client.get(f"/sheet{query}&copies=40&reader=shop")
    assert sheet.status_code == 422
    assert "order 37" in sheet.text
    assert client.get(f"/sheet{query}&copies=3&reader=shop").status_code == 200


def test_beside_it_stands_the_best_kit_of_which_there_is_enough(client, query):
    answer = client.get(f"/enough{query}&copies=40", follow_redirects=False)
    assert answer.status_code == 303
    shown = client.get(answer.headers["location"]).text
    assert "a plain bag" in shown
    assert "Order" not in shown
    none = client.get(f"/enough{query}&copies=60&choose.keep=%5B%22C%22%5D")
    assert none.status_code == 200
    said = re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", none.text.partition("What stands")[2]))
    assert "because a gilt card is to be kept" in said
    assert "Keep a kraft card instead of a gilt card." in said
    assert "copies of" not in said
    assert "(row" not in said


def test_a_kit_is_held_beside_another(client, query):
    hold = re.search(r'href="([^"]+)">Hold this kit', client.get(f"/{query}").text)[1]
    # The kit that is held keeps its own sum.
    path = html.unescape(hold) + "&cap=5"
    shown = client.get(path).text
    html5lib.HTMLParser(strict=True).parse(shown)
    text = " ".join(re.sub(r"<[^>]+>", " ", shown).split())
    assert "in all, EUR 7.00 5.00 −2.00 quality 85.00 70.00 −15.00" in text
    assert re.search(r"This came 1 × a plain bag 2.00", text)
    assert re.search(r"That went 1 × a fine bag 4.00", text)


def test_several_kits_stand_side_by_side_and_on_one_list(client, query):
    kits = "&k1.name=Spring&k1.copies=2&k1.cap=9,00&k2.name=Gift&k2.copies=5&k2.cap=4"
    shown = client.get(f"/several{query}{kits}&distinct=card").text
    html5lib.HTMLParser(strict=True).parse(shown)
    assert "Proven best together" in shown
    assert "Spring" in shown
    sheet = re.search(r'href="(/several/sheet[^"]+)"', shown)[1]
    printed = client.get(html.unescape(sheet)).text
    html5lib.HTMLParser(strict=True).parse(printed)
    text = " ".join(re.sub(r"<[^>]+>", " ", printed).split())
    assert re.search(r"Spring × 2 Gift × 5", text)
    # By shelf, in the order in which people count.
    assert re.findall(r"\b(?:A2|A10|B2)\b", text)[0] == "A2"
    assert client.get(f"/several{query}&k1.cap=much").status_code == 422
    # Kits without a sum of their own have the brief's.
    assert 'name="k3.cap" value="9.00"' in client.get(f"/several{query}&kits=3").text


def test_what_the_shop_pays_and_keeps_is_in_its_own_view_only(client, query):
    asked = f"{query}&shop.sell_at=12.34&shop.margin_rate=0.2"
    shown = client.get(f"/{asked}").text
    assert "For the shop only" in shown
    assert "leaves" in shown
    for reader in ("customer", "card", "shop", "class"):
        paper = client.get(f"/sheet{asked}&reader={reader}&full=yes").text
        paper = paper.partition("<body")[2]
        for secret in ("12.34", "1.11", "2.22", "margin", "trade_cost"):
            assert secret not in paper, (reader, secret)


def test_a_file_for_a_friend_needs_nothing_and_tells_nothing_of_the_shop_s(client, query):
    # A sum and a rule that no other number of the file is.
    rule = "&limits=%5B%7Bcolumn%3D%22trade_cost%22%2Cmost%3D77.31%7D%5D"
    asked = f"{query}&shop.sell_at=12.34&shop.margin_rate=0.2137{rule}"
    answer = client.get(f"/friend{asked}")
    assert answer.status_code == 200
    assert "attachment" in answer.headers["content-disposition"]
    html5lib.HTMLParser(strict=True).parse(answer.text)
    body = answer.text.partition("<body")[2]
    for secret in ("1.11", "2.22", "12.34", "0.2137", "77.31", "trade_cost", "margin", "sell_at"):
        assert secret not in body.replace("margin_cm", "").replace("margin_in", ""), secret
    assert "a fine bag" in body
    assert not re.search(r"<script|<link|https?:", body)


def test_a_saved_kit_that_is_handed_in_stands_or_is_mended(client, query):
    for path in ("/friend", "/kit.json"):
        content = client.get(f"{path}{query}").content
        sent = {"was": query[1:]}
        answer = client.post("/saved", files={"file": ("kit", content)}, data=sent)
        assert answer.status_code == 200, path
        assert "It still stands" in answer.text
        changed = content.replace(b"4.00", b"3.00").replace(b'"A"', b'"GONE"')
        changed = changed.replace(b"&#34;A&#34;", b"&#34;GONE&#34;")
        changed = changed.replace(b"&quot;A&quot;", b"&quot;GONE&quot;")
        answer = client.post("/saved", files={"file": ("kit", changed)}, data=sent)
        assert "It no longer stands" in answer.text, path
        assert "The kit nearest to it" in answer.text


@pytest.mark.parametrize(
    "content",
    [b"nothing", b'{"schema": ' + b"[" * 2000, b'{"schema": "\\ud800"}'],
    ids=["no JSON", "nested too deeply", "half a character"],
)
def test_what_is_no_saved_kit_is_told_so(content, client, query):
    answer = client.post("/saved", files={"file": ("kit", content)}, data={"was": query[1:]})
    assert answer.status_code == 422
    assert "The file is no saved kit: it is not JSON." in answer.text


def test_an_address_that_is_sent_says_what_differs_on_other_goods(client, query):
    link = html.unescape(
        re.search(r'href="([^"]+)">Link to this kit', client.get(f"/{query}").text)[1]
    )
    same = client.get(link).text
    assert 'id="differs"' not in same
    # The fine bag is gone, and the digest is that of other goods.
    files = {"file": ("later.csv", SHOP.replace("A,a fine", "E,a new").encode())}
    later = client.post(
        "/catalogue", files=files, data={"was": ASKED[1:]}, follow_redirects=False
    ).headers["location"]
    digest = re.search(r"catalogue=(\w+)", later)[1]
    other = client.get(re.sub(r"catalogue=\w+", f"catalogue={digest}", link)).text
    html5lib.HTMLParser(strict=True).parse(other)
    assert "This came: a new bag." in other
    assert "That went: A." in other
