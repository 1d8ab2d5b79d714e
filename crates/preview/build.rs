//! Bundles the page's program, `web`, into `OUT_DIR`.
//!
//! The libraries it is made with come from npm as `web/package-lock.json` pins them; none is kept in
//! the repository. The folder is copied first, so that nothing is written beside the source.

#![allow(clippy::print_stdout, clippy::print_stderr, reason = "that is how a build script speaks")]

use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};
use std::{env, fs, io};

/// What is never copied: what npm and the bundler make where somebody works on the program.
const MADE: &[&str] = &["node_modules", "dist"];

fn main() -> ExitCode {
    match bundle() {
        Ok(()) => ExitCode::SUCCESS,
        Err(said) => {
            eprintln!("the page's program could not be bundled: {said}");
            ExitCode::FAILURE
        }
    }
}

fn bundle() -> Result<(), String> {
    let given = |name: &str| env::var_os(name).ok_or(format!("cargo gave no {name}"));
    let source = PathBuf::from(given("CARGO_MANIFEST_DIR")?).join("web");
    let web = PathBuf::from(given("OUT_DIR")?).join("web");
    let installed = web.join("node_modules/installed-from.json");
    watch(&source).map_err(|error| format!("{}: {error}", source.display()))?;
    copy(&source, &web).map_err(|error| format!("{}: {error}", web.display()))?;
    let lock = fs::read(web.join("package-lock.json"))
        .map_err(|error| format!("web/package-lock.json: {error}"))?;
    if fs::read(&installed).ok().as_ref() != Some(&lock) {
        // No package that is used needs to run anything when it is installed.
        npm(&web, &["ci", "--ignore-scripts", "--no-audit", "--no-fund", "--prefer-offline"])?;
        fs::write(&installed, lock).map_err(|error| format!("{}: {error}", installed.display()))?;
    }
    npm(&web, &["run", "--silent", "build"])
}

/// Asks cargo to come again when a file of the program has changed.
fn watch(folder: &Path) -> io::Result<()> {
    println!("cargo::rerun-if-changed=build.rs");
    for (name, path) in entries(folder)? {
        if !MADE.contains(&name.as_str()) {
            println!("cargo::rerun-if-changed={}", path.display());
        }
    }
    Ok(())
}

/// Makes the copy what the source is; what npm made there stays.
fn copy(from: &Path, to: &Path) -> io::Result<()> {
    fs::create_dir_all(to)?;
    for (name, path) in entries(to)? {
        if MADE.contains(&name.as_str()) || from.join(&name).exists() {
            continue;
        }
        if path.is_dir() { fs::remove_dir_all(&path)? } else { fs::remove_file(&path)? }
    }
    for (name, path) in entries(from)? {
        if MADE.contains(&name.as_str()) {
            continue;
        }
        if path.is_dir() {
            copy(&path, &to.join(name))?;
        } else {
            fs::copy(&path, to.join(name))?;
        }
    }
    Ok(())
}

fn entries(folder: &Path) -> io::Result<Vec<(String, PathBuf)>> {
    fs::read_dir(folder)?
        .map(|entry| {
            let entry = entry?;
            Ok((entry.file_name().to_string_lossy().into_owned(), entry.path()))
        })
        .collect()
}

fn npm(folder: &Path, words: &[&str]) -> Result<(), String> {
    let name = if cfg!(windows) { "npm.cmd" } else { "npm" };
    let said = Command::new(name).args(words).current_dir(folder).output().map_err(|error| {
        format!(
            "npm cannot be run ({error}); install Node.js 20 or newer with npm, for instance \
             `apt-get install nodejs npm`, and build again"
        )
    })?;
    if said.status.success() {
        return Ok(());
    }
    Err(format!(
        "`npm {}` in {} failed; the first build needs the network once, to fetch what \
         package-lock.json names\n{}{}",
        words.join(" "),
        folder.display(),
        String::from_utf8_lossy(&said.stdout),
        String::from_utf8_lossy(&said.stderr)
    ))
}
