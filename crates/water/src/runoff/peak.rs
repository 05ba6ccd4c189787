//! Peak flow of a day's storm by the graphical method.
//!
//! A storm of a known shape over a small catchment gives a peak that depends on how soon the water gathers and on
//! how much the ground takes first: q = q_u·A·Q, log q_u = C₀ + C₁·log Tc + C₂·(log Tc)², with the C by Ia/P.
//!
//! Source: TR-55, ch. 4 and appendix F. For one even catchment, Tc of 0.1 to 10 h, CN over 40; Ia/P outside 0.1 to
//! 0.5 uses the end value, as TR-55 says. Storm types are those of the United States; elsewhere take the one whose
//! shape is nearest, or the rational rule.

use quantity::convert::{ft_to_m, m_to_mm, s_to_h};

use super::CurveNumber;

/// Shape of a day's rain.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StormType {
    /// Pacific coast, wet winters.
    I,
    /// The same, gentler.
    Ia,
    /// Inland, sharp storms.
    II,
    /// Gulf and Atlantic coast, tropical storms.
    III,
}

/// Why the method gives no peak.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum PeakError {
    /// Outside the times the curves were drawn for.
    #[error(
        "a time of concentration of {found_h} h is outside the method's 0.1 to 10 h: use 0.1 h for less, another \
         method for more"
    )]
    TimeOutside {
        /// As found.
        found_h: f64,
    },
    /// Rain or area that is not a number of zero or more.
    #[error("{name} is {value}: give a number of 0 or more")]
    BadInput {
        /// Which.
        name: &'static str,
        /// As found.
        value: f64,
    },
}

/// Shortest time of concentration of the method, h. TR-55 p. 3-3: use it for anything shorter.
pub const SHORTEST_CONCENTRATION_H: f64 = 0.1;
/// Longest, h.
const LONGEST_CONCENTRATION_H: f64 = 10.0;

/// Ia/P and C₀, C₁, C₂ for it: TR-55 table F-1.
type Row = (f64, [f64; 3]);

#[rustfmt::skip]
const TYPE_I: [Row; 8] = [
    (0.10, [2.30550, -0.51429, -0.11750]), (0.20, [2.23537, -0.50387, -0.08929]),
    (0.25, [2.18219, -0.48488, -0.06589]), (0.30, [2.10624, -0.45695, -0.02835]),
    (0.35, [2.00303, -0.40769, 0.01983]), (0.40, [1.87733, -0.32274, 0.05754]),
    (0.45, [1.76312, -0.15644, 0.00453]), (0.50, [1.67889, -0.06930, 0.0]),
];
#[rustfmt::skip]
const TYPE_IA: [Row; 5] = [
    (0.10, [2.03250, -0.31583, -0.13748]), (0.20, [1.91978, -0.28215, -0.07020]),
    (0.25, [1.83842, -0.25543, -0.02597]), (0.30, [1.72657, -0.19826, 0.02633]),
    (0.50, [1.63417, -0.09100, 0.0]),
];
#[rustfmt::skip]
const TYPE_II: [Row; 6] = [
    (0.10, [2.55323, -0.61512, -0.16403]), (0.30, [2.46532, -0.62257, -0.11657]),
    (0.35, [2.41896, -0.61594, -0.08820]), (0.40, [2.36409, -0.59857, -0.05621]),
    (0.45, [2.29238, -0.57005, -0.02281]), (0.50, [2.20282, -0.51599, -0.01259]),
];
#[rustfmt::skip]
const TYPE_III: [Row; 6] = [
    (0.10, [2.47317, -0.51848, -0.17083]), (0.30, [2.39628, -0.51202, -0.13245]),
    (0.35, [2.35477, -0.49735, -0.11985]), (0.40, [2.30726, -0.46541, -0.11094]),
    (0.45, [2.24876, -0.41314, -0.11508]), (0.50, [2.17772, -0.36803, -0.09525]),
];

/// Peak flow of a 24-hour rain on a catchment.
///
/// # Errors
/// If the time of concentration is outside 0.1 to 10 h, or rain or area is not a number of 0 or more.
pub fn graphical_peak_m3_s(
    storm: StormType,
    number: CurveNumber,
    concentration_s: f64,
    day_rain_m: f64,
    area_m2: f64,
) -> Result<f64, PeakError> {
    for (name, value) in [("rain", day_rain_m), ("area", area_m2)] {
        if !(value.is_finite() && value >= 0.0) {
            return Err(PeakError::BadInput { name, value });
        }
    }
    let found_h = s_to_h(concentration_s);
    if !(SHORTEST_CONCENTRATION_H..=LONGEST_CONCENTRATION_H).contains(&found_h) {
        return Err(PeakError::TimeOutside { found_h });
    }
    let runoff_m = number.runoff_m(day_rain_m);
    if runoff_m == 0.0 {
        return Ok(0.0);
    }
    let loss_share = number.initial_loss_m() / day_rain_m;
    Ok(unit_peak(storm, loss_share, found_h) * m_to_mm(runoff_m) * area_m2)
}

/// Peak for each mm of runoff and m² of catchment, m³/s.
pub(super) fn unit_peak(storm: StormType, loss_share: f64, concentration_h: f64) -> f64 {
    let c = coefficients(storm, loss_share);
    let log_h = libm::log10(concentration_h);
    let csm_per_inch = libm::pow(10.0, c[0] + log_h * (c[1] + c[2] * log_h));
    let cubic_metre = ft_to_m(1.0) * ft_to_m(1.0) * ft_to_m(1.0);
    let square_mile_m2 = ft_to_m(5280.0) * ft_to_m(5280.0);
    csm_per_inch * cubic_metre / square_mile_m2 / quantity::convert::inch_to_mm(1.0)
}

/// The three C, straight between rows of Ia/P and held at its ends.
fn coefficients(storm: StormType, loss_share: f64) -> [f64; 3] {
    let rows: &[Row] = match storm {
        StormType::I => &TYPE_I,
        StormType::Ia => &TYPE_IA,
        StormType::II => &TYPE_II,
        StormType::III => &TYPE_III,
    };
    let last = rows[rows.len() - 1];
    if loss_share <= rows[0].0 {
        return rows[0].1;
    }
    if loss_share >= last.0 {
        return last.1;
    }
    let above = rows.partition_point(|row| row.0 < loss_share);
    let (low, high) = (rows[above - 1], rows[above]);
    let t = (loss_share - low.0) / (high.0 - low.0);
    std::array::from_fn(|i| low.1[i] + t * (high.1[i] - low.1[i]))
}
