use serde_json::{Value, json};
use site::Site;

use super::*;
use crate::layout::lay_out;
use crate::trial;

fn swale(name: &str, y_m: f64, length_m: f64, to: &str) -> Value {
    json!({
        "name": name, "kind": "swale", "pegs": [[10.0, y_m], [10.0 + length_m, y_m]],
        "bed_width_m": 0.5, "depth_m": 0.3, "bank_height_m": 0.3,
        "sill": [{ "at_m": 5.0, "width_m": 4.0, "below_bank_m": 0.15, "to": to }],
    })
}

/// Two swales on the plane hill, the upper 40 m and the lower 20 m long; trees on those named.
fn two_lines(trees: &[&str]) -> Site {
    let trees: Vec<Value> = trees
        .iter()
        .enumerate()
        .map(|(i, line)| {
            json!({ "name": format!("t{i}"), "species": "fig", "line": line, "at_m": 3.0 + 5.0 * i as f64 })
        })
        .collect();
    trial::on_the_hill(&json!({
        "soil": [{ "name": "hill", "texture": "loam" }],
        "source": [{ "name": "pasture", "kind": "hillside", "curve_number": 70.0 }],
        "line": [swale("upper", 40.0, 40.0, "lower"), swale("lower", 20.0, 20.0, "ground")],
        "tree": trees,
    }))
}

fn dig(site: &Site, people: u32, days: Option<u32>) -> Answer {
    let layout = lay_out(site);
    let sizes = sizes::sizes(site, &layout);
    digging(site, &layout, &sizes, Hands { people, days })
}

fn names(answer: &Answer) -> Vec<&str> {
    answer.order.iter().map(|turn| turn.line.as_str()).collect()
}

/// Both lines have one section, so digging goes with length: the upper is twice the lower. The cut is (0.5 + 0.3) · 0.3 = 0.24 m²
/// and what the slope adds: bed and uphill side rise 10 %, so the uphill lip is d = (0.3 + 0.1·0.8)/(1 − 0.1) = 0.4222 m beyond the
/// bed; the corners of [`CUT_M2`] give 0.30722 m², 12.289 m³ and 6.144 m³, 8.193 and 4.096 person-days at 1.5 m³.
#[test]
fn two_lines_by_hand() {
    let answer = dig(&two_lines(&["upper", "lower"]), 2, None);
    assert_eq!(names(&answer), ["upper", "lower"]);
    assert!(!answer.days_are_few);
    let [upper, lower] = &answer.order[..] else { panic!("two turns") };
    assert!((upper.person_days.likely() - 2.0 * lower.person_days.likely()).abs() < 1e-9);
    assert!((upper.cut_m3 - 40.0 * CUT_M2).abs() < 1e-9, "{}", upper.cut_m3);
    // A blade of 0.25 m by 0.2 m along 40 m: 2 m³, 1.333 person-days.
    let tried = upper.trial.unwrap();
    assert!((tried.cut_m3 - 2.0).abs() < 1e-12 && (tried.person_days - 2.0 / 1.5).abs() < 1e-9);
    // Trials 2.0 person-days: half a day, then one: 1.5 days, two whole. Sections 18.433/1.5 − 2 = 10.29: 5.1 days, six.
    let all = 60.0 * CUT_M2 / 1.5;
    assert!((answer.person_days.likely() - all).abs() < 1e-9);
    assert_eq!(answer.needed_days.likely(), 8.0);
    assert_eq!(answer.days.len(), 8);
    assert_eq!((answer.days[1].stage, answer.days[2].stage), (Stage::Trial, Stage::Section));
}

/// Area of the cut on the plane hill: corners from the uphill lip (−1.2222, +0.12222), bed (−0.8, −0.3) and (−0.3, −0.3), peg (0, 0).
const CUT_M2: f64 = 0.5 * (0.464_444_444_444_444_4 + 0.15);

/// With trees on the lower line alone and few days, the lower line comes first and the upper one waits.
#[test]
fn few_days_go_where_the_trees_drink() {
    let site = two_lines(&["lower"]);
    let answer = dig(&site, 2, Some(4));
    assert_eq!(names(&answer), ["lower"]);
    assert_eq!(answer.later, ["upper"]);
    assert!(answer.days_are_few);
    assert!(answer.needed_days.likely() <= 4.0);
    assert_eq!(answer.grove.trees, 1);
    // The same days with trees on the upper line alone: it does not fit, and the lower, without trees, is all that does.
    let answer = dig(&two_lines(&["upper"]), 2, Some(4));
    assert_eq!(names(&answer), ["lower"]);
    assert_eq!(answer.grove.trees, 0);
}

/// The upper line spills onto the ground of the lower one; where its landing does not stand that, the lower is dug first.
#[test]
fn a_line_waits_for_the_one_it_would_pour_on() {
    let mut site = two_lines(&["upper", "lower"]);
    let standing = dig(&site, 2, None);
    assert_eq!(names(&standing), ["upper", "lower"]);
    assert_eq!(standing.order[0].spills_meanwhile_over, ["lower"]);
    site.plan.rain.design.depth_mm = 900.0;
    site.plan.rain.design.worst_ten_minutes_mm = Some(150.0);
    site.plan.lines[0].sills[0].landing = Some(site::Lining::Bare);
    let pouring = dig(&site, 2, None);
    assert_eq!(names(&pouring), ["lower", "upper"]);
    let none_left = |turn: &Turn| turn.pours_unsafely_on.is_empty() && turn.spills_meanwhile_over.is_empty();
    assert!(pouring.order.iter().all(none_left));
}

