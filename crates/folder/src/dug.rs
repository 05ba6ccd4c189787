//! Levels taken along a dug line: `dug/NAME.csv` with chainage_m, bed_z_m and bank_z_m.

use site::DugLevel;

use crate::Fault;
use crate::lengths::{Lengths, names_of};
use crate::table::{Row, Table};

/// Heights beyond these lie nowhere on land, m: the limits of a height in `site.toml`.
const HEIGHTS_M: std::ops::RangeInclusive<f64> = -500.0..=9000.0;

/// The columns of one table of dug levels.
struct Columns {
    chainage: Lengths,
    bed: Lengths,
    bank: Lengths,
}

/// Reads the levels along a dug line.
///
/// # Errors
/// Every fault of the table.
pub fn read_dug(file: &str, bytes: &[u8]) -> Result<Vec<DugLevel>, Vec<Fault>> {
    let table = Table::read(file, bytes)?;
    let columns = columns(&table)?;
    let mut faults = Vec::new();
    let mut levels: Vec<DugLevel> = Vec::new();
    for row in table.rows() {
        match level(&row, &columns) {
            Ok(level) => {
                if let Some(last) = levels.last().filter(|last| level.chainage_m <= last.chainage_m) {
                    let found = format!("chainage {} m comes after {} m", level.chainage_m, last.chainage_m);
                    let advice = "give the places in order, each further from the first peg";
                    faults.push(fault(&row, columns.chainage, "chainage-out-of-order", found, advice));
                }
                levels.push(level);
            }
            Err(of_row) => faults.extend(of_row),
        }
    }
    if faults.is_empty() && levels.len() < 2 {
        let found = format!("{} place was levelled, and a line has two ends", levels.len());
        faults.push(table.fault("too-few-rows", found, "take levels at least at both ends"));
    }
    if faults.is_empty() { Ok(levels) } else { Err(faults) }
}

fn columns(table: &Table) -> Result<Columns, Vec<Fault>> {
    let mut faults = Vec::new();
    let mut take = |column: Result<Lengths, Fault>| column.map_err(|fault| faults.push(fault)).ok();
    let chainage = take(Lengths::require(table, "chainage"));
    let bed = take(Lengths::require(table, "bed_z"));
    let bank = take(Lengths::find(table, "bank_z"));
    let mut known: Vec<String> = ["chainage", "bed_z", "bank_z"].into_iter().flat_map(names_of).collect();
    known.push("note".to_owned());
    let known: Vec<&str> = known.iter().map(String::as_str).collect();
    faults.extend(table.unknown_columns(&known));
    match (chainage, bed, bank) {
        (Some(chainage), Some(bed), Some(bank)) if faults.is_empty() => Ok(Columns { chainage, bed, bank }),
        _ => Err(faults),
    }
}

fn level(row: &Row, columns: &Columns) -> Result<DugLevel, Vec<Fault>> {
    let mut faults = Vec::new();
    let mut take = |lengths: Lengths, needed: bool| match lengths.m(row) {
        Ok(None) if needed => {
            let found = "the cell is blank".to_owned();
            faults.push(fault(row, lengths, "cell-blank", found, "write the level, or delete the row"));
            None
        }
        Ok(value) => value,
        Err(fault) => {
            faults.push(fault);
            None
        }
    };
    let chainage_m = take(columns.chainage, true);
    let bed_z_m = take(columns.bed, true);
    let bank_z_m = take(columns.bank, false);
    for (z_m, lengths) in [(bed_z_m, columns.bed), (bank_z_m, columns.bank)] {
        if let Some(z_m) = z_m.filter(|z_m| !HEIGHTS_M.contains(z_m)) {
            let found = format!("a height of {z_m} m lies on no land");
            faults.push(fault(
                row,
                lengths,
                "height-impossible",
                found,
                "write metres above the site's datum",
            ));
        }
    }
    if let (Some(bed_z_m), Some(bank_z_m)) = (bed_z_m, bank_z_m)
        && bank_z_m < bed_z_m
    {
        let found = format!("the bank, {bank_z_m} m, lies below the bed, {bed_z_m} m");
        faults.push(fault(row, columns.bank, "bank-below-bed", found, "see whether the two were swapped"));
    }
    match (chainage_m, bed_z_m) {
        (Some(chainage_m), Some(bed_z_m)) if faults.is_empty() => {
            Ok(DugLevel { chainage_m, bed_z_m, bank_z_m })
        }
        _ => Err(faults),
    }
}

fn fault(row: &Row, lengths: Lengths, code: &'static str, found: String, advice: &str) -> Fault {
    let column = lengths.column().expect("a cell was read from this column");
    row.fault(column, code, found, advice)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn codes(text: &str) -> Vec<(&'static str, Option<usize>)> {
        let faults = read_dug("dug/top.csv", text.as_bytes()).unwrap_err();
        faults.iter().map(|fault| (fault.code, fault.line)).collect()
    }

    #[test]
    fn levels_are_read_and_a_bank_may_be_missing() {
        let levels = read_dug("f", b"chainage_m,bed_z_m,bank_z_m\n0,99.7,100.3\n10,99.69,\n").unwrap();
        assert_eq!(levels.len(), 2);
        assert_eq!(levels[0].bank_z_m, Some(100.3));
        assert_eq!(levels[1].bank_z_m, None);
        let comma = read_dug("f", b"chainage_m;bed_z_m\n0;99,7\n10;99,69\n").unwrap();
        assert_eq!(comma[1].bed_z_m, 99.69);
    }

    #[test]
    fn every_fault_is_told() {
        let text = "chainage_m,bed_z_m,bank_z_m\n0,99.7,99.2\n10,,100\n9,x,1e9\n";
        assert_eq!(
            codes(text),
            [
                ("bank-below-bed", Some(2)),
                ("cell-blank", Some(3)),
                ("not-a-number", Some(4)),
                ("height-impossible", Some(4)),
            ]
        );
        assert_eq!(codes("chainage_m,bed_z_m\n5,1\n5,1\n"), [("chainage-out-of-order", Some(3))]);
        assert_eq!(codes("chainage_m,bed_z_m\n5,1\n"), [("too-few-rows", Some(2))]);
        assert_eq!(codes("chainage_m,depth\n1,2\n")[0].0, "column-missing");
    }
}
