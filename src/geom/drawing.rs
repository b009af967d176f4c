//! Lines somebody drew: read from SVG path data, checked, and sorted into an outline and what lies inside it.

use super::biarc::{cubic_biarcs, quadratic_biarcs};
use super::{Boundary, EllipticArc, Ring, Vertex};
use crate::units::limits::{CORNERS, WINDOWS};
use kurbo::{Affine, Arc, Point, SvgArc, Vec2};
use svgtypes::{PathParser, PathSegment};

/// Ends this near to each other are taken as meeting, and the last edge is led to the first point, mm. More would close
/// lines left open on purpose; less would refuse lines a drawing program rounded when it saved them.
const ENDS_MEET: f64 = 0.01;
/// Edges shorter than this are left out, mm.
const NO_LENGTH: f64 = 1e-6;
/// Smallest area worth the name, mm2: a square of 0.1 mm.
const NO_AREA: f64 = 0.01;
/// Farthest a drawing may reach from its zero, mm. Pieces go up to 5 m; beyond 100 m numbers lose their micrometres.
const FARTHEST: f64 = 1e5;
const TOO_FAR: &str = "the drawn line runs too far away to be sawn";

/// The closed lines of SVG path data, in mm, turned so that y runs up: the largest first, those inside it after it.
/// Circular arcs stay arcs; other curves become arcs within [`super::CURVE`]. The error tells the place in `d`
/// (characters, from 1) and what is wrong there; points in it are as drawn, y downward.
pub fn rings_of_svg(d: &str) -> Result<Vec<Ring>, (usize, String)> {
    let mut pen = PathPen::new(Affine::FLIP_Y, 0);
    pen.draw(d)?;
    // Lines begin at their "M": the place to point at when something is wrong with one.
    let starts: Vec<usize> =
        d.chars().enumerate().filter(|(_, c)| matches!(c, 'M' | 'm')).map(|(i, _)| i + 1).collect();
    sorted(pen.lines()).map_err(|(line, wrong)| (starts.get(line).copied().unwrap_or(1), wrong))
}

/// One line as drawn, in mm, y up.
#[derive(Debug, Clone)]
pub(super) struct DrawnLine {
    vertices: Vec<Vertex>,
    start: Point,
    end: Point,
    closed: bool,
    /// Which move of the pen began it, from 0.
    begun: usize,
}

impl DrawnLine {
    pub(super) fn corners(&self) -> usize {
        self.vertices.len()
    }
}

/// Draws lines through an affine transform that brings the drawing's own units to mm, y up.
pub(super) struct PathPen {
    place: Affine,
    lines: Vec<DrawnLine>,
    vertices: Vec<Vertex>,
    at: Point,
    first: Point,
    moves: usize,
    /// Corners of the lines put down already, by this pen and those before it.
    down: usize,
}

impl PathPen {
    /// A pen that draws on where others have put down so many corners.
    pub(super) fn new(place: Affine, down: usize) -> PathPen {
        PathPen {
            place,
            down,
            lines: Vec::new(),
            vertices: Vec::new(),
            at: Point::ORIGIN,
            first: Point::ORIGIN,
            moves: 0,
        }
    }

    pub(super) fn move_to(&mut self, to: Point) {
        self.lift(false);
        self.moves += 1;
        (self.at, self.first) = (to, to);
    }

    pub(super) fn line_to(&mut self, to: Point) {
        self.vertices.push(Vertex { at: self.place * self.at, bulge: 0.0 });
        self.at = to;
    }

    pub(super) fn close(&mut self) {
        self.lift(true);
        self.at = self.first;
    }

    /// A whole ellipse, or a circle, as a line of its own.
    pub(super) fn oval(&mut self, centre: Point, rx: f64, ry: f64) {
        self.move_to(centre + Vec2::new(rx, 0.0));
        let arc = Arc::new(centre, (rx, ry), 0.0, std::f64::consts::TAU, 0.0);
        self.vertices.extend(self.placed(&arc).vertices());
        self.close();
    }

