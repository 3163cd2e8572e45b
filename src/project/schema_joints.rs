//! `[joints]`, `[fixings]`, `[feet]`: the joint models, what joins the seams, what holds the feet.

use super::key::Key;
use super::schema_timber::Timber;
use super::table::Table;
use crate::loads::ask::Basis;
use crate::model::ask::{FeetHeld, JointModel, JointsAsk, SeamStiffness};
use crate::rules::ask::{FeetAsk, FixingKind, FixingsAsk};
use crate::rules::fasteners::JointTimber;
use crate::rules::spacing::{self, Standard, Strip};
use crate::units::{Dimension, INCH, System};

const MODELS: Key = Key::list(
    "models",
    "joint models to look at: pinned, seam, semi-rigid, rigid; pinned, rigid, and seam where its stiffness is known, where nothing is said",
);
const SEAM_STIFFNESS: Key = Key::quantity(
    "seam_stiffness",
    Dimension::TurningStiffnessPerLength,
    "turning stiffness of a seam, per metre of it; measured on a bench, or left to be estimated from [fixings]",
)
.within(0.0, 1e9)
.usually(50.0, 1e5);
const END_STIFFNESS: Key = Key::quantity(
    "end_stiffness",
    Dimension::TurningStiffness,
    "turning stiffness of a timber's end about every axis, for the semi-rigid model",
)
.within(0.0, 1e12)
.usually(10.0, 1e7);

/// Keys of `[joints]`.
pub const JOINT_KEYS: &[Key] = &[MODELS, SEAM_STIFFNESS, END_STIFFNESS];

const KIND: Key = Key::word("kind", "bolt, screw or coach screw (lag screw means the same)");
const DIAMETER: Key = Key::length("diameter", "nominal diameter").within(0.001, 0.05).usually(0.003, 0.02);
const WASHER: Key = Key::length("washer", "washer's outer diameter (three diameters where nothing is said)")
    .within(0.003, 0.2)
    .usually(0.012, 0.1);
const PER_SEAM: Key =
    Key::whole("per_seam", "fixings in the longest seam; shorter ones have fewer, about as far apart")
        .within(1.0, 100.0);
const LEVER: Key = Key::length(
    "lever",
    "from the fixing to the face of the strip that bears when the seam turns; the nearer of the two counts",
)
.within(0.001, 0.5)
.usually(0.01, 0.2);
const LENGTH: Key =
    Key::length("length", "length under the head; screws").within(0.005, 0.6).usually(0.03, 0.3);
const THREAD: Key = Key::length("thread", "length of the thread; screws").within(0.005, 0.6);
const ROOT: Key = Key::length("root", "diameter at the root of the thread").within(0.0005, 0.05);
const HEAD: Key = Key::length("head", "diameter of the head").within(0.001, 0.1);
const STEEL: Key = Key::quantity(
    "steel",
    Dimension::Pressure,
    "tensile strength of the steel (400 N/mm2 where nothing is said, 60 000 psi under the NDS)",
)
.within(1e8, 2e9)
.usually(3e8, 1.05e9);
const WITHDRAWAL: Key =
    Key::quantity("withdrawal", Dimension::Pressure, "the maker's withdrawal parameter f_ax,k")
        .within(1e5, 1e8);
const HEAD_PULL: Key =
    Key::quantity("head_pull", Dimension::Pressure, "the maker's head pull-through parameter f_head,k")
        .within(1e5, 2e8);
const DECLARED_DENSITY: Key =
    Key::quantity("declared_density", Dimension::Density, "timber density that the maker's values belong to")
        .within(100.0, 1500.0);
const END: Key =
    Key::length("end", "from the joint to the first fixing, at corners of 60° and wider (further at sharper ones); where nothing is said half a spacing, or as much as its end distance wants")
        .within(0.0, 5.0);
const CLEARANCE: Key = Key::length(
    "clearance",
    "how much wider than the bolt its hole is (1 mm where nothing is said, 1/16 in under the NDS)",
)
.within(0.0, 0.02)
.usually(0.0, 0.003);
const PREDRILLED: Key = Key::flag("predrilled", "whether screws are put into drilled holes");
const CORNER_PULL: Key = Key::quantity(
    "corner_pull",
    Dimension::Force,
    "what one corner of a panel's frame holds in pull by a test, a characteristic value",
)
.within(0.0, 1e6)
.usually(50.0, 3e4);

/// Keys of `[fixings]`.
pub const FIXING_KEYS: &[Key] = &[
    KIND,
    DIAMETER,
    WASHER,
    PER_SEAM,
    LEVER,
    LENGTH,
    THREAD,
    ROOT,
    HEAD,
    STEEL,
    WITHDRAWAL,
    HEAD_PULL,
    DECLARED_DENSITY,
    END,
    CLEARANCE,
    PREDRILLED,
    CORNER_PULL,
];

