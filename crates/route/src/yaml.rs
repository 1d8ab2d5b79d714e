//! YAML text to a tree that knows where everything stands.
//!
//! The only place that touches the YAML library. From YAML 1.2 the language takes mappings with
//! plain keys, lists and scalars. Aliases, tags, several documents and keys that are no scalars
//! are refused, and so is nesting deeper than [`bounds::NESTING`]: an author has no use for them,
//! and a hostile file has.

use std::collections::HashMap;

use diagnostic::{Diagnostic, Edit, Severity};
use serde_yaml::granit_parser::{self as granit, Event, Parser, ScalarStyle, StructureStyle};

use crate::bounds;
use crate::decode;
use crate::remedy;
use crate::span::{FileId, SourceFile, Span};

/// A value in the text.
#[derive(Clone, Debug)]
pub(crate) struct Node {
    /// The value's own text.
    pub(crate) span: Span,
    /// What to point at when the value as a whole is meant: its key if it has one, else the start
    /// of its first line.
    pub(crate) head: Span,
    /// What it is.
    pub(crate) kind: NodeKind,
}

/// What a value is.
#[derive(Clone, Debug)]
pub(crate) enum NodeKind {
    /// Nothing is written.
    Nothing,
    /// Something that has been reported, and of which no more is to be said.
    Refused,
    /// A text.
    Scalar(Scalar),
    /// A list.
    List(Vec<Node>),
    /// A mapping, in the order written. No key is there twice.
    Map(Vec<Pair>),
}

/// A scalar's text.
#[derive(Clone, Debug)]
pub(crate) struct Scalar {
    /// With quotes and escapes resolved.
    pub(crate) text: String,
    /// Where in the file the text stands letter by letter, if it does.
    pub(crate) verbatim: Option<usize>,
    /// Whether it is a block, folded or literal. Its span is that of its lines, without its sign.
    pub(crate) block: Option<Block>,
}

/// The two kinds of block.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Block {
    /// `>`
    Folded,
    /// `|`
    Literal,
}

/// A key with its value.
#[derive(Clone, Debug)]
pub(crate) struct Pair {
    /// The key.
    pub(crate) key: String,
    /// Where the key stands.
    pub(crate) key_span: Span,
    /// Its value.
    pub(crate) value: Node,
}

impl Pair {
    /// From the key to the end of the value.
    pub(crate) fn span(&self) -> Span {
        self.key_span.to(self.value.span)
    }
}

impl Node {
    /// A key with its value, if this is a mapping that has it.
    pub(crate) fn pair(&self, key: &str) -> Option<&Pair> {
        let NodeKind::Map(pairs) = &self.kind else { return None };
        pairs.iter().find(|pair| pair.key == key)
    }

    /// What it is, in words with the article.
    pub(crate) const fn words(&self) -> &'static str {
        match self.kind {
            NodeKind::Nothing | NodeKind::Refused => "nothing",
            NodeKind::Scalar(_) => "a text",
            NodeKind::List(_) => "a list",
            NodeKind::Map(_) => "a mapping",
        }
    }

    /// The value on one line, as an author could write it.
    pub(crate) fn on_one_line(&self) -> String {
        let join = |parts: Vec<String>| parts.join(", ");
        match &self.kind {
            NodeKind::Nothing | NodeKind::Refused => String::new(),
            NodeKind::Scalar(scalar) => {
                scalar.text.split_whitespace().collect::<Vec<_>>().join(" ")
            }
            NodeKind::List(items) => {
                format!("[{}]", join(items.iter().map(Self::on_one_line).collect()))
            }
            NodeKind::Map(pairs) => format!(
                "{{{}}}",
                join(
                    pairs.iter().map(|p| format!("{}: {}", p.key, p.value.on_one_line())).collect()
                )
            ),
        }
    }
}

/// Reads a file's text. None if there is no tree to go on with; every mistake is in `findings`.
pub(crate) fn parse(id: FileId, file: &SourceFile, findings: &mut Vec<Diagnostic>) -> Option<Node> {
    let mut builder = Builder { id, file, findings, open: Vec::new(), root: None, documents: 0 };
    // A NUL ends the text for the scanner, silently; so it is looked for first.
    if let Some(at) = file.text.find('\0') {
        builder.error("yaml-syntax", at, at + 1, "a NUL character", "save the file as plain text");
        return None;
    }
    let mut options = granit::Options::default();
    options.set_emit_comments(false);
    options.emit_unresolved_aliases = true;
    options.flow_nesting_limit = bounds::NESTING;
    options.block_nesting_limit = bounds::NESTING;
    for next in Parser::new_from_str_with_options(&file.text, options) {
        match next {
            Ok((event, span)) => builder.take(event, &span)?,
            Err(error) => {
                builder.syntax(&error);
                return None;
            }
        }
    }
    builder.root
}

