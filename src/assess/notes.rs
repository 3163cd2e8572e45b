//! What an assessment says of itself: headline, assumptions, sources, warnings, checksum.

use sha2::{Digest, Sha256};

use crate::assess::check;
use crate::assess::doubts;
use crate::assess::fill::model_name;
use crate::assess::findings::{Findings, ModelFindings};
use crate::assess::from_code;
use crate::assess::held_feet;
use crate::assess::left_out;
use crate::assess::remarks::{self, sentence};
use crate::assess::results::{FurtherFile, Headline, InputLine, Verdict, WorstItem};
use crate::assess::rows_of_feet;
use crate::assess::setup::Setup;
use crate::assess::stability::{self, two_figures};
use crate::assess::tie;
use crate::assess::unseen;
use crate::assess::verdict;
use crate::assess::words;
use crate::loads::ask::{Basis, Given};
use crate::model::ask::{FeetHeld, JointModel};
use crate::project::{Project, SourceText};
use crate::rules::ask::{Restraint, SideHold};
use crate::rules::seams::NOT_SEEN;
use crate::shell::MemberKind;
use crate::shell::ask::Form;
use crate::tables::grade::Grade;
use crate::units::{Kind, Show, System};

/// Name of a basis in the project file.
#[must_use]
pub fn basis_name(basis: Basis) -> &'static str {
    match basis {
        Basis::Eurocode => "eurocode",
        Basis::UsLrfd => "us-lrfd",
        Basis::UsAsd => "us-asd",
    }
}

/// Name of a system of units.
#[must_use]
pub fn units_name(system: System) -> &'static str {
    match system {
        System::Metric => "metric",
        System::Imperial => "imperial",
    }
}

/// The model, or models, that the verdict is taken from.
#[must_use]
pub fn verdict_model(found: &Findings) -> String {
    let names: Vec<&str> =
        found.governing.iter().map(|&i| model_name(found.models[i].run.model.kind)).collect();
    match names.as_slice() {
        [] => "none".into(),
        [one] => (*one).into(),
        [most @ .., last] => format!("the worst of {} and {last}", most.join(", ")),
    }
}

/// A factor below which its figures say nothing: the frame all but moves freely.
const NEXT_TO_NOTHING: f64 = 1e-3;

/// The answer in one sentence, with the weakest thing named.
#[must_use]
pub fn headline(project: &Project, found: &Findings, worst: Option<&WorstItem>) -> Headline {
    let rests = if found.rests_on_seams { format!("{} ", verdict::RESTS_ON_SEAMS) } else { String::new() };
    if let Some((standing, why)) = unstable(found) {
        return Headline { opening: format!("{rests}{standing}"), why, names_worst: false };
    }
    let standing = match found.verdict {
        Verdict::Within => "Within the indicative limits",
        Verdict::Near => "Near the indicative limits",
        Verdict::Over => "Over the indicative limits",
        Verdict::Unstable => "Unstable",
    };
    let mut beside =
        held_feet::headline(project, found).map_or_else(String::new, |words| format!(" {words}"));
    if found.verdict == Verdict::Near {
        beside.extend(found.doubts().iter().map(|doubt| format!(" Told as no better than near: {doubt}")));
    }
    let why = match worst {
        Some(w) => format!(
            "worked hardest is {} {} ({}), {}{}.{beside}",
            w.what,
            w.id,
            w.place,
            w.rule,
            if words::beyond_number(w.utilisation) {
                ", which is beyond any limit".to_owned()
            } else {
                format!(" at {}", words::of_its(w.utilisation, "limit"))
            }
        ),
        None => "nothing was loaded.".to_owned(),
    };
    Headline { opening: format!("{rests}{standing}:"), why, names_worst: worst.is_some() }
}

