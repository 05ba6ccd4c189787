//! Which hillside sheds how much into each stretch of a line.
//!
//! Hillsides that name the line bring their area, each its share of it, spread as the ground drains or at the one place
//! where it is picked up; one of them may go without an area and brings the rest of the ground. Where none names the
//! line, each stretch has the hillside in whose ring it lies, or else the one that lies everywhere. A line's
//! `catchment_m2` counts as all of its ground.

use ground::{Point, Polygon};
use site::{Line, Plan, Source, SourceKind};

use super::supply::area_m2;
use crate::layout::LaidLine;

/// A stretch of a line and the ground that drains to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stretch {
    /// Its middle.
    pub at_m: f64,
    pub length_m: f64,
    pub land_m2: f64,
}

/// What one hillside sheds into a line from.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Shed<'a> {
    /// The hillside; none where nothing tells how the ground sheds.
    pub source: Option<&'a Source>,
    /// Its ground by the stretches of the line.
    pub land_m2: Vec<f64>,
}

impl Shed<'_> {
    /// All of its ground.
    pub(crate) fn whole_m2(&self) -> f64 {
        self.land_m2.iter().sum()
    }
}

/// Ground whose extent is written for a line, all hillsides together; none where the ground itself tells.
pub(crate) fn written_m2(plan: &Plan, line: &Line) -> Option<f64> {
    line.catchment_m2.or_else(|| {
        let named: Option<Vec<f64>> = named(plan, line).map(|named| named.area_m2).collect();
        named.filter(|areas| !areas.is_empty()).map(|areas| areas.iter().sum())
    })
}

/// The hillsides of a line with their ground; those without any are left out.
pub(crate) fn sheds<'a>(
    plan: &'a Plan,
    line: &Line,
    laid: &LaidLine,
    stretches: &[Stretch],
) -> Vec<Shed<'a>> {
    let named: Vec<Named> = named(plan, line).collect();
    let mut sheds = if named.is_empty() {
        free(plan, laid, &rescaled(stretches, line.catchment_m2))
    } else {
        of_named(&named, line.catchment_m2, stretches)
    };
    sheds.retain(|shed| shed.whole_m2() > 0.0);
    sheds
}

/// A hillside that names a line.
struct Named<'a> {
    source: &'a Source,
    /// What of its area this line picks up; none for the rest of the ground.
    area_m2: Option<f64>,
    at_m: Option<f64>,
}

fn named<'a>(plan: &'a Plan, line: &Line) -> impl Iterator<Item = Named<'a>> {
    let hillsides = plan.sources.iter().filter(|source| source.kind == SourceKind::Hillside);
    hillsides.flat_map(move |source| {
        source.picked_up_by(&line.name).map(move |picked| Named {
            source,
            area_m2: area_m2(source).map(|whole_m2| whole_m2 * picked.share_frac),
            at_m: picked.at_m,
        })
    })
}

fn of_named<'a>(named: &[Named<'a>], catchment_m2: Option<f64>, stretches: &[Stretch]) -> Vec<Shed<'a>> {
    let written_m2: f64 = named.iter().filter_map(|named| named.area_m2).sum();
    let ground_m2: f64 = stretches.iter().map(|stretch| stretch.land_m2).sum();
    let takes_rest = named.iter().any(|named| named.area_m2.is_none());
    let whole_m2 = catchment_m2.unwrap_or(if takes_rest { ground_m2 } else { written_m2 });
    let rest_m2 = if whole_m2 > written_m2 { whole_m2 - written_m2 } else { 0.0 };
    // Areas are stretched to a catchment that is written too, where no hillside takes the rest.
    let times = if takes_rest || written_m2 <= 0.0 { 1.0 } else { whole_m2 / written_m2 };
    let shed = |named: &Named<'a>| {
        let area_m2 = named.area_m2.map_or(rest_m2, |area_m2| area_m2 * times);
        let land_m2 = match named.at_m {
            None => rescaled(stretches, Some(area_m2)).iter().map(|stretch| stretch.land_m2).collect(),
            Some(at_m) => at_one_place(stretches, at_m, area_m2),
        };
        Shed { source: Some(named.source), land_m2 }
    };
    named.iter().map(shed).collect()
}

fn at_one_place(stretches: &[Stretch], at_m: f64, area_m2: f64) -> Vec<f64> {
    let from_m = |stretch: &Stretch| (stretch.at_m - at_m).abs();
    let nearest = (0..stretches.len())
        .reduce(|near, next| if from_m(&stretches[next]) < from_m(&stretches[near]) { next } else { near });
    let mut land_m2 = vec![0.0; stretches.len()];
    if let Some(nearest) = nearest {
        land_m2[nearest] = area_m2;
    }
    land_m2
}

/// The ground as it is, or stretched to an extent that is written: spread as the ground drains, or evenly where
/// nothing is known of it.
fn rescaled(stretches: &[Stretch], written_m2: Option<f64>) -> Vec<Stretch> {
    let Some(written_m2) = written_m2 else {
        return stretches.to_vec();
    };
    let known_m2: f64 = stretches.iter().map(|stretch| stretch.land_m2).sum();
    let length_m: f64 = stretches.iter().map(|stretch| stretch.length_m).sum();
    let share = |stretch: &Stretch| {
        if known_m2 > 0.0 { stretch.land_m2 / known_m2 } else { stretch.length_m / length_m }
    };
    stretches.iter().map(|stretch| Stretch { land_m2: written_m2 * share(stretch), ..*stretch }).collect()
}

