//! The texts that tests are about, in folders beside them.

use std::fs;
use std::path::{Path, PathBuf};

/// A folder of texts.
pub(crate) fn folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests").join(name)
}

/// The files of a folder with their names, in alphabetical order.
pub(crate) fn texts(name: &str) -> Vec<(String, String)> {
    let mut all: Vec<_> = fs::read_dir(folder(name))
        .unwrap()
        .map(|entry| {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            (name, fs::read_to_string(path).unwrap())
        })
        .collect();
    all.sort();
    all
}
