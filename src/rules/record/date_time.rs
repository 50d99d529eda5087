//! Date, time and zone of a header, as RFC 3339 words them.

/// An instant as stated: its first millisecond since 1970-01-01T00:00:00Z, and how many milliseconds it may mean.
#[derive(Clone, Copy)]
pub(super) struct Instant {
    pub(super) ms: i64,
    pub(super) step: i64,
}

impl Instant {
    pub(super) fn end(self) -> i64 {
        self.ms + self.step
    }
}

/// Reads `date-time` of RFC 3339, section 5.6. A second of 60 is not read: the calendar used here has none.
pub(super) fn instant(text: &str) -> Option<Instant> {
    let (civil, rest) = text.split_at_checked(19)?;
    let shape = civil.bytes().enumerate().all(|(place, byte)| match place {
        4 | 7 => byte == b'-',
        10 => byte.eq_ignore_ascii_case(&b'T'),
        13 | 16 => byte == b':',
        _ => byte.is_ascii_digit(),
    });
    if !shape || civil.ends_with("60") {
        return None;
    }
    let (fraction, zone) = match rest.strip_prefix('.') {
        Some(rest) => rest.split_at_checked(rest.bytes().take_while(u8::is_ascii_digit).count())?,
        None => ("0", rest),
    };
    if fraction.is_empty() {
        return None;
    }
    let format = if civil.contains('t') { "%Y-%m-%dt%H:%M:%S" } else { "%Y-%m-%dT%H:%M:%S" };
    let seconds = chrono::NaiveDateTime::parse_from_str(civil, format).ok()?.and_utc().timestamp_millis();
    // Digits past the millisecond say more than any display of a unit.
    let thousandths: String = fraction.chars().chain("000".chars()).take(3).collect();
    let step =
        if rest.starts_with('.') { 10_i64.pow(3 - u32::try_from(fraction.len().min(3)).ok()?) } else { 1000 };
    // `-00:00` says that the instant is known and the local zone is not (RFC 3339, section 4.3).
    let offset = offset(zone)?.unwrap_or(0);
    Some(Instant { ms: seconds + thousandths.parse::<i64>().ok()? - offset, step })
}

/// Reads `time-offset` of RFC 3339, section 5.6, in milliseconds; the inner `None` is `-00:00`.
#[allow(
    clippy::option_option,
    reason = "not readable, readable without a zone, and readable are three things"
)]
pub(super) fn offset(text: &str) -> Option<Option<i64>> {
    if text.eq_ignore_ascii_case("z") {
        return Some(Some(0));
    }
    let [sign, h1, h2, b':', m1, m2] = text.as_bytes() else {
        return None;
    };
    let digit = |byte: &u8| byte.is_ascii_digit().then(|| i64::from(byte - b'0'));
    let (hours, minutes) = (digit(h1)? * 10 + digit(h2)?, digit(m1)? * 10 + digit(m2)?);
    if hours > 23 || minutes > 59 {
        return None;
    }
    let ms = (hours * 60 + minutes) * 60_000;
    match sign {
        b'+' => Some(Some(ms)),
        b'-' if ms == 0 => Some(None),
        b'-' => Some(Some(-ms)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::{instant, offset};

    #[test]
    fn instants_are_those_of_rfc_3339_section_5_8() {
        let ms = |text| instant(text).map(|instant| (instant.ms, instant.step));
        assert_eq!(ms("1985-04-12T23:20:50.52Z"), Some((482_196_050_520, 10)));
        assert_eq!(ms("1996-12-19T16:39:57-08:00"), Some((851_042_397_000, 1000)));
        assert_eq!(ms("1996-12-20T00:39:57Z"), Some((851_042_397_000, 1000)));
        assert_eq!(ms("1937-01-01T12:00:27.87+00:20"), Some((-1_041_337_172_130, 10)));
        assert_eq!(ms("1996-12-20t00:39:57z"), ms("1996-12-20T00:39:57-00:00"));
    }

    #[test]
    fn what_rfc_3339_does_not_allow_is_not_read() {
        for text in [
            "",
            "2023-02-29T00:00:00Z",
            "2031-13-01T00:00:00Z",
            "2031-05-19T24:00:00Z",
            "2031-05-19T10:04:60Z",
            "2031-05-19T10:04:31",
            "2031-05-19T10:04:31+0530",
            "2031-05-19 10:04:31Z",
            "2031-05-19T10:04:31.Z",
            "2031-05-19T10:04:31+24:00",
            "2031-05-19T10:04:31+02:60",
            "2031-05-19T10:04:31Z ",
            "2031-5-19T10:04:31Z",
            "2031-05-19T10:04:3\u{e9}Z",
        ] {
            assert!(instant(text).is_none(), "{text}");
        }
        assert_eq!(offset("-00:00"), Some(None));
        assert_eq!(offset("-05:30"), Some(Some(-19_800_000)));
        assert_eq!(offset("02:00"), None);
    }
}
