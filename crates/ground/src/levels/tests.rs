//! Published books, and the published books that are wrong.

use proptest::prelude::*;

use super::*;

/// Half a millimetre: books are kept to the millimetre.
const HALF_MM: f64 = 0.0005;

/// One setup: backsight, intermediate sights, foresight.
type Setup<'a> = (f64, &'a [f64], f64);

/// Rows of setups on points without names.
fn rows(start_z_m: f64, setups: &[Setup]) -> Vec<Row> {
    let shot = |staff_m: &f64| Shot { point: String::new(), staff_m: *staff_m, z_m: None };
    let listed = |(back_m, between_m, fore_m): &Setup| {
        let readings_m: Vec<f64> =
            std::iter::once(*back_m).chain(between_m.iter().copied()).chain([*fore_m]).collect();
        readings_m.iter().map(shot).collect()
    };
    let setups: Vec<Vec<Shot>> = setups.iter().map(listed).collect();
    let mut rows = rows_of_setups(&setups).unwrap();
    rows[0].z_m = Some(start_z_m);
    rows
}

fn settings() -> Settings {
    Settings { closes_on_z_m: None, rule: Rule::PerSetup, spread: Spread::BySetup }
}

fn worked(rows: &[Row]) -> Levelled {
    level(&Book::new(rows).unwrap(), &settings()).unwrap()
}

/// Heights, by both methods, against printed ones.
fn assert_heights(levelled: &Levelled, printed_m: &[f64]) {
    assert_eq!(levelled.reduction.points.len(), printed_m.len());
    for (i, (point, printed_m)) in levelled.reduction.points.iter().zip(printed_m).enumerate() {
        assert!((point.z_m - printed_m).abs() <= HALF_MM, "point {i}: {} for {printed_m}", point.z_m);
        assert!((point.z_by_rises_m - printed_m).abs() <= HALF_MM, "point {i} by rises");
    }
}

/// Sums of backsights, foresights, rises, falls.
fn assert_sums(levelled: &Levelled, printed_m: [f64; 4]) {
    let sums = levelled.reduction.sums;
    let ours_m = [sums.backsight_m, sums.foresight_m, sums.rise_m, sums.fall_m];
    for (our_m, printed_m) in ours_m.into_iter().zip(printed_m) {
        assert!((our_m - printed_m).abs() <= HALF_MM, "{our_m} for {printed_m}");
    }
    assert!(levelled.checks.hold());
}

/// The line of R. Rode, "Collimation method to reduce a leveling field book page": BM1 106.366 to BM2, known
/// as 105.263.
fn rode() -> Vec<Row> {
    let mut rows = rows(
        106.366,
        &[
            (1.216, &[0.025, 1.555], 2.508),
            (1.386, &[3.625], 1.196),
            (1.235, &[], 3.566),
            (3.655, &[], 0.506),
            (2.126, &[2.605, 1.094], 3.628),
            (1.125, &[1.394], 0.484),
        ],
    );
    rows.last_mut().unwrap().z_m = Some(105.263);
    rows
}

#[test]
fn published_line_with_a_misclosure() {
    let levelled = worked(&rode());
    let printed_m = [
        106.366, 107.557, 106.027, 105.074, 102.835, 105.264, 102.933, 106.082, 105.603, 107.114, 104.580,
        104.311, 105.221,
    ];
    assert_heights(&levelled, &printed_m);
    assert_sums(&levelled, [10.743, 11.888, 9.190, 10.335]);
    let planes_m: Vec<f64> = levelled.reduction.points.iter().filter_map(|p| p.collimation_z_m).collect();
    for (plane_m, printed_m) in planes_m.iter().zip([107.582, 106.460, 106.499, 106.588, 108.208, 105.705]) {
        assert!((plane_m - printed_m).abs() <= HALF_MM);
    }
    assert_eq!((levelled.reduction.setups, planes_m.len()), (6, 6));
}