const HELD: Key = Key::word("held", "how a foot is held: pinned (where nothing is said) or fixed");
const UPLIFT: Key = Key::quantity("uplift", Dimension::Force, "what one anchor holds upward, your own value")
    .within(0.0, 1e7)
    .usually(50.0, 2e5);
const SLIDE: Key = Key::quantity("slide", Dimension::Force, "what one anchor holds sideways, your own value")
    .within(0.0, 1e7)
    .usually(50.0, 2e5);
const MOMENT: Key = Key::quantity(
    "moment",
    Dimension::Moment,
    "what one anchor holds against turning, your own value; where feet are fixed",
)
.within(0.1, 1e7)
.usually(5.0, 1e5);
const PAD_WEIGHT: Key =
    Key::quantity("pad_weight", Dimension::Force, "weight of the pad or ballast at one foot")
        .within(0.0, 1e7)
        .usually(50.0, 5e4);
const PAD_AREA: Key =
    Key::quantity("pad_area", Dimension::Area, "area of the pad on the ground").within(1e-4, 100.0);
const GROUND_PRESSURE: Key =
    Key::quantity("ground_pressure", Dimension::Pressure, "pressure that the ground may carry")
        .within(1e3, 1e8)
        .usually(2e4, 1e6);
const FRICTION: Key = Key::number("friction", "friction under a foot while it presses down").within(0.0, 1.5);
const TIE: Key = Key::quantity(
    "tie",
    Dimension::Force,
    "what a tie from foot to foot across, or the ring of a round base, holds along itself",
)
.within(0.0, 1e8);
const BEARING_LENGTH: Key =
    Key::length("bearing_length", "length of timber that bears on the pad, along the grain")
        .within(0.005, 5.0);

/// Keys of `[feet]`.
pub const FEET_KEYS: &[Key] =
    &[HELD, UPLIFT, SLIDE, MOMENT, PAD_WEIGHT, PAD_AREA, GROUND_PRESSURE, FRICTION, TIE, BEARING_LENGTH];

/// Reads `[fixings]`, where there is one: `Some(None)` without, `None` with faults.
#[allow(clippy::option_option, reason = "absent and faulty differ")]
pub(crate) fn fixings(table: &Table<'_, '_>) -> Option<Option<FixingsAsk>> {
    if !table.is_present() {
        return Some(None);
    }
    let kinds = [
        ("bolt", FixingKind::Bolt),
        ("screw", FixingKind::Screw),
        ("coach screw", FixingKind::CoachScrew),
        // As the NDS calls it.
        ("lag screw", FixingKind::CoachScrew),
    ];
    let kind = table.need_word(&KIND, &kinds);
    let diameter = table.need_quantity(&DIAMETER);
    let per_seam = table.need_whole(&PER_SEAM);
    let lever = table.need_quantity(&LEVER);
    let washer = table.quantity(&WASHER);
    let lengths = [LENGTH, THREAD, ROOT, HEAD, END, CLEARANCE].map(|key| table.quantity(&key));
    let [length, thread, root, head, end, clearance] = lengths;
    let steels =
        [STEEL, WITHDRAWAL, HEAD_PULL, DECLARED_DENSITY, CORNER_PULL].map(|key| table.quantity(&key));
    let [steel, withdrawal, head_pull, declared_density, corner_pull] = steels;
    let predrilled = table.flag_or(&PREDRILLED, false);
    if let (Some(washer), Some(diameter)) = (washer, diameter)
        && washer <= diameter
    {
        table.fault("out-of-range", &WASHER, "must be wider than the fixing", "give its outer diameter");
    }
    if let (Some(length), Some(thread)) = (length, thread)
        && thread > length
    {
        table.fault(
            "out-of-range",
            &THREAD,
            "is longer than the fixing",
            "give the length of the thread alone",
        );
    }
    if let (Some(root), Some(diameter)) = (root, diameter)
        && root > diameter
    {
        let help = "give the diameter at the bottom of the thread; fixings.diameter is the nominal one";
        table.fault("out-of-range", &ROOT, "is thicker than the fixing", help);
    }
    if let (Some(head), Some(diameter)) = (head, diameter)
        && head <= diameter
    {
        table.fault("out-of-range", &HEAD, "must be wider than the fixing", "give the head's outer diameter");
    }
    table.finish(FIXING_KEYS, "");
    Some(Some(FixingsAsk {
        washer,
        length,
        thread,
        root,
        head,
        steel,
        withdrawal,
        head_pull,
        declared_density,
        end,
        clearance,
        predrilled,
        corner_pull,
        ..FixingsAsk::new(kind?, diameter?, per_seam?, lever?)
    }))
}

