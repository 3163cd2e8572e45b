//! Quantities given as a range, low and high: `ground = ["0.4 kN/m2", "0.8 kN/m2"]`.
//!
//! Any quantity may be one, unless its key says [`Key::single`] or it is a direction. A file with ranges
//! is read once for each choice of their ends, so that what a choice says is exactly what the same file
//! says with that one value written in the range's place.

use std::ops::Range;

use toml::Spanned;
use toml::de::DeValue;

use super::fault::{Place, ProjectError, SourceText};
use super::key::Key;
use super::near::shorten;
use super::quantity::{dimension, printed, written};
use super::reading::Reading;
use super::table::Table;
use super::{Asked, Project, read_all};
use crate::units;

/// Most ranges in one file: their corners are twice as many with each.
pub const MOST: usize = 10;

/// Where in its range an input is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum End {
    /// The lower value.
    Low,
    /// The value half-way.
    Middle,
    /// The higher value.
    High,
}

impl End {
    /// In a word.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Low => "low",
            Self::Middle => "middle",
            Self::High => "high",
        }
    }
}

/// One input given as a range.
#[derive(Debug, Clone, PartialEq)]
pub struct RangeInput {
    /// Key in the file: "snow.ground".
    pub key: String,
    /// Unit of the values, "N/m2"; empty for plain numbers.
    pub unit: &'static str,
    /// Low, middle and high, in SI base units.
    pub values: [f64; 3],
    /// The same as they would be written in the file.
    pub texts: [String; 3],
    /// Where the list stands.
    pub place: Place,
}

impl RangeInput {
    /// Value at an end.
    #[must_use]
    pub fn value(&self, end: End) -> f64 {
        self.values[end as usize]
    }

    /// The value at an end as it would be written in the file.
    #[must_use]
    pub fn text(&self, end: End) -> &str {
        &self.texts[end as usize]
    }

    /// "0.4 to 0.8 kN/m2".
    #[must_use]
    pub fn words(&self) -> String {
        let [low, _, high] = &self.texts;
        match (units::split(low), units::split(high)) {
            (Some((_, number, one)), Some((_, _, other))) if one == other && !one.is_empty() => {
                format!("{number} to {high}")
            }
            _ => format!("{low} to {high}"),
        }
    }
}

/// A shell of timber some of whose inputs are ranges.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranged {
    /// The ranges in the order of the file; never empty.
    pub inputs: Vec<RangeInput>,
    /// The project with every range at its lower end: for what no range changes (name, units, form).
    pub lowest: Box<Project>,
    /// What the project is called where it gives itself no name.
    stem: String,
}

impl Ranged {
    pub(super) fn new(inputs: Vec<RangeInput>, lowest: Box<Project>, stem: &str) -> Self {
        Self { inputs, lowest, stem: stem.to_owned() }
    }

    /// Every corner: each input at its low or high end, the last input changing fastest.
    #[must_use]
    pub fn corners(&self) -> Vec<Vec<End>> {
        let count = self.inputs.len();
        let end = |corner: usize, input: usize| {
            if corner >> (count - 1 - input) & 1 == 0 { End::Low } else { End::High }
        };
        (0..1 << count).map(|corner| (0..count).map(|input| end(corner, input)).collect()).collect()
    }

    /// The project with each input at an end, in the order of [`Ranged::inputs`]; inputs beyond the list
    /// are at their low end.
    ///
    /// # Errors
    /// Values that each may stand alone and do not go together.
    pub fn at(&self, ends: &[End]) -> Result<Project, ProjectError> {
        let mut files = self.lowest.files.iter().cloned();
        let source =
            files.next().unwrap_or_else(|| SourceText { name: self.stem.clone(), text: String::new() });
        let mut reading = Reading::new(std::path::PathBuf::new(), source);
        reading.known = files.collect();
        reading.ends = self.inputs.iter().zip(ends).map(|(input, &end)| (input.place.start, end)).collect();
        match read_all(reading, &self.stem) {
            Ok((Asked::Shell(project), _)) => Ok(*project),
            // The form is a word and no range: it is a shell at every corner.
            Ok(_) => Ok((*self.lowest).clone()),
            Err(ProjectError::Faulty(faulty)) => {
                Err(ProjectError::Faulty(Box::new(faulty.at_point(&self.words(ends)))))
            }
            Err(other) => Err(other),
        }
    }

    /// "snow.ground 0.8 kN/m2 (high), fixings.lever 30 mm (low)".
    #[must_use]
    pub fn words(&self, ends: &[End]) -> String {
        let one = |(input, &end): (&RangeInput, &End)| {
            format!("{} {} ({})", input.key, input.text(end), end.name())
        };
        self.inputs.iter().zip(ends).map(one).collect::<Vec<_>>().join(", ")
    }
}

/// More ranges than can be tried, and ranges of a plain frame, as faults at their places.
pub(super) fn refuse(reading: &Reading, ranges: &[RangeInput], is_frame: bool) {
    if is_frame {
        for range in ranges {
            let message = format!("{} is a range, which a plain frame does not take", range.key);
            let help = "write one value; ranges are tried for shells of timber";
            reading.fault("range", range.place.clone(), message, help);
        }
    } else if let Some(first) = ranges.get(MOST) {
        let message = format!(
            "{} is range number {} of {}, which have {} corners; at most {MOST} ranges with {} corners are tried",
            first.key,
            MOST + 1,
            ranges.len(),
            2_f64.powi(i32::try_from(ranges.len()).unwrap_or(i32::MAX)),
            1 << MOST
        );
        let help = "write one value for those that matter least; strutwise reserve --sensitivity ranks them";
        reading.fault("range", first.place.clone(), message, help);
    }
}

