//! The envelopes of a job's measures as text: a table a device, what sets each end, what is open, what falls short whatever the
//! measure is. It must not know how an envelope is found.

use super::escape::visible;
use super::excerpt::{beside, place_text, under};
use crate::envelope::Envelope;
use crate::envelope::clause::{Clause, same};
use crate::envelope::ends::{End, Range, text};
use crate::envelope::measure::Today;
use crate::envelope::trial::{Axis, Label};
use crate::language::tree::Modal;
use crate::quantity::unit::UnitKind;
use crate::quantity::{Exact, show};
use crate::slip::first_few;
use crate::source::Files;
use std::fmt::Write;

/// Headings of the table.
const HEADINGS: [&str; 4] = ["measure", "today", "permitted", "today's value"];
/// Most clauses named for one end.
const MOST_NAMED: usize = 4;
/// Most things named for one clause.
const MOST_THINGS: usize = 3;

/// Envelopes that were asked for together.
pub struct EnvelopeReport<'a> {
    /// The job file and the packs.
    pub files: Files<'a>,
    /// The job's title.
    pub title: String,
    /// The envelopes, those of one device beside each other.
    pub envelopes: Vec<Envelope>,
    /// Whether measures that nothing limits are left out.
    pub brief: bool,
}

impl EnvelopeReport<'_> {
    /// The envelopes that something in force limits.
    pub fn limited(&self) -> impl Iterator<Item = &Envelope> {
        self.envelopes.iter().filter(|envelope| !envelope.is_free())
    }

    /// The exit code: 0 where every value of today lies inside, 1 where one does not or is not stated, 2 where nothing limits any
    /// measure or one cannot be answered. Recommended clauses do not count.
    pub fn exit(&self) -> u8 {
        let of = |envelope: &Envelope| match &envelope.today {
            Some(today) if today.mandatory == Label::Good => 0,
            Some(today) if today.short.iter().any(|clause| clause.verdict == "unanswered" && clause.modal == Modal::Shall) => 2,
            _ => 1,
        };
        self.limited().map(of).max().unwrap_or(2)
    }

    /// Other measures that were asked for and hang together with one: a clause depends on both.
    pub fn bound_with(&self, envelope: &Envelope) -> Vec<String> {
        let other = |it: &&Envelope| (&it.thing, &it.name) != (&envelope.thing, &envelope.name);
        let shared = self.limited().filter(other).filter(|it| !it.depends.is_disjoint(&envelope.depends));
        let name = |it: &Envelope| if it.thing == envelope.thing { it.name.clone() } else { format!("{} of {}", it.name, it.thing) };
        shared.map(name).collect()
    }
}

/// The report.
pub fn report(report: &EnvelopeReport) -> String {
    let name = report.files.job.map_or("", |job| job.name());
    let title = if report.title.is_empty() { String::new() } else { format!(" — {}", visible(&report.title)) };
    let mut out = format!("{}{title}\n", visible(name));
    let mut rest: &[Envelope] = &report.envelopes;
    while let Some(first) = rest.first() {
        let size = rest.iter().take_while(|it| it.thing == first.thing).count();
        device(report, &rest[..size], &mut out);
        rest = &rest[size..];
    }
    let _ = writeln!(out, "\n{}", under("outcome", &outcome(report)).trim_end());
    out
}

fn outcome(report: &EnvelopeReport) -> String {
    let asked = report.limited().count();
    let count = |wanted: fn(Option<&Today>) -> bool| report.limited().filter(|it| wanted(it.today.as_ref())).count();
    let outside = count(|today| today.is_some_and(|today| today.label == Label::Bad));
    let waiting = count(|today| today.is_some_and(|today| today.label == Label::Waiting));
    let unstated = count(|today| today.is_none());
    if asked == 0 {
        return "no clause in force depends on any measure that was asked for".into();
    }
    let mut parts = vec![format!("{} of {asked} inside", asked - outside - waiting - unstated)];
    for (number, words) in [(outside, "outside"), (waiting, "open"), (unstated, "not stated")] {
        if number > 0 {
            parts.push(format!("{number} {words}"));
        }
    }
    parts.join(", ")
}