/// The thickest fixing that the standard's embedding strengths are for \[m\]: bolts, and screws that follow them, up to 30 mm
/// (EN 1995-1-1 8.5.1.1(2)) or 1 in (NDS-2018 12.3.3); both from memory.
const THICKEST: [(Standard, f64, &str); 2] =
    [(Standard::Eurocode5, 0.030, "30 mm (EN 1995-1-1 8.5.1.1)"), (Standard::Nds, INCH, "1 in (NDS 12.3.3)")];

/// Tells a fixing that stands outside its strip, or nearer to an edge than any force allows, even where the seam is flat
/// and only pressed: no such project can be built. `sharpest` is the greatest fold of the shell's seams \[rad\]. What more a folded, loaded seam wants is a finding of the check.
pub(crate) fn fitting(
    table: &Table<'_, '_>,
    fixings: &FixingsAsk,
    timber: &Timber,
    basis: Basis,
    units: System,
    sharpest: impl Fn() -> f64,
) {
    let standard = match basis {
        Basis::Eurocode => Standard::Eurocode5,
        Basis::UsAsd | Basis::UsLrfd => Standard::Nds,
    };
    for (_, most, words) in THICKEST.into_iter().filter(|(of, ..)| *of == standard) {
        if fixings.diameter > most * (1.0 + 1e-9) {
            let message = format!("is more than the standard's rules go up to, {words}");
            table.fault("out-of-range", &DIAMETER, message, "take thinner fixings, and more of them");
            return;
        }
    }
    let wood = JointTimber::of(&timber.grade);
    let sizes = std::iter::once((timber.ask.breadth, timber.ask.depth))
        .chain(timber.ask.groups.iter().map(|group| (group.breadth, group.depth)));
    let mut first = None;
    for (breadth, depth) in sizes {
        let strip = Strip {
            count: 2,
            corner: spacing::WIDE,
            breadth,
            depth,
            fold: 0.0,
            bevelled: timber.ask.bevelled,
            // Ends and spacings are a matter of each seam.
            length: 1e3,
            wood: wood.wood,
            density_k: wood.density_k,
        };
        if spacing::outside(fixings, &strip, standard, units).is_none() {
            return;
        }
        // What is advised is to fit in the sharpest seam.
        let strip = Strip { fold: sharpest(), ..strip };
        first = first.or_else(|| spacing::outside(fixings, &strip, standard, units));
    }
    if let Some(why) = first {
        let place = if table.has(&LEVER) { &LEVER } else { &DIAMETER };
        table.fault("does-not-fit", place, format!("leaves no room: {why}"), spacing::OUTSIDE_HELP);
    }
}

/// Reads `[joints]` and how the feet are held.
pub(crate) fn joints(table: &Table<'_, '_>, feet: FeetHeld, has_fixings: bool) -> Option<JointsAsk> {
    let entered = table.quantity(&SEAM_STIFFNESS);
    let seam_stiffness = match (entered, has_fixings) {
        (Some(value), _) => SeamStiffness::Entered(value),
        (None, true) => SeamStiffness::FromFixings,
        (None, false) => SeamStiffness::Unknown,
    };
    let end_stiffness = table.quantity(&END_STIFFNESS);
    let choices = [
        ("pinned", JointModel::Pinned),
        ("seam", JointModel::Seam),
        ("semi-rigid", JointModel::SemiRigid),
        ("rigid", JointModel::Rigid),
    ];
    let mut models = Vec::new();
    let mut unknown = Vec::new();
    if let Some(names) = table.texts(&MODELS) {
        for name in names {
            let Some(model) = table.choose(&MODELS, &name, &choices) else { continue };
            let mut fault = |message, help| unknown.push((name.place.clone(), message, help));
            if model == JointModel::Seam
                && seam_stiffness == SeamStiffness::Unknown
                && !table.has(&SEAM_STIFFNESS)
            {
                fault(
                    "\"seam\", and nothing says how stiff a seam is",
                    "give joints.seam_stiffness, or [fixings] to estimate it from, or take \"seam\" out",
                );
            }
            if model == JointModel::SemiRigid && end_stiffness.is_none() && !table.has(&END_STIFFNESS) {
                fault(
                    "\"semi-rigid\", and nothing says how stiff a timber's end is",
                    "give joints.end_stiffness, or take \"semi-rigid\" out",
                );
            }
            models.push(model);
        }
    } else if !table.has(&MODELS) {
        models = vec![JointModel::Pinned];
        if seam_stiffness != SeamStiffness::Unknown {
            models.push(JointModel::Seam);
        }
        models.push(JointModel::Rigid);
        let names: Vec<&str> =
            choices.iter().filter(|choice| models.contains(&choice.1)).map(|choice| choice.0).collect();
        table.reading.input("joints.models", names.join(", "), "default", "");
    }
    if end_stiffness.is_some() && !table.has(&MODELS) {
        let (line, column) = table.reading.line_and_column(&table.place_of(&END_STIFFNESS));
        table.reading.warn(format!(
            "joints.end_stiffness says nothing (line {line}, column {column}): it is for the semi-rigid model, which is looked \
             at where joints.models names it"
        ));
    }
    models.sort_unstable();
    models.dedup();
    table.finish(JOINT_KEYS, "");
    // A stiffness under a misspelt key is no missing one as well.
    if !table.is_faulty() {
        for (place, message, help) in unknown {
            let message: String = format!("joints.models names {message}");
            table.reading.fault("missing", place, message, help);
        }
    }
    if models.is_empty() {
        return None;
    }
    if let Some(words) = models_left_out(&models, seam_stiffness != SeamStiffness::Unknown) {
        table.reading.doubt(words);
    }
    Some(JointsAsk { models, seam_stiffness, end_stiffness, feet })
}

