//! Words and pictures of studies, of rows made by hand.

use super::*;
use crate::assess::results::Verdict;
use crate::report::picture::Picture;
use crate::study::loss::{Loss, Losses};
use crate::study::reserve::{LoadReserve, Reserves, Standing};
use crate::study::row::{ModelRow, by_hand};
use crate::study::seams::{Point, SeamStudy, Stretch};
use crate::study::sensitivity::Sensitivity;
use crate::study::span::{Crossing, Step, Sweep, Swept};
use crate::study::vary::Load;

fn title() -> Title {
    Title { name: "Sloe hut".to_owned(), units: System::Metric, point: None, not_in_it: Vec::new() }
}

fn first(what: &str, rule: &str, utilisation: Option<f64>) -> First {
    First {
        what: what.to_owned(),
        id: "s7".to_owned(),
        place: "seam".to_owned(),
        utilisation,
        rule: rule.to_owned(),
        clause: "a clause".to_owned(),
        combination: "weight".to_owned(),
        model: "seam".to_owned(),
    }
}

/// What folds may have a figure all the same.
fn folding(worst: Option<f64>) -> Row {
    row(Verdict::Unstable, worst, first("shell", "folds: no equilibrium with its imperfection", None))
}

fn over(worst: Option<f64>) -> Row {
    row(Verdict::Over, worst, first("timber", "torsion with shear", worst))
}

fn row(verdict: Verdict, worst: Option<f64>, first: First) -> Row {
    Row { worst, ..by_hand(verdict, first) }
}

fn step(value: f64, row: Option<Row>, fault: Option<&str>) -> Step {
    Step {
        value,
        span: row.as_ref().map(|_| value),
        span_of_curve: None,
        row,
        fault: fault.map(str::to_owned),
    }
}

fn swept(steps: Vec<Step>) -> Swept {
    let sweep = Sweep {
        breadth: 0.047,
        depth: 0.097,
        grade: "C24".to_owned(),
        steps,
        crossings: Vec::new(),
        stretches: Vec::new(),
    };
    Swept {
        vary: "span".to_owned(),
        counted: false,
        sweeps: vec![sweep],
        keep_their_own: Vec::new(),
        left_out: 0,
    }
}

/// The last words of a picture: the note at its foot.
fn note(picture: &Picture) -> String {
    crate::report::picture::svg::svg(picture)
}

/// Sizes beyond every limit have no figure, and stand on the axis all the same.
#[test]
fn every_size_of_a_sweep_is_on_its_axis() {
    let study = swept(vec![
        step(1.8, Some(over(None)), None),
        step(3.6, Some(over(Some(1.4))), None),
        step(5.4, Some(over(Some(79.0))), None),
        step(7.2, Some(folding(Some(153.0))), None),
    ]);
    let picture = span_picture(&title(), &study).unwrap();
    for told in ["1.8: beyond", "3.6: 1.40", "5.4: 79.0", "7.2: unstable"] {
        assert!(picture.description.contains(told), "{told}: {}", picture.description);
    }
    let drawn = note(&picture);
    assert!(drawn.contains("Higher ones sit on the upper edge; crosses are unstable."), "{drawn}");
    // Where nothing has a figure there is a picture as well.
    let study = swept(vec![step(1.8, Some(folding(None)), None), step(3.6, Some(over(None)), None)]);
    assert!(span_picture(&title(), &study).is_some());
}

#[test]
fn a_fault_of_many_sizes_is_told_once_and_what_folds_has_no_figure() {
    let fault = "opening 2 touches no panel that is still there";
    let study = swept(vec![
        step(2.0, None, Some(fault)),
        step(3.0, Some(folding(Some(733.0))), None),
        step(4.0, Some(folding(None)), None),
        step(5.0, None, Some(fault)),
    ]);
    let said = span_text(&title(), &study);
    assert_eq!(said.matches("touches no").count(), 1, "{said}");
    assert!(said.contains("not worked out at 2 m, 5 m: opening 2"), "{said}");
    assert_eq!(said.matches(" folds ").count(), 2, "{said}");
    assert!(!said.contains("733"), "{said}");
}

