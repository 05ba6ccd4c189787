//! What was seen in the field, dated: the field book.

use crate::{Day, SeenKind};

/// One thing seen.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// Tells it from all others: a later entry of the same name puts it right.
    pub id: String,
    /// When.
    pub when: When,
    /// What.
    pub kind: SeenKind,
    /// Where.
    pub place: SeenAt,
    /// Its figure, in the unit of its kind.
    pub value: Option<f64>,
    /// In the words of who saw it.
    pub note: String,
    /// Name of a photograph, in the folder `photos/` or on somebody's phone.
    pub photo: Option<String>,
    /// Who saw it.
    pub who: Option<String>,
}

/// Day and, where it was written down, clock of the place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct When {
    /// The day.
    pub day: Day,
    /// Minutes since midnight.
    pub minute: Option<u16>,
}

/// Where something was seen; nothing of it need be known.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SeenAt {
    /// At this line.
    pub line: Option<String>,
    /// So far along it.
    pub chainage_m: Option<f64>,
    /// At this tree.
    pub tree: Option<String>,
    /// At this place.
    pub at: Option<crate::Xy>,
}

impl When {
    /// The clock as `HH:MM`; empty where it is not known.
    pub fn clock(self) -> String {
        self.minute.map_or(String::new(), |minute| format!("{:02}:{:02}", minute / 60, minute % 60))
    }

    /// Minutes since midnight of a clock such as `14:05` or `7:30`.
    pub fn minute_of(clock: &str) -> Option<u16> {
        let (hours, minutes) = clock.split_once(':')?;
        let digits = |text: &str, most: usize| {
            (1..=most).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit())
        };
        let sound = digits(hours, 2) && minutes.len() == 2 && digits(minutes, 2);
        let (hours, minutes): (u16, u16) =
            sound.then(|| Some((hours.parse().ok()?, minutes.parse().ok()?)))??;
        (hours < 24 && minutes < 60).then_some(60 * hours + minutes)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clocks() {
        for (clock, minute) in [
            ("00:00", Some(0)),
            ("7:05", Some(425)),
            ("23:59", Some(1439)),
            ("24:00", None),
            ("12:60", None),
            ("12:5", None),
            ("+1:00", None),
            ("noon", None),
            ("", None),
        ] {
            assert_eq!(When::minute_of(clock), minute, "{clock}");
        }
        let when = |minute| When { day: Day::new(2026, 11, 25).unwrap(), minute };
        assert_eq!((when(Some(425)).clock(), when(None).clock()), ("07:05".to_owned(), String::new()));
    }
}
