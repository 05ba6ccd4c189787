//! What the keys of a GeoTIFF say about its coordinates and heights.
//!
//! The keys are a list of numbered entries in the tags 34735 (whole numbers), 34736 (decimals) and 34737
//! (text). Those read here: 1024 model (1 projected, 2 geographic), 1025 raster type (2: a tie point lies in
//! the middle of its cell), 2048 geographic system, 3072 projected system, 3076 its unit of length, 4096
//! vertical system, 4099 unit of height. 32767 stands for "described by hand", which is refused, because a
//! datum described by hand is where tens of metres get lost.
//!
//! Source: OGC 19-008r4, GeoTIFF Standard 1.1 (2019), clause 7 and Annex B.
//! Leaves out: systems described by their parameters; vertical systems that are not in the table.

use std::collections::BTreeMap;

use quantity::convert;

use super::{Note, Refusal, System};

const MODEL: u16 = 1024;
const RASTER_TYPE: u16 = 1025;
const GEOGRAPHIC: u16 = 2048;
const PROJECTED: u16 = 3072;
const LINEAR_UNIT: u16 = 3076;
const VERTICAL: u16 = 4096;
const VERTICAL_UNIT: u16 = 4099;

const MODEL_PROJECTED: u16 = 1;
const MODEL_GEOGRAPHIC: u16 = 2;
const PIXEL_IS_POINT: u16 = 2;
/// "User defined", in every key.
const BY_HAND: u16 = 32767;

/// Vertical systems that count heights upwards, and the EPSG code of their unit. EPSG Geodetic Parameter Dataset
/// v11.022: NAVD88 in metres, US survey feet and feet; NGVD29 in US survey feet and metres; EGM84, EGM96,
/// EGM2008; mean sea level; EVRF2007; DHHN92, DHHN2016; Newlyn; NN2000; RH2000; Alicante; NGF-IGN69; AHD;
/// NZVD2016; NAP; Ostend; LN02, LHN95; Trieste; KVD1964; CGVD28, CGVD2013.
const VERTICAL_UNITS: [(u16, u16); 27] = [
    (5703, 9001),
    (6360, 9003),
    (8228, 9002),
    (5702, 9003),
    (7968, 9001),
    (5798, 9001),
    (5773, 9001),
    (3855, 9001),
    (5714, 9001),
    (5621, 9001),
    (5783, 9001),
    (7837, 9001),
    (5701, 9001),
    (5941, 9001),
    (5613, 9001),
    (5782, 9001),
    (5720, 9001),
    (5711, 9001),
    (7839, 9001),
    (5709, 9001),
    (5710, 9001),
    (5728, 9001),
    (5729, 9001),
    (5195, 9001),
    (5713, 9001),
    (6647, 9001),
    (5193, 9001),
];

/// The keys with whole-number values.
#[derive(Debug, Default)]
pub(super) struct GeoKeys(BTreeMap<u16, u16>);

/// The unit heights are in, if the file tells.
#[derive(Debug, Clone, Copy)]
pub(super) struct HeightUnit {
    pub name: &'static str,
    /// Metres in one.
    pub m: f64,
}

impl GeoKeys {
    /// From the numbers of tag 34735: a header of four, then four to a key: number, where, how many, value.
    pub(super) fn new(directory: &[u16]) -> GeoKeys {
        let entries = directory.get(4..).unwrap_or_default().chunks_exact(4);
        GeoKeys(entries.filter(|entry| entry[1] == 0).map(|entry| (entry[0], entry[3])).collect())
    }

    /// Whether a tie point lies in the middle of its cell rather than at its corner.
    pub(super) fn tie_is_middle(&self) -> bool {
        self.0.get(&RASTER_TYPE) == Some(&PIXEL_IS_POINT)
    }

    pub(super) fn system(&self) -> Result<System, Refusal> {
        match self.0.get(&MODEL) {
            Some(&MODEL_GEOGRAPHIC) => Ok(System::Geographic { epsg: self.code(GEOGRAPHIC) }),
            Some(&MODEL_PROJECTED) => {
                let epsg = self.code(PROJECTED);
                Ok(System::Projected { epsg, unit_m: self.length_unit_m(epsg)? })
            }
            None if self.0.is_empty() => Ok(System::Unstated),
            None | Some(&BY_HAND) => Ok(System::Unstated),
            Some(other) => Err(Refusal::new(
                "unknown-crs",
                format!("the coordinates are of model type {other}, neither projected nor geographic"),
                "save the raster in a projected system such as UTM",
            )),
        }
    }

