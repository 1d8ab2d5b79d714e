//! What is accepted where, as data: written by listening to the readers, read by the JSON Schema
//! and the key reference.

use crate::bounds::Range;

/// What a value may be.
#[derive(Clone, Debug)]
pub(crate) enum Shape {
    /// As defined under that name.
    Named(&'static str),
    /// A list of at least so many.
    List(Box<Shape>, usize),
    /// One, or a list of at least one.
    OneOrMany(Box<Shape>),
    /// A mapping from names to these.
    Table(Box<Shape>),
    /// A mapping of one name to this.
    OneName(Box<Shape>),
    /// Any of these.
    Any(Vec<Shape>),
    /// One of these words.
    Words(Vec<&'static str>),
    /// `true` or `false`.
    Flag,
    /// A text of any kind.
    Text,
    /// A quantity within a range, defined under the name of what it measures.
    Amount(Range),
    /// A number, whole or not, with its least and greatest value.
    Number {
        /// Whether it must be whole.
        whole: bool,
        /// The least value.
        least: f64,
        /// The greatest value.
        most: f64,
    },
}

/// Something defined under a name.
#[derive(Clone, Debug)]
pub(crate) enum Definition {
    /// A mapping with fixed keys; of each of the choices exactly one key must be there.
    Mapping {
        /// Its keys in the order of their declaration.
        fields: Vec<Field>,
        /// Keys of which exactly one must be there.
        choices: Vec<Vec<&'static str>>,
    },
    /// Any of these.
    Any(Vec<Shape>),
    /// A text that follows a pattern.
    Pattern {
        /// A regular expression for the whole of it, without anchors.
        pattern: String,
        /// As authors write it.
        examples: &'static [&'static str],
    },
}

/// A key of a mapping.
#[derive(Clone, Debug)]
pub(crate) struct Field {
    /// As it is written.
    pub(crate) key: &'static str,
    /// What it is for.
    pub(crate) about: &'static str,
    /// Its value.
    pub(crate) shape: Shape,
    /// Whether it must be there.
    pub(crate) required: bool,
    /// What holds where it is not there, as it would be written.
    pub(crate) instead: Option<&'static str>,
}

impl Field {
    /// What it is for, with the range of its value and what holds without it.
    pub(crate) fn sentence(&self) -> String {
        let mut out = self.about.to_owned();
        if let Some(range) = self.shape.range() {
            out.push_str(&format!("; {} to {}", range.least, range.most));
        }
        if let Some(instead) = self.instead {
            out.push_str(&format!("; `{instead}` where it is not written"));
        }
        out
    }
}

impl Shape {
    /// The range of a quantity, where one is accepted.
    fn range(&self) -> Option<Range> {
        match self {
            Self::Amount(range) => Some(*range),
            Self::Any(any) => any.iter().find_map(Self::range),
            _ => None,
        }
    }
}

/// All definitions that were met, in the order in which they were first met.
#[derive(Debug, Default)]
pub(crate) struct Shapes {
    entries: Vec<Entry>,
}

/// A definition with its name and a sentence about it.
#[derive(Debug)]
pub(crate) struct Entry {
    /// Its name, such as `camera effect`.
    pub(crate) name: &'static str,
    /// What it is for.
    pub(crate) about: String,
    /// What it is; none only while it is being described.
    pub(crate) definition: Option<Definition>,
}

impl Shapes {
    /// Announces a definition; false if it has been met.
    pub(crate) fn begin(&mut self, name: &'static str) -> bool {
        if self.entries.iter().any(|entry| entry.name == name) {
            return false;
        }
        self.entries.push(Entry { name, about: String::new(), definition: None });
        true
    }

    /// Fills in a definition that was announced.
    pub(crate) fn define(&mut self, name: &str, about: impl Into<String>, definition: Definition) {
        if let Some(entry) = self.entries.iter_mut().find(|entry| entry.name == name) {
            entry.about = about.into();
            entry.definition = Some(definition);
        }
    }

    /// All definitions.
    pub(crate) fn entries(&self) -> &[Entry] {
        &self.entries
    }
}
