//! `[shell]`: the shape and its openings.

use super::key::Key;
use super::obj::{self, Scale};
use super::table::{At, Table};
use crate::shell::ask::{
    EndForm, Form, MOST_DIVISIONS, MOST_SEGMENTS, OpeningAsk, OpeningForm, Pattern, Profile, ShellAsk, Up,
};
use crate::units;

/// Most joints that a shell may have where `[project] allow_large` is not set.
pub const JOINT_LIMIT: usize = 5_000;
/// Most joints at all.
pub const JOINT_LIMIT_LARGE: usize = 200_000;

/// The form of the shell.
pub(crate) const FORM: Key = Key::word("form", "dome, tunnel, barrel, mesh or frame");
const RADIUS: Key =
    Key::length("radius", "radius of the sphere, to the joints").within(0.3, 60.0).usually(0.8, 15.0);
const FREQUENCY: Key = Key::whole("frequency", "divisions of an edge of the icosahedron; even for a tunnel")
    .within(1.0, MOST_DIVISIONS as f64);
const UP: Key = Key::word(
    "up",
    "what of the icosahedron is uppermost: vertex (where nothing is said), edge or face; of a tunnel the edge",
);
const BASE: Key = Key::length(
    "base",
    "height of the base plane above the sphere's centre, may be negative; 0 where nothing is said",
)
.within(-60.0, 60.0);
const BANDS: Key = Key::whole(
    "bands",
    "bands between the half-domes, 0 for the plain dome; even where both ends are half-domes",
)
.within(0.0, 400.0);
const SPACING: Key =
    Key::length("spacing", "distance between arches; as equal as the edges allow where nothing is said")
        .within(0.05, 20.0)
        .usually(0.2, 4.0);
const ENDS: Key = Key::list(
    "ends",
    "ends at lower and higher x, or one for both: half-dome (a tunnel where nothing is said), open (a barrel) or framed",
);
const STUDS: Key = Key::whole("studs", "uprights of a framed end, 2 where nothing is said").within(0.0, 60.0);
const SILL: Key =
    Key::flag("sill", "whether a sill runs along the ground of a framed end; true where nothing is said");
const GABLE_DIAGONALS: Key = Key::flag("gable_diagonals", "whether a framed end has a diagonal in every bay");
const PROFILE: Key = Key::word(
    "profile",
    "curve of a barrel: circular (where nothing is said), elliptical, pointed or catenary",
);
const SPAN: Key = Key::length("span", "across a barrel, foot to foot").within(0.5, 100.0).usually(1.0, 25.0);
const RISE: Key =
    Key::length("rise", "crown of a barrel above its feet").within(0.1, 100.0).usually(0.4, 20.0);
const SEGMENTS: Key = Key::whole("segments", "straight pieces of an arch").within(2.0, MOST_SEGMENTS as f64);
const BAYS: Key = Key::whole("bays", "bays along a barrel").within(1.0, 1000.0);
const BAY_LENGTH: Key = Key::length("bay_length", "length of a bay").within(0.05, 20.0).usually(0.3, 4.0);
const PATTERN: Key = Key::word(
    "pattern",
    "panels of a barrel: staggered (where nothing is said), plain-left, plain-right or plain-crossed",
);
pub(crate) const FILE: Key = Key::text("file", "the mesh, a Wavefront OBJ file in the project's folder");
pub(crate) const JOINTS: Key = Key::text("joints", "sheet of joints (CSV) in the project's folder");
const PANELS: Key = Key::text("panels", "sheet of panels (CSV): panel,a,b,c,d");
const FILE_UNIT: Key = Key::length("file_unit", "length of one unit of the file, 1 m where nothing is said")
    .within(1e-6, 1000.0)
    .single();
