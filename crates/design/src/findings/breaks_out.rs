//! A storm that spills where no spill was meant to be.
//!
//! Unlike the other findings it needs a storm worked through in time, so it belongs to the answer of a rain test and
//! is not looked for by [`super::findings`]. One finding a line, at its worst place; the others are named.

use quantity::Estimate;
use quantity::figures::{fixed, range, significant};

use super::{Answer, Finding, Place, Severity};
use crate::layout::Layout;
use crate::rain_test::{self, Breakout, LineRain};

/// The finding's code.
pub const CODE: &str = "breaks-out";

const SOURCE: &str =
    "SLM technology card 02, fanya juu: keep the bank to its height, one overtopped sends the next over";
/// A breakout in more than this share of the draws is likely.
const LIKELY_FRAC: f64 = 0.5;
/// The share of the draws that a range leaves out at its upper end: fewer breakouts than that are unlikely.
const UNLIKELY_FRAC: f64 = 0.05;

/// Where a storm breaks out, the gravest first.
pub fn of_storm(layout: &Layout, storm: &rain_test::Answer) -> Answer {
    let mut findings: Vec<Finding> =
        storm.lines.iter().filter_map(|line| finding(layout, storm, line)).collect();
    findings.sort_by_key(|finding| finding.severity);
    Answer { findings }
}

fn finding(layout: &Layout, storm: &rain_test::Answer, line: &LineRain) -> Option<Finding> {
    let weighs = |breakout: &Breakout| breakout.chance_frac * breakout.volume_m3.likely();
    let heavier = |a, b| if weighs(b) > weighs(a) { b } else { a };
    let worst = line.breakouts.iter().reduce(heavier)?;
    let laid = layout.lines.iter().find(|laid| laid.line == line.line);
    let named = Place { line: Some(line.line.clone()), chainage_m: Some(worst.at_m), ..Place::default() };
    Some(Finding {
        code: CODE,
        severity: severity(line.breaks_out_frac),
        place: laid.map_or(named, |laid| Place::on(laid, worst.at_m)),
        values: vec![
            ("rain", rain_words(&storm.storm)),
            ("chance", chance_words(line.breaks_out_frac, storm.ensemble.members)),
            ("first_h", range(worst.first_h, 1)),
            ("peak_l_s", range(worst.peak_l_s, 1)),
            ("volume_m3", range(worst.volume_m3, 1)),
            ("goes", goes_words(&worst.to)),
            ("others", other_places(line, worst)),
            ("wash_out", wash_out_words(worst)),
            ("raise_cm", fixed(worst.raise_cm.high().ceil(), 0)),
        ],
        source: SOURCE,
    })
}

fn severity(breaks_out_frac: f64) -> Severity {
    if breaks_out_frac > LIKELY_FRAC {
        Severity::Stop
    } else if breaks_out_frac >= UNLIKELY_FRAC {
        Severity::Warn
    } else {
        Severity::Note
    }
}

fn rain_words(storm: &rain_test::StormTold) -> String {
    format!("{} mm in {} h", fixed(storm.depth_mm, 0), significant(storm.hours, 3))
}

fn chance_words(breaks_out_frac: f64, members: usize) -> String {
    if members == 1 {
        return "with every likely value".to_owned();
    }
    format!("in {} of {members} draws", fixed(breaks_out_frac * members as f64, 0))
}

fn goes_words(to: &str) -> String {
    if to == "ground" { "out over the ground below".to_owned() } else { format!("into “{to}”") }
}

/// The other places where the line breaks out; a sentence to follow another.
fn other_places(line: &LineRain, worst: &Breakout) -> String {
    let others = line.breakouts.iter().filter(|breakout| breakout.at_m != worst.at_m);
    let places: Vec<String> = others.map(|breakout| fixed(breakout.at_m, 0)).collect();
    if places.is_empty() { String::new() } else { format!(" Also at {} m.", places.join(", ")) }
}

