"""Judges from outside, with poppler's pdftotext, that every letter of the languages that the sheets are
to be read in can be printed and read back, in both faces.

    python3 alphabets.py ELLWAND

Makes a small pattern whose title (set in bold) and whose client (set in the regular face) hold the
letters, some dozens at a time, and compares what `pdftotext -raw` reads with what was written, in the
composed form of Unicode (NFC). Exit 0 when all come back; each fault is one line.
"""

import subprocess
import sys
import tempfile
import unicodedata
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
TONES = ["", "\u0300", "\u0301", "\u0309", "\u0303", "\u0323"]


def letters():
    """Vietnamese, Latin Extended-A (Central Europe, the Baltic, Turkish), Romanian commas below."""
    vietnamese = [unicodedata.normalize("NFC", v + t) for v in "aăâeêioôơuưyAĂÂEÊIOÔƠUƯY" for t in TONES]
    extended = [chr(c) for c in range(0x100, 0x180) if unicodedata.category(chr(c)) in ("Lu", "Ll")]
    western = list("äöüßÄÖÜáéíóúýÁÉÍÓÚÝôâîÂÎçÇàèùëïñåæøÅÆØ")
    return list(dict.fromkeys(vietnamese + ["đ", "Đ"] + extended + list("ȘșȚț") + western))


def main(ellwand):
    faults = []
    every = letters()
    method = (ROOT / "tests/data/tube.method").read_text(encoding="utf-8")
    card = (ROOT / "tests/data/anna.toml").read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as folder:
        folder = Path(folder)
        for start in range(0, len(every), 30):
            text = "".join(every[start : start + 30])
            (folder / "m.method").write_text(
                method.replace(method.splitlines()[0], f'method "x{text}x"', 1), encoding="utf-8"
            )
            lines = [f'client = "z{text}z"' if l.startswith("client") else l for l in card.splitlines()]
            (folder / "c.toml").write_text("\n".join(lines) + "\n", encoding="utf-8")
            done = subprocess.run(
                [ellwand, "make", "--card", folder / "c.toml", "--method", folder / "m.method", "--out", folder / "o",
                 "--only", "pattern-a4.pdf"],
                capture_output=True, text=True, cwd=ROOT,
            )
            if done.returncode != 0:
                faults.append(done.stderr.strip())
                continue
            said = subprocess.run(
                ["pdftotext", "-raw", "-f", "1", "-l", "1", folder / "o/pattern-a4.pdf", "-"],
                capture_output=True, check=True,
            ).stdout.decode("utf-8")
            said = unicodedata.normalize("NFC", said)
            for mark, face in (("x", "bold"), ("z", "regular")):
                if f"{mark}{text}{mark}" not in said:
                    lost = [c for c in text if c not in said]
                    faults.append(f"{face}: {text} does not read back; not there at all: {''.join(lost) or 'none'}")
    print(f"{len(every)} letters in two faces")
    print("\n".join(faults))
    return 1 if faults else 0


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1]))
