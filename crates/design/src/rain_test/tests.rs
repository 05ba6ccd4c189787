use proptest::prelude::*;
use quantity::convert::{h_to_s, mm_to_m};
use serde_json::{Value, json};
use site::Site;

use super::*;
use crate::layout::lay_out;
use crate::trial;

/// A level swale of 20 m by tape, tight, with a sill; `more` adds or changes keys of the line.
fn swale(name: &str, z_m: f64, more: &Value) -> Value {
    let mut line = json!({
        "name": name, "kind": "swale", "cross_slope": "10%", "catchment_m2": 1000.0,
        "tape": [{ "at_m": 0.0, "z_m": z_m }, { "at_m": 20.0, "z_m": z_m }],
        "bed_width_m": 0.5, "depth_m": 0.3, "bank_height_m": 0.3,
        "sill": [{ "at_m": 4.0, "width_m": 2.0, "below_bank_m": 0.12, "to": "ground" }],
    });
    for (key, value) in more.as_object().unwrap() {
        line[key] = value.clone();
    }
    line
}

fn site_of(lines: &[Value], soak_mm_h: &Value) -> Site {
    trial::by_tape(&json!({
        "soil": [{ "name": "clay", "texture": "clay", "soak_mm_h": soak_mm_h }],
        "source": [{ "name": "hill", "kind": "hillside", "curve_number": { "low": 75.0, "likely": 80.0, "high": 85.0 } }],
        "line": lines,
    }))
}

fn request(depth_mm: f64, members: usize) -> Request {
    Request {
        storm: Storm::even(mm_to_m(depth_mm), h_to_s(6.0)).unwrap(),
        shape: "falling evenly".to_owned(),
        wetness: Wetness::Usual,
        lines_before: LinesBefore::Empty,
        days_before_mm: Vec::new(),
        members,
        seed: 1,
        snapshots_h: vec![1.0, 6.0],
    }
}

fn tested(site: &Site, request: &Request) -> Answer {
    rain_test(site, &lay_out(site), request, &|| ()).unwrap()
}

/// No soak, 20 m of the section of `docs/methods/pegs-and-sizes.md`, which holds 0.5594 m² to its sill: 11.19 m³. Of
/// 60 mm CN 80 sheds (60 − 12.7)²/(60 + 50.8) = 20.192 mm, 20.19 m³ off 1000 m², and the trench itself catches more:
/// its width at the brim × 20 m × 60 mm. What does not fit spills over the sill, all of it.
#[test]
fn a_tight_swale_spills_exactly_its_surplus() {
    let site = site_of(&[swale("one", 100.0, &json!({}))], &json!(0.0));
    let answer = tested(&site, &request(60.0, 1));
    let line = &answer.lines[0];
    let layout = lay_out(&site);
    let asked = request(60.0, 1);
    let prepared = Prepared::of(&site, &layout).unwrap();
    let trial = prepared.trial(&asked);
    let catches_m2: f64 = trial.works.lines[0].pieces.iter().map(build::Piece::catches_m2).sum();
    let arrived_m3 = 20.192 + 0.060 * catches_m2;
    assert!((line.arrived_m3.likely() - arrived_m3).abs() <= 0.001, "{line:?}");
    assert_eq!(line.soaked_m3.likely(), 0.0);
    // The water stands no lower than the crest and, three days later, not a millimetre above it: 20 m of 2 m width.
    assert!((line.stored_m3.likely() - 11.19).abs() <= 0.05, "{}", line.stored_m3.likely());
    let spilt_m3 = line.sills[0].volume_m3.likely();
    assert!((spilt_m3 - (line.arrived_m3.likely() - line.stored_m3.likely())).abs() <= 1e-9 * arrived_m3);
    assert!((line.left_m3.likely() - spilt_m3).abs() <= 1e-9 * arrived_m3);
    assert!(line.breakouts.is_empty());
    assert!(answer.balance_error_frac <= 1e-9);
}

