#!/usr/bin/env python3
"""Every action on every firmware's table, on jobs of three slicers, read by an outsider.

    actions_test.py DRYDEPTH DATA_FOLDER RULES_FOLDER

The reader of gcode_reader.py runs the job as sliced and as guarded and writes down what
a printer would do: places, feeds, E steps, temperatures, fans, everything else. They may
differ only where planned:

  - a retraction is longer by at most a tenth and 0.4 mm, and the next recovery by the
    very same; or the firmware's own setting is, by the same rule;
  - temperatures are added, each lower than what is in force, by 10 C at most, never
    waited for, never below the material's least;
  - a message in the firmware's form, and at most one pause in its command.

Places, feeds, net and peak length of each tool, fans and modes stay as they are, and
`restore` gives back every byte.
"""
import functools
import json
import pathlib
import re
import subprocess
import sys
import tempfile
from fractions import Fraction

sys.dont_write_bytecode = True
from gcode_reader import WORD, Job  # noqa: E402

# Invented: a narrow spool, wet beneath its outer layers, so that a cube meets them.
SPOOL = """{"format": "drydepth-spool/1", "id": "S-01", "material": "pla",
 "limits": {"cosmetic_percent": 0.5, "strength_percent": 0.1},
 "filament": {"diameter_mm": 1.75},
 "winding": {"hub_diameter_mm": 80, "width_mm": 3.6, "outer_diameter_mm": 96,
             "full_net_g": 7.2},
 "body": {"kind": "pc", "tare_g": 214},
 "opened": {"at": "2026-03-06T06:00:00Z", "layers_percent": [0.05, 0.05, 0.9, 0.9, 0.9],
            "moisture_sd_percent": 0.01}, "events": []}"""
# Jobs of three slicers: absolute and relative E, volumes, wipes, the firmware's own.
SAMPLES = ("ps25_cube_marlin2_M73", "ps25_cube_marlin2_relE",
           "ps25_cube_reprapfw_fwretract_absE", "cura413_cube_marlin",
           "slic3r13_cube_marlin")
MOST_LESS_C = 10
SHARE, MOST_MM = Fraction(1, 10), Fraction("0.4")


class Watched(Job):
    """What a job does, as a list of steps (kind, values...)."""

    def __init__(self, text):
        super().__init__(text)
        self.steps = []

    def command(self, code):
        words = WORD.findall(code)
        name = words[0][0] + str(int(Fraction(words[0][1]))) if words else code
        before = dict(self.net)
        super().command(code)
        if name in ("G0", "G1", "G2", "G3"):
            values = {k.upper(): Fraction(v) for k, v in words[1:]}
            place = tuple(self.at.get(a) for a in "XYZ")
            step = self.net.get(self.tool, Fraction(0)) - before.get(
                self.tool, Fraction(0))
            self.steps.append(("move", name, self.tool, place, values.get("F"), step))
        elif name in ("M104", "M109"):
            self.steps.append(("heat", name, self.tool, code))
        elif name == "G92":
            # Where E is counted from is nothing that a printer does.
            rest = " ".join(sorted(w + v for w, v in words if w != self.letter))
            self.steps.append(("other", rest))
        else:
            self.steps.append(("other", code))


def steps_of(text):
    job = Watched(text).read()
    return job, job.steps


def degrees(code):
    found = re.search(r"[SP](\d+(?:\.\d+)?)", code)
    return float(found[1]) if found else None


