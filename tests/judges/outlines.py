"""Judges the outlines of a report.json with shapely, which had no part in making them.

    python outlines.py report.json [--untrued]

Checks, piece by piece (paper/verify.md 8 of the design pages):
  * both outlines are valid rings, chords at most 0.005 mm off (taken on trust), coordinates finite;
  * the stitching line lies inside the cutting line;
  * every place of the cutting line lies at its own edge's allowance, within 0.05 mm, outside corner
    zones (near the ends and corners of edges, and at steps of the allowance);
  * the chords of each edge are as long as the edge says, within 0.01 mm;
  * the area is right to 0.05 mm times the outline's length;
  * partners of a seam are equal within 1/32 in, ease apart (not with --untrued).

An allowance is a list of [at, width] along the edge: straight between two entries, and a step where
two entries stand at the same place.

Needs shapely 2 and numpy. Exit 0 when all holds, 1 when something does not.
"""

import json
import sys

import numpy as np
import shapely
from shapely.geometry import LineString, Point, Polygon

TOLERANCE = 0.05  # mm, allowances
LENGTH = 0.01  # mm, edges
PARTNERS = 25.4 / 32  # mm, seams: trade/faults-and-checks.md asks 1/8 in, a trued draft 1/32 in
KINK = np.radians(6)  # a sharper turn between two chords is a corner inside an edge
STEP = 0.5  # mm between the places looked at


def width_at(stops, at):
    """The allowance so far along, and whether a step stands close by."""
    if not stops:
        return 0.0, False
    stops = [tuple(s) for s in stops]
    near_step = any(
        a[0] == b[0] and abs(at - a[0]) < 1.0 for a, b in zip(stops, stops[1:])
    )
    if at <= stops[0][0]:
        return stops[0][1], near_step
    for a, b in zip(stops, stops[1:]):
        if a[0] <= at < b[0]:
            return a[1] + (b[1] - a[1]) * (at - a[0]) / (b[0] - a[0]), near_step
    return stops[-1][1], near_step


def kinks(points):
    """The inner corners of a chain of chords."""
    d = np.diff(points, axis=0)
    keep = np.hypot(d[:, 0], d[:, 1]) > 1e-9
    d = d[keep]
    at = np.asarray(points)[1:][keep]
    turn = np.arctan2(
        d[:-1, 0] * d[1:, 1] - d[:-1, 1] * d[1:, 0], (d[:-1] * d[1:]).sum(axis=1)
    )
    return [tuple(p) for p, t in zip(at, turn) if abs(t) > KINK]


