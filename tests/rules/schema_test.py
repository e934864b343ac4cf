#!/usr/bin/env python3
"""The rule files, a spool record, settings and mounts against their JSON Schemas, by a
validator that knows nothing of the tool (python3-jsonschema), and the schemas against
wrong files.

  schema_test.py path/to/repository

Ends with 77 (skipped) where the validator is not installed.
"""

import copy
import json
import pathlib
import sys

try:
    import jsonschema
except ImportError:
    print("python3-jsonschema is not installed")
    sys.exit(77)

ROOT = pathlib.Path(sys.argv[1])
RULES = ROOT / "rules"
# Schema, files that pass, and what must not: a path in the first file and a value
# (None: the member is taken out).
SETS = [
    ("material", sorted(RULES.glob("materials/*.json")),
     [(["format"], "drydepth-material/2"), (["density_kg_m3", "value"], 1.13),
      (["isotherm", "curvature", "value"], 1.0), (["limits"], None),
      (["density_kg_m3", "source"], None), (["density_kg_m3", "status"], "measured"),
      (["colour"], "black")]),
    ("body", [RULES / "bodies.json"],
     [(["bodies", 0, "kind"], ""), (["bodies", 0, "heat_ceiling_c", "value"], 1000)]),
    ("policy", [RULES / "policy.json"],
     [(["adjust", "most_c", "value"], 25), (["pause", "hidden"], None),
      (["adjust", "step_c", "status"], "sure"), (["hotter"], True)]),
    ("evidence", [RULES / "evidence.json"],
     [(["pops"], None), (["coupon", "offset_mm", "sd"], None),
      (["strings", "sign", "share_above", "value"], 1),
      (["piece", "left_share", "source"], None), (["colour"], "black")]),
    ("firmware", sorted(RULES.glob("firmware/*.json")), [(["id"], None)]),
    ("spool", [ROOT / "samples/shelf/K-07.json", ROOT / "tests/data/spools/K-07.json",
               ROOT / "tests/data/spools/W-15.json"],
     [(["winding", "width_mm"], None), (["filament", "diameter_mm"], 0.00175),
      (["events", 0, "type"], "wash"), (["events", 0, "from"], "yesterday"),
      (["opened", "moisture_percent"], -1),
      (["opened", "layers_percent"], [0.4]),
      (["events", 0], {"type": "respool", "at": "2026-03-02T08:00:00Z"}),
      (["events", 0], {"type": "respool", "at": "2026-03-02T08:00:00Z",
                       "body": {"kind": "pc", "tare_g": 0.2}}),
      (["opened"], {"layers_percent": []}),
      (["opened"], {"layers_percent": [0.4, "wet"]})]),
    ("spool", [ROOT / "tests/data/spools/F-03.json"],
     [(["events", 1, "before_g"], 0), (["events", 1, "after_g"], None),
      (["events", 2, "lengths"], []), (["events", 2, "lengths", 0, "design_mm"], None),
      (["events", 3, "pops"], -1), (["events", 3, "pops"], "five"),
      (["events", 3, "length_mm"], "100mm")]),
    ("config", [ROOT / "tests/data/settings/config.json", ROOT / "samples/config.json"],
     [(["format"], None), (["rooms"], "21C/60%"), (["room"], "21C"), (["feed"], "dryer"),
      (["printers", "left", "purge_mm"], -1), (["printers", "left", "attended"], "8-18"),
      (["printers", "left", "nozzle"], 0.4), (["dryers", "attic", "measured"], []),
      (["dryers", "oven", "measured", 0, "set_c"], None)]),
    ("mounts", [ROOT / "tests/data/settings/mounts.json"],
     [(["format"], "drydepth-mounts/2"), (["mounts", 0, "tool"], 0.5),
      (["mounts", 0, "spool"], None), (["mounts", 1, "feed"], "closed"),
      (["mounts", 0, "colour"], "black")]),
]


def changed(document, path, value):
    document = copy.deepcopy(document)
    place = document
    for key in path[:-1]:
        place = place[key]
    if value is None:
        del place[path[-1]]
    else:
        place[path[-1]] = value
    return document


def main():
    failed = checks = 0
    for name, files, wrong in SETS:
        schema = json.loads((RULES / f"{name}.schema.json").read_text())
        jsonschema.Draft202012Validator.check_schema(schema)
        validator = jsonschema.Draft202012Validator(schema)
        if not files:
            print(f"FAILED no files for {name}")
            failed += 1
        for file in files:
            checks += 1
            for error in validator.iter_errors(json.loads(file.read_text())):
                print(f"FAILED {file.relative_to(ROOT)}: {error.json_path}: {error.message}")
                failed += 1
        for path, value in wrong:
            checks += 1
            document = changed(json.loads(files[0].read_text()), path, value)
            if validator.is_valid(document):
                print(f"FAILED {name}: {path} = {value!r} passes")
                failed += 1
    print(f"{checks} checks, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
