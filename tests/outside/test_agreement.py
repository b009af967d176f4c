"""Ten thousand random pieces (one in fifty on each change): every bridge, border, area, thinnest place and widest circle that
the engine tells, against GEOS and against `plane`, to a micrometre.

The engine's rings come from `measured.rs` with their true arcs and are cut into chords here. Bands and cones are closed by
copies moved over the seam. SAWPIERCE_AGREE=FIRST:COUNT takes a slice, and what disagrees is printed with its job.
"""
import json
import math
import os
import subprocess

import numpy as np
import plane
import pytest
import seeded
import shapely
from conftest import ROOT, WHOLE
from test_pieces import Names

PIECES, BLOCK = 10_000, 50
MICRON = 1e-3
# Chords stay this near to the arcs, mm: a distance between two rings errs by twice that.
CHORD = 2e-4


def chords(corners):
    """A ring of corners [x, y, bulge] as chords, to CHORD."""
    out = []
    for (x, y, bulge), (u, v, _) in zip(corners, corners[1:] + corners[:1]):
        out.append((x, y))
        if bulge:
            # The centre lies left of the chord's middle by (1 - bulge^2) / (4 bulge) chords.
            aside = (1 - bulge * bulge) / (4 * bulge)
            cx, cy = (x + u) / 2 - (v - y) * aside, (y + v) / 2 + (u - x) * aside
            radius, sweep, start = math.hypot(x - cx, y - cy), 4 * math.atan(bulge), math.atan2(y - cy, x - cx)
            n = math.ceil(abs(sweep) / (2 * math.acos(max(-1.0, 1 - CHORD / max(radius, CHORD)))))
            turns = [start + sweep * k / n for k in range(1, n)]
            out.extend((cx + radius * math.cos(t), cy + radius * math.sin(t)) for t in turns)
    ring = np.array(out)
    a, b = plane.ends(ring)
    return ring[np.hypot(*(b - a).T) > 1e-9]


def exact_area(corners):
    """Area within lines and true arcs: under the chords, and the arcs' segments."""
    c = np.array(corners, float)
    a, b, bulge = c[:, :2], np.roll(c, -1, 0)[:, :2], c[:, 2]
    under = plane.cross(a, b).sum() / 2
    bent = bulge != 0
    chord = np.hypot(*(b - a)[bent].T)
    sweep = 4 * np.arctan(bulge[bent])
    radius = chord / 2 / np.abs(np.sin(sweep / 2))
    return under + float((radius**2 * (sweep - np.sin(sweep)) / 2).sum())


class Closed:
    """What lies over the seam: the blank itself, and where it closes on itself its copies to both sides."""

    def __init__(self, told):
        self.seam = told["seam"]
        self.times = (0, 1, -1) if self.seam else (0,)
        edge = chords(told["edge"])
        if self.seam and "turn" in self.seam:
            self.centre, self.turn = np.array(self.seam["centre"]), math.radians(self.seam["turn"])
            far = np.hypot(*(edge - self.centre).T)
            self.rims = float(far.min()), float(far.max())
        self.edge = edge

    def moved(self, ring, times):
        if not times:
            return ring
        if "shift" in self.seam:
            return ring + [times * self.seam["shift"], 0]
        c, s = math.cos(times * self.turn), math.sin(times * self.turn)
        return (ring - self.centre) @ np.array([[c, s], [-s, c]]) + self.centre

    def way(self, ring):
        """The way round to a ring's middle from the blank's, which goes on past half a turn."""
        x, y = ring.mean(0) - self.centre
        turned = math.atan2(y, x) - math.radians(self.seam["middle"])
        return (turned + math.pi) % (2 * math.pi) - math.pi

    def reach(self, a, b, times):
        """Whether the flat tells the distance of a ring from another's copy: less than half a turn lies between."""
        if not self.seam or "shift" in self.seam:
            return True
        return abs(self.way(b) + times * self.turn - self.way(a)) < math.pi

    def to_rim(self, ring):
        """Distance to the outer edge, which on a band or cone is its two rims."""
        if not self.seam:
            return None
        if "shift" in self.seam:
            return max(0.0, float(min(self.edge[:, 1].max() - ring[:, 1].max(), ring[:, 1].min() - self.edge[:, 1].min())))
        far = np.hypot(*(ring - self.centre).T)
        # A chord of the ring may lie nearer to the apex than its ends.
        near = float(plane.distance(self.centre[None], ring)[0])
        return max(0.0, min(near - self.rims[0], self.rims[1] - float(far.max())))