/// A rain that the trench holds does not spill: 10 mm run off nothing (Ia is 12.7 mm), and 10 mm on the trench stay.
#[test]
fn a_small_rain_is_held() {
    let site = site_of(&[swale("one", 100.0, &json!({}))], &json!(0.0));
    let line = &tested(&site, &request(10.0, 1)).lines[0];
    assert!(line.arrived_m3.likely() > 0.0);
    assert_eq!(line.sills[0].volume_m3.likely(), 0.0);
    assert!((line.stored_m3.likely() - line.arrived_m3.likely()).abs() <= 1e-9);
}

/// A tenth of the sill and a bank that is low at one place: it breaks out there, and by as much as the water stands
/// above it.
#[test]
fn a_low_bank_breaks_out_where_it_is_low() {
    let dug = |chainage_m: f64, bank_z_m: f64| site::DugLevel {
        chainage_m,
        bed_z_m: 99.7,
        bank_z_m: Some(bank_z_m),
    };
    let narrow = json!({ "sill": [{ "at_m": 4.0, "width_m": 0.2, "below_bank_m": 0.12, "to": "ground" }] });
    let mut site = site_of(&[swale("one", 100.0, &narrow)], &json!(0.0));
    let levels = vec![
        dug(0.0, 100.3),
        dug(4.0, 100.18),
        dug(12.0, 100.3),
        dug(14.5, 100.15),
        dug(17.0, 100.3),
        dug(20.0, 100.3),
    ];
    site.dug.insert("one".to_owned(), levels);
    let answer = tested(&site, &request(60.0, 1));
    let [breakout] = answer.lines[0].breakouts.as_slice() else { panic!("{:?}", answer.lines[0].breakouts) };
    assert!((breakout.at_m - 14.5).abs() <= 1.0, "{breakout:?}");
    assert_eq!(breakout.chance_frac, 1.0);
    assert!(breakout.volume_m3.likely() > 1.0, "{breakout:?}");
    let head_cm = 100.0 * (answer.lines[0].peak_level_m.unwrap().likely() - 100.15);
    assert!((breakout.raise_cm.likely() - head_cm).abs() <= 0.2, "{breakout:?} {head_cm}");
    assert_eq!(breakout.to, "ground");
}

/// Rain on the ground is what stays on it and what arrives, and what arrives is all accounted for.
#[test]
fn no_rain_is_lost_on_the_way_to_the_lines() {
    let hard = json!({
        "soil": [{ "name": "clay", "texture": "clay", "soak_mm_h": 3.0 }],
        "source": [
            { "name": "hill", "kind": "hillside", "curve_number": 80.0 },
            { "name": "roof", "kind": "hard surface", "area_m2": 112.0, "into": "one", "at_m": 3.0 },
            { "name": "yard", "kind": "hard surface", "area_m2": 40.0, "into": "one" },
        ],
        "line": [swale("one", 100.0, &json!({}))],
    });
    let site = trial::by_tape(&hard);
    let layout = lay_out(&site);
    let asked = request(47.0, 1);
    let prepared = Prepared::of(&site, &layout).unwrap();
    let trial = prepared.trial(&asked);
    let draw = Draw::likely(trial.works, Wetness::Usual);
    let rain_m3 = trial.feeds[0].ground_m2() * asked.storm.total_m();
    let arrives_m3: f64 = trial
        .inflows(&Falling { storm: &asked.storm, draw: &draw, seeps: &SeepFlows::default() })
        .unwrap()
        .iter()
        .map(|inflow| inflow.step_s * inflow.flow_m3_s.iter().sum::<f64>())
        .sum();
    let lost_m3 = trial.feeds[0].lost_m3(&asked.storm, &draw);
    assert!((rain_m3 - lost_m3 - arrives_m3).abs() <= 1e-9 * rain_m3, "{rain_m3} {lost_m3} {arrives_m3}");
    let answer = tested(&site, &asked);
    assert!((answer.site.arrived_m3.likely() - arrives_m3).abs() <= 1e-9 * arrives_m3);
}

