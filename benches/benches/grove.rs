//! Benchmarks of the grove: the daily water of many trees over many years.

use divan::{Bencher, black_box};
use grove::soil_water::Grains;
use grove::trees::{FRUIT, Setting, tree_ground};
use grove::water_balance::{DayIn, TreeGround, TreeState};
use water::soak::Texture;

fn main() {
    divan::main();
}

const DAYS: u32 = 50 * 365;

fn trees(count: usize) -> Vec<TreeGround> {
    let setting = Setting {
        soil: Grains::of_texture(Texture::Loam).water().expect("the sample point of a texture is a soil"),
        soil_depth_m: 1.2,
        under_mm_h: 5.0,
        latitude_deg: 38.7,
        spacing_m: 5.0,
        mulched_frac: 0.5,
        live_cover_frac: 0.2,
    };
    (0..count)
        .map(|i| tree_ground(&FRUIT[i % FRUIT.len()], &setting).expect("the setting is one that can be"))
        .collect()
}

/// Winter rain and a dry summer, without chance; the line brings water with the rain.
fn weather() -> Vec<DayIn> {
    (0..DAYS)
        .map(|day| {
            let day_of_year = 1 + (day % 365) as u16;
            let season = libm::cos(std::f64::consts::TAU * (f64::from(day_of_year) - 196.0) / 365.0);
            let rains = season < 0.2 && day % 6 == 0;
            DayIn {
                day_of_year,
                eto_mm: 4.0 + 3.0 * season,
                climate_term: 0.04,
                rain_mm: if rains { 14.0 } else { 0.0 },
                line_mm: if rains { 20.0 } else { 0.0 },
                hand_mm: 0.0,
                under_water: false,
            }
        })
        .collect()
}

/// tree_water/quarry-bank/trees: fifty years of days for that many trees, on one core.
#[divan::bench(args = [25, 100, 400])]
fn fifty_years(bencher: Bencher, count: usize) {
    let (trees, weather) = (trees(count), weather());
    bencher.bench(|| {
        let mut drunk_l = 0.0;
        for ground in black_box(&trees) {
            let mut state = TreeState::planted(ground, 1.0);
            for day in &weather {
                let out = state.step(ground, day);
                drunk_l += out.litres(out.flux.by_tree_mm);
            }
        }
        drunk_l
    });
}
