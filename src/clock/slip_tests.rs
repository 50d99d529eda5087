//! Tests of the slips.
use super::*;

fn ms(text: &str) -> i64 {
    crate::case::civil_ms(text).unwrap()
}

fn read(displayed: &str, civil: &str) -> Shown {
    let (from, at) = (ms(displayed), ms(civil));
    Shown { displayed: (from, from + 1000), civil: (at - 5000, at + 5000) }
}

fn fit(readings: &[(&str, &str)]) -> Vec<Slip> {
    let readings: Vec<Shown> = readings.iter().map(|(displayed, civil)| read(displayed, civil)).collect();
    fitting(&readings, 300_000)
}

#[test]
fn every_slip_is_found_by_its_readings_and_none_beside_it() {
    for (readings, slips) in [
        (vec![("2031-05-10 06:40:00", "2031-05-10 06:41:00")], vec![Slip::Identity]),
        (vec![("2031-05-10 18:40:00", "2031-05-10 06:40:00")], vec![Slip::HalfDay(12)]),
        (vec![("2031-05-10 05:40:00", "2031-05-10 06:40:00")], vec![Slip::Hour(-1)]),
        // methods.md, 10, fault 17: a zone 5 h 30 min away.
        (vec![("2031-05-10 01:10:00", "2031-05-10 06:40:00")], vec![Slip::Quarters(-22)]),
        (vec![("2031-05-11 06:40:00", "2031-05-10 06:40:00")], vec![Slip::Day(1)]),
        (vec![("2030-05-10 06:40:00", "2031-05-10 06:40:00")], vec![Slip::Year(-1)]),
        // Set in January of a leap year with the year before, which had no 29 February: a day more from March on.
        (vec![("2031-05-11 06:40:00", "2032-05-10 06:40:00")], vec![Slip::Year(-1)]),
        (
            vec![
                ("2031-01-20 06:40:00", "2032-01-20 06:40:00"),
                ("2031-05-11 06:40:00", "2032-05-10 06:40:00"),
            ],
            vec![Slip::Year(-1)],
        ),
        (
            vec![
                ("2031-01-20 06:40:00", "2032-01-20 06:40:00"),
                ("2031-05-10 06:40:00", "2032-05-10 06:40:00"),
            ],
            vec![],
        ),
        (vec![("1931-05-10 06:40:00", "2031-05-10 06:40:00")], vec![Slip::Century(-100)]),
        (vec![("2020-01-04 06:40:00", "2031-05-10 06:40:00")], vec![Slip::Epoch(7)]),
        (vec![("2031-05-10 06:40:00", "2031-05-10 09:17:00")], vec![]),
    ] {
        assert_eq!(fit(&readings), slips, "{readings:?}");
    }
    assert!(fitting(&[], 1).is_empty());
}

/// methods.md, 3.4: 2024-05-07 set as 07-05 is 59 days off on every day; in print it is off by 59, 89, ... days.
#[test]
fn a_swap_at_setting_and_a_swap_in_print_are_two_slips() {
    // One reading on the day itself fits both, and both are listed.
    let both = fit(&[("2024-07-05 06:40:00", "2024-05-07 06:40:00")]);
    assert_eq!(both, [Slip::SwappedAtSetting, Slip::SwappedInPrint]);
    // The same difference on the next day: set so.
    let set = fit(&[
        ("2024-07-05 06:40:00", "2024-05-07 06:40:00"),
        ("2024-07-06 06:40:00", "2024-05-08 06:40:00"),
    ]);
    assert_eq!(set, [Slip::SwappedAtSetting]);
    let print = fit(&[
        ("2024-07-05 06:40:00", "2024-05-07 06:40:00"),
        ("2024-08-05 06:40:00", "2024-05-08 06:40:00"),
    ]);
    assert_eq!(print, [Slip::SwappedInPrint]);
    let days: Vec<i64> = (7..=12)
        .map(|day| {
            let civil = ms(&format!("2024-05-{day:02} 00:00"));
            (swapped(civil).unwrap() - civil) / DAY_MS
        })
        .collect();
    assert_eq!(days, [59, 89, 119, 148, 178, 207], "methods.md, 3.4 [measured]");
    assert_eq!(swapped(ms("2024-05-13 00:00")), None);
}