#[test]
fn published_adjustment_by_setups() {
    let levelled = worked(&rode());
    assert!((levelled.closing.unwrap().misclosure_m + 0.042).abs() <= HALF_MM);
    let printed_mm = [0.0, 7.0, 7.0, 7.0, 14.0, 14.0, 21.0, 28.0, 35.0, 35.0, 35.0, 42.0, 42.0];
    let corrections_m = levelled.corrections_m.as_ref().unwrap();
    for (correction_m, printed_mm) in corrections_m.iter().zip(printed_mm) {
        assert!((1000.0 * correction_m - printed_mm).abs() <= 0.5);
    }
    let printed_m = [
        106.366, 107.564, 106.034, 105.081, 102.849, 105.278, 102.954, 106.110, 105.638, 107.149, 104.615,
        104.353, 105.263,
    ];
    for (i, printed_m) in printed_m.into_iter().enumerate() {
        assert!((levelled.adjusted_z_m(i).unwrap() - printed_m).abs() <= HALF_MM);
    }
}

/// 42 mm over six setups is beyond 5·√6 = 12 mm: spread, and still not called good.
#[test]
fn a_bad_closure_is_adjusted_and_not_called_good() {
    let levelled = worked(&rode());
    assert!(levelled.arithmetic_holds() && levelled.corrections_m.is_some());
    assert!(!levelled.closed() && levelled.blundered());
    let generous = Settings {
        rule: Rule::OverLength { grade: Grade::named("construction").unwrap(), length_m: 3100.0 },
        ..settings()
    };
    assert!(level(&Book::new(&rode()).unwrap(), &generous).unwrap().closed());
}

/// PNG University of Technology, surveying lecture 2: staff inverted on the underside of a bridge.
#[test]
#[expect(clippy::approx_constant, reason = "3.141 was read on the staff")]
fn published_inverted_staff() {
    let levelled = worked(&rows(
        40.0,
        &[(6.482, &[], 2.159), (5.844, &[3.141, -2.956, 5.600], 7.318), (4.298, &[3.015], 4.264)],
    ));
    let printed_m = [40.0, 44.323, 47.026, 53.123, 44.567, 42.849, 44.132, 42.883];
    assert_heights(&levelled, &printed_m);
    assert_sums(&levelled, [16.624, 13.741, 14.406, 11.523]);
    assert_eq!((levelled.closing, levelled.corrections_m.as_ref()), (None, None));
    assert!(!levelled.closed());
}

/// Student levelling report, "Data collection 6.2", the way up. The print has 25.665 for the last but one: a
/// slip, 26.814 − 1.165 = 25.649.
const UP: [Setup; 6] = [
    (2.415, &[], 1.819),
    (3.600, &[4.680, 1.900, 1.817], 0.919),
    (1.680, &[2.131, 2.797, 2.400], 3.670),
    (3.100, &[3.801, 1.677], 1.980),
    (0.700, &[], 1.001),
    (2.708, &[-1.500, 1.165], 3.999),
];
const UP_PRINTED_M: [f64; 17] = [
    22.000, 22.596, 21.516, 24.296, 24.379, 25.277, 24.826, 24.160, 24.557, 23.287, 22.586, 24.710, 24.407,
    24.106, 28.314, 25.665, 22.815,
];

#[test]
fn published_run_up_in_both_methods() {
    let levelled = worked(&rows(22.0, &UP));
    let mut right_m = UP_PRINTED_M;
    right_m[15] = 25.649;
    assert_heights(&levelled, &right_m);
    assert_sums(&levelled, [14.203, 13.388, 11.086, 10.271]);
}

/// The same report, the way down, with a backsight on an inverted staff.
#[test]
fn published_run_down_with_an_inverted_backsight() {
    let levelled = worked(&rows(
        22.815,
        &[
            (3.800, &[], 1.614),
            (-1.875, &[], 2.413),
            (1.003, &[], 0.891),
            (1.970, &[1.537, 3.900], 3.005),
            (3.715, &[2.230, 2.610, 2.154], 1.891),
            (0.959, &[4.611, 1.897], 4.700),
        ],
    ));
    let printed_m = [
        22.815, 25.001, 20.713, 20.825, 21.258, 18.895, 19.790, 21.275, 20.895, 21.351, 21.614, 17.962,
        20.676, 17.873,
    ];
    assert_heights(&levelled, &printed_m);
}

/// Ten readings in a row, the instrument moved after the third, sixth and eighth.
const TEN: [Setup; 4] =
    [(2.228, &[1.606], 0.988), (2.090, &[2.864], 1.262), (0.602, &[], 1.982), (1.044, &[], 2.684)];

