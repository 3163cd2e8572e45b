//! The lowest limit of the nonlinear paths of one joint model, and which combinations are followed to find it.
//!
//! The combination of the lowest buckling factor need not give way first: a person on one joint of a shallow cap snaps it
//! through far below its factor, where a snow of a lower factor spreads and holds. To follow all of them would take longer than
//! everything else together. So each gets a low guess at its limit from its first-order answer ([`Guesses`]), and they are
//! followed from the lowest guess on, until no guess lies below the lowest limit found, [`MOST`] at most. A guess is no proof;
//! it only says what is worth following.

use rayon::prelude::{IntoParallelIterator, ParallelIterator};

use crate::assess::AssessError;
use crate::assess::buckling::shape_of_nodes;
use crate::assess::run::{Run, combined_loads};
use crate::assess::setup::Setup;
use crate::assess::stability::{Stability, counts, imperfection_size};
use crate::frame::limit::{Imperfection, LimitKind, LimitOptions, limit_of};
use crate::frame::second_order::softened;
use crate::frame::{EndFix, Response};
use crate::loads::Combination;
use crate::model::ask::JointModel;
use crate::vector::{Mat3, Vec3};

/// How far a nonlinear path is followed, as a factor on the combination.
pub const PATH_ENOUGH: f64 = 10.0;

/// Combinations of one model that are followed, at most.
const MOST: usize = 6;

/// The first step of a path, as a share of how far it is followed: up to [`PATH_ENOUGH`], and where it is only to be seen whether it
/// gives way before another. Most stand there, and two or three steps show it.
const SHORT: f64 = 0.1;
/// See [`SHORT`].
const LONGER: f64 = 0.3;

/// Combinations whose joints give way alike to this cosine stand for each other: the one of the lower guess is followed.
const ALIKE: f64 = 0.95;

/// Guesses as close as this, relative, of joints that give way as much altogether, are mirror images of each other.
const TWINS: f64 = 1e-6;

/// What the limit of a frame with its imperfection is at least, as a share of its linear factor: with hinged bars, and with joints that
/// pass moments. Our own guess, after domes, caps and barrels of which every combination was followed (0.09 to 0.4 of the factor were
/// found, and 0.9 and more); it decides what is followed, and is in no answer.
const KNOCKED_DOWN: [f64; 2] = [0.1, 0.3];

/// A combination is followed where this share of its guess lies below the lowest limit found: 0.7 times a guess was found to give way,
/// and no less.
const SPREAD: f64 = 0.6;

/// A joint on shallow hinged bars snaps at this share of the load that would push it flat, were its stiffness to stay what it is
/// at first: P = 2/(3√3) EA β³ over the linear EA β² · β gives 1/(3√3) = 0.19 (R. von Mises 1923; derived in
/// `tests/published/two_bar_truss.rs`).
const SNAPS_AT: f64 = 0.19;

/// The stiffness of a joint on shallow hinged bars falls by its first one, to none, and at the plane of its neighbours by half as much
/// again: below nothing by this share of it (the second derivative of the same).
const LOST: f64 = 0.5;

/// A joint that stands above its neighbours by less than this share of its distance from them is not looked at as one that may
/// snap: its movement inward says nothing of its being pushed flat.
const FLAT: f64 = 0.02;

/// The share of its height that an imperfection leaves a joint at least, in the guess.
const LEFT: f64 = 0.1;

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
/// design stiffness and the imperfection either way, in the combination's own shape (of stiff joints in that of the first too); the
/// lowest limit of all.
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
    // The lowest limit of one combination up to a factor that is enough.
    let follow = |i: usize, shapes: &[&[[f64; 6]]], enough: f64| -> Result<Limit, AssessError> {
        let loads = combined_loads(&setup.loads, &setup.combinations[i]);
        let first = if enough < PATH_ENOUGH { LONGER } else { SHORT };
        let options = LimitOptions { enough, first, ..LimitOptions::default() };
        let flaws: Vec<Imperfection<'_>> = shapes
            .iter()
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
    let guesses = Guesses::new(run, setup, stability, design, size);
    let stiff = is_stiff(run);
    let mut followed = vec![first];
    for &i in &guesses.order {
        if SPREAD * guesses.at[i] >= lowest.factor.min(PATH_ENOUGH) || followed.len() == MOST {
            break;
        }
        if followed.iter().any(|&other| guesses.stands_for(other, i)) {
            continue;
        }
        followed.push(i);
        let own = shape_of_nodes(run, &setup.combinations[i])?;
        // Timbers between stiff joints bow in their exact shapes, which those of nodes alone do not know.
        let shapes: &[&[[f64; 6]]] = if stiff { &[&own, &stability.shape] } else { &[&own] };
        let other = follow(i, shapes, lowest.factor.min(PATH_ENOUGH))?;
        if other.factor < lowest.factor {
            lowest = other;
        }
    }
    lowest.followed = followed.len();
    Ok(Some(lowest))
}

