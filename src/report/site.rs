//! The index of a folder of sheets: every job with its outcome and what needs attention, to be sorted and narrowed down. Rows are made
//! one by one and held by nobody. It must not know files or how a job is judged.

use super::document::Document;
use super::findings::JobReport;
use super::page::{Page, text};
use super::sheet::Sheet;
use super::totals::BY_URGENCY;
use super::totals::{CAUTION, outcome};
use crate::judge::rank::{Counts, Rank};
use std::collections::BTreeMap;
use std::fmt::Write;

/// Stands in the page where its rows go; text of a file cannot hold it, since it is escaped.
const HERE: &str = "<!--rows-->";

/// What the index says of one job.
#[derive(Clone, Debug, Default)]
pub struct Entry {
    /// The job's title, or its file.
    pub name: String,
    /// Its file.
    pub file: String,
    /// Where it is: what the job says of its site.
    pub place: String,
    /// Whether it can be handed over, in a word: `ready`, `not ready`, `not judged`.
    pub state: &'static str,
    /// Why.
    pub outcome: String,
    /// How many verdicts need attention, by rank.
    pub counts: Counts,
    /// Sections that need attention with their verdict's rank, and how often.
    pub sections: BTreeMap<(String, Rank), usize>,
}

impl Entry {
    /// The entry of a judged job.
    pub fn of(sheet: &Sheet) -> Entry {
        let report: &JobReport = sheet.report;
        let mut counts = report.shall;
        counts += report.should;
        let mut sections = BTreeMap::new();
        for finding in report.all.iter().filter(|finding| finding.rank.is_finding()) {
            *sections.entry((finding.section.clone(), finding.rank)).or_insert(0) += 1;
        }
        let state = match report.exit {
            0 => "ready",
            1 => "not ready",
            _ => "not judged",
        };
        let place = sheet.facts.text(crate::job::RecordId::ROOT, "site");
        let file = sheet.subject.source.name().to_string();
        let told = outcome(report);
        let told = told.strip_prefix("not ready: ").unwrap_or(&told).to_string();
        Entry { name: sheet.name(), file, place, state, outcome: told, counts, sections }
    }

    /// The entry of a file that could not be judged.
    pub fn unjudged(file: &str) -> Entry {
        Entry { name: file.into(), file: file.into(), state: "not judged", outcome: "could not be judged".into(), ..Entry::default() }
    }

    /// Its row, with a link to its page.
    pub fn row(&self, page: &str) -> String {
        let mut row = format!(
            "<tr><th scope=\"row\"><a href=\"{}\">{}</a><br><span class=\"file\">{}</span></th><td data-head=\"Place\">{}</td><td data-head=\"Outcome\"><strong>{}</strong>: {}</td>",
            text(page),
            text(&self.name),
            text(&self.file),
            text(&self.place),
            self.state,
            text(&self.outcome)
        );
        for rank in BY_URGENCY {
            let _ = write!(row, "<td class=\"number\" data-head=\"{}\">{}</td>", super::sheet::top::upper(rank.word()), self.counts[rank]);
        }
        row.push_str("<td data-head=\"Sections\">");
        if !self.sections.is_empty() {
            row.push_str("<ul>");
            let mut order: Vec<_> = self.sections.iter().collect();
            order.sort_by_key(|((section, rank), _)| (BY_URGENCY.iter().position(|known| known == rank), section.as_str()));
            for ((section, rank), times) in order {
                let times = if *times > 1 { format!(" × {times}") } else { String::new() };
                let _ = write!(
                    row,
                    "<li data-section=\"{}\" data-verdict=\"{}\">{} {}{times}</li>",
                    text(section),
                    rank.word(),
                    rank.word(),
                    text(section)
                );
            }
            row.push_str("</ul>");
        }
        row.push_str("</td></tr>\n");
        row
    }
}

/// Counts over all jobs, taken in one by one.
#[derive(Clone, Debug, Default)]
pub struct Index {
    /// Jobs by their state: ready, not ready, not judged.
    states: [usize; 3],
    /// For each section, the jobs in which it needs attention, by rank.
    sections: BTreeMap<String, Counts>,
}

impl Index {
    /// Takes in a job.
    pub fn add(&mut self, entry: &Entry) {
        let at = ["ready", "not ready", "not judged"].iter().position(|state| *state == entry.state).unwrap_or(2);
        self.states[at] += 1;
        for (section, rank) in entry.sections.keys() {
            self.sections.entry(section.clone()).or_default()[*rank] += 1;
        }
    }

