//! The column of days that dated tables have.
//!
//! One column `date` (2026-11-20, 2026/11/20 or 20261120), or three: `year`, `month`, `day`. Other orders are
//! refused, because nobody can tell 3/4/2026 from 4/3/2026.

use quantity::Day;

use crate::Fault;
use crate::table::{ColumnIdx, Row, Table, shown};

/// Where the days of a table stand.
#[derive(Debug, Clone, Copy)]
pub(crate) struct DayColumn {
    /// The year's column where there are three, else that of the whole day.
    first: ColumnIdx,
    month_and_day: Option<[ColumnIdx; 2]>,
}

impl DayColumn {
    /// Finds it.
    ///
    /// # Errors
    /// There is neither `date` nor all three of `year`, `month` and `day`.
    pub(crate) fn require(table: &Table) -> Result<DayColumn, Fault> {
        if table.column("date").is_none()
            && let (Some(first), Some(month), Some(day)) =
                (table.column("year"), table.column("month"), table.column("day"))
        {
            return Ok(DayColumn { first, month_and_day: Some([month, day]) });
        }
        Ok(DayColumn { first: table.require("date")?, month_and_day: None })
    }

    /// Names of its columns.
    pub(crate) fn is_named(name: &str) -> bool {
        ["date", "year", "month", "day"].iter().any(|known| known.eq_ignore_ascii_case(name))
    }

    /// The day of a row.
    ///
    /// # Errors
    /// It is not a day of the calendar, such as 31 February.
    pub(crate) fn day(&self, row: &Row) -> Result<Day, Fault> {
        let (text, day) = match self.month_and_day {
            None => (row.text(self.first).to_owned(), whole(row.text(self.first))),
            Some([month, day]) => {
                let parts = [row.text(self.first), row.text(month), row.text(day)];
                (parts.join("-"), of_parts(parts))
            }
        };
        day.ok_or_else(|| {
            let found = format!("\"{}\" is not a day of the calendar", shown(&text));
            row.fault(self.first, "not-a-day", found, "write year, month and day as 2026-11-20")
        })
    }

    /// The fault of a day that does not come after the last.
    pub(crate) fn order_fault(&self, row: &Row, day: Day, last: Day) -> Option<Fault> {
        if day == last {
            let found = format!("{day} is there twice");
            return Some(row.fault(self.first, "day-twice", found, "keep the right one"));
        }
        (day < last).then(|| {
            let found = format!("{day} comes after {last}");
            row.fault(self.first, "days-out-of-order", found, "sort the rows by date")
        })
    }
}

fn whole(text: &str) -> Option<Day> {
    if text.len() == 8 && text.bytes().all(|byte| byte.is_ascii_digit()) {
        return Day::parse(&format!("{}-{}-{}", &text[..4], &text[4..6], &text[6..]));
    }
    Day::parse(&text.replace('/', "-"))
}

fn of_parts([year, month, day]: [&str; 3]) -> Option<Day> {
    Day::new(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn days(text: &str) -> Result<Vec<String>, Vec<&'static str>> {
        let table = Table::read("f", text.as_bytes()).unwrap();
        let column = DayColumn::require(&table).map_err(|fault| vec![fault.code])?;
        let read = |row| column.day(&row).map(|day| day.to_string()).map_err(|fault| vec![fault.code]);
        table.rows().map(read).collect()
    }

    #[test]
    fn days_are_read_in_any_order_that_says_itself() {
        assert_eq!(
            days("date\n2024-02-29\n2024/03/01\n20240302\n").unwrap()[1..],
            ["2024-03-01", "2024-03-02"]
        );
        assert_eq!(days("Year;Month;Day;x\n2024;2;29;1\n").unwrap(), ["2024-02-29"]);
        for bad in
            ["date\n2023-02-31\n", "date\n3/4/2026\n", "date\n20230231\n", "year,month,day\n2023,2,31\n"]
        {
            assert_eq!(days(bad), Err(vec!["not-a-day"]), "{bad}");
        }
        assert_eq!(days("year,month\n2023,2\n"), Err(vec!["column-missing"]));
    }
}
