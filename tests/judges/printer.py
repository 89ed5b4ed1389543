"""Judges a tiled PDF as a printer would get it, with poppler: a second reader, and real pixels.

    python3 printer.py pattern-a4.pdf a4|letter|a3 [report.json]

Page boxes by pdfinfo, embedded fonts by pdffonts, syntax by qpdf where it is installed, and the two
squares of the first page measured in a picture of 508 dots to the inch (20 to the millimetre).
With report.json also: a part of a sheet in a picture of 1016 dots to the inch, its cutting and stitching
lines against the true outlines within 0.1 mm; the same lines in pure black at 300 dots to the inch, where
every dash must still read; and each layer switched off in a copy of the file, which
poppler and MuPDF must both then leave out, and nothing else.
Exit 0 when all holds; each fault is one line.
"""

import json

import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
import pymupdf
from PIL import Image

import paper as sheets

DPI = 508
PER_MM = DPI / 25.4
SIZES = {"a4": (210.0, 297.0), "letter": (215.9, 279.4), "a3": (297.0, 420.0)}
SQUARES = (100.0, 101.6)
# Half a dot on each side of a line, and the promise of 0.1 mm is still kept.
NEAR = 0.08


def run(*words):
    return subprocess.run(words, check=True, capture_output=True, text=True).stdout


def boxes(pdf, size):
    pages = int(re.search(r"^Pages:\s+(\d+)", run("pdfinfo", pdf), re.M).group(1))
    text = run("pdfinfo", "-box", "-f", "1", "-l", str(pages), pdf)
    found = re.findall(r"Page\s+\d+ MediaBox:\s+([\d.]+)\s+([\d.]+)\s+([\d.]+)\s+([\d.]+)", text)
    faults = []
    if len(found) != pages:
        faults.append(f"{len(found)} page boxes for {pages} pages")
    for number, box in enumerate(found, 1):
        left, top, right, low = map(float, box)
        for said, wanted in zip((right - left, low - top), size):
            if abs(said * 25.4 / 72 - wanted) > 0.01:
                faults.append(f"page {number} is {said * 25.4 / 72:.3f} mm, not {wanted}")
    return faults


def fonts(pdf):
    faults = []
    lines = run("pdffonts", pdf).splitlines()[2:]
    if not lines:
        faults.append("no font at all")
    for line in lines:
        # name, type, encoding, emb, sub, uni, object
        emb, sub, uni = re.split(r"\s+", line.strip())[-5:-2]
        if (emb, sub, uni) != ("yes", "yes", "yes"):
            faults.append(f"font not embedded, cut down and readable: {line}")
    return faults


def long_lines(dark, least):
    """Centres, in mm, of the straight lines of at least that many mm that run down a picture."""
    centres, weights = [], []
    for x in range(dark.shape[1]):
        column = dark[:, x] > 0.25
        edges = np.flatnonzero(np.diff(np.concatenate(([0], column.view(np.int8), [0]))))
        runs = edges[1::2] - edges[::2]
        if len(runs) and runs.max() >= least * PER_MM:
            start = edges[::2][runs.argmax()]
            weight = dark[start : start + runs.max(), x].mean()
            if centres and x - centres[-1][-1] == 1:
                centres[-1].append(x)
                weights[-1].append(weight)
            else:
                centres.append([x])
                weights.append([weight])
    return [
        (np.dot(np.array(c) + 0.5, w) / np.sum(w)) / PER_MM for c, w in zip(centres, weights)
    ]


def squares(pdf):
    with tempfile.TemporaryDirectory() as folder:
        picture = str(Path(folder) / "page")
        run("pdftoppm", "-r", str(DPI), "-gray", "-f", "1", "-l", "1", "-singlefile", pdf, picture)
        Image.MAX_IMAGE_PIXELS = None
        dark = (255 - np.array(Image.open(picture + ".pgm"), float)) / 255
    faults = []
    for way, page in (("across", dark), ("down", dark.T)):
        places = long_lines(page, 95.0)
        gaps = [b - a for i, a in enumerate(places) for b in places[i + 1 :]]
        for side in SQUARES:
            nearest = min(gaps, key=lambda g: abs(g - side), default=0.0)
            print(f"  {way}: {nearest:.3f} mm for {side}")
            if abs(nearest - side) > NEAR:
                faults.append(f"no square of {side} mm {way}; the nearest is {nearest:.3f}")
    return faults


