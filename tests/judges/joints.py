"""Judges the joints of a tiled PDF: where two sheets lie on each other, both must bear the same ink.

    python3 joints.py pattern-a4.pdf report.json

With PyMuPDF and shapely. For every two neighbouring sheets the strip that both print is taken from
each, and the one is shifted by the step of the grid onto the other. Stroke for stroke it must be the
same: the same lines of the same layer and pen, their dashes cut by this judge and beginning and ending
at the same places, within 0.01 mm; and the same filled shapes. The numbered diamonds of the joint meet
too. Exit 0 when all holds; each fault is one line.
"""

import json
import math
import re
import sys
from collections import defaultdict
from pathlib import Path

import pymupdf
from shapely.geometry import LineString, MultiLineString, box

import paper

MM = paper.MM
NEAR = 0.01
# Chords so long stand for curves; both sides are cut alike.
CHORD = 0.5
PATTERN = ("Cutting line", "Stitching line", "Fold and grain", "Balance lines", "Notches and darts")
FAULTS: list[str] = []


def runs(drawing):
    """The runs of a stroke as chains of points in millimetres: a dash pattern begins afresh with each."""
    chain = []
    for item in drawing["items"]:
        if item[0] == "re":
            if chain:
                yield chain
            q = item[1].quad
            chain = []
            yield [(p.x * MM, p.y * MM) for p in (q.ul, q.ur, q.lr, q.ll, q.ul)]
            continue
        pts = [(p.x * MM, p.y * MM) for p in item[1:] if hasattr(p, "x")]
        if item[0] == "c":
            long = sum(math.dist(a, b) for a, b in zip(pts, pts[1:]))
            pts = list(paper.bezier(pts, max(4, math.ceil(long / CHORD))))
        if chain and math.dist(chain[-1], pts[0]) > 1e-4:
            yield chain
            chain = []
        chain += pts[1:] if chain else pts
    if chain:
        yield chain


def dashes(drawing):
    """What of a stroke is ink: its runs, cut by its dash pattern."""
    pattern, phase = re.fullmatch(r"\[([^\]]*)\]\s*(\S+)", drawing["dashes"] or "[] 0").groups()
    pattern = [float(v) * MM for v in pattern.split()]
    for chain in runs(drawing):
        if not pattern or sum(pattern) <= 0:
            yield chain
            continue
        i, left = 0, (float(phase) * MM) % sum(pattern)
        while left >= pattern[i]:
            left -= pattern[i]
            i = (i + 1) % len(pattern)
        left = pattern[i] - left
        here = [chain[0]]
        for a, b in zip(chain, chain[1:]):
            long, done = math.dist(a, b), 0.0
            while long - done > left:
                done += left
                t = done / long
                at = (a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t)
                if i % 2 == 0:
                    yield here + [at]
                here = [at]
                i = (i + 1) % len(pattern)
                left = pattern[i]
            left -= long - done
            here.append(b)
        if i % 2 == 0:
            yield here


def inked(drawings, strip, by):
    """The ink in a strip, by layer, kind and pen; shifted."""
    out = defaultdict(list)
    for d in drawings:
        r = d["rect"]
        if r.x0 * MM > strip[2] or r.x1 * MM < strip[0] or r.y0 * MM > strip[3] or r.y1 * MM < strip[1]:
            continue
        filled = d["type"] == "f"
        key = (d["layer"], "filled" if filled else round(d["width"] * MM, 3))
        for chain in runs(d) if filled else dashes(d):
            if len(chain) > 1:
                out[key].append(LineString([(x + by[0], y + by[1]) for x, y in chain]))
    window = box(strip[0] + by[0], strip[1] + by[1], strip[2] + by[0], strip[3] + by[1])
    cut = {k: MultiLineString(v).intersection(window) for k, v in out.items()}
    return {k: v for k, v in cut.items() if v.length > 0.02}


def judge_joint(name, one, other, strip, by):
    """The strip of the sheet before, against the same strip of the sheet after, shifted onto it."""
    a = inked(one, strip, (0.0, 0.0))
    b = inked(other, tuple(v - by[i % 2] for i, v in enumerate(strip)), by)
    for key in sorted(set(a) | set(b), key=str):
        if key not in a or key not in b:
            FAULTS.append(f"{name}: {key} is on one sheet only, {a.get(key, b.get(key)).length:.2f} mm of it")
            continue
        off = a[key].hausdorff_distance(b[key])
        if off > NEAR:
            FAULTS.append(f"{name}: {key} differs by {off:.3f} mm")
        if abs(a[key].length - b[key].length) > NEAR * 5:
            FAULTS.append(f"{name}: {key} is {a[key].length:.3f} mm on one sheet, {b[key].length:.3f} on the other")
    return sum(v.length for v in a.values())


def diamonds(drawings):
    """The diamonds of a sheet: centres of its closed four-sided lines on the sheet's own layer."""
    out = []
    for d in drawings:
        if d["layer"] == "Sheet marks" and d["type"] == "s" and len(d["items"]) in (3, 4):
            if all(i[0] == "l" for i in d["items"]) and abs(d["rect"].width - d["rect"].height) < 0.01:
                r = d["rect"]
                out.append(((r.x0 + r.x1) / 2 * MM, (r.y0 + r.y1) / 2 * MM))
    return out


def main(pdf, report):
    """Judges a file."""
    doc = pymupdf.open(pdf)
    width, height = paper.SIZES[Path(pdf).stem.removeprefix("pattern-")]
    step = (width - 2 * paper.MARGIN - paper.LAP, height - 2 * paper.MARGIN - paper.LAP)
    low = (width - paper.MARGIN, height - paper.MARGIN)
    tiles = {name: page for page in doc if (name := paper.tile_name(page))}
    drawn = {name: page.get_drawings() for name, page in tiles.items()}
    pattern = {n: [d for d in all_ if d["layer"] in PATTERN and d["items"]] for n, all_ in drawn.items()}
    owner = {
        name: piece["name"]
        for name, page in tiles.items()
        for piece in report["pieces"]
        if paper.square_names(page, piece["name"])
    }
    at = {}
    for name in tiles:
        letters, column = re.fullmatch(r"([A-Z]+)(\d+)", name).groups()
        at[paper.row_number(letters), int(column) - 1] = name
    joints, length, met = 0, 0.0, 0
    for (row, column), name in sorted(at.items()):
        for down, across in ((0, 1), (1, 0)):
            other = at.get((row + down, column + across))
            if other is None or owner.get(other) != owner.get(name):
                continue
            joints += 1
            by = (step[0] * across, step[1] * down)
            strip = (
                (low[0] - paper.LAP if across else paper.MARGIN),
                (low[1] - paper.LAP if down else paper.MARGIN),
                low[0],
                low[1],
            )
            length += judge_joint(f"{name} on {other}", pattern[name], pattern[other], strip, by)
            mine = diamonds(drawn[name])
            theirs = [(x + by[0], y + by[1]) for x, y in diamonds(drawn[other])]
            both = [p for p in mine if any(math.dist(p, q) < NEAR for q in theirs)]
            met += len(both)
            if not both:
                FAULTS.append(f"{name} on {other}: no diamond of the joint is on both")
    if joints and length < 10:
        FAULTS.append(f"{joints} joints with {length:.1f} mm of lines on them: nothing was compared")
    for fault in FAULTS:
        print("FAULT", fault)
    print(f"{Path(pdf).name}: {joints} joints, {length / 1000:.2f} m of lines in them, {met} diamonds meet")
    return bool(FAULTS)


if __name__ == "__main__":
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1], json.loads(Path(sys.argv[2]).read_text(encoding="utf-8"))))