    /// The page before and after its rows.
    pub fn around(&self, folder: &str, today: &str) -> (String, String) {
        let [ready, not_ready, unjudged] = self.states;
        let total = ready + not_ready + unjudged;
        let mut body = format!(
            "<p class=\"counts\"><strong>{total} job{}</strong>, judged on {}: <strong>{ready} ready</strong>, <strong>{not_ready} not ready</strong>, \
             <strong>{unjudged} not judged</strong>.</p>\n",
            if total == 1 { "" } else { "s" },
            text(today)
        );
        body.push_str(FORM);
        body.push_str("<table class=\"index\" id=\"jobs\">\n<caption>Every job, with its sheet</caption>\n");
        body.push_str("<colgroup><col style=\"width:22%\"><col style=\"width:13%\"><col style=\"width:17%\"><col span=\"4\" style=\"width:6%\"><col></colgroup>\n<thead><tr>");
        let counted = BY_URGENCY.map(|rank| super::sheet::top::upper(rank.word()));
        let heads =
            ["Job", "Place", "Outcome"].map(String::from).into_iter().chain(counted).chain(["Sections that need attention".to_string()]);
        for head in heads {
            let _ = write!(body, "<th scope=\"col\">{}</th>", text(&head));
        }
        let _ = write!(body, "</tr></thead>\n<tbody>\n{HERE}</tbody>\n</table>\n");
        self.by_section(&mut body);
        let page = Page {
            title: format!("Handover sheets: {folder}"),
            body,
            caution: CAUTION.into(),
            style: STYLE,
            script: SCRIPT,
            ..Page::default()
        };
        let html = page.html();
        html.split_once(HERE).map_or_else(|| (html.clone(), String::new()), |(before, after)| (before.to_string(), after.to_string()))
    }

    fn by_section(&self, body: &mut String) {
        if self.sections.is_empty() {
            return;
        }
        body.push_str("<h2 id=\"sections\">Sections that need attention</h2>\n<table class=\"index\">\n<caption>In how many jobs, by verdict</caption>\n<thead><tr><th scope=\"col\">Section</th>");
        BY_URGENCY.iter().for_each(|rank| {
            let _ = write!(body, "<th scope=\"col\">{}</th>", super::sheet::top::upper(rank.word()));
        });
        body.push_str("</tr></thead>\n<tbody>\n");
        let mut order: Vec<_> = self.sections.iter().collect();
        order.sort_by_key(|(section, counts)| (std::cmp::Reverse(BY_URGENCY.map(|rank| counts[rank])), section.as_str()));
        for (section, counts) in order {
            let _ = write!(body, "<tr><th scope=\"row\">{}</th>", text(section));
            for rank in BY_URGENCY {
                let _ = write!(body, "<td class=\"number\" data-head=\"{}\">{}</td>", super::sheet::top::upper(rank.word()), counts[rank]);
            }
            body.push_str("</tr>\n");
        }
        body.push_str("</tbody>\n</table>\n");
    }
}

/// A page of the folder: the sheet with a way back.
pub fn with_way_back(mut document: Document) -> Document {
    let line = vec![super::document::Run::Beside("index.html".into(), "All jobs".into())];
    document.blocks.insert(0, super::document::Block::Paragraph(line));
    document
}

/// Fields to narrow the table down; shown by the script that serves them.
const FORM: &str = "\
<form id=\"narrow\" hidden>
<p><label for=\"section\">Section</label> <input id=\"section\" type=\"search\" autocomplete=\"off\"></p>
<p><label for=\"verdict\">Verdict</label> <select id=\"verdict\"><option value=\"\">any</option><option>not met</option><option>unanswered</option>\
<option>marginal</option><option>open</option></select></p>
<p><label for=\"place\">Job or place</label> <input id=\"place\" type=\"search\" autocomplete=\"off\"></p>
<p><output id=\"shown\" for=\"section verdict place\"></output></p>
</form>
";

