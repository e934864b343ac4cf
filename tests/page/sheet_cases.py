"""Jobs and records whose sheets are opened in a browser: the sample, and invented ones
with names, lengths and histories as unkind as files may have."""

import dataclasses
import json
import lzma
import pathlib
import shutil
import subprocess

AT = "2026-03-06T06:30:00Z"
HOSTILE_ID = "<script>alert(1)</script>"
LONG_ID = "spool_of_the_third_shelf_in_the_back_room_opened_in_spring_" * 2 + "end"


@dataclasses.dataclass
class Case:
    name: str
    job: str                 # file name
    spools: list             # records in the order of the tools
    pages: int               # that it prints on, A4 and Letter
    options: tuple = ()
    lines: list = dataclasses.field(default_factory=list)  # of the job; none: the sample


def record(spool_id, events=(), moisture=2.8, **more):
    out = {"format": "drydepth-spool/1", "id": spool_id, "material": "pa6",
           "filament": {"diameter_mm": 1.75},
           "winding": {"hub_diameter_mm": 80, "width_mm": 55, "outer_diameter_mm": 185,
                       "full_net_g": 978},
           "body": {"kind": "pc", "tare_g": 214},
           "opened": {"at": "2026-03-02T08:00:00Z"},
           "events": list(events), **more}
    if moisture:
        out["opened"].update({"temperature_c": 23, "moisture_percent": moisture,
                              "moisture_sd_percent": 0.4})
    return out


def room(start, end):
    return {"type": "storage", "from": start, "to": end,
            "air": {"temperature_c": 23, "rh_percent": 45}}


def drying(start, end, celsius=82):
    return {"type": "drying", "from": start, "to": end,
            "air": {"temperature_c": celsius,
                    "room": {"temperature_c": 23, "rh_percent": 40}}}


def dried(spool_id, celsius):
    return record(spool_id, [drying("2026-03-05T18:00:00Z", "2026-03-06T06:00:00Z",
                                    celsius)])


def two_years():
    """A drying and a storage each month, from the opening to the job."""
    events = []
    for month in range(24):
        day = f"{2024 + (month + 2) // 12}-{(month + 2) % 12 + 1:02}"
        events += [room(f"{day}-01T08:00:00Z", f"{day}-20T08:00:00Z"),
                   drying(f"{day}-20T08:00:00Z", f"{day}-20T16:00:00Z", 70)]
    out = record("two-years", events)
    out["opened"]["at"] = "2024-03-01T08:00:00Z"
    return out


def forty_weighings():
    """Weighed every quarter of an hour, at the ends and in the middle of a drying."""
    out = dried("weighed", 82)
    for k in range(40):
        minutes = 18 * k
        hour = 18 + minutes // 60
        at = f"2026-03-0{5 + hour // 24}T{hour % 24:02}:{minutes % 60:02}:00Z"
        out["events"].append({"type": "weighing", "at": at,
                              "gross_g": round(1220.2 - 15 * (k / 40) ** 0.7, 1),
                              "scale_sd_g": 0.1})
    return out


def job_lines(tools, layers=12, e_per_line=400):
    """Moves only: each layer is printed by every tool, some hours in all."""
    out = ["; invented", "G28", "M83"]
    for layer in range(layers):
        out += [";LAYER_CHANGE", f"G1 Z{0.3 * (layer + 1):.1f} F600"]
        for tool in range(tools):
            out += [f"T{tool}"] if tools > 1 else []
            out += [f"G1 X{20 + 10 * (k % 2)} Y{10 * k} E{e_per_line} F20"
                    for k in range(3)]
    return out


def cases():
    names = ["K-07", HOSTILE_ID, LONG_ID, "a & b", "\"q\"", "'s'"]
    names += [f"S-{k}" for k in range(6)]
    twelve = [dried(name, 60 + 2 * k) for k, name in enumerate(names)]
    twelve[4] = record("nothing", moisture=None)
    del twelve[4]["opened"]
    twelve[7] = record("empty")
    unknown = record("unknown", moisture=None)
    del unknown["opened"], unknown["body"]["tare_g"]
    few = ("--members", "32")
    edits = [word for action in ("message", "pause", "adjust")
             for word in ("--action", action)]
    return [
        Case("sample", "housing.gcode", [None], 1),
        Case("nominal", "housing.gcode", [None], 1, ("--nominal",)),
        Case("hostile", "a \"b\" & 'c' <script>alert(2)</script>".replace("/", "") +
             "_long" * 20 + ".gcode", [dried(HOSTILE_ID, 82)], 1, few, job_lines(1)),
        Case("long-id", "part.gcode", [dried(LONG_ID, 70)], 1, few, job_lines(1)),
        Case("two-tools", "two.gcode", [dried("left", 82), dried("right", 65)], 1, few,
             job_lines(2)),
        Case("twelve-tools", "twelve.gcode", twelve, 2, few, job_lines(12)),
        Case("empty", "part.gcode", [record("empty")], 1, few, job_lines(1)),
        Case("unknown", "part.gcode", [unknown], 1, few, job_lines(1)),
        Case("two-years", "part.gcode", [two_years()], 1, few, job_lines(1)),
        Case("weighed", "part.gcode", [forty_weighings()], 1, few, job_lines(1)),
        Case("edits", "housing.gcode", [None], 1, edits),
        Case("short", "part.gcode", [dried("short", 82)], 1, few, job_lines(1, 1, 1)),
    ]


def write(case, folder, source):
    """The case's job and records; the options that name them."""
    job = folder / case.job
    if case.lines:
        job.write_text("\n".join(case.lines) + "\n", encoding="utf-8")
    else:
        job.write_bytes(lzma.open(source / "samples/housing.gcode.xz").read())
    options = []
    for tool, spool in enumerate(case.spools):
        path = folder / f"spool-{tool}.json"
        if spool is None:
            shutil.copy(source / "samples/shelf/K-07.json", path)
        else:
            path.write_text(json.dumps(spool), encoding="utf-8")
        options += ["--spool", f"T{tool}={path}" if len(case.spools) > 1 else str(path)]
    return [*options, "--at", AT, *case.options, str(job)]


def make(tool, source, case, folder):
    """Page and report, of one run."""
    folder.mkdir()
    arguments = write(case, folder, pathlib.Path(source))
    page = folder / "sheet.html"
    run = {"check": True, "timeout": 300, "capture_output": True,
           "env": {"HOME": str(folder), "PATH": "/usr/bin:/bin", "TZ": "UTC"}}
    said = subprocess.run([tool, "guard", "--preview", "--json", "--sheet", page,
                           *arguments], **run)
    return page, json.loads(said.stdout)
