//! `[imposed]`, `[[case]]`, `[[stage]]`, `[combine]`: people, the user's own cases, stages of the
//! assembly, and how cases are combined.

use super::csv;
use super::key::{Key, Wants};
use super::schema_loads::EDITIONS;
use super::table::Table;
use crate::loads::LimitState;
use crate::loads::ask::{
    AsceEdition, Basis, CombinationAsk, HangingAsk, ImposedAsk, LastsAsk, OwnCombinationAsk, PatternLoad,
    PointAsk, RegionAsk, RiskCategory, StageAsk, StrengthExpression, UserCaseAsk, UserRole, WaterAsk,
};
use crate::units::{self, Dimension};

const NAME: Key = Key::text("name", "what it is called");
const JOINTS: Key = Key::list("joints", "names of joints");
const PANELS: Key = Key::list("panels", "names of panels");
const PANEL: Key = Key::text("panel", "name of a panel");
const FORCE: Key = Key::quantity("force", Dimension::Force, "downward force; on each of the joints")
    .within(0.0, 1e6)
    .usually(0.0, 2e4)
    .usually_bare_from(10.0)
    .load();
const PERMANENT: Key = Key::flag("permanent", "whether it stays for years");
const WEIGHTS: Key =
    Key::numbers("weights", "weights of the panel's corners; the point is their mean. Where nothing is said, the middle of the circle in a triangle, and the mean of four corners").within(0.0, 1e3);
const DEPTH: Key =
    Key::length("depth", "mean depth of the water").within(0.0, 2.0).usually(0.005, 0.3).load();
const LASTS: Key = Key::word("lasts", "permanent, long-term, medium-term, short-term or instantaneous");

const PERSON: Key = Key::quantity(
    "person",
    Dimension::Force,
    "weight of a person, on every joint in turn and in the middle of timbers",
)
.within(0.0, 1e4)
.usually(400.0, 2000.0)
.load();
const PERSON_JOINTS: Key =
    Key::list("person_joints", "the only joints that a person may be on, and timbers between two of them");
const ROOF: Key = Key::quantity(
    "roof",
    Dimension::Pressure,
    "maintenance load per plan area, on the whole and on each half",
)
.within(0.0, 1e4)
.usually_bare_from(100.0)
.load();
const HANGING: Key = Key::table("hanging", "something hung from joints, [[imposed.hanging]] for each");
const POINT_FORCE: Key = Key::quantity("force", Dimension::Force, "downward force on the panel")
    .within(0.0, 1e6)
    .usually(0.0, 2e4)
    .usually_bare_from(10.0)
    .load();
const POINT: Key = Key::table("point", "a force on a panel, [[imposed.point]] for each");
const WATER: Key = Key::table("water", "water standing in the cover, [[imposed.water]] for each");

/// Keys of `[imposed]`.
pub const IMPOSED_KEYS: &[Key] = &[PERSON, PERSON_JOINTS, ROOF, HANGING, POINT, WATER];
/// Keys of `[[imposed.hanging]]`.
pub const HANGING_KEYS: &[Key] = &[NAME, JOINTS, FORCE, PERMANENT];
/// Keys of `[[imposed.point]]`.
pub const POINT_KEYS: &[Key] = &[PANEL, POINT_FORCE, WEIGHTS];
/// Keys of `[[imposed.water]]`.
pub const WATER_KEYS: &[Key] = &[PANELS, DEPTH];

const PATTERN: Key = Key::table("pattern", "a load on part of the surface, [[case.pattern]] for each");
const ON_JOINT: Key = Key::table("joint", "a force on a joint, [[case.joint]] for each");
const ON_PANEL: Key = Key::table("panel", "a load on a panel, [[case.panel]] for each");
const ON_MEMBER: Key = Key::table("member", "a line load on a member, [[case.member]] for each");
const SHEET: Key = Key::text(
    "sheet",
    "loads by name from a sheet (CSV): on,name,x,y,z; on is joint, panel or member, and x, y, z are forces, pressures or line loads",
);
const ROLE: Key = Key::word("role", "how it is combined: permanent, variable or accidental");
const PSI: Key =
    Key::numbers("psi", "ψ0, ψ1, ψ2 of a variable case (Eurocode; ASCE 7 reads none)").within(0.0, 1.0);

