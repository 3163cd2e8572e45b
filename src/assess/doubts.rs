//! What keeps a verdict from being told as better than near, beside feet that are held against turning: loads that may be
//! greater than those looked at, holds that were compared with nothing, and movements so large that forces are greater than second order says.

use crate::assess::demand::Mitre;
use crate::assess::feet::FootPeaks;
use crate::assess::fill::model_name;
use crate::assess::paths::{Limit, PATH_ENOUGH};
use crate::assess::run::{Run, State};
use crate::assess::setup::Setup;
use crate::assess::stability::{Stability, two_figures};
use crate::model::ask::JointModel;
use crate::project::Project;
use crate::rules::seams::{heads_unchecked, standard_of};
use crate::shell::count::extents;
use crate::shell::plan::spanned;
use crate::shell::{MemberKind, Shape};
use crate::units::{Kind, Show, System};

/// Movement of a joint under design loads over the span beyond which forces by small movements are told to be too low. Own choice:
/// a soft barrel that moved by a fortieth of its span pressed on a foot half as much again by large movements.
const MOVES_FAR: f64 = 1.0 / 50.0;

/// Limit of the nonlinear path below which forces of second order are told to be too low; between stiff joints the linear factor counts
/// too. Own choice: a dome whose limit was 1.006 pulled a fifth more on a foot by large movements, and at 1.26 hardly more.
const CLOSE: f64 = 1.25;

/// What of one model is in doubt, in sentences without a capital and a full stop.
#[must_use]
pub fn of_model(
    run: &Run,
    setup: &Setup,
    states: &[State],
    stability: &Stability,
    limit: Option<&Limit>,
    units: System,
) -> Vec<String> {
    let name = model_name(run.model.kind);
    let mut words = Vec::new();
    let most = states
        .iter()
        .enumerate()
        .flat_map(|(i, state)| state.ways().filter_map(move |way| Some((i, way.second_order.as_ref()?))))
        .map(|(i, own)| {
            let moved = own.response.displacements.iter().map(|six| six[0].hypot(six[1]).hypot(six[2]));
            (i, moved.fold(0.0, f64::max))
        })
        .reduce(|a, b| if b.1 > a.1 { b } else { a });
    // An own mesh may lie along any axis.
    let span = if setup.shell.outline.shape == Shape::Free {
        spanned(&setup.shell)
    } else {
        extents(&setup.shell).across
    };
    if let Some((i, moved)) = most
        && moved > MOVES_FAR * span
    {
        words.push(format!(
            "joints of the {name} model move by up to {} under {}, more than a fiftieth of the span: forces are taken by small movements; by \
             such large ones feet may be pressed, pulled and pushed sideways two thirds as much again, and may lift where no lift is told",
            Show::new(units).text_to(Kind::Size, moved, 2),
            setup.combinations[i].name
        ));
    }
    let stiff = run.model.kind.is_stiff();
    let path = limit.filter(|limit| limit.reached).map(|limit| (limit.factor, limit.combination));
    let linear = stability.factor.zip(stability.combination).filter(|_| stiff);
    let lowest = path.into_iter().chain(linear).reduce(|a, b| if b.0 < a.0 { b } else { a });
    if let Some((factor, combination)) = lowest.filter(|(factor, _)| (1.0..CLOSE).contains(factor)) {
        words.push(format!(
            "the {name} model gives way at {} times {}: as close to it as that, feet and timbers are asked for up to a fifth more than second \
             order says",
            two_figures(factor),
            setup.combinations[combination].name
        ));
    }
    words
}

/// Pull across the mitre of a corner from which on it is in doubt whether untested screws hold it \[N\]. Own choice: what two screws of 5 mm
/// with 40 mm of thread in C24 hold at 30° to the grain for a short time outdoors, 1.9 kN by EN 1995-1-1 (8.38) to (8.41).
const MUCH_FOR_A_CORNER: f64 = 2000.0;

/// Whether a corner is pulled by more than screws in end grain can be taken to hold, and no test of one was entered.
pub(super) fn is_much_for_a_corner(project: &Project, mitre: Mitre) -> bool {
    mitre.pull > MUCH_FOR_A_CORNER
        && project.rules.fixings.is_some_and(|fixings| fixings.corner_pull.is_none())
}

