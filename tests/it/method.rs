//! The method in the document: every rule once, in full where it bears on the matter; and figures of rehearsals that hold for
//! the rules in force.

use logassay::case::CaseFile;
use logassay::examine;
use logassay::finding::Verdict;
use logassay::report::document::{Block, Document, Edition, Text};
use logassay::unit::UnitDescription;

use crate::pages::{frame, logs};

#[test]
fn the_method_tells_each_rule_once_and_in_full_where_it_bears_on_the_matter() {
    let text = std::fs::read(crate::corpus::folder("demonstration").join("disputed-unit.log")).unwrap();
    let papers =
        std::fs::read_to_string(crate::corpus::folder("demonstration").join("disputed-unit.case.toml"))
            .unwrap();
    // A question makes its rules bear on the matter, whatever their answer is.
    let asked = "coarse-clock";
    let papers = format!(
        "{papers}\n[[question]]\ntext = \"How fine is the display?\"\nrules = [\"{asked}\"]\nsource = \"Order\"\nby = \"The court\"\n"
    );
    let CaseFile { case, .. } = logassay::case::Case::read("case", &papers).unwrap();
    let (unit, logs) = (UnitDescription::kestrane(), logs("unit.log", &text));
    let examinations: Vec<_> = logs.iter().map(|log| examine(log, &case, &unit)).collect();
    let document = Document::of(&examinations, &frame(false), Edition::Full);
    let book = document.all_sections().find(|section| section.anchor.as_str() == "rule-book").unwrap();
    let (mut whole, mut in_table) = (Vec::new(), Vec::new());
    for block in book.sections.iter().flat_map(|section| &section.blocks) {
        match block {
            Block::Definitions(list) => whole.extend(list.iter().map(|one| (one.term.to_string(), one))),
            Block::Table(table) => in_table.extend(table.rows.iter().map(|row| {
                let anchor = row.anchor.as_ref().unwrap().as_str();
                (anchor.strip_prefix("why-").unwrap().to_owned(), row)
            })),
            other => panic!("{other:?}"),
        }
    }
    for rule in logassay::rules::RULES {
        let answer = examinations[0].answers.iter().find(|answer| answer.rule == rule.id).unwrap();
        let bears = rule.id == asked || matches!(answer.verdict, Verdict::NotKept | Verdict::CannotBeTold);
        let told: Vec<_> = whole.iter().filter(|(id, _)| id == rule.id).collect();
        let listed: Vec<_> = in_table.iter().filter(|(id, _)| id == rule.id).collect();
        assert_eq!((told.len(), listed.len()), if bears { (1, 0) } else { (0, 1) }, "{}", rule.id);
        for (_, definition) in told {
            let said: String = definition.texts.iter().map(Text::words).collect();
            let with_findings = examinations[0].findings_of(rule.id).next().is_some();
            assert_eq!(said.contains(rule.why), !with_findings, "{}: {said}", rule.id);
        }
        for (_, row) in listed {
            let cells: Vec<String> = row.cells.iter().map(Text::words).collect();
            assert!(cells[0].contains(rule.asks) && cells[1].contains(answer.verdict.words()), "{cells:?}");
            assert!(cells[2] == answer.extent && cells[3].len() > 8, "{cells:?}");
        }
    }
    assert!(in_table.len() > 10 && whole.len() > 20, "{} and {}", in_table.len(), whole.len());
}

#[test]
fn a_figure_of_rehearsals_is_that_of_these_rules_and_planted_deviations() {
    use logassay::report::rehearsed::{measurement, told};
    let rule_book = logassay::report::provenance::rule_book().to_string();
    let said: String = told().iter().map(|one| one.sentence.as_str()).collect();
    match measurement(logassay::report::VERSION, &rule_book) {
        // The same words of the rules with more deviations, or others, is another measurement.
        Some(row) => {
            let (planted, rules) = (row.planted, row.rules);
            let counted = [planted, rules].map(|number| usize::try_from(number).unwrap());
            assert_eq!(
                counted,
                [logassay::rehearsal::fault::faults().len(), logassay::rules::RULES.len()],
                "measure anew: DEVELOPERS.md says how"
            );
            assert!(said.contains(row.commit) && said.contains(row.date));
        }
        None => assert!(said.starts_with("Not measured for this rule book"), "{said}"),
    }
}
