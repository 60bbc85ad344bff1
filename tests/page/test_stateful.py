"""One step after the other in any order: from goods handed in to a brief, a kit, and back again.

What the API answers is held against its own description, and against what the page shows of the
same. ``KITSOLVER_EXAMPLES=200 pytest -m slow tests/page/test_stateful.py`` takes more ways than CI.
"""

import csv
import html
import io
import json
import os
import re
import tomllib
from pathlib import Path
from urllib.parse import urlsplit

import httpx
import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, assume, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    Bundle,
    RuleBasedStateMachine,
    initialize,
    rule,
    run_state_machine_as_test,
)
from test_openapi import CHECKS, PATIENCE

SHOP = (Path(__file__).parents[2] / "catalogues" / "tormellick-whelk.csv").read_text("utf-8")
EXAMPLES = int(os.environ.get("KITSOLVER_EXAMPLES", 3))
# So few that none is forgotten while the page runs.
GOODS = st.integers(0, 7)
BRIEF = 'currency = "EUR"\ncap = "{cap}"\n{more}\n'
CAPS = st.integers(2_000, 5_000).map(lambda cents: f"{cents / 100:.2f}")
MORE = st.sampled_from(
    [
        "",
        "heads = 2",
        "[extras]\nmost = 1",
        "[needs.fabric]\nmax_price = 9.00",
        '[needs.fabric.only]\nweave = ["aida"]',
        '[choose]\nleave_out = ["CH-URCHIN"]',
    ]
)


def goods(number):
    """Return the shop's goods without every so-manieth extra, so that no two are alike."""
    header, *rows = SHOP.splitlines()
    kept = [row for place, row in enumerate(rows) if place % 11 != number or row.startswith("TH-")]
    return "\r\n".join([header, *kept])


def sound(answer):
    """Return the text of an answer; a way ends where a busy machine runs out of time."""
    assume(answer.status_code not in (503, 504))
    assert answer.status_code == 200, answer.text[:2_000]
    return answer.text


