//! `pintle effect`: judges jobs by two sides and tells what differs between the sides and in the verdicts. It must not know how
//! verdicts come about or how a report looks.

use super::choose::choose;
use super::gather::{Target, gather};
use super::sink::{deliver, refused};
use super::workbench::{Read, Workbench, judge_job, read_file, records};
use super::{complain, guarded, tell};
use crate::datum::Datum;
use crate::job::yaml::{Yaml, read_yaml};
use crate::job::{Fact, Job, RecordId, Stated};
use crate::judge::judge_section::binding_name;
use crate::judge::rank::{Counts, Rank};
use crate::judge::void::Void;
use crate::judge::{Judged, Judgement};
use crate::language::adopt::{Adopted, adopt};
use crate::language::change::{Side, changes};
use crate::language::check::{Wanted, compile};
use crate::language::library::{Library, Shelf};
use crate::language::program::{Expr, JOB, Op, Program};
use crate::language::tree::Modal;
use crate::report::effect::{Effect, Given, JobEffect, SideInfo, VerdictChange};
use crate::report::findings::unjudged;
use crate::report::{escape, slips};
use crate::slip::Slip;
use crate::source::{Files, Source};
use clap::{Args, ValueEnum};
use jiff::civil::Date;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "Examples:
  pintle effect --from field-practice --to examples/rules/hasp-county.rules examples/jobs
  pintle effect --from 2023/us-gates --to 2026/us-gates jobs/ --as html --out effect.html
  pintle effect --from us-gates,field-practice --to us-gates jobs/ --as lines
  pintle effect --from us-gates --to ordinances/clasp-town.rules jobs/ --permit 2026-06-01    (older jobs, as if permitted then)

The codes that the jobs name count for nothing here: each side stands in their place.

Exit codes:
  0  no mandatory verdict becomes one that asks for something to be done
  1  a mandatory verdict becomes not met, marginal, open or unanswered, and was better before
  2  a side has slips, or a job could not be judged by each side: it has slips, or a side is not in force for it";

/// Options of `pintle effect`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// The packs that are in force now: names or paths, with commas between them
    #[arg(long, required = true, value_name = "PACKS", value_delimiter = ',')]
    from: Vec<PathBuf>,
    /// The packs that are to be in force
    #[arg(long, required = true, value_name = "PACKS", value_delimiter = ',')]
    to: Vec<PathBuf>,
    /// Job files, or folders of them
    #[arg(required = true, value_name = "JOBS")]
    jobs: Vec<PathBuf>,
    /// A pack, or a folder of packs, to look in first (may be repeated)
    #[arg(long, value_name = "PLACE")]
    packs: Vec<PathBuf>,
    /// How to report
    #[arg(long = "as", value_enum, default_value = "text", value_name = "VIEW")]
    view: View,
    /// Write the report to a file; it is complete or not there at all
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// The day of judging, as year-month-day; without it, today
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    today: Option<Date>,
    /// Judge each job as if its permit were of this day, so that a code which counts from the permit on is tried on older jobs
    #[arg(long, value_name = "DAY", value_parser = super::day)]
    permit: Option<Date>,
}

/// How to report.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum View {
    /// Plain text
    Text,
    /// One JSON object a line; `pintle schema effect` describes it
    Lines,
    /// One HTML file, to read or to print
    Html,
}

/// A side, compiled, with the texts that it was made of.
struct Compiled {
    library: Library,
    program: Program,
    codes: Vec<Adopted>,
    floors: Vec<Adopted>,
}

