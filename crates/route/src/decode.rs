//! The one declaration of the language: readers of values, and the keys of mappings.
//!
//! A [`Reads`] knows two things about a kind of value: how to read it, and how it is described. A
//! [`Mapping`] declares its keys by asking for them. The same function runs over a mapping in a
//! file and over no mapping at all, just to be listened to; so what is accepted, the JSON Schema
//! and the key reference come from one place and cannot differ.

use diagnostic::Diagnostic;

use crate::bounds;
use crate::remedy::slip;
use crate::shape::{Definition, Field, Shape, Shapes};
use crate::span::{FileId, SourceFile, Span, Spanned};
use crate::yaml::{Node, NodeKind, Pair, Scalar};

/// Reads a kind of value, and describes it.
pub(crate) trait Reads {
    /// What comes out.
    type Out;

    /// What is accepted.
    fn shape(&self, shapes: &mut Shapes) -> Shape;

    /// Reads `node`. None after a mistake, which has been reported. A value that could be read in
    /// part may come out in part, its mistakes reported.
    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<Self::Out>;
}

/// Reports the mistakes of one file.
pub(crate) struct Reader<'a> {
    file: &'a SourceFile,
    id: FileId,
    findings: &'a mut Vec<Diagnostic>,
}

impl<'a> Reader<'a> {
    pub(crate) fn new(file: &'a SourceFile, id: FileId, findings: &'a mut Vec<Diagnostic>) -> Self {
        Self { file, id, findings }
    }

    /// Reports a mistake: its name, its place, what is wrong, what to do.
    pub(crate) fn error(
        &mut self,
        name: &'static str,
        span: Span,
        headline: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.put(self.finding(name, span, headline, help));
    }

    /// A mistake to be added to, not reported yet.
    pub(crate) fn finding(
        &self,
        name: &'static str,
        span: Span,
        headline: impl Into<String>,
        help: impl Into<String>,
    ) -> Diagnostic {
        Diagnostic::error(name, self.file.place(span), headline).help(help)
    }

    /// Reports a mistake.
    pub(crate) fn put(&mut self, finding: Diagnostic) {
        report(self.findings, finding);
    }

    /// The file that is read.
    pub(crate) const fn file(&self) -> &'a SourceFile {
        self.file
    }

    /// Reports a mistake that has a second place.
    pub(crate) fn error_with(
        &mut self,
        name: &'static str,
        span: Span,
        headline: impl Into<String>,
        help: impl Into<String>,
        (other, label): (Span, &str),
    ) {
        let related = self.file.place(other);
        let place = self.file.place(span);
        let finding = Diagnostic::error(name, place, headline).help(help).related(related, label);
        report(self.findings, finding);
    }

    /// The span of part of a scalar, given in bytes of its text; the whole scalar where its text
    /// does not stand in the file letter by letter.
    pub(crate) fn part(&self, node: &Node, start: usize, end: usize) -> Span {
        match &node.kind {
            NodeKind::Scalar(Scalar { verbatim: Some(at), .. }) => {
                Span { file: self.id, start: at + start, end: at + end }
            }
            _ => node.span,
        }
    }

    /// The scalar of a node that must be one.
    pub(crate) fn scalar<'n>(&mut self, node: &'n Node, needed: &str) -> Option<&'n Scalar> {
        match &node.kind {
            NodeKind::Scalar(scalar) => Some(scalar),
            _ => {
                self.wrong_kind(node, needed);
                None
            }
        }
    }

    /// Reports a value of a kind that does not fit here.
    pub(crate) fn wrong_kind(&mut self, node: &Node, needed: &str) {
        if matches!(node.kind, NodeKind::Refused) {
            return;
        }
        if matches!(node.kind, NodeKind::Nothing) {
            self.error(
                "empty-value",
                node.head,
                format!("nothing is written where {needed} is needed"),
                "write the value, or leave the key out",
            );
            return;
        }
        self.error(
            "wrong-kind",
            node.head,
            format!("{} is needed here, not {}", needed, node.words()),
            format!("write {needed}"),
        );
    }
}

/// Adds a finding to those of one file, up to the number that is shown.
pub(crate) fn report(findings: &mut Vec<Diagnostic>, finding: Diagnostic) {
    if findings.len() < bounds::FINDINGS {
        findings.push(finding);
    } else if findings.len() == bounds::FINDINGS {
        let headline = format!("this file has more than {} mistakes", bounds::FINDINGS);
        findings.push(
            Diagnostic::error("too-many-findings", finding.place, headline)
                .help("mend those shown and check again"),
        );
    }
}

/// A mapping with fixed keys.
pub(crate) trait Mapping: Sized {
    /// What it is called in the reference, and as a definition of the schema.
    const NAME: &'static str;
    /// What it is for, in a sentence.
    const ABOUT: &'static str;

    /// Asks for every key, then makes the value. No key may be asked for after a `return` or `?`:
    /// what is not asked for is not known.
    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self>;
}

/// A reader of the mapping `M`.
pub(crate) struct Of<M>(std::marker::PhantomData<M>);

