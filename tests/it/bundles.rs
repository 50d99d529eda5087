//! Bundles that hold the document for Typst, or as a PDF, with fonts and a mapping: every digest in the manifest and in what
//! the reports say of themselves, and the command that the manifest names makes the same bundle again.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use logassay::source::Digest;
use serde_json::Value;

use crate::cli::run;
use crate::custody::{check, has, sha256sum};
use crate::report_forms::folder;

/// A font of a family that does not come with the program.
fn font() -> &'static [u8] {
    let is_other = |bytes: &&[u8]| {
        let face = ttf_parser::Face::parse(bytes, 0).unwrap();
        let families = face.names().into_iter().filter(|name| name.name_id == ttf_parser::name_id::FAMILY);
        families
            .filter_map(|name| name.to_string())
            .any(|name| !name.contains("Libertinus") && !name.contains("DejaVu"))
    };
    typst_assets::fonts().find(is_other).unwrap()
}

/// A folder with a table of another program, its mapping, a case file and a font.
fn papers(place: &Path) -> [PathBuf; 4] {
    fs::create_dir_all(place).unwrap();
    let foreign = crate::corpus::folder("foreign");
    let case = crate::corpus::folder("demonstration").join("clean-life.case.toml");
    let files: [(&str, Vec<u8>); 4] = [
        ("table.csv", fs::read(foreign.join("semicolon-table.csv")).unwrap()),
        ("mapping.toml", fs::read(foreign.join("semicolon-table.toml")).unwrap()),
        ("case.toml", fs::read(case).unwrap()),
        ("modern.otf", font().to_vec()),
    ];
    files.map(|(name, bytes)| {
        let path = place.join(name);
        fs::write(&path, bytes).unwrap();
        path
    })
}

/// Makes a bundle beside these files; its folder and what the command said.
fn make(files: &[PathBuf; 4], name: &str, also: &[&str]) -> (PathBuf, String, i32) {
    let out = files[0].with_file_name(name);
    let [table, mapping, case, font] = files.each_ref().map(|path| path.to_str().unwrap());
    let mut words = vec!["examine", table, "--mapping", mapping, "--case", case, "--font", font];
    words.extend(["--date", "2031-06-02", "--questions", "standard", "--bundle", out.to_str().unwrap()]);
    words.extend(also);
    let (said, complaint, code) = run(&words);
    (out, said + &complaint, code)
}

/// Every file of a bundle by its name, with its bytes.
fn files(bundle: &Path) -> Vec<(String, Vec<u8>)> {
    let manifest = fs::read_to_string(bundle.join("MANIFEST.sha256")).unwrap();
    let names = manifest.lines().filter(|line| !line.starts_with('#')).map(|line| line[66..].to_owned());
    names
        .chain(["MANIFEST.sha256".to_owned()])
        .map(|name| (name.clone(), fs::read(bundle.join(name)).unwrap()))
        .collect()
}

/// That the command in the manifest, typed beside what was read, makes the same bundle again.
fn repeats(bundle: &Path) {
    let manifest = fs::read_to_string(bundle.join("MANIFEST.sha256")).unwrap();
    let command = manifest.lines().find_map(|line| line.strip_prefix("# command: logassay ")).unwrap();
    let again = bundle.with_file_name("repeated");
    let _old = fs::remove_dir_all(&again);
    let words = command.split(' ').map(|word| if word == "FOLDER" { again.to_str().unwrap() } else { word });
    let output = Command::new(env!("CARGO_BIN_EXE_logassay"))
        .args(words)
        .current_dir(bundle.join("read"))
        .output()
        .unwrap();
    assert!(output.status.code().unwrap() < 2, "{command}: {}", String::from_utf8_lossy(&output.stderr));
    assert_eq!(fs::read_to_string(again.join("MANIFEST.sha256")).unwrap(), manifest, "{command}");
}

