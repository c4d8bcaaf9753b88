//! Makes ready what reports show of one judged job: findings with their reasons, open facts with what hangs on them, counts,
//! what the verdicts rest on. It must not know how it is drawn.

use super::punch_list::{Listing, PunchList};
use crate::job::Job;
use crate::judge::explain::{Explanation, Lacking, explain, main_place};
use crate::judge::judge_section::binding_name_and_key;
use crate::judge::rank::{Counts, Rank};
use crate::judge::variance::UNFIT;
use crate::judge::void::Void;
use crate::judge::{Judged, Judgement, Verdict};
use crate::language::program::{Code, Norm, Program, Section};
use crate::language::tree::{Modal, Standing};
use crate::slip::Slip;
use crate::source::{FileId, Files, Source, Span};
use jiff::civil::Date;
use std::collections::BTreeSet;

/// What stands behind a code that is asked whether it is in force.
const IN_FORCE: &str = " (in force)";

/// Where a clause comes from, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Provenance {
    /// The title of the source.
    pub title: String,
    /// The place in it.
    pub clause: String,
    /// How it is known.
    pub standing: Standing,
    /// Whether nobody looked it up.
    pub from_memory: bool,
}

impl Provenance {
    /// The source as one text.
    pub fn text(&self) -> String {
        let place = if self.clause.is_empty() { String::new() } else { format!(", {}", self.clause) };
        let known = match (self.standing, self.from_memory) {
            (Standing::Published, true) => "published, from memory",
            (Standing::Practice, true) => "practice, from memory",
            (standing, _) => standing.word(),
        };
        format!("{}{place} ({known})", self.title)
    }
}

/// One verdict, ready to show.
#[derive(Clone, Debug)]
pub struct Finding {
    /// The verdict, as a word.
    pub verdict: &'static str,
    /// Its rank, from the mildest to the worst.
    pub rank: Rank,
    /// The weight of the clause.
    pub modal: Modal,
    /// `pack/section`.
    pub section: String,
    /// The clause's letter.
    pub label: char,
    /// The section's title.
    pub title: String,
    /// The code under which it was judged.
    pub code: String,
    /// Each of those codes.
    pub roots: Vec<String>,
    /// What was judged.
    pub thing: String,
    /// What was judged, by a name that survives another order of the job's lists.
    pub key: String,
    /// Where in the job.
    pub place: Span,
    /// Where the clause stands in its pack.
    pub clause: Span,
    /// Why.
    pub why: Explanation,
    /// Where the clause comes from.
    pub from: Vec<Provenance>,
    /// The pack whose minimum stands, where a floor gave the worse verdict.
    pub floor: Option<String>,
    /// The pack whose minimum asks for something to be done as well.
    pub minimum_too: Option<String>,
    /// Packs that amended the section.
    pub amended_by: Vec<String>,
    /// Whether an assumed value took part.
    pub assumed: bool,
    /// The exception or variance that carries it, in words.
    pub carried_by: Option<String>,
    /// Its entry on the punch list.
    pub listing: Option<Listing>,
}

impl Finding {
    /// Whether the punch list covers it.
    pub fn is_listed(&self) -> bool {
        self.listing.as_ref().is_some_and(Listing::covers)
    }

    /// How the text that was judged stands to a minimum, in words; nothing where there is none.
    pub fn standing(&self) -> Option<String> {
        let stands = self.floor.as_ref().map(|floor| format!("standing as the minimum of {floor}"));
        stands.or_else(|| self.minimum_too.as_ref().map(|pack| format!("the minimum of {pack} is not met either")))
    }

    /// `pack/section (a)`.
    pub fn clause_name(&self) -> String {
        format!("{} ({})", self.section, self.label)
    }
}

/// Something missing, with every clause that waits for it.
#[derive(Clone, Debug)]
pub struct Waiting {
    /// What is missing.
    pub lacking: Vec<Lacking>,
    /// Clauses and things that wait for it.
    pub asked_by: Vec<(String, String)>,
    /// Whether one of them is mandatory.
    pub mandatory: bool,
    /// How many of them the punch list covers.
    pub listed: usize,
    /// What the punch list says of them, each once.
    pub listings: Vec<String>,
    /// Where it belongs in the job.
    pub place: Span,
}

