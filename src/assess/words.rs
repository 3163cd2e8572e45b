//! The words an assessment says: the caution, where a member is, what is not covered, what to ask.

use crate::rules::Standing;
use crate::shell::{JointId, MemberId, Role, Shape, Shell};

/// The caution, in a sentence.
pub const INDICATIVE: &str = "Indicative only: a preliminary load check from the values entered, not an engineer's \
certificate. Local codes, the building authority and a licensed engineer decide.";

/// Rule and clause of what concerns the shell as a whole or one joint, and no timber, fixing or foot.
pub type OfTheWhole = (&'static str, &'static str);
/// Buckling by the linear factor.
pub const BUCKLING: OfTheWhole =
    ("buckling of the whole (1 / load factor)", "linear eigenvalue, design stiffness");
/// A limit of the nonlinear path.
pub const LIMIT: OfTheWhole =
    ("folding or snapping through (1 / limit factor)", "nonlinear path with imperfection, design stiffness");
/// A path that could not be followed any further before it had been followed as far as anybody asks.
pub const NO_WAY_ON: OfTheWhole = (
    "no way on found for its path (1 / factor reached)",
    "nonlinear path with imperfection, design stiffness",
);
/// The snap of one joint.
pub const SNAP: OfTheWhole = ("snap-through of one joint (1 / factor)", "nonlinear, neighbours held");
/// What stands for the model of the snap of one joint, which belongs to none.
pub const BARS_ALONE: &str = "bars alone";

/// What the check does not look at.
pub const NOT_COVERED: &[&str] = &[
    "Fire: reaction of the cover, boundary distance, escape, stoves and flues.",
    "Durability: rot, corrosion of fixings, ground contact, drainage of the drip line.",
    "The ground: bearing, slope, made ground, frost, trees, and whether an anchor holds what is entered for it.",
    "Earthquake, tornado (ASCE 7-22 chapter 32, risk categories III and IV), impact, explosion, animals, trees and vandals.",
    "Workmanship: gaps in bevels, fixings left loose, timbers that dry, split or twist.",
    "Splitting of a strip across the grain by its corner screws, and the corner screws themselves.",
    "What joins studs, braces and sills of a framed end to the shell, the strips of a rim to each other, and a door's leaf to its rim.",
    "The cover: glass, sheets and film, their fixings, and ponding between them.",
    "Sliding snow from a higher roof, snow trapped against a neighbour, and ice.",
    "Wind close to edges and corners (local suction on single panels), vortices and wind on parts left open.",
    "Erection, unless a stage is entered: props, part-built rows, half the cover on.",
    "Vibration, fatigue and loosening of fixings over the years.",
];

/// What to put to an engineer.
pub const QUESTIONS: &[&str] = &[
    "Are the snow and wind values the right ones for this site, height and exposure?",
    "Is the moisture entered for the timber (its service class, or wet or dry service) right for what it will be used for?",
    "How stiff and how strong are the seams as made: is a bench test of one seam enough, and on how many samples?",
    "How does a pull leave one panel and enter the next where panels meet at a joint?",
    "What do the anchors really hold in this ground, and how is that to be tested?",
    "Is every frame held near its own corner at the ground? Frames of one foot that share an anchor under the joint, and turn on it, may ask it for \
     several times the level forces told here.",
    "Is the imperfection taken for the whole-shell stability fair for how it is built?",
    "What is the consequence of a collapse here (people gathering, a path, a boundary), and does that ask for more?",
];

/// As well, where panels were taken out.
pub const QUESTION_OF_AN_OPENING: &str =
    "Does the door's frame carry round the opening what the missing panels carried?";

/// From here on a utilisation stands for "beyond a limit of validity" (the results use 1e9).
const BEYOND: f64 = 1e6;

/// A utilisation to two decimals, never rounded down across a limit: 1.004 prints "1.01".
pub(crate) fn utilisation(value: f64) -> String {
    if beyond_number(value) {
        return "beyond".to_owned();
    }
    if value >= 100.0 {
        return format!("{value:.0}");
    }
    if value >= 10.0 {
        return format!("{value:.1}");
    }
    let rounded = (value * 100.0).round() / 100.0;
    let hides = |limit: f64| value > limit && rounded <= limit;
    if hides(Standing::NEAR) || hides(Standing::WITHIN) {
        format!("{:.2}", rounded + 0.01)
    } else {
        format!("{value:.2}")
    }
}

/// Whether a utilisation stands for what no number tells: beyond a limit of validity, or with no room at all.
pub(crate) fn beyond_number(value: f64) -> bool {
    !value.is_finite() || value >= BEYOND
}

/// A utilisation as a share of its limit, in words that go on a sentence: "0.77 of its limit".
pub(crate) fn of_its(value: f64, limit: &str) -> String {
    if beyond_number(value) {
        format!("beyond any {limit}")
    } else {
        format!("{} of its {limit}", utilisation(value))
    }
}

/// A role in words.
#[must_use]
pub fn role(role: Role) -> &'static str {
    match role {
        Role::Seam => "seam",
        Role::Arch => "arch seam",
        Role::Diagonal => "diagonal seam",
        Role::Purlin => "lengthwise seam",
        Role::BaseRim => "base rim",
        Role::EndRim => "end rim",
        Role::DoorRim => "rim of an opening",
        Role::Stud => "stud",
        Role::Sill => "sill",
        Role::Brace => "gable diagonal",
    }
}

/// Where a member is, in words: "arch seam near the crown, valley".
#[must_use]
pub fn member_place(shell: &Shell, id: MemberId) -> String {
    let member = &shell.members[id.0];
    let middle = (shell.at(member.joints[0]) + shell.at(member.joints[1])) * 0.5;
    let fold = if member.fold < -1e-9 { ", valley" } else { "" };
    format!("{}{}{fold}", role(member.role), height_words(shell, middle.z, middle.x))
}

/// Where a joint is, in words: "foot on the +y side".
#[must_use]
pub fn joint_place(shell: &Shell, id: JointId) -> String {
    let at = shell.at(id) - shell.outline.centre;
    let side = if at.x.abs() > at.y.abs() {
        if at.x > 0.0 { "+x" } else { "−x" }
    } else if at.y > 0.0 {
        "+y"
    } else {
        "−y"
    };
    if shell.joints[id.0].foot {
        format!("foot on the {side} side")
    } else {
        format!("joint{} on the {side} side", height_words(shell, shell.at(id).z, shell.at(id).x))
    }
}

fn height_words(shell: &Shell, z: f64, x: f64) -> String {
    let outline = &shell.outline;
    let share = if outline.rise > 0.0 { z / outline.rise } else { 0.0 };
    let height = match share {
        s if s > 0.9 => " at the crown",
        s if s > 0.6 => " on the upper slope",
        s if s > 0.3 => " at mid-height",
        s if s > 0.02 => " low down",
        _ => " on the ground",
    };
    let end = match (outline.shape, outline.barrel) {
        (Shape::Vault, Some([low, high])) => {
            let length = (high - low).max(f64::MIN_POSITIVE);
            let along = (x - low) / length;
            if x < low - 1e-6 || x > high + 1e-6 {
                " of a domed end"
            } else if (0.35..=0.65).contains(&along) {
                " in mid-length"
            } else if !(0.1..=0.9).contains(&along) {
                " at an end"
            } else {
                ""
            }
        }
        _ => "",
    };
    format!("{height}{end}")
}
