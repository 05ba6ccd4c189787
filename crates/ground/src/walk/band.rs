//! The strip in which the true line may lie.
//!
//! A tool that may be out by so many millimetres of height finds a level that lies off the true one, up or
//! down the slope, by that height over the slope of the ground: 20 mm on a slope of 5 % are 40 cm.
//!
//! band = levelling error / slope, to either side. It holds while the slope does not change across the strip.

/// How far to either side of a peg the true line may lie, up or down the slope; none on flat ground, where
/// the level says nothing about the place.
pub fn band_m(levelling_error_m: f64, slope: f64) -> Option<f64> {
    (slope > 0.0).then(|| levelling_error_m / slope)
}

/// 25 mm over 12.5 % by hand: both are exact in binary.
#[test]
fn band_by_hand() {
    assert_eq!(band_m(0.025, 0.125), Some(0.2));
    assert_eq!(band_m(0.025, 0.0), None);
}
