//! Blocks of the document in HTML: one template for each shape.

use maud::{Markup, PreEscaped, html};

use crate::report::document::{
    Anchor, Block, Column, Definition, Field, Figure, Line, Mark, Piece, Row, Table, Text,
};

/// A block.
pub(super) fn markup(block: &Block) -> Markup {
    match block {
        Block::Paragraph(words) => html! { p { (text(words)) } },
        Block::Notice(words) => html! { p.notice { (text(words)) } },
        Block::List(items) => html! { ul { @for item in items { li { (text(item)) } } } },
        Block::Steps(items) => html! { ol { @for item in items { li { (text(item)) } } } },
        Block::Definitions(list) => html! { dl { @for entry in list { (definition(entry)) } } },
        Block::Table(content) => table(content),
        Block::Lines(content) => lines(content),
        Block::Figure(content) => figure(content),
        Block::Verbatim(words) => html! { pre.verbatim { code { (words.as_str()) } } },
        Block::Field(content) => field(content),
    }
}

fn text(text: &Text) -> Markup {
    html! {
        @for piece in &text.0 {
            @match piece {
                Piece::Plain(words) => (words.as_str()),
                Piece::Strong(words) => strong { (words.as_str()) },
                Piece::Code(words) => code { (words.as_str()) },
                Piece::Link(to, words) => a href={ "#" (to.as_str()) } { (words.as_str()) },
            }
        }
    }
}

fn definition(definition: &Definition) -> Markup {
    let anchor = definition.anchor.as_ref().map(Anchor::as_str);
    html! {
        div id=[anchor] {
            dt { (definition.term.as_str()) }
            @for words in &definition.texts {
                dd { (text(words)) }
            }
        }
    }
}

fn table(table: &Table) -> Markup {
    let class = |column: &Column| column.is_number.then_some("number");
    let row = |row: &Row| {
        let anchor = row.anchor.as_ref().map(Anchor::as_str);
        html! {
            tr id=[anchor] {
                @for (place, (cell, column)) in row.cells.iter().zip(&table.columns).enumerate() {
                    // On a narrow page the cells stand under each other, each behind the head of its column.
                    @if place == 0 {
                        th scope="row" class=[class(column)] { (text(cell)) }
                    } @else {
                        td class=[class(column)] { span.of aria-hidden="true" { (column.title.as_str()) } (text(cell)) }
                    }
                }
            }
        }
    };
    html! {
        table {
            caption { (table.caption.as_str()) }
            thead {
                tr {
                    @for column in &table.columns {
                        th scope="col" class=[class(column)] { (column.title.as_str()) }
                    }
                }
            }
            tbody {
                @for entry in &table.rows {
                    (row(entry))
                }
            }
        }
    }
}

fn lines(lines: &[Line]) -> Markup {
    let word = |mark: Mark| match mark {
        Mark::Main => "this",
        Mark::Also => "also",
        Mark::Beside => "",
    };
    html! {
        ol.log {
            @for line in lines {
                @if line.after_gap {
                    li.cut { "lines left out" }
                }
                li id=[line.anchor.as_ref().map(Anchor::as_str)]
                    class=[(line.mark != Mark::Beside).then_some("marked")] {
                    @match &line.link {
                        Some(to) => a.no href={ "#" (to.as_str()) } { span.sr { "line " } (line.number) },
                        None => span.no { span.sr { "line " } (line.number) },
                    }
                    " " span.mark { (if line.anchor.is_some() { "" } else { word(line.mark) }) }
                    " " code { (line.text.as_str()) }
                    @if !line.notes.is_empty() {
                        ul.notes { @for note in &line.notes { li { (text(note)) } } }
                    }
                }
            }
        }
    }
}

fn figure(figure: &Figure) -> Markup {
    let (width, height) = (figure.picture.width, figure.picture.height);
    let name = figure.anchor.as_str();
    let (title, description) = (format!("{name}-name"), format!("{name}-says"));
    // A picture that holds links is a group: a reader of the page must be able to reach them.
    let role = if figure.picture.has_links() { "group" } else { "img" };
    html! {
        figure id=(name) {
            p.figure-title id=(title) { (figure.title.as_str()) }
            div.sheet tabindex="0" role="region" aria-labelledby=(title) {
                svg viewBox=(format!("0 0 {width} {height}")) width=(width) height=(height) role=(role)
                    aria-labelledby=(title) aria-describedby=(description) {
                    (PreEscaped(figure.picture.elements()))
                }
            }
            p.scroll { "Where the picture is wider than the page, scroll it sideways." }
            figcaption {
                p { (text(&figure.caption)) }
                p id=(description) { (text(&figure.alternative)) }
            }
        }
    }
}

fn field(field: &Field) -> Markup {
    let class = format!("room room-{}", field.lines.clamp(1, 6));
    html! {
        div.field {
            p.label { (field.label.as_str()) }
            @match &field.text {
                Some(words) => p.filled { (words.as_str()) },
                None => p class=(class) { span.empty { "not stated" } },
            }
        }
    }
}
