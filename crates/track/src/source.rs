//! The bytes of a file on their way to the XML parser: unpacked, freed of what no XML text may
//! hold, and with lines and columns at hand without being counted for every byte.

use std::io::{self, BufRead, Cursor, Read};

use flate2::read::MultiGzDecoder;

/// Bytes read at once.
const BLOCK: usize = 64 * 1024;
/// The most bytes that one tag, text or comment may have, so that memory stays bounded.
pub(crate) const LONGEST_EVENT: u64 = 4 * 1024 * 1024;

/// What the first bytes of a file say it is, where that is not XML in UTF-8.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Unreadable {
    Empty,
    /// Of this name, known from its first bytes.
    Encoding(&'static str),
    Zip,
}

/// Why the bytes ended before the file did.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Stop {
    /// Reading failed, in these words.
    Failed(String),
    /// As before, of gzip data.
    GzipDamaged(String),
    /// One tag or text is longer than [`LONGEST_EVENT`].
    TooLong,
    /// A byte that is not ASCII in a file whose other characters cannot be read.
    NotAscii,
}

/// A place in the text, by the bytes before it; the line and column are found when they are asked
/// for, or at the latest when the bytes are let go.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Mark {
    offset: u64,
    /// Line from 1; 0 while it is not found yet.
    line: u64,
    column: u64,
}

/// Bytes that were read as something else.
#[derive(Clone, Debug, Default)]
pub(crate) struct Replaced {
    /// How many before the block at hand.
    earlier: u64,
    /// Where they are in the block, in order.
    here: Vec<usize>,
    /// Line, column and byte of the first.
    first: Option<(u64, u64, u64)>,
}

/// The bytes of a file, block by block.
pub(crate) struct Source<'a> {
    input: Box<dyn Read + 'a>,
    gzip: bool,
    block: Vec<u8>,
    /// Of `block`, `start..end` has not been read by the parser yet; `end..filled` is the beginning
    /// of a character whose other bytes have not come.
    start: usize,
    end: usize,
    filled: usize,
    /// Bytes before the block, and the line and column of its first byte.
    before: u64,
    line: u64,
    column: u64,
    ended: bool,
    ascii_only: bool,
    /// The first event's mark, moved on by [`Source::begin_event`].
    event: Mark,
    /// The point that is being read.
    point: Mark,
    pub(crate) stop: Option<Stop>,
    /// Bytes that are not UTF-8, read as `?`.
    not_utf8: Replaced,
    /// NUL bytes, read as blanks.
    nul: Replaced,
}

impl<'a> Source<'a> {
    /// Looks at the first bytes: unpacks gzip, leaves out a byte order mark, and says what cannot
    /// be read. A read that fails here shows as [`Source::stop`] later.
    pub(crate) fn new(input: impl Read + 'a) -> (Self, Option<Unreadable>) {
        let mut input: Box<dyn Read + 'a> = Box::new(input);
        let (mut head, mut failed) = first_bytes(&mut input);
        let gzip = head.starts_with(&[0x1f, 0x8b]);
        if gzip && failed.is_none() {
            input = Box::new(MultiGzDecoder::new(Cursor::new(head).chain(input)));
            (head, failed) = first_bytes(&mut input);
        }
        let unreadable = if failed.is_some() { None } else { unreadable(&head) };
        let mark = if head.starts_with(&[0xef, 0xbb, 0xbf]) { 3 } else { 0 };
        head.drain(..mark);
        let mut source = Self {
            input: Box::new(Cursor::new(head).chain(input)),
            gzip,
            block: vec![0; BLOCK],
            start: 0,
            end: 0,
            filled: 0,
            before: u64::try_from(mark).unwrap_or(0),
            line: 1,
            column: 1,
            ended: false,
            ascii_only: false,
            event: Mark::default(),
            point: Mark::default(),
            stop: None,
            not_utf8: Replaced::default(),
            nul: Replaced::default(),
        };
        if let Some(error) = failed {
            source.fail(&error);
        }
        (source, unreadable)
    }

