//! A run as a SARIF log (the OASIS Static Analysis Results Interchange Format, 2.1.0): verdicts with their kinds, one extension of
//! the tool for each pack. It owns what is kept of a large run and how the whole is put together; single results are made in
//! `sarif_result`. It must not know files.

use super::findings::JobReport;
use super::form::{Ending, Form, PackReport};
use super::sarif_result::{Row, Rule, notification, rows, text};
use super::totals::CAUTION;
use crate::judge::rank::{Counts, Rank};
use crate::language::program::PackInfo;
use crate::slip::Slip;
use crate::source::Files;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value, json};
use std::collections::{BTreeMap, BTreeSet};

/// Most results of one log: common readers take no more of one run. The worst are kept.
pub const MOST_RESULTS: usize = 5000;
/// Most packs of one log, for the same reason.
const MOST_PACKS: usize = 100;
/// Most notes of one log.
const MOST_NOTES: usize = 1000;

const SCHEMA: &str = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

/// What one job or pack gives.
#[derive(Default, Serialize, Deserialize)]
pub struct Piece {
    packs: Vec<Pack>,
    rows: Vec<Row>,
    /// Results by their verdict's rank that are too mild to be kept, and were not even made.
    milder: Counts,
    /// The weight from which on no results were made, since the log was full of worse ones.
    bar: u8,
    notes: Vec<Value>,
}

/// A pack as an extension of the tool.
#[derive(Serialize, Deserialize)]
struct Pack {
    name: String,
    digest: String,
    about: Value,
}

/// A pack that takes part, with its rules in the order in which they were met.
struct Extension {
    about: Value,
    rules: Vec<Value>,
    places: BTreeMap<String, usize>,
}

/// A log in the making.
#[derive(Default)]
pub struct Sarif {
    today: String,
    extensions: Vec<Extension>,
    by_text: BTreeMap<(String, String), usize>,
    /// Results by weight and order of coming, each with its verdict's rank and as written; the worst have the lowest weight.
    kept: BTreeMap<(u8, usize), (Rank, String)>,
    met: usize,
    notes: Vec<Value>,
    /// How many results of each verdict were left out.
    left_out: Counts,
    notes_left_out: usize,
}

impl Sarif {
    fn take(&mut self, number: usize, row: Row) {
        let weight = (row.weight, self.met);
        self.met += 1;
        if self.kept.len() >= MOST_RESULTS {
            // The mildest, and of them the latest, makes room; perhaps it is this one.
            if row.weight >= self.bar() {
                self.left_out[row.rank] += 1;
                return;
            }
            if let Some((_, (rank, _))) = self.kept.pop_last() {
                self.left_out[rank] += 1;
            }
        }
        let extension = &mut self.extensions[number];
        let Rule { id, about } = row.rule;
        let index = *extension.places.entry(id.clone()).or_insert_with(|| {
            extension.rules.push(about);
            extension.rules.len() - 1
        });
        let mut result = row.result;
        result.insert("ruleId".into(), id.clone().into());
        result.insert("rule".into(), json!({"id": id, "index": index, "toolComponent": {"index": number}}));
        self.kept.insert(weight, (row.rank, Value::Object(result).to_string()));
    }

    /// The weight from which on nothing more is kept. It only falls, so that a result that was never made would not have been kept.
    fn bar(&self) -> u8 {
        match self.kept.last_key_value() {
            Some(((weight, _), _)) if self.kept.len() >= MOST_RESULTS => *weight,
            _ => u8::MAX,
        }
    }

    /// The extension of a pack; none where there are too many.
    fn extension(&mut self, pack: Pack) -> Option<usize> {
        let key = (pack.name, pack.digest);
        if let Some(number) = self.by_text.get(&key) {
            return Some(*number);
        }
        if self.extensions.len() >= MOST_PACKS {
            return None;
        }
        self.extensions.push(Extension { about: pack.about, rules: Vec::new(), places: BTreeMap::new() });
        self.by_text.insert(key, self.extensions.len() - 1);
        Some(self.extensions.len() - 1)
    }

    fn note(&mut self, note: Value) {
        if self.notes.len() < MOST_NOTES {
            self.notes.push(note);
        } else {
            self.notes_left_out += 1;
        }
    }

    /// What was left out, in words.
    fn tell_left_out(&mut self) {
        let mut parts: Vec<String> = self.left_out.worst_first().map(|(rank, count)| format!("{count} {}", rank.word())).collect();
        if self.notes_left_out > 0 {
            parts.push(format!("{} notes", self.notes_left_out));
        }
        if parts.is_empty() {
            return;
        }
        let findings = self.left_out.of_findings() + self.notes_left_out > 0;
        let message = format!(
            "This log is not complete: it holds the {} worst results of {}. Left out: {}. The view of JSON lines holds everything.",
            self.kept.len(),
            self.met,
            parts.join(", ")
        );
        let level = if findings { "error" } else { "note" };
        self.notes.push(json!({"level": level, "message": {"text": message}, "descriptor": {"id": "left-out"}}));
    }

    /// The results as written, in the order of coming.
    fn results(&mut self) -> String {
        let kept = std::mem::take(&mut self.kept);
        let mut results: Vec<(usize, String)> = kept.into_iter().map(|((_, order), (_, result))| (order, result)).collect();
        results.sort_unstable_by_key(|(order, _)| *order);
        let results: Vec<String> = results.into_iter().map(|(_, result)| result).collect();
        results.join(",\n")
    }

