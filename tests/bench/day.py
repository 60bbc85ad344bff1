"""A day of use at the page: the stories of its users, each told by a seeded visitor."""

from __future__ import annotations

import html
import random
import re
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import httpx
from shop import shop_text

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP = (DEMO / "tormellick-whelk.csv").read_text(encoding="utf-8")
BRIEFS = tuple(
    (DEMO / f"{name}.toml").read_text(encoding="utf-8") for name in ("bundle", "class-of-twelve")
)
CUPBOARD = (DEMO / "cupboard.csv").read_text(encoding="utf-8")
# Too much at once, out of time, and goods that were forgotten since.
PATIENT = {503, 504, 404}
REFUSED = {400, 404, 405, 413, 414, 421, 422}


class Visitor:
    """Somebody at the page, who notes each answer that should not have been.

    Parameters
    ----------
    client : httpx.Client
        Asks the page.
    seed : int
        Of what the visitor does.
    """

    def __init__(self, client: httpx.Client, seed: int) -> None:
        self.client, self.draw = client, random.Random(seed)
        self.answers: Counter[int] = Counter()
        self.errors: list[str] = []

    def ask(
        self, path: str, *, method: str = "GET", refused: bool = False, **sent: object
    ) -> httpx.Response | None:
        """Return an answer; None where the page asks for patience, or the answer is an error."""
        try:
            answer = self.client.request(method, path, **sent)  # type: ignore[arg-type]
        except httpx.HTTPError as fault:
            self.answers[0] += 1
            self.errors.append(f"{type(fault).__name__} for {method} {path[:200]}")
            return None
        status = answer.status_code
        self.answers[status] += 1
        sound = {200, 201} | (REFUSED if refused else set())
        if status not in sound | PATIENT or "Traceback" in answer.text:
            self.errors.append(f"{status} for {method} {path[:200]}: {words_of(answer.text)}")
        return answer if status in sound else None

    def post(self, path: str, **sent: object) -> httpx.Response | None:
        """Return the answer to what is sent."""
        return self.ask(path, method="POST", **sent)  # type: ignore[arg-type]

    def begin(self, files: object = None, **said: str) -> httpx.Response | None:
        """Return what the completed sentence of the beginning leads to."""
        return self.post("/begin", data={"sum": self.sum(), "currency": "EUR"} | said, files=files)

    def sum(self, low: int = 12, high: int = 90) -> str:
        """Return a sum that was hardly asked before."""
        return f"{self.draw.randrange(100 * low, 100 * high) / 100:.2f}"

    def follow(self, shown: httpx.Response | None, number: int) -> None:
        """Follow links, each from the view that the last one led to."""
        for _ in range(number):
            if shown is None or "text/html" not in shown.headers["content-type"]:
                return
            links = re.findall(r'<a [^>]*href="(/[^"]*)"', shown.text)
            if not links:
                return
            address = html.unescape(self.draw.choice(links))
            # More copies than the stock makes are refused, and told.
            shown = self.ask(address, refused="copies=" in address) or shown


def words_of(text: str) -> str:
    """Return the beginning of what an answer says, without its markup."""
    return " ".join(re.sub(r"<[^>]*>", " ", text.partition("<main")[2] or text).split())[:200]


def query_of(answer: httpx.Response) -> str:
    """Return the parameters of the address that an answer came from."""
    return answer.url.query.decode()


def assistant(visitor: Visitor) -> None:
    """Make bundles to sell: move the cap, look beside the kit, print the picking list."""
    shown = visitor.begin(way="bundles", number=str(visitor.draw.randrange(1, 9)))
    if shown is None:
        return
    query = query_of(shown)
    visitor.ask(f"/ladder?{query}")
    for _ in range(4):
        moved = re.sub(r"\bcap=[^&]*", f"cap={visitor.sum()}", query)
        shown = visitor.ask(f"/?{moved}") or shown
    query = query_of(shown)
    skus = re.findall(r'data-sku="([^"]+)"', shown.text)
    for sku in visitor.draw.sample(skus, min(2, len(skus))):
        visitor.ask(f"/why?{query}&sku={sku}")
        visitor.ask(f"/others?{query}&sku={sku}")
    visitor.ask(f"/shelves?{query}&words={visitor.draw.choice(['thread', 'blue', 'x', 'hoop'])}")
    if skus:
        visitor.ask(f"/sheet?{query}&reader=shop&copies=1")
        visitor.ask(f"/kit.csv?{query}")
    visitor.follow(shown, 3)


def teacher(visitor: Visitor) -> None:
    """Make kits for a class beside what is at home, change the wishes, and print the sheet."""
    shown = visitor.begin(sum=visitor.sum(150, 400), way="class", number="12")
    if shown is None:
        return
    listed = CUPBOARD + f"X-{visitor.draw.random()},Pen,marker,3,,,,,,,,,50,drawer\r\n"
    sent = {"file": ("cupboard.csv", listed.encode())}
    visitor.post("/home", data={"was": query_of(shown)}, files=sent)
    ticks = visitor.ask(f"/at-home?{query_of(shown)}")
    if ticks is not None:
        skus = re.findall(r'name="sku" value="([^"]+)"', ticks.text)
        chosen = visitor.draw.sample(skus, min(5, len(skus)))
        shown = visitor.post("/at-home", data={"was": query_of(shown), "sku": chosen}) or shown
    wishes = {"was": query_of(shown), "currency": "EUR", "cap": visitor.sum(150, 400)}
    changed = visitor.ask("/change", params=wishes | {"heads": "12", "way": "class"}) or shown
    visitor.ask(f"/sheet?{query_of(changed)}")
    visitor.ask(f"/several?currency=EUR&cap={visitor.sum(30, 60)}&kits=2&distinct=chart")
    visitor.follow(changed, 3)


