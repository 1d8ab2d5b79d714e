//! Pages about files, about what is said for the day, and about hand actions.

use diagnostic::Page;

use super::page;
use crate::input::file;

pub(super) const PAGES: &[Page] = &[
    page!(
        file::MISSING,
        Error,
        "A file named on the command line that is not there.",
        "Nothing can be said about a file that cannot be found.",
        "fulmar check tours/wset.yaml",
        "fulmar check tours/west.yaml",
    ),
    page!(
        file::NOT_A_FILE,
        Error,
        "A directory where a file is wanted.",
        "Which of the files in it is meant would be a guess.",
        "fulmar check tours",
        "fulmar check tours/west.yaml tours/loop.yaml",
    ),
    page!(
        file::NOT_A_FOLDER,
        Error,
        "A file where a folder is wanted.",
        "The notes of a folder of takes are kept in it, and a single take says nothing of the rest.",
        "fulmar takes west.yaml takes/012_arch_de_t2.wav",
        "fulmar takes west.yaml takes",
    ),
    page!(
        "unknown-take",
        Error,
        "A narration or language to be accepted that has no take in the folder.",
        "Nobody can have listened to it.",
        "fulmar takes west.yaml takes --accept arhc/de",
        "fulmar takes west.yaml takes --accept arch/de",
    ),
    page!(
        "cue-without-text",
        Warning,
        "A narration that the tour's rules ask for and that has no text in one of its languages, \
         with none to fall back to.",
        "There is nothing to record, and nothing will be heard.",
        "arch: {text: {en: The sea has cut an arch.}}, in a tour that is told in English and German",
        "arch: {text: {en: The sea has cut an arch., de: Das Meer hat einen Bogen geschnitten.}}",
    ),
    page!(
        "output-unwritable",
        Error,
        "A file that is to be written and cannot be: its folder is not there, the disk is full, or \
         there is no right to write.",
        "Nothing is left behind; an older file of that name stays as it was.",
        "fulmar plan tours/west.yaml --output plnas/west.plan.json",
        "fulmar plan tours/west.yaml --output plans/west.plan.json",
    ),
    page!(
        "changed-meanwhile",
        Error,
        "A file that was to be mended and has been saved by somebody else since it was read.",
        "What was saved meanwhile would be lost.",
        "fulmar check --fix tours/west.yaml, while an editor saves the tour",
        "fulmar check --fix tours/west.yaml, once it is saved",
    ),
    page!(
        "cannot-watch",
        Error,
        "A system that does not tell when files are saved: it watches as many as it may, or the \
         folder is on a disk that tells nothing.",
        "A check that looks up to date and is not is worse than none.",
        "fulmar check --watch /mnt/old-server/tours/west.yaml",
        "fulmar check /mnt/old-server/tours/west.yaml, after each save",
    ),
    page!(
        "output-is-input",
        Error,
        "A file that is to be written and is read in the same run.",
        "What is in it would be lost.",
        "fulmar plan tours/west.yaml --output tours/west.yaml",
        "fulmar plan tours/west.yaml --output west.plan.json",
    ),
    page!(
        "folder-empty",
        Warning,
        "A folder with no recording in it, where recordings are wanted, of sound or of flights.",
        "It is most likely another folder than the one meant.",
        "fulmar audio takes/german, and the recordings are in takes/de",
        "fulmar audio takes/de",
    ),
    page!(
        "cache-unusable",
        Note,
        "A folder for what was measured in which nothing can be kept.",
        "Nothing is wrong with the result, but the same recordings will be measured again.",
        "fulmar audio takes --cache /read-only",
        "fulmar audio takes --cache measured",
    ),
    page!(
        "not-a-tour",
        Error,
        "A file that looks like a recorded flight where a tour or a compiled plan is wanted.",
        "The tour says what is to happen, the recording says what was flown; swapped, neither can \
         be read.",
        "fulmar simulate flight.gpx west.yaml",
        "fulmar simulate west.yaml flight.gpx",
    ),
    page!(
        "no-tours",
        Error,
        "A folder in which there is no tour, or that cannot be read.",
        "A grid of nothing would look as if all were well.",
        "fulmar grid routes/library",
        "fulmar grid routes/tours",
    ),
    page!(
        "plan-is-compiled",
        Error,
        "Another aircraft, variant, language, height or departure chosen together with a compiled \
         plan.",
        "A plan is compiled for one of each; only wind and cameras can still be said for the day.",
        "fulmar simulate plan.json flight.gpx --aircraft tern.yaml",
        "fulmar simulate west.yaml flight.gpx --aircraft tern.yaml",
    ),
    page!(
        "unknown-camera-for-day",
        Error,
        "A camera that is said to be out of service or not allowed, and that the aircraft does not \
         have.",
        "Left out silently, the camera that was meant would film all the same.",
        "--not-allowed cabn",
        "--not-allowed cabin",
    ),
    page!(
        "groundspeed-unusable",
        Error,
        "A groundspeed of nought, or one that nothing flies, for a recording without times.",
        "The times of the flight are made from it.",
        "--groundspeed 0kt",
        "--groundspeed 80kt",
    ),
    page!(
        "no-flight",
        Error,
        "A command that flies, without a flight.",
        "There is nothing to fly through the tour.",
        "fulmar simulate west.yaml",
        "fulmar simulate west.yaml flight.gpx\nfulmar simulate west.yaml --planned",
    ),
    page!(
        "unknown-finding",
        Error,
        "A name that no finding has.",
        "The page of another finding would mislead.",
        "fulmar explain unkown-key",
        "fulmar explain unknown-key",
    ),
    page!(
        "hand-file-heading",
        Error,
        "A file of hand actions whose first line does not name the columns `time`, `action` and \
         `camera`.",
        "Without names a column is a guess.",
        "+05:30,camera,left",
        "time,action,camera\n+05:30,camera,left",
    ),
    page!(
        "hand-file-line",
        Error,
        "A line of a file of hand actions with a field too few or too many.",
        "An action without its time cannot be played along.",
        "time,action,camera\n,skip,",
        "time,action,camera\n+05:30,skip,",
    ),
    page!(
        "hand-file-time",
        Error,
        "A time in a file of hand actions that is neither UTC nor counted from the first fix.",
        "An action at another time than it was done shows another flight.",
        "time,action,camera\n10:35,skip,",
        "time,action,camera\n2026-06-01T10:35:00Z,skip,\n+05:30,skip,",
    ),
    page!(
        "hand-file-action",
        Error,
        "A word in a file of hand actions that is nothing a pilot does by hand.",
        "Left out silently, what follows would look like the plan's doing.",
        "time,action,camera\n+05:30,mute,",
        "time,action,camera\n+05:30,voice off,",
    ),
    page!(
        "hand-file-camera",
        Error,
        "A camera in a file of hand actions that is missing, not the aircraft's, or given for an \
         action that takes none.",
        "It has to be clear which camera the pilot picked.",
        "time,action,camera\n+05:30,camera,",
        "time,action,camera\n+05:30,camera,left",
    ),
    page!(
        "hand-file-too-long",
        Error,
        "A file of hand actions with more lines than a pilot has hands for.",
        "It is most likely another file than the one meant.",
        "--hand states.csv",
        "--hand hand.csv",
    ),
];
