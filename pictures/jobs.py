"""Sixty jobs that between them use every outline, every paper, from one opening to a thousand, and every kind of sheet.

write(FOLDER) writes them and gives {name: [job files that are drawn together]}."""

import pathlib

EXAMPLES = pathlib.Path(__file__).resolve().parent.parent / "examples"

BASE = """title = "{title}"
skill = "{skill}"
{top}
[sheet]
metal = "copper"
thickness = 0.9
{sheet}
[outline]
{outline}
border = {border}
[pattern]
name = "{pattern}"
pitch = {pitch}
bridge = {bridge}
{laid}
[saw]
blade = "{blade}"
drill = {drill}
[paper]
{paper}
{more}
"""

STONE = """[construction]
rim = { height = 5, thickness = 0.6, sits = "under-plate" }
back = { thickness = 0.7, overhang = 1.0 }
bezel = { stone = 9, thickness = 0.3, height = 3, at = [0, 0], ledge = 1.0, window = true }"""
LABELS = "labels = { across = 3, down = 4, width = 63, height = 70, left = 8, top = 8, gap_across = 2, gap_up = 0 }"
LEAF = "M 0 24 C 10 20 18 6 16 -6 C 15 -14 8 -20 0 -24 C -8 -20 -15 -14 -16 -6 C -18 6 -10 20 0 24 Z"


def job(title, shape="circle", sizes="diameter = 46", **over):
    words = dict(title=title, top="", sheet="", outline=f'shape = "{shape}"\n{sizes}', border=2.3, pattern="hexagon", pitch=6,
                 bridge=1.2, laid="", drill=0.8, paper='size = "A4"', more="", skill="practised", blade="3/0")
    words.update(over)
    return BASE.format(**words)


FINE = dict(skill="fine-work", blade="6/0", drill=0.5)


def plate(title, width, height, corner=3, **over):
    return job(title, "rectangle", f"width = {width}\nheight = {height}\ncorner_radius = {corner}", **over)


def disc(title, diameter, **over):
    return job(title, sizes=f"diameter = {diameter}", **over)