/// How a headline begins and ends where it is the whole, or a joint by itself, that does not stand.
fn unstable(found: &Findings) -> Option<(&'static str, String)> {
    if found.verdict != Verdict::Unstable {
        return None;
    }
    let name = |m: &ModelFindings| model_name(m.run.model.kind);
    let mut governing = found.governing.iter().map(|&i| &found.models[i]);
    if let Some(m) = governing.clone().find(|m| m.run.is_mechanism()) {
        let count = m.run.solver.mechanisms().len();
        let ways = if count == 1 { "1 way".to_owned() } else { format!("{count} ways") };
        return Some((
            "Unstable:",
            format!("with {} joints it can fold in {ways} without resistance.", name(m)),
        ));
    }
    if let Some(m) = governing.find(|m| m.verdict == Verdict::Unstable) {
        let low = m.stability.factor.into_iter().chain(verdict::met(m.limit.as_ref()));
        let low = low.fold(f64::INFINITY, f64::min);
        let why = if low < NEXT_TO_NOTHING {
            "it folds under next to nothing, below a thousandth of the load".to_owned()
        } else if low < 1.0 {
            format!("it buckles at {} of the load", two_figures(low))
        } else {
            "no equilibrium is found for the imperfect shell under the full load".to_owned()
        };
        return Some(("Unstable", format!("in the {} model: {why}.", name(m))));
    }
    let snap = found.snap.as_ref().filter(|snap| snap.utilisation() > 1.0)?;
    let why = format!(
        "the joint {} snaps through at {} of its load, its neighbours standing still.",
        found.setup.shell.joints[snap.joint].name,
        two_figures(1.0 / snap.utilisation())
    );
    Some(("Unstable:", why))
}

/// Inputs as entered or defaulted, the values that the program put in itself, and what it took from the codes.
#[must_use]
pub fn inputs(project: &Project, setup: &Setup) -> Vec<InputLine> {
    let mut lines: Vec<InputLine> = project
        .inputs
        .iter()
        .map(|i| InputLine {
            key: i.key.clone(),
            value: i.value.clone(),
            origin: i.origin.to_string(),
            note: i.note.clone(),
        })
        .collect();
    if setup.models.contains(&JointModel::Seam) {
        lines.push(InputLine {
            key: "stiffness of the seams".into(),
            value: setup.stiffness_words.clone(),
            origin: if setup.stiffness_estimated { "estimate" } else { "entered" }.into(),
            note: String::new(),
        });
    }
    lines.extend(from_code::inputs(project, setup));
    lines
}

/// What was assumed, in the order a checker asks.
#[must_use]
pub fn assumptions(project: &Project, setup: &Setup) -> Vec<String> {
    let mut out = vec![
        "Timbers lie on the lines between joints; the strips' own offset from those lines, and the twist and \
         sideways bending from it, are not in the model."
            .to_owned(),
        format!(
            "Timber is straight, of one piece between joints, of grade {} as finished; ripping a bevel can void a \
             grade stamp.",
            setup.grade.name()
        ),
        "Pressure on a panel goes to its nearest edge (incentre rule), so each edge carries a line load that peaks \
         opposite the incentre; total and centre of pressure are kept."
            .to_owned(),
        "Each panel's strips of a seam take half of its forces, in equal shares; where its panels are loaded unlike, half of the \
         difference crosses the seam through its fixings."
            .to_owned(),
        buckling_lengths(&project.rules.members.restraint),
        match project.joints.feet {
            FeetHeld::Pinned => "Feet are held against movement in every direction and free to turn.",
            FeetHeld::Fixed => "Feet are held against movement and, where joints are stiff, against turning.",
        }
        .to_owned(),
        format!(
            "Where a buckling factor is below {}, or would be if it were lowered as the nonlinear path lowers the lowest, forces are second-order, with design stiffness and an imperfection \
             of {} in the lowest buckling shape, either way, or of less where that would bow a timber between its joints \
             by more than 1/400 of its length (first-order where no equilibrium of it was found: then it is unstable). Buckling of each timber between its joints is checked on \
             top: some of it may be counted twice, none is left out.",
            stability::SECOND_ORDER_BELOW,
            Show::new(project.units).text_to(Kind::Size, stability::imperfection_size(setup), 2)
        ),
        "The cover stiffens nothing.".to_owned(),
    ];
    out.extend(holes(project, setup));
    if project.timber.composite > 0.0 {
        out.push(format!(
            "The strips of a seam act together in bending about the shell's normal to {:.2} of a solid section, as \
             entered.",
            project.timber.composite
        ));
    }
    out.extend(left_out::loads(project));
    if let Some(fixings) = &project.rules.fixings {
        out.push(format!(
            "The {} fixings entered for a seam are those of the longest one; a shorter seam gets its share by length, \
             rounded, and at least one.",
            fixings.per_seam
        ));
        out.extend(remarks::of_fixings(project, setup));
        out.extend(NOT_SEEN.iter().map(|line| format!("Not seen at the seams: {line}.")));
    }
    out.extend(remarks::of_feet(project));
    if !is_mesh(project) {
        out.extend(setup.shell.remarks.iter().map(|remark| sentence(remark)));
    }
    out.extend(crate::loads::wind::door_and_openings(&project.loads, &setup.shell));
    out
}