const STYLE: &str = "\
body { max-width: 76rem; }
.counts { font-size: 1.2rem; }
#narrow { display: flex; flex-wrap: wrap; gap: 0.25rem 1.5rem; }
#narrow[hidden] { display: none; }
input, select { font: inherit; padding: 0.2rem 0.4rem; border: 1px solid #333; max-width: 100%; }
input:focus-visible, select:focus-visible, button:focus-visible { outline: 3px solid #0b3a8c; outline-offset: 2px; }
thead button { font: inherit; font-weight: 700; background: none; border: 0; padding: 0.25rem 0; min-height: 24px; text-align: left; cursor: pointer; text-decoration: underline; }
th[aria-sort=ascending] button::after { content: \" \\2191\"; }
th[aria-sort=descending] button::after { content: \" \\2193\"; }
.file { font-size: 0.85rem; font-weight: 400; color: #333; overflow-wrap: anywhere; }
table.index td ul { margin: 0; padding-left: 1.1rem; }
table.index thead th { overflow-wrap: normal; }
table.index tbody th { text-align: left; }
td.number { text-align: right; }
tr[hidden], .paper { display: none; }
@media screen and (max-width: 48rem) {
  table.index, table.index caption, table.index tbody, table.index tr, table.index th, table.index td { display: block; }
  table.index thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  table.index tr { border: 1px solid #333; padding: 0.4rem 0.6rem; margin-bottom: 0.5rem; }
  table.index tr[hidden] { display: none; }
  table.index th, table.index td { border: 0; padding: 0.1rem 0; text-align: left; }
  table.index td::before { content: attr(data-head) \": \"; color: #333; }
}
@media print {
  #narrow, thead button { display: none; }
  .paper { display: inline; }
  table.index { font-size: 8pt; line-height: 1.25; width: calc(100% - 2px); }
  table.index th, table.index td { padding: 0.15rem 0.3rem; }
  .file, table.index td ul { font-size: 7pt; }
}
";

/// Sorts by a column and narrows down; the page reads without it.
const SCRIPT: &str = "
(function () {
  'use strict';
  var table = document.getElementById('jobs'), body = table.tBodies[0], rows = Array.prototype.slice.call(body.rows);
  var form = document.getElementById('narrow'), shown = document.getElementById('shown');
  var fields = ['section', 'verdict', 'place'].map(function (id) { return document.getElementById(id); });
  form.hidden = false;
  function narrow() {
    var section = fields[0].value.trim().toLowerCase(), verdict = fields[1].value, place = fields[2].value.trim().toLowerCase(), count = 0;
    rows.forEach(function (row) {
      var fits = place === '' || (row.cells[0].textContent + ' ' + row.cells[1].textContent).toLowerCase().indexOf(place) >= 0;
      if (fits && (section !== '' || verdict !== '')) {
        fits = Array.prototype.some.call(row.querySelectorAll('li'), function (one) {
          return one.dataset.section.toLowerCase().indexOf(section) >= 0 && (verdict === '' || one.dataset.verdict === verdict);
        });
      }
      row.hidden = !fits;
      if (fits) { count += 1; }
    });
    shown.textContent = count + ' of ' + rows.length + ' shown';
  }
  fields.forEach(function (field) { field.addEventListener('input', narrow); });
  form.addEventListener('submit', function (event) { event.preventDefault(); });
  Array.prototype.forEach.call(table.tHead.rows[0].cells, function (head, at) {
    var button = document.createElement('button');
    button.type = 'button';
    button.textContent = head.textContent;
    var paper = document.createElement('span');
    paper.className = 'paper';
    paper.textContent = head.textContent;
    head.textContent = '';
    head.appendChild(button);
    head.appendChild(paper);
    button.addEventListener('click', function () {
      var down = head.getAttribute('aria-sort') === 'ascending';
      Array.prototype.forEach.call(table.tHead.rows[0].cells, function (other) { other.removeAttribute('aria-sort'); });
      head.setAttribute('aria-sort', down ? 'descending' : 'ascending');
      var sorted = rows.map(function (row, place) { return [row.cells[at].textContent, place, row]; });
      sorted.sort(function (a, b) {
        var numbers = a[0] !== '' && b[0] !== '' && !isNaN(a[0]) && !isNaN(b[0]);
        var order = numbers ? a[0] - b[0] : a[0] < b[0] ? -1 : a[0] > b[0] ? 1 : 0;
        return (down ? -order : order) || a[1] - b[1];
      });
      sorted.forEach(function (one) { body.appendChild(one[2]); });
    });
  });
  narrow();
})();
";
