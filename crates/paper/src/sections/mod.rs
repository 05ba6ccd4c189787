//! Sections: along a line, drawn steeper than it is, and across it, drawn true.

mod across;
mod along;
pub(crate) mod facts;
pub(crate) mod profile;

pub use across::across;
pub use along::along;

use design::section::SectionAt;
use water::section::{Corner, Section};

/// Where water at a height meets the earth of a section, uphill and downhill, from the peg, positive downhill;
/// none where the bed is dry or the section cannot be built.
pub(crate) fn water_edges(place: &SectionAt, level_z_m: f64) -> Option<(f64, f64)> {
    let section = place.hand.section().ok()?;
    let outline = water_outline(&section, level_z_m - place.ground_z_m)?;
    Some((outline.first()?.offset_m, outline.last()?.offset_m))
}

/// The earth under water from one edge of the water to the other, for water at a level that is no higher than
/// the brim; none at the bed and below.
pub(crate) fn water_outline(section: &Section, level_z_m: f64) -> Option<Vec<Corner>> {
    let level_z_m = if level_z_m > section.brim_z_m() { section.brim_z_m() } else { level_z_m };
    if level_z_m <= section.bed_z_m() {
        return None;
    }
    let profile = section.profile();
    let crest = profile.iter().position(|c| *c == section.crest())?;
    let low = (0..crest).find(|i| profile[*i].z_m == section.bed_z_m())?;
    let mut outline = Vec::new();
    for i in (0..=low).rev() {
        outline.push(profile[i]);
        if profile[i].z_m >= level_z_m {
            break;
        }
    }
    outline.reverse();
    for corner in &profile[low + 1..] {
        outline.push(*corner);
        if corner.z_m >= level_z_m {
            break;
        }
    }
    let last = outline.len() - 1;
    outline[0] = at_level(outline[1], outline[0], level_z_m);
    outline[last] = at_level(outline[last - 1], outline[last], level_z_m);
    Some(outline)
}

/// The place between a drowned and a dry corner where the water ends.
fn at_level(wet: Corner, dry: Corner, level_z_m: f64) -> Corner {
    let rise_m = dry.z_m - wet.z_m;
    let share = if rise_m > 0.0 { ((level_z_m - wet.z_m) / rise_m).clamp(0.0, 1.0) } else { 1.0 };
    Corner { offset_m: wet.offset_m + share * (dry.offset_m - wet.offset_m), z_m: level_z_m }
}

#[cfg(test)]
mod tests {
    use super::*;
    use water::section::HandSection;

    fn hand() -> HandSection {
        HandSection {
            cross_slope: 0.1,
            bed_width_m: 0.5,
            depth_m: 0.3,
            cut_batter: 1.0,
            ledge_m: 0.25,
            bank_height_m: 0.3,
            bank_top_m: 0.3,
            bank_batter: 2.0,
        }
    }

    /// What is drawn is what is computed: the edges are as far apart as the section's own width of water.
    #[test]
    fn edges_are_the_width_of_the_water() {
        let section = hand().section().unwrap();
        for level_z_m in [-0.2, -0.05, 0.1, 0.2, 0.3] {
            let outline = water_outline(&section, level_z_m).unwrap();
            let width_m = outline.last().unwrap().offset_m - outline[0].offset_m;
            assert!(
                (width_m - section.top_width_m(level_z_m)).abs() < 1e-12,
                "{level_z_m}: {width_m} against {}",
                section.top_width_m(level_z_m)
            );
        }
        assert!(water_outline(&section, -0.3).is_none(), "dry at the bed");
    }

    /// Bed from −0.8 to −0.3; at 0.1 m below the peg the water reaches the cut at −0.1 downhill and, up the cut
    /// of 1 : 1, −0.8 − 0.2 uphill.
    #[test]
    fn edges_by_hand() {
        let place = SectionAt { chainage_m: 0.0, ground_z_m: 100.0, hand: hand(), measured_crest_z_m: None };
        let (uphill_m, downhill_m) = water_edges(&place, 99.9).unwrap();
        assert!((uphill_m + 1.0).abs() < 1e-9 && (downhill_m + 0.1).abs() < 1e-9);
    }
}
