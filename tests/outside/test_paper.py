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
from conftest import rings

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
diameter = 46
border = 2.5
[pattern]
name = "hexagon"
pitch = 7
bridge = 1.4
"""
CORRECTED = DISC + "[paper]\ncorrection = { across = 97.8, up = 98.1 }\n"
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


@pytest.fixture(scope="module")
def files(sawpierce, tmp_path_factory):
    out = tmp_path_factory.mktemp("paper")
    for stem, text in [("disc", DISC), ("corrected", CORRECTED), ("panel", PANEL)]:
        (out / f"{stem}.toml").write_text(text)
        sawpierce("draw", out / f"{stem}.toml")
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


@pytest.mark.parametrize("engine", ENGINES)
@pytest.mark.parametrize("dpi", [600, 1200])
@pytest.mark.parametrize("stem,share", [("disc", (1, 1)), ("corrected", (0.978, 0.981))])
def test_bars_measure_100_after_the_printer(files, engine, dpi, stem, share):
    """Tick to tick in a picture of the page, times what the printer makes of it."""
    root = ET.parse(files / f"{stem}.svg").getroot()
    picture = engine(files / f"{stem}.pdf", 0, dpi)
    scale = dpi / MM
    half = 210 / 2, 297 / 2
    for axis, across in [(0, True), (1, False)]:
        x1, y1, x2, y2 = bar(root, across)
        # A row (or column) that crosses the ends' tall ticks only: 3 mm off the bar.
        if across:
            y = half[1] + (y1 - 3.0 - half[1]) / share[1]
            lo, hi = (half[0] + (v - half[0]) / share[0] for v in (x1 - 2, x2 + 0.6))
            profile = darkness(picture[int(y * scale)])[int(lo * scale) : int(hi * scale)]
        else:
            x = half[0] + (x1 + 3.0 - half[0]) / share[0]
            lo, hi = (half[1] + (v - half[1]) / share[1] for v in (y2 - 0.6, y1 + 2))
            profile = darkness(picture[:, int(x * scale)])[int(lo * scale) : int(hi * scale)]
        ticks = lines_at(profile, dpi)
        assert len(ticks) == 2, ticks
        assert abs((ticks[1] - ticks[0]) * share[axis] - 100) <= 0.05


@pytest.mark.parametrize("engine", ENGINES)
def test_the_lines_metal_side_is_the_drawn_edge(files, engine):
    """Outline and three openings: the printed line's metal side against the drawn edge of the SVG."""
    dpi = 1200
    root = ET.parse(files / "disc.svg").getroot()
    picture = engine(files / "disc.pdf", 0, dpi)
    scale = dpi / MM
    groups = {g.get("id"): g for g in root.iter(SVG + "g")}
    dark = picture < 128
    checked = 0
    for path in list(groups["openings"].iter(SVG + "path"))[3:30:9]:
        x0, y0, x1, y1 = svgelements.Path(path.get("d")).bbox()
        a, b, c, d = (int((v + s) * scale) for v, s in [(x0, -0.4), (y0, -0.4), (x1, 0.4), (y1, 0.4)])
        # Neighbours' corners reach into the box: look at what lies within 0.3 mm of this opening alone.
        near = shapely.Polygon(rings(path.get("d"))[0]).buffer(0.3)
        px, py = np.meshgrid((np.arange(a, c) + 0.5) / scale, (np.arange(b, d) + 0.5) / scale)
        ys, xs = np.nonzero(dark[b:d, a:c] & shapely.contains_xy(near, px, py))
        seen = (a + xs.min(), b + ys.min(), a + xs.max() + 1, b + ys.max() + 1)
        for got, want in zip(seen, (x0, y0, x1, y1)):
            assert abs(got / scale - want) <= 0.05
        checked += 1
    assert checked == 3
    (outline,) = groups["outline"].iter(SVG + "path")
    x0, y0, x1, y1 = svgelements.Path(outline.get("d")).bbox()
    assert abs(x1 - x0 - 46) < 0.001
    # Along the middle row: from the inside of the line at the left to the inside at the right.
    row = dark[int((y0 + y1) / 2 * scale)]
    left = np.nonzero(row[int((x0 - 0.5) * scale) : int((x0 + 1) * scale)])[0].max() + 1 + int((x0 - 0.5) * scale)
    right = np.nonzero(row[int((x1 - 1) * scale) : int((x1 + 0.5) * scale)])[0].min() + int((x1 - 1) * scale)
    assert abs((right - left) / scale - 46) <= 0.05


def words_of(root):
    return sorted(w for t in root.iter(SVG + "text") for w in "".join(t.itertext()).split())


def test_words_copied_out_are_the_words_printed(files):
    want = words_of(ET.parse(files / "disc.svg").getroot())
    by_mupdf = sorted(pymupdf.open(files / "disc.pdf")[0].get_text().split())
    assert by_mupdf == want
    text = pypdfium2.PdfDocument(files / "disc.pdf")[0].get_textpage().get_text_range()
    assert sorted(re.sub(r"\s", "", text)) == sorted("".join(want))


def test_files_open_without_a_warning(files):
    for stem in ["disc", "corrected", "panel"]:
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
            if float(c.get("r")) == 2.0:
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
