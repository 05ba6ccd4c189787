//! What arrives in a step, exactly, however the step lies over the inflow's own.

use super::inflow::Inflow;

/// An inflow as volumes since time 0, for exact sums over steps of any length.
#[derive(Debug, Clone)]
pub(super) struct Arrivals {
    first_cell: usize,
    shares: Vec<f64>,
    step_s: f64,
    flow_m3_s: Vec<f64>,
    /// Volume at the start of each step, and at the end of the last.
    so_far_m3: Vec<f64>,
}

impl Arrivals {
    pub(super) fn new(inflow: &Inflow, first_cell: usize) -> Arrivals {
        let mut so_far_m3 = vec![0.0];
        let mut sum_m3 = 0.0;
        for flow_m3_s in &inflow.flow_m3_s {
            sum_m3 += flow_m3_s * inflow.step_s;
            so_far_m3.push(sum_m3);
        }
        Arrivals {
            first_cell,
            shares: inflow.shares.clone(),
            step_s: inflow.step_s,
            flow_m3_s: inflow.flow_m3_s.clone(),
            so_far_m3,
        }
    }

    fn so_far_m3(&self, at_s: f64) -> f64 {
        let steps = self.flow_m3_s.len();
        let step = (at_s / self.step_s) as usize;
        if step >= steps {
            return self.so_far_m3[steps];
        }
        self.so_far_m3[step] + self.flow_m3_s[step] * (at_s - step as f64 * self.step_s)
    }

    /// Adds what arrives from one time to another, cell by cell. A step that lies within one step of the flow takes
    /// rate × time: the difference of two large sums would lose digits.
    pub(super) fn add(&self, from_s: f64, to_s: f64, arriving_m3: &mut [f64]) {
        let (first, last) = ((from_s / self.step_s) as usize, (to_s / self.step_s) as usize);
        let volume_m3 = if first == last {
            self.flow_m3_s.get(first).map_or(0.0, |flow_m3_s| flow_m3_s * (to_s - from_s))
        } else {
            self.so_far_m3(to_s) - self.so_far_m3(from_s)
        };
        if volume_m3 == 0.0 {
            return;
        }
        for (cell, share) in self.shares.iter().enumerate() {
            arriving_m3[self.first_cell + cell] += share * volume_m3;
        }
    }

    /// The next time after `at_s` at which the flow changes.
    pub(super) fn next_change_s(&self, at_s: f64) -> f64 {
        let mut step = (at_s / self.step_s) as usize;
        while step < self.flow_m3_s.len() {
            let next = self.flow_m3_s.get(step + 1).copied().unwrap_or(0.0);
            let change_s = (step as f64 + 1.0) * self.step_s;
            if next != self.flow_m3_s[step] && change_s > at_s {
                return change_s;
            }
            step += 1;
        }
        f64::INFINITY
    }
}