/// Published as a textbook question on three answer pages (BM 150.250). Seven points, not ten: the reading after
/// a move is on the same change point.
#[test]
fn published_readings_in_a_row() {
    let levelled = worked(&rows(150.250, &TEN));
    assert_heights(&levelled, &[150.250, 150.872, 151.490, 150.716, 152.318, 150.938, 149.298]);
    assert_sums(&levelled, [5.964, 6.916, 2.842, 3.794]);
    // The widely copied wrong answer has ten heights and ends at 149.794.
    assert!((levelled.reduction.points[6].z_m - 149.794).abs() > 0.4);
}

/// The same readings from another mark: every height is lifted by as much (432.384 − 150.250 = 282.134).
#[test]
fn readings_in_a_row_from_another_mark() {
    let on_another_mark = worked(&rows(432.384, &TEN));
    assert_heights(&on_another_mark, &[432.384, 433.006, 433.624, 432.850, 434.452, 433.072, 431.432]);
}

/// The wrong answer's own proof: taking each jump at a change point for a rise or fall, its Σ rises − Σ falls is
/// −0.456 and matches its last height; Σ backsights − Σ foresights does not.
#[test]
fn wrong_readings_in_a_row_prove_themselves_and_fail_check_one() {
    let all_m = [2.228, 1.606, 0.988, 2.090, 2.864, 1.262, 0.602, 1.982, 1.044, 2.684];
    let wrong_m: f64 = all_m.windows(2).map(|pair| pair[0] - pair[1]).sum();
    assert!((wrong_m + 0.456).abs() <= HALF_MM);
    let right = worked(&rows(150.250, &TEN));
    assert!((right.checks.sights.readings_m + 0.952).abs() <= HALF_MM);
    let mut rows = rows(150.250, &TEN);
    rows.last_mut().unwrap().z_m = Some(149.794);
    assert!(!worked(&rows).closed());
}

/// Readings of an exercise of the European University of Lefke; its heights are not printed, these are by hand.
#[test]
fn setting_out_profile() {
    let levelled = worked(&rows(
        55.0,
        &[
            (1.506, &[1.747, 2.872], 1.928),
            (2.103, &[1.130, 0.511, 3.789], 3.276),
            (2.025, &[2.342], 0.067),
            (3.784, &[1.721, 0.681, 1.347, 0.756, 1.247], 1.871),
        ],
    ));
    let by_hand_m = [
        55.0, 54.759, 53.634, 54.578, 55.551, 56.170, 52.892, 53.405, 53.088, 55.363, 57.426, 58.466, 57.800,
        58.391, 57.900, 57.276,
    ];
    assert_heights(&levelled, &by_hand_m);
    let sums = levelled.reduction.sums;
    assert!((sums.backsight_m - 9.418).abs() <= HALF_MM && (sums.foresight_m - 7.142).abs() <= HALF_MM);
}

fn with_heights(mut rows: Vec<Row>, heights_m: &[f64]) -> Vec<Row> {
    for (row, z_m) in rows.iter_mut().zip(heights_m) {
        row.z_m = Some(*z_m);
    }
    rows
}

/// technoupendra, height of instrument method (2020): 99.505 for 99.500 and 98.750 for 98.705, while its own
/// check "−0.895 = −0.895" passes. Only the full collimation check finds it: 395.865 against 395.815.
#[test]
fn wrong_book_that_passes_its_own_check() {
    let setups: [Setup; 2] = [(1.255, &[1.755], 2.750), (2.150, &[1.950], 1.550)];
    let levelled = worked(&with_heights(rows(100.0, &setups), &[100.0, 99.505, 98.505, 98.750, 99.105]));
    assert!(levelled.worked_by_hand);
    assert!(levelled.checks.sights.holds() && levelled.checks.rises.holds());
    assert!((levelled.checks.sights.heights_m + 0.895).abs() <= HALF_MM);
    assert!(!levelled.checks.collimation.holds());
    assert!((levelled.checks.collimation.heights_m - 395.865).abs() <= HALF_MM);
    assert!((levelled.checks.collimation.readings_m - 395.815).abs() <= HALF_MM);
    let slips: Vec<usize> = levelled.slips.iter().map(|slip| slip.station).collect();
    assert_eq!(slips, [1, 3]);
    assert!((levelled.slips[0].follows_z_m - 99.500).abs() <= HALF_MM);
    assert!((levelled.slips[1].follows_z_m - 98.705).abs() <= HALF_MM);
    assert_eq!((levelled.corrections_m.as_ref(), levelled.closed()), (None, false));
}

