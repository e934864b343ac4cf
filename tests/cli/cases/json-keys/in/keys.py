"""Prints which promised keys a report lacks, and checks the shape of ranges."""
import json
import sys

PROMISED = {
    "": "job spools feeds edits advice",
    "job": "tools duration_s duration_source layers slicer firmware",
    "job/tools/0": "tool length_mm stated_length_mm mass_g",
    "spools/0": "tool id mean_percent dry_depth valid_until",
    "spools/0/mean_percent": "p10 p50 p90",
    "spools/0/dry_depth/p10": "wraps m g",
    "feeds/0": "tool feed verdict share_above crossing nozzle",
    "feeds/0/crossing": "cosmetic strength",
    "feeds/0/crossing/cosmetic": "p10 p50 p90",
    "feeds/0/crossing/cosmetic/p10": "g m time_s line layer",
    "feeds/0/nozzle/0": "g m time_s line percent",
    "feeds/0/nozzle/0/percent": "p10 p50 p90",
    "edits/0": "line action text reason",
}
ESTIMATE = {"": "at layers mean_percent dry_depth", "layers/0": "percent"}


def at(data, pointer):
    for step in filter(None, pointer.split("/")):
        data = data[int(step)] if isinstance(data, list) else data[step]
    return data


report, estimate, nominal = (json.load(open(name)) for name in sys.argv[1:4])
for data, promised in ((report, PROMISED), (estimate, ESTIMATE)):
    for pointer, keys in promised.items():
        for key in keys.split():
            if key not in at(data, pointer):
                print(f"{pointer}/{key} is missing")
for pointer in ("spools/0/mean_percent", "feeds/0/nozzle/0/percent"):
    if not isinstance(at(nominal, pointer), float):
        print(f"{pointer} is no number in a nominal run")
layers = [layer["percent"]["p50"] for layer in estimate["layers"]]
print(report["format"], [feed["feed"] for feed in report["feeds"]], len(layers))
print("outermost first:", layers[0] < layers[-1])
for low, middle, high in (at(report, "spools/0/mean_percent").values(),):
    print("in order:", low <= middle <= high)
