use super::*;
use crate::report::picture::{Item, png::png, svg::svg};
use crate::report::sample::{sample, vault};

fn everything() -> Vec<Shown> {
    let mut all: Vec<Shown> = Shown::WORDS
        .split(", ")
        .filter(|word| !word.starts_with("case"))
        .map(|word| word.parse().unwrap())
        .collect();
    all.push(Shown::Case("wind from 90°, suction inside".to_owned()));
    all.push(Shown::Case("snow drifted east".to_owned()));
    all
}

#[test]
fn every_view_of_everything_is_drawn_within_its_frame() {
    let assessment = sample();
    for (word, view) in View::ALL {
        for show in everything() {
            let options = DrawOptions { view, show: show.clone(), ..DrawOptions::default() };
            let picture = draw(&assessment, &options).unwrap_or_else(|e| panic!("{word} {show:?}: {e}"));
            for item in &picture.items {
                let Item::Lines { strokes, .. } = item else { continue };
                for point in strokes.iter().flatten() {
                    assert!(
                        (-60.0..=picture.width + 60.0).contains(&point[0])
                            && (-60.0..=picture.height + 60.0).contains(&point[1]),
                        "{word} {show:?} {point:?}"
                    );
                }
            }
            assert!(!svg(&picture).contains("NaN"));
            if let Ok(folder) = std::env::var("STRUTWISE_LOOK") {
                let name =
                    format!("{folder}/{word}-{show:?}.png").replace(['(', ')', '"', ',', ' ', '°'], "_");
                std::fs::write(name, png(&picture, 1.0).unwrap()).unwrap();
            }
        }
    }
}

#[test]
fn an_unknown_case_names_those_there_are() {
    let options = DrawOptions { show: Shown::Case("rain".to_owned()), ..DrawOptions::default() };
    let error = draw(&sample(), &options).unwrap_err().to_string();
    assert!(error.contains("rain") && error.contains("snow drifted east"), "{error}");
}

#[test]
fn a_shape_that_is_not_there_is_said_to_be_missing() {
    let mut assessment = sample();
    for model in &mut assessment.models {
        model.mechanism_shapes.clear();
        model.sag = None;
    }
    for show in [Shown::Mechanism, Shown::Sag] {
        let options = DrawOptions { show, ..DrawOptions::default() };
        assert!(matches!(draw(&assessment, &options), Err(DrawError::Nothing { .. })));
    }
}

#[test]
fn an_empty_result_draws_an_empty_sheet() {
    let mut assessment = sample();
    assessment.joints.clear();
    assessment.members.clear();
    assessment.panels.clear();
    let options = DrawOptions { view: View::Sheet, show: Shown::Shape, ..DrawOptions::default() };
    assert!(draw(&assessment, &options).is_ok());
}

#[test]
fn seven_thousand_members_stay_a_small_file() {
    let picture = draw(&vault(40, 58), &DrawOptions::default()).unwrap();
    let bytes = svg(&picture).len();
    assert!(bytes < 400_000, "{bytes} bytes");
}
