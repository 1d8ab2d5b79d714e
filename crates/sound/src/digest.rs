//! The name of a content.

use std::fmt;
use std::io::{self, Read};

/// What names the content of a file: the same for the same bytes, wherever they lie and whatever
/// they are called (BLAKE3, 256 bits).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Digest([u8; 32]);

impl Digest {
    /// Of everything that can still be read from a source.
    ///
    /// # Errors
    /// Where the source cannot be read.
    pub fn of(mut source: impl Read) -> io::Result<Self> {
        let mut hasher = blake3::Hasher::new();
        let mut piece = vec![0; 1 << 16];
        loop {
            match source.read(&mut piece) {
                Ok(0) => return Ok(Self(*hasher.finalize().as_bytes())),
                Ok(length) => hasher.update(piece.get(..length).unwrap_or_default()),
                Err(error) if error.kind() == io::ErrorKind::Interrupted => continue,
                Err(error) => return Err(error),
            };
        }
    }

    /// Of a text.
    #[must_use]
    pub fn of_text(text: &str) -> Self {
        Self(*blake3::hash(text.as_bytes()).as_bytes())
    }
}

impl fmt::Display for Digest {
    /// As 64 hexadecimal digits, which are also a good name for a file.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}
