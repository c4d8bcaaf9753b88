//! What is printed of packs: the consolidated code, the list of sources, and the pages they are drawn on.

use pintle::command::consolidate::embedded_sources;
use pintle::language::adopt::adopt;
use pintle::language::check::{Wanted, compile};
use pintle::language::library::{Library, Shelf};
use pintle::report::document::Document;
use pintle::report::printed::{Printing, consolidated};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn document(shelves: Vec<Shelf>, name: &str) -> Document {
    let mut library = Library::new(shelves);
    let (program, slips) = compile(&mut library, &[Wanted { name: name.into(), span: None }]);
    assert!(program.is_some(), "{slips:?}");
    let code = adopt(&mut library, name, &mut Vec::new()).unwrap();
    let floors: Vec<_> = code.minimums.iter().filter_map(|name| adopt(&mut library, name, &mut Vec::new())).collect();
    consolidated(Printing { code: &code, floors: &floors, files: &library.sources })
}

fn county() -> Document {
    document(vec![Shelf::Pack(PathBuf::from("examples/rules/hasp-county.rules")), Shelf::Embedded], "hasp-county")
}

/// The parts of a Markdown text under these headings, each to the next heading.
fn parts(text: &str, wanted: &[&str]) -> String {
    let mut kept = String::new();
    let mut within = false;
    for line in text.lines() {
        if line.starts_with('#') {
            let heading = line.trim_start_matches('#').trim_start();
            // A heading begins with its number on the paper, where it has one.
            let heading = heading.split_once(" — ").filter(|(number, _)| number.starts_with('§')).map_or(heading, |(_, rest)| rest);
            within = wanted.iter().any(|words| heading.starts_with(words));
        }
        if within {
            kept.push_str(line);
            kept.push('\n');
        }
    }
    kept
}

/// The county's own part, and the sections that it amends. The rest is the national text, which has its own life.
const OWN: [&str; 6] =
    ["Hasp County", "hasp-county", "Words: road-kind", "Definition: bollard", "Table: waiting-room", "Sources of hasp-county"];
const AMENDED: [&str; 2] = ["field-practice/lens-height", "us-gates/top-speed"];

#[test]
fn the_county_code_reads_so() {
    let text = county().markdown();
    let wanted: Vec<&str> = OWN.into_iter().chain(AMENDED).collect();
    insta::with_settings!({prepend_module_to_snapshot => false, snapshot_path => "cases/printed", omit_expression => true}, {
        insta::assert_snapshot!("hasp-county", parts(&text, &wanted).replace(&hash_line(&text), ""));
    });
    assert!(!text.contains("### field-practice/conduit-entry"), "a repealed section is not printed");
    assert!(text.contains("| `on-fire-lane` (added by hasp-county) |"));
}

/// Who opens the page sees at once who wrote the ordinance and on which days it holds, before any contents; sections carry their
/// numbers on the paper; and no tick of a sentence comes out as a tick.
#[test]
fn the_page_opens_with_authority_and_days() {
    let html = county().html();
    let contents = html.find("<nav").unwrap();
    for words in ["Hasp County Office of Building Safety", "from 2026-01-01 on, until it is replaced", "us-gates as a minimum", "Repeals"] {
        assert!(html.find(words).is_some_and(|at| at < contents), "{words} stands after the contents, or nowhere");
    }
    let listed = &html[contents..html.find("</nav>").unwrap()];
    for words in ["§ 7 — hasp-county/road-setback", "§ 7, table — Table: waiting-room", ">us-gates/top-speed"] {
        assert!(listed.contains(words), "the contents have no {words}");
    }
    assert!(!html.contains('`'), "a tick comes out as a tick");
    let text = "pack short \"Short\"\n  language 1\n  edition \"1\"\n  in force from 2026-01-01 before 2030-01-01\n  adopts terms\n";
    let short = document(vec![Shelf::Memory(vec![("short".into(), text.into())]), Shelf::Embedded], "short").markdown();
    assert!(short.contains("from 2026-01-01 until 2029-12-31, both days included; the day that counts is the day of judging"), "{short}");
    assert!(short.contains("Published by:** not stated"), "{short}");
}