def judge_piece(piece, say):
    name = piece["name"]
    stitching = np.asarray(piece["stitching_mm"], float)
    cutting = np.asarray(piece["cutting_mm"], float)
    if not (np.isfinite(stitching).all() and np.isfinite(cutting).all()):
        return say(f"{name}: a coordinate is not a number")
    if not np.array_equal(stitching[0], stitching[-1]):
        stitching = np.vstack([stitching, stitching[:1]])
    inner, outer = Polygon(stitching), Polygon(cutting)
    for what, ring in (("stitching", inner), ("cutting", outer)):
        if not ring.is_valid:
            say(f"{name}: the {what} line is no valid ring: {shapely.is_valid_reason(ring)}")
    if not outer.buffer(0.02).covers(inner):
        say(f"{name}: the stitching line leaves the cutting line")

    edges = []
    for e in piece["edges"]:
        chain = stitching[e["from"] : e["to"] + 1]
        if len(chain) < 2:
            say(f"{name}.{e['name']}: no chords")
            continue
        line = LineString(chain)
        if abs(line.length - e["length_mm"]) > LENGTH:
            say(
                f"{name}.{e['name']}: {line.length:.4f} mm of chords, {e['length_mm']:.4f} said"
            )
        stops = e["allowance_mm"] if e["role"] != "fold" else []
        widest = max([s[1] for s in stops], default=0.0)
        edges.append((e, line, chain, stops, widest))
    if len(edges) != len(piece["edges"]):
        return None
    for (a, b) in zip(edges, edges[1:] + edges[:1]):
        if np.hypot(*(a[2][-1] - b[2][0])) > 1e-6:
            say(f"{name}: {a[0]['name']} and {b[0]['name']} do not meet")

    if abs(inner.area - piece["area_mm2"]) > TOLERANCE * inner.length:
        say(f"{name}: area {inner.area:.1f} mm2, {piece['area_mm2']:.1f} said")

    # Corner zones: round each end of an edge, and each corner in it. A tip reaches at most twice
    # the wider allowance; the sides of a hem that mirror a slanting seam reach further.
    zones = []
    for k, (e, _, chain, _, widest) in enumerate(edges):
        after = edges[(k + 1) % len(edges)]
        times = 3.0 if "hem" in (e["role"], after[0]["role"]) else 2.3  # the ends of a bevel
        zones.append((chain[-1], times * max(widest, after[4]) + 1.0))
        zones += [(p, 2.3 * widest + 1.0) for p in kinks(chain)]
    ring = LineString(np.vstack([cutting, cutting[:1]]))
    n = max(int(ring.length / STEP), 8)
    places = shapely.line_interpolate_point(ring, np.linspace(0, ring.length, n))
    xy = shapely.get_coordinates(places)
    outside = np.ones(n, bool)
    for centre, reach in zones:
        outside &= np.hypot(xy[:, 0] - centre[0], xy[:, 1] - centre[1]) > reach
    away = np.array([shapely.distance(line, places) for _, line, _, _, _ in edges])
    own = away.argmin(axis=0)
    judged = np.zeros(len(edges), int)
    right = True
    worst = 0.0
    for i in np.flatnonzero(outside):
        k = own[i]
        e, line, _, stops, _ = edges[k]
        at = line.project(Point(xy[i]))
        width, near_step = width_at(stops, at)
        if near_step:
            continue
        judged[k] += 1
        off = abs(away[k, i] - width)
        if off > worst:
            worst = off
        if off > TOLERANCE:
            say(
                f"{name}.{e['name']}: {away[k, i]:.3f} mm instead of {width:.3f} at "
                f"({xy[i][0]:.1f}, {xy[i][1]:.1f}), {at:.1f} mm along"
            )
            right = False
            break
    for k, (e, line, _, stops, widest) in enumerate(edges):
        middles = shapely.line_interpolate_point(line, np.linspace(0.05, 0.95, 19), normalized=True)
        clear = [
            all(np.hypot(m.x - c[0], m.y - c[1]) > reach + widest + 5 for c, reach in zones)
            for m in middles
        ]
        if right and any(clear) and judged[k] == 0:
            say(f"{name}.{e['name']}: no place of the cutting line is its own")
    return worst, int(judged.sum())


def main(path, trued):
    with open(path, encoding="utf-8") as f:
        report = json.load(f)
    faults = []
    for piece in report["pieces"]:
        got = judge_piece(piece, faults.append)
        if got:
            print(f"{piece['name']}: {got[1]} places, worst {got[0]:.4f} mm")
    lengths = {
        f"{p['name']}.{e['name']}": (e["length_mm"], any(d["edge"] == e["name"] for d in p.get("darts", [])))
        for p in report["pieces"]
        for e in p["edges"]
    }
    for s in report.get("seams", []):
        where = f"{s['a']} with {s['b']}"
        if abs(s["a_mm"] - s["b_mm"] - s["ease_mm"] - s["difference_mm"]) > LENGTH:
            faults.append(f"{where}: the difference is not what the lengths say")
        if trued and abs(s["difference_mm"]) > PARTNERS:
            faults.append(f"{where}: {s['difference_mm']:.2f} mm apart")
        for side in ("a", "b"):
            length, darted = lengths.get(s[side], (None, False))
            if length is not None and not darted and abs(length - s[f"{side}_mm"]) > LENGTH:
                faults.append(f"{s[side]}: {length:.3f} mm as an edge, {s[side + '_mm']:.3f} as a seam")
    for f in faults:
        print("FAULT", f)
    print(f"{len(report['pieces'])} pieces, {len(faults)} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    args = [a for a in sys.argv[1:] if not a.startswith("--")]
    if len(args) != 1:
        sys.exit(__doc__)
    sys.exit(main(args[0], "--untrued" not in sys.argv))
