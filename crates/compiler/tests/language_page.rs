//! The tour that `routes/README.md` shows whole is one that nobody finds anything to say of, so that
//! whoever begins with it begins with a clean one.

#![allow(clippy::unwrap_used, reason = "a test may stop at once")]

use std::path::Path;

use route::MemoryWorld;

#[test]
fn the_whole_tour_of_the_language_page_is_clean() {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../routes/README.md");
    let page = std::fs::read_to_string(page).unwrap();
    let mut files = MemoryWorld::new();
    for block in page.split("```yaml\n").skip(1) {
        let (text, _) = block.split_once("```").unwrap();
        let path = text.lines().next().and_then(|line| line.strip_prefix("# "));
        if let Some(path) = path.filter(|path| path.ends_with(".yaml")) {
            files = files.with(path, text);
        }
    }
    let (project, findings) = route::read(&files, "tour.yaml", None);
    assert_eq!(findings, []);
    let project = project.unwrap();
    let (plan, findings) = compiler::compile(&project);
    assert_eq!(findings, []);
    let findings = compiler::review(&project, &plan.unwrap(), &plan::Day::default());
    assert_eq!(findings, []);
}
