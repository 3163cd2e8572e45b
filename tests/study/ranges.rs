//! Inputs as ranges: each point against the single check of the project with that point's values written in.

use super::SHELTER;
use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};

use strutwise::assess::findings::find;
use strutwise::assess::results::Verdict;
use strutwise::assess::{Options, assess};
use strutwise::project::{Asked, End, Project, ProjectError, Ranged, SourceText, read_text};
use strutwise::study::ranges::{self, RangesError, try_one, worst};
use strutwise::study::row::row;
use strutwise::study::{Quiet, Watch};

/// A shelter of one division, so that many of it take no time.
fn text(changes: &[(&str, &str)]) -> String {
    let mut text = SHELTER.replace("frequency = 2", "frequency = 1");
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replacen(from, to, 1);
    }
    text
}

fn read(text: &str) -> Result<Asked, ProjectError> {
    let source = SourceText { name: "shelter.toml".to_owned(), text: text.to_owned() };
    read_text(source, Path::new("."), "shelter")
}

fn ranged(text: &str) -> Ranged {
    match read(text) {
        Ok(Asked::Ranged(ranged)) => *ranged,
        other => panic!("{other:?}"),
    }
}

fn single(text: &str) -> Project {
    match read(text) {
        Ok(Asked::Shell(project)) => *project,
        other => panic!("{other:?}"),
    }
}

const SNOW: &str = "\"0.6 kN/m2\"";
const SEAMS: &str = "\"3 kN m/rad per m\"";
const COVER: &str = "\"9 kg/m2\"";

const RANGES: [(&str, &str); 3] = [
    (SEAMS, "[\"0.7 kN m/rad per m\", \"5 kN m/rad per m\"]"),
    (COVER, "[\"4 kg/m2\", \"0.12 kN/m2\"]"),
    (SNOW, "[\"0.4 kN/m2\", \"0.9 kN/m2\"]"),
];

#[test]
fn each_point_is_the_check_of_that_project_to_the_last_bit() {
    let ranged = ranged(&text(&RANGES));
    assert_eq!(ranged.inputs.len(), 3);
    let mut points = ranged.corners();
    assert_eq!(points.len(), 8);
    points.push(vec![End::Middle; 3]);
    points.push(vec![End::High, End::Middle, End::Low]);
    for ends in points {
        let values: Vec<String> =
            ranged.inputs.iter().zip(&ends).map(|(input, &end)| format!("\"{}\"", input.text(end))).collect();
        let places = [SEAMS, COVER, SNOW];
        let changes: Vec<(&str, &str)> = places.into_iter().zip(values.iter().map(String::as_str)).collect();
        let single = single(&text(&changes));
        let at = ranged.at(&ends).unwrap();
        assert_eq!((&at.shell, &at.loads, &at.joints), (&single.shell, &single.loads, &single.joints));
        let tried = try_one(&ranged, &ends).unwrap();
        assert_eq!(tried.row, row(&find(&single).unwrap()), "{ends:?}");
    }
}

#[test]
fn the_answer_is_the_check_of_the_worst_point() {
    let ranged = ranged(&text(&RANGES));
    let found = worst(&ranged, &Quiet).unwrap();
    let ranges = &found.ranges;
    assert_eq!((ranges.corners.len(), ranges.within.len(), ranges.left_out), (8, 4, 0));
    let points: Vec<_> = ranges.corners.iter().chain(&ranges.within).collect();
    let point = points.iter().find(|point| point.id == ranges.worst).unwrap();
    assert_eq!(point.words, ranges.worst_words);
    assert!(
        points.iter().all(|other| (other.verdict, other.utilisation) <= (point.verdict, point.utilisation))
    );
    // The whole document, but for how the inputs are told and the file that they stand in.
    let values: Vec<String> = ranged
        .inputs
        .iter()
        .zip(&found.ends)
        .map(|(input, &end)| format!("\"{}\"", input.text(end)))
        .collect();
    let changes: Vec<(&str, &str)> =
        [SEAMS, COVER, SNOW].into_iter().zip(values.iter().map(String::as_str)).collect();
    let document = |project: &Project| {
        let assessment = assess(project, &Options::default()).unwrap();
        let mut document = serde_json::to_value(&assessment).unwrap();
        for key in ["inputs", "input_sha256", "input_text"] {
            assert!(document.as_object_mut().unwrap().remove(key).is_some(), "{key}");
        }
        document
    };
    assert_eq!(document(&found.project), document(&single(&text(&changes))));
    // Least and greatest are those of the points.
    let of = |f: fn(f64, f64) -> f64| points.iter().filter_map(|p| p.utilisation).reduce(f);
    let spread = &ranges.results.utilisation;
    assert_eq!((spread.least, spread.greatest), (of(f64::min), of(f64::max)));
    assert!(spread.least < spread.greatest);
    let named = points.iter().find(|p| p.id == spread.greatest_at).unwrap();
    assert_eq!(named.utilisation, spread.greatest);
    let counts = &ranges.verdicts;
    assert_eq!(counts.within + counts.near + counts.over + counts.unstable, 8);
    assert!(ranges.inputs.iter().zip(&found.ends).all(|(input, end)| input.worst_end == end.name()));
}