    /// Bytes that the parser has read.
    pub(crate) fn position(&self) -> u64 {
        self.before + as_u64(self.start)
    }

    /// The bytes at hand that have not been read.
    pub(crate) fn at_hand(&self) -> &[u8] {
        self.block.get(self.start..self.end).unwrap_or_default()
    }

    /// Says that the parser is about to read its next tag or text here.
    pub(crate) fn begin_event(&mut self) {
        self.event = Mark { offset: self.position(), line: 0, column: 0 };
    }

    /// Says that a point begins where the last event did.
    pub(crate) fn begin_point(&mut self) {
        self.point = self.event;
    }

    /// Line, column and byte of the last event.
    pub(crate) fn event_place(&self) -> (u64, u64, u64) {
        self.place(self.event)
    }

    /// Line, column and byte of the point that is being read.
    pub(crate) fn point_place(&self) -> (u64, u64, u64) {
        self.place(self.point)
    }

    /// Line, column and byte of the next byte.
    pub(crate) fn here(&self) -> (u64, u64, u64) {
        self.place(Mark { offset: self.position(), line: 0, column: 0 })
    }

    /// From here on, bytes that are not ASCII end the reading.
    pub(crate) fn refuse_all_but_ascii(&mut self) {
        self.ascii_only = true;
        // Those of this block have been replaced already: go back to the first after this place.
        if let Some(at) = self.not_utf8.here.iter().copied().find(|at| *at >= self.start) {
            self.cut(at);
            self.not_utf8.here.retain(|other| *other < at);
        }
        self.cut_at_first_not_ascii(self.start);
    }

    /// How many bytes were read as `?` because they are not UTF-8, and where the first is.
    pub(crate) fn not_utf8(&self) -> Option<(u64, (u64, u64, u64))> {
        self.not_utf8.before(self.start)
    }

    /// How many NUL bytes were read as blanks, and where the first is.
    pub(crate) fn nul(&self) -> Option<(u64, (u64, u64, u64))> {
        self.nul.before(self.start)
    }

    fn cut_at_first_not_ascii(&mut self, from: usize) {
        let bytes = self.block.get(from..self.end).unwrap_or_default();
        if let Some(at) = bytes.iter().position(|b| !b.is_ascii()) {
            self.cut(from + at);
        }
        if self.filled > self.end {
            self.cut(self.end);
        }
    }

    fn cut(&mut self, at: usize) {
        self.end = at.max(self.start);
        self.filled = self.end;
        self.ended = true;
        self.stop = Some(Stop::NotAscii);
    }

    fn place(&self, mark: Mark) -> (u64, u64, u64) {
        if mark.line > 0 {
            return (mark.line, mark.column, mark.offset);
        }
        let at = usize::try_from(mark.offset.saturating_sub(self.before)).unwrap_or(self.end);
        let (line, column) = self.line_and_column(at);
        (line, column, mark.offset)
    }

    /// Of the byte at an index of the block.
    fn line_and_column(&self, at: usize) -> (u64, u64) {
        let bytes = self.block.get(..at.min(self.filled)).unwrap_or_default();
        let lines = memchr::memchr_iter(b'\n', bytes).count();
        match memchr::memrchr(b'\n', bytes) {
            Some(last) => {
                let line = bytes.get(last + 1..).unwrap_or_default();
                (self.line + as_u64(lines), 1 + characters(line))
            }
            None => (self.line, self.column + characters(bytes)),
        }
    }

    /// Lets the block go and reads the next.
    fn refill(&mut self) {
        self.event = self.resolved(self.event);
        self.point = self.resolved(self.point);
        self.not_utf8.let_go();
        self.nul.let_go();
        (self.line, self.column) = self.line_and_column(self.end);
        self.before += as_u64(self.end);
        self.block.copy_within(self.end..self.filled, 0);
        self.filled -= self.end;
        self.start = 0;
        self.end = 0;
        while self.end == 0 && !self.ended {
            self.read_more();
        }
        // What a character begins and nothing follows is not UTF-8.
        if self.ended && self.stop.is_none() && self.filled > self.end {
            let (from, to) = (self.end, self.filled);
            self.end = to;
            self.replace(from, to);
        }
    }

