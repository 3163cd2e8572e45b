//! Spoilt input of every kind: no panic, no hang, no unbounded memory, and an error that names a place.
//!
//! Inputs are made from good ones by cuts, swaps, repeats and hostile tokens, the same ones on every machine.
//! `STRUTWISE_CASES=200000 cargo test --release --test fuzz` (or tests/fuzz/long.sh) runs many. What was found is kept
//! in `found/` and tried first.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test says what it found by panicking"
)]

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use strutwise::assess::{self, Options, plain_frame};
use strutwise::project::{self, Asked, End, ProjectError, SourceText, render};
use strutwise::report::csv::frames::frame_sheets;
use strutwise::report::plain_frame as told;
use strutwise::report::{csv, html, json, markdown, text};
use strutwise::units;

/// Numbers that belong to a case: splitmix64 (Steele, Lea and Flood 2014), enough to choose by.
struct Numbers(u64);

impl Numbers {
    fn of(case: usize) -> Self {
        Self((case as u64).wrapping_mul(0x2545_f491_4f6c_dd1d))
    }

    fn below(&mut self, limit: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        usize::try_from((z ^ (z >> 31)) % limit.max(1) as u64).unwrap()
    }
}

/// What is put in the place of good text.
const TOKENS: &[&str] = &[
    "0",
    "-1",
    "1e308",
    "-1e-320",
    "nan",
    "inf",
    "\"\"",
    "\"NaN m\"",
    "\"1e999 m\"",
    "\"47 kg\"",
    "[]",
    "{}",
    "true",
    "\"\u{202e}\"",
    "\"<script>\"",
    "1979-05-27",
    "99999999999999999999",
    "\"0x10\"",
    "[[",
    "]]",
    "=",
    "\n",
    "\"",
    "'''",
    "\u{0}",
    "\u{feff}",
    "a.b.c",
    "#",
    ",",
    "\"-7 ft 6 in\"",
    "\"1/0 in\"",
    "9",
    "200",
    "1e-9",
    "\"1e9 mm\"",
    "f 1 2 3\n",
    "v 0 0 0\n",
    "f -1 -2 -3\n",
    "f 1//2 2//3 3//1\n",
    "x y z rx ry rz",
    "both",
    "\r\n",
    ";",
    "\\",
    "1e5",
    "-0.0",
    "🏠",
];

/// Good text made bad: a few cuts, repeats, swaps or tokens.
fn spoil(good: &str, numbers: &mut Numbers) -> String {
    let mut chars: Vec<char> = good.chars().collect();
    for _ in 0..1 + numbers.below(4) {
        let at = numbers.below(chars.len() + 1);
        let end = (at + 1 + numbers.below(12)).min(chars.len());
        let token = TOKENS[numbers.below(TOKENS.len())];
        match numbers.below(8) {
            0 => drop(chars.drain(at..end)),
            1 => chars.splice(at..at, token.chars()).for_each(drop),
            2 => chars.truncate(at),
            3 => {
                let again: Vec<char> = chars[at..end].to_vec();
                chars.splice(at..at, again).for_each(drop);
            }
            4 => {
                // A line twice, or a line lost.
                let text: String = chars.iter().collect();
                let mut lines: Vec<&str> = text.lines().collect();
                if !lines.is_empty() {
                    let line = numbers.below(lines.len());
                    if numbers.below(2) == 0 {
                        lines.remove(line);
                    } else {
                        lines.insert(numbers.below(lines.len()), lines[line]);
                    }
                }
                chars = lines.join("\n").chars().collect();
            }
            _ => {
                // A value, whole: what stands after an equals sign, a comma or a blank.
                let starts: Vec<usize> =
                    (0..chars.len()).filter(|&i| matches!(chars[i], '=' | ',' | ' ')).collect();
                if !starts.is_empty() {
                    let start = starts[numbers.below(starts.len())] + 1;
                    let stop =
                        (start..chars.len()).find(|&i| matches!(chars[i], '\n' | ',')).unwrap_or(chars.len());
                    chars.splice(start..stop, token.chars()).for_each(drop);
                }
            }
        }
    }
    chars.into_iter().collect()
}

