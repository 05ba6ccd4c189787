//! Lines and their sills.

use super::{Fault, GROUND, name_faults, path_fault, planned_length_m};
use crate::{Line, LineKind, Plan, Sill, TapePeg};

pub(super) fn faults(plan: &Plan) -> Vec<Fault> {
    let mut faults = name_faults("line", plan.lines.iter().map(|line| line.name.as_str()));
    for (i, line) in plan.lines.iter().enumerate() {
        if line.name == GROUND {
            let found = format!("line {} is named \"{GROUND}\", which stands for safe ground", i + 1);
            faults.push(Fault::new(
                format!("line[{i}].name"),
                "name-reserved",
                found,
                "give it another name",
            ));
        }
        let checked =
            Checked { plan, line, path: format!("line[{i}]"), label: format!("line \"{}\"", line.name) };
        faults.extend(checked.way_faults());
        faults.extend(checked.grade_fault());
        faults.extend(checked.section_faults());
        faults.extend(checked.sill_faults());
    }
    faults
}

/// A line being checked.
struct Checked<'a> {
    plan: &'a Plan,
    line: &'a Line,
    path: String,
    label: String,
}

impl Checked<'_> {
    fn fault(&self, key: &str, code: &'static str, found: &str, advice: &str) -> Fault {
        let path = if key.is_empty() { self.path.clone() } else { format!("{}.{key}", self.path) };
        Fault::new(path, code, format!("{}: {found}", self.label), advice)
    }

    /// Exactly one of pegs, from and tape says where it runs, and what goes with it is there.
    fn way_faults(&self) -> Vec<Fault> {
        let line = self.line;
        match (&line.pegs, &line.from, &line.tape) {
            (Some(pegs), None, None) => {
                let fault = path_fault(&format!("{}.pegs", self.path), &self.label, "pegs", pegs);
                fault.into_iter().chain(self.walk_keys_without_walk()).collect()
            }
            (None, Some(_), None) => self.walk_faults(),
            (None, None, Some(tape)) => {
                let mut faults = self.tape_faults(tape);
                faults.extend(self.walk_keys_without_walk());
                faults
            }
            (None, None, None) => vec![self.fault(
                "",
                "line-nowhere",
                "nothing says where it runs",
                "write pegs (places), from (a start to walk from) or tape (distances and heights)",
            )],
            _ => vec![self.fault(
                "",
                "line-twice",
                "more than one of pegs, from and tape says where it runs",
                "keep the one you measured",
            )],
        }
    }

    fn walk_faults(&self) -> Vec<Fault> {
        let mut faults = Vec::new();
        if self.plan.ground.is_none() {
            faults.push(self.fault(
                "from",
                "walk-without-ground",
                "from starts a walk over the ground, and no [ground] is given",
                "add [ground] with a raster or points, or give the line by tape",
            ));
        }
        if self.line.toward.is_some() && self.line.toward == self.line.from {
            let found = "toward is the place of from";
            faults.push(self.fault(
                "toward",
                "toward-nowhere",
                found,
                "write a place further along the line",
            ));
        }
        if self.line.kind != LineKind::Swale && self.line.grade.is_none() {
            let found = format!("a {} that is walked needs its fall", self.line.kind);
            faults.push(self.fault("grade", "no-grade", &found, "add grade, such as \"1:200\""));
        }
        faults
    }

    fn walk_keys_without_walk(&self) -> Vec<Fault> {
        let keys = [("toward", self.line.toward.is_some()), ("length_m", self.line.length_m.is_some())];
        let given = keys.iter().filter(|(_, given)| *given);
        given
            .map(|(key, _)| {
                let found = format!("{key} guides a walk, and the line does not begin with from");
                self.fault(key, "key-without-use", &found, "delete it")
            })
            .collect()
    }

    fn tape_faults(&self, tape: &[TapePeg]) -> Vec<Fault> {
        let mut faults = Vec::new();
        if tape.len() < 2 {
            let found = format!("tape has {} peg", tape.len());
            faults.push(self.fault(
                "tape",
                "tape-too-short",
                &found,
                "give at least the first and the last peg",
            ));
        } else if tape[0].at_m != 0.0 {
            let found = format!("tape begins at {} m", tape[0].at_m);
            faults.push(self.fault(
                "tape[0].at_m",
                "tape-not-from-0",
                &found,
                "count from the first peg, at_m = 0",
            ));
        }
        for (i, pair) in tape.windows(2).enumerate() {
            if pair[1].at_m <= pair[0].at_m {
                let found = format!("tape goes from {} m to {} m", pair[0].at_m, pair[1].at_m);
                let key = format!("tape[{}].at_m", i + 1);
                let advice = "give its pegs in walking order, each further from the first";
                faults.push(self.fault(&key, "tape-out-of-order", &found, advice));
            }
        }
        match self.line.cross_slope {
            None => faults.push(self.fault(
                "cross_slope",
                "no-cross-slope",
                "a line given by tape needs the slope of the ground across it",
                "add cross_slope, such as \"12%\": hold a level stick straight downhill and measure under its end",
            )),
            Some(slope) if slope.rise_run() < 0.0 => faults.push(self.fault(
                "cross_slope",
                "cross-slope-negative",
                &format!("cross_slope = \"{slope}\" falls uphill"),
                "write it without its sign",
            )),
            Some(_) => {}
        }
        if self.line.kind == LineKind::Swale && self.line.catchment_m2.is_none() {
            let found = "a swale given by tape needs the ground that drains to it";
            let advice =
                "add catchment_m2, length times width as paced; 0 where only drains and roofs feed it";
            faults.push(self.fault("catchment_m2", "no-catchment", found, advice));
        }
        faults
    }

    fn grade_fault(&self) -> Option<Fault> {
        let grade = self.line.grade?;
        (grade.rise_run() < 0.0).then(|| {
            let found = format!("grade = \"{grade}\" climbs, and water does not");
            self.fault(
                "grade",
                "grade-climbs",
                &found,
                "write the fall in walking order, or walk from the other end",
            )
        })
    }

    fn section_faults(&self) -> Vec<Fault> {
        let line = self.line;
        let mut faults = Vec::new();
        if line.kind == LineKind::Pipe {
            if line.pipe_diameter_m.is_none() {
                let found = "a pipe needs its inner width";
                faults.push(self.fault("pipe_diameter_m", "no-section", found, "add pipe_diameter_m"));
            }
            if !line.sills.is_empty() {
                faults.push(self.fault("sill", "sill-on-pipe", "a pipe has no sills", "write its end as to"));
            }
            return faults;
        }
        if line.pipe_diameter_m.is_some() {
            let found = format!("pipe_diameter_m is for a pipe, and this is a {}", line.kind);
            faults.push(self.fault(
                "pipe_diameter_m",
                "key-without-use",
                &found,
                "delete it, or correct kind",
            ));
        }
        let section = [
            ("bed_width_m", line.bed_width_m),
            ("depth_m", line.depth_m),
            ("bank_height_m", line.bank_height_m),
        ];
        let missing: Vec<&str> =
            section.iter().filter(|(_, value)| value.is_none()).map(|(key, _)| *key).collect();
        if !missing.is_empty() {
            let found = format!("a {} has no section without {}", line.kind, missing.join(", "));
            faults.push(self.fault(
                "",
                "no-section",
                &found,
                "add what is missing; bank_height_m = 0 for a line without a bank",
            ));
        }
        if line.depth_m == Some(0.0) && line.bank_height_m == Some(0.0) {
            let found = "it has neither trench nor bank: depth_m and bank_height_m are both 0";
            faults.push(self.fault("depth_m", "no-room", found, "give it one of the two"));
        }
        faults
    }

    fn sill_faults(&self) -> Vec<Fault> {
        let mut faults = Vec::new();
        let length_m = planned_length_m(self.line);
        for (i, sill) in self.line.sills.iter().enumerate() {
            faults.extend(self.sill_beyond(i, sill, length_m));
            faults.extend(self.sill_too_low(i, sill));
            let overlaps =
                |other: &Sill| (other.at_m - sill.at_m).abs() < 0.5 * (other.width_m + sill.width_m);
            if let Some(first) = self.line.sills[..i].iter().position(overlaps) {
                let found = format!("sills {} and {} overlap", first + 1, i + 1);
                faults.push(self.fault(
                    &format!("sill[{i}].at_m"),
                    "sills-overlap",
                    &found,
                    "make one of them wider, or move one",
                ));
            }
        }
        faults
    }

    fn sill_beyond(&self, i: usize, sill: &Sill, length_m: Option<f64>) -> Option<Fault> {
        let begins_m = sill.at_m - 0.5 * sill.width_m;
        let ends_m = sill.at_m + 0.5 * sill.width_m;
        let key = format!("sill[{i}].at_m");
        let advice = "at_m is the middle of the sill, counted from the first peg";
        if begins_m < 0.0 {
            let found = format!("sill {} begins {:.1} m before the first peg", i + 1, -begins_m);
            return Some(self.fault(&key, "sill-beyond-line", &found, advice));
        }
        let length_m = length_m.filter(|length_m| ends_m > *length_m)?;
        let found = format!("sill {} ends at {ends_m:.1} m, and the line is {length_m:.1} m long", i + 1);
        let measure = match (&self.line.pegs, &self.line.tape) {
            (Some(_), _) => "pegs",
            (_, Some(_)) => "tape",
            _ => "length_m",
        };
        let fault = self.fault(&key, "sill-beyond-line", &found, advice);
        Some(fault.resting_on(format!("{}.{measure}", self.path)))
    }

    /// A sill at or below the bed leaves nothing to hold.
    fn sill_too_low(&self, i: usize, sill: &Sill) -> Option<Fault> {
        let room_m = self.line.depth_m? + self.line.bank_height_m?;
        (sill.below_bank_m >= room_m).then(|| {
            let found = format!(
                "sill {} lies {} m below the bank, and the bed only {room_m:.2} m: it would hold nothing",
                i + 1,
                sill.below_bank_m
            );
            self.fault(
                &format!("sill[{i}].below_bank_m"),
                "sill-below-bed",
                &found,
                "write how far the crest lies below the settled bank",
            )
        })
    }
}
