//! `[cover]`, `[snow]`, `[wind]`: the loads of the site, each given or left out in words.

use super::key::Key;
use super::table::Table;
use crate::loads::ask::{
    AsceEdition, Basis, CoverAsk, DoorAsk, Given, InternalAsk, SnowAsk, SpeedAsk, Terrain, WindAsk,
    WindStrength,
};
use crate::loads::direction_words;
use crate::units::{self, Dimension};

const LEFT_OUT: Key = Key::text("left_out", "why the load is left out, in words that the notes print");
const SOURCE: Key = Key::text("source", "where the value comes from");

const WEIGHT: Key = Key::quantity("weight", Dimension::Pressure, "weight of the cover per area of it")
    .within(0.0, 2e4)
    .usually(2.0, 2000.0)
    // 9 is read as that many N/m2 and meant as kg/m2: a film weighs as little as that, and a board as little as 50, but who
    // writes newtons of a film?
    .usually_bare_from(60.0)
    .load();
const REMOVABLE: Key =
    Key::flag("removable", "whether it may be taken or blown off: not counted against uplift");
const LEAF_WEIGHT: Key = Key::quantity(
    "leaf_weight",
    Dimension::Pressure,
    "weight of doors, windows and skylights per area of the panels they stand for; the cover's where nothing is said",
)
.within(0.0, 2e4)
.usually(20.0, 1000.0)
.usually_bare_from(60.0)
.load();

/// Keys of `[cover]`.
pub const COVER_KEYS: &[Key] = &[WEIGHT, SOURCE, LEFT_OUT, REMOVABLE, LEAF_WEIGHT];

const GROUND: Key = Key::quantity("ground", Dimension::Pressure, "ground snow of the site, your own value")
    .within(0.0, 5e4)
    .usually(100.0, 1e4)
    // A ground snow of 200 psf, its unit forgotten, and none of 4 psf.
    .usually_bare_from(200.0)
    .load();
const EXPOSURE: Key =
    Key::number("exposure", "exposure coefficient Ce (1 where nothing is said under the Eurocode)")
        .within(0.3, 2.0)
        .usually(0.7, 1.2)
        .load();
const THERMAL: Key =
    Key::number("thermal", "thermal coefficient Ct (1 where nothing is said under the Eurocode)")
        .within(0.3, 2.0)
        .usually(0.8, 1.3)
        .load();
const MAP_EDITION: Key = Key::word("map_edition", "edition of ASCE 7 whose map the ground snow is from");
const SLIPPERY: Key =
    Key::flag("slippery", "whether the surface is slippery and free for snow to slide (ASCE 7)");
const CLEAR: Key =
    Key::flag("clear_of_ground", "whether the eave is more than 3 ft above the ground (ASCE 7)");
const HELD_BACK: Key =
    Key::flag("held_back", "whether a guard or battens keep the snow from sliding (Eurocode)");
const UNDRIFTED: Key = Key::number(
    "undrifted",
    "your own shape coefficient of undrifted snow (Eurocode; 0.8 where nothing is said)",
)
.within(0.0, 5.0)
.usually(0.5, 1.5)
.load();
const DRIFTED: Key = Key::number("drifted", "your own peak shape coefficient of drifted snow (Eurocode)")
    .within(0.0, 5.0)
    .usually(0.5, 3.0)
    .load();
const SNOW_DIRECTIONS: Key = Key::degrees_list(
    "directions_deg",
    "directions that wind drifts the snow from, for a dome; those of the wind where nothing is said",
)
.within(-360.0, 360.0);
const NO_HALF_SHELL: Key =
    Key::flag("no_half_shell", "leave out the arrangements of a full and a half loaded half (Eurocode)");
const VALLEY: Key = Key::quantity("valley", Dimension::LineLoad, "line load along every valley seam")
    .within(0.0, 1e5)
    .usually_bare_from(20.0)
    .load();
