//! Recordings: found in folders, measured side by side, and what was measured kept for the next
//! time.

use std::fs::{self, File};
use std::io::{self, Seek, SeekFrom};
use std::path::{Path, PathBuf};
use std::sync::Mutex;

use diagnostic::{Diagnostic, Place};
use rayon::prelude::*;
use sound::{Digest, Measurement, Refusal, entry};

use super::file;
use super::findings::Findings;
use crate::args::CacheArgs;

/// What is wanted, for messages.
const WHAT: &str = "a recording";

/// Endings that promise a recording, be it one that is not decoded.
const ENDINGS: &[&str] = &[
    "wav", "wave", "bwf", "flac", "mp3", "ogg", "oga", "opus", "m4a", "aac", "aif", "aiff", "wma",
    "caf", "mp2", "ac3", "wv", "ape", "mka", "webm",
];

/// Folders within folders are looked into so far.
const MOST_DEEP: usize = 16;

/// A file that may be a recording.
#[derive(Clone, Debug)]
pub(crate) struct Candidate {
    /// Where it is.
    pub(crate) path: PathBuf,
    /// Whether the person named the file, and not a folder that it is in.
    pub(crate) named: bool,
}

/// A recording, measured or refused.
#[derive(Debug)]
pub(crate) struct Recording {
    /// Where it is.
    pub(crate) path: PathBuf,
    /// Its content, where it could be read.
    pub(crate) content: Option<Digest>,
    /// What it measures, or why it is not measured.
    pub(crate) measured: Result<Measurement, Box<Diagnostic>>,
    /// Whether the person named it.
    pub(crate) named: bool,
}

impl Recording {
    /// Its name, for people.
    pub(crate) fn name(&self) -> String {
        file::name(&self.path)
    }

    /// What is the matter with it.
    pub(crate) fn findings(&self) -> Vec<Diagnostic> {
        match &self.measured {
            Ok(measured) => measured.review(&self.name()),
            Err(finding) => vec![(**finding).clone()],
        }
    }
}

/// The files that are named, and those in the folders that are named, in order; hidden files and
/// links to folders are left out. False where something that was named is not there.
pub(crate) fn candidates(paths: &[PathBuf], findings: &mut Findings) -> (Vec<Candidate>, bool) {
    let mut found = Vec::new();
    let mut all_there = true;
    for path in paths {
        if !path.is_dir() {
            match file::open(path, WHAT) {
                Ok(_) => found.push(Candidate { path: path.clone(), named: true }),
                Err(finding) => {
                    findings.push(*finding);
                    all_there = false;
                }
            }
            continue;
        }
        let before = found.len();
        if let Err(finding) = walk(path, 0, &mut found) {
            findings.push(*finding);
            all_there = false;
        }
        if found.len() == before {
            findings.push(
                Diagnostic::warning(
                    "folder-empty",
                    Place::whole(file::name(path)),
                    "there is no recording in this folder",
                )
                .help("name the folder with the recordings"),
            );
        }
    }
    (found, all_there)
}

fn walk(folder: &Path, depth: usize, into: &mut Vec<Candidate>) -> Result<(), Box<Diagnostic>> {
    let unreadable = |error: io::Error| {
        Box::new(
            Diagnostic::error(
                file::UNREADABLE,
                Place::whole(file::name(folder)),
                format!("the folder cannot be read: {error}"),
            )
            .help("check the disk or card it is on, and your rights"),
        )
    };
    let mut entries = fs::read_dir(folder)
        .and_then(|entries| entries.collect::<io::Result<Vec<_>>>())
        .map_err(unreadable)?;
    entries.sort_by_key(fs::DirEntry::file_name);
    for entry in entries {
        let path = entry.path();
        let hidden = entry.file_name().to_string_lossy().starts_with('.');
        // The kind of the entry itself: a link to a folder could lead round in a circle.
        let Ok(kind) = entry.file_type() else { continue };
        if hidden {
            continue;
        }
        if kind.is_dir() && depth < MOST_DEEP {
            walk(&path, depth + 1, into)?;
        } else if path.is_file() && promises_sound(&path) {
            into.push(Candidate { path, named: false });
        }
    }
    Ok(())
}

fn promises_sound(path: &Path) -> bool {
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    ending.is_some_and(|ending| ENDINGS.contains(&ending.as_str()))
}