/// What is taken as buckling lengths, and what holds the timbers sideways.
fn buckling_lengths(restraint: &Restraint) -> String {
    let length = |factor: f64| {
        if (factor - 1.0).abs() < 1e-12 {
            "its length between joints".to_owned()
        } else {
            format!("{factor} of its length between joints (entered)")
        }
    };
    let (out, within) = (length(restraint.length_factor_y), length(restraint.length_factor_z));
    match restraint.side {
        SideHold::None if out == within => {
            format!("Buckling length of a timber is {out}, both ways; the cover is not counted as a hold.")
        }
        SideHold::None => format!(
            "Buckling length of a timber is {out} out of the surface and {within} in it; the cover is not counted as a hold."
        ),
        SideHold::OutsideFace => format!(
            "Buckling length of a timber is {out} out of the surface; in the surface, and along its outside edge in bending, \
             the cover holds it, as entered."
        ),
        SideHold::BothFaces => format!(
            "Buckling length of a timber is {out} out of the surface; in the surface, and along both edges in bending, covers \
             hold it, as entered."
        ),
    }
}

/// The holes that are taken off, where there are any.
fn holes(project: &Project, setup: &Setup) -> Option<String> {
    let m = setup.shell.members.iter().position(|m| m.kind == MemberKind::Seam)?;
    let hole = check::hole(project, setup, m)?;
    let size = Show::new(project.units).text(Kind::Size, hole.diameter);
    Some(match project.rules.members.hole {
        Some(entered) if entered < hole.diameter => format!(
            "Holes of {size} for the fixings are taken off the strips of seams, at every place along them, as they are wider than those of {} \
             that were entered, which are taken off every other timber.",
            Show::new(project.units).text(Kind::Size, entered)
        ),
        Some(_) => {
            format!("Holes of {size}, as entered, are taken off every timber, at every place along it.")
        }
        None => format!(
            "Holes of {size} for the fixings are taken off the strips of seams, at every place along them."
        ),
    })
}

/// Standards, tables and papers that the numbers come from.
#[must_use]
pub fn sources(project: &Project, setup: &Setup) -> Vec<String> {
    let mut out = Vec::new();
    match &setup.grade {
        Grade::Eurocode(_) => out.extend([
            "EN 1990:2002+A1, EN 1991-1-1:2002, EN 1991-1-3:2003, EN 1991-1-4:2005+A1, EN 1995-1-1:2004+A1+A2: \
             formulas and figures from reference sheets, not read from the standards themselves; check them in the \
             printed standard and its national annex before relying on them.",
        ]),
        Grade::Nds(_) => out.extend([
            "ANSI/AWC NDS-2018 and its Supplement, ASCE/SEI 7: formulas and figures from reference sheets, not read \
             from the standards themselves; check them in the printed books before relying on them.",
        ]),
    }
    let mut out: Vec<String> = out.into_iter().map(str::to_owned).collect();
    out.push(format!("Grade {}: {}", setup.grade.name(), setup.grade.source()));
    out.push(
        "Bar-and-hinge model of folded plates: turning springs on the fold lines of pin-jointed triangles (open \
         literature on folded plates); this program's own writing-down, see docs/engineering-basis.md."
            .to_owned(),
    );
    if let Given::Value(snow) = &project.loads.snow {
        out.push(stated("Ground snow", snow.source.as_deref()));
    }
    if let Given::Value(wind) = &project.loads.wind {
        out.push(stated("Wind", wind.source.as_deref()));
    }
    out
}

