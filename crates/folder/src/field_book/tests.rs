use proptest::prelude::*;

use super::write::with_entries;
use super::*;

const FILE: &str = "field-book.csv";

fn read(text: &str) -> Vec<Entry> {
    read_field_book(FILE, text.as_bytes()).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

fn rain(id: &str, value_mm: f64) -> Entry {
    let seen = Seen {
        id: id.to_owned(),
        when: When { day: Day::new(2026, 11, 25).unwrap(), minute: Some(845) },
        kind: SeenKind::Rain,
        place: SeenAt::default(),
        value: Some(value_mm),
        note: "gauge by the barn".to_owned(),
        photo: None,
        who: Some("Ines".to_owned()),
    };
    Entry { seen, struck: false }
}

/// A book as somebody keeps it in a spreadsheet: few columns, inches, capitals, no names of rows.
#[test]
fn a_book_written_by_hand() {
    let entries =
        read("Date;Kind;value;unit;note\n2026-11-25;Rain;0,5;in;first real rain\n2026-11-25;note;;;mud\n");
    assert!((entries[0].seen.value.unwrap() - 12.7).abs() < 1e-12);
    assert_eq!(entries[0].seen.note, "first real rain");
    assert_eq!(entries[1].seen.kind, SeenKind::Note);
    assert_ne!(entries[0].seen.id, entries[1].seen.id);
    assert_eq!(
        entries,
        read("Date;Kind;value;unit;note\n2026-11-25;Rain;0,5;in;first real rain\n2026-11-25;note;;;mud\n")
    );
}

/// Every fault at once, each at its cell.
#[test]
fn every_fault_is_told_with_its_place() {
    let text = "date,time,kind,value,unit,chainage_m,x_m,y_m,struck,colour\n\
        2026-02-31,,rain,5,mm,,,,,\n\
        2026-11-25,25:00,rain,5,mm,,,,,\n\
        2026-11-25,,rian,5,mm,,,,,\n\
        2026-11-25,,rain,5,,,,,,\n\
        2026-11-25,,rain,5,cm,,,,,\n\
        2026-11-25,,rain,-1,mm,,,,,\n\
        2026-11-25,,rain,400,in,,,,,\n\
        2026-11-25,,water edge,5,m,,,,,\n\
        2026-11-25,,note,,,-2,,,,\n\
        2026-11-25,,note,,,,3,,,\n\
        2026-11-25,,note,,,,,,perhaps,\n";
    let faults = read_field_book(FILE, text.as_bytes()).unwrap_err();
    let told: Vec<(&str, Option<usize>)> = faults.iter().map(|fault| (fault.code, fault.line)).collect();
    let expected = [
        ("column-unknown", 1),
        ("not-a-day", 2),
        ("not-a-clock", 3),
        ("kind-unknown", 4),
        ("unit-missing", 5),
        ("unit-missing", 6),
        ("value-negative", 7),
        ("rain-too-deep", 8),
        ("value-without-use", 9),
        ("chainage-negative", 10),
        ("place-half", 11),
        ("not-yes-or-no", 12),
    ];
    assert_eq!(told, expected.map(|(code, line)| (code, Some(line))));
    assert!(faults[3].advice.contains("\"rain\""), "{}", faults[3].advice);
}

/// A later row puts an earlier one right; a struck one is gone; the order is that of first writing.
#[test]
fn the_last_row_of_a_name_holds() {
    let mut struck = rain("b", 3.0);
    struck.struck = true;
    let book = [rain("a", 1.0), rain("b", 3.0), rain("c", 4.0), rain("a", 2.0), struck];
    let holds: Vec<(String, Option<f64>)> =
        what_holds(&book).into_iter().map(|seen| (seen.id, seen.value)).collect();
    assert_eq!(holds, [("a".to_owned(), Some(2.0)), ("c".to_owned(), Some(4.0))]);
}

#[test]
fn entries_come_in_once_however_often_they_are_brought() {
    let home = tempfile::tempdir().unwrap();
    let entries = [rain("a", 12.5), rain("b", 0.1)];
    assert_eq!(note_down(home.path(), &entries).unwrap(), Added { new: 2, corrected: 0, known: 0 });
    let once = std::fs::read(home.path().join(FIELD_BOOK)).unwrap();
    assert_eq!(note_down(home.path(), &entries).unwrap(), Added { new: 0, corrected: 0, known: 2 });
    assert_eq!(std::fs::read(home.path().join(FIELD_BOOK)).unwrap(), once);
    let changed = [rain("a", 13.0)];
    assert_eq!(note_down(home.path(), &changed).unwrap(), Added { new: 0, corrected: 1, known: 0 });
    let book = std::fs::read(home.path().join(FIELD_BOOK)).unwrap();
    assert!(book.starts_with(&once), "what was written stays as it was");
    let holds = what_holds(&read_field_book(FILE, &book).unwrap());
    assert_eq!(holds.iter().map(|seen| seen.value).collect::<Vec<_>>(), [Some(13.0), Some(0.1)]);
    assert_eq!(
        note_down(home.path(), &entries[..1]).unwrap().corrected,
        1,
        "the last word is the last brought"
    );
}

/// A book of a person's own making keeps its remarks, mark, line ends and order; lacking columns are named behind.
#[test]
fn a_book_of_ones_own_is_continued_in_its_own_way() {
    let own = "# my rains\r\nkind;date;value;unit\r\nrain;2026-11-20;4,5;mm";
    let (bytes, added) = with_entries(FILE, Some(own.as_bytes()), &[rain("a", 12.5)]).unwrap();
    let text = String::from_utf8(bytes).unwrap();
    assert_eq!(
        text,
        "# my rains\r\nkind;date;value;unit;id;time;note;who\r\nrain;2026-11-20;4,5;mm\r\n\
         rain;2026-11-25;12.5;mm;a;14:05;gauge by the barn;Ines\r\n"
    );
    assert_eq!(added.new, 1);
    assert_eq!(read(&text).len(), 2);
}

/// A broken book is left alone.
#[test]
fn nothing_is_added_to_a_book_with_faults() {
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join(FIELD_BOOK);
    std::fs::write(&path, "date,kind\n2026-13-01,rain\n").unwrap();
    assert_eq!(note_down(home.path(), &[rain("a", 1.0)]).unwrap_err()[0].code, "not-a-day");
    assert_eq!(std::fs::read(&path).unwrap(), b"date,kind\n2026-13-01,rain\n");
}

fn any_seen() -> impl Strategy<Value = Entry> {
    let words = proptest::option::of("[ -~\u{e9}\n,;\"'=+@#-]{0,24}");
    let numbers = (proptest::option::of(0.0..5000.0), proptest::option::of((-1e6..1e6, -1e6..1e6)));
    let when = (1..=28u32, proptest::option::of(0..1440u16), 0..7usize, proptest::option::of(0.0..2000.0));
    (("[a-z0-9]{1,8}", any::<bool>()), (words.clone(), words.clone(), words.clone(), words), numbers, when)
        .prop_map(|((id, struck), (line, note, photo, who), (chainage_m, at), (day, minute, kind, value))| {
            let kind = SeenKind::ALL[kind];
            let seen = Seen {
                id,
                when: When { day: Day::new(2026, 3, day).unwrap(), minute },
                kind,
                place: SeenAt { line, chainage_m, tree: None, at: at.map(|(x_m, y_m)| [x_m, y_m]) },
                value: value.filter(|_| kind.unit().is_some()),
                note: note.unwrap_or_default(),
                photo,
                who,
            };
            Entry { seen, struck }
        })
}

proptest! {
    /// Whatever is written down is read again as it was, but for line ends and blanks; brought again it changes nothing.
    #[test]
    fn what_is_written_is_read(entry in any_seen()) {
        let (bytes, _) = with_entries(FILE, None, std::slice::from_ref(&entry)).unwrap();
        let book = read_field_book(FILE, &bytes).unwrap();
        prop_assert_eq!(book.len(), 1);
        let (seen, kept) = (&entry.seen, &book[0].seen);
        prop_assert_eq!((&kept.id, kept.when, kept.kind, book[0].struck), (&seen.id, seen.when, seen.kind, entry.struck));
        prop_assert_eq!((kept.value, kept.place.chainage_m, kept.place.at), (seen.value, seen.place.chainage_m, seen.place.at));
        let words = |text: &Option<String>| text.iter().flat_map(|text| text.split_whitespace().map(str::to_owned)).collect::<Vec<_>>();
        prop_assert_eq!(words(&Some(kept.note.clone())), words(&Some(seen.note.clone())));
        for (found, meant) in [(&kept.who, &seen.who), (&kept.photo, &seen.photo), (&kept.place.line, &seen.place.line)] {
            prop_assert_eq!(words(found), words(meant));
        }
        let (again, added) = with_entries(FILE, Some(&bytes), &[entry]).unwrap();
        prop_assert_eq!(added, Added { new: 0, corrected: 0, known: 1 });
        prop_assert_eq!(again, bytes);
    }
}