/// What is not in a study stands above its figures, and a hostile reason stays harmless.
#[test]
fn what_the_project_leaves_out_stands_above_the_figures() {
    let words = "The wind is left out, and nothing is said of it. Reason given: in a\u{1b}[31m barn.";
    let title = Title { not_in_it: vec![words.to_owned()], ..title() };
    let study = swept(vec![step(2.0, Some(over(Some(1.2))), None)]);
    let said = span_text(&title, &study);
    let (told, table) = (said.find("The wind is left out, and nothing").unwrap(), said.find("1.20").unwrap());
    assert!(told < table && said.contains("in a[31m barn."), "{said}");
    let document: serde_json::Value = serde_json::from_str(&json(&title, "span", &study)).unwrap();
    assert_eq!(document["not_in_it"], serde_json::json!([words]));
    // A picture may be all that one is given: it is the higher for what it says.
    let picture = span_picture(&title, &study).unwrap();
    let said = note(&picture);
    assert!(said.contains("The wind is left out") && said.contains("in a[31m barn."), "{said}");
    assert!(picture.height > span_picture(&self::title(), &study).unwrap().height);
}

fn candidate(row: Row) -> Candidate {
    Candidate {
        breadth: 0.047,
        depth: 0.075,
        grade: "C24".to_owned(),
        strips: None,
        mass: Some(400.0),
        metres: Some(100.0),
        price: None,
        row: Some(row),
        fault: None,
        dominated: false,
    }
}

fn compared(candidates: Vec<Candidate>) -> Compared {
    Compared {
        candidates,
        stocked: false,
        keep_their_own: Vec::new(),
        strips_set_aside: Vec::new(),
        left_out: 0,
        currency: String::new(),
    }
}

#[test]
fn a_comparison_in_which_nothing_holds_says_what_its_order_is() {
    let said = |rows: Vec<Row>| {
        let candidates = rows.into_iter().map(candidate).collect();
        compare_text(&title(), &compared(candidates)).split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let none = said(vec![over(Some(1.2)), folding(None)]);
    assert!(!none.contains("among those that hold"), "{none}");
    assert!(none.contains("none of them holds; those over their limits first"), "{none}");
    let within = row(Verdict::Within, Some(0.5), first("timber", "bending", Some(0.5)));
    assert!(said(vec![within, over(Some(1.2))]).contains("lightest first among those that hold"));
}

#[test]
fn what_gives_at_which_stiffness_is_told_stretch_by_stretch() {
    let point = |times: f64, row: Row| Point { times: Some(times), stiffness: 1000.0 * times, row };
    let stretch = |from: f64, to: f64, verdict, gives: &str| Stretch {
        stiffness: [1000.0 * from, 1000.0 * to],
        times: Some([from, to]),
        verdict,
        gives: gives.to_owned(),
    };
    let study = SeamStudy {
        entered: over(Some(2.0)),
        pinned: Some(folding(None)),
        stiffness: Some(1000.0),
        origin: "entered".to_owned(),
        points: vec![point(0.1, folding(None)), point(1.0, over(Some(2.0))), point(10.0, over(Some(3.0)))],
        turns: Vec::new(),
        stretches: vec![
            stretch(0.1, 0.1, Verdict::Unstable, "folds"),
            stretch(1.0, 10.0, Verdict::Over, "timber: torsion with shear"),
        ],
        words: "No stiffness.".to_owned(),
        left_out: 0,
    };
    let said = seams_text(&title(), &study).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        said.contains("At 0.1 kN·m/rad per m (0.1 times) it is unstable: what gives is folds."),
        "{said}"
    );
    assert!(said.contains("(1 to 10 times) it is over: what gives is timber: torsion with shear."), "{said}");
    // The name of the axis stands clear of the note under it.
    let picture = seams_picture(&title(), &study).unwrap();
    assert!(picture.description.contains("0.1: unstable"), "{}", picture.description);
}

#[test]
fn losses_that_are_not_listed_are_counted() {
    let loss = |n: usize| Loss {
        what: "seam".to_owned(),
        id: format!("s{n}"),
        verdict: Verdict::Unstable,
        worst: None,
        first: folding(None).first,
    };
    let whole = over(Some(0.7));
    let study =
        Losses { by_strength: false, whole: whole.clone(), losses: (1..=6).map(loss).collect(), left_out: 0 };
    let reserves =
        Reserves { models: Vec::new(), entered: whole, loads: Vec::new(), grid: None, left_out: 0 };
    let said = reserve_text(&title(), &reserves, None, Some(&study));
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("without seam s3: unstable, folds: no equilibrium"), "{said}");
    assert!(said.contains("These are the worst 3; 3 more are not shown"), "{said}");
}

