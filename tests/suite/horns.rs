//! Fitted pieces whose outline runs to points: the field ends in a bridge across each horn, with a drop of its own beyond.

use crate::made::{done, job};
use sawpierce::geom::{inscribed_circle, Boundary, Point};
use sawpierce::job::AtBorder;
use sawpierce::openings::Opening;
use sawpierce::work::Work;

const BORDER: f64 = 2.2;
const BRIDGE: f64 = 1.1;

fn crescent(name: &str, pitch: f64, more: &str) -> Work {
    done(&job(&format!(
        "[sheet]\nmetal = \"copper\"\nthickness = 0.8\n[outline]\nshape = \"crescent\"\nwidth = 38\nheight = 46\n{more}border = {BORDER}\n\
         [pattern]\nname = \"{name}\"\npitch = {pitch}\nbridge = {BRIDGE}\ncentre = \"best\"\nat_border = \"fit\"\n[saw]\nblade = \"4/0\"\ndrill = 1.0\n"
    )))
}

fn notes(work: &Work) -> String {
    let said = work.piece.resolved.notes.join("; ");
    let border = work.piece.resolved.border.as_ref();
    assert!(border.is_some_and(|b| b.used == AtBorder::Fit), "{border:?}");
    said
}

/// The opening highest up and the one lowest down: those in the horns.
fn ends(work: &Work) -> [&Opening; 2] {
    let at = |o: &&Opening| (o.centroid.x * 1e6).round() as i64;
    let mut all: Vec<&Opening> = work.piece.openings.iter().collect();
    all.sort_by_key(|o| std::cmp::Reverse(at(o)));
    [all[0], all[1]]
}

#[test]
fn horns_end_in_drops_that_mirror_each_other() {
    for (name, pitch) in [("hexagon", 4.87), ("square", 4.53), ("running-bond", 4.5), ("cane-work", 10.0)] {
        let work = crescent(name, pitch, "");
        assert!(notes(&work).contains("2 horns end in a drop of its own"), "{name}: {}", notes(&work));
        let [a, b] = ends(&work);
        let lines = Boundary::of_ring(&b.ring);
        let off = a.ring.vertices().map(|v| lines.distance(Point::new(v.at.x, -v.at.y)));
        assert!(off.fold(0.0, f64::max) < 1e-9, "{name}");
        // Round at both ends, and the drill goes in.
        assert!(
            a.ring.edges().any(|e| e.sweep() > 1.0) && 2.0 * inscribed_circle(&a.ring).radius >= 1.2,
            "{name}"
        );
        let edge = Boundary::of_ring(&work.piece.outline.edge);
        let openings = &work.piece.openings;
        let border = openings.iter().filter_map(|o| edge.closest(&o.ring, BORDER + 1.0)).map(|c| c.distance);
        assert!((border.fold(f64::INFINITY, f64::min) - BORDER).abs() < 1e-3, "{name}");
        let apart = |o: &&Opening| o.ring.closest(&a.ring).distance;
        let nearest = openings.iter().filter(|o| o.n != a.n).map(|o| apart(&o)).fold(f64::INFINITY, f64::min);
        assert!((nearest - BRIDGE).abs() < 1e-3, "{name}: {nearest}");
    }
}

/// A drop may be no smaller than this hand is advised where the openings are not: what lies beyond the bridge is metal.
#[test]
fn horns_too_narrow_for_a_drop_stay_solid() {
    let work = crescent("square", 5.4, "");
    assert!(notes(&work).contains("2 horns end in solid metal, too narrow for a cell"), "{}", notes(&work));
}
