use proptest::prelude::*;
use water::soak::Texture;

use super::*;
use crate::coefficients::STAGES;
use crate::evaporation::{LAYER_DEPTH_M, evaporable_mm};
use crate::soil_water::Grains;

/// A fig whip in loam at Quarry Bank, bare ground, no mulch.
pub(crate) fn fig() -> TreeGround {
    on(Texture::Loam)
}

fn on(texture: Texture) -> TreeGround {
    let soil = Grains::of_texture(texture).water().unwrap();
    let total_mm = evaporable_mm(soil.field_capacity_frac, soil.wilting_point_frac, LAYER_DEPTH_M);
    TreeGround {
        soil,
        soil_depth_m: 1.5,
        under_mm_h: soil.conductivity_mm_h,
        surface: Surface { readily_mm: 0.45 * total_mm, total_mm },
        mulched_frac: 0.0,
        live_cover_frac: 0.0,
        dry_below_frac: 0.5,
        growth: Growth {
            hole_depth_m: 0.3,
            hole_radius_m: 0.3,
            root_depth_m: 1.2,
            root_depth_years: 5.0,
            crown_width_m: [0.3, 5.0],
            height_m: [1.0, 4.0],
            crown_years: 10.0,
            reach_limit_m: 2.8,
            noon_sine: 0.96,
        },
        season: Season {
            stages: STAGES[3],
            start_day: STAGES[3].start_day(38.7),
            basal: [0.45, 0.85, 0.60],
            resting_basal: 0.15,
            drops_leaves: true,
            depletion_frac: 0.5,
        },
    }
}

/// A year's weather without chance: summer at 7 mm/d, rain in the other half.
fn weather(day_of_year: u16) -> DayIn {
    let season = libm::cos(2.0 * std::f64::consts::PI * (f64::from(day_of_year) - 196.0) / 365.0);
    let rains = season < 0.2 && day_of_year.is_multiple_of(6);
    DayIn {
        day_of_year,
        eto_mm: 4.0 + 3.0 * season,
        climate_term: 0.04,
        rain_mm: if rains { 14.0 } else { 0.0 },
        line_mm: 0.0,
        hand_mm: 0.0,
        under_water: false,
    }
}

fn dry_day(day_of_year: u16) -> DayIn {
    DayIn { rain_mm: 0.0, ..weather(day_of_year) }
}

fn day_of_year(day: u32) -> u16 {
    1 + (day % 365) as u16
}

/// The parts that leave and come, against the change of what is stored.
fn error_mm(before: &TreeState, after: &TreeState, day: &DayIn, out: &DayOut) -> (f64, f64) {
    let Fluxes {
        reached_mm,
        passed_down_mm,
        drained_mm,
        turned_away_mm,
        by_tree_mm,
        by_cover_mm,
        evaporated_mm,
    } = out.flux;
    let came_mm = day.rain_mm + day.line_mm + day.hand_mm;
    let drawn_mm = by_tree_mm + by_cover_mm + evaporated_mm;
    let root_mm = came_mm + reached_mm - passed_down_mm - turned_away_mm - drawn_mm;
    let below_mm = passed_down_mm - reached_mm - drained_mm;
    (after.root_mm - before.root_mm - root_mm, after.below_mm - before.below_mm - below_mm)
}

fn lives(ground: &TreeGround, days: u32, mut day_of: impl FnMut(u32, &TreeState) -> DayIn) -> Vec<DayOut> {
    ground.check().unwrap();
    let mut state = TreeState::planted(ground, 1.0);
    (0..days)
        .map(|i| {
            let day = day_of(i, &state);
            state.step(ground, &day)
        })
        .collect()
}

