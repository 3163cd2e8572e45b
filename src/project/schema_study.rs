//! `[compare]`, `[prices]`, `[span]`: what the studies try. All of it may be left out.

use super::key::Key;
use super::schema_rules::nominal;
use super::table::{At, Table};
use crate::loads::ask::Basis;
use crate::shell::ask::{Form, ShellAsk};
use crate::tables::Tables;
use crate::tables::grade::Grade;
use crate::units::{self, Dimension};

/// A section to try.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionAsk {
    /// b, along the panel \[m\].
    pub breadth: f64,
    /// d, through the shell \[m\].
    pub depth: f64,
}

/// What `compare` puts side by side; an empty list stands for the project's own.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct CompareAsk {
    /// Sections.
    pub sections: Vec<SectionAsk>,
    /// Grades.
    pub grades: Vec<Grade>,
    /// Strips side by side in a seam.
    pub strips: Vec<usize>,
}

/// What timber costs, in the user's own currency.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PricesAsk {
    /// As printed: "EUR".
    pub currency: String,
    /// Per cubic metre; used where a section has no price of its own.
    pub cubic_metre: Option<f64>,
    /// Per metre, of particular sections.
    pub metre: Vec<(SectionAsk, f64)>,
}

impl PricesAsk {
    /// Price of a metre of a section; `None` where nobody gave one.
    #[must_use]
    pub fn of_metre(&self, breadth: f64, depth: f64) -> Option<f64> {
        // A tenth of a millimetre: sizes are written, not measured.
        let same = |s: &SectionAsk| (s.breadth - breadth).abs() < 1e-4 && (s.depth - depth).abs() < 1e-4;
        let own = self.metre.iter().find(|(section, _)| same(section)).map(|(_, price)| *price);
        own.or_else(|| self.cubic_metre.map(|price| price * breadth * depth))
    }
}

/// The size that `span` sweeps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Vary {
    /// Radius of a dome or tunnel \[m\].
    Radius,
    /// Span of a barrel \[m\].
    Span,
    /// Rise of a barrel \[m\].
    Rise,
    /// Bands of a tunnel, or bays of a barrel.
    Bands,
    /// Divisions of an icosahedron's edge, or segments of an arch.
    Frequency,
}

/// A timber to try over a span.
#[derive(Debug, Clone, PartialEq)]
pub struct TimberChoice {
    /// Section.
    pub section: SectionAsk,
    /// Grade; `None`: the project's.
    pub grade: Option<Grade>,
}

/// What `span` sweeps.
#[derive(Debug, Clone, PartialEq)]
pub struct SpanAsk {
    /// Which size.
    pub vary: Vary,
    /// From and to \[m, or a count\].
    pub range: [f64; 2],
    /// How many values, both ends counted.
    pub steps: usize,
    /// Timbers; empty: the project's own.
    pub timbers: Vec<TimberChoice>,
}

/// Everything asked of the studies.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct StudyAsk {
    /// Timbers side by side.
    pub compare: CompareAsk,
    /// Prices.
    pub prices: PricesAsk,
    /// A swept size.
    pub span: Option<SpanAsk>,
}

const SECTIONS: Key = Key::list("sections", "sections to try, [\"47x75 mm\", \"47x97\"]");
const GRADES: Key = Key::list("grades", "grades to try; the project's own where nothing is said");
const STRIPS: Key =
    Key::numbers("strips", "strips side by side in a seam to try, [1, 2, 3]").within(1.0, 6.0);

/// Keys of `[compare]`.
pub const COMPARE_KEYS: &[Key] = &[SECTIONS, GRADES, STRIPS];

const CURRENCY: Key = Key::text("currency", "the currency, as it is to be printed");
const CUBIC_METRE: Key =
    Key::number("cubic_metre", "price of a cubic metre of timber").within(0.0, 1e6).single();
const METRE: Key = Key::table("metre", "price of a metre by section: \"47x75 mm\" = 2.1");

/// Keys of `[prices]`.
pub const PRICES_KEYS: &[Key] = &[CURRENCY, CUBIC_METRE, METRE];

