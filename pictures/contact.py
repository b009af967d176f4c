"""contact.py PROGRAM OUT: draws the sixty jobs of jobs.py and puts every sheet of paper they give side by side, to be
looked at as a whole. Tells how many sheets each took."""

import pathlib
import subprocess
import sys
import tempfile

from PIL import Image

import jobs

WIDE, HIGH, COLUMNS, GAP = 150, 212, 18, 8


def sheets(program, name, paths, work):
    """The sheets of one run, as small pictures."""
    out = work / name
    out.mkdir()
    together = ["--together"] if len(paths) > 1 else []
    made = subprocess.run([program, "draw", *paths, "--out", out, *together], capture_output=True, text=True, timeout=400)
    files = list(out.glob("*.pdf"))
    if made.returncode > 1 or len(files) != 1:
        sys.exit(f"{name}: exit status {made.returncode}: {made.stderr.strip()[:300]}")
    subprocess.run(["pdftoppm", "-r", "72", "-gray", "-png", files[0], out / "sheet"], check=True)
    for path in sorted(out.glob("sheet*.png")):
        picture = Image.open(path).convert("L")
        share = min(WIDE / picture.width, HIGH / picture.height)
        yield picture.resize((round(picture.width * share), round(picture.height * share)), Image.LANCZOS)


def main(program, out):
    with tempfile.TemporaryDirectory() as folder:
        work = pathlib.Path(folder)
        pictures = []
        for name, paths in jobs.write(work / "jobs").items():
            made = list(sheets(program, name, paths, work))
            print(f"{name}: {len(made)}")
            pictures += made
    rows = -(-len(pictures) // COLUMNS)
    sheet = Image.new("L", (COLUMNS * (WIDE + GAP) + GAP, rows * (HIGH + GAP) + GAP), 150)
    for i, picture in enumerate(pictures):
        sheet.paste(picture, (GAP + i % COLUMNS * (WIDE + GAP), GAP + i // COLUMNS * (HIGH + GAP)))
    sheet.quantize(16).save(out, optimize=True)
    print(f"{len(pictures)} sheets in {out}")


main(sys.argv[1], sys.argv[2])
