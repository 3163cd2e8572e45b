//! The most compressed timber at the feet as a column, by hand: its force from the weight that stands on the
//! feet, its strength from Euler's load. Neither uses the solver, nor the buckling curve of the code.

use std::f64::consts::PI;

use crate::assess::check::{hole, is_strength};
use crate::assess::conditions::conditions;
use crate::assess::findings::{Findings, ModelFindings};
use crate::assess::results::HandCheck;
use crate::assess::run::lumped_in;
use crate::project::Project;
use crate::rules::ask::SideHold;
use crate::rules::members::{self, MemberInput};
use crate::section::forces::StripForces;
use crate::shell::MemberId;
use crate::tables::grade::Grade;
use crate::vector::Vec3;

/// Timbers that rise from a foot by less than this sine lie along the ground.
const RISING: f64 = 0.2;
/// The solver's force over that by hand, as long as the formula says something of it (own choice).
const NEAR_ENOUGH: std::ops::Range<f64> = 0.5..3.0;
/// A column so short that it cannot buckle \[m\]: what the code gives it is the strength of the timber.
const STUB: f64 = 1e-3;

/// Force and strength of the most compressed timber at the feet, under the heaviest strength combination, in the
/// softest model that could be solved.
pub(super) fn column(project: &Project, found: &Findings, model: &ModelFindings) -> Option<[HandCheck; 2]> {
    let setup = &found.setup;
    let weight = |i: usize| {
        let forces = lumped_in(&setup.lumps, &setup.combinations[i]);
        -forces.iter().map(|f| f.z).sum::<f64>()
    };
    // Of equals the first stays.
    let (heaviest, total) = (0..setup.combinations.len())
        .filter(|&i| is_strength(&setup.combinations[i]))
        .map(|i| (i, weight(i)))
        .fold(None, |best: Option<(usize, f64)>, this| match best {
            Some(b) if b.1 >= this.1 => Some(b),
            _ => Some(this),
        })
        .filter(|b| b.1 > 0.0)?;
    let rising: Vec<(usize, f64)> = (0..setup.shell.members.len())
        .filter_map(|m| {
            let [a, b] = setup.shell.members[m].joints;
            let feet = [a, b].map(|joint| setup.shell.joints[joint.0].foot);
            let up: Vec3 = setup.shell.at(b) - setup.shell.at(a);
            let sine = up.z.abs() / up.norm();
            (feet[0] != feet[1] && sine > RISING).then_some((m, sine))
        })
        .collect();
    let sines: f64 = rising.iter().map(|(_, sine)| sine * sine).sum();
    let state = model.states.get(heaviest)?;
    let force = |m: usize| 0.5 * (model.run.end(state, m, 0).n + model.run.end(state, m, 1).n);
    let (member, sine) = rising.iter().copied().reduce(|a, b| if force(b.0) < force(a.0) { b } else { a })?;
    let name = &setup.shell.members[member].name;
    let combination = &setup.combinations[heaviest].name;
    let push = HandCheck {
        what: format!("Force in {name}, of the timbers that rise from the feet the one pushed hardest"),
        working: format!(
            "N = −W sin α / Σ sin²α = −{:.2} kN × {sine:.3} / {sines:.2}, over {} timbers; {combination}",
            total * 1e-3,
            rising.len()
        ),
        hand: -total * sine / sines,
        solver: force(member),
        unit: "N".into(),
        remark: push_remark(force(member) / (-total * sine / sines)),
    };
    Some([push, strength(project, found, member, heaviest)?])
}

/// What the force by hand holds, and, where the solver's is far from it, why that may be.
fn push_remark(ratio: f64) -> String {
    let mut remark = "By hand they share the weight evenly, each by its slope, and carry nothing else. In the solver \
                      the hardest pushed of them mostly has more than that, the more so the less evenly load and feet \
                      lie."
        .to_owned();
    if !NEAR_ENOUGH.contains(&ratio) {
        remark.push_str(
            " Here the two are too far apart for one to check the other: the formula knows no push outward, no \
             bending and no turning of the shell. Two rows of feet close together that hold an arch from turning, or \
             timbers at a foot of which one pushes while its neighbour pulls, do that; which it is, the forces at \
             the feet must tell.",
        );
    }
    remark
}

