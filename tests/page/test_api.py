"""The API gives what the commands write, tells what is wrong as findings, and keeps to itself."""

import json
import tomllib
from pathlib import Path

import pytest
from typer.testing import CliRunner

from kitsolver.cli import app
from kitsolver.page import catalogue_store
from kitsolver.show.schema.findings import FindingsRecord
from kitsolver.show.schema.kit import KitRecord
from kitsolver.show.schema.ladder import LadderRecord
from kitsolver.show.schema.others import OthersRecord
from kitsolver.show.schema.recheck import RecheckRecord
from kitsolver.show.schema.why import WhyRecord

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP = DEMO / "tormellick-whelk.csv"
NAMES = ("bundle", "gift-card", "class-of-twelve")
PLAIN = {"currency": "EUR", "cap": "30.00"}
BETWEEN = {"from": "40", "to": "50"}
LOW = {"cap": "5.00"}
RECORDS = {"KitRecord", "LadderRecord", "OthersRecord", "WhyRecord", "RecheckRecord"}
JSON = {"content-type": "application/json"}


def written(*arguments):
    """Give what a command writes as JSON."""
    return CliRunner().invoke(app, [*map(str, arguments), "--json", "-"]).stdout


def asked(name):
    # JSON has no decimals: a number with a point is sent as it is written.
    return tomllib.loads((DEMO / f"{name}.toml").read_text(encoding="utf-8"), parse_float=str)


# The demo's bundle by default, its other briefs with the slow tests.
over_briefs = pytest.mark.parametrize(
    "name",
    [name if name == "bundle" else pytest.param(name, marks=pytest.mark.slow) for name in NAMES],
)


@over_briefs
@pytest.mark.parametrize(
    ("command", "extra", "options", "model"),
    [
        ("pick", {}, (), KitRecord),
        ("ladder", BETWEEN, ("--from", "40", "--to", "50"), LadderRecord),
        ("others", {"count": 2, "lines": True}, ("--count", "2", "--lines"), OthersRecord),
        ("why", {"sku": "SC-HERON"}, ("SC-HERON",), WhyRecord),
        ("why", {"sku": "SC-GULLWING"}, ("SC-GULLWING",), WhyRecord),
    ],
    ids=["pick", "ladder", "others", "why in", "why not in"],
)
def test_every_answer_is_byte_for_byte_the_command_s(client, name, command, extra, options, model):
    answer = client.post(f"/api/{command}", json={"brief": asked(name), **extra})
    assert answer.status_code == 200
    assert answer.text == written(command, SHOP, DEMO / f"{name}.toml", *options)
    model.model_validate_json(answer.text)


@over_briefs
@pytest.mark.parametrize(
    ("command", "extra", "options", "model"),
    [
        ("pick", LOW, ("--cap", "5.00"), KitRecord),
        ("ladder", {"from": "1.00", "to": "5.00"}, ("--from", "1", "--to", "5"), LadderRecord),
        ("others", LOW | {"count": 2}, ("--cap", "5.00", "--count", "2"), KitRecord),
        ("why", LOW | {"sku": "SC-HERON"}, ("SC-HERON", "--cap", "5.00"), WhyRecord),
    ],
    ids=["pick", "ladder", "others", "why"],
)
def test_so_it_is_where_there_is_no_kit(client, name, command, extra, options, model):
    answer = client.post(f"/api/{command}", json={"brief": asked(name), **extra})
    assert answer.status_code == 200
    assert answer.text == written(command, SHOP, DEMO / f"{name}.toml", *options)
    model.model_validate_json(answer.text)
    told = answer.json()
    if command == "ladder":
        assert told["rungs"] == []
    else:
        assert told["verdict" if command == "why" else "status"] == "no kit"


def test_settings_change_the_brief_as_they_do_for_a_command(client):
    body = {"brief": asked("bundle"), "sets": ["needs.fabric.max_price=3.00"]}
    sets = ("--set", "needs.fabric.max_price=3.00")
    written_too = written("pick", SHOP, DEMO / "bundle.toml", *sets)
    assert client.post("/api/pick", json=body).text == written_too


@pytest.mark.parametrize("name", NAMES)
def test_a_saved_kit_is_held_against_today_s_catalogue(client, tmp_path, name):
    saved = written("pick", SHOP, DEMO / f"{name}.toml")
    (tmp_path / "kit.json").write_text(saved, encoding="utf-8")
    answer = client.post("/api/recheck", json={"kit": json.loads(saved)})
    assert answer.text == written("recheck", tmp_path / "kit.json", SHOP)
    assert RecheckRecord.model_validate_json(answer.text).stands


def test_what_is_no_saved_kit_is_told_as_a_finding(client):
    broken = client.post("/api/recheck", json={"kit": {"schema": "kitsolver/kit/1"}})
    assert broken.status_code == 422
    assert broken.json()["findings"]


