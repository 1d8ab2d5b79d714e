//! Recorded flights, found in folders.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use diagnostic::{Diagnostic, Place};

use super::file;
use super::findings::Findings;

/// Folders within folders are looked into so far.
const MOST_DEEP: usize = 16;

/// The files that are named, and the flights in the folders that are named, in order; hidden files
/// and links to folders are left out. False where a folder could not be read.
pub(crate) fn flights(paths: &[PathBuf], findings: &mut Findings) -> (Vec<PathBuf>, bool) {
    let mut found = Vec::new();
    let mut all_there = true;
    for path in paths {
        if !path.is_dir() {
            // That it is not there, or no flight, is said when it is flown.
            found.push(path.clone());
            continue;
        }
        let before = found.len();
        if let Err(error) = walk(path, 0, &mut found) {
            findings.push(
                Diagnostic::error(
                    file::UNREADABLE,
                    Place::whole(file::name(path)),
                    format!("the folder cannot be read: {error}"),
                )
                .help("check the disk or card it is on, and your rights"),
            );
            all_there = false;
        } else if found.len() == before {
            findings.push(
                Diagnostic::warning(
                    "folder-empty",
                    Place::whole(file::name(path)),
                    "there is no recorded flight in this folder",
                )
                .help("name the folder with the GPX files"),
            );
        }
    }
    (found, all_there)
}

fn walk(folder: &Path, depth: usize, into: &mut Vec<PathBuf>) -> io::Result<()> {
    let mut entries = fs::read_dir(folder)?.collect::<io::Result<Vec<_>>>()?;
    entries.sort_by_key(fs::DirEntry::file_name);
    for entry in entries {
        let path = entry.path();
        let name = entry.file_name().to_string_lossy().to_lowercase();
        // The kind of the entry itself: a link to a folder could lead round in a circle.
        let kind = entry.file_type()?;
        if name.starts_with('.') {
            continue;
        }
        if kind.is_dir() && depth < MOST_DEEP {
            walk(&path, depth + 1, into)?;
        } else if path.is_file() && (name.ends_with(".gpx") || name.ends_with(".gpx.gz")) {
            into.push(path);
        }
    }
    Ok(())
}