/// What the corners of the frames must hold across their mitres in one model; nothing where no fixings are given, or a test of a corner is.
pub(super) fn corners_pulled(
    project: &Project,
    setup: &Setup,
    kind: JointModel,
    mitre: Mitre,
) -> Option<String> {
    if project.rules.fixings.is_none_or(|fixings| fixings.corner_pull.is_some()) {
        return None;
    }
    Some(format!(
        "where timbers pull, the corners of the frames are pulled apart across their mitres, and no test of a corner was entered \
         ([fixings] corner_pull) to compare that with: by up to {} at an end of {} ({} model, {}). Screws in end grain alone hold little, \
         and plates or straps over the joints, or a skin that is screwed on, want an engineer",
        Show::new(project.units).text(Kind::Force, mitre.pull),
        setup.shell.members[mitre.member].name,
        model_name(kind),
        setup.combinations[mitre.combination].name
    ))
}

/// What the ends of bars that belong to no panel (studs, braces and sills of a framed end) must hold in one model, which nothing is compared
/// with: the bars that are pulled and pushed most, and whether the pull is more than a few screws can be taken to hold
/// ([`MUCH_FOR_A_CORNER`], as at a corner of a frame). Nothing where there are no such bars, or none bears anything.
pub(super) fn bar_ends(
    setup: &Setup,
    kind: JointModel,
    axial: &[[f64; 2]],
    units: System,
) -> Option<(String, bool)> {
    let bars = || setup.shell.members.iter().zip(axial).filter(|(member, _)| member.kind == MemberKind::Bar);
    let most = |of: fn(&[f64; 2]) -> f64| {
        bars().map(|(member, forces)| (member, of(forces))).reduce(|a, b| if b.1 > a.1 { b } else { a })
    };
    let show = Show::new(units);
    let told = [("pulled", most(|forces| forces[1])?), ("pushed", most(|forces| -forces[0])?)];
    let words: Vec<String> = told
        .iter()
        .filter(|(_, (_, force))| *force > TELLING)
        .map(|(how, (member, force))| {
            format!("{} is {how} by up to {}", member.name, show.text(Kind::Force, *force))
        })
        .collect();
    if words.is_empty() {
        return None;
    }
    let words = format!(
        "the ends of bars that belong to no panel (studs, braces and sills of a framed end) were compared with nothing: {} ({} model). Whatever \
         joins them to the shell has to hold that, and the shell may stand by them alone",
        words.join(" and "),
        model_name(kind)
    );
    Some((words, told[0].1.1 > MUCH_FOR_A_CORNER))
}

/// Where second order found no equilibrium, and the path that asked for it stands, in words.
pub(super) fn unsettled(kind: JointModel, limit: Option<&Limit>) -> String {
    format!(
        "by small turns no equilibrium is found of the {} model with its joints dented as deep as its imperfection has them, though its \
         nonlinear path stands up to {} times the load: its forces are first-order, of the shape as drawn, and may be too low",
        model_name(kind),
        two_figures(limit.map_or(PATH_ENOUGH, |limit| limit.factor))
    )
}

/// From this force on a foot is told to lift or to push sideways \[N\] (own choice: less is the rounding of a solution, or held by
/// the weight of a panel).
pub(super) const TELLING: f64 = 10.0;

