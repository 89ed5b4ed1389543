"""Judges the lay of a report with shapely, which had no part in making it.

    python cloth_lays.py ELLWAND report.json CLOTH.toml [--narrow] [--steps N] [more words for `ellwand lay`]

Lets the program lay what is cut from the shell and asks of lay.json, with the cutting lines of
report.json as they stand there:
  * every piece of the cut list is there: of a pair as many face up as face down, of a half piece on
    flat cloth the whole, opened out here by a mirror of its own;
  * each outline is the report's cutting line, carried by its grain arrow and turned over only if it
    says so: no point farther off than 0.01 mm;
  * the grain lies along (or across) the cloth within 0.5 degrees, or the tilt that is allowed, all
    tops one way where the cloth has a nap;
  * no two overlap by more than 0.01 mm and the gap is kept to 0.01 mm; all lie on the cloth, on the
    part (doubled, opened out) that is theirs; halves on the fold lie with their fold on it;
  * flaws are left free; what is told as left over has no piece on it;
  * a piece that is joined (--join) is the piece of the report cut along the selvedge: both sides are what
    the report's cutting line leaves on each side of the join and its allowance, and no more is joined
    than is too wide;
  * what is cut from scraps lies on them, with its grain along them, in one layer, pairs with their twins; where
    all of it does, nothing is bought;
  * the width that is laid on is the width bought, shrunk, without its selvedges;
  * the amount bought is lay and margin, before shrinking, rounded up once (in fractions).
With --narrow a piece is too wide for the cloth: it must be refused then, for a piece that is as wide as is
said, by its own cutting line, and wider than the cloth has room, by the cloth's own page.
Needs shapely 2. Exit 0 when all holds, 1 when something does not.
"""

import json
import re
import subprocess
import sys
import tempfile
import tomllib
from collections import Counter
from fractions import Fraction
from math import atan2, ceil, cos, degrees, hypot, sin
from pathlib import Path

from shapely.geometry import LineString, Polygon, box

HAIR = 0.01
STEPS = {
    "1/8 yd": (Fraction(1, 8), Fraction(9144, 10)), "1/4 yd": (Fraction(1, 4), Fraction(9144, 10)),
    "1/2 yd": (Fraction(1, 2), Fraction(9144, 10)), "10 cm": (Fraction(1, 10), Fraction(1000)),
}


def carried(points, grain, to, over):
    """Points of the paper (y down) on the cloth (y up), by where the grain arrow goes."""
    (ax, ay), (bx, by) = grain
    (cx, cy), (dx, dy) = to
    turn = atan2(dy - cy, dx - cx) - atan2(-(by - ay), bx - ax) * (-1 if over else 1)
    c, s = cos(turn), sin(turn)
    out = []
    for x, y in points:
        u, v = x - ax, -(y - ay)
        if over:
            v = -v
        out.append((cx + u * c - v * s, cy + u * s + v * c))
    return out


def opened(points, fold):
    (ax, ay), (bx, by) = fold
    n = hypot(bx - ax, by - ay)
    ux, uy = (bx - ax) / n, (by - ay) / n

    def mirrored(p):
        d = ux * (p[1] - ay) - uy * (p[0] - ax)
        return (p[0] + 2 * uy * d, p[1] - 2 * ux * d)

    half = Polygon(points).buffer(0.001)
    return half.union(Polygon([mirrored(p) for p in points]).buffer(0.001))


def beyond(join, part):
    """What lies on the part's side of a join, as far as an allowance into the other side; or on the other."""
    (ax, ay), (bx, by) = join["line_mm"]
    n = hypot(bx - ax, by - ay)
    ux, uy = (bx - ax) / n, (by - ay) / n
    gx, gy = join["part_grain_mm"][0]
    side = 1 if ux * (gy - ay) - uy * (gx - ax) > 0 else -1
    far, a = 1e5, join["allowance_mm"]
    way = (-uy * side, ux * side) if part else (uy * side, -ux * side)
    ends = [(ax - ux * far, ay - uy * far), (ax + ux * far, ay + uy * far)]
    low = [(x - way[0] * a, y - way[1] * a) for x, y in ends]
    high = [(x + way[0] * far, y + way[1] * far) for x, y in ends]
    return Polygon([low[0], low[1], high[1], high[0]])


