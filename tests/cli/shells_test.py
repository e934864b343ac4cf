#!/usr/bin/env python3
"""Manual pages and completion scripts, held against the programs that read them: groff
with all its warnings, and completion in real shells.

  shells_test.py path/to/drydepth

What is not installed (groff, zsh, fish) is left out with a line that says so; bash is
always there.
"""

import shutil
import subprocess
import sys

sys.dont_write_bytecode = True
from sandbox import Sandbox  # noqa: E402

# Loads the script and completes one line as bash's readline would.
BASH = r"""
source share/bash-completion/completions/drydepth
compopt() { :; }
COMP_WORDS=("$@")
COMP_CWORD=$((${#COMP_WORDS[@]} - 1))
_drydepth drydepth "${COMP_WORDS[COMP_CWORD]}" "${COMP_WORDS[COMP_CWORD-1]}"
printf '%s\n' "${COMPREPLY[@]}"
"""

# The words typed and what must be among the answers, and nothing else where it is all.
BASH_ROWS = [
    (["gu"], ["guard"], True),
    (["shelf", "--so"], ["--sort"], True),
    (["shelf", "--sort", ""], ["depth", "exposure", "hot", "id", "left", "moisture"], True),
    (["estimate", ""], ["W-12"], True),
    (["guard", "--spool", "W-12", "job"], ["job one.gcode", "job two.gcode"], True),
    (["guard", "--spool", "T0", "="], ["W-12"], True),
    (["guard", "--spool", "T0", "=", "W-1"], ["W-12"], True),
    (["guard", "--rules", "sha"], ["share"], True),
    (["new", "N-1", "--material", "pa66-g"], ["pa66-gf"], True),
    (["new", "N-1", "--body", ""], ["cardboard", "pc"], False),
]


def check_bash(box, report):
    for words, expected, whole in BASH_ROWS:
        done = subprocess.run(["bash", "-eu", "-c", BASH, "bash", "drydepth", *words],
                              cwd=box.folder, env=box.environment(), text=True,
                              stdin=subprocess.DEVNULL, capture_output=True, timeout=120)
        seen = sorted(done.stdout.split("\n")[:-1])
        good = seen == sorted(expected) if whole else set(expected) <= set(seen)
        report(f"bash completes {words}", good and not done.stderr, done.stdout + done.stderr)
    script = "source share/bash-completion/completions/drydepth; complete -p drydepth"
    out, err, code = box.run(script)
    report("bash registers it", "-F _drydepth drydepth" in out and code == 0, out + err)


def check_syntax(box, report, shell, flags, name):
    if not shutil.which(shell):
        print(f"left out: no {shell} here")
        return
    out, err, code = box.run(f"{shell} {flags} share/{name}")
    report(f"{shell} reads its script", code == 0 and not out + err, out + err)


def check_fish(box, report):
    if not shutil.which("fish"):
        return
    script = ("fish --no-config -c 'source share/fish/vendor_completions.d/drydepth.fish;"
              ' complete -C "drydepth {}"\'')
    for line, expected in [("estimate ", "W-12"), ("gu", "guard"),
                           ("guard --feed dr", "dry-box")]:
        out, err, code = box.run(script.replace("{}", line))
        words = [answer.split("\t")[0] for answer in out.splitlines()]
        report(f"fish completes {line!r}", words == [expected] and code == 0, out + err)


def check_zsh(box, report):
    """The function's answers with zsh's own builtins replaced by ones that print."""
    if not shutil.which("zsh"):
        return
    stub = r"""compdef() { : }
_files() { print -r -- files }
_describe() { print -rl -- "${(@P)3}" }
source share/zsh/site-functions/_drydepth
words=(drydepth "$@") CURRENT=$(( $# + 1 ))
_drydepth
"""
    (box.folder / "stub.zsh").write_text(stub)
    for words, expected in [("estimate ''", "W-12\n"), ("guard --feed dr", "dry-box\n"),
                            ("restore ''", "files\n")]:
        out, err, _ = box.run(f"zsh -f stub.zsh {words}")
        report(f"zsh completes {words}", out == expected and not err, out + err)


def check_manual(box, report):
    pages = sorted((box.folder / "share/man/man1").iterdir())
    report("a page for the tool and each command", len(pages) > 10, str(pages))
    if not shutil.which("groff"):
        print("left out: no groff here")
        return
    for page in pages:
        done = subprocess.run(["groff", "-ww", "-man", "-Tutf8", "-z", "-rCHECKSTYLE=3",
                               str(page)], text=True, capture_output=True, timeout=120)
        report(f"{page.name} without a warning",
               done.returncode == 0 and not done.stderr, done.stderr)
    text = subprocess.run(["groff", "-man", "-Tascii", "-P-cbou",
                           str(box.folder / "share/man/man1/drydepth-guard.1")],
                          text=True, capture_output=True, timeout=120).stdout
    for line in ("drydepth guard [OPTIONS] JOB", "--fail-on VERDICT"):
        report(f"the page shows {line!r}", line in text, text)


def main():
    failed = []
    count = 0

    def report(what, good, seen):
        nonlocal count
        count += 1
        if not good:
            failed.append(what)
            print(f"FAILED {what}\n{seen}")

    with Sandbox(sys.argv[1]) as box:
        _, err, code = box.run(
            "drydepth help --write share > written; drydepth new W-12 --material pa6 "
            "--width 55 --hub 80 --net 1000 > written; "
            "touch 'job one.gcode' 'job two.gcode' other.gcode")
        report("the files are written", code == 0 and not err, err)
        check_bash(box, report)
        check_syntax(box, report, "bash", "-n", "bash-completion/completions/drydepth")
        check_syntax(box, report, "zsh", "-f -n", "zsh/site-functions/_drydepth")
        check_syntax(box, report, "fish", "--no-execute",
                     "fish/vendor_completions.d/drydepth.fish")
        check_fish(box, report)
        check_zsh(box, report)
        check_manual(box, report)
    print(f"{count} checks, {len(failed)} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