const EXCEPTIONAL: Key = Key::number(
    "exceptional",
    "factor on the ground snow for an exceptional snowfall, an accident (Eurocode)",
)
.within(1.0, 5.0);
const LONG_LYING: Key =
    Key::flag("long_lying", "whether snow lies for weeks (above 1000 m, or in the north; Eurocode)");

/// Keys of `[snow]`.
pub const SNOW_KEYS: &[Key] = &[
    GROUND,
    SOURCE,
    LEFT_OUT,
    EXPOSURE,
    THERMAL,
    MAP_EDITION,
    SLIPPERY,
    CLEAR,
    HELD_BACK,
    UNDRIFTED,
    DRIFTED,
    SNOW_DIRECTIONS,
    NO_HALF_SHELL,
    VALLEY,
    EXCEPTIONAL,
    LONG_LYING,
];

const PRESSURE: Key =
    Key::quantity("pressure", Dimension::Pressure, "peak velocity pressure, your own value")
        .within(0.0, 5e4)
        .usually(200.0, 3000.0)
        .load();
// What speed is usual goes by the basis: [`speed_by`].
const SPEED: Key = Key::quantity("speed", Dimension::Speed, "wind speed of the site, your own value")
    .within(0.0, 150.0)
    .load();
const TERRAIN: Key = Key::word(
    "terrain",
    "ground around: 0 sea, I lake or bare plain, II open farmland, III suburb or wood, IV town (Eurocode); or B suburb or wood, C open country, D open water (ASCE 7)",
);
/// The categories of EN 1991-1-4 Table 4.1, in own words.
const TERRAINS: &str = "write terrain = \"0\" (at the sea, open to it), \"I\" (a lake, or flat land with nothing on it), \"II\" (open farmland, \
hedges and farms far apart), \"III\" (suburb, village, wood) or \"IV\" (town, with buildings above 15 m)";
const HEIGHT: Key =
    Key::length("height", "height that the pressure is wanted at; the top where nothing is said")
        .within(0.5, 200.0);
const OROGRAPHY: Key = Key::number(
    "orography",
    "factor of hills, beside a speed: c_o or Kzt, 1 on flat ground and where nothing is said",
)
.within(1.0, 5.0);
const AIR_DENSITY: Key = Key::quantity(
    "air_density",
    Dimension::Density,
    "density of air (Eurocode; 1.25 kg/m3, UK 1.226, where nothing is said)",
)
.within(0.5, 2.0)
.usually(1.0, 1.35)
.load();
const ELEVATION: Key =
    Key::length("elevation", "height of the site above the sea (ASCE 7 Ke)").within(-500.0, 9000.0);
const DIRECTIONS: Key =
    Key::degrees_list("directions_deg", "directions the wind blows from, anticlockwise from x")
        .within(-360.0, 360.0);
const INTERNAL: Key = Key::word(
    "internal",
    "pressure inside: closed (where nothing is said), partly-enclosed (ASCE 7) or open; or internal_coefficients",
);
const INTERNAL_OWN: Key =
    Key::numbers("internal_coefficients", "your own coefficients inside, a case each").within(-2.0, 2.0);
const DOOR: Key = Key::word(
    "door",
    "the door that a storm may find open: windward (where nothing is said; by the Eurocode also where it is sucked most), facing or none",
);
const DOOR_FACING: Key = Key::degrees_or_list(
    "door_facing_deg",
    "where that door faces, anticlockwise from x; of several doors, of which one is open at a time, where each does",
)
.within(-360.0, 360.0);
const DOOR_USUAL: Key =
    Key::flag("door_usual", "whether the open door is ordinary use and no accident (Eurocode)");
const DOOR_RATIO: Key = Key::number(
    "door_ratio",
    "area of the open door over that of all other openings (Eurocode; 3 where nothing is said)",
)
.within(0.0, 1e3);
/// Outside coefficients that are all below this in size are told to be a slip (own choice: no figure of a code is).
const LEAST_COEFFICIENT: f64 = 0.3;
const COEFFICIENTS: Key = Key::numbers(
    "coefficients",
    "your own outside coefficients, for every direction: windward, crown, leeward",
)
.within(-5.0, 5.0);
const WALL_HEIGHT: Key =
    Key::length("wall_height", "height of an upright wall below the shell, 0 where nothing is said")
        .within(0.0, 50.0);

