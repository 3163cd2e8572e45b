//! The lowest limit of the nonlinear paths of one joint model, and which combinations are followed to find it.
//!
//! The combination of the lowest buckling factor need not give way first: a person on one joint of a shallow cap snaps it
//! through far below its factor, where a snow of a lower factor spreads and holds. To follow all of them would take longer than
//! everything else together. So each gets a low guess at its limit from its first-order answer (`guesses.rs`), and they are
//! followed from the lowest guess on, up to the lowest limit found or the linear factor, until no guess lies below that, six
//! at most. A guess is no proof; it only says what is worth following.

use rayon::prelude::{IntoParallelIterator, ParallelIterator};

use crate::assess::AssessError;
use crate::assess::buckling::shape_of_nodes;
use crate::assess::guesses::{Guesses, is_stiff};
use crate::assess::run::{Run, combined_loads};
use crate::assess::setup::Setup;
use crate::assess::stability::{Stability, imperfection_size, joints_alone};
use crate::frame::limit::{Imperfection, LimitKind, LimitOptions, limit_of};
use crate::frame::second_order::softened;

/// How far a nonlinear path is followed, as a factor on the combination.
pub const PATH_ENOUGH: f64 = 10.0;

/// Combinations of one model that are followed, at most.
const MOST: usize = 6;

/// The first step of a path, as a share of how far it is followed: up to [`PATH_ENOUGH`], and where it is only to be seen whether it
/// gives way before another. Most stand there, and two or three steps show it.
const SHORT: f64 = 0.1;
/// See [`SHORT`].
const LONGER: f64 = 0.5;

/// A combination is followed where this share of its guess lies below the lowest limit found: 0.7 times a guess was found to give way,
/// and no less.
const SPREAD: f64 = 0.6;

/// The lowest limit of the nonlinear paths that were followed.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// Factor on the combination at the limit or branch point, or as far as the paths were followed.
    pub factor: f64,
    /// Whether a limit was reached; otherwise `factor` is a lower bound.
    pub reached: bool,
    /// The combination.
    pub combination: usize,
    /// How many combinations were followed.
    pub followed: usize,
}

