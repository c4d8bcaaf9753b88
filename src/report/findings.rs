//! Makes ready what reports show of one judged job: findings with their reasons, open facts with what hangs on them, counts,
//! what the verdicts rest on. It must not know how it is drawn.

use crate::job::Job;
use crate::judge::explain::{Explanation, Lacking, explain, main_place};
use crate::judge::judge_section::binding_name;
use crate::judge::{Judged, Judgement, Verdict};
use crate::language::program::{Program, Section};
use crate::language::tree::{Modal, Standing};
use crate::slip::Slip;
use crate::source::{Files, Source, Span};
use jiff::civil::Date;

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
    pub rank: usize,
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
    /// What was judged.
    pub thing: String,
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
    /// Packs that amended the section.
    pub amended_by: Vec<String>,
    /// Whether an assumed value took part.
    pub assumed: bool,
    /// The exception or variance that carries it, in words.
    pub carried_by: Option<String>,
}

impl Finding {
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
    /// Verdicts in which an assumed value took part.
    pub assumed: usize,
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
    /// Findings but for the open ones, worst first.
    pub findings: Vec<Finding>,
    /// What is missing.
    pub waiting: Vec<Waiting>,
    /// Verdicts that are no findings and are told all the same: excepted and excused.
    pub carried: Vec<Finding>,
    /// Every verdict but *not applicable*, in the order of the codes; only where a report asks for all.
    pub all: Vec<Finding>,
    /// Counts of verdicts by pack and rank; the first element is the pack.
    pub counts: Vec<(String, [usize; 8])>,
    /// Counts of mandatory verdicts by rank.
    pub shall: [usize; 8],
    /// Counts of recommended verdicts by rank.
    pub should: [usize; 8],
    /// What they rest on.
    pub rests_on: RestsOn,
    /// What is told and changes no verdict.
    pub notices: Vec<Slip>,
    /// The exit code that the job asks for.
    pub exit: u8,
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
}

