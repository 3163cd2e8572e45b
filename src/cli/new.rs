//! `new`: a commented project to start from.

use super::args::{New, StarterForm};
use super::output::{self, Output};
use crate::error::{Error, Exit};
use crate::project::schema_shell::FormName;
use crate::project::starter;

pub(crate) fn run(new: &New) -> Result<Exit, Error> {
    let form = match new.form {
        StarterForm::Dome => FormName::Dome,
        StarterForm::Tunnel => FormName::Tunnel,
        StarterForm::Barrel => FormName::Barrel,
        StarterForm::Mesh => FormName::Mesh,
        StarterForm::Frame => FormName::Frame,
    };
    let stem =
        new.file.file_stem().map_or_else(|| "project".to_owned(), |stem| stem.to_string_lossy().into_owned());
    let starter = starter::starter(form, &stem);
    let folder = new.file.parent().unwrap_or(std::path::Path::new(""));
    let mut files = vec![(new.file.clone(), starter.project)];
    files.extend(starter.companions.into_iter().map(|(name, text)| (folder.join(name), text)));
    for (path, _) in &files {
        // A link that leads nowhere is something that is there, too.
        if path.symlink_metadata().is_ok() {
            return Err(Error::Place {
                path: path.clone(),
                why: "this is there already, and is not overwritten".to_owned(),
                help: "choose another name",
            });
        }
    }
    let mut outputs = Vec::new();
    for (path, text) in &files {
        outputs.push((Output::begin(path)?, text));
    }
    for (output, text) in outputs {
        output.finish_new(text.as_bytes())?;
    }
    let names: Vec<String> = files.iter().map(|(path, _)| path.display().to_string()).collect();
    output::complain(&format!("wrote {}", names.join(", ")));
    output::complain(&format!("next: put in your own values, then strutwise check {}", quoted(&new.file)));
    Ok(Exit::Within)
}

/// A path as it can be typed again.
fn quoted(path: &std::path::Path) -> String {
    let text = path.display().to_string();
    let plain =
        |c: char| c.is_alphanumeric() || matches!(c, '.' | '_' | '-' | '/' | '\\' | ':' | '~' | '+' | '@');
    match text.chars().all(plain) {
        true => text,
        false if text.contains('"') || text.contains(['$', '`', '!']) => {
            format!("'{}'", text.replace('\'', "'\\''"))
        }
        false => format!("\"{text}\""),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_is_quoted_where_a_shell_would_part_it() {
        for (path, typed) in [
            ("shed.toml", "shed.toml"),
            ("a/größe-1.toml", "a/größe-1.toml"),
            ("my shed.toml", "\"my shed.toml\""),
            ("o'shed.toml", "\"o'shed.toml\""),
            ("$shed.toml", "'$shed.toml'"),
        ] {
            assert_eq!(quoted(std::path::Path::new(path)), typed);
        }
    }
}
