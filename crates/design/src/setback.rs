//! How far standing water keeps from what it can harm.
//!
//! Distances are from the water's edge. Published ones differ from place to place; here is the one a walk
//! uses to stop where the site file gives no local distance. The local rule comes first, always.

use site::{KeepClear, KeepClearKind, LineKind};

/// Minnesota Stormwater Manual and Washington State rain garden handbook, p. 13: 10 ft from a building with
/// the ground falling away from it. English guidance for soakaways asks 5 m.
const BUILDING_M: f64 = 3.0;
/// Washington State rain garden handbook, p. 13: 50 ft where the water is uphill of a septic field.
const SEPTIC_M: f64 = 15.0;
/// Minnesota Stormwater Manual: 50 ft from a private well.
const WELL_M: f64 = 15.0;
/// Minnesota Stormwater Manual: 10 ft from a boundary.
const BOUNDARY_M: f64 = 3.0;
/// English guidance for soakaways (Windsor and Maidenhead): 5 m from a road.
const ROAD_M: f64 = 5.0;
/// United States one-call rules: by hand only within 18 to 24 in of a marked line; the larger.
const SERVICE_M: f64 = 0.6;
/// English guidance for soakaways (Sevenoaks): none within 5 m of unstable land.
const UNSTABLE_GROUND_M: f64 = 5.0;

/// The distance a kind of thing is usually given.
pub const fn usual_m(kind: KeepClearKind) -> f64 {
    match kind {
        KeepClearKind::Building => BUILDING_M,
        KeepClearKind::Septic => SEPTIC_M,
        KeepClearKind::Well => WELL_M,
        KeepClearKind::Boundary => BOUNDARY_M,
        KeepClearKind::Road => ROAD_M,
        KeepClearKind::Service => SERVICE_M,
        KeepClearKind::SteepDrop | KeepClearKind::Slip => UNSTABLE_GROUND_M,
    }
}

/// The distance to give this one: the site's own where it is written, else the usual.
pub fn distance_m(keep_clear: &KeepClear) -> f64 {
    keep_clear.distance_m.unwrap_or_else(|| usual_m(keep_clear.kind))
}

/// What carries water keeps this far off: room for a spade. Distances are meant for water that stands and
/// soaks; a drain may well begin at the eaves of the barn it serves. Common practice, no source.
const CARRIERS_KEEP_OFF_M: f64 = 0.5;

/// The distance that a line of this kind gives to this one.
pub fn distance_for_m(kind: LineKind, keep_clear: &KeepClear) -> f64 {
    match kind {
        LineKind::Swale => distance_m(keep_clear),
        LineKind::Drain | LineKind::Chute | LineKind::Pipe => CARRIERS_KEEP_OFF_M,
    }
}

/// Minnesota Stormwater Manual prints 10 ft and 50 ft: 3.05 m and 15.2 m, in whole metres 3 and 15.
#[test]
fn published_distances_in_feet() {
    for (kind, feet) in
        [(KeepClearKind::Building, 10.0), (KeepClearKind::Boundary, 10.0), (KeepClearKind::Well, 50.0)]
    {
        assert!((usual_m(kind) - quantity::convert::ft_to_m(feet)).abs() <= 0.5, "{kind}");
    }
}
