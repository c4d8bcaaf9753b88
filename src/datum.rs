//! Values that a pack or a job can state, and the kinds they are of. It must not know where a value came from.

use crate::quantity::{Days, Dimension, Exact, Interval, Period, Unit, Wire};
use std::collections::HashMap;
use std::sync::Arc;

/// A word of a word list, by number; the same word is one number in every list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct WordId(pub u32);

/// A word list, by number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct ListId(pub u32);

/// A kind of record, by number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct DefId(pub u32);

/// The kind of a fact, a column or an expression.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Yes or no; also the kind of every condition.
    YesNo,
    /// A whole number of things.
    Count,
    /// A number with a dimension; a plain ratio has none.
    Measure(Dimension),
    /// A temperature on a scale.
    Temperature,
    /// A day.
    Date,
    /// A length of time by the calendar.
    Period,
    /// A word of a list.
    Word(ListId),
    /// Some words of a list.
    WordSet(ListId),
    /// A text.
    Text,
    /// Several texts.
    TextList,
    /// A range of a measure.
    Range(Dimension),
    /// The size of a conductor.
    Wire,
    /// A point of the drawing.
    Point,
    /// Points of the drawing, in order.
    Points,
    /// A recording of a measure over time.
    Recording(Dimension),
    /// A record.
    Thing(DefId),
}

impl Kind {
    /// The kind in words.
    pub fn describe(&self, lists: &Lists) -> String {
        match self {
            Kind::YesNo => "yes or no".into(),
            Kind::Count => "a count".into(),
            Kind::Measure(dimension) if *dimension == Dimension::NONE => "a plain ratio".into(),
            Kind::Measure(dimension) => format!("{} {dimension}", article(&dimension.to_string())),
            Kind::Temperature => "a temperature".into(),
            Kind::Date => "a date".into(),
            Kind::Period => "a length of time by the calendar".into(),
            Kind::Word(list) => format!("a word of {}", lists.describe(*list)),
            Kind::WordSet(list) => format!("some words of {}", lists.describe(*list)),
            Kind::Text => "a text".into(),
            Kind::TextList => "a list of texts".into(),
            Kind::Range(dimension) => format!("a range of {dimension}"),
            Kind::Wire => "a wire size".into(),
            Kind::Point => "a point".into(),
            Kind::Points => "a list of points".into(),
            Kind::Recording(dimension) => format!("a recording of {dimension}"),
            Kind::Thing(_) => "a thing".into(),
        }
    }

    /// Whether values of the kind lie on either side of nought by their nature: angles, temperatures and what differs between two.
    pub fn goes_below_nought(&self) -> bool {
        let two_sided =
            |dimension: &Dimension| ["angle", "temperature-difference"].into_iter().any(|name| Dimension::named(name) == Some(*dimension));
        match self {
            Kind::Measure(dimension) | Kind::Range(dimension) => two_sided(dimension),
            Kind::Temperature => true,
            _ => false,
        }
    }

    /// Whether values of the kind are numbers that can be reckoned with.
    pub fn is_number(&self) -> bool {
        matches!(self, Kind::Count | Kind::Measure(_))
    }
}

/// `a` or `an`, as the next word sounds.
pub fn article(word: &str) -> &'static str {
    if word.starts_with(['a', 'e', 'i', 'o']) { "an" } else { "a" }
}

/// A word list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WordList {
    /// Its name; a list that stands in a definition itself has none.
    pub name: Option<String>,
    /// Its words.
    pub words: Vec<WordId>,
    /// Whether they are in order.
    pub ordered: bool,
}

/// Every word and word list of a program.
#[derive(Clone, Debug, Default)]
pub struct Lists {
    words: Vec<String>,
    numbers: HashMap<String, WordId>,
    lists: Vec<WordList>,
}

