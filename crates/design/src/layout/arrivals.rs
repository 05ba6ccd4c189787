//! How much land drains to each metre of each line, all lines cutting the flow.
//!
//! Hollows of the ground count as full: in the storms that matter they pass on what comes. A pipe lies below the
//! ground and cuts nothing.

use ground::catchment::{Catchments, Hollows};
use ground::{Polyline, Surface};
use site::LineKind;

use super::{Arrives, LaidLine};

/// Cells on which water is followed where the ground is not a raster of its own: about the width of what is
/// dug by hand, so that neighbouring lines do not share cells.
const CELL_M: f64 = 1.0;

/// Tells each line what drains to it.
pub(super) fn arrive(surface: &Surface, lines: &mut [LaidLine]) {
    let cutting: Vec<usize> = (0..lines.len())
        .filter(|i| lines[*i].kind != LineKind::Pipe && lines[*i].path.is_some())
        .collect();
    let paths: Vec<Polyline> = cutting.iter().filter_map(|i| lines[*i].path.clone()).collect();
    if paths.is_empty() {
        return;
    }
    let catchments = Catchments::new(&surface.to_grid(CELL_M), &paths, Hollows::Full);
    for (i, catchment) in cutting.into_iter().zip(catchments.lines()) {
        let line = &mut lines[i];
        // Walking with uphill on the left, the downhill side is −1.
        let uphill_is_left = line.pegs.first().is_none_or(|peg| peg.downhill_side < 0.0);
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
