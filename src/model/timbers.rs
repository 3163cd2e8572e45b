//! Which timber every member is made of: strips, how many, and how they act together.

use rayon::prelude::{IndexedParallelIterator, IntoParallelIterator, ParallelIterator};

use crate::section::Section;
use crate::section::ask::TimberAsk;
use crate::section::strip;
use crate::shell::{MemberId, MemberKind, Shell};

/// Why a member cannot be made as asked.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ModelError {
    /// A strip's section cannot be cut.
    #[error("member {member}: {source}")]
    Section {
        /// Name of the member.
        member: String,
        /// What is wrong with the section.
        source: crate::section::SectionError,
    },
    /// Two joints of a member coincide, or its normal is along it.
    #[error("member {member} has no length, or the surface's normal runs along it")]
    NoAxes {
        /// Name of the member.
        member: String,
    },
}

/// What a member is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Timber {
    /// One finished strip.
    pub strip: Section,
    /// How many lie side by side.
    pub count: usize,
    /// All of them together.
    pub whole: Section,
    /// Half the fold angle that a side is ripped to \[rad\]; 0 for a plain rectangle. Signed: ridge
    /// positive.
    pub bevel: f64,
    /// Whether they belong to two panels, a half of them and of all that the member carries to each.
    pub parted: bool,
}

impl Timber {
    /// Over how many one strip shares what the member carries: all of them, or twice those of the panel that has fewer. Of an odd number in a
    /// seam one panel has one less for the same half: for the fixings to share out evenly, the difference would have to cross them.
    #[must_use]
    pub fn sharing(&self) -> f64 {
        let sharing = if self.parted && self.count > 1 { 2 * (self.count / 2) } else { self.count };
        sharing as f64
    }
}

/// The timber of every member, in the order of [`Shell::members`].
///
/// Two strips to a seam and one to a rim or bar, unless the member's group or the opening whose rim it
/// is says otherwise. Only a seam's sides are ripped. A group's own values are those of its finished strip.
///
/// # Errors
/// [`ModelError::Section`] where the bevel eats the whole breadth.
pub fn timbers(shell: &Shell, ask: &TimberAsk) -> Result<Vec<Timber>, ModelError> {
    // Torsion of a trapezium is a long sum: a large shell has thousands.
    let each = (0..shell.members.len()).into_par_iter().with_min_len(64);
    // Of several faults the first member's is told.
    let made: Vec<Result<Timber, ModelError>> = each.map(|i| timber(shell, MemberId(i), ask)).collect();
    made.into_iter().collect()
}

fn timber(shell: &Shell, id: MemberId, ask: &TimberAsk) -> Result<Timber, ModelError> {
    let member = &shell.members[id.0];
    let group = ask.groups.iter().find(|g| g.roles.contains(&member.role));
    let (breadth, depth) = group.map_or((ask.breadth, ask.depth), |g| (g.breadth, g.depth));
    let is_seam = member.kind == MemberKind::Seam;
    let count = group
        .and_then(|g| g.strips)
        .or_else(|| shell.rim_strips(id))
        .unwrap_or(if is_seam { 2 } else { 1 })
        .max(1);
    let bevelled = ask.bevelled && is_seam;
    let strip = strip::strip(breadth, depth, member.fold, bevelled)
        .map_err(|source| ModelError::Section { member: member.name.clone(), source })?;
    let strip = group.and_then(|g| g.own).unwrap_or(strip);
    let composite = if is_seam { ask.composite } else { 0.0 };
    let whole = strip::together(&strip, count, composite);
    let bevel = if bevelled { 0.5 * member.fold } else { 0.0 };
    Ok(Timber { strip, count, whole, bevel, parted: is_seam && member.panels.len() == 2 })
}

/// Weight of every member's timber per metre of its true length \[N/m\], with the allowance for
/// fixings.
///
/// `density` \[kg/m³\] is the mean density; g = 9.80665 m/s² (standard gravity, CGPM 1901).
#[must_use]
pub fn weights(timbers: &[Timber], density: f64, fixings_allowance: f64) -> Vec<f64> {
    let per_area = density * crate::units::STANDARD_GRAVITY * (1.0 + fixings_allowance);
    timbers.iter().map(|t| t.whole.area * per_area).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::section::ask::GroupAsk;
    use crate::shell::Role;
    use crate::shell::ask::{Form, ShellAsk, Up};

    /// A group's own values stand for each of its strips, and nobody else's change.
    #[test]
    fn own_values_take_the_place_of_the_rectangle_s_in_their_group_alone() {
        let form = Form::Dome { radius: 2.1, frequency: 2, up: Up::Vertex, base: 0.0 };
        let shell = crate::shell::build(&ShellAsk { form, openings: Vec::new(), mend: false }).unwrap();
        let (breadth, depth) = (0.047, 0.075);
        let own = Section {
            breadth,
            depth,
            area: 3.0e-3,
            second_moment_y: 1.4e-6,
            second_moment_z: 5.0e-7,
            torsion: 9.0e-7,
            modulus_y: 3.7e-5,
            modulus_z: 2.1e-5,
        };
        let group = |own| GroupAsk {
            roles: vec![Role::BaseRim],
            breadth,
            depth,
            said: [true; 2],
            strips: Some(2),
            own,
        };
        let ask = |own| TimberAsk {
            grade: "C24".into(),
            breadth,
            depth,
            bevelled: true,
            composite: 0.0,
            groups: vec![group(own)],
            fixings_allowance: 0.0,
        };
        let (plain, changed) =
            (timbers(&shell, &ask(None)).unwrap(), timbers(&shell, &ask(Some(own))).unwrap());
        let mut rims = 0;
        for ((member, a), b) in shell.members.iter().zip(&plain).zip(&changed) {
            if member.role == Role::BaseRim {
                rims += 1;
                assert_eq!((b.strip, b.count), (own, 2));
                assert_eq!((b.whole.area, b.whole.modulus_y), (2.0 * own.area, 2.0 * own.modulus_y));
                assert_ne!(a.strip, b.strip);
            } else {
                assert_eq!(a, b);
            }
        }
        assert!(rims > 0 && rims < shell.members.len());
        // Lighter by what is not there.
        let weight = |list: &[Timber]| weights(list, 420.0, 0.0).iter().sum::<f64>();
        let less = rims as f64 * 2.0 * (breadth * depth - own.area) * 420.0 * crate::units::STANDARD_GRAVITY;
        assert!((weight(&plain) - weight(&changed) - less).abs() < 1e-9 * less);
    }

    /// Of three strips one is alone in its panel, with half of everything; a rim's own are all in one panel.
    #[test]
    fn of_an_odd_number_of_strips_one_panel_has_fewer_for_the_same_half() {
        let strip = strip::strip(0.047, 0.095, 0.0, false).unwrap();
        let of = |count, parted| Timber {
            strip,
            count,
            whole: strip::together(&strip, count, 0.0),
            bevel: 0.0,
            parted,
        };
        let sharing = |parted| [1, 2, 3, 4, 5].map(|count| of(count, parted).sharing() as usize);
        assert_eq!(sharing(true), [1, 2, 2, 4, 4]);
        assert_eq!(sharing(false), [1, 2, 3, 4, 5]);
        let whole = crate::frame::BarForces { n: -600.0, vz: 60.0, my: 30.0, ..Default::default() };
        let of_strip = |count| crate::model::back::strip_forces(&whole, &of(count, true), 1.0);
        assert_eq!(of_strip(3), of_strip(2));
    }
}
