"""Judges the pattern on large paper: the roll and A0.

    python3 large.py pattern-roll.pdf report.json

With PyMuPDF and shapely: sizes of the sheets, no scaling and no unit but the point, layers on, letters
of 11 points at least, fonts embedded, the two squares to measure exact and on one sheet, a name square
on every other; and every piece drawn true on it, turned by quarters or turned over at most. Exit 0 when
all holds; each fault is one line.
"""

import json
import sys
from pathlib import Path

import numpy as np
import pymupdf

import exchange
import joints
import paper

MM = paper.MM
ROLL, LONGEST, A0 = 914.4, 5080.0, (841.0, 1189.0)


def main(pdf, report):
    """Judges a file."""
    hold = exchange.hold
    doc = pymupdf.open(pdf)
    roll = "roll" in Path(pdf).name
    key = doc.xref_get_key(doc.pdf_catalog(), "ViewerPreferences/PrintScaling")
    hold(key == ("name", "/None"), f"PrintScaling is {key}")
    layers = {c["text"]: c["on"] for c in doc.layer_ui_configs()}
    hold(len(layers) == 7 and all(layers.values()), f"layers: {layers}")
    heavy, thin, measured = [], [], []
    for page in doc:
        n = page.number + 1
        w, h = page.rect.width * MM, page.rect.height * MM
        fits = abs(w - ROLL) < 0.003 and h <= LONGEST if roll else abs(w - A0[0]) < 0.003 and abs(h - A0[1]) < 0.003
        hold(fits, f"sheet {n} is {w:.3f} x {h:.3f} mm")
        hold(doc.xref_get_key(page.xref, "UserUnit")[0] == "null", f"sheet {n}: UserUnit")
        sizes = [s["size"] for s in paper.spans(page)]
        hold(min(sizes, default=99) >= 10.99, f"sheet {n}: letters of {min(sizes, default=0)} pt")
        for font in doc.get_page_fonts(n - 1, full=True):
            hold(font[1] == "ttf" and "+" in font[3], f"sheet {n}: font {font[3]} is not embedded as a subset")
        sides = [a for a, b in paper.squares(page) if abs(a - b) < 0.002]
        two = all(any(abs(s - want) < 0.002 for s in sides) for want in (100.0, 101.6))
        named = any(abs(s - want) < 0.002 for s in sides for want in (50.0, 50.8))
        measured.append(two)
        hold(two or named, f"sheet {n}: nothing to measure: {sides}")
        # One sheet beside the other.
        aside = np.array((page.number * 10_000.0, 0.0))
        for d in page.get_drawings():
            if d["type"] == "s" and d["layer"] == "Cutting line":
                heavy += [np.array(c) + aside for c in closed(d)]
            elif d["type"] == "s" and d["layer"] == "Stitching line":
                thin += [np.array(c) + aside for c in joints.dashes(d) if len(c) > 1]
    hold(sum(measured) == 1, f"{sum(measured)} sheets with both squares")
    for piece in report["pieces"]:
        hold(exchange.drawn_whole(piece, heavy, thin), f"{piece['name']} is nowhere drawn true")
    for fault in exchange.FAULTS:
        print("FAULT", fault)
    print(f"{Path(pdf).name}: {len(doc)} sheets, {len(report['pieces'])} pieces")
    return bool(exchange.FAULTS)


def closed(drawing):
    """The runs of a stroke, closed where the file says so."""
    for chain in joints.runs(drawing):
        yield chain + chain[:1] if drawing["closePath"] and chain[0] != chain[-1] else chain


if __name__ == "__main__":
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1], json.loads(Path(sys.argv[2]).read_text(encoding="utf-8"))))
