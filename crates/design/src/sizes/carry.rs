//! The design peak along a drain or chute.
//!
//! Uniform flow in a trapezoid of the trench's bed and batter at the grade of the line; see
//! [`water::manning`]. The hill's slope makes the true section a little wider on the uphill side than this one,
//! so the depth is on the safe side. Pipes are left out.

use quantity::convert::{l_to_m3, m3_to_l};
use site::{Line, LineKind, Lining, Soil};
use water::manning::{Channel, Trapezoid};
use water::scour;
use water::storage::LineShape;

use super::{AlongFlow, cover};
use crate::section::hand_section;

/// Flow of a peak along a line; none where it does not fall, nothing is known of its peak or section, or it is
/// no drain or chute.
pub(super) fn along(
    line: &Line,
    (grade, shape): (f64, &LineShape),
    peak_l_s: Option<f64>,
    soil: Option<&Soil>,
) -> Option<AlongFlow> {
    let carries = matches!(line.kind, LineKind::Drain | LineKind::Chute);
    if !carries || grade <= 0.0 {
        return None;
    }
    let lining = line.lining.unwrap_or(Lining::Bare);
    let hand = hand_section(line, 0.0);
    let channel = Channel {
        section: Trapezoid { bed_width_m: hand.bed_width_m, batter: hand.cut_batter },
        slope: grade,
        manning_n: cover::channel_n(lining),
    };
    let flow_l_s = peak_l_s?;
    let flow = channel.uniform(l_to_m3(flow_l_s)).ok()?;
    let unit_flow_m2_s = l_to_m3(flow_l_s) / channel.section.top_width_m(flow.depth_m);
    let rock = || scour::rock_chute(unit_flow_m2_s, grade).ok();
    Some(AlongFlow {
        flow_l_s,
        depth_m: flow.depth_m,
        speed_m_s: flow.speed_m_s,
        shear_pa: flow.shear_pa,
        stands_m_s: cover::stands_m_s(lining, grade, soil),
        rock_d50_mm: (lining == Lining::Rock).then(rock).flatten().map(|rock| rock.lay_d50_mm),
        brim_l_s: m3_to_l(channel.flow_m3_s(shallowest_m(shape))),
    })
}

/// Depth of the trench up to its downhill lip, where it is shallowest: the bank is freeboard.
fn shallowest_m(shape: &LineShape) -> f64 {
    let depth_m = |station: &water::storage::Station| station.ground_z_m - station.bed_z_m();
    shape.stations().iter().map(depth_m).fold(f64::INFINITY, f64::min)
}
