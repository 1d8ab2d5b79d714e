//! Waiting until files are saved.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};

use diagnostic::{Diagnostic, Place};
use notify::event::{AccessKind, AccessMode, ModifyKind};
use notify::{Event, EventKind, RecommendedWatcher, RecursiveMode, Watcher};

/// An editor saves in several steps. So long after the last of them the file is taken to be whole.
const QUIET: Duration = Duration::from_millis(20);
/// Where files are saved without end, they are looked at after so long all the same.
const LONGEST: Duration = Duration::from_millis(200);

/// Why waiting ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Woken {
    /// A file may have been saved, made, moved or taken away.
    Saved,
    /// Nothing was, for as long as was to be waited.
    Nothing,
    /// The person wants to end.
    Ended,
}

enum Message {
    Files(notify::Result<Event>),
    End,
}

/// Watches files, also those that are not there yet.
///
/// It is their folders that are watched: most editors save by putting a new file in the place of
/// the old one, and who watches that sees nothing more.
pub(crate) struct Watch {
    watcher: RecommendedWatcher,
    messages: Receiver<Message>,
    /// The folders watched.
    folders: BTreeSet<PathBuf>,
    /// What is looked for in them.
    files: BTreeSet<PathBuf>,
}

impl Watch {
    /// Begins to watch nothing, and takes Ctrl-C for the wish to end. Once in a process.
    ///
    /// # Errors
    /// A finding that says why this machine cannot.
    pub(crate) fn begin() -> Result<Self, Box<Diagnostic>> {
        let (sender, messages) = channel();
        let ends = sender.clone();
        // Nobody receives any more when the program is about to end.
        ctrlc::set_handler(move || drop(ends.send(Message::End)))
            .map_err(|error| cannot(format!("Ctrl-C cannot be waited for: {error}")))?;
        let watcher =
            notify::recommended_watcher(move |event| drop(sender.send(Message::Files(event))))
                .map_err(|error| cannot_watch(&error))?;
        Ok(Self { watcher, messages, folders: BTreeSet::new(), files: BTreeSet::new() })
    }

    /// Watches these files and no others. Whether a folder is watched now that was not before: then
    /// what is in it may have changed unseen since it was read.
    ///
    /// # Errors
    /// A finding that says why a folder cannot be watched.
    pub(crate) fn follow(&mut self, files: &BTreeSet<PathBuf>) -> Result<bool, Box<Diagnostic>> {
        let (mut wanted, mut sought) = (BTreeSet::new(), BTreeSet::new());
        for file in files {
            let given = std::path::absolute(file).unwrap_or_else(|_| file.clone());
            // Of a link both ends count.
            let own = std::fs::canonicalize(&given).ok();
            for path in std::iter::once(given).chain(own) {
                if let Some((folder, file)) = nearest_folder(&path) {
                    sought.insert(file);
                    wanted.insert(folder);
                }
            }
        }
        for folder in self.folders.difference(&wanted) {
            // It may be gone already.
            let _ = self.watcher.unwatch(folder);
        }
        let mut fresh = false;
        let mut watched: BTreeSet<PathBuf> = self.folders.intersection(&wanted).cloned().collect();
        for folder in wanted {
            if watched.contains(&folder) {
                continue;
            }
            match self.watcher.watch(&folder, RecursiveMode::NonRecursive) {
                Ok(()) => {
                    watched.insert(folder);
                }
                // Gone since it was looked up. The next time another is nearest.
                Err(_) if !folder.exists() => {}
                Err(error) => return Err(cannot_watch(&error)),
            }
            fresh = true;
        }
        self.folders = watched;
        self.files = sought;
        Ok(fresh)
    }

    /// Waits until a file is saved and whole, the person wants to end, or `at_most` is over.
    pub(crate) fn wait(&mut self, at_most: Duration) -> Woken {
        let begin = Instant::now();
        loop {
            match self.next(at_most.saturating_sub(begin.elapsed())) {
                Some(Woken::Saved) => break,
                Some(other) => return other,
                None => {}
            }
        }
        let saved = Instant::now();
        let mut last = saved;
        while last.elapsed() < QUIET && saved.elapsed() < LONGEST {
            match self.next(QUIET.saturating_sub(last.elapsed())) {
                Some(Woken::Saved) => last = Instant::now(),
                Some(Woken::Ended) => return Woken::Ended,
                Some(Woken::Nothing) | None => {}
            }
        }
        Woken::Saved
    }

    /// The next message; none if it is about other files.
    fn next(&mut self, at_most: Duration) -> Option<Woken> {
        match self.messages.recv_timeout(at_most) {
            Ok(Message::Files(Ok(event))) => self.concerns(&event).then_some(Woken::Saved),
            // What was missed may have been anything.
            Ok(Message::Files(Err(_))) => Some(Woken::Saved),
            Ok(Message::End) | Err(RecvTimeoutError::Disconnected) => Some(Woken::Ended),
            Err(RecvTimeoutError::Timeout) => Some(Woken::Nothing),
        }
    }

    fn concerns(&mut self, event: &Event) -> bool {
        let saved = AccessKind::Close(AccessMode::Write);
        if matches!(event.kind, EventKind::Access(access) if access != saved) {
            // Reading, our own among it.
            return false;
        }
        let moves = EventKind::is_remove(&event.kind)
            || matches!(event.kind, EventKind::Modify(ModifyKind::Name(_)));
        let mut any = event.need_rescan();
        for path in &event.paths {
            // A folder that is gone is not watched any more, also when another takes its name.
            let folder = moves && self.folders.remove(path);
            if folder {
                let _ = self.watcher.unwatch(path);
            }
            any |= folder || self.files.contains(path);
        }
        any
    }
}

/// The nearest folder above a path that is there, and what is to come in it on the way to the path.
fn nearest_folder(path: &Path) -> Option<(PathBuf, PathBuf)> {
    let mut path = path;
    loop {
        let folder = path.parent()?;
        if let Ok(there) = std::fs::canonicalize(folder)
            && there.is_dir()
        {
            let file = there.join(path.file_name().unwrap_or_default());
            return Some((there, file));
        }
        path = folder;
    }
}

fn cannot_watch(error: &notify::Error) -> Box<Diagnostic> {
    cannot(match error.kind {
        notify::ErrorKind::MaxFilesWatch => "the system watches as many files as it may".into(),
        _ => format!("the folders of the tours cannot be watched: {error}"),
    })
}

fn cannot(headline: String) -> Box<Diagnostic> {
    let found = Diagnostic::error("cannot-watch", Place::whole("the command"), headline);
    Box::new(found.help(
        "check without --watch; or end another program that watches files, or raise the system's \
         limit",
    ))
}