    fn resolved(&self, mark: Mark) -> Mark {
        let (line, column, offset) = self.place(mark);
        Mark { offset, line, column }
    }

    fn read_more(&mut self) {
        let space = self.block.get_mut(self.filled..).unwrap_or_default();
        match self.input.read(space) {
            Ok(0) => self.ended = true,
            Ok(read) => {
                self.filled = (self.filled + read).min(self.block.len());
                self.make_readable();
            }
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            Err(error) => self.fail(&error),
        }
    }

    fn fail(&mut self, error: &io::Error) {
        self.ended = true;
        let words = error.to_string();
        self.stop = Some(if self.gzip { Stop::GzipDamaged(words) } else { Stop::Failed(words) });
    }

    /// Replaces what no XML text may hold, and leaves a character that is not whole for later.
    fn make_readable(&mut self) {
        self.end = self.filled;
        if self.ascii_only {
            self.cut_at_first_not_ascii(0);
        }
        let mut from = 0;
        while let Err(error) =
            std::str::from_utf8(self.block.get(from..self.end).unwrap_or_default())
        {
            from += error.valid_up_to();
            let Some(length) = error.error_len() else {
                self.end = from;
                break;
            };
            self.replace(from, from + length);
            from += length;
        }
        let first_nul = memchr::memchr(0, self.block.get(..self.end).unwrap_or_default());
        if let Some(first) = first_nul {
            self.note_first(first, |source| &mut source.nul);
            let end = self.end;
            for (at, byte) in self.block.iter_mut().enumerate().take(end).skip(first) {
                if *byte == 0 {
                    *byte = b' ';
                    self.nul.here.push(at);
                }
            }
        }
    }

    fn replace(&mut self, from: usize, to: usize) {
        self.note_first(from, |source| &mut source.not_utf8);
        self.not_utf8.here.extend(from..to);
        self.block.get_mut(from..to).unwrap_or_default().fill(b'?');
    }

    fn note_first(&mut self, at: usize, which: fn(&mut Self) -> &mut Replaced) {
        let (line, column) = self.line_and_column(at);
        let place = (line, column, self.before + as_u64(at));
        which(self).first.get_or_insert(place);
    }
}

impl Replaced {
    /// Those before an index of the block.
    fn before(&self, at: usize) -> Option<(u64, (u64, u64, u64))> {
        let here = self.here.iter().take_while(|other| **other < at).count();
        let count = self.earlier + as_u64(here);
        if count > 0 { self.first.map(|first| (count, first)) } else { None }
    }

    /// The block is let go.
    fn let_go(&mut self) {
        self.earlier += as_u64(self.here.len());
        self.here.clear();
    }
}

impl Read for Source<'_> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let read = self.fill_buf()?.read(into)?;
        self.consume(read);
        Ok(read)
    }
}

impl BufRead for Source<'_> {
    fn fill_buf(&mut self) -> io::Result<&[u8]> {
        if self.start == self.end {
            if self.stop.is_none()
                && !self.ended
                && self.position() - self.event.offset.min(self.position()) > LONGEST_EVENT
            {
                self.ended = true;
                self.stop = Some(Stop::TooLong);
            }
            if !self.ended {
                self.refill();
            }
            if self.start == self.end && self.stop.is_some() {
                return Err(io::Error::other("the reading was stopped"));
            }
        }
        Ok(self.at_hand())
    }

    fn consume(&mut self, amount: usize) {
        self.start = (self.start + amount).min(self.end);
    }
}

fn as_u64(length: usize) -> u64 {
    u64::try_from(length).unwrap_or(u64::MAX)
}

/// Characters in bytes of UTF-8: all bytes but those that go on with a character.
fn characters(bytes: &[u8]) -> u64 {
    as_u64(bytes.iter().filter(|b| (**b & 0xc0) != 0x80).count())
}

fn first_bytes(input: &mut dyn Read) -> (Vec<u8>, Option<io::Error>) {
    let mut head = Vec::with_capacity(4);
    let outcome = input.take(4).read_to_end(&mut head);
    (head, outcome.err())
}

