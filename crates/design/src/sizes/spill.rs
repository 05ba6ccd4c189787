//! The way the surplus takes, from line to line, to safe ground.
//!
//! Each sill, and the end of each drain, chute or pipe, hands water to a line or to the ground. Sound works
//! let every drop leave: the lines can be put in an order in which water meets each before the next. Taking
//! away, again and again, the first line of the plan to which nothing hands water any more gives that order
//! (Kahn 1962, Communications of the ACM 5(11), 558–562). What remains feeds itself: a circle, and lines
//! below it; taking away also what hands to nothing that remains leaves the circles.

use site::{Line, LineKind};

/// What water leaves a line by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outlet {
    /// The line that takes it, by its place in the plan; none for the ground.
    pub to: Option<usize>,
    /// Share of the line's surplus.
    pub share_frac: f64,
}

/// Where water goes from each line.
#[derive(Debug, Clone, PartialEq)]
pub struct SpillGraph {
    /// For each line of the plan, its sills in order, then its end.
    pub outlets: Vec<Vec<Outlet>>,
    /// Lines by their places in the plan, in the order in which water meets them; those of a circle and below
    /// one are left out.
    pub order: Vec<usize>,
    /// Lines whose surplus comes back to them.
    pub circle: Vec<usize>,
}

impl SpillGraph {
    /// The graph of these lines.
    pub fn of(lines: &[Line]) -> SpillGraph {
        let outlets: Vec<Vec<Outlet>> = lines.iter().map(|line| outlets(line, lines)).collect();
        let receivers: Vec<Vec<usize>> =
            outlets.iter().map(|outlets| outlets.iter().filter_map(|outlet| outlet.to).collect()).collect();
        let (order, mut left) = take_away_fed_by_none(&receivers);
        take_away_that_feed_none(&receivers, &mut left);
        let circle = (0..lines.len()).filter(|line| left[*line]).collect();
        SpillGraph { outlets, order, circle }
    }

    /// All water that passes each line when each gets `own` and holds nothing back: what it passes on adds to
    /// the lines below. Lines of a circle get their own and what comes from outside the circle, once.
    pub fn passed_down(&self, own: &[f64]) -> Vec<f64> {
        let mut passes = own.to_vec();
        for from in &self.order {
            for outlet in &self.outlets[*from] {
                if let Some(to) = outlet.to {
                    passes[to] += outlet.share_frac * passes[*from];
                }
            }
        }
        passes
    }
}

/// How a line shares its surplus: by the lengths of its sills' crests, which all lie under the same water; a
/// drain, chute or pipe keeps to its end what its sills do not need to take.
fn outlets(line: &Line, lines: &[Line]) -> Vec<Outlet> {
    let place = |name: &str| lines.iter().position(|line| line.name == name);
    let ends_open = line.kind != LineKind::Swale;
    if let (true, Some(to)) = (ends_open, &line.to) {
        let by_sills = line.sills.iter().map(|sill| Outlet { to: place(&sill.to), share_frac: 0.0 });
        let by_end = Outlet { to: place(to), share_frac: 1.0 };
        return by_sills.chain([by_end]).collect();
    }
    let width_m: f64 = line.sills.iter().map(|sill| sill.width_m).sum();
    line.sills.iter().map(|sill| Outlet { to: place(&sill.to), share_frac: sill.width_m / width_m }).collect()
}

/// The order, and which lines are left.
fn take_away_fed_by_none(receivers: &[Vec<usize>]) -> (Vec<usize>, Vec<bool>) {
    let mut fed_by = vec![0_usize; receivers.len()];
    for to in receivers.iter().flatten() {
        fed_by[*to] += 1;
    }
    let mut left = vec![true; receivers.len()];
    let mut order = Vec::with_capacity(receivers.len());
    while let Some(next) = (0..receivers.len()).find(|line| left[*line] && fed_by[*line] == 0) {
        left[next] = false;
        order.push(next);
        for to in &receivers[next] {
            fed_by[*to] -= 1;
        }
    }
    (order, left)
}

