"""One picture of all that people look at: ``python tests/bench/contact_sheet.py --out FILE [--keep DIR]``.

The pages of ``serve`` and of the book come from the browser tests, light and dark, at the widths of a phone
and of a desk; the papers from a case of our own, at the width of a sheet; the terminal from its snapshots.
Each picture is cut off below its first screens: ``--keep`` leaves all of them whole in a directory.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from html import escape
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from helpers_browser import browsing
from helpers_cli import proveout
from helpers_shipped import lend_books

TESTS = Path(__file__).resolve().parents[1]
SCREENS = TESTS / "acceptance" / "screens"
#: Pixels of a sheet of paper 210 mm wide, and of a picture on the contact sheet.
SHEET, CELL, HIGH, WHOLE = 794, 300, 720, 2560
CASE = "car.yaml"
#: From the complaint to the verdict that a part is proven bad, and what was done then.
DEEDS = (
    ("intake", CASE, "--code", "P0442", "--age", 14, "--symptom", "fuel-smell", "--tool", "hand-vacuum-pump",
     "--replaced", "fuel-cap", "--vehicle", "Grey hatchback", "--currency", "EUR"),
    ("record", CASE, "cap-seal-look", "sound"),
    ("record", CASE, "hoses-look-engine-bay", "sound"),
    ("record", CASE, "purge-valve-holds-vacuum", "-12 kPa"),
    ("record", CASE, "purge-valve-idle-draw", "draws"),
    ("purchase", CASE, "purge-valve-stuck-open", "--cost", 42),
    ("repair", CASE, "purge-valve-stuck-open", "--minutes", 20),
)  # fmt: skip
PAPERS = (
    ("report for the customer", "report", CASE, "--for", "customer", "--out"),
    ("report for the technician", "report", CASE, "--for", "technician", "--out"),
    ("report for the assessor", "report", CASE, "--out"),
    ("job sheet", "report", "begun.yaml", "--job-sheet", "--out"),
    ("steps of a reading", "steps", CASE, "purge-valve-holds-vacuum", "--page"),
    ("steps of a swap", "steps", CASE, "coil-swap", "--page"),
    ("steps with a meter", "steps", CASE, "coolant-sensor-plug-volts", "--page"),
    ("graph of a cause", "rules", "graph", "purge-valve-stuck-open", "--out"),
    ("graph of a code", "rules", "graph", "P0442", "--out"),
)


def main() -> None:
    """Make the picture."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--out", type=Path, required=True, help="where the picture goes (PNG)")
    parser.add_argument("--keep", type=Path, help="a directory for all pictures, whole")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        kept = given.keep or Path(name) / "shots"
        kept.mkdir(parents=True, exist_ok=True)
        pages(kept)
        with browsing() as browser:
            papers(Path(name), kept, browser)
            sheet = Path(name) / "sheet.html"
            sheet.write_text(together(kept), encoding="utf-8")
            page = browser.new_page(viewport={"width": WHOLE, "height": 1000})
            page.goto(sheet.as_uri())
            page.screenshot(path=given.out, full_page=True)
    print(f"{given.out}: {len(list(kept.glob('*.png')))} pictures, {len(list(screens()))} terminal screens")


def pages(kept: Path) -> None:
    """Let the browser tests keep a picture of each page."""
    environment = {**os.environ, "PROVEOUT_SCREENSHOTS": str(kept)}
    tests = [sys.executable, "-m", "pytest", "-x", str(TESTS / "browser")]
    subprocess.run(tests, env=environment, cwd=TESTS.parent, check=True)


def papers(home: Path, kept: Path, browser: Any) -> None:
    """Write the papers of a case and keep a picture of each."""
    lend_books(home / "cache")
    work = home / "work"
    work.mkdir()
    os.chdir(work)
    for number, deed in enumerate(DEEDS):
        done = proveout(*deed, home=home)
        assert done.code == 0, done.err
        if number == 1:
            (work / "begun.yaml").write_bytes((work / CASE).read_bytes())
    page = browser.new_page(viewport={"width": SHEET, "height": 1123})
    for title, *words in PAPERS:
        file = work / f"paper-{title.replace(' ', '-')}{'.svg' if words[0] == 'rules' else '.html'}"
        done = proveout(*words, file, home=home)
        assert done.code == 0, done.err
        if file.suffix == ".svg":  # a browser takes no picture of a drawing that is the whole document
            drawing, file = file, file.with_suffix(".html")
            file.write_text(f'<!doctype html><img src="{drawing.name}">')
        page.goto(file.as_uri())
        page.screenshot(path=kept / f"{file.stem}.png", full_page=True)
        if words[0] == "report":
            for form in ("A4", "Letter"):
                page.pdf(path=kept / f"{file.stem}-{form}.pdf", format=form)


def screens() -> Iterator[Path]:
    """Return the snapshots of the terminal that are shown, each situation at each width."""
    yield from sorted(SCREENS.glob("*-plain.txt"))


def together(kept: Path) -> str:
    """Return the page of all pictures and terminal screens."""
    shown = "".join(
        f'<figure><img src="{path.resolve().as_uri()}"><figcaption>{escape(path.stem)}</figcaption></figure>'
        for path in sorted(kept.glob("*.png"))
    )
    told = "".join(
        f'<figure class="told"><pre>{escape(path.read_text("utf-8"))}</pre>'
        f"<figcaption>{escape(path.stem)}</figcaption></figure>"
        for path in screens()
    )
    style = (
        f"body{{margin:12px;background:#777;display:flex;flex-wrap:wrap;gap:12px;align-items:start}}"
        f"figure{{margin:0;width:{CELL}px}}img,pre{{display:block;width:100%;max-height:{HIGH}px;"
        "object-fit:cover;object-position:top;overflow:hidden;background:#fff}"
        f".told{{width:{2 * CELL + 12}px}}"
        "pre{font:8px/1.3 monospace;padding:6px;box-sizing:border-box;margin:0}"
        "figcaption{font:12px sans-serif;color:#fff;padding:2px}"
    )
    return f'<!doctype html><meta charset="utf-8"><style>{style}</style>{shown}{told}'


if __name__ == "__main__":
    main()