/// A low guess at every combination's limit.
struct Guesses {
    /// By combination; infinite for those that do not count.
    at: Vec<f64>,
    /// By combination: how much each joint gives way, 1 / the guess of that joint alone.
    ways: Vec<Vec<f64>>,
    /// Combinations that count, from the lowest guess on.
    order: Vec<usize>,
}

/// What lets a joint give way, linear in the answer to a load.
#[derive(Clone, Copy)]
struct Giving {
    /// What its bars' compression takes off its stiffness square to the surface, its neighbours standing still, as a share of that of
    /// the bars along themselves \[1\].
    pushed: f64,
    /// How far it moves into the plane of its neighbours, as a share of the movement at which it would snap \[1\].
    flattened: f64,
}

impl Guesses {
    fn new(run: &Run, setup: &Setup, stability: &Stability, design: f64, imperfection: f64) -> Self {
        let joints = Joint::all(run, setup, design, imperfection);
        let knocked_down = KNOCKED_DOWN[usize::from(is_stiff(run))];
        let cases: Vec<Vec<Giving>> = run
            .responses
            .iter()
            .map(|response| joints.iter().map(|joint| joint.giving(response, design)).collect())
            .collect();
        let count = setup.combinations.len();
        let (mut at, mut ways) = (vec![f64::INFINITY; count], vec![Vec::new(); count]);
        let counted = (0..count).filter(|&i| counts(&setup.combinations[i])).collect::<Vec<usize>>();
        let each: Vec<Vec<f64>> = counted
            .clone()
            .into_par_iter()
            .map(|i| ways_of(&cases, &setup.combinations[i], knocked_down))
            .collect();
        for (&i, way) in counted.iter().zip(each) {
            let whole = 1.0 / (knocked_down * stability.at_most[i]);
            at[i] = 1.0 / way.iter().fold(whole, |most, w| most.max(*w));
            ways[i] = way;
        }
        let mut order = counted;
        order.sort_by(|&a, &b| at[a].total_cmp(&at[b]).then(a.cmp(&b)));
        Self { at, ways, order }
    }

    /// Whether the path of one combination stands for that of another, which is then not followed.
    fn stands_for(&self, one: usize, other: usize) -> bool {
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
        let [a, b] = [one, other].map(|i| self.ways[i].as_slice());
        let (aa, bb) = (dot(a, a), dot(b, b));
        let near = |x: f64, y: f64| (x - y).abs() <= TWINS * x.abs().max(y.abs());
        let twins = near(self.at[one], self.at[other]) && near(aa, bb);
        let not_before = self.at[other] >= self.at[one] * (1.0 - TWINS);
        twins || (not_before && dot(a, b) >= ALIKE * (aa * bb).sqrt())
    }
}

/// Whether joints pass moments to the timbers.
fn is_stiff(run: &Run) -> bool {
    matches!(run.model.kind, JointModel::SemiRigid | JointModel::Rigid)
}

/// How much every joint gives way under a combination.
fn ways_of(cases: &[Vec<Giving>], combination: &Combination, knocked_down: f64) -> Vec<f64> {
    let mut sum = vec![Giving { pushed: 0.0, flattened: 0.0 }; cases.first().map_or(0, Vec::len)];
    for &(case, factor) in &combination.terms {
        for (sum, part) in sum.iter_mut().zip(&cases[case.0]) {
            sum.pushed += factor * part.pushed;
            sum.flattened += factor * part.flattened;
        }
    }
    sum.iter().map(|g| g.pushed.max(0.0) / knocked_down + g.flattened.max(0.0)).collect()
}

/// A joint that is free to move, seen along the direction in which its bars hold it least.
struct Joint {
    node: usize,
    way: Vec3,
    bars: Vec<BarAt>,
    /// How far inward it would move before it snaps, its stiffness staying what it is at first \[m\]; none where it does not stand above
    /// its neighbours.
    snaps_after: Option<f64>,
    /// Stiffness of its bars in that direction, its neighbours standing still \[N/m\].
    stiffness: f64,
}

/// A bar at a joint.
struct BarAt {
    bar: usize,
    far: usize,
    /// (1 − s²)/L, with s the sine of its slope: what its axial force takes off the joint's stiffness, per newton \[1/m\].
    per_force: f64,
}

