"""Every link of every view leads somewhere, and each answer is HTML that is valid."""

import html
import re
from pathlib import Path
from urllib.parse import urljoin, urlsplit

import html5lib
import pytest

START = (
    "/begin",
    "/?currency=EUR&cap=30.00",
    "/?currency=EUR&cap=216&heads=12&spare=1",
    "/?currency=EUR&cap=30.00&copies=40",
    "/?currency=EUR&cap=5.00",
    "/several?currency=EUR&cap=30.00",
    # Views that no link of these leads to.
    "/begin?start=class&goods=own",
    "/ladder?currency=EUR&cap=30.00",
    "/shelves?currency=EUR&cap=30.00&words=gauge",
    "/at-home?currency=EUR&cap=30.00&words=Lamp",
    "/goods?currency=EUR&cap=30.00",
    "/change?way=one&currency=EUR&cap=1,234",
    "/line/x",
)
# Of links that differ only in what they ask for so many are followed.
_MOST_ALIKE = 1
WRITTEN = Path(__file__).parents[2] / "kitsolver" / "page" / "views"


def links(page, at):
    """Yield the addresses that a page leads to."""
    for found in re.findall(r'<a [^>]*href="([^"]+)"', page):
        address = urlsplit(urljoin(at, html.unescape(found)))
        if not found.startswith("#"):
            yield f"{address.path}?{address.query}"


def kind(address):
    """Return what links have in common that ask for the same sort of thing."""
    parts = urlsplit(address)
    keys = re.findall(r"(?:^|&)([^=&]+)=", parts.query)
    return parts.path, tuple(sorted(set(keys)))


@pytest.mark.slow
@pytest.mark.parametrize("start", START)
def test_every_link_from_a_view_leads_to_valid_html_or_a_file(client, start):
    first = client.get(start).text
    seen = {}
    for address in links(first, start):
        alike = seen.setdefault(kind(address), [])
        if len(alike) < _MOST_ALIKE and address not in alike:
            alike.append(address)
    every = [address for alike in seen.values() for address in alike]
    for address in every:
        answer = client.get(address)
        # A picking list that the stock does not make is refused.
        assert answer.status_code == 200 or "copies=40" in address, address
        assert answer.status_code < 500, address
        if answer.headers["content-type"].startswith("text/html"):
            html5lib.HTMLParser(strict=True).parse(answer.text)


@pytest.mark.slow
def test_every_view_is_a_start_or_led_to_by_one(client):
    written = "".join(path.read_text(encoding="utf-8") for path in WRITTEN.glob("*.py"))
    views = set(re.findall(r'@router\.get\("([^"{]+)', written))
    came_by = [*START, *(link for start in START for link in links(client.get(start).text, start))]
    paths = {urlsplit(address).path for address in came_by}
    missed = {view for view in views if not any(path.startswith(view) for path in paths)}
    # Kits are kept, and may be looked at again, only where the page has a folder for them.
    assert missed - {"/"} == {"/kept"}
