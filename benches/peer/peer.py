"""The peer: hexagons in a disc, straight to SVG, PDF and JSON, as a careful hand would script it for one job.

numpy places the pattern, shapely cuts what crosses the border and finds the nearest neighbours, pikepdf writes the file.
It draws openings, outline, drill marks and a bar. It does no numbers, no plan, no job card and no checks but the distance
to the nearest neighbour. Usage: peer.py OPENINGS FOLDER
"""

import json
import math
import sys
import zlib

import numpy as np
import pikepdf
import shapely

PITCH, BRIDGE, BORDER, DRILL = 4.0, 1.0, 2.5, 0.8


def disc(count):
    """Diameter that holds about so many hexagons."""
    return math.sqrt(count * PITCH * PITCH * math.sqrt(3) / 2 * 4 / math.pi) + 2 * BORDER


def openings(diameter):
    """Whole hexagons as an array of n x 6 x 2, and those the border cuts as polygons."""
    r = diameter / 2 - BORDER
    rows = int(r / (PITCH * math.sqrt(3) / 2)) + 2
    cols = int(r / PITCH) + 2
    j, i = np.mgrid[-rows : rows + 1, -cols : cols + 1]
    centres = np.column_stack([((i + (j % 2) / 2) * PITCH).ravel(), (j * PITCH * math.sqrt(3) / 2).ravel()])
    far = np.hypot(centres[:, 0], centres[:, 1])
    corner = (PITCH - BRIDGE) / math.sqrt(3)
    angles = np.radians(30 + 60 * np.arange(6))
    hexagon = corner * np.column_stack([np.cos(angles), np.sin(angles)])
    whole = centres[far + corner <= r]
    edge = centres[(far + corner > r) & (far - corner < r)]
    field = shapely.Point(0, 0).buffer(r, quad_segs=256)
    cut = shapely.intersection(shapely.polygons(edge[:, None] + hexagon), field)
    # What the drill has no room in stays solid.
    room = (DRILL + 0.2) / 2
    cut = [p for p in cut if p.area > 0.5 and shapely.maximum_inscribed_circle(p, 0.01).length >= room]
    return whole[:, None] + hexagon, whole, cut


def main():
    count, folder = int(sys.argv[1]), sys.argv[2]
    diameter = disc(count)
    whole, at, cut = openings(diameter)
    points = np.concatenate([at, np.array([p.representative_point().coords[0] for p in cut]).reshape(-1, 2)])
    shapes = np.concatenate([shapely.polygons(whole), np.array(cut, dtype=object)])
    # The nearest other opening of each.
    tree = shapely.STRtree(shapes)
    a, b = tree.query(shapes, predicate="dwithin", distance=PITCH / 2)
    gaps = shapely.distance(shapes[a[a != b]], shapes[b[a != b]])
    half, page = diameter / 2, diameter + 30
    to_page = np.array([page / 2, page / 2])
    paths = [
        "M" + "L".join("%.4f %.4f" % (x, y) for x, y in ring) + "Z" for ring in (whole * [1, -1] + to_page).round(4)
    ]
    paths += [
        "M" + "L".join("%.4f %.4f" % (x, y) for x, y in np.array(p.exterior.coords)[:-1] * [1, -1] + to_page) + "Z"
        for p in cut
    ]
    with open(f"{folder}/peer.svg", "w") as out:
        out.write(
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{page}mm" height="{page}mm" viewBox="0 0 {page} {page}">\n'
            f'<circle cx="{page / 2}" cy="{page / 2}" r="{half}" fill="none" stroke="#000" stroke-width="0.18"/>\n'
            f'<g id="openings" fill="#ddd" stroke="#000" stroke-width="0.18">\n'
        )
        out.writelines(f'<path data-opening="{n}" d="{d}"/>\n' for n, d in enumerate(paths, 1))
        out.write('</g><g id="drill-points" fill="none" stroke="#000" stroke-width="0.1">\n')
        out.writelines(
            f'<circle data-opening="{n}" cx="{x:.4f}" cy="{y:.4f}" r="{DRILL / 2}"/>\n'
            for n, (x, y) in enumerate((points * [1, -1] + to_page).tolist(), 1)
        )
        out.write(f'</g><path d="M10 {page - 8}h100" stroke="#000" stroke-width="0.3"/></svg>\n')
    pt = 72 / 25.4
    stream = ["0.5 w 0.87 g\n"]
    for ring in ((whole + to_page) * pt).round(3).tolist():
        stream.append("%.3f %.3f m " % tuple(ring[0]) + "".join("%.3f %.3f l " % tuple(p) for p in ring[1:]) + "h B\n")
    for p in cut:
        ring = ((np.array(p.exterior.coords)[:-1] + to_page) * pt).tolist()
        stream.append("%.3f %.3f m " % tuple(ring[0]) + "".join("%.3f %.3f l " % tuple(q) for q in ring[1:]) + "h B\n")
    k, r = 0.5522847, DRILL / 2 * pt
    for x, y in ((points + to_page) * pt).tolist():
        stream.append(
            f"{x + r:.3f} {y:.3f} m {x + r:.3f} {y + k * r:.3f} {x + k * r:.3f} {y + r:.3f} {x:.3f} {y + r:.3f} c "
            f"{x - k * r:.3f} {y + r:.3f} {x - r:.3f} {y + k * r:.3f} {x - r:.3f} {y:.3f} c "
            f"{x - r:.3f} {y - k * r:.3f} {x - k * r:.3f} {y - r:.3f} {x:.3f} {y - r:.3f} c "
            f"{x + k * r:.3f} {y - r:.3f} {x + r:.3f} {y - k * r:.3f} {x + r:.3f} {y:.3f} c S\n"
        )
    stream.append(f"{10 * pt:.3f} {8 * pt:.3f} m {110 * pt:.3f} {8 * pt:.3f} l S\n")
    pdf = pikepdf.new()
    pdf.add_blank_page(page_size=(min(page * pt, 14400), min(page * pt, 14400)))
    body = zlib.compress("".join(stream).encode(), 6)
    pdf.pages[0].Contents = pikepdf.Stream(pdf, body, Filter=pikepdf.Name.FlateDecode)
    pdf.save(f"{folder}/peer.pdf")
    with open(f"{folder}/peer.json", "w") as out:
        area = shapely.area(shapes)
        rows = zip(points.round(6).tolist(), area.round(6).tolist())
        json.dump(
            {
                "count": len(shapes),
                "narrowest_mm": float(gaps.min()),
                "list": [{"n": n, "x_mm": p[0], "y_mm": p[1], "area_mm2": s} for n, (p, s) in enumerate(rows, 1)],
            },
            out,
        )


main()
