//! Studies against single checks of the same projects: rows to the last bit, crossings and reserves by a
//! check either side, losses against frames made without the part.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::float_cmp,
    reason = "tests; sameness to the last bit is what is asked"
)]

mod names;
mod ranges;

use std::path::Path;

use strutwise::assess::findings::find;
use strutwise::assess::{Options, assess, setup};
use strutwise::model::ask::{FeetHeld, JointModel, SeamStiffness};
use strutwise::model::transfer::Transfer;
use strutwise::project::schema_study::{SpanAsk, Vary};
use strutwise::project::{Asked, Project, SourceText, read_text};
use strutwise::report::study as report;
use strutwise::shell::{self, MemberId};
use strutwise::study::reserve::{Standing, loads_only, reserves};
use strutwise::study::row::row;
use strutwise::study::{
    Quiet, Title, compare, governing_only, look, look_whole, loss, seams, sensitivity, span, vary,
};

const SHELTER: &str = r#"
[project]
name  = "Larkfold seedling frame"
basis = "eurocode"
[shell]
form      = "dome"
radius    = "2.1 m"
frequency = 2
up        = "vertex"
[timber]
grade     = "C24"
breadth   = "47 mm"
depth     = "75 mm"
service_class = 3
[joints]
models    = ["pinned", "seam", "rigid"]
seam_stiffness = "3 kN m/rad per m"
[cover]
weight    = "9 kg/m2"
[snow]
ground    = "0.6 kN/m2"
[wind]
pressure  = "0.7 kN/m2"
directions_deg = [0]
[feet]
held      = "pinned"
uplift    = "12 kN"
"#;

fn read(text: &str) -> Project {
    let source = SourceText { name: "shelter.toml".to_owned(), text: text.to_owned() };
    match read_text(source, Path::new("."), "shelter") {
        Ok(Asked::Shell(project)) => *project,
        other => panic!("{other:?}"),
    }
}

fn project(more: &str) -> Project {
    read(&format!("{SHELTER}{more}"))
}

#[test]
fn each_row_of_a_comparison_is_the_check_of_that_project_to_the_last_bit() {
    let p = project("[compare]\nsections = [\"47x75 mm\", \"19x38\"]\nstrips = [1, 2]");
    let found = compare::compare(&p, &Quiet).unwrap();
    let (choices, stocked) = compare::choices(&p);
    assert!(!stocked && choices.len() == 4 && found.candidates.len() == 4);
    for choice in &choices {
        let of = |c: &&compare::Candidate| {
            c.breadth == choice.section.breadth
                && c.depth == choice.section.depth
                && c.grade == choice.grade.name()
                && c.strips == choice.strips
        };
        let candidate = found.candidates.iter().find(of).unwrap();
        let own = compare::with(&p, choice);
        assert_eq!(candidate.row.as_ref(), Some(&row(&find(&own).unwrap())));
    }
    // Lightest first among those that hold, and none of those marked is needed.
    let held: Vec<_> = found.candidates.iter().take_while(|c| c.holds()).collect();
    assert!(held.windows(2).all(|w| w[0].mass <= w[1].mass));
    assert!(found.candidates.iter().skip(held.len()).all(|c| !c.holds() && !c.dominated));
    assert!(held.iter().any(|c| !c.dominated));
}

/// A row that is near for its feet alone says so under the table; pinned feet hold nothing, and nothing is said.
#[test]
fn rows_that_rest_on_feet_held_against_turning_say_so() {
    for held in [FeetHeld::Fixed, FeetHeld::Pinned] {
        let mut project = project("[compare]\nsections = [\"47x150 mm\"]\n");
        project.joints.models = vec![JointModel::Rigid];
        project.joints.feet = held;
        let study = compare::compare(&project, &Quiet).unwrap();
        let row = study.candidates[0].row.as_ref().unwrap();
        let fixed = held == FeetHeld::Fixed;
        assert!(row.holds() && row.rests_on_feet == fixed, "{row:?}");
        let said = report::compare_text(&Title::of(&project), &study);
        assert_eq!(said.contains("Feet are entered as held against turning"), fixed, "{said}");
        let reserves = loads_only(&project, 1e-2, &Quiet).unwrap();
        let said = report::reserve_text(&Title::of(&project), &reserves, None, None);
        assert_eq!(said.contains("Feet are entered as held against turning"), fixed, "{said}");
    }
}

