//! Counts in words: verdicts by pack, what they rest on, whether the job can be handed over. It must not know single
//! findings.

use super::ends::End;
use super::findings::{JobReport, RestsOn};
use crate::judge::rank::{Counts, Rank};
use std::fmt::Write;

/// Verdicts that need attention, in the order in which reports name them: what is known to be wrong before what is only not known.
pub const BY_URGENCY: [Rank; 4] = [Rank::NotMet, Rank::Unanswered, Rank::Marginal, Rank::Open];

/// The words that every report ends with.
pub const CAUTION: &str = "A check of what was written down against the packs named, not a certificate. Values marked `from memory` or \
`practice` must be confirmed; the local authority and licensed practice decide.";

/// Verdicts counted in words, from the worst to the mildest, without the ones that are nought.
pub fn counted(counts: &Counts) -> String {
    let some: Vec<String> = counts.worst_first().map(|(rank, count)| format!("{count} {}", rank.word())).collect();
    if some.is_empty() { "nothing judged".into() } else { some.join(", ") }
}

/// On what so many of the verdicts rest, in words; nothing where there is nothing to say.
pub fn rests(on: &RestsOn) -> String {
    let parts = [
        (on.from_memory, "a citation from memory"),
        (on.unreviewed, "a clause that nobody has reviewed"),
        (on.practice, "common practice"),
        (on.assumed, "an assumed value"),
        (on.variance, "a variance"),
        (on.freed, "not applicable only because a fact is not stated, and taken as none or as usual"),
    ];
    let told = parts.iter().filter(|(number, _)| *number > 0).map(|(number, what)| format!("{what}: {number}"));
    told.collect::<Vec<_>>().join("; ")
}

/// Whether the job can be handed over, and why not.
pub fn outcome(report: &JobReport) -> String {
    if let Some(why) = &report.unjudged {
        return format!("void, nothing was judged: {why}");
    }
    let mut why = Vec::new();
    let mut agreed = Vec::new();
    for rank in BY_URGENCY {
        let what = rank.word();
        let (all, listed) = (report.shall[rank], report.listed[rank]);
        if all > listed {
            why.push(format!("{} {what}", all - listed));
        }
        if listed > 0 {
            agreed.push(format!("{listed} {what}"));
        }
    }
    let slips = report.in_the_way;
    let of = if report.end() == End::Unfinished { "" } else { "mandatory verdicts: " };
    let mut short = if why.is_empty() { Vec::new() } else { vec![format!("{of}{}", why.join(", "))] };
    let doubts = report.codes_in_doubt().len();
    if doubts > 0 {
        short.push(format!("{doubts} code{} in doubt whether in force", if doubts == 1 { "" } else { "s" }));
    }
    if slips > 0 {
        short.insert(0, format!("{slips} slip{} to put right first", if slips == 1 { "" } else { "s" }));
    }
    if short.is_empty() {
        short.push("see the slips and notes above".into());
    }
    let short = short.join("; ");
    let mut text = match report.end() {
        End::Ready => carried(report.shall[Rank::Excepted], report.shall[Rank::Excused]),
        End::Agreed => "nothing mandatory fails but what was agreed to wait".into(),
        End::Unfinished => format!("so far nothing mandatory fails; still to be settled: {short}"),
        End::NotReady => format!("not ready: {short}"),
        End::NotJudged | End::Void => format!("could not be judged whole: {short}"),
    };
    if !agreed.is_empty() {
        let _ = write!(text, "; on the punch list: {}", agreed.join(", "));
    }
    let unfit = report.unfit_variances();
    if unfit > 0 {
        let (s, counts) = if unfit == 1 { ("", "counts") } else { ("s", "count") };
        let _ = write!(text, "; {unfit} variance{s} not granted by an authority of the code, which {counts} for nothing");
    }
    let advice = report.should.of_findings();
    if advice > 0 {
        let _ = write!(text, "; {advice} recommended verdict{} to look at", if advice == 1 { "" } else { "s" });
    }
    text
}

/// What there is to say where nothing mandatory fails: what is not met and carried all the same is no clause met.
fn carried(excepted: usize, excused: usize) -> String {
    let or_excepted = if excepted > 0 { " or excepted" } else { "" };
    let but = if excused > 0 { format!(", but for {excused} not met and excused by a variance") } else { String::new() };
    format!("every mandatory clause that applies is met{or_excepted}{but}")
}

/// Each code with edition, and each pack with hash and place, for the head of a report.
pub fn packs(report: &JobReport) -> Vec<String> {
    let codes: Vec<&str> = report.program.codes.iter().map(|code| code.name.as_str()).collect();
    let one = |name: &str| {
        let pack = report.program.pack(name)?;
        Some(format!("{name} {} [{}] from {}", pack.edition, pack.hash, pack.place))
    };
    let all: Vec<&String> = report.program.codes.iter().flat_map(|code| &code.packs).collect();
    let mut seen = Vec::new();
    for name in codes.into_iter().chain(all.into_iter().map(String::as_str)) {
        if !seen.contains(&name) {
            seen.push(name);
        }
    }
    seen.into_iter().filter_map(one).collect()
}
