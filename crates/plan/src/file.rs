//! The plan file: how a compiled plan is kept and carried.
//!
//! One JSON document (RFC 8259), UTF-8 without a byte order mark, that ends with a line feed:
//!
//! ```json
//! {
//!   "format": "fulmar-plan",
//!   "version": 4,
//!   "digest": "64 hexadecimal digits",
//!   "code": "the first six of them",
//!   "seal": "64 hexadecimal digits",
//!   "plan": {}
//! }
//! ```
//!
//! `FORMAT.md` beside this crate's manifest describes every field. The writer puts each entry of
//! the plan's lists on a line of its own and everything below that on the same line, so that two
//! plans can be compared line by line. The same plan gives the same bytes on every machine.
//!
//! The reader takes any layout and any order of keys, and a byte order mark before the text. It refuses a format or version it does not
//! know by name, a key it does not know, a key that stands twice, a plan whose digest is not the
//! one in the file, and a plan that is not sound. Its memory and time grow with the file and with
//! nothing that the file says; nesting deeper than 128 is refused.

use std::io;
use std::sync::Arc;

use diagnostic::{Diagnostic, Place};
use serde::{Deserialize, Serialize};

use crate::digest::{digest, seal};
use crate::model::Plan;

/// The name of the format, the value of the key `format`.
pub const FORMAT: &str = "fulmar-plan";

/// The version written, and the only one read.
pub const VERSION: u32 = 4;

#[derive(Serialize)]
struct Written<'a> {
    format: &'static str,
    version: u32,
    digest: String,
    code: String,
    seal: String,
    plan: &'a Plan,
}

/// What every version of the format has.
#[derive(Deserialize)]
struct Header {
    format: Option<String>,
    version: Option<serde_json::Number>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Read {
    #[serde(rename = "format")]
    _format: String,
    #[serde(rename = "version")]
    _version: u32,
    digest: String,
    code: String,
    seal: String,
    plan: Plan,
}

/// The plan as a file: see the [module](self) for the form.
#[must_use]
pub fn write(plan: &Plan) -> String {
    let digest = digest(plan);
    let document = Written {
        format: FORMAT,
        version: VERSION,
        code: digest.code(),
        digest: digest.to_string(),
        seal: seal(plan).to_string(),
        plan,
    };
    let mut bytes = Vec::new();
    let mut serializer = serde_json::Serializer::with_formatter(&mut bytes, Lines::default());
    // Neither can fail: a plan has no maps with keys that are no strings, memory takes every byte,
    // and JSON is UTF-8.
    if document.serialize(&mut serializer).is_err() {
        return String::new();
    }
    bytes.push(b'\n');
    String::from_utf8(bytes).unwrap_or_default()
}

/// Reads a plan file. `file_name` is what the file is called in what is reported.
///
/// # Errors
/// The first thing that is wrong, with its line and column, what it is and what to do: one of
/// `plan-empty`, `plan-not-text`, `plan-not-json`, `plan-format`, `plan-version`, `plan-content`,
/// `plan-changed`, `plan-unsound`.
#[expect(clippy::result_large_err, reason = "a plan, the other half, is larger still")]
pub fn read(bytes: &[u8], file_name: &str) -> Result<Plan, Diagnostic> {
    // A byte order mark is nothing of the plan's; some editors put one there.
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    let text = Text::new(bytes, file_name)?;
    text.check_header()?;
    let document: Read = serde_json::from_str(text.text).map_err(|error| text.refused(&error))?;
    let digest = digest(&document.plan);
    if document.digest != digest.to_string() {
        return Err(text.changed("digest", &document.digest, &digest.to_string()));
    }
    if document.code != digest.code() {
        return Err(text.changed("code", &document.code, &digest.code()));
    }
    let seal = seal(&document.plan).to_string();
    if document.seal != seal {
        return Err(text.changed("seal", &document.seal, &seal));
    }
    document.plan.check().map_err(|error| {
        Diagnostic::error("plan-unsound", text.at_key("plan"), format!("unsound plan: {error}"))
            .help(RECOMPILE)
    })?;
    Ok(document.plan)
}

const RECOMPILE: &str = "compile the tour again; a plan file is not edited by hand";

/// The text of a plan file with its name.
struct Text<'a> {
    file: Arc<str>,
    text: &'a str,
}

