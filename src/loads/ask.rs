//! What can be asked of the loads: data only. Values are the user's own; there is no silent default.
//!
//! What has a `Default` is what the codes or this project take when nobody says otherwise; the
//! cases print it in their remarks.

/// A load that is given, or left out in words that the notes print.
#[derive(Debug, Clone, PartialEq)]
pub enum Given<T> {
    /// Its value.
    Value(T),
    /// Why it is left out.
    LeftOut(String),
}

/// The basis that loads and rules go by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Basis {
    /// EN 1990, EN 1991, EN 1995-1-1.
    Eurocode,
    /// ASCE 7 strength combinations and NDS LRFD.
    UsLrfd,
    /// ASCE 7 and NDS allowable stress.
    UsAsd,
}

/// The edition of ASCE 7; its snow levels and factors belong together and are never mixed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
pub enum AsceEdition {
    /// ASCE 7-16: ground snow of 50 years, importance factor, S at 1.6.
    #[serde(rename = "7-16")]
    Seven16,
    /// ASCE 7-22: ground snow at strength level, S at 1.0 (0.7 in allowable stress).
    #[serde(rename = "7-22")]
    Seven22,
}

/// Risk category of ASCE 7 (Table 1.5-1): I farm stores and sheds, II ordinary, III many people, IV essential.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
pub enum RiskCategory {
    /// I.
    I,
    /// II.
    II,
    /// III.
    III,
    /// IV.
    IV,
}

/// Snow as asked.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct SnowAsk {
    /// Characteristic ground snow \[N/m²\]; in ASCE 7 the ground snow of the edition's own map.
    pub ground: f64,
    /// Where the value comes from.
    pub source: Option<String>,
    /// Exposure coefficient Ce. Eurocode: 1.0 (normal) where nothing is said; ASCE 7: asked for.
    pub exposure: Option<f64>,
    /// Thermal coefficient Ct. Eurocode: 1.0 where nothing is said; ASCE 7: asked for.
    pub thermal: Option<f64>,
    /// The edition of ASCE 7 whose map the ground snow was read from, where the user says so; it must
    /// be the edition of the project.
    pub map_edition: Option<AsceEdition>,
    /// Whether the surface is slippery and free for the snow to slide off (ASCE 7 only). A shell that
    /// stands on the ground has no room to slide into: the other curve is used all the same.
    pub slippery: bool,
    /// Whether the eave is more than 3 ft above the ground or another roof (ASCE 7 ground rule).
    pub clear_of_ground: bool,
    /// Whether something keeps the snow from sliding (a guard, battens): steep parts keep theirs
    /// (EN 1991-1-3 5.3.3(3) as applied to curved roofs).
    pub held_back: bool,
    /// The user's own shape coefficient in place of 0.8 (undrifted).
    pub undrifted: Option<f64>,
    /// The user's own peak shape coefficient in place of μ3 (drifted).
    pub drifted: Option<f64>,
    /// Directions that the wind drifts the snow *from*, anticlockwise from +x in plan \[rad\], for domes and for the halves of free
    /// shapes; empty: the wind's own directions, or 0°, 90°, 180° and 270°.
    pub directions: Vec<f64>,
    /// Leave out the half-shell arrangements (1 on one half, 0.5 on the other), which are this
    /// project's own rule.
    pub no_half_shell: bool,
    /// A line load along every valley seam \[N/m of plan length\], added to the undrifted snow as a
    /// case of its own.
    pub valley: Option<f64>,
    /// Factor on the ground snow for an exceptional snowfall, as an accidental case (EN 1991-1-3 4.3;
    /// 2.0 is recommended where the country asks for it).
    pub exceptional: Option<f64>,
    /// Lasts for weeks: medium-term in EN 1995-1-1, ψ of the northern countries or above 1000 m.
    pub long_lying: bool,
}

/// Roughness of the ground.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
pub enum Terrain {
    /// EN 1991-1-4 category 0: sea, coast open to the sea.
    #[serde(rename = "0")]
    Zero,
    /// EN 1991-1-4 category I: lakes, flat and open.
    I,
    /// EN 1991-1-4 category II: low vegetation, obstacles twenty heights apart.
    II,
    /// EN 1991-1-4 category III: suburbs, villages, forest.
    III,
    /// EN 1991-1-4 category IV: town.
    IV,
    /// ASCE 7 exposure B: suburban, wooded.
    B,
    /// ASCE 7 exposure C: open.
    C,
    /// ASCE 7 exposure D: along water.
    D,
}

/// How strong the wind is.
#[derive(Debug, Clone, PartialEq)]
pub enum WindStrength {
    /// Peak velocity pressure at the top of the shell \[N/m²\]: `q_p` (EN 1991-1-4), or q of ASCE 7 with its
    /// own Kd in it (7-16), without (7-22).
    Pressure(f64),
    /// From a speed.
    Speed(SpeedAsk),
}