def unjoined(pieces, joins, across, faults):
    """Puts in the place of each joined piece what is left of it, and beside it what is sewn on."""
    for join in joins:
        whole = pieces[join["piece"]]
        grain = whole["grain_mm"] or [[0, 0], [0, 1]]
        (ax, ay), (bx, by) = join["line_mm"]
        turned = off(degrees(atan2(by - ay, bx - ax)), degrees(atan2(grain[1][1] - grain[0][1], grain[1][0] - grain[0][0])))
        if min(off(turned, 90), off(turned, -90)) > 0.01 if across else min(turned, off(turned, 180)) > 0.01:
            faults.append(f"{join['piece']}: its join does not run along the selvedge")
    done = {}
    for join in joins:
        done.setdefault(join["piece"], []).append(join)
    for name, all_of_it in done.items():
        whole = pieces[name]
        left = Polygon(whole["cutting_mm"])
        was = left
        folds = [e for e in whole["edges"] if e["role"] == "fold"]
        for join in all_of_it:
            sewn_on = was.intersection(beyond(join, True))
            left = left.intersection(beyond(join, False))
            for shape, what in ((sewn_on, "the part"), (left, "what is left")):
                if shape.geom_type != "Polygon":
                    faults.append(f"{name}: {what} is not in one")
            line = LineString(join["line_mm"])
            if was.exterior.distance(line.interpolate(0)) > HAIR or was.exterior.distance(line.interpolate(line.length)) > HAIR:
                faults.append(f"{name}: its join does not end at its edges")
            crossed = len(folds) and LineString(join["line_mm"]).distance(LineString([whole["stitching_mm"][folds[0]["from"]], whole["stitching_mm"][folds[0]["to"]]])) < 1.0
            cuts = []
            for cut in whole["cut"]:
                on_fold = cut["on_fold"] and crossed
                cuts.append(dict(cut, on_fold=on_fold, pair=cut["pair"] or (cut["on_fold"] and not crossed),
                                 count=cut["count"] * (2 if cut["on_fold"] and not crossed else 1)))
            pieces[join["part"]] = dict(whole, name=join["part"], cut=cuts, cutting_mm=list(sewn_on.exterior.coords)[:-1],
                                        grain_mm=join["part_grain_mm"], edges=whole["edges"] if crossed else [])
        pieces[name] = dict(whole, cutting_mm=list(left.exterior.coords)[:-1], grain_mm=all_of_it[0]["piece_grain_mm"])


def off(a, b):
    return abs((a - b + 180) % 360 - 180)


def refused(report, bought, says, gap):
    """A piece that is wider than the cloth is refused; then it has to be so wide, by its own cutting line, and
    the cloth so narrow, by its own page."""
    told = re.search(r'The piece "(.+?)" takes (\S+(?: \d+/\d+)?) in across the cloth, and the cloth has room for (\S+(?: \d+/\d+)?) in', says)
    if not told:
        sys.exit(f"it was not laid: {says}")
    takes, room = (sum(Fraction(part) for part in told[i].split()) for i in (2, 3))
    folded = " as it is folded" in says
    if folded and bought.get("fold") not in ("lengthwise", "part"):
        sys.exit(f"the cloth is not folded so: {says}")
    piece = next(p for p in report["pieces"] if p["name"] == told[1])
    cut = next(c for c in piece["cut"] if c["cloth"] == "shell")
    points = piece["cutting_mm"]
    # Where it is not said to be folded, a half piece lies opened out.
    if cut["on_fold"] and not folded:
        fold = next(e for e in piece["edges"] if e["role"] == "fold")
        points = opened(points, [piece["stitching_mm"][fold[k]] for k in ("from", "to")]).exterior.coords
    (ax, ay), (bx, by) = piece["grain_mm"] or [[0, 0], [0, 1]]
    n = hypot(bx - ax, by - ay)
    across = bought.get("length_runs") == "across"
    way = ((bx - ax) / n, (by - ay) / n) if across else ((by - ay) / n, (ax - bx) / n)
    along = [x * way[0] + y * way[1] for x, y in points]
    wide = (max(along) - min(along)) / 25.4
    # Told to the next quarter of an inch.
    if not wide - 0.01 <= takes <= wide + 0.26:
        sys.exit(f"it was not laid, and the piece is {wide:.2f} in wide: {says}")
    least = float(usable_inches(bought))
    if folded:
        least /= 2
        if "fold_depth" in bought:
            least = min(least, float(Fraction(str(bought["fold_depth"]).split()[0]) - Fraction(str(bought.get("selvedge", 0)))))
        # A pair keeps half the gap from the fold.
        least -= gap / 50.8 if cut["pair"] else 0.0
    if wide <= least or abs(float(room) - least) > 1 / 16:
        sys.exit(f"it was not laid, and the cloth has {least:.2f} in for {wide:.2f} in: {says}")


def usable_inches(bought):
    """The width of a cloth, shrunk and without its selvedges."""
    shrinks = Fraction(str(bought.get("shrink_across", "0 %")).split()[0]) / 100
    return Fraction(bought["width"]) * (1 - shrinks) - 2 * Fraction(str(bought.get("selvedge", 0)))


