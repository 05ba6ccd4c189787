//! Writes the reference evapotranspiration of a weather file, so that `benches/compare/crosscheck_et.py` can hold it
//! against other libraries day by day.
//!
//! Usage: `lawn WEATHER LATITUDE_DEG ELEVATION_M`. One line a day on the standard output: the day, mm by Penman and
//! Monteith's equation, mm by Hargreaves', both `-` where a temperature is missing.

use std::process::ExitCode;

use grove::radiation::Setting;
use grove::reference_et::{Nights, Whereabouts, hargreaves_mm};
use grove::sun::above_air_mj_m2;
use quantity::convert::deg_to_rad;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match run(&arguments) {
        Ok(lines) => {
            print!("{lines}");
            ExitCode::SUCCESS
        }
        Err(what) => {
            eprintln!("{what}");
            ExitCode::from(2)
        }
    }
}

fn run(arguments: &[String]) -> Result<String, String> {
    let [file, latitude_deg, elevation_m] = arguments else {
        return Err("usage: lawn WEATHER LATITUDE_DEG ELEVATION_M".to_owned());
    };
    let number = |text: &String| text.parse::<f64>().map_err(|e| format!("{text}: {e}"));
    let place = Whereabouts {
        latitude_rad: deg_to_rad(number(latitude_deg)?),
        elevation_m: number(elevation_m)?,
        setting: Setting::Inland,
        nights: Nights::Dewy,
    };
    let bytes = std::fs::read(file).map_err(|e| format!("{file}: {e}"))?;
    let read = folder::read_weather(file, &bytes).map_err(|faults| {
        let lines: Vec<String> = faults.iter().map(ToString::to_string).collect();
        lines.join("\n")
    })?;
    let mut lines = String::new();
    for of in read.weather.days() {
        let day = of.day;
        let Some(air) = of.air() else {
            lines.push_str(&format!("{day} - -\n"));
            continue;
        };
        let et = of.reference_et(&place).map_err(|e| e.to_string())?.expect("both temperatures are there");
        let above_mj_m2 = above_air_mj_m2(place.latitude_rad, day.of_year());
        let hargreaves =
            hargreaves_mm(air.tmin_c, air.tmax_c, above_mj_m2).map_err(|e| format!("{day}: {e}"))?;
        lines.push_str(&format!("{day} {:.6} {hargreaves:.6}\n", et.by_equation_mm));
    }
    Ok(lines)
}