def compare(told):
    """All that GEOS and `plane` say otherwise than the engine by more than a micrometre, in words."""
    wrong = []

    def near(what, said, found, within=MICRON):
        if not abs(said - found) <= within:
            wrong.append(f"{what}: told {said:.6f}, found {found:.6f}")

    closed = Closed(told)
    rings = {o["n"]: chords(o["ring"]) for o in told["openings"]}
    rings |= {f"W{i + 1}": chords(r) for i, r in enumerate(told["windows"])}
    rings |= {f"H{i + 1}": chords(r) for i, r in enumerate(told["holes"])}
    names = list(rings)
    place = {name: i for i, name in enumerate(names)}
    shapes = np.array([shapely.Polygon(rings[n]) for n in names])
    for n, shape in zip(names, shapes):
        if not shape.is_valid:
            wrong.append(f"{n} is not simple")
    bounds = closed.edge if not closed.seam else None
    edge = shapely.LinearRing(bounds) if bounds is not None else None

    # Gaps of all pairs that come near, by both.
    listed, least = {}, {}
    for b in told["bridges"]:
        one, two = b["between"]
        listed.setdefault(frozenset((one, two)), []).append(b["width"])
        for n in (one, two):
            least[n] = min(least.get(n, math.inf), b["width"])
    most = max([w for ws in listed.values() for w in ws], default=0.0) + 0.01
    fixed = max([v for n, v in least.items() if isinstance(n, int) and n], default=0.0) + 2 * MICRON
    gaps, own = {}, {}
    for times in closed.times if len(names) else ():
        copies = [closed.moved(rings[n], times) for n in names]
        there = shapes if not times else np.array([shapely.Polygon(r) for r in copies])
        tree = shapely.STRtree(there)
        i, j = tree.query(shapes, predicate="dwithin", distance=most)
        pairs = [(a, b) for a, b in zip(i.tolist(), j.tolist())
                 if (a < b if not times else True) and closed.reach(rings[names[a]], rings[names[b]], times)]
        if pairs:
            a, b = np.array(pairs).T
            for p, q, d in zip(a.tolist(), b.tolist(), shapely.distance(shapes[a], there[b]).tolist()):
                gaps.setdefault(frozenset((names[p], names[q])), []).append(d)
        ours = [rings[n] for n in names]
        for (p, q), d in plane.least_gaps(ours, None if not times else copies, fixed).items():
            if closed.reach(ours[p], ours[q], times):
                own.setdefault(frozenset((names[p], names[q])), []).append(d)
    to_edge, own_edge = {}, {}
    for n, shape in zip(names, shapes):
        rim = closed.to_rim(rings[n])
        to_edge[n] = shape.exterior.distance(edge) if rim is None else rim
    if edge is not None and names:
        found = plane.least_gaps([rings[n] for n in names], [closed.edge], fixed)
        own_edge = {names[p]: d for (p, _), d in found.items()}

    for pair, widths in listed.items():
        what = " to ".join(map(str, sorted(pair, key=str)))
        if 0 in pair:
            (n,) = pair - {0} or {0}
            if n in to_edge:
                near(f"GEOS: {what}", min(widths), to_edge[n])
                if min(widths) < fixed - MICRON and edge is not None:
                    near(f"plane: {what}", min(widths), own_edge.get(n, math.inf))
            continue
        if pair not in gaps:
            wrong.append(f"GEOS: {what}: told {min(widths):.6f}, nothing is so near")
            continue
        near(f"GEOS: {what}", min(widths), min(gaps[pair]))
        for w in widths:
            near(f"GEOS: {what}", w, min(gaps[pair], key=lambda g: abs(g - w)))
        if min(widths) < fixed - MICRON:
            near(f"plane: {what}", min(widths), min(own.get(pair, [math.inf])))
    nearest = {n: [math.inf, math.inf] for n in names}
    for which, found in ((0, gaps), (1, own)):
        for pair, ds in found.items():
            for n in pair:
                nearest[n][which] = min(nearest[n][which], *ds)
    for o in told["openings"]:
        n = o["n"]
        if n not in least:
            if len(names) > 1 and min(nearest[n][0], to_edge[n]) < most:
                wrong.append(f"no bridge of {n} is told")
            continue
        near(f"GEOS: nearest to {n}", least[n], min(nearest[n][0], to_edge[n]))
        near(f"plane: nearest to {n}", least[n], min(nearest[n][1], own_edge.get(n, to_edge[n])))

    # Areas, ways round, and the widest circle at the told place.
    seen = {}
    for o in told["openings"]:
        n, ring, shape = o["n"], rings[o["n"]], shapes[place[o["n"]]]
        near(f"GEOS: round {n}", o["round"], shape.length, MICRON + shape.length * 1e-4)
        near(f"GEOS: area of {n}", o["area"], shape.area, MICRON * shape.length)
        near(f"plane: area of {n}", o["area"], exact_area(o["ring"]), 1e-6)
        at = shapely.Point(o["at"])
        if not shape.contains(at):
            wrong.append(f"the drill of {n} stands outside it")
        near(f"GEOS: room at the drill of {n}", o["widest"] / 2, shape.exterior.distance(at))
        near(f"plane: room at the drill of {n}", o["widest"] / 2, float(plane.distance(np.array([o["at"]]), ring)[0]))
        # No wider circle is anywhere; openings that are copies of each other are asked once.
        like = round(o["area"], 6), round(o["round"], 6), round(o["widest"], 6)
        if like not in seen:
            ours = o["widest"] / 2
            seen[like] = (shapely.maximum_inscribed_circle(shape, tolerance=5e-4).length,
                          plane.widest_circle(ring, ours, 0.8 * MICRON))
        for who, widest in zip(("GEOS", "plane"), seen[like]):
            if o["widest"] / 2 < widest - MICRON:
                wrong.append(f"{who}: widest in {n}: told {o['widest'] / 2:.6f}, found {widest:.6f}")
    # Borders are kept.
    for n, d in to_edge.items():
        if isinstance(n, int) and d < told["border"] - MICRON:
            wrong.append(f"GEOS: {n} lies {d:.6f} from the edge, the border is {told['border']}")
    for pair, ds in gaps.items():
        walls = [told["window_borders"][int(n[1:]) - 1] for n in pair if isinstance(n, str) and n[0] == "W"]
        if any(isinstance(n, int) for n in pair) and walls and min(ds) < min(walls) - MICRON:
            wrong.append(f"GEOS: {set(pair)} are {min(ds):.6f} apart, the window's border is {walls}")
        if all(isinstance(n, int) for n in pair) and min(ds) < told["bridge"] - MICRON:
            wrong.append(f"GEOS: {set(pair)} are {min(ds):.6f} apart, the bridge is {told['bridge']}")
    return wrong