class Comparison:
    def __init__(self, rule, least_c, text):
        self.rule, self.least_c = rule, least_c
        self.pause = rule["pause"].get("value")
        # The user's own, where it is one on that firmware.
        if rule["obeys_m601"]["value"] and b"; pause_print_gcode = M601\n" in text:
            self.pause = "M601"
        self.seen = {"message": 0, "pause": 0, "lower": 0, "longer": 0, "setting": 0}
        self.in_force = None
        self.owed = self.drawn = Fraction(0)
        self.stated = None

    def run(self, old, new):
        k = 0
        for step in new:
            if k < len(old) and self.same(old[k], step):
                self.note(step)
                k += 1
            elif not self.added(step):
                was = old[k] if k < len(old) else "the end"
                return f"{step} where the job had {was}"
        if k < len(old):
            return f"{old[k]} is missing"
        return "a longer retraction was not given back" if self.owed else ""

    def note(self, step):
        if step[0] == "heat":
            self.in_force = degrees(step[3])
        elif step[0] == "other" and re.match(r"G10 .*\bP\d", step[1]):
            self.in_force = float(re.search(r" S([\d.]+)", step[1] + " S0")[1])
        setting = self.rule["retraction"].get("value")
        if setting and step[0] == "other":
            name, _, word = setting.partition(" ")
            found = step[1].startswith(name + " ") and re.search(
                " " + word + r"([\d.]+)", step[1])
            if found:
                self.stated = Fraction(found[1])

    def same(self, a, b):
        if a[0] != "move" or b[0] != "move":
            return a == b
        if a[:5] != b[:5]:
            return False
        more = b[5] - a[5]
        if a[5] < 0:
            self.drawn -= a[5]
            self.owed -= more
            self.seen["longer"] += more < 0
            return more <= 0
        if a[5] > 0:
            # Of the whole retraction, of which a wiping slicer writes pieces.
            good = more == self.owed and more <= min(SHARE * self.drawn,
                                                     MOST_MM * (self.rate or 1))
            self.owed = self.drawn = Fraction(0)
            return good
        return more == 0

    rate = None  # mm3 for a mm, where E is a volume

    def added(self, step):
        if step[0] == "heat":
            now = degrees(step[3])
            self.seen["lower"] += 1
            return (step[1] == "M104" and self.in_force is not None and now is not None
                    and 0 < self.in_force - now <= MOST_LESS_C and now >= self.least_c)
        if step[0] != "other":
            return False
        code = step[1]
        message = self.rule["message"].get("before")
        if message and code.startswith(message):
            text = code[len(message):].removesuffix(self.rule["message"].get("after", ""))
            self.seen["message"] += 1
            return bool(re.fullmatch(r"[a-z][a-z0-9 .%-]*", text)) and len(
                text) <= self.rule["message"]["max_length"]
        if code == self.pause:
            self.seen["pause"] += 1
            return self.seen["pause"] == 1
        setting = self.rule["retraction"].get("value")
        if setting and self.stated and code.startswith(setting):
            more = Fraction(code[len(setting):]) - self.stated
            self.seen["setting"] += 1
            return 0 < more <= min(SHARE * self.stated, MOST_MM)
        return False


def variants(sample, rule):
    """The job, and where its firmware retracts, the same with a stated length."""
    text = sample.read_bytes()
    yield text
    setting = rule["retraction"].get("value")
    if setting and b"\nG10" in text:
        first, rest = text.split(b"\n", 1)
        yield first + b"\n" + setting.encode() + b"1.5\n" + rest


@functools.lru_cache(maxsize=4)
def steps_as_sliced(text):
    """Read once for all firmwares, and only looked at."""
    return steps_of(text.decode("latin-1"))


def check(tool, text, rule, folder, least_c):
    job = folder / "job.gcode"
    job.write_bytes(text)
    guard = subprocess.run(
        [tool, "guard", "--spool", "./S.json", "--at", "2026-03-06T06:30:00Z",
         "--nominal", "--firmware", rule["id"], "--action", "message,pause,adjust",
         "job.gcode"], cwd=folder, capture_output=True, timeout=120)
    if guard.returncode == 65:
        return "not read", {}  # E is not the filament's axis there
    if guard.returncode:
        return guard.stderr.decode(), {}
    old_job, old = steps_as_sliced(text)
    new_job, new = steps_of(job.read_bytes().decode("latin-1"))
    comparison = Comparison(rule, least_c, text)
    section = old_job.section
    comparison.rate = Fraction(section) if section else None
    wrong = comparison.run(old, new)
    if not wrong and (old_job.net != new_job.net or old_job.peak != new_job.peak):
        wrong = f"lengths {old_job.lengths()} became {new_job.lengths()}"
    subprocess.run([tool, "restore", "job.gcode"], cwd=folder, check=True,
                   capture_output=True, timeout=120)
    if job.read_bytes() != text:
        wrong += " not restored"
    return wrong, comparison.seen


def main(tool, data, rules):
    rules = pathlib.Path(rules)
    pla = json.loads((rules / "materials" / "pla.json").read_text())
    least_c = pla["nozzle"]["min_c"]["value"]
    seen, failures, read = {}, 0, 0
    firmwares = [json.loads(p.read_text()) for p in sorted(rules.glob("firmware/*.json"))]
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        (folder / "S.json").write_text(SPOOL)
        for sample in (pathlib.Path(data) / f"{name}.gcode" for name in SAMPLES):
            for rule in firmwares:
                for text in variants(sample, rule):
                    wrong, found = check(tool, text, rule, folder, least_c)
                    if wrong == "not read":
                        continue
                    read += 1
                    if wrong:
                        failures += 1
                        print(f"{sample.name} on {rule['id']}: {wrong}", flush=True)
                    for what, count in found.items():
                        seen[what] = seen.get(what, 0) + count
    print(f"{read} guarded jobs, {failures} not as planned; seen: {seen}")
    few = [what for what in ("message", "pause", "lower", "longer", "setting")
           if seen.get(what, 0) < 5]
    if few:
        print("too few to tell:", ", ".join(few))
    return 1 if failures or few else 0


if __name__ == "__main__":
    sys.exit(main(*map(lambda p: str(pathlib.Path(p).resolve()), sys.argv[1:4])))
