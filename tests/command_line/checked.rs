//! A tour with recordings, checked on the command line.

use std::path::Path;

use crate::project::Project;
use crate::recordings::wav;

/// What is told in the tour as it is.
const TEXT: &str = "{text: On our left the sea has cut an arch., length: 20 s}";

/// What `check` finds in the tour with a recording of five words, which take 2.4 s at 130 a minute:
/// its names, and what it says.
fn check(project: &Project) -> (Vec<String>, String) {
    project.edit_tour(TEXT, "{text: On the left an arch., audio: ../audio/arch.wav}");
    let done = project.fulmar(&["check", "tours/west.yaml", "--message-format", "json"]);
    let found = crate::lines(&done.out);
    (found.iter().map(|one| one["name"].as_str().unwrap().to_owned()).collect(), done.out)
}

#[test]
fn a_recording_gives_the_narration_its_length_and_the_plan_its_content() {
    let project = Project::new();
    project.write("audio/arch.wav", wav(16_000, 0.25));
    let (names, said) = check(&project);
    assert_eq!(names, [""; 0], "{said}");
    let plan = |content: Vec<u8>| {
        project.write("audio/arch.wav", content);
        let done = project.fulmar(&["plan", "tours/west.yaml", "--output", "west.json"]);
        assert_eq!(done.code, 0, "{}", done.err);
        crate::json(&project.read("west.json"))
    };
    let one = plan(wav(16_000, 0.25));
    let told = &one["plan"]["narrations"][0];
    assert_eq!((&told["length"], &told["voices"][0]["estimated"]), (&2000.into(), &false.into()));
    assert_eq!(told["voices"][0]["audio"]["file"], "../audio/arch.wav");
    let content = blake3::hash(&wav(16_000, 0.25)).to_hex().to_string();
    assert_eq!(told["voices"][0]["audio"]["content"], content.as_str());
    // Another recording of the same length is another plan.
    let other = plan(wav(16_000, 0.2));
    assert_ne!(one["digest"], other["digest"]);
}

#[test]
fn what_is_the_matter_with_a_recording_is_told_once() {
    let project = Project::new();
    let found = |content: Option<Vec<u8>>| -> Vec<String> {
        let path = project.path("audio/arch.wav");
        match content {
            Some(content) => project.write("audio/arch.wav", content),
            None if Path::exists(&path) => std::fs::remove_file(path).unwrap(),
            None => {}
        }
        check(&project).0
    };
    let good = wav(16_000, 0.25);
    assert_eq!(found(None), ["audio-missing"]);
    assert_eq!(found(Some(good[..20_000].to_vec())), ["recording-cut-off"]);
    assert_eq!(found(Some(Vec::new())), ["file-empty"]);
    assert_eq!(
        found(Some(b"no sound at all, and not even a name for it".to_vec())),
        ["not-a-recording"]
    );
    assert_eq!(found(Some(wav(16_000, 0.0))), ["recording-silent"]);
    assert_eq!(found(Some(wav(16_000, 2.0))), ["audio-clipped"]);
    assert_eq!(found(Some(wav(16_000, 0.01))), ["audio-soft"]);
    assert_eq!(found(Some(good)), [""; 0]);
}