/// Keys of `[[case]]`.
pub const CASE_KEYS: &[Key] = &[NAME, PATTERN, ON_JOINT, ON_PANEL, ON_MEMBER, SHEET, ROLE, PSI, LASTS];

const PER_PLAN: Key = Key::quantity("per_plan", Dimension::Pressure, "downward per plan area")
    .within(-1e5, 1e5)
    .usually(-2e4, 2e4)
    .usually_bare_from(20.0)
    .load();
const PER_AREA: Key = Key::quantity("per_area", Dimension::Pressure, "downward per true area")
    .within(-1e5, 1e5)
    .usually(-2e4, 2e4)
    .usually_bare_from(20.0)
    .load();
const PRESSURE: Key = Key::quantity("pressure", Dimension::Pressure, "on the outer face, inward positive")
    .within(-1e5, 1e5)
    .usually(-2e4, 2e4)
    .usually_bare_from(20.0)
    .load();
const SLOPE: Key = Key::degrees_list("slope_deg", "slope from level, from and to").within(0.0, 180.0);
const HEIGHT: Key = Key::lengths("height", "height above the base, from and to").within(-100.0, 100.0);
const ALONG: Key = Key::lengths("along", "along x, from and to").within(-1000.0, 1000.0);
const SIDE: Key =
    Key::degrees("side_deg", "the half of the plan towards this direction").within(-360.0, 360.0);
const SECTOR: Key = Key::degrees_list("sector_deg", "a sector of the plan: middle direction, half its angle")
    .within(-360.0, 360.0);

/// Keys of `[[case.pattern]]`.
pub const PATTERN_KEYS: &[Key] = &[PER_PLAN, PER_AREA, PRESSURE, SLOPE, HEIGHT, ALONG, SIDE, SECTOR, PANELS];

const ITEM: Key = Key::text("name", "name of the joint, panel or member");
const FORCE_3: Key =
    Key::quantities("force", Dimension::Force, "[x, y, z] in the axes of the whole").within(-1e7, 1e7);
const TRACTION: Key =
    Key::quantities("traction", Dimension::Pressure, "[x, y, z] per true area").within(-1e6, 1e6);
const LINE: Key = Key::quantities("line", Dimension::LineLoad, "[x, y, z] per metre").within(-1e6, 1e6);

/// Keys of `[[case.joint]]`.
pub const CASE_JOINT_KEYS: &[Key] = &[ITEM, FORCE_3];
/// Keys of `[[case.panel]]`.
pub const CASE_PANEL_KEYS: &[Key] = &[ITEM, TRACTION];
/// Keys of `[[case.member]]`.
pub const CASE_MEMBER_KEYS: &[Key] = &[ITEM, LINE];

const STAGE_WIND: Key = Key::quantity("wind", Dimension::Pressure, "a light wind on what stands")
    .within(0.0, 1e4)
    .usually(10.0, 1000.0);

/// Keys of `[[stage]]`.
pub const STAGE_KEYS: &[Key] = &[NAME, PANELS, PERSON, STAGE_WIND];

const ANNEX: Key = Key::word("annex", "national values: recommended (where nothing is said) or uk");
const EXPRESSION: Key =
    Key::word("expression", "EN 1990 expressions of strength: 6.10 (where nothing is said) or 6.10ab");
const EDITION: Key = Key::word("edition", "edition of ASCE 7: 7-16 or 7-22");
const RISK: Key = Key::word("risk", "risk category of ASCE 7: I, II, III or IV");
const OWN: Key = Key::table("own", "your own combinations in place of the code's, [[combine.own]] for each");

/// Keys of `[combine]`.
pub const COMBINE_KEYS: &[Key] = &[ANNEX, EXPRESSION, EDITION, RISK, OWN];

const STATE: Key = Key::word("state", "strength, uplift, service, long-term or accidental");
const TERMS: Key = Key::table(
    "terms",
    "factors by the name of the case, as check --json lists them (cases); \"weight\" is timbers and cover",
);

/// Keys of `[[combine.own]]`.
pub const OWN_KEYS: &[Key] = &[NAME, STATE, TERMS, LASTS];