#[test]
fn one_and_two_threads_write_the_same_bytes() {
    let p = project("[compare]\nsections = [\"47x75 mm\", \"38x63\", \"25x50\"]\n");
    let bytes = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| {
            let found = compare::compare(&p, &Quiet).unwrap();
            let curve = seams::seams(&p, 5, &Quiet).unwrap();
            [
                report::json(&Title::of(&p), "compare", &found),
                report::compare_text(&Title::of(&p), &found),
                report::compare_csv(&found),
                report::json(&Title::of(&p), "seams", &curve),
                report::seams_text(&Title::of(&p), &curve),
            ]
        })
    };
    assert_eq!(bytes(1), bytes(2));
}

#[test]
fn a_crossing_has_a_check_that_holds_on_one_side_and_one_that_does_not_on_the_other() {
    let p = project("");
    let ask = SpanAsk { vary: Vary::Radius, range: [2.0, 9.0], steps: 3, timbers: Vec::new() };
    let found = span::sweep(&p, &ask, &Quiet).unwrap();
    let sweep = &found.sweeps[0];
    assert!(!sweep.crossings.is_empty(), "{:?}", sweep.steps);
    for crossing in &sweep.crossings {
        let [holds, over] = crossing.between;
        assert!((holds - over).abs() <= 0.0005);
        for (value, expected) in [(holds, true), (over, false)] {
            let varied = vary::shape(&p, Vary::Radius, value).unwrap();
            let verdict = assess(&varied, &Options::default()).unwrap().verdict;
            assert_eq!(strutwise::assess::verdict::holds(verdict), expected, "radius {value}");
        }
    }
    // A count crosses between two counts that both can be built.
    let ask = SpanAsk { vary: Vary::Frequency, range: [1.0, 3.0], steps: 2, timbers: Vec::new() };
    assert_eq!(span::values(&p, &ask), [1.0, 2.0, 3.0]);
}

/// Sizes across are between joints, with the curve's beside, in every study as in `check`.
#[test]
fn sizes_across_are_those_of_check() {
    // The joints of an icosahedron stand well within its sphere at the ground.
    let p = vary::shape(&project(""), Vary::Frequency, 1.0).unwrap();
    let ask = SpanAsk { vary: Vary::Radius, range: [1.8, 2.2], steps: 2, timbers: Vec::new() };
    let found = span::sweep(&p, &ask, &Quiet).unwrap();
    for step in &found.sweeps[0].steps {
        let varied = vary::shape(&p, Vary::Radius, step.value).unwrap();
        let size = assess(&varied, &Options::default()).unwrap().size;
        assert_eq!((step.span, step.span_of_curve), (Some(size.span), size.span_of_curve));
        assert_eq!(step.row.as_ref().unwrap().span.to_bits(), size.span.to_bits());
        let curve = size.span_of_curve.unwrap();
        assert!(curve > 1.01 * size.span && curve <= 2.0 * step.value, "{size:?}");
    }
    let said = report::span_text(&Title::of(&p), &found);
    assert!(said.contains("Across is between the outermost joints"), "{said}");
}

#[test]
fn just_under_a_reserve_holds_and_just_over_it_does_not() {
    let p = project("");
    let shell = shell::build(&p.shell).unwrap();
    // Found to a tenth of what the two checks either side stand off.
    let found = loads_only(&p, 1e-4, &Quiet).unwrap();
    let lean = governing_only(&p);
    assert!(found.loads.iter().any(|r| r.standing == Standing::Above));
    for one in &found.loads {
        let Some(factor) = one.factor else { continue };
        let at = |f: f64| row(&look(&vary::load(&lean, one.load, f), &shell).unwrap()).holds();
        assert!(at(0.999 * factor) && !at(1.001 * factor), "{one:?}");
        assert!(one.first.is_some());
    }
}

