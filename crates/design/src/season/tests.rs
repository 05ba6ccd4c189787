use grove::generator::{Climate, Days, Month};
use serde_json::{Value, json};

use super::*;
use crate::layout::lay_out;
use crate::trial;

/// Wet winters and dry summers, as at Quarry Bank.
const RAIN_MM: [f64; 12] = [82.0, 71.0, 60.0, 55.0, 38.0, 12.0, 3.0, 4.0, 24.0, 70.0, 95.0, 98.0];
const RAIN_DAYS: [f64; 12] = [11.0, 10.0, 9.0, 9.0, 6.0, 2.0, 0.6, 0.8, 4.0, 8.0, 10.0, 12.0];
const TMIN_C: [f64; 12] = [4.1, 4.8, 6.3, 8.0, 11.2, 14.5, 16.4, 16.6, 14.9, 11.7, 7.7, 5.2];
const TMAX_C: [f64; 12] = [13.2, 14.6, 17.3, 19.4, 23.6, 28.4, 31.9, 32.1, 28.6, 22.7, 17.0, 13.8];

fn climate() -> Value {
    json!({ "rain_mm": RAIN_MM, "rain_days": RAIN_DAYS, "tmin_c": TMIN_C, "tmax_c": TMAX_C })
}

/// A swale on the plane hill with trees at its toe; `more` adds or changes keys of the plan.
fn grove_site(more: &Value) -> Site {
    let tree = |name: &str, species: &str, at_m: f64| json!({ "name": name, "species": species, "line": "swale", "at_m": at_m, "downhill_m": 2.5 });
    let mut plan = json!({
        "soil": [{ "name": "hill", "texture": "loam", "soak_mm_h": { "low": 5.0, "likely": 12.0, "high": 25.0 }, "depth_m": 1.0 }],
        "source": [{ "name": "hill", "kind": "hillside", "curve_number": { "low": 70.0, "likely": 78.0, "high": 84.0 } }],
        "line": [{
            "name": "swale", "kind": "swale", "pegs": [[10.0, 30.0], [60.0, 30.0]],
            "bed_width_m": 0.5, "depth_m": 0.3, "bank_height_m": 0.3,
            "sill": [{ "at_m": 5.0, "width_m": 4.0, "below_bank_m": 0.15, "to": "ground" }],
        }],
        "climate": climate(),
        "tree": [tree("F", "fig", 15.0), tree("A", "almond", 25.0), tree("O", "olive", 35.0)],
    });
    for (key, value) in more.as_object().unwrap() {
        plan[key] = value.clone();
    }
    trial::on_the_hill(&plan)
}

fn run(site: &Site, request: &Request) -> Answer {
    season(site, &lay_out(site), request, &|| ()).unwrap()
}

fn years(years: u32, members: usize) -> Request {
    Request { years: Some(years), members, ..Request::default() }
}

/// No drop is lost on any day or over the whole run, in lines or in soil, whoever waters.
#[test]
fn every_drop_is_accounted_for() {
    let answer = run(&grove_site(&json!({})), &years(5, 6));
    let balance = answer.balance;
    for frac in [
        balance.lines_worst_day_frac,
        balance.lines_whole_run_frac,
        balance.soil_worst_day_frac,
        balance.soil_whole_run_frac,
    ] {
        assert!(frac <= 1e-9, "{balance:?}");
    }
    for line in &answer.lines {
        assert!(line.soaked_m3.likely() > 0.0 && line.arrived_m3.likely() >= line.soaked_m3.likely());
    }
}

/// The same request gives the same bits on one thread and on many.
#[test]
fn threads_change_nothing() {
    let site = grove_site(&json!({}));
    let one = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap();
    let many = rayon::ThreadPoolBuilder::new().num_threads(4).build().unwrap();
    let request = years(2, 5);
    assert_eq!(one.install(|| run(&site, &request)), many.install(|| run(&site, &request)));
}

/// Water carried by the rounds keeps trees from dry days in their first three years: the evening's want is met in the
/// morning, so that no dry day follows another.
#[test]
fn rounds_keep_trees_from_dry_spells() {
    let answer = run(&grove_site(&json!({})), &years(3, 1));
    assert!(!answer.rounds.is_empty());
    for tree in &answer.trees {
        let rounds_l: f64 = tree.water_rounds.iter().map(|round| round.litres).sum();
        assert!((rounds_l - tree.gets.litres_by_hand.likely()).abs() <= 1e-6 * rounds_l, "{tree:?}");
        // A round is due when one tree is dry: so many rounds, so many dry days at the most.
        assert!(tree.stands.dry_days.likely() > 20.0, "{}", tree.stands.dry_days.likely());
    }
    let all_l: f64 = answer.rounds.iter().map(|round| round.litres).sum();
    let of_trees_l: f64 = answer.trees.iter().map(|tree| tree.gets.litres_by_hand.likely()).sum();
    assert!((all_l - of_trees_l).abs() <= 1e-6 * all_l);
}

/// Mulch and lines never make a tree drier, and lines bring young trees water.
#[test]
fn lines_and_mulch_help() {
    let answer = run(&grove_site(&json!({})), &years(4, 1));
    for tree in &answer.trees {
        let Compare { lines_and_mulch, lines_only, mulch_only, neither, .. } = tree.compare;
        assert!(lines_and_mulch.dry_days <= lines_only.dry_days, "{tree:?}");
        assert!(lines_and_mulch.dry_days <= mulch_only.dry_days, "{tree:?}");
        assert!(mulch_only.dry_days <= neither.dry_days, "{tree:?}");
        assert!(tree.gets.litres_from_line.likely() > 0.0, "{tree:?}");
    }
}