fn device(report: &EnvelopeReport, envelopes: &[Envelope], out: &mut String) {
    let limited: Vec<&Envelope> = envelopes.iter().filter(|it| !it.is_free()).collect();
    if limited.is_empty() && report.brief {
        return;
    }
    let thing = envelopes.first().map_or("", |it| it.thing.as_str());
    let _ = writeln!(out, "\n  {}\n", visible(thing));
    if !limited.is_empty() {
        table(&limited, out);
        out.push('\n');
    }
    let margin = limited.iter().map(|it| short_name(&it.name).chars().count() + 2).max().unwrap_or(0).max(12);
    for one in &limited {
        ends(report, one, margin, out);
    }
    let free: Vec<String> = envelopes.iter().filter(|it| it.is_free()).map(|it| short_name(&it.name).to_string()).collect();
    if !free.is_empty() && !report.brief {
        out.push_str(&beside("no limit", margin, &format!("no clause in force depends on: {}", free.join(", "))));
    }
    always(report.files, envelopes, margin, out);
}

/// The fact's own key: the device stands above the table.
fn short_name(name: &str) -> &str {
    name.split_once('.').map_or(name, |(_, fact)| fact)
}

fn table(limited: &[&Envelope], out: &mut String) {
    let mut rows: Vec<[String; 4]> = vec![HEADINGS.map(str::to_string)];
    for one in limited {
        let permitted = permitted(&one.axis, &one.ranges, one.looked_at);
        let today = one.today.as_ref().map_or_else(|| "not stated".to_string(), |today| value_text(one, today));
        rows.push([short_name(&one.name).to_string(), today, permitted, lies(one)]);
    }
    let width = |column: usize| rows.iter().map(|row| row[column].chars().count()).max().unwrap_or(0);
    let widths = [width(0), width(1), width(2)];
    for [name, today, permitted, lies] in rows {
        let line = format!("  {name:<0$}  {today:<1$}  {permitted:<2$}  {lies}", widths[0], widths[1], widths[2]);
        let _ = writeln!(out, "{}", visible(line.trim_end()));
    }
}

/// Today's value, with as many digits as it takes not to look like an end that it is not.
fn value_text(envelope: &Envelope, today: &Today) -> String {
    let value = beside_ends(envelope, today.at);
    if today.assumed { format!("{value} (assumed)") } else { value }
}

/// A number of the measure's unit that is not taken for an end of its ranges.
pub fn beside_ends(envelope: &Envelope, at: Exact) -> String {
    let axis = &envelope.axis;
    let Some(unit) = axis.unit else { return number(axis, at) };
    let ends = envelope.ranges.iter().chain(envelope.mandatory.iter().flatten()).flat_map(|range| [range.lo.at, range.hi.at]);
    let base = unit.to_base(at);
    let pairs: Vec<(Exact, Exact)> = ends.filter_map(|end| Some((base?, unit.to_base(end)?))).collect();
    base.map_or_else(|| number(axis, at), |base| show::at_places(base, Some(unit), show::places_apart(&pairs, Some(unit))))
}

/// A number of the measure's unit.
pub fn number(axis: &Axis, at: Exact) -> String {
    text(axis, at).unwrap_or_else(|| "a number with too many digits".into())
}

/// The good ones of the ranges, in words.
pub fn permitted(axis: &Axis, ranges: &[Range], looked_at: (Exact, Exact)) -> String {
    let good = ranges.iter().filter(|range| range.label == Some(Label::Good));
    let texts: Vec<String> = good.map(|range| range_text(axis, range, looked_at)).collect();
    if texts.is_empty() { "no value".to_string() } else { texts.join("; or ") }
}

/// A range in words; ends that are only those of what was looked at are no ends.
pub fn range_text(axis: &Axis, range: &Range, looked_at: (Exact, Exact)) -> String {
    let (lo, hi) = (&range.lo, &range.hi);
    let (free_below, free_above) = (lo.at == looked_at.0 && lo.set_by.is_empty(), hi.at == looked_at.1 && hi.set_by.is_empty());
    let below = || if hi.included { format!("at most {}", number(axis, hi.at)) } else { format!("less than {}", number(axis, hi.at)) };
    let above = || if lo.included { format!("at least {}", number(axis, lo.at)) } else { format!("more than {}", number(axis, lo.at)) };
    match (free_below, free_above) {
        (true, true) => format!("any value from {} to {}", number(axis, lo.at), number(axis, hi.at)),
        (true, false) => below(),
        (false, true) => above(),
        _ if lo.at == hi.at => format!("{} and no other", number(axis, lo.at)),
        _ if lo.included && hi.included => format!("{} to {}", number(axis, lo.at), number(axis, hi.at)),
        _ => format!("{}, {}", above(), below()),
    }
}

