//! The list of what is still to be measured of a job, as text and as a page with room to write. It must not know how it was found.

use super::page::STYLE;
use super::{failing, words};
use crate::job::Job;
use crate::judge::Subject;
use crate::judge::paths::thing_name;
use crate::language::program::Program;
use crate::report::escape::visible;
use crate::report::findings::{JobReport, title};
use crate::report::page::{Entry, Page, text as html_text};
use crate::report::totals::CAUTION;
use crate::report::wrap::{WIDTH, wrapped};
use crate::slip::first_few;
use crate::survey::beside::{Spot, key_of, spots};
use crate::survey::open::{Lacks, Open};
use std::fmt::Write;

/// Where the words of an entry start.
const HANG: usize = 6;
/// Most clauses that an entry names.
const MOST_NAMED: usize = 4;

/// What is asked, how it is answered, what waits for it, where it belongs: an entry in words.
struct Asked {
    key: String,
    asked: String,
    how: String,
    waits: String,
}

fn entry(ask: &Subject, open: &Open) -> Asked {
    let (program, job) = (ask.program, ask.job);
    let definition = program.definition(job.record(open.record).def);
    let (asked, how) = match open.lacks {
        Lacks::Fact(field) => {
            let field = &definition.fields[field];
            (words::sentence(&field.doc), words::how(program, field, job.units))
        }
        Lacks::Day(field) => (words::sentence(&definition.fields[field].doc), "the day itself: only a part of the date is stated".into()),
        Lacks::List(child) => {
            let def = definition.children[child];
            let below = program.definition(def);
            let each: Vec<&str> = open.each.iter().map(|field| below.fields[*field].name.as_str()).collect();
            let each = if each.is_empty() { String::new() } else { format!("; of each: {}", each.join(", ")) };
            let asked = if below.single { "Is there one?" } else { "Which are there?" };
            (format!("{} {asked}", words::sentence(&below.doc)), format!("none where there is none{each}"))
        }
    };
    Asked { key: key_of(program, job, open), asked, how, waits: waits(program, open) }
}

/// Where each answer goes in the file, in words.
fn places(ask: &Subject, open: &[Open]) -> Vec<String> {
    let words = |spot: Option<Spot>| match spot {
        Some(Spot::Key(line)) => format!("line {line}, its key is there"),
        Some(Spot::Below(line)) => format!("to add below line {line}"),
        Some(Spot::Braces(line)) => format!("to add within the braces of line {line}"),
        None => "to add".to_string(),
    };
    spots(ask.source, ask.program, ask.job, open).into_iter().map(words).collect()
}

/// The clauses that wait, in the order of the codes.
fn waits(program: &Program, open: &Open) -> String {
    let in_force = |code: &usize| format!("whether {} is in force", program.codes[*code].name);
    let mut names: Vec<String> = open.codes.iter().map(in_force).collect();
    for (section, norm) in &open.waits {
        let section = &program.sections[*section];
        let name = format!("{} ({})", section.id, section.norms[*norm].label);
        names.push(name);
    }
    first_few(&names, MOST_NAMED, ',')
}

/// What an added line says behind its key.
pub fn line(ask: &Subject, open: &Open) -> String {
    let entry = entry(ask, open);
    let id = ask.job.record(open.record).id.as_deref();
    let of = id.map_or_else(String::new, |id| format!("{id}: "));
    visible(&format!("{of}{} {}; for {}", entry.asked, entry.how, entry.waits)).into_owned()
}

fn head(ask: &Subject, open: &[Open]) -> String {
    let title = title(ask.program, ask.job);
    let site = if title.is_empty() { ask.source.name().to_string() } else { title };
    match open.len() {
        0 => format!("{site}: nothing is open."),
        1 => format!("{site}: one answer is still to be found."),
        many => format!("{site}: {many} answers are still to be found."),
    }
}

/// The things that lack something, in order, each with what it lacks.
fn by_thing<'o>(program: &Program, job: &Job, open: &'o [Open]) -> Vec<(String, Vec<&'o Open>)> {
    let mut things: Vec<(String, Vec<&Open>)> = Vec::new();
    for one in open {
        let name = thing_name(program, job, one.record);
        match things.last_mut() {
            Some((known, all)) if *known == name => all.push(one),
            _ => things.push((name, vec![one])),
        }
    }
    things
}

/// The list as text.
pub fn text(ask: &Subject, open: &[Open], report: &JobReport) -> String {
    let mut text = String::new();
    wrapped(&mut text, "", 0, &head(ask, open), WIDTH);
    wrapped(&mut text, "", 0, &failing::state(report), WIDTH);
    let places = places(ask, open);
    for (thing, all) in by_thing(ask.program, ask.job, open) {
        let _ = writeln!(text, "\n{}", visible(&thing));
        for one in all {
            let entry = entry(ask, one);
            wrapped(
                &mut text,
                &format!("{:>4}. ", one.number),
                HANG,
                &format!("{} ({}): {}", entry.key, places[one.number - 1], entry.asked),
                WIDTH,
            );
            wrapped(&mut text, &" ".repeat(HANG), HANG, &entry.how, WIDTH);
            wrapped(&mut text, &" ".repeat(HANG), HANG, &format!("asked by: {}", entry.waits), WIDTH);
        }
    }
    failing::text(&mut text, report, WIDTH);
    text.push('\n');
    wrapped(&mut text, "", 0, &format!("caution: {CAUTION}"), WIDTH);
    text
}

/// The list as a page to print.
pub fn html(ask: &Subject, open: &[Open], report: &JobReport) -> String {
    let mut body = format!("<p>{}</p>\n<p><strong>{}</strong></p>\n", html_text(&head(ask, open)), html_text(&failing::state(report)));
    let mut contents = Vec::new();
    let places = places(ask, open);
    for (at, (thing, all)) in by_thing(ask.program, ask.job, open).into_iter().enumerate() {
        let id = format!("thing.{}", at + 1);
        let _ = writeln!(body, "<h2 id=\"{id}\">{}</h2>", html_text(&thing));
        contents.push(Entry { id, words: thing.clone(), below: Vec::new() });
        let _ = write!(body, "<div class=\"rows\">\n<table>\n<caption>{}</caption>\n<thead>\n", html_text(&format!("Open of {thing}")));
        body.push_str("<tr><th scope=\"col\" class=\"number\">no.</th><th scope=\"col\" class=\"asked\">what</th><th scope=\"col\">answer</th></tr>\n</thead>\n<tbody>\n");
        for one in all {
            let entry = entry(ask, one);
            let _ = writeln!(
                body,
                "<tr><td class=\"number\">{}</td><td class=\"asked\"><strong>{}</strong> ({}) {} <span class=\"how\">{}</span> \
                 <span class=\"how\">asked by: {}</span></td><td class=\"room\"></td></tr>",
                one.number,
                html_text(&entry.key),
                html_text(&places[one.number - 1]),
                html_text(&entry.asked),
                html_text(&entry.how),
                html_text(&entry.waits)
            );
        }
        body.push_str("</tbody>\n</table>\n</div>\n");
    }
    failing::html(&mut body, &mut contents, report);
    Page { title: "What is still to be measured".into(), contents, body, caution: CAUTION.to_string(), style: STYLE, ..Page::default() }
        .html()
}
