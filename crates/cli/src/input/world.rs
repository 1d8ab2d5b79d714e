//! The real files of a project, for the reader of tours.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::time::SystemTime;

use diagnostic::Diagnostic;
use indicatif::ProgressBar;
use route::{World, WorldError};

use super::file;
use super::recording::{self, Cache, Candidate, Recording};
use crate::args::CacheArgs;

/// Files on this machine. Paths are as the person gave them, with `/`; a file that names another
/// names it relative to itself.
///
/// Each file is read once, by whatever names it is asked for: what is found in it for one tour and
/// for another is found in the same text.
#[derive(Debug, Default)]
pub(crate) struct Disk {
    /// What was read, by the file's own path.
    read: RefCell<BTreeMap<PathBuf, Vec<u8>>>,
    /// Every path that was asked for, with the own path of the file if it could be read.
    asked: RefCell<BTreeMap<PathBuf, Option<PathBuf>>>,
    /// Every recording that was asked for, as it was named.
    heard: RefCell<BTreeMap<PathBuf, Heard>>,
}

/// A recording as it was when it was measured.
#[derive(Debug)]
struct Heard {
    stamp: Stamp,
    /// What it measures; none where it is not there.
    recording: Option<Rc<Recording>>,
}

/// By what it is told that a large file has changed: its size and when it was written; none where
/// it is not there.
type Stamp = Option<(u64, Option<SystemTime>)>;

fn stamp(path: &Path) -> Stamp {
    let about = fs::metadata(path).ok()?;
    Some((about.len(), about.modified().ok()))
}

impl Disk {
    /// The whole content of a file; `what` says what is wanted, such as `a tour`.
    ///
    /// # Errors
    /// A finding that says what is the matter and what to do.
    pub(crate) fn bytes(&self, path: &Path, what: &str) -> Result<Vec<u8>, Box<Diagnostic>> {
        self.asked.borrow_mut().insert(path.to_path_buf(), None);
        let own = own_path(path);
        let known = self.read.borrow().get(&own).cloned();
        let bytes = match known {
            Some(bytes) => bytes,
            None => file::read(path, what)?,
        };
        self.asked.borrow_mut().insert(path.to_path_buf(), Some(own.clone()));
        self.read.borrow_mut().insert(own, bytes.clone());
        Ok(bytes)
    }

    /// Every path that was asked for, also in vain.
    pub(crate) fn asked(&self) -> BTreeSet<PathBuf> {
        let heard = self.heard.borrow();
        self.asked.borrow().keys().chain(heard.keys()).cloned().collect()
    }

    /// Whether every file that was asked for is still as it was read, or still cannot be.
    pub(crate) fn is_current(&self) -> bool {
        if self.heard.borrow().iter().any(|(path, heard)| stamp(path) != heard.stamp) {
            return false;
        }
        let read = self.read.borrow();
        self.asked.borrow().iter().all(|(path, own)| {
            let before = own.as_ref().and_then(|own| read.get(own));
            file::read(path, "a file").ok().as_ref() == before
        })
    }

    /// Measures those of some recordings that were not asked for before, side by side, with what was
    /// kept of them in the user's cache; with a bar that shows how far it is, where somebody
    /// watches.
    pub(crate) fn measure(&self, candidates: &[Candidate]) {
        let mut heard = self.heard.borrow_mut();
        let (mut fresh, mut stamps) = (Vec::new(), Vec::new());
        for candidate in candidates {
            if heard.contains_key(&candidate.path) {
                continue;
            }
            match stamp(&candidate.path) {
                None => {
                    heard.insert(candidate.path.clone(), Heard { stamp: None, recording: None });
                }
                there => {
                    fresh.push(candidate.clone());
                    stamps.push(there);
                }
            }
        }
        let cache = Cache::new(&CacheArgs { cache: None, no_cache: false });
        if fresh.is_empty() {
            return;
        }
        let bar = ProgressBar::new(fresh.len() as u64);
        let measured = recording::measure(&fresh, &cache, || bar.inc(1));
        bar.finish_and_clear();
        for (recording, stamp) in measured.into_iter().zip(stamps) {
            let path = recording.path.clone();
            heard.insert(path, Heard { stamp, recording: Some(Rc::new(recording)) });
        }
    }