#[test]
fn species_that_no_list_holds_are_left_out_with_the_nearest_name() {
    let trees = json!([
        { "name": "F", "species": "figg", "line": "swale", "at_m": 15.0 },
        { "name": "A", "species": "almond", "line": "swale", "at_m": 25.0 },
    ]);
    let answer = run(&grove_site(&json!({ "tree": trees })), &years(1, 1));
    assert_eq!(answer.trees.len(), 1);
    assert!(answer.left_out[0].because.contains("did you mean \"fig\"?"), "{:?}", answer.left_out);
}

#[test]
fn what_cannot_be_run_is_refused_with_advice() {
    let site = grove_site(&json!({}));
    let refused = |site: &Site, request: &Request| {
        season(site, &lay_out(site), request, &|| ()).unwrap_err().to_string()
    };
    let mut bare = site.clone();
    bare.plan.climate = None;
    assert!(refused(&bare, &Request::default()).contains("weather.csv"));
    assert!(refused(&site, &years(1, 0)).starts_with("0 members"));
    let (from, to) = (Day::new(2010, 1, 1), Day::new(2009, 1, 1));
    assert!(refused(&site, &Request { from, to, ..Request::default() }).contains("comes before"));
    let mut with_record = site.clone();
    let ordinary = Climate::new(
        std::array::from_fn(|i| Month {
            rain_mm: RAIN_MM[i],
            rain_days: RAIN_DAYS[i],
            tmin_c: TMIN_C[i],
            tmax_c: TMAX_C[i],
        }),
        Days::default(),
    );
    let record = ordinary.unwrap().draw(3, Day::new(2015, 10, 1).unwrap(), 400);
    with_record.measured.weather = Some(record);
    let outside = Request { from: Day::new(2030, 1, 1), ..Request::default() };
    assert!(refused(&with_record, &outside).contains("from 2015-10-01 to 2016-11-03"));
    let mut no_trees = site;
    no_trees.plan.trees.clear();
    assert!(refused(&no_trees, &years(1, 1)).contains("no tree"));
}

/// South of the equator the same climate half a year later dries the same trees half a year later: nine in ten dry days
/// lie in the summer months of either.
#[test]
fn hemispheres_mirror() {
    let turned = |months: [f64; 12]| -> [f64; 12] { std::array::from_fn(|i| months[(i + 6) % 12]) };
    let south = grove_site(&json!({
        "place": { "latitude_deg": -38.7, "elevation_m": 200.0 },
        "climate": {
            "rain_mm": turned(RAIN_MM), "rain_days": turned(RAIN_DAYS), "tmin_c": turned(TMIN_C), "tmax_c": turned(TMAX_C),
        },
    }));
    for (site, summer) in [(grove_site(&json!({})), [5, 6, 7, 8, 9]), (south, [11, 0, 1, 2, 3])] {
        for tree in run(&site, &years(5, 1)).trees {
            let months = &tree.stands.dry_days_by_month;
            let in_summer: f64 = summer.iter().map(|month: &usize| months[*month].likely()).sum();
            assert!(in_summer >= 0.9 * tree.stands.dry_days.likely(), "{tree:?}");
            assert!(tree.stands.dry_days.likely() > 20.0);
        }
    }
}

/// With a limit to what can be carried no week carries more, and what it costs in dry days is told.
#[test]
fn a_limit_to_what_is_carried_costs_dry_days() {
    let site = grove_site(&json!({}));
    let free = run(&site, &years(3, 1));
    let limited = run(&site, &Request { litres_per_week: Some(25.0), ..years(3, 1) });
    let first = Day::parse(&limited.period.from).unwrap().number();
    let mut weeks = std::collections::BTreeMap::new();
    for round in &limited.rounds {
        // Walked the morning after the evening it was due.
        let evening = Day::parse(&round.date).unwrap().number() - first - 1;
        *weeks.entry(evening / 7).or_insert(0.0) += round.litres;
    }
    assert!(weeks.values().all(|litres: &f64| *litres <= 25.0 + 1e-9), "{weeks:?}");
    let lost =
        |answer: &Answer| -> f64 { answer.trees.iter().map(|tree| tree.compare.as_carried.dry_days).sum() };
    assert!(lost(&limited) > lost(&free) + 10.0, "{} {}", lost(&limited), lost(&free));
}

/// The strips are the likely member's days: three years at most, and their litres those of the rounds.
#[test]
fn strips_are_the_days_of_the_rounds() {
    let site = grove_site(&json!({}));
    let request = years(4, 1);
    let answer = run(&site, &request);
    let strips = strips(&site, &lay_out(&site), &request).unwrap();
    for (strip, tree) in strips.iter().zip(&answer.trees) {
        assert!((1090..=1096).contains(&strip.days.len()), "{}", strip.days.len());
        let hand_l: f64 = strip.days.iter().map(|day| day.hand_l).sum();
        assert!((hand_l - tree.gets.litres_by_hand.likely()).abs() <= 0.02 * hand_l + 1e-9, "{hand_l}");
        assert!(strip.days.iter().all(|day| (0.0..=1.0).contains(&day.soil_frac)));
    }
}