impl Default for WindStrength {
    fn default() -> Self {
        WindStrength::Pressure(0.0)
    }
}

/// A wind speed and what makes a pressure of it.
#[derive(Debug, Clone, PartialEq)]
pub struct SpeedAsk {
    /// EN 1991-1-4: basic wind velocity vb with its direction and season factors \[m/s\]. ASCE 7: V \[m/s\].
    pub speed: f64,
    /// Ground.
    pub terrain: Terrain,
    /// Height at which the pressure is wanted \[m\]; `None`: the top of the shell above the ground.
    pub height: Option<f64>,
    /// Orography: co of EN 1991-1-4, Kzt of ASCE 7; 1 on flat ground.
    pub orography: f64,
    /// Density of air \[kg/m³\] (EN 1991-1-4); `None`: 1.25, or 1.226 with the UK values.
    pub air_density: Option<f64>,
    /// Height of the site above the sea \[m\] (ASCE 7 Ke); `None`: Ke = 1.
    pub elevation: Option<f64>,
}

/// Pressure inside.
#[derive(Debug, Clone, Default, PartialEq)]
pub enum InternalAsk {
    /// Both signs as the code gives them for a closed building (EN 1991-1-4 7.2.9(6): +0.2 and −0.3;
    /// ASCE 7: ±0.18).
    #[default]
    Closed,
    /// ASCE 7 partially enclosed: ±0.55.
    PartlyEnclosed,
    /// Open: none.
    Open,
    /// The user's own coefficients, a case each.
    Own(Vec<f64>),
}

/// Which way a door faces that may be missing or open in the storm.
#[derive(Debug, Clone, Default, PartialEq)]
pub enum DoorAsk {
    /// Nobody said: taken on the windward side of every wind direction, and under the Eurocode where it is sucked most, too.
    #[default]
    Windward,
    /// Its facing, anticlockwise from +x in plan \[rad\]; of several doors that of each, of which one is open at a time.
    Facing(Vec<f64>),
    /// There is none, and no opening that could become one.
    None,
}

/// Wind as asked.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct WindAsk {
    /// How strong.
    pub strength: WindStrength,
    /// Where the value comes from.
    pub source: Option<String>,
    /// Directions the wind blows from, anticlockwise from +x in plan \[rad\].
    pub directions: Vec<f64>,
    /// Pressure inside.
    pub internal: InternalAsk,
    /// The door that may be open.
    pub door: DoorAsk,
    /// The open door is part of ordinary use (a variable action), not an accident.
    pub door_usual: bool,
    /// Area of the open door over the area of all other openings; 3 or more gives 0.90 of the outside
    /// coefficient at the door, 2 gives 0.75 (EN 1991-1-4 7.2.9(5)). `None`: 3.
    pub door_ratio: Option<f64>,
    /// The user's own outside coefficients of the shell in place of the code's: windward, crown, leeward.
    pub coefficients: Option<[f64; 3]>,
    /// Height of an upright wall below the shell \[m\].
    pub wall_height: f64,
}

/// The cover as asked.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct CoverAsk {
    /// Weight per true area \[N/m²\].
    pub weight: f64,
    /// Where the value comes from.
    pub source: Option<String>,
    /// It may be taken off, or blown off: not counted against uplift.
    pub removable: bool,
    /// Weight of doors, windows and skylights per true area of the panels that they stand for \[N/m²\]; the cover's where it is
    /// not given.
    pub leaf: Option<f64>,
}

/// Something hung from named joints.
#[derive(Debug, Clone, PartialEq)]
pub struct HangingAsk {
    /// What it is.
    pub name: String,
    /// Names of the joints; each carries the force.
    pub joints: Vec<String>,
    /// Downward force on each \[N\].
    pub force: f64,
    /// Stays for years (permanent), or comes and goes (variable, medium-term).
    pub permanent: bool,
}

/// A force on the surface of a panel.
#[derive(Debug, Clone, PartialEq)]
pub struct PointAsk {
    /// Panel.
    pub panel: String,
    /// Downward force \[N\].
    pub force: f64,
    /// Weights of the panel's corners (the point is their weighted mean); empty: the incentre of a
    /// triangle, the mean of the corners of another panel.
    pub weights: Vec<f64>,
}

/// Water standing in a sagging cover.
#[derive(Debug, Clone, PartialEq)]
pub struct WaterAsk {
    /// Panels.
    pub panels: Vec<String>,
    /// Mean depth over the plan of the panel \[m\].
    pub depth: f64,
}

/// Imposed loads as asked; nothing is imposed unless somebody asks.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ImposedAsk {
    /// Weight of a person, put on every joint in turn \[N\].
    pub person: Option<f64>,
    /// Only these joints; empty: all that are not feet.
    pub person_joints: Vec<String>,
    /// Maintenance load per plan area \[N/m²\] (EN 1991-1-1 Table 6.10; ASCE 7 Lr).
    pub roof: Option<f64>,
    /// Hung from joints.
    pub hanging: Vec<HangingAsk>,
    /// On panels.
    pub points: Vec<PointAsk>,
    /// Water in the cover.
    pub water: Vec<WaterAsk>,
}

