"""The printed page as other people's programs see it: bars, edges, words and joins measured in their readings and pictures."""
import re
import shutil
import subprocess
import xml.etree.ElementTree as ET

import numpy as np
import pikepdf
import pymupdf
import pypdfium2
import pytest
import shapely
import svgelements
from conftest import ROOT, rings

SVG = "{http://www.w3.org/2000/svg}"
MM = 25.4

DISC = """
title = "Test disc"
skill = "practised"
[sheet]
metal = "copper"
thickness = 0.9
[outline]
shape = "circle"
diameter = 100
border = 2.5
[pattern]
name = "hexagon"
pitch = 12
bridge = 1.4
"""
CORRECTED = DISC + "[paper]\ncorrection = { across = 97.8, up = 98.1 }\n"
RUBBED = DISC + "[paper]\ntransfer = \"rub-down\"\ncopies = 3\n"
PANEL = """
title = "Test panel"
[sheet]
metal = "brass"
thickness = 1.0
[outline]
shape = "rectangle"
width = 540
height = 500
border = 12
[pattern]
name = "hexagon"
pitch = 26
bridge = 4
"""


SMALL = DISC.replace("diameter = 100", "diameter = 34").replace("pitch = 12", "pitch = 6") + '[paper]\nsize = "A6"\n'
# A pendant with parts, a pair, a band, a piece in inches.
EXAMPLES = ["tern-pendant", "rain-earrings", "harbour-band", "grille-brooch"]


@pytest.fixture(scope="module")
def files(sawpierce, tmp_path_factory):
    out = tmp_path_factory.mktemp("paper")
    for stem, text in [("disc", DISC), ("corrected", CORRECTED), ("rubbed", RUBBED), ("panel", PANEL), ("small", SMALL)]:
        (out / f"{stem}.toml").write_text(text)
        sawpierce("draw", out / f"{stem}.toml")
    for stem in EXAMPLES:
        sawpierce("draw", ROOT / "examples" / f"{stem}.toml", "--out", out)
    return out


def pdfium(path, page, dpi):
    return np.array(pypdfium2.PdfDocument(path)[page].render(scale=dpi / 72).to_pil().convert("L"))


def mupdf(path, page, dpi):
    pixels = pymupdf.open(path)[page].get_pixmap(dpi=dpi, colorspace=pymupdf.csGRAY, alpha=False)
    return np.frombuffer(pixels.samples, np.uint8).reshape(pixels.height, pixels.stride)[:, : pixels.width]


ENGINES = [pdfium, mupdf]


def darkness(row):
    return 1 - row.astype(float) / 255


def lines_at(profile, dpi):
    """Middles of the dark runs along a profile, mm, weighed by their ink."""
    found, run = [], []
    for i, d in enumerate(list(profile) + [0.0]):
        if d > 0.08:
            run.append((i, d))
        elif run:
            weight = sum(d for _, d in run)
            found.append(sum((i + 0.5) * d for i, d in run) / weight * MM / dpi)
            run = []
    return found


def svg_lines(root):
    for el in root.iter(SVG + "line"):
        yield tuple(float(el.get(k)) for k in ("x1", "y1", "x2", "y2"))


def bar(root, across):
    for x1, y1, x2, y2 in svg_lines(root):
        if across and y1 == y2 and abs(abs(x2 - x1) - 100) < 0.01:
            return x1, y1, x2, y2
        if not across and x1 == x2 and abs(abs(y2 - y1) - 100) < 0.01:
            return x1, y1, x2, y2
    raise AssertionError("no bar")


def test_bars_in_svg_are_exact(files):
    root = ET.parse(files / "disc.svg").getroot()
    assert root.get("width") == "210mm" and root.get("viewBox") == "0 0 210 297"
    for across in (True, False):
        x1, y1, x2, y2 = bar(root, across)
        assert abs(abs(x2 - x1) + abs(y2 - y1) - 100) <= 0.001


