//! Arrangements of snow against each other.

use crate::loads::ask::Given;
use crate::loads::test_shells::pyramid;
use crate::loads::tests::{all, barrel, close, dome, eurocode, named, total, tunnel};
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
