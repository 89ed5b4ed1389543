#!/bin/sh
# Makes the two fonts of this folder from the Debian package fonts-noto-core (20201225-1, Noto Sans 2.004).
# Needs: dpkg -x fonts-noto-core_*.deb FOLDER; pip install fonttools
# Kept: Latin with Central European and Vietnamese letters, combining marks, and the small figures of
# fractions (numr, dnom). Left out: hints (paper is finer than any screen) and all other scripts.
set -eu
from="${1:?folder with NotoSans-Regular.ttf and NotoSans-Bold.ttf}"
for face in Regular Bold; do
  pyftsubset "$from/NotoSans-$face.ttf" --output-file="NotoSans-$face.ttf" \
    --unicodes=0020-007E,00A0-024F,0259,02B0-02B3,02BB-02BC,02C6-02C7,02D8-02DD,0300-0304,0306-030C,0311,031B,0323-0328,032D-0331,1E00-1EFF,2009-200A,2010-2015,2018-201E,2020-2022,2026,202F,2030,2032-2033,2039-203A,2044,2070-2079,2080-2089,20AB-20AC,2116,2122,2153-215E,2212 \
    --layout-features=kern,mark,mkmk,ccmp,locl,numr,dnom,frac,tnum,lnum \
    --no-hinting --notdef-outline --name-IDs='*' --glyph-names --recalc-timestamp=False
done
