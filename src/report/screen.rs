//! A screen of 80 columns: lines, names in a gutter, terminal colours.

use crate::assess::results::Verdict;
use crate::report::show;

/// Columns of the screen.
pub(crate) const WIDTH: usize = 80;
/// Columns of the names at the left.
pub(crate) const GUTTER: usize = 10;

/// Lines under way.
#[derive(Default)]
pub(crate) struct Page {
    pub(crate) out: String,
}

impl Page {
    pub(crate) fn plain(&mut self, line: &str) {
        self.out.push_str(line.trim_end());
        self.out.push('\n');
    }

    pub(crate) fn gap(&mut self) {
        self.out.push('\n');
    }

    /// Wrapped text, every line set in by `indent`.
    pub(crate) fn block(&mut self, indent: usize, words: &str) {
        for line in wrap(words, WIDTH - indent) {
            self.plain(&format!("{:indent$}{line}", ""));
        }
    }

    /// A name in the gutter and its text beside it.
    pub(crate) fn entry(&mut self, name: &str, words: &str) {
        let gutter = GUTTER + 1;
        for (n, line) in wrap(words, WIDTH - gutter).iter().enumerate() {
            self.plain(&format!("{:gutter$}{line}", if n == 0 { name } else { "" }));
        }
    }
}

/// Terminal colours; a word always says the same thing as well.
pub(crate) struct Paint {
    pub(crate) colour: bool,
}

impl Paint {
    pub(crate) fn with(&self, code: &str, words: &str) -> String {
        if self.colour { format!("\u{1b}[{code}m{words}\u{1b}[0m") } else { words.to_owned() }
    }

    pub(crate) fn strong(&self, words: &str) -> String {
        self.with("1", words)
    }

    pub(crate) fn verdict(&self, verdict: Verdict, words: &str) -> String {
        // Blue, yellow, magenta: told apart by colour-blind readers as well.
        let code = match verdict {
            Verdict::Within => "1;34",
            Verdict::Near => "1;33",
            Verdict::Over | Verdict::Unstable => "1;35",
        };
        self.with(code, words)
    }

    pub(crate) fn figure(&self, value: f64, words: &str) -> String {
        let code = match show::standing(value) {
            "within" => "34",
            "near" => "33",
            _ => "1;35",
        };
        self.with(code, words)
    }
}

/// Cuts a line to `width` characters.
pub(crate) fn cut(words: &str, width: usize) -> String {
    if words.chars().count() <= width {
        return words.to_owned();
    }
    let mut out: String = words.chars().take(width.saturating_sub(1)).collect();
    out.push('…');
    out
}

/// Breaks text into lines of at most `width` characters at spaces; a longer word is cut.
pub(crate) fn wrap(words: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in words.split_whitespace() {
        let mut word = word.to_owned();
        loop {
            let used = line.chars().count();
            let gap = usize::from(used > 0);
            if used + gap + word.chars().count() <= width {
                if gap == 1 {
                    line.push(' ');
                }
                line.push_str(&word);
                break;
            }
            if used > 0 {
                lines.push(std::mem::take(&mut line));
                continue;
            }
            lines.push(word.chars().take(width).collect());
            word = word.chars().skip(width).collect();
        }
    }
    if !line.is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_words_are_cut_and_empty_text_is_a_line() {
        assert_eq!(wrap("abcdef", 4), ["abcd", "ef"]);
        assert_eq!(wrap("", 4), [""]);
        assert_eq!(wrap("ab cd ef", 5), ["ab cd", "ef"]);
    }
}
