//! Every command that reads jobs or packs, on files that hold none: told, never a fault of the program.

use super::{GOOD, Site, TODAY};

/// Files that hold no job, or less of one than they should.
const JOBS: [&str; 8] = [
    "",
    "# nothing yet\n",
    "~\n",
    "gates\n",
    "- gates\n",
    "[]\n",
    "{}\n",
    "title: cut off\ncodes: [yard]\ngates:\n  - id: main\n    beams: [{id: a, hei",
];

#[test]
fn no_command_stumbles_over_a_file_without_a_job() {
    for (at, text) in JOBS.into_iter().chain([&GOOD[..GOOD.len() / 2], "title: \u{0}\n"]).enumerate() {
        let site = Site::new().with("job.yaml", text);
        for call in [
            vec!["check", "job.yaml", "--today", TODAY],
            vec!["calcs", "job.yaml", "--today", TODAY],
            vec!["envelope", "job.yaml", "--today", TODAY],
            vec!["punch-list", "job.yaml", "--in", "list.yaml", "--today", TODAY],
            vec!["effect", "--from", "yard", "--to", "rules/yard.rules", "job.yaml", "--today", TODAY],
        ] {
            let seen = site.run(&call);
            assert!((0..=2).contains(&seen.code), "file {at}: {seen}");
            // Two texts of a code can agree about a job that says nothing.
            assert!(seen.code > 0 || at > 7 || call[0] == "effect", "file {at}: {seen}");
        }
    }
}

#[test]
fn no_command_stumbles_over_a_file_without_a_pack() {
    for text in ["", "# nothing yet\n", "pack", "pack town \"Town\"\n  adopts", "section\n", "trial a\n", "\u{0}", "((((("] {
        let site = Site::new().with("town.rules", text);
        for call in [
            vec!["check", "town.rules"],
            vec!["neaten", "town.rules"],
            vec!["consolidate", "town.rules"],
            vec!["trial", "town.rules"],
            vec!["effect", "--from", "yard", "--to", "town.rules", "job.yaml"],
        ] {
            let seen = site.run(&call);
            assert!((0..=2).contains(&seen.code), "{text:?}: {seen}");
        }
    }
}
