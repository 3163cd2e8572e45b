//! Look-ups of what the standards print about bolts and screws.
//!
//! In the units of the formulas that use them: inches and psi for the NDS, diameters for distances,
//! SI for what says so.

use crate::tables::read::Table;
use crate::tables::{Tables, named};

/// Fasteners of the NDS's table of bending yield strengths.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NdsFastener {
    /// Bolt.
    Bolt,
    /// Lag screw.
    LagScrew,
    /// Wood screw with cut thread.
    WoodScrew,
}

/// How a nail or thin screw is put in, as the columns of EN 1995-1-1 Table 8.2 go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hole {
    /// Driven, `ρ_k` up to 420 kg/m³.
    Driven,
    /// Driven, `ρ_k` above 420 and up to 500 kg/m³.
    DrivenDense,
    /// In a drilled hole.
    Drilled,
}

/// A distance of EN 1995-1-1 Tables 8.2 and 8.4: `(constant + cos·|cos α| + sin·|sin α|)·d`, but not below
/// `least_d` diameters and `least`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reach {
    constant: f64,
    cos: f64,
    sin: f64,
    least_d: f64,
    /// \[m\]
    least: f64,
}

impl Reach {
    /// For a diameter \[m\] and a force whose angle to the grain has that cosine and sine, neither negative \[m\].
    #[must_use]
    pub fn at(&self, diameter: f64, cos: f64, sin: f64) -> f64 {
        let angled = (self.constant + self.cos * cos + self.sin * sin) * diameter;
        angled.max(self.least_d * diameter).max(self.least)
    }
}

/// Distances of one kind of fastener under EN 1995-1-1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reaches {
    /// a₁.
    pub along: Reach,
    /// a₃,t.
    pub loaded_end: Reach,
    /// a₃,c.
    pub free_end: Reach,
    /// a₄,t.
    pub loaded_edge: Reach,
}

/// A distance of the NDS, in diameters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// The least allowed.
    pub least: f64,
    /// From here on nothing is taken off; infinite where the table has no such column.
    pub full: f64,
}

/// Distances of the NDS from 1/4 in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NdsReaches {
    /// Edge, force along the grain \[diameters\].
    pub edge_along: f64,
    /// Loaded edge, force across the grain \[diameters\].
    pub edge_across: f64,
    /// Loaded end.
    pub loaded_end: Span,
    /// Unloaded end.
    pub free_end: Span,
    /// Along the grain.
    pub spacing: Span,
    /// Penetration of a lag screw \[diameters\].
    pub lag_screw: f64,
    /// Penetration of a wood screw \[diameters\].
    pub wood_screw: f64,
}

/// The commentary's advice below 1/4 in, in diameters; a pair is driven, drilled.
#[derive(Debug, Clone, Copy, PartialEq)]
#[allow(missing_docs, reason = "the names are those of the distances")]
pub struct ThinReaches {
    pub edge: f64,
    pub loaded_end: [f64; 2],
    pub free_end: [f64; 2],
    pub spacing: [f64; 2],
}

/// Greatest rope effect as a share of the yield term (EN 1995-1-1 8.2.2(2)).
#[derive(Debug, Clone, Copy, PartialEq)]
#[allow(missing_docs, reason = "the names are those of the fasteners")]
pub struct Rope {
    pub round_nail: f64,
    pub screw: f64,
    pub bolt: f64,
    pub dowel: f64,
}

/// `C_M` of connections (NDS Table 11.3.3).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wet {
    /// Lateral, dry all along.
    pub dry: f64,
    /// Lateral, made wet and dry in service.
    pub made_wet: f64,
    /// The same, thinner than 1/4 in.
    pub made_wet_thin: f64,
    /// The same, one fastener or one row along the grain.
    pub made_wet_one_line: f64,
    /// Lateral, wet in service.
    pub wet: f64,
    /// Withdrawal of lag and wood screws, dry in service.
    pub withdrawal_dry: f64,
    /// The same, wet in service.
    pub withdrawal_wet: f64,
}