/// A tight swale without ground of its own, 20 m, and a seep that rises: what arrives over and above the trench's own
/// rain and the steady flow is what the seep's law gives, hour by hour, and only its share of what the line picks up.
fn woken_m3(rises: &Value, days_before_mm: Vec<f64>, share: f64) -> f64 {
    let pick_up = json!([{ "line": "one", "at_m": 3.0, "share_frac": share }]);
    let site = trial::by_tape(&json!({
        "soil": [{ "name": "clay", "texture": "clay", "soak_mm_h": 0.0 }],
        "source": [
            { "name": "seep", "kind": "seep", "flow_l_min": 3.0, "pick_up": pick_up, "rises": rises },
            { "name": "yard", "kind": "hard surface", "area_m2": 300.0, "first_wetting_mm": 0.0 },
            { "name": "wood", "kind": "hillside", "area_m2": 2000.0, "curve_number": 60.0 },
        ],
        "line": [swale("one", 100.0, &json!({ "catchment_m2": 0.0 }))],
    }));
    let asked = Request { days_before_mm, ..request(20.0, 1) };
    let answer = tested(&site, &asked);
    let layout = lay_out(&site);
    let prepared = Prepared::of(&site, &layout).unwrap();
    let trial = prepared.trial(&asked);
    let catches_m2: f64 = trial.works.lines[0].pieces.iter().map(build::Piece::catches_m2).sum();
    // 3 L/min for the 78 h that the water is followed.
    let steady_m3 = share * 0.003 * 60.0 * 78.0;
    assert!(answer.balance_error_frac <= 1e-9);
    answer.site.arrived_m3.likely() - steady_m3 - 0.020 * catches_m2
}

/// 30 mm the day before on 1000 m², of which a tenth comes out: 3 m³, evenly through that day, falling off by half in
/// 4 days, k = 4 d / ln 2 = 5.771 d. Held at the first drop: 3 m³ · k/1 d · (1 − e^(−1/k)) = 2.7537 m³. Of that
/// 1 − 2^(−78 h / 96 h) = 0.43060 runs out while the water is followed. The storm's own 20 mm bring 2 m³ over six hours,
/// of which runs out: 2 m³ · (1 − k/6 h · (e^(6 h/k) − 1) · e^(−78 h/k)).
#[test]
fn past_rain_wakes_a_seep() {
    let rises = json!({ "area_m2": 1000.0, "share_frac": 0.1, "halves_in_days": 4.0 });
    let k_h = 96.0 / std::f64::consts::LN_2;
    let left = |hours: f64| libm::exp(-hours / k_h);
    let of_past_m3 = 3.0 * k_h / 24.0 * (1.0 - left(24.0)) * (1.0 - left(78.0));
    let of_storm_m3 = 2.0 * (1.0 - k_h / 6.0 * (left(72.0) - left(78.0)));
    let woken_m3_whole = woken_m3(&rises, vec![30.0], 1.0);
    assert!((woken_m3_whole - of_past_m3 - of_storm_m3).abs() <= 1e-9, "{woken_m3_whole}");
    let without = woken_m3(&rises, vec![], 1.0);
    assert!((without - of_storm_m3).abs() <= 1e-9, "{without}");
    let half = woken_m3(&rises, vec![30.0], 0.5);
    assert!((half - 0.5 * (of_past_m3 + of_storm_m3)).abs() <= 1e-9, "{half}");
    // What comes later than the water is followed has not come.
    let late = json!({ "area_m2": 1000.0, "share_frac": 0.1, "halves_in_days": 4.0, "delay_days": 10.0 });
    assert!(woken_m3(&late, vec![30.0], 1.0).abs() <= 1e-9);
}

/// Fed by a yard that no line picks up: all of its 20 mm on 300 m² sink, of which a half comes out. Fed by a wood of
/// CN 60 (S 169.3 mm, the first 33.9 mm stay): of 20 mm nothing runs off, so all of it sinks. Both as 6 m³ and 40 m³ in
/// place of 2 m³ above.
#[test]
fn another_source_feeds_a_seep() {
    let k_h = 96.0 / std::f64::consts::LN_2;
    let left = |hours: f64| libm::exp(-hours / k_h);
    let comes_frac = 1.0 - k_h / 6.0 * (left(72.0) - left(78.0));
    for (feeder, sinks_m3) in [("yard", 6.0), ("wood", 40.0)] {
        let rises = json!({ "fed_by": feeder, "share_frac": 0.5, "halves_in_days": 4.0 });
        let woken_m3 = woken_m3(&rises, vec![], 1.0);
        assert!((woken_m3 - 0.5 * sinks_m3 * comes_frac).abs() <= 1e-9, "{feeder} {woken_m3}");
    }
}

