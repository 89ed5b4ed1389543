"""Draws the pieces of a report.json with a numbered ring at each place that a finding names.

    python3 findings.py REPORT.json PICTURE.png PIECE [PIECE...]

Needs PyMuPDF (tests/judges/requirements.txt).
"""

import json
import sys

import pymupdf

SCALE = 0.55  # points for a millimetre
GAP = 60.0
RINGS = {"stop": 3.0, "ask": 1.6, "note": 0.8}


def main(report, picture, *names):
    report = json.load(open(report, encoding="utf-8"))
    pieces = [p for p in report["pieces"] if p["name"] in names]
    boxes = []
    left = GAP
    for piece in pieces:
        xs, ys = zip(*piece["cutting_mm"])
        boxes.append((left - min(xs), GAP - min(ys)))
        left += max(xs) - min(xs) + GAP
    height = max(max(y for _, y in p["cutting_mm"]) - min(y for _, y in p["cutting_mm"]) for p in pieces)
    page = pymupdf.open().new_page(width=left * SCALE, height=(height + 2 * GAP) * SCALE)
    for piece, (dx, dy) in zip(pieces, boxes):
        middle = sum(x for x, _ in piece["stitching_mm"]) / len(piece["stitching_mm"])

        def at(point, dx=dx, dy=dy):
            return pymupdf.Point((point[0] + dx) * SCALE, (point[1] + dy) * SCALE)

        page.draw_polyline([at(p) for p in piece["cutting_mm"]], width=1.4)
        page.draw_polyline([at(p) for p in piece["stitching_mm"]], width=0.7, dashes="[6 2] 0")
        taken = []
        for number, finding in enumerate(report["findings"], 1):
            for spot in finding["at"]:
                if spot["piece"] != piece["name"]:
                    continue
                centre = at(spot["point_mm"])
                page.draw_circle(centre, 5, width=RINGS[finding["weight"]])
                # Beside the piece, clear of both lines; a place inside it has room beside itself.
                right = spot["point_mm"][0] > middle
                where = centre + ((24, 5) if right else (-32, 5)) if spot["edge"] else centre + (9, 5)
                # A number beside another one moves down until it is clear.
                while any(abs(where.x - t.x) < 14 and abs(where.y - t.y) < 13 for t in taken):
                    where.y += 13
                taken.append(pymupdf.Point(where))
                page.insert_text(where, str(number), fontsize=13, fontname="hebo")
    page.get_pixmap(dpi=110).save(picture)


if __name__ == "__main__":
    main(*sys.argv[1:])