#[expect(clippy::result_large_err, reason = "as for `read`")]
impl<'a> Text<'a> {
    fn new(bytes: &'a [u8], file_name: &str) -> Result<Self, Diagnostic> {
        let file: Arc<str> = file_name.into();
        if bytes.iter().all(u8::is_ascii_whitespace) {
            return Err(Diagnostic::error("plan-empty", Place::whole(file), "the file is empty")
                .help("compile the tour again, or copy the plan file again"));
        }
        match std::str::from_utf8(bytes) {
            Ok(text) => Ok(Self { file, text }),
            Err(error) => {
                let good = error.valid_up_to();
                let before = bytes.get(..good).unwrap_or_default();
                let before = std::str::from_utf8(before).unwrap_or_default();
                let place = Place::in_text(file, before, good, good);
                Err(Diagnostic::error("plan-not-text", place, "the file is not UTF-8 text")
                    .help("give a plan file written by fulmar; if it was one, copy it again"))
            }
        }
    }

    fn check_header(&self) -> Result<(), Diagnostic> {
        if !self.text.trim_start().starts_with('{') {
            return Err(self.no_plan("the file does not begin with `{`"));
        }
        let header: Header =
            serde_json::from_str(self.text).map_err(|error| self.refused(&error))?;
        match header.format.as_deref() {
            Some(FORMAT) => {}
            Some(other) => {
                let other: String = other.chars().take(40).collect();
                return Err(self.no_plan(&format!("its format is `{other}`")));
            }
            None => return Err(self.no_plan("it has no key `format`")),
        }
        match header.version {
            Some(version) if version.as_u64() == Some(u64::from(VERSION)) => Ok(()),
            Some(version) => Err(Diagnostic::error(
                "plan-version",
                self.at_key("version"),
                format!("this is version {version} of the plan file; version {VERSION} is read"),
            )
            .help("compile the tour again with this fulmar, or fly it with the one that wrote it")),
            None => Err(self.no_plan("it has no key `version`")),
        }
    }

    fn no_plan(&self, why: &str) -> Diagnostic {
        Diagnostic::error(
            "plan-format",
            Place::in_text(self.file.clone(), self.text, 0, 0),
            format!("this is no plan file: {why}"),
        )
        .help("give a plan file written by `fulmar plan`, or the tour it is compiled from")
    }

    fn changed(&self, key: &str, stands: &str, belongs: &str) -> Diagnostic {
        let stands: String = stands.chars().take(64).collect();
        Diagnostic::error(
            "plan-changed",
            self.at_key(key),
            "the plan was changed after it was compiled",
        )
        .label(format!("`{stands}` stands here; the content gives `{belongs}`"))
        .help(RECOMPILE)
    }

    /// What serde refused, in our form.
    fn refused(&self, error: &serde_json::Error) -> Diagnostic {
        let (name, help) = match error.classify() {
            serde_json::error::Category::Eof => {
                ("plan-not-json", "the file is cut off: copy it again, or compile the tour again")
            }
            serde_json::error::Category::Data => ("plan-content", RECOMPILE),
            serde_json::error::Category::Syntax | serde_json::error::Category::Io => {
                ("plan-not-json", RECOMPILE)
            }
        };
        let said = error.to_string();
        let said = said.rsplit_once(" at line ").map_or(said.as_str(), |(said, _)| said);
        let offset = self.offset(error.line(), error.column());
        let place = Place::in_text(self.file.clone(), self.text, offset, offset);
        Diagnostic::error(name, place, format!("the plan cannot be read: {}", shortened(said)))
            .help(help)
    }