#[test]
fn a_bundle_holds_what_typst_makes_the_document_from_where_it_is_asked_for() {
    let place = folder("bundle-typst");
    let papers = [papers(&place.join("a")), papers(&place.join("b c/d"))];
    let [one, other] = papers.each_ref().map(|papers| {
        let (bundle, said, code) = make(papers, "made", &["--also", "typst"]);
        assert!(code < 2 && said.starts_with("written: "), "{said}");
        bundle
    });
    let (all, again) = (files(&one), files(&other));
    assert!(all == again, "another folder gives other bytes");
    let names: Vec<&str> = all.iter().map(|(name, _)| name.as_str()).collect();
    for name in ["document.typ", "document.json", "fonts/1.otf", "fonts/5.otf"] {
        assert!(names.iter().any(|listed| *listed == format!("written/typst/{name}")), "{name}: {names:?}");
    }
    assert!(!names.contains(&"written/document.pdf"), "not asked for");
    let (said, code) = check(&one);
    assert!(code == 0 && said.contains(&format!("{} unchanged, 0 changed", all.len() - 1)), "{said}");
    if has("sha256sum") {
        let (code, said) = sha256sum(&one);
        assert!(code == 0 && said.lines().count() == all.len() - 1, "{said}");
    }

    // Font and mapping stand with their digests in the manifest and in every form that says what it rests on.
    let of = |name: &str| String::from_utf8(fs::read(one.join(name)).unwrap()).unwrap();
    let digests = ["mapping.toml", "modern.otf"]
        .map(|name| Digest::of(&fs::read(one.join("read").join(name)).unwrap()));
    let [mapping, font] = digests.map(|digest| digest.to_string());
    let manifest = of("MANIFEST.sha256");
    assert!(manifest.contains(&format!("\n# mapping: mapping.toml, SHA-256 {mapping}\n")), "{manifest}");
    assert!(manifest.contains(&format!("\n# font: modern.otf, SHA-256 {font}\n")), "{manifest}");
    assert!(manifest.contains(&format!("\n{font}  read/modern.otf\n")), "{manifest}");
    let json: Value = serde_json::from_str(&of("written/report.json")).unwrap();
    assert_eq!(json["reproduction"]["fonts"][0]["name"], "modern.otf");
    assert_eq!(json["reproduction"]["fonts"][0]["sha256"], font);
    assert_eq!(json["reproduction"]["fonts"][0]["bytes"], crate::bundles::font().len());
    assert_eq!(json["mapping_file"]["name"], "mapping.toml");
    assert_eq!(json["mapping_file"]["sha256"], mapping);
    for form in ["document.html", "report.txt", "report.sarif", "typst/document.json"] {
        let text: String = of(&format!("written/{form}")).split_whitespace().collect();
        let text = text.replace("\",\"", "");
        assert!(text.contains(&mapping) && text.contains(&font), "{form}");
    }
    let page = of("written/document.html");
    assert!(page.contains("opened 4 items for reading only"), "log, case file, mapping, font");
    assert!(page.contains("with the other files of its bundle"), "it is not the only file that was written");
    repeats(&one);

    // What Typst is given is looked after as everything else.
    fs::write(one.join("written/typst/document.json"), "{}").unwrap();
    assert_eq!(check(&one).1, 1);
    let _gone = fs::remove_dir_all(&place);
}

#[test]
fn what_a_bundle_cannot_hold_is_said_and_leaves_no_folder() {
    let place = folder("bundle-cannot");
    let files = papers(&place);
    let log = files[0].to_str().unwrap();
    let mapping = files[1].to_str().unwrap();
    let out = place.join("out").to_str().unwrap().to_owned();
    let dated = ["--date", "2031-06-02"];
    let with =
        |more: &[&str]| run(&[&["examine", log, "--mapping", mapping, "--bundle", &out], more].concat());
    for (more, said) in [
        (vec!["--also", "typst"], "PDF/A asks for the date"),
        (vec!["--font", log, dated[0], dated[1]], "none is asked for"),
        (vec!["--also", "typst", "--font", log, dated[0], dated[1]], "holds no font"),
        (vec!["--also", "typst", "--font", "no-such-font.ttf", dated[0], dated[1]], "there is no file"),
    ] {
        let (_, complaint, code) = with(&more);
        let complaint: String = complaint.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(code == 2 && complaint.contains(said), "{more:?}: {complaint}");
        assert!(!Path::new(&out).exists(), "{more:?}");
    }
    assert_eq!(run(&["examine", log, "--also", "typst"]).2, 2, "no bundle");
    let _gone = fs::remove_dir_all(&place);
}

#[cfg(not(feature = "pdf"))]
#[test]
fn a_bundle_with_a_pdf_is_refused_plainly_where_the_program_sets_none() {
    let (_, complaint, code) = run(&["examine", "no-such.log", "--bundle", "never", "--also", "pdf"]);
    let complaint: String = complaint.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(code == 2 && complaint.contains("built without the setting of PDF"), "{complaint}");
    assert!(complaint.contains("cargo build --release --features pdf"), "{complaint}");
}

#[cfg(feature = "pdf")]
#[test]
fn a_bundle_holds_the_pdf_with_its_digest() {
    let place = folder("bundle-pdf");
    let papers = [papers(&place.join("a")), papers(&place.join("b c/d"))];
    let [one, other] = papers.each_ref().map(|papers| {
        let (bundle, said, code) =
            make(papers, "made", &["--also", "pdf", "--also", "typst", "--pdf-standard", "a-2u"]);
        assert!(code < 2, "{said}");
        bundle
    });
    assert!(files(&one) == files(&other), "another folder gives other bytes");
    let pdf = fs::read(one.join("written/document.pdf")).unwrap();
    assert!(pdf.starts_with(b"%PDF-1.7"));
    let manifest = fs::read_to_string(one.join("MANIFEST.sha256")).unwrap();
    assert!(manifest.contains(&format!("\n{}  written/document.pdf\n", Digest::of(&pdf))), "{manifest}");
    assert_eq!(check(&one).1, 0);
    repeats(&one);
    let _gone = fs::remove_dir_all(&place);
}