/// A track of 200 m² that "one" picks up to 60 % and "low" to 30 %: of 47 mm less 1 mm of wetting, 9.2 m³, they get 5.52
/// and 2.76, and 0.92 run past and are counted.
#[test]
fn lines_share_a_source_and_the_rest_runs_past() {
    let shared = json!({
        "soil": [{ "name": "clay", "texture": "clay", "soak_mm_h": 3.0 }],
        "source": [{
            "name": "track", "kind": "hard surface", "area_m2": 200.0,
            "pick_up": [{ "line": "one", "at_m": 3.0, "share_frac": 0.6 }, { "line": "low", "share_frac": 0.3 }],
        }],
        "line": [
            swale("one", 100.0, &json!({ "catchment_m2": 0.0 })),
            swale("low", 98.0, &json!({ "catchment_m2": 0.0 })),
        ],
    });
    let site = trial::by_tape(&shared);
    let answer = tested(&site, &request(47.0, 1));
    let layout = lay_out(&site);
    let asked = request(47.0, 1);
    let prepared = Prepared::of(&site, &layout).unwrap();
    let trial = prepared.trial(&asked);
    for (line, expected_m3) in [(0, 5.52), (1, 2.76)] {
        let pieces = trial.works.lines[line].pieces.iter();
        let trench_m3 = 0.047 * pieces.map(build::Piece::catches_m2).sum::<f64>();
        let found_m3 = answer.lines[line].arrived_m3.likely() - trench_m3;
        assert!((found_m3 - expected_m3).abs() <= 1e-9, "{found_m3}");
    }
    assert!((answer.site.runs_past_m3.likely() - 0.92).abs() <= 1e-9);
    assert!(answer.site.peak_after_l_s.likely() > 0.0);
}

/// The same bits on one thread and on three, and another answer for another seed.
#[test]
fn threads_do_not_matter_and_seeds_do() {
    let site =
        site_of(&[swale("one", 100.0, &json!({}))], &json!({ "low": 2.0, "likely": 5.0, "high": 12.0 }));
    let on = |threads: usize, seed: u64| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        let asked = Request { seed, ..request(60.0, 7) };
        pool.install(|| serde_json::to_string(&tested(&site, &asked)).unwrap())
    };
    assert_eq!(on(1, 1), on(3, 1));
    assert_ne!(on(1, 1), on(1, 2));
}

/// Two swales, the upper into the lower: what one passes on is what the other gets.
#[test]
fn what_one_line_passes_on_the_next_gets() {
    let to_low = json!({ "sill": [{ "at_m": 4.0, "width_m": 2.0, "below_bank_m": 0.12, "to": "low" }] });
    let site = site_of(&[swale("top", 100.0, &to_low), swale("low", 98.0, &json!({}))], &json!(4.0));
    let answer = tested(&site, &request(60.0, 1));
    let (top, low) = (&answer.lines[0], &answer.lines[1]);
    assert!(top.passed_on_m3.likely() > 1.0);
    assert!((top.passed_on_m3.likely() - low.passed_in_m3.likely()).abs() <= 1e-9 * top.arrived_m3.likely());
    assert_eq!(top.left_m3.likely(), 0.0);
    assert_eq!(answer.snapshots.len(), 2);
    assert_eq!(answer.snapshots[1].lines[1].level_z_m.len(), low.metres.len());
}

