#!/usr/bin/env python3
"""Runs the case folders under cases/ through the real binary.

  run_cases.py path/to/drydepth [--renew] [NAME...]

A case is a folder with
  cmd      shell lines, run by bash -eu in a fresh folder (see sandbox.py); $DRYDEPTH is
           the binary, also on the path; $DATA is tests/data, $SAMPLES/shelf a copy of
           the sample's shelf; a step that is expected to fail is the last one or says
           `|| echo "exit $?"`
  in/      files copied into that folder first (optional)
  out      expected standard output
  err      expected standard error (optional: nothing)
  code     expected exit code (optional: 0)
  after/   files that must stand there afterwards, byte for byte (optional)
--renew writes out, err, code and after/ anew from what happened: read the diff of your
version control before you keep it.
"""

import argparse
import concurrent.futures
import os
import pathlib
import shutil
import subprocess
import sys

sys.dont_write_bytecode = True
from sandbox import Sandbox, difference  # noqa: E402

CASES = pathlib.Path(__file__).resolve().parent / "cases"


def read(path, fallback=""):
    return path.read_text() if path.exists() else fallback


def files_after(case):
    return sorted(p for p in (case / "after").rglob("*") if p.is_file())


def expected_texts(case):
    texts = {"out": read(case / "out"), "err": read(case / "err"),
             "code": read(case / "code", "0\n")}
    for path in files_after(case):
        texts[str(path.relative_to(case))] = path.read_bytes().decode("latin-1")
    return texts


def run(case, tool):
    """What the case's script printed and left, under the names of expected_texts."""
    with Sandbox(tool) as box:
        if (case / "in").is_dir():
            shutil.copytree(case / "in", box.folder, dirs_exist_ok=True)
        try:
            out, err, code = box.run((case / "cmd").read_text())
        except subprocess.TimeoutExpired as late:
            out, err, code = "", f"no end after {late.timeout} s\n", "timeout"
        texts = {"out": out, "err": err, "code": f"{code}\n"}
        for path in files_after(case):
            name = path.relative_to(case)
            left = box.folder / name.relative_to("after")
            texts[str(name)] = (left.read_bytes().decode("latin-1")
                                if left.is_file() else "(no such file)\n")
        return texts


def renew(case, got):
    neutral = {"err": "", "code": "0\n"}
    for name, text in got.items():
        if neutral.get(name) == text:
            (case / name).unlink(missing_ok=True)
        else:
            (case / name).write_bytes(
                text.encode("latin-1" if name.startswith("after") else "utf-8"))


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("tool")
    parser.add_argument("names", nargs="*")
    parser.add_argument("--renew", action="store_true")
    words = parser.parse_intermixed_args()
    cases = [CASES / name for name in words.names] or sorted(
        path.parent for path in CASES.glob("*/cmd"))
    failed = 0
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        for case, got in zip(cases, pool.map(lambda c: run(c, words.tool), cases)):
            expected = expected_texts(case)
            diffs = [difference(f"{case.name}/{name}", expected[name], got[name])
                     for name in got]
            if not any(diffs):
                continue
            if words.renew:
                renew(case, got)
                print(f"renewed {case.name}")
            else:
                failed += 1
                print(f"FAILED {case.name}\n" + "".join(diffs))
    print(f"{len(cases) - failed} passed, {failed} failed")
    return 1 if failed or not cases else 0


if __name__ == "__main__":
    sys.exit(main())