/// civinnovate, levelling question 75, by rise and fall: the last rise of 0.445 booked as a fall ends at 100.415;
/// right is 101.305. Its own Σ backsights − Σ foresights is 1.305.
#[test]
fn wrong_book_with_a_rise_booked_as_a_fall() {
    let setups: [Setup; 2] = [(1.855, &[2.410, 1.280], 0.995), (2.165, &[], 1.720)];
    let heights_m = [100.0, 99.445, 100.575, 100.860, 100.415];
    let levelled = worked(&with_heights(rows(100.0, &setups), &heights_m));
    assert!(!levelled.checks.sights.holds());
    assert!((levelled.checks.sights.readings_m - 1.305).abs() <= HALF_MM);
    assert!((levelled.reduction.points[4].z_m - 101.305).abs() <= HALF_MM);
    assert_eq!(levelled.slips.iter().map(|slip| slip.station).collect::<Vec<_>>(), [4]);
}

#[test]
fn wrong_intermediate_height_of_the_run_up() {
    let levelled = worked(&with_heights(rows(22.0, &UP), &UP_PRINTED_M));
    assert!(levelled.checks.sights.holds());
    assert!(!levelled.checks.collimation.holds());
    assert_eq!(levelled.slips.len(), 1);
    assert_eq!(levelled.slips[0].station, 15);
    assert!((levelled.slips[0].follows_z_m - 25.649).abs() <= HALF_MM);
}

/// A column worked by hand may not prove itself: its last height is no closing mark.
#[test]
fn a_column_worked_by_hand_does_not_close_the_book() {
    let setups: [Setup; 2] = [(1.255, &[1.755], 2.750), (2.150, &[1.950], 1.550)];
    let rows = with_heights(rows(100.0, &setups), &[100.0, 99.500, 98.505, 98.705, 99.105]);
    let levelled = worked(&rows);
    assert!(levelled.arithmetic_holds());
    assert_eq!((levelled.closing, levelled.closed()), (None, false));
    let asked = Settings { closes_on_z_m: Some(99.100), ..settings() };
    assert!(level(&Book::new(&rows).unwrap(), &asked).unwrap().closed());
}

/// A board-examination loop (inputs published on an answer page; corrections by hand, −misclosure·d/D): 30.5 km,
/// 728.730 closing at 728.486.
#[test]
fn loop_adjusted_by_distance() {
    let kilometres = [0.0, 5.245, 11.271, 17.718, 21.964, 25.247, 30.500];
    let observed_m = [728.730, 783.213, 891.764, 843.195, 739.708, 702.956, 728.486];
    let chainages_m = kilometres.map(|km| 1000.0 * km);
    let corrections_m = by_distance(&chainages_m, 728.730 - 728.486);
    let by_hand_m = [0.0, 0.042, 0.090, 0.142, 0.176, 0.202, 0.244];
    let adjusted_m = [728.730, 783.255, 891.854, 843.337, 739.884, 703.158, 728.730];
    for i in 0..kilometres.len() {
        assert!((corrections_m[i] - by_hand_m[i]).abs() <= HALF_MM, "{}", corrections_m[i]);
        assert!((observed_m[i] + corrections_m[i] - adjusted_m[i]).abs() <= HALF_MM);
    }
    // 24·√30.5 = 132.5 mm, and 244 mm is 44 mm a root kilometre: adjusted, not good.
    let allowed_m = Grade::named("construction").unwrap().allowed_m(30_500.0);
    assert!((1000.0 * allowed_m - 132.5).abs() <= 0.05);
    assert!(0.244 > allowed_m);
}

/// Chainages 0, 30, 100 m and 10 mm to spread: 0, 3, 10 mm.
#[test]
fn book_adjusted_by_distance() {
    let mut rows = rows(10.0, &[(1.0, &[1.2], 1.5)]);
    for (row, chainage_m) in rows.iter_mut().zip([0.0, 30.0, 100.0]) {
        row.chainage_m = Some(chainage_m);
    }
    rows[2].z_m = Some(9.510);
    let by_distance = Settings { spread: Spread::ByDistance, ..settings() };
    let book = Book::new(&rows).unwrap();
    let corrections_m = level(&book, &by_distance).unwrap().corrections_m.unwrap();
    for (correction_m, by_hand_m) in corrections_m.iter().zip([0.0, 0.003, 0.010]) {
        assert!((correction_m - by_hand_m).abs() < 1e-12);
    }
    rows[1].chainage_m = None;
    let refused = level(&Book::new(&rows).unwrap(), &by_distance);
    assert!(matches!(refused, Err(LevelError::NoChainage { .. })));
}

