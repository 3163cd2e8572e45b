//! How a quantity looks to a reader: metric or imperial, plain digits, and names made harmless.

use crate::assess::fill::INFINITE;
use crate::assess::paths::PATH_ENOUGH;
use crate::assess::results::{Assessment, ModelResult, Verdict};
use crate::assess::stability::TELLING;
pub(crate) use crate::assess::words::{beyond_number, of_its, utilisation};
use crate::units::{FOOT, INCH, KILONEWTON, MILLIMETRE, POUND, POUND_FORCE, PSF};

/// Printer of quantities in the units that the project asked for.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Printer {
    imperial: bool,
}

impl Printer {
    /// "imperial" prints feet and pounds; anything else prints SI.
    pub(crate) fn new(units: &str) -> Self {
        Self { imperial: units == "imperial" }
    }

    /// Whether feet and pounds are printed.
    pub(crate) fn imperial(self) -> bool {
        self.imperial
    }

    /// As [`Printer::length`], rounded up or down only: on the side where what is told of it holds.
    pub(crate) fn length_rounded(self, metres: f64, up: bool) -> String {
        let step = match (self.imperial, metres.abs()) {
            (true, _) => 0.1 * INCH,
            (false, ..10.0) => 1e-3,
            (false, ..100.0) => 1e-2,
            (false, _) => 0.1,
        };
        // What is a whole number of steps but for rounding stays.
        let steps = metres / step;
        let whole = if up { (steps - 1e-9).ceil() } else { (steps + 1e-9).floor() };
        self.length(whole * step)
    }

    /// A length of the shell \[m\]: "2.435 m" or "7 ft 11.9 in".
    pub(crate) fn length(self, metres: f64) -> String {
        if !metres.is_finite() {
            return unknown();
        }
        if !self.imperial {
            return format!("{} m", figures(metres, 4, 3));
        }
        let inches = (metres / INCH * 10.0).round() / 10.0;
        let feet = (inches / 12.0).trunc();
        let rest = (inches - feet * 12.0).abs();
        if feet == 0.0 { format!("{rest:.1} in") } else { format!("{feet:.0} ft {rest:.1} in") }
    }

    /// A size of the whole shell between joints, with that of the curve behind it where that is another \[m\].
    pub(crate) fn extent(self, joints: f64, curve: Option<f64>) -> String {
        let curve = curve.map_or_else(String::new, |curve| format!(" (on the curve {})", self.length(curve)));
        format!("{}{curve}", self.length(joints))
    }

    /// A size of a timber \[m\]: "47 mm" or "1.85 in".
    pub(crate) fn size(self, metres: f64) -> String {
        if self.imperial {
            format!("{} in", figures(metres / INCH, 4, 2))
        } else {
            format!("{} mm", figures(metres / MILLIMETRE, 4, 1))
        }
    }

    /// A place to drill at \[m\], as fine as it can be marked: "120.6 mm" or "4.75 in".
    pub(crate) fn place(self, metres: f64) -> String {
        if self.imperial {
            format!("{:.2} in", metres / INCH)
        } else {
            format!("{:.1} mm", metres / MILLIMETRE)
        }
    }

    /// A movement \[m\], to two figures as befits a guessed stiffness: "3.4 mm".
    pub(crate) fn movement(self, metres: f64) -> String {
        // The last place that is printed.
        let least = if self.imperial { 0.001 * INCH } else { 0.1 * MILLIMETRE };
        if metres != 0.0 && metres.abs() < 0.5 * least {
            return if self.imperial { "under 0.001 in".to_owned() } else { "under 0.1 mm".to_owned() };
        }
        if self.imperial {
            format!("{} in", figures(metres / INCH, 2, 3))
        } else {
            format!("{} mm", figures(metres / MILLIMETRE, 2, 1))
        }
    }

