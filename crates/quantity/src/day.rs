//! A day of the Gregorian calendar.

/// A day that there is: never 31 February.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day {
    year: i32,
    month: u32,
    day: u32,
}

impl Day {
    /// The day of this year, month from 1 and day of the month from 1; none where it is no day of the calendar.
    pub fn new(year: i32, month: u32, day: u32) -> Option<Day> {
        (1..=Day::last_of(year, month)).contains(&day).then_some(Day { year, month, day })
    }

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
        Day::new(year, number(month, 2)?, number(day, 2)?)
    }

    /// Its year.
    pub fn year(self) -> i32 {
        self.year
    }

    /// Its month, 1 to 12.
    pub fn month(self) -> u32 {
        self.month
    }

    /// Its day of the month, from 1.
    pub fn of_month(self) -> u32 {
        self.day
    }

    /// Its day of the year: 1 on 1 January, 365 or 366 on 31 December.
    pub fn of_year(self) -> u32 {
        let first = Day { year: self.year, month: 1, day: 1 };
        u32::try_from(self.number() - first.number() + 1).expect("no day comes before its year's first")
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

    /// The day after.
    #[must_use]
    pub fn next(self) -> Day {
        let Day { year, month, day } = self;
        if day < Day::last_of(year, month) {
            Day { year, month, day: day + 1 }
        } else if month < 12 {
            Day { year, month: month + 1, day: 1 }
        } else {
            Day { year: year + 1, month: 1, day: 1 }
        }
    }

    /// Days in a year.
    pub fn days_in(year: i32) -> u32 {
        if is_leap(year) { 366 } else { 365 }
    }

    /// Days in a month, 1 to 12; none in any other.
    pub fn last_of(year: i32, month: u32) -> u32 {
        match month {
            2 if is_leap(year) => 29,
            2 => 28,
            4 | 6 | 9 | 11 => 30,
            1..=12 => 31,
            _ => 0,
        }
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
    fn days_and_their_numbers_follow_one_another() {
        let first = Day::new(1801, 1, 1).unwrap();
        let mut day = first;
        for expected in first.number()..first.number() + 146_097 {
            assert_eq!(day.number(), expected, "{day}");
            day = day.next();
        }
        assert_eq!(day, Day::new(2201, 1, 1).unwrap());
        assert_eq!(Day::new(1970, 1, 1).unwrap().number(), 0);
    }

    /// Allen et al. 1998, FAO Irrigation and Drainage Paper 56, annex 2, table 2.5, and by the calendar 1900 and
    /// 2100, which that paper's rule for spreadsheets takes for leap years.
    #[test]
    fn published_days_of_the_year() {
        let of_year = |year, month, day| Day::new(year, month, day).unwrap().of_year();
        for (year, month, day, expected) in [
            (2023, 3, 1, 60),
            (2024, 3, 1, 61),
            (2023, 9, 3, 246),
            (2023, 12, 31, 365),
            (2024, 12, 31, 366),
            (2023, 4, 15, 105),
            (2023, 5, 15, 135),
            (2023, 7, 15, 196),
            (2023, 7, 6, 187),
            (1900, 3, 1, 60),
            (2100, 3, 1, 60),
        ] {
            assert_eq!(of_year(year, month, day), expected, "{year}-{month}-{day}");
        }
        let middles: Vec<u32> = (1..=12)
            .map(|month| of_year(2023, month, if month == 2 { 15 } else { Day::last_of(2023, month) / 2 }))
            .collect();
        assert_eq!(middles, [15, 46, 74, 105, 135, 166, 196, 227, 258, 288, 319, 349]);
    }
}