/// Follows the nonlinear path of the combination with the lowest linear factor, and of those that may give way before it, with
/// design stiffness and the imperfection either way, in the combination's own shape (of stiff joints in that of the first, and of the
/// same frame hinged, too); the lowest limit of all that lie below the linear factor.
///
/// # Errors
/// A frame that cannot be followed at all.
pub fn limit(
    run: &Run,
    setup: &Setup,
    stability: &Stability,
    design: f64,
) -> Result<Option<Limit>, AssessError> {
    let Some(first) = stability.combination else { return Ok(None) };
    let frame = softened(&run.model.frame, design);
    let size = imperfection_size(setup);
    let stiff = is_stiff(run);
    // Between stiff joints timbers bow and joints turn in the lowest shape; what moves one joint alone may press a dome in long before.
    let dented = if stiff { joints_alone(run, &setup.combinations[first])? } else { Vec::new() };
    // The lowest limit of one combination up to a factor that is enough.
    let follow = |i: usize, shapes: &[&[[f64; 6]]], enough: f64| -> Result<Limit, AssessError> {
        let loads = combined_loads(&setup.loads, &setup.combinations[i]);
        let first = if enough < PATH_ENOUGH { LONGER } else { SHORT };
        let options = LimitOptions { enough, first, ..LimitOptions::default() };
        let flaws: Vec<Imperfection<'_>> = shapes
            .iter()
            .copied()
            .chain(Some(dented.as_slice()).filter(|dented| !dented.is_empty()))
            .flat_map(|shape| [size, -size].map(|amplitude| Imperfection { shape, amplitude }))
            .collect();
        let found: Vec<_> =
            flaws.into_par_iter().map(|flaw| limit_of(&frame, &loads, Some(flaw), &options)).collect();
        let mut lower = Limit { factor: f64::INFINITY, reached: false, combination: i, followed: 1 };
        for result in found {
            let result = result?;
            if result.factor < lower.factor {
                lower.factor = result.factor;
                lower.reached = matches!(result.kind, LimitKind::Limit | LimitKind::Branch);
            }
        }
        Ok(lower)
    };
    let mut lowest = follow(first, &[&stability.shape], PATH_ENOUGH)?;
    let guesses = Guesses::new(run, setup, stability, design, size)?;
    let mut followed = vec![first];
    for &i in &guesses.order {
        // What gives way beyond the linear factor tells nothing more: the lower of the two counts.
        let enough = stability.factor.into_iter().fold(lowest.factor.min(PATH_ENOUGH), f64::min);
        if SPREAD * guesses.at[i] >= enough || followed.len() == MOST {
            break;
        }
        if followed.iter().any(|&other| guesses.stands_for(other, i)) {
            continue;
        }
        followed.push(i);
        let own = shape_of_nodes(run, &setup.combinations[i])?;
        // Timbers between stiff joints bow in their exact shapes, which those of nodes alone do not know.
        let shapes: &[&[[f64; 6]]] = if stiff { &[&own, &stability.shape] } else { &[&own] };
        let other = follow(i, shapes, enough)?;
        if other.factor < enough {
            lowest = other;
        }
    }
    lowest.followed = followed.len();
    Ok(Some(lowest))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assess::buckling::buckling;
    use crate::assess::conditions::design_stiffness;
    use crate::assess::setup::setup;
    use crate::assess::stability::counts;
    use crate::model::ask::JointModel;
    use crate::project::{Asked, Project, SourceText, read_text};

    /// A shallow cap of thin timbers, with snow, a person or both on it.
    fn cap(frequency: u8, snow: Option<&str>, person: Option<&str>) -> Project {
        let mut text = format!(
            "[project]\nname = \"cap\"\nbasis = \"eurocode\"\n\
             [shell]\nform = \"dome\"\nradius = \"6 m\"\nfrequency = {frequency}\nup = \"vertex\"\nbase = \"5.3 m\"\n\
             [timber]\ngrade = \"C24\"\nbreadth = \"47 mm\"\ndepth = \"75 mm\"\nservice_class = 3\n\
             [joints]\nseam_stiffness = \"3 kN m/rad per m\"\n\
             [cover]\nweight = \"9 kg/m2\"\nsource = \"made up\"\n\
             [wind]\nleft_out = \"made up\"\n"
        );
        text += &match snow {
            Some(ground) => format!("[snow]\nground = \"{ground}\"\nsource = \"made up\"\n"),
            None => "[snow]\nleft_out = \"made up\"\n".to_owned(),
        };
        if let Some(weight) = person {
            text += &format!("[imposed]\nperson = \"{weight}\"\n");
        }
        let source = SourceText { name: "cap.toml".to_owned(), text };
        let Ok(Asked::Shell(project)) = read_text(source, std::path::Path::new("."), "cap") else { panic!() };
        *project
    }

    /// A model of it, its stability and its lowest limit.
    fn model(project: &Project, kind: JointModel) -> (Setup, Run, Stability, f64, Limit) {
        let setup = setup(project).unwrap();
        let run = Run::new(&setup, kind, project.joints.feet).unwrap();
        let design = design_stiffness(project, &setup.grade);
        let stability = buckling(&run, &setup.combinations, design).unwrap();
        let limit = limit(&run, &setup, &stability, design).unwrap().unwrap();
        (setup, run, stability, design, limit)
    }

    /// Snow spreads and holds, and a person on one joint snaps it through below the snow's limit, though the snow's linear factor is the
    /// lower: with both entered the limit had been the snow's, as if the person were no load.
    #[test]
    fn a_load_more_never_raises_the_limit() {
        for kind in [JointModel::Pinned, JointModel::Seam] {
            let of = |snow, person| model(&cap(8, snow, person), kind);
            let (_, _, under_snow, _, snow) = of(Some("5.5 kN/m2"), None);
            let (_, _, under_person, _, person) = of(None, Some("2 kN"));
            let (setup, _, under_both, _, both) = of(Some("5.5 kN/m2"), Some("2 kN"));
            assert!(under_snow.factor < under_person.factor && snow.factor > 1.2 * person.factor);
            assert_eq!(under_both.factor.map(f64::to_bits), under_snow.factor.map(f64::to_bits));
            assert!(both.reached && both.combination != under_both.combination.unwrap());
            assert!(setup.combinations[both.combination].name.contains("person on"), "{both:?}");
            assert!((both.factor / person.factor - 1.0).abs() < 0.01, "{} {}", both.factor, person.factor);
        }
    }

    /// Followed one and all, no combination gives way before the one that is told.
    #[test]
    fn what_gives_way_first_of_all_is_among_those_followed() {
        for (frequency, kind) in [(6, JointModel::Pinned), (8, JointModel::Seam)] {
            let project = cap(frequency, Some("0.6 kN/m2"), Some("1 kN"));
            let (setup, run, stability, design, found) = model(&project, kind);
            let (frame, size) = (softened(&run.model.frame, design), imperfection_size(&setup));
            let guesses = Guesses::new(&run, &setup, &stability, design, size).unwrap();
            let options = LimitOptions { enough: PATH_ENOUGH, ..LimitOptions::default() };
            let alone = |&i: &usize| {
                let loads = combined_loads(&setup.loads, &setup.combinations[i]);
                let shape = shape_of_nodes(&run, &setup.combinations[i]).unwrap();
                let limit = |amplitude: f64| {
                    let flaw = Imperfection { shape: &shape, amplitude };
                    limit_of(&frame, &loads, Some(flaw), &options).unwrap().factor
                };
                (i, limit(size).min(limit(-size)))
            };
            let all: Vec<(usize, f64)> = guesses.order.iter().map(alone).collect();
            let lowest = all.iter().map(|(_, factor)| *factor).fold(f64::INFINITY, f64::min);
            assert!(found.reached && found.followed > 1 && found.followed <= MOST, "{found:?}");
            assert!(found.factor < lowest * 1.01 && found.factor > lowest * 0.99, "{found:?} {lowest}");
            for (i, factor) in all {
                assert!(factor >= SPREAD * guesses.at[i].min(PATH_ENOUGH), "{i}: {factor} {}", guesses.at[i]);
            }
        }
    }

    /// Joints of a rigid cap turn and timbers bow in its lowest shape; a joint dented as that of the same cap hinged gives way sooner.
    #[test]
    fn stiff_joints_are_dented_as_hinged_ones_too() {
        let (setup, run, stability, design, found) = model(&cap(6, None, Some("8 kN")), JointModel::Rigid);
        let frame = softened(&run.model.frame, design);
        let options = LimitOptions { enough: PATH_ENOUGH, ..LimitOptions::default() };
        let own_shape_alone =
            (0..setup.combinations.len()).filter(|&i| counts(&setup.combinations[i])).map(|i| {
                let loads = combined_loads(&setup.loads, &setup.combinations[i]);
                let limit = |amplitude: f64| {
                    let flaw = Imperfection { shape: &stability.shape, amplitude };
                    limit_of(&frame, &loads, Some(flaw), &options).unwrap().factor
                };
                limit(imperfection_size(&setup)).min(limit(-imperfection_size(&setup)))
            });
        let lowest = own_shape_alone.fold(f64::INFINITY, f64::min);
        assert!(found.reached && found.factor < 0.95 * lowest, "{} {lowest}", found.factor);
    }
}