/// Whether a pair and the key behind it are a number that a comma has cut in two, as in `{radius:
/// 0,4 NM}`: where the number stands, and how it should be written.
fn comma(text: &str, pair: &Pair, key: Span) -> Option<(Span, String)> {
    let NodeKind::Scalar(before) = &pair.value.kind else { return None };
    let between = text.get(pair.value.span.end..key.start)?;
    let behind = text.get(key.start..key.end)?;
    let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
    let cut =
        between == "," && digit(before.text.chars().next_back()) && digit(behind.chars().next());
    cut.then(|| (pair.value.span.to(key), format!("{}.{behind}", before.text)))
}

struct Builder<'a> {
    id: FileId,
    file: &'a SourceFile,
    findings: &'a mut Vec<Diagnostic>,
    open: Vec<Open>,
    root: Option<Node>,
    documents: usize,
}

struct Open {
    start: usize,
    /// Where the last thing inside ended.
    last: usize,
    flow: bool,
    kind: OpenKind,
}

enum OpenKind {
    List(Vec<Node>),
    Map { pairs: Vec<Pair>, first: HashMap<String, Span>, key: Option<(String, Span)> },
}

impl Builder<'_> {
    /// Takes one event; none if the file is to be given up.
    fn take(&mut self, event: Event<'_>, span: &granit::Span) -> Option<()> {
        let bytes = span.byte_range().unwrap_or(0..0);
        let (start, end) = (bytes.start, bytes.end.max(bytes.start));
        let tag = match &event {
            Event::Scalar(_, _, _, tag)
            | Event::SequenceStart(_, _, tag)
            | Event::MappingStart(_, _, tag) => tag.is_some(),
            _ => false,
        };
        if tag {
            let at = span.tag_span().and_then(|tag| tag.byte_range()).unwrap_or(start..end);
            self.error(
                "yaml-tag",
                at.start,
                at.end,
                "a YAML tag (`!`) has no meaning here",
                "leave the tag out; put a text that begins with `!` in quotes",
            );
        }
        match event {
            Event::DocumentStart(..) => {
                self.documents += 1;
                if self.documents > 1 {
                    self.error(
                        "yaml-documents",
                        start,
                        end,
                        "a second YAML document in one file",
                        "put it in a file of its own, or take the `---` out",
                    );
                    return None;
                }
            }
            Event::Alias(_) | Event::UnresolvedAlias(_) => {
                self.error(
                    "yaml-alias",
                    start,
                    end,
                    "a YAML alias (`*`) is not allowed here",
                    "write the value out; what several tours share belongs in a library",
                );
                self.value(Node {
                    span: self.span(start, end),
                    head: self.span(start, end),
                    kind: NodeKind::Refused,
                });
            }
            Event::Scalar(text, style, _, _) => {
                let plain = style == ScalarStyle::Plain;
                let block = match style {
                    ScalarStyle::Folded => Some(Block::Folded),
                    ScalarStyle::Literal => Some(Block::Literal),
                    _ => None,
                };
                let raw = self.file.text.get(start..end).unwrap_or_default();
                let verbatim = if raw == text {
                    Some(start)
                } else {
                    let inside = raw.get(1..raw.len().saturating_sub(1));
                    (inside == Some(&*text)).then_some(start + 1)
                };
                let kind = if plain && matches!(&*text, "" | "~" | "null") {
                    NodeKind::Nothing
                } else {
                    NodeKind::Scalar(Scalar { text: text.into_owned(), verbatim, block })
                };
                let end = start + raw.trim_end().len();
                let span = self.span(start, end);
                self.value(Node { span, head: span, kind });
            }
            Event::SequenceStart(style, ..) => {
                self.open(start, style, OpenKind::List(Vec::new()));
            }
            Event::MappingStart(style, ..) => {
                self.open(
                    start,
                    style,
                    OpenKind::Map { pairs: Vec::new(), first: HashMap::new(), key: None },
                );
            }
            Event::SequenceEnd | Event::MappingEnd => self.close(end),
            _ => {}
        }
        Some(())
    }

    fn open(&mut self, start: usize, style: StructureStyle, kind: OpenKind) {
        let flow = style == StructureStyle::Flow;
        self.open.push(Open { start, last: start, flow, kind });
    }

    fn close(&mut self, end: usize) {
        let Some(closed) = self.open.pop() else { return };
        // A block collection is closed by what comes after it; its own text ends with its last
        // value.
        let end = if closed.flow { end } else { closed.last };
        let span = self.span(closed.start, end);
        let text = self.file.text.get(closed.start..end).unwrap_or_default();
        let first_line = text.lines().next().unwrap_or_default().trim_end().len();
        let head = self.span(closed.start, closed.start + first_line);
        let kind = match closed.kind {
            OpenKind::List(items) => NodeKind::List(items),
            OpenKind::Map { pairs, .. } => NodeKind::Map(pairs),
        };
        self.value(Node { span, head, kind });
    }

    fn value(&mut self, node: Node) {
        let Some(parent) = self.open.last_mut() else {
            self.root.get_or_insert(node);
            return;
        };
        parent.last = parent.last.max(node.span.end);
        match &mut parent.kind {
            OpenKind::List(items) => items.push(node),
            OpenKind::Map { pairs, first, key } => match key.take() {
                None => match node.kind {
                    NodeKind::Scalar(scalar) => *key = Some((scalar.text, node.span)),
                    _ => {
                        *key = Some((String::new(), node.span));
                        let Span { start, end, .. } = node.head;
                        self.error(
                            "yaml-key",
                            start,
                            end,
                            "a key must be a plain text",
                            "write `key: value`; put a text that begins with `{`, `[` or `?` in \
                             quotes",
                        );
                    }
                },
                Some((key, key_span)) => {
                    if matches!(node.kind, NodeKind::Nothing)
                        && let Some(pair) = pairs.last_mut()
                        && let Some((number, better)) = comma(&self.file.text, pair, key_span)
                    {
                        pair.value.kind = NodeKind::Refused;
                        let two = remedy::may_part_thousands(&better);
                        let help = if two {
                            let whole = better.replacen('.', "", 1);
                            format!("write `{whole}`, or with a point `{better}`")
                        } else {
                            format!("write a point: `{better}`")
                        };
                        let place = self.file.place(number);
                        let finding = Diagnostic::error(
                            "decimal-comma",
                            place.clone(),
                            "a comma in a number",
                        );
                        let before = self.file.text.get(number.start..number.end);
                        let edit = before.map(|before| Edit::write(place, before, better));
                        let finding = finding.help(help).edits(edit.filter(|_| !two));
                        decode::report(self.findings, finding);
                        return;
                    }
                    match first.get(&key) {
                        // A key that was refused has no name and is passed over.
                        _ if key.is_empty() => {}
                        None => {
                            first.insert(key.clone(), key_span);
                            let value = Node { head: key_span, ..node };
                            pairs.push(Pair { key, key_span, value });
                        }
                        Some(first) => {
                            let diagnostic = Diagnostic::error(
                                "duplicate-key",
                                self.file.place(key_span),
                                format!("`{key}` is here twice"),
                            )
                            .label("again here")
                            .related(self.file.place(*first), "first here")
                            .help("keep one of the two");
                            decode::report(self.findings, diagnostic);
                        }
                    }
                }
            },
        }
    }

    fn span(&self, start: usize, end: usize) -> Span {
        Span { file: self.id, start, end: end.max(start) }
    }

    fn error(&mut self, name: &'static str, start: usize, end: usize, what: &str, help: &str) {
        let place = self.file.place(self.span(start, end));
        let finding = Diagnostic::new(name, Severity::Error, place, what).help(help);
        decode::report(self.findings, finding);
    }

    fn syntax(&mut self, error: &granit::ScanError) {
        use granit::ErrorKind as E;
        let at = error.marker().byte_offset().unwrap_or(self.file.text.len());
        let (name, what, help) = match error.kind() {
            E::RecursionLimitExceeded => (
                "yaml-too-deep",
                format!("values are nested more than {} deep", bounds::NESTING),
                "no value of the language is nested that deep; look for brackets that are not \
                 closed",
            ),
            E::TabNotAllowed
            | E::TabInBlockIndentation
            | E::TabInIndentation
            | E::TabAtBlockScalarStart
            | E::TabInPlainScalar => (
                "yaml-syntax",
                "a tab where only blanks may stand".to_owned(),
                "indent with blanks",
            ),
            E::UnclosedQuotedScalar => (
                "yaml-syntax",
                "a text in quotes is not closed".to_owned(),
                "add the closing quote, or double a quote that belongs to the text",
            ),
            E::UnclosedFlowCollection { .. }
            | E::UnexpectedEofFlowMapping
            | E::UnexpectedEofFlowSequence
            | E::UnexpectedEofImplicitFlowMapping
            | E::ExpectedFlowMappingSeparator
            | E::ExpectedFlowSequenceSeparator => (
                "yaml-syntax",
                "a bracket is not closed, or a comma is missing".to_owned(),
                "close every `{` and `[`, and put commas between what stands inside",
            ),
            E::MappingValueNotAllowed | E::InvalidColonPlacement => (
                "yaml-syntax",
                "a colon where no key can be".to_owned(),
                "put a text that holds `: ` in quotes; give each key a line of its own",
            ),
            E::SimpleKeyExpected | E::InvalidSimpleKey | E::ExpectedBlockMappingKey => (
                "yaml-syntax",
                "a key with its colon is needed here".to_owned(),
                "write `key: value`, and indent all keys of one mapping alike",
            ),
            E::ExpectedBlockSequenceEntry | E::InvalidIndentation | E::InvalidFlowScalarIndent => (
                "yaml-syntax",
                "the indentation does not fit what stands above".to_owned(),
                "indent all entries of one list or mapping alike",
            ),
            other => (
                "yaml-syntax",
                format!("this is not YAML: {other}"),
                "check quotes, colons and indentation here and on the line above",
            ),
        };
        let end = self.file.text.get(at..).and_then(|rest| rest.chars().next());
        let end = at + end.filter(|c| *c != '\n').map_or(0, char::len_utf8);
        self.error(name, at, end, &what, help);
    }
}