const LASTS_NAMES: [(&str, LastsAsk); 5] = [
    ("permanent", LastsAsk::Permanent),
    ("long-term", LastsAsk::LongTerm),
    ("medium-term", LastsAsk::MediumTerm),
    ("short-term", LastsAsk::ShortTerm),
    ("instantaneous", LastsAsk::Instantaneous),
];

fn names(table: &Table<'_, '_>, key: &Key) -> Vec<String> {
    table.texts(key).unwrap_or_default().into_iter().map(|name| name.value).collect()
}

fn need_names(table: &Table<'_, '_>, key: &Key) -> Vec<String> {
    if !table.has(key) {
        table.missing(key, &format!("write {} = [\"…\"]: {}", key.name, key.about));
    }
    names(table, key)
}

/// Reads `[imposed]`. Faults are noted; the answer is used only where there are none.
pub(crate) fn imposed(table: &Table<'_, '_>) -> ImposedAsk {
    let mut ask = ImposedAsk {
        person: table.quantity(&PERSON),
        person_joints: names(table, &PERSON_JOINTS),
        roof: table.quantity(&ROOF),
        ..ImposedAsk::default()
    };
    for item in table.children(&HANGING) {
        let name = item.need_text(&NAME).unwrap_or_default();
        let joints = need_names(&item, &JOINTS);
        let force = item.need_quantity(&FORCE).unwrap_or_default();
        ask.hanging.push(HangingAsk { name, joints, force, permanent: item.flag_or(&PERMANENT, false) });
        item.finish(HANGING_KEYS, "");
    }
    for item in table.children(&POINT) {
        let panel = item.need_text(&PANEL).unwrap_or_default();
        let force = item.need_quantity(&POINT_FORCE).unwrap_or_default();
        ask.points.push(PointAsk { panel, force, weights: item.quantities(&WEIGHTS).unwrap_or_default() });
        item.finish(POINT_KEYS, "");
    }
    for item in table.children(&WATER) {
        let panels = need_names(&item, &PANELS);
        ask.water.push(WaterAsk { panels, depth: item.need_quantity(&DEPTH).unwrap_or_default() });
        item.finish(WATER_KEYS, "");
    }
    table.finish(IMPOSED_KEYS, "");
    ask
}

/// Reads one `[[case]]`.
pub(crate) fn case(table: &Table<'_, '_>, basis: Option<Basis>) -> UserCaseAsk {
    let name = table.need_text(&NAME).unwrap_or_default();
    let mut ask = UserCaseAsk {
        name,
        patterns: Vec::new(),
        joints: Vec::new(),
        panels: Vec::new(),
        members: Vec::new(),
        role: role(table, basis.is_none_or(|basis| basis == Basis::Eurocode)),
        lasts: LastsAsk::ShortTerm,
    };
    // A permanent load is, and an accident is over at once (EN 1995-1-1 Table 2.2).
    ask.lasts = match ask.role {
        UserRole::Permanent => LastsAsk::Permanent,
        UserRole::Accidental => LastsAsk::Instantaneous,
        UserRole::Variable(_) => LastsAsk::ShortTerm,
    };
    if !table.has(&LASTS) && matches!(ask.role, UserRole::Variable(_)) {
        table.missing(&LASTS, "write lasts = \"short-term\" or another: the strength of timber rests on it");
    }
    ask.lasts = table.word(&LASTS, &LASTS_NAMES).unwrap_or(ask.lasts);
    for item in table.children(&PATTERN) {
        ask.patterns.extend(pattern(&item));
    }
    for (list, key, value, known) in [
        (&mut ask.joints, &ON_JOINT, &FORCE_3, CASE_JOINT_KEYS),
        (&mut ask.panels, &ON_PANEL, &TRACTION, CASE_PANEL_KEYS),
        (&mut ask.members, &ON_MEMBER, &LINE, CASE_MEMBER_KEYS),
    ] {
        for item in table.children(key) {
            let name = item.need_text(&ITEM);
            if !item.has(value) {
                item.missing(value, &format!("write {} = [x, y, z]", value.name));
            }
            let vector = item.quantities_of(value, "wants three values", "write [x, y, z]");
            if let (Some(name), Some(vector)) = (name, vector) {
                if let Some(words) = unusual(value, vector) {
                    let (line, _) = item.reading.line_and_column(&item.place_of(value));
                    item.reading.doubt(format!("the load {} (line {line}) {words}", item.name_of(value)));
                }
                list.push((name, vector));
            }
            item.finish(known, "");
        }
    }
    if table.has(&SHEET) {
        sheet(table, &mut ask);
    }
    if ![&PATTERN, &ON_JOINT, &ON_PANEL, &ON_MEMBER, &SHEET].iter().any(|key| table.has(key)) {
        let help = "add [[case.pattern]], [[case.joint]], [[case.panel]], [[case.member]] or sheet";
        table.reading.fault("empty", table.place(), format!("{} has no load", table.path), help);
    }
    table.finish(CASE_KEYS, "for this role");
    ask
}

