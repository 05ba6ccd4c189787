use proptest::prelude::*;

use super::*;

/// Geometry in doubles over a few metres: a dozen roundings of 1e-16.
const EXACT: f64 = 1e-12;

fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() <= EXACT, "{found} against {expected}");
}

fn corner(offset_m: f64, z_m: f64) -> Corner {
    Corner { offset_m, z_m }
}

/// A trench of bed width b and batter m on flat ground without a bank.
fn trapezoid(bed_width_m: f64, depth_m: f64, cut_batter: f64) -> HandSection {
    HandSection {
        cross_slope: 0.0,
        bed_width_m,
        depth_m,
        cut_batter,
        ledge_m: 0.0,
        bank_height_m: 0.0,
        bank_top_m: 0.0,
        bank_batter: 0.0,
    }
}

/// The section used at Quarry Bank: 0.4 × 0.3 m on a slope of 15 %.
fn swale() -> HandSection {
    HandSection {
        cross_slope: 0.15,
        bed_width_m: 0.4,
        depth_m: 0.3,
        cut_batter: 1.0,
        ledge_m: 0.25,
        bank_height_m: 0.25,
        bank_top_m: 0.3,
        bank_batter: 2.0,
    }
}

/// A = b·y + m·y², T = b + 2·m·y, P = b + 2·y·√(1 + m²): the trapezoid of any hydraulics text.
#[test]
fn trapezoid_on_the_flat() {
    let section = trapezoid(0.5, 0.4, 1.5).section().unwrap();
    for y in [0.05, 0.1, 0.25, 0.399] {
        let level_z_m = -0.4 + y;
        near(section.area_m2(level_z_m), 0.5 * y + 1.5 * y * y);
        near(section.top_width_m(level_z_m), 0.5 + 3.0 * y);
        near(section.wetted_perimeter_m(level_z_m), 0.5 + 2.0 * y * 3.25_f64.sqrt());
    }
    near(section.bed_z_m(), -0.4);
    near(section.brim_z_m(), 0.0);
}

/// Water of depth h against an upright wall on ground of slope p is a wedge h high and h/p long: h²/(2p).
#[test]
fn wedge_in_front_of_a_wall() {
    let wall =
        HandSection { cross_slope: 0.1, bank_height_m: 0.5, bank_top_m: 0.2, ..trapezoid(0.0, 0.0, 0.0) };
    let section = wall.section().unwrap();
    for h in [0.1, 0.28, 0.4, 0.5] {
        near(section.area_m2(h), h * h / 0.2);
        near(section.top_width_m(h), h / 0.1);
        near(section.level_for_area_z_m(h * h / 0.2), h);
    }
}

/// A low spot of 8 cm in a bank of 25 cm on even ground: the wedge shrinks with the square of its depth,
/// (17/25)² = 0.4624.
#[test]
fn a_dip_of_8_cm_leaves_46_percent() {
    let bank = HandSection {
        cross_slope: 0.2,
        bank_height_m: 0.25,
        bank_top_m: 0.3,
        bank_batter: 1.5,
        ..trapezoid(0.0, 0.0, 0.0)
    };
    let section = bank.section().unwrap();
    let left = section.area_m2(0.25 - 0.08) / section.area_m2(0.25);
    near(left, 0.4624);
}

/// Corners by hand. Uphill cut: the ground at the bed's uphill edge (−0.7 m) is 0.105 m up, 0.405 m above the
/// bed; d = 0.405/(1 − 0.15) = 0.476 470…. Bank: toe at −0.0375 m; face 2·(0.25 + 0.0375) = 0.575 m; top from
/// 0.825 to 1.125 m; ground there −0.16875 m; the face falls 0.41875 m + slope: 2·0.41875/(1 − 0.3) = 1.196 428….
#[test]
fn corners_by_hand() {
    let c = swale().corners().unwrap();
    near(c.bed_downhill.offset_m, -0.3);
    near(c.bed_uphill.offset_m, -0.7);
    near(c.uphill_lip.offset_m, -0.7 - 0.405 / 0.85);
    near(c.uphill_lip.z_m, 0.15 * (0.7 + 0.405 / 0.85));
    let bank = c.bank.unwrap();
    near(bank.uphill_toe.z_m, -0.0375);
    near(bank.top_uphill.offset_m, 0.825);
    near(bank.top_downhill.offset_m, 1.125);
    near(bank.downhill_toe.offset_m, 1.125 + 0.8375 / 0.7);
    near(bank.downhill_toe.z_m, -0.15 * (1.125 + 0.8375 / 0.7));
}

