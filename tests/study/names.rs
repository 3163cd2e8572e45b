//! Studies of what stands somewhere by name, may go, or has its own number of strips.

use strutwise::loads::ask::Given;
use strutwise::project::Project;
use strutwise::project::schema_study::{SpanAsk, Vary};
use strutwise::study::{Quiet, loss, sensitivity, span};

use crate::{SHELTER, project};

fn hoisted() -> Project {
    let shell = strutwise::shell::build(&project("").shell).unwrap();
    let crown = shell.joints.iter().max_by(|a, b| a.at.z.total_cmp(&b.at.z)).unwrap();
    project(&format!(
        "[[imposed.hanging]]\nname = \"hoist\"\njoints = [\"{}\"]\nforce = \"200 N\"\npermanent = false\n",
        crown.name
    ))
}

/// A dome of another frequency has another joint by the name of its crown: it is not swept as if the hoist still hung there.
#[test]
fn a_sweep_that_numbers_joints_anew_leaves_named_loads_alone() {
    let ask = |vary, range| SpanAsk { vary, range, steps: 2, timbers: Vec::new() };
    let frequencies = span::sweep(&hoisted(), &ask(Vary::Frequency, [2.0, 3.0]), &Quiet).unwrap();
    let steps = &frequencies.sweeps[0].steps;
    assert!(steps[0].row.is_some() && steps[1].row.is_none());
    assert!(steps[1].fault.as_ref().unwrap().contains("name joints"), "{:?}", steps[1].fault);
    // A larger one has the same joints, and one where nothing is named may have any.
    let sizes = span::sweep(&hoisted(), &ask(Vary::Radius, [2.0, 2.2]), &Quiet).unwrap();
    assert!(sizes.sweeps[0].steps.iter().all(|step| step.row.is_some()));
    let plain = span::sweep(&project(""), &ask(Vary::Frequency, [2.0, 3.0]), &Quiet).unwrap();
    assert!(plain.sweeps[0].steps.iter().all(|step| step.row.is_some()));
}

/// A cover that may go holds nothing down where a part is lost.
#[test]
fn a_cover_that_may_go_is_not_counted_on_in_a_loss() {
    let mut heavy = project("");
    let Given::Value(cover) = &mut heavy.loads.cover else { panic!("a cover") };
    cover.weight *= 6.0;
    let held = loss::losses(&heavy, &Quiet).unwrap().whole.uplift.unwrap();
    let Given::Value(cover) = &mut heavy.loads.cover else { panic!("a cover") };
    cover.removable = true;
    let loose = loss::losses(&heavy, &Quiet).unwrap().whole.uplift.unwrap();
    heavy.loads.cover = Given::LeftOut("gone".to_owned());
    let gone = loss::losses(&heavy, &Quiet).unwrap().whole.uplift.unwrap();
    assert!(loose > held + 100.0 && (loose - gone).abs() < 1e-6 * gone, "{held} {loose} {gone}");
}

/// An opening says itself how many strips its rim has: one more is one more than that.
#[test]
fn one_strip_more_in_a_rim_is_one_more_than_it_has() {
    let door = |strips: usize| {
        let door = format!(
            "up        = \"vertex\"\n[[shell.opening]]\nwidth = 0.7\nheight = 1.0\nfacing_deg = 0\nrim_strips = {strips}\n"
        );
        crate::read(&SHELTER.replace("up        = \"vertex\"\n", &door))
    };
    let changed = |strips: usize| {
        let found = sensitivity::sensitivity(&door(strips), &Quiet).unwrap();
        found
            .changes
            .iter()
            .find(|c| c.what == "one strip more in the rims of openings")
            .unwrap()
            .worst
            .unwrap()
    };
    for strips in [1, 2, 3] {
        let checked = strutwise::study::row::row(&strutwise::study::look_whole(&door(strips + 1)).unwrap());
        assert_eq!(Some(changed(strips)), checked.worst, "{strips}");
    }
}
