//! Readers of lists, of mappings from names, and of what is given for each language.

use crate::decode::{Reader, Reads};
use crate::model::{ByLanguage, Entry, Table};
use crate::shape::{Shape, Shapes};
use crate::span::Spanned;
use crate::values::{NameText, name_of};
use crate::yaml::{Node, NodeKind};

/// A list of at least so many of one kind. What could not be read is left out.
pub(crate) struct List<R> {
    of: R,
    at_least: usize,
    /// Whether one alone may stand without brackets.
    alone: bool,
}

/// A list of at least so many.
pub(crate) const fn list<R: Reads>(at_least: usize, of: R) -> List<R> {
    List { of, at_least, alone: false }
}

/// One, or a list of at least one.
pub(crate) const fn one_or_many<R: Reads>(of: R) -> List<R> {
    List { of, at_least: 1, alone: true }
}

impl<R: Reads> Reads for List<R> {
    type Out = Vec<Spanned<R::Out>>;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        let of = Box::new(self.of.shape(shapes));
        if self.alone { Shape::OneOrMany(of) } else { Shape::List(of, self.at_least) }
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<Self::Out> {
        let items = match &node.kind {
            NodeKind::List(items) => items.as_slice(),
            _ if self.alone => std::slice::from_ref(node),
            _ => {
                reader.wrong_kind(node, "a list");
                return None;
            }
        };
        let read: Vec<_> = items
            .iter()
            .filter_map(|item| {
                Some(Spanned { value: self.of.read(item, reader)?, span: item.span })
            })
            .collect();
        if items.len() < self.at_least && read.len() == items.len() {
            reader.error(
                "too-few",
                node.head,
                format!("{} in this list, at least {} are needed", items.len(), self.at_least),
                "add what is missing",
            );
        }
        Some(read)
    }
}

/// A mapping from names to one kind of thing.
pub(crate) struct Names<R>(R);

/// A mapping from names to one kind of thing.
pub(crate) const fn table<R: Reads>(of: R) -> Names<R> {
    Names(of)
}

impl<R: Reads> Reads for Names<R> {
    type Out = Table<R::Out>;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        NameText.shape(shapes);
        Shape::Table(Box::new(self.0.shape(shapes)))
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<Table<R::Out>> {
        let NodeKind::Map(pairs) = &node.kind else {
            reader.wrong_kind(node, "a mapping from names");
            return None;
        };
        let mut table = Table::default();
        for pair in pairs {
            let name = name_of(&pair.key, pair.key_span, reader);
            let value = self.0.read(&pair.value, reader);
            let Some(name) = name else { continue };
            let name = Spanned { value: name, span: pair.key_span };
            match value {
                Some(value) => table.entries.push(Entry { name, value, span: pair.span() }),
                None => table.broken.push(name),
            }
        }
        Some(table)
    }
}

/// One value in the tour's own language, or a mapping from languages.
pub(crate) struct Languages<R>(R);

/// One value in the tour's own language, or a mapping from languages.
pub(crate) const fn by_language<R: Reads>(of: R) -> Languages<R> {
    Languages(of)
}

impl<R: Reads> Reads for Languages<R> {
    type Out = ByLanguage<R::Out>;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        NameText.shape(shapes);
        let one = self.0.shape(shapes);
        Shape::Any(vec![one.clone(), Shape::Table(Box::new(one))])
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<Self::Out> {
        let NodeKind::Map(pairs) = &node.kind else {
            let value = self.0.read(node, reader)?;
            return Some(ByLanguage::Own(Spanned { value, span: node.span }));
        };
        let mut each = Vec::new();
        for pair in pairs {
            let language = name_of(&pair.key, pair.key_span, reader);
            let value = self.0.read(&pair.value, reader);
            let (Some(language), Some(value)) = (language, value) else { continue };
            each.push((
                Spanned { value: language, span: pair.key_span },
                Spanned { value, span: pair.value.span },
            ));
        }
        Some(ByLanguage::Each(each))
    }
}