/// Keys of `[wind]`.
pub const WIND_KEYS: &[Key] = &[
    PRESSURE,
    SPEED,
    SOURCE,
    LEFT_OUT,
    TERRAIN,
    HEIGHT,
    OROGRAPHY,
    AIR_DENSITY,
    ELEVATION,
    DIRECTIONS,
    INTERNAL,
    INTERNAL_OWN,
    DOOR,
    DOOR_FACING,
    DOOR_USUAL,
    DOOR_RATIO,
    COEFFICIENTS,
    WALL_HEIGHT,
];

pub(crate) const EDITIONS: [(&str, AsceEdition); 2] =
    [("7-16", AsceEdition::Seven16), ("7-22", AsceEdition::Seven22)];

/// Left out in words, or to be read: `Err(())` where it is neither.
fn left_out<T>(
    table: &Table<'_, '_>,
    value_keys: &[Key],
    known: &[Key],
    example: &str,
) -> Result<Option<Given<T>>, ()> {
    let what = &table.path;
    let given = value_keys.iter().find(|key| table.has(key));
    if table.is_mistaken() {
        return Err(());
    }
    if !table.is_present() {
        let help =
            format!("write [{what}] with {example}, or with left_out = \"why\"; nothing is assumed for you");
        table.reading.fault("missing", table.place(), format!("[{what}] is missing"), help);
        return Err(());
    }
    if !table.has(&LEFT_OUT) {
        if given.is_none() {
            let help = format!("write {example}, or left_out = \"why\"; nothing is assumed for you");
            table.reading.fault(
                "missing",
                table.place(),
                format!("[{what}] says neither a value nor left_out"),
                help,
            );
            return Err(());
        }
        return Ok(None);
    }
    let why = table.text(&LEFT_OUT);
    if let Some(given) = given {
        let message = format!("stands beside {what}.{}", given.name);
        table.fault("both", &LEFT_OUT, message, "give the load or leave it out, not both");
        return Err(());
    }
    table.finish(known, "beside left_out");
    why.map(|why| Some(Given::LeftOut(why))).ok_or(())
}

/// Reads `[cover]`.
pub(crate) fn cover(table: &Table<'_, '_>) -> Option<Given<CoverAsk>> {
    match left_out(table, &[WEIGHT], COVER_KEYS, "weight = \"9 kg/m2\"") {
        Ok(Some(given)) => return Some(given),
        Ok(None) => {}
        Err(()) => {
            table.finish(COVER_KEYS, "");
            return None;
        }
    }
    let weight = table.quantity(&WEIGHT);
    let source = table.text(&SOURCE);
    table.note_source(&WEIGHT, source.as_deref());
    let removable = table.flag_or(&REMOVABLE, false);
    let leaf = table.quantity(&LEAF_WEIGHT);
    table.finish(COVER_KEYS, "");
    Some(Given::Value(CoverAsk { weight: weight?, source, removable, leaf }))
}