#[test]
fn over_already_is_said_as_such() {
    let mut p = project("");
    // Over by snow alone.
    p = vary::load(&p, vary::Load::Snow, 60.0);
    let found = loads_only(&p, 1e-3, &Quiet).unwrap();
    let of = |load| found.loads.iter().find(|r| r.load == load).unwrap();
    let snow = of(vary::Load::Snow);
    assert_eq!(snow.standing, Standing::Below);
    assert!(snow.factor.unwrap() < 1.0);
    let wind = of(vary::Load::Wind);
    assert_eq!((wind.standing, wind.factor), (Standing::OverWithoutIt, None));
    assert!(wind.words().contains("even without it"));
}

#[test]
fn a_mechanism_has_no_reserve_and_no_number() {
    // A barrel of flat four-sided panels folds without stiff seams.
    let mut p = project("");
    p.joints.models = vec![JointModel::Pinned];
    p.joints.seam_stiffness = SeamStiffness::Unknown;
    let mut shell = shell::build(&p.shell).unwrap();
    // Without its feet's hold a shell moves as a whole.
    shell.joints.iter_mut().for_each(|j| j.foot = false);
    let found = row(&look(&p, &shell).unwrap());
    assert!(found.worst.is_none() && !found.holds());
    assert!(found.first.unwrap().rule.contains("hold no shape"));
}

#[test]
fn the_grid_agrees_with_the_entered_loads() {
    // One model: a grid is many whole answers.
    let mut p = project("");
    p.joints.models = vec![JointModel::Rigid];
    let found = reserves(&p, 1e-2, &Quiet).unwrap();
    let grid = found.grid.unwrap();
    let at = grid.snow.iter().position(|s| *s == 1.0).unwrap();
    assert_eq!(grid.verdict[at][at], Some(found.entered.verdict));
    assert_eq!(grid.worst[at][at], found.entered.worst);
}

#[test]
fn the_middle_of_the_curve_is_the_seam_model_of_the_check() {
    let p = project("");
    let found = seams::seams(&p, 5, &Quiet).unwrap();
    let middle = found.points.iter().find(|p| p.times == Some(1.0)).unwrap();
    let whole = row(&find(&p).unwrap());
    let seam = whole.models.iter().find(|m| m.name == "seam").unwrap();
    assert_eq!(middle.row.models.first(), Some(seam));
    for turn in &found.turns {
        let at = |k: f64| {
            let mut varied = vary::seam(&p, k);
            varied.joints.models = vec![JointModel::Seam];
            row(&look_whole(&varied).unwrap()).holds()
        };
        assert_ne!(at(turn.stiffness / 1.002), at(turn.stiffness * 1.002));
    }
    let mut unknown = p;
    unknown.joints.seam_stiffness = SeamStiffness::Unknown;
    unknown.joints.models = vec![JointModel::Pinned, JointModel::Rigid];
    let found = seams::seams(&unknown, 3, &Quiet).unwrap();
    assert!(found.stiffness.is_none() && found.points.iter().all(|p| p.times.is_none()));
}

/// A barrel of soft seams that only stiff joints would hold.
const BARREL: &str = r#"
[project]
name  = "Larkfold seedling vault"
basis = "eurocode"
[shell]
form      = "barrel"
span      = "4 m"
rise      = "1.9 m"
segments  = 6
bays      = 2
bay_length = "1.1 m"
pattern   = "staggered"
[timber]
grade     = "C24"
breadth   = "47 mm"
depth     = "95 mm"
service_class = 3
[joints]
models    = ["pinned", "seam", "rigid"]
seam_stiffness = "0.5 kN m/rad per m"
[cover]
weight    = "3 kg/m2"
[snow]
ground    = "0.2 kN/m2"
[wind]
left_out  = "made up"
"#;