def main(ellwand, report_file, cloth_file, *more):
    report = json.loads(Path(report_file).read_text(encoding="utf-8"))
    bought = tomllib.loads(Path(cloth_file).read_text(encoding="utf-8"))
    narrow, more = "--narrow" in more, [word for word in more if word != "--narrow"]
    gap = 0.0
    if "--gap" in more:
        number, unit = more[more.index("--gap") + 1].split()
        gap = float(Fraction(number)) * {"in": 25.4, "cm": 10.0, "mm": 1.0}[unit]
    with tempfile.TemporaryDirectory() as folder:
        words = [ellwand, "lay", "--report", report_file, "--cloth", cloth_file, "--workers", "2", "--json", "--out", folder]
        words += ["--steps", "150000"] if "--steps" not in more else []
        done = subprocess.run([str(w) for w in words + more], capture_output=True, text=True)
        if narrow != (done.returncode != 0):
            sys.exit(f"it was not laid: {done.stderr}" if done.returncode else "a piece is too wide for it, and it was laid")
        if done.returncode:
            refused(report, bought, done.stderr, gap)
            print("the piece is too wide for it, as it says")
            return
        lay = json.loads(done.stdout)
        written = json.loads((Path(folder) / "lay.json").read_text(encoding="utf-8"))
    faults = [] if written == lay else ["lay.json is not what was said"]
    cloth = lay["cloth"]
    tilt = float(more[more.index("--tilt") + 1]) if "--tilt" in more else 0.0
    folded, doubled = cloth["fold"] in ("lengthwise", "part"), cloth["fold"] in ("double", "crosswise")
    usable = cloth["usable_mm"]
    high = usable / 2 if folded else usable
    deep = beside = None
    if cloth["fold"] == "part":
        deep, beside = cloth["turned_in_mm"]
        high = usable - deep
        if deep > usable / 2 + HAIR or beside < deep + max(cloth["selvedge_mm"], gap) - HAIR:
            faults.append(f"it can't be folded so: {deep}, {beside}")
    across = cloth["length_runs"] == "across"
    pieces = {p["name"]: p for p in report["pieces"]}
    unjoined(pieces, lay["joins"], across, faults)
    if bought.get("unit") == "in":
        wide = float(usable_inches(bought)) * 25.4
        if abs(wide - usable) > HAIR:
            faults.append(f"usable are {wide}, not {usable}")
    shapes, counted, single, ends = [], Counter(), Counter(), set()
    scraps = [(p, scrap) for scrap in lay["scraps"] for p in scrap["pieces"]]
    for p, scrap in [(p, None) for p in lay["pieces"]] + scraps:
        name, source = p["name"], pieces[p["name"]]
        shape = Polygon(p["outline_mm"])
        if not shape.is_valid:
            faults.append(f"{name}: its outline is no simple line")
        times = 2 if p["layers"] == "two" else 1
        counted[name, "face down" if p["face_down"] else "face up"] += times
        if times == 1:
            single[name, "face down" if p["face_down"] else "face up"] += 1
        grain = source["grain_mm"]
        true = source["cutting_mm"]
        fold = None
        for e in source["edges"]:
            if e["role"] == "fold":
                fold = [source["stitching_mm"][e["from"]], source["stitching_mm"][e["to"]]]
        if p["opened_out"]:
            whole = opened(true, fold)
            true = list(whole.exterior.coords)
        if grain:
            here = [Polygon(carried(true, grain, p["grain_mm"], over)) for over in (False, True)]
            # A half on the fold may be turned over: it comes out the same.
            tries = here if p["layers"] == "fold" or p["opened_out"] else [here[p["face_down"]]]
            far = min(max(shape.exterior.hausdorff_distance(t.exterior), 0) for t in tries)
            if far > 0.02:
                faults.append(f"{name} {p['copy']} is not the piece of the report: {far:.3f} mm off")
            (ax, ay), (bx, by) = p["grain_mm"]
            angle = degrees(atan2(by - ay, bx - ax))
            down = 90.0 if across else 0.0
            ways = [down] if cloth["nap"] == "one-way" else [down, down + 180]
            if min(off(angle, w) for w in ways) > max(0.5, tilt + 0.001):
                faults.append(f"{name}: its grain lies at {angle:.2f} degrees")
            if (off(angle, down) > 90) != p["head_to_foot"]:
                faults.append(f"{name}: head to foot is said wrongly")
        if scrap:
            x0, y0, x1, y1 = shape.bounds
            if x0 < -HAIR or x1 > scrap["long_mm"] + 2 * HAIR or y0 < -HAIR or y1 > scrap["wide_mm"] + 2 * HAIR:
                faults.append(f"{name} leaves scrap {scrap['number']}: {shape.bounds}")
            if p["layers"] != "one":
                faults.append(f"{name} can't be cut through two layers of a scrap")
            shapes.append((f"{name} {p['copy']}", shape, scrap["number"]))
            continue
        flat_end = p["layers"] == "one" and (folded or doubled)
        if deep is not None:
            flat_end = flat_end and p["on_opened_end"]
        low_x, high_x = 0.0, lay["table_mm"]
        if lay["flat_from_mm"] is not None:
            low_x, high_x = (lay["flat_from_mm"], high_x) if flat_end else (0.0, lay["flat_from_mm"])
        x0, y0, x1, y1 = shape.bounds
        low, top = 0.0, usable if flat_end else high
        if deep is not None and not flat_end:
            low, top = (beside, high) if p["layers"] == "one" else (0.0, deep)
        if x0 < low_x - HAIR or x1 > high_x + HAIR or y0 < low - HAIR or y1 > top + HAIR:
            faults.append(f"{name} leaves its part of the cloth: {shape.bounds}")
        if p["layers"] == "fold":
            # The fold edge of the report, on y = 0.
            borders = [carried(fold, grain, p["grain_mm"], over) for over in (False, True)]
            if min(max(abs(q[1]) for q in e) for e in borders) > 0.02:
                faults.append(f"{name} does not lie on the fold")
        for x0, y0, x1, y1 in cloth["flaws_mm"]:
            if not flat_end and shape.intersection(box(x0, y0, x1, y1)).area > HAIR:
                faults.append(f"{name} lies over a flaw")
        shapes.append((f"{name} {p['copy']}", shape, 0))
        if flat_end:
            ends.add(f"{name} {p['copy']}")
    for source in pieces.values():
        for cut in source["cut"]:
            if cut["cloth"] != "shell":
                continue
            name = source["name"]
            up, down = counted[name, "face up"], counted[name, "face down"]
            if up + down != cut["count"]:
                faults.append(f"{name} is cut {up + down} times, not {cut['count']}")
            if cut["pair"] and cloth["fold"] in ("none", "part") and single[name, "face up"] != single[name, "face down"]:
                faults.append(f"of {name}, {single[name, 'face up']} lie face up and {single[name, 'face down']} face down")
    for i, (a, s, on) in enumerate(shapes):
        for b, t, other in shapes[i + 1:]:
            if on != other:
                continue
            if s.buffer(-HAIR / 2, join_style="mitre").intersects(t.buffer(-HAIR / 2, join_style="mitre")):
                faults.append(f"{a} and {b} overlap by {s.intersection(t).area:.4f}")
            elif gap and s.distance(t) < gap - HAIR:
                faults.append(f"{a} and {b} are {s.distance(t):.3f} apart, not {gap}")
    right = max((s.bounds[2] for _, s, on in shapes if not on), default=0.0)
    if abs(right - lay["table_mm"]) > HAIR:
        faults.append(f"the lay ends at {right}, not {lay['table_mm']}")
    takes = lay["table_mm"]
    if doubled:
        takes += takes if lay["flat_from_mm"] is None else lay["flat_from_mm"]
    if abs(takes - lay["length_mm"]) > HAIR:
        faults.append(f"it takes {takes}, not {lay['length_mm']}")
    for left in lay["left_mm"]:
        place = box(*left["place"])
        for a, s, on in shapes:
            flat_end = a in ends
            if on:
                continue
            if deep is None and (folded or doubled) and left["doubled"] == flat_end:
                continue
            if deep is not None and (left["place"][0] >= (lay["flat_from_mm"] or 1e9) - HAIR) != flat_end:
                continue
            if s.intersection(place).area > HAIR:
                faults.append(f"{a} lies on what is told as left")
    if not lay["pieces"]:
        # All of it lies on scraps.
        if not scraps or lay["buy"] or lay["cost"] or lay["left_mm"]:
            faults.append("nothing is cut from the cloth, and yet it is bought")
        print("\n".join(faults) if faults else "the lay holds: all on scraps, nothing to buy")
        return 1 if faults else 0
    buy = lay["buy"]
    need = Fraction(lay["length_mm"]) / (1 - Fraction(cloth["shrink_along"]).limit_denominator(10_000))
    if abs(need - Fraction(buy["lay_mm"])) > Fraction(1, 1000):
        faults.append(f"before shrinking it is {float(need)}, not {buy['lay_mm']}")
    part, unit = STEPS[buy["step"]]
    least = ceil((Fraction(buy["lay_mm"]) + Fraction(buy["margin_mm"]) - Fraction(1, 100)) / (part * unit))
    bought = Fraction(buy["bought_mm"]).limit_denominator(10_000) / (part * unit)
    if abs(bought - least) > Fraction(1, 1000):
        faults.append(f"bought are {float(bought)} steps, needed {least}")
    print("\n".join(faults) if faults else f"the lay holds: {lay['length_mm']:.1f} mm, buy {buy['amount']}")
    return 1 if faults else 0


if __name__ == "__main__":
    if len(sys.argv) < 4:
        sys.exit(__doc__)
    sys.exit(main(*sys.argv[1:]))
