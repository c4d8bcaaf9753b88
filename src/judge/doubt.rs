//! Why a value is uncertain, and truths with three values. It must not know how values are reckoned.

use crate::job::RecordId;
use crate::source::Span;

/// Something that the job does not tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Missing {
    /// A fact of a record, by its position in the record's own definition.
    Fact(RecordId, usize),
    /// A list or single record below a record, by its position among the children.
    Children(RecordId, usize),
    /// The exact day of a date that is only partly known.
    Day(RecordId, usize),
}

/// Why something cannot be computed.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Obstacle {
    /// The exact arithmetic has no room for it.
    TooManyDigits(Span),
    /// A division by nought.
    DivisionByNought(Span),
    /// A key that no row of a table answers to: the reason as a clause.
    OutsideTable(Span, String),
    /// A comparison or sum with something that is not there.
    IsNone(Span),
    /// The least or greatest of nothing.
    NothingToCompare(Span),
    /// A day outside the calendar.
    OutsideCalendar(Span),
    /// More steps than one section may take for one thing.
    TooManySteps(Span),
    /// A calculation refuses its numbers: the reason as a clause.
    Unreckonable(Span, String),
    /// A calculation is not made for such a thing: the reason as a clause.
    Unfit(Span, String),
    /// The result lies nearer to a limit than it can be reckoned.
    TooNear(Span),
}

impl Obstacle {
    /// Where in its pack.
    pub fn span(&self) -> Span {
        match self {
            Obstacle::TooManyDigits(span) | Obstacle::DivisionByNought(span) | Obstacle::OutsideTable(span, _) | Obstacle::IsNone(span) => {
                *span
            }
            Obstacle::NothingToCompare(span) | Obstacle::OutsideCalendar(span) | Obstacle::TooManySteps(span) => *span,
            Obstacle::Unreckonable(span, _) | Obstacle::Unfit(span, _) | Obstacle::TooNear(span) => *span,
        }
    }

    /// The obstacle as a clause.
    pub fn describe(&self) -> String {
        match self {
            Obstacle::TooManyDigits(_) => "the exact value has too many digits".into(),
            Obstacle::DivisionByNought(_) => "it divides by nought".into(),
            Obstacle::OutsideTable(_, why) => why.clone(),
            Obstacle::IsNone(_) => "something is compared or reckoned with that the job says is not there".into(),
            Obstacle::NothingToCompare(_) => "there is nothing of which it could be the least or greatest".into(),
            Obstacle::OutsideCalendar(_) => "the day lies outside the calendar".into(),
            Obstacle::Unreckonable(_, why) | Obstacle::Unfit(_, why) => why.clone(),
            Obstacle::TooNear(_) => "the result lies nearer to the limit than it can be reckoned".into(),
            Obstacle::TooManySteps(_) => "it takes more steps than one section may take for one thing".into(),
        }
    }
}

/// Every reason why a value is uncertain.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct Doubt {
    /// A measuring tolerance takes part.
    pub tolerance: bool,
    /// A value that is being varied takes part, to find where it may lie; never so while a job is judged.
    pub varied: bool,
    /// What is missing.
    pub missing: Vec<Missing>,
    /// What cannot be computed.
    pub obstacles: Vec<Obstacle>,
}

impl Doubt {
    /// Doubt by a measuring tolerance.
    pub fn of_tolerance() -> Doubt {
        Doubt { tolerance: true, ..Doubt::default() }
    }

    /// Doubt by something missing.
    pub fn of_missing(missing: Missing) -> Doubt {
        Doubt { missing: vec![missing], ..Doubt::default() }
    }

    /// Doubt by an obstacle.
    pub fn of_obstacle(obstacle: Obstacle) -> Doubt {
        Doubt { obstacles: vec![obstacle], ..Doubt::default() }
    }

    /// Whether there is none.
    pub fn is_none(&self) -> bool {
        !self.tolerance && self.missing.is_empty() && self.obstacles.is_empty()
    }

    /// Takes in another's reasons.
    pub fn join(&mut self, other: &Doubt) {
        self.tolerance |= other.tolerance;
        self.varied |= other.varied;
        for missing in &other.missing {
            if !self.missing.contains(missing) {
                self.missing.push(*missing);
            }
        }
        for obstacle in &other.obstacles {
            if !self.obstacles.contains(obstacle) {
                self.obstacles.push(obstacle.clone());
            }
        }
    }

    /// Both together.
    pub fn and(mut self, other: &Doubt) -> Doubt {
        self.join(other);
        self
    }
}

/// Yes, no, or not sure and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Truth {
    /// Surely so.
    Yes,
    /// Surely not so.
    No,
    /// Not sure.
    Doubtful(Doubt),
}

impl Truth {
    /// Yes or no.
    pub fn sure(yes: bool) -> Truth {
        if yes { Truth::Yes } else { Truth::No }
    }

    /// The contrary.
    pub fn negated(self) -> Truth {
        match self {
            Truth::Yes => Truth::No,
            Truth::No => Truth::Yes,
            doubtful => doubtful,
        }
    }

    /// Both: no if either is no.
    pub fn and(self, other: Truth) -> Truth {
        match (self, other) {
            (Truth::No, _) | (_, Truth::No) => Truth::No,
            (Truth::Yes, other) | (other, Truth::Yes) => other,
            (Truth::Doubtful(a), Truth::Doubtful(b)) => Truth::Doubtful(a.and(&b)),
        }
    }

    /// Either: yes if either is yes.
    pub fn or(self, other: Truth) -> Truth {
        self.negated().and(other.negated()).negated()
    }
}
