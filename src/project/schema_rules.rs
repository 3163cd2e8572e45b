//! `[rules]`: effective lengths, what holds the timbers, and other choices of the timber rules; and
//! whether the grade, its class and the sizes go together.

use super::key::Key;
use super::reading::Reading;
use super::schema_timber::{BREADTH, DEPTH, GRADE, OWN, SERVICE_CLASS, Timber};
use super::table::Table;
use crate::loads::Duration;
use crate::loads::ask::Basis;
use crate::rules::ask::{LoadEdge, MembersAsk, NdsLoading, Restraint, SideHold};
use crate::rules::members::{Conditions, MemberInput, RuleError, acceptable};
use crate::section::strip::strip;
use crate::tables::Tables;
use crate::tables::nds::Temperature;
use crate::units::{Kind, Show};

const LENGTH_OUT: Key = Key::number(
    "length_factor_out",
    "effective length over length, buckling out of the surface (1 where nothing is said)",
)
.within(0.05, 5.0)
.usually(0.5, 1.2);
const LENGTH_IN: Key = Key::number(
    "length_factor_in",
    "effective length over length, buckling in the surface (1 where nothing is said)",
)
.within(0.05, 5.0)
.usually(0.3, 1.2);
const LATERAL: Key = Key::number(
    "lateral_factor",
    "effective over unheld length for lateral buckling in bending (Eurocode; 1 where nothing is said)",
)
.within(0.05, 5.0)
.usually(0.3, 1.2);
const LOAD_EDGE: Key = Key::word(
    "load_edge",
    "Eurocode: where bending loads act: compression (the careful choice), middle or tension",
);
const COVER_HOLDS: Key = Key::word(
    "cover_holds",
    "whether the cover holds the timbers sideways: no (where nothing is said), outside or both faces",
);
const HOLE: Key = Key::length("hole", "diameter of holes through the breadth of every timber; those that the fixings make where nothing is said")
    .within(0.001, 0.1)
    .usually(0.003, 0.025);
const K_SYS: Key =
    Key::number("k_sys", "EN 1995-1-1 6.6: 1.1 where a continuous layer shares load between equal timbers")
        .within(1.0, 1.2);
const PARTIAL_FACTOR: Key =
    Key::number("partial_factor", "γM of your national annex (EN 1995-1-1 Table 2.3)")
        .within(1.0, 2.0)
        .usually(1.2, 1.5);
const WET: Key = Key::flag(
    "wet",
    "NDS: moisture in service above 19 %; true where nothing is said, unless timber.service_class is 1",
);
const TEMPERATURE: Key =
    Key::word("temperature", "NDS: usual (to 100 °F), warm (to 125 °F) or hot (to 150 °F), sustained");
const INCISED: Key = Key::flag("incised", "NDS: incised for treatment");
const REPETITIVE: Key =
    Key::flag("repetitive", "NDS: three or more equal timbers joined, at most 24 in apart (4.3.9)");
const BENDING_LOADING: Key =
    Key::word("bending_loading", "NDS Table 3.3.3: any (the careful choice), uniform or end-moments");
/// Keys of `[rules]`.
pub const KEYS: &[Key] = &[
    LENGTH_OUT,
    LENGTH_IN,
    LATERAL,
    LOAD_EDGE,
    COVER_HOLDS,
    HOLE,
    K_SYS,
    PARTIAL_FACTOR,
    WET,
    TEMPERATURE,
    INCISED,
    REPETITIVE,
    BENDING_LOADING,
];

/// Reads `[rules]`; everything in it has a careful default.
pub(crate) fn read(table: &Table<'_, '_>, basis: Option<Basis>) -> Option<MembersAsk> {
    let usual = MembersAsk::default();
    let mut ask = usual;
    ask.restraint = Restraint {
        length_factor_y: table.quantity_or(&LENGTH_OUT, 1.0),
        length_factor_z: table.quantity_or(&LENGTH_IN, 1.0),
        side: table.word_or_first(
            &COVER_HOLDS,
            &[
                ("no", SideHold::None),
                ("outside", SideHold::OutsideFace),
                ("both faces", SideHold::BothFaces),
            ],
        ),
        ..usual.restraint
    };
    ask.hole = table.quantity(&HOLE);
    match basis {
        Some(Basis::Eurocode) => {
            ask.restraint.lateral_factor = table.quantity_or(&LATERAL, 1.0);
            ask.restraint.load_edge = table.word_or_first(
                &LOAD_EDGE,
                &[
                    ("compression", LoadEdge::Compression),
                    ("middle", LoadEdge::Middle),
                    ("tension", LoadEdge::Tension),
                ],
            );
            ask.k_sys = table.quantity_or(&K_SYS, 1.0);
            ask.partial_factor = table.quantity(&PARTIAL_FACTOR);
        }
        Some(Basis::UsAsd | Basis::UsLrfd) => {
            ask.wet = table.flag(&WET);
            ask.temperature = table.word_or_first(
                &TEMPERATURE,
                &[("usual", Temperature::Usual), ("warm", Temperature::Warm), ("hot", Temperature::Hot)],
            );
            ask.incised = table.flag_or(&INCISED, false);
            ask.repetitive = table.flag_or(&REPETITIVE, false);
            ask.restraint.nds_loading = table.word_or_first(
                &BENDING_LOADING,
                &[
                    ("any", NdsLoading::AnyOther),
                    ("uniform", NdsLoading::Uniform),
                    ("end-moments", NdsLoading::EndMoments),
                ],
            );
        }
        None => return None,
    }
    table.finish(KEYS, "under this basis");
    Some(ask)
}

