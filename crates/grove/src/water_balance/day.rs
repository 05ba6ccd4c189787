//! One day of the balance. See the module above for what it does and where it comes from.

use super::{ABOVE_FIELD_CAPACITY_FRAC, LEAST_AIR_FRAC, Season, TreeGround, TreeState};
use crate::coefficients::{LEAST_BASAL, adjusted, adjusted_late, day_of_season};
use crate::evaporation::most_coefficient;
use crate::mulch;
use crate::orchard::basal;
use crate::soil_water::{depletion_frac, stress_frac};

const HOURS_PER_DAY: f64 = 24.0;
/// Water use of grass against that of the reference lawn, which is grass.
const LIVE_COVER_BASAL: f64 = 1.0;
/// Least open ground: FAO-56, p. 149, lets the cover be 0.99 at most.
const LEAST_OPEN_FRAC: f64 = 0.01;

/// What a day brings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayIn {
    /// Day of the year, 1 to 366.
    pub day_of_year: u16,
    /// Reference evapotranspiration, mm.
    pub eto_mm: f64,
    /// The weather's part of the climate adjustment, see [`crate::coefficients::climate_term`].
    pub climate_term: f64,
    /// Rain that enters the ground, mm.
    pub rain_mm: f64,
    /// Water from the line, mm over the roots' ground.
    pub line_mm: f64,
    /// Water carried by hand, mm over the roots' ground.
    pub hand_mm: f64,
    /// Whether the line's water stood over the roots for most of the day.
    pub under_water: bool,
}

/// Where the day's water went, mm over the roots' ground.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Fluxes {
    /// Found by deepening roots.
    pub reached_mm: f64,
    /// From the roots' ground to the soil below, less what backed up.
    pub passed_down_mm: f64,
    /// Out of the soil below, out of reach.
    pub drained_mm: f64,
    /// Not taken by full pores.
    pub turned_away_mm: f64,
    /// Transpired by the tree.
    pub by_tree_mm: f64,
    /// Transpired by grass and nurse plants.
    pub by_cover_mm: f64,
    /// Evaporated from the ground.
    pub evaporated_mm: f64,
}

/// What a day did.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayOut {
    /// Where the water went.
    pub flux: Fluxes,
    /// What the tree got of what it would use: 1 without stress, 0 none.
    pub stress_frac: f64,
    /// Lacking to field capacity at the end of the day, mm.
    pub depletion_mm: f64,
    /// What the tree could draw on without stress, mm.
    pub readily_mm: f64,
    /// Ground that the roots have reached, m²: litres are mm times this.
    pub area_m2: f64,
    /// Ground that roots reached sideways this day, m²; it came with the water in it.
    pub widened_m2: f64,
    /// Roots without air at the end of the day.
    pub wet_feet: bool,
    /// The tree got less than the share that counts as dry.
    pub dry: bool,
}

impl DayOut {
    /// Litres of a depth over the roots' ground. A millimetre on a square metre is a litre.
    pub fn litres(&self, depth_mm: f64) -> f64 {
        depth_mm * self.area_m2
    }
}

/// What leaves a layer in a day, mm. It holds `field_mm` against drainage and `full_mm` in all; full, it passes
/// `rate_mm_d`, and the rate falls straight to nothing at `field_mm`. What it holds over `full_mm` is water that
/// stands on it and passes at the full rate.
fn drains_mm(store_mm: f64, field_mm: f64, full_mm: f64, rate_mm_d: f64) -> f64 {
    let excess_mm = store_mm - field_mm;
    if excess_mm <= 0.0 || rate_mm_d <= 0.0 {
        return 0.0;
    }
    let standing_mm = (store_mm - full_mm).max(0.0);
    if standing_mm >= rate_mm_d {
        return rate_mm_d;
    }
    let span_mm = full_mm - field_mm;
    if span_mm <= 0.0 {
        return standing_mm;
    }
    let left_d = 1.0 - standing_mm / rate_mm_d;
    standing_mm + excess_mm.min(span_mm) * (1.0 - libm::exp(-left_d * rate_mm_d / span_mm))
}

