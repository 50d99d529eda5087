//! Everything that a log and a case file may hold to act on whoever reads them, through every command and form: nothing acts,
//! nothing grows without end, and what secrecy covers stands in no byte.

use std::fs;
use std::path::{Path, PathBuf};

use logassay::report::forms::FORMS;

use crate::cli::run;

/// A choice, an identity: no part of any word of the tool.
const SECRETS: &[&str] = &["QZXJ7", "WKVYQ"];

const LONG: usize = 10_000;

fn log() -> String {
    format!(
        "unit-event-log 1\nserial: =HYPERLINK(\"x\") <script>alert(1)</script>\nrole: \"><img src=x onerror=alert(2)>\n\n\
         ; <svg onload=alert(3)><style>*{{display:none}}</style></main></section></body>\n\
         ; \u{1b}[31mred\u{1b}]0;title\u{7} \u{202e}gnp.exe \u{2066}hidden\u{2069} \u{9b}2J\n\
         1201 2031-05-10 07:00:05 enable\n\
         1202 2031-05-10 07:00:31 vote candidate={choice}\n\
         1203 2031-05-10 07:00:50 <iframe> note=\"</code><a href=javascript:alert(4)>x</a>\"\n\
         1204 2031-05-10 07:01:00 battery-level level={long}\n\
         =cmd|' /C calc'!A0 &amp; &#x3c;script&#x3e;\n@SUM(A1)\n\
         1205 2031-05-10 07:02:00 vote voter-name=\"mr {identity}\"\n\
         1206 2031-05-10 07:02:20 enable\n1207 2031-05-10 07:02:30 enable\n\
         vote {choice} {identity}\n1208 2031-05-10 07:03:30 slip-printed choice={choice}\n\
         {long}\n",
        choice = SECRETS[0],
        identity = SECRETS[1],
        long = "x".repeat(LONG)
    )
}

fn case(hour: &str) -> String {
    let ill = "</p><script>alert(5)</script> \\u001b[31m \\u202e =1+1";
    let long = "y".repeat(LONG);
    format!(
        "[matter]\ntitle = \"=1+1 {ill}\"\nopinion = \"{ill} {long}\"\nquestion = \"<img src=x onerror=alert(6)>\"\n\
         number = \"@SUM(A1)\"\nexaminer = \"-2+3\"\n\n\
         [[poll]]\nplace = \"<b>{ill}\"\ndate = \"2031-05-10\"\nopens = \"07:00\"\ncloses = \"{hour}\"\nzone = \"+02:00\"\n\
         source = \"<svg onload=alert(7)>{ill}\"\nby = \"=HYPERLINK(1)\"\n\n\
         [[question]]\nnumber = \"<i>\"\ntext = \"{ill}\"\nrules = [\"two-enables\"]\nsource = \"{ill}\"\nby = \"+1\"\n\n\
         [[fact]]\nother = \"{ill}\"\nsource = \"[x](javascript:alert(8))\"\nby = \"{ill}\"\n\n\
         [[storage]]\nfrom = \"2031-05-10 19:00\"\nto = \"2031-05-12 09:00\"\ntext = \"{ill}\"\nsource = \"{ill}\"\nby = \"{ill}\"\n"
    )
}

fn place() -> PathBuf {
    let place = Path::new(env!("CARGO_TARGET_TMPDIR")).join("hostile");
    let _old = fs::remove_dir_all(&place);
    fs::create_dir_all(&place).unwrap();
    place
}

/// What must not stand in an output of any kind.
fn inert(what: &str, text: &str) {
    for c in text.chars() {
        // The table of states has its columns apart by tabs.
        assert!(
            matches!(c, '\n' | '\r') || what == "states" && c == '\t' || !c.is_control(),
            "{what} lets {c:?} through"
        );
        assert!(
            !matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{200e}' | '\u{200f}'),
            "{what}: {c:?}"
        );
    }
    let joined: String = text.split_whitespace().collect::<String>().to_uppercase();
    for secret in SECRETS {
        assert!(!joined.contains(secret), "{what} holds {secret}");
    }
    assert!(!joined.contains(&"X".repeat(LONG / 2)), "{what} shows a text of the log without end");
}

