"""Judges the files for other programs: pattern.dxf by ezdxf, pattern.plt by a plotter of our own.

    python3 exchange.py FOLDER      with pattern.dxf, report.json and, if it is there, pattern.plt

DXF: it opens with no error and nothing to put right; the cutting and the stitching line of every piece
lie on those of report.json within 0.03 mm, and the other way round; notches, grain, folds, levels and
darts are on their layers; blocks are named shortly and placed at true size beside each other; the
square measures 100 mm; nothing but ASCII.

HP-GL/2: nothing but strokes in whole units; a square to measure comes first; no ink outside of the
plot, which fits on a roll 36 in wide; the cutting and the stitching line of every piece are drawn where
they should be, turned by quarters or turned over at most; what is drawn in parts is all there. Exit 0 when all holds; each fault is one line.
"""

import json
import math
import re
import sys
from pathlib import Path

import ezdxf
import ezdxf.bbox
import numpy as np
from shapely import distance, get_coordinates, line_interpolate_point, line_locate_point, line_merge, points
from shapely.geometry import LineString, MultiLineString, Point, Polygon
from shapely.ops import unary_union

import hpgl
from paper import without_fold

FAULTS: list[str] = []
NEAR = 0.03
SNIPS_APART = 3.2
# A place is rounded to units of 0.025 mm both ways (0.0125 times the root of 2), the chords of the plot
# lie within 0.002 mm of the line, those of the report within 0.005.
DRAWN = 0.025
ROLL = 914.4


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


def plt(file, report):
    """All that concerns the plot."""
    text = file.read_text(encoding="ascii")
    plots = hpgl.read(text)
    strokes = []
    for n, p in enumerate(plots):
        hold(p.width <= ROLL, f"plt: {p.width} mm wide")
        hold(p.length >= p.width, f"plt: {p.length} mm long, {p.width} wide: X would run across")
        every = np.concatenate([s for _, s in p.strokes])
        low, high = every.min(axis=0), every.max(axis=0)
        hold(low.min() >= 0 and high[0] <= p.length and high[1] <= p.width, f"plt: ink from {low} to {high}")
        # Down the paper is along the roll: x and y change places, and nothing is mirrored.
        strokes += [(w, np.array(s)[:, ::-1] + (n * 10_000.0, 0.0)) for w, s in p.strokes]
        drawn = sum(LineString(s).length for _, s in p.strokes)
        hold(p.air < drawn, f"plt: the pen travels {p.air:.0f} mm in the air to draw {drawn:.0f}")
    first = strokes[0][1]
    sides = [round(math.dist(a, b), 4) for a, b in zip(first, first[1:])]
    hold(len(sides) == 4 and sides[0] in (100.0, 101.6) and len(set(sides)) == 1, f"plt: first comes {sides}, no square")
    heavy = [s for w, s in strokes if abs(w - 0.7) < 1e-6 and LineString(s).length > 20]
    thin = [s for w, s in strokes if abs(w - 0.35) < 1e-6]
    whole = 0
    for piece in report["pieces"]:
        whole += drawn_whole(piece, heavy, thin) or drawn_in_parts(piece, heavy)
    print(f"{file.name}: {len(plots)} plots, {len(strokes)} strokes, {whole} of {len(report['pieces'])} pieces whole")


def ways():
    """Quarter turns, turned over or not."""
    for over in (1, -1):
        for c, s in ((1, 0), (0, 1), (-1, 0), (0, -1)):
            yield np.array([[c * over, -s], [s * over, c]], float)


def lines_of(geometry):
    """The parts of a line or of lines."""
    return list(getattr(geometry, "geoms", [geometry]))


def moved(geometry, way, by):
    """A line turned and shifted."""
    return MultiLineString([np.array(g.coords) @ way.T + by for g in lines_of(geometry)])


