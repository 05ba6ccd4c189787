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
pub(super) const WGS84: &str = "+proj=longlat +ellps=WGS84 +towgs84=0,0,0 +no_defs";

/// Geographic systems that agree with WGS 84 within about two metres: WGS 84, ETRS89, NAD83.
const GEOGRAPHIC_AS_WGS84: [u32; 5] = [4326, 4979, 4258, 4937, 4269];

/// Number of an EPSG code as people write it: "EPSG:25830".
pub(super) fn epsg_code(text: &str) -> Option<u32> {
    let text = text.trim();
    let digits = match text.split_once(':') {
        Some((authority, digits)) if authority.eq_ignore_ascii_case("EPSG") => digits,
        Some(_) => return None,
        None => text,
    };
    digits.trim().parse().ok()
}

/// The projection of an EPSG code, if it is in our table. All of them count in metres.
pub(super) fn projection(epsg: u32) -> Option<String> {
    let utm = |zone: u32, rest: &str| Some(format!("+proj=utm +zone={zone} {rest} +units=m +no_defs"));
    match epsg {
        32_601..=32_660 => utm(epsg - 32_600, "+ellps=WGS84 +towgs84=0,0,0"),
        32_701..=32_760 => utm(epsg - 32_700, "+south +ellps=WGS84 +towgs84=0,0,0"),
        25_828..=25_838 => utm(epsg - 25_800, "+ellps=GRS80 +towgs84=0,0,0"),
        26_901..=26_923 => utm(epsg - 26_900, "+ellps=GRS80 +towgs84=0,0,0"),
        _ => None,
    }
}

/// A projection of our own about a place: metres east and north of it, true there and within one in a million
/// of true 9 km to either side (x²/2R² with R = 6 378 137 m).
pub(super) fn about(longitude_deg: f64, latitude_deg: f64) -> String {
    format!(
        "+proj=tmerc +lat_0={latitude_deg} +lon_0={longitude_deg} +k=1 +x_0=0 +y_0=0 +ellps=WGS84 \
         +towgs84=0,0,0 +units=m +no_defs"
    )
}

/// The projection of a code, or why it is refused.
pub(super) fn known(epsg: u32) -> Result<Proj, Refusal> {
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
pub(super) fn proj(text: &str) -> Proj {
    Proj::from_proj_string(text).expect("projections of the table are well formed")
}

/// Whether a geographic system may be taken as WGS 84.
pub(super) fn check_geographic(epsg: Option<u32>) -> Result<(), Refusal> {
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
pub(super) fn of_prj(text: &str) -> Result<System, Refusal> {
    let projected = text.trim_start().starts_with("PROJ");
    let geographic = text.trim_start().starts_with("GEOG");
    let epsg = epsg_of_wkt(text).or_else(|| utm_by_name(text));
    if projected && epsg.is_some_and(|code| projection(code).is_some()) {
        return Ok(System::Projected { epsg, unit_m: 1.0 });
    }
    if geographic {
        let wgs84 = text.contains("WGS_1984") || text.contains("WGS 84") || text.contains("ETRS");
        return Ok(System::Geographic {
            epsg: epsg.or(wgs84.then_some(4326)),
        });
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
