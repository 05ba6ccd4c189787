//! Coordinate systems in words: well-known text as `.prj` files and GeoPackages hold it (OGC 01-009).

use crate::raster::{SiteAxes, crs};

/// How the name of a plane about an anchor begins.
pub(crate) const ABOUT: &str = "Site metres about ";

/// Shapes of the Earth: what projections call them, their name in words, half axis and inverse flattening (EPSG).
const ELLIPSOIDS: [(&str, &str, &str); 4] = [
    ("WGS84", "WGS 84", "6378137,298.257223563"),
    ("GRS80", "GRS 1980", "6378137,298.257222101"),
    ("bessel", "Bessel 1841", "6377397.155,299.1528128"),
    ("airy", "Airy 1830", "6377563.396,299.3249646"),
];

/// The system of a site's plane; none where nothing ties it to the map.
pub(super) fn of(axes: SiteAxes) -> Option<String> {
    match axes {
        SiteAxes::AsInFile => None,
        SiteAxes::Anchored(anchor) => {
            let name = format!("{ABOUT}{} {}", anchor.longitude_deg, anchor.latitude_deg);
            projected(&name, &crs::about(anchor.longitude_deg, anchor.latitude_deg), None)
        }
        SiteAxes::Projected(epsg) => projected(&format!("EPSG:{epsg}"), &crs::projection(epsg)?, Some(epsg)),
    }
}

fn projected(name: &str, text: &str, epsg: Option<u32>) -> Option<String> {
    let keys = Keys(text);
    let ellipsoid = ELLIPSOIDS.iter().find(|(known, ..)| keys.get("ellps") == Some(known))?;
    let shift = keys.get("towgs84").map_or_else(String::new, |shift| format!(",TOWGS84[{}]", seven(shift)));
    let (projection, parameters) = keys.projection()?;
    let parameters: Vec<String> =
        parameters.iter().map(|(name, value)| format!("PARAMETER[\"{name}\",{value}]")).collect();
    let authority = epsg.map_or_else(String::new, |code| format!(",AUTHORITY[\"EPSG\",\"{code}\"]"));
    Some(format!(
        "PROJCS[\"{name}\",GEOGCS[\"{0}\",DATUM[\"{0}\",SPHEROID[\"{0}\",{1}]{shift}],PRIMEM[\"Greenwich\",0],\
         UNIT[\"degree\",0.0174532925199433]],PROJECTION[\"{projection}\"],{2},UNIT[\"metre\",1]{authority}]",
        ellipsoid.1,
        ellipsoid.2,
        parameters.join(",")
    ))
}

/// A shift of seven numbers: three of them stand for no turning and no scale.
fn seven(shift: &str) -> String {
    let given = shift.split(',').count();
    format!("{shift}{}", ",0".repeat(7_usize.saturating_sub(given)))
}

/// The text of a projection, by its keys.
struct Keys<'a>(&'a str);

impl<'a> Keys<'a> {
    fn get(&self, key: &str) -> Option<&'a str> {
        self.0
            .split_whitespace()
            .find_map(|part| part.strip_prefix('+')?.strip_prefix(key)?.strip_prefix('='))
    }

    fn or(&self, key: &str, usual: &'a str) -> &'a str {
        self.get(key).unwrap_or(usual)
    }

    /// The projection's name and parameters.
    fn projection(&self) -> Option<(&'static str, Vec<(&'static str, String)>)> {
        let plain = |name: &'static str, key: &str, usual: &'a str| (name, self.or(key, usual).to_owned());
        let false_origin = [plain("false_easting", "x_0", "0"), plain("false_northing", "y_0", "0")];
        let (name, mut parameters) = match self.get("proj")? {
            "utm" => {
                let zone: i32 = self.get("zone")?.parse().ok()?;
                let south = self.0.split_whitespace().any(|part| part == "+south");
                let own = vec![
                    ("latitude_of_origin", "0".to_owned()),
                    ("central_meridian", (6 * zone - 183).to_string()),
                    ("scale_factor", "0.9996".to_owned()),
                    ("false_easting", "500000".to_owned()),
                    ("false_northing", if south { "10000000" } else { "0" }.to_owned()),
                ];
                return Some(("Transverse_Mercator", own));
            }
            "tmerc" => (
                "Transverse_Mercator",
                vec![
                    plain("latitude_of_origin", "lat_0", "0"),
                    plain("central_meridian", "lon_0", "0"),
                    plain("scale_factor", "k", "1"),
                ],
            ),
            "lcc" => (
                "Lambert_Conformal_Conic_2SP",
                vec![
                    plain("latitude_of_origin", "lat_0", "0"),
                    plain("central_meridian", "lon_0", "0"),
                    plain("standard_parallel_1", "lat_1", "0"),
                    plain("standard_parallel_2", "lat_2", "0"),
                ],
            ),
            "somerc" => (
                "Hotine_Oblique_Mercator_Azimuth_Center",
                vec![
                    plain("latitude_of_center", "lat_0", "0"),
                    plain("longitude_of_center", "lon_0", "0"),
                    ("azimuth", "90".to_owned()),
                    ("rectified_grid_angle", "90".to_owned()),
                    plain("scale_factor", "k_0", "1"),
                ],
            ),
            _ => return None,
        };
        parameters.extend(false_origin);
        Some((name, parameters))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_system_that_is_known_has_words() {
        for epsg in [32_630, 32_733, 25_830, 2154, 2180, 2056, 21_781, 2193, 3763, 27_700, 3301, 2100] {
            let text = of(SiteAxes::Projected(epsg)).unwrap_or_default();
            assert!(text.ends_with(&format!("AUTHORITY[\"EPSG\",\"{epsg}\"]]")), "{text}");
            assert_eq!(text.matches('[').count(), text.matches(']').count());
            assert_eq!(
                crs::of_prj(&text),
                Ok(crate::raster::System::Projected { epsg: Some(epsg), unit_m: 1.0 })
            );
        }
        let south = of(SiteAxes::Projected(32_733)).unwrap_or_default();
        assert!(
            south.contains("\"central_meridian\",15]") && south.contains("\"false_northing\",10000000]"),
            "{south}"
        );
        assert_eq!(of(SiteAxes::AsInFile), None);
    }
}