/// Tells a cover that is to hold the timbers and is not there.
pub(crate) fn held_by_nothing(table: &Table<'_, '_>, members: &MembersAsk) {
    if members.restraint.side != SideHold::None {
        let message = "says that the cover holds the timbers sideways, and [cover] is left out";
        table.fault(
            "both",
            &COVER_HOLDS,
            message,
            "give the cover and its weight, or take cover_holds out: a bare timber is held by nothing",
        );
    }
}

/// Of a timber that lies flat, as sides that were swapped do.
fn swapped(reading: &Reading, breadth: f64, depth: f64) {
    if breadth > depth {
        let [b, d] = [breadth, depth].map(|side| Show::new(reading.units.get()).text_to(Kind::Size, side, 4));
        reading.warn_once(format!(
            "a timber is {b} broad along the panel and {d} deep through the shell, so it lies flat: are breadth and depth swapped?"
        ));
    }
}

/// Tells a grade that does not go with its service class, or sizes that its table does not cover.
pub(crate) fn fitting(table: &Table<'_, '_>, timber: &Timber, basis: Basis, members: &MembersAsk) {
    let base = match basis {
        Basis::Eurocode => match timber.service_class {
            Some(class) => Conditions::eurocode(class, Duration::ShortTerm),
            None => return,
        },
        Basis::UsAsd => Conditions::nds(true, Duration::LoadDurationFactor(1.0)),
        Basis::UsLrfd => Conditions::nds(true, Duration::TimeEffectFactor(0.8)),
    };
    let sizes = std::iter::once((timber.ask.breadth, timber.ask.depth))
        .chain(timber.ask.groups.iter().map(|group| (group.breadth, group.depth)));
    for (breadth, depth) in sizes {
        nominal(table.reading, breadth, depth);
        swapped(table.reading, breadth, depth);
        let Ok(section) = strip(breadth, depth, 0.0, false) else { continue };
        let input = MemberInput {
            section,
            length: 1.0,
            grade: &timber.grade,
            conditions: base.with(members),
            restraint: members.restraint,
            hole: None,
            forces: &[],
            places: &[],
        };
        let grade = if table.has(&OWN) { &OWN } else { &GRADE };
        match acceptable(&input) {
            Ok(()) => {}
            Err(RuleError::Size { limits, nearest, grade, .. }) => {
                let message = format!("goes with {grade}, which covers {limits}; this size is outside it");
                let key = if breadth < depth { &BREADTH } else { &DEPTH };
                table.fault("size", key, message, format!("the nearest that would do: {nearest}"));
                return;
            }
            Err(RuleError::NotPermitted { grade: name, class, highest }) => {
                table.fault(
                    "service-class",
                    &SERVICE_CLASS,
                    format!("is {class}, and {name} may be used up to {highest}"),
                    "take a sawn softwood class such as \"C24\", or keep the timber drier",
                );
                return;
            }
            Err(error) => {
                table.fault(
                    "grade",
                    grade,
                    format!("cannot be checked: {error}"),
                    "strutwise tables lists the grades of each basis",
                );
                return;
            }
        }
    }
}

