//! The words explained in a document are those that stand in it.

use std::collections::BTreeSet;

use logassay::examine;
use logassay::report::document::{Block, Document, Edition, GLOSSARY};
use logassay::report::html;
use logassay::unit::UnitDescription;

use crate::pages::{corpus, frame};

/// The words of a text in small letters, without signs.
fn words(text: &str) -> Vec<String> {
    let words = text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    words.map(str::to_lowercase).collect()
}

/// Whether a term stands among words, its last word also in another form: `closes`, `closed`.
fn stands(term: &str, said: &[String]) -> bool {
    term.split([',', '(', ')']).map(words).filter(|name| !name.is_empty()).any(|name| {
        let (last, before) = name.split_last().unwrap();
        said.windows(name.len()).any(|window| {
            let ending = window[before.len()].strip_prefix(last.as_str());
            window.starts_with(before)
                && ending.is_some_and(|ending| ["", "s", "es", "d", "ed"].contains(&ending))
        })
    })
}

/// What is seen of a page: no style, no tags.
fn seen(page: &str) -> String {
    let mut out = String::new();
    let body = page.split_once("<body").map_or("", |(_, body)| body);
    for piece in body.split('<') {
        out.push_str(piece.split_once('>').map_or("", |(_, text)| text));
        out.push(' ');
    }
    out.replace("&amp;", "&").replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"")
}

/// The terms that a document explains.
fn explained(document: &Document) -> BTreeSet<String> {
    let section = document.sections.iter().find(|section| section.anchor.as_str() == "glossary").unwrap();
    let [Block::Definitions(list)] = section.blocks.as_slice() else { panic!("a list of words") };
    list.iter().map(|entry| entry.term.as_str().to_owned()).collect()
}

#[test]
fn a_document_explains_the_words_that_stand_in_it_and_no_other() {
    let unit = UnitDescription::kestrane();
    let mut ever_left_out = BTreeSet::new();
    for (name, logs, case) in corpus() {
        let examinations: Vec<_> = logs.iter().map(|log| examine(log, &case, &unit)).collect();
        for edition in [Edition::Full, Edition::Public] {
            let mut document = Document::of(&examinations, &frame(false), edition);
            let explained = explained(&document);
            document.sections.retain(|section| section.anchor.as_str() != "glossary");
            let mut text = seen(&html::page(&document));
            for term in GLOSSARY.iter().filter(|term| explained.contains(term.word)) {
                text.push_str(term.meaning);
                text.push(' ');
            }
            let said = words(&text);
            for term in GLOSSARY {
                let is_explained = explained.contains(term.word);
                assert_eq!(is_explained, stands(term.word, &said), "{name}, {edition:?}: {}", term.word);
                if !is_explained {
                    ever_left_out.insert(term.word);
                }
            }
        }
    }
    assert!(ever_left_out.len() > 3, "{ever_left_out:?}");
}
