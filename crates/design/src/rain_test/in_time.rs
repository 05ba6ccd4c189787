//! Flows and levels of all members at each time.
//!
//! At each time by itself the members are put in order, and the range is read as everywhere: nine in ten lie between
//! its ends. The ends in time are no member's course.

use quantity::Estimate;
use quantity::convert::{m3_to_l, s_to_h};

use super::answer::FlowInTime;
use super::gather::range;

/// Less flow than this is none, m³/s: a drop in ten seconds or so.
const NO_FLOW_M3_S: f64 = 1e-8;

/// Flow in time over the members, the plan as drawn first; a flow that ends sooner is none from there on.
pub(super) fn flow(members_m3_s: &[&[f64]], step_s: f64) -> FlowInTime {
    let last =
        |flow: &&[f64]| flow.iter().rposition(|m3_s| m3_s.abs() > NO_FLOW_M3_S).map_or(0, |step| step + 1);
    let steps = members_m3_s.iter().map(last).max().unwrap_or(0);
    let at = |flow: &[f64], step: usize| m3_to_l(flow.get(step).copied().unwrap_or(0.0));
    let ranges: Vec<Estimate> =
        (0..steps).map(|step| range(members_m3_s.iter().map(|flow| at(flow, step)))).collect();
    FlowInTime {
        step_h: s_to_h(step_s),
        flow_l_s: (0..steps).map(|step| members_m3_s.first().map_or(0.0, |flow| at(flow, step))).collect(),
        low_l_s: ranges.iter().map(|range| range.low()).collect(),
        high_l_s: ranges.iter().map(|range| range.high()).collect(),
    }
}

/// Mean flows in steps of another length, with the same water in them.
pub(super) fn in_steps_of(flow_m3_s: &[f64], step_s: f64, wanted_s: f64) -> Vec<f64> {
    let mut so_far_m3 = vec![0.0];
    for flow in flow_m3_s {
        so_far_m3.push(so_far_m3[so_far_m3.len() - 1] + flow * step_s);
    }
    let by_m3 = |at_s: f64| {
        let step = (at_s / step_s) as usize;
        match (so_far_m3.get(step), flow_m3_s.get(step)) {
            (Some(before_m3), Some(flow)) => before_m3 + flow * (at_s - step as f64 * step_s),
            _ => so_far_m3[so_far_m3.len() - 1],
        }
    };
    let steps = (flow_m3_s.len() as f64 * step_s / wanted_s).ceil() as usize;
    let in_step = |step: usize| by_m3((step + 1) as f64 * wanted_s) - by_m3(step as f64 * wanted_s);
    (0..steps).map(|step| in_step(step) / wanted_s).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 6, 0 and 12 m³/s over two minutes each are (6·120 + 0·120 + 12·60)/300 = 4.8 and 12·60/300 = 2.4 m³/s over five.
    #[test]
    fn other_steps_hold_the_same_water() {
        let five = in_steps_of(&[6.0, 0.0, 12.0], 120.0, 300.0);
        assert_eq!(five.len(), 2);
        assert!((five[0] - 4.8).abs() <= 1e-12 && (five[1] - 2.4).abs() <= 1e-12, "{five:?}");
        let one = in_steps_of(&[4.8, 2.4], 300.0, 60.0);
        assert_eq!(one.len(), 10);
        assert!((one[4] - 4.8).abs() <= 1e-12 && (one[5] - 2.4).abs() <= 1e-12, "{one:?}");
        assert!(in_steps_of(&[], 120.0, 300.0).is_empty());
    }

    /// Three members of which one is still dry and one ends sooner; nothing after the last drop is kept.
    #[test]
    fn the_members_are_put_in_order_at_each_time() {
        let drawn = [0.001, 0.003, 0.0, 0.0];
        let told = flow(&[&drawn, &[0.0, 0.002, 0.001], &[0.002]], 300.0);
        assert_eq!(told.flow_l_s, [1.0, 3.0, 0.0]);
        assert_eq!(told.low_l_s, [0.0, 0.0, 0.0]);
        assert_eq!(told.high_l_s, [2.0, 3.0, 1.0]);
        assert_eq!(flow(&[&[0.0, 0.0]], 300.0).flow_l_s, [0.0; 0]);
    }
}
