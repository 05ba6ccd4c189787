//! Coordinate systems: which EPSG codes are known, and their projections.
//!
//! A projected system is a formula from longitude and latitude to metres on a plane, together with the shape
//! and place of the Earth it was made for (its datum). A datum taken for another costs a hundred metres and
//! looks perfect, so only systems whose datum shift was checked are known here; others are refused.
//!
//! Source: EPSG Geodetic Parameter Dataset; formulas by the projection library. Web Mercator (3857) is
//! refused for measuring: at 40° its metres are 1.3 times too long.

use proj4rs::Proj;

use super::{Refusal, System};

/// Longitude and latitude on the shape of the Earth that satellites use.
pub(crate) const WGS84: &str = "+proj=longlat +ellps=WGS84 +towgs84=0,0,0 +no_defs";

/// Geographic systems that agree with WGS 84 within about two metres: WGS 84, ETRS89, NAD83.
const GEOGRAPHIC_AS_WGS84: [u32; 5] = [4326, 4979, 4258, 4937, 4269];

/// Number of an EPSG code as people write it: "EPSG:25830".
pub(crate) fn epsg_code(text: &str) -> Option<u32> {
    let text = text.trim();
    let digits = match text.split_once(':') {
        Some((authority, digits)) if authority.eq_ignore_ascii_case("EPSG") => digits,
        Some(_) => return None,
        None => text,
    };
    digits.trim().parse().ok()
}

/// National grids: EPSG code, projection, shape of the Earth with the shift of its datum to WGS 84. Each agrees
/// with the PROJ library (9.5.1, EPSG v11.022) in a test.
const GRIDS: [(u32, &str, &str); 15] = [
    // France, Poland, Switzerland (two), New Zealand.
    (2154, "+proj=lcc +lat_0=46.5 +lon_0=3 +lat_1=49 +lat_2=44 +x_0=700000 +y_0=6600000", GRS80),
    (2180, "+proj=tmerc +lat_0=0 +lon_0=19 +k=0.9993 +x_0=500000 +y_0=-5300000", GRS80),
    (
        2056,
        "+proj=somerc +lat_0=46.9524055555556 +lon_0=7.43958333333333 +k_0=1 +x_0=2600000 +y_0=1200000",
        SWISS,
    ),
    (
        21_781,
        "+proj=somerc +lat_0=46.9524055555556 +lon_0=7.43958333333333 +k_0=1 +x_0=600000 +y_0=200000",
        SWISS,
    ),
    (2193, "+proj=tmerc +lat_0=0 +lon_0=173 +k=0.9996 +x_0=1600000 +y_0=10000000", GRS80),
    // Sweden, Portugal, Great Britain, Lithuania, Estonia.
    (3006, "+proj=utm +zone=33", GRS80),
    (3763, "+proj=tmerc +lat_0=39.6682583333333 +lon_0=-8.13310833333333 +k=1 +x_0=0 +y_0=0", GRS80),
    (27_700, "+proj=tmerc +lat_0=49 +lon_0=-2 +k=0.9996012717 +x_0=400000 +y_0=-100000", BRITISH),
    (3346, "+proj=tmerc +lat_0=0 +lon_0=24 +k=0.9998 +x_0=500000 +y_0=0", GRS80),
    (
        3301,
        "+proj=lcc +lat_0=57.5175539305556 +lon_0=24 +lat_1=59.3333333333333 +lat_2=58 +x_0=500000 +y_0=6375000",
        GRS80,
    ),
    // Finland, Ireland, Croatia, Slovenia, Greece.
    (3067, "+proj=utm +zone=35", GRS80),
    (2157, "+proj=tmerc +lat_0=53.5 +lon_0=-8 +k=0.99982 +x_0=600000 +y_0=750000", GRS80),
    (3765, "+proj=tmerc +lat_0=0 +lon_0=16.5 +k=0.9999 +x_0=500000 +y_0=0", GRS80),
    (3794, "+proj=tmerc +lat_0=0 +lon_0=15 +k=0.9999 +x_0=500000 +y_0=-5000000", GRS80),
    (2100, "+proj=tmerc +lat_0=0 +lon_0=24 +k=0.9996 +x_0=500000 +y_0=0", GREEK),
];