/// A project and its companions.
type Files = Vec<(String, String)>;

/// Good projects to start from: starters of every form, examples, and the sheets of the bad cases.
fn good() -> Vec<Files> {
    use strutwise::project::schema_shell::FormName;
    let mut all = Vec::new();
    for form in [FormName::Dome, FormName::Tunnel, FormName::Barrel, FormName::Mesh, FormName::Frame] {
        let starter = project::starter::starter(form, "trial");
        let mut files = vec![("trial.toml".to_owned(), starter.project)];
        files.extend(starter.companions);
        all.push(files);
    }
    let tests = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad/cases");
    for folder in ["csv_nan", "frame_settles_free"] {
        let mut files: Files = fs::read_dir(tests.join(folder))
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.file_name().unwrap() != "expect.txt")
            .map(|path| {
                let name = path.file_name().unwrap().to_str().unwrap().to_owned();
                let text = fs::read_to_string(&path).unwrap().replace("nan", "2");
                (if name == "project.toml" { "trial.toml".to_owned() } else { name }, text)
            })
            .collect();
        files.sort_by_key(|(name, _)| (name != "trial.toml", name.clone()));
        all.push(files);
    }
    let long =
        fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/propagation-tunnel.toml"));
    let every = "\n[imposed]\nperson = \"1 kN\"\n[[imposed.hanging]]\nname = \"lamp\"\njoints = [\"j1\"]\nforce = \"50 N\"\n\
                 [[case]]\nname = \"ice\"\nrole = \"variable\"\npsi = [0.5, 0.2, 0]\n[[case.pattern]]\nper_area = \"50 N/m2\"\n\
                 slope_deg = [0, 60]\n[rules]\nlength_out = 1.0\nhole = \"9 mm\"\n[combine]\nannex = \"uk\"\n\
                 [[shell.opening]]\nwidth = \"0.9 m\"\nheight = \"1.5 m\"\nfacing_deg = 0\n";
    all.push(vec![("trial.toml".to_owned(), long.unwrap() + every)]);
    all
}

/// How many joints at most a spoilt project may ask for here: the time goes into many small ones.
const FEW: usize = 40;

/// Everything that can be done with a project, done. Answers how far it came.
fn whole_line(folder: &Path, source: &str) -> &'static str {
    let source = SourceText { name: "trial.toml".to_owned(), text: source.to_owned() };
    let asked = match project::read_text(source, folder, "trial") {
        Ok(asked) => asked,
        Err(error) => {
            let shown = render::render(&error, false);
            assert!(!shown.trim().is_empty() && shown.len() < 200_000, "{} bytes of words", shown.len());
            assert!(!shown.contains(['\u{1b}', '\u{202e}', '\u{0}']), "a control character in {shown:?}");
            if let ProjectError::Faulty(faulty) = &error {
                assert!(!faulty.faults.is_empty());
                for fault in &faulty.faults {
                    let (file, line, column) = faulty.place(fault);
                    assert!(!file.is_empty() && line > 0 && column > 0);
                }
            }
            return "refused";
        }
    };
    match asked {
        Asked::Frame(project) => match plain_frame::solve(&project) {
            Ok(results) => {
                let document: serde_json::Value = serde_json::from_str(&told::json(&results)).unwrap();
                assert!(document["indicative"].is_string());
                let _ = (told::text(&results), frame_sheets(&results));
                "solved"
            }
            Err(error) => {
                assert!(!error.to_string().is_empty());
                "not solved"
            }
        },
        // Each end of a range is a project like any other: the highest of all is read, and must not panic.
        Asked::Ranged(ranged) => {
            let ends = vec![End::High; ranged.inputs.len()];
            if ranged.at(&ends).is_ok() { "ranges" } else { "ranges that do not go together" }
        }
        Asked::Shell(project) => {
            let Ok(shell) = strutwise::shell::build(&project.shell) else { return "no shell" };
            if shell.joints.len() > FEW {
                return "large";
            }
            let options = Options { full: true, workings: 1 };
            match assess::assess(&project, &options) {
                Ok(assessment) => {
                    let document = json::to_json(&assessment);
                    let _: serde_json::Value = serde_json::from_str(&document).unwrap();
                    let told = text::text(&assessment, false);
                    assert!(told.to_lowercase().contains("indicative"));
                    let _ = (csv::write_csv(&assessment), markdown::to_markdown(&assessment));
                    let page = html::to_html(&assessment);
                    assert!(!page.contains("<script>\"") && !page.contains("= <script>"));
                    "assessed"
                }
                Err(error) => {
                    assert!(error.is_input(), "the program failed: {error}");
                    "not assessed"
                }
            }
        }
    }
}