/// The table of packs, whose hashes and editions change with every edit of a shipped pack.
fn hash_line(text: &str) -> String {
    let start = text.find("| Pack |").unwrap();
    let end = text[start..].find("\n\n").unwrap();
    text[start..start + end].to_string()
}

const HOSTILE: &str = r##"pack odd "<script>alert(1)</script> & [x](http://a.b) `tick` *bold* | bar"
  language   1
  edition    "1</h1>"
  authority  "</style><b>"
  adopts     terms

source book "</table>|<i>" invented

table many "1. first ``` ~~~"
  cite    book "<!-- & |"
  by      kind
  kind  | least | cite
  swing | 1 in  | "a | b </td>"

section s "# heading <img src=x onerror=y>"
  applies to each gate where not gate.automatic-closing
          # a note </pre> ```
          and gate.kind is swing
  shall   every b among gate.beams has b.height at least many.least(gate.kind) and b.model is not "</pre><script>``````"
  except  (1) "</dt> ]( <x>" where gate.public-near
  remedy  "</p><script> {gate.id} __x__"
  cite    book "</a>\u{202e}"
"##;

fn hostile() -> Document {
    document(vec![Shelf::Memory(vec![("odd".into(), HOSTILE.replace("\\u{202e}", "\u{202e}"))]), Shelf::Embedded], "odd")
}

/// Checks that tags are closed in order, ids are single and every link within the page leads somewhere.
pub fn assert_sound(html: &str) {
    const VOID: [&str; 2] = ["meta", "!doctype"];
    let (mut open, mut ids, mut links) = (Vec::new(), BTreeSet::new(), Vec::new());
    for piece in html.split('<').skip(1) {
        let (tag, _) = piece.split_once('>').unwrap_or_else(|| panic!("an open bracket: {piece}"));
        if let Some(name) = tag.strip_prefix('/') {
            assert_eq!(open.pop().as_deref(), Some(name), "closed: {name}");
            continue;
        }
        let name = tag.split([' ', '\n']).next().unwrap().to_string();
        let attribute = |key: &str| tag.split_once(&format!(" {key}=\"")).map(|(_, rest)| rest.split('"').next().unwrap().to_string());
        if let Some(id) = attribute("id") {
            assert!(ids.insert(id.clone()), "the id {id} twice");
        }
        links.extend(attribute("href").map(|link| link.trim_start_matches('#').to_string()));
        assert!(["src", "onerror", "onload"].iter().all(|key| attribute(key).is_none()), "{tag}");
        if !VOID.contains(&name.as_str()) {
            open.push(name);
        }
    }
    assert!(open.is_empty(), "never closed: {open:?}");
    let lost: Vec<&String> = links.iter().filter(|link| !ids.contains(*link)).collect();
    assert!(lost.is_empty(), "links to nothing: {lost:?}");
}

#[test]
fn pages_are_sound_and_alone() {
    for (name, document) in [("county", county()), ("hostile", hostile()), ("sources", embedded_sources())] {
        let html = document.html();
        assert_sound(&html);
        for word in ["<script", "<img", "http://", "https://", "url(", "@import", "\u{202e}"] {
            let found = html.find(word).map(|at| &html[at..html.len().min(at + 60)]);
            assert!(found.is_none() || name == "hostile" && word == "http://", "{name}: {found:?}");
        }
        for word in ["<html lang=\"en\">", "<title>", "<main ", "<nav ", "@page { margin", "@media print", "Content-Security-Policy"] {
            assert!(html.contains(word), "{name} has no {word}");
        }
    }
}