/// The flows in time hold the volumes that are told, the ends of a range lie on either side of one another at every
/// time, and what leaves over the one sill is what leaves the site.
#[test]
fn flows_in_time_hold_their_volumes() {
    let site =
        site_of(&[swale("one", 100.0, &json!({}))], &json!({ "low": 2.0, "likely": 5.0, "high": 12.0 }));
    let one = tested(&site, &request(60.0, 1));
    let volume_m3 = |flow: &FlowInTime, l_s: &[f64]| 3.6 * flow.step_h * l_s.iter().sum::<f64>();
    let sill = &one.lines[0].sills[0];
    let outlet = &one.site.outlets[0];
    for (flow, expected_m3) in [
        (&sill.flow, sill.volume_m3),
        (&outlet.flow, outlet.volume_m3),
        (&one.site.flow_after, one.site.leaves_m3),
    ] {
        let found_m3 = volume_m3(flow, &flow.flow_l_s);
        assert!((found_m3 - expected_m3.likely()).abs() <= 1e-6 * found_m3, "{found_m3} {expected_m3:?}");
        assert_eq!(flow.low_l_s, flow.high_l_s);
    }
    // What the hillside sheds without the works: CN 80 on 1000 m² and the trench (see the first test).
    let before_m3 = volume_m3(&one.site.flow_before, &one.site.flow_before.flow_l_s);
    assert!(before_m3 > 20.192, "{before_m3}");
    let peak_l_s = one.site.flow_before.flow_l_s.iter().copied().fold(0.0, f64::max);
    assert!((peak_l_s - one.site.peak_before_l_s.likely()).abs() <= 1e-9);

    let many = tested(&site, &request(60.0, 21));
    let flow = &many.lines[0].sills[0].flow;
    assert!(flow.low_l_s.iter().zip(&flow.high_l_s).all(|(low, high)| low <= high));
    assert!(flow.low_l_s.iter().zip(&flow.high_l_s).any(|(low, high)| low < high));
    let level = &many.snapshots[1].lines[0];
    assert!(level.low_z_m.iter().zip(&level.high_z_m).all(|(low, high)| low <= high));
    assert!(level.low_z_m.iter().zip(&level.high_z_m).any(|(low, high)| low < high));
    // The first member is the plan as drawn in both.
    assert_eq!(flow.flow_l_s[..sill.flow.flow_l_s.len()], sill.flow.flow_l_s);
    assert_eq!(level.level_z_m, one.snapshots[1].lines[0].level_z_m);
}

/// A tight swale that is full before: it holds 11.19 m³ to its sill (see the first test), keeps them, and all that arrives
/// goes over the sill, at no lower a peak than out of an empty one.
#[test]
fn a_full_line_passes_all_that_comes() {
    let site = site_of(&[swale("one", 100.0, &json!({}))], &json!(0.0));
    let empty = tested(&site, &request(60.0, 1));
    let full = tested(&site, &Request { lines_before: LinesBefore::Full, ..request(60.0, 1) });
    let line = &full.lines[0];
    assert!((line.stood_before_m3.likely() - 11.19).abs() <= 0.05, "{}", line.stood_before_m3.likely());
    assert_eq!(full.site.stood_before_m3, line.stood_before_m3);
    let arrived_m3 = line.arrived_m3.likely();
    assert!((arrived_m3 - empty.lines[0].arrived_m3.likely()).abs() <= 1e-9 * arrived_m3);
    let spilt_m3 = line.sills[0].volume_m3.likely();
    let kept_m3 = line.stored_m3.likely() - line.stood_before_m3.likely();
    assert!((spilt_m3 + kept_m3 - line.arrived_m3.likely()).abs() <= 1e-9 * line.arrived_m3.likely());
    assert!(kept_m3.abs() <= 0.05, "{kept_m3}");
    assert!(line.sills[0].peak_l_s.likely() >= empty.lines[0].sills[0].peak_l_s.likely());
    assert!(full.balance_error_frac <= 1e-9);
}