fn cases(quick: usize) -> usize {
    std::env::var("STRUTWISE_CASES").ok().and_then(|text| text.parse().ok()).unwrap_or(quick)
}

/// Runs one spoilt project in a folder of its own; what breaks is written down for `found/`.
fn run_one(files: &Files, what: &str) -> &'static str {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in &files[1..] {
        fs::write(folder.path().join(name), text).unwrap();
    }
    let begun = Instant::now();
    let outcome = std::panic::catch_unwind(|| whole_line(folder.path(), &files[0].1));
    let slow = begun.elapsed() > Duration::from_secs(60);
    match outcome {
        Ok(outcome) if !slow => outcome,
        _ => {
            let kept = std::env::temp_dir().join(format!("strutwise-fuzz-{what}"));
            fs::create_dir_all(&kept).unwrap();
            for (name, text) in files {
                fs::write(kept.join(name), text).unwrap();
            }
            panic!("{what}: {}; kept in {}", if slow { "slow" } else { "panic" }, kept.display());
        }
    }
}

#[test]
fn spoilt_projects_are_refused_or_answered() {
    let good = good();
    for files in &good {
        let outcome = run_one(files, "good");
        assert!(
            ["assessed", "solved", "refused", "not solved", "large"].contains(&outcome),
            "{}: {outcome}",
            files[0].1
        );
    }
    let mut reached = std::collections::BTreeMap::new();
    for case in 0..cases(60) {
        let mut numbers = Numbers::of(case);
        let mut files = good[numbers.below(good.len())].clone();
        // One file in two projects of three, the project file itself as often as all others together.
        let companions = files.len() - 1;
        let which = if companions == 0 || numbers.below(2) == 0 { 0 } else { 1 + numbers.below(companions) };
        files[which].1 = spoil(&files[which].1, &mut numbers);
        *reached.entry(run_one(&files, &format!("{case}"))).or_insert(0) += 1;
    }
    println!("{reached:?}");
    // Both sides are looked at: what is refused and what is still worked out.
    assert!(
        reached.contains_key("refused")
            && (reached.contains_key("assessed") || reached.contains_key("solved"))
    );
}

#[test]
fn what_was_found_stays_mended() {
    let found = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/found");
    let mut folders: Vec<PathBuf> = fs::read_dir(found)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_dir())
        .collect();
    folders.sort();
    for folder in folders {
        let source = fs::read_to_string(folder.join("trial.toml")).unwrap();
        let begun = Instant::now();
        let _ = whole_line(&folder, &source);
        assert!(begun.elapsed() < Duration::from_secs(60), "{}", folder.display());
    }
}

#[test]
fn spoilt_quantities_are_refused_or_read() {
    use strutwise::units::Dimension;
    let good = [
        "47 mm",
        "2.4 m",
        "7 ft 6 in",
        "1/2 in",
        "0.6 kN/m2",
        "30 psf",
        "25 m/s",
        "70 mph",
        "9 kg/m2",
        "12 deg",
        "3 kN m/rad per m",
        "5 kN m/rad",
        "4 kN",
        "1e-3",
    ];
    let kinds = [Dimension::Length, Dimension::Pressure, Dimension::Force, Dimension::Speed];
    let mut read = 0;
    for case in 0..cases(4000).max(4000) {
        let mut numbers = Numbers::of(1_000_000 + case);
        let text = spoil(good[numbers.below(good.len())], &mut numbers);
        for kind in kinds {
            if let Ok(value) = units::parse(&text, kind) {
                assert!(value.is_finite(), "{text:?} is {value}");
                read += 1;
            }
        }
    }
    assert!(read > 0);
}
