//! Fills forms in with values by chance: whatever they are, no verdict waits for something that the form did not ask for; and what it asks
//! for, some section reads.

use super::{CODES, KINDS, TODAY, compiled, form_of};
use pintle::command::workbench::{judge_job, records};
use pintle::datum::Kind;
use pintle::envelope::concern::sections_concerned;
use pintle::job::yaml::read_yaml;
use pintle::judge::Verdict;
use pintle::judge::explain::lacking;
use pintle::language::program::{JOB, Program, TakenAs};
use pintle::quantity::Units;
use pintle::source::Source;
use pintle::survey::answer::samples;
use pintle::survey::{Form, Part};
use std::fmt::Write;

/// The same choices on every machine.
pub struct Chance(u64);

impl Chance {
    pub fn new(seed: u64) -> Chance {
        Chance(seed ^ 0x9e37_79b9_7f4a_7c15)
    }

    /// A number below `n`.
    pub fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % n.max(1) as u64).unwrap()
    }
}

/// A value of a kind, as a job file would state it.
fn value(program: &Program, kind: &Kind, chance: &mut Chance) -> String {
    let number = |chance: &mut Chance| format!("{}", [0, 1, 3, 10, 16, 40, 120][chance.below(7)]);
    match kind {
        Kind::YesNo => ["yes", "no"][chance.below(2)].into(),
        Kind::Count => number(chance),
        Kind::Measure(dimension) => {
            let sample = samples(*dimension, Units::AsWritten).first().cloned().unwrap_or_default();
            let unit = sample.rsplit(' ').next().unwrap_or("").to_string();
            format!("{} {unit}", number(chance))
        }
        Kind::Temperature => "30 °C".into(),
        Kind::Date => format!("{}-{:02}-11", 1999 + chance.below(28), 1 + chance.below(12)),
        Kind::Period => "6 months".into(),
        Kind::Word(list) => {
            let words: Vec<&str> = program.lists.texts(*list).collect();
            words[chance.below(words.len())].into()
        }
        Kind::WordSet(list) => {
            let words: Vec<&str> = program.lists.texts(*list).filter(|_| chance.below(2) == 0).collect();
            if words.is_empty() { "none".into() } else { format!("[{}]", words.join(", ")) }
        }
        Kind::Text => ["beam-1", "edge-1", "leaf-1", "supply-1", "run-1", "Q-11"][chance.below(6)].into(),
        Kind::TextList => "[Q-11, Q-12]".into(),
        Kind::Range(dimension) => {
            let sample = samples(*dimension, Units::AsWritten).first().cloned().unwrap_or_default();
            let unit = sample.rsplit(' ').next().unwrap_or("").to_string();
            format!("{} {unit} to 200 {unit}", number(chance))
        }
        Kind::Wire => ["18 AWG", "12 AWG", "2.5 mm²"][chance.below(3)].into(),
        Kind::Point | Kind::Points | Kind::Recording(_) | Kind::Thing(_) => "none".into(),
    }
}

/// The form with an answer to every question.
fn filled(program: &Program, form: &Form, chance: &mut Chance) -> String {
    let mut text = String::new();
    part(&mut text, program, &form.job, 0, chance);
    text
}

fn facts(text: &mut String, program: &Program, part: &Part, indent: usize, chance: &mut Chance) {
    for question in &part.questions {
        let field = &program.definition(part.def).fields[question.field];
        let answer = match (&question.given, &field.taken) {
            (Some(given), _) => given.clone(),
            (None, Some(TakenAs::Nothing)) if chance.below(4) == 0 => "none".into(),
            (None, Some(TakenAs::Value(_))) if chance.below(4) == 0 => continue,
            _ => value(program, &field.kind, chance),
        };
        let _ = writeln!(text, "{}{}: {answer}", " ".repeat(indent), field.name);
    }
}

fn part(text: &mut String, program: &Program, of: &Part, indent: usize, chance: &mut Chance) {
    let definition = program.definition(of.def);
    let blanks = " ".repeat(indent);
    let inner = match (definition.parent.is_some(), definition.single) {
        (false, _) => indent,
        (true, true) => indent + 2,
        (true, false) => indent + 4,
    };
    let many = match (definition.parent.is_some(), of.number.is_some(), definition.single) {
        (false, ..) | (_, false, _) => 1,
        (_, _, true) => usize::from(chance.below(4) > 0),
        _ => chance.below(4),
    };
    if definition.parent.is_some() {
        let _ = writeln!(text, "{blanks}{}:{}", definition.key, if many == 0 { " none" } else { "" });
    }
    for at in 1..=many {
        let before = text.len();
        if definition.parent.is_some() && !definition.single {
            let _ = writeln!(text, "{blanks}  - id: {}-{at}", definition.name);
        }
        facts(text, program, of, inner, chance);
        for below in &of.parts {
            part(text, program, below, inner, chance);
        }
        // Of a single record of which nothing was written, there is none.
        if definition.single && definition.parent.is_some() && text.len() == before {
            let end = text.len() - 1;
            text.replace_range(end.., " none\n");
        }
    }
}

