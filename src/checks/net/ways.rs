//! From every joint along the metal to the solid border, and bridges that carry a part between them.

use super::{Net, Side, Way};
use crate::units::Mm;
use std::cmp::Ordering;
use std::collections::{BinaryHeap, HashMap, HashSet};

/// Joints looked at for one part that hangs on two bridges. Larger parts carry themselves on many ways in any drawing
/// that is sawn.
const MOST: usize = 2000;

/// A joint reached, the nearest first.
struct Reached {
    length: f64,
    bridges: usize,
    joint: usize,
}

impl PartialEq for Reached {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl Eq for Reached {}
impl PartialOrd for Reached {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Reached {
    fn cmp(&self, other: &Self) -> Ordering {
        let by = other.length.total_cmp(&self.length);
        by.then(other.bridges.cmp(&self.bridges)).then(other.joint.cmp(&self.joint))
    }
}

/// The shortest way to the border for every joint that has one (Dijkstra's walk from all of the border at once).
pub(super) fn to_the_border(net: &mut Net) {
    let mut heap = BinaryHeap::new();
    for (j, joint) in net.joints.iter_mut().enumerate() {
        if joint.between.contains(&Side::Edge) {
            joint.to_border = Some(Way { length: Mm(0.0), bridges: 0, next: None });
            heap.push(Reached { length: 0.0, bridges: 0, joint: j });
        }
    }
    let mut settled = vec![false; net.joints.len()];
    while let Some(Reached { length, bridges, joint }) = heap.pop() {
        if std::mem::replace(&mut settled[joint], true) {
            continue;
        }
        for k in 0..net.joints[joint].spans.len() {
            let s = net.joints[joint].spans[k];
            let span = &net.spans[s];
            let other = if span.joints[0] == joint { span.joints[1] } else { span.joints[0] };
            let longer = length + span.length.get();
            let better = net.joints[other].to_border.is_none_or(|w| longer < w.length.get() - 1e-9);
            if better && !settled[other] {
                net.joints[other].to_border =
                    Some(Way { length: Mm(longer), bridges: bridges + 1, next: Some(s) });
                heap.push(Reached { length: longer, bridges: bridges + 1, joint: other });
            }
        }
    }
}

/// Two bridges between the same two borders close round a part of the metal: it hangs on these two alone. Bridges of the
/// border itself are left out, and so are parts that hold a piece of it.
pub(super) fn shared(net: &mut Net) {
    let mut by_pair: HashMap<[Side; 2], Vec<usize>> = HashMap::new(); // walked by the bridges' order below
    for (i, span) in net.spans.iter().enumerate().filter(|(_, s)| !s.is_border()) {
        by_pair.entry(span.between).or_default().push(i);
    }
    for i in 0..net.spans.len() {
        let Some(list) = by_pair.get(&net.spans[i].between).filter(|list| list.len() > 1) else { continue };
        let others: Vec<usize> = list.iter().copied().filter(|&j| j != i).collect();
        net.spans[i].shares_with = others.into_iter().find(|&j| carries(net, i, j));
    }
}

/// Whether cutting both bridges sets a part free that holds none of the border.
fn carries(net: &Net, i: usize, j: usize) -> bool {
    net.spans[i].joints.iter().any(|&start| {
        let mut seen = HashSet::from([start]);
        let mut todo = vec![start];
        while let Some(joint) = todo.pop() {
            if net.joints[joint].between.contains(&Side::Edge) || seen.len() > MOST {
                return false;
            }
            for &s in net.joints[joint].spans.iter().filter(|&&s| s != i && s != j) {
                todo.extend(net.spans[s].joints.into_iter().filter(|&other| seen.insert(other)));
            }
        }
        true
    })
}