/// Runs the command; the result is the exit code.
pub fn run(options: &Options) -> u8 {
    let inputs: Vec<&PathBuf> = options.jobs.iter().chain(&options.from).chain(&options.to).collect();
    if let Some(why) = refused(&inputs, &options.packs, options.out.as_deref()) {
        return complain(&why);
    }
    let bench = Workbench::new(options.packs.clone());
    let (Some(from), Some(to)) = (side(&bench, &options.from), side(&bench, &options.to)) else { return 2 };
    let gathered = gather(&options.jobs, &[]);
    let mut exit = 0;
    for (path, why) in &gathered.unreadable {
        exit = complain(&format!("{}: {why}", escape::path(path)));
    }
    let days = Days { today: super::today(options.today), permit: options.permit };
    let paths: Vec<(&Path, bool)> = gathered
        .targets
        .iter()
        .filter_map(|target| match target {
            Target::Job(path, named) => Some((path.as_path(), *named)),
            Target::Pack(_) => None,
        })
        .collect();
    let jobs: Vec<JobEffect> = paths.par_iter().filter_map(|(path, named)| safely(&bench, (path, *named), &from, &to, days)).collect();
    if jobs.is_empty() {
        exit = complain("no job found; jobs are .yaml files");
    }
    let info = |side: &Compiled| SideInfo {
        codes: side.program.codes.iter().map(|code| code.name.clone()).collect(),
        packs: side.program.packs.clone(),
    };
    let permit = days.permit.map(|day| day.to_string());
    let changes = changes(from.texts(), to.texts());
    let mut effect = Effect { today: days.today.to_string(), permit, from: info(&from), to: info(&to), changes, jobs };
    effect.sort();
    let text = match options.view {
        View::Text => effect.text(),
        View::Lines => effect.lines(),
        View::Html => effect.document().html(),
    };
    exit.max(effect.exit()).max(deliver(&text, options.out.as_deref()))
}

/// The day of judging, and the day that each permit is taken to be of.
#[derive(Clone, Copy)]
struct Days {
    today: Date,
    permit: Option<Date>,
}

/// Compiles a side; nothing where it has slips, which are told.
fn side(bench: &Workbench, places: &[PathBuf]) -> Option<Compiled> {
    let (mut named, mut rest, mut wanted) = (Vec::new(), Vec::new(), Vec::new());
    for place in places {
        match choose(bench, place) {
            // Each pack that was named by its path goes before every place where packs are only looked for.
            Ok(chosen) => {
                let (packs, others): (Vec<Shelf>, Vec<Shelf>) =
                    chosen.shelves.into_iter().partition(|shelf| matches!(shelf, Shelf::Pack(_)));
                named.extend(packs);
                rest.extend(others);
                wanted.push(Wanted { name: chosen.name, span: None });
            }
            Err(why) => {
                complain(&why);
                return None;
            }
        }
    }
    named.extend(rest.into_iter().fold(Vec::new(), |mut seen: Vec<Shelf>, shelf| {
        if !seen.contains(&shelf) {
            seen.push(shelf);
        }
        seen
    }));
    let mut library = Library::new(named);
    let (program, told) = compile(&mut library, &wanted);
    let notices = program.as_ref().map_or(&[][..], |program| program.notices.as_slice());
    let files = Files { packs: &library.sources, job: None };
    // That another text of a pack stands elsewhere is what this command is for; the report names the places.
    tell(told.iter().chain(notices).filter(|slip| !(slip.harmless && slip.name == "two-texts")), files);
    let program = program?;
    let mut quiet = Vec::new();
    let codes: Vec<Adopted> = wanted.iter().filter_map(|code| adopt(&mut library, &code.name, &mut quiet)).collect();
    let minimums: Vec<String> = codes.iter().flat_map(|code| code.minimums.clone()).collect();
    let floors = minimums.iter().filter_map(|name| adopt(&mut library, name, &mut quiet)).collect();
    Some(Compiled { library, program, codes, floors })
}

impl Compiled {
    fn texts(&self) -> Side<'_> {
        Side { codes: &self.codes, floors: &self.floors, files: &self.library.sources }
    }
}

/// Section, clause, thing, and a number where one thing is judged more than once under that name.
pub(super) type Key = (String, char, String, usize);

/// What one side says of a job.
pub(super) struct Said {
    /// Its verdicts with their weight.
    pub(super) verdicts: BTreeMap<Key, (Modal, Given)>,
    /// The exit code of a check.
    pub(super) exit: u8,
    /// Why it could not be judged whole.
    why: Option<String>,
    /// Whether none of its verdicts stands for anything, since the code is not in force for the job or holds no section.
    is_void: bool,
}

