"""Rows of openings read back from SVG and JSON and measured by GEOS: gaps between them and to the edge, the field beside them,
and their steps along the offset curve, which GEOS draws for itself."""
import random

import pytest
import shapely
from conftest import blocks
from shapely.geometry import Point, Polygon

ROWS, BLOCK = 200, 20
MICRON = 1e-3

OUTLINES = {
    "circle": 'shape = "circle"\ndiameter = 44',
    "ellipse": 'shape = "ellipse"\nwidth = 56\nheight = 40',
    "cushion": 'shape = "cushion"\nwidth = 46\nheight = 40',
    "rectangle": 'shape = "rectangle"\nwidth = 60\nheight = 44',
    "hexagon": 'shape = "polygon"\nsides = 6\nacross = 54',
    "heart": 'shape = "heart"\nwidth = 56\nheight = 52',
    "drop": 'shape = "teardrop"\nwidth = 44\nheight = 60',
}


def job(seed):
    dice = random.Random(seed)
    outline = dice.choice(sorted(OUTLINES))
    shape = dice.choice(["round", "drop", "brick", "petal", "lozenge"])
    across = round(dice.uniform(1.8, 3.2), 2)
    wide = round(across * dice.uniform(0.6, 0.95), 2)
    inset = round(dice.uniform(1.6, 2.6), 2)
    apart = round(dice.uniform(1.2, 2.0), 2)
    bridge = round(dice.uniform(1.0, 1.4), 2)
    text = (
        f'[sheet]\nmetal = "copper"\nthickness = 0.8\n[outline]\n{OUTLINES[outline]}\nborder = 1.5\n'
        f'[pattern]\nname = "hexagon"\npitch = 4.6\nbridge = {bridge}\n'
        f'[[row]]\nshape = "{shape}"\nsize = [{wide}, {across}]\ninset = {inset}\napart = {apart}\n[saw]\ndrill = 0.8\nblade = "4/0"\n'
    )
    return text, dict(outline=outline, shape=shape, wide=wide, across=across, inset=inset, apart=apart, bridge=bridge)


def flat(piece):
    """The edge and the openings as polygons, mm, y up, the outline's middle at the origin."""
    x0, y0 = piece.middle()
    # The last digits of a sum would make folds of a line that ends where it began.
    polygon = lambda ring: Polygon([(round(x - x0, 9), round(y0 - y, 9)) for x, y in ring])
    return polygon(piece.outline()[0]), [polygon(r) for _, r in sorted(piece.openings().items())]


@pytest.mark.parametrize("block", blocks(ROWS // BLOCK, 0.2))
def test_rows(block, drawn, tmp_path):
    even = 0
    for k in range(BLOCK):
        text, want = job(9000 + block * BLOCK + k)
        path = tmp_path / f"row-{block}-{k}.toml"
        path.write_text(text)
        piece = drawn(path)
        edge, openings = flat(piece)
        (row,) = piece.plan["resolved"]["rows"]
        where = f"{path.name}: {want}"
        stations = [Point(x, y) for x, y in row["stations_mm"]]
        assert row["count"] <= len(stations) and len(stations) >= 8, where
        # Even steps along GEOS's own offset curve, sides between corners each by themselves.
        line = edge.buffer(-(want["inset"] + want["across"] / 2), quad_segs=20000).exterior
        assert max(line.distance(s) for s in stations) < MICRON, where
        at = sorted(line.project(s) for s in stations)
        steps = [b - a for a, b in zip(at, at[1:])] + [at[0] + line.length - at[-1]]
        low, high = row["step_mm"]
        assert abs(min(steps) - low) < MICRON and abs(max(steps) - high) < MICRON, f"{where}: {min(steps)} to {max(steps)}"
        even += high - low < MICRON
        # Which openings are the row's: those with a station in them.
        tree = shapely.STRtree(openings)
        mine = {int(i) for s in stations for i in tree.query(s, predicate="intersects")}
        assert len(mine) == row["count"], where
        row_shapes = [openings[i] for i in sorted(mine)]
        others = [openings[i] for i in range(len(openings)) if i not in mine]
        gaps = [a.distance(b) for i, a in enumerate(row_shapes) for b in row_shapes[:i]]
        assert min(gaps) > want["bridge"] - MICRON, f"{where}: {min(gaps)}"
        assert abs(min(gaps) - row["gap_mm"]) < MICRON or min(gaps) > row["gap_mm"] - MICRON, f"{where}: {min(gaps)}"
        to_edge = min(edge.exterior.distance(r) for r in row_shapes)
        if want["shape"] == "round" or want["shape"] == "brick":
            assert to_edge > want["inset"] - MICRON, f"{where}: {to_edge}"
        # The field keeps `apart` from the row's lane.
        field = edge.buffer(-(want["inset"] + want["across"] + want["apart"]), quad_segs=2000)
        points = shapely.points([p for o in others for p in o.exterior.coords])
        assert len(others) == 0 or shapely.distance(field, points).max() < MICRON, where
        assert isinstance(edge.difference(shapely.union_all(openings)), Polygon), where
    assert even > BLOCK // 4
