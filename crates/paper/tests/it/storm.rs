//! Storms made up by hand, so that a drawing's faults are the drawing's.

use design::rain_test::{
    Answer, Breakout, Ensemble, FlowInTime, Guess, LeastFreeboard, LeavesBy, LineAt, LineRain, LinesBefore,
    MetreRain, Moment, Outlet, RainSoFar, SillRain, SiteRain, StormTold, TreeRain,
};
use design::section::sections;
use quantity::Estimate;
use site::Site;

const STORM_H: f64 = 6.0;
const FOLLOWED_H: f64 = 24.0;

fn spread(likely: f64) -> Estimate {
    Estimate::new(0.6 * likely, likely, 1.5 * likely).expect("in order")
}

/// A storm of so many millimetres that fills each line evenly to a depth that grows with it, over the lowest bank
/// when it is deep.
pub fn storm(site: &Site, answers: &design::Answers, depth_mm: f64) -> Answer {
    let lines: Vec<LineRain> =
        site.plan.lines.iter().filter_map(|line| line_rain(site, answers, line, depth_mm)).collect();
    let snapshots = (0..=48).map(|i| moment(&lines, f64::from(i) * 0.5)).collect();
    let trees = site.plan.trees.iter().filter_map(|tree| {
        let line = tree.line.clone()?;
        let soaked_l_per_m = spread(2.0 * depth_mm);
        Some(TreeRain { tree: tree.name.clone(), line, chainage_m: tree.at_m.unwrap_or(0.0), soaked_l_per_m })
    });
    let bell = |peak_l_s: f64, from_h: f64| flow_in_time(|at_h| bell_l_s(peak_l_s, at_h - from_h));
    let outlet = |by, at_m, m3| Outlet {
        line: "low".to_owned(),
        by,
        at_m,
        x_m: None,
        y_m: None,
        volume_m3: spread(m3),
        peak_l_s: spread(m3 / 3.0),
        flow: bell(m3 / 3.0, 3.0),
    };
    Answer {
        storm: storm_told(depth_mm),
        ensemble: Ensemble {
            members: 40,
            seed: 1,
            guesses: vec![Guess {
                guess: "runoff".to_owned(),
                rank_correlation: 0.8,
                against: "soaked".to_owned(),
            }],
        },
        soils: Vec::new(),
        left_out: Vec::new(),
        trees: trees.collect(),
        site: SiteRain {
            stood_before_m3: Estimate::exact(0.0),
            arrived_m3: spread(depth_mm),
            soaked_m3: spread(0.6 * depth_mm),
            stored_m3: spread(0.1 * depth_mm),
            leaves_m3: spread(0.3 * depth_mm),
            runs_past_m3: Estimate::exact(0.0),
            peak_before_l_s: spread(depth_mm),
            peak_after_l_s: spread(0.3 * depth_mm),
            flow_before: bell(depth_mm, 1.0),
            flow_after: bell(0.3 * depth_mm, 3.0),
            outlets: vec![
                outlet(LeavesBy::Sill, 10.0, 0.2 * depth_mm),
                outlet(LeavesBy::Bank, 40.0, 0.1 * depth_mm),
            ],
        },
        balance_error_frac: 1e-12,
        lines,
        snapshots,
    }
}

fn storm_told(depth_mm: f64) -> StormTold {
    let so_far = |at_h: f64| (at_h / STORM_H) * (at_h / STORM_H) * (3.0 - 2.0 * at_h / STORM_H);
    let course =
        (0..=12).map(|i| 0.5 * f64::from(i)).map(|at_h| RainSoFar { at_h, rain_mm: depth_mm * so_far(at_h) });
    StormTold {
        depth_mm,
        hours: STORM_H,
        worst_ten_minutes_mm: depth_mm / 5.0,
        shape: "a bell in the middle".to_owned(),
        wet_before: "usual".to_owned(),
        lines_before: LinesBefore::Empty,
        followed_h: FOLLOWED_H,
        course: course.collect(),
    }
}

/// How full a line is at a time, of its fullest.
fn fullness(at_h: f64) -> f64 {
    let rising = (at_h / STORM_H).min(1.0);
    let falling = ((FOLLOWED_H - at_h) / (FOLLOWED_H - STORM_H)).min(1.0);
    rising * falling
}

