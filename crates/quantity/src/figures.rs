//! The one formatter of numbers: what tables, papers and messages print.
//!
//! A fixed number of decimals, rounded half away from zero as people round by hand, never a "-0.00", a real
//! minus sign nowhere (a hyphen pastes into spreadsheets), no thousands mark below 10 000 and a thin space
//! above. A number that is not finite prints as a dash: callers must not let one get here, and debug builds
//! stop when it does.

use crate::Estimate;

/// A number with `decimals` places after the point.
pub fn fixed(value: f64, decimals: usize) -> String {
    debug_assert!(value.is_finite(), "value = {value}");
    if !value.is_finite() {
        return "–".to_owned();
    }
    let scale = 10f64.powi(decimals as i32);
    let scaled = value * scale;
    // Where the scaled value outgrows the whole numbers a double can hold, rounding has nothing left to do.
    let rounded = if scaled.abs() < 9e15 { scaled.round() / scale } else { value };
    let rounded = if rounded == 0.0 { 0.0 } else { rounded };
    group_thousands(&format!("{rounded:.decimals$}"))
}

/// A number to `digits` significant figures, without an exponent: 0.01234 → 0.0123, 1234.5 → 1230.
pub fn significant(value: f64, digits: usize) -> String {
    if value == 0.0 || !value.is_finite() {
        return fixed(value, 0);
    }
    let magnitude = libm::floor(libm::log10(value.abs())) as i32;
    let places = digits as i32 - 1 - magnitude;
    if places >= 0 {
        return fixed(value, places as usize);
    }
    let scale = 10f64.powi(-places);
    fixed((value / scale).round() * scale, 0)
}

/// A range as people read it: "12", or "8 to 45 (20)" where the likely value stands in brackets.
pub fn range(estimate: Estimate, decimals: usize) -> String {
    let (low, likely, high) = (
        fixed(estimate.low(), decimals),
        fixed(estimate.likely(), decimals),
        fixed(estimate.high(), decimals),
    );
    if low == high { likely } else { format!("{low} to {high} ({likely})") }
}

fn group_thousands(plain: &str) -> String {
    let (sign, digits) = match plain.strip_prefix('-') {
        Some(rest) => ("-", rest),
        None => ("", plain),
    };
    let (whole, fraction) = match digits.split_once('.') {
        Some((whole, fraction)) => (whole, Some(fraction)),
        None => (digits, None),
    };
    let mut text = String::from(sign);
    for (i, digit) in whole.chars().enumerate() {
        if whole.len() > 4 && i > 0 && (whole.len() - i) % 3 == 0 {
            text.push('\u{2009}');
        }
        text.push(digit);
    }
    if let Some(fraction) = fraction {
        text.push('.');
        text.push_str(fraction);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_as_people_write_them() {
        assert_eq!(fixed(1.005, 1), "1.0");
        assert_eq!(fixed(0.125, 2), "0.13");
        assert_eq!(fixed(-0.001, 2), "0.00");
        assert_eq!(fixed(-2.5, 0), "-3");
        assert_eq!(fixed(1234.0, 0), "1234");
        assert_eq!(fixed(12345.678, 1), "12\u{2009}345.7");
        assert_eq!(significant(0.012_34, 3), "0.0123");
        assert_eq!(significant(1234.5, 3), "1230");
        assert_eq!(range(Estimate::exact(3.0), 1), "3.0");
        assert_eq!(range(Estimate::new(8.0, 20.0, 45.0).unwrap(), 0), "8 to 45 (20)");
    }
}
