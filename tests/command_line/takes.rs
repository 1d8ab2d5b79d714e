//! A folder of takes on the command line, from the first recording to the pick-up.

use serde_json::Value;

use crate::project::Project;
use crate::recordings::wav;

const TEXTS: &str =
    "{text: {en: The sea has cut an arch., de: Das Meer hat einen Bogen gegraben.}}";

/// The project, its narration told in two languages.
fn project() -> Project {
    let project = Project::new();
    let text = "{text: On our left the sea has cut an arch., length: 20 s}";
    project.edit_tour(text, TEXTS);
    let tour = project.read("tours/west.yaml");
    project.write("tours/west.yaml", format!("{tour}other languages: {{de: {{}}}}\n"));
    project
}

fn takes(project: &Project, more: &[&str]) -> (i32, Value, String) {
    let mut args = vec!["takes", "tours/west.yaml", "takes", "--format", "json", "--no-cache"];
    args.extend(more);
    let done = project.fulmar(&args);
    let found = if done.out.is_empty() { Value::Null } else { crate::json(&done.out) };
    (done.code, found, done.err)
}

fn standing(found: &Value) -> Vec<&str> {
    let cues = found["cues"].as_array().unwrap();
    cues.iter().map(|cue| cue["standing"].as_str().unwrap()).collect()
}

#[test]
fn takes_from_the_first_to_the_pick_up() {
    let project = project();
    project.write("takes/001_arch-story_en_t1.wav", wav(48_000, 0.1));
    project.write("takes/001_arch-story_en_t2.wav", wav(48_000, 0.2));
    let (code, found, said) = takes(&project, &["--note"]);
    assert_eq!((code, standing(&found)), (1, vec!["new", "missing"]), "{said}");
    assert!(said.contains("1 of 1 narrations have no take in de: `arch-story`"), "{said}");
    assert_eq!(found["cues"][0]["file"], "takes/001_arch-story_en_t2.wav");
    assert_eq!(found["cues"][0]["length_ms"], 2000);

    // In one language everything is there, and noted.
    let (code, found, said) = takes(&project, &["--language", "en"]);
    assert_eq!((code, standing(&found), said.as_str()), (0, vec!["recorded"], ""));

    // The other language comes, and the first take is chosen by hand in the notes.
    project.write("takes/de/arch-story.wav", wav(48_000, 0.3));
    let notes = project.read("takes/takes.json");
    let chosen = notes.replacen("\"chosen\":false", "\"chosen\":true", 1);
    project.write("takes/takes.json", &chosen);
    let (code, found, said) = takes(&project, &[]);
    assert_eq!((code, standing(&found)), (0, vec!["recorded", "new"]), "{said}");
    assert_eq!(found["cues"][0]["take"], 1);
    // Without being asked to, nothing is written.
    assert_eq!(project.read("takes/takes.json"), chosen);

    // The author changes a text after it was noted.
    takes(&project, &["--note"]);
    let tour = project.read("tours/west.yaml");
    project.write("tours/west.yaml", tour.replace("Bogen gegraben", "Bogen geschnitten"));
    let (code, found, said) = takes(&project, &["--note"]);
    assert_eq!((code, standing(&found)), (1, vec!["recorded", "text-changed"]), "{said}");
    assert!(said.contains("--accept arch-story/de"), "{said}");
    let list = project.fulmar(&["takes", "tours/west.yaml", "takes", "--no-cache"]);
    assert!(list.out.contains("To record (1):\n\n1 arch-story, de: the text has changed\n"));
    assert!(list.out.contains("  recorded: Das Meer hat einen Bogen gegraben.\n"), "{}", list.out);
    assert!(list.out.contains("  to say:   Das Meer hat einen Bogen geschnitten.\n"));

    // It still fits.
    takes(&project, &["--accept", "arch-story/de"]);
    assert_eq!(takes(&project, &[]).0, 0);
    let list = project.fulmar(&["takes", "tours/west.yaml", "takes", "--no-cache"]);
    assert!(list.out.ends_with("\nNothing to record.\n"), "{}", list.out);
}

#[test]
fn what_cannot_be_matched_or_used_is_told() {
    let project = project();
    project.write("takes/arch-story_en_t1.wav", &wav(48_000, 0.1)[..1000]);
    project.write("takes/arch-story_t1.wav", wav(48_000, 0.1));
    project.write("takes/arch-storm_de_t1.wav", wav(48_000, 0.1));
    let (code, found, said) = takes(&project, &[]);
    assert_eq!((code, standing(&found)), (1, vec!["unusable", "missing"]), "{said}");
    for name in ["recording-cut-off", "take-language", "take-astray", "take-missing"] {
        assert!(said.contains(name), "{name}: {said}");
    }
    assert!(said.contains("is it `arch-story`?"), "{said}");
    assert_eq!(found["astray"].as_array().unwrap().len(), 2);
}

#[test]
fn what_is_not_there_or_not_readable_ends_with_2_and_changes_nothing() {
    let project = project();
    project.write("takes/arch-story_en_t1.wav", wav(48_000, 0.1));
    project
        .write("takes/takes.json", "{\"format\": \"fulmar-takes\", \"version\": 1,\n\"takes\": [}");
    let (code, _, said) = takes(&project, &["--note"]);
    assert_eq!(code, 2);
    assert!(said.contains("takes/takes.json:2:11"), "{said}");
    assert!(project.read("takes/takes.json").ends_with("[}"));
    std::fs::remove_file(project.path("takes/takes.json")).unwrap();

    assert_eq!(takes(&project, &["--language", "fr"]).0, 2);
    let (code, _, said) = takes(&project, &["--accept", "arch-story/de"]);
    assert_eq!((code, said.contains("unknown-take")), (2, true), "{said}");
    assert!(!project.path("takes/takes.json").exists());
    for folder in ["none", "tours/west.yaml"] {
        let done = project.fulmar(&["takes", "tours/west.yaml", folder, "--no-cache"]);
        assert_eq!(done.code, 2, "{folder}: {}", done.err);
    }
}

#[test]
fn a_language_without_a_text_is_told() {
    let project = project();
    let tour = project.read("tours/west.yaml");
    project.write("tours/west.yaml", tour.replace(", de: Das Meer hat einen Bogen gegraben.", ""));
    project.write("takes/arch-story.wav", wav(48_000, 0.1));
    let (code, found, said) = takes(&project, &[]);
    assert_eq!((code, standing(&found)), (1, vec!["new"]), "{said}");
    assert!(said.contains("cue-without-text"), "{said}");
    // With a fallback the other language is what is heard, and nothing is missing.
    let tour = project.read("tours/west.yaml");
    project.write("tours/west.yaml", tour.replace("{de: {}}", "{de: {fallback: en}}"));
    assert_eq!(takes(&project, &[]).0, 0);
}