/// What is told of a load by its three parts of which the greatest is next to nothing, as kN read as N are, or beyond what small shells carry.
fn unusual(key: &Key, vector: [f64; 3]) -> Option<String> {
    let (low, high, unit) = match key.wants {
        Wants::Quantities(Dimension::Force) => (10.0, 2e4, "N"),
        Wants::Quantities(Dimension::LineLoad) => (5.0, 2e4, "N/m"),
        _ => (10.0, 2e4, "N/m2"),
    };
    let most = vector.iter().fold(0.0_f64, |most, part| most.max(part.abs()));
    if (low..=high).contains(&most) {
        return None;
    }
    let tell = |value: f64| units::significant(value, 4);
    Some(format!(
        "has {} {unit} at most; such loads are usually between {} and {} {unit}; a number without a unit is in {unit}: write the unit, as in \
         \"-0.5 k{unit}\"",
        tell(most),
        tell(low),
        tell(high)
    ))
}

/// Loads by name from a sheet: force on a joint, force per true area on a panel, force per metre on a member.
fn sheet(table: &Table<'_, '_>, ask: &mut UserCaseAsk) {
    let columns = [
        csv::Column::required("on"),
        csv::Column::required("name"),
        csv::Column::optional("x"),
        csv::Column::optional("y"),
        csv::Column::optional("z"),
    ];
    let Some(sheet) = csv::read(table, &SHEET, &columns) else { return };
    for row in &sheet.rows {
        let (list, dimension, key) = match row.text("on") {
            "joint" => (&mut ask.joints, Dimension::Force, &FORCE_3),
            "panel" => (&mut ask.panels, Dimension::Pressure, &TRACTION),
            "member" => (&mut ask.members, Dimension::LineLoad, &LINE),
            other => {
                let message = format!("{other:?} is nothing that a load can be on");
                row.fault("unknown-word", "on", message, "write joint, panel or member");
                continue;
            }
        };
        let vector = ["x", "y", "z"].map(|column| row.quantity_or(column, dimension, 0.0));
        if let (Some(name), [Some(x), Some(y), Some(z)]) = (row.need_text("name"), vector) {
            if [x, y, z].iter().all(|part| *part == 0.0) {
                row.loads_nothing();
            } else if let Some(words) = unusual(key, [x, y, z]) {
                table.reading.doubt(format!("the load of line {} of {} {words}", row.line, row.sheet()));
            }
            list.push((name, [x, y, z]));
        }
    }
}

/// `combined`: whether the basis combines loads by ψ, as the Eurocode does and ASCE 7 does not.
fn role(table: &Table<'_, '_>, combined: bool) -> UserRole {
    let role = table.need_word(&ROLE, &[("permanent", 0), ("variable", 1), ("accidental", 2)]);
    match role {
        Some(0) => UserRole::Permanent,
        Some(1) => {
            if combined && !table.has(&PSI) {
                table.missing(
                    &PSI,
                    "write psi = [0.7, 0.5, 0.3]: ψ0, ψ1, ψ2 of the kind of load (EN 1990 table A1.1)",
                );
            }
            let psi =
                table.quantities_of(&PSI, "wants three numbers between 0 and 1", "write psi = [ψ0, ψ1, ψ2]");
            UserRole::Variable(psi.unwrap_or([1.0; 3]))
        }
        _ => UserRole::Accidental,
    }
}

