//! The demo operator's files are read without a finding.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use std::path::{Path, PathBuf};

use route::world::{World, WorldError, join};

struct Disk(PathBuf);

impl World for Disk {
    fn resolve(&self, from: &str, named: &str) -> Result<String, WorldError> {
        join(from, named)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, WorldError> {
        std::fs::read(self.0.join(path)).map_err(|error| WorldError(error.to_string()))
    }
}

#[test]
fn the_demo_is_read_without_a_finding() {
    let routes = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../routes");
    let tours: Vec<_> = std::fs::read_dir(routes.join("tours"))
        .unwrap()
        .map(|entry| format!("tours/{}", entry.unwrap().file_name().to_str().unwrap()))
        .filter(|path| path.ends_with(".yaml"))
        .collect();
    assert!(!tours.is_empty(), "no tours in {}", routes.display());
    for tour in tours {
        let (project, findings) = route::read(&Disk(routes.clone()), &tour, None);
        let shown: Vec<_> = findings
            .iter()
            .map(|f| format!("{}: {}: {}; {}", f.place, f.name, f.headline, f.help))
            .collect();
        assert!(shown.is_empty(), "{}", shown.join("\n"));
        assert!(project.unwrap().complete);
    }
}
