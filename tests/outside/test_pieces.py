"""Two thousand random pieces (a tenth of them on each change) over all patterns and outlines, each measured twice.

SAWPIERCE_PIECES=10000 with SAWPIERCE_REFEREES=whole takes so many; those after the first two thousand are fitted too, and
have windows within kept places.

First by GEOS: openings valid, within the edge, apart from each other, and the metal's pieces counted by its booleans.
Then by `plane`, which shares neither code nor method with GEOS or with the program: chords compared one by one. Last the
cells are counted again from the pattern files by `repeats`: each that reaches into the field must be opened or listed
with a reason. Patterns that are grown, stars drawn on a repeat, and blanks of cones have no file to count from;
`tests/suite/counts.rs` counts those from the cells themselves. SVG is read by `plane`; `test_referee.py` reads it by another.
"""
import json
import math
import os
import random
import re
import subprocess
import xml.etree.ElementTree as ET

import numpy as np
import plane
import pytest
import repeats
import shapely
from conftest import ROOT, SVG, blocks, program

USUAL, BLOCK = 2000, 25
PIECES = int(os.environ.get("SAWPIERCE_PIECES", USUAL))
FIRST = int(os.environ.get("SAWPIERCE_FIRST_PIECE", 0))
MICRON = 1e-3
SHAPES = ["circle", "ellipse", "rectangle", "polygon", "teardrop", "heart", "marquise", "cushion", "crescent", "drawn",
          "file", "band", "cone"]
# A cell reaches into the field when some point of its opening lies this far inside the border, mm. Less would ask for
# slivers that the coarse edge used for counting cannot tell.
MARGIN = 0.02
BORDERS = ["trim", "whole", "join", "ease"]
# Lines of our own: a leaf with a bite, a bell, a shield with two lights in it.
DRAWN = ["M 0 0 C {14} {-6} {30} {-4} {36} {10} C {40} {20} {30} {34} {18} {34} C {4} {34} {-8} {26} {-6} {12} Z",
         "M {4} {30} Q {6} {6} {20} {2} Q {34} {6} {36} {30} L {30} {34} A {40} {40} 0 0 1 {10} {34} Z"]
FILES = {
    "shield": '<svg xmlns="http://www.w3.org/2000/svg" width="{40}mm" height="{44}mm" viewBox="0 0 40 44">'
              '<path d="M2 4H38V22C38 34 30 40 20 43C10 40 2 34 2 22Z M16 14h8v6h-8z M17 28a3 3 0 1 0 6 0a3 3 0 1 0-6 0z"/></svg>',
    "leaf": '<svg xmlns="http://www.w3.org/2000/svg" width="{30}mm" height="{46}mm" viewBox="0 0 60 92">'
            '<g transform="translate(30 46) scale(1 1)"><path d="M0 -44C40 -20 30 30 0 44C-30 30 -40 -20 0 -44Z"/></g></svg>',
}


def scaled(text, by):
    """A drawing with the numbers in braces made larger."""
    return re.sub(r"\{(-?\d+)\}", lambda m: f"{float(m[1]) * by:.4f}", text)


class Names:
    def __init__(self):
        told = subprocess.run([program(), "list", "patterns", "--json"], capture_output=True, text=True, check=True)
        self.all = [p["name"] for p in json.loads(told.stdout)]
        self.repeats = [n for n in self.all if (ROOT / f"patterns/{n}.toml").exists()]


def flat_sizes(rng, size, w, h):
    """The sizes of each flat outline about `size` mm across; all others are `w` wide and `h` high."""
    return {
        "circle": f"diameter = {size:.3f}",
        "rectangle": f"width = {w:.3f}\nheight = {h * 0.8:.3f}\ncorner_radius = {rng.choice([0, 1.5, 4])}",
        "polygon": f"sides = {rng.randint(3, 9)}\nacross = {size * 1.25:.3f}\ncorner_radius = {rng.choice([0, 1])}",
        "teardrop": f"width = {w:.3f}\nheight = {w * rng.uniform(1.2, 1.6):.3f}\ntip_radius = {rng.choice([0, 1])}",
        "heart": f"width = {w * 1.2:.3f}\nheight = {w * rng.uniform(1.0, 1.25):.3f}\ntip_radius = {rng.choice([0, 0.8])}",
        "crescent": f"width = {size * 1.3:.3f}\nheight = {size * 1.4:.3f}\nthick = {size * 0.6:.3f}",
        "drawn": f'd = "{scaled(rng.choice(DRAWN), size / 36)}"',
    }


