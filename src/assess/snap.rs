//! Snap-through of a single joint, which a linear factor does not see.

use rayon::prelude::{IndexedParallelIterator, IntoParallelIterator, ParallelIterator};

use crate::assess::check::is_strength;
use crate::assess::conditions;
use crate::assess::demand::fixings_of;
use crate::assess::findings::Findings;
use crate::assess::results::SnapResult;
use crate::assess::run::lumped_in;
use crate::assess::setup::Setup;
use crate::assess::stability::two_figures;
use crate::frame::snap::{Snap, SnapBar, single_joint};
use crate::project::Project;
use crate::rules::fasteners::eurocode5::{Dowel, slip_modulus, slip_modulus_ultimate};
use crate::rules::seams::in_half;
use crate::shell::Member;
use crate::units::MILLIMETRE;
use crate::vector::Vec3;

/// The joint that snaps first of all, for its load.
#[derive(Debug, Clone)]
pub struct SnapFound {
    /// Joint.
    pub joint: usize,
    /// Combination that pushes it inward hardest.
    pub combination: usize,
    /// That push, design value \[N\].
    pub load: f64,
    /// Its limit.
    pub snap: Snap,
}

impl SnapFound {
    /// The share of its limit that is used; 0 where it does not snap.
    #[must_use]
    pub fn utilisation(&self) -> f64 {
        if self.snap.force.is_some() { 1.0 / self.snap.factor } else { 0.0 }
    }
}

/// Follows every free joint under the strength combination that pushes it inward hardest to its limit, and tells the lowest. Neighbours are held and bars have design
/// stiffness; the slip of the fixings at a bar's ends is in series with it where fixings are given.
pub(super) fn found(project: &Project, setup: &Setup) -> Option<SnapFound> {
    let shell = &setup.shell;
    let elastic = setup.material.elastic * conditions::design_stiffness(project, &setup.grade);
    let mut inward = vec![Vec3::zeros(); shell.joints.len()];
    for member in &shell.members {
        for joint in member.joints {
            inward[joint.0] -= member.outward;
        }
    }
    let mut worst: Vec<(f64, usize)> = vec![(0.0, 0); shell.joints.len()];
    for (i, combination) in setup.combinations.iter().enumerate().filter(|(_, c)| is_strength(c)) {
        let force = lumped_in(&setup.lumps, combination);
        for (j, slot) in worst.iter_mut().enumerate() {
            let push = inward[j].try_normalize(1e-9).map_or(0.0, |n| force[j].dot(&n));
            if push > slot.0 {
                *slot = (push, i);
            }
        }
    }
    // Every joint is followed: a formula of the mean slope misjudges joints whose bars fall away unevenly, by ten times and more.
    let one = |j: usize| {
        let (push, combination) = worst[j];
        if shell.joints[j].foot || push <= 0.0 {
            return None;
        }
        let bars = bars_at(project, setup, j, elastic);
        let load = inward[j].normalize() * push;
        let at = shell.joints[j].at;
        let mean = bars.iter().map(|b| b.slope(&at, &load).asin()).sum::<f64>() / bars.len().max(1) as f64;
        // One in the plane of its neighbours, or below, has nothing to snap through.
        let snap = (mean > 1e-6).then(|| single_joint(&at, &bars, &load).ok()).flatten()?;
        Some(SnapFound { joint: j, combination, load: load.norm(), snap })
    };
    let found: Vec<SnapFound> =
        (0..shell.joints.len()).into_par_iter().with_min_len(8).filter_map(one).collect();
    // Of equals the first stays.
    found.into_iter().reduce(|least, one| if one.snap.factor < least.snap.factor { one } else { least })
}

/// The bars that meet at a joint, each with the modulus `elastic` and its own slip.
fn bars_at(project: &Project, setup: &Setup, joint: usize, elastic: f64) -> Vec<SnapBar> {
    let bar = |(m, member): (usize, &Member)| {
        let [a, b] = member.joints;
        let far = if a.0 == joint {
            b
        } else if b.0 == joint {
            a
        } else {
            return None;
        };
        Some(SnapBar {
            neighbour: setup.shell.at(far),
            axial_stiffness: elastic * setup.timbers[m].whole.area,
            slip_stiffness: end_slip(project, setup, m),
        })
    };
    setup.shell.members.iter().enumerate().filter_map(bar).collect()
}