/// Which part of the shell a pattern touches: everything given must hold.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct RegionAsk {
    /// Slope of the panel from level, from and to \[rad\].
    pub slope: Option<[f64; 2]>,
    /// Height of the point above the base, from and to \[m\].
    pub height: Option<[f64; 2]>,
    /// Along x, from and to \[m\].
    pub along: Option<[f64; 2]>,
    /// The half of the plan that lies towards this direction, anticlockwise from +x \[rad\].
    pub side: Option<f64>,
    /// A sector of the plan about the centre: middle direction and half its angle \[rad\].
    pub sector: Option<[f64; 2]>,
    /// Panels by name; empty: all.
    pub panels: Vec<String>,
}

/// What a pattern puts there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PatternLoad {
    /// Downward per plan area \[N/m²\]; panels that face down carry none.
    PerPlan(f64),
    /// Downward per true area \[N/m²\].
    PerArea(f64),
    /// Pressure on the outer face, inward positive \[N/m²\].
    Pressure(f64),
}

/// How long a load lasts, in the terms of EN 1995-1-1 2.3.1.2.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum LastsAsk {
    /// More than ten years.
    Permanent,
    /// Six months to ten years.
    LongTerm,
    /// A week to six months.
    MediumTerm,
    /// Less than a week.
    ShortTerm,
    /// Moments.
    Instantaneous,
}

/// How the user's own case goes into combinations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum UserRole {
    /// With the weight.
    Permanent,
    /// As a variable action with its ψ0, ψ1, ψ2.
    Variable([f64; 3]),
    /// As an accident.
    Accidental,
}

/// The user's own case.
#[derive(Debug, Clone, PartialEq)]
pub struct UserCaseAsk {
    /// Name.
    pub name: String,
    /// Patterns on the surface.
    pub patterns: Vec<(RegionAsk, PatternLoad)>,
    /// Forces on joints: name, global components \[N\] (also what a CSV file holds).
    pub joints: Vec<(String, [f64; 3])>,
    /// Tractions on panels: name, global components per true area \[N/m²\] (also from a CSV file).
    pub panels: Vec<(String, [f64; 3])>,
    /// Line loads on members: name, global components per metre of the member \[N/m\].
    pub members: Vec<(String, [f64; 3])>,
    /// How it is combined.
    pub role: UserRole,
    /// How long it lasts.
    pub lasts: LastsAsk,
}

/// A stage of the assembly.
#[derive(Debug, Clone, PartialEq)]
pub struct StageAsk {
    /// Name.
    pub name: String,
    /// Panels that stand.
    pub panels: Vec<String>,
    /// A person on any joint that stands \[N\].
    pub person: Option<f64>,
    /// A light wind on the bare frames and any cover that is on: pressure \[N/m²\].
    pub wind: Option<f64>,
}

/// EN 1990 expressions for strength.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum StrengthExpression {
    /// 6.10.
    #[default]
    SixTen,
    /// 6.10a and 6.10b, the worse of both.
    SixTenAB,
}

/// A combination of the user's own.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnCombinationAsk {
    /// Name; `None`: made from its terms.
    pub name: Option<String>,
    /// What it is for.
    pub state: crate::loads::LimitState,
    /// Case names and factors. "weight" stands for timbers and cover together.
    pub terms: Vec<(String, f64)>,
    /// How long its shortest load lasts; `None`: from the cases.
    pub lasts: Option<LastsAsk>,
}

/// How cases are combined.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct CombinationAsk {
    /// EN 1990 with the values of the UK annex (ψ0 of wind 0.5, ξ 0.925, air 1.226 kg/m³, wind instantaneous).
    pub uk: bool,
    /// 6.10, or 6.10a and 6.10b.
    pub expression: StrengthExpression,
    /// The user's list; where there is one it takes the place of the code's.
    pub own: Vec<OwnCombinationAsk>,
}

/// Everything asked of the loads.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadsAsk {
    /// Basis.
    pub basis: Basis,
    /// Edition of ASCE 7; asked for where the basis is one of the United States.
    pub edition: Option<AsceEdition>,
    /// Risk category of ASCE 7; asked for where the edition needs it.
    pub risk: Option<RiskCategory>,
    /// Cover, or why there is none.
    pub cover: Given<CoverAsk>,
    /// Snow, or why it is left out.
    pub snow: Given<SnowAsk>,
    /// Wind, or why it is left out.
    pub wind: Given<WindAsk>,
    /// People and things.
    pub imposed: ImposedAsk,
    /// The user's own cases.
    pub user: Vec<UserCaseAsk>,
    /// Stages of the assembly.
    pub stages: Vec<StageAsk>,
    /// How they are combined.
    pub combine: CombinationAsk,
}