    fn log(&mut self, ending: &Ending) -> String {
        self.tell_left_out();
        let extensions: Vec<Value> = std::mem::take(&mut self.extensions)
            .into_iter()
            .map(|mut extension| {
                extension.about["rules"] = extension.rules.into();
                extension.about
            })
            .collect();
        let names: BTreeSet<&str> = self.notes.iter().filter_map(|note| note["descriptor"]["id"].as_str()).collect();
        let names: Vec<Value> = names.into_iter().map(|name| json!({"id": name})).collect();
        let said =
            ["every mandatory clause that applies is met", "a mandatory clause fails or is in doubt", "something could not be judged"];
        let driver = json!({"name": "Pintle", "semanticVersion": env!("CARGO_PKG_VERSION"), "rules": [], "notifications": names});
        let tool = json!({"driver": driver, "extensions": extensions});
        let invocation = json!({
            "executionSuccessful": ending.exit < 2,
            "exitCode": ending.exit,
            "exitCodeDescription": said.get(usize::from(ending.exit)).copied().unwrap_or("a fault of this program"),
            "toolExecutionNotifications": self.notes,
        });
        let properties = json!({
            "today": self.today,
            "files": ending.judged,
            "outcomes": ending.tally.jobs(),
            "packs": ending.tally.packs(),
            "caution": CAUTION,
        });
        format!(
            "{{\"$schema\": \"{SCHEMA}\", \"version\": \"2.1.0\", \"runs\": [{{\n\"tool\": {tool},\n\"columnKind\": \"unicodeCodePoints\",\n\
             \"invocations\": [{invocation}],\n\"properties\": {properties},\n\"results\": [\n{}\n]}}]}}\n",
            self.results()
        )
    }
}

fn pack(info: &PackInfo) -> Pack {
    let or_none = |words: &str| if words.trim().is_empty() { "not stated".into() } else { text(words) };
    let about = json!({
        "name": or_none(&info.name),
        "fullName": or_none(&info.title),
        "version": or_none(&info.edition),
        "organization": or_none(&info.authority),
        "properties": {
            "sha256": info.digest,
            "place": text(&info.place),
            "reviewed": info.reviewed.as_deref().map(text),
        },
    });
    Pack { name: info.name.clone(), digest: info.digest.clone(), about }
}

fn notes(files: Files, slips: &[Slip]) -> Vec<Value> {
    slips.iter().map(|slip| notification(files, slip)).collect()
}

fn trouble(name: &str, what: &str) -> Value {
    json!({"level": "error", "message": {"text": text(what)}, "descriptor": {"id": name}})
}

impl Form for Sarif {
    type Piece = Piece;

    fn wants_all(&self) -> bool {
        true
    }

    /// A result is larger than its line in other views, and most are made only to be left out again.
    fn batch(&self) -> usize {
        16
    }

    /// A log that has more room now must have the results that were not made then.
    fn holds(&self, piece: &Piece) -> bool {
        piece.milder.total() == 0 || self.bar() <= piece.bar
    }

    fn begin(&mut self, today: &str) -> String {
        self.today = today.to_string();
        String::new()
    }

    fn job(&self, report: &JobReport, slips: &[Slip]) -> Piece {
        let mut notes = notes(report.files, slips);
        notes.extend(report.notices.iter().map(|slip| notification(report.files, slip)));
        let name = report.files.job.map_or("", |job| job.name());
        if let Some(why) = &report.unjudged {
            notes.push(trouble("not-judged", &format!("{name}: void, so nothing has been judged: {why}")));
        }
        for code in report.codes_in_doubt() {
            notes.push(trouble("code-in-doubt", &format!("{name}: open: {code}")));
        }
        let bar = self.bar();
        let (rows, milder) = rows(report, bar);
        Piece { packs: report.program.packs.iter().map(pack).collect(), rows, milder, bar, notes }
    }

    fn unjudged(&self, files: Files, slips: &[Slip]) -> Piece {
        self.told(files, slips)
    }

    fn refused(&self, _files: Files, _why: &str) -> Piece {
        Piece::default()
    }

    fn pack(&self, report: &PackReport) -> Piece {
        Piece { packs: report.info().map(pack).into_iter().collect(), ..self.told(report.files, report.slips) }
    }

    fn told(&self, files: Files, slips: &[Slip]) -> Piece {
        Piece { notes: notes(files, slips), ..Piece::default() }
    }

    fn add(&mut self, piece: Piece) -> String {
        let names: Vec<String> = piece.packs.iter().map(|pack| pack.name.clone()).collect();
        let numbers: Vec<Option<usize>> = piece.packs.into_iter().map(|pack| self.extension(pack)).collect();
        for row in piece.rows {
            let number = names.iter().position(|name| *name == row.pack).and_then(|at| numbers[at]);
            match number {
                Some(number) => self.take(number, row),
                None => {
                    self.met += 1;
                    self.left_out[row.rank] += 1;
                }
            }
        }
        self.met += piece.milder.total();
        self.left_out += piece.milder;
        piece.notes.into_iter().for_each(|note| self.note(note));
        String::new()
    }

    fn trouble(&mut self, what: &str) -> String {
        self.note(trouble("not-judged", what));
        String::new()
    }

    fn end(&mut self, ending: &Ending) -> String {
        self.log(ending)
    }
}

/// A map of a JSON object.
pub(super) fn object(value: Value) -> Map<String, Value> {
    match value {
        Value::Object(map) => map,
        _ => Map::new(),
    }
}
