//! The metal as a graph: joints, bridges, the way to the border, parts on one neck.

mod made;

use made::*;
use sawpierce::checks::{net, Net, Side, Span};
use sawpierce::work::Work;

fn net_of(text: &str) -> (Work, Net) {
    let j = job(text);
    let w = done(&j);
    let n = net(&j, &w.piece, &w.graph);
    (w, n)
}

/// Bridges between whole openings well inside the field.
fn inner<'a>(work: &'a Work, net: &'a Net) -> impl Iterator<Item = &'a Span> + 'a {
    net.spans.iter().filter(move |s| {
        s.joints.iter().all(|&j| {
            net.joints[j].between.iter().all(|b| match b {
                Side::Opening(n) => !work.piece.openings[n - 1].trimmed,
                _ => false,
            })
        })
    })
}

fn parts(net: &Net) -> usize {
    let mut seen = vec![false; net.joints.len()];
    let mut parts = 0;
    for start in 0..net.joints.len() {
        if seen[start] {
            continue;
        }
        parts += 1;
        let mut todo = vec![start];
        seen[start] = true;
        while let Some(j) = todo.pop() {
            for &s in &net.joints[j].spans {
                for other in net.spans[s].joints {
                    if !std::mem::replace(&mut seen[other], true) {
                        todo.push(other);
                    }
                }
            }
        }
    }
    parts
}

/// Joints - bridges + borders = 1 + parts (Euler, for a drawing on a plane or round a band closed at both edges).
fn euler(net: &Net) -> i64 {
    net.joints.len() as i64 - net.spans.len() as i64 + net.borders as i64 - 1 - parts(net) as i64
}

/// Metal on both sides of the middle lines: each piece runs from the line to the borders' nearest points.
fn metal_along(work: &Work, span: &Span) -> f64 {
    let touch = |p: kurbo::Point, side: Side| {
        let near = |r: &sawpierce::geom::Ring| r.nearest(p);
        match side {
            Side::Opening(n) => near(&work.piece.openings[n - 1].ring),
            Side::Edge => near(&work.piece.outline.edge),
            Side::Window(w) => near(&work.piece.outline.windows[w - 1].ring),
            Side::Hole(h) => {
                let h = &work.piece.outline.holes[h - 1];
                h.at + (p - h.at) * (h.diameter.get() / 2.0 / (p - h.at).hypot())
            }
        }
    };
    let mut area = 0.0;
    for w in span.line.windows(2) {
        let n = 64;
        let at = |k: usize| w[0].lerp(w[1], k as f64 / n as f64);
        for k in 0..n {
            let (p, q) = (at(k), at(k + 1));
            for side in span.between {
                let (a, b) = (touch(p, side), touch(q, side));
                let four = [p, q, b, a];
                let twice: f64 = (0..4).map(|i| four[i].to_vec2().cross(four[(i + 1) % 4].to_vec2())).sum();
                area += twice.abs() / 2.0;
            }
        }
    }
    area
}

/// What does not fit together in a graph.
fn faults(net: &Net) -> Vec<String> {
    let mut faults = Vec::new();
    for (j, joint) in net.joints.iter().enumerate() {
        let linked = joint.spans.iter().all(|&s| net.spans[s].joints.contains(&j));
        if !linked || joint.spans.len() != joint.between.len() {
            let spans: Vec<String> = joint
                .spans
                .iter()
                .map(|&s| (&net.spans[s], s))
                .map(|(s, i)| format!("   {i} {:?} {:?} {:.4} long", s.between, s.joints, s.length.get()))
                .collect();
            faults.push(format!(
                "joint {j} {:?} {:?} {:?}:\n{}",
                joint.at,
                joint.across,
                joint.between,
                spans.join("\n")
            ));
        }
    }
    for span in &net.spans {
        let chord: f64 = span.line.windows(2).map(|w| (w[1] - w[0]).hypot()).sum();
        if span.width.get() <= 0.0 || (chord - span.length.get()).abs() > 1e-3 * (1.0 + chord) {
            faults.push(format!("{span:?}"));
        }
    }
    faults
}

