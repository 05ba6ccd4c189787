//! What comes to a line, and the rain that fills it.
//!
//! Rain P runs off three kinds of ground: a hillside sheds what its curve number says, a hard surface all but its
//! first wetting, and the line itself catches all that falls on it. Drains and chutes hold nothing, so what comes
//! to them comes to the swale they lead to. The rain that fills a line is the P at which this runoff R(P) is what
//! the line holds; R only grows with P, so halving a bracket finds it.
//!
//! The peak is the rational method, Q = C·i·A, with i the worst ten minutes of the design storm. They are taken to
//! come last, on ground as wet as the storm makes it: C·i·A = (R(P) − R(P − p₁₀)) / 10 min. Lines above pass all of
//! theirs on at once and hold nothing: conservative, and unrouted. Source of the method: FHWA HDS-2, ch. 5, for
//! areas below 80 ha. Leaves out travel time, soaking on the way, and seeps beyond their base flow.

use ground::{Point, Polygon};
use quantity::Estimate;
use quantity::convert::{l_to_m3, m3_to_l, mm_to_m};
use site::{Line, Plan, Site, Source, SourceKind};
use water::runoff::{CurveNumber, hard_surface_runoff_m};

use super::Supply;
use super::land::{self, Stretch};
use super::spill::SpillGraph;
use crate::layout::{Arrives, LaidLine};
use crate::storms::{BLOCK_MIN, worst_ten_minutes_mm};

/// Rain is found to a hundredth of a millimetre: a tenth of what a gauge shows.
const RAIN_TOLERANCE_MM: f64 = 0.01;
/// More than the wettest day on record anywhere: a line that this does not fill has nothing that fills it.
const MOST_RAIN_MM: f64 = 2000.0;
/// The site file's promise: what a hard surface takes before any runs off, mm.
const USUAL_FIRST_WETTING_MM: f64 = 1.0;

/// What the line needs to know of itself before its supply can be told.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Own {
    /// Volume it holds; none for what only carries.
    pub holds_m3: Option<f64>,
    /// Plan area of its water when full: rain on it is all caught.
    pub surface_m2: f64,
}

/// What sheds rain into one line.
#[derive(Debug, Clone, PartialEq)]
struct Feeds {
    /// Ground that drains to it, none where that is not known.
    catchment_m2: Option<f64>,
    /// That ground without what the full line itself covers, by hillsides, each with its curve numbers; none where
    /// no source tells possible ones.
    hillsides: Vec<(f64, Option<[CurveNumber; 3]>)>,
    /// Areas with their first wetting.
    hard: Vec<(f64, f64)>,
    surface_m2: f64,
    seep_m3_s: Estimate,
}

/// The design storm as its peak is reckoned.
struct Worst {
    depth_mm: f64,
    ten_minutes_mm: f64,
}

/// Which end of each range; in the order in which a range is written.
#[derive(Clone, Copy)]
enum End {
    Low,
    Likely,
    High,
}

impl End {
    fn of(self, range: Estimate) -> f64 {
        match self {
            End::Low => range.low(),
            End::Likely => range.likely(),
            End::High => range.high(),
        }
    }
}

/// The curve numbers of a range; none where one of them is none.
fn curve_numbers(range: Estimate) -> Option<[CurveNumber; 3]> {
    let number = |end: End| CurveNumber::new(end.of(range)).ok();
    Some([number(End::Low)?, number(End::Likely)?, number(End::High)?])
}

impl Feeds {
    fn of(plan: &Plan, line: &Line, laid: &LaidLine, own: Own) -> Feeds {
        let numbers = |source: Option<&Source>| source.and_then(|source| curve_numbers(source.curve_number?));
        let sheds = land::sheds(plan, line, laid, &stretches(laid, own.surface_m2));
        let seeps = picked_up(plan, line, SourceKind::Seep).filter_map(|(source, share_frac)| {
            Some(source.flow_l_min?.map_monotone(|l_min| share_frac * l_min))
        });
        Feeds {
            catchment_m2: land::written_m2(plan, line).or_else(|| laid.catchment_m2()),
            hillsides: sheds.iter().map(|shed| (shed.whole_m2(), numbers(shed.source))).collect(),
            hard: picked_up(plan, line, SourceKind::HardSurface)
                .filter_map(|(source, share_frac)| {
                    Some((share_frac * area_m2(source)?, first_wetting_mm(source)))
                })
                .collect(),
            surface_m2: own.surface_m2,
            seep_m3_s: super::digging::sum(seeps).map_monotone(|l_min| l_to_m3(l_min) / 60.0),
        }
    }