    /// Part of an ellipse the SVG way, by its radii, its turn in degrees and two choices.
    pub(super) fn arc_to(&mut self, radii: Vec2, turn: f64, large: bool, clockwise: bool, to: Point) {
        let svg = SvgArc {
            from: self.at,
            to,
            radii,
            x_rotation: turn.to_radians(),
            large_arc: large,
            sweep: clockwise,
        };
        match Arc::from_svg_arc(&svg) {
            None => self.line_to(to),
            Some(arc) => {
                let first = self.vertices.len();
                self.vertices.extend(self.placed(&arc).vertices());
                if let Some(vertex) = self.vertices.get_mut(first) {
                    vertex.at = self.place * self.at;
                }
                self.at = to;
            }
        }
    }

    pub(super) fn lines(mut self) -> Vec<DrawnLine> {
        self.lift(false);
        self.lines
    }

    fn quad_to(&mut self, handle: Point, to: Point) {
        let place = self.place;
        self.vertices.extend(quadratic_biarcs(place * self.at, place * handle, place * to));
        self.at = to;
    }

    fn cubic_to(&mut self, out: Point, into: Point, to: Point) {
        let place = self.place;
        self.vertices.extend(cubic_biarcs(place * self.at, place * out, place * into, place * to));
        self.at = to;
    }

    fn placed(&self, arc: &Arc) -> EllipticArc {
        let [a, b, c, d, ..] = self.place.as_coeffs();
        let turned = |v: Vec2| Vec2::new(a * v.x + c * v.y, b * v.x + d * v.y);
        let (s, k) = (libm::sin(arc.x_rotation), libm::cos(arc.x_rotation));
        EllipticArc {
            centre: self.place * arc.center,
            u: turned(Vec2::new(k, s) * arc.radii.x),
            v: turned(Vec2::new(-s, k) * arc.radii.y),
            start: arc.start_angle,
            sweep: arc.sweep_angle,
        }
    }

    /// Ends the line being drawn, if any.
    fn lift(&mut self, closed: bool) {
        self.down += self.vertices.len();
        if !self.vertices.is_empty() {
            self.lines.push(DrawnLine {
                vertices: std::mem::take(&mut self.vertices),
                start: self.place * self.first,
                end: self.place * self.at,
                closed,
                begun: self.moves.saturating_sub(1),
            });
        }
    }