/// Why a verdict is not that of the models that it wants: the seam model's where the stiffness of the seams is known, and else the worse of
/// pinned and rigid.
fn models_left_out(kinds: &[JointModel], seams_known: bool) -> Option<String> {
    let lacks = |kind: JointModel| !kinds.contains(&kind);
    let stiff = kinds.iter().all(|kind| kind.is_stiff());
    let softer = if stiff {
        ". Frames bolted along their edges are softer than that; a tunnel that looks comfortable may fold"
    } else {
        ""
    };
    if seams_known {
        return lacks(JointModel::Seam).then(|| {
            format!(
                "the seam model was left out ([joints] models), though the stiffness of the seams is known: the verdict is that of other joints \
                 than the shell has{softer}"
            )
        });
    }
    let lacking = match (lacks(JointModel::Pinned), lacks(JointModel::Rigid)) {
        (false, false) => return None,
        (true, false) => "the pinned model was",
        (false, true) => "the rigid model was",
        (true, true) => "the pinned and the rigid model were",
    };
    Some(format!(
        "{lacking} left out ([joints] models), and the stiffness of the seams is not known: the shell lies somewhere between pinned and rigid, and \
         may fare worse than told{softer}"
    ))
}

/// Reads `[feet]`.
pub(crate) fn feet(table: &Table<'_, '_>) -> (FeetHeld, FeetAsk) {
    let held = table.word_or_first(&HELD, &[("pinned", FeetHeld::Pinned), ("fixed", FeetHeld::Fixed)]);
    let moment = table.quantity(&MOMENT);
    let turns_freely = matches!(held, FeetHeld::Pinned);
    let feet = FeetAsk {
        uplift: table.quantity(&UPLIFT),
        slide: table.quantity(&SLIDE),
        // A foot that turns freely has none.
        moment: moment.filter(|_| !turns_freely),
        pad_weight: table.quantity(&PAD_WEIGHT),
        pad_area: table.quantity(&PAD_AREA),
        ground_pressure: table.quantity(&GROUND_PRESSURE),
        friction: table.quantity(&FRICTION),
        tie: table.quantity(&TIE),
        bearing_length: table.quantity(&BEARING_LENGTH),
    };
    table.finish(FEET_KEYS, "");
    if feet.ground_pressure.is_some() && !table.has(&PAD_AREA) {
        let (line, column) = table.reading.line_and_column(&table.place_of(&GROUND_PRESSURE));
        table.reading.warn(format!(
            "feet.ground_pressure says nothing without feet.pad_area (line {line}, column {column}): what a foot presses \
             on the ground with is not checked"
        ));
    }
    if moment.is_some() && turns_freely {
        let (line, column) = table.reading.line_and_column(&table.place_of(&MOMENT));
        table.reading.warn(format!(
            "feet.moment says nothing where feet are held \"pinned\" (line {line}, column {column}): such feet turn freely and \
             hold no moment"
        ));
    }
    (held, feet)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A verdict that is not of the models that it wants is no better than near.
    #[test]
    fn models_that_were_left_out_are_told() {
        use JointModel::{Pinned, Rigid, Seam, SemiRigid};
        for (kinds, known, told) in [
            (&[Pinned, Seam, Rigid][..], true, ""),
            (&[Seam], true, ""),
            (&[Pinned, Rigid], true, "the seam model was left out"),
            (&[Pinned, Rigid], false, ""),
            (&[Rigid], false, "the pinned model was left out"),
            (&[Pinned, SemiRigid], false, "the rigid model was left out"),
            (&[SemiRigid], false, "the pinned and the rigid model were left out"),
        ] {
            let words = models_left_out(kinds, known);
            assert_eq!(words.is_some(), !told.is_empty(), "{kinds:?} {known}");
            assert!(words.is_none_or(|words| words.starts_with(told)));
        }
    }
}