impl Season {
    /// Kcb of a full stand in today's climate, and the share of its leaves that are out.
    fn today(&self, day_of_year: u16, climate_term: f64, height_term: f64) -> (f64, f64) {
        let [start, mid, end] = self.basal;
        let figures =
            [start, adjusted(mid, climate_term, height_term), adjusted_late(end, climate_term, height_term)];
        let day = day_of_season(self.start_day, day_of_year);
        let full = self.stages.coefficient(figures, day).unwrap_or(self.resting_basal);
        if !self.drops_leaves {
            return (full, 1.0);
        }
        let leaves_frac = ((full - self.resting_basal) / (figures[1] - self.resting_basal)).clamp(0.0, 1.0);
        (full, leaves_frac)
    }
}

/// What the day would draw without stress, as shares of the reference.
struct Demand {
    tree: f64,
    cover: f64,
    /// What dry ground between still loses.
    ground: f64,
    /// What wet ground loses.
    surface: f64,
    /// Share of the ground open to the sky.
    open_frac: f64,
}

fn demand(ground: &TreeGround, state: &TreeState, day: &DayIn) -> Demand {
    let stature = &state.stature;
    let (full, leaves_frac) = ground.season.today(day.day_of_year, day.climate_term, stature.height_term);
    let density_frac = stature.density_frac;
    let tree = density_frac * full;
    let bare_frac = 1.0 - ground.live_cover_frac;
    let lit_frac = 1.0 - stature.cover_frac * leaves_frac;
    let cover = ground.live_cover_frac * lit_frac * LIVE_COVER_BASAL;
    // Tree and ground together are eq. 98, written as the shares of each.
    let residue = (basal(LEAST_BASAL, full, density_frac) - tree) * bare_frac;
    let all_basal = tree + cover + residue;
    let most = most_coefficient(all_basal, day.climate_term, stature.height_term);
    let open_frac = (lit_frac * bare_frac).max(LEAST_OPEN_FRAC);
    let wet = ground.surface.coefficient(state.surface_depleted_mm, most, all_basal, open_frac);
    Demand {
        tree,
        cover,
        ground: residue,
        surface: wet * mulch::evaporation_frac(ground.mulched_frac),
        open_frac,
    }
}

impl TreeState {
    /// Lives through a day: the state becomes that of the day's end.
    pub fn step(&mut self, ground: &TreeGround, day: &DayIn) -> DayOut {
        let (reached_mm, widened_m2) = self.grow(ground);
        let mut flux = self.fill_and_drain(ground, day);
        flux.reached_mm = reached_mm;
        let demand = demand(ground, self, day);
        let (stress_frac, readily_mm) = self.draw(ground, day, &demand, &mut flux);
        self.age_days += 1;
        let wet_feet = day.under_water || self.lacks_air(ground);
        let dry = stress_frac < ground.dry_below_frac;
        self.wet_run_days = if wet_feet { self.wet_run_days + 1 } else { 0 };
        self.dry_run_days = if dry { self.dry_run_days + 1 } else { 0 };
        DayOut {
            flux,
            stress_frac,
            depletion_mm: self.depletion_mm(ground),
            readily_mm,
            area_m2: self.stature.area_m2,
            widened_m2,
            wet_feet,
            dry,
        }
    }