/// Datums that move with their continent agree with WGS 84 within about two metres.
const GRS80: &str = "+ellps=GRS80 +towgs84=0,0,0";
const SWISS: &str = "+ellps=bessel +towgs84=674.374,15.056,405.346";
const BRITISH: &str = "+ellps=airy +towgs84=446.448,-125.157,542.06,0.15,0.247,0.842,-20.489";
const GREEK: &str = "+ellps=GRS80 +towgs84=-199.87,74.79,246.62";

/// The projection of an EPSG code, if it is in our table. All of them count in metres.
pub(crate) fn projection(epsg: u32) -> Option<String> {
    let utm = |zone: u32, rest: &str| Some(format!("+proj=utm +zone={zone} {rest} +units=m +no_defs"));
    match epsg {
        // UTM: WGS 84 north and south, ETRS89, NAD83, GDA94, GDA2020, SIRGAS 2000 south.
        32_601..=32_660 => utm(epsg - 32_600, "+ellps=WGS84 +towgs84=0,0,0"),
        32_701..=32_760 => utm(epsg - 32_700, "+south +ellps=WGS84 +towgs84=0,0,0"),
        25_828..=25_838 => utm(epsg - 25_800, GRS80),
        26_901..=26_923 => utm(epsg - 26_900, GRS80),
        28_348..=28_358 => utm(epsg - 28_300, "+south +ellps=GRS80 +towgs84=0,0,0"),
        7846..=7859 => utm(epsg - 7800, "+south +ellps=GRS80 +towgs84=0,0,0"),
        31_978..=31_985 => utm(epsg - 31_960, "+south +ellps=GRS80 +towgs84=0,0,0"),
        _ => GRIDS
            .iter()
            .find(|(code, ..)| *code == epsg)
            .map(|(_, projection, datum)| format!("{projection} {datum} +units=m +no_defs")),
    }
}

/// A projection of our own about a place: metres east and north of it, true there and within one in a million
/// of true 9 km to either side (x²/2R² with R = 6 378 137 m).
pub(crate) fn about(longitude_deg: f64, latitude_deg: f64) -> String {
    format!(
        "+proj=tmerc +lat_0={latitude_deg} +lon_0={longitude_deg} +k=1 +x_0=0 +y_0=0 +ellps=WGS84 \
         +towgs84=0,0,0 +units=m +no_defs"
    )
}

/// The projection of a code, or why it is refused.
pub(crate) fn known(epsg: u32) -> Result<Proj, Refusal> {
    if matches!(epsg, 3857 | 3785 | 900_913) {
        return Err(Refusal::new(
            "web-mercator",
            format!("EPSG:{epsg} is web Mercator, whose metres are too long everywhere but on the equator"),
            "use a system made for measuring, such as the UTM zone of your land",
        ));
    }
    let text = projection(epsg).ok_or_else(|| {
        Refusal::new(
            "unknown-crs",
            format!("EPSG:{epsg} is not a system this program can convert"),
            "save the raster in the system of the site, or in UTM (EPSG:326xx, 327xx, 258xx)",
        )
    })?;
    Ok(proj(&text))
}

/// # Panics
/// Only for a text that this module did not make.
pub(crate) fn proj(text: &str) -> Proj {
    Proj::from_proj_string(text).expect("projections of the table are well formed")
}

/// Whether a geographic system may be taken as WGS 84.
pub(crate) fn check_geographic(epsg: Option<u32>) -> Result<(), Refusal> {
    match epsg {
        Some(code) if GEOGRAPHIC_AS_WGS84.contains(&code) => Ok(()),
        other => Err(Refusal::new(
            "unknown-crs",
            match other {
                Some(code) => {
                    format!("longitudes and latitudes are in EPSG:{code}, whose datum is not known here")
                }
                None => "longitudes and latitudes are in a system that the file describes by hand".into(),
            },
            "save the raster in WGS 84 (EPSG:4326) or in UTM",
        )),
    }
}