fn barrel() -> Project {
    let source = SourceText { name: "vault.toml".to_owned(), text: BARREL.to_owned() };
    match read_text(source, Path::new("."), "vault") {
        Ok(Asked::Shell(project)) => *project,
        other => panic!("{other:?}"),
    }
}

/// Studies look at the models of the verdict alone, and say all the same what `check` says of the stiffer ones.
#[test]
fn what_rests_on_seams_does_so_in_every_study() {
    let p = barrel();
    let whole = find(&p).unwrap();
    assert!(whole.rests_on_seams, "{:?}", whole.verdict);
    assert!(reserves(&p, 0.1, &Quiet).unwrap().entered.rests_on_seams);
    let ask = SpanAsk { vary: Vary::Span, range: [4.0, 4.4], steps: 2, timbers: Vec::new() };
    let found = span::sweep(&p, &ask, &Quiet).unwrap();
    for step in &found.sweeps[0].steps {
        let own = vary::shape(&p, Vary::Span, step.value).unwrap();
        assert_eq!(step.row.as_ref().unwrap().rests_on_seams, find(&own).unwrap().rests_on_seams);
    }
    let found = seams::seams(&p, 3, &Quiet).unwrap();
    let middle = found.points.iter().find(|p| p.times == Some(1.0)).unwrap();
    assert!(middle.row.rests_on_seams && found.entered.rests_on_seams);
    // The pinned model is that of the check, and nothing is said not to rely on seams without which it folds.
    let pinned = whole.models.iter().find(|m| m.run.model.kind == JointModel::Pinned).unwrap();
    assert_eq!(found.pinned.as_ref().unwrap().verdict, pinned.verdict);
    assert!(found.is_of_verdict() && !found.words.contains("not rely"), "{}", found.words);
    // Where the project asks for no seam model, the verdict of check is of those that it asks for.
    let mut others = p;
    others.joints.models = vec![JointModel::Pinned, JointModel::Rigid];
    let found = seams::seams(&others, 3, &Quiet).unwrap();
    assert!(!found.is_of_verdict());
    assert_eq!(found.entered, row(&find(&others).unwrap()));
    let said = report::seams_text(&Title::of(&others), &found);
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("is of the pinned and rigid models; the seam model was added here"), "{said}");
}

/// Own combinations that name the cases of a load go on without it: as if it had nothing in it.
#[test]
fn a_list_of_own_combinations_goes_on_without_a_load() {
    let own = "[combine]\nown = [{ name = \"snowed\", state = \"strength\", terms = { weight = 1.35, \"snow undrifted\" = 1.5 } },\n\
               { state = \"strength\", terms = { \"snow undrifted\" = 1.0 } },\n\
               { name = \"windy\", state = \"strength\", terms = { \"wind from 0°, pressure inside\" = 1.5 } }]\n";
    let mut p = project(own);
    p.joints.models = vec![JointModel::Rigid];
    let found = reserves(&p, 1e-2, &Quiet).unwrap();
    let grid = found.grid.unwrap();
    assert_eq!(grid.verdict[2][2], Some(found.entered.verdict));
    assert!(grid.verdict.iter().flatten().all(Option::is_some));
    // Without either load next to nothing acts.
    assert!(grid.worst[0][0].unwrap() < grid.worst[2][0].unwrap());
    let shell = shell::build(&p.shell).unwrap();
    let without = vary::without_missing_cases(vary::load(&p, vary::Load::Snow, 0.0), &shell);
    let names: Vec<_> =
        without.loads.combine.own.iter().map(|one| (one.name.as_deref(), one.terms.len())).collect();
    assert_eq!(names, [(Some("snowed"), 1), (Some("windy"), 1)]);
    // As with that load at next to nothing.
    let (a, b) =
        (look(&without, &shell).unwrap(), look(&vary::load(&p, vary::Load::Snow, 1e-9), &shell).unwrap());
    let (a, b) = (row(&a).worst.unwrap(), row(&b).worst.unwrap());
    assert!((a - b).abs() < 1e-6 * b, "{a} {b}");
}

