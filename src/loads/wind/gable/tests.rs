use std::f64::consts::PI;

use super::*;
use crate::loads::MemberLoad;
use crate::loads::ask::AsceEdition;
use crate::loads::audit::audit;
use crate::loads::edge_share::EdgeShares;
use crate::loads::tests::{all, asce, barrel_between, eurocode, named, no_inside, total};
use crate::shell::ask::EndForm;
use crate::shell::{MemberId, Role};

/// A door beside an end takes a panel, and with it a timber of the end's arch: the end is as large as before, and everything on it
/// is carried; its uprights carry no less.
#[test]
fn a_door_beside_an_end_leaves_the_wind_on_it() {
    let framed = EndForm::Framed { studs: 3, sill: true, diagonals: false };
    let form = crate::shell::ask::Form::Barrel {
        profile: crate::shell::ask::Profile::Circular,
        span: 4.0,
        rise: 2.0,
        segments: 8,
        bays: 2,
        bay_length: 1.2,
        pattern: crate::shell::ask::Pattern::Staggered,
        ends: [framed, framed],
    };
    let door = |side: f64| crate::shell::ask::OpeningAsk {
        form: crate::shell::ask::OpeningForm::Door { width: 2.2, height: 1.2, facing: side },
        rim_strips: 2,
        sill: false,
        leaf: true,
    };
    let build = |openings| {
        let ask = crate::shell::ask::ShellAsk { form: form.clone(), openings, mend: false };
        crate::shell::build(&ask).unwrap()
    };
    let (whole, pierced) = (build(Vec::new()), build(vec![door(PI / 2.0)]));
    let gone = |shell: &Shell| {
        shell
            .outline
            .barrel
            .unwrap()
            .iter()
            .map(|&plane| end_arch(shell, plane).iter().filter(|edge| edge.member.is_none()).count())
            .sum::<usize>()
    };
    assert!(gone(&whole) == 0 && gone(&pierced) > 0);
    for ask in [eurocode(), asce(AsceEdition::Seven22)] {
        let (before, after) = (all(&ask, &whole), all(&ask, &pierced));
        for case in before
            .iter()
            .filter(|case| case.name.starts_with("wind from 180°") && !case.name.contains("door"))
        {
            let now = named(&after, &case.name);
            let [a, b] = [total(&whole, case), total(&pierced, now)];
            assert!((a - b).norm() < 1e-6 * a.norm(), "{}: {a} {b}", case.name);
            assert!(audit(&pierced, &EdgeShares::new(&pierced), now).residual < 2e-3, "{}", case.name);
            let on_uprights = |shell: &Shell, case: &Case| -> f64 {
                let studs =
                    case.members.iter().filter(|load| shell.members[load.member.0].role == Role::Stud);
                studs
                    .map(|load| {
                        0.5 * (load.intensity[0] + load.intensity[1]).norm() * (load.span[1] - load.span[0])
                    })
                    .sum()
            };
            assert!(on_uprights(&pierced, now) >= on_uprights(&whole, case) * (1.0 - 1e-9), "{}", case.name);
        }
    }
}

/// What the cover weighs on the polygon under the arch, all of it downward and on uprights and arch alone.
#[test]
fn the_cladding_of_a_framed_end_weighs_what_the_cover_does() {
    let ends = [EndForm::Framed { studs: 3, sill: true, diagonals: true }, EndForm::Open];
    let shell = barrel_between(2.0, 12, 3, ends);
    let cases = all(&eurocode(), &shell);
    let case = named(&cases, crate::loads::weight::BESIDES);
    let area: f64 = 0.5 * 12.0 * 4.0 * (PI / 12.0).sin();
    let on_end: f64 = case
        .members
        .iter()
        .map(|load| {
            assert!(!matches!(shell.members[load.member.0].role, Role::Sill | Role::Brace));
            -0.5 * (load.intensity[0] + load.intensity[1]).z * (load.span[1] - load.span[0])
        })
        .sum();
    assert!((on_end - 90.0 * area).abs() < 1e-9 * area, "{on_end} on {area}");
    assert!(audit(&shell, &EdgeShares::new(&shell), case).residual < 1e-12);
}

