"""Gaps, widest circles, areas and connection of the metal against GEOS, read back from the SVG by another reader.

GEOS is known to err on dense arcs when it draws shapes in or cuts them, so only distances, areas and unions of plain
polygons are asked of it here.
"""
import json
import math
import random

import pytest
import shapely
from shapely.geometry import Point, Polygon

MICRON = 1e-3


def referee(d, every_circle=True):
    plan = d.plan
    mx, my = d.middle()
    openings = {n: Polygon(r) for n, r in d.openings().items()}
    outline = [Polygon(r) for r in d.outline()]
    edge, inner = outline[0], outline[1:]
    assert plan["openings"]["count"] == len(openings) == len(plan["openings"]["list"])
    numbers = sorted(openings)
    shapes = [openings[n] for n in numbers]
    lines = [s.exterior for s in shapes]
    for n, s in openings.items():
        assert s.is_valid, f"opening {n} is not simple"

    # Every bridge named: its width is the least distance between the two lines.
    def line_of(side):
        if side == 0:
            return edge.exterior
        if isinstance(side, int):
            return openings[side].exterior
        label, k = side[0], int(side[1:])
        wanted = plan_point(plan, side)
        return min(inner, key=lambda r: r.centroid.distance(wanted)).exterior if wanted else None

    listed = {}
    for b in plan["bridges"]["list"]:
        a, c = b["between"]
        width = b["width_mm"]
        for n in (a, c):
            if isinstance(n, int) and n > 0:
                listed[n] = min(width, listed.get(n, math.inf))
        if isinstance(a, int) and isinstance(c, int):
            true = line_of(a).distance(line_of(c))
            if "seam" not in b:
                assert abs(true - width) < MICRON, f"bridge {a}-{c}: {width} against {true}"

    # No opening is nearer to anything than its narrowest bridge says.
    tree = shapely.STRtree(lines)
    banded = plan.get("seam", False)
    for i, n in enumerate(numbers):
        near = [j for j in tree.query(lines[i].buffer(3 * plan["resolved"]["bridge_mm"] + 3)) if j != i]
        least = min([lines[i].distance(lines[j]) for j in near] + [lines[i].distance(edge.exterior)]
                    + [lines[i].distance(r.exterior) for r in inner])
        assert n in listed, f"opening {n} has no bridge"
        if not banded:
            assert abs(least - listed[n]) < MICRON, f"opening {n}: nearest {least}, named {listed[n]}"

    # The drill stands where the widest circle fits.
    for o in plan["openings"]["list"]:
        s = openings[o["n"]]
        assert abs(s.area - o["area_mm2"]) < 2e-3 * max(1, s.length), f"area of {o['n']}"
        at = Point(mx + o["x_mm"], my - o["y_mm"])
        clear = s.exterior.distance(at)
        assert s.contains(at)
        assert abs(2 * clear - o["widest_drill_mm"]) < 2 * MICRON, f"clearance of {o['n']}"
        if every_circle:
            found = shapely.maximum_inscribed_circle(s, tolerance=2e-4).length
            assert clear > found - MICRON, f"opening {o['n']}: {clear} but {found} fits"

    # One piece of metal, or the verdict says so.
    metal = shapely.make_valid(edge).difference(shapely.union_all(shapes + inner))
    pieces = len([g for g in shapely.get_parts(metal) if g.area > 1e-4])
    loose = [v for v in plan["verdicts"] if v["check"] == "loose-metal"]
    stopped = any(v["level"] == "stop" for v in loose)
    assert (pieces > 1) == stopped, f"{pieces} pieces of metal, loose-metal says {loose}"

    # Trimmed openings keep the border.
    border = plan["resolved"].get("border_mm")
    if border is not None and not plan["resolved"].get("lugs"):
        for n, line in zip(numbers, lines):
            assert line.distance(edge.exterior) > border - MICRON, f"opening {n} in the border"
    return edge, openings


def plan_point(plan, side):
    for key in ("windows", "holes"):
        for w in plan.get(key, []):
            if w["label"] == side:
                return None
    return None


def test_examples(drawn, examples):
    for job in examples:
        referee(drawn(job))


def random_job(rng):
    """A plain job over outlines and patterns, seeded."""
    bridge = round(rng.uniform(0.5, 1.8), 3)
    pitch = round(bridge + rng.uniform(2.2, 6.0), 3)
    size = rng.uniform(14, 46)
    shape = rng.choice(["circle", "ellipse", "rectangle", "polygon"])
    outline = {
        "circle": f'shape = "circle"\ndiameter = {size:.3f}',
        "ellipse": f'shape = "ellipse"\nwidth = {size:.3f}\nheight = {size * rng.uniform(0.6, 1.4):.3f}',
        "rectangle": f'shape = "rectangle"\nwidth = {size:.3f}\nheight = {size * rng.uniform(0.5, 1.5):.3f}\n'
                     f"corner_radius = {rng.choice([0, 1.5, 4])}",
        "polygon": f'shape = "polygon"\nsides = {rng.randint(3, 9)}\nacross = {size * 1.2:.3f}\n'
                   f"corner_radius = {rng.choice([0, 2])}",
    }[shape]
    extra = ""
    if rng.random() < 0.4:
        extra += (f'[[keep_solid]]\nname = "tab"\nshape = "circle"\ndiameter = {rng.uniform(3, 7):.3f}\n'
                  f"at = [{rng.uniform(-5, 5):.3f}, {rng.uniform(-5, 5):.3f}]\n")
    if rng.random() < 0.3:
        extra += (f'[[window]]\nname = "light"\nshape = "circle"\ndiameter = {rng.uniform(2.5, 5):.3f}\n'
                  f"at = [{rng.uniform(-3, 3):.3f}, {rng.uniform(-3, 3):.3f}]\nborder = {rng.uniform(0.8, 2):.3f}\n")
    return (f'[sheet]\nmetal = "{rng.choice(["copper", "brass", "sterling-silver"])}"\nthickness = 0.8\n'
            f"[outline]\n{outline}\nborder = {rng.uniform(1.2, 3):.3f}\n"
            f'[pattern]\nname = "{rng.choice(["hexagon", "triangle", "square"])}"\npitch = {pitch}\nbridge = {bridge}\n'
            f"turn = {rng.choice([0, 0, 30, 45, rng.uniform(0, 360)]):.3f}\n"
            f'centre = "{rng.choice(["opening", "joint", "bridge"])}"\n'
            f'at_border = "{rng.choice(["trim", "trim", "whole", "join"])}"\n'
            f"corner_radius = {rng.choice([0, 0, 0.3])}\n{extra}"
            f"[saw]\ndrill = 0.8\nblade = \"2/0\"\n")


@pytest.mark.parametrize("seed", range(200))
def test_random_jobs(seed, drawn, tmp_path):
    job = tmp_path / f"random-{seed}.toml"
    job.write_text(random_job(random.Random(seed)))
    d = drawn(job)
    _, openings = referee(d, every_circle=seed % 4 == 0)
    # Wherever two whole cells share an edge the bridge is what was asked for.
    if d.plan["openings"]["count"] > 1:
        named = [b["width_mm"] for b in d.plan["bridges"]["list"] if 0 not in b["between"]
                 and all(isinstance(s, int) for s in b["between"])]
        if named and "change" not in d.plan:
            assert min(named) > d.plan["resolved"]["bridge_mm"] - MICRON