/// What a `.prj` beside the file says: well-known text, read for an EPSG code at its end or a UTM zone in its
/// name.
pub(crate) fn of_prj(text: &str) -> Result<System, Refusal> {
    let projected = text.trim_start().starts_with("PROJ");
    let geographic = text.trim_start().starts_with("GEOG");
    let epsg = epsg_of_wkt(text).or_else(|| utm_by_name(text));
    if projected && epsg.is_some_and(|code| projection(code).is_some()) {
        return Ok(System::Projected { epsg, unit_m: 1.0 });
    }
    if geographic {
        let wgs84 = text.contains("WGS_1984") || text.contains("WGS 84") || text.contains("ETRS");
        return Ok(System::Geographic { epsg: epsg.or(wgs84.then_some(4326)) });
    }
    let name: String = text.chars().take_while(|c| *c != ',').take(80).collect();
    Err(Refusal::new(
        "unknown-crs",
        format!("the .prj file beside it names a system this program does not know: {name}"),
        "save the raster in UTM, or take the .prj file away if x and y are site metres",
    ))
}

/// The code of the outermost element, which comes last: `AUTHORITY["EPSG","25830"]]` or `ID["EPSG",25830]]`.
fn epsg_of_wkt(text: &str) -> Option<u32> {
    let after = &text[text.rfind("\"EPSG\"")? + "\"EPSG\"".len()..];
    let (code, rest) = after.split_once(']')?;
    let outermost = rest.trim() == "]";
    let digits = code.trim_matches(|c: char| !c.is_ascii_digit());
    outermost.then(|| digits.parse().ok())?
}

