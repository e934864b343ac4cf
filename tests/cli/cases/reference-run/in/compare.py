"""Compares two reports with the tables of the reference run in docs/model.md."""
import json
import sys

AFTER_12_H = {1: 0.282, 7: 0.859, 13: 1.401, 19: 1.840, 25: 2.124}
AT_NOZZLE = {"open": {0: 0.504, 175.2: 1.078, 336.5: 1.421},
             "live-dryer": {0: 0.252, 175.2: 0.297, 336.5: 0.288}}
LEFT = {"open": 1.836, "live-dryer": 0.610}
TOLERANCE = 0.01  # of the value: what the two solutions behind the tables warrant


def check(what, expected, got):
    good = abs(got - expected) <= TOLERANCE * expected
    print(f"{what}: " + ("within 1 %" if good else f"expected {expected}, got {got}"))


estimate, dryer, room = (json.load(open(name)) for name in sys.argv[1:4])
for layer, percent in AFTER_12_H.items():
    check(f"after 12 h, layer {layer}", percent,
          estimate["layers"][layer - 1]["percent"])
for report, name in ((room, "open"), (dryer, "live-dryer")):
    feed = next(f for f in report["feeds"] if f["feed"] == name)
    for begin, percent in AT_NOZZLE[name].items():
        # The end of the wound layer that starts at that mass: the next row.
        row = next(r for r in feed["nozzle"] if r["g"] > begin + 1)
        check(f"{name}, layer from {begin} g", percent, row["percent"])
    check(f"{name}, left", LEFT[name], feed["mean_after_percent"])
