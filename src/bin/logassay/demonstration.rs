//! The built-in demonstrations: invented logs with their case files. Where one is used, every page says so.

/// One demonstration.
pub(crate) struct Demonstration {
    /// Its name on the command line.
    pub(crate) name: &'static str,
    /// The log.
    pub(crate) log: &'static str,
    /// Its case file.
    pub(crate) case: &'static str,
}

/// The demonstrations; the first is used when none is named.
pub(crate) static ALL: &[Demonstration] = &[
    Demonstration {
        name: "disputed-unit",
        log: include_str!("../../../corpus/demonstration/disputed-unit.log"),
        case: include_str!("../../../corpus/demonstration/disputed-unit.case.toml"),
    },
    Demonstration {
        name: "clean-life",
        log: include_str!("../../../corpus/demonstration/clean-life.log"),
        case: include_str!("../../../corpus/demonstration/clean-life.case.toml"),
    },
    Demonstration {
        name: "busy-unit",
        log: include_str!("../../../corpus/demonstration/busy-unit.log"),
        case: include_str!("../../../corpus/demonstration/busy-unit.case.toml"),
    },
];

/// The demonstration with this name, or the first.
pub(crate) fn named(name: Option<&str>) -> Option<&'static Demonstration> {
    match name {
        Some(name) => ALL.iter().find(|demonstration| demonstration.name == name),
        None => ALL.first(),
    }
}
