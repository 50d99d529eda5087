//! Pace: the times between records as the unit displayed them, as numbers; nothing here is a probability of an event.

pub mod digits;
pub mod measure;
pub mod repeat;
pub mod spread;
mod suffixes;
mod timeline;

pub use measure::{Inside, Measurements, Run, Silence};
pub use timeline::{Resolution, Section, Tick, Timeline};

/// A length of time in words, to the millisecond where it has any.
#[must_use]
pub fn duration(ms: i64) -> String {
    let ms = ms.max(0);
    let (seconds, rest) = (ms / 1000, ms % 1000);
    let fraction =
        if rest == 0 { String::new() } else { format!(".{rest:03}").trim_end_matches('0').to_owned() };
    let parts = [(seconds / 86_400, "d"), (seconds / 3600 % 24, "h"), (seconds / 60 % 60, "min")];
    let mut words: Vec<String> = parts
        .iter()
        .filter(|(amount, _)| *amount > 0)
        .map(|(amount, unit)| format!("{amount} {unit}"))
        .collect();
    if words.is_empty() || seconds % 60 > 0 || !fraction.is_empty() {
        words.push(format!("{}{fraction} s", seconds % 60));
    }
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::duration;

    #[test]
    fn durations_are_said_in_the_units_that_they_need() {
        let said = [0, 1000, 61_000, 3_600_000, 90_061_000, 250, 1_500].map(duration);
        assert_eq!(said, ["0 s", "1 s", "1 min 1 s", "1 h", "1 d 1 h 1 min 1 s", "0.25 s", "1.5 s"]);
    }
}