class Printed:
    """A page of a file as an engine shows it, and what the printer then makes of it: where page mm come to lie."""

    half = 210 / 2, 297 / 2

    def __init__(self, files, engine, dpi, stem, share):
        self.scale, self.share, self.dpi = dpi / MM, share, dpi
        self.root = ET.parse(files / f"{stem}.svg").getroot()
        self.picture = engine(files / f"{stem}.pdf", 0, dpi)

    def dot(self, v, axis):
        """Page mm to dots of the picture."""
        return (self.half[axis] + (v - self.half[axis]) / self.share[axis]) * self.scale

    def mm(self, dots, axis):
        """And back, as it comes out of the printer."""
        return self.half[axis] + (dots / self.scale - self.half[axis]) * self.share[axis]


SHARES = {"disc": (1, 1), "corrected": (0.978, 0.981)}
PRINTS = [(e, d, s) for e in ENGINES for d in (600, 1200) for s in SHARES]


@pytest.fixture(scope="module", params=PRINTS, ids=lambda p: f"{p[0].__name__}-{p[1]}-{p[2]}")
def printed(request, files):
    engine, dpi, stem = request.param
    return Printed(files, engine, dpi, stem, SHARES[stem])


def test_bars_measure_100_after_the_printer(printed):
    """Tick to tick in a picture of the page, times what the printer makes of it."""
    for axis, across in [(0, True), (1, False)]:
        x1, y1, x2, y2 = bar(printed.root, across)
        # A row (or column) that crosses the ends' tall ticks only: 3 mm off the bar.
        if across:
            line = printed.picture[int(printed.dot(y1 - 3.0, 1))]
            lo, hi = (int(printed.dot(v, 0)) for v in (x1 - 2, x2 + 0.6))
        else:
            line = printed.picture[:, int(printed.dot(x1 + 3.0, 0))]
            lo, hi = (int(printed.dot(v, 1)) for v in (y2 - 0.6, y1 + 2))
        ticks = lines_at(darkness(line[lo:hi]), printed.dpi)
        assert len(ticks) == 2, ticks
        assert abs((ticks[1] - ticks[0]) * printed.share[axis] - 100) <= 0.01