/// Stiffness of the slip at both ends of a bar together \[N/m\], infinite where no fixings are given.
///
/// At either end the fixings of half its seam carry the force of each of its strips (`in_half`), with `K_u` of
/// one shear plane (EN 1995-1-1 2.2.2, Table 7.1, from memory); the two ends are in series.
fn end_slip(project: &Project, setup: &Setup, m: usize) -> f64 {
    let Some(asked) = project.rules.fixings else { return f64::INFINITY };
    let (fixings, strip) = fixings_of(project, setup, &asked, m);
    let k_ser = slip_modulus(Dowel::Bolt, setup.material.density, fixings.diameter / MILLIMETRE);
    let one = slip_modulus_ultimate(k_ser) / MILLIMETRE;
    strip.count as f64 * in_half(fixings.per_seam) * one / 2.0
}

/// The snap in the words and units of the results.
pub(super) fn result(project: &Project, findings: &Findings) -> Option<SnapResult> {
    let f = findings.snap.as_ref()?;
    let setup = &findings.setup;
    let slips: Vec<f64> =
        bars_at(project, setup, f.joint, 1.0).iter().map(|bar| bar.slip_stiffness * 1e-6).collect();
    let (least, most) =
        slips.iter().fold((f64::INFINITY, 0.0_f64), |(a, b), &slip| (a.min(slip), b.max(slip)));
    let slip = if least.is_finite() {
        let [least, most] = [least, most].map(two_figures);
        let slips = if least == most { least } else { format!("{least} to {most}") };
        format!(
            "slip of the fixings at both ends of a bar together {slips} kN/mm (EN 1995-1-1 Table 7.1, K_u), hole clearance \
             not counted"
        )
    } else {
        "no slip at the bars' ends, since no fixings are given: the figure flatters".to_owned()
    };
    Some(SnapResult {
        joint: setup.shell.joints[f.joint].name.clone(),
        slope_deg: crate::units::degrees(f.snap.slope),
        load: f.load,
        force: f.snap.force,
        factor: f.snap.factor,
        combination: setup.combinations[f.combination].name.clone(),
        words: format!("The joint's neighbours are held and its bars turn freely; design stiffness; {slip}."),
    })
}

#[cfg(test)]
mod tests {
    use crate::assess::{Options, assess, example, shell_of};

    /// Bars fall away unevenly here, and a formula for even slopes ranks another joint before the one that snaps first.
    #[test]
    fn more_wind_never_makes_the_first_snap_later() {
        let text = "[project]\nname = \"t\"\nbasis = \"eurocode\"\n[shell]\nform = \"tunnel\"\nradius = 1.8\nfrequency = 2\n\
                    bands = 1\nends = [\"half-dome\", \"framed\"]\n[[shell.opening]]\nwidth = 0.8\nheight = 1.3\nfacing_deg = 72\n\
                    rim_strips = 1\nleaf = true\nsill = false\n[timber]\nbreadth = \"47 mm\"\ndepth = \"95 mm\"\nbevelled = true\n\
                    grade = \"C14\"\nservice_class = 1\n[joints]\nmodels = [\"pinned\"]\n[fixings]\nkind = \"bolt\"\n\
                    diameter = \"8 mm\"\nwasher = \"40 mm\"\nper_seam = 2\nlever = \"42.8 mm\"\n[cover]\nweight = \"3 kg/m2\"\n\
                    [snow]\nground = 500\n[wind]\npressure = PRESSURE\ndirections_deg = [0, 90, 180, 270]\n\
                    [feet]\nheld = \"pinned\"\nuplift = 5e3\nslide = 4e3\n";
        let factor = |pressure: f64| {
            let project = shell_of(&text.replace("PRESSURE", &pressure.to_string()));
            let found = crate::assess::find(&project).unwrap();
            let snap = found.snap.as_ref().unwrap().snap.factor;
            let told = super::result(&project, &found).unwrap();
            assert!((told.factor - snap).abs() < 1e-12);
            snap
        };
        let factors: Vec<f64> = [600.0, 871.431, 871.433, 1000.0].into_iter().map(factor).collect();
        // Snow alone makes one joint snap at 4.84, whatever the wind (8.58 if its shorter seams had both bolts, as the longest has).
        assert!((factors[0] - 4.842).abs() < 0.001, "{factors:?}");
        assert!(factors.windows(2).all(|pair| pair[1] <= pair[0] * (1.0 + 1e-9)), "{factors:?}");
    }

    #[test]
    fn a_joint_that_does_not_snap_is_not_told_before_one_that_does() {
        let found = assess(&example("potting-shed-barrel.toml"), &Options::default()).unwrap();
        let snap = found.snap.unwrap();
        assert!(snap.force.is_some() && snap.factor < 110.0, "{snap:?}");
    }
}