    /// Takes the day's water in and lets the excess go down.
    fn fill_and_drain(&mut self, ground: &TreeGround, day: &DayIn) -> Fluxes {
        let soil = &ground.soil;
        let (root_m, below_m) = (self.stature.root_depth_m, ground.soil_depth_m - self.stature.root_depth_m);
        let field_mm = |depth_m: f64| 1000.0 * soil.field_capacity_frac * depth_m;
        let full_mm = |depth_m: f64| 1000.0 * soil.saturation_frac * depth_m;
        self.surface_depleted_mm = (self.surface_depleted_mm - day.rain_mm - day.hand_mm).max(0.0);

        self.root_mm += day.rain_mm + day.line_mm + day.hand_mm;
        let rate_mm_d = HOURS_PER_DAY * soil.conductivity_mm_h;
        let passed_mm = drains_mm(self.root_mm, field_mm(root_m), full_mm(root_m), rate_mm_d);
        self.root_mm -= passed_mm;
        self.below_mm += passed_mm;
        let under_mm_d = HOURS_PER_DAY * ground.under_mm_h.min(soil.conductivity_mm_h);
        let drained_mm = drains_mm(self.below_mm, field_mm(below_m), full_mm(below_m), under_mm_d);
        self.below_mm -= drained_mm;
        let backed_up_mm = (self.below_mm - full_mm(below_m)).max(0.0);
        self.below_mm -= backed_up_mm;
        self.root_mm += backed_up_mm;
        let turned_away_mm = (self.root_mm - full_mm(root_m)).max(0.0);
        self.root_mm -= turned_away_mm;
        Fluxes { passed_down_mm: passed_mm - backed_up_mm, drained_mm, turned_away_mm, ..Fluxes::default() }
    }

    /// Lets the air draw. Gives the stress and the water that was there without it.
    fn draw(&mut self, ground: &TreeGround, day: &DayIn, demand: &Demand, flux: &mut Fluxes) -> (f64, f64) {
        let soil = &ground.soil;
        let root_m = self.stature.root_depth_m;
        let available_mm = soil.available_mm(root_m);
        let asked_mm = (demand.tree + demand.cover + demand.ground + demand.surface) * day.eto_mm;
        let readily_frac = depletion_frac(ground.season.depletion_frac, asked_mm);
        let stress = stress_frac(available_mm, readily_frac, self.depletion_mm(ground));

        let surface_left_mm = (ground.surface.total_mm - self.surface_depleted_mm) * demand.open_frac;
        let from_surface_mm = (demand.surface * day.eto_mm).min(surface_left_mm);
        let by_tree_mm = stress * demand.tree * day.eto_mm;
        let by_cover_mm = stress * demand.cover * day.eto_mm;
        let from_ground_mm = stress * demand.ground * day.eto_mm;
        let all_mm = by_tree_mm + by_cover_mm + from_ground_mm + from_surface_mm;
        // No more than the water above the wilting point leaves: all who draw get the same share of it.
        let there_mm = (self.root_mm - 1000.0 * soil.wilting_point_frac * root_m).max(0.0);
        let share = if all_mm > there_mm { there_mm / all_mm } else { 1.0 };

        flux.by_tree_mm = share * by_tree_mm;
        flux.by_cover_mm = share * by_cover_mm;
        flux.evaporated_mm = share * (from_ground_mm + from_surface_mm);
        self.root_mm -= flux.by_tree_mm + flux.by_cover_mm + flux.evaporated_mm;
        self.surface_depleted_mm += share * from_surface_mm / demand.open_frac;
        (share * stress, readily_frac * available_mm)
    }

