use proptest::prelude::*;

use super::*;

fn table(text: &str) -> Table {
    Table::read("t.csv", text.as_bytes()).unwrap()
}

fn first_fault(bytes: &[u8]) -> Fault {
    Table::read("t.csv", bytes).unwrap_err().remove(0)
}

/// Every cell as text, blanks included.
fn cells(table: &Table) -> Vec<Vec<&str>> {
    let columns: Vec<ColumnIdx> = (0..table.names.len()).map(ColumnIdx).collect();
    table.rows().map(|row| columns.iter().map(|c| row.text(*c)).collect()).collect()
}

#[test]
fn the_same_table_in_every_dress() {
    let expected = vec![vec!["A", "1.5", "high, dry"], vec!["B", "", "low"]];
    for text in [
        "point,z_m,note\nA,1.5,\"high, dry\"\nB,,low\n",
        "point;z_m;note\r\nA;1.5;high, dry\r\nB;;low",
        "\u{feff}point\tz_m\tnote\nA\t1.5\thigh, dry\nB\t\tlow\n\n",
        "# measured in rain\npoint|z_m|note\n\n A | 1.5 | \"high, dry\" \n  # wind\nB||low\n|||\n",
        "point;z_m;note\rA;1.5;high, dry\rB;;low\r",
    ] {
        assert_eq!(cells(&table(text)), expected, "{text:?}");
    }
}

#[test]
fn utf_16_with_its_mark() {
    let text = "point;z_m\nÁ;1,5\n";
    for (mark, bytes) in
        [([0xFF, 0xFE], u16::to_le_bytes as fn(u16) -> [u8; 2]), ([0xFE, 0xFF], u16::to_be_bytes)]
    {
        let mut file = mark.to_vec();
        file.extend(text.encode_utf16().flat_map(bytes));
        let read = Table::read("t.csv", &file).unwrap();
        assert_eq!(cells(&read), vec![vec!["Á", "1,5"]]);
        file.pop();
        assert_eq!(first_fault(&file).code, "not-text");
    }
    let unmarked: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
    assert_eq!(first_fault(&unmarked).code, "not-text");
}

#[test]
fn numbers_as_people_write_them() {
    let number = |text: &str| {
        let table = table(&format!("a;b\n{text};x\n"));
        let column = table.column("A").unwrap();
        table.rows().next().unwrap().number(column)
    };
    for (text, value) in [("1.5", 1.5), ("1,5", 1.5), ("-2", -2.0), ("\u{2212}2,25", -2.25), ("+1e-3", 0.001)]
    {
        assert_eq!(number(text), Ok(Some(value)), "{text}");
    }
    assert_eq!(number(""), Ok(None));
    for text in
        ["1.2l6", "nan", "inf", "-Infinity", "1e999", "1.234,5", "1,2,3", "1 234", "3 m", "e", "--1", "0x10"]
    {
        let fault = number(text).unwrap_err();
        assert_eq!((fault.code, fault.line, fault.column), ("not-a-number", Some(2), Some(1)), "{text}");
    }
}

#[test]
fn a_comma_is_no_decimal_mark_where_it_divides_cells() {
    let table = table("a,b\n\"1,5\",2\n");
    let fault = table.rows().next().unwrap().number(ColumnIdx(0)).unwrap_err();
    assert!(fault.advice.contains("with a point"), "{fault}");
}

#[test]
fn faults_say_where() {
    let fault = first_fault(b"a,b\n1,2\n\"never,3\n");
    assert_eq!((fault.code, fault.line, fault.column), ("quote-never-ends", Some(3), Some(1)));
    let fault = first_fault("a,b\n1,ä\u{0}".as_bytes());
    assert_eq!((fault.code, fault.line, fault.column), ("not-text", Some(2), Some(4)));
    let fault = first_fault(b"a,b\n\xe4,2\n");
    assert_eq!((fault.code, fault.line, fault.column), ("not-text", Some(2), Some(1)));
    let fault = first_fault(b"a, b ,A\n");
    assert_eq!((fault.code, fault.line, fault.column), ("column-twice", Some(1), Some(7)));
    let fault = first_fault(b"a,b\n1,2\n1,2,  3\n");
    assert_eq!((fault.code, fault.line, fault.column), ("cell-without-column", Some(3), Some(7)));
    for empty in ["", "\n\n", "# only a comment", "\u{feff}"] {
        assert_eq!(first_fault(empty.as_bytes()).code, "table-empty");
    }
}

#[test]
fn missing_and_unknown_columns_are_named() {
    let table = table("point,backsite_m\nA,1\n");
    let fault = table.require("backsight_m").unwrap_err();
    assert_eq!(
        fault.to_string(),
        "t.csv:1:1: no column \"backsight_m\" among point, backsite_m; add it to the first line"
    );
    let unknown = table.unknown_columns(&["point", "backsight_m"]);
    assert_eq!((unknown.len(), unknown[0].column), (1, Some(7)));
}

proptest! {
    #[test]
    fn no_bytes_make_it_panic(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        if let Ok(table) = Table::read("t.csv", &bytes) {
            for row in table.rows() {
                for i in 0..table.names().count() {
                    let _ = row.number(ColumnIdx(i));
                }
            }
        }
    }

    #[test]
    fn no_text_makes_it_panic(text in "[a-c0-9,;|\t\"# \r\n.\u{feff}é-]{0,120}") {
        if let Err(faults) = Table::read("t.csv", text.as_bytes()) {
            prop_assert!(!faults.is_empty());
        }
    }

    /// What is written with quotes everywhere reads back.
    #[test]
    fn quoted_cells_read_back(rows in proptest::collection::vec(("[a-z,;\"\n]{1,8}", "[0-9 x#]{0,5}"), 1..6)) {
        let quoted = |text: &str| format!("\"{}\"", text.replace('"', "\"\""));
        let mut text = "one,two\n".to_owned();
        for (one, two) in &rows {
            text.push_str(&format!("{},{}\n", quoted(one), quoted(two)));
        }
        let table = table(&text);
        let expected: Vec<Vec<&str>> = rows.iter().map(|(one, two)| vec![one.trim(), two.trim()])
            .filter(|row| row.iter().any(|cell| !cell.is_empty())).collect();
        prop_assert_eq!(cells(&table), expected);
    }
}
