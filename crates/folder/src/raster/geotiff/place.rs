//! What a GeoTIFF says besides its cells: where they lie, what stands for "no data", scale and units.

use super::*;

/// Metadata is a short text; a longer one is not looked through.
const LONGEST_METADATA: usize = 1 << 20;

/// The tags that give cells a meaning.
#[derive(Debug)]
pub(super) struct Facts {
    pub keys: Vec<u16>,
    pub nodata: Option<f64>,
    pub height_unit_word: Option<String>,
    metadata: String,
    cell_size: Vec<f64>,
    tie_point: Vec<f64>,
    matrix: Vec<f64>,
}

impl Facts {
    pub(super) fn read<R: Read + Seek>(source: &mut Source<R>, page: &Page) -> Result<Facts, Refusal> {
        source.seek_to_image(page.index).map_err(|e| broken(&e))?;
        let decimals = |source: &mut Source<R>, tag| match source.find_tag(tag) {
            Ok(Some(value)) => value.into_f64_vec().map_err(|e| broken(&e)),
            Ok(None) => Ok(Vec::new()),
            Err(e) => Err(broken(&e)),
        };
        let text = |source: &mut Source<R>, tag| match source.find_tag(tag) {
            Ok(Some(value)) => value.into_string().map_err(|e| broken(&e)),
            Ok(None) => Ok(String::new()),
            Err(e) => Err(broken(&e)),
        };
        let keys = match source.find_tag(Tag::GeoKeyDirectoryTag).map_err(|e| broken(&e))? {
            Some(value) => value.into_u16_vec().map_err(|e| broken(&e))?,
            None => Vec::new(),
        };
        let mut metadata = text(source, Tag::Unknown(42112))?;
        if metadata.len() > LONGEST_METADATA {
            metadata.clear();
        }
        Ok(Facts {
            keys,
            nodata: nodata(&text(source, Tag::GdalNodata)?)?,
            height_unit_word: item(&metadata, "unittype", 0).map(str::to_owned),
            metadata,
            cell_size: decimals(source, Tag::ModelPixelScaleTag)?,
            tie_point: decimals(source, Tag::ModelTiepointTag)?,
            matrix: decimals(source, Tag::ModelTransformationTag)?,
        })
    }

    /// Scale and offset of a band, from the file's metadata; 1 and 0 where it says nothing.
    pub(super) fn scale_of(&self, band: usize) -> (f64, f64) {
        let number = |role| item(&self.metadata, role, band).and_then(|text| text.trim().parse().ok());
        (number("scale").unwrap_or(1.0), number("offset").unwrap_or(0.0))
    }

    /// Where the cells lie.
    pub(super) fn affine(&self, tie_is_middle: bool) -> Result<Affine, Refusal> {
        let mut affine = match (self.matrix.as_slice(), self.cell_size.as_slice(), self.tie_point.as_slice())
        {
            // The rows of a 4 × 4 matrix; those for height are not used.
            ([a, b, _, x0, d, e, _, y0, ..], _, _) => Affine { x0: *x0, a: *a, b: *b, y0: *y0, d: *d, e: *e },
            (_, [step_x, step_y, ..], [column, row, _, x, y, _]) => Affine {
                x0: x - column * step_x,
                a: *step_x,
                b: 0.0,
                y0: y + row * step_y,
                d: 0.0,
                e: -step_y,
            },
            (_, _, tie) if tie.len() > 6 => {
                return Err(Refusal::new(
                    "several-tie-points",
                    format!("the file is tied to the ground at {} points", tie.len() / 6),
                    "save it again as a raster that is straightened to a projected system",
                ));
            }
            _ => {
                return Err(Refusal::new(
                    "no-georeference",
                    "the file does not say where its cells lie",
                    "export it again as a GeoTIFF with coordinates, in a projected system such as UTM",
                ));
            }
        };
        if tie_is_middle {
            affine.x0 -= 0.5 * (affine.a + affine.b);
            affine.y0 -= 0.5 * (affine.d + affine.e);
        }
        affine.check()
    }
}

/// "No data" as text, with a trailing zero byte; none where the tag is missing or empty.
fn nodata(text: &str) -> Result<Option<f64>, Refusal> {
    let text = text.trim_matches(|c: char| c == '\0' || c.is_whitespace());
    if text.is_empty() {
        return Ok(None);
    }
    text.parse().map(Some).map_err(|_| {
        Refusal::new(
            "no-data-not-a-number",
            format!("the mark for \"no data\" is \"{text}\""),
            "save the raster again with a number, such as -9999",
        )
    })
}

/// An item's text in the metadata: `<Item name="SCALE" sample="0" role="scale">0.1</Item>`.
fn item<'a>(metadata: &'a str, role: &str, band: usize) -> Option<&'a str> {
    let role = format!("role=\"{role}\"");
    let sample = format!("sample=\"{band}\"");
    metadata.split("<Item").skip(1).find_map(|item| {
        let (head, rest) = item.split_once('>')?;
        let mine = head.contains(&role) && (head.contains(&sample) || !head.contains("sample=") && band == 0);
        mine.then(|| rest.split_once('<').map(|(text, _)| text))?
    })
}

/// The nearest 32-bit decimal.
pub(super) fn round_to_single(number: f64) -> f64 {
    f64::from(number as f32)
}

/// The nearest number with eleven binary digits, as a 16-bit decimal holds it (IEEE 754-2019, Table 3.5).
pub(super) fn round_to_half(number: f64) -> f64 {
    if number == 0.0 || !number.is_finite() {
        return number;
    }
    let (_, exponent) = libm::frexp(number);
    let digits = 11;
    libm::ldexp(libm::rint(libm::ldexp(number, digits - exponent)), exponent - digits)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn items_of_the_metadata() {
        let text = "<GDALMetadata>\n<Item name=\"OFFSET\" sample=\"0\" role=\"offset\">5</Item>\n\
                    <Item name=\"SCALE\" sample=\"1\" role=\"scale\">0.1</Item>\n</GDALMetadata>";
        assert_eq!(item(text, "offset", 0), Some("5"));
        assert_eq!(item(text, "scale", 0), None);
        assert_eq!(item(text, "scale", 1), Some("0.1"));
        assert_eq!(item("<Item role=\"scale\"", "scale", 0), None);
    }

    /// Between 8192 and 16384 a 16-bit decimal counts in steps of 8.
    #[test]
    fn no_data_in_sixteen_bits() {
        assert_eq!(round_to_half(-9999.0), -10_000.0);
        assert_eq!(round_to_half(-32_768.0), -32_768.0);
        assert_eq!(round_to_half(0.0), 0.0);
    }

    #[test]
    fn no_data_as_text() {
        assert_eq!(nodata("-9999\0"), Ok(Some(-9999.0)));
        assert_eq!(nodata("\0"), Ok(None));
        assert!(nodata("nan").is_ok_and(|n| n.is_some_and(f64::is_nan)));
        assert_eq!(nodata("none").map_err(|r| r.code), Err("no-data-not-a-number"));
    }
}