/// Reads `[snow]`.
pub(crate) fn snow(table: &Table<'_, '_>, basis: Option<Basis>) -> Option<Given<SnowAsk>> {
    match left_out(table, &[GROUND], SNOW_KEYS, "ground = \"0.6 kN/m2\"") {
        Ok(Some(given)) => return Some(given),
        Ok(None) => {}
        Err(()) => {
            table.finish(SNOW_KEYS, "");
            return None;
        }
    }
    let ground = table.quantity(&GROUND);
    let source = table.text(&SOURCE);
    table.note_source(&GROUND, source.as_deref());
    let us = matches!(basis, Some(Basis::UsLrfd | Basis::UsAsd));
    for key in [&EXPOSURE, &THERMAL] {
        if us && !table.has(key) {
            table.missing(key, "ASCE 7 chapter 7 gives it by the site and the heating; it is never assumed");
        }
    }
    let (exposure, thermal) = (table.quantity(&EXPOSURE), table.quantity(&THERMAL));
    // What the rules of the other basis do not read is left unread here, so that it is told and not passed over.
    let eurocode = |key: &Key| if us { None } else { table.quantity(key) };
    let ask = SnowAsk {
        ground: ground.unwrap_or(0.0),
        source,
        exposure,
        thermal,
        map_edition: if us { table.word(&MAP_EDITION, &EDITIONS) } else { None },
        slippery: us && table.flag_or(&SLIPPERY, false),
        clear_of_ground: us && table.flag_or(&CLEAR, false),
        held_back: !us && table.flag_or(&HELD_BACK, false),
        undrifted: eurocode(&UNDRIFTED),
        drifted: eurocode(&DRIFTED),
        directions: radians(table.quantities(&SNOW_DIRECTIONS)),
        no_half_shell: !us && table.flag_or(&NO_HALF_SHELL, false),
        valley: table.quantity(&VALLEY),
        exceptional: eurocode(&EXCEPTIONAL),
        long_lying: !us && table.flag_or(&LONG_LYING, false),
    };
    table.finish(SNOW_KEYS, if basis.is_some() { "under this basis" } else { "" });
    ground.map(|_| Given::Value(ask))
}

/// Reads `[wind]`.
pub(crate) fn wind(table: &Table<'_, '_>, basis: Option<Basis>) -> Option<Given<WindAsk>> {
    match left_out(table, &[PRESSURE, SPEED], WIND_KEYS, "pressure = \"0.7 kN/m2\" or speed = \"25 m/s\"") {
        Ok(Some(given)) => return Some(given),
        Ok(None) => {}
        Err(()) => {
            table.finish(WIND_KEYS, "");
            return None;
        }
    }
    let strength = strength(table, basis);
    let source = table.text(&SOURCE);
    let value = if table.has(&SPEED) { &SPEED } else { &PRESSURE };
    table.note_source(value, source.as_deref());
    let directions = table.quantities(&DIRECTIONS);
    if !table.has(&DIRECTIONS) {
        table.missing(
            &DIRECTIONS,
            "write directions_deg = [0, 90]: where the wind blows from, anticlockwise from x",
        );
    }
    let internal = internal(table);
    let door = table.word_or_first(&DOOR, &[("windward", 0), ("facing", 1), ("none", 2)]);
    let facing = match door {
        1 => facings(table),
        _ => None,
    };
    let door = match (door, facing) {
        (1, Some(facing)) => DoorAsk::Facing(facing),
        (2, _) => DoorAsk::None,
        _ => DoorAsk::Windward,
    };
    // Under ASCE 7 the open door is an ordinary case with a coefficient of its own.
    let us = matches!(basis, Some(Basis::UsLrfd | Basis::UsAsd));
    let door_usual = !us && table.flag_or(&DOOR_USUAL, false);
    let door_ratio = if us { None } else { table.quantity(&DOOR_RATIO) };
    let coefficients =
        table.quantities_of(&COEFFICIENTS, "wants three numbers", "write [windward, crown, leeward]");
    if coefficients.is_some_and(|three| three.iter().all(|one| one.abs() < LEAST_COEFFICIENT)) {
        let (line, _) = table.reading.line_and_column(&table.place_of(&COEFFICIENTS));
        table.reading.doubt(format!(
            "the outside coefficients of the wind are next to nothing (line {line}): a shell that the wind neither presses nor lifts is none"
        ));
    }
    let wall_height = table.quantity_or(&WALL_HEIGHT, 0.0);
    table.finish(
        WIND_KEYS,
        if strength.is_some() { "under this basis, or beside what else is said of the wind" } else { "" },
    );
    Some(Given::Value(WindAsk {
        strength: strength?,
        source,
        directions: radians(Some(directions?)),
        internal: internal?,
        door,
        door_usual,
        door_ratio,
        coefficients,
        wall_height,
    }))
}