/// A row of zones is told once, at the place of its nearest; an hour and twelve hours stand under their own names.
#[test]
fn neighbouring_zones_are_told_as_one() {
    let slips =
        [Slip::Hour(-1), Slip::Quarters(-3), Slip::Quarters(3), Slip::Quarters(-5), Slip::Quarters(-6)];
    assert_eq!(
        Slip::told(&slips),
        [
            "the clock was 1 hour behind (summer time, or a neighbouring zone)",
            "the clock was 0 h 45 min to 1 h 30 min behind, by whole quarters of an hour (the time of another zone)",
            "the clock was 0 h 45 min ahead (the time of another zone)",
        ]
    );
    // One left out, and each stands for itself.
    assert_eq!(Slip::told(&[Slip::Quarters(1), Slip::Quarters(2), Slip::Quarters(5)]).len(), 3);
}

#[test]
fn the_order_is_fixed_and_no_slip_stands_twice() {
    let all = Slip::all();
    let mut sorted = all.clone();
    sorted.sort_unstable();
    sorted.dedup();
    assert_eq!(sorted.len(), all.len());
    assert_eq!(all.first(), Some(&Slip::Identity));
    assert!(all.iter().all(|slip| !slip.words().is_empty()));
}

/// Of the day of a poll: what was displayed in it, from first to last, and the slips that put all of it there.
#[test]
fn slips_are_set_against_the_day_of_a_poll() {
    let day = |displayed: &[&str], readings: &[(&str, &str)]| {
        let displayed: Vec<i64> = displayed.iter().map(|at| ms(at)).collect();
        let readings: Vec<Shown> = readings.iter().map(|(displayed, civil)| read(displayed, civil)).collect();
        fitting_day(&displayed, ms("2031-05-10 00:00"), &readings, 300_000)
    };
    // Displayed on the day itself: that the clock was right is no slip, and what else fits stands beside it.
    assert!(!day(&["2031-05-10 07:10:00", "2031-05-10 18:10:00"], &[]).contains(&Slip::Identity));
    let swapped = [Slip::SwappedAtSetting, Slip::SwappedInPrint];
    assert_eq!(day(&["2031-10-05 07:10:00", "2031-10-05 18:10:00"], &[]), swapped);
    // Past midnight a swap in print shows another month.
    assert_eq!(day(&["2031-10-05 07:10:00", "2031-10-06 00:10:00"], &[]), [Slip::SwappedAtSetting]);
    assert_eq!(day(&["2031-10-05 07:10:00", "2031-11-05 00:10:00"], &[]), [Slip::SwappedInPrint]);
    assert_eq!(day(&["2031-10-05 07:10:00", "2031-10-07 07:10:00"], &[]), []);
    // A reading that bars a slip, and one that goes with it.
    assert_eq!(day(&["2031-10-05 07:10:00"], &[("2031-10-05 06:50:00", "2031-10-05 06:50:00")]), []);
    assert_eq!(day(&["2031-10-05 07:10:00"], &[("2031-10-05 06:50:00", "2031-05-10 06:50:00")]), swapped);
    // A clock that counts from its base date counts on.
    assert_eq!(day(&["2020-01-01 07:10:00", "2020-01-01 18:10:00"], &[]), [Slip::Epoch(7)]);
    assert_eq!(day(&["2020-01-01 07:10:00", "2020-08-20 18:10:00"], &[]), []);
    // The poll of a twelfth: the day behind it has no month of its number.
    let twelfth =
        fitting_day(&[ms("2031-12-05 07:10"), ms("2031-12-05 18:10")], ms("2031-05-12 00:00"), &[], 300_000);
    assert!(twelfth.contains(&Slip::SwappedInPrint), "{twelfth:?}");
    assert_eq!(day(&[], &[]), []);
}