def test_a_catalogue_that_is_handed_in_can_be_named(client):
    rows = SHOP.read_bytes()
    blank = b"," * (rows.partition(b"\n")[0].count(b",") - 4)
    text = rows + b"ZZ-BAD,bad,bag,x,5" + blank + b"\n"
    handed = client.post("/api/catalogues?name=mine.csv&currency=EUR", content=text)
    assert handed.status_code == 201
    told = handed.json()
    (finding,) = [one for one in told["findings"] if one["level"] == "error"]
    assert (finding["file"], finding["row"], finding["column"]) == ("mine.csv", 402, "price")
    assert told["usable_rows"] == 400
    body = {"brief": asked("bundle"), "catalogue": told["catalogue"]}
    assert client.post("/api/pick", json=body).status_code == 422
    good = client.post("/api/pick", json=body | {"skip_bad_rows": True})
    (left_out,) = good.json()["skipped"]
    assert left_out == {"kind": "refused", "category": "bag", "rows": 1}
    whole = json.loads(written("pick", SHOP, DEMO / "bundle.toml"))
    assert good.json() | {"skipped": []} == whole
    again = client.get(f"/api/catalogues/{told['catalogue']}?currency=EUR").json()
    assert again["findings"] == told["findings"]
    FindingsRecord.model_validate(again)
    own = client.get("/api/catalogues/page?currency=EUR").json()
    assert (own["catalogue"], own["usable_rows"]) == (SHOP.name, 400)


def test_what_is_too_large_is_refused(client, monkeypatch):
    far_over = client.post("/api/catalogues", content=b"x" * (catalogue_store.MOST_BYTES + 2**19))
    assert far_over.status_code == 413
    over = client.post("/api/catalogues", content=b"x" * (catalogue_store.MOST_BYTES + 1))
    assert over.status_code == 422
    assert over.json()["findings"][0]["code"] == "too-many-bytes"
    monkeypatch.setattr(catalogue_store, "MOST_ROWS", 3)
    assert client.post("/api/catalogues", content=b"\n" * 3).json()["findings"][0]["code"] != (
        "too-many-rows"
    )
    answer = client.post("/api/catalogues", content=b"\n" * 4)
    assert answer.status_code == 422
    assert answer.json()["findings"][0]["code"] == "too-many-rows"


def test_what_comes_in_parts_is_counted_too(client):
    parts = (b"x" * 2**20 for _ in range(18))
    assert client.post("/api/catalogues", content=parts).status_code == 413


def test_only_the_last_few_catalogues_are_kept(client):
    digests = [
        client.post("/api/catalogues", content=f"sku,n{number}\n".encode()) for number in range(10)
    ]
    assert all(answer.status_code == 422 for answer in digests)
    first = client.post("/api/catalogues", content=SHOP.read_bytes() + b"\n").json()["catalogue"]
    body = {"brief": PLAIN, "catalogue": first}
    assert client.post("/api/pick", json=body).status_code == 200
    for number in range(32):
        client.post("/api/catalogues", content=f"sku,m{number}\n".encode())
    for never_there in (body, body | {"catalogue": "0" * 16}):
        forgotten = client.post("/api/pick", json=never_there)
        assert forgotten.status_code == 404
        assert forgotten.json()["findings"][0]["code"] == "catalogue-forgotten"


@pytest.mark.parametrize(
    ("body", "column"),
    [
        ({"brief": PLAIN | {"cap": "x"}}, "cap"),
        ({"brief": PLAIN | {"colour": "red"}}, "colour"),
        ({"brief": PLAIN, "cap": "1.234"}, "cap"),
        ({"brief": PLAIN, "sets": ["nothing"]}, None),
        ({"brief": PLAIN, "choose": []}, "choose"),
        ({}, "brief"),
        ({"brief": []}, "brief"),
        ({"brief": PLAIN | {"choose": {"keep": ["NONE"]}}}, "choose.keep"),
    ],
)
def test_a_body_that_cannot_be_used_is_told_by_its_key(client, body, column):
    answer = client.post("/api/pick", json=body)
    assert answer.status_code == 422
    assert column in {finding["column"] for finding in answer.json()["findings"]}


def test_other_questions_have_their_own_findings(client):
    for path, body, code in (
        ("ladder", {"brief": PLAIN, "from": "70.00"}, "ladder-upside-down"),
        ("ladder", {"brief": PLAIN, "to": "1.005"}, "sum-too-fine"),
        ("others", {"brief": PLAIN, "count": 99}, "not-understood"),
        ("others", {"brief": PLAIN, "apart": 10**30}, "not-understood"),
        ("why", {"brief": PLAIN, "sku": "NONE"}, "unknown-sku"),
    ):
        answer = client.post(f"/api/{path}", json=body)
        assert answer.status_code == 422
        assert answer.json()["findings"][0]["code"] == code