fn stated(what: &str, source: Option<&str>) -> String {
    match source {
        Some(source) => format!("{what}: {source} (as stated by the user, not verified)"),
        None => format!("{what}: the user's own value; no source was stated"),
    }
}

/// What the answer leaves doubtful, provisional figures, and models that were not run.
#[must_use]
pub fn warnings(project: &Project, found: &Findings) -> Vec<String> {
    let mut out = found.doubts();
    // A terminal shows few warnings: what was compared with nothing comes before what is only doubtful.
    for words in found.models.iter().flat_map(|model| doubts::of_holds(project, &found.setup, &model.feet)) {
        let words = sentence(&words);
        if !out.contains(&words) {
            out.push(words);
        }
    }
    out.extend(unseen::both_at_once(project, found));
    out.extend(tie::warning(&project.rules.feet, &found.setup.shell));
    let holds = |v: Verdict| matches!(v, Verdict::Within | Verdict::Near);
    if holds(found.verdict) {
        for model in &found.models {
            if !holds(model.verdict) {
                let kind = model.run.model.kind;
                let stiffer = found.governing.iter().all(|&k| kind > found.models[k].run.model.kind);
                out.push(if stiffer {
                    format!(
                        "The {} model does not hold, though its joints are stiffer than those of the verdict: stiff joints draw \
                         moments and forces to them that this answer does not show. Do not take stiffer for better, and test a seam.",
                        model_name(kind)
                    )
                } else {
                    format!(
                        "The {} model does not hold: this answer relies on seams at least as stiff as entered. Test one.",
                        model_name(kind)
                    )
                });
            }
        }
    }
    out.extend(unseen::not_in_the_models(project, found));
    out.extend(
        crate::loads::warnings(&project.loads, &found.setup.shell).iter().map(|words| sentence(words)),
    );
    // What was done to a mesh, or left as it is, may be a slip; what openings took is told with the assumptions.
    let remarks = found.setup.shell.remarks.iter();
    out.extend(
        remarks
            .filter(|remark| is_mesh(project) || remark.contains("outline meets the shell"))
            .map(|r| sentence(r)),
    );
    if project.rules.members.k_sys > 1.1 {
        out.push(format!(
            "k_sys is entered as {}: EN 1995-1-1 6.6 gives 1.1, and that only where a continuous layer shares the load.",
            project.rules.members.k_sys
        ));
    }
    out.extend(too_large(found, project));
    out.extend(held_feet::warning(project, found));
    out.extend(
        crate::loads::gaps::not_all(&project.loads, &found.setup.cases, &found.setup.combinations)
            .map(|words| sentence(&words)),
    );
    out.extend(rows_of_feet::warning(found, project.units));

    let mut seen = std::collections::BTreeSet::new();
    for case in &found.setup.cases {
        for why in &case.provisional {
            if seen.insert(why.clone()) {
                out.push(format!("Provisional: {why}"));
            }
        }
    }
    out
}

/// Ground under a shell from which on an engineer is to be asked whatever the answer \[m²\] (common practice, no source).
const TOO_LARGE: f64 = 30.0;

fn too_large(found: &Findings, project: &Project) -> Option<String> {
    let floor = crate::shell::count::measures(&found.setup.shell).floor;
    let show = Show::new(project.units);
    let area = |value: f64| show.text_to(Kind::Area, value, 2);
    (floor > TOO_LARGE).then(|| {
        format!(
            "The shell stands over {} of ground: from about {} on have an engineer look at it, whatever the answer here.",
            area(floor),
            area(TOO_LARGE)
        )
    })
}

