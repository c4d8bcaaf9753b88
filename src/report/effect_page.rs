//! What a change of the codes does, as a page: the answer first, which is the jobs that get worse, then what it rests on. It must
//! not know how anything is judged.

use super::blocks::{Group, Ledger};
use super::document::{Block, Document, Line, Run, marked, words};
use super::effect::{Effect, JobEffect, Turn, VerdictChange, named_jobs, word};
use super::totals::CAUTION;
use super::trials::counted;
use crate::slip::first_few;

/// Most clauses that the row of a job names.
const MOST_CLAUSES: usize = 3;

impl Effect {
    /// The report as a document.
    pub fn document(&self) -> Document {
        let title = format!("From {} to {}: what changes", self.from.codes.join(", "), self.to.codes.join(", "));
        let mut document = Document { title, lead: self.lead(), caution: CAUTION.to_string(), ..Document::default() };
        self.by_section(&mut document);
        let quiet = self.quiet();
        if !quiet.is_empty() {
            document.heading(2, "quiet", "With nothing to be done by either");
            quiet.iter().for_each(|line| document.paragraph(words(format!("{line}."))));
        }
        self.by_job(&mut document);
        self.texts(&mut document);
        document
    }

    /// The jobs that are told, each with its place among them, which the id of its heading carries.
    fn told(&self) -> impl Iterator<Item = (usize, &JobEffect)> {
        self.jobs.iter().filter(|job| job.is_told()).enumerate().map(|(at, job)| (at + 1, job))
    }

    /// The answer: which jobs get worse, those that could be handed over before and cannot be any more first.
    fn lead(&self) -> Vec<Block> {
        let lost = |job: &JobEffect| job.exits.0 == 0 && job.exits.1 != 0;
        // What is merely not stated yet is another matter than what fails.
        let fails = |job: &JobEffect| job.turned().any(|verdict| verdict.is_worse() && word(verdict.to) != "open");
        let groups = [
            "No longer ready: something is not met, marginal or unanswered",
            "No longer ready: only since facts are not stated that are asked now",
            "Worse, but ready or not ready as before",
            "Not judged by both sides",
        ];
        let place = |job: &JobEffect| match (job.unjudged.is_some(), lost(job)) {
            (true, _) => Some(3),
            (false, true) => Some(usize::from(!fails(job))),
            (false, false) => job.turned().any(VerdictChange::is_worse).then_some(2),
        };
        let mut groups: Vec<(&str, Vec<Vec<Line>>)> = groups.into_iter().map(|title| (title, Vec::new())).collect();
        for (at, job) in self.told() {
            if let Some(group) = place(job) {
                groups[group].1.push(row(at, job));
            }
        }
        let many = |at: usize| groups[at].1.len();
        let lost = many(0) + many(1);
        let mut answer: Vec<String> = Vec::new();
        if lost > 0 {
            let open = if many(1) > 0 { format!(", {} of them only since facts are not stated", many(1)) } else { String::new() };
            answer.push(format!("{}{open}", jobs(lost, "is no longer ready", "are no longer ready")));
        }
        if many(2) > 0 {
            answer.push(format!("{} but not in that", jobs(many(2), "gets worse", "get worse")));
        }
        if many(3) > 0 {
            answer.push(jobs(many(3), "is not judged by both sides", "are not judged by both sides"));
        }
        let kind = match (answer.is_empty(), lost + many(2)) {
            (true, _) => "ready",
            (false, 0) => "unjudged",
            (false, _) => "not-ready",
        };
        let sentence = if answer.is_empty() { "No job gets worse.".to_string() } else { format!("{}.", answer.join("; ")) };
        let judged = format!("Judged as of {}. {}{}", self.today, self.supposed(), self.summary());
        let mut lead = vec![Block::Boxed(kind, vec![Block::Paragraph(words(sentence)), Block::Paragraph(words(judged))])];
        let groups = groups.into_iter().filter(|(_, rows)| !rows.is_empty());
        let groups: Vec<Group> =
            groups.map(|(title, rows)| Group { title: vec![Run::Strong(format!("{title}: {}", rows.len()))], rows }).collect();
        if !groups.is_empty() {
            let heads = ["job", "worse", "the worst of it"].map(str::to_string).to_vec();
            lead.push(Block::Ledger(Ledger { caption: "Jobs that get worse, the worst first".into(), heads, groups, ..Ledger::default() }));
        }
        lead
    }