const VARY: Key = Key::word("vary", "what is swept: radius, span, rise, bands or frequency");
const FROM: Key = Key::text("from", "the first value: \"1.5 m\", or a number");
const TO: Key = Key::text("to", "the last value");
const STEPS: Key =
    Key::whole("steps", "how many values, both ends counted; 9 where nothing is said").within(2.0, 200.0);
const TIMBERS: Key = Key::list("timbers", "timbers to try, [\"47x75 mm C24\"]");

/// Keys of `[span]`.
pub const SPAN_KEYS: &[Key] = &[VARY, FROM, TO, STEPS, TIMBERS];

const VARY_NAMES: [(&str, Vary); 5] = [
    ("radius", Vary::Radius),
    ("span", Vary::Span),
    ("rise", Vary::Rise),
    ("bands", Vary::Bands),
    ("frequency", Vary::Frequency),
];

/// Reads the tables of the studies; `None` only where a fault says why.
pub(crate) fn read(
    compare: &Table<'_, '_>,
    prices: &Table<'_, '_>,
    span: &Table<'_, '_>,
    basis: Option<Basis>,
    shell: Option<&ShellAsk>,
) -> Option<StudyAsk> {
    let compare_ask = read_compare(compare, basis);
    compare.finish(COMPARE_KEYS, "");
    let prices_ask = read_prices(prices);
    prices.finish(PRICES_KEYS, "");
    let span_ask = if span.is_present() { read_span(span, basis, shell).map(Some) } else { Some(None) };
    span.finish(SPAN_KEYS, "");
    Some(StudyAsk { compare: compare_ask?, prices: prices_ask?, span: span_ask? })
}

fn read_compare(table: &Table<'_, '_>, basis: Option<Basis>) -> Option<CompareAsk> {
    if !table.is_present() {
        return Some(CompareAsk::default());
    }
    let sections = table.texts(&SECTIONS).unwrap_or_default();
    let sections: Vec<_> = sections.iter().map(|text| listed_section(table, &SECTIONS, text)).collect();
    sections.iter().flatten().for_each(|section| nominal(table.reading, section.breadth, section.depth));
    let grades = table.texts(&GRADES).unwrap_or_default();
    let grades: Vec<_> = grades.iter().map(|text| listed_grade(table, &GRADES, text, basis)).collect();
    let mut strips = Vec::new();
    for number in table.quantities(&STRIPS).unwrap_or_default() {
        if number.fract() != 0.0 {
            table.fault("out-of-range", &STRIPS, format!("has {number}; strips are counted"), "write [1, 2]");
            return None;
        }
        // Whole, and from 1 to 6 by the key's limits.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "from 1 to 6")]
        strips.push(number as usize);
    }
    Some(CompareAsk {
        sections: sections.into_iter().collect::<Option<_>>()?,
        grades: grades.into_iter().collect::<Option<_>>()?,
        strips,
    })
}

fn read_prices(table: &Table<'_, '_>) -> Option<PricesAsk> {
    if !table.is_present() {
        return Some(PricesAsk::default());
    }
    let currency = table.text(&CURRENCY).unwrap_or_default();
    let cubic_metre = table.quantity(&CUBIC_METRE);
    let by_metre = table.child(&METRE);
    let mut metre = Vec::new();
    for (name, price) in by_metre.named_numbers() {
        let text = At { value: name, place: by_metre.place() };
        let section = listed_section(table, &METRE, &text)?;
        if price < 0.0 {
            table.fault("out-of-range", &METRE, format!("has {price}"), "a price is not negative");
            return None;
        }
        metre.push((section, price));
    }
    Some(PricesAsk { currency, cubic_metre, metre })
}

