"""A pattern file's repeat laid out again by its own words, apart from the program: a second count of the cells."""
import functools
import itertools
import tomllib

import numpy as np
import plane
from conftest import ROOT

# Chords of a cell's arcs stay this near, in the file's unit after the shortest repeat is 1 long.
CHORD = 2e-4


def ring_of(corners):
    """A shape's corners [x, y, bulge] (bulge: tan of a quarter of the arc's angle) as chords."""
    out = []
    for k, corner in enumerate(corners):
        a, b = np.array(corner[:2], float), np.array(corners[(k + 1) % len(corners)][:2], float)
        bulge = corner[2] if len(corner) > 2 else 0.0
        out.append(a)
        if bulge:
            v = b - a
            # The centre lies left of the chord's middle by (1 - bulge^2) / (4 bulge) chords.
            centre = (a + b) / 2 + np.array([-v[1], v[0]]) * (1 - bulge**2) / (4 * bulge)
            radius, sweep = np.hypot(*(a - centre)), 4 * np.arctan(bulge)
            n = max(2, int(np.ceil(abs(sweep) / (2 * np.arccos(max(0.0, 1 - CHORD / radius))))))
            start = np.arctan2(*(a - centre)[::-1])
            turn = start + sweep * np.arange(1, n) / n
            out.extend(centre + radius * np.c_[np.cos(turn), np.sin(turn)])
    return np.array(out)


class Repeat:
    """Shapes, steps and centres with the shortest step 1 long."""

    def __init__(self, name):
        file = tomllib.loads((ROOT / f"patterns/{name}.toml").read_text())
        steps = np.array(file["repeat"], float)
        whole = [steps[0] * m + steps[1] * n for m, n in itertools.product(range(-6, 7), repeat=2) if (m, n) != (0, 0)]
        shortest = min(np.hypot(*v) for v in whole)
        self.unit = shortest
        self.steps = steps / shortest
        self.area = abs(plane.cross(self.steps[0], self.steps[1]))
        self.shapes = [ring_of([[x / shortest, y / shortest, *more] for x, y, *more in s["corners"]]) for s in file["shapes"]]
        self.centres = [(c["kind"], np.array(c["at"], float) / shortest) for c in file["centres"]]
        self.chiral = file.get("chiral", False)
        # Any of the shortest steps may lie along +x.
        self.shortest = [v / shortest for v in whole if np.hypot(*v) < shortest * (1 + 1e-9)]
        self.samples = [self.points_in(s) for s in self.shapes]
        self.widest = [depth.max() for _, depth in self.samples]
        # Every copy that may hold a point of the home parallelogram.
        home = np.array([[0, 0], self.steps[0], self.steps[1], self.steps[0] + self.steps[1]])
        self.copies = []
        for k, (m, n) in itertools.product(range(len(self.shapes)), itertools.product(range(-9, 10), repeat=2)):
            b = plane.box(self.shapes[k] + self.steps[0] * m + self.steps[1] * n)
            if (b[:2] <= home.max(0)).all() and (b[2:] >= home.min(0)).all():
                self.copies.append((k, m, n, b))

    @staticmethod
    def points_in(ring):
        """Points spread over a shape and how deep each lies in it."""
        low, high = ring.min(0), ring.max(0)
        side = max((high - low).max() / 16, 1e-9)
        grid = np.stack(np.meshgrid(np.arange(low[0] + side / 3, high[0], side), np.arange(low[1] + side / 3, high[1], side)), -1)
        points = grid.reshape(-1, 2)
        points = points[plane.contains(ring, points)]
        return points, plane.distance(points, ring)

    def cell_at(self, points):
        """The cell that holds each point, as (shape, m, n), and how deep it lies in it; (-1, 0, 0) on a line or ground."""
        inverse = np.linalg.inv(self.steps.T)
        whole = np.floor(points @ inverse.T)
        home = points - whole @ self.steps
        cells = np.full((len(points), 3), -1, int)
        depth = np.zeros(len(points))
        for k, m, n, b in self.copies:
            inside = np.nonzero((home >= b[:2]).all(1) & (home <= b[2:]).all(1) & (cells[:, 0] < 0))[0]
            if not len(inside):
                continue
            local = home[inside] - self.steps[0] * m - self.steps[1] * n
            held = plane.contains(self.shapes[k], local)
            cells[inside[held]] = np.c_[np.full(held.sum(), k), m + whole[inside[held], 0], n + whole[inside[held], 1]]
            depth[inside[held]] = plane.distance(local[held], self.shapes[k])
        return cells, depth


@functools.cache
def repeat(name):
    return Repeat(name)


class Laid:
    """A repeat as it lies on a piece: mm = pitch * turned(unit) + origin."""

    def __init__(self, rep, pitch, turn, step, origin):
        self.rep, self.pitch, self.origin = rep, pitch, origin
        angle = np.radians(turn) - np.arctan2(step[1], step[0])
        self.turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])

    def unit(self, points):
        return (np.atleast_2d(points) - self.origin) / self.pitch @ self.turn

    def mm(self, points):
        return np.atleast_2d(points) @ self.turn.T * self.pitch + self.origin

    def cell_at(self, points):
        cells, depth = self.rep.cell_at(self.unit(points))
        return cells, depth * self.pitch

    def cells_over(self, low, high):
        """Every (shape, m, n) whose middle lies over a box in mm, with its offset in units."""
        corners = self.unit(np.array([low, high, [low[0], high[1]], [high[0], low[1]]]))
        inverse = np.linalg.inv(self.rep.steps.T)
        whole = corners @ inverse.T
        lows, highs = np.floor(whole.min(0)).astype(int) - 2, np.ceil(whole.max(0)).astype(int) + 2
        for m, n in itertools.product(range(lows[0], highs[0] + 1), range(lows[1], highs[1] + 1)):
            yield m, n, self.rep.steps[0] * m + self.rep.steps[1] * n


def laid_as(rep, resolved):
    """The ways in which a piece's repeat may lie, by where the plan says that the file's own origin lies: with any of
    the shortest steps along x."""
    pitch, turn, origin = resolved["pitch_mm"], resolved["turn"], np.array(resolved["origin_mm"])
    return [Laid(rep, pitch, turn, step, origin) for step in rep.shortest]
