use super::*;
use crate::report::picture::{Anchor, Item, png::png, svg::svg};
use crate::report::sample::{sample, vault};
use crate::vector::Vec3;

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

/// What a foot is to hold stands beside it, and a long shell leaves room for that.
#[test]
fn the_labels_of_the_feet_stay_on_the_page() {
    for assessment in [sample(), vault(8, 14)] {
        for (width, height) in [(960.0, 720.0), (900.0, 620.0)] {
            let options =
                DrawOptions { view: View::Plan, show: Shown::Reactions, model: None, width, height };
            let picture = draw(&assessment, &options).unwrap();
            let mut labels = 0;
            for item in &picture.items {
                let Item::Text(words) = item else { continue };
                let wide = crate::report::font::width(&words.text, words.size, words.bold);
                let left = match words.anchor {
                    Anchor::Start => words.at[0],
                    Anchor::Middle => words.at[0] - wide / 2.0,
                    Anchor::End => words.at[0] - wide,
                };
                assert!(left >= 0.0 && left + wide <= width, "{} at {left}, {wide} wide", words.text);
                labels += usize::from(words.text.contains('↑') && words.text.contains('↓'));
            }
            assert!(labels > 4, "{labels}");
        }
    }
}

/// What an anchor is sized by may act along the base line alone, so that is drawn and told as well as what acts outward.
#[test]
fn what_feet_hold_along_the_base_line_is_drawn_and_told() {
    let options =
        DrawOptions { view: View::Plan, show: Shown::Reactions, model: None, width: 960.0, height: 720.0 };
    let mut assessment = sample();
    (assessment.feet[1].along, assessment.feet[1].slide) = (78_400.0, 78_600.0);
    let picture = draw(&assessment, &options).unwrap();
    let page = svg(&picture);
    assert!(page.contains("↔78.4 ○78.6") && page.contains("along the base line, either way ↔"), "{page}");
    assert!(page.contains("level force of any way is 78.6 kN at"), "{page}");
    // The longest arrow of all is that force now, drawn both ways.
    assert_eq!(longest_arrows_along(&picture), 2);
    // Of many feet the level force is told still, as anchors are sized by it.
    let many = draw(&vault(8, 14), &options).unwrap();
    assert!(svg(&many).contains(" ○1.1"));
}

/// How many of the arrows along the base line are as long as the longest.
fn longest_arrows_along(picture: &Picture) -> usize {
    let lengths: Vec<f64> = picture
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Lines { strokes, pen } if pen.dash.len() == 4 => Some(strokes),
            _ => None,
        })
        .flatten()
        .map(|line| (line[1][0] - line[0][0]).hypot(line[1][1] - line[0][1]))
        .collect();
    let most = lengths.iter().copied().fold(0.0, f64::max);
    lengths.iter().filter(|long| **long > 0.99 * most).count()
}

/// Where no model could be solved there is nothing to draw: noughts would be a statement.
#[test]
fn what_feet_hold_is_not_drawn_where_it_was_not_worked_out() {
    let mut assessment = sample();
    assessment.feet.clear();
    let options = DrawOptions { view: View::Plan, show: Shown::Reactions, ..DrawOptions::default() };
    let refused = draw(&assessment, &options).unwrap_err().to_string();
    assert!(refused.contains("no model could be solved"), "{refused}");
    let told = crate::report::text::text(&assessment, false);
    assert!(told.contains("was not worked out: no model could be solved"), "{told}");
    assert!(!told.contains("presses 0 kN"));
}

/// What feet hold against turning is told under the drawing of what they hold; feet that turn freely hold nothing.
#[test]
fn the_moment_of_held_feet_is_told_under_their_forces() {
    let options =
        DrawOptions { view: View::Plan, show: Shown::Reactions, model: None, width: 960.0, height: 720.0 };
    for (moment, told) in [(0.0, false), (0.9, false), (1250.0, true)] {
        let mut assessment = sample();
        assessment.feet[1].moment = moment;
        let page = svg(&draw(&assessment, &options).unwrap());
        assert_eq!(page.contains("Held against turning"), told, "{moment}");
        assert_eq!(page.contains("1 250 N·m") || page.contains("1250 N·m"), told, "{moment}");
    }
}

/// Rectangles of the letters of every label, without their rims.
fn letters(picture: &Picture) -> Vec<(String, [f64; 4])> {
    let texts = picture.items.iter().filter_map(|item| match item {
        Item::Text(words) if words.haloed && !words.turned => Some(words),
        _ => None,
    });
    texts
        .map(|words| {
            let wide = crate::report::font::width(&words.text, words.size, words.bold);
            let left = match words.anchor {
                Anchor::Start => words.at[0],
                Anchor::Middle => words.at[0] - wide / 2.0,
                Anchor::End => words.at[0] - wide,
            };
            (words.text.clone(), [left, words.at[1] - 0.75 * words.size, left + wide, words.at[1]])
        })
        .collect()
}

