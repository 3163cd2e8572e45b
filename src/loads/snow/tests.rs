//! Arrangements of snow against each other.

use crate::loads::ask::{AsceEdition, Given};
use crate::loads::test_shells::pyramid;
use crate::loads::tests::{all, asce, barrel, close, dome, eurocode, named, total, tunnel};
use crate::loads::{Action, LoadError, cases};
use crate::shell::{MemberKind, Shell};

/// EN 1991-1-3 5.2(3)b has the coefficients of ordinary snow for the exceptional: the same arrangements, each times the factor.
#[test]
fn exceptional_snow_lies_in_every_way_that_snow_does() {
    let valleys = |shell: &Shell| shell.members.iter().any(|m| m.kind == MemberKind::Seam && m.fold < -1e-6);
    for shell in [barrel(1.2, 6, 4), dome(3), pyramid(2.0, 1.0), tunnel(2, 2)] {
        let mut ask = eurocode();
        if let Given::Value(snow) = &mut ask.snow {
            snow.exceptional = Some(2.0);
            snow.valley = valleys(&shell).then_some(300.0);
        }
        let cases = all(&ask, &shell);
        let ordinary: Vec<&str> =
            cases.iter().map(|c| c.name.as_str()).filter(|name| name.starts_with("snow ")).collect();
        let rare = cases.iter().filter(|c| c.name.starts_with("exceptional snow "));
        assert_eq!(rare.count(), ordinary.len());
        assert!(ordinary.len() > 4, "{ordinary:?}");
        for name in ordinary {
            let twice = named(&cases, &format!("exceptional {name}"));
            assert_eq!(twice.action, Action::Accidental);
            close(total(&shell, twice).z, 2.0 * total(&shell, named(&cases, name)).z, 1e-9, name);
        }
    }
    // A factor that cannot be is said.
    let mut ask = eurocode();
    if let Given::Value(snow) = &mut ask.snow {
        snow.exceptional = Some(-1.0);
    }
    let shell = barrel(1.2, 6, 4);
    let told = cases(&ask, &shell, &vec![10.0; shell.members.len()]).unwrap_err();
    assert!(matches!(told, LoadError::OutOfRange { what, .. } if what == "snow.exceptional"));
}

/// ASCE 7-16 7.3.4: Is·pg on a roof of low slope, at most Is·20 psf, where that is more than the snow of a flat roof; 7-22 the whole, as
/// its table is not held. A pyramid of 2 m that rises by a quarter of a metre is as flat as that, one that rises by 1 m is not.
#[test]
fn a_roof_of_low_slope_has_a_least_snow() {
    const PSF: f64 = 47.880_259;
    let least = |shell: &Shell, edition: AsceEdition, ground: f64| {
        let mut ask = asce(edition);
        if let Given::Value(snow) = &mut ask.snow {
            snow.ground = ground * PSF;
            snow.map_edition = Some(edition);
        }
        let cases = all(&ask, shell);
        let case = cases.iter().find(|case| case.name == "snow, least of low slopes")?;
        let balanced = named(&cases, "snow balanced");
        let plan = total(shell, case).z / total(shell, balanced).z;
        Some(plan)
    };
    let (flat, steep) = (pyramid(2.0, 0.25), pyramid(2.0, 1.0));
    // Over pf = 0.7·Ce·Ct·Is·pg, with which all of so flat a roof is covered.
    let factors = {
        let Given::Value(snow) = asce(AsceEdition::Seven16).snow else { unreachable!() };
        0.7 * snow.exposure.unwrap() * snow.thermal.unwrap()
    };
    let near = |found: Option<f64>, wanted: f64| close(found.unwrap(), wanted, 1e-9, "least snow");
    near(least(&flat, AsceEdition::Seven16, 15.0), 1.0 / factors);
    near(least(&flat, AsceEdition::Seven16, 22.0), 20.0 / 22.0 / factors);
    near(least(&flat, AsceEdition::Seven22, 40.0), 1.0 / factors);
    // 0.7 of 40 psf and more is above 20.
    assert!(least(&flat, AsceEdition::Seven16, 40.0).is_none());
    assert!(least(&steep, AsceEdition::Seven16, 15.0).is_none());
    assert!(least(&dome(3), AsceEdition::Seven16, 15.0).is_none());
}
