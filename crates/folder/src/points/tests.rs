use super::*;

fn read_text(text: &str) -> Result<Points, Vec<Fault>> {
    read("ground/points.csv", text.as_bytes(), &Expected::default())
}

fn codes(faults: &[Fault]) -> Vec<&str> {
    faults.iter().map(|f| f.code).collect()
}

fn has(points: &Points, code: &str) -> bool {
    points.notes.iter().any(|note| note.code == code)
}

#[test]
fn columns_are_told_by_name_in_any_order() {
    let points = read_text("z_m,line,point,y_m,x_m\n3.5,,A,2,1\n3.6,ditch,B,4,1\n3.7,ditch,C,6,3\n").unwrap();
    let first = &points.points[0];
    assert_eq!((first.x_m, first.y_m, first.z_m), (1.0, 2.0, Some(3.5)));
    assert_eq!(first.name.as_deref(), Some("A"));
    let scattered = points.scattered().unwrap();
    assert_eq!(scattered.points.len(), 1);
    assert_eq!(
        scattered.breaklines,
        [vec![Point3 { x_m: 1.0, y_m: 4.0, z_m: 3.6 }, Point3 { x_m: 3.0, y_m: 6.0, z_m: 3.7 },]]
    );
}

#[test]
fn names_of_other_instruments_and_decimal_commas() {
    for text in [
        "Pt;Easting;Northing;Elev;Code\n1;1,5;2,5;3,25;\"gate, post\"\n",
        "point\tRechtswert\tHochwert\tHoehe\n1\t1,5\t2,5\t3,25\n",
        "id|E|N|RL\n1|1.5|2.5|3.25\n",
        "\u{feff}no,east,north,z\r\n1,1.5,2.5,3.25\r\n",
        "  x    y   z\n 1.5  2.5 3.25\n",
    ] {
        let points = read_text(text).unwrap_or_else(|f| panic!("{text}: {}", f[0]));
        let p = &points.points[0];
        assert_eq!((p.x_m, p.y_m, p.z_m), (1.5, 2.5, Some(3.25)), "{text}");
        assert!(has(&points, "unit-assumed"), "{text}");
    }
}

/// 100 ft are 30.48 m exactly (international foot, 1959).
#[test]
fn feet_only_where_the_name_says_so() {
    let points = read_text("x_ft,y_ft,z_ft\n100,200,10\n").unwrap();
    assert_eq!(points.points[0].x_m, 100.0 * 0.3048);
    assert!(has(&points, "feet-converted"));
    let unsaid = Expected { elevation_m: Some(610.0), ..Expected::default() };
    let text = b"x_m,y_m,z_m\n1,2,1990\n4,5,2010\n8,1,2003\n";
    assert!(has(&read("p.csv", text, &unsaid).unwrap(), "maybe-feet"));
}

#[test]
fn utf_16_is_read_as_spreadsheets_write_it() {
    let text = "x_m;y_m;z_m\n1,5;2;3\n";
    let mut bytes = vec![0xFF, 0xFE];
    bytes.extend(text.encode_utf16().flat_map(u16::to_le_bytes));
    let points = read("p.csv", &bytes, &Expected::default()).unwrap();
    assert_eq!(points.points[0].x_m, 1.5);
}

#[test]
fn a_table_without_names_is_refused_with_what_to_write() {
    for text in ["1,620001.5,4285002.5,3.25\n", "620001.5 4285002.5 3.25\n", "0;0;0\n1;0;0\n"] {
        let faults = read_text(text).unwrap_err();
        assert_eq!(codes(&faults), ["no-header"], "{text}");
        assert!(faults[0].advice.contains("point,x_m,y_m,z_m"));
        assert_eq!(faults[0].line, Some(1));
    }
}

#[test]
fn every_fault_of_a_table_at_once_and_where() {
    let faults = read_text("point,x_m,y_m,z_m\nA,1,2,3\nB,one,2,3\nC,,2,3\nD,1,2,1e308\n").unwrap_err();
    assert_eq!(codes(&faults), ["not-a-number", "no-place", "not-on-earth"]);
    let places: Vec<_> = faults.iter().map(|f| (f.line, f.column)).collect();
    assert_eq!(places, [(Some(3), Some(3)), (Some(4), Some(3)), (Some(5), Some(7))]);
}