/// What the verdicts rest on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct RestsOn {
    /// Verdicts on clauses whose citation nobody looked up.
    pub from_memory: usize,
    /// Verdicts on clauses of common practice.
    pub practice: usize,
    /// Verdicts on clauses for which neither section nor pack names anybody who compared them with the printed text.
    pub unreviewed: usize,
    /// Verdicts in which an assumed value took part.
    pub assumed: usize,
    /// Clauses that do not apply by a fact that the job does not state and the vocabulary takes as none or as a value.
    pub freed: usize,
    /// Verdicts excused by a variance.
    pub variance: usize,
    /// Measured values with no stated tolerance.
    pub judged_as_read: usize,
}

/// Everything that a report shows of one judged job.
#[derive(Debug)]
pub struct JobReport<'a> {
    /// The job file and the packs.
    pub files: Files<'a>,
    /// The program.
    pub program: &'a Program,
    /// The job's title.
    pub title: String,
    /// Findings but for the open ones, worst first; those that the punch list covers come last.
    pub findings: Vec<Finding>,
    /// What is missing.
    pub waiting: Vec<Waiting>,
    /// Verdicts that are no findings and are told all the same: excepted and excused.
    pub carried: Vec<Finding>,
    /// Every verdict but *not applicable*, in the order of the codes; only where a report asks for all.
    pub all: Vec<Finding>,
    /// Clauses that apply to nothing in this job, in the order of the codes; only where a report asks for all.
    pub idle: Vec<Finding>,
    /// Counts of verdicts by pack and rank; the first element is the pack.
    pub counts: Vec<(String, Counts)>,
    /// Counts of mandatory verdicts by rank.
    pub shall: Counts,
    /// Counts of recommended verdicts by rank.
    pub should: Counts,
    /// Counts of mandatory verdicts that the punch list covers, by rank.
    pub listed: Counts,
    /// The job as a punch list names it, where there is one.
    pub key: Option<String>,
    /// The entries of the punch list that name a finding of this job.
    pub entries: Vec<usize>,
    /// What they rest on.
    pub rests_on: RestsOn,
    /// The measured values with no stated tolerance, a line a thing.
    pub as_read: Vec<String>,
    /// What is told and changes no verdict.
    pub notices: Vec<Slip>,
    /// Whether open verdicts pass.
    pub unfinished: bool,
    /// The exit code that the job asks for.
    pub exit: u8,
    /// Slips of the job file that keep it from being judged whole.
    pub in_the_way: usize,
    /// Why nothing could be judged, where so.
    pub unjudged: Option<String>,
}

/// What is needed to make a report.
pub struct Inputs<'a> {
    /// The program.
    pub program: &'a Program,
    /// The job.
    pub job: &'a Job,
    /// The job file.
    pub source: &'a Source,
    /// The day of judging.
    pub today: Date,
    /// Whether open verdicts pass.
    pub unfinished: bool,
    /// Whether every verdict is wanted.
    pub all: bool,
    /// The punch list, and the job as it names it.
    pub known: Option<(&'a PunchList, String)>,
}