fn take_away_that_feed_none(receivers: &[Vec<usize>], left: &mut [bool]) {
    let feeds_none =
        |line: &usize, left: &[bool]| left[*line] && !receivers[*line].iter().any(|to| left[*to]);
    while let Some(last) = (0..receivers.len()).find(|line| feeds_none(line, left)) {
        left[last] = false;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trial;
    use proptest::prelude::*;
    use serde_json::{Value, json};

    fn line(name: &str, sills: &[(&str, f64)]) -> Value {
        let sills: Vec<Value> = sills
            .iter()
            .map(|(to, width_m)| json!({ "at_m": 1.0, "width_m": width_m, "below_bank_m": 0.1, "to": to }))
            .collect();
        json!({ "name": name, "kind": "swale", "sill": sills })
    }

    fn graph(lines: &[Value]) -> SpillGraph {
        SpillGraph::of(&trial::plan(&json!({ "line": lines })).lines)
    }

    /// The plan lists the lowest first; water meets top, then middle, then low.
    #[test]
    fn the_order_is_the_waters_not_the_plans() {
        let found = graph(&[
            line("low", &[("ground", 2.0)]),
            line("middle", &[("low", 2.0)]),
            line("top", &[("middle", 2.0)]),
        ]);
        assert_eq!(found.order, [2, 1, 0]);
        assert!(found.circle.is_empty());
    }

    /// top (4 L/s) splits 1 m : 3 m over two sills to a and b; each passes on to low: 1, 3, then 4 + its own 2.
    #[test]
    fn flows_add_up_down_the_chain() {
        let found = graph(&[
            line("top", &[("a", 1.0), ("b", 3.0)]),
            line("a", &[("low", 1.0)]),
            line("b", &[("low", 1.0)]),
            line("low", &[("ground", 1.0)]),
        ]);
        assert_eq!(found.passed_down(&[4.0, 0.0, 0.0, 2.0]), [4.0, 1.0, 3.0, 6.0]);
    }

    /// a → b → c → b: b and c are the circle; a comes before it and d only below it.
    #[test]
    fn a_circle_is_named_without_what_leads_to_it_or_from_it() {
        let found = graph(&[
            line("a", &[("b", 1.0)]),
            line("b", &[("c", 1.0)]),
            line("c", &[("b", 1.0), ("d", 1.0)]),
            line("d", &[("ground", 1.0)]),
        ]);
        assert_eq!(found.order, [0]);
        assert_eq!(found.circle, [1, 2]);
        assert_eq!(graph(&[line("a", &[("a", 1.0)])]).circle, [0]);
    }

    proptest! {
        /// Lines that only hand on to later ones never make a circle, all are in the order, each after its
        /// givers, and nothing is lost: what reaches the ground is what came in.
        #[test]
        fn nothing_is_lost_on_the_way(targets in prop::collection::vec((0_usize..6, 0_usize..6), 6), own in prop::collection::vec(0.0..9.0, 6)) {
            let name = |i: usize| if i < 6 { format!("l{i}") } else { "ground".to_owned() };
            let lines: Vec<Value> = targets
                .iter()
                .enumerate()
                .map(|(i, (a, b))| line(&name(i), &[(&name(i + 1 + a), 1.0), (&name(i + 1 + b), 2.5)]))
                .collect();
            let found = graph(&lines);
            prop_assert!(found.circle.is_empty());
            let passes = found.passed_down(&own);
            let mut to_ground = 0.0;
            for (from, outlets) in found.outlets.iter().enumerate() {
                let when = |line: usize| found.order.iter().position(|other| *other == line).unwrap();
                for outlet in outlets {
                    match outlet.to {
                        Some(to) => prop_assert!(when(from) < when(to)),
                        None => to_ground += outlet.share_frac * passes[from],
                    }
                }
            }
            let came: f64 = own.iter().sum();
            prop_assert!((to_ground - came).abs() <= 1e-9 * (1.0 + came));
        }
    }
}