/// A wind that is entered as a speed has its reserve in its pressure, and says which speed that is.
#[test]
fn a_wind_speed_has_a_reserve_of_its_own_kind() {
    let text = SHELTER.replace("pressure  = \"0.7 kN/m2\"", "speed = \"24 m/s\"\nterrain = \"II\"");
    let source = SourceText { name: "shelter.toml".to_owned(), text };
    let Ok(Asked::Shell(p)) = read_text(source, Path::new("."), "shelter") else { panic!("a project") };
    let found = loads_only(&p, 1e-4, &Quiet).unwrap();
    let wind = found.loads.iter().find(|r| r.load == vary::Load::Wind).unwrap();
    assert_eq!((wind.entered, wind.entered_speed), (None, Some(24.0)));
    let said = report::reserve_text(&Title::of(&p), &found, None, None);
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("wind pressure: 24 m/s entered; first limit at "), "{said}");
    assert!(said.contains(" m/s, ") && said.contains(" times the pressure: "), "{said}");
}

/// What a list of timbers does not change is named.
#[test]
fn groups_of_their_own_size_are_told() {
    let group = "group = [{ roles = [\"seam\"], breadth = \"60 mm\", strips = 2 }, { roles = [\"base-rim\"], strips = 1 }]";
    let text = SHELTER.replace("service_class = 3", &format!("service_class = 3\n{group}"));
    let more = "[compare]\nsections = [\"47x97 mm\"]\nstrips = [1]\n";
    let source = SourceText { name: "shelter.toml".to_owned(), text: format!("{text}{more}") };
    let Ok(Asked::Shell(p)) = read_text(source, Path::new("."), "shelter") else { panic!("a project") };
    let found = compare::compare(&p, &Quiet).unwrap();
    let [own] = &found.keep_their_own[..] else { panic!("{:?}", found.keep_their_own) };
    assert_eq!((own.roles.as_slice(), own.breadth, own.depth), (&["seam".to_owned()][..], Some(0.06), None));
    assert_eq!(found.strips_set_aside, ["seam"]);
}

#[test]
fn a_stiffer_change_is_ranked_and_a_load_grows_what_it_should() {
    let found = sensitivity::sensitivity(&project(""), &Quiet).unwrap();
    let of = |what: &str| found.changes.iter().find(|c| c.what.starts_with(what)).unwrap();
    assert!(of("breadth of the timber + 10 %").growth.unwrap() < 0.0);
    assert!(of("breadth of the timber − 10 %").growth.unwrap() > 0.0);
    let sizes: Vec<f64> = found.changes.iter().filter_map(|c| c.growth).map(f64::abs).collect();
    assert!(sizes.windows(2).all(|w| w[0] >= w[1]));
}