fn is_mesh(project: &Project) -> bool {
    matches!(project.shell.form, Form::Mesh(_))
}

/// SHA-256 of a text, hexadecimal: what `sha256sum` gives of its file, so that anybody can compare.
#[must_use]
pub fn checksum(text: &str) -> String {
    Sha256::digest(text.as_bytes()).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The files that the project file names, each with its checksum.
#[must_use]
pub fn further_files(project: &Project) -> Vec<FurtherFile> {
    let one = |file: &SourceText| FurtherFile { name: file.name.clone(), sha256: checksum(&file.text) };
    project.files.iter().skip(1).map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assess::find;
    use crate::project::{Asked, read_text};

    /// Each checksum is that of one file, as any other program works it out.
    #[test]
    fn checksums_are_those_of_the_files() {
        // FIPS 180-2, B.1.
        assert_eq!(checksum("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
        let files = further_files(&crate::assess::example("bee-shelter-mesh.toml"));
        let [mesh] = &files[..] else { panic!("{files:?}") };
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
        assert_eq!(mesh.sha256, checksum(&std::fs::read_to_string(folder.join(&mesh.name)).unwrap()));
    }

    /// A stiffer model that does not hold says nothing of seams that come out too soft.
    #[test]
    fn a_stiffer_model_that_does_not_hold_is_told_as_that() {
        let project = crate::assess::example("bee-shelter-mesh.toml");
        let told = warnings(&project, &find(&project).unwrap());
        let of_rigid = told.iter().find(|line| line.starts_with("The rigid model does not hold")).unwrap();
        assert!(
            of_rigid.contains("though its joints are stiffer") && !of_rigid.contains("at least as stiff")
        );
        // Whatever is told begins as a sentence does.
        assert!(told.iter().all(|line| line.chars().next().is_some_and(|c| !c.is_lowercase())), "{told:?}");
    }

    /// What the models leave out of panel frames is told where it counts, the first of all that is told.
    #[test]
    fn what_the_models_leave_out_is_told_first() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
        let told = |file: &str, change: &dyn Fn(String) -> String| {
            let text = change(std::fs::read_to_string(folder.join(file)).unwrap());
            let source = SourceText { name: file.to_owned(), text };
            let Asked::Shell(project) = read_text(source, &folder, "told").unwrap() else { panic!("{file}") };
            warnings(&project, &find(&project).unwrap())
        };
        let has = |told: &[String], part: &str| told.iter().any(|line| line.contains(part));
        let plain = told("propagation-tunnel.toml", &|text| text);
        assert!(has(&plain[..2], "Where timbers pull, the corners of the frames"), "{plain:#?}");
        assert!(has(&plain, "corners of the frames that give make it less"));
        assert!(has(&plain, "6 of 91 seams have two fixings only, which hardly keep"), "{plain:#?}");
        let more = told("propagation-tunnel.toml", &|text| text.replace("per_seam = 3", "per_seam = 6"));
        assert!(!has(&more, "hardly keep"), "{more:#?}");
        let tested = told("propagation-tunnel.toml", &|text| {
            text.replace("[fixings]", "[fixings]\ncorner_pull = \"9 kN\"\n#")
        });
        assert!(!has(&tested, "Where timbers pull, the corners"), "{tested:#?}");
        let few = told("propagation-tunnel.toml", &|text| text.replace("per_seam = 3", "per_seam = 1"));
        assert!(has(&few, "One fixing in a seam hardly keeps both"), "{few:#?}");
        let entered = told("propagation-tunnel.toml", &|text| {
            text.replace("[joints]", "[joints]\nseam_stiffness = \"3 kN m/rad per m\"")
        });
        assert!(!has(&entered, "corners of the frames that give make it less"), "{entered:#?}");
    }
}