const FILE_UP: Key = Key::word("file_up", "the file's upward axis: z (where nothing is said) or y");
const MEND: Key = Key::flag(
    "mend",
    "whether flipped panels and doubled points of a mesh may be mended; true where nothing is said",
);
pub(crate) const OPENING: Key = Key::table("opening", "openings, [[shell.opening]] for each");
pub(crate) const BARS: Key = Key::text("bars", "sheet of bars of a frame (CSV)");
pub(crate) const LOADS: Key = Key::text("loads", "sheet of joint loads of a frame (CSV)");
pub(crate) const BAR_LOADS: Key = Key::text("bar_loads", "sheet of line loads of a frame (CSV)");
pub(crate) const SPRINGS: Key = Key::text("springs", "sheet of springs between joints of a frame (CSV)");
pub(crate) const FOLDS: Key = Key::text("folds", "sheet of turning springs on folds of a frame (CSV)");

/// Keys of `[shell]`.
pub const KEYS: &[Key] = &[
    FORM,
    RADIUS,
    FREQUENCY,
    UP,
    BASE,
    BANDS,
    SPACING,
    ENDS,
    STUDS,
    SILL,
    GABLE_DIAGONALS,
    PROFILE,
    SPAN,
    RISE,
    SEGMENTS,
    BAYS,
    BAY_LENGTH,
    PATTERN,
    FILE,
    JOINTS,
    PANELS,
    FILE_UNIT,
    FILE_UP,
    MEND,
    OPENING,
    BARS,
    LOADS,
    BAR_LOADS,
    SPRINGS,
    FOLDS,
];

const WIDTH: Key = Key::length("width", "width of a door").within(0.1, 20.0).usually(0.5, 4.0);
const HEIGHT: Key = Key::length("height", "height of a door").within(0.1, 20.0).usually(0.5, 4.0);
const FACING: Key =
    Key::degrees("facing_deg", "direction that a door faces, anticlockwise from x; 0 where nothing is said")
        .within(-360.0, 360.0);
const OPENING_PANELS: Key = Key::list("panels", "names of the panels to take out");
const LOW: Key = Key::lengths("low", "lower corner [x, y, z] of a box; panels centred in it are taken out");
const HIGH: Key = Key::lengths("high", "upper corner [x, y, z] of that box");
const RIM_STRIPS: Key =
    Key::whole("rim_strips", "timbers side by side in the rim that is left, 1 where nothing is said")
        .within(1.0, 6.0);
const OPENING_SILL: Key =
    Key::flag("sill", "whether a timber runs along the ground where the base rim is cut");

const LEAF: Key = Key::flag(
    "leaf",
    "whether a door, a window or a skylight shuts it, and takes wind, snow and its own weight to the rim; true where nothing is said",
);

/// Keys of `[[shell.opening]]`.
pub const OPENING_KEYS: &[Key] =
    &[WIDTH, HEIGHT, FACING, OPENING_PANELS, LOW, HIGH, RIM_STRIPS, OPENING_SILL, LEAF];

/// Which form the file asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FormName {
    /// Part of a sphere.
    Dome,
    /// Half-domes with bands between.
    Tunnel,
    /// Arches in a row.
    Barrel,
    /// The user's own mesh.
    Mesh,
    /// A plain frame.
    Frame,
}

