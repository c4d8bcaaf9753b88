//! Verdicts and slips as results and notifications of a SARIF log: kinds, levels, places, fingerprints, suppressions. It must not
//! know how a log is put together.

use super::escape::{short, visible};
use super::findings::{Finding, JobReport};
use super::punch_list::Standing;
use super::sarif::{MOST_RESULTS, object};
use super::text::sentence_of;
use crate::judge::rank::{Counts, Rank};
use crate::language::tree::Modal;
use crate::slip::Slip;
use crate::source::{Files, Span};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value, json};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fmt::Write;

/// Longest message, in characters.
const LONGEST: usize = 2000;
/// Longest description of a rule that readers take, in characters.
const LONGEST_TITLE: usize = 1000;

/// A rule that results name.
#[derive(Serialize, Deserialize)]
pub struct Rule {
    /// `pack/section`.
    pub id: String,
    /// Its descriptor.
    pub about: Value,
}

/// One result, but for its rule's number.
#[derive(Serialize, Deserialize)]
pub struct Row {
    /// How bad it is; the lowest is the worst.
    pub weight: u8,
    /// The verdict's rank.
    pub rank: Rank,
    /// The pack that the rule belongs to.
    pub pack: String,
    /// The rule.
    pub rule: Rule,
    /// The rest.
    pub result: Map<String, Value>,
}

/// Text for a message: what nobody sees is written out, braces are doubled and no link can come about, as the format asks.
pub fn text(words: &str) -> String {
    short(words, LONGEST).replace('{', "{{").replace('}', "}}").replace("](", "] (")
}

/// Every verdict of a job below a weight, in order, and how many there are of each of the others.
pub fn rows(report: &JobReport, bar: u8) -> (Vec<Row>, Counts) {
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    let (mut rows, mut milder) = (Vec::new(), Counts::default());
    let (last, mut room) = room(report.all.iter().chain(&report.idle).map(weight));
    for finding in report.all.iter().chain(&report.idle) {
        let weight = weight(finding);
        if weight >= bar || weight > last || weight == last && room == 0 {
            milder[finding.rank] += 1;
            continue;
        }
        room -= usize::from(weight == last);
        let mut print = fingerprint(report.files, finding);
        let times = seen.entry(print.clone()).or_insert(0);
        *times += 1;
        if *times > 1 {
            let _ = write!(print, ":{times}");
        }
        rows.push(row(report.files, finding, &print));
    }
    (rows, milder)
}

/// The mildest weight of which a log can keep any result of one job, and how many of it. The log keeps its worst, and of equal ones the
/// first: what comes after so many need not be made, and one job of very many findings takes no more memory than the log.
fn room(weights: impl Iterator<Item = u8>) -> (u8, usize) {
    let mut counts = [0usize; 256];
    weights.for_each(|weight| counts[usize::from(weight)] += 1);
    let mut left = MOST_RESULTS;
    for (weight, count) in (0..=u8::MAX).zip(counts) {
        if count > left {
            return (weight, left);
        }
        left -= count;
    }
    (u8::MAX, usize::MAX)
}

fn row(files: Files, finding: &Finding, print: &str) -> Row {
    let (kind, level) = kind(finding);
    let mut place = object(json!({"physicalLocation": physical(files, finding.place)}));
    place.insert("logicalLocations".into(), json!([{"fullyQualifiedName": visible(&finding.thing), "kind": "object"}]));
    let clause = json!([{"id": 1, "physicalLocation": physical(files, finding.clause), "message": {"text": "The clause"}}]);
    let result = json!({
        "kind": kind,
        "level": level,
        "message": {"text": text(&message(finding))},
        "locations": [place],
        "relatedLocations": clause,
        "partialFingerprints": {"clauseAndThing/v1": print},
        "suppressions": suppressions(finding),
        "properties": properties(finding),
    });
    Row { weight: weight(finding), rank: finding.rank, pack: pack_of(finding), rule: rule(finding), result: object(result) }
}

fn pack_of(finding: &Finding) -> String {
    finding.section.split('/').next().unwrap_or("").to_string()
}

/// Only what surely is not as it should be fails; every doubt has a kind of its own, and only failures have a level.
fn kind(finding: &Finding) -> (&'static str, &'static str) {
    let kind = match finding.rank {
        Rank::NotApplicable => "notApplicable",
        Rank::Met | Rank::Excepted => "pass",
        Rank::Marginal => "review",
        Rank::Open | Rank::Unanswered => "open",
        Rank::Excused | Rank::NotMet => "fail",
    };
    match (kind, finding.modal) {
        ("fail", Modal::Shall) => (kind, "error"),
        ("fail", Modal::Should) => (kind, "warning"),
        _ => (kind, "none"),
    }
}

fn weight(finding: &Finding) -> u8 {
    let base = match (finding.rank, finding.modal) {
        (Rank::NotMet, Modal::Shall) => 0,
        (Rank::Unanswered, Modal::Shall) => 1,
        (Rank::Marginal, Modal::Shall) => 2,
        (Rank::Open, Modal::Shall) => 3,
        (Rank::NotMet | Rank::Unanswered | Rank::Marginal | Rank::Open, Modal::Should) => 4,
        (Rank::Excused, _) => 5,
        (Rank::Excepted, _) => 7,
        (Rank::Met, _) => 8,
        (Rank::NotApplicable, _) => 9,
    };
    if finding.is_listed() { 6 } else { base }
}

