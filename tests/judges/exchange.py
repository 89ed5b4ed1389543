"""Judges the files for other programs: pattern.dxf by ezdxf.

    python3 exchange.py FOLDER      with pattern.dxf and report.json

DXF: it opens with no error and nothing to put right; the cutting and the stitching line of every piece
lie on those of report.json within 0.03 mm, and the other way round; notches, grain, folds, levels and
darts are on their layers; blocks are named shortly and placed at true size beside each other; the
square measures 100 mm; nothing but ASCII. Exit 0 when all holds; each fault is one line.
"""

import json
import math
import re
import sys
from pathlib import Path

import ezdxf
import ezdxf.bbox
from shapely.geometry import LineString, Point, Polygon

FAULTS: list[str] = []
NEAR = 0.03
SNIPS_APART = 3.2


def hold(ok: bool, what: str) -> None:
    """Notes a fault unless it holds."""
    if not ok:
        FAULTS.append(what)


def closed(points):
    """A closed line through points."""
    pts = [tuple(p) for p in points]
    return LineString(pts if pts[0] == pts[-1] else pts + pts[:1])


def apart(a, b):
    """How far the corners of either line lie from the other."""
    return max(max(b.distance(Point(p)) for p in a.coords), max(a.distance(Point(p)) for p in b.coords))


def dxf(file, report):
    """All that concerns the DXF."""
    data = file.read_bytes()
    hold(all(b in (9, 10, 13) or 32 <= b < 127 for b in data), "dxf: not plain ASCII")
    doc = ezdxf.readfile(file)
    audit = doc.audit()
    hold(doc.dxfversion == "AC1009", f"dxf: version {doc.dxfversion}")
    for name, found in (("error", audit.errors), ("fix", audit.fixes)):
        hold(not found, f"dxf: {len(found)} {name}s: {[e.message for e in found][:3]}")
    pieces = report["pieces"]
    blocks = [b for b in doc.blocks if not b.name.startswith("*")]
    hold(len(blocks) == len(pieces) + 1, f"dxf: {len(blocks)} blocks for {len(pieces)} pieces and a square")
    for b in blocks:
        hold(bool(re.fullmatch(r"[A-Z0-9_]{1,31}", b.name)), f"dxf: a block is named {b.name}")
    model = doc.modelspace()
    inserts = list(model.query("INSERT"))
    hold(sorted(i.dxf.name for i in inserts) == sorted(b.name for b in blocks), "dxf: a block is not placed just once")
    for i in inserts:
        same = (i.dxf.xscale, i.dxf.yscale, i.dxf.zscale, i.dxf.rotation)
        hold(same == (1, 1, 1, 0), f"dxf: {i.dxf.name} is scaled or turned: {same}")

    square, *rest = blocks
    sides = [p.bounds for p in map(outline, square.query("POLYLINE"))]
    hold(
        any(abs(x1 - x0 - 100) < 1e-6 and abs(y1 - y0 - 100) < 1e-6 for x0, y0, x1, y1 in sides),
        "dxf: no square of 100 mm",
    )
    said = [t.dxf.text for t in square.query("TEXT")]
    for wanted in ("UNITS: METRIC", "units: mm", f"SAMPLE SIZE: {report['version']}"):
        hold(wanted in said, f"dxf: the square does not say {wanted}")
    hold(any("not certified" in t for t in said), "dxf: does not say that it is not certified")
    for block, piece in zip(rest, pieces):
        judge_piece(block, piece, report)
    placed(inserts, doc)
    print(f"{file.name}: {len(pieces)} pieces, {sum(len(list(b)) for b in blocks)} entities")


def outline(polyline):
    """A closed POLYLINE as a line of the paper: y down again."""
    pts = [(v.dxf.location.x, -v.dxf.location.y) for v in polyline.vertices]
    return closed(pts)


def on(block, kind, layer):
    """All of a kind on a layer."""
    return [e for e in block.query(kind) if e.dxf.layer == layer]


def ends(line):
    """The ends of a LINE, y down."""
    return [(p.x, -p.y) for p in (line.dxf.start, line.dxf.end)]


def spot(entity):
    """Where a POINT is, y down."""
    return (entity.dxf.location.x, -entity.dxf.location.y)