#[test]
fn a_mechanism_at_one_corner_is_the_worst() {
    // An open barrel whose seams turn freely folds; any stiffness holds it up.
    let barrel = "form = \"barrel\"\nspan = \"4 m\"\nrise = \"1.9 m\"\nsegments = 4\nbays = 2\nbay_length = \"1.1 m\"\n\
                  pattern = \"staggered\"\nends = [\"open\", \"open\"]";
    let text = text(&[
        (SEAMS, "[0, \"3 kN m/rad per m\"]"),
        ("form      = \"dome\"\nradius    = \"2.1 m\"\nfrequency = 1\nup        = \"vertex\"", barrel),
        ("\"pinned\", \"seam\", \"rigid\"", "\"seam\""),
    ]);
    let found = worst(&ranged(&text), &Quiet).unwrap();
    assert_eq!(found.ranges.worst, "c1");
    assert_eq!(found.ranges.corners[0].verdict, Verdict::Unstable);
    assert!(found.ranges.corners[0].models[0].mechanisms > 0);
    assert_eq!((found.ranges.corners[0].utilisation, found.ranges.corners[0].uplift), (None, None));
    assert_eq!(found.ranges.results.utilisation.without, 1);
    assert_eq!(found.ranges.within.len(), 1);
    assert!(!ranges::holds(&found.ranges));
}

#[test]
fn values_that_do_not_go_together_are_told_with_their_corner() {
    let fixings = "[fixings]\nkind = \"bolt\"\ndiameter = [\"8 mm\", \"12 mm\"]\nwasher = [\"10 mm\", \"40 mm\"]\n\
                   per_seam = 3\nlever = \"30 mm\"\n[cover]";
    let ranged = ranged(&text(&[("[cover]", fixings)]));
    let Err(error) = worst(&ranged, &Quiet) else { panic!("a bolt wider than its washer was taken") };
    assert!(error.is_input());
    let words = error.to_string();
    assert!(words.contains("fixings.washer must be wider than the fixing"), "{words}");
    assert!(words.contains("(with fixings.diameter 12 mm (high), fixings.washer 10 mm (low))"), "{words}");
    assert!(words.starts_with("shelter.toml:"), "{words}");
}

#[test]
fn both_ends_alike_are_one_value_and_a_warning() {
    let project = single(&text(&[(SNOW, "[\"0.6 kN/m2\", \"600 N/m2\"]")]));
    assert!(
        project.warnings.iter().any(|w| w.contains("snow.ground is a range with both ends at 0.6 kN/m2"))
    );
}

/// Wants to stop after so many rows.
struct After(usize, AtomicUsize);

impl Watch for After {
    fn more(&self, _rows: usize) {}
    fn row(&self) {
        self.1.fetch_add(1, Ordering::SeqCst);
    }
    fn stop(&self) -> bool {
        self.1.load(Ordering::SeqCst) >= self.0
    }
}

#[test]
fn a_stopped_run_says_so_and_never_holds() {
    let ranged = ranged(&text(&RANGES));
    let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap();
    let after = |rows: usize| pool.install(|| worst(&ranged, &After(rows, AtomicUsize::new(0))));
    assert!(matches!(after(0), Err(RangesError::Stopped)));
    let found = after(3).unwrap();
    assert_eq!((found.ranges.corners.len(), found.ranges.within.len(), found.ranges.left_out), (3, 0, 9));
    assert!(!ranges::holds(&found.ranges));
}

#[test]
fn middles_read_back_in_the_unit_of_their_ends() {
    let ranged = ranged(&text(&[
        (SNOW, "[\"0.4 kN/m2\", \"0.7 kN/m2\"]"),
        (COVER, "[90, 121]"),
        ("\"47 mm\"", "[\"45 mm\", \"4.7 cm\"]"),
    ]));
    let of = |key: &str| ranged.inputs.iter().find(|input| input.key == key).unwrap();
    assert_eq!(of("snow.ground").text(End::Middle), "0.55 kN/m2");
    assert_eq!(of("snow.ground").words(), "0.4 to 0.7 kN/m2");
    assert_eq!(of("cover.weight").text(End::Middle), "105.5 N/m2");
    assert_eq!(of("timber.breadth").text(End::Middle), "0.046 m");
    assert_eq!(of("timber.breadth").words(), "45 mm to 4.7 cm");
    let shown = |ends: &[End]| {
        let project = ranged.at(ends).unwrap();
        let input = project.inputs.iter().find(|input| input.key == "snow.ground").unwrap();
        (input.value.clone(), input.note.clone())
    };
    let (value, note) = shown(&[End::Low, End::Low, End::High]);
    assert_eq!((value.as_str(), note.as_str()), ("0.4 to 0.7 kN/m2, here 0.7 kN/m2", "no source given"));
}

/// What held feet hold is a result of the range like lift and slide: its ends are those of single checks.
#[test]
fn the_moment_of_held_feet_spreads_over_the_range() {
    let models = "\"pinned\", \"seam\", \"rigid\"";
    for held in ["\"fixed\"", "\"pinned\""] {
        let snow = "[\"0.4 kN/m2\", \"0.9 kN/m2\"]";
        let base = [(models, "\"rigid\""), ("held      = \"pinned\"", &format!("held = {held}") as &str)];
        let with = |snow: &str| text(&[&base[..], &[(SNOW, snow)]].concat());
        let found = worst(&ranged(&with(snow)), &Quiet).unwrap().ranges.results.foot_moment;
        let ends = ["\"0.4 kN/m2\"", "\"0.9 kN/m2\""].map(|snow| {
            let found = find(&single(&with(snow))).unwrap();
            found.models[0].feet.iter().map(|foot| foot.moment.value).fold(0.0, f64::max)
        });
        assert_eq!([found.least, found.greatest], [Some(ends[0]), Some(ends[1])], "{held}");
        assert_eq!(ends[1] > 1.0, held == "\"fixed\"", "{ends:?}");
    }
}