    /// The unit of [`Printer::force_bare`].
    pub(crate) fn force_unit(self) -> &'static str {
        if self.imperial { "lbf" } else { "kN" }
    }

    /// A force \[N\] without its unit, for a column.
    pub(crate) fn force_bare(self, newtons: f64) -> String {
        if self.imperial { plain(newtons / POUND_FORCE, 3, 0) } else { plain(newtons / KILONEWTON, 3, 2) }
    }

    /// As [`Printer::force_bare`], to the newton: a timber's own forces are small, and a checker puts them into the rules again.
    pub(crate) fn fine_force_bare(self, newtons: f64) -> String {
        if self.imperial { plain(newtons / POUND_FORCE, 3, 1) } else { plain(newtons / KILONEWTON, 3, 3) }
    }

    /// A force \[N\].
    pub(crate) fn force(self, newtons: f64) -> String {
        format!("{} {}", self.force_bare(newtons), self.force_unit())
    }

    /// The unit of [`Printer::moment_bare`].
    pub(crate) fn moment_unit(self) -> &'static str {
        if self.imperial { "lbf·ft" } else { "N·m" }
    }

    /// A moment \[N·m\] without its unit.
    pub(crate) fn moment_bare(self, newton_metres: f64) -> String {
        let value = if self.imperial { newton_metres / (POUND_FORCE * FOOT) } else { newton_metres };
        plain(value, 3, 1)
    }

    /// A moment about the base of the whole \[N·m\], in the larger unit.
    pub(crate) fn large_moment(self, newton_metres: f64) -> String {
        if self.imperial {
            format!("{} lbf·ft", plain(newton_metres / (POUND_FORCE * FOOT), 3, 0))
        } else {
            format!("{} kN·m", plain(newton_metres / KILONEWTON, 3, 2))
        }
    }

    /// A sentence with SI quantities in it, in the project's units.
    pub(crate) fn sentence(self, words: &str) -> String {
        let words = true_minus(words);
        if self.imperial { crate::units::imperial_words(&words) } else { raised(&words) }
    }

    /// A sag or a sway \[m\] of a linear solution; one too large to be of use says so.
    pub(crate) fn linear_movement(self, metres: f64, span: f64) -> String {
        let figure = self.movement(metres);
        if beyond_linear(metres, span) { format!("{figure} (means nothing)") } else { figure }
    }

    /// A pressure or area load \[N/m²\].
    pub(crate) fn pressure(self, pascals: f64) -> String {
        if self.imperial {
            format!("{} psf", figures(pascals / PSF, 3, 1))
        } else {
            format!("{} kN/m²", figures(pascals / KILONEWTON, 3, 3))
        }
    }

    /// An area \[m²\].
    pub(crate) fn area(self, square_metres: f64) -> String {
        if self.imperial {
            format!("{} ft²", figures(square_metres / (FOOT * FOOT), 3, 1))
        } else {
            format!("{} m²", figures(square_metres, 3, 2))
        }
    }

    /// A volume \[m³\].
    pub(crate) fn volume(self, cubic_metres: f64) -> String {
        if self.imperial {
            format!("{} ft³", figures(cubic_metres / FOOT.powi(3), 3, 1))
        } else {
            format!("{} m³", figures(cubic_metres, 3, 2))
        }
    }

    /// A mass \[kg\].
    pub(crate) fn mass(self, kilograms: f64) -> String {
        if self.imperial {
            format!("{} lb", figures(kilograms / POUND, 3, 1))
        } else {
            format!("{} kg", figures(kilograms, 3, 1))
        }
    }

    /// Turning stiffness per length of seam \[N·m/rad per m\].
    pub(crate) fn seam_stiffness(self, value: f64) -> String {
        if self.imperial {
            format!("{} lbf·ft/rad per ft", figures(value / POUND_FORCE, 2, 0))
        } else {
            format!("{} kN·m/rad per m", figures(value / KILONEWTON, 2, 3))
        }
    }
}

/// Where a utilisation stands, in a word.
pub(crate) fn standing(value: f64) -> &'static str {
    match crate::rules::Standing::of(value) {
        crate::rules::Standing::Within => "within",
        crate::rules::Standing::Near => "near",
        crate::rules::Standing::Over => "over",
    }
}

/// How a check ends, in words: "0.61 of its limit, within", or of a room "it fits: 0.61 of the room there is wanted".
pub(crate) fn outcome(check: &crate::rules::Check) -> String {
    use crate::rules::{Compares, Standing};
    let value = utilisation(check.utilisation);
    match (check.compares, check.standing) {
        (Compares::Room, Standing::Over) if beyond_number(check.utilisation) => {
            "it does not fit: there is no room for it".to_owned()
        }
        (Compares::Load, _) if beyond_number(check.utilisation) => "beyond any limit, over".to_owned(),
        (Compares::Load, _) => format!("{value} of its limit, {}", standing(check.utilisation)),
        (Compares::Room, Standing::Over) => format!("it does not fit: {value} of the room there is wanted"),
        (Compares::Room, _) => format!("it fits: {value} of the room there is wanted"),
    }
}

