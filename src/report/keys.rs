//! Keys of the case file in brackets: they are for whoever writes the case file, and stand apart where others read.

/// A text without its brackets that name a table of the case file, `(case file: [[reading]])`, and what stood in them.
pub(super) fn apart(text: &str) -> (String, Vec<String>) {
    let (mut said, mut keys) = (String::with_capacity(text.len()), Vec::new());
    let mut rest = text;
    while let Some((before, inside, behind)) = bracket(rest) {
        if inside.contains("[[") {
            said.push_str(before.trim_end());
            let key = inside.strip_prefix(CASE_FILE).unwrap_or(inside).to_owned();
            if !keys.contains(&key) {
                keys.push(key);
            }
        } else {
            said.push_str(before);
            said.push_str(&format!("({inside})"));
        }
        rest = behind;
    }
    said.push_str(rest);
    (said, keys)
}

/// How such a bracket begins.
const CASE_FILE: &str = "case file: ";

/// What stands before the first bracket, in it, and behind it; brackets in brackets belong to the outer one.
fn bracket(text: &str) -> Option<(&str, &str, &str)> {
    let (before, from) = text.split_once('(')?;
    let mut depth = 1_usize;
    for (at, c) in from.char_indices() {
        match c {
            '(' => depth += 1,
            ')' => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            return Some((before, from.get(..at)?, from.get(at + 1..)?));
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_stand_apart_and_other_brackets_stay() {
        let of = |text: &str| apart(text);
        let none: Vec<String> = Vec::new();
        assert_eq!(of("a paper (of 1 (one) page)"), ("a paper (of 1 (one) page)".to_owned(), none.clone()));
        assert_eq!(of("an open ( bracket [["), ("an open ( bracket [[".to_owned(), none));
        assert_eq!(
            of(
                "readings (case file: [[reading]]), and the bound ([[setting]], drift-ppm = n), of (100 parts)"
            ),
            (
                "readings, and the bound, of (100 parts)".to_owned(),
                vec!["[[reading]]".to_owned(), "[[setting]], drift-ppm = n".to_owned()]
            )
        );
    }
}