/// What `sizes` prints for a sill passes everything on at once and bounds what the rain test finds, even with the lines
/// full before: two swales, the design storm of the plan.
#[test]
fn the_figure_of_sizes_is_the_upper_bound() {
    let to_low = json!({ "sill": [{ "at_m": 4.0, "width_m": 2.0, "below_bank_m": 0.12, "to": "low" }] });
    let site = site_of(&[swale("top", 100.0, &to_low), swale("low", 98.0, &json!({}))], &json!(4.0));
    let layout = lay_out(&site);
    let storm = crate::storms::storm(&site, &crate::storms::StormRequest::default()).unwrap();
    let asked = Request { lines_before: LinesBefore::Full, ..Request::of(&storm, 1, 1) };
    let answer = rain_test(&site, &layout, &asked, &|| ()).unwrap();
    let sizes = crate::sizes::sizes(&site, &layout);
    for (line, sized) in answer.lines.iter().zip(&sizes.lines) {
        let (routed_l_s, bound_l_s) = (line.sills[0].peak_l_s.likely(), sized.sills[0].design_l_s.unwrap());
        assert!(routed_l_s > 0.0 && routed_l_s <= bound_l_s, "{}: {routed_l_s} {bound_l_s}", line.line);
    }
}

#[test]
fn what_cannot_be_worked_through_is_said() {
    let mut site = site_of(&[swale("one", 100.0, &json!({}))], &json!(4.0));
    let ask = |site: &Site, members: usize| {
        rain_test(site, &lay_out(site), &request(60.0, members), &|| ()).unwrap_err()
    };
    assert_eq!(ask(&site, 0), RainTestError::BadMembers { found: 0 });
    site.plan.sources.clear();
    assert_eq!(ask(&site, 1), RainTestError::NoCurveNumber { line: "one".to_owned() });
    site.plan.soils.clear();
    assert_eq!(ask(&site, 1), RainTestError::NoSoil { line: "one".to_owned() });
    site.plan.lines.clear();
    assert_eq!(ask(&site, 1), RainTestError::NoLines);
}

/// Ranks by hand: [10, 30, 20] against [1, 9, 4] agree, against [9, 1, 4] are turned round; ties share.
#[test]
fn rank_correlations_by_hand() {
    let a = [10.0, 30.0, 20.0];
    assert!((gather::rank_correlation(&a, &[1.0, 9.0, 4.0]) - 1.0).abs() <= 1e-12);
    assert!((gather::rank_correlation(&a, &[9.0, 1.0, 4.0]) + 1.0).abs() <= 1e-12);
    assert_eq!(gather::rank_correlation(&a, &[2.0, 2.0, 2.0]), 0.0);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]
    /// More rain never means less spill, less soak or a lower water, and the account closes.
    #[test]
    fn more_rain_never_means_less(depth_mm in 5.0..90.0_f64, more_mm in 0.5..30.0_f64, soak_mm_h in 0.0..30.0_f64) {
        let site = site_of(&[swale("one", 100.0, &json!({}))], &json!(soak_mm_h));
        let (less, more) = (tested(&site, &request(depth_mm, 1)), tested(&site, &request(depth_mm + more_mm, 1)));
        // Steps of time differ between the two runs: a thousandth of what came.
        let room_m3 = 1e-3 * more.site.arrived_m3.likely();
        prop_assert!(more.site.leaves_m3.likely() >= less.site.leaves_m3.likely() - room_m3);
        prop_assert!(more.site.soaked_m3.likely() >= less.site.soaked_m3.likely() - room_m3);
        prop_assert!(less.balance_error_frac <= 1e-9 && more.balance_error_frac <= 1e-9);
    }
}

