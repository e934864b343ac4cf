#!/usr/bin/env python3
"""The job sheet of the sample prints on one page, Letter and A4, in a real browser.

  print_test.py path/to/drydepth path/to/source

Skipped (77) where no Chromium is installed.
"""

import lzma
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile


def pages(browser, page):
    pdf = page.with_suffix(".pdf")
    subprocess.run([browser, "--headless", "--no-sandbox", "--disable-gpu",
                    "--no-pdf-header-footer", f"--user-data-dir={page.parent}/profile",
                    f"--print-to-pdf={pdf}", page.as_uri()],
                   check=True, capture_output=True, timeout=120)
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf.read_bytes()))


def main():
    tool, source = sys.argv[1], pathlib.Path(sys.argv[2])
    browser = shutil.which("chromium") or shutil.which("chromium-browser")
    if not browser:
        print("no chromium: skipped")
        return 77
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        job = folder / "housing.gcode"
        job.write_bytes(lzma.open(source / "samples/housing.gcode.xz").read())
        shutil.copy(source / "samples/shelf/K-07.json", folder)
        letter, a4 = folder / "letter.html", folder / "a4.html"
        subprocess.run([tool, "sheet", "--spool", folder / "K-07.json", "--at",
                        "2026-03-06T06:30:00Z", "-o", letter, job], check=True)
        text = letter.read_text(encoding="utf-8")
        rule = "@page{margin:8mm}"
        assert rule in text
        a4.write_text(text.replace(rule, "@page{margin:8mm;size:A4}"), encoding="utf-8")
        found = {page.stem: pages(browser, page) for page in (letter, a4)}
    print(found)
    return 0 if found == {"letter": 1, "a4": 1} else 1


if __name__ == "__main__":
    sys.exit(main())