/// What was compared with nothing, so that nothing is known of whether it holds: fixings, and what keeps feet from lifting and sliding.
#[must_use]
pub fn of_holds(project: &Project, setup: &Setup, feet: &[FootPeaks]) -> Vec<String> {
    let mut words = Vec::new();
    let seams = setup.shell.members.iter().any(|member| member.kind == MemberKind::Seam);
    if seams && project.rules.fixings.is_none() {
        words.push(
            "no fixings were entered ([fixings]), and what joins the frames along their seams was compared with nothing; with fixings their \
             strips are asked for more, too"
                .to_owned(),
        );
    }
    if let Some(why) =
        project.rules.fixings.as_ref().and_then(|fixings| heads_unchecked(fixings, standard_of(&setup.grade)))
    {
        words.push(format!(
            "heads of screws may pull through the strip they bear on, and that was compared with nothing: {why}; it may be the first to give"
        ));
    }
    let most = |of: fn(&FootPeaks) -> f64| feet.iter().map(of).fold(0.0, f64::max);
    let asked = &project.rules.feet;
    if most(|foot| foot.uplift.value) > TELLING && !asked.checks_lift() {
        words.push(
            "feet lift, and no strength of an anchor was entered ([feet] uplift): nothing is said of whether the anchors hold".to_owned(),
        );
    }
    if most(|foot| foot.slide.value) > TELLING && !asked.checks_slide() {
        words.push(
            "feet push sideways, and no strength of an anchor against sliding was entered ([feet] slide): nothing is said of whether they \
             stay where they are"
                .to_owned(),
        );
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assess::find;
    use crate::assess::results::Verdict;
    use crate::loads::ask::{Given, WindStrength};
    use crate::model::ask::JointModel;

    /// A barrel of soft joints moves far under its snow; one of deeper timbers and stiff joints hardly.
    #[test]
    fn movements_too_large_for_second_order_are_told() {
        for (depth, models, in_doubt) in [(60, "semi-rigid", true), (120, "rigid", false)] {
            let text = format!(
                "[project]\nname = \"barrel\"\nbasis = \"eurocode\"\n\
                 [shell]\nform = \"barrel\"\nspan = \"5 m\"\nrise = \"1.2 m\"\nsegments = 6\nbays = 3\nbay_length = \"1.2 m\"\n\
                 pattern = \"staggered\"\n\
                 [timber]\ngrade = \"C24\"\nbreadth = \"40 mm\"\ndepth = \"{depth} mm\"\nservice_class = 2\n\
                 [joints]\nmodels = [\"{models}\"]\nend_stiffness = \"2 kN m/rad\"\n\
                 [cover]\nweight = \"9 kg/m2\"\n[snow]\nground = \"0.3 kN/m2\"\n[wind]\nleft_out = \"made up\"\n"
            );
            let project = crate::assess::shell_of(&text);
            let found = find(&project).unwrap();
            let told = found.doubts().iter().any(|doubt| doubt.contains("model move by up to"));
            assert_eq!(told, in_doubt, "{:?}", found.doubts());
            assert!(!told || found.models[found.governing[0]].verdict >= Verdict::Near);
        }
    }

    /// A limit that was met close above the load is in doubt, one further up or not met is not; between stiff joints the linear factor
    /// is as well.
    #[test]
    fn a_limit_close_above_the_load_is_told() {
        let project = crate::assess::example("propagation-tunnel.toml");
        let setup = crate::assess::setup::setup(&project).unwrap();
        for (kind, factor, reached, linear, told) in [
            (JointModel::Pinned, 1.2, true, 5.0, 1),
            (JointModel::Pinned, 1.3, true, 1.1, 0),
            (JointModel::Pinned, 0.9, true, 5.0, 0),
            (JointModel::Pinned, 1.2, false, 5.0, 0),
            (JointModel::Rigid, 1.2, true, 5.0, 1),
            (JointModel::Rigid, 10.0, false, 1.2, 1),
            (JointModel::Rigid, 1.3, true, 1.3, 0),
        ] {
            let run = Run::new(&setup, kind, project.joints.feet).unwrap();
            let limit = Limit { factor, reached, combination: 0, followed: vec![0] };
            let stability = Stability { factor: Some(linear), combination: Some(0), ..Stability::default() };
            let words = of_model(&run, &setup, &[], &stability, Some(&limit), project.units);
            assert_eq!(words.len(), told, "{kind:?} {factor} {linear}");
        }
    }

    /// A load whose unit was forgotten is told, and no verdict on it is better than near.
    #[test]
    fn a_load_of_another_unit_is_told() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
        let text = std::fs::read_to_string(folder.join("apple-store-dome.toml")).unwrap();
        for (snow, in_doubt) in [("\"0.6 kN/m2\"", false), ("\"0.6\"", true)] {
            let ground = text.lines().find(|line| line.starts_with("ground")).unwrap();
            let text = text.replace(ground, &format!("ground = {snow}"));
            let found = find(&crate::assess::shell_of(&text)).unwrap();
            let told =
                found.doubts().iter().any(|d| d.starts_with("The load snow.ground is 0.6 N/m2 (line "));
            assert_eq!(told, in_doubt, "{:?}", found.doubts());
            assert!(!told || found.verdict >= Verdict::Near);
        }
    }

    /// Heads of screws that nothing is compared with keep the verdict from being better than near; a maker's value for them does away with that.
    #[test]
    fn heads_that_are_compared_with_nothing_are_told() {
        for (lines, in_doubt) in
            [("", true), ("head_pull = \"30 N/mm2\"\ndeclared_density = \"350 kg/m3\"\n", false)]
        {
            let text = format!(
                "[project]\nname = \"dome\"\nbasis = \"eurocode\"\n\
                 [shell]\nform = \"dome\"\nradius = \"2 m\"\nfrequency = 2\n\
                 [timber]\ngrade = \"C24\"\nbreadth = \"47 mm\"\ndepth = \"110 mm\"\nservice_class = 2\n\
                 [joints]\nseam_stiffness = \"3 kN m/rad per m\"\n\
                 [fixings]\nkind = \"screw\"\ndiameter = \"6 mm\"\nlength = \"90 mm\"\nthread = \"55 mm\"\nroot = \"4 mm\"\nhead = \"12 mm\"\n\
                 per_seam = 3\nlever = \"55 mm\"\npredrilled = true\nend = \"160 mm\"\n{lines}\
                 [cover]\nweight = \"9 kg/m2\"\n[snow]\nleft_out = \"made up\"\n[wind]\nleft_out = \"made up\"\n\
                 [feet]\nslide = \"4 kN\"\nuplift = \"4 kN\"\n"
            );
            let found = find(&crate::assess::shell_of(&text)).unwrap();
            let doubts = found.doubts();
            assert_eq!(
                doubts
                    .iter()
                    .any(|doubt| doubt.contains("heads of screws") || doubt.contains("Heads of screws")),
                in_doubt,
                "{doubts:?}"
            );
            assert_eq!(found.verdict, if in_doubt { Verdict::Near } else { Verdict::Within }, "{doubts:?}");
        }
    }

    /// So many times the wind.
    fn blow(project: &mut Project, times: f64) {
        let Given::Value(wind) = &mut project.loads.wind else { panic!("a wind") };
        let WindStrength::Pressure(pressure) = &mut wind.strength else { panic!("a pressure") };
        *pressure *= times;
    }

    /// What the ends of a gable's bars hold is told, and in doubt where it is much.
    #[test]
    fn the_ends_of_a_gables_bars_are_told() {
        let mut project = crate::assess::example("potting-shed-barrel.toml");
        for (times, in_doubt) in [(1.0, false), (2.5, true)] {
            blow(&mut project, times);
            let found = find(&project).unwrap();
            let of = |words: &String| words.contains("bars that belong to no panel");
            assert_eq!(found.doubts().iter().any(of), in_doubt, "{:?}", found.doubts());
            let told = crate::assess::notes::warnings(&project, &found);
            assert!(told.iter().any(of), "{told:?}");
        }
    }

    /// A pull of a corner that untested screws cannot be taken to hold is in doubt, once; less is only told.
    #[test]
    fn a_corner_that_is_pulled_hard_is_in_doubt() {
        let mut project = crate::assess::example("propagation-tunnel.toml");
        for (times, in_doubt) in [(1.0, false), (1.6, true)] {
            blow(&mut project, times);
            let found = find(&project).unwrap();
            assert_eq!(found.doubts().iter().any(|doubt| doubt.contains("across their mitres")), in_doubt);
            let told = crate::assess::notes::warnings(&project, &found);
            assert_eq!(
                told.iter().filter(|words| words.contains("across their mitres")).count(),
                1,
                "{told:?}"
            );
        }
    }
}