/// # References
/// Extensible Markup Language (XML) 1.0, appendix F, on telling encodings by their first bytes.
fn unreadable(head: &[u8]) -> Option<Unreadable> {
    match head {
        [] => Some(Unreadable::Empty),
        [0xff, 0xfe, 0, 0] | [0, 0, 0xfe, 0xff] | [b'<', 0, 0, 0] | [0, 0, 0, b'<'] => {
            Some(Unreadable::Encoding("UTF-32"))
        }
        [0xff, 0xfe, ..] | [0xfe, 0xff, ..] | [b'<', 0, ..] | [0, b'<', ..] => {
            Some(Unreadable::Encoding("UTF-16"))
        }
        [0x4c, 0x6f, 0xa7, 0x94] => Some(Unreadable::Encoding("EBCDIC")),
        [b'P', b'K', 3, 4] => Some(Unreadable::Zip),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop")]
    use super::*;

    fn text(bytes: &[u8]) -> String {
        let (mut source, unreadable) = Source::new(bytes);
        assert_eq!(unreadable, None);
        let mut out = String::new();
        source.read_to_string(&mut out).unwrap();
        out
    }

    #[test]
    fn a_byte_order_mark_is_left_out() {
        assert_eq!(text(b"\xef\xbb\xbf<a/>"), "<a/>");
        assert_eq!(text(b"<a/>"), "<a/>");
        assert_eq!(text(b"a"), "a");
    }

    #[test]
    fn what_is_not_utf8_or_is_nul_is_replaced_and_counted() {
        let (mut source, _) = Source::new(&b"ab\nc\xe9d\0\0\xc3"[..]);
        let mut out = String::new();
        source.read_to_string(&mut out).unwrap();
        assert_eq!(out, "ab\nc?d  ?");
        assert_eq!(source.not_utf8(), Some((2, (2, 2, 4))));
        assert_eq!(source.nul(), Some((2, (2, 4, 6))));
    }

    #[test]
    fn characters_that_lie_across_reads_stay_whole() {
        let original = "æ€\u{1f681}x".repeat(50_000);
        assert_eq!(text(original.as_bytes()), original);
        for size in 1..6 {
            let small = "æ€\u{1f681}x\n".repeat(9);
            let (mut source, _) = Source::new(Chunks(small.as_bytes(), size));
            let mut out = String::new();
            source.read_to_string(&mut out).unwrap();
            assert_eq!(out, small);
            assert_eq!(source.here(), (10, 1, as_u64(small.len())));
        }
    }

    struct Chunks<'a>(&'a [u8], usize);

    impl Read for Chunks<'_> {
        fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
            let most = into.len().min(self.1);
            self.0.read(into.get_mut(..most).unwrap_or_default())
        }
    }

    #[test]
    fn places_are_found_in_this_block_and_after_it() {
        let mut original = "é\n".repeat(BLOCK);
        original.push_str("éé!");
        let (mut source, _) = Source::new(original.as_bytes());
        let mut read = 0;
        source.begin_event();
        source.begin_point();
        while read + 1 < original.len() {
            let length = source.fill_buf().unwrap().len().min(original.len() - 1 - read);
            source.consume(length);
            read += length;
        }
        assert_eq!(source.point_place(), (1, 1, 0));
        assert_eq!(source.here(), (as_u64(BLOCK) + 1, 3, as_u64(original.len()) - 1));
    }

    #[test]
    fn encodings_are_told_by_their_first_bytes() {
        for (bytes, what) in [
            (&b""[..], Unreadable::Empty),
            (b"\xff\xfe<\0", Unreadable::Encoding("UTF-16")),
            (b"\0<\0g", Unreadable::Encoding("UTF-16")),
            (b"\xff\xfe\0\0", Unreadable::Encoding("UTF-32")),
            (b"PK\x03\x04rest", Unreadable::Zip),
        ] {
            assert_eq!(Source::new(bytes).1, Some(what));
        }
    }
}