    /// Draws SVG path data. The error tells the character, from 1.
    pub(super) fn draw(&mut self, d: &str) -> Result<(), (usize, String)> {
        // The mirror images of the last handle, which the smooth curves start from.
        let (mut smooth_cubic, mut smooth_quad) = (None, None);
        for segment in PathParser::from(d) {
            let segment =
                segment.map_err(|e| (place_of(&e, d), "the drawn line cannot be read here".into()))?;
            let from = self.at;
            let base = if segment.is_abs() { Vec2::ZERO } else { from.to_vec2() };
            let p = |x: f64, y: f64| Point::new(x, y) + base;
            let handles = match segment {
                PathSegment::CurveTo { x1, y1, x2, y2, .. } => vec![p(x1, y1), p(x2, y2)],
                PathSegment::SmoothCurveTo { x2, y2, .. } => vec![p(x2, y2)],
                PathSegment::Quadratic { x1, y1, .. } => vec![p(x1, y1)],
                PathSegment::EllipticalArc { rx, ry, .. } => vec![Point::new(rx, ry)],
                _ => Vec::new(),
            };
            if !handles.iter().all(|handle| within_reach(self.place * *handle)) {
                return Err((1, TOO_FAR.into()));
            }
            let (last_cubic, last_quad) = (smooth_cubic.take(), smooth_quad.take());
            match segment {
                PathSegment::MoveTo { x, y, .. } => self.move_to(p(x, y)),
                PathSegment::LineTo { x, y, .. } => self.line_to(p(x, y)),
                PathSegment::HorizontalLineTo { x, .. } => self.line_to(Point::new(x + base.x, from.y)),
                PathSegment::VerticalLineTo { y, .. } => self.line_to(Point::new(from.x, y + base.y)),
                PathSegment::CurveTo { x1, y1, x2, y2, x, y, .. } => {
                    self.cubic_to(p(x1, y1), p(x2, y2), p(x, y));
                    smooth_cubic = Some(beyond(p(x2, y2), p(x, y)));
                }
                PathSegment::SmoothCurveTo { x2, y2, x, y, .. } => {
                    self.cubic_to(last_cubic.unwrap_or(from), p(x2, y2), p(x, y));
                    smooth_cubic = Some(beyond(p(x2, y2), p(x, y)));
                }
                PathSegment::Quadratic { x1, y1, x, y, .. } => {
                    self.quad_to(p(x1, y1), p(x, y));
                    smooth_quad = Some(beyond(p(x1, y1), p(x, y)));
                }
                PathSegment::SmoothQuadratic { x, y, .. } => {
                    let handle = last_quad.unwrap_or(from);
                    self.quad_to(handle, p(x, y));
                    smooth_quad = Some(beyond(handle, p(x, y)));
                }
                PathSegment::EllipticalArc { rx, ry, x_axis_rotation, large_arc, sweep, x, y, .. } => {
                    self.arc_to(Vec2::new(rx, ry), x_axis_rotation, large_arc, sweep, p(x, y));
                }
                PathSegment::ClosePath { .. } => self.close(),
            }
            if !within_reach(self.place * self.at) {
                return Err((1, TOO_FAR.into()));
            }
            few_corners(self.down + self.vertices.len()).map_err(|wrong| (1, wrong))?;
        }
        Ok(())
    }
}

fn beyond(handle: Point, end: Point) -> Point {
    end + (end - handle)
}

fn within_reach(p: Point) -> bool {
    p.is_finite() && p.x.abs() <= FARTHEST && p.y.abs() <= FARTHEST
}

/// Where in the text a fault stands, in characters from 1.
fn place_of(fault: &svgtypes::Error, text: &str) -> usize {
    use svgtypes::Error;
    match *fault {
        Error::UnexpectedData(at)
        | Error::InvalidChar(_, at)
        | Error::InvalidString(_, at)
        | Error::InvalidNumber(at) => at.max(1),
        Error::UnexpectedEndOfStream => text.chars().count().max(1),
        Error::InvalidValue | Error::InvalidIdent => 1,
    }
}

/// A point for people: as drawn, from the drawing's own zero, y downward.
fn spot(p: Point) -> String {
    format!("x {}, y {} mm", crate::units::plain(p.x, 2), crate::units::plain(-p.y, 2))
}