/// Makes the report of a judged job.
pub fn report<'a>(inputs: &Inputs<'a>, judgement: &Judgement<'a>) -> JobReport<'a> {
    let Inputs { program, job, source, today, .. } = *inputs;
    let (shall, should) = judgement.counts(program);
    let exit = judgement.exit_code(program, inputs.unfinished);
    let mut report = JobReport {
        files: Files { packs: &program.files, job: Some(source) },
        program,
        title: title(program, job),
        findings: Vec::new(),
        waiting: Vec::new(),
        carried: Vec::new(),
        all: Vec::new(),
        counts: Vec::new(),
        shall,
        should,
        rests_on: RestsOn { judged_as_read: job.judged_as_read, ..RestsOn::default() },
        notices: judgement.notices.iter().chain(&program.notices).cloned().collect(),
        exit: if job.slips.iter().any(|slip| !slip.harmless) { 2 } else { exit },
        unjudged: unjudged(program, judgement, &shall),
    };
    for judged in &judgement.judged {
        report.count(program, judged);
        let wanted = inputs.all && judged.verdict != Verdict::NotApplicable;
        if wanted || judged.verdict.is_finding() || matches!(judged.verdict, Verdict::Excepted(_) | Verdict::Excused(_)) {
            let why = if judged.verdict.is_finding() { explain(program, job, source, today, judged) } else { Explanation::default() };
            let finding = finding(program, job, judged, why);
            report.sort_in(finding, inputs.all);
        }
    }
    for (code, truth) in program.codes.iter().zip(&judgement.codes) {
        if let crate::judge::doubt::Truth::Doubtful(doubt) = truth {
            report.wait_for_code(program, job, &code.name, doubt);
        }
    }
    report.findings.sort_by(|a, b| {
        (a.modal, std::cmp::Reverse(a.rank), a.place.start, &a.section, a.label, &a.thing).cmp(&(
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

fn unjudged(program: &Program, judgement: &Judgement, shall: &[usize; 8]) -> Option<String> {
    use crate::judge::doubt::Truth;
    let out: Vec<&str> =
        program.codes.iter().zip(&judgement.codes).filter(|(_, truth)| **truth == Truth::No).map(|(code, _)| code.name.as_str()).collect();
    if !out.is_empty() {
        return Some(format!("not in force for this job: {}; its dates say when it applies", out.join(", ")));
    }
    (shall[1..].iter().sum::<usize>() == 0).then(|| "no mandatory clause applies to this job, so nothing has been shown".to_string())
}

impl JobReport<'_> {
    fn count(&mut self, program: &Program, judged: &Judged) {
        let section = &program.sections[judged.section];
        let pack = section.id.split('/').next().unwrap_or("").to_string();
        let at = self.counts.iter().position(|(name, _)| *name == pack).unwrap_or_else(|| {
            self.counts.push((pack, [0; 8]));
            self.counts.len() - 1
        });
        self.counts[at].1[judged.verdict.rank()] += 1;
        if judged.verdict == Verdict::NotApplicable {
            return;
        }
        let cites = &section.norms[judged.norm].cites;
        self.rests_on.from_memory += usize::from(cites.iter().any(|cite| cite.from_memory));
        self.rests_on.practice += usize::from(cites.iter().any(|cite| program.sources[cite.source].standing == Standing::Practice));
        self.rests_on.assumed += usize::from(judged.assumed);
        self.rests_on.variance += usize::from(matches!(judged.verdict, Verdict::Excused(_)));
    }

    fn sort_in(&mut self, finding: Finding, all: bool) {
        if all {
            self.all.push(finding.clone());
        }
        match finding.rank {
            5 => self.wait(finding),
            4.. => self.findings.push(finding),
            2 | 3 => self.carried.push(finding),
            _ => {}
        }
    }

    /// Nobody knows whether a code is in force: that is open by itself, whatever the clauses say.
    fn wait_for_code(&mut self, program: &Program, job: &Job, code: &str, doubt: &crate::judge::doubt::Doubt) {
        let lacking = crate::judge::explain::lacking(program, job, doubt);
        let place = lacking.first().map_or_else(|| job.records[0].span, |lacking| lacking.span);
        let asked = (format!("{code} (in force)"), "job".to_string());
        match self.waiting.iter_mut().find(|waiting| waiting.lacking == lacking) {
            Some(waiting) => waiting.asked_by.insert(0, asked),
            None => self.waiting.push(Waiting { lacking, asked_by: vec![asked], mandatory: true, place }),
        }
    }

    /// Open verdicts that wait for the same things are told once.
    fn wait(&mut self, finding: Finding) {
        let asked = (finding.clause_name(), finding.thing.clone());
        let mandatory = finding.modal == Modal::Shall;
        match self.waiting.iter_mut().find(|waiting| waiting.lacking == finding.why.lacking) {
            Some(waiting) => {
                waiting.asked_by.push(asked);
                waiting.mandatory |= mandatory;
            }
            None => self.waiting.push(Waiting { lacking: finding.why.lacking, asked_by: vec![asked], mandatory, place: finding.place }),
        }
    }
}

/// One verdict, ready to show.
pub fn finding(program: &Program, job: &Job, judged: &Judged, why: Explanation) -> Finding {
    let section = &program.sections[judged.section];
    let norm = &section.norms[judged.norm];
    let from = norm.cites.iter().map(|cite| {
        let source = &program.sources[cite.source];
        Provenance { title: source.title.clone(), clause: cite.clause.clone(), standing: source.standing, from_memory: cite.from_memory }
    });
    Finding {
        verdict: judged.verdict.word(),
        rank: judged.verdict.rank(),
        modal: norm.modal,
        section: section.id.clone(),
        label: norm.label,
        title: section.title.clone(),
        code: section
            .roots
            .iter()
            .filter_map(|root| program.codes.get(*root))
            .map(|code| code.name.as_str())
            .collect::<Vec<_>>()
            .join(", "),
        thing: binding_name(program, job, judged),
        place: main_place(program, job, judged, &why),
        clause: why.reasons.first().map_or(norm.span, |reason| reason.span),
        why,
        from: from.collect(),
        floor: judged.floor.clone(),
        amended_by: section.amended_by.clone(),
        assumed: judged.assumed,
        carried_by: carried_by(section, &judged.verdict),
    }
}

fn carried_by(section: &Section, verdict: &Verdict) -> Option<String> {
    match verdict {
        Verdict::Excepted(at) => section.excepts.get(*at).map(|except| format!("exception ({}): {}", except.label, except.text)),
        Verdict::Excused(_) => Some("a variance granted for this job".into()),
        _ => None,
    }
}