def test_the_lines_metal_side_is_the_drawn_edge(printed):
    """Outline and three openings: the printed line's metal side against the drawn edge of the SVG."""
    groups = {g.get("id"): g for g in printed.root.iter(SVG + "g")}
    dark = printed.picture < 128
    checked = 0
    openings = list(groups["openings"].iter(SVG + "path"))
    for path in openings[:: len(openings) // 2][:3]:
        x0, y0, x1, y1 = svgelements.Path(path.get("d")).bbox()
        a, b, c, d = (int(printed.dot(v + s, k)) for v, s, k in [(x0, -0.4, 0), (y0, -0.4, 1), (x1, 0.4, 0), (y1, 0.4, 1)])
        # Neighbours' corners reach into the box: look at what lies within 0.3 mm of this opening alone.
        near = shapely.Polygon(rings(path.get("d"))[0]).buffer(0.3)
        px, py = np.meshgrid(printed.mm(np.arange(a, c) + 0.5, 0), printed.mm(np.arange(b, d) + 0.5, 1))
        ys, xs = np.nonzero(dark[b:d, a:c] & shapely.contains_xy(near, px, py))
        seen = (a + xs.min(), b + ys.min(), a + xs.max() + 1, b + ys.max() + 1)
        for k, (got, want) in enumerate(zip(seen, (x0, y0, x1, y1))):
            assert abs(printed.mm(got, k % 2) - want) <= 0.05
        checked += 1
    assert checked == 3
    (outline,) = groups["outline"].iter(SVG + "path")
    x0, y0, x1, y1 = svgelements.Path(outline.get("d")).bbox()
    assert abs(x1 - x0 - 100) < 0.001
    # Along the middle row: from the inside of the line at the left to the inside at the right.
    row = dark[int(printed.dot((y0 + y1) / 2, 1))]
    lo, hi = (int(printed.dot(v, 0)) for v in (x0 - 0.5, x0 + 1))
    left = np.nonzero(row[lo:hi])[0].max() + 1 + lo
    lo, hi = (int(printed.dot(v, 0)) for v in (x1 - 1, x1 + 0.5))
    right = np.nonzero(row[lo:hi])[0].min() + lo
    assert abs(printed.mm(right, 0) - printed.mm(left, 0) - 100) <= 0.05


def words_of(root):
    return sorted(w for t in root.iter(SVG + "text") for w in "".join(t.itertext()).split())


@pytest.mark.parametrize("stem", ["disc", "rubbed"])
def test_words_copied_out_are_the_words_printed(files, stem):
    """Words rubbed down are written from right to left and are read all the same."""
    want = words_of(ET.parse(files / f"{stem}.svg").getroot())
    text = pypdfium2.PdfDocument(files / f"{stem}.pdf")[0].get_textpage().get_text_range()
    assert sorted(re.sub(r"\s", "", text)) == sorted("".join(want))
    by_mupdf = pymupdf.open(files / f"{stem}.pdf")[0].get_text().split()
    if stem == "disc":
        assert sorted(by_mupdf) == want
    else:
        assert sorted("".join(by_mupdf)) == sorted("".join(want))


def letters_of(page):
    """letter -> where each of them stands and ends on the page, mm"""
    letters = {}
    for block in page.get_text("rawdict")["blocks"]:
        for line in block.get("lines", []):
            for c in (c for span in line["spans"] for c in span["chars"]):
                x, y = (v * MM / 72 for v in c["origin"])
                letters.setdefault(c["c"], []).append((x, y, c["bbox"][2] * MM / 72))
    return letters


@pytest.mark.parametrize("stem", ["disc", "panel", "small", *EXAMPLES])
def test_words_stand_alike_in_svg_and_pdf(files, stem):
    """Every true-size page is the same in both: the same words, every run of them begins at the same place, and its last
    letter ends where the SVG says it does."""
    pages = {re.search(r"Sheet \d+ of \d+", p.get_text())[0]: p for p in pymupdf.open(files / f"{stem}.pdf")}
    looked_at = 0
    svgs = [p for p in files.glob(f"{stem}*.svg") if re.fullmatch(rf"{stem}(-\d+)?", p.stem)]
    for path in svgs:
        root = ET.parse(path).getroot()
        texts = [("".join(t.itertext()).strip(), t) for t in root.iter(SVG + "text")]
        page = pages[next(text for text, _ in texts if re.fullmatch(r"Sheet \d+ of \d+", text))]
        letters = letters_of(page)
        if stem != "panel":  # whose words are cut off at a page's window
            assert sorted(c for cs, at in letters.items() for c in cs * len(at) if not c.isspace()) == sorted(
                c for text, _ in texts for c in text if not c.isspace()
            )
        for text, t in texts:
            if t.get("transform") or not text:
                continue
            x, y, long = (float(t.get(k)) for k in ("x", "y", "textLength"))
            x -= {"middle": long / 2, "end": long}.get(t.get("text-anchor"), 0)
            assert any(abs(a - x) < 0.02 and abs(b - y) < 0.02 for a, b, _ in letters[text[0]]), text
            assert any(abs(end - x - long) < 0.05 and abs(b - y) < 0.02 for _, b, end in letters[text[-1]]), text
            looked_at += 1
    assert looked_at > 20 * len(svgs) > 0


def test_parts_that_can_be_switched_off_are_named_in_bench_words(files):
    with pikepdf.open(files / "disc.pdf") as document:
        names = [str(part.Name) for part in document.Root.OCProperties.OCGs]
        assert document.docinfo["/Title"] == "Test disc"
        fonts = {str(o.get("/BaseFont")) for o in document.objects if isinstance(o, pikepdf.Dictionary) and o.get("/Type") == "/Font"}
    assert {"Saw line", "Drill circles", "Words and numbers", "Shading", "Scale bars"} <= set(names)
    assert all(name.isascii() for name in names) and len(set(names)) == len(names)
    # Six capitals and a plus: a subset.
    assert fonts and all(re.match(r"^/[A-Z]{6}\+", f) for f in fonts)


def test_the_same_job_gives_the_same_bytes(files, sawpierce, tmp_path):
    sawpierce("draw", files / "disc.toml", "--out", tmp_path)
    for ending in ("pdf", "svg", "json"):
        assert (tmp_path / f"disc.{ending}").read_bytes() == (files / f"disc.{ending}").read_bytes()


def test_files_open_without_a_warning(files):
    for stem in ["disc", "corrected", "rubbed", "panel"]:
        path = files / f"{stem}.pdf"
        pymupdf.TOOLS.reset_mupdf_warnings()
        for page in pymupdf.open(path):
            page.get_pixmap(dpi=30)
        assert pymupdf.TOOLS.mupdf_warnings() == ""
        with pikepdf.open(path) as document:
            assert document.check_pdf_syntax() == [] if hasattr(document, "check_pdf_syntax") else not document.check()
            assert str(document.Root.Lang) == "en"
            assert str(document.Root.ViewerPreferences.PrintScaling) == "/None"
        if shutil.which("qpdf"):
            done = subprocess.run(["qpdf", "--check", path], capture_output=True, text=True)
            assert done.returncode == 0 and "WARNING" not in done.stdout + done.stderr
        if shutil.which("pdftoppm"):
            done = subprocess.run(["pdftoppm", "-r", "20", "-png", path, files / "thumb"], capture_output=True, text=True)
            assert done.returncode == 0 and done.stderr == ""
        if shutil.which("pdffonts"):
            rows = subprocess.run(["pdffonts", path], capture_output=True, text=True).stdout.splitlines()[2:]
            assert rows and all(re.search(r"yes +yes +yes", r) for r in rows)


@pytest.mark.parametrize("engine", ENGINES)
def test_pages_of_a_panel_join(files, engine):
    """Two pages laid over each other at their marks: the pictures round each mark agree to within a dot."""
    dpi = 600
    scale = dpi / MM
    seen = {}
    for number, path in enumerate(sorted(files.glob("panel*.svg"), key=lambda p: (len(p.name), p.name))):
        root = ET.parse(path).getroot()
        middle = [float(v) for v in next(e.get("data-middle") for e in root.iter() if e.get("data-middle")).split()]
        guides = next(g for g in root.iter(SVG + "g") if g.get("id") == "guides")
        for c in guides.iter(SVG + "circle"):
            if float(c.get("r")) == 1.3:
                at = float(c.get("cx")), float(c.get("cy"))
                key = round(at[0] - middle[0], 2), round(at[1] - middle[1], 2)
                seen.setdefault(key, []).append((number, at))
    assert len(seen) == 14
    pictures = {}
    for spots in seen.values():
        assert len(spots) >= 2
        patches = []
        for number, (x, y) in spots[:2]:
            # The key plan is the PDF's first page.
            if number not in pictures:
                pictures[number] = engine(files / "panel.pdf", number + 1, dpi)
            cx, cy, r = round(x * scale), round(y * scale), int(1.6 * scale)
            patches.append(darkness(pictures[number][cy - r : cy + r, cx - r : cx + r]))
        a, b = patches
        best = min(
            ((np.abs(a[3:-3, 3:-3] - np.roll(b, (dy, dx), (0, 1))[3:-3, 3:-3]).mean(), abs(dx) + abs(dy)) for dx in range(-3, 4) for dy in range(-3, 4))
        )
        assert best[1] <= 1, best  # one dot at 600 to the inch is 0.042 mm