/// A reader of the mapping `M`.
pub(crate) const fn of<M: Mapping>() -> Of<M> {
    Of(std::marker::PhantomData)
}

impl<M: Mapping> Reads for Of<M> {
    type Out = M;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        if shapes.begin(M::NAME) {
            let mut keys =
                Keys { mode: Mode::Describing { shapes, fields: Vec::new(), choices: Vec::new() } };
            let _ = M::keys(&mut keys);
            if let Mode::Describing { shapes, fields, choices } = keys.mode {
                shapes.define(M::NAME, M::ABOUT, Definition::Mapping { fields, choices });
            }
        }
        Shape::Named(M::NAME)
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<M> {
        let NodeKind::Map(pairs) = &node.kind else {
            reader.wrong_kind(node, "a mapping of keys");
            return None;
        };
        let mut keys = Keys { mode: Mode::Reading { node, pairs, asked: Vec::new(), reader } };
        let made = M::keys(&mut keys);
        keys.finish();
        made
    }
}

/// The keys of one mapping: in a file, or only to be listened to.
pub(crate) struct Keys<'a, 'r> {
    mode: Mode<'a, 'r>,
}

enum Mode<'a, 'r> {
    Reading {
        node: &'a Node,
        pairs: &'a [Pair],
        asked: Vec<&'static str>,
        reader: &'a mut Reader<'r>,
    },
    Describing {
        shapes: &'a mut Shapes,
        fields: Vec<Field>,
        choices: Vec<Vec<&'static str>>,
    },
}

impl Keys<'_, '_> {
    /// A key that must be there.
    pub(crate) fn req<R: Reads>(
        &mut self,
        key: &'static str,
        about: &'static str,
        reads: R,
    ) -> Option<Spanned<R::Out>> {
        let there = self.has(key);
        let read = self.ask(key, about, reads, true, None);
        if !there && let Mode::Reading { node, reader, .. } = &mut self.mode {
            reader.error(
                "missing-key",
                node.head,
                format!("`{key}` is missing"),
                format!("add `{key}:` ({about})"),
            );
        }
        read
    }

    /// A key that may be there.
    pub(crate) fn opt<R: Reads>(
        &mut self,
        key: &'static str,
        about: &'static str,
        reads: R,
    ) -> Option<Spanned<R::Out>> {
        self.ask(key, about, reads, false, None)
    }

    /// A key for which a value stands in where it is not written. None after a mistake, or when
    /// only listened to.
    pub(crate) fn or<R: Reads>(
        &mut self,
        key: &'static str,
        instead: &'static str,
        about: &'static str,
        reads: R,
    ) -> Option<R::Out> {
        let there = self.has(key);
        if !there && let Mode::Reading { node, asked, .. } = &mut self.mode {
            asked.push(key);
            let scalar = Scalar { text: instead.to_owned(), verbatim: None };
            let node = Node { kind: NodeKind::Scalar(scalar), span: node.head, head: node.head };
            let mut nowhere = Vec::new();
            let file = SourceFile::new("", "");
            return reads.read(&node, &mut Reader::new(&file, FileId(0), &mut nowhere));
        }
        self.ask(key, about, reads, false, Some(instead)).map(|found| found.value)
    }