impl FormName {
    /// Every form with its name.
    pub const ALL: [(&'static str, Self); 5] = [
        ("dome", Self::Dome),
        ("tunnel", Self::Tunnel),
        ("barrel", Self::Barrel),
        ("mesh", Self::Mesh),
        ("frame", Self::Frame),
    ];
}

/// Reads the form alone; everything else depends on it.
pub(crate) fn form(table: &Table<'_, '_>) -> Option<FormName> {
    table.need_word(&FORM, &FormName::ALL)
}

/// Reads `[shell]` of any form but a frame.
pub(crate) fn read(table: &Table<'_, '_>, form: FormName) -> Option<ShellAsk> {
    let mut openings = Some(Vec::new());
    for opening in table.children(&OPENING) {
        match (read_opening(&opening), openings.as_mut()) {
            (Some(opening), Some(list)) => list.push(opening),
            _ => openings = None,
        }
    }
    let (shape, name) = match form {
        FormName::Dome => (dome(table), "for form = \"dome\""),
        FormName::Tunnel => (tunnel(table), "for form = \"tunnel\""),
        FormName::Barrel => (barrel(table), "for form = \"barrel\""),
        FormName::Mesh => (mesh(table), "for form = \"mesh\""),
        FormName::Frame => (None, "for form = \"frame\""),
    };
    let mend = form == FormName::Mesh && table.flag_or(&MEND, true);
    astray(table);
    // A slip in what was read may be why another key was not asked for.
    table.finish(KEYS, if shape.is_some() { name } else { "" });
    Some(ShellAsk { form: shape?, openings: openings?, mend })
}

/// Keys of an opening that stand in `[shell]`, as where their heading was deleted: told once and not one by one.
fn astray(table: &Table<'_, '_>) {
    let here: Vec<&Key> = OPENING_KEYS
        .iter()
        .filter(|key| table.has(key) && !KEYS.iter().any(|known| known.name == key.name))
        .collect();
    let Some(first) = here.first() else { return };
    OPENING_KEYS.iter().for_each(|key| table.tell(key.name));
    let names: Vec<&str> = here.iter().map(|key| key.name).collect();
    let (belong, them) = if here.len() == 1 { ("is a key", "it") } else { ("are keys", "them") };
    let message = format!("{belong} of an opening ({})", names.join(", "));
    // Width and height may be meant for the shell's own.
    let of_shell = here.iter().all(|key| [WIDTH.name, HEIGHT.name].contains(&key.name));
    let sizes = "; the size of a dome or a tunnel is its radius, that of a barrel its span and rise";
    let help = format!("write a line [[shell.opening]] above {them}{}", if of_shell { sizes } else { "" });
    table.fault("misplaced-key", first, message, help);
}

fn dome(table: &Table<'_, '_>) -> Option<Form> {
    let radius = table.need_quantity(&RADIUS);
    let frequency = table.need_whole(&FREQUENCY);
    let up = table.word_or_first(&UP, &[("vertex", Up::Vertex), ("edge", Up::Edge), ("face", Up::Face)]);
    let base = table.quantity_or(&BASE, 0.0);
    let (radius, frequency) = (radius?, frequency?);
    below_the_top(table, base, radius)?;
    // A whole sphere has 10 f² + 2 joints; the share above the plane is that of its area.
    let whole = 10 * frequency * frequency + 2;
    small_enough(table, &FREQUENCY, frequency, share(whole, 0.5 * (1.0 - base / radius)))?;
    Some(Form::Dome { radius, frequency, up, base })
}

fn tunnel(table: &Table<'_, '_>) -> Option<Form> {
    let radius = table.need_quantity(&RADIUS);
    let frequency = table.need_whole(&FREQUENCY);
    let bands = table.need_whole(&BANDS);
    let base = table.quantity_or(&BASE, 0.0);
    let spacing = table.quantity(&SPACING);
    let ends = ends(table, EndForm::HalfDome);
    if frequency.is_some_and(|frequency| frequency % 2 == 1) {
        let help =
            "only for an even frequency is there a circle of whole edges to split the sphere on: 2, 4, 6";
        table.fault(
            "odd",
            &FREQUENCY,
            format!("is {}; a tunnel wants an even one", frequency.unwrap_or(0)),
            help,
        );
        return None;
    }
    let both_domed = ends.is_some_and(|ends| ends.iter().all(|end| *end == EndForm::HalfDome));
    if let Some(bands) = bands.filter(|bands| both_domed && bands % 2 == 1) {
        let help = format!(
            "every band turns the arch by half a step, so both half-domes fit only after an even number: {} or {}",
            bands - 1,
            bands + 1
        );
        table.fault("odd", &BANDS, format!("is {bands}; between two half-domes it must be even"), help);
        return None;
    }
    // A tunnel is split on a circle of edges, so an edge is uppermost.
    if table.has(&UP) {
        table.word(&UP, &[("edge", ())])?;
    }
    let (radius, frequency, bands, ends) = (radius?, frequency?, bands?, ends?);
    below_the_top(table, base, radius)?;
    let sphere = share(10 * frequency * frequency + 2, 0.5 * (1.0 - base / radius));
    small_enough(table, &FREQUENCY, frequency, sphere + bands * (5 * frequency / 2 + 1))?;
    Some(Form::Tunnel { radius, frequency, bands, base, spacing, ends })
}

fn barrel(table: &Table<'_, '_>) -> Option<Form> {
    let profiles = [
        ("circular", Profile::Circular),
        ("elliptical", Profile::Elliptical),
        ("pointed", Profile::Pointed),
        ("catenary", Profile::Catenary),
    ];
    let patterns = [
        ("staggered", Pattern::Staggered),
        ("plain-left", Pattern::PlainLeft),
        ("plain-right", Pattern::PlainRight),
        ("plain-crossed", Pattern::PlainCrossed),
    ];
    let profile = table.word_or_first(&PROFILE, &profiles);
    let span = table.need_quantity(&SPAN);
    let rise = table.need_quantity(&RISE);
    let segments = table.need_whole(&SEGMENTS);
    let bays = table.need_whole(&BAYS);
    let bay_length = table.need_quantity(&BAY_LENGTH);
    let pattern = table.word_or_first(&PATTERN, &patterns);
    let ends = ends(table, EndForm::Open);
    let (span, rise, segments, bays, bay_length) = (span?, rise?, segments?, bays?, bay_length?);
    small_enough(table, &SEGMENTS, segments, (segments + 1) * (bays + 1) + segments * bays)?;
    let ends = ends?;
    if ends.contains(&EndForm::HalfDome) {
        // Which arch of a staggered barrel has a joint at the crown is for the shell to find out.
        let step = units::degrees(4.0 * (2.0 * rise).atan2(span)) / segments.max(1) as f64;
        let steps = (step - 36.0).abs() < 1e-3 || (step - 18.0).abs() < 1e-3;
        if profile != Profile::Circular || !steps {
            let message =
                "asks for a half-dome, whose ring has steps of 36 or 18 degrees; the arch has not".to_owned();
            let help = "take profile = \"circular\", rise = half the span, and 5 segments (staggered) or 10";
            table.fault("half-dome", &ENDS, message, help);
            return None;
        }
    }
    Some(Form::Barrel { profile, span, rise, segments, bays, bay_length, pattern, ends })
}

fn mesh(table: &Table<'_, '_>) -> Option<Form> {
    let unit = table.quantity_or(&FILE_UNIT, 1.0);
    let y_up = table.word_or_first(&FILE_UP, &[("z", false), ("y", true)]);
    let scale = Scale { unit, y_up };
    match (table.has(&FILE), table.has(&JOINTS) || table.has(&PANELS)) {
        (true, true) => {
            let _ = (table.text(&FILE), table.text(&JOINTS), table.text(&PANELS));
            table.fault("both", &FILE, "stands beside joints and panels", "give one or the other");
            None
        }
        (false, true) => obj::read_sheets(table, &JOINTS, &PANELS, scale).map(Form::Mesh),
        _ => obj::read_obj(table, &FILE, scale).map(Form::Mesh),
    }
}

fn ends(table: &Table<'_, '_>, default: EndForm) -> Option<[EndForm; 2]> {
    let names = if table.has(&ENDS) { table.texts(&ENDS)? } else { Vec::new() };
    let _ = names.is_empty().then(|| table.texts(&ENDS));
    let framed = names.iter().any(|name| name.value == "framed");
    let frame = if framed {
        EndForm::Framed {
            studs: table.whole_or(&STUDS, 2),
            sill: table.flag_or(&SILL, true),
            diagonals: table.flag_or(&GABLE_DIAGONALS, false),
        }
    } else {
        EndForm::Open
    };
    let all = [("open", EndForm::Open), ("framed", frame), ("half-dome", EndForm::HalfDome)];
    let read = |name: &At<String>| table.choose(&ENDS, name, &all);
    match &names[..] {
        [] if table.has(&ENDS) => None,
        [] => Some([default; 2]),
        [both] => read(both).map(|end| [end; 2]),
        [low, high] => match (read(low), read(high)) {
            (Some(low), Some(high)) => Some([low, high]),
            _ => None,
        },
        more => {
            let message = format!("names {} ends; there are two", more.len());
            table.fault("wrong-count", &ENDS, message, "write ends = [\"open\", \"framed\"]: lower x first");
            None
        }
    }
}

fn read_opening(table: &Table<'_, '_>) -> Option<OpeningAsk> {
    let rim_strips = table.whole_or(&RIM_STRIPS, 1);
    let sill = table.flag_or(&OPENING_SILL, false);
    let leaf = table.flag_or(&LEAF, true);
    let door = table.has(&WIDTH) || table.has(&HEIGHT) || table.has(&FACING);
    let panels = table.has(&OPENING_PANELS);
    let inside = table.has(&LOW) || table.has(&HIGH);
    let form = match (door, panels, inside) {
        (true, false, false) => {
            let (width, height) = (table.need_quantity(&WIDTH), table.need_quantity(&HEIGHT));
            let facing = table.quantity_or(&FACING, 0.0);
            width.zip(height).map(|(width, height)| {
                let facing = units::radians(facing);
                OpeningForm::Door { width, height, facing }
            })
        }
        (false, true, false) => table
            .texts(&OPENING_PANELS)
            .map(|names| OpeningForm::Panels(names.into_iter().map(|name| name.value).collect())),
        (false, false, true) => {
            if !table.has(&LOW) || !table.has(&HIGH) {
                let lacking = if table.has(&LOW) { &HIGH } else { &LOW };
                table.missing(lacking, "a box has two corners: low = [x, y, z] and high = [x, y, z]");
            }
            let corners = table.point(&LOW).zip(table.point(&HIGH));
            if corners.is_some_and(|(low, high)| (0..3).any(|axis| low[axis] >= high[axis])) {
                table.fault(
                    "out-of-range",
                    &HIGH,
                    "must be greater than low along x, y and z",
                    "swap the corners",
                );
            }
            corners.map(|(low, high)| OpeningForm::Inside { low, high })
        }
        _ => None,
    };
    table.finish(OPENING_KEYS, if form.is_some() { "for this kind of opening" } else { "" });
    // What an opening is may stand under a misspelt key, which has been told.
    if [door, panels, inside].iter().filter(|said| **said).count() != 1 && !table.is_faulty() {
        let message = format!("{} wants a door, a list of panels, or a box: one of them", table.path);
        let help = "write width and height and facing_deg, or panels = [\"p1\", …], or low and high";
        table.reading.fault("opening", table.place(), message, help);
    }
    Some(OpeningAsk { form: form?, rim_strips, sill, leaf })
}

fn below_the_top(table: &Table<'_, '_>, base: f64, radius: f64) -> Option<()> {
    // Nothing is left above a plane at the top, nothing is cut by one below the bottom.
    if base < 0.95 * radius && base > -0.999 * radius {
        return Some(());
    }
    let (message, help) = if base >= radius {
        (
            format!("is {base} m, above the top of the sphere ({radius} m)"),
            "a dome is what stands above the plane",
        )
    } else if base > 0.0 {
        (
            format!("is {base} m, so close to the top of the sphere ({radius} m) that no dome is left"),
            "lower it",
        )
    } else {
        (
            format!("is {base} m, below the bottom of the sphere (−{radius} m)"),
            "the plane must cut the sphere",
        )
    };
    table.fault("base", &BASE, message, help);
    None
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a count that is only told, below 10⁷"
)]
#[allow(clippy::cast_precision_loss, reason = "as above")]
fn share(whole: usize, part: f64) -> usize {
    (whole as f64 * part.clamp(0.0, 1.0)).round() as usize
}

fn small_enough(table: &Table<'_, '_>, key: &Key, value: usize, joints: usize) -> Option<()> {
    let large = table.reading.allow_large.get();
    let limit = if large { JOINT_LIMIT_LARGE } else { JOINT_LIMIT };
    if joints <= limit {
        return Some(());
    }
    let help = if large {
        "a shell of this size is beyond this program"
    } else {
        "write allow_large = true under [project] if it is meant"
    };
    table.fault(
        "too-large",
        key,
        format!("is {value}, which makes about {joints} joints; the limit is {limit}"),
        help,
    );
    None
}