fn line_rain(site: &Site, answers: &design::Answers, line: &site::Line, depth_mm: f64) -> Option<LineRain> {
    let laid = answers.layout.line(&line.name)?;
    let length_m = answers.sizes.lines.iter().find(|sizes| sizes.line == line.name)?.length_m;
    let known = sections(site, line, laid).ok();
    let metres: Vec<MetreRain> =
        known.iter().flat_map(|known| metres(&known.places, length_m, depth_mm)).collect();
    let over_m = |m: &MetreRain| m.bed_z_m + m.peak_depth_m.likely() - m.bank_z_m;
    let worst = metres.iter().max_by(|a, b| over_m(a).total_cmp(&over_m(b)))?;
    let freeboard_m = -over_m(worst);
    let level_m = worst.bed_z_m + worst.peak_depth_m.likely();
    let at_m = (worst.from_m + worst.to_m) / 2.0;
    let breakout = Breakout {
        from_m: (at_m - 1.0).max(0.0),
        to_m: (at_m + 1.5).min(length_m),
        at_m,
        chance_frac: 0.7,
        first_h: spread(3.2),
        peak_l_s: spread(3.1),
        volume_m3: spread(2.2),
        raise_cm: spread(4.0),
        face_speed_m_s: spread(1.4),
        fill_stands_m_s: 0.6,
        washes_out_frac: 0.9,
        to: "ground".to_owned(),
    };
    let reach_m = (depth_mm / 40.0).min(1.0) * length_m;
    Some(LineRain {
        line: line.name.clone(),
        kind: line.kind,
        length_m,
        stood_before_m3: Estimate::exact(0.0),
        arrived_m3: spread(0.3 * depth_mm),
        passed_in_m3: spread(0.1 * depth_mm),
        soaked_m3: spread(0.25 * depth_mm),
        stored_m3: spread(0.02 * depth_mm),
        passed_on_m3: spread(0.13 * depth_mm),
        left_m3: Estimate::exact(0.0),
        reach_m: Estimate::new(0.7 * reach_m, reach_m, length_m).expect("in order"),
        reach_h: (depth_mm > 0.0).then(|| spread(2.5)),
        wet_m: Estimate::exact(reach_m),
        peak_level_m: Some(Estimate::new(level_m - 0.03, level_m, level_m + 0.04).expect("in order")),
        least_freeboard: Some(LeastFreeboard {
            freeboard_m: Estimate::new(freeboard_m - 0.04, freeboard_m, freeboard_m + 0.03)
                .expect("in order"),
            at_m,
        }),
        breaks_out_frac: if freeboard_m < 0.0 { 1.0 } else { 0.0 },
        breakouts: if freeboard_m < 0.0 { vec![breakout] } else { Vec::new() },
        sills: line.sills.iter().map(|sill| sill_rain(sill, depth_mm)).collect(),
        fastest: None,
        drain_down_h: Some(spread(20.0)),
        metres,
    })
}

fn metres(places: &[design::section::SectionAt], length_m: f64, depth_mm: f64) -> Vec<MetreRain> {
    let pieces = length_m.ceil().max(1.0) as usize;
    let nearest = |at_m: f64| {
        let apart = |p: &&design::section::SectionAt| (p.chainage_m - at_m).abs();
        places.iter().min_by(|a, b| apart(a).total_cmp(&apart(b)))
    };
    let piece_m = length_m / pieces as f64;
    let piece = |i: usize| {
        let (from_m, to_m) = (i as f64 * piece_m, (i + 1) as f64 * piece_m);
        let place = nearest((from_m + to_m) / 2.0)?;
        let bed_z_m = place.ground_z_m - place.hand.depth_m;
        let is_reached = from_m < (depth_mm / 40.0).min(1.0) * length_m;
        let depth_m = if is_reached { 0.0106 * depth_mm } else { 0.0 };
        let low_m = if from_m < 0.7 * length_m { 0.95 * depth_m } else { 0.0 };
        Some(MetreRain {
            from_m,
            to_m,
            bed_z_m,
            bank_z_m: place.ground_z_m + place.hand.bank_height_m,
            peak_depth_m: Estimate::new(low_m, depth_m, 1.07 * depth_m).expect("in order"),
            soaked_l_per_m: spread(if is_reached { 2.0 * depth_mm + 10.0 * (i % 4) as f64 } else { 0.0 }),
        })
    };
    (0..pieces).filter_map(piece).collect()
}

/// Four hours of flow, up to a peak in their middle and down again.
fn bell_l_s(peak_l_s: f64, at_h: f64) -> f64 {
    if (0.0..4.0).contains(&at_h) { peak_l_s * at_h * (4.0 - at_h) / 4.0 } else { 0.0 }
}

fn flow_in_time(l_s: impl Fn(f64) -> f64) -> FlowInTime {
    let flow_l_s: Vec<f64> = (0..240).map(|i| l_s(0.1 * f64::from(i))).collect();
    FlowInTime {
        step_h: 0.1,
        low_l_s: flow_l_s.iter().map(|l_s| 0.6 * l_s).collect(),
        high_l_s: flow_l_s.iter().map(|l_s| 1.5 * l_s).collect(),
        flow_l_s,
    }
}

fn sill_rain(sill: &site::Sill, depth_mm: f64) -> SillRain {
    SillRain {
        at_m: sill.at_m,
        width_m: sill.width_m,
        to: sill.to.clone(),
        volume_m3: spread(0.5 * depth_mm),
        peak_l_s: spread(0.1 * depth_mm),
        peak_h: Some(spread(5.0)),
        head_m: spread(0.02),
        passes_l_s: Some(2.0 * sill.width_m),
        use_frac: Some(spread(0.5)),
        flow: flow_in_time(|at_h| bell_l_s(0.1 * depth_mm, at_h - 3.0)),
    }
}

fn moment(lines: &[LineRain], at_h: f64) -> Moment {
    let levels = |line: &LineRain, depth_m: fn(Estimate) -> f64| {
        line.metres.iter().map(|m| m.bed_z_m + fullness(at_h) * depth_m(m.peak_depth_m)).collect()
    };
    let lines = lines.iter().map(|line| LineAt {
        line: line.line.clone(),
        level_z_m: levels(line, Estimate::likely),
        low_z_m: levels(line, Estimate::low),
        high_z_m: levels(line, Estimate::high),
    });
    Moment { at_h, lines: lines.collect() }
}