/// The steps agree with the test itself: a little below the rain at which the sill first spills nothing spills, at it
/// something does. By then 11.19 m³ have come, what the swale holds to its sill; the rain is found to half a
/// millimetre, and about 40 mm each millimetre brings 0.6 m³ (dQ/dP of CN 80 is 0.51 there, and the trench): 0.4 m³.
#[test]
fn steps_come_in_order_and_agree_with_the_test() {
    let site = site_of(&[swale("one", 100.0, &json!({}))], &json!(0.0));
    let asked = request(60.0, 1);
    let found = steps::steps(&site, &lay_out(&site), &asked, &|| ()).unwrap();
    let line = &found.lines[0];
    let (fills_mm, spills_mm) = (line.fills_mm.unwrap(), line.spills_mm.unwrap());
    assert!(fills_mm <= spills_mm && spills_mm < 60.0, "{line:?}");
    assert_eq!(line.breaks_out_mm, None);
    let spilt_m3 = |mm: f64| tested(&site, &request(mm, 1)).lines[0].sills[0].volume_m3.likely();
    assert!(spilt_m3(spills_mm) > 0.001);
    assert!(spilt_m3(spills_mm - 0.6) <= 0.001);
    let came_m3 = tested(&site, &request(spills_mm, 1)).lines[0].arrived_m3.likely();
    assert!((came_m3 - 11.19).abs() <= 0.4, "{came_m3}");
    assert_eq!(found.table.len(), 12);
    assert_eq!(found.fails_first, None);
    assert!(!found.chain_reaction.by_itself && found.chain_reaction.takes_along.is_empty());
    // What stood between the ground and the sill leaves over the gap.
    assert!(found.chain_reaction.leaves_after_m3 > found.chain_reaction.leaves_before_m3);
}

/// A weak upper swale without a sill goes, and what it lets down takes the lower one, whose bank is as high as the
/// ground, along: both have no sill, so both break out as soon as they are full.
#[test]
fn a_failing_bank_takes_the_next_along() {
    let none = json!({ "sill": [{ "at_m": 4.0, "width_m": 0.1, "below_bank_m": 0.02, "to": "low" }], "catchment_m2": 2000.0 });
    let low = json!({
        "sill": [{ "at_m": 4.0, "width_m": 0.1, "below_bank_m": 0.02, "to": "ground" }], "catchment_m2": 50.0, "depth_m": 0.4,
    });
    let site = site_of(&[swale("top", 100.0, &none), swale("low", 98.0, &low)], &json!(0.0));
    let mut asked = request(40.0, 1);
    asked.snapshots_h.clear();
    let found = steps::steps(&site, &lay_out(&site), &asked, &|| ()).unwrap();
    assert!(found.chain_reaction.leaves_after_m3 >= found.chain_reaction.leaves_before_m3, "{found:?}");
    assert_eq!(found.chain_reaction.line, "top");
}

/// A real wash-out takes the line below along. Both swales are tight and have slits for sills, two centimetres below the bank's top.
/// "top" gets a little more than it holds and breaks out; "low", with ground of its own for less than it holds, does
/// not, although it gets what "top" spills. With the bank of "top" down to the ground, what it kept above the pegs comes
/// down as well, more than "low" and its slit can take: it breaks out only because of "top". With a wide sill it stands.
#[test]
fn a_wash_out_takes_only_a_weak_line_along() {
    let slit = |to: &str| json!([{ "at_m": 4.0, "width_m": 0.1, "below_bank_m": 0.02, "to": to }]);
    let wide = json!([{ "at_m": 4.0, "width_m": 4.0, "below_bank_m": 0.15, "to": "ground" }]);
    let top = swale("top", 100.0, &json!({ "sill": slit("low"), "catchment_m2": 800.0 }));
    let weak = swale("low", 98.0, &json!({ "sill": slit("ground"), "catchment_m2": 350.0 }));
    let strong = swale("low", 98.0, &json!({ "sill": wide, "catchment_m2": 350.0 }));
    let reaction_of = |low: &Value| {
        let site = site_of(&[top.clone(), low.clone()], &json!(0.0));
        let asked = Request { snapshots_h: Vec::new(), ..request(60.0, 1) };
        let found = steps::steps(&site, &lay_out(&site), &asked, &|| ()).unwrap();
        assert_eq!(found.fails_first.as_deref(), Some("top"), "{found:?}");
        assert_eq!(found.lines[1].breaks_out_mm, None, "{found:?}");
        found.chain_reaction
    };
    let reaction = reaction_of(&weak);
    assert!(reaction.by_itself && reaction.line == "top");
    assert_eq!(reaction.takes_along, ["low"]);
    assert!(reaction.leaves_after_m3 > reaction.leaves_before_m3 + 1.0, "{reaction:?}");
    assert_eq!(reaction_of(&strong).takes_along, Vec::<String>::new());
}
