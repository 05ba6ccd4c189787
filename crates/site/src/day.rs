//! A day of the Gregorian calendar.

/// A day that there is: never 31 February.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day {
    year: i32,
    month: u32,
    day: u32,
}

impl Day {
    /// The day in a text such as "2026-11-20" (ISO 8601); none where it is no day of the calendar.
    pub fn parse(text: &str) -> Option<Day> {
        let parts: Vec<&str> = text.split('-').collect();
        let [year, month, day] = parts[..] else {
            return None;
        };
        let number = |part: &str, digits: usize| -> Option<u32> {
            let plain = part.len() == digits && part.bytes().all(|byte| byte.is_ascii_digit());
            plain.then(|| part.parse().ok()).flatten()
        };
        let year = i32::try_from(number(year, 4)?).ok()?;
        let (month, day) = (number(month, 2)?, number(day, 2)?);
        (1..=last_of(year, month)).contains(&day).then_some(Day { year, month, day })
    }

    /// Its year.
    pub fn year(self) -> i32 {
        self.year
    }

    /// Days from 1 January 1970, negative before. Years are counted from March, so that the leap day is the last
    /// of its year and every month before it starts at (153·m + 2)/5.
    pub fn number(self) -> i64 {
        let (year, month, day) = (i64::from(self.year), i64::from(self.month), i64::from(self.day));
        let from_march = (month + 9) % 12;
        let year = if month <= 2 { year - 1 } else { year };
        let of_year = (153 * from_march + 2) / 5 + day - 1;
        // 1 January 1970 is day 719 468 counted from 1 March of the year 0.
        365 * year + year.div_euclid(4) - year.div_euclid(100) + year.div_euclid(400) + of_year - 719_468
    }

    /// Days in a year.
    pub fn days_in(year: i32) -> u32 {
        if is_leap(year) { 366 } else { 365 }
    }
}

impl std::fmt::Display for Day {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

fn is_leap(year: i32) -> bool {
    year % 4 == 0 && (year % 100 != 0 || year % 400 == 0)
}

fn last_of(year: i32, month: u32) -> u32 {
    match month {
        2 if is_leap(year) => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => 0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_those_of_the_calendar() {
        for good in ["2024-02-29", "2000-02-29", "1999-12-31", "0001-01-01"] {
            assert_eq!(Day::parse(good).unwrap().to_string(), good);
        }
        for bad in ["2023-02-29", "1900-02-29", "2023-02-31", "2023-13-01", "2023-00-10", "2023-4-1", "", "x"]
        {
            assert_eq!(Day::parse(bad), None, "{bad}");
        }
    }

    /// Every day of 400 years follows the one before, and 400 years are 146 097 days: 400·365 + 97 leap days.
    #[test]
    fn numbers_follow_one_another() {
        let mut expected = Day::parse("1801-01-01").unwrap().number();
        for year in 1801..=2200 {
            for month in 1..=12 {
                for day in 1..=last_of(year, month) {
                    assert_eq!(Day { year, month, day }.number(), expected);
                    expected += 1;
                }
            }
        }
        assert_eq!(expected - Day::parse("1801-01-01").unwrap().number(), 146_097);
        assert_eq!(Day::parse("1970-01-01").unwrap().number(), 0);
    }
}
