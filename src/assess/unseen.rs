//! Warnings of what was not looked at though it may be what gives first: fixings that are few, corners of
//! the frames that are pulled apart, edges that a bevel hardly leaves.

use crate::assess::demand::fixings_in;
use crate::assess::doubts;
use crate::assess::findings::Findings;
use crate::assess::remarks::sentence;
use crate::assess::setup::Setup;
use crate::model::ask::JointModel;
use crate::project::Project;
use crate::section::strip::narrow_face;
use crate::shell::{MemberId, MemberKind};
use crate::units::{Kind, Show};

/// Of feet that lift and slide, where what an anchor holds sideways was entered and not what it holds upward.
pub(super) fn both_at_once(project: &Project, found: &Findings) -> Option<String> {
    let asked = &project.rules.feet;
    let mut feet = found.models.iter().flat_map(|model| &model.feet);
    let both = feet.any(|foot| foot.uplift.value > 0.0 && foot.slide.value > doubts::TELLING);
    (both && asked.slide.is_some() && asked.uplift.is_none()).then(|| {
        format!(
            "Feet lift and push sideways, and an anchor that is pulled up and sideways at once was not compared{}: [feet] slide is \
             entered, and uplift is not.",
            if asked.pad_weight.is_some() { " but with the weight of its pad" } else { "" }
        )
    })
}

/// Of seams with one or two fixings: all of them, or the shorter ones.
fn few_fixings(found: &Findings, per_seam: usize) -> Option<String> {
    let setup = &found.setup;
    let members = setup.shell.members.iter().enumerate();
    let seams = members.filter(|(_, member)| member.kind == MemberKind::Seam);
    let counts: Vec<usize> = seams
        .map(|(m, _)| fixings_in(per_seam, setup.shell.length(MemberId(m)), setup.longest_seam))
        .collect();
    let [ones, twos] = [1, 2].map(|few| counts.iter().filter(|count| **count == few).count());
    let which = match (ones, twos) {
        (0, 0) => return None,
        (ones, 0) if ones == counts.len() => "One fixing in a seam hardly keeps".to_owned(),
        (0, twos) if twos == counts.len() => "Two fixings in a seam hardly keep".to_owned(),
        (0, twos) => format!("{twos} of {} seams have two fixings only, which hardly keep", counts.len()),
        (ones, 0) => format!(
            "{ones} of {} seams have one fixing only, in the middle, which hardly keeps",
            counts.len()
        ),
        (ones, twos) => format!(
            "{ones} of {} seams have one fixing only, in the middle, and {twos} two, which hardly keep",
            counts.len()
        ),
    };
    Some(format!(
        "{which} both its ends together: what is told of seams, sag and buckling takes for granted that they do. Use three or more."
    ))
}

/// Of seams whose timber is one strip, which no fixing joins to another.
fn lone_strips(setup: &Setup) -> Option<String> {
    let seams = setup.shell.members.iter().zip(&setup.timbers).filter(|(m, _)| m.kind == MemberKind::Seam);
    let (all, alone): (usize, usize) =
        seams.fold((0, 0), |(all, alone), (_, timber)| (all + 1, alone + usize::from(timber.count == 1)));
    (alone > 0).then(|| {
        format!(
            "{alone} of {all} seams have one strip only (strips = 1), with no strip of a second frame to fasten it to: fixings are checked there \
             as if each of two frames had such a strip."
        )
    })
}

/// What panel frames do beyond the models, where it may be what gives first (found with a second model, panel by panel,
/// made for comparison; not in the program).
pub(super) fn not_in_the_models(project: &Project, found: &Findings) -> Vec<String> {
    let mut out = Vec::new();
    out.extend(feather_edge(project, &found.setup));
    out.extend(bar_ends(project, found));
    out.extend(rim_strips(&found.setup));
    if let Some(fixings) = &project.rules.fixings {
        out.extend(corners_pulled(project, found));
        out.extend(few_fixings(found, fixings.per_seam));
        out.extend(lone_strips(&found.setup));
    }
    if found.setup.stiffness_estimated && found.setup.models.contains(&JointModel::Seam) {
        out.push(
            "The seams' stiffness is an estimate from their fixings, not a measurement, taken at its low end; corners of the \
             frames that give make it less. Enter what a test of your own gave, or look at how the answer fares with far softer seams \
             (strutwise seams); a loose seam has next to none."
                .to_owned(),
        );
    }
    out
}

/// Of the ends of bars that no rule looks at, in the model where they are pulled most.
fn bar_ends(project: &Project, found: &Findings) -> Option<String> {
    let greatest = |axial: &[[f64; 2]]| {
        let bars = found.setup.shell.members.iter().zip(axial).filter(|(m, _)| m.kind == MemberKind::Bar);
        bars.map(|(_, forces)| forces[1]).fold(0.0, f64::max)
    };
    let (_, model) = found
        .carrying()
        .reduce(|a, b| if greatest(&b.1.timbers.axial) > greatest(&a.1.timbers.axial) { b } else { a })?;
    let told = doubts::bar_ends(&found.setup, model.run.model.kind, &model.timbers.axial, project.units)?;
    // A doubt is told already.
    let words = sentence(&told.0);
    (!found.doubts().contains(&words)).then_some(words)
}

