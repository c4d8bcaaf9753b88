//! Expressions as their authors wrote them, on one line and without remarks. It must not know what they mean.

use crate::source::{Files, Span};

/// The text under a span on one line: runs of blanks become one, remarks are left out, texts in quotes stay as they are.
pub fn written(files: Files, span: Span) -> String {
    tidy(files.text(whole(files, span))).trim().to_string()
}

/// The span with the brackets that its ends cut through: the span of `a * (b - c)` may end before the bracket does.
fn whole(files: Files, span: Span) -> Span {
    let Some(source) = files.source(span.file) else { return span };
    let (mut open, mut unopened) = (0, 0);
    for c in tidy(files.text(span)).split('"').step_by(2).flat_map(str::chars) {
        match c {
            '(' => open += 1,
            ')' if open > 0 => open -= 1,
            ')' => unopened += 1,
            _ => {}
        }
    }
    let (mut start, mut end) = (span.start as usize, span.end as usize);
    for _ in 0..open {
        let Some(next) = source.slice(end..source.text().len()).find(|c: char| !c.is_whitespace()) else { break };
        if !source.slice(end + next..source.text().len()).starts_with(')') {
            break;
        }
        end += next + 1;
    }
    for _ in 0..unopened {
        let before = source.slice(0..start).trim_end();
        if !before.ends_with('(') {
            break;
        }
        start = before.len() - 1;
    }
    Span::new(span.file, start, end)
}

/// The text with its parts replaced: `parts` are spans within `span` with what stands in their place.
pub fn replaced(files: Files, span: Span, parts: Vec<(Span, String)>) -> String {
    let span = whole(files, span);
    let mut parts: Vec<(Span, String)> = parts.into_iter().map(|(part, text)| (whole(files, part), text)).collect();
    parts.sort_by_key(|(part, _)| (part.start, part.end));
    let mut text = String::new();
    let mut at = span.start;
    for (part, put_in) in parts {
        if part.file == span.file && at <= part.start && part.end <= span.end {
            text.push_str(&tidy(files.text(Span { start: at, end: part.start, ..span })));
            let after = files.text(Span { start: part.end, ..span });
            let doubled = text.trim_end().ends_with('(') && after.trim_start().starts_with(')');
            text.push_str(if doubled { unbracketed(&put_in) } else { &put_in });
            at = part.end;
        }
    }
    text.push_str(&tidy(files.text(Span { start: at, ..span })));
    text.trim().to_string()
}

/// The text within the brackets that go all the way round it, if any do.
fn unbracketed(text: &str) -> &str {
    let Some(inner) = text.strip_prefix('(').and_then(|rest| rest.strip_suffix(')')) else { return text };
    let mut open = 0;
    for c in inner.chars() {
        match c {
            '(' => open += 1,
            ')' if open == 0 => return text,
            ')' => open -= 1,
            _ => {}
        }
    }
    inner
}

fn tidy(text: &str) -> String {
    let mut result = String::with_capacity(text.len());
    let (mut quoted, mut remark) = (false, false);
    for c in text.chars() {
        if remark {
            remark = !matches!(c, '\n' | '\r');
        } else if c == '"' {
            quoted = !quoted;
            result.push(c);
        } else if quoted {
            result.push(c);
        } else if c == '#' {
            remark = true;
        } else if !c.is_whitespace() {
            result.push(c);
        } else if !result.ends_with(' ') {
            result.push(' ');
        }
    }
    result
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::{FileId, Source, Sources};

    #[test]
    fn brackets_are_whole() {
        let mut packs = Sources::default();
        let text = "shall (a + b) * (c - (d\n - e)) at most f";
        let file = packs.add(Source::new("p", text));
        let files = Files { packs: &packs, job: None };
        assert_eq!(written(files, Span::new(file, 7, 28)), "(a + b) * (c - (d - e))");
        let c = Span::new(file, 17, 18);
        assert_eq!(replaced(files, Span::new(file, 7, 28), vec![(c, "1 V".into())]), "(a + b) * (1 V - (d - e))");
    }

    #[test]
    fn one_line_without_remarks() {
        let mut packs = Sources::default();
        let file = packs.add(Source::new("p", "a  # of one\n   + \"x  # y\" * b"));
        let files = Files { packs: &packs, job: None };
        let all = Span::new(file, 0, packs.get(file).map_or(0, |source| source.text().len()));
        assert_eq!(written(files, all), "a + \"x  # y\" * b");
        let b = Span::new(file, all.end as usize - 1, all.end as usize);
        assert_eq!(replaced(files, all, vec![(b, "2 in".into()), (Span::new(file, 0, 1), "1 in".into())]), "1 in + \"x  # y\" * 2 in");
        assert_eq!(replaced(files, all, vec![(Span::new(FileId::JOB, 0, 1), "no".into())]), "a + \"x  # y\" * b");
    }
}