/// Cut by hand: heights of ground above the section are 0 at the peg, 0.345 m and 0.405 m at the bed's edges
/// and 0 at the uphill lip: ½·0.3·0.345 + 0.4·0.375 + ½·(0.405/0.85)·0.405.
/// Fill: 0, 0.25 + 0.15·0.825, 0.25 + 0.15·1.125 and 0 above the ground.
#[test]
fn cut_and_fill_by_hand() {
    let cut = 0.5 * 0.3 * 0.345 + 0.4 * 0.375 + 0.5 * (0.405 / 0.85) * 0.405;
    near(swale().cut_area_m2().unwrap(), cut);
    let (up, down) = (0.25 + 0.15 * 0.825, 0.25 + 0.15 * 1.125);
    let fill = 0.5 * 0.575 * up + 0.5 * 0.3 * (up + down) + 0.5 * (0.8375 / 0.7) * down;
    near(swale().fill_area_m2().unwrap(), fill);
    near(trapezoid(0.5, 0.4, 1.0).fill_area_m2().unwrap(), 0.0);
}

/// The ledge falls towards the bank: the pocket in front of the bank's toe fills when the lip is passed. Its
/// area is the triangle between the ledge (p·l deep at the toe, p = 0.15, l = 0.25) and the bank's face of
/// batter 2: ½·0.0375·(0.25 + 2·0.0375).
#[test]
fn the_ledge_pocket_fills_when_the_lip_is_passed() {
    let section = swale().section().unwrap();
    let pocket_m2 = 0.5 * 0.0375 * (0.25 + 0.075);
    let below = section.area_m2(0.0);
    let above = section.area_m2(1e-12);
    assert!((above - below - pocket_m2).abs() < 1e-9);
    // Areas inside the step all lie at the lip.
    near(section.level_for_area_z_m(below + 0.5 * pocket_m2), 0.0);
}

/// A bank on flat ground holds nothing above the ground: water walks round uphill.
#[test]
fn flat_ground_brims_at_the_uphill_lip() {
    let flat = HandSection { cross_slope: 0.0, ..swale() };
    let section = flat.section().unwrap();
    near(section.brim_z_m(), 0.0);
    near(section.crest().z_m, 0.25);
}

#[test]
fn not_a_number_stays_so() {
    let section = swale().section().unwrap();
    assert!(section.area_m2(f64::NAN).is_nan());
    assert!(section.top_width_m(f64::NAN).is_nan());
    assert!(section.wetted_perimeter_m(f64::NAN).is_nan());
    assert!(section.level_for_area_z_m(f64::NAN).is_nan());
}

#[test]
fn impossible_sections_are_refused() {
    let steep = HandSection { cross_slope: 0.5, cut_batter: 2.0, ..swale() };
    assert!(matches!(steep.corners(), Err(SectionError::CutNeverMeetsGround { .. })));
    let flat_bank = HandSection { cross_slope: 0.5, ..swale() };
    assert!(matches!(flat_bank.section(), Err(SectionError::BankNeverMeetsGround { .. })));
    for bad in [f64::NAN, f64::INFINITY, -0.1] {
        let section = HandSection { depth_m: bad, ..swale() };
        assert!(matches!(section.corners(), Err(SectionError::BadDimension { name: "depth", .. })));
    }
    let nothing = HandSection { bank_height_m: 0.0, ..trapezoid(0.4, 0.0, 1.0) };
    assert!(matches!(nothing.section(), Err(SectionError::NoHollow { .. })));
}

#[test]
fn bad_profiles_are_refused() {
    let two = vec![corner(0.0, 1.0), corner(1.0, 0.0)];
    assert!(matches!(Section::new(two, 0.5), Err(SectionError::TooFewCorners { found: 2 })));
    let back = vec![corner(0.0, 1.0), corner(1.0, 0.0), corner(0.5, 1.0)];
    assert!(matches!(Section::new(back, 0.5), Err(SectionError::OutOfOrder { index: 2, .. })));
    let nan = vec![corner(0.0, 1.0), corner(1.0, f64::NAN), corner(2.0, 1.0)];
    assert!(matches!(Section::new(nan, 0.5), Err(SectionError::BadCorner { index: 1, .. })));
    let bowl = vec![corner(0.0, 1.0), corner(1.0, 0.0), corner(2.0, 1.0)];
    assert!(matches!(Section::new(bowl, 3.0), Err(SectionError::BedOutside { .. })));
}

