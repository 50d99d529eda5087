//! The same input gives the same bytes: in another folder, under another name of the folder, of the user, of the locale and
//! the zone of the machine; and what is written never says where it was made.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Folders with the same files: names with spaces, letters beyond ASCII, deep ones.
const FOLDERS: &[&str] = &["a", "b c/d", "\u{fc}ber/\u{4e00}"];

/// Surroundings that a program might be moved by.
const SURROUNDINGS: &[&[(&str, &str)]] = &[
    &[],
    &[
        ("LANG", "tr_TR.UTF-8"),
        ("LC_ALL", "ar_EG.UTF-8"),
        ("TZ", "Asia/Tokyo"),
        ("USER", "zyxwvut"),
        ("HOME", "/nowhere"),
    ],
    &[
        ("LC_ALL", "C"),
        ("TZ", "America/St_Johns"),
        ("COLUMNS", "37"),
        ("SOURCE_DATE_EPOCH", "1"),
        ("CLICOLOR_FORCE", "1"),
    ],
    &[
        ("LANG", "de_DE.UTF-8"),
        ("LANGUAGE", "de"),
        ("TZ", ":/no/such/zone"),
        ("NO_COLOR", "1"),
        ("LOGNAME", "x"),
        ("HOSTNAME", "y"),
    ],
];

fn base() -> PathBuf {
    let base = Path::new(env!("CARGO_TARGET_TMPDIR")).join("reproduced");
    let _old = fs::remove_dir_all(&base);
    for folder in FOLDERS {
        let folder = base.join(folder);
        fs::create_dir_all(&folder).unwrap();
        for name in ["disputed-unit.log", "disputed-unit.case.toml"] {
            fs::copy(crate::corpus::folder("demonstration").join(name), folder.join(name)).unwrap();
        }
    }
    base
}

/// Every file below a folder, with its bytes.
fn files(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut list = Vec::new();
    let mut todo = vec![folder.to_owned()];
    while let Some(next) = todo.pop() {
        for entry in fs::read_dir(&next).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                todo.push(path);
            } else {
                list.push((
                    path.strip_prefix(folder).unwrap().display().to_string(),
                    fs::read(&path).unwrap(),
                ));
            }
        }
    }
    list.sort();
    list
}

#[test]
fn the_same_bytes_in_every_folder_and_all_surroundings() {
    let base = base();
    let mut first: Option<Vec<(String, Vec<u8>)>> = None;
    let mut runs = 0;
    for folder in FOLDERS {
        for surroundings in SURROUNDINGS {
            let home = base.join(folder);
            // Named whole, named from beside it, and named from within.
            for (from, log, case, out) in [
                (
                    home.clone(),
                    "disputed-unit.log".to_owned(),
                    "disputed-unit.case.toml".to_owned(),
                    "out".to_owned(),
                ),
                (
                    home.clone(),
                    "./disputed-unit.log".to_owned(),
                    "./disputed-unit.case.toml".to_owned(),
                    "./out".to_owned(),
                ),
                (
                    base.clone(),
                    format!("{folder}/disputed-unit.log"),
                    format!("{folder}/disputed-unit.case.toml"),
                    format!("{folder}/out"),
                ),
                (
                    PathBuf::from("/"),
                    home.join("disputed-unit.log").display().to_string(),
                    home.join("disputed-unit.case.toml").display().to_string(),
                    home.join("out").display().to_string(),
                ),
            ] {
                let command = |arguments: &[&str]| {
                    let mut command = Command::new(env!("CARGO_BIN_EXE_logassay"));
                    command
                        .args(arguments)
                        .current_dir(&from)
                        .env_remove("NO_COLOR")
                        .envs(surroundings.iter().copied());
                    let output = command.output().unwrap();
                    assert!(output.status.code().unwrap() < 2, "{}", String::from_utf8_lossy(&output.stderr));
                };
                command(&["examine", &log, "--case", &case, "--date", "2031-06-02", "--bundle", &out]);
                for edition in ["full", "public"] {
                    let page = format!("{out}/{edition}.html");
                    command(&[
                        "document",
                        &log,
                        "--case",
                        &case,
                        "--date",
                        "2031-06-02",
                        "--edition",
                        edition,
                        "--out",
                        &page,
                    ]);
                }
                let made = files(&home.join("out"));
                assert!(made.len() > 10);
                for (name, bytes) in made.iter().filter(|(name, _)| !name.starts_with("read")) {
                    let text = String::from_utf8_lossy(bytes);
                    for word in [env!("CARGO_MANIFEST_DIR"), "reproduced", "b c/", "zyxwvut", "\u{4e00}/"] {
                        assert!(!text.contains(word), "{name} says {word:?}");
                    }
                }
                match &first {
                    None => first = Some(made),
                    Some(first) => {
                        for ((name, one), (other_name, other)) in first.iter().zip(&made) {
                            assert_eq!(name, other_name);
                            assert!(
                                one == other,
                                "{name} differs: {log} in {} under {surroundings:?}",
                                from.display()
                            );
                        }
                        assert_eq!(first.len(), made.len());
                    }
                }
                fs::remove_dir_all(home.join("out")).unwrap();
                runs += 1;
            }
        }
    }
    assert_eq!(runs, FOLDERS.len() * SURROUNDINGS.len() * 4);
    fs::remove_dir_all(&base).unwrap();
}