/// Each stretch to the hillside in whose ring it lies, else to the first that lies everywhere.
fn free<'a>(plan: &'a Plan, laid: &LaidLine, stretches: &[Stretch]) -> Vec<Shed<'a>> {
    let free = || {
        let hillsides = plan.sources.iter().filter(|source| source.kind == SourceKind::Hillside);
        hillsides.filter(|source| source.picked_up().next().is_none())
    };
    let rings: Vec<(&Source, Polygon)> =
        free().filter_map(|source| Some((source, polygon(source.area.as_ref()?)?))).collect();
    let everywhere = free().find(|source| source.area.is_none());
    let mut sheds: Vec<Shed> = Vec::new();
    for (i, stretch) in stretches.iter().enumerate() {
        let at = laid.path.as_ref().and_then(|path| path.at(stretch.at_m));
        let inside = at.and_then(|at| rings.iter().find(|(_, ring)| ring.contains(at)));
        let source = inside.map(|(source, _)| *source).or(everywhere);
        let name = |source: Option<&Source>| source.map(|source| source.name.clone());
        let known = sheds.iter().position(|shed| name(shed.source) == name(source));
        let shed = known.unwrap_or_else(|| {
            sheds.push(Shed { source, land_m2: vec![0.0; stretches.len()] });
            sheds.len() - 1
        });
        sheds[shed].land_m2[i] = stretch.land_m2;
    }
    sheds
}

fn polygon(ring: &[site::Xy]) -> Option<Polygon> {
    Polygon::new(ring.iter().map(|at| Point::new(at[0], at[1])).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::lay_out;
    use crate::trial;
    use serde_json::{Value, json};

    const GROUND: [Stretch; 2] = [
        Stretch { at_m: 5.0, length_m: 10.0, land_m2: 100.0 },
        Stretch { at_m: 15.0, length_m: 10.0, land_m2: 300.0 },
    ];

    /// The line runs 20 m east from (10, 30) on the hill, by these sources.
    fn shed_by(sources: &Value, catchment_m2: Option<f64>) -> Vec<(String, Vec<f64>)> {
        let site = trial::on_the_hill(&json!({
            "source": sources,
            "line": [{ "name": "west", "kind": "swale", "pegs": [[10.0, 30.0], [30.0, 30.0]], "catchment_m2": catchment_m2 }],
        }));
        let layout = lay_out(&site);
        let sheds = sheds(&site.plan, &site.plan.lines[0], &layout.lines[0], &GROUND);
        sheds.into_iter().map(|shed| (shed.source.unwrap().name.clone(), shed.land_m2)).collect()
    }

    fn hill(name: &str, more: &Value) -> Value {
        let mut hill = json!({ "name": name, "kind": "hillside", "curve_number": 70.0 });
        for (key, value) in more.as_object().unwrap() {
            hill[key] = value.clone();
        }
        hill
    }

    fn named(name: &str, land_m2: [f64; 2]) -> (String, Vec<f64>) {
        (name.to_owned(), land_m2.to_vec())
    }

    /// A hillside of 80 m², spread 1 : 3 as the ground drains, and the rest of 400 m² to the one without an area.
    #[test]
    fn one_hillside_brings_its_area_and_another_the_rest() {
        let wood = hill("wood", &json!({ "into": "west", "area_m2": 80.0 }));
        let pasture = hill("pasture", &json!({ "into": "west" }));
        let both = json!([wood, pasture]);
        assert_eq!(shed_by(&both, None), [named("wood", [20.0, 60.0]), named("pasture", [80.0, 240.0])]);
        assert_eq!(
            shed_by(&both, Some(180.0)),
            [named("wood", [20.0, 60.0]), named("pasture", [25.0, 75.0])]
        );
        assert_eq!(shed_by(&json!([wood]), None), [named("wood", [20.0, 60.0])]);
    }

    /// A quarter of 200 m² arrives at 14 m: all of it in the second stretch.
    #[test]
    fn a_share_arrives_where_it_is_picked_up() {
        let track = hill(
            "track bank",
            &json!({ "area_m2": 200.0, "pick_up": [{ "line": "west", "at_m": 14.0, "share_frac": 0.25 }] }),
        );
        assert_eq!(shed_by(&json!([track]), None), [named("track bank", [0.0, 50.0])]);
    }

    /// A wood over the western half of the line, pasture everywhere else.
    #[test]
    fn each_stretch_has_the_hillside_that_it_lies_in() {
        let ring = json!([[0.0, 0.0], [20.0, 0.0], [20.0, 60.0], [0.0, 60.0]]);
        let both = json!([hill("pasture", &json!({})), hill("wood", &json!({ "area": ring }))]);
        assert_eq!(shed_by(&both, None), [named("wood", [100.0, 0.0]), named("pasture", [0.0, 300.0])]);
    }
}
