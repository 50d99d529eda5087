//! The document as one self-contained page (HTML): readable without script, without network, on paper and on a phone.
//!
//! The page holds no script and names no outside resource; a policy in its head forbids both, and allows the one style
//! sheet by its digest. Everything that stems from evidence is escaped by the template; there is no other way in.

mod block;
mod style;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::report::document::{Document, Section};
use crate::report::{TOOL, VERSION};

/// The page.
#[must_use]
pub fn page(document: &Document) -> String {
    let style = style::sheet(document);
    let policy = format!(
        "default-src 'none'; style-src '{}'; base-uri 'none'; form-action 'none'",
        style::allowed(&style)
    );
    let markup = html! {
        (DOCTYPE)
        html lang=(document.language) {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                meta name="generator" content=(format!("{TOOL} {VERSION}"));
                title { (document.title.as_str()) " (" (document.id.as_str()) ")" }
                style { (PreEscaped(style)) }
            }
            body {
                a.skip href="#content" { "Skip to the content" }
                (head(document))
                (contents(document))
                main id="content" tabindex="-1" {
                    @for section in &document.sections {
                        (section_markup(section, 2))
                    }
                }
                (foot(document))
            }
        }
    };
    let mut text = markup.into_string();
    text.push('\n');
    text
}

fn head(document: &Document) -> Markup {
    html! {
        header.front {
            h1 { (document.title.as_str()) }
            dl.head {
                div { dt { "report id" } dd { code { (document.id.as_str()) } } }
                div { dt { "date" } dd { (document.date_in_words()) } }
                div { dt { "edition" } dd { (document.edition.word()) } }
                div { dt { "state" } dd { (if document.is_signed { "signed, as stated" } else { "draft" }) } }
                div.wide {
                    dt { "SHA-256 of the log's file" }
                    @match document.source {
                        Ok(digest) => dd { code { (digest.to_string()) } },
                        Err(why) => dd { (why) },
                    }
                }
            }
            @for block in &document.opening {
                (block::markup(block))
            }
        }
    }
}

fn contents(document: &Document) -> Markup {
    html! {
        nav.contents aria-label="Contents" {
            h2 { "Contents" }
            ol {
                @for section in &document.sections {
                    li {
                        a href={ "#" (section.anchor.as_str()) } { (section.title.as_str()) }
                    }
                }
            }
        }
    }
}

fn section_markup(section: &Section, level: usize) -> Markup {
    let title = html! {
        (section.title.as_str())
        @for tag in &section.tags {
            " " span.tag { (tag.as_str()) }
        }
    };
    html! {
        section id=(section.anchor.as_str()) class=[section.on_new_page.then_some("new-page")] {
            @match level {
                2 => h2 { (title) },
                3 => h3 { (title) },
                4 => h4 { (title) },
                5 => h5 { (title) },
                _ => h6 { (title) },
            }
            @for block in &section.blocks {
                (block::markup(block))
            }
            @for part in &section.sections {
                (section_markup(part, level + 1))
            }
        }
    }
}

fn foot(document: &Document) -> Markup {
    html! {
        footer {
            p {
                (document.title.as_str()) ". Report id " code { (document.id.as_str()) } ", "
                (document.edition.word()) " edition. Made by " (TOOL) " " (VERSION) ". Supporting material: the person who files it answers for it."
            }
            @if let Some(words) = document.demonstration {
                p { (words) }
            }
        }
    }
}
