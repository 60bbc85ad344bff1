"""Takes the pictures in docs/text: run ``python tests/page/pictures.py``. It is no test."""

import shutil
import subprocess
import sys
from pathlib import Path

from playwright.sync_api import sync_playwright

DOCS = Path(__file__).parents[2] / "docs" / "text" / "pictures"
MENDS = "?currency=EUR&cap=5.00&title=Five+euros+only"
PICTURES = {
    "page": ("/", {"viewport": {"width": 1200, "height": 1000}}),
    "page-dark": ("/", {"viewport": {"width": 1200, "height": 1000}, "color_scheme": "dark"}),
    "page-phone": ("/", {"viewport": {"width": 360, "height": 900}}),
    "no-kit": (f"/{MENDS}", {"viewport": {"width": 1200, "height": 620}}),
    "sheet": ("/sheet?currency=EUR&cap=30.00", {"viewport": {"width": 800, "height": 1100}}),
}


def main() -> None:
    """Serve the demo, and take every picture."""
    DOCS.mkdir(exist_ok=True)
    command = [sys.executable, "-m", "kitsolver", "page", "--port", "0"]
    with subprocess.Popen(command, stderr=subprocess.PIPE, text=True) as served:
        address = served.stderr.readline().split(" at ")[1].split("/ ")[0]
        with sync_playwright() as started:
            program = shutil.which("chromium")
            browser = started.chromium.launch(executable_path=program, args=["--no-sandbox"])
            for name, (path, how) in PICTURES.items():
                page = browser.new_page(**how)
                page.goto(address + path)
                if page.locator("#ladder").count():
                    page.wait_for_selector("#ladder:not([data-later])")
                page.screenshot(path=DOCS / f"{name}.png")
                print(f"{name}.png")
            browser.close()
        served.terminate()


if __name__ == "__main__":
    main()