def example():
    """The built example: SAWPIERCE_MEASURED, or whichever build is newest."""
    built = [ROOT / f"target/{b}/examples/measured" for b in ("debug", "release")]
    built = [p for p in built if p.exists()]
    named = os.environ.get("SAWPIERCE_MEASURED")
    if not named and not built:
        pytest.fail("build it first: cargo build --example measured")
    return named or str(max(built, key=lambda p: p.stat().st_mtime))


def agree(numbers):
    """Pieces worked out and compared; how many of each kind were measured, their openings, and what disagrees."""
    names = Names()
    asked = subprocess.Popen([example()], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
    count, wrong = dict.fromkeys([*seeded.KINDS, "refused", "openings", "bridges", "bent"], 0), []
    for k in numbers:
        kind, text, files = seeded.piece(k, names.all, names.repeats)
        asked.stdin.write(json.dumps({"text": text, "files": files}) + "\n")
        asked.stdin.flush()
        told = json.loads(asked.stdout.readline() or '{"died": true}')
        if "died" in told:
            wrong.append((k, ["the engine ended"], text))
            break
        if "refused" in told:
            assert told["refused"].strip()
            # Rounds never go round a band or cone: of some fifty pieces every band is laid with one.
            count["refused"] += "does not go round" not in told["refused"]
            continue
        count[kind] += 1
        count["openings"] += len(told["openings"])
        count["bridges"] += len(told["bridges"])
        count["bent"] += told["fitted"]
        if found := compare(told):
            wrong.append((k, found, text))
    asked.stdin.close()
    asked.wait()
    return count, wrong


def blocks_asked():
    if slice_ := os.environ.get("SAWPIERCE_AGREE"):
        first, many = map(int, slice_.split(":"))
        return [range(k, min(k + BLOCK, first + many)) for k in range(first, first + many, BLOCK)]
    if WHOLE:
        return [range(k, k + BLOCK) for k in range(0, PIECES, BLOCK)]
    # A share that runs through all kinds and patterns.
    return [range(k, PIECES, 200) for k in (0, 101, 33, 167)]


@pytest.mark.parametrize("numbers", blocks_asked(), ids=str)
def test_agreement(numbers):
    count, wrong = agree(numbers)
    print(json.dumps(count))
    said = "\n".join(f"piece {k}:\n  " + "\n  ".join(found[:6]) + f"\n{text}" for k, found, text in wrong[:3])
    assert not wrong, f"{len(wrong)} of {len(numbers)} disagree\n{said}"
    assert count["refused"] <= len(numbers) // 5, count