    fn code(&self, key: u16) -> Option<u32> {
        self.0.get(&key).filter(|&&code| code != BY_HAND && code != 0).map(|&code| u32::from(code))
    }

    fn length_unit_m(&self, epsg: Option<u32>) -> Result<f64, Refusal> {
        match self.0.get(&LINEAR_UNIT) {
            Some(&code) => unit(code).map(|u| u.m).ok_or_else(|| {
                Refusal::new(
                    "unit-not-known",
                    format!("coordinates are in the unit with EPSG code {code}"),
                    "save the raster in metres",
                )
            }),
            // Every system of our own table counts in metres.
            None if epsg.is_some_and(|code| super::crs::projection(code).is_some()) => Ok(1.0),
            None => Err(Refusal::new(
                "unit-not-known",
                "the file names no unit for its coordinates",
                "save the raster in a projected system in metres, such as UTM",
            )),
        }
    }

    /// Unit of the heights: stated by the unit key, else known from the vertical system; none where the file
    /// says nothing.
    pub(super) fn height_unit(&self) -> Result<Option<HeightUnit>, Refusal> {
        if let Some(&code) = self.0.get(&VERTICAL_UNIT) {
            return unit(code).map(Some).ok_or_else(|| {
                Refusal::new(
                    "unit-not-known",
                    format!("heights are in the unit with EPSG code {code}"),
                    "save the raster with heights in metres",
                )
            });
        }
        let Some(system) = self.0.get(&VERTICAL).filter(|&&code| code != BY_HAND) else {
            return Ok(None);
        };
        Ok(VERTICAL_UNITS.iter().find(|(code, _)| code == system).and_then(|(_, code)| unit(*code)))
    }

    /// The vertical system, if it is named but its unit is not in our table.
    pub(super) fn unknown_vertical(&self) -> Option<Note> {
        let code = self.code(VERTICAL)?;
        let known = VERTICAL_UNITS.iter().any(|(c, _)| u32::from(*c) == code);
        (!known && !self.0.contains_key(&VERTICAL_UNIT)).then(|| {
            Note::new(
                "vertical-system-not-known",
                format!("heights are in EPSG:{code}, which is not in our table; they were taken as metres"),
            )
        })
    }
}

/// A unit of length by its EPSG code.
fn unit(code: u16) -> Option<HeightUnit> {
    let (name, m) = match code {
        9001 => ("metres", 1.0),
        9002 => ("feet", convert::ft_to_m(1.0)),
        9003 => ("US survey feet", convert::us_survey_ft_to_m(1.0)),
        _ => return None,
    };
    Some(HeightUnit { name, m })
}

/// Unit of heights by the word that files carry in their metadata.
pub(super) fn unit_by_word(word: &str) -> Option<HeightUnit> {
    let code = match word.trim().to_ascii_lowercase().as_str() {
        "m" | "metre" | "meter" | "metres" | "meters" => 9001,
        "ft" | "foot" | "feet" => 9002,
        "ftus" | "us survey foot" | "us-ft" => 9003,
        _ => return None,
    };
    unit(code)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// OGC 19-008r4, Annex B: the header is version, revision, minor revision, count.
    #[test]
    fn keys_of_a_projected_raster_with_heights_in_survey_feet() {
        let keys =
            GeoKeys::new(&[1, 1, 0, 4, 1024, 0, 1, 1, 1025, 0, 1, 2, 3072, 0, 1, 26915, 4096, 0, 1, 6360]);
        assert!(keys.tie_is_middle());
        assert_eq!(keys.system(), Ok(System::Projected { epsg: Some(26915), unit_m: 1.0 }));
        let unit = keys.height_unit().unwrap().unwrap();
        assert_eq!(unit.m, 1200.0 / 3937.0);
    }

    #[test]
    fn a_list_cut_short_is_read_as_far_as_it_goes() {
        assert_eq!(GeoKeys::new(&[1, 1, 0, 9, 1024, 0]).system(), Ok(System::Unstated));
        assert_eq!(GeoKeys::new(&[]).system(), Ok(System::Unstated));
    }
}