class FromGoodsToKitAndBack(RuleBasedStateMachine):
    """The page and its API, asked in any order for what earlier answers make it possible to ask."""

    # Of what was asked so far: the digest of the goods, the parameters, and the brief.
    asked = Bundle("asked")
    described: schemathesis.BaseSchema
    client: httpx.Client

    def api(self, path, **body):
        """Return the text that the API gives, held against its description."""
        operation = self.described[path]["POST"]
        case = operation.Case(body=body, media_type="application/json")
        answer = case.call(timeout=PATIENCE)
        case.validate_response(answer, checks=CHECKS)
        return sound(answer)

    def page(self, path, query, **more):
        """Return the text of a view or a file."""
        answer = self.client.get(path, params=httpx.QueryParams(query).merge(more))
        return sound(answer)

    def kit(self, query):
        """Return the record of the kit that the page offers as a file."""
        return json.loads(self.page("/kit.json", query))

    def hand_in(self, number):
        """Return the digest of goods that are handed in."""
        text = goods(number)
        answer = self.client.post("/api/catalogues", content=text.encode())
        told = answer.json()
        assert answer.status_code == 201
        again = self.client.get(f"/api/catalogues/{told['catalogue']}").json()
        assert again["findings"] == told["findings"]
        assert again["usable_rows"] == told["usable_rows"] == text.count("\r\n")
        return told["catalogue"]

    @initialize(target=asked, number=GOODS, cap=CAPS, more=MORE)
    def begin(self, number, cap, more):
        return self.ask(number, cap, more)

    @rule(target=asked, number=GOODS, cap=CAPS, more=MORE)
    def ask_anew(self, number, cap, more):
        return self.ask(number, cap, more)

    def ask(self, number, cap, more):
        """Hand in goods and a brief as text; return what is asked then."""
        catalogue = self.hand_in(number)
        form = {"text": BRIEF.format(cap=cap, more=more), "was": f"catalogue={catalogue}"}
        answer = self.client.post("/brief", data=form, follow_redirects=False)
        assert answer.status_code == 303
        query = urlsplit(answer.headers["location"]).query
        assert f"catalogue={catalogue}" in query
        return catalogue, query, tomllib.loads(self.page("/brief.toml", query))

    @rule(target=asked, before=asked, cap=CAPS)
    def move_the_cap(self, before, cap):
        catalogue, query, brief = before
        moved = str(httpx.QueryParams(query).set("cap", cap))
        found = tomllib.loads(self.page("/brief.toml", moved))
        assert found == brief | {"cap": cap}
        return catalogue, moved, found

    @rule(kit=asked)
    def pick(self, kit):
        catalogue, query, brief = kit
        text = self.api("/api/pick", brief=brief, catalogue=catalogue)
        assert self.page("/kit.json", query) == text
        shown = self.page("/", query)
        assert all(line["sku"] in shown for line in json.loads(text)["lines"])

    @rule(kit=asked, reader=st.sampled_from(["customer", "shop"]))
    def take_the_sheet_along(self, kit, reader):
        _, query, _ = kit
        skus = [line["sku"] for line in self.kit(query)["lines"]]
        sheet = self.page("/sheet", query, reader=reader)
        assert all(sku in sheet for sku in skus)
        rows = csv.DictReader(io.StringIO(self.page("/kit.csv", query)))
        assert [row["sku"] for row in rows] == skus

    @rule(target=asked, kit=asked)
    def come_back_with_the_saved_file(self, kit):
        catalogue, query, _ = kit
        record = self.kit(query)
        saved = {"file": ("kit.json", json.dumps(record).encode())}
        answer = self.client.post("/saved", files=saved, data={"was": f"catalogue={catalogue}"})
        assert answer.status_code == 200
        links = [html.unescape(link) for link in re.findall(r'href="(/\?[^"]+)"', answer.text)]
        again = next(urlsplit(link).query for link in links if "choose.keep" in link)
        assert self.kit(again)["lines"] == record["lines"]
        return catalogue, again, tomllib.loads(self.page("/brief.toml", again))

    @rule(kit=asked, number=GOODS)
    def recheck(self, kit, number):
        catalogue, query, _ = kit
        today = self.hand_in(number)
        told = json.loads(self.api("/api/recheck", kit=self.kit(query), catalogue=today))
        assert told["stands"] or today != catalogue

    @rule(kit=asked, place=st.integers(0, 100))
    def ask_why(self, kit, place):
        catalogue, query, brief = kit
        lines = self.kit(query)["lines"]
        sku = lines[place % len(lines)]["sku"]
        told = json.loads(self.api("/api/why", brief=brief, catalogue=catalogue, sku=sku))
        assert told["verdict"] == "in the best kit"

    @rule(kit=asked)
    def look_for_others(self, kit):
        catalogue, query, brief = kit
        told = json.loads(self.api("/api/others", brief=brief, catalogue=catalogue, count=1))
        skus = [line["sku"] for line in self.kit(query)["lines"]]
        assert sorted(told["best"]["skus"]) == sorted(skus)

    @rule(kit=asked)
    def climb_the_ladder(self, kit):
        catalogue, query, brief = kit
        record = self.kit(query)
        ends = {"from": record["cap"], "to": record["cap"]}
        text = self.api("/api/ladder", brief=brief, catalogue=catalogue, **ends)
        (rung,) = json.loads(text)["rungs"]
        assert rung["quality"] == record["quality"]


@pytest.mark.slow
def test_any_way_through_page_and_api_holds_together(served):
    FromGoodsToKitAndBack.described = schemathesis.openapi.from_url(f"{served}api/openapi.json")
    with httpx.Client(base_url=served, timeout=PATIENCE) as client:
        FromGoodsToKitAndBack.client = client
        run_state_machine_as_test(
            FromGoodsToKitAndBack,
            settings=settings(
                max_examples=EXAMPLES,
                stateful_step_count=12,
                derandomize="KITSOLVER_EXAMPLES" not in os.environ,
                deadline=None,
                # To make a way shorter takes longer than to read it.
                phases=[Phase.generate],
                suppress_health_check=list(HealthCheck),
            ),
        )