#[test]
fn no_label_is_struck_through_or_under_another() {
    for assessment in [sample(), vault(9, 7)] {
        for (view, show) in [
            (View::Isometric, Shown::Utilisation),
            (View::Isometric, Shown::Axial),
            (View::Isometric, Shown::Moment),
            (View::End, Shown::Sag),
            (View::Isometric, Shown::Sag),
            (View::Unrolled, Shown::Ids),
            (View::Isometric, Shown::Ids),
            (View::Plan, Shown::Ids),
            (View::End, Shown::Ids),
            (View::Side, Shown::Ids),
        ] {
            let named = format!("{view:?} {show:?}");
            let picture = draw(&assessment, &DrawOptions { view, show, ..DrawOptions::default() }).unwrap();
            let letters = letters(&picture);
            for item in &picture.items {
                let Item::Lines { strokes, .. } = item else { continue };
                for pair in strokes.iter().filter(|points| points.len() == 2) {
                    let (a, b) = (pair[0], pair[1]);
                    let steps = (a[0] - b[0]).hypot(a[1] - b[1]).ceil().max(1.0) * 2.0;
                    let mut step = 0.0;
                    while step <= steps {
                        let at = [0, 1].map(|k| a[k] + (b[k] - a[k]) * step / steps);
                        for (text, [left, top, right, bottom]) in &letters {
                            let inside = (*left..*right).contains(&at[0]) && (*top..*bottom).contains(&at[1]);
                            assert!(!inside, "{named}: a line runs through {text}");
                        }
                        step += 1.0;
                    }
                }
            }
            for (n, (text, a)) in letters.iter().enumerate() {
                for (other, b) in &letters[n + 1..] {
                    let apart = a[2] <= b[0] || b[2] <= a[0] || a[3] <= b[1] || b[3] <= a[1];
                    assert!(apart, "{named}: {text} and {other} stand on each other");
                }
            }
        }
    }
}

/// Where there is no room for a name, the drawing says how many are missing.
#[test]
fn names_without_room_are_counted() {
    let assessment = vault(9, 7);
    for size in [[960.0, 720.0], [300.0, 300.0]] {
        let options = DrawOptions {
            view: View::Unrolled,
            show: Shown::Ids,
            model: None,
            width: size[0],
            height: size[1],
        };
        let picture = draw(&assessment, &options).unwrap();
        let names: std::collections::BTreeSet<&str> = assessment
            .joints
            .iter()
            .map(|joint| joint.id.as_str())
            .chain(assessment.members.iter().map(|member| member.id.as_str()))
            .collect();
        let drawn = letters(&picture).iter().filter(|(text, _)| names.contains(text.as_str())).count();
        let said = picture.items.iter().find_map(|item| match item {
            Item::Text(words) => words.text.split_once(" labels have no room")?.0.parse::<usize>().ok(),
            _ => None,
        });
        assert_eq!(drawn + said.unwrap_or(0), names.len(), "{size:?}");
        assert_eq!(said.is_some(), size[0] < 500.0, "{size:?} {said:?}");
    }
}

/// A surface that is wider than tall is turned on an upright page.
#[test]
fn a_long_surface_fills_an_upright_page() {
    let assessment = vault(5, 20);
    let height = height_laid_flat(&assessment, 760.0, [470.0, 1020.0]);
    assert!(height > 900.0, "{height}");
    let options = DrawOptions { view: View::Unrolled, show: Shown::Ids, model: None, width: 760.0, height };
    let picture = draw(&assessment, &options).unwrap();
    let (x, y) = letters(&picture).into_iter().fold((None, None), |(x, y), (text, at)| match text.as_str() {
        "x" => (Some(at), y),
        "y" => (x, Some(at)),
        _ => (x, y),
    });
    let (x, y) = (x.unwrap(), y.unwrap());
    assert!(x[1] < y[1] && y[0] < x[0], "x runs up and y to the left: {x:?} {y:?}");
    assert!(height_laid_flat(&assessment, 760.0, [470.0, 620.0]) < 500.0);
}

/// The shell as built is drawn with its movement, and both have room.
#[test]
fn a_moved_shell_leaves_room_for_the_one_as_built() {
    let assessment = sample();
    for show in [Shown::Sag, Shown::Buckling] {
        let picture = draw(&assessment, &DrawOptions { show, ..DrawOptions::default() }).unwrap();
        let head = picture.items.iter().filter_map(|item| match item {
            Item::Text(words) if words.at[1] < 90.0 => Some(words.at[1]),
            _ => None,
        });
        let head = head.fold(0.0, f64::max);
        let top = picture.items.iter().filter_map(|item| match item {
            Item::Lines { strokes, .. } => Some(strokes.iter().flatten().map(|p| p[1]).fold(1e9, f64::min)),
            _ => None,
        });
        assert!(top.fold(1e9, f64::min) > head, "{head}");
    }
}