    fn by_section(&self, document: &mut Document) {
        let group = |group: super::effect::Group| {
            let one = |(step, jobs): &(String, Vec<(&str, &VerdictChange)>)| {
                vec![words(step), words(jobs.len().to_string()), words(named_jobs(jobs))]
            };
            let rows = group.steps.iter().map(one).collect();
            Group { title: vec![Run::Strong(format!("{}{}", group.name, group.note))], rows }
        };
        let groups: Vec<Group> = self.groups().into_iter().map(group).collect();
        if !groups.is_empty() {
            document.heading(2, "sections", "Verdicts by section, the worst first");
            let heads = ["change", "verdicts", "where"].map(str::to_string).to_vec();
            let caption = "Clauses whose verdicts change".to_string();
            document.blocks.push(Block::Ledger(Ledger { caption, heads, groups, ..Ledger::default() }));
        }
    }

    fn by_job(&self, document: &mut Document) {
        if self.told().next().is_some() {
            document.heading(2, "jobs", "Verdicts by job, the worst first");
        }
        for (at, job) in self.told() {
            document.heading(3, format!("job.{at}"), &job.file);
            document.paragraph(marked(&format!("{}.", job.outcome())));
            let rows = job.turned().map(|verdict| {
                let clause = words(format!("{}{}", verdict.clause_name(), verdict.modal_note()));
                vec![clause, words(&verdict.thing), words(word(verdict.from)), words(word(verdict.to))]
            });
            document.table("Verdicts that change", &["clause", "thing", "from", "to"], rows.collect());
        }
    }

    /// What differs in the texts, and which texts they are.
    fn texts(&self, document: &mut Document) {
        document.heading(2, "changes", "What changes in the text");
        let rows: Vec<Vec<Line>> = self
            .changes
            .iter()
            .map(|change| {
                let item = format!("{} {}", change.item, change.part);
                vec![words(item.trim_end()), marked(&change.says), words(change.direction.word())]
            })
            .collect();
        if rows.is_empty() {
            document.paragraph(words("Nothing."));
        }
        document.table("Changes of the text", &["item", "change", "direction"], rows);
        let rows = [("from", &self.from), ("to", &self.to)].into_iter().flat_map(|(side, info)| {
            info.packs.iter().map(move |pack| {
                vec![words(side), words(&pack.name), words(&pack.edition), vec![Run::Code(pack.hash.clone())], words(&pack.place)]
            })
        });
        document.heading(2, "packs", "Packs that take part");
        document.table("", &["side", "pack", "edition", "text", "found in"], rows.collect());
    }
}

/// So many jobs, with what is said of one or of several.
fn jobs(count: usize, is: &str, are: &str) -> String {
    format!("{} {}", counted(count, "job"), if count == 1 { is } else { are })
}

/// A job in a line: its name, how many of its verdicts turn to the worse, and the first of them.
fn row(at: usize, job: &JobEffect) -> Vec<Line> {
    let worse: Vec<&VerdictChange> = job.turned().filter(|verdict| verdict.turn() == Turn::Worse).collect();
    let clauses: Vec<String> = worse.iter().map(|verdict| format!("{} {}", verdict.clause_name(), word(verdict.to))).collect();
    let what = match &job.unjudged {
        Some(_) => job.outcome(),
        None => first_few(&clauses, MOST_CLAUSES, ';'),
    };
    vec![vec![Run::Link(format!("job.{at}"), job.file.clone())], words(worse.len().to_string()), marked(&what)]
}