/// `WGS_1984_UTM_Zone_30N`, as GIS programs write it without any code.
fn utm_by_name(text: &str) -> Option<u32> {
    let name = text.split('"').nth(1)?;
    let (datum, zone) = name.split_once("_UTM_Zone_")?;
    let (number, hemisphere) = zone.split_at_checked(zone.len().checked_sub(1)?)?;
    let number: u32 = number.parse().ok().filter(|n| (1..=60).contains(n))?;
    match (datum, hemisphere) {
        ("WGS_1984", "N") => Some(32_600 + number),
        ("WGS_1984", "S") => Some(32_700 + number),
        ("ETRS_1989", "N") => Some(25_800 + number),
        ("NAD_1983", "N") => Some(26_900 + number),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use proj4rs::transform::transform;

    use super::*;

    fn forward(proj: &Proj, longitude_deg: f64, latitude_deg: f64) -> (f64, f64) {
        let mut place = [(longitude_deg.to_radians(), latitude_deg.to_radians())];
        transform(&super::proj(WGS84), proj, &mut place[..]).unwrap();
        place[0]
    }

    /// What PROJ 9.5.1 (EPSG v11.022) gives for a place in each system, to a tenth of a millimetre. A millimetre is
    /// allowed; a centimetre for the British grid, whose seven-parameter shift is rounded differently.
    #[test]
    fn every_family_and_every_national_grid_agrees_with_proj() {
        let places = [
            (32630, -1.61, 38.7, 620871.7644, 4284402.9367),
            (32756, 152.3, -31.2, 433312.8607, 6548021.6645),
            (25830, -1.61, 38.7, 620871.7644, 4284402.9366),
            (26915, -93.922, 46.508, 429263.7322, 5150905.2081),
            (7846, 92.2, -31.2, 423785.8555, 6547957.0586),
            (7859, 171.1, -40.3, 508498.4981, 5538940.0540),
            (28348, 105.3, -10.4, 532837.7869, 8850346.0437),
            (28358, 165.2, -20.1, 520907.8350, 7777440.0888),
            (31978, -75.4, -9.2, 456058.4787, 8983011.7359),
            (31985, -34.9, -8.1, 290635.7824, 9104157.7094),
            (2154, 2.3, 46.1, 645924.0901, 6555818.6011),
            (2180, 20.1, 51.4, 576496.9929, 393172.8694),
            (2056, 8.2, 46.7, 2658229.6538, 1172369.4993),
            (21781, 8.2, 46.7, 658229.6538, 172369.4993),
            (2193, 175.3, -40.2, 1795762.2066, 5547507.4777),
            (3006, 16.1, 60.2, 560982.8463, 6674193.0815),
            (3763, -8.9, 38.7, -66713.1269, -107215.9128),
            (27700, -3.2, 52.3, 318267.2158, 267553.5175),
            (3346, 24.5, 55.2, 531831.2016, 6118385.5384),
            (3301, 25.4, 58.7, 581152.8703, 6507546.8709),
            (3067, 26.1, 62.3, 453325.7018, 6907925.7533),
            (2157, -7.3, 52.9, 647095.7733, 683467.4652),
            (3765, 15.9, 45.4, 453026.9289, 5029070.8387),
            (3794, 14.6, 46.1, 469073.6496, 106768.2223),
            (2100, 22.5, 38.7, 369412.0957, 4284266.2552),
        ];
        for (epsg, longitude, latitude, x_m, y_m) in places {
            let (x, y) = forward(&known(epsg).unwrap(), longitude, latitude);
            let within = if epsg == 27_700 { 0.01 } else { 0.001 };
            assert!((x - x_m).abs() <= within && (y - y_m).abs() <= within, "EPSG:{epsg}: {x} {y}");
        }
        for (epsg, ..) in GRIDS {
            assert!(places.iter().any(|p| p.0 == epsg), "EPSG:{epsg} is not checked");
        }
    }

    /// From 36.589583° north, 3 seconds of arc are 92.474979 m to the north and 74.573157 m to the east along the
    /// ellipsoid: geodesics by the PROJ library (WGS 84). A projection about the place is true there: what it
    /// stretches to the east over 1.5 seconds, x²/2R² = 2e-11 of 37 m, is far below the last digit.
    #[test]
    fn published_three_seconds_of_arc_in_metres() {
        let (longitude, latitude) = (-84.245_833, 36.589_583);
        let proj = super::proj(&about(longitude, latitude));
        let half = 1.5 / 3600.0;
        let (west, east) =
            (forward(&proj, longitude - half, latitude), forward(&proj, longitude + half, latitude));
        let (south, north) =
            (forward(&proj, longitude, latitude), forward(&proj, longitude, latitude + 2.0 * half));
        assert!((east.0 - west.0 - 74.573_157).abs() <= 0.5e-6, "{}", east.0 - west.0);
        assert!((north.1 - south.1 - 92.474_979).abs() <= 0.5e-6, "{}", north.1 - south.1);
    }

    #[test]
    fn codes_as_people_write_them() {
        assert_eq!(epsg_code("EPSG:25830"), Some(25830));
        assert_eq!(epsg_code(" epsg: 25830 "), Some(25830));
        assert_eq!(epsg_code("25830"), Some(25830));
        assert_eq!(epsg_code("ESRI:102003"), None);
        assert_eq!(epsg_code("UTM 30"), None);
    }

    #[test]
    fn web_mercator_and_unknown_codes_are_refused() {
        assert_eq!(known(3857).err().map(|r| r.code), Some("web-mercator"));
        assert_eq!(known(28_992).err().map(|r| r.code), Some("unknown-crs"));
    }

    #[test]
    fn well_known_text_beside_a_grid() {
        let projected = |epsg| Ok(System::Projected { epsg: Some(epsg), unit_m: 1.0 });
        let esri = "PROJCS[\"ETRS_1989_UTM_Zone_30N\",GEOGCS[\"GCS_ETRS_1989\",DATUM[\"D_ETRS_1989\"]]]";
        assert_eq!(of_prj(esri), projected(25830));
        let coded = "PROJCS[\"ETRS89 / UTM zone 30N\",GEOGCS[\"ETRS89\",AUTHORITY[\"EPSG\",\"4258\"]],AUTHORITY[\"EPSG\",\"25830\"]]";
        assert_eq!(of_prj(coded), projected(25830));
        assert_eq!(
            of_prj("GEOGCS[\"GCS_WGS_1984\",DATUM[\"D_WGS_1984\"]]"),
            Ok(System::Geographic { epsg: Some(4326) })
        );
        assert_eq!(of_prj("PROJCS[\"Local_Grid\"]").map_err(|r| r.code), Err("unknown-crs"));
        assert_eq!(of_prj("").map_err(|r| r.code), Err("unknown-crs"));
    }
}