/// The strength of the column: Rankine's rule for the timber's strength and Euler's load, beside the code's own.
fn strength(project: &Project, found: &Findings, member: usize, combination: usize) -> Option<HandCheck> {
    let setup = &found.setup;
    let timber = &setup.timbers[member];
    let section = timber.strip;
    let length = setup.shell.length(MemberId(member));
    let conditions = conditions(project, &setup.combinations[combination]);
    let restraint = project.rules.members.restraint;
    // What the code lets one strip carry as a column of a length: a force of one newton uses one over that.
    let carries = |length: f64| {
        let one = [StripForces { n: -1.0, ..StripForces::default() }];
        let input = MemberInput {
            section,
            length,
            grade: &setup.grade,
            conditions,
            restraint,
            hole: hole(project, setup, member),
            forces: &one,
            places: &[0.0],
        };
        let used = members::worst(&input).ok()?.utilisation;
        (used > 0.0 && used < 1.0).then(|| 1.0 / used)
    };
    let (stub, code) = (carries(STUB)?, carries(length)?);
    // The weaker way to bow, of those that nothing holds.
    let out_of_surface = section.second_moment_y / restraint.length_factor_y.powi(2);
    let stiff = if restraint.side == SideHold::None {
        out_of_surface.min(section.second_moment_z / restraint.length_factor_z.powi(2))
    } else {
        out_of_surface
    };
    let per_modulus = PI * PI * stiff / (length * length);
    // Strength and stiffness on one footing: both characteristic by the Eurocode, whose buckling curve goes by them;
    // both as the NDS adjusts them.
    let (crush, modulus) = match &setup.grade {
        Grade::Eurocode(g) => (g.f_c_0_k * section.area, g.e_0_05),
        Grade::Nds(g) => {
            let lrfd = members::stability_format_factor(project.loads.basis);
            let service = members::service_modulus_factor(&setup.grade, &conditions);
            (stub, g.reference().e_min * service * lrfd)
        }
    };
    let euler = per_modulus * modulus;
    let share = 1.0 / (1.0 + crush / euler);
    let count = timber.count as f64;
    Some(HandCheck {
        what: format!("What {} can carry as a column, {}", setup.shell.members[member].name, strips(timber.count)),
        working: format!(
            "N_c / (1 + N_k / N_E), N_c = {:.1} kN, N_k = {:.1} kN, N_E = π² E I / L² = {:.1} kN; E = {:.0} N/mm², \
             I = {:.1} cm⁴, L = {:.0} mm",
            stub * count * 1e-3,
            crush * count * 1e-3,
            euler * count * 1e-3,
            modulus * 1e-6,
            stiff * count * 1e8,
            length * 1e3
        ),
        hand: stub * share * count,
        solver: code * count,
        unit: "N".into(),
        remark: "Rankine's rule (textbook) between the strength of a stub, N_c, and Euler's load, with the stiffness \
                 that the code takes for stability; N_k is the strength on the same footing as that. In the other \
                 column is what the code's own curve gives. Rankine's is the lower one by up to a third for timbers \
                 of middling length; for slender ones the two come together."
            .into(),
    })
}

fn strips(count: usize) -> String {
    if count == 1 { "its one strip".to_owned() } else { format!("its {count} strips together") }
}

#[cfg(test)]
mod tests {
    use crate::assess::{Options, find};

    /// A force that the formula does not reach is told with what the formula leaves out.
    #[test]
    fn a_force_far_from_that_by_hand_is_given_its_reason() {
        for (ratio, far) in [(-0.6, true), (0.41, true), (0.6, false), (2.8, false), (9.3, true)] {
            assert_eq!(super::push_remark(ratio).contains("too far apart"), far, "{ratio}");
        }
    }

    /// By hand and by solver the two stand within what the remarks say, on either basis; they are not one figure
    /// told twice.
    #[test]
    fn the_column_by_hand_is_near_the_solver_and_not_the_same() {
        for file in ["apple-store-dome.toml", "grafting-dome-us.toml"] {
            let project = crate::assess::example(file);
            let found = find(&project).unwrap();
            let results = crate::assess::fill::results(&project, &found, &Options::default()).unwrap();
            let checks = &results.hand_checks;
            let push = checks.iter().find(|c| c.what.starts_with("Force in")).unwrap();
            let ratio = push.solver / push.hand;
            assert!((0.5..3.0).contains(&ratio) && (ratio - 1.0).abs() > 1e-6, "{file} {push:?}");
            let column = checks.iter().find(|c| c.what.starts_with("What")).unwrap();
            let ratio = column.hand / column.solver;
            assert!((0.6..1.1).contains(&ratio) && (ratio - 1.0).abs() > 1e-6, "{file} {column:?}");
        }
    }
}