impl Lists {
    /// The number of a word, taken in if it is new.
    pub fn word(&mut self, text: &str) -> WordId {
        if let Some(number) = self.numbers.get(text) {
            return *number;
        }
        let number = WordId(u32::try_from(self.words.len()).unwrap_or(u32::MAX));
        self.words.push(text.to_string());
        self.numbers.insert(text.to_string(), number);
        number
    }

    /// The number of a word that some list has.
    pub fn known(&self, text: &str) -> Option<WordId> {
        self.numbers.get(text).copied()
    }

    /// The text of a word.
    pub fn text(&self, word: WordId) -> &str {
        self.words.get(word.0 as usize).map_or("", String::as_str)
    }

    /// Takes in a list.
    pub fn add(&mut self, list: WordList) -> ListId {
        self.lists.push(list);
        ListId(u32::try_from(self.lists.len() - 1).unwrap_or(u32::MAX))
    }

    /// A list.
    pub fn list(&self, list: ListId) -> &WordList {
        &self.lists[list.0 as usize]
    }

    /// A list, to add words to it.
    pub fn list_mut(&mut self, list: ListId) -> &mut WordList {
        &mut self.lists[list.0 as usize]
    }

    /// Every list with its number.
    pub fn all(&self) -> impl Iterator<Item = (ListId, &WordList)> {
        self.lists.iter().enumerate().map(|(index, list)| (ListId(u32::try_from(index).unwrap_or(u32::MAX)), list))
    }

    /// The words of a list, as texts.
    pub fn texts(&self, list: ListId) -> impl Iterator<Item = &str> {
        self.list(list).words.iter().map(|word| self.text(*word))
    }

    /// The word of that text, if the list has it.
    pub fn word_in(&self, list: ListId, text: &str) -> Option<WordId> {
        self.known(text).filter(|word| self.list(list).words.contains(word))
    }

    /// The list by its name, or by its words where it has none.
    pub fn describe(&self, list: ListId) -> String {
        match &self.list(list).name {
            Some(name) => name.clone(),
            None => format!("({})", self.texts(list).collect::<Vec<_>>().join(", ")),
        }
    }
}

/// A point of the drawing: x along the gate line from the left jamb seen from the public side, y square to it and positive to
/// the secured side, z up from grade where it is given; lengths in base units, with a tolerance as intervals.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// Along the gate line.
    pub x: Interval,
    /// Square to the gate line.
    pub y: Interval,
    /// Up from grade.
    pub z: Option<Interval>,
    /// The unit that the author wrote.
    pub unit: Option<Unit>,
}

impl Place {
    /// The coordinates that it has.
    pub fn coordinates(&self) -> impl Iterator<Item = Interval> {
        [self.x, self.y].into_iter().chain(self.z)
    }

    /// Its coordinates, to widen them.
    pub fn coordinates_mut(&mut self) -> impl Iterator<Item = &mut Interval> {
        [&mut self.x, &mut self.y].into_iter().chain(&mut self.z)
    }
}

/// A measure recorded over time.
#[derive(Debug, PartialEq, Eq)]
pub struct Recording {
    /// The name of its file, as the job states it.
    pub file: String,
    /// Time in seconds and value in base units, times increasing.
    pub samples: Vec<(Exact, Exact)>,
    /// The unit of the values.
    pub unit: Option<Unit>,
}

/// A value as a pack or a job states it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Datum {
    /// Yes or no.
    YesNo(bool),
    /// A number in base units; a stated tolerance makes it an interval. The unit is the one that the author wrote.
    Number(Interval, Option<Unit>),
    /// A day, or a year or month.
    Days(Days),
    /// A length of time by the calendar.
    Period(Period),
    /// A word.
    Word(WordId),
    /// Some words.
    WordSet(Vec<WordId>),
    /// A text.
    Text(String),
    /// Several texts.
    TextList(Vec<String>),
    /// A range, both ends included.
    Range(Exact, Exact, Option<Unit>),
    /// The size of a conductor.
    Wire(Wire),
    /// A point.
    Point(Box<Place>),
    /// Several points.
    Points(Vec<Place>),
    /// A recording.
    Recording(Arc<Recording>),
}
