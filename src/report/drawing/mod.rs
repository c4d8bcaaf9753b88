//! Figures of a judged gate: plan, elevation and section as SVG to scale, each with a text twin that says the same. Everything that a
//! file contains is escaped here. It must not know how a gate was judged, nor how its shapes came about.
//!
//! Line types follow the practice of ISO 128 and ISO 129: thick outlines, thin dimension lines with extension lines, long-dash-dot centre
//! and gate lines, dash-double-dot for the other end of a movement; a measure that follows from others stands in brackets. A figure
//! reads in black and white; it holds no script, no style sheet, and nothing from elsewhere, so that it can stand in any page.

mod block;
mod compass;
mod detail;
mod dimensions;
mod flat;
mod ink;
mod key;
mod labels;
mod names;
mod paper;
mod strokes;
mod twin;

pub use twin::Twin;

use super::findings::JobReport;
use super::numbered::{by_thing, numbered};
use crate::job::Job;
use crate::language::program::Program;
use crate::scene::{Scene, Stage, gates, scene};
use crate::source::Source;

/// The way a gate is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum View {
    /// From above, the public side below.
    Plan,
    /// From the public side.
    Elevation,
    /// Along the gate line, cut near the leading edge, the public side at the left.
    Section,
}

impl View {
    /// Every view, in the order in which they are shown.
    pub const ALL: [View; 3] = [View::Plan, View::Elevation, View::Section];

    /// Its name.
    pub fn word(self) -> &'static str {
        match self {
            View::Plan => "plan",
            View::Elevation => "elevation",
            View::Section => "section",
        }
    }

    /// Its name and how it is looked at.
    pub fn words(self) -> &'static str {
        match self {
            View::Plan => "Plan, seen from above",
            View::Elevation => "Elevation, seen from the public side",
            View::Section => "Section near the leading edge",
        }
    }
}

/// What stands on every figure of a job.
#[derive(Clone, Debug, Default)]
pub struct Heading {
    /// The job's title.
    pub job: String,
    /// Its file.
    pub file: String,
    /// The day of judging.
    pub today: String,
    /// What the reader is warned of.
    pub caution: String,
    /// Why not everything was judged, as a clause, where so.
    pub unsure: Option<String>,
    /// The findings with their numbers: number, verdict, what is the matter.
    pub findings: Vec<(usize, String, String)>,
}

/// A figure with its twin.
#[derive(Clone, Debug)]
pub struct Figure {
    /// Its title: gate and view.
    pub title: String,
    /// The gate, as reports name it.
    pub gate: String,
    /// The view.
    pub view: View,
    /// The drawing: one `svg` element, to stand in a file or in a page; ids in it begin with the prefix asked for.
    pub svg: String,
    /// The same in words.
    pub twin: Twin,
}

/// The figure of a scene. Ids within the drawing begin with `prefix`, so that several can stand in one page.
pub fn figure(scene: &Scene, view: View, heading: &Heading, prefix: &str) -> Figure {
    let title = format!("{}: {}", scene.gate, view.words());
    let (svg, told) = paper::draw(scene, view, heading, &title, prefix);
    Figure { twin: twin::twin(scene, view, heading, &title, &told), title, gate: scene.gate.clone(), view, svg }
}

/// The scenes of every gate of a job, with the findings of its report.
pub fn scenes(program: &Program, job: &Job, source: &Source, report: &JobReport) -> Vec<Scene> {
    let findings = by_thing(&numbered(report));
    let stage = Stage { program, job, source, findings: &findings };
    gates(program, job, source).into_iter().map(|gate| scene(&stage, gate)).collect()
}

/// The heading of a job's figures.
pub fn heading(report: &JobReport, today: &str) -> Heading {
    let findings = numbered(report).iter().map(|one| (one.number, one.verdict().to_string(), one.words())).collect();
    Heading {
        job: report.title.clone(),
        file: report.files.job.map_or("", Source::name).to_string(),
        today: today.to_string(),
        caution: super::totals::CAUTION.to_string(),
        unsure: (report.exit >= 2).then(|| {
            let slips = || "the job file has slips, and what they touch is neither judged nor drawn".to_string();
            report.unjudged.clone().unwrap_or_else(slips)
        }),
        findings,
    }
}

/// Every figure of a judged job: for each gate plan, elevation and section.
pub fn figures(program: &Program, job: &Job, source: &Source, report: &JobReport, today: &str) -> Vec<Figure> {
    let heading = heading(report, today);
    let mut figures = Vec::new();
    for (at, scene) in scenes(program, job, source, report).iter().enumerate() {
        for view in View::ALL {
            figures.push(figure(scene, view, &heading, &format!("gate{}-{}", at + 1, view.word())));
        }
    }
    figures
}
