"""contact.py PROGRAM WORK OUT: draws sixty jobs (the examples, every outline, every paper, from one opening to a thousand)
and puts their first pages side by side, to be looked at as a whole."""

import pathlib
import subprocess
import sys

from PIL import Image

program, work, out = sys.argv[1], pathlib.Path(sys.argv[2]), sys.argv[3]
WIDE, COLUMNS = 150, 10

BASE = """title = "{title}"
skill = "practised"
{top}
[sheet]
metal = "copper"
thickness = 0.9
[outline]
{outline}
border = {border}
[pattern]
name = "{pattern}"
pitch = {pitch}
bridge = {bridge}
at_border = "trim"
[saw]
blade = "3/0"
drill = {drill}
[paper]
{paper}
{more}
"""
OUTLINES = {
    "circle": "diameter = 46", "ellipse": "width = 60\nheight = 40", "rectangle": "width = 70\nheight = 45\ncorner_radius = 4",
    "polygon": "sides = 6\nacross = 55", "teardrop": "width = 32\nheight = 50", "heart": "width = 46\nheight = 44",
    "marquise": "width = 64\nheight = 30", "cushion": "width = 50\nheight = 42", "crescent": "width = 46\nheight = 50\nthick = 16",
    "band": "inside = 17.3\nwidth = 9", "cone": "top = 16\nbottom = 34\nheight = 30",
}
PAPERS = ["A3", "A4", "A5", "A6", "Letter", "Legal", "Tabloid"]
PATTERNS = ["hexagon", "triangle", "square", "star-and-cross", "herringbone", "six-petal"]


def job(title, shape="circle", sizes=None, **over):
    words = dict(title=title, top="", outline=f'shape = "{shape}"\n{sizes or OUTLINES[shape]}', border=2, pattern="hexagon",
                 pitch=5.5, bridge=1.1, drill=0.8, paper='size = "A4"', more="")
    words.update(over)
    return BASE.format(**words)


jobs = {}
for path in sorted(pathlib.Path("examples").glob("*.toml")):
    jobs[path.stem] = path.resolve()
for shape in OUTLINES:
    jobs[f"outline-{shape}"] = job(shape.capitalize(), shape, border=1.4 if shape == "band" else 2,
                                   pitch=4.5 if shape == "band" else 5.5)
for paper in PAPERS:
    jobs[f"paper-{paper}"] = job(f"On {paper}", paper=f'size = "{paper}"')
for pattern in PATTERNS:
    jobs[f"pattern-{pattern}"] = job(pattern.capitalize(), pattern=pattern, pitch=8, bridge=1.2)
for pitch in (30, 20, 12, 8, 5, 4, 3.2, 2.6):
    jobs[f"pitch-{pitch}"] = job(f"Pitch {pitch}", pitch=pitch, bridge=min(1.2, pitch / 4), drill=0.5,
                                 sizes="diameter = 60")
jobs["labels"] = job("Labels", sizes="diameter = 32", paper='size = "A4"\ncopies = 12\nlabels = { across = 3, down = 4, width = 63, height = 70, left = 8, top = 8, gap_across = 2, gap_up = 0 }')
jobs["class"] = job("Class", sizes="diameter = 32", paper='size = "A4"\ncopies = 12\nname_line = true')
jobs["pair"] = job("A pair", "teardrop", "width = 18\nheight = 30", top="pair = true", pitch=3.4, bridge=0.8, drill=0.5)
jobs["metal-tinted"] = job("Metal tinted", paper='size = "A4"\nshade = "metal"')
jobs["few-marks"] = job("Few marks", paper='size = "A4"\nmarks = "few"')
jobs["rub-down"] = job("Rubbed down", paper='size = "A4"\ntransfer = "rub-down"')
jobs["mirrored"] = job("Mirrored", paper='size = "A4"\nmirror = true')
jobs["inches"] = job("In inches", top="", paper='size = "Letter"').replace('skill =', 'units = "mm"\nskill =')
jobs["wide"] = job("Wide plate", "rectangle", "width = 250\nheight = 60\ncorner_radius = 3", pitch=7)
jobs["split"] = job("Split panel", "rectangle", "width = 400\nheight = 300\ncorner_radius = 0", pitch=24, bridge=4, border=12,
                    paper='size = "A4"\nsplit = true')
jobs["stone"] = job("Stone", more="[construction]\nrim = { height = 5, thickness = 0.6, sits = \"under-plate\" }\nback = { thickness = 0.7, overhang = 1.0 }\nbezel = { stone = 9, thickness = 0.3, height = 3, at = [0, 0], ledge = 1.0, window = true }")
jobs["hung"] = job("Hung", more="[[hole]]\nname = \"bail hole\"\ndiameter = 1.8\nat = [0, 20.5]")
jobs["long-title"] = job("A title of ninety letters that goes on for longer than any sensible maker would ever write", paper='size = "A5"')
jobs["stud"] = job("Stud", sizes="diameter = 9", pitch=2.6, bridge=0.7, drill=0.5, border=1)
jobs["large"] = job("A thousand openings", "rectangle", "width = 120\nheight = 120\ncorner_radius = 0", pitch=3.6, bridge=0.8, drill=0.6)
jobs["quote"] = job("Quoted", more="[rates]\nper_hour = 40").replace("thickness = 0.9", "thickness = 0.9\nprice_per_gram = 0.9")

names = list(jobs)[:60]
pictures = []
for name in names:
    path = jobs[name]
    if isinstance(path, str):
        path = work / f"{name}.toml"
        path.write_text(jobs[name])
    try:
        made = subprocess.run([program, "draw", path, "--out", work], capture_output=True, text=True, timeout=60)
    except subprocess.TimeoutExpired:
        print(f"{name}: not drawn within a minute", file=sys.stderr)
        continue
    pdf = work / f"{pathlib.Path(path).stem}.pdf"
    if not pdf.exists():
        print(f"{name}: no paper: {made.stderr.strip()[:200]}", file=sys.stderr)
        continue
    subprocess.run(["pdftoppm", "-r", "60", "-gray", "-png", "-f", "1", "-l", "1", "-singlefile", pdf, work / f"c-{name}"], check=True)
    page = Image.open(work / f"c-{name}.png").convert("L")
    pictures.append(page.resize((WIDE, round(page.height * WIDE / page.width)), Image.LANCZOS))

GAP = 8
rows = [pictures[i:i + COLUMNS] for i in range(0, len(pictures), COLUMNS)]
high = sum(max(p.height for p in row) + GAP for row in rows) + GAP
sheet = Image.new("L", (COLUMNS * (WIDE + GAP) + GAP, high), 150)
y = GAP
for row in rows:
    for i, page in enumerate(row):
        sheet.paste(page, (GAP + i * (WIDE + GAP), y))
    y += max(p.height for p in row) + GAP
sheet.quantize(16).save(out, optimize=True)
print(f"{len(pictures)} first pages in {out}")