/// The verdict in a word.
pub(crate) fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Within => "within",
        Verdict::Near => "near",
        Verdict::Over => "over",
        Verdict::Unstable => "unstable",
    }
}

/// The verdict as a phrase that cannot be read as an approval.
pub(crate) fn verdict_phrase(value: Verdict) -> &'static str {
    match value {
        Verdict::Within => "Within its indicative limits",
        Verdict::Near => "Near its indicative limit",
        Verdict::Over => "Over its indicative limit",
        Verdict::Unstable => "Unstable",
    }
}

/// The first line of an answer: the verdict, and with it that of a stage of the assembly that does not hold, which the verdict of
/// the finished shell would hide.
pub(crate) fn first_line(a: &Assessment) -> String {
    let finished = verdict_phrase(a.finished_verdict);
    let failing = a.stages.iter().map(|stage| stage.verdict).max();
    let Some(stage) = failing.filter(|v| matches!(v, Verdict::Over | Verdict::Unstable)) else {
        return finished.to_owned();
    };
    let link = if matches!(a.finished_verdict, Verdict::Over | Verdict::Unstable) { "and" } else { "but" };
    let stage = match stage {
        Verdict::Over => "over its limit",
        _ => "unstable",
    };
    format!("{finished} when finished, {link} {stage} while it is put up")
}

/// A buckling factor to two figures; beyond a hundred its size says nothing more, nor does it below a hundredth.
pub(crate) fn buckling_factor(factor: f64) -> String {
    if factor > 0.0 && factor < 0.01 {
        return "less than 0.01".to_owned();
    }
    if factor > TELLING && factor.is_finite() { format!("over {TELLING}") } else { figures(factor, 2, 2) }
}

/// Times the loads at which the whole gives way, as found along a path that is followed no further than [`PATH_ENOUGH`].
pub(crate) fn gives_way(factor: f64) -> String {
    if factor < PATH_ENOUGH {
        buckling_factor(factor)
    } else {
        format!("over {}", buckling_factor(PATH_ENOUGH))
    }
}

/// A number to so many significant figures but no more than `decimals`, trailing zeros kept out,
/// with a true minus sign.
pub(crate) fn figures(value: f64, significant: i32, decimals: i32) -> String {
    if !value.is_finite() {
        return unknown();
    }
    if value == 0.0 {
        return "0".to_owned();
    }
    let magnitude = value.abs().log10().floor();
    // f64 → i32: a decimal exponent is within ±324.
    #[allow(clippy::cast_possible_truncation, reason = "a decimal exponent fits")]
    let lead = significant - 1 - magnitude as i32;
    let digits = lead.clamp(0, decimals.max(0));
    // Figures in front of the point beyond those asked for become noughts: 2907 to two is 2900.
    let value = if lead < 0 { (value * 10_f64.powi(lead)).round() / 10_f64.powi(lead) } else { value };
    let mut text = format!("{:.*}", usize::try_from(digits).unwrap_or(0), value);
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.') {
        return if value.abs() < 1e-9 { "0".to_owned() } else { format!("{value:.1e}").replace('-', "−") };
    }
    text.replace('-', "−")
}

/// As [`figures`] shows it, but never more: a factor up to which something holds is not rounded up past it.
pub(crate) fn down(value: f64, significant: i32, decimals: i32) -> f64 {
    if value <= 0.0 || !value.is_finite() {
        return value;
    }
    // f64 → i32: a decimal exponent is within ±324.
    #[allow(clippy::cast_possible_truncation, reason = "a decimal exponent fits")]
    let lead = (significant - 1 - value.log10().floor() as i32).min(decimals.max(0));
    let scale = 10_f64.powi(lead);
    // What is whole in these digits but for rounding stays.
    (value * scale * (1.0 + 1e-12)).floor() / scale
}

