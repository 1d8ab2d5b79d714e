//! Where in the authored text a value stands.

use std::fmt;
use std::sync::Arc;

use diagnostic::Place;

/// Which file of a project, as an index into [`Sources`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(pub u32);

/// A stretch of one file: byte offsets, the end not included.
///
/// Small and cheap to copy; [`Sources::place`] makes line and column of it when somebody looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// The file.
    pub file: FileId,
    /// First byte.
    pub start: usize,
    /// The byte after the last.
    pub end: usize,
}

impl Span {
    /// The stretch from the start of `self` to the end of `last`, both in one file.
    #[must_use]
    pub fn to(self, last: Self) -> Self {
        Self { file: self.file, start: self.start, end: last.end.max(self.start) }
    }
}

/// A value, and the text it was read from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spanned<T> {
    /// What was read.
    pub value: T,
    /// Where it is written.
    pub span: Span,
}

impl<T> Spanned<T> {
    /// The same place with another value.
    pub fn map<U>(self, with: impl FnOnce(T) -> U) -> Spanned<U> {
        Spanned { value: with(self.value), span: self.span }
    }
}

/// One file as it was read.
#[derive(Clone, Debug)]
pub struct SourceFile {
    /// Its name, as the person or the file that includes it gave it, made relative to where the
    /// command was given.
    pub name: Arc<str>,
    /// Its whole text.
    pub text: Arc<str>,
    /// Where each line starts.
    lines: Arc<[usize]>,
}

impl SourceFile {
    /// A file's name and text.
    #[must_use]
    pub fn new(name: impl Into<Arc<str>>, text: impl Into<Arc<str>>) -> Self {
        let text = text.into();
        let ends = text.bytes().enumerate().filter(|(_, b)| *b == b'\n').map(|(at, _)| at + 1);
        let lines = std::iter::once(0).chain(ends).collect();
        Self { name: name.into(), text, lines }
    }

    /// Line and column of a span of this file, found without reading the whole text.
    #[must_use]
    pub fn place(&self, span: Span) -> Place {
        let after = self.lines.partition_point(|start| *start <= span.start);
        let line = after.saturating_sub(1);
        let start_of_line = self.lines.get(line).copied().unwrap_or_default();
        let from_line = self.text.get(start_of_line..).unwrap_or_default();
        let within = Place::in_text(
            self.name.clone(),
            from_line,
            span.start.saturating_sub(start_of_line),
            span.end.saturating_sub(start_of_line),
        );
        Place {
            line: within.line.saturating_add(u32::try_from(line).unwrap_or(u32::MAX)),
            bytes: (within.bytes.0 + start_of_line, within.bytes.1 + start_of_line),
            ..within
        }
    }
}

/// All files of a project, in the order in which they were read; the tour comes first.
#[derive(Clone, Debug, Default)]
pub struct Sources {
    files: Vec<SourceFile>,
}

impl Sources {
    /// No files.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a file and says by which number its spans name it.
    pub fn add(&mut self, file: SourceFile) -> FileId {
        self.files.push(file);
        FileId(u32::try_from(self.files.len() - 1).unwrap_or(u32::MAX))
    }

    /// The file of that number; none if the number is from another project.
    #[must_use]
    pub fn file(&self, id: FileId) -> Option<&SourceFile> {
        self.files.get(usize::try_from(id.0).ok()?)
    }

    /// All files.
    #[must_use]
    pub fn files(&self) -> &[SourceFile] {
        &self.files
    }

    /// Line, column and file name of a span.
    #[must_use]
    pub fn place(&self, span: Span) -> Place {
        self.file(span.file).map_or_else(|| Place::whole("?"), |file| file.place(span))
    }

    /// The text of a span, exactly as written; empty if the span is from another project.
    #[must_use]
    pub fn text(&self, span: Span) -> &str {
        self.file(span.file)
            .and_then(|file| file.text.get(span.start..span.end))
            .unwrap_or_default()
    }
}

/// A name that the author gave to a sight, zone, rule, camera and so on.
///
/// A letter of any script, then letters, digits, `-` and `_`. Upper and lower case differ.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Name(Arc<str>);

impl Name {
    /// A name, if `text` is one.
    ///
    /// # Errors
    /// [`NotAName`] for text that is empty, begins with something other than a letter or holds
    /// something other than letters, digits, `-` and `_`.
    pub fn new(text: &str) -> Result<Self, NotAName> {
        let mut letters = text.chars();
        let good = letters.next().is_some_and(char::is_alphabetic)
            && letters.all(|c| c.is_alphanumeric() || matches!(c, '-' | '_'));
        if good { Ok(Self(text.into())) } else { Err(NotAName) }
    }

    /// The name as text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Name {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::ops::Deref for Name {
    type Target = str;
    fn deref(&self) -> &str {
        &self.0
    }
}

impl std::borrow::Borrow<str> for Name {
    fn borrow(&self) -> &str {
        &self.0
    }
}

/// The error for text that is no [`Name`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotAName;

impl fmt::Display for NotAName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a name begins with a letter and holds letters, digits, `-` and `_`")
    }
}

impl std::error::Error for NotAName {}
