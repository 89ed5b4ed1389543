"""Judges the printed sheets from outside, with PyMuPDF, shapely and svgpathtools.

    pip install pymupdf shapely svgpathtools
    python3 paper.py FOLDER      with pattern-a4.pdf, pattern-letter.pdf, pattern.svg, report.json

What it holds against them: page size, squares, no scaling, layers, size of letters, embedded fonts,
no letter on a letter, the sheets put together again against the outlines of report.json, and the
lengths in the SVG. Exit 0 when all holds; each fault is one line.
Method: the pages' own tile names give each sheet its place, as she would tape them.
"""

import json
import math
import re
import sys
from pathlib import Path

import pymupdf
from shapely.affinity import rotate, translate
from shapely.geometry import LineString, MultiLineString, box
from shapely.ops import unary_union

MM = 25.4 / 72
SIZES = {"a4": (210.0, 297.0), "letter": (215.9, 279.4), "a3": (297.0, 420.0)}
MARGIN, LAP = 10.0, 10.0
FAULTS: list[str] = []


def hold(ok: bool, what: str) -> None:
    """Notes a fault unless it holds."""
    if not ok:
        FAULTS.append(what)


def spans(page):
    """All spans of text of a page."""
    for block in page.get_text("dict")["blocks"]:
        if block["type"] == 0:
            for line in block["lines"]:
                yield from line["spans"]


def bezier(p, n=60):
    """Points along a cubic, both ends included."""
    for i in range(n + 1):
        t = i / n
        w = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
        yield tuple(sum(a * b[k] for a, b in zip(w, p)) for k in (0, 1))


def paths(page, layer):
    """The lines of a layer in millimetres, dense."""
    out = []
    for d in page.get_drawings():
        if d.get("layer") != layer or d["type"] not in ("s", "fs"):
            continue
        for item in d["items"]:
            if item[0] == "l":
                out.append([(q.x * MM, q.y * MM) for q in item[1:3]])
            elif item[0] == "c":
                out.append(list(bezier([(q.x * MM, q.y * MM) for q in item[1:5]])))
            elif item[0] in ("re", "qu"):
                q = item[1].quad if item[0] == "re" else item[1]
                out.append([(p.x * MM, p.y * MM) for p in (q.ul, q.ur, q.lr, q.ll, q.ul)])
    return [p for p in out if math.dist(p[0], p[-1]) > 1e-6 or len(p) > 2]


def squares(page):
    """Sides of all true rectangles that are squares, in millimetres."""
    for d in page.get_drawings():
        for item in d["items"]:
            if item[0] == "re":
                w, h = item[1].width * MM, item[1].height * MM
                if abs(w - h) < 0.5:
                    yield w, h


ROWS = "ABCDEFGHJKLMNPQ"


def row_number(letters):
    """The number of a row from its letters, from 0."""
    if len(letters) == 1:
        return ROWS.index(letters)
    return (ROWS.index(letters[0]) + 1) * 15 + ROWS.index(letters[1])


def tile_name(page):
    """The tile's name, the largest letters of its sheet, or nothing."""
    for s in spans(page):
        if abs(s["size"] - 36) < 0.1 and re.fullmatch(r"[A-Z]{1,2}\d+", s["text"].strip()):
            return s["text"].strip()
    return None


def ring(points):
    """A closed line."""
    pts = [tuple(p) for p in points]
    return LineString(pts if pts[0] == pts[-1] else pts + pts[:1])