/// Lines as rings, anticlockwise: the largest first, then those inside it. The error names the line (by the pen's
/// moves, from 0) and says what is wrong with it.
pub(super) fn sorted(lines: Vec<DrawnLine>) -> Result<Vec<Ring>, (usize, String)> {
    few_corners(lines.iter().map(|l| l.vertices.len()).sum()).map_err(|wrong| (0, wrong))?;
    let mut rings: Vec<(usize, Ring, Looks)> = Vec::new();
    for line in lines {
        let begun = line.begun;
        let ring = closed_ring(line).map_err(|wrong| (begun, wrong))?;
        // A shape drawn twice, once for its colour and once for its line, counts once.
        let looks = Looks::of(&ring);
        if !rings.iter().any(|(.., other)| looks.same(other)) {
            rings.push((begun, ring, looks));
        }
    }
    rings.sort_by(|a, b| b.2.area.total_cmp(&a.2.area));
    let rings: Vec<(usize, Ring)> = rings.into_iter().map(|(begun, ring, _)| (begun, ring)).collect();
    let inner = rings.len().saturating_sub(1);
    WINDOWS.counted(inner as f64).map_err(|unread| (0, format!("{}; {}", unread.wrong, unread.todo)))?;
    let Some(((_, outer), inner)) = rings.split_first() else {
        return Err((0, "there is no closed line to saw along".into()));
    };
    let outline = Boundary::of_ring(outer);
    let drawn: Vec<(usize, &Ring, Boundary)> =
        inner.iter().map(|(begun, r)| (*begun, r, Boundary::of_ring(r))).collect();
    for (k, (begun, ring, line)) in drawn.iter().enumerate() {
        let at = spot(ring.first());
        if outline.meets(ring) {
            return Err((*begun, format!("the line that starts at {at} runs into the outer line")));
        }
        if !outer.contains(ring.first()) {
            return Err((
                *begun,
                format!(
                    "the line that starts at {at} lies outside the largest one; a piece has one outer line"
                ),
            ));
        }
        let bounds = ring.bounds();
        for (_, other, its_line) in &drawn[..k] {
            if super::box_distance2(bounds, other.bounds()) > 0.0 {
                continue;
            }
            if its_line.meets(ring) || line.meets(other) {
                return Err((
                    *begun,
                    format!("the line that starts at {at} runs into another or lies inside it, where it would fall out"),
                ));
            }
            if other.contains(ring.first()) {
                return Err((
                    *begun,
                    format!("the line that starts at {at} lies inside a cut-out, where it would fall out"),
                ));
            }
        }
    }
    Ok(rings.into_iter().map(|(_, r)| r).collect())
}

fn closed_ring(line: DrawnLine) -> Result<Ring, String> {
    let DrawnLine { mut vertices, start, end, closed, .. } = line;
    let apart = (end - start).hypot2().sqrt();
    if !closed && apart > ENDS_MEET {
        return Err(format!(
            "the line that starts at {} is open: it ends at {}, {} away; bring its ends together",
            spot(start),
            spot(end),
            crate::units::Mm(apart)
        ));
    }
    if apart > ENDS_MEET {
        vertices.push(Vertex { at: end, bulge: 0.0 });
    }
    let n = vertices.len();
    let long = |i: usize| (vertices[(i + 1) % n].at - vertices[i].at).hypot2().sqrt() > NO_LENGTH;
    let kept: Vec<Vertex> = (0..n).filter(|&i| long(i)).map(|i| vertices[i]).collect();
    if !kept.iter().all(|c| within_reach(c.at) && c.bulge.is_finite()) {
        return Err(TOO_FAR.into());
    }
    let nothing = || format!("the line that starts at {} goes round nothing that could be sawn", spot(start));
    let ring = Ring::if_any(kept).ok_or_else(nothing)?;
    if let Some(at) = ring.self_intersection() {
        return Err(format!(
            "the line that starts at {} crosses or touches itself at {}",
            spot(start),
            spot(at)
        ));
    }
    let ring = ring.anticlockwise();
    if ring.area() < NO_AREA {
        return Err(nothing());
    }
    Ok(ring)
}

/// What a drawing may not have more of, said as a fault.
fn few_corners(corners: usize) -> Result<(), String> {
    CORNERS.counted(corners as f64).map_err(|unread| format!("{}; {}", unread.wrong, unread.todo))
}

/// What two drawings of one shape have in common.
struct Looks {
    bounds: kurbo::Rect,
    area: f64,
    length: f64,
}

impl Looks {
    fn of(ring: &Ring) -> Looks {
        Looks { bounds: ring.bounds(), area: ring.area(), length: ring.perimeter() }
    }

    fn same(&self, other: &Looks) -> bool {
        let (p, q) = (self.bounds, other.bounds);
        let near = |x: f64, y: f64| (x - y).abs() < 1e-3;
        near(p.x0, q.x0)
            && near(p.x1, q.x1)
            && near(p.y0, q.y0)
            && near(p.y1, q.y1)
            && near(self.area, other.area)
            && near(self.length, other.length)
    }
}
