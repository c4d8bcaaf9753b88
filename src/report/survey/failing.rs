//! What stands in the way of a job besides what is open, told beside the measuring list: nobody who reads that nothing is open may take
//! a job for ready. It must not know how verdicts come about.

use crate::report::escape::visible;
use crate::report::findings::{Finding, JobReport};
use crate::report::numbered::{What, numbered};
use crate::report::page::{Entry, text as html_text};
use crate::report::totals::outcome;
use crate::report::wrap::wrapped;
use std::fmt::Write;

/// Most findings that are told one by one.
const MOST_TOLD: usize = 40;
/// The heading.
const HEAD: &str = "Besides what is open";
/// Where the whole of it is told.
const WHOLE: &str = "`pintle check` and `pintle sheet` tell values, limits and remedies.";

/// How the job stands, in one sentence.
pub fn state(report: &JobReport) -> String {
    format!("The job as it is written down: {}.", outcome(report))
}

/// The findings that no answer is missing for, the worst first, and how many more there are than are told.
fn told<'r>(report: &'r JobReport) -> (Vec<(&'r Finding, String)>, usize) {
    let verdicts = numbered(report).into_iter().filter_map(|one| match one.what {
        What::Verdict(finding) => Some((finding, one.words())),
        What::Missing(_) => None,
    });
    let mut all: Vec<_> = verdicts.collect();
    let more = all.len().saturating_sub(MOST_TOLD);
    all.truncate(MOST_TOLD);
    (all, more)
}

fn place(report: &JobReport, finding: &Finding) -> String {
    let line = report.files.job.map(|source| source.place(finding.place.start as usize).line);
    line.map_or_else(String::new, |line| format!("line {line}"))
}

fn clause(finding: &Finding) -> String {
    let note = if finding.modal == crate::language::tree::Modal::Shall { "" } else { " (recommended)" };
    format!("{}{note}", finding.clause_name())
}

/// The findings as text; nothing where there are none.
pub fn text(text: &mut String, report: &JobReport, width: usize) {
    let (all, more) = told(report);
    if all.is_empty() {
        return;
    }
    let _ = writeln!(text, "\n{HEAD}");
    for (finding, words) in all {
        let (verdict, clause, place) = (finding.verdict, clause(finding), place(report, finding));
        wrapped(text, "  ", 6, &visible(&format!("{verdict}: {clause}, {} ({place}): {words}.", finding.thing)), width);
    }
    if more > 0 {
        let _ = writeln!(text, "  and {more} more");
    }
    wrapped(text, "  ", 2, WHOLE, width);
}

/// The same as a part of a page.
pub fn html(body: &mut String, contents: &mut Vec<Entry>, report: &JobReport) {
    let (all, more) = told(report);
    if all.is_empty() {
        return;
    }
    let _ = writeln!(body, "<h2 id=\"besides\">{HEAD}</h2>");
    contents.push(Entry { id: "besides".into(), words: HEAD.into(), below: Vec::new() });
    body.push_str("<div class=\"rows\">\n<table>\n<caption>Not met, unanswered or marginal</caption>\n<thead>\n");
    body.push_str("<tr><th scope=\"col\">verdict</th><th scope=\"col\">clause</th><th scope=\"col\" class=\"asked\">what</th></tr>\n");
    body.push_str("</thead>\n<tbody>\n");
    for (finding, words) in all {
        let what = format!("{} ({}): {words}.", finding.thing, place(report, finding));
        let clause = clause(finding);
        let _ = writeln!(
            body,
            "<tr><td>{}</td><td>{}</td><td class=\"asked\">{}</td></tr>",
            html_text(finding.verdict),
            html_text(&clause),
            html_text(&what)
        );
    }
    body.push_str("</tbody>\n</table>\n</div>\n");
    let more = if more > 0 { format!("And {more} more. ") } else { String::new() };
    let _ = writeln!(body, "<p>{}</p>", html_text(&format!("{more}{}", WHOLE.replace('`', ""))));
}