    /// Declares that exactly one of some keys must be there. Says which is; none after a mistake.
    pub(crate) fn exactly_one(&mut self, choice: &[&'static str]) -> Option<&'static str> {
        let listed = || choice.iter().map(|key| format!("`{key}`")).collect::<Vec<_>>().join(", ");
        match &mut self.mode {
            Mode::Describing { choices, .. } => {
                choices.push(choice.to_vec());
                None
            }
            Mode::Reading { node, pairs, reader, .. } => {
                let mut there = choice
                    .iter()
                    .filter_map(|key| Some((*key, pairs.iter().find(|p| p.key == *key)?)));
                match (there.next(), there.next()) {
                    (Some((key, _)), None) => Some(key),
                    (None, _) => {
                        reader.error(
                            "missing-key",
                            node.head,
                            format!("one of {} is missing", listed()),
                            "add one of them",
                        );
                        None
                    }
                    (Some((first, first_pair)), Some((second, second_pair))) => {
                        reader.error_with(
                            "keys-clash",
                            second_pair.key_span,
                            format!("`{second}` cannot stand beside `{first}`"),
                            format!("keep one of {}", listed()),
                            (first_pair.key_span, "the other is here"),
                        );
                        None
                    }
                }
            }
        }
    }

    /// Whether a key is written.
    pub(crate) fn has(&self, key: &str) -> bool {
        self.key_span(key).is_some()
    }

    /// Where a key stands, if it is written.
    pub(crate) fn key_span(&self, key: &str) -> Option<Span> {
        match &self.mode {
            Mode::Reading { pairs, .. } => {
                pairs.iter().find(|pair| pair.key == key).map(|pair| pair.key_span)
            }
            Mode::Describing { .. } => None,
        }
    }

    /// A key with its value: where it stands, and as written on one line.
    pub(crate) fn written(&self, key: &str) -> Option<(Span, String)> {
        let Mode::Reading { pairs, reader, .. } = &self.mode else { return None };
        let pair = pairs.iter().find(|pair| pair.key == key)?;
        let span = pair.span();
        let raw = reader.file.text.get(span.start..span.end).unwrap_or_default();
        let text = if raw.contains('\n') {
            format!("{}: {}", pair.key, pair.value.on_one_line())
        } else {
            raw.to_owned()
        };
        Some((span, text))
    }

    /// Where the mapping itself is to be pointed at.
    pub(crate) fn head(&self) -> Option<Span> {
        match &self.mode {
            Mode::Reading { node, .. } => Some(node.head),
            Mode::Describing { .. } => None,
        }
    }

    /// The mapping's own text.
    pub(crate) fn span(&self) -> Option<Span> {
        match &self.mode {
            Mode::Reading { node, .. } => Some(node.span),
            Mode::Describing { .. } => None,
        }
    }

    /// Reports a mistake that several keys make together. Nothing when only listened to.
    pub(crate) fn error(
        &mut self,
        name: &'static str,
        span: Span,
        headline: impl Into<String>,
        help: impl Into<String>,
    ) {
        if let Mode::Reading { reader, .. } = &mut self.mode {
            reader.error(name, span, headline, help);
        }
    }

    /// Reports a mistake with a second place. Nothing when only listened to.
    pub(crate) fn error_with(
        &mut self,
        name: &'static str,
        span: Span,
        headline: impl Into<String>,
        help: impl Into<String>,
        other: (Span, &str),
    ) {
        if let Mode::Reading { reader, .. } = &mut self.mode {
            reader.error_with(name, span, headline, help, other);
        }
    }

    /// Reports a key that does nothing where it stands.
    pub(crate) fn without_effect(&mut self, key: &'static str, why: &str) {
        let Some(span) = self.key_span(key) else { return };
        self.error(
            "setting-without-effect",
            span,
            format!("`{key}` does nothing here: {why}"),
            "take it out, or add what it belongs to",
        );
    }

    fn ask<R: Reads>(
        &mut self,
        key: &'static str,
        about: &'static str,
        reads: R,
        required: bool,
        instead: Option<&'static str>,
    ) -> Option<Spanned<R::Out>> {
        match &mut self.mode {
            Mode::Describing { shapes, fields, .. } => {
                let shape = reads.shape(shapes);
                fields.push(Field { key, about, shape, required, instead });
                None
            }
            Mode::Reading { pairs, asked, reader, .. } => {
                asked.push(key);
                let pair = pairs.iter().find(|pair| pair.key == key)?;
                let value = reads.read(&pair.value, reader)?;
                Some(Spanned { value, span: pair.value.span })
            }
        }
    }

    /// Reports every key that was not asked for.
    fn finish(self) {
        let Mode::Reading { pairs, asked, reader, .. } = self.mode else { return };
        let unknown = pairs.iter().filter(|pair| !asked.contains(&pair.key.as_str()));
        // No more of them are shown.
        let unknown: Vec<&Pair> = unknown.take(bounds::FINDINGS + 1).collect();
        let slip = |pair: &&Pair| slip(&pair.key, asked.iter().copied());
        let slips: Vec<Option<&str>> = unknown.iter().map(slip).collect();
        for (pair, slip) in unknown.iter().zip(&slips) {
            let help = match near(&pair.key, asked.iter().copied()) {
                Some(meant) => format!("`{meant}` is probably meant"),
                None => {
                    let mut known: Vec<_> = asked.iter().map(|key| format!("`{key}`")).collect();
                    known.sort_unstable();
                    format!("the keys that can stand here are {}", known.join(", "))
                }
            };
            let headline = format!("`{}` is not a key that can stand here", pair.key);
            // A key that is there already, or that two could be, would then be there twice.
            let meant = slip.filter(|meant| {
                let there = pairs.iter().any(|other| other.key == *meant);
                !there && slips.iter().filter(|other| **other == Some(meant)).count() == 1
            });
            let edit = meant.and_then(|key| reader.file().instead(pair.key_span, &pair.key, key));
            let finding = reader.finding("unknown-key", pair.key_span, headline, help);
            reader.put(finding.edits(edit));
        }
    }
}

/// The name of `known` that is nearest to `written`, if one is near enough to be meant.
///
/// Upper and lower case, `-`, `_` and blanks count as the same.
#[must_use]
pub fn near<'k>(written: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    known
        .into_iter()
        .filter_map(|name| Some((nearness(written, name)?, name)))
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, name)| name)
}

/// How far a name is from what is written, if it is near.
pub(crate) fn nearness(written: &str, name: &str) -> Option<usize> {
    let wanted: String = plain(written).chars().take(100).collect();
    let distance = strsim::damerau_levenshtein(&wanted, &plain(name));
    (distance <= name.chars().count().div_ceil(4).max(1)).then_some(distance)
}

/// A text as it is compared: upper and lower case, `-`, `_` and blanks are the same.
pub(crate) fn plain(text: &str) -> String {
    text.to_lowercase().replace(['-', '_'], " ")
}