/// A fault of ours in one job must not hide the others.
fn safely(bench: &Workbench, (path, named): (&Path, bool), from: &Compiled, to: &Compiled, days: Days) -> Option<JobEffect> {
    guarded("", || job_effect(bench, (path, named), from, to, days)).unwrap_or_else(|fault| {
        let why = Some(fault.trim_start_matches(": ").to_string());
        Some(JobEffect { file: escape::path(path), verdicts: Vec::new(), exits: (3, 3), unjudged: why, why: (None, None) })
    })
}

/// Judges a job by both sides; nothing where the file holds no job and was not named.
fn job_effect(bench: &Workbench, (path, named): (&Path, bool), from: &Compiled, to: &Compiled, days: Days) -> Option<JobEffect> {
    let file = escape::path(path);
    let failed =
        |why: String| Some(JobEffect { file: file.clone(), verdicts: Vec::new(), exits: (2, 2), unjudged: Some(why), why: (None, None) });
    let source = match read_file(path) {
        Ok(source) => source,
        Err(why) => return failed(why),
    };
    let (yaml, slips) = read_yaml(&source);
    let holds_job =
        yaml.root().is_some_and(|root| ["title", "codes", "gates", "permit-date"].iter().any(|key| yaml.get(root, key).is_some()));
    if !holds_job && !named {
        return None;
    }
    let (mut old, mut new) = (Reading::of(from, &source, &yaml, &slips), Reading::of(to, &source, &yaml, &slips));
    if let Some(day) = days.permit {
        old.permit(from, day);
        new.permit(to, day);
    }
    let mut lists = vec![old.job.slips.clone(), new.job.slips.clone()];
    // The packs that the job itself names know what it states, wherever they are found.
    if let Read::Job(_, own) = bench.read(&source, bench.shelves_for(path.parent().unwrap_or(Path::new(""))), named) {
        lists.push(own.slips);
    }
    old.pardon(&lists);
    new.pardon(&lists);
    match (old.said(from, &source, days.today), new.said(to, &source, days.today)) {
        // What a code that is not in force says no longer is no change for the better; and where neither is in force, that nothing changes
        // must not be read as no harm.
        (Ok(old), Ok(new)) if new.is_void => {
            // Most often the ordinance is new and the job is older: there is a way to try it all the same.
            let by_permit = to.program.codes.iter().any(|code| code.force.as_ref().is_some_and(|force| is_permit(&to.program, &force.by)));
            let do_this = match days.permit {
                None if by_permit => "; add `--permit DAY` to judge each job as if its permit were of that day",
                _ => "",
            };
            let sides = if old.is_void { "by neither side" } else { "by the packs it goes to" };
            let why = new.why.map(|why| format!("{sides}: {why}{do_this}"));
            Some(JobEffect { file, verdicts: Vec::new(), exits: (old.exit, new.exit), unjudged: why, why: (None, None) })
        }
        (Ok(old), Ok(new)) => Some(JobEffect {
            file,
            verdicts: differences(&old.verdicts, &new.verdicts),
            exits: (old.exit, new.exit),
            unjudged: None,
            why: (old.why, new.why),
        }),
        (Err(why), _) => failed(format!("by the packs it comes from: {why}")),
        (_, Err(why)) => failed(format!("by the packs it goes to: {why}")),
    }
}

/// The fact of a job that says of which day its permit is.
const PERMIT_DATE: &str = "permit-date";

/// Whether a day that decides is that of the permit.
fn is_permit(program: &Program, by: &Expr) -> bool {
    matches!(&by.op, Op::Fact(path, field) if path.def == JOB && program.definition(JOB).fields[*field].name == PERMIT_DATE)
}

/// A job as the vocabulary of one side reads it.
struct Reading {
    job: Job,
}

