//! The effect of a change as JSON lines, for other programs. It must not know how the effect was found.

use super::effect::{Effect, SideInfo, word};
use super::escape::{json_line, visible};
use serde::Serialize;

/// The JSON Schema of a line of the report.
pub const SCHEMA: &str = include_str!("effect.schema.json");

impl Effect {
    /// The report as JSON lines.
    pub fn lines(&self) -> String {
        let mut text = json_line(&RunLine {
            kind: "run",
            shape: 1,
            program: "pintle",
            version: env!("CARGO_PKG_VERSION"),
            today: &self.today,
            permit: self.permit.as_deref(),
            from: self.from.line(),
            to: self.to.line(),
        });
        for change in &self.changes {
            let (item, part, says) = (visible(&change.item), visible(&change.part), visible(&change.says));
            text.push_str(&json_line(&ChangeLine {
                kind: "change",
                item: &item,
                part: &part,
                says: &says,
                direction: change.direction.word(),
            }));
        }
        for job in &self.jobs {
            let file = visible(&job.file);
            for verdict in &job.verdicts {
                text.push_str(&json_line(&VerdictLine {
                    kind: "verdict",
                    file: &file,
                    section: &verdict.section,
                    clause: verdict.clause,
                    modal: verdict.modal.word(),
                    thing: &visible(&verdict.thing),
                    from: word(verdict.from),
                    to: word(verdict.to),
                    worse: verdict.is_worse(),
                }));
            }
            let unjudged = job.unjudged.as_deref().map(visible);
            let line = JobLine {
                kind: "job",
                file: &file,
                exit_from: job.exits.0,
                exit_to: job.exits.1,
                changed: job.verdicts.len(),
                unjudged: unjudged.as_deref(),
            };
            text.push_str(&json_line(&line));
        }
        text.push_str(&json_line(&EndLine { kind: "end", jobs: self.jobs.len(), exit: self.exit() }));
        text
    }
}

impl SideInfo {
    fn line(&self) -> SideLine<'_> {
        let packs =
            self.packs.iter().map(|pack| PackLine { name: &pack.name, edition: &pack.edition, hash: &pack.hash, place: &pack.place });
        SideLine { codes: &self.codes, packs: packs.collect() }
    }
}

#[derive(Serialize)]
struct PackLine<'a> {
    name: &'a str,
    edition: &'a str,
    hash: &'a str,
    place: &'a str,
}

#[derive(Serialize)]
struct SideLine<'a> {
    codes: &'a [String],
    packs: Vec<PackLine<'a>>,
}

#[derive(Serialize)]
struct RunLine<'a> {
    kind: &'static str,
    shape: u8,
    program: &'static str,
    version: &'static str,
    today: &'a str,
    permit: Option<&'a str>,
    from: SideLine<'a>,
    to: SideLine<'a>,
}

#[derive(Serialize)]
struct ChangeLine<'a> {
    kind: &'static str,
    item: &'a str,
    part: &'a str,
    says: &'a str,
    direction: &'static str,
}

#[derive(Serialize)]
struct VerdictLine<'a> {
    kind: &'static str,
    file: &'a str,
    section: &'a str,
    clause: char,
    modal: &'static str,
    thing: &'a str,
    from: &'static str,
    to: &'static str,
    worse: bool,
}

#[derive(Serialize)]
struct JobLine<'a> {
    kind: &'static str,
    file: &'a str,
    exit_from: u8,
    exit_to: u8,
    changed: usize,
    unjudged: Option<&'a str>,
}

#[derive(Serialize)]
struct EndLine {
    kind: &'static str,
    jobs: usize,
    exit: u8,
}
