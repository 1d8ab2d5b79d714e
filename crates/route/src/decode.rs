//! The one declaration of the language: readers of values, and the keys of mappings.
//!
//! A [`Reads`] knows two things about a kind of value: how to read it, and how it is described. A
//! [`Mapping`] declares its keys by asking for them. The same function runs over a mapping in a
//! file and over no mapping at all, just to be listened to; so what is accepted, the JSON Schema
//! and the key reference come from one place and cannot differ.

use diagnostic::{Diagnostic, Edit};

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
        let said = reader.findings.len();
        let (made, strange) = read_keys::<M>(node, pairs, reader);
        if strange.iter().all(|strange| strange.meant.is_none()) {
            strange.iter().for_each(|strange| strange.report(reader));
            return made;
        }
        // What stands behind a misspelt key is read as what the key is meant to be: so it is
        // checked as well, and nothing is missing that is there under a name a letter off.
        reader.findings.truncate(said);
        let mut meant = pairs.clone();
        for strange in &strange {
            if let (Some(pair), Some(key)) = (meant.get_mut(strange.at), strange.meant) {
                key.clone_into(&mut pair.key);
            }
        }
        let (made, others) = read_keys::<M>(node, &meant, reader);
        strange.iter().filter(|strange| strange.meant.is_some()).for_each(|s| s.report(reader));
        others.iter().for_each(|strange| strange.report(reader));
        made
    }
}

/// Reads a mapping once. Also tells the keys that cannot stand in it, not reported yet.
fn read_keys<M: Mapping>(
    node: &Node,
    pairs: &[Pair],
    reader: &mut Reader<'_>,
) -> (Option<M>, Vec<Strange>) {
    let (asked, missing, spoilt) = (Vec::new(), Vec::new(), Vec::new());
    let mut keys = Keys { mode: Mode::Reading { node, pairs, asked, missing, spoilt, reader } };
    let made = M::keys(&mut keys);
    (made, keys.finish())
}

/// A key that cannot stand where it does.
struct Strange {
    /// Which pair of the mapping.
    at: usize,
    key: String,
    span: Span,
    /// The key that is meant, where one that is not written is near enough.
    meant: Option<&'static str>,
    /// What to do.
    help: String,
    /// The change that mends it, where it is certain.
    edit: Option<Edit>,
}

impl Strange {
    fn report(&self, reader: &mut Reader<'_>) {
        let headline = format!("`{}` is not a key that can stand here", self.key);
        let finding = reader.finding("unknown-key", self.span, headline, self.help.as_str());
        reader.put(finding.edits(self.edit.clone()));
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
        /// Keys that must be there and are not, with what they are about.
        missing: Vec<(&'static str, &'static str)>,
        /// Keys in whose values mistakes were found.
        spoilt: Vec<&'static str>,
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
        if !there && let Mode::Reading { missing, .. } = &mut self.mode {
            missing.push((key, about));
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
            let scalar = Scalar { text: instead.to_owned(), verbatim: None, block: None };
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

    /// Whether no mistake was found in the value of a key asked for before.
    pub(crate) fn could_be_read(&self, key: &str) -> bool {
        match &self.mode {
            Mode::Reading { spoilt, .. } => !spoilt.contains(&key),
            Mode::Describing { .. } => true,
        }
    }

    /// Whether no mistake has been found from one byte of the file to another.
    pub(crate) fn nothing_found(&self, from: usize, to: usize) -> bool {
        match &self.mode {
            Mode::Reading { reader, .. } => {
                let at = |finding: &Diagnostic| finding.place.bytes.0;
                !reader.findings.iter().any(|finding| (from..to).contains(&at(finding)))
            }
            Mode::Describing { .. } => true,
        }
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
            Mode::Reading { pairs, asked, spoilt, reader, .. } => {
                asked.push(key);
                let pair = pairs.iter().find(|pair| pair.key == key)?;
                let said = reader.findings.len();
                let value = reads.read(&pair.value, reader);
                if value.is_none() || reader.findings.len() > said {
                    spoilt.push(key);
                }
                Some(Spanned { value: value?, span: pair.value.span })
            }
        }
    }

    /// Reports the keys that are missing, and tells those that were not asked for.
    fn finish(self) -> Vec<Strange> {
        let Mode::Reading { node, pairs, asked, missing, reader, .. } = self.mode else {
            return Vec::new();
        };
        // Each of them can be meant once.
        let unwritten = asked.iter().filter(|key| pairs.iter().all(|pair| pair.key != **key));
        let mut free: Vec<&'static str> = unwritten.copied().collect();
        let mut strange: Vec<Strange> = Vec::new();
        let others = pairs.iter().enumerate().filter(|(_, pair)| !asked.contains(&&*pair.key));
        // More are not told anyway.
        for (at, pair) in others.take(bounds::FINDINGS + 1) {
            let meant = near(&pair.key, free.iter().copied());
            free.retain(|key| Some(*key) != meant);
            let help = match meant.or_else(|| near(&pair.key, asked.iter().copied())) {
                Some(meant) => format!("`{meant}` is probably meant"),
                None => {
                    let mut known: Vec<_> = asked.iter().map(|key| format!("`{key}`")).collect();
                    known.sort_unstable();
                    format!("the keys that can stand here are {}", known.join(", "))
                }
            };
            let (key, span) = (pair.key.clone(), pair.key_span);
            strange.push(Strange { at, key, span, meant, help, edit: None });
        }
        // A key that two could be is certain for neither, nor is one that is there already.
        let slips: Vec<_> =
            strange.iter().map(|one| slip(&one.key, asked.iter().copied())).collect();
        for (one, slip) in strange.iter_mut().zip(&slips) {
            let alone = slips.iter().filter(|other| *other == slip).count() == 1;
            let slip = slip.filter(|key| alone && one.meant == Some(*key));
            one.edit = slip.and_then(|key| reader.file().instead(one.span, &one.key, key));
        }
        // One that is missing and one that is too much are one mistake.
        if let ([(key, about)], [one]) = (missing.as_slice(), strange.as_mut_slice()) {
            if one.meant.is_none() {
                one.help = format!("`{key}` is missing here and may be meant: {about}");
            }
            return strange;
        }
        for (key, about) in missing {
            let headline = format!("`{key}` is missing");
            reader.error("missing-key", node.head, headline, format!("add `{key}:` ({about})"));
        }
        strange
    }
}

/// The name of `known` that is nearest to `written`, if one is near enough to be meant.
///
/// Upper and lower case, `-`, `_` and blanks count as the same. Of two equally near, the one that
/// shares more with what is written: `of` is rather `off` than `on`.
#[must_use]
pub fn near<'k>(written: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    known
        .into_iter()
        .filter_map(|name| Some((nearness(written, name)?, name)))
        .min_by(|(distance, name), (other_distance, other)| {
            let alike = |name: &str| strsim::jaro_winkler(&plain(written), &plain(name));
            let by_distance = distance.cmp(other_distance);
            by_distance.then_with(|| alike(other).total_cmp(&alike(name)))
        })
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

#[cfg(test)]
mod tests {
    use super::near;

    #[test]
    fn of_two_equally_near_the_one_that_shares_more_is_meant() {
        assert_eq!(near("of", ["on", "off"]), Some("off"));
        assert_eq!(near("om", ["off", "on"]), Some("on"));
        assert_eq!(near("xyz", ["off", "on"]), None);
    }
}