fn read_span(table: &Table<'_, '_>, basis: Option<Basis>, shell: Option<&ShellAsk>) -> Option<SpanAsk> {
    let vary = table.need_word(&VARY, &VARY_NAMES);
    let counted = matches!(vary, Some(Vary::Bands | Vary::Frequency));
    let wants = |key: Key| {
        if counted {
            // A tunnel without bands is the plain dome.
            let least = if matches!(vary, Some(Vary::Bands)) { 0.0 } else { 1.0 };
            Key::number(key.name, key.about).within(least, 200.0).single()
        } else {
            Key::length(key.name, key.about).within(0.1, 1000.0).single()
        }
    };
    let from = table.need_quantity(&wants(FROM));
    let to = table.need_quantity(&wants(TO));
    let steps = table.whole_or(&STEPS, 9);
    let timbers = table.texts(&TIMBERS).unwrap_or_default();
    let timbers: Vec<_> = timbers.iter().map(|text| listed_timber(table, text, basis)).collect();
    let sections = timbers.iter().flatten().map(|timber| &timber.section);
    sections.for_each(|section| nominal(table.reading, section.breadth, section.depth));
    let (vary, from, to) = (vary?, from?, to?);
    if to <= from {
        table.fault("out-of-range", &TO, "is not above `from`", "write the smaller value in `from`");
        return None;
    }
    let fits = match shell.map(|shell| &shell.form) {
        None => true,
        Some(Form::Dome { .. }) => matches!(vary, Vary::Radius | Vary::Frequency),
        Some(Form::Tunnel { .. }) => matches!(vary, Vary::Radius | Vary::Bands | Vary::Frequency),
        Some(Form::Barrel { .. }) => !matches!(vary, Vary::Radius),
        Some(Form::Mesh(_)) => false,
    };
    if !fits {
        let help = "a dome varies by radius or frequency, a tunnel also by bands, a barrel by span, rise, bands or frequency";
        table.fault("unused-key", &VARY, "is no size of this form", help);
        return None;
    }
    Some(SpanAsk { vary, range: [from, to], steps, timbers: timbers.into_iter().collect::<Option<_>>()? })
}

/// "47x75 mm", "47 x 75 mm", "47 mm x 75 mm", or the name of a stocked size.
///
/// # Errors
/// What to write instead.
pub fn section(text: &str) -> Result<SectionAsk, String> {
    let help =
        || "write \"47x75 mm\", or a stocked size by its name (strutwise tables metric_sizes)".to_owned();
    let text = text.trim();
    if text.contains(',') {
        return Err(
            "a comma can mean a decimal or a thousand: write a decimal point, \"47.5x75 mm\"".to_owned()
        );
    }
    let (first, second) = text.split_once(['x', 'X', '×']).ok_or_else(help)?;
    let (first, second) = (first.trim(), second.trim());
    let unit = second.trim_start_matches(|c: char| c.is_ascii_digit() || ". _/".contains(c));
    if unit.is_empty() {
        let (breadth, depth) =
            Tables::built_in().stocked(&text.replace(['X', '×'], "x")).map_err(|error| error.to_string())?;
        return Ok(SectionAsk { breadth, depth });
    }
    let has_unit = first.chars().any(char::is_alphabetic);
    let first = if has_unit { first.to_owned() } else { format!("{first} {unit}") };
    let length = |text: &str| units::parse(text, Dimension::Length).map_err(|_| help());
    let (breadth, depth) = (length(&first)?, length(second)?);
    if (0.005..=0.6).contains(&breadth) && (0.005..=1.5).contains(&depth) {
        Ok(SectionAsk { breadth, depth })
    } else {
        Err("a breadth lies between 5 and 600 mm, a depth between 5 and 1500 mm".to_owned())
    }
}

fn grade(name: &str, basis: Option<Basis>) -> Result<Grade, String> {
    let grade = Tables::built_in().grade(name.trim()).map_err(|error| error.to_string())?;
    let fits = match (grade, basis) {
        (Grade::Eurocode(_), Some(basis)) => basis == Basis::Eurocode,
        (Grade::Nds(_), Some(basis)) => basis != Basis::Eurocode,
        (_, None) => true,
    };
    if fits { Ok(grade.clone()) } else { Err("it belongs to another basis".to_owned()) }
}

fn unknown(table: &Table<'_, '_>, key: &Key, text: &At<String>, why: String) {
    let message = format!("{} has {:?}, which cannot be read", table.name_of(key), text.value);
    table.reading.fault("unknown-word", text.place.clone(), message, why);
}

fn listed_section(table: &Table<'_, '_>, key: &Key, text: &At<String>) -> Option<SectionAsk> {
    section(&text.value).map_err(|why| unknown(table, key, text, why)).ok()
}

