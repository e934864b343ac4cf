#!/usr/bin/env python3
"""Executes the documentation: what it shows is what the tool prints.

  run_docs.py path/to/drydepth [--renew] [NAME...]

Every fenced block of README.md, docs/*.md and samples/README.md that starts with "$ "
is run: each line behind "$ " is a bash command (a backslash at its end continues it),
and the lines below it are its output, standard error included. A line "..." stands for
any lines. The blocks of one document share one fresh folder (see sandbox.py) with a
copy of samples/ and run in order. --renew writes the output that was seen into blocks
that differ. Names, e.g. tutorial.md, choose documents.
"""

import argparse
import pathlib
import re
import shutil
import subprocess
import sys

sys.dont_write_bytecode = True
from sandbox import ROOT, Sandbox, difference  # noqa: E402

BLOCK = re.compile(r"^```[a-z]*\n(\$ .*?)^```$", re.DOTALL | re.MULTILINE)
STEP = re.compile(r"^\$ ((?:.*\\\n)*.*\n)((?:(?!\$ ).*\n)*)", re.MULTILINE)


def documents():
    return [ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md")),
            ROOT / "samples" / "README.md"]


def agrees(shown, got):
    pattern = "".join("(?:.*\n)*" if line == "..." else re.escape(line) + "\n"
                      for line in shown.splitlines())
    return re.fullmatch(pattern, got) is not None


def run_block(box, text):
    """The block with the output that was really seen, and whether all of it agrees."""
    seen, good = "", True
    for command, shown in STEP.findall(text):
        out, _, _ = box.run(command, stderr=subprocess.STDOUT)
        same = agrees(shown, out)
        good = good and same
        seen += f"$ {command}" + (shown if same else out)
    return seen, good


def run_document(path, tool, renew):
    """(blocks that agree, blocks that differ); prints what differs."""
    text, counts = path.read_text(), [0, 0]
    with Sandbox(tool) as box:
        shutil.copytree(ROOT / "samples", box.folder / "samples",
                        ignore=shutil.ignore_patterns("out", ".*"))
        (box.folder / "samples" / "out").mkdir()

        def replaced(match):
            seen, good = run_block(box, match.group(1))
            counts[0 if good else 1] += 1
            if not good and not renew:
                print(difference(path.name, match.group(1), seen))
            return match.group(0).replace(match.group(1), seen)

        new_text = BLOCK.sub(replaced, text)
    if renew and new_text != text:
        path.write_text(new_text)
        print(f"renewed {path.name}")
        counts = [sum(counts), 0]
    return counts


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("tool")
    parser.add_argument("--renew", action="store_true")
    parser.add_argument("names", nargs="*")
    words = parser.parse_intermixed_args()
    counts = [run_document(path, words.tool, words.renew) for path in documents()
              if not words.names or path.name in words.names]
    passed, failed = (sum(column) for column in zip(*counts or [(0, 0)]))
    print(f"{passed} passed, {failed} failed")
    return 1 if failed or not passed else 0


if __name__ == "__main__":
    sys.exit(main())
