#!/usr/bin/env python3
"""Bold and progress as a person at a terminal sees them: on a real pseudo-terminal, and
never in a pipe.

  terminal_test.py path/to/drydepth
"""

import os
import pty
import re
import select
import subprocess
import sys
import time

sys.dont_write_bytecode = True
from sandbox import Sandbox  # noqa: E402

BOLD = "\x1b[1m"
AT = ["--at", "2026-03-06T06:30:00Z"]
LIMIT_S = 300


def run(box, words, env=None, out="pty", talk="pty"):
    """(standard output, standard error) as text; each a terminal of its own or a pipe."""
    environment = {**box.environment(), "TERM": "xterm", **(env or {})}
    ends = {"pty": pty.openpty, "pipe": os.pipe}
    (out_read, out_write), (talk_read, talk_write) = ends[out](), ends[talk]()
    child = subprocess.Popen([str(box.tool), *words], cwd=box.folder, env=environment,
                             stdin=subprocess.DEVNULL, stdout=out_write,
                             stderr=talk_write)
    os.close(out_write)
    os.close(talk_write)
    seen = {out_read: b"", talk_read: b""}
    opened, end = [out_read, talk_read], time.monotonic() + LIMIT_S
    while opened:
        ready, _, _ = select.select(opened, [], [], end - time.monotonic())
        if not ready:
            child.kill()
            raise SystemExit(f"FAILED: no end of {words} after {LIMIT_S} s")
        for stream in ready:
            try:
                piece = os.read(stream, 65536)
            except OSError:  # a terminal whose other end has closed
                piece = b""
            seen[stream] += piece
            if not piece:
                opened.remove(stream)
                os.close(stream)
    child.wait()
    return tuple(seen[s].decode().replace("\r\n", "\n") for s in (out_read, talk_read))


class Checks:
    def __init__(self):
        self.count = self.failed = 0

    def that(self, what, good, seen=""):
        self.count += 1
        if not good:
            self.failed += 1
            print(f"FAILED {what}\n{seen!r}")


def check_bold(box, checks):
    words = ["estimate", "--nominal", *AT, ".samples/shelf/K-07.json"]
    plain, _ = run(box, words, out="pipe")
    checks.that("no escape in a pipe", "\x1b" not in plain, plain)
    styled, _ = run(box, words)
    checks.that("a heading is bold on a terminal",
                styled.startswith(f"{BOLD}Spool\x1b[0m    K-07 ("), styled)
    bare = re.sub(r"\x1b\[[01]m", "", styled)
    checks.that("bold is all that a terminal adds", bare == plain, styled)
    rows = [
        ("NO_COLOR", {"NO_COLOR": "1"}, [], "pty", False),
        ("NO_COLOR without a value does not count", {"NO_COLOR": ""}, [], "pty", True),
        ("TERM=dumb", {"TERM": "dumb"}, [], "pty", False),
        ("never", {}, ["--color", "never"], "pty", False),
        ("always, in a pipe", {}, ["--color", "always"], "pipe", True),
        ("always is stronger than NO_COLOR", {"NO_COLOR": "1"}, ["--color", "always"],
         "pty", True),
        ("auto, in a pipe", {}, ["--color", "auto"], "pipe", False),
    ]
    for what, env, option, out, bold in rows:
        for line in ([*option, *words], [*words, *option]):
            seen, _ = run(box, line, env, out=out)
            checks.that(what, (BOLD in seen) == bold, seen)
    shelf, _ = run(box, ["shelf", "--nominal", *AT, "--shelf", ".samples/shelf"])
    checks.that("a table's head is bold", shelf.startswith(f"{BOLD}spool  material"), shelf)
    json, _ = run(box, [*words, "--json", "--color", "always"])
    checks.that("data is never bold", "\x1b" not in json, json)


def check_progress(box, checks):
    # One thread and many members: seconds on any machine.
    def fit_of(members):
        return ["estimate", *AT, "--members", members, "--threads", "1", "--fresh",
                ".samples/shelf/K-07.json"]
    _, talk = run(box, fit_of("224"), out="pipe")
    lines = [line for line in talk.split("\r") if line.strip()]
    checks.that("progress on a terminal", bool(lines) and all(
        re.fullmatch(r"drydepth: [a-z' ]+(, \d+ %)?, \d+ s *", line) for line in lines),
                talk)
    shares = [int(s) for s in re.findall(r"fitting the weighings, (\d+) %", talk)]
    checks.that("a fit is counted", len(shares) > 1 and shares == sorted(shares)
                and shares[0] < shares[-1] <= 99, talk)
    checks.that("it begins after a second", lines[:1] != [] and ", 1 s" in lines[0], talk)
    checks.that("the line is gone in the end", re.search(r"\r +\r$", talk), talk)
    quick = ["estimate", "--nominal", *AT, ".samples/shelf/K-07.json"]
    for what, words, env, end in [("in a pipe", fit_of("96"), {}, "pipe"),
                                  ("on a dumb terminal", fit_of("96"), {"TERM": "dumb"}, "pty"),
                                  ("for a quick answer", quick, {}, "pty")]:
        _, talk = run(box, words, env, talk=end)
        checks.that(f"no progress {what}", talk == "", talk)


def main():
    checks = Checks()
    with Sandbox(sys.argv[1]) as box:
        check_bold(box, checks)
        check_progress(box, checks)
    print(f"{checks.count} checks, {checks.failed} failed")
    return 1 if checks.failed else 0


if __name__ == "__main__":
    sys.exit(main())