def best_spot(doc, report, size):
    """A sheet and a place on it where a cutting and a stitching line run down side by side, and what
    brings the sheet to the piece."""
    best = None
    pages = {name: page for page in doc if (name := sheets.tile_name(page))}
    for piece in report["pieces"]:
        mine = sheets.tiles_of(piece, pages)
        if not mine:
            continue
        shift = sheets.shift_of(piece, mine, size)
        if shift is None:
            continue
        lines = [sheets.ring(piece[key]) for key in ("cutting_mm", "stitching_mm")]
        for row, column, page in mine:
            dx, dy = shift(row, column)
            for y in np.arange(40.0, size[1] - 60.0, 10.0):
                rows = [[crossing(line, y + dy + t) for t in (0.0, 10.0, 20.0)] for line in lines]
                for cut in rows[0][0]:
                    x = cut - dx
                    if not 30.0 < x < size[0] - 30.0:
                        continue
                    near = lambda xs: [v for v in xs if abs(v - cut) < 24.0]
                    if all(len(near(xs)) == 1 for line in rows for xs in line):
                        lean = abs(near(rows[0][0])[0] - near(rows[0][2])[0])
                        # The more it leans, the more the picture tells; but not so that lines run flat.
                        score = min(lean, 10.0)
                        if best is None or score > best[0]:
                            best = (score, page, (x, y), (dx, dy), lines)
    return best


def crossing(line, y):
    """Where an outline crosses a level."""
    pts = list(line.coords)
    return [
        a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
        for a, b in zip(pts, pts[1:])
        if (a[1] > y) != (b[1] > y)
    ]


def pixels(pdf, report, size):
    """Lines in a picture of 1016 dots to the inch against the true outlines."""
    dpi, per = 1016, 40.0
    doc = pymupdf.open(pdf)
    spot = best_spot(doc, report, size)
    if spot is None:
        return ["no sheet with a cutting and a stitching line side by side"]
    _, page, (x, y), (dx, dy), lines = spot
    left, top = x - 28.0, y
    with tempfile.TemporaryDirectory() as folder:
        picture = str(Path(folder) / "part")
        n = str(page.number + 1)
        crop = ["-x", round(left * per), "-y", round(top * per), "-W", round(56 * per), "-H", round(20 * per)]
        run("pdftoppm", "-r", str(dpi), "-gray", "-f", n, "-l", n, "-singlefile", *map(str, crop), pdf, picture)
        dark = (255 - np.array(Image.open(picture + ".pgm"), float)) / 255
    # The picture begins at a whole dot.
    left, top = round(left * per) / per, round(top * per) / per
    faults = []
    for name, line, thick in (("cutting", lines[0], 0.7), ("stitching", lines[1], 0.35)):
        offs = []
        for row in range(0, dark.shape[0], 4):
            level = top + (row + 0.5) / per
            for want in crossing(line, level + dy):
                want -= dx + left
                if not 4.0 < want < dark.shape[1] / per - 4.0:
                    continue
                offs += run_off(dark[row], want * per, thick * per)
        if len(offs) < 40:
            faults.append(f"page {n}: the {name} line was seen in {len(offs)} rows only")
            continue
        worst = max(offs, key=abs) / per
        print(f"  page {n}: {name} line off by {worst:+.3f} mm at most in {len(offs)} rows")
        if abs(worst) > 0.1:
            faults.append(f"page {n}: the {name} line is off by {worst:.3f} mm")
    return faults


def black_and_white(pdf, report, size):
    """In dots of pure black, 300 to the inch, as a plain printer sets them: the cutting line has no gap,
    and the stitching line's dashes and gaps still read as 6 mm and 2 mm, a little fitted to the edge."""
    per = 300 / 25.4
    doc = pymupdf.open(pdf)
    spot = best_spot(doc, report, size)
    if spot is None:
        return ["no sheet with a cutting and a stitching line side by side"]
    _, page, (_, y), (dx, dy), lines = spot
    with tempfile.TemporaryDirectory() as folder:
        picture = str(Path(folder) / "page")
        n = str(page.number + 1)
        run("pdftoppm", "-r", "300", "-mono", "-f", n, "-l", n, "-singlefile", pdf, picture)
        black = ~np.array(Image.open(picture + ".pbm"))
    faults = []
    for name, line in (("cutting", lines[0]), ("stitching", lines[1])):
        inked, places = [], []
        for row in range(round(y * per), round((y + 20.0) * per)):
            level = (row + 0.5) / per
            near = [v - dx for v in crossing(line, level + dy)]
            near = [v for v in near if 0.0 < v < size[0]]
            if near:
                want = min(near, key=lambda v: abs(v - (places[-1][0] if places else spot[2][0])))
                column = round(want * per)
                inked.append(bool(black[row, column - 2 : column + 3].any()))
                places.append((want, level))
        runs, start = [], 0
        for i in range(1, len(inked) + 1):
            if i == len(inked) or inked[i] != inked[start]:
                length = float(np.hypot(*np.subtract(places[i - 1], places[start]))) + 1.0 / per
                runs.append((inked[start], length))
                start = i
        gaps = [round(length, 1) for ink, length in runs[1:-1] if not ink]
        dashes = [round(length, 1) for ink, length in runs[1:-1] if ink]
        print(f"  page {n} in black alone: {name} line, dashes {dashes}, gaps {gaps} mm")
        if name == "cutting" and (gaps or not all(inked)):
            faults.append(f"page {n}: the cutting line has gaps in black alone: {gaps}")
        if name == "stitching" and (
            not gaps
            or not all(1.0 <= gap <= 3.0 for gap in gaps)
            or not all(4.0 <= dash <= 9.0 for dash in dashes)
        ):
            faults.append(f"page {n}: dashes {dashes} and gaps {gaps} do not read as 6 and 2 mm")
    return faults


