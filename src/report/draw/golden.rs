//! Drawings against the stored ones in tests/golden, point by point with a tolerance.
//!
//! To renew them after a change that is meant, look at what the test wrote beside the target directory
//! (it says where), then run it once with `STRUTWISE_BLESS=1` and look at the difference before
//! committing.

use std::path::{Path, PathBuf};

use tiny_skia::Pixmap;

use super::*;
use crate::report::document::{Block, notes};
use crate::report::picture::png::png;
use crate::report::sample::sample;

/// Levels of 255 by which a channel of a point may differ before the point counts: rounding of the
/// edges of lines differs between processors.
const LEVELS: u8 = 40;
/// Share of the points that may differ so.
const SHARE: f64 = 0.001;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden")
}

/// Compares a picture with the stored one of that name, or renews it.
fn agree(name: &str, picture: &Picture) {
    let path = folder().join(format!("{name}.png"));
    let bytes = png(picture, 0.5).unwrap();
    if std::env::var("STRUTWISE_BLESS").is_ok() {
        std::fs::write(&path, &bytes).unwrap();
        return;
    }
    let now = Pixmap::decode_png(&bytes).unwrap();
    let stored =
        std::fs::read(&path).unwrap_or_else(|e| panic!("{}: {e}; see the head of this file", path.display()));
    let then = Pixmap::decode_png(&stored).unwrap();
    let differing = differing(&now, &then);
    if differing > SHARE {
        let seen = std::env::temp_dir().join(format!("strutwise-{name}-now.png"));
        std::fs::write(&seen, &bytes).unwrap();
        panic!(
            "{name}: {:.2} % of the points differ from {}; now it looks like {}",
            differing * 100.0,
            path.display(),
            seen.display()
        );
    }
}

/// Share of the points that differ by more than [`LEVELS`]; all of them where the sizes differ.
#[allow(clippy::cast_precision_loss, reason = "a small picture")]
fn differing(a: &Pixmap, b: &Pixmap) -> f64 {
    if (a.width(), a.height()) != (b.width(), b.height()) {
        return 1.0;
    }
    let other = |(x, y): (&[u8], &[u8])| x.iter().zip(y).any(|(p, q)| p.abs_diff(*q) > LEVELS);
    let count = a.data().chunks(4).zip(b.data().chunks(4)).filter(|&pair| other(pair)).count();
    count as f64 / (f64::from(a.width()) * f64::from(a.height()))
}

#[test]
fn drawings_look_as_they_did() {
    let assessment = sample();
    for (name, view, show) in [
        ("sheet", View::Sheet, Shown::Shape),
        ("utilisation", View::Isometric, Shown::Utilisation),
        ("axial", View::Isometric, Shown::Axial),
        ("seams", View::Unrolled, Shown::Seams),
        ("feet", View::Plan, Shown::Reactions),
        ("snow", View::Side, Shown::Case("snow drifted east".to_owned())),
        ("sag", View::End, Shown::Sag),
    ] {
        agree(name, &draw(&assessment, &DrawOptions { view, show, ..DrawOptions::default() }).unwrap());
    }
}

#[test]
fn imperial_drawings_look_as_they_did() {
    let mut assessment = sample();
    assessment.units = "imperial".to_owned();
    let options = DrawOptions { view: View::Sheet, show: Shown::Shape, ..DrawOptions::default() };
    agree("sheet-imperial", &draw(&assessment, &options).unwrap());
}

#[test]
fn the_curve_of_the_notes_looks_as_it_did() {
    let document = notes(&sample());
    let curve = document.blocks.iter().find_map(|block| match block {
        Block::Figure { picture, .. } if picture.title.contains("against the stiffness of the seams") => {
            Some(picture)
        }
        _ => None,
    });
    agree("seam-curve", curve.unwrap());
}

/// Every standing of a load and every verdict of a cell once.
#[test]
fn the_picture_of_reserves_looks_as_it_did() {
    use crate::assess::results::Verdict;
    use crate::study::reserve::{Grid, LoadReserve, Reserves, Standing};
    use crate::study::row::{First, Row};
    use crate::study::{Title, vary::Load};
    let first = First {
        what: "timber".to_owned(),
        id: "s17".to_owned(),
        place: "arch seam".to_owned(),
        utilisation: Some(1.0),
        rule: "bending with compression, buckling in the surface".to_owned(),
        clause: "EN 1995-1-1 6.3.2 (6.24)".to_owned(),
        combination: "1.35 weight + 1.5 snow on the +y side".to_owned(),
        model: "seam".to_owned(),
    };
    let load = |load: Load, entered, standing, factor| LoadReserve {
        load,
        name: load.name().to_owned(),
        entered,
        entered_speed: None,
        standing,
        factor,
        tried: 25.0,
        first: (standing != Standing::NoneFound).then(|| first.clone()),
    };
    let verdicts = [
        [Some(Verdict::Within), Some(Verdict::Within), Some(Verdict::Near)],
        [Some(Verdict::Within), Some(Verdict::Near), Some(Verdict::Over)],
        [Some(Verdict::Over), Some(Verdict::Unstable), None],
    ];
    let worst =
        [[Some(0.21), Some(0.5), Some(0.88)], [Some(0.6), Some(0.9), Some(1.31)], [Some(1.2), None, None]];
    let study = Reserves {
        models: vec!["seam".to_owned()],
        entered: Row {
            verdict: Verdict::Near,
            rests_on_seams: false,
            rests_on_feet: false,
            doubts: Vec::new(),
            worst: Some(0.9),
            first: Some(first.clone()),
            sag: None,
            span: 4.2,
            buckling: None,
            uplift: Some(0.0),
            models: Vec::new(),
        },
        loads: vec![
            load(Load::Snow, Some(600.0), Standing::Above, Some(1.55)),
            load(Load::Wind, Some(700.0), Standing::Below, Some(0.72)),
            load(Load::Cover, Some(88.0), Standing::NoneFound, None),
            load(Load::User, None, Standing::OverWithoutIt, None),
        ],
        grid: Some(Grid {
            snow: vec![0.0, 1.0, 2.0],
            wind: vec![0.0, 1.0, 2.0],
            verdict: verdicts.map(Vec::from).to_vec(),
            worst: worst.map(Vec::from).to_vec(),
        }),
        left_out: 0,
    };
    let title =
        |units| Title { name: "Larkfold vault".to_owned(), units, point: None, not_in_it: Vec::new() };
    let picture =
        crate::report::study::reserve_picture(&title(crate::units::System::Metric), &study).unwrap();
    assert!(picture.description.contains("Wind pressure, 0.7 kN/m² entered: Over as entered"));
    agree("reserve", &picture);
}

#[test]
fn a_changed_drawing_is_noticed() {
    let assessment = sample();
    let options = DrawOptions::default();
    let picture = |assessment: &Assessment| {
        Pixmap::decode_png(&png(&draw(assessment, &options).unwrap(), 0.5).unwrap()).unwrap()
    };
    let mut moved = assessment.clone();
    moved.joints[8].at[2] += 0.3;
    assert!(differing(&picture(&assessment), &picture(&moved)) > SHARE);
}
