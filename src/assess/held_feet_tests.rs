//! Held feet: their moment by the ends of the bars that meet there, its check, and what the answer rests on.

use super::*;
use crate::assess::results::{Assessment, Verdict};
use crate::assess::{Options, example, find};
use crate::frame::{BarId, bar};
use crate::model::ask::{FeetHeld, JointModel};
use crate::project::{Asked, SourceText, read_text};
use crate::vector::Vec3;

/// A barrel with stiff joints: over its limits on pinned feet, not over on held ones.
fn barrel(feet: &str) -> Box<Project> {
    let text = format!(
        "[project]\nname = \"held\"\nbasis = \"eurocode\"\n[shell]\nform = \"barrel\"\nprofile = \"circular\"\nspan = \"4 m\"\n\
         rise = \"1.9 m\"\nsegments = 6\nbays = 3\nbay_length = \"1.1 m\"\npattern = \"plain-left\"\nends = [\"open\", \"open\"]\n\
         [timber]\ngrade = \"C24\"\nbreadth = \"60 mm\"\ndepth = \"120 mm\"\nbevelled = true\nservice_class = 2\n\
         [joints]\nmodels = [\"rigid\"]\n\
         [fixings]\nkind = \"bolt\"\ndiameter = \"8 mm\"\nwasher = \"40 mm\"\nper_seam = 3\nlever = \"60 mm\"\nend = \"200 mm\"\n\
         [cover]\nweight = \"6 kg/m2\"\n[snow]\nground = \"0.8 kN/m2\"\n\
         [wind]\npressure = \"0.6 kN/m2\"\ndirections_deg = [0, 90, 180, 270]\ninternal_coefficients = [0.2, -0.3]\n\
         [feet]\nuplift = \"8 kN\"\nslide = \"6 kN\"\n{feet}\n"
    );
    let source = SourceText { name: "held.toml".to_owned(), text };
    let Asked::Shell(project) = read_text(source, std::path::Path::new("."), "held").unwrap() else {
        panic!("a barrel is a shell")
    };
    project
}

fn assessed(project: &Project) -> Assessment {
    crate::assess::assess(project, &Options::default()).unwrap()
}

/// No load stands on a joint but forces, so what the ground holds a foot with is the sum of what the bars' ends ask there, turned
/// into the axes of the whole.
#[test]
fn a_held_foot_holds_the_sum_of_the_bar_ends_that_meet_there() {
    let project = barrel("held = \"fixed\"");
    let found = find(&project).unwrap();
    let (setup, model) = (&found.setup, &found.models[0]);
    let frame = &model.run.model.frame;
    let mut compared = 0;
    for foot in &model.feet {
        let mut most = 0.0_f64;
        for (combination, state) in setup.combinations.iter().zip(&model.states) {
            if combination.state.is_service() {
                continue;
            }
            assert!(
                state.second_order.is_none(),
                "of first order, so that the ends add up in the places drawn"
            );
            let mut sum = Vec3::zeros();
            for (b, one) in frame.bars.iter().enumerate() {
                let axes = bar::line(frame, BarId(b)).unwrap().axes;
                for (end, node, sign) in [(0, one.from, -1.0), (1, one.to, 1.0)] {
                    if node.0 == foot.joint.0 {
                        let at = model.run.end(state, b, end);
                        sum += axes.tr_mul(&(sign * Vec3::new(at.t, at.my, at.mz)));
                    }
                }
            }
            most = most.max(sum.norm());
        }
        assert!((foot.moment.value - most).abs() < 1e-6 * (1.0 + most), "{} {most}", foot.moment.value);
        compared += usize::from(most > 100.0);
    }
    assert!(compared > 0, "no foot holds a moment that is worth comparing");
}