/// Of rims in several strips, whose loads reach one of them.
fn rim_strips(setup: &Setup) -> Option<String> {
    let several = setup
        .shell
        .members
        .iter()
        .zip(&setup.timbers)
        .filter(|(m, t)| m.kind == MemberKind::Rim && t.count > 1);
    let count = several.count();
    (count > 0).then(|| {
        let rims = if count == 1 { "1 rim is".to_owned() } else { format!("{count} rims are") };
        format!(
            "{rims} of several strips, which are taken to share what one panel brings to one of them: join them side by side along their whole \
             length, and to each other at their ends. What joins them was compared with nothing."
        )
    })
}

/// Share of a strip's breadth that a bevel should leave of its narrow face (common practice, no source).
const LEFT_BY_A_BEVEL: f64 = 0.25;

/// The strip of which a bevel leaves least, where that is next to nothing: an edge that can hardly be made or fixed to.
fn feather_edge(project: &Project, setup: &Setup) -> Option<String> {
    if !project.timber.bevelled {
        return None;
    }
    let seams =
        setup.shell.members.iter().zip(&setup.timbers).filter(|(member, _)| member.kind == MemberKind::Seam);
    let (member, breadth, narrow) = seams
        .map(|(m, t)| (m, t.strip.breadth, narrow_face(t.strip.breadth, t.strip.depth, m.fold)))
        .reduce(|a, b| if b.2 / b.1 < a.2 / a.1 { b } else { a })?;
    let show = Show::new(project.units);
    (narrow < LEFT_BY_A_BEVEL * breadth).then(|| {
        format!(
            "The bevel leaves {} of the narrow face of {} ({} broad, folded by {:.0}°): an edge that hardly can be made, screwed through or kept \
             whole. Take a broader or shallower timber, or a finer division.",
            show.text_to(Kind::Size, narrow, 2),
            member.name,
            show.text_to(Kind::Size, breadth, 2),
            member.fold.abs().to_degrees()
        )
    })
}

/// What the corners of the frames must hold across their mitres, in the model that carries its loads where it is most, and that no test of them
/// was entered; nothing where that is a doubt of the verdict's own models.
fn corners_pulled(project: &Project, found: &Findings) -> Option<String> {
    let models = found.carrying().filter_map(|(_, model)| Some((model, model.mitre?)));
    let (model, mitre) = models.reduce(|a, b| if b.1.pull > a.1.pull { b } else { a })?;
    let of_verdict = |&k: &usize| found.models[k].mitre;
    if found.governing.iter().filter_map(of_verdict).any(|mitre| doubts::is_much_for_a_corner(project, mitre))
    {
        return None;
    }
    doubts::corners_pulled(project, &found.setup, model.run.model.kind, mitre).map(|words| sentence(&words))
}

#[cfg(test)]
mod tests {
    use crate::assess::find;
    use crate::project::{Asked, SourceText, read_text};

    fn told(change: &dyn Fn(String) -> String) -> Vec<String> {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
        let text = change(std::fs::read_to_string(folder.join("propagation-tunnel.toml")).unwrap());
        let source = SourceText { name: "tunnel.toml".to_owned(), text };
        let Asked::Shell(project) = read_text(source, &folder, "tunnel").unwrap() else { panic!() };
        let found = find(&project).unwrap();
        crate::assess::notes::warnings(&project, &found)
    }

    /// An anchor that holds sideways and of which nothing is known upward is not compared with both at once, and that is told.
    #[test]
    fn anchors_of_which_one_strength_is_known_are_told() {
        let part = "pulled up and sideways at once was not compared";
        let with = |uplift: &'static str| {
            let told = told(&move |text| text.replace("\nuplift ", uplift));
            told.into_iter().filter(|line| line.contains(part)).collect::<Vec<_>>()
        };
        assert_eq!(with("\nuplift "), Vec::<String>::new());
        let bare = with("\n# uplift ");
        assert!(bare.len() == 1 && !bare[0].contains("but with the weight"), "{bare:#?}");
        let pad = with("\npad_weight = \"3 kN\"\n# uplift ");
        assert!(pad.len() == 1 && pad[0].contains("but with the weight of its pad"), "{pad:#?}");
    }

    /// Feet that slide are told where nothing holds them, an edge where a bevel hardly leaves one, and seams of one strip.
    #[test]
    fn feet_that_slide_feather_edges_and_lone_strips_are_told() {
        let has = |told: &[String], part: &str| told.iter().any(|line| line.contains(part));
        let plain = told(&|text| text);
        assert!(!has(&plain, "Feet push sideways") && !has(&plain, "The bevel leaves"), "{plain:#?}");
        let bare = told(&|text| text.replace("slide ", "# slide "));
        assert!(has(&bare, "Feet push sideways"), "{bare:#?}");
        let thin =
            told(&|text| text.replace("= \"47 mm\"", "= \"30 mm\"").replace("= \"95 mm\"", "= \"120 mm\""));
        assert!(has(&thin, "The bevel leaves"), "{thin:#?}");
        let group =
            "\n[[timber.group]]\nroles = [\"seam\"]\nbreadth = \"47 mm\"\ndepth = \"95 mm\"\nstrips = 1\n";
        let alone = told(&|text| text + group);
        assert!(
            has(&alone, "54 of 91 seams have one strip only") && !has(&plain, "one strip only"),
            "{alone:#?}"
        );
    }
}