fn pattern(table: &Table<'_, '_>) -> Option<(RegionAsk, PatternLoad)> {
    let loads = [
        table.quantity(&PER_PLAN).map(PatternLoad::PerPlan),
        table.quantity(&PER_AREA).map(PatternLoad::PerArea),
        table.quantity(&PRESSURE).map(PatternLoad::Pressure),
    ];
    let pair = |key: &Key| table.quantities_of(key, "wants two values", "write [from, to]");
    let degrees = |pair: [f64; 2]| pair.map(units::radians);
    let region = RegionAsk {
        slope: pair(&SLOPE).map(degrees),
        height: pair(&HEIGHT),
        along: pair(&ALONG),
        side: table.quantity(&SIDE).map(units::radians),
        sector: pair(&SECTOR).map(degrees),
        panels: names(table, &PANELS),
    };
    table.finish(PATTERN_KEYS, "");
    let said = [&PER_PLAN, &PER_AREA, &PRESSURE].iter().filter(|key| table.has(key)).count();
    // A load under a misspelt key is no missing one as well.
    if said > 1 || (said == 0 && !table.is_faulty()) {
        let help = "give one of per_plan, per_area and pressure";
        let message = format!("{} gives {said} loads; it wants one", table.path);
        table.reading.fault("pattern", table.place(), message, help);
    }
    loads.into_iter().flatten().next().map(|load| (region, load))
}

/// Reads every `[[stage]]`; each has a name of its own, by which it is told.
pub(crate) fn stages(tables: &[Table<'_, '_>]) -> Vec<StageAsk> {
    let all: Vec<StageAsk> = tables.iter().map(stage).collect();
    for (k, table) in tables.iter().enumerate() {
        let name = &all[k].name;
        if !name.is_empty() && all[..k].iter().any(|other| other.name == *name) {
            let message = format!("is {name:?}, and so is that of another stage");
            table.fault("twice", &NAME, message, "give each stage a name of its own");
        }
    }
    all
}

/// Reads one `[[stage]]`.
fn stage(table: &Table<'_, '_>) -> StageAsk {
    let ask = StageAsk {
        name: table.need_text(&NAME).unwrap_or_default(),
        panels: need_names(table, &PANELS),
        person: table.quantity(&PERSON),
        wind: table.quantity(&STAGE_WIND),
    };
    table.finish(STAGE_KEYS, "");
    ask
}

/// Edition and risk category of ASCE 7, and how cases are combined.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Combine {
    pub(crate) edition: Option<AsceEdition>,
    pub(crate) risk: Option<RiskCategory>,
    pub(crate) ask: CombinationAsk,
}

/// Reads `[combine]`.
pub(crate) fn combine(table: &Table<'_, '_>, basis: Option<Basis>) -> Combine {
    let us = matches!(basis, Some(Basis::UsLrfd | Basis::UsAsd));
    let risks = [
        ("I", RiskCategory::I),
        ("II", RiskCategory::II),
        ("III", RiskCategory::III),
        ("IV", RiskCategory::IV),
    ];
    let mut combine = Combine { edition: None, risk: None, ask: CombinationAsk::default() };
    if us {
        combine.edition = table.need_word(&EDITION, &EDITIONS);
        combine.risk = table.need_word(&RISK, &risks);
    } else {
        combine.ask.uk = table.word_or_first(&ANNEX, &[("recommended", false), ("uk", true)]);
        let expressions = [("6.10", StrengthExpression::SixTen), ("6.10ab", StrengthExpression::SixTenAB)];
        combine.ask.expression = table.word_or_first(&EXPRESSION, &expressions);
    }
    for item in table.children(&OWN) {
        let states = [
            ("strength", LimitState::Strength),
            ("uplift", LimitState::Uplift),
            ("service", LimitState::Service),
            ("long-term", LimitState::LongTerm),
            ("accidental", LimitState::Accidental),
        ];
        let name = item.text(&NAME);
        let state = item.need_word(&STATE, &states);
        let terms = item.child(&TERMS);
        if !terms.is_present() && !terms.is_mistaken() {
            item.missing(&TERMS, "write terms = { \"weight\" = 1.35, \"snow\" = 1.5 }");
        }
        let terms = terms.named_numbers();
        let lasts = item.word(&LASTS, &LASTS_NAMES);
        item.finish(OWN_KEYS, "");
        if let Some(state) = state {
            combine.ask.own.push(OwnCombinationAsk { name, state, terms, lasts });
        }
    }
    table.finish(COMBINE_KEYS, if basis.is_some() { "under this basis" } else { "" });
    combine
}
