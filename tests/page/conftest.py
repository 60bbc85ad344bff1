"""The page as it is started from the command line, and a browser to look at it with."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from kitsolver import read_brief
from kitsolver.page.address import Address
from kitsolver.page.app import application

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP = DEMO / "tormellick-whelk.csv"
BROWSERS = ("chromium", "chromium-browser", "google-chrome")


@pytest.fixture(scope="session")
def served():
    """Give the address of the demo's page, served by a process of its own."""
    files = [str(SHOP), str(DEMO / "bundle.toml")]
    command = [sys.executable, "-m", "kitsolver", "page", *files, "--port", "0"]
    with subprocess.Popen(command, stderr=subprocess.PIPE, text=True) as process:
        told = process.stderr.readline()
        yield told.split(" at ")[1].split(" ")[0]
        process.terminate()
        process.wait(20)
        rest = process.stderr.read()
    assert "Traceback" not in rest, rest


@pytest.fixture(scope="module")
def client():
    """Give a client of the demo's page, served within the tests' own process."""
    start = Address({}).asking(read_brief(DEMO / "bundle.toml"))
    app = application(SHOP.name, SHOP.read_bytes(), start)
    with TestClient(app, base_url="http://127.0.0.1:8137") as opened:
        yield opened


@pytest.fixture(scope="session")
def browser():
    """Give a browser; without one what needs it is skipped."""
    program = next((path for name in BROWSERS if (path := shutil.which(name))), None)
    if program is None:
        pytest.skip("no browser is installed here (.ci/run installs chromium)")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as started:
        opened = started.chromium.launch(executable_path=program, args=["--no-sandbox"])
        yield opened
        opened.close()


@pytest.fixture
def open_page(browser, served):
    """Give what opens a view; no script of a view may fail, and nothing else may be asked for."""
    contexts, faults = [], []

    def said(message):
        # That an answer tells of bad input is no fault of the page.
        if message.type == "error" and "status of 422" not in message.text:
            faults.append(message.text)

    def asked_for(request):
        if not request.url.startswith((served, "data:")):
            faults.append(request.url)

    def opened(path="/", **how):
        context = browser.new_context(**how)
        contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda fault: faults.append(str(fault)))
        page.on("console", said)
        page.on("request", asked_for)
        page.goto(served.rstrip("/") + path)
        return page

    yield opened
    for context in contexts:
        context.close()
    assert not faults