/// Makes the report of a judged job.
pub fn report<'a>(inputs: &Inputs<'a>, judgement: &Judgement<'a>) -> JobReport<'a> {
    let Inputs { program, job, source, .. } = *inputs;
    let (shall, should) = judgement.counts(program);
    let made = made(inputs, judgement);
    let listed = listed(&made);
    let exit = judgement.exit_code(program, job, inputs.unfinished, &listed);
    let in_the_way = job.slips.iter().filter(|slip| !slip.harmless).count();
    let mut report = JobReport {
        files: Files { packs: &program.files, job: Some(source) },
        program,
        title: title(program, job),
        findings: Vec::new(),
        waiting: Vec::new(),
        carried: Vec::new(),
        all: Vec::new(),
        idle: if inputs.all { idle(program, judgement) } else { Vec::new() },
        counts: Vec::new(),
        shall,
        should,
        listed,
        key: inputs.known.as_ref().map(|(_, key)| key.clone()),
        entries: made.iter().filter_map(|finding| Some(finding.listing.as_ref()?.entry)).collect(),
        rests_on: RestsOn { judged_as_read: job.judged_as_read.len(), ..RestsOn::default() },
        as_read: super::as_read::names(program, job),
        notices: judgement.notices.iter().chain(&program.notices).cloned().collect(),
        unfinished: inputs.unfinished,
        exit: if in_the_way > 0 { 2 } else { exit },
        in_the_way,
        unjudged: judgement.void(program, job).map(|void| unjudged(program, &void)),
    };
    judgement.judged.iter().for_each(|judged| report.count(program, judged));
    made.iter().for_each(|finding| report.sort_in(finding));
    if inputs.all {
        report.all = made;
    }
    for (code, truth) in program.codes.iter().zip(&judgement.codes) {
        if let crate::judge::doubt::Truth::Doubtful(doubt) = truth {
            report.wait_for_code(program, job, &code.name, doubt);
        }
    }
    report.findings.sort_by(|a, b| {
        (a.is_listed(), a.modal, std::cmp::Reverse(a.rank), a.place.start, &a.section, a.label, &a.thing).cmp(&(
            b.is_listed(),
            b.modal,
            std::cmp::Reverse(b.rank),
            b.place.start,
            &b.section,
            b.label,
            &b.thing,
        ))
    });
    report.waiting.sort_by_key(|waiting| (!waiting.mandatory, waiting.place.start));
    report
}

/// The verdicts that are told, each with its entry on the punch list.
fn made<'a>(inputs: &Inputs<'a>, judgement: &Judgement<'a>) -> Vec<Finding> {
    let Inputs { program, job, source, today, .. } = *inputs;
    let mut made = Vec::with_capacity(if inputs.all { judgement.judged.len() } else { 0 });
    for judged in &judgement.judged {
        let wanted = inputs.all && judged.verdict != Verdict::NotApplicable;
        if wanted || judged.verdict.is_finding() || matches!(judged.verdict, Verdict::Excepted(_) | Verdict::Excused(_)) {
            let why = if judged.verdict.is_finding() { explain(program, job, source, today, judged) } else { Explanation::default() };
            let mut one = finding(program, job, judged, why);
            if let Verdict::Excused(at) = judged.verdict {
                one.carried_by = judgement.granted.get(at).cloned().or(one.carried_by);
            }
            made.push(one);
        }
    }
    if let Some((list, key)) = &inputs.known {
        list.mark(key, &mut made, today);
    }
    made
}

/// Clauses of which no verdict but *not applicable* came out. They are about the job as a whole and stand at its first line.
fn idle(program: &Program, judgement: &Judgement) -> Vec<Finding> {
    let applied: BTreeSet<(usize, char)> = judgement
        .judged
        .iter()
        .filter(|judged| judged.verdict != Verdict::NotApplicable)
        .map(|judged| {
            let section = &program.sections[judged.section];
            (section.floor_of.unwrap_or(judged.section), section.norms[judged.norm].label)
        })
        .collect();
    let mut idle = Vec::new();
    for (number, section) in program.sections.iter().enumerate().filter(|(_, section)| section.floor_of.is_none()) {
        for norm in section.norms.iter().filter(|norm| !applied.contains(&(number, norm.label))) {
            let place = Span::new(FileId::JOB, 0, 0);
            idle.push(Finding { thing: "job".into(), key: "job".into(), ..clause_of(program, section, norm, place) });
        }
    }
    idle
}

/// Mandatory verdicts that the punch list covers, by rank.
fn listed(made: &[Finding]) -> Counts {
    let mut counts = Counts::default();
    for finding in made.iter().filter(|finding| finding.modal == Modal::Shall && finding.is_listed()) {
        counts[finding.rank] += 1;
    }
    counts
}

/// The title that a job gives itself.
pub fn title(program: &Program, job: &Job) -> String {
    use crate::datum::Datum;
    use crate::job::Fact;
    let field = program.definitions.first().and_then(|root| root.field("title"));
    let fact = field.and_then(|field| job.records.first().map(|root| &root.facts[field]));
    match fact {
        Some(Fact::Stated(stated)) => match &stated.datum {
            Datum::Text(text) => text.clone(),
            _ => String::new(),
        },
        _ => String::new(),
    }
}