    /// What a recording that was asked for measures; none where it is not there.
    pub(crate) fn measured(&self, path: &str) -> Option<Rc<Recording>> {
        self.heard.borrow().get(Path::new(path))?.recording.clone()
    }

    /// From now on a file, by its own path, is as if it had this content. Gives what it had.
    pub(crate) fn put(&self, own: &Path, bytes: Vec<u8>) -> Option<Vec<u8>> {
        self.read.borrow_mut().insert(own.to_path_buf(), bytes)
    }
}

/// The one path of a file, by whatever name it is given and through whatever links.
pub(crate) fn own_path(path: &Path) -> PathBuf {
    fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf())
}

impl World for Disk {
    fn resolve(&self, from: &str, named: &str) -> Result<String, WorldError> {
        join(from, named)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, WorldError> {
        self.bytes(Path::new(path), "a file of the tour")
            .map_err(|finding| WorldError(finding.headline))
    }

    fn beside(&self, path: &str) -> Vec<String> {
        let folder = match Path::new(path).parent() {
            Some(folder) if folder != Path::new("") => folder,
            _ => Path::new("."),
        };
        let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
        let names = entries.flatten().filter_map(|entry| entry.file_name().into_string().ok());
        let names: Vec<String> = names.take(MOST_BESIDE + 1).collect();
        if names.len() > MOST_BESIDE { Vec::new() } else { names }
    }
}

/// In a folder of more files than that it is not looked for which one is meant.
const MOST_BESIDE: usize = 10_000;

/// The path of what is called `named` inside the file `from`, without `.` and with as few `..` as
/// can be. It may lead above the directory in which the command is given, so that a tour can be
/// checked from its own directory.
fn join(from: &str, named: &str) -> Result<String, WorldError> {
    if named.is_empty() {
        return Err(WorldError("the path is empty".into()));
    }
    if named.starts_with('/') || named.contains(['\\', ':', '\0']) {
        let words = "a path must be relative to the file that names it, with `/`";
        return Err(WorldError(words.into()));
    }
    let (root, from) = match from.strip_prefix('/') {
        Some(rest) => ("/", rest),
        None => ("", from),
    };
    let mut parts: Vec<&str> = Vec::new();
    let folder = from.rsplit_once('/').map_or("", |(folder, _)| folder);
    for part in folder.split('/').chain(named.split('/')) {
        match part {
            "" | "." => {}
            ".." if parts.last().is_some_and(|last| *last != "..") => {
                parts.pop();
            }
            ".." if root.is_empty() => parts.push(".."),
            ".." => return Err(WorldError("the path leads above the root".into())),
            part => parts.push(part),
        }
    }
    Ok(format!("{root}{}", parts.join("/")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_are_relative_to_the_file_that_names_them() {
        let joined = |from, named| join(from, named).unwrap_or_else(|error| error.0);
        assert_eq!(joined("tours/west.yaml", "../aircraft/heron.yaml"), "aircraft/heron.yaml");
        assert_eq!(joined("west.yaml", "../aircraft/heron.yaml"), "../aircraft/heron.yaml");
        assert_eq!(joined("../t/west.yaml", "../a.yaml"), "../a.yaml");
        assert_eq!(joined("../t/west.yaml", "../../a.yaml"), "../../a.yaml");
        assert_eq!(joined("/r/t/west.yaml", "./../a.yaml"), "/r/a.yaml");
        assert_eq!(joined("./west.yaml", "a.yaml"), "a.yaml");
        for (from, named) in [("w", "/x"), ("w", ""), ("w", "c:\\x"), ("/w", "../x")] {
            assert!(join(from, named).is_err(), "{from} {named}");
        }
    }
}