    /// The byte offset of a line, from 1, and a column in bytes, from 1.
    fn offset(&self, line: usize, column: usize) -> usize {
        let lines = self.text.split_inclusive('\n').take(line.saturating_sub(1));
        lines.map(str::len).sum::<usize>().saturating_add(column.saturating_sub(1))
    }

    /// The place where a key first stands; good enough for the keys at the top of the file.
    fn at_key(&self, key: &str) -> Place {
        let quoted = format!("\"{key}\"");
        let start = self.text.find(&quoted).unwrap_or(0);
        Place::in_text(self.file.clone(), self.text, start, start.saturating_add(quoted.len()))
    }
}

/// A message that may quote the file, cut to a length that fits on a screen.
fn shortened(said: &str) -> String {
    const MOST: usize = 300;
    if said.chars().count() <= MOST {
        return said.to_owned();
    }
    said.chars().take(MOST).chain("…".chars()).collect()
}

/// The layout: lists and objects are opened on lines down to the entries of the plan's lists.
#[derive(Default)]
struct Lines {
    depth: usize,
    /// Whether the list or object just closed had anything in it.
    has_value: bool,
}

impl Lines {
    /// The document, the plan and the plan's lists.
    const OPENED: usize = 3;

    fn line<W: io::Write + ?Sized>(&self, writer: &mut W) -> io::Result<()> {
        if self.depth > Self::OPENED {
            return Ok(());
        }
        writer.write_all(b"\n")?;
        (0..self.depth).try_for_each(|_| writer.write_all(b"  "))
    }

    fn open<W: io::Write + ?Sized>(&mut self, writer: &mut W, with: u8) -> io::Result<()> {
        self.depth += 1;
        self.has_value = false;
        writer.write_all(&[with])
    }

    fn close<W: io::Write + ?Sized>(&mut self, writer: &mut W, with: u8) -> io::Result<()> {
        if self.has_value && self.depth <= Self::OPENED {
            self.depth -= 1;
            self.line(writer)?;
        } else {
            self.depth -= 1;
        }
        self.has_value = true;
        writer.write_all(&[with])
    }

    fn next<W: io::Write + ?Sized>(&self, writer: &mut W, first: bool) -> io::Result<()> {
        if !first {
            writer.write_all(b",")?;
        }
        self.line(writer)
    }
}

impl serde_json::ser::Formatter for Lines {
    fn begin_array<W: io::Write + ?Sized>(&mut self, writer: &mut W) -> io::Result<()> {
        self.open(writer, b'[')
    }

    fn end_array<W: io::Write + ?Sized>(&mut self, writer: &mut W) -> io::Result<()> {
        self.close(writer, b']')
    }

    fn begin_array_value<W: io::Write + ?Sized>(
        &mut self,
        writer: &mut W,
        first: bool,
    ) -> io::Result<()> {
        self.next(writer, first)
    }

    fn end_array_value<W: io::Write + ?Sized>(&mut self, _writer: &mut W) -> io::Result<()> {
        self.has_value = true;
        Ok(())
    }

    fn begin_object<W: io::Write + ?Sized>(&mut self, writer: &mut W) -> io::Result<()> {
        self.open(writer, b'{')
    }

    fn end_object<W: io::Write + ?Sized>(&mut self, writer: &mut W) -> io::Result<()> {
        self.close(writer, b'}')
    }

    fn begin_object_key<W: io::Write + ?Sized>(
        &mut self,
        writer: &mut W,
        first: bool,
    ) -> io::Result<()> {
        self.next(writer, first)
    }

    fn begin_object_value<W: io::Write + ?Sized>(&mut self, writer: &mut W) -> io::Result<()> {
        writer.write_all(if self.depth > Self::OPENED { b":" } else { b": " })
    }

    fn end_object_value<W: io::Write + ?Sized>(&mut self, _writer: &mut W) -> io::Result<()> {
        self.has_value = true;
        Ok(())
    }
}
