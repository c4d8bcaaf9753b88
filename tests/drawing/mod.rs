//! Drawings of gates: every example in every view is well-formed and to scale, its names and figures do not lie on one another, and what a
//! job calls things stays text. `INSTA_UPDATE=always cargo test drawing` writes the twins; read what was written.

mod detail;
mod edge_cases;
mod font;
mod hung;
mod numbered;
mod on_paper;
mod units;

use jiff::civil::{Date, date};
use pintle::command::draw::figures_of;
use pintle::report::drawing::{Figure, View};
use pintle::source::Source;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

const TODAY: Date = date(2026, 4, 1);

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The example jobs, by their paths below examples/jobs without the end.
fn examples() -> Vec<(String, PathBuf)> {
    let folder = root().join("examples/jobs");
    let mut found: Vec<(String, PathBuf)> = walkdir::WalkDir::new(&folder)
        .into_iter()
        .map(|entry| entry.unwrap().into_path())
        .filter(|path| path.extension().is_some_and(|end| end == "yaml"))
        .map(|path| (path.strip_prefix(&folder).unwrap().with_extension("").to_str().unwrap().to_string(), path))
        .collect();
    found.sort();
    found
}

fn source(name: &str, path: &Path) -> Source {
    Source::new(name, std::fs::read_to_string(path).unwrap()).kept_in(path.parent().unwrap())
}

/// The figures of every example.
static FIGURES: LazyLock<Vec<(String, Vec<Figure>)>> = LazyLock::new(|| {
    let of = |(name, path): (String, PathBuf)| {
        let figures = figures_of(source(&format!("{name}.yaml"), &path), &[], TODAY).unwrap_or_else(|why| panic!("{name}: {why:?}"));
        (name, figures)
    };
    examples().into_iter().map(of).collect()
});

/// The figures of a job that is made up for a test; it names `us-gates` and `field-practice`.
fn made_up(gates: &str) -> Vec<Figure> {
    let text = format!("title: Made up\ncodes: [us-gates, field-practice]\npermit-date: 2026-02-12\ngates:\n{gates}");
    figures_of(Source::new("made-up.yaml", text), &[], TODAY).unwrap_or_else(|why| panic!("{why:?}\n{gates}"))
}

fn one(figures: &[Figure], view: View) -> &Figure {
    figures.iter().find(|figure| figure.view == view).unwrap()
}

fn parsed(figure: &Figure) -> roxmltree::Document<'_> {
    roxmltree::Document::parse(&figure.svg).unwrap_or_else(|why| panic!("{}: {why}\n{}", figure.title, figure.svg))
}

#[test]
fn twins_say_what_they_said() {
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.set_snapshot_path("snapshots");
    settings.bind(|| {
        let wanted = [
            ("slide-left-drawn", View::Plan),
            ("slide-left-drawn", View::Section),
            ("incomplete-survey", View::Plan),
            ("juniper-yard", View::Elevation),
            ("swing-double-metric-good", View::Plan),
            ("overhead-pivot-metric-good", View::Section),
            ("barrier-arm-good", View::Elevation),
            ("way-out-with-many-faults", View::Plan),
        ];
        for (name, view) in wanted {
            let figures = &FIGURES.iter().find(|(known, _)| known == name).unwrap().1;
            insta::assert_snapshot!(format!("{name}-{}", view.word()), one(figures, view).twin.text());
        }
    });
}
