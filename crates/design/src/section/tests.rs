use super::*;
use crate::layout::lay_out;
use crate::trial;
use serde_json::{Value, json};
use site::Site;

/// 8 m of tape on level ground at 10 m, 10 % across, trench 0.3 m, bank 0.25 m, sill 2 m wide at 4 m.
fn level_tape() -> Value {
    json!({ "line": [{
        "name": "t", "kind": "swale", "cross_slope": "10%", "bed_width_m": 0.5, "depth_m": 0.3, "bank_height_m": 0.25,
        "tape": [{ "at_m": 0.0, "z_m": 10.0 }, { "at_m": 8.0, "z_m": 10.0 }],
        "sill": [{ "at_m": 4.0, "width_m": 2.0, "below_bank_m": 0.1, "to": "ground" }],
    }] })
}

fn sections_of(site: &Site) -> Result<Sections, SectionUnknown> {
    sections(site, &site.plan.lines[0], &lay_out(site).lines[0])
}

fn level(chainage_m: f64, bed_z_m: f64, bank_z_m: f64) -> DugLevel {
    DugLevel { chainage_m, bed_z_m, bank_z_m: Some(bank_z_m) }
}

#[test]
fn planned_bed_and_bank_follow_the_pegs() {
    let site = trial::by_tape(&level_tape());
    let sections = sections_of(&site).unwrap();
    assert!(!sections.as_dug);
    assert_eq!(sections.bank_top_z_m(4.0), 10.25);
    assert!((sections.crest_z_m(&site.plan.lines[0].sills[0]) - 10.15).abs() < 1e-12);
    let shape = sections.shape().unwrap();
    assert!((shape.lowest_bed().z_m - 9.7).abs() < 1e-12);
    assert!((shape.lowest_bank().z_m - 10.25).abs() < 1e-12);
}

/// Levels taken inside the sill (3 to 5 m) are of its crest; the bank there is bridged from 2 and 6 m.
#[test]
fn as_dug_the_levels_rule() {
    let mut site = trial::by_tape(&level_tape());
    let levels = vec![
        level(0.0, 9.72, 10.24),
        level(2.0, 9.70, 10.26),
        level(4.0, 9.68, 10.17),
        level(6.0, 9.70, 10.16),
        level(8.0, 9.71, 10.25),
    ];
    site.dug.insert("t".to_owned(), levels);
    let sections = sections_of(&site).unwrap();
    assert!(sections.as_dug);
    assert_eq!(sections.crest_z_m(&site.plan.lines[0].sills[0]), 10.17);
    assert!((sections.bank_top_z_m(4.0) - (10.26 + 10.16) / 2.0).abs() < 1e-12);
    let shape = sections.shape().unwrap();
    assert_eq!((shape.lowest_bank().chainage_m, shape.lowest_bed().chainage_m), (6.0, 4.0));
    assert!((shape.lowest_bank().z_m - 10.16).abs() < 1e-12);
}

#[test]
fn a_dug_bed_above_the_ground_is_refused_with_the_reason() {
    let mut site = trial::by_tape(&level_tape());
    site.dug.insert("t".to_owned(), vec![level(0.0, 109.7, 110.2), level(8.0, 109.7, 110.2)]);
    let refused = sections_of(&site).unwrap_err();
    assert!(matches!(refused, SectionUnknown::BedAboveGround { .. }));
    assert!(refused.to_string().contains("same datum"), "{refused}");
}

/// Pegs 20 m apart over a hump at x = 30 are looked at every 2 m: nine places between, the middle one higher.
#[test]
fn ground_between_far_pegs_is_looked_at() {
    let site = trial::on_ground(
        &json!({ "line": [{ "name": "d", "kind": "swale", "pegs": [[20.5, 30.5], [40.5, 30.5]], "depth_m": 0.3, "bed_width_m": 0.5 }] }),
        |at| trial::hill_z_m(at) + if (at.x_m - 30.5).abs() < 0.1 { 0.2 } else { 0.0 },
    );
    let sections = sections_of(&site).unwrap();
    assert_eq!(sections.places.len(), 11);
    let middle = sections.places[5];
    assert!(
        (middle.chainage_m - 10.0).abs() < 1e-9 && (middle.ground_z_m - 103.25).abs() < 1e-9,
        "{middle:?}"
    );
}

#[test]
fn what_is_missing_is_named() {
    let mut plan = level_tape();
    plan["line"][0].as_object_mut().unwrap().remove("cross_slope");
    assert_eq!(sections_of(&trial::by_tape(&plan)), Err(SectionUnknown::NoCrossSlope));
    let pegs = json!({ "line": [{ "name": "p", "kind": "swale", "pegs": [[0.0, 0.0], [9.0, 0.0]] }] });
    assert_eq!(sections_of(&trial::by_tape(&pegs)), Err(SectionUnknown::NoHeights));
    let steep = json!({ "line": [{
        "name": "s", "kind": "swale", "cross_slope": "60%", "bed_width_m": 0.5, "depth_m": 0.3, "bank_height_m": 0.25,
        "tape": [{ "at_m": 0.0, "z_m": 10.0 }, { "at_m": 8.0, "z_m": 10.0 }],
    }] });
    let refused = sections_of(&trial::by_tape(&steep)).unwrap().shape().unwrap_err();
    assert!(matches!(refused, SectionUnknown::Section { .. }), "{refused}");
}