#[test]
fn whatever_the_answers_nothing_waits_for_what_was_not_asked() {
    let rounds = std::env::var("PINTLE_ROUNDS").ok().and_then(|rounds| rounds.parse().ok()).unwrap_or(12);
    let mut judged = 0;
    for codes in CODES {
        let packs = compiled(codes);
        let program = packs.program.as_ref().expect("packs");
        for kind in KINDS {
            for drawn in [false, true] {
                let form = form_of(program, kind, drawn);
                for seed in 1..=rounds {
                    let text = filled(program, &form, &mut Chance::new(seed));
                    judged += suffices(program, &text, &format!("{kind} {codes:?} drawn {drawn} seed {seed}"));
                }
            }
        }
    }
    assert!(judged > 10_000, "{judged}");
}

/// Judges a form that is filled in; the result is how many verdicts there were.
fn suffices(program: &Program, text: &str, which: &str) -> usize {
    let source = Source::new("form.yaml", text);
    let (yaml, slips) = read_yaml(&source);
    assert!(slips.is_empty(), "{which}: {slips:?}\n{text}");
    let mut job = records(&yaml, &source, program);
    // Ids are filled in by chance as well: what leads nowhere is told, and is no fault of the form.
    let mut others = job.slips.iter().filter(|slip| slip.name != "no-such-id");
    assert!(others.next().is_none(), "{which}: {:?}\n{text}", job.slips);
    judge_job(program, &mut job, &source, TODAY, |program, job, judgement| {
        for one in &judgement.judged {
            let Verdict::Open(doubt) = &one.verdict else { continue };
            let missing: Vec<String> =
                lacking(program, job, doubt).into_iter().map(|lacking| format!("{} of {}", lacking.name, lacking.thing)).collect();
            panic!("{which}: {} waits for {missing:?}\n{text}", program.sections[one.section].id);
        }
        judgement.judged.len()
    })
}

#[test]
fn what_is_asked_is_read_by_a_section() {
    for codes in CODES {
        let packs = compiled(codes);
        let program = packs.program.as_ref().expect("packs");
        for kind in KINDS {
            let form = form_of(program, kind, false);
            for (part, question) in form.parts().into_iter().flat_map(|part| part.questions.iter().map(move |question| (part, question))) {
                let field = &program.definition(part.def).fields[question.field];
                let by_itself = question.given.is_some() || field.gives_tolerance || part.def == JOB && field.name == "title";
                let followed = program.derivations.iter().any(|derivation| form.asks(derivation.def, derivation.field));
                let read = !sections_concerned(program, &[], &[(part.def, question.field)]).is_empty();
                // What the papers show is marked so, and nothing else may go unread.
                let papers = question.askers == [pintle::survey::needs::Asker::Papers];
                assert!(
                    papers || by_itself || read || followed && matches!(field.kind, Kind::Recording(_)),
                    "{kind} {codes:?} {}",
                    field.name
                );
                assert!(by_itself && question.askers.is_empty() || !question.askers.is_empty(), "{kind} {codes:?} {}", field.name);
            }
        }
    }
}

#[test]
fn a_kind_of_gate_is_not_asked_what_only_others_have() {
    // After the sections of us-gates on each kind: a slide gate has a covered fence and rollers, a swing gate hinges with a pivot near a
    // wall, an arm a path.
    let packs = compiled(&["us-gates"]);
    let program = packs.program.as_ref().expect("packs");
    let asks = |kind: &str, def: &str, field: &str| {
        let def = program.definition_named(def).expect("a definition");
        let field = program.definition(def).field(field).expect("a fact");
        form_of(program, kind, false).asks(def, field)
    };
    assert!(asks("swing", "leaf", "pivot-to-object") && !asks("horizontal-slide", "leaf", "pivot-to-object"));
    assert!(asks("horizontal-slide", "receiver", "guides-in") && !asks("swing", "receiver", "guides-in"));
    assert!(asks("barrier-arm", "leaf", "arm-to-object") && !asks("swing", "leaf", "arm-to-object"));
    assert!(!asks("barrier-arm", "covered-fence", "widest-gap") && asks("horizontal-slide", "covered-fence", "widest-gap"));
}
