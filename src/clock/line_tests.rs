//! The straight line held to the worked examples of `methods.md` 3.2 and to data of NIST.

use super::*;

const S: i128 = 1_000_000_000;

/// A reading of a display to the millisecond: seconds of the display, seconds of true time.
fn stab(reading: usize, at: i64, earliest: i128, latest: i128) -> Stab {
    let ms = at * 1000;
    Stab { reading, segment: 0, from: ms, to: ms, earliest: earliest * S, latest: latest * S }
}

/// The lines of one segment by itself.
fn single(stabs: &[Stab], ppm: u32) -> Option<Polygon> {
    polygon(stabs, &Chain::single(), 0, ppm)
}

fn four_digits(over: i128, by: i128) -> String {
    // Rounded to the nearest of four digits behind the point of a second.
    let tens = (2 * over + by * 100_000).div_euclid(2 * by * 100_000);
    format!("{}.{:04}", tens / 10_000, tens % 10_000)
}

const DAY: [(i64, i128, i128); 3] =
    [(24_360, 24_600, 24_660), (42_950, 43_200, 43_260), (61_738, 62_000, 62_060)];

fn day() -> Vec<Stab> {
    DAY.iter().enumerate().map(|(place, (at, l, h))| stab(place, *at, *l, *h)).collect()
}

#[test]
fn the_worked_example_to_the_digit() {
    let polygon = single(&day(), 100).unwrap();
    for (at, least, greatest) in [
        (60_900, "61161.9162", "61203.6540"),
        (60_930, "61191.9192", "61233.6570"),
        (60_949, "61210.9211", "61252.6589"),
    ] {
        let (from, to) = polygon.ends(at * 1000, at * 1000).unwrap();
        assert_eq!(four_digits(from.over, from.by), least);
        assert_eq!(four_digits(to.over, to.by), greatest);
    }
    // The corners, counted from display 0: a + b u with u from the origin of the polygon.
    let mut corners: Vec<(String, i128)> = polygon
        .corners
        .iter()
        .map(|corner| {
            let a = corner.a - corner.b * i128::from(polygon.origin);
            (four_digits(a, corner.by), corner.b / corner.by)
        })
        .collect();
    corners.sort();
    corners.dedup();
    let expected =
        [("255.8262", 1_000_100), ("268.1738", 999_900), ("297.5640", 1_000_100), ("302.4362", 999_900)];
    // methods.md prints 302.436 with three digits.
    assert_eq!(corners.len(), 4, "{corners:?}");
    for ((a, b), (want, rate)) in corners.iter().zip(expected) {
        assert_eq!((a.get(..7), *b), (want.get(..7), rate), "{corners:?}");
    }
}

#[test]
fn a_wrong_reading_conflicts_with_each_of_the_others() {
    let mut stabs = day();
    stabs.push(stab(3, 52_000, 52_000, 52_060));
    assert_eq!(single(&stabs, 100), None);
    assert_eq!(conflicts(&stabs, &Chain::single(), 100), [vec![0, 3], vec![1, 3], vec![2, 3]]);
}

#[test]
fn three_readings_that_fit_in_pairs_and_not_together() {
    let stabs = [stab(0, 0, 0, 2), stab(1, 10_000, 10_006, 10_008), stab(2, 20_000, 20_000, 20_002)];
    assert_eq!(single(&stabs, 1000), None);
    assert_eq!(conflicts(&stabs, &Chain::single(), 1000), [vec![0, 1, 2]]);
}

#[test]
fn the_line_is_narrower_than_bounded_drift() {
    let stabs = [stab(0, 0, 0, 10), stab(1, 20_000, 20_005, 20_006), stab(2, 40_000, 40_000, 40_030)];
    let (from, to) = single(&stabs, 1000).unwrap().ends(30_000_000, 30_000_000).unwrap();
    assert_eq!(four_digits(from.over, from.by), "30002.5000");
    assert_eq!(four_digits(to.over, to.by), "30009.0000");
}