/// What must not stand in a page besides.
fn inert_page(what: &str, page: &str) {
    for word in
        ["<script", "<img", "<iframe", "<b>", "<i>", "<svg onload", "<a href=j", "<style>*", "href=\"j"]
    {
        assert!(!page.contains(word), "{what}: {word}");
    }
    for (at, _) in page.match_indices("<svg") {
        assert!(page[at..].starts_with("<svg viewBox=") || page[at..].starts_with("<svg xmlns="), "{what}");
    }
    for attribute in ["onload=", "onerror="] {
        for (at, _) in page.match_indices(attribute) {
            // Only as words, behind a `<` that is spelled out.
            let before = &page[..at];
            assert!(
                before.rfind("&lt;") > before.rfind('<') || before.rfind('>') > before.rfind('<'),
                "{what}: {attribute}"
            );
        }
    }
}

#[test]
fn nothing_acts_and_nothing_is_disclosed_by_any_command() {
    let place = place();
    let path = |name: &str| place.join(name).to_str().unwrap().to_owned();
    // A name is what the machine allows; the log's is as ill as it gets.
    let ill = path("=cmd <script>alert(9)<∕script> \u{202e}.log");
    fs::write(&ill, log()).unwrap();
    let (one, other) = (path("=1.case.toml"), path("other.case.toml"));
    fs::write(&one, case("18:00")).unwrap();
    fs::write(&other, case("17:00")).unwrap();
    let written = |arguments: &[&str], name: &str| {
        let out = path(name);
        let (said, complaint, code) = run(&[arguments, &["--out", &out]].concat());
        assert!(code < 2, "{arguments:?}: {complaint}");
        inert(name, &said);
        fs::read_to_string(&out).unwrap()
    };
    let mut outputs: Vec<(String, String)> = Vec::new();
    for form in FORMS {
        let text = written(&["examine", &ill, "--case", &one, "--form", form.id], form.file);
        outputs.push((form.id.to_owned(), text));
    }
    for edition in ["full", "public"] {
        let page =
            written(&["document", &ill, "--case", &one, "--edition", edition], &format!("{edition}.html"));
        inert_page(edition, &page);
        outputs.push((edition.to_owned(), page));
    }
    for arguments in [
        &["examine", &ill, "--case", &one, "--questions", "standard"][..],
        &["examine", &ill, "--case", &one, "--width", "40", "--colour", "never"],
        &["walk", &ill, "--case", &one],
        &["walk", &ill, "--case", &one, "--blank"],
        &["walk", &ill, "--case", &one, "--json"],
        &["states", &ill, "--case", &one],
        &["states", &ill, "--case", &one, "--form", "svg"],
        &["compare", &ill, "--case", &one, "--case-after", &other],
        &["compare", &ill, "--case", &one, "--case-after", &other, "--json"],
        &["case", "check", &one],
        &["case", "new", &ill],
        &["convert", &ill, "--to", "jsonl"],
    ] {
        let (said, complaint, code) = run(arguments);
        assert!(code <= 2 && !(said.is_empty() && complaint.is_empty()), "{arguments:?}");
        if arguments.contains(&"svg") {
            inert_page("the states", &said);
        }
        outputs.push((arguments[0].to_owned(), said + &complaint));
    }
    assert!(outputs.len() > 18);
    for (what, text) in &outputs {
        inert(what, text);
    }
    // Cells that a spreadsheet would reckon with are words.
    for (what, text) in outputs.iter().filter(|(what, _)| what.starts_with("csv")) {
        for row in csv::ReaderBuilder::new().from_reader(text.as_bytes()).records() {
            for cell in &row.unwrap() {
                assert!(!cell.starts_with(['=', '+', '-', '@', '\t']), "{what}: {cell}");
            }
        }
    }
    // What is inert is still shown: a reader must see what stands there.
    let page = &outputs.iter().find(|(what, _)| what == "full").unwrap().1;
    assert!(page.contains("&lt;script&gt;") && page.contains("\\u{202e}"));
    // Custody: the folder holds that log, whose name is a right-to-left one.
    for arguments in [["custody", "make"], ["custody", "check"]] {
        let (said, complaint, _) = run(&[&arguments[..], &[place.to_str().unwrap()]].concat());
        inert("custody", &(said + &complaint));
    }
    fs::remove_dir_all(&place).unwrap();
}

#[test]
fn the_search_would_find_what_acts() {
    for text in ["\u{1b}[31m", "\u{202e}", SECRETS[0], "q z\nxj7"] {
        assert!(std::panic::catch_unwind(|| inert("itself", text)).is_err(), "{text:?}");
    }
    for page in ["<p onload=x>", "<svg onload=x>", "<script>"] {
        assert!(std::panic::catch_unwind(|| inert_page("itself", page)).is_err(), "{page:?}");
    }
    inert_page("itself", "<p>&lt;svg onload=x&gt;</p><svg viewBox=\"0 0 1 1\"></svg>");
}
