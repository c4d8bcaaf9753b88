//! A survey as a job file to fill in: every question a key with nothing behind it, which reads as not known, with what is asked in
//! comments above. It must not know how the questions were found.

use super::words;
use crate::language::program::Program;
use crate::quantity::Units;
use crate::report::escape::visible;
use crate::report::totals::CAUTION;
use crate::report::wrap::{WIDTH, wrapped};
use crate::survey::{Form, Part, Question};
use std::fmt::Write;

/// Columns of a number.
const NUMBER: usize = 5;

/// The file.
pub fn yaml(program: &Program, form: &Form) -> String {
    let mut text = String::new();
    let title =
        format!("Survey of a {} gate by {}: {} questions in the order of a walk round it.", form.kind, form.codes.join(", "), form.count);
    let reading = if form.units == Units::Metric { "535 mm +/- 3 mm" } else { "21 in +/- 1/8 in" };
    let tolerance = format!(
        "A reading may carry how far it may be off, as in `{reading}`. `pintle survey` with the name of this file lists what is still open."
    );
    for line in [
        title.as_str(),
        "Write the answer behind the colon, in quotes where a text holds `: ` or `#`. A key with nothing behind it is not known yet: \
         whatever waits for it stays open, and nothing passes by it.",
        tolerance.as_str(),
        CAUTION,
    ] {
        comment(&mut text, 0, "", 0, line);
    }
    text.push('\n');
    part(&mut text, program, form, &form.job, 0);
    text
}

fn comment(text: &mut String, indent: usize, label: &str, hang: usize, words: &str) {
    let lead = format!("{}# {label:<hang$}", " ".repeat(indent));
    let under = format!("{}# {}", " ".repeat(indent), " ".repeat(hang));
    let mut lines = String::new();
    wrapped(&mut lines, "", 0, words, WIDTH.saturating_sub(indent + hang + 2).max(30));
    for (at, line) in lines.lines().enumerate() {
        let _ = writeln!(text, "{}", format!("{}{line}", if at == 0 { &lead } else { &under }).trim_end());
    }
}

fn part(text: &mut String, program: &Program, form: &Form, part_: &Part, indent: usize) {
    let definition = program.definition(part_.def);
    let listed = definition.parent.is_some() && !definition.single;
    if definition.parent.is_some() {
        text.push('\n');
        let blanks = " ".repeat(indent);
        if let Some(number) = part_.number {
            let none = format!("`{}: none` where there is none", visible(&definition.key));
            let how = if definition.single { none } else { format!("a block for each, from its `- id` on, each with its own id; {none}") };
            comment(text, indent, &number.to_string(), NUMBER, &words::which(program, part_));
            comment(text, indent, "", NUMBER, &how);
            asked_by(text, indent, &words::askers(program, &part_.askers));
        } else {
            comment(text, indent, "", 0, "Where there are more gates of this kind, a block for each, from its `- id` on.");
        }
        let _ = writeln!(text, "{blanks}{}:", visible(&definition.key));
    }
    let inner = match (definition.parent.is_some(), listed) {
        (false, _) => indent,
        (true, true) => indent + 4,
        (true, false) => indent + 2,
    };
    if listed {
        let _ = writeln!(text, "{}- id: {}-1", " ".repeat(indent + 2), visible(&definition.name));
    }
    for question in &part_.questions {
        one(text, program, form, part_, question, inner);
    }
    for below in &part_.parts {
        part(text, program, form, below, inner);
    }
    for at in 1..form.things(program, part_) {
        likewise(text, program, form, part_, at, indent);
    }
}

/// A further thing of a list: the same questions by their keys alone.
fn likewise(text: &mut String, program: &Program, form: &Form, part: &Part, at: usize, indent: usize) {
    let definition = program.definition(part.def);
    let numbers = part.questions.first().zip(part.questions.last());
    let numbers = numbers.map_or_else(String::new, |(first, last)| format!(", {} to {}", first.number, last.number));
    comment(text, indent + 2, "", 0, &format!("The same of the next{numbers}."));
    let _ = writeln!(text, "{}- id: {}-{}", " ".repeat(indent + 2), visible(&definition.name), at + 1);
    for question in &part.questions {
        let known = form.known(program, part, question, at).map_or_else(String::new, |known| format!(" {}", visible(&known)));
        let _ = writeln!(text, "{}{}:{known}", " ".repeat(indent + 4), visible(&definition.fields[question.field].name));
    }
}

fn asked_by(text: &mut String, indent: usize, askers: &str) {
    if !askers.is_empty() {
        comment(text, indent, "", NUMBER, &format!("for {askers}"));
    }
}

fn one(text: &mut String, program: &Program, form: &Form, part: &Part, question: &Question, indent: usize) {
    let field = &program.definition(part.def).fields[question.field];
    comment(text, indent, &question.number.to_string(), NUMBER, &words::sentence(&field.doc));
    comment(text, indent, "", NUMBER, &words::how(program, field, form.units));
    asked_by(text, indent, &words::askers(program, &question.askers));
    let given = form.known(program, part, question, 0).map_or_else(String::new, |given| format!(" {}", visible(&given)));
    let _ = writeln!(text, "{}{}:{given}", " ".repeat(indent), visible(&field.name));
}
