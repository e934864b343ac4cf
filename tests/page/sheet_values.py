"""Holds what a page shows against the JSON of the same run."""

import datetime
import re

NUMBER = r"\d+(?:\.\d+)?"


def at(report, pointer):
    """RFC 6901; our keys hold no escapes."""
    value = report
    for key in pointer.split("/")[1:]:
        value = value[int(key) if isinstance(value, list) else key]
    return value


def close(shown, value):
    """Equal as far as the shown digits go; the JSON is rounded too."""
    digits = len(shown.partition(".")[2])
    return abs(float(shown) - value) <= 0.5 * 10 ** -digits + 1e-3


def all_close(text, values):
    shown = re.findall(NUMBER, text)
    return len(shown) == len(values) and all(map(close, shown, values))


def spread(value, of=lambda v: v):
    """p50 first, as it is written; one number of a nominal run."""
    if isinstance(value, dict) and "p50" in value:
        return [of(value[p]) for p in ("p50", "p10", "p90")]
    return [of(value)]


def depth_is_shown(text, value):
    middle, *range_g = spread(value)
    told = re.sub(r"^estimated below .*?\) ", "", text)
    shown = re.findall(NUMBER, told.replace("(p10-p90", "("))
    wanted = [middle["m"], middle["g"], middle["wraps"]] if middle["g"] > 0 else []
    wanted += [place["g"] for place in range_g]
    return (("in no wrap" in told) == (middle["g"] <= 0) and
            len(shown) == len(wanted) and all(map(close, shown, wanted)))


def place_is_shown(text, value, start):
    if value is None:
        return text == "never"
    found = re.fullmatch(rf"({NUMBER}) g L(\d+) (?:\+(\d+)d )?(\d\d:\d\d)", text)
    if not found:
        return False
    when = start + datetime.timedelta(seconds=round(value["time_s"]))
    days = (when.date() - start.date()).days
    return (close(found[1], value["g"]) and int(found[2]) == value["layer"] and
            int(found[3] or 0) == days and found[4] == when.strftime("%H:%M"))


def is_shown(pointer, text, report):
    value = at(report, pointer)
    start = datetime.datetime.fromisoformat(report["at"].replace("Z", "+00:00"))
    key = pointer.rpartition("/")[2]
    if "/crossing/" in pointer:
        return place_is_shown(text, value, start)
    if "/dry_depth" in pointer:
        return depth_is_shown(text, value)
    if key == "share_above":
        return all_close(text, [100 * value])
    if key == "mean_percent":
        return all_close(text.replace("p10-p90", ""), spread(value))
    if key in ("left_g", "needed_g", "layers"):
        return all_close(text, [value])
    return text == value or text.startswith(f"{value}, ")


def wanted(report):
    """What no page may leave out of the feeds in use and of the spools."""
    out = set()
    told = {s["tool"]: s["told"] for s in report["spools"]}
    limit = report["limit"]
    shares = [""] if report["nominal"] else ["/p10", "/p50", "/p90"]
    for k, feed in enumerate(report["feeds"]):
        if not feed["in_use"]:
            continue
        out.add(f"/feeds/{k}/verdict")
        if told[feed["tool"]]:
            out.add(f"/feeds/{k}/share_above")
            out |= {f"/feeds/{k}/crossing/{limit}{share}" for share in shares}
    for k, spool in enumerate(report["spools"]):
        if spool["told"]:
            out |= {f"/spools/{k}/mean_percent", f"/spools/{k}/dry_depth_{limit}"}
    return out


def complaints(shown, report):
    """`shown`: pairs of pointer and text, of a page."""
    out = [f"{pointer}: {text!r} is not {at(report, pointer)}"
           for pointer, text in shown if not is_shown(pointer, text, report)]
    missing = wanted(report) - {pointer for pointer, _ in shown}
    return out + [f"{pointer}: not shown" for pointer in sorted(missing)]
