//! Bearings as people write them: 226°54'23", 226.9, N76°E, S 36 30 W.

use quantity::convert::deg_to_rad;

const FULL_TURN_DEG: f64 = 360.0;
const HALF_TURN_DEG: f64 = 180.0;
const QUARTER_TURN_DEG: f64 = 90.0;
const MINUTES_IN_DEGREE: f64 = 60.0;

/// The bearing a text says, in radians clockwise from north; none if it says none.
pub(crate) fn parse(text: &str) -> Option<f64> {
    let text = text.trim().to_uppercase();
    let (from_south, rest) = match text.chars().next()? {
        'N' => (Some(false), &text[1..]),
        'S' => (Some(true), &text[1..]),
        _ => (None, text.as_str()),
    };
    let Some(from_south) = from_south else {
        let degrees = degrees(rest)?;
        return (0.0..=FULL_TURN_DEG).contains(&degrees).then(|| deg_to_rad(degrees));
    };
    let (to_west, rest) = match rest.chars().last()? {
        'E' => (false, &rest[..rest.len() - 1]),
        'W' => (true, &rest[..rest.len() - 1]),
        _ => return None,
    };
    let degrees = degrees(rest).filter(|degrees| (0.0..=QUARTER_TURN_DEG).contains(degrees))?;
    let clockwise = match (from_south, to_west) {
        (false, false) => degrees,
        (true, false) => HALF_TURN_DEG - degrees,
        (true, true) => HALF_TURN_DEG + degrees,
        (false, true) => FULL_TURN_DEG - degrees,
    };
    Some(deg_to_rad(clockwise))
}

/// Degrees, or degrees with minutes, or with minutes and seconds; only the last may have decimals.
fn degrees(text: &str) -> Option<f64> {
    let mark = |c: char| c.is_whitespace() || matches!(c, '°' | '\'' | '"' | '′' | '″' | '’' | '”');
    let parts: Vec<&str> = text.split(mark).filter(|part| !part.is_empty()).collect();
    let (last, whole) = parts.split_last()?;
    if parts.len() > 3 {
        return None;
    }
    let mut degrees = 0.0;
    let mut unit = 1.0;
    for (i, part) in whole.iter().chain([last]).enumerate() {
        let decimals = i + 1 == parts.len() && part.matches(['.', ',']).count() <= 1;
        if !part.chars().all(|c| c.is_ascii_digit() || decimals && matches!(c, '.' | ',')) {
            return None;
        }
        let value: f64 = part.replace(',', ".").parse().ok()?;
        if i > 0 && value >= MINUTES_IN_DEGREE {
            return None;
        }
        degrees += value / unit;
        unit *= MINUTES_IN_DEGREE;
    }
    Some(degrees)
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::convert::rad_to_deg;

    #[test]
    fn every_way_of_writing_it() {
        for (text, degrees) in [
            ("226.5", 226.5),
            ("226,5", 226.5),
            ("26°10'", 26.0 + 10.0 / 60.0),
            ("226°54'36\"", 226.91),
            ("0° 0′ 36″", 0.01),
            ("N76°E", 76.0),
            ("s 36 30 e", 143.5),
            ("S61W", 241.0),
            ("N 38° W", 322.0),
            ("360", 360.0),
        ] {
            assert!((rad_to_deg(parse(text).unwrap()) - degrees).abs() < 1e-9, "{text}");
        }
    }

    #[test]
    fn what_is_no_bearing() {
        for text in
            ["", "N", "NE", "N95E", "400", "-3", "26°70'", "1 2 3 4", "1.5 3", "1.2.3", "nan", "S10°Ä", "Ñ"]
        {
            assert_eq!(parse(text), None, "{text}");
        }
    }
}
