//! A survey as one page to print: the same questions under the same numbers, with room to write. It must not know how the questions were
//! found.

use super::words;
use crate::language::program::Program;
use crate::report::page::{Entry, Page, text};
use crate::report::totals::CAUTION;
use crate::survey::{Form, Part, Question};
use std::fmt::Write;

/// How many things of a list a page has room for.
const THINGS: usize = 3;

/// Room to write, and tables that fill the paper.
pub(super) const STYLE: &str = "\
.rows table { table-layout: fixed; }
.rows th { width: auto; }
th.number, td.number { width: 3rem; text-align: right; }
th.asked, td.asked { width: 48%; }
td.room { height: 2.4rem; }
.how { display: block; color: #333; font-size: 0.9em; line-height: 1.3; }
.signed { display: grid; grid-template-columns: repeat(3, 1fr); gap: 1.5rem; margin-top: 2rem; break-inside: avoid; }
.signed p { border-top: 1px solid #000; margin: 2.5rem 0 0; }
@media (max-width: 40rem) { .rows table { table-layout: auto; } td.asked { min-width: 14rem; } td.room { min-width: 5rem; } }
@media print { body { font-size: 9pt; line-height: 1.3; } nav { display: none; } h2 { margin-top: 1.2rem; } }
";

/// The page.
pub fn html(program: &Program, form: &Form) -> String {
    let title = format!("Survey of a {} gate", form.kind);
    let mut body = String::new();
    let _ = writeln!(
        body,
        "<p>By {}: {} questions in the order of a walk round the gate. The numbers are those of the job file to fill in. What is left \
         empty stays open; write none where there is none. A table has a column for each thing; go on with a second sheet where there are \
         more.</p>",
        text(&form.codes.join(", ")),
        form.count
    );
    let mut contents = Vec::new();
    for part in form.parts() {
        section(&mut body, &mut contents, program, form, part);
    }
    body.push_str("<div class=\"signed\">\n<p>Measured by</p>\n<p>On</p>\n<p>Instruments</p>\n</div>\n");
    Page { title, contents, body, caution: CAUTION.to_string(), style: STYLE, ..Page::default() }.html()
}

fn section(body: &mut String, contents: &mut Vec<Entry>, program: &Program, form: &Form, part: &Part) {
    let definition = program.definition(part.def);
    let listed = definition.parent.is_some() && !definition.single;
    let heading = if definition.key.is_empty() { "job".to_string() } else { definition.key.replace('-', " ") };
    let id = format!("part.{}", definition.name);
    let _ = writeln!(body, "<h2 id=\"{}\">{}</h2>", text(&id), text(&heading));
    contents.push(Entry { id, words: heading.clone(), below: Vec::new() });
    if let Some(number) = part.number {
        let _ =
            writeln!(body, "<p>{number}. {}{}</p>", text(&words::which(program, part)), asked_by(&words::askers(program, &part.askers)));
    }
    if part.questions.is_empty() {
        return;
    }
    // A form is for one gate, which is not asked for by a number of its own.
    let things = if listed && part.number.is_some() { THINGS.max(form.things(program, part)) } else { 1 };
    let _ = write!(body, "<div class=\"rows\">\n<table>\n<caption>{}</caption>\n<thead>\n<tr>", text(&words::sentence(&definition.doc)));
    body.push_str("<th scope=\"col\" class=\"number\">no.</th><th scope=\"col\" class=\"asked\">what</th>");
    for at in 1..=things {
        let head = if things > 1 { format!("{} {at}", definition.name) } else { "answer".to_string() };
        let _ = write!(body, "<th scope=\"col\">{}</th>", text(&head));
    }
    body.push_str("</tr>\n</thead>\n<tbody>\n");
    if listed {
        let each = form.things(program, part);
        let ids: Vec<String> = (1..=each).filter(|_| each > 1).map(|at| format!("{}-{at}", definition.name)).collect();
        row(body, "", "<strong>id</strong> <span class=\"how\">a short name that reports can call it by</span>", &ids, things);
    }
    for question in &part.questions {
        asked(body, program, form, part, question, things);
    }
    body.push_str("</tbody>\n</table>\n</div>\n");
}

fn asked_by(askers: &str) -> String {
    if askers.is_empty() { String::new() } else { format!(" <span class=\"how\">for {}</span>", text(askers)) }
}

fn asked(body: &mut String, program: &Program, form: &Form, part: &Part, question: &Question, things: usize) {
    let field = &program.definition(part.def).fields[question.field];
    let what = format!(
        "<strong>{}</strong> {} <span class=\"how\">{}</span>{}",
        text(&field.name),
        text(&words::sentence(&field.doc)),
        text(&words::how(program, field, form.units)),
        asked_by(&words::askers(program, &question.askers))
    );
    let known: Vec<String> = (0..things).map(|at| form.known(program, part, question, at).unwrap_or_default()).collect();
    row(body, &question.number.to_string(), &what, &known, things);
}

fn row(body: &mut String, number: &str, what: &str, known: &[String], things: usize) {
    let _ = write!(body, "<tr><td class=\"number\">{number}</td><td class=\"asked\">{what}</td>");
    for at in 0..things {
        let _ = write!(body, "<td class=\"room\">{}</td>", text(known.get(at).map_or("", String::as_str)));
    }
    body.push_str("</tr>\n");
}