def judge_pdf(file, report, side):
    """All that concerns one tiled file; `side` is the side of the name square."""
    doc = pymupdf.open(file)
    paper = file.stem.removeprefix("pattern-")
    width, height = SIZES[paper]
    key = doc.xref_get_key(doc.pdf_catalog(), "ViewerPreferences/PrintScaling")
    hold(key == ("name", "/None"), f"{paper}: PrintScaling is {key}")
    names = {c["text"] for c in doc.layer_ui_configs()}
    for layer in ("Cutting line", "Stitching line", "Fold and grain", "Balance lines", "Notches and darts", "Text", "Sheet marks"):
        hold(layer in names, f"{paper}: no layer {layer}")
    # The draft under the pieces waits to be turned on; all else is printed.
    off = {c["text"] for c in doc.layer_ui_configs() if not c["on"]}
    hold(off <= {"Construction"}, f"{paper}: layers are off: {off}")
    for n in range(len(doc)):
        for font in doc.get_page_fonts(n, full=True):
            hold(font[1] == "ttf" and "+" in font[3], f"{paper}: font {font[3]} is not embedded as a subset")
    tiles = {}
    for page in doc:
        n = page.number + 1
        hold(doc.xref_get_key(page.xref, "UserUnit")[0] == "null", f"{paper} {n}: UserUnit")
        w, h = page.rect.width * MM, page.rect.height * MM
        hold(abs(w - width) < 0.003 and abs(h - height) < 0.003, f"{paper} {n}: page is {w} x {h}")
        sizes = [s["size"] for s in spans(page)]
        hold(min(sizes, default=99) >= 10.99, f"{paper} {n}: letters of {min(sizes, default=0)} pt")
        said = page.get_text()
        hold(f"page {n} of {len(doc)}" in said, f"{paper} {n}: does not say its page")
        name = tile_name(page)
        if name:
            hold(name not in tiles, f"{paper}: {name} occurs twice")
            tiles[name] = page
            mine = list(squares(page))
            hold(any(abs(a - side) < 0.002 and abs(b - side) < 0.002 for a, b in mine), f"{paper} {name}: no square of {side} mm")
    cover = list(squares(doc[0]))
    for want in (101.6, 100.0):
        hold(any(abs(a - want) < 0.002 and abs(b - want) < 0.002 for a, b in cover), f"{paper}: no square of {want} mm")
    letters_apart(doc, paper)
    reassemble(paper, tiles, report, width, height)
    print(f"{file.name}: {len(doc)} pages, {len(tiles)} sheets")


def letters_apart(doc, paper):
    """No line of text on another: the boxes of their glyphs, pulled in to the ink."""
    for page in doc:
        boxes = []
        for block in page.get_text("rawdict")["blocks"]:
            for line in block.get("lines", []):
                if abs(line["dir"][1]) > 1e-6:
                    continue
                for s in line["spans"]:
                    text = "".join(c["c"] for c in s["chars"])
                    if not text.strip() or s["size"] > 13:
                        continue
                    x0, x1 = s["bbox"][0], s["bbox"][2]
                    base = s["origin"][1]
                    boxes.append((text, box(x0 + 0.3, base - 0.5 * s["size"], x1 - 0.3, base)))
        for i, (a, p) in enumerate(boxes):
            for b, q in boxes[i + 1 :]:
                if p.intersection(q).area > 1.0:
                    FAULTS.append(f"{paper} {page.number + 1}: `{a}` on `{b}`")


def tiles_of(piece, tiles):
    """The sheets of a piece, by the name in their square: row from the piece's first, column, page."""
    mine = []
    for name, page in tiles.items():
        if square_names(page, piece["name"]):
            letters, column = re.fullmatch(r"([A-Z]+)(\d+)", name).groups()
            mine.append((row_number(letters), int(column) - 1, page))
    first = min((row for row, _, _ in mine), default=0)
    return [(row - first, column, page) for row, column, page in mine]


def together(mine, layer, size):
    """The lines of a layer on all sheets of a piece, each in its place."""
    step = (size[0] - 2 * MARGIN - LAP, size[1] - 2 * MARGIN - LAP)
    window = box(MARGIN, MARGIN, size[0] - MARGIN, size[1] - MARGIN)
    parts = []
    for row, column, page in mine:
        lines = MultiLineString(paths(page, layer)).intersection(window)
        parts.append(translate(lines, column * step[0] - MARGIN, row * step[1] - MARGIN))
    return unary_union([p for p in parts if not p.is_empty])


def shift_of(piece, mine, size):
    """What must be added to a place on a sheet of a row and column to have it on the piece; nothing for
    a piece that lies turned."""
    got = together(mine, "Cutting line", size).bounds
    want = without_fold(piece, "cutting_mm").bounds
    if abs((got[2] - got[0]) - (want[2] - want[0])) > 0.2:
        return None
    step = (size[0] - 2 * MARGIN - LAP, size[1] - 2 * MARGIN - LAP)
    x, y = want[0] - got[0] - MARGIN, want[1] - got[1] - MARGIN
    return lambda row, column: (column * step[0] + x, row * step[1] + y)