/// A drain pours all it carries on one place: what takes it is dug first, however high the drain lies.
#[test]
fn a_drain_is_opened_last() {
    let site = trial::on_the_hill(&json!({
        "soil": [{ "name": "hill", "texture": "loam" }],
        "line": [
            { "name": "drain", "kind": "drain", "pegs": [[50.0, 50.0], [60.0, 49.8]], "bed_width_m": 0.3, "depth_m": 0.2, "to": "swale" },
            swale("swale", 30.0, 20.0, "ground"),
        ],
    }));
    let answer = dig(&site, 1, None);
    assert_eq!(names(&answer), ["swale", "drain"]);
}

#[test]
fn what_is_dug_already_is_not_dug_again() {
    let mut site = two_lines(&["lower"]);
    let level = |chainage_m: f64| site::DugLevel { chainage_m, bed_z_m: 103.7, bank_z_m: Some(104.3) };
    site.dug.insert("upper".to_owned(), vec![level(0.0), level(40.0)]);
    let answer = dig(&site, 1, None);
    assert_eq!(names(&answer), ["lower"]);
    let [upper] = &answer.already_dug[..] else { panic!("one is dug") };
    assert_eq!(upper.line, "upper");
    assert_eq!(upper.spills_meanwhile_over, ["lower"]);
}

/// No number of days makes a line fit that is longer than all of them: nothing is begun, and nothing is lost.
#[test]
fn too_few_days_for_anything() {
    let answer = dig(&two_lines(&["lower"]), 1, Some(1));
    assert!(answer.order.is_empty() && answer.days.is_empty());
    assert_eq!(answer.later, ["upper", "lower"]);
    assert_eq!(answer.supplies.rock_m3, 0.0);
}

/// Work at 40 for a person-day and straw without a price: 60 m of cut in 12.29 likely days, and two trees in 2/13.
#[test]
fn costs_by_hand() {
    let mut site = two_lines(&["upper", "lower"]);
    site.plan.prices = serde_json::from_value(json!({ "currency": "EUR", "work_per_person_day": 40.0, "tree_each": { "low": 5.0, "likely": 8.0, "high": 12.0 } })).unwrap();
    let costs = dig(&site, 2, None).costs.unwrap();
    let work = costs.things.iter().find(|cost| cost.thing == "work").unwrap().cost;
    assert!((work.likely() - 40.0 * (60.0 * CUT_M2 / 1.5 + 2.0 / 13.0)).abs() < 1e-9);
    // Two trees and one in reserve.
    let trees = costs.things.iter().find(|cost| cost.thing == "trees").unwrap().cost;
    assert_eq!((trees.low(), trees.likely(), trees.high()), (15.0, 24.0, 36.0));
    assert!((costs.total_cost.likely() - work.likely() - trees.likely()).abs() < 1e-9);
    assert!(costs.without_price.contains(&"straw") && !costs.without_price.contains(&"rock"));
}

/// The same site gives the same answer, number for number.
#[test]
fn the_same_twice() {
    let site = two_lines(&["upper", "lower"]);
    assert_eq!(dig(&site, 3, Some(6)), dig(&site, 3, Some(6)));
}

/// More people never need more days, and more days never leave more lines for later.
#[test]
fn more_hands_and_more_days() {
    let site = two_lines(&["upper", "lower"]);
    for people in 1..12 {
        let (few, more) = (dig(&site, people, None), dig(&site, people + 1, None));
        assert!(more.needed_days.likely() <= few.needed_days.likely(), "{people}");
        assert!(more.needed_days.high() <= few.needed_days.high(), "{people}");
    }
    for days in 1..20 {
        let (few, more) = (dig(&site, 2, Some(days)), dig(&site, 2, Some(days + 1)));
        assert!(more.later.len() <= few.later.len(), "{days}");
    }
}

/// The keys that other programs read, each with its unit.
#[test]
fn json_shape() {
    let answer = dig(&two_lines(&["upper", "lower"]), 2, None);
    let mut keys = Vec::new();
    shape("", &serde_json::to_value(&answer).unwrap(), &mut keys);
    keys.sort();
    keys.dedup();
    insta::assert_snapshot!(keys.join("\n"));
}

fn shape(path: &str, value: &Value, keys: &mut Vec<String>) {
    match value {
        Value::Object(map) if map.contains_key("likely") => keys.push(format!("{path}: low, likely, high")),
        Value::Object(map) => {
            for (key, value) in map {
                shape(&format!("{path}.{key}"), value, keys);
            }
        }
        Value::Array(values) => {
            for value in values {
                shape(&format!("{path}[]"), value, keys);
            }
        }
        _ => keys.push(path.to_owned()),
    }
}
