"""Take the README's pictures: `python -m tests.browser.tour ADDRESS FOLDER`.

ADDRESS is that of a running demonstration; pdftoppm turns the sheets into pictures.
"""

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from PIL import Image
from playwright.sync_api import Page, sync_playwright

from tests.browser.conftest import CHROMIUM_FLAGS

CHANGED = """Object no.,Title,Size as measured,Light limit (lx),Stage
1904.12,Stick barometer with silvered scale,982 × 120 × 61 mm,200,selected
1931.6.2,Stick barometer with ivory scale plates,936 × 103 × 61 mm,200,selected
2031.1,Cloud study for a ceiling,41 x 62 cm,fifty,short list
2031.2,Storm glass on a bracket,H 24 W 9 D 9 cm,200,long list
"""


def main(address: str, folder: Path) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=shutil.which("chromium"), args=CHROMIUM_FLAGS
        )
        page = browser.new_page(viewport={"width": 1200, "height": 800})
        enter(page, address, "designer")
        shots = {
            "list": "/exhibitions/1/list/",
            "object": "/register/1/",
            "fit": "/hangs/1/",
            "hang": "/hangs/version/1/",
            "rows": "/hangs/version/2/#w1",
        }
        for name, path in shots.items():
            page.goto(address + path)
            shoot(page, folder / f"{name}.png")
        page.goto(f"{address}/hangs/exhibition/1/new/")
        page.locator("#id_kind_0").scroll_into_view_if_needed()
        page.get_by_role("radio", name="In rows").check()
        shoot(page, folder / "arrangements.png")
        for sheet in ("schedule", "elevation"):
            with page.expect_download() as waiting:
                page.evaluate(
                    "path => { const a = document.createElement('a'); a.href = path;"
                    " a.download = ''; a.click(); }",
                    f"/hangs/version/1/{sheet}.pdf",
                )
            first_page(
                waiting.value.path(), folder / f"{sheet}.png", 3 if sheet == "elevation" else 1
            )
        enter(page, address, "registrar")
        preview(page, address, folder / "preview.png")
        browser.close()


def enter(page: Page, address: str, role: str) -> None:
    page.context.clear_cookies()
    page.goto(f"{address}/sign-in/")
    page.click(f"form[action*='/as/{role}/'] button")


def preview(page: Page, address: str, path: Path) -> None:
    page.goto(f"{address}/exchange/new/?exhibition=1")
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "changes from the studio.csv"
        file.write_text(CHANGED, encoding="utf-8")
        page.set_input_files("input[type=file]", file)
        page.click("main form button")
    page.click("main button:has-text('Preview')")
    page.wait_for_selector("#rows")
    shoot(page, path)


def shoot(page: Page, path: Path) -> None:
    page.wait_for_load_state("networkidle")
    page.screenshot(path=path)
    shrink(path)


def first_page(pdf: Path, path: Path, number: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        stem = Path(folder) / "page"
        subprocess.run(  # noqa: S603
            ["pdftoppm", "-png", "-r", "80", "-f", str(number), "-l", str(number), pdf, stem],  # noqa: S607
            check=True,
        )
        shutil.copy(next(Path(folder).glob("page*.png")), path)
    shrink(path)


def shrink(path: Path) -> None:
    with Image.open(path) as picture:
        picture.convert("RGB").quantize(256).save(path, optimize=True)


if __name__ == "__main__":
    main(sys.argv[1].rstrip("/"), Path(sys.argv[2]))