#[test]
fn a_framed_end_takes_wind_and_an_open_one_is_warned_of() {
    let ends = [EndForm::Framed { studs: 3, sill: true, diagonals: false }, EndForm::Open];
    let shell = barrel_between(2.0, 12, 3, ends);
    let ask = no_inside(eurocode());
    let cases = all(&ask, &shell);
    // Wind from −x blows on the framed end: +0.8 on the polygon under the arch.
    let area: f64 = 0.5 * 12.0 * 4.0 * (PI / 12.0).sin();
    let case = named(&cases, "wind from 180°, open");
    assert!((total(&shell, case).x - 0.8 * 1000.0 * area).abs() < 1e-6 * area);
    // The upright in the middle has half the way to its neighbours at either side, at ±1, up to their heads at √3; above it
    // half the way to the arch.
    let middle = shell.members.iter().position(|member| {
        member.role == Role::Stud && member.joints.iter().all(|joint| shell.at(*joint).y.abs() < 1e-9)
    });
    let on_middle: Vec<&MemberLoad> =
        case.members.iter().filter(|load| load.member == MemberId(middle.unwrap())).collect();
    let (side, heads) = (1.0, 3.0_f64.sqrt());
    let low: f64 =
        on_middle.iter().filter(|load| load.span[1] < heads + 1e-9).map(|l| l.intensity[0].x).sum();
    let stretches = 4.0; // of heights below √3: the arch's joints part them
    assert!((low - stretches * 0.8 * 1000.0 * side).abs() < 1e-6, "{low}");
    let top = on_middle.iter().find(|load| (load.span[1] - 2.0).abs() < 1e-9).unwrap();
    assert!(top.intensity[1].norm() < 1e-6 && top.intensity[0].x > 0.0);
    // From +x it draws on it: −0.5, outward, which is towards −x.
    let lee = total(&shell, named(&cases, "wind from 0°, open"));
    assert!((lee.x + 0.5 * 1000.0 * area).abs() < 1e-6 * area);
    // From +y it draws along it: −0.8, and −1.2 within a fifth of 3 m of its edge, at every height from the arch inward; near the
    // crown, where the end is narrower than that, on all of it.
    let corner = |k: f64| [2.0 * (k * PI / 12.0).cos(), 2.0 * (k * PI / 12.0).sin()];
    let ([y, z], [y2, z2]) = (corner(5.0), corner(6.0));
    let narrow = z + (z2 - z) * (y - 0.3) / (y - y2);
    let edge = 0.6 * narrow + 0.5 * 0.6 * (2.0 - narrow);
    let beside = named(&cases, "wind from 90°, open");
    let wanted = -1000.0 * (0.8 * area + 0.4 * edge);
    assert!((total(&shell, beside).x - wanted).abs() < 1e-6 * area, "{wanted}");
    // The arch at the windward side carries it up to the crown, as much as it does at the other side when the wind is from there.
    let on_arch = |name: &str, side: f64| -> f64 {
        let on = named(&cases, name).members.iter().filter(|load| {
            let member = &shell.members[load.member.0];
            let middle = member.joints.map(|joint| shell.at(joint).y).iter().sum::<f64>();
            member.role != Role::Stud && middle * side > 0.0
        });
        on.map(|load| -0.5 * (load.intensity[0] + load.intensity[1]).x * (load.span[1] - load.span[0])).sum()
    };
    // Half the way to the uprights is at most half a metre here but low down, so that all but that is zone A.
    let windward = on_arch("wind from 90°, open", 1.0);
    let lee = on_arch("wind from 90°, open", -1.0);
    assert!((on_arch("wind from 270°, open", -1.0) - windward).abs() < 1e-6 * windward);
    assert!(windward > 1.35 * lee && windward < 1.5 * lee, "{windward} {lee}");
    assert!(cases.iter().all(|case| audit(&shell, &EdgeShares::new(&shell), case).residual < 1e-3));
    // Where panels of the arch are missing nothing is clad yet.
    let mut half = shell.clone();
    let crown = shell.members.iter().position(|member| {
        !member.panels.is_empty() && member.joints.iter().all(|joint| shell.at(*joint).x < -1.4)
    });
    half.members[crown.unwrap()].panels.clear();
    let bare = named(&all(&ask, &half), "wind from 180°, open").members.len();
    assert_eq!(bare, 0);
    let words = crate::loads::gaps::gaps(&eurocode(), &shell, &[], &[]);
    assert!(words.iter().any(|w| w.starts_with("one end is open")), "{words:?}");
}