/// EA of a bar \[N\].
fn along(run: &Run, bar: usize) -> f64 {
    let section = &run.model.frame.bars[bar].section;
    section.elastic * section.area
}

/// What holds a bar's end across it, its other end clamped and this one free to turn, times its length cubed: 3EI by the weaker
/// axis where its ends are rigid, nothing else \[N·m²\].
fn across(run: &Run, bar: usize) -> f64 {
    let bar = &run.model.frame.bars[bar];
    let section = &bar.section;
    if bar.ends.iter().all(|end| matches!(end, EndFix::Rigid)) {
        3.0 * section.elastic * section.second_moment_y.min(section.second_moment_z)
    } else {
        0.0
    }
}

/// The direction in which the bars at a joint, each along itself, hold it least, the way that is rather outward; none where it has no
/// bar.
fn softest(run: &Run, setup: &Setup, node: usize, bars: &[(usize, usize)], outward: &Vec3) -> Option<Vec3> {
    let joints = &setup.shell.joints;
    let mut stiffness = Mat3::zeros();
    for &(bar, far) in bars {
        let chord = joints[node].at - joints[far].at;
        stiffness += chord * chord.transpose() * (along(run, bar) / chord.norm().powi(3));
    }
    let found = stiffness.symmetric_eigen();
    let least = found.eigenvalues.imin();
    let way: Vec3 = found.eigenvectors.column(least).into();
    (!bars.is_empty()).then(|| if way.dot(outward) < 0.0 { -way } else { way })
}

impl Joint {
    fn all(run: &Run, setup: &Setup, design: f64, imperfection: f64) -> Vec<Self> {
        let shell = &setup.shell;
        let mut outward = vec![Vec3::zeros(); shell.joints.len()];
        let mut bars: Vec<Vec<(usize, usize)>> = vec![Vec::new(); shell.joints.len()];
        for (bar, member) in shell.members.iter().enumerate() {
            let [a, b] = member.joints.map(|joint| joint.0);
            for (near, far) in [(a, b), (b, a)] {
                outward[near] += member.outward;
                bars[near].push((bar, far));
            }
        }
        let mut joints = Vec::new();
        for (node, (outward, bars)) in outward.iter().zip(bars).enumerate() {
            let Some(outward) = outward.try_normalize(1e-9) else { continue };
            if shell.joints[node].foot {
                continue;
            }
            let Some(way) = softest(run, setup, node, &bars, &outward) else { continue };
            let (mut height, mut distance, mut shallow, mut bending) = (0.0, 0.0, 0.0, 0.0);
            let mut at = Vec::new();
            for (bar, far) in bars {
                let chord = shell.joints[node].at - shell.joints[far].at;
                let length = chord.norm();
                let rises = chord.dot(&way);
                let slope = rises / length;
                shallow += design * along(run, bar) / length * slope * slope;
                bending += design * across(run, bar) / length.powi(3);
                (height, distance) = (height + rises, distance + length);
                at.push(BarAt { bar, far, per_force: (1.0 - slope * slope) / length });
            }
            let count = at.len() as f64;
            let (height, distance) = (height / count, distance / count);
            // An imperfection takes off the height, and off the stiffness by its square: off the limit by its cube.
            // What bending adds stays as it is, and where it outweighs what the bars lose along themselves nothing snaps.
            let lost = 1.0 - bending / (LOST * shallow);
            let snaps_after = (height > FLAT * distance && lost > 0.0)
                .then(|| height * SNAPS_AT * (1.0 - imperfection / height).max(LEFT).powi(3) / lost);
            let stiffness = shallow + bending;
            joints.push(Self { node, way, bars: at, snaps_after, stiffness });
        }
        joints
    }

    fn giving(&self, response: &Response, design: f64) -> Giving {
        let moved = |node: usize| {
            let [x, y, z, ..] = response.displacements[node];
            Vec3::new(x, y, z).dot(&self.way)
        };
        let pushed: f64 = self
            .bars
            .iter()
            .map(|at| {
                let ends = &response.bar_ends[at.bar];
                -0.5 * (ends[0].n + ends[1].n) * at.per_force
            })
            .sum();
        let neighbours = self.bars.iter().map(|at| moved(at.far)).sum::<f64>() / self.bars.len() as f64;
        let inward = (neighbours - moved(self.node)) / design;
        let flattened = self.snaps_after.map_or(0.0, |after| inward / after);
        Giving { pushed: if self.stiffness > 0.0 { pushed / self.stiffness } else { 0.0 }, flattened }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assess::buckling::buckling;
    use crate::assess::conditions::design_stiffness;
    use crate::assess::setup::setup;
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
            let guesses = Guesses::new(&run, &setup, &stability, design, size);
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
}