    fn lacks_air(&self, ground: &TreeGround) -> bool {
        let soil = &ground.soil;
        let held_frac = self.root_mm / (1000.0 * self.stature.root_depth_m);
        held_frac > soil.saturation_frac - LEAST_AIR_FRAC
            && held_frac > soil.field_capacity_frac + ABOVE_FIELD_CAPACITY_FRAC
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::water_balance::tests::fig;

    /// FAO-56, example 38: ten days of a root zone that deepens from 0.30 to 0.35 m over soil at field capacity,
    /// TAW 130 and RAW 78 mm a metre, 40 mm early on day 1 and 27 mm early on day 10. Drainage comes before
    /// the day's use. Use is as example 35 prints it, on day 10 that of freshly wetted ground (1.21 · 5.2);
    /// depletion is printed to whole millimetres from figures rounded on the way: 0.6 mm.
    #[test]
    fn published_root_zone_of_ten_days() {
        let mut ground = fig();
        ground.soil.field_capacity_frac = 0.23;
        ground.soil.wilting_point_frac = 0.10;
        ground.soil.saturation_frac = 0.45;
        // So free that a day's drainage is done at once, as the example has it.
        ground.soil.conductivity_mm_h = 1000.0;
        ground.under_mm_h = 1000.0;
        ground.season.depletion_frac = 0.6;
        let used_mm = [5.5, 6.1, 4.0, 2.9, 2.5, 2.7, 4.7, 2.8, 2.2, 6.3];
        let printed_start = [0.0, 5.0, 12.0, 16.0, 18.0, 15.0, 18.0, 22.0, 25.0, 0.0];
        let printed_end = [5.0, 12.0, 16.0, 18.0, 21.0, 18.0, 22.0, 25.0, 27.0, 6.0];
        let mut state = TreeState::planted(&ground, 1.0);
        state.stature.root_depth_m = 0.30;
        state.root_mm = 230.0 * 0.30 - 23.4;
        state.below_mm = 230.0 * (ground.soil_depth_m - 0.30);
        for day in 0..10 {
            let deeper_m = 0.30 + 0.05 * day as f64 / 9.0 - state.stature.root_depth_m;
            state.stature.root_depth_m += deeper_m;
            state.root_mm += 230.0 * deeper_m;
            state.below_mm -= 230.0 * deeper_m;
            let hand_mm = [40.0, 27.0 + 0.3, 0.0][if day == 0 {
                0
            } else if day == 9 {
                1
            } else {
                2
            }];
            let rain_mm = if day == 5 { 6.0 } else { 0.0 };
            let weather = DayIn {
                day_of_year: 180,
                eto_mm: 1.0,
                climate_term: 0.0,
                rain_mm,
                line_mm: 0.0,
                hand_mm,
                under_water: false,
            };
            let mut flux = state.fill_and_drain(&ground, &weather);
            let start_mm = state.depletion_mm(&ground);
            assert!((start_mm - printed_start[day]).abs() <= 0.6, "day {}: {start_mm}", day + 1);
            let deep_mm = if day == 0 { 17.0 } else { 0.0 };
            assert!((flux.passed_down_mm - deep_mm).abs() <= 0.6, "day {}: {flux:?}", day + 1);
            let demand = Demand { tree: used_mm[day], cover: 0.0, ground: 0.0, surface: 0.0, open_frac: 1.0 };
            let (stress, _) = state.draw(&ground, &weather, &demand, &mut flux);
            assert_eq!(stress, 1.0, "day {}", day + 1);
            let end_mm = state.depletion_mm(&ground);
            assert!((end_mm - printed_end[day]).abs() <= 0.6, "day {}: {end_mm}", day + 1);
        }
    }

    /// Excess x leaves as x (1 − e^(−K/X)); with K = X ln 2 half of it goes in a day. Water that stands on top
    /// passes at the full rate first.
    #[test]
    fn drainage_in_closed_form() {
        let rate_mm_d = 100.0 * libm::log(2.0);
        assert!((drains_mm(240.0, 200.0, 300.0, rate_mm_d) - 20.0).abs() <= 1e-12);
        assert_eq!(drains_mm(200.0, 200.0, 300.0, rate_mm_d), 0.0);
        assert_eq!(drains_mm(900.0, 200.0, 300.0, 50.0), 50.0);
        assert_eq!(drains_mm(310.0, 200.0, 300.0, 0.0), 0.0);
        // 10 mm stand: they take a tenth of the day, the rest drains from full for 0.9 d.
        let expected_mm = 10.0 + 100.0 * (1.0 - libm::exp(-0.9));
        assert!((drains_mm(310.0, 200.0, 300.0, 100.0) - expected_mm).abs() <= 1e-12);
        // No layer at all: what comes passes at most at the full rate.
        assert_eq!(drains_mm(7.0, 0.0, 0.0, 5.0), 5.0);
        assert_eq!(drains_mm(3.0, 0.0, 0.0, 5.0), 3.0);
    }
}
