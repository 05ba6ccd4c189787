//! How much land drains to each metre of each line, all lines cutting the flow, and the way water takes from a
//! place.
//!
//! Hollows of the ground count as full: in the storms that matter they pass on what comes. A pipe lies below the
//! ground and cuts nothing.

use ground::catchment::{Catchments, Ends, Hollows};
use ground::{Point, Polyline, Surface};
use site::LineKind;

use super::{Arrives, LaidLine};

/// Cells on which water is followed where the ground is not a raster of its own: about the width of what is
/// dug by hand, so that neighbouring lines do not share cells.
const CELL_M: f64 = 1.0;

/// The ways of water over the ground, up to the lines that take it.
#[derive(Debug, Clone)]
pub struct WaterWays {
    catchments: Catchments,
    /// Places in the layout of the lines that cut the flow.
    cutting: Vec<usize>,
}

/// The way of water from one place.
#[derive(Debug, Clone, PartialEq)]
pub struct WaterWay {
    /// The places it goes through.
    pub points: Vec<Point>,
    /// Where it ends.
    pub ends: WayEnds,
}

/// Where a way of water ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WayEnds {
    /// At the line with this place in the layout.
    Line(usize),
    /// At the edge of what was measured.
    Leaves,
    /// In a hollow.
    Stays,
}

impl WaterWays {
    /// Over this ground and these lines; none where no line is known in plan.
    pub(crate) fn over(surface: &Surface, lines: &[LaidLine]) -> Option<WaterWays> {
        let cutting: Vec<usize> = (0..lines.len())
            .filter(|i| lines[*i].kind != LineKind::Pipe && lines[*i].path.is_some())
            .collect();
        let paths: Vec<Polyline> = cutting.iter().filter_map(|i| lines[*i].path.clone()).collect();
        if paths.is_empty() {
            return None;
        }
        let catchments = Catchments::new(&surface.to_grid(CELL_M), &paths, Hollows::Full);
        Some(WaterWays { catchments, cutting })
    }

    /// The way water takes from a place downhill. From a place on a line it is the way of what spills there.
    /// None where there is no ground.
    pub fn from(&self, place: Point) -> Option<WaterWay> {
        let path = self.catchments.downhill_path(place)?;
        let ends = match path.ends {
            Ends::Line(i) => WayEnds::Line(self.cutting[i]),
            Ends::Leaves => WayEnds::Leaves,
            Ends::Stays => WayEnds::Stays,
        };
        Some(WaterWay { points: path.points, ends })
    }

    /// Tells each line what drains to it.
    pub(super) fn tell(&self, lines: &mut [LaidLine]) {
        for (i, catchment) in self.cutting.iter().zip(self.catchments.lines()) {
            let line = &mut lines[*i];
            // Walking with uphill on the left, the downhill side is −1.
            let uphill_is_left = line.pegs.first().is_none_or(|peg| peg.downhill_side < 0.0);
            line.comes_from_deg = catchment.comes_from.map(|from| from.azimuth_deg());
            line.arrives = catchment
                .metres
                .iter()
                .map(|metre| {
                    let (uphill_m2, downhill_m2) = if uphill_is_left {
                        (metre.from_left_m2, metre.from_right_m2)
                    } else {
                        (metre.from_right_m2, metre.from_left_m2)
                    };
                    Arrives {
                        from_m: metre.chainage_m,
                        to_m: metre.chainage_m + metre.length_m,
                        uphill_m2,
                        downhill_m2,
                        own_m2: metre.own_m2,
                    }
                })
                .collect();
        }
    }
}
