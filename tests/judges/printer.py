"""Judges a tiled PDF as a printer would get it, with poppler: a second reader, and real pixels.

    python3 printer.py pattern-a4.pdf a4|letter|a3

Page boxes by pdfinfo, embedded fonts by pdffonts, syntax by qpdf where it is installed, and the two
squares of the first page measured in a picture of 508 dots to the inch (20 to the millimetre).
Exit 0 when all holds; each fault is one line.
"""

import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from PIL import Image

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


def main(pdf, paper):
    faults = boxes(pdf, SIZES[paper]) + fonts(pdf) + squares(pdf)
    if shutil.which("qpdf"):
        done = subprocess.run(["qpdf", "--check", pdf], capture_output=True, text=True)
        if done.returncode:
            faults.append(f"qpdf: {done.stdout} {done.stderr}")
    for fault in faults:
        print("FAULT", fault)
    return 1 if faults else 0


if __name__ == "__main__":
    if len(sys.argv) != 3 or sys.argv[2] not in SIZES:
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1], sys.argv[2]))