def settle(stroke, geometry):
    """The small shift that lays a stroke best on a line: least squares of the distances across it."""
    by = np.zeros(2)
    some = stroke[:: max(1, len(stroke) // 120)]
    for _ in range(3):
        pts = some + by
        feet = get_coordinates(line_interpolate_point(geometry, line_locate_point(geometry, points(pts))))
        d = feet - pts
        long = np.linalg.norm(d, axis=1)
        near = long > 1e-9
        if near.sum() < 2:
            break
        n = d[near] / long[near][:, None]
        by = by + np.linalg.lstsq(n, long[near], rcond=None)[0]
    return by


def drawn_whole(piece, heavy, thin):
    """Whether one stroke is the cutting line of a piece; then its stitching line must be there too, on
    one place or, in parts, on all of them together."""
    want = without_fold(piece, "cutting_mm")
    if len(lines_of(want)) > 1:
        want = line_merge(want)
    sewn = without_fold(piece, "stitching_mm")
    ends = np.array([(s[0], s[-1]) for s in thin])
    inked = []
    found, share = False, 0.0
    for way in ways():
        there = moved(want, way, np.zeros(2))
        x0, y0, x1, y1 = there.bounds
        for stroke in heavy:
            low, high = stroke.min(axis=0), stroke.max(axis=0)
            if np.abs(high - low - (x1 - x0, y1 - y0)).max() > 0.06:
                continue
            if abs(LineString(stroke).length - there.length) > 0.3:
                continue
            placed = moved(want, way, low - (x0, y0))
            by = settle(stroke, placed)
            line = LineString(stroke + by)
            off = distance(placed, points(stroke + by)).max()
            if off > 1.0:
                continue
            back = distance(line, points(get_coordinates(placed))).max()
            hold(max(off, back) < DRAWN, f"{piece['name']} is off by {max(off, back):.4f} mm")
            seam = moved(sewn, way, low - (x0, y0))
            near = [distance(seam, points(ends[:, k] + by)) < 0.05 for k in (0, 1)]
            mine = [thin[k] + by for k in np.flatnonzero(near[0] & near[1])]
            far = max((distance(seam, points(m)).max() for m in mine), default=9)
            hold(far < 0.05, f"the stitching line of {piece['name']} is off by {far:.3f} mm")
            here = [LineString((m - (low - (x0, y0))) @ way).simplify(0.01) for m in mine]
            share = max(share, sum(m.length for m in here) / sewn.length)
            inked += here
            found = True
    if found:
        if share < 0.72:
            # In parts; their laps are drawn twice.
            bands = unary_union([m.buffer(0.06, cap_style="flat", quad_segs=1) for m in inked])
            share = sewn.intersection(bands).length / sewn.length
        # Six on, two off.
        hold(0.72 < share < 0.85, f"{share:.2f} of the stitching line of {piece['name']} is inked")
    return found


def drawn_in_parts(piece, heavy):
    """A piece wider than the roll: strokes that lie on its cutting line, and cover all of it."""
    want = without_fold(piece, "cutting_mm")
    covered = []
    for way in ways():
        there = moved(want, way, np.zeros(2))
        corners = [c for g in there.geoms for c in sharp(np.array(g.coords), g.is_ring)]
        ends = [np.array(g.coords[i]) for g in there.geoms for i in (0, -1) if not g.is_ring]
        for stroke in heavy:
            for mine, theirs in [(sharp(stroke, False), corners), ((stroke[0], stroke[-1]), ends + corners)]:
                for a in mine:
                    for c in theirs:
                        placed = stroke + (c - a)
                        if all(there.distance(Point(p)) < 0.1 for p in placed[:: max(1, len(placed) // 12)]):
                            fine = placed + settle(placed, there)
                            if max(there.distance(Point(p)) for p in fine) < DRAWN * 2:
                                covered.append(LineString(fine @ way).buffer(0.1))
    left = want
    for c in covered:
        left = left.difference(c)
    hold(left.length < 1.0, f"plt: {left.length:.1f} of {want.length:.1f} mm of {piece['name']} are not drawn")
    return False


def sharp(points, ring):
    """The corners of a chain where it turns by more than 20 degrees."""
    out = []
    chain = list(points) if not ring else [points[-2], *points]
    for a, b, c in zip(chain, chain[1:], chain[2:]):
        u, v = b - a, c - b
        turn = math.degrees(math.atan2(u[0] * v[1] - u[1] * v[0], u @ v))
        if abs(turn) > 20:
            out.append(b)
    return out


def main():
    """Judges a folder."""
    folder = Path(sys.argv[1])
    report = json.loads((folder / "report.json").read_text(encoding="utf-8"))
    dxf(folder / "pattern.dxf", report)
    if (folder / "pattern.plt").exists():
        plt(folder / "pattern.plt", report)
    for fault in FAULTS:
        print("FAULT", fault)
    print("all holds" if not FAULTS else f"{len(FAULTS)} faults")
    sys.exit(bool(FAULTS))


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    main()