#[test]
fn a_loop_closes_on_its_start_and_marks_on_the_way_are_compared() {
    let mut rows = rows(10.0, &[(1.0, &[1.2], 1.5), (1.5, &[], 1.004)]);
    rows[0].point = "A".to_owned();
    rows[3].point = "A".to_owned();
    rows[1].z_m = Some(9.790);
    let levelled = worked(&rows);
    let closing = levelled.closing.unwrap();
    assert_eq!(closing.on, ClosesOn::Start);
    assert!((closing.misclosure_m + 0.004).abs() < 1e-12);
    assert!(levelled.closed() && !levelled.worked_by_hand);
    assert_eq!(levelled.marks.len(), 1);
    assert!((levelled.marks[0].differs_m - 0.010).abs() < 1e-12);
}

fn row(backsight_m: Option<f64>, intermediate_m: Option<f64>, foresight_m: Option<f64>) -> Row {
    Row { backsight_m, intermediate_m, foresight_m, ..Row::default() }
}

/// A run with one row changed.
fn faults_of(change: impl FnOnce(&mut Vec<Row>)) -> Vec<(usize, BookError)> {
    let mut rows = rows(10.0, &[(1.0, &[1.2], 1.5), (1.6, &[], 1.1)]);
    change(&mut rows);
    let faults = Book::new(&rows).unwrap_err();
    faults.into_iter().map(|fault| (fault.row, fault.error)).collect()
}

#[test]
fn every_fault_of_a_book_is_found_where_it_stands() {
    assert_eq!(faults_of(Vec::clear), [(0, BookError::Empty)]);
    assert_eq!(faults_of(|rows| rows[0].z_m = None), [(0, BookError::NoStartHeight)]);
    assert_eq!(faults_of(|rows| rows[2].foresight_m = None), [(2, BookError::MissingForesight)]);
    assert_eq!(faults_of(|rows| rows[2].backsight_m = None), [(2, BookError::MissingBacksight)]);
    assert_eq!(faults_of(|rows| rows[1].intermediate_m = None), [(1, BookError::NoReading)]);
    assert_eq!(faults_of(|rows| rows[1].foresight_m = Some(1.0)), [(1, BookError::TwoKinds)]);
    assert_eq!(faults_of(|rows| rows[3] = row(None, Some(1.1), None)), [(3, BookError::EndsOnIntermediate)]);
    assert_eq!(faults_of(|rows| rows.truncate(3)), [(2, BookError::EndsOnBacksight)]);
    let two_starts = faults_of(|rows| {
        rows[3].backsight_m = None;
        rows.push(Row { z_m: Some(5.0), ..row(Some(1.0), None, None) });
        rows.push(row(None, None, Some(2.0)));
    });
    assert_eq!(two_starts, [(3, BookError::MissingBacksight), (4, BookError::MissingForesight)]);
    let no_start = faults_of(|rows| rows[0].foresight_m = Some(1.0));
    assert_eq!(no_start, [(0, BookError::NoStart)]);
    let both = faults_of(|rows| {
        rows[1].intermediate_m = Some(1216.0);
        rows[3].foresight_m = Some(f64::NAN);
    });
    assert!(matches!(
        both[..],
        [(1, BookError::ReadingTooLong { .. }), (3, BookError::ReadingTooLong { .. })]
    ));
    let high = faults_of(|rows| rows[0].z_m = Some(1e308));
    assert!(matches!(high[..], [(0, BookError::HeightOutOfReach { .. })]));
    let back = faults_of(|rows| (rows[1].chainage_m, rows[2].chainage_m) = (Some(20.0), Some(10.0)));
    assert!(matches!(back[..], [(2, BookError::ChainageFalls { .. })]));
}