/// Where today's value lies: inside and how far from each end, or outside, by how much and which way.
fn lies(envelope: &Envelope) -> String {
    let axis = &envelope.axis;
    let Some(today) = &envelope.today else { return "to be measured".into() };
    let only = if today.label != Label::Good && today.mandatory == Label::Good { " (of a recommended clause only)" } else { "" };
    match today.label {
        Label::Good => match envelope.good().find(|range| range.holds(today.at)) {
            Some(range) => format!("inside{}", room(envelope, range, today.at)),
            None => "inside, at the very end".into(),
        },
        Label::Waiting => format!("open: another fact is missing{only}"),
        Label::Bad => {
            let above = envelope.good().map(|range| &range.lo).find(|end| end.at >= today.at);
            let below = envelope.good().map(|range| &range.hi).filter(|end| end.at <= today.at).last();
            let much = |end: &End| today.at.sub(end.at).map_or_else(String::new, |miss| distance(axis, miss.size()));
            let way = match (above, below) {
                (Some(above), Some(below)) => format!(": {} too little or {} too much", much(above), much(below)),
                (Some(above), None) => format!(": {} too little", much(above)),
                (None, Some(below)) => format!(": {} too much", much(below)),
                (None, None) => String::new(),
            };
            format!("outside{way}{only}")
        }
    }
}

fn room(envelope: &Envelope, range: &Range, at: Exact) -> String {
    let axis = &envelope.axis;
    let away = |end: &End| at.sub(end.at).map_or_else(String::new, |room| distance(axis, room.size()));
    let below = (!range.lo.set_by.is_empty()).then(|| format!("{} above the lower end", away(&range.lo)));
    let above = (!range.hi.set_by.is_empty()).then(|| format!("{} below the upper end", away(&range.hi)));
    let parts: Vec<String> = below.into_iter().chain(above).collect();
    if parts.is_empty() { String::new() } else { format!(": {}", parts.join(", ")) }
}

/// A difference of two values of the measure's unit.
fn distance(axis: &Axis, size: Exact) -> String {
    match axis.unit {
        Some(unit) if unit.kind() == UnitKind::Measure => unit.to_base(size).map_or_else(String::new, |base| show::in_unit(base, unit)),
        // On a temperature scale a difference is no temperature.
        Some(unit) => show::with_symbol(&show::plain(size), unit),
        None => show::plain(size),
    }
}

/// The same, from base units.
pub fn distance_in_base(axis: &Axis, size: Exact) -> String {
    match axis.unit {
        Some(unit) if unit.kind() == UnitKind::Measure => show::in_unit(size, unit),
        Some(unit) => size.div(unit.factor()).map_or_else(String::new, |size| show::with_symbol(&show::plain(size), unit)),
        None => show::plain(size),
    }
}

/// What sets the ends of a measure, its tolerance, what it hangs together with, what waits.
fn ends(report: &EnvelopeReport, one: &Envelope, margin: usize, out: &mut String) {
    let (axis, files) = (&one.axis, report.files);
    let mut lines: Vec<String> = Vec::new();
    range_lines(files, one, &one.ranges, &mut lines);
    if one.good().next().is_none() && !one.between.is_empty() {
        lines.push(format!("no value meets all of these at once: {}", named(files, one, &one.between)));
    }
    let told = |clause: &Clause| {
        let ends = one.ranges.iter().flat_map(|range| range.lo.set_by.iter().chain(&range.hi.set_by));
        ends.chain(&one.between).any(|it| same(it, clause))
    };
    let short = one.today.iter().flat_map(|today| &today.short);
    let missed: Vec<Clause> = short.filter(|clause| clause.verdict != "open" && !told(clause)).cloned().collect();
    if !missed.is_empty() {
        lines.push(format!("today's value falls short of: {}", named(files, one, &missed)));
    }
    if let Some(mandatory) = &one.mandatory {
        let mut more = Vec::new();
        range_lines(files, one, mandatory, &mut more);
        let free = more.is_empty() && mandatory.iter().any(|range| range.label == Some(Label::Good));
        lines.push(match free {
            true => "no mandatory clause limits it".to_string(),
            false => format!("mandatory clauses alone permit {}", permitted(axis, mandatory, one.looked_at)),
        });
        more.retain(|line| !lines.contains(line));
        lines.extend(more.into_iter().map(|line| format!("mandatory: {line}")));
    }
    if !axis.tolerance.is_zero() && one.good().next().is_some() {
        lines.push(format!("each end is moved inward by the measuring tolerance, {}", distance_in_base(axis, axis.tolerance)));
    }
    let others = report.bound_with(one);
    if !others.is_empty() {
        let others: Vec<&str> = others.iter().map(String::as_str).collect();
        lines.push(format!("as long as this stays as it is: {}", first_few(&others, MOST_NAMED, ',')));
    }
    for (at, line) in lines.iter().enumerate() {
        out.push_str(&beside(if at == 0 { short_name(&one.name) } else { "" }, margin, line));
    }
}