/// What the standards print about bolts and screws, ready for the inner loop.
#[derive(Debug)]
pub struct Fasteners {
    /// Nominal and root diameter of wood screws \[in\], thinnest first.
    pub wood_screws: Vec<(f64, f64)>,
    /// Nominal diameter, root diameter and length of the tip of lag screws \[in\], thinnest first.
    pub lag_screws: Vec<(f64, f64, f64)>,
    /// Greatest diameter \[in\] and `F_yb` \[psi\].
    bending_yield: [Vec<(f64, f64)>; 3],
    /// `C_M`.
    pub wet: Wet,
    /// `C_t` dry and wet, up to 100, 125 and 150 °F.
    pub temperature: [[f64; 3]; 2],
    /// κ.
    pub rope: Rope,
    /// a₁/d, `k_ef` driven (0 where the table has none) and drilled, closest first.
    pub k_ef: Vec<(f64, f64, f64)>,
    /// Table 8.4.
    pub bolts: Reaches,
    /// Diameter of a washer (10.4.3).
    pub washer: Reach,
    /// Thread in the far member (8.7.2(2)).
    pub thread: Reach,
    /// Table 8.2: driven, driven into dense timber and drilled, each thinner than 5 mm and from there.
    nails: [[Reaches; 2]; 3],
    /// Table 8.6: edge, end and spacing along the grain of pulled screws \[diameters\].
    pub pulled: [f64; 3],
    /// NDS from 1/4 in.
    pub nds: NdsReaches,
    /// NDS below.
    pub nds_thin: ThinReaches,
    /// Tensile strength assumed under the Eurocode \[Pa\].
    pub steel_eurocode: f64,
    /// Under the NDS \[Pa\].
    pub steel_nds: f64,
}

fn cell(table: &Table, row: &str, column: &str) -> f64 {
    let row = table.row(row).expect("the row is in the table (tested)");
    table.printed(row, column).expect("the cell is a number (tested)")
}

fn reach(table: &Table, row: &str) -> Reach {
    let found = table.row(row).expect("the row is in the table (tested)");
    Reach {
        constant: cell(table, row, "constant"),
        cos: cell(table, row, "cos"),
        sin: cell(table, row, "sin"),
        least_d: table.printed(found, "least d").unwrap_or(0.0),
        least: table.si(found, "least").unwrap_or(0.0),
    }
}

fn nails(table: &Table, hole: &str) -> [Reaches; 2] {
    ["below 5 mm", "from 5 mm"].map(|thick| {
        // A row that is the same for every diameter says "any".
        let of = |distance: &str| {
            let own = format!("{distance} {hole} {thick}");
            let name = if table.row(&own).is_some() { own } else { format!("{distance} {hole} any") };
            reach(table, &name)
        };
        Reaches {
            along: of("a1 along the grain"),
            loaded_end: of("a3,t loaded end"),
            free_end: of("a3,c unloaded end"),
            loaded_edge: of("a4,t loaded edge"),
        }
    })
}