/// Names stand at the left where the curve grows, and past it where it falls from above.
#[test]
fn names_of_curves_stand_clear_of_them() {
    let grows = vec![(0.0, 0.2), (0.5, 1.0), (1.0, 2.0)];
    let falls = vec![(0.0, 2.0), (0.2, 0.3), (0.6, 0.8), (1.0, 2.0)];
    let high = vec![(0.0, 2.0), (1.0, 2.0)];
    assert!(picture::clear(std::slice::from_ref(&grows), 0.2, 1.5).abs() < 1e-12);
    let place = picture::clear(&[grows, falls.clone()], 0.2, 1.5);
    assert!(place > 0.05 && place < 0.2 && picture::highest(&falls, place, place + 0.2) < 1.5, "{place}");
    assert!(picture::clear(&[high], 0.2, 1.5).abs() < 1e-12);
}

/// The one that governs is told as that, and a mechanism, which folds under no combination in particular, under none.
#[test]
fn a_reserve_says_which_model_gives() {
    let folds = First {
        combination: String::new(),
        model: "pinned".to_owned(),
        ..first("shell", "folds without resistance", None)
    };
    let model = |name: &str, verdict| ModelRow {
        name: name.to_owned(),
        governs: true,
        mechanisms: 0,
        worst: None,
        timber: None,
        first: None,
        buckling: None,
        limit: None,
        limit_met: false,
        sag: None,
        verdict,
    };
    let mut entered = row(Verdict::Unstable, None, folds.clone());
    entered.models = vec![model("pinned", Verdict::Unstable), model("rigid", Verdict::Within)];
    let load = LoadReserve {
        load: Load::Snow,
        name: "snow".to_owned(),
        entered: Some(500.0),
        entered_speed: None,
        standing: Standing::OverWithoutIt,
        factor: None,
        tried: 1.0,
        first: Some(folds),
    };
    let study = Reserves {
        models: vec!["pinned".to_owned(), "rigid".to_owned()],
        entered,
        loads: vec![load],
        grid: None,
        left_out: 0,
    };
    let said = reserve_text(&title(), &study, None, None);
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("(pinned model). The verdict is of the pinned and rigid models"), "{said}");
    assert!(said.contains("(a clause; pinned model)") && !said.contains("under ;"), "{said}");
}

/// Where a model that counts is a mechanism, no figure of another stands beside a verdict that is not its own.
#[test]
fn a_row_of_a_mechanism_has_no_figure_of_another_model() {
    let project = crate::assess::example("fruit-cage-barrel.toml");
    let found = crate::assess::find(&project).unwrap();
    let row = crate::study::row::row(&found);
    assert_eq!((row.buckling, row.sag, row.uplift), (None, None, None));
    // What each model says by itself is kept.
    assert!(row.models.iter().any(|model| model.name == "rigid" && model.buckling.is_some()));
}

fn model(name: &str, buckling: f64, limit: f64, limit_met: bool) -> ModelRow {
    ModelRow {
        name: name.to_owned(),
        governs: true,
        mechanisms: 0,
        worst: None,
        timber: None,
        first: None,
        buckling: Some(buckling),
        limit: Some(limit),
        limit_met,
        sag: None,
        verdict: Verdict::Within,
    }
}

/// A linear factor of 23 says little of a cap that snaps through at 3.53; a path that ends without a limit says nothing.
#[test]
fn what_gives_way_first_is_told_linear_or_not() {
    let mut row = row(Verdict::Within, Some(0.28), first("shell", "folding", Some(0.28)));
    row.buckling = Some(23.0);
    row.models = vec![model("seam", 23.0, 3.53, true)];
    assert_eq!((row.limit(), row.gives_way()), (Some(3.53), Some(3.53)));
    let study = swept(vec![step(8.0, Some(row.clone()), None)]);
    let said = span_text(&title(), &study);
    assert!(said.contains(" 3.5 ") && !said.contains(" 23 "), "{said}");
    let sheet = span_csv(&study);
    assert!(sheet.contains("buckling_factor,limit_factor,") && sheet.contains(",23,3.53,"), "{sheet}");
    row.models = vec![model("seam", 23.0, 10.0, false)];
    assert_eq!((row.limit(), row.gives_way()), (None, Some(23.0)));
    let said = span_text(&title(), &swept(vec![step(8.0, Some(row.clone()), None)]));
    assert!(said.contains(" over 10 ") && !said.contains(" 23 "), "{said}");
    row.models = vec![ModelRow { mechanisms: 1, ..model("pinned", 23.0, 3.0, true) }];
    assert_eq!(row.limit(), None);
}