proptest! {
    /// Both layers close each day to 1e-9 of what passes through them, whatever falls on whatever ground; and the
    /// litres close when roots spread.
    #[test]
    fn water_is_neither_made_nor_lost(
        texture in 0..12_usize,
        under_mm_h in 0.0..20.0_f64,
        soil_depth_m in 0.3..2.0_f64,
        mulched in 0.0..1.0_f64,
        live in 0.0..1.0_f64,
        wetness in 0.0..1.0_f64,
        days in proptest::collection::vec((0.0..9.0_f64, 0.0..120.0_f64, 0.0..300.0_f64, 0..4_u8), 200),
    ) {
        let texture = [
            Texture::Sand, Texture::LoamySand, Texture::SandyLoam, Texture::Loam, Texture::SiltLoam, Texture::Silt,
            Texture::SandyClayLoam, Texture::ClayLoam, Texture::SiltyClayLoam, Texture::SandyClay,
            Texture::SiltyClay, Texture::Clay,
        ][texture];
        let ground = TreeGround {
            under_mm_h, soil_depth_m, mulched_frac: mulched, live_cover_frac: live, ..on(texture)
        };
        prop_assert!(ground.check().is_ok());
        let mut state = TreeState::planted(&ground, wetness);
        for (i, (eto_mm, rain_mm, line_mm, wet)) in days.into_iter().enumerate() {
            let on = |mm: f64, kind: u8| if wet == kind { mm } else { 0.0 };
            let day = DayIn {
                eto_mm, rain_mm: on(rain_mm, 1), line_mm: on(line_mm, 2), hand_mm: on(rain_mm, 3),
                ..weather(day_of_year(100 + i as u32))
            };
            let before = state;
            let out = state.step(&ground, &day);
            let (root, below) = error_mm(&before, &state, &day, &out);
            prop_assert!(root.abs() <= 1e-9 && below.abs() <= 1e-9, "{} {}", root, below);
            let Fluxes { by_tree_mm, by_cover_mm, evaporated_mm, drained_mm, turned_away_mm, .. } = out.flux;
            for flow_mm in [by_tree_mm, by_cover_mm, evaporated_mm, drained_mm, turned_away_mm] {
                prop_assert!(flow_mm >= 0.0);
            }
            let came_mm = day.rain_mm + day.line_mm + day.hand_mm;
            let left_mm = by_tree_mm + by_cover_mm + evaporated_mm + drained_mm + turned_away_mm;
            let found_l = out.widened_m2 * (before.root_mm + before.below_mm);
            let error_l = state.stored_l() - before.stored_l() - out.litres(came_mm - left_mm) - found_l;
            prop_assert!(error_l.abs() <= 1e-9 * (1.0 + state.stored_l()), "{}", error_l);
            prop_assert!((0.0..=1.0).contains(&out.stress_frac));
            let surface = &ground.surface;
            prop_assert!((0.0..=surface.total_mm + 1e-9).contains(&state.surface_depleted_mm));
        }
    }

    /// More water from the line never means more stress, on any day.
    #[test]
    fn more_line_water_never_means_more_stress(
        lines in proptest::collection::vec((0.0..30.0_f64, 0.0..30.0_f64, 0..8_u8), 300),
        under_mm_h in 0.1..20.0_f64,
    ) {
        let ground = TreeGround { under_mm_h, ..fig() };
        let mut less = TreeState::planted(&ground, 1.0);
        let mut more = less;
        for (i, (line_mm, extra_mm, wet)) in lines.into_iter().enumerate() {
            let line_mm = if wet == 0 { line_mm } else { 0.0 };
            let extra_mm = if wet <= 1 { extra_mm } else { 0.0 };
            let day = DayIn { line_mm, ..weather(day_of_year(60 + i as u32)) };
            let out = less.step(&ground, &day);
            let richer = more.step(&ground, &DayIn { line_mm: line_mm + extra_mm, ..day });
            prop_assert!(richer.stress_frac >= out.stress_frac - 1e-12, "day {}", i);
            prop_assert!(more.root_mm >= less.root_mm - 1e-9, "day {}", i);
        }
    }
}

/// A pot that is filled to field capacity each morning never runs short: it holds 42 mm for a demand under 9.
#[test]
fn no_stress_when_filled_each_day() {
    let ground = fig();
    let days = lives(&ground, 3 * 365, |i, state| DayIn {
        hand_mm: state.depletion_mm(&fig()),
        ..dry_day(day_of_year(i))
    });
    assert!(days.iter().all(|day| day.stress_frac == 1.0 && !day.dry));
}

/// With no rain and no line, the tree's share falls to nothing and never comes back, and it has drawn no more than
/// the soil held for it between field capacity and wilting point.
#[test]
fn without_water_the_tree_dies_by_the_book() {
    let mut ground = fig();
    // Roots that stay in the hole, so that no water is found below.
    ground.growth.root_depth_m = ground.growth.hole_depth_m;
    let days = lives(&ground, 200, |i, _| dry_day(day_of_year(120 + i)));
    for pair in days.windows(2) {
        assert!(pair[1].depletion_mm >= pair[0].depletion_mm);
    }
    assert!(days[0].stress_frac == 1.0);
    assert!(days[199].stress_frac < 1e-3, "{:?}", days[199]);
    assert!(days[199].dry);
    let drawn_mm: f64 =
        days.iter().map(|day| day.flux.by_tree_mm + day.flux.by_cover_mm + day.flux.evaporated_mm).sum();
    let held_mm = ground.soil.available_mm(0.3);
    assert!(drawn_mm <= held_mm + 1e-9 && drawn_mm > 0.99 * held_mm, "{drawn_mm} of {held_mm}");
}

