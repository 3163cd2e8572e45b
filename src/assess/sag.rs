//! Sag and sway under service loads, at once and with creep.

use crate::assess::conditions;
use crate::assess::run::{Run, State};
use crate::assess::setup::Setup;
use crate::loads::LimitState;
use crate::project::Project;

/// Movements of one model under service loads.
#[derive(Debug, Clone, PartialEq)]
pub struct Sag {
    /// Greatest downward movement \[m\].
    pub sag: f64,
    /// With creep, where the basis has it \[m\].
    pub sag_final: Option<f64>,
    /// Greatest sideways movement \[m\].
    pub sway: f64,
    /// Joint of the greatest sag.
    pub joint: usize,
    /// Combination of the greatest sag.
    pub combination: usize,
    /// Combination of the greatest sway.
    pub sway_combination: usize,
}

/// Greatest movements over the service combinations.
///
/// Creep (EN 1995-1-1 2.2.3 (2.2)–(2.5)): the final movement is that of the characteristic
/// combination plus kdef times that of the quasi-permanent one, which is the same sum written once.
/// The NDS has `K_cr` on the long-term part (3.5.2).
#[must_use]
pub fn sag(project: &Project, setup: &Setup, run: &Run, states: &[State]) -> Option<Sag> {
    let mut out: Option<Sag> = None;
    let service = |s: LimitState| {
        setup.combinations.iter().enumerate().filter(move |(_, c)| c.state == s).map(|(i, _)| i)
    };
    let moved = |i: usize| (i, run.translations(&states[i]));
    let first: Vec<(usize, Vec<[f64; 3]>)> = service(LimitState::Service).map(moved).collect();
    for &(i, ref movement) in &first {
        let none =
            Sag { sag: 0.0, sag_final: None, sway: 0.0, joint: 0, combination: i, sway_combination: i };
        let entry = out.get_or_insert(none);
        for (joint, d) in movement.iter().enumerate() {
            if -d[2] > entry.sag {
                entry.sag = -d[2];
                entry.joint = joint;
                entry.combination = i;
            }
            let sway = d[0].hypot(d[1]);
            if sway > entry.sway {
                entry.sway = sway;
                entry.sway_combination = i;
            }
        }
    }
    let entry = out.as_mut()?;
    if let Some(creep) = crate::rules::sag::creep(&setup.grade, &conditions::surroundings(project)) {
        let mut greatest = entry.sag;
        for (_, lasting) in service(LimitState::LongTerm).map(moved) {
            for (_, first) in &first {
                for (a, b) in first.iter().zip(&lasting) {
                    greatest = greatest.max(-crate::rules::sag::final_movement(a[2], b[2], creep));
                }
            }
        }
        entry.sag_final = Some(greatest);
    }
    out
}

#[cfg(test)]
mod tests {

    /// Sag and sway are each the greatest under the combination that is named for it.
    #[test]
    fn sag_and_sway_are_told_with_their_own_combinations() {
        let project = crate::assess::example("wider-longer-tunnel.toml");
        let found = crate::assess::find(&project).unwrap();
        let mut apart = 0;
        for model in &found.models {
            let Some(sag) = &model.sag else { continue };
            let moved = |i: usize| model.run.translations(&model.states[i]);
            let most = |i: usize, of: fn(&[f64; 3]) -> f64| moved(i).iter().map(of).fold(0.0, f64::max);
            assert_eq!(most(sag.combination, |d| -d[2]).to_bits(), sag.sag.to_bits());
            assert_eq!(most(sag.sway_combination, |d| d[0].hypot(d[1])).to_bits(), sag.sway.to_bits());
            apart += usize::from(sag.combination != sag.sway_combination);
        }
        assert!(apart > 0, "the test tells nothing apart");
    }
}