    /// Whether all that sheds into the line is known.
    fn is_known(&self) -> bool {
        self.catchment_m2.is_some() && self.hillsides.iter().all(|(_, numbers)| numbers.is_some())
    }

    /// Runoff of so much rain.
    fn runoff_m3(&self, rain_mm: f64, end: End) -> f64 {
        let rain_m = mm_to_m(rain_mm);
        let hillside_m3 = |(m2, numbers): &(f64, Option<[CurveNumber; 3]>)| {
            numbers.map_or(0.0, |numbers| m2 * numbers[end as usize].runoff_m(rain_m))
        };
        let hard_m3: f64 = self
            .hard
            .iter()
            .map(|(area_m2, wetting_mm)| area_m2 * hard_surface_runoff_m(rain_m, mm_to_m(*wetting_mm)))
            .sum();
        self.hillsides.iter().map(hillside_m3).sum::<f64>() + hard_m3 + self.surface_m2 * rain_m
    }

    /// The peak of its own sources at the end of the storm.
    fn peak_m3_s(&self, rain: &Worst, end: End) -> f64 {
        let worst_mm = rain.ten_minutes_mm;
        let before_mm = if rain.depth_mm > worst_mm { rain.depth_mm - worst_mm } else { 0.0 };
        let worst_m3 = self.runoff_m3(before_mm + worst_mm, end) - self.runoff_m3(before_mm, end);
        worst_m3 / (60.0 * BLOCK_MIN) + end.of(self.seep_m3_s)
    }
}

/// Area of a source as written, or of its ring.
pub(crate) fn area_m2(source: &Source) -> Option<f64> {
    source.area_m2.or_else(|| {
        let ring = source.area.as_ref()?.iter().map(|at| Point::new(at[0], at[1])).collect();
        Some(Polygon::new(ring)?.area_m2())
    })
}

/// Rain that wets a hard surface before any runs off.
pub(crate) fn first_wetting_mm(source: &Source) -> f64 {
    source.first_wetting_mm.unwrap_or(USUAL_FIRST_WETTING_MM)
}

/// The sources of a kind that a line picks up, each with its share.
fn picked_up<'a>(
    plan: &'a Plan,
    line: &'a Line,
    kind: SourceKind,
) -> impl Iterator<Item = (&'a Source, f64)> {
    let sources = plan.sources.iter().filter(move |source| source.kind == kind);
    sources.flat_map(|source| source.picked_up_by(&line.name).map(move |picked| (source, picked.share_frac)))
}

/// The ground that drains to each stretch, less what the full line covers of its own cells; one stretch without
/// ground where nothing is known of it.
fn stretches(laid: &LaidLine, surface_m2: f64) -> Vec<Stretch> {
    let length_m = laid.length_m();
    if laid.arrives.is_empty() {
        return vec![Stretch { at_m: 0.5 * length_m, length_m, land_m2: 0.0 }];
    }
    let own_m2: f64 = laid.arrives.iter().map(|arrives| arrives.own_m2).sum();
    let bare_own_m2 = if own_m2 > surface_m2 { own_m2 - surface_m2 } else { 0.0 };
    let counted_m: f64 = laid.arrives.iter().map(|arrives| arrives.to_m - arrives.from_m).sum();
    let stretch = |arrives: &Arrives| {
        let length_m = arrives.to_m - arrives.from_m;
        let beside_m2 = arrives.uphill_m2 + arrives.downhill_m2;
        Stretch {
            at_m: 0.5 * (arrives.from_m + arrives.to_m),
            length_m,
            land_m2: beside_m2 + bare_own_m2 * length_m / counted_m,
        }
    };
    laid.arrives.iter().map(stretch).collect()
}

