#!/usr/bin/env python3
"""The job sheet in a real browser: prints on its pages, overflows nowhere, is legible
and accessible, runs nothing, fetches nothing, and shows what the JSON says.

  sheet_browser_test.py path/to/drydepth path/to/source [case...]

Skipped (77) where Chromium or python3-websockets cannot be had.
"""

import asyncio
import contextlib
import itertools
import os
import pathlib
import struct
import subprocess
import sys
import tempfile

import devtools
import sheet_cases
import sheet_values

HERE = pathlib.Path(__file__).parent
CHECKS = (HERE / "page_checks.js").read_text(encoding="utf-8")
PAPERS = {"A4": (8.27, 11.69), "Letter": (8.5, 11)}  # inches; ISO 216, ANSI Y14.1
SETTINGS = list(itertools.product((360, 1200), (1, 2), ("light", "dark")))
PRINT_WIDTH = 733  # of A4 within margins of 8 mm, CSS pixels
MOST_BYTES = 300_000
# The widest and the narrowest of what stands for sans-serif on Debian.
FONTS = ("DejaVu Sans", "Noto Sans", "Liberation Sans")


def installed_fonts():
    try:
        known = subprocess.run(["fc-list", ":", "family"], capture_output=True,
                               text=True, check=True).stdout
    except (OSError, subprocess.CalledProcessError):
        return [None]
    return [font for font in FONTS if font in known] or [None]


async def run_checks(page, names):
    out = []
    for name in names:
        found = await page.evaluate(f"{CHECKS}.{name}()")
        out += [f"{name}: {complaint}" for complaint in found]
    return out


def activity(page, path):
    """Anything that the page did beyond being shown."""
    out = []
    for request in page.of("Network.requestWillBeSent"):
        url = request["request"]["url"]
        if url != path.as_uri():
            out.append(f"request: {url}")
    out += [f"dialog: {d['message']}" for d in page.of("Page.javascriptDialogOpening")]
    out += [f"console: {c['type']}" for c in page.of("Runtime.consoleAPICalled")]
    out += [f"exception: {e['exceptionDetails']['text']}"
            for e in page.of("Runtime.exceptionThrown")]
    out += [f"log: {e['entry']['text']}" for e in page.of("Log.entryAdded")]
    return out


async def screen_complaints(page, settings):
    out = {}
    for setting in settings:
        await page.look(*setting)
        found = await run_checks(page, ("overflow", "overlaps", "cut", "contrast"))
        for one in found:
            out.setdefault(one, []).append("{} px {}x {}".format(*setting))
    return [f"{one} (at {', '.join(where)})" for one, where in out.items()]


async def print_complaints(page, pages, font):
    """Light whatever the screen is, on the expected number of pages."""
    await page.look(PRINT_WIDTH, 1, "dark", "print")
    out = await run_checks(page, ("overflow", "overlaps", "cut", "contrast"))
    ground = await page.evaluate("getComputedStyle(document.body).backgroundColor")
    if ground != "rgb(255, 255, 255)":
        out.append(f"ground {ground}")
    for paper, size in PAPERS.items():
        count, _ = await page.pdf_pages(*size)
        if count != pages:
            out.append(f"{count} pages of {paper}, expected {pages}")
    return [f"print in {font}: {one}" for one in out]


async def picture_complaints(page):
    await page.look(1200)
    png = await page.screenshot()
    width, height = struct.unpack(">II", png[16:24])
    if width == 1200 and 300 < height < 6000 and 10_000 < len(png) < 3_000_000:
        return []
    return [f"screenshot {width} x {height}, {len(png)} bytes"]


async def page_complaints(browser, path, report, pages):
    out = []
    for font in installed_fonts():
        page = await browser.open(path, font)
        out += await print_complaints(page, pages, font)
        found = await screen_complaints(page, [(1200, 1, "light")])
        out += [f"in {font}: {one}" for one in found]
        await page.close()
    page = await browser.open(path)
    out += activity(page, path)
    out += await screen_complaints(page, SETTINGS)
    out += await run_checks(page, ("structure",))
    figures = await page.evaluate("document.querySelectorAll('svg').length")
    named = [name for name in await page.images() if name]
    if len(named) != figures:
        out.append(f"{figures} figures, {len(named)} of them named to a reader")
    told = any(spool["told"] for spool in report["spools"])
    if (figures >= 2) != told:
        out.append(f"{figures} figures")
    shown = await page.evaluate(f"{CHECKS}.values()")
    out += sheet_values.complaints(shown, report)
    out += await picture_complaints(page)
    await page.close()
    return list(dict.fromkeys(out))


async def blind_checks(browser):
    """Each check must see the fault that was made for it."""
    path = HERE / "faulty_page.html"
    page = await browser.open(path)
    await page.look(1200)
    names = ("contrast", "overflow", "overlaps", "cut", "structure")
    found = "\n".join(await run_checks(page, names) + activity(page, path))
    await page.close()
    wanted = ["contrast: 2.85: pale", "contrast: 1.61: line", "overflow: page: ",
              "overflow: div: too wide", "overlaps: one / upon another",
              "cut: cut at the side", "structure: no lang", "structure: no title",
              "structure: heading skips: a level skipped",
              "structure: th without scope: no scope",
              "structure: table without caption", "structure: svg without role=img",
              "structure: no text: svg", "structure: id twice: twice",
              "structure: script: ", "request: http://127.0.0.1:9/picture.png",
              "dialog: 1", "console: error", "exception: Uncaught", "log: "]
    return [f"not seen: {one}" for one in wanted if one not in found]


async def check_all():
    tool, source, *only = sys.argv[1:]
    bad = 0
    async with contextlib.AsyncExitStack() as stack:
        folder = pathlib.Path(stack.enter_context(
            tempfile.TemporaryDirectory(prefix="drydepth-sheet-")))
        browser = await stack.enter_async_context(devtools.Browser())
        findings = {"faulty page": await blind_checks(browser)}
        for case in sheet_cases.cases():
            if only and case.name not in only:
                continue
            path, report = sheet_cases.make(tool, source, case, folder / case.name)
            found = await page_complaints(browser, path, report, case.pages)
            if path.stat().st_size > MOST_BYTES:
                found.append(f"{path.stat().st_size} bytes")
            findings[case.name] = found
        for name, found in findings.items():
            print(f"{name}: {'ok' if not found else f'{len(found)} complaints'}")
            for one in found[:40]:
                print(f"  {one}")
            bad += len(found)
    return 1 if bad else 0


def main():
    lacks = devtools.missing()
    # Debian's packages belong to Debian's interpreter, perhaps not the first on the path.
    debian = "/usr/bin/python3"
    if "websockets" in lacks and sys.executable != debian and os.access(debian, os.X_OK):
        os.execv(debian, [debian, "-B", *sys.argv])
    if lacks:
        print(f"skipped: {lacks} is not installed; samples/install.sh tests brings it")
        return 77
    return asyncio.run(check_all())


if __name__ == "__main__":
    sys.exit(main())
