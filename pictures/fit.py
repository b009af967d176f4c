"""fit.py PROGRAM WORK OUT: two pictures of fitted patterns, from the program's own bare outlines. OUT/fit-six.png has six pieces;
OUT/fit-before-after.png has a heart, a drop and a hexagon trimmed at the border (above) and fitted to it (below).
Needs rsvg-convert (librsvg2-bin) and Pillow."""

import pathlib
import re
import subprocess
import sys

from PIL import Image

program, work, out = sys.argv[1], pathlib.Path(sys.argv[2]), pathlib.Path(sys.argv[3])

JOB = """title = "{title}"
[sheet]
metal = "copper"
thickness = 0.8
[outline]
{outline}
border = 2.2
[pattern]
name = "{pattern}"
pitch = {pitch}
bridge = 1.0
turn = {turn}
at_border = "{border}"
centre = "best"
{more}[saw]
blade = "4/0"
drill = 0.8
"""
HEART = 'shape = "heart"\nwidth = 44\nheight = 42'
DROP = 'shape = "teardrop"\nwidth = 34\nheight = 46'
HEXAGON = 'shape = "polygon"\nsides = 6\nacross = 46'
STONE = '[[window]]\nname = "stone"\nshape = "circle"\ndiameter = 11\nat = [0, 0]\nborder = 2\n'
SIX = [
    ("hexagon", 4.6, 0, HEART, ""),
    ("kites", 11, 0, DROP, ""),
    ("star-and-cross", 7.4, 0, 'shape = "circle"\ndiameter = 44', ""),
    ("triangle", 6.8, 30, HEXAGON, ""),
    ("running-bond", 4.6, 45, 'shape = "rectangle"\nwidth = 46\nheight = 34', ""),
    ("hexagon", 4.4, 0, 'shape = "circle"\ndiameter = 46', STONE),
]
PAIRS = [("hexagon", 4.6, 0, HEART, ""), ("floret", 11.5, 19.1066, DROP, ""), ("tumbling-blocks", 7.6, 0, HEXAGON, "")]
# mm on the sheet for each piece, and dots for each mm.
SIDE, DOTS = 52, 8


def piece(kind, border):
    """The piece's outlines as one SVG group, its middle at the origin."""
    pattern, pitch, turn, outline, more = kind
    shape = re.search(r'shape = "(\w+)"', outline)[1]
    stem = f"{pattern}-{shape}-{border}"
    job = work / f"{stem}.toml"
    job.write_text(JOB.format(title=stem, outline=outline, pattern=pattern, pitch=pitch, turn=turn, border=border, more=more))
    done = subprocess.run([program, "draw", job, "--send-out", "--out", work], capture_output=True, text=True)
    if done.returncode > 1:
        sys.exit(done.stderr)
    svg = (work / f"{stem}-outlines.svg").read_text()
    middle = re.search(r'data-middle="([\d.]+) ([\d.]+)"', svg)
    paths = " ".join(re.findall(r'<path d="([^"]+)"', svg))
    return f'<g transform="translate(-{middle[1]} -{middle[2]})"><path d="{paths}" fill="url(#metal)" fill-rule="evenodd" stroke="#4a4640" stroke-width="0.12"/></g>'


def sheet(rows, name):
    """Rows of pieces side by side, as a picture."""
    wide, high = SIDE * len(rows[0]), SIDE * len(rows)
    cells = "".join(
        f'<g transform="translate({SIDE * (x + 0.5)} {SIDE * (y + 0.5)})">{group}</g>'
        for y, row in enumerate(rows) for x, group in enumerate(row)
    )
    svg = work / f"{name}.svg"
    svg.write_text(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide * DOTS}" height="{high * DOTS}" viewBox="0 0 {wide} {high}">'
        '<linearGradient id="metal" x1="0" y1="0" x2="0.6" y2="1"><stop offset="0" stop-color="#d8c9a8"/>'
        '<stop offset="0.5" stop-color="#b9a57c"/><stop offset="1" stop-color="#96815a"/></linearGradient>'
        f'<rect width="100%" height="100%" fill="#fff"/>{cells}</svg>'
    )
    png = work / f"{name}.png"
    subprocess.run(["rsvg-convert", svg, "-o", png], check=True)
    Image.open(png).convert("RGB").quantize(64).save(out / f"{name}.png", optimize=True)


pieces = [piece(kind, "fit") for kind in SIX]
sheet([pieces[:3], pieces[3:]], "fit-six")
sheet([[piece(kind, border) for kind in PAIRS] for border in ("trim", "fit")], "fit-before-after")