/// Whether the spill grows by itself; a sentence to follow another.
fn wash_out_words(breakout: &Breakout) -> String {
    if breakout.washes_out_frac <= 0.0 {
        return String::new();
    }
    format!(
        " Here it runs down the bank's face at up to {} m/s where bare fill stands {}: the spill bites in and grows, \
         and what is held behind the bank goes at once.",
        fixed(Estimate::high(breakout.face_speed_m_s), 1),
        fixed(breakout.fill_stands_m_s, 2)
    )
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::super::messages::speak;
    use super::*;
    use crate::layout::lay_out;
    use crate::rain_test::{Request, rain_test};
    use crate::trial;

    #[test]
    fn half_of_the_draws_stop_and_one_in_twenty_warns() {
        let weights =
            [(0.51, Severity::Stop), (0.5, Severity::Warn), (0.05, Severity::Warn), (0.04, Severity::Note)];
        for (frac, expected) in weights {
            assert_eq!(severity(frac), expected, "{frac}");
        }
    }

    /// A tight swale whose bank is low at 14.5 m and whose sill is a hand wide: it breaks out there and nowhere else.
    #[test]
    fn a_low_bank_is_found_with_its_place_and_its_centimetres() {
        let mut site = trial::by_tape(&json!({
            "soil": [{ "name": "clay", "texture": "clay", "soak_mm_h": 0.0 }],
            "source": [{ "name": "hill", "kind": "hillside", "curve_number": 80.0 }],
            "line": [{
                "name": "one", "kind": "swale", "cross_slope": "10%", "catchment_m2": 1000.0,
                "tape": [{ "at_m": 0.0, "z_m": 100.0 }, { "at_m": 20.0, "z_m": 100.0 }],
                "bed_width_m": 0.5, "depth_m": 0.3, "bank_height_m": 0.3,
                "sill": [{ "at_m": 4.0, "width_m": 0.2, "below_bank_m": 0.12, "to": "ground" }],
            }],
        }));
        let dug = |(chainage_m, bank_z_m): (f64, f64)| site::DugLevel {
            chainage_m,
            bed_z_m: 99.7,
            bank_z_m: Some(bank_z_m),
        };
        let banks =
            [(0.0, 100.3), (4.0, 100.18), (12.0, 100.3), (14.5, 100.15), (17.0, 100.3), (20.0, 100.3)];
        site.dug.insert("one".to_owned(), banks.into_iter().map(dug).collect());
        let layout = lay_out(&site);
        let storm = crate::storms::storm(&site, &crate::storms::StormRequest::default()).unwrap();
        let answer = rain_test(&site, &layout, &Request::of(&storm, 1, 1), &|| ()).unwrap();
        let found = of_storm(&layout, &answer);
        let [finding] = found.findings.as_slice() else { panic!("{found:?}") };
        assert_eq!(finding.severity, Severity::Stop);
        assert!((finding.place.chainage_m.unwrap() - 14.5).abs() <= 1.0, "{finding:?}");
        let breakout = &answer.lines[0].breakouts[0];
        let raise = format!("by {} cm", fixed(breakout.raise_cm.likely().ceil(), 0));
        let spoken = speak(finding);
        assert!(spoken.remedy.contains(&raise), "{spoken:?}");
        assert!(spoken.says.contains("over the ground below"), "{spoken:?}");
        assert!(!spoken.says.contains('{') && !spoken.why.contains('{'), "{spoken:?}");
    }

    #[test]
    fn a_storm_that_is_held_finds_nothing() {
        let site = trial::by_tape(&json!({
            "soil": [{ "name": "loam", "texture": "loam", "soak_mm_h": 20.0 }],
            "source": [{ "name": "hill", "kind": "hillside", "curve_number": 60.0 }],
            "line": [{
                "name": "one", "kind": "swale", "cross_slope": "10%", "catchment_m2": 50.0,
                "tape": [{ "at_m": 0.0, "z_m": 100.0 }, { "at_m": 20.0, "z_m": 100.0 }],
                "bed_width_m": 0.5, "depth_m": 0.3, "bank_height_m": 0.3,
            }],
        }));
        let layout = lay_out(&site);
        let storm = crate::storms::storm(&site, &crate::storms::StormRequest::default()).unwrap();
        let answer = rain_test(&site, &layout, &Request::of(&storm, 1, 1), &|| ()).unwrap();
        assert!(of_storm(&layout, &answer).findings.is_empty());
    }
}