impl<'d> Table<'_, 'd> {
    /// A quantity that stands as a list: a range, taken at the end that the reading asks for; the answer is
    /// the value and how it is printed.
    pub(super) fn range(
        &self,
        key: &Key,
        span: Range<usize>,
        list: &[Spanned<DeValue<'d>>],
    ) -> Option<(f64, String)> {
        let place = Place::project(span);
        let name = self.name_of(key);
        let fault = |code, message: String, help: String| {
            self.reading.fault(code, place.clone(), message, help);
            None
        };
        let example = key.examples();
        if key.is_in_degrees() {
            let help = "the worst direction may lie between two just as well: write one, or try several";
            return fault("range", format!("{name} is a direction, and takes no range"), help.to_owned());
        }
        if key.single {
            let help = format!("write it as {example}");
            return fault("range", format!("{name} takes one value and no range"), help);
        }
        let [low, high] = list else {
            let found = match list.len() {
                0 => "an empty list".to_owned(),
                1 => "one value in a list".to_owned(),
                count => format!("{count} values"),
            };
            let message = format!("{name} wants one value, or two as a range; found {found}");
            return fault("range", message, format!("write one as {example}, or [low, high]"));
        };
        let ends = [low, high];
        let read = |value| self.read_quantity(key, value).map(|number| (number, printed(key, value)));
        // Both are looked at before either is given up: each has its own faults.
        // An end that is in doubt is so where it is taken.
        let (low, doubts_low) = self.reading.doubts_of(|| read(low));
        let (high, doubts_high) = self.reading.doubts_of(|| read(high));
        let doubt = |of_end: Vec<String>| of_end.into_iter().for_each(|words| self.reading.doubt(words));
        let ((low, low_text), (high, high_text)) = low.zip(high)?;
        // "0.4" beside "0.8 kN/m2" would be 0.4 N/m2. Nought is nought in any unit, and a plain number needs none.
        if let [Some(first), Some(second)] = ends.map(|end| has_unit(key, end))
            && first != second
        {
            let (bare, other) = if first { (&high_text, &low_text) } else { (&low_text, &high_text) };
            let message = format!(
                "{name} is a range of which one end has a unit, {}, and the other has none and would be {}",
                shorten(other),
                shorten(&with_si(key, bare))
            );
            return fault("range", message, "write the unit at both ends".to_owned());
        }
        if low > high {
            let message = format!(
                "{name} is a range whose low end {} is above its high end {}",
                shorten(&low_text),
                shorten(&high_text)
            );
            return fault("range", message, "write the lower value first".to_owned());
        }
        if low.total_cmp(&high).is_eq() {
            let (line, column) = self.reading.line_and_column(&place);
            self.reading.warn(format!(
                "{name} is a range with both ends at {} (line {line}, column {column}); it is taken as one value",
                shorten(&low_text)
            ));
            doubt(doubts_low);
            return Some((low, low_text));
        }
        let (middle, middle_text) = middle(key, [low, high], [&low_text, &high_text]);
        let input = RangeInput {
            key: name,
            unit: dimension(key).si_unit(),
            values: [low, middle, high],
            texts: [low_text, middle_text, high_text],
            place,
        };
        let end = self.reading.range(&input);
        match end {
            End::Low => doubt(doubts_low),
            End::High => doubt(doubts_high),
            // Between two ends that are both of another size than such loads have, so is the middle.
            End::Middle if !doubts_high.is_empty() => doubt(doubts_low),
            End::Middle => {}
        }
        Some((input.value(end), format!("{}, here {}", input.words(), input.text(end))))
    }
}

/// Whether an end of a range names its unit; `None` where none is wanted.
fn has_unit(key: &Key, value: &Spanned<DeValue<'_>>) -> Option<bool> {
    let dimension = dimension(key);
    let bare = |text: &str| text.trim().parse::<f64>() != Ok(0.0);
    match value.get_ref() {
        _ if dimension.si_unit().is_empty() => None,
        DeValue::String(text) => match units::read(text, dimension) {
            Ok((_, false)) => bare(text).then_some(false),
            _ => Some(true),
        },
        DeValue::Integer(number) => bare(number.as_str()).then_some(false),
        DeValue::Float(number) => bare(number.as_str()).then_some(false),
        _ => None,
    }
}

/// A bare number with the unit that it is read in; a number that is printed with it stays as it is.
fn with_si(key: &Key, text: &str) -> String {
    if text.parse::<f64>().is_ok() { format!("{text} {}", dimension(key).si_unit()) } else { text.to_owned() }
}

/// Half-way between two ends, as it would be written: in their own unit where they share one, to six figures
/// where these stay between the ends; the text reads back to the value.
fn middle(key: &Key, [low, high]: [f64; 2], texts: [&str; 2]) -> (f64, String) {
    let dimension = dimension(key);
    let back = |text: String| {
        let value = units::parse(&text, dimension).ok()?;
        (low < value && value < high).then_some((value, text))
    };
    let [one, other] = texts.map(units::split);
    let shared = one.zip(other).filter(|((_, _, one), (_, _, other))| one == other && !one.is_empty());
    let in_unit = shared.and_then(|((a, _, unit), (b, _, _))| {
        back(format!("{} {unit}", units::significant(0.5 * (a + b), 6)))
    });
    let half = 0.5 * low + 0.5 * high;
    in_unit
        .or_else(|| back(written(key, half, 6)))
        .or_else(|| back(written(key, half, 17)))
        .unwrap_or_else(|| (half, written(key, half, 17)))
}
