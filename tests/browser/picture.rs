//! The picture of a sheet in the README: it shows what the program writes today. Beside the picture stand its words; where those are no longer
//! the words of the sheet, the picture is out of date. `PINTLE_UPDATE=1 cargo test picture` makes both anew, where a browser is at hand.

use super::{build_folder, on_path, root};
use std::path::Path;
use std::process::Command;

/// The call that the README names, but for the file that is written.
const CALL: [&str; 4] = ["sheet", "examples/jobs/beam-too-high.yaml", "--today", "2026-04-01"];
const PICTURE: &str = "examples/papers/beam-too-high-sheet.png";
const WORDS: &str = "examples/papers/beam-too-high-sheet.txt";
/// Most bytes of the picture.
const MOST: usize = 150_000;

/// The title and the answer of a sheet, a line each.
fn first_screen(html: &str) -> String {
    let from = html.find("<h1>").expect("a title");
    let to = html.find("<nav ").expect("contents");
    let mut text = String::new();
    let mut inside = false;
    for c in html[from..to].chars() {
        match c {
            '<' => inside = true,
            '>' if inside => inside = false,
            c if !inside => text.push(c),
            _ => {}
        }
    }
    for (sign, stands_for) in [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&#39;", "'"), ("&amp;", "&")] {
        text = text.replace(sign, stands_for);
    }
    let lines: Vec<&str> = text.lines().map(str::trim).filter(|line| !line.is_empty()).collect();
    lines.join("\n") + "\n"
}

#[test]
fn the_picture_of_a_sheet_shows_what_the_sheet_says() {
    let done = assert_cmd::cargo::cargo_bin_cmd!("pintle").current_dir(root()).args(CALL).output().unwrap();
    let html = String::from_utf8(done.stdout).unwrap();
    let words = first_screen(&html);
    assert!(words.contains("No: this job cannot be handed over yet."), "{words}");
    if std::env::var_os("PINTLE_UPDATE").is_some() && std::fs::read_to_string(root().join(WORDS)).ok().as_ref() != Some(&words) {
        pictured(&html, &root().join(PICTURE));
        std::fs::write(root().join(WORDS), &words).unwrap();
    }
    let kept = std::fs::read_to_string(root().join(WORDS)).unwrap();
    assert_eq!(kept, words, "the picture is out of date: PINTLE_UPDATE=1 cargo test picture, where a browser is at hand");
    let picture = std::fs::read(root().join(PICTURE)).unwrap();
    assert!(picture.starts_with(b"\x89PNG\r\n") && picture.len() < MOST, "{} bytes", picture.len());
}

#[test]
fn the_readme_shows_the_papers_and_says_how_they_were_made() {
    let readme = std::fs::read_to_string(root().join("README.md")).unwrap();
    for place in [PICTURE, "examples/papers/slide-left-drawn-plan.svg"] {
        let alt = readme.split(&format!("]({place})")).next().and_then(|before| before.rsplit("![").next()).unwrap();
        assert!(readme.contains(&format!("]({place})")) && (30..300).contains(&alt.len()), "{place}: {alt}");
    }
    assert!(readme.contains(&format!("`pintle {} --out sheet.html`", CALL.join(" "))));
    assert!(readme.contains("`pintle draw examples/jobs/slide-left-drawn.yaml --view plan --today 2026-04-01 --out plan.svg`"));
}

/// Has the browser take the picture.
fn pictured(html: &str, to: &Path) {
    let tools = build_folder().join("browser");
    let (node, chromium) = (on_path(&["node"]), on_path(&["chromium", "chromium-browser"]));
    let (Some(node), Some(chromium), true) = (node, chromium, tools.join("node_modules").is_dir()) else {
        panic!("the picture is out of date, and node, chromium or what tests/browser/install.sh installs is not here to make it anew");
    };
    let page = std::env::temp_dir().join(format!("pintle-picture-{}.html", std::process::id()));
    std::fs::write(&page, html).unwrap();
    let script = root().join("tests/browser/picture.mjs");
    let done = Command::new(node).arg(script).arg(&page).arg(&tools).arg(chromium).arg(to).output().unwrap();
    std::fs::remove_file(&page).unwrap();
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
}