/// Warns of a size that is the name of a smaller one: 2 in × 4 in is 1½ in × 3½ in once it is dressed.
pub(super) fn nominal(reading: &Reading, breadth: f64, depth: f64) {
    let inches = [breadth.min(depth), breadth.max(depth)].map(|size| size / 0.0254);
    if inches.iter().any(|size| (size - size.round()).abs() > 1e-6) {
        return;
    }
    let [small, large] = inches.map(f64::round);
    let Ok((b, d)) = Tables::built_in().stocked(&format!("{small}x{large}")) else { return };
    let [b, d] = [b, d].map(|size| crate::units::significant(size / 0.0254, 4));
    reading.warn_once(format!(
        "timber of {small} in by {large} in is taken as entered; what is sold by that name measures {b} in by {d} in once \
         dressed, which carries far less: write the finished size"
    ));
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;
    use crate::project::{Asked, Project, ProjectError, SourceText, read_text};

    fn project(basis: &str, timber: &str, rules: &str) -> Result<Box<Project>, String> {
        let text = format!(
            "[project]\nname = \"store\"\nbasis = \"{basis}\"\n[shell]\nform = \"dome\"\nradius = \"2 m\"\nfrequency = 2\n\
             up = \"vertex\"\nbase = \"0 m\"\n[timber]\n{timber}\n{rules}\n[cover]\nweight = \"9 kg/m2\"\n[snow]\nleft_out = \"a test\"\n\
             [wind]\nleft_out = \"a test\"\n"
        );
        // The US bases ask for an edition and a risk category as well.
        let us = if basis == "eurocode" { "" } else { "[combine]\nedition = \"7-16\"\nrisk = \"I\"\n" };
        let source = SourceText { name: "store.toml".to_owned(), text: text + us };
        match read_text(source, Path::new("."), "store") {
            Ok(Asked::Shell(project)) => Ok(project),
            Ok(other) => panic!("{other:?}"),
            Err(ProjectError::Faulty(faulty)) => Err(faulty.to_string()),
            Err(other) => panic!("{other:?}"),
        }
    }

    const C24: &str = "grade = \"C24\"\nbreadth = \"47 mm\"\ndepth = \"75 mm\"\nservice_class = 2";
    const DFL: &str = "grade = \"DF-L No.2\"\nbreadth = \"1.5 in\"\ndepth = \"3.5 in\"";
    const OWN: &str = "breadth = \"45 mm\"\ndepth = \"90 mm\"\n[timber.own]\nname = \"orchard larch\"\nmaterial = \"lvl\"\n\
        f_m_k = \"24 N/mm2\"\nf_t_0_k = \"14 N/mm2\"\nf_c_0_k = \"21 N/mm2\"\nf_c_90_k = \"2.5 N/mm2\"\nf_v_k = \"4 N/mm2\"\n\
        e_0_mean = \"11000 N/mm2\"\ne_0_05 = \"7400 N/mm2\"\ng_mean = \"690 N/mm2\"\nrho_k = 350\nrho_mean = 420";

    #[test]
    fn every_choice_has_a_careful_default() {
        let found = project("eurocode", C24, "").unwrap().rules.members;
        assert_eq!(found, MembersAsk::default());
        assert_eq!(found.restraint.side, SideHold::None);
    }

    #[test]
    fn choices_are_read_for_either_basis() {
        let rules = "[rules]\nlength_factor_in = 0.5\ncover_holds = \"outside\"\nhole = \"9 mm\"\npartial_factor = 1.2";
        let found = project("eurocode", C24, rules).unwrap().rules.members;
        assert_eq!(found.restraint.side, SideHold::OutsideFace);
        assert!((found.restraint.length_factor_z - 0.5).abs() < 1e-12);
        assert!((found.hole.unwrap() - 0.009).abs() < 1e-12);
        assert_eq!(found.partial_factor, Some(1.2));
        let rules = "[rules]\nwet = true\ntemperature = \"warm\"\nbending_loading = \"uniform\"";
        let found = project("us-asd", DFL, rules).unwrap().rules.members;
        assert_eq!((found.wet, found.temperature), (Some(true), Temperature::Warm));
        assert_eq!(found.restraint.nds_loading, NdsLoading::Uniform);
        // A key of the other basis is a fault, not a thing passed over.
        let fault = project("eurocode", C24, "[rules]\nwet = true").unwrap_err();
        assert!(fault.contains("wet"), "{fault}");
    }

    #[test]
    fn the_name_of_a_size_is_not_taken_for_it_without_a_word() {
        let said = |timber: &str| project("us-asd", timber, "").unwrap().warnings.join("; ");
        let named = said(&DFL.replace("1.5 in", "2 in").replace("3.5 in", "4 in"));
        assert!(named.contains("2 in by 4 in") && named.contains("measures 1.5 in by 3.5 in"), "{named}");
        assert!(!said(DFL).contains("by that name"));
        // Lying flat, and in millimetres.
        let flat = said(&DFL.replace("1.5 in", "152.4 mm").replace("3.5 in", "2 in"));
        assert!(flat.contains("2 in by 6 in") && flat.contains("1.5 in by 5.5 in"), "{flat}");
        // No size has this name.
        assert!(!said(&DFL.replace("1.5 in", "3 in").replace("3.5 in", "5 in")).contains("by that name"));
    }

    #[test]
    fn a_material_for_indoors_is_refused_in_class_3() {
        let dry = format!("service_class = 2\n{OWN}\nhighest_service_class = 2");
        assert!(project("eurocode", &dry, "").is_ok());
        let wet = format!("service_class = 3\n{OWN}\nhighest_service_class = 2");
        let fault = project("eurocode", &wet, "").unwrap_err();
        assert!(fault.contains("orchard larch") && fault.contains("service_class"), "{fault}");
        assert!(project("eurocode", &format!("service_class = 3\n{OWN}"), "").is_ok());
    }

    #[test]
    fn a_size_outside_the_table_is_named_with_the_nearest_that_would_do() {
        let thin = DFL.replace("1.5 in", "1 in");
        let fault = project("us-lrfd", &thin, "").unwrap_err();
        assert!(fault.contains("2x4") && fault.contains("breadth"), "{fault}");
        let wide = DFL.replace("No.2", "Construction").replace("3.5 in", "5.5 in");
        let fault = project("us-asd", &wide, "").unwrap_err();
        assert!(fault.contains("4 in"), "{fault}");
    }
}