/// What is the matter, and what to do.
pub fn message(finding: &Finding) -> String {
    let mut said = format!("{}: {} of {}: {}", finding.verdict, finding.clause_name(), finding.thing, finding.title);
    let reasons = finding.why.reasons.iter().map(sentence_of);
    let lacking =
        finding.why.lacking.iter().map(|lacking| format!("{} of {} is not stated ({})", lacking.name, lacking.thing, lacking.doc));
    let obstacles = finding.why.obstacles.iter().map(|(obstacle, _)| obstacle.clone());
    for part in reasons.chain(lacking).chain(obstacles).chain(finding.carried_by.clone()) {
        let _ = write!(said, ". {part}");
    }
    if !finding.why.remedy.is_empty() {
        let _ = write!(said, ". Remedy: {}", finding.why.remedy.trim_end_matches('.'));
    }
    let sources: Vec<String> = finding.from.iter().map(super::findings::Provenance::text).collect();
    let _ = write!(said, ". Source: {}.", sources.join("; "));
    said
}

fn properties(finding: &Finding) -> Value {
    let first = finding.why.reasons.first();
    let of = |value: Option<&String>| value.map(|value| visible(value).into_owned());
    json!({
        "verdict": finding.verdict,
        "modal": finding.modal.word(),
        "clause": finding.label.to_string(),
        "thing": visible(&finding.thing),
        "codes": finding.roots,
        "value": of(first.and_then(|reason| reason.value.as_ref())),
        "limit": of(first.and_then(|reason| reason.limit.as_ref())),
        "miss": of(first.and_then(|reason| reason.miss.as_ref())),
        "minimumOf": finding.floor,
        "amendedBy": finding.amended_by,
        "fromMemory": finding.from.iter().any(|from| from.from_memory),
        "assumed": finding.assumed,
    })
}

/// What lets a result wait: a variance stands in the job itself, the punch list stands outside. An entry that does not cover the
/// finding is told as refused.
fn suppressions(finding: &Finding) -> Value {
    let mut all = Vec::new();
    if finding.rank == Rank::Excused {
        let why = text(finding.carried_by.as_deref().unwrap_or(""));
        all.push(json!({"kind": "inSource", "status": "accepted", "justification": why}));
    }
    if let Some(listing) = &finding.listing {
        let status = if listing.standing == Standing::Listed { "accepted" } else { "rejected" };
        all.push(json!({"kind": "external", "status": status, "justification": text(&listing.words)}));
    }
    all.into()
}

fn rule(finding: &Finding) -> Rule {
    let title = if finding.title.trim().is_empty() { &finding.section } else { &finding.title };
    let title = short(&text(title), LONGEST_TITLE);
    let sources: Vec<String> = finding.from.iter().map(super::findings::Provenance::text).collect();
    let about = json!({
        "id": finding.section,
        "shortDescription": {"text": title},
        "fullDescription": {"text": title},
        "help": {"text": short(&text(&format!("{title}. Source: {}.", sources.join("; "))), LONGEST_TITLE)},
        "defaultConfiguration": {"level": if finding.modal == Modal::Shall { "error" } else { "warning" }},
    });
    Rule { id: finding.section.clone(), about }
}

/// A text that stays the same while job, code, clause and thing do, wherever the lines move to.
fn fingerprint(files: Files, finding: &Finding) -> String {
    let job = files.job.map_or("", |job| job.name());
    let root = finding.roots.iter().min().map_or("", String::as_str);
    let label = finding.label.to_string();
    let mut hasher = Sha256::new();
    for part in [job.trim_start_matches("./"), root, &finding.section, &label, &finding.key] {
        hasher.update(part.as_bytes());
        hasher.update([0]);
    }
    hasher.finalize().iter().take(16).fold(String::new(), |mut print, byte| {
        let _ = write!(print, "{byte:02x}");
        print
    })
}

/// A slip as a notification.
pub fn notification(files: Files, slip: &Slip) -> Value {
    let mut said = slip.message.clone();
    for words in slip.others.iter().map(|(_, says)| says).chain(&slip.hint) {
        let _ = write!(said, "; {words}");
    }
    let level = if slip.harmless { "note" } else { "error" };
    let mut note = json!({"level": level, "message": {"text": text(&said)}, "descriptor": {"id": slip.name}});
    let places = slip.span.iter().chain(slip.others.iter().map(|(span, _)| span));
    let mut places: Vec<Value> = places.map(|span| json!({"physicalLocation": physical(files, *span)})).collect();
    if places.is_empty() {
        places.extend(files.job.map(|job| json!({"physicalLocation": {"artifactLocation": {"uri": uri(job.name())}}})));
    }
    note["locations"] = places.into();
    note
}

fn physical(files: Files, span: Span) -> Value {
    let Some(source) = files.source(span.file) else { return json!({"artifactLocation": {"uri": "unknown"}}) };
    let (start, end) = (source.place(span.start as usize), source.place(span.end as usize));
    json!({
        "artifactLocation": {"uri": uri(source.name())},
        "region": {"startLine": start.line, "startColumn": start.column, "endLine": end.line, "endColumn": end.column},
    })
}

/// A path as a reference by RFC 3986; all but plain letters, digits and a few marks is written as bytes.
pub fn uri(path: &str) -> String {
    let mut result = String::with_capacity(path.len());
    if path.starts_with('/') {
        result.push_str("file://");
    }
    for byte in path.bytes() {
        match byte {
            b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' | b'/' => result.push(char::from(byte)),
            _ => {
                let _ = write!(result, "%{byte:02X}");
            }
        }
    }
    result
}