fn listed_grade(table: &Table<'_, '_>, key: &Key, text: &At<String>, basis: Option<Basis>) -> Option<Grade> {
    grade(&text.value, basis).map_err(|why| unknown(table, key, text, why)).ok()
}

/// A section, then a grade where there is more text.
fn listed_timber(table: &Table<'_, '_>, text: &At<String>, basis: Option<Basis>) -> Option<TimberChoice> {
    if let Ok(section) = section(&text.value) {
        return Some(TimberChoice { section, grade: None });
    }
    let breaks = text.value.char_indices().filter(|(_, c)| *c == ' ').map(|(i, _)| i);
    for at in breaks {
        let (size, name) = text.value.split_at(at);
        if let (Ok(section), Ok(grade)) = (section(size), grade(name, basis)) {
            return Some(TimberChoice { section, grade: Some(grade) });
        }
    }
    let comma = section(&text.value).err().filter(|_| text.value.contains(','));
    let help =
        comma.unwrap_or_else(|| "write a section and a grade of the basis: \"47x75 mm C24\"".to_owned());
    unknown(table, &TIMBERS, text, help);
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sections_are_read_as_people_write_them() {
        for text in [
            "47x75 mm",
            "47 x 75 mm",
            "47 mm × 75 mm",
            "47x75",
            "4.7 cm x 75 mm",
            "47X75mm",
            "47X75",
            "47×75",
        ] {
            let read = section(text).unwrap();
            assert!((read.breadth - 0.047).abs() < 1e-12 && (read.depth - 0.075).abs() < 1e-12, "{text}");
        }
        for text in ["", "47", "x", "47x75 kg", "47x75 m", "9999x1", "-47x75 mm"] {
            assert!(section(text).is_err(), "{text}");
        }
        for text in ["47,5x75 mm", "47x75,5 mm", "47,5x75"] {
            assert!(section(text).unwrap_err().contains("decimal point"), "{text}");
        }
    }

    #[test]
    fn a_price_of_the_section_goes_before_that_of_a_cubic_metre() {
        let own = (SectionAsk { breadth: 0.047, depth: 0.075 }, 2.5);
        let prices = PricesAsk { currency: String::new(), cubic_metre: Some(400.0), metre: vec![own] };
        assert_eq!(prices.of_metre(0.047, 0.075), Some(2.5));
        assert!((prices.of_metre(0.047, 0.1).unwrap() - 400.0 * 0.0047).abs() < 1e-12);
    }

    /// A list of timbers warns of nominal sizes as the project's own timber does, and once.
    #[test]
    fn a_nominal_size_in_a_list_is_told() {
        use crate::project::{Asked, SourceText, read_text};
        let text = "[project]\nname = \"store\"\nbasis = \"us-lrfd\"\n[shell]\nform = \"dome\"\nradius = \"7 ft\"\nfrequency = 2\n\
                    up = \"vertex\"\nbase = \"0 m\"\n[timber]\ngrade = \"DF-L No.2\"\nbreadth = \"1.5 in\"\ndepth = \"3.5 in\"\n\
                    [rules]\nwet = true\n\
                    [cover]\nweight = \"2 psf\"\n[snow]\nleft_out = \"a test\"\n[wind]\nleft_out = \"a test\"\n\
                    [combine]\nedition = \"7-16\"\nrisk = \"I\"\n\
                    [compare]\nsections = [\"2x4\", \"2x4 in\"]\n\
                    [span]\nvary = \"radius\"\nfrom = \"6 ft\"\nto = \"8 ft\"\ntimbers = [\"2x4 in\", \"2x6 in DF-L No.2\"]\n";
        let source = SourceText { name: "store.toml".to_owned(), text: text.to_owned() };
        let Ok(Asked::Shell(project)) = read_text(source, std::path::Path::new("."), "store") else {
            panic!("a project")
        };
        let told = |size: &str| project.warnings.iter().filter(|words| words.contains(size)).count();
        assert_eq!(
            (told("2 in by 4 in is taken"), told("2 in by 6 in is taken")),
            (1, 1),
            "{:?}",
            project.warnings
        );
    }
}