/// Where what was measured is kept: a folder with a file for each content.
#[derive(Debug)]
pub(crate) struct Cache {
    folder: Option<PathBuf>,
    /// Why something could not be kept: the first time.
    trouble: Mutex<Option<io::Error>>,
}

impl Cache {
    /// As the arguments say; else the user's cache folder by the XDG base directory specification,
    /// or what stands for it on Windows.
    pub(crate) fn new(args: &CacheArgs) -> Self {
        let folder = match &args.cache {
            _ if args.no_cache => None,
            Some(folder) => Some(folder.clone()),
            None => user_cache().map(|folder| folder.join("fulmar").join("recordings")),
        };
        Self { folder, trouble: Mutex::new(None) }
    }

    fn path(&self, content: Digest) -> Option<PathBuf> {
        self.folder.as_ref().map(|folder| folder.join(format!("{content}.txt")))
    }

    /// What was measured of this content before. An entry that is damaged counts for nothing.
    fn get(&self, content: Digest) -> Option<Measurement> {
        let text = fs::read_to_string(self.path(content)?).ok()?;
        entry::read(content, &text)
    }

    /// Keeps what was measured. `number` is of nobody else's at this moment.
    fn put(&self, content: Digest, measured: &Measurement, number: usize) {
        let (Some(path), Some(folder)) = (self.path(content), &self.folder) else { return };
        let part = path.with_extension(format!("{}-{number}.part", std::process::id()));
        let kept = fs::create_dir_all(folder)
            .and_then(|()| fs::write(&part, entry::write(content, measured)))
            .and_then(|()| fs::rename(&part, &path));
        if let Err(error) = kept {
            let _ = fs::remove_file(&part);
            if let Ok(mut trouble) = self.trouble.lock() {
                trouble.get_or_insert(error);
            }
        }
    }

    /// What is to be said about the cache at the end.
    pub(crate) fn finding(self) -> Option<Diagnostic> {
        let error = self.trouble.into_inner().ok()??;
        let folder = self.folder.as_deref().map(file::name).unwrap_or_default();
        Some(
            Diagnostic::note(
                "cache-unusable",
                Place::whole(folder),
                format!("what was measured cannot be kept here: {error}"),
            )
            .help("give another folder with --cache, or --no-cache"),
        )
    }
}

fn user_cache() -> Option<PathBuf> {
    let folder = |name: &str| std::env::var_os(name).map(PathBuf::from);
    // A relative path there is to be ignored, says the specification.
    let absolute = |name: &str| folder(name).filter(|folder| folder.is_absolute());
    absolute("XDG_CACHE_HOME")
        .or_else(|| absolute("LOCALAPPDATA"))
        .or_else(|| absolute("HOME").map(|home| home.join(".cache")))
}

/// Measures all of them side by side; in the order given. `done` is told after each.
pub(crate) fn measure(
    candidates: &[Candidate],
    cache: &Cache,
    done: impl Fn() + Sync,
) -> Vec<Recording> {
    candidates
        .par_iter()
        .enumerate()
        .map(|(number, candidate)| {
            let recording = one(candidate, cache, number);
            done();
            recording
        })
        .collect()
}

fn one(candidate: &Candidate, cache: &Cache, number: usize) -> Recording {
    let mut content = None;
    let measured = content_and_measurement(candidate, cache, number, &mut content);
    Recording { path: candidate.path.clone(), content, measured, named: candidate.named }
}

fn content_and_measurement(
    candidate: &Candidate,
    cache: &Cache,
    number: usize,
    content: &mut Option<Digest>,
) -> Result<Measurement, Box<Diagnostic>> {
    let name = file::name(&candidate.path);
    let refused = |refusal: Refusal| Box::new(refusal.finding(&name));
    let (mut source, _) = file::open(&candidate.path, WHAT)?;
    let digest = digest(&mut source).map_err(|error| refused(Refusal::Unreadable(error)))?;
    *content = Some(digest);
    if let Some(measured) = cache.get(digest) {
        return Ok(measured);
    }
    let measured = sound::measure(&source).map_err(refused)?;
    cache.put(digest, &measured, number);
    Ok(measured)
}

fn digest(source: &mut File) -> io::Result<Digest> {
    source.seek(SeekFrom::Start(0))?;
    Digest::of(source)
}