/// The reference data sets of NIST, Pontius (load cell calibration; public domain): deflection and load. A quadratic, so that no straight line
/// passes within ±0.001 of all points (deflections here in units of 0.00001); the smallest half width that lets one pass is 0.00331974 (methods.md 3.5).
const PONTIUS: [(i64, i128); 40] = [
    (150_000, 11_019),
    (300_000, 21_956),
    (450_000, 32_949),
    (600_000, 43_899),
    (750_000, 54_803),
    (900_000, 65_694),
    (1_050_000, 76_562),
    (1_200_000, 87_487),
    (1_350_000, 98_292),
    (1_500_000, 109_146),
    (1_650_000, 120_001),
    (1_800_000, 130_822),
    (1_950_000, 141_599),
    (2_100_000, 152_399),
    (2_250_000, 163_194),
    (2_400_000, 173_947),
    (2_550_000, 184_646),
    (2_700_000, 195_392),
    (2_850_000, 206_128),
    (3_000_000, 216_844),
    (150_000, 11_052),
    (300_000, 22_018),
    (450_000, 32_939),
    (600_000, 43_886),
    (750_000, 54_798),
    (900_000, 65_739),
    (1_050_000, 76_596),
    (1_200_000, 87_474),
    (1_350_000, 98_300),
    (1_500_000, 109_150),
    (1_650_000, 120_004),
    (1_800_000, 130_818),
    (1_950_000, 141_613),
    (2_100_000, 152_408),
    (2_250_000, 163_159),
    (2_400_000, 173_965),
    (2_550_000, 184_696),
    (2_700_000, 195_445),
    (2_850_000, 206_177),
    (3_000_000, 216_829),
];

/// A load of 10 newtons as a millisecond of the display, a deflection of 1e-8 as a nanosecond that the clock is behind.
fn pontius(half_width: i128) -> Vec<Stab> {
    PONTIUS
        .iter()
        .enumerate()
        .map(|(reading, (load, deflection))| {
            let ms = load / 10;
            // A deflection of 7e-7 a newton makes 700 nanoseconds a millisecond of ten newtons: within 1,000 ppm.
            let at = i128::from(ms) * 1_000_000 + deflection * 1000;
            Stab { reading, segment: 0, from: ms, to: ms, earliest: at - half_width, latest: at + half_width }
        })
        .collect()
}

#[test]
fn nist_pontius_refuses_a_line_at_a_thousandth_and_takes_one_at_its_smallest_half_width() {
    assert_eq!(single(&pontius(100_000), 1000), None, "half width 0.001");
    assert_eq!(single(&pontius(331_973), 1000), None, "half width 0.00331973");
    assert!(single(&pontius(331_975), 1000).is_some(), "half width 0.00331975");
    assert!(conflicts(&pontius(100_000), &Chain::single(), 1000).iter().all(|set| set.len() <= 3));
}

/// A setting from ten minutes ahead to right, known to a second either way: seen from behind it, a reading before it says
/// as much of a clock without drift as the second leaves, and the other way about.
#[test]
fn a_setting_moves_the_display_by_what_it_leaves_open() {
    let chain = Chain { set: vec![(0, 0), (-601_000, -599_000)] };
    let before = stab(0, 1000, 400, 400);
    let seconds = |stabs: &[Stab], segment, at: i64| {
        let (from, to) = polygon(stabs, &chain, segment, 0)?.ends(at * 1000, at * 1000)?;
        Some((from.over / from.by / S, to.over / to.by / S))
    };
    assert_eq!(seconds(&[before], 0, 1500), Some((900, 900)));
    assert_eq!(seconds(&[before], 1, 1500), Some((1499, 1501)));
    let behind = Stab { segment: 1, ..stab(1, 2000, 2000, 2000) };
    assert_eq!(seconds(&[behind], 1, 1500), Some((1500, 1500)));
    assert_eq!(seconds(&[behind], 0, 1500), Some((899, 901)));
    // Together they fix both: the setting was by ten minutes.
    assert_eq!(seconds(&[before, behind], 1, 1500), Some((1500, 1500)));
    assert_eq!(seconds(&[before, behind], 0, 1500), Some((900, 900)));
    // A second more than the setting leaves open is too much.
    let late = Stab { latest: 2002 * S, earliest: 2002 * S, ..behind };
    assert_eq!(conflicts(&[before, late], &chain, 0), [[0, 1]]);
}

/// The rate is the same on both sides. Two readings each say it, so that four that disagree are needed to show that no line
/// passes, and none of them can be left out.
#[test]
fn the_rate_is_carried_across_a_setting() {
    let chain = Chain { set: vec![(0, 0), (-10_000_000, 10_000_000)] };
    let of = |segment, stab: Stab| Stab { segment, ..stab };
    let first = [of(0, stab(0, 0, 0, 0)), of(0, stab(1, 10_000, 10_005, 10_005))];
    let last = |late: i128| {
        [of(1, stab(2, 20_000, 20_000, 20_000)), of(1, stab(3, 30_000, 30_000 + late, 30_000 + late))]
    };
    // Five seconds in 10,000 on both sides; from the one reading behind the setting alone the rate is known.
    let three = [first[0], first[1], last(5)[0]];
    let (from, to) = polygon(&three, &chain, 1, 1000).unwrap().ends(30_000_000, 30_000_000).unwrap();
    assert_eq!((from.over / from.by, to.over / to.by), (30_005 * S, 30_005 * S));
    let both = |late: i128| [first, last(late)].concat();
    assert!(polygon(&both(5), &chain, 0, 1000).is_some());
    assert_eq!(polygon(&both(6), &chain, 0, 1000), None);
    assert_eq!(polygon(&both(6), &chain, 1, 1000), None);
    assert_eq!(conflicts(&both(6), &chain, 1000), [[0, 1, 2, 3]]);
}

