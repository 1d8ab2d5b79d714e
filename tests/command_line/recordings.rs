//! Recordings on the command line: what is measured, kept, refused and told.

use crate::project::Project;
use serde_json::Value;

/// Two seconds of a tone at 8 kHz or more, 16 bit, one channel, in a WAV file written by hand.
pub(crate) fn wav(rate: u32, amplitude: f64) -> Vec<u8> {
    let frames = rate * 2;
    let mut bytes = b"RIFF".to_vec();
    bytes.extend((36 + frames * 2).to_le_bytes());
    bytes.extend(b"WAVEfmt \x10\0\0\0\x01\0\x01\0");
    bytes.extend(rate.to_le_bytes());
    bytes.extend((rate * 2).to_le_bytes());
    bytes.extend(b"\x02\0\x10\0data");
    bytes.extend((frames * 2).to_le_bytes());
    for frame in 0..frames {
        let turn = std::f64::consts::TAU * 500.0 * f64::from(frame) / f64::from(rate);
        bytes.extend(((amplitude * 32_767.0 * libm::sin(turn)) as i16).to_le_bytes());
    }
    bytes
}

/// What `fulmar audio --format json` says, with a cache in the project's folder.
fn audio(project: &Project, path: &str) -> (i32, Value, String) {
    let done = project.fulmar(&["audio", path, "--format", "json", "--cache", "measured"]);
    (done.code, crate::json(&done.out), done.err)
}

#[test]
fn a_folder_of_recordings_is_measured() {
    let project = Project::new();
    project.write("takes/de/b.wav", wav(48_000, 0.1));
    project.write("takes/a.wav", wav(22_050, 0.2));
    project.write("takes/notes.txt", "the second one is better");
    project.write("takes/.hidden.wav", "nothing");
    let (code, found, said) = audio(&project, "takes");
    assert_eq!((code, said.as_str()), (0, ""));
    assert_eq!((&found["format"], &found["version"]), (&"fulmar-recordings".into(), &1.into()));
    let each = found["recordings"].as_array().unwrap();
    let files: Vec<&str> = each.iter().map(|one| one["file"].as_str().unwrap()).collect();
    assert_eq!(files, ["takes/a.wav", "takes/de/b.wav"]);
    assert_eq!(each[0]["length_ms"], 2000);
    assert_eq!(each[0]["rate_hz"], 22_050);
    // A sine of amplitude a tenth is 20 dB down, and on one channel 3.01 LU below its peak.
    let loudness = each[1]["loudness_lufs"].as_f64().unwrap();
    assert!((loudness + 23.0).abs() < 1.0, "{loudness}");
    assert_eq!(each[1]["true_peak_dbtp"], -20.0);

    let text = project.fulmar(&["audio", "takes", "--no-cache"]);
    assert_eq!(text.code, 0, "{}", text.err);
    assert!(text.out.lines().next().unwrap().starts_with("recording"), "{}", text.out);
    assert!(text.out.contains("takes/a.wav     WAV, 16 bit  2.000 s  22.05 kHz"), "{}", text.out);
    assert!(text.out.ends_with("2 recordings, 4 s in all\n"), "{}", text.out);
}

#[test]
fn what_is_wrong_is_told_and_the_rest_is_measured() {
    let project = Project::new();
    project.write("takes/1.wav", wav(48_000, 0.1));
    project.write("takes/2.wav", &wav(48_000, 0.1)[..9_644]);
    project.write("takes/3.mp3", wav(48_000, 0.1));
    project.write("takes/4.opus", "OggS\0\x02\0\0\0\0\0\0\0\0abcd\0\0\0\0efgh\x01\x13OpusHead");
    project.write("takes/5.wav", "");
    let (code, found, said) = audio(&project, "takes");
    assert_eq!(code, 1);
    let named = |index: usize| {
        let remarks = found["recordings"][index]["remarks"].as_array().unwrap();
        remarks.iter().map(|one| one["name"].as_str().unwrap().to_owned()).collect::<Vec<_>>()
    };
    assert_eq!(named(0), [""; 0]);
    assert_eq!(named(1), ["recording-cut-off"]);
    assert_eq!(named(2), ["recording-ending"]);
    assert_eq!(named(3), ["recording-kind"]);
    assert_eq!(named(4), ["file-empty"]);
    assert!(said.contains("it is cut off: 0.1 s of 2.0 s are there"), "{said}");
    assert!(said.contains("takes/4.opus"), "{said}");
    assert_eq!(found["recordings"][3]["length_ms"], Value::Null);
    // One that is named itself has to be a recording.
    assert_eq!(project.fulmar(&["audio", "takes/4.opus", "--no-cache"]).code, 2);
    assert_eq!(project.fulmar(&["audio", "takes/none.wav", "--no-cache"]).code, 2);
    assert_eq!(project.fulmar(&["audio", "library", "--no-cache"]).code, 1);
}

#[test]
fn what_was_measured_is_taken_from_the_cache_by_its_content() {
    let project = Project::new();
    project.write("takes/a.wav", wav(48_000, 0.1));
    let (_, first, _) = audio(&project, "takes");
    let content = first["recordings"][0]["content"].as_str().unwrap().to_owned();
    let kept = format!("measured/{content}.txt");
    let entry = project.read(&kept);

    // A sound entry is believed: another length, with the digest that belongs to it, is what the
    // next check says. That is how a measurement is seen not to have been made again.
    let line = entry.lines().next().unwrap().replace("\"frames\":96000", "\"frames\":48000");
    let digest = blake3::hash(line.as_bytes()).to_hex();
    project.write(&kept, format!("{line}\n{digest}\n"));
    assert_eq!(audio(&project, "takes").1["recordings"][0]["length_ms"], 1000);
    // The same content under another name is the same entry.
    project.write("takes/copy.wav", wav(48_000, 0.1));
    assert_eq!(audio(&project, "takes").1["recordings"][1]["length_ms"], 1000);

    // A damaged entry is not believed, and is written anew.
    project.write(&kept, entry.replace("96000", "48000"));
    assert_eq!(audio(&project, "takes").1["recordings"][0]["length_ms"], 2000);
    assert_eq!(project.read(&kept), entry);

    // A changed file is another content.
    project.write("takes/a.wav", wav(24_000, 0.1));
    let (_, changed, _) = audio(&project, "takes");
    assert_eq!(changed["recordings"][0]["rate_hz"], 24_000);
    assert_ne!(changed["recordings"][0]["content"].as_str(), Some(content.as_str()));
}

#[test]
fn a_cache_that_cannot_be_written_spoils_nothing() {
    let project = Project::new();
    project.write("a.wav", wav(48_000, 0.1));
    project.write("measured", "a file where the folder should be");
    let (code, found, said) = audio(&project, "a.wav");
    assert_eq!((code, &found["recordings"][0]["length_ms"]), (0, &2000.into()), "{said}");
    assert!(said.contains("cache-unusable"), "{said}");
}