/// Where the limit is crossed the line bends, and a mark says so.
#[test]
fn crossings_are_in_the_picture_of_a_sweep() {
    let within = |worst| row(Verdict::Within, Some(worst), first("timber", "bending", Some(worst)));
    let mut study = swept(vec![step(4.0, Some(within(0.6)), None), step(6.0, Some(folding(None)), None)]);
    let plain = span_picture(&title(), &study).unwrap();
    assert!(!note(&plain).contains("Triangles"));
    study.sweeps[0].crossings = vec![Crossing {
        between: [4.5, 4.5005],
        span: Some(4.5),
        span_of_curve: None,
        worst: [Some(0.7), None],
        verdicts: [Verdict::Within, Verdict::Unstable],
        holds_below: true,
        gives: "folds".to_owned(),
    }];
    let picture = span_picture(&title(), &study).unwrap();
    assert!(
        picture.description.contains("4.5: 0.70, where the limit is crossed; 6: unstable"),
        "{}",
        picture.description
    );
    assert!(note(&picture).contains("Triangles: the limit is crossed."));
}

/// A study that was stopped says so where it begins, and so do its pictures.
#[test]
fn what_is_not_finished_says_so_first() {
    let study = Compared { left_out: 3, ..compared(vec![candidate(over(Some(1.2)))]) };
    let said = compare_text(&title(), &study);
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("side by side, not finished; of those that were worked out none holds"), "{said}");
    assert!(said.contains("STOPPED, not finished: 3 rows were not worked out. "), "{said}");
    assert!(note(&compare_picture(&title(), &study).unwrap()).contains("STOPPED, not finished: 3 rows"));
    let mut study = swept(vec![step(4.0, Some(over(Some(1.2))), None)]);
    study.left_out = 1;
    assert!(note(&span_picture(&title(), &study).unwrap()).contains("STOPPED, not finished: 1 row was"));
}

/// Groups that keep their own size are told above the rows, of which they are a part.
#[test]
fn timbers_that_keep_their_own_size_are_named() {
    let own = |breadth, depth, values| OwnTimber { roles: vec!["seam".to_owned()], breadth, depth, values };
    let mut study = compared(Vec::new());
    study.keep_their_own = vec![
        own(Some(0.06), Some(0.09), false),
        own(None, Some(0.1), false),
        own(Some(0.06), Some(0.09), true),
    ];
    study.strips_set_aside = vec!["seam".to_owned(), "arch".to_owned()];
    let said = compare_text(&title(), &study);
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        said.contains(
            "([[timber.group]]): seam (60 x 90 mm); seam (100 mm deep); seam (section values of their own)."
        ),
        "{said}"
    );
    assert!(said.contains("in place of those that [[timber.group]] says of: seam, arch."), "{said}");
}

/// Rows whose doubts differ in their figures alone say them once.
#[test]
fn a_doubt_of_many_rows_is_told_once() {
    let doubtful = |figure: &str| Row {
        doubts: vec![format!(
            "Joints of the seam model move by up to {figure} mm under 1.35 weight: too far."
        )],
        ..over(Some(1.2))
    };
    let rows = [doubtful("100"), doubtful("97"), doubtful("91")];
    let said = of_doubts(rows.iter()).split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(said.matches("Told as no better").count(), 1, "{said}");
    assert!(said.contains("up to 100 mm") && said.contains("Other rows likewise"), "{said}");
}

/// What governs after a small change is told in full, under a letter.
#[test]
fn what_governs_after_a_change_is_not_cut_off() {
    use crate::study::sensitivity::Change;
    let governs = "timber s34, bending with compression, buckling out of the surface of its panel";
    let change = |what: &str| Change {
        what: what.to_owned(),
        worst: Some(0.9),
        growth: Some(0.07),
        timber: Some(0.9),
        timber_growth: Some(0.07),
        governs: governs.to_owned(),
        fault: None,
    };
    let study = Sensitivity {
        worst: Some(0.84),
        changes: vec![change("ground snow + 10 %"), change("wind pressure + 10 %")],
        keep_their_own: vec![OwnTimber {
            roles: vec!["seam".to_owned()],
            breadth: Some(0.06),
            depth: None,
            values: false,
        }],
        left_out: 0,
    };
    let entered = over(Some(0.84));
    let reserves = Reserves { models: Vec::new(), entered, loads: Vec::new(), grid: None, left_out: 0 };
    let said = reserve_text(&title(), &reserves, Some(&study), None);
    assert!(said.lines().all(|line| line.chars().count() <= 80), "{said}");
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(said.matches(governs).count(), 1, "{said}");
    assert!(
        said.contains("seam (60 mm broad)") && said.contains("No load was entered that could grow"),
        "{said}"
    );
}
