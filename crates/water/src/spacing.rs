//! How far apart lines lie down a slope.
//!
//! Old rules give the fall from one line to the next (the vertical interval, VI) by the slope alone. They know
//! nothing of this soil and this rain, so they serve as a check; the spacing that counts is the one at which the
//! strip above sheds no more than the line holds.
//!
//! By storage: a strip D wide sheds r·D a metre of line, so D = A/r for a line that holds A a metre; an upright
//! bank of height h on a slope p holds h²/(2p), so h = √(2·r·D·p).
//!
//! Sources: beside each rule. The slopes they were made for are farmland, mostly under 10 %. Leaves out overlap of
//! machines, rows and the like.

use quantity::convert::cm_to_m;

/// Vertical interval for low to medium rain, m: 0.3·(S/3 + 2), S in percent. India: NPTEL, Soil and Water
/// Conservation Engineering, lecture 13.
pub fn interval_moderate_rain_m(slope: f64) -> f64 {
    0.3 * (percent(slope) / 3.0 + 2.0)
}

/// Vertical interval for high rain, m: 10·S + 60 cm, S in percent. India: "Design of contour and graded bunds".
pub fn interval_high_rain_m(slope: f64) -> f64 {
    cm_to_m(10.0 * percent(slope) + 60.0)
}

/// Vertical interval of benches of a width, m: S·W/(100 − S·U), S in percent, U the batter of the riser
/// (horizontal for vertical). FAO terrace formula; none where the riser is flatter than the hill.
pub fn interval_of_benches_m(slope: f64, bench_width_m: f64, riser_batter: f64) -> Option<f64> {
    let left = 1.0 - slope * riser_batter;
    (left > 0.0).then(|| slope * bench_width_m / left)
}

/// Distance on the map between lines that lie a vertical interval apart; none on level ground.
pub fn apart_m(interval_m: f64, slope: f64) -> Option<f64> {
    (slope > 0.0).then(|| interval_m / slope)
}

/// Distance at which the strip above sheds just what a line holds, by area of its section and depth of runoff.
/// None if nothing runs off.
pub fn apart_by_storage_m(holds_m2: f64, runoff_m: f64) -> Option<f64> {
    (runoff_m > 0.0).then(|| holds_m2 / runoff_m)
}

/// Height of still water against an upright bank that holds the runoff of the strip above: h = √(2·r·D·p), from
/// the wedge h²/(2p) = r·D.
pub fn bank_height_m(runoff_m: f64, apart_m: f64, slope: f64) -> f64 {
    (2.0 * runoff_m * apart_m * slope).sqrt()
}

/// A step of a table: up to this slope (rise over run), this far apart.
type Step = (f64, f64);

/// Spacing of hillside ditches: USDA-NRCS practice standard 423.
const HILLSIDE_DITCHES: [Step; 4] = [(0.12, 12.2), (0.25, 10.7), (0.40, 7.6), (f64::INFINITY, 6.1)];
/// Longest hillside ditch, m. Same source.
pub const HILLSIDE_DITCH_LONGEST_M: f64 = 152.0;
/// Spacing of ridges across a track: Illinois Urban Manual, practice standard 900, 125 to 25 ft.
const TRACK_RIDGES: [Step; 5] =
    [(0.05, 38.0), (0.10, 30.0), (0.20, 23.0), (0.35, 15.0), (f64::INFINITY, 7.6)];

/// Greatest distance between hillside ditches, m. USDA-NRCS practice standard 423.
pub fn hillside_ditches_apart_m(slope: f64) -> f64 {
    step(&HILLSIDE_DITCHES, slope)
}

/// Distance between ridges that turn water off a track, m. Illinois Urban Manual, practice standard 900.
pub fn track_ridges_apart_m(slope: f64) -> f64 {
    step(&TRACK_RIDGES, slope)
}

/// The first step that reaches the slope; a slope that is not a number gives no number.
fn step(table: &[Step], slope: f64) -> f64 {
    table.iter().find(|(up_to, _)| slope <= *up_to).map_or(f64::NAN, |(_, apart_m)| *apart_m)
}

fn percent(slope: f64) -> f64 {
    100.0 * slope
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::convert::ft_to_m;

    /// NPTEL lecture 13: 4.5 % gives 1.05 m. "Design of contour and graded bunds": 4 % gives 1.0 m, 25 m apart.
    #[test]
    fn published_vertical_intervals() {
        assert!((interval_moderate_rain_m(0.045) - 1.05).abs() <= 1e-12);
        let interval_m = interval_high_rain_m(0.04);
        assert!((interval_m - 1.0).abs() <= 1e-12);
        assert!((apart_m(interval_m, 0.04).unwrap() - 25.0).abs() <= 1e-9);
    }

    /// An upright riser on a slope p lifts a bench of width W by p·W; a riser as flat as the hill never ends.
    #[test]
    fn benches_by_hand() {
        assert!((interval_of_benches_m(0.2, 3.0, 0.0).unwrap() - 0.6).abs() <= 1e-12);
        assert!((interval_of_benches_m(0.2, 3.0, 1.0).unwrap() - 0.75).abs() <= 1e-12);
        assert_eq!(interval_of_benches_m(0.5, 3.0, 2.0), None);
    }

    /// h = √(2·r·D·p): r 40 mm, D 10 m, p 10 % gives 0.28 m, 20 % 0.40 m. The wedge in front of the bank then
    /// holds r·D, and the distance by storage is D again.
    #[test]
    fn storage_rule_in_closed_form() {
        for (slope, height_m) in [(0.10, 0.28), (0.20, 0.40)] {
            let h = bank_height_m(0.040, 10.0, slope);
            assert!((h - height_m).abs() <= 0.005);
            let apart_m = apart_by_storage_m(h * h / (2.0 * slope), 0.040).unwrap();
            assert!((apart_m - 10.0).abs() <= 1e-12);
        }
        assert_eq!(apart_by_storage_m(0.2, 0.0), None);
    }

    /// USDA-NRCS 423: 40, 35, 25 and 20 ft. Illinois 900: 125, 100, 75, 50 and 25 ft.
    #[test]
    fn published_spacing_tables() {
        for (slope, feet) in [(0.10, 40.0), (0.20, 35.0), (0.30, 25.0), (0.50, 20.0)] {
            assert!((hillside_ditches_apart_m(slope) - ft_to_m(feet)).abs() <= 0.05);
        }
        for (slope, feet) in [(0.04, 125.0), (0.08, 100.0), (0.15, 75.0), (0.30, 50.0), (0.40, 25.0)] {
            let tolerance_m = if feet > 30.0 { 0.5 } else { 0.05 };
            assert!((track_ridges_apart_m(slope) - ft_to_m(feet)).abs() <= tolerance_m);
        }
        assert!((HILLSIDE_DITCH_LONGEST_M - ft_to_m(500.0)).abs() <= 0.5);
        assert!(track_ridges_apart_m(f64::NAN).is_nan());
    }
}