/// What comes to each line of a plan, in its order.
pub(super) fn of(site: &Site, laid: &[LaidLine], graph: &SpillGraph, own: &[Own]) -> Vec<Supply> {
    let plan = &site.plan;
    let worst = Worst { depth_mm: plan.rain.design.depth_mm, ten_minutes_mm: worst_ten_minutes_mm(site) };
    let feeds: Vec<Feeds> = plan
        .lines
        .iter()
        .zip(laid)
        .zip(own)
        .map(|((line, laid), own)| Feeds::of(plan, line, laid, *own))
        .collect();
    let gathered = gathered(graph, own);
    let peaks = peaks_m3_s(&worst, &feeds, graph);
    (0..feeds.len())
        .map(|i| Supply {
            catchment_m2: feeds[i].catchment_m2,
            drains_here: laid[i].arrives.clone(),
            comes_from_deg: laid[i].comes_from_deg,
            holds_rain_mm: own[i].holds_m3.and_then(|holds_m3| fills_mm(holds_m3, &gathered[i], &feeds)),
            design_peak_l_s: peaks[i].map(|peak| peak.map_monotone(m3_to_l)),
        })
        .collect()
}

/// The rain whose runoff from these lines' sources, each with its share, is a volume; none where one is not known.
fn fills_mm(holds_m3: f64, from: &[(usize, f64)], feeds: &[Feeds]) -> Option<f64> {
    let known = from.iter().all(|(line, _)| feeds[*line].is_known());
    let runoff_m3 = |rain_mm: f64| {
        from.iter().map(|(line, share)| share * feeds[*line].runoff_m3(rain_mm, End::Likely)).sum::<f64>()
    };
    known.then(|| rain_that_fills_mm(holds_m3, runoff_m3)).flatten()
}

/// For each line the lines whose own sources come to it with nothing held on the way: itself, and what only
/// carries and leads to it, each with its share.
fn gathered(graph: &SpillGraph, own: &[Own]) -> Vec<Vec<(usize, f64)>> {
    let mut gathered: Vec<Vec<(usize, f64)>> = (0..own.len()).map(|line| vec![(line, 1.0)]).collect();
    for from in &graph.order {
        if own[*from].holds_m3.is_some() {
            continue;
        }
        for outlet in &graph.outlets[*from] {
            if let Some(to) = outlet.to.filter(|_| outlet.share_frac > 0.0) {
                let passed = gathered[*from].clone();
                gathered[to]
                    .extend(passed.into_iter().map(|(line, share)| (line, share * outlet.share_frac)));
            }
        }
    }
    gathered
}

/// The peak at each line with all that comes from above; none where something above is not known.
fn peaks_m3_s(rain: &Worst, feeds: &[Feeds], graph: &SpillGraph) -> Vec<Option<Estimate>> {
    let unknown: Vec<f64> = feeds.iter().map(|feeds| if feeds.is_known() { 0.0 } else { 1.0 }).collect();
    let unknown = graph.passed_down(&unknown);
    let passed = |end: End| {
        let own: Vec<f64> = feeds.iter().map(|feeds| feeds.peak_m3_s(rain, end)).collect();
        graph.passed_down(&own)
    };
    let (low, likely, high) = (passed(End::Low), passed(End::Likely), passed(End::High));
    (0..feeds.len())
        .map(|i| (unknown[i] == 0.0).then(|| Estimate::spanning(likely[i], low[i], high[i])))
        .collect()
}

/// The rain whose runoff is this volume; none where no rain makes it.
fn rain_that_fills_mm(holds_m3: f64, runoff_m3: impl Fn(f64) -> f64) -> Option<f64> {
    let (mut low_mm, mut high_mm) = (0.0, MOST_RAIN_MM);
    let fills = |rain_mm: f64| runoff_m3(rain_mm) >= holds_m3;
    // Each turn halves the bracket, so it ends: 18 turns.
    while high_mm - low_mm > RAIN_TOLERANCE_MM {
        let middle_mm = (low_mm + high_mm) / 2.0;
        if fills(middle_mm) {
            high_mm = middle_mm;
        } else {
            low_mm = middle_mm;
        }
    }
    fills(MOST_RAIN_MM).then_some((low_mm + high_mm) / 2.0)
}