/// The reference data set of NIST, Norris (ozone monitors; public domain), x and y in tenths.
const NORRIS: [(i64, i128); 36] = [
    (2, 1),
    (3374, 3388),
    (1182, 1181),
    (8846, 8880),
    (101, 92),
    (2265, 2281),
    (6663, 6685),
    (9963, 9985),
    (4486, 4491),
    (7770, 7789),
    (5582, 5592),
    (4, 3),
    (6, 1),
    (7755, 7781),
    (6669, 6688),
    (3380, 3393),
    (4475, 4489),
    (116, 108),
    (5560, 5577),
    (2281, 2283),
    (9958, 9980),
    (8876, 8888),
    (1202, 1196),
    (3, 3),
    (3, 6),
    (5568, 5576),
    (3391, 3393),
    (8872, 8880),
    (9990, 9985),
    (7790, 7789),
    (111, 102),
    (1183, 1176),
    (2292, 2289),
    (6691, 6684),
    (4489, 4492),
    (5, 2),
];

/// A tenth as a tenth of a second of the display, and of true time.
fn tenths(data: &[(i64, i128)], half_width: i128) -> Vec<Stab> {
    data.iter()
        .enumerate()
        .map(|(reading, (x, y))| {
            let (ms, at) = (x * 100, y * 100_000_000);
            Stab { reading, segment: 0, from: ms, to: ms, earliest: at - half_width, latest: at + half_width }
        })
        .collect()
}

/// Statistical reference data of NIST, Norris, certified values: intercept -0.262323073774029, slope 1.00211681802045. The greatest residual of that
/// line is 2.3523781287; the smallest half-width that any line passes is 130949/65980, in exact rationals over all pairs and
/// thirds of the points.
#[test]
fn nist_norris_takes_the_certified_line_and_refuses_every_line_below_the_smallest_half_width() {
    let polygon = single(&tenths(&NORRIS, 2_352_378_129), 10_000).unwrap();
    for (x, _) in NORRIS {
        let (from, to) = polygon.ends(x * 100, x * 100).unwrap();
        // Millionths of a nanosecond: -262323073.774029 ns, and 100211681.802045 ns for each tenth of x.
        let line = -262_323_073_774_029 + 100_211_681_802_045 * i128::from(x);
        assert!(from.over * 1_000_000 <= line * from.by && line * to.by <= to.over * 1_000_000, "{x}");
    }
    let smallest = 1_984_677_174;
    assert!(single(&tenths(&NORRIS, smallest + 1), 10_000).is_some());
    assert_eq!(single(&tenths(&NORRIS, smallest), 10_000), None);
}

/// Statistical reference data of NIST, `NoInt1` and `NoInt2`: certified for a line through the origin (slopes 2.07438016528926 and 0.727272727272727). With
/// an intercept, as a clock has one, `NoInt1` lies on y = x + 70 exactly, and `NoInt2` passes a quarter either way and no less.
#[test]
fn nist_data_without_an_intercept_have_one_here() {
    let first: Vec<(i64, i128)> = (0..=10).map(|nth| (600 + nth * 10, 1300 + i128::from(nth) * 10)).collect();
    let polygon = single(&tenths(&first, 0), 1_000_000).unwrap();
    let (from, to) = polygon.ends(0, 0).unwrap();
    assert_eq!((from.over / from.by, to.over / to.by), (70 * S, 70 * S));
    let second = [(40, 30), (50, 40), (60, 40)];
    assert!(single(&tenths(&second, S / 4), 1_000_000).is_some());
    assert_eq!(single(&tenths(&second, S / 4 - 1), 1_000_000), None);
    // Through the origin, the certified slope leaves more than that: 4 - 5 * 8 / 11 = 4 / 11.
    let origin = |half_width: i128| {
        let mut stabs = tenths(&second, half_width);
        stabs.push(Stab { reading: 3, segment: 0, from: 0, to: 0, earliest: 0, latest: 0 });
        single(&stabs, 1_000_000)
    };
    assert!(origin(4 * S / 11 + 1).is_some());
}