/// The ways that doors face; the cases of each have its name, so that none may stand there twice.
fn facings(table: &Table<'_, '_>) -> Option<Vec<f64>> {
    let all = radians(table.need_one_or_more(&DOOR_FACING));
    for (number, facing) in all.iter().enumerate() {
        let words = direction_words(*facing);
        if all[..number].iter().any(|before| direction_words(*before) == words) {
            let help = "take one of the two out: 0 and 360 degrees are one direction; doors that face one way are open one at a time";
            table.fault("twice", &DOOR_FACING, format!("names {words} twice"), help);
            return None;
        }
    }
    (!all.is_empty()).then_some(all)
}

/// The speed as the basis has it: a mean of ten minutes, or a gust.
const fn speed_by(basis: Option<Basis>) -> Key {
    match basis {
        Some(Basis::Eurocode) => SPEED.usually(18.0, 40.0),
        Some(Basis::UsLrfd | Basis::UsAsd) => SPEED.usually(35.0, 90.0),
        None => SPEED,
    }
}

fn strength(table: &Table<'_, '_>, basis: Option<Basis>) -> Option<WindStrength> {
    if table.has(&PRESSURE) && table.has(&SPEED) {
        let _ = (
            table.quantity(&PRESSURE),
            table.quantity(&SPEED),
            table.text(&TERRAIN),
            table.quantity(&HEIGHT),
        );
        let _ = [OROGRAPHY, AIR_DENSITY, ELEVATION].map(|key| table.quantity(&key));
        table.fault("both", &SPEED, "stands beside wind.pressure", "give one or the other");
        return None;
    }
    if table.has(&PRESSURE) {
        return table.quantity(&PRESSURE).map(WindStrength::Pressure);
    }
    let speed = table.quantity(&speed_by(basis));
    let all = [
        ("0", Terrain::Zero),
        ("I", Terrain::I),
        ("II", Terrain::II),
        ("III", Terrain::III),
        ("IV", Terrain::IV),
        ("B", Terrain::B),
        ("C", Terrain::C),
        ("D", Terrain::D),
    ];
    let choices = match basis {
        Some(Basis::Eurocode) => &all[..5],
        Some(Basis::UsLrfd | Basis::UsAsd) => &all[5..],
        None => &all[..],
    };
    let terrain = if !table.has(&TERRAIN) && basis == Some(Basis::Eurocode) {
        table.missing(&TERRAIN, TERRAINS);
        None
    } else {
        table.need_word(&TERRAIN, choices)
    };
    let height = table.quantity(&HEIGHT);
    let orography = table.quantity_or(&OROGRAPHY, 1.0);
    let of = |read: bool, key: &Key| if read { table.quantity(key) } else { None };
    let air_density = of(!matches!(basis, Some(Basis::UsLrfd | Basis::UsAsd)), &AIR_DENSITY);
    let elevation = of(basis != Some(Basis::Eurocode), &ELEVATION);
    Some(WindStrength::Speed(SpeedAsk {
        speed: speed?,
        terrain: terrain?,
        height,
        orography,
        air_density,
        elevation,
    }))
}

fn internal(table: &Table<'_, '_>) -> Option<InternalAsk> {
    if table.has(&INTERNAL_OWN) {
        let own = table.quantities(&INTERNAL_OWN);
        if table.has(&INTERNAL) {
            let _ = table.text(&INTERNAL);
            table.fault(
                "both",
                &INTERNAL,
                "stands beside wind.internal_coefficients",
                "give one or the other",
            );
            return None;
        }
        return own.map(InternalAsk::Own);
    }
    let names = ["closed", "partly-enclosed", "open"];
    let choices = [(names[0], 0), (names[1], 1), (names[2], 2)];
    Some(match table.word_or_first(&INTERNAL, &choices) {
        1 => InternalAsk::PartlyEnclosed,
        2 => InternalAsk::Open,
        _ => InternalAsk::Closed,
    })
}

fn radians(degrees: Option<Vec<f64>>) -> Vec<f64> {
    degrees.unwrap_or_default().into_iter().map(units::radians).collect()
}