fn any_hand_section() -> impl Strategy<Value = HandSection> {
    (
        (0.0..0.4_f64, 0.1..1.0_f64, 0.05..0.6_f64, 0.0..2.0_f64),
        (0.0..0.5_f64, 0.05..0.6_f64, 0.0..0.6_f64, 0.0..2.4_f64),
    )
        .prop_map(|((cross_slope, bed_width_m, depth_m, cut_batter), bank)| HandSection {
            cross_slope,
            bed_width_m,
            depth_m,
            cut_batter,
            ledge_m: bank.0,
            bank_height_m: bank.1,
            bank_top_m: bank.2,
            bank_batter: bank.3,
        })
}

/// Area below a level by thin slices of the profile between the crests, with no hollow behind a lip: slow and
/// obvious, for levels above every lip.
fn sliced_area_m2(section: &Section, level_z_m: f64) -> f64 {
    let profile = &section.profile[section.uphill..=section.crest];
    let mut area_m2 = 0.0;
    for pair in profile.windows(2) {
        let n = 2000;
        let run_m = (pair[1].offset_m - pair[0].offset_m) / f64::from(n);
        for i in 0..n {
            let t = (f64::from(i) + 0.5) / f64::from(n);
            let z_m = pair[0].z_m + t * (pair[1].z_m - pair[0].z_m);
            area_m2 += run_m * (level_z_m - z_m).max(0.0);
        }
    }
    area_m2
}

proptest! {
    /// The area grows by the width times the rise of the level, to first order: the difference over 2e-7 m
    /// against the width at its middle, where no corner lies between. 1e-6 m is the rounding of areas near
    /// 10 m² (2e-15) over 2e-7 m, with room; the quadratic term cancels.
    #[test]
    fn area_grows_by_the_width(hand in any_hand_section(), share in 0.001..0.999_f64) {
        let section = hand.section().unwrap();
        let (bed, brim) = (section.bed_z_m(), section.crest().z_m);
        let level = bed + share * (brim - bed);
        let step = 1e-7;
        let corner_near = section.profile().iter().any(|c| (c.z_m - level).abs() <= 2.0 * step);
        prop_assume!(!corner_near);
        let slope = (section.area_m2(level + step) - section.area_m2(level - step)) / (2.0 * step);
        let width = section.top_width_m(level);
        prop_assert!((slope - width).abs() <= 1e-6 * (1.0 + width), "{slope} against {width}");
    }

    /// Above the lip the quadratic and thin slices agree; slices of 1/2000 of each piece are off by at most
    /// the half-slice triangle at the two water edges, well under 1e-5 of the area's box.
    #[test]
    fn area_agrees_with_slices(hand in any_hand_section(), share in 0.01..1.0_f64) {
        let section = hand.section().unwrap();
        let level = share * hand.bank_height_m;
        let box_m2 = section.top_width_m(level) * (level - section.bed_z_m());
        let found = section.area_m2(level);
        let sliced = sliced_area_m2(&section, level);
        prop_assert!((found - sliced).abs() <= 1e-5 * box_m2.max(1.0) , "{found} against {sliced}");
    }

    /// Level to area and back. Near the bed of a V the level moves as the root of the area, so an area
    /// rounded by 1e-16 moves the level by 1e-8.
    #[test]
    fn level_for_area_undoes_area(hand in any_hand_section(), share in 0.0..1.3_f64) {
        let section = hand.section().unwrap();
        let (bed, crest) = (section.bed_z_m(), section.crest().z_m);
        let level = bed + share * (crest - bed);
        let back = section.level_for_area_z_m(section.area_m2(level));
        prop_assert!((back - level).abs() <= 1e-8, "{back} against {level}");
    }

    /// What is wet never shrinks as the level rises, and the earth under water is never shorter than the
    /// water surface above it.
    #[test]
    fn more_level_is_never_less_water(hand in any_hand_section(), a in 0.0..1.3_f64, b in 0.0..1.3_f64) {
        let section = hand.section().unwrap();
        let (bed, crest) = (section.bed_z_m(), section.crest().z_m);
        let (low, high) = (bed + a.min(b) * (crest - bed), bed + a.max(b) * (crest - bed));
        prop_assert!(section.area_m2(low) <= section.area_m2(high) + EXACT);
        prop_assert!(section.top_width_m(low) <= section.top_width_m(high) + EXACT);
        prop_assert!(section.wetted_perimeter_m(high) >= section.top_width_m(high) - EXACT);
    }
}