/// The frame made by hand without the part, solved whole, against the loss.
#[test]
fn a_loss_is_the_whole_answer_of_the_frame_without_the_part() {
    let mut p = governing_only(&project(""));
    p.joints.models = vec![JointModel::Rigid];
    let (base, _) = loss::in_service(&p, setup::setup(&p).unwrap());
    let seam = loss::parts(&base).into_iter().find(|part| matches!(part, loss::Part::Seam(_))).unwrap();
    let loss::Part::Seam(m) = seam else { panic!() };
    let found = loss::look_without(&p, &base, seam).unwrap();
    let reduced = &found.models[0].run;
    // By hand: the whole model, its bar taken out of the list, its loads put on its ends.
    let model = strutwise::model::build(
        &base.shell,
        &base.timbers,
        &base.material,
        JointModel::Rigid,
        base.stiffness,
        p.joints.feet,
    )
    .unwrap();
    let mut frame = model.frame.clone();
    let gone = frame.bars.remove(m);
    let loads: Vec<_> = base
        .loads
        .iter()
        .map(|case| {
            let mut case = case.clone();
            let (off, on): (Vec<_>, Vec<_>) = case.bars.into_iter().partition(|l| l.bar.0 == m);
            case.bars = on;
            for load in &mut case.bars {
                load.bar.0 -= usize::from(load.bar.0 > m);
            }
            for load in off {
                // To either end by the lever, summed by Simpson's rule, which is exact for it.
                let [a, b] = load.span;
                let mut at_ends = [[0.0; 3]; 2];
                for (part, weight) in [(0.0, 1.0 / 6.0), (0.5, 4.0 / 6.0), (1.0, 1.0 / 6.0)] {
                    let here = load.intensity[0] * (1.0 - part) + load.intensity[1] * part;
                    let far = (a + (b - a) * part) / base.shell.length(MemberId(m));
                    for (end, share) in [1.0 - far, far].into_iter().enumerate() {
                        for axis in 0..3 {
                            at_ends[end][axis] += here[axis] * (b - a) * weight * share;
                        }
                    }
                }
                for (node, [x, y, z]) in [gone.from, gone.to].into_iter().zip(at_ends) {
                    case.nodes.push((node, [x, y, z, 0.0, 0.0, 0.0]));
                }
            }
            case
        })
        .collect();
    let whole = strutwise::frame::linear::Solver::new(&frame).unwrap().solve(&loads).unwrap();
    for (a, b) in reduced.responses.iter().zip(&whole) {
        let largest = b.displacements.iter().flatten().fold(0.0_f64, |m, v| m.max(v.abs()));
        for (u, v) in a.displacements.iter().flatten().zip(b.displacements.iter().flatten()) {
            assert!((u - v).abs() <= 1e-9 * largest, "{u} {v}");
        }
    }
    // Total load stays the same whatever goes.
    for part in loss::parts(&base).into_iter().step_by(9) {
        let left = loss::without(&p, &base, part);
        for (a, b) in left.loads.iter().zip(&base.loads) {
            let (a, b) = (strutwise::model::load::total(a), strutwise::model::load::total(b));
            assert!((a - b).norm() <= 1e-9 * b.norm().max(1.0));
        }
        // What is known of a member goes with it, whatever its number is now.
        assert_eq!(left.timbers.len(), left.shell.members.len());
        for (now, member) in left.shell.members.iter().enumerate() {
            let before = base.shell.members.iter().position(|other| other.name == member.name).unwrap();
            assert_eq!(left.stations[now], base.stations[before]);
            for (case, of_base) in left.transfers.iter().zip(base.transfers.iter()) {
                // Half a seam passes nothing on.
                let half = member.panels.len() == 1 && base.shell.members[before].panels.len() == 2;
                let wanted = if half { Transfer::default() } else { of_base[before] };
                assert_eq!(case[now], wanted);
            }
            assert_eq!(left.corners.has(now), member.panels.len() == 2, "{}", member.name);
        }
        loss::look_without(&p, &base, part).unwrap();
    }
}

#[test]
fn a_study_that_is_stopped_keeps_what_it_has_and_says_what_is_missing() {
    struct After(std::sync::atomic::AtomicUsize);
    impl strutwise::study::Watch for After {
        fn more(&self, _rows: usize) {}
        fn row(&self) {
            self.0.fetch_add(1, std::sync::atomic::Ordering::SeqCst);
        }
        fn stop(&self) -> bool {
            self.0.load(std::sync::atomic::Ordering::SeqCst) >= 1
        }
    }
    let p = project("[compare]\nsections = [\"47x75 mm\", \"38x63\", \"25x50\", \"60x80\"]\n");
    let pool = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap();
    let found = pool.install(|| compare::compare(&p, &After(0.into()))).unwrap();
    assert_eq!((found.candidates.len(), found.left_out), (1, 3));
    assert!(report::compare_text(&Title::of(&p), &found).contains("STOPPED, not finished: 3 rows"));
}