#[test]
fn nothing_in_a_pack_becomes_markdown() {
    let text = hostile().markdown();
    insta::with_settings!({prepend_module_to_snapshot => false, snapshot_path => "cases/printed", omit_expression => true}, {
        insta::assert_snapshot!("hostile", parts(&text, &["odd", "Sources of odd", "Table: many"]));
    });
    assert!(!text.contains('\u{202e}') && !text.contains("<script>alert(1)"), "{text}");
}

#[test]
fn greys_and_links_have_the_contrast_that_the_page_says() {
    let html = hostile().html();
    let style = html.split_once("<style>").and_then(|(_, rest)| rest.split_once("</style>")).unwrap().0;
    let hex = |at: usize| style[at + 1..].chars().take_while(char::is_ascii_hexdigit).count();
    let all = style.match_indices('#').map(|(at, _)| &style[at..=at + hex(at)]);
    let colours: BTreeSet<&str> = all.filter(|colour| *colour != "#fff").collect();
    assert!(colours.len() >= 3, "{colours:?}");
    for colour in colours {
        let digits: Vec<u32> = colour[1..].chars().map(|c| c.to_digit(16).unwrap()).collect();
        let of = |at: usize| if digits.len() == 3 { digits[at] * 17 } else { digits[at * 2] * 16 + digits[at * 2 + 1] };
        // Relative luminance and contrast as WCAG 2.2 defines them.
        let light = |part: u32| {
            let part = f64::from(part) / 255.0;
            if part <= 0.04045 { part / 12.92 } else { ((part + 0.055) / 1.055).powf(2.4) }
        };
        let luminance = 0.2126 * light(of(0)) + 0.7152 * light(of(1)) + 0.0722 * light(of(2));
        let contrast = 1.05 / (luminance + 0.05);
        assert!(contrast >= 7.0, "{colour} on white: {contrast:.2}");
    }
}

#[test]
fn the_list_of_sources_is_what_the_command_makes() {
    let path = root().join("rules/SOURCES.md");
    let made = embedded_sources().markdown();
    if std::env::var_os("PINTLE_UPDATE").is_some() {
        std::fs::write(&path, &made).unwrap();
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default().replace("\r\n", "\n");
    assert!(kept == made, "rules/SOURCES.md is out of date: run `pintle consolidate --sources --out rules/SOURCES.md`");
}

#[test]
fn every_figure_of_a_shipped_clause_is_on_the_list() {
    let made = embedded_sources().markdown();
    for (place, value) in
        [("lens-height (a)", "26 in (660 mm)"), ("reversal (a)", "2 s"), ("formula from-75", "0.00323"), ("owner-check (a)", "1 month")]
    {
        let row = made.lines().find(|line| line.starts_with(&format!("| {place} |"))).unwrap_or_else(|| panic!("no {place}"));
        assert!(row.contains(value), "{row}");
    }
}

/// How sure a value is stands in a column of its own, and not behind the clause as well.
#[test]
fn a_row_from_memory_says_so_once() {
    let made = embedded_sources().markdown();
    let row = made.lines().find(|line| line.contains("conductor-sizes, TFFN ")).expect("the rows from memory");
    assert!(row.contains("| from memory |"), "{row}");
    let twice = |line: &&str| line.split(" | ").nth(2).is_some_and(|source| source.ends_with(", from memory"));
    assert_eq!(made.lines().find(twice), None);
}

/// A printed page that comes loose says of which code and edition it is; nothing of a pack gets out of that text.
#[test]
fn each_printed_page_names_code_and_edition() {
    let html = county().html();
    assert!(html.contains("@bottom-left { content: \"hasp-county, edition 2026, as adopted and amended\";"), "{}", &html[..2000]);
    let html = hostile().html();
    let foot = html.split_once("@bottom-left { content: \"").and_then(|(_, rest)| rest.split_once("\";")).unwrap().0;
    assert!(foot.starts_with("odd, edition ") && !foot.contains(['<', '>', '\\', '{', '}']), "{foot}");
}