def judge_piece(block, piece, report):
    """A block against its piece."""
    name = piece["name"]
    for layer, key in (("1", "cutting_mm"), ("14", "stitching_mm")):
        lines = on(block, "POLYLINE", layer)
        hold(len(lines) == 1 and lines[0].is_closed, f"dxf: {name} has {len(lines)} lines on layer {layer}")
        if not lines:
            continue
        got, want = outline(lines[0]), closed(piece[key])
        off = apart(got, want)
        hold(off < NEAR, f"dxf: {name} {key} is off by {off:.4f} mm")
        area = abs(Polygon(got).area - Polygon(want).area)
        hold(area < NEAR * want.length, f"dxf: {name} {key} encloses {area:.2f} mm2 more or less")
    cutting = closed(piece["cutting_mm"])
    boundary = on(block, "POLYLINE", "1")[0]
    vertices = sum(1 for _ in boundary.vertices)
    marked = [spot(p) for layer in "23" for p in on(block, "POINT", layer)]
    hold(len(marked) == vertices, f"dxf: {name}: {len(marked)} turn and curve points for {vertices} vertices")
    hold(len(on(block, "POINT", "2")) >= 2, f"dxf: {name} has no corners")
    # A turn point where the line turns, a curve point where it runs on.
    ring = [(v.dxf.location.x, -v.dxf.location.y) for v in boundary.vertices]
    turns = {spot(p) for p in on(block, "POINT", "2")}
    for a, b, c in zip(ring[-1:] + ring[:-1], ring, ring[1:] + ring[:1]):
        turn = math.degrees(math.atan2(c[1] - b[1], c[0] - b[0]) - math.atan2(b[1] - a[1], b[0] - a[0]))
        turn = abs((turn + 180) % 360 - 180)
        if turn > 20:
            hold(b in turns, f"dxf: {name} turns by {turn:.0f} degrees at {b}, a curve point")
        elif turn < 1:
            hold(b not in turns, f"dxf: {name} runs straight on at {b}, a turn point")
    snips = [spot(p) for p in on(block, "POINT", "4")]
    for p in snips:
        hold(cutting.distance(Point(p)) < 0.06, f"dxf: {name}: a notch off the cutting line at {p}")
    for n in piece["notches"]:
        near = [p for p in snips if math.dist(p, n["cutting_mm"]) < SNIPS_APART * (n["snips"] - 1) / 2 * 1.5 + 0.1]
        hold(len(near) >= n["snips"], f"dxf: {name}: {len(near)} of {n['snips']} snips at {n['cutting_mm']}")
    grain = [ends(g) for g in on(block, "LINE", "7")]
    want = [piece["grain_mm"]] if piece["grain_mm"] else []
    hold(len(grain) == len(want), f"dxf: {name}: {len(grain)} grain lines")
    for g, w in zip(grain, want):
        hold(all(math.dist(a, b) < NEAR for a, b in zip(g, w)), f"dxf: {name}: the grain is off")
    folds = [e for e in piece["edges"] if e["role"] == "fold"]
    mirror = [LineString(ends(m)) for m in on(block, "LINE", "6")]
    hold(len(mirror) == len(folds), f"dxf: {name}: {len(mirror)} mirror lines for {len(folds)} folds")
    for e in folds:
        for at in (piece["stitching_mm"][e["from"]], piece["stitching_mm"][e["to"]]):
            hold(any(m.distance(Point(at)) < NEAR for m in mirror), f"dxf: {name}: {at} is on no mirror line")
    inner = [ends(line) for line in on(block, "LINE", "8")]
    for d in piece["darts"]:
        for mouth in d["mouth_mm"]:
            leg = any(math.dist(a, mouth) < NEAR and math.dist(b, d["tip_mm"]) < NEAR for a, b in inner)
            hold(leg, f"dxf: {name}: no line for a leg of {d['name']}")
    hold(len(on(block, "POINT", "13")) == len(piece["darts"]), f"dxf: {name}: drill holes are not its darts")
    said = [t.dxf.text for t in on(block, "TEXT", "1")]
    for keyword in ("PIECE NAME: ", "SIZE: ", "QUANTITY: ", "MATERIAL: "):
        hold(sum(t.startswith(keyword) for t in said) == 1, f"dxf: {name} does not say {keyword}once")
    hold(f"SIZE: {report['version']}" in said, f"dxf: {name}: not this version")
    cut = piece["cut"][0]
    hold(f"QUANTITY: {cut['count']}" in said, f"dxf: {name}: not cut {cut['count']}")


def placed(inserts, doc):
    """No piece over another, and all within the extents that the file states."""
    low, high = doc.header["$EXTMIN"], doc.header["$EXTMAX"]
    boxes = []
    for i in inserts:
        b = ezdxf.bbox.extents(doc.blocks[i.dxf.name].query("POLYLINE"), fast=True)
        x, y = i.dxf.insert.x, i.dxf.insert.y
        boxes.append((b.extmin.x + x, b.extmin.y + y, b.extmax.x + x, b.extmax.y + y))
        inside = boxes[-1][0] >= low[0] and boxes[-1][1] >= low[1] and boxes[-1][2] <= high[0] and boxes[-1][3] <= high[1]
        hold(inside, f"dxf: {i.dxf.name} lies outside the extents")
    for i, a in enumerate(boxes):
        for b in boxes[i + 1 :]:
            apart_ = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
            hold(apart_, "dxf: a piece lies over another")


def main():
    """Judges a folder."""
    folder = Path(sys.argv[1])
    report = json.loads((folder / "report.json").read_text(encoding="utf-8"))
    dxf(folder / "pattern.dxf", report)
    for fault in FAULTS:
        print("FAULT", fault)
    print("all holds" if not FAULTS else f"{len(FAULTS)} faults")
    sys.exit(bool(FAULTS))


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    main()
