"""A fresh folder to run the real binary in, the same on every machine.

HOME and the XDG folders lie in it, times are UTC, nothing of the user's settings gets
in, and its own path is shown as $HOME.
"""

import difflib
import functools
import os
import pathlib
import shutil
import subprocess
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
TIMEOUT_S = 120


@functools.lru_cache(maxsize=None)
def fitted_shelf(tool):
    """The sample's shelf with its fit kept beside the record, as whoever asked once has
    it. That a kept fit gives the same answer as a new one is a test of the app's."""
    temporary = tempfile.TemporaryDirectory(prefix="drydepth-shelf-")
    shelf = pathlib.Path(temporary.name) / "shelf"
    shutil.copytree(ROOT / "samples" / "shelf", shelf,
                    ignore=shutil.ignore_patterns(".*"))
    subprocess.run([tool, "estimate", "--at", "2026-03-06T06:30:00Z",
                    shelf / "K-07.json"], check=True, stdout=subprocess.DEVNULL,
                   env={"PATH": "/usr/bin:/bin", "HOME": temporary.name, "TZ": "UTC"})
    return temporary, shelf


class Sandbox:
    def __init__(self, tool):
        self.tool = pathlib.Path(tool).resolve(strict=True)
        self._temporary = tempfile.TemporaryDirectory(prefix="drydepth-")
        self.folder = pathlib.Path(self._temporary.name).resolve()
        self._bin = self.folder / ".bin"
        self._bin.mkdir()
        (self._bin / "drydepth").symlink_to(self.tool)
        # A copy: the tool keeps its fit beside the record.
        shutil.copytree(fitted_shelf(self.tool)[1], self.folder / ".samples" / "shelf")

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self._temporary.cleanup()

    def environment(self):
        xdg = {f"XDG_{name}_HOME": str(self.folder / place)
               for name, place in (("CONFIG", ".config"), ("DATA", ".local/share"),
                                   ("STATE", ".local/state"), ("CACHE", ".cache"))}
        return {
            "PATH": f"{self._bin}:{os.environ['PATH']}",
            "HOME": str(self.folder),
            "TZ": "UTC",
            "LC_ALL": "C.UTF-8",
            "DRYDEPTH": str(self.tool),
            "DATA": str(ROOT / "tests" / "data"),
            "SAMPLES": str(self.folder / ".samples"),
            **xdg,
        }

    def run(self, script, stderr=subprocess.PIPE):
        """Runs a bash script here; (stdout, stderr, exit code)."""
        done = subprocess.run(["bash", "-eu", "-c", script], cwd=self.folder,
                              env=self.environment(), stdin=subprocess.DEVNULL,
                              stdout=subprocess.PIPE, stderr=stderr,
                              timeout=TIMEOUT_S)
        return self.shown(done.stdout), self.shown(done.stderr or b""), done.returncode

    def shown(self, output):
        return output.decode(errors="replace").replace(str(self.folder), "$HOME")


def difference(name, expected, got):
    """A unified diff as text, empty where both are equal."""
    lines = difflib.unified_diff(expected.splitlines(keepends=True),
                                 got.splitlines(keepends=True),
                                 f"{name} (expected)", f"{name} (got)")
    return "".join(line if line.endswith("\n") else line + "\n\\ no newline at end\n"
                   for line in lines)
