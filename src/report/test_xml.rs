//! The report that build servers read: XML with one suite a job and one case a clause and thing, passes included. Its shape is
//! described by src/report/test-xml.xsd. It must not know files.

use super::escape::{short, xml};
use super::findings::{Finding, JobReport};
use super::form::{Ending, Form, PackReport};
use super::sarif_result::message;
use super::slips::sentence;
use super::totals::{CAUTION, outcome, packs};
use crate::judge::rank::Rank;
use crate::language::tree::Modal;
use crate::slip::Slip;
use crate::source::Files;
use std::collections::BTreeMap;
use std::fmt::Write;

/// The XML Schema of the report.
pub const SCHEMA: &str = include_str!("test-xml.xsd");

/// Longest message, in characters.
const LONGEST: usize = 2000;

/// The view of test XML of a run.
pub struct TestXml;

/// How a case ended.
enum End {
    Passed,
    Skipped(String),
    Failed(&'static str, String),
    Error(&'static str, String),
}

/// One suite in the making.
#[derive(Default)]
struct Suite {
    cases: String,
    names: BTreeMap<String, usize>,
    tests: usize,
    failures: usize,
    errors: usize,
    skipped: usize,
}

impl Suite {
    /// Adds a case. Readers keep the first of several of one name, so a number makes each of them another.
    fn case(&mut self, suite: &str, name: &str, end: &End) {
        let times = self.names.entry(name.to_string()).or_insert(0);
        *times += 1;
        let name = if *times > 1 { format!("{name} [{times}]") } else { name.to_string() };
        self.tests += 1;
        let _ = write!(self.cases, "    <testcase classname=\"{}\" name=\"{}\" time=\"0\"", xml(suite), xml(&name));
        let (word, kind, says) = match end {
            End::Passed => {
                self.cases.push_str("/>\n");
                return;
            }
            End::Skipped(says) => {
                self.skipped += 1;
                let _ = writeln!(self.cases, "><skipped message=\"{}\"/></testcase>", xml(&short(says, LONGEST)));
                return;
            }
            End::Failed(kind, says) => {
                self.failures += 1;
                ("failure", kind, says)
            }
            End::Error(kind, says) => {
                self.errors += 1;
                ("error", kind, says)
            }
        };
        let says = xml(&short(says, LONGEST));
        let _ = writeln!(self.cases, "><{word} type=\"{}\" message=\"{says}\">{says}</{word}></testcase>", xml(kind));
    }

    /// The whole suite, with what else there is to say.
    fn written(&self, name: &str, properties: &[(&str, String)], notes: &str) -> String {
        let Suite { tests, failures, errors, skipped, .. } = self;
        let mut text = format!(
            "  <testsuite name=\"{}\" tests=\"{tests}\" failures=\"{failures}\" errors=\"{errors}\" skipped=\"{skipped}\" time=\"0\">\n",
            xml(name)
        );
        if !properties.is_empty() {
            text.push_str("    <properties>\n");
            for (key, value) in properties {
                let _ = writeln!(text, "      <property name=\"{key}\" value=\"{}\"/>", xml(value));
            }
            text.push_str("    </properties>\n");
        }
        text.push_str(&self.cases);
        if !notes.is_empty() {
            let lines: Vec<String> = notes.lines().map(xml).collect();
            let _ = writeln!(text, "    <system-out>{}</system-out>", lines.join("\n"));
        }
        text.push_str("  </testsuite>\n");
        text
    }
}

/// The line at which a finding stands, for the message.
fn placed(files: Files, finding: &Finding) -> String {
    format!("{}: {}", super::excerpt::place_text(files, finding.place), message(finding))
}

/// How the case of a verdict ends. Only what makes the run fail is a failure or an error.
fn end(report: &JobReport, finding: &Finding) -> End {
    let says = || placed(report.files, finding);
    match finding.rank {
        Rank::NotApplicable => End::Skipped("does not apply to anything in this job".into()),
        Rank::Met | Rank::Excepted => End::Passed,
        Rank::Excused => End::Skipped(says()),
        _ if finding.is_listed() => {
            let listing = finding.listing.as_ref().map_or("", |listing| listing.words.as_str());
            End::Skipped(format!("{listing}. {}", says()))
        }
        _ if finding.modal == Modal::Should => End::Skipped(format!("recommended: {}", says())),
        Rank::Open if report.unfinished => End::Skipped(says()),
        Rank::Unanswered => End::Error(finding.verdict, says()),
        _ => End::Failed(finding.verdict, says()),
    }
}

/// Slips as cases; those that stop nothing are handed back as text.
fn slips(suite: &mut Suite, name: &str, files: Files, slips: &[Slip]) -> String {
    let mut notes = String::new();
    for slip in slips {
        let says = sentence(slip, files);
        if slip.harmless {
            notes.push_str(&says);
        } else {
            suite.case(name, &format!("slip: {}", slip.name), &End::Error(slip.name, says.trim_end().to_string()));
        }
    }
    notes
}

fn job(report: &JobReport, told: &[Slip]) -> String {
    let name = report.files.job.map_or("", |job| job.name());
    let mut suite = Suite::default();
    let mut notes = slips(&mut suite, name, report.files, told);
    notes.push_str(&slips(&mut suite, name, report.files, &report.notices));
    if let Some(why) = &report.unjudged {
        suite.case(name, "judged", &End::Error("not judged", why.clone()));
    }
    for code in report.codes_in_doubt() {
        let end = if report.unfinished { End::Skipped(code) } else { End::Failed("open", code) };
        suite.case(name, "codes in force", &end);
    }
    for finding in report.all.iter().chain(&report.idle) {
        // Two texts of one section under two codes are two cases.
        let code = if report.program.codes.len() > 1 { format!(" under {}", finding.code) } else { String::new() };
        suite.case(name, &format!("{}, {}{code}", finding.clause_name(), finding.thing), &end(report, finding));
    }
    let mut properties = vec![("title", report.title.clone()), ("outcome", outcome(report))];
    properties.extend(packs(report).into_iter().map(|pack| ("pack", pack)));
    suite.written(name, &properties, &notes)
}

impl Form for TestXml {
    type Piece = String;

    fn wants_all(&self) -> bool {
        true
    }

    fn begin(&mut self, today: &str) -> String {
        let version = env!("CARGO_PKG_VERSION");
        format!(
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<!-- pintle {version}, judged on {today}. {CAUTION} -->\n<testsuites name=\"pintle\">\n"
        )
    }

    fn job(&self, report: &JobReport, slips: &[Slip]) -> String {
        job(report, slips)
    }

    fn unjudged(&self, files: Files, told: &[Slip]) -> String {
        let name = files.job.map_or("", |job| job.name());
        let mut suite = Suite::default();
        let notes = slips(&mut suite, name, files, told);
        if suite.errors == 0 {
            suite.case(name, "judged", &End::Error("not judged", "could not be judged".into()));
        }
        suite.written(name, &[], &notes)
    }

    fn refused(&self, files: Files, why: &str) -> String {
        let name = files.job.map_or("", |job| job.name());
        let mut suite = Suite::default();
        suite.case(name, "judged", &End::Error("not judged", format!("could not be judged: {why}")));
        suite.written(name, &[], "")
    }

    fn pack(&self, pack: &PackReport) -> String {
        let mut suite = Suite::default();
        let notes = slips(&mut suite, pack.path, pack.files, pack.slips);
        if suite.errors == 0 {
            let end = if pack.program.is_some() { End::Passed } else { End::Error("not judged", pack.words()) };
            suite.case(pack.path, "pack without slips", &end);
        }
        suite.written(pack.path, &[("outcome", pack.words())], &notes)
    }

    fn told(&self, files: Files, told: &[Slip]) -> String {
        let name = files.job.map_or("", |job| job.name());
        let mut suite = Suite::default();
        let notes = slips(&mut suite, name, files, told);
        suite.written(name, &[], &notes)
    }

    fn add(&mut self, piece: String) -> String {
        piece
    }

    fn trouble(&mut self, what: &str) -> String {
        let mut suite = Suite::default();
        suite.case("run", "everything asked for was looked at", &End::Error("not judged", what.to_string()));
        suite.written("run", &[], "")
    }

    fn end(&mut self, ending: &Ending) -> String {
        format!("<!-- In all {}. -->\n</testsuites>\n", ending.tally.words())
    }
}