/// A code and the days of its force.
fn in_force(code: &Code) -> String {
    let from = code.force.as_ref().and_then(|force| force.from).map(|day| format!("from {day}"));
    let before = code.force.as_ref().and_then(|force| force.before).map(|day| format!("before {day}"));
    let days: Vec<String> = from.into_iter().chain(before).collect();
    if days.is_empty() { code.name.clone() } else { format!("{} (in force {})", code.name, days.join(" and ")) }
}

/// Why nothing could be judged, in words.
pub fn unjudged(program: &Program, void: &Void) -> String {
    let named = |codes: &[usize], name: &dyn Fn(&Code) -> String| {
        codes.iter().filter_map(|code| program.codes.get(*code)).map(name).collect::<Vec<_>>().join(", ")
    };
    match void {
        Void::NotInForce(codes) => format!("not in force for this job: {}", named(codes, &in_force)),
        Void::Empty(codes) => format!("no section in {}, so it judges nothing", named(codes, &|code| code.name.clone())),
        Void::NoGate => "the job has no gate, so nothing has been shown".into(),
        Void::NothingApplies => "no mandatory clause applies to this job, so nothing has been shown".into(),
    }
}

/// Whether somebody named compared a clause with the printed text. Who reviewed a pack as a whole had no text of what is from memory.
pub fn is_reviewed(program: &Program, norm: &Norm) -> bool {
    let from_memory = norm.cites.iter().any(|cite| cite.from_memory);
    norm.reviewed || !from_memory && program.pack(&norm.pack).is_some_and(|pack| pack.reviewed.is_some())
}

impl JobReport<'_> {
    /// How many variances would excuse something, had somebody granted them who may.
    pub fn unfit_variances(&self) -> usize {
        self.notices.iter().filter(|slip| UNFIT.contains(&slip.name)).count()
    }

    /// The codes of which nobody knows whether they are in force, each with what is missing.
    pub fn codes_in_doubt(&self) -> Vec<String> {
        let mut doubts = Vec::new();
        for waiting in &self.waiting {
            let missing: Vec<String> = waiting.lacking.iter().map(|lacking| format!("{} of {}", lacking.name, lacking.thing)).collect();
            let codes = waiting.asked_by.iter().filter(|(asked, _)| asked.ends_with(IN_FORCE));
            doubts.extend(codes.map(|(asked, _)| format!("{asked} waits for {}", missing.join(", "))));
        }
        doubts
    }

    fn count(&mut self, program: &Program, judged: &Judged) {
        let section = &program.sections[judged.section];
        // Most verdicts are of the pack of the one before.
        let of_pack = |name: &str| section.id.strip_prefix(name).is_some_and(|rest| rest.is_empty() || rest.starts_with('/'));
        let at = self.counts.iter().rposition(|(name, _)| of_pack(name)).unwrap_or_else(|| {
            self.counts.push((section.id.split('/').next().unwrap_or("").to_string(), Counts::default()));
            self.counts.len() - 1
        });
        self.counts[at].1[judged.verdict.rank()] += 1;
        if judged.verdict == Verdict::NotApplicable {
            self.rests_on.freed += usize::from(judged.assumed);
            return;
        }
        let norm = &section.norms[judged.norm];
        let cites = &norm.cites;
        self.rests_on.unreviewed += usize::from(!is_reviewed(program, norm));
        self.rests_on.from_memory += usize::from(cites.iter().any(|cite| cite.from_memory));
        self.rests_on.practice += usize::from(cites.iter().any(|cite| program.sources[cite.source].standing == Standing::Practice));
        self.rests_on.assumed += usize::from(judged.assumed);
        self.rests_on.variance += usize::from(matches!(judged.verdict, Verdict::Excused(_)));
    }

    fn sort_in(&mut self, finding: &Finding) {
        match finding.rank {
            Rank::Open => self.wait(finding.clone()),
            Rank::Marginal | Rank::Unanswered | Rank::NotMet => self.findings.push(finding.clone()),
            Rank::Excepted | Rank::Excused => self.carried.push(finding.clone()),
            Rank::NotApplicable | Rank::Met => {}
        }
    }

    /// Nobody knows whether a code is in force: that is open by itself, whatever the clauses say.
    fn wait_for_code(&mut self, program: &Program, job: &Job, code: &str, doubt: &crate::judge::doubt::Doubt) {
        let lacking = crate::judge::explain::lacking(program, job, doubt);
        let place = lacking.first().map_or_else(|| job.records[0].span, |lacking| lacking.span);
        let asked = (format!("{code}{IN_FORCE}"), "job".to_string());
        match self.waiting.iter_mut().find(|waiting| waiting.lacking == lacking) {
            Some(waiting) => waiting.asked_by.insert(0, asked),
            None => {
                let (listed, listings) = (0, Vec::new());
                self.waiting.push(Waiting { lacking, asked_by: vec![asked], mandatory: true, listed, listings, place });
            }
        }
    }

    /// Open verdicts that wait for the same things are told once.
    fn wait(&mut self, finding: Finding) {
        let asked = (finding.clause_name(), finding.thing.clone());
        let at = self.waiting.iter().position(|waiting| waiting.lacking == finding.why.lacking).unwrap_or_else(|| {
            let (asked_by, listings, lacking) = (Vec::new(), Vec::new(), finding.why.lacking.clone());
            self.waiting.push(Waiting { lacking, asked_by, mandatory: false, listed: 0, listings, place: finding.place });
            self.waiting.len() - 1
        });
        let waiting = &mut self.waiting[at];
        waiting.asked_by.push(asked);
        waiting.mandatory |= finding.modal == Modal::Shall;
        waiting.listed += usize::from(finding.is_listed());
        if let Some(listing) = finding.listing.filter(|listing| !waiting.listings.contains(&listing.words)) {
            waiting.listings.push(listing.words);
        }
    }
}