/// The same weather half a year later, south of the equator, gives the same days.
#[test]
fn hemispheres_mirror() {
    let north = fig();
    let mut south = fig();
    south.season.start_day = south.season.stages.start_day(-38.7);
    let shift = u32::from(crate::coefficients::day_of_season(north.season.start_day, south.season.start_day));
    let north_days = lives(&north, 800, |i, _| weather(day_of_year(i)));
    let south_days =
        lives(&south, 800, |i, _| DayIn { day_of_year: day_of_year(i + shift), ..weather(day_of_year(i)) });
    assert_eq!(north_days, south_days);
}

/// Water that keeps coming onto ground that lets little through: wet feet. The same on free ground: none. A clay
/// left to drain is not wet for ever, although a drained clay has less than a tenth of air.
#[test]
fn wet_feet_need_ground_that_does_not_drain() {
    let tight = TreeGround { under_mm_h: 0.2, ..fig() };
    let fed = |i: u32, _: &TreeState| DayIn { line_mm: 20.0, ..dry_day(day_of_year(i)) };
    let wet = lives(&tight, 60, fed);
    assert!(wet[59].wet_feet, "{:?}", wet[59]);
    assert!(wet.iter().map(|day| day.flux.turned_away_mm).sum::<f64>() > 0.0);
    let free = lives(&on(Texture::SandyLoam), 60, fed);
    assert!(free.iter().all(|day| !day.wet_feet));
    let clay = on(Texture::Clay);
    assert!(clay.soil.saturation_frac - LEAST_AIR_FRAC < clay.soil.field_capacity_frac);
    let drained = lives(&clay, 60, |i, _| DayIn {
        line_mm: if i == 0 { 200.0 } else { 0.0 },
        ..dry_day(day_of_year(i))
    });
    assert!(drained[0].wet_feet && !drained[40].wet_feet);
}

/// Mulch saves water: less goes in the first days, and the tree gets more of what there is, though its own demand is
/// the same.
#[test]
fn mulch_saves_water() {
    let bare = lives(&fig(), 30, |i, _| dry_day(day_of_year(150 + i)));
    let mulched = lives(&TreeGround { mulched_frac: 1.0, ..fig() }, 30, |i, _| dry_day(day_of_year(150 + i)));
    assert_eq!(bare[0].flux.by_tree_mm, mulched[0].flux.by_tree_mm);
    assert!(mulched[2].depletion_mm < bare[2].depletion_mm);
    let by_tree_mm = |days: &[DayOut]| days.iter().map(|day| day.flux.by_tree_mm).sum::<f64>();
    assert!(by_tree_mm(&mulched) > by_tree_mm(&bare));
}

#[test]
fn ground_that_cannot_be_is_refused() {
    let shallow = TreeGround { soil_depth_m: 0.2, ..fig() };
    assert!(matches!(shallow.check(), Err(GroundError::HoleTooDeep { .. })));
    let nan = TreeGround { mulched_frac: f64::NAN, ..fig() };
    assert!(matches!(nan.check(), Err(GroundError::Share { name: "mulched_frac", .. })));
    let mut flat = fig();
    flat.soil.saturation_frac = flat.soil.field_capacity_frac;
    assert!(matches!(flat.check(), Err(GroundError::Pores { .. })));
}

/// A tree found in its third year holds all that its soil does, roots and below together; one of today is a planted one.
#[test]
fn a_tree_that_was_planted_before_stands_in_the_same_soil() {
    let ground = fig();
    let planted = TreeState::planted(&ground, 0.6);
    assert_eq!(TreeState::grown(&ground, 0.6, 0), planted);
    let grown = TreeState::grown(&ground, 0.6, 1003);
    assert_eq!(grown.age_days, 1000);
    assert!(grown.stature.root_depth_m > planted.stature.root_depth_m);
    assert!((grown.root_mm + grown.below_mm - planted.root_mm - planted.below_mm).abs() <= 1e-9);
    let per_m = |state: &TreeState| state.root_mm / state.stature.root_depth_m;
    assert!((per_m(&grown) - per_m(&planted)).abs() <= 1e-9, "as wet at every depth");
}
