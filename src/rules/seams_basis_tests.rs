//! Seams: the timber and the basis of their resistance, from the tables and the conditions.

use super::*;
use crate::rules::fasteners::nds::{Format, Service};
use crate::rules::seams::tests::nds_seam;
use crate::units::{INCH, PSI};

#[test]
fn beyond_the_temperature_table_nothing_is_claimed() {
    let mut input = nds_seam(FixingKind::Bolt, 0.375 * INCH, Format::Asd { duration: 1.6 });
    if let SeamBasis::Nds(service) = &mut input.basis {
        service.temperature_f = 170.0;
    }
    assert!(worst_seam(&input).utilisation.is_infinite());
}

#[test]
fn the_tables_fill_in_the_timber() {
    let tables = Tables::built_in();
    let timber = JointTimber::of(tables.grade("C16").unwrap());
    assert!((timber.density_k - 310.0).abs() < 1e-9 && (timber.compression_across - 2.2e6).abs() < 1e-3);
    assert!((timber.elastic_across - 270e6).abs() < 1.0, "EN 338");
    assert!((timber.specific_gravity - 370.0 / 1120.0).abs() < 1e-12);
    let timber = JointTimber::of(tables.grade("DF-L No.2").unwrap());
    assert!((timber.specific_gravity - 0.5).abs() < 1e-12);
    // E of 1 600 000 psi, a twentieth of it across the grain.
    assert!(
        (timber.elastic_across / PSI - 80_000.0).abs() < 1e-6 && (timber.elastic / PSI - 1.6e6).abs() < 1e-4
    );
}

#[test]
fn the_basis_follows_from_the_conditions_of_the_timber() {
    let tables = Tables::built_in();
    let (c16, fir) = (tables.grade("C16").unwrap(), tables.grade("DF-L No.2").unwrap());
    let of = SeamBasis::of(&Conditions::eurocode(3, Duration::ShortTerm), c16).unwrap();
    assert_eq!(of, SeamBasis::Eurocode { k_mod: 0.7, gamma_m: 1.3 });
    let of = SeamBasis::of(&Conditions::nds(true, Duration::LoadDurationFactor(1.15)), fir).unwrap();
    assert!(matches!(of, SeamBasis::Nds(Service { format: Format::Asd { .. }, wet: true, .. })));
    assert!(SeamBasis::of(&Conditions::nds(true, Duration::LoadDurationFactor(1.15)), c16).is_err());
    assert!(SeamBasis::of(&Conditions::eurocode(3, Duration::ShortTerm), fir).is_err());
    assert!(SeamBasis::of(&Conditions::eurocode(4, Duration::ShortTerm), c16).is_err());
}

/// A national annex's factor of timber that is below that of connections does not lower theirs; one above raises it.
#[test]
fn connections_keep_their_own_partial_factor() {
    let c16 = Tables::built_in().grade("C16").unwrap();
    for (entered, gamma) in [(None, 1.3), (Some(1.25), 1.3), (Some(1.5), 1.5)] {
        let conditions =
            Conditions { partial_factor: entered, ..Conditions::eurocode(2, Duration::ShortTerm) };
        assert_eq!(
            SeamBasis::of(&conditions, c16).unwrap(),
            SeamBasis::Eurocode { k_mod: 0.9, gamma_m: gamma }
        );
    }
}