/// One verdict, ready to show.
pub fn finding(program: &Program, job: &Job, judged: &Judged, why: Explanation) -> Finding {
    let section = &program.sections[judged.section];
    let clause = clause_of(program, section, &section.norms[judged.norm], main_place(program, job, judged, &why));
    let (thing, key) = binding_name_and_key(program, job, judged);
    Finding {
        verdict: judged.verdict.word(),
        rank: judged.verdict.rank(),
        thing,
        key,
        clause: why.reasons.first().map_or(clause.clause, |reason| reason.span),
        why,
        floor: judged.floor.clone(),
        minimum_too: judged.minimum_too.clone(),
        assumed: judged.assumed,
        carried_by: carried_by(section, &judged.verdict),
        ..clause
    }
}

/// What a finding says of its clause, whatever the verdict is; by itself, that it does not apply.
fn clause_of(program: &Program, section: &Section, norm: &Norm, place: Span) -> Finding {
    let from = norm.cites.iter().map(|cite| {
        let source = &program.sources[cite.source];
        Provenance { title: source.title.clone(), clause: cite.clause.clone(), standing: source.standing, from_memory: cite.from_memory }
    });
    let roots: Vec<String> = section.roots.iter().filter_map(|root| program.codes.get(*root)).map(|code| code.name.clone()).collect();
    Finding {
        verdict: Verdict::NotApplicable.word(),
        rank: Rank::NotApplicable,
        modal: norm.modal,
        section: section.id.clone(),
        label: norm.label,
        title: section.title.clone(),
        code: roots.join(", "),
        roots,
        thing: String::new(),
        key: String::new(),
        place,
        clause: norm.span,
        why: Explanation::default(),
        from: from.collect(),
        floor: None,
        minimum_too: None,
        amended_by: section.amended_by.clone(),
        assumed: false,
        carried_by: None,
        listing: None,
    }
}

fn carried_by(section: &Section, verdict: &Verdict) -> Option<String> {
    match verdict {
        Verdict::Excepted(at) => section.excepts.get(*at).map(|except| format!("exception ({}): {}", except.label, except.text)),
        Verdict::Excused(_) => Some("a variance granted for this job".into()),
        _ => None,
    }
}