/// As [`figures`]; what the decimals do not show is nothing.
fn plain(value: f64, significant: i32, decimals: i32) -> String {
    let text = figures(value, significant, decimals);
    if text.contains('e') && value.abs() < 1.0 { "0".to_owned() } else { text }
}

/// Whether a movement of a linear solution is too large for its figure to mean anything: more than a
/// fiftieth of the span (common practice, no source: linear statics takes movements as small beside the
/// shell's own sizes).
pub(crate) fn beyond_linear(metres: f64, span: f64) -> bool {
    span > 0.0 && metres.abs() > span / 50.0
}

/// What is said beside such a movement.
pub(crate) const BEYOND_LINEAR: &str = "A movement of more than a fiftieth of the span means nothing as a figure: it is \
worked out as if movements were small. The model is close to folding; read the lower of its buckling factor and the limit of its nonlinear path instead.";

/// The lower of the linear buckling factor of a model and the limit that its nonlinear paths met; none where neither is there.
pub(crate) fn lowest_factor(model: &ModelResult) -> Option<f64> {
    let buckling = model.buckling.as_ref()?;
    let limit = buckling.limit_factor.filter(|_| buckling.limit_met);
    buckling.factor.into_iter().chain(limit).reduce(f64::min)
}

/// Minus signs in front of figures, where a hyphen stands for one.
pub(crate) fn true_minus(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    let mut letters = words.chars().peekable();
    let mut before = ' ';
    while let Some(c) = letters.next() {
        let figure = letters.peek().is_some_and(char::is_ascii_digit);
        let minus = c == '-' && figure && matches!(before, ' ' | '(' | ',');
        out.push(if minus { '−' } else { c });
        before = c;
    }
    out
}

/// With a capital in front.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().collect::<String>() + letters.as_str())
}

/// A value of a hand working: up to four figures, very large and very small ones by powers of ten.
pub(crate) fn working_value(value: f64) -> String {
    // What is divided by nothing: documents have no infinity, and hold this figure for it.
    if value == f64::INFINITY || value.to_bits() == INFINITE.to_bits() {
        return "∞".to_owned();
    }
    if !value.is_finite() {
        return unknown();
    }
    if value != 0.0 && !(1e-3..1e7).contains(&value.abs()) {
        return format!("{value:.3e}").replace('-', "−");
    }
    figures(value, 4, 4)
}

fn unknown() -> String {
    "not a number".to_owned()
}

/// A name from outside made fit to print: control and text-direction characters are taken out, and
/// it is cut after `limit` characters. One of which nothing is left says so.
pub(crate) fn tame(name: &str, limit: usize) -> String {
    if name.is_empty() {
        return String::new();
    }
    let clean = name.chars().map(|c| if c == '\n' || c == '\t' { ' ' } else { c }).filter(|c| {
        !c.is_control()
            && !matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}')
    });
    let mut out: String = clean.clone().take(limit).collect();
    if clean.count() > limit {
        out.push('…');
    }
    if out.trim().is_empty() { "(no name)".to_owned() } else { out }
}

/// Words of the program's own, made fit to print: where they are too long they end with the last whole sentence, so that what is
/// said is not cut off before what to do about it.
pub(crate) fn sentences(words: &str, limit: usize) -> String {
    let all = tame(words, usize::MAX);
    let Some((end, _)) = all.char_indices().nth(limit) else { return all };
    // A sentence ends before a capital; other points stand in figures and in the names of keys.
    let ends = all.match_indices(". ").map(|(at, _)| at).take_while(|at| *at < end);
    let last = ends.filter(|at| all[at + 2..].chars().next().is_some_and(char::is_uppercase)).last();
    last.map_or_else(|| tame(words, limit), |at| all[..=at].to_owned())
}

/// What a verdict was taken from, in words: "the seam model", "the worst of pinned and rigid models".
#[must_use]
pub(crate) fn verdict_models(verdict_model: &str) -> String {
    if verdict_model.contains(' ') {
        format!("{verdict_model} models")
    } else {
        format!("the {verdict_model} model")
    }
}

/// Units as they are typed, written as the notes write them.
fn raised(words: &str) -> String {
    words.replace("N/m2", "N/m²").replace("kg/m2", "kg/m²").replace("kg/m3", "kg/m³")
}

#[cfg(test)]
#[path = "show_tests.rs"]
mod tests;
