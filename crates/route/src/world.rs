//! The files of a project, wherever they are.

use std::collections::BTreeMap;
use std::fmt;

/// Where files come from: the disk in the command, a table in tests.
pub trait World {
    /// The path of the file that is called `named` inside the file `from`.
    ///
    /// # Errors
    /// Says in a few words why there can be no such file.
    fn resolve(&self, from: &str, named: &str) -> Result<String, WorldError>;

    /// The whole content of a file.
    ///
    /// # Errors
    /// Says in a few words why it cannot be read.
    fn read(&self, path: &str) -> Result<Vec<u8>, WorldError>;

    /// The names of the files that stand where the one at `path` is looked for, so that it can be
    /// said which of them is meant. None where that cannot be told.
    fn beside(&self, path: &str) -> Vec<String> {
        let _ = path;
        Vec::new()
    }
}

/// Why a file is out of reach, in a few words, such as `no such file`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WorldError(pub String);

impl fmt::Display for WorldError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for WorldError {}

/// The path of what is called `named` inside the file `from`: both with `/`, `..` taken away.
///
/// Only text is looked at. A [`World`] may build its own `resolve` on this.
///
/// # Errors
/// For an absolute path, an empty one, one with `\`, and one that leaves the top folder.
pub fn join(from: &str, named: &str) -> Result<String, WorldError> {
    if named.starts_with('/') || named.contains(['\\', ':']) {
        return Err(WorldError(
            "a path must be relative to the file that names it, with `/`".into(),
        ));
    }
    let mut parts: Vec<&str> = from.split('/').collect();
    parts.pop();
    // A path given to the command may begin above where it was given, or at the root.
    let fixed = parts.iter().take_while(|part| matches!(**part, ".." | "")).count();
    for part in named.split('/') {
        match part {
            "" | "." => {}
            ".." if parts.len() > fixed => {
                parts.pop();
            }
            ".." => return Err(WorldError("the path leaves the folder of the project".into())),
            part => parts.push(part),
        }
    }
    if parts.is_empty() {
        return Err(WorldError("the path is empty".into()));
    }
    Ok(parts.join("/"))
}

/// Files in memory, by path.
#[derive(Clone, Debug, Default)]
pub struct MemoryWorld {
    files: BTreeMap<String, Vec<u8>>,
}

impl MemoryWorld {
    /// No files.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a file, or puts another in its place.
    #[must_use]
    pub fn with(mut self, path: &str, content: impl Into<Vec<u8>>) -> Self {
        self.files.insert(path.to_owned(), content.into());
        self
    }
}

impl World for MemoryWorld {
    fn resolve(&self, from: &str, named: &str) -> Result<String, WorldError> {
        join(from, named)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, WorldError> {
        self.files.get(path).cloned().ok_or_else(|| WorldError("no such file".into()))
    }

    fn beside(&self, path: &str) -> Vec<String> {
        let folder = |path: &str| path.rfind('/').map_or(0, |at| at + 1);
        let (wanted, _) = path.split_at(folder(path));
        let there = self.files.keys().filter_map(|file| {
            let (other, name) = file.split_at(folder(file));
            (other == wanted).then(|| name.to_owned())
        });
        there.collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_are_joined_as_text() {
        let joined = |from, named| join(from, named).unwrap_or_else(|error| error.0);
        assert_eq!(joined("tours/west.yaml", "../aircraft/heron.yaml"), "aircraft/heron.yaml");
        assert_eq!(joined("west.yaml", "./sights.yaml"), "sights.yaml");
        assert_eq!(joined("/a/b/west.yaml", "../c.yaml"), "/a/c.yaml");
        assert_eq!(joined("../b/west.yaml", "c.yaml"), "../b/c.yaml");
        for (from, named) in [
            ("west.yaml", "../x"),
            ("a/west.yaml", "/x"),
            ("a/w", "c:\\x"),
            ("w", ""),
            ("../w", "../x"),
        ] {
            assert!(join(from, named).is_err(), "{from} {named}");
        }
    }
}