/// Hexagons: three bridges at a joint, each pitch / sqrt 3 long; squares: four at a joint, as long as the pitch;
/// triangles of side `pitch`: six at a joint, as long as the pitch.
#[test]
fn lattices_have_the_lengths_of_geometry() {
    let root3 = 3f64.sqrt();
    for (pattern, pitch, length, at_joint, joint) in [
        ("hexagon", 6.2, 6.2 / root3, 3, 2.0 * 1.2 / root3),
        ("square", 6.2, 6.2, 4, 1.2 * 2f64.sqrt()),
        ("triangle", 8.0, 8.0, 6, 2.0 * 1.2),
    ] {
        let set = [("pattern.name", format!("\"{pattern}\"")), ("pattern.pitch", pitch.to_string())];
        let set: Vec<(&str, &str)> = set.iter().map(|(k, v)| (*k, v.as_str())).collect();
        let (work, net) = net_of(&disc(&set, ""));
        assert!(faults(&net).is_empty());
        assert_eq!(euler(&net), 0, "{pattern}");
        let mut n = 0;
        for s in inner(&work, &net) {
            n += 1;
            assert!((s.length.get() - length).abs() < 1e-6, "{pattern}: {} is not {length}", s.length.get());
            assert!((s.width.get() - 1.2).abs() < 1e-6, "{pattern}: {:?}", s.width);
            assert!((s.finished.get() - 1.0).abs() < 1e-6);
            for j in s.joints {
                let j = &net.joints[j];
                assert_eq!(j.between.len(), at_joint, "{pattern}");
                assert!((j.across.get() - joint).abs() < 1e-6, "{pattern}: {:?}", j.across);
            }
        }
        assert!(n > 8, "{pattern}: only {n} bridges looked at");
    }
}

/// Every pattern on several outlines, with windows, holes and kept places: the graph closes, and the metal along its
/// bridges is all the metal there is, but for what stands in the corners and bays of single openings.
#[test]
fn every_pattern_closes() {
    let shapes = [
        "shape = \"circle\"\ndiameter = 52",
        "shape = \"ellipse\"\nwidth = 60\nheight = 40",
        "shape = \"rectangle\"\nwidth = 56\nheight = 40\ncorner_radius = 3",
        "shape = \"polygon\"\nsides = 6\nacross = 56\ncorner_radius = 1",
        "shape = \"heart\"\nwidth = 56\nheight = 52\ntip_radius = 1",
        "shape = \"band\"\ninside = 18\nwidth = 11",
        "shape = \"teardrop\"\nwidth = 40\nheight = 60\ntip_radius = 1",
        "shape = \"cone\"\ntop = 14\nbottom = 22\nheight = 16",
    ];
    let shipped = sawpierce::catalogue::all().iter().map(|p| p.name.clone());
    let names: Vec<String> =
        shipped.chain(sawpierce::catalogue::GROWN.iter().map(|n| n.to_string())).collect();
    let mut seed = 11u64;
    let mut next = || {
        seed = seed.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        (seed >> 33) as f64 / (1u64 << 31) as f64
    };
    let (mut closed, mut wrong) = (0, Vec::new());
    for (i, name) in names.iter().cycle().take(names.len() * 3).enumerate() {
        let shape = shapes[(next() * 8.0) as usize % 8];
        let mut text = format!(
            "skill = \"fine-work\"\n[sheet]\nmetal = \"copper\"\nthickness = 0.7\n[outline]\n{shape}\nborder = 1.6\n[pattern]\n\
             name = \"{name}\"\nbridge = {:.2}\nturn = {:.1}\n[saw]\nblade = \"6/0\"\ndrill = 0.5\n",
            0.7 + 0.6 * next(),
            if shape.contains("band") || shape.contains("cone") { 0.0 } else { 90.0 * next() },
        );
        if next() < 0.4 && !shape.contains("band") && !shape.contains("cone") {
            text +=
                "[[window]]\nname = \"w\"\nshape = \"circle\"\ndiameter = 8\nat = [3, -2]\nborder = 1.2\n";
        }
        if next() < 0.4 {
            text += "[[hole]]\nname = \"h\"\ndiameter = 1.5\nat = [-2, 1]\n";
        }
        let j = job(&text);
        let Ok(w) = sawpierce::work::work(&j) else { continue };
        if w.piece.openings.is_empty() {
            continue;
        }
        let n = net(&j, &w.piece, &w.graph);
        let odd = faults(&n);
        let off = euler(&n);
        let metal = w.piece.outline.edge.area()
            - w.piece.open_area()
            - w.piece.outline.windows.iter().map(|w| w.ring.area()).sum::<f64>();
        let along: f64 = n.spans.iter().map(|s| metal_along(&w, s)).sum();
        let unmatched = n.spans.iter().filter(|s| s.neck.is_some()).count() + n.in_joints.len();
        let line = format!(
            "{i} {name} {}: euler {off}, {} openings, {} joints, {} bridges ({unmatched} of {} necks), metal {metal:.1} along {along:.1}, alone {}",
            shape.lines().next().unwrap_or(""),
            w.piece.openings.len(), n.joints.len(), n.spans.len(), w.graph.bridges.len(), n.alone.len()
        );
        println!("{line}");
        if off != 0 || unmatched != w.graph.bridges.len() || !odd.is_empty() {
            wrong.push(format!("{line}\n{}\n{text}", odd.join("\n")));
        }
        closed += 1;
    }
    assert!(wrong.is_empty(), "{} of {closed} do not close:\n{}", wrong.len(), wrong.join("\n"));
}
