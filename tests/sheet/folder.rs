//! A folder of sheets: an index that lists every job, names that are safe and stay, the same bytes whatever the threads, nothing half
//! written, nothing of anybody's written over.

use super::super::cli::{GOOD, Site, TODAY, good_but};
use super::read::{accessible, balanced, read};
use std::collections::BTreeMap;

fn jobs() -> Site {
    Site::new()
        .with("jobs/good.yaml", GOOD)
        .with("jobs/high.yaml", good_but("24 in", "28 in").replace("Ferrule Yard", "High Yard"))
        .with("jobs/north/open.yaml", good_but("height: 24 in", "height:").replace("title:", "site: Spindle Lane 4\ntitle:"))
        .with("jobs/north/good.yaml", GOOD)
        .with("jobs/slip.yaml", good_but("24 in", "24 inn"))
        .with("jobs/No Job & More!.yaml", good_but("Ferrule", "Ferrule & Son's"))
        .with("jobs/other.yaml", "colour: green\n")
}

fn made(site: &Site, out: &str, more: &[&str]) -> super::super::cli::Seen {
    let mut arguments = vec!["sheet", "jobs", "--out", out, "--today", TODAY];
    arguments.extend(more);
    site.run(&arguments)
}

/// Every file of a folder.
fn files(site: &Site, folder: &str) -> BTreeMap<String, String> {
    site.names(folder).into_iter().map(|name| (name.clone(), site.read(&format!("{folder}/{name}")))).collect()
}

#[test]
fn the_index_lists_every_job_and_leads_to_its_page() {
    let site = jobs();
    let seen = made(&site, "site", &[]);
    assert_eq!(seen.code, 2, "one job has slips\n{seen}");
    let files = files(&site, "site");
    assert_eq!(files.len(), 6 + 2, "six jobs, the index, the list: {:?}", files.keys());
    let index = &files["index.html"];
    balanced(&index.replace(index.split("<script>").nth(1).unwrap().split("</script>").next().unwrap(), ""));
    accessible(index);
    let text = read(index);
    for words in [
        "6 jobs, judged on 2026-04-01: 3 ready, 2 not ready, 1 not judged.",
        "High Yardjobs/high.yaml | | not ready: mandatory verdicts: 1 not met",
        "Spindle Lane 4",
        "not met yard/lens-height",
        "open yard/lens-height",
        "Ferrule & Son's Yard",
    ] {
        assert!(text.contains(words), "`{words}` is not in\n{text}");
    }
    let links: Vec<&str> =
        index.split("<a href=\"").skip(1).map(|part| part.split('"').next().unwrap()).filter(|to| !to.starts_with('#')).collect();
    assert_eq!(links.len(), 6);
    for link in links {
        assert!(link.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-' || c == '.'), "{link}");
        let page = &files[link];
        assert!(page.contains("<a href=\"index.html\">All jobs</a>"), "{link}");
        balanced(page);
    }
    assert!(files.keys().any(|name| name.starts_with("no-job-more-")), "{:?}", files.keys());
}

#[test]
fn the_same_bytes_at_one_thread_and_at_two() {
    let site = jobs();
    made(&site, "one", &["--threads", "1"]);
    made(&site, "two", &["--threads", "2"]);
    assert_eq!(files(&site, "one"), files(&site, "two"));
}

#[test]
fn a_folder_of_its_own_is_written_anew_and_loses_what_is_gone() {
    let site = jobs();
    made(&site, "site", &[]);
    let first = files(&site, "site");
    std::fs::remove_file(site.path("jobs/slip.yaml")).unwrap();
    let seen = made(&site, "site", &[]);
    assert_eq!(seen.code, 1, "{seen}");
    let second = files(&site, "site");
    assert_eq!(second.len() + 1, first.len());
    let stayed =
        second.iter().filter(|(name, _)| *name != "index.html" && *name != "pages.txt").all(|(name, page)| first.get(name) == Some(page));
    assert!(stayed, "pages keep their names and their bytes");
    assert_eq!(site.names("").iter().filter(|name| name.contains("part") || name.contains("old")).count(), 0);
}

#[test]
fn a_folder_with_other_things_is_left_alone() {
    let site = jobs().with("mine/notes.txt", "keep me");
    let seen = made(&site, "mine", &[]);
    assert_eq!(seen.code, 2);
    assert!(seen.err.contains("the folder holds other things"), "{seen}");
    assert_eq!(site.names("mine"), ["notes.txt"]);
    made(&site, "site", &[]);
    let site = site.with("site/mine.txt", "keep me too");
    let before = files(&site, "site");
    let seen = made(&site, "site", &[]);
    assert!(seen.code == 2 && seen.err.contains("`mine.txt` in it was not written by this command"), "{seen}");
    assert_eq!(files(&site, "site"), before);
    let seen = made(&site, "jobs", &[]);
    assert!(seen.code == 2 && seen.err.contains("holds other things"), "{seen}");
}

#[test]
fn nothing_is_left_where_there_is_nothing_to_write() {
    let site = Site::new().with_folder("jobs");
    for (out, words) in [("site", "no job found"), ("nowhere/site", "cannot be written")] {
        let site = if out == "site" { Site::new().with_folder("jobs") } else { jobs() };
        let seen = made(&site, out, &[]);
        assert_eq!(seen.code, 2, "{seen}");
        assert!(seen.err.contains(words), "{seen}");
        assert!(!site.path(out).exists());
        assert!(site.names("").iter().all(|name| !name.starts_with('.')), "{:?}", site.names(""));
    }
    let seen = site.run(&["sheet", "jobs"]);
    assert!(seen.code == 2 && seen.err.contains("add --out FOLDER"), "{seen}");
}

#[test]
fn a_sheet_takes_the_place_of_no_job() {
    let site = jobs();
    let seen = site.run(&["sheet", "jobs/good.yaml", "--out", "jobs/good.yaml"]);
    assert_eq!(seen.code, 2, "{seen}");
    assert_eq!(site.read("jobs/good.yaml"), GOOD);
}