#[test]
fn what_no_strength_was_entered_for_is_told_and_never_within() {
    let pinned = assessed(&barrel("held = \"pinned\""));
    assert_eq!(pinned.verdict, Verdict::Over);
    assert!(pinned.feet.iter().all(|foot| foot.moment.to_bits() == 0 && foot.moment_utilisation.is_none()));
    assert!(!pinned.rests_on_feet && !pinned.warnings.iter().any(|w| w.contains("held against turning")));
    let held = assessed(&barrel("held = \"fixed\""));
    let worst = held.worst_list[0].utilisation;
    assert!(worst < 0.85, "the figures alone would be within: {worst}");
    assert_eq!((held.verdict, held.rests_on_feet), (Verdict::Near, true));
    assert_eq!(held.models[0].verdict, Verdict::Near);
    let foot = held.feet.iter().max_by(|a, b| a.moment.total_cmp(&b.moment)).unwrap();
    let figure = Show::new(crate::units::System::Metric).text(Kind::Moment, foot.moment);
    assert!(foot.moment > 100.0);
    assert!(
        held.headline.contains(&format!("held against turning by up to {figure} (foot {})", foot.joint)),
        "{}",
        held.headline
    );
    let warning = held.warnings.iter().find(|w| w.contains("held against turning")).unwrap();
    for part in [&figure, &foot.joint, &foot.combination["moment"], "rigid model", "nothing was compared"] {
        assert!(warning.contains(part), "{part}: {warning}");
    }
    assert!(held.assumptions.iter().any(|line| line.contains("feet.moment")));
}

#[test]
fn a_strength_against_turning_is_compared_with_the_moment() {
    let asked = assessed(&barrel("held = \"fixed\"")).feet.iter().map(|foot| foot.moment).fold(0.0, f64::max);
    // Near at best, as only the rigid model was asked for.
    for (times, verdict) in [(1.3, Verdict::Near), (0.8, Verdict::Over)] {
        let entered = times * asked;
        let got = assessed(&barrel(&format!("held = \"fixed\"\nmoment = {entered}")));
        assert_eq!((got.verdict, got.rests_on_feet), (verdict, false), "{times}");
        assert!(!got.warnings.iter().any(|w| w.contains("held against turning")));
        assert!(got.doubts.iter().all(|doubt| doubt.contains("seam model was left out")), "{:?}", got.doubts);
        let most = got.feet.iter().filter_map(|foot| foot.moment_utilisation).fold(0.0, f64::max);
        assert!((most * times - 1.0).abs() < 1e-9, "{most}");
        let item = got.worst_list.iter().find(|item| item.rule == "moment in the foot");
        // What is worked harder in the same foot stands in its place.
        if times < 1.0 {
            assert!((item.unwrap().utilisation * times - 1.0).abs() < 1e-9, "{item:?}");
            let working = got.workings.iter().find(|one| one.what == "foot").unwrap();
            assert!(working.checks.iter().any(|check| check.rule == "moment in the foot"));
        }
    }
}

/// By the US rules too, whose working is in inches and pounds.
#[test]
fn held_feet_of_a_us_dome_are_compared_and_told() {
    let mut project = example("grafting-dome-us.toml");
    project.joints.models = vec![JointModel::Rigid];
    project.joints.feet = FeetHeld::Fixed;
    let open = assessed(&project);
    let asked = open.feet.iter().map(|foot| foot.moment).fold(0.0, f64::max);
    assert!(asked > TELLING && open.verdict >= Verdict::Near, "{asked} {:?}", open.verdict);
    let warning = open.warnings.iter().find(|w| w.contains("held against turning")).unwrap();
    assert!(warning.contains("lbf·ft") && !warning.contains("kN"), "{warning}");
    project.rules.feet.moment = Some(0.25 * asked);
    let got = assessed(&project);
    assert_eq!(got.verdict, Verdict::Over);
    let most = got.feet.iter().filter_map(|foot| foot.moment_utilisation).fold(0.0, f64::max);
    assert!((most - 4.0).abs() < 1e-9, "{most}");
    let checks = got.workings.iter().filter(|one| one.what == "foot").flat_map(|one| &one.checks);
    let check = checks.into_iter().find(|check| check.rule == "moment in the foot").unwrap();
    let step = check.steps.iter().find(|step| step.symbol == "M_Ed").unwrap();
    assert!(step.unit == "lb·in" && (step.value * 0.112_984_829 / asked - 1.0).abs() < 1e-6, "{step:?}");
}
