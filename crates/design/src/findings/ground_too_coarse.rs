//! Ground measured too far apart to show what a small ditch needs.

use ground::{FURTHEST_APART_M, Spacing};
use quantity::convert::m_to_cm;
use quantity::figures::{fixed, significant};

use super::{Facts, Finding, Place, Severity};

/// The finding's code.
pub const CODE: &str = "ground-too-coarse";

/// The ditch people dig by hand. Common practice, no source.
const DITCH_DEPTH_M: f64 = 0.20;

/// One finding for the ground as a whole.
pub fn find(facts: &Facts) -> Vec<Finding> {
    let spacing = facts.site.ground.as_ref().and_then(|surface| surface.spacing());
    let coarse = spacing.filter(|spacing| !spacing.shows_ditch(DITCH_DEPTH_M));
    coarse.iter().map(finding).collect()
}

fn finding(spacing: &Spacing) -> Finding {
    let too_far = spacing.most_m > FURTHEST_APART_M;
    let most = format!(", and {} m is the most that serves", significant(FURTHEST_APART_M, 1));
    let bulge = spacing.bulge_m.map_or_else(
        || "how far the ground bulges between them is not known".to_owned(),
        |bulge_m| format!("the ground bulges by {} cm between them", fixed(m_to_cm(bulge_m), 1)),
    );
    Finding {
        code: CODE,
        severity: Severity::Warn,
        place: Place::default(),
        values: vec![
            ("most_m", significant(spacing.most_m, 2)),
            ("limit", if too_far { most } else { String::new() }),
            ("bulge", bulge),
            ("ditch_cm", fixed(m_to_cm(DITCH_DEPTH_M), 0)),
        ],
        source: "common practice: places at most 5 m apart, and a bulge of at most a quarter of the ditch's depth",
    }
}

#[cfg(test)]
mod tests {
    use ground::{Frame, Grid, Surface};

    use super::super::sample::Sample;
    use super::*;

    /// Cells 2 m apart on z = x²/100 and x²/10 bulge by a·d²/8 = 1 and 10 cm (a twice the factor); a quarter of
    /// 20 cm is 5. Cells 6 m apart are too far on any ground.
    #[test]
    fn bent_or_sparse_ground_warns() {
        for (cell_m, bend, warns) in [(2.0, 0.01, false), (2.0, 0.1, true), (6.0, 0.0, true)] {
            let mut sample = Sample::sound();
            let frame = Frame { columns: 30, rows: 30, cell_m, west_m: -20.0, north_m: 30.0 };
            let surface = Grid::from_fn(frame, |p| Some(bend * p.x_m * p.x_m));
            sample.site.ground = Some(Surface::Grid(surface));
            assert_eq!(find(&sample.facts()).len(), usize::from(warns), "{cell_m} m, {bend}");
        }
        assert!(find(&Sample::sound().facts()).is_empty());
    }
}
