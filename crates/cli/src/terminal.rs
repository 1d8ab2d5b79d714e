//! Standard output and standard error.

use std::io::{self, BufWriter, IsTerminal, Write};

/// The two streams that people read, and what they can show.
///
/// Results go to `out`, which is buffered; what is said about the input goes to standard error.
pub(crate) struct Terminal {
    /// Results.
    pub(crate) out: Box<dyn Write>,
    /// Findings and notes.
    pub(crate) err: Box<dyn Write>,
    /// Whether `out` shows colours.
    pub(crate) colour_out: bool,
    /// Whether `err` shows colours.
    pub(crate) colour_err: bool,
    /// Whether `out` is a screen that can be drawn on.
    pub(crate) out_is_screen: bool,
    /// Whether a person watches `err`.
    pub(crate) err_is_watched: bool,
}

impl Terminal {
    /// The process's own streams. Colours only on a terminal, and never where `NO_COLOR` says so.
    pub(crate) fn of_process() -> Self {
        let out = io::stdout();
        let err = io::stderr();
        let colour_out = anstream::AutoStream::choice(&out) != anstream::ColorChoice::Never;
        let colour_err = anstream::AutoStream::choice(&err) != anstream::ColorChoice::Never;
        let dumb = std::env::var_os("TERM").is_some_and(|kind| kind == "dumb");
        let out_is_screen = out.is_terminal() && !dumb;
        let err_is_watched = err.is_terminal();
        Self {
            out: Box::new(BufWriter::with_capacity(1 << 16, out)),
            err: Box::new(err),
            colour_out,
            colour_err,
            out_is_screen,
            err_is_watched,
        }
    }

    /// Sends everything on its way.
    ///
    /// # Errors
    /// Where a stream cannot be written.
    pub(crate) fn flush(&mut self) -> io::Result<()> {
        self.out.flush()?;
        self.err.flush()
    }

    /// Says one line on standard error; if that is gone too, there is nobody to tell.
    pub(crate) fn complain(&mut self, line: &str) {
        let _ = writeln!(self.err, "{line}");
    }
}