def made():
    """name -> text of the job, or texts of the jobs that are drawn together."""
    jobs = {
        # Every outline.
        "ellipse": job("Quince leaf", "ellipse", "width = 60\nheight = 40"),
        "rectangle": plate("Door plate", 70, 45, 4, pattern="herringbone", pitch=8, bridge=1.2),
        "polygon": job("Six corners", "polygon", "sides = 6\nacross = 55"),
        "teardrop": job("Rain", "teardrop", "width = 32\nheight = 50"),
        "heart": job("Heart", "heart", "width = 46\nheight = 44"),
        "marquise": job("Boat", "marquise", "width = 64\nheight = 30"),
        "cushion": job("Cushion", "cushion", "width = 50\nheight = 42"),
        "crescent": job("New moon", "crescent", "width = 46\nheight = 50\nthick = 16"),
        "band": job("Band, US 7", "band", 'ring_size = "US 7"\nwidth = 9', border=1.4, pitch=4.5, bridge=0.9, **FINE),
        "band-narrow": job("Narrow band", "band", "inside = 18.2\nwidth = 5", border=1.3, pitch=3, bridge=0.8, **FINE),
        "cone": job("Lamp cone", "cone", "top = 16\nbottom = 34\nheight = 30"),
        "drawn": job("Leaf of our own", "drawn", f'd = "{LEAF}"', pattern="fish-scale", pitch=7),
        # Every paper.
        "a6-disc": disc("Disc on A6", 40, paper='size = "A6"'),
        "100x90": disc("Smallest sheet", 32, paper="size = [100, 90]"),
        "a5-pendant": disc("Pendant on A5", 42, paper='size = "A5"', more=STONE),
        "a3-panel": plate("Panel on A3", 240, 160, pitch=12, bridge=2, paper='size = "A3"'),
        "letter": job("On Letter", "heart", "width = 60\nheight = 56", paper='size = "Letter"', pattern="six-petal", pitch=9, bridge=1.2),
        "legal": plate("On Legal", 150, 60, paper='size = "Legal"', pattern="star-and-cross", pitch=9, bridge=1.3),
        "tabloid": plate("On Tabloid", 220, 140, paper='size = "Tabloid"', pattern="lantern", pitch=16, bridge=1.6),
        "labels": disc("Labels", 32, paper=f'size = "A4"\ncopies = 12\n{LABELS}'),
        # From one opening to a thousand.
        "one-opening": disc("One opening", 20, pitch=30, laid='centre = "opening"'),
        "seven": disc("Seven", 34, pitch=10, bridge=1.4),
        "fifty": disc("Fifty", 60, pitch=7, pattern="square"),
        "two-hundred": disc("Two hundred", 70, pitch=4.4, bridge=0.9, **FINE),
        "seven-hundred": plate("Seven hundred", 100, 80, pitch=3.6, bridge=0.8, **FINE),
        "thousand": plate("A thousand openings", 120, 120, 0, pitch=3.6, bridge=0.8, **FINE),
        "wide-plate": plate("Wide plate", 250, 60, pitch=7),
        "stud": disc("Stud", 9, pitch=2.8, bridge=0.8, border=1.4, **FINE),
        # Titles.
        "long-title": job("A title of ninety letters, longer than any sensible maker would think of putting on a page",
                          paper='size = "A5"'),
        "hebrew": job("\u05d9\u05e8\u05d7 \u05de\u05dc\u05d0 12"),
        "arabic": job("\u0642\u0645\u0631"),
        "chinese": job("\u6708\u5149\u306e\u7a93", paper='size = "A5"'),
        # Units, marks, ways onto the metal.
        "inches": job("In inches", top='units = "in"', sizes='diameter = "46 mm"', border='"2.3 mm"', pitch='"6 mm"',
                      bridge='"1.2 mm"', drill='"0.8 mm"', paper='size = "Letter"').replace("thickness = 0.9", 'thickness = "19 ga"'),
        "metal-tinted": job("Metal tinted", paper='shade = "metal"', pattern="quatrefoil", pitch=9, bridge=1.3),
        "few-marks": job("Few marks", paper='marks = "few"'),
        "rub-down": job("Rubbed down", "teardrop", "width = 32\nheight = 50", paper='transfer = "rub-down"'),
        "carbon": job("Through carbon", paper='transfer = "carbon"\nmirror = true'),
        "glued": job("Glued", paper='transfer = "glue"\nline = "split"'),
        "corrected": job("Corrected", paper="correction = { across = 97.8, up = 98.1 }", more=STONE),
        "measured": job("Measured", more=STONE + "\n[measured]\noutline = 45.6"),
        # Kinds of piece.
        "pair": job("A pair", "teardrop", "width = 18\nheight = 30", top="pair = true", pitch=3.4, bridge=0.8, border=1.4, **FINE),
        "pair-hearts": job("Heart earrings", "heart", "width = 24\nheight = 23", top="pair = true", pitch=4, bridge=0.8, border=1.6,
                           more='[[hole]]\nname = "bail hole"\ndiameter = 1.2\nat = [0, 6]', **FINE),
        "stone": job("Rim, plate, stone", more=STONE),
        "hung": job("Hung", more='[[lug]]\nwidth = 6\nheight = 5\nhole = 1.8'),
        "window": job("A window", more='[[window]]\nname = "stone window"\nshape = "ellipse"\nwidth = 14\nheight = 10\nat = [0, 2]'),
        "dome": job("Domed", more="[construction]\ndome = 5"),
        "graded": disc("Graded", 60, pattern="sunflower", pitch=5, bridge=1.2),
        "fitted-star": job("Star", "polygon", "sides = 8\nacross = 60", pattern="eight-point-star", pitch=14, bridge=1.4),
        "split": plate("Split panel", 400, 300, 0, pitch=24, bridge=4, border=12, paper="split = true"),
        "class": disc("Class", 32, paper="copies = 12\nname_line = true"),
        "quote": job("Quoted", "cushion", "width = 50\nheight = 42", sheet="price_per_gram = 0.9", more="[rates]\nper_hour = 40"),
        "full-card": job("Whole card", paper='card = "full"', more=STONE),
        "together": [disc(f"Token {n}", size, pattern=pattern, pitch=pitch) for n, size, pattern, pitch in
                     [("one", 30, "hexagon", 6), ("two", 34, "square", 6), ("three", 26, "triangle", 8), ("four", 38, "hexagon", 5),
                      ("five", 30, "six-petal", 9)]],
    }
    return jobs


def write(folder):
    folder = pathlib.Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    drawn = {path.stem: [path] for path in sorted(EXAMPLES.glob("*.toml"))}
    for name, texts in made().items():
        texts = [texts] if isinstance(texts, str) else texts
        paths = [folder / (f"{name}.toml" if i == 0 else f"{name}-{i + 1}.toml") for i in range(len(texts))]
        for path, text in zip(paths, texts):
            path.write_text(text)
        drawn[name] = paths
    return drawn