#[test]
fn the_date_and_the_log_move_the_bytes_and_nothing_else_does() {
    let base = Path::new(env!("CARGO_TARGET_TMPDIR")).join("moved");
    let _old = fs::remove_dir_all(&base);
    fs::create_dir_all(&base).unwrap();
    let write = |name: &str, date: Option<&str>, edition: &str| {
        let out = base.join(name);
        let mut arguments = vec![
            "document",
            "--demonstration",
            "clean-life",
            "--edition",
            edition,
            "--out",
            out.to_str().unwrap(),
        ];
        arguments.extend(date.into_iter().flat_map(|date| ["--date", date]));
        assert_eq!(crate::cli::run(&arguments).2, 0);
        fs::read_to_string(out).unwrap()
    };
    let one = write("1.html", Some("2031-06-02"), "full");
    assert_eq!(one, write("2.html", Some("2031-06-02"), "full"));
    let others = [
        write("3.html", Some("2031-06-03"), "full"),
        write("4.html", None, "full"),
        write("5.html", Some("2031-06-02"), "public"),
    ];
    let id = |page: &str| page[page.find("LA-").unwrap()..][..22].to_owned();
    for other in &others {
        assert_ne!(&one, other);
        assert_ne!(id(&one), id(other), "what differs has another id");
    }
    let today = Command::new("date").arg("+%Y-%m-%d").output().unwrap();
    let today = String::from_utf8(today.stdout).unwrap();
    // On the day on which the rehearsals were measured, their date is no reading of the clock.
    let one = one.replace(&format!("(measured on {}", today.trim()), "");
    assert!(!one.contains(today.trim()), "no clock is read");
    fs::remove_dir_all(&base).unwrap();
}

#[cfg(unix)]
#[test]
fn a_second_name_of_the_evidence_is_not_written_over() {
    use std::os::unix::fs::PermissionsExt as _;

    let base = Path::new(env!("CARGO_TARGET_TMPDIR")).join("second-name");
    let _old = fs::remove_dir_all(&base);
    fs::create_dir_all(&base).unwrap();
    let [log, hard, soft] = ["unit.log", "hard.html", "soft.html"].map(|name| base.join(name));
    fs::write(&log, "unit-event-log 1\n1201 2031-05-10 07:00:05 enable\n").unwrap();
    let before = fs::read(&log).unwrap();
    fs::hard_link(&log, &hard).unwrap();
    std::os::unix::fs::symlink("unit.log", &soft).unwrap();
    for out in [&log, &hard, &soft] {
        for command in ["document", "examine"] {
            let arguments = [command, log.to_str().unwrap(), "--out", out.to_str().unwrap(), "--replace"];
            let (_, complaint, code) = crate::cli::run(&arguments);
            assert!(code == 2 && complaint.contains("written"), "{out:?}: {complaint}");
            assert_eq!(fs::read(out).unwrap(), before);
        }
    }
    // Read-only evidence in a folder in which nothing may be written is examined all the same.
    fs::set_permissions(&log, fs::Permissions::from_mode(0o444)).unwrap();
    assert_eq!(crate::cli::run(&["examine", log.to_str().unwrap()]).2, 0);
    assert_eq!(fs::read_dir(&base).unwrap().count(), 3, "nothing is left beside it");
    fs::remove_dir_all(&base).unwrap();
}
