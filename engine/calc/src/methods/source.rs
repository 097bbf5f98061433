//! Where a formula or a published value comes from, and how well that is known.

use std::fmt;

/// How well the text of a source is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// Its page was read, in print or in a copy.
    Read,
    /// Another text reports it.
    SecondHand,
    /// It was written down from memory.
    Memory,
}

/// What kind of text a formula or a value rests on.
///
/// A shop's page and a calculator's are no kind: they repeat the formula that they would have to confirm.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SourceKind {
    /// A standard, a code or a recommended practice of a standards body.
    Standard(Mark),
    /// A handbook, or a guide of a society of the trade.
    Handbook(Mark),
    /// A table or a worked example that a public agency, a university's extension service or an aid organisation prints.
    AgencyTable(Mark),
    /// A table or a worked example that a maker prints for its own equipment.
    MakerTable(Mark),
    /// It follows from definitions, or was worked out here.
    Derived,
    /// Common practice of the trade, for which no source is known.
    Practice,
}

impl SourceKind {
    /// How well it is known; nothing for what nobody published.
    pub fn mark(self) -> Option<Mark> {
        match self {
            Self::Standard(mark)
            | Self::Handbook(mark)
            | Self::AgencyTable(mark)
            | Self::MakerTable(mark) => Some(mark),
            Self::Derived | Self::Practice => None,
        }
    }
}

impl fmt::Display for SourceKind {
    /// The mark in a word or two, as it follows a source.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match (self.mark(), self) {
            (Some(Mark::Read), _) => "read",
            (Some(Mark::SecondHand), _) => "2nd hand",
            (Some(Mark::Memory), _) => "memory",
            (None, Self::Practice) => "common practice, no source",
            (None, _) => "derived",
        })
    }
}

/// One source of a method, with what is taken from it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Source {
    /// What kind of text it is, and how well it is known.
    pub kind: SourceKind,
    /// What it says, then its title, edition, table or page; without a full stop.
    pub says: &'static str,
}

impl Source {
    pub(crate) const fn new(kind: SourceKind, says: &'static str) -> Source {
        Source { kind, says }
    }
}

/// What a method rests on. It is shown as sentences, as a card prints it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Basis {
    /// The sources, the formula's own first.
    pub sources: &'static [Source],
    /// When the formula holds, in sentences; empty where its sources say it.
    pub holds: &'static str,
}

impl fmt::Display for Basis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (at, Source { kind, says }) in self.sources.iter().enumerate() {
            let space = if at > 0 { " " } else { "" };
            write!(f, "{space}{says} ({kind}).")?;
        }
        if !self.holds.is_empty() {
            write!(f, " {}", self.holds)?;
        }
        Ok(())
    }
}
