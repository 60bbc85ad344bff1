"""Takes the pictures in docs/text: run ``python tests/page/pictures.py``. It is no test."""

import shutil
import subprocess
import sys
from pathlib import Path

from PIL import Image
from playwright.sync_api import sync_playwright
from pypdfium2 import PdfDocument

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs" / "text" / "pictures"
BRIEF = ROOT / "catalogues" / "bundle.toml"
SHOP = ROOT / "catalogues" / "tormellick-whelk.csv"
TILL = ROOT / "tests" / "exports" / "files" / "till.csv"
MENDS = "?currency=EUR&cap=5.00&title=Five+euros+only"
CLASS = "?currency=EUR&cap=216&heads=12&needs.thread.shared_by=2&title=A+first+picture"
RANGE = (
    "?currency=EUR&cap=30&k1.name=Spring&k1.cap=25&k1.copies=10&k2.name=Gift&k2.cap=40&k2.copies=5"
    "&k3.name=Small&k3.cap=15&k3.copies=20&distinct=chart"
)
WIDE, PAPER = {"width": 1200, "height": 1000}, {"width": 800, "height": 1130}
PICTURES = {
    "begin": ("/begin", {"viewport": {"width": 1200, "height": 640}}),
    "match": ("/catalogue?currency=EUR&cap=30.00", {"viewport": WIDE}),
    "at-home": ("/at-home?currency=EUR&cap=25.00", {"viewport": WIDE}),
    "page": ("/", {"viewport": WIDE}),
    "page-dark": ("/", {"viewport": WIDE, "color_scheme": "dark"}),
    "page-phone": ("/", {"viewport": {"width": 360, "height": 900}}),
    "no-kit": (f"/{MENDS}", {"viewport": {"width": 1200, "height": 620}}),
    "several": (f"/several{RANGE}", {"viewport": {"width": 1200, "height": 1050}}),
    "sheet": ("/sheet?currency=EUR&cap=30.00&title=An+evening+kit", {"viewport": PAPER}),
    "card": ("/sheet?currency=EUR&cap=30.00&title=An+evening+kit&reader=card", {"viewport": WIDE}),
    "picking-list": (
        "/sheet?currency=EUR&cap=30.00&title=An+evening+kit&reader=shop&copies=2",
        {"viewport": PAPER},
    ),
    "class-plan": (f"/sheet{CLASS}&reader=class", {"viewport": PAPER}),
}
# A page of paper is printed, and the print is what is shown.
PRINTED = {"sheet": False, "card": True, "picking-list": False, "class-plan": False}


def main() -> None:
    """Serve the demo, and take every picture."""
    DOCS.mkdir(exist_ok=True)
    files = [str(SHOP), str(BRIEF)]
    command = [sys.executable, "-m", "kitsolver", "page", *files, "--port", "0"]
    with subprocess.Popen(command, stderr=subprocess.PIPE, text=True) as served:
        address = served.stderr.readline().split(" at ")[1].split("/ ")[0]
        with sync_playwright() as started:
            program = shutil.which("chromium")
            browser = started.chromium.launch(executable_path=program, args=["--no-sandbox"])
            for name, (path, how) in PICTURES.items():
                page = browser.new_page(**how)
                page.goto(address + path)
                if name == "match":
                    page.locator("#file").set_input_files(TILL)
                    page.get_by_role("button", name="Hand it in").click()
                    page.wait_for_selector("table.match")
                if page.locator("#ladder").count():
                    page.wait_for_selector("#ladder:not([data-later])")
                if name in PRINTED:
                    printed = page.pdf(format="A4", print_background=True, landscape=PRINTED[name])
                    leaves = [leaf.render(scale=1.3).to_pil() for leaf in PdfDocument(printed)]
                    _side_by_side(leaves[:2]).save(DOCS / f"{name}.png")
                else:
                    page.screenshot(path=DOCS / f"{name}.png")
                print(f"{name}.png")
            browser.close()
        served.terminate()


def _side_by_side(leaves: list[Image.Image]) -> Image.Image:
    """Return pages of paper beside each other on grey."""
    gap, high = 16, max(leaf.height for leaf in leaves)
    wide = sum(leaf.width + gap for leaf in leaves) + gap
    whole = Image.new("RGB", (wide, high + 2 * gap), "#9a9a9a")
    left = gap
    for leaf in leaves:
        whole.paste(leaf, (left, gap))
        left += leaf.width + gap
    return whole


if __name__ == "__main__":
    main()