def run_off(row, want, thick):
    """How far the middle of the line lies from where it should be, in dots; nothing in a gap of dashes,
    or where a letter or another line touches it."""
    i = j = round(want)
    if row[max(i - 2, 0) : i + 3].max() < 0.5:
        return []
    while row[i] < 0.5:
        i += 1 if row[i : i + 3].max() >= 0.5 else -1
    j = i
    while i > 0 and row[i - 1] > 0.02:
        i -= 1
    while j < len(row) - 1 and row[j + 1] > 0.02:
        j += 1
    if j - i + 1 > thick * 1.6 + 3 or j - i + 1 < thick * 0.9:
        return []
    ink = row[i : j + 1]
    return [np.dot(np.arange(i, j + 1) + 0.5, ink) / ink.sum() - want]


def layers(pdf):
    """Each layer, off by default in a copy of the file, is left out by both readers; no other ink is."""
    doc = pymupdf.open(pdf)
    names = {xref: g["name"] for xref, g in doc.get_ocgs().items()}
    n = next((p.number + 1 for p in doc if sheets.tile_name(p)), None)
    if n is None:
        return ["no sheet to try the layers on"]
    faults = []

    def shapes(file):
        with tempfile.TemporaryDirectory() as folder:
            svg = Path(folder) / "page.svg"
            run("pdftocairo", "-svg", "-f", str(n), "-l", str(n), str(file), str(svg))
            text = svg.read_text(encoding="utf-8")
            body = text.partition("</defs>")[2] or text
            return len(re.findall(r"<(?:path|use|rect)\b", body))

    gone = {}
    with tempfile.TemporaryDirectory() as folder:
        # The draft's layer is off in the file as it is made; here every one is tried against all on.
        whole = pymupdf.open(pdf)
        whole.set_layer(-1, on=list(names), off=[])
        whole.save(Path(folder) / "whole.pdf")
        whole = pymupdf.open(Path(folder) / "whole.pdf")
        every = shapes(Path(folder) / "whole.pdf")
        for xref, name in names.items():
            copy = pymupdf.open(pdf)
            copy.set_layer(-1, on=[x for x in names if x != xref], off=[xref])
            file = Path(folder) / "copy.pdf"
            copy.save(file)
            again = pymupdf.open(file)
            states = {c["text"]: c["on"] for c in again.layer_ui_configs()}
            if [k for k, on in states.items() if not on] != [name]:
                faults.append(f"{name} off: the states are {states}")
            if any(d["layer"] == name for d in again[n - 1].get_drawings()):
                faults.append(f"MuPDF draws {name}, which is off")
            gone[name] = every - shapes(file)
        drawn_on = {d["layer"] for d in whole[n - 1].get_drawings()}
    for name, count in gone.items():
        drawn = name in drawn_on
        if drawn and count <= 0:
            faults.append(f"poppler draws {name}, which is off")
    if sum(gone.values()) != every:
        faults.append(f"of {every} shapes on page {n} the layers hold {sum(gone.values())}: {gone}")
    print(f"  page {n}: {every} shapes in {sum(1 for v in gone.values() if v)} layers, each can be left out")
    return faults


def main(pdf, paper, report=None):
    faults = boxes(pdf, SIZES[paper]) + fonts(pdf) + squares(pdf)
    if report:
        report = json.loads(Path(report).read_text(encoding="utf-8"))
        size = SIZES[paper]
        faults += pixels(pdf, report, size) + black_and_white(pdf, report, size) + layers(pdf)
    if shutil.which("qpdf"):
        done = subprocess.run(["qpdf", "--check", pdf], capture_output=True, text=True)
        if done.returncode:
            faults.append(f"qpdf: {done.stdout} {done.stderr}")
    for fault in faults:
        print("FAULT", fault)
    return 1 if faults else 0


if __name__ == "__main__":
    if len(sys.argv) not in (3, 4) or sys.argv[2] not in SIZES:
        sys.exit(__doc__)
    sys.exit(main(*sys.argv[1:]))
