//! The weather of Quarry Bank: ten invented years, drawn by our own generator from the ordinary year in its `site.toml`.

use std::fmt::Write as _;

use quantity::Day;
use site::Climate;

/// Where the file lies in the checkout.
const PATH: &str = "fixtures/quarry-bank/weather.csv";
/// The plan whose ordinary year it is drawn from.
const PLAN: &str = "fixtures/quarry-bank/site.toml";
/// Ten years from a dry season's end to the next but nine, before the grove is planted.
const YEARS: i32 = 10;
const FIRST_YEAR: i32 = 2016;
const FIRST_MONTH: u32 = 10;
/// What it is drawn by.
const SEED: u64 = 2016;

/// Writes the file.
pub fn write() -> Result<(), String> {
    std::fs::write(PATH, csv(&climate()?)?).map_err(|e| format!("{PATH}: {e}"))
}

fn climate() -> Result<Climate, String> {
    let text = std::fs::read_to_string(PLAN).map_err(|e| format!("{PLAN}: {e}"))?;
    let plan: toml::Table = text.parse().map_err(|e| format!("{PLAN}: {e}"))?;
    let climate = plan.get("climate").ok_or_else(|| format!("{PLAN} has no [climate]"))?;
    climate.clone().try_into().map_err(|e| format!("{PLAN}: {e}"))
}

fn csv(climate: &Climate) -> Result<String, String> {
    let year = climate.ordinary_year().map_err(|e| format!("{PLAN}: {e}"))?;
    let day = |year: i32| Day::new(year, FIRST_MONTH, 1).expect("every month begins");
    let first = day(FIRST_YEAR);
    let count = day(FIRST_YEAR + YEARS).number() - first.number();
    let mut text = "# Invented: drawn by chance from the ordinary year in site.toml. Nobody read this.\n\
                    date,rain_mm,tmin_c,tmax_c\n"
        .to_owned();
    for of in year.draw(SEED, first, count as u32).days() {
        let rain_mm = of.rain.mm().unwrap_or_default();
        let [low_c, high_c] = [of.tmin_c, of.tmax_c].map(Option::unwrap_or_default);
        writeln!(text, "{},{rain_mm:.1},{low_c:.1},{high_c:.1}", of.day).expect("a string takes it");
    }
    Ok(text)
}