#[test]
fn a_misspelt_word_is_told_the_nearest() {
    let said = "utilization".parse::<Shown>().unwrap_err().to_string();
    assert!(
        said.starts_with("`utilization` is no thing to show; did you mean `utilisation`; there are: shape"),
        "{said}"
    );
    assert!(!"qqqqqq".parse::<View>().unwrap_err().to_string().contains("did you mean"));
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

/// The words of a picture with where they begin and end across the page.
fn texts(picture: &Picture) -> Vec<(String, f64, f64)> {
    let texts = picture.items.iter().filter_map(|item| match item {
        Item::Text(words) => {
            let wide = crate::report::font::width(&words.text, words.size, words.bold);
            let left = match words.anchor {
                Anchor::Start => words.at[0],
                Anchor::Middle => words.at[0] - wide / 2.0,
                Anchor::End => words.at[0] - wide,
            };
            Some((words.text.clone(), left, left + wide))
        }
        _ => None,
    });
    texts.collect()
}

/// Loads and places are told by the axes, so every view says which way they run.
#[test]
fn every_view_says_which_way_the_axes_run() {
    let assessment = sample();
    for (word, view) in View::ALL {
        let picture = draw(&assessment, &DrawOptions { view, ..DrawOptions::default() }).unwrap();
        let count = |name: &str| texts(&picture).iter().filter(|(text, ..)| text == name).count();
        let wanted = match view {
            View::Plan | View::Unrolled => [1, 1, 0],
            View::End => [0, 1, 1],
            View::Side => [1, 0, 1],
            View::Isometric => [1, 1, 1],
            View::Sheet => [3, 3, 3],
        };
        assert_eq!(["x", "y", "z"].map(count), wanted, "{word}");
    }
}

/// A label over the near side of a timber behind it says so, and none leaves the page.
#[test]
fn a_named_timber_of_the_far_side_is_told_as_one() {
    let assessment = sample();
    for (word, view) in View::ALL {
        for show in [Shown::Utilisation, Shown::Axial, Shown::Moment] {
            let picture =
                draw(&assessment, &DrawOptions { view, show: show.clone(), ..DrawOptions::default() })
                    .unwrap();
            for (text, left, right) in texts(&picture) {
                assert!(left >= 0.0 && right <= picture.width, "{word} {show:?}: {text} {left} to {right}");
            }
        }
    }
    let scene = Scene::new(&assessment);
    for view in [View::Isometric, View::Side] {
        let flat = Flat::new(&scene, view, None);
        let picture = draw(&assessment, &DrawOptions { view, ..DrawOptions::default() }).unwrap();
        let mut named = 0;
        for (member, near) in assessment.members.iter().zip(&flat.near) {
            let own = format!("{} ", member.id);
            let Some((text, ..)) = texts(&picture).into_iter().find(|(text, ..)| text.starts_with(&own))
            else {
                continue;
            };
            assert_eq!(text.ends_with(" (far side)"), !near, "{text}");
            named += 1;
        }
        assert!(named > 1, "{named}");
    }
}

/// Equal values share one label, on the near side where one of them is there.
#[test]
fn equal_forces_are_named_once_and_on_the_near_side() {
    let mut assessment = sample();
    for member in &mut assessment.members {
        member.axial.insert("seam".to_owned(), [-5000.0, 1000.0]);
    }
    let options =
        DrawOptions { show: Shown::Axial, model: Some("seam".to_owned()), ..DrawOptions::default() };
    let picture = draw(&assessment, &options).unwrap();
    let labels: Vec<String> =
        texts(&picture).into_iter().map(|(text, ..)| text).filter(|text| text.ends_with(" −5 kN")).collect();
    assert_eq!(labels.len(), 1, "{labels:?}");
}

/// The arrow of a push outward points where the figure was taken, also at the end of a shell that is not round.
#[test]
fn the_push_outward_is_drawn_where_it_points() {
    let mut assessment = sample();
    let foot = &mut assessment.feet[0];
    (foot.outward, foot.outward_deg) = (3000.0, 180.0);
    let name = foot.joint.clone();
    let scene = Scene::new(&assessment);
    let at =
        assessment.joints.iter().find(|joint| joint.id == name).map(|joint| Vec3::from(joint.at)).unwrap();
    let layers = Layers::reactions(&scene, Printer::new("metric"), View::Plan).unwrap();
    let arrow = layers.arrows.iter().find(|arrow| arrow.at == at && arrow.by.z == 0.0).unwrap();
    assert!(arrow.by.x < -0.1 && arrow.by.y.abs() < 1e-9, "{:?}", arrow.by);
}

/// A drawing may be all that one is given: it names who decides, where there is room.
#[test]
fn a_drawing_says_who_decides() {
    let assessment = sample();
    let page = |width: f64| {
        let options = DrawOptions { width, height: 0.75 * width, ..DrawOptions::default() };
        svg(&draw(&assessment, &options).unwrap())
    };
    let whole = "Indicative only: local codes, the building authority and a licensed engineer decide.";
    assert!(page(960.0).contains(whole) && page(760.0).contains(whole));
    let narrow = page(360.0);
    assert!(narrow.contains("Indicative only") && !narrow.contains(whole));
}
