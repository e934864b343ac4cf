#!/usr/bin/env python3
"""Writes the picture of the sample's job sheet that README shows: the whole page, as a
light screen shows it.

  sheet_picture.py path/to/drydepth path/to/source docs/figures/job_sheet.png

Needs what sheet_browser_test.py needs, Debian's python3-pil for the palette, and
Liberation Sans, so that it looks the same wherever it is made.
"""

import asyncio
import io
import pathlib
import sys
import tempfile

import devtools
import sheet_cases

WIDTH, DOTS = 880, 1.5  # CSS pixels, dots of each
COLOURS = 64
MOST_BYTES = 250_000


async def picture(page_path):
    async with devtools.Browser() as browser:
        page = await browser.open(page_path, "Liberation Sans")
        await page.look(WIDTH * DOTS, DOTS)
        return await page.screenshot()


def with_palette(png):
    from PIL import Image
    out = io.BytesIO()
    few = Image.open(io.BytesIO(png)).convert("RGB").quantize(COLOURS, dither=0)
    few.save(out, "PNG", optimize=True)
    return out.getvalue()


def main():
    tool, source, out = sys.argv[1:]
    sample = next(case for case in sheet_cases.cases() if case.name == "sample")
    with tempfile.TemporaryDirectory(prefix="drydepth-sheet-") as folder:
        path, _ = sheet_cases.make(tool, source, sample, pathlib.Path(folder) / "sample")
        png = with_palette(asyncio.run(picture(path)))
    if len(png) > MOST_BYTES:
        sys.exit(f"{out}: {len(png)} bytes, more than {MOST_BYTES}; not written")
    pathlib.Path(out).write_bytes(png)
    print(f"{out}: {len(png)} bytes")


if __name__ == "__main__":
    main()
