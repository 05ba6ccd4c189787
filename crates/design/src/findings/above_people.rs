//! Water held where a break would reach people.
//!
//! From the lowest place of a swale's bank, where it would break, the water's way is followed downhill. What it
//! passes near is below the line.

use ground::Point;
use quantity::figures::fixed;
use site::{KeepClear, KeepClearKind, LineKind};

use super::facts::distance_to_m;
use super::{Facts, Finding, Place, Severity};

/// The finding's code.
pub const CODE: &str = "above-people";

const SOURCE: &str = "guard for handwork, common practice, no source: an engineer where more than 50 m³ or more than 0.6 m of water stands above a house, road or neighbour";
/// How near the way of a break may pass. English guidance for soakaways keeps 5 m from a building, m.
const NEAR_M: f64 = 5.0;
/// More than this held above people is an engineer's, m³. Common practice, no source.
const MUCH_M3: f64 = 50.0;
/// Deeper water than this above the ground at the pegs is an engineer's, m. Common practice, no source.
const DEEP_M: f64 = 0.6;

/// One finding a swale and thing below it.
pub fn find(facts: &Facts) -> Vec<Finding> {
    let mut found = Vec::new();
    let Some(ways) = &facts.layout.water_ways else {
        return found;
    };
    for (line, laid, sizes) in facts.lines().filter(|(line, ..)| line.kind == LineKind::Swale) {
        let Some(holding) = &sizes.holding else { continue };
        let breaks_at_m = holding.lowest_bank.map_or(0.5 * laid.length_m(), |low| low.chainage_m);
        let Some(from) = laid.path.as_ref().and_then(|path| path.at(breaks_at_m)) else {
            continue;
        };
        let Some(way) = ways.from(from) else { continue };
        let deep = line.bank_height_m.is_some_and(|height_m| height_m > DEEP_M);
        let much = holding.holds_m3 > MUCH_M3;
        for thing in &facts.site.plan.keep_clears {
            let Some(severity) = weigh(thing.kind, much || deep) else {
                continue;
            };
            let Some(near_m) = nearest_m(&way.points, thing).filter(|near_m| *near_m <= NEAR_M) else {
                continue;
            };
            found.push(Finding {
                code: CODE,
                severity,
                place: Place::on(laid, breaks_at_m).with_thing(&thing.name),
                values: vec![("holds_m3", fixed(holding.holds_m3, 1)), ("near_m", fixed(near_m, 1))],
                source: SOURCE,
            });
        }
    }
    found
}

/// A building is told of in any case; a road or neighbour only when much is held.
fn weigh(kind: KeepClearKind, much: bool) -> Option<Severity> {
    match (kind, much) {
        (KeepClearKind::Building, true) => Some(Severity::Stop),
        (KeepClearKind::Building, false) => Some(Severity::Warn),
        (KeepClearKind::Road | KeepClearKind::Boundary, true) => Some(Severity::Stop),
        _ => None,
    }
}

fn nearest_m(way: &[Point], thing: &KeepClear) -> Option<f64> {
    way.iter().map(|place| distance_to_m(thing, *place)).min_by(f64::total_cmp)
}

#[cfg(test)]
mod tests {
    use super::super::sample::{Sample, keep_clear};
    use super::*;

    /// Ground that falls to the south by 6 %: what breaks out at (20, 0) runs south along x = 20.
    fn above(thing_y_m: f64, holds_m3: f64) -> Option<Severity> {
        let mut sample = Sample::sound();
        sample.lay_on_a_southern_slope();
        sample.sizes.lines[0].holding.as_mut().unwrap().holds_m3 = holds_m3;
        sample.site.plan.keep_clears = vec![keep_clear("house", KeepClearKind::Building, 23.0, thing_y_m)];
        find(&sample.facts()).first().map(|f| f.severity)
    }

    #[test]
    fn a_house_below_is_told_of_and_one_above_is_not() {
        assert_eq!(above(-20.0, 8.0), Some(Severity::Warn));
        assert_eq!(above(-20.0, 60.0), Some(Severity::Stop));
        assert_eq!(above(12.0, 60.0), None);
    }
}