impl Reading {
    fn of(side: &Compiled, source: &Source, yaml: &Yaml, slips: &[Slip]) -> Reading {
        let mut job = records(yaml, source, &side.program);
        job.slips.extend_from_slice(slips);
        Reading { job }
    }

    /// Takes the permit to be of another day than the job says.
    fn permit(&mut self, side: &Compiled, day: Date) {
        let root = &mut self.job.records[RecordId::ROOT.0 as usize];
        if let Some(at) = side.program.definition(root.def).field(PERMIT_DATE) {
            let days = crate::quantity::Days::day(day);
            root.facts[at] = Fact::Stated(Box::new(Stated::plain(Datum::Days(days), root.span)));
        }
    }

    /// A fact that the other side knows, or the job's own codes, is no slip of the job.
    fn pardon(&mut self, lists: &[Vec<Slip>]) {
        let told = |slip: &Slip, list: &[Slip]| list.iter().any(|other| other.name == slip.name && other.span == slip.span);
        for slip in self.job.slips.iter_mut().filter(|slip| slip.name == "unknown-key") {
            slip.harmless |= lists.iter().any(|list| !told(slip, list));
        }
    }

    /// The verdicts by one side, or the first slip that keeps the job from being judged.
    fn said(mut self, side: &Compiled, source: &Source, today: Date) -> Result<Said, String> {
        let files = Files { packs: &side.library.sources, job: Some(source) };
        if let Some(slip) = self.job.slips.iter().find(|slip| !slip.harmless) {
            return Err(slips::sentence(slip, files).trim_end().to_string());
        }
        judge_job(&side.program, &mut self.job, source, today, |program, job, judgement| Ok(verdicts(program, job, judgement)))
    }
}

/// The verdicts of a judged job by section, clause and thing.
pub(super) fn verdicts(program: &Program, job: &Job, judgement: &Judgement) -> Said {
    let mut all = BTreeMap::new();
    let mut times: BTreeMap<(String, char, String), usize> = BTreeMap::new();
    for judged in &judgement.judged {
        let Judged { section, norm, verdict, .. } = judged;
        let (section, norm) = (&program.sections[*section], &program.sections[*section].norms[*norm]);
        let name = (section.id.clone(), norm.label, binding_name(program, job, judged));
        let time = times.entry(name.clone()).or_insert(0);
        all.insert((name.0, name.1, name.2, *time), (norm.modal, Given { word: verdict.word(), rank: verdict.rank() }));
        *time += 1;
    }
    let exit = judgement.exit_code(program, job, false, &Counts::default());
    let void = judgement.void(program, job);
    let unanswered = judgement.counts(program).0[Rank::Unanswered];
    let why = match &void {
        Some(void) => Some(unjudged(program, void)),
        None => {
            (exit == 2).then(|| format!("{unanswered} mandatory {} unanswered", if unanswered == 1 { "clause is" } else { "clauses are" }))
        }
    };
    Said { verdicts: all, exit, why, is_void: matches!(void, Some(Void::NotInForce(_) | Void::Empty(_))) }
}

/// The verdicts that are others. What was not asked and is not applicable, or the other way round, is no change.
pub(super) fn differences(old: &BTreeMap<Key, (Modal, Given)>, new: &BTreeMap<Key, (Modal, Given)>) -> Vec<VerdictChange> {
    let mut found = Vec::new();
    let mut keys: Vec<&Key> = old.keys().chain(new.keys()).collect();
    keys.sort();
    keys.dedup();
    for key in keys {
        let (was, is) = (old.get(key), new.get(key));
        let Some((modal, _)) = is.or(was) else { continue };
        let (was, is) = (was.map(|(_, given)| *given), is.map(|(_, given)| *given));
        let idle = |given: Option<Given>| given.is_none_or(|given| given.rank == Rank::NotApplicable);
        if was == is || idle(was) && idle(is) {
            continue;
        }
        let (section, clause, thing, _) = key;
        found.push(VerdictChange { section: section.clone(), clause: *clause, modal: *modal, thing: thing.clone(), from: was, to: is });
    }
    found
}