def reassemble(paper, tiles, report, width, height):
    """Lays the sheets together by their names and compares with the true outlines."""
    for piece in report["pieces"]:
        mine = tiles_of(piece, tiles)
        hold(bool(mine), f"{paper}: no sheet for {piece['name']}")
        if not mine:
            continue
        for layer, key in (("Cutting line", "cutting_mm"), ("Stitching line", "stitching_mm")):
            got = together(mine, layer, (width, height))
            want = without_fold(piece, key)
            # Only a shift of the whole piece is free, and a quarter turn.
            off = min(apart(rotate(got, turn, origin=(0, 0)), want) for turn in (0, 90, -90))
            hold(off < 0.1, f"{paper}: {piece['name']} {key} is off by {off:.3f} mm")


def apart(got, want):
    """How far two drawings are from each other when they are laid corner on corner."""
    a, b = got.bounds, want.bounds
    got = translate(got, b[0] - a[0], b[1] - a[1])
    return max(far(got, want), far(want, got))


def square_names(page, name):
    """Whether the name square of a sheet names this piece."""
    frames = [i[1] for d in page.get_drawings() for i in d["items"] if i[0] == "re" and d["layer"] == "Sheet marks"]
    if not frames:
        return False
    frame = frames[0]
    inside = [s["text"].strip().lower() for s in spans(page) if frame.contains(pymupdf.Point(s["origin"]))]
    return name.lower() in inside


def far(a, b):
    """The farthest that a point of `a` lies from `b`."""
    lines = getattr(a, "geoms", [a])
    return max(b.distance(line.interpolate(t, normalized=True)) for line in lines for t in [i / 40 for i in range(41)])


def without_fold(piece, key):
    """An outline without what lies on a fold, where nothing is cut or sewn."""
    line = ring(piece[key])
    stitching = piece["stitching_mm"]
    folds = [e for e in piece["edges"] if e["role"] == "fold"]
    for e in folds:
        if "from" in e:
            a, b = stitching[e["from"]], stitching[e["to"]]
        else:
            a, b = fold_by_length(piece, e)
        d = math.dist(a, b)
        u = ((b[0] - a[0]) / d, (b[1] - a[1]) / d)
        long = LineString([(a[0] - u[0] * 100, a[1] - u[1] * 100), (b[0] + u[0] * 100, b[1] + u[1] * 100)])
        line = line.difference(long.buffer(0.005))
    return line


def fold_by_length(piece, edge):
    """The ends of a straight edge, found by its length."""
    pts = piece["stitching_mm"]
    pairs = list(zip(pts, pts[1:] + pts[:1]))
    return min(pairs, key=lambda p: abs(math.dist(*p) - edge["length_mm"]))


def judge_svg(file, report):
    """The lengths of the stitching lines of each piece."""
    from svgpathtools import parse_path

    text = file.read_text(encoding="utf-8")
    m = re.search(r'<svg [^>]*width="([\d.]+)mm" height="([\d.]+)mm" viewBox="0 0 ([\d.]+) ([\d.]+)"', text)
    hold(bool(m) and m[1] == m[3] and m[2] == m[4], "svg: one unit is not one millimetre")
    for piece in report["pieces"]:
        slug = re.sub(r"[^a-z0-9]+", "-", piece["name"].lower()).strip("-")
        for layer, key in (("cutting-line", "cutting_mm"), ("stitching-line", "stitching_mm")):
            group = re.search(rf'<g id="{slug}-{layer}">(.*?)</g>', text, re.S)
            hold(bool(group), f"svg: no group {slug}-{layer}")
            if not group:
                continue
            got = sum(parse_path(d).length(error=1e-7) for d in re.findall(r' d="([^"]+)"', group[1]))
            want = without_fold(piece, key).length
            hold(abs(got - want) < 0.1, f"svg: {piece['name']} {key} is {got:.3f}, not {want:.3f}")
    print(f"{file.name}: {m[1]} x {m[2]} mm" if m else file.name)


def main():
    """Judges a folder."""
    folder = Path(sys.argv[1])
    report = json.loads((folder / "report.json").read_text(encoding="utf-8"))
    side = float(sys.argv[2]) if len(sys.argv) > 2 else 50.8
    for paper in SIZES:
        file = folder / f"pattern-{paper}.pdf"
        if file.exists():
            judge_pdf(file, report, side)
    if (folder / "pattern.svg").exists():
        judge_svg(folder / "pattern.svg", report)
    for fault in FAULTS:
        print("FAULT", fault)
    print("all holds" if not FAULTS else f"{len(FAULTS)} faults")
    sys.exit(bool(FAULTS))


if __name__ == "__main__":
    main()
