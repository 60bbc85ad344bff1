"""What is kept in a folder from one visit to the next, and the file that starts the page."""

import html
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import httpx
import pytest
from starlette.testclient import TestClient
from test_own_goods import EXPORTS, begun, form_of
from typer.testing import CliRunner

from kitsolver import BadInput
from kitsolver.cli import app as command
from kitsolver.page.address import Address
from kitsolver.page.app import application
from kitsolver.page.kept_folder import KeptFolder
from kitsolver.page.shortcut import write_shortcut

OWN = b"sku,name,category,price,quality\nA,a bag,bag,1.00,50\nB,a sack,bag,2.00,60\n"
ASKED = "currency=EUR&cap=3&holds=%5B%22bag%22%5D&title=Mine"


def visit(folder):
    """Return a client of a page that keeps what is handed in, started anew."""
    start = Address.read([("currency", "EUR"), ("cap", "3"), ("holds", '["bag"]')])
    app = application("own.csv", OWN, start, kept=KeptFolder(folder))
    return TestClient(app, base_url="http://127.0.0.1:8137")


@pytest.mark.slow
def test_a_new_export_with_the_same_columns_uses_its_map_and_says_so(tmp_path):
    content = (EXPORTS / "till.csv").read_bytes()
    with visit(tmp_path / "kept") as client:
        match = form_of(client.get(begun(client, content, "monday.csv")).text)
        number = next(name for name, value in match.items() if value == "Bewertung")[1:]
        match[f"m{number}"] = ""
        client.post("/goods", data=match)
    with visit(tmp_path / "kept") as client:
        assert "monday.csv" in client.get("/begin").text
        text = client.get(begun(client, content + b"\r\n", "tuesday.csv")).text
        assert "they are read by the same map" in text
        assert form_of(text)[f"m{number}"] == ""


@pytest.mark.slow
def test_a_kit_is_kept_and_looked_at_again(tmp_path):
    with visit(tmp_path / "kept") as client:
        assert "Keep this kit" in client.get("/").text
        assert client.post("/keep", data={"was": ASKED}).status_code == 200
    with visit(tmp_path / "kept") as client:
        shown = client.get("/begin").text
        assert "2.00 EUR, kept on 2" in shown
        link = html.unescape(shown.partition('<a href="/kept')[2].partition('"')[0])
        assert "It still stands" in client.get(f"/kept{link}").text
        for name in ("../kept", "0123456789abcdef", "%2e%2e%2fkept"):
            assert client.get(f"/kept?name={name}").status_code == 404


@pytest.mark.slow
def test_a_home_list_is_kept_as_one_and_goes_with_the_next_kit(tmp_path):
    with visit(tmp_path / "kept") as client:
        files = {"file": ("drawer.csv", b"sku,stock\nB,1\n", "text/csv")}
        assert client.post("/home", files=files, data={"was": ASKED}).status_code == 200
    with visit(tmp_path / "kept") as client:
        shown = client.get("/begin").text
        assert "Goods handed in before" not in shown
        link = html.unescape(re.search(r'href="([^"]+)">drawer.csv</a>', shown)[1])
        begun = client.get(link).text
        assert "From drawer.csv: what is there is taken first." in begun
        was = html.unescape(re.search(r'name="was" value="([^"]*)"', begun)[1])
        sent = {"sum": "3", "currency": "EUR", "way": "one", "was": was}
        answer = client.post("/begin", data=sent, follow_redirects=False)
        assert "home_list=" in answer.headers["location"]


@pytest.mark.slow
def test_nothing_is_kept_unless_a_folder_is_named(client):
    assert "Keep this kit" not in client.get(f"/?{ASKED}").text


@pytest.mark.parametrize(
    "index",
    [
        *("[", "[]", "[" * 2000, '{"files": []}', '{"maps": {"0123456789abcdef": []}}'),
        '{"kits": {"0123456789abcdef": {"title": "A kit"}}}',
    ],
    ids=["cut off", "a list", "nested too deeply", "no names", "no map", "a kit without a day"],
)
def test_a_folder_that_cannot_be_used_is_a_finding(index, tmp_path):
    (tmp_path / "kept.json").write_text(index, encoding="utf-8")
    with pytest.raises(BadInput, match="index is not readable"):
        KeptFolder(tmp_path)
    done = CliRunner().invoke(command, ["page", "--keep", str(tmp_path), "--port", "0"])
    assert done.exit_code == 2


@pytest.mark.skipif(os.name == "nt", reason="the script is for other systems")
def test_a_script_starts_what_it_was_written_for(tmp_path):
    file = tmp_path / "my kits"
    words = [sys.executable, "-c", "import sys; print(sys.argv[1:])", "a b", "it's", '"q"']
    write_shortcut(str(file), words)
    done = subprocess.run([str(file)], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == str(words[3:])


def test_a_shortcut_names_its_files_in_full(tmp_path):
    shop = Path(__file__).parents[2] / "catalogues" / "tormellick-whelk.csv"
    file = tmp_path / "start.bat"
    where = os.path.relpath(shop)
    options = ["--shortcut", str(file), "--home", where, "--read", "delimiter=;"]
    done = CliRunner().invoke(command, ["page", where, *options])
    assert done.exit_code == 0
    text = file.read_text(encoding="utf-8")
    assert f"--home {shop.resolve()} --read" in text.replace('"', "").replace("'", "")
    assert str(shop.resolve()) in text
    assert "--open" in text
    assert json.dumps("") not in text


@pytest.mark.slow
@pytest.mark.parametrize("named", ["in the brief", "by an option"])
def test_the_page_begins_with_the_home_list_that_it_is_started_with(tmp_path, named):
    demo = Path(__file__).parents[2] / "catalogues"
    (tmp_path / "drawer.csv").write_text("sku,stock\nSC-HERON,1\n", encoding="utf-8")
    brief = (demo / "bundle.toml").read_text(encoding="utf-8")
    asked, options = tmp_path / "asked.toml", ["--home", str(tmp_path / "drawer.csv")]
    if named == "in the brief":
        brief, options = brief + '\n[home]\nfrom = "drawer.csv"\n', []
    asked.write_text(brief, encoding="utf-8")
    words = ["page", str(demo / "tormellick-whelk.csv"), str(asked), *options, "--port", "0"]
    start = [sys.executable, "-m", "kitsolver", *words]
    with subprocess.Popen(start, stderr=subprocess.PIPE, text=True) as process:
        address = process.stderr.readline().split(" at ")[1].split(" ")[0]
        shown = httpx.get(address, follow_redirects=True, timeout=60).text
        process.terminate()
    assert "From drawer.csv: what is there is taken first." in shown
    assert str(tmp_path) not in shown


@pytest.mark.slow
def test_a_home_list_that_is_handed_in_is_taken_from_first(client):
    asked = "currency=EUR&cap=30.00&choose.keep=%5B%22SC-HERON%22%5D"
    sent = {"was": asked}
    files = {"file": ("drawer.csv", b"sku,stock\nSC-HERON,1\n")}
    answer = client.post("/home", files=files, data=sent, follow_redirects=False)
    assert answer.status_code == 303
    shown = client.get(answer.headers["location"]).text
    assert "From drawer.csv: what is there is taken first." in shown
    line = shown.partition('id="d-SC-HERON"')[2].partition("</summary>")[0]
    assert '<span class="sum">0.00</span>' in line
    wrong = {"file": ("drawer.csv", b"sku,stock\nSC-HERON,much\n")}
    assert client.post("/home", files=wrong, data=sent).status_code == 422