/// A change point carried over a page: its foresight on one row, its backsight on the next.
#[test]
fn a_change_point_may_be_booked_on_two_rows() {
    let mut rows = rows(10.0, &[(1.0, &[1.2], 1.5), (1.6, &[], 1.1)]);
    let on_one_row = worked(&rows);
    let backsight_m = rows[2].backsight_m.take();
    rows[2].point = "CP1".to_owned();
    rows.insert(3, Row { point: "CP1".to_owned(), ..row(backsight_m, None, None) });
    assert_eq!(worked(&rows).reduction, on_one_row.reduction);
    rows[3].point = "CP2".to_owned();
    assert!(Book::new(&rows).is_err());
}

#[test]
fn setups_that_do_not_join() {
    let shot = |point: &str, staff_m| Shot { point: point.to_owned(), staff_m, z_m: None };
    let two_names =
        rows_of_setups(&[vec![shot("A", 1.0), shot("B", 2.0)], vec![shot("C", 1.0), shot("D", 2.0)]]);
    assert!(matches!(two_names.unwrap_err()[0].error, BookError::ChangeOnTwoPoints { .. }));
    let lonely = rows_of_setups(&[vec![shot("A", 1.0)]]);
    assert!(matches!(lonely.unwrap_err()[0].error, BookError::LonelyReading { setup: 1, count: 1 }));
    assert_eq!(Book::new(&rows_of_setups(&[]).unwrap()).unwrap_err()[0].error, BookError::Empty);
}

fn any_setups() -> impl Strategy<Value = Vec<(f64, Vec<f64>, f64)>> {
    let reading = || (-5000..5000_i32).prop_map(|mm| f64::from(mm) / 1000.0);
    let setup = (reading(), proptest::collection::vec(reading(), 0..4), reading());
    proptest::collection::vec(setup, 1..8)
}

proptest! {
    /// Whatever was read: the methods agree, the arithmetic holds, and lifting the start lifts all.
    #[test]
    fn both_methods_agree_and_all_checks_hold(setups in any_setups(), start_mm in -9000..9000_i32) {
        let start_m = f64::from(start_mm) / 1000.0;
        let setups: Vec<Setup> = setups.iter().map(|(back, between, fore)| (*back, &between[..], *fore)).collect();
        let levelled = worked(&rows(start_m, &setups));
        let lifted = worked(&rows(start_m + 100.0, &setups));
        prop_assert!(levelled.arithmetic_holds());
        for (point, higher) in levelled.reduction.points.iter().zip(&lifted.reduction.points) {
            prop_assert!((point.z_m - point.z_by_rises_m).abs() < 1e-9);
            prop_assert!((higher.z_m - point.z_m - 100.0).abs() < 1e-9);
        }
    }

    /// A slip in any height worked by hand is found, and where it was made.
    #[test]
    fn any_slip_is_found_where_it_was_made(setups in any_setups(), at in 0..100_usize, slip_mm in 1..900_i32) {
        let setups: Vec<Setup> = setups.iter().map(|(back, between, fore)| (*back, &between[..], *fore)).collect();
        let rows = rows(50.0, &setups);
        prop_assume!(rows.len() > 2);
        let mut heights_m: Vec<f64> = worked(&rows).reduction.points.iter().map(|point| point.z_m).collect();
        let at = 1 + at % (heights_m.len() - 1);
        heights_m[at] += f64::from(slip_mm) / 1000.0;
        let levelled = worked(&with_heights(rows, &heights_m));
        prop_assert_eq!(levelled.slips[0].station, at);
        prop_assert!(!levelled.arithmetic_holds());
    }

    /// Adjusting brings the end onto its mark, and never touches the start.
    #[test]
    fn an_adjusted_run_ends_on_its_mark(setups in any_setups(), off_mm in -80..80_i32) {
        let setups: Vec<Setup> = setups.iter().map(|(back, between, fore)| (*back, &between[..], *fore)).collect();
        let mut rows = rows(50.0, &setups);
        let last = rows.len() - 1;
        let end_m = worked(&rows).reduction.points[last].z_m;
        let known_m = end_m - f64::from(off_mm) / 1000.0;
        rows[last].z_m = Some(known_m);
        let levelled = worked(&rows);
        prop_assert!((levelled.adjusted_z_m(last).unwrap() - known_m).abs() < 1e-9);
        prop_assert_eq!(levelled.adjusted_z_m(0), Some(50.0));
    }
}