/// What sets the ends of ranges, a line an end.
fn range_lines(files: Files, one: &Envelope, ranges: &[Range], lines: &mut Vec<String>) {
    let axis = &one.axis;
    for range in ranges {
        match range.label {
            Some(Label::Good) => {
                let set = [(&range.lo, "lower end"), (&range.hi, "upper end")];
                let set: Vec<(String, String)> = set
                    .into_iter()
                    .filter(|(end, _)| !end.set_by.is_empty())
                    .map(|(end, side)| {
                        let drawn = if end.exact { "" } else { ", rounded inward" };
                        (format!("{side} {}{drawn}", number(axis, end.at)), named(files, one, &end.set_by))
                    })
                    .collect();
                match set.as_slice() {
                    [(lower, by), (upper, other)] if by == other => lines.push(format!("{lower} and {upper}: {by}")),
                    ends => lines.extend(ends.iter().map(|(end, by)| format!("{end}: {by}"))),
                }
            }
            Some(_) => lines.push(format!("open: {}: {}", range_text(axis, range, one.looked_at), named(files, one, &one.waiting))),
            None => {
                let text = range_text(axis, range, one.looked_at);
                lines.push(format!("not shown to be permitted, and not met wherever it was tried: {text}"));
            }
        }
    }
}

/// Clauses that set an edge, in words: each text once, with the things for which it falls short.
pub fn set_by(files: Files, clauses: &[Clause]) -> String {
    let each = by_text(files, clauses.iter());
    let told = each.into_iter().map(|(text, things)| format!("{text}, for {}", first_few(&things, MOST_THINGS, ',')));
    told.collect::<Vec<_>>().join("; ")
}

/// Clauses in words: the first few, each text once; a thing is named where it is not the device itself.
fn named(files: Files, one: &Envelope, clauses: &[Clause]) -> String {
    let mut parts: Vec<String> = Vec::new();
    for (text, things) in by_text(files, clauses.iter()) {
        let own = things.iter().all(|thing| *thing == one.thing || one.thing.starts_with(&format!("{thing} / ")));
        parts.push(if own { text } else { format!("{}, {text}", first_few(&things, MOST_THINGS, ',')) });
    }
    first_few(&parts, MOST_NAMED, ';')
}

/// Clauses by their texts, each with the things for which it falls short.
fn by_text<'c>(files: Files, clauses: impl Iterator<Item = &'c Clause>) -> Vec<(String, Vec<&'c str>)> {
    let mut found: Vec<(String, Vec<&str>)> = Vec::new();
    for clause in clauses {
        let text = clause_text(files, clause);
        match found.iter_mut().find(|(known, _)| *known == text) {
            Some((_, things)) if things.contains(&clause.thing.as_str()) => {}
            Some((_, things)) => things.push(&clause.thing),
            None => found.push((text, vec![&clause.thing])),
        }
    }
    found
}

fn clause_text(files: Files, clause: &Clause) -> String {
    let modal = if clause.modal == Modal::Shall { "" } else { " (recommended)" };
    let floor = clause.floor.as_ref().map_or_else(String::new, |floor| format!(", standing as the minimum of {floor}"));
    let mut text = format!("{} ({}){modal}{floor}: {}", clause.section, clause.label, clause.written);
    for lacking in &clause.lacking {
        let _ = write!(text, "; {} of {} is not stated", lacking.name, lacking.thing);
    }
    for obstacle in &clause.obstacles {
        let _ = write!(text, "; {obstacle}");
    }
    let place = place_text(files, clause.span);
    if place.is_empty() { text } else { format!("{text} ({place})") }
}

/// What falls short whatever the measures of the device are, each clause once.
fn always(files: Files, envelopes: &[Envelope], margin: usize, out: &mut String) {
    let mut words: Vec<&str> = Vec::new();
    for clause in envelopes.iter().flat_map(|it| &it.always) {
        if !words.contains(&clause.verdict) {
            words.push(clause.verdict);
        }
    }
    for word in words {
        let clauses = envelopes.iter().flat_map(|it| &it.always).filter(|clause| clause.verdict == word);
        for (text, things) in by_text(files, clauses) {
            let things = first_few(&things, MOST_THINGS, ',');
            out.push_str(&beside(word, margin, &format!("whatever these measures are: {things}, {text}")));
        }
    }
}