impl Fasteners {
    pub(crate) fn from_tables(tables: &[Table]) -> Self {
        let screws = named(tables, "fasteners_nds_wood_screws");
        let lags = named(tables, "fasteners_nds_lag_screws");
        let yields = named(tables, "fasteners_nds_bending_yield");
        let wet = named(tables, "fasteners_nds_wet_service");
        let hot = named(tables, "fasteners_nds_temperature");
        let rope = named(tables, "fasteners_en1995_rope");
        let rows = named(tables, "fasteners_en1995_kef");
        let bolts = named(tables, "fasteners_en1995_bolts");
        let thin = named(tables, "fasteners_en1995_nails");
        let nds = named(tables, "fasteners_nds_distances");
        let steel = named(tables, "fasteners_steel");
        let number = |table: &Table, row: &crate::tables::read::Row, column: &str| {
            table.printed(row, column).expect("the cell is a number (tested)")
        };
        let span = |row: &str| Span {
            least: cell(nds, row, "least"),
            full: nds.row(row).and_then(|r| nds.printed(r, "full")).unwrap_or(f64::INFINITY),
        };
        let least = |row: &str| span(row).least;
        let strength = |row: &str, column: &str| {
            steel.row(row).and_then(|r| steel.si(r, column)).expect("the cell is a number (tested)")
        };
        let mut k_ef: Vec<(f64, f64, f64)> = rows
            .rows
            .iter()
            .map(|row| {
                let driven = rows.printed(row, "driven").unwrap_or(0.0);
                (number(rows, row, "a1/d"), driven, number(rows, row, "drilled"))
            })
            .collect();
        k_ef.reverse();
        Self {
            wood_screws: screws
                .rows
                .iter()
                .map(|r| (number(screws, r, "D"), number(screws, r, "D_r")))
                .collect(),
            lag_screws: lags
                .rows
                .iter()
                .map(|r| (number(lags, r, "D"), number(lags, r, "D_r"), number(lags, r, "E")))
                .collect(),
            bending_yield: ["bolt", "lag screw", "wood screw"].map(|kind| {
                let own = |r: &&crate::tables::read::Row| {
                    yields.words(r, "fastener").is_some_and(|words| words == kind)
                };
                let values = yields.rows.iter().filter(own).map(|r| {
                    (yields.printed(r, "up to").unwrap_or(f64::INFINITY), number(yields, r, "F_yb"))
                });
                values.collect()
            }),
            wet: Wet {
                dry: cell(wet, "lateral dry dry all", "C_M"),
                made_wet: cell(wet, "lateral wet dry D from 1/4 in", "C_M"),
                made_wet_thin: cell(wet, "lateral wet dry D below 1/4 in", "C_M"),
                made_wet_one_line: cell(
                    wet,
                    "lateral wet dry one fastener, or one row along the grain",
                    "C_M",
                ),
                wet: cell(wet, "lateral any wet all", "C_M"),
                withdrawal_dry: cell(wet, "withdrawal any dry lag and wood screws", "C_M"),
                withdrawal_wet: cell(wet, "withdrawal any wet lag and wood screws", "C_M"),
            },
            temperature: ["dry", "wet"].map(|row| {
                ["up to 100 F", "up to 125 F", "up to 150 F"].map(|column| cell(hot, row, column))
            }),
            rope: Rope {
                round_nail: cell(rope, "round nails", "share"),
                screw: cell(rope, "screws", "share"),
                bolt: cell(rope, "bolts", "share"),
                dowel: cell(rope, "dowels", "share"),
            },
            k_ef,
            bolts: Reaches {
                along: reach(bolts, "a1 along the grain"),
                loaded_end: reach(bolts, "a3,t loaded end"),
                free_end: reach(bolts, "a3,c unloaded end"),
                loaded_edge: reach(bolts, "a4,t loaded edge"),
            },
            washer: reach(bolts, "washer's diameter"),
            thread: reach(bolts, "thread in the far side"),
            nails: ["driven", "driven, dense", "drilled"].map(|hole| nails(thin, hole)),
            pulled: [
                "a2,CG edge, to centre of thread",
                "a1,CG end, to centre of thread",
                "a1 along the grain",
            ]
            .map(|row| cell(named(tables, "fasteners_en1995_pulled_screws"), row, "diameters")),
            nds: NdsReaches {
                edge_along: least("edge force along the grain"),
                edge_across: least("edge loaded edge, across the grain"),
                loaded_end: span("end loaded"),
                free_end: span("end unloaded"),
                spacing: span("spacing along the grain"),
                lag_screw: least("penetration lag screw"),
                wood_screw: least("penetration wood screw"),
            },
            nds_thin: ThinReaches {
                edge: least("thin: edge any"),
                loaded_end: [least("thin: end loaded, driven"), least("thin: end loaded, drilled")],
                free_end: [least("thin: end unloaded, driven"), least("thin: end unloaded, drilled")],
                spacing: [least("thin: spacing driven"), least("thin: spacing drilled")],
            },
            steel_eurocode: strength("Eurocode", "EN"),
            steel_nds: strength("NDS", "US"),
        }
    }

    /// `F_yb` of a fastener by its nominal diameter \[in\] \[psi\] (NDS Appendix I).
    #[must_use]
    pub fn bending_yield(&self, fastener: NdsFastener, nominal: f64) -> f64 {
        let rows = match fastener {
            NdsFastener::Bolt => &self.bending_yield[0],
            NdsFastener::LagScrew => &self.bending_yield[1],
            NdsFastener::WoodScrew => &self.bending_yield[2],
        };
        let row = rows.iter().find(|(up_to, _)| nominal <= *up_to).or(rows.last());
        row.map_or(0.0, |(_, strength)| *strength)
    }

    /// EN 1995-1-1 Table 8.2 for a hole and a diameter \[m\].
    #[must_use]
    pub fn nails(&self, hole: Hole, diameter: f64) -> &Reaches {
        &self.nails[hole as usize][usize::from(diameter >= 0.005)]
    }
}

impl Tables {
    /// What the standards print about bolts and screws.
    #[must_use]
    pub fn fasteners(&self) -> &Fasteners {
        &self.fasteners
    }
}