def stitcher(visitor: Visitor) -> None:
    """Make one kit, keep it, send it, and come back with the saved file."""
    shown = visitor.begin(way="one")
    if shown is None:
        return
    query = query_of(shown)
    saved = visitor.ask(f"/kit.json?{query}")
    visitor.ask(f"/friend?{query}")
    visitor.post("/keep", data={"was": query})
    visitor.ask(f"/brief.toml?{query}")
    visitor.ask(f"/ladder.json?currency=EUR&cap={visitor.sum(12, 40)}")
    if saved is not None and saved.json()["status"] == "best":
        held = visitor.post("/saved", files={"file": ("kit.json", saved.content)})
        visitor.follow(held, 2)
    visitor.post("/brief", data={"text": visitor.draw.choice(BRIEFS)})
    visitor.follow(shown, 3)


def newcomer(visitor: Visitor) -> None:
    """Hand in goods of one's own, look at what was found in them, and ask for a kit of them."""
    seed, size = visitor.draw.randrange(10**9), visitor.draw.choice((30, 30, 30, 300))
    text = shop_text(charts=size, others=3 * size, seed=seed)
    if visitor.draw.random() < 0.3:
        text = text.replace("sku,name", "Artikel,Bezeichnung", 1)
    sent = {"file": (f"goods-{seed}.csv", text.encode())}
    shown = visitor.begin(sent, goods="own", way="one")
    if shown is None:
        return
    chosen = visitor.post("/goods", data=match_in(shown.text))
    if chosen is not None and "catalogue=" in query_of(chosen):
        visitor.ask(f"/catalogue?{query_of(chosen)}")
        visitor.follow(visitor.ask(f"/?{query_of(chosen)}"), 3)


def match_in(text: str) -> dict[str, str]:
    """Return what a browser would send of the match of columns, as it stands."""
    fields = r'<input type="hidden" name="(h\d+|was)" value="([^"]*)"'
    sent = {name: html.unescape(value) for name, value in re.findall(fields, text)}
    for name, options in re.findall(r'<select name="(m\d+)".*?>(.*?)</select>', text, re.DOTALL):
        said = re.search(r'<option value="([^"]*)" selected', options)
        sent[name] = html.unescape(said[1]) if said else ""
    for field in re.findall(r'<textarea name="map"[^>]*>(.*?)</textarea>', text, re.DOTALL):
        sent["map"] = html.unescape(field)
    return sent


def program(visitor: Visitor) -> None:
    """Ask the API: a catalogue handed in, a kit, others, a row, a ladder, and the kit again."""
    text = SHOP + "\r\n" * visitor.draw.randrange(1, 10_000)
    handed = visitor.post("/api/catalogues?currency=EUR", content=text.encode())
    digest = handed.json()["catalogue"] if handed is not None else ""
    brief = {"currency": "EUR", "cap": visitor.sum()}
    asked = {"brief": brief, "catalogue": digest}
    found = visitor.post("/api/pick", json=asked)
    visitor.post("/api/others", json=asked | {"count": 2})
    visitor.post("/api/ladder", json=asked | {"from": "10.00", "to": "30.00"})
    if found is not None and found.json()["lines"]:
        sku = visitor.draw.choice(found.json()["lines"])["sku"]
        visitor.post("/api/why", json=asked | {"sku": sku})
        visitor.post("/api/recheck", json={"kit": found.json(), "catalogue": digest})


def careless(visitor: Visitor) -> None:
    """Make the mistakes that people make: each is refused, and told."""
    noise = visitor.draw.randbytes(visitor.draw.randrange(1, 5_000))
    word = f"{visitor.draw.random():.6f}x"
    mistakes: tuple[Callable[[], object], ...] = (
        lambda: visitor.ask(f"/?currency=EUR&cap={word}", refused=True),
        lambda: visitor.ask(f"/?currency=EUR&cap=30&needs.fabric.{word}=1", refused=True),
        lambda: visitor.ask(f"/{word}", refused=True),
        lambda: visitor.ask(f"/why?currency=EUR&cap=30&sku={word}", refused=True),
        lambda: visitor.ask(f"/?catalogue={word}&currency=EUR&cap=30", refused=True),
        lambda: visitor.post("/catalogue", files={"file": ("x.csv", noise)}, refused=True),
        lambda: visitor.post("/saved", files={"file": ("x.json", noise)}, refused=True),
        lambda: visitor.post("/brief", data={"text": word}, refused=True),
        lambda: visitor.post("/begin", data={"sum": "1,234"}, refused=True),
        lambda: visitor.post("/api/pick", content=noise, refused=True),
        lambda: visitor.post("/api/pick", json={"brief": {"cap": word}}, refused=True),
        lambda: visitor.post("/api/recheck", json={"kit": {word: 1}}, refused=True),
    )
    for mistake in visitor.draw.sample(mistakes, 4):
        mistake()


def impatient(visitor: Visitor) -> None:
    """Leave before the answer is there."""
    path = f"/ladder?currency=EUR&cap={visitor.sum()}&to={visitor.sum(90, 200)}"
    try:
        visitor.client.get(path, timeout=visitor.draw.uniform(0.01, 0.3))
    except httpx.TimeoutException:
        return


STORIES = (assistant, assistant, teacher, stitcher, newcomer, program, careless, impatient)