#[test]
fn columns_that_cannot_be_told_are_refused() {
    assert_eq!(codes(&read_text("a,b,c\nA,2,3\n").unwrap_err()), ["column-missing", "column-missing"]);
    assert_eq!(codes(&read_text("x_m,easting,y_m,z_m\n1,1,2,3\n").unwrap_err()), ["column-ambiguous"]);
    assert_eq!(codes(&read_text("lat,lon,z\n38.7,-1.6,610\n").unwrap_err()), ["points-in-degrees"]);
    assert_eq!(codes(&read_text("x_m,y_m,z_m\n").unwrap_err()), ["too-few-points"]);
}

#[test]
fn swapped_columns_are_noticed_where_the_site_is_known() {
    let text = b"x_m,y_m,z_m\n4285002,620001,610\n4285012,620041,612\n";
    let utm = Expected { axes: SiteAxes::Projected(25830), ..Expected::default() };
    assert_eq!(codes(&read("p.csv", text, &utm).unwrap_err()), ["columns-swapped"]);
    let places = [Point::new(620_020.0, 4_285_005.0), Point::new(620_030.0, 4_285_004.0)];
    let near = Expected { places: &places, ..Expected::default() };
    assert_eq!(codes(&read("p.csv", text, &near).unwrap_err()), ["columns-swapped"]);
    let straight = b"x_m,y_m,z_m\n620001,4285002,610\n620041,4285012,612\n";
    assert!(read("p.csv", straight, &utm).is_ok());
    assert!(read("p.csv", straight, &near).is_ok());
}

#[test]
fn a_blank_height_is_missing_until_a_level_book_knows_the_point() {
    let mut points = read_text("point,x_m,y_m,z_m\nA,0,0,\nB,10,0,5.2\nC,0,10,\n").unwrap();
    assert_eq!(points.points[0].z_m, None);
    assert_eq!(codes(&points.scattered().unwrap_err()), ["no-height", "no-height"]);
    let book = BTreeMap::from([("A".to_owned(), 4.9), ("B".to_owned(), 99.0)]);
    assert_eq!(points.fill_heights(&book), 1, "a height that was given stays");
    let faults = points.scattered().unwrap_err();
    assert_eq!(codes(&faults), ["no-height"]);
    assert!(faults[0].found.contains("\"C\""));
}

#[test]
fn what_makes_no_surface_is_refused() {
    let code = |text: &str| read_text(text).unwrap().scattered().unwrap_err()[0].code;
    assert_eq!(code("x_m,y_m,z_m\n1,2,3\n"), "too-few-points");
    assert_eq!(code("x_m,y_m,z_m\n1,2,3\n1,2,3\n5,6,7\n"), "too-few-points");
    assert_eq!(code("x_m,y_m,z_m\n0,0,3\n100,50,3\n20,10,4\n60,30,5\n"), "points-in-a-row");
    assert_eq!(code("x_m,y_m,z_m,line\n0,0,3,\n9,0,3,\n0,9,4,wall\n"), "short-breakline");
    let faults =
        read_text("x_m,y_m,z_m\n0,0,3\n9,0,3\n0,9,4\n0,9,4.5\n0,9,4\n").unwrap().scattered().unwrap_err();
    assert_eq!(codes(&faults), ["two-heights"]);
    assert_eq!(
        faults[0].to_string(),
        "ground/points.csv:5: the place of line 4 is there again with 4.500 m, not 4.000 m; keep the right one"
    );
}

proptest::proptest! {
    /// Whatever the bytes, an answer or faults, never a panic.
    #[test]
    fn any_bytes_are_read_or_refused(bytes in proptest::collection::vec(0_u8..=255, 0..200)) {
        let mut with_header = b"point,x_m,y_m,z_m\n".to_vec();
        with_header.extend_from_slice(&bytes);
        for bytes in [&bytes, &with_header] {
            match read("p.csv", bytes, &Expected::default()) {
                Ok(points) => proptest::prop_assert!(!points.points.is_empty()),
                Err(faults) => proptest::prop_assert!(!faults.is_empty()),
            }
        }
    }
}