def test_what_is_no_json_is_told_as_a_finding(client):
    for content in (b"{", b"\xff\xfe", b"[1]", b'{"brief": 1e999}', b"[" * 10_000):
        answer = client.post("/api/pick", content=content, headers=JSON)
        assert 400 <= answer.status_code < 500
        assert answer.json()["findings"]


def test_no_body_goes_so_deep_that_it_stops_the_page(client):
    deep = b'{"a":' * 900 + b"1" + b"}" * 900
    for path, key in (("pick", b"brief"), ("recheck", b"kit")):
        answer = client.post(f"/api/{path}", content=b'{"%s":%s}' % (key, deep), headers=JSON)
        assert answer.status_code == 422
        assert "nested too deeply" in answer.json()["findings"][0]["sentence"]
        assert client.post("/api/pick", json={"brief": PLAIN}).status_code == 200


@pytest.mark.parametrize("place", ["title", "no such key", "a list"])
def test_half_a_character_is_told_as_a_finding(client, place):
    half = "\ud83e"
    changed = {
        "title": {"title": half},
        "no such key": {half: "x"},
        "a list": {"choose": {"keep": [half]}},
    }[place]
    content = json.dumps({"brief": PLAIN | changed}).encode()
    answer = client.post("/api/pick", content=content, headers=JSON)
    assert answer.status_code == 422
    assert "half a character" in answer.json()["findings"][0]["sentence"]


def test_the_api_describes_the_brief_and_every_record(client):
    described = client.get("/api/openapi.json").json()
    assert {f"/api/{name}" for name in ("pick", "ladder", "others", "why", "recheck")} <= set(
        described["paths"]
    )
    schemas = described["components"]["schemas"]
    assert set(schemas) >= RECORDS
    assert "shared_by" in json.dumps(schemas)
    # The views of the page are for people.
    assert "/kit.json" not in described["paths"]


def test_only_this_machine_s_own_page_may_ask(client):
    for headers, status in (
        ({"host": "shop.example"}, 421),
        ({"host": "127.0.0.1.shop.example:8137"}, 421),
        ({"host": "localhost:8137"}, 200),
        ({"host": "[::1]:8137"}, 200),
        ({"origin": "http://shop.example"}, 403),
        ({"origin": "null"}, 403),
        ({"origin": "http://127.0.0.1:9999"}, 403),
        ({"origin": "http://127.0.0.1:8137"}, 200),
        ({"sec-fetch-site": "cross-site", "sec-fetch-mode": "no-cors"}, 403),
        ({"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate"}, 200),
        ({"sec-fetch-site": "same-origin"}, 200),
    ):
        assert client.get("/", headers=headers).status_code == status, headers
    crossed = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate"}
    assert client.post("/brief", data={"text": "x"}, headers=crossed).status_code == 403


def test_every_answer_says_what_a_browser_may_do_with_it(client):
    for answer in (
        client.get("/"),
        client.get("/nowhere"),
        client.get("/", headers={"host": "shop.example"}),
        client.get("/?cap=1"),
        client.post("/api/pick", json={}),
        client.post("/api/pick", content=b"{", headers=JSON),
        client.post("/api/pick", headers=JSON | {"content-length": "999999999"}),
        client.get("/", headers={"origin": "http://shop.example"}),
        client.get("/api/openapi.json"),
        client.get("/sheet?currency=EUR&cap=30"),
    ):
        assert "default-src 'none'" in answer.headers["content-security-policy"]
        assert "frame-ancestors 'none'" in answer.headers["content-security-policy"]
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["referrer-policy"] == "same-origin"


def test_no_file_is_reachable_by_its_name(client):
    for path in (
        "/../pyproject.toml",
        "/%2e%2e/%2e%2e/etc/passwd",
        "/page.css/../app.py",
        "/static/page.js",
        "/templates/kit.html",
        "/app.py",
        f"/{SHOP}",
        "/api/catalogues/..%2f..%2fetc%2fpasswd",
    ):
        answer = client.get(path)
        assert answer.status_code == 404, path
        assert "root:" not in answer.text


@pytest.mark.parametrize(
    ("more", "key"),
    [
        ({"brief": PLAIN | {"home": {"from": "/etc/hosts"}}}, "home.from"),
        ({"brief": PLAIN, "sets": ["home.from=sqlite:///x.db#t"]}, "home.from"),
        ({"brief": PLAIN | {"home": {"from": "a.csv", "columns": "m.toml"}}}, "home.columns"),
    ],
)
def test_a_home_list_is_read_by_no_name(client, more, key):
    answer = client.post("/api/pick", json=more)
    assert answer.status_code == 422
    found = [(each["code"], each["column"]) for each in answer.json()["findings"]]
    assert ("home-list-named", key) in found
