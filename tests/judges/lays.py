"""Judges a lay with shapely, which had no part in making it.

    python lays.py ELLWAND FILE.json [CASE] [STEPS]

Lets the program lay the pieces of FILE.json and asks of the lay:
  * every piece is laid as often as wanted, turned only as allowed, turned over only if it may be;
  * none leaves its part of the cloth (doubled, or opened out) by more than 0.01 mm;
  * no two overlap: taken in by 0.005 mm each, they do not meet (for files without a unit, by a
    millionth of the width and a half);
  * fold lines lie on the fold, flaws are left free, match points keep the repeat to 0.01 mm;
  * the length is that of the lay, the density the area over width times length, and no lay is
    shorter than the bound that the file gives.
Needs shapely 2. Exit 0 when all holds, 1 when something does not.
"""

import json
import subprocess
import sys
import tempfile
from math import cos, radians, sin
from pathlib import Path

from shapely.affinity import affine_transform
from shapely.geometry import Point, Polygon, box


def matrix(p):
    a, over = radians(p["turn"]), -1.0 if p["over"] else 1.0
    return [cos(a), -sin(a) * over, sin(a), cos(a) * over, *p["at"]]


def off(angle, allowed):
    return min(abs((angle - a + 180) % 360 - 180) for a in allowed)


def main(ellwand, file, case_name=None, steps="150000"):
    file = Path(file)
    problem = json.loads(file.read_text(encoding="utf-8"))
    cases = problem.get("cases", [{}])
    case = next((c for c in cases if c.get("name") == case_name), cases[0])
    cloth = problem.get("cloth", {})
    folded = cloth.get("fold") == "lengthwise"
    width = problem["strip_height"]
    reach = 0.01 if problem.get("unit") == "mm" else 3e-6 * width
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "lay.json"
        words = [ellwand, "lay", "--instance", file, "--steps", steps, "--workers", "2", "--json", "--out", out]
        if case_name:
            words += ["--case", case_name]
        done = subprocess.run([str(w) for w in words], capture_output=True, text=True)
        if done.returncode:
            sys.exit(f"it was not laid: {done.stderr}")
        said = json.loads(done.stdout)
        lay = json.loads(out.read_text(encoding="utf-8"))
    faults = []
    items = {i["id"]: i for i in problem["items"]}
    flat_from = lay["flat_from"]
    shapes, phases, area = [], [], 0.0
    for p in lay["placed"]:
        item = items[p["id"]]
        m = matrix(p)
        shape = affine_transform(Polygon(item["shape"]["data"]), m)
        name = f'{item.get("name", item["id"])} at {p["at"]}'
        area += shape.area
        cut = item.get("cut", "single")
        opened = folded and cut == "single"
        low, high = 0.0, lay["length"]
        if opened:
            low = flat_from
        elif flat_from is not None:
            high = flat_from
        top = cloth["usable_mm"] if opened else width
        x0, y0, x1, y1 = shape.bounds
        if x0 < low - reach or x1 > high + reach or y0 < -reach or y1 > top + reach:
            faults.append(f"{name} leaves its part of the cloth: {shape.bounds}")
        allowed = item.get("free_orientations") or case.get("orientations") or item.get("allowed_orientations")
        if allowed and off(p["turn"], allowed) > 1e-6:
            faults.append(f"{name} is turned by {p['turn']}")
        if cut == "single" and p["over"]:
            faults.append(f"{name} is turned over")
        if cut == "fold":
            for end in item["fold_line"]:
                if abs(affine_transform(Point(end), m).y) > reach:
                    faults.append(f"{name} does not lie on the fold")
            if p["over"] != (round(p["turn"]) % 360 == 180):
                faults.append(f"{name} lies on the fold the wrong way")
        for f in case.get("flaws", cloth.get("flaws", [])):
            if shape.intersects(box(*f)):
                faults.append(f"{name} touches the flaw {f}")
        if case.get("repeat_mm") and item.get("match"):
            phases.append(affine_transform(Point(item["match"]), m).x)
        shapes.append((name, shape, shape.buffer(-reach / 2, join_style="mitre")))
    for n, item in items.items():
        count = sum(p["id"] == n for p in lay["placed"])
        if count != item["demand"]:
            faults.append(f"{n} is laid {count} times, not {item['demand']}")
    for i, (a, s, inner) in enumerate(shapes):
        for b, t, other in shapes[i + 1 :]:
            if s.intersects(t) and inner.intersects(other):
                faults.append(f"{a} and {b} overlap by {s.intersection(t).area:.4f}")
    for x in phases:
        r = case["repeat_mm"]
        if abs((x - phases[0] + r / 2) % r - r / 2) > reach:
            faults.append(f"a match point is {x - phases[0]} from the first, the repeat is {r}")
    right = max(s.bounds[2] for _, s, _ in shapes)
    if abs(right - lay["length"]) > reach or abs(said["length"] - lay["length"]) > 1e-9:
        faults.append(f"the length is {right}, not {lay['length']}, {said['length']}")
    if abs(said["density"] - area / (width * right)) > 1e-4:
        faults.append(f"the density is {area / (width * right)}, not {said['density']}")
    if right < case.get("lower_mm", 0.0) - 0.06:
        faults.append(f"shorter than can be: {right}, {case['lower_mm']}")
    print("\n".join(faults) if faults else f"the lay holds: {right:.2f} long")
    return 1 if faults else 0


if __name__ == "__main__":
    if len(sys.argv) < 3:
        sys.exit(__doc__)
    sys.exit(main(*sys.argv[1:]))