def job_of(k, names):
    """Job `k`: every pattern comes by in turn, on every outline in turn."""
    rng = random.Random(10_000 + k)
    name = names.all[k % len(names.all)]
    shape = SHAPES[(k % len(names.all) + k // len(names.all)) % len(SHAPES)]
    bridge = round(rng.uniform(0.5, 1.1), 3)
    border = round(rng.uniform(0.8, 2.0), 3)
    lines, side = [], rng.uniform(11, 16)
    if name in names.repeats:
        rep = repeats.repeat(name)
        need = rng.choice([0.6, 0.95, 0.95, 1.2, 1.2, 1.6])
        pitch = min((bridge + need) / (2 * min(rep.widest)), 14)
        if rng.random() < 0.7:
            lines.append(f"pitch = {pitch:.3f}")
        side = math.sqrt(rng.uniform(9, 28) * rep.area / len(rep.shapes)) * pitch
    elif rng.random() < 0.3 and name not in ("shrinking-edge", "pentagon-round", "petal-ring", "circle-rosette", "diamond-rosette"):
        lines.append(f"pitch = {rng.uniform(2.4, 4.0):.3f}")
    size = min(max(1.15 * side + 2 * border, 12), 40)
    w, h = size * rng.uniform(0.9, 1.1), size * rng.uniform(0.9, 1.3)
    outline = {
        **flat_sizes(rng, size, w, h),
        "file": f'file = "{rng.choice(sorted(FILES))}-{size:.1f}.svg"',
        "band": f"inside = {max(size / 2.2, 13):.3f}\nwidth = {max(size / 2.4, 7):.3f}" + rng.choice(["", "", "\nplain = 9"]),
        "cone": f"top = {size * 0.45:.3f}\nbottom = {size * 0.9:.3f}\nheight = {size * 0.6:.3f}",
    }.get(shape, f"width = {w:.3f}\nheight = {h:.3f}")
    extra = ""
    near = lambda part: f"[{rng.uniform(-part, part) * size:.3f}, {rng.uniform(-part, part) * size:.3f}]"  # noqa: E731
    roll = rng.random()
    if roll < 0.2:
        extra += f'[[keep_solid]]\nname = "tab"\nshape = "circle"\ndiameter = {rng.uniform(2, 5):.3f}\nat = {near(0.2)}\n'
    elif roll < 0.3:
        extra += (f'[[keep_solid]]\nname = "bar"\nshape = "rectangle"\nwidth = {size * 0.5:.3f}\nheight = 2.2\n'
                  f"turn = {rng.uniform(0, 90):.2f}\nat = {near(0.1)}\n")
    if 0.15 < roll < 0.35:
        extra += (f'[[window]]\nname = "light"\nshape = "{rng.choice(["circle", "heart"])}"\nborder = {rng.uniform(0.8, 1.6):.3f}\n'
                  f"at = {near(0.15)}\n")
        extra += "diameter = 3.2\n" if '"circle"\nborder' in extra else "width = 4.2\nheight = 4.4\n"
    if 0.3 < roll < 0.45:
        extra += f'[[hole]]\nname = "rivet"\ndiameter = {rng.uniform(1, 2):.3f}\nat = {near(0.25)}\n'
    if 0.4 < roll < 0.55 and shape not in ("band", "cone", "crescent"):
        extra += f"[[lug]]\nat_angle = {rng.choice([90, 90, 270, 37])}\nwidth = 5\nheight = 3.5\nhole = 1.6\n"
    at_border = BORDERS[(k // 3) % 4]
    if k >= USUAL:
        at_border = (BORDERS + ["fit", "fit"])[(k // 3) % 6]
        if "[[window]]" not in extra and rng.random() < 0.25:
            place = near(0.15)
            extra += (f'[[keep_solid]]\nname = "seat"\nshape = "circle"\ndiameter = 7\nat = {place}\n'
                      f'[[window]]\nname = "light"\nshape = "circle"\ndiameter = 3\nborder = 0.9\nat = {place}\n')
    if name in repeats_with_stars() and rng.random() < 0.15:
        lines.append(f"ray_angle = {rng.choice([45, 55, 60])}")
    return (f'{"pair = true" if rng.random() < 0.06 and shape not in ("band", "cone") else ""}\nskill = "fine-work"\n'
            f'[sheet]\nmetal = "{rng.choice(["copper", "brass", "sterling-silver"])}"\nthickness = 0.8\n'
            f'[outline]\nshape = "{shape}"\n{outline}\nborder = {border}\n'
            f'[pattern]\nname = "{name}"\nbridge = {bridge}\n' + "\n".join(lines) +
            f"\nturn = {rng.choice([0, 0, 30, 45, rng.uniform(0, 360)]):.3f}\n"
            f'centre = "{rng.choice(["opening", "crossing", "bridge", "best"])}"\n'
            f'at_border = "{at_border}"\ncorner_radius = {rng.choice([0, 0, 0.2])}\nvariation = {k % 7 + 1}\n{extra}'
            '[limits]\nbridge = 0.1\nborder = 0.1\nopening = 0.3\n[saw]\ndrill = 0.5\nblade = "8/0"\n')


def repeats_with_stars():
    return ("hexagon", "square", "octagon-and-dot")


class Piece:
    """A drawn piece, read back: rings in mm, y up, the outline's middle the origin."""

    def __init__(self, folder, stem, job):
        self.plan = json.loads((folder / f"{stem}.json").read_text())
        self.job = job
        root = ET.parse(folder / f"{stem}.svg").getroot()
        holders = [el for el in root.iter() if el.get("data-middle")]
        self.copies = [self.read(h) for h in holders]
        self.edge, self.inner, self.openings, self.numbers = self.copies[0]

    @staticmethod
    def read(holder):
        middle = np.array([float(v) for v in holder.get("data-middle").split()])
        turn, mirrored = math.radians(float(holder.get("data-turn"))), holder.get("data-mirrored") == "true"
        back = np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]])

        def home(ring):
            ring = (ring - middle) * [1, -1] @ back.T
            ring = ring * [-1, 1] if mirrored else ring
            return ring if plane.area(ring) > 0 else ring[::-1]

        edge, openings, numbers = None, [], []
        for group in holder.iter(SVG + "g"):
            name = (group.get("id") or "").split("-")[0]
            if name == "outline":
                (path,) = group.iter(SVG + "path")
                rings = sorted(map(home, plane.rings_of(path.get("d"))), key=lambda r: -plane.area(r))
                edge, inner = rings[0], rings[1:]
            elif name == "openings":
                for path in group.iter(SVG + "path"):
                    (ring,) = plane.rings_of(path.get("d"))
                    openings.append(home(ring))
                    numbers.append(int(path.get("data-opening")))
        order = np.argsort(numbers)
        return edge, inner, [openings[i] for i in order], sorted(numbers)

    def get(self, key, last=False):
        """What the job says of this key, in the first or last line that begins with it."""
        said = [line.split(" = ", 1)[1].strip('"') for line in self.job.splitlines() if line.startswith(f"{key} = ")]
        return (said[-1] if last else said[0]) if said else None


def draw(folder, jobs):
    """Draws jobs {stem: text} in one call; those that cannot be used are left out with what was said."""
    (folder / "out").mkdir(exist_ok=True)
    for stem, text in jobs.items():
        (folder / f"{stem}.toml").write_text(text)
        if named := re.search(r'^file = "(\w+)-([\d.]+)\.svg"', text, re.M):
            drawing = scaled(FILES[named[1]], float(named[2]) / 36)
            (folder / f"{named[1]}-{named[2]}.svg").write_text(drawing)
    # The time is there for a program that hangs: on a busy machine twenty-five pieces have taken more than ten minutes.
    done = subprocess.run([program(), "draw", *(f"{s}.toml" for s in jobs), "--out", "out"],
                          capture_output=True, text=True, timeout=3600, cwd=folder)
    assert done.returncode in (0, 1, 2) and "panicked" not in done.stderr, f"exit {done.returncode}: {done.stderr}"
    # A job that cannot be used is told of, and the others are drawn all the same.
    told = {s: [line for line in done.stderr.splitlines() if line.startswith(f"{s}.toml")] for s in jobs}
    refused = {s: lines for s, lines in told.items() if lines}
    assert bool(refused) == (done.returncode == 2), done.stderr
    return {s: Piece(folder / "out", s, jobs[s]) for s in jobs if s not in refused}, refused


def by_geos(p, bridge):
    """GEOS's word: distances, areas, unions of plain polygons, validity."""
    edge, inner = shapely.Polygon(p.edge), [shapely.Polygon(r) for r in p.inner]
    shapes = [shapely.Polygon(r) for r in p.openings]
    assert edge.is_valid and all(r.is_valid for r in inner), "an edge is not simple"
    for n, s in zip(p.numbers, shapes):
        assert s.is_valid, f"GEOS: opening {n} is not simple"
        assert edge.contains(s), f"GEOS: opening {n} leaves the edge"
    least = math.inf
    if shapes:
        tree = shapely.STRtree(shapes)
        one, two = tree.query(shapes, predicate="dwithin", distance=bridge + 0.5)
        pairs = one < two
        if pairs.any():
            gaps = shapely.distance(np.array(shapes)[one[pairs]], np.array(shapes)[two[pairs]])
            least = float(gaps.min())
    metal = shapely.difference(edge, shapely.union_all(shapes + inner), grid_size=1e-7)
    return least, sum(g.area > 1e-4 for g in shapely.get_parts(metal))


def by_plane(p, bridge, border):
    """The same by comparing chords."""
    for n, ring in zip(p.numbers, p.openings):
        assert plane.is_simple(ring), f"opening {n} is not simple"
    assert plane.is_simple(p.edge) and all(plane.is_simple(r) for r in p.inner)
    least = min(plane.least_gaps(p.openings, None, bridge + 0.2).values(), default=math.inf)
    firsts = np.array([r[0] for r in p.openings] or np.zeros((0, 2)))
    assert plane.contains(p.edge, firsts).all(), "an opening lies outside the edge"
    for ring in p.openings + p.inner:
        b = plane.box(ring)
        near = (firsts >= b[:2]).all(1) & (firsts <= b[2:]).all(1) & (np.abs(firsts - ring[0]).sum(1) > 0)
        assert not plane.contains(ring, firsts[near]).any(), "an opening lies in another"
    to_edge = min(plane.least_gaps(p.openings, [p.edge], border + 0.1).values(), default=math.inf)
    to_inner = min(plane.least_gaps(p.openings, p.inner, 1.7).values(), default=math.inf)
    # Cut-outs that lie apart inside the edge leave one piece; else it is painted.
    apart = (not plane.least_gaps(p.inner, None, 0.0) and not plane.least_gaps(p.inner, [p.edge], 0.0)
             and min(least, to_edge, to_inner) > 0)
    inside = all(plane.contains(p.edge, r[0])[0] for r in p.inner)
    pieces = 1 if apart and inside else plane.pieces_of_metal(p.edge, p.openings + p.inner)
    return least, to_edge, to_inner, pieces


def over_the_seam(p, shape, bridge):
    """Openings at one end of a blank against those at the other, as they come to lie when it is closed."""
    if shape == "band":
        run = np.ptp(p.edge[:, 0])
        moved = [r + [run, 0] for r in p.openings]
    else:
        top, bottom, height = (float(p.get(k)) for k in ("top", "bottom", "height"))
        slant = math.hypot(height, (bottom - top) / 2)
        outer, theta = slant * bottom / (bottom - top), math.pi * (bottom - top) / slant
        # The blank's arcs are struck from a point on its axis, above or below.
        apexes = [np.array([0, s]) for s in (p.edge[:, 1].max() - outer, p.edge[:, 1].min() + outer)]
        apex = max(apexes, key=lambda a: (abs(np.hypot(*(p.edge - a).T) - outer) < MICRON).sum())
        c, s = math.cos(theta), math.sin(theta)
        moved = [(r - apex) @ np.array([[c, s], [-s, c]]) + apex for r in p.openings]
    return min(plane.least_gaps(p.openings, moved, bridge + 0.2).values(), default=math.inf)


def every_cell_told(p, name, shape, bridge, border):
    """Counts the repeat's cells again. Gives how many reach into the field and how many of them are opened."""
    rep = repeats.repeat(name)
    listed = p.plan["openings"]["list"]
    drills = np.array([[o["x_mm"], o["y_mm"]] for o in listed] or np.zeros((0, 2)))
    room = np.array([o["widest_drill_mm"] for o in listed]) / 2 + bridge / 2
    joins = p.get("at_border") == "join"
    if not len(drills):
        return 0, 0
    run = None
    if shape == "band":
        plain = float(p.get("plain") or 0)
        run = np.ptp(p.edge[:, 0]) - max(plain, bridge) + bridge
    solid = np.array([s["at_mm"] for s in p.plan["openings"]["left_solid"]] or np.zeros((0, 2)))
    for s in p.plan["openings"]["left_solid"]:
        assert s["reason"].strip(), s
    for ring in p.openings:
        assert not len(solid) or not plane.contains(ring, solid).any(), "left solid, but open"
    # Openings may lie on the repeat in several ways: one of them must account for every cell.
    fault = "the openings do not lie in the cells"
    for laid in repeats.laid_as(rep, p.plan["resolved"]):
        at, depth = laid.cell_at(drills)
        # An opening of several cells joined lies on a line between two.
        if (depth < room - 3e-3).any() and not joins:
            continue
        try:
            return cells_of(p, rep, laid, {tuple(c) for c in at}, solid, shape, border, bridge, run)
        except AssertionError as found:
            fault = str(found)
    raise AssertionError(fault)


def cells_of(p, rep, laid, opened, solid, shape, border, bridge, run):
    low, high = p.edge.min(0), p.edge.max(0)
    due = told = 0
    edge = p.edge[:: max(1, len(p.edge) // 400)]
    # Where corners are rounded, a point this deep is left whatever the corner.
    rounded = float(p.get("corner_radius", last=True))
    for m, n, by in laid.cells_over(low, high):
        for k, (points, deep) in enumerate(rep.samples):
            if (k, m, n) in opened:
                due, told = due + 1, told + 1
                continue
            points = laid.mm((points + by)[deep * laid.pitch > bridge / 2 + rounded + 0.01])
            if not len(points) or (points.max(0) < low).any() or (points.min(0) > high).any():
                continue
            points = inside_border(p, edge, points, shape, border, bridge, run)
            if not len(points):
                continue
            due += 1
            b = plane.box(laid.mm(rep.shapes[k] + by))
            if len(solid) and ((solid >= b[:2] - 1e-6) & (solid <= b[2:] + 1e-6)).all(1).any():
                continue
            # Joined to a neighbour: that one's opening reaches into it. Else it went with a window or hole.
            cell = laid.mm(rep.shapes[k] + by)
            over = [r for r in p.openings if (r.min(0) <= b[2:]).all() and (r.max(0) >= b[:2]).all()]
            if any(plane.contains(r, points).any() or plane.contains(cell, r).any() for r in over):
                told += 1
                continue
            gone = np.zeros(len(points), bool)
            for r in p.inner:
                gone |= plane.contains(r, points) | (plane.distance(points, r) < p.walls[1] + MARGIN)
            assert gone.all(), f"cell {k, m, n} about {b} is neither opened nor listed"
    return due, told


def inside_border(p, edge, points, shape, border, bridge, run):
    """Those of some points that lie inside the border by more than MARGIN."""
    if shape == "band":
        half = np.array([(run - bridge) / 2, np.ptp(p.edge[:, 1]) / 2 - border]) - MARGIN
        return points[(np.abs(points) < half).all(1)]
    points = points[plane.contains(edge, points)]
    points = points[plane.distance(points, edge) > border + MARGIN]
    if "[[lug]]" in p.job:
        # A lug adds metal, not field: what lies about its foot is left out.
        ear = max((r.mean(0) for r in p.inner), key=lambda c: np.hypot(*c))
        points = points[np.hypot(*(points - ear).T) > 6 + border]
    return points


def judge(p, names):
    name, shape = p.get("name"), p.get("shape")
    bridge, border = float(p.get("bridge")), float(p.get("border"))
    assert p.plan["openings"]["count"] == len(p.openings) == len(p.plan["openings"]["list"])
    assert p.numbers == list(range(1, len(p.openings) + 1))
    g_least, g_pieces = by_geos(p, bridge)
    least, to_edge, to_inner, pieces = by_plane(p, bridge, border)
    if min(least, g_least) < bridge + 0.2:
        assert abs(least - g_least) < 2e-6, f"nearest openings: {least} by chords, {g_least} by GEOS"
    # The chords lie at most CHORD from the curve at each side.
    slack = MICRON - 2 * plane.CHORD
    assert least > bridge - slack, f"two openings are {least} apart, the bridge is {bridge}"
    if shape == "band":
        ups = np.concatenate(p.openings)[:, 1] if p.openings else np.zeros(1)
        assert np.abs(ups).max() < np.ptp(p.edge[:, 1]) / 2 - border + slack, "in a band's border"
    elif shape != "cone":
        assert to_edge > border - slack, f"an opening is {to_edge} from the edge, the border is {border}"
    assert to_inner > p.walls[0] - slack, f"an opening is {to_inner} from a window or hole"
    if shape in ("band", "cone") and p.openings:
        seam = over_the_seam(p, shape, bridge)
        assert seam > bridge - slack, f"over the seam two openings are {seam} apart, the bridge is {bridge}"
    stopped = any(v["check"] == "loose-metal" and v["level"] == "stop" for v in p.plan["verdicts"])
    if pieces != g_pieces:
        # A neck of metal narrower than a spot of the paint: looked at through a stronger lens.
        step = max(0.002, float(np.ptp(p.edge, axis=0).max()) / 8000)
        pieces = plane.pieces_of_metal(p.edge, p.openings + p.inner, step, speck=int(1e-3 / step**2))
    assert pieces == g_pieces, f"{pieces} pieces of metal painted, {g_pieces} by GEOS"
    assert (pieces > 1) == stopped, f"{pieces} pieces of metal, loose-metal stops: {stopped}"
    if len(p.copies) > 1:
        # The other of a pair, turned back over, is the same piece.
        edge, _, openings, _ = p.copies[1]
        assert len(openings) == len(p.openings)
        ours = sorted((round(float(v), 2) for r in p.openings for v in [plane.area(r)]))
        theirs = sorted((round(float(v), 2) for r in openings for v in [plane.area(r)]))
        assert np.allclose(ours, theirs, atol=0.011) and np.abs(plane.box(edge) - plane.box(p.edge)).max() < 2e-4
    if name in names.repeats and shape != "cone" and "ray_angle" not in p.job and p.get("at_border") != "fit":
        return every_cell_told(p, name, shape, bridge, border)
    return 0, 0


def walls_of(p, text):
    """The least and the most metal that is kept round a window or hole of this job."""
    walls = [float(line.split("= ")[1]) for part in text.split("[[window]]")[1:] for line in part.splitlines()
             if line.startswith("border = ")][:1]
    if "[[hole]]" in text or "[[lug]]" in text:
        walls.append(float(p.get("bridge")))
    if p.get("shape") == "file":
        walls.append(float(p.get("border")))
    return (min(walls), max(walls)) if walls else (0.0, 0.0)


@pytest.fixture(scope="module")
def names():
    return Names()


@pytest.mark.parametrize("block", [b for b in blocks(PIECES // BLOCK, 0.1) if b * BLOCK >= FIRST])
def test_pieces(block, tmp_path, names):
    jobs = {f"piece-{k}": job_of(k, names) for k in range(block * BLOCK, (block + 1) * BLOCK)}
    pieces, refused = draw(tmp_path, jobs)
    assert len(refused) <= 3, refused
    due = told = openings = 0
    for stem, p in pieces.items():
        try:
            p.walls = walls_of(p, jobs[stem])
            d, t = judge(p, names)
        except AssertionError as fault:
            raise AssertionError(f"{stem}: {fault}\n{jobs[stem]}") from fault
        due, told, openings = due + d, told + t, openings + len(p.openings)
    assert openings > 10 * BLOCK and told > 0.4 * due, (openings, told, due)


def test_every_pattern_and_outline_comes_often(names):
    count = {}
    for k in range(USUAL):
        text = job_of(k, names)
        for key in ("name", "shape", "at_border"):
            word = next(line for line in text.splitlines() if line.startswith(f"{key} = "))
            count[word] = count.get(word, 0) + 1
    assert len(count) == len(names.all) + len(SHAPES) + len(BORDERS)
    assert all(n >= 20 for n in count.values()), count
