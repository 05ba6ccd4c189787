use super::*;
use quantity::convert::ft_to_m;

/// Robinson, Rice & Kadavy 1998, examples: S 0.4 and q 0.93 m²/s give 360 mm, 0.4 and 0.05 give 77 mm, 0.02 and
/// 0.05 give 14 mm; whole millimetres.
#[test]
fn published_rock_sizes() {
    for (slope, q, mm) in [(0.4, 0.93, 360.0), (0.4, 0.05, 77.0), (0.02, 0.05, 14.0)] {
        let rock = rock_chute(q, slope).unwrap();
        assert!((rock.holds_d50_mm - mm).abs() <= 0.5, "{slope}, {q}: {}", rock.holds_d50_mm);
    }
}

/// Worked out beforehand by another program from the two laws; tenths of a millimetre.
#[test]
fn table_of_rock_sizes() {
    let flows = [0.005, 0.010, 0.020, 0.050, 0.100];
    for (slope, row) in [
        (0.05, [8.5, 12.3, 17.7, 28.8, 41.5]),
        (0.10, [14.8, 21.4, 30.8, 50.1, 72.2]),
        (0.20, [18.3, 26.4, 38.1, 61.9, 89.4]),
        (0.30, [20.7, 29.9, 43.2, 70.1, 101.2]),
        (0.40, [22.7, 32.7, 47.2, 76.6, 110.5]),
    ] {
        for (q, mm) in flows.into_iter().zip(row) {
            let rock = rock_chute(q, slope).unwrap();
            assert!((rock.holds_d50_mm - mm).abs() <= 0.05 + 1e-9, "{slope}, {q}: {}", rock.holds_d50_mm);
            assert_eq!(rock.lay_d50_mm, 1.2 * rock.holds_d50_mm);
        }
    }
}

/// The two laws meet at 10 %: 49.91 and 50.06 mm at 50 L/s a metre, 0.3 % apart. With the sign of the second
/// exponent wrong they would be a factor of four apart.
#[test]
fn rock_laws_meet_at_ten_percent() {
    let below = rock_chute(0.05, 0.099_999).unwrap().holds_d50_mm;
    let above = rock_chute(0.05, 0.10).unwrap().holds_d50_mm;
    assert!((below - 49.91).abs() <= 0.005 && (above - 50.06).abs() <= 0.005, "{below}, {above}");
}

#[test]
fn rock_outside_the_experiments_is_refused() {
    for slope in [0.0, 0.019, 0.41, f64::NAN] {
        assert!(matches!(rock_chute(0.05, slope), Err(RockError::SlopeOutside { .. })));
    }
    assert!(matches!(rock_chute(f64::NAN, 0.2), Err(RockError::BadFlow { .. })));
}

/// USDA-SCS TP-61 as adopted in the codes of Winchester, Indiana (m/s to a twentieth), and Norton, Ohio (ft/s).
#[test]
fn published_grass_speeds() {
    use Grass::{DenseSod, Mixture, New, Sod, ThinBunch};
    let both = |grass, slope| {
        [SoilHold::Erodible, SoilHold::Resistant].map(|hold| grass_speed_m_s(grass, hold, slope))
    };
    assert_eq!(both(New, 0.03), [Some(0.75), Some(1.05)]);
    assert_eq!(both(Mixture, 0.03), [Some(1.2), Some(1.5)]);
    assert_eq!(both(Mixture, 0.08), [Some(0.9), Some(1.2)]);
    assert_eq!(both(DenseSod, 0.05), [Some(1.8), Some(2.4)]);
    assert_eq!(both(DenseSod, 0.08), [Some(1.5), Some(2.1)]);
    assert_eq!(both(DenseSod, 0.15), [Some(1.2), Some(1.8)]);
    for (grass, slope, [erodible_ft_s, resistant_ft_s]) in [
        (Sod, 0.03, [5.0, 7.0]),
        (Sod, 0.08, [4.0, 6.0]),
        (Sod, 0.12, [3.0, 5.0]),
        (ThinBunch, 0.05, [2.5, 3.5]),
    ] {
        let [erodible, resistant] = both(grass, slope);
        assert!((erodible.unwrap() - ft_to_m(erodible_ft_s)).abs() <= 0.005);
        assert!((resistant.unwrap() - ft_to_m(resistant_ft_s)).abs() <= 0.005);
    }
    for (grass, slope) in [(New, 0.11), (Mixture, 0.11), (ThinBunch, 0.06)] {
        assert_eq!(both(grass, slope), [None, None]);
    }
}

/// Keown et al. 1977, modified: feet a second as printed, for sands and gravels at 0.4 m of water.
#[test]
fn published_grain_speeds() {
    let ft_s = [0.98, 1.2, 1.5, 1.8, 2.2, 2.6, 3.3, 4.1, 5.2];
    for ((mm, speed), ft) in GRAIN_SPEEDS.into_iter().zip(ft_s) {
        assert!((speed - ft_to_m(ft)).abs() <= 0.006, "{mm} mm");
    }
}

/// Fischenich 2001: bare soils under 0.25 lb/ft², vegetated 0.5 to 4 lb/ft²; 1 lb/ft² is 47.88 Pa.
#[test]
fn published_shear_limits() {
    assert!((BARE_SHEAR_PA - 0.25 * 47.88).abs() <= 0.5);
    assert!((VEGETATED_SHEAR_PA.0 - 0.5 * 47.88).abs() <= 0.5);
    assert!((VEGETATED_SHEAR_PA.1 - 4.0 * 47.88).abs() <= 2.0);
}

/// Toronto and Region guide: 1.4 m for each 10 L/s onto grass (13 ft for each ft³/s, 7.1 L/s a metre), 4.3 m onto
/// forest (2.3 L/s a metre), at least 4 m.
#[test]
fn published_spreader_lengths() {
    assert!((spreader_length_m(0.1, Below::Grass) - 14.0).abs() < 1e-12);
    assert!((spreader_length_m(0.05, Below::Forest) - 21.5).abs() < 1e-12);
    assert_eq!(spreader_length_m(0.002, Below::Grass), 4.0);
    let ft_per_cfs = spreader_length_m(ft_to_m(1.0).powi(3) * 100.0, Below::Grass) / ft_to_m(100.0);
    assert!((ft_per_cfs - 13.0).abs() <= 0.05, "{ft_per_cfs}");
    assert!((1000.0 / 140.0_f64 - 7.1).abs() <= 0.05 && (1000.0 / 430.0_f64 - 2.3).abs() <= 0.05);
}

/// h = (q·n/√S)^(3/5) by hand: q 2 L/s a metre, n 0.24, S 0.15: (0.00048/0.387298)^0.6 = 0.018027 m.
#[test]
fn sheet_on_a_landing_by_hand() {
    let sheet = landing_sheet(0.002, 0.15, 0.24);
    assert!((sheet.depth_m - 0.018_027).abs() <= 5e-7, "{sheet:?}");
    assert!((sheet.speed_m_s - 0.002 / sheet.depth_m).abs() <= 1e-12);
    assert!((sheet.shear_pa - 9810.0 * sheet.depth_m * 0.15).abs() <= 1e-9);
    assert_eq!(landing_sheet(0.0, 0.15, 0.24).speed_m_s, 0.0);
}
